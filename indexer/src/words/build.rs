//! What of a style is indexed, and the index of it.

use catalogue::stock::Sku;
use catalogue::style::Style;
use sha2::{Digest, Sha256};
use tantivy::directory::Directory;
use tantivy::schema::{Field, IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::{Index, IndexSettings, TantivyDocument};

use super::tokens::indexed;
use crate::loaded::Loaded;

/// Counts up whenever the fields, the tokeniser or the meaning of a row changes.
pub(super) const SCHEMA: u32 = 1;
/// One thread needs no more; an index of this size is flushed once.
const MEMORY: usize = 50_000_000;

/// The field of style numbers.
pub(super) const NUMBER: &str = "number";

/// A field of the index: its name and how much a word in it counts.
pub(super) const FIELDS: [(&str, f32); 5] =
    [("name", 3.0), (NUMBER, 3.0), ("maker", 2.0), ("colourway", 1.0), ("notes", 1.0)];

/// The indexed text of every style, in the order of their rows, and the hash that names it. The texts are made one row
/// at a time, for the hash and once more for an index, which is rarely built: all of them at once would be the largest
/// thing in memory.
pub(super) struct Texts<'l> {
    loaded: &'l Loaded,
    /// SHA-256 over keys and texts in order, in hexadecimal.
    pub(super) hash: String,
}

impl<'l> Texts<'l> {
    /// The texts of what is loaded.
    pub(super) fn of(loaded: &'l Loaded) -> Self {
        let mut hash = Sha256::new();
        for (style, row) in rows(loaded) {
            for text in [style.key.as_str()].into_iter().chain(row.iter().map(String::as_str)) {
                hash.update(text);
                hash.update([0]);
            }
        }
        Self { loaded, hash: hex(&hash.finalize()) }
    }

    /// The index of these texts: one segment, the document at position n is row n.
    pub(super) fn index(&self, directory: impl Into<Box<dyn Directory>>) -> tantivy::Result<Index> {
        let schema = schema();
        let builder = Index::builder().schema(schema).settings(IndexSettings::default());
        let mut writer = builder.single_segment_index_writer::<TantivyDocument>(directory, MEMORY)?;
        for (_, row) in rows(self.loaded) {
            let mut document = TantivyDocument::new();
            for (field, text) in fields().zip(row) {
                document.add_text(field, text);
            }
            writer.add_document(document)?;
        }
        writer.finalize()
    }
}

/// The fields of [`FIELDS`], in the same order.
pub(super) fn fields() -> impl Iterator<Item = Field> {
    (0..FIELDS.len() as u32).map(Field::from_field_id)
}

/// Lower-case hexadecimal.
pub(super) fn hex(bytes: &[u8]) -> String {
    let digits = bytes.iter().flat_map(|byte| [byte >> 4, byte & 15]);
    digits.filter_map(|digit| char::from_digit(digit.into(), 16)).collect()
}

/// Words and their number; no positions (nobody asks for phrases), nothing stored (cards come from memory).
fn schema() -> Schema {
    let indexing = TextFieldIndexing::default()
        .set_tokenizer("whitespace")
        .set_index_option(IndexRecordOption::WithFreqs);
    let mut schema = Schema::builder();
    for (name, _) in FIELDS {
        schema.add_text_field(name, TextOptions::default().set_indexing_options(indexing.clone()));
    }
    schema.build()
}

/// Each style with its texts, in the order of styles.
fn rows(loaded: &Loaded) -> impl Iterator<Item = (&Style, [String; FIELDS.len()])> {
    let mut skus = loaded.skus.as_slice();
    loaded.styles.iter().map(move |style| {
        let (own, rest) = skus.split_at(skus.partition_point(|sku| sku.style <= style.key));
        skus = rest;
        (style, text_of(style, own))
    })
}

fn text_of(style: &Style, skus: &[Sku]) -> [String; FIELDS.len()] {
    let mut colourways: Vec<&str> = skus.iter().map(|sku| sku.colourway.as_str()).collect();
    colourways.sort_unstable();
    colourways.dedup();
    let notes = [style.notes.as_deref(), style.shop_note.as_deref()].map(Option::unwrap_or_default);
    [
        indexed(&style.name),
        indexed(style.number.as_deref().unwrap_or_default()),
        indexed(&style.maker),
        indexed(&colourways.join(" ")),
        indexed(&notes.join(" ")),
    ]
}
