//! The house policy: every number with its limits, its default and what it does; and what a change would do.

use maud::{Markup, html};

use crate::labels::HOUSE_VIEW;
use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, at, summary, title};
use crate::words;

/// The policy, and under its heading what a change would do once it was looked at.
#[derive(Clone, Debug)]
pub struct PolicyPage {
    /// Where the form is posted.
    pub action: String,
    /// The change at which it was drawn.
    pub at: i64,
    /// The items, topic by topic.
    pub topics: Vec<PolicyTopic>,
    /// Why, as typed.
    pub why: String,
    /// A pasted file, as typed.
    pub file: String,
    /// What was wrong.
    pub problems: Vec<Problem>,
    /// Why nothing was applied, when the policy was changed meanwhile; empty otherwise.
    pub overtaken: String,
    /// What the change would do; `None` before it was looked at.
    pub preview: Option<PolicyPreview>,
    /// Looks at going back to the defaults.
    pub defaults: Act,
}

/// Items that belong together.
#[derive(Clone, Debug)]
pub struct PolicyTopic {
    /// Its anchor.
    pub id: &'static str,
    /// `Less shoe`.
    pub name: &'static str,
    /// What they are for.
    pub says: &'static str,
    /// The items.
    pub fields: Vec<PolicyField>,
}

/// One item.
#[derive(Clone, Debug)]
pub struct PolicyField {
    /// Its key, which is the name posted.
    pub name: &'static str,
    /// `Drop`.
    pub label: &'static str,
    /// `mm`; empty for a word.
    pub unit: &'static str,
    /// One text, or two: from, to.
    pub values: Vec<String>,
    /// `-12 to 0 mm`; empty for a word.
    pub limits: String,
    /// The default.
    pub default: String,
    /// The shop has set another.
    pub changed: bool,
    /// What it does.
    pub does: &'static str,
}

/// What a change would do.
#[derive(Clone, Debug)]
pub struct PolicyPreview {
    /// The items that change.
    pub changes: Vec<PolicyChange>,
    /// How the order moves, runner by runner of the sample.
    pub moves: Vec<RunnerMoves>,
    /// No stock: no order can move.
    pub empty: bool,
    /// Why, as typed.
    pub why: String,
    /// Applies it; `None` when nothing would change.
    pub apply: Option<Act>,
}

/// One item that changes.
#[derive(Clone, Debug)]
pub struct PolicyChange {
    /// `less shoe, drop`.
    pub label: String,
    /// Behind both values.
    pub unit: &'static str,
    /// As it is.
    pub now: String,
    /// As it would be.
    pub then: String,
}

/// How the order of one runner moves.
#[derive(Clone, Debug, Default)]
pub struct RunnerMoves {
    /// The runner's file in the sample.
    pub runner: String,
    /// `12 of 40 shoes move, by 9 places at most`.
    pub say: String,
    /// Newly brought out first.
    pub comes: Vec<String>,
    /// No longer brought out first.
    pub goes: Vec<String>,
    /// The first five as they are.
    pub before: Vec<String>,
    /// The first five as they would be.
    pub after: Vec<String>,
}

