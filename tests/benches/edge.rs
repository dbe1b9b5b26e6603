//! What a search costs while others hold connections or the owner sends in a large sheet, what ten thousand connections
//! cost, and how soon a shop that was killed answers again.
//!
//! `cargo bench --bench edge` prints one table of four rows. Each time is held against one of the same run.

#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "a bench prints its table and may fail loudly")]

#[allow(dead_code, reason = "fittings are asked for by the bench of pages alone")]
mod keep_alive;
mod stock_sheet;

use std::fs;
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::process::Command;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use keep_alive::asked_at_once;
use stock_sheet::stock_sheet;
use tests::http::get;
use tests::program::{Lastbench, Serving};
use tokio::net::TcpSocket;
use tokio::runtime::Runtime;

const SEARCH: &str = "/shoes.json?q=bench+7&drop_to=8";
const SKUS: usize = 20_000;
/// With the row of headings, as many rows as a sheet may have.
const MANY_ROWS: usize = 199_999;
const SLOW: usize = 400;
const CONNECTIONS: usize = 10_000;
const TIMES: usize = 400;

fn main() {
    let files = rlimit::increase_nofile_limit(u64::MAX).unwrap_or(0);
    println!("| measured | idle | then | | target |\n|---|---|---|---|---|");
    let lastbench = Lastbench::new(env!("CARGO_BIN_EXE_lastbench-under-test"));
    fs::write(lastbench.at("stock.csv"), stock_sheet(SKUS)).unwrap();
    lastbench.done(&["import", "--yes", "--supplier", "Bench", "stock.csv"]);
    let serving = lastbench.serve(&[]);
    slow_sockets(&serving);
    many_connections(&serving, files);
    while_importing(&lastbench, &serving);
    after_a_kill(&lastbench, serving);
}

/// Half silent, half with a header of one byte a second; each is opened anew once the server has let it go.
fn slow_sockets(serving: &Serving) {
    let idle = searches(serving);
    let ended = AtomicBool::new(false);
    let slow = thread::scope(|scope| {
        for part in 0..4 {
            let ended = &ended;
            scope.spawn(move || hold_slow(&serving.address, SLOW / 4, part % 2 == 0, ended));
        }
        thread::sleep(Duration::from_secs(2));
        let slow = searches(serving);
        ended.store(true, Ordering::Relaxed);
        slow
    });
    told("p99 of a search beside 400 slow sockets", idle, slow, "< 2x");
}

fn hold_slow(address: &str, count: usize, silent: bool, ended: &AtomicBool) {
    let open = || {
        let mut stream = TcpStream::connect(address).unwrap();
        stream.set_nonblocking(true).unwrap();
        if !silent {
            let _ = stream.write_all(b"GET / HTTP/1.1\r\nX-Slow: ");
        }
        stream
    };
    let mut held: Vec<_> = (0..count).map(|_| open()).collect();
    while !ended.load(Ordering::Relaxed) {
        for stream in &mut held {
            let gone = if silent { stream.read(&mut [0]).is_ok() } else { stream.write_all(b"a").is_err() };
            if gone {
                *stream = open();
            }
        }
        thread::sleep(Duration::from_secs(1));
    }
}

/// From ten addresses of this machine, each silent. What the server does not take waits in the system's queue.
fn many_connections(serving: &Serving, files: u64) {
    let runtime = Runtime::new().unwrap();
    let to: SocketAddr = serving.address.parse().unwrap();
    let wanted = CONNECTIONS.min(usize::try_from(files).unwrap_or(usize::MAX).saturating_sub(200));
    let (open, most, back) = runtime.block_on(async {
        let mut opening = tokio::task::JoinSet::new();
        for at in 0..wanted {
            opening.spawn(async move {
                let socket = TcpSocket::new_v4().unwrap();
                socket.bind(SocketAddr::from(([127, 0, 0, 1 + (at % 10) as u8], 0))).ok()?;
                let connected = tokio::time::timeout(Duration::from_secs(5), socket.connect(to)).await;
                connected.ok()?.ok()
            });
        }
        let mut open = Vec::new();
        while let Some(stream) = opening.join_next().await {
            open.extend(stream.unwrap());
        }
        let most = resident(serving.id());
        let count = open.len();
        drop(open);
        let left = Instant::now();
        (count, most, tokio::task::block_in_place(|| answered_since(&serving.address, left)))
    });
    println!(
        "| {open} of {wanted} connections open at once: resident memory, and the first answer after they left | | \
         {} MB, {back:.2?} | | 400 MB, 5 s |",
        most / 1024
    );
}

/// How long from `since` until an answer comes.
fn answered_since(address: &str, since: Instant) -> Duration {
    while !get(address, SEARCH).is_ok_and(|answer| answer.status == 200) {
        thread::sleep(Duration::from_millis(5));
    }
    since.elapsed()
}

