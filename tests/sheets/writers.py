"""Writes sheets: delimited text here, workbooks through openpyxl and odfpy, with bytes that do not change."""

import csv
import io
import re
import zipfile

LONG_AGO = (2026, 1, 5, 8, 0, 0)


class Rows(list):
    """The rows of a sheet; each knows its number, counted from 1."""

    def add(self, *cells):
        """Adds a row and returns its number."""
        self.append(list(cells))
        return len(self)


def table(text):
    """A table drawn with bars: its first line names the keys of the rest."""
    head, *rest = [[cell.strip() for cell in line.split("|")] for line in text.strip().splitlines()]
    assert all(len(line) == len(head) for line in rest), [line for line in rest if len(line) != len(head)]
    return [dict(zip(head, line)) for line in rest]


def letter(index):
    """The column letter of an index counted from 0, up to Z."""
    return chr(ord("A") + index)


def comma(text):
    """A plain number with a decimal comma."""
    return text.replace(".", ",")


def delimited(rows, delimiter, end="\r\n"):
    """Rows as text; cells are quoted where they must be, quotes inside doubled (RFC 4180)."""
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=end).writerows(rows)
    return out.getvalue()


def save_xlsx(book, path, stored=()):
    """Saves an openpyxl workbook; `stored` are results of formulas, as (part, cell, value): it writes none itself."""
    out = io.BytesIO()
    book.save(out)
    repack(out.getvalue(), path, lambda name, data: settled_xlsx(name, data, stored))


def settled_xlsx(name, data, stored):
    """A part of a workbook, without the time of saving and with the results of its formulas."""
    if name == "docProps/core.xml":
        return re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", b"2026-01-05T08:00:00Z", data)
    for _, cell, value in (entry for entry in stored if entry[0] == name):
        pattern = rb'(<c r="%s"[^>]*>\s*<f>[^<]*</f>)\s*(<v\s*/>|<v></v>)' % cell.encode()
        data, count = re.subn(pattern, rb"\g<1><v>%s</v>" % value.encode(), data)
        assert count == 1, (name, cell)
    return data


def save_ods(document, path):
    """Saves an odfpy document."""
    out = io.BytesIO()
    document.write(out)
    repack(out.getvalue(), path, lambda name, data: data)


def repack(data, path, change):
    """Writes an archive again: same parts in the same order, one date for all."""
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(path, "w") as new:
        for entry in old.infolist():
            info = zipfile.ZipInfo(entry.filename, LONG_AGO)
            info.compress_type = zipfile.ZIP_STORED if entry.filename == "mimetype" else zipfile.ZIP_DEFLATED
            info.external_attr = entry.external_attr
            new.writestr(info, change(entry.filename, old.read(entry.filename)))
