//! What speaks for a shoe, what against it and what is unknown: in words, without points.

use catalogue::measures::Measure;
use catalogue::rank::{Explanation, MeasureLine, Need, Needs, RuleLine};
use catalogue::rules::{Rule, Verdict};

use super::measure;
use crate::pages::why::Summary;
use crate::visit::said::rule_name;
use crate::visit::{capital, listed};
use crate::words;

/// From this nearness on, in thousandths, a measure lies only a little outside its band.
const NEAR: i32 = 700;

/// The summary of one shoe; injury rules before the others, rules before measures.
pub(super) fn of(explanation: &Explanation) -> Summary {
    Summary {
        speaks_for: speaks_for(explanation),
        against: against(explanation),
        unknown: unknown(explanation),
        left_out: left_out(explanation),
    }
}

fn speaks_for(explanation: &Explanation) -> Vec<String> {
    let inside = named(explanation, |line| line.nearness.is_known() && line.beyond().is_none());
    let measures = (!inside.is_empty())
        .then(|| say!("{inside} as looked for.", inside = capital(&listed(&inside, say!("and")))));
    let rules = explanation.rules().filter(|(_, points)| points.at > 0).filter_map(|(line, _)| said(line));
    rules.chain(measures).collect()
}

fn against(explanation: &Explanation) -> Vec<String> {
    let mut rules: Vec<&RuleLine> =
        explanation.rules().filter(|(_, points)| points.at < 0).map(|(line, _)| line).collect();
    rules.sort_by_key(|line| !line.rule.is_injury_rule());
    let measures = explanation.measures().filter_map(|(line, _)| beyond(line));
    rules.into_iter().filter_map(said).chain(measures).collect()
}

fn unknown(explanation: &Explanation) -> Vec<String> {
    let missing = named(explanation, |line| !line.nearness.is_known());
    let measures = (!missing.is_empty())
        .then(|| say!("{missing} not given.", missing = capital(&listed(&missing, say!("and")))));
    measures.into_iter().chain(missed(explanation)).collect()
}

/// One sentence a measure, with all rules that ask for it.
fn missed(explanation: &Explanation) -> Vec<String> {
    let mut asked: Vec<(&str, Vec<String>)> = Vec::new();
    for (line, _) in explanation.rules().filter(|(line, _)| line.lost_to.is_none()) {
        let Verdict::Missed(word, ..) = line.verdict else { continue };
        let name = words::quoted(rule_name(line.rule));
        match asked.iter_mut().find(|(known, _)| *known == word) {
            Some((_, names)) => names.push(name),
            None => asked.push((word, vec![name])),
        }
    }
    let sentence = |(word, names): (&str, Vec<String>)| {
        let ask = if names.len() == 1 { say!("asks") } else { say!("ask") };
        say!(
            "{word} not given, and {names} {ask} for it.",
            word = capital(word),
            names = listed(&names, say!("and")),
            ask
        )
    };
    asked.into_iter().map(sentence).collect()
}

/// Rules that have lost a conflict and count nothing; two that have both lost are said once.
fn left_out(explanation: &Explanation) -> Vec<String> {
    let lost: Vec<(&Rule, &Rule)> =
        explanation.rules().filter_map(|(line, _)| Some((line.rule, line.lost_to?))).collect();
    let is_mutual =
        |(rule, other): &(&Rule, &Rule)| lost.iter().any(|(a, b)| a.id == other.id && b.id == rule.id);
    let said = lost.iter().filter(|pair| !is_mutual(pair) || pair.0.id < pair.1.id);
    let sentence = |pair: &(&Rule, &Rule)| {
        let (rule, other) = (rule_name(pair.0), rule_name(pair.1));
        if is_mutual(pair) {
            say!(
                "“{rule}” and “{other}” pull apart: neither counts until it is said which pain is current.",
                rule,
                other
            )
        } else {
            say!("“{rule}” counts nothing, for “{other}” pulls the other way.", rule, other)
        }
    };
    said.map(sentence).collect()
}

fn said(line: &RuleLine) -> Option<String> {
    match line.verdict {
        Verdict::Share(_, say) => Some(words::of(say).to_owned()),
        _ => None,
    }
}

