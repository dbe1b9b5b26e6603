//! A server that nobody has to look after: what it says of itself to logs, watchdogs and programs that count.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::{BTreeMap, BTreeSet};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::process::{Child, Stdio};

use serde_json::Value;
use tests::http::get;
use tests::program::{Lastbench, argument};
use web::routes::routes;

/// Routes without a label are counted as these.
const NOWHERE: &str = "none";

/// A server whose log is read line by line.
struct Logged {
    child: Child,
    address: String,
    lines: BufReader<std::process::ChildStderr>,
}

impl Logged {
    fn serve(lastbench: &Lastbench, level: &str) -> Self {
        let mut command =
            lastbench.command(&["serve", "--sample", "--listen", "127.0.0.1:0", "--log", "json"]);
        let mut child = command.env("LASTBENCH_LOG", level).stderr(Stdio::piped()).spawn().unwrap();
        let mut lines = BufReader::new(child.stderr.take().unwrap());
        let mut first = String::new();
        lines.read_line(&mut first).unwrap();
        let said: Value = serde_json::from_str(&first).unwrap();
        let words = said["message"].as_str().unwrap();
        let address = words.split("http://").nth(1).unwrap().split('/').next().unwrap().to_owned();
        Self { child, address, lines }
    }

    /// Ends the server and gives the rest of its log.
    fn ended(mut self) -> Vec<String> {
        self.child.kill().unwrap();
        let mut rest = String::new();
        self.lines.read_to_string(&mut rest).unwrap();
        self.child.wait().unwrap();
        rest.lines().map(str::to_owned).collect()
    }
}

/// Sends bytes as they are and hears the answer out.
fn sent(address: &str, bytes: &[u8]) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    stream.write_all(bytes).unwrap();
    let mut heard = Vec::new();
    let _ = stream.read_to_end(&mut heard);
    String::from_utf8_lossy(&heard).into_owned()
}

#[test]
fn every_line_of_the_log_is_one_short_object_that_tells_nothing_of_what_was_typed() {
    let lastbench = tests::lastbench!();
    let server = Logged::serve(&lastbench, "trace,hyper=off,mio=off");
    let address = &server.address;
    let host = format!("Host: {address}\r\nConnection: close\r\n");
    let long = "a".repeat(1_500);
    let hostile = [
        format!(
            "GET /shoes?q=canary%0d%0a%1b[31m HTTP/1.1\r\n{host}Cookie: canary=1\r\nReferer: http://canary/\r\n\r\n"
        ),
        format!("GET /canary%0a{{\"level\":\"ERROR\"}} HTTP/1.1\r\n{host}X-Request-Id: canary\r\n\r\n"),
        format!("GET /fittings/canary{long} HTTP/1.1\r\n{host}User-Agent: canary\r\n\r\n"),
        format!("CANARY /shoes HTTP/1.1\r\n{host}\r\n"),
        format!("POST /rank.json HTTP/1.1\r\n{host}Content-Length: 14\r\n\r\n{{\"canary\": \"x\"}}"),
    ];
    for request in &hostile {
        let answer = sent(address, request.as_bytes());
        assert!(answer.starts_with("HTTP/1.1 ") && answer.contains("x-request-id: "), "{answer}");
    }
    let lines = server.ended();
    let mut answered = 0;
    for line in &lines {
        assert!(line.len() <= 2_048 && !line.contains("canary") && !line.contains("CANARY"), "{line}");
        assert!(!line.contains(char::is_control), "{line:?}");
        let read: BTreeMap<String, Value> =
            serde_json::from_str(line).unwrap_or_else(|why| panic!("{line}: {why}"));
        assert!(read["ts"].is_string() && read["level"].is_string() && read["message"].is_string(), "{line}");
        if read["message"] == "answered" {
            answered += 1;
            for key in ["request_id", "method", "route"] {
                assert!(read[key].is_string(), "{key}: {line}");
            }
            assert!(read["status"].is_number() && read["duration_ms"].is_number(), "{line}");
        }
    }
    assert_eq!(answered, hostile.len(), "one line an answer: {lines:#?}");
}

