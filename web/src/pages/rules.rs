//! All rules by the question they answer, and the claims about plans: sentence, grade, evidence, and when in force.

use maud::{Markup, Render, html};

use crate::labels::HOUSE_VIEW;
use crate::parts::Link;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::words;

/// The rules.
#[derive(Clone, Debug)]
pub struct RulesPage {
    /// What each grade weighs and how it speaks: grade and sentence.
    pub grades: Vec<(String, String)>,
    /// The rules, by question.
    pub groups: Vec<RuleGroup>,
    /// What is said beside the rules, by what it is about.
    pub claims: Vec<ClaimGroup>,
}

/// The claims about one thing.
#[derive(Clone, Debug)]
pub struct ClaimGroup {
    /// Its anchor: `plans`.
    pub id: String,
    /// `About plans`.
    pub title: String,
    /// What these claims do.
    pub lead: String,
    /// In reading order.
    pub claims: Vec<ClaimEntry>,
}

/// The rules that answer one question.
#[derive(Clone, Debug)]
pub struct RuleGroup {
    /// `What does an injury ask of a shoe?`
    pub question: String,
    /// In reading order.
    pub rules: Vec<RuleEntry>,
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
    /// Cases in which it is in force, each with what it gives.
    pub in_force: Vec<(String, String)>,
    /// Cases in which it is not.
    pub quiet: Vec<String>,
    /// What it does to the order: `up to 3 points of 100`, `printed, no points`.
    pub does: String,
    /// For which sample runners it is in force, and of how many shoes it speaks.
    pub fires: String,
    /// What it rests on.
    pub basis: Basis,
}

/// One claim.
#[derive(Clone, Debug)]
pub struct ClaimEntry {
    /// Its id, which is also its anchor.
    pub id: String,
    /// What is said.
    pub say: String,
    /// Nobody has published it.
    pub house_view: bool,
    /// What it rests on.
    pub basis: Basis,
}

/// What stands behind a rule, a claim or a belief, in full.
#[derive(Clone, Debug)]
pub struct Basis {
    /// `Limited. Small studies lean this way.`
    pub grade: String,
    /// What was found, with its numbers.
    pub shows: String,
    /// Who was studied.
    pub studied: String,
    /// What it does not show.
    pub limits: String,
    /// Where it is published.
    pub sources: Vec<BasisSource>,
}

/// A source with what a reader wants to know before opening it.
#[derive(Clone, Debug)]
pub struct BasisSource {
    /// Authors and year, leading to the bibliography.
    pub link: Link,
    /// Where it appeared.
    pub journal: String,
    /// The DOI as printed.
    pub doi: Option<String>,
    /// What it is, and on whom.
    pub what: String,
    /// Conflicts of interest.
    pub conflicts: String,
}

impl RulesPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(say!("Rules"), say!("Every piece of advice comes from one of these, and says how thin it is.")))
            p { (words::of(HOUSE_VIEW)) " " a href="/sources" { (say!("The sources")) } " · " a href="/unsupported" { (say!("What studies do not carry")) } }
            (self.contents())
            h2 #grades { (say!("Grades")) }
            dl .evidence { @for (grade, means) in &self.grades { dt { (grade) } dd { (means) } } }
            @for (place, group) in self.groups.iter().enumerate() {
                h2 id=(anchor(place)) { (group.question) }
                @for rule in &group.rules { (rule) }
            }
            @for group in &self.claims {
                h2 id=(group.id) { (group.title) }
                p .soft { (group.lead) }
                @for claim in &group.claims { (claim) }
            }
        };
        page(frame, say!("Rules"), Width::Narrow, &body)
    }

    fn contents(&self) -> Markup {
        html! {
            div .filters { ul .chips {
                @for (place, group) in self.groups.iter().enumerate() {
                    li { a .chip href={ "#" (anchor(place)) } { (group.question) " " span .soft { (group.rules.len()) } } }
                }
                @for group in &self.claims {
                    li { a .chip href={ "#" (group.id) } { (group.title) " " span .soft { (group.claims.len()) } } }
                }
            } }
        }
    }
}

fn anchor(place: usize) -> String {
    format!("question-{}", place + 1)
}

impl Render for RuleEntry {
    fn render(&self) -> Markup {
        html! {
            section .rule id=(self.id) {
                h3 { (self.name) " " code .soft { (self.id) } }
                p .summary { (self.say) }
                p { b { (say!("In the order:")) " " } (self.does) ". " (self.fires) }
                (self.basis)
                details {
                    summary { (say!("When it is in force, by example")) }
                    dl .evidence { @for (case, gives) in &self.in_force { dt { (case) } dd { (gives) } } }
                    @if !self.quiet.is_empty() { p .soft { (say!("Not in force:")) " " (self.quiet.join("; ")) "." } }
                }
            }
        }
    }
}

impl Render for ClaimEntry {
    fn render(&self) -> Markup {
        html! {
            section .rule id=(self.id) {
                p .summary { (self.say) }
                @if self.house_view { p .remark { (say!("Our house’s view: nobody has published it, as far as we know.")) } }
                (self.basis)
            }
        }
    }
}

impl Render for Basis {
    fn render(&self) -> Markup {
        html! {
            dl .evidence {
                dt { (say!("Grade")) } dd { (self.grade) }
                dt { (say!("Found")) } dd { (self.shows) }
                dt { (say!("Studied")) } dd { (self.studied) }
                dt { (say!("Limits")) } dd { (self.limits) }
                dt { (say!("Sources")) }
                dd {
                    @if self.sources.is_empty() { (say!("none: our house’s view")) }
                    @for source in &self.sources { div { (source) } }
                }
            }
        }
    }
}

impl Render for BasisSource {
    fn render(&self) -> Markup {
        html! {
            (self.link) ", " (self.journal) @if let Some(doi) = &self.doi { (say!(", doi:")) (doi) } ". " (self.what)
            " " span .soft { (say!("Conflicts of interest:")) " " (self.conflicts) "." }
        }
    }
}
