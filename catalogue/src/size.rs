//! Size labels as printed, and the foot length a label stands for.
//!
//! Formulas: the ISO/TS 19407:2015 adult and children's rules as implemented by npm shoe-size-converter 1.0.1
//! (MIT): last = foot + 2 sizes of the system for adults, last = foot x 1.08 for children. They are a model of
//! the label, not of a maker's last; a maker's own chart wins over them.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

use crate::key::MakerKey;
use crate::style::{Audience, words};

words! {
    /// A size system.
    SizeSystem {
        /// Paris points, 20/3 mm a size.
        Eu => "EU",
        /// Barleycorns, 1/3 in a size.
        Uk => "UK",
        /// As UK, counted from elsewhere for men, for women and for children.
        Us => "US",
        /// Foot length in mm (ISO 9407).
        Mondopoint => "MP",
        /// Foot length in cm.
        Cm => "CM",
    }
}

/// A size as printed, with its system where somebody has said it, and its value in twelfths.
///
/// Twelfths hold halves, thirds and quarters exactly. A clone is the same label once more, as small as one pointer.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SizeLabel(Arc<Label>);

#[derive(Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Label {
    system: Option<SizeSystem>,
    twelfths: u16,
    printed: Box<str>,
}

/// A foot length in 1/360 mm: every adult label of every system is a whole number of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FootLength(i32);

/// A foot length and where it comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LabelledFoot {
    /// The foot the label is made for.
    pub length: FootLength,
    /// The maker's chart or the formula.
    pub by: SizeSource,
}

/// Where a foot length comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizeSource {
    /// The maker's own size chart.
    Chart,
    /// The formula of the system.
    Formula,
}

/// The makers' own size charts; a row here wins over the formula.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SizeCharts {
    rows: BTreeMap<(MakerKey, Audience, SizeSystem, u16), FootLength>,
}

const TWELFTHS: u16 = 12;

impl SizeLabel {
    /// Reads `42`, `42.5`, `42,5`, `42 2/3`, `42⅔`, `42.67`, `9½`; `None` when it is no size.
    pub fn parse(system: Option<SizeSystem>, printed: &str) -> Option<Self> {
        let printed = printed.trim();
        let twelfths = parse_twelfths(printed)?;
        let sound = twelfths > 0 && twelfths <= 400 * TWELFTHS;
        sound.then(|| Self(Arc::new(Label { system, twelfths, printed: printed.into() })))
    }

    /// The label of a value in twelfths, printed plainly: `42`, `42.5`, `42 2/3`.
    pub fn of_twelfths(system: SizeSystem, twelfths: u16) -> Self {
        let printed = plain(twelfths).into_boxed_str();
        Self(Arc::new(Label { system: Some(system), twelfths, printed }))
    }

    /// The system, where known.
    pub fn system(&self) -> Option<SizeSystem> {
        self.0.system
    }

    /// The value in twelfths of a size.
    pub fn twelfths(&self) -> u16 {
        self.0.twelfths
    }

    /// The label as printed, without its system.
    pub fn printed(&self) -> &str {
        &self.0.printed
    }

    /// The label as part of a key: the same value printed in two ways gives the same key.
    pub fn key(&self) -> String {
        let system = self.0.system.map_or("unknown", SizeSystem::word).to_ascii_lowercase();
        format!("{system}-{}", plain(self.0.twelfths).replace([' ', '/'], "-"))
    }

