//! What words mean besides themselves in this shop: the owner's lines, and what each finds now.

use maud::{Markup, html};

use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, at, summary, title};
use crate::parts::table::Table;

/// The page.
#[derive(Clone, Debug)]
pub struct SynonymsPage {
    /// Where the lines are posted.
    pub action: String,
    /// The change at which they were looked at.
    pub at: String,
    /// The lines as kept, or as typed.
    pub lines: String,
    /// Why, as typed.
    pub why: String,
    /// What was wrong.
    pub problems: Vec<Problem>,
    /// The lines were changed by somebody else; else empty.
    pub overtaken: String,
    /// Each name with the shoes that hold it now; `None` when nothing is kept.
    pub names: Option<Table>,
}

impl SynonymsPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead = say!("What else a word finds, one line each. It holds from the moment it is kept.");
        let body = html! {
            (summary(&self.problems))
            (heading(say!("Synonyms"), lead))
            @if !self.overtaken.is_empty() { p .announcement role="status" { (self.overtaken) } }
            (self.form())
            @if let Some(names) = &self.names { (names) }
        };
        page(frame, &title(say!("Synonyms"), &self.problems), Width::Narrow, &body)
    }

    fn form(&self) -> Markup {
        let (lines, why) = (at(&self.problems, "lines"), at(&self.problems, "why"));
        html! {
            form method="post" action=(self.action) autocomplete="off" novalidate {
                input type="hidden" name="at" value=(self.at);
                div .field .wrong[lines.is_some()] {
                    label for="lines" { (say!("Lines")) }
                    p .hint #lines-hint {
                        (say!("Names with commas find each other: sky, azure, light blue. An arrow leads one way: rain => waterproof. Behind # stands a remark."))
                    }
                    @if let Some(error) = lines { p .error { (error) } }
                    textarea #lines name="lines" rows="12" spellcheck="false" aria-describedby="lines-hint" { "\n" (self.lines) }
                }
                div .field .wrong[why.is_some()] {
                    label for="why" { (say!("Why")) " " span .hint { (say!("(kept in the history)")) } }
                    @if let Some(error) = why { p .error { (error) } }
                    input #why .words name="why" type="text" value=(self.why);
                }
                p .buttons { button .button type="submit" { (say!("Keep the lines")) } }
            }
        }
    }
}
