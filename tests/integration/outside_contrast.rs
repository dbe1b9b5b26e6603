//! The colours of our own drawings against the contrast formula of WCAG 2.2, in the light scheme and in the dark one.
//!
//! Source: W3C, Web Content Accessibility Guidelines 2.2, definitions of *relative luminance* and *contrast ratio*
//! (<https://www.w3.org/TR/WCAG22/#dfn-relative-luminance>, <https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio>);
//! criteria 1.4.3 (text 4.5:1) and 1.4.11 (graphics 3:1). Tools that check pages do not look into drawings.

#![allow(clippy::unwrap_used, reason = "a test may fail loudly")]

use std::collections::BTreeMap;

const SHEET: &str = include_str!("../../web/src/assets/style.css");
/// What text is to reach, and what graphics are.
const TEXT: f64 = 4.5;
const GRAPHIC: f64 = 3.0;

/// A rule of the sheet that paints a part of a drawing: its selector, the property, what it stands on, the least.
const PAINTED: [(&str, &str, &[&str], f64); 22] = [
    (".figure", "fill", &["paper", "sole"], TEXT),
    (".figure.unknown", "fill", &["paper"], TEXT),
    (".sole .drop", "fill", &["paper"], TEXT),
    (".dots .name", "fill", &["paper", "sole"], TEXT),
    (".dots .value", "fill", &["paper", "sole"], TEXT),
    (".tick", "fill", &["paper"], TEXT),
    (".axis-name", "fill", &["paper"], TEXT),
    ("path.shoe", "stroke", &["paper", "sole"], GRAPHIC),
    ("path.worn", "stroke", &["paper", "sole"], GRAPHIC),
    ("path.open", "stroke", &["paper"], GRAPHIC),
    ("path.ground", "stroke", &["paper"], GRAPHIC),
    ("path.station", "stroke", &["sole"], GRAPHIC),
    ("path.dimension", "stroke", &["paper", "sole"], GRAPHIC),
    ("path.extension", "stroke", &["paper"], GRAPHIC),
    ("path.row-line", "stroke", &["paper"], GRAPHIC),
    ("path.interval", "stroke", &["paper", "sole"], GRAPHIC),
    (".looked-for", "stroke", &["paper", "sole"], GRAPHIC),
    ("circle.dot", "fill", &["paper", "sole"], GRAPHIC),
    ("circle.disc", "fill", &["paper", "sole"], GRAPHIC),
    ("path.cross", "stroke", &["paper", "sole"], GRAPHIC),
    (".bar", "fill", &["paper"], GRAPHIC),
    (".bar.within", "fill", &["paper"], GRAPHIC),
];

/// Paints that carry no meaning: the ground of a shape that its own outline shows, lines that only lead the eye, and
/// the rim that sets a shape off from what it lies on.
const NO_MEANING: [(&str, &str); 7] = [
    ("path.shoe", "fill"),
    (".looked-for", "fill"),
    ("path.grid", "stroke"),
    ("circle.dot", "stroke"),
    ("circle.disc", "stroke"),
    ("path.rim", "stroke"),
    (".sole .drop", "stroke"),
];

type Colours = BTreeMap<String, [u8; 3]>;

/// The colours of the roles in a block of the sheet.
fn roles(block: &str) -> Colours {
    let declared = block.split(';').filter_map(|line| line.trim().strip_prefix("--")?.split_once(": #"));
    let colour = |hex: &str| {
        let byte = |at: usize| u8::from_str_radix(hex.get(at..at + 2)?, 16).ok();
        Some([byte(0)?, byte(2)?, byte(4)?])
    };
    declared.filter_map(|(name, hex)| Some((name.to_owned(), colour(hex)?))).collect()
}

