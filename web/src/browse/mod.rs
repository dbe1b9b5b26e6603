//! From the catalogue to the pages outside a fitting: plain functions, words and links, no markup.

pub mod attach;
pub mod desk;
pub mod evidence;
pub mod found_in;
pub mod list;
pub mod narrow;
pub mod shoe;
pub mod side_by_side;
pub mod similar;
pub mod stock_map;
pub mod told;