#[test]
fn the_name_of_a_request_stands_on_its_answer_its_page_and_its_line() {
    let lastbench = tests::lastbench!();
    let server = Logged::serve(&lastbench, "info");
    let answer = get(&server.address, "/shoes/no.such").unwrap();
    let id = answer.head.lines().find_map(|line| line.strip_prefix("x-request-id: ")).unwrap().to_owned();
    assert!(answer.status == 404 && answer.body.contains(&id), "{}", answer.body);
    let json = get(&server.address, "/shoes/no.such/similar.json").unwrap();
    let problem: Value = serde_json::from_str(&json.body).unwrap();
    assert!(json.head.contains(&format!("x-request-id: {}", problem["request_id"].as_str().unwrap())));
    let lines = server.ended();
    let of_page: Vec<_> = lines.iter().filter(|line| line.contains(&id)).collect();
    assert!(of_page.len() == 1 && of_page[0].contains("\"route\":\"/shoes/{style}\""), "{lines:?}");
}

#[test]
fn a_log_for_people_is_words_and_a_server_that_cannot_start_says_so_in_the_form_that_was_asked_for() {
    let lastbench = tests::lastbench!();
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = taken.local_addr().unwrap().to_string();
    let words = lastbench.run(&["serve", "--sample", "--listen", &address, "--log", "words"]);
    assert!(words.code == Some(3) && words.stderr.starts_with("lastbench: cannot listen on "), "{words:?}");
    let json = lastbench.run(&["serve", "--sample", "--listen", &address, "--log", "json"]);
    let said: Value = serde_json::from_str(&json.stderr).unwrap();
    assert_eq!((json.code, &said["level"]), (Some(3), &"ERROR".into()));
    assert!(said["message"].as_str().unwrap().contains("Choose another with --listen."), "{said}");
}

#[test]
fn a_healthcheck_is_0_of_a_server_that_lives_and_1_of_anything_else() {
    let lastbench = tests::lastbench!();
    let server = lastbench.serve(&["--sample"]);
    let asked = |url: &str| {
        let ran = lastbench.run(&["healthcheck", "--url", url]);
        ran.assert_no_panic();
        (ran.code.unwrap(), format!("{}{}", ran.stdout, ran.stderr))
    };
    let url = format!("http://{}", server.address);
    for path in ["", "/", "/healthz", "/readyz"] {
        assert_eq!(asked(&format!("{url}{path}")), (0, String::new()), "{path}");
    }
    let (code, words) = asked(&format!("{url}/nowhere"));
    assert!(code == 1 && words.contains("status 404"), "{words}");
    drop(server);
    let (code, words) = asked(&url);
    assert!(code == 1 && words.contains(&url), "{words}");
    assert_eq!(asked("shoes.shop").0, 2);
    let silent = TcpListener::bind("127.0.0.1:0").unwrap();
    let (code, words) = asked(&format!("http://{}", silent.local_addr().unwrap()));
    assert!(code == 1 && !words.is_empty(), "what never answers is no living server: {words}");
}

/// One family of the text format.
#[derive(Debug, Default)]
struct Family {
    help: String,
    kind: String,
    samples: Vec<Sample>,
}

#[derive(Clone, Debug)]
struct Sample {
    name: String,
    labels: BTreeMap<String, String>,
    value: String,
}

/// Reads the text format 0.0.4 strictly: help, kind, samples, family by family.
fn families(text: &str) -> BTreeMap<String, Family> {
    let mut families: BTreeMap<String, Family> = BTreeMap::new();
    let mut current = String::new();
    assert!(text.ends_with('\n') && !text.contains('\r'), "each line has its end");
    for line in text.lines() {
        if let Some((name, help)) = line.strip_prefix("# HELP ").and_then(|rest| rest.split_once(' ')) {
            assert!(!families.contains_key(name), "{name} stands in two places");
            name.clone_into(&mut current);
            help.clone_into(&mut families.entry(current.clone()).or_default().help);
        } else if let Some((name, kind)) = line.strip_prefix("# TYPE ").and_then(|rest| rest.split_once(' '))
        {
            assert_eq!(name, current, "a kind behind its help");
            kind.clone_into(&mut families.get_mut(name).unwrap().kind);
        } else {
            let sample = sample(line);
            let family =
                families.get_mut(&current).unwrap_or_else(|| panic!("a sample without family: {line}"));
            let stem = ["_bucket", "_sum", "_count"].iter().find_map(|end| sample.name.strip_suffix(end));
            let of_histogram = family.kind == "histogram" && stem == Some(&current);
            assert!(sample.name == current || of_histogram, "{line} does not belong to {current}");
            family.samples.push(sample);
        }
    }
    families
}

