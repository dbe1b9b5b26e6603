//! Labels, units and hints of what people fill in and read, in one place.
//!
//! The names of the runner's fields are the paths of the runner file (`run.weekly_km`); the form posts the same.

use catalogue::flags::Flag;

use crate::access::Access;
use crate::request::runner::shown;
use crate::words;

/// Printed where nobody asked.
pub const NOT_ASKED: &str = "not asked";
/// Printed where the history names a pain and the one question was not answered.
pub const HURTS_NOW: &str = "something hurts; the signs of a red flag were not asked";
/// Printed where no sheet said.
pub const NOT_GIVEN: &str = "not given";

/// At the foot of every page.
pub const CAUTION: &str = "Lastbench sorts shoes by what they measure and says how thin the evidence is. \
    It does not examine anybody. Pain is for a clinician, and comfort on the foot has the last word.";

/// Where a red flag has stopped the ordering, on what the customer sees: neither which flag nor whom to see.
pub const STOPPED: &str = "A clinician first: no order and no plan was made. The fitter says whom to see.";

/// Said once a page where an order is explained (no published rule gives millimetres a step: evidence TR15).
pub const HOUSE_VIEW: &str = "70 of 100 points are our house's view, up to 30 come from studies.";

/// The places outside a fitting, with their addresses and who may go there.
pub const PLACES: &[(&str, &str, Access)] = &[
    ("Desk", "/", Access::Fitter),
    ("Shoes", "/shoes", Access::Fitter),
    ("Stock map", "/stock-map", Access::Fitter),
    ("Day", "/day", Access::Owner),
    ("Sheets", "/sheets", Access::Owner),
    ("Gaps", "/gaps", Access::Owner),
    ("Count", "/count", Access::Owner),
    ("Changes", "/changes", Access::Owner),
    ("Policy", "/policy", Access::Owner),
    ("Rules", "/rules", Access::Anybody),
    ("Sources", "/sources", Access::Anybody),
];

/// How a field is filled in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A number that may have a decimal mark.
    Decimal,
    /// A whole number.
    Whole,
    /// Words.
    Words,
    /// Two numbers of one name: from, to. Neither has an `inputmode`, for a drop may be below 0.
    Range,
    /// One of a few, all seen: value and label.
    Radio(&'static [(&'static str, &'static str)]),
    /// One of many: value and label.
    Select(&'static [(&'static str, &'static str)]),
}

/// What stands at a field.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FieldLabel {
    /// The name posted, which is the path in the runner file.
    pub name: &'static str,
    /// The label.
    pub label: &'static str,
    /// The unit, inside the label; empty when there is none.
    pub unit: &'static str,
    /// The hint below the label; empty when there is none.
    pub hint: &'static str,
    /// How it is filled in.
    pub kind: Kind,
}

/// Yes and no; *not asked* is added by the field.
pub const YES_NO: &[(&str, &str)] = &[("yes", "Yes"), ("no", "No")];

const fn field(name: &'static str, label: &'static str, kind: Kind) -> FieldLabel {
    FieldLabel { name, label, unit: "", hint: "", kind }
}

impl FieldLabel {
    const fn unit(self, unit: &'static str) -> Self {
        Self { unit, ..self }
    }

    const fn hint(self, hint: &'static str) -> Self {
        Self { hint, ..self }
    }
}

const NOWHERE: FieldLabel = field("", "", Kind::Words);

/// What is asked of a shoe on the foot: the name of the field before the style's key, its label, and its answers by the
/// words of [`catalogue::trying`].
pub const ON_FOOT: [(&str, &str, Choices); 4] = [
    ("heel", "Heel", &[("holds", "holds"), ("slips-a-little", "slips a little"), ("slips", "slips")]),
    ("across", "Ball of foot", &[("tight", "tight"), ("right", "just right"), ("loose", "loose")]),
    (
        "toes",
        "Toe room",
        &[("touches", "touches"), ("close", "close"), ("thumbs-width", "a thumb"), ("more", "more")],
    ),
    ("runs", "Its label", &[("short", "runs short"), ("true", "is true"), ("long", "runs long")]),
];

/// Values with their labels.
pub type Choices = &'static [(&'static str, &'static str)];

/// How long a box is held, in hours.
pub const HOLDS: Choices = &[("2", "2 hours"), ("24", "a day"), ("72", "three days")];

/// The label of a runner field; a blank one for a name that is not in the table, which a test keeps from happening.
pub fn runner_field(name: &str) -> &'static FieldLabel {
    RUNNER_FIELDS.iter().find(|field| field.name == name).unwrap_or(&NOWHERE)
}

/// What the page calls an answer: its label, the sign of a flag, the region of an injury; else its key.
pub fn answer_label(name: &str) -> String {
    let label = runner_field(name).label;
    let mut parts = name.split('.');
    match (parts.next(), parts.next(), parts.next()) {
        _ if !label.is_empty() => words::of(label).to_owned(),
        (Some("flags"), Some(sign), None) => {
            Flag::from_word(sign).map_or(shown(name), |flag| words::of(flag.sign()).to_owned())
        }
        (Some("injury"), None, _) => say!("History").to_owned(),
        (Some("injury"), Some(region), detail) => injury_label(region, detail).unwrap_or_else(|| shown(name)),
        _ => shown(name),
    }
}

