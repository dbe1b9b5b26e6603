//! The card to take home. For the customer: no points, no body mass, nothing of what has hurt.

use catalogue::measures::Measures;
use catalogue::rank::{Explanation, What};
use catalogue::rules::Rule;
use indexer::ranked::RankedList;
use indexer::snapshot::StyleCard;

use super::brief;
use super::compare::{differences, share, sizes_in_stock};
use super::unasked::{Reader, unasked};
use super::{Visit, pairs, shoe};
use crate::labels::NOT_ASKED;
use crate::pages::card::{CardPage, CardShoe};
use crate::parts::Link;
use crate::parts::sole_line::Scale;

/// Rules for the runner that tell nobody what was answered about body or pain.
const FOR_THE_CUSTOMER: [&str; 2] = ["comfort-last", "rotate-pairs"];

/// Where and when a card is printed.
pub struct Printed<'a> {
    /// The shop as it signs.
    pub shop: &'a str,
    /// The day in words.
    pub date: String,
    /// The server as the browser reached it: `http://localhost:7340`.
    pub origin: String,
}

/// The card. `list` is the order of this fitting, where one could be made.
pub fn page(visit: &Visit<'_>, list: Option<&RankedList>, printed: Printed<'_>) -> CardPage {
    let chosen = visit.fitting.chosen.as_ref().or(visit.fitting.shortlist.first());
    let cards = visit.fitting.shortlist.iter().filter_map(|key| visit.snapshot.style(key));
    let (taken, others): (Vec<_>, Vec<_>) = cards.partition(|card| Some(&card.style.key) == chosen);
    let taken = taken.first();
    CardPage {
        shop: printed.shop.to_owned(),
        date: printed.date,
        chosen: taken.map(|card| card_shoe(visit, list, card)),
        others: others.iter().map(|card| card_shoe(visit, list, card)).collect(),
        worn: brief::worn(visit).unwrap_or_else(|| NOT_ASKED.to_owned()),
        reasons: taken.zip(list).map_or_else(Vec::new, |(card, list)| reasons(list, &card.measures)),
        advice: list.map_or_else(Vec::new, advice),
        pain: brief::pain(&visit.fitting.runner),
        unasked: unasked(&visit.fitting.runner, Reader::Customer).into_iter().map(str::to_owned).collect(),
        compare: share(visit)
            .map(|link| Link::new("Compare again", format!("{}{}", printed.origin, link.href))),
        back: Link::new("Back to the order", visit.href("")),
    }
}

fn card_shoe(visit: &Visit<'_>, list: Option<&RankedList>, card: &StyleCard<'_>) -> CardShoe {
    let worn = visit.snapshot.worn(&visit.fitting.runner).map(|worn| worn.measures);
    let hit = list.and_then(|list| list.results.hits.iter().find(|hit| hit.row == card.row));
    let skus = hit.map_or_else(Vec::new, |hit| pairs::skus(visit.snapshot, hit));
    let sizes = sizes_in_stock(visit, card.style, &skus);
    CardShoe {
        name: shoe::name(card.style),
        size: if sizes.is_empty() { "not in stock".to_owned() } else { format!("in stock: {sizes}") },
        deltas: differences(card, list.map(|list| &list.ranker), worn.as_ref()),
        sole: shoe::sole(&card.measures, worn.as_ref(), Scale::Large),
    }
}

/// What speaks for the shoe by its measures alone: a rule would tell what was answered about body or pain.
fn reasons(list: &RankedList, shoe: &Measures) -> Vec<String> {
    let explained = list.ranker.explain(shoe);
    let lines = explained.lines.into_iter().filter(|line| matches!(line.what, What::Base | What::Measure(_)));
    let by_measures = Explanation { lines: lines.collect(), caution: false };
    by_measures.reasons().plus.map(|reason| reason.say).into_iter().collect()
}

fn advice(list: &RankedList) -> Vec<String> {
    let for_customer = |rule: &&&'static Rule| FOR_THE_CUSTOMER.contains(&rule.id);
    list.ranker.notes().iter().filter(for_customer).map(|rule| with_source(rule)).collect()
}

fn with_source(rule: &Rule) -> String {
    let sources: Vec<String> =
        rule.evidence.sources.iter().map(|source| format!("{} {}", source.authors, source.year)).collect();
    if sources.is_empty() { rule.says.to_owned() } else { format!("{} ({})", rule.says, sources.join("; ")) }
}
