//! The drawings read back: what stands in them, in millimetres and grams, against the catalogue and against the table
//! beside them. Nothing here is asked of the code that draws.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeMap;

use axum::http::StatusCode;
use catalogue::measures::Measure;
use catalogue::units::Mm;

use crate::visit_bench::{Desk, RUNNER};

/// Heights in a drawing are right within this, in mm.
const WITHIN: f64 = 0.5;

/// What stands behind `name="` in a tag.
fn attribute<'t>(tag: &'t str, name: &str) -> Option<&'t str> {
    tag.split_once(&format!(" {name}=\"")).map(|(_, rest)| rest.split('"').next().unwrap())
}

/// The elements of this name, each from its tag to the next of the same name.
fn elements<'t>(html: &'t str, start: &str) -> Vec<&'t str> {
    html.split(start).skip(1).collect()
}

fn numbers(path: &str) -> Vec<f64> {
    path.split_whitespace().filter_map(|word| word.parse().ok()).collect()
}

/// The drawings of soles on a page.
fn soles(html: &str) -> Vec<&str> {
    elements(html, "<svg class=\"sole large\"")
        .into_iter()
        .map(|svg| svg.split("</svg>").next().unwrap())
        .collect()
}

/// The lengths of the upright dimensions of a drawing, in mm: heel, forefoot and drop, those that are there.
fn dimensions(svg: &str) -> Vec<(Option<&str>, f64)> {
    let scale: f64 = attribute(svg, "data-scale").unwrap().parse().unwrap();
    let read = |tag| {
        let path = numbers(attribute(tag, "d").unwrap());
        (attribute(tag, "data-drop"), (path[1] - path[2]) / scale)
    };
    elements(svg, "<path class=\"dimension\"").into_iter().map(read).collect()
}

fn mm(height: Option<Mm>) -> Option<f64> {
    height.map(|mm| f64::from(mm.in_tenths()) / 10.0)
}

#[tokio::test]
async fn every_sole_is_drawn_as_high_as_the_catalogue_says_and_all_to_one_scale() {
    let desk = Desk::new();
    let snapshot = desk.state.snapshot();
    let (mut heights, mut open) = (0, 0);
    for four in snapshot.styles().chunks(4) {
        let query: Vec<String> = four.iter().map(|style| format!("shoe={}", style.key)).collect();
        let page = desk.get(&format!("/compare?{}", query.join("&"))).await;
        assert_eq!(page.status, StatusCode::OK);
        let soles = soles(&page.text);
        assert_eq!(soles.len(), four.len());
        for (style, svg) in four.iter().zip(&soles) {
            assert_eq!(attribute(svg, "data-scale"), Some("2"), "one scale for all");
            assert_eq!(
                attribute(svg, "width"),
                attribute(soles[0], "width"),
                "and one width to be shrunk to"
            );
            let measures = snapshot.style(&style.key).unwrap().measures;
            let known = [mm(measures.heel_stack()), mm(measures.forefoot_stack())];
            let drawn = dimensions(svg);
            let stacks: Vec<f64> =
                drawn.iter().filter(|(drop, _)| drop.is_none()).map(|(_, mm)| *mm).collect();
            let stated: Vec<f64> = known.iter().flatten().copied().collect();
            assert_eq!(stacks.len(), stated.len(), "{}", style.key);
            assert!(
                stacks.iter().zip(&stated).all(|(drawn, data)| (drawn - data).abs() <= WITHIN),
                "{}",
                style.key
            );
            heights += stacks.len();
            let drop = drawn.iter().find(|(drop, _)| drop.is_some());
            if let (Some((_, drawn)), Some(data)) = (drop, mm(measures.drop())) {
                // It runs from the heel's height down to the forefoot's.
                assert!((-drawn - data).abs() <= 2.0 * WITHIN, "{}: drop {data} drawn {drawn}", style.key);
            }
            // What nobody gave is open, and is no height.
            let unknown = known.iter().filter(|known| known.is_none()).count();
            assert_eq!(svg.matches("class=\"open\"").count(), unknown, "{}", style.key);
            open += unknown;
        }
    }
    assert!(heights > 20 && open > 0, "the sample holds known and unknown stacks: {heights}, {open}");
}

/// One row of a drawing of dots: the figure it prints, and what is drawn, in tenths.
struct Drawn {
    figure: String,
    at: Option<f64>,
    span: Option<(f64, f64)>,
}

