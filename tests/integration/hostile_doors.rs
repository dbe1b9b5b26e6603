//! The hostile corpus through both doors: the command line, and the upload page of one server that goes on.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use serde_json::Value;
use tests::program::Ran;

use crate::hostile::server::{Place, Server};
use crate::hostile::{Case, Verdict, cells, corpus, told};
use crate::owner_bench::words;

/// What the command said of a file is what its verdict asks for.
fn fault_at_the_terminal(case: &Case, ran: &Ran) -> Option<String> {
    let right = match case.verdict {
        Verdict::Refused(code) => {
            let said = told(case, code).into_iter().all(|words| ran.stderr.contains(words));
            said && ran.code == Some(1) && failed_in_words(&ran.stdout) && ran.stderr.lines().count() == 1
        }
        Verdict::Rows(rows) => serde_json::from_str(&ran.stdout).is_ok_and(|reply: Value| {
            let held = is_held(&reply);
            reply["rows"].as_u64().is_some_and(|read| read <= rows as u64)
                && says_where_and_what(&reply, case.file())
                && ran.code == Some(i32::from(held))
                && ran.stderr.is_empty()
        }),
    };
    (!right || ran.stderr.contains("panicked")).then(|| format!("{}: {ran:?}", case.id))
}

/// The reply of a command that could not read the sheet: why, in the words of standard error.
fn failed_in_words(stdout: &str) -> bool {
    serde_json::from_str(stdout)
        .is_ok_and(|reply: Value| reply["failed"].is_string() && reply["exit_code"] == 1)
}

fn findings(reply: &Value) -> &[Value] {
    reply["findings"].as_array().map_or(&[], Vec::as_slice)
}

fn is_held(reply: &Value) -> bool {
    reply["held"] != 0 || findings(reply).iter().any(|finding| finding["severity"] == "stop")
}

/// Every finding names the sheet, and what to do in whole sentences.
fn says_where_and_what(reply: &Value, file: &str) -> bool {
    findings(reply).iter().all(|finding| {
        finding["sheet"].as_str().is_some_and(|sheet| sheet.starts_with(file))
            && finding["say"].as_str().is_some_and(|say| say.ends_with('.'))
    })
}

/// A finding in short: code, row, column, how many.
fn in_short(finding: &Value) -> (&str, u64, &str, u64) {
    let text = |key: &str| finding[key].as_str().unwrap_or_default();
    let number = |key: &str| finding[key].as_u64().unwrap_or_default();
    (text("code"), number("row"), text("column"), number("count"))
}

fn hold_at_the_terminal(cases: impl IntoIterator<Item = Case>) {
    let place = Place::new();
    let faults: Vec<_> = cases
        .into_iter()
        .filter_map(|case| fault_at_the_terminal(&case, &place.check(case.file(), &case.bytes)))
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    place.is_as_before();
}

#[test]
fn every_hostile_file_comes_to_its_verdict_at_the_terminal() {
    hold_at_the_terminal(corpus());
}

#[test]
fn every_hostile_file_comes_to_its_verdict_on_the_page_of_one_and_the_same_server() {
    let mut server = Server::start(Place::new());
    server.sheet("a.csv", b"Maker,Style number,Name\nFeldrast,FR-3,Flur\n");
    let before = server.resident();
    let mut faults = Vec::new();
    for case in corpus() {
        let (_, page) = server.sheet(case.name, &case.bytes);
        faults.extend(fault_on_the_page(&case, page.status, &words(&page.body)));
        server.lives(case.id);
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert_eq!(server.children(), [""; 0], "children left over");
    let grown = server.resident().saturating_sub(before);
    assert!(grown <= 64 * 1024, "{grown} kB more than before");
    server.place.is_as_before();
}

fn fault_on_the_page(case: &Case, status: u16, words: &str) -> Option<String> {
    let right = match case.verdict {
        Verdict::Refused(code) => {
            let said = told(case, code).into_iter().all(|said| words.contains(said));
            status == 422 && said && words.contains("Nothing was stored.")
        }
        Verdict::Rows(_) => status == 200 && words.contains(case.file()),
    };
    (!right).then(|| format!("{}: {status} {words}", case.id))
}

#[test]
fn cells_made_to_hurt_are_found_with_row_and_column_at_both_doors() {
    let server = Server::start(Place::new());
    for case in cells::cases() {
        let ran = server.place.check("a.csv", case.text.as_bytes());
        let reply: Value = serde_json::from_str(&ran.stdout).unwrap();
        assert_eq!(
            findings(&reply).iter().map(in_short).collect::<Vec<_>>(),
            case.found,
            "{}: {reply}",
            case.id
        );
        assert_eq!(ran.code, Some(i32::from(case.held)), "{}", case.id);
        assert!(says_where_and_what(&reply, "a.csv"), "{}: {reply}", case.id);
        let (sheet, page) = server.sheet("a.csv", case.text.as_bytes());
        let twin: Value = serde_json::from_str(&server.get(&format!("{sheet}.json")).body).unwrap();
        assert_eq!(twin, reply, "{}", case.id);
        let words = words(&page.body);
        for finding in findings(&reply) {
            let said = format!("row {}", finding["row"]);
            assert!(words.contains(&said), "{}: {said} is not in {words}", case.id);
        }
    }
    server.place.is_as_before();
}
