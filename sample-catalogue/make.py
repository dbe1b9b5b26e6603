#!/usr/bin/env python3
"""Makes the four sheets of the invented shop: range.csv, stock.csv, corrections.csv, second-supplier.csv.

Run `python3 make.py` in this folder. Everything is drawn from seeded generators, one a model, so that the
same sheets come out every time and a new model leaves the numbers of the others alone.
"""

import csv
import pathlib
import random
import sys
from dataclasses import dataclass, field

sys.dont_write_bytecode = True  # leaves nothing beside the sheets
from models import COLOURS, KINDS, MAKERS, NOTES, SECOND, SHOP_NOTES

SEED = "lastbench sample 1"
HERE = pathlib.Path(__file__).resolve().parent
AUDIENCE = {"M": "men", "W": "women", "U": "unisex", "Y": "youth"}
BENDING = ("", "very flexible", "flexible", "medium", "stiff", "very stiff")
# Sizes from here to there are called for most; the ends of a run are thin.
POPULAR = {"M": (41, 44.5), "W": (37, 40.5), "U": (38, 44), "Y": (34, 37)}

# What the pictures and the runners rest on, by style key: the cells a seed would otherwise draw.
PINNED = {
    "fennick.fm-310": dict(bending="", price=139, place="C4", shop_note="", pairs={42.5: 2, 43: 1}),
    "orrelby.or-4110-m": dict(bending="medium", price=149, place="B2", shop_note="runs short", pairs={42.5: 1, 43: 3}),
    "quillmark.q-504-m": dict(bending="flexible", price=129, place="A1", shop_note="", pairs={42.5: 0, 43: 2}),
    "fennick.fm-410": dict(bending="medium", price=150),
    "fennick.fm-510": dict(bending="medium", price=165),
    "quillmark.q-512-m": dict(bending="medium"),
    "quillmark.q-508-w": dict(bending="medium"),
    "oskerley.003110m": dict(bending="flexible"),
}
# Styles the shop has put no price on yet; the correction sheet brings two of them.
UNPRICED = ("orrelby.or-4140-w", "hulvane.hv-71-m", "brindlow.m-2301")


@dataclass
class Style:
    """A style as the supplier would state it; an empty text is a hole."""

    maker: str
    number: str
    name: str
    letter: str
    kind: str
    cells: dict
    price: float
    place: str
    colours: list
    old: bool = False
    pairs: dict = field(default_factory=dict)

    @property
    def key(self):
        return slug(self.maker) + "." + slug(self.number)


def main():
    styles = [s for name in MAKERS for s in styles_of(name, MAKERS[name])]
    second = styles_of("Feldrast", SECOND)
    write("range.csv", ",", [range_row(s) for s in styles])
    write("stock.csv", ";", [row for s in styles for row in stock_rows(s, MAKERS[s.maker])])
    write("corrections.csv", ",", corrections({s.key: s for s in styles}))
    write("second-supplier.csv", ";", blemished([row for s in second for row in german_rows(s)]), bom=True)


# ---- styles ----

def styles_of(maker_name, maker):
    """Every style of a maker: each model in each of its audiences."""
    lines = [[cell.strip() for cell in line.split("|")] for line in maker.models.strip().splitlines()]
    numbers = {line[0]: maker.start + i * maker.step for i, line in enumerate(lines)}
    followed = {line[4] for line in lines if line[4]}
    styles = []
    for name, kind, letters, pinned, follows in lines:
        rng = random.Random(f"{SEED}:{maker_name}:{name}")
        model = draw_model(rng, KINDS[kind], pinned)
        for letter in letters:
            number = maker.number.format(a=letter, n=numbers[name])
            replaces = maker.number.format(a=letter, n=numbers[follows]) if follows else ""
            style = draw_style(rng, maker_name, maker, (number, name, letter, kind), model)
            style.cells["Replaces"] = replaces
            style.old = name in followed
            style.cells["Season"] = "AW25" if style.old else rng.choice(("SS26", "SS26", "carry-over"))
            styles.append(pin(style, pinned))
    return styles


def draw_model(rng, kind, pinned):
    """The sole, which women's and men's versions share: heel, drop, mass of the men's EU 42 in g, devices."""
    heel = rng.randint(kind.heel[0] * 2, kind.heel[1] * 2) / 2 if rng.random() < 0.2 else rng.randint(*kind.heel)
    drop = rng.choice(kind.drops)
    plate = rng.random() < kind.plate
    # 3.5 g for each mm of foam, 6 g for a plate, and what the upper may add or save.
    mass = kind.mass + 3.5 * (heel - 30) + 6 * plate + rng.gauss(0, 7)
    if pinned:
        stacks, grams = pinned.split()
        heel, forefoot = map(float, stacks.split("/"))
        drop, mass = heel - forefoot, float(grams)
    bending = rng.choice(kind.bending)
    return dict(heel=heel, drop=drop, mass=mass, plate=plate, bending=max(bending, 4) if plate else bending,
                rocker=rng.random() < kind.rocker, devices=rng.choice(kind.devices))


