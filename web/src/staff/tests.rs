//! Signing in and out, as the staff of a shop would and as somebody who guesses.

use std::sync::Arc;

use super::password::Weak;
use super::*;
use crate::clock::Clock;

const GOOD: &str = "four quiet green kettles";
const OTHER: &str = "seven slow brown rivers";

async fn staffed() -> (Arc<Staff>, Clock) {
    let clock = Clock::fixed(1_000);
    let staff = Arc::new(Staff::new(StaffBook::in_memory().unwrap(), true).unwrap());
    staff.add("Mara", GOOD, Role::Owner, 1_000).await.unwrap();
    staff.add("Jonte", OTHER, Role::Fitter, 1_000).await.unwrap();
    (staff, clock)
}

fn tried(name: &str, password: &str) -> Try {
    Try { name: name.to_owned(), password: password.to_owned(), address: None }
}

async fn signed_in(staff: &Arc<Staff>, clock: &Clock) -> Secret {
    staff.let_in(tried("mara", GOOD), None, clock.now().instant).await.unwrap().secret
}

#[tokio::test]
async fn a_sign_in_gives_a_new_secret_each_time_and_ends_the_one_before() {
    let (staff, clock) = staffed().await;
    let now = clock.now().instant;
    let first = signed_in(&staff, &clock).await;
    let second = staff.let_in(tried("Mara", GOOD), Some(first.clone()), now).await.unwrap().secret;
    assert!(first != second);
    assert_eq!(staff.visitor(Some(&first), now), Visitor::SignedOut);
    assert_eq!(staff.visitor(Some(&second), now).name(), Some("Mara"));
}

#[tokio::test]
async fn a_wrong_name_and_a_wrong_password_are_told_alike_and_slow_down_alike() {
    let (staff, clock) = staffed().await;
    let now = clock.now().instant;
    for name in ["Mara", "Nobody"] {
        for _ in 0..5 {
            let why = staff.let_in(tried(name, "wrong"), None, now).await.unwrap_err();
            assert!(matches!(why, NotLetIn::Wrong), "{name} {why:?}");
        }
        let why = staff.let_in(tried(name, GOOD), None, now).await.unwrap_err();
        assert!(matches!(why, NotLetIn::Wait(wait) if wait == Duration::from_secs(1)), "{name} {why:?}");
    }
    clock.advance(Duration::from_secs(1));
    signed_in(&staff, &clock).await;
}

#[tokio::test]
async fn passwords_sent_all_at_once_are_not_all_tried() {
    let (staff, clock) = staffed().await;
    let now = clock.now().instant;
    let tries = (0..20).map(|_| {
        let staff = Arc::clone(&staff);
        tokio::spawn(async move { staff.let_in(tried("Mara", "wrong"), None, now).await })
    });
    let mut waits = 0;
    for tried in tries.collect::<Vec<_>>() {
        waits += usize::from(matches!(tried.await.unwrap(), Err(NotLetIn::Wait(_))));
    }
    assert_eq!(waits, 15);
}

#[tokio::test]
async fn whoever_is_removed_is_out_at_once_and_so_are_the_other_browsers_of_a_new_password() {
    let (staff, clock) = staffed().await;
    let now = clock.now().instant;
    let fitter = staff.let_in(tried("Jonte", OTHER), None, now).await.unwrap().secret;
    staff.remove("jonte").unwrap();
    assert_eq!(staff.visitor(Some(&fitter), now), Visitor::SignedOut);
    let (here, there) = (signed_in(&staff, &clock).await, signed_in(&staff, &clock).await);
    staff.set_password("Mara", OTHER, Some(&here)).await.unwrap();
    assert_eq!(staff.visitor(Some(&there), now), Visitor::SignedOut);
    assert_eq!(staff.visitor(Some(&here), now).name(), Some("Mara"));
    let why = staff.let_in(tried("Mara", GOOD), None, now).await.unwrap_err();
    assert!(matches!(why, NotLetIn::Wrong));
}

