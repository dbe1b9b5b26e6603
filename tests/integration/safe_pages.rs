//! What the standard of safety asks of every page: reading changes nothing, a body says what it is, the way out is near
//! (OWASP ASVS 5.0, 3.5.3, 4.1.1, 7.4.4, 15.2.3).

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::body::to_bytes;
use axum::http::{Method, header};
use tests::pages::{OF_A_FITTING, OF_THE_SHOP};
use web::routes::routes;
use web::staff::Member;

use crate::access_matrix::{FITTER, OWNER, filled, staffed, text};
use crate::owner_bench::Owner;
use crate::visit_bench::{Desk, RUNNER, is_unchanged};

/// All that can be told of a shop from outside of a fitting.
fn told(desk: &Desk) -> (String, Vec<Member>, [usize; 3]) {
    let (state, now) = (&desk.state, desk.state.clock.now().instant);
    let store = state.shop.ask(|store| {
        let (seq, export) = (store.seq().unwrap(), store.export_ndjson().unwrap());
        format!("{seq:?} {:?} {:?} {export}", store.tallies().unwrap(), store.things().unwrap())
    });
    let counts = [state.held.count(now), state.waiting.list(now).len(), state.fittings.list(now).len()];
    (store, state.staff.members(now).unwrap(), counts)
}

#[tokio::test]
async fn no_address_that_is_read_changes_anything() {
    let desk = Desk::new();
    let fitting = desk.answered(&RUNNER).await;
    for style in ["fennick.fm-310", "quillmark.q-512-m"] {
        desk.post(&format!("{fitting}/shortlist"), &[("style", style)]).await;
    }
    // The order is made when it is first looked at.
    desk.get(&fitting).await;
    let (before, fitting_before) = (told(&desk), desk.fitting(&fitting));
    let id = fitting.rsplit('/').next().unwrap();
    let declared = routes();
    let templates = declared.declared().iter().filter(|declared| declared.method == Method::GET);
    let mut asked: Vec<String> =
        templates.map(|declared| filled(&declared.path.replace("{id}", id))).collect();
    asked.extend(OF_THE_SHOP.iter().map(|page| (*page).to_owned()));
    asked.extend(OF_A_FITTING.iter().map(|page| format!("{fitting}{page}")));
    // Fields of forms, sent as a question.
    for (page, fields) in [
        ("/language", "language=de"),
        ("/count", "text=6291041500213&place=A1&scope=scanned"),
        ("/policy", "few_pairs=9"),
        ("/synonyms", "lines=a+%3D%3E+b"),
        ("/day/settle", "counted=wanted&key=a"),
        ("/staff", "name=Liv&password=nine+pale+open+windows&repeated=nine+pale+open+windows&role=owner"),
        ("/shoes/fennick.fm-310/edit", "name=Other"),
        ("/changes/1/undo", "seen=1"),
    ] {
        asked.push(format!("{page}?{fields}"));
    }
    for (part, fields) in
        [("/close", ""), ("/shortlist", "style=oskerley.003110m"), ("/runner", "size.system=UK")]
    {
        asked.push(format!("{fitting}{part}?{fields}"));
    }
    assert!(asked.len() > 100, "{}", asked.len());
    for page in &asked {
        desk.get(page).await;
        assert!(is_unchanged(&fitting_before, &desk.fitting(&fitting)), "{page}");
    }
    let after = desk.fitting(&fitting);
    assert_eq!(
        (&after.marks, &after.wanted, &after.tries),
        (&fitting_before.marks, &fitting_before.wanted, &fitting_before.tries)
    );
    assert!(told(&desk) == before, "something outside of the fitting has changed");
}

/// Whether a body is what its header says.
fn is_what_it_says(kind: &str, bytes: &[u8]) -> bool {
    let words = std::str::from_utf8(bytes).ok();
    let in_utf_8 = kind.contains("; charset=utf-8") && words.is_some();
    match kind.split(';').next().unwrap_or_default() {
        "text/html" => in_utf_8 && words.is_some_and(|words| words.starts_with("<!DOCTYPE html>")),
        "text/plain" | "text/csv" | "text/css" | "text/javascript" | "application/toml" => in_utf_8,
        "image/svg+xml" => in_utf_8 && words.is_some_and(|words| words.starts_with("<svg")),
        // JSON is UTF-8 and has no such parameter (RFC 8259).
        "application/json" | "application/problem+json" => {
            serde_json::from_slice::<serde_json::Value>(bytes).is_ok()
        }
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet" => bytes.starts_with(b"PK"),
        _ => false,
    }
}

