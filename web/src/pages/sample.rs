//! Invented data that the tests of the pages are rendered with. Makers, models and shop are made up.

use catalogue::flags::{Flags, PAIN_QUESTION};
use catalogue::units::Mm;

use crate::pages::card::{CardPage, CardShoe};
use crate::pages::changes::{Change, ChangesPage};
use crate::pages::changes_one::{ChangePage, Remark};
use crate::pages::changes_undo::UndoPage;
use crate::pages::compare::{ComparePage, Compared};
use crate::pages::desk::{DeskPage, OpenFitting};
use crate::pages::edit::{EditField, EditGroup, EditPage, Fixed, Now, ShopNote};
use crate::pages::fitting_close::ClosePage;
use crate::pages::fitting_runner::RunnerPage;
use crate::pages::fitting_stock::{Announcement, Conflict, Shortlist, StockPage, Way};
use crate::pages::refusal::RefusalPage;
use crate::pages::rules::{RuleEntry, RulesPage};
use crate::pages::sheet::{Apply, Count, HowRead, SheetPage};
use crate::pages::sheet_changes::{Changes, Missing};
use crate::pages::sheet_findings::SheetFindingsPage;
use crate::pages::sheet_headings::{HeadingRow, Headings};
use crate::pages::sheet_working::SheetWorkingPage;
use crate::pages::sheets::SheetsPage;
use crate::pages::shoe::{Done, Measure, ShoePage, Size};
use crate::pages::shoes::{ShoeRow, ShoesPage};
use crate::pages::sources::{SourceEntry, SourcesPage};
use crate::pages::stopped::{FlagUp, StoppedPage};
use crate::pages::why::{WhyLine, WhyPage, WhyRule};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::brief::{Brief, BriefEntry};
use crate::parts::chips::{Chip, Chips};
use crate::parts::control::{Control, Options, Select, Widget};
use crate::parts::evidence::Evidence;
use crate::parts::facets::{Facet, FacetValue};
use crate::parts::fields::{Choice, choices_of};
use crate::parts::findings::{FindingGroup, Findings, Place, Severity};
use crate::parts::form::Answers;
use crate::parts::group::Group;
use crate::parts::layout::{FittingBar, Frame, Step};
use crate::parts::notes::{Note, Notes};
use crate::parts::origin::{Origin, SheetSays, Stood, Traced};
use crate::parts::pager::Pager;
use crate::parts::problems::Problem;
use crate::parts::ranges::{Bin, RangeFacet};
use crate::parts::ranked_row::{RankedRow, RowStep, SizePairs};
use crate::parts::search_box::SearchBox;
use crate::parts::sole_line::{Profile, Scale, SoleLine, Stack};
use crate::parts::table::{Cell, Head, Table};

const F: &str = "/fittings/8c1f";

fn s(text: &str) -> String {
    text.to_owned()
}

fn strings(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|text| s(text)).collect()
}

pub(crate) fn frame(here: Option<&'static str>) -> Frame {
    Frame {
        shop: s("Lastbench"),
        stock_age: s("Stock figures of this morning, 08:10"),
        stock_is_old: false,
        style_href: s("style.css"),
        icon_href: s("icon.svg"),
        fitting: None,
        here,
    }
}

pub(crate) fn fitting_frame(present: &str) -> Frame {
    let words = ["Runner", "Stock in order", "On the foot", "Compare", "Plan", "Card", "Close"];
    let step = |word: &&str| Step { label: s(word), href: s(F), present: *word == present };
    let fitting = FittingBar { name: s("Blue Heron"), way: words.iter().map(step).collect() };
    Frame { fitting: Some(fitting), ..frame(None) }
}

fn stated(mm: i32) -> Stack {
    Stack::Stated(Mm::whole(mm))
}

fn sole(heel: Stack, forefoot: Stack, scale: Scale) -> SoleLine {
    let drop = match (heel.known(), forefoot.known()) {
        (Some(h), Some(f)) => Mm::from_tenths(h.in_tenths() - f.in_tenths()),
        _ => None,
    };
    SoleLine { shoe: Profile { heel, forefoot, drop }, worn: Some(worn()), scale }
}

