//! What is said about a plan: about its schedule, when to hold, strength work, what moves where, the two pairs.

use super::{Change, Kind};
use crate::evidence::{Claim, Evidence, Grade, sources};
use crate::measures::Measures;
use crate::rank::Case;

/// What is said about one plan, part by part.
#[derive(Clone, Debug, Default)]
pub struct Advice {
    /// What the schedule rests on.
    pub schedule: Vec<&'static Claim>,
    /// When to hold, to step back, to stop.
    pub signs: Vec<&'static Claim>,
    /// Strength work.
    pub strength: Vec<&'static Claim>,
    /// What moves to which tissue.
    pub moves: Vec<&'static Claim>,
    /// The old pair beside the new one.
    pub pairs: Vec<&'static Claim>,
}

/// What the plan of a change says.
pub(super) fn of(
    case: &Case,
    change: &Change,
    chosen: &Measures,
    needed: Option<bool>,
    kind: Kind,
) -> Advice {
    let changes = needed != Some(false) || kind == Kind::Rotate;
    if !changes {
        return Advice { schedule: vec![&MORE_THAN_ANY_NUMBER], ..Advice::default() };
    }
    let worn_plate = case.worn.and_then(|worn| worn.measures.plate());
    let first_plate = chosen.plate() == Some(true) && worn_plate != Some(true);
    let plate = first_plate.then_some(&PLATE_SLOWLY);
    let care_team = case.runner.flags.diabetes.is_yes().then_some(&CARE_TEAM);
    Advice {
        schedule: schedule(needed, kind).into_iter().chain(plate).chain(care_team).collect(),
        signs: SIGNS.to_vec(),
        strength: strength(kind),
        moves: moves(change, kind),
        pairs: vec![&PAIRS_IN_TURN],
    }
}

fn schedule(needed: Option<bool>, kind: Kind) -> Vec<&'static Claim> {
    let of_kind: &[&'static Claim] = match kind {
        Kind::Minimal => &[&MINIMAL_SCHEDULE, &A_THIRD_IS_AN_END, &SLOW_SIGNS],
        Kind::LargeStep if needed == Some(true) => &[&LARGE_STEP_SCHEDULE, &SLOW_SIGNS],
        Kind::Rotate => &[&BACK_TO_MORE],
        Kind::LargeStep | Kind::None => &[],
    };
    let unproven = (kind != Kind::Rotate).then_some(&UNPROVEN);
    of_kind.iter().copied().chain(unproven).chain([&MORE_THAN_ANY_NUMBER]).collect()
}

fn strength(kind: Kind) -> Vec<&'static Claim> {
    match kind {
        Kind::Minimal => vec![&STRENGTH_WORK, &WALKING_COUNTS],
        Kind::LargeStep => vec![&STRENGTH_WORK],
        Kind::Rotate | Kind::None => Vec::new(),
    }
}

/// By what the measures do; where they do nothing known, by the wish.
fn moves(change: &Change, kind: Kind) -> Vec<&'static Claim> {
    let ways = [change.drop, change.landing, change.heel].into_iter().flatten();
    let (down, up) = ways.fold((false, false), |(down, up), by| (down || by < 0, up || by > 0));
    let known = [(down, &TO_THE_ANKLE), (up, &TO_THE_KNEE)];
    let moves: Vec<_> = known.into_iter().filter(|(moves, _)| *moves).map(|(_, claim)| claim).collect();
    if moves.is_empty() && kind == Kind::Rotate { vec![&TO_THE_KNEE] } else { moves }
}

/// All of them: the page of rules lists them beside the rules.
pub static CLAIMS: &[&Claim] = &[
    &UNPROVEN,
    &MINIMAL_SCHEDULE,
    &A_THIRD_IS_AN_END,
    &LARGE_STEP_SCHEDULE,
    &SLOW_SIGNS,
    &BACK_TO_MORE,
    &MORE_THAN_ANY_NUMBER,
    &PLATE_SLOWLY,
    &CARE_TEAM,
    &BONE_PAIN,
    &CALF_PAIN,
    &MORNING_STIFFNESS,
    &STRENGTH_WORK,
    &WALKING_COUNTS,
    &TO_THE_ANKLE,
    &TO_THE_KNEE,
    &PAIRS_IN_TURN,
];

