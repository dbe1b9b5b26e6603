//! From the ledger to the origins on the page of a shoe: where a value was read, and all values that stood.

use indexer::columns::Column;
use indexer::sheet::column_letters;
use indexer::store::{LedgerLine, ReadAt, SheetWord};

use crate::access::Access;
use crate::owner::values::or_not_given;
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::origin::{Origin, SheetSays, Stood, Traced};
use crate::staff::visitor::visitor;
use crate::visit::date::day;
use crate::words;

/// All that the store holds of one shoe beside its values.
#[derive(Clone, Debug, Default)]
pub struct Told {
    /// The ledger of the style and its sizes, newest first.
    pub lines: Vec<LedgerLine>,
    /// The style's columns that a person has set, with the newest word of a sheet on each.
    pub by_hand: Vec<(String, Option<SheetWord>)>,
    /// The change at which all this was so.
    pub seq: i64,
}

impl Told {
    /// The lines of one cell, newest first.
    fn of<'t>(&'t self, key: &'t str, column: &'t str) -> impl Iterator<Item = &'t LedgerLine> {
        self.lines.iter().filter(move |line| line.key == key && line.column == column)
    }

    /// The line that says what a cell holds: the newest of a change in force, undos left aside.
    pub fn says(&self, key: &str, column: &str) -> Option<&LedgerLine> {
        let says =
            |line: &&LedgerLine| line.key == key && line.column == column && line.in_force && !line.is_undo;
        self.lines.iter().find(says)
    }

    /// Whether a person has set a cell of the style.
    pub fn is_by_hand(&self, column: &str) -> bool {
        self.by_hand.iter().any(|(set, _)| set == column)
    }

    /// The newest word of a sheet on a cell that a person has set.
    pub fn sheet_word(&self, column: &str) -> Option<&SheetWord> {
        self.by_hand.iter().find(|(set, _)| set == column)?.1.as_ref()
    }

    /// A value of the shoe with all that is told of its cell; `value` as it is shown.
    pub fn traced(&self, key: &str, column: &str, value: Option<String>) -> Traced {
        let says = self.says(key, column);
        let unknown = value.is_none();
        Traced {
            value: value.unwrap_or_else(|| words::of(crate::labels::NOT_GIVEN).to_owned()),
            unknown,
            word: says.filter(|line| line.by_hand).map(|line| line.text.clone()),
            origin: says.map(origin),
            stood: self.of(key, column).map(stood).collect(),
            sheet_says: None,
        }
    }

    /// As [`Self::traced`], for a cell of the style: with what a later sheet says against the hand.
    pub fn traced_style(&self, style: &str, column: &str, value: Option<String>) -> Traced {
        let disagrees = self.sheet_word(column).filter(|word| word.disagrees);
        let disagrees = disagrees.filter(|_| visitor().may(Access::Owner));
        Traced {
            sheet_says: disagrees.map(|word| sheet_says(style, self.seq, word)),
            ..self.traced(style, column, value)
        }
    }
}

/// The field that names the cell to be given back to the sheets.
pub const COLUMN: &str = "column";
/// The field that says at which change a form was drawn.
pub const AT: &str = "at";

/// Gives a cell of a style back to the sheets.
pub fn take(style: &str, seq: i64, column: &str) -> Act {
    let fields = vec![(AT.to_owned(), seq.to_string()), (COLUMN.to_owned(), column.to_owned())];
    Act::Post { action: format!("/shoes/{style}/take"), fields }
}

fn sheet_says(style: &str, seq: i64, word: &SheetWord) -> SheetSays {
    let value = or_not_given(&word.column, word.value.as_ref());
    SheetSays {
        say: say!("{sheet_of} says {value}.", sheet_of = sheet_of(word), value),
        take: take(style, seq, &word.column),
        spoken: say!("Take the sheet's value for the {column}: {value}", column = name(&word.column), value),
    }
}

/// `range.csv of 3 November 2026`.
fn sheet_of(word: &SheetWord) -> String {
    let sheet = word.read.as_ref().map_or(say!("a sheet"), |read| &read.sheet);
    say!("{sheet} of {day}", sheet, day = day(word.at))
}

/// The first heading word of a column.
pub fn name(column: &str) -> &str {
    Column::find(column).map_or(column, |column| words::of(column.headings[0]))
}

