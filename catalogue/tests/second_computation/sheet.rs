//! The ranking's contract, section 5.1: what a sheet gives of a shoe, and what is derived from it first.

use catalogue::measures::Landing;
use catalogue::policy::HousePolicy;
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::{Audience, Bending, Specification};

/// One shoe in plain tenths; what cannot be derived is `None`.
#[derive(Clone, Debug, Default)]
pub(crate) struct Sheet {
    pub(crate) heel: Option<i64>,
    pub(crate) forefoot: Option<i64>,
    pub(crate) drop: Option<i64>,
    pub(crate) mass: Option<i64>,
    /// Twelfths of an EU size.
    pub(crate) weighed_at: Option<i64>,
    /// Tenths of a step.
    pub(crate) bending: Option<i64>,
    pub(crate) plate: Option<bool>,
    pub(crate) rocker: Option<bool>,
    /// Tenths of N/mm, and the method.
    pub(crate) compression: Option<(i64, String)>,
    pub(crate) audience: Option<Audience>,
}

impl Sheet {
    pub(crate) fn of(specification: &Specification, audience: Option<Audience>) -> Self {
        let tenths = |mm: Option<catalogue::units::Mm>| mm.map(|mm| i64::from(mm.in_tenths()));
        let heel = tenths(specification.heel_stack);
        let forefoot = tenths(specification.forefoot_stack);
        let stated = tenths(specification.drop_stated);
        let (heel, forefoot, drop) = derived(heel, forefoot, stated);
        Self {
            heel,
            forefoot,
            drop,
            mass: specification.mass.map(|grams| i64::from(grams.in_tenths())),
            weighed_at: specification.mass_size.as_ref().and_then(|label| eu_twelfths(label, audience)),
            bending: step(specification.bending.as_ref()),
            plate: specification.plate,
            rocker: specification.rocker,
            compression: specification
                .compression
                .as_ref()
                .map(|c| (i64::from(c.stiffness.in_tenths()), c.method.to_string())),
            audience,
        }
    }

    /// Heel stack for rearfoot, forefoot stack for forefoot, else the mean, rounded half up to a tenth.
    pub(crate) fn landing_stack(&self, landing: Landing) -> Option<i64> {
        match landing {
            Landing::Heel => self.heel,
            Landing::Forefoot => self.forefoot,
            Landing::Mean => Some((self.heel? + self.forefoot? + 1).div_euclid(2)),
        }
    }

    /// The size it was weighed at; unknown, the usual sample size of its audience, or else of `or_audience`.
    pub(crate) fn size_or_sample(&self, policy: &HousePolicy, or_audience: Option<Audience>) -> i64 {
        let (men, women) = policy.sample_sizes;
        let sample = if self.audience.or(or_audience) == Some(Audience::Women) { women } else { men };
        self.weighed_at.unwrap_or(i64::from(sample))
    }
}

/// A stated drop ranks as stated when it is within 0.5 mm of the stacks; else the stacks rank.
fn derived(
    heel: Option<i64>,
    forefoot: Option<i64>,
    stated: Option<i64>,
) -> (Option<i64>, Option<i64>, Option<i64>) {
    match (heel, forefoot, stated) {
        (Some(h), Some(f), Some(d)) if (h - f - d).abs() <= 5 => (heel, forefoot, Some(d)),
        (Some(h), Some(f), _) => (heel, forefoot, Some(h - f)),
        (Some(h), None, Some(d)) => (heel, Some(h - d), stated),
        (None, Some(f), Some(d)) => (Some(f + d), forefoot, stated),
        _ => (heel, forefoot, stated),
    }
}

/// A laboratory value, or a stiffness of unknown kind, is not turned into a word.
fn step(bending: Option<&Bending>) -> Option<i64> {
    match bending {
        Some(Bending::Word(word)) => Some(10 * i64::from(word.step())),
        _ => None,
    }
}

/// Section 8: EU = 1.5 cm + 2, UK = 3 in - 23, US men = UK + 1, US women = UK + 2; to the nearest twelfth.
fn eu_twelfths(label: &SizeLabel, audience: Option<Audience>) -> Option<i64> {
    let twelfths = i64::from(label.twelfths());
    let of_uk = |uk: i64| (127 * (uk + 276) + 50).div_euclid(100) + 24;
    match label.system()? {
        SizeSystem::Eu => Some(twelfths),
        SizeSystem::Uk => Some(of_uk(twelfths)),
        SizeSystem::Us => match audience? {
            Audience::Women => Some(of_uk(twelfths - 24)),
            _ => Some(of_uk(twelfths - 12)),
        },
        SizeSystem::Mondopoint | SizeSystem::Cm => None,
    }
}
