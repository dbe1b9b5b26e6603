//! Answers that cannot be meant: refused at every door with a sentence at the field, nothing lost, nothing changed.
//!
//! A page answers 422 with its form as it was typed. The command ends with 1, *problems found*, as for a sheet: its
//! arguments are right, the file they name is not. A program is answered 400.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

mod table;
mod taken;

use axum::http::StatusCode;
use catalogue::flags::Flags;
use serde_json::Value;
use tests::program::argument;
use web::labels::{INJURY_DETAILS, REGIONS, RUNNER_FIELDS};

use crate::sample::stocked;
use crate::visit_bench::{Answer, Desk, as_json, as_toml, filled, is_unchanged, unescaped};
use table::{LONG, SOUND, WRONG, WRONG_ON_PAPER, Wrong, with};

/// The faults of the summary: where each leads, and its sentence.
fn faults(html: &str) -> Vec<(String, String)> {
    let summary = html.split("class=\"problems\"").nth(1).and_then(|rest| rest.split("</div>").next());
    let links = summary.unwrap_or_default().split("<a href=\"#").skip(1);
    let fault = |link: &str| {
        let (at, rest) = link.split_once("\">").unwrap();
        (at.to_owned(), unescaped(rest.split("</a>").next().unwrap()))
    };
    links.map(fault).collect()
}

/// The answers that a form drew and does not hold any more, the faulty one aside: a choice cannot show what it does
/// not offer, and its sentence repeats it.
fn lost<'a>(html: &str, said: &[(&'a str, &'a str)], faulty: &str) -> Vec<(&'a str, &'a str)> {
    let held = filled(html);
    let gone = |(key, text): &&(&str, &str)| {
        let drawn = html.contains(&format!(" name=\"{key}\""));
        drawn && *key != faulty && !text.is_empty() && !held.iter().any(|(k, t)| k == key && t == text)
    };
    said.iter().filter(gone).copied().collect()
}

/// The page is refused with a sentence at the field, and holds everything.
fn is_told_on_the_page(answer: &Answer, wrong: &Wrong, said: &[(&str, &str)]) {
    let (html, id) = (&answer.text, format!("{} {:.40?}", wrong.at, wrong.said));
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{id}: {}", answer.to);
    let faults = faults(html);
    assert_eq!(faults.len(), 1, "{id}: {faults:?}");
    let (at, say) = &faults[0];
    assert_eq!(at, wrong.at, "{id}: {say}");
    assert!(say.starts_with(&format!("{}: ", wrong.called)) && say.ends_with('.'), "{id}: {say}");
    assert!(wrong.says.iter().all(|words| say.contains(words)), "{id}: {say}");
    assert!(say.chars().count() < 500 && !say.contains('\0'), "{id}: {say}");
    if html.contains(&format!(" name=\"{at}\"")) {
        assert!(html.contains(&format!("id=\"{at}\"")), "{id}: the link leads nowhere");
        let told = html.split(&format!("id=\"{at}-error\"")).nth(1).expect(&id);
        assert!(
            unescaped(told.split("</p>").next().unwrap()).contains(say.as_str()),
            "{id}: not at the field"
        );
    }
    assert_eq!(lost(html, said, wrong.at), [], "{id}");
}

#[tokio::test]
async fn what_cannot_be_meant_is_told_at_its_field_and_no_answer_is_lost_or_changed() {
    let desk = Desk::new();
    let fitting = desk.answered(&SOUND).await;
    desk.get(&fitting).await;
    let before = desk.fitting(&fitting);
    for wrong in WRONG.iter().chain(WRONG_ON_PAPER) {
        let said = with(wrong.said);
        let answer = desk.post(&format!("{fitting}/runner"), &said).await;
        is_told_on_the_page(&answer, wrong, &said);
        assert!(is_unchanged(&before, &desk.fitting(&fitting)), "{}", wrong.at);
    }
}

