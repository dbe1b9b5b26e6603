//! From rules to lines: which rules are in force, which lose a conflict, what each gives, and the caps.

use super::case::Case;
use super::explanation::{Line, RuleLine, What};
use super::points::Points;
use crate::evidence::Grade;
use crate::injury::Injury;
use crate::measures::Measures;
use crate::rules::{Pulled, RULES, Rule, Share, Speaks, Tissue, Verdict};

/// Rules of limited grade together count at most this much a tissue, tenths of a point.
const LIMITED_CAP: i32 = 50;
/// All rules of a tissue.
const TISSUE_CAP: i32 = 100;
/// All rules.
const TOTAL_CAP: i32 = 150;

/// A rule in force, and whether it lost a conflict.
#[derive(Clone, Copy, Debug)]
pub struct RuleInForce {
    /// The rule.
    pub rule: &'static Rule,
    /// The rule it lost to, or with; it takes share 0.
    pub lost_to: Option<&'static Rule>,
}

/// Two rules that pull one measure apart.
#[derive(Clone, Copy, Debug)]
pub struct Clash {
    /// The measure.
    pub on: Pulled,
    /// The rule that pulls it up.
    pub up: &'static Rule,
    /// The rule that pulls it down.
    pub down: &'static Rule,
    /// The rule that stays; `None`: both have lost, and the page asks which pain is current.
    pub kept: Option<&'static Rule>,
}

/// The rules in force for one runner.
#[derive(Clone, Debug)]
pub(super) struct InForce {
    of_shoes: Vec<RuleInForce>,
    notes: Vec<&'static Rule>,
    clashes: Vec<Clash>,
}

impl InForce {
    pub(super) fn of(case: &Case) -> Self {
        let (of_shoes, notes): (Vec<_>, Vec<_>) = RULES
            .iter()
            .copied()
            .filter(|rule| (rule.applies)(case))
            .partition(|rule| matches!(rule.speaks, Speaks::OfShoe(_)));
        let of_shoes = of_shoes.into_iter().map(|rule| RuleInForce { rule, lost_to: None }).collect();
        let mut in_force = Self { of_shoes, notes, clashes: Vec::new() };
        in_force.settle(case);
        in_force
    }

    /// Settles conflicts measure by measure: first between injury rules, then against the others.
    fn settle(&mut self, case: &Case) {
        for on in Pulled::ALL.iter().copied() {
            if let Some((up, down)) = self.pair(on, |rule| rule.is_injury_rule()) {
                let kept = current(case, up, down);
                self.clash(Clash { on, up, down, kept });
            }
            if let Some((up, down)) = self.pair(on, |_| true) {
                let kept = if up.is_injury_rule() { up } else { down };
                self.clash(Clash { on, up, down, kept: Some(kept) });
            }
        }
    }

    /// A rule that pulls `on` up and one that pulls it down, neither of which has lost.
    fn pair(&self, on: Pulled, of: fn(&Rule) -> bool) -> Option<(&'static Rule, &'static Rule)> {
        let pulls = |up: bool| {
            self.kept().find(|rule| of(rule) && rule.pull.is_some_and(|pull| pull.on == on && pull.up == up))
        };
        pulls(true).zip(pulls(false))
    }

    fn clash(&mut self, clash: Clash) {
        for rule in &mut self.of_shoes {
            let (is_up, is_down) = (rule.rule.id == clash.up.id, rule.rule.id == clash.down.id);
            let is_kept = clash.kept.is_some_and(|kept| kept.id == rule.rule.id);
            if (is_up || is_down) && !is_kept {
                rule.lost_to = Some(if is_up { clash.down } else { clash.up });
            }
        }
        self.clashes.push(clash);
    }

    pub(super) fn all(&self) -> &[RuleInForce] {
        &self.of_shoes
    }

    pub(super) fn notes(&self) -> &[&'static Rule] {
        &self.notes
    }

    pub(super) fn clashes(&self) -> &[Clash] {
        &self.clashes
    }

    /// Rules that speak of shoes and have not lost.
    pub(super) fn kept(&self) -> impl Iterator<Item = &'static Rule> {
        self.of_shoes.iter().filter(|rule| rule.lost_to.is_none()).map(|rule| rule.rule)
    }

    pub(super) fn is_in_force(&self, id: &str) -> bool {
        self.kept().any(|rule| rule.id == id)
    }

    /// Judges a shoe by every rule in force. Lines that count go to `note`; sentences without points come back.
    pub(super) fn judge(
        &self,
        case: &Case,
        shoe: &Measures,
        note: &mut dyn FnMut(Line),
    ) -> (Tally, Vec<Line>) {
        let mut tally = Tally::default();
        let mut printed = Vec::new();
        for entry in &self.of_shoes {
            let Speaks::OfShoe(judge) = entry.rule.speaks else { continue };
            let verdict = judge(case, shoe);
            let line = || Line::of_rule(entry, verdict);
            match verdict {
                Verdict::Silent => {}
                Verdict::Printed(_) => printed.push(line()),
                Verdict::Share(..) | Verdict::Missed(..) => {
                    if entry.lost_to.is_none() {
                        tally.add(entry.rule, verdict);
                    }
                    note(line());
                }
            }
        }
        (tally, printed)
    }
}

