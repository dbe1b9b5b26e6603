//! A further answer says what it changed, and says the truth: held against the two lists.

use super::{number_before, section};
use crate::visit_bench::{Desk, NOTHING, between, rows, with};

/// The groups of a page.
#[derive(PartialEq)]
struct Groups([Vec<String>; 4]);

impl Groups {
    fn of(html: &str) -> Self {
        Self(["first", "also", "further", "too-little"].map(|id| rows(section(html, id))))
    }

    fn all(&self) -> Vec<&String> {
        self.0.iter().flatten().collect()
    }
}

fn sentence(html: &str) -> Option<String> {
    between(html, "class=\"announcement changed\" role=\"status\"><p>", "</p>").pop()
}

fn brief(html: &str) -> String {
    let brief = html.split("class=\"filters\"").next().unwrap();
    between(brief, "<dd", "</dd>").join(" ")
}

#[tokio::test]
async fn what_an_answer_is_said_to_have_changed_is_what_differs_between_the_two_lists() {
    let desk = Desk::new();
    let further: [&[(&str, &str)]; 12] = [
        &[("run.strike", "forefoot"), ("run.strike_seen", "video")],
        &[("run.strike", "rearfoot"), ("run.strike_seen", "eye")],
        &[("run.weekly_km", "60")],
        &[("run.surface", "trail")],
        &[("run.budget", "120")],
        &[("stage.heading", "same")],
        &[("stage.heading", "more")],
        &[("injury.calf.recent", ""), ("injury.kneecap.recent", "yes")],
        &[("run.body_mass_band", "above 85.7")],
        &[("now.style", "fennick.fm-210")],
        &[("stage.weeks_done", "2")],
        &[("run.regular", "yes")],
    ];
    let mut kinds = [0; 3];
    for more in further {
        let fitting = desk.answered(&with(&[])).await;
        let before = desk.page(&format!("{fitting}?all=yes")).await;
        assert_eq!(sentence(&before), None);
        let answered = desk.post(&format!("{fitting}/runner"), &with(more)).await;
        assert_eq!(answered.to, fitting, "{more:?}");
        let after = desk.page(&format!("{fitting}?all=yes")).await;
        let said = sentence(&after).unwrap_or_else(|| panic!("{more:?}"));
        let (was, is) = (Groups::of(&before), Groups::of(&after));
        if said.contains("Changes nothing") {
            kinds[0] += 1;
            assert!(was == is && brief_bands(&before) == brief_bands(&after), "{more:?}: {said}");
            continue;
        }
        let (new, left): (Vec<&String>, Vec<&String>) = (
            is.0[0].iter().filter(|key| !was.0[0].contains(key)).collect(),
            was.0[0].iter().filter(|key| !is.0[0].contains(key)).collect(),
        );
        if new.is_empty() && left.is_empty() {
            kinds[1] += 1;
            assert!(said.contains("he first group stays") || said.contains("till none"), "{more:?}: {said}");
        } else {
            kinds[2] += 1;
            let told = number_before(&said, " of the first group changed");
            assert_eq!(told, new.len() + left.len(), "{more:?}: {said}");
        }
        for key in new {
            let news = said.split("changed: ").nth(1).unwrap().split(" new").next().unwrap().to_owned();
            assert!(news.contains(&desk.name(key)), "{more:?}: {said}");
        }
        for key in left {
            let went = match is.0.iter().position(|group| group.contains(key)) {
                Some(1) => "went to Also worth trying",
                Some(2) => "went to Further away",
                Some(3) => "went to Sheet says too little",
                _ if rows(&after).contains(key) => "went aside",
                _ => "left the list",
            };
            let named = said.split(went).next().unwrap().to_owned();
            assert!(said.contains(went) && named.contains(&desk.name(key)), "{more:?}: {said}");
        }
        let (old, now) = (rows(&before), rows(&after));
        let came = now.iter().filter(|key| !old.contains(key)).count();
        let gone = old.iter().filter(|key| !now.contains(key)).count();
        if came > 0 {
            assert_eq!(
                number_before(&said, if came == 1 { " shoe came" } else { " shoes came" }),
                came,
                "{said}"
            );
        }
        assert_eq!(said.contains(" came into the list"), came > 0, "{more:?}: {said}");
        assert_eq!(said.contains(" left it"), gone > 0, "{more:?}: {said}");
        assert!(!was.all().is_empty());
        for band in between(&said, "the band for drop is now ", " mm") {
            assert!(brief(&after).contains(&format!("{band} mm")), "{more:?}: {said}");
        }
        for word in ["85.7", "body mass", "kg"] {
            assert!(!said.to_lowercase().contains(word) || more[0].0 == "run.weekly_km", "{said}");
        }
    }
    assert!(kinds.iter().all(|kind| *kind > 0), "each kind of sentence was met: {kinds:?}");
}

/// The two entries of the brief that are bands.
fn brief_bands(html: &str) -> Vec<String> {
    let entry = |term: &str| between(html, &format!("<dt>{term}</dt>"), "</dd>");
    [entry("Looking for"), entry("Drop")].concat()
}

#[tokio::test]
async fn it_is_said_until_the_next_change_and_not_before_an_order_was_seen() {
    let desk = Desk::new();
    let fitting = desk.answered(&with(&[])).await;
    let runner = format!("{fitting}/runner");
    desk.post(&runner, &with(&[("run.weekly_km", "40")])).await;
    assert_eq!(sentence(&desk.page(&fitting).await), None, "nobody had seen an order");
    desk.post(&runner, &with(&[("run.budget", "120")])).await;
    let said = sentence(&desk.page(&fitting).await);
    assert!(said.is_some() && said == sentence(&desk.page(&fitting).await));
    desk.post(&format!("{fitting}/refresh"), &NOTHING).await;
    assert_eq!(sentence(&desk.page(&fitting).await), None);
    desk.post(&runner, &with(&[("run.budget", "120")])).await;
    assert_eq!(sentence(&desk.page(&fitting).await), None, "no answer was another");
    desk.post(&runner, &with(&[("flags.pain", "yes"), ("flags.calf_swelling", "yes")])).await;
    assert!(desk.page(&fitting).await.contains("Whom to see"));
    desk.post(&runner, &with(&[])).await;
    assert_eq!(sentence(&desk.page(&fitting).await), None, "there was no order to compare with");
}
