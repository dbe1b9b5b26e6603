//! The summary of what was wrong with a form: first on the page, each problem a link to its field.

use maud::{Markup, html};

/// One problem with one field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The name of the field, which is also its id; empty when no field is to blame.
    pub field: String,
    /// What is wrong and what to do, the same words as at the field.
    pub say: String,
}

/// The problem at `field`, if there is one.
pub fn at<'a>(problems: &'a [Problem], field: &str) -> Option<&'a str> {
    problems.iter().find(|problem| problem.field == field).map(|problem| problem.say.as_str())
}

/// The summary, or nothing.
pub fn summary(problems: &[Problem]) -> Markup {
    html! {
        @if !problems.is_empty() {
            // The first thing that is read and reached: whoever hears the page or uses keys would else begin at its top.
            div .problems role="alert" aria-labelledby="problems" tabindex="-1" autofocus {
                h2 #problems { (heading(problems.len())) }
                ul { @for problem in problems { li { (line(problem)) } } }
            }
        }
    }
}

/// The title of a page, marked when its form was refused.
pub fn title(title: &str, problems: &[Problem]) -> String {
    if problems.is_empty() { title.to_owned() } else { say!("Error: {title}", title) }
}

fn heading(count: usize) -> String {
    match count {
        1 => say!("One answer needs another look").to_owned(),
        n => say!("{n} answers need another look", n),
    }
}

fn line(problem: &Problem) -> Markup {
    html! {
        @if problem.field.is_empty() { (problem.say) }
        @else { a href=(format!("#{}", problem.field)) { (problem.say) } }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_problem_links_to_its_field() {
        let problem = Problem { field: "run.weekly_km".into(), say: "Weekly distance is a number.".into() };
        let html = summary(&[problem]).into_string();
        assert!(html.contains("href=\"#run.weekly_km\"") && html.contains("One answer needs"));
        assert_eq!(title("Runner", &[]), "Runner");
    }
}
