//! A table of things side by side. Where it is narrow each row becomes a heading with its cells below it, every cell
//! under the name of its column, so that nobody scrolls in two directions.

use maud::{Markup, html};

use crate::parts::table::Table;

/// The table, each cell carrying the name of its column.
pub fn beside(table: &Table) -> Markup {
    html! {
        table .beside {
            caption { (table.caption) }
            thead { tr { @for head in &table.heads { th scope="col" .number[head.number] { (head.label) } } } }
            tbody {
                @for row in &table.rows {
                    tr { @for (place, cell) in row.iter().enumerate() {
                        @let head = table.heads.get(place);
                        @if place == 0 { th scope="row" { (cell) } }
                        @else {
                            td .number[head.is_some_and(|head| head.number)] .unknown[cell.unknown]
                                .differs[cell.differs] data-head=(head.map_or("", |head| &head.label)) {
                                // One box in the cell, so that its lines stay together beside the column's name.
                                span { (cell) }
                            }
                        }
                    } }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parts::table::{Cell, Head};

    #[test]
    fn every_cell_carries_the_name_of_its_column() {
        let table = Table {
            caption: "Measures".into(),
            heads: vec![Head::words("Measure"), Head::number("Marl"), Head::number("Fen")],
            rows: vec![vec![
                Cell::text("Drop, mm"),
                Cell::text("8"),
                Cell::text("6").below("2 less").differing(),
            ]],
        };
        let html = beside(&table).into_string();
        assert!(html.contains("data-head=\"Marl\"") && html.contains("data-head=\"Fen\""));
        assert!(html.contains("<th scope=\"row\">Drop, mm</th>") && html.contains("number differs"));
    }
}
