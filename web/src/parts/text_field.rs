//! One line of text in a form of its own: a name, a code, a password.

use maud::{Markup, Render, html};

use crate::parts::problems::{Problem, at};

/// A field with its label above and what was wrong beside it.
#[derive(Clone, Debug, Default)]
pub struct TextField {
    /// Its name, which is also its id.
    pub name: &'static str,
    /// What is asked for.
    pub label: String,
    /// How it is answered; empty for nothing.
    pub hint: String,
    /// What stands in it; a password never comes back.
    pub value: String,
    /// What a browser may fill in: `username`, `current-password`, `new-password`, `off`.
    pub fills: &'static str,
    /// What was wrong.
    pub wrong: Option<String>,
}

impl TextField {
    /// This field with what was wrong at it.
    #[must_use]
    pub fn checked(self, problems: &[Problem]) -> Self {
        Self { wrong: at(problems, self.name).map(str::to_owned), ..self }
    }

    fn described(&self) -> Option<String> {
        let hint = (!self.hint.is_empty()).then(|| format!("{}-hint", self.name));
        let error = self.wrong.as_ref().map(|_| format!("{}-error", self.name));
        let ids: Vec<String> = hint.into_iter().chain(error).collect();
        (!ids.is_empty()).then(|| ids.join(" "))
    }
}

impl Render for TextField {
    fn render(&self) -> Markup {
        let secret = self.fills.ends_with("password");
        html! {
            div .field .wrong[self.wrong.is_some()] {
                label for=(self.name) { (self.label) }
                @if !self.hint.is_empty() { p .hint id={ (self.name) "-hint" } { (self.hint) } }
                @if let Some(wrong) = &self.wrong {
                    p .error id={ (self.name) "-error" } { span .sr { (say!("Error:")) " " } (wrong) }
                }
                input .words id=(self.name) name=(self.name) type=(if secret { "password" } else { "text" })
                    value=[(!secret).then_some(&self.value)] autocomplete=(self.fills) autocapitalize="none" spellcheck="false"
                    aria-describedby=[self.described()] aria-invalid=[self.wrong.as_ref().map(|_| "true")];
            }
        }
    }
}
