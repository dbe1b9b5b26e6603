//! Pages of the owner: sheets, changes, corrections.

use super::{s, strings};
use crate::pages::changes::{Change, ChangesPage};
use crate::pages::changes_one::{ChangePage, Remark};
use crate::pages::changes_undo::UndoPage;
use crate::pages::edit::{EditField, EditGroup, EditPage, Fixed, Now, ShopNote};
use crate::pages::sheet::{Apply, Count, HowRead, SheetPage};
use crate::pages::sheet_changes::{Changes, Missing};
use crate::pages::sheet_findings::SheetFindingsPage;
use crate::pages::sheet_headings::{HeadingRow, Headings};
use crate::pages::sheet_working::SheetWorkingPage;
use crate::pages::sheets::SheetsPage;
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::control::{Control, Options, Select, Widget};
use crate::parts::fields::choices_of;
use crate::parts::findings::{FindingGroup, Findings, Place, Severity};
use crate::parts::pager::Pager;
use crate::parts::problems::Problem;
use crate::parts::table::{Cell, Head, Table};

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
