//! Backups, nights and damage: what is kept is whole, what is damaged is not opened, and the way back is told.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use catalogue::policy::HousePolicy;
use indexer::keeping::{Why, backups};
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::{ImportError, Shop, Told};
use indexer::store::{Counted, DataDir, Signed};
use tests::program::{Lastbench, Ran, argument};
use tests::sample::sample;
use web::clock::Moment;
use web::night::{self, Done, Night};

/// Ten at night, 26 November 2026.
const NOW: i64 = 1_795_730_400;
const A_DAY: i64 = 86_400;

fn stocked() -> Lastbench {
    let lastbench = tests::lastbench!();
    lastbench.done(&["import", "--yes", argument(&sample("range.csv"))]);
    lastbench
}

/// The file of the backup that `backup` makes.
fn backed_up(lastbench: &Lastbench, folder: &str) -> PathBuf {
    let made = lastbench.done(&["backup", folder]);
    lastbench.at(made.trim())
}

fn hash_in(checked: &str) -> &str {
    checked.split("Its hash is ").nth(1).unwrap().trim()
}

/// Tips bits in the middle of the store, as a disk does that decays.
fn decay(lastbench: &Lastbench) {
    let store = lastbench.data().join("catalogue.sqlite");
    let mut bytes = fs::read(&store).unwrap();
    // The name of a shoe, wherever in the file it stands.
    let name = b"Marl";
    let places: Vec<usize> =
        (0..bytes.len() - name.len()).filter(|at| bytes[*at..].starts_with(name)).collect();
    for at in places {
        bytes[at] ^= 0x01;
    }
    fs::write(&store, bytes).unwrap();
}

fn refused(ran: &Ran, code: i32, saying: &[&str]) {
    ran.assert_no_panic();
    assert_eq!(ran.code, Some(code), "{ran:?}");
    for words in saying {
        assert!(ran.stderr.contains(words), "{words:?} is not in {:?}", ran.stderr);
    }
}

#[test]
fn a_backup_restored_on_another_machine_gives_the_same_export_byte_for_byte() {
    let here = stocked();
    let backup = backed_up(&here, "stick");
    let there = tests::lastbench!();
    let restored = there.done(&["restore", "--yes", argument(&backup)]);
    assert!(restored.contains("There is no catalogue in lastbench-data yet."), "{restored}");
    let export = ["export", "--ndjson"];
    assert_eq!(there.done(&export), here.done(&export));
    assert_eq!(hash_in(&there.done(&["check"])), hash_in(&here.done(&["check"])));
    let left: Vec<_> = fs::read_dir(here.at("stick")).unwrap().collect();
    assert_eq!(left.len(), 1, "nothing but the backup is left in its folder");
}

#[test]
fn a_damaged_catalogue_is_refused_with_the_way_back_which_leads_back() {
    let lastbench = stocked();
    let whole = lastbench.done(&["export", "--ndjson"]);
    let backup = backed_up(&lastbench, "lastbench-data/backups");
    let name = backup.file_name().unwrap().to_str().unwrap();
    decay(&lastbench);
    let damaged = fs::read(lastbench.data().join("catalogue.sqlite")).unwrap();
    let start = lastbench.run(&["serve", "--listen", "127.0.0.1:0"]);
    refused(&start, 3, &["is damaged", "Nothing was overwritten", name, "lastbench restore", "--dry-run"]);
    refused(&lastbench.run(&["search", "marl"]), 3, &[name]);
    let checked = lastbench.run(&["check"]);
    assert_eq!(checked.code, Some(1), "{checked:?}");
    assert!(checked.stdout.contains("the table style") && checked.stdout.contains(name), "{checked:?}");
    assert_eq!(fs::read(lastbench.data().join("catalogue.sqlite")).unwrap(), damaged);
    refused(&lastbench.run(&["backup", "stick"]), 1, &["not whole", "lastbench check"]);
    lastbench.done(&["restore", "--yes", argument(&backup)]);
    assert_eq!(lastbench.done(&["export", "--ndjson"]), whole);
    let kept = fs::read_dir(lastbench.data().join("backups")).unwrap().map(|entry| entry.unwrap().path());
    let kept: Vec<_> = kept
        .filter(|path| {
            path.to_string_lossy().contains("damaged-")
                && path.extension().is_some_and(|kind| kind == "sqlite")
        })
        .collect();
    assert_eq!(kept.len(), 1, "what stood there is kept as it was");
    assert_eq!(fs::read(&kept[0]).unwrap(), damaged);
}

