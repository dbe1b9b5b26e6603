//! Where the server listens: others are let in unencrypted only when somebody has said so, and few open files are enough.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::process::{Command, Stdio};

use tests::program::Serving;
use tests::wire::sent;

#[test]
fn beyond_loopback_without_a_certificate_is_refused_and_both_ways_out_are_told() {
    let lastbench = tests::lastbench!();
    for address in ["0.0.0.0:0", "[::]:0", "192.0.2.7:7340"] {
        let ran = lastbench.run(&["serve", "--sample", "--listen", address]);
        assert_eq!(ran.code, Some(2), "{ran:?}");
        for told in [address, "--certificate", "--private-key", "--insecure-lan"] {
            assert!(ran.stderr.contains(told), "{told}: {}", ran.stderr);
        }
    }
    assert!(!lastbench.data().exists(), "nothing was begun");
}

#[test]
fn who_says_insecure_lan_is_warned_and_served() {
    let lastbench = tests::lastbench!();
    let mut child = lastbench
        .command(&["serve", "--sample", "--listen", "0.0.0.0:0", "--insecure-lan"])
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut words = std::io::BufRead::lines(std::io::BufReader::new(child.stderr.take().unwrap()));
    let warning = words.next().unwrap().unwrap();
    let address = words.next().unwrap().unwrap();
    let port =
        address.split("http://0.0.0.0:").nth(1).and_then(|rest| rest.split('/').next()).unwrap().to_owned();
    let answer = tests::http::get(&format!("127.0.0.1:{port}"), "/healthz").unwrap();
    child.kill().unwrap();
    child.wait().unwrap();
    assert!(warning.contains("Warning: ") && warning.contains("--insecure-lan"), "{warning}");
    assert_eq!(answer.status, 200);
}

/// Sixty callers who say nothing, where the process may have 64 files open: with half of what is left, the store keeps
/// its own, and whoever comes after them is answered.
#[test]
fn with_few_open_files_fewer_connections_are_taken_and_the_server_goes_on() {
    let lastbench = tests::lastbench!();
    let plain = lastbench.command(&["serve", "--listen", "127.0.0.1:0"]);
    let mut limited = Command::new("sh");
    limited
        .args(["-c", "ulimit -n 64 && exec \"$0\" \"$@\""])
        .arg(plain.get_program())
        .args(plain.get_args());
    limited.current_dir(plain.get_current_dir().unwrap()).stdin(Stdio::null());
    let mut serving = Serving::begin(limited);
    let silent: Vec<_> = (0..60).map(|_| sent(&serving.address, b"")).collect();
    let files = std::fs::read_dir(format!("/proc/{}/fd", serving.id())).unwrap().count();
    assert!(files < 60, "{files} files are open");
    drop(silent);
    assert!(serving.lives());
}
