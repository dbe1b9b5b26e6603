//! What strace saw, call by call, with the bytes: each from the line at which it began to the one at which it was over.

use std::collections::HashMap;
use std::fmt::Write as _;

/// Every call by which a file can be changed, and those that say which file is meant. What is mapped into memory is named
/// too, so that a way of writing that is not known here is noticed.
const CALLS: &str = "openat,open,creat,write,writev,pwrite64,pwritev,pwritev2,sendto,sendmsg,ftruncate,truncate,fallocate,\
    fsync,fdatasync,sync_file_range,/^rename,/^unlink,/^mkdir,rmdir,/^link,/^symlink,copy_file_range,sendfile,splice,\
    lseek,/^dup,fcntl,mmap,io_uring_setup";

/// The words of a tracer that writes all of it into a file.
pub(crate) fn tracer(log: &str) -> Vec<String> {
    let trace = format!("trace={CALLS}");
    let words = ["strace", "-f", "--seccomp-bpf", "-y", "-xx", "-s", "16000000", "-o", log, "-e", &trace];
    words.map(str::to_owned).to_vec()
}

/// One call.
#[derive(Debug)]
pub(crate) struct Call {
    pub(crate) name: String,
    /// What is between its brackets.
    said: String,
    /// None for one that never came back.
    pub(crate) result: Option<i64>,
    pub(crate) begin: usize,
    /// The line after which it is over; none for one that never came back.
    pub(crate) end: usize,
}

/// The calls of a trace in the order in which they began, its first line being number `first`.
pub(crate) fn calls(trace: &str, first: usize) -> Vec<Call> {
    let mut calls: Vec<Call> = Vec::new();
    let mut open: HashMap<&str, usize> = HashMap::new();
    for (line, text) in (first..).zip(trace.lines()) {
        let Some((thread, text)) = text.split_once(' ') else { continue };
        let text = text.trim_start();
        if let Some((_, rest)) = text.strip_prefix("<... ").and_then(|text| text.split_once(" resumed>")) {
            let Some(at) = open.remove(thread) else { continue };
            calls[at].said.push_str(rest);
            calls[at].is_over(line);
        } else if let Some((name, rest)) = text.split_once('(').filter(|(name, _)| !name.contains(' ')) {
            let mut call = Call {
                name: name.to_owned(),
                said: String::new(),
                result: None,
                begin: line,
                end: usize::MAX,
            };
            if let Some(begun) = rest.strip_suffix("<unfinished ...>") {
                begun.trim_end().clone_into(&mut call.said);
                open.insert(thread, calls.len());
            } else {
                rest.clone_into(&mut call.said);
                call.is_over(line);
            }
            calls.push(call);
        }
    }
    calls
}

impl Call {
    /// Takes what came back from what was said.
    fn is_over(&mut self, line: usize) {
        let Some((said, came_back)) = self.said.rsplit_once(" = ") else { return };
        let digits = came_back.split(|c: char| c != '-' && !c.is_ascii_digit()).next().unwrap_or_default();
        // One that is cut off by the end of its process has a question mark.
        self.result = digits.parse().ok();
        let said = said.trim_end();
        self.said = said.strip_suffix(')').unwrap_or(said).to_owned();
        if self.result.is_some() {
            self.end = line;
        }
    }

    fn word(&self, at: usize) -> &str {
        self.said.split(", ").nth(at).unwrap_or_default()
    }

    /// Whether a word of its is among the options.
    pub(crate) fn has(&self, option: &str) -> bool {
        self.said.split(", ").any(|word| word.split('|').any(|one| one == option))
    }

    /// The number at a place.
    pub(crate) fn number(&self, at: usize) -> u64 {
        self.word(at).parse().unwrap_or_else(|_| panic!("no number at {at} of {}({})", self.name, self.said))
    }

    /// The text at a place.
    pub(crate) fn bytes(&self, at: usize) -> Vec<u8> {
        let word = self.word(at);
        let inner = word.strip_prefix('"').and_then(|word| word.strip_suffix('"'));
        unhex(inner.unwrap_or_else(|| panic!("{}: {at} is no whole text", self.name)))
    }

    /// Every text in it, one behind the other.
    pub(crate) fn all_bytes(&self) -> Vec<u8> {
        self.said.split('"').skip(1).step_by(2).flat_map(unhex).collect()
    }

    /// The open file at a place: its number, and where it is.
    pub(crate) fn file(&self, at: usize) -> Option<(i64, String)> {
        let (number, rest) = self.word(at).split_once('<')?;
        let (path, _) = rest.split_once('>')?;
        Some((number.parse().unwrap_or(-1), text(unhex(path))))
    }

    /// The path at a place, under the open folder before it where there is one.
    pub(crate) fn path(&self, at: usize) -> String {
        let path = text(self.bytes(at));
        match at.checked_sub(1).and_then(|before| self.file(before)) {
            Some((_, folder)) if !path.starts_with('/') => format!("{folder}/{path}"),
            _ => path,
        }
    }

    /// Whether any word of its lies in this folder.
    pub(crate) fn is_in(&self, folder: &str) -> bool {
        let mut hex = String::new();
        for byte in folder.bytes() {
            write!(hex, "\\x{byte:02x}").unwrap();
        }
        self.said.contains(&hex)
    }
}

fn text(bytes: Vec<u8>) -> String {
    String::from_utf8(bytes).unwrap_or_default()
}

/// `\x48\x69` as what it says.
fn unhex(text: &str) -> Vec<u8> {
    let byte = |four: &[u8]| {
        let digits = std::str::from_utf8(four).ok().and_then(|four| four.strip_prefix("\\x"));
        digits.and_then(|digits| u8::from_str_radix(digits, 16).ok())
    };
    text.as_bytes().chunks(4).map(|four| byte(four).unwrap_or_else(|| panic!("not in hex: {text}"))).collect()
}
