//! Two windows on one fitting: a form says what it was made from, so that what another window has said since is kept.
//! Only where both have answered the same question, each in another way, somebody has to look.

use std::collections::BTreeSet;

use catalogue::key::StyleKey;
use indexer::snapshot::Snapshot;

use super::{Visit, on_foot, shoe};
use crate::labels::{Choices, Kind, NOT_ASKED, ON_FOOT, YES_NO, answer_label, runner_field};
use crate::pages::on_foot::DO;
use crate::parts::form::{Answers, MADE_FROM};
use crate::parts::problems::Problem;
use crate::request::runner::shown;
use crate::words;

/// A question that two windows have answered, each in another way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Differs {
    /// The name of its field.
    pub field: String,
    /// What the other window has said.
    pub there: Vec<String>,
    /// What this one says.
    pub here: Vec<String>,
}

/// What a form that holds these answers says it was made from.
pub fn made_from(answers: &Answers) -> String {
    let said = answers.0.iter().filter(|(name, _)| !said(answers, name).is_empty());
    form_urlencoded::Serializer::new(String::new()).extend_pairs(said).finish()
}

/// What was posted, with what has been said elsewhere since its form was made, and what was said in two ways. Who posts
/// without saying what the form was made from is taken at their word.
pub fn joined(now: &Answers, mut posted: Answers) -> (Answers, Vec<Differs>) {
    let Some(at) = posted.0.iter().position(|(name, _)| name == MADE_FROM) else {
        return (posted, Vec::new());
    };
    let before = Answers(form_urlencoded::parse(posted.0.remove(at).1.as_bytes()).into_owned().collect());
    let names: BTreeSet<&String> = before.0.iter().chain(&now.0).map(|(name, _)| name).collect();
    let mut differs = Vec::new();
    for name in names {
        let [was, there, here] = [&before, now, &posted].map(|answers| said(answers, name));
        if there == was || there == here {
            continue;
        }
        if here == was {
            posted.0.retain(|(other, _)| other != name);
            posted.0.extend(there.into_iter().map(|value| (name.clone(), value)));
        } else {
            differs.push(Differs { field: name.clone(), there, here });
        }
    }
    (posted, differs)
}

/// The values of a name, without the blanks behind the last of them: a form posts some that say nothing.
fn said(answers: &Answers, name: &str) -> Vec<String> {
    let values =
        answers.0.iter().filter(|(other, _)| other == name).map(|(_, value)| value.trim().to_owned());
    let mut values: Vec<String> = values.collect();
    while values.last().is_some_and(String::is_empty) {
        values.pop();
    }
    values
}

/// The answers of the runner that were given in two ways, each at its field.
pub fn of_the_runner(snapshot: &Snapshot, differs: &[Differs]) -> Vec<Problem> {
    let at = |two: &Differs| {
        let in_words = |value: &str| answer_in_words(snapshot, &two.field, value);
        let say = format!("{}: {}", answer_label(&two.field), both(two, in_words));
        Problem { field: two.field.clone(), say }
    };
    differs.iter().map(at).collect()
}

/// What was said of shoes in two ways, each at its field, and the shoes of this form that were put back elsewhere.
pub fn of_the_shoes(visit: &Visit<'_>, posted: &Answers, differs: &[Differs]) -> Vec<Problem> {
    let is_out = |style: &StyleKey| visit.fitting.shortlist.contains(style);
    let at = |two: &Differs| {
        let (question, style) = two.field.split_once('.').unwrap_or((&two.field, ""));
        let style = StyleKey::parse(style).filter(|style| !is_out(style));
        let in_words = |value: &str| seen_in_words(visit.snapshot, question, value);
        style.is_none().then(|| Problem { field: two.field.clone(), say: both(two, in_words) })
    };
    let fields = posted.0.iter().filter(|(_, value)| !value.is_empty());
    let of_shoes = fields.filter_map(|(name, value)| match name.split_once('.') {
        Some(("box" | "hold" | "wanted", _)) => None,
        Some((_, style)) => Some(style),
        None => value.split_once(':').filter(|_| name == DO).map(|(_, style)| style),
    });
    let styles = of_shoes.filter_map(StyleKey::parse).filter(|style| !is_out(style));
    let styles: BTreeSet<StyleKey> = styles.collect();
    let put_back = styles.iter().filter_map(|style| visit.snapshot.style(style)).map(|card| {
        let name = shoe::name(card.style);
        let say = say!(
            "{name} has been put back in another window, and nothing more is kept of it. Bring it out again to go on with it.",
            name
        );
        Problem { field: String::new(), say }
    });
    put_back.chain(differs.iter().filter_map(at)).collect()
}

