//! Two windows on one fitting, and what is left of a fitting that is over: nothing that was said is lost, and nothing
//! of it is shown afterwards.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::time::Duration;

use axum::http::StatusCode;
use indexer::snapshot::Group;

use crate::owner_bench::Owner;
use crate::stops::{WAYS, ask};
use crate::visit_bench::{Answer, Desk, NOTHING, RUNNER, as_sent, rows};

/// A window with a page of a fitting in it, as it was when it was opened.
struct Tab<'d> {
    desk: &'d Desk,
    address: String,
    html: String,
}

impl<'d> Tab<'d> {
    async fn open(desk: &'d Desk, address: String) -> Self {
        let html = desk.page(&address).await;
        Self { desk, address, html }
    }

    /// Sends the form of the page with these fields filled anew. A page that comes back stands in the window.
    async fn send(&mut self, anew: &[(&str, &str)]) -> Answer {
        let mut fields = as_sent(&self.html, &self.address);
        fields.retain(|(name, _)| !anew.iter().any(|(other, _)| name == other));
        fields.extend(anew.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
        let answer = self.desk.post(&self.address, &fields).await;
        self.html.clone_from(&answer.text);
        answer
    }
}

/// Two windows with the same form of a fitting.
async fn two<'d>(desk: &'d Desk, address: &str) -> (Tab<'d>, Tab<'d>) {
    (Tab::open(desk, address.to_owned()).await, Tab::open(desk, address.to_owned()).await)
}

#[tokio::test]
async fn an_old_form_of_the_runner_wipes_nothing_that_another_window_has_said() {
    let desk = Desk::new();
    let fitting = desk.answered(&RUNNER).await;
    let (mut first, mut second) = two(&desk, &format!("{fitting}/runner")).await;
    let said = [("run.weekly_km", "60"), ("run.strike", "forefoot"), ("run.strike_seen", "video")];
    assert_eq!(first.send(&said).await.to, fitting);
    assert_eq!(second.send(&[("run.budget", "120"), ("injury.calf.recent", "")]).await.to, fitting);
    let held = desk.fitting(&fitting).answers;
    for (name, value) in said.iter().chain(&[("run.budget", "120"), ("injury.calf.recent", "")]) {
        assert_eq!(held.get(name), *value, "{name}");
    }
    for (name, value) in
        RUNNER.iter().filter(|(name, _)| !["run.weekly_km", "injury.calf.recent"].contains(name))
    {
        assert_eq!(held.get(name), *value, "{name}");
    }
}

#[tokio::test]
async fn a_red_flag_from_one_window_is_not_taken_down_by_an_old_form_in_another() {
    let desk = Desk::new();
    let fitting = desk.answered(&[("run.audience", "men")]).await;
    let (mut first, mut second) = two(&desk, &format!("{fitting}/runner")).await;
    let mut third = Tab::open(&desk, format!("{fitting}/runner")).await;
    first.send(&[("flags.pain", "yes"), ("flags.calf_swelling", "yes")]).await;
    assert_eq!(second.send(&[("run.purpose", "daily")]).await.to, fitting);
    let html = desk.page(&fitting).await;
    assert!(html.contains("Whom to see") && rows(&html).is_empty());
    assert_eq!(desk.fitting(&fitting).answers.get("run.purpose"), "daily");
    let refused = third.send(&[("flags.pain", "no")]).await;
    assert!(
        refused.status == StatusCode::CONFLICT && refused.text.contains("has said “Yes, as ticked below"),
        "{}",
        refused.text
    );
    assert!(desk.page(&fitting).await.contains("Whom to see"));
}

