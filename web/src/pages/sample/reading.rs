//! Pages that are read by all: rules, what studies do not carry, sources, a refusal.

use super::s;
use crate::pages::refusal::RefusalPage;
use crate::pages::rules::{Basis, BasisSource, ClaimEntry, ClaimGroup, RuleEntry, RuleGroup, RulesPage};
use crate::pages::sources::{SourceEntry, SourcesPage};
use crate::pages::unsupported::{BeliefEntry, UnsupportedPage};
use crate::parts::Link;

fn basis() -> Basis {
    Basis {
        grade: s("Limited. Small studies lean this way."),
        shows: s("Less drop loaded the calf more."),
        studied: s("19 runners in one laboratory."),
        limits: s("Loads in one session, not strains over months."),
        sources: vec![BasisSource {
            link: Link::new("An author 2020", "/sources#L1"),
            journal: s("A journal 1:1"),
            doi: Some(s("10.1000/example")),
            what: s("A laboratory study of 19 runners."),
            conflicts: s("none known to us"),
        }],
    }
}

pub(crate) fn rules_page() -> RulesPage {
    RulesPage {
        grades: vec![
            (s("moderate"), s("One sound study leans this way. It gives up to 6 points.")),
            (s("limited"), s("Small studies lean this way. It gives up to 3 points.")),
        ],
        groups: vec![RuleGroup {
            question: s("What does an injury ask of a shoe?"),
            rules: vec![RuleEntry {
                id: s("calf-drop"),
                name: s("Calf drop"),
                say: s(
                    "After a recent calf or Achilles injury, small studies lean towards keeping the drop.",
                ),
                in_force: vec![(s("Calf strain, from 8 mm to 8 mm"), s("3.0 points for it"))],
                quiet: vec![s("No history asked")],
                does: s("up to 3 points of 100"),
                fires: s("In force for 2 of 8 sample runners: calf-strain and conflict."),
                basis: basis(),
            }],
        }],
        claims: vec![ClaimGroup {
            id: s("plans"),
            title: s("About plans"),
            lead: s("What a plan for a change of shoe says."),
            claims: vec![ClaimEntry {
                id: s("plan-slowly"),
                say: s("Two short runs a week in the new pair."),
                house_view: true,
                basis: Basis { sources: vec![], ..basis() },
            }],
        }],
    }
}

pub(crate) fn unsupported_page() -> UnsupportedPage {
    UnsupportedPage {
        beliefs: vec![BeliefEntry {
            id: s("more-foam"),
            belief: s("More foam is always gentler."),
            basis: basis(),
        }],
    }
}

pub(crate) fn sources_page() -> SourcesPage {
    SourcesPage {
        sources: vec![SourceEntry {
            id: s("L1"),
            citation: s("An author (2020). A journal 1:1-9."),
            doi: Some(s("10.1000/example")),
            what: s("A laboratory study of 19 runners."),
            conflicts: s("none known to us"),
            rules: vec![Link::new("Calf drop", "/rules#calf-drop")],
            claims: vec![Link::new("Plan slowly", "/rules#plan-slowly")],
            beliefs: vec![Link::new("More foam is always gentler.", "/unsupported#more-foam")],
        }],
    }
}

pub(crate) fn refusal_page() -> RefusalPage {
    RefusalPage {
        title: s("This shoe is not in the catalogue"),
        say: s("The address names “fennick-marl-9”, which no sheet has brought in."),
        details: vec![],
        ways: vec![Link::new("All shoes", "/shoes"), Link::new("The desk", "/")],
        search: true,
        request: s("5f0c93a1be27d864"),
    }
}
