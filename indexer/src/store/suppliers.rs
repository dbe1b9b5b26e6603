//! Who brought each style first.

use super::Store;
use super::load::style_key;
use crate::error::StoreError;
use crate::gaps::Suppliers;

impl Store {
    /// The supplier of every style.
    pub fn suppliers(&self) -> Result<Suppliers, StoreError> {
        let mut styles = self.connection.prepare_cached("SELECT key, supplier FROM style ORDER BY key")?;
        let rows = styles.query_map([], |row| Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?)))?;
        let mut suppliers = Suppliers::new();
        for row in rows {
            let (key, supplier) = row?;
            suppliers.insert(style_key(&key)?, supplier);
        }
        Ok(suppliers)
    }
}
