//! Store and snapshot together: what a server or a command holds while it works.

mod as_before;
mod keep;
mod progress;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, RwLock};

use catalogue::key::SkuKey;

pub use crate::export::NotWritten;
use as_before::{AsBefore, Plain};
use keep::Keeper;
pub use keep::{Failed, Health, Keeping, NoRoom};
pub use progress::{Progress, Step};

use crate::chart::{Chart, ChartFault, ChartTold, read_chart};
use crate::count::{Count, Scanned};
use crate::draft::Reading;
use crate::error::{ApplyError, OpenError, StoreError};
use crate::export::{has_problem_rows, problem_rows};
use crate::finding::{Code, Finding, Wording};
use crate::loaded::Seq;
use crate::mapping::{Mapping, MappingFile, SheetKind, guess_mapping};
use crate::proposal::{Missing, Proposal, RowChange};
use crate::reading::read_rows;
use crate::sheet::{Charset, Place, ReadAs, Sheet, SheetLimits, SheetReader, Unreadable};
use crate::snapshot::Snapshot;
use crate::store::{ChangeId, Counted, DataDir, Import, Signed, Store, Undone};
use crate::words::Words;

/// The shop's catalogue: the store, the snapshot published from it, and the reader of sheets.
pub struct Shop {
    store: Mutex<Store>,
    published: RwLock<Arc<Snapshot>>,
    /// Beside the store, so that a fitter need not wait for an import to end.
    not_on_shelf: RwLock<Arc<BTreeSet<SkuKey>>>,
    reader: SheetReader,
    /// The folder and how its backups fare; `None` in memory.
    keeper: Option<Keeper>,
    read_only: bool,
}

/// A sheet with all that was made of it, up to what it would change.
pub struct Understood {
    /// The sheet as text.
    pub sheet: Arc<Sheet>,
    /// The file's bytes, kept with the change.
    pub bytes: Vec<u8>,
    /// How its headings were understood.
    pub mapping: Mapping,
    /// What became of its rows.
    pub reading: Reading,
    /// What that would change.
    pub proposal: Proposal,
    /// How the supplier's headings were read the last time, where nothing else was said.
    pub remembered: Option<Remembered>,
}

/// A mapping that was remembered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remembered {
    /// What it says.
    pub file: MappingFile,
    /// When a sheet was applied with it, seconds since 1970.
    pub at: i64,
}

/// What the owner says of a sheet before it is read.
#[derive(Clone, Debug, Default)]
pub struct Told {
    /// Who sent it.
    pub supplier: Option<String>,
    /// How it is to be read.
    pub mapping: Option<MappingFile>,
    /// Full or partial, whatever mapping says.
    pub kind: Option<SheetKind>,
}

