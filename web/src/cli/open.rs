//! Opening the catalogue a command works on.

use std::fs::File;
use std::path::PathBuf;
use std::sync::Arc;

use indexer::error::LockError;
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::Shop;
use indexer::snapshot::Snapshot;
use indexer::store::{DataDir, Signed};

use super::{Failure, ReadArgs, WhereArgs};
use crate::clock::Clock;
use crate::sample::sample_shop;

/// A catalogue opened for writing, with the lock that keeps others out.
pub(super) struct Locked {
    pub(super) shop: Shop,
    pub(super) lock: File,
}

/// Where a second copy of each backup goes, for every command alike.
const BACKUPS_TO: &str = "LASTBENCH_BACKUPS_TO";

/// The folder of the catalogue, with the second one of its backups.
pub(super) fn folder(place: &WhereArgs) -> DataDir {
    let second = std::env::var_os(BACKUPS_TO).filter(|second| !second.is_empty());
    DataDir::new(&place.data).on_a_share(place.on_a_share).also_to(second.map(PathBuf::from))
}

/// The reader of sheets: this very program, started as a child.
pub(super) fn sheet_reader() -> Result<SheetReader, Failure> {
    let program: PathBuf = std::env::current_exe().map_err(|e| {
        Failure::Unreachable(format!("cannot find this program's own file, which reads the sheets: {e}"))
    })?;
    Ok(SheetReader::new(program, SheetLimits::standard()))
}

/// The catalogue for a command that reads; the sample in memory when that was asked for.
pub(super) fn shop(args: &ReadArgs) -> Result<Shop, Failure> {
    if args.sample {
        return sample_shop(sheet_reader()?, Clock::machine().now().unix_seconds)
            .map_err(Failure::unreachable);
    }
    let data = existing(&args.place)?;
    Shop::open(&data, sheet_reader()?).map_err(Failure::unreachable)
}

/// The snapshot for a command that reads.
pub(super) fn snapshot(args: &ReadArgs) -> Result<Arc<Snapshot>, Failure> {
    shop(args).map(|shop| shop.snapshot())
}

/// The catalogue for a command that writes; `page` says where a server that holds it does the same.
pub(super) fn locked(place: &WhereArgs, page: &str) -> Result<Locked, Failure> {
    locked_in(&folder(place), page)
}

/// The catalogue of a folder that cannot be written to, for a server that goes on answering.
pub(super) fn shut_in(data: &DataDir, page: &str) -> Result<(Shop, Option<File>), Failure> {
    let lock = data.lock_to_look().map_err(|fault| not_locked(fault, page))?;
    let shop = Shop::open(data, sheet_reader()?).map_err(Failure::unreachable)?;
    Ok((shop, lock))
}

/// The catalogue in a folder, for a command that writes.
pub(super) fn locked_in(data: &DataDir, page: &str) -> Result<Locked, Failure> {
    let lock = lock(data, page)?;
    let shop = Shop::open(data, sheet_reader()?).map_err(Failure::unreachable)?;
    Ok(Locked { shop, lock })
}

/// The catalogue for an import that only looks: the one in the folder without its lock, else an empty one in memory, so
/// that looking makes nothing.
pub(super) fn looked_at(place: &WhereArgs) -> Result<Shop, Failure> {
    let data = folder(place);
    let reader = sheet_reader()?;
    let shop = if data.exists() { Shop::open(&data, reader) } else { Shop::in_memory(reader) };
    shop.map_err(Failure::unreachable)
}

/// Takes the lock of a folder, or says who does the work instead.
pub(super) fn lock(data: &DataDir, page: &str) -> Result<File, Failure> {
    data.lock().map_err(|fault| not_locked(fault, page))
}

fn not_locked(fault: LockError, page: &str) -> Failure {
    match fault {
        LockError::Busy(..) => Failure::Conflict(format!("{fault} {page}")),
        other @ LockError::Folder(..) => Failure::unreachable(other),
    }
}

/// A folder that holds a catalogue; a reading command makes none.
pub(super) fn existing(place: &WhereArgs) -> Result<DataDir, Failure> {
    let data = folder(place);
    if data.exists() {
        return Ok(data);
    }
    Err(Failure::Unreachable(format!(
        "there is no catalogue in {}. Import a sheet first, name the folder with --data, or try --sample.",
        place.data.display()
    )))
}

/// Who changes the catalogue from the command line, and when; `key` makes a repeated call the same change.
pub(super) fn signed(key: String) -> Signed {
    Signed { actor: "command line".to_owned(), at: Clock::machine().now().unix_seconds, key }
}
