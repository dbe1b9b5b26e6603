//! A maker's size chart, from a mail to the sizes that match: through the page and the command line.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;
use serde_json::json;
use tests::program::argument;

use crate::owner_bench::{Owner, reader};

const PAGE: &str = "/size-charts";
/// Fennick's own chart, invented: every label is made for a foot 4 mm shorter than by the formula.
const CHART: &str = "Fennick men\nEU;UK;Foot length (cm)\n42;8;26,2\n42,5;8,5;26,6\n43;9;26,9\n";

fn owner() -> Owner {
    Owner::over(web::sample::sample_shop(reader(), 1_000).unwrap())
}

/// Sends a chart as the form does.
async fn send(owner: &Owner, maker: &str, audience: &str, chart: &str) -> crate::owner_bench::Answer {
    let part = |name: &str, text: &str| {
        format!("--cut\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n")
    };
    let file = format!(
        "--cut\r\nContent-Disposition: form-data; name=\"file\"; filename=\"chart.csv\"\r\n\r\n{chart}\r\n--cut--\r\n"
    );
    let body = [part("supplier", maker), part("audience", audience), file].concat();
    let request = axum::http::Request::post(PAGE)
        .header("host", "localhost:7340")
        .header("sec-fetch-site", "same-origin")
        .header("accept", "text/html")
        .header("content-type", "multipart/form-data; boundary=cut");
    owner.send(request.body(axum::body::Body::from(body)).unwrap()).await
}

#[tokio::test]
async fn a_chart_is_shown_beside_the_formula_kept_wins_over_it_and_is_taken_back() {
    let owner = owner();
    let shoe = "/shoes/fennick.fm-410";
    let by_chart = "foot 266 mm, by the maker's chart";
    assert!(!owner.get(shoe).await.says(by_chart) && owner.get(shoe).await.says("EU 42,5, Dfoot 270 mm"));
    let seen = send(&owner, "Fennick", "men", CHART).await;
    assert_eq!(seen.status, StatusCode::OK);
    assert!(seen.says("6 labels of Fennick") && seen.says("EU 422624.7 mm shorter"));
    assert_eq!(owner.changes(), 3, "nothing is kept by looking");

    let keep = format!("{PAGE}/keep");
    let lines =
        seen.body.split("name=\"lines\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let lines: String = form_urlencoded::byte_serialize(lines.as_bytes()).collect();
    let kept = owner.post(&keep, &[("maker", "Fennick"), ("lines", &lines), ("at", "3")]).await;
    assert_eq!((kept.status, kept.to.as_str()), (StatusCode::SEE_OTHER, "/changes/4"), "{}", kept.text());
    assert!(owner.get(shoe).await.says(by_chart));
    assert!(owner.get("/changes/4").await.says("Size chart of fennick"));
    assert!(owner.get(PAGE).await.says("Fennick6 labels"));

    let at = owner.get("/changes/4/undo").await.hidden("/changes/4/undo", "at");
    owner.post("/changes/4/undo", &[("at", &at)]).await;
    assert!(!owner.get(shoe).await.says(by_chart));
}

#[tokio::test]
async fn a_chart_with_a_fault_is_not_taken_and_says_where() {
    let owner = owner();
    let refused = send(&owner, "Fennick", "men", "EU;mm\n42;266\n43;26.9\n").await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.says("row 3, column B") && refused.says("in cm or in mm"), "{}", refused.text());
    let unasked = send(&owner, "Fennick", "", "EU;mm\n42;266\n").await;
    assert!(unasked.says("choose women, men or unisex"), "{}", unasked.text());
    let nobody = send(&owner, "", "men", "EU;mm\n42;266\n").await;
    assert!(nobody.says("whose chart it is"), "{}", nobody.text());
    assert_eq!(owner.changes(), 3);
}

#[test]
fn the_command_line_keeps_a_chart_and_says_what_it_holds() {
    let lastbench = tests::lastbench!();
    let file = lastbench.write("chart.csv", CHART);
    let asked = ["size-chart", argument(&file), "--maker", "Fennick", "--audience", "men"];
    let (code, looked) = lastbench.json(&[&asked[..], &["--check", "--json"]].concat());
    assert_eq!(
        (code, &looked["change"], looked["labels"].as_array().unwrap().len()),
        (Some(0), &json!(null), 6)
    );
    let (code, kept) = lastbench.json(&[&asked[..], &["--yes", "--json"]].concat());
    assert_eq!((code, &kept["change"]), (Some(0), &json!(1)));
    assert_eq!(
        kept["labels"][0],
        json!({"audience": "men", "system": "EU", "label": "42", "foot_mm": 262.0, "beside_the_formula_mm": -4.7})
    );
    assert!(lastbench.done(&["history"]).contains("size chart"));
    let ran = lastbench.run(&["size-chart", argument(&file), "--maker", "Fennick", "--check"]);
    assert_eq!(ran.code, Some(1));
    assert!(ran.stderr.contains("Nobody says for whom"), "{}", ran.stderr);
}
