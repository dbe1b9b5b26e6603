//! Charts as makers print them, invented here.

use catalogue::size::{SizeSource, SizeSystem};
use proptest::prelude::*;

use super::*;
use crate::sheet::of_rows;

fn read(rows: &[&[&str]], audience: Option<Audience>) -> Result<Chart, Vec<String>> {
    let told = ChartTold { maker: "Orrelby".into(), audience };
    read_chart(&of_rows(rows), &told).map_err(|faults| faults.iter().map(ToString::to_string).collect())
}

#[test]
fn a_chart_of_several_systems_is_read_label_by_label() {
    let chart = read(
        &[
            &["Orrelby sizes, 2026"],
            &["EU", "UK", "US men", "US women", "Foot length (cm)"],
            &["42", "8", "9", "10,5", "26,5"],
            &["42 2/3", "8.5", "9.5", "11", "27"],
            &["all lengths standing"],
        ],
        Some(Audience::Unisex),
    )
    .unwrap();
    assert_eq!(chart.rows.len(), 2 * (3 + 3 + 1 + 1));
    let mut charts = SizeCharts::default();
    chart.add_to(&mut charts);
    let label = SizeLabel::parse(Some(SizeSystem::Us), "10.5").unwrap();
    let foot = charts.foot(&chart.key().unwrap(), Some(Audience::Women), &label).unwrap();
    assert_eq!((foot.by, foot.length.mm_tenths()), (SizeSource::Chart, 2650));
    let men = charts.foot(&chart.key().unwrap(), Some(Audience::Men), &label).unwrap();
    assert_eq!(men.by, SizeSource::Formula, "10.5 is in no column for men");
}

#[test]
fn the_audience_may_stand_in_a_column_of_its_own() {
    let chart =
        read(&[&["Gender", "EU", "mm"], &["Damen", "38", "240"], &["Herren", "42", "265"]], None).unwrap();
    let whom: Vec<_> = chart.rows.iter().map(|row| (row.audience, row.foot)).collect();
    assert_eq!(whom, [(Audience::Women, Mm::whole(240)), (Audience::Men, Mm::whole(265))]);
}

#[test]
fn nobody_for_whom_is_asked_and_nothing_is_guessed() {
    let faults = read(&[&["EU", "mm"], &["42", "265"]], None).unwrap_err();
    assert_eq!(faults.len(), 1);
    assert!(
        faults[0].starts_with("sheet.csv, row 2, column A: ") && faults[0].contains("choose women, men"),
        "{faults:?}"
    );
}

#[test]
fn what_cannot_be_is_named_with_its_place_and_nothing_is_taken() {
    let men = Some(Audience::Men);
    let one = |rows: &[&[&str]]| read(rows, men).unwrap_err().join("; ");
    assert!(one(&[&["EU", "mm"], &["42", "26.5"]]).contains("“26.5” is no foot length"));
    assert!(one(&[&["EU", "mm"], &["May 10", "265"]]).contains("“May 10” is no size label"));
    assert!(one(&[&["EU", "mm"], &["42", "265"], &["42", "266"]]).contains("keep one"));
    assert!(one(&[&["EU", "mm"], &["42", "265"], &["43", "264"]]).contains("larger labels have longer feet"));
    assert!(one(&[&["Style", "Name"], &["1", "Sound"]]).contains("No row of headings"));
    assert!(one(&[&["EU", "mm"]]).contains("no label below"));
    let unnamed = ChartTold { maker: "  ".into(), audience: men };
    assert!(read_chart(&of_rows(&[&["EU", "mm"], &["42", "265"]]), &unnamed).is_err());
}

#[test]
fn a_row_repeated_with_the_same_foot_counts_once() {
    let chart = read(&[&["EU", "mm"], &["42", "265"], &["42.0", "265.0"]], Some(Audience::Men)).unwrap();
    assert_eq!(chart.rows.len(), 1);
}

/// Source: the formula of tests/tables/shoe_size_formula_adult.csv: EU 42 is made for 266.7 mm.
#[test]
fn a_row_says_how_far_it_is_from_the_formula() {
    let chart = read(&[&["EU", "mm"], &["42", "265"]], Some(Audience::Men)).unwrap();
    assert_eq!(chart.rows[0].beside_the_formula(), Some(-17));
}

proptest! {
    #[test]
    fn a_chart_comes_back_from_its_lines(feet in prop::collection::btree_set(2_000_i32..3_200, 1..12)) {
        let rows = (0..).zip(feet).map(|(half, foot)| ChartRow {
            audience: Audience::Women,
            label: SizeLabel::of_twelfths(SizeSystem::Eu, 36 * 12 + 6 * half),
            foot: Mm::tenths(foot),
        });
        let chart = Chart { maker: "Orrelby".into(), rows: rows.collect() };
        prop_assert_eq!(Chart::of_lines("Orrelby", &chart.to_lines()), Some(chart));
    }
}
