//! Every number of the house policy by name: its unit, its limits, what it does, and how it is said and heard.
//!
//! The page, the file and the ledger know the policy by this list alone. What studies say is not in it.

use super::currencies::{CURRENCIES, currency};
pub use super::scale::{NotHeard, Scale};
use super::table::{
    FLATTER, LESS, LIKE_MOST, MORE, NEW, NEW_RACE, RACE, REACH, SAME, SHOP, STEPS, TALLER, UNKNOWN,
};
use super::{HousePolicy, Range};
use crate::style::words;

words! {
    /// What a number belongs to.
    Topic {
        /// Offsets for less shoe.
        Less => "less",
        /// Offsets for the same again.
        Same => "same",
        /// Offsets for more shoe.
        More => "more",
        /// Offsets for a first pair to race in.
        Race => "race",
        /// Bands without a worn pair.
        New => "new",
        /// Bands for racing without a worn pair.
        NewRace => "new-race",
        /// How far beyond a band a shoe still counts.
        Reach => "reach",
        /// Steps of a change.
        Steps => "steps",
        /// What stands in for what is unknown.
        Unknown => "unknown",
        /// The shop.
        Shop => "shop",
    }
}

/// One item of the policy: a number, two ends, or a word.
#[derive(Debug)]
pub struct Item {
    /// Its name in the file and in links: `less.drop_mm`. Never changes.
    pub key: &'static str,
    /// What it belongs to.
    pub topic: Topic,
    /// What it is called.
    pub label: &'static str,
    /// What it does, in one sentence.
    pub does: &'static str,
    pub(super) kind: Kind,
}

#[derive(Debug)]
pub(super) enum Kind {
    /// One number.
    One(Scale, fn(&HousePolicy) -> i32, fn(&mut HousePolicy, i32)),
    /// From, to.
    Ends(Scale, fn(&HousePolicy) -> Range, fn(&mut HousePolicy, Range)),
    /// The comparable compression method, or none.
    Method,
    /// The currency, by its code.
    Currency,
}

/// All items, topic by topic.
pub fn items() -> impl Iterator<Item = &'static Item> {
    let parts: [&[Item]; 13] = [
        &LESS, &SAME, &MORE, &RACE, &NEW, &NEW_RACE, &REACH, &STEPS, &UNKNOWN, &FLATTER, &LIKE_MOST, &TALLER,
        &SHOP,
    ];
    parts.into_iter().flatten()
}

/// The item of a key.
pub fn item(key: &str) -> Option<&'static Item> {
    items().find(|item| item.key == key)
}

impl Item {
    /// What the policy says: `-4 to -1`, `6`, `EUR`; empty for no method.
    pub fn say(&self, policy: &HousePolicy) -> String {
        match &self.kind {
            Kind::One(scale, get, _) => scale.say(get(policy)),
            Kind::Ends(scale, get, _) => {
                let (from, to) = get(policy);
                format!("{} to {}", scale.say(from), scale.say(to))
            }
            Kind::Method => policy.comparable_method.clone().unwrap_or_default(),
            Kind::Currency => policy.currency.code.to_owned(),
        }
    }

    /// Sets the policy to what `text` says, as [`Self::say`] says it.
    pub fn hear(&self, policy: &mut HousePolicy, text: &str) -> Result<(), NotHeard> {
        let text = text.trim();
        match &self.kind {
            Kind::One(scale, _, set) => set(policy, scale.hear(text, 1)?),
            Kind::Ends(scale, _, set) => {
                let (from, to) = text.split_once(" to ").ok_or(NotHeard::NotNumbers(2))?;
                let ends = (scale.hear(from, 2)?, scale.hear(to, 2)?);
                if ends.0 > ends.1 {
                    return Err(NotHeard::Swapped);
                }
                set(policy, ends);
            }
            Kind::Method => {
                let plain = text.chars().count() <= 60 && !text.chars().any(char::is_control);
                policy.comparable_method = plain
                    .then(|| Some(text.to_owned()).filter(|text| !text.is_empty()))
                    .ok_or(NotHeard::Method)?;
            }
            Kind::Currency => policy.currency = currency(text).ok_or(NotHeard::Currency)?,
        }
        Ok(())
    }

    /// Whether it has two ends.
    pub const fn has_ends(&self) -> bool {
        matches!(self.kind, Kind::Ends(..))
    }

