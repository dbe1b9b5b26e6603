//! Why one shoe stands where it stands: the lines of its explanation in words, and what each rule rests on.

use catalogue::evidence::Source;
use catalogue::measures::Measure;
use catalogue::rank::{
    Explanation, Group as Place, Line, MeasureLine, Nearness, Points, Ranker, RuleLine, What,
};
use catalogue::rules::Verdict;
use catalogue::style::BendingWord;
use indexer::snapshot::StyleCard;

use super::brief::{origin, range_in_words};
use super::order::{Shown, is_ranked};
use super::said::{rule_link, rule_name};
use super::shoe::{self, plain};
use super::unasked::{Reader, unasked};
use super::{Visit, capital, listed};
use crate::labels::NOT_GIVEN;
use crate::pages::why::{WhyLine, WhyPage, WhyRule};
use crate::parts::Link;
use crate::parts::evidence::Evidence;
use crate::parts::notes::{Note, Notes};
use crate::parts::sole_line::Scale;

/// The explanation of one shoe. Its lines add up to its total.
pub fn page(visit: &Visit<'_>, shown: &Shown, card: &StyleCard<'_>) -> WhyPage {
    let ranker = &shown.list.ranker;
    let explanation = ranker.explain(&card.measures);
    let worn = visit.snapshot.worn(&visit.fitting.runner).map(|worn| worn.measures);
    let total = explanation.total();
    WhyPage {
        shoe: shoe::name(card.style),
        href: shoe::href(card.style),
        place: place(visit, shown, card),
        sole: shoe::sole(&card.measures, worn.as_ref(), Scale::Large),
        total: plain(total.at),
        interval: interval(total, &missing(&explanation)),
        lines: explanation.lines.iter().map(|line| why_line(line, ranker)).collect(),
        rules: explanation.rules().map(|(line, _)| why_rule(line)).collect(),
        notes: Notes { notes: notes(visit, &explanation) },
        back: Link::new("Back to the order", visit.href("")),
    }
}

fn place(visit: &Visit<'_>, shown: &Shown, card: &StyleCard<'_>) -> String {
    let key = &card.style.key;
    let ranked = shown.places.iter().filter(|shoe| is_ranked(shoe.standing.place)).count();
    match shown.standing_of(key, visit.snapshot) {
        None => "not in this order: a filter hides it".to_owned(),
        Some(Place::Aside) => "aside: the pair worn now takes no place in this order".to_owned(),
        Some(Place::TooLittle) => "listed, not ranked: the sheet says too little".to_owned(),
        Some(_) => match shown.place_of(key, visit.snapshot) {
            Some(place) => format!("place {place} of {ranked} in this order"),
            None => format!("among {ranked} in this order"),
        },
    }
}

/// What the sum could be for want of a measure; empty when nothing is wanting.
fn interval(total: Points, missing: &[&str]) -> String {
    let range = format!("{} to {}", plain(total.low), plain(total.high));
    match (total.low == total.high, missing) {
        (true, _) => String::new(),
        (false, []) => range,
        (false, missing) => format!("{range}, for {} is not given", listed(missing, "and")),
    }
}

fn missing(explanation: &Explanation) -> Vec<&'static str> {
    let unknown = explanation.measures().filter(|(line, _)| !line.nearness.is_known());
    unknown.map(|(line, _)| measure(line.band.measure)).collect()
}

fn why_line(line: &Line, ranker: &Ranker) -> WhyLine {
    let points = signed(line.points.at);
    match &line.what {
        What::Base => plain_line("Where every shoe starts", points),
        What::Measure(of) => WhyLine { points, ..measure_line(of, line.points, ranker) },
        What::Rule(of) => WhyLine { points, ..rule_line(of, line.points) },
        What::Cap(Some(tissue)) => WhyLine {
            range: open(line.points),
            ..plain_line(
                &format!("Held at the most that rules on one tissue count ({})", tissue.word()),
                points,
            )
        },
        What::Cap(None) => WhyLine {
            range: open(line.points),
            ..plain_line("Held at the most that all rules count together", points)
        },
    }
}

fn plain_line(label: &str, points: String) -> WhyLine {
    WhyLine {
        label: label.to_owned(),
        value: String::new(),
        band: String::new(),
        points,
        range: String::new(),
    }
}