/// The roles in the light scheme, and in the dark one.
fn schemes() -> [(&'static str, Colours); 2] {
    let mut blocks = SHEET.split(":root {").skip(1).map(|rest| rest.split('}').next().unwrap());
    let light = roles(blocks.next().unwrap().split("color-scheme: light dark;").nth(1).unwrap());
    assert!(
        SHEET.contains("@media (prefers-color-scheme: dark) {\n  :root {"),
        "the second block is the dark one"
    );
    let dark = roles(blocks.next().unwrap());
    [("light", light), ("dark", dark)]
}

/// Relative luminance: the channels made linear, then weighed.
fn luminance(colour: [u8; 3]) -> f64 {
    let linear = |byte: u8| {
        let c = f64::from(byte) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    let [r, g, b] = colour.map(linear);
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

fn contrast(one: [u8; 3], other: [u8; 3]) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

/// The rules outside of every media query, selector by selector.
fn rules() -> Vec<(&'static str, &'static str)> {
    let mut found = Vec::new();
    for line in SHEET.lines().filter(|line| !line.starts_with(' ')) {
        if let Some((selectors, body)) = line.split_once(" {").filter(|(_, body)| body.ends_with('}')) {
            found.extend(selectors.split(", ").map(|selector| (selector, body)));
        }
    }
    found
}

/// The role that a rule paints with.
fn painted(selector: &str, property: &str) -> Option<&'static str> {
    let body = rules().into_iter().find(|(of, body)| *of == selector && role(body, property).is_some())?.1;
    role(body, property)
}

fn role(body: &'static str, property: &str) -> Option<&'static str> {
    body.split(';')
        .map(str::trim)
        .find_map(|line| line.strip_prefix(property)?.strip_prefix(": var(--")?.strip_suffix(')'))
}

#[test]
fn the_formula_gives_what_the_guidelines_say() {
    let of = |one: [u8; 3], other: [u8; 3]| (contrast(one, other) * 100.0).round() / 100.0;
    // Black on white is 21:1 by the definition; the greys are those known to stand on either
    // side of 4.5:1 and of 3:1 (from memory).
    assert!((of([0; 3], [255; 3]) - 21.0).abs() < 0.001);
    assert!((of([0x76; 3], [255; 3]) - 4.54).abs() < 0.001 && (of([0x77; 3], [255; 3]) - 4.48).abs() < 0.001);
    assert!((of([0x94; 3], [255; 3]) - 3.03).abs() < 0.001 && contrast([0x95; 3], [255; 3]) < 3.0);
}

#[test]
fn every_colour_of_a_drawing_stands_out_from_what_it_lies_on_in_both_schemes() {
    let mut faint = Vec::new();
    for (scheme, colours) in schemes() {
        for (selector, property, grounds, least) in PAINTED {
            let role = painted(selector, property);
            let role = role.unwrap_or_else(|| panic!("{selector} has no {property} of a role"));
            for ground in grounds {
                let ratio = contrast(colours[role], colours[*ground]);
                if ratio < least {
                    faint.push(format!(
                        "{scheme}: {selector} {property} {role} on {ground}: {ratio:.2} < {least}"
                    ));
                }
            }
        }
    }
    assert!(faint.is_empty(), "{faint:#?}");
}

#[test]
fn every_colour_of_a_drawing_is_looked_at() {
    let known = |selector: &str, property: &str| {
        PAINTED.iter().any(|(of, paints, ..)| *of == selector && *paints == property)
            || NO_MEANING.contains(&(selector, property))
    };
    let mut unknown = Vec::new();
    for (selector, body) in rules() {
        for property in ["fill", "stroke"] {
            if role(body, property).is_some() && !known(selector, property) {
                unknown.push(format!("{selector} {property}"));
            }
        }
    }
    assert!(unknown.is_empty(), "say above what these stand on: {unknown:?}");
}

#[test]
fn dots_crosses_and_frames_stay_apart_without_any_colour() {
    // What is told apart by hue alone would be lost in grey: the marks differ in shape, and the region from its ground
    // by a dashed outline; here the outline is looked at as grey.
    for (scheme, colours) in schemes() {
        let (outline, sole) = (luminance(colours["ink"]), luminance(colours["sole"]));
        assert!((outline - sole).abs() >= 0.2, "{scheme}: {outline:.2} beside {sole:.2}");
    }
}

/// The role of a text and that of what it stands on; `None` is the page or a raised box.
fn texts() -> Vec<(&'static str, &'static str, Option<&'static str>)> {
    let with_colour =
        rules().into_iter().filter(|(_, body)| body.contains(" color: var(--") && !body.contains("--ink:"));
    with_colour.map(|(of, body)| (of, role(body, "color").unwrap(), role(body, "background"))).collect()
}

#[test]
fn every_text_of_a_page_stands_out_from_what_it_lies_on_in_both_schemes() {
    let texts = texts();
    assert!(texts.len() > 40, "the sheet is understood: {texts:?}");
    let mut faint = Vec::new();
    for (scheme, colours) in schemes() {
        for (selector, text, ground) in &texts {
            let grounds = ground.map_or_else(|| vec!["paper", "raised"], |ground| vec![ground]);
            // What is inverted stands on ink where the rule itself does not say so.
            let grounds = if *text == "paper" && ground.is_none() { vec!["ink"] } else { grounds };
            for ground in grounds {
                let ratio = contrast(colours[*text], colours[ground]);
                if ratio < TEXT {
                    faint.push(format!("{scheme}: {selector} {text} on {ground}: {ratio:.2} < {TEXT}"));
                }
            }
        }
    }
    assert!(faint.is_empty(), "{faint:#?}");
}

#[test]
fn no_text_has_a_colour_that_is_no_role() {
    let own = |body: &str| {
        let colours =
            body.split(';').filter_map(|line| line.trim().trim_start_matches("{ ").strip_prefix("color: "));
        colours.filter(|colour| !colour.starts_with("var(--") && !matches!(*colour, "inherit")).count() > 0
    };
    // A card is paper: black on white in both schemes.
    let strange: Vec<_> = rules().into_iter().filter(|(of, body)| own(body) && *of != "body.card").collect();
    assert!(strange.is_empty(), "{strange:#?}");
}
