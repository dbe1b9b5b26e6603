//! The owner's browser, without one: forms sent, answers read.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, Response, StatusCode, header};
use catalogue::key::StyleKey;
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::Shop;
use tower::ServiceExt;
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::Config;

const HOST: &str = "localhost:7340";

/// The application over a shop, as an owner's browser meets it.
pub(crate) struct Owner {
    pub(crate) state: Arc<AppState>,
    app: Router,
}

/// An answer, with where it leads.
pub(crate) struct Answer {
    pub(crate) status: StatusCode,
    pub(crate) to: String,
    pub(crate) body: String,
    /// It asks to be looked at again.
    pub(crate) refresh: bool,
    /// As it came.
    pub(crate) bytes: Vec<u8>,
}

impl Answer {
    pub(crate) fn says(&self, words: &str) -> bool {
        self.text().contains(words)
    }

    /// The words of the page, its spaces made one.
    pub(crate) fn text(&self) -> String {
        words(&self.body)
    }

    /// The words of every element that begins with `start` and ends with `end`.
    pub(crate) fn all(&self, start: &str, end: &str) -> Vec<String> {
        let inside = |after: &str| words(after.split(end).next().unwrap_or_default());
        self.body.split(start).skip(1).map(inside).collect()
    }

    /// The hidden field `name` of the form that posts to `action`.
    pub(crate) fn hidden(&self, action: &str, name: &str) -> String {
        let form = self.body.split(&format!("action=\"{action}\"")).nth(1).expect("the form");
        let field = form.split(&format!("name=\"{name}\" value=\"")).nth(1).expect("the field");
        field.split('"').next().unwrap_or_default().to_owned()
    }
}

/// What stands between the tags.
pub(crate) fn words(html: &str) -> String {
    let texts = html.split('<').map(|part| part.split_once('>').map_or(part, |(_, text)| text));
    let text = texts.collect::<String>().replace("&quot;", "\"").replace("&amp;", "&");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

pub(crate) fn reader() -> SheetReader {
    SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard())
}

impl Owner {
    pub(crate) fn new() -> Self {
        Self::over(Shop::in_memory(reader()).unwrap())
    }

    pub(crate) fn over(shop: Shop) -> Self {
        Self::within(shop, Config::for_testing())
    }

    /// With other limits.
    pub(crate) fn within(shop: Shop, config: Config) -> Self {
        let state = AppState::without_staff(shop, config, Clock::fixed(1_000)).unwrap();
        let app = app(&state);
        Self { state, app }
    }

    pub(crate) async fn send(&self, request: Request<Body>) -> Answer {
        let response: Response<Body> = self.app.clone().oneshot(request).await.unwrap();
        let status = response.status();
        let to = response.headers().get(header::LOCATION).map(|to| to.to_str().unwrap().to_owned());
        let refresh = response.headers().contains_key("refresh");
        let bytes = to_bytes(response.into_body(), 10_000_000).await.unwrap();
        let body = String::from_utf8_lossy(&bytes).into_owned();
        Answer { status, to: to.unwrap_or_default(), body, refresh, bytes: bytes.into() }
    }

    /// The answer once nothing is done to the sheet any more.
    pub(crate) async fn get(&self, uri: &str) -> Answer {
        loop {
            let page = self.look(uri).await;
            if !page.refresh {
                return page;
            }
            tokio::time::sleep(std::time::Duration::from_millis(10)).await;
        }
    }

    /// The answer as it comes.
    pub(crate) async fn look(&self, uri: &str) -> Answer {
        let request = Request::get(uri).header(header::HOST, HOST).header(header::ACCEPT, "text/html");
        self.send(request.body(Body::empty()).unwrap()).await
    }

    /// The answer to a browser that reads German.
    pub(crate) async fn look_in_german(&self, uri: &str) -> Answer {
        let request = Request::get(uri).header(header::HOST, HOST).header(header::ACCEPT, "text/html");
        self.send(request.header(header::ACCEPT_LANGUAGE, "de").body(Body::empty()).unwrap()).await
    }

    pub(crate) async fn post(&self, uri: &str, fields: &[(&str, &str)]) -> Answer {
        let pairs: Vec<_> = fields.iter().map(|(name, value)| format!("{name}={value}")).collect();
        let request = Request::post(uri)
            .header(header::HOST, HOST)
            .header("sec-fetch-site", "same-origin")
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.send(request.body(Body::from(pairs.join("&"))).unwrap()).await
    }

    pub(crate) async fn sheet(&self, name: &str, bytes: &[u8]) -> Answer {
        self.sheet_of(name, bytes, "Feldrast", "partial").await
    }

    pub(crate) async fn sheet_of(&self, name: &str, bytes: &[u8], supplier: &str, kind: &str) -> Answer {
        let body = tests::http::sheet_form(supplier, kind, name, bytes);
        self.send(upload().body(Body::from(body)).unwrap()).await
    }

    /// Sends cells that were pasted.
    pub(crate) async fn pasted(&self, cells: &str, name: &str) -> Answer {
        let part = |name: &str, text: &str| {
            format!("--cut\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n")
        };
        let file = "--cut\r\nContent-Disposition: form-data; name=\"file\"; filename=\"\"\r\n\r\n\r\n";
        let body = [file, &part("pasted", cells), &part("pasted-name", name), "--cut--\r\n"].concat();
        self.send(upload().body(Body::from(body)).unwrap()).await
    }

    /// Sends one file in one field.
    pub(crate) async fn upload_to(&self, uri: &str, field: &str, name: &str, bytes: &[u8]) -> Answer {
        let head =
            format!("--cut\r\nContent-Disposition: form-data; name=\"{field}\"; filename=\"{name}\"\r\n\r\n");
        let body = [head.as_bytes(), bytes, b"\r\n--cut--\r\n"].concat();
        self.send(upload_at(uri).body(Body::from(body)).unwrap()).await
    }

    /// Sends a sheet that is read, and looks at it.
    pub(crate) async fn preview(&self, name: &str, bytes: &[u8]) -> (String, Answer) {
        let sent = self.sheet(name, bytes).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text());
        let page = self.get(&sent.to).await;
        assert_eq!(page.status, StatusCode::OK);
        (sent.to, page)
    }

    /// Applies a sheet as its page shows it.
    pub(crate) async fn apply(&self, sheet: &str) -> Answer {
        let action = format!("{sheet}/apply");
        let seen = self.get(sheet).await.hidden(&action, "seen");
        self.post(&action, &[("seen", &seen)]).await
    }

    pub(crate) async fn rank(&self, body: &str) -> Answer {
        let request = Request::post("/rank.json").header(header::HOST, HOST);
        self.send(request.body(Body::from(body.to_owned())).unwrap()).await
    }

    pub(crate) fn has(&self, style: &str) -> bool {
        self.state.snapshot().style(&StyleKey::parse(style).unwrap()).is_some()
    }

    pub(crate) fn changes(&self) -> i64 {
        self.state.shop.ask(|store| store.seq()).unwrap().0
    }
}

pub(crate) fn upload() -> axum::http::request::Builder {
    upload_at("/sheets")
}

fn upload_at(uri: &str) -> axum::http::request::Builder {
    Request::post(uri)
        .header(header::HOST, HOST)
        .header("sec-fetch-site", "same-origin")
        .header(header::ACCEPT, "text/html")
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=cut")
}

pub(crate) fn sample(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-catalogue").join(path)
}
