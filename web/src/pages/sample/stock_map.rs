//! A map of an invented stock.

use super::{F, s, strings};
use crate::pages::stock_map::{MapNarrowing, NoPlace, StockMapPage};
use crate::parts::Link;
use crate::parts::chips::Chips;
use crate::parts::stock_map::{Place, Region, StockMap};
use crate::parts::table::{Cell, Head, Table};

pub(crate) fn stock_map_page(in_a_fitting: bool) -> StockMapPage {
    let place = |drop: i32, stack: i32, pairs: u32| Place { drop, stack, span: None, pairs };
    let narrowing = MapNarrowing {
        chips: Chips { chips: Vec::new(), add: None },
        clear: None,
        facets: Vec::new(),
        ranges: Vec::new(),
        without: Vec::new(),
    };
    StockMapPage {
        lead: s("Every style in stock by its drop and its heel stack."),
        found: s("5 styles, 4 on the map, 46 pairs in stock"),
        said: if in_a_fitting {
            strings(&["Looking for a drop of 6 to 8 mm and a heel stack of 32 to 36 mm."])
        } else {
            Vec::new()
        },
        map: StockMap {
            stack: s("Heel stack, mm"),
            places: vec![
                place(80, 360, 21),
                place(80, 345, 9),
                Place { span: Some((40, 60)), ..place(60, 300, 4) },
                place(0, 210, 8),
            ],
            region: in_a_fitting.then_some(Region { drop: (60, 80), stack: (320, 360) }),
            worn: in_a_fitting.then_some((100, 380)),
        },
        fields: Some(Table {
            caption: s("Styles and pairs in each field of the range"),
            heads: vec![Head::words("Stack"), Head::number("Drop 0-2 mm"), Head::number("Drop 6-8 mm")],
            rows: vec![vec![
                Cell::text("Heel stack 28-35 mm"),
                Cell::text("No style").differing(),
                Cell::text("2 styles").below("13 pairs"),
            ]],
        }),
        without_place: vec![NoPlace {
            shoe: Link::new("Tamsett Ferry 2", "/shoes/tamsett-ferry-2"),
            say: s("drop not given, heel stack 37 mm; 4 pairs"),
        }],
        more_without: 0,
        places: Some(Table {
            caption: s("Styles and pairs in stock by stack and drop"),
            heads: vec![Head::number("Heel stack, mm"), Head::number("Drop, mm"), Head::number("Pairs")],
            rows: vec![vec![Cell::text("36"), Cell::text("8"), Cell::text("21")]],
        }),
        narrowing: (!in_a_fitting).then_some(narrowing),
        links: vec![Link::new("The same shoes as a list", if in_a_fitting { F } else { "/shoes" })],
    }
}
