//! Form fields in one hand: label above, unit inside the label, hint below it, error in words at the field.
//! Every choice has *not asked*.

use maud::{Markup, html};

use crate::labels::{FieldLabel, Kind, NOT_ASKED};
use crate::parts::form::Answers;
use crate::parts::problems::{Problem, at};
use crate::words;

/// Draws fields from the labels, filled with what was answered.
#[derive(Clone, Copy, Debug)]
pub struct Fields<'a> {
    /// What was answered.
    pub answers: &'a Answers,
    /// What was wrong with it.
    pub problems: &'a [Problem],
}

/// One choice with a value of its own: a radio or a tick.
#[derive(Clone, Debug)]
pub struct Choice {
    /// What is posted.
    pub value: String,
    /// What is read.
    pub label: String,
    /// A word below, such as how many styles are there.
    pub hint: String,
}

impl Fields<'_> {
    /// The field of one label.
    pub fn field(&self, field: &FieldLabel) -> Markup {
        match field.kind {
            Kind::Decimal => self.text(field, Some("decimal")),
            Kind::Whole => self.text(field, Some("numeric")),
            Kind::Words => self.text(field, None),
            Kind::Range => self.range(field),
            Kind::Select(choices) => self.select(field, choices),
            Kind::Radio(choices) => self.radios(field, &choices_of(choices)),
        }
    }

    fn text(&self, field: &FieldLabel, mode: Option<&str>) -> Markup {
        let error = at(self.problems, field.name);
        html! {
            div .field .wrong[error.is_some()] {
                label for=(field.name) { (words::of(field.label)) (unit(field)) }
                (hint(field))
                (said(field.name, error))
                input .words[mode.is_none()] id=(field.name) name=(field.name) type="text" inputmode=[mode]
                    value=(self.answers.get(field.name)) autocomplete="off"
                    aria-describedby=[described(field, error)] aria-invalid=[error.map(|_| "true")];
            }
        }
    }

    /// Two boxes of one name; the first carries the field's id, so that a problem leads to it.
    fn range(&self, field: &FieldLabel) -> Markup {
        let (error, ends) = (at(self.problems, field.name), self.answers.ends(field.name));
        html! {
            fieldset .field .wrong[error.is_some()] aria-describedby=[described(field, error)] {
                legend { (words::of(field.label)) (unit(field)) }
                (hint(field))
                (said(field.name, error))
                div .line {
                    label { (say!("from")) " " input id=(field.name) name=(field.name) type="text" value=(ends.0); }
                    label { (say!("to")) " " input name=(field.name) type="text" value=(ends.1); }
                }
            }
        }
    }

    fn select(&self, field: &FieldLabel, choices: &[(&str, &str)]) -> Markup {
        let error = at(self.problems, field.name);
        html! {
            div .field .wrong[error.is_some()] {
                label for=(field.name) { (words::of(field.label)) (unit(field)) }
                (hint(field))
                (said(field.name, error))
                (self.bare_select(field.name, None, choices, described(field, error)))
            }
        }
    }

    /// A select without its own label line, for a cell of a table; `spoken` is its name.
    pub fn bare_select(
        &self,
        name: &str,
        spoken: Option<&str>,
        choices: &[(&str, &str)],
        described: Option<String>,
    ) -> Markup {
        html! {
            select id=(name) name=(name) aria-label=[spoken] aria-describedby=[described] {
                option value="" { (words::of(NOT_ASKED)) }
                @for (value, label) in choices {
                    option value=(value) selected[self.answers.has(name, value)] { (words::of(label)) }
                }
            }
        }
    }

    /// Radios in a fieldset, *not asked* first.
    pub fn radios(&self, field: &FieldLabel, choices: &[Choice]) -> Markup {
        let error = at(self.problems, field.name);
        let blank = self.answers.get(field.name).is_empty();
        html! {
            fieldset .field .wrong[error.is_some()] id=(field.name) aria-describedby=[described(field, error)] {
                legend { (words::of(field.label)) (unit(field)) }
                (hint(field))
                (said(field.name, error))
                div .choices {
                    @for choice in choices {
                        (radio(field.name, choice, self.answers.has(field.name, &choice.value)))
                    }
                    (radio(field.name, &not_asked(), blank))
                }
            }
        }
    }

    /// What is wrong with the answer of this name, in words, where a field is drawn in parts.
    pub fn error(&self, name: &str) -> Markup {
        said(name, at(self.problems, name))
    }

    /// As [`Self::error`], with the anchor that a link to the field needs: a tick has no id of its own.
    pub fn anchored_error(&self, name: &str) -> Markup {
        html! { @if self.error_id(name).is_some() { div id=(name) { (self.error(name)) } } }
    }

    /// The id of these words, when there are any.
    pub fn error_id(&self, name: &str) -> Option<String> {
        at(self.problems, name).map(|_| error_id(name))
    }

    /// Ticks of one name, each on or off; for what the fitter taps on and off.
    pub fn ticks(&self, field: &FieldLabel, choices: &[Choice]) -> Markup {
        let error = at(self.problems, field.name);
        html! {
            fieldset .field .wrong[error.is_some()] id=(field.name) aria-describedby=[described(field, error)] {
                legend { (words::of(field.label)) }
                (hint(field))
                (said(field.name, error))
                div .choices {
                    @for choice in choices {
                        (tick(field.name, choice, self.answers.has(field.name, &choice.value)))
                    }
                    (blank(field.name))
                }
            }
        }
    }
}

