//! Uploads that do not arrive as a form with one sheet: each gets a clear page, and leaves nothing.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use crate::hostile::server::{Place, Server, form};
use crate::owner_bench::words;

const SHEET: &[u8] = b"Maker,Style number,Name\nFeldrast,FR-3,Flur\n";
const FILE: &str = "name=\"file\"; filename=\"a.csv\"";

/// What the server answers a whole body with.
fn answer(server: &Server, body: &[u8]) -> (u16, String) {
    let answer = server.post(body, body.len());
    (answer.status, words(&answer.body))
}

/// No sheet waits, nothing is stored, and the server goes on.
fn nothing_is_left(mut server: Server) {
    server.lives("the uploads");
    assert!(!server.get("/sheets").body.contains("a.csv"), "a sheet waits");
    assert_eq!(server.children(), [""; 0]);
    server.place.is_as_before();
}

#[test]
fn an_upload_that_is_cut_off_leaves_nothing() {
    let server = Server::start(Place::new());
    let body = form(&[("name=\"supplier\"", b"X"), (FILE, SHEET)]);
    for end in [0, 10, body.len() / 2, body.len() - 12] {
        let answer = server.post(&body[..end], body.len());
        assert!(matches!(answer.status, 0 | 400), "{end}: {answer:?}");
    }
    nothing_is_left(server);
}

#[test]
fn a_form_that_does_not_end_is_told_to_be_sent_again() {
    let server = Server::start(Place::new());
    let body = form(&[(FILE, SHEET)]);
    for broken in [&body[..body.len() - 9], &body[..60], b"--cut", b"", b"no form at all"] {
        let (status, words) = answer(&server, broken);
        assert_eq!(status, 400, "{words}");
        assert!(words.contains("did not arrive whole") && words.contains("Send the sheet again"), "{words}");
    }
    nothing_is_left(server);
}

#[test]
fn a_form_without_a_file_says_what_to_choose() {
    let server = Server::start(Place::new());
    for body in [form(&[("name=\"supplier\"", b"X")]), form(&[("name=\"other\"; filename=\"a.csv\"", SHEET)])]
    {
        let (status, words) = answer(&server, &body);
        assert_eq!(status, 400, "{words}");
        assert!(words.contains("No file was chosen") && words.contains("Choose a sheet"), "{words}");
    }
    nothing_is_left(server);
}

#[test]
fn an_upload_over_the_limit_names_the_limit_and_its_own_size() {
    let server = Server::start(Place::new());
    // The body may have 40 MB of 1,048,576 bytes, the file in it 40 MB of 1,000,000.
    for (bytes, said) in [
        (43_000_000, "At most 40 MB are taken here. This one has 42 MB."),
        (40_000_001, "The file has 41 MB; a sheet may have 40 MB. Split it into several files"),
    ] {
        let (status, words) = answer(&server, &form(&[(FILE, &vec![b'x'; bytes])]));
        assert_eq!(status, 413, "{words}");
        assert!(words.contains(said), "{words}");
    }
    nothing_is_left(server);
}

#[test]
fn of_two_files_in_one_form_none_is_read_and_the_page_says_so() {
    let server = Server::start(Place::new());
    let body = form(&[(FILE, SHEET), ("name=\"file\"; filename=\"b.csv\"", SHEET)]);
    let sent = server.post(&body, body.len());
    assert_eq!(sent.status, 400);
    assert!(sent.body.contains("Send one sheet after the other"), "{}", sent.body);
    nothing_is_left(server);
}