fn sample(line: &str) -> Sample {
    let (named, value) = line.rsplit_once(' ').unwrap_or_else(|| panic!("no value: {line}"));
    let (name, labels) =
        named.split_once('{').map_or((named, ""), |(name, rest)| (name, rest.strip_suffix('}').unwrap()));
    // No value of ours holds a quote or a comma.
    let pairs = labels.split("\",").filter(|pair| !pair.is_empty());
    let labels = pairs.map(|pair| {
        let (label, value) = pair.split_once("=\"").unwrap_or_else(|| panic!("{line}"));
        (label.to_owned(), value.trim_end_matches('"').to_owned())
    });
    Sample { name: name.to_owned(), labels: labels.collect(), value: value.to_owned() }
}

/// The numbers of a server that was asked for many things, some of them nonsense.
fn numbers() -> String {
    let lastbench = tests::lastbench!();
    let server = lastbench.serve(&["--sample"]);
    for target in [
        "/",
        "/shoes?q=marl",
        "/shoes.json",
        "/nowhere",
        "/canary?q=canary",
        "/fittings/canary",
        "/shoes/canary.x",
    ] {
        server.get(target);
    }
    sent(&server.address, format!("CANARY / HTTP/1.0\r\nHost: {}\r\n\r\n", server.address).as_bytes());
    let answer = server.get("/metrics");
    assert!(
        answer.status == 200 && answer.head.contains("content-type: text/plain; version=0.0.4"),
        "{}",
        answer.head
    );
    answer.body
}

/// The rules of "Metric and label naming" and "Exposition formats" (prometheus.io/docs/practices/naming,
/// prometheus.io/docs/instrumenting/exposition_formats) and those that `promtool check metrics` adds (promlint of
/// client_golang): help; `_total` on counters and on nothing else; base units, last in the name; no kind, no
/// abbreviated unit and no colon in a name; the reserved endings and `le` left to histograms.
#[test]
fn the_numbers_keep_the_rules_that_prometheus_has_for_names() {
    let text = numbers();
    for (name, family) in families(&text) {
        let snake = |word: &str| {
            word.starts_with(|c: char| c.is_ascii_lowercase())
                && word.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_')
        };
        assert!(name.starts_with("lastbench_") && snake(&name), "{name}");
        assert!(family.help.ends_with('.') && !family.samples.is_empty(), "{name}: {family:?}");
        assert_eq!(name.ends_with("_total"), family.kind == "counter", "{name}");
        assert!(["counter", "gauge", "histogram"].contains(&&*family.kind), "{name}: {}", family.kind);
        let words: Vec<&str> = name.split('_').collect();
        let unwanted = [
            "counter",
            "gauge",
            "histogram",
            "ms",
            "milliseconds",
            "minutes",
            "hours",
            "days",
            "sec",
            "kb",
            "kilobytes",
            "mb",
            "percent",
            "time",
        ];
        assert!(words.iter().all(|word| !unwanted.contains(word)), "{name}");
        let unit_at = words.iter().position(|word| ["seconds", "bytes"].contains(word));
        assert!(
            unit_at.is_none_or(|at| at + 1 == words.len() || words[at + 1..] == ["total"]),
            "{name}: the unit stands last"
        );
        if family.kind == "histogram"
            || ["duration", "memory", "timestamp"].iter().any(|word| words.contains(word))
        {
            assert!(unit_at.is_some(), "{name}: no unit");
        }
        if family.kind != "histogram" {
            let reserved = ["_bucket", "_sum", "_count", "_info"];
            let info = name.ends_with("build_info");
            assert!(info || reserved.iter().all(|end| !name.ends_with(end)), "{name}");
            assert!(family.samples.iter().all(|sample| !sample.labels.contains_key("le")), "{name}");
        }
        for label in family.samples.iter().flat_map(|sample| sample.labels.keys()) {
            assert!(snake(label) && !label.starts_with("__"), "{name}: {label}");
        }
    }
}

