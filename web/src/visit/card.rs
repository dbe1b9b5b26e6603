//! The card to take home. For the customer: no points, no body mass, nothing of what has hurt.

use std::collections::BTreeSet;

use catalogue::evidence::Source;
use catalogue::key::{SkuKey, StyleKey};
use catalogue::measures::Measures;
use catalogue::plan::{Plan, Week};
use catalogue::rank::{Explanation, What};
use catalogue::rules::Rule;
use indexer::planned::Planned;
use indexer::ranked::RankedList;
use indexer::snapshot::StyleCard;

use super::card_paper::{bar, compared, on_a6};
use super::compare::{differences, sizes_in_stock, stopped};
use super::date::day;
use super::unasked::{Reader, unasked};
use super::{Visit, capital, pairs, plan, shoe};
use super::{brief, reasons};
use crate::browse::evidence::authors;
use crate::labels::NOT_ASKED;
use crate::pages::card::{CardPage, CardPlan, CardShoe, Paper};
use crate::parts::sole_line::Scale;
use crate::tries::Try;
use crate::words;

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
    /// The sheet.
    pub paper: Paper,
}

/// The shoe a card is about: the chosen one, else the customer's first.
pub fn first<'v>(visit: &'v Visit<'_>) -> Option<&'v StyleKey> {
    visit.fitting.chosen.as_ref().or_else(|| in_their_order(visit).first().copied())
}

/// What was brought out: as the customer ranks it, then as it was brought out.
fn in_their_order<'v>(visit: &'v Visit<'_>) -> Vec<&'v StyleKey> {
    let mut keys: Vec<&StyleKey> = visit.fitting.shortlist.iter().collect();
    let rank = |key: &StyleKey| visit.fitting.tries.get(key).and_then(|tried| tried.rank);
    keys.sort_by_key(|key| rank(key).unwrap_or(u8::MAX));
    keys
}

/// The card. `list` is the order of this fitting and `planned` the plan to its shoe, where they could be made.
pub fn page(
    visit: &Visit<'_>,
    list: Option<&RankedList>,
    planned: Option<&Planned>,
    printed: &Printed<'_>,
) -> CardPage {
    let about = first(visit);
    let cards = in_their_order(visit).into_iter().filter_map(|key| visit.snapshot.style(key));
    let (taken, others): (Vec<_>, Vec<_>) = cards.partition(|card| Some(&card.style.key) == about);
    let taken = taken.first();
    let in_turn: Vec<&StyleKey> = taken.into_iter().chain(&others).map(|card| &card.style.key).collect();
    let planned = taken.and(planned);
    let page = CardPage {
        paper: printed.paper,
        shop: printed.shop.to_owned(),
        date: day(printed.now),
        stopped: stopped(list),
        sold: visit.fitting.chosen.is_some(),
        chosen: taken.map(|card| card_shoe(visit, list, card)),
        others: others.iter().map(|card| card_shoe(visit, list, card)).collect(),
        worn: brief::worn(visit).unwrap_or_else(|| words::of(NOT_ASKED).to_owned()),
        reasons: taken.zip(list).map_or_else(Vec::new, |(card, list)| reasons(list, &card.measures)),
        advice: list.map_or_else(Vec::new, advice),
        plan: planned.map(|planned| card_plan(planned, printed.now)),
        hurt: hurt(visit),
        unasked: unasked(&visit.fitting.runner, Reader::Customer)
            .into_iter()
            .map(|name| words::of(name).to_owned())
            .collect(),
        sources: planned.map_or_else(Vec::new, |planned| sources(planned, printed.paper)),
        left_out: None,
        compare: compared(&in_turn, &printed.origin),
        bar: bar(visit, printed.paper, &printed.origin),
    };
    match printed.paper {
        Paper::A4 => page,
        Paper::A6 => on_a6(page),
    }
}

/// What was answered about pain and injuries, where the fitter has ticked that it is printed.
fn hurt(visit: &Visit<'_>) -> Vec<String> {
    let runner = &visit.fitting.runner;
    if !visit.fitting.prints_hurt {
        return Vec::new();
    }
    let said = |name: &str, says: Option<String>| {
        format!("{name}: {}", says.unwrap_or_else(|| words::of(NOT_ASKED).to_owned()))
    };
    vec![said(say!("Pain"), brief::pain(runner)), said(say!("Injuries"), brief::history(runner))]
}

fn card_shoe(visit: &Visit<'_>, list: Option<&RankedList>, card: &StyleCard<'_>) -> CardShoe {
    let worn = visit.snapshot.worn(&visit.fitting.runner).map(|worn| worn.measures);
    let hit = list.and_then(|list| list.results.hits.iter().find(|hit| hit.row == card.row));
    let skus = hit.map_or_else(Vec::new, |hit| pairs::skus(visit.snapshot, hit));
    let sizes = sizes_in_stock(visit, card.style, &skus);
    let tried = visit.fitting.tries.get(&card.style.key).and_then(|tried| on_the_foot(tried, card));
    let at = [pairs::price(visit.snapshot, &skus), pairs::place(&skus)];
    CardShoe {
        name: shoe::name(card.style),
        size: match (tried, list) {
            (Some(tried), _) => tried,
            (None, None) => say!("size not looked up").to_owned(),
            (None, Some(_)) if sizes.is_empty() => say!("not in stock").to_owned(),
            (None, Some(_)) => say!("in stock: {sizes}", sizes),
        },
        at: at.into_iter().flatten().collect::<Vec<_>>().join(" · "),
        deltas: differences(card, list.map(|list| &list.ranker), worn.as_ref()),
        sole: shoe::sole(&card.measures, worn.as_ref(), Scale::Large),
    }
}

