//! The registry of the runner's answers: every key once, how it is read and how it is written again.
//!
//! Reading, the way back to the form, and the sentence about an unknown key all follow from this one list. Its order
//! matters in one place: the size system stands before the labels that need it.

use std::fmt::Display;

use catalogue::flags::Flag;
use catalogue::injury::Answer;
use catalogue::key::StyleKey;
use catalogue::measures::Measures;
use catalogue::runner::{AskedBy, BodyMass, Feel, Heading, Now, OldPair, Runner, Sex};
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::stock::Price;
use catalogue::strike::{StrikePattern, StrikeSeen};
use catalogue::style::{Audience, Bending, BendingWord, Purpose, Surface};
use catalogue::units::{Grams, Kilograms, Mm, Tenths};

use super::runner_draft::Draft;
use super::wrong::{Range, Read, Wrong, answer, word, yes_no};

/// One key of the runner file and of the form.
pub(super) struct Field {
    pub(super) key: &'static str,
    kind: Kind,
}

enum Kind {
    /// One value.
    One(fn(&mut Draft, &str) -> Read<()>, fn(&Runner) -> Option<String>),
    /// Any number of values.
    Each(fn(&mut Draft, &str) -> Read<()>, fn(&Runner) -> Vec<String>),
    /// A range: from, to.
    Ends(fn(&mut Draft, &str, &str) -> Read<()>, fn(&Runner) -> Option<[String; 2]>),
    /// A sign of the one question.
    Sign(Flag),
}
use Kind::{Each, Ends, One, Sign};

const FOOT_LENGTH: Range = Range::whole(100, 400, "mm");
const FOOT_WIDTH: Range = Range::whole(40, 200, "mm");
const ANGLE: Range = Range::whole(-45, 45, "degrees");
const INDEX: Range = Range::whole(0, 100, word!("percent of foot length"));
const BODY_MASS: Range = Range::whole(15, 300, "kg");
const WEEKLY: Range = Range::whole(0, 400, word!("km a week"));
const BUDGET: Range = Range::whole(0, 10_000, word!("in the shop's currency"));
const STACK: Range = Range::whole(0, 100, "mm");
/// What a drop can be, stated or made by two stacks.
pub(super) const DROP: Range = Range::whole(-20, 40, "mm");
const SHOE_MASS: Range = Range::whole(50, 1_000, "g");
const WEEKS: Range = Range::whole(0, 520, "weeks");

/// The bands of body mass in the order of [`BodyMass::bands`]; their cuts are the rules' own.
const MASS_BANDS: [&str; 5] =
    [word!("below 62.8"), "62.8-71.4", "71.4-78.2", "78.2-85.7", word!("above 85.7")];

