//! Answers that cannot be meant: refused at every door with a sentence at the field, nothing lost, nothing changed.
//!
//! A page answers 422 with its form as it was typed. The command ends with 1, *problems found*, as for a sheet: its
//! arguments are right, the file they name is not. A program is answered 400.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;
use catalogue::flags::Flags;
use serde_json::Value;
use tests::program::argument;
use web::labels::{INJURY_DETAILS, REGIONS, RUNNER_FIELDS};

use crate::sample::stocked;
use crate::visit_bench::{Answer, Desk, as_json, as_toml, filled, is_unchanged, unescaped};

/// Answers that can be meant. The pair worn now is known by its measures.
const SOUND: [(&str, &str); 20] = [
    ("run.audience", "men"),
    ("size.system", "EU"),
    ("size.worn_label", "42.5"),
    ("foot.left_length_mm", "268"),
    ("foot.right_length_mm", "271.5"),
    ("run.purpose", "daily"),
    ("now.heel_stack_mm", "32"),
    ("now.forefoot_stack_mm", "24"),
    ("now.mass_g", "265"),
    ("stage.heading", "less"),
    ("stage.weeks_done", "9"),
    ("flags.pain", "no"),
    ("run.strike", "rearfoot"),
    ("run.strike_seen", "video"),
    ("run.weekly_km", "32"),
    ("run.regular", "yes"),
    ("run.surface", "road"),
    ("injury.calf.recent", "yes"),
    ("asked_for.drop_mm", "4"),
    ("asked_for.drop_mm", "10"),
];

/// The answers above with some said otherwise; a blank takes one back.
fn with<'a>(said: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let stands = |(key, _): &&(&str, &str)| said.iter().all(|(other, _)| other != key);
    SOUND.iter().filter(stands).chain(said).copied().collect()
}

/// One thing that cannot be meant.
struct Wrong {
    /// The key the sentence is at.
    at: &'static str,
    /// What the page calls it.
    called: &'static str,
    /// What is said beside the sound answers.
    said: &'static [(&'static str, &'static str)],
    /// What the sentence must say: the text that was read, and what to do.
    says: &'static [&'static str],
}

const fn wrong(
    at: &'static str,
    called: &'static str,
    said: &'static [(&'static str, &'static str)],
    says: &'static [&'static str],
) -> Wrong {
    Wrong { at, called, said, says }
}

/// 20 kB of text.
const LONG: &str = match std::str::from_utf8(&[b'x'; 20_000]) {
    Ok(text) => text,
    Err(_) => "",
};