#[test]
fn the_numbers_are_numbers_each_series_once_and_histograms_whole() {
    let mut series = BTreeSet::new();
    for (name, family) in families(&numbers()) {
        let mut buckets: BTreeMap<BTreeMap<String, String>, Vec<(f64, u64)>> = BTreeMap::new();
        for sample in &family.samples {
            let value: f64 = sample.value.parse().unwrap_or_else(|why| panic!("{sample:?}: {why}"));
            assert!(value.is_finite() && value >= 0.0, "{sample:?}");
            assert!(series.insert((sample.name.clone(), sample.labels.clone())), "twice: {sample:?}");
            if sample.name.ends_with("_bucket") {
                let mut labels = sample.labels.clone();
                let bound = labels.remove("le").unwrap().replace("+Inf", "inf").parse().unwrap();
                buckets.entry(labels).or_default().push((bound, sample.value.parse().unwrap()));
            }
        }
        assert_eq!(buckets.is_empty(), family.kind != "histogram", "{name}");
        for (labels, buckets) in buckets {
            assert!(buckets.is_sorted_by(|a, b| a.0 < b.0 && a.1 <= b.1), "{name}: {buckets:?}");
            let (last, within) = *buckets.last().unwrap();
            let count = family
                .samples
                .iter()
                .find(|sample| sample.name.ends_with("_count") && sample.labels == labels);
            assert!(last.is_infinite() && count.unwrap().value == within.to_string(), "{name} {labels:?}");
            assert!(
                family.samples.iter().any(|sample| sample.name.ends_with("_sum") && sample.labels == labels)
            );
        }
    }
}

#[test]
fn no_label_holds_what_was_typed_and_each_is_one_of_few_words() {
    let text = numbers();
    assert!(!text.contains("canary") && !text.contains("CANARY") && !text.contains("marl"), "{text}");
    let templates: BTreeSet<String> =
        routes().declared().iter().map(|route| route.path.to_owned()).chain([NOWHERE.to_owned()]).collect();
    let mut seen = BTreeSet::new();
    for sample in families(&text).into_values().flat_map(|family| family.samples) {
        for (label, value) in &sample.labels {
            let known = match label.as_str() {
                "route" => templates.contains(value),
                "method" => ["GET", "HEAD", "POST", "other"].contains(&value.as_str()),
                "status" => value.parse().is_ok_and(|status: u16| (100..600).contains(&status)),
                "le" => true,
                "level" => ["error", "warn"].contains(&value.as_str()),
                "version" => value == env!("CARGO_PKG_VERSION"),
                _ => false,
            };
            assert!(known, "{label}={value:?} in {sample:?}");
            seen.insert(label.clone());
        }
    }
    assert!(["route", "method", "status", "le"].iter().all(|label| seen.contains(*label)), "{seen:?}");
}

#[test]
fn the_numbers_say_what_the_shop_holds_and_when_a_sheet_last_came() {
    let lastbench = tests::lastbench!();
    let sheet = lastbench.write("a.csv", "Maker,Style number,Name\nOrrelby,OR-1,Sound\nOrrelby,OR-2,Shoal\n");
    let before = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap().as_secs();
    lastbench.done(&["import", "--yes", argument(&sheet)]);
    let server = lastbench.serve(&[]);
    server.get("/shoes?q=shoal");
    let families = families(&server.get("/metrics").body);
    let value = |name: &str| -> f64 {
        let family = &families[&format!("lastbench_{name}")];
        family
            .samples
            .iter()
            .find(|sample| !sample.name.ends_with("_bucket") && !sample.name.ends_with("_sum"))
            .unwrap()
            .value
            .parse()
            .unwrap()
    };
    assert_eq!(
        (value("styles"), value("change_sequence"), value("ready"), value("fittings_open")),
        (2.0, 1.0, 1.0, 0.0)
    );
    assert!(value("import_last_success_timestamp_seconds") >= before as f64);
    assert!(value("search_duration_seconds") >= 1.0, "one search was made");
    assert!(value("resident_memory_bytes") > 1_000_000.0);
}

/// The reader of Prometheus's own Python client (PyPI `prometheus_client`) reads the same families.
#[test]
fn a_reader_that_is_not_ours_reads_the_numbers() {
    let lastbench = tests::lastbench!();
    let text = numbers();
    let file = lastbench.write("numbers.txt", &text);
    let names: Vec<String> =
        families(&text).into_iter().map(|(name, family)| format!("{name} {}", family.kind)).collect();
    let expected = lastbench.write("names.txt", &names.join("\n"));
    tests::python::run("integration/numbers_read.py", &[argument(&file), argument(&expected)]);
}
