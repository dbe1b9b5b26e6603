//! What was asked of the runner and seen at the bench. Whatever nobody asked stays *not asked*.

use crate::flags::Flags;
use crate::injury::{Answer, Injury, Region};
use crate::key::StyleKey;
use crate::measures::Worn;
use crate::size::{FootLength, SizeLabel, SizeSystem};
use crate::stock::Price;
use crate::strike::Strike;
use crate::style::{Audience, Purpose, Surface, words};
use crate::units::{Kilograms, Mm};

/// One runner, for one fitting. Lives in memory only.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Runner {
    /// Whose shoes are looked for.
    pub audience: Option<Audience>,
    /// Sizes, worn and working.
    pub sizes: Sizes,
    /// The feet as measured.
    pub feet: Feet,
    /// How the foot lands.
    pub strike: Strike,
    /// The pattern is being changed.
    pub strike_changing: Answer,
    /// Body mass, or a band of it.
    pub body_mass: Option<BodyMass>,
    /// One rule needs it.
    pub sex: Option<Sex>,
    /// Kilometres a week, whole.
    pub weekly_km: Option<u16>,
    /// Weekly running in 6 of the last 12 months.
    pub regular: Answer,
    /// Where the shoe will run.
    pub surface: Option<Surface>,
    /// What the shoe is wanted for.
    pub purpose: Option<Purpose>,
    /// Does strength work for foot and calf.
    pub strength_work: Answer,
    /// The most it may cost.
    pub budget: Option<Price>,
    /// The shoe worn now.
    pub now: WornNow,
    /// Where the runner is in a change.
    pub stage: Stage,
    /// What has hurt. Empty with `history_asked` no: nothing has.
    pub injuries: Vec<Injury>,
    /// Whether the history was asked for at all.
    pub history_asked: bool,
    /// What runner, fitter or clinician asked for.
    pub asked_for: AskedFor,
    /// Red flags.
    pub flags: Flags,
}

/// Size labels of the runner.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sizes {
    /// The system of the labels below.
    pub system: Option<SizeSystem>,
    /// The label in the worn shoe.
    pub worn_label: Option<SizeLabel>,
    /// The labels that are looked for; empty: proposed from the worn label or the feet.
    pub working: Vec<SizeLabel>,
    /// A width label in stock.
    pub width: Option<String>,
}

/// Feet, standing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Feet {
    /// Left length, mm.
    pub left_length: Option<Mm>,
    /// Right length, mm.
    pub right_length: Option<Mm>,
    /// Width of the wider, mm.
    pub width: Option<Mm>,
}

words! {
    /// The wish.
    Heading {
        /// Less shoe than now.
        Less => "less",
        /// The same again.
        Same => "same",
        /// Back to more shoe.
        More => "more",
        /// A new start, by the shop's absolute bands.
        New => "new",
    }
}
words! {
    /// How a pair nobody has numbers for feels.
    Feel {
        /// Flatter than most.
        Flatter => "flatter",
        /// Like most.
        LikeMost => "like most",
        /// Taller than most.
        Taller => "taller",
    }
}
words! {
    /// Sex, where one trial's cut differs by it.
    Sex {
        /// Female.
        Female => "female",
        /// Male.
        Male => "male",
    }
}
words! {
    /// What becomes of the pair worn now.
    OldPair {
        /// It stays in use.
        Keep => "keep",
        /// It is finished.
        Finished => "finished",
    }
}
words! {
    /// Who asked for a range.
    AskedBy {
        /// The runner.
        Runner => "runner",
        /// The fitter.
        Fitter => "fitter",
        /// A clinician.
        Clinician => "clinician",
    }
}

/// The shoe worn now, as far as it is known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WornNow {
    /// Which shoe.
    pub shoe: Now,
    /// It is the pair that runs most.
    pub main: Answer,
    /// What becomes of it.
    pub old_pair: Option<OldPair>,
}

/// How the worn shoe is known.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Now {
    /// Nobody asked.
    #[default]
    NotAsked,
    /// Only by how it feels.
    Feels(Feel),
    /// A style of the catalogue, retired ones included.
    Style(StyleKey),
    /// By its measures, typed or taken at the bench.
    Measured(Worn),
}

/// Where the runner is in a change of shoe.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Stage {
    /// The wish.
    pub heading: Option<Heading>,
    /// Weeks done in this step.
    pub weeks_done: Option<u16>,
    /// Order for less although a gate is closed.
    pub step_anyway: bool,
}

/// A range somebody asked for; it replaces the band, unclipped.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct AskedFor {
    /// Who asked.
    pub by: Option<AskedBy>,
    /// Drop from, to.
    pub drop: Option<(Mm, Mm)>,
    /// Landing stack from, to.
    pub landing_stack: Option<(Mm, Mm)>,
    /// A plate: wanted, not wanted.
    pub plate: Answer,
    /// A rocker: wanted, not wanted.
    pub rocker: Answer,
    /// An insole of their own goes in.
    pub own_insole: Answer,
}

/// Body mass as a number or as a band between two of the cuts the rules use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BodyMass {
    /// As said or weighed.
    Exactly(Kilograms),
    /// Above the first, below the second; an open end is `None`.
    Between(Option<Kilograms>, Option<Kilograms>),
}

