"""The invented makers and models that make.py builds on. No maker, model or number here is real."""

from typing import NamedTuple


class Kind(NamedTuple):
    """What shoes of one kind have in common. Ranges are drawn evenly, tuples are drawn from."""

    purposes: str
    surfaces: str
    heel: tuple  # lowest and highest heel stack, mm
    drops: tuple  # drops to draw from, mm
    mass: int  # men's EU 42 with a heel of 30 mm, g
    bending: tuple  # steps 1 very flexible .. 5 very stiff
    plate: float  # share with a plate
    rocker: float  # share with a rocker
    devices: tuple  # numbers of stability devices
    price: int  # usual price, EUR


KINDS = {
    "daily": Kind("daily", "road", (30, 38), (6, 8, 8, 8, 9, 10, 10), 246, (2, 2, 3, 3, 4), 0, 0.2, (0, 0, 0, 1), 140),
    "cushion": Kind("daily; long", "road", (37, 44), (4, 5, 6, 8, 8), 252, (3, 3, 4, 4), 0, 0.7, (0, 0, 1), 165),
    "steady": Kind("daily; long", "road", (32, 38), (8, 10, 10, 12), 272, (3, 4, 4), 0, 0.1, (2, 3, 3, 4), 155),
    "easy": Kind("daily", "road", (23, 30), (4, 4, 5, 6), 226, (2, 2, 3), 0, 0.05, (0,), 125),
    "tempo": Kind("tempo; daily", "road", (29, 36), (5, 6, 8), 208, (3, 4, 4), 0.15, 0.4, (0,), 160),
    "racer": Kind("race; tempo", "road", (34, 40), (5, 6, 8, 8), 186, (4, 5, 5), 0.92, 0.9, (0,), 235),
    "flat": Kind("race; tempo", "road", (22, 28), (3, 4, 5, 6), 180, (2, 3, 3), 0, 0.1, (0,), 130),
    "thin": Kind("daily; walk", "road", (16, 22), (0, 0, 1, 3, 4), 206, (1, 1, 2), 0, 0, (0,), 115),
    "trail": Kind("daily", "trail", (28, 36), (4, 6, 8, 8), 278, (2, 3, 3, 4), 0, 0.2, (0, 0, 1), 145),
    "trail-long": Kind("long; daily", "trail", (34, 42), (4, 5, 6), 282, (3, 4), 0.1, 0.6, (0, 1), 170),
    "trail-race": Kind("race; tempo", "trail", (26, 33), (4, 5, 6), 226, (3, 4), 0.3, 0.3, (0,), 175),
    "mixed": Kind("daily", "road; trail", (29, 35), (6, 8, 9), 266, (3, 3), 0, 0.1, (0,), 140),
    "track": Kind("race", "track", (17, 20), (2, 4, 5), 174, (4, 5), 0.7, 0.2, (0,), 125),
    "walk": Kind("walk", "road", (26, 34), (6, 8, 10, 12), 314, (2, 3, 4), 0, 0.3, (1, 2, 3), 120),
    "hike": Kind("walk", "trail", (28, 34), (8, 10), 330, (3, 4), 0, 0.1, (1, 2), 150),
}


class Maker(NamedTuple):
    """How one maker numbers, sizes and describes its shoes."""

    number: str  # pattern of a style number: a is M, W, U or Y; n counts by `step` from `start`
    start: int
    step: int
    system: str  # of its size labels: EU in halves, EU thirds, UK, US
    widths: dict  # width labels of men's and women's shoes: (usual, wide); empty says nothing
    bending: float  # share of its styles whose bending it states
    bays: str  # the rows of the wall it hangs in
    models: str  # name | kind | for | pinned heel/forefoot mass | name of the model it follows


LETTERS = {"M": ("D", "EE"), "W": ("B", "D"), "U": ("D", ""), "Y": ("", "")}
WORDS = {a: ("regular", "wide") for a in "MWUY"}
FITTINGS = {"M": ("G", "H"), "W": ("D", "E"), "U": ("G", ""), "Y": ("", "")}
NO_WIDTHS = {a: ("", "") for a in "MWUY"}

