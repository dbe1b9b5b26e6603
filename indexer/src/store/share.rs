//! Folders that another computer may write to: the log of SQLite is memory that its users share, and computers share none.

use super::DataDir;
use crate::error::OpenError;

/// File systems of other computers and of programs, by the number that the system has for them.
///
/// Source: statfs(2), its list of types.
const SHARES: [(u64, &str); 11] = [
    (0x6969, "NFS"),
    (0x517b, "SMB"),
    (0xff53_4d42, "CIFS"),
    (0xfe53_4d42, "SMB 2"),
    (0x0102_1997, "9p"),
    (0x6573_5546, "FUSE"),
    (0x6a65_6a63, "virtiofs"),
    (0x00c3_6400, "Ceph"),
    (0x5346_414f, "AFS"),
    (0x7375_7245, "Coda"),
    (0x0bd0_0bd0, "Lustre"),
];

impl DataDir {
    /// A share is refused unless whoever looks after it has said that nobody else opens the folder there.
    pub(super) fn is_no_share(&self) -> Result<(), OpenError> {
        // A file system that does not say what it is is tried.
        let kind = rustix::fs::statfs(self.path()).map_or(0, |found| found.f_type as u64);
        self.may_lie_on(kind)
    }

    fn may_lie_on(&self, kind: u64) -> Result<(), OpenError> {
        // The number is one of 32 bits, whose first may have been taken for a sign.
        let share = SHARES.iter().find(|(known, _)| *known == kind & 0xffff_ffff);
        match share {
            Some((_, kind)) if !self.may_be_shared() => {
                Err(OpenError::OnAShare { folder: self.path().to_owned(), kind })
            }
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    #[test]
    fn a_folder_on_a_share_is_refused_with_what_to_do_unless_it_is_said_to_be_safe() {
        let data = DataDir::new("/mnt/office/shop");
        for kind in [0x6969, 0xff53_4d42, 0xffff_ffff_ff53_4d42, 0x6573_5546] {
            let refused = data.may_lie_on(kind).unwrap_err().to_string();
            let told = refused.contains("/mnt/office/shop") && refused.contains("--on-a-share");
            assert!(told && refused.contains("a disk of this computer"), "{refused}");
            assert!(data.clone().on_a_share(true).may_lie_on(kind).is_ok());
        }
        // ext, tmpfs, overlay, btrfs, xfs
        for kind in [0xef53, 0x0102_1994, 0x794c_7630, 0x9123_683e, 0x5846_5342, 0] {
            assert!(data.may_lie_on(kind).is_ok(), "{kind:x}");
        }
    }

    #[test]
    fn a_folder_of_this_computer_is_opened() {
        let folder = tempfile::tempdir().unwrap();
        assert!(Store::open(&DataDir::new(folder.path())).is_ok());
    }
}
