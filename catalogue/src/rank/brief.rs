//! What the order rests on: the row in force, its bands, what closed the way to less, and what is still to be asked.

use super::aim::{Band, Origin};
use super::case::Case;
use super::evidence::{Clash, InForce};
use crate::measures::{Landing, Measure, Measures};
use crate::policy::{Absolute, HousePolicy, Range};
use crate::rules::{Pulled, Rule};
use crate::runner::Heading;
use crate::slow::{SlowSign, slow_signs};
use crate::style::{Audience, Purpose, words};

words! {
    /// The row of the policy that is in force.
    Row {
        /// Less shoe.
        Less => "less",
        /// The same again.
        Same => "same",
        /// More shoe.
        More => "more",
        /// A first pair to race in.
        Race => "race",
        /// No worn pair.
        New => "new",
        /// No worn pair, racing.
        NewRace => "new-race",
    }
}
words! {
    /// What makes *less* act as *same*.
    Closed {
        /// The weeks of this step are not over.
        Weeks => "weeks",
        /// The newest pair is not yet the main pair.
        MainPair => "main pair",
        /// Diabetes: never opened by "order for less anyway".
        Diabetes => "diabetes",
    }
}

/// Weeks done of the weeks in a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// Done.
    pub done: u16,
    /// Of.
    pub of: u16,
}

/// What the order rests on.
#[derive(Clone, Debug)]
pub struct Brief {
    /// The row in force.
    pub row: Row,
    /// What makes *less* act as *same*; empty when nothing does.
    pub closed: Vec<Closed>,
    /// The weeks, when they close the way to less.
    pub step: Option<Step>,
    /// The bands of drop, landing stack, mass and bending, in this order.
    pub bands: [Band; 4],
    /// Which stack the runner lands on.
    pub landing: Landing,
    /// Offsets are halved for these signs; empty when they are not.
    pub halved_for: Vec<SlowSign>,
    /// Rules that pull one measure apart.
    pub clashes: Vec<Clash>,
    worn_drop_is_negative: bool,
    worn_size: u16,
    audience: Option<Audience>,
}

impl Brief {
    pub(super) fn of(case: &Case, rules: &InForce) -> Self {
        let closed = closed(case);
        let row = if closed.is_empty() { wished(case) } else { Row::Same };
        let weeks = closed.contains(&Closed::Weeks).then_some(case.runner.stage.weeks_done).flatten();
        let halved_for = halved_for(case);
        let lacking = absolute_row(case, &closed);
        let halved = !halved_for.is_empty();
        let bands = Measure::ALL.map(|measure| band(case, rules, (row, lacking), measure, halved));
        let worn = case.worn.map(|worn| worn.measures);
        Self {
            row,
            step: weeks.map(|done| Step { done, of: case.policy.weeks_per_step }),
            closed,
            bands,
            landing: case.landing(),
            halved_for,
            clashes: rules.clashes().to_vec(),
            worn_drop_is_negative: has_negative_drop(worn.as_ref()),
            worn_size: worn_size(case),
            audience: case.runner.audience,
        }
    }

    /// The band of a measure.
    pub fn band(&self, measure: Measure) -> &Band {
        &self.bands[measure as usize]
    }

    /// A drop below 0 counts 0 unless the worn drop is below 0.
    pub(super) fn drop_as_ranked(&self, tenths: i32) -> i32 {
        if self.worn_drop_is_negative { tenths } else { tenths.max(0) }
    }

    /// The mass in tenths of g, brought to the worn pair's size where the band counts from the worn pair.
    pub(super) fn mass_as_ranked(&self, band: &Band, shoe: &Measures, policy: &HousePolicy) -> Option<i32> {
        let weighed = shoe.mass()?.in_tenths();
        if band.origin != Origin::Worn {
            return Some(weighed);
        }
        // A shoe that does not say for whom it is was taken for one of this runner's.
        let audience = shoe.audience().or(self.audience);
        let size = shoe.mass_size().unwrap_or_else(|| policy.sample_size(audience));
        Some(policy.mass_at(weighed, size, self.worn_size))
    }
}

