//! Makers' size charts as the owner sends them in: what was read beside the formula, and what stands.

use std::collections::BTreeSet;

use catalogue::style::Audience;
use indexer::chart::{Chart, ChartFault, ChartRow, ChartTold};
use indexer::snapshot::Snapshot;

use super::sent::Posted;
use crate::pages::size_charts::{ChartPreview, KeptChart, SizeChartsPage};
use crate::parts::act::Act;
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::parts::table::{Cell, Head, Table};
use crate::visit::capital;
use crate::visit::shoe::plain;
use crate::words;

/// The address of the page.
pub const SIZE_CHARTS: &str = "/size-charts";
/// A foot further than this from the formula's is marked: about a size, tenths of mm. *Our choice*.
const FAR: i32 = 70;

/// What the owner says beside the chart.
pub fn told(posted: &Posted) -> ChartTold {
    ChartTold { maker: posted.supplier.clone(), audience: Audience::from_word(&posted.audience) }
}

/// The page: the form as it was filled in, what is wrong, and the charts that are kept.
pub fn page(charts: &[Chart], snapshot: &Snapshot, typed: &Posted, problems: Vec<Problem>) -> SizeChartsPage {
    let makers: BTreeSet<&str> = snapshot.styles().iter().map(|style| style.maker.as_str()).collect();
    SizeChartsPage {
        action: SIZE_CHARTS.to_owned(),
        makers: makers.into_iter().map(ToOwned::to_owned).collect(),
        maker: typed.supplier.clone(),
        audience: typed.audience.clone(),
        pasted: typed.pasted.clone(),
        problems,
        preview: None,
        kept: charts.iter().map(|chart| kept(chart, snapshot)).collect(),
    }
}

fn kept(chart: &Chart, snapshot: &Snapshot) -> KeptChart {
    let fields = [("drop", chart.maker.clone()), ("at", snapshot.seq().0.to_string())];
    KeptChart {
        rows: rows(chart),
        drop: Act::Post {
            action: format!("{SIZE_CHARTS}/keep"),
            fields: fields.map(|(name, value)| (name.to_owned(), value)).into(),
        },
        maker: chart.maker.clone(),
    }
}

/// What was read, before it is kept.
pub fn preview(chart: &Chart, snapshot: &Snapshot) -> ChartPreview {
    let far = chart.rows.iter().filter_map(ChartRow::beside_the_formula).filter(|by| by.abs() > FAR).count();
    let key = chart.key();
    let of_maker = snapshot.styles().iter().filter(|style| Some(style.key.maker()) == key).count();
    let fields =
        [("maker", chart.maker.clone()), ("lines", chart.to_lines()), ("at", snapshot.seq().0.to_string())];
    ChartPreview {
        say: say!(
            "{rows} labels of {maker}, of whom the catalogue holds {of_maker} styles. A label that is not in the chart goes by the formula.",
            rows = chart.rows.len(),
            maker = chart.maker,
            of_maker
        ),
        far: (far > 0).then(|| {
            say!(
                "{far} of them are more than {value} mm away from the formula: look at those first.",
                far,
                value = FAR / 10
            )
        }),
        rows: rows(chart),
        keep: Act::Post {
            action: format!("{SIZE_CHARTS}/keep"),
            fields: fields.map(|(name, value)| (name.to_owned(), value)).into(),
        },
    }
}

fn rows(chart: &Chart) -> Table {
    let row = |row: &ChartRow| {
        let beside = row.beside_the_formula();
        let by = beside.map_or_else(|| say!("no formula").to_owned(), in_words);
        let cell = Cell::text(by);
        vec![
            Cell::text(capital(words::of(row.audience.word()))),
            Cell::text(row.label.to_string()),
            Cell::text(plain(row.foot.in_tenths())),
            if beside.is_some_and(|by| by.abs() > FAR) { Cell { differs: true, ..cell } } else { cell },
        ]
    };
    Table {
        caption: say!("Size chart of {maker}", maker = chart.maker),
        heads: vec![
            Head::words(say!("For")),
            Head::words(say!("Label")),
            Head::number(say!("Foot, mm")),
            Head::words(say!("Beside the formula")),
        ],
        rows: chart.rows.iter().map(row).collect(),
    }
}

fn in_words(by: i32) -> String {
    match by {
        0 => say!("the same").to_owned(),
        longer @ 1.. => say!("{longer} mm longer", longer = plain(longer)),
        shorter => say!("{shorter} mm shorter", shorter = plain(-shorter)),
    }
}

/// What is wrong with a chart, at the fields of the form.
pub fn problems(faults: &[ChartFault]) -> Vec<Problem> {
    faults
        .iter()
        .map(|fault| Problem { field: "file".to_owned(), say: words::made(&fault.to_string()) })
        .collect()
}

/// What is kept or taken off, from the form behind a button.
pub enum Kept {
    /// This chart.
    Chart(Chart),
    /// The chart of this maker is taken off.
    Dropped(String),
}

/// Reads the form behind a button; `None` when it is none of ours.
pub fn read(answers: &Answers) -> Option<Kept> {
    match answers.get("drop") {
        "" => Chart::of_lines(answers.get("maker"), answers.get("lines"))
            .filter(|chart| !chart.rows.is_empty() && chart.key().is_some())
            .map(Kept::Chart),
        maker => Some(Kept::Dropped(maker.to_owned())),
    }
}