#[tokio::test]
async fn what_cannot_be_meant_in_the_first_form_leaves_a_fitting_that_knows_nothing() {
    let desk = Desk::new();
    let fitting = desk.answered(&[]).await;
    let before = desk.fitting(&fitting);
    for wrong in WRONG.iter().chain(WRONG_ON_PAPER) {
        let said = with(wrong.said);
        is_told_on_the_page(&desk.post(&format!("{fitting}/runner"), &said).await, wrong, &said);
        assert!(is_unchanged(&before, &desk.fitting(&fitting)), "{}", wrong.at);
    }
}

#[test]
fn what_cannot_be_meant_is_told_by_the_command_with_its_file_and_key() {
    let lastbench = stocked();
    let folder = tests::lastbench!();
    for (place, wrong) in WRONG.iter().enumerate() {
        let file = folder.write(&format!("runner-{place}.toml"), &as_toml(&with(wrong.said)));
        let ran = lastbench.run(&["rank", "--runner", argument(&file)]);
        ran.assert_no_panic();
        let id = format!("{} {:.40?}: {}", wrong.at, wrong.said, ran.stderr);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(1), ""), "{id}");
        let faults: Vec<&str> = ran.stderr.lines().skip(1).filter(|line| line.starts_with("  ")).collect();
        let [fault] = faults.as_slice() else { panic!("one fault: {id}") };
        assert!(fault.contains(&format!("{}: ", wrong.at)) && fault.ends_with('.'), "{id}");
        assert!(wrong.says.iter().all(|words| fault.contains(words)), "{id}");
        assert!(ran.stderr.contains(&format!("runner-{place}.toml")) && ran.stderr.len() < 1_000, "{id}");
    }
    let file = folder.write("runner.toml", &as_toml(&with(WRONG[0].said)));
    let plan = lastbench.run(&["plan", "--runner", argument(&file), "--to", "fennick.fm-410", "--json"]);
    let reply: Value = serde_json::from_str(&plan.stdout).unwrap();
    assert_eq!((plan.code, &reply["exit_code"]), (Some(1), &1.into()), "{}", plan.stderr);
    for said in [reply["failed"].as_str().unwrap(), &plan.stderr] {
        assert!(said.contains("run.body_mass_kg: “5”"), "{said}");
    }
}

#[tokio::test]
async fn what_cannot_be_meant_is_told_to_programs_with_its_key() {
    let desk = Desk::new();
    for wrong in WRONG {
        let answer = desk.rank_json(as_json(&with(wrong.said)).to_string()).await;
        let id = format!("{} {:.40?}: {}", wrong.at, wrong.said, answer.text);
        assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{id}");
        let reply: Value = serde_json::from_str(&answer.text).unwrap();
        let errors: Vec<String> =
            reply["errors"].as_array().unwrap().iter().map(ToString::to_string).collect();
        let [error] = errors.as_slice() else { panic!("one error: {id}") };
        assert!(error.contains(wrong.at), "{id}");
        assert!(wrong.says.iter().all(|words| error.contains(words)), "{id}");
    }
}

#[tokio::test]
async fn all_that_is_wrong_is_told_at_once() {
    let desk = Desk::new();
    let fitting = desk.answered(&SOUND).await;
    let said = with(&[
        ("run.weekly_km", "-5"),
        ("foot.left_length_mm", "50"),
        ("stage.heading", "up"),
        ("now.words", "nobody"),
    ]);
    let told = faults(&desk.post(&format!("{fitting}/runner"), &said).await.text);
    let places: Vec<&str> = told.iter().map(|(at, _)| at.as_str()).collect();
    assert_eq!(places, ["foot.left_length_mm", "run.weekly_km", "stage.heading"]);
}

