//! What becomes of words, as whoever asks sees it: filters as chips, what was found instead, marks, and no word too odd.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::StatusCode;
use serde_json::Value;

use crate::owner_bench::{Answer, Owner, reader};

fn shop() -> Owner {
    Owner::over(web::sample::sample_shop(reader(), 1_000).unwrap())
}

/// The list for words, as a browser follows to it.
async fn list(shop: &Owner, query: &str) -> Answer {
    let first = shop.get(&format!("/shoes?q={query}")).await;
    if first.status == StatusCode::SEE_OTHER || first.status == StatusCode::PERMANENT_REDIRECT {
        return shop.get(&first.to).await;
    }
    first
}

async fn json(shop: &Owner, query: &str) -> Value {
    serde_json::from_str(&shop.get(&format!("/shoes.json?q={query}")).await.body).unwrap()
}

#[tokio::test]
async fn a_number_with_a_unit_becomes_a_filter_that_is_told_and_taken_off() {
    let shop = shop();
    let sent = shop.get("/shoes?q=marl+4+mm+under+300+g").await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER);
    let to = "/shoes?drop_from=3.5&drop_to=4.5&mass_to=300&q=marl&said=marl+4+mm+under+300+g";
    assert_eq!(sent.to, to);
    let page = shop.get(to).await;
    assert!(
        page.says("Read as filters: “4 mm” as Drop: 3.5 to 4.5 mm; “under 300 g” as Weight: up to 300 g.")
    );
    assert!(page.body.contains("Remove the filter Drop: 3.5 to 4.5 mm"), "each is a chip");
    assert!(page.body.contains("href=\"/shoes?exact=yes&amp;q=marl+4+mm+under+300+g\""), "and words again");
    let found = json(&shop, "marl+4+mm+under+300+g").await;
    assert_eq!(found["understood"][0]["typed"], "4 mm");
    assert_eq!(found["understood"][1]["filter"], "mass");
    let as_filters = shop.get("/shoes.json?drop_from=3.5&drop_to=4.5&mass_to=300&q=marl").await.body;
    let as_filters: Value = serde_json::from_str(&as_filters).unwrap();
    assert_eq!((&found["total"], &found["results"]), (&as_filters["total"], &as_filters["results"]));
}

#[tokio::test]
async fn the_blue_light_one_is_understood_word_by_word() {
    let shop = shop();
    let page = list(&shop, "the+blue+light+one,+4+mm,+wide").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.says("“4 mm” as Drop: 3.5 to 4.5 mm") && page.says("“wide” as Width: "), "{}", page.text());
    assert!(page.says("“light” as Weight: up to 250 g"), "{}", page.text());
}

/// The links of a page that begin with *Without*: where each leads, and how many styles it says to show.
fn ways_out(page: &Answer) -> Vec<(String, u64)> {
    let links = page.body.split("<a ").filter_map(|link| {
        let (head, rest) = link.split_once('>')?;
        let label = rest.split('<').next()?.strip_prefix("Without ")?;
        let href = head.split("href=\"").nth(1)?.split('"').next()?.replace("&amp;", "&");
        let shows = label.rsplit_once(": ")?.1.split(' ').next()?.parse().ok()?;
        Some((href, shows))
    });
    links.collect()
}

#[tokio::test]
async fn a_page_without_a_shoe_says_what_to_drop_and_how_many_that_shows() {
    let shop = shop();
    let mut seen = 0;
    for typed in ["the+blue+light+one,+4+mm,+wide", "marl+9+mm+under+100+g", "under+100+g+trail+wide+size+42"]
    {
        let page = list(&shop, typed).await;
        assert!(page.says("No shoe passes every filter."), "{typed}: {}", page.text());
        let ways = ways_out(&page);
        assert!(!ways.is_empty(), "{typed}");
        for (href, shows) in ways {
            let found = shop.get(&href.replace("/shoes", "/shoes.json")).await;
            let found: Value = serde_json::from_str(&found.body).unwrap();
            assert_eq!(found["total"], shows, "{typed}: {href}");
            assert!(shows > 0, "{typed}: {href} is no way out");
            seen += 1;
        }
    }
    assert!(seen > 3, "{seen} ways out of three pages");
}

#[tokio::test]
async fn words_that_are_to_stay_words_do_so_without_the_filters_too() {
    let page = shop().get("/shoes?drop_to=1&exact=yes&plate=yes&q=marl+light&surface=track").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.to);
    assert!(page.body.contains("href=\"/shoes?exact=yes&amp;q=marl+light#narrow\""), "{}", page.body);
}

#[tokio::test]
async fn a_size_without_a_system_is_asked_back() {
    let shop = shop();
    let page = list(&shop, "size+9+marl").await;
    assert!(page.says("“size 9” names no size system. Is it one of these? US 9 UK 9"), "{}", page.text());
    assert!(page.body.contains("size=US+9"));
    assert!(!page.says("0 styles"), "the other words are found meanwhile");
}

#[tokio::test]
async fn words_that_would_make_the_address_too_long_stay_words() {
    let shop = shop();
    let words = |letters: usize| format!("drop+4+{}", format!("{}+", "%C3%A4".repeat(letters)).repeat(3));
    assert_eq!(shop.get(&format!("/shoes?q={}", words(20))).await.status, StatusCode::SEE_OTHER);
    let canonical = shop.get(&format!("/shoes?q={}", words(60).trim_end_matches('+'))).await;
    assert_eq!(canonical.status, StatusCode::OK);
}

#[tokio::test]
async fn wrong_letters_are_told_with_a_way_to_exactly_these_words() {
    let shop = shop();
    let page = list(&shop, "fenick+marl").await;
    assert!(page.says("Including results for “Fennick”. Only “fenick marl”"), "{}", page.text());
    assert!(page.body.contains("<mark>Fennick</mark>") && page.body.contains("<mark>Marl</mark>"));
    let exactly = list(&shop, "fenick+marl&exact=yes").await;
    assert!(exactly.says("0 styles") && exactly.says("Only these words, exactly as typed."));
    let found = json(&shop, "fenick+marl").await;
    let read = &found["corrected"]["read"][0];
    assert_eq!((&read["typed"], &read["found"][0]), (&Value::from("fenick"), &Value::from("Fennick")));
    assert_eq!(found["corrected"]["exactly"], "/shoes.json?exact=yes&q=fenick+marl");
    assert_eq!(json(&shop, "marl").await["corrected"], Value::Null);
}

#[tokio::test]
async fn no_word_is_too_odd_and_too_many_are_refused_with_what_to_do() {
    let shop = shop();
    for odd in [
        "%27+OR+1%3D1+--",
        "*%5E2%22",
        "a:b+-c+%2Bd",
        "%E2%80%AElram",
        "%00marl",
        "%F0%9F%A5%BE",
        "%FF%FE",
        "((((",
    ] {
        let page = list(&shop, odd).await;
        assert_eq!(page.status, StatusCode::OK, "{odd}");
    }
    for times in [20, 4_000] {
        for words in ["xxxxx".repeat(times * 3), "ab+c+".repeat(times * 3), "4+mm+".repeat(times * 3)] {
            let page = list(&shop, &words).await;
            let (status, why) = match times {
                20 => (StatusCode::BAD_REQUEST, "leave some out"),
                _ => (StatusCode::URI_TOO_LONG, "An address here holds at most 2048 characters."),
            };
            assert_eq!(page.status, status, "{}", &words[..9]);
            assert!(page.says(why), "{}", page.text());
            assert_eq!(shop.get(&format!("/shoes.json?q={words}")).await.status, status);
        }
    }
}
