//! What explains an order, over the sample shop and its runners: why this place, why above, rules, beliefs, sources.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::http::{HeaderMap, Request, StatusCode, header};
use catalogue::evidence::claims;
use catalogue::evidence::{SOURCES, UNSUPPORTED};
use catalogue::rules::RULES;
use catalogue::runner::Runner;
use indexer::loaded::Seq;
use indexer::sheet::{SheetLimits, SheetReader};
use serde_json::Value;
use tower::ServiceExt;
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::Config;
use web::fittings::{FittingId, Mark, MarkKind, MarkReason};
use web::request::runner::RunnerForm;
use web::sample::sample_shop;

struct Bench {
    state: Arc<AppState>,
    app: Router,
}

struct Answer {
    status: StatusCode,
    headers: HeaderMap,
    text: String,
}

impl Bench {
    fn new() -> Self {
        let reader =
            SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
        let shop = sample_shop(reader, 1_000).unwrap();
        let state = AppState::without_staff(shop, Config::for_testing(), Clock::fixed(1_000)).unwrap();
        Self { app: app(&state), state }
    }

    async fn get(&self, uri: &str) -> Answer {
        let request = Request::get(uri)
            .header(header::HOST, "localhost:7340")
            .header(header::ACCEPT, "text/html,application/json");
        let response = self.app.clone().oneshot(request.body(Body::empty()).unwrap()).await.unwrap();
        let (status, headers) = (response.status(), response.headers().clone());
        let bytes = to_bytes(response.into_body(), 10_000_000).await.unwrap();
        Answer { status, headers, text: String::from_utf8_lossy(&bytes).into_owned() }
    }

    async fn page(&self, uri: &str) -> String {
        let answer = self.get(uri).await;
        assert_eq!(answer.status, StatusCode::OK, "{uri}: {}", answer.text);
        answer.text
    }

    async fn json(&self, uri: &str) -> Value {
        serde_json::from_str(&self.page(uri).await).unwrap()
    }

    /// The address of a new fitting of this runner; any other is closed, for a testing desk holds three.
    fn fitting(&self, runner: Runner) -> String {
        let now = self.state.clock.now().instant;
        for open in self.state.fittings.list(now) {
            self.state.fittings.close(&open.id, now);
        }
        let id = self.state.fittings.open(runner, now).unwrap();
        format!("/fittings/{id}")
    }

    fn sample(&self, name: &str) -> Runner {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../sample-catalogue/runners");
        let text = std::fs::read_to_string(folder.join(name).with_extension("toml")).unwrap();
        let snapshot = self.state.snapshot();
        RunnerForm::from_toml(&text).unwrap().to_runner(&|key| snapshot.style(key).is_some()).unwrap()
    }

    /// The styles of the order of a fitting, in order, those that take a place.
    async fn ranked(&self, fitting: &str) -> Vec<String> {
        let mut ranked = Vec::new();
        for style in self.state.snapshot().styles() {
            let reply = self.json(&format!("{fitting}/why/{}.json", style.key)).await;
            ranked.extend(reply["place"].as_u64().map(|place| (place, style.key.to_string())));
        }
        ranked.sort();
        ranked.into_iter().map(|(_, key)| key).collect()
    }
}

const RANKED: [&str; 7] =
    ["by-feel", "calf-strain", "closed-gate", "conflict", "empty-list", "nothing-first", "race"];

fn tenths(value: &Value) -> i64 {
    (value.as_f64().unwrap() * 10.0).round() as i64
}

fn sum(lines: &Value, of: &str) -> i64 {
    lines.as_array().unwrap().iter().map(|line| tenths(&line[of])).sum()
}

/// The ids of a page.
fn ids(html: &str) -> BTreeSet<String> {
    html.split(" id=\"").skip(1).map(|rest| rest.split('"').next().unwrap().to_owned()).collect()
}

/// What the links to `page` on this page name behind `#`.
fn anchors(html: &str, page: &str) -> BTreeSet<String> {
    let start = format!("href=\"{page}#");
    html.split(&start).skip(1).map(|rest| rest.split('"').next().unwrap().to_owned()).collect()
}

