//! Shoes made up for the comparison: each field unknown now and then, values often at an edge of a rule.

use catalogue::runner::Feel;
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::{Audience, Bending, BendingWord, Compression, Purpose, Purposes, Specification};
use catalogue::units::{Grams, Mm, NewtonsPerMm};
use proptest::option::weighted;
use proptest::prelude::*;

use crate::visit::{Shoe, WornPair};

/// Stacks and drops at which some rule turns, tenths of mm.
const HEELS: [i32; 12] = [159, 160, 161, 200, 239, 240, 241, 280, 320, 360, 449, 450];
const DROPS: [i32; 14] = [-10, 0, 39, 40, 41, 59, 60, 61, 79, 80, 81, 99, 100, 101];

fn heel() -> impl Strategy<Value = i32> {
    prop_oneof![prop::sample::select(&HEELS[..]), 120..520_i32]
}

fn drop() -> impl Strategy<Value = i32> {
    prop_oneof![prop::sample::select(&DROPS[..]), -20..140_i32]
}

/// Heel, forefoot and stated drop: all three, any two, or fewer; the stated drop agrees, nearly agrees, or does not.
fn stacks() -> impl Strategy<Value = (Option<i32>, Option<i32>, Option<i32>)> {
    let off = prop::sample::select(&[0, 0, 0, 5, -5, 6, -6, 20][..]);
    (heel(), drop(), off, any::<[bool; 2]>(), 0..10_u8).prop_map(|(heel, drop, off, keep, stated)| {
        let heel_is_known = keep[0] || stated < 8;
        let forefoot_is_known = keep[1] || stated < 6;
        (
            heel_is_known.then_some(heel),
            forefoot_is_known.then_some(heel - drop),
            (stated % 3 == 0).then_some(drop + off),
        )
    })
}

fn weighed_at() -> impl Strategy<Value = SizeLabel> {
    let systems = prop::sample::select(&[SizeSystem::Eu, SizeSystem::Uk, SizeSystem::Us][..]);
    (systems, 0..14_u16).prop_map(|(system, halves)| {
        let first = if system == SizeSystem::Eu { 37 } else { 5 };
        SizeLabel::of_twelfths(system, first * 12 + 6 * halves)
    })
}

fn bending() -> impl Strategy<Value = Bending> {
    prop::sample::select(&BendingWord::ALL[..]).prop_map(Bending::Word)
}

fn compression() -> impl Strategy<Value = Compression> {
    let stiffness = prop_oneof![
        prop::sample::select(&[549, 550, 612, 613, 614, 781, 948, 949, 1_070, 1_071][..]),
        500..1_200_i32
    ];
    let method = prop::sample::select(&["global", "another"][..]);
    (stiffness, method).prop_map(|(stiffness, method)| Compression {
        stiffness: NewtonsPerMm::tenths(stiffness),
        method: method.to_owned(),
    })
}

fn specification() -> impl Strategy<Value = Specification> {
    let mass = weighted(0.85, 1_200..3_800_i32);
    let flags = (weighted(0.7, any::<bool>()), weighted(0.7, any::<bool>()));
    let rest = (weighted(0.7, weighed_at()), weighted(0.7, bending()), weighted(0.4, compression()));
    (stacks(), mass, flags, rest).prop_map(|((heel, forefoot, drop), mass, (plate, rocker), rest)| {
        Specification {
            heel_stack: heel.map(Mm::tenths),
            forefoot_stack: forefoot.map(Mm::tenths),
            drop_stated: drop.map(Mm::tenths),
            mass: mass.map(Grams::tenths),
            mass_size: rest.0,
            bending: rest.1,
            compression: rest.2,
            plate,
            rocker,
            ..Specification::default()
        }
    })
}

fn audience() -> impl Strategy<Value = Option<Audience>> {
    weighted(0.9, prop::sample::select(&[Audience::Women, Audience::Men, Audience::Unisex][..]))
}

/// A shoe on the wall.
pub(crate) fn shoe() -> impl Strategy<Value = Shoe> {
    (specification(), audience(), 0..4_u32).prop_map(|(specification, audience, pairs)| Shoe {
        specification,
        audience,
        pairs,
    })
}

/// A shoe of which its sheet says nothing.
pub(crate) fn unknown() -> Shoe {
    Shoe { specification: Specification::default(), audience: None, pairs: 1 }
}

/// The pair worn now, in every way in which it may be known.
pub(crate) fn worn() -> impl Strategy<Value = WornPair> {
    let purposes = prop::sample::subsequence(&[Purpose::Daily, Purpose::Race][..], 0..=2)
        .prop_map(|purposes| Purposes::of(&purposes));
    let feel = prop::sample::select(&[Feel::Flatter, Feel::LikeMost, Feel::Taller][..]);
    prop_oneof![
        1 => Just(WornPair::NotAsked),
        1 => Just(WornPair::StyleGone),
        1 => feel.prop_map(WornPair::Feels),
        4 => (shoe(), purposes.clone(), any::<bool>()).prop_map(|(s, p, on_wall)| WornPair::Style(s, p, on_wall)),
        3 => (shoe(), purposes).prop_map(|(s, p)| WornPair::Measured(s, p)),
    ]
}
