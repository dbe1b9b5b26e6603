//! The sample shop: what its README says of each runner is what the program shows, and every line adds up.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeSet;
use std::fs;
use std::sync::{Arc, Mutex, PoisonError, Weak};

use catalogue::measures::Worn;
use catalogue::rank::{Points, What};
use catalogue::runner::Runner;
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::Shop;
use indexer::snapshot::Snapshot;
use serde_json::Value;
use tests::program::{Lastbench, argument};
use tests::sample::{RUNNERS, SHEETS, runner, sample, tenths};
use web::request::runner::RunnerForm;

const GROUPS: [(&str, &str); 5] = [
    ("first", "Bring out first"),
    ("also", "Also worth trying"),
    ("aside", "Worn now"),
    ("further", "Further away"),
    ("too-little", "Sheet says too little"),
];

/// The program with the sample's sheets in its folder: one for all tests that run at the same time, since they only
/// read; its folder goes with the last of them.
pub(crate) fn stocked() -> Arc<Lastbench> {
    static SHARED: Mutex<Weak<Lastbench>> = Mutex::new(Weak::new());
    let mut shared = SHARED.lock().unwrap_or_else(PoisonError::into_inner);
    shared.upgrade().unwrap_or_else(|| {
        let made = Arc::new(with_the_sheets());
        *shared = Arc::downgrade(&made);
        made
    })
}

fn with_the_sheets() -> Lastbench {
    let lastbench = tests::lastbench!();
    for sheet in SHEETS {
        let file = sample(sheet);
        lastbench.done(&["import", "--yes", "--supplier", "Sample supplier", argument(&file)]);
    }
    lastbench
}

fn ranked(lastbench: &Lastbench, name: &str) -> Value {
    let (code, reply) = lastbench.json(&["rank", "--json", "--runner", argument(&runner(name))]);
    assert_eq!(code, Some(0), "{name}: a stop and an empty list are answers too");
    reply
}

fn rows(reply: &Value) -> &[Value] {
    reply["results"].as_array().map(Vec::as_slice).expect("results")
}

fn in_group<'v>(reply: &'v Value, group: &str) -> Vec<&'v Value> {
    rows(reply).iter().filter(|row| row["group"] == group).collect()
}

fn shop() -> Shop {
    let reader = SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
    web::sample::sample_shop(reader, 1_700_000_000).unwrap()
}

fn read_runner(name: &str, snapshot: &Snapshot) -> Runner {
    let form = RunnerForm::from_toml(&fs::read_to_string(runner(name)).unwrap()).unwrap();
    form.to_runner(&|key| snapshot.style(key).is_some()).unwrap()
}

#[test]
fn the_list_of_sample_runners_is_the_folder_of_sample_runners() {
    let files = fs::read_dir(sample("runners")).unwrap().map(|entry| entry.unwrap().path());
    let named: BTreeSet<_> = files.map(|path| path.file_stem().unwrap().to_owned()).collect();
    assert_eq!(named, RUNNERS.iter().map(Into::into).collect());
}

#[test]
fn score_and_explanation_agree_on_every_sample_shoe_and_runner() {
    let snapshot = shop().snapshot();
    let mut compared = 0;
    for name in RUNNERS {
        let Ok(ranker) = snapshot.ranker(&read_runner(name, &snapshot)) else {
            assert_eq!(name, "stop", "the one runner without an order");
            continue;
        };
        for style in snapshot.styles() {
            let measures = snapshot.style(&style.key).unwrap().measures;
            let (score, explanation) = (ranker.score(&measures), ranker.explain(&measures));
            let counted = [score.suitability, score.low, score.high].map(i32::from);
            let Points { at, low, high } = explanation.total();
            assert_eq!([at, low, high], counted, "{} for {name}", style.key);
            assert!(0 <= low && low <= at && at <= high && high <= 1000, "{} for {name}", style.key);
            assert!(matches!(explanation.lines[0].what, What::Base), "{} for {name}", style.key);
            compared += 1;
        }
    }
    assert_eq!(compared, snapshot.styles().len() * (RUNNERS.len() - 1));
    assert!(snapshot.styles().len() >= 150 && snapshot.skus().len() >= 3_000);
}

#[test]
fn the_printed_lines_of_every_result_add_up_to_its_points() {
    let lastbench = stocked();
    let mut added = 0;
    for name in RUNNERS {
        let reply = ranked(&lastbench, name);
        for row in rows(&reply) {
            for (line_end, row_end) in [("points", "suitability"), ("low", "low"), ("high", "high")] {
                let lines = row["lines"].as_array().unwrap();
                let sum: i64 = lines.iter().map(|line| tenths(&line[line_end])).sum();
                assert_eq!(sum, tenths(&row[row_end]), "{row_end} of {} for {name}", row["style"]);
                added += 1;
            }
        }
    }
    assert!(added > 300, "only {added} sums");
}

