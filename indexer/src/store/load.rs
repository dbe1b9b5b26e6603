//! Everything at one sequence, as the domain's own types.

use catalogue::key::StyleKey;
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::stock::{Gtin, Price, Quantity, Sku};
use catalogue::style::{
    Audience, Bending, BendingWord, Compression, Purpose, Purposes, Specification, Style, Surface, Surfaces,
};
use catalogue::text::Text;
use catalogue::units::{Grams, Mm, NewtonsPerMm};
use rusqlite::{Connection, Row};

use super::force::InForce;
use super::settings::{policy, size_charts, synonyms};
use super::tables::column_list;
use super::{Store, seq};
use crate::error::StoreError;
use crate::loaded::{Loaded, Texts};
use crate::proposal::Entity;

impl Store {
    /// The whole catalogue in one read transaction.
    pub fn load(&self) -> Result<Loaded, StoreError> {
        let read = self.connection.unchecked_transaction()?;
        let (mut prices, mut texts) = (Vec::new(), Texts::default());
        let styles = styles(&read, &mut prices, &mut texts)?;
        let mut skus = skus(&read, &styles, &prices, &mut texts)?;
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
fn order(sku: &Sku) -> (&StyleKey, &str, Option<SizeSystem>, u16, Option<&str>) {
    (&sku.style, &sku.colourway, sku.label.system(), sku.label.twelfths(), sku.width.as_deref())
}

fn styles(
    connection: &Connection,
    prices: &mut Vec<Option<Price>>,
    texts: &mut Texts,
) -> Result<Vec<Style>, StoreError> {
    let sql = format!("SELECT key, {} FROM style ORDER BY key", column_list(Entity::Style));
    let mut statement = connection.prepare_cached(&sql)?;
    let mut rows = statement.query([])?;
    let mut styles = Vec::new();
    while let Some(row) = rows.next()? {
        let read = Read { row, entity: Entity::Style };
        prices.push(read.int("price")?.map(|minor| Price(minor as u32)));
        styles.push(read.style(texts)?);
    }
    // SQLite orders by bytes, and so do keys; sorted once more so that nothing depends on a collation.
    debug_assert!(styles.is_sorted_by(|a: &Style, b| a.key < b.key));
    Ok(styles)
}

/// The SKUs of these styles, with the price of its style where a SKU has none of its own.
fn skus(
    connection: &Connection,
    styles: &[Style],
    prices: &[Option<Price>],
    texts: &mut Texts,
) -> Result<Vec<Sku>, StoreError> {
    let sql = format!("SELECT key, {}, style FROM sku ORDER BY style", column_list(Entity::Sku));
    let mut statement = connection.prepare_cached(&sql)?;
    let mut rows = statement.query([])?;
    let mut skus = Vec::new();
    while let Some(row) = rows.next()? {
        let style = text_at(row, Entity::Sku.columns().len() + 1)?.unwrap_or_default();
        let known = styles.binary_search_by(|known| known.key.as_str().cmp(style)).ok();
        let price = known.and_then(|at| prices.get(at).copied().flatten());
        let style = known.map_or_else(|| style_key(style), |at| Ok(styles[at].key.clone()))?;
        skus.push(Read { row, entity: Entity::Sku }.sku(style, price, texts)?);
    }
    skus.shrink_to_fit();
    Ok(skus)
}

pub(super) fn style_key(key: &str) -> Result<StyleKey, StoreError> {
    StyleKey::parse(key).ok_or_else(|| StoreError::Damaged { entity: "style", key: key.to_owned() })
}

/// The text of a column, where it holds one.
pub(super) fn text_at<'r>(row: &'r Row<'_>, at: usize) -> Result<Option<&'r str>, StoreError> {
    Ok(row.get_ref(at)?.as_str_or_null().map_err(rusqlite::Error::from)?)
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

    /// A text that others hold too.
    fn text(&self, column: &str, texts: &mut Texts) -> Result<Option<Text>, StoreError> {
        Ok(self.said(column)?.map(|text| texts.text(text)))
    }

    fn said(&self, column: &str) -> Result<Option<&str>, StoreError> {
        let at = self.entity.position(column).map(|at| at + 1);
        at.map_or(Ok(None), |at| text_at(self.row, at))
    }

    fn yes(&self, column: &str) -> Result<Option<bool>, StoreError> {
        Ok(self.int(column)?.map(|value| value != 0))
    }

    fn mm(&self, column: &str) -> Result<Option<Mm>, StoreError> {
        Ok(self.int(column)?.and_then(|tenths| Mm::from_tenths(tenths as i32)))
    }

    fn style(&self, texts: &mut Texts) -> Result<Style, StoreError> {
        let words = |column| self.said(column).map(Option::unwrap_or_default);
        let (surfaces, purposes) = (words("surface")?, words("purpose")?);
        Ok(Style {
            key: style_key(&self.row.get::<_, String>(0)?)?,
            maker: texts.text(words("maker")?),
            number: self.said("style_number")?.map(Into::into),
            name: texts.text(words("name")?),
            audience: self.said("audience")?.and_then(Audience::from_word),
            surfaces: Surfaces::of(&surfaces.split(',').filter_map(Surface::from_word).collect::<Vec<_>>()),
            purposes: Purposes::of(&purposes.split(',').filter_map(Purpose::from_word).collect::<Vec<_>>()),
            specification: self.specification(texts)?,
            notes: self.said("notes")?.map(Into::into),
            shop_note: self.text("shop_note", texts)?,
            season: self.text("season", texts)?,
            replaces: self.said("replaces")?.and_then(StyleKey::parse),
            retired: self.said("status")? == Some("retired"),
        })
    }

    fn specification(&self, texts: &mut Texts) -> Result<Specification, StoreError> {
        Ok(Specification {
            heel_stack: self.mm("heel_stack")?,
            forefoot_stack: self.mm("forefoot_stack")?,
            drop_stated: self.mm("drop")?,
            mass: self.int("mass")?.and_then(|tenths| Grams::from_tenths(tenths as i32)),
            mass_size: self.said("mass_size")?.and_then(size_with_system).map(|label| texts.label(label)),
            bending: self.bending(texts)?,
            compression: self.compression(texts)?,
            torsion: self.text("torsion", texts)?,
            devices: self.int("devices")?.map(|count| count as u8),
            rocker: self.yes("rocker")?,
            plate: self.yes("plate")?,
            liner_removable: self.yes("liner_removable")?,
            liner_included: self.yes("liner_included")?,
        })
    }

    fn bending(&self, texts: &mut Texts) -> Result<Option<Bending>, StoreError> {
        match self.said("bending")?.and_then(|text| bending(text, texts)) {
            None => Ok(self.text("stiffness", texts)?.map(Bending::KindUnknown)),
            said => Ok(said),
        }
    }

    fn compression(&self, texts: &mut Texts) -> Result<Option<Compression>, StoreError> {
        let stiffness = self.int("compression")?.and_then(|tenths| NewtonsPerMm::from_tenths(tenths as i32));
        let method = self.said("compression_method")?.unwrap_or_default();
        Ok(stiffness.map(|stiffness| Compression { stiffness, method: texts.text(method) }))
    }

    pub(super) fn sku(
        &self,
        style: StyleKey,
        price_of_style: Option<Price>,
        texts: &mut Texts,
    ) -> Result<Sku, StoreError> {
        let system = self.said("size_system")?.and_then(SizeSystem::from_word);
        let label = self.said("size")?.and_then(|printed| SizeLabel::parse(system, printed));
        let Some(label) = label else {
            return Err(StoreError::Damaged { entity: "sku", key: self.row.get(0)? });
        };
        Ok(Sku {
            style,
            colourway: texts.text(self.said("colourway")?.unwrap_or_default()),
            label: texts.label(label),
            width: self.text("width", texts)?,
            gtin: self.int("gtin")?.and_then(|value| Gtin::parse(&format!("{value:014}")).ok()),
            quantity: self.said("quantity")?.and_then(quantity),
            price: self.int("price")?.map(|minor| Price(minor as u32)).or(price_of_style),
            place: self.text("place", texts)?,
        })
    }
}

fn size_with_system(text: &str) -> Option<SizeLabel> {
    let (system, printed) = text.split_once(' ')?;
    SizeLabel::parse(Some(SizeSystem::from_word(system)?), printed)
}

fn bending(text: &str, texts: &mut Texts) -> Option<Bending> {
    match text.split_once(':')? {
        ("word", word) => BendingWord::from_word(word).map(Bending::Word),
        ("value", value) => Some(Bending::Value(texts.text(value))),
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
