//! What the store keeps, thing by thing, counted where it lies: for whoever asks what is kept and since when.

use rusqlite::Connection;

use super::{Store, StoreError};

/// One thing that the store keeps, in tables of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thing {
    /// Shoes, their sizes and pairs, and which of it was said by hand.
    Catalogue,
    /// What the shop has set: the policy, size charts, synonyms.
    Settings,
    /// Every change, who signed it, and every value before and after.
    Changes,
    /// The sheets as they came.
    Originals,
    /// How a supplier's headings were read.
    Readings,
    /// What was counted in the fitting room.
    Tallies,
    /// Sums by which damage is found.
    Sums,
}

/// How much there is of a thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measured {
    /// Of what.
    pub thing: Thing,
    /// Rows of each of its tables.
    pub rows: Vec<(&'static str, u64)>,
    /// Its oldest entry, seconds since 1970; `None` where there is none.
    pub oldest: Option<i64>,
    /// Its newest.
    pub newest: Option<i64>,
}

impl Thing {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Catalogue,
        Self::Settings,
        Self::Changes,
        Self::Originals,
        Self::Readings,
        Self::Tallies,
        Self::Sums,
    ];

    /// The tables that hold it, the one that people count by first.
    pub const fn tables(self) -> &'static [&'static str] {
        match self {
            Self::Catalogue => &["style", "sku", "by_hand"],
            Self::Settings => &["setting"],
            Self::Changes => &["change", "cell_change", "beside_hand", "kept"],
            Self::Originals => &["original"],
            Self::Readings => &["mapping"],
            Self::Tallies => &["tally"],
            Self::Sums => &["seal", "digest"],
        }
    }

    /// The times of its oldest and newest entry, as one row.
    const fn times(self) -> &'static str {
        match self {
            // What stands now was written by one of the changes.
            Self::Catalogue => "SELECT min(at), max(at) FROM change WHERE EXISTS (SELECT 1 FROM style)",
            Self::Settings => {
                "SELECT min(at), max(at) FROM change WHERE id IN (SELECT change FROM cell_change
                 WHERE entity = 'setting' AND key IN (SELECT key FROM setting))"
            }
            Self::Changes | Self::Sums => "SELECT min(at), max(at) FROM change",
            Self::Originals => "SELECT min(at), max(at) FROM change WHERE original IS NOT NULL",
            Self::Readings => "SELECT min(at), max(at) FROM mapping",
            Self::Tallies => "SELECT min(day) * 86400, max(day) * 86400 FROM tally",
        }
    }
}

impl Store {
    /// How much there is of each thing.
    pub fn things(&self) -> Result<Vec<Measured>, StoreError> {
        Ok(Thing::ALL.into_iter().map(|thing| measured(&self.connection, thing)).collect::<Result<_, _>>()?)
    }
}

fn measured(connection: &Connection, thing: Thing) -> rusqlite::Result<Measured> {
    let count = |table: &&'static str| {
        let sql = format!("SELECT count(*) FROM \"{table}\"");
        connection
            .prepare_cached(&sql)?
            .query_row([], |row| row.get(0))
            .map(|rows: i64| (*table, rows.unsigned_abs()))
    };
    let rows = thing.tables().iter().map(count).collect::<Result<_, _>>()?;
    let (oldest, newest) =
        connection.prepare_cached(thing.times())?.query_row([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    Ok(Measured { thing, rows, oldest, newest })
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::super::digest::TABLES;
    use super::super::tests::filled;
    use super::*;

    #[test]
    fn every_table_of_the_store_belongs_to_one_thing() {
        let store = Store::in_memory().unwrap();
        let sql = "SELECT name FROM sqlite_schema WHERE type = 'table'";
        let mut names = store.connection.prepare(sql).unwrap();
        let there: BTreeSet<String> =
            names.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
        let mut told: Vec<&str> = Thing::ALL.iter().flat_map(|thing| thing.tables()).copied().collect();
        told.sort_unstable();
        assert!(there.iter().map(String::as_str).eq(told.iter().copied()), "{there:?} {told:?}");
        assert!(TABLES.iter().all(|table| told.contains(table)), "{told:?}");
    }

    #[test]
    fn what_is_there_is_counted_with_its_oldest_and_newest_entry() {
        let things = filled().things().unwrap();
        let of = |thing| things.iter().find(|measured| measured.thing == thing).unwrap();
        let catalogue = of(Thing::Catalogue);
        assert!(catalogue.rows.iter().take(2).all(|(_, rows)| *rows > 0), "{catalogue:?}");
        assert!(catalogue.oldest.is_some() && catalogue.oldest <= catalogue.newest);
        let tallies = of(Thing::Tallies);
        assert_eq!((tallies.rows[0].1, tallies.oldest, tallies.newest), (0, None, None));
        let mut store = filled();
        store.tally(&[(super::super::Counted::Wanted, "a.b EU 43".into())], 3 * 86_400 + 5).unwrap();
        let tallies = store.things().unwrap().into_iter().find(|m| m.thing == Thing::Tallies).unwrap();
        assert_eq!((tallies.rows[0].1, tallies.oldest), (1, Some(3 * 86_400)), "nothing finer than a day");
    }
}
