//! Out of an empty list: every way leads to the number of shoes that it promised, and what could be ordered in is made
//! in the size and not there.

use std::collections::BTreeSet;

use catalogue::size::{SizeLabel, SizeSystem, half_step_of_run};
use catalogue::stock::Quantity;
use catalogue::style::Audience;
use indexer::store::Counted;

use super::{number_before, section};
use crate::visit_bench::{Desk, between, rows, with};

/// One button of the page: where it posts, what, and its words.
struct Button {
    part: String,
    fields: Vec<(String, String)>,
    label: String,
}

fn ways(html: &str, fitting: &str) -> Vec<Button> {
    let forms = section(html, "without").split("<form").skip(1);
    let button = |form: &str| Button {
        part: between(form, "action=\"", "\"").swap_remove(0).replace(fitting, ""),
        fields: between(form, "name=\"", "\"").into_iter().zip(between(form, "\" value=\"", "\"")).collect(),
        label: between(form, "aria-label=\"", "\"").swap_remove(0),
    };
    forms.map(button).collect()
}

/// Answers, and a filter that was added.
type Asked = (Vec<(&'static str, &'static str)>, Vec<(&'static str, &'static str)>);

/// Visits that may have an empty list: every mixture of a rare size, a width, a surface, a use and whose shoes.
fn visits() -> Vec<Asked> {
    let sizes = [("EU", "35.5"), ("EU", "47"), ("EU", "47.5"), ("US", "13.5")];
    let mut visits = vec![(with(&[]), vec![("q", "zzzz")]), (with(&[]), vec![("drop_from", "30")])];
    for (system, size) in sizes {
        for width in ["", "2E", "B"] {
            for surface in ["road", "track"] {
                for (audience, purpose) in [("men", "race"), ("women", "long"), ("unisex", "daily")] {
                    let answers = with(&[
                        ("size.system", system),
                        ("size.worn_label", size),
                        ("size.working", size),
                        ("size.width", width),
                        ("run.surface", surface),
                        ("run.audience", audience),
                        ("run.purpose", purpose),
                    ]);
                    visits.push((answers.clone(), vec![]));
                    visits.push((answers, vec![("q", "fennick")]));
                }
            }
        }
    }
    visits
}

impl Desk {
    async fn visit(&self, (answers, added): &Asked) -> String {
        let fitting = self.answered(answers).await;
        if !added.is_empty() {
            self.post(&format!("{fitting}/narrow"), added).await;
        }
        fitting
    }
}

impl Desk {
    /// What is not there is counted as wanted, once a fitting, and the row says so.
    async fn want_twice(&self, fitting: &str, style: &str) {
        for _ in 0..2 {
            self.post(&format!("{fitting}/wanted"), &[("style", style), ("size", "EU 47")]).await;
        }
        let html = self.page(fitting).await;
        assert!(section(&html, "order-in").contains("Counted as wanted: EU 47"));
        let lines = self.state.shop.ask(|store| store.tallies()).unwrap();
        let line = lines.iter().find(|line| line.key == format!("{style} EU 47"));
        assert_eq!(line.map(|line| (line.counted, line.times)), Some((Counted::Wanted, 1)));
    }
}

#[tokio::test]
async fn every_way_out_of_an_empty_list_leads_to_the_number_it_promised() {
    let desk = Desk::new();
    let mut pressed = BTreeSet::new();
    let mut empty = 0;
    for visit in visits() {
        let fitting = desk.visit(&visit).await;
        let html = desk.page(&fitting).await;
        assert_eq!(
            html.contains("Nothing is left"),
            rows(section(&html, "first")).is_empty() && shown(&html) == 0
        );
        // One in three is pressed through: each press needs a visit of its own.
        if shown(&html) > 0 || {
            empty += 1;
            empty % 3 != 0
        } {
            continue;
        }
        let offered = ways(&html, &fitting);
        assert!(!offered.is_empty(), "{visit:?}");
        for Button { part, fields, label } in offered {
            let fitting = desk.visit(&visit).await;
            let promised = number_before(&label, " shoe");
            let answer = desk.post(&format!("{fitting}{part}"), &fields).await;
            assert_eq!(answer.to, fitting, "{label}: {}", answer.text);
            assert_eq!(desk.rows(&fitting).await.len(), promised, "{visit:?}: {label}");
            assert!(promised > 0, "{label}");
            pressed.insert(fields[0].0.clone());
        }
    }
    for kind in ["drop", "clear", "size", "width", "audience"] {
        assert!(pressed.contains(kind), "{kind} was offered nowhere: {pressed:?}, {empty} lists empty");
    }
}

