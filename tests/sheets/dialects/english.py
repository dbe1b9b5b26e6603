"""1: a plain English sheet, comma, UTF-8. The one that must simply work."""

from ranges import facts, say, where
from truth import Expect, Truth
from writers import Rows, delimited, table

NAME = "01-english-plain.csv"
MAKER = "Kestmoor"
COLUMNS = (
    ("Brand", "maker"), ("Style No", "number"), ("Style Name", "name"), ("Gender", "audience"),
    ("Surface", "surface"), ("Use", "purpose"), ("Heel Stack (mm)", "heel_stack"),
    ("Forefoot Stack (mm)", "forefoot_stack"), ("Drop (mm)", "drop"), ("Weight (g)", "mass"),
    ("Weighed At", "mass_size"), ("Flexibility", "bending"), ("Plate", "plate"), ("Rocker", "rocker"),
    ("RRP", "price"), ("Season", "season"), ("Notes", "notes"),
)
STYLES = table("""
maker    | number | name       | audience | surface    | purpose    | heel_stack | forefoot_stack | drop | mass  | mass_size | bending       | plate | rocker | price  | season | notes
Kestmoor | KM-101M | Wicket    | men      | road       | daily      | 34         | 26             | 8    | 268   | EU 42     | medium        | no    | no     | 139.95 | AW26   | Knit upper, one piece.
Kestmoor | KM-101W | Wicket    | women    | road       | daily      | 34         | 26             | 8    | 231   | EU 38     | medium        | no    | no     | 139.95 | AW26   | Knit upper, one piece.
Kestmoor | KM-114M | Wicket 2  | men      | road       | daily      | 35.5       | 27.5           | 8    | 262.5 | EU 42     | medium        | no    | no     | 149.95 | SS27   | Follows Wicket; roomier toe box.
Kestmoor | KM-120U | Lintel    | unisex   | road,track | tempo,race | 37         | 31             | 6    | 198   | EU 42     | stiff         | yes   | yes    | 229.00 | AW26   |
Kestmoor | KM-126M | Sill      | men      | road       | daily,walk | 20         | 20             | 0    | 212   | EU 42     | very flexible | no    | no     | 119.95 | AW26   | "Thin" in our brochure.
Kestmoor | KM-126W | Sill      | women    | road       | daily,walk | 20         | 20             | 0    | 184   | EU 38     | very flexible | no    | no     | 119.95 | AW26   |
Kestmoor | KM-131M | Gantry    | men      | trail      | long       | 36         | 32             | 4    | 311   | EU 42     | stiff         |       | yes    | 174.95 | AW26   | Lugs 4 mm.
Kestmoor | KM-131W | Gantry    | women    | trail      | long       | 36         | 32             | 4    | 274   | EU 38     | stiff         |       | yes    | 174.95 | AW26   |
Kestmoor | KM-140M | Purlin    | men      | road       | daily,long | 39         | 31             | 10   | 288   | EU 42     | medium        | no    | yes    | 164.95 | AW26   |
Kestmoor | KM-140W | Purlin    | women    | road       | daily,long | 39         | 31             | 8    | 249   | EU 38     | medium        | no    | yes    | 164.95 | AW26   |
Kestmoor | KM-152U | Dado      | unisex   | track      | race       | 18         | 14             | 4    | 141   | EU 42     | very stiff    | yes   | no     | 149.00 | AW26   |
Kestmoor | KM-158Y | Corbel    | youth    | road       | daily      | 24         | 18             |      | 188   | EU 36     | flexible      | no    | no     | 69.95  | AW26   |
Kestmoor | KM-163M | Soffit    | men      | road       | long       | 41         |                | 6    |       |           |               |       | yes    | 179.95 | SS27   | Forefoot not measured yet.
Kestmoor | KM-170W | Transom   | women    | road,trail | daily      | 31.5       | 25.5           | 6    | 243   | EU 38     | flexible      | no    | no     |        | SS27   |
""")
PRINTERS = {"purpose": lambda text: text.replace(",", "; "), "surface": lambda text: text.replace(",", "/")}


def make(folder):
    """Writes the sheet; returns its truth and what to expect."""
    rows, truth = Rows(), Truth()
    rows.add(*(heading for heading, _ in COLUMNS))
    expect = Expect(NAME, "Kestmoor", "full", len(STYLES))
    expect.reading = {"encoding": "UTF-8", "delimiter": ",", "decimal": "."}
    for style in STYLES:
        row = rows.add(*say(style, COLUMNS, PRINTERS))
        facts(truth, style, MAKER)
        if style["number"] == "KM-140M":
            expect.finding("drop-disagrees", row, *where(COLUMNS, "drop"), text="10")
    expect.leave_out("heading", 1)
    (folder / NAME).write_bytes(delimited(rows, ",").encode("utf-8"))
    return truth, expect
