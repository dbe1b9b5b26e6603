//! What replaces a shoe of the sample shop, and which are like it: the page and its twin, against an order worked out
//! anew from what the sheets say.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeMap;

use axum::http::StatusCode;
use catalogue::measures::Measures;
use catalogue::style::{Audience, Style};
use indexer::shop::Told;
use indexer::snapshot::Snapshot;
use indexer::store::Signed;
use serde_json::Value;

use crate::visit_bench::Desk;

const MOST: usize = 5;

/// What the twin says of a style.
async fn twin(desk: &Desk, key: &str) -> Value {
    let answer = desk.get(&format!("/shoes/{key}/similar.json")).await;
    assert_eq!(answer.status, StatusCode::OK, "{key}: {}", answer.text);
    serde_json::from_str(&answer.text).unwrap()
}

async fn page(desk: &Desk, key: &str) -> String {
    let answer = desk.get(&format!("/shoes/{key}")).await;
    assert_eq!(answer.status, StatusCode::OK, "{key}");
    answer.text
}

/// The part of a page from one heading to the end of its section.
fn section<'p>(page: &'p str, id: &str) -> &'p str {
    let (_, rest) =
        page.split_once(&format!("<section class=\"group results\" aria-labelledby=\"{id}\"")).unwrap();
    rest.split("</section>").next().unwrap()
}

/// The shoes that the rows of a section lead to.
fn rows(section: &str) -> Vec<&str> {
    let links = section.split("<h3><a href=\"/shoes/").skip(1);
    links.map(|rest| rest.split('"').next().unwrap()).collect()
}

fn keys(similar: &Value) -> Vec<&str> {
    similar["similar"].as_array().unwrap().iter().map(|row| row["style"].as_str().unwrap()).collect()
}

/// Applies a sheet of the sample's supplier.
fn apply(desk: &Desk, sheet: &str) {
    let told = Told { supplier: Some("Sample supplier".to_owned()), ..Told::default() };
    let understood = desk.state.shop.understand("later.csv", sheet.as_bytes().to_vec(), &told).unwrap();
    let by = Signed { actor: "test".to_owned(), at: 2_000, key: "later".to_owned() };
    desk.state.shop.apply(&understood, &by).unwrap();
}

/// The pairs of each style of which there is one.
fn in_stock(snapshot: &Snapshot) -> BTreeMap<String, u32> {
    let mut pairs = BTreeMap::new();
    for sku in snapshot.skus().iter() {
        if let Some(quantity) = sku.quantity.filter(|quantity| quantity.in_stock()) {
            *pairs.entry(sku.style.to_string()).or_default() += quantity.counted();
        }
    }
    pairs
}

#[tokio::test]
async fn a_shoe_that_is_gone_shows_the_newest_that_replaces_it_and_how_that_differs() {
    let desk = Desk::new();
    // One was retired by a sheet; of the other the last pair is sold.
    for (key, newest, differs) in [
        ("fennick.fm-110", "fennick.fm-310", "2 mm less drop, 3 higher, 22 g lighter, bending not given"),
        ("fennick.fw-110", "fennick.fw-310", "2 mm less drop, 3 higher, 19 g lighter, 2 steps more flexible"),
    ] {
        let page = page(&desk, key).await;
        let replaces = section(&page, "replaces");
        assert!(
            replaces
                .contains("Fennick Marl 3 is the newest that replaces it; between them came Fennick Marl 2."),
            "{replaces}"
        );
        assert_eq!(rows(replaces), [newest]);
        assert!(replaces.contains(differs) && replaces.contains(" pairs, EU "), "{replaces}");
        assert!(page.find("id=\"replaces\"") < page.find("id=\"similar\""));
        assert!(page.find("id=\"similar\"") < page.find("id=\"measures\""), "before what nobody can buy");
        assert_eq!(twin(&desk, key).await["replaced_by"][1], newest);
    }
}

#[tokio::test]
async fn where_no_style_says_that_it_replaces_a_gone_one_the_page_says_so_and_offers_the_nearest() {
    let desk = Desk::new();
    let before = page(&desk, "fennick.fm-310").await;
    assert!(!before.contains("What replaces it") && before.contains("href=\"#similar\""));
    apply(&desk, "Maker,Style number,Status\nFennick,FM-310,retired\n");
    let page_of_it = page(&desk, "fennick.fm-310").await;
    let replaces = section(&page_of_it, "replaces");
    assert!(
        replaces.contains("No style says that it replaces this one. The nearest by measures stand below.")
    );
    assert_eq!(rows(section(&page_of_it, "similar")), rows(section(&before, "similar")));
    let older = page(&desk, "fennick.fm-110").await;
    let older = section(&older, "replaces");
    assert!(rows(older) == ["fennick.fm-310"] && older.contains("no longer supplied"), "{older}");
}

