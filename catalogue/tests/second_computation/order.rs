//! The ranking's contract, section 5: the order, and the groups with near twins and what is kept from the first.

use catalogue::measures::{Landing, Measure};
use catalogue::rank::{Group, Row};

use crate::bands::value;
use crate::row::row;
use crate::rules::minimal_degree;
use crate::sheet::Sheet;
use crate::suitability::{Judged, Prepared};

/// A shoe of the wall with what the order asks of it.
#[derive(Clone, Debug)]
pub(crate) struct Standing {
    pub(crate) judged: Judged,
    pub(crate) pairs: u32,
    pub(crate) key: String,
    pub(crate) worn: bool,
}

/// The order: whole points, pairs, exact points, the narrower interval, the key.
pub(crate) fn in_order(mut wall: Vec<Standing>) -> Vec<Standing> {
    wall.sort_by_key(|shoe| {
        let s = shoe.judged.suitability;
        (-((s.at + 5) / 10), -i64::from(shoe.pairs), -s.at, s.high - s.low, shoe.key.clone())
    });
    wall
}

/// The groups of shoes in order.
pub(crate) fn groups(prepared: &Prepared<'_>, ordered: &[Standing]) -> Vec<Group> {
    let aside = matches!(row(&prepared.case), Row::Less | Row::More);
    let mut groups: Vec<Group> = ordered.iter().map(|shoe| start(shoe, aside)).collect();
    let ranked: Vec<usize> = (0..ordered.len()).filter(|i| groups[*i] == Group::Further).collect();
    let Some(best) = ranked.first().map(|i| ordered[*i].judged.suitability.at) else { return groups };
    let within = |i: &usize, tenths: i64| best - ordered[*i].judged.suitability.at <= tenths;
    let landing = prepared.case.landing;
    let mut taken: Vec<usize> = Vec::new();
    for i in ranked.iter().copied().filter(|i| within(i, 150)) {
        let twin =
            taken.iter().any(|t| near_twins(&ordered[*t].judged.sheet, &ordered[i].judged.sheet, landing));
        if taken.len() < 3 && !twin && may_stand_first(prepared, &ordered[i].judged, aside) {
            taken.push(i);
        }
    }
    let rest = ranked.iter().copied().filter(|i| !taken.contains(i) && within(i, 250));
    for i in rest.take(7) {
        groups[i] = Group::Also;
    }
    for i in taken {
        groups[i] = Group::First;
    }
    groups
}

fn start(shoe: &Standing, aside: bool) -> Group {
    match () {
        () if shoe.worn && aside => Group::Aside,
        () if shoe.judged.known_weight < 50 => Group::TooLittle,
        () => Group::Further,
    }
}

fn may_stand_first(prepared: &Prepared<'_>, shoe: &Judged, aside: bool) -> bool {
    let landing = prepared.case.landing;
    let worn = prepared.case.worn.as_ref();
    let twin_of_worn = aside && worn.is_some_and(|worn| near_twins(&worn.sheet, &shoe.sheet, landing));
    !twin_of_worn && may_lead(prepared, shoe)
}

/// Whether the shoe by itself may be brought out first.
pub(crate) fn may_lead(prepared: &Prepared<'_>, shoe: &Judged) -> bool {
    let near = |at: usize| shoe.nearness[at].is_some_and(|n| n > 0);
    near(0)
        && near(1)
        && !shoe.caution
        && !is_against_heading(prepared, shoe)
        && !is_minimal_step(prepared, shoe)
}

/// Higher than the worn pair although less is looked for, lower although more is.
fn is_against_heading(prepared: &Prepared<'_>, shoe: &Judged) -> bool {
    let stacks = shoe.sheet.landing_stack(prepared.case.landing).zip(prepared.case.worn_landing_stack());
    stacks.is_some_and(|(shoe, worn)| match row(&prepared.case) {
        Row::Less => shoe > worn,
        Row::More => shoe < worn,
        _ => false,
    })
}

/// Section 7: minimal-type, and its degree above the worn one's by 250 or more.
fn is_minimal_step(prepared: &Prepared<'_>, shoe: &Judged) -> bool {
    let Some(worn) = &prepared.case.worn else { return false };
    let (least, _) = minimal_degree(&shoe.sheet);
    let (_, worn_most) = minimal_degree(&worn.sheet);
    row(&prepared.case) == Row::Same && least >= 500 && least - worn_most >= 250
}

/// Within 1 mm of drop, 2 mm of landing stack, 15 g and a bending step; what is unknown in either makes no difference.
/// Read as on the sheets: masses as weighed, a drop below 0 as it is.
fn near_twins(one: &Sheet, other: &Sheet, landing: Landing) -> bool {
    let limits = [10, 20, 150, 10];
    let of = |sheet: &Sheet| Measure::ALL.map(|measure| value(sheet, measure, landing));
    let (one, other) = (of(one), of(other));
    let difference = |at: usize| one[at].zip(other[at]).map(|(a, b)| (a - b).abs());
    let comparable = difference(0).is_some() || difference(1).is_some();
    comparable && (0..4).all(|at| difference(at).is_none_or(|d| d <= limits[at]))
}