#[tokio::test]
async fn the_lines_add_up_in_the_twin_for_every_sample_runner_and_shoe() {
    let bench = Bench::new();
    for name in RANKED {
        let fitting = bench.fitting(bench.sample(name));
        for style in bench.state.snapshot().styles() {
            let reply = bench.json(&format!("{fitting}/why/{}.json", style.key)).await;
            for (of, total) in [("points", "suitability"), ("low", "low"), ("high", "high")] {
                assert_eq!(sum(&reply["lines"], of), tenths(&reply[total]), "{name}, {}, {of}", style.key);
            }
            for open in reply["opens"].as_array().unwrap() {
                let now = tenths(&reply["high"]) - tenths(&reply["low"]);
                let then = tenths(&open["high"]) - tenths(&open["low"]);
                assert_eq!(now - then, tenths(&open["settles"]), "{name}, {}", style.key);
                assert!(then >= 0 && then < now, "{name}, {}", style.key);
            }
            let needed: BTreeSet<&str> =
                reply["needed"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
            for missing in reply["missing"].as_array().unwrap() {
                assert!(needed.contains(missing.as_str().unwrap()), "{name}, {}", style.key);
            }
        }
    }
}

#[tokio::test]
async fn the_twin_holds_the_lines_of_the_machines_order_and_is_never_kept() {
    let bench = Bench::new();
    let body = r#"{"size": {"system": "EU", "worn_label": "42.5"}, "run": {"audience": "men"},
        "now": {"style": "fennick.fm-410"}, "stage": {"heading": "less"}}"#;
    let request = Request::post("/rank.json").header(header::HOST, "localhost:7340");
    let response = bench.app.clone().oneshot(request.body(Body::from(body)).unwrap()).await.unwrap();
    let bytes = to_bytes(response.into_body(), 10_000_000).await.unwrap();
    let order: Value = serde_json::from_slice(&bytes).unwrap();
    let runner = RunnerForm::from_json(body.as_bytes()).unwrap().to_runner(&|_| true).unwrap();
    let fitting = bench.fitting(runner);
    let results = order["results"].as_array().unwrap();
    assert!(results.len() > 10);
    for result in results {
        let uri = format!("{fitting}/why/{}.json", result["style"].as_str().unwrap());
        let answer = bench.get(&uri).await;
        assert_eq!(answer.headers[header::CACHE_CONTROL], "no-store");
        assert!(answer.headers[header::CONTENT_TYPE].to_str().unwrap().starts_with("application/json"));
        let reply: Value = serde_json::from_str(&answer.text).unwrap();
        for key in ["lines", "suitability", "low", "high", "known_weight", "group"] {
            assert_eq!(reply[key], result[key], "{uri} {key}");
        }
        assert_eq!(reply["row"], order["row"]);
    }
}

#[tokio::test]
async fn why_above_adds_up_and_what_decided_is_what_the_order_asks_first() {
    let bench = Bench::new();
    let mut decided_by = BTreeSet::new();
    for name in ["calf-strain", "conflict", "race"] {
        let fitting = bench.fitting(bench.sample(name));
        let ranked = bench.ranked(&fitting).await;
        for pair in ranked.windows(2) {
            let [above, below] = pair else { unreachable!() };
            // Whichever of the two is asked for, the upper one is the upper one: by its place, or brought out first.
            let reply = bench.json(&format!("{fitting}/why/{below}.json?beside={above}")).await;
            let (beside, uri) = (&reply["beside"], format!("{name}: {above} above {below}"));
            let decided = beside["decided"].as_str().unwrap().to_owned();
            let by_place = (Some(above.as_str()), Some(below.as_str()));
            let expected = if decided == "group" { (by_place.1, by_place.0) } else { by_place };
            let stands = (beside["upper"]["style"].as_str(), beside["lower"]["style"].as_str());
            assert_eq!(stands, expected, "{uri}");
            let at = |side: &str| tenths(&beside[side]["suitability"]);
            assert_eq!(sum(&beside["lines"], "difference"), at("upper") - at("lower"), "{uri}");
            assert_eq!(
                (sum(&beside["lines"], "upper"), sum(&beside["lines"], "lower")),
                (at("upper"), at("lower"))
            );
            let whole = |side: &str| (at(side) + 5).div_euclid(10);
            let pairs = |side: &str| beside[side]["pairs"].as_u64().unwrap();
            match decided.as_str() {
                "group" => assert_eq!(reply["group"], "first", "{uri}"),
                "points" => assert!(whole("upper") > whole("lower"), "{uri}"),
                "pairs" => assert!(whole("upper") == whole("lower") && pairs("upper") > pairs("lower")),
                "exact points" => assert!(pairs("upper") == pairs("lower") && at("upper") > at("lower")),
                _ => assert!(pairs("upper") == pairs("lower") && at("upper") == at("lower"), "{uri}"),
            }
            let html = bench.page(&format!("{fitting}/why/{above}?beside={below}")).await;
            assert_eq!(html.contains("the pairs in the working sizes decide"), decided == "pairs", "{uri}");
            let could_turn = tenths(&beside["lower"]["high"]) > tenths(&beside["upper"]["low"]);
            let open = ["upper", "lower"].iter().any(|side| beside[side]["low"] != beside[side]["high"]);
            let said = decided != "group" && open && could_turn;
            assert_eq!(html.contains("What is not given could turn this"), said, "{uri}");
            assert_eq!(html.contains("By points alone it would stand above."), decided == "group", "{uri}");
            decided_by.insert(decided);
        }
    }
    assert!(["group", "points", "pairs"].iter().all(|by| decided_by.contains(*by)), "{decided_by:?}");
}

