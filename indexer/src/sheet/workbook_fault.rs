//! What is wrong with a workbook as a whole, in words.

use std::fmt;

/// Parts that a workbook's zip may list.
pub(super) const PARTS: usize = 200;

/// What is wrong with a workbook as a whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WorkbookFault {
    /// A password protects it.
    Encrypted,
    /// The zip or the XML in it is damaged or cut short.
    Broken,
    /// The zip lists more parts than a workbook has.
    TooManyParts,
    /// Its parts unpack to more than allowed.
    TooMuchInside,
    /// A part unpacks to a hundred times its size: a zip bomb.
    Bomb,
    /// Parts overlap, share a name, point out of the file, or are called otherwise in the list than in place.
    UnsafeParts,
    /// XML that declares a document type or uses entities of its own.
    Doctype,
    /// XML nested or stretched as no spreadsheet writes it.
    Shape,
    /// A row or column that no spreadsheet has, or one that comes twice or out of order.
    Address,
    /// A tab's name is too long or holds control characters.
    TabName,
    /// More tabs with rows than allowed.
    TooManyTabs,
    /// More merged blocks than allowed.
    TooManyMerged,
    /// There are tabs or rows, and all are hidden.
    AllHidden,
}

impl WorkbookFault {
    pub(super) const ALL: [Self; 13] = [
        Self::Encrypted,
        Self::Broken,
        Self::TooManyParts,
        Self::TooMuchInside,
        Self::Bomb,
        Self::UnsafeParts,
        Self::Doctype,
        Self::Shape,
        Self::Address,
        Self::TabName,
        Self::TooManyTabs,
        Self::TooManyMerged,
        Self::AllHidden,
    ];

    /// A name for programs, never changed once given.
    pub fn code(self) -> &'static str {
        match self {
            Self::Encrypted => "workbook-encrypted",
            Self::Broken => "workbook-broken",
            Self::TooManyParts => "workbook-too-many-parts",
            Self::TooMuchInside => "workbook-too-much-inside",
            Self::Bomb => "workbook-bomb",
            Self::UnsafeParts => "workbook-unsafe-parts",
            Self::Doctype => "workbook-doctype",
            Self::Shape => "workbook-shape",
            Self::Address => "workbook-address",
            Self::TabName => "workbook-tab-name",
            Self::TooManyTabs => "workbook-too-many-tabs",
            Self::TooManyMerged => "workbook-too-many-merged",
            Self::AllHidden => "workbook-all-hidden",
        }
    }
}

impl fmt::Display for WorkbookFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Encrypted => "a password protects it. Open it, save a copy without the password, and take that",
            Self::Broken => "it is damaged or cut short. Open it in a spreadsheet and save it again as .xlsx or CSV",
            Self::TooManyParts => {
                "it is packed from more than 200 parts. Copy the rows into a new workbook, without pictures"
            }
            Self::TooMuchInside => {
                "it unpacks to more than a sheet may hold. Delete what is not needed, or save the sheet as CSV (UTF-8)"
            }
            Self::Bomb => {
                "it unpacks to more than a hundred times its size, as no sheet does. Save the sheet as CSV (UTF-8)"
            }
            Self::UnsafeParts => {
                "its parts overlap or have names that no spreadsheet gives. Open it in a spreadsheet and save it again"
            }
            Self::Doctype => {
                "it declares a document type or entities, as no spreadsheet does. Open it in a spreadsheet and save it again"
            }
            Self::Shape => {
                "it is nested or stretched as no spreadsheet writes it. Open it in a spreadsheet and save it again"
            }
            Self::Address => {
                "a cell has an address that no spreadsheet has, or comes out of order. Open it in a spreadsheet and save it again"
            }
            Self::TabName => "a tab has a name that cannot be shown. Rename the tab",
            Self::TooManyTabs => "more tabs hold rows than can be read. Split it into several files",
            Self::TooManyMerged => "it has too many merged cells. Unmerge them, or save the sheet as CSV (UTF-8)",
            Self::AllHidden => "all that it holds is hidden. Show the tabs and rows that matter and save it again",
        })
    }
}
