//! The constants of the rules against `tables/evidence_constants.csv`: each figure stands where a fitter reads it, beside
//! the paper it is from; and each cut point is where the paper puts it.

use catalogue::evidence::{Evidence, claims};
use catalogue::injury::{Answer, Injury, Region};
use catalogue::measures::{Measures, Worn};
use catalogue::policy::HousePolicy;
use catalogue::rank::Case;
use catalogue::rules::{Gives, Rule, Share};
use catalogue::runner::{BodyMass, Runner, Sex};
use catalogue::style::{Compression, Purposes, Specification};
use catalogue::units::{Kilograms, Mm, NewtonsPerMm};

use crate::outside_tables::Table;

/// The sentence and the evidence printed under an id.
fn printed(id: &str) -> (&'static str, Evidence) {
    let rule = Rule::find(id).map(|rule| (rule.says, rule.evidence));
    let claim = || claims().find(|claim| claim.id == id).map(|claim| (claim.says, claim.evidence));
    rule.or_else(claim).unwrap_or_else(|| panic!("nothing is called {id}"))
}

#[test]
fn every_published_figure_is_printed_beside_its_paper() {
    let table = Table::read("evidence_constants.csv");
    for row in table.rows() {
        let (says, evidence) = printed(row.get("said_in"));
        let text = [says, evidence.shows, evidence.studied, evidence.limits].join(" ");
        let (name, figure) = (row.get("name"), row.get("figure"));
        assert!(text.contains(figure), "{name}: “{figure}” is not in “{text}”");
        let doi = row.get("doi");
        let cited = evidence.sources.iter().any(|source| source.doi == Some(doi));
        assert!(doi.is_empty() || cited, "{name}: {doi} is not cited by {}", row.get("said_in"));
        assert!(!evidence.sources.is_empty(), "{name}");
    }
}

fn gives(id: &str, runner: &Runner, worn: Option<Measures>, shoe: &Measures, policy: &HousePolicy) -> Gives {
    let worn = worn.map(|measures| Worn { measures, purposes: Purposes::NONE });
    let rule = Rule::find(id).unwrap_or_else(|| panic!("no rule {id}"));
    rule.gives(&Case::of(runner, worn.as_ref(), policy), shoe)
}

/// Tenths of mm.
fn shoe(heel: i32, drop: i32) -> Measures {
    let specification = Specification {
        heel_stack: Some(Mm::tenths(heel)),
        drop_stated: Some(Mm::tenths(drop)),
        ..Specification::default()
    };
    Measures::of(&specification, None)
}

fn weighing(tenths: i32, sex: Option<Sex>) -> Runner {
    Runner { body_mass: Some(BodyMass::Exactly(Kilograms::tenths(tenths))), sex, ..Runner::default() }
}

/// Source: Fuller 2017, doi:10.1177/0363546516682497.
#[test]
fn body_mass_and_distance_count_above_the_cuts_of_fuller_2017() {
    let policy = HousePolicy::standard();
    let minimal = shoe(160, 40);
    let by_mass = |tenths| gives("minimal-and-mass", &weighing(tenths, None), None, &minimal, &policy);
    assert_eq!(by_mass(714), Gives::NotInForce);
    assert_eq!(by_mass(715), Gives::Share(Share::HALF_AGAINST));
    assert_eq!(by_mass(857), Gives::Share(Share::HALF_AGAINST));
    assert_eq!(by_mass(858), Gives::Share(Share::AGAINST));
    let by_km = |km| {
        gives(
            "minimal-and-distance",
            &Runner { weekly_km: Some(km), ..Runner::default() },
            None,
            &minimal,
            &policy,
        )
    };
    assert_eq!((by_km(35), by_km(36)), (Gives::NotInForce, Gives::Share(Share::AGAINST)));
}

/// Source: Malisoux 2020, doi:10.1177/0363546519892578.
#[test]
fn light_is_below_the_medians_of_malisoux_2020_and_the_line_runs_between_its_two_midsoles() {
    let policy = HousePolicy { comparable_method: Some("global".into()), ..HousePolicy::standard() };
    let foam = |tenths| {
        let compression = Compression { stiffness: NewtonsPerMm::tenths(tenths), method: "global".into() };
        let specification = Specification { compression: Some(compression), ..Specification::default() };
        Measures::of(&specification, None)
    };
    let of = |mass, sex, stiffness| {
        gives("soft-for-light", &weighing(mass, Some(sex)), None, &foam(stiffness), &policy)
    };
    let (half, against) = (Share::HALF, Share::HALF_AGAINST);
    assert_eq!(of(781, Sex::Male, 613), Gives::Share(half));
    assert_eq!(of(782, Sex::Male, 613), Gives::NotInForce);
    assert_eq!(of(627, Sex::Female, 949), Gives::Share(against));
    assert_eq!(of(628, Sex::Female, 949), Gives::NotInForce);
    assert_eq!(of(781, Sex::Male, 781), Gives::Share(Share::ZERO), "half way between 61.3 and 94.9");
}

/// Source: Malisoux 2016, doi:10.1177/0363546516654690: 6 mm and less against 10.
#[test]
fn a_low_drop_is_six_millimetres_and_less_for_regular_runners_used_to_more() {
    let policy = HousePolicy::standard();
    let regular = Runner { regular: Answer::Yes, ..Runner::default() };
    let of =
        |worn, drop| gives("low-drop-regular", &regular, Some(shoe(300, worn)), &shoe(300, drop), &policy);
    assert_eq!(of(80, 60), Gives::Share(Share::AGAINST));
    assert_ne!(of(80, 61), Gives::Share(Share::AGAINST));
    assert_eq!(of(60, 40), Gives::NotInForce, "already in 6 mm");
}

/// Source: Zhang 2022, doi:10.1016/j.gaitpost.2022.02.008: 10 and 15 mm against 0, not 5 mm.
#[test]
fn after_kneecap_pain_ten_millimetres_lean_against_and_six_towards() {
    let policy = HousePolicy::standard();
    let injury = Injury { recent: Answer::Yes, ..Injury::of(Region::Kneecap) };
    let runner = Runner { injuries: vec![injury], ..Runner::default() };
    let of = |drop| gives("kneecap-drop", &runner, None, &shoe(300, drop), &policy);
    assert_eq!((of(60), of(100)), (Gives::Share(Share::FULL), Gives::Share(Share::AGAINST)));
    assert_eq!((of(61), of(99)), (Gives::Share(Share::ZERO), Gives::Share(Share::ZERO)));
}
