//! Makers' size charts: one is sent in, read beside the formula, and kept; those that are kept stand below.

use maud::{Markup, html};

use crate::parts::act::{Act, Tone};
use crate::parts::layout::{Frame, Width, heading, page};
use crate::parts::problems::{Problem, at, summary, title};
use crate::parts::table::Table;
use crate::words;

/// The page.
#[derive(Clone, Debug)]
pub struct SizeChartsPage {
    /// Where a chart is posted, as `multipart/form-data`.
    pub action: String,
    /// Makers already known, offered below the field.
    pub makers: Vec<String>,
    /// The maker as typed.
    pub maker: String,
    /// For whom, as chosen: `women`, `men`, `unisex`, `youth`, or blank.
    pub audience: String,
    /// What was pasted.
    pub pasted: String,
    /// What was wrong.
    pub problems: Vec<Problem>,
    /// What was read; `None` before that.
    pub preview: Option<ChartPreview>,
    /// The charts that are kept.
    pub kept: Vec<KeptChart>,
}

/// A chart that was read.
#[derive(Clone, Debug)]
pub struct ChartPreview {
    /// How many labels, and of whom.
    pub say: String,
    /// How many are far from the formula; `None` when none is.
    pub far: Option<String>,
    /// Label by label.
    pub rows: Table,
    /// Keeps it.
    pub keep: Act,
}

/// A chart that is kept.
#[derive(Clone, Debug)]
pub struct KeptChart {
    /// Whose.
    pub maker: String,
    /// Label by label.
    pub rows: Table,
    /// Takes it off.
    pub drop: Act,
}

const WHOM: [(&str, &str); 5] = [
    ("", word!("The chart says it")),
    ("unisex", word!("Women and men alike")),
    ("women", word!("Women")),
    ("men", word!("Men")),
    ("youth", word!("Youth")),
];

impl SizeChartsPage {
    /// The whole page.
    pub fn view(&self, frame: &Frame) -> Markup {
        let lead =
            say!("A maker's own chart says which foot a label is made for, and wins over the formula.");
        let body = html! {
            (summary(&self.problems))
            (heading(say!("Size charts"), lead))
            @if let Some(preview) = &self.preview { (preview.view()) }
            (self.form())
            @if !self.kept.is_empty() { h2 { (say!("Kept")) } }
            @for chart in &self.kept { (chart.view()) }
        };
        page(frame, &title(say!("Size charts"), &self.problems), Width::Wide, &body)
    }

    fn form(&self) -> Markup {
        let file = at(&self.problems, "file");
        html! {
            form .upload method="post" action=(self.action) enctype="multipart/form-data" novalidate {
                (self.maker())
                fieldset .field {
                    legend { (say!("For whom")) }
                    div .choices { @for (value, label) in WHOM {
                        label .choice { input type="radio" name="audience" value=(value) checked[self.audience == value]; span { (words::of(label)) } }
                    } }
                }
                div .field .wrong[file.is_some()] {
                    label for="file" { (say!("Chart")) }
                    p .hint #file-hint { (say!("A text table or a workbook: one column “foot length mm” or “foot length cm”, one column a system: EU, UK, US men, US women.")) }
                    @if let Some(error) = file { p .error { (error) } }
                    input #file name="file" type="file" accept=".csv,.tsv,.txt,.xlsx,.ods" aria-describedby="file-hint";
                }
                details .paste open[!self.pasted.is_empty()] {
                    summary { (say!("Or paste its cells")) }
                    div .field {
                        label for="pasted" { (say!("Cells, with the row of headings")) }
                        textarea #pasted name="pasted" rows="8" spellcheck="false" autocomplete="off" { "\n" (self.pasted) }
                    }
                }
                p .buttons { button .button .quiet[self.preview.is_some()] type="submit" { (say!("Look at it first")) } }
            }
        }
    }

    fn maker(&self) -> Markup {
        let error = at(&self.problems, "supplier");
        html! {
            div .field .wrong[error.is_some()] {
                label for="supplier" { (say!("Maker")) }
                @if let Some(error) = error { p .error { (error) } }
                input #supplier .words name="supplier" type="text" list="makers" value=(self.maker) autocomplete="off";
                datalist #makers { @for maker in &self.makers { option value=(maker) {} } }
            }
        }
    }
}

impl ChartPreview {
    fn view(&self) -> Markup {
        html! {
            section .preview aria-labelledby="preview" {
                h2 #preview { (say!("What was read")) }
                p { (self.say) }
                @if let Some(far) = &self.far { p .remark { (far) } }
                (self.rows)
                div .buttons { (self.keep.button(say!("Keep this chart"), say!("Keep this chart"), Tone::Main)) }
            }
        }
    }
}

impl KeptChart {
    fn view(&self) -> Markup {
        html! {
            details {
                summary { b { (self.maker) } span .state { (self.rows.rows.len()) " " (say!("labels")) } }
                (self.rows)
                div .buttons { (self.drop.button(say!("Take it off"), &say!("Take the chart of {maker} off", maker = self.maker), Tone::Quiet)) }
            }
        }
    }
}