/// `Calf, painful now`, in the words of the table of the history.
fn injury_label(region: &str, detail: Option<&str>) -> Option<String> {
    let word = |table: &[(&str, &'static str)], key| {
        table.iter().find(|(name, _)| *name == key).map(|(_, word)| words::of(word))
    };
    let region = word(REGIONS, region)?;
    match detail {
        None => Some(region.to_owned()),
        Some(detail) => Some(format!("{region}, {}", word(INJURY_DETAILS, detail)?)),
    }
}

/// Every field of the runner's form but the signs behind the question about pain, and the history.
pub const RUNNER_FIELDS: &[FieldLabel] = &[
    field(
        "run.audience",
        "Shoes for",
        Kind::Radio(&[("women", "Women"), ("men", "Men"), ("youth", "Youth")]),
    ),
    field(
        "size.system",
        "Size system",
        Kind::Select(&[
            ("EU", "EU"),
            ("UK", "UK"),
            ("US", "US"),
            ("MP", "foot length in mm"),
            ("CM", "foot length in cm"),
        ]),
    ),
    field("size.worn_label", "Worn label", Kind::Words).hint("As printed in the shoe: 42.5, 42 2/3, 9½."),
    field("foot.left_length_mm", "Left foot", Kind::Decimal)
        .unit("mm")
        .hint("Standing, heel to longest toe."),
    field("foot.right_length_mm", "Right foot", Kind::Decimal).unit("mm").hint("The larger foot decides."),
    field("foot.width_mm", "Width", Kind::Decimal).unit("mm").hint("At the ball, the wider foot."),
    field("size.working", "Working sizes", Kind::Words)
        .hint("Tap on or off. With none on, they are proposed from the feet, else from the worn label."),
    field("size.width", "Width label", Kind::Select(&[]))
        .hint("As printed on the boxes in stock; never worked out."),
    field(
        "run.purpose",
        "What for",
        Kind::Radio(&[
            ("daily", "Daily running"),
            ("tempo", "Faster running"),
            ("long", "Long runs"),
            ("race", "Racing"),
            ("walk", "Walking"),
        ]),
    ),
    field("now.words", "Pair worn now", Kind::Words)
        .hint("Maker and name, as far as known. Shoes no longer stocked are found too."),
    field("now.style", "Which of these", Kind::Radio(&[])),
    field("now.heel_stack_mm", "Heel stack", Kind::Decimal).unit("mm"),
    field("now.forefoot_stack_mm", "Forefoot stack", Kind::Decimal).unit("mm"),
    field("now.drop_mm", "Drop", Kind::Decimal).unit("mm"),
    field("now.mass_g", "Weight of one shoe", Kind::Decimal).unit("g"),
    field("now.mass_size", "Weighed at size", Kind::Words),
    field(
        "now.bending_word",
        "Bends",
        Kind::Select(&[
            ("very flexible", "very flexible"),
            ("flexible", "flexible"),
            ("medium", "medium"),
            ("stiff", "stiff"),
            ("very stiff", "very stiff"),
        ]),
    ),
    field("now.rocker", "Rocker sole", Kind::Select(YES_NO)),
    field("now.plate", "Plate", Kind::Select(YES_NO)),
    field(
        "now.feel",
        "How it feels",
        Kind::Radio(&[
            ("flatter", "Flatter than most"),
            ("like most", "Like most"),
            ("taller", "Taller than most"),
        ]),
    )
    .hint("When there are no numbers. A guess, and marked as one."),
    field("now.main", "It is the pair that runs most", Kind::Radio(YES_NO)),
    field(
        "now.purposes",
        "What that pair is for",
        Kind::Select(&[
            ("daily", "daily running"),
            ("tempo", "faster running"),
            ("race", "racing"),
            ("long", "long runs"),
            ("walk", "walking"),
        ]),
    )
    .hint("Of a pair that is not in the catalogue."),
    field(
        "now.old_pair",
        "What becomes of it",
        Kind::Radio(&[("keep", "Stays in use"), ("finished", "Finished")]),
    ),
    field(
        "stage.heading",
        "Where to",
        Kind::Radio(&[
            ("less", "Towards less shoe"),
            ("same", "Staying"),
            ("more", "Back to more shoe"),
            ("new", "A new start"),
        ]),
    ),
    field("stage.weeks_done", "Weeks done in this step", Kind::Whole),
    field(
        "run.strike",
        "Lands on",
        Kind::Radio(&[("rearfoot", "Heel"), ("midfoot", "Midfoot"), ("forefoot", "Forefoot")]),
    ),
    field(
        "run.strike_seen",
        "How it was seen",
        Kind::Radio(&[
            ("video-240", "Video, 240 frames a second"),
            ("video", "Ordinary video"),
            ("eye", "By eye"),
            ("told", "The runner's own word"),
        ]),
    )
    .hint("The runner's own word was right in 43 of 100 (710 runners); it is kept, never used."),
    field("run.strike_angle_deg", "Foot strike angle", Kind::Words).unit("°").hint("Toes up is positive."),
    field("run.strike_index_percent", "Strike index", Kind::Decimal)
        .unit("%")
        .hint("From a force plate: where the foot first presses, of its length from the heel."),
    field("run.strike_changing", "The landing is being changed", Kind::Radio(YES_NO)),
    field("run.weekly_km", "Weekly distance", Kind::Whole).unit("km"),
    field("run.regular", "Ran weekly in 6 of the last 12 months", Kind::Radio(YES_NO)),
    field(
        "run.body_mass_band",
        "Body mass",
        Kind::Select(&[
            ("below 62.8", "below 62.8"),
            ("62.8-71.4", "62.8 to 71.4"),
            ("71.4-78.2", "71.4 to 78.2"),
            ("78.2-85.7", "78.2 to 85.7"),
            ("above 85.7", "above 85.7"),
        ]),
    )
    .unit("kg")
    .hint("A band is enough. Never shown on any other page."),
    field("run.sex", "Sex", Kind::Radio(&[("female", "Female"), ("male", "Male")]))
        .hint("One trial's rule on cushioning needs it."),
    field("run.strength_work", "Strength work for foot and calf", Kind::Radio(YES_NO)),
    field(
        "run.surface",
        "Surface",
        Kind::Radio(&[("road", "Road"), ("trail", "Trail"), ("track", "Track"), ("indoor", "Indoor")]),
    ),
    field("run.budget", "Most it may cost", Kind::Decimal),
    field(
        "asked_for.by",
        "Who asked",
        Kind::Radio(&[("runner", "Runner"), ("fitter", "Fitter"), ("clinician", "Clinician")]),
    ),
    field("asked_for.drop_mm", "Drop", Kind::Range).unit("mm").hint("From the least to the most."),
    field("asked_for.landing_stack_mm", "Landing stack", Kind::Range)
        .unit("mm")
        .hint("From the least to the most."),
    field("asked_for.plate", "A plate", Kind::Select(&[("yes", "wanted"), ("no", "not wanted")])),
    field("asked_for.rocker", "A rocker sole", Kind::Select(&[("yes", "wanted"), ("no", "not wanted")])),
    field("asked_for.own_insole", "An insole of their own goes in", Kind::Radio(YES_NO)),
    field(
        "flags.pain",
        "Asked aloud",
        Kind::Radio(&[
            ("no", "No, nothing of it"),
            ("yes", "Yes, as ticked below or painful now in the history"),
        ]),
    )
    .hint("One tick below ends the ordering and names whom to see. The stock can still be searched."),
    field("flags.diabetes", "Diabetes", Kind::Radio(YES_NO)),
    field(
        "flags.diabetes_feeling_normal_and_cleared",
        "Feeling in the feet is normal, and the care team has cleared running",
        Kind::Radio(YES_NO),
    ),
];

/// What is said of each injury: key and label. The last is asked by the list, where two pains pull apart.
pub const INJURY_DETAILS: &[(&str, &str)] = &[
    ("recent", "within 12 months"),
    ("painful", "painful now"),
    ("cleared", "cleared by a clinician"),
    ("current", "the current pain"),
];

/// The regions of the history: value and label.
pub const REGIONS: &[(&str, &str)] = &[
    ("achilles", "Achilles tendon"),
    ("calf", "Calf"),
    ("plantar-heel", "Under the heel"),
    ("foot-bone", "Bone of the foot"),
    ("navicular", "Navicular bone"),
    ("kneecap", "Around the kneecap"),
    ("iliotibial", "Outside of the knee (iliotibial band)"),
    ("shin", "Along the shin"),
    ("shin-bone", "Shin bone"),
    ("big-toe-joint", "Big-toe joint (arthritis)"),
    ("forefoot-nerve", "Nerve of the forefoot"),
    ("ankle", "Ankle, giving way"),
    ("knee-arthritis", "Knee arthritis"),
    ("hip-bone", "Hip bone"),
    ("other", "Somewhere else"),
];

#[cfg(test)]
mod tests {
    use super::*;
    use catalogue::injury::Region;

    #[test]
    fn every_field_has_one_label_and_one_name() {
        for (place, field) in RUNNER_FIELDS.iter().enumerate() {
            assert!(!field.label.is_empty());
            assert!(
                RUNNER_FIELDS[place + 1..].iter().all(|other| other.name != field.name),
                "{}",
                field.name
            );
        }
    }

    #[test]
    fn every_region_of_the_catalogue_has_its_label() {
        let words: Vec<&str> = Region::ALL.iter().map(|region| region.word()).collect();
        let labelled: Vec<&str> = REGIONS.iter().map(|(value, _)| *value).collect();
        assert_eq!(words, labelled);
    }
}
