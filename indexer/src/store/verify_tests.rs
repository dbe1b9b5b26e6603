//! What is found of damage.

use std::fs;
use std::path::Path;

use super::tests::{RANGE, STOCK, import, signed};
use super::*;
use crate::columns::HEEL_STACK;
use crate::draft::Value;
use crate::proposal::Entity;

/// A store in a file with changes of every kind, of a few hundred rows.
fn of_many_rows(folder: &Path) -> DataDir {
    let data = DataDir::new(folder.join("data"));
    let mut store = Store::open(&data).unwrap();
    let numbers: Vec<String> = (100..260).map(|n| format!("F{n}")).collect();
    let names: Vec<String> = (100..260).map(|n| format!("Marl {n}")).collect();
    let mut range: Vec<Vec<&str>> = vec![RANGE.to_vec()];
    let mut stock: Vec<Vec<&str>> = vec![STOCK.to_vec()];
    for (number, name) in numbers.iter().zip(&names) {
        range.push(vec!["Fennick", number, name, "32", "8", "139"]);
        stock.push(vec!["Fennick", number, "Ochre", "EU", "42", "3"]);
        stock.push(vec!["Fennick", number, "Ochre", "EU", "43", "x"]);
    }
    import(&mut store, "range", &range.iter().map(Vec::as_slice).collect::<Vec<_>>());
    let (second, _) = import(&mut store, "stock", &stock.iter().map(Vec::as_slice).collect::<Vec<_>>());
    let hand = Correction {
        entity: Entity::Style,
        key: "fennick.f101".to_owned(),
        column: &HEEL_STACK,
        value: Some(Value::Int(315)),
        text: "measured in the shop".to_owned(),
    };
    store.correct(&hand, &signed("hand")).unwrap();
    let undo = store.undo(second, &signed("undo")).unwrap().change;
    store.undo(undo, &signed("redo")).unwrap();
    store.tally(&[(Counted::NotOnShelf, "fennick.f101/ochre/eu-42/".to_owned())], 0).unwrap();
    assert_eq!(store.faults().unwrap(), Vec::<String>::new());
    drop(store);
    close_for_good(&data.store()).unwrap();
    data
}

/// All that can be read of a store: each cell of each table, and what is exported of it. A fault is what is read too.
fn read(path: &Path) -> String {
    let all = || -> rusqlite::Result<String> {
        let connection = to_look_at::look_at(path)?;
        let mut text = format!("{}\n", version(&connection).map_err(|_| rusqlite::Error::InvalidQuery)?);
        for table in digest::TABLES.iter().chain(&["digest", "sqlite_schema"]) {
            let columns = digest::columns(&connection, table)?;
            // By every column, so that an index that has tipped cannot change the order.
            let mut statement = connection.prepare(&format!("SELECT * FROM \"{table}\" NOT INDEXED"))?;
            let mut rows = statement.query([])?;
            let mut lines = Vec::new();
            while let Some(row) = rows.next()? {
                let cells =
                    (0..columns.len()).map(|at| row.get_ref(at)).collect::<rusqlite::Result<Vec<_>>>()?;
                // Where the pages of a table stand is no content of it.
                let cells = cells.iter().zip(&columns).filter(|(_, column)| *column != "rootpage");
                lines.push(format!("{:?}", cells.map(|(cell, _)| cell).collect::<Vec<_>>()));
            }
            lines.sort();
            text.push_str(&lines.concat());
        }
        Ok(text)
    };
    all().unwrap_or_else(|fault| format!("not read: {fault}"))
}

fn random(state: &mut u64) -> u64 {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    *state
}

