//! Sizes to which a number from a box can be attached.

use catalogue::stock::{Gtin, Sku};
use indexer::snapshot::{Snapshot, StyleCard};
use indexer::words::WordsError;

use crate::owner::edit_size::address;
use crate::pages::scan_attach::{AttachPage, AttachShoe};
use crate::parts::Link;
use crate::request::scan::Scanned;
use crate::visit::{number_of, pairs, scan, shoe};
use crate::words;

/// The page for a number and, once somebody has typed them, the words of its shoe.
///
/// # Errors
/// The words are too long or too many, or could not be looked up.
pub fn page(scanned: &Scanned, typed: &str, snapshot: &Snapshot) -> Result<AttachPage, WordsError> {
    let Some(gtin) = scanned.gtin else { return Ok(no_number(scanned)) };
    let page = AttachPage {
        code: Some(gtin.to_string()),
        lead: say!(
            "Nothing here carries {gtin}. Find its shoe, then choose the size whose box it is on.",
            gtin
        ),
        words: typed.to_owned(),
        found: None,
        shoes: Vec::new(),
    };
    if typed.trim().is_empty() {
        return Ok(page);
    }
    let meant = scan::meant(&scan::read(typed, snapshot), snapshot)?;
    let found = say!("{total} found", total = number_of(meant.total, say!("shoe"), say!("shoes")));
    let more = meant.total > meant.cards.len();
    let shown = more.then(|| scan::first_shown(meant.cards.len()));
    Ok(AttachPage {
        found: Some([Some(format!("{found}.")), shown].into_iter().flatten().collect::<Vec<_>>().join(" ")),
        shoes: meant.cards.iter().map(|card| of_shoe(card, gtin)).collect(),
        ..page
    })
}

fn no_number(scanned: &Scanned) -> AttachPage {
    let what = say!("This is no number of a box. Scan the box again, or look for the shoe by its words.");
    let said = scanned.fault.iter().cloned().chain([what.to_owned()]);
    AttachPage {
        code: None,
        lead: said.collect::<Vec<_>>().join(" "),
        words: String::new(),
        found: None,
        shoes: Vec::new(),
    }
}

fn of_shoe(card: &StyleCard<'_>, gtin: Gtin) -> AttachShoe {
    let size = |sku: &Sku| {
        let form = format!("{}&gtin={gtin}", address(card.style, sku));
        (Link::new(pairs::named(sku), form), known(sku))
    };
    AttachShoe {
        shoe: Link::new(shoe::name(card.style), shoe::href(card.style)),
        sizes: card.skus.iter().map(size).collect(),
    }
}

fn known(sku: &Sku) -> String {
    let carries = match sku.gtin {
        None => say!("no number yet").to_owned(),
        Some(gtin) => say!("carries {gtin}", gtin),
    };
    let pairs = sku.quantity.map(|quantity| words::of(&quantity.to_string()).to_owned());
    let pairs = pairs.map_or_else(String::new, |pairs| say!(", pairs: {pairs}", pairs));
    format!("{carries}{pairs}")
}
