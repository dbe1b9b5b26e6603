//! What a page of a fitting costs at 5,000 variants, over HTTP: beside a page of the same bytes ready-made behind the same
//! guards on two connections, and beside `/healthz` on sixteen.
//!
//! `cargo bench --bench pages` prints the tables. A list that is read again comes as it was drawn, since nothing of it has
//! changed; the second row of the first table has its order made anew before every asking, so that all of it is ranked,
//! explained and drawn each time.

#![allow(clippy::print_stdout, clippy::unwrap_used, reason = "a bench prints its table and may fail loudly")]

mod keep_alive;
mod stock_sheet;

use std::net::SocketAddr;
use std::time::Duration;

use axum::Router;
use axum::response::Html;
use axum::routing::get;
use indexer::sheet::{SheetLimits, SheetReader};
use indexer::shop::{Shop, Told};
use indexer::store::Signed;
use keep_alive::{asked_after, asked_at_once, opened, text};
use stock_sheet::stock_sheet;
use tokio::net::TcpListener;
use tokio::runtime::Runtime;
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::{AllowedHosts, Config, HttpLimits};
use web::layers::guarded;
use web::serve::serve;

/// Sizes in the catalogue.
const VARIANTS: usize = 5_000;
/// Each page and its peer are asked for in turn so often, this many times on each connection.
const ROUNDS: usize = 10;
const TIMES: usize = 60;

/// What a runner says in the first form.
const RUNNER: &str = "run.audience=men&size.system=EU&size.worn_label=42.5&run.purpose=daily\
    &stage.heading=less&flags.pain=no&now.heel_stack_mm=34&now.forefoot_stack_mm=26&now.mass_g=280";

fn main() {
    let runtime = Runtime::new().unwrap();
    let shop = shop();
    let ours =
        serving(
            &runtime,
            move |config| app(&AppState::without_staff(shop, config, Clock::fixed(0)).unwrap()),
        );
    let fitting = opened(&ours, RUNNER);
    on_two_connections(&runtime, &ours, &fitting);
    on_sixteen_connections(&ours, &fitting);
}

fn shop() -> Shop {
    let reader = SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard());
    let shop = Shop::in_memory(reader).unwrap();
    let understood = shop.understand("bench.csv", stock_sheet(VARIANTS), &Told::default()).unwrap();
    let by = Signed { actor: "bench".to_owned(), at: 0, key: "bench".to_owned() };
    shop.apply(&understood, &by).unwrap();
    shop
}

/// Serves what `app` makes on a free port; its address.
fn serving(runtime: &Runtime, app: impl FnOnce(Config) -> Router) -> String {
    let listener = runtime.block_on(TcpListener::bind(SocketAddr::from(([127, 0, 0, 1], 0)))).unwrap();
    let address = listener.local_addr().unwrap();
    let limits = HttpLimits::standard();
    let config = Config { http: limits, hosts: AllowedHosts::of(address, &[]), ..Config::for_testing() };
    runtime.spawn(serve(listener, app(config), limits, std::future::pending()));
    address.to_string()
}

fn on_two_connections(runtime: &Runtime, ours: &str, fitting: &str) {
    println!(
        "| {VARIANTS} variants, two connections | bytes | p50 | p99 | against ready-made bytes, p50 | p99 |"
    );
    println!("|---|---|---|---|---|---|");
    for (name, part) in
        [("ranked list", ""), ("the whole of it", "?all=yes"), ("a shoe's why", "/why/fennick.b-8")]
    {
        let path = format!("{fitting}{part}");
        let page = text(ours, &path);
        let bytes = page.len();
        let ready = serving(runtime, |config| {
            guarded(Router::new().route("/ready", get(move || async move { Html(page) })), &config)
        });
        let (mut own, mut peer) = (Vec::new(), Vec::new());
        for _ in 0..ROUNDS {
            own.extend(asked_at_once(ours, &path, 2, TIMES));
            peer.extend(asked_at_once(&ready, "/ready", 2, TIMES));
        }
        row(name, bytes, own, &mut peer);
        if part.is_empty() {
            let refresh = format!("{fitting}/refresh");
            let own = asked_after(ours, &refresh, &path, ROUNDS * TIMES);
            let mut peer = asked_after(&ready, "/none", "/ready", ROUNDS * TIMES);
            row("ranked list, its order made anew each time, one connection", bytes, own, &mut peer);
        }
    }
    println!();
}

fn row(name: &str, bytes: usize, mut own: Vec<Duration>, peer: &mut [Duration]) {
    let [half, most] = [50, 99].map(|percent| at(&mut own, percent));
    let mut ratio = |own: Duration, percent| own.as_secs_f64() / at(peer, percent).as_secs_f64();
    let (at_half, at_most) = (ratio(half, 50), ratio(most, 99));
    println!("| {name} | {bytes} | {half:.0?} | {most:.0?} | {at_half:.1}x | {at_most:.1}x |");
}

fn on_sixteen_connections(ours: &str, fitting: &str) {
    println!("| sixteen connections | p50 | p99 |");
    println!("|---|---|---|");
    for (name, path) in
        [("ranked list", fitting), ("`/shoes.json`", "/shoes.json"), ("`/healthz`", "/healthz")]
    {
        let mut times = asked_at_once(ours, path, 16, TIMES * 4);
        println!("| {name} | {:.2?} | {:.2?} |", at(&mut times, 50), at(&mut times.clone(), 99));
    }
}

fn at(times: &mut [Duration], percent: usize) -> Duration {
    times.sort_unstable();
    times[(times.len() - 1) * percent / 100]
}
