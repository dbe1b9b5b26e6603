"""3: a French sheet, a row a size: UTF-8 with its mark, headings on two lines, units on a third, thirds of sizes."""

from measures import gtin
from ranges import words
from truth import Expect, Truth
from writers import Rows, comma, delimited, table

NAME = "03-french-units-row.csv"
MAKER = "Varnoise"
HEADINGS = (
    ("Référence", "Modèle", "Genre", "Terrain", "Coloris", "Pointure EU", "Épaisseur de semelle", "", "Drop",
     "Poids", "Taille pesée", "Code EAN", "Quantité", "Prix public"),
    ("", "", "", "", "", "", "Talon", "Avant-pied", "", "", "", "", "", ""),
    ("", "", "", "", "", "", "mm", "mm", "mm", "g", "", "", "paires", "€"),
)
STYLES = table("""
number | name      | audience | surface | heel_stack | forefoot_stack | drop | mass  | mass_size | price  | colours
VN310  | Galet     | men      | road    | 33.5       | 25.5           | 8    | 264.5 | EU 42     | 139.90 | Ardoise, Brique
VN311  | Galet     | women    | road    | 33.5       | 25.5           | 8    | 229   | EU 38     | 139.90 | Ardoise, Églantine
VN318  | Tourbière | unisex   | trail   | 31         | 26.5           | 4.5  | 287   | EU 42     | 154.50 | Forêt
VN326  | Grève     | unisex   | road    | 22         | 18             | 4    | 201.5 | EU 42     | 124.90 | Sable / Nuit
""")
AUDIENCE = {"men": "Homme", "women": "Femme", "unisex": "Mixte"}
# The label as it is, and as this supplier's three clerks write it.
MENS = (("41 1/3", "41 1/3"), ("42", "42"), ("42 2/3", "42⅔"), ("43 1/3", "43⅓"), ("44", "44"), ("44 2/3", "44 2/3"))
WOMENS = (("37 1/3", "37⅓"), ("38", "38"), ("38 2/3", "38 2/3"), ("39 1/3", "39 1/3"), ("40", "40"))
PAIRS = ("2", "3", "0", "1", "10+", "4", "x", "", "5", "12", "0", "6")


def make(folder):
    """Writes the sheet; returns its truth and what to expect."""
    rows, truth = Rows(HEADINGS), Truth()
    expect = Expect(NAME, "Varnoise", "full", 0)
    expect.reading = {"encoding": "UTF-8 with byte order mark", "delimiter": ";", "decimal": ","}
    expect.answers = {"maker": MAKER}
    expect.leave_out("heading", [1, 2])
    expect.leave_out("units", 3)
    serial = 0
    for style in STYLES:
        for colour in style["colours"].split(", "):
            for size in WOMENS if style["audience"] == "women" else MENS:
                serial += 1
                add_size(rows, truth, style, colour, size, serial)
    say_otherwise(rows, truth, expect)
    expect.data_rows = len(rows) - len(HEADINGS)
    (folder / NAME).write_bytes(delimited(rows, ";").encode("utf-8-sig"))
    return truth, expect


def add_size(rows, truth, style, colour, size, serial):
    """One row and its facts."""
    label, printed = size
    code, pairs = gtin(f"2003100{serial:05}"), PAIRS[serial % len(PAIRS)]
    rows.add(
        style["number"], style["name"], AUDIENCE[style["audience"]], words({"road": "route", "trail": "sentier"})(style["surface"]),
        colour, printed, comma(style["heel_stack"]), comma(style["forefoot_stack"]), comma(style["drop"]),
        comma(style["mass"]), style["mass_size"], code, pairs, comma(style["price"]),
    )
    measures = {key: style[key] for key in ("audience", "surface", "heel_stack", "forefoot_stack", "drop", "mass", "mass_size")}
    truth.style(MAKER, style["number"], style["name"], **measures)
    truth.sku((MAKER, style["number"], style["name"]), colour, "EU", label, gtin=code, quantity=pairs, price=style["price"])


def say_otherwise(rows, truth, expect):
    """The last row of the trail shoe states another drop than its other rows: nobody can know which is right."""
    last = max(index for index, cells in enumerate(rows) if cells[0] == "VN318")
    rows[last][8] = "6"
    truth.forget("style", "VN318", "drop")
    expect.hold_cell("cells-differ", last + 1, "I", "Drop", "6")
