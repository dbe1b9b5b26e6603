//! The shoes put on the foot in one fitting, in memory only: which size on which foot, what was seen, and how the
//! customer ranks them.

use catalogue::key::{SkuKey, StyleKey};
use catalogue::trying::{OnFoot, Remark};

/// The shoes put on, in the order in which they were first kept.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tries {
    /// One a style.
    pub shoes: Vec<Try>,
    /// The first was put on once more at the end.
    pub first_again: bool,
}

/// One shoe on the foot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Try {
    /// The shoe.
    pub style: StyleKey,
    /// The size on the left foot.
    pub left: Option<SkuKey>,
    /// The size on the right foot.
    pub right: Option<SkuKey>,
    /// What was seen and said of it.
    pub seen: OnFoot,
    /// The customer's rank of comfort: 1 is the best.
    pub rank: Option<u8>,
    /// The fitter's note; it goes when the fitting is closed.
    pub note: String,
}

impl Try {
    /// A shoe of which nobody has said anything.
    pub fn of(style: StyleKey) -> Self {
        Self { style, left: None, right: None, seen: OnFoot::default(), rank: None, note: String::new() }
    }

    /// Whether anything was said of it.
    pub fn is_blank(&self) -> bool {
        *self == Self::of(self.style.clone())
    }

    /// The boxes that are not on the shelf meanwhile.
    pub fn boxes(&self) -> impl Iterator<Item = &SkuKey> {
        self.left.iter().chain(self.right.iter().filter(|right| Some(*right) != self.left.as_ref()))
    }
}

impl Tries {
    /// What was kept of a style.
    pub fn get(&self, style: &StyleKey) -> Option<&Try> {
        self.shoes.iter().find(|shoe| shoe.style == *style)
    }

    /// Keeps what was said of a shoe in the place of what was said before; a blank one was not put on.
    pub fn keep(&mut self, said: Try) {
        match self.shoes.iter().position(|shoe| shoe.style == said.style) {
            Some(at) if said.is_blank() => drop(self.shoes.remove(at)),
            Some(at) => self.shoes[at] = said,
            None if said.is_blank() => {}
            None => self.shoes.push(said),
        }
    }

    /// What of it a shop counts: of which style, and what.
    pub fn counted(&self) -> impl Iterator<Item = (&StyleKey, Remark)> {
        self.shoes.iter().flat_map(|shoe| shoe.seen.remarks().map(|remark| (&shoe.style, remark)))
    }

    /// A shoe that was put back was not put on.
    pub fn take_off(&mut self, style: &StyleKey) {
        self.shoes.retain(|shoe| shoe.style != *style);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::trying::HeelHold;

    fn key(text: &str) -> StyleKey {
        StyleKey::parse(text).unwrap()
    }

    #[test]
    fn what_is_said_again_of_a_shoe_stands_in_its_place_and_a_blank_takes_it_off() {
        let mut tries = Tries::default();
        let seen = |heel| OnFoot { heel: Some(heel), ..OnFoot::default() };
        tries.keep(Try { seen: seen(HeelHold::Slips), ..Try::of(key("fennick.a")) });
        tries.keep(Try { seen: seen(HeelHold::Holds), ..Try::of(key("fennick.b")) });
        tries.keep(Try { seen: seen(HeelHold::Holds), ..Try::of(key("fennick.a")) });
        assert_eq!(
            tries.shoes.iter().map(|shoe| shoe.style.as_str()).collect::<Vec<_>>(),
            ["fennick.a", "fennick.b"]
        );
        assert_eq!(tries.shoes[0].seen.heel, Some(HeelHold::Holds));
        tries.keep(Try::of(key("fennick.a")));
        assert_eq!(tries.shoes.len(), 1);
        tries.keep(Try::of(key("fennick.c")));
        assert_eq!(tries.shoes.len(), 1, "a shoe nobody said anything of was not put on");
    }

    #[test]
    fn one_box_on_both_feet_is_one_box() {
        let sku = SkuKey::parse("fennick.a/linen/eu-42/d").unwrap();
        let both = Try { left: Some(sku.clone()), right: Some(sku.clone()), ..Try::of(key("fennick.a")) };
        assert_eq!(both.boxes().collect::<Vec<_>>(), [&sku]);
    }
}
