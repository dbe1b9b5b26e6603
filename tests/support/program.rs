//! The program as a person at a terminal meets it: arguments in, exit code and two streams out.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::http::{Answer, get};

/// The program with a working folder of its own, which goes with the value; its catalogue is the default one there.
pub struct Lastbench {
    program: PathBuf,
    folder: tempfile::TempDir,
}

/// One run of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ran {
    /// Its exit code; `None` when a signal ended it.
    pub code: Option<i32>,
    /// The data.
    pub stdout: String,
    /// The words.
    pub stderr: String,
}

/// A running server; it is stopped with the value.
pub struct Serving {
    child: Child,
    /// Host and port.
    pub address: String,
}

impl Lastbench {
    /// `program` in an empty folder.
    pub fn new(program: &str) -> Self {
        Self { program: program.into(), folder: tempfile::tempdir().expect("a temporary folder") }
    }

    /// A file in the working folder.
    pub fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// The folder of the catalogue.
    pub fn data(&self) -> PathBuf {
        self.at("lastbench-data")
    }

    /// Writes a file into the working folder.
    pub fn write(&self, name: &str, text: &str) -> PathBuf {
        let path = self.at(name);
        std::fs::write(&path, text).expect("a temporary folder can be written to");
        path
    }

    /// A command with these arguments, nobody at its terminal, and nothing of this computer's settings.
    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(&self.program);
        command.args(arguments).current_dir(self.folder.path()).stdin(Stdio::null());
        for setting in [
            "LASTBENCH_BACKUPS_TO",
            "LASTBENCH_CONFIG",
            "LASTBENCH_DATA",
            "LASTBENCH_HOST",
            "LASTBENCH_LISTEN",
            "LASTBENCH_LOG",
            "LASTBENCH_LOG_FORMAT",
            "LASTBENCH_ON_A_SHARE",
            "LASTBENCH_URL",
        ] {
            command.env_remove(setting);
        }
        command
    }

    /// Runs it to its end.
    pub fn run(&self, arguments: &[&str]) -> Ran {
        let output = self.command(arguments).output().expect("the program under test starts");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program writes UTF-8");
        Ran { code: output.status.code(), stdout: text(output.stdout), stderr: text(output.stderr) }
    }

    /// Runs it to its end, which must be exit code 0, and gives what it wrote to standard output.
    pub fn done(&self, arguments: &[&str]) -> String {
        let ran = self.run(arguments);
        assert_eq!(ran.code, Some(0), "{arguments:?}: {}", ran.stderr);
        ran.stdout
    }

    /// As [`Self::run`], with standard output read as JSON.
    pub fn json(&self, arguments: &[&str]) -> (Option<i32>, Value) {
        let ran = self.run(arguments);
        let value = serde_json::from_str(&ran.stdout)
            .unwrap_or_else(|fault| panic!("{arguments:?}: {fault}: {}{}", ran.stdout, ran.stderr));
        (ran.code, value)
    }

    /// Starts a server on a free port, waits until it answers, and leaves it running.
    pub fn serve(&self, arguments: &[&str]) -> Serving {
        let mut command = self.command(&["serve", "--listen", "127.0.0.1:0"]);
        command.args(arguments);
        let serving = Serving::begin(command);
        serving.wait_until_it_answers();
        serving
    }
}

impl Serving {
    /// Runs a command that serves, until it has said where.
    pub fn begin(mut command: Command) -> Self {
        let mut child = command.stderr(Stdio::piped()).spawn().expect("the program under test starts");
        let mut words = BufReader::new(child.stderr.take().expect("its words")).lines().map_while(Result::ok);
        let address = words.find_map(|line| address_in(&line)).expect("the server says where it listens");
        // A server whose words nobody reads would stop once the pipe is full.
        std::thread::spawn(move || words.for_each(drop));
        Self { child, address }
    }

    /// Its process.
    pub fn id(&self) -> u32 {
        self.child.id()
    }

    /// Its exit code, once it has ended; `None` when a signal ended it.
    pub fn ended(&mut self) -> Option<i32> {
        self.child.wait().expect("a child can be waited for").code()
    }

    /// Whether the process that was started still runs, and answers.
    pub fn lives(&mut self) -> bool {
        let runs = self.child.try_wait().is_ok_and(|ended| ended.is_none());
        runs && get(&self.address, "/shoes").is_ok_and(|answer| answer.status == 200)
    }

    /// Asks it for `target`.
    pub fn get(&self, target: &str) -> Answer {
        get(&self.address, target).unwrap_or_else(|fault| panic!("{target}: {fault}"))
    }

    fn wait_until_it_answers(&self) {
        let until = Instant::now() + Duration::from_secs(20);
        while !get(&self.address, "/healthz").is_ok_and(|answer| answer.status == 200) {
            assert!(Instant::now() < until, "the server does not answer");
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Ran {
    /// Nothing of a panic is in its words.
    pub fn assert_no_panic(&self) {
        assert!(!self.stderr.contains("panicked") && self.code.is_some(), "{self:?}");
    }
}

/// A path as an argument.
pub fn argument(path: &Path) -> &str {
    path.to_str().expect("temporary folders have plain names")
}

fn address_in(line: &str) -> Option<String> {
    let (_, address) = line.split_once("http://").or_else(|| line.split_once("https://"))?;
    address.split('/').next().map(str::to_owned)
}
