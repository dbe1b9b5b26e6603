//! The parent half: refuses what can be refused unread, starts the child, and bounds its time and its words.

use std::io::{BufReader, BufWriter};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use crate::characters::may_be_shown;

use super::answer::{Answer, Terms, read_answer};
use super::content::is_encrypted;
use super::dialect::splits;
use super::frames::FrameFault;
use super::request::{self, Asked, Kind};
use super::{Content, READ_SHEET, ReadAs, RemarkKind, Sheet, SheetLimits, Unreadable, Watch, WorkbookFault};

/// Reads sheets, one at a time, each in a child process of its own.
#[derive(Debug)]
pub struct SheetReader {
    program: PathBuf,
    limits: SheetLimits,
    /// Held while a child runs: two at once could take twice the memory.
    turn: Mutex<()>,
}

impl SheetReader {
    /// `program` is the absolute path of an executable that calls [`super::worker_main`] when its first
    /// argument is [`READ_SHEET`]. It is not guessed: a test binary asked so answers with its own words.
    pub fn new(program: PathBuf, limits: SheetLimits) -> Self {
        Self { program, limits, turn: Mutex::new(()) }
    }

    /// Reads one file. `name` may carry folders; only its last part is kept. Waits for a sheet being read.
    pub fn read(&self, name: &str, bytes: &[u8]) -> Result<Sheet, Unreadable> {
        self.read_as(name, bytes, &ReadAs::default(), &Watch::default())
    }

    /// Reads one file as the owner says, under the eyes of `watch`.
    pub fn read_as(
        &self,
        name: &str,
        bytes: &[u8],
        said: &ReadAs,
        watch: &Watch,
    ) -> Result<Sheet, Unreadable> {
        let (name, kind, tab_first) = admit(name, bytes, &self.limits)?;
        let delimiter = said.delimiter.map(delimiter_byte).transpose()?;
        let asked = Asked { kind, tab_first, delimiter, encoding: said.encoding.map(|charset| charset.0) };
        let _turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        let terms = Terms { name: Arc::clone(&name), kind, limits: &self.limits, watch };
        match self.ask(asked, &terms, bytes)? {
            Ok(sheet) if sheet.tabs.iter().any(|tab| !tab.rows.is_empty()) => Ok(sheet),
            Ok(sheet) if sheet.remarks.iter().all(|remark| remark.kind == RemarkKind::NoResult) => {
                Err(Unreadable::Empty { name })
            }
            Ok(_) => Err(Unreadable::Workbook { sheet: name, fault: WorkbookFault::AllHidden }),
            Err((refused, sheet)) => Err(Unreadable::of(refused, &name, &sheet, &self.limits)),
        }
    }

    fn ask(&self, asked: Asked, terms: &Terms<'_>, bytes: &[u8]) -> Result<Answer, Unreadable> {
        let deadline = Instant::now() + self.limits.wall;
        let mut child = Running(self.spawn().map_err(Unreadable::NotStarted)?);
        let (Some(stdin), Some(stdout)) = (child.0.stdin.take(), child.0.stdout.take()) else {
            return Err(Unreadable::Died);
        };
        let (tell, told) = mpsc::channel();
        thread::scope(|scope| {
            // A child that stops listening shows in what it says: nothing to report from here.
            scope.spawn(move || request::send(&mut BufWriter::new(stdin), asked, &self.limits, bytes));
            scope.spawn(move || tell.send(read_answer(BufReader::new(stdout), terms)));
            // Ended here whatever came of it: the scope waits for both threads, and they for the child's pipes.
            let mut child = child;
            let heard = listen(&told, terms.watch, deadline)?;
            self.judge(heard, &mut child, deadline)
        })
    }

    fn spawn(&self) -> std::io::Result<Child> {
        use std::os::unix::process::CommandExt;
        Command::new(&self.program)
            .arg(READ_SHEET)
            .env_clear()
            .current_dir("/")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .process_group(0)
            .spawn()
    }

