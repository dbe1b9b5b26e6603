//! The runner's form: five answers first, further ones at any time, each with *not asked*.
//!
//! Names posted are those of [`RUNNER_FIELDS`](crate::labels::RUNNER_FIELDS), and beside them `flags.asked`
//! (`no`, `yes`), `flags.<flag>` (`yes`), `history.asked` (`none`, `some`), `injury.<region>.recent`, `.painful`
//! and `.cleared` (`yes`, `no`). A region is named when any of its three is answered.

use maud::{Markup, html};

use crate::labels::{FieldLabel, Kind, NOT_ASKED, REGIONS, YES_NO, runner_field};
use crate::parts::fields::{Choice, Fields, choices_of, tick};
use crate::parts::form::Answers;
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, at, summary, title};

/// The runner's form.
#[derive(Clone, Debug)]
pub struct RunnerPage {
    /// Where it is posted.
    pub action: String,
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
    /// `€`, behind the budget.
    pub currency: String,
    /// The three states of the further answers, for their closed headings: id and words (`asked: none`).
    pub states: Vec<(&'static str, String)>,
}

/// A section of further answers: id, heading, what it changes, names of its fields.
type Further = (&'static str, &'static str, &'static str, &'static [&'static str]);

const STRIKE: Further = (
    "strike",
    "Landing",
    "Says which stack counts: heel, forefoot, or the mean of both when it was not seen.",
    &["run.strike", "run.strike_seen", "run.strike_angle_deg", "run.strike_changing"],
);
const RUNNING: Further = (
    "running",
    "Running",
    "Brings in the rules on distance and on regular running.",
    &["run.weekly_km", "run.regular", "run.strength_work"],
);
const STAGE: Further = (
    "stage",
    "Stage of the change",
    "Less shoe is ordered for only when this step is done and the newest pair runs most.",
    &["stage.weeks_done", "now.main", "now.old_pair", "now.purposes"],
);
const WISHES: Further = (
    "wishes",
    "Surface, budget, wishes",
    "Presets the filters. A range asked for replaces the one the house would take.",
    &["run.surface", "run.budget", "asked_for.by"],
);
const RANGES: &[&str] = &[
    "asked_for.drop_from_mm",
    "asked_for.drop_to_mm",
    "asked_for.landing_stack_from_mm",
    "asked_for.landing_stack_to_mm",
    "asked_for.plate",
    "asked_for.rocker",
];
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
        let lead = "Five answers make an order. Whatever is not asked stays not asked, and is printed so.";
        page(
            frame,
            &title("Runner", &self.problems),
            Width::Narrow,
            &html! {
                (summary(&self.problems))
                (heading("Runner", lead))
                form .runner method="post" action=(self.action) novalidate {
                    (self.size())
                    (self.purpose())
                    (self.worn())
                    (self.heading())
                    (self.pain())
                    (save())
                    h2 .divide { "Further answers" }
                    p .lead { "Any of these can follow later; each says what it changes." }
                    (self.further(STRIKE, &html! {}))
                    (self.history())
                    (self.further(RUNNING, &html! {}))
                    (self.further(STAGE, &html! {}))
                    (self.body())
                    (self.further(WISHES, &self.wishes()))
                    (save())
                }
            },
        )
    }

    fn fields(&self) -> Fields<'_> {
        Fields { answers: &self.answers, problems: &self.problems }
    }

    fn field(&self, name: &str) -> Markup {
        self.fields().field(runner_field(name))
    }

    fn all(&self, names: &[&str]) -> Markup {
        html! { @for name in names { (self.field(name)) } }
    }

    fn size(&self) -> Markup {
        let measured = ["foot.left_length_mm", "foot.right_length_mm", "foot.width_mm"];
        question(
            1,
            "size",
            "Size",
            &html! {
                (self.field("run.audience"))
                div .line { (self.field("size.worn_label")) (self.field("size.system")) }
                details open[self.answers.any_under("foot.") || self.has_problem("foot.")] {
                    summary { "Or as measured" }
                    div .line { (self.all(&measured)) }
                }
                @if !self.sizes.is_empty() { (self.fields().ticks(runner_field("size.working"), &self.sizes)) }
                @if !self.widths.is_empty() { (self.width()) }
            },
        )
    }

    fn width(&self) -> Markup {
        let field = runner_field("size.width");
        let widths: Vec<(&str, &str)> = self.widths.iter().map(|w| (w.as_str(), w.as_str())).collect();
        html! {
            div .field {
                label for=(field.name) { (field.label) }
                p .hint { (field.hint) }
                (self.fields().bare_select(field.name, None, &widths, None))
            }
        }
    }

    fn purpose(&self) -> Markup {
        question(2, "purpose", "Purpose", &self.field("run.purpose"))
    }