/// Where one line was read, or who said it.
pub fn origin(line: &LedgerLine) -> Origin {
    let from = line
        .read
        .as_ref()
        .filter(|_| !line.by_hand)
        .map(|read| say!("from {supplier}, ", supplier = read.supplier));
    Origin {
        say: place(line),
        when: format!("{}{}", from.unwrap_or_default(), day(line.at)),
        change: Some(change(line.change.0)),
    }
}

/// `“36” in range.csv, tab Men, row 12, column G`; for what a person said, the person's words.
pub fn place(line: &LedgerLine) -> String {
    match &line.read {
        Some(read) if !line.by_hand => read_at(read, &line.text),
        _ => line.text.clone(),
    }
}

fn read_at(read: &ReadAt, text: &str) -> String {
    let tab = read.tab.as_ref().map_or_else(String::new, |tab| say!(", tab {tab}", tab));
    let Some(row) = read.row else { return say!("{text} in {sheet}{tab}", text, sheet = read.sheet, tab) };
    let column = read.column.map_or_else(String::new, |at| {
        say!(", column {column_letters}", column_letters = column_letters(at))
    });
    say!("“{text}” in {sheet}{tab}, row {row}{column}", text, sheet = read.sheet, tab, row, column)
}

/// A change as a link to its page; for whoever may not see that, its number alone.
pub fn change(number: i64) -> Link {
    let href = visitor().may(Access::Owner).then(|| format!("/changes/{number}"));
    Link::new(say!("Change {number}", number), href.unwrap_or_default())
}

fn stood(line: &LedgerLine) -> Stood {
    let how = if line.by_hand { line.text.as_str() } else { line.kind.as_str() };
    let back = if line.in_force { "" } else { say!(", taken back") };
    Stood {
        value: or_not_given(&line.column, line.after.as_ref()),
        say: format!("{how}, {}{back}", day(line.at)),
        change: change(line.change.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use indexer::draft::Value;
    use indexer::proposal::Entity;
    use indexer::store::ChangeId;

    fn line(number: i64, after: i64, by_hand: bool) -> LedgerLine {
        let read = ReadAt {
            sheet: "range.csv".to_owned(),
            supplier: "Brackwater".to_owned(),
            tab: Some("Men".to_owned()),
            row: Some(12),
            column: Some(6),
        };
        LedgerLine {
            change: ChangeId(number),
            kind: "import".to_owned(),
            at: 0,
            is_undo: false,
            in_force: true,
            entity: Entity::Style,
            key: "fennick.f1".to_owned(),
            column: "heel_stack".to_owned(),
            before: None,
            after: Some(Value::Int(after)),
            by_hand,
            read: (!by_hand).then_some(read),
            text: if by_hand { "measured in the shop" } else { "36" }.to_owned(),
        }
    }

    #[test]
    fn an_origin_names_sheet_tab_row_column_text_supplier_day_and_change() {
        let told = Told { lines: vec![line(3, 360, false)], ..Told::default() };
        let traced = told.traced("fennick.f1", "heel_stack", Some("36 mm".to_owned()));
        let origin = traced.origin.unwrap();
        assert_eq!(origin.say, "“36” in range.csv, tab Men, row 12, column G");
        assert_eq!(origin.when, "from Brackwater, 1 January 1970");
        assert_eq!(origin.change, Some(Link::new("Change 3", "/changes/3")));
        assert_eq!(traced.word, None);
    }

    #[test]
    fn a_value_set_by_hand_stands_with_its_word_and_a_line_taken_back_says_nothing() {
        let taken_back = LedgerLine { in_force: false, ..line(5, 300, false) };
        let told =
            Told { lines: vec![taken_back, line(4, 315, true), line(3, 360, false)], ..Told::default() };
        let traced = told.traced("fennick.f1", "heel_stack", Some("31.5 mm".to_owned()));
        assert_eq!(traced.word.as_deref(), Some("measured in the shop"));
        let values: Vec<_> = traced.stood.iter().map(|stood| stood.value.as_str()).collect();
        assert_eq!(values, ["30 mm", "31.5 mm", "36 mm"]);
        assert!(traced.stood[0].say.ends_with("taken back"));
    }
}
