//! Stepping shoes: the fewest steps from the pair worn now to the wish, through shoes in stock.
//!
//! Each step stays within the house's largest step of drop and of landing stack. Of the ways with the fewest steps
//! the one with the smallest largest step is taken (as a share of its limit), then the one with the smallest sum.

use super::Decides;
use crate::units::Tenths;

/// Where a shoe stands on the two measures that a step is measured in, tenths of mm.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Point {
    /// Drop.
    pub drop: i32,
    /// The stack the runner lands on.
    pub landing: i32,
}

/// The largest step, tenths of mm: drop, landing stack. Both above 0 in a policy that stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Drop.
    pub drop: i32,
    /// Landing stack.
    pub landing: i32,
}

/// How the wish is reached.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Way {
    /// Through these candidates, by their place in the list; the wish follows them. Empty: in one step.
    Through(Vec<usize>),
    /// Not at all: no shoe in stock bridges this gap.
    Blocked(Gap),
}

/// Two measures that no shoe in stock lies between.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The measure whose step would be too large.
    pub measure: Decides,
    /// As far as shoes in stock lead, tenths of mm.
    pub from: i32,
    /// Where the way to the wish would go on, tenths of mm.
    pub to: i32,
}

impl Limits {
    /// The size of a step as a share of the largest one, whichever measure takes more of it. All shares of one pair of
    /// limits have the same denominator, so they compare and add up as whole numbers.
    fn share(self, a: Point, b: Point) -> i64 {
        let of = |a: i32, b: i32, other: i32| (i64::from(a) - i64::from(b)).abs() * i64::from(other);
        of(a.drop, b.drop, self.landing).max(of(a.landing, b.landing, self.drop))
    }

    fn largest(self) -> i64 {
        i64::from(self.drop) * i64::from(self.landing)
    }

    fn gap(self, from: Point, to: Point) -> Gap {
        let drop = (i64::from(from.drop) - i64::from(to.drop)).abs() * i64::from(self.landing);
        if drop == self.share(from, to) {
            Gap { measure: Decides::Drop, from: from.drop, to: to.drop }
        } else {
            Gap { measure: Decides::Landing, from: from.landing, to: to.landing }
        }
    }
}

/// The way from the worn pair to the wish. `candidates` are taken in the order given where two ways are equal.
pub fn way(worn: Point, wish: Point, candidates: &[Point], limits: Limits) -> Way {
    let map = Map::of(worn, wish, candidates, limits);
    let layers = map.layers(limits.largest());
    if layers.get(Map::WISH).copied().flatten().is_none() {
        return Way::Blocked(map.gap(&layers));
    }
    // First how small the largest step can be, then the smallest sum among the ways that keep to it.
    let largest = map.best(&layers, limits.largest(), i64::max);
    let within = largest.get(Map::WISH).map_or(limits.largest(), |reached| reached.cost);
    Way::Through(map.walk(&map.best(&layers, within, |sum, step| sum + step)))
}

/// The points of a search: the worn pair, the wish, and each different point of the candidates once.
struct Map {
    points: Vec<Point>,
    /// The candidate that stands for each point behind the first two.
    candidates: Vec<usize>,
    limits: Limits,
}

/// How a point is best reached.
#[derive(Clone, Copy)]
struct Reached {
    cost: i64,
    from: usize,
}

const NOT_REACHED: Reached = Reached { cost: i64::MAX, from: Map::WORN };

impl Map {
    const WORN: usize = 0;
    const WISH: usize = 1;

    /// Points equal to the worn pair or the wish bring nobody further.
    fn of(worn: Point, wish: Point, candidates: &[Point], limits: Limits) -> Self {
        let mut points = vec![worn, wish];
        let mut firsts = Vec::new();
        let mut seen = std::collections::HashSet::from([worn, wish]);
        for (place, point) in candidates.iter().enumerate() {
            if seen.insert(*point) {
                points.push(*point);
                firsts.push(place);
            }
        }
        Self { points, candidates: firsts, limits }
    }

