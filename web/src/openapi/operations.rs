//! A sentence for every address, the names of its fields, and the kind of its answer.

use super::kinds::Asks::{Filters, Names};
use super::kinds::Gives::{File, Json, Lead, LeadOrForm, Page, PageOrJson, PageOrLead};
use super::kinds::Takes::{File as Sheet, Form, Nothing, Runner};
use super::kinds::{Asks, Gives, Operation, Takes};
use crate::access::Declared;

/// What is known of a route.
pub(super) fn of(route: &Declared) -> Option<&'static Operation> {
    OPERATIONS
        .iter()
        .find(|operation| operation.path == route.path && operation.method == route.method.as_str())
}

/// How many are described.
#[cfg(test)]
pub(super) fn count() -> usize {
    OPERATIONS.len()
}

const fn get(
    path: &'static str,
    says: &'static str,
    asks: &'static [&'static str],
    gives: Gives,
) -> Operation {
    Operation { method: "GET", path, says, asks: Names(asks), takes: Nothing, gives }
}

/// Reads what the filters of the list of shoes leave.
const fn list(path: &'static str, says: &'static str, gives: Gives) -> Operation {
    let asks: Asks = Filters(&["q", "said", "exact", "page"]);
    Operation { method: "GET", path, says, asks, takes: Nothing, gives }
}

const fn post(path: &'static str, says: &'static str, takes: Takes, gives: Gives) -> Operation {
    Operation { method: "POST", path, says, asks: Names(&[]), takes, gives }
}

const XLSX: Gives = File("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet");
const TEXT: Gives = File("text/plain");
const TOML: Gives = File("application/toml");

