//! Every number of the house policy by name: its unit, its limits, what it does, and how it is said and heard.
//!
//! The page, the file and the ledger know the policy by this list alone. What studies say is not in it.

use super::currencies::{CURRENCIES, currency};
use super::{HousePolicy, Range};
use crate::style::words;
use crate::units::{Decimal, Mm, Tenths};

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
    kind: Kind,
}

#[derive(Debug)]
enum Kind {
    /// One number.
    One(Scale, fn(&HousePolicy) -> i32, fn(&mut HousePolicy, i32)),
    /// From, to.
    Ends(Scale, fn(&HousePolicy) -> Range, fn(&mut HousePolicy, Range)),
    /// The comparable compression method, or none.
    Method,
    /// The currency, by its code.
    Currency,
}

/// How a number is kept and within which limits it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    /// Behind the number.
    pub unit: &'static str,
    /// How many of what is kept make one unit: 10 for tenths, 12 for twelfths of a size.
    per_unit: i32,
    /// The least, as kept.
    least: i32,
    /// The most, as kept.
    most: i32,
}

/// Why an item cannot be set. Displayed as what to do instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotHeard {
    /// No number, or not two of them.
    NotNumbers(usize),
    /// More decimals than are kept.
    Finer(&'static str),
    /// Beyond the limits.
    Beyond(Scale),
    /// The first end is above the second.
    Swapped,
    /// A method that is no short plain text.
    Method,
    /// Not a code of the list.
    Currency,
}

const fn tenths(unit: &'static str, least: i32, most: i32) -> Scale {
    Scale { unit, per_unit: 10, least: least * 10, most: most * 10 }
}

const fn whole(unit: &'static str, least: i32, most: i32) -> Scale {
    Scale { unit, per_unit: 1, least, most }
}

const EU: Scale = Scale { unit: "EU size", per_unit: 12, least: 30 * 12, most: 52 * 12 };
const PERCENT: Scale = Scale { unit: "%", per_unit: 10, least: 0, most: 100 };

/// The four offsets of a row, each with its limits in whole units.
macro_rules! offsets {
    ($row:literal, $topic:ident, $field:ident, $drop:expr, $stack:expr, $mass:expr, $bending:expr) => {
        [
            Item {
                key: concat!($row, ".drop_mm"),
                topic: Topic::$topic,
                label: "Drop",
                does: "Added to the drop of the pair worn now: the band that is looked for.",
                kind: Kind::Ends(
                    tenths("mm", $drop.0, $drop.1),
                    |p| p.$field.drop,
                    |p, ends| p.$field.drop = ends,
                ),
            },
            Item {
                key: concat!($row, ".landing_stack_mm"),
                topic: Topic::$topic,
                label: "Landing stack",
                does: "Added to the stack the runner lands on in the pair worn now.",
                kind: Kind::Ends(
                    tenths("mm", $stack.0, $stack.1),
                    |p| p.$field.stack,
                    |p, ends| p.$field.stack = ends,
                ),
            },
            Item {
                key: concat!($row, ".mass_g"),
                topic: Topic::$topic,
                label: "Weight",
                does: "Added to the weight of the pair worn now.",
                kind: Kind::Ends(
                    tenths("g", $mass.0, $mass.1),
                    |p| p.$field.mass,
                    |p, ends| p.$field.mass = ends,
                ),
            },
            Item {
                key: concat!($row, ".bending_steps"),
                topic: Topic::$topic,
                label: "Bending",
                does: "Added to the bending step of the pair worn now, stiffer upwards.",
                kind: Kind::Ends(
                    tenths("steps", $bending.0, $bending.1),
                    |p| p.$field.bending,
                    |p, ends| p.$field.bending = ends,
                ),
            },
        ]
    };
}

