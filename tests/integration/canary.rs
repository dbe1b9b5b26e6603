//! Answers that nobody else gives are sent through a whole visit; afterwards no log, no file and no address holds one.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::fs::File;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

const LASTBENCH: &str = env!("CARGO_BIN_EXE_lastbench-under-test");

/// What the runner says, as a browser sends it.
const ANSWERS: &str = "run.audience=men&size.system=EU&size.worn_label=42.5&run.purpose=daily&stage.heading=less\
    &flags.pain=no&now.heel_stack_mm=37.3&now.forefoot_stack_mm=28.7&now.mass_g=283&run.weekly_km=57\
    &run.body_mass_band=71.4-78.2&run.strike=rearfoot&run.strike_seen=eye&injury.plantar-heel=yes\
    &injury.plantar-heel.recent=yes&foot.left_length_mm=268.9";
const NOTE: &str = "canary sings at the heel";
/// None of these is in a name of the program, of a shoe or of an address.
const CANARIES: [&str; 11] = [
    "canary",
    "plantar",
    "37.3",
    "28.7",
    "268.9",
    "71.4-78.2",
    "worn_label",
    "weekly_km",
    "body_mass",
    "strike_seen",
    "injury.",
];

struct Server {
    child: Child,
    address: String,
    log: PathBuf,
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A server over a catalogue on the disk that logs all it can.
fn serve(folder: &Path) -> Server {
    let (data, log) = (folder.join("data"), folder.join("log"));
    for sheet in ["range.csv", "stock.csv"] {
        let sheet = Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-catalogue").join(sheet);
        let mut import = Command::new(LASTBENCH);
        import.args(["import", "--yes", "--data"]).arg(&data).arg(sheet);
        assert!(import.stdout(Stdio::null()).stderr(Stdio::null()).status().unwrap().success());
    }
    std::fs::create_dir(folder.join("tmp")).unwrap();
    let child = Command::new(LASTBENCH)
        .args(["serve", "--listen", "127.0.0.1:0", "--data"])
        .arg(&data)
        .env("LASTBENCH_LOG", "trace")
        .env("TMPDIR", folder.join("tmp"))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(File::create(&log).unwrap())
        .spawn()
        .unwrap();
    let address = listening(&log);
    Server { child, address, log }
}

fn listening(log: &Path) -> String {
    let until = Instant::now() + Duration::from_mins(1);
    while Instant::now() < until {
        let said = std::fs::read_to_string(log).unwrap_or_default();
        let rest = said.split("http://").nth(1).and_then(|rest| rest.split_once('/'));
        if let Some((address, _)) = rest {
            return address.to_owned();
        }
        std::thread::sleep(Duration::from_millis(50));
    }
    panic!("the server does not say where it listens");
}

/// Asks for a page, or posts a form; where the answer leads, and its body.
fn ask(server: &Server, method: &str, path: &str, form: &str) -> (String, String) {
    let address = &server.address;
    let mut stream = TcpStream::connect(address).unwrap();
    write!(
        stream,
        "{method} {path} HTTP/1.1\r\nHost: {address}\r\nOrigin: http://{address}\r\nConnection: close\r\n\
         Referer: http://{address}{path}\r\nContent-Type: application/x-www-form-urlencoded\r\n\
         Content-Length: {}\r\n\r\n{form}",
        form.len()
    )
    .unwrap();
    let mut answer = BufReader::new(stream);
    let (mut line, mut to) = (String::new(), String::new());
    while answer.read_line(&mut line).unwrap() > 0 && line != "\r\n" {
        if let Some(place) = line.strip_prefix("location: ") {
            place.trim_end().clone_into(&mut to);
        }
        line.clear();
    }
    let mut body = String::new();
    answer.read_to_string(&mut body).unwrap();
    (to, body)
}

/// The addresses that a page leads to or posts to.
fn addresses(html: &str) -> impl Iterator<Item = &str> {
    ["href=\"", "action=\""]
        .into_iter()
        .flat_map(move |start| html.split(start).skip(1).filter_map(|rest| rest.split('"').next()))
}

fn canaries(text: &str) -> Vec<&'static str> {
    CANARIES.into_iter().filter(|canary| text.contains(canary)).collect()
}

