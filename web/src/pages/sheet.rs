//! One sheet before it is applied, in the order in which its owner thinks: what file it is, what it says, what is to be
//! decided, what would change, apply.

use maud::{Markup, html};

use super::sheet_changes::{Changes, Missing};
use super::sheet_headings::Headings;
use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::control::Control;
use crate::parts::findings::Findings;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, summary, title};

/// A sheet that waits.
#[derive(Clone, Debug)]
pub struct SheetPage {
    /// The file's name.
    pub sheet: String,
    /// `From Brackwater · partial · 412 rows · 31 kB`.
    pub facts: String,
    /// What has happened since it was last looked at.
    pub notices: Vec<String>,
    /// What was wrong with the answers.
    pub problems: Vec<Problem>,
    /// New, changed, unchanged, held; and missing apart.
    pub counts: Vec<Count>,
    /// What keeps it from being applied, each leading to where it is decided.
    pub undecided: Vec<Link>,
    /// Who makes the shoes, where the sheet does not say.
    pub maker: Option<AskedMaker>,
    /// How it was read.
    pub how: HowRead,
    /// What its headings feed.
    pub headings: Headings,
    /// How rows were joined to their shoes.
    pub joined: Vec<String>,
    /// What would change.
    pub changes: Changes,
    /// Of a full sheet: what it leaves out.
    pub missing: Option<Missing>,
    /// What is wrong where.
    pub findings: Findings,
    /// The rows to mend as a workbook.
    pub to_mend: Option<Link>,
    /// Apply; `None` when nothing may or need be applied.
    pub apply: Option<Apply>,
    /// Posts Leave.
    pub leave: Act,
    /// The same for machines.
    pub twins: Vec<Link>,
}

/// How a sheet was read.
#[derive(Clone, Debug)]
pub struct HowRead {
    /// Where the form is posted.
    pub action: String,
    /// `Semicolons, windows-1252, headings in row 1`.
    pub short: String,
    /// What can be said otherwise.
    pub controls: Vec<Control>,
    /// Something in it is wrong or open: it stands open.
    pub open: bool,
    /// Where the mapping comes from: guessed, remembered, from a file.
    pub source: String,
    /// Reads it anew by guessing, where something else was said.
    pub forget: Option<Act>,
    /// The mapping as a file.
    pub mapping_href: String,
}

/// One of the counts.
#[derive(Clone, Debug)]
pub struct Count {
    /// `new`.
    pub label: String,
    /// How many rows.
    pub count: usize,
    /// What it means: `rows that wait for a mend`.
    pub means: String,
}

/// The question who makes the shoes of a sheet.
#[derive(Clone, Debug)]
pub struct AskedMaker {
    /// Why it is asked.
    pub say: String,
    /// What is proposed; blank for nothing.
    pub proposed: String,
}

/// The form that applies a sheet.
#[derive(Clone, Debug)]
pub struct Apply {
    /// Where it is posted.
    pub action: String,
    /// Which reading was seen: name and value.
    pub seen: (String, String),
    /// `31 new and 44 changed rows are stored as one change, which can be taken back.`
    pub say: String,
}

impl SheetPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (summary(&self.problems))
            (heading(&self.sheet, &self.facts))
            @for notice in &self.notices { p .remark role="status" { (notice) } }
            (self.status())
            form .mapping method="post" action=(self.how.action) autocomplete="off" novalidate {
                (self.how.view())
                (self.headings)
            }
            (self.how.source_view())
            h2 #changes { (say!("What would change")) }
            (counts(&self.counts))
            @for line in &self.joined { p .soft { (line) } }
            (self.changes)
            h2 #findings { (say!("Findings")) }
            @if let Some(to_mend) = &self.to_mend {
                div .buttons { a .button .quiet href=(to_mend.href) { (to_mend.label) } }
                p .soft { (say!("Mend the rows in it and send it in as a sheet: it touches these rows alone.")) }
            }
            (self.findings)
            (self.decide())
            p .twins { (say!("For machines:")) " " @for twin in &self.twins { (twin) } }
        };
        page(frame, &title(say!("Sheet before it is applied"), &self.problems), Width::Wide, &body)
    }

    fn status(&self) -> Markup {
        html! {
            @if let Some(maker) = &self.maker { (maker.view(&self.how.action)) }
            @if self.undecided.is_empty() && self.maker.is_none() {
                p .summary { (say!("Nothing is stored yet.")) " " @if self.apply.is_some() { (say!("Look it through, then")) " " a href="#apply" { (say!("apply it")) } "." } }
            } @else if !self.undecided.is_empty() {
                div .settle #undecided {
                    h2 { (say!("To decide first")) }
                    ul .plain { @for link in &self.undecided { li { (link) } } }
                }
            }
        }
    }

    fn decide(&self) -> Markup {
        html! {
            h2 #apply { (say!("Apply")) }
            @match &self.apply {
                Some(apply) => {
                    form method="post" action=(apply.action) {
                        input type="hidden" name=(apply.seen.0) value=(apply.seen.1);
                        p { (apply.say) }
                        @if let Some(missing) = &self.missing { (missing) }
                        p .buttons { button .button type="submit" { (say!("Apply")) } }
                    }
                }
                None if self.undecided.is_empty() && self.maker.is_some() => { p { (say!("There is nothing to apply before the maker is known.")) } }
                None if self.undecided.is_empty() => { p { (say!("There is nothing to apply: the catalogue says all of it already, or all of it is held.")) } }
                None => { p { (say!("It can be applied once this is decided:")) } ul .plain { @for link in &self.undecided { li { (link) } } } }
            }
            (self.leave.button(say!("Leave it"), say!("Leave it: nothing of this sheet is stored"), Tone::Quiet))
        }
    }
}

impl AskedMaker {
    fn view(&self, action: &str) -> Markup {
        html! {
            form .settle method="post" action=(action) autocomplete="off" {
                div .field {
                    label for="maker-asked" { (say!("Who makes these shoes?")) }
                    p .hint #maker-asked-hint { (self.say) }
                    input #maker-asked .words name="maker" type="text" value=(self.proposed) aria-describedby="maker-asked-hint";
                }
                p .buttons { button .button type="submit" { (say!("Read it so")) } }
            }
        }
    }
}

fn counts(counts: &[Count]) -> Markup {
    html! {
        dl .counts {
            @for count in counts {
                div { dt { (count.label) } dd { (count.count) small { (count.means) } } }
            }
        }
    }
}

impl HowRead {
    fn view(&self) -> Markup {
        html! {
            h2 #how { (say!("How it was read")) }
            p .lead { (self.short) }
            details .further open[self.open] {
                summary { (say!("The evidence, and reading it another way")) }
                div .controls { @for control in &self.controls { (control) } }
                p .buttons { button .button .quiet type="submit" { (say!("Read it so")) } }
            }
        }
    }

    fn source_view(&self) -> Markup {
        html! {
            div .source {
                p { (self.source) }
                @if let Some(forget) = &self.forget {
                    (forget.button(say!("Guess it anew"), say!("Guess anew how the headings are read"), Tone::Quiet))
                }
                p { a href=(self.mapping_href) download { (say!("Download the mapping (TOML)")) } }
                details {
                    summary { (say!("Use a mapping file")) }
                    form .line method="post" action=(self.mapping_href) enctype="multipart/form-data" {
                        div .field {
                            label for="mapping-file" { (say!("Mapping file (TOML)")) }
                            input #mapping-file name="mapping" type="file" accept=".toml";
                        }
                        button .button .quiet type="submit" { (say!("Read by this file")) }
                    }
                }
            }
        }
    }
}
