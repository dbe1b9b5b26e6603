//! What the pages of the staff say: who there is, what was wrong with a name or a password, how long to wait.

use std::time::Duration;

use indexer::store::Role;

use crate::pages::sign_in::SignInPage;
use crate::pages::staff::{MemberRow, StaffPage};
use crate::parts::problems::Problem;
use crate::parts::text_field::TextField;
use crate::staff::password::{LONGEST, SHORTEST, Weak};
use crate::staff::visitor::Visitor;
use crate::staff::{Member, NotKept, NotLetIn};
use crate::visit::date::day;

/// The field of a name.
pub const NAME: &str = "name";
/// The field of a password.
pub const PASSWORD: &str = "password";
/// The field of a password typed again.
pub const REPEATED: &str = "repeated";
/// The field of the password that holds until now.
pub const PRESENT: &str = "present";
/// The field of the set-up code.
pub const CODE: &str = "code";

impl NotLetIn {
    /// What is said.
    pub fn say(&self) -> String {
        match self {
            Self::Wrong => {
                say!("Name and password do not fit together. Both are checked anew each time.").to_owned()
            }
            Self::Wait(wait) => {
                say!("Too many wrong passwords. Try again in {wait}.", wait = in_words(*wait))
            }
            Self::Broken => broken(),
        }
    }
}

impl NotKept {
    /// What is said, at the field it belongs to.
    pub fn problem(&self) -> Problem {
        let (field, say) = match self {
            Self::Name => (NAME, say!("A name has 1 to 40 characters.").to_owned()),
            Self::Taken => (NAME, say!("There is an account of this name already.").to_owned()),
            Self::Weak(why) => (PASSWORD, weak(*why)),
            Self::OwnerFirst => {
                ("", say!("The first account is an owner’s: nobody else could add others.").to_owned())
            }
            Self::LastOwner => (
                "",
                say!("The last owner stays while there are other accounts. Add another owner first.")
                    .to_owned(),
            ),
            Self::Nobody => ("", say!("There is no account of this name any more.").to_owned()),
            Self::WrongCode => (CODE, wrong_code()),
            Self::Wait(wait) => {
                (CODE, say!("Too many wrong codes. Try again in {wait}.", wait = in_words(*wait)))
            }
            Self::Broken => ("", broken()),
        };
        Problem { field: field.to_owned(), say }
    }
}

fn wrong_code() -> String {
    say!(
        "This is not the code that was printed, or its 30 minutes are over. Start the server again for a new one."
    )
    .to_owned()
}

fn broken() -> String {
    say!("The accounts could not be read or written; the log says why. Nothing was changed.").to_owned()
}

fn weak(why: Weak) -> String {
    match why {
        Weak::Short => say!(
            "A password has at least {SHORTEST} characters; a few words in a row are easy to keep in mind.",
            SHORTEST
        ),
        Weak::Long => say!("A password has at most {LONGEST} characters.", LONGEST),
        Weak::HoldsName => say!("The password holds the name. Leave the name out of it.").to_owned(),
        Weak::Pattern => {
            say!("The password is a row of keys or a few signs over and over. Take some words instead.")
                .to_owned()
        }
        Weak::Common => say!("The password is made of words that are tried first. Take others.").to_owned(),
    }
}

/// Rounded up, so that whoever waits so long has waited long enough.
pub(super) fn in_words(wait: Duration) -> String {
    let seconds = wait.as_secs() + u64::from(wait.subsec_nanos() > 0);
    if seconds < 60 {
        return say!("{seconds} s", seconds);
    }
    say!("{minutes} min", minutes = seconds.div_ceil(60))
}

/// The page to sign in at; `to` is where to go on.
pub fn sign_in_page(to: &str, name: &str, wrong: Option<String>) -> SignInPage {
    let problems =
        wrong.map(|say| Problem { field: PASSWORD.to_owned(), say }).into_iter().collect::<Vec<_>>();
    SignInPage {
        title: say!("Sign in").to_owned(),
        lead: say!("By the name and password that the owner gave you.").to_owned(),
        action: "/sign-in".to_owned(),
        fields: vec![("to".to_owned(), to.to_owned())],
        asked: vec![
            name_field(NAME, name, "username"),
            password_field(PASSWORD, "current-password").checked(&problems),
        ],
        problems,
        button: say!("Sign in").to_owned(),
    }
}

