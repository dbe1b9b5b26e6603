//! The rules, the claims about plans, what studies do not carry, and the bibliography: as pages.

mod fires;

use catalogue::evidence::{Claim, Evidence, Grade, SOURCES, Source, UNSUPPORTED, Unsupported};
use catalogue::rules::{Example, Gives, Question, RULES, Rule, Speaks};
use indexer::snapshot::Snapshot;

use crate::pages::rules::{Basis, BasisSource, ClaimEntry, ClaimGroup, RuleEntry, RuleGroup, RulesPage};
use crate::pages::sources::{SourceEntry, SourcesPage};
use crate::pages::unsupported::{BeliefEntry, UnsupportedPage};
use crate::parts::Link;
use crate::visit::capital;
use crate::visit::said::{name_of, rule_link, rule_name};
use crate::words;
use fires::Samples;

/// The claims beside the rules: anchor, title, what they do, and the list. A list more is a line more.
const CLAIM_GROUPS: [(&str, &str, &str, &[&Claim]); 3] = [
    (
        "plans",
        word!("About plans"),
        word!("What a plan for a change of shoe says. It gives no points and removes no shoe."),
        catalogue::plan::advice::CLAIMS,
    ),
    (
        "landing",
        word!("About the landing"),
        word!("How a landing is read, which says which stack counts."),
        catalogue::strike::CLAIMS,
    ),
    (
        "feet",
        word!("About feet and sizes"),
        word!("What is said of feet and sizes. It hides no shoe."),
        catalogue::fit::CLAIMS,
    ),
];

/// All rules by the question they answer, counted over the sample runners and the catalogue as it is served; and the
/// claims beside them.
pub fn rules(snapshot: &Snapshot) -> RulesPage {
    let samples = Samples::over(snapshot);
    let group = |question: &Question| {
        let of = RULES.iter().filter(|rule| rule.question == *question);
        RuleGroup {
            question: words::of(question.word()).to_owned(),
            rules: of.map(|rule| entry(rule, &samples)).collect(),
        }
    };
    RulesPage {
        grades: Grade::ALL.iter().map(|g| grade(*g)).collect(),
        groups: Question::ALL.iter().map(group).collect(),
        claims: CLAIM_GROUPS.iter().map(claims).collect(),
    }
}

fn grade(grade: Grade) -> (String, String) {
    let weight = match grade.weight() {
        0 => say!("It is printed and gives no points.").to_owned(),
        weight => say!("It gives up to {weight} points.", weight = weight / 20),
    };
    (words::of(grade.word()).to_owned(), format!("{}. {weight}", words::of(grade.verb())))
}

fn entry(rule: &'static Rule, samples: &Samples) -> RuleEntry {
    let quiet = |gives: &Gives| matches!(gives, Gives::NotInForce);
    let (quiet, speaking): (Vec<&Example>, Vec<&Example>) =
        rule.examples.iter().partition(|example| quiet(&example.gives));
    RuleEntry {
        id: rule.id.to_owned(),
        name: rule_name(rule),
        say: words::of(rule.says).to_owned(),
        in_force: speaking
            .into_iter()
            .map(|example| (words::of(example.says).to_owned(), gives(rule, example.gives)))
            .collect(),
        quiet: quiet.into_iter().map(|example| words::of(example.says).to_owned()).collect(),
        does: does(rule),
        fires: samples.say(rule),
        basis: basis(&rule.evidence),
    }
}

/// What a rule gives in an example, in words and points.
fn gives(rule: &Rule, gives: Gives) -> String {
    match gives {
        Gives::Share(share) => match share.line(rule.evidence.grade) {
            0 => say!("no points").to_owned(),
            points => {
                let side = if points > 0 { say!("for it") } else { say!("against it") };
                say!(
                    "{points} points {side}",
                    points = words::number(format!("{}.{}", points.abs() / 10, points.abs() % 10)),
                    side
                )
            }
        },
        Gives::Printed => say!("a sentence, no points").to_owned(),
        Gives::Note => say!("said once").to_owned(),
        Gives::Missed(measure) => say!("0 until the {measure} is known", measure = words::of(measure)),
        Gives::Silent => say!("nothing to say").to_owned(),
        Gives::NotInForce => say!("not in force").to_owned(),
    }
}

/// Whether a rule can give or take points.
pub fn scores(rule: &Rule) -> bool {
    let shares = rule.examples.iter().any(|example| matches!(example.gives, Gives::Share(_)));
    shares && rule.evidence.grade.weight() > 0 && matches!(rule.speaks, Speaks::OfShoe(_))
}

fn does(rule: &Rule) -> String {
    match rule.speaks {
        Speaks::OfRunner => say!("printed once, no points").to_owned(),
        Speaks::OfShoe(_) if scores(rule) => {
            say!("up to {weight} points of 100", weight = rule.evidence.grade.weight() / 20)
        }
        Speaks::OfShoe(_) => say!("printed, no points").to_owned(),
    }
}

