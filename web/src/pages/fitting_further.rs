//! The further answers of the runner's form: folded sections, each saying what it changes.

use maud::{Markup, html};

use crate::labels::{FieldLabel, Kind, NOT_ASKED, REGIONS, YES_NO};
use crate::pages::fitting_runner::RunnerPage;
use crate::parts::problems::at;

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
impl RunnerPage {
    /// All sections, the answers that change an order most first.
    pub(super) fn further_answers(&self) -> Markup {
        html! {
            h2 .divide { "Further answers" }
            p .lead { "Any of these can follow later; each says what it changes." }
            (self.further(STRIKE, &html! {}))
            (self.history())
            (self.further(RUNNING, &html! {}))
            (self.further(STAGE, &html! {}))
            (self.body())
            (self.further(WISHES, &self.wishes()))
        }
    }

    fn further(&self, (id, heading, changes, names): Further, more: &Markup) -> Markup {
        let open = names.iter().any(|name| at(&self.problems, name).is_some());
        self.fold(id, heading, changes, open, &html! { (self.all(names)) (more) })
    }

    fn fold(&self, id: &str, heading: &str, changes: &str, open: bool, body: &Markup) -> Markup {
        let state = self.states.iter().find(|(name, _)| *name == id);
        let state = state.map_or(NOT_ASKED, |(_, words)| words);
        html! {
            details .further id=(id) open[open || self.unfold.as_deref() == Some(id)] {
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
}
