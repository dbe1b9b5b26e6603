//! The card to take home. For the customer: no points, no body mass, nothing of what has hurt.

use catalogue::measures::Measures;
use catalogue::plan::{Plan, Week};
use catalogue::rank::{Explanation, What};
use catalogue::rules::Rule;
use indexer::planned::Planned;
use indexer::ranked::RankedList;
use indexer::snapshot::StyleCard;

use super::brief;
use super::compare::{differences, share, sizes_in_stock, stopped};
use super::date::day;
use super::unasked::{Reader, unasked};
use super::{Visit, capital, pairs, plan, shoe};
use crate::labels::NOT_ASKED;
use crate::pages::card::{CardPage, CardPlan, CardShoe};
use crate::parts::Link;
use crate::parts::sole_line::Scale;

/// Rules for the runner that tell nobody what was answered about body or pain.
const FOR_THE_CUSTOMER: [&str; 1] = ["rotate-pairs"];

/// Of what a plan says, that which has room on a card.
const FROM_THE_PLAN: [&str; 5] =
    ["plan-back-to-more", "plan-a-third", "moves-to-ankle", "moves-to-knee", "plan-more-than-numbers"];

/// Where and when a card is printed.
pub struct Printed<'a> {
    /// The shop as it signs.
    pub shop: &'a str,
    /// Now, seconds since 1970: the plan begins today.
    pub now: i64,
    /// The server as the browser reached it: `http://localhost:7340`.
    pub origin: String,
}

/// The card. `list` is the order of this fitting and `planned` the plan to its shoe, where they could be made.
pub fn page(
    visit: &Visit<'_>,
    list: Option<&RankedList>,
    planned: Option<&Planned>,
    printed: &Printed<'_>,
) -> CardPage {
    let chosen = plan::usual(visit);
    let cards = visit.fitting.shortlist.iter().filter_map(|key| visit.snapshot.style(key));
    let (taken, others): (Vec<_>, Vec<_>) = cards.partition(|card| Some(&card.style.key) == chosen);
    let taken = taken.first();
    CardPage {
        shop: printed.shop.to_owned(),
        date: day(printed.now),
        stopped: stopped(list),
        chosen: taken.map(|card| card_shoe(visit, list, card)),
        others: others.iter().map(|card| card_shoe(visit, list, card)).collect(),
        worn: brief::worn(visit).unwrap_or_else(|| NOT_ASKED.to_owned()),
        reasons: taken.zip(list).map_or_else(Vec::new, |(card, list)| reasons(list, &card.measures)),
        advice: list.map_or_else(Vec::new, advice),
        plan: taken.and(planned).map(|planned| card_plan(planned, printed.now)),
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
        size: match list {
            None => "size not looked up".to_owned(),
            Some(_) if sizes.is_empty() => "not in stock".to_owned(),
            Some(_) => format!("in stock: {sizes}"),
        },
        deltas: differences(card, list.map(|list| &list.ranker), worn.as_ref()),
        sole: shoe::sole(&card.measures, worn.as_ref(), Scale::Large),
    }
}

/// The plan without its reasons: some would tell what was answered about body or pain.
fn card_plan(planned: &Planned, now: i64) -> CardPlan {
    let found = &planned.plan;
    let slowly = (!found.slow.is_empty()).then(|| "Slowly: over twice the usual weeks.".to_owned());
    let said = [Some(capital(&plan::in_short(found))), slowly, plan::not_known(found)];
    let more = found.advice.schedule.iter().chain(&found.advice.strength).chain(&found.advice.moves);
    let on_the_card =
        more.filter(|claim| FROM_THE_PLAN.contains(&claim.id)).map(|claim| claim.says.to_owned());
    CardPlan {
        said: said.into_iter().flatten().chain(on_the_card).collect(),
        weeks: plan::on_a_card(found).into_iter().map(|of| week(of, found, now)).collect(),
        signs: found.advice.signs.iter().map(|claim| claim.says.to_owned()).collect(),
        reviews: found.reviews.iter().map(|week| plan::review(*week, now)).collect(),
    }
}

fn week(week: &Week, of: &Plan, now: i64) -> [String; 5] {
    let km = |km: Option<u16>| km.map_or_else(|| NOT_ASKED.to_owned(), |km| km.to_string());
    [
        week.week.to_string(),
        week.share.to_string(),
        km(week.km.map(|(new, _)| new)),
        km(week.km.map(|(_, old)| old)),
        if of.reviews.contains(&week.week) { plan::day_after(week.week, now) } else { String::new() },
    ]
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
