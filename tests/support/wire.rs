//! Bytes over a socket, as no well-behaved client would send them.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::Duration;

/// Longer than any timer of the server that a test meets.
const PATIENCE: Duration = Duration::from_secs(40);

/// A connection to `address` (host and port) with these bytes sent.
///
/// # Panics
/// No connection comes about.
pub fn sent(address: &str, bytes: &[u8]) -> TcpStream {
    let mut stream = TcpStream::connect(address).expect("the server takes connections");
    stream.set_read_timeout(Some(PATIENCE)).expect("a socket has timers");
    // A server that has heard enough hangs up before it has it all.
    let _ = stream.write_all(bytes);
    stream
}

/// All that comes until the server hangs up; a reset is hanging up too.
///
/// # Panics
/// The server does not hang up.
pub fn heard(mut stream: impl Read) -> String {
    let mut heard = Vec::new();
    let mut part = [0; 16 * 1024];
    loop {
        match stream.read(&mut part) {
            Ok(0) => break,
            Ok(bytes) => heard.extend(&part[..bytes]),
            Err(fault) if fault.kind() == std::io::ErrorKind::WouldBlock => {
                panic!("the server does not hang up after {:?}", String::from_utf8_lossy(&heard))
            }
            Err(_) => break,
        }
    }
    String::from_utf8_lossy(&heard).into_owned()
}

/// What a server says to these bytes until it hangs up.
pub fn said(address: &str, bytes: &[u8]) -> String {
    heard(sent(address, bytes))
}

/// The statuses of all answers in what a server said.
pub fn statuses(said: &str) -> Vec<u16> {
    let lines = said.split("HTTP/1.1 ").skip(1);
    lines.filter_map(|line| line.get(..3)?.parse().ok()).collect()
}
