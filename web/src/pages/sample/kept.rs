//! What is kept and where.

use super::{s, strings};
use crate::pages::kept::{KeptPage, KeptPart, KeptThing};

pub(crate) fn kept_page() -> KeptPage {
    let backups = KeptThing {
        name: s("Backups"),
        says: s("Copies of the file of the catalogue with all that is in it."),
        places: strings(&["backups/"]),
        now: strings(&["12 files, 38 MB; oldest of 2 November 2026, 02:00 UTC, newest of today"]),
        how_long: s("The newest of 7 days and of 4 weeks."),
        removed_by: s("The next backup lets go what is more than that."),
    };
    KeptPage {
        lead: s("All files of the program are in /srv/lastbench; the names below are those in it."),
        parts: vec![KeptPart {
            heading: s("Beside it in the folder"),
            lead: String::new(),
            things: vec![backups],
        }],
        not_kept: strings(&["Nothing that a runner says outlives the fitting."]),
    }
}
