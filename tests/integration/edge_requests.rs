//! Requests in shapes that no browser sends: each has its verdict, and the server is the same afterwards.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use tests::program::Serving;
use tests::wire::{said, statuses};

/// A request and what is answered: its status, or nothing where the connection is closed without a word.
struct Case {
    name: &'static str,
    bytes: Vec<u8>,
    answered: &'static [u16],
}

fn case(name: &'static str, bytes: impl Into<Vec<u8>>, answered: &'static [u16]) -> Case {
    Case { name, bytes: bytes.into(), answered }
}

/// Lines with the server's own host, closed at the end.
fn lines(address: &str, first: &str, more: &str) -> String {
    format!("{first} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n{more}\r\n")
}

/// As [`lines`], as a page of the server would post a form.
fn form(address: &str, more: &str, body: &str) -> String {
    let own =
        format!("Origin: http://{address}\r\nContent-Type: application/x-www-form-urlencoded\r\n{more}");
    format!("{}{body}", lines(address, "POST /language", &own))
}

fn hold(serving: &mut Serving, cases: Vec<Case>) {
    let mut faults = Vec::new();
    for Case { name, bytes, answered } in cases {
        let said = said(&serving.address, &bytes);
        if statuses(&said) != answered {
            faults.push(format!(
                "{name}: {:?} {}",
                statuses(&said),
                said.chars().take(300).collect::<String>()
            ));
        }
        if !serving.lives() {
            faults.push(format!("{name}: the server does not answer any more"));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn a_request_with_two_ends_is_refused_or_is_the_last_of_its_connection() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let own = serving.address.clone();
    let smuggled = format!("GET /shoes HTTP/1.1\r\nHost: {own}\r\n\r\n");
    // What stands behind the chunks would be a second request; keep-alive is not asked off here.
    let chunked = |lengths: &str| {
        format!("POST /rank.json HTTP/1.1\r\nHost: {own}\r\n{lengths}\r\n2\r\n{{}}\r\n0\r\n\r\n{smuggled}")
    };
    let twice =
        |a: &str, b: &str| form(&own, &format!("Content-Length: {a}\r\nContent-Length: {b}\r\n"), "a=b");
    let te = "Transfer-Encoding: chunked\r\n";
    let cases = vec![
        case("length, then chunks", chunked(&format!("Content-Length: 4\r\n{te}")), &[200]),
        case("chunks, then length", chunked(&format!("{te}Content-Length: 4\r\n")), &[200]),
        case("chunks alone", chunked(te), &[200]),
        case("two lengths", twice("3", "5"), &[400]),
        case("two lengths in one line", form(&own, "Content-Length: 3, 3\r\n", "a=b"), &[400]),
        case("a negative length", form(&own, "Content-Length: -3\r\n", "a=b"), &[400]),
        case("a length with a sign", form(&own, "Content-Length: +3\r\n", "a=b"), &[400]),
        case("chunks not last", form(&own, "Transfer-Encoding: chunked, gzip\r\n", ""), &[400]),
        case("an unknown coding", form(&own, "Transfer-Encoding: xchunked\r\n", ""), &[400]),
        case("chunks in HTTP/1.0", chunked(te).replacen("HTTP/1.1", "HTTP/1.0", 1), &[400]),
        case("a blank before the colon", lines(&own, "GET /shoes", "X-A : b\r\n"), &[400]),
        case("a folded line", lines(&own, "GET /shoes", "X-A: b\r\n c\r\n"), &[400]),
    ];
    hold(&mut serving, cases);
}

#[test]
fn chunks_that_are_none_end_the_connection() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let own = serving.address.clone();
    let chunks = |text: &str| form(&own, "Transfer-Encoding: chunked\r\n", text);
    let cases = vec![
        case("no number", chunks("x\r\na=b\r\n0\r\n\r\n"), &[400]),
        case("a number beyond all numbers", chunks("fffffffffffffffff\r\na=b\r\n0\r\n\r\n"), &[400]),
        case("a chunk longer than it says", chunks("1\r\nabc\r\n0\r\n\r\n"), &[400]),
        case("an extension without end", chunks(&format!("3;{}", "a".repeat(40_000))), &[400]),
        case(
            "trailers without end",
            chunks(&format!("3\r\na=b\r\n0\r\n{}", "X-A: b\r\n".repeat(9_000))),
            &[400],
        ),
    ];
    hold(&mut serving, cases);
}

#[test]
fn a_head_that_cannot_be_read_or_is_too_large_is_refused() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let own = serving.address.clone();
    let get = |target: &str| lines(&own, &format!("GET {target}"), "");
    let headers = |count: usize| "X-A: b\r\n".repeat(count);
    let cookies = |count: usize| "Cookie: c=d\r\n".repeat(count);
    let cases = vec![
        case("HTTP/2", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", &[]),
        case("HTTP/0.9", "GET /\r\n\r\n", &[400]),
        case("TLS to a plain port", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03".to_vec(), &[400]),
        case("bare line feeds", get("/shoes").replace("\r\n", "\n"), &[200]),
        case("a carriage return alone", lines(&own, "GET /shoes", "X-A: b\rX-B: c\r\n"), &[400]),
        case("a NUL in a header", lines(&own, "GET /shoes", "X-A: b\0c\r\n"), &[400]),
        case("a NUL in the target", get("/sh\0oes"), &[400]),
        case("a target of 65 kB", get(&format!("/shoes?q={}", "a".repeat(65_000))), &[431]),
        case("a target of 15 kB", get(&format!("/shoes?q={}", "a".repeat(15_000))), &[414]),
        case("a target of 3 kB", get(&format!("/shoes?q={}", "a".repeat(3_000))), &[414]),
        case("101 headers", lines(&own, "GET /shoes", &headers(101)), &[431]),
        case("60 headers", lines(&own, "GET /shoes", &headers(60)), &[200]),
        case(
            "a header of 100 kB",
            lines(&own, "GET /shoes", &format!("X-A: {}\r\n", "b".repeat(100_000))),
            &[431],
        ),
        case(
            "a cookie of 8 kB",
            lines(&own, "GET /shoes", &format!("Cookie: a={}\r\n", "b".repeat(8_000))),
            &[200],
        ),
        case("60 cookies", lines(&own, "GET /shoes", &cookies(60)), &[200]),
        case("no percent", get("/shoes/%zz"), &[404]),
        case("half a percent in the query", get("/shoes?q=%"), &[308]),
        case("a NUL in percents", get("/shoes/%00"), &[404]),
        case("a NUL in the query", get("/shoes?q=%00"), &[200]),
        case("overlong UTF-8", get("/shoes/%c0%ae%c0%ae"), &[400]),
        case(
            "bytes beyond ASCII",
            [
                b"GET /shoes?q=\xff\xfe HTTP/1.1\r\nConnection: close\r\n".as_slice(),
                format!("Host: {own}\r\n\r\n").as_bytes(),
            ]
            .concat(),
            &[400],
        ),
        case("up and out", get("/assets/../../catalogue.sqlite"), &[404]),
        case("up and out in percents", get("/assets/..%2f..%2fcatalogue.sqlite"), &[404]),
        case("ten thousand parameters", get(&format!("/shoes?{}", "a&".repeat(10_000))), &[431]),
        case("parameters twice and in brackets", get("/shoes?size=9&size=10&size[]=11"), &[308]),
    ];
    hold(&mut serving, cases);
}

#[test]
fn methods_targets_and_bodies_of_other_servers_are_refused() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let own = serving.address.clone();
    let form = |more: &str, body: &str| form(&own, more, body);
    let from_here = format!("Origin: http://{own}\r\n");
    let cases = vec![
        case("TRACE", lines(&own, "TRACE /shoes", ""), &[405]),
        case("CONNECT", lines(&own, &format!("CONNECT {own}"), ""), &[403]),
        case("CONNECT elsewhere", lines(&own, "CONNECT evil.example:443", ""), &[421]),
        case("PATCH", lines(&own, "PATCH /shoes", &from_here), &[405]),
        case("a method of its own", lines(&own, "SHOES /shoes", &from_here), &[405]),
        case("a whole address", lines(&own, &format!("GET http://{own}/shoes"), ""), &[200]),
        case("a whole address elsewhere", lines(&own, "GET http://evil.example/shoes", ""), &[421]),
        case("another host", lines("evil.example", "GET /shoes", ""), &[421]),
        case("two hosts", lines(&own, "GET /shoes", "Host: evil.example\r\n"), &[421]),
        case("no host", "GET /shoes HTTP/1.1\r\nConnection: close\r\n\r\n", &[421]),
        case(
            "an origin of null",
            lines(&own, "POST /fittings", "Origin: null\r\nContent-Length: 0\r\n"),
            &[403],
        ),
        case(
            "a compressed form",
            form("Content-Encoding: gzip\r\nContent-Length: 3\r\n", "\x1f\x08\x08"),
            &[415],
        ),
        case("10 GB told", form("Content-Length: 10000000000\r\n", "a=b"), &[413]),
        case(
            "10 GB told by one who waits",
            form("Expect: 100-continue\r\nContent-Length: 10000000000\r\n", ""),
            &[413],
        ),
        case(
            "upgrade to HTTP/2",
            lines(&own, "GET /shoes", "Upgrade: h2c\r\nHTTP2-Settings: AAMAAABk\r\n"),
            &[200],
        ),
    ];
    hold(&mut serving, cases);
}

#[test]
fn chunks_beyond_the_limit_of_a_form_are_read_no_further() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let chunk = format!("2000\r\n{}\r\n", "a".repeat(0x2000));
    let bytes = form(&serving.address, "Transfer-Encoding: chunked\r\n", &chunk.repeat(12));
    assert_eq!(statuses(&said(&serving.address, bytes.as_bytes())), [413]);
    assert!(serving.lives());
}

#[test]
fn an_asset_comes_whole_whatever_range_is_asked_for() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let page = serving.get("/shoes").body;
    let asset = page.split('"').find(|part| part.starts_with("/assets/")).unwrap();
    let whole = serving.get(asset).body;
    for range in ["bytes=0-9", "bytes=9-0", "bytes=-5", "bytes=0-0,2-2,4-4", "bytes=99999999999999999999-"] {
        let answer = said(
            &serving.address,
            lines(&serving.address, &format!("GET {asset}"), &format!("Range: {range}\r\n")).as_bytes(),
        );
        assert_eq!(statuses(&answer), [200], "{range}");
        assert!(answer.ends_with(&whole), "{range}");
    }
    assert!(serving.lives());
}

#[test]
fn a_thousand_requests_at_once_on_one_connection_are_answered_in_turn() {
    let mut serving = tests::lastbench!().serve(&["--sample"]);
    let one = format!("GET /healthz HTTP/1.1\r\nHost: {}\r\n\r\n", serving.address);
    let bytes = [one.repeat(999), lines(&serving.address, "GET /healthz", "")].concat();
    assert_eq!(statuses(&said(&serving.address, bytes.as_bytes())), [200; 1000]);
    assert!(serving.lives());
}
