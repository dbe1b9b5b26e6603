//! The shoes on the foot: in which order, in which sizes, and what the customer's rank of comfort decides.

use std::collections::HashMap;

use catalogue::key::StyleKey;
use catalogue::measures::Measures;
use catalogue::rank::{Ranker, Tried, Turn, Verdict as Decided, by_comfort};
use catalogue::stock::{Quantity, Sku};
use indexer::snapshot::StyleCard;

use super::compare::differences;
use super::date::minute;
use super::meanwhile::made_from;
use super::order::Shown;
use super::{Visit, listed, shoe};
use crate::pages::on_foot::{OnFootPage, ShoeOnFoot, Verdict};
use crate::parts::Link;
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::parts::sole_line::Scale;
use crate::request::on_foot::typed;
use crate::shelf::{BoxState, Shelf};
use crate::visit::pairs::near;

/// The rule behind the order of trying and behind the choice.
const RULE: &str = "comfort-last";

/// What was posted and refused.
pub struct Refused {
    /// As it was typed.
    pub answers: Answers,
    /// What is wrong with it.
    pub problems: Vec<Problem>,
}

/// The page. `shown` is the order of this fitting.
pub fn page(visit: &Visit<'_>, shown: &Shown, shelf: &Shelf, refused: Option<Refused>) -> OnFootPage {
    let ranker = &shown.list.ranker;
    let cards = brought_out(visit, shown);
    let measures: Vec<Measures> = cards.iter().map(|card| card.measures).collect();
    let turns = ranker.turns(&measures);
    let in_turn: Vec<&StyleCard<'_>> = if turns.is_empty() {
        cards.iter().collect()
    } else {
        turns.iter().filter(|(_, turn)| *turn != Turn::Again).map(|(at, _)| &cards[*at]).collect()
    };
    let Refused { answers, problems } =
        refused.unwrap_or_else(|| Refused { answers: typed(&visit.fitting.tries), problems: Vec::new() });
    OnFootPage {
        action: visit.href("/on-foot"),
        made_from: made_from(&typed(&visit.fitting.tries)),
        turns: turns.iter().map(|(at, turn)| turn_in_words(&cards[*at], *turn, ranker)).collect(),
        rule: Link::new(say!("What that rests on"), format!("/rules#{RULE}")),
        shoes: in_turn.into_iter().map(|card| on_foot(visit, ranker, shelf, card)).collect(),
        answers,
        problems,
        verdict: verdict(visit, ranker, &cards),
        more: Link::new(say!("Bring out shoes"), visit.href("")),
    }
}

/// The shoes that were brought out: as they stand in the order, then those that do not.
fn brought_out<'s>(visit: &Visit<'s>, shown: &Shown) -> Vec<StyleCard<'s>> {
    let place: HashMap<&StyleKey, usize> = visit
        .fitting
        .shortlist
        .iter()
        .map(|key| (key, shown.place_of(key, visit.snapshot).unwrap_or(usize::MAX)))
        .collect();
    let mut cards: Vec<_> =
        visit.fitting.shortlist.iter().filter_map(|key| visit.snapshot.style(key)).collect();
    cards.sort_by_key(|card| place.get(&card.style.key).copied());
    cards
}

fn turn_in_words(card: &StyleCard<'_>, turn: Turn, ranker: &Ranker) -> String {
    let name = shoe::name(card.style);
    match turn {
        Turn::Nearest if ranker.case().worn.is_some() => say!("{name}: nearest to the pair worn now.", name),
        Turn::Nearest => say!("{name}: first in the order.", name),
        Turn::Contrast => say!("{name}: differs most from it.", name),
        Turn::Other => format!("{name}."),
        Turn::Again => say!("{name} once more, then rank.", name),
    }
}

fn on_foot(visit: &Visit<'_>, ranker: &Ranker, shelf: &Shelf, card: &StyleCard<'_>) -> ShoeOnFoot {
    let worn = visit.snapshot.worn(&visit.fitting.runner).map(|worn| worn.measures);
    let sizes = visit.fitting.runner.working_sizes();
    ShoeOnFoot {
        key: card.style.key.clone(),
        name: shoe::name(card.style),
        href: shoe::href(card.style),
        deltas: differences(card, Some(ranker), worn.as_ref()),
        sole: shoe::sole(&card.measures, worn.as_ref(), Scale::List),
        sizes: sizes_to_try(visit, card)
            .into_iter()
            .map(|sku| (sku.key().to_string(), box_in_words(sku)))
            .collect(),
        states: states(visit, shelf, card.skus.iter()),
        wanted: sizes.iter().map(ToString::to_string).collect(),
        is_chosen: visit.fitting.chosen.as_ref() == Some(&card.style.key),
    }
}

