//! Measures side by side: a table, and the same numbers as rows of dots. Both are made of one list of rows, so that
//! neither can say what the other does not.

use catalogue::measures::{Landing, Measure, Measures};
use catalogue::minimalism::MinimalistIndex;
use catalogue::rank::{Band, Origin, Ranker};
use catalogue::style::{Specification, Style};
use catalogue::units::Mm;
use indexer::snapshot::StyleCard;

use super::beside_words;
use super::brief::band_in_words;
use super::rows::compared_mass;
use super::shoe::{self, plain};
use crate::labels::NOT_GIVEN;
use crate::parts::dot_rows::{self, DotRow, DotRows, Reading};
use crate::parts::table::{Cell, Head, Table};
use crate::words;

/// One shoe among those set side by side; the first is what the others are compared with.
pub struct Column {
    /// Its name, or that it is worn now.
    pub name: String,
    /// It is the pair worn now.
    pub worn: bool,
    /// Its measures.
    pub measures: Measures,
    /// All that the catalogue holds of it; `None` for a worn pair that is not in it.
    pub specification: Option<Specification>,
}

/// One measure of all columns.
struct NumberRow {
    head: String,
    values: Vec<Value>,
    band: Option<Band>,
    /// How the others differ, in a word each way; `None` where a difference means nothing.
    differ: Option<(&'static str, &'static str)>,
}

/// One value, with where it came from.
struct Value {
    reading: Reading,
    source: Option<String>,
    /// The EU size in twelfths that it was measured at; values of two sizes are not set off against each other.
    at: Option<u16>,
}

/// What is shown side by side, and what it is shown for.
pub struct Beside<'r> {
    /// The shoes, in the order of the page.
    pub columns: Vec<Column>,
    /// The order of a fitting; without one no band is known.
    pub ranker: Option<&'r Ranker>,
}

impl Column {
    /// A shoe of the catalogue.
    pub fn of(card: &StyleCard<'_>) -> Self {
        Self { name: shoe::name(card.style), worn: false, ..Self::unnamed(card.measures, Some(card.style)) }
    }

    /// The pair worn now.
    pub fn worn(measures: Measures, style: Option<&Style>) -> Self {
        Self { name: say!("Worn now").to_owned(), worn: true, ..Self::unnamed(measures, style) }
    }

    fn unnamed(measures: Measures, style: Option<&Style>) -> Self {
        let specification = style.map(|style| style.specification.clone());
        Self { name: String::new(), worn: false, measures, specification }
    }
}

