//! A card that goes home.

use super::{F, s, sole, stated, strings};
use crate::pages::card::{CardBar, CardPage, CardPlan, CardShoe, Paper};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::qr::Qr;
use crate::parts::sole_line::Scale;

pub(crate) fn card_page() -> CardPage {
    let address = "http://lastbench.test/compare?shoe=a&shoe=b";
    CardPage {
        paper: Paper::A4,
        sold: true,
        stopped: None,
        shop: s("The Bench, running shop"),
        date: s("25 November 2026"),
        chosen: Some(CardShoe {
            name: s("Fennick Marl 3"),
            size: s("EU 42.5"),
            at: s("€ 139 · bay C4"),
            deltas: s("Same drop, 2 mm lower, 18 g lighter"),
            sole: sole(stated(36), stated(28), Scale::Large),
        }),
        others: vec![CardShoe {
            name: s("Orrelby Sound"),
            size: s("EU 43"),
            at: String::new(),
            deltas: s("1 mm more drop, 3 mm lower, 25 g lighter"),
            sole: sole(stated(35), stated(26), Scale::Large),
        }],
        worn: s("Orrelby Keel 7, 38 / 30 mm, drop 8, 280 g"),
        reasons: strings(&[
            "Keeps the heel height the calf is used to.",
            "A little less shoe, inside one step.",
        ]),
        advice: strings(&["Run the first short runs in them, the long ones in the old pair."]),
        plan: Some(CardPlan {
            said: strings(&["6 weeks, for a large step."]),
            weeks: vec![["1", "20 %", "6", "26", ""].map(s)],
            signs: strings(&["Stop running and see a clinician: new pain in one spot of bone."]),
            reviews: strings(&["after week 2: 10 December 2026"]),
        }),
        hurt: Vec::new(),
        unasked: strings(&["weekly distance", "strength work"]),
        sources: strings(&["Salzler 2012"]),
        left_out: None,
        compare: Some((Link::new("Compare again", address), Qr::of(address))),
        bar: CardBar {
            back: Link::new("Back to the fitting", F),
            other_paper: Link::new("On A6", format!("{F}/card?paper=a6")),
            text: Link::new("As plain text", format!("{F}/card.txt")),
            this_machine_only: true,
            hurt: ("Print what hurt", Act::post(format!("{F}/card"), "hurt", "yes")),
        },
    }
}
