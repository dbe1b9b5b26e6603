//! The application over an invented shop, and a runner with answers, as the visits need them.

use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use catalogue::key::StyleKey;
use catalogue::policy::HousePolicy;
use catalogue::rank::Group as Place;
use catalogue::size::{SizeCharts, SizeLabel, SizeSystem};
use catalogue::stock::{Price, Quantity, Sku};
use catalogue::style::{Audience, Purpose, Purposes, Specification, Style, Surface, Surfaces};
use catalogue::units::{Grams, Mm};
use indexer::loaded::{Loaded, Seq};
use indexer::shop::Shop;
use indexer::snapshot::Snapshot;
use indexer::words::{Synonyms, Words};
use tower::ServiceExt;

use crate::app::{AppState, app};
use crate::clock::Clock;
use crate::config::Config;
use crate::fittings::FittingId;
use crate::visit::order::removed;

/// Name, heel, forefoot (0 is not given), mass (0 is not given), pairs in 42.5.
pub(super) const SHOES: [(&str, i32, i32, i32, u32); 9] = [
    ("Marl", 36, 28, 262, 2),
    ("Sound", 35, 26, 255, 1),
    ("Tern", 33, 25, 243, 3),
    ("Keel", 38, 30, 280, 2),
    ("Fen", 9, 8, 190, 1),
    ("Tor", 48, 40, 302, 1),
    ("Gorse", 0, 0, 0, 4),
    ("Weir", 0, 24, 249, 1),
    ("Lark", 34, 27, 0, 1),
];

pub(super) fn style(name: &str, heel: i32, forefoot: i32, mass: i32) -> Style {
    let mm = |mm: i32| (mm > 0).then(|| Mm::whole(mm));
    Style {
        key: StyleKey::of_number("Fennick", name).unwrap(),
        maker: "Fennick".into(),
        number: Some(name.into()),
        name: name.into(),
        audience: Some(Audience::Men),
        surfaces: Surfaces::of(&[Surface::Road]),
        purposes: Purposes::of(&[Purpose::Daily]),
        specification: Specification {
            heel_stack: mm(heel),
            forefoot_stack: mm(forefoot),
            mass: (mass > 0).then(|| Grams::whole(mass)),
            ..Specification::default()
        },
        notes: None,
        shop_note: None,
        season: None,
        replaces: None,
        retired: false,
    }
}

pub(super) fn sku(style: &Style, pairs: u32) -> Sku {
    let label = SizeLabel::parse(Some(SizeSystem::Eu), "42.5").unwrap();
    Sku {
        style: style.key.clone(),
        colourway: "grey".into(),
        label,
        width: None,
        gtin: None,
        quantity: Some(Quantity::Pairs(pairs)),
        price: Some(Price(13_900)),
        place: Some("bay C4".into()),
    }
}

pub(super) fn snapshot(seq: i64, shoes: &[(&str, i32, i32, i32, u32)]) -> Snapshot {
    let mut made: Vec<(Style, u32)> = shoes
        .iter()
        .map(|(name, heel, forefoot, mass, pairs)| (style(name, *heel, *forefoot, *mass), *pairs))
        .collect();
    made.sort_by(|a, b| a.0.key.cmp(&b.0.key));
    let skus = made.iter().map(|(style, pairs)| sku(style, *pairs)).collect();
    let loaded = Loaded {
        seq: Seq(seq),
        styles: made.into_iter().map(|(style, _)| style).collect(),
        skus,
        policy: HousePolicy::standard(),
        charts: SizeCharts::default(),
        stock_told: None,
        synonyms: Synonyms::default(),
    };
    let words = Words::open_or_build(None, &loaded).unwrap();
    Snapshot::build(loaded, words)
}

/// What came back.
pub(super) struct Answer {
    pub(super) status: StatusCode,
    pub(super) location: String,
    pub(super) cookie: String,
    pub(super) html: String,
}

/// One browser at the bench.
pub(super) struct Bench {
    pub(super) state: Arc<AppState>,
    pub(super) app: Router,
}

