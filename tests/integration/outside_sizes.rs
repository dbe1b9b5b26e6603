//! Size conversion against the adult rule of ISO/TS 19407:2015 as implemented by npm shoe-size-converter 1.0.1
//! (MIT, run): `tables/shoe_size_formula_adult.csv` and `tables/shoe_size_label_to_foot.csv`.

use catalogue::size::{FootLength, SizeLabel, SizeSystem, eu_twelfths, half_step_of_run};
use catalogue::style::Audience;

use crate::outside_tables::{Row, Table, scaled};

const MEN: Option<Audience> = Some(Audience::Men);
const WOMEN: Option<Audience> = Some(Audience::Women);

fn label(system: SizeSystem, printed: &str) -> SizeLabel {
    SizeLabel::parse(Some(system), printed).unwrap_or_else(|| panic!("{printed} is no size"))
}

/// The foot a printed size stands for, in thousandths of a mm.
fn foot_thousandths(foot: FootLength) -> i64 {
    (i64::from(foot.in_360ths()) * 1000 + 180).div_euclid(360)
}

fn foot_of(row: &Row<'_>) -> FootLength {
    FootLength::of_mm_tenths(row.scaled("foot_mm", 1).expect("a foot") as i32)
}

#[test]
fn every_foot_has_the_half_size_of_the_formula_in_every_system() {
    let columns = [
        ("eu_half", SizeSystem::Eu, MEN),
        ("eu_half", SizeSystem::Eu, None),
        ("uk_half", SizeSystem::Uk, WOMEN),
        ("us_men_half", SizeSystem::Us, MEN),
        ("us_women_iso_half", SizeSystem::Us, WOMEN),
    ];
    for row in Table::read("shoe_size_formula_adult.csv").rows() {
        for (column, system, audience) in columns {
            let nearest = system.nearest(foot_of(&row), audience).map(|label| label.twelfths());
            let expected = label(system, row.get(column)).twelfths();
            assert_eq!(nearest, Some(expected), "{} mm, {column}", row.get("foot_mm"));
        }
    }
}

#[test]
fn a_label_at_the_exact_size_of_a_foot_stands_for_that_foot() {
    for row in Table::read("shoe_size_formula_adult.csv").rows() {
        let foot = Some(foot_of(&row));
        assert_eq!(label(SizeSystem::Eu, row.get("eu_exact")).foot(None), foot);
        assert_eq!(label(SizeSystem::Cm, row.get("jp_cn_cm")).foot(None), foot);
        assert_eq!(label(SizeSystem::Mondopoint, row.get("foot_mm")).foot(None), foot);
    }
}

#[test]
fn every_label_stands_for_the_foot_and_the_interval_of_the_formula() {
    for row in Table::read("shoe_size_label_to_foot.csv").rows() {
        let (system, printed) = (system_of(&row), row.get("size"));
        let foot = label(system, printed).foot(MEN).expect("a foot");
        let half = half_step_of_run(system, &[foot]);
        // The neighbour half a size up gives the same step as the label alone.
        let up = system.proposed(&label(system, printed))[1].foot(MEN).expect("a foot");
        assert_eq!(half_step_of_run(system, &[foot, up]), half, "{printed}");
        let at = |column| row.scaled(column, 3).expect("a length");
        let edge = |offset: i32| (i64::from(foot.in_360ths() + offset) * 1000 + 180).div_euclid(360);
        assert_eq!(foot_thousandths(foot), at("foot_mm_centre"), "{printed}");
        assert_eq!([edge(-half), edge(half)], [at("foot_mm_from"), at("foot_mm_to")], "{printed}");
    }
}

#[test]
fn every_label_has_its_equals_in_the_other_systems() {
    for row in Table::read("shoe_size_label_to_foot.csv").rows() {
        let foot = label(system_of(&row), row.get("size")).foot(MEN).expect("a foot");
        let eu = scaled(row.get("eu_equiv"), 3);
        let off = i64::from(eu_twelfths(foot)) * 1000 - eu * 12;
        assert!(off.abs() <= 506, "half a twelfth and the rounding of the table: {}", row.get("size"));
        for (column, audience) in [("us_men_equiv", MEN), ("us_women_iso_equiv", WOMEN)] {
            let halves = (scaled(row.get(column), 3) + 250).div_euclid(500);
            let nearest = SizeSystem::Us.nearest(foot, audience).map(|label| label.twelfths());
            assert_eq!(nearest.map(i64::from), Some(halves * 6), "{}, {column}", row.get("size"));
        }
    }
}

fn system_of(row: &Row<'_>) -> SizeSystem {
    match row.get("system") {
        "EU" => SizeSystem::Eu,
        "UK adult" => SizeSystem::Uk,
        other => panic!("{other} is no system"),
    }
}
