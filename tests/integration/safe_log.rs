//! What the log says of safety: who signed in or did not, and who was turned away, with when and where and no secret
//! (OWASP ASVS 5.0, 16.2.1, 16.3.1, 16.3.2, 16.3.3).

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Stdio};

use serde_json::Value;
use tests::program::Lastbench;
use web::events::{Event, NO_ACCOUNT, TARGET};

const OWNER: &str = "four quiet green kettles";
const FITTER: &str = "seven slow brown rivers";
const GUESS: &str = "a guess of nine letters";

/// A server that logs what it does where nobody asks for more.
struct Server {
    child: Child,
    address: String,
    lines: BufReader<std::process::ChildStderr>,
}

/// What a browser sends beside the address.
#[derive(Clone, Copy, Default)]
struct Sent<'a> {
    cookie: &'a str,
    form: &'a str,
    origin: &'a str,
    host: &'a str,
}

impl Server {
    fn begin(lastbench: &Lastbench, level: Option<&str>) -> Self {
        let mut command =
            lastbench.command(&["serve", "--sample", "--listen", "127.0.0.1:0", "--log", "json"]);
        if let Some(level) = level {
            command.env("LASTBENCH_LOG", level);
        }
        let mut child = command.stderr(Stdio::piped()).spawn().unwrap();
        let mut lines = BufReader::new(child.stderr.take().unwrap());
        let mut first = String::new();
        lines.read_line(&mut first).unwrap();
        let address = first.split("http://").nth(1).unwrap().split('/').next().unwrap().to_owned();
        Self { child, address, lines }
    }

    /// Status and head of the answer.
    fn ask(&self, method: &str, target: &str, sent: Sent<'_>) -> (u16, String) {
        let mut stream = TcpStream::connect(&self.address).unwrap();
        let host = if sent.host.is_empty() { &self.address } else { sent.host };
        let own = format!("http://{host}");
        let origin = if sent.origin.is_empty() { &own } else { sent.origin };
        write!(
            stream,
            "{method} {target} HTTP/1.1\r\nHost: {host}\r\nOrigin: {origin}\r\nConnection: close\r\nCookie: {}\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{}",
            sent.cookie,
            sent.form.len(),
            sent.form
        )
        .unwrap();
        let mut heard = Vec::new();
        stream.read_to_end(&mut heard).unwrap();
        let text = String::from_utf8_lossy(&heard).into_owned();
        let head = text.split("\r\n\r\n").next().unwrap().to_owned();
        (head.split(' ').nth(1).unwrap().parse().unwrap(), head)
    }

    fn signed_in(&self, name: &str, password: &str) -> String {
        let form = format!("name={name}&password={}", password.replace(' ', "+"));
        let (status, head) = self.ask("POST", "/sign-in", Sent { form: &form, ..Sent::default() });
        assert_eq!(status, 303, "{head}");
        let cookie = head.lines().find_map(|line| line.strip_prefix("set-cookie: ")).unwrap();
        cookie.split(';').next().unwrap().to_owned()
    }

    /// Ends the server; the rest of its log, as text and as objects.
    fn ended(mut self) -> (String, Vec<Value>) {
        self.child.kill().unwrap();
        let mut rest = String::new();
        self.lines.read_to_string(&mut rest).unwrap();
        self.child.wait().unwrap();
        let read = rest.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
        (rest, read)
    }
}

fn account(name: &str, password: &str, role: &str) -> String {
    let password = password.replace(' ', "+");
    format!("name={name}&password={password}&repeated={password}&role={role}")
}

fn sent<'a>(cookie: &'a str, form: &'a str) -> Sent<'a> {
    Sent { cookie, form, ..Sent::default() }
}

