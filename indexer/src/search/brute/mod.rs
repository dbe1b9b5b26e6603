//! The search checked against a brute force that reads the sheets' own nouns and knows no code, mask or column.

mod oracle;

use std::collections::{BTreeMap, BTreeSet};

use catalogue::size::SizeLabel;
use catalogue::stock::{Price, Quantity, Sku};
use catalogue::style::{Audience, Bending, BendingWord, Purpose, Purposes, Style, Surface, Surfaces};
use catalogue::units::{Grams, Mm};
use proptest::prelude::*;

use crate::search::asked::{Choice, Counts, Range, Search, size_label};
use crate::search::count::Form;
use crate::search::facets::FacetGroup;
use crate::search::results::Results;
use crate::snapshot::invented::{loaded, sku, style};
use crate::snapshot::{Group, Snapshot};
use crate::words::Words;
use oracle::{Shop, in_stock, is_narrowed, price, style_number};

const SIZES: [&str; 8] = ["EU 41", "EU 42", "EU 42 2/3", "EU 43 1/3", "UK 8", "US 9", "MP 265", "?? 42"];
const WIDTHS: [&str; 2] = ["D", "2E"];

prop_compose! {
    fn any_style()(
        (maker, name) in (0..3_usize, prop::sample::select(vec!["Aro", "Arosa Sea", "Tern"])),
        audience in prop::option::of(prop::sample::select(Audience::ALL)),
        surfaces in prop::collection::vec(prop::sample::select(Surface::ALL), 0..3),
        purposes in prop::collection::vec(prop::sample::select(Purpose::ALL), 0..3),
        bending in prop::option::of(prop::sample::select(BendingWord::ALL.to_vec())),
        (heel, forefoot) in (prop::option::of(150..450), prop::option::of(120..400)),
        mass in prop::option::of(1500..3500),
        (plate, rocker) in (any::<Option<bool>>(), any::<Option<bool>>()),
        devices in prop::option::of(0..3_u8),
        note in prop::option::of(prop::sample::select(vec!["runs short", "roomy toes; narrow heel", "laces bite", "high instep, laces bite"])),
        retired in prop::bool::weighted(0.1),
    ) -> Style {
        let mut made = style(["Fennick", "Orrelby", "Quiller"][maker], "1", name);
        made.audience = audience;
        made.surfaces = Surfaces::of(&surfaces);
        made.purposes = Purposes::of(&purposes);
        made.specification.bending = bending.map(Bending::Word);
        made.specification.heel_stack = heel.map(Mm::tenths);
        made.specification.forefoot_stack = forefoot.map(Mm::tenths);
        made.specification.mass = mass.map(Grams::tenths);
        (made.specification.plate, made.specification.rocker) = (plate, rocker);
        made.specification.devices = devices;
        made.shop_note = note.map(Into::into);
        made.retired = retired;
        made
    }
}

fn any_quantity() -> impl Strategy<Value = Option<Quantity>> {
    prop::option::weighted(
        0.9,
        prop_oneof![
            (0..3_u32).prop_map(Quantity::Pairs),
            (0..3_u32).prop_map(Quantity::AtLeast),
            Just(Quantity::Some),
        ],
    )
}

/// What a SKU says, its style aside: size, width, quantity, price.
type Said = (&'static str, Option<&'static str>, Option<Quantity>, Option<u32>);

fn any_skus() -> impl Strategy<Value = Vec<Said>> {
    let width = prop::option::of(prop::sample::select(&WIDTHS[..]));
    let price = prop::option::weighted(0.9, 8_000..20_000_u32);
    prop::collection::vec((prop::sample::select(&SIZES[..]), width, any_quantity(), price), 0..6)
}

fn any_shop(styles: std::ops::Range<usize>) -> impl Strategy<Value = (Vec<Style>, Vec<Sku>)> {
    prop::collection::vec((any_style(), any_skus()), styles).prop_map(|rows| {
        let (mut styles, mut skus) = (Vec::new(), Vec::new());
        for (at, (mut made, said)) in rows.into_iter().enumerate() {
            made.key = style(&made.maker, &at.to_string(), "").key;
            for (colourway, (size, width, quantity, price)) in said.into_iter().enumerate() {
                let width = width.map(Into::into);
                let price = price.map(Price);
                skus.push(Sku { width, quantity, price, ..sku(&made, &colourway.to_string(), size) });
            }
            styles.push(made);
        }
        (styles, skus)
    })
}

