//! Why one shoe stands above another: their lines side by side, and what decided, in words.

use catalogue::key::StyleKey;
use catalogue::rank::{Beside, Decided, Group as Place, Line, NotFirst, Ranker, What};

use super::choice::choice;
use super::lines::{Lines, points, signed};
use super::pair::{Pair, Side};
use super::{hand, place};
use crate::pages::why_above::{AboveRow, AboveShoe, WhyAbovePage};
use crate::parts::Link;
use crate::visit::order::Shown;
use crate::visit::shoe;
use crate::visit::{Visit, listed};
use crate::words;

/// The page of two shoes.
pub fn page(visit: &Visit<'_>, shown: &Shown, pair: &Pair<'_>, asked: &StyleKey) -> WhyAbovePage {
    let beside = pair.lines();
    let written = Written { visit, shown, pair };
    let difference: i32 = beside.iter().map(Beside::difference).sum();
    WhyAbovePage {
        upper: written.shoe(&pair.upper),
        lower: written.shoe(&pair.lower),
        say: written.say(&beside),
        rows: beside.iter().map(|line| written.row(line)).collect(),
        difference: signed(difference),
        beside: choice(visit, shown, asked),
        back: Link::new(say!("Back to the order"), visit.href("")),
    }
}

struct Written<'a> {
    visit: &'a Visit<'a>,
    shown: &'a Shown,
    pair: &'a Pair<'a>,
}

