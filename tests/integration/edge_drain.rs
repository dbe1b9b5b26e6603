//! The end: what was begun is finished, nothing new is promised, and whoever asks twice is not kept waiting.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::io::{Read, Write};
use std::net::TcpStream;
use std::process::Command;
use std::time::{Duration, Instant};

use tests::program::Serving;
use tests::wire::{heard, sent, statuses};

fn terminate(serving: &Serving) {
    let sent = Command::new("kill").args(["-TERM", &serving.id().to_string()]).status().unwrap();
    assert!(sent.success());
}

/// Until the server takes no more connections: it has heard.
fn wait_until_it_stops(serving: &Serving) {
    while TcpStream::connect(&serving.address).is_ok() {
        std::thread::sleep(Duration::from_millis(10));
    }
}

#[test]
fn told_to_stop_the_server_answers_what_was_begun_says_that_it_closes_and_ends_well() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let own = &serving.address;
    let length = "Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 9\r\n";
    let head = format!(
        "POST /language HTTP/1.1\r\nHost: {own}\r\nOrigin: http://{own}\r\nExpect: 100-continue\r\n{length}\r\n"
    );
    let mut stream = sent(own, head.as_bytes());
    // The server has the request in hand once it asks for the body.
    stream.read_exact(&mut [0; 12]).unwrap();
    let mut idle = sent(own, format!("GET /healthz HTTP/1.1\r\nHost: {own}\r\n\r\n").as_bytes());
    idle.read_exact(&mut [0; 12]).unwrap();
    terminate(&serving);
    wait_until_it_stops(&serving);
    stream.write_all(b"shop=name").unwrap();
    let said = heard(stream);
    assert_eq!(statuses(&said), [303], "{said}");
    assert!(said.to_lowercase().contains("connection: close"), "{said}");
    assert!(heard(idle).ends_with("alive\n"), "an idle connection is closed");
    assert_eq!(serving.ended(), Some(0));
}

#[test]
fn told_twice_it_ends_at_once_whatever_is_in_hand() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let own = &serving.address;
    let head = format!(
        "POST /language HTTP/1.1\r\nHost: {own}\r\nOrigin: http://{own}\r\nExpect: 100-continue\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 9\r\n\r\n"
    );
    let mut stream = sent(own, head.as_bytes());
    stream.read_exact(&mut [0; 12]).unwrap();
    terminate(&serving);
    wait_until_it_stops(&serving);
    let told = Instant::now();
    terminate(&serving);
    assert_eq!(serving.ended(), Some(0));
    assert!(told.elapsed() < Duration::from_secs(9), "the drain time was waited for");
    drop(stream);
}
