//! What the owner's day says of backups, and when it turns red.

use indexer::shop::Keeping;

use crate::pages::day::{Kept, Noted};
use crate::visit::date::minute;

/// So old a last good backup may be.
const OLDEST: i64 = 3 * 86_400;
const MEGABYTE: u64 = 1_048_576;

/// The part of the page; `changed` is when the catalogue was last changed, `now` is now, seconds since 1970.
pub fn kept(keeping: Option<&Keeping>, changed: Option<i64>, now: i64) -> Kept {
    let Some(keeping) = keeping else {
        let say = say!("This catalogue lives in memory: nothing of it is kept, and there is no backup.");
        return Kept { is_red: false, lines: vec![Noted::plain(say)] };
    };
    let wrong = wrong(keeping, changed, now);
    let is_red = !wrong.is_empty();
    let lines = wrong.into_iter().chain(facts(keeping)).collect();
    Kept { is_red, lines }
}

/// What is wrong, each with what to do.
fn wrong(keeping: &Keeping, changed: Option<i64>, now: i64) -> Vec<Noted> {
    let mut wrong = Vec::new();
    if keeping.read_only {
        wrong.push(Noted::plain(say!(
            "The folder of the catalogue cannot be written to: nothing can be changed, and no backup is made. Make it writable and start the program again; its first words in the log name the folder."
        )));
    }
    if !keeping.faults.is_empty() {
        wrong.push(Noted::plain(say!(
            "The catalogue on the disk is damaged. Change nothing now: stop the program, and “lastbench check” says what is wrong and which backup to restore."
        )));
    }
    if let Some(failed) = &keeping.failed {
        wrong.push(Noted::plain(say!(
            "The last try at a backup, {when}, failed. See whether the disk of {folders} is full, read-only or unplugged; the log says more.",
            when = minute(failed.at),
            folders = folders(keeping)
        )));
    }
    let last = keeping.newest.as_ref().map(|newest| newest.at).or(changed);
    if last.is_some_and(|last| now - last > OLDEST) {
        wrong.push(Noted::plain(say!(
            "There has been no good backup for more than three days. Make one now with “lastbench backup FOLDER”, and leave the program running over night or restart it."
        )));
    }
    wrong
}

fn facts(keeping: &Keeping) -> Vec<Noted> {
    let mut facts = Vec::new();
    facts.push(match &keeping.newest {
        Some(newest) => Noted {
            soft: say!(
                "{size} MB, change {change}, in {folder}",
                size = newest.bytes.div_ceil(MEGABYTE),
                change = newest.seq.0,
                folder = keeping.folder.display()
            ),
            ..Noted::plain(say!("The last good backup is of {when}.", when = minute(newest.at)))
        },
        None => {
            Noted::plain(say!("There is no backup yet: one is made before the next sheet and every night."))
        }
    });
    facts.push(match (&keeping.second, &keeping.newest_second) {
        (Some(second), Some(newest)) => Noted {
            soft: second.display().to_string(),
            ..Noted::plain(say!("In the second folder the last is of {when}.", when = minute(newest.at)))
        },
        (Some(second), None) => Noted {
            soft: second.display().to_string(),
            ..Noted::plain(say!("In the second folder there is none yet."))
        },
        (None, _) => Noted::plain(say!(
            "All backups are on one disk. Start with “--backups-to FOLDER” to have each on another one, too."
        )),
    });
    if keeping.mistrust.is_some() {
        facts.push(Noted::plain(say!(
            "No old backup is let go at the moment, since the clock does not go with the backups. See whether it is right."
        )));
    }
    facts
}

fn folders(keeping: &Keeping) -> String {
    let second = keeping.second.iter().map(|second| second.display().to_string());
    let folders: Vec<String> = std::iter::once(keeping.folder.display().to_string()).chain(second).collect();
    folders.join(", ")
}

#[cfg(test)]
mod tests {
    use indexer::keeping::{Backup, Why};
    use indexer::loaded::Seq;
    use indexer::shop::Failed;

    use super::*;

    fn keeping(at: Option<i64>) -> Keeping {
        let newest =
            at.map(|at| Backup { path: "b".into(), at, seq: Seq(4), why: Why::Night, bytes: 3_000_000 });
        Keeping {
            folder: "shop/backups".into(),
            second: None,
            count: usize::from(newest.is_some()),
            newest,
            newest_second: None,
            failed: None,
            mistrust: None,
            faults: Vec::new(),
            read_only: false,
        }
    }

    fn text(kept: &Kept) -> String {
        kept.lines
            .iter()
            .flat_map(|line| [line.say.as_str(), line.soft.as_str()])
            .collect::<Vec<_>>()
            .join(" ")
    }

    #[test]
    fn the_last_good_backup_is_told_with_size_and_folder_and_turns_red_after_three_days() {
        let fresh = kept(Some(&keeping(Some(1_000))), Some(900), 1_000 + OLDEST);
        let said = text(&fresh);
        assert!(!fresh.is_red && said.contains("3 MB, change 4, in shop/backups"), "{said}");
        let old = kept(Some(&keeping(Some(1_000))), Some(900), 1_001 + OLDEST);
        assert!(old.is_red && text(&old).contains("more than three days"), "{}", text(&old));
    }

    #[test]
    fn a_last_try_that_failed_is_red_with_both_folders_and_what_to_do() {
        let failed = Some(Failed { at: 2_000, why: "full".into() });
        let both = Keeping { failed, second: Some("stick".into()), ..keeping(Some(1_000)) };
        let told = kept(Some(&both), Some(900), 2_000);
        let said = text(&told);
        assert!(
            told.is_red && said.contains("shop/backups, stick is full, read-only or unplugged"),
            "{said}"
        );
    }

    #[test]
    fn a_damaged_store_is_red_and_a_catalogue_in_memory_says_that_nothing_is_kept() {
        let damaged = Keeping { faults: vec!["the table sku".into()], ..keeping(Some(1_000)) };
        assert!(kept(Some(&damaged), None, 1_000).is_red);
        let sample = kept(None, Some(0), 10 * OLDEST);
        assert!(!sample.is_red && text(&sample).contains("nothing of it is kept"));
    }

    #[test]
    fn a_folder_that_cannot_be_written_to_is_red() {
        let shut = kept(Some(&Keeping { read_only: true, ..keeping(Some(1_000)) }), None, 1_000);
        assert!(shut.is_red && text(&shut).contains("nothing can be changed"), "{}", text(&shut));
    }

    #[test]
    fn no_backup_is_red_only_where_a_change_has_waited_for_one_for_three_days() {
        assert!(!kept(Some(&keeping(None)), None, 10 * OLDEST).is_red);
        assert!(!kept(Some(&keeping(None)), Some(5), OLDEST).is_red);
        assert!(kept(Some(&keeping(None)), Some(5), OLDEST + 6).is_red);
    }
}
