//! What a scan led to.

use super::{F, ranked_row, s, strings};
use crate::pages::fitting_stock::Way;
use crate::pages::scan::{NextStep, ScanFound, ScanPage, ScanShoe};
use crate::pages::scan_attach::{AttachPage, AttachShoe};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::scan_box::ScanBox;

pub(crate) fn scan_page() -> ScanPage {
    let way =
        Way { label: s("Take off “road”"), act: Act::post(format!("{F}/chips"), "drop", "surface") };
    let found = ScanFound {
        stands: s("Not in this order: a filter hides it"),
        boxes: strings(&["On the box: EU 43, D, grey: 2 pairs, bay C4."]),
        shoe: ScanShoe::Row(Box::new(ranked_row())),
        hidden: Some((s("Hidden by “road”."), Some(way))),
    };
    ScanPage {
        heading: s("1 shoe found"),
        said: strings(&["Read: 6291041500213.", "The scanner’s own mark ]E0 was left out."]),
        found: vec![found],
        steps: vec![],
        again: None,
        back: Some(Link::new("Back to the order", F)),
    }
}

pub(crate) fn unknown_scan_page() -> ScanPage {
    let step = |label: &str, say: &str| NextStep {
        link: (!label.is_empty()).then(|| Link::new(label, "/shoes")),
        say: s(say),
    };
    ScanPage {
        heading: s("Not known here"),
        said: strings(&["Read: 6291041500213."]),
        found: vec![],
        steps: vec![
            step("Search all shoes for it", "as words."),
            step("", "Scan the box again."),
            step("Attach the number to its size", "for the next time."),
        ],
        again: Some(ScanBox { action: s("/scan"), focus: true }),
        back: None,
    }
}

/// A number that waits for its size.
pub(crate) fn attach_page() -> AttachPage {
    let form = "/shoes/fennick.fm-310/size?sku=x&gtin=06291041500213";
    AttachPage {
        code: Some("06291041500213".into()),
        lead: "Nothing here carries 06291041500213. Find its shoe, then choose the size whose box it is on."
            .into(),
        words: "marl".into(),
        found: Some("1 shoe found.".into()),
        shoes: vec![AttachShoe {
            shoe: Link::new("Fennick Marl 3", "/shoes/fennick.fm-310"),
            sizes: vec![(Link::new("EU 42.5, D, linen", form), "no number yet, pairs: 3".into())],
        }],
    }
}
