"""Writes the twelve invented suppliers' sheets and their truth tables: python make.py FOLDER [--check].

With --check the truth is also held against truth/by-hand.csv, which a person worked out from the printed cells.
"""

import csv
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.dont_write_bytecode = True
sys.path[:0] = [str(HERE), str(HERE / "dialects")]

import american, codes, dutch, english, export, french, german, italian, sizerun, spanish, stock, titled  # noqa: E401,E402

DIALECTS = (english, german, french, titled, sizerun, italian, american, dutch, codes, spanish, stock, export)


def main(folder, check):
    """Writes everything into the folder; returns how many of the cells worked by hand disagree."""
    (folder / "truth").mkdir(parents=True, exist_ok=True)
    truths = {dialect.NAME: write(dialect, folder) for dialect in DIALECTS}
    return disagreements(truths) if check else 0


def write(dialect, folder):
    """One sheet with its two files of truth."""
    truth, expect = dialect.make(folder)
    stem = dialect.NAME.rsplit(".", 1)[0]
    truth.write(folder / "truth" / f"{stem}.csv")
    expect.write(folder / "truth" / f"{stem}.expect.toml", truth)
    return truth


def disagreements(truths):
    """Prints each cell of by-hand.csv that the truth tables tell otherwise."""
    wrong = 0
    with open(HERE / "truth" / "by-hand.csv", encoding="utf-8", newline="") as file:
        for line in csv.DictReader(file):
            found = told(truths[line["sheet"]], line)
            if found != line["value"]:
                wrong += 1
                print(f"{line['sheet']} {line['cell']} {line['column']}: by hand {line['value']}, in the table {found}")
    return wrong


def told(truth, line):
    """What a truth table says of a cell worked by hand; nothing is empty text."""
    for (entity, _, number, _, colour, system, size, width, column), value in truth.facts.items():
        sku = " ".join(filter(None, (colour, system, size, width)))
        if (number, sku, column) == (line["style_number"], line["sku"], line["column"]):
            return value
    return ""


if __name__ == "__main__":
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    sys.exit(1 if main(Path(sys.argv[1]), "--check" in sys.argv) else 0)