/// The sizes of a shoe that are there and near the working sizes, nearest first; all of them when no size was asked.
/// What is on the foot already is among them.
fn sizes_to_try<'s>(visit: &Visit<'s>, card: &StyleCard<'s>) -> Vec<&'s Sku> {
    let Visit { snapshot, fitting, .. } = visit;
    let feet = fitting.runner.working_feet();
    let tried = fitting.tries.get(&card.style.key);
    let is_on = |sku: &Sku| tried.is_some_and(|shoe| shoe.boxes().any(|key| *key == sku.key()));
    let is_there = |sku: &Sku| sku.quantity.is_some_and(|quantity| quantity != Quantity::Pairs(0));
    let apart = |sku: &Sku| {
        let near = feet.iter().filter_map(|foot| near(snapshot, card.style, sku, *foot)).min();
        near.or_else(|| feet.is_empty().then_some(0))
    };
    let mut sizes: Vec<(i32, &Sku)> = card
        .skus
        .iter()
        .filter_map(|sku| match apart(sku).filter(|_| is_there(sku)) {
            Some(apart) => Some((apart, sku)),
            None => is_on(sku).then_some((i32::MAX, sku)),
        })
        .collect();
    sizes.sort_by_key(|(apart, _)| *apart);
    sizes.into_iter().map(|(_, sku)| sku).collect()
}

/// `EU 42.5 D, Linen: 2 pairs, A5`.
fn box_in_words(sku: &Sku) -> String {
    let pairs = match sku.quantity {
        Some(Quantity::Pairs(1)) => say!(": 1 pair").to_owned(),
        Some(Quantity::Some) => say!(": in stock").to_owned(),
        Some(quantity) => say!(": {quantity} pairs", quantity),
        None => String::new(),
    };
    let place = sku.place.as_ref().map_or_else(String::new, |place| format!(", {place}"));
    format!("{}{pairs}{place}", size_in_words(sku))
}

/// `EU 42.5 D, Linen`.
pub fn size_in_words(sku: &Sku) -> String {
    let width = sku.width.as_ref().map_or_else(String::new, |width| format!(" {width}"));
    let colourway = if sku.colourway.is_empty() { String::new() } else { format!(", {}", sku.colourway) };
    format!("{}{width}{colourway}", sku.label)
}

/// What is true of these boxes for the moment, but for this fitting's own trying: `EU 42.5 D, Linen: out with Blue Heron`.
pub fn states<'s>(visit: &Visit<'_>, shelf: &Shelf, skus: impl Iterator<Item = &'s Sku>) -> Vec<String> {
    let say = |state: &BoxState| match state {
        BoxState::Out(id, _) if *id == visit.id => None,
        BoxState::Out(_, name) => Some(say!("out with {name}", name)),
        BoxState::Held(until) => Some(say!("held until {until}", until = minute(*until))),
        BoxState::NotOnShelf => Some(say!("not on the shelf").to_owned()),
    };
    let of = |sku: &Sku| {
        let states: Vec<String> = shelf.get(&sku.key()).iter().filter_map(say).collect();
        (!states.is_empty()).then(|| format!("{}: {}", size_in_words(sku), states.join(", ")))
    };
    skus.filter_map(of).collect()
}

fn verdict(visit: &Visit<'_>, ranker: &Ranker, cards: &[StyleCard<'_>]) -> Option<Verdict> {
    let tried: Vec<Tried> = cards
        .iter()
        .map(|card| Tried {
            score: ranker.score(&card.measures),
            rank: visit.fitting.tries.get(&card.style.key).and_then(|shoe| shoe.rank),
        })
        .collect();
    let name = |at: usize| shoe::name(cards[at].style);
    let names = |places: &[usize]| places.iter().map(|at| name(*at)).collect::<Vec<_>>();
    let choose = |at: usize| Some((say!("Choose {at}", at = name(at)), cards[at].style.key.to_string()));
    let (say, best) = match by_comfort(&tried) {
        Decided::Unranked => return None,
        Decided::Comfort { best, among } if among.len() == 1 => {
            (say!("{best} feels best, and of those ranked it suits best too.", best = name(best)), Some(best))
        }
        Decided::Comfort { best, among } => {
            let others: Vec<usize> = among.into_iter().filter(|at| *at != best).collect();
            (
                say!(
                    "{best} feels best. By the numbers it is a near equal of {others}, so comfort decides.",
                    best = name(best),
                    others = listed(&names(&others), say!("and"))
                ),
                Some(best),
            )
        }
        Decided::Alike(places) => (
            say!(
                "{places} feel alike and are near equals by the numbers: looks and price may decide.",
                places = listed(&names(&places), say!("and"))
            ),
            None,
        ),
        Decided::Apart { best, suits } => (
            say!(
                "{best} feels best, but lies clearly further from what is looked for than {suits}. It may be chosen all the same: then the change is another one, and so is the plan.",
                best = name(best),
                suits = name(suits)
            ),
            Some(best),
        ),
    };
    let is_chosen = |at: &usize| visit.fitting.chosen.as_ref() == Some(&cards[*at].style.key);
    let again = (!visit.fitting.tries.first_again).then(|| first(visit, ranker, cards)).flatten();
    let again = again.map(|name| say!("Put {name} on once more before choosing.", name));
    Some(Verdict { say, again, choose: best.filter(|at| !is_chosen(at)).and_then(choose) })
}

/// The shoe that was to be tried first.
fn first(visit: &Visit<'_>, ranker: &Ranker, cards: &[StyleCard<'_>]) -> Option<String> {
    let put_on = visit.fitting.tries.shoes.first().and_then(|shoe| visit.snapshot.style(&shoe.style));
    let measures: Vec<Measures> = cards.iter().map(|card| card.measures).collect();
    let proposed = ranker.turns(&measures).first().map(|(at, _)| shoe::name(cards[*at].style));
    put_on.map(|card| shoe::name(card.style)).or(proposed)
}
