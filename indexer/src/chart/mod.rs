//! A maker's size chart: which foot each label is made for, by the maker's own word. It wins over the formula.
//!
//! A chart is small and comes whole, so it is read whole and kept whole, one a maker: `read` turns a sheet into a
//! chart or says what is wrong with it, `lines` is how a chart is kept.

mod columns;
mod lines;
mod read;

pub use read::{ChartFault, ChartTold, read_chart};

use catalogue::key::MakerKey;
use catalogue::size::{FootLength, SizeCharts, SizeLabel};
use catalogue::style::Audience;
use catalogue::units::Mm;

/// One maker's chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chart {
    /// The maker as printed.
    pub maker: String,
    /// By audience, system and label; each label once.
    pub rows: Vec<ChartRow>,
}

/// One label of a chart.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ChartRow {
    /// For whom.
    pub audience: Audience,
    /// The label, with its system.
    pub label: SizeLabel,
    /// The foot it is made for.
    pub foot: Mm,
}

impl Chart {
    /// The key of its maker; `None` for a name without letter or digit, which no chart that was read has.
    pub fn key(&self) -> Option<MakerKey> {
        MakerKey::of(&self.maker)
    }

    /// Adds its rows to the charts of a snapshot.
    pub fn add_to(&self, charts: &mut SizeCharts) {
        let Some(maker) = self.key() else { return };
        for row in &self.rows {
            let foot = FootLength::of_mm_tenths(row.foot.in_tenths());
            charts.add(maker.clone(), row.audience, &row.label, foot);
        }
    }
}

impl ChartRow {
    /// How far the maker's foot is from the formula's, tenths of mm; `None` where the formula gives none.
    pub fn beside_the_formula(&self) -> Option<i32> {
        let formula = self.label.foot(Some(self.audience))?.mm_tenths();
        Some(self.foot.in_tenths() - formula)
    }
}

#[cfg(test)]
mod tests;
