//! The brief of an order: each answer in the fitter's words, *not asked* where nobody asked. Never the body mass.

use catalogue::injury::{Answer, Injury};
use catalogue::measures::Measure;
use catalogue::rank::{Band, Origin, Ranker};
use catalogue::runner::{Feel, Heading, Now, Runner};
use catalogue::strike::{Basis, Reading, Sureness};

use super::shoe::{landing_place, measures_in_words, name, plain};
use super::sizes::proposed_by;
use super::{Visit, listed};
use crate::labels::{HURTS_NOW, REGIONS};
use crate::parts::brief::{Brief, BriefEntry};
use crate::words;

/// The brief; without a ranker, of a stopped fitting, only what was answered.
pub fn brief(visit: &Visit<'_>, ranker: Option<&Ranker>) -> Brief {
    let runner = &visit.fitting.runner;
    let bands = ranker.map(|ranker| {
        let band = |measure| ranker.brief().band(measure);
        let place = landing_place(ranker.landing());
        let stack =
            say!("landing stack {band}, {place}", band = band_in_words(band(Measure::LandingStack)), place);
        [(say!("Looking for"), stack, "strike"), (say!("Drop"), band_in_words(band(Measure::Drop)), "wishes")]
    });
    let bands = bands.into_iter().flatten().map(|(term, says, at)| (term, Some(says), at));
    let first = [(say!("Worn now"), worn(visit), "worn"), (say!("Heading"), heading(runner), "heading")];
    let rest = [
        (say!("For"), runner.purpose.map(|p| words::of(p.word()).to_owned()), "purpose"),
        (say!("Sizes"), sizes(runner), "size"),
        (say!("Pain"), pain(runner), "pain"),
        (say!("Landing"), landing(runner), "strike"),
        (say!("History"), history(runner), "history"),
        (say!("Weekly distance"), runner.weekly_km.map(|km| format!("{km} km")), "running"),
    ];
    let entry = |(term, says, at): (&str, Option<String>, &str)| BriefEntry {
        term: term.to_owned(),
        says,
        href: visit.href(&format!("/runner{}#{at}", unfolding(at))),
    };
    Brief { entries: first.into_iter().chain(bands).chain(rest).map(entry).collect() }
}

/// Further answers are folded: the link names the section that it unfolds, never an answer.
fn unfolding(at: &str) -> String {
    let is_further = ["strike", "history", "running", "wishes"].contains(&at);
    if is_further { format!("?open={at}") } else { String::new() }
}

/// The pair worn now in words; `None` when nobody asked.
pub fn worn(visit: &Visit<'_>) -> Option<String> {
    match &visit.fitting.runner.now.shoe {
        Now::NotAsked => None,
        Now::Feels(feel) => Some(say!("known by feel only: {feel}", feel = felt(*feel))),
        Now::Measured(worn) => Some(measures_in_words(&worn.measures)),
        Now::Style(key) => Some(match visit.snapshot.style(key) {
            Some(card) => format!("{}, {}", name(card.style), measures_in_words(&card.measures)),
            None => say!("{key}, no longer in the catalogue", key),
        }),
    }
}

fn felt(feel: Feel) -> &'static str {
    match feel {
        Feel::Flatter => say!("flatter than most"),
        Feel::LikeMost => say!("like most"),
        Feel::Taller => say!("taller than most"),
    }
}

fn heading(runner: &Runner) -> Option<String> {
    let heading = match runner.stage.heading? {
        Heading::Less => say!("less shoe"),
        Heading::Same => say!("the same again"),
        Heading::More => say!("more shoe"),
        Heading::New => say!("a new start"),
    };
    let weeks = runner.stage.weeks_done.map_or(String::new(), |weeks| say!(", {weeks} weeks done", weeks));
    Some(format!("{heading}{weeks}"))
}

/// The band of a measure with what it counts from: `30 to 34 mm (asked for)`.
pub fn band_in_words(band: &Band) -> String {
    let range = range_in_words(band.measure, band.from, band.to);
    match origin(band) {
        Some(origin) => format!("{range} ({origin})"),
        None => range,
    }
}

/// What a band counts from, where that is not simply the worn pair.
pub fn origin(band: &Band) -> Option<&'static str> {
    match (band.origin, band.clipped) {
        (Origin::Guessed, _) => Some(say!("guessed: your pair is unknown")),
        (Origin::AskedFor, _) => Some(say!("asked for")),
        (Origin::Absolute, false) => Some(say!("the shop's usual")),
        (Origin::Absolute, true) => Some(say!("the shop's usual, held by a limit")),
        (Origin::Worn, true) => Some(say!("held by a rule or limit")),
        (Origin::Worn, false) => None,
    }
}

