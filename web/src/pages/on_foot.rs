//! On the foot: the shoes that were brought out, tried one after the other, and the customer's own order of comfort.
//! One form holds all of it, so that no button loses what was typed beside it.

use maud::{Markup, html};

use crate::labels::{Choices, HOLDS, NOT_ASKED, ON_FOOT};
use crate::parts::Link;
use crate::parts::act::{Act, Tone};
use crate::parts::fields::{Choice, radio};
use crate::parts::form::{Answers, MADE_FROM};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, at, summary, title};
use crate::parts::sole_line::SoleLine;
use crate::request::on_foot::{FIRST_AGAIN, field};
use crate::words;
use catalogue::key::StyleKey;

/// The field of the button that was pressed.
pub const DO: &str = "do";

/// On the foot.
#[derive(Clone, Debug)]
pub struct OnFootPage {
    /// Posts the form.
    pub action: String,
    /// What was kept when the form was made, as it posts it back.
    pub made_from: String,
    /// In which order, and why; empty with fewer than two shoes.
    pub turns: Vec<String>,
    /// The rule behind that order.
    pub rule: Link,
    /// The shoes, in that order.
    pub shoes: Vec<ShoeOnFoot>,
    /// What was typed.
    pub answers: Answers,
    /// What was wrong with it.
    pub problems: Vec<Problem>,
    /// What the ranks of comfort decide, in words; empty before two shoes have a rank.
    pub verdict: Option<Verdict>,
    /// Back to the order, for more shoes.
    pub more: Link,
}

/// What the ranks of comfort decide.
#[derive(Clone, Debug)]
pub struct Verdict {
    /// `Fennick Marl 3 feels best, and the order cannot tell it from …: comfort decides.`
    pub say: String,
    /// The first shoe has not been put on once more: `Put Fennick Marl 3 on once more before choosing.`
    pub again: Option<String>,
    /// The choice it leads to: words and the value of the button.
    pub choose: Option<(String, String)>,
}

/// One shoe.
#[derive(Clone, Debug)]
pub struct ShoeOnFoot {
    /// Its key, in the names of its fields.
    pub key: StyleKey,
    /// Maker and name.
    pub name: String,
    /// Its page.
    pub href: String,
    /// `same drop, 3 mm lower, 29 g lighter`.
    pub deltas: String,
    /// Its drawing, the worn pair over it.
    pub sole: SoleLine,
    /// The sizes there are: value and words.
    pub sizes: Vec<(String, String)>,
    /// What is true of its boxes for the moment: `EU 42.5 D, Linen: held until …`.
    pub states: Vec<String>,
    /// The sizes by name, for *wanted, not had*.
    pub wanted: Vec<String>,
    /// It is the one that goes home.
    pub is_chosen: bool,
}

