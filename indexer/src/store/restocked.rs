//! What has changed since a snapshot was taken, where that is pairs and places of sizes alone.

use std::collections::BTreeSet;

use rusqlite::{Connection, OptionalExtension};

use super::force::InForce;
use super::load::{Read, style_key};
use super::tables::column_list;
use super::{Store, seq};
use crate::columns::{PLACE, QUANTITY};
use crate::error::StoreError;
use crate::loaded::{Seq, Texts};
use crate::proposal::Entity;
use crate::snapshot::restocked::Restocked;
use catalogue::stock::{Price, Sku};

/// Beyond so many sizes the catalogue is loaded as a whole.
const MOST_SIZES: usize = 5_000;

impl Store {
    /// The sizes that were changed since `since`; `None` where anything else was, or very many were.
    pub(crate) fn restocked(&self, since: Seq) -> Result<Option<Restocked>, StoreError> {
        let read = self.connection.unchecked_transaction()?;
        let Some(keys) = changed(&read, since)? else { return Ok(None) };
        let mut texts = Texts::default();
        let skus: Result<Option<Vec<Sku>>, StoreError> =
            keys.iter().map(|key| sku(&read, key, &mut texts)).collect();
        let Some(skus) = skus? else { return Ok(None) };
        let stock_told = InForce::of(&read)?.stock_told(&read)?;
        Ok(Some(Restocked { seq: seq(&read)?, stock_told, skus }))
    }
}

/// The keys of the sizes that were changed, newest change first.
fn changed(connection: &Connection, since: Seq) -> Result<Option<BTreeSet<String>>, StoreError> {
    let sql = "SELECT change, entity, key, \"column\" FROM cell_change ORDER BY id DESC";
    let mut statement = connection.prepare_cached(sql)?;
    let mut cells = statement.query([])?;
    let mut keys = BTreeSet::new();
    while let Some(cell) = cells.next()? {
        if cell.get::<_, i64>(0)? <= since.0 {
            break;
        }
        let (entity, column): (String, String) = (cell.get(1)?, cell.get(3)?);
        let of_stock = entity == Entity::Sku.word() && [QUANTITY.key, PLACE.key].contains(&column.as_str());
        if !of_stock || keys.len() >= MOST_SIZES {
            return Ok(None);
        }
        keys.insert(cell.get(2)?);
    }
    Ok(Some(keys))
}

/// A size as it is now; `None` when it is gone.
fn sku(connection: &Connection, key: &str, texts: &mut Texts) -> Result<Option<Sku>, StoreError> {
    let columns = column_list(Entity::Sku);
    let sql = format!(
        "SELECT sku.key, {columns}, sku.style, (SELECT price FROM style WHERE style.key = sku.style)
         FROM (SELECT key, {columns}, style FROM sku WHERE key = ?1) AS sku"
    );
    let mut statement = connection.prepare_cached(&sql)?;
    let read = statement.query_row([key], |row| {
        let style: String = row.get(Entity::Sku.columns().len() + 1)?;
        let price: Option<i64> = row.get(Entity::Sku.columns().len() + 2)?;
        let price = price.map(|minor| Price(minor as u32));
        Ok(style_key(&style).and_then(|style| Read { row, entity: Entity::Sku }.sku(style, price, texts)))
    });
    read.optional()?.transpose()
}
