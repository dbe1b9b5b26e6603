//! How a delimited file is written: what was decided, and the evidence the owner is shown.

use std::fmt;

use super::delimited;

/// What was decided about a file before its rows were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dialect {
    /// Name of the encoding in the WHATWG Encoding Standard.
    pub encoding: &'static str,
    /// Why this encoding.
    pub encoding_seen: EncodingSeen,
    /// The character between two cells.
    pub delimiter: char,
    /// Why this character.
    pub delimiter_seen: DelimiterSeen,
}

/// Evidence for an encoding, strongest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EncodingSeen {
    /// A byte order mark begins the file.
    Mark,
    /// Every other byte is zero wherever the text is plain.
    ZeroBytes,
    /// The bytes are valid in it.
    Valid,
    /// The letters look like it; no file says so.
    Guessed,
    /// The owner said so.
    Said,
}

/// Evidence for a delimiter, strongest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DelimiterSeen {
    /// The first line says `sep=`.
    SepLine,
    /// So many of the first rows split into the same number of columns.
    Rows {
        /// Rows with exactly `columns` columns.
        agreeing: u16,
        /// Rows looked at.
        of: u16,
        /// Columns of the agreeing rows, two or more.
        columns: u16,
    },
    /// None of the known delimiters splits any row; the sheet has one column.
    OneColumn,
    /// The owner said so.
    Said,
}

impl fmt::Display for Dialect {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let why = match self.encoding_seen {
            EncodingSeen::Mark => "the file begins with its mark",
            EncodingSeen::ZeroBytes => "recognised by its zero bytes",
            EncodingSeen::Valid => "every byte reads so",
            EncodingSeen::Guessed => "guessed from the letters; check the accents",
            EncodingSeen::Said => "as the owner said",
        };
        write!(f, "{} ({why}); ", self.encoding)?;
        let delimiter = delimiter_name(self.delimiter);
        match self.delimiter_seen {
            DelimiterSeen::SepLine => write!(f, "columns split at {delimiter} (the first line says so)"),
            DelimiterSeen::Rows { agreeing, of, columns } => {
                write!(
                    f,
                    "columns split at {delimiter} ({agreeing} of the first {of} rows have {columns} columns)"
                )
            }
            DelimiterSeen::OneColumn => write!(f, "one column"),
            DelimiterSeen::Said => write!(f, "columns split at {delimiter} (as the owner said)"),
        }
    }
}

fn delimiter_name(delimiter: char) -> String {
    match delimiter {
        ',' => "commas".into(),
        ';' => "semicolons".into(),
        '\t' => "tabs".into(),
        '|' => "vertical bars".into(),
        other => format!("‘{other}’"),
    }
}

/// Where the rows begin and what splits them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Split {
    pub(super) delimiter: u8,
    pub(super) seen: DelimiterSeen,
    /// Bytes of a `sep=` line before the first row, its line end included.
    pub(super) start: usize,
}

/// The owner's delimiter; a `sep=` line is no row all the same.
pub(super) fn split_at(text: &str, delimiter: u8) -> Split {
    Split { delimiter, seen: DelimiterSeen::Said, start: sep_line(text).map_or(0, |split| split.start) }
}

/// Whether a character can split columns.
pub(super) fn splits(delimiter: u8) -> bool {
    delimiter == b'\t' || (delimiter.is_ascii_punctuation() && delimiter != b'"')
}

/// Decides the delimiter: a `sep=` line wins, else the character that splits most of the first rows alike.
/// On a draw, more columns win, then `tab_first` (a .tsv), then the order comma, semicolon, tab, bar.
pub(super) fn split_of(text: &str, tab_first: bool) -> Split {
    if let Some(split) = sep_line(text) {
        return split;
    }
    let sample = delimited::Sample::of(text);
    let order: &[u8] = if tab_first { b"\t,;|" } else { b",;\t|" };
    let mut best = Split { delimiter: order[0], seen: DelimiterSeen::OneColumn, start: 0 };
    let mut best_rank = (0, 0);
    for &delimiter in order {
        if let Some(seen @ DelimiterSeen::Rows { agreeing, columns, .. }) =
            agreement(&sample.widths(delimiter))
            && (agreeing, columns) > best_rank
        {
            best_rank = (agreeing, columns);
            best = Split { delimiter, seen, start: 0 };
        }
    }
    best
}

