"""Draws the invented styles and the size runs they come in."""

import random
from dataclasses import dataclass, field

from models import COLOURS, KINDS, NOTES, SHOP_NOTES

SEED = "lastbench sample 1"
AUDIENCE = {"M": "men", "W": "women", "U": "unisex", "Y": "youth"}
BENDING = ("", "very flexible", "flexible", "medium", "stiff", "very stiff")

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


# ---- texts ----

def slug(text):
    return "-".join("".join(c if c.isascii() and c.isalnum() else " " for c in text.lower()).split())


def plain(number):
    return f"{number:g}"


def yes_no(flag):
    return "yes" if flag else "no"
