//! Where data and words of a command go, and how it fails.

use std::io::{self, IsTerminal, Write};
use std::process::ExitCode;

use serde::Serialize;
use tracing::Level;

use crate::log::{self, LogFormat};

/// Standard output and error, behind one writer each.
pub struct Out {
    data: io::BufWriter<io::Stdout>,
    quiet: bool,
    as_log: bool,
    reply: Reply,
}

/// Whether whoever reads the data is owed a document in JSON.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reply {
    InWords,
    Owed,
    Given,
}

/// The document of a command that failed before it could give its own.
#[derive(Debug, Serialize)]
struct Failed {
    failed: String,
    exit_code: u8,
}

/// Why a command did not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The arguments do not go together: exit code 2.
    #[error("{0}")]
    Usage(String),
    /// Something cannot be read or written: exit code 3.
    #[error("{0}")]
    Unreachable(String),
    /// Somebody else holds the catalogue, or it has moved on: exit code 4.
    #[error("{0}")]
    Conflict(String),
    /// What was given has problems: exit code 1.
    #[error("{0}")]
    Problems(String),
    /// The reader of the output is gone, as with `| head`: not worth a word.
    #[error("nobody reads the output any more")]
    Unread(io::Error),
}

impl Failure {
    /// A failure to read or write, with its cause.
    pub fn unreachable(what: impl std::fmt::Display) -> Self {
        Self::Unreachable(what.to_string())
    }

    fn code(&self) -> u8 {
        match self {
            Self::Problems(_) => 1,
            Self::Usage(_) => 2,
            Self::Unreachable(_) | Self::Unread(_) => 3,
            Self::Conflict(_) => 4,
        }
    }
}

impl Out {
    /// The process's own streams.
    pub fn new() -> Self {
        Self { data: io::BufWriter::new(io::stdout()), quiet: false, as_log: false, reply: Reply::InWords }
    }

    /// A line of data.
    pub fn line(&mut self, line: impl std::fmt::Display) -> Result<(), Failure> {
        writeln!(self.data, "{line}").map_err(Failure::Unread)
    }

    /// Data as it stands.
    pub fn raw(&mut self, data: &str) -> Result<(), Failure> {
        self.data.write_all(data.as_bytes()).and_then(|()| self.data.flush()).map_err(Failure::Unread)
    }

    /// A value as JSON, one line.
    pub fn json(&mut self, value: &impl Serialize) -> Result<(), Failure> {
        self.reply = Reply::Given;
        serde_json::to_writer(&mut self.data, value).map_err(|e| Failure::Unread(e.into()))?;
        writeln!(self.data).map_err(Failure::Unread)
    }

    /// Writes what is held back; a command is not done before.
    pub fn done(&mut self) -> Result<ExitCode, Failure> {
        self.data.flush().map_err(Failure::Unread)?;
        Ok(ExitCode::SUCCESS)
    }

    /// As `done`, with exit code 1: done, and problems found.
    pub fn done_with_problems(&mut self) -> Result<ExitCode, Failure> {
        self.done().map(|_| ExitCode::from(1))
    }

    /// Whether to say nothing but what failed.
    pub fn be_quiet(&mut self, quiet: bool) {
        self.quiet = quiet;
    }

    /// Whether nothing is said but what failed.
    pub fn is_quiet(&self) -> bool {
        self.quiet
    }

    /// The reply is one document in JSON, also where the command fails.
    pub fn owes_json(&mut self) {
        self.reply = Reply::Owed;
    }

    /// Words become lines of a log in JSON: whoever reads standard error is a program.
    pub fn speak_as_log(&mut self) {
        self.as_log = true;
    }

    /// A word to whoever sits at the terminal.
    pub fn word(&self, word: impl std::fmt::Display) {
        if !self.quiet {
            self.needed(word);
        }
    }

    /// A word that is needed: why something failed, or what is asked.
    pub fn needed(&self, word: impl std::fmt::Display) {
        self.say(Level::INFO, word);
    }

    fn say(&self, level: Level, word: impl std::fmt::Display) {
        if self.as_log {
            return log::say(LogFormat::Json, level, &word.to_string());
        }
        // Words that nobody reads are no failure.
        let _ = writeln!(io::stderr(), "{word}");
    }

    /// Says why a command failed.
    pub fn fail(&mut self, failure: &Failure) -> ExitCode {
        if self.reply == Reply::Owed && !matches!(failure, Failure::Unread(_)) {
            // Who does not read the document reads the exit code.
            let _ = self.json(&Failed { failed: failure.to_string(), exit_code: failure.code() });
        }
        // What was written before the failure is still the reader's.
        let _ = self.data.flush();
        let closed = matches!(failure, Failure::Unread(cause) if cause.kind() == io::ErrorKind::BrokenPipe);
        if !closed {
            self.say(Level::ERROR, format_args!("lastbench: {failure}"));
        }
        ExitCode::from(failure.code())
    }

    /// Asks on a terminal; `None` when there is none.
    pub fn ask(&self, question: &str) -> Option<bool> {
        if !(io::stdin().is_terminal() && io::stderr().is_terminal()) {
            return None;
        }
        self.needed(format_args!("{question} [y/N]"));
        let mut answer = String::new();
        io::stdin().read_line(&mut answer).ok()?;
        Some(matches!(answer.trim(), "y" | "Y" | "yes"))
    }
}

impl Default for Out {
    fn default() -> Self {
        Self::new()
    }
}