/// One tick with its words. An unticked box posts nothing, so [`blank`] stands behind the ticks of a name.
pub fn tick(name: &str, choice: &Choice, ticked: bool) -> Markup {
    html! {
        label .choice {
            input type="checkbox" name=(name) value=(choice.value) checked[ticked];
            span { (choice.label) @if !choice.hint.is_empty() { small { (choice.hint) } } }
        }
    }
}

/// Posts a blank for `name`, so that a tick taken away is heard. It stands last: the first text of a name counts.
pub fn blank(name: &str) -> Markup {
    html! { input type="hidden" name=(name) value=""; }
}

/// One radio with its words.
pub fn radio(name: &str, choice: &Choice, chosen: bool) -> Markup {
    html! {
        label .choice .unasked[choice.value.is_empty()] {
            input type="radio" name=(name) value=(choice.value) checked[chosen];
            span { (choice.label) @if !choice.hint.is_empty() { small { (choice.hint) } } }
        }
    }
}

fn not_asked() -> Choice {
    Choice { value: String::new(), label: words::of(NOT_ASKED).to_owned(), hint: String::new() }
}

/// Choices from a table of values and labels.
pub fn choices_of(table: &[(&str, &str)]) -> Vec<Choice> {
    let choice = |(value, label): &(&str, &str)| Choice {
        value: (*value).to_owned(),
        label: words::of(label).to_owned(),
        hint: String::new(),
    };
    table.iter().map(choice).collect()
}

fn unit(field: &FieldLabel) -> Markup {
    html! { @if !field.unit.is_empty() { span .unit { ", " (words::of(field.unit)) } } }
}

fn hint(field: &FieldLabel) -> Markup {
    html! { @if !field.hint.is_empty() { p .hint id=(format!("{}-hint", field.name)) { (words::of(field.hint)) } } }
}

fn said(name: &str, error: Option<&str>) -> Markup {
    html! {
        @if let Some(error) = error {
            p .error id=(error_id(name)) { span .sr { (say!("Error:")) " " } (error) }
        }
    }
}

fn error_id(name: &str) -> String {
    format!("{name}-error")
}

fn described(field: &FieldLabel, error: Option<&str>) -> Option<String> {
    let hint = (!field.hint.is_empty()).then(|| format!("{}-hint", field.name));
    let error = error.map(|_| error_id(field.name));
    let ids: Vec<String> = hint.into_iter().chain(error).collect();
    (!ids.is_empty()).then(|| ids.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::labels::runner_field;

    #[test]
    fn a_choice_nobody_made_stands_at_not_asked() {
        let answers = Answers::default();
        let html =
            Fields { answers: &answers, problems: &[] }.field(runner_field("stage.heading")).into_string();
        assert!(html.contains("value=\"\" checked") && html.contains("not asked"));
        assert_eq!(html.matches("checked").count(), 1);
    }

    #[test]
    fn a_refused_field_keeps_what_was_typed_and_says_what_to_do() {
        let answers = Answers(vec![("run.weekly_km".into(), "thirty".into())]);
        let problems = [Problem { field: "run.weekly_km".into(), say: "Type a number of km.".into() }];
        let html = Fields { answers: &answers, problems: &problems }.field(runner_field("run.weekly_km"));
        let html = html.into_string();
        assert!(html.contains("value=\"thirty\"") && html.contains("aria-invalid=\"true\""));
        assert!(html.contains("Type a number of km.") && html.contains("run.weekly_km-error"));
    }

    #[test]
    fn the_unit_stands_in_the_label() {
        let answers = Answers::default();
        let html = Fields { answers: &answers, problems: &[] }.field(runner_field("now.heel_stack_mm"));
        assert!(html.into_string().contains("Heel stack<span class=\"unit\">, mm</span></label>"));
    }
}
