//! The card on paper: printed by a browser, measured and read by poppler, its code read by ZBar.

use std::path::{Path, PathBuf};
use std::process::Command;

use tests::browser::{Served, Tag, print};
use tests::{codes, http};

/// A runner of whom all is known that lengthens a card.
const RUNNER: [(&str, &str); 12] = [
    ("run.audience", "men"),
    ("size.system", "EU"),
    ("size.worn_label", "42.5"),
    ("run.purpose", "daily"),
    ("run.weekly_km", "52"),
    ("now.style", "fennick.fm-410"),
    ("stage.heading", "less"),
    ("stage.weeks_done", "9"),
    ("injury.calf.recent", "yes"),
    ("run.body_mass_band", "78.2-85.7"),
    ("run.strength_work", "no"),
    ("flags.pain", "no"),
];
/// A minimal-type shoe, over 52 weeks for this runner; and others.
pub(crate) const MINIMAL: &str = "oskerley.003105m";
pub(crate) const OTHERS: [&str; 4] = ["fennick.fm-510", "fennick.fm-310", "fennick.fm-210", "fennick.fm-110"];

/// What `pdfinfo` says of the sheet, in points: width, height, pages.
fn measured(pdf: &Path) -> (u32, u32, u32) {
    let words = said("pdfinfo", &[pdf.as_os_str().to_str().unwrap()]);
    let of = |name: &str| {
        let line = words.lines().find(|line| line.starts_with(name)).unwrap();
        let numbers = line[name.len()..].split(|c: char| !c.is_ascii_digit() && c != '.');
        numbers.filter_map(|word| word.parse::<f64>().ok()).map(|n| n.round() as u32).collect::<Vec<_>>()
    };
    let size = of("Page size:");
    (size[0], size[1], of("Pages:")[0])
}

/// What a program writes.
pub(crate) fn said(program: &str, arguments: &[&str]) -> String {
    let ran = Command::new(program).args(arguments).output();
    let ran = ran.unwrap_or_else(|fault| panic!("{program}: {fault}; `tests/run` installs it"));
    String::from_utf8_lossy(&ran.stdout).into_owned()
}

/// A fitting with these shoes brought out; the address of it.
pub(crate) fn fitting(host: &str, shoes: &[&str]) -> String {
    let place = http::post(host, "/fittings", &[]).unwrap().place();
    let fitting = place.strip_suffix("/runner").unwrap().to_owned();
    let taken = http::post(host, &place, &RUNNER).unwrap();
    assert_eq!(taken.status, 303, "{}", taken.body);
    for shoe in shoes {
        http::post(host, &format!("{fitting}/shortlist"), &[("style", shoe)]).unwrap();
    }
    fitting
}

/// Whether a text is the one that is looked for.
type IsIt = fn(&str) -> bool;

/// Words of a card that are read, not small print: a day of the plan stands where the clock of the test puts it.
const READ: [(&str, IsIt); 4] = [
    ("the worn pair", |text| text.contains("Worn until now")),
    ("the shoe", |text| text.contains("Oskerley Pith")),
    ("a day of the plan", is_a_short_day),
    ("a sign", |text| text.contains("Step back one week")),
];

/// `18 Feb 2027`, and nothing else.
fn is_a_short_day(text: &str) -> bool {
    const MONTHS: &str = "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec";
    let words: Vec<_> = text.split_whitespace().collect();
    let [day, month, year] = words[..] else { return false };
    day.parse::<u8>().is_ok() && MONTHS.contains(month) && year.len() == 4 && year.parse::<u16>().is_ok()
}

/// The size in points of the first such text, as it stands on the paper: a browser shrinks what is too wide.
fn size_of(words: &str, is_it: IsIt, pdf: &Path) -> u32 {
    // Three times as large is as far as the numbers go, which are whole.
    let xml = said("pdftohtml", &["-xml", "-stdout", "-i", "-zoom", "3", pdf.to_str().unwrap()]);
    let text = |line: &str| line.replace("<b>", "").replace("</b>", "").split(['<', '>']).nth(2).map(is_it);
    let mut lines = xml.lines().filter(|line| line.starts_with("<text"));
    let line = lines.find(|line| text(line) == Some(true)).unwrap_or_else(|| panic!("no {words}: {xml}"));
    let font = line.split(" font=\"").nth(1).unwrap().split('"').next().unwrap();
    let spec = xml.split("<fontspec ").find(|spec| spec.starts_with(&format!("id=\"{font}\""))).unwrap();
    assert!(spec.contains("color=\"#000000\""), "{words}: {spec}");
    spec.split("size=\"").nth(1).unwrap().split('"').next().unwrap().parse::<u32>().unwrap() / 3
}

