//! Pages that are read by all: rules, sources, a refusal.

use super::{evidence, s};
use crate::pages::refusal::RefusalPage;
use crate::pages::rules::{RuleEntry, RulesPage};
use crate::pages::sources::{SourceEntry, SourcesPage};
use crate::parts::Link;

pub(crate) fn rules_page() -> RulesPage {
    RulesPage {
        grades: vec![
            (s("moderate"), s("Up to 6 points; says “studies lean towards”.")),
            (s("limited"), s("Up to 3 points; says “one trial leans towards”.")),
        ],
        rules: vec![RuleEntry {
            id: s("calf-drop"),
            name: s("Calf and drop"),
            say: s("After a recent calf or Achilles injury, small studies lean towards keeping the drop."),
            in_force: s("Achilles or calf hurt within 12 months, painful now, or nobody asked when."),
            does: s("up to 3 points up or down, and less drop is not looked for"),
            evidence: evidence(),
        }],
    }
}

pub(crate) fn sources_page() -> SourcesPage {
    SourcesPage {
        sources: vec![SourceEntry {
            id: s("L1"),
            citation: s("An author, 2020. A title. A journal 1:1-9."),
            doi: Some(s("10.1000/example")),
            what: s("A laboratory study of 19 runners."),
            read: Some(s("from memory")),
            rules: vec![Link::new("Calf and drop", "/rules#calf-drop")],
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
    }
}
