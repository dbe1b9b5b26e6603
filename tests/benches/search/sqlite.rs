//! The second peer: SQLite with FTS5 and a join to the SKUs.
//!
//! What is found goes into a temporary table once; groups without a choice are counted from it, each other group by
//! a statement without its own filter. The score of the one runner stands in a column, which spares SQLite the
//! ranking. A working size is its label, since every run of this shop has half sizes; this spares it the feet.

use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};

use catalogue::rank::Score;
use catalogue::size::{SizeLabel, SizeSystem};
use catalogue::stock::{Quantity, Sku};
use catalogue::style::Style;
use indexer::snapshot::{Group, NOT_GIVEN, Snapshot};
use rusqlite::{Connection, Result, Statement, params_from_iter};
use serde_json::{Value, json};

use crate::aggregations::code;
use crate::question::{Answer, AskedOfSku, Question};
use crate::shop::{OF_STYLE, WITH_NUMBERS, number_of, text_of, values_of};

const TOTALS: &str = "SELECT count(*), coalesce(sum(pairs), 0) FROM found";
const FIRST: &str = "SELECT f.id FROM found f JOIN style s ON s.id = f.id
    ORDER BY s.whole DESC, f.pairs DESC, s.exact DESC, s.span, f.id LIMIT 20";
const OF_SKU: [Group; 4] = [Group::Size, Group::Width, Group::Stock, Group::Price];

/// The tables and what their codes mean.
pub(crate) struct Sqlite {
    db: &'static Connection,
    prepared: RefCell<HashMap<String, Statement<'static>>>,
    values: BTreeMap<Group, Vec<String>>,
    steps: BTreeMap<Group, i64>,
}

/// What was counted, by code.
#[derive(Default)]
pub(crate) struct Counted {
    pub(crate) total: i64,
    pairs: i64,
    pub(crate) counts: Vec<(Group, Vec<(i64, i64)>)>,
    pub(crate) bars: Vec<(Group, Vec<(i64, i64)>)>,
    first: Vec<u32>,
}

impl Sqlite {
    pub(crate) fn of(
        snapshot: &Snapshot,
        scores: &[Score],
        bands: &[String],
        steps: &BTreeMap<Group, i64>,
    ) -> Result<Self> {
        // Statements are kept prepared, and they borrow the connection: both live as long as the bench.
        let db: &'static Connection = Box::leak(Box::new(Connection::open_in_memory()?));
        let columns = OF_STYLE.map(|group| format!("g_{} INTEGER NOT NULL", group.key())).join(", ");
        let numbers = WITH_NUMBERS.map(|group| format!("n_{} INTEGER", group.key())).join(", ");
        db.execute_batch(&format!(
            "PRAGMA temp_store = MEMORY; PRAGMA cache_size = -400000;
             CREATE TABLE style (id INTEGER PRIMARY KEY, whole INTEGER, exact INTEGER, span INTEGER, {columns}, {numbers});
             CREATE TABLE sku (style INTEGER NOT NULL, g_size INTEGER NOT NULL, g_width INTEGER NOT NULL,
                 g_stock INTEGER NOT NULL, g_price INTEGER NOT NULL, price INTEGER, pairs INTEGER NOT NULL);
             CREATE VIRTUAL TABLE words USING fts5(text, content='', columnsize=0, detail=none, prefix='1 2 3 4');
             CREATE TEMP TABLE found (id INTEGER PRIMARY KEY, pairs INTEGER);
             CREATE TEMP TABLE masked (id INTEGER PRIMARY KEY, mask INTEGER);"
        ))?;
        let mut peer =
            Self { db, prepared: RefCell::default(), values: BTreeMap::new(), steps: steps.clone() };
        peer.fill(snapshot, scores, bands)?;
        let groups = OF_STYLE.iter().filter(|group| !is_set(**group));
        let by_value = groups.map(|group| format!("CREATE INDEX s_{0} ON style (g_{0});", group.key()));
        peer.db.execute_batch(&by_value.collect::<String>())?;
        let by_number =
            WITH_NUMBERS.map(|group| format!("CREATE INDEX n_{0} ON style (n_{0});", group.key()));
        peer.db.execute_batch(&by_number.concat())?;
        peer.db.execute_batch(
            "CREATE INDEX k_style ON sku (style, g_stock, g_size, g_width, g_price, price, pairs);
             CREATE INDEX k_size ON sku (g_size, g_stock, g_width, price, style, pairs);
             ANALYZE;",
        )?;
        Ok(peer)
    }

    fn fill(&mut self, snapshot: &Snapshot, scores: &[Score], bands: &[String]) -> Result<()> {
        self.db.execute_batch("BEGIN")?;
        let cards = (0..scores.len() as u32).filter_map(|row| snapshot.card(row));
        for ((card, score), id) in cards.zip(scores).zip(0..) {
            self.add_style(card.style, *score, id)?;
            card.skus.iter().try_for_each(|sku| self.add_sku(sku, bands, id))?;
        }
        self.db.execute_batch("COMMIT")
    }