fn claims((id, title, lead, claims): &(&str, &str, &str, &[&Claim])) -> ClaimGroup {
    ClaimGroup {
        id: (*id).to_owned(),
        title: words::of(title).to_owned(),
        lead: words::of(lead).to_owned(),
        claims: claims.iter().map(|claim| of_claim(claim)).collect(),
    }
}

fn all_claims() -> impl Iterator<Item = &'static Claim> {
    CLAIM_GROUPS.iter().flat_map(|(.., claims)| claims.iter().copied())
}

fn of_claim(claim: &Claim) -> ClaimEntry {
    ClaimEntry {
        id: claim.id.to_owned(),
        say: words::of(claim.says).to_owned(),
        house_view: claim.is_house_view(),
        basis: basis(&claim.evidence),
    }
}

/// What stands behind a rule, a claim or a belief. The words of a grade come from [`Grade::verb`] alone.
fn basis(evidence: &Evidence) -> Basis {
    let Evidence { grade, sources, shows, studied, limits } = *evidence;
    Basis {
        grade: format!("{}. {}.", capital(words::of(grade.word())), words::of(grade.verb())),
        shows: words::of(shows).to_owned(),
        studied: words::of(studied).to_owned(),
        limits: words::of(limits).to_owned(),
        sources: sources.iter().map(|source| basis_source(source)).collect(),
    }
}

fn basis_source(source: &Source) -> BasisSource {
    BasisSource {
        link: source_link(source),
        journal: source.journal.to_owned(),
        doi: source.doi.map(str::to_owned),
        what: words::of(source.what).to_owned(),
        conflicts: words::of(source.conflicts).to_owned(),
    }
}

/// A source by its short name, leading to the bibliography.
pub fn source_link(source: &Source) -> Link {
    Link::new(format!("{} {}", authors(source), source.year), format!("/sources#{}", source.id))
}

/// Who wrote it: names as they are, and the language's word for the rest of them.
pub fn authors(source: &Source) -> String {
    words::of(source.authors).replace(" and others", say!(" and others"))
}

/// What studies do not carry.
pub fn unsupported() -> UnsupportedPage {
    let belief = |entry: &Unsupported| BeliefEntry {
        id: entry.id.to_owned(),
        belief: words::of(entry.belief).to_owned(),
        basis: basis(&entry.evidence),
    };
    UnsupportedPage { beliefs: UNSUPPORTED.iter().map(belief).collect() }
}

/// The bibliography.
pub fn sources() -> SourcesPage {
    SourcesPage { sources: SOURCES.iter().map(|source| of_source(source)).collect() }
}

fn of_source(source: &Source) -> SourceEntry {
    let rests = |evidence: &Evidence| evidence.sources.iter().any(|used| used.id == source.id);
    let rules = RULES.iter().filter(|rule| rests(&rule.evidence)).map(|rule| rule_link(rule));
    let claims = all_claims().filter(|claim| rests(&claim.evidence));
    let beliefs = UNSUPPORTED.iter().filter(|belief| rests(&belief.evidence));
    SourceEntry {
        id: source.id.to_owned(),
        citation: format!("{} ({}). {}.", authors(source), source.year, source.journal),
        doi: source.doi.map(str::to_owned),
        what: words::of(source.what).to_owned(),
        conflicts: words::of(source.conflicts).to_owned(),
        rules: rules.collect(),
        claims: claims.map(|claim| named(claim.id, "/rules")).collect(),
        beliefs: beliefs
            .map(|belief| Link::new(words::of(belief.belief), format!("/unsupported#{}", belief.id)))
            .collect(),
    }
}

fn named(id: &str, page: &str) -> Link {
    Link::new(name_of(id), format!("{page}#{id}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::rules::Share;

    #[test]
    fn what_an_example_gives_is_said_in_points_of_its_grade() {
        let rule = Rule::find("calf-drop").unwrap();
        let said = [Share::FULL, Share::AGAINST, Share::ZERO].map(|share| gives(rule, Gives::Share(share)));
        assert_eq!(said, ["3.0 points for it", "3.0 points against it", "no points"]);
        assert_eq!(gives(rule, Gives::Missed("drop")), "0 until the drop is known");
    }

    #[test]
    fn rules_that_speak_of_the_runner_give_no_points() {
        let of = |id| Rule::find(id).is_some_and(scores);
        assert!(of("calf-drop") && !of("previous-injury") && !of("race-mass"));
    }

    #[test]
    fn every_use_of_a_source_is_named_at_it() {
        let page = sources();
        let links = page.sources.iter().map(|s| s.rules.len() + s.claims.len() + s.beliefs.len());
        let uses = RULES.iter().map(|rule| rule.evidence.sources.len()).sum::<usize>()
            + all_claims().map(|claim| claim.evidence.sources.len()).sum::<usize>()
            + UNSUPPORTED.iter().map(|belief| belief.evidence.sources.len()).sum::<usize>();
        assert_eq!(links.sum::<usize>(), uses);
    }
}
