//! Callers that hold a connection and do not get on: each is let go, whoever else calls is answered meanwhile.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::io::{Read, Write};
use std::net::TcpStream;
use std::thread;
use std::time::Duration;

use tests::wire::{heard, said, sent, statuses};

/// A byte now and then, until the other side will have no more.
fn trickle(stream: &TcpStream, byte: u8) {
    let mut stream = stream.try_clone().unwrap();
    thread::spawn(move || {
        while stream.write_all(&[byte]).is_ok() {
            thread::sleep(Duration::from_millis(500));
        }
    });
}

#[test]
fn whoever_says_nothing_or_hardly_anything_is_let_go_and_a_slow_body_hears_why() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let own = serving.address.clone();
    let post = |target: &str, more: &str| {
        format!("POST {target} HTTP/1.1\r\nHost: {own}\r\nOrigin: http://{own}\r\n{more}\r\n")
    };
    let form = "Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 60000\r\n";
    let sheet = "Content-Type: multipart/form-data; boundary=cut\r\nContent-Length: 1000000\r\n";
    let waits = format!("{form}Expect: 100-continue\r\n");
    let begun = format!(
        "{}--cut\r\nContent-Disposition: form-data; name=\"file\"; filename=\"a.csv\"\r\n\r\n",
        post("/sheets", sheet)
    );
    // What is sent, the byte that trickles after it, and what is answered.
    let callers = [
        ("silent", String::new(), None, vec![]),
        ("half a header", "GET /shoes HTTP/1.1\r\nHost: ".to_owned(), None, vec![]),
        ("a header byte by byte", "GET /shoes HTTP/1.1\r\nX-A: ".to_owned(), Some(b'a'), vec![]),
        ("idle after an answer", format!("GET /healthz HTTP/1.1\r\nHost: {own}\r\n\r\n"), None, vec![200]),
        ("no body", post("/language", form), None, vec![408]),
        ("a body byte by byte", post("/language", form), Some(b'a'), vec![408]),
        ("a sheet byte by byte", begun, Some(b'a'), vec![408]),
        ("silent after Expect", post("/language", &waits), None, vec![100, 408]),
    ];
    let said: Vec<_> = thread::scope(|scope| {
        let all: Vec<_> = callers
            .iter()
            .map(|(_, bytes, byte, _)| {
                let stream = sent(&own, bytes.as_bytes());
                if let Some(byte) = byte {
                    trickle(&stream, *byte);
                }
                scope.spawn(move || heard(stream))
            })
            .collect();
        assert!(serving.lives(), "others are answered meanwhile");
        all.into_iter().map(|caller| caller.join().unwrap()).collect()
    });
    for ((name, _, _, answered), said) in callers.iter().zip(said) {
        assert_eq!(statuses(&said), *answered, "{name}: {said}");
    }
    assert!(serving.lives());
}

#[test]
fn a_caller_who_breaks_off_while_sending_or_reading_takes_nothing_along() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let own = serving.address.clone();
    let body = format!(
        "POST /sheets HTTP/1.1\r\nHost: {own}\r\nOrigin: http://{own}\r\nContent-Type: multipart/form-data; \
         boundary=cut\r\nContent-Length: 1000000\r\n\r\n--cut\r\nContent-Disposition: form-data; name=\"file\"; \
         filename=\"a.csv\"\r\n\r\nMaker,Name\r\n"
    );
    for _ in 0..40 {
        drop(sent(&own, body.as_bytes()));
        let mut stream = sent(&own, format!("GET /shoes HTTP/1.1\r\nHost: {own}\r\n\r\n").as_bytes());
        stream.read_exact(&mut [0; 10]).unwrap();
    }
    assert!(serving.lives());
    assert!(!serving.get("/sheets").body.contains("a.csv"), "a sheet waits");
    let close = format!("GET /healthz HTTP/1.1\r\nHost: {own}\r\nConnection: close\r\n\r\n");
    assert_eq!(statuses(&said(&own, close.as_bytes())), [200]);
}
