//! The reply of `rank --json` and `POST /rank.json`.
//!
//! Keys carry the unit, points have one decimal and add up to the suitability, unknown is `null`.

use std::collections::BTreeMap;

use catalogue::flags::{Flag, Stopped};
use catalogue::injury::Region;
use catalogue::measures::Measure;
use catalogue::rank::{Band, Brief, Line, Origin, Ranker, RuleLine, What};
use catalogue::rules::{Rule, Verdict};
use catalogue::stock::{Quantity, Sku};
use indexer::ranked::{RankedList, Standing};
use indexer::search::Hit;
use indexer::snapshot::Snapshot;
use serde::Serialize;
use utoipa::ToSchema;

/// The whole reply.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct RankReply {
    /// Red flags; with any there is no order.
    pub stopped: Option<Vec<StoppedReply>>,
    /// The row of the policy in force.
    pub row: Option<&'static str>,
    /// Weeks done of the weeks in a step, when they close the way to less.
    pub step: Option<StepReply>,
    /// The bands that are looked for.
    pub band: Option<BandReply>,
    /// Questions that would change the order.
    pub ask: Vec<String>,
    /// Rules that speak of the runner.
    pub notes: Vec<NoteReply>,
    /// For each filter, how many styles it alone hides.
    pub hidden: BTreeMap<&'static str, u32>,
    /// The styles in order.
    pub results: Vec<RankedReply>,
}

/// A red flag.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct StoppedReply {
    flag: &'static str,
    say: String,
    see: &'static str,
}

/// Weeks done of the weeks in a step.
#[derive(Clone, Copy, Debug, Serialize, ToSchema)]
pub struct StepReply {
    done: u16,
    of: u16,
}

/// The bands, from and to; the names of those that were guessed, clipped or asked for.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct BandReply {
    drop_mm: [f64; 2],
    landing_stack_mm: [f64; 2],
    mass_g: [f64; 2],
    bending_steps: [f64; 2],
    guessed: Vec<&'static str>,
    clipped: Vec<&'static str>,
    asked_for: Vec<&'static str>,
}

/// A rule that speaks of the runner.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct NoteReply {
    rule: &'static str,
    grade: &'static str,
    say: &'static str,
    sources: Vec<&'static str>,
}

/// One style in its place.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct RankedReply {
    /// The style's key.
    pub style: String,
    /// The maker.
    pub maker: String,
    /// The name.
    pub name: String,
    /// The group of the list.
    pub group: &'static str,
    /// It is the style worn now.
    pub worn: bool,
    /// Points, 0 to 100.
    pub suitability: f64,
    /// The least they could be.
    pub low: f64,
    /// The most they could be.
    pub high: f64,
    /// The weights of the known measures, of 100.
    pub known_weight: u8,
    /// What adds up to the points.
    pub lines: Vec<LineReply>,
    /// The sizes that match.
    pub sizes: Vec<SizeReply>,
}

/// One line of an explanation.
#[derive(Clone, Debug, Default, Serialize, ToSchema)]
pub struct LineReply {
    kind: &'static str,
    measure: Option<&'static str>,
    value: Option<f64>,
    band: Option<[f64; 2]>,
    rule: Option<&'static str>,
    tissue: Option<&'static str>,
    share: Option<f64>,
    conflict: Option<&'static str>,
    grade: Option<&'static str>,
    studied: Option<&'static str>,
    sources: Vec<&'static str>,
    points: f64,
    low: f64,
    high: f64,
    say: Option<String>,
}

/// One size that matches.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SizeReply {
    label: String,
    system: Option<&'static str>,
    width: Option<String>,
    quantity: Option<u32>,
    quantity_known: bool,
}

impl StoppedReply {
    /// The flags that stop a runner.
    pub fn all(stopped: &Stopped) -> Vec<Self> {
        let reply = |flag: &Flag| Self {
            flag: flag.word(),
            say: format!("{}. {}", flag.sign(), flag.why()),
            see: flag.see(),
        };
        stopped.flags.iter().map(reply).collect()
    }
}

impl RankReply {
    /// The reply of a runner whose ranking is stopped.
    pub fn stopped(stopped: &Stopped) -> Self {
        Self {
            stopped: Some(StoppedReply::all(stopped)),
            row: None,
            step: None,
            band: None,
            ask: Vec::new(),
            notes: Vec::new(),
            hidden: BTreeMap::new(),
            results: Vec::new(),
        }
    }

    /// The reply of a ranked list.
    pub fn of(list: &RankedList, snapshot: &Snapshot) -> Self {
        let brief = list.ranker.brief();
        let places = list.results.hits.iter().zip(&list.places);
        Self {
            stopped: None,
            row: Some(brief.row.word()),
            step: brief.step.map(|step| StepReply { done: step.done, of: step.of }),
            band: Some(BandReply::of(brief)),
            ask: questions(&list.ranker),
            notes: list.ranker.notes().iter().map(|rule| NoteReply::of(rule)).collect(),
            hidden: list.results.hidden.iter().map(|(group, n)| (group.key(), *n)).collect(),
            results: places.filter_map(|(hit, place)| RankedReply::of(list, snapshot, hit, *place)).collect(),
        }
    }
}

