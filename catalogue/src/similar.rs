//! How far apart two shoes are by their measures, and whether they are made for the same. It compares shoes with each
//! other; it knows no runner, and says nothing about one.

use crate::measures::{Landing, Measure, Measures};
use crate::policy::HousePolicy;
use crate::style::{Audience, Purposes, Style, Surfaces};
use crate::units::div_half_up;

/// How far two shoes are apart, in tenths of a point: 0 is alike in all four measures, 1000 out of reach in all four.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Distance {
    /// The least it can be, whatever the measures that are not given turn out to be.
    pub low: i32,
    /// The most it can be.
    pub high: i32,
    /// One a measure, in the order of [`Measure::ALL`]; their ends add up to those of the distance.
    pub lines: [Apart; 4],
    /// The stack that was compared; `None` where neither the mean nor the heel stack is known of both.
    pub landing: Option<Landing>,
}

/// How far two shoes are apart in one measure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Apart {
    /// Which measure.
    pub measure: Measure,
    /// The second shoe less the first, in tenths of mm, g or bending steps; `None` where one of them does not say.
    pub difference: Option<i32>,
    /// The least it adds to the distance, in tenths of a point.
    pub low: i32,
    /// The most it adds; the whole weight of the measure where the difference is unknown.
    pub high: i32,
}

/// For whom and for what a shoe is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kind {
    /// For whom; `None` is not given.
    pub audience: Option<Audience>,
    /// On what; empty is not given.
    pub surfaces: Surfaces,
    /// For what; empty is not given.
    pub purposes: Purposes,
}

/// Two shoes whose distance has its middle beyond this, in tenths of a point, are no longer called alike. *Our choice*,
/// no standard gives one.
pub const ALIKE_WITHIN: i32 = 500;

impl Distance {
    /// The distance of two shoes, each difference as a part of the policy's reach. The weights are those of the aim.
    /// No strike is known of two shoes: the mean of heel and forefoot stack is compared, as for a strike nobody has
    /// seen, and the heel stack where one of them does not give both. With neither drop nor such a stack known of
    /// both, there is no distance.
    pub fn between(from: &Measures, to: &Measures, policy: &HousePolicy) -> Option<Self> {
        let drop = difference(from.drop().zip(to.drop()).map(|(a, b)| (a.in_tenths(), b.in_tenths())));
        let (landing, stack) = stacks(from, to).unzip();
        if drop.is_none() && stack.is_none() {
            return None;
        }
        let bending = from.bending().zip(to.bending());
        let bending = bending.map(|(a, b)| 10 * (i32::from(b.step()) - i32::from(a.step())));
        let differences = [drop, stack, masses(from, to, policy), bending];
        let mut differences = differences.into_iter();
        let lines = Measure::ALL.map(|measure| Apart::of(measure, differences.next().flatten(), policy));
        let sum = |end: fn(&Apart) -> i32| lines.iter().map(end).sum();
        Some(Self { low: sum(|line| line.low), high: sum(|line| line.high), lines, landing })
    }

    /// What puts shoes in order: the middle of the interval, then the narrower interval. The middle is kept twice, so
    /// that halves count.
    pub const fn order_key(&self) -> (i32, i32) {
        (self.low + self.high, self.high - self.low)
    }

    /// Whether two shoes at this distance may be called alike.
    pub const fn is_alike(&self) -> bool {
        self.low + self.high <= 2 * ALIKE_WITHIN
    }

    /// The line of a measure.
    pub const fn line(&self, measure: Measure) -> &Apart {
        &self.lines[measure as usize]
    }
}

impl Apart {
    /// A difference of the reach or more counts the whole weight.
    fn of(measure: Measure, difference: Option<i32>, policy: &HousePolicy) -> Self {
        let (most, reach) = (10 * i32::from(measure.weight()), policy.reach.of(measure).max(1));
        let part = |difference: i32| {
            let within = i64::from(difference.abs().min(reach));
            div_half_up(i64::from(most) * within, i64::from(reach)) as i32
        };
        let (low, high) = difference.map_or((0, most), |difference| (part(difference), part(difference)));
        Self { measure, difference, low, high }
    }
}

fn difference(both: Option<(i32, i32)>) -> Option<i32> {
    both.map(|(from, to)| to - from)
}

/// The stack that both give, and how far they are apart in it.
fn stacks(from: &Measures, to: &Measures) -> Option<(Landing, i32)> {
    let apart = |landing| {
        let both = from.landing_stack(landing).zip(to.landing_stack(landing));
        both.map(|(a, b)| (landing, b.in_tenths() - a.in_tenths()))
    };
    apart(Landing::Mean).or_else(|| apart(Landing::Heel))
}

