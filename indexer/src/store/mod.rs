//! The truth: SQLite with an append-only ledger. The only folder that names rusqlite.

mod apply;
mod backup;
mod change;
mod correct;
mod count;
#[cfg(test)]
mod count_tests;
mod digest;
mod fault;
mod folder;
mod force;
#[cfg(test)]
mod hand_tests;
mod history;
mod last;
mod ledger;
mod lines;
mod load;
mod migrate;
#[cfg(test)]
mod model_tests;
mod origins;
mod restocked;
mod settings;
mod share;
mod sheet_word;
mod staff;
mod suppliers;
mod tables;
mod tally;
#[cfg(test)]
mod tests;
mod things;
mod to_look_at;
mod undo;
#[cfg(test)]
mod undo_tests;
mod verify;
#[cfg(test)]
mod verify_tests;

use catalogue::key::SkuKey;
use catalogue::style::Audience;
use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OptionalExtension};
use std::collections::BTreeMap;

pub use apply::Import;
pub use backup::{Held, NotGood};
pub(crate) use backup::{close_for_good, examine, faults_of, faults_of_catalogue, vacuum_into};
pub use change::{ChangeId, Signed};
pub use correct::{Correction, Corrections, Values};
pub use count::Receipt;
pub use fault::StoreError;
pub use folder::{DataDir, Holder};
pub use history::RecordedChange;
pub(crate) use last::forget;
pub use lines::{LedgerLine, ReadAt};
pub use origins::Origin;
pub use settings::{POLICY, Settings, chart_key};
pub use sheet_word::SheetWord;
pub use staff::{Account, Role, StaffBook};
pub use tally::{Counted, TallyLine};
pub use things::{Measured, Thing};
pub use undo::{Kept, Undoing, Undone};

use crate::draft::Drafts;
use crate::error::OpenError;
use crate::export;
use crate::keeping::Why;
use crate::loaded::Seq;
use crate::mapping::{MappingFile, SheetKind};
use crate::proposal::{ByHand, Proposal, Standing};
use crate::reading::{Known, name_of};
use crate::shop::Remembered;
use change::Closed;
use digest::Watch;
use last::{Last, Noted};
use migrate::{VERSION, migrate, version};
use tables::{Tables, entity_of};

/// Earlier releases could damage the write-ahead log when two connections wrote at once.
const OLDEST_SQLITE: i32 = 3_051_003;

/// The store.
pub struct Store {
    connection: Connection,
    /// Why no further write is begun, if so.
    closed: Option<Closed>,
    watch: Watch,
    /// Where the last change is noted; `None` in memory.
    last: Option<Last>,
}

impl Store {
    /// Opens the store in a folder, making it when it is not there. One of an older program is copied among the backups
    /// and brought up to this one; one of a newer program is left alone; one that is damaged is not opened.
    ///
    /// In a folder that cannot be written to it is only looked at.
    pub fn open(data: &DataDir) -> Result<Self, OpenError> {
        data.make()?;
        data.is_no_share()?;
        let opened = if data.is_read_only() { Self::open_to_look(data) } else { Self::open_as_found(data) };
        opened.map_err(|fault| if fault.is_damage() { damaged(data, &fault) } else { fault })
    }

    fn open_as_found(data: &DataDir) -> Result<Self, OpenError> {
        let file = data.store();
        let kept = last::read(&file);
        // Before SQLite opens it: even looking at a file may write beside it.
        not_newer(backup::version_written(&file))?;
        is_still_there(data)?;
        data.keep_log().map_err(|_| StoreError::DiskFailed)?;
        let connection = Connection::open(&file).map_err(|fault| unopened(data, fault))?;
        may_be_read(&connection)?;
        let found = version(&connection)?;
        if found == 0 && has_tables(&connection)? {
            return Err(StoreError::Decayed(vec!["the version of its tables is gone".to_owned()]).into());
        }
        if let Some(lost) = missing(kept.as_ref(), &connection, &file)? {
            return Err(StoreError::Decayed(vec![lost]).into());
        }
        set_up(&connection).map_err(|fault| unopened(data, fault))?;
        if found > 0 && found < VERSION {
            before_upgrade(data, &connection)?;
        }
        let store = Self { last: Some(Last::beside(&file)), ..Self::over(connection)? };
        let faults = if found < VERSION { store.faults()? } else { store.faults_shown() };
        if !faults.is_empty() {
            return Err(StoreError::Decayed(faults).into());
        }
        leave_alone(&store.connection, false).map_err(StoreError::from)?;
        Ok(store)
    }

    /// An empty store in memory.
    pub fn in_memory() -> Result<Self, OpenError> {
        let connection = Connection::open_in_memory().map_err(StoreError::from)?;
        set_up(&connection).map_err(StoreError::from)?;
        Self::over(connection)
    }

    fn over(mut connection: Connection) -> Result<Self, OpenError> {
        if rusqlite::version_number() < OLDEST_SQLITE {
            return Err(OpenError::OldSqlite(rusqlite::version()));
        }
        migrate(&mut connection)?;
        connection.set_prepared_statement_cache_capacity(128);
        let watch = Watch::over(&connection).map_err(StoreError::from)?;
        Ok(Self { connection, watch, closed: None, last: None })
    }

