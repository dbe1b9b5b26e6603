//! `/openapi.json` keeps its word: it is valid, replies are as it says, and nothing made from it is answered with a fault.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::io::{Read, Write};
use std::net::TcpStream;

use crate::visit_bench::RUNNER;
use serde_json::Value;
use tests::http::{Answer, post};
use tests::program::{Lastbench, Serving, argument};
use tests::sample::{RUNNERS, runner};

/// Opens a fitting whose runner has answered.
fn fitting(server: &Serving) -> String {
    let place = post(&server.address, "/fittings", &[]).unwrap().place();
    let place = place.strip_suffix("/runner").unwrap_or(&place).to_owned();
    post(&server.address, &format!("{place}/runner"), &RUNNER).unwrap();
    place
}

/// Posts the runner of a sample file as one JSON object.
fn ranked(server: &Serving, body: &str) -> Answer {
    let address = &server.address;
    let mut stream = TcpStream::connect(address).unwrap();
    let length = body.len();
    write!(stream, "POST /rank.json HTTP/1.0\r\nHost: {address}\r\nContent-Type: application/json\r\nContent-Length: {length}\r\n\r\n{body}").unwrap();
    let mut text = String::new();
    stream.read_to_string(&mut text).unwrap();
    let (head, body) = text.split_once("\r\n\r\n").unwrap();
    let status = head.split(' ').nth(1).unwrap().parse().unwrap();
    Answer { status, head: head.to_owned(), body: body.to_owned() }
}

/// Replies of every kind, each with the name of its schema.
fn replies(server: &Serving) -> Vec<(&'static str, Answer)> {
    let mut replies = Vec::new();
    for query in [
        "",
        "?q=marl",
        "?q=marel",
        "?q=4+mm+trail",
        "?q=zzzz&drop_from=30",
        "?size=42.5&width=D&page=2",
        "?price_to=100",
    ] {
        replies.push(("ShoesReply", server.get(&format!("/shoes.json{query}"))));
    }
    for style in ["fennick.fm-310", "fennick.fm-110", "oskerley.003110m", "quillmark.q-512-m"] {
        replies.push(("SimilarReply", server.get(&format!("/shoes/{style}/similar.json"))));
    }
    let place = fitting(server);
    let why = format!("{place}/why/fennick.fm-310.json");
    replies.push(("WhyReply", server.get(&why)));
    replies.push(("WhyReply", server.get(&format!("{why}?beside=fennick.fm-510"))));
    for name in RUNNERS {
        let file: toml::Table = std::fs::read_to_string(runner(name)).unwrap().parse().unwrap();
        replies.push(("RankReply", ranked(server, &serde_json::to_string(&file).unwrap())));
    }
    assert!(replies.iter().all(|(_, answer)| answer.status == 200), "{replies:?}");
    for target in [
        "/shoes/no.such/similar.json",
        "/rank.json",
        "/nowhere.json",
        &format!("/shoes.json?q={}", "a+".repeat(80)),
    ] {
        let refused = server.get(target);
        assert!(
            refused.status >= 400 && refused.head.contains("application/problem+json"),
            "{target}: {refused:?}"
        );
        replies.push(("Problem", refused));
    }
    replies.push(("Problem", ranked(server, "{\"run\": {\"purpose\": \"stroll\", \"pace\": 3}}")));
    replies
}

#[test]
fn the_command_line_and_the_server_give_the_same_reply_to_the_same_question() {
    let lastbench = tests::lastbench!();
    let server = lastbench.serve(&["--sample"]);
    let read = |text: &str| -> Value { serde_json::from_str(text).unwrap() };
    let questions: [(&[&str], &str); 5] = [
        (&[], "?page=1"),
        (&["marl"], "?q=marl"),
        (&["marel", "trail"], "?q=marel+trail"),
        (&["4 mm", "trail", "--filter", "audience=men"], "?audience=men&q=4+mm+trail"),
        (
            &["--page", "2", "--filter", "drop_to=8", "--filter", "surface=road"],
            "?drop_to=8&surface=road&page=2",
        ),
    ];
    for (arguments, query) in questions {
        let of_command = lastbench.done(&[&["search", "--sample", "--json"], arguments].concat());
        let of_server = server.get(&format!("/shoes.json{query}"));
        assert_eq!(read(&of_command), read(&of_server.body), "{arguments:?} {query}");
    }
    for name in RUNNERS {
        let file = runner(name);
        let of_command = lastbench.done(&["rank", "--sample", "--json", "--runner", argument(&file)]);
        let table: toml::Table = std::fs::read_to_string(&file).unwrap().parse().unwrap();
        let of_server = ranked(&server, &serde_json::to_string(&table).unwrap());
        assert_eq!(read(&of_command), read(&of_server.body), "{name}");
    }
}

/// Writes the document into the working folder.
fn document(lastbench: &Lastbench, server: &Serving) -> String {
    let answer = server.get("/openapi.json");
    assert!(
        answer.status == 200 && answer.head.contains("content-type: application/json"),
        "{}",
        answer.head
    );
    argument(&lastbench.write("openapi.json", &answer.body)).to_owned()
}

/// openapi-spec-validator and jsonschema (PyPI) are the judges.
#[test]
fn the_description_is_valid_and_every_reply_is_as_it_says() {
    let lastbench = tests::lastbench!();
    let server = lastbench.serve(&["--sample"]);
    let mut arguments = vec![document(&lastbench, &server)];
    for (at, (name, answer)) in replies(&server).into_iter().enumerate() {
        let file = lastbench.write(&format!("reply-{at}.json"), &answer.body);
        arguments.extend([name.to_owned(), argument(&file).to_owned()]);
    }
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    tests::python::run("integration/contract.py", &arguments);
}

/// A judge that finds nothing wrong in anything is none.
#[test]
fn a_reply_with_a_key_too_many_or_too_few_is_found() {
    let lastbench = tests::lastbench!();
    let server = lastbench.serve(&["--sample"]);
    let document = document(&lastbench, &server);
    let right: Value = serde_json::from_str(&server.get("/shoes.json").body).unwrap();
    let (mut more, mut less, mut other) = (right.clone(), right.clone(), right.clone());
    more["results"][0]["colour"] = "blue".into();
    less["results"][0].as_object_mut().unwrap().remove("mass_g");
    other["total"] = "many".into();
    let file = lastbench.write("right.json", &right.to_string());
    tests::python::run("integration/contract.py", &[&document, "ShoesReply", argument(&file)]);
    for wrong in [more, less, other] {
        let file = lastbench.write("wrong.json", &wrong.to_string());
        let judged = std::panic::catch_unwind(|| {
            tests::python::run("integration/contract.py", &[&document, "ShoesReply", argument(&file)]);
        });
        assert!(judged.is_err(), "{wrong}");
    }
}

/// schemathesis (PyPI) makes requests out of the document, mostly such as no page of ours would send.
#[test]
fn no_request_made_from_the_description_is_answered_with_a_fault_of_the_server() {
    let lastbench = tests::lastbench!();
    let server = lastbench.serve(&["--sample"]);
    let document = document(&lastbench, &server);
    let id = fitting(&server).rsplit('/').next().unwrap().to_owned();
    let report = lastbench.at("report.txt");
    let url = format!("http://{}", server.address);
    tests::python::run("integration/fuzzed.py", &[&document, &url, &id, argument(&report)]);
    assert_eq!(server.get("/healthz").status, 200, "the same server still answers");
}
