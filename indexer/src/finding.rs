//! What the owner should look at: a code, a place, the text read and what to do.

use crate::characters::{legible, may_be_shown};
use crate::sheet::Place;

/// One finding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// What kind it is; its code never changes.
    pub code: Code,
    /// Where; the row is 0 for the sheet as a whole.
    pub place: Place,
    /// The heading above it; empty for rows and sheets.
    pub heading: String,
    /// The text read.
    pub text: String,
    /// What is wrong and what to do.
    pub say: String,
}

/// Puts an English sentence of the library into the language of whoever reads it; `&str::to_owned` leaves it as it is.
pub type Wording<'w> = &'w dyn Fn(&str) -> String;

impl Finding {
    /// What it quotes of the sheet as it may be shown, wherever it is shown.
    pub(crate) fn make_legible(&mut self) {
        for quoted in [&mut self.heading, &mut self.text, &mut self.say] {
            if !quoted.chars().all(may_be_shown) {
                *quoted = legible(quoted);
            }
        }
    }
}

/// How much a finding holds back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The cell, row, column or sheet is held back.
    Stop,
    /// Taken as it stands; look at it.
    Warn,
    /// For your information.
    Note,
}

/// Declares the table of codes.
macro_rules! codes {
    ($($variant:ident $code:literal $severity:ident $holds:ident $says:literal;)+) => {
        /// The kinds of findings, with stable codes.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $(#[doc = $says] $variant),+ }

        impl Code {
            /// All codes.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The code as printed.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $code),+ }
            }

            /// How much it holds back.
            pub const fn severity(self) -> Severity {
                match self { $(Self::$variant => Severity::$severity),+ }
            }

            /// What it holds back.
            pub const fn holds(self) -> Holds {
                match self { $(Self::$variant => Holds::$holds),+ }
            }

            /// In general, what it means.
            pub const fn says(self) -> &'static str {
                match self { $(Self::$variant => $says),+ }
            }
        }
    };
}

/// What a finding holds back.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// Nothing.
    Nothing,
    /// One cell; the rest of the row is taken.
    Cell,
    /// The row.
    Row,
    /// The whole sheet.
    Sheet,
}

codes! {
    NoHeading "no-heading" Stop Sheet "No row of headings was found.";
    HeadingUndecided "heading-undecided" Stop Sheet "A heading could feed two columns, or two headings feed one.";
    HeadingNearMiss "heading-near-miss" Stop Sheet "A heading one slip away from a known word; suggested, and asked.";
    ColumnMissing "column-missing" Stop Sheet "A column that is needed is not there.";
    HeadingUnknown "heading-unknown" Note Nothing "A heading nobody knows; the column is left out.";
    HeadingLeftOut "heading-left-out" Note Nothing "A column that is recognised and left out.";
    DecimalAmbiguous "decimal-mark-ambiguous" Stop Cell "A number that can be read with a decimal point or a comma, and the column does not tell which.";
    TabLeftOut "tab-left-out" Note Nothing "A tab without known headings; nothing is read from it.";
    TabHidden "tab-hidden" Note Nothing "A hidden tab; named and not read.";
    ColumnHidden "column-hidden" Note Nothing "Hidden columns; named and not read.";
    QuoteStray "quote-stray" Warn Nothing "A quotation mark inside a quoted cell that is not doubled; the cell is taken as it stands.";
    RowHidden "row-hidden" Note Nothing "Hidden rows; named and not read.";
    FormulaWithoutResult "formula-without-result" Warn Nothing "A formula whose result is not in the file; the cell is unknown.";
    RunMarks "run-marks" Note Nothing "Marks in a run of sizes, and what they are taken for.";
    SizeSystemInferred "size-system-inferred" Warn Nothing "Nobody says the system of the sizes; it is taken from the numbers.";
    GtinOfAnotherSize "gtin-of-another-size" Stop Row "A GTIN that the catalogue knows for another size than the row names.";
    GtinOfRun "gtin-of-run" Note Nothing "One GTIN beside a whole run of sizes; it is not taken, for it is of one size.";
    RowTooShort "row-without-key" Stop Row "The row does not say which style it speaks of.";
    RowTooWide "row-too-wide" Stop Row "The row goes on beyond the last heading; its cells may stand under the wrong ones.";
    SizeMissing "size-missing" Stop Row "Pairs are counted and no size is named.";
    RowLeftOut "row-left-out" Note Nothing "A section, total or note; the row is left out.";
    RowRepeated "row-repeated" Note Nothing "The same row stands in the sheet twice; it counts once.";
    RowsDiffer "rows-differ" Stop Row "Two rows of one size say different things; both are held.";
    CellsDiffer "cells-differ" Stop Cell "Two rows say different things of one style.";
    NotANumber "not-a-number" Stop Cell "Letters or signs where a number is expected.";
    OutOfRange "out-of-range" Stop Cell "A number that cannot be.";
    UnlikelyScale "unlikely-scale" Stop Cell "A number that is likely in another unit.";
    Unlikely "unlikely" Warn Nothing "A number that is possible and rare.";
    UnitUnknown "unit-unknown" Stop Cell "A unit that is not known here.";
    UnitOpen "unit-open" Stop Cell "A bare number in a column whose other cells name an unusual unit.";
    WordUnknown "word-unknown" Stop Cell "A word that is not known here.";
    WordUnclear "word-unclear" Stop Cell "A letter that stands for one thing in one language and for another in the next.";
    Percent "percent" Stop Cell "A percentage where a measure is expected.";
    CurrencyOther "currency-differs" Stop Cell "A price in another currency than the shop's.";
    CurrencyColumn "currency-of-row-differs" Stop Row "A row whose prices are in another currency than the shop's.";
    CellError "cell-error" Stop Cell "A formula of the spreadsheet has failed.";
    StacksUnordered "stacks-unordered" Stop Cell "A pair of stacks with the lower first: heel and forefoot may be the other way round.";
    TextRefused "text-refused" Stop Cell "A character that cannot be seen and changes what is read.";
    NameRefused "name-refused" Stop Row "A character that cannot be seen, in a text that names a style or a size.";
    TextCleaned "text-cleaned" Warn Nothing "Characters that cannot be seen were taken out.";
    MixedScripts "mixed-scripts" Warn Nothing "A word with letters of two alphabets.";
    KindUnknown "kind-unknown" Warn Nothing "A stiffness whose kind is unknown.";
    SizeNotRead "size-not-read" Stop Row "A size that is no size.";
    SizeIsDate "size-is-a-date" Stop Row "A spreadsheet has turned a size into a date.";
    SizeSystemUnknown "size-system-unknown" Warn Nothing "A size whose system nobody says.";
    SizeOutOfRange "size-out-of-range" Stop Row "A size that its system does not have.";
    SizesDisagree "sizes-disagree" Stop Row "Two sizes in one cell that are not the same foot.";
    SizeOfTwo "size-of-two" Note Nothing "Two systems in one size cell; the first is taken.";
    SizeOfWhom "size-of-whom" Note Nothing "A size that says for whom it is; only the column for that decides.";
    StyleNumberShortened "style-number-shortened" Stop Row "A style number that a spreadsheet has shortened; its digits are lost.";
    ReplacesShortened "replaces-shortened" Stop Cell "The number of a style that is followed, shortened by a spreadsheet; its digits are lost.";
    GtinZeroLost "gtin-zero-lost" Stop Cell "A trade item number that fits once zeros are put before it.";
    GtinPadded "gtin-padded" Note Nothing "A number of twelve digits, kept with a zero before it.";
    GtinDamaged "gtin-damaged" Stop Cell "A trade item number that a spreadsheet has damaged.";
    GtinCheckDigit "gtin-check-digit" Stop Cell "A trade item number whose last digit does not fit.";
    GtinTwice "gtin-twice" Stop Cell "One trade item number on two sizes.";
    QuantityNegative "quantity-negative" Stop Cell "Fewer than no pairs.";
    DropDisagrees "drop-disagrees" Warn Nothing "The stated drop and the two stacks are more than half a millimetre apart; the stacks rank.";
    StyleUnknown "style-unknown" Stop Row "A style that the catalogue does not hold and that this row does not name, or a GTIN that no size has.";
    MakerUnknown "maker-unknown" Stop Row "No maker, and the style number is not known or not of one maker alone.";
    HandWins "hand-wins" Warn Nothing "A value corrected by hand or measured in the shop stays; the sheet says another.";
    OwnerWins "owner-wins" Warn Nothing "Another supplier owns this style; its value stays.";
    ReadPlainly "read-plainly" Note Nothing "What was said of how the last such file is read does not fit this one.";
    SheetSeen "sheet-seen" Note Nothing "The very same file was imported before.";
}

