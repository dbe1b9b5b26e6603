"""Two column engines on the questions of the search bench: DuckDB and polars, beside our own times.

    cargo bench --bench search -- export target/peers 100000
    python3 -m venv target/peers-python
    target/peers-python/bin/pip install duckdb polars
    target/peers-python/bin/python tests/benches/search/peers.py target/peers

Read are the tables, the questions without words, our answers and our times, which the first line writes. Each engine
keeps the tables in memory, uses all processors and answers a question in one statement: total, pairs, and for every
group the count of each value without the group's own filter. Totals, pairs and counts have to be ours. The histograms,
and the first twenty in order, are asked of nobody here; ours hold them. Not part of CI.
"""

import json
import statistics
import sys
import time
from pathlib import Path

import duckdb
import polars

TIMES = 5
SETS = ("surface", "purpose", "shop_note")
OF_SKU = ("size", "width", "stock", "price")


def conditions(question, without=None):
    """What narrows, but for one group: pairs of a column and what it has to meet."""
    found = []
    for group, chosen in question["chosen"].items():
        if group != without:
            found.append((f"g_{group}", "bits" if chosen["set"] else "among", chosen["codes"]))
    for group, (least, most) in question["ranges"].items():
        if group != without:
            found += [(f"n_{group}", "least", least)] if least is not None else []
            found += [(f"n_{group}", "most", most)] if most is not None else []
    sku = question["sku"]
    if sku:
        if without != "size":
            found.append(("g_size", "among", sku["sizes"]))
        # A size is one in stock, so that stock stays asked for while either of the two groups is.
        found.append(("g_stock", "among", [sku["stock"]]))
        if sku["width"] is not None and without != "width":
            found.append(("g_width", "among", [sku["width"]]))
        if sku["price"] is not None and without != "price":
            found.append(("price", "most", sku["price"]))
    return found


def bits(codes):
    return sum(1 << code for code in set(codes) if code >= 0)


def groups_of(question, columns):
    of_styles = [column[2:] for column in columns if column.startswith("g_")]
    return of_styles + (list(OF_SKU) if question["sku"] else [])


def by_code(group, counted):
    """Counts by code of rows (value, count); a set is counted under each of its bits."""
    counts = {}
    for value, count in counted:
        codes = [at for at in range(64) if value >> at & 1] if group in SETS else [value]
        for code in codes:
            counts[code] = counts.get(code, 0) + count
    return counts


class DuckDB:
    name = "DuckDB"

    def __init__(self, folder):
        self.db = duckdb.connect()
        for table in ("style", "sku"):
            self.db.execute(f"CREATE TABLE {table} AS SELECT * FROM read_csv('{folder / table}.csv', header=true)")
        self.columns = [row[0] for row in self.db.execute("DESCRIBE style").fetchall()]

    @staticmethod
    def where(question, without=None):
        says = {
            "bits": lambda column, codes: f"{column} & {bits(codes)} <> 0",
            "among": lambda column, codes: f"{column} IN ({','.join(map(str, codes)) or 'NULL'})",
            "least": lambda column, end: f"{column} >= {end}",
            "most": lambda column, end: f"{column} <= {end}",
        }
        return " AND ".join(says[kind](column, value) for column, kind, value in conditions(question, without)) or "true"

    def statement(self, question):
        sku = question["sku"]
        table = "style JOIN sku ON sku.style = style.id" if sku else "style"
        count, pairs = ("count(DISTINCT id)", "coalesce(sum(pairs), 0)") if sku else ("count(*)", "0")
        parts = [f"SELECT '' AS what, {count} AS code, {pairs} AS count FROM {table} WHERE {self.where(question)}"]
        for group in groups_of(question, self.columns):
            # The size group counts what is in stock.
            own = self.where(question, group)
            parts.append(f"SELECT '{group}', g_{group}, {count} FROM {table} WHERE {own} GROUP BY 2")
        return " UNION ALL ".join(parts)

    def prepare(self, question):
        return self.statement(question)

    def ask(self, prepared):
        return self.db.execute(prepared).fetchall()

    @staticmethod
    def answer(rows):
        total = next((code, count) for what, code, count in rows if what == "")
        groups = {}
        for what, code, count in rows:
            if what:
                groups.setdefault(what, []).append((code, count))
        return total, groups