/// Flips single bits, one at a time: how many change what is read, and how many of these are not found.
fn flips(times: usize, seed: u64) -> (usize, Vec<(usize, u32)>) {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let whole = fs::read(data.store()).unwrap();
    let (before, path) = (read(&data.store()), folder.path().join("flipped.sqlite"));
    let (mut seed, mut told, mut missed) = (seed, 0, Vec::new());
    for _ in 0..times {
        let (at, bit) = (random(&mut seed) as usize % whole.len(), (random(&mut seed) % 8) as u32);
        let mut bytes = whole.clone();
        bytes[at] ^= 1 << bit;
        fs::write(&path, &bytes).unwrap();
        let _ = (
            fs::remove_file(folder.path().join("flipped.sqlite-wal")),
            fs::remove_file(folder.path().join("flipped.sqlite-shm")),
        );
        if read(&path) != before {
            told += 1;
            if faults_of(&path).0.is_empty() {
                missed.push((at, bit));
            }
        }
    }
    (told, missed)
}

/// A bit in free space or in a byte that nothing reads changes nothing and is not counted.
#[test]
fn a_bit_that_tips_and_changes_what_is_read_is_found() {
    let (told, missed) = flips(60, 0x5eed_0001);
    assert!(told >= 20, "{told} of 60 change what is read");
    assert_eq!(missed, []);
}

#[test]
#[ignore = "two thousand flips take minutes"]
fn of_two_thousand_bits_that_tip_less_than_one_in_a_thousand_is_not_found() {
    let (told, missed) = flips(2_000, 0x5eed_0002);
    assert!(missed.len() * 1_000 <= told, "{} of {told} are missed: {missed:?}", missed.len());
}

#[test]
fn a_cell_that_was_changed_from_outside_is_found_and_its_table_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let outside = Connection::open(data.store()).unwrap();
    outside.execute("UPDATE style SET mass = 1 WHERE key = 'fennick.f140'", []).unwrap();
    drop(outside);
    let (faults, _) = faults_of(&data.store());
    assert_eq!(faults, ["the table style is not as it was written"]);
    let refused = Store::open(&data).err().unwrap().to_string();
    assert!(refused.contains("the table style") && refused.contains("Nothing was overwritten"), "{refused}");
}

#[test]
fn a_line_of_the_ledger_that_was_changed_names_its_change() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let outside = Connection::open(data.store()).unwrap();
    outside
        .execute_batch("DROP TRIGGER cell_change_stays; UPDATE cell_change SET text = 'x' WHERE change = 3")
        .unwrap();
    drop(outside);
    let faults = faults_of(&data.store()).0.join("\n");
    assert!(faults.contains("the table cell_change") && faults.contains("the lines of change 3"), "{faults}");
    assert!(faults.contains("description of the tables"), "{faults}");
}

#[test]
fn every_table_of_the_store_is_summed() {
    let store = Store::in_memory().unwrap();
    let sql = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name <> 'digest' ORDER BY name";
    let mut statement = store.connection.prepare(sql).unwrap();
    let found: Vec<String> = statement.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect();
    let mut summed = digest::TABLES.to_vec();
    summed.sort_unstable();
    assert_eq!(
        found, summed,
        "a table that is not summed can decay unseen: name it in digest.rs, at the end"
    );
}

#[test]
fn what_was_rolled_back_leaves_the_sums_as_they_were() {
    let mut store = super::tests::filled();
    store.would_undo(ChangeId(1), 9).unwrap();
    assert!(store.undo(ChangeId(77), &signed("x")).is_err());
    assert_eq!(store.faults().unwrap(), Vec::<String>::new());
    import(&mut store, "more", &[RANGE, &["Fennick", "F9", "New", "20", "4", ""]]);
    assert_eq!(store.faults().unwrap(), Vec::<String>::new());
}

#[test]
fn the_state_after_an_undo_is_sealed_by_the_sums_of_its_tables() {
    let store = super::tests::filled();
    let sql = "SELECT state FROM seal WHERE change = 2";
    let sealed: [u8; 16] = store.connection.query_row(sql, [], |row| row.get(0)).unwrap();
    assert_eq!(sealed, digest::state(&store.connection).unwrap());
}