    fn add_style(&mut self, style: &Style, score: Score, id: i64) -> Result<()> {
        let whole = (i64::from(score.suitability) + 5).div_euclid(10);
        let (exact, span) = (i64::from(score.suitability), i64::from(score.high - score.low));
        let mut row = vec![Some(id), Some(whole), Some(exact), Some(span)];
        for group in OF_STYLE {
            let known = self.values.entry(group).or_default();
            let codes: Vec<u64> =
                values_of(group, style).into_iter().map(|value| code(known, value)).collect();
            let bits = codes.iter().fold(0, |bits, code| bits | 1_i64 << code);
            row.push(Some(if is_set(group) { bits } else { codes[0] as i64 }));
        }
        row.extend(WITH_NUMBERS.map(|group| number_of(group, style)));
        let marks = vec!["?"; row.len()].join(",");
        self.prepared(&format!("INSERT INTO style VALUES ({marks})"), |s| s.execute(params_from_iter(row)))?;
        self.prepared("INSERT INTO words (rowid, text) VALUES (?, ?)", |s| s.execute((id, text_of(style))))?;
        Ok(())
    }

    fn add_sku(&mut self, sku: &Sku, bands: &[String], style: i64) -> Result<()> {
        let in_stock = sku.quantity.map(Quantity::in_stock);
        let price = sku.price.map(|price| i64::from(price.0));
        let stock = in_stock.map_or(NOT_GIVEN, |yes| if yes { "yes" } else { "no" });
        let values = [
            sku.label.to_string(),
            sku.width.as_deref().unwrap_or(NOT_GIVEN).to_owned(),
            stock.to_owned(),
            price.map_or(NOT_GIVEN.to_owned(), |price| price_band(price, bands)),
        ];
        let codes: Vec<i64> = OF_SKU
            .into_iter()
            .zip(values)
            .map(|(group, value)| code(self.values.entry(group).or_default(), value) as i64)
            .collect();
        let pairs = sku.quantity.map_or(0, Quantity::counted);
        let row = (style, codes[0], codes[1], codes[2], codes[3], price, pairs);
        self.prepared("INSERT INTO sku VALUES (?, ?, ?, ?, ?, ?, ?)", |s| s.execute(row))?;
        Ok(())
    }

    /// Everything that a page of facets needs: totals, the first twenty, and a count for every value.
    pub(crate) fn ask(&self, question: &Question) -> Result<Counted> {
        let mut answer = Counted::default();
        let from = if question.sku.is_some() { "style s JOIN sku k ON k.style = s.id" } else { "style s" };
        let pairs = if question.sku.is_some() { "sum(k.pairs)" } else { "0" };
        let (all, narrowed) = (self.conditions(question, None), question.narrowed());
        self.prepared("DELETE FROM found", |s| s.execute([]))?;
        self.run(
            &format!("INSERT INTO found SELECT s.id, {pairs} FROM {from}{} GROUP BY s.id", all.sql),
            &all,
        )?;
        (answer.total, answer.pairs) =
            self.prepared(TOTALS, |s| s.query_row([], |row| Ok((row.get(0)?, row.get(1)?))))?;
        for group in OF_STYLE {
            if narrowed.contains(&group) {
                let own = self.conditions(question, Some(group));
                let column = group.key();
                let sql =
                    format!("SELECT s.g_{column}, count(DISTINCT s.id) FROM {from}{} GROUP BY 1", own.sql);
                self.count(&sql, &own, |counted| answer.counts.push((group, counted)))?;
                if let Some(bar) = self.bar(group).filter(|_| question.sku.is_none()) {
                    let sql = format!("SELECT {bar}, count(*) FROM {from}{} GROUP BY 1", own.sql);
                    self.count(&sql, &own, |counted| answer.bars.push((group, counted)))?;
                }
            } else {
                let column = group.key();
                let sql = format!(
                    "SELECT s.g_{column}, count(*) FROM found f JOIN style s ON s.id = f.id GROUP BY 1"
                );
                let none = Conditions::default();
                self.count(&sql, &none, |counted| answer.counts.push((group, counted)))?;
                if let Some(bar) = self.bar(group).filter(|_| question.sku.is_none()) {
                    let sql =
                        format!("SELECT {bar}, count(*) FROM found f JOIN style s ON s.id = f.id GROUP BY 1");
                    self.count(&sql, &none, |counted| answer.bars.push((group, counted)))?;
                }
            }
        }
        if question.sku.is_some() {
            OF_SKU.into_iter().try_for_each(|group| self.count_skus(question, group, &mut answer))?;
            answer.first = self.prepared(FIRST, |s| s.query_map([], |row| row.get(0))?.collect())?;
        }
        Ok(answer)
    }

