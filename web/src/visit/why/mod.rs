//! Why one shoe stands where it stands: the lines of its explanation in words, what each rests on, and what is open.

pub mod above;
mod choice;
mod lines;
pub mod pair;
mod summary;
mod unasked;

use catalogue::key::StyleKey;
use catalogue::measures::Measure;
use catalogue::rank::{Explanation, Group as Place, Needs, Opening, Points, RuleLine};
use catalogue::rules::Verdict;
use catalogue::style::{BendingWord, Style};
use indexer::snapshot::StyleCard;

use super::order::{Shown, is_ranked};
use super::said::rule_link;
use super::shoe;
use super::{Visit, capital, listed, marks};
use crate::browse::evidence::source_link;
use crate::labels::NOT_GIVEN;
use crate::pages::why::{WhyOpen, WhyPage, WhyRule};
use crate::parts::Link;
use crate::parts::evidence::Evidence;
use crate::parts::sole_line::Scale;
use lines::{Lines, points};

use crate::words;
pub use summary::known;

/// The explanation of one shoe. Its lines add up to its total.
pub fn page(visit: &Visit<'_>, shown: &Shown, card: &StyleCard<'_>) -> WhyPage {
    let ranker = &shown.list.ranker;
    let explanation = ranker.explain(&card.measures);
    let worn = visit.snapshot.worn(&visit.fitting.runner).map(|worn| worn.measures);
    let total = explanation.total();
    let lines = Lines { visit, ranker, card };
    WhyPage {
        shoe: shoe::name(card.style),
        href: shoe::href(card.style),
        place: place(visit, shown, card.style),
        hand: hand(visit, shown, &card.style.key),
        sole: shoe::sole(&card.measures, worn.as_ref(), Scale::Large),
        summary: summary::of(&explanation),
        known: known(ranker.needs(), Needs::given_by(&card.measures)),
        beside: choice::choice(visit, shown, &card.style.key),
        total: points(total.at),
        range: interval(total, &[]),
        interval: interval(total, &missing(&explanation)),
        lines: explanation.lines.iter().map(|line| lines.line(line)).collect(),
        open: ranker.openings(&card.measures).iter().map(open).collect(),
        measure_href: format!("{}/edit", shoe::href(card.style)),
        unasked: unasked::of(visit, ranker),
        runner_href: visit.href("/runner"),
        rules: explanation.rules().map(|(line, _)| why_rule(line)).collect(),
        twin: visit.href(&format!("/why/{}.json", card.style.key)),
        back: Link::new(say!("Back to the order"), visit.href("")),
    }
}

/// Where a shoe stands in the order that is shown.
pub fn place(visit: &Visit<'_>, shown: &Shown, style: &Style) -> String {
    let key = &style.key;
    let ranked = shown.places.iter().filter(|shoe| is_ranked(shoe.standing.place)).count();
    match shown.standing_of(key, visit.snapshot) {
        None => say!("not in this order: a filter hides it").to_owned(),
        Some(Place::Aside) => say!("aside: the pair worn now takes no place in this order").to_owned(),
        Some(Place::TooLittle) => say!("listed, not ranked: the sheet says too little").to_owned(),
        Some(_) => match shown.place_of(key, visit.snapshot) {
            Some(place) => say!("place {place} of {ranked} in this order", place, ranked),
            None => say!("among {ranked} in this order", ranked),
        },
    }
}

/// What the fitter's hand did with a shoe; `None` when the order alone placed it.
fn hand(visit: &Visit<'_>, shown: &Shown, key: &StyleKey) -> Option<String> {
    let mark = visit.fitting.marks.get(key)?;
    let computed = marks::computed(visit, shown, key);
    Some(say!(
        "{mark}; {computed}. The hand moved it on the page, and changed no point.",
        mark = marks::in_words(*mark),
        computed
    ))
}

/// What the sum could be for want of a measure; empty when nothing is wanting.
fn interval(total: Points, missing: &[&str]) -> String {
    let range = say!("{low} to {high}", low = points(total.low), high = points(total.high));
    match (total.low == total.high, missing) {
        (true, _) => String::new(),
        (false, []) => range,
        (false, [one]) => say!("{range}, for {one} is not given", range, one),
        (false, missing) => {
            say!("{range}, for {missing} are not given", range, missing = listed(missing, say!("and")))
        }
    }
}

fn missing(explanation: &Explanation) -> Vec<&'static str> {
    let unknown = explanation.measures().filter(|(line, _)| !line.nearness.is_known());
    unknown.map(|(line, _)| measure(line.band.measure)).collect()
}

/// What one measure would settle: `58 to 79` now, `65 to 72` then.
fn open(opening: &Opening) -> WhyOpen {
    let range = |of: Points| say!("{low} to {high}", low = points(of.low), high = points(of.high));
    let Opening { by, now, then } = *opening;
    let width = then.high - then.low;
    let names: Vec<&str> = by.iter().map(summary::need).collect();
    WhyOpen {
        measure: capital(&listed(&names, say!("and"))),
        now: range(now),
        then: match width {
            0 => say!("one figure, nothing left open").to_owned(),
            _ => say!("{width} points wide, such as {then}", width = points(width), then = range(then)),
        },
        settles: say!("{settles} points less open", settles = points(opening.settles())),
    }
}

fn why_rule(line: &RuleLine) -> WhyRule {
    let evidence = &line.rule.evidence;
    let says = match line.verdict {
        Verdict::Share(_, say) | Verdict::Printed(say) => words::of(say).to_owned(),
        Verdict::Missed(measure, ..) => {
            say!(
                "{measure} {value}: it counts 0 until somebody measures it.",
                measure = capital(words::of(measure)),
                value = words::of(NOT_GIVEN)
            )
        }
        Verdict::Silent => String::new(),
    };
    WhyRule {
        rule: rule_link(line.rule),
        say: format!("{says} {}", words::of(line.rule.says)).trim_start().to_owned(),
        evidence: Evidence {
            grade: format!(
                "{}: {}",
                words::of(evidence.grade.word()),
                words::lowered(words::of(evidence.grade.verb()))
            ),
            studied: words::of(evidence.studied).to_owned(),
            limits: words::of(evidence.limits).to_owned(),
            sources: evidence.sources.iter().map(|source| source_link(source)).collect(),
        },
    }
}

/// A measure in words.
pub fn measure(measure: Measure) -> &'static str {
    match measure {
        Measure::Drop => say!("drop"),
        Measure::LandingStack => say!("landing stack"),
        Measure::Mass => say!("weight"),
        Measure::Bending => say!("bending"),
    }
}

/// A bending step in tenths by its word; ends of a band beyond the five words are the outermost word.
pub fn bending(tenths: i32) -> String {
    let step = ((tenths + 5).div_euclid(10)).clamp(1, 5);
    BendingWord::from_step(step as u8).map_or_else(String::new, |word| words::of(word.word()).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_interval_names_what_is_missing() {
        let points = Points { at: 700, low: 650, high: 750 };
        assert_eq!(
            interval(points, &["weight", "bending"]),
            "65.0 to 75.0, for weight and bending are not given"
        );
        assert_eq!(interval(Points::exactly(700), &[]), "");
    }

    #[test]
    fn a_bending_step_has_its_word_and_never_leaves_the_five() {
        assert_eq!(
            [10, 30, 50, 70, -10].map(bending),
            ["very flexible", "medium", "very stiff", "very stiff", "very flexible"]
        );
    }
}