/// Sent in and applied on the page of the owner, while somebody searches on.
fn while_importing(lastbench: &Lastbench, serving: &Serving) {
    let idle = searches(serving);
    let sheet = stock_sheet(MANY_ROWS);
    fs::write(lastbench.at("large.csv"), &sheet).unwrap();
    let ended = AtomicBool::new(false);
    let (during, took) = thread::scope(|scope| {
        let sending = scope.spawn(|| {
            let begun = Instant::now();
            import(&serving.address, &sheet);
            ended.store(true, Ordering::Relaxed);
            begun.elapsed()
        });
        let mut during = Vec::new();
        while !ended.load(Ordering::Relaxed) {
            during.extend(asked_at_once(&serving.address, SEARCH, 1, 50));
        }
        (during, sending.join().unwrap())
    });
    let name = format!("p99 of a search while {MANY_ROWS} rows are imported, {took:.1?}");
    told(&name, idle, during, "<= 3x");
}

fn import(address: &str, sheet: &[u8]) {
    let mut body = b"--cut\r\nContent-Disposition: form-data; name=\"supplier\"\r\n\r\nBench\r\n--cut\r\n\
        Content-Disposition: form-data; name=\"file\"; filename=\"large.csv\"\r\n\r\n"
        .to_vec();
    body.extend(sheet);
    body.extend(b"\r\n--cut--\r\n");
    let waiting = posted(address, "/sheets", "multipart/form-data; boundary=cut", &body);
    let page = settled(address, &waiting);
    let form = page.split("<form").find(|form| form.contains("/apply\"")).unwrap_or_else(|| panic!("{page}"));
    let mut fields = form_urlencoded::Serializer::new(String::new());
    for input in form.split("<input").skip(1) {
        let of =
            |name: &str| input.split(&format!("{name}=\"")).nth(1).and_then(|rest| rest.split('"').next());
        if let (Some(name), Some(value)) = (of("name"), of("value")) {
            fields.append_pair(name, value);
        }
    }
    let fields = fields.finish();
    let to =
        posted(address, &format!("{waiting}/apply"), "application/x-www-form-urlencoded", fields.as_bytes());
    settled(address, &to);
}

/// The page behind a path once it no longer asks to be fetched again.
fn settled(address: &str, path: &str) -> String {
    loop {
        let answer = get(address, path).unwrap();
        match answer.status {
            200 if !answer.head.contains("refresh: ") => return answer.body,
            303 => return settled(address, &answer.place()),
            _ => thread::sleep(Duration::from_millis(50)),
        }
    }
}

/// Where the answer leads.
fn posted(address: &str, path: &str, kind: &str, body: &[u8]) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    let head = format!(
        "POST {path} HTTP/1.0\r\nHost: {address}\r\nOrigin: http://{address}\r\nContent-Type: {kind}\r\n\
         Content-Length: {}\r\n\r\n",
        body.len()
    );
    stream.write_all(&[head.as_bytes(), body].concat()).unwrap();
    let mut said = String::new();
    stream.read_to_string(&mut said).unwrap();
    let place = said.lines().find_map(|line| line.strip_prefix("location: "));
    place.unwrap_or_else(|| panic!("{said}")).to_owned()
}

/// Killed and started again, with what the large sheet has left.
fn after_a_kill(lastbench: &Lastbench, serving: Serving) {
    let killed = Command::new("kill").args(["-KILL", &serving.id().to_string()]).status().unwrap();
    assert!(killed.success());
    drop(serving);
    let mut took: Vec<_> = (0..5)
        .map(|_| {
            let begun = Instant::now();
            let again = lastbench.serve(&[]);
            let took = answered_since(&again.address, begun);
            drop(again);
            took
        })
        .collect();
    let first = took[0];
    took.sort_unstable();
    println!(
        "| from kill -9 to the first search, {MANY_ROWS} rows | | {first:.2?}, later {:.2?} | | 2 s |",
        took[took.len() / 2]
    );
}

fn searches(serving: &Serving) -> Vec<Duration> {
    asked_at_once(&serving.address, SEARCH, 2, TIMES)
}

fn told(what: &str, mut before: Vec<Duration>, mut then: Vec<Duration>, target: &str) {
    let [before, then] = [&mut before, &mut then].map(|times| {
        times.sort_unstable();
        times[(times.len() - 1) * 99 / 100]
    });
    let ratio = then.as_secs_f64() / before.as_secs_f64();
    println!("| {what} | {before:.2?} | {then:.2?} | {ratio:.1}x | {target} |");
}

/// In kB.
fn resident(process: u32) -> u64 {
    let status = fs::read_to_string(format!("/proc/{process}/status")).unwrap();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap();
    line.trim().trim_end_matches(" kB").parse().unwrap()
}
