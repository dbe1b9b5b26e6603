//! Disks that are full, that may not be written to, and that fail.

use std::fs;
use std::path::Path;

use tests::http::post;

use crate::house::{House, Server, copy_folder, tool};
use crate::oracle::{Oracle, export, searching_goes_on};
use crate::script::{self, Heard};
use crate::table::{Found, Outcome};

/// A small file system of its own, gone with the value.
pub(crate) struct Mounted(std::path::PathBuf);

impl Mounted {
    /// `words` mount it, the last of them being where.
    pub(crate) fn by(words: &[&str], at: &Path) -> Option<Self> {
        Self::with(&[&["mount"], words].concat(), at)
    }

    /// As [`Self::by`], by another program than `mount`.
    pub(crate) fn with(words: &[&str], at: &Path) -> Option<Self> {
        fs::create_dir_all(at).unwrap();
        let all = [words, &[at.to_str().unwrap()]].concat();
        tool(&all).then(|| Self(at.to_owned()))
    }

    pub(crate) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Mounted {
    fn drop(&mut self) {
        let _ = tool(&["umount", "-l", self.0.to_str().unwrap()]);
    }
}

const NO_MOUNT: &str = "this system allows no mount";

/// D1: a disk without room for the change. It is told, nothing is changed, and it works again once there is room.
pub(crate) fn full(oracle: &Oracle) -> Outcome {
    let Some(disk) = Mounted::by(&["-t", "tmpfs", "-o", "size=300m", "none"], &oracle.at("full")) else {
        return Outcome::Skipped(NO_MOUNT.to_owned());
    };
    let house = House(disk.path().join("data"));
    copy_folder(&oracle.house("full-base").0, &house.0).unwrap();
    let ballast = disk.path().join("ballast");
    let mut server = house.serve(&[]).unwrap();
    let mut found = Found::default();
    let mut standing = 1;
    for _ in 0..4 {
        fill(&ballast);
        let next = standing + 1;
        assert_refused(&server, next, (507, told_on_a_full_disk(next)));
        searching_goes_on(&server);
        fs::remove_file(&ballast).unwrap();
        let made = script::make(&server.address, next);
        assert!(matches!(made, Heard::Acknowledged), "not once there is room: {}", words(made));
        standing = next;
        found.tries += 1;
        found.acknowledged += 1;
    }
    assert!(server.lives());
    server.kill();
    fill(&ballast);
    command_on_a_full_disk(&house, oracle);
    fs::remove_file(&ballast).unwrap();
    let (_, one) = oracle.look(&house, standing);
    found.tries += 1;
    found = Found { tries: found.tries - 1, ..found }.and(&one);
    Outcome::Done(found.noted("507 and exit 3; taken without a restart once there is room"))
}

/// A sheet is refused before it is read; anything else when it is written.
fn told_on_a_full_disk(change: usize) -> &'static str {
    if script::is_import(change) {
        "MB are free on the disk of the catalogue, and this sheet may need"
    } else {
        "The disk that holds the catalogue is full"
    }
}

/// Until not one more byte fits.
fn fill(ballast: &Path) {
    use std::io::Write as _;
    let mut file = fs::File::create(ballast).unwrap();
    for piece in [65_536, 4_096, 1] {
        let zeros = vec![0_u8; piece];
        while file.write_all(&zeros).is_ok() {}
    }
}

fn command_on_a_full_disk(house: &House, oracle: &Oracle) {
    let sheet = oracle.at("full.csv");
    fs::write(&sheet, script::sheet(500)).unwrap();
    let run = house.run(&["import", "--yes", "--supplier", "Feldrast", sheet.to_str().unwrap()]);
    let words = String::from_utf8_lossy(&run.stderr);
    assert_eq!(run.status.code(), Some(3), "{words}");
    assert!(words.contains("0 MB are free") && !words.contains("panicked"), "{words}");
}

/// The change is refused with this status and these words.
fn assert_refused(server: &Server, change: usize, (status, say): (u16, &str)) {
    match script::make(&server.address, change) {
        Heard::Refused(answer) => {
            let is_so = answer.status == status && answer.body.contains(say);
            assert!(is_so, "change {change}: {} {}", answer.status, answer.body);
        }
        other => panic!("change {change}: {}", words(other)),
    }
}

fn words(heard: Heard) -> String {
    match heard {
        Heard::Acknowledged => "acknowledged".to_owned(),
        Heard::Nothing => "no answer".to_owned(),
        Heard::Refused(answer) => format!("{} {}", answer.status, answer.body),
    }
}

/// D2: no room for the word index, which is then kept in memory: searching and changing go on.
pub(crate) fn index_full(oracle: &Oracle) -> Outcome {
    let house = oracle.house("index-full");
    fs::remove_dir_all(house.0.join("index")).unwrap();
    let Some(disk) = Mounted::by(&["-t", "tmpfs", "-o", "size=4k", "none"], &house.0.join("index")) else {
        return Outcome::Skipped(NO_MOUNT.to_owned());
    };
    let server = house.serve(&[]).unwrap();
    searching_goes_on(&server);
    assert!(matches!(script::make(&server.address, 2), Heard::Acknowledged));
    searching_goes_on(&server);
    server.kill();
    let (_, one) = oracle.look(&house, 2);
    drop(disk);
    Outcome::Done(Found { acknowledged: 1, note: "the index is kept in memory".to_owned(), ..one })
}