/// `EU 42.5 on both feet`, `EU 42.5 left, EU 43 right`, each with the customer's rank.
fn on_the_foot(tried: &Try, card: &StyleCard<'_>) -> Option<String> {
    let label = |key: &Option<SkuKey>| {
        let sku = card.skus.iter().find(|sku| Some(sku.key()) == *key)?;
        Some(sku.label.to_string())
    };
    let sizes = match (label(&tried.left), label(&tried.right)) {
        (None, None) => None,
        (Some(left), Some(right)) if left == right => Some(say!("{left} on both feet", left)),
        (Some(left), Some(right)) => Some(say!("{left} left, {right} right", left, right)),
        (Some(left), None) => Some(say!("{left} left", left)),
        (None, Some(right)) => Some(say!("{right} right", right)),
    };
    let rank = tried.rank.map(|rank| say!("your rank {rank}", rank));
    let said: Vec<String> = sizes.into_iter().chain(rank).collect();
    // A rank alone is no size.
    (tried.left.is_some() || tried.right.is_some()).then(|| said.join(", "))
}

/// Whom the sentences of the plan rest on, each paper once; A6 holds the signs alone.
fn sources(planned: &Planned, paper: Paper) -> Vec<String> {
    let advice = &planned.plan.advice;
    let on_the_card = advice.schedule.iter().chain(&advice.strength).chain(&advice.moves);
    let on_the_card = on_the_card.filter(|claim| paper == Paper::A4 && FROM_THE_PLAN.contains(&claim.id));
    let named: BTreeSet<String> = on_the_card
        .chain(&advice.signs)
        .flat_map(|claim| claim.evidence.sources)
        .map(|source| short(source))
        .collect();
    named.into_iter().collect()
}

fn short(source: &Source) -> String {
    format!("{} {}", authors(source), source.year)
}

/// The plan without its reasons: some would tell what was answered about body or pain.
fn card_plan(planned: &Planned, now: i64) -> CardPlan {
    let found = &planned.plan;
    let slowly = (!found.slow.is_empty()).then(|| say!("Slowly: over twice the usual weeks.").to_owned());
    let said = [Some(capital(&plan::in_short(found))), slowly, plan::not_known(found)];
    let more = found.advice.schedule.iter().chain(&found.advice.strength).chain(&found.advice.moves);
    let on_the_card =
        more.filter(|claim| FROM_THE_PLAN.contains(&claim.id)).map(|claim| words::of(claim.says).to_owned());
    CardPlan {
        said: said.into_iter().flatten().chain(on_the_card).collect(),
        weeks: plan::on_a_card(found).into_iter().map(|of| week(of, found, now)).collect(),
        signs: found.advice.signs.iter().map(|claim| words::of(claim.says).to_owned()).collect(),
        reviews: found.reviews.iter().map(|week| plan::review(*week, now)).collect(),
    }
}

fn week(week: &Week, of: &Plan, now: i64) -> [String; 5] {
    let km = |km: Option<u16>| km.map_or_else(|| words::of(NOT_ASKED).to_owned(), |km| km.to_string());
    [
        week.week.to_string(),
        week.share.to_string(),
        km(week.km.map(|(new, _)| new)),
        km(week.km.map(|(_, old)| old)),
        if of.reviews.contains(&week.week) { plan::short_day_after(week.week, now) } else { String::new() },
    ]
}

/// What speaks for the shoe by its measures alone: a rule would tell what was answered about body or pain.
fn reasons(list: &RankedList, shoe: &Measures) -> Vec<String> {
    let explained = list.ranker.explain(shoe);
    let lines = explained.lines.into_iter().filter(|line| matches!(line.what, What::Base | What::Measure(_)));
    let by_measures = Explanation { lines: lines.collect(), caution: false };
    by_measures.reasons().plus.map(|reason| reasons::in_words(&reason)).into_iter().collect()
}

fn advice(list: &RankedList) -> Vec<String> {
    let for_customer = |rule: &&&'static Rule| FOR_THE_CUSTOMER.contains(&rule.id);
    list.ranker.notes().iter().filter(for_customer).map(|rule| with_source(rule)).collect()
}

fn with_source(rule: &Rule) -> String {
    let sources: Vec<String> = rule.evidence.sources.iter().map(|source| short(source)).collect();
    if sources.is_empty() {
        words::of(rule.says).to_owned()
    } else {
        format!("{} ({})", words::of(rule.says), sources.join("; "))
    }
}
