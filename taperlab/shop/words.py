"""Weights and lengths inside the sentences of findings and plans, in the trade's own units."""

from __future__ import annotations

from taperlab.model.exact_units import GRAIN, INCH


def grains(mass: float) -> str:
    """A weight [kg] to a tenth of a grain."""
    return f"{mass / GRAIN:.1f} gr"


def feet(length: float) -> str:
    """A length [m] in feet and inches to the nearest 1/8 in."""
    eighths = round(length / INCH * 8.0)
    whole, rest = divmod(abs(eighths), 96)
    inches, part = divmod(rest, 8)
    sign = "-" if eighths < 0 else ""
    fraction = {0: "", 2: " 1/4", 4: " 1/2", 6: " 3/4"}.get(part, f" {part}/8")
    if not whole:
        return (
            f"{sign}{inches}{fraction} in" if inches or not fraction else f"{sign}{fraction[1:]} in"
        )
    return f"{sign}{whole} ft" if not rest else f"{sign}{whole} ft {inches}{fraction} in"


def thousandths(diameter: float) -> str:
    """A diameter [m] to a ten-thousandth of an inch."""
    return f"{diameter / INCH:.4f} in"
