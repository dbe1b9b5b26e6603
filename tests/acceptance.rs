//! Journeys of the three users in a real browser, on the sample shop.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

#[path = "acceptance/access.rs"]
mod access;
#[path = "acceptance/back.rs"]
mod back;
#[path = "acceptance/backgrounds.rs"]
mod backgrounds;
#[path = "acceptance/customer.rs"]
mod customer;
#[path = "acceptance/fitter.rs"]
mod fitter;
#[path = "acceptance/journey.rs"]
mod journey;
#[path = "acceptance/keys.rs"]
mod keys;
#[path = "acceptance/owner.rs"]
mod owner;
#[path = "acceptance/printed.rs"]
mod printed;
#[path = "acceptance/scanner.rs"]
mod scanner;

use tests::browser::{Browser, Served};

/// A tablet held upright.
const TABLET: (u32, u32) = (820, 1180);
/// The screen at the counter.
const COUNTER: (u32, u32) = (1280, 800);

/// The sample shop and a browser before it.
async fn sample_shop((width, height): (u32, u32)) -> (Served, Browser) {
    let served = Served::start(env!("CARGO_BIN_EXE_lastbench-under-test"), true);
    let browser = Browser::open(width, height).await;
    browser.go(&served.url).await;
    (served, browser)
}
