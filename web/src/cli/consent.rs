//! Whether a change is made: looked at only, agreed to beforehand, or asked; and that a report that is lost says what
//! was kept.

use clap::Args;
use indexer::store::ChangeId;

use super::out::{Failure, Out};

/// What is said of a change beforehand.
#[derive(Args, Clone, Copy, Debug)]
pub(super) struct Consent {
    /// Say what would change, and change nothing
    #[arg(long)]
    pub(super) check: bool,
    /// Apply without asking
    #[arg(long, conflicts_with = "check")]
    yes: bool,
    /// Print the report as JSON
    #[arg(long)]
    pub(super) json: bool,
}

impl Consent {
    /// Whether the change is to be made: as was said, else as is answered to its `summary` on the terminal.
    ///
    /// # Errors
    /// Nobody can be asked.
    pub(super) fn is_given(self, summary: impl FnOnce() -> String, out: &Out) -> Result<bool, Failure> {
        if self.check || self.yes {
            return Ok(self.yes);
        }
        out.needed(summary());
        out.ask("Apply?").ok_or_else(|| {
            let say = "nobody can be asked here: say --yes to apply, or --check to look only.";
            Failure::Usage(say.to_owned())
        })
    }
}

/// How a report ended; one that could not be written says which change was kept all the same.
pub(super) fn reported(
    written: Result<(), Failure>,
    change: Option<ChangeId>,
    out: &mut Out,
) -> Result<(), Failure> {
    match (written.and_then(|()| out.done().map(|_| ())), change) {
        (Err(Failure::Unread(why)), Some(change)) => Err(Failure::Unreachable(format!(
            "the report could not be written ({why}), but change {} was kept.",
            change.0
        ))),
        (written, _) => written,
    }
}
