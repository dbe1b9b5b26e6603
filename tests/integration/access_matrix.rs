//! Every address with everybody who may ask for it: generated from the router itself (OWASP ASVS 5.0, 8.2.1, 8.3.1).

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::sync::Arc;

use crate::owner_bench::reader;
use axum::Router;
use axum::body::Body;
use axum::http::request::Builder;
use axum::http::{Method, Request, StatusCode, header};
use axum::response::Response;
use indexer::store::{Role, StaffBook};
use tower::ServiceExt;
use web::access::{Access, Declared};
use web::app::{AppState, app};
use web::clock::Clock;
use web::config::{Config, Listening};
use web::routes::routes;
use web::sample::sample_shop;
use web::staff::{Staff, Try};

pub(crate) const OWNER: (&str, &str) = ("Mara", "four quiet green kettles");
pub(crate) const FITTER: (&str, &str) = ("Jonte", "seven slow brown rivers");

/// A shop whose staff is set up, and the secrets of those who are signed in.
pub(crate) struct Shop {
    app: Router,
    pub(crate) state: Arc<AppState>,
    pub(crate) clock: Clock,
}

fn config(beyond_loopback: bool) -> Config {
    let listening = Listening { beyond_loopback, tls: false };
    Config { listening, ..Config::for_testing() }
}

fn opened(beyond_loopback: bool) -> Shop {
    opened_with(config(beyond_loopback))
}

/// Without accounts, as `config` has it.
fn opened_with(config: Config) -> Shop {
    let beyond_loopback = config.listening.beyond_loopback;
    let clock = Clock::fixed(1_000);
    let staff = Staff::new(StaffBook::in_memory().unwrap(), beyond_loopback).unwrap();
    let shop = sample_shop(reader(), 1_000).unwrap();
    let state = AppState::with_staff(shop, staff, config, clock.clone());
    Shop { app: app(&state), state, clock }
}

pub(crate) async fn staffed() -> Shop {
    with_accounts(opened(true)).await
}

/// A shop with accounts whose numbers a scraper on its computer may read, if it `may`.
pub(crate) async fn scraped(may: bool) -> Shop {
    with_accounts(opened_with(Config { metrics_on_loopback: may, ..config(true) })).await
}

async fn with_accounts(shop: Shop) -> Shop {
    shop.state.staff.add(OWNER.0, OWNER.1, Role::Owner, 1).await.unwrap();
    shop.state.staff.add(FITTER.0, FITTER.1, Role::Fitter, 1).await.unwrap();
    shop
}

impl Shop {
    pub(crate) async fn signed_in(&self, (name, password): (&str, &str)) -> String {
        let tried = Try { name: name.to_owned(), password: password.to_owned(), address: None };
        let signed_in = self.state.staff.let_in(tried, None, self.clock.now().instant).await.unwrap();
        format!("staff={}", signed_in.secret.as_str())
    }

    pub(crate) async fn ask(&self, method: &Method, uri: &str, cookie: Option<&str>, body: &str) -> Response {
        let request = Self::request(method, uri, cookie);
        self.send(request.body(Body::from(body.to_owned())).unwrap()).await
    }

    pub(crate) async fn send(&self, request: Request<Body>) -> Response {
        self.app.clone().oneshot(request).await.unwrap()
    }

    pub(crate) fn request(method: &Method, uri: &str, cookie: Option<&str>) -> Builder {
        let request = Request::builder()
            .method(method)
            .uri(uri)
            .header(header::HOST, "localhost:7340")
            .header(header::ORIGIN, "http://localhost:7340")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        match cookie {
            Some(cookie) => request.header(header::COOKIE, cookie),
            None => request,
        }
    }
}

