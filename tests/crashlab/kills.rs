//! A pulled plug at any moment: while changes are made, while the program starts, twice in a row; and gentler ends.

use std::io::Write as _;
use std::net::TcpStream;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use tests::chance::{Chance, number};
use tests::http::get;

use crate::house::{House, PATIENCE, children, signal, wait_for};
use crate::oracle::{Oracle, index_is_derived, last_change, searching_goes_on, work, work_counting};
use crate::script::{self, Heard, LAST};
use crate::table::{Found, Outcome};

/// Two at a time: most of a kill is waiting.
const WORKERS: usize = 2;

/// C1: `LASTBENCH_KILLS` of them, by clients that log what was acknowledged to them.
pub(crate) fn random(oracle: &Oracle) -> Outcome {
    let kills = number("LASTBENCH_KILLS").unwrap_or(200) as usize;
    let all = thread::scope(|scope| {
        let worker = |worker: usize| scope.spawn(move || some(oracle, worker, kills.div_ceil(WORKERS)));
        let workers: Vec<_> = (0..WORKERS).map(worker).collect();
        workers.into_iter().map(|one| one.join().unwrap()).reduce(|all, one| all.and(&one)).unwrap()
    });
    Outcome::Done(Found { note: "while a client imports, counts and takes back".to_owned(), ..all })
}

fn some(oracle: &Oracle, worker: usize, kills: usize) -> Found {
    let mut chance = Chance::of(Chance::seed().wrapping_add(worker as u64));
    let mut found = Found::default();
    let mut folders = 0;
    while found.tries < kills {
        let house = oracle.house(&format!("kill-{worker}-{folders}"));
        folders += 1;
        let mut standing = 1;
        while standing < LAST && found.tries < kills {
            let acknowledged = killed_at_work(&house, standing, When::by(&mut chance), &mut found);
            let (last, one) = oracle.look(&house, acknowledged.max(standing));
            found = found.and(&one);
            assert!(one.refused == 0, "refused: {}", one.note);
            found.acknowledged += acknowledged.saturating_sub(standing);
            if !one.is_whole() {
                return found;
            }
            standing = last;
            if found.tries.is_multiple_of(20) {
                index_is_derived(&house);
            }
        }
        std::fs::remove_dir_all(&house.0).unwrap();
    }
    found
}

/// When the plug is pulled.
#[derive(Clone, Copy)]
enum When {
    /// So many milliseconds after the server has begun to answer.
    Millis(usize),
    /// After so many receipts, and so many milliseconds: a slow machine comes as far as a fast one.
    Receipts(usize, usize),
}

impl When {
    fn by(chance: &mut Chance) -> Self {
        match chance.below(2) {
            0 => Self::Millis(chance.below(400)),
            _ => Self::Receipts(chance.below(4), chance.below(60)),
        }
    }
}

/// Lets a client work, then pulls the plug; the last change acknowledged to it.
fn killed_at_work(house: &House, standing: usize, when: When, found: &mut Found) -> usize {
    let server = match house.serve(&[]) {
        Ok(server) => server,
        Err(words) => {
            found.refused += 1;
            panic!("the start was refused: {words}");
        }
    };
    let heard = AtomicUsize::new(standing);
    thread::scope(|scope| {
        let client = scope.spawn(|| work_counting(&server.address, standing + 1, &heard));
        let millis = match when {
            When::Millis(millis) => millis,
            When::Receipts(receipts, millis) => {
                let enough = (standing + receipts).min(LAST);
                wait_for("receipts", || heard.load(Ordering::SeqCst) >= enough || client.is_finished());
                millis
            }
        };
        thread::sleep(Duration::from_millis(millis as u64));
        signal(server.pid, "KILL");
        client.join().unwrap()
    })
}

/// C4: killed in the middle of a change, and five times more within 200 ms of each start.
pub(crate) fn double(oracle: &Oracle) -> Outcome {
    let mut chance = Chance::of(Chance::seed() ^ 0xC4);
    let mut found = Found::default();
    for round in 0..6 {
        let house = oracle.house(&format!("double-{round}"));
        if round % 2 == 0 {
            // What is rebuilt meanwhile is the index.
            std::fs::remove_dir_all(house.0.join("index")).unwrap();
        }
        let acknowledged = killed_at_work(&house, 1, When::Receipts(1, chance.below(300)), &mut found).max(1);
        for _ in 0..5 {
            let (mut child, words) = house.begin_to_serve(&[]);
            thread::sleep(Duration::from_millis(chance.below(200) as u64));
            let _ = child.kill();
            let _ = child.wait();
            drop(words);
        }
        let (_, one) = oracle.look(&house, acknowledged);
        found = found.and(&one);
        found.acknowledged += acknowledged - 1;
        index_is_derived(&house);
    }
    Outcome::Done(found.noted("each six kills"))
}

/// P10: asked to stop in the middle of an import.
pub(crate) fn stopped(oracle: &Oracle) -> Outcome {
    let mut chance = Chance::of(Chance::seed() ^ 0x10);
    let mut found = Found::default();
    for round in 0..8 {
        let house = oracle.house(&format!("stop-{round}"));
        let server = house.serve(&[]).unwrap();
        let address = server.address.clone();
        let client = thread::spawn(move || work(&address, 2));
        thread::sleep(Duration::from_millis(chance.below(400) as u64));
        let asked = Instant::now();
        assert_eq!(server.stop(), Some(0), "SIGTERM is a quiet end");
        assert!(asked.elapsed() < PATIENCE);
        let acknowledged = client.join().unwrap();
        let (_, one) = oracle.look(&house, acknowledged);
        found = found.and(&one);
        found.acknowledged += acknowledged.saturating_sub(1);
    }
    stopped_twice(oracle);
    Outcome::Done(found.noted("exit 0 each time; asked twice it waits for nobody"))
}

