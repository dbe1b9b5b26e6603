//! Which heading feeds which column.

/// Whether a sheet lists all that its supplier has, or a part of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SheetKind {
    /// All of it: what the sheet does not list is missing.
    Full,
    /// A part: what it does not list is not spoken of.
    #[default]
    Partial,
}
