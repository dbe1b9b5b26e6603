//! C7 and B2: a backup that is broken off at a system call, and one that has no room.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use indexer::keeping::backups;

use crate::disk::Mounted;
use crate::house::House;
use crate::oracle::{Oracle, export};
use crate::table::{Found, Outcome};

const FAULTS: [&str; 3] = ["signal=SIGKILL", "error=EIO", "error=ENOSPC"];
const CALLS: [&str; 5] = ["pwrite64", "fdatasync", "fsync", "rename", "unlink"];
/// Which of the calls of a name: all that are few, some of those that are many.
const AT: [usize; 6] = [1, 2, 3, 9, 50, 200];

/// C7: killed, or failed, at a call of a backup. What bears the name of a backup is one, older ones are as they were, and
/// the next backup sweeps what was left.
pub(crate) fn broken_off(oracle: &Oracle) -> Outcome {
    if let Some(why) = crate::syscalls::missing() {
        return Outcome::Skipped(why);
    }
    let (house, folder) = (oracle.house("backed-up"), oracle.at("backups"));
    let whole = export(&house);
    let to = folder.to_str().unwrap();
    assert!(house.run(&["backup", to]).status.success());
    let first = backups(&folder).unwrap().remove(0).path;
    let older = folder.join("catalogue-20200101T000000Z-change-1-asked.sqlite");
    fs::rename(&first, &older).unwrap();
    let (bytes, mut found) = (fs::read(&older).unwrap(), Found::default());
    let mut good = BTreeSet::new();
    for call in CALLS {
        for (at, fault) in AT.into_iter().flat_map(|at| FAULTS.map(|fault| (at, fault))) {
            let inject = format!("inject={call}:{fault}:when={at}");
            let tracer = ["strace", "-f", "--seccomp-bpf", "-o", "/dev/null", "-e", &inject];
            let run = house.behind(&tracer, &["backup", to]).output().unwrap();
            let words = String::from_utf8_lossy(&run.stderr).into_owned();
            assert!(!words.contains("panicked"), "{inject}: {words}");
            let is_told = words.contains("lastbench: ");
            assert!(
                run.status.success() || fault == FAULTS[0] || is_told,
                "{inject}: {:?} {words}",
                run.status
            );
            assert!(fs::read(&older).unwrap() == bytes, "{inject}: an older backup is another");
            for backup in backups(&folder).unwrap() {
                let written = fs::metadata(&backup.path).unwrap().modified().unwrap();
                let is_new = good.insert((backup.path.clone(), written));
                assert!(
                    !is_new || is_good(&house, &backup.path),
                    "{inject}: {} is none",
                    backup.path.display()
                );
            }
            found.tries += 1;
            if at > 3 && run.status.success() {
                // There are no further calls of this name.
                break;
            }
        }
    }
    assert!(house.run(&["backup", to]).status.success());
    let partial = fs::read_dir(&folder)
        .unwrap()
        .flatten()
        .filter(|entry| entry.file_name().to_string_lossy().contains(".partial"));
    assert_eq!(partial.count(), 0, "what was broken off is still there");
    found.mixed = usize::from(export(&house) != whole);
    Outcome::Done(found.noted("whatever bears the name of a backup is one; the rest is swept by the next"))
}

/// Whether a store could be restored from it.
pub(crate) fn is_good(house: &House, backup: &Path) -> bool {
    house.run(&["restore", backup.to_str().unwrap(), "--dry-run"]).status.success()
}

/// B2: no room where backups go: it is told, nothing half done is left there, and the catalogue goes on.
pub(crate) fn without_room(oracle: &Oracle) -> Outcome {
    let Some(stick) = Mounted::by(&["-t", "tmpfs", "-o", "size=64k", "none"], &oracle.at("stick")) else {
        return Outcome::Skipped("this system allows no mount".to_owned());
    };
    let house = oracle.house("without-room");
    let to = stick.path().to_str().unwrap();
    let run = house.run(&["backup", to]);
    let words = String::from_utf8_lossy(&run.stderr).into_owned();
    let is_told = words.contains(to) && words.contains("full, read-only or unplugged");
    assert!(run.status.code() == Some(3) && is_told, "{:?} {words}", run.status);
    assert_eq!(fs::read_dir(stick.path()).unwrap().count(), 0, "half a backup is left");
    let (_, one) = oracle.look(&house, 1);
    Outcome::Done(one.noted("exit 3 names the folder, and nothing is left there"))
}