/// Masses weighed at two sizes are brought to the smaller of them, so that either way round gives the same. A shoe
/// that does not say for whom it is was taken for one like the other.
fn masses(from: &Measures, to: &Measures, policy: &HousePolicy) -> Option<i32> {
    let (a, b) = from.mass().zip(to.mass())?;
    let size = |shoe: &Measures, other: &Measures| {
        shoe.mass_size().unwrap_or_else(|| policy.sample_size(shoe.audience().or(other.audience())))
    };
    let (a_size, b_size) = (size(from, to), size(to, from));
    let at = a_size.min(b_size);
    Some(policy.mass_at(b.in_tenths(), b_size, at) - policy.mass_at(a.in_tenths(), a_size, at))
}

impl Kind {
    /// For whom and for what a style is made.
    pub const fn of(style: &Style) -> Self {
        Self { audience: style.audience, surfaces: style.surfaces, purposes: style.purposes }
    }

    /// Whether two shoes serve the same: audience, a surface and a purpose in common. Unisex serves women and men; a
    /// shoe that does not say agrees with any.
    pub fn serves_the_same(self, other: Self) -> bool {
        let share = |a: u8, b: u8| a == 0 || b == 0 || a & b != 0;
        share(self.surfaces.bits(), other.surfaces.bits())
            && share(self.purposes.bits(), other.purposes.bits())
            && audiences_agree(self.audience, other.audience)
    }
}

