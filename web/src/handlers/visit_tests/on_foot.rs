//! The shoes on the foot: kept, ranked by the customer, counted without saying of whom.

use axum::http::StatusCode;
use catalogue::trying::Remark;
use indexer::store::Counted;

use super::bench::{Bench, RUNNER};

const MARL: &str = "fennick.marl/grey/eu-42.5/";
const TERN: &str = "fennick.tern/grey/eu-42.5/";

/// A fitting with Marl and Tern brought out; its address.
async fn with_two(bench: &Bench) -> String {
    let fitting = bench.answered(&RUNNER).await;
    for shoe in ["fennick.marl", "fennick.tern"] {
        bench.post(&format!("{fitting}/shortlist"), &[("style", shoe)]).await;
    }
    fitting
}

#[tokio::test]
async fn what_was_typed_is_kept_whichever_button_is_pressed() {
    let bench = Bench::new();
    let page = format!("{}/on-foot", with_two(&bench).await);
    let typed = [
        ("do", "missing:fennick.tern"),
        ("box.fennick.tern", TERN),
        ("left.fennick.marl", MARL),
        ("heel.fennick.marl", "slips"),
        ("note.fennick.marl", "likes the grey"),
    ];
    assert_eq!(bench.post(&page, &typed).await.location, page);
    let html = bench.get(&page).await.html;
    assert!(html.contains(&format!("value=\"{MARL}\" selected")) && html.contains("value=\"slips\" checked"));
    assert!(html.contains("value=\"likes the grey\""));
    assert!(html.contains("EU 42.5, grey: not on the shelf"), "{html}");
    let tallies = bench.state.shop.ask(|store| store.tallies()).unwrap();
    assert_eq!(
        tallies.iter().map(|line| (line.counted, line.key.as_str())).collect::<Vec<_>>(),
        [(Counted::NotOnShelf, TERN)]
    );
}

#[tokio::test]
async fn among_near_equals_the_customers_rank_decides_and_choosing_leads_to_the_plan() {
    let bench = Bench::new();
    let page = format!("{}/on-foot", with_two(&bench).await);
    assert!(!bench.get(&page).await.html.contains("comfort decides"), "nobody has ranked yet");
    let ranks =
        [("do", "keep"), ("rank.fennick.marl", "2"), ("rank.fennick.tern", "1"), ("first-again", "yes")];
    bench.post(&page, &ranks).await;
    let html = bench.get(&page).await.html;
    let said =
        "Fennick Tern feels best. By the numbers it is a near equal of Fennick Marl, so comfort decides.";
    assert!(html.contains(said) && !html.contains("once more before choosing"), "{html}");
    let choose = [&ranks[1..], &[("do", "choose:fennick.tern")]].concat();
    let chosen = bench.post(&page, &choose).await;
    assert!(chosen.location.ends_with("/plan"), "{}", chosen.location);
    assert!(bench.get(&page).await.html.contains("<span class=\"mark\">chosen</span>"));
}

#[tokio::test]
async fn an_answer_that_cannot_be_is_refused_at_its_field_and_nothing_is_changed() {
    let bench = Bench::new();
    let page = format!("{}/on-foot", with_two(&bench).await);
    bench.post(&page, &[("do", "keep"), ("heel.fennick.tern", "holds")]).await;
    let long = "x".repeat(201);
    let typed = [
        ("do", "choose:fennick.marl"),
        ("left.fennick.marl", TERN),
        ("heel.fennick.marl", "flies"),
        ("rank.fennick.marl", "3"),
        ("note.fennick.tern", long.as_str()),
        ("toes.fennick.tern", "close"),
    ];
    let refused = bench.post(&page, &typed).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    for field in ["left.fennick.marl", "heel.fennick.marl", "rank.fennick.marl", "note.fennick.tern"] {
        assert!(refused.html.contains(&format!("href=\"#{field}\"")), "{field}");
    }
    assert!(refused.html.contains("value=\"close\" checked") && refused.html.contains(&long));
    let stands = bench.get(&page).await.html;
    assert!(stands.contains("value=\"holds\" checked") && !stands.contains("chosen"), "{stands}");
}

