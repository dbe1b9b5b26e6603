//! The further answers of the runner's form: folded sections, each saying what it changes.

use maud::{Markup, html};

use crate::labels::{INJURY_DETAILS, NOT_ASKED, REGIONS, YES_NO};
use crate::pages::fitting_runner::RunnerPage;
use crate::parts::fields::{Choice, blank, tick};
use crate::parts::problems::at;
use crate::words;

/// A section of further answers: id, heading, what it changes, names of its fields.
type Further = (&'static str, &'static str, &'static str, &'static [&'static str]);

const STRIKE: Further = (
    "strike",
    word!("Landing"),
    word!("Says which stack counts: heel, forefoot, or the mean of both when it was not seen."),
    &[
        "run.strike",
        "run.strike_seen",
        "run.strike_angle_deg",
        "run.strike_index_percent",
        "run.strike_changing",
    ],
);
const RUNNING: Further = (
    "running",
    word!("Running"),
    word!("Brings in the rules on distance and on regular running."),
    &["run.weekly_km", "run.regular", "run.strength_work"],
);
const STAGE: Further = (
    "stage",
    word!("Stage of the change"),
    word!("Less shoe is ordered for only when this step is done and the newest pair runs most."),
    &["stage.weeks_done", "now.main", "now.old_pair", "now.purposes"],
);
const WISHES: Further = (
    "wishes",
    word!("Surface, budget, wishes"),
    word!("Presets the filters. A range asked for replaces the one the house would take."),
    &["run.surface", "run.budget", "asked_for.by"],
);
const RANGES: &[&str] =
    &["asked_for.drop_mm", "asked_for.landing_stack_mm", "asked_for.plate", "asked_for.rocker"];
/// As many of the details are columns of the history.
const ASKED_OF_EACH: usize = 3;

impl RunnerPage {
    /// All sections, the answers that change an order most first.
    pub(super) fn further_answers(&self) -> Markup {
        html! {
            h2 .divide { (say!("Further answers")) }
            p .lead { (say!("Any of these can follow later; each says what it changes.")) }
            (self.further(STRIKE, &html! {}))
            (self.history())
            (self.further(RUNNING, &html! {}))
            (self.further(STAGE, &html! {}))
            (self.body())
            (self.further(WISHES, &self.wishes()))
        }
    }

    fn further(&self, (id, heading, changes, names): Further, more: &Markup) -> Markup {
        let wish = id == WISHES.0 && self.has_problem("asked_for");
        let open = wish || names.iter().any(|name| at(&self.problems, name).is_some());
        self.fold(id, heading, changes, open, &html! { (self.all(names)) (more) })
    }

    fn fold(&self, id: &str, heading: &str, changes: &str, open: bool, body: &Markup) -> Markup {
        let state = self.states.iter().find(|(name, _)| *name == id);
        let state = state.map_or(words::of(NOT_ASKED), |(_, words)| words);
        html! {
            details .further id=(id) open[open || self.unfold.as_deref() == Some(id)] {
                summary { b { (words::of(heading)) } span .state { (state) } }
                p .hint { (words::of(changes)) }
                (body)
            }
        }
    }

    fn wishes(&self) -> Markup {
        html! {
            div .line { (self.all(RANGES)) }
            (self.field("asked_for.own_insole"))
            p .hint { (say!("Prices are in")) " " (self.currency) "." }
        }
    }

    /// Body mass stays folded and unsaid, so that it does not stand on a screen turned to the customer.
    fn body(&self) -> Markup {
        let changes =
            say!("For the fitter: turn the screen. Brings in the rules on body mass; shown nowhere else.");
        let names = ["run.body_mass_band", "run.sex", "flags.diabetes"];
        let open = names.iter().any(|name| at(&self.problems, name).is_some());
        let body = html! {
            (self.all(&names))
            (self.field("flags.diabetes_feeling_normal_and_cleared"))
        };
        self.fold("body", say!("Body, for the fitter only"), changes, open, &body)
    }

    fn history(&self) -> Markup {
        let changes = say!(
            "Brings in the rules on old injuries. Within 12 months, or painful now, counts as recent; so does a time nobody asked about."
        );
        let body = html! {
            (self.nothing_so_far())
            div .table tabindex="0" role="region" aria-label=(say!("What has hurt")) {
                table .history {
                    caption .sr { (say!("What has hurt: recent, painful, cleared")) }
                    thead { tr {
                        th scope="col" { (say!("Where")) }
                        th scope="col" { (say!("Within 12 months")) }
                        th scope="col" { (say!("Painful now")) }
                        th scope="col" { (say!("Cleared by a clinician")) }
                    } }
                    tbody { @for region in REGIONS { (self.region(*region)) } }
                }
            }
        };
        self.fold("history", say!("History"), changes, self.has_problem("injury"), &body)
    }

    fn nothing_so_far(&self) -> Markup {
        let choice = Choice {
            value: "none".into(),
            label: say!("Asked: nothing has hurt so far").into(),
            hint: say!("Unticked and with nothing below, it was not asked.").into(),
        };
        let ticked = self.answers.has("injury", "none");
        html! {
            (self.fields().error("injury"))
            div .choices #injury { (tick("injury", &choice, ticked)) (blank("injury")) }
        }
    }

    fn region(&self, (region, label): (&str, &str)) -> Markup {
        html! {
            tr {
                th scope="row" { (self.named(region, label)) }
                @for (key, words) in &INJURY_DETAILS[..ASKED_OF_EACH] {
                    td { (self.detail(&format!("injury.{region}.{key}"), &format!("{}: {}", words::of(label), words::of(words)))) }
                }
            }
        }
    }

    fn detail(&self, name: &str, spoken: &str) -> Markup {
        html! {
            (self.fields().error(name))
            (self.fields().bare_select(name, Some(spoken), YES_NO, self.fields().error_id(name)))
        }
    }

    /// A tick of its own names a region nobody knows more about.
    fn named(&self, region: &str, label: &str) -> Markup {
        let name = format!("injury.{region}");
        let choice = Choice { value: "yes".into(), label: words::of(label).to_owned(), hint: String::new() };
        html! {
            (self.fields().anchored_error(&name))
            (tick(&name, &choice, self.answers.has(&name, "yes")))
            (blank(&name))
        }
    }
}
