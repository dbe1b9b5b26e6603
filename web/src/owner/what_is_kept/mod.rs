//! What is kept and where, in words: every table of the store, every kind of file in its folder, what is in memory, in
//! browsers and elsewhere, and what is not kept at all. Sizes and times are measured; limits are those of the code.

mod elsewhere;
mod in_files;
mod in_memory;
mod in_store;

use indexer::keeping::Found;
use indexer::shop::Keeping;
use indexer::store::Measured;

use crate::config::{FittingLimits, Listening};
use crate::pages::kept::KeptPage;
use crate::visit::date::minute;

const KILOBYTE: u64 = 1_024;
const MEGABYTE: u64 = 1_048_576;

/// What was measured.
pub struct Facts<'a> {
    /// The things in the store.
    pub things: &'a [Measured],
    /// The folder with its files; `None` where the catalogue is in memory.
    pub folder: Option<(String, Vec<Found>)>,
    /// The backups.
    pub keeping: Option<&'a Keeping>,
    /// Since when there are accounts, one each; seconds since 1970.
    pub accounts: Vec<i64>,
    /// What is in memory.
    pub memory: InMemory,
    /// How long a fitting lives.
    pub fittings: FittingLimits,
    /// Which names cookies have.
    pub listening: Listening,
}

/// How much of what is in memory.
#[derive(Clone, Copy, Debug, Default)]
pub struct InMemory {
    /// Open fittings.
    pub fittings: usize,
    /// Sessions.
    pub sessions: usize,
    /// Names and addresses that a password was sent of.
    pub tried: usize,
    /// Boxes that are held.
    pub boxes: usize,
    /// Sheets that wait.
    pub sheets: usize,
    /// Bytes of these.
    pub sheet_bytes: usize,
}

impl Facts<'_> {
    /// The page.
    pub fn page(&self) -> KeptPage {
        let lead = match &self.folder {
            Some((folder, _)) => {
                say!("All files of the program are in {folder}; the names below are those in it.", folder)
            }
            None => say!(
                "This catalogue lives in memory: no file is written, and all of it goes with the program."
            )
            .to_owned(),
        };
        let in_files = self.folder.as_ref().map(|(_, files)| in_files::part(self, files));
        let others = [in_memory::part(self), elsewhere::in_browsers(self), elsewhere::elsewhere(self)];
        let parts = [in_store::part(self)].into_iter().chain(in_files).chain(others).collect();
        KeptPage { lead, parts, not_kept: not_kept() }
    }
}

fn not_kept() -> Vec<String> {
    [
        say!("Nothing that a runner says, or that is measured of them, outlives the fitting: it stands in no file, in no log and in no address. What stays is how often a shoe slipped or pinched, and which sizes were wanted and not there: by shoe and day."),
        say!("No name, no birthday, no way to reach a customer: nothing asks for them."),
        say!("No network address of whoever visits: the program writes one down only where somebody signs in, in the log."),
        say!("No password and no secret of a session: only hashes of them."),
        say!("What was searched for or scanned, and which shoe was looked at."),
        say!("Which of the staff fitted whom."),
        say!("Nothing goes to anybody else: the program asks no other server, and its pages load from it alone."),
    ]
    .map(str::to_owned)
    .into()
}

/// `3 MB`, `12 kB`.
fn size(bytes: u64) -> String {
    if bytes >= MEGABYTE {
        say!("{size} MB", size = bytes.div_ceil(MEGABYTE))
    } else {
        say!("{size} kB", size = bytes.div_ceil(KILOBYTE))
    }
}

/// Since when, until when; that there is none.
fn span(oldest: Option<i64>, newest: Option<i64>) -> String {
    match (oldest, newest) {
        (Some(oldest), Some(newest)) if oldest == newest => say!("of {when}", when = minute(oldest)),
        (Some(oldest), Some(newest)) => {
            say!("oldest of {oldest}, newest of {newest}", oldest = minute(oldest), newest = minute(newest))
        }
        _ => say!("none yet").to_owned(),
    }
}
