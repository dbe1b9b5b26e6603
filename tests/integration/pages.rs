//! The pages and the JSON over the sample shop, without a socket: what answers, what is refused, and what adds up.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, Response, StatusCode, header};
use indexer::ranked::NoOrder;
use indexer::sheet::{SheetLimits, SheetReader};
use serde_json::Value;
use tower::ServiceExt;
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::Config;
use web::request::runner::RunnerForm;
use web::sample::sample_shop;

const HOST: &str = "localhost:7340";

struct Bench {
    state: Arc<AppState>,
    app: Router,
}

impl Bench {
    fn new() -> Self {
        let reader =
            SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
        let shop = sample_shop(reader, 1_000).unwrap();
        let state = AppState::without_staff(shop, Config::for_testing(), Clock::fixed(1_000)).unwrap();
        let app = app(&state);
        Self { state, app }
    }

    async fn send(&self, request: Request<Body>) -> (StatusCode, String) {
        let response: Response<Body> = self.app.clone().oneshot(request).await.unwrap();
        let status = response.status();
        let bytes = to_bytes(response.into_body(), 10_000_000).await.unwrap();
        (status, String::from_utf8_lossy(&bytes).into_owned())
    }

    async fn get(&self, uri: &str) -> (StatusCode, String) {
        let request = Request::get(uri).header(header::HOST, HOST).header(header::ACCEPT, "text/html");
        self.send(request.body(Body::empty()).unwrap()).await
    }

    async fn json(&self, uri: &str) -> Value {
        let (status, text) = self.get(uri).await;
        assert_eq!(status, StatusCode::OK, "{uri}: {text}");
        serde_json::from_str(&text).unwrap()
    }

    async fn send_sheet(&self, name: &str, bytes: &[u8]) -> (StatusCode, String) {
        let mut body =
            format!("--cut\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\n\r\n")
                .into_bytes();
        body.extend_from_slice(bytes);
        body.extend_from_slice(b"\r\n--cut--\r\n");
        let request = Request::post("/sheets")
            .header(header::HOST, HOST)
            .header("sec-fetch-site", "same-origin")
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, "multipart/form-data; boundary=cut");
        self.send(request.body(Body::from(body)).unwrap()).await
    }

    /// The address of the one sheet that waits.
    async fn waiting(&self) -> String {
        let (_, html) = self.get("/sheets").await;
        let behind = html.split("href=\"/sheets/").nth(1).expect("a waiting sheet");
        format!("/sheets/{}", behind.split('"').next().unwrap())
    }

    async fn post(&self, uri: &str) -> (StatusCode, String) {
        let request = Request::post(uri).header(header::HOST, HOST).header("sec-fetch-site", "same-origin");
        self.send(request.header(header::ACCEPT, "text/html").body(Body::empty()).unwrap()).await
    }
}

fn sample(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-catalogue").join(path)
}

fn runners() -> Vec<(String, RunnerForm)> {
    let mut files: Vec<_> =
        std::fs::read_dir(sample("runners")).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    let read = |path: &PathBuf| {
        let form = RunnerForm::from_toml(&std::fs::read_to_string(path).unwrap()).unwrap();
        (path.file_stem().unwrap().to_string_lossy().into_owned(), form)
    };
    files.iter().map(read).collect()
}

