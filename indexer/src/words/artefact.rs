//! The index as files: built aside, sealed, renamed, and never changed afterwards.
//!
//! The folder is named by the hash of what it indexes, so that a change of stock or policy needs no new index. Its
//! seal holds a hash over the bytes of its files: a damaged index is found before anything reads it.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use tantivy::Index;
use tantivy::directory::MmapDirectory;

use super::WordsError;
use super::build::{SCHEMA, Texts, hex};

const SEAL: &str = "seal";

/// The index of `texts` in `folder`: the one that is there if it is whole, else a new one; and whether it is new.
pub(super) fn open_or_build(folder: &Path, texts: &Texts) -> Result<(Index, bool), WordsError> {
    let home = folder.join(format!("{SCHEMA}-{}", &texts.hash[..32]));
    if is_whole(&home, &texts.hash)
        && let Ok(index) = Index::open_in_dir(&home)
    {
        remove_others(folder, &home);
        return Ok((index, false));
    }
    fs::create_dir_all(folder)?;
    let aside = tempfile::Builder::new().prefix(".building-").tempdir_in(folder)?;
    let directory = MmapDirectory::open(aside.path()).map_err(tantivy::TantivyError::from)?;
    drop(texts.index(directory)?);
    fs::write(aside.path().join(SEAL), seal(aside.path(), &texts.hash)?)?;
    remove_others(folder, aside.path());
    fs::rename(aside.keep(), &home)?;
    Ok((Index::open_in_dir(&home)?, true))
}

fn is_whole(home: &Path, hash: &str) -> bool {
    let Ok(sealed) = fs::read_to_string(home.join(SEAL)) else { return false };
    seal(home, hash).is_ok_and(|found| found == sealed)
}

/// A hash over what is indexed and over every file by name, lock files (dotted) and the seal aside.
fn seal(home: &Path, hash: &str) -> io::Result<String> {
    let mut names: Vec<_> =
        fs::read_dir(home)?.map(|entry| entry.map(|e| e.file_name())).collect::<Result<_, _>>()?;
    names.sort_unstable();
    let mut sealed = Sha256::new_with_prefix(hash);
    for name in names {
        let name = name.to_string_lossy();
        if !name.starts_with('.') && name != SEAL {
            sealed.update(name.as_bytes());
            sealed.update(Sha256::digest(fs::read(home.join(name.as_ref()))?));
        }
    }
    Ok(hex(&sealed.finalize()))
}

/// Removes the folders of earlier texts and what a stopped build left. What cannot be removed does no harm. Compared
/// by name: one of the two paths may be relative.
fn remove_others(folder: &Path, keep: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    let ours = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        name.starts_with(".building-") || name.split_once('-').is_some_and(|(s, _)| s.parse::<u32>().is_ok())
    };
    for path in entries
        .flatten()
        .map(|entry| entry.path())
        .filter(ours)
        .filter(|path| path.file_name() != keep.file_name())
    {
        let _ = fs::remove_dir_all(path);
    }
}
