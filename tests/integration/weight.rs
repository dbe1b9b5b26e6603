//! How much a browser has to fetch for a page.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeSet;
use std::io::Write;

use flate2::Compression;
use flate2::write::GzEncoder;
use tests::pages::OF_THE_SHOP;

/// Bytes of a page with all that it names, as a browser receives them.
const MOST: usize = 60 * 1024;

fn packed(text: &str) -> usize {
    let mut packer = GzEncoder::new(Vec::new(), Compression::default());
    packer.write_all(text.as_bytes()).unwrap();
    packer.finish().unwrap().len()
}

#[test]
fn no_page_of_the_shop_weighs_more_than_sixty_kilobytes_with_all_it_names() {
    let lastbench = tests::lastbench!();
    let server = lastbench.serve(&["--sample"]);
    let mut weighed = Vec::new();
    for target in OF_THE_SHOP {
        let page = server.get(target).body;
        let named: BTreeSet<&str> =
            page.split("\"/assets/").skip(1).filter_map(|rest| rest.split('"').next()).collect();
        let of_assets: usize =
            named.iter().map(|name| packed(&server.get(&format!("/assets/{name}")).body)).sum();
        weighed.push((packed(&page) + of_assets, *target, named.len()));
    }
    weighed.sort_unstable();
    assert!(weighed.iter().all(|(weight, _, _)| *weight <= MOST), "{weighed:?}");
    assert!(
        weighed.iter().any(|(_, _, assets)| *assets >= 3),
        "style, script and icon are weighed too: {weighed:?}"
    );
}