#[tokio::test]
async fn a_replacement_without_a_pair_says_so_and_leads_to_the_nearest() {
    let desk = Desk::new();
    let snapshot = desk.state.snapshot();
    let sold = snapshot.skus().iter().filter(|sku| sku.style.to_string() == "fennick.fm-310");
    let row = |sku: &catalogue::stock::Sku| {
        let (width, printed) = (sku.width.as_deref().unwrap_or_default(), sku.label.printed());
        format!("Fennick,FM-310,{},EU,\"{printed}\",{width},0\n", sku.colourway)
    };
    let rows_sold: String = sold.map(row).collect();
    apply(&desk, &format!("Brand,Article no.,Colourway,Size system,Size,Width,Qty\n{rows_sold}"));
    let page = page(&desk, "fennick.fm-110").await;
    let replaces = section(&page, "replaces");
    assert!(
        replaces.contains("No pair of it is in stock: the nearest by measures stand below."),
        "{replaces}"
    );
    assert!(replaces.contains("none in stock"));
    assert!(!rows(section(&page, "similar")).contains(&"fennick.fm-310"));
}

#[tokio::test]
async fn similar_shoes_are_never_the_shoe_itself_a_retired_one_or_one_without_a_pair() {
    let desk = Desk::new();
    let snapshot = desk.state.snapshot();
    let (pairs, mut offered) = (in_stock(&snapshot), 0);
    for style in snapshot.styles() {
        let key = style.key.to_string();
        let reply = twin(&desk, &key).await;
        assert_eq!(reply["style"], key.as_str());
        for row in reply["similar"].as_array().unwrap() {
            let other = row["style"].as_str().unwrap();
            let card = snapshot.style(&catalogue::key::StyleKey::parse(other).unwrap()).unwrap();
            assert!(other != key && !card.style.retired, "{key}: {other}");
            assert_eq!(row["pairs"].as_u64(), pairs.get(other).copied().map(u64::from), "{key}: {other}");
            offered += 1;
        }
    }
    assert!(offered > 700, "{offered} rows in all");
}

/// One shoe, as its sheet gives it; in tenths.
struct Sheet {
    heel: Option<f64>,
    forefoot: Option<f64>,
    drop: Option<f64>,
    mass: Option<f64>,
    weighed_at: f64,
    bending: Option<f64>,
}

impl Sheet {
    fn of(style: &Style) -> Self {
        let tenths = |mm: Option<catalogue::units::Mm>| mm.map(|mm| f64::from(mm.in_tenths()));
        let spec = &style.specification;
        let (heel, forefoot, stated) =
            (tenths(spec.heel_stack), tenths(spec.forefoot_stack), tenths(spec.drop_stated));
        let by_stacks = heel.zip(forefoot).map(|(heel, forefoot)| heel - forefoot);
        let drop = match (stated, by_stacks) {
            (Some(stated), Some(by_stacks)) if (stated - by_stacks).abs() > 5.0 => Some(by_stacks),
            (stated, by_stacks) => stated.or(by_stacks),
        };
        let sample = if style.audience == Some(Audience::Women) { 38.0 } else { 42.0 };
        let size = Measures::of(spec, style.audience).mass_size();
        Self {
            heel: heel.or(forefoot.zip(stated).map(|(forefoot, drop)| forefoot + drop)),
            forefoot: forefoot.or(heel.zip(stated).map(|(heel, drop)| heel - drop)),
            drop,
            mass: spec.mass.map(|mass| f64::from(mass.in_tenths())),
            weighed_at: size.map_or(sample, |twelfths| f64::from(twelfths) / 12.0),
            bending: spec.bending_word().map(|word| f64::from(word.step())),
        }
    }

    fn mean(&self) -> Option<f64> {
        self.heel.zip(self.forefoot).map(|(heel, forefoot)| (f64::midpoint(heel, forefoot) + 0.5).floor())
    }

    fn mass_at(&self, size: f64) -> Option<f64> {
        self.mass.map(|mass| (mass * (1.0 + 0.03 * (size - self.weighed_at)) + 0.5 + 1e-9).floor())
    }
}

/// The least and the most distance in tenths of a point, where there is one.
fn apart(a: &Sheet, b: &Sheet) -> Option<(i64, i64)> {
    let between = |a: Option<f64>, b: Option<f64>| Some((a? - b?).abs());
    let stack = between(a.mean(), b.mean()).or(between(a.heel, b.heel));
    let drop = between(a.drop, b.drop);
    drop.or(stack)?;
    let size = a.weighed_at.min(b.weighed_at);
    let parts = [
        (drop, 300.0, 60.0),
        (stack, 400.0, 160.0),
        (between(a.mass_at(size), b.mass_at(size)), 200.0, 1000.0),
        (between(a.bending, b.bending), 100.0, 2.0),
    ];
    let ends = parts.map(|(difference, most, reach)| match difference {
        None => (0, most as i64),
        Some(difference) => {
            let points = (most * difference / reach + 0.5).floor().min(most) as i64;
            (points, points)
        }
    });
    Some(ends.into_iter().fold((0, 0), |sum, end| (sum.0 + end.0, sum.1 + end.1)))
}

