//! What stands around every page: head, masthead, the way through a visit, footer.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::labels::CAUTION;
use crate::parts::scan_box::ScanBox;
use crate::words::{self, Language};

/// What every page is framed with.
#[derive(Clone, Debug)]
pub struct Frame {
    /// The name of the shop or of the tool.
    pub shop: String,
    /// How old the stock figures are: `Stock figures of this morning, 08:10`, or `No stock yet`.
    pub stock_age: String,
    /// The figures are old enough to be doubted; `stock_age` says so in words.
    pub stock_is_old: bool,
    /// Address of the style sheet, its hash in the name.
    pub style_href: String,
    /// Address of the script, its hash in the name.
    pub script_href: String,
    /// Address of the icon.
    pub icon_href: String,
    /// The open fitting, on its pages only.
    pub fitting: Option<FittingBar>,
    /// The place among `places` this page belongs to, by its address (`/shoes`); used outside fittings.
    pub here: Option<&'static str>,
    /// Where whoever looks may go: label and address.
    pub places: Vec<(&'static str, &'static str)>,
    /// Who looks.
    pub present: Present,
    /// The catalogue can only be looked at.
    pub read_only: bool,
}

/// Who looks at a page, as its foot says it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Present {
    /// The name they are signed in by.
    pub name: Option<String>,
    /// They may look at the staff.
    pub staff: bool,
}

/// The name of a fitting and the way through it.
#[derive(Clone, Debug)]
pub struct FittingBar {
    /// Its address.
    pub href: String,
    /// `Blue Heron`.
    pub name: String,
    /// `Blue`.
    pub colour: &'static str,
    /// The box that takes a scan; `None` leaves it out.
    pub scan: Option<ScanBox>,
    /// Runner, Stock in order, On the foot, Compare, Plan, Card, Close: those that exist, in this order.
    pub way: Vec<Step>,
}

/// One word of the way.
#[derive(Clone, Debug)]
pub struct Step {
    /// The word.
    pub label: String,
    /// Where it leads.
    pub href: String,
    /// The present one.
    pub present: bool,
    /// What it holds already.
    pub done: Option<Done>,
}

/// What a step holds already: `2` to the eye, `2 brought out` to the ear.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done {
    /// How many.
    pub count: usize,
    /// Of what.
    pub of: &'static str,
}

/// How wide the text of a page runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Width {
    /// Lists and tables.
    Wide,
    /// Forms and prose.
    Narrow,
}

/// A whole page. `title` holds nothing about a runner; after a refused form it starts with `Error: `.
pub fn page(frame: &Frame, title: &str, width: Width, main: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang=(words::language().tag()) {
            (head(frame, title))
            body data-fitting=[fitting_of(frame)] data-rests-after=[rests_after(frame)] {
                a .skip href="#main" { (say!("Skip to the page")) }
                (masthead(frame))
                (shut(frame))
                main #main .narrow[width == Width::Narrow] { (main) }
                (footer(frame))
            }
        }
    }
}

/// The head, also for the pages that print without a masthead.
pub fn head(frame: &Frame, title: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light dark";
            title { (title) " · " (frame.shop) }
            link rel="icon" type="image/svg+xml" href=(frame.icon_href);
            link rel="stylesheet" href=(frame.style_href);
            script src=(frame.script_href) defer {}
        }
    }
}

/// Seconds after which a page of a fitting that nobody touches is put out of sight.
const RESTS_AFTER: u32 = 600;

/// The address of the fitting, for the script.
pub fn fitting_of(frame: &Frame) -> Option<&str> {
    frame.fitting.as_ref().map(|fitting| fitting.href.as_str())
}

/// When the script puts the page out of sight; a page without a runner never is.
pub fn rests_after(frame: &Frame) -> Option<u32> {
    frame.fitting.as_ref().map(|_| RESTS_AFTER)
}

fn masthead(frame: &Frame) -> Markup {
    html! {
        header .masthead {
            div .band {
                @if frame.places.iter().any(|(_, href)| *href == "/") { a .shop href="/" { (frame.shop) } }
                @else { p .shop { (frame.shop) } }
                p .age .old[frame.stock_is_old] { (frame.stock_age) }
                @if let Some(fitting) = &frame.fitting {
                    @if let Some(scan) = &fitting.scan { (scan) }
                    p .fitting { (swatch(fitting.colour)) (say!("Fitting:")) " " span { (fitting.name) } }
                }
            }
            @match &frame.fitting {
                Some(fitting) => (way(&fitting.way)),
                None => (places(frame)),
            }
        }
    }
}

