//! The list of shoes as files: all that is found, in the order of its pages, for spreadsheets and for our own importer.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, HeaderName, Request, StatusCode, header};
use indexer::proposal::Proposal;
use indexer::shop::Told;
use indexer::store::Signed;
use serde_json::Value;
use tests::program::argument;
use tests::python;
use tower::ServiceExt;
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::Config;
use web::sample::sample_shop;

use crate::owner_bench::reader;

/// 26 November 2026, 10 o'clock in universal time (`date -u -d '2026-11-26 10:00' +%s`).
const NOW: i64 = 1_795_687_200;
/// Nothing, a letter that the words of many begin with, a choice, a range, a size in stock, and what nothing has.
const QUERIES: [&str; 6] = [
    "",
    "?q=s",
    "?audience=women&surface=road",
    "?drop_from=4&drop_to=8&q=m",
    "?size=EU+42&stock=yes",
    "?drop_from=30",
];
/// Harmless as texts, and calculated where they are taken for formulas.
const FORMULAS: [&str; 3] = ["=cmd|' /C calc'!A0", "@SUM(A1)", "+1+1"];

struct Shop {
    state: Arc<AppState>,
    app: Router,
}

struct Answer {
    status: StatusCode,
    headers: HeaderMap,
    bytes: Vec<u8>,
}

impl Shop {
    fn sample() -> Self {
        let state = AppState::without_staff(
            sample_shop(reader(), 1_000).unwrap(),
            Config::for_testing(),
            Clock::fixed(NOW),
        )
        .unwrap();
        Self { app: app(&state), state }
    }

    async fn get(&self, uri: &str) -> Answer {
        let request = Request::get(uri).header(header::HOST, "localhost:7340").body(Body::empty()).unwrap();
        let (head, body) = self.app.clone().oneshot(request).await.unwrap().into_parts();
        let bytes = to_bytes(body, 10_000_000).await.unwrap().into();
        Answer { status: head.status, headers: head.headers, bytes }
    }

    /// The shoes of all pages of the list for programs.
    async fn walked(&self, query: &str) -> Vec<Value> {
        let (mut next, mut walked) = (Some(format!("/shoes.json{query}")), Vec::new());
        while let Some(uri) = next {
            let page: Value = serde_json::from_slice(&self.get(&uri).await.bytes).unwrap();
            walked.extend(page["results"].as_array().unwrap().iter().cloned());
            next = page["next"].as_str().map(str::to_owned);
        }
        walked
    }

    /// The rows of a file as our reader of sheets sees them, the headings first.
    async fn rows(&self, uri: &str) -> Vec<Vec<String>> {
        let sheet = reader().read(uri.split('?').next().unwrap(), &self.get(uri).await.bytes).unwrap();
        let texts = |row: &indexer::sheet::Row| row.cells.iter().map(ToString::to_string).collect();
        sheet.tabs[0].rows.iter().map(texts).collect()
    }

    fn proposed(&self, name: &str, bytes: &[u8]) -> Proposal {
        self.state.shop.understand(name, bytes.to_vec(), &Told::default()).unwrap().proposal
    }

    fn import(&self, text: &str) {
        let understood =
            self.state.shop.understand("more.csv", text.as_bytes().to_vec(), &Told::default()).unwrap();
        let signed = Signed { actor: "test".to_owned(), at: 0, key: "more".to_owned() };
        self.state.shop.apply(&understood, &signed).unwrap();
    }
}

impl Answer {
    fn head(&self, name: HeaderName) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }
}

/// The cell below a heading; what is blank at the end of a row is not there.
fn below<'r>(rows: &'r [Vec<String>], row: usize, heading: &str) -> &'r str {
    let at = rows[0].iter().position(|own| own == heading).unwrap_or_else(|| panic!("{heading}: {rows:?}"));
    rows[row].get(at).map_or("", String::as_str)
}

/// A number of the reply as the file writes it; none is blank.
fn written(number: &Value) -> String {
    number.as_f64().map_or_else(String::new, |number| number.to_string())
}

