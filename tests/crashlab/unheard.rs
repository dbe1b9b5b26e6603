//! N8, N12: answers that nobody hears, since the tablet sleeps or the air is full: the form is sent once more.

use std::io::Write as _;
use std::net::{Shutdown, TcpStream};
use std::thread;
use std::time::Duration;

use tests::chance::Chance;
use tests::http::{get, post};

use crate::oracle::{Oracle, last_change};
use crate::script::{self, hidden};
use crate::table::{Found, Outcome};

const FORMS: usize = 12;

/// A form that is sent, cut off anywhere or not heard of, and sent again is one change, or none if it never arrived whole.
pub(crate) fn sent_again(oracle: &Oracle) -> Outcome {
    let house = oracle.house("unheard");
    let mut server = house.serve(&[]).unwrap();
    let address = server.address.clone();
    let mut chance = Chance::of(Chance::seed() ^ 0x12);
    for form in 0..FORMS {
        let text = script::counted(100 + form);
        let look = [("text", text.as_str()), ("place", ""), ("scope", "listed")];
        let page = post(&address, "/count", &look).unwrap();
        let (base, seen) =
            (hidden(&page, "/count", "base").unwrap(), hidden(&page, "/count", "seen").unwrap());
        let fields = [&look[..], &[("base", &base), ("seen", &seen)]].concat();
        let request = request(&address, "/count", &fields);
        // Every other one arrives whole, and only its answer is not heard.
        let whole = request.len();
        let sent = if form % 2 == 0 { whole } else { chance.below(whole) };
        for _ in 0..3 {
            let mut stream = TcpStream::connect(&address).unwrap();
            stream.write_all(&request.as_bytes()[..sent]).unwrap();
            thread::sleep(Duration::from_millis(chance.below(30) as u64));
            let _ = stream.shutdown(Shutdown::Both);
        }
        let answer = post(&address, "/count", &fields).unwrap();
        let receipt = format!("/count?done={}", form + 2);
        assert!(
            answer.status == 303 && answer.place() == receipt,
            "form {form}: {} {}",
            answer.status,
            answer.head
        );
        assert_eq!(get(&address, "/healthz").unwrap().status, 200);
    }
    assert!(server.lives());
    server.kill();
    let standing = last_change(&house);
    let check = house.run(&["check"]);
    assert!(check.status.success(), "{}", String::from_utf8_lossy(&check.stdout));
    let found = Found {
        tries: FORMS * 3,
        acknowledged: FORMS,
        lost: (FORMS + 1).saturating_sub(standing),
        mixed: usize::from(standing > FORMS + 1),
        ..Found::default()
    };
    Outcome::Done(found.noted("each form is one change, however often it was sent"))
}

fn request(address: &str, target: &str, fields: &[(&str, &str)]) -> String {
    let form = form_urlencoded::Serializer::new(String::new()).extend_pairs(fields).finish();
    format!(
        "POST {target} HTTP/1.1\r\nHost: {address}\r\nSec-Fetch-Site: same-origin\r\nAccept: text/html\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{form}",
        form.len()
    )
}