    /// The foot this label is made for by the formula; `None` when its system (or for US labels the audience)
    /// is unknown. Unisex US labels count as men's.
    pub fn foot(&self, audience: Option<Audience>) -> Option<FootLength> {
        let t = i32::from(self.0.twelfths);
        let child = audience == Some(Audience::Youth);
        let length = match (self.0.system?, audience) {
            (SizeSystem::Mondopoint, _) => t * 30,
            (SizeSystem::Cm, _) => t * 300,
            (SizeSystem::Eu, _) if child => children(t * 200),
            (SizeSystem::Eu, _) => (t - 24) * 200,
            (SizeSystem::Uk, _) if child && t >= FIRST_CHILD_TWELFTHS => children((t + 144) * 254),
            (SizeSystem::Uk, _) => (t + 276) * 254,
            (SizeSystem::Us, None) => return None,
            (SizeSystem::Us, _) if child && t >= FIRST_CHILD_TWELFTHS => children((t + 140) * 254),
            (SizeSystem::Us, Some(Audience::Women)) => (t + 252) * 254,
            (SizeSystem::Us, Some(_)) => (t + 264) * 254,
        };
        (length > 0).then_some(FootLength(length))
    }
}

/// UK and US children's sizes run up to 13½ and start again at 1; a youth label from 8 on is of the lower run
/// (common practice).
const FIRST_CHILD_TWELFTHS: i32 = 8 * 12;

/// A children's last is 1.08 times the foot.
fn children(last: i32) -> i32 {
    (last * 100 + 54) / 108
}

impl fmt::Display for SizeLabel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.system {
            Some(system) => write!(f, "{} {}", system.word(), self.0.printed),
            None => write!(f, "{} (system unknown)", self.0.printed),
        }
    }
}

impl FootLength {
    /// A measured foot, in tenths of a mm.
    pub const fn of_mm_tenths(tenths: i32) -> Self {
        Self(tenths * 36)
    }

    /// The length in 1/360 mm.
    pub const fn in_360ths(self) -> i32 {
        self.0
    }

    /// The length in mm, rounded half up to a tenth: for printing.
    pub const fn mm_tenths(self) -> i32 {
        (self.0 + 18).div_euclid(36)
    }
}

impl SizeSystem {
    /// Half a size of the system, in 1/360 mm of foot length.
    pub const fn half_size(self) -> i32 {
        match self {
            Self::Eu => 1_200,
            Self::Uk | Self::Us => 1_524,
            Self::Mondopoint | Self::Cm => 1_800,
        }
    }

    /// The steps in twelfths in which sizes are proposed: halves, or 5 mm.
    pub(crate) const fn half_twelfths(self) -> u16 {
        match self {
            Self::Mondopoint => 60,
            _ => 6,
        }
    }

    /// The label nearest to a foot: rounded to halves, a tie goes up. `None` beyond what the system prints.
    pub fn nearest(self, foot: FootLength, audience: Option<Audience>) -> Option<SizeLabel> {
        let half = self.half_twelfths();
        let distance =
            |label: &SizeLabel| label.foot(audience).map_or(i32::MAX, |length| (length.0 - foot.0).abs());
        (1..=120_u16)
            .rev()
            .map(|halves| SizeLabel::of_twelfths(self, halves * half))
            .min_by_key(distance)
            .filter(|label| distance(label) <= self.half_size())
    }

    /// The working sizes proposed around a label: itself, half a size up, one size up.
    pub fn proposed(self, label: &SizeLabel) -> Vec<SizeLabel> {
        let half = self.half_twelfths();
        let up = |halves: u16| SizeLabel::of_twelfths(self, label.twelfths() + halves * half);
        vec![label.clone(), up(1), up(2)]
    }
}

impl SizeCharts {
    /// Adds a row of a maker's chart.
    pub fn add(&mut self, maker: MakerKey, audience: Audience, label: &SizeLabel, foot: FootLength) {
        if let Some(system) = label.system() {
            self.rows.insert((maker, audience, system, label.twelfths()), foot);
        }
    }

    /// The foot a label of this maker is made for: by the maker's chart, else by the formula.
    pub fn foot(
        &self,
        maker: &MakerKey,
        audience: Option<Audience>,
        label: &SizeLabel,
    ) -> Option<LabelledFoot> {
        let charted = audience.zip(label.system()).and_then(|(audience, system)| {
            self.rows.get(&(maker.clone(), audience, system, label.twelfths())).copied()
        });
        match charted {
            Some(length) => Some(LabelledFoot { length, by: SizeSource::Chart }),
            None => Some(LabelledFoot { length: label.foot(audience)?, by: SizeSource::Formula }),
        }
    }
}

