//! The parent half: refuses what can be refused unread, starts the child, and bounds its time and its words.

use std::io::{BufReader, BufWriter};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use super::answer::{Answer, read_answer};
use super::frames::FrameFault;
use super::{Content, READ_SHEET, Sheet, SheetLimits, Unreadable, request};

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
        let (name, tab_first) = admit(name, bytes, &self.limits)?;
        let _turn = self.turn.lock().unwrap_or_else(PoisonError::into_inner);
        match self.ask(tab_first, bytes)? {
            Ok((_, rows)) if rows.is_empty() => Err(Unreadable::Empty { name }),
            Ok((dialect, rows)) => Ok(Sheet::of_text(name, dialect, rows)),
            Err(refused) => Err(Unreadable::of(refused, &name, &self.limits)),
        }
    }

    fn ask(&self, tab_first: bool, bytes: &[u8]) -> Result<Answer, Unreadable> {
        let deadline = Instant::now() + self.limits.wall;
        let mut child = Running(self.spawn().map_err(Unreadable::NotStarted)?);
        let (Some(stdin), Some(stdout)) = (child.0.stdin.take(), child.0.stdout.take()) else {
            return Err(Unreadable::Died);
        };
        let (tell, told) = mpsc::channel();
        thread::scope(|scope| {
            // A child that stops listening shows in what it says: nothing to report from here.
            scope.spawn(move || request::send(&mut BufWriter::new(stdin), tab_first, &self.limits, bytes));
            scope.spawn(move || tell.send(read_answer(BufReader::new(stdout), &self.limits)));
            // Ended here whatever came of it: the scope waits for both threads, and they for the child's pipes.
            let mut child = child;
            let heard = told.recv_timeout(deadline.saturating_duration_since(Instant::now()));
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

/// What can be said of a file without reading it: its name, and whether a tab is the likelier delimiter.
fn admit(name: &str, bytes: &[u8], limits: &SheetLimits) -> Result<(Arc<str>, bool), Unreadable> {
    let size = bytes.len() as u64;
    if size > limits.file_bytes {
        return Err(Unreadable::TooLarge { bytes: size, limit: limits.file_bytes });
    }
    let name: Arc<str> = name.rsplit(['/', '\\']).next().unwrap_or_default().into();
    if name.is_empty() || name.chars().count() > limits.name_chars || name.chars().any(char::is_control) {
        return Err(Unreadable::Name { limit: limits.name_chars });
    }
    let ending = Path::new(&*name).extension().unwrap_or_default().to_ascii_lowercase();
    let tab_first = match ending.to_str().unwrap_or_default() {
        "csv" | "txt" => false,
        "tsv" => true,
        "xlsx" | "ods" => return Err(Unreadable::Workbook { name }),
        "xls" | "xlsb" | "xlsm" => return Err(Unreadable::OldWorkbook { name }),
        _ => return Err(Unreadable::Kind { name }),
    };
    match Content::of(bytes) {
        Some(content) => Err(Unreadable::Disguised { name, content }),
        None if bytes.is_empty() => Err(Unreadable::Empty { name }),
        None => Ok((name, tab_first)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code(name: &str, bytes: &[u8]) -> &'static str {
        admit(name, bytes, &SheetLimits::small()).map_or_else(|refused| refused.code(), |_| "admitted")
    }

    #[test]
    fn only_endings_of_text_sheets_are_admitted() {
        for name in ["a.csv", "A.CSV", "a.b.tsv", "a.txt"] {
            assert_eq!(code(name, b"a,b"), "admitted", "{name}");
        }
        for name in ["a", "a.pdf", "csv", "a.csv.exe", ".csv"] {
            assert_eq!(code(name, b"a,b"), "sheet-kind", "{name}");
        }
    }

    #[test]
    fn workbooks_are_refused_with_what_to_do() {
        let refused = |name| admit(name, b"PK\x03\x04", &SheetLimits::small()).unwrap_err().to_string();
        for name in ["a.xlsx", "a.ODS"] {
            assert!(
                refused(name)
                    .contains("workbooks are read from a later version; save the sheet as CSV (UTF-8)")
            );
        }
        for name in ["a.xls", "a.xlsb", "a.xlsm"] {
            assert!(refused(name).contains("save as .xlsx or .csv"));
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
            let (name, tab_first) = admit(name, b"a", &SheetLimits::small()).unwrap();
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
        assert_eq!(code("a.csv", b""), "sheet-empty");
    }

    #[test]
    fn a_program_that_is_not_there_is_said_so() {
        let reader = SheetReader::new("/nowhere/lastbench".into(), SheetLimits::small());
        assert_eq!(reader.read("a.csv", b"a,b").unwrap_err().code(), "sheet-reader-not-started");
    }
}