    /// The plans of the statements of one question.
    pub(crate) fn plan(&self, question: &Question) -> Result<Vec<String>> {
        let all = self.conditions(question, None);
        let sql = format!(
            "EXPLAIN QUERY PLAN SELECT s.id FROM {}{} GROUP BY s.id",
            if question.sku.is_some() { "style s JOIN sku k ON k.style = s.id" } else { "style s" },
            all.sql
        );
        let mut statement = self.db.prepare(&sql)?;
        let lines = statement.query_map(params_from_iter(&all.values), |row| row.get::<_, String>(3))?;
        lines.collect()
    }

    fn count_skus(&self, question: &Question, group: Group, answer: &mut Counted) -> Result<()> {
        let own = self.conditions(question, Some(group));
        let column = group.key();
        // The size group counts what is in stock.
        let stocked = self.values[&Group::Stock].iter().position(|value| value == "yes").unwrap_or_default();
        let only = if group == Group::Size { format!(" AND k.g_stock = {stocked}") } else { String::new() };
        let sql = format!(
            "SELECT k.g_{column}, count(DISTINCT s.id) FROM style s JOIN sku k ON k.style = s.id{}{only} GROUP BY 1",
            own.sql
        );
        self.count(&sql, &own, |counted| answer.counts.push((group, counted)))
    }

    /// Where the bar of a number begins.
    pub(crate) fn bar(&self, group: Group) -> Option<String> {
        let (step, column) = (self.steps.get(&group)?, group.key());
        Some(format!("s.n_{column} / {step} * {step}"))
    }

    pub(crate) fn count(
        &self,
        sql: &str,
        conditions: &Conditions,
        take: impl FnOnce(Vec<(i64, i64)>),
    ) -> Result<()> {
        let counted: Vec<(i64, i64)> = self.prepared(sql, |s| {
            let counted =
                s.query_map(params_from_iter(&conditions.values), |row| Ok((row.get(0)?, row.get(1)?)));
            // The numbers that nobody gave are no bar.
            let said = counted?.filter_map(|row: Result<(Option<i64>, i64)>| match row {
                Ok((value, count)) => value.map(|value| Ok((value, count))),
                Err(fault) => Some(Err(fault)),
            });
            said.collect()
        })?;
        take(counted);
        Ok(())
    }

    /// The answer in the form that is compared.
    pub(crate) fn answer(&self, counted: &Counted) -> Answer {
        let mut counts: BTreeMap<(&str, String), i64> = BTreeMap::new();
        for (group, by_code) in &counted.counts {
            for (value, at) in self.values[group].iter().zip(0..) {
                let holds = |code: i64| if is_set(*group) { code >> at & 1 == 1 } else { code == at };
                let count: i64 =
                    by_code.iter().filter(|(code, _)| holds(*code)).map(|(_, count)| count).sum();
                if count > 0 {
                    counts.insert((group.key(), value.clone()), count);
                }
            }
        }
        let bars = counted
            .bars
            .iter()
            .flat_map(|(group, bars)| bars.iter().map(|(from, count)| ((group.key(), *from), *count)));
        Answer {
            bars: bars.collect(),
            total: counted.total,
            pairs: counted.pairs,
            counts,
            first: counted.first.clone(),
        }
    }