/// What can be said at every door.
#[rustfmt::skip] // a table: one wrong answer a line
const WRONG: &[Wrong] = &[
    // Impossible bodies. Height and age are not asked: saying them is told, not dropped.
    wrong("run.body_mass_kg", "run.body_mass_kg", &[("run.body_mass_kg", "5")], &["“5”", "15 to 300 kg can be meant"]),
    wrong("run.body_mass_kg", "run.body_mass_kg", &[("run.body_mass_kg", "500")], &["“500”", "15 to 300 kg can be meant"]),
    wrong("run.body_mass_kg", "run.body_mass_kg", &[("run.body_mass_kg", "-74")], &["“-74”", "15 to 300 kg can be meant"]),
    wrong("run.body_mass_band", "Body mass", &[("run.body_mass_band", "heavy")], &["“heavy”", "below 62.8, 62.8-71.4"]),
    wrong("run.body_mass_band", "Body mass", &[("run.body_mass_band", "71.4-78.2"), ("run.body_mass_kg", "74")], &["keep one of the two"]),
    wrong("run.height_cm", "run.height_cm", &[("run.height_cm", "30")], &["is not known; [run] has strike,"]),
    wrong("run.height_m", "run.height_m", &[("run.height_m", "3")], &["is not known; [run] has strike,"]),
    wrong("run.age", "run.age", &[("run.age", "150")], &["is not known; [run] has strike,"]),
    wrong("run.sex", "Sex", &[("run.sex", "often")], &["“often”", "female, male"]),
    // Feet.
    wrong("foot.left_length_mm", "Left foot", &[("foot.left_length_mm", "50")], &["“50”", "100 to 400 mm can be meant"]),
    wrong("foot.right_length_mm", "Right foot", &[("foot.right_length_mm", "600")], &["“600”", "100 to 400 mm can be meant"]),
    wrong("foot.left_length_mm", "Left foot", &[("foot.left_length_mm", "27.1")], &["“27.1”", "100 to 400 mm can be meant"]),
    wrong("foot.right_length_mm", "Right foot", &[("foot.left_length_mm", "228"), ("foot.right_length_mm", "282")], &["“282”", "54 mm away", "228", "up to 40 can be meant", "measure both again"]),
    wrong("foot.width_mm", "Width", &[("foot.width_mm", "20")], &["“20”", "40 to 200 mm can be meant"]),
    wrong("foot.width_mm", "Width", &[("foot.width_mm", "190")], &["“190”", "60 % of the length, 271.5", "measure across the ball"]),
    // Sizes.
    wrong("size.worn_label", "Worn label", &[("size.worn_label", "99")], &["“99”", "no size of a runner in EU; 17 to 62 can be meant"]),
    wrong("size.worn_label", "Worn label", &[("size.system", "MP"), ("size.worn_label", "42")], &["“42”", "in MP; 100 to 400 can be meant"]),
    wrong("size.worn_label", "Worn label", &[("size.worn_label", "XL")], &["“XL”", "write it as printed, such as 42"]),
    wrong("size.worn_label", "Worn label", &[("size.system", "")], &["“42.5”", "answer the size system too (EU, UK, US, MP or CM)"]),
    wrong("size.system", "Size system", &[("size.system", "Paris"), ("size.worn_label", "")], &["“Paris”", "EU, UK, US, MP, CM"]),
    wrong("size.working", "Working sizes", &[("size.working", "42.5"), ("size.working", "99")], &["“99”", "17 to 62 can be meant"]),
    wrong("size.width", "Width label", &[("size.width", "wide; or so")], &["“wide; or so”", "as on the box, such as D or 2E"]),
    // Running.
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "-5")], &["“-5”", "0 to 400 km a week can be meant"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "2000")], &["“2000”", "0 to 400 km a week can be meant"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "32.5")], &["“32.5”", "write a whole number"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "3O")], &["“3O”", "write digits only"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "3\u{0}2")], &["“3\u{fffd}2”", "write digits only"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", LONG)], &["“xxxx", "x…”", "write digits only"]),
    wrong("run.weekly_km", "Weekly distance", &[("run.weekly_km", "999999999999999999999")], &["0 to 400 km a week can be meant"]),
    wrong("run.regular", "Ran weekly in 6 of the last 12 months", &[("run.regular", "mostly")], &["“mostly”", "write yes or no"]),
    wrong("run.strike", "Lands on", &[("run.strike", "toes")], &["“toes”", "rearfoot, midfoot, forefoot"]),
    wrong("run.strike_seen", "How it was seen", &[("run.strike_seen", "felt")], &["“felt”", "video-240, video, eye, told"]),
    wrong("run.strike_angle_deg", "Foot strike angle", &[("run.strike_angle_deg", "400")], &["“400”", "-45 to 45 degrees can be meant"]),
    wrong("run.strike_index_percent", "Strike index", &[("run.strike_index_percent", "250")], &["“250”", "0 to 100 percent of foot length can be meant"]),
    wrong("run.budget", "Most it may cost", &[("run.budget", "-1")], &["“-1”", "0 to 10000 in the shop's currency can be meant"]),
    wrong("run.purpose", "What for", &[("run.purpose", "moonwalk")], &["“moonwalk”", "daily, tempo, race, long, walk"]),
    // The pair worn now.
    wrong("now.heel_stack_mm", "Heel stack", &[("now.heel_stack_mm", "320")], &["“320”", "0 to 100 mm can be meant"]),
    wrong("now.drop_mm", "Drop", &[("now.drop_mm", "90")], &["“90”", "-20 to 40 mm can be meant"]),
    wrong("now.heel_stack_mm", "Heel stack", &[("now.heel_stack_mm", "10"), ("now.forefoot_stack_mm", "60")], &["a heel of 10 and a forefoot of 60", "a drop of -50 mm", "-20 to 40 mm can be meant", "measure both again"]),
    wrong("now.drop_mm", "Drop", &[("now.drop_mm", "-8")], &["“-8” cannot be", "a drop of 8 mm", "leave the drop out"]),
    wrong("now.drop_mm", "Drop", &[("now.heel_stack_mm", "10"), ("now.forefoot_stack_mm", ""), ("now.drop_mm", "12")], &["“12”", "more than the stack it starts from", "measure again"]),
    wrong("now.mass_g", "Weight of one shoe", &[("now.mass_g", "5")], &["“5”", "50 to 1000 g can be meant"]),
    wrong("now.mass_size", "Weighed at size", &[("now.mass_size", "US 99")], &["“US 99”", "in US; 1 to 27 can be meant"]),
    wrong("now.bending_word", "Bends", &[("now.bending_word", "floppy")], &["“floppy”", "very flexible, flexible"]),
    wrong("now.feel", "How it feels", &[("now.feel", "cosy")], &["“cosy”", "flatter, like most, taller"]),
    wrong("now.old_pair", "What becomes of it", &[("now.old_pair", "burnt")], &["“burnt”", "keep, finished"]),
    // Where to.
    wrong("stage.heading", "Where to", &[("stage.heading", "sideways")], &["“sideways”", "less, same, more, new"]),
    wrong("stage.weeks_done", "Weeks done in this step", &[("stage.weeks_done", "-1")], &["“-1”", "0 to 520 weeks can be meant"]),
    wrong("stage.weeks_done", "Weeks done in this step", &[("stage.weeks_done", "521")], &["“521”", "0 to 520 weeks can be meant"]),
    wrong("stage.step_anyway", "stage.step_anyway", &[("stage.step_anyway", "perhaps")], &["“perhaps”", "write yes or no"]),
    // What has hurt. No month is asked, so that none can lie in the future: saying one is told, not dropped.
    wrong("injury.calf.months_ago", "injury.calf.months_ago", &[("injury.calf.months_ago", "-3")], &["an injury has region, recent, painful"]),
    wrong("injury.calf.recent", "Calf, within 12 months", &[("injury.calf.recent", "next month")], &["“next month”", "write yes or no"]),
    wrong("injury.elbow", "injury.elbow", &[("injury.elbow", "yes")], &["“elbow”", "achilles, calf, plantar-heel"]),
    wrong("flags.pain", "Asked aloud", &[("injury.calf.painful", "yes")], &["says no, yet the history says that calf is painful now", "answer one of them again"]),
    wrong("injury.kneecap.current", "Around the kneecap, the current pain", &[("injury.achilles.current", "yes"), ("injury.kneecap.current", "yes")], &["so does that of achilles", "the one pain that is current"]),
    // The one question.
    wrong("flags.pain", "Asked aloud", &[("flags.pain", "a little")], &["“a little”", "write yes or no"]),
    wrong("flags.pain", "Asked aloud", &[("flags.pain", "yes")], &["says yes, but not what", "answer the signs below it"]),
    wrong("flags.pain", "Asked aloud", &[("flags.sudden_snap", "yes")], &["says no, yet a sign below it says yes", "answer one of them again"]),
    wrong("flags.hot_red_joint", "A hot, red or suddenly swollen joint", &[("flags.hot_red_joint", "warm")], &["“warm”", "write yes or no"]),
    wrong("flags.hot_red_joints", "flags.hot_red_joints", &[("flags.hot_red_joints", "yes")], &["is not known; [flags] has pain, bone_pain_spot"]),
    wrong("flags.diabetes", "Diabetes", &[("flags.diabetes", "type 2")], &["“type 2”", "write yes or no"]),
    // What was asked for.
    wrong("asked_for.drop_mm", "Drop", &[("asked_for.drop_mm", "12"), ("asked_for.drop_mm", "4")], &["“12 to 4”", "give the smaller number first"]),
    wrong("asked_for.drop_mm", "Drop", &[("asked_for.drop_mm", "12")], &["“12”", "give two numbers, from and to"]),
    wrong("asked_for.landing_stack_mm", "Landing stack", &[("asked_for.landing_stack_mm", "24"), ("asked_for.landing_stack_mm", "400")], &["“24 to 400”", "0 to 100 mm can be meant"]),
    wrong("asked_for.by", "Who asked", &[("asked_for.by", "coach")], &["“coach”", "runner, fitter, clinician"]),
    wrong("asked_for.plate", "A plate", &[("asked_for.plate", "golden")], &["“golden”", "write yes or no"]),
    // A style beside the measures of another pair.
    wrong("now.purposes", "What that pair is for", &[("now.style", "fennick.fm-410"), ("now.heel_stack_mm", ""), ("now.forefoot_stack_mm", ""), ("now.mass_g", ""), ("now.purposes", "daily")], &["a pair that is not in the catalogue", "take the style out"]),
];

