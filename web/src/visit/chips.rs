//! The chips of a ranked list: what is filtered by, what each alone hides, and what was taken off.

use catalogue::injury::Answer;
use catalogue::runner::Runner;
use catalogue::style::{Audience, Purpose};
use indexer::ranked::RankedList;
use indexer::search::Search;
use indexer::snapshot::Group;

use super::money::money;
use super::narrow::{self, Narrowed};
use super::order::removed;
use super::{Visit, listed};
use crate::pages::fitting_stock::{Announcement, Way};
use crate::parts::act::Act;
use crate::parts::chips::{Chip, Chips};
use crate::words;

/// The chips in force: those of the runner's answers, then those that were added.
pub fn chips(visit: &Visit<'_>, list: &RankedList, narrowed: &Narrowed) -> Chips {
    let chip = |group: Group| Chip {
        label: label(visit, group),
        hides: Some(hides(narrowed, group)),
        remove: Act::post(visit.href("/chips"), "drop", group.key()),
    };
    let preset = in_force(&list.search).into_iter().map(chip);
    Chips { chips: preset.chain(narrow::chips(visit, narrowed)).collect(), add: None }
}

/// Those that were taken off, each with the way to put it back.
pub fn taken_off(visit: &Visit<'_>) -> Vec<Announcement> {
    let off = removed(&visit.fitting.removed_chips);
    let of_runner = in_force(&Search::for_runner(&visit.fitting.runner));
    let announcement = |group: Group| {
        let label = label(visit, group);
        let act = Act::post(visit.href("/chips"), "put_back", group.key());
        Announcement {
            say: say!("Taken off: {label}. Shoes that it would hide are in the order.", label),
            act: Some(Way { label: say!("Put back: {label}", label), act }),
        }
    };
    of_runner.into_iter().filter(|group| off.contains(group)).map(announcement).collect()
}

/// The groups that a search narrows.
pub fn in_force(search: &Search) -> Vec<Group> {
    let narrowed = |group: &Group| {
        let by_feet = *group == Group::Size && !search.feet.is_empty();
        by_feet || search.choices.contains_key(group) || search.ranges.contains_key(group)
    };
    Group::ALL.into_iter().filter(narrowed).collect()
}

fn hides(narrowed: &Narrowed, group: Group) -> usize {
    narrowed.results.hidden_within.iter().find(|(of, _)| *of == group).map_or(0, |(_, count)| *count as usize)
}

/// What a chip says: `men or unisex`, `in 42.5 or 43`, `up to € 160`.
pub fn label(visit: &Visit<'_>, group: Group) -> String {
    let runner = &visit.fitting.runner;
    let said = match group {
        Group::Audience => runner.audience.map(audience),
        Group::Surface => runner.surface.map(|surface| words::of(surface.word()).to_owned()),
        Group::Purpose => runner.purpose.map(purpose),
        Group::Size => Some(sizes(runner)),
        Group::Width => runner.sizes.width.as_ref().map(|width| say!("width {width}", width)),
        Group::Price => runner.budget.map(|budget| {
            say!("up to {currency}", currency = money(budget, visit.snapshot.policy().currency))
        }),
        Group::Plate => with_or_without(runner.asked_for.plate, say!("with a plate"), say!("no plate")),
        Group::Rocker => {
            with_or_without(runner.asked_for.rocker, say!("rocker sole"), say!("no rocker sole"))
        }
        Group::Stock => Some(say!("in stock").to_owned()),
        _ => None,
    };
    said.unwrap_or_else(|| words::lowered(words::of(group.label())))
}

fn audience(audience: Audience) -> String {
    match audience {
        Audience::Women | Audience::Men => {
            say!("{audience} or unisex", audience = words::of(audience.word()))
        }
        Audience::Unisex | Audience::Youth => words::of(audience.word()).to_owned(),
    }
}

fn purpose(purpose: Purpose) -> String {
    let words: Vec<&str> = purpose.served_by().iter().map(|purpose| words::of(purpose.word())).collect();
    listed(&words, say!("or"))
}

fn sizes(runner: &Runner) -> String {
    let sizes = runner.working_sizes();
    let labels: Vec<&str> = sizes.iter().map(|label| label.printed()).collect();
    say!("in {labels}", labels = listed(&labels, say!("or")))
}

fn with_or_without(answer: Answer, with: &str, without: &str) -> Option<String> {
    answer.known().map(|yes| if yes { with } else { without }.to_owned())
}