/// Findings of one kind and heading together, with their true number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FindingGroup<'a> {
    /// The first of them, as an example.
    pub first: &'a Finding,
    /// All of them.
    pub all: Vec<&'a Finding>,
}

/// Groups findings by severity, kind and heading: what holds most back first, then in the order of the sheet.
pub fn grouped(findings: &[Finding]) -> Vec<FindingGroup<'_>> {
    let mut groups: Vec<FindingGroup<'_>> = Vec::new();
    for finding in findings {
        let same = |group: &&mut FindingGroup<'_>| {
            group.first.code == finding.code && group.first.heading == finding.heading
        };
        match groups.iter_mut().find(same) {
            Some(group) => group.all.push(finding),
            None => groups.push(FindingGroup { first: finding, all: vec![finding] }),
        }
    }
    groups.sort_by_key(|group| group.first.code.severity());
    groups
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_unique_kebab_words() {
        let mut words: Vec<_> = Code::ALL.iter().map(|code| code.word()).collect();
        words.sort_unstable();
        assert!(words.windows(2).all(|pair| pair[0] != pair[1]));
        assert!(words.iter().all(|word| word.chars().all(|c| c == '-' || c.is_ascii_lowercase())));
    }

    #[test]
    fn only_a_stop_holds_something_back() {
        for code in Code::ALL {
            assert_eq!(code.severity() == Severity::Stop, code.holds() != Holds::Nothing, "{}", code.word());
        }
    }

    #[test]
    fn groups_count_truly_and_stops_come_first() {
        let finding = |code, text: &str| Finding {
            code,
            place: Place { sheet: "s".into(), row: 1, line: 1, column: None },
            heading: String::new(),
            text: text.to_owned(),
            say: String::new(),
        };
        let findings = [
            finding(Code::HeadingUnknown, "a"),
            finding(Code::NotANumber, "b"),
            finding(Code::NotANumber, "c"),
        ];
        let groups = grouped(&findings);
        assert_eq!(
            groups.iter().map(|g| (g.first.code, g.all.len())).collect::<Vec<_>>(),
            [(Code::NotANumber, 2), (Code::HeadingUnknown, 1)]
        );
    }
}