#[rustfmt::skip] // a table: one address a line
static OPERATIONS: &[Operation] = &[
    get("/", "The desk: open fittings, and the box that searches and takes a scan.", &[], PageOrLead),
    list("/shoes", "The list of shoes, narrowed by words and filters.", PageOrLead),
    list("/shoes.json", "The list of shoes as JSON.", Json("ShoesReply")),
    list("/shoes.csv", "All shoes of the list as text for a spreadsheet.", File("text/csv")),
    list("/shoes.xlsx", "All shoes of the list as a workbook.", XLSX),
    get("/shoes/{style}", "One shoe with its sizes and where each value came from.", &["done", "scanned"], Page),
    get("/shoes/{style}/similar.json", "What replaces a shoe, and which in stock are like it.", &[], Json("SimilarReply")),
    get("/compare", "Shoes side by side, without anything of a runner.", &["shoe", "only"], Page),
    list("/stock-map", "The stock by drop and landing stack.", PageOrLead),
    get("/scan", "Where a scanned code leads.", &["code", "back"], PageOrLead),
    get("/scan/attach", "Which size a code that nothing carries belongs to.", &["code", "q"], Page),
    get("/scanner", "What the scanner sends, and the guard against it.", &[], Page),
    get("/rules", "Every rule with what was studied and in whom.", &[], Page),
    get("/unsupported", "What studies do not carry.", &[], Page),
    get("/sources", "Every source.", &[], Page),
    post("/language", "Chooses the language of the pages.", Form(&["language", "back"]), Lead),

    post("/fittings", "Opens a fitting.", Form(&[]), Lead),
    get("/fittings/{id}", "The stock in order for this runner.", &["all", "narrow"], PageOrLead),
    post("/fittings/{id}/refresh", "Makes the order anew.", Form(&[]), Lead),
    post("/fittings/{id}/chips", "Says which filters of the order are off.", Form(&["off"]), Lead),
    post("/fittings/{id}/mark", "Marks a shoe as not available or not wanted.", Form(&["style", "kind", "reason", "free", "back"]), Lead),
    post("/fittings/{id}/narrow", "Narrows the order by words and filters.", Form(&["toggle", "value", "q", "clear"]), LeadOrForm),
    get("/fittings/{id}/runner", "The questions to the runner.", &["open"], Page),
    post("/fittings/{id}/runner", "Takes the runner's answers.", Form(&["size.system", "size.worn_label", "run.audience", "run.purpose", "stage.heading", "flags.pain"]), LeadOrForm),
    post("/fittings/{id}/step-anyway", "Orders for less although too few weeks were done, or waits after all.", Form(&["anyway"]), Lead),
    post("/fittings/{id}/way", "Takes one of the ways out of an empty order.", Form(&["size.width", "run.budget", "hold"]), Lead),
    post("/fittings/{id}/current", "Says which of two pains is current.", Form(&["region"]), Lead),
    post("/fittings/{id}/wanted", "Notes a size that is not in stock.", Form(&["style", "size", "back"]), Lead),
    get("/fittings/{id}/why/{style}", "Why a shoe stands where it does; `{style}.json` gives the same for programs.", &["beside"], PageOrJson("WhyReply")),
    get("/fittings/{id}/scan", "Where a scanned code leads within the fitting.", &["code"], PageOrLead),
    post("/fittings/{id}/shortlist", "Takes a shoe out to be tried, or puts it back.", Form(&["style", "drop", "back"]), Lead),
    post("/fittings/{id}/choose", "Chooses a shoe.", Form(&["style"]), Lead),
    get("/fittings/{id}/on-foot", "What was said of the shoes that were tried.", &[], PageOrLead),
    post("/fittings/{id}/on-foot", "Keeps what was said of the shoes that were tried.", Form(&["note"]), LeadOrForm),
    get("/fittings/{id}/compare", "The shoes that were tried beside the pair worn now.", &["shoe", "only"], PageOrLead),
    get("/fittings/{id}/stock-map", "The stock by drop and landing stack, with this runner's bands.", &[], PageOrLead),
    get("/fittings/{id}/plan", "The change to a shoe, week by week.", &["to"], PageOrLead),
    get("/fittings/{id}/card", "The card to take home.", &["paper"], PageOrLead),
    post("/fittings/{id}/card", "Says whether what hurt is printed.", Form(&["hurt"]), Lead),
    get("/fittings/{id}/card.txt", "The card as text.", &[], TEXT),
    get("/fittings/{id}/close", "What closing the fitting forgets.", &[], PageOrLead),
    post("/fittings/{id}/close", "Closes the fitting and forgets it.", Form(&["sold"]), LeadOrForm),

    get("/sheets", "The sheets that wait, and the form that takes one.", &[], Page),
    post("/sheets", "Takes a supplier's sheet in; nothing is stored.", Sheet(&["supplier", "kind", "pasted", "pasted-name"]), LeadOrForm),
    get("/sheets/{number}", "What a sheet would change.", &["page", "show"], PageOrLead),
    get("/sheets/{number}/findings", "What was found in a sheet.", &["code", "page"], PageOrLead),
    get("/sheets/{number}/problems.xlsx", "The rows of a sheet that are to be mended.", &[], XLSX),
    get("/sheets/{number}/mapping.toml", "How the headings of a sheet are read.", &[], TOML),
    post("/sheets/{number}/mapping.toml", "Reads a sheet by a mapping file.", Sheet(&[]), Lead),
    post("/sheets/{number}/mapping", "Says how the headings of a sheet are to be read.", Form(&["supplier", "kind"]), LeadOrForm),
    post("/sheets/{number}/forget", "Forgets how the supplier's headings were read.", Form(&[]), Lead),
    post("/sheets/{number}/apply", "Applies a sheet, all of it or nothing.", Form(&["digest", "missing"]), Lead),
    post("/sheets/{number}/cancel", "Stops reading a sheet.", Form(&[]), Lead),
    post("/sheets/{number}/leave", "Puts a sheet away unapplied.", Form(&[]), Lead),
    get("/size-charts", "The makers' size charts.", &[], Page),
    post("/size-charts", "Reads a maker's size chart; nothing is stored.", Sheet(&["supplier", "audience", "pasted"]), LeadOrForm),
    post("/size-charts/keep", "Keeps a maker's size chart.", Form(&["chart"]), LeadOrForm),
    get("/day", "The day's tries, sales and wishes.", &[], Page),
    post("/day/settle", "Settles a wish or a box that was not found.", Form(&["sku"]), LeadOrForm),
    get("/kept", "What is kept and where, how long, and what removes it.", &[], Page),
    get("/count", "The form of a count.", &["done"], Page),
    post("/count", "Counts pairs from scanned codes.", Form(&["codes", "place", "all", "seen"]), LeadOrForm),
    get("/gaps", "What the catalogue does not know.", &["measure", "supplier", "page"], PageOrLead),
    get("/gaps/ask", "A letter to a supplier about what is missing.", &["supplier"], TEXT),
    get("/policy", "The numbers of the house policy.", &["done"], Page),
    post("/policy", "Sets numbers of the house policy.", Form(&["look"]), LeadOrForm),
    get("/policy.toml", "The house policy as a file.", &[], TOML),
    get("/synonyms", "What the shop means by a word.", &["done"], Page),
    post("/synonyms", "Says what the shop means by a word.", Form(&["lines", "seen"]), LeadOrForm),
    get("/changes", "The changes of the catalogue, newest first.", &["page", "done"], Page),
    get("/changes/{number}", "One change with every value it wrote.", &["page"], Page),
    get("/changes/{number}/undo", "What taking a change back would do.", &["page"], Page),
    post("/changes/{number}/undo", "Takes a change back.", Form(&["seen"]), Lead),
    get("/shoes/{style}/edit", "The form that corrects a shoe by hand.", &[], Page),
    post("/shoes/{style}/edit", "Corrects a shoe by hand.", Form(&["seen"]), LeadOrForm),
    get("/shoes/{style}/size", "The form that corrects a size by hand.", &["sku", "gtin"], Page),
    post("/shoes/{style}/size", "Corrects a size by hand.", Form(&["seen", "quantity", "place", "gtin"]), LeadOrForm),
    post("/shoes/{style}/take", "Takes the sheet's value in place of the one said by hand.", Form(&["column", "seen"]), LeadOrForm),
    get("/staff", "Who may sign in, and who is.", &[], Page),
    post("/staff", "Adds an account.", Form(&["name", "password", "repeated", "role"]), LeadOrForm),
    post("/staff/remove", "Removes an account.", Form(&["name"]), LeadOrForm),
    post("/staff/sign-out", "Signs a name out everywhere.", Form(&["name"]), LeadOrForm),
    get("/sign-in", "The way in.", &["to"], PageOrLead),
    post("/sign-in", "Signs in.", Form(&["name", "password", "to"]), LeadOrForm),
    post("/sign-out", "Signs this browser out.", Form(&[]), Lead),
    get("/set-up", "The first owner's way in.", &[], PageOrLead),
    post("/set-up", "Makes the first owner by the printed code.", Form(&["code", "name", "password", "repeated"]), LeadOrForm),
    get("/sessions", "Where one is signed in; for the owner, where everybody is.", &[], Page),
    post("/sessions", "Ends sessions, by the password.", Form(&["session", "password"]), LeadOrForm),
    get("/own-password", "The form of another password of one's own.", &[], Page),
    post("/own-password", "Keeps another password of one's own.", Form(&["present", "password", "repeated"]), LeadOrForm),

    get("/assets/{name}", "A style sheet, script or picture of the pages.", &[], File("*/*")),
    post("/rank.json", "The stock in order for a runner; a red flag is an answer.", Runner, Json("RankReply")),
    get("/healthz", "Whether the server is alive.", &[], TEXT),
    get("/readyz", "Whether the server may be sent requests, and why not.", &[], TEXT),
    get("/version", "The version of the program.", &[], TEXT),
    get("/metrics", "The numbers of the server, for Prometheus.", &[], TEXT),
    get("/openapi.json", "This document.", &[], File("application/json")),
];