/// What only a form can say: a file cannot write it down.
const WRONG_ON_PAPER: &[Wrong] = &[
    wrong(
        "injury",
        "History",
        &[("injury", "none")],
        &["says none, yet injury.calf.recent is answered", "take one of the two out"],
    ),
    wrong("injury", "History", &[("injury", "some")], &["“some”", "none"]),
    wrong(
        "injury.calf",
        "Calf",
        &[("injury.calf", "no")],
        &["says no, yet injury.calf.recent says yes", "keep one of the two"],
    ),
    wrong("now.words", "Pair worn now", &[("now.words", LONG)], &["“xxxx", "100 characters at most"]),
    wrong(
        "now.words",
        "Pair worn now",
        &[("now.words", "Fen\u{0}nick")],
        &["“Fen\u{fffd}nick”", "in one line"],
    ),
    wrong(
        "now.style",
        "Which of these",
        &[("now.words", "Fennick Loam"), ("now.style", "fennick.fm-410")],
        &["“fennick.fm-410” stands beside measures", "keep the style, or the measures"],
    ),
];

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
    assert_eq!((plan.code, plan.stdout.as_str()), (Some(1), ""), "{}", plan.stderr);
    assert!(plan.stderr.contains("run.body_mass_kg: “5”"), "{}", plan.stderr);
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