/// The six bands of a row that needs no worn pair.
macro_rules! bands {
    ($row:literal, $topic:ident, $field:ident) => {
        [
            Item {
                key: concat!($row, ".drop_mm"),
                topic: Topic::$topic,
                label: "Drop",
                does: "The band of drop where the worn pair's is unknown.",
                kind: Kind::Ends(tenths("mm", -2, 20), |p| p.$field.drop, |p, ends| p.$field.drop = ends),
            },
            Item {
                key: concat!($row, ".heel_stack_mm"),
                topic: Topic::$topic,
                label: "Landing stack, heel",
                does: "The band of heel stack for a runner who lands on the rearfoot.",
                kind: Kind::Ends(tenths("mm", 4, 60), |p| p.$field.heel, |p, ends| p.$field.heel = ends),
            },
            Item {
                key: concat!($row, ".forefoot_stack_mm"),
                topic: Topic::$topic,
                label: "Landing stack, forefoot",
                does: "The band of forefoot stack for a runner who lands on the forefoot.",
                kind: Kind::Ends(
                    tenths("mm", 4, 60),
                    |p| p.$field.forefoot,
                    |p, ends| p.$field.forefoot = ends,
                ),
            },
            Item {
                key: concat!($row, ".mean_stack_mm"),
                topic: Topic::$topic,
                label: "Landing stack, mean",
                does: "The band of the mean stack for a midfoot landing, or one nobody has seen.",
                kind: Kind::Ends(tenths("mm", 4, 60), |p| p.$field.mean, |p, ends| p.$field.mean = ends),
            },
            Item {
                key: concat!($row, ".mass_g"),
                topic: Topic::$topic,
                label: "Weight",
                does: "The band of weight where the worn pair's is unknown.",
                kind: Kind::Ends(tenths("g", 60, 600), |p| p.$field.mass, |p, ends| p.$field.mass = ends),
            },
            Item {
                key: concat!($row, ".bending_steps"),
                topic: Topic::$topic,
                label: "Bending",
                does: "The band of bending steps, 1 very flexible to 5 very stiff.",
                kind: Kind::Ends(
                    tenths("steps", 1, 5),
                    |p| p.$field.bending,
                    |p, ends| p.$field.bending = ends,
                ),
            },
        ]
    };
}

/// The two stacks of a shoe that stands in for one known by feel.
macro_rules! reference {
    ($feel:literal, $at:literal, $label:literal) => {
        [
            Item {
                key: concat!("feel.", $feel, "_heel_mm"),
                topic: Topic::Unknown,
                label: concat!($label, ": heel stack"),
                does: "The heel stack that stands in for a pair known by this feel only.",
                kind: Kind::One(
                    tenths("mm", 4, 60),
                    |p| p.reference_shoes[$at].0.in_tenths(),
                    |p, n| p.reference_shoes[$at].0 = Mm::tenths(n),
                ),
            },
            Item {
                key: concat!("feel.", $feel, "_forefoot_mm"),
                topic: Topic::Unknown,
                label: concat!($label, ": forefoot stack"),
                does: "The forefoot stack that stands in for a pair known by this feel only.",
                kind: Kind::One(
                    tenths("mm", 4, 60),
                    |p| p.reference_shoes[$at].1.in_tenths(),
                    |p, n| p.reference_shoes[$at].1 = Mm::tenths(n),
                ),
            },
        ]
    };
}

static LESS: [Item; 4] = offsets!("less", Less, less, (-12, 0), (-24, 0), (-300, 100), (-4, 2));
static SAME: [Item; 4] = offsets!("same", Same, same, (-6, 6), (-12, 12), (-150, 150), (-3, 3));
static MORE: [Item; 4] = offsets!("more", More, more, (0, 12), (0, 30), (-150, 300), (-3, 3));
static RACE: [Item; 4] = offsets!("race", Race, race, (-12, 8), (-16, 16), (-300, 100), (-3, 4));
static NEW: [Item; 6] = bands!("new", New, new);
static NEW_RACE: [Item; 6] = bands!("new-race", NewRace, new_race);
static FLATTER: [Item; 2] = reference!("flatter", 0, "Flatter than most");
static LIKE_MOST: [Item; 2] = reference!("like_most", 1, "Like most");
static TALLER: [Item; 2] = reference!("taller", 2, "Taller than most");

