//! Range facets: a small histogram with its twin in words, preset bands as links, and two fields for one's own.

use maud::{Markup, Render, html};

use crate::labels::NOT_GIVEN;
use crate::parts::facets::Facet;
use crate::parts::facets::FacetValue;
use crate::words;

/// A measure to narrow by.
#[derive(Clone, Debug)]
pub struct RangeFacet {
    /// Key used for element ids: `drop`.
    pub key: String,
    /// `Drop`.
    pub label: String,
    /// `mm`, `g`, `€`.
    pub unit: String,
    /// The bars, in rising order; counted without this facet's own bounds.
    pub bins: Vec<Bin>,
    /// The preset bands, and *not given* last.
    pub bands: Vec<FacetValue>,
    /// How many do not say.
    pub unknown: usize,
    /// Where the two fields are sent.
    pub action: String,
    /// They are posted; else the address holds them.
    pub posts: bool,
    /// The id of the button that sends the two fields, where the address of the answer ends in it.
    pub id: Option<String>,
    /// The rest of the URL's state as hidden fields, sorted.
    pub hidden: Vec<(String, String)>,
    /// Name and typed value of the lower bound.
    pub from: (String, String),
    /// Name and typed value of the upper bound.
    pub to: (String, String),
    /// Unfolded when the page arrives.
    pub open: bool,
}

/// One bar: `20 to 24` and how many.
#[derive(Clone, Debug)]
pub struct Bin {
    /// From and to in words, without the unit.
    pub label: String,
    /// How many.
    pub count: usize,
    /// It lies within the bounds in force.
    pub within: bool,
}

const BAR: usize = 14;
const TALL: usize = 40;

impl Render for RangeFacet {
    fn render(&self) -> Markup {
        html! {
            details .facet .range open[self.open] {
                summary { (self.label) ", " (self.unit) }
                (self.histogram())
                ul { @for band in &self.bands { li { (band) } } }
                (self.bounds())
            }
        }
    }
}

impl RangeFacet {
    /// The histogram in words: `drop in mm: 0 to 2: 14, 3 to 5: 31; not given: 9`.
    pub fn in_words(&self) -> String {
        let bins: Vec<String> = self.bins.iter().map(|bin| format!("{}: {}", bin.label, bin.count)).collect();
        say!(
            "{label} in {unit}: {bins}; {value}: {unknown}",
            label = self.label,
            unit = self.unit,
            bins = bins.join(", "),
            value = words::of(NOT_GIVEN),
            unknown = self.unknown
        )
    }

    fn histogram(&self) -> Markup {
        let most = self.bins.iter().map(|bin| bin.count).max().unwrap_or(0).max(1);
        let (width, words) = (self.bins.len() * BAR, self.in_words());
        html! {
            svg .histogram role="img" aria-label=(words) width=(width) height=(TALL + 2)
                viewBox=(format!("0 0 {width} {}", TALL + 2)) {
                title { (words) }
                @for (place, bin) in self.bins.iter().enumerate() { (bin.bar(place, most)) }
                path .ground d=(format!("M 0 {0} H {width}", TALL + 1)) {}
            }
        }
    }

    fn bounds(&self) -> Markup {
        html! {
            form .bounds method=(if self.posts { "post" } else { "get" }) action=(self.action) {
                @for (name, value) in &self.hidden { input type="hidden" name=(name) value=(value); }
                (self.bound("from", say!("from"), &self.from))
                (self.bound("to", say!("to"), &self.to))
                button .button .quiet id=[self.id.as_deref()] type="submit" { (say!("Apply")) span .sr { " " (self.label) } }
            }
        }
    }

    fn bound(&self, end: &str, word: &str, (name, value): &(String, String)) -> Markup {
        let id = format!("{}-{end}", self.key);
        html! {
            div {
                label for=(id) { (word) ", " (self.unit) span .sr { " " (say!("of")) " " (self.label) } }
                input id=(id) type="text" inputmode="decimal" name=(name) value=(value) autocomplete="off";
            }
        }
    }
}

impl Bin {
    fn bar(&self, place: usize, most: usize) -> Markup {
        // A bin with one shoe among many is still seen.
        let height = if self.count == 0 { 0 } else { (self.count * TALL / most).max(2) };
        html! {
            rect .bar .within[self.within] x=(place * BAR + 1) y=(TALL - height) width=(BAR - 2) height=(height) {}
        }
    }
}

/// The filters of a list or of the map: the way back to none, groups of values, then ranges.
pub fn narrowing(found: &str, clear: Option<&str>, facets: &[Facet], ranges: &[RangeFacet]) -> Markup {
    html! {
        section .facets #narrow aria-labelledby="narrow-heading" {
            h2 #narrow-heading { (say!("Narrow")) }
            // Where this stands below the list, what the filters found is not in sight.
            p .to-list { a href="#results" { (found) } }
            @if let Some(href) = clear { p .clear { a href=(href) { (say!("Clear all filters")) } } }
            @for facet in facets { (facet) }
            @for range in ranges { (range) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_histogram_has_a_twin_in_words_and_no_bar_for_nothing() {
        let bin = |label: &str, count| Bin { label: label.into(), count, within: true };
        let range = RangeFacet {
            key: "drop".into(),
            label: "Drop".into(),
            unit: "mm".into(),
            bins: vec![bin("0 to 2", 14), bin("3 to 5", 0), bin("6 to 8", 700)],
            bands: vec![],
            unknown: 9,
            action: "/shoes".into(),
            posts: false,
            id: None,
            hidden: vec![("q".into(), "marl".into())],
            from: ("drop_from".into(), String::new()),
            to: ("drop_to".into(), "8".into()),
            open: true,
        };
        let html = range.render().into_string();
        assert!(html.contains("Drop in mm: 0 to 2: 14, 3 to 5: 0, 6 to 8: 700; not given: 9"));
        assert!(
            html.contains("height=\"2\"") && html.contains("height=\"0\"") && html.contains("height=\"40\"")
        );
        assert!(!html.contains("type=\"number\""));
    }
}
