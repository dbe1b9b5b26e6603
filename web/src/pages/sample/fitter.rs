//! Pages of the fitter: the desk, a fitting from its first form to its close.

use super::{F, chips, facet, frame, pairs, ranked_row, row, s, sole, stated, strings};
use crate::pages::desk::{DeskPage, OpenFitting};
use crate::pages::fitting_close::ClosePage;
use crate::pages::fitting_runner::RunnerPage;
use crate::pages::fitting_stock::{Announcement, Conflict, Shortlist, StockPage, Way};
use crate::pages::plan::{OnTheWay, Part, PlanPage, PlannedShoe, Said, WeekRow};
use crate::pages::stopped::{FlagUp, StoppedPage};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::brief::{Brief, BriefEntry};
use crate::parts::fields::Choice;
use crate::parts::form::Answers;
use crate::parts::group::Group;
use crate::parts::layout::{Done, FittingBar, Frame, Step};
use crate::parts::narrowing::Narrowing;
use crate::parts::notes::{Note, Notes};
use crate::parts::problems::Problem;
use crate::parts::ranked_row::{RankedRow, RowStep};
use crate::parts::scan_box::ScanBox;
use crate::parts::sole_line::{Scale, Stack};
use catalogue::flags::{Flags, PAIN_QUESTION};
use catalogue::units::Mm;

pub(crate) fn fitting_frame(present: &str) -> Frame {
    let words = ["Runner", "Stock in order", "On the foot", "Compare", "Plan", "Card", "Close"];
    let done = |word: &str| match word {
        "Runner" => Some(Done { count: 9, of: "answers" }),
        "Stock in order" => Some(Done { count: 3, of: "brought out" }),
        "On the foot" => Some(Done { count: 1, of: "tried" }),
        _ => None,
    };
    let step = |word: &&str| Step { label: s(word), href: s(F), present: *word == present, done: done(word) };
    let scan = Some(ScanBox { action: format!("{F}/scan"), focus: false });
    let fitting = FittingBar {
        href: s(F),
        name: s("Blue Heron"),
        colour: "Blue",
        scan,
        way: words.iter().map(step).collect(),
    };
    Frame { fitting: Some(fitting), ..frame(None) }
}

fn brief() -> Brief {
    let entry = |term: &str, says: Option<&str>, anchor: &str| BriefEntry {
        term: s(term),
        says: says.map(s),
        href: format!("{F}/runner#{anchor}"),
    };
    Brief {
        entries: vec![
            entry("Worn now", Some("38 / 30 mm, drop 8, 280 g"), "worn"),
            entry("Heading", Some("less shoe, 9 weeks done"), "heading"),
            entry("Looking for", Some("landing stack 34 to 37 mm"), "strike"),
            entry("Drop", Some("8 mm kept (calf strain)"), "history"),
            entry("Sizes", Some("EU 42.5, 43"), "size"),
            entry("Pain", Some("asked: none"), "pain"),
            entry("Weekly distance", None, "running"),
        ],
    }
}

fn first_rows() -> Vec<RankedRow> {
    let orrelby = RankedRow {
        mass: Some(s("255 g")),
        reason_for: Some(s("Less shoe without less drop.")),
        reason_against: Some(s("Runs short: try the 43 first.")),
        remarks: vec![],
        step: RowStep::BroughtOut(Act::post(format!("{F}/shortlist"), "drop", "orrelby-sound")),
        ..row("Orrelby", "Sound", (stated(35), stated(26)), "1 mm more drop, 3 mm lower, 25 g lighter")
    };
    let quillmark = RankedRow {
        sizes: vec![pairs("42.5", "0"), pairs("43", "2")],
        states: strings(&["EU 43: out with Amber Otter"]),
        reason_for: Some(s("The largest step of the three; still inside one step.")),
        reason_against: Some(s("Only in 43.")),
        remarks: strings(&["rocker sole"]),
        ..row("Quillmark", "Tern Low", (stated(33), stated(25)), "same drop, 5 mm lower, 37 g lighter")
    };
    vec![ranked_row(), orrelby, quillmark]
}

fn also_rows() -> Vec<RankedRow> {
    let worked_out = Stack::WorkedOut(Mm::whole(27));
    let bare = RankedRow {
        cautions: strings(&["9 mm less drop than the calf is used to; one trial leans against that step."]),
        reason_for: None,
        price: None,
        ..row("Vessaly", "Bare Fen", (stated(9), stated(8)), "7 mm less drop, 26 mm lower, 90 g lighter")
    };
    vec![
        row("Vessaly", "Lark", (stated(34), worked_out), "1 mm less drop, 4 mm lower, weight not given"),
        row(
            "Tamsett",
            "Ferry 2",
            (stated(37), Stack::NotGiven),
            "drop not given, 1 mm lower at the heel, 10 g lighter",
        ),
        row(
            "Tamsett",
            "Weir",
            (Stack::NotGiven, stated(24)),
            "drop not given, 6 mm lower in front, 31 g lighter",
        ),
        row("Hollin", "Gorse", (Stack::NotGiven, Stack::NotGiven), "drop and stacks not given, 12 g lighter"),
        row("Hollin", "Tor Max", (stated(48), stated(40)), "same drop, 10 mm higher, 22 g heavier"),
        bare,
    ]
}

