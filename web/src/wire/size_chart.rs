//! The reply of `size-chart --json`.

use indexer::chart::{Chart, ChartRow};
use indexer::store::ChangeId;
use serde::Serialize;

/// A chart, and the change that was made of it, if any.
#[derive(Clone, Debug, Serialize)]
pub struct SizeChartReply {
    maker: String,
    change: Option<i64>,
    labels: Vec<LabelReply>,
}

#[derive(Clone, Debug, Serialize)]
struct LabelReply {
    audience: &'static str,
    system: Option<&'static str>,
    label: String,
    foot_mm: f64,
    beside_the_formula_mm: Option<f64>,
}

impl SizeChartReply {
    /// The reply of a chart.
    pub fn of(chart: &Chart, change: Option<ChangeId>) -> Self {
        let mm = |tenths: i32| f64::from(tenths) / 10.0;
        let label = |row: &ChartRow| LabelReply {
            audience: row.audience.word(),
            system: row.label.system().map(catalogue::size::SizeSystem::word),
            label: row.label.printed().to_owned(),
            foot_mm: mm(row.foot.in_tenths()),
            beside_the_formula_mm: row.beside_the_formula().map(mm),
        };
        Self {
            maker: chart.maker.clone(),
            change: change.map(|change| change.0),
            labels: chart.rows.iter().map(label).collect(),
        }
    }
}