static REACH: [Item; 4] = [
    Item {
        key: "reach.drop_mm",
        topic: Topic::Reach,
        label: "Drop",
        does: "So far beyond its band the drop of a shoe still counts a little.",
        kind: Kind::One(tenths("mm", 1, 20), |p| p.reach.drop, |p, n| p.reach.drop = n),
    },
    Item {
        key: "reach.landing_stack_mm",
        topic: Topic::Reach,
        label: "Landing stack",
        does: "So far beyond its band the landing stack of a shoe still counts a little.",
        kind: Kind::One(tenths("mm", 2, 40), |p| p.reach.stack, |p, n| p.reach.stack = n),
    },
    Item {
        key: "reach.mass_g",
        topic: Topic::Reach,
        label: "Weight",
        does: "So far beyond its band the weight of a shoe still counts a little.",
        kind: Kind::One(tenths("g", 10, 400), |p| p.reach.mass, |p, n| p.reach.mass = n),
    },
    Item {
        key: "reach.bending_steps",
        topic: Topic::Reach,
        label: "Bending",
        does: "So far beyond its band the bending of a shoe still counts a little.",
        kind: Kind::One(tenths("steps", 1, 5), |p| p.reach.bending, |p, n| p.reach.bending = n),
    },
];

static STEPS: [Item; 4] = [
    Item {
        key: "weeks_per_step",
        topic: Topic::Steps,
        label: "Weeks in a step",
        does: "So long the order is for the same shoe before less is ordered for.",
        kind: Kind::One(
            whole("weeks", 1, 52),
            |p| p.weeks_per_step.into(),
            |p, n| p.weeks_per_step = u16::try_from(n).unwrap_or(1),
        ),
    },
    Item {
        key: "largest_step.drop_mm",
        topic: Topic::Steps,
        label: "Largest step of drop",
        does: "A larger one is planned over weeks, and stepping shoes keep within it.",
        kind: Kind::One(tenths("mm", 1, 10), |p| p.largest_step.0, |p, n| p.largest_step.0 = n),
    },
    Item {
        key: "largest_step.landing_stack_mm",
        topic: Topic::Steps,
        label: "Largest step of landing stack",
        does: "A larger one is planned over weeks, and stepping shoes keep within it.",
        kind: Kind::One(tenths("mm", 1, 20), |p| p.largest_step.1, |p, n| p.largest_step.1 = n),
    },
    Item {
        key: "tall_stack_mm",
        topic: Topic::Steps,
        label: "Note on very tall shoes",
        does: "From this heel stack on a note on steadiness is printed; it gives no points.",
        kind: Kind::One(
            tenths("mm", 30, 60),
            |p| p.tall_stack.in_tenths(),
            |p, n| p.tall_stack = Mm::tenths(n),
        ),
    },
];

