"""7: an American list in UTF-16 with tabs: ounces with the size they were weighed at, stacks as pairs, inches, dollars, widths."""

from measures import gtin
from truth import Expect, Truth
from writers import Rows, delimited, table

NAME = "07-us-inches.tsv"
MAKER = "Palgrove"
HEADINGS = ("Brand", "Style #", "Style Name", "Gender", "Terrain", "Stack (heel-forefoot)", "Drop", "Weight", "Flex",
            "Color", "Size (US Men's)", "Width", "UPC", "On Hand", "MSRP")
# Measures are printed as they stand here; heel, forefoot and drop each name their unit.
STYLES = table("""
number | name         | audience | surface | stack        | heel    | forefoot | printed  | drop    | weight        | mass   | mass_size | bending  | price
PG-88  | Chinkapin    | men      | road    | 32-24 mm     | 32 mm   | 24 mm    | 8mm drop | 8 mm    | 9.4 oz (US 9) | 9.4 oz | US 9      | medium   | 140.00
PG-90  | Sweetgum     | men      | road    | 37-31 mm     | 37 mm   | 31 mm    | 6mm drop | 6 mm    | 10.1 oz (US 9) | 10.1 oz | US 9    | stiff    | 165.00
PG-93  | Switchgrass  | unisex   | trail   | 1.25-1.05 in | 1.25 in | 1.05 in  | 0.2 in   | 0.2 in  | 10.75 oz (US 9) | 10.75 oz | US 9  | stiff    | 150.00
PG-97  | Barefoot Ash | unisex   | road    | 0.5-0.5 in   | 0.5 in  | 0.5 in   | 0 mm     | 0 mm    | 6.3oz (US 9)  | 6.3 oz | US 9      | flexible | 120.00
PG-99  | Long Hollow  | men      | road    | 41-33 mm     | 41 mm   | 33 mm    | 8 mm     | 8 mm    | 0.66 lb (US 10) | 0.66 lb | US 10   |          | 180.00
""")
GENDER = {"men": "Men's", "unisex": "Unisex"}
COLOURS = {"PG-88": "Navy / Bone", "PG-90": "Charcoal", "PG-93": "Moss", "PG-97": "Sand", "PG-99": "Brick"}
SIZES = (("8", "D"), ("8.5", "D"), ("9", "D"), ("9", "2E"), ("9.5", "D"), ("10", "2E"), ("10", "4E"))
PAIRS = ("3", "0", "2", "1", "10+", "4", "1", "0", "2")


def make(folder):
    """Writes the sheet; returns its truth and what to expect."""
    rows, truth = Rows(), Truth()
    rows.add(*HEADINGS)
    expect = Expect(NAME, "Palgrove", "full", len(STYLES) * len(SIZES))
    expect.reading = {"encoding": "UTF-16LE with byte order mark", "delimiter": "\t", "decimal": "."}
    expect.leave_out("heading", 1)
    for style in STYLES:
        for size, width in SIZES:
            add_size(rows, truth, style, size, width)
    prices = range(2, len(rows) + 1)
    expect.finding("currency-differs", prices, "O", "MSRP")
    expect.cells_held = [{"row": row, "column": "O"} for row in prices]
    (folder / NAME).write_bytes(b"\xff\xfe" + delimited(rows, "\t").encode("utf-16-le"))
    return truth, expect


def add_size(rows, truth, style, size, width):
    """One row and its facts. The price is in dollars, which no shop in euros can take for euros."""
    number, name = style["number"], style["name"]
    code = gtin(f"04410{len(rows):05}00")
    pairs, colour = PAIRS[len(rows) % len(PAIRS)], COLOURS[number]
    rows.add(MAKER, number, name, GENDER[style["audience"]], style["surface"].title(), style["stack"], style["printed"],
             style["weight"], style["bending"].title(), colour, size, width, code[1:], pairs, "$" + style["price"])
    truth.style(MAKER, number, name, audience=style["audience"], surface=style["surface"], heel_stack=style["heel"],
                forefoot_stack=style["forefoot"], drop=style["drop"], mass=style["mass"], mass_size=style["mass_size"],
                bending=style["bending"])
    truth.sku((MAKER, number, name), colour, "US", size, width, gtin=code, quantity=pairs)
