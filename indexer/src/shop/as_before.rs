//! A supplier's file read as the owner had one with the same headings read before, where that fits.

use std::sync::Arc;

use super::{ImportError, Progress, Remembered, Shop, go_on};
use crate::finding::{Code, Finding};
use crate::mapping::{MappingFile, guess_mapping};
use crate::sheet::{Charset, EncodingSeen, How, Place, Sheet};

/// As many readings that were said for a supplier's other sheets are tried on one that has unknown headings.
const MOST_READINGS: usize = 3;

/// A sheet, read as before where that fits, with what is remembered of its headings.
pub(super) struct AsBefore {
    /// The sheet as it is taken.
    pub sheet: Arc<Sheet>,
    /// What was said of such headings, or at least of the supplier's other sheets.
    pub remembered: Option<Remembered>,
    /// Said where a remembered reading does not fit this file.
    pub unfit: Option<Finding>,
}

/// A file that was read once, by its own evidence.
pub(super) struct Plain<'f> {
    /// Its name.
    pub name: &'f str,
    /// Its bytes.
    pub bytes: &'f [u8],
    /// Who sent it.
    pub supplier: &'f str,
    /// What its own evidence makes of it.
    pub sheet: Arc<Sheet>,
}

impl Shop {
    /// What the owner said of the last sheet with these headings; else of another of the supplier's that a reading once
    /// said leads to; else what holds for all sheets of the supplier.
    pub(super) fn as_before(&self, plain: Plain<'_>, progress: &Progress) -> Result<AsBefore, ImportError> {
        let headings = guess_mapping(&plain.sheet, plain.supplier, None).fingerprint();
        let own = self.store().remembered_since(plain.supplier, &headings)?;
        match own {
            Some(own) => self.of_its_headings(&plain, &headings, own, progress),
            None => self.of_other_headings(plain, progress),
        }
    }

    fn of_its_headings(
        &self,
        plain: &Plain<'_>,
        headings: &str,
        own: Remembered,
        progress: &Progress,
    ) -> Result<AsBefore, ImportError> {
        let before = own.file.clone();
        let Remembered { file, at } = own;
        let file = plain.uncontradicted(file);
        let (sheet, file) = match self.read_again(plain, headings, &file, progress)? {
            Some(sheet) => (sheet, file),
            None => (Arc::clone(&plain.sheet), file.read_plainly()),
        };
        let unfit = (file.read_as() != before.read_as()).then(|| plain.unfit(&before));
        Ok(AsBefore { sheet, remembered: Some(Remembered { file, at }), unfit })
    }

    fn of_other_headings(&self, plain: Plain<'_>, progress: &Progress) -> Result<AsBefore, ImportError> {
        let others = self.store().read_otherwise(plain.supplier)?;
        for (headings, Remembered { file, at }) in others.into_iter().take(MOST_READINGS) {
            let file = plain.uncontradicted(file);
            if let Some(sheet) = self.read_again(&plain, &headings, &file, progress)? {
                return Ok(AsBefore { sheet, remembered: Some(Remembered { file, at }), unfit: None });
            }
        }
        let remembered = self.store().answers_of(plain.supplier)?;
        Ok(AsBefore { sheet: plain.sheet, remembered, unfit: None })
    }

    /// The file read as it is said to be; `None` where that does not lead to these headings.
    fn read_again(
        &self,
        plain: &Plain<'_>,
        headings: &str,
        said: &MappingFile,
        progress: &Progress,
    ) -> Result<Option<Arc<Sheet>>, ImportError> {
        let of_text = said.delimiter.is_some() || said.encoding.is_some();
        let sheet = if of_text {
            match self.read(plain.name, plain.bytes, Some(said), progress) {
                Ok(sheet) => Arc::new(sheet),
                // What is said of one file may make another unreadable.
                Err(_) => return go_on(progress).map(|()| None),
            }
        } else {
            Arc::clone(&plain.sheet)
        };
        go_on(progress)?;
        let fits = guess_mapping(&sheet, plain.supplier, Some(said)).fingerprint() == headings;
        Ok(fits.then_some(sheet))
    }
}

impl Plain<'_> {
    /// What was said of another file, without an encoding that the bytes of this one speak against: letters in the wrong
    /// encoding read as other letters, and no heading shows it.
    fn uncontradicted(&self, file: MappingFile) -> MappingFile {
        let said = file.encoding.as_deref().and_then(Charset::of_label);
        let is_contradicted = said.is_some_and(|said| self.encoding_is_certain(said.name()));
        let encoding = file.encoding.clone().filter(|_| !is_contradicted);
        MappingFile { encoding, ..file }
    }

    /// Whether the bytes leave no doubt of an encoding, and it is another than this.
    fn encoding_is_certain(&self, other_than: &str) -> bool {
        let How::Text(dialect) = self.sheet.how else { return false };
        let is_certain = match dialect.encoding_seen {
            EncodingSeen::Mark | EncodingSeen::ZeroBytes => true,
            // Plain letters are the same in most encodings.
            EncodingSeen::Valid => !self.bytes.is_ascii(),
            EncodingSeen::Guessed | EncodingSeen::Said => false,
        };
        is_certain && dialect.encoding != other_than
    }

    fn unfit(&self, before: &MappingFile) -> Finding {
        let own = match self.sheet.how {
            How::Text(dialect) => format!("by its own evidence: {dialect}"),
            How::Xlsx | How::Ods => "by its own evidence".to_owned(),
        };
        let said = before.encoding.as_deref().map_or_else(String::new, |name| format!(" (as {name})"));
        Finding {
            code: Code::ReadPlainly,
            place: Place { sheet: Arc::clone(&self.sheet.name), row: 0, line: 0, column: None },
            heading: String::new(),
            text: String::new(),
            say: format!(
                "The last sheet with these headings was read otherwise{said}. That does not fit this one; it is read {own}. If that is wrong, say how it is to be read."
            ),
        }
    }
}
