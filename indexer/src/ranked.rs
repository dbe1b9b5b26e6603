//! The stock in order for one runner: the filters that follow from the runner, the order, the groups, and what each
//! filter hides. Command line and pages both ask here, so that they cannot differ.

use std::collections::BTreeSet;

use catalogue::flags::Stopped;
use catalogue::injury::Answer;
use catalogue::measures::Worn;
use catalogue::rank::{Group as Place, NotFirst, Placed, Ranker};
use catalogue::runner::{Now, Runner};
use catalogue::style::{Audience, Purpose};

use crate::search::{Choice, Counts, Hit, Range, Results, Search};
use crate::snapshot::{Group, NOT_GIVEN, Snapshot};
use crate::words::WordsError;

/// The stock in order.
pub struct RankedList {
    /// The prepared runner, for explanations of any shoe.
    pub ranker: Ranker,
    /// What was asked of the stock.
    pub search: Search,
    /// Hits in order, facets, and what each filter alone hides.
    pub results: Results,
    /// One a hit: where it stands.
    pub places: Vec<Standing>,
    /// Hits near the top that may not be brought out first, with the reason.
    pub kept_back: Vec<(usize, NotFirst)>,
}

/// Where a hit stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The group of the list.
    pub place: Place,
    /// It is the style worn now.
    pub worn: bool,
}

/// Why there is no order.
#[derive(Debug)]
pub enum NoOrder {
    /// A red flag: an answer, not an error.
    Stopped(Stopped),
    /// The words could not be looked up.
    Words(WordsError),
}

impl Search {
    /// The filters that follow from a runner: sizes in stock, and what was said of audience, surface, purpose, width,
    /// budget, plate and rocker. Unisex serves women and men; long runs and walks are served by daily shoes too; a
    /// shoe that does not say is kept.
    pub fn for_runner(runner: &Runner) -> Self {
        let mut search = Self { feet: runner.working_feet(), counts: Counts::None, ..Self::default() };
        let mut choose = |group: Group, choice: Option<Choice>| {
            search.choices.extend(choice.map(|choice| (group, choice.admitting(&[NOT_GIVEN]))));
        };
        choose(Group::Audience, runner.audience.map(audience));
        choose(Group::Surface, runner.surface.map(|surface| Choice::of(&[surface.word()])));
        choose(Group::Purpose, runner.purpose.map(purpose));
        choose(Group::Plate, asked(runner.asked_for.plate));
        choose(Group::Rocker, asked(runner.asked_for.rocker));
        if let Some(width) = &runner.sizes.width {
            search.choices.insert(Group::Width, Choice::of(&[width]).admitting(&[NOT_GIVEN]));
        }
        search.choices.insert(Group::Stock, Choice::of(&["yes"]));
        if let Some(budget) = runner.budget {
            let range = Range { from: None, to: Some(budget.0.into()), keep_unknown: true };
            search.ranges.insert(Group::Price, range);
        }
        search
    }

    /// Takes a filter off.
    pub fn without(mut self, group: Group) -> Self {
        self.choices.remove(&group);
        self.ranges.remove(&group);
        if group == Group::Size {
            self.feet.clear();
        }
        self
    }
}

fn audience(audience: Audience) -> Choice {
    let choice = Choice::of(&[audience.word()]);
    match audience {
        Audience::Women | Audience::Men => choice.admitting(&[Audience::Unisex.word()]),
        Audience::Unisex | Audience::Youth => choice,
    }
}

fn purpose(purpose: Purpose) -> Choice {
    let others: Vec<_> = purpose.served_by().iter().filter(|p| *p != purpose).map(|p| p.word()).collect();
    Choice::of(&[purpose.word()]).admitting(&others)
}

fn asked(answer: Answer) -> Option<Choice> {
    answer.known().map(|yes| Choice::of(&[if yes { "yes" } else { "no" }]))
}

impl Snapshot {
    /// The shoe worn now as far as the catalogue knows it; retired styles included.
    pub fn worn(&self, runner: &Runner) -> Option<Worn> {
        match &runner.now.shoe {
            Now::Style(key) => {
                let card = self.style(key)?;
                Some(Worn { measures: card.measures, purposes: card.style.purposes })
            }
            Now::Measured(worn) => Some(*worn),
            Now::NotAsked | Now::Feels(_) => None,
        }
    }

    /// The ranker of a runner, or what stops it.
    pub fn ranker(&self, runner: &Runner) -> Result<Ranker, Stopped> {
        Ranker::prepare(runner, self.worn(runner).as_ref(), self.policy())
    }

    /// The stock in order for a runner, the `removed` filters taken off.
    pub fn ranked(&self, runner: &Runner, removed: &BTreeSet<Group>) -> Result<RankedList, NoOrder> {
        let ranker = self.ranker(runner).map_err(NoOrder::Stopped)?;
        self.ranked_with(ranker, runner, removed)
    }

    /// The stock in order by a ranker of this runner, such as one under another policy.
    pub fn ranked_with(
        &self,
        ranker: Ranker,
        runner: &Runner,
        removed: &BTreeSet<Group>,
    ) -> Result<RankedList, NoOrder> {
        let search = removed.iter().fold(Search::for_runner(runner), |search, group| search.without(*group));
        let results = self.search(&search, Some(&ranker)).map_err(NoOrder::Words)?;
        let placed: Vec<Placed> = results.hits.iter().filter_map(|hit| self.placed(hit, runner)).collect();
        let grouping = ranker.group(&placed);
        let places = grouping.groups.iter().zip(&placed);
        let places = places.map(|(place, shoe)| Standing { place: *place, worn: shoe.worn }).collect();
        Ok(RankedList { ranker, search, results, places, kept_back: grouping.kept_back })
    }

    fn placed(&self, hit: &Hit, runner: &Runner) -> Option<Placed> {
        let card = self.card(hit.row)?;
        let worn = matches!(&runner.now.shoe, Now::Style(key) if *key == card.style.key);
        Some(Placed { measures: card.measures, score: hit.score?, worn })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::stock::Price;
    use catalogue::style::Surface;

    #[test]
    fn a_runner_of_whom_nothing_was_asked_is_shown_whatever_is_in_stock() {
        let search = Search::for_runner(&Runner::default());
        assert_eq!(search.choices.keys().copied().collect::<Vec<_>>(), [Group::Stock]);
        assert!(search.feet.is_empty() && search.ranges.is_empty());
    }

    #[test]
    fn what_was_said_becomes_filters_that_keep_shoes_which_do_not_say() {
        let runner = Runner {
            audience: Some(Audience::Men),
            surface: Some(Surface::Road),
            purpose: Some(Purpose::Long),
            budget: Some(Price(15_000)),
            ..Runner::default()
        };
        let search = Search::for_runner(&runner);
        let admitted = |group| search.choices[&group].admitted.clone();
        assert_eq!(admitted(Group::Audience), ["unisex", NOT_GIVEN]);
        assert_eq!(admitted(Group::Purpose), ["daily", NOT_GIVEN]);
        assert_eq!(admitted(Group::Surface), [NOT_GIVEN]);
        assert!(search.ranges[&Group::Price].keep_unknown);
        assert!(!search.without(Group::Surface).choices.contains_key(&Group::Surface));
    }
}
