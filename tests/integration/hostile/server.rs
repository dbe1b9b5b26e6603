//! One real server over a small catalogue, and the two folders that must stay as they are: its catalogue and its
//! temporary files.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{Shutdown, TcpStream};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use tests::http::{Answer, get};
use tests::program::{Lastbench, Ran};

const RANGE: &str = "Maker,Style number,Name\nFeldrast,FR-1,Egge\nFeldrast,FR-2,Halm\n";

/// A catalogue of two styles, and a folder for temporary files that has to stay empty.
pub(crate) struct Place {
    pub(crate) lastbench: Lastbench,
    before: String,
}

impl Place {
    pub(crate) fn new() -> Self {
        Self::of(RANGE)
    }

    pub(crate) fn of(sheet: &str) -> Self {
        let lastbench = tests::lastbench!();
        fs::create_dir(lastbench.at("spool")).unwrap();
        lastbench.write("range.csv", sheet);
        lastbench.run(&["import", "--yes", "range.csv"]);
        let before = lastbench.done(&["export"]);
        Self { lastbench, before }
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = self.lastbench.command(arguments);
        command.env("TMPDIR", self.lastbench.at("spool"));
        command
    }

    /// Looks at a sheet with `import --check --json`.
    pub(crate) fn check(&self, name: &str, bytes: &[u8]) -> Ran {
        fs::write(self.lastbench.at(name), bytes).unwrap();
        let output =
            self.command(&["import", "--check", "--json", "--supplier", "X", name]).output().unwrap();
        fs::remove_file(self.lastbench.at(name)).unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        Ran { code: output.status.code(), stdout: text(output.stdout), stderr: text(output.stderr) }
    }

    /// Nothing was stored, and no temporary file is left.
    pub(crate) fn is_as_before(&self) {
        assert_eq!(self.lastbench.done(&["export"]), self.before, "something was stored");
        let left: Vec<_> = fs::read_dir(self.lastbench.at("spool")).unwrap().collect();
        assert!(left.is_empty(), "{left:?}");
    }
}

/// The server; it is stopped with the value.
pub(crate) struct Server {
    pub(crate) place: Place,
    child: Child,
    address: String,
}

impl Server {
    pub(crate) fn start(place: Place) -> Self {
        let mut command = place.command(&["serve", "--listen", "127.0.0.1:0"]);
        let mut child = command.stderr(Stdio::piped()).spawn().unwrap();
        let mut words = BufReader::new(child.stderr.take().unwrap()).lines().map_while(Result::ok);
        let first = words.find(|line| line.contains("http://")).unwrap();
        let address =
            first.split("http://").nth(1).and_then(|rest| rest.split('/').next()).unwrap().to_owned();
        std::thread::spawn(move || words.for_each(drop));
        Self { place, child, address }
    }

    pub(crate) fn get(&self, target: &str) -> Answer {
        get(&self.address, target).unwrap_or_else(|fault| panic!("{target}: {fault}"))
    }

    /// Sends a sheet, and the answer once it is read: its page, or the refusal.
    pub(crate) fn sheet(&self, name: &str, bytes: &[u8]) -> (String, Answer) {
        let file = format!("name=\"file\"; filename=\"{name}\"");
        let body = form(&[("name=\"supplier\"", b"X"), (&file, bytes)]);
        let sent = self.post(&body, body.len());
        let Some(to) = sent.head.lines().find_map(|line| line.strip_prefix("location: ")) else {
            return (String::new(), sent);
        };
        loop {
            let page = self.get(to);
            if !page.head.contains("refresh: ") {
                return (to.to_owned(), page);
            }
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Posts a form that says it has so many bytes; what does not come is cut off.
    pub(crate) fn post(&self, body: &[u8], length: usize) -> Answer {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
        let head = format!(
            "POST /sheets HTTP/1.0\r\nHost: {}\r\nSec-Fetch-Site: same-origin\r\nAccept: text/html\r\nContent-Type: multipart/form-data; boundary=cut\r\nContent-Length: {length}\r\n\r\n",
            self.address
        );
        stream.write_all(&[head.as_bytes(), body].concat()).unwrap();
        if body.len() < length {
            stream.shutdown(Shutdown::Write).unwrap();
        }
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        let text = String::from_utf8_lossy(&bytes);
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.split(' ').nth(1).and_then(|word| word.parse().ok()).unwrap_or(0);
        Answer { status, head: head.to_owned(), body: body.to_owned() }
    }

    /// It is the process that was started, and it goes on answering.
    pub(crate) fn lives(&mut self, after: &str) {
        assert_eq!(self.child.try_wait().unwrap(), None, "ended after {after}");
        for page in ["/healthz", "/shoes"] {
            assert_eq!(self.get(page).status, 200, "{page} after {after}");
        }
    }

    /// The memory it holds, in kB.
    pub(crate) fn resident(&self) -> u64 {
        let status = fs::read_to_string(format!("/proc/{}/status", self.child.id())).unwrap();
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap();
        line.trim().trim_end_matches(" kB").parse().unwrap()
    }

    /// The processes that it has started and that have not ended.
    pub(crate) fn children(&self) -> Vec<String> {
        let tasks = fs::read_dir(format!("/proc/{}/task", self.child.id())).unwrap();
        let of_task =
            tasks.map(|task| fs::read_to_string(task.unwrap().path().join("children")).unwrap_or_default());
        of_task.filter(|children| !children.is_empty()).collect()
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A form of these parts: what each says of itself, and its bytes.
pub(crate) fn form(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut body = Vec::new();
    for (said, bytes) in parts {
        body.extend(format!("--cut\r\nContent-Disposition: form-data; {said}\r\n\r\n").as_bytes());
        body.extend(*bytes);
        body.extend(b"\r\n");
    }
    body.extend(b"--cut--\r\n");
    body
}