    fn share(&self, a: usize, b: usize) -> i64 {
        self.limits.share(self.points[a], self.points[b])
    }

    /// Steps from the worn pair to each point with no step larger than `within`; `None` out of reach. The wish is an
    /// end: no way leads through it.
    fn layers(&self, within: i64) -> Vec<Option<usize>> {
        let mut layers = vec![None; self.points.len()];
        layers[Self::WORN] = Some(0);
        let mut edge = vec![Self::WORN];
        for layer in 1.. {
            let near = |to: &usize| edge.iter().any(|from| self.share(*from, *to) <= within);
            let open = (0..self.points.len()).filter(|point| layers[*point].is_none());
            let next: Vec<usize> = open.filter(near).collect();
            if next.is_empty() {
                break;
            }
            for point in &next {
                layers[*point] = Some(layer);
            }
            edge = next.into_iter().filter(|point| *point != Self::WISH).collect();
        }
        layers
    }

    /// The cheapest way to each point, layer by layer, where `join` adds a step to the cost so far.
    fn best(&self, layers: &[Option<usize>], within: i64, join: fn(i64, i64) -> i64) -> Vec<Reached> {
        let mut best = vec![NOT_REACHED; self.points.len()];
        best[Self::WORN].cost = 0;
        let mut order: Vec<(usize, usize)> = layers
            .iter()
            .enumerate()
            .filter_map(|(point, layer)| layer.map(|layer| (layer, point)))
            .collect();
        order.sort_unstable();
        for &(layer, to) in order.iter().filter(|(layer, _)| *layer > 0) {
            let before = order.iter().filter(|(l, from)| l + 1 == layer && *from != Self::WISH);
            for &(_, from) in before {
                let step = self.share(from, to);
                if step <= within && best[from].cost != i64::MAX {
                    let cost = join(best[from].cost, step);
                    if cost < best[to].cost {
                        best[to] = Reached { cost, from };
                    }
                }
            }
        }
        best
    }

    fn walk(&self, best: &[Reached]) -> Vec<usize> {
        let before = |point: usize| (point != Self::WORN).then(|| best[point].from);
        let back = std::iter::successors(before(Self::WISH), |point| before(*point));
        let mut through: Vec<usize> =
            back.take_while(|point| *point != Self::WORN).map(|point| self.candidates[point - 2]).collect();
        through.reverse();
        through
    }

    /// The narrowest gap between what is reached from the worn pair and what leads to the wish.
    fn gap(&self, from_worn: &[Option<usize>]) -> Gap {
        let reached = (0..self.points.len()).filter(|point| from_worn[*point].is_some());
        let beyond = self.leading_to_the_wish();
        let pairs = reached.flat_map(|a| beyond.iter().map(move |b| (a, *b)));
        let narrowest = pairs.min_by_key(|(a, b)| self.share(*a, *b)).unwrap_or((Self::WORN, Self::WISH));
        self.limits.gap(self.points[narrowest.0], self.points[narrowest.1])
    }

    fn leading_to_the_wish(&self) -> Vec<usize> {
        let mut beyond = vec![Self::WISH];
        let mut open: Vec<usize> = (2..self.points.len()).collect();
        let mut at = 0;
        while let Some(&to) = beyond.get(at) {
            let (near, far) =
                open.into_iter().partition(|from| self.share(*from, to) <= self.limits.largest());
            open = far;
            beyond.extend::<Vec<usize>>(near);
            at += 1;
        }
        beyond
    }
}

