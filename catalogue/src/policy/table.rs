//! The table of the house policy: every item with its limits and what it does, topic by topic.

use super::items::{Item, Kind, Topic};
use super::scale::{EU, PERCENT, tenths, whole};
use crate::units::Mm;

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

pub(super) static LESS: [Item; 4] = offsets!("less", Less, less, (-12, 0), (-24, 0), (-300, 100), (-4, 2));
pub(super) static SAME: [Item; 4] = offsets!("same", Same, same, (-6, 6), (-12, 12), (-150, 150), (-3, 3));
pub(super) static MORE: [Item; 4] = offsets!("more", More, more, (0, 12), (0, 30), (-150, 300), (-3, 3));
pub(super) static RACE: [Item; 4] = offsets!("race", Race, race, (-12, 8), (-16, 16), (-300, 100), (-3, 4));
pub(super) static NEW: [Item; 6] = bands!("new", New, new);
pub(super) static NEW_RACE: [Item; 6] = bands!("new-race", NewRace, new_race);
pub(super) static FLATTER: [Item; 2] = reference!("flatter", 0, "Flatter than most");
pub(super) static LIKE_MOST: [Item; 2] = reference!("like_most", 1, "Like most");
pub(super) static TALLER: [Item; 2] = reference!("taller", 2, "Taller than most");

pub(super) static REACH: [Item; 4] = [
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

pub(super) static STEPS: [Item; 4] = [
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

pub(super) static UNKNOWN: [Item; 4] = [
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

pub(super) static SHOP: [Item; 4] = [
    Item {
        key: "toe_room_mm",
        topic: Topic::Shop,
        label: "Room before the longest toe",
        does: "Printed beside the sizes; custom, with weak evidence. It hides no shoe.",
        kind: Kind::Ends(
            whole("mm", 0, 30),
            |p| (p.toe_allowance.0.into(), p.toe_allowance.1.into()),
            |p, (from, to)| {
                p.toe_allowance = (u8::try_from(from).unwrap_or(0), u8::try_from(to).unwrap_or(0));
            },
        ),
    },
    Item {
        key: "few_pairs",
        topic: Topic::Shop,
        label: "Few pairs",
        does: "A size with so many pairs or fewer, between sizes with more, is named on the owner's day.",
        kind: Kind::One(
            whole("pairs", 0, 20),
            |p| p.few_pairs.into(),
            |p, n| p.few_pairs = u8::try_from(n).unwrap_or(0),
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