/// Half the step of a run of labels, in 1/360 mm: half its smallest gap, or a quarter size when it is one label.
pub fn half_step_of_run(system: SizeSystem, feet: &[FootLength]) -> i32 {
    let mut lengths: Vec<i32> = feet.iter().map(|foot| foot.0).collect();
    lengths.sort_unstable();
    lengths.dedup();
    let smallest = lengths.windows(2).map(|pair| pair[1] - pair[0]).min();
    smallest.unwrap_or(system.half_size()) / 2
}

/// The EU size in twelfths nearest to a foot: masses are compared by EU sizes.
pub fn eu_twelfths(foot: FootLength) -> u16 {
    ((foot.0 + 100).div_euclid(200) + 24).clamp(0, i32::from(u16::MAX)) as u16
}

fn parse_twelfths(text: &str) -> Option<u16> {
    let (whole, fraction) = split_fraction(text)?;
    let whole: u16 = if whole.is_empty() { 0 } else { whole.parse().ok()? };
    whole.checked_mul(TWELFTHS)?.checked_add(fraction)
}

/// The whole part as text, and the fraction in twelfths.
fn split_fraction(text: &str) -> Option<(&str, u16)> {
    const VULGAR: [(&str, u16); 5] = [("½", 6), ("⅓", 4), ("⅔", 8), ("¼", 3), ("¾", 9)];
    if let Some((sign, twelfths)) = VULGAR.iter().find(|(sign, _)| text.ends_with(sign)) {
        return Some((digits(text.strip_suffix(sign)?.trim_end())?, *twelfths));
    }
    if let Some((whole, fraction)) = text.split_once([' ', '-', '\u{a0}']) {
        return Some((digits(whole)?, slash_twelfths(fraction.trim())?));
    }
    match text.split_once(['.', ',']) {
        Some((whole, fraction)) if fraction.contains('/') => {
            Some((digits(whole)?, slash_twelfths(fraction)?))
        }
        Some((whole, decimals)) => Some((digits(whole)?, decimal_twelfths(decimals)?)),
        None => Some((digits(text)?, 0)),
    }
}

fn digits(text: &str) -> Option<&str> {
    let sound = (1..=4).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    sound.then_some(text)
}

fn slash_twelfths(text: &str) -> Option<u16> {
    match text {
        "1/2" => Some(6),
        "1/3" => Some(4),
        "2/3" => Some(8),
        "1/4" => Some(3),
        "3/4" => Some(9),
        _ => None,
    }
}

fn decimal_twelfths(text: &str) -> Option<u16> {
    match text {
        "0" | "00" => Some(0),
        "5" | "50" => Some(6),
        "3" | "33" | "333" => Some(4),
        "6" | "7" | "66" | "67" | "667" => Some(8),
        "25" => Some(3),
        "75" => Some(9),
        _ => None,
    }
}

