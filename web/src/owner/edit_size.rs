//! The form for one size of a shoe: pairs, price, place and the number on the box, said by hand.

use catalogue::stock::Sku;
use catalogue::style::Style;
use indexer::columns::Column;
use indexer::draft::Value;
use indexer::proposal::Entity;
use indexer::store::{Correction, Values};

use super::edit_read::{heard, problem, reason};
use super::shoe_origins::name;
use super::values::{or_not_given, typed};
use crate::pages::edit_size::{EditSizePage, SizeField};
use crate::parts::fields::choices_of;
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::visit::{capital, shoe};

/// The columns of the form; the label, its system, the width and the colourway are the key and stay.
pub const COLUMNS: [&str; 4] = ["quantity", "price", "place", GTIN];

const GTIN: &str = "gtin";

fn columns() -> impl Iterator<Item = &'static Column> {
    COLUMNS.iter().filter_map(|key| Column::find(key))
}

/// What the form is drawn from.
pub struct OneSize<'s> {
    /// The shoe.
    pub style: &'s Style,
    /// The size.
    pub sku: &'s Sku,
    /// Its values in the store.
    pub values: &'s Values,
    /// The change at which they were looked at.
    pub seq: i64,
    /// A number that a scan has brought along, to be kept as its own.
    pub scanned: Option<String>,
}

impl OneSize<'_> {
    /// The form, with what was typed into it, if anything was.
    pub fn form(&self, typed: Option<&Answers>, problems: Vec<Problem>, overtaken: bool) -> EditSizePage {
        let answers = |field: &str| typed.map_or("", |typed| typed.get(field)).to_owned();
        let width = self.sku.width.as_ref().map_or_else(String::new, |width| format!(", {width}"));
        let colourway =
            if self.sku.colourway.is_empty() { String::new() } else { format!(", {}", self.sku.colourway) };
        EditSizePage {
            shoe: shoe::name(self.style),
            size: format!("{}{width}{colourway}", self.sku.label),
            href: shoe::href(self.style),
            action: address(self.style, self.sku),
            at: self.seq,
            overtaken,
            problems,
            fields: columns().map(|column| self.field(column, typed)).collect(),
            reasons: choices_of(super::edit::REASONS),
            reason: answers("reason"),
            reason_words: answers("reason_words"),
        }
    }

    fn value(&self, column: &Column) -> Option<&Value> {
        self.values.iter().find(|(held, _)| held.key == column.key)?.1.as_ref()
    }

    fn field(&self, column: &'static Column, said: Option<&Answers>) -> SizeField {
        let stands = self.value(column);
        SizeField {
            name: column.key,
            label: if column.key == GTIN { "GTIN".to_owned() } else { capital(name(column.key)) },
            value: match said {
                Some(said) => said.get(column.key).to_owned(),
                None => match &self.scanned {
                    Some(gtin) if column.key == GTIN => gtin.clone(),
                    _ => stands.map_or_else(String::new, |value| typed(column, value)),
                },
            },
            now: or_not_given(column.key, stands),
            hint: match column.key {
                "quantity" => {
                    say!(
                        "10+ for at least ten, x for some, blank: nobody knows. The next stock sheet or count may change it."
                    )
                }
                "price" => say!("Blank: the price of the shoe holds."),
                GTIN => say!("All digits, leading zeros too."),
                _ => "",
            },
        }
    }

    /// What the form says, one correction a cell that is another now; or everything that is wrong with it.
    pub fn read(&self, answers: &Answers) -> Result<Vec<Correction>, Vec<Problem>> {
        let (mut cells, mut problems) = (Vec::new(), Vec::new());
        let text = reason(answers).map_err(|wrong| problems.push(wrong)).unwrap_or_default();
        for column in columns() {
            let said = answers.get(column.key).trim();
            let stands = self.value(column);
            if said == stands.map_or_else(String::new, |value| typed(column, value)) {
                continue;
            }
            match heard(column, said) {
                Ok(value) if value.as_ref() == stands => {}
                Ok(value) => cells.push(Correction {
                    entity: Entity::Sku,
                    key: self.sku.key().to_string(),
                    column,
                    value,
                    text: text.clone(),
                }),
                Err(say) => problems.push(problem(column.key, say)),
            }
        }
        if cells.is_empty() && problems.iter().all(|problem| problem.field.starts_with("reason")) {
            let say = say!("Nothing differs from what stands here. Change a value, then send the form.");
            return Err(vec![problem("", say.to_owned())]);
        }
        if problems.is_empty() { Ok(cells) } else { Err(problems) }
    }
}

/// The address of the form of a size; its key may hold anything a sheet holds.
pub fn address(style: &Style, sku: &Sku) -> String {
    let key: String = form_urlencoded::byte_serialize(sku.key().as_str().as_bytes()).collect();
    format!("/shoes/{}/size?sku={key}", style.key)
}
