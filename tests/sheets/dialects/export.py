"""12: what a shop program lets out: a sep= line, quotes unescaped, line breaks in cells, two kinds of line ends, slips in headings."""

from measures import gtin
from truth import Expect, Truth
from writers import table

NAME = "12-shop-export.csv"
NBSP, ZWSP = "\u00a0", "\u200b"
HEADINGS = ("Brand", f"Style{NBSP}No", f"{ZWSP}Model", "Colorway", f"Size{NBSP}EU", "Heel hieght (mm)",
            "Forefoot height (mm)", "Drop (mm)", "Weight", "Price", "Price", "Stock", "Barcode", "Description")
STYLES = table("""
maker    | number | name      | colour      | heel_stack | forefoot_stack | drop | mass | price  | sizes
Mizzenby | MZ-7   | Halyard   | Rope        | 34         | 26             | 8    | 265  | 129.95 | 41, 42, 42.5, 43
Mizzenby | MZ-9   | Bowline   | Tar / Bone  | 24         | 26             | -2   | 231  | 139.95 | 42, 43, 44
Ostrake  | 00123  | Garboard  | @Oak        | 30         | 24             | 6    | 254  | 119.95 | 40, 41, 42, 42.5
Ostrake  | 9E42   | Strake 9  | Pitch       | 37.5       | 31.5           | 6    | 278  | 159.95 | 42, 44, 45
""")
# By style number: the text as meant, and as the program lets it out.
NOTES = {
    "MZ-7": ('Lugs 1/8" deep, loop 2" long', 'Lugs 1/8" deep, loop 2" long'),
    "MZ-9": ("=1+1 free laces", "=1+1 free laces"),
    "00123": ("First line;\nsecond line", '"First line;\nsecond line"'),
    "9E42": ('Loop 2" long at the heel', '"Loop 2" long at the heel"'),
}
PAIRS = ("2", "0", "1", "3", "10+", "5", "0", "4")


def make(folder):
    """Writes the sheet; returns its truth and what to expect."""
    lines, truth, rows = ["sep=;", ";".join(HEADINGS)], Truth(), 0
    expect = Expect(NAME, "Quayside shop export", "partial", 0)
    expect.reading = {"encoding": "UTF-8", "delimiter": ";", "decimal": "."}
    expect.leave_out("title", 1)
    expect.leave_out("heading", 2)
    settle_headings(expect)
    for style in STYLES:
        for size in style["sizes"].split(", "):
            code, pairs = gtin(f"2006200{rows + 1:05}"), PAIRS[rows % len(PAIRS)]
            lines.append(printed(style, size, code, pairs))
            tell(truth, style, size, code, pairs)
            rows += 1
            if style["number"] == "9E42":
                stray_quote(expect, lines)
    expect.data_rows = rows
    (folder / NAME).write_bytes(mixed_ends(lines).encode("utf-8"))
    return truth, expect


def settle_headings(expect):
    """Two headings that are one word, and one a slip away from a known word."""
    expect.settle = [
        {"column": "D", "heading": HEADINGS[3], "to": "colourway", "may_be_known": True},
        {"column": "F", "heading": HEADINGS[5], "to": "heel_stack", "may_be_known": False},
        {"column": "J", "heading": "Price", "to": "price", "may_be_known": False},
        {"column": "K", "heading": "Price", "to": "ignore", "may_be_known": False},
    ]
    expect.finding("heading-near-miss", 0, "F", HEADINGS[5], until="settle")
    expect.finding("heading-undecided", 0, "K", "Price", until="settle")


def printed(style, size, code, pairs):
    """A row as the program lets it out: it quotes what it likes and escapes nothing."""
    was = f"{float(style['price']) + 10:.2f}"
    cells = (style["maker"], style["number"], style["name"], style["colour"], size, style["heel_stack"],
             style["forefoot_stack"], style["drop"], f"{style['mass']}{NBSP}g", style["price"], was, pairs, code,
             NOTES[style["number"]][1])
    return ";".join(cells)


def tell(truth, style, size, code, pairs):
    """The facts of a row."""
    name = (style["maker"], style["number"], style["name"])
    truth.style(*name, **{key: style[key] for key in ("heel_stack", "forefoot_stack", "drop", "mass")},
                notes=NOTES[style["number"]][0])
    truth.sku(name, style["colour"], "EU", size, gtin=code, quantity=pairs, price=style["price"])


def stray_quote(expect, lines):
    """A quote inside quotes, not doubled: the cell may be read as it was meant, or held and named, never shortened."""
    line = sum(text.count("\n") + 1 for text in lines)
    expect.finding("quote-stray", len(lines), "N", "Description", line=line)
    expect.may_hold.append({"row": len(lines), "column": "N"})


def mixed_ends(lines):
    """CRLF after two lines, LF after the third, and so on."""
    return "".join(line + ("\n" if index % 3 == 2 else "\r\n") for index, line in enumerate(lines))
