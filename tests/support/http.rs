//! The smallest client that will do: one GET, one answer, no library.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::Duration;

/// What a server answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Its status, such as 200.
    pub status: u16,
    /// The lines of its head.
    pub head: String,
    /// Its body.
    pub body: String,
}

/// Asks `address` (host and port) for `target`.
///
/// # Errors
/// No connection, or no answer within ten seconds.
pub fn get(address: &str, target: &str) -> std::io::Result<Answer> {
    let mut stream = TcpStream::connect(address)?;
    stream.set_read_timeout(Some(Duration::from_secs(10)))?;
    // HTTP/1.0: the body ends with the connection, in no chunks.
    write!(stream, "GET {target} HTTP/1.0\r\nHost: {address}\r\n\r\n")?;
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes)?;
    let text = String::from_utf8_lossy(&bytes);
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let status = head.split(' ').nth(1).and_then(|word| word.parse().ok());
    let status = status.ok_or_else(|| std::io::Error::other(format!("no status in {head:?}")))?;
    Ok(Answer { status, head: head.to_owned(), body: body.to_owned() })
}
