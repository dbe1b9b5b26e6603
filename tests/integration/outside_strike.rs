//! Strike classes against `tables/strike_classes.csv`: Cavanagh & Lafortune 1980 as restated in 2024, Altman &
//! Davis 2012 (from memory) and Mo et al. 2023.

use catalogue::strike::{STRIKE_ANGLE_CUTS_AGAIN, StrikePattern, strike_by_angle, strike_by_index};

use crate::outside_tables::{Row, Table};

/// The class, value in tenths, and row of each row of these cut points.
fn each(cut_points: &str, check: impl Fn(i16, StrikePattern, &Row<'_>)) {
    let table = Table::read("strike_classes.csv");
    let rows: Vec<_> = table.rows().filter(|row| row.get("cut_points") == cut_points).collect();
    assert!(!rows.is_empty());
    for row in &rows {
        let class = StrikePattern::ALL.iter().find(|pattern| pattern.word() == row.get("class"));
        check(row.scaled("value", 1).expect("a value") as i16, *class.expect("a class"), row);
    }
}

#[test]
fn every_strike_index_has_the_class_of_the_published_thirds() {
    each("FS1", |index, class, _| {
        assert_eq!(strike_by_index(index as u16), Some(class), "{index} tenths of a percent");
    });
}

#[test]
fn every_strike_angle_has_the_class_of_the_published_cut_points_and_their_doubt() {
    each("FS2", |angle, class, row| {
        let read = strike_by_angle(angle);
        let borderline = row.get("borderline") == "yes";
        assert_eq!((read.pattern, read.borderline), (class, borderline), "{angle} tenths of a degree");
    });
}

#[test]
fn the_cut_points_derived_again_are_the_published_ones() {
    let (forefoot, rearfoot) = STRIKE_ANGLE_CUTS_AGAIN;
    each("FS3", |angle, class, _| {
        let expected = match angle {
            a if a < forefoot => StrikePattern::Forefoot,
            a if a > rearfoot => StrikePattern::Rearfoot,
            _ => StrikePattern::Midfoot,
        };
        assert_eq!(expected, class, "{angle} tenths of a degree");
    });
}
