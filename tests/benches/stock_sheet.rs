//! The sheet that the benches read: range and stock in one, twenty columns, a row a size, all invented.

use std::fmt::Write as _;

/// Twenty sizes a style.
pub(crate) fn stock_sheet(rows: usize) -> Vec<u8> {
    let mut csv =
        "Maker,Style number,Style name,For,Surface,Use,Heel stack mm,Forefoot stack mm,Drop mm,Weight g,\
                   Weighed at,Bending,Plate,Colour,Size system,Size,Width,Qty,Price EUR,Place\n"
            .to_owned();
    for row in 0..rows {
        let (style, size) = (row / 20, 38.0 + (row % 20) as f64 / 2.0);
        let (heel, drop) = (24 + style % 14, style % 11);
        // Writing to a String cannot fail.
        let _ = writeln!(
            csv,
            "Fennick,B-{style},Bench {style},men,road,\"daily, long\",{heel}.5,{}.5,{drop},{},EU 42,flexible,no,\
             Ochre,EU,{size},D,{},{}.90,C{}",
            heel - drop,
            190 + style % 120,
            row % 7,
            90 + style % 80,
            style % 9
        );
    }
    csv.into_bytes()
}
