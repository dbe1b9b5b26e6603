//! The runner's form as the page posts it, and what is read from it. The page's names are those of the runner file;
//! only the words of the worn pair are its own.

use catalogue::runner::Runner;
use indexer::snapshot::Snapshot;

use super::worn;
use crate::labels::answer_label;
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::request::runner::{RunnerFault, RunnerForm, shown};
use crate::words;

/// The words of the worn pair, which find a style.
const WORDS: &str = "now.words";
/// The style they stand for.
const STYLE: &str = "now.style";
/// Order for less although a gate is closed: a button of the list, not of the form.
const ANYWAY: &str = "stage.step_anyway";

/// More characters than this are no maker and name.
const MOST_WORDS: usize = 100;

const SEVERAL_SHOES: &str =
    word!("Several shoes have these words: choose one, write more of its name, or clear the words.");

/// The answers of a posted body, in the order in which they stand.
pub fn posted(body: &[u8]) -> Answers {
    Answers(form_urlencoded::parse(body).into_owned().collect())
}

/// What was posted, with what the list's own buttons have answered before: which pain is current, and the step that
/// is made anyway, as long as the answers they belong to stand.
pub fn kept(before: &Answers, mut now: Answers) -> Answers {
    let same = |name: &str| before.get(name).trim() == now.get(name).trim();
    let stage_stands = same("stage.heading") && same("stage.weeks_done") && same("now.main");
    let stands = |name: &str| match name.strip_suffix(".current") {
        Some(injury) => names(&now, injury),
        None => name == ANYWAY && stage_stands,
    };
    let carried: Vec<_> =
        before.0.iter().filter(|(name, _)| now.get(name).is_empty() && stands(name)).cloned().collect();
    now.0.extend(carried);
    now
}

/// The answers that the form draws, without those of the list's own buttons.
pub fn of_the_form(answers: &Answers) -> Answers {
    let drawn = |(name, _): &&(String, String)| name != ANYWAY && !name.ends_with(".current");
    Answers(answers.0.iter().filter(drawn).cloned().collect())
}

/// The answers with `anyway` said to a closed gate, or taken back.
pub fn with_anyway(mut answers: Answers, anyway: bool) -> Answers {
    answers.0.retain(|(name, _)| name != ANYWAY);
    answers.0.extend(anyway.then(|| (ANYWAY.to_owned(), "yes".to_owned())));
    answers
}

/// The answers with one region's pain said to be the current one; a region that is not named takes the answer back.
pub fn with_current(mut answers: Answers, region: &str) -> Answers {
    answers.0.retain(|(name, _)| !name.ends_with(".current"));
    let named = names_injury(&answers, region);
    answers.0.extend(named.then(|| (format!("injury.{region}.current"), "yes".to_owned())));
    answers
}

/// Whether something is said of the injury of a region.
pub fn names_injury(answers: &Answers, region: &str) -> bool {
    names(answers, &format!("injury.{region}"))
}

/// The answers with these values of one field in place of what it had.
pub fn with_values(mut answers: Answers, field: &str, values: &[&str]) -> Answers {
    answers.0.retain(|(name, _)| name != field);
    answers.0.extend(values.iter().map(|value| (field.to_owned(), (*value).to_owned())));
    answers
}

/// Whether something is said of an injury: by its own tick, or by one of its details.
fn names(answers: &Answers, injury: &str) -> bool {
    answers.get(injury) == "yes" || answers.any_under(&format!("{injury}."))
}

/// The runner of these answers, with the answers as they are kept: words that mean one style only have chosen it.
///
/// # Errors
/// Every answer that cannot be taken, at its field.
pub fn read(answers: Answers, snapshot: &Snapshot) -> Result<(Runner, Answers), Vec<Problem>> {
    let (answers, mut problems) = settle_worn(answers, snapshot);
    let form = form(&answers).map_err(|faults| faults.iter().map(problem).collect::<Vec<_>>())?;
    match form.to_runner(&|key| snapshot.style(key).is_some()) {
        Ok(runner) if problems.is_empty() => Ok((runner, answers)),
        Ok(_) => Err(problems),
        Err(faults) => {
            problems.extend(faults.iter().map(problem).map(|problem| where_drawn(problem, &answers)));
            Err(problems)
        }
    }
}

/// The styles to choose from are drawn below the words that mean them: without words the fault is told there.
fn where_drawn(problem: Problem, answers: &Answers) -> Problem {
    let hidden = problem.field == STYLE && answers.get(WORDS).trim().is_empty();
    if hidden { Problem { field: WORDS.to_owned(), ..problem } } else { problem }
}