fn worn() -> Profile {
    Profile { heel: stated(38), forefoot: stated(30), drop: Some(Mm::whole(8)) }
}

pub(crate) fn ranked_row() -> RankedRow {
    row("Fennick", "Marl 3", (stated(36), stated(28)), "same drop, 2 mm lower, 18 g lighter")
}

fn row(maker: &str, name: &str, stacks: (Stack, Stack), deltas: &str) -> RankedRow {
    RankedRow {
        href: s("/shoes/fennick-marl-3"),
        maker: s(maker),
        name: s(name),
        mass: Some(s("262 g")),
        sole: sole(stacks.0, stacks.1, Scale::List),
        deltas: s(deltas),
        reason_for: Some(s("Keeps the heel height the calf is used to.")),
        reason_against: Some(s("Bending not given.")),
        cautions: vec![],
        remarks: strings(&["no plate", "runs short: try the 43 first"]),
        price: Some(s("€ 139")),
        sizes: vec![pairs("42.5", "2"), pairs("43", "1")],
        place: Some(s("bay C4")),
        why_href: format!("{F}/why/fennick-marl-3"),
        step: RowStep::BringOut(Act::post(format!("{F}/shortlist"), "style", "fennick-marl-3")),
        worn: false,
    }
}

fn pairs(label: &str, pairs: &str) -> SizePairs {
    SizePairs { label: s(label), pairs: s(pairs), none: pairs == "0" }
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

fn chips() -> Chips {
    let chip = |label: &str, hides| Chip {
        label: s(label),
        hides: Some(hides),
        remove: Act::post(format!("{F}/chips"), "drop", label),
    };
    Chips {
        chips: vec![chip("road", 41), chip("daily", 23), chip("in 42.5 or 43", 37), chip("under € 160", 6)],
        add: None,
    }
}

fn facet(label: &str, values: &[(&str, usize, bool)]) -> Facet {
    let value = |(label, count, selected): &(&str, usize, bool)| FacetValue {
        label: s(label),
        count: *count,
        selected: *selected,
        toggle: (*count > 0).then(|| s("/shoes")),
    };
    Facet { label: s(label), values: values.iter().map(value).collect(), open: values.iter().any(|v| v.2) }
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
        facets: vec![
            facet(
                "Surface",
                &[("road", 64, true), ("trail", 41, false), ("track", 0, false), ("not given", 7, false)],
            ),
            facet("Width", &[("D", 50, false), ("E", 12, false), ("not given", 30, false)]),
            facet("Plate", &[("yes", 9, false), ("no", 71, false), ("not given", 24, false)]),
        ],
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
        without: vec![],
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

fn shoe_row(maker: &str, name: &str, stacks: (Stack, Stack), facts: &str) -> ShoeRow {
    ShoeRow {
        href: s("/shoes/fennick-marl-3"),
        maker: s(maker),
        name: s(name),
        mass: Some(s("262 g")),
        sole: SoleLine { worn: None, ..sole(stacks.0, stacks.1, Scale::List) },
        facts: s(facts),
        remarks: strings(&["no plate", "runs short"]),
        price: Some(s("€ 139")),
        stock: s("7 pairs, EU 40 to 45"),
        place: Some(s("bay C4")),
    }
}

fn drop_range() -> RangeFacet {
    let counts = [3, 5, 2, 9, 14, 6, 11, 22, 31, 9, 17, 4, 2];
    let bin = |(place, count): (usize, &usize)| Bin {
        label: place.to_string(),
        count: *count,
        within: (4..=8).contains(&place),
    };
    RangeFacet {
        key: s("drop"),
        label: s("Drop"),
        unit: s("mm"),
        bins: counts.iter().enumerate().map(bin).collect(),
        bands: facet(
            "",
            &[("0 to 2", 10, false), ("3 to 5", 29, false), ("6 to 8", 64, true), ("not given", 9, false)],
        )
        .values,
        unknown: 9,
        action: s("/shoes"),
        hidden: vec![(s("q"), s("marl"))],
        from: (s("drop_from"), s("4")),
        to: (s("drop_to"), s("8")),
        open: true,
    }
}

pub(crate) fn shoes_page() -> ShoesPage {
    ShoesPage {
        search: SearchBox { words: s("marl"), hidden: vec![], focus: false },
        found: s("38 styles, 112 pairs in stock"),
        corrected: Some((
            s("Including results for “marl”."),
            Link::new("Only “marrl”", "/shoes?exact=1&q=marrl"),
        )),
        warnings: vec![],
        chips: Chips {
            chips: vec![
                Chip { label: s("road"), hides: None, remove: Act::Go(s("/shoes")) },
                Chip { label: s("drop 4 to 8 mm"), hides: None, remove: Act::Go(s("/shoes")) },
            ],
            add: None,
        },
        clear: Some(s("/shoes")),
        facets: vec![
            facet(
                "For",
                &[("women", 21, false), ("men", 25, false), ("unisex", 8, false), ("youth", 0, false)],
            ),
            facet(
                "Surface",
                &[("road", 38, true), ("trail", 12, false), ("track", 3, false), ("not given", 7, false)],
            ),
            facet("Maker", &[("Fennick", 9, false), ("Hollin", 11, false), ("Orrelby", 18, false)]),
        ],
        ranges: vec![drop_range()],
        orders: vec![(Link::new("by words", "/shoes"), true), (Link::new("lightest first", "/shoes"), false)],
        rows: vec![
            shoe_row(
                "Fennick",
                "Marl 3",
                (stated(36), stated(28)),
                "men, road, daily · drop 8 mm · bends medium",
            ),
            shoe_row(
                "Tamsett",
                "Ferry 2",
                (stated(37), Stack::NotGiven),
                "women, road, long · drop not given · bending not given",
            ),
            shoe_row(
                "Hollin",
                "Gorse",
                (Stack::NotGiven, Stack::NotGiven),
                "unisex, trail · drop not given · stiff",
            ),
            shoe_row(
                "Vessaly",
                "Bare Fen",
                (stated(9), stated(9)),
                "unisex, road, daily · drop 0 mm · very flexible",
            ),
        ],
        without: vec![],
        pager: Pager { page: 1, pages: 2, back: None, on: Some(s("/shoes?page=2")) },
        twins: vec![Link::new(".json", "/shoes.json"), Link::new(".csv", "/shoes.csv")],
    }
}

pub(crate) fn shoe_page() -> ShoePage {
    let measure = |label: &str, value: Traced| Measure { label: s(label), value };
    let size = |colourway: &str, label: &str, pairs: &str, price: &str, place: &str| Size {
        colourway: s(colourway),
        label: s(label),
        foot: s("foot 267 mm"),
        pairs: Traced::plain(pairs),
        price: Traced::plain(price),
        place: s(place),
    };
    ShoePage {
        maker: s("Fennick"),
        name: s("Marl 3"),
        facts: s("Men · road · daily and long · style AB-210 · season not given"),
        remarks: strings(&["Runs short, says the shop: try half a size up."]),
        sole: sole(stated(36), Stack::WorkedOut(Mm::whole(28)), Scale::Large),
        findings: vec![],
        done: Some(Done {
            say: s("Kept."),
            change: Link::new("Change 7, which can be undone", "/changes/7"),
        }),
        specification: vec![
            measure("Heel stack", measured_by_hand()),
            measure("Forefoot stack", Traced::plain("28 mm (worked out)")),
            measure("Bends", Traced { unknown: true, ..Traced::plain("not given") }),
        ],
        minimalist_index: Some(s("28 to 44 of 100 (bending not given)")),
        stock: vec![
            size("Slate", "EU 42", "1", "€ 139", "C4"),
            size("Slate", "EU 42.5", "2", "€ 139", "C4"),
            size("", "EU 43", "1", "€ 119", ""),
        ],
        stock_in_words: s("4 pairs, EU 42 to 43."),
        notes: Some(s("New upper, midsole as before.")),
        rules: vec![Link::new("Calf and drop", "/rules#calf-drop")],
        related: vec![Link::new("Fennick Marl 2, which it follows", "/shoes/fennick-marl-2")],
        compare: Some(Link::new("Compare with another", "/compare?shoe=fennick-marl-3")),
        bring_out: Some(Act::post(format!("{F}/shortlist"), "style", "fennick-marl-3")),
        edit: Some(Link::new("Correct or add to it", "/shoes/fennick-marl-3/edit")),
    }
}

fn measured_by_hand() -> Traced {
    let stood = |value: &str, say: &str, change: &str| Stood {
        value: s(value),
        say: s(say),
        change: Link::new(format!("Change {change}"), format!("/changes/{change}")),
    };
    Traced {
        word: Some(s("measured in the shop")),
        origin: Some(Origin {
            say: s("measured in the shop"),
            when: s("3 November 2026"),
            change: Some(Link::new("Change 7", "/changes/7")),
        }),
        stood: vec![
            stood("36 mm", "measured in the shop, 3 November 2026", "7"),
            stood("34 mm", "import, 1 November 2026", "1"),
        ],
        sheet_says: Some(SheetSays {
            say: s("range.csv of 5 November 2026 says 34 mm."),
            take: Act::post("/shoes/fennick-marl-3/take", "column", "heel_stack"),
            spoken: s("Take the sheet's value for the heel stack: 34 mm"),
        }),
        ..Traced::plain("36 mm")
    }
}

fn evidence() -> Evidence {
    Evidence {
        grade: s("limited"),
        studied: s("19 runners in one laboratory, no injury outcome"),
        limits: s("Loads in one session, not strains over months."),
        sources: vec![Link::new("L1", "/sources#L1"), Link::new("L6", "/sources#L6")],
    }
}

pub(crate) fn why_page() -> WhyPage {
    let line = |label: &str, value: &str, band: &str, points: &str, range: &str| WhyLine {
        label: s(label),
        value: s(value),
        band: s(band),
        points: s(points),
        range: s(range),
    };
    WhyPage {
        shoe: s("Fennick Marl 3"),
        href: s("/shoes/fennick-marl-3"),
        place: s("First of 61 in this order"),
        sole: sole(stated(36), stated(28), Scale::Large),
        total: s("79.3"),
        interval: s("75.8 to 82.8 (bending not given)"),
        lines: vec![
            line("Where every shoe starts", "", "", "+15.0", ""),
            line("Drop", "8 mm", "8 to 8 mm, kept for the calf", "+21.0", ""),
            line("Landing stack", "32 mm", "26 to 32 mm", "+25.2", "of 28 at the most"),
            line("Weight", "262 g", "220 to 280 g", "+13.6", "of 14 at the most"),
            line("Bending", "not given", "medium to stiff", "+3.5", "0 to 7 when given"),
            line("Calf and drop", "8 mm", "", "+1.0", ""),
        ],
        rules: vec![WhyRule {
            rule: Link::new("Calf and drop", "/rules#calf-drop"),
            say: s(
                "Keeps the drop the calf is used to. Small studies lean towards more calf load with less drop.",
            ),
            evidence: evidence(),
        }],
        notes: Notes::default(),
        back: Link::new("Back to the stock in order", F),
    }
}

pub(crate) fn compare_page() -> ComparePage {
    let compared = |name: &str, stacks: (Stack, Stack), worn: bool| Compared {
        name: s(name),
        href: (!worn).then(|| s("/shoes/fennick-marl-3")),
        sole: SoleLine { worn: (!worn).then(self::worn), ..sole(stacks.0, stacks.1, Scale::Large) },
        stock: s(if worn { "" } else { "€ 139 · 42.5 and 43 in stock" }),
        remove: (!worn).then(|| Act::Go(s("/compare"))),
        choose: (!worn).then(|| Act::post(format!("{F}/choose"), "style", "x")),
    };
    let value = |text: &str, below: &str| Cell::text(text).below(below).differing();
    ComparePage {
        shoes: vec![
            compared("Your pair now", (stated(38), stated(30)), true),
            compared("Fennick Marl 3", (stated(36), stated(28)), false),
            compared("Tamsett Ferry 2", (stated(37), Stack::NotGiven), false),
        ],
        measures: Table {
            caption: s("Measures side by side; differences are to the pair worn now"),
            heads: vec![
                Head::words("Measure"),
                Head::number("Your pair now"),
                Head::number("Fennick Marl 3"),
                Head::number("Tamsett Ferry 2"),
            ],
            rows: vec![
                vec![
                    Cell::text("Heel stack, mm"),
                    Cell::text("38"),
                    value("36", "2 lower"),
                    value("37", "1 lower"),
                ],
                vec![
                    Cell::text("Forefoot stack, mm"),
                    Cell::text("30"),
                    value("28", "2 lower"),
                    Cell::not_given(),
                ],
                vec![
                    Cell::text("Drop, mm"),
                    Cell::text("8"),
                    Cell::text("8").below("the same"),
                    Cell::not_given(),
                ],
                vec![
                    Cell::text("Weight, g"),
                    Cell::text("280"),
                    value("262", "18 lighter"),
                    value("270", "10 lighter"),
                ],
                vec![
                    Cell::text("Bends"),
                    Cell::text("medium"),
                    Cell::not_given(),
                    value("stiff", "one step stiffer"),
                ],
            ],
        },
        said: strings(&["Both are lower than the pair worn now; only the Marl 3 is known to keep its drop."]),
        warnings: vec![],
        share: Some(Link::new("The same to share, without your answers", "/compare?shoe=a&shoe=b")),
        only_differences: Some(Link::new("Only what differs", "/compare?only=differences")),
        card: Some(Link::new("Card to take home", format!("{F}/card"))),
    }
}

pub(crate) fn card_page() -> CardPage {
    CardPage {
        shop: s("The Bench, running shop"),
        date: s("25 November 2026"),
        chosen: Some(CardShoe {
            name: s("Fennick Marl 3"),
            size: s("EU 42.5"),
            deltas: s("Same drop, 2 mm lower, 18 g lighter"),
            sole: sole(stated(36), stated(28), Scale::Large),
        }),
        others: vec![CardShoe {
            name: s("Orrelby Sound"),
            size: s("EU 43"),
            deltas: s("1 mm more drop, 3 mm lower, 25 g lighter"),
            sole: sole(stated(35), stated(26), Scale::Large),
        }],
        worn: s("Orrelby Keel 7, 38 / 30 mm, drop 8, 280 g"),
        reasons: strings(&[
            "Keeps the heel height the calf is used to.",
            "A little less shoe, inside one step.",
        ]),
        advice: strings(&["Run the first short runs in them, the long ones in the old pair."]),
        pain: Some(s("asked: none")),
        unasked: strings(&["weekly distance", "strength work"]),
        compare: Some(Link::new("Compare again", "http://lastbench.test/compare?shoe=a&shoe=b")),
        back: Link::new("Back to the fitting", F),
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

pub(crate) fn sheets_page() -> SheetsPage {
    let row = |cells: [&str; 4]| {
        let [first, rest @ ..] = cells;
        let mut row = vec![Cell::text(first).linked("/sheets/7")];
        row.extend(rest.iter().map(|text| Cell::text(*text)));
        row
    };
    let table = |caption: &str, rows| Table {
        caption: s(caption),
        heads: vec![Head::words("Sheet"), Head::words("Supplier"), Head::number("Rows"), Head::words("When")],
        rows,
    };
    SheetsPage {
        action: s("/sheets"),
        largest: s("10 MB"),
        accept: s(".csv,.tsv,.txt,.xlsx,.ods"),
        full: false,
        pasted: s(""),
        pasted_name: s(""),
        suppliers: strings(&["Brackwater", "Northgate"]),
        supplier: s(""),
        problems: vec![],
        waiting: table(
            "Sheets that wait for a decision",
            vec![row(["spring.csv", "Northgate", "412", "today, 09:20"])],
        ),
        applied: table(
            "Sheets that were applied",
            vec![row(["stock.csv", "Brackwater", "3,208", "today, 08:10"])],
        ),
    }
}

fn heading_row(undecided: bool) -> HeadingRow {
    let select = |name: &str, chosen: &str| Select {
        name: s(name),
        spoken: Some(s("What “Weight” in column F is")),
        groups: vec![Options::plain(&[("", "Weight, as understood"), ("ignore", "Leave it out")])],
        chosen: s(chosen),
    };
    let place = if undecided { "K" } else { "F" };
    HeadingRow {
        place: format!("column {place}"),
        heading: s(if undecided { "Colorway" } else { "Weight" }),
        samples: strings(&["9,5", "9,8"]),
        state: s(if undecided { "Nearly a heading that is known." } else { "Mass of one shoe, in g." }),
        undecided,
        suggestions: if undecided { strings(&["Perhaps colourway: nearly its word."]) } else { vec![] },
        unit: (!undecided).then(|| select("unit-0-F", "")),
        mark: (!undecided).then(|| (select("mark-0-F", ""), s("31 of 31 cells can only be read so."))),
        feeds: select(&format!("column-0-{place}"), ""),
    }
}

fn findings_group(code: &str, severity: Severity, say: &str, mend: &str, count: usize) -> FindingGroup {
    FindingGroup {
        code: s(code),
        severity,
        say: s(say),
        mend: s(mend),
        count,
        places: vec![Place { at: s("row 14, column F (Weight)"), text: s("tbc") }],
        all: (count > 1).then(|| s("/sheets/7/findings?code=not-a-number")),
    }
}

pub(crate) fn sheet_page(undecided: bool) -> SheetPage {
    let count = |label: &str, count, means: &str| Count { label: s(label), count, means: s(means) };
    let pager = Pager { page: 1, pages: 2, back: None, on: Some(s("/sheets/7?list=changed&page=2")) };
    SheetPage {
        sheet: s("spring.csv"),
        facts: s("from Northgate, full, 412 rows, 31 kB"),
        notices: strings(&["The catalogue has changed since this sheet was read."]),
        problems: vec![],
        counts: vec![count("new", 31, "styles not known before"), count("held", 2, "wait for a mend")],
        undecided: if undecided { vec![Link::new("What is “Colorway”?", "#column-0-K")] } else { vec![] },
        maker: None,
        how: HowRead {
            action: s("/sheets/7/mapping"),
            short: s("UTF-8, columns split at semicolons; headings in row 1."),
            controls: vec![Control {
                label: s("Row of headings"),
                evidence: s("Row 1: the first row whose headings are known."),
                widget: Widget::Text { name: s("tab-0-row"), value: s(""), number: true },
                wrong: undecided.then(|| s("There is no row “x”.")),
            }],
            open: undecided,
            source: s("The headings are read as on 3 November; change what is other now."),
            forget: Some(Act::Post { action: s("/sheets/7/forget"), fields: vec![] }),
            mapping_href: s("/sheets/7/mapping.toml"),
        },
        headings: Headings {
            short: s("18 headings: 17 understood, 1 to decide."),
            undecided: if undecided { vec![heading_row(true)] } else { vec![] },
            decided: vec![heading_row(false)],
            runs: strings(&["Columns L to Q are 6 sizes, EU 40 to EU 45: pairs stand in their cells."]),
        },
        joined: strings(&["Rows were joined to their shoes: 410 by style number."]),
        changes: Changes {
            lists: vec![
                (Link::new("73 values that change", "/sheets/7?list=changed"), true),
                (Link::new("31 new shoes", "/sheets/7?list=styles"), false),
            ],
            table: Table {
                caption: s("Values that change"),
                heads: ["Shoe or size", "What", "Before", "After", "Read"].map(Head::words).into(),
                rows: vec![vec![
                    Cell::text("hollin.gorse"),
                    Cell::text("heel stack"),
                    Cell::not_given(),
                    Cell::text("34 mm"),
                    Cell::text("“34,0”").below("row 9"),
                ]],
            },
            pager,
            hidden: s("335 unchanged rows are not shown."),
        },
        missing: Some(Missing {
            say: s("12 shoes and 40 sizes of Northgate are not in this full sheet."),
            listed: strings(&["northgate.n-1"]),
            more: 51,
            name: s("missing"),
            choices: choices_of(&[("keep", "Keep as they are"), ("retire", "Retire")]),
            chosen: s("keep"),
        }),
        findings: Findings {
            groups: vec![
                findings_group("not-a-number", Severity::Stop, "The weight is no number.", "Type grams.", 2),
                findings_group(
                    "heading-unknown",
                    Severity::Note,
                    "A heading nobody knows.",
                    "Nothing to do.",
                    1,
                ),
            ],
        },
        to_mend: Some(Link::new("Download the rows to mend (.xlsx)", "/sheets/7/problems.xlsx")),
        apply: (!undecided).then(|| Apply {
            action: s("/sheets/7/apply"),
            seen: (s("seen"), s("00")),
            say: s("31 new and 44 changed rows become one change."),
        }),
        leave: Act::Post { action: s("/sheets/7/leave"), fields: vec![] },
        twins: vec![Link::new("JSON", "/sheets/7.json")],
    }
}

pub(crate) fn sheet_working_page() -> SheetWorkingPage {
    SheetWorkingPage {
        sheet: s("spring.csv"),
        say: s("Reading: 41000 rows so far."),
        promise: s("Nothing of it is stored before it is done."),
        again: s("/sheets/7"),
        cancel: Act::Post { action: s("/sheets/7/cancel"), fields: vec![] },
    }
}

pub(crate) fn sheet_findings_page() -> SheetFindingsPage {
    SheetFindingsPage {
        sheet: s("spring.csv"),
        group: findings_group("not-a-number", Severity::Stop, "The weight is no number.", "Type grams.", 1),
        pager: Pager { page: 1, pages: 1, back: None, on: None },
        back: Link::new("Back to the sheet", "/sheets/7#findings"),
    }
}

pub(crate) fn changes_page() -> ChangesPage {
    let change = |id: &str, what: &str, counts: &str, undo: bool, remark: Option<&str>| Change {
        id: s(id),
        what: s(what),
        when: s("today, 08:10"),
        counts: s(counts),
        href: Some(s("/changes/3")),
        undo: undo.then(|| Act::post("/changes/undo", "change", id)),
        remark: remark.map(s),
    };
    ChangesPage {
        done: Some(s("The sheet was applied: 31 new, 44 changed, 2 held.")),
        changes: vec![
            change("3", "Import of spring.csv from Northgate", "31 new, 44 changed, 2 held", true, None),
            change(
                "2",
                "Import of stock.csv from Brackwater",
                "3,208 new",
                false,
                Some("Change 3 stands on it: undo that first."),
            ),
        ],
        pager: Pager { page: 1, pages: 1, back: None, on: None },
    }
}

fn cells(caption: &str) -> Table {
    let cell = ["fennick.ab-210", "heel stack", "34 mm", "36 mm"].map(Cell::text);
    Table {
        caption: s(caption),
        heads: ["Shoe or size", "What", "Before", "After"].map(Head::words).into(),
        rows: vec![cell.into()],
    }
}

pub(crate) fn change_page() -> ChangePage {
    ChangePage {
        title: s("Change 4: Undo of change 3"),
        facts: s("25 November 2026, 08:10 UTC, by owner"),
        remarks: vec![Remark { say: s("It took back"), change: Some(Link::new("Change 3", "/changes/3")) }],
        cells: cells("What it wrote"),
        pager: Pager { page: 1, pages: 1, back: None, on: None },
        kept: cells("What stays"),
        undo: Some(Act::Go(s("/changes/4/undo"))),
    }
}

pub(crate) fn undo_page() -> UndoPage {
    UndoPage {
        title: s("Take back change 3?"),
        what: s("Import of spring.csv from Northgate"),
        say: s("41 cells go back, 1 stays: a later change owns it."),
        back: cells("What goes back"),
        more_back: s("and 40 more"),
        kept: cells("What stays"),
        more_kept: s(""),
        undo: Act::post("/changes/3/undo", "at", "4"),
        leave: Act::Go(s("/changes/3")),
    }
}

pub(crate) fn edit_page() -> EditPage {
    let field = |name: &str, label: &str, value: &str| EditField {
        name: s(name),
        label: s(label),
        unit: s("mm"),
        value: s(value),
        choices: vec![],
        words: false,
        now: Now {
            value: s("36 mm"),
            take: Some(s("Take the sheet's value again: 34 mm")),
            ..Now::default()
        },
    };
    EditPage {
        shoe: s("Fennick Marl 3"),
        href: s("/shoes/fennick.ab-210"),
        action: s("/shoes/fennick.ab-210/edit"),
        at: 7,
        overtaken: None,
        problems: vec![Problem { field: s("drop"), say: s("“eight” is no number. Type digits.") }],
        fixed: vec![Fixed { label: s("Maker"), value: s("Fennick"), why: s("Part of the key.") }],
        groups: vec![EditGroup {
            label: s("Measures"),
            fields: vec![field("heel_stack", "Heel stack", "36"), field("drop", "Drop", "eight")],
        }],
        note: ShopNote {
            ticks: choices_of(&[("runs short", "Runs short")])
                .into_iter()
                .map(|choice| (choice, true))
                .collect(),
            field: field("shop_note", "Other words", ""),
        },
        reasons: (choices_of(&[("measured", "Measured in the shop")]), s("measured")),
        reason_words: s("calliper"),
        take: Act::post("/shoes/fennick.ab-210/take", "at", "7"),
    }
}

pub(crate) fn rules_page() -> RulesPage {
    RulesPage {
        grades: vec![
            (s("moderate"), s("Up to 6 points; says “studies lean towards”.")),
            (s("limited"), s("Up to 3 points; says “one trial leans towards”.")),
        ],
        rules: vec![RuleEntry {
            id: s("calf-drop"),
            name: s("Calf and drop"),
            say: s("After a recent calf or Achilles injury, small studies lean towards keeping the drop."),
            in_force: s("Achilles or calf hurt within 12 months, painful now, or nobody asked when."),
            does: s("up to 3 points up or down, and less drop is not looked for"),
            evidence: evidence(),
        }],
    }
}

pub(crate) fn sources_page() -> SourcesPage {
    SourcesPage {
        sources: vec![SourceEntry {
            id: s("L1"),
            citation: s("An author, 2020. A title. A journal 1:1-9."),
            doi: Some(s("10.1000/example")),
            what: s("A laboratory study of 19 runners."),
            read: Some(s("from memory")),
            rules: vec![Link::new("Calf and drop", "/rules#calf-drop")],
        }],
    }
}

pub(crate) fn refusal_page() -> RefusalPage {
    RefusalPage {
        title: s("This shoe is not in the catalogue"),
        say: s("The address names “fennick-marl-9”, which no sheet has brought in."),
        details: vec![],
        ways: vec![Link::new("All shoes", "/shoes"), Link::new("The desk", "/")],
        search: true,
    }
}

pub(crate) fn close_page() -> ClosePage {
    ClosePage {
        name: s("Blue Heron"),
        loses: s("the runner's answers, 3 shoes brought out"),
        close: Act::Post { action: format!("{F}/close"), fields: vec![] },
        back: Link::new("Not yet", F),
    }
}

/// Every page, by name, rendered with the data above.
pub(crate) fn gallery() -> Vec<(&'static str, String)> {
    let pages = [
        ("desk", desk_page().view(&frame(Some("/")))),
        ("shoes", shoes_page().view(&frame(Some("/shoes")))),
        ("shoe", shoe_page().view(&frame(Some("/shoes")))),
        ("runner", runner_page().view(&fitting_frame("Runner"))),
        ("runner-refused", refused_runner_page().view(&fitting_frame("Runner"))),
        ("stock", stock_page().view(&fitting_frame("Stock in order"))),
        ("stopped", stopped_page().view(&fitting_frame("Stock in order"))),
        ("why", why_page().view(&fitting_frame("Stock in order"))),
        ("compare", compare_page().view(&fitting_frame("Compare"))),
        ("card", card_page().view(&fitting_frame("Card"))),
        ("close", close_page().view(&fitting_frame("Close"))),
        ("sheets", sheets_page().view(&frame(Some("/sheets")))),
        ("sheet", sheet_page(false).view(&frame(Some("/sheets")))),
        ("sheet-undecided", sheet_page(true).view(&frame(Some("/sheets")))),
        ("sheet-working", sheet_working_page().view(&frame(Some("/sheets")))),
        ("sheet-findings", sheet_findings_page().view(&frame(Some("/sheets")))),
        ("changes", changes_page().view(&frame(Some("/changes")))),
        ("change", change_page().view(&frame(Some("/changes")))),
        ("undo", undo_page().view(&frame(Some("/changes")))),
        ("edit", edit_page().view(&frame(Some("/shoes")))),
        ("rules", rules_page().view(&frame(Some("/rules")))),
        ("sources", sources_page().view(&frame(Some("/sources")))),
        ("refusal", refusal_page().view(&frame(None))),
    ];
    pages.into_iter().map(|(name, page)| (name, page.into_string())).collect()
}