impl Written<'_> {
    fn shoe(&self, side: &Side<'_>) -> AboveShoe {
        let total = side.explanation.total();
        let range = say!("could be {low} to {high}", low = points(total.low), high = points(total.high));
        AboveShoe {
            name: side.name(),
            href: self.visit.href(&format!("/why/{}", side.card.style.key)),
            page: shoe::href(side.card.style),
            place: place(self.visit, self.shown, side.card.style),
            total: points(total.at),
            interval: if total.low == total.high { String::new() } else { range },
        }
    }

    fn lines<'a>(&'a self, side: &'a Side<'_>) -> Lines<'a> {
        Lines { visit: self.visit, ranker: self.ranker(), card: &side.card }
    }

    fn ranker(&self) -> &Ranker {
        &self.shown.list.ranker
    }

    fn row(&self, line: &Beside) -> AboveRow {
        let lines = self.lines(&self.pair.upper);
        let of = |side, line: Option<Line>| {
            let silent = || (String::new(), "0.0".to_owned());
            line.map_or_else(silent, |line| (self.lines(side).value(&line.what), signed(line.points.at)))
        };
        AboveRow {
            label: lines.label(&line.what),
            upper: of(&self.pair.upper, line.this),
            lower: of(&self.pair.lower, line.other),
            difference: signed(line.difference()),
            rests: lines.rests(&line.what),
        }
    }

    /// The fitter's hand first, then what hides or groups them, then what decided.
    fn say(&self, beside: &[Beside]) -> Vec<String> {
        let Pair { upper, lower } = self.pair;
        let hands = [upper, lower].into_iter().filter_map(|side| {
            hand(self.visit, self.shown, &side.card.style.key).map(|say| format!("{}: {say}", side.name()))
        });
        let stands = [self.group(), self.stale()].into_iter().flatten();
        let decided = [self.decides(), self.most(beside), self.could_turn()].into_iter().flatten();
        hands.chain(stands).chain(decided).collect()
    }

    /// Why the lower one is not brought out first, where the upper one is.
    fn group(&self) -> Option<String> {
        let Pair { upper, lower } = self.pair;
        if !upper.is_first() || lower.is_first() || !lower.is_ranked() {
            return None;
        }
        let why = match self.ranker().why_not_first(&lower.card.measures) {
            Some(why) => not_first(why).to_owned(),
            None => self.twin().map_or_else(
                || {
                    say!("others of the most three were taken before it, or it lies too far from the top")
                        .to_owned()
                },
                |twin| say!("it is a near twin of {twin}", twin),
            ),
        };
        let by_points =
            if self.pair.is_by_group() { say!(" By points alone it would stand above.") } else { "" };
        Some(say!(
            "{upper} is brought out first and {lower} is not: {why}.{by_points}",
            upper = upper.name(),
            lower = lower.name(),
            why,
            by_points
        ))
    }

    /// A shoe brought out first that the lower one is a near twin of, or the pair worn now.
    fn twin(&self) -> Option<String> {
        let lower = &self.pair.lower.card.measures;
        let hits = &self.shown.list.results.hits;
        let first = self.shown.group(Place::First);
        let mut cards = first.filter_map(|shoe| self.visit.snapshot.card(hits.get(shoe.hit)?.row));
        let named = cards.find(|card| self.ranker().are_near_twins(lower, &card.measures));
        let worn =
            self.ranker().case().worn.filter(|worn| self.ranker().are_near_twins(lower, &worn.measures));
        named
            .map(|card| shoe::name(card.style))
            .or_else(|| worn.map(|_| say!("the pair worn now").to_owned()))
    }

    /// A frozen order may say another thing than the numbers of today.
    fn stale(&self) -> Option<String> {
        let Pair { upper, lower } = self.pair;
        let key = |side: &Side<'_>| (side.score.order_key(side.pairs), side.card.style.key.clone());
        let turned = self.pair.decided().is_some() && key(lower) < key(upper);
        turned.then(|| {
            say!("The order was made before the catalogue changed: by the numbers of now {lower} would stand above. Refresh the order to see it so.", lower = lower.name())
        })
    }

    /// The two lines that decide most.
    fn most(&self, beside: &[Beside]) -> Option<String> {
        let mut by_weight: Vec<&Beside> = beside.iter().filter(|line| line.difference() != 0).collect();
        by_weight.sort_by_key(|line| -line.difference().abs());
        let named: Vec<String> = by_weight.iter().take(2).map(|line| self.named(line)).collect();
        let name = self.pair.upper.name();
        let head = if self.pair.is_by_group() { say!("Line by line") } else { say!("What decides most") };
        (!named.is_empty())
            .then(|| say!("{head}: {name} has {named}.", head, name, named = listed(&named, say!("and"))))
    }

    /// `6.3 points more for landing stack (34 mm against 30 mm)`.
    fn named(&self, line: &Beside) -> String {
        let lines = self.lines(&self.pair.upper);
        let label = lines.label(&line.what);
        let label = words::lowered(label.split(',').next().unwrap_or_default());
        let side = if line.difference() > 0 { say!("more") } else { say!("less") };
        say!(
            "{difference} points {side} for {label}{line}",
            difference = points(line.difference().abs()),
            side,
            label,
            line = self.values(line)
        )
    }

    /// ` (34 mm against 30 mm)`; an unknown value counts half, which is said.
    fn values(&self, line: &Beside) -> String {
        let What::Measure(_) = line.what else { return String::new() };
        let known = |line: Option<Line>| match line?.what {
            What::Measure(of) => of.nearness.value,
            _ => None,
        };
        let value =
            |side, line: Option<Line>| line.map(|l| self.lines(side).value(&l.what)).unwrap_or_default();
        let Pair { upper, lower } = self.pair;
        match (known(line.this), known(line.other)) {
            (Some(_), Some(_)) => {
                say!(
                    " ({this} against {other})",
                    this = value(upper, line.this),
                    other = value(lower, line.other)
                )
            }
            (None, _) => say!(" (not given for {upper}, so that it counts half)", upper = upper.name()),
            (_, None) => say!(" (not given for {lower}, so that it counts half)", lower = lower.name()),
        }
    }

    /// Whether what is not given could turn the two about.
    fn could_turn(&self) -> Option<String> {
        let Pair { upper, lower } = self.pair;
        let (above, below) = (upper.explanation.total(), lower.explanation.total());
        let open = above.low < above.high || below.low < below.high;
        if !open || self.pair.is_by_group() {
            return None;
        }
        Some(if below.high > above.low {
            say!(
                "What is not given could turn this: {lower} could reach {high}, {upper} could be as low as {low}.",
                lower = lower.name(),
                high = points(below.high),
                upper = upper.name(),
                low = points(above.low)
            )
        } else {
            say!("Whatever is not given cannot turn this.").to_owned()
        })
    }

    /// What of the order decided between them.
    fn decides(&self) -> Option<String> {
        let Pair { upper, lower } = self.pair;
        let whole = upper.score.whole_points();
        let (name, at) = (upper.name(), |side: &Side<'_>| points(side.score.suitability.into()));
        let width = |side: &Side<'_>| points(i32::from(side.score.high) - i32::from(side.score.low));
        Some(match self.pair.decided()? {
            Decided::Points => return None,
            Decided::Pairs => say!("Equal in whole points ({whole}), so the pairs in the working sizes decide: {more} of {name}, {fewer} of {lower}.", whole, more = upper.pairs, name, fewer = lower.pairs, lower = lower.name()),
            Decided::Exact => say!("Equal in whole points ({whole}) and in pairs, so the exact figure decides: {upper} against {lower}.", whole, upper = at(upper), lower = at(lower)),
            Decided::Interval => say!("Equal in points and in pairs, so the shoe of which less is open stands above: {upper} points against {lower}.", upper = width(upper), lower = width(lower)),
            Decided::Key => {
                say!("Equal in points, in pairs and in what is open: the order of their names decides, and nothing about the shoes does.")
                    .to_owned()
            }
        })
    }
}

fn not_first(why: NotFirst) -> &'static str {
    match why {
        NotFirst::TooLittleKnown => say!("its drop or landing stack is not given"),
        NotFirst::OutOfReach => say!("its drop or landing stack lies out of reach of what is looked for"),
        NotFirst::Caution => say!("a caution stands against it, or could for want of a measure"),
        NotFirst::AgainstHeading => say!("its stack goes against the heading"),
        NotFirst::MinimalStep => say!("the step to it would need the plan for minimal shoes"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_inside_a_sentence_begins_small() {
        assert_eq!(words::lowered("Landing stack"), "landing stack");
    }
}