#[test]
fn the_order_in_words_is_the_order_in_json() {
    let lastbench = stocked();
    for name in RUNNERS.into_iter().filter(|name| !["stop", "empty-list"].contains(name)) {
        let reply = ranked(&lastbench, name);
        let expected: Vec<_> = GROUPS
            .iter()
            .flat_map(|(group, heading)| {
                in_group(&reply, group).into_iter().map(|row| (*heading, named(row))).collect::<Vec<_>>()
            })
            .collect();
        let words = lastbench.done(&["rank", "--runner", argument(&runner(name))]);
        assert_eq!(in_words(&words), expected, "{name}");
    }
}

/// Points, maker and name as a row in words begins.
fn named(row: &Value) -> String {
    let points = row["suitability"].as_f64().unwrap();
    format!("{points} {} {}", row["maker"].as_str().unwrap(), row["name"].as_str().unwrap())
}

/// The rows of the list in words, each under its heading; reasons and what follows the name are left out.
fn in_words(words: &str) -> Vec<(&'static str, String)> {
    let mut heading = "";
    let mut found = Vec::new();
    for line in words.lines() {
        if let Some((_, known)) = GROUPS.iter().find(|(_, known)| *known == line) {
            heading = known;
        } else if let Some((name, _)) = line.split_once("  [") {
            let name = name.trim_end_matches(" (worn now)").trim();
            let (points, name) = name.split_once("  ").unwrap();
            found.push((heading, format!("{points} {name}")));
        }
    }
    found
}

#[test]
fn the_order_is_by_whole_points_then_pairs_then_exact_points() {
    let lastbench = stocked();
    for name in RUNNERS {
        let reply = ranked(&lastbench, name);
        let keys: Vec<_> = rows(&reply).iter().map(order_key).collect();
        assert!(keys.is_sorted(), "{name}: {keys:?}");
    }
}

/// Design 5: whole points (half up), pairs with a number unknown counting 1, exact points, the narrower interval, key.
fn order_key(row: &Value) -> (i64, i64, i64, i64, String) {
    let exact = tenths(&row["suitability"]);
    let sizes = row["sizes"].as_array().unwrap();
    let pairs: i64 = sizes.iter().map(|size| size["quantity"].as_i64().unwrap_or(1)).sum();
    let wide = tenths(&row["high"]) - tenths(&row["low"]);
    (-((exact + 5) / 10), -pairs, -exact, wide, row["style"].as_str().unwrap().to_owned())
}

#[test]
fn bring_out_first_holds_three_at_most_within_fifteen_points_of_the_best() {
    let lastbench = stocked();
    for name in RUNNERS {
        let reply = ranked(&lastbench, name);
        let first = in_group(&reply, "first");
        assert!(first.len() <= 3 && in_group(&reply, "also").len() <= 7, "{name}");
        for row in first {
            assert!(tenths(&row["suitability"]) >= tenths(&rows(&reply)[0]["suitability"]) - 150, "{name}");
            assert!(row["known_weight"].as_i64() >= Some(70), "drop and landing stack are known: {row}");
        }
    }
}

#[test]
fn a_step_not_done_makes_less_act_as_same_and_says_so() {
    let lastbench = stocked();
    let reply = ranked(&lastbench, "closed-gate");
    assert_eq!(reply["row"], "same");
    assert_eq!(reply["step"], serde_json::json!({"done": 3, "of": 6}));
    let words = lastbench.run(&["rank", "--runner", argument(&runner("closed-gate"))]).stderr;
    assert!(words.contains("3 of 6 weeks done"), "{words}");
}

#[test]
fn a_calf_strain_keeps_the_drop_and_lets_the_stack_go_down() {
    let reply = ranked(&stocked(), "calf-strain");
    assert_eq!(reply["row"], "less");
    assert_eq!(reply["band"]["drop_mm"], serde_json::json!([8.0, 8.0]), "the worn drop at both ends");
    assert_eq!(reply["band"]["clipped"], serde_json::json!(["drop"]));
    assert!(tenths(&reply["band"]["landing_stack_mm"][1]) < 380, "below the worn 38 mm");
    let worn = rows(&reply).iter().find(|row| row["worn"] == true).expect("the worn style is in stock");
    assert_eq!((&worn["style"], &worn["group"]), (&"fennick.fm-410".into(), &"aside".into()));
}

#[test]
fn two_injury_rules_that_pull_apart_count_nothing_and_are_asked_about() {
    let reply = ranked(&stocked(), "conflict");
    let asked = reply["ask"].as_array().unwrap();
    assert!(asked.iter().any(|question| question.as_str().unwrap().contains("kneecap")), "{asked:?}");
    let mut seen = 0;
    for line in rows(&reply).iter().flat_map(|row| row["lines"].as_array().unwrap()) {
        let other = match line["rule"].as_str() {
            Some("calf-drop") => "kneecap-drop",
            Some("kneecap-drop") => "calf-drop",
            _ => continue,
        };
        assert_eq!((&line["conflict"], tenths(&line["points"])), (&other.into(), 0), "{line}");
        seen += 1;
    }
    assert_eq!(seen, 2 * rows(&reply).len(), "both are printed on every shoe");
}

