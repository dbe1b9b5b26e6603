//! A pulled plug in the middle of an import: afterwards the catalogue is as before or as after, never between.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::fmt::Write as _;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use rusqlite::{Connection, OpenFlags};

const LASTBENCH: &str = env!("CARGO_BIN_EXE_lastbench-under-test");
const KILLS: usize = 50;
/// So many of the kills must be seen to fall between BEGIN and COMMIT; a quick machine needs more kills for it.
const BETWEEN: usize = 10;
const AT_MOST: usize = 400;

fn lastbench(data: &Path) -> Command {
    let mut command = Command::new(LASTBENCH);
    command.env("LASTBENCH_DATA", data).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

fn import(data: &Path, sheet: &Path) -> Child {
    lastbench(data).args(["import", "--yes"]).arg(sheet).spawn().unwrap()
}

fn export(data: &Path) -> Vec<u8> {
    let out = lastbench(data).args(["export", "--ndjson"]).stdout(Stdio::piped()).output().unwrap();
    assert!(out.status.success());
    out.stdout
}

/// A stock sheet large enough that writing it takes a while; `price` tells one from the other.
fn sheet(at: &Path, price: u32) {
    let mut csv = "Maker,Style number,Style name,Size system,Size,Colour,Qty,Price EUR\n".to_owned();
    for row in 0..3_000 {
        let (style, size) = (row / 20, 36 + row % 20);
        writeln!(csv, "Fennick,K-{style},Kill {style},EU,{size},Ochre,{},{price}", row % 5).unwrap();
    }
    std::fs::write(at, csv).unwrap();
}

/// The last change that another process can see.
fn visible(store: &Path) -> i64 {
    let open = Connection::open_with_flags(store, OpenFlags::SQLITE_OPEN_READ_ONLY);
    let asked =
        open.and_then(|c| c.query_row("SELECT coalesce(max(id), 0) FROM change", [], |row| row.get(0)));
    asked.unwrap_or(-1)
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    std::fs::copy(from.join("catalogue.sqlite"), to.join("catalogue.sqlite")).unwrap();
}

/// Waits until the write-ahead log has grown by `bytes` while nobody sees a new change, or until the import ends.
fn wait_for_the_log(child: &mut Child, data: &Path, bytes: u64) {
    let wal = data.join("catalogue.sqlite-wal");
    let until = Instant::now() + Duration::from_secs(20);
    while Instant::now() < until {
        let grown = std::fs::metadata(&wal).is_ok_and(|log| log.len() >= bytes);
        if grown || child.try_wait().unwrap().is_some() {
            return;
        }
        std::thread::sleep(Duration::from_micros(200));
    }
}

#[test]
fn fifty_kills_during_an_import_leave_before_or_after() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    sheet(&at("first.csv"), 100);
    sheet(&at("second.csv"), 120);
    assert!(import(&at("clean"), &at("first.csv")).wait().unwrap().success());
    let before = export(&at("clean"));
    copy(&at("clean"), &at("after"));
    let started = Instant::now();
    assert!(import(&at("after"), &at("second.csv")).wait().unwrap().success());
    let whole = started.elapsed();
    let after = export(&at("after"));
    assert_ne!(before, after);

    let (mut kill, mut between) = (0, 0);
    while kill < KILLS || (between < BETWEEN && kill < AT_MOST) {
        let mut seen_between = false;
        let data = at(&format!("kill-{kill}"));
        copy(&at("clean"), &data);
        let mut child = import(&data, &at("second.csv"));
        if kill % 2 == 0 {
            // The log grows in the transaction alone, and nobody sees the change before the commit.
            wait_for_the_log(&mut child, &data, 1 + 20_000 * (kill % KILLS / 2) as u64);
            let running = child.try_wait().unwrap().is_none();
            let log = std::fs::metadata(data.join("catalogue.sqlite-wal")).is_ok_and(|log| log.len() > 0);
            seen_between = running && log && visible(&data.join("catalogue.sqlite")) == 1;
        } else {
            // Swept over the time that a whole import takes, and somewhat beyond.
            std::thread::sleep(whole * (kill % KILLS) as u32 / 40);
        }
        let _ = child.kill();
        let acknowledged = child.wait().unwrap().success();
        let checked = lastbench(&data).arg("check").status().unwrap();
        assert!(checked.success(), "kill {kill}: the store is damaged");
        let now = export(&data);
        assert!(now == before || now == after, "kill {kill} left something between");
        assert!(now == after || !acknowledged, "kill {kill} lost a change that was acknowledged");
        // A commit may still slip in between the look and the kill; one that did would be seen now.
        between += usize::from(seen_between && now == before);
        std::fs::remove_dir_all(&data).unwrap();
        kill += 1;
    }
    assert!(between >= BETWEEN, "only {between} kills fell between BEGIN and COMMIT");
}
