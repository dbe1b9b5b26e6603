"""Opens a list of shoes in openpyxl, and the same list as text in Python's csv, neither of them ours: cell by cell the two
are one. Numbers are numbers, all else is text and no formula, what is blank in one is nothing in the other.

Arguments: the workbook, the table of text, and the names that look like formulas."""

import csv
import sys

import openpyxl

workbook, table, *formulas = sys.argv[1:]
book = openpyxl.load_workbook(workbook)
assert len(book.worksheets) == 1, book.sheetnames
sheet = book.worksheets[0]
with open(table, encoding="utf-8", newline="") as file:
    rows = list(csv.reader(file))
assert (sheet.max_row, sheet.max_column) == (len(rows), len(rows[0])), (sheet.dimensions, len(rows))
assert [cell.value for cell in sheet[1]] == rows[0], rows[0]

numbers = ["mm", "Mass g", "Lowest price", "Pairs"]
seen = {"numbers": 0, "texts": 0, "blanks": 0}
for cells, texts in zip(sheet.iter_rows(min_row=2), rows[1:], strict=True):
    for cell, text, heading in zip(cells, texts, rows[0], strict=True):
        place = (cell.coordinate, cell.value, text)
        if text == "":
            assert cell.value is None, place
            seen["blanks"] += 1
        elif any(part in heading for part in numbers):
            assert cell.data_type == "n" and cell.value == float(text), place
            seen["numbers"] += 1
        else:
            # In text a quotation mark keeps a spreadsheet from calculating; in a workbook the type of the cell does.
            guarded = "'" + cell.value if cell.value[0] in "=+-@" else cell.value
            assert cell.data_type == "s" and guarded == text, place
            seen["texts"] += 1
assert all(seen.values()), seen

names = [cell.value for cell in sheet["D"]]
assert names[0] == "Name", names[0]
for formula in formulas:
    assert names.count(formula) == 1, (formula, names)
