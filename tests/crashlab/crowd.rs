//! P1, P3, P4, P5: two clients that import, one that counts and some that search, all at once; and one sheet that is
//! applied five times.

use std::fmt::Write as _;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;
use std::time::Duration;

use serde_json::Value;
use tests::http::{Answer, get, post_sheet};

use crate::oracle::{Oracle, index_is_derived, last_change};
use crate::script::{apply, count, hidden, send_sheet, settled};
use crate::table::Outcome;

/// So many sheets of each of two clients.
const SHEETS: usize = 5;
const SEARCHERS: usize = 6;

/// Every size of every Kill has so many pairs.
fn sheet(pairs: usize) -> String {
    let mut csv = "Maker,Style number,Model,Colour,Size system,Size,Qty\n".to_owned();
    for row in 0..400 {
        let (style, size) = (row / 20, 36 + row % 20);
        writeln!(csv, "Fennick,K-{style},Kill {style},ochre,EU,{size},{pairs}").unwrap();
    }
    csv
}

/// Changes are made one after the other, none is lost, nobody sees half of one or goes back behind one, and nobody hears
/// of a fault of the server.
pub(crate) fn at_once(oracle: &Oracle) -> Outcome {
    let house = oracle.house("crowd");
    let mut server = house.serve(&[]).unwrap();
    let address = server.address.as_str();
    assert_eq!(send_sheet(address, "first.csv", &sheet(1)).unwrap().status, 303);
    let (done, conflicts) = (AtomicBool::new(false), AtomicUsize::new(0));
    let (made, looked) = thread::scope(|scope| {
        let searchers: Vec<_> = (0..SEARCHERS).map(|_| scope.spawn(|| search(address, &done))).collect();
        let counter = scope.spawn(|| counting(address, &done, &conflicts));
        let importers = [0, 1].map(|who| {
            let conflicts = &conflicts;
            scope.spawn(move || {
                (0..SHEETS).for_each(|sheet| import(address, 2 + who + 2 * sheet, conflicts));
                SHEETS
            })
        });
        let imported: usize = importers.into_iter().map(|one| one.join().unwrap()).sum();
        done.store(true, Ordering::SeqCst);
        let looked: usize = searchers.into_iter().map(|one| one.join().unwrap()).sum();
        (imported + counter.join().unwrap(), looked)
    });
    five_times(address);
    assert!(server.lives(), "a process has died");
    server.kill();
    let standing = last_change(&house);
    let check = house.run(&["check"]);
    assert!(check.status.success(), "{}", String::from_utf8_lossy(&check.stdout));
    index_is_derived(&house);
    let acknowledged = made + 2;
    let found = crate::table::Found {
        tries: made + 1,
        acknowledged,
        // The first sheet of the laboratory stands before them.
        lost: (acknowledged + 1).saturating_sub(standing),
        mixed: usize::from(standing != acknowledged + 1),
        ..Default::default()
    };
    let conflicts = conflicts.into_inner();
    Outcome::Done(found.noted(&format!(
        "{looked} searches meanwhile, each of one change; {conflicts} conflicts looked at again"
    )))
}

/// Sends a sheet until it is applied; whoever was overtaken looks again.
fn import(address: &str, pairs: usize, conflicts: &AtomicUsize) {
    loop {
        let answer = send_sheet(address, &format!("{pairs}.csv"), &sheet(pairs)).unwrap();
        match answer.status {
            303 => return,
            200 | 409 => overtaken(&answer, conflicts),
            _ => panic!("{} {}", answer.status, answer.body),
        }
    }
}

fn overtaken(answer: &Answer, conflicts: &AtomicUsize) {
    assert!(answer.body.contains("changed since") || answer.body.contains("has changed"), "{}", answer.body);
    conflicts.fetch_add(1, Ordering::SeqCst);
}

/// Ten counts a second; how many were applied.
fn counting(address: &str, done: &AtomicBool, conflicts: &AtomicUsize) -> usize {
    let mut made = 0;
    while !done.load(Ordering::SeqCst) {
        let answer = count(address, &format!("7300011000017 x{}", 500 + made)).unwrap();
        match answer.status {
            303 => made += 1,
            409 => overtaken(&answer, conflicts),
            _ => panic!("{} {}", answer.status, answer.body),
        }
        thread::sleep(Duration::from_millis(100));
    }
    made
}

/// Searches until all is done: every answer is of one change, and of none before the last one seen.
fn search(address: &str, done: &AtomicBool) -> usize {
    let (mut looked, mut change) = (0, 0);
    while !done.load(Ordering::SeqCst) {
        let answer = get(address, "/shoes.json?q=kill").unwrap();
        assert_eq!(answer.status, 200, "{}", answer.body);
        let found: Value = serde_json::from_str(&answer.body).unwrap();
        let each: Vec<u64> =
            found["results"].as_array().unwrap().iter().map(|shoe| shoe["pairs"].as_u64().unwrap()).collect();
        assert!(each.len() > 1 && each.iter().all(|pairs| *pairs == each[0]), "half of a change: {each:?}");
        assert_eq!(found["pairs"].as_u64().unwrap(), each[0] * 20, "another change in the sum");
        let now = seen(address);
        assert!(now >= change, "{change} was shown, and now {now}");
        (looked, change) = (looked + 1, now);
    }
    looked
}

/// The change that searches see.
fn seen(address: &str) -> u64 {
    let numbers = get(address, "/metrics").unwrap().body;
    let line = numbers.lines().find(|line| !line.starts_with('#') && line.contains("change_sequence"));
    line.and_then(|line| line.rsplit(' ').next()?.parse().ok()).unwrap()
}

/// P3: five presses at once are one import with one receipt.
fn five_times(address: &str) {
    let home = post_sheet(address, "Feldrast", "five.csv", sheet(900).as_bytes()).unwrap().place();
    let page = settled(address, &home).unwrap();
    let seen = hidden(&page, &format!("{home}/apply"), "seen").unwrap();
    let places = thread::scope(|scope| {
        let presses = [(); 5].map(|()| scope.spawn(|| apply(address, &home, &seen).unwrap()));
        presses.map(|press| press.join().unwrap()).map(|answer| {
            assert_eq!(answer.status, 303, "{}", answer.body);
            answer.place()
        })
    });
    assert!(places.iter().all(|place| *place == places[0] && place.contains("done=")), "{places:?}");
}