impl OnFootPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead =
            say!("Both feet, and a few steps at the usual pace. The customer ranks; nothing is measured.");
        let body = html! {
            (summary(&self.problems))
            (heading(say!("On the foot"), lead))
            @if self.shoes.is_empty() { (self.nothing_yet()) } @else { (self.form()) }
        };
        page(frame, &title(say!("On the foot"), &self.problems), Width::Wide, &body)
    }

    fn nothing_yet(&self) -> Markup {
        html! {
            p { (say!("No shoe has been brought out yet.")) }
            (Act::Go(self.more.href.clone()).button(&self.more.label, &self.more.label, Tone::Main))
        }
    }

    fn form(&self) -> Markup {
        html! {
            (self.turns())
            form .on-foot method="post" action=(self.action) autocomplete="off" novalidate {
                input type="hidden" name=(MADE_FROM) value=(self.made_from);
                // Enter keeps what was typed, whichever button stands first.
                button .sr type="submit" name=(DO) value="keep" tabindex="-1" aria-hidden="true" { (say!("Keep")) }
                @for (at, shoe) in self.shoes.iter().enumerate() { (self.shoe(shoe, at)) }
                (self.comfort())
                div .buttons {
                    button .button type="submit" name=(DO) value="keep" { (say!("Keep")) }
                    a .button .quiet href=(self.more.href) { (self.more.label) }
                }
            }
        }
    }

    fn turns(&self) -> Markup {
        html! {
            @if !self.turns.is_empty() {
                section .turns aria-labelledby="turns" {
                    h2 #turns { (say!("In this order")) }
                    ol { @for turn in &self.turns { li { (turn) } } }
                    p .hint { (say!("First impressions change; that is why the first is worn twice.")) " " (self.rule) }
                }
            }
        }
    }

    fn shoe(&self, shoe: &ShoeOnFoot, place: usize) -> Markup {
        html! {
            section .try aria-labelledby=(format!("shoe-{place}")) {
                div .title {
                    h2 id=(format!("shoe-{place}")) { a href=(shoe.href) { (shoe.name) } @if shoe.is_chosen { " " span .mark { (say!("chosen")) } } }
                    p .deltas { (shoe.deltas) }
                    (shoe.sole)
                }
                div .said {
                    div .line {
                        (self.size(shoe, "left", say!("Left foot")))
                        (self.size(shoe, "right", say!("Right foot")))
                    }
                    @for state in &shoe.states { p .remark { (state) } }
                    @for (question, label, choices) in ON_FOOT { (self.question(shoe, question, words::of(label), choices)) }
                    (self.note(shoe))
                    (shelf(shoe))
                }
            }
        }
    }

    fn size(&self, shoe: &ShoeOnFoot, foot: &str, label: &str) -> Markup {
        let name = field(foot, &shoe.key);
        html! {
            div .field .wrong[at(&self.problems, &name).is_some()] {
                label for=(name) { (label) }
                (self.error(&name))
                select id=(name) name=(name) {
                    option value="" { (say!("not on this foot")) }
                    @for (value, words) in &shoe.sizes {
                        option value=(value) selected[self.answers.get(&name) == value] { (words) }
                    }
                }
            }
        }
    }

    fn question(&self, shoe: &ShoeOnFoot, question: &str, label: &str, choices: Choices) -> Markup {
        let name = field(question, &shoe.key);
        let chosen = self.answers.get(&name);
        html! {
            fieldset .field .compact id=(name) {
                legend { (label) }
                (self.error(&name))
                div .choices {
                    @for (value, words) in choices { (radio(&name, &choice(value, words::of(words)), chosen == *value)) }
                    (radio(&name, &choice("", words::of(NOT_ASKED)), chosen.is_empty()))
                }
            }
        }
    }

    fn note(&self, shoe: &ShoeOnFoot) -> Markup {
        let name = field("note", &shoe.key);
        html! {
            div .field .wrong[at(&self.problems, &name).is_some()] {
                label for=(name) { (say!("Note")) }
                (self.error(&name))
                input .words id=(name) name=(name) type="text" value=(self.answers.get(&name))
                    aria-describedby=(format!("{name}-hint"));
                p .hint id=(format!("{name}-hint")) { (say!("Stays in memory and goes when the fitting is closed.")) }
            }
        }
    }

    fn error(&self, name: &str) -> Markup {
        html! { @if let Some(say) = at(&self.problems, name) { p .error { span .sr { (say!("Error:")) " " } (say) } } }
    }

    /// The customer's own order; asked once two shoes can be compared.
    fn comfort(&self) -> Markup {
        html! {
            @if self.shoes.len() >= 2 {
                section .comfort aria-labelledby="comfort" {
                    h2 #comfort { (say!("Which feels best?")) }
                    p .hint { (say!("The customer's own order: 1 is the most comfortable. The same number twice: no difference felt.")) }
                    table {
                        caption .sr { (say!("Comfort, as the customer ranks it")) }
                        tbody { @for shoe in &self.shoes { (self.rank(shoe)) } }
                    }
                    label .choice {
                        input type="checkbox" name=(FIRST_AGAIN) value="yes" checked[self.answers.has(FIRST_AGAIN, "yes")];
                        span { (say!("The first was put on once more at the end")) }
                    }
                    @if let Some(verdict) = &self.verdict { (verdict.view()) }
                }
            }
        }
    }

    fn rank(&self, shoe: &ShoeOnFoot) -> Markup {
        let name = field("rank", &shoe.key);
        let chosen = self.answers.get(&name);
        html! {
            tr {
                th scope="row" { (shoe.name) }
                td {
                    fieldset .field .compact id=(name) {
                        legend .sr { (say!("Comfort of")) " " (shoe.name) }
                        (self.error(&name))
                        div .choices {
                            @for rank in 1..=self.shoes.len() {
                                @let rank = rank.to_string();
                                (radio(&name, &choice(&rank, &rank), chosen == rank))
                            }
                            (radio(&name, &choice("", words::of(NOT_ASKED)), chosen.is_empty()))
                        }
                    }
                }
                td {
                    @if !shoe.is_chosen {
                        button .button .quiet type="submit" name=(DO) value=(format!("choose:{}", shoe.key))
                            aria-label=(say!("Choose {shoe}", shoe = shoe.name)) { (say!("Choose")) }
                    } @else { (say!("chosen")) }
                }
            }
        }
    }
}

impl Verdict {
    fn view(&self) -> Markup {
        html! {
            div .announcement role="status" {
                p { (self.say) @if let Some(again) = &self.again { " " (again) } }
                @if let Some((label, value)) = &self.choose {
                    button .button type="submit" name=(DO) value=(format!("choose:{value}")) { (label) }
                }
            }
        }
    }
}

/// What the shelf has, or has not.
fn shelf(shoe: &ShoeOnFoot) -> Markup {
    let (boxed, hours, wanted) =
        (field("box", &shoe.key), field("hold", &shoe.key), field("wanted", &shoe.key));
    html! {
        details .shelf {
            summary { (say!("The box is not there, or is to be held")) }
            @if !shoe.sizes.is_empty() {
                div .line {
                    label for=(boxed) { (say!("Box")) }
                    select id=(boxed) name=(boxed) {
                        @for (value, words) in &shoe.sizes { option value=(value) { (words) } }
                    }
                }
                div .line {
                    button .button .quiet type="submit" name=(DO) value=(format!("missing:{}", shoe.key)) { (say!("Not on the shelf")) }
                    select id=(hours) name=(hours) aria-label=(say!("Held for")) {
                        @for (value, words) in HOLDS { option value=(value) selected[*value == "24"] { (words::of(words)) } }
                    }
                    button .button .quiet type="submit" name=(DO) value=(format!("hold:{}", shoe.key)) { (say!("Hold it")) }
                    button .button .quiet type="submit" name=(DO) value=(format!("release:{}", shoe.key)) { (say!("Let it go")) }
                }
            }
            div .line {
                label for=(wanted) { (say!("Wanted, not had")) }
                select id=(wanted) name=(wanted) { @for size in &shoe.wanted { option { (size) } } }
                button .button .quiet type="submit" name=(DO) value=(format!("wanted:{}", shoe.key)) { (say!("Count it")) }
            }
            p .hint { (say!("Holds last while the server runs. What is wanted or missing is counted for the owner, without saying of whom.")) }
        }
    }
}

fn choice(value: &str, label: &str) -> Choice {
    Choice { value: value.to_owned(), label: label.to_owned(), hint: String::new() }
}
