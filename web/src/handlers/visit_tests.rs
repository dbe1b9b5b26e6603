//! A whole visit through the application, without a socket, over an invented shop.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{Request, StatusCode, header};
use catalogue::key::{SkuKey, StyleKey};
use catalogue::policy::HousePolicy;
use catalogue::rank::Group as Place;
use catalogue::runner::Runner;
use catalogue::size::{SizeCharts, SizeLabel, SizeSystem};
use catalogue::stock::{Price, Quantity, Sku};
use catalogue::style::{Audience, Purpose, Purposes, Specification, Style, Surface, Surfaces};
use catalogue::units::{Grams, Mm};
use indexer::loaded::{Loaded, Seq};
use indexer::shop::Shop;
use indexer::snapshot::Snapshot;
use indexer::words::Words;
use tower::ServiceExt;

use crate::app::{AppState, app};
use crate::clock::Clock;
use crate::config::Config;
use crate::fittings::{FittingId, FrozenOrder};
use crate::visit::order::{Shown, Stale, removed};

/// Name, heel, forefoot (0 is not given), mass (0 is not given), pairs in 42.5.
const SHOES: [(&str, i32, i32, i32, u32); 9] = [
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

fn style(name: &str, heel: i32, forefoot: i32, mass: i32) -> Style {
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

fn sku(style: &Style, pairs: u32) -> Sku {
    let label = SizeLabel::parse(Some(SizeSystem::Eu), "42.5").unwrap();
    Sku {
        key: SkuKey::of(&style.key, "grey", &label, ""),
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

fn snapshot(seq: i64, shoes: &[(&str, i32, i32, i32, u32)]) -> Snapshot {
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
    };
    let words = Words::open_or_build(None, &loaded).unwrap();
    Snapshot::build(loaded, words)
}

/// What came back.
struct Answer {
    status: StatusCode,
    location: String,
    cookie: String,
    html: String,
}

/// One browser at the bench.
struct Bench {
    state: Arc<AppState>,
    app: Router,
}

impl Bench {
    fn new() -> Self {
        let shop = Shop::showing(snapshot(7, &SHOES)).unwrap();
        let state = AppState::new(shop, Config::for_testing(), Clock::fixed(1_790_000_000));
        Self { app: app(&state), state }
    }

    async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.app.clone().oneshot(request).await.unwrap();
        let text = |name| response.headers().get(name).map_or("", |value| value.to_str().unwrap()).to_owned();
        let (location, cookie) = (text(header::LOCATION), text(header::SET_COOKIE));
        let status = response.status();
        let bytes = to_bytes(response.into_body(), 1 << 22).await.unwrap();
        Answer { status, location, cookie, html: String::from_utf8(bytes.to_vec()).unwrap() }
    }

    async fn get(&self, uri: &str) -> Answer {
        let request = Request::get(uri).header(header::HOST, "localhost:7340");
        self.send(request.body(Body::empty()).unwrap()).await
    }

    async fn post(&self, uri: &str, fields: &[(&str, &str)]) -> Answer {
        let mut body = form_urlencoded::Serializer::new(String::new());
        body.extend_pairs(fields);
        let request = Request::post(uri)
            .header(header::HOST, "localhost:7340")
            .header(header::ORIGIN, "http://localhost:7340")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.send(request.body(Body::from(body.finish())).unwrap()).await
    }

    /// Opens a fitting; its address.
    async fn open(&self) -> String {
        let opened = self.post("/fittings", &[]).await;
        assert_eq!(opened.status, StatusCode::SEE_OTHER);
        assert!(opened.cookie.starts_with("fitting-"), "{}", opened.cookie);
        opened.location.strip_suffix("/runner").unwrap().to_owned()
    }

    /// Opens a fitting and answers; its address.
    async fn answered(&self, fields: &[(&str, &str)]) -> String {
        let fitting = self.open().await;
        let answer = self.post(&format!("{fitting}/runner"), fields).await;
        assert_eq!((answer.status, answer.location.as_str()), (StatusCode::SEE_OTHER, fitting.as_str()));
        fitting
    }

    /// The names that `Snapshot::ranked` gives for the runner of this fitting, group by group.
    fn ranked(&self, fitting: &str) -> Vec<(Place, String)> {
        let id = FittingId::parse(fitting.rsplit('/').next().unwrap()).unwrap();
        let now = self.state.clock.now().instant;
        let fitting = self.state.fittings.with(&id, now, |fitting| fitting.clone()).unwrap();
        let snapshot = self.state.snapshot();
        let Ok(list) = snapshot.ranked(&fitting.runner, &removed(&fitting.removed_chips)) else {
            panic!("stopped")
        };
        let name = |row: u32| snapshot.card(row).unwrap().style.name.clone();
        list.results
            .hits
            .iter()
            .zip(&list.places)
            .map(|(hit, standing)| (standing.place, name(hit.row)))
            .collect()
    }
}

const RUNNER: [(&str, &str); 8] = [
    ("run.audience", "men"),
    ("size.system", "EU"),
    ("size.worn_label", "42.5"),
    ("run.purpose", "daily"),
    ("now.words", "Fennick Keel"),
    ("stage.heading", "less"),
    ("flags.pain", "no"),
    ("run.weekly_km", "32"),
];

fn with(more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    RUNNER.into_iter().chain(more.iter().copied()).collect()
}

/// The names of the rows of a page, in the order in which they stand.
fn row_names(html: &str) -> Vec<String> {
    let rows = html.split("<h3><a href=\"/shoes/fennick.").skip(1);
    let name = |row: &str| {
        let text = row.split_once('>')?.1.split_once('<')?.0;
        text.strip_prefix("Fennick ").map(str::to_owned)
    };
    rows.map(|row| name(row).unwrap()).collect()
}

#[tokio::test]
async fn a_visit_goes_from_the_desk_to_the_card_and_leaves_nothing_behind() {
    let bench = Bench::new();
    let fitting = bench.answered(&RUNNER).await;
    let order = bench.get(&fitting).await;
    assert!(order.html.contains("Bring out first") && order.html.contains("Sheet says too little"));
    assert!(
        order.html.contains("Fennick Keel, 38 / 30 mm, drop 8, 280 g"),
        "the only shoe of these words was taken"
    );

    for shoe in ["fennick.marl", "fennick.tern"] {
        let out = bench.post(&format!("{fitting}/shortlist"), &[("style", shoe)]).await;
        assert_eq!(out.location, fitting);
    }
    let compare = bench.get(&format!("{fitting}/compare")).await.html;
    assert!(
        compare.contains("Fennick Keel, worn now")
            && compare.contains("Fennick Marl: same drop, 2 mm lower, 18 g lighter."),
        "{compare}"
    );
    assert!(compare.contains("/compare?shoe=fennick.marl&amp;shoe=fennick.tern"));

    let chosen = bench.post(&format!("{fitting}/choose"), &[("style", "fennick.tern")]).await;
    assert_eq!(chosen.location, format!("{fitting}/card"));
    let card = bench.get(&chosen.location).await.html;
    assert!(card.contains("<h2>Fennick Tern") && card.contains("Also tried") && card.contains("asked: none"));

    let closed = bench.post(&format!("{fitting}/close"), &[]).await;
    assert_eq!((closed.status, closed.location.as_str()), (StatusCode::SEE_OTHER, "/"));
    assert!(closed.cookie.contains("Max-Age=0"));
    for page in ["", "/runner", "/compare", "/card", "/close", "/why/fennick.marl"] {
        let gone = bench.get(&format!("{fitting}{page}")).await;
        assert_eq!(gone.status, StatusCode::GONE, "{page}");
        assert!(!gone.html.contains("Keel"), "{page}");
    }
}

#[tokio::test]
async fn the_order_on_the_page_is_the_order_of_the_index() {
    let bench = Bench::new();
    let fitting = bench.answered(&RUNNER).await;
    let html = bench.get(&fitting).await.html;
    let ranked = bench.ranked(&fitting);
    let of = |place| ranked.iter().filter(move |(at, _)| *at == place).map(|(_, name)| name.clone());
    let places = [Place::First, Place::Aside, Place::Also, Place::Further, Place::TooLittle];
    assert_eq!(row_names(&html), places.into_iter().flat_map(of).collect::<Vec<_>>());
    assert_eq!(ranked.len(), SHOES.len());
}

#[tokio::test]
async fn the_lines_of_why_add_up_to_the_total() {
    let bench = Bench::new();
    let fitting = bench.answered(&with(&[("injury.calf.recent", "yes"), ("run.regular", "yes")])).await;
    for (name, ..) in SHOES {
        let html = bench.get(&format!("{fitting}/why/fennick.{}", name.to_lowercase())).await.html;
        let cells = html.split("<td class=\"number\">").skip(1).map(|rest| rest.split('<').next().unwrap());
        let tenths = |text: &str| {
            text.replace('−', "-").replace('+', "").parse::<f64>().map(|n| (n * 10.0).round() as i64)
        };
        let sum: i64 = cells.filter_map(|text| tenths(text).ok()).sum();
        let total =
            html.split("<b>").skip(1).filter_map(|rest| tenths(rest.split('<').next().unwrap()).ok()).last();
        assert_eq!(Some(sum), total, "{name}");
        assert!(html.contains("Studied"), "{name} says who was studied");
    }
}

#[tokio::test]
async fn why_says_which_place_a_shoe_has_or_why_it_has_none() {
    let bench = Bench::new();
    let fitting = bench.answered(&RUNNER).await;
    for (shoe, place) in [
        ("keel", "aside: the pair worn now"),
        ("gorse", "listed, not ranked"),
        ("marl", "of 6 in this order"),
    ] {
        let html = bench.get(&format!("{fitting}/why/fennick.{shoe}")).await.html;
        assert!(html.contains(place), "{shoe}");
    }
    bench.post(&format!("{fitting}/runner"), &[("run.surface", "trail")]).await;
    assert!(bench.get(&format!("{fitting}/why/fennick.marl")).await.html.contains("a filter hides it"));
    assert_eq!(bench.get(&format!("{fitting}/why/fennick.none")).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_red_flag_shows_no_order_and_says_whom_to_see() {
    let bench = Bench::new();
    let flagged = [("now.words", "Fennick Keel"), ("flags.pain", "yes"), ("flags.calf_swelling", "yes")];
    let fitting = bench.answered(&flagged).await;
    let html = bench.get(&fitting).await.html;
    assert!(row_names(&html).is_empty() && html.contains("Whom to see") && html.contains("name=\"q\""));
    assert!(!html.contains("Bring out"));
    assert_eq!(bench.get(&format!("{fitting}/why/fennick.marl")).await.location, fitting);
    assert_eq!(bench.get(&format!("{fitting}/card")).await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_faulty_answer_comes_back_as_it_was_typed_and_changes_nothing() {
    let bench = Bench::new();
    let fitting = bench.answered(&RUNNER).await;
    let typed = "thirty or so";
    let faulty =
        bench.post(&format!("{fitting}/runner"), &[("run.weekly_km", typed), ("run.purpose", "race")]).await;
    assert_eq!(faulty.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        faulty.html.contains(&format!("value=\"{typed}\""))
            && faulty.html.contains("href=\"#run.weekly_km\"")
    );
    let kept = bench.get(&format!("{fitting}/runner")).await.html;
    assert!(kept.contains("value=\"32\"") && !kept.contains(typed));
}

#[tokio::test]
async fn words_that_mean_several_shoes_are_asked_back_and_words_that_mean_none_too() {
    let bench = Bench::new();
    let fitting = bench.open().await;
    let several = bench.post(&format!("{fitting}/runner"), &[("now.words", "fennick")]).await;
    assert_eq!(several.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(several.html.contains("Fennick Marl") && several.html.contains("choose one"));
    let none = bench.post(&format!("{fitting}/runner"), &[("now.words", "Quillmark")]).await;
    assert!(none.html.contains("No shoe here has these words"));
    let felt =
        bench.post(&format!("{fitting}/runner"), &[("now.words", "Quillmark"), ("now.feel", "taller")]).await;
    assert_eq!(felt.status, StatusCode::SEE_OTHER);
    assert!(bench.get(&fitting).await.html.contains("known by feel only"));
}

#[tokio::test]
async fn nothing_about_the_runner_stands_in_any_address() {
    let bench = Bench::new();
    let fitting =
        bench.answered(&with(&[("injury.calf.recent", "yes"), ("run.body_mass_band", "above 85.7")])).await;
    for shoe in ["fennick.marl", "fennick.tern"] {
        bench.post(&format!("{fitting}/shortlist"), &[("style", shoe)]).await;
    }
    for page in ["", "/runner", "/compare", "/card", "/close", "/why/fennick.fen"] {
        let html = bench.get(&format!("{fitting}{page}")).await.html;
        for address in html.split("href=\"").chain(html.split("action=\"")).skip(1) {
            let address = address.split('"').next().unwrap();
            let (path, _) = address.split_once('#').unwrap_or((address, ""));
            for word in ["calf", "less", "42", "85.7", "men"] {
                assert!(!path.replace(&fitting, "").contains(word), "{page}: {address}");
            }
        }
    }
}

#[tokio::test]
async fn what_the_customer_sees_tells_nothing_of_body_or_injury() {
    let bench = Bench::new();
    let fitting =
        bench.answered(&with(&[("injury.calf.recent", "yes"), ("run.body_mass_band", "above 85.7")])).await;
    for shoe in ["fennick.fen", "fennick.tern"] {
        bench.post(&format!("{fitting}/shortlist"), &[("style", shoe)]).await;
    }
    for page in ["/compare", "/card"] {
        let html = bench.get(&format!("{fitting}{page}")).await.html.to_lowercase();
        for word in ["calf", "achilles", "injur", "body mass", " kg", "85.7"] {
            assert!(!html.contains(word), "{page} says {word}");
        }
    }
    assert!(!bench.get(&fitting).await.html.contains("71.4"), "nor does the list name a body mass");
}

#[tokio::test]
async fn a_chip_says_what_it_hides_comes_off_and_goes_back() {
    let bench = Bench::new();
    let fitting = bench.answered(&with(&[("run.surface", "trail")])).await;
    let empty = bench.get(&fitting).await.html;
    assert!(empty.contains("Nothing is left") && empty.contains("Without trail: 9 shoes"), "{empty}");
    let off = bench.post(&format!("{fitting}/chips"), &[("drop", "surface")]).await;
    assert_eq!(off.location, fitting);
    let html = bench.get(&fitting).await.html;
    assert_eq!(row_names(&html).len(), SHOES.len());
    assert!(html.contains("Put back: trail"));
    bench.post(&format!("{fitting}/chips"), &[("put_back", "surface")]).await;
    assert!(bench.get(&fitting).await.html.contains("Nothing is left"));
}

#[tokio::test]
async fn a_closed_gate_is_announced_and_can_be_opened_by_hand() {
    let bench = Bench::new();
    let fitting = bench.answered(&with(&[("stage.weeks_done", "3")])).await;
    assert!(bench.get(&fitting).await.html.contains("3 of 6 weeks done in this step"));
    bench.post(&format!("{fitting}/step-anyway"), &[("anyway", "yes")]).await;
    let html = bench.get(&fitting).await.html;
    assert!(!html.contains("3 of 6 weeks") && html.contains("Ordered for less"));
}

#[tokio::test]
async fn two_pains_that_pull_apart_are_asked_about_and_the_answer_stands() {
    let bench = Bench::new();
    let fitting =
        bench.answered(&with(&[("injury.calf.recent", "yes"), ("injury.kneecap.recent", "yes")])).await;
    assert!(bench.get(&fitting).await.html.contains("Which pain is current?"));
    bench.post(&format!("{fitting}/current"), &[("region", "calf")]).await;
    let html = bench.get(&fitting).await.html;
    assert!(
        !html.contains("Which pain is current?</h2>") && html.contains("Ask again which pain is current")
    );
}

#[tokio::test]
async fn answers_nobody_asked_for_are_printed_so_and_an_unknown_fitting_is_gone() {
    let bench = Bench::new();
    let fitting = bench.answered(&[]).await;
    let html = bench.get(&fitting).await.html;
    assert!(html.contains("Not asked: size") && html.contains(">not asked<"));
    assert!(html.contains("drop 8, 36 mm under the heel"), "no worn pair: the shoe's own measures");
    assert!(html.contains(&format!("href=\"{fitting}/runner?open=history#history\"")));
    let unfolded = bench.get(&format!("{fitting}/runner?open=history")).await.html;
    assert!(unfolded.contains("id=\"history\" open"));
    let never = format!("/fittings/{}", "0".repeat(32));
    assert_eq!(bench.get(&never).await.status, StatusCode::GONE);
    assert_eq!(bench.get("/fittings/nonsense").await.status, StatusCode::NOT_FOUND);
}

#[test]
fn an_order_stands_until_refresh_whatever_the_stock_does() {
    let (before, runner) = (snapshot(7, &SHOES), Runner::default());
    let list = |snapshot: &Snapshot| snapshot.ranked(&runner, &BTreeSet::new()).ok().unwrap();
    let frozen = FrozenOrder::of(&list(&before), &before);
    let gone = frozen.places[0].0.clone();

    let mut shoes = SHOES.to_vec();
    shoes.retain(|(name, ..)| !gone.as_str().ends_with(&name.to_lowercase()));
    shoes.push(("Brand", 36, 28, 262, 9));
    let after = snapshot(8, &shoes);
    let shown = Shown::of(list(&after), Some(&frozen), &after);
    let key = |hit: usize| after.card(shown.list.results.hits[hit].row).unwrap().style.key.clone();
    let keys: Vec<_> = shown.places.iter().map(|shoe| key(shoe.hit)).collect();
    assert_eq!(keys, frozen.places[1..].iter().map(|(key, _)| key.clone()).collect::<Vec<_>>());
    assert_eq!(shown.stale, Some(Stale { gone: 1, new: 1 }));
    assert_eq!(Shown::of(list(&before), Some(&frozen), &before).stale, None);
}
