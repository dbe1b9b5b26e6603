"""2: a German sheet in Windows-1252: semicolons, decimal commas, thousands points, umlauts, € signs, trade prices."""

from decimal import Decimal

from ranges import facts, say, where, words
from truth import Expect, Truth
from writers import Rows, comma, delimited, table

NAME = "02-german-windows.csv"
MAKER = "Grauwinkel"
COLUMNS = (
    ("Hersteller", "maker"), ("Artikelnummer", "number"), ("Bezeichnung", "name"), ("Geschlecht", "audience"),
    ("Untergrund", "surface"), ("Einsatz", "purpose"), ("Fersenhöhe (mm)", "heel_stack"),
    ("Vorfußhöhe (mm)", "forefoot_stack"), ("Sprengung (mm)", "drop"), ("Gewicht [g]", "mass"),
    ("Gewogen bei", "mass_size"), ("Biegung", "bending"), ("Platte (ja/nein)", "plate"), ("EK netto", "_trade"),
    ("Kartonpreis (12 Paar)", "_carton"), ("UVP", "price"), ("Bemerkung", "notes"),
)
STYLES = table("""
number   | name           | audience | surface | purpose    | heel_stack | forefoot_stack | drop | mass  | mass_size | bending       | plate | price   | notes
GW 2010H | Moränengang    | men      | road    | daily      | 34.5       | 26.5           | 8    | 271.5 | EU 42     | medium        | no    | 139.95  | Für breite Füße auch in Weite H.
GW 2010D | Moränengang    | women    | road    | daily      | 34.5       | 26.5           | 8    | 236.5 | EU 38     | medium        | no    | 139.95  | Für breite Füße auch in Weite H.
GW 2016H | Föhnläufer     | men      | road    | tempo      | 32.5       | 26             | 6.5  | 214   | EU 42     | stiff         | no    | 159.00  | Für schnelle Tage; nicht für den Wald.
GW 2016D | Föhnläufer     | women    | road    | tempo      | 32.5       | 26             | 6.5  | 187.5 | EU 38     | stiff         | no    | 159.00  |
GW 2022U | Süßgras        | unisex   | road    | daily,walk | 18         | 18             | 0    | 193   | EU 42     | very flexible | no    | 119.90  | Einlegesohle „Kork“ im Karton.
GW 2028U | Kärrner        | unisex   | trail   | long       | 36.5       | 32             | 4.5  | 302.5 | EU 42     | stiff         |       | 174.90  |
GW 2034H | Straßenkehrer  | men      | road    | long       | 40         | 32             | 8    | 289   | EU 42     | medium        | no    | 169.95  |
GW 2034D | Straßenkehrer  | women    | road    | long       | 40         | 32             | 8    | 251   | EU 38     | medium        | no    | 169.95  |
GW 2041U | Überholspur    | unisex   | road    | race       | 38.5       | 31             | 7.5  | 196.5 | EU 42     | very stiff    | yes   | 239.00  |
GW 2047U | Meisterstück   | unisex   | road    | race       | 36         | 30             | 6    | 168.5 | EU 42     | very stiff    | yes   | 1049.00 | Von Hand gezwickt, 40 Paar im Jahr.
GW 2053K | Däumling       | youth    | road    | daily      | 23.5       | 18             | 5.5  | 182   | EU 35     | flexible      | no    | 64.95   |
GW 2059H | Querfeld       | men      | trail   | daily      |            |                | 6    | 278   | EU 42     |               |       | 144.95  | Maße folgen.
GW 2059D | Querfeld       | women    | trail   | daily      |            |                | 6    | 240.5 | EU 38     |               |       | 144.95  | Maße folgen.
""")
AUDIENCE = {"men": "Herren", "women": "Damen", "unisex": "Unisex", "youth": "Kinder"}
SURFACE = {"road": "Straße", "trail": "Gelände"}
PURPOSE = {"daily": "Alltag", "tempo": "Tempo", "race": "Wettkampf", "long": "lang", "walk": "Gehen"}
BENDING = {"very flexible": "sehr flexibel", "flexible": "flexibel", "medium": "mittel", "stiff": "steif",
           "very stiff": "sehr steif"}


def euro(text):
    """A price as a German office writes it: 1.049,00 €."""
    return f"{Decimal(text):,.2f}".translate(str.maketrans(",.", ".,")) + " €"


PRINTERS = {
    "heel_stack": comma, "forefoot_stack": comma, "drop": comma, "mass": comma, "audience": words(AUDIENCE),
    "surface": words(SURFACE), "purpose": words(PURPOSE), "bending": words(BENDING),
    "plate": words({"yes": "ja", "no": "nein"}), "price": euro, "_trade": euro, "_carton": euro,
}


def make(folder):
    """Writes the sheet; returns its truth and what to expect."""
    rows, truth = Rows(), Truth()
    rows.add(*(heading for heading, _ in COLUMNS))
    expect = Expect(NAME, "Grauwinkel Schuhe", "full", len(STYLES))
    expect.reading = {"encoding": "windows-1252", "delimiter": ";", "decimal": ","}
    for style in STYLES:
        trade = Decimal(style["price"]) * Decimal("0.45")
        rows.add(*say({**style, "maker": MAKER, "_trade": trade, "_carton": trade * 12}, COLUMNS, PRINTERS))
        facts(truth, style, MAKER)
    expect.leave_out("heading", 1)
    for key in ("_trade", "_carton"):
        expect.finding("heading-left-out", 0, *where(COLUMNS, key))
    (folder / NAME).write_bytes(delimited(rows, ";").encode("cp1252"))
    return truth, expect