/// Every key beside the injuries.
#[rustfmt::skip] // a table: one key a line
pub(super) static FIELDS: &[Field] = &[
    field("size.system", One(|d, t| put(&mut d.runner.sizes.system, word(t, SizeSystem::ALL, SizeSystem::word)),
        |r| text(r.sizes.system.map(SizeSystem::word)))),
    field("size.worn_label", One(|d, t| { let label = d.label(t); put(&mut d.runner.sizes.worn_label, label) },
        |r| text(r.sizes.worn_label.as_ref().map(SizeLabel::printed)))),
    field("size.working", Each(|d, t| { let label = d.label(t)?; d.runner.sizes.working.push(label); Ok(()) },
        |r| r.sizes.working.iter().map(|label| label.printed().to_owned()).collect())),
    field("size.width", One(|d, t| put(&mut d.runner.sizes.width, width(t)), |r| r.sizes.width.clone())),

    field("foot.left_length_mm", One(|d, t| put(&mut d.runner.feet.left_length, mm(FOOT_LENGTH, t)),
        |r| length(r.feet.left_length))),
    field("foot.right_length_mm", One(|d, t| put(&mut d.runner.feet.right_length, mm(FOOT_LENGTH, t)),
        |r| length(r.feet.right_length))),
    field("foot.width_mm", One(|d, t| put(&mut d.runner.feet.width, mm(FOOT_WIDTH, t)),
        |r| length(r.feet.width))),

    field("run.strike", One(|d, t| put(&mut d.runner.strike.pattern, word(t, StrikePattern::ALL, StrikePattern::word)),
        |r| text(r.strike.pattern.map(StrikePattern::word)))),
    field("run.strike_seen", One(|d, t| put(&mut d.runner.strike.seen, word(t, StrikeSeen::ALL, StrikeSeen::word)),
        |r| text(r.strike.seen.map(StrikeSeen::word)))),
    field("run.strike_angle_deg", One(|d, t| put(&mut d.runner.strike.angle_tenths, ANGLE.tenths(t).map(|tenths| tenths as i16)),
        |r| text(r.strike.angle_tenths.map(|tenths| Tenths(tenths.into()))))),
    field("run.strike_index_percent", One(|d, t| put(&mut d.runner.strike.index_tenths, INDEX.tenths(t).map(|tenths| tenths as u16)),
        |r| text(r.strike.index_tenths.map(|tenths| Tenths(tenths.into()))))),
    field("run.strike_changing", One(|d, t| note(&mut d.runner.strike_changing, t), |r| said(r.strike_changing))),
    field("run.body_mass_kg", One(|d, t| put(&mut d.runner.body_mass, kilograms(t).map(BodyMass::Exactly)),
        |r| text(r.body_mass.and_then(exact_mass)))),
    field("run.body_mass_band", One(|d, t| put(&mut d.band, band(t)),
        |r| text(r.body_mass.and_then(band_word)))),
    field("run.sex", One(|d, t| put(&mut d.runner.sex, word(t, Sex::ALL, Sex::word)), |r| text(r.sex.map(Sex::word)))),
    field("run.weekly_km", One(|d, t| put(&mut d.runner.weekly_km, WEEKLY.units(t)), |r| text(r.weekly_km))),
    field("run.regular", One(|d, t| note(&mut d.runner.regular, t), |r| said(r.regular))),
    field("run.audience", One(|d, t| put(&mut d.runner.audience, word(t, Audience::ALL, Audience::word)),
        |r| text(r.audience.map(Audience::word)))),
    field("run.surface", One(|d, t| put(&mut d.runner.surface, word(t, Surface::ALL, Surface::word)),
        |r| text(r.surface.map(Surface::word)))),
    field("run.purpose", One(|d, t| put(&mut d.runner.purpose, word(t, Purpose::ALL, Purpose::word)),
        |r| text(r.purpose.map(Purpose::word)))),
    field("run.strength_work", One(|d, t| note(&mut d.runner.strength_work, t), |r| said(r.strength_work))),
    field("run.budget", One(|d, t| put(&mut d.runner.budget, BUDGET.hundredths(t).map(Price)),
        |r| r.budget.map(|Price(cents)| format!("{}.{:02}", cents / 100, cents % 100)))),

    field("now.style", One(|d, t| put(&mut d.style, StyleKey::parse(t).ok_or(Wrong::Key)), |r| text(worn_style(r)))),
    field("now.heel_stack_mm", One(|d, t| put(&mut d.worn.heel_stack, mm(STACK, t)),
        |r| length(worn(r).filter(|m| !m.heel_is_derived()).and_then(|m| m.heel_stack())))),
    field("now.forefoot_stack_mm", One(|d, t| put(&mut d.worn.forefoot_stack, mm(STACK, t)),
        |r| length(worn(r).filter(|m| !m.forefoot_is_derived()).and_then(|m| m.forefoot_stack())))),
    field("now.drop_mm", One(|d, t| put(&mut d.worn.drop_stated, mm(DROP, t)),
        |r| length(worn(r).filter(|m| !m.drop_is_derived()).and_then(|m| m.drop())))),
    field("now.mass_g", One(|d, t| put(&mut d.worn.mass, grams(t)),
        |r| text(worn(r).and_then(|m| m.mass()).map(|mass| Tenths(mass.in_tenths()))))),
    field("now.mass_size", One(|d, t| { let label = d.label_with_system(t); put(&mut d.worn.mass_size, label) },
        |r| text(worn(r).and_then(|m| m.mass_size()).map(eu_label)))),
    field("now.bending_word", One(|d, t| put(&mut d.worn.bending, word(t, &BendingWord::ALL, BendingWord::word).map(Bending::Word)),
        |r| text(worn(r).and_then(|m| m.bending()).map(BendingWord::word)))),
    field("now.rocker", One(|d, t| put(&mut d.worn.rocker, yes_no(t)), |r| said(worn(r).and_then(|m| m.rocker()).into()))),
    field("now.plate", One(|d, t| put(&mut d.worn.plate, yes_no(t)), |r| said(worn(r).and_then(|m| m.plate()).into()))),
    field("now.feel", One(|d, t| put(&mut d.feel, word(t, Feel::ALL, Feel::word)), |r| text(worn_feel(r)))),
    field("now.main", One(|d, t| note(&mut d.runner.now.main, t), |r| said(r.now.main))),
    field("now.purposes", Each(|d, t| { d.purposes = d.purposes.with(word(t, Purpose::ALL, Purpose::word)?); Ok(()) }, worn_purposes)),
    field("now.old_pair", One(|d, t| put(&mut d.runner.now.old_pair, word(t, OldPair::ALL, OldPair::word)),
        |r| text(r.now.old_pair.map(OldPair::word)))),

    field("stage.heading", One(|d, t| put(&mut d.runner.stage.heading, word(t, Heading::ALL, Heading::word)),
        |r| text(r.stage.heading.map(Heading::word)))),
    field("stage.weeks_done", One(|d, t| put(&mut d.runner.stage.weeks_done, WEEKS.units(t)), |r| text(r.stage.weeks_done))),
    field("stage.step_anyway", One(|d, t| { d.runner.stage.step_anyway = yes_no(t)?; Ok(()) },
        |r| r.stage.step_anyway.then(|| "yes".to_owned()))),

    field("asked_for.by", One(|d, t| put(&mut d.runner.asked_for.by, word(t, AskedBy::ALL, AskedBy::word)),
        |r| text(r.asked_for.by.map(AskedBy::word)))),
    field("asked_for.drop_mm", Ends(|d, from, to| put(&mut d.runner.asked_for.drop, ends(DROP, from, to)),
        |r| both(r.asked_for.drop))),
    field("asked_for.landing_stack_mm", Ends(|d, from, to| put(&mut d.runner.asked_for.landing_stack, ends(STACK, from, to)),
        |r| both(r.asked_for.landing_stack))),
    field("asked_for.plate", One(|d, t| note(&mut d.runner.asked_for.plate, t), |r| said(r.asked_for.plate))),
    field("asked_for.rocker", One(|d, t| note(&mut d.runner.asked_for.rocker, t), |r| said(r.asked_for.rocker))),
    field("asked_for.own_insole", One(|d, t| note(&mut d.runner.asked_for.own_insole, t), |r| said(r.asked_for.own_insole))),

    field("flags.pain", One(|d, t| note(&mut d.pain, t), |r| said(r.flags.pain()))),
    field("flags.bone_pain_spot", Sign(Flag::BonePainSpot)),
    field("flags.pain_at_night_or_rest", Sign(Flag::PainAtNightOrRest)),
    field("flags.calf_swelling", Sign(Flag::CalfSwelling)),
    field("flags.sudden_snap", Sign(Flag::SuddenSnap)),
    field("flags.numb_feet_or_open_sore", Sign(Flag::NumbFeetOrOpenSore)),
    field("flags.hot_red_joint", Sign(Flag::HotRedJoint)),
    field("flags.groin_or_thigh_pain", Sign(Flag::GroinOrThighPain)),
    field("flags.cannot_bear_weight", Sign(Flag::CannotBearWeight)),
    field("flags.fever_or_weight_loss", Sign(Flag::FeverOrWeightLoss)),
    field("flags.under_16_hip_or_knee", Sign(Flag::Under16HipOrKnee)),
    field("flags.diabetes", One(|d, t| note(&mut d.runner.flags.diabetes, t), |r| said(r.flags.diabetes))),
    field("flags.diabetes_feeling_normal_and_cleared", One(|d, t| note(&mut d.runner.flags.diabetes_cleared, t),
        |r| said(r.flags.diabetes_cleared))),
];

