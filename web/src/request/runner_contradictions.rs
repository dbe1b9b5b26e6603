//! Answers that are sound one by one and cannot be true together. Each is told at one of its keys.
//!
//! What only looks odd is let be: a feel beside measures gives way, a range asked for replaces the heading's own, two
//! readings of the strike that disagree are shown, an injury may be cleared and still hurt. Not asked contradicts nothing.

use catalogue::flags::Flags;
use catalogue::injury::{Answer, Injury};
use catalogue::key::StyleKey;
use catalogue::style::Specification;
use catalogue::units::{Mm, Tenths};

use super::runner_draft::Draft;
use super::runner_fields::DROP;
use super::wrong::Wrong;
use crate::words;

/// Left and right feet further apart than this, in tenths of a mm, are a slip. *Our choice*: six sizes.
const FEET_APART: i32 = 400;
/// A foot wider than so many hundredths of its length is a slip. *Our choice*: feet are about 40 wide.
const WIDEST: i32 = 60;
/// Drop and stacks further apart than this, in tenths of a mm, are not of one shoe. *Our choice*: a label and two
/// calliper readings differ by a few mm; within it the stacks rank, as they do for a shoe of the catalogue.
const DROP_APART: i32 = 40;

/// A key, and what its answer contradicts.
pub(super) type Contradiction = (String, String);

/// Every contradiction among the answers of a draft. `exists` says whether the catalogue has a style.
pub(super) fn contradictions(draft: &Draft, exists: &dyn Fn(&StyleKey) -> bool) -> Vec<Contradiction> {
    let worn = match &draft.style {
        Some(style) => of_the_style(draft, style, exists),
        None => drop_and_stacks(&draft.worn).into_iter().collect(),
    };
    let others = [feet_apart(draft), foot_width(draft), body_mass(draft), pain(draft), second_current(draft)];
    worn.into_iter().chain(others.into_iter().flatten()).collect()
}

fn at(key: &str, say: impl Into<String>) -> Contradiction {
    (key.to_owned(), say.into())
}

fn number(mm: Mm) -> String {
    words::number(Tenths(mm.in_tenths()))
}

fn of_the_style(draft: &Draft, style: &StyleKey, exists: &dyn Fn(&StyleKey) -> bool) -> Vec<Contradiction> {
    let unknown = (!exists(style)).then(|| at("now.style", format!("“{style}” {}", Wrong::NoStyle)));
    let measured = (draft.worn != Specification::default()).then(|| {
        let say =
            say!("“{style}” stands beside measures; keep the style, or the measures of another pair", style);
        at("now.style", say)
    });
    let purposes = (!draft.purposes.is_empty()).then(|| {
        at(
            "now.purposes",
            say!("is for a pair that is not in the catalogue; take it out, or take the style out"),
        )
    });
    [unknown, measured, purposes].into_iter().flatten().collect()
}

/// A drop that no sole has, or that its own stacks deny.
fn drop_and_stacks(worn: &Specification) -> Option<Contradiction> {
    match (worn.heel_stack, worn.forefoot_stack, worn.drop_stated) {
        (Some(heel), Some(forefoot), stated) => two_stacks(heel, forefoot, stated),
        (Some(stack), None, Some(drop)) => below_the_ground(stack.in_tenths() - drop.in_tenths(), drop),
        (None, Some(stack), Some(drop)) => below_the_ground(stack.in_tenths() + drop.in_tenths(), drop),
        _ => None,
    }
}

fn two_stacks(heel: Mm, forefoot: Mm, stated: Option<Mm>) -> Option<Contradiction> {
    let drop = heel.in_tenths() - forefoot.in_tenths();
    let made = say!(
        "a heel of {heel} and a forefoot of {forefoot} make a drop of {drop} mm",
        heel = number(heel),
        forefoot = number(forefoot),
        drop = Tenths(drop)
    );
    if let Err(wrong) = DROP.within(Some(drop)) {
        return Some(at("now.heel_stack_mm", say!("{made}, which {wrong}; measure both again", made, wrong)));
    }
    let stated = stated.filter(|stated| (stated.in_tenths() - drop).abs() > DROP_APART)?;
    let say = say!(
        "“{stated}” cannot be: {made}; measure again, or leave the drop out",
        stated = number(stated),
        made
    );
    Some(at("now.drop_mm", say))
}

fn below_the_ground(stack: i32, drop: Mm) -> Option<Contradiction> {
    let say = || say!("“{drop}” is more than the stack it starts from; measure again", drop = number(drop));
    (stack < 0).then(|| at("now.drop_mm", say()))
}

fn feet_apart(draft: &Draft) -> Option<Contradiction> {
    let (left, right) = draft.runner.feet.left_length.zip(draft.runner.feet.right_length)?;
    let apart = (left.in_tenths() - right.in_tenths()).abs();
    let say = || {
        let (left, right, apart, most) = (number(left), number(right), Tenths(apart), Tenths(FEET_APART));
        say!(
            "“{right}” is {apart} mm away from the left foot’s {left}; up to {most} can be meant; measure both again",
            right,
            apart,
            left,
            most
        )
    };
    (apart > FEET_APART).then(|| at("foot.right_length_mm", say()))
}

fn foot_width(draft: &Draft) -> Option<Contradiction> {
    let feet = &draft.runner.feet;
    let (width, length) = feet.width.zip(feet.left_length.max(feet.right_length))?;
    let too_wide = 100 * width.in_tenths() > WIDEST * length.in_tenths();
    let say = || {
        let (width, length) = (number(width), number(length));
        say!(
            "“{width}” is more than {value} % of the length, {length}; measure across the ball, not around it",
            width,
            value = WIDEST,
            length
        )
    };
    too_wide.then(|| at("foot.width_mm", say()))
}

fn body_mass(draft: &Draft) -> Option<Contradiction> {
    let twice = draft.band.is_some() && draft.runner.body_mass.is_some();
    twice.then(|| at("run.body_mass_band", say!("stands beside run.body_mass_kg; keep one of the two")))
}

/// A pain without its sign must not pass for no pain, nor one that the history names.
fn pain(draft: &Draft) -> Option<Contradiction> {
    let mut signs = Flags::questions().iter().map(|flag| draft.runner.flags.get(*flag));
    let painful = draft.runner.injuries.iter().find(|injury| injury.painful.is_yes());
    let say = match (draft.pain, painful) {
        (Answer::No, _) if signs.any(Answer::is_yes) => {
            say!("says no, yet a sign below it says yes; answer one of them again").to_owned()
        }
        (Answer::No, Some(injury)) => {
            let region = injury.region.word();
            say!(
                "says no, yet the history says that {region} is painful now; answer one of them again",
                region
            )
        }
        (Answer::Yes, None) if signs.all(|sign| sign == Answer::NotAsked) => say!(
            "says yes, but not what; answer the signs below it, or say in the history what is painful now"
        )
        .to_owned(),
        _ => return None,
    };
    Some(at("flags.pain", say))
}

/// Of two pains that pull apart only one can be the current one.
fn second_current(draft: &Draft) -> Option<Contradiction> {
    let mut current = draft.runner.injuries.iter().filter(|injury| injury.current.is_yes());
    let word = |injury: &Injury| injury.region.word();
    let (first, second) = (word(current.next()?), word(current.next()?));
    let say = say!("says yes, and so does that of {first}; say it of the one pain that is current", first);
    Some(at(&format!("injury.{second}.current"), say))
}
