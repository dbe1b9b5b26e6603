//! The groups of a ranked list: which rows, and how each group came about, said once.

use std::collections::BTreeMap;

use catalogue::rank::{Group as Place, NotFirst};
use indexer::ranked::Standing;
use indexer::search::Hit;
use indexer::words::WordsError;

use super::order::{Shoe, Shown};
use super::rows::Rows;
use super::{capital, listed, narrow, number_of};
use crate::fittings::MarkKind;
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::group::Group;
use crate::parts::ranked_row::{RankedRow, RowStep, Wanted};
use crate::parts::row_mark::RowMark;

/// *Further away* shows this many rows and a link to all.
const FURTHER_AT_FIRST: usize = 20;
/// As many shoes that could be ordered in are shown.
const ORDERED_IN: usize = 10;

/// The shoes of one group as it was computed, and where those are that do not stand in it.
struct Members {
    here: Vec<Shoe>,
    computed: usize,
    hidden: usize,
    kept: usize,
    set_aside: usize,
}

impl Members {
    fn of(rows: &Rows<'_>, place: Place) -> Self {
        let computed: Vec<Shoe> = rows.shown.group(place).collect();
        let left = computed.iter().copied().filter(|shoe| rows.left(*shoe).is_some());
        let (marked, here): (Vec<Shoe>, Vec<Shoe>) = left.partition(|shoe| rows.mark(*shoe).is_some());
        let kept = marked.iter().filter(|shoe| is_marked(rows, **shoe, MarkKind::Pinned)).count();
        Self {
            hidden: computed.len() - here.len() - marked.len(),
            computed: computed.len(),
            set_aside: marked.len() - kept,
            kept,
            here,
        }
    }

    /// What a group of so many says of those that do not stand in it: ` Not here: 2 that added filters hide.`
    fn elsewhere(&self) -> String {
        let some = |n: usize, say: &str| (n > 0).then(|| format!("{n} {say}"));
        let parts = [
            some(
                self.hidden,
                if self.hidden == 1 {
                    say!("that an added filter hides")
                } else {
                    say!("that added filters hide")
                },
            ),
            some(self.kept, say!("kept on top")),
            some(self.set_aside, say!("set aside")),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        if parts.is_empty() {
            String::new()
        } else {
            say!(" Not here: {parts}.", parts = listed(&parts, say!("and")))
        }
    }
}

fn is_marked(rows: &Rows<'_>, shoe: Shoe, kind: MarkKind) -> bool {
    rows.mark(shoe).is_some_and(|mark| mark.kind == kind)
}

/// The four groups; `all`: every row of *Further away*.
pub fn groups(rows: &Rows<'_>, all: bool) -> Vec<Group> {
    let of = |place| Members::of(rows, place);
    let (first, also, too_little) = (of(Place::First), of(Place::Also), of(Place::TooLittle));
    let first_says = first_lead(first.computed, rows.shown);
    vec![
        group(rows, ("first", heading(Place::First)), &first_says, &first),
        group(rows, ("also", heading(Place::Also)), also_lead(also.computed), &also),
        further(rows, &of(Place::Further), all),
        group(
            rows,
            ("too-little", heading(Place::TooLittle)),
            too_little_lead(too_little.computed),
            &too_little,
        ),
    ]
}

/// The shoes that the fitter's hand keeps on top, or has set aside, in their order; `None` when there are none.
pub fn by_hand(rows: &Rows<'_>, kind: MarkKind) -> Option<Group> {
    let marked = rows.shown.places.iter().filter(|shoe| rows.left(**shoe).is_some());
    let marked = marked.filter(|shoe| is_marked(rows, **shoe, kind) && shoe.standing.place != Place::Aside);
    let rows: Vec<RankedRow> = marked.filter_map(|shoe| rows.row(*shoe)).collect();
    let (id, heading, lead) = match kind {
        MarkKind::Pinned => (
            "kept",
            say!("Kept on top"),
            say!("By the fitter’s hand; no place and no point is changed by it."),
        ),
        MarkKind::Skipped => (
            "set-aside",
            say!("Set aside"),
            say!("By the fitter’s hand, each with its reason; no place is changed by it."),
        ),
    };
    let group = |rows| Group { id: id.into(), heading: heading.into(), lead: lead.into(), rows, all: None };
    (!rows.is_empty()).then(|| group(rows))
}

/// The heading of a group.
pub fn heading(place: Place) -> &'static str {
    match place {
        Place::First => say!("Bring out first"),
        Place::Also => say!("Also worth trying"),
        Place::Further => say!("Further away"),
        Place::TooLittle => say!("Sheet says too little"),
        Place::Aside => say!("Worn now"),
    }
}

/// The shoe worn now, where it is shown beside the list.
pub fn aside(rows: &Rows<'_>) -> Option<RankedRow> {
    rows.shown.group(Place::Aside).find_map(|shoe| rows.row(shoe))
}

