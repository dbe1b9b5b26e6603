//! What the columns of a size chart are: a foot length with its unit, labels of a system, for whom.

use catalogue::size::SizeSystem;
use catalogue::style::Audience;

use crate::heading::{folded, system_of};
use crate::sheet::Row;

/// One column that was understood, by its place from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum ChartColumn {
    /// Foot length; how many tenths of mm one of its units is.
    Foot(i32),
    /// Labels of a system, for somebody if the heading says so.
    Labels(SizeSystem, Option<Audience>),
    /// For whom a row is.
    Audience,
}

/// Words for a foot's length, folded, in the six languages of the columns.
const FOOT: [&str; 12] = [
    "foot",
    "footlength",
    "length",
    "fuss",
    "fusslange",
    "fusslaenge",
    "pied",
    "longueur",
    "voet",
    "voetlengte",
    "pie",
    "piede",
];
/// Words for whom, as headings of a column.
const FOR_WHOM: [&str; 9] =
    ["audience", "gender", "sex", "geschlecht", "genre", "sexe", "geslacht", "genero", "genere"];

/// The columns of a row of headings; `None` unless it names a foot length and a system beside it.
pub(super) fn columns(row: &Row) -> Option<Vec<(u16, ChartColumn)>> {
    let known: Vec<(u16, ChartColumn)> =
        (0..).zip(row.cells.iter()).filter_map(|(at, cell)| Some((at, column(cell)?))).collect();
    let has = |test: fn(&ChartColumn) -> bool| known.iter().any(|(_, column)| test(column));
    let foot = has(|column| matches!(column, ChartColumn::Foot(_)));
    let labels = has(|column| matches!(column, ChartColumn::Labels(..)));
    (foot && labels).then_some(known)
}

/// `Foot length (cm)`, `EU`, `US women`, `Damen UK`, `mm`.
fn column(heading: &str) -> Option<ChartColumn> {
    let words: Vec<&str> =
        heading.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let folds: Vec<String> = words.iter().map(|word| folded(word)).collect();
    let unit = folds.iter().find_map(|word| unit(word));
    let is_foot = folds.iter().any(|word| FOOT.contains(&word.as_str()));
    if is_foot || (unit.is_some() && folds.len() == 1) {
        return Some(ChartColumn::Foot(unit.unwrap_or(10)));
    }
    if folds.len() == 1 && FOR_WHOM.contains(&folds[0].as_str()) {
        return Some(ChartColumn::Audience);
    }
    let system = words.iter().find_map(|word| system_of(word))?;
    Some(ChartColumn::Labels(system, folds.iter().find_map(|word| for_whom(word))))
}

/// Tenths of mm in a unit; a length without one is in mm, and a chart in cm is caught by its feet.
fn unit(word: &str) -> Option<i32> {
    match word {
        "mm" | "mondopoint" | "mp" => Some(10),
        "cm" => Some(100),
        _ => None,
    }
}

/// For whom, as a word of a heading or a cell.
pub(super) fn for_whom(word: &str) -> Option<Audience> {
    Some(match folded(word).as_str() {
        "m" | "men" | "mens" | "man" | "herren" | "hommes" | "homme" | "heren" | "hombre" | "uomo" => {
            Audience::Men
        }
        "w" | "women" | "womens" | "woman" | "damen" | "femmes" | "femme" | "dames" | "mujer" | "donna" => {
            Audience::Women
        }
        "u" | "unisex" => Audience::Unisex,
        "k" | "kids" | "youth" | "junior" | "kinder" | "enfants" | "kinderen" | "nino" | "bambino" => {
            Audience::Youth
        }
        _ => return None,
    })
}
