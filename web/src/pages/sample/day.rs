//! The owner's day.

use super::s;
use crate::pages::day::{DayPage, Kept, Noted};
use crate::parts::Link;
use crate::parts::act::Act;

pub(crate) fn day_page() -> DayPage {
    let line = |say: &str, soft: &str| Noted { soft: s(soft), ..Noted::plain(say) };
    let settled = |say: &str| Noted {
        link: Some(Link::new("Count it", "/count")),
        settle: Some(Act::Post { action: s("/day/settle"), fields: Vec::new() }),
        ..line(say, "3 times, last on 25 November 2026")
    };
    DayPage {
        last_import: line(
            "Import of range.csv from Brackwater",
            "25 November 2026, 08:10 UTC, 162 rows: 162 new",
        ),
        since: vec![line("Count", "25 November 2026, 09:00 UTC")],
        holes: Noted {
            link: Some(Link::new("What, and of whom to ask it", "/gaps")),
            ..line("212 values not given.", "")
        },
        recount: vec![settled("Fennick Marl 3 EU 42.5 D linen, C4: 2 by the sheets")],
        wanted: vec![settled("Fennick Marl 3 in EU 43")],
        on_foot: vec![settled("Fennick Marl 3: heel slips")],
        low: vec![line("Quillmark Tern 2: EU 42 D (1), EU 43 D (0)", "")],
        low_more: 12,
        few: s("Sizes with 1 pair or fewer, between sizes with more; the number is in the policy."),
        kept: Kept {
            is_red: true,
            lines: vec![
                line("There has been no good backup for more than three days. Make one now.", ""),
                line(
                    "The last good backup is of 20 November 2026, 02:00 UTC.",
                    "3 MB, change 12, in backups",
                ),
            ],
        },
    }
}
