//! What a mapping promises.

use super::*;
use crate::finding::Code;
use crate::sheet::of_rows;

fn keys(mapping: &Mapping) -> Vec<Option<&'static str>> {
    mapping.tabs[0].columns.iter().map(|c| c.column().map(|c| c.key)).collect()
}

#[test]
fn headings_below_a_title_are_found() {
    let sheet =
        of_rows(&[&["Spring range"], &[], &["Maker", "Style number", "Drop mm"], &["Fennick", "F1", "8"]]);
    let mapping = guess_mapping(&sheet, "Fennick", None);
    assert_eq!(keys(&mapping), [Some("maker"), Some("style_number"), Some("drop")]);
    assert_eq!(mapping.tabs[0].data_rows(&sheet.tabs[0]).len(), 1);
    let titles: Vec<_> = mapping.findings(&sheet).into_iter().map(|f| (f.code, f.text)).collect();
    assert_eq!(titles, [(Code::RowLeftOut, "Spring range".to_owned())]);
}

#[test]
fn a_sheet_without_headings_is_refused_with_what_to_do() {
    let sheet = of_rows(&[&["1", "2"], &["3", "4"]]);
    let findings = guess_mapping(&sheet, "x", None).findings(&sheet);
    assert_eq!(findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::NoHeading]);
    assert!(findings[0].say.contains("lastbench columns"));
}

#[test]
fn two_headings_that_feed_one_column_are_undecided() {
    let sheet = of_rows(&[&["Style number", "Article no.", "Name"]]);
    let mapping = guess_mapping(&sheet, "x", None);
    let codes: Vec<_> = mapping.findings(&sheet).iter().map(|f| f.code).collect();
    assert_eq!(codes, [Code::HeadingUndecided, Code::HeadingUndecided]);
}

#[test]
fn a_trade_price_is_left_out_by_name_and_a_near_miss_is_undecided() {
    let sheet = of_rows(&[&["Marke", "Artikelnummer", "EK netto (€)", "Colorway"]]);
    let mapping = guess_mapping(&sheet, "x", None);
    let findings = mapping.findings(&sheet);
    assert_eq!(
        findings.iter().map(|f| f.code).collect::<Vec<_>>(),
        [Code::HeadingLeftOut, Code::HeadingNearMiss]
    );
    assert!(findings[1].say.contains("colourway"));
}

#[test]
fn pairs_without_sizes_and_rows_without_names_are_missing_a_column() {
    let pairs = of_rows(&[&["Maker", "Article no.", "Qty"]]);
    assert_eq!(guess_mapping(&pairs, "x", None).findings(&pairs)[0].code, Code::ColumnMissing);
    let nameless = of_rows(&[&["Colour", "Size", "Qty"]]);
    assert_eq!(guess_mapping(&nameless, "x", None).findings(&nameless)[0].code, Code::NoHeading);
}

#[test]
fn the_decimal_mark_is_decided_from_the_cells() {
    let mark = |price: &'static str| {
        let sheet = of_rows(&[&["Name", "Price"], &["a", price]]);
        guess_mapping(&sheet, "x", None).tabs[0].columns[1].mark.decimal
    };
    assert_eq!(mark("139,90"), Some(','));
    assert_eq!(mark("139.90"), Some('.'));
    assert_eq!(mark("1,299"), None, "three digits prove nothing");
}

#[test]
fn a_mapping_file_repeats_the_mapping_and_wins_over_the_guess() {
    let sheet = of_rows(&[&["Style number", "Name", "Colorway"], &["F1", "a", "red"]]);
    let mut file = guess_mapping(&sheet, "Fennick", None).to_file();
    assert_eq!(MappingFile::parse(&file.to_toml()), Ok(file.clone()));
    file.headings.insert("Colorway".to_owned(), HeadingSaid::Key("colourway".to_owned()));
    file.headings.insert("Name".to_owned(), HeadingSaid::Key("ignore".to_owned()));
    let mapping = guess_mapping(&sheet, "other", Some(&file));
    assert_eq!(keys(&mapping), [Some("style_number"), None, Some("colourway")]);
    assert_eq!(mapping.supplier, "Fennick");
}

#[test]
fn a_mapping_file_that_names_no_column_says_where() {
    let fault = MappingFile::parse("[headings]\nWeight = \"wieght\"").unwrap_err();
    assert_eq!(fault, MappingFault::NoSuchColumn { heading: "Weight".to_owned(), key: "wieght".to_owned() });
    assert!(matches!(MappingFile::parse("kind = 3"), Err(MappingFault::Unreadable(_))));
}

fn heading_texts(tab: &TabMapping) -> Vec<(&str, Option<&'static str>)> {
    tab.columns.iter().map(|c| (c.heading.as_str(), c.column().map(|c| c.key))).collect()
}

