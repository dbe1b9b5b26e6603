//! Bytes that come from outside: sheets for the child that reads them, the child's own answers, uploads, questions.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, header};
use indexer::phrases::without;
use indexer::sheet::{SheetLimits, SheetReader, Unreadable};
use indexer::shop::{ImportError, Shop, Told};
use tests::chance::Chance;
use tokio::runtime::Runtime;
use tower::ServiceExt;
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::Config;
use web::request::shoes::ShoesQuery;

use crate::hostile::{self, Case};
use crate::mutate::Seeds;

const PROGRAM: &str = env!("CARGO_BIN_EXE_lastbench-under-test");
const SHEET: &str = "Maker,Style number,Model,Colour,Size system,Size,EAN,Qty,Drop mm,Weight g,Price EUR\nFeldrast,FR-1,Egge,grey,EU,42,7300011000017,3,8,280,129.90\n";

fn reader() -> SheetReader {
    SheetReader::new(PROGRAM.into(), SheetLimits::standard())
}

/// Sheets of all kinds, read by the real child and understood.
pub(crate) struct Sheets(Shop);

impl Sheets {
    pub(crate) fn new() -> Self {
        Self(Shop::in_memory(reader()).unwrap())
    }

    pub(crate) fn seeds() -> Seeds {
        let corpus = hostile::corpus().into_iter().map(|case: Case| case.bytes);
        let seeds = corpus.chain([SHEET.as_bytes().to_vec()]).chain([SHEET.replace(',', ";").into_bytes()]);
        Seeds::of(
            seeds,
            &[
                "<c r=\"A1\"",
                "<row r=\"",
                "t=\"s\"",
                "sep=;\n",
                "Maker",
                "Size",
                "PK\u{3}\u{4}",
                "&#x0;",
                "<!DOCTYPE ",
            ],
        )
    }

    /// The child neither dies nor lies, and what it read is understood without a panic.
    pub(crate) fn read(&self, bytes: &[u8], chance: &mut Chance) {
        let zip = ["a.xlsx", "a.ods"][chance.below(2)];
        let name = if bytes.starts_with(b"PK") { zip } else { ["a.csv", "a.tsv", "a.txt"][chance.below(3)] };
        match self.0.understand(name, bytes.to_vec(), &Told::default()) {
            Err(ImportError::Unreadable(
                why @ (Unreadable::Died | Unreadable::Distrusted(_) | Unreadable::TooSlow(_)),
            )) => panic!("{name}: {why:?}"),
            Err(ImportError::Unreadable(why)) => {
                assert!(why.to_string().contains(". "), "{why} says not what to do");
            }
            Err(other) => panic!("{name}: {other}"),
            Ok(understood) => drop(understood.problem_rows(&str::to_owned).unwrap()),
        }
    }
}

/// The parent, and a child that says whatever it is given to say.
pub(crate) struct Frames {
    folder: tempfile::TempDir,
    reader: SheetReader,
}

impl Frames {
    pub(crate) fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let answer = folder.path().join("answer");
        let child = script(&folder, "child", &format!("exec /bin/cat '{}'", answer.display()));
        Self { reader: SheetReader::new(child, SheetLimits::standard()), folder }
    }

    /// True answers of the true child, as it gave them.
    pub(crate) fn seeds() -> Seeds {
        let folder = tempfile::tempdir().unwrap();
        let answer = folder.path().join("answer");
        let line = format!("'{PROGRAM}' read-sheet > '{0}'; exec /bin/cat '{0}'", answer.display());
        let reader = SheetReader::new(script(&folder, "tee", &line), SheetLimits::standard());
        let answers =
            hostile::corpus().into_iter().filter(|case| case.bytes.len() < 20_000).filter_map(|case| {
                let _ = reader.read(case.name, &case.bytes);
                fs::read(&answer).ok()
            });
        Seeds::of(answers.take(60).collect::<Vec<_>>(), &["R", "T", "M", "N", "E", "U", "D", "W", "utf-8"])
    }

    /// Whatever a child says, the parent gives a sheet within limits, or a refusal.
    pub(crate) fn hear(&self, bytes: &[u8], chance: &mut Chance) {
        fs::write(self.folder.path().join("answer"), bytes).unwrap();
        let (name, file): (&str, &[u8]) =
            if chance.below(2) == 0 { ("a.csv", b"a,b\n") } else { ("a.xlsx", b"PK\x03\x04") };
        if let Ok(sheet) = self.reader.read(name, file) {
            let rows = sheet.tabs.iter().map(|tab| tab.rows.len()).sum::<usize>();
            assert!(rows <= SheetLimits::standard().rows as usize);
        }
    }
}