/// One in five groups is narrowed, by places among the values that the shop has.
fn any_search() -> impl Strategy<Value = (Search, BTreeMap<Group, (Vec<usize>, bool)>)> {
    let picked = (prop::collection::vec(0..40_usize, 1..4), any::<bool>());
    let choices = prop::collection::btree_map(prop::sample::select(&Group::ALL[..]), picked, 0..4);
    let ranged = vec![Group::Drop, Group::Stack, Group::Mass, Group::Price];
    let ends = (prop::option::of(0..4_000_i64), prop::option::of(0..16_000_i64), any::<bool>());
    let range = ends.prop_map(|(from, to, keep_unknown)| Range { from, to, keep_unknown });
    let ranges = prop::collection::btree_map(prop::sample::select(ranged), range, 0..2);
    let foot = prop::sample::select(vec!["EU 42", "EU 43", "US 9"]);
    let feet = prop::collection::vec(foot, 0..2);
    let words = prop::sample::select(vec!["", "", "aro", "tern", "sea"]);
    (words, choices, ranges, feet).prop_map(|(words, choices, ranges, feet)| {
        let foot = |text| size_label(text).and_then(|label: SizeLabel| label.foot(Some(Audience::Men)));
        let feet = feet.into_iter().filter_map(foot).collect();
        (Search { words: words.into(), exactly: true, ranges, feet, ..Search::default() }, choices)
    })
}

/// Turns places into values that the answer to an open search knows.
fn choose(search: &mut Search, places: BTreeMap<Group, (Vec<usize>, bool)>, open: &Results) {
    for (group, (places, admit)) in places {
        let known: Vec<_> = open.facets.group(group).unwrap().values.iter().collect();
        if known.is_empty() {
            continue;
        }
        let value = |place: &usize| known[place % known.len()].value.to_string();
        let mut values: Vec<String> = places.iter().map(value).collect();
        let admitted = if admit && group != Group::Size { values.split_off(1) } else { Vec::new() };
        search.choices.insert(group, Choice { values, admitted });
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn totals_counts_histograms_and_what_is_hidden_are_those_of_a_brute_force(
        shop in any_shop(0..24),
        (search, places) in any_search(),
    ) {
        checked(shop, search, places)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(6))]

    /// More rows than a word of a set has bits: all of them, and the few that are left of them.
    #[test]
    fn so_they_are_where_many_styles_hit_and_where_few_do(
        shop in any_shop(130..140),
        (search, places) in any_search(),
    ) {
        checked(shop.clone(), Search::default(), BTreeMap::new())?;
        checked(shop, search, places)?;
    }
}

/// One question against the brute force, and in each form of counting.
fn checked(
    (styles, skus): (Vec<Style>, Vec<Sku>),
    mut search: Search,
    places: BTreeMap<Group, (Vec<usize>, bool)>,
) -> Result<(), TestCaseError> {
    let loaded = loaded(styles, skus);
    let words = Words::open_or_build(None, &loaded).unwrap();
    let snapshot = Snapshot::build(loaded.clone(), words);
    let open = snapshot.search(&Search::default(), None).unwrap();
    choose(&mut search, places, &open);
    let shop = Shop { styles: &loaded.styles, skus: &loaded.skus, price_values: price_values(&snapshot) };
    let found = snapshot.search(&search, None).unwrap();
    same_hits(&shop, &snapshot, &search, &found)?;
    same_counts(&shop, &search, &found)?;
    same_places(&open, &found)?;
    same_hidden(&shop, &search, &found)?;
    let styles_only =
        snapshot.search(&Search { counts: Counts::StylesOnly, ..search.clone() }, None).unwrap();
    let of_style = found.facets.iter().filter(|facet| !facet.group.is_of_sku());
    prop_assert!(styles_only.facets.iter().eq(of_style));
    prop_assert_eq!(&styles_only.hits, &found.hits);
    for form in [Form::Rows, Form::Sets] {
        same_answer(&snapshot.answer(&search, None, form).unwrap(), &found)?;
    }
    same_within(&shop, &snapshot, &search, &found)?;
    same_part(&snapshot, &search, &found)
}

