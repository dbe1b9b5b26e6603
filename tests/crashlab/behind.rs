//! C3: killed after a change stands in the store and before the word index follows it.

use std::fs;
use std::time::Instant;

use crate::house::House;
use crate::oracle::{Oracle, export, index_is_derived};
use crate::script::{self, send_sheet};
use crate::table::{Found, Outcome};

/// Calls at which the start that makes the index follow is killed as well.
const AGAIN: [&str; 6] =
    ["mkdir:when=2", "mkdir:when=3", "rename:when=1", "write:when=9", "openat:when=60", "unlink:when=1"];

/// A sheet with a name that no index knows.
fn sheet() -> String {
    script::sheet(140) + "Fennick,K-77,Tamsel,ochre,EU,42,,3,B2,140\n"
}

/// The index on the disk is behind what was acknowledged; the next start finds the new name, also when it was killed on the
/// way to it, and nobody sends the sheet again.
pub(crate) fn followed(oracle: &Oracle) -> Outcome {
    if let Some(why) = crate::syscalls::missing() {
        return Outcome::Skipped(why);
    }
    let after = fault_free(oracle);
    let (mut found, mut slowest) = (Found::default(), 0);
    for (round, at) in AGAIN.into_iter().enumerate() {
        let house = oracle.house(&format!("behind-{round}"));
        let server = house.serve(&[]).unwrap();
        let answer = send_sheet(&server.address, "tamsel.csv", &sheet()).unwrap();
        assert!(answer.status == 303 && answer.place() == "/changes?done=2", "{}", answer.status);
        server.kill();
        killed_at(&house, at);
        let began = Instant::now();
        let server = house.serve(&[]).unwrap();
        let page = tests::http::get(&server.address, "/shoes?q=tamsel").unwrap();
        slowest = began.elapsed().as_millis().max(slowest);
        assert!(page.status == 200 && page.body.contains("Tamsel"), "{at}: {}", page.body);
        server.kill();
        assert!(house.run(&["check"]).status.success());
        found.tries += 1;
        found.acknowledged += 1;
        found.mixed += usize::from(export(&house) != after);
        index_is_derived(&house);
    }
    Outcome::Done(
        found.noted(&format!("each two kills; at most {slowest} ms to the answer with the new name")),
    )
}

fn fault_free(oracle: &Oracle) -> Vec<u8> {
    let (house, path) = (oracle.house("behind-fault-free"), oracle.at("tamsel.csv"));
    fs::write(&path, sheet()).unwrap();
    let run = house.run(&["import", "--yes", "--supplier", "Feldrast", path.to_str().unwrap()]);
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    export(&house)
}

/// Makes the index follow, by a command that is killed at a call.
fn killed_at(house: &House, at: &str) {
    let (call, when) = at.split_once(':').unwrap();
    let inject = format!("inject={call}:signal=SIGKILL:{when}");
    let tracer = ["strace", "-f", "-o", "/dev/null", "-e", &inject];
    let _ = house.behind(&tracer, &["search", "tamsel"]).output().unwrap();
}