fn measure_line(of: &MeasureLine, points: Points, ranker: &Ranker) -> WhyLine {
    let band = &of.band;
    let range = range_in_words(band.measure, band.from, band.to);
    let most = plain(7 * i32::from(band.measure.weight()));
    WhyLine {
        label: label(band.measure, ranker),
        value: value(band.measure, of.nearness),
        band: origin(band).map_or_else(|| range.clone(), |origin| format!("{range}, {origin}")),
        points: String::new(),
        range: if points.low == points.high {
            format!("of {most} at the most")
        } else {
            format!("from {} to {}: {NOT_GIVEN}", plain(points.low), plain(points.high))
        },
    }
}

fn label(measure: Measure, ranker: &Ranker) -> String {
    match measure {
        Measure::LandingStack => format!("Landing stack, {}", shoe::landing_place(ranker.landing())),
        other => capital(self::measure(other)),
    }
}

fn value(measure: Measure, nearness: Nearness) -> String {
    let Some(tenths) = nearness.value else { return NOT_GIVEN.to_owned() };
    range_in_words(measure, tenths, tenths)
}

fn rule_line(of: &RuleLine, points: Points) -> WhyLine {
    let band =
        of.lost_to.map_or(String::new(), |other| format!("left out: pulls against “{}”", rule_name(other)));
    let value = match of.verdict {
        Verdict::Missed(measure, ..) => format!("{measure} {NOT_GIVEN}"),
        _ => String::new(),
    };
    WhyLine { label: rule_name(of.rule), value, band, points: String::new(), range: open(points) }
}

/// What a line could still be; empty when nothing is open.
fn open(points: Points) -> String {
    if points.low == points.high {
        String::new()
    } else {
        format!("from {} to {}", signed(points.low), signed(points.high))
    }
}

fn why_rule(line: &RuleLine) -> WhyRule {
    let evidence = &line.rule.evidence;
    let says = match line.verdict {
        Verdict::Share(_, say) | Verdict::Printed(say) => say.to_owned(),
        Verdict::Missed(measure, ..) => {
            format!("{} {NOT_GIVEN}: it counts 0 until somebody measures it.", capital(measure))
        }
        Verdict::Silent => String::new(),
    };
    WhyRule {
        rule: rule_link(line.rule),
        say: format!("{says} {}", line.rule.says).trim_start().to_owned(),
        evidence: Evidence {
            grade: evidence.grade.word().to_owned(),
            studied: evidence.studied.to_owned(),
            limits: evidence.limits.to_owned(),
            sources: evidence.sources.iter().map(|source| source_link(source)).collect(),
        },
    }
}

/// Authors and year, leading to the list of sources.
pub fn source_link(source: &Source) -> Link {
    Link::new(format!("{} {}", source.authors, source.year), format!("/sources#{}", source.id))
}

/// Where more would be known: measures nobody gives, and answers nobody asked for.
fn notes(visit: &Visit<'_>, explanation: &Explanation) -> Vec<Note> {
    let missing = missing(explanation);
    let measures = (!missing.is_empty()).then(|| {
        format!(
            "More would be known with {}: measure it at the bench, or ask the supplier.",
            listed(&missing, "and")
        )
    });
    let unasked = unasked(&visit.fitting.runner, Reader::Fitter);
    let answers = (!unasked.is_empty())
        .then(|| format!("Not asked, and able to change the order: {}.", unasked.join(", ")));
    let note = |say| Note { say, grade: String::new(), rule: None };
    measures.into_iter().chain(answers).map(note).collect()
}

/// A measure in words.
pub const fn measure(measure: Measure) -> &'static str {
    match measure {
        Measure::Drop => "drop",
        Measure::LandingStack => "landing stack",
        Measure::Mass => "weight",
        Measure::Bending => "bending",
    }
}

/// A bending step in tenths by its word; ends of a band beyond the five words are the outermost word.
pub fn bending(tenths: i32) -> String {
    let step = ((tenths + 5).div_euclid(10)).clamp(1, 5);
    BendingWord::from_step(step as u8).map_or_else(String::new, |word| word.word().to_owned())
}

/// Tenths of a point with their sign and one decimal: `+24.3`, `−1.5`, `0.0`.
fn signed(tenths: i32) -> String {
    let sign = match tenths {
        0 => "",
        1.. => "+",
        _ => "−",
    };
    let magnitude = tenths.unsigned_abs();
    format!("{sign}{}.{}", magnitude / 10, magnitude % 10)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_carry_their_sign_and_one_decimal() {
        assert_eq!([243, -15, 0].map(signed), ["+24.3", "−1.5", "0.0"]);
    }

    #[test]
    fn an_interval_names_what_is_missing() {
        let points = Points { at: 700, low: 650, high: 750 };
        assert_eq!(interval(points, &["weight", "bending"]), "65 to 75, for weight and bending is not given");
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
