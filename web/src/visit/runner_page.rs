//! The runner's form filled with what is known: answers as typed, sizes and widths in stock, the worn pair.

use std::collections::BTreeSet;

use catalogue::flags::{Flags, PAIN_QUESTION};
use catalogue::runner::Runner;
use catalogue::size::SizeLabel;
use indexer::search::{Counts, Search};
use indexer::snapshot::Snapshot;

use super::answers::of_the_form;
use super::meanwhile::made_from;
use super::money::symbol;
use super::sizes::toe_room;
use super::{Visit, brief, worn};
use crate::labels::NOT_ASKED;
use crate::pages::fitting_runner::RunnerPage;
use crate::parts::fields::Choice;
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::request::runner::shown;
use crate::words;

/// Sections of further answers that are told by how many of their fields are answered: id and prefixes.
const COUNTED: [(&str, &[&str]); 4] = [
    ("running", &["run.weekly_km", "run.regular", "run.strength_work"]),
    ("stage", &["stage.weeks_done", "now.main", "now.old_pair", "now.purposes"]),
    ("body", &["run.body_mass_band", "run.sex", "flags.diabetes"]),
    ("wishes", &["run.surface", "run.budget", "asked_for."]),
];

/// The form with these answers and what is wrong with them; `unfold` is the section a link led to.
pub fn page(visit: &Visit<'_>, answers: Answers, problems: Vec<Problem>, unfold: Option<&str>) -> RunnerPage {
    let runner = &visit.fitting.runner;
    RunnerPage {
        action: visit.href("/runner"),
        made_from: made_from(&of_the_form(&visit.fitting.answers)),
        sizes: with_typed(sizes(visit.snapshot, runner), &answers),
        widths: widths(visit.snapshot),
        worn_candidates: worn::choices(visit.snapshot, answers.get("now.words"), answers.get("now.style")),
        pain_question: PAIN_QUESTION.to_owned(),
        flags: Flags::questions().iter().map(|flag| choice(flag.word(), words::of(flag.sign()))).collect(),
        toe_room: toe_room(visit.snapshot.policy()),
        currency: symbol(visit.snapshot.policy().currency).to_owned(),
        states: states(runner, &answers),
        answers,
        problems,
        unfold: unfold.map(str::to_owned),
    }
}

fn choice(value: &str, label: &str) -> Choice {
    Choice { value: value.to_owned(), label: label.to_owned(), hint: String::new() }
}

/// The sizes near the proposed ones and those tapped, each with how many styles there are; none before a size is known.
fn sizes(snapshot: &Snapshot, runner: &Runner) -> Vec<Choice> {
    let untapped = Runner {
        sizes: catalogue::runner::Sizes { working: Vec::new(), ..runner.sizes.clone() },
        ..runner.clone()
    };
    let proposed = untapped.working_sizes();
    let below = proposed.first().zip(proposed.get(1)).and_then(|(label, up)| below(label, up));
    let mut labels: Vec<SizeLabel> = below.into_iter().chain(proposed).collect();
    labels.extend(
        runner.sizes.working.iter().filter(|tapped| !labels.contains(tapped)).cloned().collect::<Vec<_>>(),
    );
    labels.sort_by_key(SizeLabel::twelfths);
    labels
        .iter()
        .map(|label| Choice {
            hint: styles_in(snapshot, runner, label),
            ..choice(label.printed(), label.printed())
        })
        .collect()
}

/// These sizes and whatever else was sent for one, so that a refused form still holds it.
fn with_typed(mut sizes: Vec<Choice>, answers: &Answers) -> Vec<Choice> {
    for (_, text) in answers.0.iter().filter(|(name, text)| name == "size.working" && !text.trim().is_empty())
    {
        if !sizes.iter().any(|size| size.value == *text) {
            sizes.push(choice(text, &shown(text)));
        }
    }
    sizes
}

/// As far below a label as the next proposed one is above it.
fn below(label: &SizeLabel, up: &SizeLabel) -> Option<SizeLabel> {
    let twelfths = (2 * label.twelfths()).checked_sub(up.twelfths())?;
    label.system().map(|system| SizeLabel::of_twelfths(system, twelfths))
}

fn styles_in(snapshot: &Snapshot, runner: &Runner, label: &SizeLabel) -> String {
    let feet = label.foot(runner.audience).into_iter().collect();
    let search = Search { feet, counts: Counts::None, limit: Some(1), ..Search::for_runner(runner) };
    match snapshot.search(&search, None).map(|results| results.total) {
        Ok(1) => say!("1 style").to_owned(),
        Ok(0) | Err(_) => say!("none").to_owned(),
        Ok(count) => say!("{count} styles", count),
    }
}

/// The width labels in the catalogue.
fn widths(snapshot: &Snapshot) -> Vec<String> {
    let widths: BTreeSet<&str> = snapshot.skus().iter().filter_map(|sku| sku.width.as_deref()).collect();
    widths.into_iter().map(str::to_owned).collect()
}

/// What the closed headings of the further answers say. Of the body only how much was answered.
fn states(runner: &Runner, answers: &Answers) -> Vec<(&'static str, String)> {
    let strike = runner.strike.pattern.map(|pattern| words::of(pattern.word()).to_owned());
    let spoken = [("strike", strike), ("history", brief::history(runner))];
    let spoken =
        spoken.into_iter().map(|(id, said)| (id, said.unwrap_or_else(|| words::of(NOT_ASKED).to_owned())));
    let counted = COUNTED.iter().map(|(id, names)| (*id, count(answers, names)));
    spoken.chain(counted).collect()
}

fn count(answers: &Answers, prefixes: &[&str]) -> String {
    let of = |name: &str| prefixes.iter().any(|prefix| name.starts_with(prefix));
    match answers.0.iter().filter(|(name, value)| of(name) && !value.trim().is_empty()).count() {
        0 => words::of(NOT_ASKED).to_owned(),
        answered => say!("{answered} answered", answered),
    }
}
