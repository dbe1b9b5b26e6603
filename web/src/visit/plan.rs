//! The plan for the change in words: what kind, why, what is open, the weeks, the shoes on the way.

use catalogue::evidence::Claim;
use catalogue::key::StyleKey;
use catalogue::measures::Measures;
use catalogue::plan::stepping::Gap;
use catalogue::plan::{Kind, Plan, Week, Why};
use catalogue::slow::SlowSign;
use indexer::planned::{Planned, Stepping};
use indexer::snapshot::StyleCard;

use super::date::{day, short_day};
use super::rows::compared_mass;
use super::{Visit, brief, capital, deltas, listed, shoe};
use crate::labels::NOT_ASKED;
use crate::pages::plan::{OnTheWay, Part, PlanPage, PlannedShoe, Said, WeekRow};
use crate::parts::Link;
use crate::parts::sole_line::{Scale, SoleLine};
use crate::words;

/// Seconds in a week.
const WEEK: i64 = 7 * 24 * 3600;
/// What the plan of a page says of the one sign that must not be read by others.
const FOR_THE_FITTER: &str = word!("an answer for the fitter only");

/// The plan in one sentence.
pub fn in_short(plan: &Plan) -> String {
    match (plan.needed, plan.kind) {
        (None, Kind::LargeStep) => {
            say!("at least six weeks; an unknown measure decides whether it takes 26.").to_owned()
        }
        (None, _) => say!("an unknown measure decides whether a plan is needed.").to_owned(),
        (_, Kind::Minimal) => say!("{weeks} weeks, to a minimal-type shoe.", weeks = plan.weeks.len()),
        (_, Kind::LargeStep) => say!("{weeks} weeks, for a large step.", weeks = plan.weeks.len()),
        (_, Kind::Rotate) => say!("both pairs in turn, without a schedule.").to_owned(),
        (_, Kind::None) => say!("a small change; no plan is needed.").to_owned(),
    }
}

/// What would have to be measured first, or that the worn pair is a guess.
pub fn not_known(plan: &Plan) -> Option<String> {
    if plan.worn_is_unknown {
        return Some(
            say!("The pair worn now is unknown: measure it at the bench, or choose it in the catalogue, and the plan is here.")
                .to_owned(),
        );
    }
    if plan.worn_is_guessed {
        return Some(say!("The pair worn now is known by feel only, so this plan is a guess.").to_owned());
    }
    let unknown: Vec<&str> = plan.unknown.iter().map(|measure| words::of(measure.word())).collect();
    let say = || {
        say!(
            "Not known of both shoes: {unknown}. Measure it, and the plan is here; until then run in both pairs in turn.",
            unknown = listed(&unknown, say!("and"))
        )
    };
    (!unknown.is_empty()).then(say)
}

/// That the plan takes twice the weeks, and for which signs; `word` names a sign for whoever reads it.
pub fn slowly(plan: &Plan, word: impl Fn(SlowSign) -> &'static str) -> Option<String> {
    let signs: Vec<&str> = plan.slow.iter().map(|sign| word(*sign)).collect();
    (!signs.is_empty())
        .then(|| say!("Slowly, over twice the weeks: {signs}.", signs = listed(&signs, say!("and"))))
}

/// The signs as they may be read on a screen that a customer sees.
fn discreet(sign: SlowSign) -> &'static str {
    match sign {
        SlowSign::BodyMass => words::of(FOR_THE_FITTER),
        other => words::of(other.word()),
    }
}

/// How the stepping shoes stand, in one sentence.
pub fn stepping_in_words(planned: &Planned) -> String {
    let (drop, stack) = planned.ranker.case().policy.largest_step;
    let largest = say!(
        "{drop} mm of drop and {stack} mm of landing stack",
        drop = shoe::plain(drop),
        stack = shoe::plain(stack)
    );
    match &planned.stepping {
        Stepping::Steps(keys) if keys.len() == 1 => {
            say!("No stepping shoe is needed: it is one step, within {largest}.", largest)
        }
        Stepping::Steps(keys) => {
            say!(
                "In {keys} steps through shoes in stock, none larger than {largest}.",
                keys = keys.len(),
                largest
            )
        }
        Stepping::Blocked(gap) => say!(
            "No way in steps through the stock in this size: nothing bridges {gap} (steps of at most {largest}).",
            gap = bridged(*gap),
            largest
        ),
        Stepping::Unmeasured => {
            say!("No step can be measured: drop or landing stack is not known of both shoes.").to_owned()
        }
    }
}

