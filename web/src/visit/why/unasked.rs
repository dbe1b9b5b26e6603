//! What each answer that nobody has asked for could still do: bring rules in, move the bands, stop the order.

use catalogue::injury::{Answer, Injury, Region};
use catalogue::rank::{Case, Ranker};
use catalogue::rules::{RULES, Rule};
use catalogue::runner::{BodyMass, Runner};
use catalogue::strike::{Strike, StrikePattern, StrikeSeen};
use catalogue::style::Purpose;
use catalogue::units::Kilograms;

use crate::browse::evidence::scores;
use crate::pages::why::WhyUnasked;
use crate::visit::said::rule_link;
use crate::visit::unasked::{Reader, unasked};
use crate::visit::{Visit, capital};
use crate::words;

/// One entry an answer that is open, in the order of the form.
pub(super) fn of(visit: &Visit<'_>, ranker: &Ranker) -> Vec<WhyUnasked> {
    let names = unasked(&visit.fitting.runner, Reader::Fitter);
    names.into_iter().map(|name| entry(name, ranker.case())).collect()
}

fn entry(name: &'static str, case: &Case) -> WhyUnasked {
    let could = brought_in(name, case);
    let (scoring, printed): (Vec<&Rule>, Vec<&Rule>) = could.into_iter().partition(|rule| scores(rule));
    let printed = match printed.len() {
        0 => None,
        n if scoring.is_empty() => Some(say!("could bring in {n}", n = rules(n, say!("is"), say!("are")))),
        n => Some(say!("and {n}", n = rules(n, say!("is"), say!("are")))),
    };
    let rest = effect(name).map(str::to_owned);
    WhyUnasked {
        name: capital(words::of(name)),
        rules: scoring.into_iter().map(rule_link).collect(),
        also: printed.into_iter().chain(rest).collect::<Vec<_>>().join("; "),
    }
}

fn rules(n: usize, is: &str, are: &str) -> String {
    if n == 1 {
        say!("one rule that {is} printed only", is)
    } else {
        say!("{n} rules that {are} printed only", n, are)
    }
}

/// The rules that some answer would bring in force and that are not in force now.
fn brought_in(name: &str, case: &Case) -> Vec<&'static Rule> {
    let answered: Vec<Case> =
        answers(name, &case.runner).into_iter().map(|runner| Case { runner, ..case.clone() }).collect();
    let new = |rule: &&Rule| !(rule.applies)(case) && answered.iter().any(|case| (rule.applies)(case));
    RULES.iter().copied().filter(new).collect()
}

/// The runners that an open answer could make of this one.
fn answers(name: &str, runner: &Runner) -> Vec<Runner> {
    let with = |set: &dyn Fn(&mut Runner)| {
        let mut runner = runner.clone();
        set(&mut runner);
        runner
    };
    match name {
        "what for" => Purpose::ALL.iter().map(|purpose| with(&|r| r.purpose = Some(*purpose))).collect(),
        "landing" => StrikePattern::ALL.iter().map(|p| with(&|r| r.strike = seen(*p))).collect(),
        "history" => Region::ALL.iter().map(|region| with(&|r| r.injuries = vec![hurt(*region)])).collect(),
        "weekly distance" => vec![with(&|r| r.weekly_km = Some(80))],
        "regular running" => [Answer::Yes, Answer::No].iter().map(|a| with(&|r| r.regular = *a)).collect(),
        "body mass" => [50, 75, 95].iter().map(|kg| with(&|r| r.body_mass = Some(weighing(*kg)))).collect(),
        _ => Vec::new(),
    }
}

fn seen(pattern: StrikePattern) -> Strike {
    Strike { pattern: Some(pattern), seen: Some(StrikeSeen::Video), ..Strike::default() }
}

fn hurt(region: Region) -> Injury {
    Injury { recent: Answer::Yes, cleared: Answer::Yes, ..Injury::of(region) }
}

const fn weighing(kg: i32) -> BodyMass {
    BodyMass::Exactly(Kilograms::whole(kg))
}

/// What an answer does beside bringing rules in.
fn effect(name: &str) -> Option<&'static str> {
    match name {
        "size" | "surface" => Some(say!("decides which shoes are in the list")),
        "what for" => Some(say!("decides which shoes are in the list, and the bands for a race")),
        "pair worn now" | "where to" => Some(say!("sets the bands that are looked for")),
        "landing" => Some(say!("decides which stack counts")),
        "weeks done in this step" | "main pair" => Some(say!("could hold back an order for less")),
        "pain" | "diabetes" => Some(say!("could stop the order")),
        "history" => Some(say!("could halve a step towards less")),
        "strength work" => Some(say!("speaks in the plan only")),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::policy::HousePolicy;

    fn blank() -> Case {
        Case::of(&Runner::default(), None, &HousePolicy::standard())
    }

    #[test]
    fn every_answer_that_can_be_open_says_what_it_could_do() {
        for name in unasked(&Runner::default(), Reader::Fitter) {
            let entry = entry(name, &blank());
            assert!(!entry.rules.is_empty() || !entry.also.is_empty(), "{name}");
        }
    }

    #[test]
    fn an_open_history_could_bring_in_the_rules_of_injuries_and_an_answered_distance_its_own() {
        let ids = |name| brought_in(name, &blank()).iter().map(|rule| rule.id).collect::<Vec<_>>();
        let history = ids("history");
        assert!(history.contains(&"calf-drop") && history.contains(&"bone-stress-minimal"));
        assert_eq!(ids("weekly distance"), ["minimal-and-distance"]);
        assert!(ids("landing").contains(&"rearfoot-thin"));
    }

    #[test]
    fn a_rule_in_force_is_not_brought_in_again() {
        let mut case = blank();
        case.runner.weekly_km = Some(60);
        assert_eq!(brought_in("weekly distance", &case).len(), 0);
    }
}