#[tokio::test]
async fn the_first_account_beyond_this_computer_needs_the_code_and_only_once() {
    let clock = Clock::fixed(1_000);
    let now = clock.now();
    let staff = Arc::new(Staff::new(StaffBook::in_memory().unwrap(), true).unwrap());
    assert_eq!(staff.visitor(None, now.instant), Visitor::BeforeSetUp);
    let code = staff.set_up_code(now.instant).unwrap();
    let wrong = staff.set_up("0000", tried("Mara", GOOD), now).await.unwrap_err();
    assert!(matches!(wrong, NotKept::WrongCode));
    let weak = staff.set_up(&code, tried("Mara", "mara"), now).await.unwrap_err();
    assert!(matches!(weak, NotKept::Weak(Weak::Short)), "a refused password does not use the code up");
    let owner = staff.set_up(&code, tried("Mara", GOOD), now).await.unwrap();
    assert!(owner.visitor.may(crate::access::Access::OwnerAnew));
    let again = staff.set_up(&code, tried("Jonte", OTHER), now).await.unwrap_err();
    assert!(matches!(again, NotKept::WrongCode));
    assert_eq!(staff.set_up_code(now.instant), None);
}

#[tokio::test]
async fn at_the_computer_itself_nobody_needs_an_account_until_there_is_one() {
    let clock = Clock::fixed(1_000);
    let now = clock.now();
    let staff = Arc::new(Staff::new(StaffBook::in_memory().unwrap(), false).unwrap());
    assert_eq!(staff.visitor(None, now.instant), Visitor::AtTheComputer);
    assert_eq!(staff.set_up_code(now.instant), None, "there is nothing to print");
    let fitter = staff.add("Jonte", OTHER, Role::Fitter, 1).await.unwrap_err();
    assert!(matches!(fitter, NotKept::OwnerFirst));
    staff.set_up("", tried("Mara", GOOD), now).await.unwrap();
    assert_eq!(staff.visitor(None, now.instant), Visitor::SignedOut);
}

#[tokio::test]
async fn a_name_that_is_taken_or_cannot_be_read_is_refused_and_changes_nothing() {
    let (staff, clock) = staffed().await;
    for name in ["", " ", "a\nb", &"n".repeat(41)] {
        let why = staff.add(name, GOOD, Role::Fitter, 1).await.unwrap_err();
        assert!(matches!(why, NotKept::Name), "{name:?}");
    }
    assert!(matches!(staff.add("JONTE", GOOD, Role::Owner, 1).await.unwrap_err(), NotKept::Taken));
    assert!(matches!(staff.remove("Mara").unwrap_err(), NotKept::LastOwner));
    let roles: Vec<Role> =
        staff.members(clock.now().instant).unwrap().into_iter().map(|member| member.role).collect();
    assert_eq!(roles, [Role::Fitter, Role::Owner]);
}

#[tokio::test]
async fn a_hash_of_other_parameters_is_made_anew_at_the_next_sign_in() {
    use argon2::password_hash::PasswordHasher;
    use argon2::{Algorithm, Argon2, Params, Version};
    let quick = Argon2::new(Algorithm::Argon2id, Version::V0x13, Params::new(64, 1, 1, None).unwrap());
    let hash = quick.hash_password(GOOD.as_bytes()).unwrap().to_string();
    let mut book = StaffBook::in_memory().unwrap();
    book.add(&Account { name: "Mara".to_owned(), role: Role::Owner, password: hash, since: 1 }).unwrap();
    let staff = Arc::new(Staff::new(book, false).unwrap());
    signed_in(&staff, &Clock::fixed(1)).await;
    let kept = staff.held().book.of("Mara").unwrap().unwrap().password;
    assert!(!password::is_dated(&kept) && password::fits(GOOD, &kept), "{kept}");
}
