//! The map of addresses.

use crate::access::Access::{Anybody, Fitter, Owner, OwnerAnew, Scraper};
use crate::access::Routes;
use crate::handlers::{
    assets, changes, compare, count, day, desk, edit, edit_size, evidence, fitting_card, fitting_close,
    fitting_compare, fitting_mark, fitting_narrow, fitting_on_foot, fitting_open, fitting_plan,
    fitting_runner, fitting_scan, fitting_shortlist, fitting_stock, fitting_stock_map, fitting_wanted,
    fitting_why, gaps, kept, language, policy, rank_json, scan, scan_attach, scanner, sessions, sheet,
    sheet_files, sheets, shoes, shoes_files, sign_in, similar, size_charts, staff, stock_map, synonyms,
    watch,
};

/// Every address and what answers it, user by user.
pub fn routes() -> Routes {
    Routes::default().with(machines()).with(visit()).with(browse()).with(owner())
}

/// One customer's visit. What reads is a link; what changes anything is a posted form.
fn visit() -> Routes {
    Routes::default()
        .at("/fittings", Fitter.post(fitting_open::open))
        .at("/fittings/{id}", Fitter.get(fitting_stock::stock))
        .at("/fittings/{id}/refresh", Fitter.post(fitting_stock::refresh))
        .at("/fittings/{id}/chips", Fitter.post(fitting_stock::chips))
        .at("/fittings/{id}/mark", Fitter.post(fitting_mark::mark))
        .at("/fittings/{id}/narrow", Fitter.post(fitting_narrow::narrow))
        .at(
            "/fittings/{id}/runner",
            Fitter.get(fitting_runner::form).and(Fitter.post(fitting_runner::answer)),
        )
        .at("/fittings/{id}/step-anyway", Fitter.post(fitting_runner::step_anyway))
        .at("/fittings/{id}/way", Fitter.post(fitting_runner::way))
        .at("/fittings/{id}/current", Fitter.post(fitting_runner::current))
        // Its twin is `{style}.json`: a key holds one dot, so that the handler can tell them apart.
        .at("/fittings/{id}/wanted", Fitter.post(fitting_wanted::wanted))
        .at("/fittings/{id}/why/{style}", Fitter.get(fitting_why::why))
        .at("/fittings/{id}/scan", Fitter.get(fitting_scan::look))
        .at("/fittings/{id}/shortlist", Fitter.post(fitting_shortlist::shortlist))
        .at("/fittings/{id}/choose", Fitter.post(fitting_shortlist::choose))
        .at(
            "/fittings/{id}/on-foot",
            Fitter.get(fitting_on_foot::on_foot).and(Fitter.post(fitting_on_foot::keep)),
        )
        .at("/fittings/{id}/compare", Fitter.get(fitting_compare::compare))
        .at("/fittings/{id}/stock-map", Fitter.get(fitting_stock_map::stock_map))
        .at("/fittings/{id}/plan", Fitter.get(fitting_plan::plan))
        .at("/fittings/{id}/card", Fitter.get(fitting_card::card).and(Fitter.post(fitting_card::hurt)))
        .at("/fittings/{id}/card.txt", Fitter.get(fitting_card::text))
        .at("/fittings/{id}/close", Fitter.get(fitting_close::ask).and(Fitter.post(fitting_close::close)))
}

