//! How much of a fitting's list is asked for.

use serde::Deserialize;

/// What of the list is shown; an answer that is not `yes` is none.
#[derive(Clone, Debug, Default, Deserialize, PartialEq, Eq)]
pub struct Shows {
    /// `yes` for the whole of it.
    #[serde(default)]
    pub all: String,
    /// `yes` where the filters that can be added stand open.
    #[serde(default)]
    pub narrow: String,
}