/// First what ends it, then what goes back, then what holds.
static SIGNS: [&Claim; 3] = [&BONE_PAIN, &CALF_PAIN, &MORNING_STIFFNESS];

const HOUSE_VIEW: Evidence = Evidence {
    grade: Grade::None,
    sources: &[],
    shows: "No study of it was found.",
    studied: "Nobody: this is our house's view.",
    limits: "It may be too careful for one runner and not careful enough for another.",
};

static UNPROVEN: Claim = Claim {
    id: "plan-unproven",
    says: "Published schedules for going to less shoe differ widely, and none is proven; no study gives millimetres a step. The shares are the most, not a goal: staying below them is within the plan.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::WARNE_2017, &sources::MALISOUX_2016_DROP],
        shows: "In 20 studies 17.9 of 100 people were injured while changing, against 13.4 who did not: no clear difference.",
        studied: "Runners who went to minimal shoes or barefoot, in 20 studies of mostly small groups.",
        limits: "Schedules, shoes and runners were too different to say which schedule does better.",
    },
};

static MINIMAL_SCHEDULE: Claim = Claim {
    id: "plan-minimal",
    says: "26 weeks follow the slowest schedule that was tried in a trial; even so 16 of 31 runners were injured, against 11 of 30 who kept their usual shoes.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::FULLER_2017, &sources::FULLER_2015, &sources::FULLER_2018],
        shows: "The difference was not significant; it leaned upwards above 71.4 kg, and pain rose above 35 km a week.",
        studied: "61 trained men who landed on the rearfoot, 74.6 kg and 25 km a week on average.",
        limits: "One trial, men only. Where the schedule starts (5 %) and its weekly 5 % are from memory.",
    },
};

static A_THIRD_IS_AN_END: Claim = Claim {
    id: "plan-a-third",
    says: "Staying at about a third of the weekly distance in the new shoe is a good end: in one trial nothing more was gained above 35 %.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::FULLER_2018],
        shows: "Economy, time trial and bone density did not change from 35 to 100 %; calf strength rose with longer distances.",
        studied: "50 trained men of the same trial.",
        limits: "Read in a summary of the paper.",
    },
};

static LARGE_STEP_SCHEDULE: Claim = Claim {
    id: "plan-large-step",
    says: "Six weeks for a large step are our house's view; no study of such a step was found.",
    evidence: HOUSE_VIEW,
};

static SLOW_SIGNS: Claim = Claim {
    id: "plan-slowly",
    says: "With any of these signs the plan takes twice the weeks. The signs are of studies; how much slower is our house's view.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[
            &sources::WARNE_2017,
            &sources::FULLER_2017,
            &sources::RIDGE_2013,
            &sources::THEISEN_2014,
            &sources::TADDEI_2020,
        ],
        shows: "More trouble with an earlier injury, above 71.4 kg, above 35 km a week; 10 of 19 runners who changed within ten weeks had signs of stress in a foot bone.",
        studied: "Small groups of runners who went to minimal shoes, some of men only.",
        limits: "Nobody has tested whether half the pace is enough.",
    },
};

static BACK_TO_MORE: Claim = Claim {
    id: "plan-back-to-more",
    says: "For going back to more shoe no schedule is known, and we make none up: run in both pairs in turn. No study promises that the body adapts; after six weeks in very tall shoes nothing had.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::HANNIGAN_2019, &sources::HANNIGAN_2023],
        shows: "Six weeks in very tall shoes changed neither foot and ankle nor knee and hip mechanics.",
        studied: "A small laboratory group of runners.",
        limits: "No trial of a way back to more shoe was found.",
    },
};

static MORE_THAN_ANY_NUMBER: Claim = Claim {
    id: "plan-more-than-numbers",
    says: "Previous injury and a change of training matter more than any number on this sheet.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::THEISEN_2014, &sources::MALISOUX_2015],
        shows: "An injury within 12 months went with about 1.7 times the risk, whatever the shoe.",
        studied: "247 runners of a trial over five months and 264 of a cohort over 22 weeks.",
        limits: "A marker of risk, not a cause.",
    },
};

static PLATE_SLOWLY: Claim = Claim {
    id: "plan-plate",
    says: "The first pair with a plate comes in slowly and gradually, whatever its other measures.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::TENFORDE_2023],
        shows: "Five runners had bone stress of the navicular in plated shoes; the authors ask for a slow, gradual change.",
        studied: "Five cases.",
        limits: "Cases cannot say how often it happens, nor which pace is slow enough.",
    },
};

