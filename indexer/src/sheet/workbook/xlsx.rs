//! Office Open XML (ECMA-376): which parts a workbook has, and its tabs in their order.

use std::collections::BTreeMap;
use std::io::Write;

use super::super::WorkbookFault as Fault;
use super::super::refused::Why;
use super::Halt;
use super::archive::Archive;
use super::taker::Taker;
use super::xlsx_sheet::{Kept, read_tab};
use super::xlsx_styles::styles;
use super::xlsx_texts::Texts;
use super::xml::{Piece, Xml};

/// Bytes of a part that is kept while tabs are read, unpacked.
const KEPT_BYTES: u64 = 64_000_000;
/// Tabs a workbook may list, shown or not; the limit of those with rows is smaller.
const LISTED_TABS: usize = 1_000;

/// Reads every tab that is shown.
pub(super) fn read<W: Write>(archive: &Archive<'_>, taker: &mut Taker<'_, W>) -> Result<(), Halt> {
    check_kind(archive)?;
    let root = Links::of(archive, "_rels/.rels", "")?;
    let path = root.first("officeDocument").unwrap_or("xl/workbook.xml").to_owned();
    let (folder, file) = path.rsplit_once('/').unwrap_or(("", &path));
    let links = Links::of(archive, &joined(folder, &format!("_rels/{file}.rels")), folder)?;
    let book = Book::of(kept(archive, &path)?.ok_or(Why::NotWorkbook)?)?;
    let linked = |kind| links.first(kind).map_or(Ok(None), |part| kept(archive, part));
    let kept = Kept {
        texts: linked("sharedStrings")?.map(Texts::of).transpose()?.unwrap_or_default(),
        styles: linked("styles")?.map(styles).transpose()?.unwrap_or_default(),
        year_1904: book.year_1904,
    };
    for tab in &book.tabs {
        let Some(part) = links.by_id.get(&tab.link).filter(|link| link.kind == "worksheet") else { continue };
        if taker.begin(&tab.title, tab.hidden)? {
            read_tab(Xml::of(archive.part(&part.target).ok_or(Fault::Broken)?), &kept, taker)?;
            taker.end()?;
        }
    }
    Ok(())
}

/// Macros and the binary kind are refused by content, whatever the file is called.
fn check_kind(archive: &Archive<'_>) -> Result<(), Halt> {
    if archive.names().any(|name| name.ends_with("vbaProject.bin") || name.ends_with("workbook.bin")) {
        return Err(Why::OldKind.into());
    }
    let mut types = kept(archive, "[Content_Types].xml")?.ok_or(Why::NotWorkbook)?;
    let mut workbook = false;
    loop {
        match types.next()? {
            Piece::Start(tag) => {
                let kind = tag.get("ContentType").unwrap_or_default();
                if kind.contains("macroEnabled") || kind.contains("sheet.binary") {
                    return Err(Why::OldKind.into());
                }
                workbook |= kind.contains("spreadsheetml");
            }
            Piece::Over => return if workbook { Ok(()) } else { Err(Why::NotWorkbook.into()) },
            _ => {}
        }
    }
}

/// A part that will be kept in memory.
fn kept<'b>(archive: &Archive<'b>, name: &str) -> Result<Option<Xml<'b>>, Fault> {
    if archive.size(name) > KEPT_BYTES {
        return Err(Fault::TooMuchInside);
    }
    Ok(archive.part(name).map(Xml::of))
}

/// What a workbook says of itself.
struct Book {
    tabs: Vec<Listed>,
    year_1904: bool,
}

struct Listed {
    title: String,
    link: String,
    hidden: bool,
}

impl Book {
    fn of(mut xml: Xml<'_>) -> Result<Self, Fault> {
        let mut book = Self { tabs: Vec::new(), year_1904: false };
        loop {
            match xml.next()? {
                Piece::Start(tag) if tag.name() == "workbookPr" => book.year_1904 = tag.says("date1904"),
                Piece::Start(tag) if tag.name() == "sheet" => book.tabs.push(Listed {
                    title: tag.get("name").unwrap_or_default().into(),
                    link: tag.get("id").unwrap_or_default().into(),
                    hidden: tag.get("state").is_some_and(|state| state != "visible"),
                }),
                Piece::Over => return Ok(book),
                _ => {}
            }
            if book.tabs.len() > LISTED_TABS {
                return Err(Fault::TooManyTabs);
            }
        }
    }
}

/// The links of a part to others (ECMA-376 part 2, 9.3). Links out of the file are left alone.
struct Links {
    by_id: BTreeMap<String, Link>,
}

struct Link {
    /// The last word of its type.
    kind: String,
    target: String,
}

impl Links {
    fn of(archive: &Archive<'_>, name: &str, folder: &str) -> Result<Self, Fault> {
        let mut by_id = BTreeMap::new();
        let Some(mut xml) = kept(archive, name)? else { return Ok(Self { by_id }) };
        loop {
            match xml.next()? {
                Piece::Start(tag) if tag.name() == "Relationship" => {
                    let [id, kind, target] =
                        ["Id", "Type", "Target"].map(|key| tag.get(key).unwrap_or_default());
                    if tag.get("TargetMode").is_some_and(|mode| mode == "External") {
                        continue;
                    }
                    let kind = kind.rsplit('/').next().unwrap_or_default().into();
                    by_id.insert(id.into(), Link { kind, target: joined(folder, &target) });
                }
                Piece::Over => return Ok(Self { by_id }),
                _ => {}
            }
        }
    }

    fn first(&self, kind: &str) -> Option<&str> {
        self.by_id.values().find(|link| link.kind == kind).map(|link| link.target.as_str())
    }
}

/// A target as the name of a part: from the root, or from the folder of the part that links.
fn joined(folder: &str, target: &str) -> String {
    let from = if target.starts_with('/') { "" } else { folder };
    let mut steps: Vec<&str> = Vec::new();
    for step in from.split('/').chain(target.split('/')) {
        match step {
            "" | "." => {}
            ".." => _ = steps.pop(),
            step => steps.push(step),
        }
    }
    steps.join("/")
}