/// Whatever is chosen, each value that any shoe has stands where it stood; others stand only where they are chosen.
fn same_places(open: &Results, found: &Results) -> Result<(), TestCaseError> {
    for facet in found.facets.iter() {
        let before = open.facets.group(facet.group).unwrap();
        let before: Vec<&str> = before.values.iter().map(|value| value.value).collect();
        let stand = facet.values.iter().filter(|value| !value.selected || before.contains(&value.value));
        prop_assert_eq!(stand.map(|value| value.value).collect::<Vec<_>>(), before);
    }
    Ok(())
}

/// The same filters as what stands whatever is chosen leave the same hits, hide the same, and count what is left; a
/// choice beside them only narrows, by the number that stands at it.
fn same_within(
    shop: &Shop<'_>,
    snapshot: &Snapshot,
    search: &Search,
    chosen: &Results,
) -> Result<(), TestCaseError> {
    let inside = Search { words: search.words.clone(), ..Search::inside(search) };
    let found = snapshot.search(&inside, None).unwrap();
    prop_assert_eq!((&found.hits, found.pairs), (&chosen.hits, chosen.pairs));
    prop_assert_eq!((&found.hidden_within, found.hidden.len()), (&chosen.hidden, 0));
    for facet in found.facets.iter() {
        for value in facet.values.iter() {
            let choices = [(facet.group, Choice::of(&[value.value]))].into();
            let left = snapshot.search(&Search { choices, ..inside.clone() }, None).unwrap();
            prop_assert_eq!(left.total, value.count, "{:?} {}", facet.group, value.value);
            prop_assert_eq!(&left.hidden, &[(facet.group, found.total - left.total)]);
            let expected = found.hits.iter().map(|hit| hit.row);
            let expected = expected.filter(|row| has_within(shop, search, *row, (facet.group, value.value)));
            prop_assert_eq!(rows(&left), expected.collect::<BTreeSet<_>>());
            let again = left.facets.group(facet.group).unwrap();
            prop_assert_eq!(counts(again), counts(facet), "its own choice is left out of account");
        }
    }
    Ok(())
}

/// Whether a style has a value, by a SKU that all other filters accept where the value is one of SKUs.
fn has_within(shop: &Shop<'_>, search: &Search, row: u32, (group, value): (Group, &str)) -> bool {
    let style = &shop.styles[row as usize];
    if !group.is_of_sku() {
        return shop.has_value(group, value, style, None);
    }
    let of_sku: Vec<Group> =
        Group::ALL.into_iter().filter(|g| g.is_of_sku() && is_narrowed(search, *g)).collect();
    let run = shop.run(style);
    let mut matching = run.iter().filter(|sku| shop.sku_matches(search, style, sku, &of_sku));
    matching.any(|sku| shop.has_value(group, value, style, Some(sku)))
}

fn rows(of: &Results) -> BTreeSet<u32> {
    of.hits.iter().map(|hit| hit.row).collect()
}

fn counts(of: FacetGroup<'_>) -> Vec<(String, u32)> {
    of.values.iter().map(|value| (value.value.to_string(), value.count)).collect()
}

/// A part of the list is that part of the whole list.
fn same_part(snapshot: &Snapshot, search: &Search, whole: &Results) -> Result<(), TestCaseError> {
    let part = Search { limit: Some(3), offset: 2, ..search.clone() };
    let hits = snapshot.search(&part, None).unwrap().hits;
    prop_assert_eq!(&hits[..], &whole.hits[whole.hits.len().min(2)..whole.hits.len().min(5)]);
    Ok(())
}

fn same_answer(one: &Results, other: &Results) -> Result<(), TestCaseError> {
    prop_assert_eq!((one.total, one.pairs), (other.total, other.pairs));
    prop_assert!(one.facets.iter().eq(other.facets.iter()));
    prop_assert_eq!(&one.ranges, &other.ranges);
    prop_assert_eq!(&one.hits, &other.hits);
    prop_assert_eq!(&one.hidden, &other.hidden);
    Ok(())
}

