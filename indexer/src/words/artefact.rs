//! The index as files: built aside, sealed, renamed, and never changed afterwards.
//!
//! The folder is named by the hash of what it indexes, so that a change of stock or policy needs no new index. Its
//! seal holds a hash over the bytes of its files: a damaged index is found before anything reads it. What is read is
//! the very bytes that were held against the seal, kept in memory: what becomes of the files afterwards, cut short or
//! deleted, does not concern a running server.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use tantivy::Index;
use tantivy::directory::{Directory, MmapDirectory, RamDirectory};

use super::WordsError;
use super::build::{SCHEMA, Texts, hex};

const SEAL: &str = "seal";

/// The index of `texts` in `folder`: the one that is there if it is whole, else a new one; and whether it is new.
pub(super) fn open_or_build(folder: &Path, texts: &Texts<'_>) -> Result<(Index, bool), WordsError> {
    let home = folder.join(format!("{SCHEMA}-{}", &texts.hash[..32]));
    if let Some(index) = whole(&home, &texts.hash) {
        remove_others(folder, &home);
        return Ok((index, false));
    }
    fs::create_dir_all(folder)?;
    let aside = tempfile::Builder::new().prefix(".building-").tempdir_in(folder)?;
    let directory = MmapDirectory::open(aside.path()).map_err(tantivy::TantivyError::from)?;
    drop(texts.index(directory)?);
    fs::write(aside.path().join(SEAL), seal(&files(aside.path())?, &texts.hash, tantivy::version_string()))?;
    remove_others(folder, aside.path());
    // What stood there is damaged.
    let _ = fs::remove_dir_all(&home);
    fs::rename(aside.keep(), &home)?;
    let built =
        whole(&home, &texts.hash).ok_or_else(|| io::Error::other("it does not read as it was written"))?;
    Ok((built, true))
}

/// The index in `home`, if it is whole.
fn whole(home: &Path, hash: &str) -> Option<Index> {
    let files = files(home).ok()?;
    let sealed = fs::read_to_string(home.join(SEAL)).ok()?;
    (seal(&files, hash, tantivy::version_string()) == sealed).then_some(())?;
    let memory = RamDirectory::create();
    for (name, bytes) in files {
        memory.atomic_write(Path::new(&name), &bytes).ok()?;
    }
    Index::open(memory).ok()
}

/// Every file by name with its bytes, lock files (dotted) and the seal aside. The list of what tantivy manages is one of
/// the dotted ones: an index that never changes has no use for it.
fn files(home: &Path) -> io::Result<BTreeMap<String, Vec<u8>>> {
    let mut files = BTreeMap::new();
    for entry in fs::read_dir(home)? {
        let name = entry?.file_name().to_string_lossy().into_owned();
        if !name.starts_with('.') && name != SEAL {
            files.insert(name.clone(), fs::read(home.join(&name))?);
        }
    }
    Ok(files)
}

/// A hash over what is indexed, over the library that wrote it, whose files another version may read otherwise, and over
/// every file by name.
fn seal(files: &BTreeMap<String, Vec<u8>>, hash: &str, library: &str) -> String {
    let mut sealed = Sha256::new_with_prefix(hash);
    sealed.update(library);
    for (name, bytes) in files {
        sealed.update(name.as_bytes());
        sealed.update(Sha256::digest(bytes));
    }
    hex(&sealed.finalize())
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::snapshot::invented::{loaded, style};

    #[test]
    fn an_index_that_another_version_of_the_library_wrote_is_built_anew() {
        let folder = tempfile::tempdir().unwrap();
        let loaded = loaded(vec![style("Orrelby", "S2", "Sound")], vec![]);
        let texts = Texts::of(&loaded);
        let is_new = || open_or_build(folder.path(), &texts).unwrap().1;
        assert!(is_new() && !is_new());
        let home = fs::read_dir(folder.path()).unwrap().next().unwrap().unwrap().path();
        let other = seal(&files(&home).unwrap(), &texts.hash, "tantivy v0.26.0, index_format v7");
        fs::write(home.join(SEAL), other).unwrap();
        assert!(is_new() && !is_new());
    }
}