    pub(crate) fn prepared<T>(
        &self,
        sql: &str,
        ask: impl FnOnce(&mut Statement<'static>) -> Result<T>,
    ) -> Result<T> {
        let mut prepared = self.prepared.borrow_mut();
        if let Some(statement) = prepared.get_mut(sql) {
            return ask(statement);
        }
        ask(prepared.entry(sql.to_owned()).or_insert(self.db.prepare(sql)?))
    }

    fn run(&self, sql: &str, conditions: &Conditions) -> Result<usize> {
        self.prepared(sql, |s| s.execute(params_from_iter(&conditions.values)))
    }

    pub(crate) fn conditions(&self, question: &Question, without: Option<Group>) -> Conditions {
        let mut all = Conditions::default();
        for (group, chosen) in question.styles.iter().filter(|(group, _)| Some(**group) != without) {
            let codes =
                chosen.iter().filter_map(|value| self.values[group].iter().position(|own| own == value));
            let codes: Vec<i64> = codes.map(|code| code as i64).collect();
            let column = group.key();
            if is_set(*group) {
                let bits = codes.iter().fold(0, |bits, code| bits | 1 << code);
                all.add(&format!("s.g_{column} & ? <> 0"), [bits.to_string()]);
            } else {
                all.any_of(&format!("s.g_{column}"), &codes);
            }
        }
        for (group, (from, to)) in question.ranges.iter().filter(|(group, _)| Some(**group) != without) {
            for (end, sign) in [(from, ">="), (to, "<=")] {
                if let Some(end) = end {
                    all.add(&format!("s.n_{} {sign} ?", group.key()), [end.to_string()]);
                }
            }
        }
        if !question.words.is_empty() {
            // Quoted words with blanks between are all needed; the star is for the last.
            let words = question.words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>();
            all.add(
                "s.id IN (SELECT rowid FROM words WHERE words MATCH ?)",
                [format!("{}*", words.join(" "))],
            );
        }
        if let Some(sku) = &question.sku {
            self.of_sku(sku, without, &mut all);
        }
        all
    }

    /// The code of a value; one that nothing has where the value is not known.
    fn code(&self, group: Group, value: &str) -> i64 {
        self.values[&group].iter().position(|own| own == value).map_or(-1, |at| at as i64)
    }

    fn sizes(&self, sku: &AskedOfSku) -> Vec<i64> {
        let label = |twelfths: &u16| SizeLabel::of_twelfths(SizeSystem::Eu, *twelfths).to_string();
        sku.sizes.iter().map(|size| self.code(Group::Size, &label(size))).collect()
    }

    /// The tables, for whoever writes them out.
    pub(crate) fn db(&self) -> &Connection {
        self.db
    }

    /// The codes of values.
    pub(crate) fn codes(&self, group: Group, values: &[String]) -> Vec<i64> {
        values.iter().map(|value| self.code(group, value)).collect()
    }

    /// What is asked of one SKU, in codes.
    pub(crate) fn codes_of_sku(&self, sku: &AskedOfSku) -> Value {
        json!({
            "sizes": self.sizes(sku),
            "stock": self.code(Group::Stock, "yes"),
            "width": sku.width.map(|width| self.code(Group::Width, width)),
            "price": sku.price,
        })
    }

    /// The counts of an answer by group and code.
    pub(crate) fn counts_by_code(&self, answer: &Answer) -> Value {
        let mut by_group: BTreeMap<&str, BTreeMap<i64, i64>> = BTreeMap::new();
        for (group, values) in &self.values {
            let of = by_group.entry(group.key()).or_default();
            for (code, value) in (0..).zip(values) {
                let count = answer.counts.get(&(group.key(), value.clone()));
                of.extend(count.map(|count| (code, *count)));
            }
        }
        json!(by_group)
    }

    fn of_sku(&self, sku: &AskedOfSku, without: Option<Group>, all: &mut Conditions) {
        let code = |group: Group, value: &str| self.code(group, value);
        let yes = code(Group::Stock, "yes");
        if without != Some(Group::Size) {
            all.any_of("k.g_size", &self.sizes(sku));
        }
        // A size is one in stock, so that stock stays asked for while either of the two groups is.
        all.any_of("k.g_stock", &[yes]);
        if let Some(width) = sku.width.filter(|_| without != Some(Group::Width)) {
            all.any_of("k.g_width", &[code(Group::Width, width)]);
        }
        if let Some(price) = sku.price.filter(|_| without != Some(Group::Price)) {
            all.add("k.price <= ?", [price.to_string()]);
        }
    }
}

/// The text behind WHERE and the values for its marks.
#[derive(Default)]
pub(crate) struct Conditions {
    pub(crate) sql: String,
    pub(crate) values: Vec<rusqlite::types::Value>,
}

impl Conditions {
    /// Without its WHERE.
    pub(crate) fn plain(&self) -> &str {
        self.sql.strip_prefix(" WHERE ").unwrap_or("1")
    }

    fn add<const N: usize>(&mut self, condition: &str, values: [String; N]) {
        self.sql += if self.sql.is_empty() { " WHERE " } else { " AND " };
        self.sql += condition;
        self.values.extend(values.map(|value| match value.parse::<i64>() {
            Ok(number) => number.into(),
            Err(_) => value.into(),
        }));
    }

    fn any_of(&mut self, column: &str, codes: &[i64]) {
        let marks = vec!["?"; codes.len()].join(",");
        self.add::<0>(&format!("{column} IN ({marks})"), []);
        self.values.extend(codes.iter().map(|code| (*code).into()));
    }
}

/// A style has several of these; they are kept as bits.
pub(crate) fn is_set(group: Group) -> bool {
    matches!(group, Group::Surface | Group::Purpose | Group::ShopNote)
}

fn price_band(price: i64, bands: &[String]) -> String {
    let holds = |band: &&String| {
        let (from, to) = band.split_once('-').unwrap_or_default();
        let end = |text: &str, open: i64| text.parse::<i64>().map_or(open, |n| n * 100);
        (end(from, i64::MIN)..end(to, i64::MAX)).contains(&price)
    };
    bands.iter().find(holds).cloned().unwrap_or_default()
}
