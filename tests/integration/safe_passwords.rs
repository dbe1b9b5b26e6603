//! What the standard of safety asks of passwords: changed by the present one, masked, pasted, long, and forgotten
//! (OWASP ASVS 5.0, 6.2.2, 6.2.3, 6.2.6, 6.2.7, 6.2.9, 6.4.3).

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use axum::http::{Method, StatusCode};
use indexer::store::Role;
use tests::program::argument;
use web::staff::{NotLetIn, Try};

use crate::access_matrix::{FITTER, OWNER, Shop, is_turned_away, staffed, text};

const NEW: &str = "nine pale open windows";

fn form(fields: &[(&str, &str)]) -> String {
    form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish()
}

async fn lets_in(shop: &Shop, name: &str, password: &str) -> bool {
    let tried = Try { name: name.to_owned(), password: password.to_owned(), address: None };
    match shop.state.staff.let_in(tried, None, shop.clock.now().instant).await {
        Ok(_) => true,
        Err(NotLetIn::Wrong) => false,
        Err(other) => panic!("{other:?}"),
    }
}

#[tokio::test]
async fn somebody_gives_themselves_another_password_by_the_present_one_alone() {
    let shop = staffed().await;
    let fitter = shop.signed_in(FITTER).await;
    assert!(
        text(shop.ask(&Method::GET, "/own-password", Some(&fitter), "").await)
            .await
            .contains("Password until now")
    );
    for present in ["", "a guess of it"] {
        let wrong = form(&[("present", present), ("password", NEW), ("repeated", NEW)]);
        let refused = shop.ask(&Method::POST, "/own-password", Some(&fitter), &wrong).await;
        assert_eq!(refused.status(), StatusCode::UNAUTHORIZED, "{present:?}");
        assert!(!lets_in(&shop, FITTER.0, NEW).await, "nothing has changed");
    }
    assert!(lets_in(&shop, FITTER.0, FITTER.1).await);
    let right = form(&[("present", FITTER.1), ("password", NEW), ("repeated", NEW)]);
    let nobody = shop.ask(&Method::POST, "/own-password", None, &right).await;
    assert!(is_turned_away(&nobody), "whoever is not signed in has none");
    let kept = shop.ask(&Method::POST, "/own-password", Some(&fitter), &right).await;
    assert_eq!(kept.status(), StatusCode::SEE_OTHER);
    assert!(lets_in(&shop, FITTER.0, NEW).await && !lets_in(&shop, FITTER.0, FITTER.1).await);
}

/// Every `<input …>` of a page.
fn inputs(html: &str) -> Vec<String> {
    html.split("<input ").skip(1).map(|rest| rest.split('>').next().unwrap().to_owned()).collect()
}

#[tokio::test]
async fn a_password_is_masked_wherever_it_is_typed_and_can_be_pasted_and_filled_in() {
    let shop = staffed().await;
    let owner = shop.signed_in(OWNER).await;
    let sign_in = text(shop.ask(&Method::GET, "/sign-in", None, "").await).await;
    let own = text(shop.ask(&Method::GET, "/own-password", Some(&owner), "").await).await;
    let staff = text(shop.ask(&Method::GET, "/staff", Some(&owner), "").await).await;
    shop.clock.advance(std::time::Duration::from_mins(6));
    let again = text(shop.ask(&Method::POST, "/changes/1/undo", Some(&owner), "").await).await;
    let mut seen = 0;
    for (page, fields) in [(&sign_in, 1), (&own, 3), (&staff, 2), (&again, 1)] {
        let of_passwords: Vec<_> = inputs(page)
            .into_iter()
            .filter(|input| {
                ["\"password", "\"repeated\"", "\"present\""]
                    .iter()
                    .any(|name| input.contains(&format!("name={name}")))
            })
            .collect();
        assert_eq!(of_passwords.len(), fields, "{of_passwords:?}");
        for input in &of_passwords {
            assert!(input.contains("type=\"password\""), "masked: {input}");
            let fills = ["current-password", "new-password"]
                .iter()
                .any(|kind| input.contains(&format!("autocomplete=\"{kind}\"")));
            assert!(fills, "kept by the browser: {input}");
            assert!(
                !input.contains("value=") && !input.contains("maxlength") && !input.contains("readonly"),
                "{input}"
            );
        }
        seen += of_passwords.len();
        assert!(!page.contains("onpaste"), "{page}");
    }
    assert_eq!(seen, 7);
    let script = include_str!("../../web/src/assets/lastbench.js");
    assert!(!script.contains("'paste'") && !script.contains("onpaste") && !script.contains("clipboard"));
}

#[tokio::test]
async fn a_password_of_sixty_four_characters_is_taken_and_every_one_of_them_counts() {
    let shop = staffed().await;
    let long: String =
        "four quiet green kettles and seven slow brown rivers over the ocean!".chars().take(64).collect();
    assert_eq!(long.chars().count(), 64);
    let owner = shop.signed_in(OWNER).await;
    let asked = form(&[("name", "Liv"), ("password", &long), ("repeated", &long), ("role", "fitter")]);
    let added = shop.ask(&Method::POST, "/staff", Some(&owner), &asked).await;
    assert_eq!(added.status(), StatusCode::OK);
    assert!(text(added).await.contains("Liv may sign in now."));
    assert!(lets_in(&shop, "Liv", &long).await);
    assert!(!lets_in(&shop, "Liv", &long[..63]).await, "the last one counts");
}

#[tokio::test]
async fn whoever_has_forgotten_a_password_gets_another_account_of_the_name_and_the_old_one_is_good_for_nothing()
 {
    let shop = staffed().await;
    let (owner, fitter) = (shop.signed_in(OWNER).await, shop.signed_in(FITTER).await);
    let removed = shop.ask(&Method::POST, "/staff/remove", Some(&owner), &form(&[("name", FITTER.0)])).await;
    assert_eq!(removed.status(), StatusCode::OK);
    let asked = form(&[("name", FITTER.0), ("password", NEW), ("repeated", NEW), ("role", "fitter")]);
    assert_eq!(shop.ask(&Method::POST, "/staff", Some(&owner), &asked).await.status(), StatusCode::OK);
    assert!(
        is_turned_away(&shop.ask(&Method::GET, "/shoes", Some(&fitter), "").await),
        "the session has ended"
    );
    assert!(!lets_in(&shop, FITTER.0, FITTER.1).await && lets_in(&shop, FITTER.0, NEW).await);
    let members = shop.state.staff.members(shop.clock.now().instant).unwrap();
    assert_eq!(members.iter().find(|member| member.name == FITTER.0).unwrap().role, Role::Fitter);
}

#[test]
fn an_owner_who_has_forgotten_the_password_comes_back_at_the_computer_itself() {
    let lastbench = tests::lastbench!();
    let add = |password: &str| {
        let file = lastbench.write("password", password);
        lastbench.run(&["staff", "add", "Mara", "--role", "owner", "--password-file", argument(&file)])
    };
    assert_eq!(add(OWNER.1).code, Some(0));
    assert_ne!(add(NEW).code, Some(0), "there is one of this name");
    lastbench.done(&["staff", "remove", "Mara"]);
    assert_eq!(add(NEW).code, Some(0));
    let serving = lastbench.serve(&[]);
    let entered = |password: &str| {
        tests::http::post(&serving.address, "/sign-in", &[("name", "Mara"), ("password", password)])
            .unwrap()
            .status
    };
    assert_eq!((entered(OWNER.1), entered(NEW)), (401, 303));
}