    /// An answer cut short is a lie if the child ended well, and a death if it did not.
    fn judge(
        &self,
        heard: Result<Result<Answer, FrameFault>, RecvTimeoutError>,
        child: &mut Running,
        deadline: Instant,
    ) -> Result<Answer, Unreadable> {
        match heard {
            Ok(Ok(answer)) => Ok(answer),
            Ok(Err(FrameFault::CutShort)) => match child.wait_until(deadline) {
                Some(status) if status.success() => Err(Unreadable::Distrusted(FrameFault::CutShort)),
                Some(_) => Err(Unreadable::Died),
                None => Err(Unreadable::TooSlow(self.limits.wall)),
            },
            Ok(Err(fault)) => Err(Unreadable::Distrusted(fault)),
            Err(_) => Err(Unreadable::TooSlow(self.limits.wall)),
        }
    }
}

/// Waits for the answer, with a glance at the watch every now and then.
fn listen(
    told: &Receiver<Result<Answer, FrameFault>>,
    watch: &Watch,
    deadline: Instant,
) -> Result<Result<Result<Answer, FrameFault>, RecvTimeoutError>, Unreadable> {
    const GLANCE: Duration = Duration::from_millis(20);
    loop {
        if watch.is_cancelled() {
            return Err(Unreadable::Cancelled);
        }
        let left = deadline.saturating_duration_since(Instant::now());
        match told.recv_timeout(left.min(GLANCE)) {
            Err(RecvTimeoutError::Timeout) if !left.is_zero() => {}
            heard => return Ok(heard),
        }
    }
}

/// A child that does not outlive its sheet, nor does anything it started.
struct Running(Child);

impl Running {
    fn wait_until(&mut self, deadline: Instant) -> Option<ExitStatus> {
        const GLANCE: Duration = Duration::from_millis(2);
        loop {
            if let Ok(Some(status)) = self.0.try_wait() {
                return Some(status);
            }
            if Instant::now() >= deadline {
                return None;
            }
            thread::sleep(GLANCE);
        }
    }
}

impl Drop for Running {
    /// Ends the whole group: a grandchild would hold the pipes open. Errors mean that it has ended already.
    fn drop(&mut self) {
        let group = rustix::process::Pid::from_child(&self.0);
        let _ = rustix::process::kill_process_group(group, rustix::process::Signal::KILL);
        let _ = self.0.wait();
    }
}

/// What can be said of a file without reading it: its name, its kind, and whether a tab is the likelier delimiter.
fn admit(name: &str, bytes: &[u8], limits: &SheetLimits) -> Result<(Arc<str>, Kind, bool), Unreadable> {
    let size = bytes.len() as u64;
    if size > limits.file_bytes {
        return Err(Unreadable::TooLarge { bytes: size, limit: limits.file_bytes });
    }
    let name: Arc<str> = name.rsplit(['/', '\\']).next().unwrap_or_default().into();
    if name.is_empty() || name.chars().count() > limits.name_chars || !name.chars().all(may_be_shown) {
        return Err(Unreadable::Name { limit: limits.name_chars });
    }
    let ending = Path::new(&*name).extension().unwrap_or_default().to_ascii_lowercase();
    let (kind, tab_first) = match ending.to_str().unwrap_or_default() {
        "csv" | "txt" => (Kind::Text, false),
        "tsv" => (Kind::Text, true),
        "xlsx" => (Kind::Xlsx, false),
        "ods" => (Kind::Ods, false),
        "xls" | "xlsb" | "xlsm" => return Err(Unreadable::OldWorkbook { name }),
        _ => return Err(Unreadable::Kind { name }),
    };
    match (Content::of(bytes), kind) {
        _ if bytes.is_empty() => Err(Unreadable::Empty { name }),
        (Content::Text, Kind::Text) | (Content::Zip, Kind::Xlsx | Kind::Ods) => Ok((name, kind, tab_first)),
        (Content::OldOffice, _) if is_encrypted(bytes) => {
            Err(Unreadable::Workbook { sheet: name, fault: WorkbookFault::Encrypted })
        }
        (Content::OldOffice, Kind::Xlsx | Kind::Ods) => Err(Unreadable::OldWorkbook { name }),
        (content, _) => Err(Unreadable::Disguised { name, content }),
    }
}