MAKERS = {
    "Fennick": Maker("F{a}-{n}", 110, 100, "EU", LETTERS, 0.7, "CD", """
        Marl      | daily   | MW | 34/24 284 |
        Marl 2    | daily   | MW | 35/26 272 | Marl
        Marl 3    | daily   | MW | 36/28 262 | Marl 2
        Loam      | daily   | MW | 38/30 280 |
        Drumlin   | cushion | MW | 40/32 292 |
        Silt      | easy    | MW |           |
        Tilth     | steady  | MW |           |
        Scarp     | trail   | MW |           |
        Esker     | trail-long | U |         |
        Varve     | tempo   | MW |           |
        Varve Pro | racer   | U  | 39/31 212 |
        Clod      | walk    | MW |           |
        Clod Mini | daily   | Y  | 26/20 198 |
        Peat      | mixed   | U  |           |"""),
    "Orrelby": Maker("OR {n} {a}", 4110, 15, "EU", LETTERS, 0.72, "B", """
        Sound        | daily   | MW | 35/26 255 |
        Sounding     | cushion | MW |           |
        Skerry       | daily   | MW |           |
        Neap         | easy    | MW |           |
        Ebbing       | steady  | MW |           |
        Swash        | tempo   | MW |           |
        Swash Race   | racer   | U  |           |
        Tombolo      | mixed   | MW |           |
        Shoal        | daily   | U  |           |
        Haar         | cushion | MW |           |
        Spindrift    | flat    | U  |           |
        Isthmus      | trail   | MW |           |
        Eddyline     | tempo   | M  |           |"""),
    "Quillmark": Maker("Q.{n}.{a}", 504, 4, "EU", LETTERS, 0.8, "A", """
        Tern Low  | daily   | MW | 33/25 243 |
        Tern      | daily   | MW | 34/26 258 |
        Tern2     | daily   | MW | 35/27 251 | Tern
        Vellum    | easy    | MW |           |
        Octavo    | cushion | MW |           |
        Quarto    | steady  | MW |           |
        Colophon  | racer   | U  | 38/30 198 |
        Inkle     | flat    | U  |           |
        Rubric    | tempo   | MW |           |
        Nib       | track   | U  |           |
        Errata    | mixed   | U  |           |
        Serif     | daily   | M  |           |
        Dunlin    | cushion | MW |           |
        Ditto     | daily   | W  |           |"""),
    "Tarrowby": Maker("TB{n}{a}", 1200, 25, "EU thirds", NO_WIDTHS, 0.6, "E", """
        Treadle    | daily   | MW |           |
        Heddle     | daily   | MW |           |
        Heddle 2   | daily   | MW |           | Heddle
        Gimlet     | tempo   | MW |           |
        Gimlet X   | racer   | U  |           |
        Tenon      | steady  | MW |           |
        Mortise    | cushion | MW |           |
        Spokeshave | flat    | U  |           |
        Ferrule    | easy    | MW |           |
        Adze       | trail   | MW |           |
        Bodkin     | track   | U  |           |
        Trammel    | trail-race | U |         |
        Dovetail   | daily   | MW |           |"""),
    "Brindlow": Maker("{a}/{n}", 2301, 7, "UK", FITTINGS, 0.55, "F", """
        Snicket     | daily   | MW |           |
        Ginnel      | daily   | MW |           |
        Causey      | cushion | MW |           |
        Withy       | easy    | MW |           |
        Osier       | tempo   | M  |           |
        Spinney     | trail   | MW |           |
        Coppice     | trail-long | MW |        |
        Stile       | hike    | MW |           |
        Furrow      | steady  | MW |           |
        Sedge       | walk    | MW |           |
        Thicket     | mixed   | MW |           |
        Ramble      | daily   | W  |           |"""),
    "Vessmark": Maker("V{n}{a}", 610, 20, "US", LETTERS, 0.45, "G", """
        Plumb    | daily   | MW |           |
        Plumb 2  | daily   | MW |           | Plumb
        Datum    | daily   | MW |           |
        Radian   | tempo   | MW |           |
        Secant   | racer   | MW |           |
        Vernier  | steady  | MW |           |
        Mantissa | cushion | MW |           |
        Surd     | easy    | M  |           |
        Chord    | track   | M  |           |
        Modulo   | daily   | MW |           |
        Ordinate | flat    | M  |           |"""),
    "Hulvane": Maker("HV-{n}-{a}", 71, 3, "EU", NO_WIDTHS, 0.65, "H", """
        Tørrik   | trail      | MW |           |
        Røsk     | trail      | MW |           |
        Hålke    | trail-race | U  |           |
        Stenvår  | trail-long | MW |           |
        Vindle   | trail-race | MW |           |
        Knaus    | mixed      | MW |           |
        Ljunge   | trail-long | U  |           |
        Urdel    | hike       | U  |           |
        Skrabb   | trail      | Y  | 26/20 218 |
        Klåv     | hike       | W  |           |"""),
    "Oskerley": Maker("00{n}{a}", 3105, 5, "EU", WORDS, 0.75, "K", """
        Pith      | thin  | MW | 16/16 178 |
        Rind      | thin  | MW | 20/16 204 |
        Husk      | thin  | U  |           |
        Burl      | easy  | MW |           |
        Bast      | walk  | MW |           |
        Lath      | thin  | MW | 22/18 214 |
        Plait     | thin  | W  |           |
        Wicker    | walk  | U  |           |
        Twig      | daily | Y  | 24/20 176 |
        Acorn     | daily | Y  | 27/21 202 |
        Tuft  | trail | Y  | 24/20 206 |
        Bulrush | easy | U |           |"""),
}

# The supplier whose sheet a new owner can try: its models are not in range.csv.
SECOND = Maker("FR-{n}{a}", 20, 2, "EU", NO_WIDTHS, 0.75, "L", """
    Krume   | daily   | MW |           |
    Garbe   | cushion | MW |           |
    Egge    | trail   | MW |           |
    Halm    | easy    | M  |           |
    Brache  | steady  | W  |           |
    Flur    | tempo   | M  |           |
    Hohlweg | trail-long | W |         |
    Dreesch | walk    | MW |           |""")

NOTES = (
    "Knitted upper, recycled yarn.", "Reflective heel tab.", "New foam, same last as before.",
    "Gusseted tongue.", "Outsole reaches further up the toe.", "Laces shorter than last season.",
    "Lining crêpe-soft at the collar.", "Colour names as in the maker's brochure.",
    "Façonné mesh, very airy.", "Sold with a second pair of laces.", "Water runs off, no membrane.",
    "Für breite Füße auch in der weiten Form.", "Lugs 4 mm.", "Heel loop for the thumb.",
)
SHOP_NOTES = (
    "runs short", "roomy toes", "narrow heel", "runs long", "high instep", "laces bite",
    "runs short; roomy toes", "narrow heel; high instep", "snug over the midfoot", "runs short; narrow heel",
)
COLOURS = (
    "Slate", "Moss", "Ink", "Ochre", "Rust", "Clay", "Plum", "Teal", "Smoke", "Chalk", "Pine", "Kelp",
    "Wheat", "Birch", "Ember", "Linen", "Oat", "Pebble", "Mist / Lime", "Night / Coral", "Grège", "Blåbär",
)
