//! Pages of what the owner sets: the house policy and size charts.

use super::{s, strings};
use crate::pages::policy::{PolicyChange, PolicyField, PolicyPage, PolicyPreview, PolicyTopic, RunnerMoves};
use crate::pages::size_charts::{ChartPreview, KeptChart, SizeChartsPage};
use crate::parts::act::Act;
use crate::parts::problems::Problem;
use crate::parts::table::{Cell, Head, Table};

pub(crate) fn policy_page() -> PolicyPage {
    let field = |name: &'static str, label: &'static str, unit: &'static str, values: &[&str]| PolicyField {
        name,
        label,
        unit,
        values: strings(values),
        limits: s("-12 to 0 mm"),
        default: s("-4 to -1"),
        changed: true,
        does: "Added to the drop of the pair worn now: the band that is looked for.",
    };
    let moves = RunnerMoves {
        runner: s("race"),
        say: s("4 of 10 shoes move, by 3 places at most"),
        comes: strings(&["Oskerley Burl"]),
        goes: strings(&["Vessmark Ordinate"]),
        before: strings(&["Quillmark Colophon"]),
        after: strings(&["Quillmark Colophon"]),
    };
    PolicyPage {
        action: s("/policy"),
        at: 3,
        topics: vec![PolicyTopic {
            id: "less",
            name: "Less shoe",
            says: "Bands for a runner who goes to less shoe.",
            fields: vec![
                field("less.drop_mm", "Drop", "mm", &["-3", "-1"]),
                field("comparable_method", "Method", "", &[""]),
            ],
        }],
        why: s("our runners are quick"),
        file: s(""),
        problems: vec![Problem { field: s("less.drop_mm"), say: s("Drop: write the lower end first.") }],
        overtaken: s("The policy was changed since you looked."),
        preview: Some(PolicyPreview {
            changes: vec![PolicyChange {
                label: s("less shoe, drop"),
                unit: "mm",
                now: s("-4 to -1"),
                then: s("-3 to -1"),
            }],
            moves: vec![moves],
            empty: false,
            why: s("our runners are quick"),
            apply: Some(Act::post("/policy", "apply", "yes")),
        }),
        defaults: Act::post("/policy", "defaults", "yes"),
    }
}

pub(crate) fn size_charts_page() -> SizeChartsPage {
    let rows = |maker: &str| Table {
        caption: format!("Size chart of {maker}"),
        heads: vec![
            Head::words("For"),
            Head::words("Label"),
            Head::number("Foot, mm"),
            Head::words("Beside the formula"),
        ],
        rows: vec![["Men", "EU 42", "262", "4.7 mm shorter"].map(Cell::text).into()],
    };
    SizeChartsPage {
        action: s("/size-charts"),
        makers: strings(&["Fennick", "Orrelby"]),
        maker: s("Fennick"),
        audience: s("men"),
        pasted: s("EU;mm"),
        problems: vec![Problem { field: s("file"), say: s("row 2: “26.2” is no foot length.") }],
        preview: Some(ChartPreview {
            say: s("6 labels of Fennick."),
            far: Some(s("1 of them is far away.")),
            rows: rows("Fennick"),
            keep: Act::post("/size-charts/keep", "maker", "Fennick"),
        }),
        kept: vec![KeptChart {
            maker: s("Orrelby"),
            rows: rows("Orrelby"),
            drop: Act::post("/size-charts/keep", "drop", "Orrelby"),
        }],
    }
}
