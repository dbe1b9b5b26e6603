//! The bibliography: one constant a paper. A rule that names none of them does not compile.

/// A published source.
#[derive(Debug, PartialEq, Eq)]
pub struct Source {
    /// Its short name, in links.
    pub id: &'static str,
    /// Authors, shortened.
    pub authors: &'static str,
    /// Year of publication.
    pub year: u16,
    /// Where it appeared.
    pub journal: &'static str,
    /// The DOI, where one is known.
    pub doi: Option<&'static str>,
    /// What it is, and on whom.
    pub what: &'static str,
    /// Conflicts of interest, where known.
    pub conflicts: &'static str,
}

const NO_CONFLICT_KNOWN: &str = "none known to us";
const PROTOTYPES: &str = "shoes were prototypes of a manufacturer or retailer that employed some of the authors; versions were blinded";

/// Declares the constants and the list of them, in one place and in order of their names.
macro_rules! sources {
    ($($name:ident { $id:literal, $authors:literal, $year:literal, $journal:literal, $doi:expr, $what:literal, $conflicts:expr })+) => {
        $(
            #[doc = $what]
            pub const $name: Source = Source {
                id: $id, authors: $authors, year: $year, journal: $journal, doi: $doi, what: $what, conflicts: $conflicts,
            };
        )+

        /// All sources, in order of their ids.
        pub static SOURCES: &[&Source] = &[$(&$name),+];
    };
}

