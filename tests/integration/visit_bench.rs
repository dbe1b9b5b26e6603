//! A fitting over the sample shop, without a socket: forms posted, pages read, and what it holds looked at.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use indexer::sheet::{SheetLimits, SheetReader};
use tower::ServiceExt;
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::Config;
use web::fittings::{Fitting, FittingId};
use web::sample::sample_shop;

const HOST: &str = "localhost:7340";
const FORM: &str = "application/x-www-form-urlencoded";

/// The answers of a plain runner, who runs on less shoe from month to month.
pub(crate) const RUNNER: [(&str, &str); 9] = [
    ("run.audience", "men"),
    ("size.system", "EU"),
    ("size.worn_label", "42.5"),
    ("run.purpose", "daily"),
    ("stage.heading", "less"),
    ("flags.pain", "no"),
    ("now.style", "fennick.fm-410"),
    ("run.weekly_km", "32"),
    ("injury.calf.recent", "yes"),
];

/// The answers of [`RUNNER`], those that are named again in place of the first.
pub(crate) fn with<'a>(more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = RUNNER.into_iter().filter(|(name, _)| !more.iter().any(|(other, _)| other == name));
    kept.chain(more.iter().copied()).collect()
}

/// A form without a field.
pub(crate) const NOTHING: [(&str, &str); 0] = [];

/// The application over the sample shop, as the fitter's browser meets it.
pub(crate) struct Desk {
    pub(crate) state: Arc<AppState>,
    app: Router,
}

/// What came back.
pub(crate) struct Answer {
    pub(crate) status: StatusCode,
    pub(crate) to: String,
    pub(crate) text: String,
}

impl Desk {
    pub(crate) fn new() -> Self {
        let reader =
            SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
        let state = AppState::without_staff(
            sample_shop(reader, 1_000).unwrap(),
            Config::for_testing(),
            Clock::fixed(1_000),
        )
        .unwrap();
        Self { app: app(&state), state }
    }

    async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.app.clone().oneshot(request).await.unwrap();
        let status = response.status();
        let to = response.headers().get(header::LOCATION).map_or("", |to| to.to_str().unwrap()).to_owned();
        let bytes = to_bytes(response.into_body(), 10_000_000).await.unwrap();
        Answer { status, to, text: String::from_utf8_lossy(&bytes).into_owned() }
    }

    pub(crate) async fn get(&self, uri: &str) -> Answer {
        let request =
            Request::get(uri).header(header::HOST, HOST).header(header::ACCEPT, "text/html,application/json");
        self.send(request.body(Body::empty()).unwrap()).await
    }

    /// A page as a browser gets it that likes this language best.
    pub(crate) async fn get_in(&self, language: &str, uri: &str) -> Answer {
        let request = Request::get(uri).header(header::HOST, HOST).header(header::ACCEPT_LANGUAGE, language);
        self.send(request.header(header::ACCEPT, "text/html").body(Body::empty()).unwrap()).await
    }

    /// How many bytes go over the wire for an address, packed as a browser asks for it.
    pub(crate) async fn weight(&self, language: &str, uri: &str) -> usize {
        let request = Request::get(uri)
            .header(header::HOST, HOST)
            .header(header::ACCEPT, "text/html")
            .header(header::ACCEPT_LANGUAGE, language)
            .header(header::ACCEPT_ENCODING, "gzip");
        let response = self.app.clone().oneshot(request.body(Body::empty()).unwrap()).await.unwrap();
        assert_eq!(response.headers()[header::CONTENT_ENCODING], "gzip", "{uri}");
        to_bytes(response.into_body(), 10_000_000).await.unwrap().len()
    }

    /// The text of a page that is there.
    pub(crate) async fn page(&self, uri: &str) -> String {
        let answer = self.get(uri).await;
        assert_eq!(answer.status, StatusCode::OK, "{uri}: {}", answer.text);
        answer.text
    }

    pub(crate) async fn post(&self, uri: &str, fields: &[(impl AsRef<str>, impl AsRef<str>)]) -> Answer {
        self.post_in("en", uri, fields).await
    }

    pub(crate) async fn post_in(
        &self,
        language: &str,
        uri: &str,
        fields: &[(impl AsRef<str>, impl AsRef<str>)],
    ) -> Answer {
        let body = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
        let request = Request::post(uri)
            .header(header::HOST, HOST)
            .header("sec-fetch-site", "same-origin")
            .header(header::ACCEPT_LANGUAGE, language)
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, FORM);
        self.send(request.body(Body::from(body)).unwrap()).await
    }

    pub(crate) async fn rank_json(&self, body: String) -> Answer {
        let request = Request::post("/rank.json").header(header::HOST, HOST);
        self.send(request.body(Body::from(body)).unwrap()).await
    }

    /// The address of a new fitting with these answers; any other is closed, for a testing desk holds three.
    pub(crate) async fn answered(&self, fields: &[(&str, &str)]) -> String {
        let now = self.state.clock.now().instant;
        for open in self.state.fittings.list(now) {
            self.state.fittings.close(&open.id, now);
        }
        let opened = self.post("/fittings", &NOTHING).await;
        let fitting = opened.to.strip_suffix("/runner").unwrap().to_owned();
        let taken = self.post(&format!("{fitting}/runner"), fields).await;
        assert_eq!((taken.status, &taken.to), (StatusCode::SEE_OTHER, &fitting), "{}", taken.text);
        fitting
    }

    /// What a fitting holds now.
    pub(crate) fn fitting(&self, address: &str) -> Fitting {
        let id = FittingId::parse(address.rsplit('/').next().unwrap()).unwrap();
        self.state.fittings.with(&id, self.state.clock.now().instant, |fitting| fitting.clone()).unwrap()
    }

    /// Maker and name of a shoe.
    pub(crate) fn name(&self, key: &str) -> String {
        let snapshot = self.state.snapshot();
        let style = snapshot.styles().iter().find(|style| style.key.as_str() == key).unwrap();
        format!("{} {}", style.maker, style.name)
    }

    /// The keys of all rows of a fitting's list, in the order in which they stand.
    pub(crate) async fn rows(&self, fitting: &str) -> Vec<String> {
        rows(&self.page(&format!("{fitting}?all=yes")).await)
    }
}