/// The cuts between the body-mass bands, in tenths of kg (Malisoux 2020: 62.8, 78.2; Fuller 2017: 71.4, 85.7).
pub const BODY_MASS_CUTS: [i32; 4] = [628, 714, 782, 857];

impl BodyMass {
    /// Whether it is above `cut`; `None` when the band does not say.
    pub fn above(self, cut: Kilograms) -> Option<bool> {
        match self {
            Self::Exactly(mass) => Some(mass > cut),
            Self::Between(Some(from), _) if from >= cut => Some(true),
            Self::Between(_, Some(to)) if to <= cut => Some(false),
            Self::Between(..) => None,
        }
    }

    /// Whether it is below `cut`; `None` when the band does not say.
    pub fn below(self, cut: Kilograms) -> Option<bool> {
        match self {
            Self::Exactly(mass) => Some(mass < cut),
            Self::Between(..) => self.above(cut).map(|above| !above),
        }
    }

    /// The five bands in rising order.
    pub fn bands() -> [Self; 5] {
        let cut = |i: usize| Some(Kilograms::tenths(BODY_MASS_CUTS[i]));
        [
            Self::Between(None, cut(0)),
            Self::Between(cut(0), cut(1)),
            Self::Between(cut(1), cut(2)),
            Self::Between(cut(2), cut(3)),
            Self::Between(cut(3), None),
        ]
    }
}

impl Feet {
    /// The larger foot decides.
    pub fn larger(&self) -> Option<FootLength> {
        let length = self.left_length.max(self.right_length)?;
        Some(FootLength::of_mm_tenths(length.in_tenths()))
    }
}

impl Runner {
    /// Whether something of the history is painful now, whatever was said of the signs.
    pub fn hurts_now(&self) -> bool {
        self.injuries.iter().any(|injury| injury.painful.is_yes())
    }

    /// The labels that are looked for: as tapped, else proposed from the feet or the worn label.
    pub fn working_sizes(&self) -> Vec<SizeLabel> {
        if !self.sizes.working.is_empty() {
            return self.sizes.working.clone();
        }
        let Some(system) = self.sizes.system else { return Vec::new() };
        let by_feet = self.feet.larger().and_then(|foot| system.nearest(foot, self.audience));
        by_feet
            .or_else(|| self.sizes.worn_label.clone())
            .map_or_else(Vec::new, |label| system.proposed(&label))
    }

    /// The feet that the working sizes are made for, by the formula and this runner's audience.
    pub fn working_feet(&self) -> Vec<FootLength> {
        self.working_sizes().iter().filter_map(|label| label.foot(self.audience)).collect()
    }

    /// Whether an injury in one of `regions` is recent.
    pub fn recent(&self, regions: &[Region]) -> bool {
        self.injuries.iter().any(|injury| regions.contains(&injury.region) && injury.is_recent())
    }

    /// Whether an injury in one of `regions` was ever named.
    pub fn ever(&self, regions: &[Region]) -> bool {
        self.injuries.iter().any(|injury| regions.contains(&injury.region))
    }

    /// Whether any injury is recent.
    pub fn any_recent_injury(&self) -> bool {
        self.injuries.iter().any(Injury::is_recent)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn eu(printed: &str) -> SizeLabel {
        SizeLabel::parse(Some(SizeSystem::Eu), printed).unwrap()
    }

    #[test]
    fn working_sizes_are_proposed_from_the_larger_foot() {
        let mut runner = Runner { audience: Some(Audience::Men), ..Runner::default() };
        runner.sizes.system = Some(SizeSystem::Eu);
        runner.feet =
            Feet { left_length: Some(Mm::whole(268)), right_length: Some(Mm::whole(271)), width: None };
        let labels: Vec<_> = runner.working_sizes().iter().map(|l| l.printed().to_owned()).collect();
        assert_eq!(labels, ["42.5", "43", "43.5"]);
    }

    #[test]
    fn tapped_sizes_stand_as_tapped() {
        let mut runner = Runner::default();
        runner.sizes.system = Some(SizeSystem::Eu);
        runner.sizes.worn_label = Some(eu("42.5"));
        assert_eq!(runner.working_sizes().len(), 3);
        runner.sizes.working = vec![eu("43")];
        assert_eq!(runner.working_sizes(), [eu("43")]);
    }

    #[test]
    fn a_runner_whose_size_nobody_asked_has_no_working_sizes() {
        assert_eq!(Runner::default().working_sizes(), []);
    }

    #[test]
    fn a_band_of_body_mass_says_only_what_it_can() {
        let band = BodyMass::bands()[2];
        assert_eq!(band.above(Kilograms::tenths(714)), Some(true));
        assert_eq!(band.above(Kilograms::tenths(782)), Some(false));
        assert_eq!(band.below(Kilograms::tenths(782)), Some(true));
        assert_eq!(BodyMass::Between(None, None).above(Kilograms::tenths(714)), None);
        assert_eq!(BodyMass::Exactly(Kilograms::tenths(714)).above(Kilograms::tenths(714)), Some(false));
    }
}
