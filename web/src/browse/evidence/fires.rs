//! For which of the invented sample runners a rule is in force, and of how many shoes being served it speaks.

use catalogue::measures::Measures;
use catalogue::rank::{Case, Ranker};
use catalogue::rules::{Rule, Share, Speaks, Verdict};
use indexer::snapshot::Snapshot;

use crate::request::runner::RunnerForm;
use crate::visit::listed;

/// A runner file by its name and its text, from the sample that is compiled in.
macro_rules! runners {
    ($($name:literal),+ $(,)?) => {
        [$(($name, include_str!(concat!("../../../../sample-catalogue/runners/", $name, ".toml")))),+]
    };
}

const RUNNERS: [(&str, &str); 8] = runners![
    "by-feel",
    "calf-strain",
    "closed-gate",
    "conflict",
    "empty-list",
    "nothing-first",
    "race",
    "stop",
];

/// The sample runners, prepared over one catalogue. A pair worn now that this catalogue does not hold is unknown.
pub(super) struct Samples {
    /// Name and ranker; a runner with a red flag has none.
    runners: Vec<(&'static str, Option<Ranker>)>,
    shoes: Vec<Measures>,
}

/// Of how many shoes a rule says what, for at least one runner.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Counts {
    speaks_for: usize,
    against: usize,
    misses: usize,
    printed: usize,
}

impl Samples {
    /// The runners over a catalogue. A few thousand judgements a rule: cheap enough to count at each asking.
    pub(super) fn over(snapshot: &Snapshot) -> Self {
        let prepared = |text: &str| {
            let runner = RunnerForm::from_toml(text).ok()?.to_runner(&|_| true).ok()?;
            snapshot.ranker(&runner).ok()
        };
        let cards = snapshot.styles().iter().filter_map(|style| snapshot.style(&style.key));
        Self {
            runners: RUNNERS.iter().map(|(name, text)| (*name, prepared(text))).collect(),
            shoes: cards.map(|card| card.measures).collect(),
        }
    }

    /// `In force for 2 of 8 sample runners: calf-strain and conflict. For at least one …`.
    pub(super) fn say(&self, rule: &Rule) -> String {
        let (mut names, mut lost, mut cases) = (Vec::new(), Vec::new(), Vec::new());
        for (name, ranker) in &self.runners {
            let Some(ranker) = ranker else { continue };
            let in_force = ranker.rules_in_force().iter().find(|entry| entry.rule.id == rule.id);
            let noted = ranker.notes().iter().any(|note| note.id == rule.id);
            if in_force.is_some() || noted {
                names.push(*name);
            }
            match in_force {
                Some(entry) if entry.lost_to.is_some() => lost.push(*name),
                Some(_) => cases.push(ranker.case()),
                None => {}
            }
        }
        let all = self.runners.len();
        if names.is_empty() {
            return say!("In force for none of {all} sample runners.", all);
        }
        let names = say!(
            "In force for {len} of {all} sample runners: {names}.",
            len = names.len(),
            all,
            names = listed(&names, say!("and"))
        );
        let lost = (!lost.is_empty())
            .then(|| say!(" Left out in a conflict: {lost}.", lost = listed(&lost, say!("and"))));
        let spoken = if cases.is_empty() { String::new() } else { self.spoken(rule, &cases) };
        format!("{names}{}{spoken}", lost.unwrap_or_default())
    }

    fn spoken(&self, rule: &Rule, cases: &[&Case]) -> String {
        let Speaks::OfShoe(judge) = rule.speaks else { return String::new() };
        let counts = counts(&self.shoes, cases, judge);
        let all = self.shoes.len();
        let Counts { speaks_for, against, misses, printed } = counts;
        if printed > 0 {
            return say!(" Its sentence stands at {printed} of {all} shoes in the catalogue.", printed, all);
        }
        if counts == Counts::default() {
            return say!(" It has nothing to say of the {all} shoes in the catalogue.", all);
        }
        let misses =
            if misses == 0 { String::new() } else { say!(", and misses a measure of {misses}", misses) };
        say!(
            " It speaks for {speaks_for} and against {against} of {all} shoes in the catalogue{misses}.",
            speaks_for,
            against,
            all,
            misses
        )
    }
}

/// A shoe counts once on each side, however many of the runners it is judged for.
fn counts(shoes: &[Measures], cases: &[&Case], judge: fn(&Case, &Measures) -> Verdict) -> Counts {
    let mut counts = Counts::default();
    for shoe in shoes {
        let verdicts: Vec<Verdict> = cases.iter().map(|case| judge(case, shoe)).collect();
        let any = |test: fn(&Verdict) -> bool| usize::from(verdicts.iter().any(test));
        counts.speaks_for += any(|v| matches!(v, Verdict::Share(share, _) if *share > Share::ZERO));
        counts.against += any(|v| matches!(v, Verdict::Share(share, _) if *share < Share::ZERO));
        counts.misses += any(|v| matches!(v, Verdict::Missed(..)));
        counts.printed += any(|v| matches!(v, Verdict::Printed(_)));
    }
    counts
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_runner_of_the_sample_is_compiled_in_and_can_be_read() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../sample-catalogue/runners");
        let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        let files: BTreeSet<String> =
            files.map(|path| path.file_stem().unwrap().to_string_lossy().into_owned()).collect();
        assert_eq!(files, RUNNERS.iter().map(|(name, _)| (*name).to_owned()).collect());
        for (name, text) in RUNNERS {
            assert!(RunnerForm::from_toml(text).unwrap().to_runner(&|_| true).is_ok(), "{name}");
        }
    }

    #[test]
    fn a_shoe_counts_once_on_each_side() {
        let case = Case::of(
            &catalogue::runner::Runner::default(),
            None,
            &catalogue::policy::HousePolicy::standard(),
        );
        let speaks = |_: &Case, shoe: &Measures| match shoe.drop() {
            None => Verdict::Missed("drop", Share::AGAINST, Share::FULL),
            Some(_) => Verdict::Share(Share::FULL, "For it."),
        };
        let counted = counts(&[Measures::UNKNOWN, Measures::UNKNOWN], &[&case, &case], speaks);
        assert_eq!(counted, Counts { misses: 2, ..Counts::default() });
    }
}
