//! From a sheet to a chart: which row holds the headings, what each row says, and what cannot be.

use std::collections::BTreeMap;

use catalogue::key::MakerKey;
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::Audience;
use catalogue::units::{Decimal, Mm};

use super::columns::{ChartColumn, columns, for_whom};
use super::{Chart, ChartRow};
use crate::sheet::{Place, Row, Sheet, Tab};

/// What the owner says beside the sheet.
#[derive(Clone, Debug, Default)]
pub struct ChartTold {
    /// Whose chart it is, as printed.
    pub maker: String,
    /// For whom it is, where neither heading nor row says so. Unisex holds for women and men too.
    pub audience: Option<Audience>,
}

/// What is wrong with a chart. A chart with any fault is not taken: half a chart would size shoes by two measures.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}{say}", place.as_ref().map_or(String::new(), |place| format!("{place}: ")))]
pub struct ChartFault {
    /// Where; `None` for the chart as a whole.
    pub place: Option<Place>,
    /// What, and what to do.
    pub say: String,
}

/// Feet shorter or longer than this are a slip of the pen, tenths of mm. *Our choice*.
const FEET: std::ops::RangeInclusive<i32> = 800..=4_000;

/// Reads the first tab that has a row of chart headings.
pub fn read_chart(sheet: &Sheet, told: &ChartTold) -> Result<Chart, Vec<ChartFault>> {
    let of_chart = |say: &str| vec![ChartFault { place: None, say: say.to_owned() }];
    if MakerKey::of(&told.maker).is_none() {
        return Err(of_chart("Say whose chart it is: a maker's name has a letter or a digit."));
    }
    let headed = sheet.tabs.iter().find_map(|tab| {
        let found = tab.rows.iter().enumerate().find_map(|(at, row)| Some((at, columns(row)?)));
        found.map(|(at, columns)| (tab, at, columns))
    });
    let Some((tab, at, columns)) = headed else {
        return Err(of_chart(
            "No row of headings was found. Head one column “foot length mm” or “foot length cm”, and each column of labels EU, UK, US men or US women.",
        ));
    };
    let mut reader = Reader { tab, columns: &columns, told, rows: BTreeMap::new(), faults: Vec::new() };
    tab.rows.iter().skip(at + 1).for_each(|row| reader.row(row));
    reader.finished()
}

struct Reader<'s> {
    tab: &'s Tab,
    columns: &'s [(u16, ChartColumn)],
    told: &'s ChartTold,
    /// By audience, system and label in twelfths: each label once, with where it stands.
    rows: BTreeMap<(Audience, SizeSystem, u16), (ChartRow, Place)>,
    faults: Vec<ChartFault>,
}

impl Reader<'_> {
    fn row(&mut self, row: &Row) {
        let Some((at, foot)) = self.foot(row) else { return };
        let Some(foot) = foot.filter(|foot| FEET.contains(foot)).and_then(Mm::from_tenths) else {
            let text = row.cell(at);
            return self.fault(
                row,
                at,
                &format!("“{text}” is no foot length of 80 to 400 mm; is the column in cm or in mm?"),
            );
        };
        let own = self.own_audience(row);
        for (at, column) in self.columns {
            if let ChartColumn::Labels(system, whom) = column {
                self.label(row, *at, *system, whom.or(own).or(self.told.audience), foot);
            }
        }
    }

    /// The column of foot lengths and what it says in tenths of mm; `None` for a row without one, such as a note.
    fn foot(&self, row: &Row) -> Option<(u16, Option<i32>)> {
        let unit =
            |column: &ChartColumn| if let ChartColumn::Foot(unit) = column { Some(*unit) } else { None };
        let (at, unit) = self.columns.iter().find_map(|(at, column)| Some((*at, unit(column)?)))?;
        let text = row.cell(at).trim();
        (!text.is_empty()).then(|| {
            (at, Decimal::parse(&text.replace(',', "."), '.').and_then(|n| n.scaled(unit.into(), 1)))
        })
    }

    fn own_audience(&self, row: &Row) -> Option<Audience> {
        let column = self.columns.iter().find(|(_, column)| *column == ChartColumn::Audience)?;
        for_whom(row.cell(column.0))
    }

    fn label(&mut self, row: &Row, at: u16, system: SizeSystem, whom: Option<Audience>, foot: Mm) {
        let text = row.cell(at).trim();
        if text.is_empty() || text == "-" {
            return;
        }
        let Some(label) = SizeLabel::parse(Some(system), text) else {
            return self.fault(
                row,
                at,
                &format!("“{text}” is no size label; write one a cell, such as 42, 42.5 or 42 2/3."),
            );
        };
        let Some(whom) = whom else {
            return self.fault(
                row,
                at,
                "Nobody says for whom this label is; choose women, men or unisex beside the sheet.",
            );
        };
        let audiences: &[Audience] = match whom {
            Audience::Unisex => &[Audience::Women, Audience::Men, Audience::Unisex],
            Audience::Women => &[Audience::Women],
            Audience::Men => &[Audience::Men],
            Audience::Youth => &[Audience::Youth],
        };
        for audience in audiences {
            self.take(row, at, ChartRow { audience: *audience, label: label.clone(), foot });
        }
    }

    fn take(&mut self, row: &Row, at: u16, chart: ChartRow) {
        let Some(system) = chart.label.system() else { return };
        let key = (chart.audience, system, chart.label.twelfths());
        let place = self.tab.cell_place(row, at);
        match self.rows.get(&key) {
            Some((known, first)) if known.foot != chart.foot => {
                let say = format!(
                    "{} stands for {} here and for {} in {first}; keep one.",
                    chart.label, chart.foot, known.foot
                );
                self.fault(row, at, &say);
            }
            Some(_) => {}
            None => {
                self.rows.insert(key, (chart, place));
            }
        }
    }

    /// Larger labels are made for longer feet.
    fn finished(mut self) -> Result<Chart, Vec<ChartFault>> {
        let rows: Vec<(ChartRow, Place)> = self.rows.into_values().collect();
        for pair in rows.windows(2) {
            let [(smaller, _), (larger, place)] = pair else { continue };
            let run = |row: &ChartRow| (row.audience, row.label.system());
            if run(smaller) == run(larger) && smaller.foot >= larger.foot {
                let say = format!(
                    "{} is made for {}, no longer than {} for {}; larger labels have longer feet.",
                    larger.label, larger.foot, smaller.foot, smaller.label
                );
                self.faults.push(ChartFault { place: Some(place.clone()), say });
            }
        }
        if rows.is_empty() && self.faults.is_empty() {
            self.faults
                .push(ChartFault { place: None, say: "There is no label below the headings.".to_owned() });
        }
        if !self.faults.is_empty() {
            return Err(self.faults);
        }
        let rows = rows.into_iter().map(|(row, _)| row).collect();
        Ok(Chart { maker: self.told.maker.trim().to_owned(), rows })
    }

    fn fault(&mut self, row: &Row, at: u16, say: &str) {
        self.faults.push(ChartFault { place: Some(self.tab.cell_place(row, at)), say: say.to_owned() });
    }
}
