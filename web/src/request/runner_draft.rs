//! A runner half read, and what can only be judged once every answer is in.

use catalogue::flags::Flags;
use catalogue::injury::Answer;
use catalogue::key::StyleKey;
use catalogue::measures::{Measures, Worn};
use catalogue::runner::{BodyMass, Feel, Now, Runner};
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::{Purposes, Specification};

use super::wrong::{Read, Wrong};

/// The runner so far, with the answers that are only understood together.
#[derive(Default)]
pub(super) struct Draft {
    pub(super) runner: Runner,
    /// The key of the pair worn now.
    pub(super) style: Option<StyleKey>,
    /// Its measures.
    pub(super) worn: Specification,
    /// What it is for.
    pub(super) purposes: Purposes,
    /// How it feels.
    pub(super) feel: Option<Feel>,
    /// Body mass as a band.
    pub(super) band: Option<BodyMass>,
    /// The one question that stands for ten.
    pub(super) pain: Answer,
}

impl Draft {
    /// A size label in the runner's own system.
    pub(super) fn label(&self, text: &str) -> Read<SizeLabel> {
        let system = self.runner.sizes.system.ok_or(Wrong::SizeSystem)?;
        SizeLabel::parse(Some(system), text).ok_or(Wrong::Size)
    }

    /// A size label that may name its system, as in `EU 42`; without one it is in the runner's.
    pub(super) fn label_with_system(&self, text: &str) -> Read<SizeLabel> {
        let named = text.split_once(' ').and_then(|(word, rest)| Some((SizeSystem::from_word(word)?, rest)));
        match named {
            Some((system, rest)) => SizeLabel::parse(Some(system), rest).ok_or(Wrong::Size),
            None => self.label(text),
        }
    }

    /// The runner. Answers that contradict each other are named to `fault`, by key.
    pub(super) fn finished(
        mut self,
        exists: &dyn Fn(&StyleKey) -> bool,
        mut fault: impl FnMut(&str, String),
    ) -> Runner {
        self.check_worn(exists, &mut fault);
        self.check_pain(&mut fault);
        if self.band.is_some() && self.runner.body_mass.is_some() {
            fault("run.body_mass_band", "stands beside run.body_mass_kg; keep one of the two".into());
        }
        self.runner.body_mass = self.runner.body_mass.or(self.band);
        self.runner.now.shoe = self.now();
        if self.pain.is_no() {
            for sign in Flags::questions() {
                self.runner.flags.set(*sign, Answer::No);
            }
        }
        self.runner
    }

    fn check_worn(&self, exists: &dyn Fn(&StyleKey) -> bool, fault: &mut impl FnMut(&str, String)) {
        let Some(style) = &self.style else { return self.check_measures(fault) };
        if !exists(style) {
            fault("now.style", format!("“{style}” {}", Wrong::NoStyle));
        }
        if self.worn != Specification::default() {
            fault(
                "now.style",
                "stands beside measures; keep the style, or the measures of another pair".into(),
            );
        }
        if !self.purposes.is_empty() {
            fault(
                "now.purposes",
                "is for a pair that is not in the catalogue; take it out, or now.style".into(),
            );
        }
    }

    /// A drop that would put the forefoot below the ground, or the heel.
    fn check_measures(&self, fault: &mut impl FnMut(&str, String)) {
        let Some(drop) = self.worn.drop_stated else { return };
        let forefoot = self.worn.heel_stack.map(|heel| heel.in_tenths() - drop.in_tenths());
        let heel = self.worn.forefoot_stack.map(|forefoot| forefoot.in_tenths() + drop.in_tenths());
        if forefoot.or(heel).is_some_and(|stack| stack < 0) {
            fault(
                "now.drop_mm",
                format!("{drop} cannot be: it is more than the stack it starts from; measure again"),
            );
        }
    }

    /// A pain without its sign must not pass for no pain.
    fn check_pain(&self, fault: &mut impl FnMut(&str, String)) {
        let mut signs = Flags::questions().iter().map(|flag| self.runner.flags.get(*flag));
        match self.pain {
            Answer::No if signs.any(Answer::is_yes) => {
                fault("flags.pain", "says no, yet a sign below it says yes; answer one of them again".into());
            }
            Answer::Yes if signs.all(|sign| sign == Answer::NotAsked) => {
                fault(
                    "flags.pain",
                    "says yes, but not what; answer the signs below it, each yes or no".into(),
                );
            }
            _ => {}
        }
    }

    /// How the pair is known: by its style, else by what was measured, else by how it feels.
    fn now(&self) -> Now {
        let measures = Measures::of(&self.worn, self.runner.audience);
        let said = self.worn != Specification::default();
        match (&self.style, self.feel) {
            (Some(style), _) => Now::Style(style.clone()),
            (None, Some(feel)) if !said => Now::Feels(feel),
            _ if said || !self.purposes.is_empty() => {
                Now::Measured(Worn { measures, purposes: self.purposes })
            }
            _ => Now::NotAsked,
        }
    }
}