fn made_for_the_same(a: &Style, b: &Style) -> bool {
    let people = |style: &Style| match style.audience {
        None => vec!["women", "men", "youth"],
        Some(Audience::Unisex) => vec!["women", "men"],
        Some(audience) => vec![audience.word()],
    };
    let audience = people(a).iter().any(|word| people(b).contains(word));
    let surface = a.surfaces.iter().any(|surface| b.surfaces.contains(surface));
    let purpose = a.purposes.iter().any(|purpose| b.purposes.contains(purpose));
    audience
        && (surface || a.surfaces.is_empty() || b.surfaces.is_empty())
        && (purpose || a.purposes.is_empty() || b.purposes.is_empty())
}

#[tokio::test]
async fn the_order_is_the_one_worked_out_by_brute_force_for_every_style() {
    let desk = Desk::new();
    let snapshot = desk.state.snapshot();
    let pairs = in_stock(&snapshot);
    for style in snapshot.styles() {
        let mut all: Vec<(i64, i64, String, (i64, i64))> = Vec::new();
        for other in snapshot.styles() {
            let key = other.key.to_string();
            let offered = other.key != style.key && !other.retired && pairs.contains_key(&key);
            let distance = apart(&Sheet::of(style), &Sheet::of(other));
            if let Some((low, high)) = distance.filter(|_| offered && made_for_the_same(style, other)) {
                all.push((low + high, high - low, key, (low, high)));
            }
        }
        all.retain(|(twice_middle, ..)| *twice_middle <= 1_000);
        all.sort();
        all.truncate(MOST);
        let reply = twin(&desk, style.key.as_str()).await;
        let tenths = |value: &Value| (value.as_f64().unwrap() * 10.0).round() as i64;
        let found: Vec<_> = reply["similar"].as_array().unwrap().iter().collect();
        assert_eq!(
            keys(&reply),
            all.iter().map(|(.., key, _)| key.as_str()).collect::<Vec<_>>(),
            "{}",
            style.key
        );
        for (row, (.., ends)) in found.iter().zip(&all) {
            assert_eq!((tenths(&row["low"]), tenths(&row["high"])), *ends, "{}: {row}", style.key);
            for end in ["low", "high"] {
                let lines = row["lines"].as_array().unwrap();
                assert_eq!(
                    lines.iter().map(|line| tenths(&line[end])).sum::<i64>(),
                    tenths(&row[end]),
                    "{row}"
                );
            }
        }
    }
}

#[tokio::test]
async fn the_page_shows_what_its_twin_says_in_words_and_without_points() {
    let desk = Desk::new();
    for style in desk.state.snapshot().styles() {
        let key = style.key.as_str();
        let (page, reply) = (page(&desk, key).await, twin(&desk, key).await);
        let similar = section(&page, "similar");
        let newest = reply["replaced_by"].as_array().unwrap().last().and_then(Value::as_str);
        let shown = newest.filter(|_| page.contains("id=\"replaces\""));
        let mut told = keys(&reply);
        told.retain(|key| Some(*key) != shown);
        let rows = rows(similar);
        assert!(rows.starts_with(&told) && rows.len() <= MOST, "{key}: {rows:?}");
        assert!(!rows.is_empty() || similar.contains("no other can be called near to it"), "{key}");
        let words = similar.to_lowercase();
        for word in ["points", "%", " fit", "suit", "score"] {
            assert!(!words.contains(word), "{key}: {word}");
        }
        for row in reply["similar"].as_array().unwrap() {
            let open =
                row["lines"][3]["difference"].is_null() && style.specification.bending_word().is_some();
            assert!(!open || similar.contains("bending not given"), "{key}: {row}");
        }
    }
}

#[tokio::test]
async fn a_shoe_without_drop_and_stacks_is_like_none_and_says_why() {
    let desk = Desk::new();
    let page = page(&desk, "fennick.fm-1010").await;
    assert!(page.contains("Neither drop nor heel stack of this shoe is given"));
    assert!(keys(&twin(&desk, "fennick.fm-1010").await).is_empty());
    assert!(!page.contains("href=\"#similar\""), "no way leads to nothing");
}

#[tokio::test]
async fn what_is_not_given_is_null_in_the_twin_and_its_weight_is_open() {
    let desk = Desk::new();
    // Its sheet gives the heel alone: no drop, and no mean of the two stacks.
    let reply = twin(&desk, "brindlow.m-2357").await;
    let nearest = &reply["similar"][0];
    assert_eq!((&nearest["stack"], &nearest["lines"][0]["difference"]), (&"heel".into(), &Value::Null));
    assert_eq!(
        (nearest["lines"][0]["low"].as_f64(), nearest["lines"][0]["high"].as_f64()),
        (Some(0.0), Some(30.0))
    );
    let words = page(&desk, "brindlow.m-2357").await;
    assert!(words.contains("Not given of this shoe: drop, forefoot stack."));
    assert!(section(&words, "similar").contains("same height at the heel"));
}

#[tokio::test]
async fn a_shoe_nobody_knows_has_no_twin() {
    let desk = Desk::new();
    for key in ["nobody.knows", "..", "fennick"] {
        let answer = desk.get(&format!("/shoes/{key}/similar.json")).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{key}");
    }
}
