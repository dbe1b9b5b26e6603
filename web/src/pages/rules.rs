//! All rules: sentence, when in force, grade, who was studied, limits, sources.

use maud::{Markup, html};

use crate::labels::HOUSE_VIEW;
use crate::parts::evidence::Evidence;
use crate::parts::layout::{Frame, Width, heading, page};

/// The rules.
#[derive(Clone, Debug)]
pub struct RulesPage {
    /// In the order of the list.
    pub rules: Vec<RuleEntry>,
    /// What each grade weighs and how it speaks: grade and sentence.
    pub grades: Vec<(String, String)>,
}

/// One rule.
#[derive(Clone, Debug)]
pub struct RuleEntry {
    /// Its id, which is also its anchor.
    pub id: String,
    /// `Calf and drop`.
    pub name: String,
    /// The sentence it says.
    pub say: String,
    /// When it is in force.
    pub in_force: String,
    /// What it does to the order: `up to 3 points up or down`, `printed, no points`.
    pub does: String,
    /// What it rests on.
    pub evidence: Evidence,
}

impl RulesPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading("Rules", "Every piece of advice comes from one of these, and says how thin it is."))
            p { (HOUSE_VIEW) }
            h2 { "Grades" }
            dl .evidence { @for (grade, means) in &self.grades { dt { (grade) } dd { (means) } } }
            @for rule in &self.rules { (rule.view()) }
        };
        page(frame, "Rules", Width::Narrow, &body)
    }
}

impl RuleEntry {
    fn view(&self) -> Markup {
        html! {
            section .rule id=(self.id) {
                h2 { (self.name) " " code { (self.id) } }
                p .summary { (self.say) }
                p { b { "In force: " } (self.in_force) }
                p { b { "In the order: " } (self.does) }
                (self.evidence)
            }
        }
    }
}
