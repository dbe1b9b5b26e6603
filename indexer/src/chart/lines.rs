//! How a chart is kept: one line a label, in order, so that equal charts are equal texts.

use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::style::Audience;
use catalogue::units::{Mm, Tenths};

use super::{Chart, ChartRow};

impl Chart {
    /// The rows as lines of four words divided by tabs: audience, system, label, foot length in mm.
    pub fn to_lines(&self) -> String {
        let line = |row: &ChartRow| {
            let system = row.label.system().map_or("", SizeSystem::word);
            let foot = Tenths(row.foot.in_tenths());
            format!("{}\t{system}\t{}\t{foot}\n", row.audience.word(), row.label.printed())
        };
        self.rows.iter().map(line).collect()
    }

    /// A chart from its lines; `None` when a line is none of those.
    pub fn of_lines(maker: &str, text: &str) -> Option<Self> {
        let rows = text.lines().map(row).collect::<Option<Vec<_>>>()?;
        Some(Self { maker: maker.to_owned(), rows })
    }
}

fn row(line: &str) -> Option<ChartRow> {
    let mut words = line.split('\t');
    let audience = Audience::from_word(words.next()?)?;
    let system = SizeSystem::from_word(words.next()?)?;
    let label = SizeLabel::parse(Some(system), words.next()?)?;
    let foot = tenths(words.next()?).and_then(Mm::from_tenths)?;
    words.next().is_none().then_some(ChartRow { audience, label, foot })
}

fn tenths(text: &str) -> Option<i32> {
    let (whole, tenth) = text.split_once('.').unwrap_or((text, "0"));
    let digits = tenth.len() == 1 && whole.bytes().chain(tenth.bytes()).all(|b| b.is_ascii_digit());
    digits.then(|| format!("{whole}{tenth}").parse().ok()).flatten()
}
