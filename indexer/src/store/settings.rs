//! What the shop has set for itself: the numbers of the house policy, and makers' size charts. Changed through the
//! ledger like any cell, with a reason, and taken back the same way.

use catalogue::policy::HousePolicy;
use catalogue::policy::items::item;
use catalogue::size::SizeCharts;
use rusqlite::Connection;

use super::change::{Facts, begin};
use super::correct::last_changed;
use super::ledger::{Ledger, Noted};
use super::tables::Tables;
use super::{ChangeId, Signed, Store, seq};
use crate::chart::Chart;
use crate::draft::Value;
use crate::error::{ApplyError, StoreError};
use crate::loaded::Seq;
use crate::proposal::Entity;
use crate::words::Synonyms;

/// The key of the house policy among the settings.
pub const POLICY: &str = "policy";
/// The key of the synonyms among the settings.
const SYNONYMS: &str = "synonyms";
/// Before the key of a maker: its size chart.
const SIZE_CHART: &str = "size-chart/";

/// Settings that are one change.
#[derive(Clone, Copy, Debug)]
pub struct Settings<'a> {
    /// Its word in the history: `policy`, `size chart`.
    pub kind: &'a str,
    /// What they belong to: [`POLICY`], or a chart's key.
    pub key: &'a str,
    /// Name and value; `None` takes the setting off.
    pub values: &'a [(String, Option<String>)],
    /// Why, in the words of whoever sets them.
    pub why: &'a str,
    /// The change at which whoever sets them looked: settings that were changed since are a conflict.
    pub seen: Seq,
}

/// The key under which a maker's chart is kept; `None` for a name without letter or digit.
pub fn chart_key(maker: &str) -> Option<String> {
    catalogue::key::MakerKey::of(maker).map(|maker| format!("{SIZE_CHART}{maker}"))
}

impl Store {
    /// Sets the house policy to `policy`, item by item; those at their defaults are taken off. Nothing that is the
    /// same already is written.
    pub fn set_policy(
        &mut self,
        policy: &HousePolicy,
        why: &str,
        seen: Seq,
        by: &Signed,
    ) -> Result<ChangeId, ApplyError> {
        let standard = HousePolicy::standard();
        let value = |item: &catalogue::policy::items::Item| {
            let said = item.say(policy);
            (item.key.to_owned(), (said != item.say(&standard)).then_some(said))
        };
        let values: Vec<_> = catalogue::policy::items::items().map(value).collect();
        self.set_all(&Settings { kind: "policy", key: POLICY, values: &values, why, seen }, by)
    }

    /// Keeps a maker's size chart in place of the one before it.
    pub fn set_chart(
        &mut self,
        chart: &Chart,
        why: &str,
        seen: Seq,
        by: &Signed,
    ) -> Result<ChangeId, ApplyError> {
        let key = chart_key(&chart.maker).ok_or(ApplyError::PartOfKey("maker"))?;
        let values =
            [("maker".to_owned(), Some(chart.maker.clone())), ("rows".to_owned(), Some(chart.to_lines()))];
        self.set_all(&Settings { kind: "size chart", key: &key, values: &values, why, seen }, by)
    }

    /// Takes a maker's size chart off: its labels are sized by the formula again.
    pub fn drop_chart(
        &mut self,
        maker: &str,
        why: &str,
        seen: Seq,
        by: &Signed,
    ) -> Result<ChangeId, ApplyError> {
        let key = chart_key(maker).ok_or(ApplyError::PartOfKey("maker"))?;
        let values = [("maker".to_owned(), None), ("rows".to_owned(), None)];
        self.set_all(&Settings { kind: "size chart", key: &key, values: &values, why, seen }, by)
    }

    /// Keeps what words mean besides themselves in place of what was kept before.
    pub fn set_synonyms(
        &mut self,
        synonyms: &Synonyms,
        why: &str,
        seen: Seq,
        by: &Signed,
    ) -> Result<ChangeId, ApplyError> {
        let lines = Some(synonyms.lines()).filter(|lines| !lines.is_empty());
        let values = [("lines".to_owned(), lines.map(str::to_owned))];
        self.set_all(&Settings { kind: "synonyms", key: SYNONYMS, values: &values, why, seen }, by)
    }