impl Field {
    /// Reads the texts said under this key into the draft. Blank texts are not asked; what is wrong comes with the text
    /// that it is wrong with.
    pub(super) fn read(&self, draft: &mut Draft, texts: &[String]) -> Result<(), (String, Wrong)> {
        let said: Vec<&str> = texts.iter().map(|text| text.trim()).filter(|text| !text.is_empty()).collect();
        let of = |text: &str, wrong| (text.to_owned(), wrong);
        match (&self.kind, said.as_slice()) {
            (_, []) => Ok(()),
            (Each(read, _), each) => {
                each.iter().try_for_each(|text| read(draft, text).map_err(|wrong| of(text, wrong)))
            }
            (Ends(read, _), [from, to]) if texts.len() == 2 => {
                read(draft, from, to).map_err(|wrong| (format!("{from} to {to}"), wrong))
            }
            (Ends(..), _) => Err((said.join(", "), Wrong::TwoEnds)),
            (One(read, _), [text]) => read(draft, text).map_err(|wrong| of(text, wrong)),
            (Sign(flag), [text]) => match answer(text) {
                Ok(answer) => {
                    draft.runner.flags.set(*flag, answer);
                    Ok(())
                }
                Err(wrong) => Err(of(text, wrong)),
            },
            (One(..) | Sign(_), _) => Err((said.join(", "), Wrong::OneOnly)),
        }
    }

