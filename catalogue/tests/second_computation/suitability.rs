//! The ranking's contract, sections 5, 5.1 and 5.2: nearness, lines, caps, suitability and the injury caution.

use std::collections::BTreeMap;

use catalogue::measures::Measure;

use crate::bands::{Band, bands, value};
use crate::conflicts::{InForce, in_force};
use crate::rules::{Grade, Verdict};
use crate::share::{Share, Tenths, round};
use crate::sheet::Sheet;
use crate::visit::Case;

/// A runner made ready for judging shoes.
pub(crate) struct Prepared<'a> {
    pub(crate) case: Case<'a>,
    pub(crate) rules: Vec<InForce>,
    pub(crate) bands: [Band; 4],
}

/// What one shoe gets, line by line.
#[derive(Clone, Debug)]
pub(crate) struct Judged {
    pub(crate) sheet: Sheet,
    /// As compared with the bands.
    pub(crate) values: [Option<i64>; 4],
    pub(crate) nearness: [Option<i64>; 4],
    pub(crate) measures: [Tenths; 4],
    pub(crate) rules: BTreeMap<&'static str, Tenths>,
    /// By tissue; `None` is the cap over all rules.
    pub(crate) caps: BTreeMap<Option<&'static str>, Tenths>,
    /// The sum of the lines.
    pub(crate) total: Tenths,
    /// The sum held within 0..=1000.
    pub(crate) suitability: Tenths,
    pub(crate) known_weight: i64,
    pub(crate) caution: bool,
}

const WEIGHTS: [i64; 4] = [30, 40, 20, 10];
const BASE: i64 = 150;

impl<'a> Prepared<'a> {
    pub(crate) fn of(case: Case<'a>) -> Self {
        let rules = in_force(&case);
        let bands = bands(&case, &rules);
        Self { case, rules, bands }
    }

    pub(crate) fn judge(&self, sheet: &Sheet) -> Judged {
        let values = Measure::ALL.map(|measure| self.compared(sheet, measure));
        let nearness = [0, 1, 2, 3].map(|i| values[i].map(|value| nearness(&self.bands[i], value)));
        let measures = [0, 1, 2, 3].map(|i| measure_line(WEIGHTS[i], nearness[i]));
        let verdicts: Vec<(&InForce, Verdict)> =
            self.rules.iter().map(|rule| (rule, self.verdict(rule, sheet))).collect();
        let rules: BTreeMap<_, _> =
            verdicts.iter().map(|(r, v)| (r.rule.id, rule_line(r.rule.half_weight(), *v))).collect();
        let (caps, by_tissue) = self.caps(&rules);
        let total = Tenths::exactly(BASE)
            + measures.iter().copied().sum()
            + rules.values().copied().sum()
            + caps.values().copied().sum();
        Judged {
            sheet: sheet.clone(),
            values,
            nearness,
            measures,
            caution: is_cautioned(&verdicts, &by_tissue),
            rules,
            caps,
            total,
            suitability: total.clamped(0, 1000),
            known_weight: (0..4).filter(|i| values[*i].is_some()).map(|i| WEIGHTS[i]).sum(),
        }
    }

    /// A drop below 0 counts 0 unless the worn drop is below 0; masses are brought to the worn pair's size.
    fn compared(&self, sheet: &Sheet, measure: Measure) -> Option<i64> {
        let as_stated = value(sheet, measure, self.case.landing)?;
        Some(match measure {
            Measure::Drop if self.case.worn_drop().is_some_and(|worn| worn < 0) => as_stated,
            Measure::Drop => as_stated.max(0),
            Measure::Mass if self.bands[2].from_worn => self.at_worn_size(sheet, as_stated),
            _ => as_stated,
        })
    }