/// What stands on every page where nothing can be saved.
fn shut(frame: &Frame) -> Markup {
    html! {
        @if frame.read_only {
            p .shut role="status" {
                span .band {
                    (say!("The catalogue can only be looked at: its folder cannot be written to. Searching and fitting go on; what would be saved is refused."))
                }
            }
        }
    }
}

/// The colour of a fitting, beside its name: one look across the room tells two tablets apart.
pub fn swatch(colour: &str) -> Markup {
    html! { span class={ "swatch " (colour.to_lowercase()) } aria-hidden="true" {} }
}

fn way(steps: &[Step]) -> Markup {
    html! {
        nav .way aria-label=(say!("The way through this fitting")) {
            ul .band { @for step in steps { li { (word(&step.label, &step.href, step.present, step.done.as_ref())) } } }
        }
    }
}

fn places(frame: &Frame) -> Markup {
    html! {
        nav .way aria-label=(say!("Places")) {
            ul .band {
                @for (label, href) in &frame.places { li { (word(label, href, frame.here == Some(*href), None)) } }
            }
        }
    }
}

fn word(label: &str, href: &str, present: bool, done: Option<&Done>) -> Markup {
    html! {
        a href=(href) aria-current=[present.then_some("page")] {
            (label)
            @if let Some(done) = done { " " span .done { "✓ " (done.count) span .sr { " " (done.of) } } }
        }
    }
}

fn footer(frame: &Frame) -> Markup {
    html! {
        footer .foot {
            div .band {
                p .caution { (words::of(CAUTION)) }
                (languages())
                (frame.present)
                // Inside a fitting the places are one step away, so that nothing competes with the way.
                @if frame.fitting.is_some() {
                    ul .places { @for (label, href) in &frame.places { li { a href=(href) { (label) } } } }
                }
            }
        }
    }
}

impl maud::Render for Present {
    fn render(&self) -> Markup {
        html! {
            @if self.name.is_some() || self.staff {
                form .languages .present method="post" action="/sign-out" {
                    @if let Some(name) = &self.name {
                        span { (say!("Signed in as {name}", name)) }
                        button .bare type="submit" { (say!("Sign out")) }
                        a href="/own-password" { (say!("Another password")) }
                        a href="/sessions" { (say!("Sessions")) }
                    }
                    @if self.staff { a href="/staff" { (say!("Staff")) } }
                }
            }
        }
    }
}

/// The switch to each other language, each in its own words.
fn languages() -> Markup {
    let others = Language::ALL.into_iter().filter(|language| *language != words::language());
    html! {
        form .languages method="post" action="/language" {
            @for language in others {
                button .bare type="submit" name="language" value=(language.tag()) lang=(language.tag()) { (language.own_name()) }
            }
        }
    }
}

/// The head of the page itself: its heading, and a sentence below it.
pub fn heading(title: &str, lead: &str) -> Markup {
    html! {
        div .heading {
            h1 { (title) }
            @if !lead.is_empty() { p .lead { (lead) } }
        }
    }
}

/// Nothing, where a page has nothing to say.
pub fn nothing() -> Markup {
    PreEscaped(String::new())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::sample::{fitting_frame, frame};

    #[test]
    fn the_present_step_is_marked_in_the_way() {
        let html =
            page(&fitting_frame("Stock in order"), "Stock in order", Width::Wide, &nothing()).into_string();
        assert_eq!(html.matches("aria-current=\"page\"").count(), 1);
        assert!(
            html.contains(
                "aria-current=\"page\">Stock in order <span class=\"done\">✓ 3<span class=\"sr\"> brought out</span></span></a>"
            )
        );
    }

    #[test]
    fn every_page_carries_the_caution_and_the_age_of_the_stock() {
        let html = page(&frame(None), "Desk", Width::Wide, &nothing()).into_string();
        assert!(html.contains(CAUTION) && html.contains("Stock figures of this morning"));
    }

    #[test]
    fn where_nothing_can_be_saved_every_page_says_so_and_nowhere_else() {
        let drawn = |read_only| {
            page(&Frame { read_only, ..frame(None) }, "Desk", Width::Wide, &nothing()).into_string()
        };
        assert!(drawn(true).contains("what would be saved is refused"));
        assert!(!drawn(false).contains("what would be saved is refused"));
    }

    #[test]
    fn no_page_holds_inline_script_or_style() {
        let html = page(&frame(None), "Desk", Width::Wide, &nothing()).into_string();
        assert_eq!(html.matches("<script").count(), 1);
        assert!(html.contains("<script src=\"lastbench.js\" defer></script>"));
        assert!(!html.contains("style=\"") && !html.contains("<style") && !html.contains("onclick"));
    }
}