#[test]
fn restoring_says_what_would_be_lost_and_keeps_what_stands() {
    let lastbench = stocked();
    let backup = backed_up(&lastbench, "stick");
    lastbench.done(&["import", "--yes", argument(&sample("stock.csv"))]);
    let later = lastbench.done(&["export", "--ndjson"]);
    let told = lastbench.done(&["restore", "--dry-run", argument(&backup)]);
    assert!(told.contains("Changes that would be lost: 1, the newest first: 2."), "{told}");
    assert!(told.contains("Nothing was changed."), "{told}");
    assert_eq!(lastbench.done(&["export", "--ndjson"]), later);
    refused(&lastbench.run(&["restore", argument(&backup)]), 2, &["--yes", "--dry-run"]);
    lastbench.done(&["restore", "--yes", argument(&backup)]);
    assert_ne!(lastbench.done(&["export", "--ndjson"]), later);
    let before = backups(&lastbench.data().join("backups")).unwrap();
    let before = before.iter().find(|backup| backup.why == Why::Restore).unwrap();
    lastbench.done(&["restore", "--yes", argument(&before.path)]);
    assert_eq!(lastbench.done(&["export", "--ndjson"]), later);
}

#[test]
fn a_running_server_can_be_backed_up_but_not_exchanged_and_says_who_it_is() {
    let lastbench = stocked();
    let serving = lastbench.serve(&[]);
    let backup = backed_up(&lastbench, "stick");
    let held = [serving.address.as_str(), "(", "Stop it first"];
    refused(&lastbench.run(&["restore", "--yes", argument(&backup)]), 4, &held);
    refused(&lastbench.run(&["serve", "--listen", "127.0.0.1:0"]), 4, &[serving.address.as_str()]);
    assert_eq!(serving.get("/shoes").status, 200);
}

#[test]
fn what_is_no_whole_backup_is_not_restored() {
    let lastbench = stocked();
    let before = lastbench.done(&["export", "--ndjson"]);
    let backup = backed_up(&lastbench, "stick");
    let bytes = fs::read(&backup).unwrap();
    fs::write(lastbench.at("half.sqlite"), &bytes[..bytes.len() / 2]).unwrap();
    refused(&lastbench.run(&["restore", "--yes", "half.sqlite"]), 1, &["no whole backup"]);
    refused(&lastbench.run(&["restore", "--yes", "gone.sqlite"]), 3, &["gone.sqlite"]);
    assert_eq!(lastbench.done(&["export", "--ndjson"]), before);
}

#[test]
fn a_sheet_is_applied_and_taken_back_only_behind_a_backup_in_both_folders() {
    let lastbench = stocked();
    let run = |arguments: &[&str]| {
        let ran = lastbench.command(arguments).env("LASTBENCH_BACKUPS_TO", lastbench.at("stick")).output();
        assert_eq!(ran.unwrap().status.code(), Some(0), "{arguments:?}");
    };
    run(&["import", "--yes", argument(&sample("stock.csv"))]);
    run(&["undo", "2"]);
    for folder in [lastbench.data().join("backups"), lastbench.at("stick")] {
        let kept = backups(&folder).unwrap();
        let mut kept: Vec<_> = kept.iter().map(|backup| (backup.seq.0, backup.why)).collect();
        kept.sort_unstable();
        assert_eq!(kept, [(1, Why::Change), (2, Why::Change)], "{}", folder.display());
    }
}

