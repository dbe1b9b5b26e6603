//! Many connections that stay open, each asking one thing after the other.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

/// A fitting with the answers of a first form; its address on the server.
pub(crate) fn opened(address: &str, runner: &str) -> String {
    let form = post(address, "/fittings", "");
    let fitting = form.strip_suffix("/runner").unwrap().to_owned();
    assert_eq!(post(address, &form, runner), fitting, "the answers were taken");
    fitting
}

/// The page behind a path.
pub(crate) fn text(address: &str, path: &str) -> String {
    String::from_utf8(Connection::to(address).ask(path)).unwrap()
}

/// How long each of `times` answers took on each of `connections` at once, after one unmeasured each.
pub(crate) fn asked_at_once(address: &str, path: &str, connections: usize, times: usize) -> Vec<Duration> {
    let ask = || {
        let mut connection = Connection::to(address);
        connection.ask(path);
        (0..times)
            .map(|_| {
                let begun = Instant::now();
                connection.ask(path);
                begun.elapsed()
            })
            .collect::<Vec<_>>()
    };
    std::thread::scope(|scope| {
        let clients: Vec<_> = (0..connections).map(|_| scope.spawn(ask)).collect();
        clients.into_iter().flat_map(|client| client.join().unwrap()).collect()
    })
}

/// How long each of `times` answers took when something was posted before it, each on a connection of its own.
pub(crate) fn asked_after(address: &str, posted: &str, path: &str, times: usize) -> Vec<Duration> {
    let mut connection = Connection::to(address);
    connection.ask(path);
    let ask = |_| {
        post(address, posted, "");
        let begun = Instant::now();
        connection.ask(path);
        begun.elapsed()
    };
    (0..times).map(ask).collect()
}

struct Connection {
    stream: BufReader<TcpStream>,
    host: String,
}

impl Connection {
    fn to(address: &str) -> Self {
        let stream = TcpStream::connect(address).unwrap();
        stream.set_nodelay(true).unwrap();
        Self { stream: BufReader::new(stream), host: address.to_owned() }
    }

    fn ask(&mut self, path: &str) -> Vec<u8> {
        let request = format!("GET {path} HTTP/1.1\r\nHost: {}\r\n\r\n", self.host);
        self.stream.get_mut().write_all(request.as_bytes()).unwrap();
        let (status, length, _) = self.head();
        assert_eq!(status, 200, "{path}");
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body).unwrap();
        body
    }

    /// Status, length of the body, and where it leads.
    fn head(&mut self) -> (u16, usize, String) {
        let (mut status, mut length, mut to) = (0, 0, String::new());
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line).unwrap();
            match line.trim_end().split_once(": ") {
                Some((name, value)) if name.eq_ignore_ascii_case("content-length") => {
                    length = value.parse().unwrap();
                }
                Some((name, value)) if name.eq_ignore_ascii_case("location") => value.clone_into(&mut to),
                Some(_) => {}
                None if line.starts_with("HTTP/") => status = line[9..12].parse().unwrap(),
                None => return (status, length, to),
            }
        }
    }
}

/// Where the answer leads.
fn post(address: &str, path: &str, fields: &str) -> String {
    let mut connection = Connection::to(address);
    let request = format!(
        "POST {path} HTTP/1.1\r\nHost: {address}\r\nOrigin: http://{address}\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{fields}",
        fields.len()
    );
    connection.stream.get_mut().write_all(request.as_bytes()).unwrap();
    connection.head().2
}