#[test]
fn a_file_cut_short_or_emptied_is_refused_with_the_newest_good_backup_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let good = data.back_up(Why::Asked, 1_000).unwrap().backup;
    let newer = data.back_up(Why::Night, 200_000).unwrap().backup;
    let mut bytes = fs::read(&newer.path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle..middle + 64].fill(0x55);
    fs::write(&newer.path, &bytes).unwrap();
    let whole = fs::read(data.store()).unwrap();
    for kept in [0, 50, 4_096, whole.len() / 2, whole.len() - 4_096] {
        fs::write(data.store(), &whole[..kept]).unwrap();
        let refused = Store::open(&data).err().unwrap().to_string();
        assert!(refused.contains(good.path.to_str().unwrap()), "{kept}: {refused}");
        assert!(refused.contains("lastbench restore"), "{refused}");
        assert_eq!(fs::read(data.store()).unwrap(), &whole[..kept], "{kept}");
    }
    fs::remove_file(data.store()).unwrap();
    assert!(Store::open(&data).is_err() && !data.exists());
}

#[test]
fn a_store_of_a_newer_program_is_not_touched() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    Connection::open(data.store()).unwrap().execute_batch("PRAGMA user_version = 77").unwrap();
    let seen = || {
        let names = |entry: std::io::Result<fs::DirEntry>| entry.unwrap().file_name();
        let mut names: Vec<_> = fs::read_dir(data.path()).unwrap().map(names).collect();
        names.sort();
        let modified = fs::metadata(data.store()).unwrap().modified().unwrap();
        (names, modified, fs::read(data.store()).unwrap())
    };
    let before = seen();
    let refused = Store::open(&data).err().unwrap().to_string();
    assert!(refused.contains("version 77") && refused.contains("Nothing was touched"), "{refused}");
    assert!(before == seen());
}

/// A store of each older version, with all that it had a place for.
#[test]
fn a_store_of_every_older_version_is_copied_brought_up_and_exports_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let golden = Store::open(&data).unwrap().export_ndjson().unwrap();
    for version in 1..VERSION {
        let old = DataDir::new(folder.path().join(format!("version-{version}")));
        fs::create_dir_all(old.path()).unwrap();
        migrate::of_version(version, &data.store(), &old.store());
        let store = Store::open(&old).unwrap();
        assert_eq!(store.export_ndjson().unwrap(), golden, "{version}");
        assert_eq!(store.faults().unwrap(), Vec::<String>::new(), "{version}");
        let kept = crate::keeping::backups(&old.backups()).unwrap();
        assert_eq!(kept.iter().map(|backup| backup.why).collect::<Vec<_>>(), [Why::Upgrade], "{version}");
        let copy = Connection::open(&kept[0].path).unwrap();
        assert_eq!(migrate::version(&copy).unwrap(), version);
    }
}

/// The file says that an older program wrote it, one that kept sums.
fn as_of_an_older_program(data: &DataDir) {
    let outside = Connection::open(data.store()).unwrap();
    outside.pragma_update(None, "user_version", VERSION - 1).unwrap();
}

#[test]
fn a_damaged_store_of_an_older_program_is_refused_before_it_is_summed_anew() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let outside = Connection::open(data.store()).unwrap();
    outside.execute("UPDATE style SET mass = 1 WHERE key = 'fennick.f140'", []).unwrap();
    drop(outside);
    as_of_an_older_program(&data);
    let before = read(&data.store());
    let refused = Store::open(&data).err().unwrap().to_string();
    assert!(refused.contains("the table style is not as it was written"), "{refused}");
    assert!(refused.contains("Nothing was overwritten"), "{refused}");
    assert!(read(&data.store()) == before && !data.backups().exists(), "it was written to");
    assert_eq!(faults_of(&data.store()).0, ["the table style is not as it was written"]);
}

#[test]
fn a_whole_store_of_an_older_program_that_kept_sums_may_be_copied_and_brought_up() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    as_of_an_older_program(&data);
    assert_eq!(faults_of(&data.store()).0, Vec::<String>::new());
    before_upgrade(&data, &Connection::open(data.store()).unwrap()).unwrap();
    assert_eq!(fs::read_dir(data.backups()).unwrap().count(), 1);
}

