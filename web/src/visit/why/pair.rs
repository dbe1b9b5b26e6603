//! Two shoes of one order as they stand on its page, and what of the order decided between them.

use catalogue::rank::{Beside, Decided, Explanation, Group as Place, Score, decided};
use indexer::snapshot::StyleCard;

use crate::visit::Visit;
use crate::visit::order::{Shown, is_ranked};
use crate::visit::shoe;

/// One of the two.
pub struct Side<'a> {
    /// The shoe.
    pub card: StyleCard<'a>,
    /// Its lines.
    pub explanation: Explanation,
    /// Its score.
    pub score: Score,
    /// Its place in the list and its group; `None` where a filter hides it.
    pub(super) at: Option<(usize, Place)>,
    /// Its pairs in the working sizes, a number unknown counted 1.
    pub pairs: u32,
}

/// Two shoes of one order, the one first that stands higher on the page.
pub struct Pair<'a> {
    /// The upper one.
    pub upper: Side<'a>,
    /// The lower one.
    pub lower: Side<'a>,
}

impl<'a> Side<'a> {
    fn of(visit: &Visit<'_>, shown: &Shown, card: StyleCard<'a>) -> Self {
        let ranker = &shown.list.ranker;
        let hits = &shown.list.results.hits;
        let is_it = |hit: usize| {
            let hit = hits.get(hit).and_then(|hit| visit.snapshot.card(hit.row));
            hit.is_some_and(|found| found.style.key == card.style.key)
        };
        let at = shown.places.iter().position(|shoe| is_it(shoe.hit));
        let found = at.and_then(|at| shown.places.get(at).map(|shoe| (at, *shoe)));
        Self {
            explanation: ranker.explain(&card.measures),
            score: ranker.score(&card.measures),
            at: found.map(|(at, shoe)| (at, shoe.standing.place)),
            pairs: found.and_then(|(_, shoe)| hits.get(shoe.hit)).map_or(0, |hit| hit.pairs),
            card,
        }
    }

    /// Where it stands on the page: those brought out first stand above the others.
    fn on_page(&self) -> Option<(bool, usize)> {
        self.at.map(|(at, place)| (place != Place::First, at))
    }

    pub(super) fn is_first(&self) -> bool {
        self.at.is_some_and(|(_, place)| place == Place::First)
    }

    pub(super) fn is_ranked(&self) -> bool {
        self.at.is_some_and(|(_, place)| is_ranked(place))
    }

    pub(super) fn name(&self) -> String {
        shoe::name(self.card.style)
    }
}

impl<'a> Pair<'a> {
    /// Two shoes as they stand: by their places, and by their points where one has none.
    pub fn of(visit: &Visit<'_>, shown: &Shown, one: StyleCard<'a>, other: StyleCard<'a>) -> Self {
        let (one, other) = (Side::of(visit, shown, one), Side::of(visit, shown, other));
        let first = match (one.is_ranked(), other.is_ranked()) {
            (true, true) => one.on_page() < other.on_page(),
            (false, false) => one.score.suitability >= other.score.suitability,
            (ranked, _) => ranked,
        };
        if first { Self { upper: one, lower: other } } else { Self { upper: other, lower: one } }
    }

    /// Their lines side by side.
    pub fn lines(&self) -> Vec<Beside> {
        self.upper.explanation.beside(&self.lower.explanation)
    }

    /// Whether the upper one stands there only since it is brought out first and the lower one may not be.
    pub fn is_by_group(&self) -> bool {
        let both = self.upper.is_ranked() && self.lower.is_ranked();
        both && self.upper.is_first() && !self.lower.is_first() && self.lower.at < self.upper.at
    }

    /// What of the order decided; `None` where one of them takes no place in it, and where the group did.
    pub fn decided(&self) -> Option<Decided> {
        let (upper, lower) = (&self.upper, &self.lower);
        let both = upper.is_ranked() && lower.is_ranked() && !self.is_by_group();
        both.then(|| decided((&upper.score, upper.pairs), (&lower.score, lower.pairs)))
    }
}
