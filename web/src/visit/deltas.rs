//! What is different, in words: against the worn pair where there is one, else what the shoe measures.

use catalogue::measures::{Landing, Measures};

use super::shoe::plain;
use crate::labels::NOT_GIVEN;
use crate::words;

/// The difference between a shoe and the worn pair as it stands in a row: `2 mm less drop, 4 lower, 25 g lighter`.
/// Without a worn pair: `drop 8, 32 mm under the heel`. The mass is that of the shoe brought to the size the worn
/// pair was weighed at, in tenths of g; `None` when a mass is not given.
pub fn in_words(shoe: &Measures, mass: Option<i32>, worn: Option<&Measures>, landing: Landing) -> String {
    let Some(worn) = worn else { return alone(shoe) };
    let drop = drop(shoe, worn);
    let height = height(shoe, worn, landing, drop.contains(" mm"));
    let mass = weight(mass, worn.mass().map(|mass| mass.in_tenths()));
    [drop, height, mass].join(", ")
}

/// What a shoe measures, when there is nothing to compare it with.
fn alone(shoe: &Measures) -> String {
    let drop = absolute_drop(shoe);
    let height = match (shoe.heel_stack(), shoe.forefoot_stack()) {
        (Some(heel), _) => say!("{heel} under the heel", heel = words::number(heel)),
        (None, Some(forefoot)) => say!("{forefoot} under the forefoot", forefoot = words::number(forefoot)),
        (None, None) => say!("stacks {value}", value = words::of(NOT_GIVEN)),
    };
    format!("{drop}, {height}")
}

fn absolute_drop(shoe: &Measures) -> String {
    shoe.drop().map_or_else(
        || say!("drop {value}", value = words::of(NOT_GIVEN)),
        |drop| say!("drop {drop}", drop = plain(drop.in_tenths())),
    )
}

fn drop(shoe: &Measures, worn: &Measures) -> String {
    match shoe.drop().zip(worn.drop()) {
        None => absolute_drop(shoe),
        Some((shoe, worn)) => match shoe.in_tenths() - worn.in_tenths() {
            0 => say!("same drop").to_owned(),
            less @ ..0 => say!("{less} mm less drop", less = plain(-less)),
            more => say!("{more} mm more drop", more = plain(more)),
        },
    }
}

/// The stack this runner lands on; where one of the two does not say it, the stack that both do.
fn height(shoe: &Measures, worn: &Measures, landing: Landing, unit_is_said: bool) -> String {
    let unit = if unit_is_said { "" } else { " mm" };
    let of = |landing| shoe.landing_stack(landing).zip(worn.landing_stack(landing));
    let places =
        [(landing, ""), (Landing::Heel, say!(" at the heel")), (Landing::Forefoot, say!(" in front"))];
    let found = places.into_iter().find_map(|(landing, place)| of(landing).map(|both| (both, place)));
    match found {
        None if shoe.heel_stack().is_none() && shoe.forefoot_stack().is_none() => {
            say!("stacks {value}", value = words::of(NOT_GIVEN))
        }
        None => shoe.heel_stack().map_or_else(
            || say!("heel stack {value}", value = words::of(NOT_GIVEN)),
            |heel| say!("{heel} under the heel", heel = words::number(heel)),
        ),
        Some(((shoe, worn), place)) => match shoe.in_tenths() - worn.in_tenths() {
            0 => say!("same height{place}", place),
            lower @ ..0 => say!("{lower}{unit} lower{place}", lower = plain(-lower), unit, place),
            higher => say!("{higher}{unit} higher{place}", higher = plain(higher), unit, place),
        },
    }
}

/// Whole grams: a tenth of a gram is nothing that a foot or a scale at the bench could tell.
fn weight(shoe: Option<i32>, worn: Option<i32>) -> String {
    let whole = |tenths: i32| (tenths + 5).div_euclid(10);
    match (shoe, worn) {
        (None, _) => say!("weight {value}", value = words::of(NOT_GIVEN)),
        (Some(shoe), None) => format!("{} g", whole(shoe)),
        (Some(shoe), Some(worn)) => match whole(shoe) - whole(worn) {
            0 => say!("same weight").to_owned(),
            lighter @ ..0 => say!("{lighter} g lighter", lighter = -lighter),
            heavier => say!("{heavier} g heavier", heavier),
        },
    }
}