#[test]
fn a_race_has_its_own_row_and_ten_shoes_with_a_plated_one_at_the_top() {
    let reply = ranked(&stocked(), "race");
    assert_eq!(reply["row"], "race");
    assert_eq!(rows(&reply).len(), 10);
    let snapshot = shop().snapshot();
    let top = snapshot.styles().iter().find(|style| rows(&reply)[0]["style"] == style.key.to_string());
    assert_eq!(top.and_then(|style| style.specification.plate), Some(true));
}

#[test]
fn a_pair_known_by_feel_gives_bands_marked_as_guessed() {
    let reply = ranked(&stocked(), "by-feel");
    let guessed: Vec<_> = reply["band"]["guessed"].as_array().unwrap().iter().collect();
    assert!(guessed.contains(&&"mass".into()) && guessed.contains(&&"bending".into()), "{guessed:?}");
    // Design 5: a strike by the runner's own word is unseen, so the mean of the reference shoe's 40 and 32.
    let [low, high] = [0, 1].map(|end| tenths(&reply["band"]["landing_stack_mm"][end]));
    assert_eq!(low + high, 2 * 360);
    assert!(rows(&reply).iter().all(|row| row["worn"] == false));
}

#[test]
fn one_spot_of_bone_pain_stops_the_order_and_names_whom_to_see() {
    let lastbench = stocked();
    let reply = ranked(&lastbench, "stop");
    assert_eq!(reply["stopped"][0]["flag"], "bone_pain_spot");
    assert!(reply["stopped"][0]["see"].as_str().is_some_and(|see| !see.is_empty()));
    assert!(rows(&reply).is_empty() && reply["band"].is_null());
    let words = lastbench.done(&["rank", "--runner", argument(&runner("stop"))]);
    assert!(words.starts_with("No order") && words.contains("can still be searched"), "{words}");
}

#[test]
fn nothing_is_brought_out_first_where_all_that_is_as_low_carries_a_caution() {
    let reply = ranked(&stocked(), "nothing-first");
    assert_eq!(reply["row"], "less");
    assert!(in_group(&reply, "first").is_empty() && !in_group(&reply, "also").is_empty());
    let lines = |row: &Value| row["lines"].as_array().unwrap().clone();
    let mut low = 0;
    for row in rows(&reply) {
        let stack = lines(row).into_iter().find(|line| line["measure"] == "landing_stack").unwrap();
        // The worn pair's forefoot stack is 16 mm.
        if stack["value"].as_f64().is_none_or(|value| value > 16.0) {
            continue;
        }
        let caution = lines(row).into_iter().find(|line| line["rule"] == "bone-stress-minimal");
        assert!(caution.is_some_and(|line| tenths(&line["low"]) < 0), "{row}");
        low += 1;
    }
    assert!(low > 0);
}

#[test]
fn an_empty_list_says_that_the_size_brings_most_back() {
    let lastbench = stocked();
    let reply = ranked(&lastbench, "empty-list");
    assert!(rows(&reply).is_empty());
    let hidden = reply["hidden"].as_object().unwrap();
    let most = hidden.iter().max_by_key(|(_, number)| number.as_u64()).unwrap();
    assert!(most.0 == "size" && most.1.as_u64() > Some(0), "{hidden:?}");
    let words = lastbench.done(&["rank", "--runner", argument(&runner("empty-list"))]);
    assert!(words.contains(&format!("{} styles", most.1)), "{words}");
}

#[test]
fn the_sample_in_memory_is_the_sample_imported_by_hand() {
    let lastbench = stocked();
    let changes = |arguments: &[&str]| -> Vec<(i64, String)> {
        let lines = lastbench.done(arguments);
        let changes = lines.lines().map(|line| serde_json::from_str::<Value>(line).unwrap());
        changes.map(|c| (c["change"].as_i64().unwrap(), c["sheet"].as_str().unwrap().to_owned())).collect()
    };
    let in_memory = changes(&["history", "--json", "--sample"]);
    assert_eq!(in_memory, changes(&["history", "--json"]));
    assert_eq!(in_memory.len(), 3, "one for each sheet: {in_memory:?}");
    let csv = lastbench.done(&["export", "--csv", "--sample"]);
    assert_eq!(csv, lastbench.done(&["export", "--csv"]));
}

#[test]
fn the_worn_style_of_a_runner_is_found_in_the_sample() {
    let snapshot = shop().snapshot();
    for name in ["calf-strain", "closed-gate", "conflict", "nothing-first", "race"] {
        let worn: Option<Worn> = snapshot.worn(&read_runner(name, &snapshot));
        assert!(worn.is_some_and(|worn| worn.measures.drop().is_some()), "{name}");
    }
}