    fn set_all(&mut self, said: &Settings<'_>, by: &Signed) -> Result<ChangeId, ApplyError> {
        self.write(by, |transaction| {
            let last = last_changed(transaction, Entity::Setting, said.key)?;
            if last.is_some_and(|last| last > said.seen) {
                let now = seq(transaction)?;
                return Err(ApplyError::ChangedSince { key: said.key.to_owned(), seen: said.seen, now });
            }
            let facts = Facts { kind: said.kind, why: Some(said.why), ..Facts::default() };
            let ledger = Ledger::of(transaction, begin(transaction, by, &facts)?)?;
            for (name, value) in said.values {
                set(&ledger, said.key, name, value.as_deref())?;
            }
            Ok(ledger.change)
        })
    }

    /// The size charts that are kept, by maker.
    pub fn charts(&self) -> Result<Vec<Chart>, StoreError> {
        charts(&self.connection)
    }
}

fn set(ledger: &Ledger<'_>, key: &str, name: &str, value: Option<&str>) -> rusqlite::Result<()> {
    let tables = Tables(ledger.connection);
    let before = tables.cell(Entity::Setting, key, name)?;
    let after = value.map(|value| Value::Text(value.into()));
    if before == after {
        return Ok(());
    }
    tables.set(Entity::Setting, key, name, after.as_ref())?;
    ledger.note(&Noted {
        entity: Entity::Setting,
        key,
        column: name,
        before: before.as_ref(),
        after: after.as_ref(),
        by_hand: false,
        place: None,
        text: "set by the shop",
    })
}

/// The policy in force: the defaults, with what the shop has set.
pub(super) fn policy(connection: &Connection) -> Result<HousePolicy, StoreError> {
    let mut policy = HousePolicy::standard();
    for (_, name, value) in under(connection, POLICY)? {
        // Only this program writes here, and it writes what it can read.
        let heard = item(&name).map(|item| item.hear(&mut policy, &value));
        if !matches!(heard, Some(Ok(()))) {
            return Err(StoreError::Damaged { entity: "policy", key: format!("{name} = {value}") });
        }
    }
    Ok(policy)
}

/// What words mean besides themselves: nothing until the shop has said so.
pub(super) fn synonyms(connection: &Connection) -> Result<Synonyms, StoreError> {
    let Some((.., lines)) = under(connection, SYNONYMS)?.pop() else { return Ok(Synonyms::default()) };
    // Only this program writes here, and it writes what it can read.
    Synonyms::read(&lines).map_err(|_| StoreError::Damaged { entity: "synonyms", key: SYNONYMS.to_owned() })
}

/// All size charts, ready to be asked.
pub(super) fn size_charts(connection: &Connection) -> Result<SizeCharts, StoreError> {
    let mut known = SizeCharts::default();
    charts(connection)?.iter().for_each(|chart| chart.add_to(&mut known));
    Ok(known)
}

fn charts(connection: &Connection) -> Result<Vec<Chart>, StoreError> {
    let mut charts = Vec::new();
    let (mut maker, mut of) = (String::new(), String::new());
    // By key and then by name: the maker's name stands before the rows.
    for (key, name, value) in under(connection, SIZE_CHART)? {
        if name == "maker" {
            (maker, of) = (value, key);
        } else {
            let chart = Chart::of_lines(&maker, &value).filter(|_| of == key);
            charts.push(chart.ok_or(StoreError::Damaged { entity: "size chart", key })?);
        }
    }
    Ok(charts)
}