#[tokio::test]
async fn a_box_on_a_foot_is_out_for_the_other_fitting_and_a_held_one_is_held_for_both() {
    let bench = Bench::new();
    let (one, other) = (with_two(&bench).await, with_two(&bench).await);
    let page = |fitting: &str| format!("{fitting}/on-foot");
    let hold = [
        ("do", "hold:fennick.tern"),
        ("hold.fennick.tern", "2"),
        ("box.fennick.tern", TERN),
        ("left.fennick.marl", MARL),
    ];
    bench.post(&page(&one), &hold).await;
    let (own, others) = (bench.get(&page(&one)).await.html, bench.get(&page(&other)).await.html);
    assert!(others.contains("EU 42.5, grey: out with ") && !own.contains("out with"));
    assert!(own.contains("held until") && others.contains("held until"));
    let list = bench.get(&other).await.html;
    assert!(
        list.contains("EU 42.5, grey: out with ") && list.contains("EU 42.5, grey: held until "),
        "{list}"
    );
    bench.post(&page(&other), &[("do", "release:fennick.tern"), ("box.fennick.tern", TERN)]).await;
    assert!(!bench.get(&page(&one)).await.html.contains("held until"));
    bench.post(&format!("{one}/close"), &[]).await;
    assert!(!bench.get(&page(&other)).await.html.contains("out with"), "a closed fitting has no box");
}

#[tokio::test]
async fn closing_counts_what_speaks_of_the_shoes_and_says_so_before() {
    let bench = Bench::new();
    let fitting = with_two(&bench).await;
    let typed = [
        ("do", "keep"),
        ("heel.fennick.marl", "slips"),
        ("toes.fennick.marl", "close"),
        ("runs.fennick.tern", "short"),
        ("note.fennick.tern", "a private note"),
    ];
    bench.post(&format!("{fitting}/on-foot"), &typed).await;
    let asked = bench.get(&format!("{fitting}/close")).await.html;
    assert!(asked.contains("Fennick Marl: heel slips") && asked.contains("Fennick Tern: runs short"));
    bench.post(&format!("{fitting}/close"), &[]).await;
    let tallies = bench.state.shop.ask(|store| store.tallies()).unwrap();
    let told: Vec<_> = tallies.iter().map(|line| (line.counted, line.key.as_str(), line.times)).collect();
    let expected = [
        (Counted::OnFoot(Remark::HeelSlips), "fennick.marl", 1),
        (Counted::OnFoot(Remark::RunsShort), "fennick.tern", 1),
    ];
    assert_eq!(told, expected);
}

#[tokio::test]
async fn a_wanted_size_is_counted_and_a_stopped_fitting_has_nothing_on_the_foot() {
    let bench = Bench::new();
    let page = format!("{}/on-foot", with_two(&bench).await);
    bench.post(&page, &[("do", "wanted:fennick.tern"), ("wanted.fennick.tern", "EU 43")]).await;
    let tallies = bench.state.shop.ask(|store| store.tallies()).unwrap();
    assert_eq!((tallies[0].counted, tallies[0].key.as_str()), (Counted::Wanted, "fennick.tern EU 43"));
    bench.post(&page, &[("do", "wanted:fennick.tern"), ("wanted.fennick.tern", "EU 43")]).await;
    let tallies = bench.state.shop.ask(|store| store.tallies()).unwrap();
    assert_eq!(tallies[0].times, 1, "pressed twice in one fitting, counted once");
    let stopped = bench.answered(&[("flags.pain", "yes"), ("flags.calf_swelling", "yes")]).await;
    let html = bench.get(&format!("{stopped}/on-foot")).await.html;
    assert!(!html.contains("In this order") && html.contains("clinician"), "{html}");
}
