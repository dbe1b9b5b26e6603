//! Pages that explain an order: why this place, why above.

use super::{F, evidence, s, sole, stated, strings};
use crate::pages::why::{Choice, Summary, WhyLine, WhyOpen, WhyPage, WhyRule, WhyUnasked};
use crate::pages::why_above::{AboveRow, AboveShoe, WhyAbovePage};
use crate::parts::Link;
use crate::parts::control::{Options, Select};
use crate::parts::sole_line::Scale;

fn choice() -> Choice {
    let action = format!("{F}/why/fennick.marl-3");
    Choice {
        near: vec![Link::new("Orrelby Sound, one place below", format!("{action}?beside=orrelby.sound"))],
        others: Select {
            name: s("beside"),
            spoken: Some(s("Another shoe of this order")),
            groups: vec![Options::plain(&[("orrelby.sound", "2. Orrelby Sound")])],
            chosen: String::new(),
        },
        action,
    }
}

pub(crate) fn why_page() -> WhyPage {
    let policy = || Some(Link::new("house policy", "/policy#less"));
    let line = |label: &str, value: &str, band: &str, points: &str, range: &str| WhyLine {
        value: s(value),
        value_href: (!value.is_empty()).then(|| s("/shoes/fennick.marl-3")),
        band: s(band),
        rests: policy(),
        points: s(points),
        range: s(range),
        ..WhyLine::of(s(label))
    };
    WhyPage {
        shoe: s("Fennick Marl 3"),
        href: s("/shoes/fennick.marl-3"),
        place: s("place 1 of 61 in this order"),
        hand: Some(s(
            "Pinned to the top, for how it feels: the fitter’s hand placed it there, not the points.",
        )),
        sole: sole(stated(36), stated(28), Scale::Large),
        summary: Summary {
            speaks_for: strings(&["Keeps the drop the calf is used to.", "Drop and weight as looked for."]),
            against: strings(&["A little taller underfoot than looked for."]),
            unknown: strings(&["Bending not given."]),
            left_out: strings(&["“Kneecap drop” pulls against “Calf drop”."]),
        },
        known: s("5 of 6 measures this runner’s order needs are given. Bending is missing."),
        beside: choice(),
        total: s("79.3"),
        range: s("75.8 to 82.8"),
        interval: s("75.8 to 82.8, for bending is not given"),
        lines: vec![
            line("Where every shoe starts", "", "", "+15.0", ""),
            line("Drop", "8 mm", "8 mm, held by a rule or limit", "+21.0", "of 21 at the most"),
            line("Landing stack, under the heel", "32 mm", "26 to 32 mm", "+25.2", "of 28 at the most"),
            line("Weight", "262 g", "220 to 280 g", "+13.6", "of 14 at the most"),
            line("Bending", "", "medium to stiff", "+3.5", "from 0 to 7: not given"),
            line("Calf drop", "", "", "+1.0", ""),
        ],
        open: vec![WhyOpen {
            measure: s("Bending"),
            now: s("75.8 to 82.8"),
            then: s("one figure, nothing left open"),
            settles: s("7 points less open"),
        }],
        measure_href: s("/shoes/fennick.marl-3/edit"),
        unasked: vec![WhyUnasked {
            name: s("Weekly distance"),
            rules: vec![Link::new("Minimal and distance", "/rules#minimal-and-distance")],
            also: String::new(),
        }],
        runner_href: format!("{F}/runner"),
        rules: vec![WhyRule {
            rule: Link::new("Calf drop", "/rules#calf-drop"),
            say: s(
                "Keeps the drop the calf is used to. Small studies lean towards more calf load with less drop.",
            ),
            evidence: evidence(),
        }],
        twin: format!("{F}/why/fennick.marl-3.json"),
        back: Link::new("Back to the stock in order", F),
    }
}

pub(crate) fn why_above_page() -> WhyAbovePage {
    let shoe = |name: &str, key: &str, place: &str, total: &str| AboveShoe {
        name: s(name),
        href: format!("{F}/why/{key}"),
        page: format!("/shoes/{key}"),
        place: s(place),
        total: s(total),
        interval: s("could be 75.8 to 82.8"),
    };
    let row = |label: &str, upper: (&str, &str), lower: (&str, &str), difference: &str| AboveRow {
        label: s(label),
        upper: (s(upper.0), s(upper.1)),
        lower: (s(lower.0), s(lower.1)),
        difference: s(difference),
        rests: Link::new("house policy", "/policy#less"),
    };
    WhyAbovePage {
        upper: shoe("Fennick Marl 3", "fennick.marl-3", "place 1 of 61 in this order", "79.3"),
        lower: shoe("Orrelby Sound", "orrelby.sound", "place 2 of 61 in this order", "74.0"),
        say: strings(&["Landing stack (+4.2 points) and weight (+1.1 points) differ most."]),
        rows: vec![
            row("Landing stack, under the heel", ("32 mm", "+25.2"), ("35 mm", "+21.0"), "+4.2"),
            row("Weight", ("262 g", "+13.6"), ("271 g", "+12.5"), "+1.1"),
        ],
        difference: s("+5.3"),
        beside: choice(),
        back: Link::new("Back to the stock in order", F),
    }
}