/// Key, name and value of the settings whose keys begin so, in order.
fn under(connection: &Connection, begin: &str) -> Result<Vec<(String, String, String)>, StoreError> {
    let sql = "SELECT key, \"column\", value FROM setting WHERE substr(key, 1, length(?1)) = ?1 ORDER BY key, \"column\"";
    let mut statement = connection.prepare_cached(sql)?;
    let settings = statement.query_map([begin], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    Ok(settings.collect::<Result<_, _>>()?)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{filled, signed};
    use super::*;
    use catalogue::size::{SizeLabel, SizeSource, SizeSystem};
    use catalogue::style::Audience;
    use catalogue::units::Mm;

    fn with_weeks(weeks: u16) -> HousePolicy {
        HousePolicy { weeks_per_step: weeks, ..HousePolicy::standard() }
    }

    fn now(store: &Store) -> Seq {
        store.load().unwrap().seq
    }

    #[test]
    fn a_policy_is_kept_with_its_reason_and_taken_back() {
        let mut store = filled();
        let seen = now(&store);
        let change =
            store.set_policy(&with_weeks(8), "our runners take longer", seen, &signed("p1")).unwrap();
        assert_eq!(store.load().unwrap().policy, with_weeks(8));
        let recorded = store.recorded(change).unwrap().unwrap();
        assert_eq!(
            (recorded.kind.as_str(), recorded.why.as_deref()),
            ("policy", Some("our runners take longer"))
        );
        assert_eq!(store.count_lines(change).unwrap(), 1, "only what differs is written");
        store.undo(change, &signed("undo")).unwrap();
        assert_eq!(store.load().unwrap().policy, HousePolicy::standard());
    }

    #[test]
    fn an_undo_keeps_what_a_later_change_has_set() {
        let mut store = filled();
        let seen = now(&store);
        let first = store.set_policy(&with_weeks(8), "", seen, &signed("p1")).unwrap();
        let seen = now(&store);
        store.set_policy(&with_weeks(10), "", seen, &signed("p2")).unwrap();
        let undone = store.undo(first, &signed("undo")).unwrap();
        assert_eq!((store.load().unwrap().policy.weeks_per_step, undone.kept.len()), (10, 1));
    }

    #[test]
    fn a_policy_that_was_changed_since_it_was_looked_at_is_a_conflict() {
        let mut store = filled();
        let seen = now(&store);
        store.set_policy(&with_weeks(8), "", seen, &signed("p1")).unwrap();
        let late = store.set_policy(&with_weeks(9), "", seen, &signed("p2"));
        assert!(matches!(late, Err(ApplyError::ChangedSince { .. })), "{late:?}");
        assert_eq!(store.load().unwrap().policy, with_weeks(8));
    }

    #[test]
    fn a_size_chart_wins_over_the_formula_until_it_is_taken_off() {
        let mut store = filled();
        let label = SizeLabel::parse(Some(SizeSystem::Eu), "42").unwrap();
        let row =
            crate::chart::ChartRow { audience: Audience::Men, label: label.clone(), foot: Mm::whole(265) };
        let chart = Chart { maker: "Orrelby".into(), rows: vec![row] };
        let by = |store: &Store| {
            let charts = store.load().unwrap().charts;
            charts.foot(&chart.key().unwrap(), Some(Audience::Men), &label).unwrap().by
        };
        assert_eq!(by(&store), SizeSource::Formula);
        let seen = now(&store);
        let change = store.set_chart(&chart, "their sheet of spring", seen, &signed("c1")).unwrap();
        assert_eq!(by(&store), SizeSource::Chart);
        assert_eq!(store.charts().unwrap(), std::slice::from_ref(&chart));
        let seen = now(&store);
        store.drop_chart("Orrelby", "it was wrong", seen, &signed("c2")).unwrap();
        assert_eq!((by(&store), store.charts().unwrap().len()), (SizeSource::Formula, 0));
        store.undo(ChangeId(change.0 + 1), &signed("undo")).unwrap();
        assert_eq!(by(&store), SizeSource::Chart);
    }

    #[test]
    fn a_setting_that_this_program_did_not_write_is_damage_and_named() {
        let store = filled();
        store
            .connection
            .execute("INSERT INTO setting VALUES ('policy', 'reach.mass_g', 'much')", [])
            .unwrap();
        assert!(store.load().unwrap_err().to_string().contains("reach.mass_g = much"));
    }
}
