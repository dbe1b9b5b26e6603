//! D10: a server whose memory runs out in the middle of a large sheet: ended by the system, or told that it gets no more.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use tests::http::get;

use crate::house::{House, Server, tool, wait_for};
use crate::oracle::{Oracle, export, searching_goes_on};
use crate::script::{self, Heard, send_sheet};
use crate::table::{Found, Outcome};

/// What a group of processes may have, in MB: where this was written, what ends it while it reads, twice while it makes the
/// change, and enough.
const GROUPS: [usize; 4] = [14, 18, 22, 64];
/// How much more a server may ask for than it has once it answers, in MB.
const MORE: [usize; 2] = [1, 64];
/// How many changes are acknowledged where the sheet is made: the one before it, and its own.
const MADE: usize = 2;
/// Where a group is made, and the file that holds its limit: the second version of them, and the first.
const KINDS: [(&str, &str); 2] =
    [("/sys/fs/cgroup", "memory.max"), ("/sys/fs/cgroup/memory", "memory.limit_in_bytes")];

/// A sheet of many more styles than the catalogue has.
fn sheet() -> String {
    let mut csv = "Maker,Style number,Model,Colour,Size system,Size,Qty\n".to_owned();
    for row in 0..8_000 {
        let (style, size) = (row / 20, 36 + row % 20);
        writeln!(csv, "Fennick,B-{style},Fjord {style},ochre,EU,{size},{}", row % 5).unwrap();
    }
    csv
}

/// The sheet is refused, or the server ended and as after any kill: what was acknowledged is there, and it starts again.
pub(crate) fn runs_out(oracle: &Oracle) -> Outcome {
    let after = fault_free(oracle);
    let (mut found, mut ended, mut made) = (Found::default(), 0, 0);
    for megabytes in GROUPS {
        // Made before, so that it is taken away after the server.
        let Some(group) = Group::of(megabytes) else { break };
        let house = oracle.house(&format!("memory-{megabytes}"));
        let enter = format!("echo $$ > {}/cgroup.procs && exec \"$0\" \"$@\"", group.0.display());
        // One that is ended before it answers has acknowledged nothing.
        let (one, is_ended) = match house.serve(&["sh", "-c", &enter]) {
            Ok(server) => sent(oracle, &house, server, &after),
            Err(_) => (oracle.look(&house, 1).1, true),
        };
        ended += usize::from(is_ended);
        made += usize::from(one.acknowledged == MADE);
        found = found.and(&one);
    }
    let groups = found.tries;
    for more in MORE {
        let house = oracle.house(&format!("more-memory-{more}"));
        let server = house.serve(&[]).unwrap();
        let limit = format!("--as={}", size(&server) + more * 1_000_000);
        if !tool(&["prlimit", &limit, "--pid", &server.pid.to_string()]) {
            break;
        }
        let (one, is_ended) = sent(oracle, &house, server, &after);
        ended += usize::from(is_ended);
        made += usize::from(one.acknowledged == MADE);
        found = found.and(&one);
    }
    if found.tries == 0 {
        return Outcome::Skipped("this system limits no memory".to_owned());
    }
    let refused = found.tries.saturating_sub(ended + made);
    Outcome::Done(found.noted(&format!(
        "{ended} servers ended, {refused} sheets refused, {made} made; {groups} by a group of processes"
    )))
}

/// The export after change 2 and the sheet.
fn fault_free(oracle: &Oracle) -> Vec<u8> {
    let house = oracle.house("memory-fault-free");
    let server = house.serve(&[]).unwrap();
    assert!(matches!(script::make(&server.address, 2), Heard::Acknowledged));
    let answer = send_sheet(&server.address, "fjord.csv", &sheet()).unwrap();
    assert!(answer.status == 303 && answer.place() == "/changes?done=3", "{} {}", answer.status, answer.body);
    server.kill();
    export(&house)
}

/// Sends the sheet to a server that has not enough, or just enough; what stands then, and whether it was ended.
fn sent(oracle: &Oracle, house: &House, mut server: Server, after: &[u8]) -> (Found, bool) {
    let is_first_made = matches!(script::make(&server.address, 2), Heard::Acknowledged);
    let is_made = is_first_made
        && send_sheet(&server.address, "fjord.csv", &sheet()).is_ok_and(|answer| answer.status == 303);
    let standing = 1 + usize::from(is_first_made) + usize::from(is_made);
    // One that has failed may still be on its way down.
    if !is_made {
        thread::sleep(Duration::from_millis(300));
    }
    let is_ended = get(&server.address, "/healthz").is_err();
    if is_ended {
        wait_for("the server is gone", || !server.lives());
    } else {
        assert!(server.lives());
        server.kill();
    }
    let (last, mut one) = oracle.look_also(house, standing, Some((3, after)));
    assert!(one.refused == 0, "refused: {}", one.note);
    one.acknowledged = standing - 1;
    let server = house.serve(&[]).unwrap();
    searching_goes_on(&server);
    assert!(matches!(script::make(&server.address, last + 1), Heard::Acknowledged));
    (one, is_ended)
}

/// What a process has been given so far, in bytes.
fn size(server: &Server) -> usize {
    let status = fs::read_to_string(format!("/proc/{}/status", server.pid)).unwrap();
    let line = status.lines().find_map(|line| line.strip_prefix("VmSize:")).unwrap();
    line.trim().trim_end_matches(" kB").parse::<usize>().unwrap() * 1_024
}

/// Processes that may have so much memory together, gone with the value.
struct Group(PathBuf);

impl Group {
    fn of(megabytes: usize) -> Option<Self> {
        KINDS.into_iter().find_map(|(under, file)| {
            let folder = Path::new(under).join(format!("lastbench-{}-{megabytes}", std::process::id()));
            fs::create_dir(&folder).ok()?;
            let group = Self(folder);
            // A file that is made by hand there limits nothing.
            let limit = group.0.join(file);
            let is_limited = limit.exists() && fs::write(&limit, (megabytes << 20).to_string()).is_ok();
            is_limited.then_some(group)
        })
    }
}

impl Drop for Group {
    fn drop(&mut self) {
        // It is empty a moment after its last process has ended.
        for _ in 0..100 {
            if fs::remove_dir(&self.0).is_ok() {
                return;
            }
            thread::sleep(Duration::from_millis(20));
        }
    }
}
