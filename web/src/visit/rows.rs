//! One row of the ranked list, in words; for the row, no points.

use catalogue::measures::{Measure, Measures};
use catalogue::rank::{Explanation, Group as Place, Origin, Reason};
use catalogue::rules::Verdict;
use catalogue::stock::Sku;
use catalogue::style::Style;
use indexer::ranked::Standing;
use indexer::search::Hit;
use indexer::snapshot::{Group, StyleCard};

use super::narrow::Narrowed;
use super::on_foot::states;
use super::order::{Shoe, Shown};
use super::{Visit, capital, deltas, marks, pairs, reasons, said, shoe};
use crate::browse::list::note;
use crate::fittings::Mark;
use crate::parts::act::Act;
use crate::parts::ranked_row::{RankedRow, RowStep};
use crate::parts::row_mark::RowMark;
use crate::parts::sole_line::Scale;
use crate::shelf::Shelf;
use crate::words;

/// What the rows of one list are made with.
pub struct Rows<'a> {
    /// The fitting.
    pub visit: &'a Visit<'a>,
    /// The order.
    pub shown: &'a Shown,
    /// What is left of it.
    pub narrowed: &'a Narrowed,
    /// What is true of the boxes for the moment.
    pub shelf: &'a Shelf,
    /// The measures of the pair worn now, where they are known.
    pub worn: Option<Measures>,
}

impl<'a> Rows<'a> {
    /// Rows of an order.
    pub fn of(visit: &'a Visit<'a>, shown: &'a Shown, narrowed: &'a Narrowed, shelf: &'a Shelf) -> Self {
        let worn = visit.snapshot.worn(&visit.fitting.runner).map(|worn| worn.measures);
        Self { visit, shown, narrowed, shelf, worn }
    }

    /// A shoe of the order with the pairs that are left; `None` when an added filter hides it.
    pub fn left(&self, place: Shoe) -> Option<&Hit> {
        self.narrowed.hit(self.shown.list.results.hits.get(place.hit)?.row)
    }

    /// What the fitter's hand did with a shoe of the order.
    pub fn mark(&self, place: Shoe) -> Option<Mark> {
        let card = self.visit.snapshot.card(self.shown.list.results.hits.get(place.hit)?.row)?;
        self.visit.fitting.marks.get(&card.style.key).copied()
    }

    /// The row of one shoe.
    pub fn row(&self, place: Shoe) -> Option<RankedRow> {
        self.row_of(self.left(place)?, place.standing)
    }

    /// The row of a hit where it stands.
    pub fn row_of(&self, hit: &Hit, standing: Standing) -> Option<RankedRow> {
        let card = self.visit.snapshot.card(hit.row)?;
        let skus = pairs::skus(self.visit.snapshot, hit);
        let explanation = self.shown.list.ranker.explain(&card.measures);
        let row = self.facts(&card, &skus, &explanation);
        let found = explanation.reasons();
        let spoken = |reason: Option<Reason>| {
            reason.filter(|reason| !reason.caution).map(|reason| reasons::in_words(&reason))
        };
        Some(RankedRow {
            reason_for: spoken(found.plus),
            reason_against: spoken(found.minus),
            cautions: cautions(&explanation),
            remarks: self.remarks(&card, hit, &explanation),
            mark: match standing.place {
                // The pair worn now stands aside already.
                Place::Aside => RowMark::Nothing,
                _ => marks::of_row(self.visit, self.shown, &card.style.key),
            },
            worn: standing.worn,
            ..row
        })
    }

