//! What is counted in the fitting room, without saying of whom: how often a shoe slipped at the heel, was wanted and not
//! had, or was looked for on the shelf in vain. Nothing finer than a day is kept.

use std::collections::BTreeSet;

use catalogue::key::SkuKey;
use catalogue::trying::Remark;
use rusqlite::params;

use super::{Store, StoreError};

/// What is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Counted {
    /// A size of a style that was asked for and not there; its key is the style's, a space, and the size as printed.
    Wanted,
    /// A size that the catalogue has and the shelf has not; its key is the SKU's.
    NotOnShelf,
    /// What was said of a style on the foot; its key is the style's.
    OnFoot(Remark),
}

/// How often something was counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TallyLine {
    /// What.
    pub counted: Counted,
    /// Of which style or SKU.
    pub key: String,
    /// How often.
    pub times: u32,
    /// The last day, in days since 1970.
    pub last_day: i64,
}

/// Seconds of a day.
const DAY: i64 = 86_400;

impl Counted {
    fn all() -> impl Iterator<Item = Self> {
        [Self::Wanted, Self::NotOnShelf].into_iter().chain(Remark::ALL.iter().copied().map(Self::OnFoot))
    }

    /// The word for it in the store and in forms.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wanted => "wanted",
            Self::NotOnShelf => "not-on-shelf",
            Self::OnFoot(remark) => remark.word(),
        }
    }

    /// What `word` names.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::all().find(|counted| counted.word() == word)
    }
}

impl Store {
    /// Counts each of these once more on the day of `at`, seconds since 1970.
    pub fn tally(&mut self, lines: &[(Counted, String)], at: i64) -> Result<(), StoreError> {
        self.note(|all| {
            let sql = "INSERT INTO tally (kind, \"key\", day, times) VALUES (?1, ?2, ?3, 1)
                ON CONFLICT DO UPDATE SET times = times + 1";
            let mut once_more = all.prepare_cached(sql)?;
            for (counted, key) in lines {
                once_more.execute(params![counted.word(), key, at.div_euclid(DAY)])?;
            }
            Ok(())
        })
    }

    /// All that was counted, most often first.
    pub fn tallies(&self) -> Result<Vec<TallyLine>, StoreError> {
        let sql = "SELECT kind, \"key\", sum(times), max(day) FROM tally GROUP BY kind, \"key\"
            ORDER BY sum(times) DESC, kind, \"key\"";
        let mut statement = self.connection.prepare_cached(sql)?;
        let mut rows = statement.query([])?;
        let mut lines = Vec::new();
        while let Some(row) = rows.next()? {
            // A word of a newer program is passed over.
            let Some(counted) = Counted::from_word(&row.get::<_, String>(0)?) else { continue };
            let times = u32::try_from(row.get::<_, i64>(2)?).unwrap_or(u32::MAX);
            lines.push(TallyLine { counted, key: row.get(1)?, times, last_day: row.get(3)? });
        }
        Ok(lines)
    }

    /// The boxes that were looked for on the shelf in vain, and not counted since.
    pub fn not_on_shelf(&self) -> Result<BTreeSet<SkuKey>, StoreError> {
        let mut statement =
            self.connection.prepare_cached("SELECT DISTINCT \"key\" FROM tally WHERE kind = ?1")?;
        let keys = statement.query_map([Counted::NotOnShelf.word()], |row| row.get::<_, String>(0))?;
        keys.filter_map(|key| key.map(|key| SkuKey::parse(&key)).transpose())
            .collect::<Result<_, _>>()
            .map_err(Into::into)
    }

    /// Forgets what was counted of one style or SKU: it was dealt with.
    pub fn settle(&mut self, counted: Counted, key: &str) -> Result<(), StoreError> {
        let sql = "DELETE FROM tally WHERE kind = ?1 AND \"key\" = ?2";
        self.note(|all| all.prepare_cached(sql)?.execute([counted.word(), key]).map(|_| ()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SLIPS: Counted = Counted::OnFoot(Remark::HeelSlips);

    #[test]
    fn what_is_counted_adds_up_over_days_and_is_forgotten_once_settled() {
        let mut store = Store::in_memory().unwrap();
        let line = |counted, key: &str| (counted, key.to_owned());
        store
            .tally(&[line(SLIPS, "fennick.fm-310"), line(Counted::Wanted, "fennick.fm-310 EU 43")], 10)
            .unwrap();
        store.tally(&[line(SLIPS, "fennick.fm-310"), line(SLIPS, "fennick.fm-310")], 2 * DAY).unwrap();
        let lines = store.tallies().unwrap();
        let told: Vec<_> = lines.iter().map(|l| (l.counted, l.key.as_str(), l.times, l.last_day)).collect();
        assert_eq!(told, [(SLIPS, "fennick.fm-310", 3, 2), (Counted::Wanted, "fennick.fm-310 EU 43", 1, 0)]);
        store.settle(SLIPS, "fennick.fm-310").unwrap();
        assert_eq!(store.tallies().unwrap().len(), 1);
    }

    #[test]
    fn a_tally_is_no_change_and_stands_in_no_export() {
        let mut store = Store::in_memory().unwrap();
        let before = (store.history(9).unwrap(), store.export_ndjson().unwrap());
        store.tally(&[(Counted::NotOnShelf, "fennick.fm-310/linen/eu-40/d".into())], 0).unwrap();
        assert_eq!((store.history(9).unwrap(), store.export_ndjson().unwrap()), before);
    }

    #[test]
    fn every_word_names_what_it_counts() {
        for counted in Counted::all() {
            assert_eq!(Counted::from_word(counted.word()), Some(counted));
        }
    }
}
