//! The page that shows what a scanner sends.

use axum::extract::State;

use super::frame::frame;
use crate::app::App;
use crate::pages::scanner::ScannerPage;
use crate::parts::Drawn;

/// The page; what is scanned stays in the browser.
pub async fn scanner(State(state): App) -> Drawn {
    ScannerPage.view(&frame(&state, &state.snapshot(), None))
}