fn plain(twelfths: u16) -> String {
    let whole = twelfths / TWELFTHS;
    match twelfths % TWELFTHS {
        0 => format!("{whole}"),
        3 => format!("{whole}.25"),
        4 => format!("{whole} 1/3"),
        6 => format!("{whole}.5"),
        8 => format!("{whole} 2/3"),
        9 => format!("{whole}.75"),
        odd => format!("{whole} {odd}/12"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn eu(printed: &str) -> SizeLabel {
        SizeLabel::parse(Some(SizeSystem::Eu), printed).unwrap()
    }

    #[test]
    fn one_size_printed_in_many_ways_is_one_size() {
        for printed in ["42 2/3", "42⅔", "42 ⅔", "42.67", "42,67", "42-2/3", "42.2/3", "42.7"] {
            assert_eq!(eu(printed).twelfths(), 42 * 12 + 8, "{printed}");
            assert_eq!(eu(printed).key(), "eu-42-2-3");
            assert_eq!(eu(printed).printed(), printed);
        }
        assert_eq!(SizeLabel::parse(None, "9½").unwrap().twelfths(), 114);
    }

    #[test]
    fn what_is_no_size_is_refused() {
        for text in ["", "S", "42.1", "42/2", "May 10", "-42", "0", "12345", "10 1/7", "4 2"] {
            assert_eq!(SizeLabel::parse(Some(SizeSystem::Eu), text), None, "{text:?}");
        }
    }

    /// Source: tests/tables/shoe_size_formula_adult.csv (ISO/TS 19407 rule as run by an npm package).
    #[test]
    fn a_label_without_its_system_has_no_foot() {
        assert_eq!(SizeLabel::parse(None, "42").unwrap().foot(Some(Audience::Men)), None);
        assert_eq!(SizeLabel::parse(Some(SizeSystem::Us), "9").unwrap().foot(None), None);
    }

    /// Source: standards, "7 2/3 in = 194.733 mm must give US men exactly 1".
    #[test]
    fn us_mens_one_is_seven_and_two_thirds_inches_of_foot() {
        let label = SizeLabel::parse(Some(SizeSystem::Us), "1").unwrap();
        let foot = label.foot(Some(Audience::Men)).unwrap();
        assert_eq!(foot.in_360ths(), 23 * 254 * 12, "1/360 mm");
    }

    /// Source: the npm package's readme: EU 36.5, 230 mm, UK 4, US men 5, US women 6.
    #[test]
    fn the_nearest_label_follows_the_published_row() {
        let foot = FootLength::of_mm_tenths(2300);
        let label =
            |system: SizeSystem, audience| system.nearest(foot, Some(audience)).unwrap().printed().to_owned();
        assert_eq!(label(SizeSystem::Eu, Audience::Men), "36.5");
        assert_eq!(label(SizeSystem::Uk, Audience::Men), "4");
        assert_eq!(label(SizeSystem::Us, Audience::Men), "5");
        assert_eq!(label(SizeSystem::Us, Audience::Women), "6");
        assert_eq!(label(SizeSystem::Mondopoint, Audience::Men), "230");
    }

    #[test]
    fn a_tie_between_two_labels_goes_up() {
        let label = SizeSystem::Eu.nearest(FootLength::of_mm_tenths(2550), None).unwrap();
        assert_eq!(label.printed(), "40.5");
    }

    #[test]
    fn the_step_of_a_run_is_its_smallest_gap_and_half_a_size_for_one_label() {
        let feet: Vec<_> = ["42", "42 2/3", "43 1/3"].iter().map(|s| eu(s).foot(None).unwrap()).collect();
        assert_eq!(half_step_of_run(SizeSystem::Eu, &feet), 800);
        assert_eq!(half_step_of_run(SizeSystem::Eu, &feet[..1]), 600);
    }

    #[test]
    fn a_makers_chart_wins_over_the_formula() {
        let maker = MakerKey::of("Orrelby").unwrap();
        let mut charts = SizeCharts::default();
        charts.add(maker.clone(), Audience::Men, &eu("42"), FootLength::of_mm_tenths(2650));
        let foot = charts.foot(&maker, Some(Audience::Men), &eu("42")).unwrap();
        assert_eq!((foot.by, foot.length.mm_tenths()), (SizeSource::Chart, 2650));
        assert_eq!(charts.foot(&maker, Some(Audience::Women), &eu("42")).unwrap().by, SizeSource::Formula);
    }

    #[test]
    fn masses_are_compared_by_the_eu_size_of_the_foot() {
        let uk9 = SizeLabel::parse(Some(SizeSystem::Uk), "9").unwrap();
        assert_eq!(eu_twelfths(uk9.foot(None).unwrap()), 512, "UK 9 is EU 42.64 by the formula");
        assert_eq!(eu_twelfths(eu("42.5").foot(None).unwrap()), 510);
    }
}
