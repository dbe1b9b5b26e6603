//! What is exported comes in again as nothing new, whatever the catalogue holds.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::fmt::Write as _;

use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::{Shop, Told};
use indexer::store::Signed;
use proptest::prelude::*;

/// One style with up to four sizes, as a supplier would write it; a blank says nothing.
#[derive(Clone, Debug)]
struct Written {
    name: String,
    notes: String,
    measures: [Option<u16>; 4],
    audience: &'static str,
    colour: String,
    price: Option<u16>,
    sizes: Vec<(u16, Option<u16>, Option<u16>)>,
}

/// Text with everything that CSV, spreadsheets and keys stumble over.
fn text() -> impl Strategy<Value = String> {
    let parts = prop::sample::select(vec![
        "Aro", "3", "É", "ß", "a;b", "x,y", "\"q\"", "=1+1", "@x", "-2", "'t", "½", "  ", "日本", "I'm",
    ]);
    prop::collection::vec(parts, 1..4).prop_map(|parts| format!("N{}", parts.join(" ")))
}

fn written() -> impl Strategy<Value = Written> {
    let tenths = |from: u16, to: u16| prop::option::of(from..to);
    let measures = (tenths(100, 500), tenths(100, 500), tenths(0, 150), tenths(1_200, 4_000));
    let size = (60u16..100, prop::option::of(0u16..12), prop::option::of(500u16..30_000));
    let audience = prop::sample::select(vec!["", "men", "women", "unisex", "youth"]);
    let price = prop::option::of(500u16..30_000);
    (text(), text(), measures, audience, text(), price, prop::collection::vec(size, 0..4)).prop_map(
        |(name, notes, (heel, forefoot, drop, mass), audience, colour, price, sizes)| Written {
            name,
            notes,
            measures: [heel, forefoot, drop, mass],
            audience,
            colour,
            price,
            sizes,
        },
    )
}

fn sheet(styles: &[Written]) -> String {
    let mut csv =
        "Maker,Style number,Style name,Notes,For,Heel stack mm,Forefoot stack mm,Drop mm,Weight g,Colour,Size EU,Qty,Price EUR\n"
            .to_owned();
    for (number, style) in styles.iter().enumerate() {
        let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
        let tenths = |n: Option<u16>| n.map_or_else(String::new, |n| format!("{}.{}", n / 10, n % 10));
        let [heel, forefoot, drop, mass] = style.measures.map(tenths);
        let head = format!(
            "Fennick,F{number},{},{},{},{heel},{forefoot},{drop},{mass}",
            quoted(&style.name),
            quoted(&style.notes),
            style.audience
        );
        let price =
            style.price.map_or_else(String::new, |cents| format!("{}.{:02}", cents / 100, cents % 100));
        writeln!(csv, "{head},,,,{price}").unwrap();
        let mut halves: Vec<u16> = Vec::new();
        for (half, pairs, cents) in &style.sizes {
            if halves.contains(half) {
                continue;
            }
            halves.push(*half);
            let pairs = pairs.map_or_else(String::new, |n| n.to_string());
            let price = cents.map_or_else(String::new, |n| format!("{}.{:02}", n / 100, n % 100));
            let size = f32::from(*half) / 2.0;
            writeln!(csv, "{head},{},{size},{pairs},{price}", quoted(&style.colour)).unwrap();
        }
    }
    csv
}

fn told() -> Told {
    Told { supplier: Some("Trade Post".to_owned()), ..Told::default() }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(40) })]

    #[test]
    fn an_export_comes_in_again_with_nothing_new_and_nothing_changed(
        styles in prop::collection::vec(written(), 1..6)
    ) {
        let program = env!("CARGO_BIN_EXE_lastbench-under-test").into();
        let shop = Shop::in_memory(SheetReader::new(program, SheetLimits::standard())).unwrap();
        let understood = shop.understand("first.csv", sheet(&styles).into_bytes(), &told()).unwrap();
        prop_assert!(!understood.proposal.is_refused(), "{:?}", understood.proposal.findings);
        shop.apply(&understood, &Signed { actor: "test".to_owned(), at: 0, key: "first".to_owned() }).unwrap();
        let csv = shop.ask(|store| store.export_csv()).unwrap();
        let again = shop.understand("export.csv", csv.clone().into_bytes(), &told()).unwrap();
        let counts = again.proposal.counts;
        prop_assert_eq!(
            (counts.new, counts.changed, counts.held, again.proposal.changes.len()), (0, 0, 0, 0),
            "{}\n{:?}", csv, again.proposal.findings
        );
    }
}
