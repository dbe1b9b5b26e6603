//! A data folder that things are done to, and the program that works on it as a process of its own.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use tests::http::get;

pub(crate) const PROGRAM: &str = env!("CARGO_BIN_EXE_lastbench-under-test");

/// How long anything may take on a machine that has other work.
pub(crate) const PATIENCE: Duration = Duration::from_mins(1);

/// A data folder.
#[derive(Clone, Debug)]
pub(crate) struct House(pub(crate) PathBuf);

/// A server, stopped with the value.
pub(crate) struct Server {
    child: Child,
    /// The server itself where `child` is what watches it.
    pub(crate) pid: u32,
    pub(crate) address: String,
    /// What it said before it answered.
    pub(crate) said: String,
}

impl House {
    /// What runs the program on it, behind the words of `before`, such as those of a tracer.
    pub(crate) fn behind(&self, before: &[&str], arguments: &[&str]) -> Command {
        let words = [before, &[PROGRAM], arguments].concat();
        let mut command = Command::new(words[0]);
        command.args(&words[1..]).env("LASTBENCH_DATA", &self.0).stdin(Stdio::null());
        for setting in ["LASTBENCH_LISTEN", "LASTBENCH_LOG"] {
            command.env_remove(setting);
        }
        command
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Output {
        self.behind(&[], arguments).output().unwrap()
    }

    /// Starts a server, which may end before it listens: then its words.
    pub(crate) fn serve(&self, before: &[&str]) -> Result<Server, String> {
        let (mut child, mut words) = self.begin_to_serve(before);
        let mut said = String::new();
        let address = loop {
            let mut line = String::new();
            if words.read_line(&mut line).unwrap_or(0) == 0 {
                let code = child.wait().unwrap().code();
                return Err(format!("exit {code:?}: {said}"));
            }
            // Whoever is refused is told another server's address.
            let shows = line.contains("Lastbench shows");
            if let Some((_, rest)) = line.split_once("http://").filter(|_| shows) {
                break rest.split('/').next().unwrap().to_owned();
            }
            said.push_str(&line);
        };
        // A server whose words nobody reads would stop once the pipe is full.
        std::thread::spawn(move || words.lines().map_while(Result::ok).for_each(drop));
        let pid = if before.is_empty() { child.id() } else { lastbench_below(child.id()) };
        let server = Server { child, pid, address, said };
        wait_for("the server answers", || get(&server.address, "/healthz").is_ok());
        Ok(server)
    }

    /// A server that nobody waits for.
    pub(crate) fn begin_to_serve(&self, before: &[&str]) -> (Child, BufReader<std::process::ChildStderr>) {
        let mut command = self.behind(before, &["serve", "--listen", "127.0.0.1:0"]);
        let mut child = command.stderr(Stdio::piped()).stdout(Stdio::null()).spawn().unwrap();
        let words = BufReader::new(child.stderr.take().unwrap());
        (child, words)
    }

    /// As another folder was, at the end of which nothing ran.
    pub(crate) fn copy(from: &Path, to: PathBuf) -> Self {
        copy_folder(from, &to).unwrap();
        Self(to)
    }
}

impl Server {
    /// As a pulled plug does it; returns once it is gone.
    pub(crate) fn kill(mut self) {
        signal(self.pid, "KILL");
        let _ = self.child.wait();
    }

    /// Asks it to stop, and gives its exit code.
    pub(crate) fn stop(mut self) -> Option<i32> {
        signal(self.pid, "TERM");
        let until = Instant::now() + PATIENCE;
        while Instant::now() < until {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.code();
            }
            std::thread::sleep(Duration::from_millis(10));
        }
        panic!("the server does not stop");
    }

    pub(crate) fn lives(&mut self) -> bool {
        self.child.try_wait().unwrap().is_none()
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        if self.lives() {
            signal(self.pid, "KILL");
            let _ = self.child.kill();
            let _ = self.child.wait();
        }
    }
}

/// Waits until `is_so`.
pub(crate) fn wait_for(what: &str, mut is_so: impl FnMut() -> bool) {
    let until = Instant::now() + PATIENCE;
    while !is_so() {
        assert!(Instant::now() < until, "in vain: {what}");
        std::thread::sleep(Duration::from_millis(5));
    }
}

pub(crate) fn signal(pid: u32, name: &str) {
    let _ = Command::new("kill").args([&format!("-{name}"), &pid.to_string()]).stderr(Stdio::null()).status();
}

/// The processes that `pid` has started.
pub(crate) fn children(pid: u32) -> Vec<u32> {
    let Ok(tasks) = fs::read_dir(format!("/proc/{pid}/task")) else { return Vec::new() };
    let of_task =
        tasks.flatten().map(|task| fs::read_to_string(task.path().join("children")).unwrap_or_default());
    of_task
        .flat_map(|ids| ids.split_whitespace().filter_map(|id| id.parse().ok()).collect::<Vec<_>>())
        .collect()
}

/// The process of the program that `pid` watches.
fn lastbench_below(pid: u32) -> u32 {
    let named = |pid: u32| {
        fs::read_link(format!("/proc/{pid}/exe"))
            .is_ok_and(|program| program.ends_with("lastbench-under-test"))
    };
    if named(pid) {
        return pid;
    }
    children(pid).into_iter().find(|child| named(*child)).unwrap_or(pid)
}

/// Every file of a folder; one that goes away meanwhile is left out.
pub(crate) fn copy_folder(from: &Path, to: &Path) -> std::io::Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)?.flatten() {
        let (there, here) = (entry.path(), to.join(entry.file_name()));
        if there.is_dir() {
            copy_folder(&there, &here)?;
        } else if let Err(fault) = fs::copy(&there, &here)
            && fault.kind() != std::io::ErrorKind::NotFound
        {
            return Err(fault);
        }
    }
    Ok(())
}

/// Runs a tool of the system; whether it did what it was asked.
pub(crate) fn tool(words: &[&str]) -> bool {
    let run = Command::new(words[0]).args(&words[1..]).stdin(Stdio::null()).output();
    run.is_ok_and(|output| output.status.success())
}
