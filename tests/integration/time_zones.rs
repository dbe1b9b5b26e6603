//! Days are those of universal time: whatever zone a machine has, in the night its clock is changed too.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::time::{SystemTime, UNIX_EPOCH};

use indexer::calendar::civil;
use tests::program::argument;
use tests::sample::sample;
use web::visit::date::{day, minute};

/// Half a day ahead, half a day behind, and two that change their clocks in the nights looked at below.
const ZONES: [&str; 4] = ["Pacific/Kiritimati", "Pacific/Pago_Pago", "Europe/Berlin", "America/New_York"];

#[test]
fn the_zone_of_the_machine_moves_no_time_and_no_day() {
    let lastbench = tests::lastbench!();
    lastbench.done(&["import", "--yes", argument(&sample("range.csv"))]);
    let told = |zone: &str, arguments: &[&str]| {
        let output = lastbench.command(arguments).env("TZ", zone).output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{zone} {arguments:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    for arguments in [&["history"][..], &["history", "--json"], &["export", "--ndjson"], &["check"]] {
        let universal = told("UTC", arguments);
        for zone in ZONES {
            assert_eq!(told(zone, arguments), universal, "{zone} {arguments:?}");
        }
    }
    // The name of a backup is its day and hour, and by it the right ones are kept.
    for zone in ZONES {
        let before = hour_now();
        let made = told(zone, &["backup", "stick"]);
        let made = &made.split("catalogue-").nth(1).unwrap()[..11];
        assert!([before, hour_now()].iter().any(|hour| hour == made), "{zone}: {made}");
    }
}

/// `20261127T18` of universal time.
fn hour_now() -> String {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap().as_secs() as i64;
    let (year, month, day) = civil(now.div_euclid(86_400));
    format!("{year:04}{month:02}{day:02}T{:02}", now.rem_euclid(86_400) / 3_600)
}

/// The nights of 29 March and 25 October 2026 in Europe: one has no hour two, the other two of them.
#[test]
fn a_night_in_which_clocks_are_changed_has_every_hour_once() {
    for midnight in [1_774_742_400_i64, 1_792_886_400] {
        let hours: Vec<String> = (0..24).map(|hour| minute(midnight + hour * 3_600)).collect();
        let expected: Vec<String> =
            (0..24).map(|hour| format!("{}, {hour:02}:00 UTC", day(midnight))).collect();
        assert_eq!(hours, expected);
        assert_eq!(civil((midnight + 86_399).div_euclid(86_400)), civil(midnight.div_euclid(86_400)));
    }
}