#[tokio::test]
async fn one_question_answered_in_two_ways_comes_back_with_both_and_changes_nothing_until_it_is_sent_again() {
    let desk = Desk::new();
    let fitting = desk.answered(&RUNNER).await;
    let (mut first, mut second) = two(&desk, &format!("{fitting}/runner")).await;
    first.send(&[("stage.heading", "same"), ("run.weekly_km", "60")]).await;
    let both = [("stage.heading", "more"), ("now.style", "fennick.fm-310"), ("run.weekly_km", "32")];
    let refused = second.send(&both).await;
    assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
    let told = "Where to: Another window has said “Staying” since this form was opened, and this form says “Back to more";
    assert!(refused.text.contains(told), "{}", refused.text);
    assert!(
        refused.text.contains("href=\"#stage.heading\"") && refused.text.contains("<title>Error: Runner")
    );
    assert_eq!(refused.text.matches("Another window has said").count(), 2, "in the summary and at the field");
    let held = desk.fitting(&fitting).answers;
    assert_eq!((held.get("stage.heading"), held.get("now.style")), ("same", "fennick.fm-410"));
    let sent = as_sent(&refused.text, &format!("{fitting}/runner"));
    assert!(
        sent.contains(&("run.weekly_km".into(), "60".into())),
        "what only the other said stands in the form"
    );
    assert_eq!(second.send(&[]).await.to, fitting);
    let held = desk.fitting(&fitting).answers;
    let now = ["stage.heading", "now.style", "run.weekly_km"].map(|name| held.get(name).to_owned());
    assert_eq!(now, ["more", "fennick.fm-310", "60"]);
}

#[tokio::test]
async fn what_the_list_was_answered_stands_when_an_old_form_is_sent() {
    let desk = Desk::new();
    let fitting = desk.answered(&RUNNER).await;
    let mut form = Tab::open(&desk, format!("{fitting}/runner")).await;
    desk.post(&format!("{fitting}/current"), &[("region", "calf")]).await;
    assert_eq!(form.send(&[("run.budget", "120")]).await.to, fitting);
    let held = desk.fitting(&fitting).answers;
    assert_eq!((held.get("injury.calf.current"), held.get("run.budget")), ("yes", "120"));
}