    fn write(&self, runner: &Runner) -> Vec<String> {
        match &self.kind {
            One(_, write) => write(runner).into_iter().collect(),
            Each(_, write) => write(runner),
            Ends(_, write) => write(runner).map_or_else(Vec::new, Vec::from),
            Sign(flag) => said(runner.flags.get(*flag)).into_iter().collect(),
        }
    }
}

/// Key and text of everything that is known of `runner`, injuries aside.
pub(super) fn written(runner: &Runner) -> impl Iterator<Item = (String, String)> {
    FIELDS.iter().flat_map(|field| field.write(runner).into_iter().map(|text| (field.key.to_owned(), text)))
}

/// How many values an answer has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// One.
    One,
    /// Any number.
    Each,
    /// Two: from and to.
    Ends,
}

/// Every key beside the injuries, with its shape.
pub fn keys() -> impl Iterator<Item = (&'static str, Shape)> {
    FIELDS.iter().map(|field| {
        let shape = match &field.kind {
            One(..) | Sign(_) => Shape::One,
            Each(..) => Shape::Each,
            Ends(..) => Shape::Ends,
        };
        (field.key, shape)
    })
}

/// Whether `key` is in the registry.
pub(super) fn is_known(key: &str) -> bool {
    FIELDS.iter().any(|field| field.key == key)
}

/// What to say of a key nobody knows: the keys of its table, else the tables.
pub(super) fn unknown(key: &str) -> String {
    let table = key.split('.').next().unwrap_or_default();
    let of_table = |field: &&Field| field.key.split('.').next() == Some(table);
    let keys: Vec<&str> =
        FIELDS.iter().filter(of_table).filter_map(|field| Some(field.key.split_once('.')?.1)).collect();
    if table == "injury" {
        say!("is not known; an injury has region, recent, painful, cleared and current").to_owned()
    } else if keys.is_empty() {
        say!("is not known; the tables are size, foot, run, now, stage, injury, asked_for and flags")
            .to_owned()
    } else {
        say!("is not known; [{table}] has {keys}", table, keys = keys.join(", "))
    }
}

const fn field(key: &'static str, kind: Kind) -> Field {
    Field { key, kind }
}

