"""Truth tables: what a sheet says, cell by cell, and what an importer has to ask or report about it."""

import csv
import json
from dataclasses import dataclass, field

from measures import canonical

HEAD = ("entity", "key_maker", "key_style_number", "key_name", "colourway", "size_system", "size", "width",
        "column", "value")


class Truth:
    """The facts of one sheet. What is not here is unknown: an importer must not have it."""

    def __init__(self, units=None):
        self.units = units or {}
        self.facts = {}

    def style(self, maker, number, name, **values):
        """Facts of a style; values are the model's texts. An empty one says nothing."""
        self._add(("style", maker, number, name, "", "", "", ""), {"name": name, **values})

    def sku(self, style, colourway, system, size, width="", **values):
        """Facts of one size of a colourway; `style` is (maker, number, name)."""
        self._add(("sku", *style, colourway, system, size, width), {"size": size, **values})

    def forget(self, entity, number, column):
        """Takes back what two rows of the sheet disagree about."""
        gone = [key for key in self.facts if (key[0], key[2], key[8]) == (entity, number, column)]
        assert gone, (entity, number, column)
        for key in gone:
            del self.facts[key]

    def _add(self, subject, values):
        for column, text in values.items():
            if text != "" and not column.startswith("_"):
                value = str(canonical(column, text, self.units))
                before = self.facts.setdefault((*subject, column), value)
                assert before == value, f"{subject} {column}: {before} and {value}"

    def subjects(self, entity):
        """How many different styles or SKUs it speaks of."""
        return len({key[1:8] for key in self.facts if key[0] == entity})

    def write(self, path):
        """The common form: one fact a line."""
        with open(path, "w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(HEAD)
            writer.writerows((*key, value) for key, value in self.facts.items())


@dataclass
class Expect:
    """What importing the sheet has to look like beside its cells. README.md explains each key."""

    sheet: str
    supplier: str
    kind: str
    data_rows: int
    reading: dict = field(default_factory=dict)
    answers: dict = field(default_factory=dict)
    after: list = field(default_factory=list)
    tabs: list = field(default_factory=list)
    hidden_tabs: list = field(default_factory=list)
    settle: list = field(default_factory=list)
    left_out: list = field(default_factory=list)
    findings: list = field(default_factory=list)
    rows_held: list = field(default_factory=list)
    cells_held: list = field(default_factory=list)
    may_hold: list = field(default_factory=list)

    def finding(self, code, rows, column="", heading="", **more):
        """A finding that must appear, once for each of these rows (0: the sheet or the column as a whole)."""
        rows = list(rows) if isinstance(rows, (list, tuple, range)) else [rows]
        self.findings.append({"code": code, "rows": rows, "column": column, "heading": heading, **more})

    def hold_cell(self, code, row, column, heading, text, **more):
        """A cell that must be held back, with its finding."""
        self.finding(code, row, column, heading, text=text, **more)
        place = {"tab": more["tab"]} if "tab" in more else {}
        self.cells_held.append({**place, "row": row, "column": column})

    def hold_row(self, code, row, column="", heading="", **more):
        """A row that must be held back, with its finding."""
        self.finding(code, row, column, heading, **more)
        place = {"tab": more["tab"]} if "tab" in more else {}
        self.rows_held.append({**place, "row": row})

    def leave_out(self, kind, rows, **more):
        """Rows that are no data: title, heading, units, section, total, note, hidden."""
        rows = list(rows) if isinstance(rows, (list, tuple, range)) else [rows]
        self.left_out.append({"kind": kind, "rows": rows, **more})

    def write(self, path, truth):
        """As TOML: plain keys, then tables, then lists of tables."""
        lines = [f"{key} = {toml(getattr(self, key))}" for key in ("sheet", "supplier", "kind", "after")]
        lines += [f"data_rows = {self.data_rows}"]
        lines += [f"styles = {truth.subjects('style')}", f"skus = {truth.subjects('sku')}"]
        lines += [f"tabs = {toml(self.tabs)}", f"hidden_tabs = {toml(self.hidden_tabs)}"]
        for name in ("settle", "left_out", "rows_held", "cells_held", "may_hold"):
            lines += listed(name, getattr(self, name))
        for name in ("reading", "answers"):
            lines += ["", f"[{name}]", *(f"{key} = {toml(value)}" for key, value in getattr(self, name).items())]
        for finding in self.findings:
            lines += ["", "[[finding]]", *(f"{key} = {toml(value)}" for key, value in finding.items())]
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")


def listed(name, items):
    """A list of inline tables, one a line."""
    if not items:
        return [f"{name} = []"]
    return [f"{name} = [", *(f"    {toml(item)}," for item in items), "]"]


def toml(value):
    """A TOML value. JSON's texts and numbers are TOML's as well."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml(item)}" for key, item in value.items()) + " }"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(toml, value)) + "]"
    return json.dumps(value, ensure_ascii=False)
