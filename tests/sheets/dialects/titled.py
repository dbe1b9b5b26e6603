"""4: a workbook with titles, merged group headings, sections, a total, notes, hidden rows, a hidden tab, and stock in a second tab."""

from decimal import Decimal

from openpyxl import Workbook
from openpyxl.styles import Font

from ranges import facts
from truth import Expect, Truth
from writers import save_xlsx, table

NAME = "04-titles-and-tabs.xlsx"
MAKER = "Loxhale"
RANGE, STOCK, COSTS = "Range AW26", "Stock", "Landed costs"
KEYS = ("number", "name", "audience", "heel_stack", "forefoot_stack", "drop", "mass", "bending", "plate", "price")
TITLES = ("Loxhale Running", "Range and recommended prices, autumn 2026", "Issued 14 August 2026, replaces all earlier lists")
SECTIONS = (
    ("ROAD: EVERY DAY", """
number | name      | audience | heel_stack | forefoot_stack | drop | mass | bending  | plate | price
LX204M | Pantile   | men      | 35         | 27             | 8    | 276  | medium   | no    | 149.95
LX204W | Pantile   | women    | 35         | 27             | 8    | 238  | medium   | no    | 149.95
LX210M | Shingle   | men      | 30.5       | 24.5           | 6    | 248  | flexible | no    | 134.95
LX210W | Shingle   | women    | 30.5       | 24.5           | 6    | 214  | flexible | no    | 134.95
LX216U | Thatch    | unisex   | 21         | 18             | 3    | 202  | flexible | no    | 119.95"""),
    ("ROAD: FAST", """
number | name      | audience | heel_stack | forefoot_stack | drop | mass | bending    | plate | price
LX302U | Ridgeline | unisex   | 38.5       | 31             | 7.5  | 193  | very stiff | yes   | 239
LX308M | Dormer    | men      | 33         | 27             | 6    | 219  | stiff      | no    | 164.95
LX308W | Dormer    | women    | 33         | 27             | 6    | 190  | stiff      | no    | 164.95"""),
    ("OFF THE ROAD", """
number | name       | audience | heel_stack | forefoot_stack | drop | mass | bending | plate | price
LX402M | Scree Run  | men      | 32         | 27             | 5    | 296  | medium  |       | 159.95
LX402W | Scree Run  | women    | 32         | 27             | 5    | 259  | medium  |       | 159.95
LX409U | Long Fell  | unisex   | 38         | 33             | 5    | 318  | stiff   |       | 184.95"""),
)
WITHDRAWN = table("""
number | name    | audience | heel_stack | forefoot_stack | drop | mass | bending | plate | price
LX190M | Gable   | men      | 33         | 23             | 10   | 291  | medium  | no    | 129.95
LX190W | Gable   | women    | 33         | 23             | 10   | 253  | medium  | no    | 129.95
""")
COLOURS = {"LX204M": "Slate", "LX204W": "Slate", "LX210M": "Moss", "LX302U": "Ember / Ink", "LX402M": "Pine"}
PAIRS = (2, 0, 3, 1, 5, 4, 1, 0, 2, 6)


def make(folder):
    """Writes the workbook; returns its truth and what to expect."""
    book, truth = Workbook(), Truth()
    expect = Expect(NAME, "Loxhale", "full", 0, tabs=[RANGE, STOCK], hidden_tabs=[COSTS])
    expect.answers = {"maker": MAKER}
    styles = write_range(book.active, truth, expect)
    write_stock(book.create_sheet(STOCK), truth, expect, styles)
    hidden = book.create_sheet(COSTS)
    hidden.append(["Style code", "Weight (g)", "Landed cost"])
    hidden.append(["LX204M", 999, 41.2])
    hidden.sheet_state = "hidden"
    expect.finding("tab-hidden", 0, tab=COSTS)
    save_xlsx(book, folder / NAME)
    return truth, expect


def write_range(tab, truth, expect):
    """Titles, two lines of headings, sections of styles, two hidden rows, a total and notes."""
    tab.title = RANGE
    for title in TITLES:
        tab.append([title])
        tab.merge_cells(start_row=tab.max_row, end_row=tab.max_row, start_column=1, end_column=len(KEYS))
    tab["A1"].font = Font(bold=True, size=16)
    write_headings(tab)
    expect.leave_out("title", [1, 2, 3], tab=RANGE)
    expect.leave_out("heading", [4, 5], tab=RANGE)
    styles = {}
    for section, text in SECTIONS:
        tab.append([section])
        tab.merge_cells(start_row=tab.max_row, end_row=tab.max_row, start_column=1, end_column=len(KEYS))
        expect.leave_out("section", tab.max_row, tab=RANGE, text=section)
        for style in table(text):
            styles[style["number"]] = style
            add_style(tab, style)
            facts(truth, style, MAKER)
            expect.data_rows += 1
    hide_withdrawn(tab, expect)
    write_foot(tab, expect, styles)
    return styles


def write_headings(tab):
    """A merged group over heel and forefoot; every other heading spans both lines."""
    tab.append(["Style code", "Style", "For", "Stack height (mm)", None, "Drop (mm)", "Weight (g)", "Flex", "Plate", "RRP (EUR)"])
    tab.append([None, None, None, "Heel", "Forefoot"])
    tab.merge_cells("D4:E4")
    for letter in "ABCFGHIJ":
        tab.merge_cells(f"{letter}4:{letter}5")


def add_style(tab, style):
    """Measures and prices are numbers in the workbook."""
    numbers = ("heel_stack", "forefoot_stack", "drop", "mass", "price")
    tab.append([(float(style[key]) if key in numbers else style[key]) if style[key] else None for key in KEYS])
    tab.cell(tab.max_row, KEYS.index("price") + 1).number_format = "#,##0.00"


def hide_withdrawn(tab, expect):
    """Two styles that the supplier took back by hiding their rows."""
    for style in WITHDRAWN:
        add_style(tab, style)
        tab.row_dimensions[tab.max_row].hidden = True
    rows = [tab.max_row - 1, tab.max_row]
    expect.leave_out("hidden", rows, tab=RANGE)
    expect.finding("row-hidden", rows, tab=RANGE)


def write_foot(tab, expect, styles):
    """A total that looks like data, and notes below it."""
    total = float(sum(Decimal(style["price"]) for style in styles.values()))
    tab.append(["Total", f"{len(styles)} styles", None, None, None, None, None, None, None, total])
    expect.leave_out("total", tab.max_row, tab=RANGE)
    tab.append([])
    for note in ("* Weights are of one shoe.", "Prices include VAT and hold until 31 January 2027."):
        tab.append([note])
        expect.leave_out("note", tab.max_row, tab=RANGE)


def write_stock(tab, truth, expect, styles):
    """A row a size, joined by style code alone; one code is of a hidden row, one of nothing."""
    tab.append(["Style code", "Colour", "EU size", "Pairs"])
    expect.leave_out("heading", 1, tab=STOCK)
    for number, colour in COLOURS.items():
        first = 37 if number.endswith("W") else 41
        for step in range(6):
            size, pairs = first + step / 2, PAIRS[(step * 3 + len(colour)) % len(PAIRS)]
            tab.append([number, colour, size, pairs])
            truth.sku((MAKER, number, styles[number]["name"]), colour, "EU", f"{size:g}", quantity=str(pairs))
    for number in ("LX190M", "LX999U"):
        tab.append([number, "Slate", 42, 1])
        expect.hold_row("style-unknown", tab.max_row, "A", "Style code", text=number, tab=STOCK)
    expect.data_rows += tab.max_row - 1
