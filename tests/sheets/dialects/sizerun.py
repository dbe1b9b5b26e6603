"""5: a size run: one column a size, pairs in the cells; blank, 0, -, x and 10+ each mean something else."""

from openpyxl import Workbook

from truth import Expect, Truth
from writers import letter, save_xlsx

NAME = "05-size-run.xlsx"
MAKER = "Pellingstad"
TAB = "Stock by size"
SIZES = ("39", "39.5", "40", "40.5", "41", "41.5", "42", "42.5", "43", "44", "45", "46")
FIRST = 3  # the index of the first size column
# article | model | colour | what stands under each size; a dot is an empty cell
RUNS = """
PS-1180 | Tidewrack   | Ink         | .  .  2  3  4  2  1  0   3  2  1  x
PS-1180 | Tidewrack   | Ochre       | .  -  1  0  2  10+ 4 3   2  1  0  -
PS-1180 | Tidewrack   | Kelp / Salt | 1  1  0  0  .  .  2  2   x  x  1  .
PS-1192 | Sandbar     | Ink         | 2  3  4  5  6  6  10+ 10+ 8 7  3  1
PS-1192 | Sandbar     | Chalk       | 0  0  0  0  0  0  0  0   0  0  0  0
PS-1204 | Groyne GT   | Rust        | -  -  -  1  2  2  3  3   1  -  -  -
PS-1204 | Groyne GT   | Mist        | x  x  x  x  x  x  x  x   x  x  x  x
PS-1211 | Lee Shore   | Ember       | .  .  .  .  1  .  1  .   1  .  .  .
PS-1211 | Lee Shore   | Slate       | 3  2  2  3  0  1  12 10+ 4  5  .  x
PS-1226 | Half Tide   | Plum        | 1  .  1  .  1  .  1  .   1  0  0  0
PS-1226 | Half Tide   | Teal        | .  2  .  2  .  2  .  2   .  -  -  -
PS-1240 | Old Harbour | Bark        | 4  4  4  4  4  4  4  4   4  4  4  4
"""
MERGED = "PS-1226"  # its article and model are written once, merged over both colours


def make(folder):
    """Writes the workbook; returns its truth and what to expect."""
    book, truth = Workbook(), Truth()
    tab = book.active
    tab.title = TAB
    expect = Expect(NAME, "Pellingstad", "full", 0, tabs=[TAB])
    expect.answers = {"maker": MAKER, "run_blank": "says nothing", "run_dash": "says nothing",
                      "run_zero": "none", "run_x": "in stock, number unknown"}
    write_headings(tab)
    expect.leave_out("heading", [1, 2], tab=TAB)
    runs = [[cell.strip() for cell in line.split("|")] for line in RUNS.strip().splitlines()]
    for number, name, colour, cells in runs:
        add_run(tab, truth, (MAKER, number, name), colour, cells.split())
    merge_twins(tab)
    expect.data_rows = len(runs)
    tab.append(["Total", None, None, *(column_sum(tab, index) for index in range(FIRST, FIRST + len(SIZES)))])
    expect.leave_out("total", tab.max_row, tab=TAB)
    expect.finding("heading-unknown", 0, letter(FIRST + len(SIZES)), "Total", tab=TAB)
    save_xlsx(book, folder / NAME)
    return truth, expect


def write_headings(tab):
    """A merged group says the system; the labels below it are numbers."""
    tab.append(["Article", "Model", "Colour", "EU sizes", *[None] * (len(SIZES) - 1), "Total"])
    tab.append([None, None, None, *(float(size) if "." in size else int(size) for size in SIZES)])
    tab.merge_cells(start_row=1, end_row=1, start_column=FIRST + 1, end_column=FIRST + len(SIZES))


def add_run(tab, truth, style, colour, cells):
    """One row; a blank and a dash say nothing, so there is no such SKU."""
    assert len(cells) == len(SIZES), cells
    values = [None if cell == "." else int(cell) if cell.isdigit() else cell for cell in cells]
    tab.append([*style[1:], colour, *values, sum(value for value in values if isinstance(value, int))])
    truth.style(*style)
    for size, cell in zip(SIZES, cells):
        if cell not in ".-":
            truth.sku(style, colour, "EU", size, quantity=cell)


def merge_twins(tab):
    """What a merged cell says holds for all its rows."""
    rows = [row for row in range(3, tab.max_row + 1) if tab.cell(row, 1).value == MERGED]
    for column in (1, 2):
        tab.merge_cells(start_row=rows[0], end_row=rows[-1], start_column=column, end_column=column)


def column_sum(tab, index):
    """The total of a size, as the supplier's own program printed it."""
    cells = (tab.cell(row, index + 1).value for row in range(3, 3 + len(RUNS.strip().splitlines())))
    return sum(value for value in cells if isinstance(value, int))
