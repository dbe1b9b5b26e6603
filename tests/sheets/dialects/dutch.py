"""8: a Dutch text file with bars and padding: both stacks in one column, a stiffness of no kind, styles that were retired."""

from ranges import facts, say, where, words
from truth import Expect, Truth
from writers import Rows, comma, table

NAME = "08-dutch-bars.txt"
MAKER = "Rietgors"
COLUMNS = (
    ("Merk", "maker"), ("Artikelnr.", "number"), ("Model", "name"), ("Doelgroep", "audience"), ("Ondergrond", "surface"),
    ("Gebruik", "purpose"), ("Zoolhoogte hiel/voorvoet (mm)", "_stacks"), ("Drop (mm)", "drop"), ("Gewicht (g)", "mass"),
    ("Gewogen maat", "mass_size"), ("Stijfheid", "bending"), ("Seizoen", "season"), ("Vervangt", "replaces"),
    ("Status", "status"), ("Adviesprijs", "price"), ("Opmerking", "notes"),
)
STYLES = table("""
number  | name       | audience | surface | purpose    | heel_stack | forefoot_stack | drop | mass  | mass_size | bending       | season | replaces | status  | price  | notes
RG 3001 | Polderweg  | men      | road    | daily      | 32         | 24             | 8    | 266   | EU 42     | medium        | HW26   |          | current | 129.95 |
RG 3002 | Polderweg  | women    | road    | daily      | 32         | 24             | 8    | 233.5 | EU 38     | medium        | HW26   |          | current | 129.95 |
RG 2801 | Dijkloper  | men      | road    | daily      | 33         | 23             | 10   | 281   | EU 42     | stiff         | VZ25   |          | retired | 119.95 | Op = op.
RG 2802 | Dijkloper  | women    | road    | daily      | 33         | 23             | 10   | 246   | EU 38     | stiff         | VZ25   |          | retired | 119.95 | Op = op.
RG 3011 | Dijkloper 2 | men     | road    | daily      | 34.5       | 26.5           | 8    | 274   | EU 42     | medium        | HW26   | RG 2801  | current | 139.95 | Leest ongewijzigd.
RG 3012 | Dijkloper 2 | women   | road    | daily      | 34.5       | 26.5           | 8    | 240   | EU 38     | medium        | HW26   | RG 2802  | current | 139.95 | Leest ongewijzigd.
RG 3020 | Wadpier    | unisex   | road    | walk       | 14         | 14             | 0    | 181.5 | EU 42     | very flexible | HW26   |          | current | 109.95 | Tweeënhalve millimeter profiel.
RG 3027 | Stuifzand  | unisex   | trail   | long,daily | 35         | 31             | 4    | 304   | EU 42     | stiff         | HW26   |          | current | 169.95 |
RG 3033 | Kopwind    | unisex   | road    | race       | 39         | 31             | 8    | 199   | EU 42     | very stiff    | HW26   |          | current | 249.95 |
RG 3039 | Meewind    | men      | road    | tempo      | 31         | 25             | 6    | 221   | EU 42     | stiff         | HW26   |          | current | 154.95 |
RG 3040 | Meewind    | women    | road    | tempo      | 31         | 25             | 6    | 192.5 | EU 38     | stiff         | HW26   |          | current | 154.95 |
RG 2633 | Zijwind    | unisex   | track   | race       | 18         | 14             | 4    | 139   | EU 42     | very stiff    | VZ24   |          | retired | 99.95  |
RG 3050 | Kikkersloot | youth   | road    | daily      | 23         | 18             | 5    | 178   | EU 34     | flexible      | HW26   |          | current | 59.95  | Klittenband.
""")
STIFFNESS = {"very flexible": "1", "flexible": "2", "medium": "3", "stiff": "4", "very stiff": "5"}
PRINTERS = {
    "audience": words({"men": "heren", "women": "dames", "unisex": "unisex", "youth": "kinderen"}),
    "surface": words({"road": "weg", "trail": "onverhard", "track": "baan"}),
    "purpose": words({"daily": "dagelijks", "walk": "wandelen", "race": "wedstrijd", "tempo": "tempo", "long": "lang"}),
    "status": words({"current": "leverbaar", "retired": "uit collectie"}),
    "bending": words(STIFFNESS), "drop": comma, "mass": comma, "price": comma,
}
CANONICAL_ORDER = {"long,daily": "daily,long"}


def make(folder):
    """Writes the sheet; returns its truth and what to expect."""
    rows, truth = Rows(), Truth()
    rows.add(*(heading for heading, _ in COLUMNS))
    expect = Expect(NAME, "Rietgors", "full", len(STYLES))
    expect.reading = {"encoding": "UTF-8", "delimiter": "|", "decimal": ","}
    expect.answers = {"stiffness": "bending"}
    expect.leave_out("heading", 1)
    for style in STYLES:
        rows.add(*say({**style, "maker": MAKER, "_stacks": stacks(style)}, COLUMNS, PRINTERS))
        purpose = style["purpose"]
        facts(truth, {**style, "purpose": CANONICAL_ORDER.get(purpose, purpose)}, MAKER)
    expect.finding("kind-unknown", 0, *where(COLUMNS, "bending"), until="stiffness")
    (folder / NAME).write_bytes(padded(rows).encode("utf-8"))
    return truth, expect


def stacks(style):
    """Heel and forefoot as this supplier writes them: 34,5/26,5."""
    return comma(f"{style['heel_stack']}/{style['forefoot_stack']}")


def padded(rows):
    """Columns padded to one width, with bars between them and none outside."""
    widths = [max(len(row[index]) for row in rows) for index in range(len(rows[0]))]
    lines = (" | ".join(cell.ljust(width) for cell, width in zip(row, widths)).rstrip(" ") for row in rows)
    return "\r\n".join(lines) + "\r\n"