    /// The number of the last change.
    pub fn seq(&self) -> Result<Seq, StoreError> {
        Ok(seq(&self.connection)?)
    }

    /// What reading a sheet needs to know of the catalogue.
    pub fn known(&self) -> Result<Known, StoreError> {
        known(&self.connection)
    }

    /// What the rows of a sheet would change. The file's bytes are not looked at; they are kept when it is applied.
    pub fn propose(&self, drafts: &Drafts) -> Result<Proposal, StoreError> {
        propose(&self.connection, drafts)
    }

    /// The mapping remembered for a supplier's headings.
    pub fn remembered(&self, supplier: &str, fingerprint: &str) -> Result<Option<MappingFile>, StoreError> {
        let toml: Option<String> = self
            .connection
            .prepare_cached("SELECT toml FROM mapping WHERE supplier = ?1 AND fingerprint = ?2")?
            .query_row([supplier, fingerprint], |row| row.get(0))
            .optional()?;
        Ok(toml.map(|toml| MappingFile::parse(&toml)).transpose()?)
    }

    /// The mapping remembered for a supplier's headings, and since when.
    pub fn remembered_since(
        &self,
        supplier: &str,
        fingerprint: &str,
    ) -> Result<Option<Remembered>, StoreError> {
        let Some(file) = self.remembered(supplier, fingerprint)? else { return Ok(None) };
        let sql = "SELECT at FROM mapping WHERE supplier = ?1 AND fingerprint = ?2";
        let mut since = self.connection.prepare_cached(sql)?;
        Ok(Some(Remembered { file, at: since.query_row([supplier, fingerprint], |row| row.get(0))? }))
    }

    /// The mappings of a supplier whose sheets the owner had read otherwise than their own evidence had it, each with the
    /// fingerprint of its headings, the newest first.
    pub fn read_otherwise(&self, supplier: &str) -> Result<Vec<(String, Remembered)>, StoreError> {
        let sql =
            "SELECT fingerprint, toml, at FROM mapping WHERE supplier = ?1 ORDER BY at DESC, fingerprint";
        let mut statement = self.connection.prepare_cached(sql)?;
        let mut rows = statement.query([supplier])?;
        let mut found = Vec::new();
        while let Some(row) = rows.next()? {
            let file = MappingFile::parse(&row.get::<_, String>(1)?)?;
            if file.reads_otherwise() {
                found.push((row.get(0)?, Remembered { file, at: row.get(2)? }));
            }
        }
        Ok(found)
    }

    /// What was answered last of any sheet of a supplier, headings aside: who makes its shoes, what its words and marks
    /// mean. `None` when nothing was.
    pub fn answers_of(&self, supplier: &str) -> Result<Option<Remembered>, StoreError> {
        let sql = "SELECT toml, at FROM mapping WHERE supplier = ?1 ORDER BY at DESC, fingerprint LIMIT 1";
        let mut last = self.connection.prepare_cached(sql)?;
        let last: Option<(String, i64)> =
            last.query_row([supplier], |row| Ok((row.get(0)?, row.get(1)?))).optional()?;
        let Some((toml, at)) = last else { return Ok(None) };
        let file = MappingFile::parse(&toml)?.answers_alone();
        Ok(file.says_something().then_some(Remembered { file, at }))
    }

    /// The catalogue, a style a line, with where each value came from.
    pub fn export_ndjson(&self) -> Result<String, StoreError> {
        Ok(export::ndjson(&self.load()?, &self.all_origins()?))
    }

    /// The catalogue as a sheet that can be imported again, a row a size.
    pub fn export_csv(&self) -> Result<String, StoreError> {
        Ok(export::csv(&self.load()?, &self.style_prices()?))
    }

