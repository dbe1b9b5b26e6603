//! The Minimalist Index against `tables/minimalist_index.csv`: cut points of Esculier et al. 2015,
//! doi:10.1186/s13047-015-0094-5, and rows scored from them.

use catalogue::minimalism::{Flexibility, MinimalistIndex, subscale_of_mass};
use catalogue::style::Specification;
use catalogue::units::{Grams, Mm};

use crate::outside_tables::{Row, Table};

fn shoe(row: &Row<'_>) -> Specification {
    let tenths = |heading| row.scaled(heading, 1).map(|tenths| tenths as i32);
    Specification {
        mass: tenths("mass_g").map(Grams::tenths),
        heel_stack: tenths("heel_mm").map(Mm::tenths),
        drop_stated: tenths("drop_mm").map(Mm::tenths),
        devices: row.scaled("devices", 0).map(|count| count as u8),
        ..Specification::default()
    }
}

/// Both axes, or nothing: half of a hand test is no test.
fn felt(row: &Row<'_>) -> Option<Flexibility> {
    let halves = |heading| row.scaled(heading, 1).map(|tenths| (tenths / 5) as u8);
    Some(Flexibility { longitudinal: halves("flex_long")?, torsional: halves("flex_tors")? })
}

#[test]
fn every_row_has_the_index_of_the_published_cut_points() {
    let points = ["mass_points", "stack_points", "drop_points", "device_points", "flex_points"];
    for row in Table::read("minimalist_index.csv").rows() {
        let index = MinimalistIndex::of(&shoe(&row), felt(&row));
        let bounds = [index.low, index.high].map(i64::from).map(Some);
        assert_eq!(bounds, [row.scaled("index_low", 0), row.scaled("index_high", 0)], "{}", row.get("row"));
        let known = points.iter().filter(|column| !row.get(column).is_empty()).count();
        assert_eq!(usize::from(index.known), known, "{}", row.get("row"));
    }
}

#[test]
fn every_mass_has_the_points_of_its_band() {
    for row in Table::read("minimalist_index.csv").rows() {
        let points = shoe(&row).mass.map(subscale_of_mass).map(i64::from);
        assert_eq!(points, row.scaled("mass_points", 0), "{} g", row.get("mass_g"));
    }
}
