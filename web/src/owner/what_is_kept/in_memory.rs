//! What the program holds in memory: gone when it ends, whatever else removes it before.

use std::time::Duration;

use super::{Facts, size};
use crate::pages::kept::{KeptPart, KeptThing};
use crate::staff::{sessions, set_up_code, throttle};
use crate::visit::number_of;
use crate::waiting::WaitingLimits;

/// The part of the page.
pub(super) fn part(facts: &Facts<'_>) -> KeptPart {
    KeptPart {
        heading: say!("In memory alone").to_owned(),
        lead: say!("No file holds it, and it ends with the program at the latest. How long is counted by a clock that does not jump when the time of day is set.")
            .to_owned(),
        things: vec![
            fittings(facts),
            sessions(facts),
            tried(facts),
            set_up_code(),
            boxes(facts),
            sheets(facts),
            connections(),
            numbers(),
        ],
    }
}

fn fittings(facts: &Facts<'_>) -> KeptThing {
    let limits = facts.fittings;
    KeptThing {
        name: say!("Fittings").to_owned(),
        says: say!(
            "What the runner said and was measured, the order made for them, what was tried and how it felt."
        )
        .to_owned(),
        now: vec![say!("{open} open, at most {most}", open = facts.memory.fittings, most = limits.open)],
        how_long: say!(
            "Until it is closed, at most {hours} after it was opened.",
            hours = hours(limits.life)
        ),
        removed_by: say!("Closing it; the end of its time, within half a minute.").to_owned(),
        ..KeptThing::default()
    }
}

fn sessions(facts: &Facts<'_>) -> KeptThing {
    KeptThing {
        name: say!("Who is signed in").to_owned(),
        says: say!("The name, since when, and a hash (SHA-256) of the secret that the browser has.")
            .to_owned(),
        now: vec![say!("{count}, at most {most}", count = facts.memory.sessions, most = sessions::MOST)],
        how_long: say!(
            "The owner’s {owner} after the last request, a fitter’s {fitter}, at most {longest} in all.",
            owner = minutes(sessions::OWNER_IDLE),
            fitter = minutes(sessions::FITTER_IDLE),
            longest = hours(sessions::LONGEST)
        ),
        removed_by: say!(
            "Signing out, there or on the page of the staff; another password; removing the account."
        )
        .to_owned(),
        ..KeptThing::default()
    }
}

fn tried(facts: &Facts<'_>) -> KeptThing {
    KeptThing {
        name: say!("Passwords that were tried").to_owned(),
        says: say!("Under which names and from which network addresses, and how often in vain: it slows down guessing.")
            .to_owned(),
        now: vec![say!("{count}, at most {most}", count = facts.memory.tried, most = 2 * throttle::REMEMBERED)],
        how_long: say!(
            "A name {name} after the last try, an address {address}.",
            name = minutes(throttle::LONGEST),
            address = hours(throttle::HOUR)
        ),
        removed_by: say!("For a name the right password; the end of its time, within half a minute.").to_owned(),
        ..KeptThing::default()
    }
}

fn set_up_code() -> KeptThing {
    KeptThing {
        name: say!("The code of the first start").to_owned(),
        says: say!("Printed where the server was started, as long as nobody has an account and other computers can reach it.")
            .to_owned(),
        how_long: minutes(set_up_code::GOOD_FOR),
        removed_by: say!("Making the first account; the end of its time, within half a minute.").to_owned(),
        ..KeptThing::default()
    }
}

fn boxes(facts: &Facts<'_>) -> KeptThing {
    KeptThing {
        name: say!("Boxes that are held").to_owned(),
        says: say!("Which, and until when; not for whom.").to_owned(),
        now: vec![facts.memory.boxes.to_string()],
        how_long: say!("As long as was said, at most three days.").to_owned(),
        removed_by: say!("Putting the box back; the end of its time.").to_owned(),
        ..KeptThing::default()
    }
}

fn sheets(facts: &Facts<'_>) -> KeptThing {
    let limits = WaitingLimits::standard();
    KeptThing {
        name: say!("Sheets that wait").to_owned(),
        says: say!("Sheets that were sent in and are not applied, with what was made of them.").to_owned(),
        now: vec![say!(
            "{sheets} of {size}, at most {most}",
            sheets = number_of(facts.memory.sheets, say!("sheet"), say!("sheets")),
            size = size(facts.memory.sheet_bytes as u64),
            most = limits.sheets
        )],
        how_long: hours(limits.life),
        removed_by: say!("Putting it away; further sheets, when there are too many; the end of its time.")
            .to_owned(),
        ..KeptThing::default()
    }
}

fn connections() -> KeptThing {
    KeptThing {
        name: say!("Open connections").to_owned(),
        says: say!("The network address of each, so that one computer cannot take all places.").to_owned(),
        how_long: say!("As long as the connection is open.").to_owned(),
        removed_by: say!("The end of the connection.").to_owned(),
        ..KeptThing::default()
    }
}

fn numbers() -> KeptThing {
    KeptThing {
        name: say!("Numbers of the server").to_owned(),
        says: say!("How often each kind of page was asked for, with which answer and how long it took. Nothing of who asked or what for.")
            .to_owned(),
        places: vec!["/metrics".to_owned()],
        how_long: say!("Until the program ends.").to_owned(),
        removed_by: say!("The end of the program.").to_owned(),
        ..KeptThing::default()
    }
}

pub(super) fn hours(time: Duration) -> String {
    number_of((time.as_secs() / 3_600) as usize, say!("hour"), say!("hours"))
}

pub(super) fn minutes(time: Duration) -> String {
    number_of((time.as_secs() / 60) as usize, say!("minute"), say!("minutes"))
}