fn has_negative_drop(worn: Option<&Measures>) -> bool {
    worn.and_then(Measures::drop).is_some_and(|drop| drop.in_tenths() < 0)
}

fn worn_size(case: &Case) -> u16 {
    let worn = case.worn.map(|worn| worn.measures);
    let audience = worn.and_then(|w| w.audience()).or(case.runner.audience);
    worn.and_then(|w| w.mass_size()).unwrap_or_else(|| case.policy.sample_size(audience))
}

/// What closes the way to less shoe, where the order would go there; *not asked* closes nothing.
fn closed(case: &Case) -> Vec<Closed> {
    let stage = &case.runner.stage;
    if stage.heading != Some(Heading::Less) || !matches!(wished(case), Row::Less | Row::Race) {
        return Vec::new();
    }
    let weeks = stage.weeks_done.is_some_and(|done| done < case.policy.weeks_per_step);
    let not_main = case.runner.now.main.is_no();
    let gates =
        [(Closed::Weeks, weeks && !stage.step_anyway), (Closed::MainPair, not_main && !stage.step_anyway)];
    let diabetes = (Closed::Diabetes, case.runner.flags.diabetes.is_yes());
    gates.into_iter().chain([diabetes]).filter(|(_, shut)| *shut).map(|(gate, _)| gate).collect()
}

/// The row by the worn pair, the purpose and the heading, whatever is closed.
fn wished(case: &Case) -> Row {
    let racing = case.runner.purpose == Some(Purpose::Race);
    let Some(worn) = case.worn else {
        return if racing { Row::NewRace } else { Row::New };
    };
    let for_race = racing && !worn.purposes.contains(Purpose::Race);
    match case.runner.stage.heading {
        _ if for_race => Row::Race,
        _ if racing => Row::Same,
        Some(Heading::Less) => Row::Less,
        Some(Heading::More) => Row::More,
        Some(Heading::New) => Row::New,
        Some(Heading::Same) | None => Row::Same,
    }
}

/// A recent injury, or two slow signs.
fn halved_for(case: &Case) -> Vec<SlowSign> {
    let signs = slow_signs(&case.runner);
    if signs.contains(&SlowSign::RecentInjury) || signs.len() >= 2 { signs } else { Vec::new() }
}

/// The absolute row for what the worn pair lacks. Where a closed gate makes *race* act as *same*, nothing is aimed at
/// the shoes for racing either.
fn absolute_row<'a>(case: &'a Case, closed: &[Closed]) -> &'a Absolute {
    let racing = case.runner.purpose == Some(Purpose::Race) && closed.is_empty();
    if racing { &case.policy.new_race } else { &case.policy.new }
}

fn band(
    case: &Case,
    rules: &InForce,
    (row, lacking): (Row, &Absolute),
    measure: Measure,
    halved: bool,
) -> Band {
    if let Some(range) = asked_for(case, measure) {
        return Band::of(measure, Origin::AskedFor, range, case.policy.reach.of(measure));
    }
    let worn = worn_value(case, measure);
    let mut band = unclipped(case, (row, lacking), measure, worn, halved);
    clip(&mut band, case, rules, worn);
    narrow_the_reach(&mut band, rules, row);
    band
}

fn asked_for(case: &Case, measure: Measure) -> Option<Range> {
    let asked = &case.runner.asked_for;
    let range = match measure {
        Measure::Drop => asked.drop,
        Measure::LandingStack => asked.landing_stack,
        Measure::Mass | Measure::Bending => None,
    };
    range.map(|(from, to)| (from.in_tenths(), to.in_tenths()))
}

fn worn_value(case: &Case, measure: Measure) -> Option<i32> {
    let worn = case.worn?.measures;
    match measure {
        Measure::Drop => worn.drop().map(|d| d.in_tenths()),
        Measure::LandingStack => worn.landing_stack(case.landing()).map(|s| s.in_tenths()),
        Measure::Mass => worn.mass().map(|m| m.in_tenths()),
        Measure::Bending => worn.bending().map(|word| i32::from(word.step()) * 10),
    }
}

