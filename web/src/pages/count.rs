//! Counting: codes scanned into one box, and what they would change before anything is stored.

use maud::{Markup, html};

use crate::parts::act::{Act, Tone};
use crate::parts::fields::{Choice, radio};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, at, summary, title};
use crate::parts::table::Table;

/// The page: the form, and under it what it would change once it was looked at.
#[derive(Clone, Debug)]
pub struct CountPage {
    /// Where the form is posted, with `text`, `place`, `scope`.
    pub action: String,
    /// What has just been done, with the link that leads to its undo.
    pub done: Option<String>,
    /// Why the preview below is not the one that was applied; empty when it is the first.
    pub overtaken: String,
    /// What was wrong; fields `text`, `place`.
    pub problems: Vec<Problem>,
    /// `1 MB`: the most text that is taken.
    pub most: String,
    /// The codes as typed.
    pub text: String,
    /// The shelf as typed.
    pub place: String,
    /// Shelves already known, offered below the field.
    pub places: Vec<String>,
    /// Whether it is everything: the three answers.
    pub scopes: Vec<Choice>,
    /// The answer chosen.
    pub scope: String,
    /// What the codes would change; `None` before they were looked at.
    pub preview: Option<Preview>,
}

/// What the codes would change.
#[derive(Clone, Debug)]
pub struct Preview {
    /// Lines, pairs, sizes, differences, lines held.
    pub counts: Vec<(String, u64, String)>,
    /// Line, text and why: what is not counted.
    pub held: Table,
    /// Size, believed, counted, difference.
    pub found: Table,
    /// `and 212 more`; empty when all are shown.
    pub more_found: String,
    /// Size, believed and what becomes of it: what was not scanned.
    pub absent: Table,
    /// What becomes of them, in a sentence.
    pub absent_in_words: String,
    /// Something becomes of them, so that the list stands open.
    pub absent_matters: bool,
    /// Posts Apply; `None` when nothing would be written.
    pub apply: Option<Act>,
}

impl CountPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead = say!("Scan what stands there. Nothing is stored before you have seen what would change.");
        let body = html! {
            (summary(&self.problems))
            (heading(say!("Count"), lead))
            @if let Some(done) = &self.done {
                p .announcement role="status" { (done) " " a href="/changes" { (say!("Take it back under Changes")) } }
            }
            @if !self.overtaken.is_empty() { p .announcement role="status" { (self.overtaken) } }
            @if let Some(preview) = &self.preview { (preview.view()) }
            (self.form())
        };
        page(frame, &title(say!("Count"), &self.problems), Width::Wide, &body)
    }

    fn form(&self) -> Markup {
        html! {
            form .upload method="post" action=(self.action) autocomplete="off" novalidate {
                @if self.preview.is_some() { h2 { (say!("Scan on, or mend lines")) } }
                (self.codes())
                (self.shelf())
                fieldset .field {
                    legend { (say!("Is this everything?")) }
                    p .hint { (say!("Only where everything was counted does what was not found become none.")) }
                    div .choices { @for scope in &self.scopes { (radio("scope", scope, self.scope == scope.value)) } }
                }
                p .buttons { button .button .quiet[self.preview.is_some()] type="submit" { (say!("Look at it first")) } }
                p .soft {
                    (say!("A count is a fact of its day: the next stock sheet may change it again. Nothing is kept between two looks but the text itself, so copy it somewhere before a long break."))
                }
            }
        }
    }

    fn codes(&self) -> Markup {
        let error = at(&self.problems, "text");
        html! {
            div .field .wrong[error.is_some()] {
                label for="text" { (say!("Codes")) }
                p .hint #text-hint {
                    (say!("One a line, one scan a pair; or a code and its pairs:")) " " code { (say!("CODE x3")) } ", " code { (say!("CODE;3")) }
                    " " (say!("or")) " " code { (say!("CODE 3")) } (say!(". A code scanned again adds up. The number on the box, or the shop's own key of a size. At most")) " " (self.most) ". "
                    a href="/scanner" { (say!("What does the scanner send?")) }
                }
                @if let Some(error) = error { p .error { (error) } }
                textarea #text name="text" rows="12" cols="40" spellcheck="false" autocapitalize="none"
                    aria-describedby="text-hint" aria-invalid=[error.map(|_| "true")] autofocus[self.preview.is_none()]
                    { "\n" (self.text) }
            }
        }
    }

    fn shelf(&self) -> Markup {
        let error = at(&self.problems, "place");
        html! {
            div .field .wrong[error.is_some()] {
                label for="place" { (say!("Shelf")) }
                p .hint #place-hint { (say!("May stay empty. With a name, everything scanned stands there from now on.")) }
                @if let Some(error) = error { p .error { (error) } }
                input #place .words name="place" type="text" list="places" value=(self.place)
                    aria-describedby="place-hint" aria-invalid=[error.map(|_| "true")];
                datalist #places { @for place in &self.places { option value=(place) {} } }
            }
        }
    }
}

impl Preview {
    fn view(&self) -> Markup {
        html! {
            dl .counts {
                @for (label, count, means) in &self.counts { div { dt { (label) } dd { (count) small { (means) } } } }
            }
            @if self.apply.is_none() { p .lead { (say!("Nothing would be written.")) } }
            div .buttons {
                @if let Some(apply) = &self.apply { (apply.button(say!("Apply"), say!("Apply this count"), Tone::Main)) }
                a .button .quiet href="#text" { (say!("Scan on, or mend lines")) }
            }
            @if !self.held.rows.is_empty() { h2 { (say!("Not counted")) } (self.held) }
            @if !self.found.rows.is_empty() {
                h2 { (say!("Found")) }
                (self.found)
            }
            @if !self.more_found.is_empty() { p .soft { (self.more_found) } }
            (self.missing())
        }
    }

    fn missing(&self) -> Markup {
        html! {
            @if !self.absent_in_words.is_empty() {
                h2 { (say!("Not scanned")) }
                p { (self.absent_in_words) }
                @if !self.absent.rows.is_empty() {
                    details .further open[self.absent_matters] { summary { (say!("Which they are")) } (self.absent) }
                }
            }
        }
    }
}