/// `30 to 34 mm`, `flexible to medium`.
pub fn range_in_words(measure: Measure, from: i32, to: i32) -> String {
    if measure == Measure::Bending {
        let (from, to) = (super::why::bending(from), super::why::bending(to));
        return if from == to { from } else { say!("{from} to {to}", from, to) };
    }
    let unit = if measure == Measure::Mass { "g" } else { "mm" };
    if from == to {
        format!("{} {unit}", plain(from))
    } else {
        say!("{from} to {to} {unit}", from = plain(from), to = plain(to), unit)
    }
}

fn sizes(runner: &Runner) -> Option<String> {
    let sizes = runner.working_sizes();
    let system = sizes.first()?.system().map_or("", |system| system.word());
    let labels: Vec<&str> = sizes.iter().map(|label| label.printed()).collect();
    let proposed =
        runner.sizes_proposed_by().map_or_else(String::new, |by| format!(" ({})", proposed_by(by)));
    Some(format!("{system} {}{proposed}", labels.join(", ")).trim_start().to_owned())
}

/// `asked: none`; `None` when the one question was not asked. A pain of the history is told without its place, for
/// the card goes home; it answers none of the signs.
pub fn pain(runner: &Runner) -> Option<String> {
    match runner.flags.pain() {
        Answer::Yes => Some(say!("asked: yes").to_owned()),
        Answer::No => Some(say!("asked: none").to_owned()),
        Answer::NotAsked => runner.hurts_now().then(|| words::of(HURTS_NOW).to_owned()),
    }
}

/// `rearfoot, video-240`; a doubt about it, or a reading that disagrees, is said.
fn landing(runner: &Runner) -> Option<String> {
    let strike = runner.strike;
    let readings: Vec<String> = strike.readings().map(reading_in_words).collect();
    match (readings.as_slice(), strike.pattern) {
        ([], None) => None,
        ([], Some(told)) => Some(say!("{told} by own word, taken as unseen", told = words::of(told.word()))),
        ([only], _) => Some(only.clone()),
        ([first, others @ ..], _) if strike.disagrees() => {
            Some(say!("{first}; but {others}: the first counts", first, others = others.join(", ")))
        }
        ([first, ..], _) => Some(first.clone()),
    }
}

fn reading_in_words(reading: Reading) -> String {
    let by = match reading.basis {
        Basis::Seen(seen) => words::of(seen.word()),
        Basis::Angle => say!("by its angle"),
        Basis::Index => say!("by its index"),
    };
    let pattern = words::of(reading.class.pattern.word());
    match reading.sureness() {
        Sureness::Sure => format!("{pattern}, {by}"),
        doubt => format!("{pattern}, {by} ({})", words::of(doubt.word())),
    }
}

/// What has hurt: `calf (recent), kneecap`.
pub fn history(runner: &Runner) -> Option<String> {
    let said = |injury: &Injury| {
        let recent = if injury.is_recent() { say!(" (recent)") } else { "" };
        format!("{}{recent}", words::lowered(region_label(injury.region.word())))
    };
    let injuries: Vec<String> = runner.injuries.iter().map(said).collect();
    match injuries.as_slice() {
        [] => runner.history_asked.then(|| say!("asked: none").to_owned()),
        some => Some(listed(some, say!("and"))),
    }
}

/// The label of a region.
pub fn region_label(word: &str) -> &str {
    REGIONS.iter().find(|(value, _)| *value == word).map_or(word, |(_, label)| words::of(label))
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::injury::Region;

    #[test]
    fn a_history_that_was_asked_for_and_holds_nothing_is_not_one_nobody_asked_for() {
        let mut runner = Runner::default();
        assert_eq!((history(&runner), pain(&runner)), (None, None));
        runner.history_asked = true;
        assert_eq!(history(&runner).as_deref(), Some("asked: none"));
        runner.injuries = vec![Injury::of(Region::Calf)];
        assert_eq!(history(&runner).as_deref(), Some("calf (recent)"));
    }

    #[test]
    fn a_band_reads_in_its_own_unit() {
        assert_eq!(range_in_words(Measure::Drop, 60, 105), "6 to 10.5 mm");
        assert_eq!(range_in_words(Measure::Mass, 1800, 3000), "180 to 300 g");
        assert_eq!(range_in_words(Measure::Bending, 20, 40), "flexible to stiff");
        assert_eq!(range_in_words(Measure::LandingStack, 300, 300), "30 mm");
    }
}
