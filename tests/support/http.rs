//! The smallest client that will do: one request, one answer, no library.

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

impl Answer {
    /// Where the answer leads; panics when it leads nowhere.
    pub fn place(&self) -> String {
        let mut lines = self.head.lines().filter_map(|line| line.split_once(": "));
        let place = lines.find(|(name, _)| name.eq_ignore_ascii_case("location"));
        place.unwrap_or_else(|| panic!("it leads nowhere: {}", self.head)).1.to_owned()
    }
}

/// Asks `address` (host and port) for `target`.
///
/// # Errors
/// No connection, or no answer within ten seconds.
pub fn get(address: &str, target: &str) -> std::io::Result<Answer> {
    // HTTP/1.0: the body ends with the connection, in no chunks.
    asked(address, format!("GET {target} HTTP/1.0\r\nHost: {address}\r\n\r\n").as_bytes())
}

/// Posts a form as a page of the server itself would.
///
/// # Errors
/// No connection, or no answer within ten seconds.
pub fn post(address: &str, target: &str, fields: &[(&str, &str)]) -> std::io::Result<Answer> {
    let form = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
    post_body(address, target, "application/x-www-form-urlencoded", form.as_bytes())
}

/// Sends a sheet as the page of sheets does.
///
/// # Errors
/// No connection, or no answer within ten seconds.
pub fn post_sheet(address: &str, supplier: &str, name: &str, bytes: &[u8]) -> std::io::Result<Answer> {
    let body = sheet_form(supplier, "partial", name, bytes);
    post_body(address, "/sheets", "multipart/form-data; boundary=cut", &body)
}

/// The form of the page of sheets as a browser sends it, with `cut` as its boundary.
pub fn sheet_form(supplier: &str, kind: &str, name: &str, bytes: &[u8]) -> Vec<u8> {
    let part = |of: &str| format!("--cut\r\nContent-Disposition: form-data; name=\"{of}\"");
    let mut body = format!(
        "{}\r\n\r\n{supplier}\r\n{}\r\n\r\n{kind}\r\n{}; filename=\"{name}\"\r\n\r\n",
        part("supplier"),
        part("kind"),
        part("file")
    )
    .into_bytes();
    body.extend_from_slice(bytes);
    body.extend_from_slice(b"\r\n--cut--\r\n");
    body
}

fn post_body(address: &str, target: &str, kind: &str, body: &[u8]) -> std::io::Result<Answer> {
    let length = body.len();
    let head = format!(
        "POST {target} HTTP/1.0\r\nHost: {address}\r\nSec-Fetch-Site: same-origin\r\nAccept: text/html\r\n\
         Content-Type: {kind}\r\nContent-Length: {length}\r\n\r\n"
    );
    asked(address, &[head.as_bytes(), body].concat())
}

fn asked(address: &str, request: &[u8]) -> std::io::Result<Answer> {
    let mut stream = TcpStream::connect(address)?;
    stream.set_read_timeout(Some(Duration::from_secs(10)))?;
    stream.write_all(request)?;
    let mut bytes = Vec::new();
    stream.read_to_end(&mut bytes)?;
    let text = String::from_utf8_lossy(&bytes);
    let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
    let status = head.split(' ').nth(1).and_then(|word| word.parse().ok());
    let status = status.ok_or_else(|| std::io::Error::other(format!("no status in {head:?}")))?;
    Ok(Answer { status, head: head.to_owned(), body: body.to_owned() })
}