/// Why a sheet was not understood.
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    /// Its bytes could not be read.
    #[error(transparent)]
    Unreadable(#[from] Unreadable),
    /// The store could not be asked.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The disk has no room for what applying it may take.
    #[error(transparent)]
    NoRoom(#[from] NoRoom),
    /// It was called off.
    #[error("the sheet was called off; nothing was stored")]
    Cancelled,
}

/// Who a sheet is from when nobody says: one name for all such sheets, so that the next one may change what the last
/// one said.
pub const UNNAMED_SUPPLIER: &str = "supplier not named";

impl Shop {
    /// Opens the catalogue in a folder, making it when it is not there; a missing or damaged index is rebuilt.
    pub fn open(data: &DataDir, reader: SheetReader) -> Result<Self, OpenError> {
        let shop = Self::over(Store::open(data)?, reader, Some(&data.index()))?;
        Ok(Self { keeper: Some(Keeper::of(data.clone())), ..shop })
    }

    /// An empty catalogue in memory.
    pub fn in_memory(reader: SheetReader) -> Result<Self, OpenError> {
        Self::over(Store::in_memory()?, reader, None)
    }

    /// A shop that shows this snapshot over an empty store and reads no sheets: for tests of what is shown.
    pub fn showing(snapshot: Snapshot) -> Result<Self, OpenError> {
        let reader = SheetReader::new(PathBuf::new(), SheetLimits::small());
        let shop = Self::in_memory(reader)?;
        *shop.published.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(snapshot);
        Ok(shop)
    }

    fn over(store: Store, reader: SheetReader, index: Option<&Path>) -> Result<Self, OpenError> {
        let snapshot = build(&store, index)?;
        let not_on_shelf = RwLock::new(Arc::new(store.not_on_shelf()?));
        let published = RwLock::new(Arc::new(snapshot));
        let read_only = store.is_read_only();
        Ok(Self { store: Mutex::new(store), published, not_on_shelf, reader, keeper: None, read_only })
    }

    /// Whether its folder cannot be written to, so that it is only looked at.
    pub const fn is_read_only(&self) -> bool {
        self.read_only
    }

    /// The catalogue as it is now; one request keeps to one of these.
    pub fn snapshot(&self) -> Arc<Snapshot> {
        Arc::clone(&self.published.read().unwrap_or_else(PoisonError::into_inner))
    }

    /// Reads a sheet in a child process and works out what it would change. Nothing is stored.
    pub fn understand(&self, name: &str, bytes: Vec<u8>, told: &Told) -> Result<Understood, ImportError> {
        self.understand_watched(name, bytes, told, &Progress::default())
    }

    /// As [`Self::understand`], telling how far it is and ending early when it is called off.
    pub fn understand_watched(
        &self,
        name: &str,
        bytes: Vec<u8>,
        told: &Told,
        progress: &Progress,
    ) -> Result<Understood, ImportError> {
        self.has_room_for(bytes.len())?;
        let supplier = told.supplier.as_deref().unwrap_or(UNNAMED_SUPPLIER);
        let sheet = Arc::new(self.read(name, &bytes, told.mapping.as_ref(), progress)?);
        go_on(progress)?;
        let AsBefore { sheet, remembered, unfit } = match told.mapping {
            Some(_) => AsBefore { sheet, remembered: None, unfit: None },
            None => self.as_before(Plain { name, bytes: &bytes, supplier, sheet }, progress)?,
        };
        progress.begin(Step::Comparing);
        let store = self.store();
        let known = store.known()?;
        let said = told.mapping.as_ref().or(remembered.as_ref().map(|remembered| &remembered.file));
        let mut mapping = guess_mapping(&sheet, supplier, said);
        if let Some(kind) = told.kind {
            mapping.kind = kind;
        }
        let drafts = read_rows(&sheet, &mapping, &known);
        go_on(progress)?;
        progress.rows_are(drafts.reading.data_rows);
        let mut proposal = store.propose(&drafts)?;
        let reading = drafts.reading;
        proposal.findings.extend(unfit);
        if let Some((change, day)) = store.seen(&bytes)? {
            proposal.findings.push(seen_before(&sheet, change, &day, &proposal.changes));
        }
        go_on(progress)?;
        proposal.findings.iter_mut().for_each(Finding::make_legible);
        Ok(Understood { sheet, bytes, mapping, reading, proposal, remembered })
    }

    /// The one place where bytes become a sheet: with the delimiter and the encoding that were said, counting rows.
    fn read(
        &self,
        name: &str,
        bytes: &[u8],
        told: Option<&MappingFile>,
        progress: &Progress,
    ) -> Result<Sheet, ImportError> {
        progress.begin(Step::Reading);
        let encoding = told.and_then(|told| told.encoding.as_deref()).and_then(Charset::of_label);
        let said = ReadAs { delimiter: told.and_then(|told| told.delimiter), encoding };
        self.reader.read_as(name, bytes, &said, progress.reader()).map_err(|fault| match fault {
            Unreadable::Cancelled => ImportError::Cancelled,
            other => ImportError::Unreadable(other),
        })
    }

    /// Reads a maker's size chart in a child process. Nothing is stored.
    pub fn read_chart(
        &self,
        name: &str,
        bytes: &[u8],
        told: &ChartTold,
    ) -> Result<Result<Chart, Vec<ChartFault>>, ImportError> {
        let sheet = self.read(name, bytes, None, &Progress::default())?;
        Ok(read_chart(&sheet, told))
    }

    /// Applies what was understood, all of it or nothing, and publishes the next snapshot. What a full sheet leaves out
    /// stays as it is.
    pub fn apply(&self, understood: &Understood, by: &Signed) -> Result<ChangeId, ApplyError> {
        self.apply_with(understood, Missing::Keep, by)
    }

    /// Applies what was understood, as [`Self::apply`]; `missing` says what becomes of what a full sheet leaves out.
    pub fn apply_with(
        &self,
        understood: &Understood,
        missing: Missing,
        by: &Signed,
    ) -> Result<ChangeId, ApplyError> {
        let Understood { bytes, mapping, reading, proposal, .. } = understood;
        let progress = &Progress::default();
        self.keep_before(by.at)?;
        self.change(|store| {
            store.import(&Import { proposal, reading, mapping, bytes, missing, progress }, by)
        })
    }

    /// Applies a count that was looked at when the last change was `base` and had the digest `seen`; it is a conflict
    /// when it would now be another.
    pub fn count(
        &self,
        scanned: &Scanned,
        base: Seq,
        seen: &str,
        by: &Signed,
    ) -> Result<ChangeId, ApplyError> {
        self.change(|store| {
            store.count(by, |now| {
                // The store is held, so that what is published is what it holds.
                let count = Count::of(scanned, &self.snapshot());
                let stands = count.base == now && count.digest == seen;
                if stands { Ok(count) } else { Err(ApplyError::Conflict { base, now }) }
            })
        })
    }

    /// As [`Self::apply_with`], telling how far it is; `None` when it was called off in time, and nothing is stored.
    pub fn apply_watched(
        &self,
        understood: &Understood,
        missing: Missing,
        by: &Signed,
        progress: &Progress,
    ) -> Result<Option<ChangeId>, ApplyError> {
        progress.begin_of(Step::Applying, understood.proposal.changes.len());
        let Understood { bytes, mapping, reading, proposal, .. } = understood;
        let import = Import { proposal, reading, mapping, bytes, missing, progress };
        self.keep_before(by.at)?;
        match self.change(|store| store.import(&import, by)) {
            Err(ApplyError::Cancelled) => Ok(None),
            done => done.map(Some),
        }
    }

    /// Takes a change back and publishes the next snapshot.
    pub fn undo(&self, change: ChangeId, by: &Signed) -> Result<Undone, ApplyError> {
        if self.ask(|store| store.recorded(change))?.is_some_and(|change| change.kind == "import") {
            self.keep_before(by.at)?;
        }
        self.change(|store| store.undo(change, by))
    }

    /// Changes the store by `act` and publishes the next snapshot. Pairs and places are put into the one before; after
    /// any other change the catalogue is loaded anew, and its words are indexed where a text has changed. That is done in
    /// memory: syncing an index to the disk would take longer than the change itself, and the next start finds the one on
    /// the disk behind and builds it anew.
    pub fn change<T>(&self, act: impl FnOnce(&mut Store) -> Result<T, ApplyError>) -> Result<T, ApplyError> {
        let mut store = self.store();
        let done = act(&mut store)?;
        let next = next(&store, &self.snapshot()).map_err(ApplyError::NotPublished)?;
        *self.published.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(next);
        // A count settles what was looked for in vain. The change stands whether or not that can be read now.
        let _unread = self.look_at_the_shelf(&store);
        Ok(done)
    }

    /// Asks the store: history and origins, which no snapshot holds.
    pub fn ask<T>(&self, question: impl FnOnce(&Store) -> T) -> T {
        question(&self.store())
    }

    /// The boxes that were looked for on the shelf in vain, and not counted since.
    pub fn not_on_shelf(&self) -> Arc<BTreeSet<SkuKey>> {
        Arc::clone(&self.not_on_shelf.read().unwrap_or_else(PoisonError::into_inner))
    }

    /// Counts something of the fitting room; no snapshot shows it.
    pub fn tally(&self, lines: &[(Counted, String)], at: i64) -> Result<(), StoreError> {
        let mut store = self.store();
        store.tally(lines, at)?;
        self.look_at_the_shelf(&store)
    }

    /// Forgets what was counted of one style or SKU.
    pub fn settle(&self, counted: Counted, key: &str) -> Result<(), StoreError> {
        let mut store = self.store();
        store.settle(counted, key)?;
        self.look_at_the_shelf(&store)
    }

    fn look_at_the_shelf(&self, store: &Store) -> Result<(), StoreError> {
        let missing = store.not_on_shelf()?;
        *self.not_on_shelf.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(missing);
        Ok(())
    }

    /// A store whose last user panicked is whole: SQLite rolls an unfinished transaction back.
    fn store(&self) -> MutexGuard<'_, Store> {
        self.store.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// The note on a file whose very bytes were imported before.
fn seen_before(sheet: &Sheet, change: ChangeId, day: &str, changes: &[RowChange]) -> Finding {
    let cells: usize = changes.iter().map(|row| row.cells.len()).sum();
    Finding {
        code: Code::SheetSeen,
        place: Place { sheet: Arc::clone(&sheet.name), row: 0, line: 0, column: None },
        heading: String::new(),
        text: String::new(),
        say: format!(
            "Already imported on {day} as change {}; {cells} cells would change now. Leave it, unless it is news that nothing has changed.",
            change.0
        ),
    }
}

impl Understood {
    /// The mapping as a file that reads the same bytes the same way; `told` is what was said of them.
    pub fn mapping_file(&self, told: Option<&MappingFile>) -> MappingFile {
        let decimal_mark = told.and_then(|told| told.decimal_mark);
        MappingFile { decimal_mark, ..self.mapping.to_file() }
    }

    /// Whether any row has a stop or a warning.
    pub fn has_problem_rows(&self) -> bool {
        has_problem_rows(&self.sheet, &self.mapping, &self.proposal.findings)
    }

    /// The rows with a stop or a warning, as a workbook that can be mended and sent again; `None` without any.
    /// `wording` puts what is wrong with them into the language of whoever mends them.
    pub fn problem_rows(&self, wording: Wording<'_>) -> Result<Option<Vec<u8>>, NotWritten> {
        problem_rows(&self.sheet, &self.mapping, &self.proposal.findings, wording)
    }
}

fn go_on(progress: &Progress) -> Result<(), ImportError> {
    if progress.is_cancelled() { Err(ImportError::Cancelled) } else { Ok(()) }
}

/// The snapshot after a change, out of the one before as far as that goes.
fn next(store: &Store, before: &Snapshot) -> Result<Snapshot, OpenError> {
    if let Some(next) = store.restocked(before.seq())?.and_then(|news| before.restocked(news)) {
        return Ok(next);
    }
    let loaded = store.load()?;
    let words = Words::after(&before.words, &loaded)?;
    Ok(Snapshot::build(loaded, words))
}

fn build(store: &Store, index: Option<&Path>) -> Result<Snapshot, OpenError> {
    let loaded = store.load()?;
    let words = Words::open_or_build(index, &loaded)?;
    Ok(Snapshot::build(loaded, words))
}