/// The last two of the order, turned about in what was frozen at an earlier state of the catalogue.
#[tokio::test]
async fn an_order_that_the_catalogue_has_overtaken_says_what_the_numbers_of_now_say() {
    let bench = Bench::new();
    let fitting = bench.fitting(bench.sample("calf-strain"));
    let ranked = bench.ranked(&fitting).await;
    let [.., above, below] = ranked.as_slice() else { panic!("no two shoes") };
    let uri = format!("{fitting}/why/{above}?beside={below}");
    let said = "The order was made before the catalogue changed";
    assert!(!bench.page(&uri).await.contains(said));
    let now = bench.state.clock.now().instant;
    let id = FittingId::parse(fitting.rsplit('/').next().unwrap()).unwrap();
    bench.state.fittings.with(&id, now, |fitting| {
        let order = fitting.order.as_mut().unwrap();
        order.seq = Seq(0);
        let at = |key: &str| order.places.iter().position(|(style, _)| style.as_str() == key).unwrap();
        let (above, below) = (at(above), at(below));
        order.places.swap(above, below);
    });
    let html = bench.page(&uri).await;
    assert!(html.contains(said) && html.contains("Refresh the order to see it so."), "{html}");
}

#[tokio::test]
async fn the_hand_of_the_fitter_is_named_where_it_placed_a_shoe() {
    let bench = Bench::new();
    let runner = bench.sample("calf-strain");
    let id = bench.state.fittings.open(runner, bench.state.clock.now().instant).unwrap();
    let fitting = format!("/fittings/{id}");
    let ranked = bench.ranked(&fitting).await;
    let key =
        bench.state.snapshot().styles().iter().find(|s| s.key.to_string() == ranked[1]).unwrap().key.clone();
    let said = "Kept on top by the fitter: comfort; computed place 2. The hand moved it on the page";
    let [alone, beside] =
        [format!("{fitting}/why/{key}"), format!("{fitting}/why/{}?beside={key}", ranked[0])];
    assert!(!bench.page(&alone).await.contains(said));
    let mark = Mark { kind: MarkKind::Pinned, reason: Some(MarkReason::Comfort) };
    let now = bench.state.clock.now().instant;
    bench.state.fittings.with(&id, now, |fitting| fitting.marks.insert(key, mark)).unwrap();
    assert!(bench.page(&alone).await.contains(said) && bench.page(&beside).await.contains(said));
}

#[tokio::test]
async fn a_stopped_fitting_explains_nothing() {
    let bench = Bench::new();
    let fitting = bench.fitting(bench.sample("stop"));
    let page = bench.get(&format!("{fitting}/why/fennick.fm-410")).await;
    assert_eq!(
        (page.status, &page.headers[header::LOCATION].to_str().unwrap()),
        (StatusCode::SEE_OTHER, &fitting.as_str())
    );
    let beside = bench.get(&format!("{fitting}/why/fennick.fm-410?beside=fennick.fm-510")).await;
    assert_eq!(beside.status, StatusCode::SEE_OTHER);
    let twin = bench.get(&format!("{fitting}/why/fennick.fm-410.json")).await;
    assert_eq!(twin.status, StatusCode::CONFLICT);
    assert!(!twin.text.contains("suitability") && twin.headers[header::CACHE_CONTROL] == "no-store");
}

#[tokio::test]
async fn a_shoe_nobody_brought_in_is_refused_alone_beside_another_and_in_the_twin() {
    let bench = Bench::new();
    let fitting = bench.fitting(bench.sample("race"));
    for part in [
        "nobody.none",
        "nobody.none.json",
        "fennick.fm-410?beside=nobody.none",
        "fennick.fm-410?beside=%3Cb%3E",
    ] {
        let answer = bench.get(&format!("{fitting}/why/{part}")).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{part}");
        assert!(!answer.text.contains("<b>"), "{part}");
    }
    let itself = bench.page(&format!("{fitting}/why/fennick.fm-410?beside=fennick.fm-410")).await;
    assert!(itself.contains("<h1>Why this place</h1>"), "beside itself it stands alone");
}

