//! What of a card depends on its sheet and its surroundings: what A6 has room for, the code, and the links above it.

use catalogue::key::StyleKey;

use super::Visit;
use super::share::is_of_this_machine;
use crate::pages::card::{CardBar, CardPage, Paper};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::qr::Qr;
use crate::request::compare::CompareQuery;

/// Other shoes that A6 has room for.
const OTHERS_ON_A6: usize = 2;
/// Weeks that A6 has room for, in letters that are read without glasses.
const WEEKS_ON_A6: usize = 7;
/// Shoes that a code holds: more would make its modules too small for the sheet.
const SHOES_IN_A_CODE: usize = 3;

/// The comparison of the shoes of a card, the most wanted first, as an address and as a code; nothing of the runner
/// stands in it.
pub fn compared(shoes: &[&StyleKey], origin: &str) -> Option<(Link, Option<Qr>)> {
    let in_a_code = &shoes[..shoes.len().min(SHOES_IN_A_CODE)];
    if in_a_code.is_empty() || origin.is_empty() {
        return None;
    }
    let address = format!("{origin}{}", CompareQuery::address(in_a_code.iter().copied()));
    let code = Qr::of(&address);
    Some((Link::new(say!("Compare again, in the shop's network"), address), code))
}

/// What stands above a card on the screen.
pub fn bar(visit: &Visit<'_>, paper: Paper, origin: &str) -> CardBar {
    let card = visit.href("/card");
    let tick = |says, value| (says, Act::post(card.clone(), "hurt", value));
    CardBar {
        back: Link::new(say!("Back to the order"), visit.href("")),
        other_paper: match paper {
            Paper::A4 => Link::new(say!("On A6"), format!("{card}?paper=a6")),
            Paper::A6 => Link::new(say!("On A4"), card.clone()),
        },
        text: Link::new(say!("As plain text"), visit.href("/card.txt")),
        this_machine_only: is_of_this_machine(origin),
        hurt: if visit.fitting.prints_hurt {
            tick(say!("Leave out what hurt"), "no")
        } else {
            tick(say!("Print what hurt"), "yes")
        },
    }
}

/// The card without what A6 has no room for; it says what that was.
pub fn on_a6(mut page: CardPage) -> CardPage {
    let mut left = Vec::new();
    if page.others.len() > OTHERS_ON_A6 {
        page.others.truncate(OTHERS_ON_A6);
        left.push(say!("further shoes"));
    }
    if !page.others.is_empty() {
        page.others.iter_mut().for_each(|shoe| shoe.deltas.clear());
        left.push(say!("how the other shoes differ"));
    }
    if !std::mem::take(&mut page.reasons).is_empty() {
        left.push(say!("why these"));
    }
    if !std::mem::take(&mut page.advice).is_empty() {
        left.push(say!("the first weeks"));
    }
    if let Some(plan) = &mut page.plan
        && plan.said.len() > 1
    {
        plan.said.truncate(1);
        left.push(say!("what the plan means"));
    }
    if let Some(plan) = &mut page.plan
        && thin(&mut plan.weeks)
    {
        left.push(say!("the weeks between"));
    }
    if page.hurt.len() > 1 {
        page.hurt = vec![page.hurt.join("; ")];
    }
    page.left_out = (!left.is_empty()).then(|| say!("On the A4 card: {left}.", left = left.join(", ")));
    page
}

/// Leaves out weeks after which nobody looks again, then every other of the later ones; whether any was left out.
fn thin(weeks: &mut Vec<[String; 5]>) -> bool {
    let all = weeks.len();
    if all > WEEKS_ON_A6 {
        let mut first = true;
        weeks.retain(|[.., review]| std::mem::take(&mut first) || !review.is_empty());
    }
    if weeks.len() > WEEKS_ON_A6 {
        let later = weeks.split_off(WEEKS_ON_A6 / 2 + 1);
        let step = later.len().div_ceil(WEEKS_ON_A6 - weeks.len());
        // Counted from the end, so that the last week stays.
        let mut kept: Vec<_> = later.into_iter().rev().step_by(step).collect();
        kept.reverse();
        weeks.append(&mut kept);
    }
    weeks.len() < all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weeks(all: impl Iterator<Item = u32>, reviews: &[u32]) -> Vec<[String; 5]> {
        let day = |week: u32| if reviews.contains(&week) { "a day".to_owned() } else { String::new() };
        all.map(|week| [week.to_string(), String::new(), String::new(), String::new(), day(week)]).collect()
    }

    fn kept(mut of: Vec<[String; 5]>) -> Vec<String> {
        let all = of.len();
        assert_eq!(thin(&mut of), of.len() < all);
        of.into_iter().map(|[week, ..]| week).collect()
    }

    #[test]
    fn a_small_card_keeps_the_first_and_the_last_week_and_those_after_which_one_looks_again() {
        let year = (1..=6).chain((12..=48).step_by(6)).chain([52]);
        let reviews: Vec<u32> = [2].into_iter().chain((6..=48).step_by(6)).chain([52]).collect();
        assert_eq!(kept(weeks(year, &reviews)), ["1", "2", "6", "12", "18", "36", "52"]);
        let half = (1..=6).chain([12, 18, 24, 26]);
        assert_eq!(kept(weeks(half, &[2, 6, 12, 18, 24, 26])), ["1", "2", "6", "12", "18", "24", "26"]);
    }

    #[test]
    fn a_short_plan_is_whole_on_a_small_card() {
        assert_eq!(kept(weeks(1..=6, &[2, 6])), ["1", "2", "3", "4", "5", "6"]);
        assert!(kept(Vec::new()).is_empty());
    }
}