/// The value at a place of an axis, in units: `from to start end`, ends in tenths and in pixels.
fn value(axis: &str, at: f64) -> f64 {
    let [from, to, start, end] = numbers(axis)[..] else { panic!("{axis}") };
    (from + (at - start) / (end - start) * (to - from)) / 10.0
}

/// Each drawing of dots by the measure it shows.
fn charts(html: &str) -> BTreeMap<String, Vec<Drawn>> {
    let chart = |figure: &&str| {
        let figure = figure.split("</figure>").next().unwrap();
        let axis = attribute(figure, "data-axis").unwrap();
        let row = |row: &&str| {
            let printed = elements(row, "<text class=\"value")[0];
            let text = printed.split_once('>').unwrap().1.split('<').next().unwrap();
            let dot = row.split_once("<circle class=\"dot\"").and_then(|(_, tag)| attribute(tag, "cx"));
            let cross = row.split_once("<path class=\"cross\"").and_then(|(_, tag)| attribute(tag, "data-x"));
            let span = row
                .split_once("<path class=\"interval\"")
                .map(|(_, tag)| numbers(attribute(tag, "d").unwrap()));
            Drawn {
                figure: text.to_owned(),
                at: dot.or(cross).map(|x| value(axis, x.parse().unwrap())),
                span: span.map(|path| (value(axis, path[0]), value(axis, path[3]))),
            }
        };
        let title = figure.split_once("<b>").unwrap().1.split('<').next().unwrap();
        (title.to_owned(), elements(figure, "<text class=\"name\"").iter().map(row).collect())
    };
    elements(html, "<figure class=\"dots\">").iter().map(chart).collect()
}

/// The row of the table of a measure: what each shoe's cell says first.
fn table_row(html: &str, measure: &str, shoes: usize) -> Vec<String> {
    let table = html.split_once("<table class=\"beside\">").unwrap().1;
    let row = table
        .split_once(&format!("<th scope=\"row\">{measure}</th>"))
        .unwrap()
        .1
        .split("</tr>")
        .next()
        .unwrap();
    let cells = elements(row, "<span>").into_iter().take(shoes);
    cells.map(|cell| cell.split('<').next().unwrap().to_owned()).collect()
}

fn figure(text: &str) -> Option<f64> {
    text.replace('−', "-").parse().ok()
}

/// Each drawing of dots says in its places what the table says in figures.
fn agree(html: &str) -> usize {
    let mut looked_at = 0;
    for (measure, rows) in charts(html) {
        let cells = table_row(html, &measure, rows.len());
        for (drawn, cell) in rows.iter().zip(&cells) {
            assert_eq!(&drawn.figure, cell, "{measure}");
            match (cell.split_once(" to "), figure(cell)) {
                (Some((from, to)), _) => {
                    let (drawn_from, drawn_to) = drawn.span.unwrap();
                    assert!((drawn_from - figure(from).unwrap()).abs() < WITHIN, "{measure}");
                    assert!((drawn_to - figure(to).unwrap()).abs() < WITHIN, "{measure}");
                }
                // A pixel of the axis of masses is worth more than that of the drops.
                (None, Some(said)) => assert!((drawn.at.unwrap() - said).abs() < WITHIN, "{measure}: {said}"),
                (None, None) => assert!(cell == "not given" && drawn.at.is_none() && drawn.span.is_none()),
            }
            looked_at += 1;
        }
    }
    looked_at
}

#[tokio::test]
async fn every_dot_stands_where_the_table_says() {
    let desk = Desk::new();
    let snapshot = desk.state.snapshot();
    let mut looked_at = 0;
    for four in snapshot.styles().chunks(4).filter(|four| four.len() > 1) {
        let query: Vec<String> = four.iter().map(|style| format!("shoe={}", style.key)).collect();
        looked_at += agree(&desk.get(&format!("/compare?{}", query.join("&"))).await.text);
    }
    assert!(looked_at > 50, "{looked_at}");
}

/// The frames of what is looked for stand where their band begins and ends; their number.
fn frames(html: &str) -> usize {
    let mut looked_at = 0;
    for figure in elements(html, "<figure class=\"dots\">") {
        let Some((before, rect)) = figure.split_once("<rect class=\"looked-for\"") else { continue };
        let axis = attribute(before, "data-axis").unwrap();
        let of = |name: &str| attribute(rect, name).unwrap().parse::<f64>().unwrap();
        let (from, to) = (value(axis, of("x")), value(axis, of("x") + of("width")));
        let within = |drawn: f64, said: f64| (drawn - said / 10.0).abs() < WITHIN;
        assert!(within(from, of("data-from")) && within(to, of("data-to")), "{from} to {to}");
        looked_at += 1;
    }
    looked_at
}