/// The worn value plus the offsets of the row, or the absolute band where there is no worn value.
fn unclipped(
    case: &Case,
    (row, lacking): (Row, &Absolute),
    measure: Measure,
    worn: Option<i32>,
    halved: bool,
) -> Band {
    let reach = case.policy.reach.of(measure);
    if let Some((worn, (from, to))) = worn.zip(offsets(&case.policy, row, measure, halved)) {
        return Band::of(measure, Origin::Worn, (worn + from, worn + to), reach);
    }
    let origin = if worn.is_some() { Origin::Absolute } else { Origin::Guessed };
    Band::of(measure, origin, lacking.of(measure, case.landing()), reach)
}

/// The offsets of a row; `None` for the absolute rows.
fn offsets(policy: &HousePolicy, row: Row, measure: Measure, halved: bool) -> Option<Range> {
    let of = match row {
        Row::Less => &policy.less,
        Row::Same => &policy.same,
        Row::More => &policy.more,
        Row::Race => &policy.race,
        Row::New | Row::NewRace => return None,
    };
    let (from, to) = of.of(measure);
    let decisive = matches!(measure, Measure::Drop | Measure::LandingStack);
    Some(match row {
        Row::Less if halved => (from / 2, to / 2),
        Row::Race if halved && decisive => (from / 2, to),
        _ => (from, to),
    })
}

fn clip(band: &mut Band, case: &Case, rules: &InForce, worn: Option<i32>) {
    let worn_is_negative = has_negative_drop(case.worn.map(|w| w.measures).as_ref());
    if band.measure == Measure::Drop && !worn_is_negative {
        band.clip(|end| end.max(0));
    }
    if let Some((up, worn)) = injury_pull(rules, band.measure).zip(worn) {
        band.clip(|end| if up { end.max(worn) } else { end.min(worn) });
    }
    if band.measure == Measure::Bending {
        widen(band, injury_pull(rules, band.measure));
    }
    if band.measure == Measure::LandingStack && rules.is_in_force("bone-stress-minimal") {
        let floor = stack_floor(case.landing()).min(worn.unwrap_or(i32::MAX));
        band.clip(|end| end.max(floor));
    }
}

/// The way an injury rule in force pulls a measure; `None` when none does, or when all that do have lost.
fn injury_pull(rules: &InForce, measure: Measure) -> Option<bool> {
    let on = match measure {
        Measure::Drop => Pulled::Drop,
        Measure::Bending => Pulled::Bending,
        Measure::LandingStack | Measure::Mass => return None,
    };
    rules.kept().filter(|rule| rule.is_injury_rule()).find_map(|rule| pull_on(rule, on))
}

fn pull_on(rule: &Rule, on: Pulled) -> Option<bool> {
    rule.pull.filter(|pull| pull.on == on).map(|pull| pull.up)
}

/// A pull on bending widens its band by one step on its side.
fn widen(band: &mut Band, pull: Option<bool>) {
    match pull {
        Some(true) => band.to += 10,
        Some(false) => band.from -= 10,
        None => {}
    }
}

/// After bone stress in the foot no band of the landing stack goes below this, tenths of mm.
fn stack_floor(landing: Landing) -> i32 {
    match landing {
        Landing::Heel => 240,
        Landing::Forefoot => 200,
        Landing::Mean => 220,
    }
}

/// For less and more the reach of drop and landing stack is halved on the side against the heading, or against a
/// pull; not for a guessed band.
fn narrow_the_reach(band: &mut Band, rules: &InForce, row: Row) {
    let heading_up = match row {
        Row::Less => false,
        Row::More => true,
        _ => return,
    };
    if band.is_guessed() || !matches!(band.measure, Measure::Drop | Measure::LandingStack) {
        return;
    }
    let up = injury_pull(rules, band.measure).unwrap_or(heading_up);
    let reach = if up { &mut band.reach_below } else { &mut band.reach_above };
    *reach /= 2;
}