/// Words of the worn pair stand for a style: the chosen one of those they may mean, or the only one.
fn settle_worn(mut answers: Answers, snapshot: &Snapshot) -> (Answers, Vec<Problem>) {
    let words = answers.get(WORDS).trim().to_owned();
    if words.is_empty() {
        return (answers, Vec::new());
    }
    if words.chars().count() > MOST_WORDS || words.chars().any(char::is_control) {
        return (answers, vec![problem_at(WORDS, &no_name(&words))]);
    }
    let found = worn::candidates(snapshot, &words);
    if found.iter().any(|style| style.key.as_str() == answers.get(STYLE)) {
        return (answers, Vec::new());
    }
    answers.0.retain(|(name, _)| name != STYLE);
    let problem = match found.as_slice() {
        [only] => {
            answers.0.push((STYLE.to_owned(), only.key.to_string()));
            None
        }
        [] if knows_the_pair_otherwise(&answers) => None,
        [] => Some(problem_at(WORDS, &no_shoe(&words))),
        _ => Some(problem_at(STYLE, words::of(SEVERAL_SHOES))),
    };
    (answers, problem.into_iter().collect())
}

/// Words that no style has may stand beside measures or a feel: they are what the fitter calls the pair.
fn knows_the_pair_otherwise(answers: &Answers) -> bool {
    let said = |name: &&str| !answers.get(name).trim().is_empty();
    ["now.heel_stack_mm", "now.forefoot_stack_mm", "now.drop_mm", "now.mass_g", "now.feel"].iter().any(said)
}

fn no_shoe(words: &str) -> String {
    let words = shown(words);
    say!(
        "No shoe here has these words, “{words}”. Give its measures, say how it feels, or clear the field.",
        words
    )
}

fn no_name(words: &str) -> String {
    let words = shown(words);
    say!(
        "“{words}” is no name of a shoe: write maker and name in one line, {value} characters at most.",
        words,
        value = MOST_WORDS
    )
}

fn problem_at(field: &str, say: &str) -> Problem {
    Problem { field: field.to_owned(), say: format!("{}: {say}", answer_label(field)) }
}

/// The form as it is read, without the words of the worn pair.
fn form(answers: &Answers) -> Result<RunnerForm, Vec<RunnerFault>> {
    let read = answers.0.iter().filter(|(name, _)| name != WORDS);
    let body = form_urlencoded::Serializer::new(String::new()).extend_pairs(read).finish();
    RunnerForm::from_posted(body.as_bytes())
}

/// A fault at the field of the page.
fn problem(fault: &RunnerFault) -> Problem {
    let field = fault.place.key.as_str();
    let say = format!("{}.", fault.say);
    if field.is_empty() { Problem { field: String::new(), say } } else { problem_at(field, &say) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::labels::{Kind, RUNNER_FIELDS};

    fn answers(pairs: &[(&str, &str)]) -> Answers {
        Answers(pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect())
    }

    fn runner(pairs: &[(&str, &str)]) -> Runner {
        form(&answers(pairs)).unwrap_or_default().to_runner(&|_| true).unwrap()
    }

    #[test]
    fn a_form_left_blank_asks_nothing() {
        let blank =
            [("flags.pain", ""), ("asked_for.drop_mm", ""), ("asked_for.drop_mm", ""), ("now.words", " ")];
        assert!(runner(&blank) == Runner::default());
    }

    #[test]
    fn half_a_range_is_a_fault_at_its_field() {
        let half =
            form(&answers(&[("asked_for.drop_mm", "4"), ("asked_for.drop_mm", "")])).unwrap_or_default();
        let problems: Vec<Problem> = half.to_runner(&|_| true).unwrap_err().iter().map(problem).collect();
        assert_eq!(problems[0].field, "asked_for.drop_mm");
        assert!(problems[0].say.starts_with("Drop: "), "{}", problems[0].say);
    }

    #[test]
    fn every_choice_of_the_page_is_a_word_of_the_runner_file() {
        for field in RUNNER_FIELDS {
            let (Kind::Radio(choices) | Kind::Select(choices)) = field.kind else { continue };
            for (value, _) in choices {
                let said = answers(&[
                    (field.name, value),
                    ("now.heel_stack_mm", "30"),
                    ("flags.hot_red_joint", if *value == "yes" { "yes" } else { "" }),
                ]);
                let read = form(&said).unwrap_or_default().to_runner(&|_| true);
                assert!(read.is_ok(), "{}: {value}", field.name);
            }
        }
    }

    #[test]
    fn the_current_pain_is_kept_while_its_region_is_named() {
        let before = with_current(answers(&[("injury.calf.recent", "yes")]), "calf");
        assert_eq!(before.get("injury.calf.current"), "yes");
        assert_eq!(
            kept(&before, answers(&[("injury.calf.recent", "yes")])).get("injury.calf.current"),
            "yes"
        );
        assert_eq!(kept(&before, answers(&[("injury.calf.recent", "")])).get("injury.calf.current"), "");
        assert_eq!(with_current(before, "").get("injury.calf.current"), "");
    }

    #[test]
    fn a_step_made_anyway_lasts_until_the_stage_is_answered_anew() {
        let before = with_anyway(answers(&[("stage.weeks_done", "3")]), true);
        assert_eq!(kept(&before, answers(&[("stage.weeks_done", "3")])).get(ANYWAY), "yes");
        assert_eq!(kept(&before, answers(&[("stage.weeks_done", "1")])).get(ANYWAY), "");
    }
}