#[tokio::test]
async fn every_page_outside_a_fitting_answers() {
    let bench = Bench::new();
    let pages = [
        "/",
        "/shoes",
        "/shoes?surface=trail",
        "/shoes/fennick.fm-310",
        "/compare?shoe=fennick.fm-310&shoe=orrelby.or-4110-m",
        "/sheets",
        "/changes",
        "/rules",
        "/sources",
    ];
    for page in pages {
        let (status, html) = bench.get(page).await;
        assert_eq!(status, StatusCode::OK, "{page}");
        assert_eq!(html.matches("<h1").count(), 1, "{page}");
    }
    assert_eq!(bench.get("/shoes/nobody.nothing").await.0, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn every_facet_value_finds_as_many_styles_as_it_says() {
    let bench = Bench::new();
    let all = bench.json("/shoes.json").await;
    let mut followed = 0;
    for group in all["facets"].as_array().unwrap() {
        for value in group["values"].as_array().unwrap().iter().take(12) {
            let found = bench.json(value["toggle"].as_str().unwrap()).await;
            assert_eq!(found["total"], value["count"], "{} {}", group["key"], value["value"]);
            followed += 1;
        }
    }
    assert!(followed > 60, "only {followed} values");
}

#[tokio::test]
async fn a_state_has_one_address_and_another_spelling_is_sent_there() {
    let bench = Bench::new();
    assert_eq!(bench.get("/shoes?surface=trail&audience=men&size=").await.0, StatusCode::PERMANENT_REDIRECT);
    assert_eq!(bench.get("/shoes?audience=men&surface=trail").await.0, StatusCode::OK);
}

#[tokio::test]
async fn three_thousand_brackets_and_page_two_billion_leave_the_server_answering() {
    let bench = Bench::new();
    let (status, said) = bench.get(&format!("/shoes?q={}", "%28".repeat(600))).await;
    assert!(status.is_client_error() || status.is_redirection(), "{status} {said}");
    let (status, _) = bench.get(&format!("/shoes?q={}", "(".repeat(3_000))).await;
    assert!(status.is_client_error() || status.is_redirection(), "{status}");
    let (status, html) = bench.get("/shoes?page=2000000000").await;
    assert_eq!(status, StatusCode::OK);
    assert!(html.contains("further than a list goes"));
    assert_eq!(bench.get("/shoes").await.0, StatusCode::OK);
}

#[tokio::test]
async fn a_code_from_a_box_leads_to_its_shoe_words_to_the_search_and_an_unknown_code_on() {
    let bench = Bench::new();
    let snapshot = bench.state.snapshot();
    let sku = snapshot.skus().iter().find(|sku| sku.gtin.is_some()).unwrap();
    let response = |code: String| {
        let request = Request::get(format!("/scan?code={code}")).header(header::HOST, HOST);
        bench.app.clone().oneshot(request.body(Body::empty()).unwrap())
    };
    let known = response(sku.gtin.unwrap().to_string()).await.unwrap();
    let gtin = sku.gtin.unwrap();
    assert_eq!(known.headers()[header::LOCATION], format!("/shoes/{}?scanned={gtin}", sku.style).as_str());
    let words = response("fennick".to_owned()).await.unwrap();
    assert_eq!(words.headers()[header::LOCATION], "/shoes?q=fennick");
    let (status, html) = bench.get("/scan?code=6291041500213").await;
    assert!(status == StatusCode::OK && html.contains("No box in this catalogue carries this number."));
}

/// Every shoe of the sample for every runner of the sample.
#[tokio::test]
async fn the_lines_add_up_to_the_suitability_on_every_sample_shoe_and_runner() {
    let bench = Bench::new();
    let snapshot = bench.state.snapshot();
    let mut checked = 0;
    for (name, form) in runners() {
        let runner = form.to_runner(&|key| snapshot.style(key).is_some()).unwrap();
        let Ok(ranker) = snapshot.ranker(&runner) else { continue };
        for style in snapshot.styles() {
            let measures = snapshot.style(&style.key).unwrap().measures;
            let (score, total) = (ranker.score(&measures), ranker.explain(&measures).total());
            assert_eq!(i32::from(score.suitability), total.at, "{name}, {}", style.key);
            assert_eq!((i32::from(score.low), i32::from(score.high)), (total.low, total.high), "{name}");
            checked += 1;
        }
    }
    assert_eq!(checked, 7 * snapshot.styles().len(), "seven runners are ranked, one is stopped");
}

#[tokio::test]
async fn each_sample_runner_shows_what_the_sample_says_it_shows() {
    let bench = Bench::new();
    let snapshot = bench.state.snapshot();
    for (name, form) in runners() {
        let runner = form.to_runner(&|key| snapshot.style(key).is_some()).unwrap();
        let list = match snapshot.ranked(&runner, &BTreeSet::new()) {
            Ok(list) => list,
            Err(NoOrder::Stopped(stopped)) => {
                assert_eq!((name.as_str(), stopped.flags.len()), ("stop", 1));
                continue;
            }
            Err(NoOrder::Words(fault)) => panic!("{fault}"),
        };
        let brief = list.ranker.brief();
        let first = list.places.iter().filter(|place| place.place.word() == "first").count();
        let shows = match name.as_str() {
            "closed-gate" => {
                brief.row.word() == "same" && brief.step.is_some_and(|s| (s.done, s.of) == (3, 6))
            }
            "calf-strain" => {
                brief.row.word() == "less" && brief.bands[0].from == brief.bands[0].to && first == 3
            }
            "conflict" => brief.clashes.iter().any(|clash| clash.kept.is_none()),
            "race" => brief.row.word() == "race" && first > 0,
            "by-feel" => brief.bands[2].is_guessed() && !brief.bands[0].is_guessed(),
            "nothing-first" => first == 0 && !list.results.hits.is_empty(),
            "empty-list" => list.results.hits.is_empty() && list.results.hidden.iter().any(|(_, n)| *n > 0),
            other => panic!("{other} is not known here"),
        };
        assert!(shows, "{name} does not show what it should");
    }
}

#[tokio::test]
async fn the_machines_order_is_the_order_of_the_index() {
    let bench = Bench::new();
    let body = r#"{"size": {"system": "EU", "worn_label": "42.5"}, "run": {"audience": "men", "purpose": "daily"},
        "now": {"style": "fennick.fm-410"}, "stage": {"heading": "same"}}"#;
    let request = Request::post("/rank.json").header(header::HOST, HOST).body(Body::from(body)).unwrap();
    let (status, text) = bench.send(request).await;
    assert_eq!(status, StatusCode::OK, "{text}");
    let reply: Value = serde_json::from_str(&text).unwrap();
    let snapshot = bench.state.snapshot();
    let runner = RunnerForm::from_json(body.as_bytes()).unwrap().to_runner(&|_| true).unwrap();
    let list = snapshot.ranked(&runner, &BTreeSet::new()).unwrap_or_else(|_| panic!("no order"));
    let keys = |hits: &[indexer::search::Hit]| -> Vec<String> {
        hits.iter().map(|hit| snapshot.card(hit.row).unwrap().style.key.to_string()).collect()
    };
    let replied: Vec<_> = reply["results"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| r["style"].as_str().unwrap().to_owned())
        .collect();
    assert_eq!(replied, keys(&list.results.hits));
    for result in reply["results"].as_array().unwrap() {
        let lines = result["lines"].as_array().unwrap();
        let tenths = |value: &Value| (value.as_f64().unwrap() * 10.0).round() as i64;
        let sum: i64 = lines.iter().map(|line| tenths(&line["points"])).sum();
        assert_eq!(sum, tenths(&result["suitability"]), "{}", result["style"]);
    }
}

#[tokio::test]
async fn a_bad_sheet_is_a_clear_sentence_and_nothing_is_stored() {
    let bench = Bench::new();
    let before = bench.state.snapshot().seq();
    let utf16: Vec<u8> = "Maker,Name\nFennick,Marl\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let cases: [(&str, &[u8], &str); 7] = [
        ("empty.csv", b"", "empty"),
        ("nul.csv", b"Maker,Name\nFen\0nick,Marl\n", "row 2"),
        ("open.csv", b"Maker,Name\nFennick,\"Marl\nOrrelby,Sound\n", "row 2"),
        ("book.xlsx", b"PK\x03\x04", "CSV"),
        ("old.xls", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "save"),
        ("disguised.csv", b"PK\x03\x04rest", "CSV"),
        ("none", b"Maker,Name\n", "csv"),
    ];
    for (name, bytes, said) in cases {
        let (status, html) = bench.send_sheet(name, bytes).await;
        assert!(status.is_client_error(), "{name}: {status}");
        assert!(html.to_lowercase().contains(&said.to_lowercase()), "{name} does not say “{said}”: {html}");
        assert!(!html.contains("panicked"), "{name}");
    }
    let (status, _) = bench.send_sheet("wide.csv", &utf16).await;
    assert!(status.is_redirection() || status.is_client_error(), "UTF-16 is read or refused, {status}");
    assert_eq!(bench.state.snapshot().seq(), before);
    assert_eq!(bench.get("/").await.0, StatusCode::OK);
}