/// A shop in a folder with one change.
fn shop(folder: &Path, second: Option<PathBuf>) -> Shop {
    let data = DataDir::new(folder.join("data")).also_to(second);
    let reader = SheetReader::new(PathBuf::new(), SheetLimits::small());
    let shop = Shop::open(&data, reader).unwrap();
    let policy = HousePolicy { weeks_per_step: 8, ..HousePolicy::standard() };
    let by = Signed { actor: "owner".to_owned(), at: NOW - A_DAY, key: "weeks".to_owned() };
    shop.change(|store| store.set_policy(&policy, "", store.seq()?, &by)).unwrap();
    shop
}

/// A moment so many days later, by the calendar and truly.
fn later(start: Instant, days: i64, truly: i64) -> Moment {
    Moment { instant: start + Duration::from_secs((truly * A_DAY) as u64), unix_seconds: NOW + days * A_DAY }
}

#[test]
fn each_night_has_one_backup_and_the_first_look_checks() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop(folder.path(), Some(folder.path().join("stick")));
    let (mut night, start) = (Night::default(), Instant::now());
    assert_eq!(night.look(&shop, later(start, 0, 0)), Done { checked: true, backup: Some(true) });
    assert_eq!(night.look(&shop, later(start, 0, 0)), Done::default(), "once a day");
    for day in 1..12 {
        assert_eq!(night.look(&shop, later(start, day, day)).backup, Some(true), "{day}");
    }
    let keeping = shop.keeping().unwrap();
    assert!((7..=9).contains(&keeping.count), "{} are kept", keeping.count);
    assert_eq!(keeping.newest_second.unwrap().at, keeping.newest.unwrap().at);
    assert_eq!((keeping.failed, keeping.mistrust), (None, None));
    let early = Moment { instant: start, unix_seconds: NOW.div_euclid(A_DAY) * A_DAY + 60 * A_DAY + 3_600 };
    assert_eq!(Night::default().look(&shop, early).backup, None, "before two at night it is not due");
}

#[test]
fn two_backups_wanted_at_once_are_both_made() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop(folder.path(), Some(folder.path().join("stick")));
    std::thread::scope(|scope| {
        let wanted: Vec<_> = (0..6)
            .map(|second| {
                let shop = &shop;
                scope.spawn(move || shop.back_up(Why::Asked, NOW + second).unwrap())
            })
            .collect();
        for made in wanted {
            let made = made.join().unwrap().unwrap();
            assert!(made.second.unwrap().is_ok());
        }
    });
    assert!(shop.keeping().unwrap().count > 0, "those of one moment are not all kept");
}

#[test]
fn a_clock_that_jumps_lets_no_backup_go_and_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop(folder.path(), None);
    let (mut night, start) = (Night::default(), Instant::now());
    for day in 0..9 {
        night.look(&shop, later(start, day, day));
    }
    let count = shop.keeping().unwrap().count;
    night.look(&shop, later(start, 3_650, 9));
    let keeping = shop.keeping().unwrap();
    assert_eq!(keeping.count, count + 1, "ten years ahead");
    assert!(keeping.mistrust.unwrap().to_string().contains("jumped"));
    night.look(&shop, later(start, -365, 10));
    let keeping = shop.keeping().unwrap();
    assert_eq!(keeping.count, count + 2, "and a year back");
    assert!(keeping.mistrust.unwrap().to_string().contains("until the clock is right"));
}