fn put<T>(slot: &mut Option<T>, read: Read<T>) -> Read<()> {
    *slot = Some(read?);
    Ok(())
}

fn note(slot: &mut Answer, text: &str) -> Read<()> {
    *slot = answer(text)?;
    Ok(())
}

fn mm(range: Range, text: &str) -> Read<Mm> {
    range.tenths(text).and_then(|tenths| Mm::from_tenths(tenths).ok_or(Wrong::Number))
}

fn grams(text: &str) -> Read<Grams> {
    SHOE_MASS.tenths(text).and_then(|tenths| Grams::from_tenths(tenths).ok_or(Wrong::Number))
}

fn kilograms(text: &str) -> Read<Kilograms> {
    BODY_MASS.tenths(text).and_then(|tenths| Kilograms::from_tenths(tenths).ok_or(Wrong::Number))
}

fn ends(range: Range, from: &str, to: &str) -> Read<(Mm, Mm)> {
    let (from, to) = (mm(range, from)?, mm(range, to)?);
    if from <= to { Ok((from, to)) } else { Err(Wrong::EndsSwapped) }
}

fn width(text: &str) -> Read<String> {
    let sound = |c: char| c.is_alphanumeric() || " +-./()".contains(c);
    let named = text.chars().any(char::is_alphanumeric);
    if named && text.chars().count() <= 12 && text.chars().all(sound) {
        Ok(text.to_owned())
    } else {
        Err(Wrong::Width)
    }
}

fn band(text: &str) -> Read<BodyMass> {
    let bands = MASS_BANDS.iter().zip(BodyMass::bands());
    let named = bands.into_iter().find(|(word, _)| **word == text);
    named.map(|(_, band)| band).ok_or_else(|| Wrong::Word(MASS_BANDS.to_vec()))
}

fn band_word(mass: BodyMass) -> Option<&'static str> {
    let place = BodyMass::bands().iter().position(|band| *band == mass)?;
    MASS_BANDS.get(place).copied()
}

fn exact_mass(mass: BodyMass) -> Option<Tenths> {
    if let BodyMass::Exactly(mass) = mass { Some(Tenths(mass.in_tenths())) } else { None }
}

fn worn(runner: &Runner) -> Option<Measures> {
    if let Now::Measured(worn) = &runner.now.shoe { Some(worn.measures) } else { None }
}

fn worn_purposes(runner: &Runner) -> Vec<String> {
    let Now::Measured(worn) = &runner.now.shoe else { return Vec::new() };
    worn.purposes.iter().map(|purpose| purpose.word().to_owned()).collect()
}

fn worn_style(runner: &Runner) -> Option<&StyleKey> {
    if let Now::Style(style) = &runner.now.shoe { Some(style) } else { None }
}

fn worn_feel(runner: &Runner) -> Option<&'static str> {
    if let Now::Feels(feel) = &runner.now.shoe { Some(feel.word()) } else { None }
}

/// The EU label nearest to a size in twelfths that reads back: not every twelfth has one.
fn eu_label(twelfths: u16) -> String {
    let near = [twelfths, twelfths.saturating_sub(1), twelfths.saturating_add(1)];
    let labels = near.map(|twelfths| SizeLabel::of_twelfths(SizeSystem::Eu, twelfths));
    let reads = |label: &&SizeLabel| SizeLabel::parse(Some(SizeSystem::Eu), label.printed()).is_some();
    labels.iter().find(reads).unwrap_or(&labels[0]).to_string()
}

fn text(known: Option<impl Display>) -> Option<String> {
    known.map(|known| known.to_string())
}

fn said(answer: Answer) -> Option<String> {
    text(answer.known().map(|_| answer.word()))
}

fn length(known: Option<Mm>) -> Option<String> {
    text(known.map(|mm| Tenths(mm.in_tenths())))
}

fn both(range: Option<(Mm, Mm)>) -> Option<[String; 2]> {
    range.map(|(from, to)| [from, to].map(|end| Tenths(end.in_tenths()).to_string()))
}