    /// The unit of its numbers; empty for a word.
    pub const fn unit(&self) -> &'static str {
        match &self.kind {
            Kind::One(scale, ..) | Kind::Ends(scale, ..) => scale.unit,
            Kind::Method | Kind::Currency => "",
        }
    }

    /// Its limits in words: `-12 to 0 mm`; empty for a word.
    pub fn limits(&self) -> String {
        match &self.kind {
            Kind::One(scale, ..) | Kind::Ends(scale, ..) => {
                format!("{} to {} {}", scale.say(scale.least), scale.say(scale.most), scale.unit)
            }
            Kind::Method => String::new(),
            Kind::Currency => format!("one of {} codes", CURRENCIES.len()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Tenths;
    use proptest::prelude::*;

    #[test]
    fn keys_are_unique_and_each_default_stands_within_its_limits() {
        let keys: std::collections::BTreeSet<_> = items().map(|item| item.key).collect();
        assert_eq!(keys.len(), items().count());
        for item in items() {
            let mut policy = HousePolicy::standard();
            let said = item.say(&policy);
            assert_eq!(item.hear(&mut policy, &said), Ok(()), "{} {said}", item.key);
            assert_eq!(policy, HousePolicy::standard(), "{}", item.key);
            assert!(item.does.ends_with('.'), "{}", item.key);
        }
    }

    /// Source: the table of the house policy in the contract, section 6: opinion, restated here by hand.
    #[test]
    fn the_defaults_are_those_of_the_table() {
        let policy = HousePolicy::standard();
        let said = |key: &str| item(key).map(|item| item.say(&policy)).unwrap_or_default();
        let table = [
            ("less.drop_mm", "-4 to -1"),
            ("same.drop_mm", "-2 to 2"),
            ("more.drop_mm", "0 to 6"),
            ("race.drop_mm", "-4 to 2"),
            ("new.drop_mm", "6 to 10"),
            ("new-race.drop_mm", "4 to 10"),
            ("less.landing_stack_mm", "-8 to -2"),
            ("same.landing_stack_mm", "-4 to 4"),
            ("more.landing_stack_mm", "4 to 14"),
            ("race.landing_stack_mm", "-4 to 6"),
            ("new.heel_stack_mm", "28 to 36"),
            ("new.forefoot_stack_mm", "20 to 28"),
            ("new.mean_stack_mm", "24 to 32"),
            ("new-race.heel_stack_mm", "26 to 40"),
            ("new-race.forefoot_stack_mm", "20 to 34"),
            ("new-race.mean_stack_mm", "23 to 37"),
            ("less.mass_g", "-60 to 0"),
            ("same.mass_g", "-40 to 40"),
            ("more.mass_g", "-20 to 60"),
            ("race.mass_g", "-120 to 0"),
            ("new.mass_g", "180 to 300"),
            ("new-race.mass_g", "140 to 240"),
            ("less.bending_steps", "-2 to 0"),
            ("same.bending_steps", "-1 to 1"),
            ("more.bending_steps", "-1 to 1"),
            ("race.bending_steps", "-1 to 2"),
            ("new.bending_steps", "2 to 4"),
            ("new-race.bending_steps", "3 to 5"),
            ("reach.drop_mm", "6"),
            ("reach.landing_stack_mm", "16"),
            ("reach.mass_g", "100"),
            ("reach.bending_steps", "2"),
            ("weeks_per_step", "6"),
            ("largest_step.drop_mm", "4"),
            ("largest_step.landing_stack_mm", "8"),
            ("tall_stack_mm", "50"),
            ("reference_drop_mm", "8"),
            ("mass_per_size_percent", "3"),
            ("sample_size.men", "42"),
            ("sample_size.women", "38"),
            ("toe_room_mm", "10 to 15"),
            ("few_pairs", "1"),
            ("comparable_method", ""),
            ("currency", "EUR"),
            ("feel.flatter_heel_mm", "22"),
            ("feel.flatter_forefoot_mm", "18"),
            ("feel.like_most_heel_mm", "32"),
            ("feel.like_most_forefoot_mm", "24"),
            ("feel.taller_heel_mm", "40"),
            ("feel.taller_forefoot_mm", "32"),
        ];
        assert_eq!(table.len(), items().count());
        for (key, value) in table {
            assert_eq!(said(key), value, "{key}");
        }
    }

    #[test]
    fn what_cannot_stand_is_said_with_what_to_write() {
        let told = |key: &str, text: &str| {
            let mut policy = HousePolicy::standard();
            let wrong = item(key).unwrap().hear(&mut policy, text).unwrap_err().to_string();
            assert_eq!(policy, HousePolicy::standard(), "{key} {text}");
            wrong
        };
        assert!(told("weeks_per_step", "six").contains("such as 6"));
        assert!(told("weeks_per_step", "6.5").contains("whole numbers"));
        assert!(told("weeks_per_step", "0").contains("from 1 to 52 weeks"));
        assert!(told("less.drop_mm", "-1 to -4").contains("lower end first"));
        assert!(told("less.drop_mm", "-4").contains("from and to"));
        assert!(told("less.drop_mm", "-4 to 3").contains("from -12 to 0 mm"));
        assert!(told("less.drop_mm", "-4.25 to -1").contains("tenths"));
        assert!(told("sample_size.men", "42.3").contains("halves"));
        assert!(told("currency", "gold").contains("EUR"));
        assert!(
            told("reach.mass_g", "99999999999999999999").contains("such as 6")
                || told("reach.mass_g", "99999999").contains("limits")
        );
    }

    proptest! {
        #[test]
        fn whatever_is_heard_is_said_back_the_same(from in -120_i32..=0, span in 0_i32..60) {
            let text = format!("{} to {}", Tenths(from), Tenths((from + span).min(0)));
            let mut policy = HousePolicy::standard();
            let drop = item("less.drop_mm").unwrap();
            drop.hear(&mut policy, &text).unwrap();
            prop_assert_eq!(drop.say(&policy), text);
        }
    }
}
