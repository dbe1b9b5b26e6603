//! How the order of the sample's runners would move under another policy, over the stock of this shop.

use std::collections::{BTreeSet, HashMap};

use catalogue::key::StyleKey;
use catalogue::policy::HousePolicy;
use catalogue::rank::{Group, Ranker};
use catalogue::runner::Runner;
use indexer::ranked::RankedList;
use indexer::snapshot::Snapshot;

use crate::pages::policy::RunnerMoves;
use crate::request::runner::RunnerForm;
use crate::sample::RUNNERS;
use crate::visit::shoe;

/// As many names of an order are shown.
const TOP: usize = 5;

/// One line a runner of the sample.
pub(super) fn moves(snapshot: &Snapshot, then: &HousePolicy) -> Vec<RunnerMoves> {
    RUNNERS
        .iter()
        .filter_map(|(name, toml)| Some(runner_moves(name, &read(toml, snapshot)?, snapshot, then)))
        .collect()
}

/// A runner of the sample; where this shop does not know the pair worn now, it is known by feel.
fn read(toml: &str, snapshot: &Snapshot) -> Option<Runner> {
    let knows = |key: &StyleKey| snapshot.style(key).is_some();
    let of = |text: &str| RunnerForm::from_toml(text).ok()?.to_runner(&knows).ok();
    let by_feel =
        |line: &str| if line.starts_with("style = ") { "feel = \"like most\"" } else { line }.to_owned();
    of(toml).or_else(|| of(&toml.lines().map(by_feel).collect::<Vec<_>>().join("\n")))
}

fn runner_moves(name: &str, runner: &Runner, snapshot: &Snapshot, then: &HousePolicy) -> RunnerMoves {
    let says =
        |say: &str| RunnerMoves { runner: name.to_owned(), say: say.to_owned(), ..RunnerMoves::default() };
    let (Some(before), Some(after)) =
        (order(runner, snapshot, snapshot.policy()), order(runner, snapshot, then))
    else {
        return says(say!("stopped by a red flag, whatever the policy says"));
    };
    if before.keys.is_empty() {
        return says(say!("nothing in stock suits this runner's size and wishes"));
    }
    let places: HashMap<&StyleKey, usize> = before.keys.iter().zip(0..).collect();
    let by = |(place, key): (usize, &StyleKey)| places.get(key).map_or(0, |was| was.abs_diff(place));
    let moved: Vec<usize> = after.keys.iter().enumerate().map(by).filter(|by| *by > 0).collect();
    let say = match (moved.len(), moved.iter().max()) {
        (0, _) | (_, None) => say!("no shoe moves").to_owned(),
        (1, Some(most)) => say!("1 shoe moves, by {most}", most),
        (shoes, Some(most)) => {
            say!(
                "{shoes} of {keys} shoes move, by {most} places at most",
                shoes,
                keys = after.keys.len(),
                most
            )
        }
    };
    RunnerMoves {
        runner: name.to_owned(),
        say,
        comes: names(after.first.difference(&before.first), snapshot),
        goes: names(before.first.difference(&after.first), snapshot),
        before: names(before.keys.iter().take(TOP), snapshot),
        after: names(after.keys.iter().take(TOP), snapshot),
    }
}

struct Order {
    keys: Vec<StyleKey>,
    /// Those that are brought out first.
    first: BTreeSet<StyleKey>,
}

fn order(runner: &Runner, snapshot: &Snapshot, policy: &HousePolicy) -> Option<Order> {
    let ranker = Ranker::prepare(runner, snapshot.worn(runner).as_ref(), policy).ok()?;
    let list = snapshot.ranked_with(ranker, runner, &BTreeSet::new()).ok()?;
    let key = |hit: usize| Some(snapshot.card(list.results.hits.get(hit)?.row)?.style.key.clone());
    Some(Order { keys: (0..list.results.hits.len()).filter_map(key).collect(), first: first(&list, key) })
}

fn first(list: &RankedList, key: impl Fn(usize) -> Option<StyleKey>) -> BTreeSet<StyleKey> {
    let places = list.places.iter().enumerate();
    places.filter(|(_, place)| place.place == Group::First).filter_map(|(hit, _)| key(hit)).collect()
}

fn names<'k>(keys: impl Iterator<Item = &'k StyleKey>, snapshot: &Snapshot) -> Vec<String> {
    keys.filter_map(|key| snapshot.style(key)).map(|card| shoe::name(card.style)).collect()
}
