//! Facets: links with a selected state, or, inside a fitting, buttons that post. Never checkboxes: after Back those come back ticked although the URL says
//! otherwise.

use maud::{Markup, Render, html};

use crate::parts::act::Act;

/// One group of values to choose among.
#[derive(Clone, Debug)]
pub struct Facet {
    /// `Surface`.
    pub label: String,
    /// The values, in an order that no click changes; *not given* last.
    pub values: Vec<FacetValue>,
    /// Unfolded when the page arrives: groups with a selection, and the first few.
    pub open: bool,
}

/// One value of a facet.
#[derive(Clone, Debug)]
pub struct FacetValue {
    /// `road`, or *not given*.
    pub label: String,
    /// How many shoes it would show.
    pub count: usize,
    /// It is in force.
    pub selected: bool,
    /// Its id, where the address it leads to ends in it: so the next page begins where this one was left.
    pub id: Option<String>,
    /// What toggles it; `None` where it would lead to nothing.
    pub toggle: Option<Act>,
}

impl Render for Facet {
    fn render(&self) -> Markup {
        let chosen = self.values.iter().filter(|value| value.selected).count();
        html! {
            details .facet open[self.open] {
                summary { (self.label) @if chosen > 0 { span .count { (chosen) " " (say!("chosen")) } } }
                ul { @for value in &self.values { li { (value) } } }
            }
        }
    }
}

impl Render for FacetValue {
    fn render(&self) -> Markup {
        let inner = html! {
            span .mark aria-hidden="true" { @if self.selected { "✓" } }
            span .what { (self.label) }
            span .count { (self.count) }
            @if self.selected { span .sr { (say!(", chosen; remove it")) } }
        };
        html! {
            @match &self.toggle {
                Some(act) => (act.around(if self.selected { "selected" } else { "" }, self.id.as_deref(), &inner)),
                None => span .none { (inner) },
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(selected: bool, toggle: Option<&str>) -> FacetValue {
        FacetValue {
            label: "trail".into(),
            count: 12,
            selected,
            id: None,
            toggle: toggle.map(|href| Act::Go(href.into())),
        }
    }

    #[test]
    fn a_facet_is_links_and_says_what_is_chosen_without_colour() {
        let facet = Facet {
            label: "Surface".into(),
            values: vec![value(true, Some("/shoes")), value(false, None)],
            open: true,
        };
        let html = facet.render().into_string();
        assert!(!html.contains("checkbox") && html.contains("✓") && html.contains("1 chosen"));
        assert_eq!(html.matches("<a ").count(), 1, "what leads to nothing is no link");
    }
}
