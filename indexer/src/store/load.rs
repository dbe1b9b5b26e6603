//! Everything at one sequence, as the domain's own types.

use catalogue::key::{SkuKey, StyleKey};
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::stock::{Gtin, Price, Quantity, Sku};
use catalogue::style::{
    Audience, Bending, BendingWord, Compression, Purpose, Purposes, Specification, Style, Surface, Surfaces,
};
use catalogue::units::{Grams, Mm, NewtonsPerMm};
use rusqlite::{Connection, Row};

use super::force::InForce;
use super::settings::{policy, size_charts, synonyms};
use super::tables::column_list;
use super::{Store, seq};
use crate::error::StoreError;
use crate::loaded::Loaded;
use crate::proposal::Entity;

impl Store {
    /// The whole catalogue in one read transaction.
    pub fn load(&self) -> Result<Loaded, StoreError> {
        let read = self.connection.unchecked_transaction()?;
        let mut prices = Vec::new();
        let styles = styles(&read, &mut prices)?;
        let mut skus = skus(&read, &prices)?;
        skus.sort_by(|a, b| order(a).cmp(&order(b)));
        Ok(Loaded {
            seq: seq(&read)?,
            styles,
            skus,
            policy: policy(&read)?,
            charts: size_charts(&read)?,
            synonyms: synonyms(&read)?,
            stock_told: InForce::of(&read)?.stock_told(&read)?,
        })
    }
}

/// By style, then colourway, system, size and width.
fn order(sku: &Sku) -> (&StyleKey, &str, Option<SizeSystem>, u16, Option<&str>, &SkuKey) {
    (&sku.style, &sku.colourway, sku.label.system(), sku.label.twelfths(), sku.width.as_deref(), &sku.key)
}

fn styles(connection: &Connection, prices: &mut Vec<Option<Price>>) -> Result<Vec<Style>, StoreError> {
    let sql = format!("SELECT key, {} FROM style ORDER BY key", column_list(Entity::Style));
    let mut statement = connection.prepare_cached(&sql)?;
    let mut rows = statement.query([])?;
    let mut styles = Vec::new();
    while let Some(row) = rows.next()? {
        let read = Read { row, entity: Entity::Style };
        prices.push(read.int("price")?.map(|minor| Price(minor as u32)));
        styles.push(read.style()?);
    }
    // SQLite orders by bytes, and so do keys; sorted once more so that nothing depends on a collation.
    debug_assert!(styles.is_sorted_by(|a: &Style, b| a.key < b.key));
    Ok(styles)
}

fn skus(connection: &Connection, prices: &[Option<Price>]) -> Result<Vec<Sku>, StoreError> {
    let sql = format!("SELECT key, {}, style FROM sku ORDER BY style", column_list(Entity::Sku));
    let mut statement = connection.prepare_cached(&sql)?;
    let mut rows = statement.query([])?;
    let mut keys = connection.prepare_cached("SELECT key FROM style ORDER BY key")?;
    let keys = keys.query_map([], |row| row.get::<_, String>(0))?.collect::<Result<Vec<_>, _>>()?;
    let mut skus = Vec::new();
    while let Some(row) = rows.next()? {
        let style: String = row.get(Entity::Sku.columns().len() + 1)?;
        let price = keys.binary_search(&style).ok().and_then(|at| prices.get(at).copied().flatten());
        skus.push(Read { row, entity: Entity::Sku }.sku(&style, price)?);
    }
    Ok(skus)
}

pub(super) fn style_key(key: &str) -> Result<StyleKey, StoreError> {
    StyleKey::parse(key).ok_or_else(|| StoreError::Damaged { entity: "style", key: key.to_owned() })
}

/// One row, read column by column.
pub(super) struct Read<'r, 's> {
    pub(super) row: &'r Row<'s>,
    pub(super) entity: Entity,
}

impl Read<'_, '_> {
    fn int(&self, column: &str) -> Result<Option<i64>, StoreError> {
        let at = self.entity.position(column).map(|at| at + 1);
        at.map_or(Ok(None), |at| Ok(self.row.get(at)?))
    }

    fn text(&self, column: &str) -> Result<Option<String>, StoreError> {
        let at = self.entity.position(column).map(|at| at + 1);
        at.map_or(Ok(None), |at| Ok(self.row.get(at)?))
    }

    fn yes(&self, column: &str) -> Result<Option<bool>, StoreError> {
        Ok(self.int(column)?.map(|value| value != 0))
    }

