//! The owner's day: what came in, what is missing, what was looked for in vain, what runs out.

use maud::{Markup, html};

use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page};

/// The owner's day.
#[derive(Clone, Debug)]
pub struct DayPage {
    /// The last sheet, in words with its change; a sentence where there was none.
    pub last_import: Noted,
    /// What changed since this time yesterday, latest first.
    pub since: Vec<Noted>,
    /// `212 values not given`, with the way to them.
    pub holes: Noted,
    /// Boxes that were looked for in vain.
    pub recount: Vec<Noted>,
    /// Sizes that were asked for and not there.
    pub wanted: Vec<Noted>,
    /// What was said of shoes on the foot.
    pub on_foot: Vec<Noted>,
    /// Sizes that run out.
    pub low: Vec<Noted>,
    /// How many more styles have such sizes.
    pub low_more: usize,
    /// What counts as few.
    pub few: String,
    /// How the catalogue is kept.
    pub kept: Kept,
}

/// How the catalogue is kept.
#[derive(Clone, Debug)]
pub struct Kept {
    /// Something is to be done at once.
    pub is_red: bool,
    /// What it is, then the last good backup and the folders.
    pub lines: Vec<Noted>,
}

/// One line.
#[derive(Clone, Debug)]
pub struct Noted {
    /// What it says.
    pub say: String,
    /// A softer half: how often, when.
    pub soft: String,
    /// Where it is dealt with.
    pub link: Option<Link>,
    /// Takes it off the list.
    pub settle: Option<Act>,
}

impl DayPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let body = html! {
            (heading(say!("The owner's day"), say!("What came in, what is missing, and what the fitting room has noted. No line says of whom.")))
            @if self.kept.is_red { div .wrong role="alert" { (part(say!("Backups: do something now"), &self.kept.lines, "")) } }
            div .columns {
                div {
                    (part(say!("Last sheet"), std::slice::from_ref(&self.last_import), ""))
                    (part(say!("Since yesterday"), &self.since, say!("Nothing has changed since this time yesterday.")))
                    (part(say!("What sheets do not say"), std::slice::from_ref(&self.holes), ""))
                    (part(say!("To count again"), &self.recount, say!("Nothing was looked for in vain.")))
                }
                div {
                    (part(say!("Wanted, not had"), &self.wanted, say!("Nothing was asked for and not there.")))
                    (part(say!("Said on the foot"), &self.on_foot, say!("Nothing yet: it is counted when a fitting is closed.")))
                    (part(say!("Sizes that run out"), &self.low, say!("No size inside a run is low.")))
                    @if self.low_more > 0 { p .soft { (say!("And")) " " (self.low_more) " " (say!("more styles.")) } }
                    p .hint { (self.few) }
                    @if !self.kept.is_red { (part(say!("Backups"), &self.kept.lines, "")) }
                    p { (Link::new(say!("What is kept, and where"), "/kept")) }
                }
            }
        };
        page(frame, say!("The owner's day"), Width::Wide, &body)
    }
}

fn part(title: &str, lines: &[Noted], none: &str) -> Markup {
    let id = title.to_lowercase().replace([' ', ',', ':'], "-");
    html! {
        section aria-labelledby=(id) {
            h2 id=(id) { (title) }
            @if lines.is_empty() { p .soft { (none) } }
            @else { ul .noted { @for line in lines { li { (line.view()) } } } }
        }
    }
}

impl Noted {
    /// A line with nothing to do.
    pub fn plain(say: impl Into<String>) -> Self {
        Self { say: say.into(), soft: String::new(), link: None, settle: None }
    }

    fn view(&self) -> Markup {
        html! {
            div {
                p { (self.say) }
                @if !self.soft.is_empty() || self.link.is_some() {
                    p .soft { (self.soft) @if let Some(link) = &self.link { @if !self.soft.is_empty() { " · " } (link) } }
                }
            }
            @if let Some(settle) = &self.settle {
                (settle.button(say!("Dealt with"), &say!("Dealt with: {say}", say = self.say), Tone::Quiet))
            }
        }
    }
}