#[tokio::test]
async fn the_files_hold_all_that_the_pages_hold_in_their_order_and_with_their_measures() {
    let shop = Shop::sample();
    for query in QUERIES {
        let walked = shop.walked(query).await;
        assert_eq!(walked.len() > 20, query != "?drop_from=30", "{query}: a list of one page shows nothing");
        for file in ["csv", "xlsx"] {
            let rows = shop.rows(&format!("/shoes.{file}{query}")).await;
            assert_eq!(rows.len(), walked.len() + 1, "{query}, {file}");
            for (at, shoe) in (1..).zip(&walked) {
                assert_eq!(below(&rows, at, "Style key"), shoe["style"], "{query}, {file}, row {at}");
                assert_eq!(below(&rows, at, "Name"), shoe["name"]);
                for (heading, key) in [
                    ("Heel stack stated or worked out mm", "heel_stack_mm"),
                    ("Forefoot stack stated or worked out mm", "forefoot_stack_mm"),
                    ("Drop stated or worked out mm", "drop_mm"),
                    ("Mass g", "mass_g"),
                ] {
                    assert_eq!(below(&rows, at, heading), written(&shoe[key]), "{query}, {file}, {shoe}");
                }
                let pairs = below(&rows, at, "Pairs that match (at least)");
                assert!(pairs == written(&shoe["pairs"]) || (pairs.is_empty() && shoe["pairs"] == 0));
            }
        }
    }
}

#[tokio::test]
async fn a_page_in_the_address_of_a_file_leaves_nothing_out() {
    let shop = Shop::sample();
    assert_eq!(shop.get("/shoes.csv?page=2").await.bytes, shop.get("/shoes.csv").await.bytes);
}

#[tokio::test]
async fn what_nobody_has_measured_is_a_blank_cell_and_no_nought() {
    let shop = Shop::sample();
    let walked = shop.walked("").await;
    let rows = shop.rows("/shoes.csv").await;
    let (mut blank, mut nought) = (0, 0);
    for (at, shoe) in (1..).zip(&walked) {
        let drop = below(&rows, at, "Drop stated or worked out mm");
        blank += usize::from(shoe["drop_mm"].is_null() && drop.is_empty());
        nought += usize::from(shoe["drop_mm"] == 0.0 && drop == "0");
    }
    let counted = |is: fn(&Value) -> bool| walked.iter().filter(|shoe| is(&shoe["drop_mm"])).count();
    assert_eq!((blank, nought), (counted(Value::is_null), counted(|drop| *drop == 0.0)));
    assert!(blank > 0 && nought > 0, "{blank} unknown, {nought} of 0 mm");
}

#[tokio::test]
async fn the_name_of_a_file_says_its_day_and_how_many_of_how_many_it_holds() {
    let shop = Shop::sample();
    let all = shop.walked("").await.len();
    let sheet = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    for (file, kind) in [("csv", "text/csv; charset=utf-8; header=present"), ("xlsx", sheet)] {
        for query in QUERIES {
            let answer = shop.get(&format!("/shoes.{file}{query}")).await;
            let found = shop.walked(query).await.len();
            let which =
                if query.is_empty() { format!("all-{all}") } else { format!("filtered-{found}-of-{all}") };
            let name = format!("attachment; filename=\"shoes-2026-11-26-{which}.{file}\"");
            assert_eq!(answer.head(header::CONTENT_DISPOSITION), name, "{query}");
            assert_eq!((answer.status, answer.head(header::CONTENT_TYPE)), (StatusCode::OK, kind));
            assert_eq!(answer.head(header::CACHE_CONTROL), "no-store");
        }
    }
}

