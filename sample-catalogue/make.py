#!/usr/bin/env python3
"""Makes the four sheets of the invented shop: range.csv, stock.csv, corrections.csv, second-supplier.csv.

Run `python3 make.py` in this folder. Everything is drawn from seeded generators, one a model, so that the
same sheets come out every time and a new model leaves the numbers of the others alone.
"""

import csv
import pathlib
import random
import sys

sys.dont_write_bytecode = True  # leaves nothing beside the sheets
from models import MAKERS, SECOND
from styles import PINNED, SEED, UNPRICED, plain, run, styles_of

HERE = pathlib.Path(__file__).resolve().parent
# Sizes from here to there are called for most; the ends of a run are thin.
POPULAR = {"M": (41, 44.5), "W": (37, 40.5), "U": (38, 44), "Y": (34, 37)}


def main():
    styles = [s for name in MAKERS for s in styles_of(name, MAKERS[name])]
    second = styles_of("Feldrast", SECOND)
    write("range.csv", ",", [range_row(s) for s in styles])
    write("stock.csv", ";", [row for s in styles for row in stock_rows(s, MAKERS[s.maker])])
    write("corrections.csv", ",", corrections({s.key: s for s in styles}))
    write("second-supplier.csv", ";", blemished([row for s in second for row in german_rows(s)]), bom=True)


def range_row(style):
    names = {"Maker": style.maker, "Style number": style.number, "Style name": style.name}
    order = ("For", "Surface", "Use", "Heel stack mm", "Forefoot stack mm", "Drop mm", "Mass g", "Weighed at", "Bending",
             "Plate", "Rocker", "Stability devices", "Liner removable", "Season", "Replaces", "Notes", "Shop note")
    return names | {name: style.cells[name] for name in order}


def stock_rows(style, maker):
    """Every size of every colourway; the wide ones hang in the first colour only."""
    rng = random.Random(f"{SEED}:{style.key}:stock")
    usual, wide = maker.widths[style.letter]
    rows = []
    for index, colour in enumerate(style.colours):
        price = style.price and style.price * (0.8 if style.old or index == 3 else 1)
        for width in [usual] + [wide] * (index == 0 and wide != "" and style.kind in ("daily", "steady", "walk")):
            for label, eu in run(maker.system, style.letter):
                pairs = draw_pairs(rng, style, eu, width == wide != "")
                if index == 0 and width == usual:
                    pairs = style.pairs.get(eu, pairs)
                elif eu in style.pairs:
                    pairs = 0
                rows.append(stock_row(rng, style, (colour, maker.system, label, width), pairs, price))
    return rows


def draw_pairs(rng, style, eu, wide):
    """Pairs of one size: most in the middle of a run, few of last season, none of the style that was followed twice."""
    if style.name == "Marl":
        return 0
    low, high = POPULAR[style.letter]
    chance = 0.78 if low <= eu <= high else 0.5
    chance *= (0.5 if style.old else 1) * (0.5 if wide else 1)
    return rng.choice((1, 1, 1, 2, 2, 3, 4)) if rng.random() < chance else 0


def stock_row(rng, style, sku, pairs, price):
    colour, system, label, width = sku
    priced = price is not None and rng.random() > 0.004
    return {
        "Brand": style.maker, "Article no.": style.number, "Model": style.name, "Colourway": colour,
        "Size system": system.split()[0], "Size": label.replace(".", ","), "Width": width,
        "EAN": gtin(style.key, colour, label, width) if rng.random() > 0.02 else "",
        "Qty": "x" if pairs and rng.random() < 0.008 else str(pairs),
        "RRP EUR": euros(price) if priced else "",
        "Bay": style.place,
    }


def gtin(*what):
    """A restricted circulation number (first digits 20 to 29: a shop's own use), so that no real code is hit."""
    body = "2" + str(random.Random(f"{SEED}:{what}").randrange(10**11)).zfill(11)
    total = sum(int(digit) * (3 if i % 2 else 1) for i, digit in enumerate(body))
    return body + str(-total % 10)