#[tokio::test]
async fn marks_filters_and_shoes_of_two_windows_are_kept_from_both() {
    let desk = Desk::new();
    let fitting = desk.answered(&RUNNER).await;
    let old = desk.page(&format!("{fitting}?narrow=yes")).await;
    let keys = rows(&old);
    let press = async |part: &str, fields: &[(&str, &str)]| {
        let answer = desk.post(&format!("{fitting}{part}"), fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{part}: {}", answer.text);
    };
    let (one, other) = (keys[0].as_str(), keys[1].as_str());
    press("/mark", &[("style", one), ("kind", "pin"), ("reason", "comfort")]).await;
    press("/mark", &[("style", other), ("kind", "skip"), ("reason", "looks")]).await;
    press("/shortlist", &[("style", one)]).await;
    press("/shortlist", &[("style", other)]).await;
    press("/narrow", &[("toggle", "rocker"), ("value", "no")]).await;
    // The form of the words as the old page has it.
    let mut words = as_sent(&old, &format!("{fitting}/narrow"));
    assert_eq!(words.len(), 1);
    "fennick".clone_into(&mut words[0].1);
    desk.post(&format!("{fitting}/narrow"), &words).await;
    let held = desk.fitting(&fitting);
    assert_eq!(held.marks.len(), 2);
    assert_eq!(held.shortlist.iter().map(|key| key.as_str()).collect::<Vec<_>>(), [one, other]);
    assert_eq!(held.added.words(), "fennick");
    assert_eq!(held.added.chosen(Group::Rocker), ["no"]);
}

/// A fitting with two shoes brought out.
async fn with_two_shoes(desk: &Desk) -> (String, [&'static str; 2]) {
    let fitting = desk.answered(&RUNNER).await;
    let shoes = ["fennick.fm-310", "fennick.fm-510"];
    for shoe in shoes {
        desk.post(&format!("{fitting}/shortlist"), &[("style", shoe)]).await;
    }
    (fitting, shoes)
}

#[tokio::test]
async fn what_was_seen_on_the_foot_in_two_windows_is_kept_from_both() {
    let desk = Desk::new();
    let (fitting, [one, other]) = with_two_shoes(&desk).await;
    let (mut first, mut second) = two(&desk, &format!("{fitting}/on-foot")).await;
    let third = "fennick.fm-210";
    desk.post(&format!("{fitting}/shortlist"), &[("style", third)]).await;
    first.send(&[("do", "keep"), (&format!("heel.{one}"), "slips"), ("first-again", "yes")]).await;
    let mut newer = Tab::open(&desk, format!("{fitting}/on-foot")).await;
    newer.send(&[("do", "keep"), (&format!("heel.{third}"), "holds")]).await;
    let kept = second.send(&[("do", "keep"), (&format!("heel.{other}"), "holds")]).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let tries = desk.fitting(&fitting).tries;
    assert_eq!(tries.shoes.len(), 3, "the shoe that the old form does not hold is kept too");
    assert!(tries.first_again);
}

#[tokio::test]
async fn a_shoe_seen_in_two_ways_is_asked_about_once_more() {
    let desk = Desk::new();
    let (fitting, [one, _]) = with_two_shoes(&desk).await;
    let (mut first, mut second) = two(&desk, &format!("{fitting}/on-foot")).await;
    let (heel, note) = (format!("heel.{one}"), format!("note.{one}"));
    first.send(&[("do", "keep"), (&heel, "holds"), (&note, "warm")]).await;
    let refused = second.send(&[("do", "keep"), (&heel, "slips")]).await;
    assert_eq!(refused.status, StatusCode::CONFLICT);
    let told = "“holds” since this form was opened, and this form says “slips”.";
    assert!(
        refused.text.contains(told) && refused.text.contains(&format!("href=\"#{heel}\"")),
        "{}",
        refused.text
    );
    assert_eq!(second.send(&[("do", "keep")]).await.to, format!("{fitting}/on-foot"));
    let shoe = desk.fitting(&fitting).tries.shoes.swap_remove(0);
    assert_eq!((shoe.seen.heel.map(|heel| heel.word()), shoe.note.as_str()), (Some("slips"), "warm"));
}

#[tokio::test]
async fn a_shoe_put_back_in_one_window_is_not_chosen_in_another_without_a_word() {
    let desk = Desk::new();
    let (fitting, [one, other]) = with_two_shoes(&desk).await;
    let mut form = Tab::open(&desk, format!("{fitting}/on-foot")).await;
    desk.post(&format!("{fitting}/shortlist"), &[("drop", other)]).await;
    let choose = format!("choose:{other}");
    let (heel, note) = (format!("heel.{one}"), format!("note.{other}"));
    let refused = form.send(&[("do", &choose), (&heel, "holds"), (&note, "likes it")]).await;
    assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
    let told = format!("{} has been put back in another window", desk.name(other));
    assert!(refused.text.contains(&told) && refused.text.contains("Bring it out again"));
    assert!(desk.fitting(&fitting).chosen.is_none() && desk.fitting(&fitting).tries.shoes.is_empty());
    assert_eq!(form.send(&[("do", "keep")]).await.to, format!("{fitting}/on-foot"));
    assert_eq!(
        desk.fitting(&fitting).tries.shoes.len(),
        1,
        "what was said of the other shoe stood in the form"
    );
}

/// How a fitting came to its end.
enum End {
    ClosedInAnotherWindow,
    SleptThrough,
}

#[tokio::test]
async fn whatever_is_pressed_after_the_end_says_so_and_what_to_do_and_nothing_of_the_runner() {
    for end in [End::ClosedInAnotherWindow, End::SleptThrough] {
        let desk = Desk::new();
        let (fitting, [one, _]) = with_two_shoes(&desk).await;
        let mut runner = Tab::open(&desk, format!("{fitting}/runner")).await;
        let mut on_foot = Tab::open(&desk, format!("{fitting}/on-foot")).await;
        desk.page(&fitting).await;
        let name = desk.fitting(&fitting).name.to_string();
        let chosen = desk.post(&format!("{fitting}/choose"), &[("style", one)]).await;
        assert_eq!(chosen.to, format!("{fitting}/card"));
        match end {
            End::ClosedInAnotherWindow => {
                assert_eq!(desk.post(&format!("{fitting}/close"), &NOTHING).await.to, "/");
            }
            End::SleptThrough => desk.state.clock.advance(Duration::from_hours(5)),
        }
        let is_over = |answer: &Answer, what: &str| {
            assert_eq!(answer.status, StatusCode::GONE, "{what}: {}", answer.text);
            let told = ["Fitting closed", "Nothing of it is kept", "a new one is opened at the desk"];
            assert!(told.iter().all(|said| answer.text.contains(said)), "{what}: {}", answer.text);
            // A program is told the same without the page around it.
            let said = answer.text.split("<main").last().unwrap();
            assert!(said.contains("href=\"/\"") || said.starts_with('{'), "{what}: {said}");
            for told in ["42.5", "fennick", "Fennick", "calf", "less"] {
                assert!(!said.contains(told), "{what}: {told}");
            }
            assert!(!answer.text.contains(&name), "{what}");
        };
        for (route, ways) in WAYS {
            for way in *ways {
                is_over(&ask(&desk, &fitting, route, way).await, route);
            }
            // And where nothing is said, or something that means nothing.
            if ways[0].0 == "post" {
                let path = route.replace("/fittings/{id}", &fitting);
                is_over(&desk.post(&path, &NOTHING).await, route);
                is_over(&desk.post(&path, &[("style", "nobody.1"), ("anyway", "perhaps")]).await, route);
            }
        }
        is_over(&runner.send(&[("run.weekly_km", "60")]).await, "the form of the runner");
        is_over(&on_foot.send(&[("do", &format!("choose:{one}"))]).await, "the shoes on the foot");
        is_over(&desk.post(&format!("{fitting}/card"), &[("hurt", "yes")]).await, "what hurt");
        is_over(&desk.post(&format!("{fitting}/close"), &NOTHING).await, "closing it again");
        let front = desk.page("/").await;
        assert!(front.contains("None is open.") && !front.contains(&name));
    }
}

const BOTH: &str = "/compare?shoe=feldrast.fr-1&shoe=feldrast.fr-2";
const RANGE: &[u8] = b"Maker,Style number,Model,Heel stack,Forefoot stack\nFeldrast,FR-1,Egge,30,24\nFeldrast,FR-2,Mull,32,26\n";

#[tokio::test]
async fn a_link_to_a_shoe_that_was_retired_or_taken_back_says_so_and_leads_on() {
    let owner = Owner::new();
    let applied = async |name: &str, bytes: &[u8]| {
        let (sheet, page) = owner.preview(name, bytes).await;
        assert_eq!(owner.apply(&sheet).await.status, StatusCode::SEE_OTHER, "{}", page.text());
    };
    applied("range.csv", RANGE).await;
    let link = owner.get(BOTH).await;
    assert!(link.says("Feldrast Egge") && !link.says("no longer supplied"), "{}", link.text());

    applied("status.csv", b"Maker,Style number,Status\nFeldrast,FR-1,retired\n").await;
    let link = owner.get(BOTH).await;
    assert!(link.says("Feldrast Egge is no longer supplied; its measures stand."), "{}", link.text());
    assert!(link.says("Feldrast Mull"));

    owner.post("/changes/2/undo", &[("at", "2")]).await;
    assert!(!owner.get(BOTH).await.says("no longer supplied"));
    owner.post("/changes/1/undo", &[("at", "3")]).await;
    assert!(!owner.has("feldrast.fr-1"));
    let link = owner.get(BOTH).await;
    assert_eq!(link.status, StatusCode::OK);
    assert!(link.says("holds no shoe “feldrast.fr-1”") && link.says("holds no shoe “feldrast.fr-2”"));
    assert!(link.body.contains("Look for it among the shoes") && link.says("find the first one below"));
    assert!(!link.says("The others stand as they were"), "no other is left: {}", link.text());
}