/// `sep=;` as a first line, the way spreadsheets of decimal-comma countries are told what splits a file.
fn sep_line(text: &str) -> Option<Split> {
    let bytes = text.as_bytes();
    let (key, rest) = bytes.split_at_checked(4)?;
    let (&delimiter, rest) = rest.split_first()?;
    let line_end = match rest {
        [] => 0,
        [b'\r', b'\n', ..] => 2,
        [b'\r' | b'\n', ..] => 1,
        _ => return None,
    };
    (key.eq_ignore_ascii_case(b"sep=") && splits(delimiter)).then_some(Split {
        delimiter,
        seen: DelimiterSeen::SepLine,
        start: 5 + line_end,
    })
}

/// The width most rows share, among those that split at all.
fn agreement(widths: &[u16]) -> Option<DelimiterSeen> {
    let rows_of = |columns: u16| widths.iter().filter(|width| **width == columns).count() as u16;
    let columns =
        widths.iter().copied().filter(|width| *width > 1).max_by_key(|width| (rows_of(*width), *width))?;
    Some(DelimiterSeen::Rows { agreeing: rows_of(columns), of: widths.len() as u16, columns })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn delimiter(text: &str) -> char {
        char::from(split_of(text, false).delimiter)
    }

    #[test]
    fn the_character_that_splits_the_rows_alike_wins() {
        assert_eq!(delimiter("style,drop\nA,8\nB,4\n"), ',');
        assert_eq!(delimiter("style;drop\nA;8\nB;4\n"), ';');
        assert_eq!(delimiter("style\tdrop\nA\t8\n"), '\t');
        assert_eq!(delimiter("style|drop\nA|8\n"), '|');
    }

    #[test]
    fn decimal_commas_do_not_make_a_semicolon_sheet_a_comma_sheet() {
        assert_eq!(delimiter("style;drop;mass\nA;9,5;280,5\nB;8,0;275,0\nC;4,5;210,5\n"), ';');
    }

    #[test]
    fn delimiters_inside_quotes_do_not_count() {
        assert_eq!(delimiter("a,b\n\"x;y;z\",1\n\"p;q;r\",2\n"), ',');
    }

    #[test]
    fn a_title_row_and_ragged_rows_leave_the_decision_alone() {
        let split = split_of("Autumn, early\na;b;c\n1;2;3\n4;5\n6;7;8\n", false);
        assert_eq!(split.delimiter, b';');
        assert_eq!(split.seen, DelimiterSeen::Rows { agreeing: 3, of: 5, columns: 3 });
    }

    #[test]
    fn on_a_draw_more_columns_win_and_then_the_ending() {
        assert_eq!(delimiter("a,b;c,d\n1,2;3,4\n"), ',');
        assert_eq!(split_of("a,b\tc\n1,2\t3\n", true).delimiter, b'\t');
        assert_eq!(split_of("a,b\tc\n1,2\t3\n", false).delimiter, b',');
    }

    #[test]
    fn a_sep_line_wins_whatever_its_line_end() {
        for (text, start) in [("sep=;\na,b\n", 6), ("SEP=;\r\na,b", 7), ("sep=;\ra,b", 6), ("sep=;", 5)] {
            let split = split_of(text, false);
            assert_eq!(split, Split { delimiter: b';', seen: DelimiterSeen::SepLine, start });
        }
    }

    #[test]
    fn a_heading_that_only_looks_like_a_sep_line_is_a_row() {
        for text in ["sep=;x\n", "sep=\"\n", "sep=a\n", "sep=é\n", "se", "sep="] {
            assert_eq!(split_of(text, false).start, 0, "{text:?}");
        }
    }

    #[test]
    fn the_owners_delimiter_wins_and_a_sep_line_is_still_no_row() {
        let split = split_at("sep=;\na|b\n", b'|');
        assert_eq!(split, Split { delimiter: b'|', seen: DelimiterSeen::Said, start: 6 });
        assert_eq!(split_at("a|b\n", b'|').start, 0);
    }

    #[test]
    fn one_column_is_said_so() {
        assert_eq!(split_of("style\nA\nB\n", false).seen, DelimiterSeen::OneColumn);
        assert_eq!(split_of("", false).seen, DelimiterSeen::OneColumn);
    }

    #[test]
    fn the_owner_is_shown_what_was_decided_and_why() {
        let dialect = Dialect {
            encoding: "windows-1252",
            encoding_seen: EncodingSeen::Guessed,
            delimiter: ';',
            delimiter_seen: DelimiterSeen::Rows { agreeing: 11, of: 12, columns: 7 },
        };
        assert_eq!(
            dialect.to_string(),
            "windows-1252 (guessed from the letters; check the accents); \
             columns split at semicolons (11 of the first 12 rows have 7 columns)"
        );
    }
}
