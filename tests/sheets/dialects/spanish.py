"""10: a Spanish sheet in Latin-1: grams and ounces in one column, numbers in the wrong unit, and a column with two decimal marks."""

from ranges import facts, say, where, words
from truth import Expect, Truth
from writers import Rows, comma, delimited, table

NAME = "10-spanish-mixed.csv"
MAKER = "Sendalar"
COLUMNS = (
    ("Marca", "maker"), ("Referencia", "number"), ("Modelo", "name"), ("Género", "audience"), ("Terreno", "surface"),
    ("Altura talón (mm)", "heel_stack"), ("Altura antepié (mm)", "forefoot_stack"), ("Caída (mm)", "drop"),
    ("Peso", "mass"), ("Flexibilidad", "bending"), ("Compresión (N/mm)", "_compression"), ("Placa", "plate"),
    ("PVP", "price"), ("Temporada", "season"), ("Observaciones", "notes"),
)
STYLES = table("""
number | name      | audience | surface | heel_stack | forefoot_stack | drop | mass    | bending       | _compression | plate | price  | season | notes
SD-501 | Cañada    | men      | road    | 33.5       | 25.5           | 8    | 265 g   | medium        | 101,5        | no    | 134.95 | OI26   |
SD-502 | Cañada    | women    | road    | 33.5       | 25.5           | 8    | 8.1 oz  | medium        | 98,5         | no    | 134.95 | OI26   |
SD-510 | Pedregal  | men      | trail   | 31         | 26             | 5    | 10.6 oz | stiff         | 1.234        |       | 149.50 | OI26   | Suela más dura, lluvia y barro.
SD-511 | Pedregal  | women    | trail   | 31         | 26             | 5    | 263 g   | stiff         | 1.234        |       | 149.50 | OI26   |
SD-518 | Llanura   | unisex   | road    | 39         | 31             | 8    | 9.4 oz  | medium        |              | no    | 169.95 | OI26   |
SD-524 | Relámpago | unisex   | road    | 38         | 31             | 7    | 0.28 g  | very stiff    | 87,5         | yes   | 239.00 | OI26   |
SD-530 | Vereda    | unisex   | road    | 2.6        | 2.2            | 4    | 212,5 g | flexible      | 92,5         | no    | 114.95 | PV27   | Muñequera de regalo.
SD-536 | Descalzo  | unisex   | road    | 11         | 11             | 0    | 6.3 oz  | very flexible |              | no    | 99.95  | PV27   |
SD-542 | Cumbre    | men      | trail   | 36         | 32             | 4    | 311 g   | stiff         |              |       | 179.00 | PV27   |
SD-543 | Cumbre    | women    | trail   | 36         | 32             | 4    | 9.7 oz  | stiff         |              |       | 179.00 | PV27   |
SD-550 | Ribera    | women    | road    | 29.5       | 23             | 6.5  | 0.5 lb  | flexible      | 79,5         | no    | 124.95 | PV27   |
SD-557 | Chispa    | youth    | road    | 24         | 18             | 6    | 184 g   | flexible      |              | no    | 59.95  | PV27   |
""")
PRINTERS = {
    "audience": words({"men": "Hombre", "women": "Mujer", "unisex": "Unisex", "youth": "Niños"}),
    "surface": words({"road": "asfalto", "trail": "montaña"}),
    "bending": words({"very flexible": "muy flexible", "flexible": "flexible", "medium": "media", "stiff": "rígida",
                      "very stiff": "muy rígida"}),
    "plate": words({"yes": "sí", "no": "no"}),
    "heel_stack": comma, "forefoot_stack": comma, "drop": comma, "mass": comma, "price": comma,
}
SLIPS = {"SD-524": ("mass",), "SD-530": ("heel_stack", "forefoot_stack")}


def make(folder):
    """Writes the sheet; returns its truth and what to expect."""
    rows, truth = Rows(), Truth()
    rows.add(*(heading for heading, _ in COLUMNS))
    expect = Expect(NAME, "Sendalar", "full", len(STYLES))
    expect.reading = {"encoding": "windows-1252", "delimiter": ";", "decimal": ","}
    expect.leave_out("heading", 1)
    for style in STYLES:
        printed = say({**style, "maker": MAKER}, COLUMNS, PRINTERS)
        row = rows.add(*printed)
        slips = SLIPS.get(style["number"], ())
        facts(truth, {**style, "mass": style["mass"].replace(",", ".")}, MAKER, but=slips)
        for key in slips:
            letter, heading = where(COLUMNS, key)
            expect.hold_cell("unlikely-scale", row, letter, heading, comma(style[key]))
    refuse_compression(rows, expect)
    (folder / NAME).write_bytes(delimited(rows, ";").encode("iso-8859-1"))
    return truth, expect


def refuse_compression(rows, expect):
    """A comma and one digit here, a point and three there: 1.234 may be a thousand or little more than one."""
    letter, heading = where(COLUMNS, "_compression")
    index = ord(letter) - ord("A")
    expect.finding("decimal-mark-ambiguous", 0, letter, heading)
    expect.cells_held += [{"row": row, "column": letter} for row, cells in enumerate(rows, 1) if row > 1 and cells[index]]
