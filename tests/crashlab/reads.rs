//! D5 at a server: the disk under it begins to fail at reads, and is well again later.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

use tests::http::{Answer, get};

use crate::house::{House, Server, signal};
use crate::oracle::Oracle;
use crate::script::{self, Heard};
use crate::table::{Found, Outcome};

/// Pages from memory, from the store, and from both. Not the owner's day, which tells of the backup that is made meanwhile.
const PAGES: [&str; 10] = [
    "/",
    "/shoes",
    "/shoes?q=egge",
    "/shoes/feldrast.fr-1",
    "/changes",
    "/changes/1",
    "/changes/2",
    "/changes/2/undo",
    "/gaps",
    "/stock-map",
];

/// What a page says that does not show everything as always: this, or once a check has found it, that the store is damaged.
const SAYS_SO: [&str; 2] = ["cannot be read at the moment", "on the disk is damaged"];

/// Every read, every other one, and one here and there.
const FAIL: [&str; 4] = ["1+", "2+2", "2", "1+5"];

/// While reads fail a page is as it always is, or says that the catalogue cannot be read; a change is made whole or refused,
/// and once the disk is well again everything is there.
pub(crate) fn at_work(oracle: &Oracle) -> Outcome {
    if let Some(why) = crate::syscalls::missing() {
        return Outcome::Skipped(why);
    }
    let (mut found, mut told, mut unread) = (Found::default(), 0, 0);
    for (round, when) in FAIL.into_iter().enumerate() {
        let house = oracle.house(&format!("unread-{round}"));
        let expected = pages_at_change_2(&house);
        // Started anew it has read little of the store so far.
        let mut server = house.serve(&[]).unwrap();
        let Some(failing) = Failing::under(&server, &house, when) else {
            return Outcome::Skipped("this system lets no tracer come later".to_owned());
        };
        for (page, (answer, expected)) in PAGES.iter().zip(pages(&server).into_iter().zip(&expected)) {
            if answer.status == 200 {
                let says_so = SAYS_SO.iter().any(|words| answer.body.contains(words));
                assert!(
                    says_so || without_age(&answer) == without_age(expected),
                    "{page} is another with {when} and does not say so: {}",
                    answer.body
                );
                told += usize::from(says_so);
            } else {
                assert_told(page, &answer);
                told += 1;
            }
        }
        let mut standing = 2;
        match script::make(&server.address, 3) {
            Heard::Acknowledged => standing = 3,
            Heard::Refused(answer) => assert_told("a sheet", &answer),
            Heard::Nothing => panic!("no answer"),
        }
        assert!(server.lives());
        unread += failing.ends();
        for (page, answer) in PAGES.iter().zip(pages(&server)) {
            assert!(answer.status == 200, "{page} once reads go well: {} {}", answer.status, answer.body);
        }
        server.kill();
        let (last, one) = oracle.look(&house, standing);
        assert_eq!(last, standing, "a change that was refused stands");
        found = found.and(&one);
        found.acknowledged += standing - 1;
        // A server at work takes the next one after its next check, within a minute.
        let server = house.serve(&[]).unwrap();
        assert!(matches!(script::make(&server.address, last + 1), Heard::Acknowledged));
    }
    assert!(told > 0 && unread > 0, "{told} pages told of {unread} reads");
    Outcome::Done(
        found.noted(&format!("{unread} reads failed, {told} pages said so, the others were as always")),
    )
}

fn pages_at_change_2(house: &House) -> Vec<Answer> {
    let server = house.serve(&[]).unwrap();
    assert!(matches!(script::make(&server.address, 2), Heard::Acknowledged));
    let pages = pages(&server);
    assert_eq!(server.stop(), Some(0));
    pages
}

fn pages(server: &Server) -> Vec<Answer> {
    PAGES.map(|page| get(&server.address, page).unwrap()).to_vec()
}

/// The body but for how long ago the figures of stock came.
fn without_age(answer: &Answer) -> String {
    let mut parts = answer.body.splitn(2, "<p class=\"age\">");
    let before = parts.next().unwrap_or_default();
    let behind = parts.next().and_then(|rest| rest.split_once("</p>")).map_or("", |(_, behind)| behind);
    format!("{before}{behind}")
}

fn assert_told(what: &str, answer: &Answer) {
    let is_told = answer.body.to_lowercase().contains("nothing was changed");
    // The third where the backup before a change could not be made.
    assert!(matches!(answer.status, 500 | 503 | 507) && is_told, "{what}: {} {}", answer.status, answer.body);
}

/// Reads of the store that fail as long as this lasts.
struct Failing {
    tracer: Child,
    log: std::path::PathBuf,
}

impl Failing {
    /// `when` as strace has it.
    fn under(server: &Server, house: &House, when: &str) -> Option<Self> {
        let log = house.0.with_extension("reads");
        let inject = format!("inject=pread64:error=EIO:when={when}");
        let mut strace = Command::new("strace");
        strace
            .args(["-f", "-p", &server.pid.to_string(), "-e", "trace=pread64", "-e", &inject, "-o"])
            .arg(&log);
        for file in ["catalogue.sqlite", "catalogue.sqlite-wal"] {
            strace.arg("-P").arg(house.0.join(file));
        }
        let mut tracer = strace.stdin(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
        let mut words = BufReader::new(tracer.stderr.take().unwrap()).lines().map_while(Result::ok);
        let is_there = words.any(|line| line.contains(" attached"));
        // What it says at its end is not waited for.
        std::thread::spawn(move || words.for_each(drop));
        is_there.then_some(Self { tracer, log })
    }

    /// How many reads have failed.
    fn ends(mut self) -> usize {
        signal(self.tracer.id(), "TERM");
        let _ = self.tracer.wait();
        std::fs::read_to_string(&self.log).unwrap().matches("(INJECTED)").count()
    }
}