#[test]
fn headings_of_two_lines_with_units_below_are_read_together() {
    let sheet = of_rows(&[
        &["Maker", "Article no.", "Stack height", "", "Weight"],
        &["", "", "Heel", "Forefoot", ""],
        &["", "", "cm", "cm", "oz"],
        &["Fennick", "F1", "3.2", "2.4", "9.4"],
    ]);
    let mapping = guess_mapping(&sheet, "x", None);
    let tab = &mapping.tabs[0];
    let texts = heading_texts(tab);
    assert_eq!(texts[2], ("Stack height / Heel", Some("heel_stack")));
    assert_eq!(texts[3], ("Stack height / Forefoot", Some("forefoot_stack")));
    assert_eq!(tab.columns[2].unit.map(Unit::word), Some("cm"));
    assert_eq!(tab.columns[4].unit.map(Unit::word), Some("oz"));
    assert_eq!(tab.data_rows(&sheet.tabs[0]).len(), 1);
}

#[test]
fn a_title_above_the_headings_is_no_group_of_them() {
    for rows in [
        [&["Spring range"][..], &[], &["Maker", "Style number", "Name"], &["Fennick", "F1", "Marl"]],
        [&[], &["Spring range"], &["Maker", "Style number", "Name"], &["Fennick", "F1", "Marl"]],
    ] {
        let mapping = guess_mapping(&of_rows(&rows), "x", None);
        let texts = heading_texts(&mapping.tabs[0]);
        assert_eq!(texts[0], ("Maker", Some("maker")));
    }
}

#[test]
fn columns_headed_by_sizes_are_a_run_and_its_system_stands_above_or_is_inferred() {
    let run = |headings: &[&'static str]| {
        let row: Vec<&str> = ["Maker", "Article no.", "Colour"].iter().chain(headings).copied().collect();
        let sheet = of_rows(&[&row, &["Fennick", "F1", "red", "1", "2", "x"]]);
        let mapping = guess_mapping(&sheet, "x", None);
        let tab = &mapping.tabs[0];
        tab.run().map(|(_, size)| (size.label.to_string(), size.inferred)).collect::<Vec<_>>()
    };
    assert_eq!(run(&["42", "42 2/3", "43⅓"])[1], ("EU 42 2/3".to_owned(), true));
    assert_eq!(run(&["UK 8", "UK 8½", "UK 9"])[0], ("UK 8".to_owned(), false));
    assert!(!run(&["8", "8.5", "9"])[0].1, "8 may be of UK or US: nothing is inferred");
    assert_eq!(run(&["8", "9"]), [], "two columns are no run");
}

#[test]
fn a_heading_twice_can_be_settled_by_its_number() {
    let sheet = of_rows(&[&["Style number", "Name", "Drop", "Drop"], &["F1", "a", "8", "x"]]);
    let mut file = MappingFile::default();
    file.headings.insert("Drop (2)".to_owned(), HeadingSaid::Key(IGNORE.to_owned()));
    let mapping = guess_mapping(&sheet, "x", Some(&file));
    assert_eq!(keys(&mapping)[2..], [Some("drop"), None]);
    assert_eq!(mapping.findings(&sheet), []);
}

#[test]
fn the_owner_says_unit_mark_stiffness_and_the_marks_of_a_run() {
    let text = "stiffness = \"bending\"\nrun_blank = \"none\"\nsize_system = \"UK\"\n[headings]\n\
        Weight = { column = \"mass\", unit = \"oz\", decimal_mark = \",\" }\n[tabs.text]\nheading_row = 2\n";
    let file = MappingFile::parse(text).unwrap();
    let sheet = of_rows(&[
        &["Maker", "Name", "Weight"],
        &["Maker", "Name", "Weight", "Stiffness"],
        &["a", "b", "9,4", "3"],
    ]);
    let mapping = guess_mapping(&sheet, "x", Some(&file));
    let tab = &mapping.tabs[0];
    assert_eq!(tab.headings.map(|rows| rows.own), Some(1));
    assert_eq!((tab.columns[2].unit.map(Unit::word), tab.columns[2].mark.decimal), (Some("oz"), Some(',')));
    assert_eq!(tab.columns[3].column().map(|c| c.key), Some("bending"));
    assert_eq!(mapping.answers.run.blank, Means::None);
    let again = MappingFile::parse(&mapping.to_file().to_toml()).unwrap();
    assert_eq!(guess_mapping(&sheet, "x", Some(&MappingFile { tabs: file.tabs, ..again })), mapping);
}

#[test]
fn a_mapping_file_that_says_what_cannot_be_says_what_can() {
    for (text, may) in [
        ("run_x = \"many\"", "in stock"),
        ("stiffness = \"hardness\"", "compression"),
        ("decimal_mark = \"!\"", "\",\""),
        ("[headings]\nWeight = { column = \"mass\", unit = \"stone\" }", "oz"),
    ] {
        let fault = MappingFile::parse(text).unwrap_err().to_string();
        assert!(fault.contains(may), "{fault}");
    }
}

#[test]
fn the_order_of_headings_does_not_change_the_name_a_mapping_is_remembered_by() {
    let print = |row: &[&str]| guess_mapping(&of_rows(&[row]), "x", None).fingerprint();
    assert_eq!(print(&["Maker", "Style number", "Drop mm"]), print(&["Drop mm", "Style number", "Maker"]));
    assert_ne!(print(&["Maker", "Style number", "Drop mm"]), print(&["Maker", "Style number"]));
}
