"""11: a distributor's stock in ods: the number on the box is its only key; it joins the styles of sheet 9."""

from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table

import codes
from italian import add_row, text_cell, typed
from measures import gtin, other_check_digit
from truth import Expect, Truth
from writers import save_ods

NAME = "11-stock-by-barcode.ods"
TAB = "Stock"
HEADINGS = ("Barcode", "UK size", "Stock", "Bay")
UNKNOWN_TO_9 = (*codes.DATED, codes.WRONG_DIGIT, codes.SCIENTIFIC)
PAIRS = ("1", "0", "10+", "2", "6", "3", "x", "0", "4")
NEGATIVE = ("004112", "Bracken", "5")
REPEATED = ("004120", "Quartz", "8.5")
DIFFER = ("012088", "Heather", "9")


def make(folder):
    """Writes the document; returns its truth and what to expect."""
    document, sheet, truth = OpenDocumentSpreadsheet(), Table(name=TAB), Truth()
    expect = Expect(NAME, "Threlby Distribution", "partial", 0, tabs=[TAB], after=[codes.NAME])
    expect.answers = {"run_x": "in stock, number unknown"}
    rows = [HEADINGS]
    for style, colour, size, code in codes.skus():
        add_size(rows, truth, expect, (style, colour, size, code))
    add_strangers(rows, expect)
    expect.data_rows = len(rows) - 1
    total = sum(int(cells[2]) for cells in rows[1:] if cells[2].lstrip("-").isdigit())
    rows.append(("Total", "", str(total), ""))
    expect.leave_out("heading", 1, tab=TAB)
    expect.leave_out("total", len(rows), tab=TAB)
    for cells in rows:
        add_row(sheet, [printed(index, text) for index, text in enumerate(cells)])
    document.spreadsheet.addElement(sheet)
    save_ods(document, folder / NAME)
    return truth, expect


def printed(index, text):
    """Pairs are numbers where they are; codes are text."""
    if index == 2 and text.lstrip("-").isdigit():
        return typed(text, "float", value=text)
    return text_cell(text)


def half(size):
    """A half size as this distributor mixes it: 9 1/2 for whole numbers that three divides, 8½ for the rest."""
    whole, _, rest = size.partition(".")
    if not rest:
        return whole
    return whole + ("½" if int(whole) % 3 else " 1/2")


def add_size(rows, truth, expect, sku):
    """One row, and what must be found in it."""
    style, colour, size, code = sku
    key, name = (style["number"], colour, size), (codes.MAKER, style["number"], style["name"])
    pairs = "-1" if key == NEGATIVE else PAIRS[len(rows) % len(PAIRS)]
    place = f"{'ABC'[len(rows) % 3]}{len(rows) % 5 + 1}"
    rows.append((code, half(size), pairs, place))
    row = len(rows)
    if key in UNKNOWN_TO_9:
        expect.hold_row("style-unknown", row, "A", "Barcode", text=code, tab=TAB)
    elif key == DIFFER:
        rows.append((code, half(size), str(int(pairs) + 1), place))
        expect.hold_row("rows-differ", row, "C", "Stock", text=pairs, tab=TAB)
        expect.hold_row("rows-differ", row + 1, "C", "Stock", text=str(int(pairs) + 1), tab=TAB)
    else:
        tell(truth, expect, name, (colour, size, code, pairs, place), row)
        if key == REPEATED:
            rows.append(rows[-1])
            expect.finding("row-repeated", row + 1, tab=TAB)


def tell(truth, expect, name, cells, row):
    """The facts of a row that is taken."""
    colour, size, code, pairs, place = cells
    if pairs.startswith("-"):
        expect.hold_cell("quantity-negative", row, "C", "Stock", pairs, tab=TAB)
        pairs = ""
    truth.sku(name, colour, "UK", size, gtin=code, quantity=pairs, place=place)


def add_strangers(rows, expect):
    """A number that nobody knows, and one that somebody has mistyped: without a key, the row is held."""
    rows.append((gtin("200419990007"), "9", "2", "C4"))
    expect.hold_row("style-unknown", len(rows), "A", "Barcode", text=rows[-1][0], tab=TAB)
    rows.append((other_check_digit(gtin("200410001207")), "8", "1", "C5"))
    expect.hold_row("gtin-check-digit", len(rows), "A", "Barcode", text=rows[-1][0], tab=TAB)
