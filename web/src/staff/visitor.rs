//! Who asks: known for the length of one request.

use std::future::Future;

use indexer::store::Role;

use crate::access::Access;
use crate::events::NO_ACCOUNT;

/// Whoever sent a request.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Visitor {
    /// There are no accounts, and only this computer can reach the server: whoever sits at it is the owner.
    AtTheComputer,
    /// There are no accounts, and the shop's network can reach the server: shoes are fitted, nothing is changed.
    BeforeSetUp,
    /// There are accounts, and this browser is signed in to none.
    SignedOut,
    /// Signed in.
    SignedIn {
        /// The name of the account.
        name: String,
        /// What it may do.
        role: Role,
        /// The password was given within the last minutes.
        fresh: bool,
    },
}

tokio::task_local! {
    static VISITOR: Visitor;
}

impl Visitor {
    /// Whether they may use what is declared so.
    pub fn may(&self, access: Access) -> bool {
        access <= self.most()
    }

    fn most(&self) -> Access {
        match self {
            Self::AtTheComputer | Self::SignedIn { role: Role::Owner, fresh: true, .. } => Access::OwnerAnew,
            Self::SignedIn { role: Role::Owner, .. } => Access::Owner,
            Self::BeforeSetUp | Self::SignedIn { role: Role::Fitter, .. } => Access::Fitter,
            Self::SignedOut => Access::Anybody,
        }
    }

    /// Who they are, for the log.
    pub fn who(&self) -> &str {
        match self {
            Self::SignedIn { name, .. } => name,
            Self::AtTheComputer => "whoever sits at the computer",
            Self::BeforeSetUp | Self::SignedOut => NO_ACCOUNT,
        }
    }

    /// The name they are signed in by.
    pub fn name(&self) -> Option<&str> {
        match self {
            Self::SignedIn { name, .. } => Some(name),
            _ => None,
        }
    }
}

/// Whoever sent the request at work; outside of any, so on the command line, whoever sits at the computer.
pub fn visitor() -> Visitor {
    VISITOR.try_with(Clone::clone).unwrap_or(Visitor::AtTheComputer)
}

/// The name a change is signed with.
pub fn actor() -> String {
    visitor().name().unwrap_or("owner").to_owned()
}

/// Answers a request of `visitor`.
pub async fn scope<F: Future>(visitor: Visitor, answer: F) -> F::Output {
    VISITOR.scope(visitor, answer).await
}

/// Does work for `visitor`, also on another thread than the one that answers.
pub fn within<T>(visitor: Visitor, work: impl FnOnce() -> T) -> T {
    VISITOR.sync_scope(visitor, work)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn signed_in(role: Role, fresh: bool) -> Visitor {
        Visitor::SignedIn { name: "Mara".to_owned(), role, fresh }
    }

    #[test]
    fn each_may_do_what_is_theirs_and_no_more() {
        let most = [
            (Visitor::SignedOut, Access::Anybody),
            (Visitor::BeforeSetUp, Access::Fitter),
            (signed_in(Role::Fitter, true), Access::Fitter),
            (signed_in(Role::Owner, false), Access::Owner),
            (signed_in(Role::Owner, true), Access::OwnerAnew),
            (Visitor::AtTheComputer, Access::OwnerAnew),
        ];
        for (visitor, most) in most {
            for access in [Access::Anybody, Access::Fitter, Access::Scraper, Access::Owner, Access::OwnerAnew]
            {
                assert_eq!(visitor.may(access), access <= most, "{visitor:?} {access:?}");
            }
        }
    }

    #[test]
    fn a_change_is_signed_by_whoever_is_signed_in() {
        assert_eq!(within(signed_in(Role::Owner, true), actor), "Mara");
        assert_eq!(within(Visitor::AtTheComputer, actor), "owner");
        assert_eq!(actor(), "owner");
    }
}
