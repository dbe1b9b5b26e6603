//! The plan for going from the pair worn now to a chosen style, and the stepping shoes in stock on the way. Command
//! line and pages both ask here, so that they cannot differ.

use catalogue::flags::Stopped;
use catalogue::key::StyleKey;
use catalogue::measures::{Landing, Measures};
use catalogue::plan::Plan;
use catalogue::plan::stepping::{Gap, Limits, Point, Way, way};
use catalogue::rank::Ranker;
use catalogue::runner::Runner;
use catalogue::similar::Kind;

use crate::search::Search;
use crate::snapshot::{Snapshot, StyleCard};
use crate::words::WordsError;

/// A plan and the way there.
pub struct Planned {
    /// The prepared runner.
    pub ranker: Ranker,
    /// The plan for the change to the chosen style at once.
    pub plan: Plan,
    /// The way there in smaller steps.
    pub stepping: Stepping,
}

/// The way to the chosen style through styles in stock.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stepping {
    /// These one after the other; the chosen style is the last of them.
    Steps(Vec<StyleKey>),
    /// No style in stock bridges this gap.
    Blocked(Gap),
    /// Drop or landing stack is not known of both shoes: no step can be measured.
    Unmeasured,
}

/// Why there is no plan.
#[derive(Debug)]
pub enum NoPlan {
    /// A red flag: an answer, not an error.
    Stopped(Stopped),
    /// The catalogue holds no such style.
    NoSuchStyle,
    /// The words could not be looked up.
    Words(WordsError),
}

impl Snapshot {
    /// The plan of a runner for the style `to`, which may be out of stock.
    pub fn planned(&self, runner: &Runner, to: &StyleKey) -> Result<Planned, NoPlan> {
        let ranker = self.ranker(runner).map_err(NoPlan::Stopped)?;
        let wish = self.style(to).ok_or(NoPlan::NoSuchStyle)?;
        let plan = ranker.plan(&wish.measures);
        let stepping = self.stepping(runner, &ranker, &wish).map_err(NoPlan::Words)?;
        Ok(Planned { ranker, plan, stepping })
    }

    fn stepping(
        &self,
        runner: &Runner,
        ranker: &Ranker,
        wish: &StyleCard<'_>,
    ) -> Result<Stepping, WordsError> {
        let landing = ranker.landing();
        let worn = ranker.case().worn.and_then(|worn| point(&worn.measures, landing));
        let Some((from, to)) = worn.zip(point(&wish.measures, landing)) else {
            return Ok(Stepping::Unmeasured);
        };
        let between = self.between(runner, ranker, wish)?;
        let points: Vec<Point> = between.iter().map(|(_, point)| *point).collect();
        let (drop, stack) = ranker.case().policy.largest_step;
        Ok(match way(from, to, &points, Limits { drop, landing: stack }) {
            Way::Blocked(gap) => Stepping::Blocked(gap),
            Way::Through(places) => {
                let through = places.into_iter().filter_map(|place| between.get(place));
                let keys = through.map(|(key, _)| (*key).clone());
                Stepping::Steps(keys.chain([wish.style.key.clone()]).collect())
            }
        })
    }

    /// The styles that may lie on the way, best suited first: in stock in the working sizes, of the surface, audience
    /// and purpose of the wish, and no injury rule speaks against them.
    fn between<'s>(
        &'s self,
        runner: &Runner,
        ranker: &Ranker,
        wish: &StyleCard<'_>,
    ) -> Result<Vec<(&'s StyleKey, Point)>, WordsError> {
        let found = self.search(&Search::for_runner(runner), Some(ranker))?;
        let cards = found.hits.iter().filter_map(|hit| self.card(hit.row));
        let may_be_worn = |card: &StyleCard<'_>| {
            Kind::of(card.style).serves_the_same(Kind::of(wish.style))
                && !ranker.explain(&card.measures).caution
        };
        let measured =
            |card: StyleCard<'s>| Some((&card.style.key, point(&card.measures, ranker.landing())?));
        Ok(cards.filter(may_be_worn).filter_map(measured).collect())
    }
}

fn point(measures: &Measures, landing: Landing) -> Option<Point> {
    let drop = measures.drop()?.in_tenths();
    Some(Point { drop, landing: measures.landing_stack(landing)?.in_tenths() })
}
