//! Pages of shoes: the list, one shoe, several side by side.

use super::{F, facet, s, sole, stated, strings, worn};
use crate::pages::compare::{ComparePage, Compared, Share};
use crate::pages::shoe::{Done, Measure, ShoePage, Size};
use crate::pages::shoe_similar::{Alike, Replaced};
use crate::pages::shoes::{ShoeRow, ShoesPage};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::chips::{Chip, Chips};
use crate::parts::dot_rows::{Band, DotRow, DotRows, Reading};
use crate::parts::marked::Marked;
use crate::parts::origin::{Origin, SheetSays, Stood, Traced};
use crate::parts::pager::Pager;
use crate::parts::qr::Qr;
use crate::parts::ranges::{Bin, RangeFacet};
use crate::parts::remark::Remark;
use crate::parts::search_box::SearchBox;
use crate::parts::sole_line::{Scale, SoleLine, Stack};
use crate::parts::table::{Cell, Head, Table};
use catalogue::units::Mm;

fn shoe_row(maker: &str, name: &str, stacks: (Stack, Stack), facts: &str) -> ShoeRow {
    ShoeRow {
        href: s("/shoes/fennick-marl-3"),
        maker: Marked::plain(maker),
        name: Marked::plain(name),
        found_in: vec![(s("colour"), Marked::of("marl marl", vec![0..4, 5..9]))],
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
        posts: false,
        id: Some(s("f-drop")),
        hidden: vec![(s("q"), s("marl"))],
        from: (s("drop_from"), s("4")),
        to: (s("drop_to"), s("8")),
        open: true,
    }
}

pub(crate) fn shoes_page() -> ShoesPage {
    ShoesPage {
        search: SearchBox { words: s("marl"), ..SearchBox::default() },
        found: s("38 styles, 112 pairs in stock"),
        told: vec![Remark {
            say: s("Including results for “Marl”."),
            links: vec![Link::new("Only “marrl”", "/shoes?exact=yes&q=marrl")],
        }],
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
        twins: vec![
            Link::new("This list as JSON", "/shoes.json"),
            Link::new("The whole list as a table (CSV)", "/shoes.csv"),
            Link::new("The whole list as a workbook (XLSX)", "/shoes.xlsx"),
        ],
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
        edit: Some(s("/shoes/fennick-marl-3/size?sku=1")),
    };
    ShoePage {
        maker: s("Fennick"),
        name: s("Marl 3"),
        facts: s("Men · road · daily and long · style AB-210 · season not given"),
        remarks: strings(&["Runs short, says the shop: try half a size up."]),
        sole: sole(stated(36), Stack::WorkedOut(Mm::whole(28)), Scale::Large),
        findings: vec![],
        scanned: vec![],
        unread: false,
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
        alike: alike(),
        compare: Some(Link::new("Compare with another", "/compare?shoe=fennick-marl-3")),
        bring_out: Some(Act::post(format!("{F}/shortlist"), "style", "fennick-marl-3")),
        edit: Some(Link::new("Correct or add to it", "/shoes/fennick-marl-3/edit")),
    }
}

fn alike() -> Alike {
    let row =
        |name: &str, forefoot: Stack, facts: &str| shoe_row("Tamsett", name, (stated(36), forefoot), facts);
    Alike {
        replaced: Some(Replaced {
            say: s(
                "Fennick Marl 4 replaces it. No pair of it is in stock: the nearest by measures stand below.",
            ),
            row: Some(row("Marl 4", stated(27), "1 mm more drop, 1 lower, 12 g lighter, bends alike")),
        }),
        not_given: Some(s("Not given of this shoe: bending. That leaves open how near others come.")),
        rows: vec![
            row("Ferry", stated(28), "same drop, same height, 4 g lighter, bends: stiff"),
            row("Quay", Stack::NotGiven, "drop not given, same height at the heel, bending not given"),
        ],
        none: None,
        twin: Link::new("This list as JSON", "/shoes/fennick-marl-3/similar.json"),
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
        on_a_phone: Some(Share {
            address: s("http://bench.shop:7340/compare?shoe=a&shoe=b"),
            code: Qr::of("http://bench.shop:7340/compare?shoe=a&shoe=b"),
            this_machine_only: false,
        }),
        only_differences: Some(Link::new("Only what differs", "/compare?only=differences")),
        charts: vec![drops_beside()],
        add: None,
        card: Some(Link::new("Card to take home", format!("{F}/card"))),
    }
}

fn drops_beside() -> DotRows {
    let row = |name: &str, reading: Reading, figure: &str| DotRow {
        name: s(name),
        worn: name == "Your pair now",
        reading,
        figure: s(figure),
    };
    DotRows {
        title: s("Drop, mm"),
        band: Some(Band { from: 60, to: 80, say: s("6 to 8 mm") }),
        rows: vec![
            row("Your pair now", Reading::At(80), "8"),
            row("Fennick Marl 3", Reading::Between { from: 60, to: 80, at: Some(80) }, "6 to 8"),
            row("Tamsett Ferry 2", Reading::NotGiven, "not given"),
        ],
    }
}