fn delimiter_byte(said: char) -> Result<u8, Unreadable> {
    u8::try_from(said).ok().filter(|byte| splits(*byte)).ok_or(Unreadable::Delimiter(said))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code(name: &str, bytes: &[u8]) -> &'static str {
        admit(name, bytes, &SheetLimits::small()).map_or_else(|refused| refused.code(), |_| "admitted")
    }

    #[test]
    fn only_endings_of_sheets_are_admitted() {
        for name in ["a.csv", "A.CSV", "a.b.tsv", "a.txt", "pasted.txt"] {
            assert_eq!(code(name, b"a,b"), "admitted", "{name}");
        }
        for name in ["a.xlsx", "a.ODS"] {
            assert_eq!(code(name, b"PK\x03\x04"), "admitted", "{name}");
        }
        for name in ["a", "a.pdf", "csv", "a.csv.exe", ".csv", "a.xltx"] {
            assert_eq!(code(name, b"a,b"), "sheet-kind", "{name}");
        }
    }

    #[test]
    fn old_and_encrypted_workbooks_are_refused_by_name_or_content() {
        const OLD: &[u8] = b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1";
        for name in ["a.xls", "a.xlsb", "a.xlsm"] {
            let refused = admit(name, b"PK\x03\x04", &SheetLimits::small()).unwrap_err().to_string();
            assert!(refused.contains("save as .xlsx or .csv"), "{refused}");
        }
        assert_eq!(code("a.xlsx", OLD), "sheet-old-workbook");
        let utf16: Vec<u8> = "EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes).collect();
        let encrypted = [OLD, &[0; 120], &utf16, &[0; 96]].concat();
        assert_eq!(code("a.xlsx", &encrypted), "workbook-encrypted");
    }

    #[test]
    fn a_character_that_cannot_split_columns_is_refused() {
        let reader = SheetReader::new("/nowhere/lastbench".into(), SheetLimits::small());
        for delimiter in ['"', 'x', '1', ' ', '\n', '→'] {
            let said = ReadAs { delimiter: Some(delimiter), encoding: None };
            let refused = reader.read_as("a.csv", b"a,b", &said, &Watch::default()).unwrap_err();
            assert_eq!(refused.code(), "sheet-delimiter", "{delimiter:?}");
        }
    }

    #[test]
    fn a_file_of_the_largest_size_passes_and_one_byte_more_does_not() {
        assert_eq!(code("a.csv", &[b'a'; 10_000]), "admitted");
        assert_eq!(code("a.csv", &[b'a'; 10_001]), "sheet-too-large");
    }

    #[test]
    fn only_the_last_part_of_a_name_is_kept() {
        for name in ["../../x/stock.tsv", "C:\\sheets\\stock.tsv", "stock.tsv"] {
            let (name, _, tab_first) = admit(name, b"a", &SheetLimits::small()).unwrap();
            assert_eq!((&*name, tab_first), ("stock.tsv", true));
        }
    }

    #[test]
    fn names_that_cannot_be_shown_are_refused() {
        for name in ["", "sheets/", "a\0.csv", "a\n.csv", "name-of-21-letters.csv"] {
            assert_eq!(code(name, b"a"), "sheet-name", "{name:?}");
        }
    }

    #[test]
    fn disguised_and_empty_files_are_refused_unread() {
        assert_eq!(code("a.csv", b"PK\x03\x04rest"), "sheet-disguised");
        assert_eq!(code("a.csv", b"\x1F\x8B\x08"), "sheet-disguised");
        assert_eq!(code("a.xlsx", b"a,b\n"), "sheet-disguised");
        assert_eq!(code("a.ods", b"<html>"), "sheet-disguised");
        assert_eq!(code("a.csv", b""), "sheet-empty");
    }

    #[test]
    fn a_program_that_is_not_there_is_said_so() {
        let reader = SheetReader::new("/nowhere/lastbench".into(), SheetLimits::small());
        assert_eq!(reader.read("a.csv", b"a,b").unwrap_err().code(), "sheet-reader-not-started");
    }
}