/// With nothing left: what suits, is made in the sizes and is not there.
pub fn order_in(rows: &Rows<'_>) -> Result<Option<Group>, WordsError> {
    let (visit, list) = (rows.visit, &rows.shown.list);
    let search = narrow::search(&visit.fitting.added, &list.search);
    let found = visit.snapshot.to_order(&search, &list.ranker)?;
    let standing = Standing { place: Place::Further, worn: false };
    let row = |hit: &Hit| {
        let row = rows.row_of(hit, standing)?;
        let step = match row.step {
            RowStep::BringOut(act) => RowStep::OrderIn(act, wanted(rows, hit)?),
            other => other,
        };
        Some(RankedRow { mark: RowMark::Nothing, step, ..row })
    };
    let shown: Vec<RankedRow> = found.iter().take(ORDERED_IN).filter_map(row).collect();
    let lead = say!(
        "Not in stock: {found} of the catalogue made in these sizes {pass} every other filter. Best first{new}.",
        found = number_of(found.len(), say!("style"), say!("styles")),
        pass = if found.len() == 1 { say!("passes") } else { say!("pass") },
        new =
            if found.len() > shown.len() { say!(", {len} shown", len = shown.len()) } else { String::new() }
    );
    let group =
        |rows| Group { id: "order-in".into(), heading: say!("Order it in").into(), lead, rows, all: None };
    Ok((!shown.is_empty()).then(|| group(shown)))
}

/// The first of the working sizes, to be counted as asked for and not there.
fn wanted(rows: &Rows<'_>, hit: &Hit) -> Option<Wanted> {
    let visit = rows.visit;
    let style = &visit.snapshot.card(hit.row)?.style.key;
    let Some(size) = visit.fitting.runner.working_sizes().first().map(ToString::to_string) else {
        return Some(Wanted::NoSize);
    };
    if visit.fitting.wanted.contains(&format!("{style} {size}")) {
        return Some(Wanted::Counted(size));
    }
    let fields = vec![("style".to_owned(), style.to_string()), ("size".to_owned(), size.clone())];
    Some(Wanted::Ask(size, Act::Post { action: visit.href("/wanted"), fields }))
}

fn group(rows: &Rows<'_>, (id, heading): (&str, &str), lead: &str, members: &Members) -> Group {
    Group {
        id: id.to_owned(),
        heading: heading.to_owned(),
        lead: format!("{lead}{}", members.elsewhere()),
        rows: members.here.iter().filter_map(|shoe| rows.row(*shoe)).collect(),
        all: None,
    }
}

fn further(rows: &Rows<'_>, members: &Members, all: bool) -> Group {
    let shoes = members.here.len();
    let at_first = if all { shoes } else { shoes.min(FURTHER_AT_FIRST) };
    let lead = if members.computed == 0 {
        say!("None: whatever is left stands above.")
    } else {
        say!("The rest of the wall, in order.")
    };
    let first = Members { here: members.here[..at_first].to_vec(), ..*members };
    let group = group(rows, ("further", heading(Place::Further)), lead, &first);
    let label = say!("Show all {shoes}", shoes);
    let link =
        (at_first < shoes).then(|| Link::new(label, format!("{}#further", rows.visit.href("?all=yes"))));
    Group { all: link, ..group }
}

fn also_lead(computed: usize) -> &'static str {
    if computed == 0 {
        say!("None: the others lie clearly further away.")
    } else {
        say!("The next nearest, near twins of the first included.")
    }
}

fn too_little_lead(computed: usize) -> &'static str {
    if computed == 0 {
        say!("None: every sheet says enough to rank.")
    } else {
        say!("Too few measures are given to rank these; measure them, or ask the supplier.")
    }
}

/// Three need no excuse; fewer, or none, is a right answer, and the reason is said.
fn first_lead(count: usize, shown: &Shown) -> String {
    let head = match count {
        3.. => return say!("Three that differ, nearest to what is looked for.").to_owned(),
        0 => say!("None"),
        1 => say!("Only one"),
        _ => say!("Only two"),
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
        say!("the others lie further away")
    } else {
        say!("the others are near twins or lie further away")
    };
    match said.as_slice() {
        [] => format!("{rest}."),
        said => say!("of those near the top {said}; {rest}.", said = listed(said, say!("and")), rest),
    }
}

fn because(reason: NotFirst, one: bool) -> &'static str {
    match (reason, one) {
        (NotFirst::TooLittleKnown, true) => say!("has no drop or landing stack given"),
        (NotFirst::TooLittleKnown, false) => say!("have no drop or landing stack given"),
        (NotFirst::OutOfReach, true) => say!("is too far off in drop or landing stack"),
        (NotFirst::OutOfReach, false) => say!("are too far off in drop or landing stack"),
        (NotFirst::Caution, true) => say!("carries a caution"),
        (NotFirst::Caution, false) => say!("carry a caution"),
        (NotFirst::AgainstHeading, true) => say!("goes against the heading"),
        (NotFirst::AgainstHeading, false) => say!("go against the heading"),
        (NotFirst::MinimalStep, _) => say!("would be a step to a minimal shoe"),
    }
}

/// What has changed since the order was made.
pub fn stale_in_words(shown: &Shown) -> Option<String> {
    let stale = shown.stale?;
    let count = |n: usize, what: &str| (n > 0).then(|| format!("{n} {what}"));
    let parts: Vec<String> =
        [count(stale.gone, say!("gone")), count(stale.new, say!("new"))].into_iter().flatten().collect();
    let parts = if parts.is_empty() { String::new() } else { format!(" {}.", capital(&parts.join(", "))) };
    Some(say!("The catalogue has changed since this order was made.{parts}", parts))
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
