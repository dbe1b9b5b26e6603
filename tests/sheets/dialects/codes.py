"""9: a workbook that a spreadsheet has had its way with: numbers as codes, sizes as dates, formulas, and days counted from 1904."""

from datetime import date

from openpyxl import Workbook
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from measures import gtin, other_check_digit
from truth import Expect, Truth
from writers import save_xlsx, table

NAME = "09-codes-and-dates.xlsx"
MAKER = "Dunvarra"
TAB = "Stock list"
HEADINGS = ("Style code", "Style", "For", "Colour", "UK size", "EAN", "Pairs", "Heel stack (mm)", "Forefoot stack (mm)",
            "Drop (mm)", "Cost", "RRP", "Next delivery")
STYLES = table("""
number | name         | audience | heel_stack | forefoot_stack | drop | price  | colours
004107 | Spean        | men      | 34         | 26             | 8    | 139.90 | Bracken, Loch
004112 | Spean        | women    | 34         | 26             | 8    | 139.90 | Bracken
004120 | Corrie Light | unisex   | 22.5       | 18.5           | 4    | 119.90 | Quartz
012088 | Long Strath  | men      | 38         | 32.5           | 5.5  | 169.90 | Heather, Peat
000631 | Machair      | unisex   | 12         | 12             | 0    | 99.90  | Sand
""")
MENS, WOMENS = ("7", "7.5", "8", "8.5", "9", "9.5", "10", "10.5"), ("4", "4.5", "5", "5.5", "6", "6.5", "7")
PAIRS = (2, 1, 3, 0, 4, 2, 1, 5, 12, 0, 3)
# What has happened to single rows, by style code, colour and size.
DATED = {("004107", "Bracken", "9.5"): date(2026, 5, 9), ("012088", "Peat", "10.5"): date(2026, 5, 10)}
LOST_ZERO = ("004107", "Loch", "8")
WRONG_DIGIT = ("004120", "Quartz", "9")
SCIENTIFIC = ("012088", "Heather", "7.5")
NO_RESULT = ("000631", "Sand", "10")


def skus():
    """Every size in the order of the sheet, as (style, colour, size, its true GTIN)."""
    found = []
    for style in STYLES:
        for colour in style["colours"].split(", "):
            for size in WOMENS if style["audience"] == "women" else MENS:
                key = (style["number"], colour, size)
                front = "04107" if key == LOST_ZERO else "20041"
                found.append((style, colour, size, gtin(f"{front}{len(found) + 1:05}07")))
    return found


def make(folder):
    """Writes the workbook; returns its truth and what to expect."""
    book, truth, stored = Workbook(), Truth(), []
    book.epoch = CALENDAR_MAC_1904
    tab = book.active
    tab.title = TAB
    tab.append(HEADINGS)
    expect = Expect(NAME, "Dunvarra", "full", len(skus()), tabs=[TAB])
    expect.answers = {"maker": MAKER}
    expect.leave_out("heading", 1, tab=TAB)
    expect.finding("heading-left-out", 0, "K", "Cost", tab=TAB)
    expect.finding("heading-unknown", 0, "M", "Next delivery", tab=TAB)
    for style, colour, size, code in skus():
        add_row(tab, stored, style, colour, size, code)
        tell(truth, expect, tab.max_row, (style, colour, size, code))
    save_xlsx(book, folder / NAME, stored)
    return truth, expect


def add_row(tab, stored, style, colour, size, code):
    """One size, as the spreadsheet keeps it."""
    key, row = (style["number"], colour, size), tab.max_row + 1
    heel, forefoot, price = (float(style[name]) for name in ("heel_stack", "forefoot_stack", "price"))
    tab.append([int(style["number"]), style["name"], style["audience"].title(), colour, DATED.get(key, float(size)),
                printed_code(key, code), PAIRS[row % len(PAIRS)], heel, forefoot, f"=H{row}-I{row}",
                price / 2, f"=ROUND(K{row}*2,2)", date(2026, 9, 1)])
    formats = {"A": "000000", "F": "0", "J": "0.0", "L": "#,##0.00", "M": "yyyy-mm-dd"}
    formats["E"] = "dd.mmm" if key in DATED else "General"
    for column, number_format in formats.items():
        tab[f"{column}{row}"].number_format = number_format
    part = "xl/worksheets/sheet1.xml"
    stored.append((part, f"J{row}", style["drop"]))
    if key != NO_RESULT:
        stored.append((part, f"L{row}", style["price"].rstrip("0")))


def printed_code(key, code):
    """A GTIN as it stands in its cell: a number but for one that went through a text file."""
    if key == SCIENTIFIC:
        return f"{float(code):.5E}"
    return int(other_check_digit(code) if key == WRONG_DIGIT else code)


def tell(truth, expect, row, sku):
    """The facts of one row, and what must be found in it."""
    style, colour, size, code = sku
    key, name = (style["number"], colour, size), (MAKER, style["number"], style["name"])
    if key in DATED:
        expect.hold_row("size-is-a-date", row, "E", "UK size", text=DATED[key].strftime("%d.%b"), tab=TAB)
        return
    measures = {which: style[which] for which in ("audience", "heel_stack", "forefoot_stack", "drop")}
    truth.style(*name, **measures)
    price = style["price"]
    if key == WRONG_DIGIT:
        expect.hold_cell("gtin-check-digit", row, "F", "EAN", other_check_digit(code), tab=TAB)
        code = ""
    if key == SCIENTIFIC:
        expect.hold_cell("gtin-damaged", row, "F", "EAN", printed_code(key, code), tab=TAB)
        code = ""
    if key == NO_RESULT:
        expect.finding("formula-without-result", row, "L", "RRP", tab=TAB)
        price = ""
    truth.sku(name, colour, "UK", size, gtin=code, quantity=str(PAIRS[row % len(PAIRS)]), price=price)
