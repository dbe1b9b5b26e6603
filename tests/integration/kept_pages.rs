//! What is kept and where: the page names every file of a folder, says what was measured, and no jump of the clock
//! lets anything go or stay.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use catalogue::key::SkuKey;
use catalogue::runner::Runner;
use indexer::keeping::Why;
use indexer::shop::Shop;
use indexer::store::{Counted, DataDir, Role, StaffBook, Thing};
use tests::pages::OF_THE_SHOP;
use web::app::AppState;
use web::clock::Clock;
use web::config::{Config, FittingLimits};
use web::staff::{Staff, Try};

use crate::owner_bench::{Answer, Owner, reader};

const STOCK: &[u8] = b"Maker,Style number,Model,Size system,Size,EAN,Qty,Place
Feldrast,FR-1,Egge,EU,42,7300011000017,3,A1
Feldrast,FR-1,Egge,EU,43,6291041500213,1,A1
";
/// 26 November 2026.
const NOW: i64 = 1_795_730_400;

fn over(data: &DataDir) -> Owner {
    let staff = Staff::new(StaffBook::open(data).unwrap(), false).unwrap();
    let shop = Shop::open(data, reader()).unwrap();
    Owner::at(AppState::with_staff(shop, staff, Config::for_testing(), Clock::fixed(NOW)))
}

async fn counted(owner: &Owner) {
    let asked = [("text", "7300011000017"), ("place", "A1"), ("scope", "scanned")];
    let page = owner.post("/count", &asked).await;
    let hidden = |name: &str| page.hidden("/count", name).replace('\n', "%0A");
    let values = ["text", "place", "scope", "base", "seen"].map(|name| (name, hidden(name)));
    let fields: Vec<_> = values.iter().map(|(name, value)| (*name, value.as_str())).collect();
    assert_eq!(owner.post("/count", &fields).await.status, StatusCode::SEE_OTHER, "{}", page.text());
}

/// A sheet, a count, a synonym, a tally, backups, an index, a lock and two accounts.
async fn used(data: &DataDir) -> (Owner, fs::File) {
    let lock = data.lock().unwrap();
    let owner = over(data);
    let (sheet, _) = owner.preview("stock.csv", STOCK).await;
    assert_eq!(owner.apply(&sheet).await.status, StatusCode::SEE_OTHER);
    counted(&owner).await;
    owner.state.shop.tally(&[(Counted::Wanted, "feldrast.fr-1 EU 44".into())], NOW).unwrap();
    owner.state.shop.back_up(Why::Night, NOW).unwrap().unwrap();
    owner.state.shop.check().unwrap();
    owner.state.staff.add("Mara", "four quiet green kettles", Role::Owner, NOW - 86_400).await.unwrap();
    owner.state.staff.add("Jonte", "seven slow brown rivers", Role::Fitter, NOW).await.unwrap();
    (owner, lock)
}

async fn page(owner: &Owner) -> Answer {
    let tried = Try { name: "Mara".into(), password: "four quiet green kettles".into(), address: None };
    let signed_in = owner.state.staff.let_in(tried, None, owner.state.clock.now().instant).await.unwrap();
    let request = Request::get("/kept")
        .header(header::HOST, "localhost:7340")
        .header(header::COOKIE, format!("staff={}", signed_in.secret.as_str()));
    let page = owner.send(request.body(Body::empty()).unwrap()).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    page
}

/// Every file below a folder, by its name there.
fn files(folder: &Path, before: &str) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
        let name = format!("{before}{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            names.extend(files(&entry.path(), &format!("{name}/")));
        } else {
            names.insert(name);
        }
    }
    names
}

/// The files that no place on the page names, be it by the file or by its folder.
fn unnamed(page: &Answer, files: &BTreeSet<String>) -> Vec<String> {
    let mut places = page.all("<code>", "</code>");
    let store = page.text();
    let names = store.split("log beside it (").nth(1).and_then(|rest| rest.split(')').next()).unwrap();
    places.extend(names.split(", ").map(str::to_owned));
    let is_named = |file: &str| {
        places.iter().any(|place| file == place || place.ends_with('/') && file.starts_with(place.as_str()))
    };
    files.iter().filter(|file| !is_named(file)).cloned().collect()
}

