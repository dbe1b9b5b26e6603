//! What happens around safety: each is a line of the log under a target of its own, which says who, where and what, and
//! never a secret. `SAFETY.md` lists all of them.

use std::net::IpAddr;

use tracing::field::display;

use crate::staff::visitor::visitor;

/// The target of these lines in the log.
pub const TARGET: &str = "safety";

/// Who has no account, or gave a name that is none: a password may be typed in the place of a name.
pub const NO_ACCOUNT: &str = "no account";

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event {
    /// Name and password fitted together.
    SignedIn,
    /// They did not.
    SignInRefused,
    /// Too many wrong ones: nothing was tried.
    SignInPutOff,
    /// A browser was signed out by itself.
    SignedOut,
    /// Other browsers were signed out.
    SessionsEnded,
    /// The first account was made.
    SetUp,
    /// A set-up code was wrong or too late.
    WrongCode,
    /// There is one more account.
    AccountAdded,
    /// There is one less.
    AccountRemoved,
    /// An account has another password.
    PasswordChanged,
    /// Something was asked for that is not for whoever asked.
    TurnedAway,
    /// Something was asked for by a browser that is not signed in.
    SentToSignIn,
    /// What is hard to take back asked for the password anew.
    AskedAnew,
    /// A form was sent by no page of this server.
    FromElsewhere,
    /// This server was asked under another one's name.
    OtherHost,
}

impl Event {
    /// All of them.
    pub const ALL: [Self; 15] = [
        Self::SignedIn,
        Self::SignInRefused,
        Self::SignInPutOff,
        Self::SignedOut,
        Self::SessionsEnded,
        Self::SetUp,
        Self::WrongCode,
        Self::AccountAdded,
        Self::AccountRemoved,
        Self::PasswordChanged,
        Self::TurnedAway,
        Self::SentToSignIn,
        Self::AskedAnew,
        Self::FromElsewhere,
        Self::OtherHost,
    ];

    /// What the line says.
    pub const fn words(self) -> &'static str {
        match self {
            Self::SignedIn => "signed in",
            Self::SignInRefused => "a sign-in was refused",
            Self::SignInPutOff => "a sign-in was put off after too many wrong passwords",
            Self::SignedOut => "signed out",
            Self::SessionsEnded => "sessions were ended",
            Self::SetUp => "the first account was made",
            Self::WrongCode => "a wrong set-up code was sent",
            Self::AccountAdded => "an account was added",
            Self::AccountRemoved => "an account was removed",
            Self::PasswordChanged => "a password was changed",
            Self::TurnedAway => "turned away from what is not for whoever asks",
            Self::SentToSignIn => "sent to sign in",
            Self::AskedAnew => "the password was asked for anew",
            Self::FromElsewhere => "a form from elsewhere was refused",
            Self::OtherHost => "a request under the name of another server was refused",
        }
    }

    /// Whether somebody may be trying what they should not: a warning.
    pub const fn is_odd(self) -> bool {
        matches!(
            self,
            Self::SignInRefused
                | Self::SignInPutOff
                | Self::WrongCode
                | Self::TurnedAway
                | Self::FromElsewhere
                | Self::OtherHost
        )
    }

    /// Tells it of whoever sent the request at work.
    pub fn tell(self) {
        let visitor = visitor();
        self.tell_of(visitor.who(), None, None);
    }

    /// Tells it with the account that it was done to.
    pub fn tell_about(self, account: &str) {
        let visitor = visitor();
        self.tell_of(visitor.who(), Some(account), None);
    }

    /// Tells it of `who`, perhaps with the account that it was done to, and where it came from.
    pub fn tell_of(self, who: &str, account: Option<&str>, from: Option<IpAddr>) {
        let (words, from) = (self.words(), from.map(display));
        // A level is part of where a line is written, so that there are two of them.
        if self.is_odd() {
            tracing::warn!(target: "safety", who, account, from, "{words}");
        } else {
            tracing::info!(target: "safety", who, account, from, "{words}");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_events_are_told_alike() {
        for (at, event) in Event::ALL.iter().enumerate() {
            assert!(Event::ALL[..at].iter().all(|other| other.words() != event.words()), "{event:?}");
        }
    }
}