/// D3: a file that may grow no further, as with a quota; unheard, the signal for it ends a program.
pub(crate) fn limited(oracle: &Oracle) -> Outcome {
    let house = oracle.house("limited");
    let size = fs::metadata(house.0.join("catalogue.sqlite")).unwrap().len() / 512 + 8;
    let limit = format!("ulimit -S -f {size}; exec \"$0\" \"$@\"");
    let mut server = house.serve(&["sh", "-c", &limit]).unwrap();
    let mut standing = 1;
    let mut found = Found::default();
    while matches!(script::make(&server.address, standing + 1), Heard::Acknowledged) {
        standing += 1;
        assert!(standing < script::LAST, "the limit was never met");
    }
    assert_refused(&server, standing + 1, (507, "The disk that holds the catalogue is full"));
    assert!(server.lives(), "the signal has ended it");
    searching_goes_on(&server);
    if tool(&["prlimit", "--fsize=unlimited", "--pid", &server.pid.to_string()]) {
        assert!(matches!(script::make(&server.address, standing + 1), Heard::Acknowledged), "not with room");
        standing += 1;
        found = found.noted("507; taken without a restart once there is room");
    }
    server.kill();
    let (_, one) = oracle.look(&house, standing);
    found.acknowledged = standing - 1;
    let note = found.note.clone();
    Outcome::Done(Found { note, ..found.and(&one) })
}

/// D6: the disk cannot say that it keeps what was written. Nothing more is written, and the next start finds it whole.
pub(crate) fn sync_fails(oracle: &Oracle) -> Outcome {
    if let Some(why) = crate::syscalls::missing() {
        return Outcome::Skipped(why);
    }
    let mut found = Found::default();
    for round in 0..3 {
        let house = oracle.house(&format!("sync-{round}"));
        let tracer = [
            "strace",
            "-f",
            "--seccomp-bpf",
            "-o",
            "/dev/null",
            "-e",
            "inject=fsync,fdatasync:error=EIO:when=1+",
        ];
        let mut server = house.serve(&tracer).unwrap();
        assert_refused(&server, 2, (503, "The disk failed while a change was written"));
        // Not another try: a sync after one that failed says nothing.
        let text = [("text", "7300011000017 x9"), ("place", ""), ("scope", "listed")];
        assert_eq!(post(&server.address, "/count", &text).unwrap().status, 200, "looking goes on");
        assert_refused(&server, 2, (503, "The disk failed while a change was written"));
        searching_goes_on(&server);
        assert!(server.lives());
        server.kill();
        let (last, one) = oracle.look(&house, 1);
        found = found.and(&one);
        let server = house.serve(&[]).unwrap();
        assert!(matches!(script::make(&server.address, last + 1), Heard::Acknowledged));
        server.kill();
        found = found.and(&oracle.look(&house, last + 1).1);
        found.acknowledged += 1;
    }
    Outcome::Done(found.noted("503, reads go on, the next start writes again"))
}

/// D7: a folder that cannot be written to, closed in order and after a kill, whose log stands beside it. It is looked at
/// as it is, every page says so, and whatever would be written is refused.
pub(crate) fn read_only(oracle: &Oracle) -> Outcome {
    let mut found = Found::default();
    for is_killed in [false, true] {
        let house = oracle.house(&format!("read-only-{is_killed}"));
        let server = house.serve(&[]).unwrap();
        assert!(matches!(script::make(&server.address, 2), Heard::Acknowledged));
        if is_killed {
            server.kill();
            assert!(fs::metadata(house.0.join("catalogue.sqlite-wal")).unwrap().len() > 0, "no log");
        } else {
            assert_eq!(server.stop(), Some(0));
        }
        let Some(shut) = shut(&house) else { return Outcome::Skipped(NO_MOUNT.to_owned()) };
        looked_at(&house, oracle);
        drop(shut);
        let (last, one) = oracle.look(&house, 2);
        assert_eq!(last, 2, "something was written");
        found = found.and(&one);
        found.acknowledged += 1;
    }
    Outcome::Done(
        found.noted("every page says so, 503 and exit 3 name the folder, and the index is used as it is"),
    )
}

/// The folder, mounted so that nothing in it can be changed.
fn shut(house: &House) -> Option<Mounted> {
    let data = house.0.to_str().unwrap();
    let mounted = Mounted::by(&["--bind", data], &house.0)?;
    tool(&["mount", "-o", "remount,ro,bind", data]).then_some(mounted)
}

fn looked_at(house: &House, oracle: &Oracle) {
    let data = house.0.to_str().unwrap();
    let mut server = house.serve(&[]).unwrap_or_else(|words| panic!("{words}"));
    assert!(server.said.contains(data), "the folder is not named: {}", server.said);
    searching_goes_on(&server);
    for path in ["/", "/shoes", "/day", "/nowhere"] {
        let page = tests::http::get(&server.address, path).unwrap();
        assert!(page.body.contains("The catalogue can only be looked at"), "{path}: {}", page.body);
        assert!(!page.body.contains("is damaged"), "{path}");
    }
    assert_refused(&server, 3, (503, "cannot be written to, so nothing was changed"));
    assert_refused(&server, 4, (503, "cannot be written to, so nothing was changed"));
    let Err(second) = house.serve(&[]) else { panic!("two servers on one folder") };
    assert!(second.starts_with("exit Some(4)"), "{second}");
    assert!(server.lives());
    server.kill();
    let sheet = oracle.at("read-only.csv");
    fs::write(&sheet, script::sheet(500)).unwrap();
    let run = house.run(&["import", "--yes", "--supplier", "Feldrast", sheet.to_str().unwrap()]);
    let words = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(run.status.code() == Some(3) && words.contains(data), "{words}");
    assert!(house.run(&["check"]).status.success() && !export(house).is_empty());
}