impl PolicyPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (summary(&self.problems))
            (heading(say!("House policy"), say!("The shop's opinion, in numbers. Evidence is not edited here.")))
            p {
                (words::of(HOUSE_VIEW)) " " (say!("No study gives millimetres a step. What studies say stands under")) " "
                a href="/rules" { (say!("Rules")) } " " (say!("and")) " " a href="/sources" { (say!("Sources")) } "."
            }
            @if !self.overtaken.is_empty() { p .announcement role="status" { (self.overtaken) } }
            @if let Some(preview) = &self.preview { (preview.view()) }
            p { (say!("What words mean in this shop stands under")) " " a href="/synonyms" { (say!("Synonyms")) } "." }
            (self.form())
            (self.file())
            h2 { (say!("Back to the defaults")) }
            p { (say!("All numbers at once; what that changes is shown first.")) }
            div .buttons { (self.defaults.button(say!("Look at the defaults"), say!("Look at the defaults: what going back to them changes"), Tone::Quiet)) }
        };
        page(frame, &title(say!("House policy"), &self.problems), Width::Wide, &body)
    }

    fn form(&self) -> Markup {
        html! {
            form .policy method="post" action=(self.action) autocomplete="off" novalidate {
                input type="hidden" name="at" value=(self.at);
                @for topic in &self.topics { (self.topic(topic)) }
                (self.why())
                p .buttons { button .button .quiet[self.preview.is_some()] type="submit" { (say!("Look at what it changes")) } }
            }
        }
    }

    fn topic(&self, topic: &PolicyTopic) -> Markup {
        html! {
            h2 id=(topic.id) { (topic.name) }
            p .lead { (topic.says) }
            div .table tabindex="0" role="region" aria-label=(topic.name) {
                table .policy {
                    thead { tr {
                        th scope="col" { (say!("What")) } th scope="col" { (say!("Value")) } th scope="col" { (say!("Limits")) }
                        th scope="col" { (say!("Default")) } th scope="col" { (say!("What it does")) }
                    } }
                    tbody { @for field in &topic.fields { (self.row(field)) } }
                }
            }
        }
    }

    fn row(&self, field: &PolicyField) -> Markup {
        let error = at(&self.problems, field.name);
        html! {
            tr .wrong[error.is_some()] {
                th scope="row" { (field.label) }
                td {
                    @if let Some(error) = error { p .error { (error) } }
                    span .line { (inputs(field, error)) @if !field.unit.is_empty() { span .unit { (field.unit) } } }
                }
                td { (field.limits) }
                td { @if field.default.is_empty() { (say!("none")) } @else { (field.default) } @if field.changed { small { (say!("changed by the shop")) } } }
                td { (field.does) }
            }
        }
    }

    fn why(&self) -> Markup {
        let error = at(&self.problems, "why");
        html! {
            div .field .wrong[error.is_some()] {
                label for="why" { (say!("Why")) }
                p .hint #why-hint { (say!("Kept with the change, for whoever asks later. One line.")) }
                @if let Some(error) = error { p .error { (error) } }
                input .words #why name="why" type="text" value=(self.why) aria-describedby="why-hint";
            }
        }
    }

    fn file(&self) -> Markup {
        let error = at(&self.problems, "file");
        html! {
            h2 { (say!("As a file")) }
            p { a href="/policy.toml" { (say!("The policy as a file")) } (say!(", with every limit beside its number. Paste one here to look at it:")) }
            form method="post" action=(self.action) autocomplete="off" {
                input type="hidden" name="at" value=(self.at);
                input type="hidden" name="why" value="from a file";
                div .field .wrong[error.is_some()] {
                    label for="file" { (say!("Policy file")) }
                    @if let Some(error) = error { p .error { (error) } }
                    textarea #file name="file" rows="8" cols="60" spellcheck="false" { "\n" (self.file) }
                }
                p .buttons { button .button .quiet type="submit" { (say!("Look at the file")) } }
            }
        }
    }
}

fn inputs(field: &PolicyField, error: Option<&str>) -> Markup {
    let spoken = |end: &str| format!("{}{end}", field.label);
    let ends = if field.values.len() > 1 { [say!(", from"), say!(", to")] } else { ["", ""] };
    html! {
        @for (place, value) in field.values.iter().enumerate() {
            @if place > 0 { span { (say!("to")) } }
            input .words[field.unit.is_empty()] id=[(place == 0).then_some(field.name)] name=(field.name) type="text"
                value=(value) aria-label=(spoken(ends[place.min(1)])) aria-invalid=[error.map(|_| "true")];
        }
    }
}

impl PolicyPreview {
    fn view(&self) -> Markup {
        html! {
            section .preview aria-labelledby="preview" {
                h2 #preview { (say!("What would change")) }
                @if self.changes.is_empty() { p { (say!("Nothing: this is the policy in force.")) } }
                @else {
                    ul { @for change in &self.changes { li {
                        (change.label) ": " (change.now) " → " b { (change.then) } " " (change.unit)
                    } } }
                    @if !self.why.is_empty() { p { (say!("Why:")) " " (self.why) } }
                    (self.moves())
                }
                @if let Some(apply) = &self.apply { div .buttons { (apply.button(say!("Apply"), say!("Apply this policy"), Tone::Main)) } }
            }
        }
    }

    fn moves(&self) -> Markup {
        html! {
            h3 { (say!("The order of the sample's runners, over this shop's stock")) }
            @if self.empty { p { (say!("There is no stock yet, so no order can move.")) } }
            @else {
                div .table tabindex="0" role="region" aria-label=(say!("How orders would move")) {
                    table {
                        thead { tr {
                            th scope="col" { (say!("Runner")) } th scope="col" { (say!("Moves")) } th scope="col" { (say!("Brought out first")) }
                            th scope="col" { (say!("First five now")) } th scope="col" { (say!("First five then")) }
                        } }
                        tbody { @for moved in &self.moves { (moved.view()) } }
                    }
                }
            }
        }
    }
}

impl RunnerMoves {
    fn view(&self) -> Markup {
        html! {
            tr {
                th scope="row" { (self.runner) }
                td { (self.say) }
                td {
                    @for name in &self.comes { p { "+ " (name) } }
                    @for name in &self.goes { p { "− " (name) } }
                    @if self.comes.is_empty() && self.goes.is_empty() && !self.after.is_empty() { (say!("the same")) }
                }
                td { (self.before.join(", ")) }
                td { (self.after.join(", ")) }
            }
        }
    }
}
