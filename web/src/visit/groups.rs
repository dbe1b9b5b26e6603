//! The groups of a ranked list: which rows, and how each group came about, said once.

use std::collections::BTreeMap;

use catalogue::rank::{Group as Place, NotFirst};

use super::order::{Shoe, Shown};
use super::rows::Rows;
use super::{capital, listed};
use crate::parts::Link;
use crate::parts::group::Group;
use crate::parts::ranked_row::RankedRow;

/// *Further away* shows this many rows and a link to all.
const FURTHER_AT_FIRST: usize = 20;

/// The four groups; `all`: every row of *Further away*.
pub fn groups(rows: &Rows<'_>, all: bool) -> Vec<Group> {
    let shown = rows.shown;
    let of = |place| shown.group(place).collect::<Vec<_>>();
    let first = of(Place::First);
    let lead = first_lead(first.len(), shown);
    vec![
        group(rows, "first", "Bring out first", lead, &first),
        group(rows, "also", "Also worth trying", also_lead(&of(Place::Also)), &of(Place::Also)),
        further(rows, &of(Place::Further), all),
        group(
            rows,
            "too-little",
            "Sheet says too little",
            too_little_lead(&of(Place::TooLittle)),
            &of(Place::TooLittle),
        ),
    ]
}

/// The shoe worn now, where it is shown beside the list.
pub fn aside(rows: &Rows<'_>) -> Option<RankedRow> {
    rows.shown.group(Place::Aside).find_map(|shoe| rows.row(shoe))
}

fn group(rows: &Rows<'_>, id: &str, heading: &str, lead: String, shoes: &[Shoe]) -> Group {
    let rows = shoes.iter().filter_map(|shoe| rows.row(*shoe)).collect();
    Group { id: id.to_owned(), heading: heading.to_owned(), lead, rows, all: None }
}

fn further(rows: &Rows<'_>, shoes: &[Shoe], all: bool) -> Group {
    let at_first = if all { shoes.len() } else { shoes.len().min(FURTHER_AT_FIRST) };
    let lead = if shoes.is_empty() {
        "None: whatever is left stands above."
    } else {
        "The rest of the wall, in order."
    };
    let group = group(rows, "further", "Further away", lead.to_owned(), &shoes[..at_first]);
    let label = format!("Show all {}", shoes.len());
    let link = (at_first < shoes.len())
        .then(|| Link::new(label, format!("{}#further", rows.visit.href("?all=yes"))));
    Group { all: link, ..group }
}

fn also_lead(shoes: &[Shoe]) -> String {
    let lead = if shoes.is_empty() {
        "None: the others lie clearly further away."
    } else {
        "The next nearest, near twins of the first included."
    };
    lead.to_owned()
}

fn too_little_lead(shoes: &[Shoe]) -> String {
    let lead = if shoes.is_empty() {
        "None: every sheet says enough to rank."
    } else {
        "Too few measures are given to rank these; measure them, or ask the supplier."
    };
    lead.to_owned()
}

/// Three need no excuse; fewer, or none, is a right answer, and the reason is said.
fn first_lead(count: usize, shown: &Shown) -> String {
    let head = match count {
        3.. => return "Three that differ, nearest to what is looked for.".to_owned(),
        0 => "None",
        1 => "Only one",
        _ => "Only two",
    };
    format!(
        "{head}: {}",
        why_fewer(&shown.list.kept_back.iter().map(|(_, why)| *why).collect::<Vec<_>>(), count)
    )
}

/// Why fewer than three are brought out first, from what kept the others back.
fn why_fewer(kept_back: &[NotFirst], count: usize) -> String {
    let mut reasons: BTreeMap<NotFirst, usize> = BTreeMap::new();
    for reason in kept_back {
        *reasons.entry(*reason).or_default() += 1;
    }
    let said: Vec<String> =
        reasons.iter().map(|(reason, n)| format!("{n} {}", because(*reason, *n == 1))).collect();
    let rest = if count == 0 {
        "the others lie further away"
    } else {
        "the others are near twins or lie further away"
    };
    match said.as_slice() {
        [] => format!("{rest}."),
        said => format!("of those near the top {}; {rest}.", listed(said, "and")),
    }
}

fn because(reason: NotFirst, one: bool) -> &'static str {
    match (reason, one) {
        (NotFirst::TooLittleKnown, true) => "has no drop or landing stack given",
        (NotFirst::TooLittleKnown, false) => "have no drop or landing stack given",
        (NotFirst::OutOfReach, true) => "is too far off in drop or landing stack",
        (NotFirst::OutOfReach, false) => "are too far off in drop or landing stack",
        (NotFirst::Caution, true) => "carries a caution",
        (NotFirst::Caution, false) => "carry a caution",
        (NotFirst::AgainstHeading, true) => "goes against the heading",
        (NotFirst::AgainstHeading, false) => "go against the heading",
        (NotFirst::MinimalStep, _) => "would be a step to a minimal shoe",
    }
}

/// What has changed since the order was made.
pub fn stale_in_words(shown: &Shown) -> Option<String> {
    let stale = shown.stale?;
    let count = |n: usize, what: &str| (n > 0).then(|| format!("{n} {what}"));
    let parts: Vec<String> =
        [count(stale.gone, "gone"), count(stale.new, "new")].into_iter().flatten().collect();
    let parts = if parts.is_empty() { String::new() } else { format!(" {}.", capital(&parts.join(", "))) };
    Some(format!("The catalogue has changed since this order was made.{parts}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fewer_than_three_say_why() {
        let kept = [NotFirst::Caution, NotFirst::OutOfReach, NotFirst::Caution];
        let said = why_fewer(&kept, 1);
        assert!(said.contains("2 carry a caution") && said.contains("1 is too far off"), "{said}");
        assert_eq!(why_fewer(&[], 0), "the others lie further away.");
    }
}
