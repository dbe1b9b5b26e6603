//! A red flag ends the ranking at every door: no page, no reply and no command shows an order, or a place in one.
//!
//! The addresses are read from the map of addresses itself, so that a new one is asked for here.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeSet;

use axum::http::StatusCode;
use catalogue::flags::Flag;
use serde_json::Value;
use tests::program::argument;
use web::labels::STOPPED;

use crate::sample::stocked;
use crate::visit_bench::{Answer, Desk, as_json, as_toml};

/// A runner who is ranked: less shoe with a closed gate, a pair of the catalogue, two pains that pull apart.
const RANKED: [(&str, &str); 11] = [
    ("run.audience", "men"),
    ("size.system", "EU"),
    ("size.worn_label", "42.5"),
    ("run.purpose", "daily"),
    ("run.weekly_km", "32"),
    ("now.style", "fennick.fm-410"),
    ("stage.heading", "less"),
    ("stage.weeks_done", "3"),
    ("injury.calf.recent", "yes"),
    ("injury.kneecap.recent", "yes"),
    ("flags.bone_pain_spot", "no"),
];

/// What raises a flag, alone.
fn raising(flag: Flag) -> Vec<(String, &'static str)> {
    let said: &[(&str, &str)] = match flag {
        Flag::PainfulBoneSite => &[("injury.shin-bone.painful", "yes"), ("injury.shin-bone.cleared", "yes")],
        Flag::BoneStressNotCleared => &[("injury.navicular.recent", "no")],
        Flag::Diabetes => &[("flags.diabetes", "yes")],
        Flag::BonePainSpot
        | Flag::PainAtNightOrRest
        | Flag::CalfSwelling
        | Flag::SuddenSnap
        | Flag::NumbFeetOrOpenSore
        | Flag::HotRedJoint
        | Flag::GroinOrThighPain
        | Flag::CannotBearWeight
        | Flag::FeverOrWeightLoss
        | Flag::Under16HipOrKnee => return vec![(format!("flags.{}", flag.word()), "yes")],
    };
    said.iter().map(|(key, text)| ((*key).to_owned(), *text)).collect()
}