/// The region of a map, in tenths.
fn is_region(html: &str, drop: (i32, i32), stack: (i32, i32)) {
    let (before, rect) = html.split_once("<rect class=\"looked-for\"").unwrap();
    let svg = before.rsplit_once("<svg").unwrap().1;
    let of = |name: &str| attribute(rect, name).unwrap().parse::<f64>().unwrap();
    let (across, up) = (attribute(svg, "data-across").unwrap(), attribute(svg, "data-up").unwrap());
    let drawn = [
        (value(across, of("x")), drop.0),
        (value(across, of("x") + of("width")), drop.1),
        (value(up, of("y") + of("height")), stack.0),
        (value(up, of("y")), stack.1),
    ];
    assert!(drawn.iter().all(|(drawn, band)| (drawn - f64::from(*band) / 10.0).abs() < WITHIN), "{drawn:?}");
}

#[tokio::test]
async fn a_fittings_drawings_hold_its_bands_and_worn_pair_and_the_shared_ones_nothing_of_them() {
    let desk = Desk::new();
    let fitting = desk.answered(&RUNNER).await;
    for style in ["fennick.fm-410", "fennick.fm-510"] {
        desk.post(&format!("{fitting}/shortlist"), &[("style", style)]).await;
    }
    let own = desk.get(&format!("{fitting}/compare")).await.text;
    assert!(agree(&own) >= 9 && own.contains("class=\"cross\""));
    let runner = desk.fitting(&fitting).runner;
    let ranker = desk.state.snapshot().ranker(&runner).unwrap();
    let drop = ranker.brief().band(Measure::Drop);
    assert!(
        own.contains(&format!("data-from=\"{}\" data-to=\"{}\"", drop.from, drop.to)),
        "the band as it ranks"
    );
    assert!(frames(&own) >= 3, "drop, stack and weight are looked for");
    assert!(own.contains("a name that only this machine knows"), "localhost is no address for a phone");
    let shared = own.split("/compare?shoe=").nth(1).map(|rest| rest.split('"').next().unwrap()).unwrap();
    let shared = desk.get(&format!("/compare?shoe={}", shared.replace("&amp;", "&"))).await.text;
    let map = desk.get("/stock-map").await.text;
    for page in [&shared, &map] {
        for word in ["looked-for", "class=\"cross\"", "worn", "Looking for", "/fittings/"] {
            assert!(!page.contains(word), "{word}");
        }
    }
    let own_map = desk.get(&format!("{fitting}/stock-map")).await.text;
    assert!(own_map.contains("class=\"looked-for\"") && own_map.contains("class=\"cross\""));
    let stack = ranker.brief().band(Measure::LandingStack);
    is_region(&own_map, (drop.from, drop.to), (stack.from, stack.to));
    assert!(own_map.contains("Looking for a drop of"));
}