/// The page for the shoe `to`; `now` is the day the plan begins, seconds since 1970.
pub fn page(visit: &Visit<'_>, planned: &Planned, to: &StyleCard<'_>, now: i64) -> PlanPage {
    let plan = &planned.plan;
    let worn = planned.ranker.case().worn.map(|worn| worn.measures);
    PlanPage {
        from: brief::worn(visit).unwrap_or_else(|| words::of(NOT_ASKED).to_owned()),
        shoe: Some(PlannedShoe {
            link: shoe::link(to.style),
            deltas: deltas::in_words(
                &to.measures,
                compared_mass(&planned.ranker.explain(&to.measures), &to.measures),
                worn.as_ref(),
                planned.ranker.landing(),
            ),
            sole: shoe::sole(&to.measures, worn.as_ref(), Scale::Large),
        }),
        others: others(visit, Some(&to.style.key)),
        short: capital(&in_short(plan)),
        why: why(plan),
        announcements: announcements(visit, plan),
        weeks: plan.weeks.iter().map(|week| week_row(plan, week, now)).collect(),
        weekly_km: visit.fitting.runner.weekly_km,
        stepping: stepping_in_words(planned),
        steps: steps(visit, planned, worn.as_ref()),
        reviews: plan.reviews.iter().map(|week| review(*week, now)).collect(),
        parts: parts(plan),
        runner: Link::new(say!("Change an answer"), format!("{}?open=stage#stage", visit.href("/runner"))),
    }
}

/// The page of a fitting in which no shoe has been brought out yet.
pub fn without_a_shoe(visit: &Visit<'_>) -> PlanPage {
    PlanPage {
        from: brief::worn(visit).unwrap_or_else(|| words::of(NOT_ASKED).to_owned()),
        shoe: None,
        others: others(visit, None),
        short: String::new(),
        why: String::new(),
        announcements: Vec::new(),
        weeks: Vec::new(),
        weekly_km: None,
        stepping: String::new(),
        steps: Vec::new(),
        reviews: Vec::new(),
        parts: Vec::new(),
        runner: Link::new(say!("To the stock in order"), visit.href("")),
    }
}

/// The plans of the other shoes that were brought out.
fn others(visit: &Visit<'_>, shown: Option<&StyleKey>) -> Vec<Link> {
    let brought_out = visit.fitting.shortlist.iter().filter(|key| Some(*key) != shown);
    let cards = brought_out.filter_map(|key| visit.snapshot.style(key));
    cards
        .map(|card| {
            Link::new(shoe::name(card.style), format!("{}?to={}", visit.href("/plan"), card.style.key))
        })
        .collect()
}

/// `drop from 8 to 4 mm`.
fn bridged(gap: Gap) -> String {
    let (from, to) = (shoe::plain(gap.from), shoe::plain(gap.to));
    say!("{measure} from {from} to {to} mm", measure = words::of(gap.measure.word()), from, to)
}

fn reason(why: Why) -> String {
    match why {
        Why::MinimalType => say!("a minimal-type shoe, clearly more so than the pair worn now").to_owned(),
        Why::Lower(measure, by) => {
            say!("{by} mm less {measure}", by = shoe::plain(by), measure = words::of(measure.word()))
        }
        Why::Higher(measure, by) => {
            say!("{by} mm more {measure}", by = shoe::plain(by), measure = words::of(measure.word()))
        }
        Why::HeadingMore => say!("back to more shoe is wished").to_owned(),
    }
}

fn why(plan: &Plan) -> String {
    let why: Vec<String> = plan.why.iter().map(|why| reason(*why)).collect();
    if why.is_empty() { String::new() } else { format!("{}.", capital(&listed(&why, say!("and")))) }
}

fn announcements(visit: &Visit<'_>, plan: &Plan) -> Vec<(String, Option<Link>)> {
    let to = |open: &str| format!("{}?open={open}#{open}", visit.href("/runner"));
    let distance = visit.fitting.runner.weekly_km.is_none() && !plan.weeks.is_empty();
    let said = [
        not_known(plan).map(|say| (say, Some(Link::new(say!("The pair worn now"), to("worn"))))),
        slowly(plan, discreet).map(|say| (say, None)),
        plan.lacks_old_pair.then(|| {
            let say = say!("The old pair is finished, and this plan needs one beside the new pair: take a smaller step, or a second pair near the old one.");
            (say.to_owned(), Some(Link::new(say!("To the stock in order"), visit.href(""))))
        }),
        distance.then(|| {
            let say = say!("The weekly distance was not asked, so the plan has shares and no kilometres.");
            (say.to_owned(), Some(Link::new(say!("Ask it"), to("running"))))
        }),
    ];
    said.into_iter().flatten().collect()
}

