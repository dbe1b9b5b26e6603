//! What words mean in this shop: written down by the owner, in force at once, taken back.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;

use crate::owner_bench::{Answer, Owner, reader};

const SYNONYMS: &str = "/synonyms";

fn owner() -> Owner {
    Owner::over(web::sample::sample_shop(reader(), 1_000).unwrap())
}

async fn keep(owner: &Owner, lines: &str) -> Answer {
    let at = owner.get(SYNONYMS).await.hidden(SYNONYMS, "at");
    owner.post(SYNONYMS, &[("at", &at), ("lines", lines), ("why", "customers+say+so")]).await
}

#[tokio::test]
async fn a_line_holds_at_once_is_told_and_is_taken_back() {
    let owner = owner();
    let found = async |words: &str| owner.get(&format!("/shoes.json?q={words}")).await.body;
    assert!(found("zzkelp").await.contains("\"total\":0"));
    let kept = keep(&owner, "zzkelp, marl%0D%0Awellies => coppice").await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER);
    assert!(owner.get(&kept.to).await.says("customers say so"));
    let reply = found("zzkelp").await;
    assert!(!reply.contains("\"total\":0") && reply.contains("\"how\":\"synonym\""), "{reply}");
    assert!(found("coppice").await.contains("\"corrected\":null"), "one way only");
    let page = owner.get("/shoes?q=zzkelp").await;
    assert!(page.says("“zzkelp” also finds “Marl”, as this shop has it."), "{}", page.text());
    assert!(page.body.contains("<mark>Marl</mark>"), "what was found is marked");
    let names = owner.get(SYNONYMS).await;
    assert!(names.says("zzkelp 0") || names.says("zzkelp0"), "{}", names.text());
    let undo = owner.get(&format!("{}/undo", kept.to)).await;
    assert_eq!(undo.status, StatusCode::OK);
    let action = format!("{}/undo", kept.to);
    let fields: Vec<(String, String)> = undo
        .body
        .split(&format!("action=\"{action}\""))
        .nth(1)
        .unwrap()
        .split("</form>")
        .next()
        .unwrap()
        .split("<input")
        .skip(1)
        .map(|input| {
            let of = |name: &str| {
                input.split(&format!("{name}=\"")).nth(1).unwrap().split('"').next().unwrap().to_owned()
            };
            (of("name"), of("value"))
        })
        .collect();
    let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
    assert_eq!(owner.post(&action, &fields).await.status, StatusCode::SEE_OTHER);
    assert!(found("zzkelp").await.contains("\"total\":0"), "taken back");
}

#[tokio::test]
async fn wrong_lines_are_named_and_nothing_is_lost() {
    let owner = owner();
    let before = owner.changes();
    let refused = keep(&owner, "zzkelp%0D%0Aa, b%0D%0Ac => ").await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.says("Line 1: it names one thing only"), "{}", refused.text());
    assert!(refused.says("Line 3: a name in it has no letter and no digit"), "{}", refused.text());
    assert!(refused.body.contains("zzkelp\r\na, b"), "what was typed stands in the field");
    assert_eq!(owner.changes(), before);
}

#[tokio::test]
async fn lines_that_were_changed_in_between_are_not_written_over() {
    let owner = owner();
    let at = owner.get(SYNONYMS).await.hidden(SYNONYMS, "at");
    assert_eq!(keep(&owner, "zzkelp, marl").await.status, StatusCode::SEE_OTHER);
    let late = owner.post(SYNONYMS, &[("at", &at), ("lines", "other, lines"), ("why", "")]).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.says("nothing was kept") && late.body.contains("other, lines"));
    assert_eq!(owner.state.snapshot().synonyms().lines(), "zzkelp, marl");
}