#[tokio::test]
async fn a_retired_shoe_is_neither_in_a_file_nor_in_the_total_of_its_name() {
    let shop = Shop::sample();
    let all = shop.walked("").await.len();
    shop.import("Maker,Style number,Name,Status\nFeldrast,FR-1,Egge,retired\nFeldrast,FR-2,Halm,\n");
    let answer = shop.get("/shoes.csv?maker=feldrast").await;
    let name = format!("filename=\"shoes-2026-11-26-filtered-1-of-{}.csv\"", all + 1);
    assert!(answer.head(header::CONTENT_DISPOSITION).ends_with(&name), "{:?}", answer.headers);
    let text = String::from_utf8(answer.bytes).unwrap();
    assert!(text.contains("Halm") && !text.contains("Egge"), "{text}");
}

#[tokio::test]
async fn a_list_that_is_sent_in_again_is_understood_and_changes_nothing() {
    let shop = Shop::sample();
    for file in ["csv", "xlsx"] {
        let bytes = shop.get(&format!("/shoes.{file}")).await.bytes;
        let told = Told::default();
        let understood = shop.state.shop.understand(&format!("shoes.{file}"), bytes, &told).unwrap();
        let columns: Vec<_> =
            understood.mapping.tabs[0].columns.iter().filter_map(|mapped| mapped.column()).collect();
        let keys: Vec<_> = columns.iter().map(|column| column.key).collect();
        let expected = [
            "maker",
            "style_number",
            "name",
            "audience",
            "surface",
            "purpose",
            "heel_stack",
            "forefoot_stack",
            "drop",
            "mass",
            "mass_size",
            "bending",
            "rocker",
            "plate",
        ];
        assert_eq!(keys, expected, "{file}");
        let (proposal, counts) = (&understood.proposal, understood.proposal.counts);
        assert!(!proposal.is_refused(), "{file}: {:?}", proposal.findings);
        let sent = (counts.new, counts.changed, counts.held, proposal.changes.len());
        assert_eq!(sent, (0, 0, 0, 0), "{file}: {:?}", proposal.findings);
    }
    let other = b"Style key,Maker,Style number,Name,Drop mm\nfeldrast.fr-1,Feldrast,FR-1,Egge,8\n";
    assert_eq!(shop.proposed("other.csv", other).counts.new, 1, "what is new is told");
}

#[tokio::test]
async fn a_spreadsheet_finds_in_the_workbook_what_stands_in_the_text_and_takes_no_name_for_a_formula() {
    let shop = Shop::sample();
    let row = |(at, name)| format!("Feldrast,00{at},\"{name}\",0\n");
    let rows: Vec<String> = (1..).zip(FORMULAS).map(row).collect();
    shop.import(&format!("Maker,Style number,Name,Drop mm\n{}", rows.concat()));
    let folder = tempfile::tempdir().unwrap();
    let kept = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    };
    let workbook = kept("shoes.xlsx", &shop.get("/shoes.xlsx").await.bytes);
    let table = kept("shoes.csv", &shop.get("/shoes.csv").await.bytes);
    let names = [argument(&workbook), argument(&table)].into_iter().chain(FORMULAS);
    python::run("integration/found.py", &names.collect::<Vec<_>>());
}

#[tokio::test]
async fn words_that_are_too_many_are_refused_and_give_no_file() {
    let shop = Shop::sample();
    let words = format!("?q={}", "a+".repeat(400));
    let expected = shop.get(&format!("/shoes.json{words}")).await.status;
    assert_eq!(expected, StatusCode::BAD_REQUEST);
    for file in ["csv", "xlsx"] {
        let answer = shop.get(&format!("/shoes.{file}{words}")).await;
        assert_eq!((answer.status, answer.head(header::CONTENT_DISPOSITION)), (expected, ""), "{file}");
    }
}

#[tokio::test]
async fn every_page_of_the_list_leads_to_its_files_with_all_that_narrows_it() {
    let shop = Shop::sample();
    let page = String::from_utf8(shop.get("/shoes?audience=men&page=2&q=m").await.bytes).unwrap();
    for file in ["csv", "xlsx"] {
        let link = format!("href=\"/shoes.{file}?audience=men&amp;q=m\"");
        assert!(page.contains(&link), "{link}");
    }
    assert!(page.contains("href=\"/shoes.json?audience=men&amp;page=2&amp;q=m\""));
}