#[tokio::test]
async fn a_sheet_without_known_headings_can_be_looked_at_and_not_applied() {
    let bench = Bench::new();
    let before = bench.state.snapshot().seq();
    assert_eq!(bench.send_sheet("odd.csv", b"a;b;c\n1;2;3\n").await.0, StatusCode::SEE_OTHER);
    let sheet = bench.waiting().await;
    let (_, html) = bench.get(&sheet).await;
    assert!(html.contains("Put one row of headings above the data"), "{html}");
    assert!(!html.contains(&format!("action=\"{sheet}/apply\"")));
    assert_eq!(bench.post(&format!("{sheet}/apply")).await.0, StatusCode::CONFLICT);
    assert_eq!(bench.state.snapshot().seq(), before);
}

#[tokio::test]
async fn a_sheet_is_applied_once_however_often_it_is_sent_and_can_be_taken_back() {
    let bench = Bench::new();
    let before = bench.state.shop.ask(|store| store.export_ndjson()).unwrap();
    let sheet = std::fs::read(sample("second-supplier.csv")).unwrap();
    assert_eq!(bench.send_sheet("second-supplier.csv", &sheet).await.0, StatusCode::SEE_OTHER);
    let apply = format!("{}/apply", bench.waiting().await);
    assert_eq!(bench.post(&apply).await.0, StatusCode::SEE_OTHER);
    assert_eq!(bench.post(&apply).await.0, StatusCode::SEE_OTHER, "the same receipt again");
    assert_eq!(bench.state.snapshot().seq().0, 4);
    assert!(bench.get("/shoes/feldrast.fr-20m").await.1.contains("Krume"));
    assert_eq!(bench.post("/changes/4/undo").await.0, StatusCode::SEE_OTHER);
    assert_eq!(bench.get("/shoes/feldrast.fr-20m").await.0, StatusCode::NOT_FOUND);
    assert!(bench.state.shop.ask(|store| store.export_ndjson()).unwrap() == before, "byte for byte");
}

#[tokio::test]
async fn a_foreign_page_can_post_nothing() {
    let bench = Bench::new();
    let request =
        Request::post("/changes/3/undo").header(header::HOST, HOST).header("origin", "http://elsewhere");
    let (status, _) = bench.send(request.body(Body::empty()).unwrap()).await;
    assert_eq!(status, StatusCode::FORBIDDEN);
    assert_eq!(bench.state.snapshot().seq().0, 3);
}