impl Beside<'_> {
    /// The numbers as rows of dots, one drawing a measure; a measure that nobody gave has none.
    pub fn charts(&self) -> Vec<DotRows> {
        if self.columns.len() < 2 {
            return Vec::new();
        }
        let known = |row: &NumberRow| row.values.iter().any(|value| value.reading != Reading::NotGiven);
        self.numbers().iter().filter(|row| known(row)).map(|row| self.chart(row)).collect()
    }

    fn chart(&self, row: &NumberRow) -> DotRows {
        let fine = row.is_fine();
        let dots = self.columns.iter().zip(&row.values).map(|(column, value)| DotRow {
            name: column.name.clone(),
            worn: column.worn,
            reading: value.reading,
            figure: figure(value.reading, fine),
        });
        let band =
            row.band.map(|band| dot_rows::Band { from: band.from, to: band.to, say: band_in_words(&band) });
        DotRows { title: row.head.clone(), band, rows: dots.collect() }
    }

    /// The table: a row a measure, differences to the first column in words. With `only_differences` the rows that are
    /// the same for all are left out.
    pub fn table(&self, only_differences: bool) -> Table {
        if self.columns.is_empty() {
            return Table::default();
        }
        let numbers = self.numbers();
        let rows = numbers.iter().map(|row| self.number_cells(row)).chain(self.word_cells());
        let kept = rows.filter(|row| !only_differences || is_different(row));
        let looking = self.ranker.map(|_| Head::words(say!("Looking for")));
        let heads = self.columns.iter().map(|column| Head::number(&column.name)).chain(looking);
        Table {
            caption: self.caption(),
            heads: [Head::words(say!("Measure"))].into_iter().chain(heads).collect(),
            rows: kept.collect(),
        }
    }

    fn caption(&self) -> String {
        match self.columns.as_slice() {
            [] | [_] => say!("Measures").to_owned(),
            [first, ..] if first.worn => {
                say!("Measures side by side; differences to the pair worn now").to_owned()
            }
            [first, ..] => say!("Measures side by side; differences to {name}", name = first.name),
        }
    }

    fn number_cells(&self, row: &NumberRow) -> Vec<Cell> {
        let fine = row.is_fine();
        let base = row.values.first();
        let cell = |(place, value): (usize, &Value)| {
            let other = base.filter(|base| place > 0 && base.at == value.at);
            let said = row
                .differ
                .zip(other)
                .and_then(|(words, other)| difference(other.reading, value.reading, words));
            let apart = base.is_some_and(|base| base.at != value.at && value.reading != Reading::NotGiven);
            let said = said.or_else(|| apart.then(|| say!("another size, not compared").to_owned()));
            let differs = !apart && said.as_deref().is_some_and(|said| said != words::of(SAME));
            let below: Vec<String> = said.into_iter().chain(value.source.clone()).collect();
            let cell = match value.reading {
                Reading::NotGiven => Cell::not_given(),
                reading => Cell::text(figure(reading, fine)),
            };
            let cell = if below.is_empty() { cell } else { cell.below(below.join("; ")) };
            if differs { cell.differing() } else { cell }
        };
        let cells = row.values.iter().enumerate().map(cell);
        let head = [Cell::text(row.head.clone())].into_iter();
        head.chain(cells).chain(self.looking(row.band.as_ref())).collect()
    }

    /// The last cell of a row: what is looked for, where something is.
    fn looking(&self, band: Option<&Band>) -> Option<Cell> {
        self.ranker.map(|_| Cell::text(band.map_or_else(|| "–".to_owned(), band_in_words)))
    }

    fn word_cells(&self) -> Vec<Vec<Cell>> {
        let bending = self.ranker.map(|ranker| *ranker.brief().band(Measure::Bending));
        let row = |(name, of): (&'static str, beside_words::OfMeasures)| {
            let values: Vec<Option<String>> =
                self.columns.iter().map(|column| of(&column.measures)).collect();
            let band = bending.filter(|_| name == words::of(beside_words::BENDING));
            let is_worn = self.columns.first().is_some_and(|first| first.worn);
            let cells = beside_words::cells(&values, is_worn);
            [Cell::text(name)].into_iter().chain(cells).chain(self.looking(band.as_ref())).collect()
        };
        beside_words::rows().into_iter().map(row).collect()
    }

    fn numbers(&self) -> Vec<NumberRow> {
        let landing = self.ranker.map(Ranker::landing);
        let stack = |place: Landing| self.band(Measure::LandingStack).filter(|_| landing == Some(place));
        let mut rows = vec![
            self.row(say!("Drop, mm"), drop, self.band(Measure::Drop), Some((say!("less"), say!("more")))),
            self.row(
                say!("Heel stack, mm"),
                heel,
                stack(Landing::Heel),
                Some((say!("lower"), say!("higher"))),
            ),
            self.row(
                say!("Forefoot stack, mm"),
                forefoot,
                stack(Landing::Forefoot),
                Some((say!("lower"), say!("higher"))),
            ),
        ];
        if let Some(band) = stack(Landing::Mean) {
            rows.push(self.row(
                say!("Mean of both stacks, mm"),
                mean,
                Some(band),
                Some((say!("lower"), say!("higher"))),
            ));
        }
        rows.extend(self.masses());
        rows.push(self.row(words::of(INDEX), index, None, None));
        rows
    }

    /// The weight as weighed and, where that was done in several sizes, as the order compares it.
    fn masses(&self) -> Vec<NumberRow> {
        let lighter = Some((say!("lighter"), say!("heavier")));
        let band = self.band(Measure::Mass);
        let weighed = |band| self.row(say!("Weight as weighed, g"), mass, band, lighter);
        let Some(ranker) = self.ranker else { return vec![weighed(None)] };
        let brought = |column: &Column| {
            let tenths = if column.worn {
                column.measures.mass().map(|mass| mass.in_tenths())
            } else {
                compared_mass(&ranker.explain(&column.measures), &column.measures)
            };
            Value { reading: tenths.map_or(Reading::NotGiven, Reading::At), source: None, at: None }
        };
        let weighed_alike = self.columns.iter().all(|column| brought(column).reading == mass(column).reading);
        if weighed_alike || band.is_none_or(|band| band.origin != Origin::Worn) {
            return vec![weighed(band)];
        }
        let at_one_size = NumberRow {
            head: say!("Weight brought to one size, g").to_owned(),
            values: self.columns.iter().map(brought).collect(),
            band,
            differ: lighter,
        };
        vec![weighed(None), at_one_size]
    }

    fn band(&self, measure: Measure) -> Option<Band> {
        self.ranker.map(|ranker| *ranker.brief().band(measure))
    }

    fn row(
        &self,
        head: &str,
        of: fn(&Column) -> Value,
        band: Option<Band>,
        differ: Option<(&'static str, &'static str)>,
    ) -> NumberRow {
        NumberRow { head: head.to_owned(), values: self.columns.iter().map(of).collect(), band, differ }
    }
}

