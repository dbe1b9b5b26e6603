//! Work at the store, on a thread that may wait for it, and what is said when it cannot be done.

use std::fmt;
use std::sync::Arc;

use axum::http::StatusCode;
use indexer::error::{ApplyError, StoreError};
use indexer::sheet::Unreadable;
use indexer::shop::ImportError;

use crate::app::AppState;
use crate::night;
use crate::refusal::Refusal;
use crate::staff::visitor;
use crate::visit::capital;
use crate::words;

const MEGABYTE: u64 = 1_048_576;

/// Does `work` where waiting for the store, a child or a long import keeps nobody else's answer back. It is finished
/// even when nobody waits for its answer any more.
pub async fn at_store<T, E>(
    state: &Arc<AppState>,
    work: impl FnOnce(&AppState) -> Result<T, E> + Send + 'static,
) -> Result<T, Refusal>
where
    T: Send + 'static,
    E: Into<Refusal> + Send + 'static,
{
    let state = Arc::clone(state);
    let (language, visitor) = (words::language(), visitor::visitor());
    let work = move || visitor::within(visitor, || words::within(language, || work(&state)));
    let done = tokio::task::spawn_blocking(work).await;
    done.map_err(|_| Refusal::of_status(StatusCode::INTERNAL_SERVER_ERROR))?.map_err(Into::into)
}

impl From<ImportError> for Refusal {
    fn from(fault: ImportError) -> Self {
        match fault {
            ImportError::Unreadable(why) => unreadable(&why),
            ImportError::Store(why) => why.into(),
            ImportError::NoRoom(why) => {
                let (free, needed) = (why.free / MEGABYTE, why.needed / MEGABYTE + 1);
                tracing::error!(free, needed, "the disk of the catalogue is nearly full");
                let say = say!(
                    "{free} MB are free on the disk of the catalogue, and this sheet may need {needed} MB. Nothing was read; make room and send it again.",
                    free,
                    needed
                );
                Self::new(StatusCode::INSUFFICIENT_STORAGE, say!("The disk is nearly full"), say)
                    .back_to(say!("To the sheets"), "/sheets")
            }
            ImportError::Cancelled => {
                let say = say!("It was called off. Nothing of it was stored.");
                Self::new(StatusCode::GONE, say!("No such sheet"), say)
                    .back_to(say!("To the sheets"), "/sheets")
            }
        }
    }
}

impl From<StoreError> for Refusal {
    fn from(fault: StoreError) -> Self {
        match fault {
            full if full.is_for_want_of_room() => no_room(&full),
            StoreError::DiskFailed => disk_failed(),
            StoreError::KnownDamaged => known_damaged(),
            shut if shut.is_for_want_of_writing() => read_only(),
            other => out_of_reach(&other),
        }
    }
}

impl From<ApplyError> for Refusal {
    fn from(fault: ApplyError) -> Self {
        match fault {
            ApplyError::Store(why) => why.into(),
            ApplyError::NoBackup(why) => {
                tracing::error!(%why, "no backup could be made before a change");
                let say = say!(
                    "No backup could be made before it, so nothing was changed. See whether the disk of the backups is full, read-only or unplugged; the owner's day says more."
                );
                Self::new(StatusCode::INSUFFICIENT_STORAGE, say!("No backup, no change"), say)
                    .back_to(say!("The owner's day"), "/day")
            }
            ApplyError::NotPublished(_) => {
                tracing::error!(%fault, "a change is stored and not shown");
                let say = capital(&words::made(&fault.to_string()));
                Self::new(StatusCode::INTERNAL_SERVER_ERROR, say!("Stored, but not shown"), say)
            }
            other => {
                let say = full_stop(capital(&words::made(&other.to_string())));
                Self::new(StatusCode::CONFLICT, say!("Nothing was changed"), say)
            }
        }
    }
}

fn unreadable(why: &Unreadable) -> Refusal {
    let status = match why {
        Unreadable::TooLarge { .. } => StatusCode::PAYLOAD_TOO_LARGE,
        Unreadable::NotStarted(_) => StatusCode::INTERNAL_SERVER_ERROR,
        _ => StatusCode::UNPROCESSABLE_ENTITY,
    };
    // The code alone: the sentence may quote the sheet.
    tracing::warn!(code = why.code(), "a sheet could not be read");
    Refusal::new(status, say!("The sheet cannot be read"), say!("{why} Nothing was stored.", why))
        .back_to(say!("To the sheets"), "/sheets")
}