impl Bench {
    pub(super) fn new() -> Self {
        let shop = Shop::showing(snapshot(7, &SHOES)).unwrap();
        let state =
            AppState::without_staff(shop, Config::for_testing(), Clock::fixed(1_790_000_000)).unwrap();
        Self { app: app(&state), state }
    }

    pub(super) async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.app.clone().oneshot(request).await.unwrap();
        let text = |name| response.headers().get(name).map_or("", |value| value.to_str().unwrap()).to_owned();
        let (location, cookie) = (text(header::LOCATION), text(header::SET_COOKIE));
        let status = response.status();
        let bytes = to_bytes(response.into_body(), 1 << 22).await.unwrap();
        Answer { status, location, cookie, html: String::from_utf8(bytes.to_vec()).unwrap() }
    }

    pub(super) async fn get(&self, uri: &str) -> Answer {
        let request = Request::get(uri).header(header::HOST, "localhost:7340");
        self.send(request.body(Body::empty()).unwrap()).await
    }

    pub(super) async fn post(&self, uri: &str, fields: &[(&str, &str)]) -> Answer {
        let mut body = form_urlencoded::Serializer::new(String::new());
        body.extend_pairs(fields);
        let request = Request::post(uri)
            .header(header::HOST, "localhost:7340")
            .header(header::ORIGIN, "http://localhost:7340")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.send(request.body(Body::from(body.finish())).unwrap()).await
    }

    /// Opens a fitting; its address.
    pub(super) async fn open(&self) -> String {
        let opened = self.post("/fittings", &[]).await;
        assert_eq!(opened.status, StatusCode::SEE_OTHER);
        assert!(opened.cookie.starts_with("fitting-"), "{}", opened.cookie);
        opened.location.strip_suffix("/runner").unwrap().to_owned()
    }

    /// Opens a fitting and answers; its address.
    pub(super) async fn answered(&self, fields: &[(&str, &str)]) -> String {
        let fitting = self.open().await;
        let answer = self.post(&format!("{fitting}/runner"), fields).await;
        assert_eq!((answer.status, answer.location.as_str()), (StatusCode::SEE_OTHER, fitting.as_str()));
        fitting
    }

    /// The names that `Snapshot::ranked` gives for the runner of this fitting, group by group.
    pub(super) fn ranked(&self, fitting: &str) -> Vec<(Place, String)> {
        let id = FittingId::parse(fitting.rsplit('/').next().unwrap()).unwrap();
        let now = self.state.clock.now().instant;
        let fitting = self.state.fittings.with(&id, now, |fitting| fitting.clone()).unwrap();
        let snapshot = self.state.snapshot();
        let Ok(list) = snapshot.ranked(&fitting.runner, &removed(&fitting.removed_chips)) else {
            panic!("stopped")
        };
        let name = |row: u32| snapshot.card(row).unwrap().style.name.to_string();
        list.results
            .hits
            .iter()
            .zip(&list.places)
            .map(|(hit, standing)| (standing.place, name(hit.row)))
            .collect()
    }
}

pub(super) const RUNNER: [(&str, &str); 8] = [
    ("run.audience", "men"),
    ("size.system", "EU"),
    ("size.worn_label", "42.5"),
    ("run.purpose", "daily"),
    ("now.words", "Fennick Keel"),
    ("stage.heading", "less"),
    ("flags.pain", "no"),
    ("run.weekly_km", "32"),
];

pub(super) fn with(more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    RUNNER.into_iter().chain(more.iter().copied()).collect()
}

/// The names of the rows of a page, in the order in which they stand.
pub(super) fn row_names(html: &str) -> Vec<String> {
    let rows = html.split("<h3><a href=\"/shoes/fennick.").skip(1);
    let name = |row: &str| {
        let text = row.split_once('>')?.1.split_once('<')?.0;
        text.strip_prefix("Fennick ").map(str::to_owned)
    };
    rows.map(|row| name(row).unwrap()).collect()
}
