//! Random shoes: every field unknown at times, values crowded around the cut points of rules and bands.

use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::{Audience, Bending, BendingWord, Compression, Purpose, Purposes, Specification};
use catalogue::units::{Grams, Mm, NewtonsPerMm};
use proptest::option::weighted;
use proptest::prelude::*;
use proptest::sample::select;

use crate::visit::Shoe;

/// Any shoe.
pub(crate) fn shoe() -> impl Strategy<Value = Shoe> {
    (specification(), audience(), 0..4_u32).prop_map(|(mut specification, audience, pairs)| {
        // The contract names no conversion of children's sizes for masses.
        if audience == Some(Audience::Youth) {
            specification.mass_size = None;
        }
        Shoe { specification, audience, pairs }
    })
}

/// A shoe close to another one, so that near twins and steps at the edges turn up.
pub(crate) fn shoe_near(other: &Shoe) -> impl Strategy<Value = Shoe> + use<> {
    let (specification, audience) = (other.specification.clone(), other.audience);
    let offsets = || select(vec![-81, -80, -40, -21, -20, -10, 0, 0, 0, 10, 11, 20, 21, 40, 60, 140]);
    (offsets(), offsets(), select(vec![-600, -151, -150, 0, 0, 150, 151, 400]), 0..4_u32).prop_map(
        move |(heel, drop, mass, pairs)| {
            let mut near = specification.clone();
            let moved =
                |length: Option<Mm>, by: i32| length.and_then(|mm| Mm::from_tenths(mm.in_tenths() + by));
            near.heel_stack = moved(near.heel_stack, heel);
            near.forefoot_stack = moved(near.forefoot_stack, heel - drop);
            near.drop_stated = moved(near.drop_stated, drop);
            near.mass = near.mass.and_then(|grams| Grams::from_tenths(grams.in_tenths() + mass));
            Shoe { specification: near, audience, pairs }
        },
    )
}

pub(crate) fn audience() -> impl Strategy<Value = Option<Audience>> {
    weighted(0.8, select(Audience::ALL))
}

pub(crate) fn purposes() -> impl Strategy<Value = Purposes> {
    proptest::collection::vec(select(Purpose::ALL), 0..3).prop_map(|members| Purposes::of(&members))
}

fn specification() -> impl Strategy<Value = Specification> {
    let known = || proptest::bool::weighted(0.8);
    let stacks = (heel(), drop(), select(vec![0, 0, 0, 5, -5, 6, -6, 20]), known(), known(), known());
    let rest = (weighted(0.8, mass()), weighted(0.5, label()), weighted(0.8, bending()));
    let more = (weighted(0.6, compression()), weighted(0.8, any::<bool>()), weighted(0.8, any::<bool>()));
    (stacks, rest, more).prop_map(|(stacks, (mass, mass_size, bending), (compression, rocker, plate))| {
        let (heel, drop, off, heel_known, forefoot_known, stated) = stacks;
        let if_known = |known: bool, tenths: i32| if known { Mm::from_tenths(tenths) } else { None };
        Specification {
            heel_stack: if_known(heel_known, heel),
            forefoot_stack: if_known(forefoot_known, heel - drop),
            drop_stated: if_known(stated, drop + off),
            mass,
            mass_size,
            bending,
            compression,
            rocker,
            plate,
            ..Specification::default()
        }
    })
}

/// Near the cuts of the minimal degree, of `ankle-tall` and of bands in whole mm.
fn heel() -> impl Strategy<Value = i32> {
    let whole = prop_oneof![(10..=26_i32), (18..=46_i32), select(vec![16, 20, 24, 45, 50])];
    (whole, jitter()).prop_map(|(mm, tenths)| 10 * mm + tenths)
}

/// Near 0, 4, 6, 8 and 10 mm.
fn drop() -> impl Strategy<Value = i32> {
    let whole = prop_oneof![1 => -4..0_i32, 9 => 0..=12_i32, 4 => select(vec![0, 4, 6, 8, 10])];
    (whole, jitter()).prop_map(|(mm, tenths)| 10 * mm + tenths)
}

fn jitter() -> impl Strategy<Value = i32> {
    prop_oneof![4 => Just(0), 3 => -2..=2_i32, 1 => -9..=9_i32]
}

fn mass() -> impl Strategy<Value = Grams> {
    ((12..=36_i32), jitter()).prop_map(|(tens, tenths)| Grams::tenths(100 * tens + tenths))
}

fn bending() -> impl Strategy<Value = Bending> {
    prop_oneof![
        8 => select(&BendingWord::ALL[..]).prop_map(Bending::Word),
        1 => Just(Bending::Value("0.25 N m/deg".into())),
        1 => Just(Bending::KindUnknown("stiffness 12".into())),
    ]
}

/// Near 55, 61.3, 94.9 and 107 N/mm, and between.
fn compression() -> impl Strategy<Value = Compression> {
    let near = (select(vec![550, 613, 949, 1070]), -1..=1_i32).prop_map(|(cut, by)| cut + by);
    let method = select(vec!["global", "global", "global", "F1976"]);
    (prop_oneof![near, 500..1100_i32, 613..949_i32], method).prop_map(|(tenths, method)| Compression {
        stiffness: NewtonsPerMm::tenths(tenths),
        method: method.into(),
    })
}

/// Sizes of the three systems whose formulas the contract gives, or of an unknown one.
fn label() -> impl Strategy<Value = SizeLabel> {
    let system = select(vec![
        None,
        Some(SizeSystem::Eu),
        Some(SizeSystem::Eu),
        Some(SizeSystem::Uk),
        Some(SizeSystem::Us),
    ]);
    let printed = |system: Option<SizeSystem>| match system {
        Some(SizeSystem::Uk | SizeSystem::Us) => vec!["4", "6½", "8", "9", "11.5"],
        _ => vec!["36", "38", "41", "42", "42 2/3", "43.5", "47"],
    };
    system
        .prop_flat_map(move |system| (Just(system), select(printed(system))))
        .prop_filter_map("a size", |(system, printed)| SizeLabel::parse(system, printed))
}
