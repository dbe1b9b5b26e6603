//! The changes that are made, in order: the change with number k is the same in every run, so that the state after it
//! is known beforehand.

use std::fmt::Write as _;
use std::io;

use tests::http::{Answer, get, post, post_sheet};

/// The last change that is made in one folder.
pub(crate) const LAST: usize = 40;

/// Codes: worked examples of GS1, `tests/tables/gtin_examples.csv`.
const CODES: [&str; 3] = ["7300011000017", "6291041500213", "036000241457"];

/// What a client heard of a change that it asked for.
pub(crate) enum Heard {
    /// The receipt.
    Acknowledged,
    /// Nothing: the connection ended.
    Nothing,
    /// Anything else.
    Refused(Answer),
}

/// The sheet of the first change and of each later import; `price` tells one from the other.
pub(crate) fn sheet(price: usize) -> String {
    let mut csv = "Maker,Style number,Model,Colour,Size system,Size,EAN,Qty,Place,Price EUR\n".to_owned();
    for (row, code) in CODES.iter().enumerate() {
        writeln!(csv, "Feldrast,FR-1,Egge,grey,EU,{},{code},{},A1,{price}", 42 + row, row + 1).unwrap();
    }
    for row in 0..400 {
        let (style, size) = (row / 20, 36 + row % 20);
        writeln!(csv, "Fennick,K-{style},Kill {style},ochre,EU,{size},,{},B2,{price}", row % 5).unwrap();
    }
    csv
}

/// Whether the change with this number takes the one before back.
pub(crate) fn is_undo(change: usize) -> bool {
    change.is_multiple_of(5)
}

/// Whether the change with this number is a sheet.
pub(crate) fn is_import(change: usize) -> bool {
    !is_undo(change) && change % 7 == 3
}

/// Makes the change with this number; all those before it are made.
pub(crate) fn make(address: &str, change: usize) -> Heard {
    let asked = match change {
        undo if is_undo(undo) => take_back(address, undo - 1),
        import if is_import(import) => send(address, import),
        count => scan(address, count),
    };
    let Ok(answer) = asked else { return Heard::Nothing };
    let receipt = [format!("/changes?done={change}"), format!("/count?done={change}")];
    if answer.status == 303 && receipt.contains(&answer.place()) {
        Heard::Acknowledged
    } else {
        Heard::Refused(answer)
    }
}

/// The text of a count; a number that the size had never before.
pub(crate) fn counted(change: usize) -> String {
    format!("{} x{}", CODES[change % CODES.len()], 50 + change)
}

fn scan(address: &str, change: usize) -> io::Result<Answer> {
    count(address, &counted(change))
}

/// Looks at a count and applies it.
pub(crate) fn count(address: &str, text: &str) -> io::Result<Answer> {
    let fields = [("text", text), ("place", ""), ("scope", "listed")];
    let page = post(address, "/count", &fields)?;
    if page.status != 200 {
        return Ok(page);
    }
    let (base, seen) = (hidden(&page, "/count", "base")?, hidden(&page, "/count", "seen")?);
    post(address, "/count", &[&fields[..], &[("base", &base), ("seen", &seen)]].concat())
}

fn send(address: &str, change: usize) -> io::Result<Answer> {
    send_sheet(address, &format!("sheet-{change}.csv"), &sheet(100 + change))
}

/// Sends a sheet in and applies it.
pub(crate) fn send_sheet(address: &str, name: &str, text: &str) -> io::Result<Answer> {
    let sent = post_sheet(address, "Feldrast", name, text.as_bytes())?;
    if sent.status != 303 {
        return Ok(sent);
    }
    let home = sent.place();
    let page = settled(address, &home)?;
    let seen = hidden(&page, &format!("{home}/apply"), "seen")?;
    apply(address, &home, &seen)
}

/// Applies the sheet of an address as it was looked at; what comes of it.
pub(crate) fn apply(address: &str, home: &str, seen: &str) -> io::Result<Answer> {
    let mut answer = post(address, &format!("{home}/apply"), &[("seen", seen)])?;
    // A busy machine may need longer than an answer waits; its page then leads to the receipt, or says why not.
    while answer.status == 303 && answer.place() == home {
        answer = get(address, home)?;
        if answer.status == 200 && !answer.head.contains("refresh: ") {
            return Ok(answer);
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
        if answer.status == 200 {
            answer = Answer { status: 303, head: format!("location: {home}"), body: String::new() };
        }
    }
    Ok(answer)
}

/// The page of a sheet once it is read.
pub(crate) fn settled(address: &str, home: &str) -> io::Result<Answer> {
    loop {
        let page = get(address, home)?;
        if !page.head.contains("refresh: ") {
            return Ok(page);
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
}

fn take_back(address: &str, change: usize) -> io::Result<Answer> {
    let action = format!("/changes/{change}/undo");
    let page = get(address, &action)?;
    if page.status != 200 {
        return Ok(page);
    }
    let at = hidden(&page, &action, "at")?;
    post(address, &action, &[("at", &at)])
}

/// The hidden field `name` of the form that posts to `action`; a page that was cut off has none.
pub(crate) fn hidden(page: &Answer, action: &str, name: &str) -> io::Result<String> {
    let form = page.body.split(&format!("action=\"{action}\"")).nth(1);
    let field = form.and_then(|form| form.split(&format!("name=\"{name}\" value=\"")).nth(1));
    let value = field.and_then(|field| field.split('"').next());
    let shown = || page.body.chars().take(300).collect::<String>();
    value
        .map(str::to_owned)
        .ok_or_else(|| io::Error::other(format!("no {name} in {}: {}", page.status, shown())))
}