#[tokio::test]
async fn every_body_says_its_kind_and_its_encoding_and_is_of_it() {
    let shop = staffed().await;
    let owner = shop.signed_in(OWNER).await;
    let home = text(shop.ask(&Method::GET, "/", Some(&owner), "").await).await;
    let assets = home
        .split('"')
        .filter(|part| part.starts_with("/assets/"))
        .map(|part| (Method::GET, part.to_owned()));
    let declared = routes();
    let declared =
        declared.declared().iter().map(|declared| (declared.method.clone(), filled(declared.path)));
    let pages = OF_THE_SHOP.iter().map(|page| (Method::GET, (*page).to_owned()));
    let others = [(Method::GET, "/nowhere".to_owned()), (Method::PUT, "/shoes".to_owned())];
    let (mut kinds, mut wrong) = (std::collections::BTreeSet::new(), Vec::new());
    for (method, uri) in declared.chain(pages).chain(others).chain(assets) {
        for cookie in [Some(owner.as_str()), None] {
            let response = shop.ask(&method, &uri, cookie, "").await;
            let status = response.status();
            let kind = response
                .headers()
                .get(header::CONTENT_TYPE)
                .map_or(String::new(), |kind| kind.to_str().unwrap().to_lowercase());
            let bytes = to_bytes(response.into_body(), 10_000_000).await.unwrap();
            if !bytes.is_empty() && !is_what_it_says(&kind, &bytes) {
                wrong.push(format!("{method} {uri}: {status} {kind:?}"));
            }
            kinds.insert(kind);
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(kinds.len() > 7, "{kinds:?}");
}

#[tokio::test]
async fn the_way_out_stands_on_every_page_and_below_the_card_where_it_is_not_printed() {
    let shop = staffed().await;
    let (owner, fitter) = (shop.signed_in(OWNER).await, shop.signed_in(FITTER).await);
    let opened = shop.ask(&Method::POST, "/fittings", Some(&fitter), "").await;
    let form = opened.headers()[header::LOCATION].to_str().unwrap().to_owned();
    let answers = form_urlencoded::Serializer::new(String::new()).extend_pairs(RUNNER).finish();
    let fitting = form.strip_suffix("/runner").unwrap().to_owned();
    shop.ask(&Method::POST, &form, Some(&fitter), &answers).await;
    let of_the_shop = OF_THE_SHOP.iter().map(|page| ((*page).to_owned(), &owner));
    let of_the_fitting = OF_A_FITTING.iter().map(|part| (format!("{fitting}{part}"), &fitter));
    let mut lacking = Vec::new();
    let mut pages = 0;
    for (page, cookie) in of_the_shop.chain(of_the_fitting) {
        let response = shop.ask(&Method::GET, &page, Some(cookie), "").await;
        if response.status().is_redirection() {
            continue;
        }
        pages += 1;
        let html = text(response).await;
        // What is not printed of a card stands below it.
        let below_the_card =
            || html.split_once("<footer class=\"screen-only\">").map_or("", |(_, foot)| foot);
        let place = if page.ends_with("/card") { below_the_card() } else { &html };
        if !place.contains("action=\"/sign-out\"") {
            lacking.push(page);
        }
    }
    assert!(pages > 40 && lacking.is_empty(), "{pages} pages, without: {lacking:?}");
}

#[tokio::test]
async fn the_invented_shop_is_reached_by_the_option_at_the_start_alone() {
    let invented: std::collections::BTreeSet<String> =
        Desk::new().state.snapshot().styles().iter().map(|style| style.maker.to_string()).collect();
    assert!(invented.len() > 3, "{invented:?}");
    let shop = Owner::new();
    let declared = routes();
    for declared in declared.declared() {
        for word in ["sample", "test", "debug", "demo"] {
            assert!(!declared.path.contains(word), "{}", declared.path);
        }
    }
    let read = declared.declared().iter().filter(|declared| declared.method == Method::GET);
    for declared in read {
        let page = shop.get(&filled(declared.path)).await;
        let found: Vec<_> = invented.iter().filter(|maker| page.body.contains(maker.as_str())).collect();
        assert!(found.is_empty(), "{}: {found:?}", declared.path);
    }
    for file in ["lastbench.service", "Containerfile"] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../web/packaging").join(file);
        assert!(!std::fs::read_to_string(path).unwrap().contains("--sample"), "{file}");
    }
}