/// How many shoes the page says are left.
fn shown(html: &str) -> usize {
    let said = between(html, "<p class=\"soft\" role=\"status\">", "</p>").swap_remove(0);
    said.split(' ').next().unwrap().parse().unwrap()
}

#[tokio::test]
async fn ways_that_keep_the_size_come_before_those_that_give_it_up() {
    let desk = Desk::new();
    for visit in visits().into_iter().step_by(4) {
        let fitting = desk.visit(&visit).await;
        let html = desk.page(&fitting).await;
        let gives_up =
            |label: &str| label.contains("the sizes asked for") || label.contains("ithout in stock");
        let labels: Vec<bool> = ways(&html, &fitting).iter().map(|way| gives_up(&way.label)).collect();
        assert!(labels.is_sorted(), "{labels:?}");
    }
}

#[tokio::test]
async fn what_can_be_ordered_in_is_made_in_the_size_passes_the_other_filters_and_is_not_there() {
    let desk = Desk::new();
    let snapshot = desk.state.snapshot();
    let foot = SizeLabel::parse(Some(SizeSystem::Eu), "47").unwrap().foot(Some(Audience::Men)).unwrap();
    let in_stock = |quantity: Option<Quantity>| quantity.is_some_and(Quantity::in_stock);
    let mut expected: Vec<String> = Vec::new();
    for style in snapshot.styles().iter().filter(|style| !style.retired) {
        let skus = snapshot.style(&style.key).unwrap().skus;
        let made = skus.iter().filter(|sku| {
            let system = sku.label.system();
            let run = skus.iter().filter(|other| other.label.system() == system);
            let run: Vec<_> = run.filter_map(|other| other.label.foot(style.audience)).collect();
            let own = sku.label.foot(style.audience);
            system.zip(own).is_some_and(|(system, own)| {
                (own.in_360ths() - foot.in_360ths()).abs() <= half_step_of_run(system, &run)
            })
        });
        let made: Vec<_> = made.collect();
        let for_men = style.audience.is_none_or(|a| matches!(a, Audience::Men | Audience::Unisex));
        if for_men && !made.is_empty() && made.iter().all(|sku| !in_stock(sku.quantity)) {
            expected.push(style.key.to_string());
        }
    }
    assert!(!expected.is_empty());
    // Each alone, by words of its own that empty the list.
    let answers =
        [("run.audience", "men"), ("size.system", "EU"), ("size.worn_label", "47"), ("size.working", "47")];
    let mut found = 0;
    for style in snapshot.styles() {
        let fitting = desk.answered(&answers).await;
        let words = style.number.as_deref().unwrap_or(&style.name).to_owned();
        desk.post(&format!("{fitting}/narrow"), &[("q", words)]).await;
        let html = desk.page(&fitting).await;
        let listed = rows(section(&html, "order-in"));
        if !html.contains("Nothing is left") {
            assert!(listed.is_empty());
            continue;
        }
        assert!(listed.iter().all(|key| expected.contains(key)), "{listed:?}");
        if listed.contains(&style.key.to_string()) {
            if found == 0 {
                desk.want_twice(&fitting, style.key.as_str()).await;
            }
            found += 1;
            assert!(section(&html, "order-in").contains("Not in stock:") && html.contains("Order it in"));
            assert!(section(&html, "order-in").contains("Add to this fitting"));
        }
        assert_eq!(
            listed.contains(&style.key.to_string()),
            expected.contains(&style.key.to_string()),
            "{}",
            style.key
        );
    }
    assert!(found > 0);
}

#[tokio::test]
async fn with_nothing_first_on_the_way_to_less_the_step_can_be_held() {
    let desk = Desk::new();
    let answers = [
        ("size.system", "EU"),
        ("size.worn_label", "42"),
        ("size.working", "42"),
        ("size.working", "42.5"),
        ("run.audience", "men"),
        ("run.surface", "road"),
        ("run.purpose", "daily"),
        ("run.strength_work", "yes"),
        ("now.style", "oskerley.003110m"),
        ("now.main", "yes"),
        ("stage.heading", "less"),
        ("stage.weeks_done", "12"),
        ("injury.foot-bone.recent", "no"),
        ("injury.foot-bone.painful", "no"),
        ("injury.foot-bone.cleared", "yes"),
    ];
    let fitting = desk.answered(&answers).await;
    let html = desk.page(&fitting).await;
    assert!(rows(section(&html, "first")).is_empty());
    let label = between(&html, "aria-label=\"Hold the step: ", "\"").swap_remove(0);
    let promised = number_before(&label, " to bring out first");
    desk.post(&format!("{fitting}/way"), &[("hold", "yes")]).await;
    let html = desk.page(&fitting).await;
    assert_eq!(rows(section(&html, "first")).len(), promised);
    assert!(html.contains("Heading: the same again"), "what it changed is said");
}
