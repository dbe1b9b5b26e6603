//! What is printed without backgrounds, as a browser does unless it is told otherwise: the same words, and ink wherever
//! there was ink.

use std::path::{Path, PathBuf};

use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use serde_json::json;
use tests::browser::Browser;

use crate::printed::{MINIMAL, OTHERS, fitting, said};
use crate::{COUNTER, sample_shop};

/// Dots an inch of the pictures, and the side of the squares that are compared, in dots: about 2 mm.
const DOTS: &str = "100";
const SIDE: usize = 8;
/// Levels of grey, of 255, by which a square has to be darker than paper on average to hold ink. A flat square of the
/// lightest grey that we draw with is 22 darker.
const INK: u32 = 4;

/// The page before the browser on paper, with backgrounds or without.
async fn on_paper(browser: &Browser, backgrounds: bool, pdf: &Path) {
    let how = json!({ "printBackground": backgrounds, "preferCSSPageSize": true });
    let sheet = browser.driver.cdp().send_raw("Page.printToPDF", how).await.unwrap();
    std::fs::write(pdf, BASE64_STANDARD.decode(sheet["data"].as_str().unwrap()).unwrap()).unwrap();
}

/// A page of paper in levels of grey.
struct Picture {
    width: usize,
    grey: Vec<u8>,
}

impl Picture {
    fn read(file: &Path) -> Self {
        let bytes = std::fs::read(file).unwrap();
        // P5, width and height, the highest level: three lines, then the levels.
        let head: Vec<usize> = (0..bytes.len()).filter(|at| bytes[*at] == b'\n').take(3).collect();
        let size = String::from_utf8_lossy(&bytes[head[0] + 1..head[1]]).into_owned();
        let width = size.split(' ').next().unwrap().parse().unwrap();
        Self { width, grey: bytes[head[2] + 1..].to_vec() }
    }

    /// How much darker than paper each square is on average, in levels of grey.
    fn squares(&self) -> Vec<u32> {
        let across = self.width.div_ceil(SIDE);
        let mut ink = vec![0u32; across * (self.grey.len() / self.width).div_ceil(SIDE)];
        for (at, grey) in self.grey.iter().enumerate() {
            ink[at / self.width / SIDE * across + at % self.width / SIDE] += u32::from(255 - grey);
        }
        ink.iter().map(|sum| sum / (SIDE * SIDE) as u32).collect()
    }
}

/// A picture a page.
fn pictures(pdf: &Path) -> Vec<PathBuf> {
    let stem = pdf.with_extension("");
    said("pdftoppm", &["-gray", "-r", DOTS, pdf.to_str().unwrap(), stem.to_str().unwrap()]);
    let own = |file: &PathBuf| {
        let name = file.file_name().unwrap().to_str().unwrap();
        let of = name.strip_prefix(stem.file_name().unwrap().to_str().unwrap());
        of.is_some_and(|rest| rest.starts_with('-'))
    };
    let files = std::fs::read_dir(pdf.parent().unwrap()).unwrap().map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> = files.filter(own).collect();
    files.sort();
    files
}

fn words(pdf: &Path) -> String {
    said("pdftotext", &["-layout", pdf.to_str().unwrap(), "-"])
}

/// The squares that hold ink on one page and less than half of it on the other, and how many hold ink.
fn lost(with: &Path, without: &Path) -> (usize, usize) {
    let (with, without) = (Picture::read(with).squares(), Picture::read(without).squares());
    assert_eq!(with.len(), without.len());
    let inked: Vec<(u32, u32)> = with.into_iter().zip(without).filter(|(with, _)| *with >= INK).collect();
    (inked.iter().filter(|(with, without)| without * 2 < *with).count(), inked.len())
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_printed_without_backgrounds_loses_no_word_and_no_drawing() {
    let (served, browser) = sample_shop(COUNTER).await;
    let host = served.url.strip_prefix("http://").unwrap();
    let address = fitting(host, &[&[MINIMAL], &OTHERS[..]].concat());
    let folder = tempfile::tempdir().unwrap();
    let pages = ["/card", "/card?paper=a6", "/compare", "/plan"].map(|part| format!("{address}{part}"));
    let shoe = "/shoes/fennick.fm-310".to_owned();
    for (at, page) in pages.iter().chain([&shoe]).enumerate() {
        browser.go(&format!("{}{page}", served.url)).await;
        let [with, without] = ["with", "without"].map(|name| folder.path().join(format!("{at}-{name}.pdf")));
        on_paper(&browser, true, &with).await;
        on_paper(&browser, false, &without).await;
        assert_eq!(words(&with), words(&without), "{page}");
        let (with, without) = (pictures(&with), pictures(&without));
        assert!(!with.is_empty() && with.len() == without.len(), "{page}");
        for (sheet, (with, without)) in with.iter().zip(&without).enumerate() {
            let (lost, inked) = lost(with, without);
            assert!(inked > 100, "{page}, sheet {sheet}: {inked} squares hold ink");
            assert_eq!(lost, 0, "{page}, sheet {sheet}: of {inked} squares with ink");
        }
    }
    drop(served);
    browser.close().await;
}