#[test]
fn a_second_folder_that_is_gone_fails_in_words_and_is_tried_again_after_an_hour() {
    let folder = tempfile::tempdir().unwrap();
    let stick = folder.path().join("stick");
    fs::write(&stick, "a file, no folder").unwrap();
    let shop = shop(folder.path(), Some(stick.clone()));
    let (mut night, start) = (Night::default(), Instant::now());
    assert_eq!(night.look(&shop, later(start, 0, 0)).backup, Some(false));
    let keeping = shop.keeping().unwrap();
    assert!(keeping.newest.is_some(), "the folder's own backup is made all the same");
    assert!(keeping.failed.unwrap().why.contains("unplugged"));
    fs::remove_file(&stick).unwrap();
    let minutes = |minutes: u64| Moment {
        instant: start + Duration::from_secs(minutes * 60),
        unix_seconds: NOW + minutes as i64 * 60,
    };
    assert_eq!(night.look(&shop, minutes(59)).backup, None);
    assert_eq!(night.look(&shop, minutes(61)).backup, Some(true), "though the own one of today is there");
    assert!(shop.keeping().unwrap().newest_second.is_some());
    assert_eq!(shop.keeping().unwrap().failed, None);
}

#[test]
fn the_nightly_check_finds_damage_and_builds_a_damaged_index_anew_while_searching_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop(folder.path(), None);
    assert!(shop.check().unwrap().faults.is_empty());
    assert!(!shop.check().unwrap().index_is_new, "whole by now");
    let home = fs::read_dir(folder.path().join("data/index")).unwrap().next().unwrap().unwrap().path();
    fs::remove_file(home.join("meta.json")).unwrap();
    assert!(shop.check().unwrap().index_is_new);
    assert!(!shop.check().unwrap().index_is_new);
    let outside = rusqlite::Connection::open(folder.path().join("data/catalogue.sqlite")).unwrap();
    outside.execute("UPDATE setting SET value = '9'", []).unwrap();
    let health = shop.check().unwrap();
    assert_eq!(health.faults, ["the table setting is not as it was written"]);
    assert_eq!(shop.keeping().unwrap().faults, health.faults);
}

/// Counts one pair of a size that is asked for.
fn tallied(shop: &Shop) -> Result<(), String> {
    shop.tally(&[(Counted::Wanted, "fennick.fm-310 EU 43".to_owned())], 0).map_err(|fault| fault.to_string())
}

#[test]
fn while_damage_is_known_nothing_is_written_until_a_later_check_finds_none() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop(folder.path(), None);
    let (start, mut night) = (Instant::now(), Night::default());
    night.look(&shop, later(start, 0, 0));
    tallied(&shop).unwrap();
    let outside = rusqlite::Connection::open(folder.path().join("data/catalogue.sqlite")).unwrap();
    outside.execute_batch("CREATE TABLE stray (id INTEGER)").unwrap();
    night::look_soon();
    assert!(night.look(&shop, later(start, 0, 0)).checked);
    let refused = tallied(&shop).unwrap_err();
    assert!(refused.contains("is damaged, so nothing is written"), "{refused}");
    let policy = HousePolicy { weeks_per_step: 9, ..HousePolicy::standard() };
    let by = Signed { actor: "owner".to_owned(), at: NOW, key: "more weeks".to_owned() };
    let refused = shop.change(|store| store.set_policy(&policy, "", store.seq()?, &by)).unwrap_err();
    assert!(refused.to_string().contains("`lastbench check` says what is wrong"), "{refused}");
    assert_eq!(shop.snapshot().seq().0, 1, "looking goes on");
    outside.execute_batch("DROP TABLE stray").unwrap();
    // After some minutes it is looked again, without being asked.
    assert!(night.look(&shop, later(start, 1, 1)).checked);
    tallied(&shop).unwrap();
}

#[test]
fn a_sheet_is_refused_before_it_is_read_where_the_disk_is_nearly_full() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop(folder.path(), None).with_free_bytes(200 * 1024 * 1024);
    let refused = shop.understand("range.csv", b"Maker\n".to_vec(), &Told::default()).err().unwrap();
    assert!(matches!(refused, ImportError::NoRoom(_)), "{refused}");
    let said = refused.to_string();
    assert!(said.contains("200 MB are free") && said.contains("Nothing was read"), "{said}");
}