#[tokio::test]
async fn a_worn_shoe_that_does_not_exist_is_told_where_its_words_are_typed() {
    let desk = Desk::new();
    let fitting = desk.answered(&[("run.audience", "men")]).await;
    let post = async |said: &[(&str, &str)]| desk.post(&format!("{fitting}/runner"), said).await;
    for (said, at, says) in [
        (("now.words", "Nobody Nothing"), "now.words", "“Nobody Nothing”. Give its measures"),
        (("now.style", "nobody.nothing"), "now.words", "“nobody.nothing” is no style of this catalogue"),
        (("now.style", "The Shoe"), "now.words", "“The Shoe” is no key of a style"),
        (("now.words", "fennick"), "now.style", "choose one"),
    ] {
        let answer = post(&[said]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{said:?}");
        let told = faults(&answer.text);
        assert!(told.len() == 1 && told[0].0 == at && told[0].1.contains(says), "{said:?}: {told:?}");
        assert!(answer.text.contains(&format!("id=\"{at}-error\"")), "{said:?}");
    }
    let lastbench = stocked();
    let folder = tests::lastbench!();
    let file = folder.write("runner.toml", "[now]\nstyle = \"nobody.nothing\"\n");
    let ran = lastbench.run(&["rank", "--runner", argument(&file)]);
    assert!(
        ran.code == Some(1) && ran.stderr.contains("line 2, now.style: “nobody.nothing” is no style"),
        "{ran:?}"
    );
}

/// Every field of the form, whatever it is, refuses nonsense at itself: none drops it, none fails.
#[tokio::test]
async fn every_field_of_the_form_refuses_nonsense_at_itself() {
    let desk = Desk::new();
    let fitting = desk.answered(&[("size.system", "EU"), ("size.worn_label", "42.5")]).await;
    let details = REGIONS.iter().flat_map(|(region, _)| {
        let asked = INJURY_DETAILS.iter().map(move |(detail, _)| format!("injury.{region}.{detail}"));
        asked.chain([format!("injury.{region}")])
    });
    let flags = Flags::questions().iter().map(|flag| format!("flags.{}", flag.word()));
    let fields = RUNNER_FIELDS.iter().map(|field| field.name.to_owned());
    let form = desk.get(&format!("{fitting}/runner")).await.text;
    for name in fields.chain(flags).chain(details).chain(["injury".to_owned()]) {
        for nonsense in ["\u{0}\u{1b}[2J<b>☃", LONG] {
            let said = [("size.system", "EU"), (name.as_str(), nonsense)];
            let said = if name == "size.system" { &said[1..] } else { &said };
            let answer = desk.post(&format!("{fitting}/runner"), said).await;
            let id = format!("{name} {nonsense:.10?}");
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{id}");
            let told = faults(&answer.text);
            let at = if name == "now.style" { "now.words" } else { &name };
            assert!(told.iter().any(|(place, _)| place == at), "{id}: {told:?}");
            let drawn = form.contains(&format!(" name=\"{name}\""));
            assert!(!drawn || answer.text.contains(&format!("id=\"{at}-error\"")), "{id}");
            assert!(!answer.text.contains("<b>☃") && !answer.text.contains("\u{1b}[2J<"), "{id}");
        }
    }
}

#[tokio::test]
async fn the_buttons_of_the_order_take_no_other_word_and_change_nothing() {
    let desk = Desk::new();
    let hurt =
        [("injury.achilles.recent", "yes"), ("injury.kneecap.recent", "yes"), ("stage.weeks_done", "3")];
    let fitting = desk.answered(&with(&hurt)).await;
    desk.get(&fitting).await;
    let before = desk.fitting(&fitting);
    for (page, field, value) in [
        ("current", "region", "elbow"),
        ("current", "region", "shin"),
        ("step-anyway", "anyway", "perhaps"),
        ("step-anyway", "anyway", ""),
        ("chips", "drop", "colour"),
        ("chips", "put_back", LONG),
        ("chips", "take", "surface"),
        ("shortlist", "style", "nobody.nothing"),
        ("shortlist", "drop", "\u{0}"),
        ("choose", "style", "nobody.nothing"),
    ] {
        let answer = desk.post(&format!("{fitting}/{page}"), &[(field, value)]).await;
        assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{page} {field} {value:.20}");
        assert!(answer.text.len() < 20_000 && !answer.text.contains('\0'), "{page} {field}");
        assert!(is_unchanged(&before, &desk.fitting(&fitting)), "{page} {field} {value:.20}");
    }
}