sources! {
    AGRESTA_2022 { "agresta-2022", "Agresta and others", 2022, "Frontiers in Sports and Active Living 4", Some("10.3389/fspor.2022.815675"), "Review of four ideas of how running shoes work: evidence for each is limited.", NO_CONFLICT_KNOWN }
    ALTMAN_2012 { "altman-2012", "Altman, Davis", 2012, "Gait and Posture 35:298", Some("10.1016/j.gaitpost.2011.09.104"), "Laboratory study of the foot strike angle, barefoot and in shoes (cut points and DOI from memory).", NO_CONFLICT_KNOWN }
    ANDERSON_2020 { "anderson-2020", "Anderson and others", 2020, "Sports Medicine 50:885", Some("10.1007/s40279-019-01238-y"), "Review of foot strike, injury and economy: 53 studies.", NO_CONFLICT_KNOWN }
    ANDERSON_2022 { "anderson-2022", "Anderson and others", 2022, "Sports Medicine - Open 8:112", Some("10.1186/s40798-022-00504-0"), "Review of 37 studies of step rate in runners.", NO_CONFLICT_KNOWN }
    BARTON_2009 { "barton-2009", "Barton and others", 2009, "Journal of Foot and Ankle Research 2:10", Some("10.1186/1757-1146-2-10"), "How well raters agree on a footwear assessment, in 15 people.", NO_CONFLICT_KNOWN }
    BULDT_2018 { "buldt-2018", "Buldt, Menz", 2018, "Journal of Foot and Ankle Research 11", Some("10.1186/s13047-018-0284-z"), "Review of 18 studies of shoes that do not match the foot in length or width.", NO_CONFLICT_KNOWN }
    CAVANAGH_1980 { "cavanagh-1980", "Cavanagh, Lafortune", 1980, "Journal of Biomechanics 13:397", Some("10.1016/0021-9290(80)90033-0"), "Laboratory study with a force plate: the strike index (DOI from memory).", NO_CONFLICT_KNOWN }
    DAVIS_2016 { "davis-2016", "Davis and others", 2016, "British Journal of Sports Medicine", Some("10.1136/bjsports-2015-094579"), "Cohort of 249 women: landing loads and injury.", NO_CONFLICT_KNOWN }
    ESCULIER_2015 { "esculier-2015", "Esculier, Dubois, Dionne, Leblond, Roy", 2015, "Journal of Foot and Ankle Research 8:42", Some("10.1186/s13047-015-0094-5"), "The Minimalist Index: consensus of 42 experts, tried by 85 raters on 10 shoes.", NO_CONFLICT_KNOWN }
    ESCULIER_2018 { "esculier-2018", "Esculier and others", 2018, "British Journal of Sports Medicine 52:659", Some("10.1136/bjsports-2016-096988"), "Trial of 69 runners with kneecap pain: education did as well as education with exercises or gait training.", NO_CONFLICT_KNOWN }
    FUKANO_2016 { "fukano-2016", "Fukano, Iso", 2016, "Journal of Functional Morphology and Kinesiology 1", Some("10.3390/jfmk1010030"), "Feet of 21 runners before and after 35 km.", NO_CONFLICT_KNOWN }
    FULLER_2015 { "fuller-2015", "Fuller and others", 2015, "BMJ Open", Some("10.1136/bmjopen-2015-008307"), "Protocol of the trial of minimal shoes over 26 weeks.", "shoes were given by a manufacturer, as far as we know" }
    FULLER_2017 { "fuller-2017", "Fuller and others", 2017, "American Journal of Sports Medicine 45:1162", Some("10.1177/0363546516682497"), "Trial of minimal shoes over 26 weeks in 61 trained men who landed on the rearfoot.", "shoes were given by a manufacturer, as far as we know" }
    FULLER_2018 { "fuller-2018", "Fuller and others", 2018, "European Journal of Sport Science", None, "The same trial: performance and calf strength in 50 men.", "shoes were given by a manufacturer, as far as we know" }
    GOTO_2024 { "goto-2024", "Goto", 2024, "International Journal of Sports Physical Therapy 19:1386", Some("10.26603/001c.123952"), "Foot strike by eye on 240 frames a second against a laboratory: 162 strikes of 4 runners.", NO_CONFLICT_KNOWN }
    GREEN_2017 { "green-2017", "Green, Pizzari", 2017, "British Journal of Sports Medicine 51:1189", None, "Review of calf strain: 10 studies, 5,397 athletes, 518 injuries.", NO_CONFLICT_KNOWN }
    GU_2024 { "gu-2024", "Gu and others", 2024, "Journal of Medical Biomechanics 39:1160", Some("10.16156/j.1004-7220.2024.06.021"), "Laboratory study of drop 5, 0 and -11 mm in 16 runners with kneecap pain.", NO_CONFLICT_KNOWN }
    HANNIGAN_2019 { "hannigan-2019", "Hannigan, Pollard", 2019, "Footwear Science", None, "Laboratory study of six weeks in very tall shoes: foot and ankle.", NO_CONFLICT_KNOWN }
    HANNIGAN_2023 { "hannigan-2023", "Hannigan, Pollard", 2023, "Footwear Science", Some("10.1080/19424280.2023.2199303"), "Laboratory study of six weeks in very tall shoes: knee and hip.", NO_CONFLICT_KNOWN }
    HOLOWKA_2018 { "holowka-2018", "Holowka and others", 2018, "Scientific Reports 8", Some("10.1038/s41598-018-21916-7"), "Feet of minimally shod men in Mexico beside those of men in the United States.", NO_CONFLICT_KNOWN }
    HOOGKAMER_2016 { "hoogkamer-2016", "Hoogkamer and others", 2016, "Medicine and Science in Sports and Exercise 48:2175", Some("10.1249/MSS.0000000000001012"), "Laboratory study of added shoe mass; restates two earlier ones.", "some authors were paid by a manufacturer, as far as we know" }
    HOOGKAMER_2018 { "hoogkamer-2018", "Hoogkamer and others", 2018, "Sports Medicine 48:1009", Some("10.1007/s40279-017-0811-2"), "Laboratory study of plated shoes in 18 fast runners.", "paid by the manufacturer of the prototype" }
    IWGDF_2023 { "iwgdf-2023", "International Working Group on the Diabetic Foot", 2023, "Guideline", Some("10.1002/dmrr.3651"), "Guideline on footwear and screening for people with diabetes.", "a guideline, not a study" }
    KETTNER_2025 { "kettner-2025", "Kettner and others", 2025, "Frontiers in Bioengineering and Biotechnology 13", Some("10.3389/fbioe.2025.1526752"), "Laboratory study of 27, 35 and 50 mm stacks in 17 experienced runners.", NO_CONFLICT_KNOWN }
    KNAPIK_2014 { "knapik-2014", "Knapik and others", 2014, "Journal of Orthopaedic and Sports Physical Therapy 44:805", Some("10.2519/jospt.2014.5342"), "Three trials of shoes given by the shape of the arch, in military training.", NO_CONFLICT_KNOWN }
    KNOPP_2023 { "knopp-2023", "Knopp and others", 2023, "Sports Medicine 53:1255", Some("10.1007/s40279-023-01816-1"), "Laboratory study of plated shoes in world-class and amateur runners: from +11 to -11 %.", "paid by a manufacturer, as far as we know" }
    MALISOUX_2015 { "malisoux-2015", "Malisoux and others", 2015, "Scandinavian Journal of Medicine and Science in Sports 25:110", Some("10.1111/sms.12154"), "Cohort of 264 runners over 22 weeks.", NO_CONFLICT_KNOWN }
    MALISOUX_2016_DROP { "malisoux-2016-drop", "Malisoux and others", 2016, "American Journal of Sports Medicine 44:2933", Some("10.1177/0363546516654690"), "Trial of drop 10, 6 and 0 mm in 553 runners over 6 months.", PROTOTYPES }
    MALISOUX_2016_MOTION { "malisoux-2016-motion", "Malisoux and others", 2016, "British Journal of Sports Medicine 50:481", Some("10.1136/bjsports-2015-095031"), "Trial of motion-control against standard versions of a shoe in 372 runners over 6 months.", PROTOTYPES }
    MALISOUX_2020 { "malisoux-2020", "Malisoux and others", 2020, "American Journal of Sports Medicine 48:473", Some("10.1177/0363546519892578"), "Trial of soft and hard midsoles in 848 runners over 6 months.", PROTOTYPES }
    MALISOUX_2021 { "malisoux-2021", "Malisoux and others", 2021, "Frontiers in Sports and Active Living 3", Some("10.3389/fspor.2021.744658"), "The trial of soft and hard midsoles: landing loads beside injuries.", PROTOTYPES }
    MAYER_2014 { "mayer-2014", "Mayer and others", 2014, "Sports Health", Some("10.1177/1941738113486588"), "Review of bone stress in the foot and ankle.", NO_CONFLICT_KNOWN }
    MENZ_2021 { "menz-2021", "Menz, Bonanno", 2021, "Journal of Foot and Ankle Research 14", None, "Review of footwear comfort: 101 papers.", NO_CONFLICT_KNOWN }
    MO_2023 { "mo-2023", "Mo and others", 2023, "Sports Biomechanics", None, "Cut points of the foot strike angle derived again, in 43 people.", NO_CONFLICT_KNOWN }
    MUNTEANU_2021 { "munteanu-2021", "Munteanu and others", 2021, "Osteoarthritis and Cartilage 29:480", None, "Trial of stiff inserts in 100 people with arthritis of the big-toe joint.", NO_CONFLICT_KNOWN }
    NIELSEN_2014 { "nielsen-2014", "Nielsen and others", 2014, "British Journal of Sports Medicine 48:440", Some("10.1136/bjsports-2013-092202"), "Cohort of 927 new runners in a neutral shoe over a year.", NO_CONFLICT_KNOWN }
    NIGG_2015 { "nigg-2015", "Nigg and others", 2015, "British Journal of Sports Medicine 49:1290", Some("10.1136/bjsports-2015-095054"), "The comfort filter: a hypothesis, not tested as a trial of choosing shoes.", NO_CONFLICT_KNOWN }
    PATERSON_2021 { "paterson-2021", "Paterson and others", 2021, "Annals of Internal Medicine", Some("10.7326/M20-6321"), "Trial of stable against flat flexible walking shoes in 164 people with knee arthritis.", NO_CONFLICT_KNOWN }
    RABUSIN_2021 { "rabusin-2021", "Rabusin and others", 2021, "British Journal of Sports Medicine", Some("10.1136/bjsports-2019-101776"), "Trial of heel lifts against exercise in 100 people with Achilles tendinopathy.", NO_CONFLICT_KNOWN }
    RELPH_2022 { "relph-2022", "Relph and others", 2022, "Cochrane Database of Systematic Reviews", Some("10.1002/14651858.CD013368.pub2"), "Review of trials of running shoes and injury (its results from memory).", NO_CONFLICT_KNOWN }
    RIDGE_2013 { "ridge-2013", "Ridge and others", 2013, "Medicine and Science in Sports and Exercise 45:1363", Some("10.1249/MSS.0b013e3182874769"), "Trial of a 10-week change to minimal shoes in 36 runners, with scans of the foot bones (DOI from memory).", NO_CONFLICT_KNOWN }
    RIDGE_2019 { "ridge-2019", "Ridge and others", 2019, "Medicine and Science in Sports and Exercise 51:104", None, "Trial of walking in minimal shoes against foot exercises in 57 runners.", NO_CONFLICT_KNOWN }
    SALZLER_2012 { "salzler-2012", "Salzler and others", 2012, "Foot and Ankle International 33:262", Some("10.3113/FAI.2012.0262"), "Ten runners injured after a change to minimal shoes.", NO_CONFLICT_KNOWN }
    SCHMIDA_2022 { "schmida-2022", "Schmida and others", 2022, "Medicine and Science in Sports and Exercise", Some("10.1249/MSS.0000000000002917"), "Cohort of 79 collegiate runners over four seasons: loading rate and injury.", NO_CONFLICT_KNOWN }
    SINCLAIR_2014 { "sinclair-2014", "Sinclair", 2014, "Clinical Biomechanics 29:395", Some("10.1016/j.clinbiomech.2014.02.004"), "Laboratory study of minimal and conventional shoes in 30 men.", NO_CONFLICT_KNOWN }
    SOBHANI_2015 { "sobhani-2015", "Sobhani and others", 2015, "Journal of Science and Medicine in Sport 18:133", None, "Laboratory study of rocker soles in 13 people with Achilles tendinopathy.", NO_CONFLICT_KNOWN }
    SOBHANI_2017 { "sobhani-2017", "Sobhani and others", 2017, "Journal of Science and Medicine in Sport", None, "Laboratory study of rocker soles in 16 healthy women (year from memory).", NO_CONFLICT_KNOWN }
    TADDEI_2020 { "taddei-2020", "Taddei and others", 2020, "American Journal of Sports Medicine", Some("10.1177/0363546520969205"), "Trial of foot strengthening in 118 recreational runners over a year.", NO_CONFLICT_KNOWN }
    TENFORDE_2023 { "tenforde-2023", "Tenforde and others", 2023, "Sports Medicine", Some("10.1007/s40279-023-01818-z"), "Five runners with bone stress of the navicular in plated shoes.", NO_CONFLICT_KNOWN }
    THEISEN_2014 { "theisen-2014", "Theisen and others", 2014, "British Journal of Sports Medicine 48:371", Some("10.1136/bjsports-2013-092613"), "Trial of soft and hard midsoles, 15 % apart, in 247 runners over 5 months.", PROTOTYPES }
    VAN_DER_WORP_2016 { "van-der-worp-2016", "van der Worp and others", 2016, "British Journal of Sports Medicine 50:450", None, "Meta-analysis of landing loads and injury.", NO_CONFLICT_KNOWN }
    VIDEO_2019 { "video-2019", "Authors not noted", 2019, "Sports 7:8", Some("10.3390/sports7010008"), "Two raters on 155 outdoor videos at 240 frames a second.", NO_CONFLICT_KNOWN }
    VINCENT_2024 { "vincent-2024", "Vincent and others", 2024, "Frontiers in Sports and Active Living 6:1491486", Some("10.3389/fspor.2024.1491486"), "What 710 runners said of their foot strike, beside a laboratory.", NO_CONFLICT_KNOWN }
    WA_SHOE_RULES { "wa-shoe-rules", "World Athletics", 2026, "Book C2.1A, Athletic Shoe Regulations", None, "The competition rule on sole thickness.", "a rule, not a study" }
    WARNE_2017 { "warne-2017", "Warne, Gruber", 2017, "Sports Medicine - Open 3:33", Some("10.1186/s40798-017-0096-x"), "Review of 20 studies of changing to minimal shoes or barefoot running.", NO_CONFLICT_KNOWN }
    WILLEMS_2021 { "willems-2021", "Willems and others", 2021, "Journal of Orthopaedic and Sports Physical Therapy 51:135", Some("10.2519/jospt.2021.9710"), "The trial of motion-control shoes once more: 25 injuries of one group.", PROTOTYPES }
    XU_2021 { "xu-2021", "Xu and others", 2021, "Sports Health", Some("10.1177/1941738120934715"), "Meta-analysis of foot strike and load: 26 laboratory studies, 472 people.", NO_CONFLICT_KNOWN }
    ZHANG_2022 { "zhang-2022", "Zhang and others", 2022, "Gait and Posture", Some("10.1016/j.gaitpost.2022.02.008"), "Laboratory study of drop 0, 5, 10 and 15 mm in 18 runners who land on the rearfoot.", NO_CONFLICT_KNOWN }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_unique_sorted_and_end_in_a_name_or_year() {
        assert!(SOURCES.is_sorted_by(|a, b| a.id < b.id));
    }

    #[test]
    fn every_source_says_what_it_is_and_who_paid_as_far_as_known() {
        for source in SOURCES {
            assert!(source.what.ends_with('.') && !source.conflicts.is_empty(), "{}", source.id);
            assert!(source.doi.is_none_or(|doi| doi.starts_with("10.")), "{}", source.id);
        }
    }
}