/// `More drop than looked for.`, with how far where that is little.
fn beyond(line: &MeasureLine) -> Option<String> {
    let says = words::of(line.beyond()?);
    if line.nearness.at < NEAR {
        return Some(says.to_owned());
    }
    Some(say!("A little {says}", says = words::lowered(says)))
}

fn named(explanation: &Explanation, test: impl Fn(&MeasureLine) -> bool) -> Vec<&'static str> {
    let lines = explanation.measures().filter(|(line, _)| test(line));
    lines.map(|(line, _)| measure(line.band.measure)).collect()
}

/// `6 of 8 measures this runner’s order needs are given; weight and plate are missing.`
pub fn known(needs: Needs, given: Needs) -> String {
    let missing: Vec<&str> = needs.without(given).iter().map(need).collect();
    let (all, open) = (needs.count(), missing.len());
    if open == 0 {
        return say!("All {all} measures this runner’s order needs are given.", all);
    }
    let (missing, are) =
        (capital(&listed(&missing, say!("and"))), if open == 1 { say!("is") } else { say!("are") });
    say!(
        "{open} of {all} measures this runner’s order needs are given. {missing} {are} missing.",
        open = all - open,
        all,
        missing,
        are
    )
}

/// A measure that is needed, in the fitter's words.
pub(super) fn need(need: Need) -> &'static str {
    match need {
        Need::Mass => measure(Measure::Mass),
        other => words::of(other.word()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::injury::{Answer, Injury, Region};
    use catalogue::measures::Measures;
    use catalogue::policy::HousePolicy;
    use catalogue::rank::Ranker;
    use catalogue::runner::{BodyMass, Runner};
    use catalogue::style::Specification;
    use catalogue::units::{Grams, Kilograms, Mm};

    #[test]
    fn what_is_needed_and_missing_is_counted_in_words() {
        let needs = Needs::of(&[Need::Drop, Need::HeelStack, Need::Mass]);
        let given = Needs::of(&[Need::Drop, Need::HeelStack]);
        assert_eq!(
            known(needs, given),
            "2 of 3 measures this runner’s order needs are given. Weight is missing."
        );
        assert_eq!(known(needs, needs), "All 3 measures this runner’s order needs are given.");
    }

    #[test]
    fn two_rules_that_pull_apart_are_said_once_and_a_measure_that_two_ask_for_too() {
        let recent = |region| Injury { recent: Answer::Yes, ..Injury::of(region) };
        let runner = Runner {
            injuries: [Region::Achilles, Region::Kneecap].map(recent).to_vec(),
            body_mass: Some(BodyMass::Exactly(Kilograms::whole(90))),
            weekly_km: Some(60),
            ..Runner::default()
        };
        let ranker = Ranker::prepare(&runner, None, &HousePolicy::standard()).unwrap();
        let said = of(&ranker.explain(&Measures::UNKNOWN));
        let apart = "pull apart: neither counts until it is said which pain is current.";
        assert_eq!(
            said.left_out,
            [
                format!("“Calf drop” and “Kneecap drop” {apart}"),
                format!("“Achilles rocker” and “Kneecap rocker” {apart}")
            ]
        );
        let minimal = "Heel stack not given, and “Minimal and mass” and “Minimal and distance” ask for it.";
        assert_eq!(said.unknown, ["Drop, landing stack, weight and bending not given.", minimal]);
    }

    #[test]
    fn what_lies_outside_a_band_speaks_against_and_what_is_missing_is_unknown() {
        let ranker = Ranker::prepare(&Runner::default(), None, &HousePolicy::standard()).unwrap();
        let specification = Specification {
            heel_stack: Some(Mm::whole(32)),
            forefoot_stack: Some(Mm::whole(21)),
            mass: Some(Grams::whole(410)),
            ..Specification::default()
        };
        let said = of(&ranker.explain(&Measures::of(&specification, None)));
        assert_eq!(said.speaks_for, ["Landing stack as looked for."]);
        assert_eq!(said.against, ["A little more drop than looked for.", "Heavier than looked for."]);
        assert_eq!(said.unknown, ["Bending not given."]);
    }
}