class Polars:
    name = "polars"

    def __init__(self, folder):
        self.style = polars.read_csv(folder / "style.csv")
        self.joined = polars.read_csv(folder / "sku.csv").join(self.style, left_on="style", right_on="id")
        self.joined = self.joined.rename({"style": "id"})
        self.columns = self.style.columns

    @staticmethod
    def where(question, without=None):
        says = {
            "bits": lambda column, codes: (polars.col(column) & bits(codes)) != 0,
            "among": lambda column, codes: polars.col(column).is_in(codes),
            "least": lambda column, end: polars.col(column) >= end,
            "most": lambda column, end: polars.col(column) <= end,
        }
        all_of = polars.lit(True)
        for column, kind, value in conditions(question, without):
            all_of = all_of & says[kind](column, value)
        return all_of

    def prepare(self, question):
        table = (self.joined if question["sku"] else self.style).lazy()
        count = polars.col("id").n_unique() if question["sku"] else polars.len()
        pairs = polars.col("pairs").sum() if question["sku"] else polars.lit(0)
        frames = [table.filter(self.where(question)).select(count.alias("count"), pairs.alias("pairs"))]
        names = groups_of(question, self.columns)
        for group in names:
            own = table.filter(self.where(question, group))
            frames.append(own.group_by(f"g_{group}").agg(count.alias("count")))
        return names, frames

    def ask(self, prepared):
        names, frames = prepared
        return names, polars.collect_all(frames)

    @staticmethod
    def answer(found):
        names, (total, *counted) = found
        return total.row(0), {name: frame.rows() for name, frame in zip(names, counted)}


def differs(question, answer):
    (total, pairs), groups = answer
    ours = question["answer"]
    if total != ours["total"] or (question["sku"] and pairs != ours["pairs"]):
        return True
    for group, rows in groups.items():
        theirs = {code: count for code, count in by_code(group, rows).items() if count}
        if theirs != {int(code): count for code, count in ours["counts"].get(group, {}).items()}:
            return True
    return False


def timed(engine, question):
    prepared = engine.prepare(question)
    differ = differs(question, engine.answer(engine.ask(prepared)))
    took = []
    for _ in range(TIMES):
        start = time.perf_counter()
        engine.ask(prepared)
        took.append((time.perf_counter() - start) * 1e6)
    return differ, statistics.median(took)


def at(times, percent):
    return sorted(times)[(len(times) - 1) * percent // 100]


def main():
    folder = Path(sys.argv[1])
    mixes = json.loads((folder / "questions.json").read_text())
    engines = [DuckDB(folder), Polars(folder)]
    print("| mix | who | questions | p50, ms | p99, ms | times slower, p50 | p99 | answers that differ |")
    print("|---|---|---|---|---|---|---|---|")
    for mix, questions in mixes.items():
        ours = [question["micros"] for question in questions]
        runs = [("Lastbench", ours, 0)]
        for engine in engines:
            asked = [timed(engine, question) for question in questions]
            runs.append((engine.name, [took for _, took in asked], sum(differ for differ, _ in asked)))
        for name, took, differ in runs:
            half, most = at(took, 50), at(took, 99)
            slower = f"{half / at(ours, 50):.0f} | {most / at(ours, 99):.0f}"
            print(f"| {mix} | {name} | {len(questions)} | {half / 1000:.3f} | {most / 1000:.3f} | {slower} | {differ} |")
    print(f"\nDuckDB {duckdb.__version__}, polars {polars.__version__}")


if __name__ == "__main__":
    main()