    fn worn(&self) -> Markup {
        let typed = MEASURES.iter().any(|name| !self.answers.get(name).is_empty());
        question(
            3,
            "worn",
            "Pair worn now",
            &html! {
                (self.field("now.words"))
                @if !self.worn_candidates.is_empty() {
                    (self.fields().radios(runner_field("now.style"), &self.worn_candidates))
                }
                details open[typed || self.has_problem("now.")] {
                    summary { "Not in the catalogue: its measures, as far as known" }
                    div .line { (self.all(MEASURES)) }
                }
                (self.field("now.feel"))
            },
        )
    }

    fn heading(&self) -> Markup {
        question(4, "heading", "Heading", &self.field("stage.heading"))
    }

    /// The one question with the list in sight below it: works without script, and nobody has to hunt for a sign.
    fn pain(&self) -> Markup {
        let asked = FieldLabel {
            name: "flags.asked",
            label: "Asked aloud",
            unit: "",
            hint: "One yes ends the ordering and names whom to see. The stock can still be searched.",
            kind: Kind::Radio(&[]),
        };
        let answers = choices_of(&[("no", "No, nothing of it"), ("yes", "Yes, as ticked below")]);
        question(
            5,
            "pain",
            "Pain",
            &html! {
                p .spoken { "“" (self.pain_question) "”" }
                (self.fields().radios(&asked, &answers))
                fieldset .field .signs {
                    legend { "Behind a yes: which" }
                    @for flag in &self.flags {
                        @let name = format!("flags.{}", flag.value);
                        (tick(&name, &Choice { value: "yes".into(), ..flag.clone() }, self.answers.has(&name, "yes")))
                    }
                }
            },
        )
    }

    fn further(&self, (id, heading, changes, names): Further, more: &Markup) -> Markup {
        let open = names.iter().any(|name| at(&self.problems, name).is_some());
        self.fold(id, heading, changes, open, &html! { (self.all(names)) (more) })
    }

    fn fold(&self, id: &str, heading: &str, changes: &str, open: bool, body: &Markup) -> Markup {
        let state = self.states.iter().find(|(name, _)| *name == id);
        let state = state.map_or(NOT_ASKED, |(_, words)| words);
        html! {
            details .further id=(id) open[open] {
                summary { b { (heading) } span .state { (state) } }
                p .hint { (changes) }
                (body)
            }
        }
    }

    fn wishes(&self) -> Markup {
        html! {
            div .line { (self.all(RANGES)) }
            (self.field("asked_for.own_insole"))
            p .hint { "Prices are in " (self.currency) "." }
        }
    }

    /// Body mass stays folded and unsaid, so that it does not stand on a screen turned to the customer.
    fn body(&self) -> Markup {
        let changes =
            "For the fitter: turn the screen. Brings in the rules on body mass; shown nowhere else.";
        let names = ["run.body_mass_band", "run.sex", "flags.diabetes"];
        let open = names.iter().any(|name| at(&self.problems, name).is_some());
        self.fold(
            "body",
            "Body, for the fitter only",
            changes,
            open,
            &html! {
                (self.all(&names))
                (self.field("flags.diabetes_feeling_normal_and_cleared"))
            },
        )
    }

    fn history(&self) -> Markup {
        let asked = FieldLabel {
            name: "history.asked",
            label: "What has hurt before",
            unit: "",
            hint: "",
            kind: Kind::Radio(&[("none", "Nothing so far"), ("some", "As noted below")]),
        };
        let changes = "Brings in the rules on old injuries. Within 12 months, or painful now, counts as recent; \
            so does a time nobody asked about.";
        self.fold(
            "history",
            "History",
            changes,
            self.has_problem("injury."),
            &html! {
                (self.fields().field(&asked))
                div .table tabindex="0" role="region" aria-label="What has hurt" {
                    table .history {
                        caption .sr { "What has hurt: recent, painful, cleared" }
                        thead { tr {
                            th scope="col" { "Where" }
                            th scope="col" { "Within 12 months" }
                            th scope="col" { "Painful now" }
                            th scope="col" { "Cleared by a clinician" }
                        } }
                        tbody { @for region in REGIONS { (self.region(*region)) } }
                    }
                }
            },
        )
    }

    fn region(&self, (region, label): (&str, &str)) -> Markup {
        let cells = [
            ("recent", "within 12 months"),
            ("painful", "painful now"),
            ("cleared", "cleared by a clinician"),
        ];
        html! {
            tr {
                th scope="row" { (label) }
                @for (key, words) in cells {
                    @let name = format!("injury.{region}.{key}");
                    td { (self.fields().bare_select(&name, Some(&format!("{label}: {words}")), YES_NO, None)) }
                }
            }
        }
    }

    fn has_problem(&self, prefix: &str) -> bool {
        self.problems.iter().any(|problem| problem.field.starts_with(prefix))
    }
}

fn question(number: u8, id: &str, name: &str, body: &Markup) -> Markup {
    html! {
        section .question id=(id) aria-labelledby=(format!("{id}-heading")) {
            h2 id=(format!("{id}-heading")) { span .number { (number) } " " (name) }
            (body)
        }
    }
}

fn save() -> Markup {
    html! { p .buttons { button .button type="submit" { "Put the stock in order" } } }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::pages::sample;

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