/// Everything that happens around safety, once, as far as it can on one server; the secrets that were sent.
fn everything(server: &Server) -> Vec<String> {
    assert_eq!(server.ask("POST", "/staff", sent("", &account("Mara", OWNER, "owner"))).0, 303);
    let owner = server.signed_in("Mara", OWNER);
    assert_eq!(server.ask("POST", "/staff", sent(&owner, &account("Jonte", FITTER, "fitter"))).0, 200);
    let fitter = server.signed_in("jonte", FITTER);
    let guess = GUESS.replace(' ', "+");
    assert_eq!(server.ask("POST", "/sign-in", sent("", &format!("name=Jonte&password={guess}"))).0, 401);
    // A password in the place of the name.
    assert_eq!(server.ask("POST", "/sign-in", sent("", &format!("name={guess}&password=x"))).0, 401);
    let as_fitter = Sent { cookie: &fitter, ..Sent::default() };
    assert_eq!(server.ask("GET", "/changes", as_fitter).0, 403);
    assert_eq!(server.ask("GET", "/shoes?q=achilles", Sent::default()).0, 303);
    assert_eq!(server.ask("POST", "/fittings", Sent::default()).0, 401);
    assert_eq!(server.ask("POST", "/fittings", Sent { origin: "http://evil.example", ..as_fitter }).0, 403);
    assert_eq!(server.ask("GET", "/shoes", Sent { host: "evil.example", ..as_fitter }).0, 421);
    let own = format!("present={}&password={guess}&repeated={guess}", FITTER.replace(' ', "+"));
    let (status, head) = server.ask("POST", "/own-password", Sent { form: &own, ..as_fitter });
    assert_eq!(status, 303, "{head}");
    assert_eq!(server.ask("POST", "/staff/sign-out", sent(&owner, "name=Jonte")).0, 200);
    assert_eq!(server.ask("POST", "/staff/remove", sent(&owner, "name=Jonte")).0, 200);
    assert_eq!(server.ask("POST", "/sign-out", sent(&owner, "")).0, 303);
    for _ in 0..7 {
        server.ask("POST", "/sign-in", sent("", "name=Mara&password=x"));
    }
    let cookies = [owner, fitter].map(|cookie| cookie.split_once('=').unwrap().1.to_owned());
    [OWNER, FITTER, GUESS, &guess, "achilles", "evil", "$argon2"]
        .map(str::to_owned)
        .into_iter()
        .chain(cookies)
        .collect()
}

#[test]
fn whoever_signs_in_or_does_not_and_whoever_is_turned_away_stands_in_the_log_with_when_and_where_and_no_secret()
 {
    let lastbench = tests::lastbench!();
    let server = Server::begin(&lastbench, None);
    let secrets = everything(&server);
    let (text, lines) = server.ended();
    for secret in &secrets {
        assert!(!text.contains(secret), "{secret} in {text}");
    }
    let told = |event: Event| -> Vec<&Value> {
        lines.iter().filter(|line| line["target"] == TARGET && line["message"] == event.words()).collect()
    };
    for event in Event::ALL.into_iter().filter(|event| *event != Event::WrongCode) {
        let said = told(event);
        assert!(!said.is_empty(), "{event:?} is not told in {text}");
        for line in said {
            for key in ["ts", "level", "who", "request_id", "method", "route"] {
                assert!(line[key].is_string(), "{key}: {line}");
            }
            assert_eq!(line["level"], if event.is_odd() { "WARN" } else { "INFO" }, "{line}");
        }
    }
    for event in [Event::SignedIn, Event::SignInRefused, Event::SignInPutOff] {
        assert!(told(event).iter().all(|line| line["from"] == "127.0.0.1"), "{event:?}");
    }
    let who = |event| told(event).iter().map(|line| line["who"].as_str().unwrap()).collect::<Vec<_>>();
    assert_eq!(who(Event::SignedIn), ["Mara", "Jonte", "Jonte"], "the last gave the present password");
    assert_eq!(who(Event::SignInRefused)[..2], ["Jonte", NO_ACCOUNT]);
    assert_eq!(who(Event::TurnedAway), ["Jonte"]);
    assert_eq!(told(Event::TurnedAway)[0]["route"], "/changes");
    assert_eq!(told(Event::AccountRemoved)[0]["account"], "Jonte");
    let odd = [Event::TurnedAway, Event::SentToSignIn, Event::FromElsewhere, Event::OtherHost];
    assert!(
        odd.iter().all(|event| told(*event).iter().all(|line| line["from"].is_null())),
        "no visitor's address"
    );
}

#[test]
fn a_line_an_answer_says_who_asked() {
    let lastbench = tests::lastbench!();
    let server = Server::begin(&lastbench, Some("info"));
    server.ask("POST", "/staff", Sent { form: &account("Mara", OWNER, "owner"), ..Sent::default() });
    let owner = server.signed_in("Mara", OWNER);
    server.ask("GET", "/shoes", Sent { cookie: &owner, ..Sent::default() });
    server.ask("GET", "/rules", Sent::default());
    let (_, lines) = server.ended();
    let who = |route: &str| {
        lines.iter().find(|line| line["message"] == "answered" && line["route"] == route).unwrap()["who"]
            .clone()
    };
    assert_eq!(
        (who("/staff"), who("/shoes"), who("/rules")),
        ("whoever sits at the computer".into(), "Mara".into(), NO_ACCOUNT.into())
    );
}