fn out_of_reach(fault: &dyn fmt::Display) -> Refusal {
    tracing::error!(%fault, "the store could not be used");
    // A disk that does not read is found out before the next change is written.
    night::look_soon();
    let say =
        say!("The catalogue cannot be read or written at the moment. Nothing was changed; look at the log.");
    Refusal::new(StatusCode::INTERNAL_SERVER_ERROR, say!("The catalogue is out of reach"), say)
}

fn no_room(fault: &StoreError) -> Refusal {
    tracing::error!(%fault, "there is no room for a change");
    let free = match fault {
        StoreError::NoRoom { free: Some(free), .. } => {
            say!(" {mb} MB are free there.", mb = free / 1_000_000)
        }
        _ => String::new(),
    };
    let say = say!(
        "The disk that holds the catalogue is full.{free} Nothing was changed, and searching goes on. Make room there, then do it again.",
        free
    );
    Refusal::new(StatusCode::INSUFFICIENT_STORAGE, say!("Disk full"), say)
}

fn disk_failed() -> Refusal {
    tracing::error!("the disk has failed; nothing more is written");
    let say = say!(
        "The disk failed while a change was written. Nothing was changed, and nothing more is written before the program is started again; searching goes on. Look at the disk first."
    );
    Refusal::new(StatusCode::SERVICE_UNAVAILABLE, say!("The disk has failed"), say)
}

fn read_only() -> Refusal {
    tracing::warn!("a change was refused: the folder of the catalogue cannot be written to");
    let say = say!(
        "The folder of the catalogue cannot be written to, so nothing was changed; searching goes on. Whoever looks after this computer makes it writable and starts the program again: its log names the folder."
    );
    Refusal::new(StatusCode::SERVICE_UNAVAILABLE, say!("The catalogue can only be looked at"), say)
        .back_to(say!("The owner's day"), "/day")
}

fn known_damaged() -> Refusal {
    tracing::error!("the store is damaged; nothing is written");
    let say = say!(
        "The catalogue on the disk is damaged, so nothing is written until a backup is restored. Nothing was changed, and searching goes on. The owner's day says what to do."
    );
    Refusal::new(StatusCode::SERVICE_UNAVAILABLE, say!("The catalogue is damaged"), say)
        .back_to(say!("The owner's day"), "/day")
}

fn full_stop(sentence: String) -> String {
    if sentence.ends_with('.') { sentence } else { format!("{sentence}.") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_disk_says_how_much_is_free_and_that_nothing_was_changed() {
        let full = StoreError::NoRoom { why: "disk full", free: Some(12_345_678) };
        let refusal = Refusal::from(ApplyError::Store(full));
        assert_eq!(refusal.status, StatusCode::INSUFFICIENT_STORAGE);
        assert!(refusal.say.contains("full. 12 MB are free there. Nothing was changed"), "{}", refusal.say);
    }

    #[test]
    fn while_damage_is_known_a_change_is_refused_with_the_way_to_what_to_do() {
        let refusal = Refusal::from(ApplyError::Store(StoreError::KnownDamaged));
        assert_eq!(refusal.status, StatusCode::SERVICE_UNAVAILABLE);
        let told = refusal.say.contains("Nothing was changed, and searching goes on");
        assert!(told && refusal.say.contains("until a backup is restored"), "{}", refusal.say);
    }

    #[test]
    fn where_nothing_can_be_written_a_change_is_refused_with_what_to_do() {
        let refusal = Refusal::from(StoreError::ReadOnly);
        assert_eq!(refusal.status, StatusCode::SERVICE_UNAVAILABLE);
        assert!(refusal.say.contains("makes it writable and starts the program again"), "{}", refusal.say);
    }

    #[test]
    fn a_disk_that_has_failed_closes_writing_and_says_so() {
        let refusal = Refusal::from(StoreError::DiskFailed);
        assert_eq!(refusal.status, StatusCode::SERVICE_UNAVAILABLE);
        assert!(refusal.say.contains("nothing more is written"), "{}", refusal.say);
    }
}
