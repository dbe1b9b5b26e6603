//! One answer at every door: what a sample runner's file makes the command say is what its form makes the pages show.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::fs;

use axum::http::StatusCode;
use serde_json::Value;
use tests::program::argument;
use tests::sample::{RUNNERS, runner};
use web::request::runner::RunnerForm;

use crate::sample::stocked;
use crate::visit_bench::{Desk, rows};

/// The groups in the order in which a page has them.
const GROUPS: [&str; 5] = ["first", "aside", "also", "further", "too-little"];

/// A fitting whose form was filled with what the file of a sample runner says.
async fn fitting_of(desk: &Desk, name: &str) -> String {
    let form = RunnerForm::from_toml(&fs::read_to_string(runner(name)).unwrap()).unwrap();
    desk.answered(&form.to_pairs()).await
}

/// The keys of a reply, group by group.
fn grouped(reply: &Value) -> Vec<&str> {
    let results = reply["results"].as_array().unwrap();
    let of = |group| results.iter().filter(move |row| row["group"] == group);
    GROUPS.into_iter().flat_map(of).map(|row| row["style"].as_str().unwrap()).collect()
}

#[tokio::test]
async fn the_order_of_the_page_is_the_order_of_the_command_for_every_sample_runner() {
    let (desk, lastbench) = (Desk::new(), stocked());
    let mut shown = 0;
    for name in RUNNERS {
        let (code, reply) = lastbench.json(&["rank", "--json", "--runner", argument(&runner(name))]);
        let fitting = fitting_of(&desk, name).await;
        let page = desk.get(&format!("{fitting}?all=yes")).await;
        assert_eq!((code, page.status), (Some(0), StatusCode::OK), "{name}");
        assert_eq!(rows(&page.text), grouped(&reply), "{name}");
        shown += rows(&page.text).len();
    }
    assert!(shown > 100, "only {shown} rows");
}

/// The cells of a plan's table on the page: week, share, km in the new and in the old pair.
fn weeks_on_the_page(html: &str) -> Vec<[String; 4]> {
    let table = html
        .split("<table class=\"weeks\">")
        .nth(1)
        .map_or("", |rest| rest.split("</table>").next().unwrap());
    let row = |row: &str| {
        let cells: Vec<String> =
            row.split("</t").map(|cell| cell.rsplit('>').next().unwrap().to_owned()).collect();
        [0, 2, 3, 4].map(|place: usize| cells[place].clone())
    };
    table.split("<tr").skip(2).map(row).collect()
}

/// The same of the command's words.
fn weeks_in_words(words: &str) -> Vec<[String; 4]> {
    let table = words.lines().skip_while(|line| !line.starts_with("Week ")).skip(1);
    let row = |line: &str| {
        let cells: Vec<&str> = line.split("  ").map(str::trim).filter(|cell| !cell.is_empty()).collect();
        [0, 1, 2, 3].map(|place: usize| cells[place].replace('-', "not asked"))
    };
    table.take_while(|line| !line.is_empty()).map(row).collect()
}

#[tokio::test]
async fn the_plan_of_the_page_is_the_plan_of_the_command_for_every_sample_runner() {
    let (desk, lastbench) = (Desk::new(), stocked());
    let mut planned = 0;
    let styles: Vec<String> =
        desk.state.snapshot().styles().iter().step_by(6).map(|style| style.key.to_string()).collect();
    for name in RUNNERS.into_iter().filter(|name| *name != "stop") {
        let fitting = fitting_of(&desk, name).await;
        for style in &styles {
            let words = lastbench.done(&["plan", "--runner", argument(&runner(name)), "--to", style]);
            let page = desk.get(&format!("{fitting}/plan?to={style}")).await;
            assert_eq!(page.status, StatusCode::OK, "{name} to {style}");
            let weeks = weeks_on_the_page(&page.text);
            assert_eq!(weeks, weeks_in_words(&words), "{name} to {style}");
            planned += usize::from(!weeks.is_empty());
        }
    }
    assert!(planned > 5, "only {planned} plans have weeks");
}
