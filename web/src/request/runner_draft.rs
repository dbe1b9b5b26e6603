//! A runner half read: answers that are only understood together, until every one is in.

use catalogue::flags::Flags;
use catalogue::injury::Answer;
use catalogue::key::StyleKey;
use catalogue::measures::{Measures, Worn};
use catalogue::runner::{BodyMass, Feel, Now, Runner};
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::{Purposes, Specification};

use super::runner_contradictions::contradictions;
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
        read_label(self.runner.sizes.system.ok_or(Wrong::SizeSystem)?, text)
    }

    /// A size label that may name its system, as in `EU 42`; without one it is in the runner's.
    pub(super) fn label_with_system(&self, text: &str) -> Read<SizeLabel> {
        let named = text.split_once(' ').and_then(|(word, rest)| Some((SizeSystem::from_word(word)?, rest)));
        match named {
            Some((system, rest)) => read_label(system, rest),
            None => self.label(text),
        }
    }

    /// The runner. Answers that contradict each other are named to `fault`, by key.
    pub(super) fn finished(
        mut self,
        exists: &dyn Fn(&StyleKey) -> bool,
        mut fault: impl FnMut(&str, String),
    ) -> Runner {
        for (key, say) in contradictions(&self, exists) {
            fault(&key, say);
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

fn read_label(system: SizeSystem, text: &str) -> Read<SizeLabel> {
    let label = SizeLabel::parse(Some(system), text).ok_or(Wrong::Size)?;
    let (from, to) = sizes_of_feet(system);
    let whole = 12; // Labels count in twelfths of a size.
    if (from * whole..=to * whole).contains(&label.twelfths()) {
        Ok(label)
    } else {
        Err(Wrong::SizeRange { system, from, to })
    }
}

/// The whole sizes between which any runner's foot lies, a child's included. *Our choice*: feet of about 10 to 40 cm.
const fn sizes_of_feet(system: SizeSystem) -> (u16, u16) {
    match system {
        SizeSystem::Eu => (17, 62),
        SizeSystem::Uk => (1, 25),
        SizeSystem::Us => (1, 27),
        SizeSystem::Mondopoint => (100, 400),
        SizeSystem::Cm => (10, 40),
    }
}