/// The question that conflicts between injury rules leave open: which of this runner's pains is current. Several
/// conflicts of the same pains are one question.
pub fn questions(ranker: &Ranker) -> Vec<String> {
    let injuries = &ranker.case().runner.injuries;
    let pains = |rule: &Rule| {
        let of_runner = injuries.iter().map(|i| i.region).filter(|region| rule.regions.contains(region));
        of_runner.map(Region::word).collect::<Vec<_>>().join(" or ")
    };
    let open = ranker.brief().clashes.iter().filter(|clash| clash.kept.is_none());
    let mut asked: Vec<String> = open
        .map(|clash| format!("Which pain is current: {}, or {}?", pains(clash.up), pains(clash.down)))
        .collect();
    asked.dedup();
    asked
}

impl BandReply {
    fn of(brief: &Brief) -> Self {
        let ends = |measure| ends(brief.band(measure));
        let named = |test: fn(&Band) -> bool| {
            brief.bands.iter().filter(|band| test(band)).map(|band| band.measure.word()).collect()
        };
        Self {
            drop_mm: ends(Measure::Drop),
            landing_stack_mm: ends(Measure::LandingStack),
            mass_g: ends(Measure::Mass),
            bending_steps: ends(Measure::Bending),
            guessed: named(Band::is_guessed),
            clipped: named(|band| band.clipped),
            asked_for: named(|band| band.origin == Origin::AskedFor),
        }
    }
}

impl NoteReply {
    fn of(rule: &'static Rule) -> Self {
        Self { rule: rule.id, grade: rule.evidence.grade.word(), say: rule.says, sources: sources(rule) }
    }
}

impl RankedReply {
    fn of(list: &RankedList, snapshot: &Snapshot, hit: &Hit, place: Standing) -> Option<Self> {
        let card = snapshot.card(hit.row)?;
        let score = hit.score?;
        let explanation = list.ranker.explain(&card.measures);
        Some(Self {
            style: card.style.key.to_string(),
            maker: card.style.maker.to_string(),
            name: card.style.name.to_string(),
            group: place.place.word(),
            worn: place.worn,
            suitability: tenths(score.suitability.into()),
            low: tenths(score.low.into()),
            high: tenths(score.high.into()),
            known_weight: score.known_weight,
            lines: explanation.lines.iter().map(LineReply::of).collect(),
            sizes: snapshot.in_stock(hit).map(SizeReply::of).collect(),
        })
    }
}

impl LineReply {
    /// One line.
    pub(super) fn of(line: &Line) -> Self {
        let points = Self {
            points: tenths(line.points.at),
            low: tenths(line.points.low),
            high: tenths(line.points.high),
            ..Self::default()
        };
        match &line.what {
            What::Base => Self { kind: "base", ..points },
            What::Measure(of) => Self {
                kind: "measure",
                measure: Some(of.band.measure.word()),
                value: of.nearness.value.map(tenths),
                band: Some(ends(&of.band)),
                ..points
            },
            What::Rule(rule) => Self::of_rule(rule, points),
            What::Cap(tissue) => Self { kind: "cap", tissue: tissue.map(|t| t.word()), ..points },
        }
    }

    fn of_rule(line: &RuleLine, Self { points, low, high, .. }: Self) -> Self {
        let rule = line.rule;
        let (share, say) = match line.verdict {
            Verdict::Share(share, say) => (Some(share.as_fraction()), say.to_owned()),
            Verdict::Missed(measure, ..) => (None, format!("The {measure} is not given.")),
            Verdict::Printed(say) => (None, say.to_owned()),
            Verdict::Silent => (None, String::new()),
        };
        Self {
            kind: "rule",
            rule: Some(rule.id),
            tissue: Some(rule.tissue.word()),
            share: if line.lost_to.is_some() { Some(0.0) } else { share },
            conflict: line.lost_to.map(|other| other.id),
            grade: Some(rule.evidence.grade.word()),
            studied: Some(rule.evidence.studied),
            sources: sources(rule),
            say: Some(say),
            points,
            low,
            high,
            ..Self::default()
        }
    }
}

impl SizeReply {
    fn of(sku: &Sku) -> Self {
        let (quantity, known) = match sku.quantity {
            Some(Quantity::Pairs(n)) => (Some(n), true),
            Some(Quantity::AtLeast(n)) => (Some(n), false),
            Some(Quantity::Some) | None => (None, false),
        };
        Self {
            label: sku.label.printed().to_owned(),
            system: sku.label.system().map(|s| s.word()),
            width: sku.width.as_ref().map(ToString::to_string),
            quantity,
            quantity_known: known,
        }
    }
}

fn sources(rule: &Rule) -> Vec<&'static str> {
    rule.evidence.sources.iter().map(|source| source.id).collect()
}

fn ends(band: &Band) -> [f64; 2] {
    [tenths(band.from), tenths(band.to)]
}

/// Tenths as a number with one decimal.
pub(super) fn tenths(value: i32) -> f64 {
    f64::from(value) / 10.0
}

#[cfg(test)]
mod tests {
    use catalogue::injury::{Answer, Injury};
    use catalogue::policy::HousePolicy;
    use catalogue::runner::Runner;

    use super::*;

    #[test]
    fn conflicts_of_the_same_pains_are_one_question_that_names_no_other_pain() {
        let recent = |region| Injury { recent: Answer::Yes, ..Injury::of(region) };
        let injuries = vec![recent(Region::Achilles), recent(Region::Kneecap)];
        let runner = Runner { injuries, ..Runner::default() };
        let ranker = Ranker::prepare(&runner, None, &HousePolicy::standard()).unwrap();
        assert_eq!(ranker.brief().clashes.len(), 2, "drop and rocker");
        assert_eq!(questions(&ranker), ["Which pain is current: achilles, or kneecap?"]);
    }
}
