//! Copies of what the disk holds while changes are made: of the file system as a pulled plug leaves it, and of the
//! folder as somebody copies it by hand.

use std::fs;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::thread;
use std::time::Duration;

use crate::disk::Mounted;
use crate::house::{House, copy_folder, signal, tool};
use crate::oracle::Oracle;
use crate::script::{self, Heard, LAST};
use crate::table::{Found, Outcome};

const COPIES: usize = 12;

/// What a client has heard so far.
#[derive(Default)]
struct Client {
    acknowledged: AtomicUsize,
    enough: AtomicBool,
}

impl Client {
    fn work(&self, address: &str) {
        for change in 2..=LAST {
            if self.enough.load(Ordering::SeqCst)
                || !matches!(script::make(address, change), Heard::Acknowledged)
            {
                return;
            }
            self.acknowledged.store(change, Ordering::SeqCst);
        }
        self.enough.store(true, Ordering::SeqCst);
    }
}

/// C5: the image of a mounted ext4, copied while changes are made. What was acknowledged before a copy is in it.
pub(crate) fn pulled_plug(oracle: &Oracle) -> Outcome {
    let image = oracle.at("disk.img");
    let path = image.to_str().unwrap();
    let made = tool(&["truncate", "-s", "24M", path]) && tool(&["mkfs.ext4", "-q", "-F", path]);
    let Some(disk) = made.then(|| Mounted::by(&["-o", "loop", path], &oracle.at("disk"))).flatten() else {
        return Outcome::Skipped("this system mounts no image".to_owned());
    };
    let house = House(disk.path().join("data"));
    copy_folder(&oracle.house("image-base").0, &house.0).unwrap();
    assert!(tool(&["sync", "-f", disk.path().to_str().unwrap()]));
    let server = house.serve(&[]).unwrap();
    let client = Client { acknowledged: AtomicUsize::new(1), ..Client::default() };
    let copies = thread::scope(|scope| {
        scope.spawn(|| client.work(&server.address));
        let mut copies = Vec::new();
        while copies.len() < COPIES && !client.enough.load(Ordering::SeqCst) {
            thread::sleep(Duration::from_millis(50));
            let copy = oracle.at(&format!("copy-{}.img", copies.len()));
            let acknowledged = client.acknowledged.load(Ordering::SeqCst);
            // So that the copy is of one moment.
            signal(server.pid, "STOP");
            assert!(tool(&["cp", "--sparse=always", path, copy.to_str().unwrap()]));
            signal(server.pid, "CONT");
            copies.push((copy, acknowledged));
        }
        client.enough.store(true, Ordering::SeqCst);
        copies
    });
    server.kill();
    let mut found = Found::default();
    for (copy, acknowledged) in copies {
        let mounted = Mounted::by(&["-o", "loop", copy.to_str().unwrap()], &oracle.at("copy"));
        let mounted = mounted.expect("a copy can be mounted");
        let (_, one) = oracle.look(&House(mounted.path().join("data")), acknowledged);
        found = found.and(&one);
        found.acknowledged += acknowledged - 1;
        drop(mounted);
        fs::remove_file(copy).unwrap();
    }
    Outcome::Done(found.noted("copies of a mounted ext4, each with its journal to be replayed"))
}

/// S7: the folder copied file by file while changes are made. Such a copy is refused or is whole, whatever it is missing.
pub(crate) fn copied_folder(oracle: &Oracle) -> Outcome {
    let house = oracle.house("copied");
    let server = house.serve(&[]).unwrap();
    let client = Client { acknowledged: AtomicUsize::new(1), ..Client::default() };
    let mut found = Found::default();
    let copies: Vec<House> = thread::scope(|scope| {
        scope.spawn(|| client.work(&server.address));
        let copy = |number| {
            thread::sleep(Duration::from_millis(40));
            let to = House(oracle.at(&format!("by-hand-{number}")));
            copy_folder(&house.0, &to.0).ok().map(|()| to)
        };
        let copies = (0..COPIES).filter_map(copy).collect();
        client.enough.store(true, Ordering::SeqCst);
        copies
    });
    server.kill();
    for copy in copies {
        let (_, one) = oracle.look(&copy, 0);
        found = found.and(&one);
    }
    Outcome::Done(found.noted("copied file by file; `acknowledged` is not promised to such a copy"))
}