/// What looks like a contradiction and is taken, each with the reason.
const TAKEN: &[(&str, &[(&str, &str)])] = &[
    (
        "a range asked for replaces the heading's own and says so",
        &[("asked_for.landing_stack_mm", "40"), ("asked_for.landing_stack_mm", "50")],
    ),
    (
        "an injury may be cleared by a clinician and still hurt",
        &[("flags.pain", ""), ("injury.calf.painful", "yes"), ("injury.calf.cleared", "yes")],
    ),
    (
        "cleared is about running, current about which of two",
        &[("injury.calf.cleared", "yes"), ("injury.calf.current", "yes")],
    ),
    (
        "an old injury may hurt again",
        &[("flags.pain", ""), ("injury.calf.recent", "no"), ("injury.calf.painful", "yes")],
    ),
    (
        "a pain of the history says what hurts without a sign",
        &[("flags.pain", "yes"), ("injury.calf.painful", "yes")],
    ),
    (
        "two readings of a strike may disagree: the surer counts, and both are shown",
        &[("run.strike_angle_deg", "-12")],
    ),
    ("how it was seen says nothing without what was seen", &[("run.strike", "")]),
    ("a feel gives way to measures", &[("now.feel", "flatter")]),
    ("a box and a calliper differ by a few mm: the stacks count", &[("now.drop_mm", "5.5")]),
    (
        "whether a pair runs most can be told of one that nobody knows",
        &[("now.heel_stack_mm", ""), ("now.forefoot_stack_mm", ""), ("now.mass_g", ""), ("now.main", "no")],
    ),
    (
        "feet that feel are true of a runner without diabetes too",
        &[("flags.diabetes", "no"), ("flags.diabetes_feeling_normal_and_cleared", "yes")],
    ),
    ("whoever ran weekly may rest now", &[("run.weekly_km", "0")]),
    ("going back to more has no weeks to be done", &[("stage.heading", "more")]),
    ("feet decide over a label", &[("size.worn_label", "38")]),
    (
        "a child's size and a giant's",
        &[("foot.left_length_mm", "118"), ("foot.right_length_mm", "120"), ("size.worn_label", "20")],
    ),
];

#[tokio::test]
async fn what_only_looks_like_a_contradiction_is_taken_at_both_doors() {
    let desk = Desk::new();
    let lastbench = stocked();
    let folder = tests::lastbench!();
    for (why, said) in TAKEN {
        let said = with(said);
        let fitting = desk.answered(&said).await;
        let page = desk.get(&fitting).await;
        assert!(page.status == StatusCode::OK && !page.text.contains("A clinician first"), "{why}");
        let file = folder.write("runner.toml", &as_toml(&said));
        let ran = lastbench.run(&["rank", "--runner", argument(&file)]);
        assert!(ran.code == Some(0) && !ran.stdout.contains("clinician first"), "{why}: {ran:?}");
    }
}

#[tokio::test]
async fn a_pain_of_the_history_is_neither_unasked_nor_named_on_the_card() {
    let desk = Desk::new();
    let said = with(&[("flags.pain", "yes"), ("injury.calf.painful", "yes")]);
    let fitting = desk.answered(&said).await;
    let says = web::labels::HURTS_NOW;
    assert!(desk.get(&fitting).await.text.contains(says));
    let card = desk.get(&format!("{fitting}/card")).await.text;
    assert!(card.contains(says) && !card.to_lowercase().contains("calf"));
}