def corrections(styles):
    """A partial range sheet: cells left empty say nothing. Changes, filled holes, a retired style, one contradiction."""
    no_bending = [s for s in styles.values() if not s.cells["Bending"] and s.kind == "daily" and s.key not in PINNED]
    no_forefoot = [s for s in styles.values() if s.cells["Heel stack mm"] and not s.cells["Forefoot stack mm"]]
    changes = {
        "fennick.fm-110": {"Status": "retired"},
        "fennick.fm-610": {"Mass g": "224", "Weighed at": "EU 42"},
        "quillmark.q-524-w": {"Heel stack mm": "36", "Forefoot stack mm": "26", "Drop mm": "8"},
        "tarrowby.tb1275m": {"Mass g": "221", "Weighed at": "EU 42"},
        UNPRICED[0]: {"Price EUR": "145.00"},
        UNPRICED[1]: {"Price EUR": "149.90"},
    }
    for style, word in zip(no_bending, ("medium", "flexible", "medium", "stiff")):
        changes[style.key] = {"Bending": word}
    for style in no_forefoot[:3]:
        drop = float(style.cells["Drop mm"] or 6)
        changes[style.key] = {"Forefoot stack mm": plain(float(style.cells["Heel stack mm"]) - drop)}
    columns = ("Heel stack mm", "Forefoot stack mm", "Drop mm", "Mass g", "Weighed at", "Bending", "Price EUR", "Status")
    return [
        {"Maker": styles[key].maker, "Style number": styles[key].number} | dict.fromkeys(columns, "") | cells
        for key, cells in changes.items()
    ]


GERMAN = {
    "men": "Herren", "women": "Damen", "road": "Straße", "trail": "Gelände", "daily": "Alltag", "long": "lang",
    "tempo": "Tempo", "walk": "Gehen", "yes": "ja", "no": "nein", "": "", "very flexible": "sehr biegsam",
    "flexible": "biegsam", "medium": "mittel", "stiff": "steif", "very stiff": "sehr steif",
}


def german_rows(style):
    """A row a size, the style's cells said again on each, as many suppliers send them."""
    cells, rng = style.cells, random.Random(f"{SEED}:{style.key}:stock")
    head = {
        "Marke": style.maker, "Artikelnummer": style.number, "Modell": style.name, "Geschlecht": german(cells["For"]),
        "Untergrund": german(cells["Surface"]), "Einsatz": german(cells["Use"]),
        "Fersenhöhe (mm)": comma(cells["Heel stack mm"]), "Vorfußhöhe (mm)": comma(cells["Forefoot stack mm"]),
        "Sprengung (mm)": comma(cells["Drop mm"]), "Gewicht (g)": cells["Mass g"], "Gewogen bei": cells["Weighed at"],
        "Biegung": german(cells["Bending"]), "Platte ja/nein": german(cells["Plate"]),
    }
    colour = style.colours[0]
    return [head | {
        "Farbe": colour, "Größe (EU)": comma(label), "EAN": gtin(style.key, colour, label, ""),
        "Bestand": str(draw_pairs(rng, style, eu, False)), "UVP (€)": euros(style.price),
        "EK netto (€)": euros(round(style.price * 0.46, 2)), "Regalplatz": style.place,
    } for label, eu in run("EU", style.letter)]


def german(text):
    return ", ".join(GERMAN[word] for word in text.split("; "))


def blemished(rows):
    """Four faults, one of a kind, that the preview should point at."""
    rows[3]["EAN"] = rows[3]["EAN"][:-1] + str((int(rows[3]["EAN"][-1]) + 5) % 10)
    rows[20]["Bestand"] = "-2"
    rows[41]["UVP (€)"] = "a. A."
    rows.insert(60, dict(rows[59]))
    return rows


def comma(text):
    return text.replace(".", ",")


def euros(price):
    return f"{price:.2f}".replace(".", ",")


def write(name, separator, rows, bom=False):
    """UTF-8; with a byte order mark and CRLF where a spreadsheet would have saved it so."""
    with open(HERE / name, "w", encoding="utf-8-sig" if bom else "utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys(), delimiter=separator, lineterminator="\r\n" if bom else "\n")
        writer.writeheader()
        writer.writerows(rows)


if __name__ == "__main__":
    main()
