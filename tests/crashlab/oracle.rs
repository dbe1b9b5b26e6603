//! What must hold after any fault, by a run of the same script without one.

use std::fs;
use std::sync::atomic::{AtomicUsize, Ordering};

use tests::http::get;

use crate::house::{House, Server};
use crate::script::{self, Heard, LAST, is_undo};
use crate::table::Found;

/// The folder that everything begins with, and the state after each change.
pub(crate) struct Oracle {
    folder: tempfile::TempDir,
    /// The export after change k; none before the first.
    pub(crate) after: Vec<Vec<u8>>,
}

/// What a question finds, on the page and in numbers.
const QUESTIONS: [&str; 4] = ["egge", "kill 7", "fennick ochre", "size 42"];

impl Oracle {
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let house = House(folder.path().join("base"));
        fs::write(folder.path().join("first.csv"), script::sheet(100)).unwrap();
        let first = folder.path().join("first.csv");
        // The supplier that later sheets come from, so that they may change what this one says.
        let run = house.run(&["import", "--yes", "--supplier", "Feldrast", first.to_str().unwrap()]);
        assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
        // So that its word index is on the disk.
        assert!(house.run(&["check"]).status.success());
        let mut oracle = Self { after: vec![Vec::new(), export(&house)], folder };
        let scratch = oracle.house("fault-free");
        let server = scratch.serve(&[]).unwrap();
        for change in 2..=LAST {
            match script::make(&server.address, change) {
                Heard::Acknowledged => oracle.after.push(export(&scratch)),
                Heard::Nothing => panic!("change {change}: no answer"),
                Heard::Refused(answer) => panic!("change {change}: {} {}", answer.status, answer.head),
            }
        }
        // A change that could not be seen could neither be lost nor halved.
        assert!(oracle.after.windows(2).all(|pair| pair[0] != pair[1]), "a change that changes nothing");
        // I4: what is taken back is as it was before.
        for undo in (2..=LAST).filter(|change| is_undo(*change)) {
            assert!(oracle.after[undo] == oracle.after[undo - 2], "undo {undo} is not as before");
        }
        oracle
    }

    /// A folder of its own after the first change.
    pub(crate) fn house(&self, name: &str) -> House {
        House::copy(&self.folder.path().join("base"), self.at(name))
    }

    pub(crate) fn at(&self, name: &str) -> std::path::PathBuf {
        self.folder.path().join(name)
    }

    /// What stands in a folder when nothing runs on it, against what was acknowledged last.
    pub(crate) fn look(&self, house: &House, acknowledged: usize) -> (usize, Found) {
        self.look_also(house, acknowledged, None)
    }

    /// As [`Self::look`], where a change may also be another than the one of the script.
    pub(crate) fn look_also(
        &self,
        house: &House,
        acknowledged: usize,
        other: Option<(usize, &[u8])>,
    ) -> (usize, Found) {
        let mut found = Found { tries: 1, ..Found::default() };
        let check = house.run(&["check"]);
        if !check.status.success() {
            found.refused = 1;
            found.note = String::from_utf8_lossy(&[check.stdout, check.stderr].concat()).into_owned();
            return (0, found);
        }
        let last = last_change(house);
        found.lost = acknowledged.saturating_sub(last);
        let of_script = || self.after.get(last).map(Vec::as_slice);
        let after = other.filter(|(change, _)| *change == last).map(|(_, after)| after).or_else(of_script);
        if after.is_none_or(|after| *after != export(house)) {
            found.mixed = 1;
        }
        let left = left_behind(house);
        assert!(left.is_empty(), "left behind: {left:?}");
        (last, found)
    }
}

/// I3: the index in use answers as one built anew does.
pub(crate) fn index_is_derived(house: &House) {
    let used = answers(house);
    assert!(house.run(&["rebuild"]).status.success());
    assert_eq!(used, answers(house), "the index in use was another");
}

fn answers(house: &House) -> Vec<String> {
    let ask = |question: &&str| {
        let told = house.run(&["search", "--json", question]);
        String::from_utf8_lossy(&told.stdout).into_owned()
    };
    QUESTIONS.iter().map(ask).collect()
}

/// The catalogue written out.
pub(crate) fn export(house: &House) -> Vec<u8> {
    let out = house.run(&["export", "--ndjson"]);
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    out.stdout
}

/// The number of the last change that `history` lists.
pub(crate) fn last_change(house: &House) -> usize {
    let out = house.run(&["history", "--json", "--limit", "1"]);
    let line: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap_or_default();
    line["change"].as_u64().unwrap_or(0) as usize
}

/// Half-built indexes, and anything in the folder that has no business there.
fn left_behind(house: &House) -> Vec<String> {
    let known = [
        "catalogue.sqlite",
        "catalogue.sqlite-wal",
        "catalogue.sqlite-shm",
        "catalogue.last",
        "staff.sqlite",
        "staff.sqlite-wal",
        "staff.sqlite-shm",
        "lock",
        "index",
        "backups",
    ];
    let names = |folder| {
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        entries.map(|entry| entry.file_name().to_string_lossy().into_owned())
    };
    let strange = names(house.0.clone()).filter(|name| !known.contains(&name.as_str()));
    let half_built = names(house.0.join("index")).filter(|name| name.starts_with('.'));
    strange.chain(half_built).collect()
}

/// Makes changes from `first` on until the connection ends or the script is over, and gives the last acknowledged one.
pub(crate) fn work(address: &str, first: usize) -> usize {
    work_counting(address, first, &AtomicUsize::new(0))
}

/// As [`work`], and says after each receipt how far it is.
pub(crate) fn work_counting(address: &str, first: usize, heard: &AtomicUsize) -> usize {
    let mut acknowledged = 0;
    for change in first..=LAST {
        match script::make(address, change) {
            Heard::Acknowledged => {
                acknowledged = change;
                heard.store(change, Ordering::SeqCst);
            }
            Heard::Nothing => break,
            Heard::Refused(answer) => panic!("change {change}: {} {}", answer.status, answer.body),
        }
    }
    acknowledged
}

/// A page is answered.
pub(crate) fn searching_goes_on(server: &Server) {
    let page = get(&server.address, "/shoes?q=egge").unwrap();
    assert!(page.status == 200 && page.body.contains("Egge"), "{}", page.status);
}