fn audiences_agree(a: Option<Audience>, b: Option<Audience>) -> bool {
    let adult = |audience| matches!(audience, Audience::Women | Audience::Men | Audience::Unisex);
    match (a, b) {
        (Some(a), Some(b)) if a == Audience::Unisex || b == Audience::Unisex => adult(a) && adult(b),
        (Some(a), Some(b)) => a == b,
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::size::{SizeLabel, SizeSystem};
    use crate::style::{Bending, BendingWord, Purpose, Specification, Surface};
    use crate::units::{Grams, Mm};

    fn specification(
        heel: i32,
        forefoot: Option<i32>,
        grams: Option<i32>,
        bends: Option<BendingWord>,
    ) -> Specification {
        Specification {
            heel_stack: Some(Mm::whole(heel)),
            forefoot_stack: forefoot.map(Mm::whole),
            mass: grams.map(Grams::whole),
            bending: bends.map(Bending::Word),
            ..Specification::default()
        }
    }

    fn shoe(heel: i32, forefoot: Option<i32>, grams: Option<i32>, bends: Option<BendingWord>) -> Measures {
        Measures::of(&specification(heel, forefoot, grams, bends), None)
    }

    fn between(from: &Measures, to: &Measures) -> Distance {
        Distance::between(from, to, &HousePolicy::standard()).unwrap()
    }

    fn ends(distance: &Distance) -> (i32, i32) {
        (distance.low, distance.high)
    }

    fn daily() -> Measures {
        shoe(32, Some(24), Some(280), Some(BendingWord::Medium))
    }

    /// Drop 8 against 6 of a reach of 6: 30 x 2/6 = 10.0. Mean stack 28 against 27 of 16: 40 x 1/16 = 2.5. Mass 280
    /// against 255 of 100: 20 x 25/100 = 5.0. Bending 3 against 2 of 2: 10 x 1/2 = 5.0. In all 22.5 points.
    #[test]
    fn the_parts_of_a_distance_are_differences_over_reaches_by_weight() {
        let distance = between(&daily(), &shoe(30, Some(24), Some(255), Some(BendingWord::Flexible)));
        assert_eq!(distance.lines.map(|line| line.low), [100, 25, 50, 50]);
        assert_eq!(distance.lines.map(|line| line.difference), [-20, -10, -250, -10].map(Some));
        assert_eq!((ends(&distance), distance.landing), ((225, 225), Some(Landing::Mean)));
    }

    #[test]
    fn identical_shoes_are_at_nothing() {
        assert_eq!(ends(&between(&daily(), &daily())), (0, 0));
    }

    #[test]
    fn shoes_out_of_reach_in_everything_are_at_a_hundred_points_and_never_beyond() {
        let (low, tall) = (
            shoe(8, Some(8), Some(100), Some(BendingWord::VeryFlexible)),
            shoe(60, Some(40), Some(400), Some(BendingWord::VeryStiff)),
        );
        assert_eq!(ends(&between(&low, &tall)), (1000, 1000));
    }

    #[test]
    fn either_way_round_is_as_far() {
        let other = shoe(27, Some(20), Some(233), None);
        let (there, back) = (between(&daily(), &other), between(&other, &daily()));
        assert_eq!(ends(&there), ends(&back));
        for (there, back) in there.lines.iter().zip(&back.lines) {
            assert_eq!(there.difference, back.difference.map(|difference| -difference));
        }
    }

    /// Without a forefoot stack there is no drop either: its 30 points are open, and the heel stacks are compared.
    #[test]
    fn a_missing_drop_widens_the_interval_and_is_not_zero() {
        let open = shoe(32, None, Some(280), Some(BendingWord::Medium));
        let distance = between(&daily(), &open);
        assert_eq!((ends(&distance), distance.landing), ((0, 300), Some(Landing::Heel)));
        assert_eq!(distance.line(Measure::Drop).difference, None);
        assert_ne!(distance.order_key(), between(&daily(), &daily()).order_key());
    }

    #[test]
    fn a_missing_mass_or_bending_leaves_its_own_weight_open() {
        let without = |grams, bends| ends(&between(&daily(), &shoe(32, Some(24), grams, bends)));
        assert_eq!(without(None, Some(BendingWord::Medium)), (0, 200));
        assert_eq!(without(Some(280), None), (0, 100));
        assert_eq!(without(None, None), (0, 300));
    }

    #[test]
    fn a_drop_alone_is_enough_for_a_distance_and_leaves_the_stack_open() {
        let stated = Specification { drop_stated: Some(Mm::whole(8)), ..Specification::default() };
        let distance = between(&daily(), &Measures::of(&stated, None));
        assert_eq!((ends(&distance), distance.landing), ((0, 700), None));
    }

    #[test]
    fn with_neither_drop_nor_stack_in_both_there_is_no_distance() {
        let weighed = Specification { mass: Some(Grams::whole(280)), ..Specification::default() };
        let blank = Measures::of(&weighed, None);
        assert_eq!(Distance::between(&daily(), &blank, &HousePolicy::standard()), None);
        assert_eq!(Distance::between(&blank, &blank, &HousePolicy::standard()), None);
    }

    /// A known distance of 15 points stands at the same middle as one of 0 to 30 and before it; 14.9 before both.
    #[test]
    fn the_middle_orders_first_and_then_the_narrower_interval() {
        let at = |low, high| Distance { low, high, ..between(&daily(), &daily()) }.order_key();
        assert!(at(149, 149) < at(150, 150) && at(150, 150) < at(0, 300));
        assert!(at(0, 299) < at(150, 150), "half a tenth is nearer");
    }

    #[test]
    fn shoes_more_than_half_of_all_points_apart_are_not_alike() {
        let at = |low, high| Distance { low, high, ..between(&daily(), &daily()) }.is_alike();
        assert!(at(500, 500) && at(0, 1_000) && !at(500, 501) && !at(401, 600));
    }

    /// 250 g at EU 38 and 280 g at EU 42, 3 % a size: 280 x (1 - 4 x 0.03) = 246.4 g at EU 38, so 3.6 g lighter.
    #[test]
    fn masses_weighed_at_two_sizes_are_brought_to_the_smaller() {
        let weighed = |grams: i32, size: &str| {
            let mass_size = SizeLabel::parse(Some(SizeSystem::Eu), size);
            let known = specification(32, Some(24), Some(grams), None);
            Measures::of(&Specification { mass_size, ..known }, Some(Audience::Unisex))
        };
        let mass = |a, b| between(&a, &b).line(Measure::Mass).difference;
        assert_eq!(mass(weighed(250, "38"), weighed(280, "42")), Some(-36));
        assert_eq!(mass(weighed(280, "42"), weighed(250, "38")), Some(36));
        let unknown = Measures::of(&specification(32, Some(24), Some(270), None), Some(Audience::Unisex));
        assert_eq!(mass(weighed(280, "42"), unknown), Some(-100), "taken for the usual sample size");
    }

    #[test]
    fn another_reach_of_the_policy_is_another_distance() {
        let mut policy = HousePolicy::standard();
        policy.reach.stack = 80;
        let lower = shoe(28, Some(20), Some(280), Some(BendingWord::Medium));
        assert_eq!(Distance::between(&daily(), &lower, &policy).unwrap().low, 200);
        assert_eq!(between(&daily(), &lower).low, 100);
    }

    #[test]
    fn unisex_shoes_serve_women_and_men_but_no_youth() {
        let agree = |a, b| audiences_agree(Some(a), Some(b)) && audiences_agree(Some(b), Some(a));
        assert!(agree(Audience::Unisex, Audience::Women) && agree(Audience::Men, Audience::Men));
        assert!(!agree(Audience::Unisex, Audience::Youth) && !agree(Audience::Women, Audience::Men));
        assert!(audiences_agree(None, Some(Audience::Youth)), "a style that does not say is kept");
    }

    #[test]
    fn shoes_without_a_surface_or_a_purpose_in_common_do_not_serve_the_same() {
        let kind = |surfaces: &[Surface], purposes: &[Purpose]| Kind {
            audience: Some(Audience::Men),
            surfaces: Surfaces::of(surfaces),
            purposes: Purposes::of(purposes),
        };
        let road = kind(&[Surface::Road], &[Purpose::Daily, Purpose::Long]);
        assert!(road.serves_the_same(kind(&[Surface::Trail, Surface::Road], &[Purpose::Long])));
        assert!(!road.serves_the_same(kind(&[Surface::Trail], &[Purpose::Daily])));
        assert!(!road.serves_the_same(kind(&[Surface::Road], &[Purpose::Race])));
        assert!(road.serves_the_same(kind(&[], &[])), "a style that does not say is kept");
    }
}
