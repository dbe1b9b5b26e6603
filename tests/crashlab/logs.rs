//! S3: the log beside the store taken away, or another's put in its place, after a kill that left changes in it.

use std::fs;
use std::path::PathBuf;

use crate::house::House;
use crate::oracle::Oracle;
use crate::script::{self, Heard};
use crate::table::{Found, Outcome};

/// So many changes stand in the log, one of them a sheet with a backup before it.
const CHANGES: usize = 4;

/// An older state is never served without a word: the start is refused, the newest good backup is named, not a byte of the
/// store is written over, and with its own log back all of it is there.
pub(crate) fn lost(oracle: &Oracle) -> Outcome {
    let house = killed(oracle, "log");
    let own = fs::read(log(&house)).unwrap();
    let twin = fs::read(log(&killed(oracle, "log-twin"))).unwrap();
    let stranger = strangers_log(oracle);
    let store = fs::read(house.0.join("catalogue.sqlite")).unwrap();
    let mut found = Found::default();
    for (what, other) in [
        ("taken away", None),
        ("emptied", Some(Vec::new())),
        ("cut in half", Some(own[..own.len() / 2].to_vec())),
        ("a twin's", Some(twin)),
        ("a stranger's", Some(stranger)),
    ] {
        let _ = fs::remove_file(house.0.join("catalogue.sqlite-shm"));
        fs::remove_file(log(&house)).unwrap();
        if let Some(other) = other {
            fs::write(log(&house), other).unwrap();
        }
        let Err(words) = house.serve(&[]) else { panic!("{what}: an older state is served") };
        let is_told = words.starts_with("exit Some(3)") && words.contains("The newest good backup is of");
        assert!(is_told && words.contains("Nothing was overwritten"), "{what}: {words}");
        assert!(fs::read(house.0.join("catalogue.sqlite")).unwrap() == store, "{what}: the store is another");
        fs::write(log(&house), &own).unwrap();
        let _ = fs::remove_file(house.0.join("catalogue.sqlite-shm"));
        found.tries += 1;
    }
    restored(oracle, &house);
    let (_, one) = oracle.look(&house, CHANGES);
    found.tries -= 1;
    found = found.and(&one);
    found.acknowledged = CHANGES - 1;
    Outcome::Done(found.noted("exit 3 each time with the newest good backup; whole again with its own log"))
}

/// What is named can be restored, after which the older state is no surprise any more.
fn restored(oracle: &Oracle, house: &House) {
    let copy = House::copy(&house.0, oracle.at("log-restored"));
    let _ = fs::remove_file(copy.0.join("catalogue.sqlite-shm"));
    fs::remove_file(log(&copy)).unwrap();
    let newest = indexer::keeping::backups(&copy.0.join("backups")).unwrap().remove(0);
    let run = copy.run(&["restore", newest.path.to_str().unwrap(), "--yes"]);
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let (last, one) = oracle.look(&copy, 0);
    assert!(last == newest.seq.0 as usize && one.is_whole() && one.refused == 0, "{}", one.note);
}

/// A folder whose last changes stand in the log alone.
fn killed(oracle: &Oracle, name: &str) -> House {
    let house = oracle.house(name);
    let server = house.serve(&[]).unwrap();
    for change in 2..=CHANGES {
        assert!(matches!(script::make(&server.address, change), Heard::Acknowledged));
    }
    server.kill();
    house
}

/// The log of a catalogue that began with another sheet.
fn strangers_log(oracle: &Oracle) -> Vec<u8> {
    let house = House(oracle.at("stranger"));
    let server = house.serve(&[]).unwrap();
    let answer = script::send_sheet(&server.address, "other.csv", &script::sheet(7)).unwrap();
    assert_eq!(answer.status, 303);
    server.kill();
    fs::read(log(&house)).unwrap()
}

fn log(house: &House) -> PathBuf {
    house.0.join("catalogue.sqlite-wal")
}