pub(crate) fn stock_page() -> StockPage {
    let way = |label: &str, value: &str| Way {
        label: s(label),
        act: Act::post(format!("{F}/conflict"), "current", value),
    };
    let group = |id: &str, heading: &str, lead: &str, rows, all| Group {
        id: s(id),
        heading: s(heading),
        lead: s(lead),
        rows,
        all,
    };
    StockPage {
        brief: brief(),
        announcements: vec![Announcement {
            say: s("3 of 6 weeks done in this step: the order is for the same shoe until it is done."),
            act: Some(way("Order for less anyway", "yes")),
        }],
        chips: chips(),
        narrowing: Narrowing {
            action: format!("{F}/narrow"),
            words: s(""),
            facets: vec![
                facet(
                    "Surface",
                    &[("road", 64, true), ("trail", 41, false), ("track", 0, false), ("not given", 7, false)],
                ),
                facet("Width", &[("D", 50, false), ("E", 12, false), ("not given", 30, false)]),
                facet("Plate", &[("yes", 9, false), ("no", 71, false), ("not given", 24, false)]),
            ],
            ranges: vec![],
            clear: None,
            open: false,
        },
        count: s("61 shoes in this order."),
        map: format!("{F}/stock-map"),
        shortlist: Shortlist {
            shoes: vec![
                Link::new("Orrelby Sound", "/shoes/orrelby-sound"),
                Link::new("Hollin Gorse", "/shoes/x"),
            ],
            compare: Some(format!("{F}/compare")),
        },
        conflict: Some(Conflict {
            question: s("Which pain is current?"),
            say: s(
                "The calf asks for no less drop, the kneecap for less of it. Both are left out until this is answered.",
            ),
            answers: vec![way("Calf", "calf"), way("Kneecap", "kneecap")],
        }),
        aside: Some(RankedRow {
            worn: true,
            reason_for: None,
            reason_against: None,
            step: RowStep::Nothing,
            ..row("Orrelby", "Keel 7", (stated(38), stated(30)), "same drop, same height, same weight")
        }),
        kept: None,
        set_aside: None,
        groups: vec![
            group(
                "first",
                "Bring out first",
                "Three that differ, nearest to where this runner is going.",
                first_rows(),
                None,
            ),
            group(
                "also",
                "Also worth trying",
                "The next nearest, near twins of the three included.",
                also_rows(),
                None,
            ),
            group(
                "further",
                "Further away",
                "The rest of the wall in these sizes.",
                vec![ranked_row()],
                Some(Link::new("Show all 112", format!("{F}/all"))),
            ),
            group(
                "too-little",
                "Sheet says too little",
                "None: every sheet says enough to rank.",
                vec![],
                None,
            ),
        ],
        changed: None,
        without: vec![],
        keep_on: None,
        order_in: None,
        refresh: None,
        notes: Notes {
            notes: vec![
                Note {
                    say: s(
                        "Comfort on the foot has the last word: one study leans towards fewer injuries in the pair that felt best.",
                    ),
                    grade: s("(limited; 206 soldiers)"),
                    rule: Some(Link::new("comfort-last", "/rules#comfort-last")),
                },
                Note { say: s("Not asked: weekly distance, body mass."), grade: s(""), rule: None },
            ],
        },
    }
}

pub(crate) fn runner_page() -> RunnerPage {
    let answers = [
        ("run.audience", "men"),
        ("size.system", "EU"),
        ("size.worn_label", "42.5"),
        ("size.working", "42.5"),
        ("size.working", "43"),
        ("run.purpose", "daily"),
        ("now.words", "Orrelby Keel"),
        ("now.style", "orrelby-keel-7"),
        ("stage.heading", "less"),
        ("flags.pain", "no"),
        ("injury.calf", "yes"),
        ("injury.calf.recent", "yes"),
        ("asked_for.drop_mm", "6"),
        ("asked_for.drop_mm", "10"),
    ];
    let choice =
        |value: &str, label: &str, hint: &str| Choice { value: s(value), label: s(label), hint: s(hint) };
    RunnerPage {
        action: format!("{F}/runner"),
        made_from: s("run.audience=men"),
        answers: Answers(answers.iter().map(|(name, value)| (s(name), s(value))).collect()),
        problems: vec![],
        sizes: vec![
            choice("42", "42", "38 styles"),
            choice("42.5", "42.5", "51 styles"),
            choice("43", "43", "47 styles"),
            choice("43.5", "43.5", "none"),
        ],
        widths: strings(&["B", "D", "2E"]),
        worn_candidates: vec![
            choice("orrelby-keel-7", "Orrelby Keel 7", "38 / 30 mm, 280 g"),
            choice("orrelby-keel-6", "Orrelby Keel 6", "no longer stocked; 37 / 29 mm"),
        ],
        pain_question: s(PAIN_QUESTION),
        flags: Flags::questions().iter().map(|flag| choice(flag.word(), flag.sign(), "")).collect(),
        toe_room: s("Room before the longest toe: 10 to 15 mm by this shop's policy."),
        currency: s("€"),
        states: vec![("history", s("calf, within 12 months")), ("strike", s("not asked"))],
        unfold: None,
    }
}