/// `drop from 8 to 4 mm`.
impl std::fmt::Display for Gap {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} from {} to {} mm", self.measure.word(), Tenths(self.from), Tenths(self.to))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LIMITS: Limits = Limits { drop: 40, landing: 80 };

    fn point(drop: i32, landing: i32) -> Point {
        Point { drop: drop * 10, landing: landing * 10 }
    }

    #[test]
    fn a_wish_within_the_largest_step_needs_no_stepping_shoe() {
        assert_eq!(way(point(8, 32), point(4, 24), &[point(6, 28)], LIMITS), Way::Through(vec![]));
    }

    #[test]
    fn the_fewest_steps_are_taken_and_of_these_the_evenest() {
        let stock = [point(9, 31), point(6, 28), point(7, 27), point(5, 25), point(7, 26)];
        // 14 mm of stack need one shoe between: 7 mm and 7 mm are the evenest.
        assert_eq!(way(point(10, 34), point(4, 20), &stock, LIMITS), Way::Through(vec![2]));
    }

    #[test]
    fn where_the_largest_steps_are_equal_the_smaller_sum_wins() {
        // Both ways hold a step as large as may be; the second way has a smaller one after it.
        let stock = [point(7, 38), point(6, 30)];
        assert_eq!(way(point(10, 30), point(3, 30), &stock, LIMITS), Way::Through(vec![1]));
    }

    #[test]
    fn a_gap_in_stock_is_named_with_where_it_begins_and_ends() {
        let stock = [point(8, 30), point(1, 17)];
        let Way::Blocked(gap) = way(point(10, 34), point(0, 14), &stock, LIMITS) else { panic!("bridged") };
        assert_eq!(gap.to_string(), "drop from 8 to 1 mm");
        let Way::Blocked(gap) = way(point(10, 34), point(8, 14), &[point(9, 30)], LIMITS) else {
            panic!("bridged")
        };
        assert_eq!(gap.to_string(), "landing stack from 30 to 14 mm");
    }

    #[test]
    fn the_way_back_up_is_found_as_well() {
        let stock = [point(4, 20), point(6, 26)];
        assert_eq!(way(point(0, 14), point(8, 34), &stock, LIMITS), Way::Through(vec![0, 1]));
    }

    /// Every way with every number of shoes between, tried one by one.
    fn by_trying(worn: Point, wish: Point, stock: &[Point], limits: Limits) -> Option<(usize, i64, i64)> {
        let mut ways = vec![(worn, Vec::new(), 0, 0)];
        for steps in 1..=stock.len() + 1 {
            let mut next = Vec::new();
            let mut ends = Vec::new();
            for (at, through, largest, sum) in &ways {
                let step = limits.share(*at, wish);
                if step <= limits.largest() {
                    ends.push((steps, step.max(*largest), sum + step));
                }
                for (n, to) in stock.iter().enumerate().filter(|(n, _)| !through.contains(n)) {
                    let step = limits.share(*at, *to);
                    if step <= limits.largest() {
                        next.push((*to, [through.clone(), vec![n]].concat(), step.max(*largest), sum + step));
                    }
                }
            }
            if let Some(best) = ends.into_iter().min() {
                return Some(best);
            }
            ways = next;
        }
        None
    }

    proptest! {
        #[test]
        fn no_way_that_can_be_tried_is_better(
            ends in prop::array::uniform2((0..14, 14..44)),
            stock in prop::collection::vec((0..14, 14..44), 0..5),
            limits in (1..6, 2..12),
        ) {
            let [worn, wish] = ends.map(|(drop, landing)| point(drop, landing));
            let stock: Vec<Point> = stock.into_iter().map(|(drop, landing)| point(drop, landing)).collect();
            let limits = Limits { drop: limits.0 * 10, landing: limits.1 * 10 };
            let found = match way(worn, wish, &stock, limits) {
                Way::Blocked(_) => None,
                Way::Through(through) => {
                    let points: Vec<Point> = [worn].into_iter()
                        .chain(through.iter().map(|n| stock[*n])).chain([wish]).collect();
                    let steps: Vec<i64> = points.windows(2).map(|p| limits.share(p[0], p[1])).collect();
                    Some((steps.len(), steps.iter().copied().max().unwrap_or(0), steps.iter().sum()))
                }
            };
            prop_assert_eq!(found, by_trying(worn, wish, &stock, limits));
        }
    }
}