fn script(folder: &tempfile::TempDir, name: &str, line: &str) -> PathBuf {
    let path = folder.path().join(name);
    fs::write(&path, format!("#!/bin/sh\n{line}\n")).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o700)).unwrap();
    path
}

/// The whole application over the sample catalogue, without a socket.
pub(crate) struct House {
    state: Arc<AppState>,
    app: Router,
    runtime: Runtime,
}

impl House {
    pub(crate) fn new() -> Self {
        let shop = web::sample::sample_shop(reader(), 1_000).expect("the sample");
        let state = AppState::without_staff(shop, Config::for_testing(), Clock::fixed(1_000)).unwrap();
        Self { app: app(&state), state, runtime: Runtime::new().unwrap() }
    }

    fn send(&self, request: Request<Body>) -> (u16, String) {
        self.runtime.block_on(async {
            let answer = self.app.clone().oneshot(request).await.unwrap();
            let status = answer.status().as_u16();
            let body = to_bytes(answer.into_body(), 10_000_000).await.unwrap();
            (status, String::from_utf8_lossy(&body).into_owned())
        })
    }

    pub(crate) fn questions() -> Seeds {
        let questions = [
            "egge",
            "4 mm",
            "under 250 g",
            "size 42.5",
            "wide",
            "men's trail",
            "stack 30-35 mm",
            "UK 9½",
            "\"a b\"",
            "fm310",
            "grösse",
            "not stiff plate",
            "zero drop under €120",
            "EU 42 2/3 women blue",
        ];
        Seeds::of(
            questions,
            &[
                "mm", "g", "under", "over", "size", "to", "-", "EU", "½", "women", "€", "((((", "NOT ", "*",
                "~2",
            ],
        )
    }

    /// Words become filters that stand in their text, and every question is answered or refused, never a fault of ours.
    pub(crate) fn ask(&self, bytes: &[u8]) {
        let text = String::from_utf8_lossy(bytes);
        let snapshot = self.state.snapshot();
        let phrases = snapshot.phrases(&text);
        for phrase in &phrases {
            assert_eq!(text.get(phrase.at.clone()), Some(phrase.typed.as_str()), "a phrase stands elsewhere");
        }
        let _ = without(&text, &phrases);
        let address: String = form_urlencoded::byte_serialize(bytes).collect();
        let query = ShoesQuery::parse(&format!("q={address}"));
        let meant = query.clone().meant(&snapshot);
        assert!(
            ShoesQuery::parse(meant.href("").trim_start_matches('?')).words().len() <= meant.words().len()
        );
        for page in ["/shoes", "/shoes.json"] {
            let request = Request::get(format!("{page}?q={address}")).header(header::HOST, "localhost:7340");
            // What is no address is refused before it comes here.
            let Ok(request) = request.body(Body::empty()) else { continue };
            let (status, body) = self.send(request);
            assert!(status < 500, "{page}: {status} {body}");
        }
    }

    pub(crate) fn uploads() -> Seeds {
        let file = "name=\"file\"; filename=\"a.csv\"";
        let forms: [&[(&str, &[u8])]; 4] = [
            &[("name=\"supplier\"", b"X"), (file, SHEET.as_bytes())],
            &[("name=\"pasted\"", b"Maker\tStyle number\nA\tB"), ("name=\"pasted-name\"", b"x")],
            &[("name=\"file\"; filename*=UTF-8''%41.csv", b"a,b"), ("name=\"kind\"", b"full")],
            &[("name=\"audience\"", b"women"), (file, b"EU,foot mm\n38,240\n")],
        ];
        let words = [
            "--cut",
            "--cut--\r\n",
            "\r\n\r\n",
            "Content-Disposition: form-data; ",
            "name=\"",
            "filename=\"",
            "Content-Type: text/csv",
        ];
        Seeds::of(forms.map(hostile::server::form), &words)
    }

    /// An upload is taken or refused with a sentence, and nothing is stored of it.
    pub(crate) fn upload(&self, bytes: &[u8], chance: &mut Chance) {
        let before = self.state.snapshot().seq();
        let boundary = ["cut", "cut", "cut", "\"cut\"", "", "c\u{fc}t", "cut; charset=x"][chance.below(7)];
        let request = Request::post("/sheets")
            .header(header::HOST, "localhost:7340")
            .header("sec-fetch-site", "same-origin")
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, format!("multipart/form-data; boundary={boundary}").as_bytes());
        let (status, body) = self.send(request.body(Body::from(bytes.to_vec())).unwrap());
        assert!(status < 500, "{status} {body}");
        assert!(status == 303 || body.contains("<h1"), "a refusal without a page: {status}");
        assert_eq!(self.state.snapshot().seq(), before, "an upload was stored");
    }
}