/// The page that asks for the password of `visitor` before it goes on with a form that was filled in.
pub fn again_page(
    visitor: &Visitor,
    fields: (&'static str, &'static str),
    action: String,
    filled_in: Vec<(String, String)>,
    wrong: Option<String>,
) -> SignInPage {
    let (name_again, password_again) = fields;
    let problems =
        wrong.map(|say| Problem { field: password_again.to_owned(), say }).into_iter().collect::<Vec<_>>();
    let password = password_field(password_again, "current-password").checked(&problems);
    let (title, lead, asked) = match visitor.name() {
        Some(name) => (
            say!("Your password again").to_owned(),
            say!(
                "{name}, this is hard to take back. Give your password; what you filled in goes on with it.",
                name
            ),
            vec![password],
        ),
        None => (
            say!("Sign in again").to_owned(),
            say!("You were signed out in the meantime. What you filled in goes on with your password.")
                .to_owned(),
            vec![name_field(name_again, "", "username"), password],
        ),
    };
    SignInPage { title, lead, action, fields: filled_in, asked, problems, button: say!("Go on").to_owned() }
}

/// The page of the first owner.
pub fn set_up_page(name: &str, problems: Vec<Problem>) -> SignInPage {
    let code = TextField {
        name: CODE,
        label: say!("Code").to_owned(),
        hint: say!("Printed where the server was started, good for 30 minutes and once.").to_owned(),
        fills: "one-time-code",
        ..TextField::default()
    };
    let mut asked = vec![code.checked(&problems)];
    asked.extend(new_account(name, &problems));
    SignInPage {
        title: say!("The first account").to_owned(),
        lead: say!("It is the owner’s. From then on everybody signs in, and the owner adds the others.")
            .to_owned(),
        action: "/set-up".to_owned(),
        fields: Vec::new(),
        asked,
        problems,
        button: say!("Make the account").to_owned(),
    }
}

/// The page of another password of one's own.
pub fn own_password_page(problems: Vec<Problem>) -> SignInPage {
    let present = TextField {
        label: say!("Password until now").to_owned(),
        ..password_field(PRESENT, "current-password")
    };
    let mut asked = vec![present.checked(&problems)];
    asked.extend(new_password(&problems));
    SignInPage {
        title: say!("Another password").to_owned(),
        lead: say!("Your other browsers are signed out by it.").to_owned(),
        action: "/own-password".to_owned(),
        fields: Vec::new(),
        asked,
        problems,
        button: say!("Keep the new password").to_owned(),
    }
}

/// The page of the staff; `new` is the name and role as typed.
pub fn staff_page(
    members: Vec<Member>,
    visitor: &Visitor,
    done: &str,
    new: (&str, Option<Role>),
    problems: Vec<Problem>,
) -> StaffPage {
    let first = members.is_empty();
    let lead = if first {
        say!(
            "There are no accounts: whoever sits at this computer is the owner. From the first account on everybody signs in."
        )
    } else {
        say!("Who may sign in, and on how many browsers they are signed in now.")
    };
    StaffPage {
        lead: lead.to_owned(),
        done: done.to_owned(),
        members: members.into_iter().map(|member| row(member, visitor)).collect(),
        new: new_account(new.0, &problems),
        problems,
        role: new.1.unwrap_or(Role::Fitter).word(),
        first,
    }
}

fn row(member: Member, visitor: &Visitor) -> MemberRow {
    let role = match member.role {
        Role::Owner => say!("Owner"),
        Role::Fitter => say!("Fitter"),
    };
    let since = say!("since {date}", date = day(member.since));
    let here = match (member.signed_in, member.idle) {
        (0, _) | (_, None) => say!("not signed in").to_owned(),
        (1, Some(idle)) => say!("signed in on one browser, last used {ago} ago", ago = in_words(idle)),
        (count, Some(idle)) => {
            say!("signed in on {count} browsers, last used {ago} ago", count, ago = in_words(idle))
        }
    };
    MemberRow {
        own: visitor.name().is_some_and(|name| name.eq_ignore_ascii_case(&member.name)),
        signed_in: member.signed_in > 0,
        name: member.name,
        role: role.to_owned(),
        details: vec![since, here],
    }
}

fn new_account(name: &str, problems: &[Problem]) -> Vec<TextField> {
    let mut asked = vec![name_field(NAME, name, "off").checked(problems)];
    asked.extend(new_password(problems));
    asked
}

fn new_password(problems: &[Problem]) -> Vec<TextField> {
    let hint = say!("At least {SHORTEST} characters, whichever you like.", SHORTEST);
    let new = TextField { hint, ..password_field(PASSWORD, "new-password") };
    let label = say!("The same again").to_owned();
    let repeated = TextField { label, ..password_field(REPEATED, "new-password") };
    vec![new.checked(problems), repeated.checked(problems)]
}

fn name_field(name: &'static str, value: &str, fills: &'static str) -> TextField {
    let label = say!("Name").to_owned();
    TextField { name, label, value: value.to_owned(), fills, ..TextField::default() }
}

pub(super) fn password_field(name: &'static str, fills: &'static str) -> TextField {
    TextField { name, label: say!("Password").to_owned(), fills, ..TextField::default() }
}
