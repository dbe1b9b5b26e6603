//! The styles as columns: what the search pass reads of each, in the order of their keys.

use std::sync::Arc;

use catalogue::key::MakerKey;
use catalogue::measures::Measures;
use catalogue::style::{Audience, BendingWord, FIT_NOTES, OTHER_NOTE, Purpose, Style, Surface, fit_notes};
use catalogue::units::{Grams, Mm};

use super::bands::{Bands, Bins};
use super::bits::{Bits, Sets};
use super::group::Group;
use super::vocabulary::{Column, Level, Lists, Value};

/// One entry a style, retired ones included.
#[derive(Debug)]
pub(crate) struct Styles {
    /// The codes of each group, row by row.
    pub(crate) by_group: Vec<Vec<u32>>,
    /// The rows of each slot of each group, of a group without very many slots.
    pub(crate) sets: Vec<Option<Sets>>,
    /// The rows of each code, of a group with numbers.
    pub(crate) in_order: Vec<Option<Lists>>,
    /// The slots of each row in all groups, as numbered in the level.
    pub(crate) slots: Lists,
    /// What the ranking reads.
    pub(crate) measures: Vec<Measures>,
    /// Those still supplied; the others are reached by key and found by no search.
    pub(crate) live: Bits,
    /// The rows in the order of maker, name and key, and the place of each row in it.
    pub(crate) reading: Vec<u32>,
    pub(crate) reading_place: Vec<u32>,
    /// What the codes stand for.
    pub(crate) level: Arc<Level>,
}

impl Styles {
    /// The columns of `styles`, which are in the order of their keys.
    pub(crate) fn of(styles: &[Style]) -> Self {
        let measures: Vec<_> = styles.iter().map(|s| Measures::of(&s.specification, s.audience)).collect();
        let (mut level, codes) = Level::of(columns(styles, &measures));
        let supplied = codes.iter().zip(styles).filter(|(_, style)| !style.retired);
        level.give(supplied.map(|(codes, _)| codes.as_slice()));
        let level = Arc::new(level);
        let live = (0..).zip(styles).filter(|(_, style)| !style.retired).map(|(row, _)| row);
        let live = Bits::of(styles.len(), live);
        let by_group: Vec<Vec<u32>> =
            (0..Group::OF_STYLE).map(|group| codes.iter().map(|row| row[group]).collect()).collect();
        let sets = by_group.iter().zip(&level.vocabularies).map(|(codes, group)| group.sets(codes)).collect();
        let groups = by_group.iter().zip(&level.vocabularies);
        let in_order = groups.map(|(codes, group)| group.in_order(codes)).collect();
        let slots = Lists::of(codes.iter().map(|row| {
            let codes = row.iter().enumerate();
            codes.flat_map(|(place, code)| level.slots_of(place, *code)).collect()
        }));
        let reading = reading(styles);
        let reading_place = places(&reading);
        Self { by_group, sets, in_order, slots, measures, live, reading, reading_place, level }
    }
}

/// In the order of [`Group`].
fn columns(styles: &[Style], measures: &[Measures]) -> [Column; Group::OF_STYLE] {
    let drops = measures.iter().map(|m| m.drop().map(Mm::in_tenths));
    let heels = measures.iter().map(|m| m.heel_stack().map(Mm::in_tenths));
    let masses = measures.iter().map(|m| m.mass().map(Grams::in_tenths));
    [
        chosen(styles.iter().map(|s| s.audience), Audience::ALL, Audience::word),
        makers(styles),
        set(styles.iter().map(|s| s.surfaces.bits()), Surface::ALL, Surface::word),
        set(styles.iter().map(|s| s.purposes.bits()), Purpose::ALL, Purpose::word),
        chosen(measures.iter().map(Measures::bending), &BendingWord::ALL, BendingWord::word),
        numbers(drops, &Bands::drop(), 10),
        numbers(heels, &Bands::heel_stack(), 10),
        numbers(masses, &Bands::mass(), 100),
        chosen(measures.iter().map(Measures::plate), &[true, false], yes_no),
        chosen(measures.iter().map(Measures::rocker), &[true, false], yes_no),
        chosen(styles.iter().map(|s| s.specification.devices.map(|n| n > 0)), &[false, true], |some| {
            if some { "some" } else { "none" }
        }),
        shop_notes(styles),
    ]
}

/// A group with one of `all` or *not given*.
fn chosen<T: Copy + Ord>(
    said: impl Iterator<Item = Option<T>>,
    all: &[T],
    word: impl Fn(T) -> &'static str,
) -> Column {
    let values = all.iter().map(|member| Value::plain(word(*member))).chain([Value::not_given()]).collect();
    let place =
        |said: &Option<T>| vec![all.iter().position(|member| Some(*member) == *said).unwrap_or(all.len())];
    Column::of(&said.collect::<Vec<_>>(), values, place).0
}

/// A group with any number of `all`, as bits; none is *not given*.
fn set<T: Copy>(said: impl Iterator<Item = u8>, all: &[T], word: impl Fn(T) -> &'static str) -> Column {
    let values = all.iter().map(|member| Value::plain(word(*member))).chain([Value::not_given()]).collect();
    let places = |bits: &u8| match *bits {
        0 => vec![all.len()],
        bits => (0..all.len()).filter(|place| bits >> place & 1 == 1).collect(),
    };
    Column::of(&said.collect::<Vec<_>>(), values, places).0
}

fn numbers(said: impl Iterator<Item = Option<i32>>, bands: &Bands, base: i64) -> Column {
    let said: Vec<_> = said.map(|number| number.map(i64::from)).collect();
    let bins = Bins::over(said.iter().flatten().copied(), base);
    Column::of_numbers(&said, bands, bins)
}

/// The words of fit, free words as *other note*, or *not given*.
fn shop_notes(styles: &[Style]) -> Column {
    let words: Vec<&'static str> = FIT_NOTES.into_iter().chain([OTHER_NOTE]).collect();
    set(styles.iter().map(|style| fit_notes(style.shop_note.as_deref())), &words, |word| word)
}

/// Makers by key; a maker printed in two ways is called as it is printed first.
fn makers(styles: &[Style]) -> Column {
    let said: Vec<MakerKey> = styles.iter().map(|style| style.key.maker()).collect();
    let mut named: Vec<(&MakerKey, &str)> =
        said.iter().zip(styles.iter().map(|s| s.maker.as_str())).collect();
    named.sort_by_key(|(key, _)| *key);
    named.dedup_by_key(|(key, _)| *key);
    let values = named.iter().map(|(key, name)| Value::new(key.as_str(), name)).collect();
    Column::of(&said, values, |key| named.binary_search_by_key(&key, |(k, _)| *k).into_iter().collect()).0
}

fn yes_no(yes: bool) -> &'static str {
    if yes { "yes" } else { "no" }
}

fn reading(styles: &[Style]) -> Vec<u32> {
    let mut rows: Vec<u32> = (0..styles.len() as u32).collect();
    rows.sort_by_cached_key(|row| {
        let style = &styles[*row as usize];
        (style.maker.to_lowercase(), style.name.to_lowercase(), *row)
    });
    rows
}

fn places(rows: &[u32]) -> Vec<u32> {
    let mut places = vec![0; rows.len()];
    for (row, place) in rows.iter().zip(0..) {
        places[*row as usize] = place;
    }
    places
}