def draw_style(rng, maker_name, maker, names, model):
    """One version of a model, with the holes its maker leaves."""
    number, name, letter, kind_name = names
    kind = KINDS[kind_name]
    cells = {
        "For": AUDIENCE[letter],
        "Surface": kind.surfaces if rng.random() > 0.03 else "",
        "Use": kind.purposes if rng.random() > 0.04 else "",
        "Heel stack mm": plain(model["heel"]),
        "Forefoot stack mm": plain(model["heel"] - model["drop"]),
        "Drop mm": plain(model["drop"]) if rng.random() > 0.12 else "",
        "Mass g": str(mass_at(model["mass"], letter)),
        "Weighed at": weighed_at(maker.system, letter),
        "Bending": BENDING[model["bending"]] if rng.random() < maker.bending else "",
        "Plate": yes_no(model["plate"]),
        "Rocker": yes_no(model["rocker"]) if rng.random() > 0.15 else "",
        "Stability devices": str(model["devices"]) if rng.random() > 0.2 else "",
        "Liner removable": rng.choice(("yes", "yes", "yes", "no", "")),
        "Notes": rng.choice(NOTES) if rng.random() < 0.4 else "",
        "Shop note": rng.choice(SHOP_NOTES) if rng.random() < 0.3 else "",
    }
    leave_holes(rng, cells)
    price = kind.price + rng.choice((-15, -10, -5, 0, 0, 5, 10)) - (50 if letter == "Y" else 0)
    place = rng.choice(maker.bays) + str(rng.randint(1, 9))
    colours = rng.sample(COLOURS, rng.choice((1, 1, 2, 2, 2, 3, 4)))
    return Style(maker_name, number, name, letter, kind_name, cells, price, place, colours)


def leave_holes(rng, cells):
    """About one style in ten lacks forefoot stack or mass; of the former half still state the drop."""
    lot = rng.random()
    if lot < 0.07:
        cells["Forefoot stack mm"] = ""
        cells["Drop mm"] = cells["Drop mm"] if lot < 0.035 else ""
    elif lot < 0.125:
        cells["Mass g"] = cells["Weighed at"] = ""
    elif lot < 0.155:
        for name in ("Heel stack mm", "Forefoot stack mm", "Drop mm"):
            cells[name] = ""
    elif lot < 0.205:
        cells["Weighed at"] = ""


def pin(style, pinned):
    """Undoes the holes of pinned models and sets the cells that pictures and runners rest on."""
    if pinned:
        heel, forefoot = map(float, pinned.split()[0].split("/"))
        grams = mass_at(float(pinned.split()[1]), style.letter)
        style.cells |= {
            "Heel stack mm": plain(heel), "Forefoot stack mm": plain(forefoot), "Drop mm": plain(heel - forefoot),
            "Mass g": str(grams), "Weighed at": weighed_at("EU", style.letter),
            "Surface": KINDS[style.kind].surfaces, "Use": KINDS[style.kind].purposes,
        }
    cells = PINNED.get(style.key, {})
    style.cells["Bending"] = cells.get("bending", style.cells["Bending"])
    style.cells["Shop note"] = cells.get("shop_note", style.cells["Shop note"])
    style.price = None if style.key in UNPRICED else cells.get("price", style.price)
    style.place = cells.get("place", style.place)
    style.pairs = cells.get("pairs", {})
    return style


# ---- sizes ----

def run(system, letter):
    """The labels of a size run with the EU size each comes to (US men UK + 1, US women UK + 2)."""
    low, high = {"M": (40, 47), "W": (36, 42.5), "U": (36, 47), "Y": (32, 38)}[letter]
    if system == "EU":
        return [(plain(n / 2), n / 2) for n in range(int(low * 2), int(high * 2) + 1) if n / 2 <= 46 or n % 2 == 0]
    if system == "EU thirds":
        return [(thirds(n), n / 3) for n in range(int(low * 3), int(high * 3) + 1) if n % 2 == 0]
    shift = {"UK": 0, "US": 2 if letter == "W" else 1}[system]
    halves = [n / 2 for n in range(5, 27) if low - 0.3 <= eu_of_uk(n / 2) <= high + 0.3]
    return [(plain(uk + shift), eu_of_uk(uk)) for uk in halves]


def eu_of_uk(uk):
    """By way of the foot, f cm long: UK = 3 f / 2.54 - 23, EU = 1.5 f + 2."""
    return (uk + 23) * 1.27 + 2


def thirds(n):
    return str(n // 3) + ("", " 1/3", " 2/3")[n % 3]


def weighed_at(system, letter):
    """The usual sample size: men's and unisex EU 42, UK 8, US 9; women's EU 38, UK 5, US 7; youth EU 35."""
    column = {"M": 0, "U": 0, "W": 1, "Y": 2}[letter]
    sizes = {"EU": ("42", "38", "35"), "EU thirds": ("42", "38", "35"), "UK": ("8", "5", "2"), "US": ("9", "7", "3")}
    return system.split()[0] + " " + sizes[system][column]


def mass_at(men_42, letter):
    """A shoe loses 3 % a EU size: EU 38 for women. A pinned youth mass is meant as it stands."""
    return round(men_42 * {"M": 1, "U": 1, "W": 0.88, "Y": 1}[letter])


# ---- rows ----

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


# ---- small helpers ----

def slug(text):
    return "-".join("".join(c if c.isascii() and c.isalnum() else " " for c in text.lower()).split())


def plain(number):
    return f"{number:g}"


def comma(text):
    return text.replace(".", ",")


def euros(price):
    return f"{price:.2f}".replace(".", ",")


def yes_no(flag):
    return "yes" if flag else "no"


def write(name, separator, rows, bom=False):
    """UTF-8; with a byte order mark and CRLF where a spreadsheet would have saved it so."""
    with open(HERE / name, "w", encoding="utf-8-sig" if bom else "utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys(), delimiter=separator, lineterminator="\r\n" if bom else "\n")
        writer.writeheader()
        writer.writerows(rows)


if __name__ == "__main__":
    main()
