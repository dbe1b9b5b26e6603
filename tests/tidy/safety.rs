//! What SAFETY.md says is so: its tables are the constants of the program, and what it rests on are tests that are there.
//!
//! `cargo test --test tidy -- --ignored --nocapture print_safety` prints the tables as they should be.

use std::fmt::Write as _;
use std::fs;
use std::time::Duration;

use indexer::keeping::{BEFORE_CHANGES, BEFORE_OTHERS, DAYS, WEEKS};
use indexer::sheet::SheetLimits;
use web::config::{FittingLimits, HttpLimits, Pace, RequestLimits};
use web::cookie::{BOUND, FITTING, LANGUAGE, SESSION};
use web::events::Event;
use web::staff::{HASHED_AT_ONCE, password, sessions, set_up_code, throttle};
use web::waiting::WaitingLimits;
use web::{log, shelf};

use crate::asvs::is_a_test;
use crate::none_of;
use crate::tree::{Source, root, sources};

const FILE: &str = "SAFETY.md";
const CONTRADICTIONS: &str = "web/src/request/runner_contradictions.rs";
/// The sources that may write to standard error: the log, and a command's own words to whoever typed it.
const SPEAK: [&str; 4] =
    ["web/src/cli/out.rs", "web/src/cli/progress.rs", "web/src/log.rs", "web/src/main.rs"];

fn text(path: &str) -> String {
    fs::read_to_string(root().join(path)).unwrap_or_else(|fault| panic!("{path}: {fault}"))
}

/// `15 min`, `10 s`.
fn time(time: Duration) -> String {
    match time.as_secs() {
        hours if hours % 3_600 == 0 => format!("{} h", hours / 3_600),
        minutes if minutes % 60 == 0 => format!("{} min", minutes / 60),
        seconds => format!("{seconds} s"),
    }
}

/// A constant that no other crate has to see, as its source writes it.
fn constant(path: &str, name: &str) -> String {
    let text = text(path);
    let value = text.split(&format!("const {name}: ")).nth(1).and_then(|rest| rest.split_once(" = "));
    let value = value.unwrap_or_else(|| panic!("{path} has no constant {name}")).1;
    value.split(';').next().unwrap_or_default().to_owned()
}

/// A table of two columns.
fn pairs(heads: [&str; 2], rows: &[(&str, String)]) -> String {
    let mut table = format!("| {} | {} |\n|---|---|", heads[0], heads[1]);
    for (what, how) in rows {
        let _ = write!(table, "\n| {what} | {how} |");
    }
    table
}

fn signing_in() -> String {
    let name = format!(
        "{} free; then 1 s, doubled each time up to {}; the right one ends it",
        throttle::FREE,
        time(throttle::LONGEST)
    );
    let address =
        format!("{} within {}; then none until it is over", throttle::PER_ADDRESS, time(throttle::HOUR));
    let rows = [
        ("wrong passwords of a name", name),
        ("wrong passwords and codes of a network address", address),
        ("names and addresses remembered", format!("{} each, in memory", throttle::REMEMBERED)),
        ("passwords worked out at the same time", HASHED_AT_ONCE.to_string()),
        ("a password", format!("{} to {} characters of any kind", password::SHORTEST, password::LONGEST)),
        (
            "the code of the first start",
            format!("130 bits, good once and for {}", time(set_up_code::GOOD_FOR)),
        ),
    ];
    pairs(["what", "how much"], &rows)
}

fn words() -> String {
    password::TRIED_FIRST.map(|word| format!("`{word}`")).join(", ")
}

fn of_sessions() -> String {
    let rows = [
        ("an owner who asks for nothing is signed out after", time(sessions::OWNER_IDLE)),
        ("a fitter who asks for nothing is signed out after", time(sessions::FITTER_IDLE)),
        ("everybody is signed out after", time(sessions::LONGEST)),
        (
            "sessions at a time",
            format!("{} in all; beyond them the one that was quiet longest ends", sessions::MOST),
        ),
        (
            "sessions of one account",
            "as many; each is listed at `/sessions` and can be ended there".to_owned(),
        ),
        (
            "the password counts as just given for",
            constant("web/src/staff/sessions.rs", "FRESH").replace("Duration::from_mins(5)", "5 min"),
        ),
    ];
    pairs(["what", "how long or how many"], &rows)
}

