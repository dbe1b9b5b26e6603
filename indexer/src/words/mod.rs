//! Words only: which rows hold the words that were asked for, and how well.
//!
//! The only folder that names tantivy. The index is an immutable artefact that may be deleted at any time: it is
//! missing, damaged or of other texts, and is built again.

mod artefact;
mod ask;
mod build;
mod held;
mod lexicon;
mod near;
mod otherwise;
mod question;
mod scores;
mod synonyms;
mod tokens;
mod told;

use std::path::Path;
use std::sync::Arc;

use tantivy::ReloadPolicy;
use tantivy::directory::RamDirectory;

pub(crate) use held::Held;
pub use question::How;
pub use synonyms::{MOST_LINES, SynonymFault, SynonymWrong, Synonyms};
pub use tokens::{MOST_CHARS, MOST_WORD_CHARS, MOST_WORDS, Word, WordsRefused};
pub use told::{Meant, ReadAs, Told};

use crate::loaded::Loaded;
use crate::snapshot::bits::Bits;
use ask::Postings;

/// The words of every style of one [`Loaded`]. Row n is its n-th style.
pub struct Words {
    /// None when no style is indexed.
    postings: Option<Postings>,
    new: bool,
    /// The hash of the texts.
    texts: String,
}

/// Why there is no answer to words.
#[derive(Debug, thiserror::Error)]
pub enum WordsError {
    /// The question is out of bounds.
    #[error(transparent)]
    Refused(#[from] WordsRefused),
    /// The index cannot be written or read.
    #[error("the word index cannot be used: {0}")]
    Index(#[from] tantivy::TantivyError),
    /// The folder of the index cannot be written or read.
    #[error("the folder of the word index cannot be used: {0}")]
    Folder(#[from] std::io::Error),
}

impl Words {
    /// The words of `loaded`, from the index in `folder` when it is whole and of these texts, else built anew; in
    /// memory when there is no folder. A folder that cannot be written costs time at each start, not the search.
    pub fn open_or_build(folder: Option<&Path>, loaded: &Loaded) -> Result<Self, WordsError> {
        Self::of(folder, build::Texts::of(loaded))
    }

    /// The words of `loaded` after those of `before`, which are the same unless a text has changed.
    pub(crate) fn after(before: &Arc<Self>, loaded: &Loaded) -> Result<Arc<Self>, WordsError> {
        let texts = build::Texts::of(loaded);
        if texts.hash == before.texts {
            return Ok(Arc::clone(before));
        }
        Self::of(None, texts).map(Arc::new)
    }

    fn of(folder: Option<&Path>, texts: build::Texts<'_>) -> Result<Self, WordsError> {
        let kept = folder.map(|folder| artefact::open_or_build(folder, &texts));
        let (index, new) = match kept {
            Some(Ok(kept)) => kept,
            Some(Err(fault)) => {
                tracing::warn!(%fault, "the word index is kept in memory");
                (texts.index(RamDirectory::create())?, true)
            }
            None => (texts.index(RamDirectory::create())?, true),
        };
        // Nothing ever reloads: the index never changes.
        let reader = index.reader_builder().reload_policy(ReloadPolicy::Manual).try_into()?;
        let searcher = reader.searcher();
        let only = searcher.segment_readers().first().filter(|segment| segment.max_doc() > 0);
        Ok(Self { postings: only.map(Postings::of).transpose()?, new, texts: texts.hash })
    }

    /// Whether the index was missing, damaged or behind, and so was built anew.
    pub fn is_new(&self) -> bool {
        self.new
    }

    /// The rows that hold all words, in the order of rows, with their relevance. No words: no rows.
    pub fn hits(&self, words: &[Word]) -> Result<Vec<(u32, f32)>, WordsError> {
        let held = self.held(words);
        Ok(held.map_or_else(Vec::new, |held| held.scores(held.rows.rows()).collect()))
    }

    /// The rows that answer a question as the shop's words are meant, and what was done to find them; `None` when no style
    /// is indexed. `live` are the rows that can be found at all.
    pub(crate) fn answer(&self, words: Vec<Word>, synonyms: &Synonyms, live: &Bits) -> Option<(Held, Told)> {
        self.postings.as_ref().map(|postings| postings.answer(words, synonyms, live))
    }

    /// Whether a row of `live` is called by all words: as its name, number or maker.
    pub(crate) fn is_called(&self, words: &[Word], live: &Bits) -> bool {
        self.postings.as_ref().is_some_and(|postings| postings.is_called(words, live))
    }

    /// The rows that hold all words exactly as typed.
    pub(crate) fn answer_exactly(&self, words: Vec<Word>) -> Option<(Held, Told)> {
        self.postings.as_ref().map(|postings| (postings.held(&words), Told::plain(words)))
    }

    /// The rows that hold all words as a set; `None` when no style is indexed.
    fn held(&self, words: &[Word]) -> Option<Held> {
        self.postings.as_ref().map(|postings| postings.held(words))
    }
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::PathBuf;

    use super::*;
    use crate::snapshot::invented::{loaded, sku, style};

    fn shop() -> Loaded {
        let aro = style("Fénnick", "FM-310", "Aro 3");
        let aros = style("Fénnick", "FM-311", "Aros GTX");
        let mut sound = style("Orrelby", "S2", "Sound");
        sound.notes = Some("Ein leichter Schuh für die Straße".into());
        sound.shop_note = Some("runs short".into());
        let skus = vec![sku(&sound, "Müller blue", "EU 42")];
        loaded(vec![aro, aros, sound], skus)
    }

    fn rows(words: &Words, typed: &str) -> Vec<u32> {
        words.hits(&Word::read(typed).unwrap()).unwrap().into_iter().map(|(row, _)| row).collect()
    }

    #[test]
    fn maker_name_number_colourway_and_notes_are_found() {
        let words = Words::open_or_build(None, &shop()).unwrap();
        for typed in
            ["orrelby", "SOUND", "s2", "blue", "strasse", "runs short", "mueller", "muller", "fur", "für"]
        {
            assert_eq!(rows(&words, typed), [2], "{typed}");
        }
        assert_eq!(rows(&words, "fennick"), [0, 1]);
    }

    #[test]
    fn a_name_joined_to_its_number_finds_the_name_and_the_number() {
        let words = Words::open_or_build(None, &shop()).unwrap();
        assert_eq!(rows(&words, "aro3"), [0]);
        assert_eq!(rows(&words, "fm310"), [0]);
    }

    #[test]
    fn a_beginning_in_the_name_counts_more_than_one_in_the_maker_or_the_notes() {
        let named = style("Orrelby", "1", "Arosa");
        let made = style("Arosa", "2", "Sound");
        let noted = catalogue::style::Style { notes: Some("arosa".into()), ..style("Orrelby", "3", "Sound") };
        let words = Words::open_or_build(None, &loaded(vec![named, made, noted], vec![])).unwrap();
        for typed in ["a", "ar", "aros"] {
            let mut hits = words.hits(&Word::read(typed).unwrap()).unwrap();
            hits.sort_by(|a, b| b.1.total_cmp(&a.1));
            assert_eq!(hits, [(1, 0.03), (0, 0.02), (2, 0.01)], "{typed}");
        }
    }

    #[test]
    fn a_word_in_two_fields_scores_by_the_better_and_a_tenth_of_the_other() {
        let named = |number: &str, name: &str, notes: Option<&str>| catalogue::style::Style {
            notes: notes.map(Into::into),
            ..style("Orrelby", number, name)
        };
        let styles = |first, noted| {
            let others = [named("2", "Tern", Some("fast")), named("3", "Quill", Some("fast"))];
            loaded([named("1", first, noted)].into_iter().chain(others).collect(), vec![])
        };
        let score = |first, noted| {
            let words = Words::open_or_build(None, &styles(first, noted)).unwrap();
            words.hits(&Word::read("arosa").unwrap()).unwrap()[0].1
        };
        let (both, name, notes) =
            (score("Arosa", Some("arosa")), score("Arosa", Some("other")), score("Sound", Some("arosa")));
        assert!((both - (name + notes / 10.0)).abs() < 1e-5, "{both} {name} {notes}");
    }

    #[test]
    fn all_words_are_needed_and_the_last_may_be_cut_short() {
        let words = Words::open_or_build(None, &shop()).unwrap();
        assert_eq!(rows(&words, "fennick ar"), [0, 1]);
        assert_eq!(rows(&words, "ar fennick"), Vec::<u32>::new(), "only the last");
        assert_eq!(rows(&words, "fennick sound"), Vec::<u32>::new());
        let hits = words.hits(&Word::read("aro").unwrap()).unwrap();
        assert!(hits[0].1 > hits[1].1, "a whole word counts more than a beginning: {hits:?}");
    }

    /// Source: tests/tables/bm25_toy_scores.csv, the BM25 formula in double precision, notes weighing 1.
    #[test]
    fn relevance_follows_the_published_formula() {
        let table = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../tests/tables/bm25_toy_scores.csv");
        let table = fs::read_to_string(table).unwrap();
        let cells: Vec<Vec<&str>> =
            table.lines().filter(|l| !l.starts_with('#')).skip(1).map(|l| l.split(',').collect()).collect();
        let text = |doc: &str| cells.iter().find(|row| row[1] == doc).unwrap()[2].to_owned();
        let noted = |doc: &str| {
            let notes = Some(text(doc).into());
            catalogue::style::Style { notes, ..style("Orrelby", doc, "x") }
        };
        let words =
            Words::open_or_build(None, &loaded(["1", "2", "3", "4"].map(noted).to_vec(), vec![])).unwrap();
        for row in cells.iter().filter(|row| !row[0].contains("drop") || row[0] == "drop") {
            let hits = words.hits(&Word::read(row[0]).unwrap()).unwrap();
            let at = row[1].parse::<u32>().unwrap() - 1;
            // All words are needed here, any will do in the table: a document without one is no hit.
            let all = row[0].split(' ').all(|word| row[2].split(' ').any(|own| own == word));
            let expected = if all { row[3].parse::<f32>().unwrap() } else { 0.0 };
            let found = hits.iter().find(|(row, _)| *row == at).map_or(0.0, |hit| hit.1);
            assert!((found - expected).abs() < 2e-6, "{row:?}: {found}");
        }
    }

    fn only_folder(folder: &Path) -> PathBuf {
        let mut entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
        let only = entries.next().unwrap();
        assert_eq!(entries.next(), None);
        only
    }

    #[test]
    fn what_a_stopped_build_has_left_is_swept_at_the_next_opening() {
        let folder = tempfile::tempdir().unwrap();
        drop(Words::open_or_build(Some(folder.path()), &shop()).unwrap());
        fs::create_dir(folder.path().join(".building-abc")).unwrap();
        let words = Words::open_or_build(Some(folder.path()), &shop()).unwrap();
        assert!(!words.is_new());
        only_folder(folder.path());
    }

    #[test]
    fn an_index_of_the_same_texts_is_opened_not_built() {
        let folder = tempfile::tempdir().unwrap();
        drop(Words::open_or_build(Some(folder.path()), &shop()).unwrap());
        let written =
            || fs::metadata(only_folder(folder.path()).join("meta.json")).unwrap().modified().unwrap();
        let first = written();
        let words = Words::open_or_build(Some(folder.path()), &shop()).unwrap();
        assert_eq!((rows(&words, "sound"), written()), (vec![2], first));
    }

    #[test]
    fn an_index_that_is_deleted_or_damaged_anywhere_is_built_again() {
        let folder = tempfile::tempdir().unwrap();
        drop(Words::open_or_build(Some(folder.path()), &shop()).unwrap());
        let home = only_folder(folder.path());
        let whole = |path: &PathBuf| fs::read(path).unwrap();
        let paths = fs::read_dir(&home).unwrap().map(|entry| entry.unwrap().path());
        let files: Vec<_> = paths.filter(|p| !whole(p).is_empty()).map(|p| (whole(&p), p)).collect();
        assert!(files.len() > 3);
        for (bytes, path) in &files {
            let mut damaged = bytes.clone();
            damaged[bytes.len() / 2] ^= 0x10;
            fs::write(path, damaged).unwrap();
            let words = Words::open_or_build(Some(folder.path()), &shop()).unwrap();
            assert_eq!(rows(&words, "aro3"), [0], "{}", path.display());
            fs::remove_file(only_folder(folder.path()).join("meta.json")).unwrap();
        }
        fs::remove_dir_all(&home).unwrap();
        assert_eq!(rows(&Words::open_or_build(Some(folder.path()), &shop()).unwrap(), "aro3"), [0]);
    }

    #[test]
    fn an_index_of_other_texts_is_replaced() {
        let folder = tempfile::tempdir().unwrap();
        drop(Words::open_or_build(Some(folder.path()), &shop()).unwrap());
        let first = only_folder(folder.path());
        let one = loaded(vec![style("Orrelby", "S3", "Tern")], vec![]);
        let words = Words::open_or_build(Some(folder.path()), &one).unwrap();
        assert_eq!(rows(&words, "tern"), [0]);
        assert_ne!(only_folder(folder.path()), first);
    }

    #[test]
    fn a_folder_that_cannot_be_written_costs_no_search() {
        let folder = tempfile::tempdir().unwrap();
        let taken = folder.path().join("index");
        fs::write(&taken, "a file").unwrap();
        let words = Words::open_or_build(Some(&taken), &shop()).unwrap();
        assert_eq!(rows(&words, "aro3"), [0]);
    }

    #[test]
    fn an_empty_catalogue_has_no_hits() {
        let words = Words::open_or_build(None, &loaded(vec![], vec![])).unwrap();
        assert_eq!(rows(&words, "aro"), Vec::<u32>::new());
    }
}