/// The runner above with a flag raised.
fn flagged<'a>(raised: &'a [(String, &'static str)]) -> Vec<(&'a str, &'a str)> {
    let stands = |(key, _): &&(&str, &str)| raised.iter().all(|(other, _)| other != key);
    let raised = raised.iter().map(|(key, text)| (key.as_str(), *text));
    RANKED.iter().filter(stands).copied().chain(raised).collect()
}

/// How an address of the map answers once a flag is up.
pub(crate) enum Says {
    /// The stop itself, whom to see included.
    TheStop,
    /// The customer's sentence.
    ToTheCustomer,
    /// It leads to the page of the stop.
    LeadsThere,
    /// A refusal that names the stop.
    Refuses,
    /// It has nothing to do with an order: the answers, or the end of the fitting.
    Nothing,
}
use Says::{LeadsThere, Nothing, Refuses, TheStop, ToTheCustomer};

/// One way to ask an address of a fitting.
pub(crate) type Way = (&'static str, &'static str, &'static [(&'static str, &'static str)], Says);

/// Every address of a fitting: as the map has it, what stands behind it, what is posted (nothing: it is read), and what
/// it says.
pub(crate) const WAYS: &[(&str, &[Way])] = &[
    ("/fittings/{id}", &[("get", "", &[], TheStop), ("get", "?all=yes", &[], TheStop)]),
    ("/fittings/{id}/refresh", &[("post", "", &[], LeadsThere)]),
    (
        "/fittings/{id}/chips",
        &[
            ("post", "", &[("drop", "size")], LeadsThere),
            ("post", "", &[("put_back", "size")], LeadsThere),
            ("post", "", &[], LeadsThere),
        ],
    ),
    (
        "/fittings/{id}/mark",
        &[
            ("post", "", &[("style", "fennick.fm-510"), ("kind", "pin"), ("reason", "looks")], LeadsThere),
            ("post", "", &[("free", "fennick.fm-510")], LeadsThere),
        ],
    ),
    ("/fittings/{id}/narrow", &[("post", "", &[("q", "fennick")], LeadsThere)]),
    (
        "/fittings/{id}/scan",
        &[("get", "?code=fennick", &[], Nothing), ("get", "?code=4099999000012", &[], Nothing)],
    ),
    ("/fittings/{id}/wanted", &[("post", "", &[("style", "fennick.fm-510"), ("size", "EU 43")], LeadsThere)]),
    ("/fittings/{id}/way", &[("post", "", &[("hold", "yes")], LeadsThere)]),
    ("/fittings/{id}/runner", &[("get", "", &[], Nothing), ("get", "?open=history", &[], Nothing)]),
    (
        "/fittings/{id}/step-anyway",
        &[("post", "", &[("anyway", "yes")], LeadsThere), ("post", "", &[("anyway", "no")], LeadsThere)],
    ),
    (
        "/fittings/{id}/current",
        &[("post", "", &[("region", "calf")], LeadsThere), ("post", "", &[("region", "")], LeadsThere)],
    ),
    (
        "/fittings/{id}/why/{style}",
        &[
            ("get", "", &[], LeadsThere),
            ("get", "?beside=fennick.fm-510", &[], LeadsThere),
            ("get", ".json", &[], Refuses),
            ("get", ".json?beside=fennick.fm-510", &[], Refuses),
        ],
    ),
    ("/fittings/{id}/shortlist", &[("post", "", &[("style", "fennick.fm-510")], LeadsThere)]),
    (
        "/fittings/{id}/on-foot",
        &[
            ("get", "", &[], TheStop),
            ("post", "", &[("do", "keep")], LeadsThere),
            ("post", "", &[("do", "choose:fennick.fm-510")], LeadsThere),
        ],
    ),
    ("/fittings/{id}/choose", &[("post", "", &[("style", "fennick.fm-510")], Nothing)]),
    ("/fittings/{id}/compare", &[("get", "", &[], ToTheCustomer)]),
    ("/fittings/{id}/stock-map", &[("get", "", &[], LeadsThere)]),
    (
        "/fittings/{id}/plan",
        &[("get", "", &[], LeadsThere), ("get", "?to=oskerley.003105m", &[], LeadsThere)],
    ),
    (
        "/fittings/{id}/card",
        &[
            ("get", "", &[], ToTheCustomer),
            ("get", "?paper=a6", &[], ToTheCustomer),
            ("post", "", &[("hurt", "no")], Nothing),
        ],
    ),
    ("/fittings/{id}/card.txt", &[("get", "", &[], ToTheCustomer)]),
    ("/fittings/{id}/close", &[("get", "", &[], Nothing)]),
];

/// What only an order shows; each is seen on some address before a flag is up.
const MARKS: [&str; 16] = [
    "Bring out first",
    "Also worth trying",
    "Further away",
    "Looking for",
    "in this order",
    "Order for less anyway",
    "Which pain is current?",
    "Why this place",
    "\"suitability\"",
    "\"place\"",
    "70 of 100 points",
    "Week by week",
    "In this order",
    "Stepping shoes",
    "Why these",
    "class=\"looked-for\"",
];

/// The addresses of the map that begin so.
fn mapped(start: &str) -> BTreeSet<&'static str> {
    let routes = web::routes::routes();
    routes.declared().iter().map(|route| route.path).filter(|route| route.starts_with(start)).collect()
}

fn marks(text: &str) -> Vec<&'static str> {
    MARKS.into_iter().filter(|mark| text.contains(mark)).collect()
}

/// Asks an address of a fitting in one way.
pub(crate) async fn ask(desk: &Desk, fitting: &str, route: &str, &(method, end, fields, _): &Way) -> Answer {
    let path = route.replace("/fittings/{id}", fitting).replace("{style}", "fennick.fm-410") + end;
    match method {
        "post" => desk.post(&path, fields).await,
        _ => desk.get(&path).await,
    }
}

fn says(flag: Flag, fitting: &str, answer: &Answer, expected: &Says) -> bool {
    let (text, ok) = (&answer.text, answer.status == StatusCode::OK);
    match expected {
        TheStop => ok && [flag.sign(), flag.why(), flag.see()].iter().all(|said| holds(text, said)),
        ToTheCustomer => ok && text.contains(STOPPED),
        LeadsThere => answer.status == StatusCode::SEE_OTHER && page_of(&answer.to) == fitting,
        Refuses => answer.status == StatusCode::CONFLICT && text.contains("A red flag has stopped"),
        Nothing => ok || answer.to == format!("{fitting}/card"),
    }
}

/// An address without what it asks of its page.
fn page_of(address: &str) -> &str {
    address.split(['?', '#']).next().unwrap_or_default()
}

/// A sentence as a page writes it.
fn holds(html: &str, said: &str) -> bool {
    html.contains(&said.replace('&', "&amp;").replace('"', "&quot;"))
}

#[test]
fn every_address_of_a_fitting_is_asked_here() {
    let asked: BTreeSet<&str> = WAYS.iter().map(|(route, _)| *route).collect();
    assert_eq!(mapped("/fittings/"), asked, "say above what the new address answers once a red flag is up");
    let machines: BTreeSet<&str> = mapped("/").into_iter().filter(|route| route.contains("rank")).collect();
    assert_eq!(machines, BTreeSet::from(["/rank.json"]), "a reply with an order belongs into this file");
}

