"""Lengths, masses and forces as a shop writes them, in exact decimals, and as papers print them."""

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction

MM = {"mm": Fraction(1), "um": Fraction(1, 1000), "cm": Fraction(10), "m": Fraction(1000),
      "in": Fraction(254, 10), "inch": Fraction(254, 10), "thou": Fraction(254, 10000)}
NEWTON = {"N": Fraction(1)}
GRAM = {"g": Fraction(1), "kg": Fraction(1000)}


def length_mm(text):
    """Millimetres of `79.915 mm`, exactly; None where the unit is none of a length."""
    number, _, unit = text.strip().partition(" ")
    return Fraction(Decimal(number)) * MM[unit] if unit in MM else None


def mass_g(text):
    number, _, unit = text.strip().partition(" ")
    return Fraction(Decimal(number)) * GRAM[unit] if unit in GRAM else None


def force_n(text):
    number, _, unit = text.strip().partition(" ")
    return Fraction(Decimal(number)) * NEWTON[unit] if unit in NEWTON else None


def _whole(value, how):
    decimal = Decimal(value.numerator) / Decimal(value.denominator)
    # JSON has picometres: a half that is missed by less is a half.
    nudge = Decimal("1e-6") if how != ROUND_CEILING else Decimal("-1e-6")
    return int((decimal + (nudge if decimal >= 0 else -nudge)).to_integral_value(rounding=how))


def _pair(metric, inch, first):
    return f"{metric} {inch}" if first == "metric" else f"{inch} {metric}"


def size(mm, first, how=ROUND_HALF_UP):
    """`79.788 mm 3.1413 in`."""
    return _pair(f"{_whole(mm * 1000, how) / Decimal(1000):.3f} mm",
                 f"{_whole(mm / MM['in'] * 10000, how) / Decimal(10000):.4f} in", first)


def amount(mm, first, how=ROUND_HALF_UP):
    """`127 µm 5.0 thou`."""
    return _pair(f"{_whole(mm * 1000, how)} \u00b5m",
                 f"{_whole(mm / MM['thou'] * 10, how) / Decimal(10):.1f} thou", first)


def in_words(mm, first):
    """An amount as a sentence has it: `127 µm (5.0 thou)`."""
    number, unit, other, other_unit = amount(mm, first).split()
    return f"{number} {unit} ({other} {other_unit})"


def inside(least, most, shown, first):
    """From and to in whole divisions inside a tolerance, where both systems have one there."""
    low, high = shown(least, first, ROUND_CEILING), shown(most, first, ROUND_FLOOR)
    for division in (Fraction(1, 1000), Fraction(254, 100000)):
        if _whole(least / division, ROUND_CEILING) > _whole(most / division, ROUND_FLOOR):
            return None
    return f"{low} {high}"