fn same_hits(
    shop: &Shop<'_>,
    snapshot: &Snapshot,
    search: &Search,
    found: &Results,
) -> Result<(), TestCaseError> {
    let matching = |row: &usize| shop.matches(search, &shop.styles[*row], None);
    let expected: Vec<usize> = (0..shop.styles.len()).filter(matching).collect();
    let mut rows: Vec<usize> = found.hits.iter().map(|hit| hit.row as usize).collect();
    rows.sort_unstable();
    prop_assert_eq!(&rows, &expected);
    let of_sku: Vec<Group> =
        Group::ALL.into_iter().filter(|g| g.is_of_sku() && is_narrowed(search, *g)).collect();
    for hit in &found.hits {
        let style = &shop.styles[hit.row as usize];
        let run = shop.run(style);
        let matching: Vec<&&Sku> =
            run.iter().filter(|sku| shop.sku_matches(search, style, sku, &of_sku)).collect();
        let pairs: u32 = matching.iter().map(|sku| sku.quantity.map_or(0, Quantity::counted)).sum();
        prop_assert_eq!(hit.pairs, pairs);
        let stocked: Vec<_> = matching.iter().filter(|sku| in_stock(sku)).map(|sku| sku.key()).collect();
        let named: Vec<_> = snapshot.in_stock(hit).map(Sku::key).collect();
        prop_assert_eq!(named, stocked);
    }
    prop_assert_eq!(found.pairs, found.hits.iter().map(|hit| u64::from(hit.pairs)).sum::<u64>());
    Ok(())
}

fn same_counts(shop: &Shop<'_>, search: &Search, found: &Results) -> Result<(), TestCaseError> {
    for facet in found.facets.iter() {
        for value in facet.values.iter() {
            let has = |style: &Style, sku: Option<&Sku>| shop.has_value(facet.group, value.value, style, sku);
            prop_assert_eq!(
                value.count,
                shop.count(search, facet.group, has),
                "{:?} {}",
                facet.group,
                value.value
            );
        }
        // A value that is left out must be one without a shoe: then all values together reach every shoe.
        let has = |style: &Style, sku: Option<&Sku>| {
            facet.values.iter().any(|value| shop.has_value(facet.group, value.value, style, sku))
                || (facet.group == Group::Size && !sku.is_some_and(in_stock))
        };
        let any = |_: &Style, _: Option<&Sku>| true;
        let reached = shop.count(search, facet.group, has);
        prop_assert_eq!(reached, shop.count(search, facet.group, any), "{:?}", facet.group);
    }
    for range in &found.ranges {
        let number = |style: &Style, sku: Option<&Sku>| match sku {
            Some(sku) => price(sku),
            None => style_number(range.group, style),
        };
        let unknown = shop.count(search, range.group, |style, sku| number(style, sku).is_none());
        prop_assert_eq!(range.unknown, unknown);
        for bin in &range.bins {
            let inside = |style: &Style, sku: Option<&Sku>| {
                number(style, sku).is_some_and(|n| (bin.from..bin.to).contains(&n))
            };
            prop_assert_eq!(
                bin.count,
                shop.count(search, range.group, inside),
                "{:?} {:?}",
                range.group,
                bin
            );
        }
    }
    Ok(())
}

fn same_hidden(shop: &Shop<'_>, search: &Search, found: &Results) -> Result<(), TestCaseError> {
    let narrowed = Group::ALL.into_iter().filter(|group| is_narrowed(search, *group));
    let hidden = |group: Group| {
        let back =
            |style: &&Style| !shop.matches(search, style, None) && shop.matches(search, style, Some(group));
        (group, shop.styles.iter().filter(back).count() as u32)
    };
    prop_assert_eq!(&found.hidden, &narrowed.map(hidden).collect::<Vec<_>>());
    Ok(())
}

/// The texts of the price bands; that they are quartiles is checked beside the bands.
fn price_values(snapshot: &Snapshot) -> Vec<String> {
    let vocabulary = &snapshot.stock.level.vocabularies[Group::Price.place()];
    vocabulary.values.iter().map(|value| value.value.clone()).collect()
}