/// Prints the card and holds it to its sheet; the picture and the words of it.
fn printed(served: &Served, card: &str, size: (u32, u32), name: &str, language: Tag) -> (PathBuf, String) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/pictures");
    std::fs::create_dir_all(&folder).unwrap();
    let pdf = folder.join(format!("{name}.pdf"));
    print(&format!("{}{card}", served.url), &pdf, language);
    assert_eq!(measured(&pdf), (size.0, size.1, 1), "{name}");
    let pdf = pdf.to_str().unwrap();
    let picture = folder.join(name);
    said("pdftoppm", &["-r", "200", "-png", "-singlefile", pdf, picture.to_str().unwrap()]);
    let words = said("pdftotext", &["-raw", pdf, "-"]).split_whitespace().collect::<Vec<_>>().join(" ");
    (picture.with_extension("png"), words)
}

#[test]
fn a_card_is_one_sheet_of_its_size_with_a_sale_and_without_and_its_code_leads_to_the_comparison() {
    let served = Served::start(env!("CARGO_BIN_EXE_lastbench-under-test"), true);
    let host = served.url.strip_prefix("http://").unwrap();
    let sheets = [("", (595, 842)), ("?paper=a6", (298, 420))];
    let thought = fitting(host, &[&[MINIMAL], &OTHERS[..]].concat());
    let sold = fitting(host, &[&[MINIMAL], &OTHERS[..2]].concat());
    // Both feet have a size of their own, which is the longest a size can be.
    let size = |label: &str| format!("{MINIMAL}/plum/eu-{label}/regular");
    let foot = |question: &str| format!("{question}.{MINIMAL}");
    let feet = [(foot("left"), size("43")), (foot("right"), size("43.5")), (foot("rank"), "1".to_owned())];
    let feet: Vec<_> = feet.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let taken = http::post(host, &format!("{sold}/on-foot"), &feet).unwrap();
    assert_eq!(taken.status, 303, "{}", taken.body);
    http::post(host, &format!("{sold}/choose"), &[("style", MINIMAL)]).unwrap();
    http::post(host, &format!("{sold}/card"), &[("hurt", "yes")]).unwrap();
    for (fitting, title) in [(&thought, "Shoes to think about"), (&sold, "Your shoes")] {
        for (at, (paper, size)) in sheets.iter().enumerate() {
            let name = format!("card-{}-{at}", title.len());
            let (picture, words) = printed(&served, &format!("{fitting}/card{paper}"), *size, &name, "en");
            assert_eq!(words.contains("EU 43 left, EU 43,5 right, your rank 1"), *fitting == sold, "{words}");
            for held in [
                title,
                "Lastbench",
                "52",
                "Look again",
                "Stop running and see a clinician",
                "Sources: ",
                "Worn until now",
            ] {
                assert!(words.contains(held), "{name}: {held}: {words}");
            }
            assert_eq!(words.contains("What hurt"), *fitting == sold, "{words}");
            for (held, is_it) in READ {
                let size = size_of(held, is_it, &picture.with_extension("pdf"));
                assert!(size >= 10, "{name}, {held}: {size} pt");
            }
            let read = codes::read(&picture);
            assert_eq!(read.len(), 1, "{name}: {read:?}");
            let path = read[0].strip_prefix(&served.url).unwrap();
            assert!(path.starts_with("/compare?shoe=") && path.contains(OTHERS[0]), "{path}");
            assert_eq!(http::get(host, path).unwrap().status, 200);
            assert!(!words.contains("As plain text"), "what can be pressed is not printed");
            // German is longer, and fits as well.
            let (_, words) =
                printed(&served, &format!("{fitting}/card{paper}"), *size, &format!("{name}-de"), "de");
            assert!(words.contains("Quellen: ") && words.contains("Bisher "), "{words}");
        }
    }
}

/// The words of each page of a sheet.
fn pages(pdf: &Path) -> Vec<String> {
    let words = said("pdftotext", &["-layout", pdf.to_str().unwrap(), "-"]);
    words.split('\u{c}').map(str::to_owned).filter(|page| !page.trim().is_empty()).collect()
}

#[test]
fn a_long_table_repeats_its_head_on_each_page_and_what_can_be_pressed_is_not_printed() {
    let served = Served::start(env!("CARGO_BIN_EXE_lastbench-under-test"), true);
    let folder = tempfile::tempdir().unwrap();
    let pdf = folder.path().join("shoe.pdf");
    print(&format!("{}/shoes/fennick.fm-310", served.url), &pdf, "en");
    let pages = pages(&pdf);
    let with_sizes: Vec<_> = pages.iter().filter(|page| page.matches("EU 4").count() > 3).collect();
    assert!(with_sizes.len() >= 2, "the sizes fill more than a page: {}", pages.len());
    for page in with_sizes {
        assert!(page.contains("Pairs") && page.contains("Price"), "the head stands on the page: {page}");
    }
    for pressed in ["Stock map", "Set beside others", "Deutsch"] {
        assert!(pages.iter().all(|page| !page.contains(pressed)), "{pressed} is printed");
    }
}