static CARE_TEAM: Claim = Claim {
    id: "plan-care-team",
    says: "With diabetes the care team decides on any change of shoe; look at the feet after each run.",
    evidence: Evidence {
        grade: Grade::None,
        sources: &[&sources::IWGDF_2023],
        shows: "A guideline asks for properly fitting footwear, regular screening, and no walking barefoot or on thin soles at higher risk.",
        studied: "People with diabetes, as patients; not runners.",
        limits: "A guideline of clinicians. The shop does not judge the risk.",
    },
};

static BONE_PAIN: Claim = Claim {
    id: "sign-bone-pain",
    says: "Stop running and see a clinician: new pain in one spot of bone, which a fingertip can cover.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::MAYER_2014, &sources::SALZLER_2012],
        shows: "Bone stress in some places of the foot heals badly when it is found late; nine of ten injured runners of a series had it after a change to minimal shoes.",
        studied: "A review of foot bone stress, and ten experienced runners.",
        limits: "Only a clinician can tell what a pain is.",
    },
};

static CALF_PAIN: Claim = Claim {
    id: "sign-calf-pain",
    says: "Step back one week: calf pain that is still there after 48 hours.",
    evidence: HOUSE_VIEW,
};

static MORNING_STIFFNESS: Claim = Claim {
    id: "sign-morning-stiffness",
    says: "Hold this week's share: an Achilles tendon that is stiffer in the morning than last week.",
    evidence: HOUSE_VIEW,
};

static STRENGTH_WORK: Claim = Claim {
    id: "plan-strength",
    says: "One trial leans towards strength work for foot and calf: eight weeks with guidance, then at home; fewer were injured, seen after four to eight months.",
    evidence: Evidence {
        grade: Grade::Moderate,
        sources: &[&sources::TADDEI_2020],
        shows: "14.0 of 100 were injured within a year with it, 32.8 without.",
        studied: "118 recreational runners, 20 to 100 km a week, in their usual shoes.",
        limits: "One trial; half kept it up for a year, and its printed interval does not fit its p-value.",
    },
};

static WALKING_COUNTS: Claim = Claim {
    id: "plan-walking",
    says: "Walking in the new pair while still running in the old one is another way to begin.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::RIDGE_2019],
        shows: "Eight weeks of walking in minimal shoes made foot muscles grow about as much as exercises did.",
        studied: "57 runners.",
        limits: "Muscle size was measured, not injury.",
    },
};

static TO_THE_ANKLE: Claim = Claim {
    id: "moves-to-ankle",
    says: "Less drop or less under the foot moves load from the knee towards calf, Achilles tendon and forefoot. Nothing removes load.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::XU_2021, &sources::SINCLAIR_2014, &sources::GU_2024, &sources::ZHANG_2022],
        shows: "Load behind the kneecap falls and load on the Achilles tendon rises with less drop, minimal shoes and a more forward landing.",
        studied: "Laboratory runners, mostly healthy; 16 had kneecap pain.",
        limits: "Loads of single runs in a laboratory, not injuries.",
    },
};

static TO_THE_KNEE: Claim = Claim {
    id: "moves-to-knee",
    says: "More drop or more under the foot moves load from calf and Achilles tendon towards the knee, which may take more. Nothing removes load.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::ZHANG_2022, &sources::GU_2024, &sources::SINCLAIR_2014],
        shows: "With 10 or 15 mm of drop the stress behind the kneecap was more than 15 % higher than with none.",
        studied: "18 laboratory runners who land on the rearfoot; 16 with kneecap pain; 30 men.",
        limits: "Loads of single runs in a laboratory, not injuries.",
    },
};

static PAIRS_IN_TURN: Claim = Claim {
    id: "plan-pairs-in-turn",
    says: "Keep the old pair in use beside the new one: runners with more than one pair had fewer injuries in one cohort.",
    evidence: Evidence {
        grade: Grade::Limited,
        sources: &[&sources::MALISOUX_2015],
        shows: "0.61 times the risk (0.39 to 0.97).",
        studied: "264 recreational runners over 22 weeks.",
        limits: "A cohort, not a trial: those with more pairs may differ in other ways.",
    },
};