    fn facts(&self, card: &StyleCard<'_>, skus: &[&Sku], explanation: &Explanation) -> RankedRow {
        let StyleCard { style, measures, .. } = *card;
        let Visit { snapshot, fitting, .. } = self.visit;
        let landing = self.shown.list.ranker.landing();
        let mass = compared_mass(explanation, &measures);
        RankedRow {
            href: shoe::href(style),
            maker: style.maker.to_string(),
            name: style.name.to_string(),
            mass: pairs::mass(&measures),
            sole: shoe::sole(&measures, self.worn.as_ref(), Scale::List),
            deltas: deltas::in_words(&measures, mass, self.worn.as_ref(), landing),
            price: pairs::price(snapshot, skus),
            sizes: pairs::by_size(snapshot, &fitting.runner, style, skus),
            place: pairs::place(skus),
            states: states(self.visit, self.shelf, skus.iter().copied()),
            why_href: self.visit.href(&format!("/why/{}", style.key)),
            step: self.step(style),
            reason_for: None,
            reason_against: None,
            cautions: Vec::new(),
            remarks: Vec::new(),
            mark: RowMark::Nothing,
            worn: false,
        }
    }

    fn step(&self, style: &Style) -> RowStep {
        let act = |name| Act::post(self.visit.href("/shortlist"), name, style.key.as_str());
        if self.visit.fitting.shortlist.contains(&style.key) {
            RowStep::BroughtOut(act("drop"))
        } else {
            RowStep::BringOut(act("style"))
        }
    }

    /// Plate, rocker, the shop's words, and what a filter let through although the shoe does not say it.
    fn remarks(&self, card: &StyleCard<'_>, hit: &Hit, explanation: &Explanation) -> Vec<String> {
        let StyleCard { style, measures, .. } = *card;
        let filtered = |group: Group| self.shown.list.search.choices.contains_key(&group);
        let yes_no =
            |known: Option<bool>, yes: &str, no: &str| known.map(|is| if is { yes } else { no }.to_owned());
        let unsaid = |group: Group, silent: bool| {
            (filtered(group) && silent)
                .then(|| say!("{group} not given", group = words::lowered(words::of(group.label()))))
        };
        let brought =
            mass_is_brought(explanation, &measures).then(|| say!("weight compared at one size").to_owned());
        let absent = (hit.pairs == 0).then(|| say!("not in stock").to_owned());
        let remarks = [
            yes_no(measures.plate(), say!("plate"), say!("no plate")),
            yes_no(measures.rocker(), say!("rocker sole"), say!("no rocker")),
            style.shop_note.as_deref().map(note),
            unsaid(Group::Audience, style.audience.is_none()),
            unsaid(Group::Surface, style.surfaces.is_empty()),
            unsaid(Group::Purpose, style.purposes.is_empty()),
            brought,
            absent,
        ];
        remarks.into_iter().flatten().collect()
    }
}

/// The mass as the order compares it, in tenths of g: brought to the size the worn pair was weighed at.
pub fn compared_mass(explanation: &Explanation, shoe: &Measures) -> Option<i32> {
    let line = explanation.measures().find(|(line, _)| line.band.measure == Measure::Mass);
    let compared =
        line.filter(|(line, _)| line.band.origin == Origin::Worn).and_then(|(line, _)| line.nearness.value);
    compared.or(shoe.mass().map(|mass| mass.in_tenths()))
}

fn mass_is_brought(explanation: &Explanation, shoe: &Measures) -> bool {
    compared_mass(explanation, shoe) != shoe.mass().map(|mass| mass.in_tenths())
}

/// Every injury rule that speaks against the shoe, or could for want of a measure.
pub fn cautions(explanation: &Explanation) -> Vec<String> {
    let against = explanation
        .rules()
        .filter(|(line, points)| line.rule.is_injury_rule() && line.lost_to.is_none() && points.low < 0);
    let sentence = against.filter_map(|(line, _)| match line.verdict {
        Verdict::Share(_, say) => Some(words::of(say).to_owned()),
        Verdict::Missed(measure, ..) => Some(say!(
            "{measure} not given, and {rule} asks for it.",
            measure = capital(words::of(measure)),
            rule = words::lowered(&said::rule_name(line.rule))
        )),
        Verdict::Silent | Verdict::Printed(_) => None,
    });
    sentence.collect()
}
