//! The name of a fitting: a colour and an animal, so that two fitters can tell theirs apart across the room.

use crate::words;
use std::fmt;

/// Each has a swatch in the style sheet.
const COLOURS: [&str; 16] = [
    "Amber", "Blue", "Brown", "Copper", "Coral", "Green", "Grey", "Indigo", "Olive", "Orange", "Purple",
    "Red", "Silver", "Teal", "White", "Yellow",
];
const ANIMALS: [&str; 16] = [
    "Badger", "Bison", "Crane", "Dolphin", "Falcon", "Gecko", "Hare", "Heron", "Ibex", "Lynx", "Marten",
    "Otter", "Owl", "Raven", "Seal", "Vole",
];

/// A colour and an animal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct FittingName(u8);

impl FittingName {
    /// How many names there are.
    pub const COUNT: usize = COLOURS.len() * ANIMALS.len();

    /// The first name from `start` on that is not `taken`; `None` when all are.
    pub fn free(start: u8, taken: impl Fn(Self) -> bool) -> Option<Self> {
        (0..=u8::MAX).map(|step| Self(start.wrapping_add(step))).find(|name| !taken(*name))
    }

    /// Its colour: `Blue`.
    pub fn colour(self) -> &'static str {
        COLOURS[usize::from(self.0) % COLOURS.len()]
    }
}

impl fmt::Display for FittingName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let animal = ANIMALS[usize::from(self.0) / COLOURS.len()];
        let (colour, animal) = (words::of(self.colour()), words::of(animal));
        f.write_str(&say!("{colour} {animal}", colour, animal))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_number_is_another_name() {
        let names: BTreeSet<_> = (0..=u8::MAX).map(|number| FittingName(number).to_string()).collect();
        assert_eq!(names.len(), FittingName::COUNT);
        assert!(names.contains("Blue Heron"));
    }

    #[test]
    fn every_colour_has_its_swatch_in_the_style_sheet() {
        let sheet = include_str!("assets/style.css");
        let swatches: BTreeSet<&str> = COLOURS
            .iter()
            .filter_map(|colour| sheet.split(&format!("\n.{} {{ background: ", colour.to_lowercase())).nth(1))
            .filter_map(|rest| rest.split(';').next())
            .collect();
        assert_eq!(swatches.len(), COLOURS.len());
    }

    #[test]
    fn a_taken_name_is_passed_over_and_none_is_left_when_all_are_taken() {
        assert_eq!(FittingName::free(255, |name| name.0 == 255), Some(FittingName(0)));
        assert_eq!(FittingName::free(9, |_| true), None);
    }
}