/// The rule whose pain is current: exactly one side said to be, else exactly one side painful.
fn current(case: &Case, up: &'static Rule, down: &'static Rule) -> Option<&'static Rule> {
    let any = |rule: &Rule, test: fn(&Injury) -> bool| {
        case.runner.injuries.iter().any(|injury| rule.regions.contains(&injury.region) && test(injury))
    };
    let only = |test: fn(&Injury) -> bool| match (any(up, test), any(down, test)) {
        (true, false) => Some(up),
        (false, true) => Some(down),
        _ => None,
    };
    only(|injury| injury.current.is_yes()).or_else(|| only(|injury| injury.painful.is_yes()))
}

/// The line of a verdict in tenths of a point.
pub(super) fn points_of(grade: Grade, verdict: Verdict) -> Points {
    let line = |share: Share| share.line(grade);
    match verdict {
        Verdict::Silent | Verdict::Printed(_) => Points::default(),
        Verdict::Share(share, _) => Points::exactly(line(share)),
        Verdict::Missed(_, low, high) => Points { at: 0, low: line(low), high: line(high) },
    }
}

/// What the rules give one shoe, tissue by tissue, before and after the caps.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Tally {
    limited: [Points; TISSUES],
    stronger: [Points; TISSUES],
    cautioned: bool,
}

const TISSUES: usize = Tissue::ALL.len();

impl Tally {
    fn add(&mut self, rule: &Rule, verdict: Verdict) {
        let grade = rule.evidence.grade;
        self.count(rule, points_of(grade, verdict));
        self.cautioned |= rule.is_injury_rule() && is_caution(grade, verdict);
    }

    /// Counts the points of a rule under its grade and its tissue.
    pub(super) fn count(&mut self, rule: &Rule, points: Points) {
        let limited = rule.evidence.grade == Grade::Limited;
        let of_grade = if limited { &mut self.limited } else { &mut self.stronger };
        of_grade[rule.tissue as usize] += points;
    }

    fn tissue(&self, tissue: usize) -> Points {
        self.limited[tissue].clamped(LIMITED_CAP) + self.stronger[tissue]
    }

    fn uncapped_total(&self) -> Points {
        (0..TISSUES).map(|t| self.tissue(t).clamped(TISSUE_CAP)).fold(Points::default(), |a, b| a + b)
    }

    /// All rules together, capped.
    pub(super) fn total(&self) -> Points {
        self.uncapped_total().clamped(TOTAL_CAP)
    }

    /// An injury rule speaks against the shoe, or one tissue's rules together take five points off it. *Whole*
    /// counts as a tissue here: two cautions against a minimal shoe hold it back as an injury would.
    pub(super) fn is_cautioned(&self) -> bool {
        self.cautioned || (0..TISSUES).any(|t| self.tissue(t).clamped(TISSUE_CAP).at <= -50)
    }

    /// The lines that carry what the caps took.
    pub(super) fn caps(&self) -> impl Iterator<Item = Line> {
        let mut lines = Vec::new();
        let mut cap = |tissue: Option<Tissue>, before: Points, after: Points| {
            let points = after - before;
            if !points.is_zero() {
                lines.push(Line { what: What::Cap(tissue), points });
            }
        };
        for (t, tissue) in Tissue::ALL.iter().copied().enumerate() {
            cap(Some(tissue), self.limited[t], self.limited[t].clamped(LIMITED_CAP));
            cap(Some(tissue), self.tissue(t), self.tissue(t).clamped(TISSUE_CAP));
        }
        cap(None, self.uncapped_total(), self.total());
        lines.into_iter()
    }
}

/// At moderate grade a share of -0.5 or lower, given or possible; at limited grade a share of -1 given.
fn is_caution(grade: Grade, verdict: Verdict) -> bool {
    match (grade, verdict) {
        (Grade::Strong | Grade::Moderate, Verdict::Share(share, _) | Verdict::Missed(_, share, _)) => {
            share <= Share::HALF_AGAINST
        }
        (Grade::Limited, Verdict::Share(share, _)) => share == Share::AGAINST,
        _ => false,
    }
}

impl Line {
    fn of_rule(entry: &RuleInForce, verdict: Verdict) -> Self {
        let lost = entry.lost_to.is_some();
        let points = if lost { Points::default() } else { points_of(entry.rule.evidence.grade, verdict) };
        Self { what: What::Rule(RuleLine { rule: entry.rule, verdict, lost_to: entry.lost_to }), points }
    }
}