    /// 3 % a EU size, rounded half up to a tenth. A worn pair of unknown audience is taken for the runner's; the
    /// contract does not say whose audience counts for a candidate of none, so men's it is.
    fn at_worn_size(&self, sheet: &Sheet, mass: i64) -> i64 {
        let Some(worn) = &self.case.worn else { return mass };
        let policy = self.case.policy;
        let worn_at = worn.sheet.size_or_sample(policy, self.case.runner.audience);
        let twelfths = worn_at - sheet.size_or_sample(policy, self.case.runner.audience);
        let whole = 12 * 1000;
        let scaled = mass * (whole + i64::from(policy.mass_per_size) * twelfths);
        (2 * scaled + whole).div_euclid(2 * whole)
    }

    /// A rule that lost its conflict takes share 0, whatever the shoe lacks.
    fn verdict(&self, rule: &InForce, sheet: &Sheet) -> Verdict {
        if rule.lost { Verdict::Gives(Share::NOTHING) } else { (rule.rule.verdict)(&self.case, sheet) }
    }

    /// The caps by tissue and over all, and what each tissue counts in the end.
    fn caps(&self, lines: &BTreeMap<&'static str, Tenths>) -> (CapLines, BTreeMap<&'static str, Tenths>) {
        let mut caps = BTreeMap::new();
        let mut by_tissue = BTreeMap::new();
        for tissue in self.rules.iter().map(|r| r.rule.tissue) {
            let sum = |limited: bool| -> Tenths {
                let of = self.rules.iter().filter(|r| r.rule.tissue == tissue);
                of.filter(|r| (r.rule.grade == Grade::Limited) == limited).map(|r| lines[r.rule.id]).sum()
            };
            let counted = (sum(true).held_within(50) + sum(false)).held_within(100);
            caps.insert(Some(tissue), counted - (sum(true) + sum(false)));
            by_tissue.insert(tissue, counted);
        }
        let all: Tenths = by_tissue.values().copied().sum();
        caps.insert(None, all.held_within(150) - all);
        (caps, by_tissue)
    }
}

type CapLines = BTreeMap<Option<&'static str>, Tenths>;

/// Inside the band from 1000 in its middle to 900 at its ends, outside to 0 at the reach; floored.
pub(crate) fn nearness(band: &Band, value: i64) -> i64 {
    let width = band.to - band.from;
    if (band.from..=band.to).contains(&value) {
        let off = (2 * value - band.from - band.to).abs();
        return if width == 0 { 1000 } else { (1000 * width - 100 * off).div_euclid(width) };
    }
    let (distance, reach) = if value < band.from {
        (band.from - value, band.reach_below)
    } else {
        (value - band.to, band.reach_above)
    };
    (900 * reach - 900 * distance).div_euclid(reach).max(0)
}

fn measure_line(weight: i64, nearness: Option<i64>) -> Tenths {
    let line = |n: i64| round(7 * weight * n, 1000);
    match nearness {
        Some(n) => Tenths::exactly(line(n)),
        None => Tenths { at: line(500), low: 0, high: line(1000) },
    }
}

fn rule_line(half_weight: i64, verdict: Verdict) -> Tenths {
    match verdict {
        Verdict::Gives(share) => Tenths::exactly(share.of_tenths(half_weight)),
        Verdict::Missed(low, high) => {
            Tenths { at: 0, low: low.of_tenths(half_weight), high: high.of_tenths(half_weight) }
        }
    }
}

/// An injury rule of moderate grade that gives, or could give, -0.5 or lower; one of limited grade that gives -1;
/// or one tissue's rules that together take 5 points. *Whole* is read as a tissue there, as in the table.
fn is_cautioned(verdicts: &[(&InForce, Verdict)], by_tissue: &BTreeMap<&'static str, Tenths>) -> bool {
    let by_rule = verdicts.iter().filter(|(r, _)| r.rule.is_of_injury()).any(|(r, verdict)| {
        match (r.rule.grade, verdict) {
            (Grade::Moderate, Verdict::Gives(share) | Verdict::Missed(share, _)) => {
                share.is_at_most(Share::of(-1, 2))
            }
            (Grade::Limited, Verdict::Gives(share)) => share.is_at_most(Share::AGAINST),
            (Grade::Limited, Verdict::Missed(..)) => false,
        }
    });
    by_rule || by_tissue.values().any(|counted| counted.at <= -50)
}