/// What is looked at without a visit: the desk, the shoes, and what the advice rests on.
fn browse() -> Routes {
    Routes::default()
        .at("/", Fitter.get(desk::desk))
        .at("/shoes", Fitter.get(shoes::shoes))
        .at("/shoes.json", Fitter.get(shoes::shoes_json))
        .at("/shoes.csv", Fitter.get(shoes_files::csv))
        .at("/shoes.xlsx", Fitter.get(shoes_files::xlsx))
        .at("/shoes/{style}", Fitter.get(shoes::one))
        .at("/shoes/{style}/similar.json", Fitter.get(similar::json))
        .at("/compare", Anybody.get(compare::compare))
        .at("/stock-map", Fitter.get(stock_map::stock_map))
        .at("/scan", Fitter.get(scan::scan))
        .at("/scan/attach", Fitter.get(scan_attach::attach))
        .at("/scanner", Fitter.get(scanner::scanner))
        .at("/rules", Anybody.get(evidence::rules))
        .at("/unsupported", Anybody.get(evidence::unsupported))
        .at("/sources", Anybody.get(evidence::sources))
        .at("/language", Anybody.post(language::choose))
        .at("/sign-in", Anybody.get(sign_in::form).and(Anybody.post(sign_in::enter)))
        .at("/sign-out", Anybody.post(sign_in::leave))
        .at("/set-up", Anybody.get(staff::set_up_form).and(Anybody.post(staff::set_up)))
        .at("/sessions", Fitter.get(sessions::page).and(Fitter.post(sessions::end)))
        .at("/own-password", Fitter.get(sign_in::own_password).and(Fitter.post(sign_in::keep_own_password)))
}

/// The owner's: sheets, the changes they became, and the staff.
fn owner() -> Routes {
    Routes::default()
        .at("/sheets", Owner.get(sheets::page).and(Owner.post(sheets::send)))
        .at("/sheets/{number}", Owner.get(sheet::look))
        .at("/sheets/{number}/findings", Owner.get(sheet::findings))
        .at("/sheets/{number}/problems.xlsx", Owner.get(sheet_files::problems))
        .at(
            "/sheets/{number}/mapping.toml",
            Owner.get(sheet_files::mapping).and(Owner.post(sheet_files::read_by)),
        )
        .at("/sheets/{number}/mapping", Owner.post(sheet::settle))
        .at("/sheets/{number}/forget", Owner.post(sheet::forget))
        .at("/sheets/{number}/apply", OwnerAnew.post(sheet::apply))
        .at("/sheets/{number}/cancel", Owner.post(sheet::cancel))
        .at("/sheets/{number}/leave", Owner.post(sheet::cancel))
        .at("/size-charts", Owner.get(size_charts::form).and(Owner.post(size_charts::look)))
        .at("/size-charts/keep", Owner.post(size_charts::keep))
        .at("/day", Owner.get(day::page))
        .at("/kept", Owner.get(kept::page))
        .at("/day/settle", Owner.post(day::settle))
        .at("/count", Owner.get(count::form).and(Owner.post(count::count)))
        .at("/gaps", Owner.get(gaps::page))
        .at("/gaps/ask", Owner.get(gaps::ask))
        .at("/policy", Owner.get(policy::form).and(Owner.post(policy::set)))
        .at("/synonyms", Owner.get(synonyms::form).and(Owner.post(synonyms::keep)))
        .at("/policy.toml", Owner.get(policy::file))
        .at("/changes", Owner.get(changes::list))
        .at("/changes/{number}", Owner.get(changes::one))
        .at("/changes/{number}/undo", Owner.get(changes::ask).and(OwnerAnew.post(changes::undo)))
        .at("/shoes/{style}/edit", Owner.get(edit::form).and(Owner.post(edit::say)))
        .at("/shoes/{style}/size", Owner.get(edit_size::form).and(Owner.post(edit_size::say)))
        .at("/shoes/{style}/take", Owner.post(edit::take))
        .at("/staff", Owner.get(staff::page).and(OwnerAnew.post(staff::add)))
        .at("/staff/remove", OwnerAnew.post(staff::remove))
        .at("/staff/sign-out", OwnerAnew.post(staff::sign_out))
}

/// For browsers and machines.
fn machines() -> Routes {
    Routes::default()
        .at("/assets/{name}", Anybody.get(assets::asset))
        .at("/rank.json", Fitter.post(rank_json::rank))
        .at("/healthz", Anybody.get(watch::alive))
        .at("/readyz", Anybody.get(watch::ready))
        .at("/version", Anybody.get(watch::version))
        .at("/metrics", Scraper.get(watch::numbers))
        .at("/openapi.json", Anybody.get(watch::description))
}
