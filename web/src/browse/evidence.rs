//! The rules and the bibliography, as pages.

use catalogue::evidence::{Grade, SOURCES, Source};
use catalogue::rules::{Gives, RULES, Rule, Speaks};

use crate::pages::rules::{RuleEntry, RulesPage};
use crate::pages::sources::{SourceEntry, SourcesPage};
use crate::parts::Link;
use crate::parts::evidence::Evidence;
use crate::visit::said::{rule_link, rule_name};

/// All rules, in their order.
pub fn rules() -> RulesPage {
    RulesPage {
        rules: RULES.iter().map(|rule| entry(rule)).collect(),
        grades: Grade::ALL.iter().map(|g| grade(*g)).collect(),
    }
}

fn grade(grade: Grade) -> (String, String) {
    let weight = match grade.weight() {
        0 => "It is printed and gives no points.".to_owned(),
        weight => format!("It gives up to {} points.", weight / 20),
    };
    (grade.word().to_owned(), format!("{}. {weight}", grade.verb()))
}

fn entry(rule: &Rule) -> RuleEntry {
    RuleEntry {
        id: rule.id.to_owned(),
        name: rule_name(rule),
        say: rule.says.to_owned(),
        in_force: in_force(rule),
        does: does(rule),
        evidence: Evidence {
            grade: rule.evidence.grade.word().to_owned(),
            studied: rule.evidence.studied.to_owned(),
            limits: format!("{} {}", rule.evidence.shows, rule.evidence.limits),
            sources: rule.evidence.sources.iter().map(|source| source_link(source)).collect(),
        },
    }
}

/// When it is in force, told by its own examples.
fn in_force(rule: &Rule) -> String {
    let quiet = |gives: &Gives| matches!(gives, Gives::NotInForce);
    let told = |wanted: bool| {
        let of = rule.examples.iter().filter(|e| quiet(&e.gives) != wanted).map(|e| e.says);
        of.collect::<Vec<_>>().join("; ")
    };
    format!("In force, for example: {}. Not in force: {}.", told(true), told(false))
}

fn does(rule: &Rule) -> String {
    let weight = rule.evidence.grade.weight() / 20;
    let scores = rule.examples.iter().any(|e| matches!(e.gives, Gives::Share(_)));
    match rule.speaks {
        Speaks::OfRunner => "printed once, no points".to_owned(),
        Speaks::OfShoe(_) if scores && weight > 0 => format!("up to {weight} points of 100"),
        Speaks::OfShoe(_) => "printed, no points".to_owned(),
    }
}

/// A source by its short name, leading to the bibliography.
pub fn source_link(source: &Source) -> Link {
    Link::new(format!("{} {}", source.authors, source.year), format!("/sources#{}", source.id))
}

/// The bibliography.
pub fn sources() -> SourcesPage {
    SourcesPage { sources: SOURCES.iter().map(|source| of_source(source)).collect() }
}

fn of_source(source: &Source) -> SourceEntry {
    let rests = |rule: &&&Rule| rule.evidence.sources.iter().any(|used| used.id == source.id);
    SourceEntry {
        id: source.id.to_owned(),
        citation: format!("{} ({}). {}.", source.authors, source.year, source.journal),
        doi: source.doi.map(str::to_owned),
        what: format!("{} Conflicts of interest: {}.", source.what, source.conflicts),
        read: None,
        rules: RULES.iter().filter(rests).map(|rule| rule_link(rule)).collect(),
    }
}