impl NumberRow {
    /// One precision a row: tenths when any value has them.
    fn is_fine(&self) -> bool {
        self.values.iter().flat_map(|value| value.reading.numbers()).any(|tenths| tenths % 10 != 0)
    }
}

/// How the most minimal shoe stands at 100; described in the sources, never scored.
const INDEX: &str = word!("Minimalist Index, of 100");
const SAME: &str = word!("same");

fn worked_out(mm: Option<Mm>, derived: bool) -> Value {
    let reading = mm.map_or(Reading::NotGiven, |mm| Reading::At(mm.in_tenths()));
    Value { reading, source: (derived && mm.is_some()).then(|| say!("worked out").to_owned()), at: None }
}

fn heel(column: &Column) -> Value {
    worked_out(column.measures.heel_stack(), column.measures.heel_is_derived())
}

fn forefoot(column: &Column) -> Value {
    worked_out(column.measures.forefoot_stack(), column.measures.forefoot_is_derived())
}

fn mean(column: &Column) -> Value {
    worked_out(column.measures.landing_stack(Landing::Mean), false)
}

/// A drop that the stacks contradict lies between what is stated and what they say.
fn drop(column: &Column) -> Value {
    let measures = &column.measures;
    match drop_span(measures, column.specification.as_ref()) {
        Some((reading, source)) => Value { reading, source: Some(source), at: None },
        None => worked_out(measures.drop(), measures.drop_is_derived()),
    }
}

/// The span of a drop whose sheet contradicts itself, with both of its ends in words.
pub fn drop_span(measures: &Measures, specification: Option<&Specification>) -> Option<(Reading, String)> {
    let stated = specification.filter(|_| measures.drop_disagrees())?.drop_stated?.in_tenths();
    let ranks = measures.drop()?.in_tenths();
    let reading = Reading::Between { from: stated.min(ranks), to: stated.max(ranks), at: Some(ranks) };
    Some((
        reading,
        say!(
            "{stated} stated, {ranks} by the stacks, which rank",
            stated = plain(stated),
            ranks = plain(ranks)
        ),
    ))
}

fn mass(column: &Column) -> Value {
    let reading = column.measures.mass().map_or(Reading::NotGiven, |mass| Reading::At(mass.in_tenths()));
    let size = column.specification.as_ref().and_then(|spec| spec.mass_size.as_ref());
    let known = reading != Reading::NotGiven;
    let at = column.measures.mass_size();
    Value {
        reading,
        source: size.filter(|_| known).map(|size| say!("at {size}", size).replace(' ', "\u{a0}")),
        at,
    }
}

fn index(column: &Column) -> Value {
    let Some(specification) = &column.specification else {
        return Value { reading: Reading::NotGiven, source: None, at: None };
    };
    let index = MinimalistIndex::of(specification, None);
    let (from, to) = (i32::from(index.low) * 10, i32::from(index.high) * 10);
    let reading = match index.known {
        0 => Reading::NotGiven,
        _ if from == to => Reading::At(from),
        _ => Reading::Between { from, to, at: None },
    };
    let source = say!("{known} of 5 parts known, never scored", known = index.known);
    Value { reading, source: (index.known > 0).then_some(source), at: None }
}

/// How a value differs from the first column's, in words; `None` where one of them is not known.
fn difference(base: Reading, value: Reading, (less, more): (&str, &str)) -> Option<String> {
    let delta = ranking(value)? - ranking(base)?;
    Some(match delta {
        0 => words::of(SAME).to_owned(),
        delta => format!("{} {}", plain(delta.abs()), if delta < 0 { less } else { more }),
    })
}

fn ranking(reading: Reading) -> Option<i32> {
    match reading {
        Reading::At(at) => Some(at),
        Reading::Between { at, .. } => at,
        Reading::NotGiven => None,
    }
}

/// A row in which something differs, or may: a value that is not known beside one that is.
fn is_different(row: &[Cell]) -> bool {
    let values = row.get(1..).unwrap_or_default();
    let unknown = values.iter().filter(|cell| cell.unknown).count();
    let texts: std::collections::BTreeSet<&str> =
        values.iter().filter(|cell| !cell.unknown).map(|cell| cell.text.as_str()).collect();
    values.iter().any(|cell| cell.differs) || (unknown > 0 && !texts.is_empty()) || texts.len() > 1
}

fn figure(reading: Reading, fine: bool) -> String {
    match reading {
        Reading::NotGiven => words::of(NOT_GIVEN).to_owned(),
        Reading::At(at) => fixed(at, fine),
        Reading::Between { from, to, .. } => {
            say!("{from} to {to}", from = fixed(from, fine), to = fixed(to, fine))
        }
    }
}