fn limits() -> String {
    let (http, request, pace) = (HttpLimits::standard(), RequestLimits::standard(), Pace::standard());
    let (waits, fittings) = (WaitingLimits::standard(), FittingLimits::standard());
    let rows = [
        ("connections", format!("{} in all, {} of one address", http.connections, http.per_address)),
        (
            "first byte, header, handshake, next request",
            [http.first_byte, http.header_read, http.handshake, http.idle].map(time).join(", "),
        ),
        ("an answer that nobody takes", time(http.write_stall)),
        ("header", format!("{} lines, {} bytes", http.headers, http.buffer)),
        ("address with its query", format!("{} bytes", request.target)),
        ("form or JSON", format!("{} bytes", request.form)),
        ("sheet", format!("{} bytes", request.sheet)),
        (
            "pace of a body",
            format!(
                "{} bytes a second after {}, {} in all",
                pace.bytes_a_second,
                time(pace.grace),
                time(pace.whole)
            ),
        ),
        ("requests that work at the catalogue at once", "as many as there are processors".to_owned()),
        ("requests that wait for that", format!("{}; one more is turned away with 503", request.waiting)),
        ("an answer", format!("{}; with a sheet {}", time(request.answer), time(request.sheet_answer))),
        (
            "sheets that wait for the owner",
            format!("{}, {} bytes, {}", waits.sheets, waits.bytes, time(waits.life)),
        ),
        ("sheets taken in at once", waits.turns.to_string()),
        ("fittings", format!("{} open, {} each", fittings.open, time(fittings.life))),
        ("boxes held", shelf::MOST.to_string()),
        (
            "backups that stay",
            format!(
                "{DAYS} days, {WEEKS} weeks, {BEFORE_CHANGES} before sheets, {BEFORE_OTHERS} each before restoring and upgrades"
            ),
        ),
    ];
    pairs(["what", "limit"], &rows)
}

fn files() -> String {
    let sheet = SheetLimits::standard();
    let archive = |name: &str| constant("indexer/src/sheet/workbook/archive.rs", name).replace('_', "");
    let rows = [
        (
            "endings",
            "`.csv`, `.txt`, `.tsv`, `.xlsx`, `.ods`; the first bytes must be of that kind".to_owned(),
        ),
        ("bytes", sheet.file_bytes.to_string()),
        (
            "unpacked",
            format!(
                "{} bytes, {} of one part, {} times the packed size from {} bytes on",
                archive("ALL_BYTES"),
                archive("PART_BYTES"),
                archive("RATIO"),
                archive("RATIO_FROM")
            ),
        ),
        ("rows, columns, tabs", format!("{}, {}, {}", sheet.rows, sheet.columns, sheet.tabs)),
        ("cells that are not empty, merged blocks", format!("{}, {}", sheet.cells, sheet.merged)),
        ("one cell", format!("{} bytes, {} line breaks", sheet.cell_bytes, sheet.cell_breaks)),
        ("time to read it", time(sheet.wall)),
        (
            "what the child that reads it may use",
            "768 MiB of memory, 10 s of a processor; no file, no process, no dump".to_owned(),
        ),
        ("what the child may answer", format!("{} bytes", sheet.answer_bytes)),
    ];
    pairs(["what", "limit"], &rows)
}

fn cookies() -> String {
    let day = time(FittingLimits::standard().life);
    let rows = [
        (
            SESSION,
            "the secret of a session; HttpOnly, SameSite=Strict, until the browser is closed".to_owned(),
        ),
        (
            FITTING,
            format!("followed by eight signs of the fitting's number; HttpOnly, SameSite=Strict, {day}"),
        ),
        (LANGUAGE, "the language; HttpOnly, SameSite=Lax, a year".to_owned()),
    ]
    .map(|(name, says)| (format!("`{name}`, over HTTPS `{BOUND}{name}`"), says));
    let rows: Vec<(&str, String)> = rows.iter().map(|(name, says)| (name.as_str(), says.clone())).collect();
    pairs(["name", "what it holds"], &rows)
}

fn algorithms() -> String {
    let rows = [
        ("passwords", format!("Argon2id, `{}`, a salt of 128 bits each; made anew at the next sign-in when these change", password::PARAMETERS)),
        ("secrets of sessions", "256 bits of the system's random numbers; kept as SHA-256, in memory, half a day at most".to_owned()),
        ("numbers of fittings and sheets", "128 bits of the system's random numbers, in memory, four hours".to_owned()),
        ("the code of the first start", "130 bits of the system's random numbers".to_owned()),
        ("often used passwords, names of assets, originals, the index", "SHA-256; nothing secret".to_owned()),
        ("sums of tables and changes, frames between processes", "SHA-256 cut to 128 bits, CRC-32: against accidents, not against forgers".to_owned()),
        ("what passes the network", "TLS 1.3 and 1.2 of rustls with its `ring` provider and its safe defaults".to_owned()),
        ("the key of the certificate", "the shop's own, in a PEM file that the shop keeps; read once at the start, never written, never logged".to_owned()),
    ];
    pairs(["what", "by what, and how it is kept"], &rows)
}

fn events() -> String {
    let row =
        |event: &Event| format!("\n| {} | {} |", event.words(), if event.is_odd() { "WARN" } else { "INFO" });
    format!("| message | level |\n|---|---|{}", Event::ALL.iter().map(row).collect::<Vec<_>>().concat())
}

