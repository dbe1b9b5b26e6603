//! Square codes, read by a decoder that is not ours: `zbarimg`, which `tests/run` installs.

use std::path::Path;
use std::process::Command;

/// Pixels a module: enough for a decoder, few enough to be quick.
const MODULE: usize = 6;

/// What every code in a picture says.
pub fn read(picture: &Path) -> Vec<String> {
    let ran = Command::new("zbarimg").args(["--quiet", "--raw"]).arg(picture).output();
    let ran = ran.expect("zbarimg starts; `tests/run` installs it");
    String::from_utf8_lossy(&ran.stdout).lines().map(str::to_owned).collect()
}

/// Draws the first code of a page, pixel by pixel from its path, into a grey picture; panics when there is none.
pub fn paint(html: &str, picture: &Path) {
    let code = html.split("<svg class=\"qr\"").nth(1).expect("a code on the page");
    let between = |start: &str, end: &str| code.split(start).nth(1)?.split(end).next();
    let side: usize = between("<rect width=\"", "\"").and_then(|side| side.parse().ok()).expect("its side");
    let path = between("<path d=\"", "\"").expect("its path");
    let width = side * MODULE;
    let mut pixels = vec![255u8; width * width];
    for run in path.split('M').skip(1) {
        let numbers: Vec<usize> =
            run.split(|c: char| !c.is_ascii_digit()).filter_map(|word| word.parse().ok()).collect();
        let [x, y, length, ..] = numbers[..] else { panic!("a run that is none: {run}") };
        for row in y * MODULE..(y + 1) * MODULE {
            pixels[row * width + x * MODULE..][..length * MODULE].fill(0);
        }
    }
    let header = format!("P5 {width} {width} 255\n");
    std::fs::write(picture, [header.as_bytes(), &pixels].concat()).expect("a picture");
}