pub(crate) async fn text(response: Response) -> String {
    let bytes = axum::body::to_bytes(response.into_body(), 1 << 20).await.unwrap();
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A template with something in the place of each blank.
pub(crate) fn filled(path: &str) -> String {
    path.replace("{id}", "0123456789abcdef0123456789abcdef")
        .replace("{number}", "1")
        .replace("{style}", "fennick.fm-310")
        .replace("{name}", "style.css")
}

/// Turned away before any handler: to the way in, or told that it is somebody else's.
pub(crate) fn is_turned_away(response: &Response) -> bool {
    let location = response.headers().get(header::LOCATION).and_then(|to| to.to_str().ok());
    let to_the_way_in = location.is_some_and(|to| to.starts_with("/sign-in?to="));
    to_the_way_in || [StatusCode::UNAUTHORIZED, StatusCode::FORBIDDEN].contains(&response.status())
}

/// What is asked for by a name or password of its own, or ends the session that asks.
pub(crate) fn is_about_the_session(declared: &Declared) -> bool {
    declared.method == Method::POST && ["/sign-in", "/sign-out", "/own-password"].contains(&declared.path)
}

#[tokio::test]
async fn everybody_reaches_what_is_declared_for_them_and_nothing_else() {
    let shop = staffed().await;
    let (fitter, fresh) = (shop.signed_in(FITTER).await, shop.signed_in(OWNER).await);
    let who = [(None, Access::Anybody), (Some(&fitter), Access::Fitter), (Some(&fresh), Access::OwnerAnew)];
    let routes = routes();
    let mut asked = 0;
    for declared in routes.declared().iter().filter(|declared| !is_about_the_session(declared)) {
        for (cookie, most) in who {
            let uri = filled(declared.path);
            let response = shop.ask(&declared.method, &uri, cookie.map(String::as_str), "").await;
            let place = format!("{} {uri} for {most:?}: {}", declared.method, response.status());
            assert_eq!(is_turned_away(&response), declared.access > most, "{place}");
            asked += 1;
        }
    }
    assert!(asked > 200, "{asked}");
}

#[tokio::test]
async fn an_owner_whose_password_was_given_some_time_ago_gives_it_again_before_what_is_hard_to_take_back() {
    let shop = staffed().await;
    let owner = shop.signed_in(OWNER).await;
    shop.clock.advance(std::time::Duration::from_mins(6));
    let routes = routes();
    for declared in routes.declared().iter().filter(|declared| !is_about_the_session(declared)) {
        let uri = filled(declared.path);
        let response = shop.ask(&declared.method, &uri, Some(&owner), "kept=this+%26+that").await;
        let anew = declared.access == Access::OwnerAnew;
        assert_eq!(is_turned_away(&response), anew, "{} {uri}", declared.method);
        if anew {
            assert_eq!(declared.method, Method::POST, "only what is done is hard to take back");
            let page = text(response).await;
            assert!(
                page.contains("Your password again") && page.contains("value=\"this &amp; that\""),
                "{page}"
            );
        }
    }
}

#[tokio::test]
async fn what_was_filled_in_goes_on_with_the_right_password_and_not_with_a_wrong_one() {
    let shop = staffed().await;
    let owner = shop.signed_in(OWNER).await;
    shop.clock.advance(std::time::Duration::from_mins(6));
    let form = "name=Liv&password=nine+pale+open+windows&repeated=nine+pale+open+windows&role=fitter";
    let wrong =
        shop.ask(&Method::POST, "/staff", Some(&owner), &format!("{form}&password-again=guess")).await;
    assert_eq!(wrong.status(), StatusCode::UNAUTHORIZED);
    let page = text(wrong).await;
    assert!(page.contains("do not fit together") && page.contains("value=\"Liv\""), "{page}");
    let right = format!("{form}&password-again={}", OWNER.1.replace(' ', "+"));
    let response = shop.ask(&Method::POST, "/staff", Some(&owner), &right).await;
    assert_eq!(response.status(), StatusCode::OK);
    let cookie = response.headers()[header::SET_COOKIE].to_str().unwrap().to_owned();
    assert!(cookie.starts_with("staff=") && !cookie.starts_with(&owner), "the secret is another: {cookie}");
    assert!(cookie.contains("HttpOnly; SameSite=Strict; Path=/"), "{cookie}");
    assert!(text(response).await.contains("Liv may sign in now."));
}

#[tokio::test]
async fn whoever_was_signed_out_in_the_meantime_loses_nothing_of_a_form() {
    let shop = staffed().await;
    let response = shop.ask(&Method::POST, "/fittings", None, "size.system=EU&size.worn_label=42").await;
    assert_eq!(response.status(), StatusCode::UNAUTHORIZED);
    let page = text(response).await;
    assert!(
        page.contains("Sign in again") && page.contains("name=\"size.worn_label\" value=\"42\""),
        "{page}"
    );
    let name = format!("name-again=jonte&password-again={}", FITTER.1.replace(' ', "+"));
    let body = format!("size.system=EU&size.worn_label=42&{name}");
    let response = shop.ask(&Method::POST, "/fittings", None, &body).await;
    assert_eq!(response.status(), StatusCode::SEE_OTHER);
    let place = response.headers()[header::LOCATION].to_str().unwrap();
    assert!(place.starts_with("/fittings/"), "{place}");
    let cookies: Vec<_> = response.headers().get_all(header::SET_COOKIE).iter().collect();
    assert_eq!(cookies.len(), 2, "of the session and of the fitting: {cookies:?}");
}

#[tokio::test]
async fn a_fitter_who_gives_a_password_for_what_is_the_owners_is_told_so() {
    let shop = staffed().await;
    let body = format!("name-again=Jonte&password-again={}", FITTER.1.replace(' ', "+"));
    let response = shop.ask(&Method::POST, "/changes/1/undo", None, &body).await;
    assert_eq!(response.status(), StatusCode::FORBIDDEN);
    assert!(text(response).await.contains("belongs to the owner"));
}

#[tokio::test]
async fn beyond_this_computer_and_without_accounts_shoes_are_fitted_and_nothing_is_changed() {
    let shop = opened(true);
    let routes = routes();
    for declared in routes.declared().iter().filter(|declared| !is_about_the_session(declared)) {
        let response = shop.ask(&declared.method, &filled(declared.path), None, "").await;
        let owners = declared.access > Access::Fitter;
        let refused = response.status() == StatusCode::FORBIDDEN;
        assert_eq!(refused, owners, "{} {}", declared.method, declared.path);
    }
    let page = text(shop.ask(&Method::GET, "/sheets", None, "").await).await;
    assert!(page.contains("Not set up yet") && page.contains("href=\"/set-up\""), "{page}");
}

#[tokio::test]
async fn at_this_computer_alone_nobody_is_asked_who_they_are() {
    let shop = opened(false);
    let routes = routes();
    for declared in routes.declared().iter().filter(|declared| !is_about_the_session(declared)) {
        let response = shop.ask(&declared.method, &filled(declared.path), None, "").await;
        assert!(!is_turned_away(&response), "{} {}", declared.method, declared.path);
    }
}

#[tokio::test]
async fn the_first_owner_comes_in_by_the_code_and_is_signed_in() {
    let shop = opened(true);
    let code = shop.state.staff.set_up_code(shop.clock.now().instant).unwrap();
    let form = "name=Mara&password=four+quiet+green+kettles&repeated=four+quiet+green+kettles";
    let wrong = shop.ask(&Method::POST, "/set-up", None, &format!("{form}&code=00000")).await;
    assert_eq!(wrong.status(), StatusCode::UNPROCESSABLE_ENTITY);
    assert!(text(wrong).await.contains("not the code that was printed"));
    let right = shop.ask(&Method::POST, "/set-up", None, &format!("{form}&code={code}")).await;
    assert_eq!(right.status(), StatusCode::SEE_OTHER);
    let cookie = right.headers()[header::SET_COOKIE].to_str().unwrap().split(';').next().unwrap().to_owned();
    assert_eq!(shop.ask(&Method::GET, "/sheets", Some(&cookie), "").await.status(), StatusCode::OK);
    assert!(is_turned_away(&shop.ask(&Method::GET, "/sheets", None, "").await));
    let out = shop.ask(&Method::POST, "/sign-out", Some(&cookie), "").await;
    assert!(out.headers().contains_key("clear-site-data"));
    assert!(is_turned_away(&shop.ask(&Method::GET, "/sheets", Some(&cookie), "").await), "replayed");
}

#[tokio::test]
async fn a_change_is_signed_by_whoever_made_it() {
    let shop = staffed().await;
    let owner = shop.signed_in(OWNER).await;
    let page = text(shop.ask(&Method::GET, "/synonyms", Some(&owner), "").await).await;
    let at = page.split("name=\"at\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    let form = format!("at={at}&lines=sky%2C+azure&why=asked+for");
    let kept = shop.ask(&Method::POST, "/synonyms", Some(&owner), &form).await;
    assert_eq!(kept.status(), StatusCode::SEE_OTHER);
    let place = kept.headers()[header::LOCATION].to_str().unwrap().to_owned();
    assert!(text(shop.ask(&Method::GET, &place, Some(&owner), "").await).await.contains("Mara"));
}

#[tokio::test]
async fn the_places_offered_are_those_that_may_be_visited() {
    let shop = staffed().await;
    let fitter = shop.signed_in(FITTER).await;
    let page = text(shop.ask(&Method::GET, "/", Some(&fitter), "").await).await;
    assert!(page.contains("href=\"/stock-map\"") && !page.contains("href=\"/policy\""));
    assert!(page.contains("Signed in as Jonte") && !page.contains("href=\"/staff\""));
    let customer = text(shop.ask(&Method::GET, "/compare?shoe=fennick.fm-310", None, "").await).await;
    assert!(customer.contains("href=\"/rules\"") && !customer.contains("href=\"/shoes\""), "{customer}");
}

#[test]
fn each_place_of_the_map_of_the_shop_is_for_whom_its_address_is_declared() {
    let routes = routes();
    for (label, href, access) in web::labels::PLACES {
        let of = |declared: &&Declared| declared.path == *href && declared.method == Method::GET;
        assert_eq!(routes.declared().iter().find(of).unwrap().access, *access, "{label}");
    }
}

/// The addresses of this server that a page links to, without what is behind `?` and `#`.
fn links(page: &str) -> Vec<String> {
    let hrefs = page.split("href=\"").skip(1).filter_map(|rest| rest.split('"').next());
    let own = hrefs.filter(|href| href.starts_with('/'));
    let mut links: Vec<_> =
        own.map(|href| href.split(['?', '#']).next().unwrap_or_default().to_owned()).collect();
    links.sort();
    links.dedup();
    links
}

#[tokio::test]
async fn no_page_links_to_what_whoever_reads_it_may_not_see() {
    let shop = staffed().await;
    let fitter = shop.signed_in(FITTER).await;
    let customers =
        ["/compare?shoe=fennick.fm-310&shoe=quillmark.q-512-m", "/rules", "/sources", "/unsupported"];
    let fitters =
        ["/", "/shoes", "/shoes/fennick.fm-310", "/stock-map", "/scanner", "/scan?code=6291041500213"];
    let asked = customers.map(|page| (page, None)).into_iter();
    for (page, cookie) in asked.chain(fitters.map(|page| (page, Some(fitter.as_str())))) {
        let html = text(shop.ask(&Method::GET, page, cookie, "").await).await;
        let mut shut = Vec::new();
        for link in links(&html) {
            if is_turned_away(&shop.ask(&Method::GET, &link, cookie, "").await) {
                shut.push(link);
            }
        }
        assert!(links(&html).len() > 2 && shut.is_empty(), "{page}: {shut:?}");
    }
}