/// The files of a store as a killed program leaves them: its changes stand in the log.
fn killed(data: &DataDir, to: &Path) -> DataDir {
    let left = DataDir::new(to);
    fs::create_dir_all(to).unwrap();
    for name in ["catalogue.sqlite", "catalogue.sqlite-wal", "catalogue.last"] {
        fs::copy(data.path().join(name), to.join(name)).unwrap();
    }
    left
}

#[test]
fn a_log_that_was_taken_away_is_missed_and_nothing_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let mut store = Store::open(&data).unwrap();
    store.undo(ChangeId(1), &signed("in the log")).unwrap();
    let left = killed(&data, &folder.path().join("left"));
    assert_eq!(Store::open(&left).unwrap().seq().unwrap(), store.seq().unwrap(), "with its log it is whole");
    let left = killed(&data, &folder.path().join("cut"));
    let log = left.path().join("catalogue.sqlite-wal");
    fs::remove_file(&log).unwrap();
    let before = fs::read(left.store()).unwrap();
    for _ in 0..2 {
        let refused = Store::open(&left).err().unwrap().to_string();
        assert!(refused.contains("its log (catalogue.sqlite-wal) was taken away"), "{refused}");
        assert!(fs::read(left.store()).unwrap() == before, "it was written to");
    }
    assert!(left.check().0[0].contains("was taken away"), "{:?}", left.check().0);
    fs::remove_file(left.path().join("catalogue.last")).unwrap();
    assert!(Store::open(&left).unwrap().seq().unwrap() < store.seq().unwrap(), "accepted as it is");
}

#[test]
fn a_log_of_another_catalogue_is_refused_and_the_file_is_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let twin = DataDir::new(folder.path().join("twin"));
    fs::create_dir_all(twin.path()).unwrap();
    fs::copy(data.store(), twin.store()).unwrap();
    let (mut store, mut other) = (Store::open(&data).unwrap(), Store::open(&twin).unwrap());
    store.undo(ChangeId(1), &signed("ours")).unwrap();
    other.undo(ChangeId(3), &signed("theirs")).unwrap();
    let left = killed(&data, &folder.path().join("left"));
    fs::copy(twin.path().join("catalogue.sqlite-wal"), left.path().join("catalogue.sqlite-wal")).unwrap();
    let before = fs::read(left.store()).unwrap();
    let refused = Store::open(&left).err().unwrap().to_string();
    assert!(refused.contains("is another than the one that was kept"), "{refused}");
    assert!(fs::read(left.store()).unwrap() == before, "the other's log was written into it");
}

#[test]
fn a_change_that_was_kept_before_it_could_be_noted_is_no_fault() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let mut store = Store::open(&data).unwrap();
    store.undo(ChangeId(1), &signed("noted")).unwrap();
    let note = data.path().join("catalogue.last");
    let earlier = fs::read(&note).unwrap();
    store.undo(ChangeId(3), &signed("not noted")).unwrap();
    assert!(fs::read(&note).unwrap() != earlier);
    fs::write(&note, earlier).unwrap();
    drop(store);
    assert_eq!((Store::open(&data).err().map(|fault| fault.to_string()), data.check().0), (None, vec![]));
}

#[test]
fn a_check_while_changes_are_made_finds_no_fault() {
    let folder = tempfile::tempdir().unwrap();
    let data = of_many_rows(folder.path());
    let mut store = Store::open(&data).unwrap();
    let enough = std::sync::atomic::AtomicBool::new(false);
    std::thread::scope(|scope| {
        let writer = scope.spawn(|| {
            for times in 0.. {
                if enough.load(std::sync::atomic::Ordering::SeqCst) {
                    return times;
                }
                store.tally(&[(Counted::Wanted, format!("fennick.f101 EU {times}"))], 0).unwrap();
            }
            0
        });
        let found: Vec<String> = (0..8).flat_map(|_| data.check().0).collect();
        enough.store(true, std::sync::atomic::Ordering::SeqCst);
        assert_eq!(found, Vec::<String>::new());
        assert!(writer.join().unwrap() > 8);
    });
}
