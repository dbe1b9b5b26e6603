//! Which backups stay. None goes because it is old: days and weeks are counted by the backups themselves, and whoever's
//! clock cannot be believed lets none go at all.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use super::{A_DAY, Backup, Why, backups, when};

/// The newest of so many days.
pub const DAYS: usize = 7;
/// The newest of so many weeks.
pub const WEEKS: usize = 4;
/// Before sheets.
pub const BEFORE_CHANGES: usize = 10;
/// Before restoring, and before upgrades: as many of each.
pub const BEFORE_OTHERS: usize = 3;

/// What was let go.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pruned {
    /// Removed.
    pub removed: usize,
    /// That could not be removed.
    pub stuck: usize,
}

/// Why none was let go.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Mistrust {
    /// It is earlier than a backup.
    #[error("the clock says {}, and there is a backup of {}: no backup is let go until the clock is right, or that one is taken away", when(*now), when(*newest))]
    Earlier {
        /// What the clock says.
        now: i64,
        /// The newest backup.
        newest: i64,
    },
    /// It went forward by days while the program ran.
    #[error("the clock jumped from {} to {}: no backup is let go this time", when(*before), when(*now))]
    Jumped {
        /// What it should have said.
        before: i64,
        /// What it said.
        now: i64,
    },
    /// The folder cannot be read.
    #[error("the backups cannot be listed: {0}")]
    Unread(String),
}

impl Pruned {
    pub(super) fn and(self, other: Self) -> Self {
        Self { removed: self.removed + other.removed, stuck: self.stuck + other.stuck }
    }
}

/// Lets the backups of a folder go that need not stay, at `now`, when one has just been made.
pub(super) fn prune(folder: &Path, now: i64) -> Result<Pruned, Mistrust> {
    let all = backups(folder).map_err(|fault| Mistrust::Unread(fault.to_string()))?;
    let mut pruned = Pruned::default();
    for backup in to_let_go(&all, now)? {
        if fs::remove_file(&backup.path).is_ok() {
            pruned.removed += 1;
        } else {
            pruned.stuck += 1;
        }
    }
    Ok(pruned)
}

/// Those of `all`, the newest first, that need not stay.
fn to_let_go(all: &[Backup], now: i64) -> Result<Vec<&Backup>, Mistrust> {
    if let Some(newest) = all.first().filter(|newest| newest.at > now) {
        return Err(Mistrust::Earlier { now, newest: newest.at });
    }
    let regular = || all.iter().filter(|backup| matches!(backup.why, Why::Asked | Why::Night));
    let mut stays: BTreeSet<&Path> = BTreeSet::new();
    stays.extend(newest_of_each(regular(), DAYS, |at| at.div_euclid(A_DAY)));
    // The first of January 1970 was a Thursday.
    stays.extend(newest_of_each(regular(), WEEKS, |at| (at.div_euclid(A_DAY) + 3).div_euclid(7)));
    for (why, most) in
        [(Why::Change, BEFORE_CHANGES), (Why::Restore, BEFORE_OTHERS), (Why::Upgrade, BEFORE_OTHERS)]
    {
        let such = all.iter().filter(|backup| backup.why == why);
        stays.extend(such.take(most).map(|backup| backup.path.as_path()));
    }
    Ok(all.iter().filter(|backup| !stays.contains(backup.path.as_path())).collect())
}

fn newest_of_each<'b>(
    newest_first: impl Iterator<Item = &'b Backup>,
    most: usize,
    span: impl Fn(i64) -> i64,
) -> Vec<&'b Path> {
    let mut seen = BTreeSet::new();
    let mut newest = Vec::new();
    for backup in newest_first {
        if seen.insert(span(backup.at)) && newest.len() < most {
            newest.push(backup.path.as_path());
        }
    }
    newest
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loaded::Seq;

    /// Monday, 26 October 2026, three at night.
    const START: i64 = 1_792_983_600;

    fn backup(at: i64, why: Why) -> Backup {
        Backup { path: Backup::name(at, Seq(1), why).into(), at, seq: Seq(1), why, bytes: 1 }
    }

    /// What is left after a backup each night for `nights`, let go as they come; days since the start.
    fn after(nights: i64) -> Vec<i64> {
        let mut all: Vec<Backup> = Vec::new();
        for night in 0..nights {
            let now = START + night * A_DAY;
            all.insert(0, backup(now, Why::Night));
            let gone: Vec<Backup> = to_let_go(&all, now).unwrap().into_iter().cloned().collect();
            all.retain(|backup| !gone.contains(backup));
        }
        all.iter().map(|backup| (backup.at - START) / A_DAY).collect()
    }

    #[test]
    fn seven_days_and_four_weeks_stay() {
        assert_eq!(after(5), [4, 3, 2, 1, 0]);
        // Night 59 is a Thursday: three weeks end on Sundays before the seven days.
        assert_eq!(after(60), [59, 58, 57, 56, 55, 54, 53, 48, 41]);
    }

    #[test]
    fn ten_from_before_sheets_stay_and_push_no_night_out() {
        let mut all: Vec<Backup> = (0..25).rev().map(|n| backup(START + 60 * n, Why::Change)).collect();
        all.push(backup(START - A_DAY, Why::Night));
        let gone = to_let_go(&all, START + A_DAY).unwrap();
        assert_eq!(gone.len(), 15);
        assert!(gone.iter().all(|gone| gone.why == Why::Change && gone.at < START + 60 * 15));
    }

    #[test]
    fn a_clock_that_went_back_lets_none_go() {
        let all: Vec<Backup> = (0..30).rev().map(|n| backup(START + n * A_DAY, Why::Night)).collect();
        let refused = to_let_go(&all, START + 10 * A_DAY).unwrap_err();
        assert!(refused.to_string().contains("until the clock is right"), "{refused}");
        assert!(!to_let_go(&all, START + 29 * A_DAY).unwrap().is_empty());
    }

    #[test]
    fn a_clock_years_ahead_lets_no_more_go_than_one_night_more() {
        let mut all: Vec<Backup> = (0..7).rev().map(|n| backup(START + n * A_DAY, Why::Night)).collect();
        let now = START + 3_650 * A_DAY;
        all.insert(0, backup(now, Why::Night));
        let gone: Vec<i64> = to_let_go(&all, now).unwrap().iter().map(|b| (b.at - START) / A_DAY).collect();
        assert_eq!(gone, [0]);
    }
}