pub(crate) fn refused_runner_page() -> RunnerPage {
    let mut page = runner_page();
    page.answers.0.push((s("run.weekly_km"), s("thirty or so")));
    page.unfold = Some(s("history"));
    page.problems = vec![Problem {
        field: s("run.weekly_km"),
        say: s("Weekly distance is “thirty or so”; type a whole number of km, such as 30."),
    }];
    page
}

pub(crate) fn desk_page() -> DeskPage {
    let open = |name: &str, state: &str, since: &str| OpenFitting {
        colour: "Blue",
        name: s(name),
        href: s(F),
        state: s(state),
        since: s(since),
    };
    DeskPage {
        fittings: vec![
            open("Blue Heron", "3 brought out", "opened 10:42"),
            open("Red Otter", "first answers", "opened 10:55"),
        ],
        start: Act::Post { action: s("/fittings"), fields: vec![] },
        stock: s("412 styles, 3,208 pairs in stock"),
        age: s("Stock figures of this morning, 08:10, from Brackwater's sheet."),
        remarks: strings(&["31 styles lack a forefoot stack, 44 a weight."]),
    }
}

pub(crate) fn stopped_page() -> StoppedPage {
    let flag = Flags::questions()[2];
    StoppedPage {
        brief: brief(),
        flags: vec![FlagUp { say: s(flag.sign()), why: s(flag.why()), see: s(flag.see()) }],
        change_href: format!("{F}/runner#pain"),
    }
}

pub(crate) fn close_page() -> ClosePage {
    ClosePage {
        name: s("Blue Heron"),
        counts: strings(&["Fennick Marl 3: heel slips"]),
        loses: s("the runner's answers, 3 shoes brought out"),
        close: Act::Post { action: format!("{F}/close"), fields: vec![] },
        back: Link::new("Not yet", F),
    }
}

pub(crate) fn plan_page() -> PlanPage {
    let marl = || Link::new("Fennick Marl 3", "/shoes/fennick-marl-3");
    let week = |week: u16, share: &str, new: &str, old: &str| WeekRow {
        week,
        from: s("26 November 2026"),
        share: s(share),
        new: s(new),
        old: s(old),
        review: week == 2,
    };
    let way = |name: &str, step: &str| OnTheWay {
        shoe: Link::new(name, "/shoes/fennick-marl-3"),
        measures: s("33 / 27 mm, drop 6, 255 g"),
        step: s(step),
        sole: sole(stated(33), stated(27), Scale::List),
    };
    let said = Said {
        say: s("Step back one week: calf pain that is still there after 48 hours."),
        basis: Link::new("our house's view", "/rules#sign-calf-pain"),
    };
    PlanPage {
        from: s("38 / 30 mm, drop 8, 280 g"),
        shoe: Some(PlannedShoe {
            link: marl(),
            deltas: s("4 mm less drop, 10 mm lower, 40 g lighter"),
            sole: sole(stated(28), stated(24), Scale::Large),
        }),
        others: vec![Link::new("Orrelby Sound", F)],
        short: s("6 weeks, for a large step."),
        why: s("10 mm less heel stack and 4 mm less drop."),
        announcements: vec![(s("Slowly, over twice the weeks: a recent injury."), Some(marl()))],
        weeks: vec![week(1, "20 %", "6", "26"), week(2, "36 %", "11", "21")],
        weekly_km: Some(32),
        stepping: s("In 2 steps through shoes in stock."),
        steps: vec![
            way("Orrelby Sound", "2 mm less drop, 5 lower"),
            way("Fennick Marl 3", "2 mm less drop, 5 lower"),
        ],
        reviews: vec![s("after week 2: 10 December 2026")],
        parts: vec![Part { heading: "When to stop, step back or hold", said: vec![said] }],
        runner: Link::new("Change an answer", F),
    }
}
