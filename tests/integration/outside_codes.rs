//! Square codes against `zbarimg` of the ZBar project, a decoder that shares nothing with what drew them.

use tests::codes::{paint, read};
use web::parts::qr::Qr;

fn drawn(address: &str) -> String {
    Qr::of(address).expect("an address short enough").to_string()
}

#[test]
fn a_decoder_that_is_not_ours_reads_every_address_as_it_was() {
    let folder = tempfile::tempdir().expect("a folder");
    let picture = folder.path().join("code.pgm");
    let shoes = ["fennick.fm-410", "oskerley.003105m", "fennick.fm-510"].map(|key| format!("shoe={key}"));
    for many in 1..=3 {
        let address = format!("http://192.168.120.140:7340/compare?{}", shoes[..many].join("&"));
        paint(&drawn(&address), &picture);
        assert_eq!(read(&picture), [address]);
    }
    for address in ["http://localhost/", "https://shop.example/compare?shoe=a.b%20c"] {
        paint(&drawn(address), &picture);
        assert_eq!(read(&picture), [address]);
    }
}

#[test]
fn a_damaged_code_is_not_read_as_another_address() {
    let folder = tempfile::tempdir().expect("a folder");
    let picture = folder.path().join("code.pgm");
    paint(&drawn("http://localhost/"), &picture);
    let mut pixels = std::fs::read(&picture).expect("the picture");
    let half = pixels.len() / 2;
    pixels[half..].fill(255);
    std::fs::write(&picture, pixels).expect("a picture");
    assert!(read(&picture).is_empty(), "the reader must be able to fail");
}
