//! Runners made up for the comparison: every answer in each of its states, numbers often at the cuts of the rules.

use catalogue::flags::{Flag, Flags};
use catalogue::injury::{Answer, Injury, Region};
use catalogue::runner::{AskedFor, BodyMass, Heading, Runner, Sex, Stage, WornNow};
use catalogue::strike::{Strike, StrikePattern, StrikeSeen};
use catalogue::style::{Audience, Purpose};
use catalogue::units::{Kilograms, Mm};
use proptest::option::{of, weighted};
use proptest::prelude::*;

fn answer() -> impl Strategy<Value = Answer> {
    prop::sample::select(&[Answer::Yes, Answer::No, Answer::NotAsked][..])
}

fn strike() -> impl Strategy<Value = Strike> {
    let pattern = of(prop::sample::select(StrikePattern::ALL));
    let angle = weighted(0.3, prop::sample::select(&[-17, -16, 0, 80, 81, 125][..]));
    let index = weighted(0.2, prop::sample::select(&[0, 333, 334, 666, 667, 1_000][..]));
    (pattern, of(prop::sample::select(StrikeSeen::ALL)), angle, index).prop_map(
        |(pattern, seen, angle_tenths, index_tenths)| Strike { pattern, seen, angle_tenths, index_tenths },
    )
}

fn body_mass() -> impl Strategy<Value = BodyMass> {
    let cuts = prop::sample::select(&[627, 628, 629, 713, 714, 715, 781, 782, 783, 856, 857, 858, 900][..]);
    prop_oneof![
        cuts.prop_map(|tenths| BodyMass::Exactly(Kilograms::tenths(tenths))),
        (0..5_usize).prop_map(|band| BodyMass::bands()[band]),
    ]
}

/// Bone sites are mostly cleared and painless, or nobody would be ranked.
fn injury() -> impl Strategy<Value = Injury> {
    let region = prop::sample::select(Region::ALL);
    (region, answer(), answer(), answer(), answer(), 0..10_u8).prop_map(
        |(region, recent, painful, cleared, current, luck)| {
            let quiet = region.is_bone_site() && luck > 0;
            let (painful, cleared) = if quiet { (Answer::No, Answer::Yes) } else { (painful, cleared) };
            Injury { region, recent, painful, cleared, current }
        },
    )
}

/// Once in a while a flag is up; diabetes more often, mostly cleared.
fn flags() -> impl Strategy<Value = Flags> {
    let up = weighted(0.03, prop::sample::select(Flags::questions()));
    let diabetes = weighted(0.15, prop_oneof![4 => Just(Answer::Yes), 1 => Just(Answer::NotAsked)]);
    (up, diabetes).prop_map(|(up, diabetes)| {
        let mut flags = Flags::none();
        if let Some(flag) = up {
            let flag: Flag = flag;
            flags.set(flag, Answer::Yes);
        }
        if let Some(cleared) = diabetes {
            (flags.diabetes, flags.diabetes_cleared) = (Answer::Yes, cleared);
        }
        flags
    })
}

fn asked_for() -> impl Strategy<Value = AskedFor> {
    let range = |from: std::ops::Range<i32>| {
        weighted(0.12, (from, 0..60_i32).prop_map(|(from, span)| (Mm::tenths(from), Mm::tenths(from + span))))
    };
    (range(-10..100), range(150..400)).prop_map(|(drop, landing_stack)| AskedFor {
        drop,
        landing_stack,
        ..AskedFor::default()
    })
}

fn stage() -> impl Strategy<Value = Stage> {
    let weeks = of(prop::sample::select(&[0, 5, 6, 7][..]));
    (of(prop::sample::select(Heading::ALL)), weeks, any::<bool>())
        .prop_map(|(heading, weeks_done, step_anyway)| Stage { heading, weeks_done, step_anyway })
}

/// A runner; how the worn pair is known is added by the visit.
pub(crate) fn runners() -> impl Strategy<Value = Runner> {
    let body =
        (of(body_mass()), of(prop::sample::select(Sex::ALL)), of(prop::sample::select(&[0, 35, 36, 60][..])));
    let answers = (answer(), answer(), answer(), answer());
    let what = (
        of(prop::sample::select(&[Audience::Women, Audience::Men][..])),
        of(prop::sample::select(&[Purpose::Daily, Purpose::Race][..])),
    );
    let history = prop::collection::vec(injury(), 0..4);
    (strike(), body, answers, what, history, flags(), asked_for(), stage()).prop_map(
        |(
            strike,
            (body_mass, sex, weekly_km),
            (changing, regular, strength, main),
            what,
            injuries,
            flags,
            asked,
            stage,
        )| {
            Runner {
                strike,
                strike_changing: changing,
                body_mass,
                sex,
                weekly_km,
                regular,
                strength_work: strength,
                audience: what.0,
                purpose: what.1,
                injuries,
                history_asked: true,
                flags,
                asked_for: asked,
                stage,
                now: WornNow { main, ..WornNow::default() },
                ..Runner::default()
            }
        },
    )
}