#[tokio::test]
async fn every_file_of_a_folder_after_a_full_use_is_named_on_the_page() {
    let folder = tempfile::tempdir().unwrap();
    let data = DataDir::new(folder.path());
    let (owner, _lock) = used(&data).await;
    let there = files(folder.path(), "");
    for name in ["catalogue.sqlite", "staff.sqlite", "lock"] {
        assert!(there.contains(name), "{there:?}");
    }
    for below in ["index/", "backups/"] {
        assert!(there.iter().any(|name| name.starts_with(below)), "{there:?}");
    }
    let told = page(&owner).await;
    assert!(unnamed(&told, &there).is_empty(), "{:?}", unnamed(&told, &there));
    assert!(!told.says("Other files"), "all of them are the program's");
    fs::write(folder.path().join("letter.txt"), "of somebody else").unwrap();
    let told = page(&owner).await;
    assert!(told.says("Other files") && told.body.contains("<code>letter.txt</code>"), "{}", told.text());
}

#[tokio::test]
async fn what_the_page_says_of_sizes_and_times_was_measured() {
    let folder = tempfile::tempdir().unwrap();
    let data = DataDir::new(folder.path());
    let (owner, _lock) = used(&data).await;
    let told = page(&owner).await.text();
    for said in [
        "1 style, 2 sizes; 0 values said by hand",
        "2 changes with",
        "1 sheetof 26 November 2026, 22:00 UTC",
        "1 lineoldest of 26 November 2026, newest of 26 November 2026",
        "2 accounts, oldest of 25 November 2026, 22:00 UTC, newest of 26 November 2026, 22:00 UTC",
        "0 open, at most 3",
        "1 hour",
    ] {
        assert!(told.contains(said), "{said:?} is not in {told}");
    }
    let backups: u64 =
        fs::read_dir(data.backups()).unwrap().map(|file| file.unwrap().metadata().unwrap().len()).sum();
    assert!(
        told.contains(&format!("{} kB; of 26 November 2026, 22:00 UTC", backups.div_ceil(1024))),
        "{told}"
    );
    assert!(told.contains(&*folder.path().to_string_lossy()), "{told}");
    owner.state.fittings.open(Runner::default(), owner.state.clock.now().instant).unwrap();
    assert!(page(&owner).await.says("1 open, at most 3"));
}

#[tokio::test]
async fn each_thing_of_the_store_has_its_line_and_a_catalogue_in_memory_says_that_no_file_is_written() {
    let owner = Owner::new();
    let told = owner.get("/kept").await;
    let part = told.body.split("<section>").find(|part| part.contains("In the catalogue")).unwrap();
    assert_eq!(part.matches("class=\"kept\"").count(), Thing::ALL.len());
    assert!(told.says("lives in memory: no file is written") && !told.says("Beside it in the folder"));
    assert!(owner.get("/day").await.body.contains("href=\"/kept\"") && OF_THE_SHOP.contains(&"/kept"));
}

/// Something of each kind that ends with its time, and how many of each there are.
async fn with_what_ends(owner: &Owner) -> Arc<AppState> {
    let (state, now) = (&owner.state, owner.state.clock.now());
    state.fittings.open(Runner::default(), now.instant).unwrap();
    state.held.hold(SkuKey::parse("feldrast.fr-1//eu-42/").unwrap(), Duration::from_hours(72), now);
    state.waiting.begin("a.csv".into(), 10, String::new(), now).unwrap();
    state.staff.add("Mara", "four quiet green kettles", Role::Owner, NOW).await.unwrap();
    let tried = |password: &str| Try {
        name: "Mara".into(),
        password: password.into(),
        address: "192.168.1.4".parse().ok(),
    };
    state.staff.let_in(tried("four quiet green kettles"), None, now.instant).await.unwrap();
    state.staff.let_in(tried("a wrong one"), None, now.instant).await.unwrap_err();
    Arc::clone(state)
}

fn left(state: &AppState) -> [usize; 5] {
    state.forget_what_is_over();
    let now = state.clock.now().instant;
    let (sessions, tried) = state.staff.in_memory();
    [state.fittings.list(now).len(), state.held.count(now), state.waiting.list(now).len(), sessions, tried]
}

#[tokio::test]
async fn a_clock_set_back_or_ahead_ends_nothing_and_holds_nothing_longer() {
    for to in [NOW - 31_536_000, NOW + 315_360_000, 0] {
        let state = with_what_ends(&Owner::new()).await;
        state.clock.jump(to);
        assert_eq!(left(&state), [1, 1, 1, 1, 2], "{to}");
        state.clock.advance(Duration::from_mins(16));
        assert_eq!(left(&state), [1, 1, 1, 0, 1], "the owner's session and the name: {to}");
        state.clock.advance(FittingLimits::standard().life);
        assert_eq!(left(&state), [0, 1, 0, 0, 0], "{to}");
        state.clock.advance(Duration::from_hours(72));
        assert_eq!(left(&state), [0; 5], "{to}");
    }
}