fn tables() -> [(&'static str, String); 8] {
    [
        ("signing-in", signing_in()),
        ("words", words()),
        ("sessions", of_sessions()),
        ("limits", limits()),
        ("files", files()),
        ("cookies", cookies()),
        ("algorithms", algorithms()),
        ("events", events()),
    ]
}

/// What stands between two marks of the file.
fn told<'t>(text: &'t str, name: &str) -> &'t str {
    let told = text
        .split_once(&format!("<!-- {name} -->\n"))
        .and_then(|(_, after)| after.split_once(&format!("\n<!-- /{name} -->")));
    told.unwrap_or_else(|| panic!("{FILE} has no <!-- {name} --> and <!-- /{name} --> around a table")).0
}

#[test]
fn the_limits_and_lists_that_are_written_down_are_those_of_the_program() {
    let text = text(FILE);
    for (name, table) in tables() {
        let help = "print it with `cargo test --test tidy -- --ignored --nocapture print_safety`";
        assert_eq!(told(&text, name), table, "{FILE}, {name}: {help}");
    }
    assert!(text.contains(&format!("`LASTBENCH_LOG={}`", log::USUAL)), "{FILE} says how much is logged");
    let child = self::text("indexer/src/sheet/limits.rs");
    for limit in
        ["(Resource::AS, 768 << 20)", "(Resource::CPU, 10)", "(Resource::NPROC, 0)", "(Resource::CORE, 0)"]
    {
        assert!(child.contains(limit), "{FILE}, files, says otherwise than {limit}");
    }
    assert!(self::text("DEVELOPERS.md").contains("(SAFETY.md)"), "DEVELOPERS.md leads to {FILE}");
}

#[test]
#[ignore = "prints the tables for SAFETY.md"]
fn print_safety() {
    for (name, table) in tables() {
        println!("<!-- {name} -->\n{table}\n<!-- /{name} -->\n");
    }
}

/// The names of tests in a text: between backticks, in words joined by at least three strokes.
fn named(text: &str) -> Vec<&str> {
    let ticked = text.split('`').skip(1).step_by(2);
    ticked
        .filter(|name| {
            name.matches('_').count() > 2
                && name.chars().all(|c| c.is_ascii_lowercase() || c == '_' || c.is_ascii_digit())
        })
        .collect()
}

#[test]
fn every_rule_that_is_written_down_names_tests_that_are_there() {
    let (text, sources) = (text(FILE), sources());
    let missing: Vec<String> = named(&text)
        .into_iter()
        .filter(|name| !sources.iter().any(|source| is_a_test(source, name)))
        .map(str::to_owned)
        .collect();
    none_of(&missing, "SAFETY.md: write the test, or take the name out");
    for part in ["kinds", "together", "long", "ways"] {
        let bare: Vec<String> = told(&text, part)
            .lines()
            .skip(2)
            .filter(|row| named(row).is_empty())
            .map(str::to_owned)
            .collect();
        none_of(&bare, &format!("{FILE}, {part}: each row names the tests that hold it"));
    }
}

#[test]
fn every_answer_of_a_runner_that_must_fit_another_is_written_down() {
    let text = text(FILE);
    let told = told(&text, "together");
    let sources = sources();
    let source = sources.iter().find(|source| source.path == CONTRADICTIONS).expect(CONTRADICTIONS);
    let is_key = |text: &&String| {
        text.contains('.') && text.chars().all(|c| c.is_ascii_lowercase() || "._{}".contains(c))
    };
    let keys: Vec<&String> = source.strings.iter().filter(is_key).collect();
    assert!(keys.len() > 7, "{keys:?}");
    let lacking: Vec<String> = keys
        .into_iter()
        .filter(|key| !told.contains(&format!("`{}`", key.replace("{second}", "*"))))
        .cloned()
        .collect();
    none_of(&lacking, "SAFETY.md, together: say what it must fit");
}

#[test]
fn how_soon_a_library_is_updated_is_written_down_the_worse_the_sooner() {
    let text = text(FILE);
    let days = |row: &str| {
        row.trim_end_matches(" days |").rsplit("| ").next().and_then(|days| days.parse::<u32>().ok())
    };
    let days: Vec<Option<u32>> = told(&text, "libraries").lines().skip(2).map(days).collect();
    assert!(days.len() > 2 && days.iter().all(Option::is_some) && days.is_sorted(), "{days:?}");
}

// V16.2.3.
#[test]
fn nothing_is_logged_but_to_standard_error_by_the_log_itself() {
    let speaks = |source: &Source| {
        let code = &source.code;
        source.path.contains("/src/")
            && ["stderr()", "eprintln!", "eprint!", "dbg!", "syslog", "println!"]
                .iter()
                .any(|word| code.contains(word))
    };
    let found: Vec<String> = sources().into_iter().filter(speaks).map(|source| source.path).collect();
    let others: Vec<String> = found.iter().filter(|path| !SPEAK.contains(&path.as_str())).cloned().collect();
    none_of(&others, "say it by tracing, or, on the command line, by `Out`");
    assert!(found.len() > 1, "{found:?}");
}
