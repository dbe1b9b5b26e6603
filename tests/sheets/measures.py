"""Exact arithmetic for the truth tables. Nothing here knows how a sheet is read."""

from decimal import ROUND_HALF_UP, Decimal

# Exact by definition: the inch 25.4 mm; the pound 453.59237 g, the ounce a sixteenth of it.
FACTORS = {
    "mm": Decimal(1), "cm": Decimal(10), "in": Decimal("25.4"),
    "g": Decimal(1), "kg": Decimal(1000), "oz": Decimal("28.349523125"), "lb": Decimal("453.59237"),
}
LENGTHS = ("heel_stack", "forefoot_stack", "drop")


def tenths(number, unit):
    """A length in tenths of mm or a mass in tenths of g; a half rounds away from zero."""
    return rounded(Decimal(number) * FACTORS[unit] * 10)


def cents(number):
    """A price in cents."""
    return rounded(Decimal(number) * 100)


def rounded(exact):
    """The nearest whole number. ROUND_HALF_UP rounds a half away from zero, on both sides of it."""
    return int(exact.quantize(Decimal(1), ROUND_HALF_UP))


def canonical(key, text, units=None):
    """What a value of a model is in a truth table. It is text in plain English; a unit of its own follows a blank."""
    number, _, own = text.partition(" ")
    unit = own or (units or {}).get(key)
    if key in LENGTHS:
        return tenths(number, unit or "mm")
    if key == "mass":
        return tenths(number, unit or "g")
    if key == "price":
        return cents(text)
    if key in ("plate", "rocker", "liner_removable", "liner_included"):
        return {"yes": 1, "no": 0}[text]
    return text


def gtin(twelve):
    """A GTIN-13: these twelve digits and their check digit (weights 1, 3, 1, 3 … from the left)."""
    assert len(twelve) == 12 and twelve.isdigit(), twelve
    total = sum(int(digit) * (3 if place % 2 else 1) for place, digit in enumerate(twelve))
    return twelve + str(-total % 10)


def other_check_digit(code):
    """The same number with a last digit that cannot be."""
    return code[:-1] + str((int(code[-1]) + 3) % 10)
