//! The runner's form: five answers first, further ones at any time, each with *not asked*.
//!
//! Names posted are those of [`RUNNER_FIELDS`](crate::labels::RUNNER_FIELDS) and beside them, as the runner's form
//! is read: `flags.<flag>`, `injury` (`none`), `injury.<region>` and its `.recent`, `.painful`, `.cleared`. Only
//! `now.words` is the page's own: whoever reads the form takes it out and finds the styles it may mean. What the page
//! does not draw (`stage.step_anyway`, `injury.<region>.current`) is not posted and must be kept.

use maud::{Markup, html};

use crate::labels::runner_field;
use crate::parts::fields::{Choice, Fields, blank, tick};
use crate::parts::form::{Answers, MADE_FROM};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, summary, title};
use crate::words;

/// The runner's form.
#[derive(Clone, Debug)]
pub struct RunnerPage {
    /// Where it is posted.
    pub action: String,
    /// The answers that were kept when the form was made, as it posts them back.
    pub made_from: String,
    /// What was answered or typed, under the names above.
    pub answers: Answers,
    /// What was wrong with it.
    pub problems: Vec<Problem>,
    /// Sizes near the proposed ones: label as value, `3 styles` as hint. Empty before a size is known.
    pub sizes: Vec<Choice>,
    /// Width labels in stock.
    pub widths: Vec<String>,
    /// Styles that the words of the worn pair may mean, key as value; empty when there is nothing to choose.
    pub worn_candidates: Vec<Choice>,
    /// The one question about pain.
    pub pain_question: String,
    /// The list behind its *yes*: name of the flag as value, sign as label.
    pub flags: Vec<Choice>,
    /// How much room is left before the longest toe, and how thin that is.
    pub toe_room: String,
    /// `€`, behind the budget.
    pub currency: String,
    /// The three states of the further answers, for their closed headings: id and words (`asked: none`).
    pub states: Vec<(&'static str, String)>,
    /// The section of further answers that arrives unfolded, when a link of the brief leads to it: `strike`,
    /// `history`, `running`, `stage`, `body` or `wishes`.
    pub unfold: Option<String>,
}

/// Where to measure: as the authors of the Minimalist Index do (doi:10.1186/s13047-015-0094-5).
const AT_THE_BENCH: &str = word!(
    "At the bench: calliper at the middle of the heel, insole, midsole and outsole together, where \
    the outsole is thickest; the same under the ball of the foot. One shoe on the scale, with its size. Sheets may be \
    measured elsewhere and differ by a few millimetres."
);

const MEASURES: &[&str] = &[
    "now.heel_stack_mm",
    "now.forefoot_stack_mm",
    "now.drop_mm",
    "now.mass_g",
    "now.mass_size",
    "now.bending_word",
    "now.rocker",
    "now.plate",
];

impl RunnerPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead =
            say!("Five answers make an order. Whatever is not asked stays not asked, and is printed so.");
        let body = html! {
            (summary(&self.problems))
            (heading(say!("Runner"), lead))
            form .runner method="post" action=(self.action) autocomplete="off" novalidate {
                input type="hidden" name=(MADE_FROM) value=(self.made_from);
                (self.size())
                (self.purpose())
                (self.worn())
                (self.heading())
                (self.pain())
                (save())
                (self.further_answers())
                (save())
            }
        };
        page(frame, &title(say!("Runner"), &self.problems), Width::Narrow, &body)
    }

    pub(super) fn fields(&self) -> Fields<'_> {
        Fields { answers: &self.answers, problems: &self.problems }
    }

    pub(super) fn field(&self, name: &str) -> Markup {
        self.fields().field(runner_field(name))
    }

    pub(super) fn all(&self, names: &[&str]) -> Markup {
        html! { @for name in names { (self.field(name)) } }
    }

    fn size(&self) -> Markup {
        let measured = ["foot.left_length_mm", "foot.right_length_mm", "foot.width_mm"];
        let body = html! {
            (self.field("run.audience"))
            div .line { (self.field("size.worn_label")) (self.field("size.system")) }
            details open[self.answers.any_under("foot.") || self.has_problem("foot.")] {
                summary { (say!("Or as measured")) }
                div .line { (self.all(&measured)) }
                p .hint { (self.toe_room) }
            }
            @if !self.sizes.is_empty() { (self.fields().ticks(runner_field("size.working"), &self.sizes)) }
            @if !self.widths.is_empty() { (self.width()) }
        };
        question(1, "size", say!("Size"), &body)
    }

    fn width(&self) -> Markup {
        let field = runner_field("size.width");
        let widths: Vec<(&str, &str)> = self.widths.iter().map(|w| (w.as_str(), w.as_str())).collect();
        html! {
            div .field {
                label for=(field.name) { (words::of(field.label)) }
                p .hint { (words::of(field.hint)) }
                (self.fields().error(field.name))
                (self.fields().bare_select(field.name, None, &widths, self.fields().error_id(field.name)))
            }
        }
    }

    fn purpose(&self) -> Markup {
        question(2, "purpose", say!("Purpose"), &self.field("run.purpose"))
    }

    fn worn(&self) -> Markup {
        let typed = MEASURES.iter().any(|name| !self.answers.get(name).is_empty());
        let body = html! {
            (self.field("now.words"))
            @if !self.worn_candidates.is_empty() {
                (self.fields().radios(runner_field("now.style"), &self.worn_candidates))
            }
            details open[typed || self.has_problem("now.")] {
                summary { (say!("Not in the catalogue: its measures, as far as known")) }
                p .hint { (words::of(AT_THE_BENCH)) }
                div .line { (self.all(MEASURES)) }
            }
            (self.field("now.feel"))
        };
        question(3, "worn", say!("Pair worn now"), &body)
    }

    fn heading(&self) -> Markup {
        question(4, "heading", say!("Heading"), &self.field("stage.heading"))
    }

    /// The one question with the list in sight below it: works without script, and nobody has to hunt for a sign.
    fn pain(&self) -> Markup {
        let body = html! {
            p .spoken { (words::quoted(&self.pain_question)) }
            (self.field("flags.pain"))
            fieldset .field .signs {
                legend { (say!("Behind a yes: which")) }
                div .choices { @for flag in &self.flags { (self.sign(flag)) } }
            }
        };
        question(5, "pain", say!("Pain"), &body)
    }

    fn sign(&self, flag: &Choice) -> Markup {
        let name = format!("flags.{}", flag.value);
        let yes = Choice { value: "yes".into(), ..flag.clone() };
        html! {
            (self.fields().anchored_error(&name))
            (tick(&name, &yes, self.answers.has(&name, "yes")))
            (blank(&name))
        }
    }

    pub(super) fn has_problem(&self, prefix: &str) -> bool {
        self.problems.iter().any(|problem| problem.field.starts_with(prefix))
    }
}

