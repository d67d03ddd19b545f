"""Weights and lengths inside the sentences of findings and plans, in the trade's own units."""

from __future__ import annotations

from fractions import Fraction

from taperlab.model.exact_units import GRAIN, INCH


def grains(mass: float) -> str:
    """A weight [kg] to a tenth of a grain."""
    return f"{mass / GRAIN:.1f} gr"


def feet(length: float) -> str:
    """A length [m] in feet and inches to the nearest 1/8 in."""
    eighths = round(abs(length) / INCH * 8.0)
    whole, rest = divmod(eighths, 96)
    inches, part = divmod(rest, 8)
    words = [f"{whole} ft"] if whole else []
    if rest or not whole:
        words += [str(inches)] if inches or not part else []
        words += [str(Fraction(part, 8)), "in"] if part else ["in"]
    return ("-" if length < 0.0 and eighths else "") + " ".join(words)


def thousandths(diameter: float) -> str:
    """A diameter [m] to a ten-thousandth of an inch."""
    return f"{diameter / INCH:.4f} in"