fn both(two: &Differs, in_words: impl Fn(&str) -> String) -> String {
    let words = |values: &[String]| match values {
        [] => words::of(NOT_ASKED).to_owned(),
        values => values.iter().map(|value| in_words(value)).collect::<Vec<_>>().join(", "),
    };
    say!(
        "Another window has said “{there}” since this form was opened, and this form says “{here}”. Sent again, it is kept as it stands here.",
        there = words(&two.there),
        here = words(&two.here)
    )
}

fn answer_in_words(snapshot: &Snapshot, field: &str, value: &str) -> String {
    let choices = match runner_field(field).kind {
        Kind::Radio([]) => {
            let card = StyleKey::parse(value).and_then(|key| snapshot.style(&key));
            return card.map_or_else(|| shown(value), |card| shoe::name(card.style));
        }
        Kind::Radio(choices) | Kind::Select(choices) if !choices.is_empty() => choices,
        _ => YES_NO,
    };
    chosen(choices, value)
}

fn seen_in_words(snapshot: &Snapshot, question: &str, value: &str) -> String {
    let of_a_box = || snapshot.sku(value);
    match ON_FOOT.iter().find(|(name, ..)| *name == question) {
        Some((.., choices)) => chosen(choices, value),
        None if matches!(question, "left" | "right") => {
            of_a_box().map_or_else(|| shown(value), on_foot::size_in_words)
        }
        None => shown(value),
    }
}

fn chosen(choices: Choices, value: &str) -> String {
    let label = choices.iter().find(|(choice, _)| *choice == value);
    label.map_or_else(|| shown(value), |(_, label)| words::of(label).to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answers(pairs: &[(&str, &str)]) -> Answers {
        Answers(pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect())
    }

    /// What a form made from `before` posts with these answers in it.
    fn sent(before: &Answers, pairs: &[(&str, &str)]) -> Answers {
        let mut sent = answers(pairs);
        sent.0.push((MADE_FROM.to_owned(), made_from(before)));
        sent
    }

    #[test]
    fn what_was_said_elsewhere_stands_beside_what_is_said_here() {
        let before = answers(&[("a", "1"), ("b", "2"), ("c", "3"), ("size", "42"), ("size", "43")]);
        let now = answers(&[("a", "9"), ("b", "2"), ("d", "4"), ("size", "43")]);
        let here = sent(
            &before,
            &[("a", "1"), ("b", "8"), ("c", "3"), ("size", "42"), ("size", "43"), ("size", "")],
        );
        let (joined, differs) = joined(&now, here);
        assert_eq!(differs, []);
        let held = ["a", "b", "c", "d", "size"].map(|name| said(&joined, name).join(" "));
        assert_eq!(held, ["9", "8", "", "4", "43"]);
    }

    #[test]
    fn one_question_answered_in_two_ways_is_told_and_the_same_answer_twice_is_not() {
        let before = answers(&[("a", "1"), ("b", "1"), ("ends", "4"), ("ends", "")]);
        let now = answers(&[("a", "2"), ("b", "2"), ("ends", ""), ("ends", "4")]);
        let (joined, differs) = joined(&now, sent(&before, &[("a", "3"), ("b", "2"), ("ends", "5")]));
        let told: Vec<&str> = differs.iter().map(|two| two.field.as_str()).collect();
        assert_eq!((told, joined.get("a"), joined.get("b")), (vec!["a", "ends"], "3", "2"));
        assert_eq!(
            (&differs[1].there, &differs[1].here),
            (&vec![String::new(), "4".into()], &vec!["5".into()])
        );
    }

    #[test]
    fn who_does_not_say_what_the_form_was_made_from_is_taken_at_their_word() {
        let posted = answers(&[("a", "3")]);
        assert_eq!(joined(&answers(&[("a", "1"), ("b", "2")]), posted.clone()), (posted, Vec::new()));
    }
}
