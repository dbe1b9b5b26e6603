//! What lies where the program does not remove it: in browsers, in the log, in the second folder, on paper.

use super::in_memory::hours;
use super::{Facts, span};
use crate::cookie::{FITTING, LANGUAGE, SESSION, known_as};
use crate::pages::kept::{KeptPart, KeptThing};

/// Where the script keeps whether its guard is off, and codes of the same moment that wait.
const STORED: [&str; 2] = ["scanner-guard-off", "scanned-next"];

/// What browsers keep for the program.
pub(super) fn in_browsers(facts: &Facts<'_>) -> KeptPart {
    let cookie = |name: &str, says: &str, how_long: String, removed_by: &str| KeptThing {
        name: say!("Cookie “{name}”", name = known_as(name, facts.listening)),
        says: says.to_owned(),
        how_long,
        removed_by: removed_by.to_owned(),
        ..KeptThing::default()
    };
    let things = vec![
        cookie(
            SESSION,
            say!("The secret of a session: chance, 256 bits. No script can read it."),
            say!("Until the browser is closed; the server ends it sooner.").to_owned(),
            say!("Signing out."),
        ),
        cookie(
            &format!("{FITTING}…"),
            say!("That a fitting is open, with the first eight signs of its number: it keeps a closed one from coming back with the Back button, and opens none."),
            hours(facts.fittings.life),
            say!("Closing the fitting."),
        ),
        cookie(
            LANGUAGE,
            say!("The language that was chosen."),
            say!("A year.").to_owned(),
            say!("Choosing another one writes it anew."),
        ),
        KeptThing {
            name: say!("Storage of the script").to_owned(),
            says: say!("Whether scans are left to the field one is in, and further codes of boxes that were scanned in the same moment.")
                .to_owned(),
            places: STORED.map(str::to_owned).into(),
            how_long: say!("The first until it is switched, the second until the window is closed.").to_owned(),
            removed_by: say!("Signing out, over HTTPS; clearing the data of the page in the browser.").to_owned(),
            ..KeptThing::default()
        },
    ];
    KeptPart { heading: say!("In the browsers").to_owned(), lead: String::new(), things }
}

/// What leaves the program.
pub(super) fn elsewhere(facts: &Facts<'_>) -> KeptPart {
    let second = facts
        .keeping
        .and_then(|keeping| keeping.second.as_ref().map(|second| (second, &keeping.newest_second)));
    let second = second.map(|(folder, newest)| {
        let newest = newest.as_ref().map(|newest| newest.at);
        KeptThing {
            name: say!("The second folder of backups").to_owned(),
            says: say!("A copy of every backup.").to_owned(),
            places: vec![folder.display().to_string()],
            now: vec![say!("the newest: {when}", when = span(newest, newest))],
            how_long: say!("As in the first.").to_owned(),
            removed_by: say!("As in the first; a backup made by hand elsewhere is yours to remove.")
                .to_owned(),
        }
    });
    let log = KeptThing {
        name: say!("The log").to_owned(),
        says: say!("Starts, ends and faults; of each sign-in and of each request that was turned away the time, the name of the account and the address template, of a sign-in the network address too; when told to (LASTBENCH_LOG=info) a line an answer, with name and template. Never what was typed, searched or said of a runner.")
            .to_owned(),
        places: vec![say!("standard error").to_owned()],
        how_long: say!("As long as the system keeps it that takes standard error, such as systemd’s journal.").to_owned(),
        removed_by: say!("That system.").to_owned(),
        ..KeptThing::default()
    };
    let paper = KeptThing {
        name: say!("Cards and files").to_owned(),
        says: say!("Cards that were printed or saved, and lists, sheets and letters that were downloaded. The program keeps no copy.")
            .to_owned(),
        how_long: say!("As long as whoever has them keeps them.").to_owned(),
        removed_by: say!("They.").to_owned(),
        ..KeptThing::default()
    };
    let things = second.into_iter().chain([log, paper]).collect();
    KeptPart { heading: say!("Elsewhere").to_owned(), lead: String::new(), things }
}