#[tokio::test]
async fn every_figure_leads_to_the_policy_or_to_a_rule_and_every_rule_to_sources_that_are_there() {
    let bench = Bench::new();
    let (rules, sources) = (bench.page("/rules").await, bench.page("/sources").await);
    let unsupported = bench.page("/unsupported").await;
    let (rule_ids, source_ids, belief_ids) = (ids(&rules), ids(&sources), ids(&unsupported));
    let mut pages = vec![rules, sources, unsupported];
    for name in RANKED {
        let fitting = bench.fitting(bench.sample(name));
        for style in bench.state.snapshot().styles().iter().step_by(7) {
            let html = bench.page(&format!("{fitting}/why/{}", style.key)).await;
            let rows = html.split("<tbody>").nth(1).unwrap().split("</tbody>").next().unwrap();
            for row in rows.split("<tr>").skip(1) {
                let rests = ["/policy#", "/rules#", "/runner?open=wishes#"];
                assert!(rests.iter().any(|rests| row.contains(rests)), "{name}, {}: {row}", style.key);
            }
            let rows_of_policy = ["less", "same", "more", "race", "new", "new-race"];
            assert!(anchors(&html, "/policy").iter().all(|row| rows_of_policy.contains(&row.as_str())));
            pages.push(html);
        }
    }
    for html in pages {
        assert!(anchors(&html, "/rules").is_subset(&rule_ids), "{:?}", anchors(&html, "/rules"));
        assert!(anchors(&html, "/sources").is_subset(&source_ids), "{:?}", anchors(&html, "/sources"));
        assert!(anchors(&html, "/unsupported").is_subset(&belief_ids));
    }
}

#[tokio::test]
async fn every_rule_claim_belief_and_source_has_its_place_and_no_page_has_an_id_twice() {
    let bench = Bench::new();
    let (rules, sources) = (bench.page("/rules").await, bench.page("/sources").await);
    let unsupported = bench.page("/unsupported").await;
    for (html, wanted) in [
        (&rules, RULES.iter().map(|r| r.id).chain(claims().map(|c| c.id)).collect::<Vec<_>>()),
        (&sources, SOURCES.iter().map(|s| s.id).collect()),
        (&unsupported, UNSUPPORTED.iter().map(|u| u.id).collect()),
    ] {
        let ids = ids(html);
        assert_eq!(html.matches(" id=\"").count(), ids.len(), "an id stands twice");
        assert!(wanted.iter().all(|id| ids.contains(*id)));
    }
    for rule in RULES {
        assert!(rules.contains(rule.evidence.grade.verb()) && rules.contains("Studied"));
    }
    let house = claims().filter(|claim| claim.is_house_view()).count();
    assert_eq!(rules.matches("Our house’s view:").count(), house);
}

/// Counted a second time, in another way: by explaining each shoe for the one runner with a calf strain alone.
#[tokio::test]
async fn what_a_rule_says_of_the_catalogue_is_counted_from_the_catalogue_being_served() {
    let bench = Bench::new();
    let snapshot = bench.state.snapshot();
    let ranker = snapshot.ranker(&bench.sample("calf-strain")).unwrap();
    let (mut speaks_for, mut against, mut misses) = (0, 0, 0);
    for style in snapshot.styles() {
        let explanation = ranker.explain(&snapshot.style(&style.key).unwrap().measures);
        for (_, points) in explanation.rules().filter(|(line, _)| line.rule.id == "calf-drop") {
            speaks_for += usize::from(points.at > 0);
            against += usize::from(points.at < 0);
            misses += usize::from(points.low < 0 && points.high > 0);
        }
    }
    let said = format!(
        "It speaks for {speaks_for} and against {against} of {} shoes in the catalogue, and misses a measure of {misses}.",
        snapshot.styles().len()
    );
    assert!(speaks_for > 0 && against > 0);
    let html = bench.page("/rules").await;
    let of_rule = html.split("id=\"calf-drop\"").nth(1).unwrap().split("</section>").next().unwrap();
    // The other runner of whom it is in force has lost it in a conflict, so that only this one counts.
    assert!(of_rule.contains("In force for 2 of 8 sample runners: calf-strain and conflict."), "{of_rule}");
    assert!(
        of_rule.contains("Left out in a conflict: conflict.") && of_rule.contains(&said),
        "{said}: {of_rule}"
    );
}
