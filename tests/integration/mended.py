"""Opens a workbook in openpyxl, as an owner in a spreadsheet, puts one text in place of another, and keeps it.

Arguments: the workbook, the text that stands there, the text that is typed."""

import sys

import openpyxl

path, before, after = sys.argv[1:]
book = openpyxl.load_workbook(path)
mended = 0
for sheet in book.worksheets:
    for row in sheet.iter_rows():
        for cell in row:
            if cell.value == before:
                cell.value = int(after) if after.isdigit() else after
                mended += 1
assert mended == 1, mended
book.save(path)
