//! Why somebody was not let in, or an account was not kept.

use std::time::Duration;

use indexer::error::StoreError;

use super::password::Weak;

/// Why somebody is not let in.
#[derive(Debug)]
pub enum NotLetIn {
    /// No such account, or not its password: which of them is not told.
    Wrong,
    /// Too many wrong ones: this long until the next.
    Wait(Duration),
    /// The file of the staff, the system's random numbers or the hash failed.
    Broken,
}

/// Why an account was not made or changed.
#[derive(Debug)]
pub enum NotKept {
    /// The name is blank, too long, or holds a control character.
    Name,
    /// There is somebody of this name.
    Taken,
    /// The password.
    Weak(Weak),
    /// The first account is the owner's: nobody else could let anybody in.
    OwnerFirst,
    /// The last owner stays while there are others.
    LastOwner,
    /// There is no such account.
    Nobody,
    /// The code is not the one printed, or no longer.
    WrongCode,
    /// Too many wrong codes.
    Wait(Duration),
    /// The file of the staff, or the hash, failed.
    Broken,
}

impl From<StoreError> for NotLetIn {
    fn from(fault: StoreError) -> Self {
        tracing::error!(%fault, "the file of the staff cannot be read");
        Self::Broken
    }
}

impl From<StoreError> for NotKept {
    fn from(fault: StoreError) -> Self {
        tracing::error!(%fault, "the file of the staff cannot be written");
        Self::Broken
    }
}