/// The lines of a log without the time that each begins with: 37.3 seconds past a minute are no length of a sole.
fn without_times(log: &str) -> String {
    let said = |line: &str| line.split_once("Z ").map_or(line, |(_, said)| said).to_owned();
    log.lines().map(said).collect::<Vec<_>>().join("\n")
}

/// Every file below a folder, as text.
fn files(folder: &Path) -> Vec<(PathBuf, String)> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() {
            all.extend(files(&path));
        } else {
            let bytes = std::fs::read(&path).unwrap();
            all.push((path, String::from_utf8_lossy(&bytes).into_owned()));
        }
    }
    all
}

#[test]
fn what_a_runner_said_stands_in_no_log_no_file_and_no_address() {
    let folder = tempfile::tempdir().unwrap();
    let server = serve(folder.path());
    let before = files(&folder.path().join("data"));
    let (form, _) = ask(&server, "POST", "/fittings", "");
    let fitting = form.strip_suffix("/runner").unwrap().to_owned();
    let mut led = vec![form.clone(), ask(&server, "POST", &form, ANSWERS).0];
    assert_eq!(led[1], fitting, "the answers were taken");
    let list = ask(&server, "GET", &fitting, "").1;
    let style = list.split("name=\"style\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    led.push(ask(&server, "POST", &format!("{fitting}/shortlist"), &format!("style={style}")).0);
    let tried = format!("do=choose:{style}&heel.{style}=slips&note.{style}={}", NOTE.replace(' ', "+"));
    led.push(ask(&server, "POST", &format!("{fitting}/on-foot"), &tried).0);
    let mut pages = 0;
    for part in ["", "/runner", "/on-foot", "/compare", "/plan", "/card", "/card.txt", "/stock-map", "/close"]
    {
        let (to, page) = ask(&server, "GET", &format!("{fitting}{part}"), "");
        pages += usize::from(!canaries(&page).is_empty());
        led.push(to);
        led.extend(addresses(&page).map(str::to_owned));
    }
    assert!(pages > 2, "the pages of the fitting show what was said: the canaries sing");
    led.push(ask(&server, "POST", &format!("{fitting}/close"), "").0);
    for address in &led {
        assert!(canaries(address).is_empty(), "{:?} in {address}", canaries(address));
    }
    let log = std::fs::read_to_string(&server.log).unwrap();
    assert!(log.lines().count() > 12, "the log says much: {log}");
    let log = without_times(&log);
    assert!(canaries(&log).is_empty(), "{:?} in {log}", canaries(&log));
    for (path, text) in
        files(&folder.path().join("data")).into_iter().chain(files(&folder.path().join("tmp")))
    {
        let known =
            before.iter().find(|(known, _)| *known == path).map_or(Vec::new(), |(_, text)| canaries(text));
        let new: Vec<_> = canaries(&text).into_iter().filter(|canary| !known.contains(canary)).collect();
        assert!(new.is_empty(), "{new:?} in {}", path.display());
    }
}

#[test]
fn a_password_right_or_wrong_stands_in_no_log_and_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let server = serve(folder.path());
    let (right, wrong) = ("four quiet canary kettles", "a guess of seven canaries");
    let typed = |password: &str| password.replace(' ', "+");
    let first = format!("name=Mara&password={0}&repeated={0}&role=owner", typed(right));
    assert_eq!(ask(&server, "POST", "/staff", &first).0, "/staff");
    let (to, page) = ask(&server, "POST", "/sign-in", &format!("name=Mara&password={}", typed(wrong)));
    assert!(to.is_empty() && page.contains("do not fit together"), "{page}");
    let to = ask(&server, "POST", "/sign-in", &format!("name=mara&to=/shoes&password={}", typed(right))).0;
    assert_eq!(to, "/shoes");
    let log = std::fs::read_to_string(&server.log).unwrap();
    assert!(log.contains("a sign-in was refused"), "{log}");
    for (path, text) in files(folder.path()) {
        for password in [right, wrong, &typed(right), &typed(wrong)] {
            assert!(!text.contains(password), "{password} in {}", path.display());
        }
    }
}
