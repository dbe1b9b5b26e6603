//! One setting of a form in a page of records: what it is, the evidence for how it stands, and how to change it.

use maud::{Markup, Render, html};

/// A setting with its label above and its evidence below.
#[derive(Clone, Debug)]
pub struct Control {
    /// What is set.
    pub label: String,
    /// Why it stands as it does.
    pub evidence: String,
    /// How it is changed.
    pub widget: Widget,
    /// What was wrong with what was typed.
    pub wrong: Option<String>,
}

/// How a setting is changed.
#[derive(Clone, Debug)]
pub enum Widget {
    /// One of several.
    Select(Select),
    /// A short text.
    Text {
        /// Its name, which is also its id.
        name: String,
        /// What stands in it.
        value: String,
        /// It is a number.
        number: bool,
    },
}

/// A choice of one among many, in groups.
#[derive(Clone, Debug)]
pub struct Select {
    /// Its name, which is also its id.
    pub name: String,
    /// Its name as spoken, where no label stands above it.
    pub spoken: Option<String>,
    /// What can be chosen.
    pub groups: Vec<Options>,
    /// The value chosen.
    pub chosen: String,
}

/// Options that belong together.
#[derive(Clone, Debug)]
pub struct Options {
    /// Their heading; blank for none.
    pub label: String,
    /// Value and words.
    pub options: Vec<(String, String)>,
}

impl Options {
    /// Options without a heading.
    pub fn plain(options: &[(&str, &str)]) -> Self {
        let owned = |(value, label): &(&str, &str)| ((*value).to_owned(), (*label).to_owned());
        Self { label: String::new(), options: options.iter().map(owned).collect() }
    }
}

impl Render for Control {
    fn render(&self) -> Markup {
        let name = match &self.widget {
            Widget::Select(select) => &select.name,
            Widget::Text { name, .. } => name,
        };
        html! {
            div .field .control .wrong[self.wrong.is_some()] {
                label for=(name) { (self.label) }
                @if let Some(wrong) = &self.wrong { p .error { span .sr { (say!("Error:")) " " } (wrong) } }
                @match &self.widget {
                    Widget::Select(select) => (select),
                    Widget::Text { name, value, number } => {
                        input id=(name) name=(name) .words[!number] type="text" inputmode=[number.then_some("numeric")]
                            value=(value) autocomplete="off";
                    }
                }
                @if !self.evidence.is_empty() { p .hint { (self.evidence) } }
            }
        }
    }
}

impl Render for Select {
    fn render(&self) -> Markup {
        html! {
            select id=(self.name) name=(self.name) aria-label=[self.spoken.as_deref()] {
                @for group in &self.groups {
                    @if group.label.is_empty() { (self.options(group)) }
                    @else { optgroup label=(group.label) { (self.options(group)) } }
                }
            }
        }
    }
}

impl Select {
    /// The option chosen is marked once, though a suggestion may stand in its own group too.
    fn options(&self, group: &Options) -> Markup {
        let first = |value: &str| {
            let holds = |group: &&Options| group.options.iter().any(|(own, _)| own == value);
            self.groups.iter().find(holds).is_some_and(|first| std::ptr::eq(first, group))
        };
        html! {
            @for (value, label) in &group.options {
                option value=(value) selected[*value == self.chosen && first(value)] { (label) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_option_in_two_groups_is_chosen_once() {
        let group =
            |label: &str| Options { label: label.to_owned(), ..Options::plain(&[("mass", "weight")]) };
        let select = Select {
            name: "column-0-D".into(),
            spoken: Some("What Weight is".into()),
            groups: vec![Options::plain(&[("", "undecided")]), group("Suggested"), group("Measures")],
            chosen: "mass".into(),
        };
        let html = select.render().into_string();
        assert_eq!(html.matches("selected").count(), 1);
        assert_eq!(html.matches("<optgroup").count(), 2);
    }
}