static UNKNOWN: [Item; 4] = [
    Item {
        key: "reference_drop_mm",
        topic: Topic::Unknown,
        label: "Drop of an unknown pair",
        does: "What rules compare with where the drop of the pair worn now is unknown.",
        kind: Kind::One(
            tenths("mm", 0, 16),
            |p| p.reference_drop.in_tenths(),
            |p, n| p.reference_drop = Mm::tenths(n),
        ),
    },
    Item {
        key: "mass_per_size_percent",
        topic: Topic::Unknown,
        label: "Weight for one EU size",
        does: "By so much the weight of a shoe changes with each EU size, to compare pairs weighed at different sizes.",
        kind: Kind::One(PERCENT, |p| p.mass_per_size, |p, n| p.mass_per_size = n),
    },
    Item {
        key: "sample_size.men",
        topic: Topic::Unknown,
        label: "Usual sample size, men and unisex",
        does: "The size a shoe is taken to be weighed at where its sheet does not say.",
        kind: Kind::One(
            EU,
            |p| p.sample_sizes.0.into(),
            |p, n| p.sample_sizes.0 = u16::try_from(n).unwrap_or(0),
        ),
    },
    Item {
        key: "sample_size.women",
        topic: Topic::Unknown,
        label: "Usual sample size, women",
        does: "The size a shoe is taken to be weighed at where its sheet does not say.",
        kind: Kind::One(
            EU,
            |p| p.sample_sizes.1.into(),
            |p, n| p.sample_sizes.1 = u16::try_from(n).unwrap_or(0),
        ),
    },
];

static SHOP: [Item; 3] = [
    Item {
        key: "toe_room_mm",
        topic: Topic::Shop,
        label: "Room before the longest toe",
        does: "Printed beside the sizes; custom, with weak evidence. It hides no shoe.",
        kind: Kind::Ends(
            whole("mm", 0, 30),
            |p| (p.toe_allowance.0.into(), p.toe_allowance.1.into()),
            |p, (from, to)| {
                p.toe_allowance = (u8::try_from(from).unwrap_or(0), u8::try_from(to).unwrap_or(0))
            },
        ),
    },
    Item {
        key: "comparable_method",
        topic: Topic::Shop,
        label: "Comparable compression method",
        does: "The rule on soft midsoles is in force only for shoes measured by this method; left empty, for none.",
        kind: Kind::Method,
    },
    Item {
        key: "currency",
        topic: Topic::Shop,
        label: "Currency",
        does: "The one currency of the shop's prices, by its code.",
        kind: Kind::Currency,
    },
];

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

impl Scale {
    /// As many decimals as are needed: tenths one, twelfths of a size two.
    fn say(self, kept: i32) -> String {
        match self.per_unit {
            10 => Tenths(kept).to_string(),
            12 => format!("{}{}", kept / 12, if kept % 12 == 6 { ".5" } else { "" }),
            _ => kept.to_string(),
        }
    }

    fn hear(self, text: &str, expected: usize) -> Result<i32, NotHeard> {
        let text = text.trim().replace('−', "-").replace(',', ".");
        let number = Decimal::parse(&text, '.').ok_or(NotHeard::NotNumbers(expected))?;
        let kept = number.scaled(self.per_unit.into(), 1).ok_or(NotHeard::Beyond(self))?;
        if number.scaled(1_000, 1) != kept.checked_mul(1_000).map(|thousandths| thousandths / self.per_unit) {
            return Err(NotHeard::Finer(if self.per_unit == 12 { "halves" } else { self.finest() }));
        }
        if (self.least..=self.most).contains(&kept) { Ok(kept) } else { Err(NotHeard::Beyond(self)) }
    }

    const fn finest(self) -> &'static str {
        if self.per_unit == 10 { "tenths" } else { "whole numbers" }
    }
}

impl std::fmt::Display for NotHeard {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NotNumbers(1) => f.write_str("is no plain number; write one such as 6 or 4.5"),
            Self::NotNumbers(_) => {
                f.write_str("is not two plain numbers; write from and to, such as -4 and -1")
            }
            Self::Finer(finest) => write!(f, "is finer than is kept; write {finest}"),
            Self::Beyond(scale) => write!(
                f,
                "is beyond the limits; write a number from {} to {} {}",
                scale.say(scale.least),
                scale.say(scale.most),
                scale.unit
            ),
            Self::Swapped => f.write_str("runs downwards; write the lower end first"),
            Self::Method => f.write_str("is too long or not plain; write the method as the sheets do"),
            Self::Currency => {
                f.write_str("is no currency code known here; write one such as EUR, GBP or USD")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
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
