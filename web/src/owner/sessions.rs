//! What the page of sessions says: whose they are, since when, and when they were last used. No name of a browser and no
//! address is known of any.

use std::time::Instant;

use super::staff::{PASSWORD, in_words, password_field};
use crate::pages::sessions::{SESSION, SessionRow, SessionsPage};
use crate::parts::problems::Problem;
use crate::parts::text_field::TextField;
use crate::staff::sessions::{Session, SessionId};

/// What the page is made of.
pub struct Sessions {
    /// The sessions that whoever looks may see.
    pub open: Vec<(SessionId, Session)>,
    /// The one that looks.
    pub own: Option<SessionId>,
    /// They are those of everybody.
    pub of_all: bool,
    /// Those that were chosen.
    pub chosen: Vec<SessionId>,
    /// What was done just now; else empty.
    pub done: String,
    /// What was wrong.
    pub problems: Vec<Problem>,
}

impl Sessions {
    /// The page.
    pub fn page(self, now: Instant) -> SessionsPage {
        let lead = match (self.open.is_empty(), self.of_all) {
            (true, _) => say!("Nobody is signed in: there are no accounts."),
            (false, true) => say!("Who is signed in, browser by browser. End what nobody should be using."),
            (false, false) => say!("Where you are signed in, browser by browser. End what you do not know."),
        };
        let row = |(id, session): &(SessionId, Session)| SessionRow {
            id: id.to_string(),
            name: session.name.clone(),
            detail: say!(
                "signed in {began} ago, last used {seen} ago",
                began = in_words(now.saturating_duration_since(session.began)),
                seen = in_words(now.saturating_duration_since(session.seen))
            ),
            own: self.own == Some(*id),
            chosen: self.chosen.contains(id),
        };
        let hint = say!("Your own, so that nobody else ends anything from here.").to_owned();
        SessionsPage {
            lead: lead.to_owned(),
            sessions: self.open.iter().map(row).collect(),
            password: TextField { hint, ..password_field(PASSWORD, "current-password") }
                .checked(&self.problems),
            done: self.done,
            problems: self.problems,
        }
    }
}

/// Nothing was ticked.
pub fn none_chosen() -> Problem {
    Problem {
        field: SESSION.to_owned(),
        say: say!("Tick the browsers that are to be signed out.").to_owned(),
    }
}

/// How many were ended.
pub fn ended(count: usize) -> String {
    if count == 1 {
        return say!("One browser is signed out.").to_owned();
    }
    say!("{count} browsers are signed out.", count)
}