fn week_row(plan: &Plan, week: &Week, now: i64) -> WeekRow {
    let km = |of: fn((u16, u16)) -> u16| {
        week.km.map_or_else(|| words::of(NOT_ASKED).to_owned(), |km| of(km).to_string())
    };
    WeekRow {
        week: week.week,
        from: day(now + i64::from(week.week - 1) * WEEK),
        share: week.share.to_string(),
        new: km(|(new, _)| new),
        old: km(|(_, old)| old),
        review: plan.reviews.contains(&week.week),
    }
}

/// `after week 2: 10 December 2026`.
pub fn review(week: u16, now: i64) -> String {
    say!("after week {week}: {now}", week, now = day_after(week, now))
}

/// The day on which a week is over.
fn day_after(week: u16, now: i64) -> String {
    day(now + i64::from(week) * WEEK)
}

/// The same where there is little room.
pub fn short_day_after(week: u16, now: i64) -> String {
    short_day(now + i64::from(week) * WEEK)
}

/// Each shoe on the way beside the one before it.
fn steps(visit: &Visit<'_>, planned: &Planned, worn: Option<&Measures>) -> Vec<OnTheWay> {
    let Stepping::Steps(keys) = &planned.stepping else { return Vec::new() };
    if keys.len() < 2 {
        return Vec::new();
    }
    let cards: Vec<StyleCard<'_>> = keys.iter().filter_map(|key| visit.snapshot.style(key)).collect();
    let before = worn.copied().into_iter().chain(cards.iter().map(|card| card.measures));
    cards.iter().zip(before).map(|(card, before)| on_the_way(planned, card, &before)).collect()
}

fn on_the_way(planned: &Planned, card: &StyleCard<'_>, before: &Measures) -> OnTheWay {
    let mass = card.measures.mass().map(|mass| mass.in_tenths());
    OnTheWay {
        shoe: shoe::link(card.style),
        measures: shoe::measures_in_words(&card.measures),
        step: deltas::in_words(&card.measures, mass, Some(before), planned.ranker.landing()),
        sole: SoleLine {
            shoe: shoe::profile(&card.measures),
            worn: Some(shoe::profile(before)),
            scale: Scale::List,
        },
    }
}

fn parts(plan: &Plan) -> Vec<Part> {
    let advice = &plan.advice;
    let parts = [
        (say!("When to stop, step back or hold"), &advice.signs),
        (say!("Strength work"), &advice.strength),
        (say!("What moves where"), &advice.moves),
        (say!("The two pairs"), &advice.pairs),
        (say!("What the plan rests on"), &advice.schedule),
    ];
    let said = |(heading, claims): (&'static str, &Vec<&'static Claim>)| Part {
        heading,
        said: claims.iter().map(|claim| said(claim)).collect(),
    };
    parts.into_iter().filter(|(_, claims)| !claims.is_empty()).map(said).collect()
}

fn said(claim: &Claim) -> Said {
    Said {
        say: words::of(claim.says).to_owned(),
        basis: Link::new(basis(claim), format!("/rules#{}", claim.id)),
    }
}

/// `limited; studied: 61 trained men`, or that it is the house's view.
pub fn basis(claim: &Claim) -> String {
    if claim.is_house_view() {
        return say!("our house's view").to_owned();
    }
    say!(
        "{grade}; studied: {studied}",
        grade = words::of(claim.evidence.grade.word()),
        studied = words::of(claim.evidence.studied).trim_end_matches('.')
    )
}

/// The shoe a plan is for when none is named: the chosen one, else the first that was brought out.
pub fn usual<'v>(visit: &'v Visit<'_>) -> Option<&'v StyleKey> {
    visit.fitting.chosen.as_ref().or(visit.fitting.shortlist.first())
}

/// Rows of the plan for a small card: the first six weeks and the weeks of a review.
pub fn on_a_card(plan: &Plan) -> Vec<&Week> {
    let kept = |week: &&Week| week.week <= 6 || plan.reviews.contains(&week.week);
    plan.weeks.iter().filter(kept).collect()
}