    /// The prices that stand on styles and hold for each of their sizes without its own, in minor units.
    fn style_prices(&self) -> Result<BTreeMap<String, u32>, StoreError> {
        let sql = "SELECT key, price FROM style WHERE price IS NOT NULL";
        let mut prices = self.connection.prepare_cached(sql)?;
        let rows = prices.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

/// A file that is empty or gone is no new catalogue where there are backups of one.
fn is_still_there(data: &DataDir) -> Result<(), OpenError> {
    let holds_nothing = std::fs::metadata(data.store()).map_or(true, |found| found.len() == 0);
    if holds_nothing && data.newest_good().is_some_and(|backup| backup.seq > Seq(0)) {
        let gone = "its file is gone or empty, and there are backups of it (to begin with nothing, move them elsewhere)";
        return Err(StoreError::Decayed(vec![gone.to_owned()]).into());
    }
    Ok(())
}

fn has_tables(connection: &Connection) -> Result<bool, StoreError> {
    Ok(connection.prepare("SELECT 1 FROM sqlite_schema")?.exists([])?)
}

/// A file of a newer program is left as it is, to the last bit, and so is one that is found to be damaged: nothing of a
/// log is written into it when it is closed.
fn may_be_read(connection: &Connection) -> Result<(), OpenError> {
    leave_alone(connection, true).map_err(StoreError::from)?;
    not_newer(version(connection)?)
}

fn leave_alone(connection: &Connection, is_so: bool) -> rusqlite::Result<()> {
    connection.set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, is_so).map(|_| ())
}

/// What a store does not know of what was noted beside it. A version without seals is none that noted anything.
fn missing(
    kept: Option<&Noted>,
    connection: &Connection,
    file: &std::path::Path,
) -> Result<Option<String>, StoreError> {
    let Some(kept) = kept else { return Ok(None) };
    if digest::columns(connection, "seal")?.is_empty() {
        return Ok(Some(kept.all_is_missing(file)));
    }
    Ok(kept.missing_in(connection, file)?)
}

fn not_newer(found: i64) -> Result<(), OpenError> {
    if found > VERSION { Err(OpenError::Newer { found, known: VERSION }) } else { Ok(()) }
}

/// What of the older program's store can be checked is, and a copy of it is kept. A migration sums everything anew: what
/// is not found here would be as it was written from then on.
fn before_upgrade(data: &DataDir, connection: &Connection) -> Result<(), OpenError> {
    let faults = verify::older_faults(connection);
    if !faults.is_empty() {
        return Err(StoreError::Decayed(faults).into());
    }
    let at = connection.query_row("SELECT unixepoch()", [], |row| row.get(0)).map_err(StoreError::from)?;
    data.back_up(Why::Upgrade, at).map_err(OpenError::NoBackup)?;
    Ok(())
}

/// A file that may not be opened is named with what to do.
fn unopened(data: &DataDir, fault: rusqlite::Error) -> OpenError {
    match fault.sqlite_error_code() {
        Some(ErrorCode::CannotOpen | ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => {
            data.may_not_be_used()
        }
        _ => StoreError::from(fault).into(),
    }
}

fn damaged(data: &DataDir, fault: &OpenError) -> OpenError {
    OpenError::Damaged {
        folder: data.path().to_owned(),
        why: fault.to_string(),
        advice: data.what_to_restore(),
    }
}

/// Full durability: an acknowledged change survives a pulled plug.
fn set_up(connection: &Connection) -> rusqlite::Result<()> {
    connection.busy_timeout(std::time::Duration::from_secs(5))?;
    connection.pragma_update(None, "journal_mode", "WAL")?;
    connection.pragma_update(None, "synchronous", "FULL")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    connection.pragma_update(None, "secure_delete", true)
}

fn seq(connection: &Connection) -> rusqlite::Result<Seq> {
    let sql = "SELECT coalesce(max(id), 0) FROM change";
    connection.prepare_cached(sql)?.query_row([], |row| row.get(0)).map(Seq)
}

fn known(connection: &Connection) -> Result<Known, StoreError> {
    let mut known = Known { currency: settings::policy(connection)?.currency, ..Known::default() };
    let sql =
        "SELECT key, coalesce(maker, ''), coalesce(name, ''), coalesce(audience, '') FROM style ORDER BY key";
    let mut styles = connection.prepare_cached(sql)?;
    let texts = |row: &rusqlite::Row<'_>| -> rusqlite::Result<[String; 4]> {
        Ok([row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?])
    };
    for row in styles.query_map([], texts)? {
        let [key, maker, name, audience] = row?;
        let style = load::style_key(&key)?;
        let number = key.split_once('.').map_or("", |(_, number)| number).to_owned();
        if let Some(called) = name_of(&maker, &name) {
            let audience = Audience::from_word(&audience);
            known.names.entry(called).or_default().push((audience, style.clone()));
        }
        known.makers.insert(style.maker(), maker);
        known.numbers.entry(number).or_default().push(style);
    }
    let sql = "SELECT gtin, style, key FROM sku WHERE gtin IS NOT NULL";
    let mut skus = connection.prepare_cached(sql)?;
    let rows =
        skus.query_map([], |row| Ok((row.get(0)?, row.get::<_, String>(1)?, row.get::<_, String>(2)?)))?;
    for row in rows {
        let (gtin, style, key) = row?;
        if let Some(sku) = SkuKey::parse(&key) {
            known.gtins.insert(gtin, (load::style_key(&style)?, sku));
        }
    }
    Ok(known)
}

fn propose(connection: &Connection, drafts: &Drafts) -> Result<Proposal, StoreError> {
    let tables = Tables(connection);
    let supplier = &drafts.reading.supplier;
    let standing =
        Standing { by_hand: by_hand(connection)?, not_listed: apply::not_listed(connection, supplier)? };
    let mut proposal =
        Proposal::of(drafts, seq(connection)?, &standing, |entity, key| tables.row(entity, key))?;
    if drafts.reading.kind == SheetKind::Full {
        proposal.leave_out(tables.missing(drafts)?);
    }
    Ok(proposal)
}

fn by_hand(connection: &Connection) -> rusqlite::Result<ByHand> {
    let mut rows = connection.prepare_cached("SELECT entity, key, \"column\" FROM by_hand")?;
    rows.query_map([], |row| Ok((entity_of(&row.get::<_, String>(0)?), row.get(1)?, row.get(2)?)))?.collect()
}
