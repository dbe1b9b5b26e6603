//! The map of addresses.

use std::sync::Arc;

use axum::Router;

use crate::app::AppState;
use crate::handlers::{
    assets, changes, compare, count, day, desk, edit, edit_size, evidence, fitting_card, fitting_close,
    fitting_compare, fitting_mark, fitting_narrow, fitting_on_foot, fitting_open, fitting_plan,
    fitting_runner, fitting_scan, fitting_shortlist, fitting_stock, fitting_stock_map, fitting_wanted,
    fitting_why, gaps, language, policy, rank_json, ready, scan, scan_attach, scanner, sheet, sheet_files,
    sheets, shoes, shoes_files, similar, size_charts, stock_map, synonyms,
};

/// Every address and what answers it, user by user.
pub fn routes() -> Router<Arc<AppState>> {
    Router::new().merge(machines()).merge(visit()).merge(browse()).merge(owner())
}

/// One customer's visit. What reads is a link; what changes anything is a posted form.
fn visit() -> Router<Arc<AppState>> {
    use axum::routing::{get, post};
    Router::new()
        .route("/fittings", post(fitting_open::open))
        .route("/fittings/{id}", get(fitting_stock::stock))
        .route("/fittings/{id}/refresh", post(fitting_stock::refresh))
        .route("/fittings/{id}/chips", post(fitting_stock::chips))
        .route("/fittings/{id}/mark", post(fitting_mark::mark))
        .route("/fittings/{id}/narrow", post(fitting_narrow::narrow))
        .route("/fittings/{id}/runner", get(fitting_runner::form).post(fitting_runner::answer))
        .route("/fittings/{id}/step-anyway", post(fitting_runner::step_anyway))
        .route("/fittings/{id}/way", post(fitting_runner::way))
        .route("/fittings/{id}/current", post(fitting_runner::current))
        // Its twin is `{style}.json`: a key holds one dot, so that the handler can tell them apart.
        .route("/fittings/{id}/wanted", post(fitting_wanted::wanted))
        .route("/fittings/{id}/why/{style}", get(fitting_why::why))
        .route("/fittings/{id}/scan", get(fitting_scan::look))
        .route("/fittings/{id}/shortlist", post(fitting_shortlist::shortlist))
        .route("/fittings/{id}/choose", post(fitting_shortlist::choose))
        .route("/fittings/{id}/on-foot", get(fitting_on_foot::on_foot).post(fitting_on_foot::keep))
        .route("/fittings/{id}/compare", get(fitting_compare::compare))
        .route("/fittings/{id}/stock-map", get(fitting_stock_map::stock_map))
        .route("/fittings/{id}/plan", get(fitting_plan::plan))
        .route("/fittings/{id}/card", get(fitting_card::card).post(fitting_card::hurt))
        .route("/fittings/{id}/card.txt", get(fitting_card::text))
        .route("/fittings/{id}/close", get(fitting_close::ask).post(fitting_close::close))
}

/// What anybody may look at: the desk, the shoes, and what the advice rests on.
fn browse() -> Router<Arc<AppState>> {
    use axum::routing::{get, post};
    Router::new()
        .route("/", get(desk::desk))
        .route("/shoes", get(shoes::shoes))
        .route("/shoes.json", get(shoes::shoes_json))
        .route("/shoes.csv", get(shoes_files::csv))
        .route("/shoes.xlsx", get(shoes_files::xlsx))
        .route("/shoes/{style}", get(shoes::one))
        .route("/shoes/{style}/similar.json", get(similar::json))
        .route("/compare", get(compare::compare))
        .route("/stock-map", get(stock_map::stock_map))
        .route("/scan", get(scan::scan))
        .route("/scan/attach", get(scan_attach::attach))
        .route("/scanner", get(scanner::scanner))
        .route("/rules", get(evidence::rules))
        .route("/unsupported", get(evidence::unsupported))
        .route("/sources", get(evidence::sources))
        .route("/language", post(language::choose))
}

/// The owner's: sheets, and the changes they became.
fn owner() -> Router<Arc<AppState>> {
    use axum::routing::{get, post};
    Router::new()
        .route("/sheets", get(sheets::page).post(sheets::send))
        .route("/sheets/{number}", get(sheet::look))
        .route("/sheets/{number}/findings", get(sheet::findings))
        .route("/sheets/{number}/problems.xlsx", get(sheet_files::problems))
        .route("/sheets/{number}/mapping.toml", get(sheet_files::mapping).post(sheet_files::read_by))
        .route("/sheets/{number}/mapping", post(sheet::settle))
        .route("/sheets/{number}/forget", post(sheet::forget))
        .route("/sheets/{number}/apply", post(sheet::apply))
        .route("/sheets/{number}/cancel", post(sheet::cancel))
        .route("/sheets/{number}/leave", post(sheet::cancel))
        .route("/size-charts", get(size_charts::form).post(size_charts::look))
        .route("/size-charts/keep", post(size_charts::keep))
        .route("/day", get(day::page))
        .route("/day/settle", post(day::settle))
        .route("/count", get(count::form).post(count::count))
        .route("/gaps", get(gaps::page))
        .route("/gaps/ask", get(gaps::ask))
        .route("/policy", get(policy::form).post(policy::set))
        .route("/synonyms", get(synonyms::form).post(synonyms::keep))
        .route("/policy.toml", get(policy::file))
        .route("/changes", get(changes::list))
        .route("/changes/{number}", get(changes::one))
        .route("/changes/{number}/undo", get(changes::ask).post(changes::undo))
        .route("/shoes/{style}/edit", get(edit::form).post(edit::say))
        .route("/shoes/{style}/size", get(edit_size::form).post(edit_size::say))
        .route("/shoes/{style}/take", post(edit::take))
}

/// For browsers and machines.
fn machines() -> Router<Arc<AppState>> {
    use axum::routing::{get, post};
    Router::new()
        .route("/assets/{name}", get(assets::asset))
        .route("/rank.json", post(rank_json::rank))
        .route("/healthz", get(async || "alive\n"))
        .route("/readyz", get(ready::ready))
        .route("/version", get(async || concat!(env!("CARGO_PKG_VERSION"), "\n")))
}