#[tokio::test]
async fn every_disc_of_the_map_stands_where_its_shoes_measure_and_is_as_large_as_its_pairs() {
    let desk = Desk::new();
    let html = desk.get("/stock-map").await.text;
    let svg = html.split_once("data-across=").map(|(_, rest)| format!(" data-across={rest}")).unwrap();
    let svg = svg.split("</svg>").next().unwrap();
    let (across, up) = (attribute(svg, "data-across").unwrap(), attribute(svg, "data-up").unwrap());
    let number = |name: &str| attribute(svg, name).unwrap().parse::<f64>().unwrap();
    let (most, largest) = (number("data-most"), number("data-largest"));
    let mut drawn: Vec<[i64; 3]> = elements(svg, "<circle class=\"disc\"")
        .into_iter()
        .map(|tag| {
            let of = |name: &str| attribute(tag, name).unwrap().parse::<f64>().unwrap();
            let pairs = most * (of("r") / largest).powi(2);
            let tenths = |value: f64| (value * 10.0).round() as i64;
            [tenths(value(up, of("cy"))), tenths(value(across, of("cx"))), pairs.round() as i64]
        })
        .collect();
    let snapshot = desk.state.snapshot();
    let mut data: BTreeMap<(i64, i64, bool, i64), i64> = BTreeMap::new();
    let mut without = 0;
    for style in snapshot.styles().iter().filter(|style| !style.retired) {
        let card = snapshot.style(&style.key).unwrap();
        let pairs: u32 = card.skus.iter().filter_map(|sku| sku.quantity).map(|q| q.counted()).sum();
        if pairs == 0 {
            continue;
        }
        if let (Some(drop), Some(heel)) = (card.measures.drop(), card.measures.heel_stack()) {
            let disagrees = card.measures.drop_disagrees();
            let stated = style.specification.drop_stated.filter(|_| disagrees).map_or(0, Mm::in_tenths);
            let key = (heel.in_tenths().into(), drop.in_tenths().into(), disagrees, stated.into());
            *data.entry(key).or_default() += i64::from(pairs);
        } else {
            assert!(html.contains(&format!("/shoes/{}\"", style.key)), "{} is named beside it", style.key);
            without += 1;
        }
    }
    let mut data: Vec<[i64; 3]> =
        data.into_iter().map(|((heel, drop, ..), pairs)| [heel, drop, pairs]).collect();
    drawn.sort_unstable();
    data.sort_unstable();
    let near = |one: &[i64; 3], other: &[i64; 3]| {
        // Within half a millimetre, and the pairs as counted.
        (one[0] - other[0]).abs() <= 5 && (one[1] - other[1]).abs() <= 5 && one[2] == other[2]
    };
    assert_eq!(drawn.len(), data.len());
    assert!(drawn.iter().zip(&data).all(|(drawn, data)| near(drawn, data)), "{drawn:?}\n{data:?}");
    assert!(drawn.len() > 5 && without > 0, "{} on the map, {without} beside it", drawn.len());
}

#[tokio::test]
async fn filters_narrow_the_map_as_they_narrow_the_list() {
    let desk = Desk::new();
    let found =
        |html: &str| html.split("role=\"status\"><b>").nth(1).unwrap().split('<').next().unwrap().to_owned();
    for (before, behind) in [
        ("", "surface=road"),
        ("audience=women&", "surface=trail"),
        ("drop_from=4&drop_to=8&", ""),
        ("q=fennick&", ""),
    ] {
        // Every state has one address, its keys in order.
        let query = format!("{before}{behind}");
        let map = found(&desk.get(&format!("/stock-map?{}", query.trim_end_matches('&'))).await.text);
        let (stock, behind) = if behind.is_empty() { ("stock=yes", "") } else { ("stock=yes&", behind) };
        let list = found(&desk.get(&format!("/shoes?{before}{stock}{behind}")).await.text);
        assert_eq!(map.split_whitespace().next(), list.split_whitespace().next(), "{query}: {map}; {list}");
    }
    let none = desk.get("/stock-map?drop_from=90").await;
    assert!(none.status == StatusCode::OK && none.text.contains("No shoe passes every filter."));
    assert!(none.text.contains("Without "), "and says what would bring some back");
}

#[tokio::test]
async fn a_shared_link_with_a_shoe_that_is_gone_keeps_the_others_and_says_the_next_step() {
    let desk = Desk::new();
    let page = desk.get("/compare?shoe=fennick.gone-1&shoe=fennick.fm-410&shoe=fennick.fm-510").await;
    assert_eq!(page.status, StatusCode::OK);
    assert_eq!(soles(&page.text).len(), 2);
    assert!(
        page.text.contains("no shoe “fennick.gone-1”") && page.text.contains("Look for it among the shoes")
    );
    let alone = desk.get("/compare?shoe=fennick.gone-1").await;
    assert!(alone.status == StatusCode::OK && alone.text.contains("Find the first shoe"));
    let keys: Vec<String> =
        desk.state.snapshot().styles().iter().take(5).map(|style| format!("shoe={}", style.key)).collect();
    let five = desk.get(&format!("/compare?{}", keys.join("&"))).await;
    assert_eq!(soles(&five.text).len(), 4);
    let old = desk.get("/compare?shoe=fennick.fm-110&shoe=fennick.fm-410").await.text;
    assert!(old.contains("Fennick Marl is no longer supplied") && soles(&old).len() == 2);
    assert!(
        old.contains(
            "/compare?shoe=fennick.fm-310&amp;shoe=fennick.fm-410\">Set Fennick Marl 3 in its place"
        )
    );
    assert!(five.text.contains("More than four are hard to compare") && five.text.contains("Set the others"));
}