/// A caller who never ends their request holds the end up for the drain time, which is ten seconds; a second SIGTERM
/// cuts them off.
fn stopped_twice(oracle: &Oracle) {
    let server = oracle.house("stop-twice").serve(&[]).unwrap();
    let mut caller = TcpStream::connect(&server.address).unwrap();
    let head = format!(
        "POST /count HTTP/1.1\r\nHost: {}\r\nSec-Fetch-Site: same-origin\r\nContent-Length: 99\r\n\r\ntext=",
        server.address
    );
    caller.write_all(head.as_bytes()).unwrap();
    thread::sleep(Duration::from_millis(200));
    signal(server.pid, "TERM");
    thread::sleep(Duration::from_millis(300));
    let asked = Instant::now();
    assert_eq!(server.stop(), Some(0));
    assert!(asked.elapsed() < Duration::from_secs(9), "the second SIGTERM was not heard");
}

/// D9: more callers than files may be open. They are kept waiting before a file is opened for them, so that the store
/// keeps its own, and changes are taken again once they have gone.
pub(crate) fn crowded(oracle: &Oracle) -> Outcome {
    let house = oracle.house("crowded");
    let mut server = house.serve(&["sh", "-c", "ulimit -n 48; exec \"$0\" \"$@\""]).unwrap();
    let crowd: Vec<_> = (0..80).filter_map(|_| TcpStream::connect(&server.address).ok()).collect();
    thread::sleep(Duration::from_millis(500));
    let open = std::fs::read_dir(format!("/proc/{}/fd", server.pid)).unwrap().count();
    assert!(crowd.len() == 80 && open < 40, "{} callers took {open} of 48 files", crowd.len());
    // Silent callers are shown out after a few seconds, and whoever waited is heard; or has gone by then.
    let made = matches!(script::make(&server.address, 2), Heard::Acknowledged);
    assert!(server.lives());
    drop(crowd);
    wait_for("a page after the crowd", || {
        get(&server.address, "/shoes").is_ok_and(|page| page.status == 200)
    });
    let standing = last_change(&house);
    assert!(standing == 2 || !made, "acknowledged and gone");
    assert!(matches!(script::make(&server.address, standing + 1), Heard::Acknowledged));
    server.kill();
    let (_, one) = oracle.look(&house, standing + 1);
    Outcome::Done(Found { acknowledged: standing, note: "80 callers, 48 files".to_owned(), ..one })
}

/// C9: the child that reads a sheet is killed; the server says so and goes on.
pub(crate) fn reader(oracle: &Oracle) -> Outcome {
    let house = oracle.house("reader");
    let mut server = house.serve(&[]).unwrap();
    let mut found = Found::default();
    let rows = "Fennick,K-1,Kill 1,ochre,EU,40,,1,B2,100\n".repeat(150_000);
    let big = format!("Maker,Style number,Model,Colour,Size system,Size,EAN,Qty,Place,Price EUR\n{rows}");
    for _ in 0..5 {
        let (address, big) = (server.address.clone(), big.clone());
        let client =
            thread::spawn(move || tests::http::post_sheet(&address, "Fennick", "big.csv", big.as_bytes()));
        wait_for("the reader starts", || !children(server.pid).is_empty());
        for child in children(server.pid) {
            signal(child, "KILL");
        }
        let answer = client.join().unwrap().unwrap();
        let page =
            if answer.status == 303 { wait_for_words(&server.address, &answer.place()) } else { answer };
        assert!(page.status == 422 || page.body.contains("cannot be read"), "{} {}", page.status, page.body);
        assert!(server.lives());
        searching_goes_on(&server);
        found.tries += 1;
    }
    assert_eq!(last_change(&house), 1);
    assert!(matches!(script::make(&server.address, 2), Heard::Acknowledged));
    found.acknowledged = 1;
    let (_, one) = oracle.look(&house, 2);
    found = Found { tries: found.tries - 1, ..found }.and(&one);
    Outcome::Done(found.noted("a refusal each time, and the next change is taken"))
}

fn wait_for_words(address: &str, home: &str) -> tests::http::Answer {
    let until = Instant::now() + PATIENCE;
    loop {
        let page = get(address, home).unwrap();
        if !page.head.contains("refresh: ") || Instant::now() > until {
            return page;
        }
        thread::sleep(Duration::from_millis(20));
    }
}

/// X5: a second server on the folder is refused, and a killed one is no hindrance.
pub(crate) fn two_servers(oracle: &Oracle) -> Outcome {
    let house = oracle.house("two");
    let mut found = Found::default();
    let mut standing = 1;
    for _ in 0..5 {
        let first = house.serve(&[]).unwrap();
        let Err(words) = house.serve(&[]) else { panic!("two servers on one folder") };
        assert!(words.starts_with("exit Some(4)") && words.contains("another lastbench process"), "{words}");
        assert!(matches!(script::make(&first.address, standing + 1), Heard::Acknowledged));
        first.kill();
        standing += 1;
        let (last, one) = oracle.look(&house, standing);
        standing = last;
        found = found.and(&one);
        found.acknowledged += 1;
    }
    Outcome::Done(found.noted("the second is told who holds it"))
}