/// The keys of the rows of a page, in the order in which they stand.
pub(crate) fn rows(html: &str) -> Vec<String> {
    between(html, "<h3><a href=\"/shoes/", "\"")
}

/// Every text between two others.
pub(crate) fn between(html: &str, from: &str, to: &str) -> Vec<String> {
    html.split(from).skip(1).map(|rest| rest.split(to).next().unwrap().to_owned()).collect()
}

/// Whether two states of a fitting hold the same.
pub(crate) fn is_unchanged(before: &Fitting, after: &Fitting) -> bool {
    before.runner == after.runner
        && before.answers == after.answers
        && before.order == after.order
        && before.shortlist == after.shortlist
        && before.chosen == after.chosen
        && before.removed_chips == after.removed_chips
}

/// The runner file's tables of a posted form: an injury is a table of its own.
pub(crate) fn as_json(fields: &[(&str, &str)]) -> serde_json::Value {
    use serde_json::{Map, Value, json};
    let mut tables = Map::new();
    let mut injuries: Vec<(String, Map<String, Value>)> = Vec::new();
    for (key, text) in fields.iter().filter(|(_, text)| !text.is_empty()) {
        let mut parts = key.splitn(3, '.');
        let (table, name) = (parts.next().unwrap(), parts.next().unwrap());
        let value = plain(text);
        if table == "injury" {
            let at = injuries.iter().position(|(region, _)| region == name).unwrap_or_else(|| {
                injuries.push((name.to_owned(), Map::from_iter([("region".to_owned(), json!(name))])));
                injuries.len() - 1
            });
            injuries[at].1.extend(parts.next().map(|detail| (detail.to_owned(), value)));
            continue;
        }
        let table = tables.entry(table).or_insert_with(|| json!({})).as_object_mut().unwrap();
        match table.get_mut(name) {
            None => drop(table.insert(name.to_owned(), value)),
            Some(Value::Array(list)) => list.push(value),
            Some(one) => *one = json!([one.take(), value]),
        }
    }
    if !injuries.is_empty() {
        tables.insert("injury".to_owned(), injuries.into_iter().map(|(_, injury)| injury).collect());
    }
    Value::Object(tables)
}

/// A number where it is one, else a text.
fn plain(text: &str) -> serde_json::Value {
    let number = text.parse::<f64>().is_ok().then(|| serde_json::from_str(text).ok()).flatten();
    number.unwrap_or_else(|| text.into())
}

/// The runner file of a posted form.
pub(crate) fn as_toml(fields: &[(&str, &str)]) -> String {
    toml::to_string(&as_json(fields)).unwrap()
}

/// What a form holds: name and value of what is written, ticked and chosen in it.
pub(crate) fn filled(html: &str) -> Vec<(String, String)> {
    fields(html, false)
}

/// What a browser sends of the form of a page that is posted to `action`, as it stands there.
pub(crate) fn as_sent(html: &str, action: &str) -> Vec<(String, String)> {
    let form = html.split(&format!("method=\"post\" action=\"{action}\"")).nth(1).unwrap();
    fields(form.split("</form>").next().unwrap(), true)
}

fn fields(html: &str, hidden_ones: bool) -> Vec<(String, String)> {
    let mut held = Vec::new();
    let mut select = String::new();
    for tag in html.split('<').skip(1).map(|rest| rest.split('>').next().unwrap()) {
        let value = |name: &str| {
            let behind = tag.split_once(&format!(" {name}=\"")).map(|(_, rest)| rest)?;
            Some(unescaped(behind.split('"').next().unwrap()))
        };
        let said = |flag: &str| tag.ends_with(flag);
        match tag.split(' ').next().unwrap() {
            "select" => select = value("name").unwrap_or_default(),
            "option" if said(" selected") => held.push((select.clone(), value("value").unwrap())),
            "input" if tag.contains("type=\"hidden\"") && !hidden_ones => {}
            "input" if tag.contains("type=\"radio\"") || tag.contains("type=\"checkbox\"") => {
                held.extend(said(" checked").then(|| (value("name").unwrap(), value("value").unwrap())));
            }
            "input" => held.extend(value("name").zip(value("value"))),
            _ => {}
        }
    }
    held
}

/// A text as it stood before it was written into a page.
pub(crate) fn unescaped(text: &str) -> String {
    text.replace("&quot;", "\"").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
}