fn question(number: u8, id: &str, name: &str, body: &Markup) -> Markup {
    html! {
        section .question id=(id) aria-labelledby=(format!("{id}-heading")) {
            h2 id=(format!("{id}-heading")) { span .ordinal { (number) } " " (name) }
            (body)
        }
    }
}

fn save() -> Markup {
    html! { p .buttons { button .button type="submit" { (say!("Put the stock in order")) } } }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::labels::Kind;
    use crate::pages::sample;
    use crate::request::runner::RunnerForm;

    fn html(page: &RunnerPage) -> String {
        page.view(&sample::fitting_frame("Runner")).into_string()
    }

    #[test]
    fn every_choice_of_an_empty_form_stands_at_not_asked() {
        let page = RunnerPage { answers: Answers::default(), ..sample::runner_page() };
        let html = html(&page);
        let groups = html.matches("value=\"\" checked").count();
        assert_eq!(html.matches(" checked").count(), groups, "nothing but not asked is chosen");
        assert_eq!(html.matches("<select").count(), html.matches("<option value=\"\">not asked").count());
    }

    #[test]
    fn every_runner_field_can_be_answered() {
        let html = html(&sample::runner_page());
        for field in crate::labels::RUNNER_FIELDS {
            assert!(html.contains(&format!("name=\"{}\"", field.name)), "{}", field.name);
        }
    }

    #[test]
    fn every_name_the_form_posts_is_known_to_whoever_reads_it() {
        let html = html(&sample::runner_page());
        let form = html.split_once("method=\"post\"").unwrap().1.split("</form>").next().unwrap();
        let names = form.split(" name=\"").skip(1).filter_map(|rest| rest.split('"').next());
        let mut posted = form_urlencoded::Serializer::new(String::new());
        for name in names.filter(|name| !["now.words", MADE_FROM].contains(name)) {
            posted.append_pair(name, "");
        }
        let form = RunnerForm::from_posted(posted.finish().as_bytes()).map_err(|faults| faults.len());
        assert!(form.is_ok_and(|form| form.to_runner(&|_| true).is_ok()));
    }

    #[test]
    fn every_choice_the_form_offers_is_understood() {
        for field in crate::labels::RUNNER_FIELDS {
            let (Kind::Radio(choices) | Kind::Select(choices)) = field.kind else { continue };
            for (value, _) in choices {
                let mut posted = form_urlencoded::Serializer::new(String::new());
                posted.append_pair(field.name, value).append_pair("flags.calf_swelling", "yes");
                let pain = if field.name == "flags.pain" && *value == "no" { "" } else { "yes" };
                let posted = posted
                    .finish()
                    .replace("flags.calf_swelling=yes", &format!("flags.calf_swelling={pain}"));
                let form = RunnerForm::from_posted(posted.as_bytes()).map_err(|faults| faults.len());
                assert!(form.is_ok_and(|form| form.to_runner(&|_| true).is_ok()), "{} {value}", field.name);
            }
        }
    }

    #[test]
    fn a_refused_form_keeps_everything_and_says_error_first() {
        let problem =
            Problem { field: "run.weekly_km".into(), say: "Weekly distance is a number of km.".into() };
        let page = RunnerPage { problems: vec![problem], ..sample::runner_page() };
        let html = html(&page);
        assert!(html.contains("<title>Error: Runner") && html.contains("href=\"#run.weekly_km\""));
        assert!(html.contains("value=\"42.5\""), "what was typed is still there");
    }

    #[test]
    fn no_number_field_and_no_multiple_select_stand_in_the_form() {
        let html = html(&sample::runner_page());
        assert!(
            !html.contains("type=\"number\"") && !html.contains(" multiple") && !html.contains("placeholder")
        );
    }
}