#[tokio::test]
async fn what_only_an_order_shows_is_shown_before_a_flag_is_up() {
    let desk = Desk::new();
    let fitting = desk.answered(&RANKED).await;
    desk.post(&format!("{fitting}/shortlist"), &[("style", "fennick.fm-410")]).await;
    desk.post(&format!("{fitting}/shortlist"), &[("style", "fennick.fm-510")]).await;
    let mut seen = BTreeSet::new();
    for (route, ways) in WAYS {
        for way in *ways {
            seen.extend(marks(&ask(&desk, &fitting, route, way).await.text));
        }
    }
    seen.extend(marks(&desk.get(&fitting).await.text));
    let unseen: Vec<_> = MARKS.into_iter().filter(|mark| !seen.contains(mark)).collect();
    assert!(unseen.is_empty(), "marks that mark nothing: {unseen:?}");
}

#[tokio::test]
async fn no_address_of_a_fitting_leads_around_a_stop() {
    let desk = Desk::new();
    for flag in Flag::ALL {
        // The order is made first, two shoes are brought out and one is chosen: nothing of it may live on.
        let fitting = desk.answered(&RANKED).await;
        desk.get(&fitting).await;
        for style in ["fennick.fm-410", "fennick.fm-510"] {
            desk.post(&format!("{fitting}/choose"), &[("style", style)]).await;
        }
        let raised = raising(*flag);
        let taken = desk.post(&format!("{fitting}/runner"), &flagged(&raised)).await;
        assert_eq!((taken.status, &taken.to), (StatusCode::SEE_OTHER, &fitting), "{}", flag.word());
        for (route, ways) in WAYS {
            for way in *ways {
                let answer = ask(&desk, &fitting, route, way).await;
                let id = format!("{}: {route}{} {:?}: {}", flag.word(), way.1, way.2, answer.text);
                assert!(says(*flag, &fitting, &answer, &way.3), "{id}");
                assert!(marks(&answer.text).is_empty(), "{:?} {id}", marks(&answer.text));
            }
        }
        // And after every button has been pressed.
        let page = desk.get(&fitting).await;
        assert!(says(*flag, &fitting, &page, &TheStop) && marks(&page.text).is_empty(), "{}", flag.word());
        assert!(desk.fitting(&fitting).order.is_none(), "{}", flag.word());
        let search = desk.get("/shoes?q=fennick").await;
        assert!(search.status == StatusCode::OK && search.text.contains("Fennick"), "stock is searchable");
    }
}

#[tokio::test]
async fn a_program_is_told_the_stop_and_no_order() {
    let desk = Desk::new();
    for flag in Flag::ALL {
        let raised = raising(*flag);
        let answer = desk.rank_json(as_json(&flagged(&raised)).to_string()).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        is_a_stop(&serde_json::from_str(&answer.text).unwrap(), *flag);
        for order in ["suitability", "points", "fennick"] {
            assert!(!answer.text.contains(order), "{}: {order}", flag.word());
        }
    }
}

fn is_a_stop(reply: &Value, flag: Flag) {
    let stopped = reply["stopped"].as_array().unwrap();
    assert_eq!(stopped.len(), 1, "{reply}");
    assert_eq!((&stopped[0]["flag"], &stopped[0]["see"]), (&flag.word().into(), &flag.see().into()));
}

#[test]
fn the_commands_answer_with_the_stop_and_nothing_else() {
    let lastbench = stocked();
    let folder = tests::lastbench!();
    for flag in Flag::ALL {
        let raised = raising(*flag);
        let said = flagged(&raised);
        let anyway = said.iter().copied().chain([("stage.step_anyway", "true")]).collect::<Vec<_>>();
        let file = folder.write("runner.toml", &as_toml(&anyway));
        let rank = ["rank", "--runner", argument(&file)];
        let plan = ["plan", "--to", "fennick.fm-510", "--runner", argument(&file)];
        for (command, first) in
            [(&rank[..], "No order: see a clinician first.\n"), (&plan, "No plan: see a clinician first.\n")]
        {
            let ran = lastbench.run(command);
            let id = format!("{}: {ran:?}", flag.word());
            assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""), "{id}");
            let told = format!(
                "{first}\n{}\n  {}\n  {}\n\nThe stock can still be searched.\n",
                flag.sign(),
                flag.why(),
                flag.see()
            );
            assert_eq!(ran.stdout, told, "{id}");
            let (code, reply) = lastbench.json(&[command, &["--json"]].concat());
            assert_eq!(code, Some(0), "{id}");
            is_a_stop(&reply, *flag);
            let lists = ["results", "weeks", "steps"].map(|list| reply[list].as_array().map_or(0, Vec::len));
            assert_eq!(lists, [0; 3], "{reply}");
        }
    }
}
