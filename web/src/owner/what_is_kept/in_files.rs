//! What else is in the folder.

use indexer::keeping::{BEFORE_CHANGES, BEFORE_OTHERS, DAYS, FileKind, Found, WEEKS};

use super::{Facts, size, span};
use crate::pages::kept::{KeptPart, KeptThing};
use crate::visit::number_of;

/// The part of the page: kinds of which there are files, and those that will come.
pub(super) fn part(facts: &Facts<'_>, files: &[Found]) -> KeptPart {
    let things = files.iter().filter_map(|found| thing(facts, found)).collect();
    KeptPart { heading: say!("Beside it in the folder").to_owned(), lead: String::new(), things }
}

fn thing(facts: &Facts<'_>, found: &Found) -> Option<KeptThing> {
    let said = said(found)?;
    let mut now = vec![format!(
        "{}, {}; {}",
        number_of(found.names.len(), say!("file"), say!("files")),
        size(found.bytes),
        span(found.oldest, found.newest)
    )];
    if found.names.is_empty() {
        now = vec![say!("none yet").to_owned()];
    }
    if found.kind == FileKind::Staff && !facts.accounts.is_empty() {
        let (oldest, newest) = (facts.accounts.iter().min().copied(), facts.accounts.iter().max().copied());
        let accounts = number_of(facts.accounts.len(), say!("account"), say!("accounts"));
        now.push(format!("{accounts}, {}", span(oldest, newest)));
    }
    Some(KeptThing { places: places(found), now, ..said })
}

fn places(found: &Found) -> Vec<String> {
    match found.kind {
        // Their names are long and many; all of them are in one folder.
        FileKind::Index | FileKind::Backups => vec![found.kind.begins().to_owned()],
        _ if found.names.is_empty() => vec![found.kind.begins().to_owned()],
        _ => found.names.clone(),
    }
}

/// What it is; `None` of what stands elsewhere on the page, or is there only when something went wrong and is not.
fn said(found: &Found) -> Option<KeptThing> {
    let [name, says, how_long, removed_by] = match found.kind {
        FileKind::Store => return None,
        FileKind::Restoring | FileKind::Other if found.names.is_empty() => return None,
        FileKind::Staff => [
            say!("The accounts of the staff").to_owned(),
            say!("A name, what they may do, since when, and a hash (Argon2id) of the password. Backups of the catalogue do not hold it.").to_owned(),
            say!("As long as the account.").to_owned(),
            say!("Removing the account on the page of the staff or with “lastbench staff remove”; its bytes are overwritten.").to_owned(),
        ],
        FileKind::Index => [
            say!("The index of words").to_owned(),
            say!("The words of the catalogue in another order, for searching. It can be deleted at any time.").to_owned(),
            say!("Until the words of the catalogue change.").to_owned(),
            say!("Building it anew, at a start or at night.").to_owned(),
        ],
        FileKind::Backups => [
            say!("Backups").to_owned(),
            say!("Copies of the file of the catalogue with all that is in it: made every night, when asked for, before a sheet is applied or taken back, before restoring and before an upgrade.").to_owned(),
            say!(
                "The newest of {DAYS} days and of {WEEKS} weeks; {BEFORE_CHANGES} from before sheets, {BEFORE_OTHERS} from before restoring and as many from before upgrades. A damaged catalogue that was put aside stays.",
                DAYS,
                WEEKS,
                BEFORE_CHANGES,
                BEFORE_OTHERS
            ),
            say!("The next backup lets go what is more than that, by counting and never by age. While the clock says less than a backup does, or after it jumped by two days, none goes.").to_owned(),
        ],
        FileKind::LastChange => [
            say!("The note of the last change").to_owned(),
            say!("The number of the last change and a seal of the catalogue after it: a catalogue that knows less has lost its log.").to_owned(),
            say!("Until the next change.").to_owned(),
            say!("The next change writes it anew. Without it, an older state is taken as it is.").to_owned(),
        ],
        FileKind::Lock => [
            say!("The lock").to_owned(),
            say!("The number of the process that works here and the address it answers on.").to_owned(),
            say!("Until the next start.").to_owned(),
            say!("The next start writes it anew.").to_owned(),
        ],
        FileKind::Restoring => [
            say!("Half a restored backup").to_owned(),
            say!("A copy of a backup that was on its way to become the catalogue when the program was killed.").to_owned(),
            say!("Until the next restoring.").to_owned(),
            say!("The next restoring; it can be deleted.").to_owned(),
        ],
        FileKind::Other => [
            say!("Other files").to_owned(),
            say!("The program has put none of these here, and looks at none of them.").to_owned(),
            say!("As long as you leave them here.").to_owned(),
            say!("Nothing.").to_owned(),
        ],
    };
    Some(KeptThing { name, says, how_long, removed_by, ..KeptThing::default() })
}