fn fixed(tenths: i32, fine: bool) -> String {
    let sign = if tenths < 0 { "−" } else { "" };
    let magnitude = tenths.unsigned_abs();
    if fine {
        words::number(format_args!("{sign}{}.{}", magnitude / 10, magnitude % 10))
    } else {
        format!("{sign}{}", magnitude / 10)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::size::{SizeLabel, SizeSystem};
    use catalogue::style::Audience;
    use catalogue::units::Grams;

    fn column(heel: i32, forefoot: Option<i32>, drop: Option<i32>) -> Column {
        let specification = Specification {
            heel_stack: Some(Mm::whole(heel)),
            forefoot_stack: forefoot.map(Mm::whole),
            drop_stated: drop.map(Mm::whole),
            mass: Some(Grams::whole(250)),
            ..Specification::default()
        };
        let measures = Measures::of(&specification, None);
        Column { name: format!("H{heel}"), worn: false, measures, specification: Some(specification) }
    }

    fn two(first: Column, second: Column) -> Beside<'static> {
        Beside { columns: vec![first, second], ranker: None }
    }

    fn of<'t>(table: &'t Table, head: &str) -> &'t [Cell] {
        table.rows.iter().find(|row| row[0].text == head).unwrap()
    }

    #[test]
    fn one_row_has_one_precision() {
        assert_eq!([fixed(80, true), fixed(85, true), fixed(-5, true)], ["8.0", "8.5", "−0.5"]);
        assert_eq!(fixed(80, false), "8");
    }

    #[test]
    fn a_difference_is_said_in_words_and_marked() {
        let table = two(column(36, Some(28), None), column(33, Some(25), None)).table(false);
        let heel = of(&table, "Heel stack, mm");
        assert_eq!((heel[2].below.as_deref(), heel[2].differs), (Some("3 lower"), true));
        let drop = of(&table, "Drop, mm");
        assert_eq!((drop[2].below.as_deref(), drop[2].differs), (Some("same; worked out"), false));
    }

    #[test]
    fn a_drop_that_the_stacks_contradict_stays_an_interval_with_both_its_sources() {
        let beside = two(column(36, Some(28), None), column(36, Some(26), Some(6)));
        let table = beside.table(false);
        let cell = &of(&table, "Drop, mm")[2];
        assert_eq!(cell.text, "6 to 10");
        assert!(cell.below.as_deref().unwrap().contains("6 stated, 10 by the stacks"));
        let reading = beside.charts()[0].rows[1].reading;
        assert_eq!(reading, Reading::Between { from: 60, to: 100, at: Some(100) });
    }

    #[test]
    fn what_is_not_given_is_no_number_in_table_and_chart() {
        let beside = two(column(36, Some(28), None), column(36, None, None));
        assert!(of(&beside.table(false), "Forefoot stack, mm")[2].unknown);
        let charts = beside.charts();
        let forefoot = charts.iter().find(|chart| chart.title.starts_with("Forefoot")).unwrap();
        assert_eq!(forefoot.rows[1].reading, Reading::NotGiven);
    }

    #[test]
    fn weights_of_two_sizes_are_not_set_off_against_each_other() {
        let weighed = |size: &str, grams: i32| {
            let specification = Specification {
                mass: Some(Grams::whole(grams)),
                mass_size: SizeLabel::parse(Some(SizeSystem::Eu), size),
                ..Specification::default()
            };
            let measures = Measures::of(&specification, Some(Audience::Men));
            Column { measures, specification: Some(specification), ..Column::unnamed(measures, None) }
        };
        let same = two(weighed("42", 250), weighed("42", 270)).table(false);
        assert!(of(&same, "Weight as weighed, g")[2].below.as_deref().unwrap().starts_with("20 heavier"));
        let table = two(weighed("42", 250), weighed("44", 270)).table(false);
        let cell = &of(&table, "Weight as weighed, g")[2];
        assert!(cell.below.as_deref().unwrap().starts_with("another size, not compared"));
        assert!(!cell.differs);
    }

    #[test]
    fn only_differences_keeps_what_differs_or_may() {
        let beside = two(column(36, Some(28), None), column(36, None, None));
        let kept: Vec<String> = beside.table(true).rows.into_iter().map(|row| row[0].text.clone()).collect();
        assert!(kept.contains(&"Forefoot stack, mm".to_owned()) && kept.contains(&"Drop, mm".to_owned()));
        assert!(!kept.contains(&"Heel stack, mm".to_owned()), "{kept:?}");
        assert!(!kept.contains(&"Rocker sole".to_owned()), "nobody knows: {kept:?}");
    }
}
