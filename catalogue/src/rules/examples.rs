//! Small words to write the examples of rules with.

#![expect(clippy::needless_pass_by_value, reason = "examples read better without borrows")]

use crate::injury::{Answer, Injury, Region};
use crate::measures::{Measures, Worn};
use crate::policy::HousePolicy;
use crate::rank::Case;
use crate::runner::{BodyMass, Runner};
use crate::style::{Bending, BendingWord, Purposes, Specification};
use crate::units::{Grams, Kilograms, Mm};

/// A runner whose worn pair is unknown.
pub(super) fn case(runner: Runner) -> Case {
    Case::of(&runner, None, &HousePolicy::standard())
}

/// A runner in a pair of these stacks, whole mm, 280 g.
pub(super) fn wearing(runner: Runner, heel: i32, forefoot: i32) -> Case {
    let worn = Worn { measures: shoe(heel, forefoot), purposes: Purposes::NONE };
    Case::of(&runner, Some(&worn), &HousePolicy::standard())
}

/// A runner of whom nothing was asked.
pub(super) fn anyone() -> Runner {
    Runner::default()
}

/// A runner with a recent injury, painless and cleared.
pub(super) fn hurt(region: Region) -> Runner {
    let injury =
        Injury { recent: Answer::Yes, painful: Answer::No, cleared: Answer::Yes, ..Injury::of(region) };
    Runner { injuries: vec![injury], ..Runner::default() }
}

/// A runner of this body mass, whole kg.
pub(super) fn weighing(kg: i32) -> Runner {
    Runner { body_mass: Some(BodyMass::Exactly(Kilograms::whole(kg))), ..Runner::default() }
}

/// A shoe of these stacks, whole mm, 280 g.
pub(super) fn shoe(heel: i32, forefoot: i32) -> Measures {
    built(Some(heel), Some(forefoot), |_| {})
}

/// A shoe of which only the heel stack is known, whole mm.
pub(super) fn heel_only(heel: i32) -> Measures {
    built(Some(heel), None, |s| s.mass = None)
}

/// A shoe of which nothing is known.
pub(super) fn blank() -> Measures {
    Measures::UNKNOWN
}

/// A 32/24 shoe with a rocker sole, or without.
pub(super) fn rockered(rocker: bool) -> Measures {
    built(Some(32), Some(24), |s| s.rocker = Some(rocker))
}

/// A 32/24 shoe with a plate, or without, bending unknown.
pub(super) fn plated(plate: bool) -> Measures {
    built(Some(32), Some(24), |s| s.plate = Some(plate))
}

/// A 32/24 shoe without a plate that bends like this.
pub(super) fn bending(word: BendingWord) -> Measures {
    built(Some(32), Some(24), |s| {
        s.bending = Some(Bending::Word(word));
        s.plate = Some(false);
    })
}

/// A 32/24 shoe of this mass, g.
pub(super) fn of_mass(grams: i32) -> Measures {
    built(Some(32), Some(24), |s| s.mass = Some(Grams::whole(grams)))
}

/// A shoe of these stacks with anything else set.
pub(super) fn built(heel: Option<i32>, forefoot: Option<i32>, set: impl Fn(&mut Specification)) -> Measures {
    let mut specification = Specification {
        heel_stack: heel.map(Mm::whole),
        forefoot_stack: forefoot.map(Mm::whole),
        mass: Some(Grams::whole(280)),
        ..Specification::default()
    };
    set(&mut specification);
    Measures::of(&specification, None)
}
