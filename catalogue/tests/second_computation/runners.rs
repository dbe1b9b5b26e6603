//! Random runners: every answer in all its states, and the shoes that they stand in front of.

use catalogue::flags::Flags;
use catalogue::injury::{Answer, Injury, Region};
use catalogue::policy::HousePolicy;
use catalogue::runner::{AskedFor, BodyMass, Feel, Heading, Runner, Sex, Stage, WornNow};
use catalogue::strike::{Strike, StrikePattern, StrikeSeen};
use catalogue::style::Purpose;
use catalogue::units::{Kilograms, Mm};
use proptest::collection::vec;
use proptest::option::{of, weighted};
use proptest::prelude::*;
use proptest::sample::select;

use crate::shoes::{audience, purposes, shoe, shoe_near};
use crate::stops::is_bone_site;
use crate::visit::{Shoe, Visit, WornPair};

/// A runner in front of a wall of `shoes` shoes; every third hangs there for being near the worn pair.
pub(crate) fn visit(shoes: usize) -> impl Strategy<Value = Visit> {
    let wall = move |worn: Shoe| vec(shoe_near(&worn), shoes / 3);
    (shoe(), purposes())
        .prop_flat_map(move |(worn, purposes)| {
            (worn_pair(worn.clone(), purposes), wall(worn), vec(shoe(), shoes - shoes / 3))
        })
        .prop_flat_map(|(worn, near, others)| {
            let wall = [near, others].concat();
            (runner(), Just(worn), policy(), Just(wall).prop_shuffle())
        })
        .prop_map(|(runner, worn, policy, wall)| Visit::of(runner, worn, policy, wall))
}

fn worn_pair(worn: Shoe, purposes: catalogue::style::Purposes) -> impl Strategy<Value = WornPair> {
    let measured = WornPair::Measured(worn.clone(), purposes);
    prop_oneof![
        1 => Just(WornPair::NotAsked),
        1 => Just(WornPair::StyleGone),
        2 => select(Feel::ALL).prop_map(WornPair::Feels),
        4 => any::<bool>().prop_map(move |sold| WornPair::Style(worn.clone(), purposes, sold)),
        3 => Just(measured),
    ]
}

/// The standard policy; at times with a method marked comparable, or with other numbers.
pub(crate) fn policy() -> impl Strategy<Value = HousePolicy> {
    let marked = HousePolicy { comparable_method: Some("global".into()), ..HousePolicy::standard() };
    let mut other = HousePolicy { weeks_per_step: 4, mass_per_size: 25, ..marked.clone() };
    other.reference_drop = Mm::whole(6);
    other.less.drop = (-60, 20);
    other.race.stack = (-80, 0);
    other.new.mass = (2000, 2000);
    other.reach.drop = 50;
    select(vec![HousePolicy::standard(), marked.clone(), marked, other])
}

fn runner() -> impl Strategy<Value = Runner> {
    let first = (audience(), strike(), answer(), of(body_mass()), of(select(Sex::ALL)), of(weekly_km()));
    let second = (answer(), weighted(0.8, select(Purpose::ALL)), answer(), answer(), stage());
    let third = (vec(injury(), 0..4), any::<bool>(), asked_for(), flags());
    (first, second, third).prop_map(|(first, second, third)| {
        let (audience, strike, strike_changing, body_mass, sex, weekly_km) = first;
        let (regular, purpose, strength_work, main, stage) = second;
        let (injuries, history_asked, asked_for, flags) = third;
        Runner {
            audience,
            strike,
            strike_changing,
            body_mass,
            sex,
            weekly_km,
            regular,
            purpose,
            strength_work,
            now: WornNow { main, ..WornNow::default() },
            stage,
            injuries,
            history_asked,
            asked_for,
            flags,
            ..Runner::default()
        }
    })
}

fn answer() -> impl Strategy<Value = Answer> {
    select(vec![Answer::Yes, Answer::No, Answer::NotAsked])
}

fn strike() -> impl Strategy<Value = Strike> {
    let angle = weighted(0.2, select(vec![-17, -16, 0, 80, 81, 125]));
    let index = weighted(0.2, select(vec![0, 333, 334, 666, 667, 1_000]));
    (of(select(StrikePattern::ALL)), weighted(0.8, select(StrikeSeen::ALL)), angle, index).prop_map(
        |(pattern, seen, angle_tenths, index_tenths)| Strike { pattern, seen, angle_tenths, index_tenths },
    )
}

/// A band, or a number at one of the cuts.
fn body_mass() -> impl Strategy<Value = BodyMass> {
    let exact = (select(vec![628, 714, 782, 857]), -1..=1_i32)
        .prop_map(|(cut, by)| BodyMass::Exactly(Kilograms::tenths(cut + by)));
    prop_oneof![exact, select(BodyMass::bands().to_vec())]
}

fn weekly_km() -> impl Strategy<Value = u16> {
    select(vec![0, 20, 35, 36, 80])
}

fn stage() -> impl Strategy<Value = Stage> {
    let weeks = of(select(vec![0, 3, 4, 5, 6, 9]));
    (weighted(0.9, select(Heading::ALL)), weeks, proptest::bool::weighted(0.3))
        .prop_map(|(heading, weeks_done, step_anyway)| Stage { heading, weeks_done, step_anyway })
}

/// Bone sites are mostly cleared and without pain: else nearly every runner would be stopped.
fn injury() -> impl Strategy<Value = Injury> {
    let spoken_of = vec![
        Region::Achilles,
        Region::Calf,
        Region::Kneecap,
        Region::BigToeJoint,
        Region::FootBone,
        Region::Ankle,
    ];
    let region = prop_oneof![3 => select(spoken_of), 1 => select(Region::ALL)];
    (region, answer(), answer(), answer(), answer(), 0..30_u8).prop_map(
        |(region, recent, painful, cleared, current, rare)| {
            let injury = Injury { region, recent, painful, cleared, current };
            if !is_bone_site(region) || rare == 0 {
                return injury;
            }
            let painful = if painful.is_yes() { Answer::No } else { painful };
            Injury { painful, cleared: Answer::Yes, ..injury }
        },
    )
}

fn asked_for() -> impl Strategy<Value = AskedFor> {
    let range = |from: std::ops::Range<i32>, width: i32| {
        (from, 0..=width).prop_map(|(from, width)| (Mm::whole(from), Mm::whole(from + width)))
    };
    (weighted(0.15, range(-1..10, 4)), weighted(0.15, range(14..40, 8)))
        .prop_map(|(drop, landing_stack)| AskedFor { drop, landing_stack, ..AskedFor::default() })
}

fn flags() -> impl Strategy<Value = Flags> {
    let up = weighted(0.04, select(Flags::questions()));
    let diabetes = prop_oneof![8 => select(vec![Answer::No, Answer::NotAsked]), 1 => Just(Answer::Yes)];
    let cleared = prop_oneof![1 => answer(), 4 => Just(Answer::Yes)];
    (up, any::<bool>(), diabetes, cleared).prop_map(|(up, asked, diabetes, diabetes_cleared)| {
        let mut flags = if asked { Flags::none() } else { Flags::default() };
        (flags.diabetes, flags.diabetes_cleared) = (diabetes, diabetes_cleared);
        if let Some(flag) = up {
            flags.set(flag, Answer::Yes);
        }
        flags
    })
}