    fn mm(&self, column: &str) -> Result<Option<Mm>, StoreError> {
        Ok(self.int(column)?.and_then(|tenths| Mm::from_tenths(tenths as i32)))
    }

    fn style(&self) -> Result<Style, StoreError> {
        let words = |text: Option<String>| text.unwrap_or_default();
        let (surfaces, purposes) = (words(self.text("surface")?), words(self.text("purpose")?));
        Ok(Style {
            key: style_key(&self.row.get::<_, String>(0)?)?,
            maker: words(self.text("maker")?),
            number: self.text("style_number")?,
            name: words(self.text("name")?),
            audience: self.text("audience")?.and_then(|word| Audience::from_word(&word)),
            surfaces: Surfaces::of(&surfaces.split(',').filter_map(Surface::from_word).collect::<Vec<_>>()),
            purposes: Purposes::of(&purposes.split(',').filter_map(Purpose::from_word).collect::<Vec<_>>()),
            specification: self.specification()?,
            notes: self.text("notes")?,
            shop_note: self.text("shop_note")?,
            season: self.text("season")?,
            replaces: self.text("replaces")?.and_then(|key| StyleKey::parse(&key)),
            retired: self.text("status")?.as_deref() == Some("retired"),
        })
    }

    fn specification(&self) -> Result<Specification, StoreError> {
        Ok(Specification {
            heel_stack: self.mm("heel_stack")?,
            forefoot_stack: self.mm("forefoot_stack")?,
            drop_stated: self.mm("drop")?,
            mass: self.int("mass")?.and_then(|tenths| Grams::from_tenths(tenths as i32)),
            mass_size: self.text("mass_size")?.and_then(|label| size_with_system(&label)),
            bending: self.bending()?,
            compression: self.compression()?,
            torsion: self.text("torsion")?,
            devices: self.int("devices")?.map(|count| count as u8),
            rocker: self.yes("rocker")?,
            plate: self.yes("plate")?,
            liner_removable: self.yes("liner_removable")?,
            liner_included: self.yes("liner_included")?,
        })
    }

    fn bending(&self) -> Result<Option<Bending>, StoreError> {
        let said = self.text("bending")?.and_then(|text| bending(&text));
        let unsaid = || self.text("stiffness").map(|text| text.map(Bending::KindUnknown));
        said.map_or_else(unsaid, |bending| Ok(Some(bending)))
    }

    fn compression(&self) -> Result<Option<Compression>, StoreError> {
        let stiffness = self.int("compression")?.and_then(|tenths| NewtonsPerMm::from_tenths(tenths as i32));
        let method = self.text("compression_method")?.unwrap_or_default();
        Ok(stiffness.map(|stiffness| Compression { stiffness, method }))
    }

    pub(super) fn sku(&self, style: &str, price_of_style: Option<Price>) -> Result<Sku, StoreError> {
        let style = style_key(style)?;
        let key: String = self.row.get(0)?;
        let system = self.text("size_system")?.and_then(|word| SizeSystem::from_word(&word));
        let label = self.text("size")?.and_then(|printed| SizeLabel::parse(system, &printed));
        let label = label.ok_or_else(|| StoreError::Damaged { entity: "sku", key: key.clone() })?;
        let (colourway, width) = (self.text("colourway")?.unwrap_or_default(), self.text("width")?);
        Ok(Sku {
            key: SkuKey::of(&style, &colourway, &label, width.as_deref().unwrap_or_default()),
            style,
            colourway,
            label,
            width,
            gtin: self.int("gtin")?.and_then(|value| Gtin::parse(&format!("{value:014}")).ok()),
            quantity: self.text("quantity")?.and_then(|text| quantity(&text)),
            price: self.int("price")?.map(|minor| Price(minor as u32)).or(price_of_style),
            place: self.text("place")?,
        })
    }
}

fn size_with_system(text: &str) -> Option<SizeLabel> {
    let (system, printed) = text.split_once(' ')?;
    SizeLabel::parse(Some(SizeSystem::from_word(system)?), printed)
}

fn bending(text: &str) -> Option<Bending> {
    match text.split_once(':')? {
        ("word", word) => BendingWord::from_word(word).map(Bending::Word),
        ("value", value) => Some(Bending::Value(value.to_owned())),
        _ => None,
    }
}

fn quantity(text: &str) -> Option<Quantity> {
    match text.strip_suffix('+') {
        _ if text == "x" => Some(Quantity::Some),
        Some(digits) => digits.parse().ok().map(Quantity::AtLeast),
        None => text.parse().ok().map(Quantity::Pairs),
    }
}
