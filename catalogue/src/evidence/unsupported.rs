//! What many believe and the studies do not carry: said in plain words, so that nobody sells by it.

use super::sources::{
    AGRESTA_2022, ANDERSON_2020, DAVIS_2016, ESCULIER_2015, FUKANO_2016, FULLER_2017, HOLOWKA_2018,
    KNAPIK_2014, KNOPP_2023, MALISOUX_2015, MALISOUX_2016_DROP, MALISOUX_2016_MOTION, MALISOUX_2020,
    MALISOUX_2021, NIELSEN_2014, RELPH_2022, SCHMIDA_2022, THEISEN_2014, VAN_DER_WORP_2016, VINCENT_2024,
    WARNE_2017, WILLEMS_2021,
};
use super::{Evidence, Grade, Source};

/// A belief that the studies do not carry.
#[derive(Clone, Copy, Debug)]
pub struct Unsupported {
    /// Its name in links.
    pub id: &'static str,
    /// The belief, as it is heard in a shop.
    pub belief: &'static str,
    /// What was found instead; its grade is that of the belief.
    pub evidence: Evidence,
}

const fn found(
    grade: Grade,
    sources: &'static [&'static Source],
    shows: &'static str,
    studied: &'static str,
    limits: &'static str,
) -> Evidence {
    Evidence { grade, sources, shows, studied, limits }
}

/// All of them, in the order in which they are met.
pub static UNSUPPORTED: &[Unsupported] = &[
    Unsupported {
        id: "loading-rate",
        belief: "A high loading rate injures.",
        evidence: found(
            Grade::Conflicting,
            &[&SCHMIDA_2022, &VAN_DER_WORP_2016, &DAVIS_2016, &MALISOUX_2021],
            "Over four seasons there was no link, however it was calculated. Women who were injured landed harder than those never injured, but not than all who stayed well. In softer shoes fewer were injured although impact peaks were higher.",
            "79 collegiate runners; a meta-analysis; 249 women; 848 runners of a trial.",
            "Studies point both ways, so nothing here scores it.",
        ),
    },
    Unsupported {
        id: "more-foam",
        belief: "More foam is always gentler.",
        evidence: found(
            Grade::Conflicting,
            &[&MALISOUX_2020, &THEISEN_2014],
            "One trial leans towards softer midsoles within the usual range, mainly for lighter runners; another with 15 % between them found no difference.",
            "848 and 247 recreational runners.",
            "Nothing was found on very tall shoes and injury.",
        ),
    },
    Unsupported {
        id: "foam-wastes-feet",
        belief: "Cushioned shoes waste the muscles of the foot.",
        evidence: found(
            Grade::None,
            &[&HOLOWKA_2018],
            "Minimally shod men had stiffer arches and larger foot muscles. Whether muscle is lost in cushioned shoes over time: no study found.",
            "Men in Mexico beside men in the United States, at one moment.",
            "The groups differ in much else. Exercises and minimal shoes can make the muscles larger.",
        ),
    },
    Unsupported {
        id: "match-the-arch",
        belief: "The shoe must match the arch or the pronation.",
        evidence: found(
            Grade::Conflicting,
            &[&KNAPIK_2014, &NIELSEN_2014, &RELPH_2022, &MALISOUX_2016_MOTION, &WILLEMS_2021],
            "Shoes given by the arch made no difference in three trials. Pronators in a neutral shoe were not worse off. One trial leans the other way: fewer injuries with motion control, most clearly in pronated feet.",
            "Thousands of recruits; 927 new runners; 372 recreational runners.",
            "Studies point both ways, so nothing here scores it.",
        ),
    },
    Unsupported {
        id: "forefoot-strike",
        belief: "Landing on the forefoot keeps runners well.",
        evidence: found(
            Grade::None,
            &[&ANDERSON_2020, &VINCENT_2024],
            "Nobody has followed runners forward to see. Landing further forward trades load at the knee for load at calf and ankle.",
            "53 studies, nearly all looking back or in a laboratory.",
            "Most runners also cannot say how they land: 43 in 100 were right.",
        ),
    },
    Unsupported {
        id: "heavy-needs-cushion",
        belief: "Heavy runners need more cushioning.",
        evidence: found(
            Grade::None,
            &[&MALISOUX_2020, &FULLER_2017],
            "In the one trial softness leaned towards helping the lighter half; for the heavier half it was unclear. Heavier men did worse in minimal shoes, which is another question.",
            "848 recreational runners; 61 trained men.",
            "One trial each.",
        ),
    },
    Unsupported {
        id: "low-drop",
        belief: "A low drop is better, or a low drop is worse.",
        evidence: found(
            Grade::Conflicting,
            &[&MALISOUX_2016_DROP],
            "No difference between 10, 6 and 0 mm for all together. Occasional runners leaned towards fewer injuries with a low drop, regular ones towards more.",
            "553 runners over six months.",
            "The two groups are parts of one trial.",
        ),
    },
    Unsupported {
        id: "index-predicts",
        belief: "A number on the sheet, or the Minimalist Index, foretells injury.",
        evidence: found(
            Grade::None,
            &[&ESCULIER_2015, &WARNE_2017],
            "The index describes a shoe. Whether it foretells injury has not been tested.",
            "42 experts and 85 raters on ten shoes.",
            "It is shown to the fitter and never scored.",
        ),
    },
    Unsupported {
        id: "shoes-explain",
        belief: "Shoes explain most injuries.",
        evidence: found(
            Grade::None,
            &[&THEISEN_2014, &MALISOUX_2015, &AGRESTA_2022],
            "An earlier injury, training and body mass index come back in study after study; what shoes do is of the same size or smaller, with wide intervals.",
            "Trials and cohorts of a few hundred runners each.",
            "Up to 30 of our 100 points come from such studies; the rest is our house's view.",
        ),
    },
    Unsupported {
        id: "feet-swell",
        belief: "Feet swell by a size on a long run.",
        evidence: found(
            Grade::None,
            &[&FUKANO_2016],
            "After 35 km feet were 0.4 mm longer and 0.1 mm wider, which is no difference, and 1.7 % smaller in volume.",
            "21 runners.",
            "One small study; heat and time of day were not its question.",
        ),
    },
    Unsupported {
        id: "plate-for-everyone",
        belief: "A plate makes everyone faster.",
        evidence: found(
            Grade::Conflicting,
            &[&KNOPP_2023],
            "On average less energy, but from 11 % gained to 11 % lost between one runner and the next.",
            "World-class and amateur runners on a treadmill.",
            "Foam, shape and plate cannot be told apart in such studies.",
        ),
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_belief_has_sources_people_and_limits_and_none_is_well_supported() {
        for entry in UNSUPPORTED {
            let Evidence { grade, sources, shows, studied, limits } = entry.evidence;
            assert!(grade.weight() == 0 && !sources.is_empty(), "{}", entry.id);
            for sentence in [entry.belief, shows, studied, limits] {
                assert!(sentence.ends_with('.') && sentence.len() < 400, "{}: {sentence}", entry.id);
            }
        }
    }

    #[test]
    fn what_was_found_promises_nothing() {
        for entry in UNSUPPORTED {
            let words = entry.evidence.shows.to_lowercase();
            for word in ["prevent", "cure", "correct", "protect"] {
                assert!(!words.contains(word), "{} says {word}", entry.id);
            }
        }
    }
}