/// How a shoe bends beside another: `one step stiffer`; where the other does not say, by its own word.
pub fn bending(shoe: &Measures, other: &Measures) -> String {
    let Some(own) = shoe.bending() else { return say!("bending {value}", value = words::of(NOT_GIVEN)) };
    let Some(other) = other.bending() else { return say!("bends: {word}", word = words::of(own.word())) };
    let steps = own.step().abs_diff(other.step());
    match (steps, own > other) {
        (0, _) => say!("bends alike").to_owned(),
        (1, true) => say!("one step stiffer").to_owned(),
        (1, false) => say!("one step more flexible").to_owned(),
        (steps, true) => say!("{steps} steps stiffer", steps),
        (steps, false) => say!("{steps} steps more flexible", steps),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::style::{Bending, BendingWord, Specification};
    use catalogue::units::{Grams, Mm};

    /// Tenths of mm and of g; below 0 is not given.
    fn shoe(heel: i32, forefoot: i32, mass: i32) -> Measures {
        let mm = |tenths: i32| (tenths >= 0).then(|| Mm::tenths(tenths));
        let specification = Specification {
            heel_stack: mm(heel),
            forefoot_stack: mm(forefoot),
            mass: (mass >= 0).then(|| Grams::tenths(mass)),
            ..Specification::default()
        };
        Measures::of(&specification, None)
    }

    fn words(candidate: &Measures, worn: Option<&Measures>, landing: Landing) -> String {
        in_words(candidate, candidate.mass().map(|mass| mass.in_tenths()), worn, landing)
    }

    #[test]
    fn a_shoe_is_told_by_what_differs_from_the_worn_pair() {
        let worn = shoe(380, 300, 2800);
        let told = |heel, forefoot, mass| words(&shoe(heel, forefoot, mass), Some(&worn), Landing::Heel);
        assert_eq!(told(340, 280, 2550), "2 mm less drop, 4 lower, 25 g lighter");
        assert_eq!(told(360, 280, 2620), "same drop, 2 mm lower, 18 g lighter");
        assert_eq!(told(480, 395, 3020), "0.5 mm more drop, 10 higher, 22 g heavier");
        assert_eq!(told(380, 300, 2804), "same drop, same height, same weight");
    }

    #[test]
    fn the_height_is_that_of_the_stack_the_runner_lands_on() {
        let (worn, candidate) = (shoe(380, 300, -1), shoe(360, 260, -1));
        let told = |landing| words(&candidate, Some(&worn), landing);
        assert!(told(Landing::Heel).contains("2 lower,"));
        assert!(told(Landing::Forefoot).contains("4 lower,"));
        assert!(told(Landing::Mean).contains("3 lower,"));
    }

    #[test]
    fn what_is_not_given_is_said_and_what_is_left_is_compared() {
        let worn = shoe(380, 300, 2800);
        let told = |heel, forefoot| words(&shoe(heel, forefoot, -1), Some(&worn), Landing::Mean);
        assert_eq!(told(370, -1), "drop not given, 1 mm lower at the heel, weight not given");
        assert_eq!(told(-1, 240), "drop not given, 6 mm lower in front, weight not given");
        assert_eq!(told(-1, -1), "drop not given, stacks not given, weight not given");
    }

    #[test]
    fn bending_is_told_in_steps_and_by_its_own_word_where_the_other_does_not_say() {
        let bends = |step: u8| {
            let bending = BendingWord::from_step(step).map(Bending::Word);
            Measures::of(&Specification { bending, ..Specification::default() }, None)
        };
        let told = |own, other| bending(&bends(own), &bends(other));
        assert_eq!((told(3, 3), told(4, 3)), ("bends alike".into(), "one step stiffer".into()));
        assert_eq!(
            (told(2, 3), told(1, 3)),
            ("one step more flexible".into(), "2 steps more flexible".into())
        );
        assert_eq!(told(5, 2), "3 steps stiffer");
        assert_eq!((told(4, 0), told(0, 4)), ("bends: stiff".into(), "bending not given".into()));
    }

    #[test]
    fn without_a_worn_pair_a_shoe_is_told_by_its_own_measures() {
        assert_eq!(words(&shoe(320, 240, 2800), None, Landing::Mean), "drop 8, 32 mm under the heel");
        assert_eq!(
            words(&shoe(-1, 240, 2800), None, Landing::Mean),
            "drop not given, 24 mm under the forefoot"
        );
        assert_eq!(words(&shoe(-1, -1, -1), None, Landing::Mean), "drop not given, stacks not given");
    }

    #[test]
    fn a_worn_pair_that_does_not_say_leaves_the_shoes_own_measure() {
        let told = words(&shoe(320, 240, 2800), Some(&Measures::UNKNOWN), Landing::Mean);
        assert_eq!(told, "drop 8, 32 mm under the heel, 280 g");
    }
}
