"""Numbers with their errors, and what to measure next, in words and the person's own units."""

from __future__ import annotations

import math

from taperlab.shop.measure.as_built import CONFIDENT, Amount
from taperlab.shop.measure.next_measurement import Aim, Kind, Suggestion
from taperlab.units import kinds
from taperlab.units.kinds import DIAMETER, LENGTH, System
from taperlab.units.show import UNKNOWN, from_unit, show, show_eighths, to_unit

MINUS = "−"
SPACE = "\u00a0"
"""Keeps a number and its unit, or its sign, on one line."""


def error_text(error: float, kind: kinds.Kind, system: System, *, unit: bool = True) -> str:
    """``± 0.3 gr``: two standard deviations [SI] (95 in 100), never rounded down to nothing."""
    shown = kind.shown(system)
    name = shown.unit
    if shown.feet_and_inches:
        name = "in"
    elif kind is LENGTH:
        name = "mm"
    decimals = {"in": 1, "mm": 0}.get(name, shown.decimals) if kind is LENGTH else shown.decimals
    value = CONFIDENT * error
    if not math.isfinite(value):
        return f"±{SPACE}{UNKNOWN}"
    one, zero = from_unit(1.0, name, kind), from_unit(0.0, name, kind)
    number = value / (one - zero)
    if 0.0 < number < 10.0**-decimals:
        decimals = min(-math.floor(math.log10(number)), decimals + 2)
    text = f"±{SPACE}{number:.{decimals}f}"
    return f"{text}{SPACE}{name}" if unit and name else text


def with_error(value: float, error: float, kind: kinds.Kind, system: System) -> str:
    """``15 ft 2 in ± 0.3 in``, ``0.085 ± 0.0004`` [SI]; the unit stands in the heading."""
    if kind is LENGTH:
        return f"{show(value, kind, system)} {error_text(error, kind, system)}"
    number = even(value, kind, system)
    return f"{number} {error_text(error, kind, system, unit=False)}"


def even(value: float, kind: kinds.Kind, system: System) -> str:
    """A number [SI] with all its decimals, so that a column stands even."""
    shown = kind.shown(system)
    return f"{to_unit(value, shown.unit, kind):.{shown.decimals}f}"


def off_text(residual: float, system: System) -> str:
    """How far a diameter lies off the fit [m]: thousandths of an inch, or micrometres."""
    unit, decimals = ("thou", 1) if system is System.US else ("µm", 0)
    number = residual / from_unit(1.0, unit, DIAMETER)
    text = f"{abs(number):.{decimals}f}"
    if float(text) == 0.0:
        return text
    return f"{'+' if number > 0 else MINUS}{text}"


def off_unit(system: System) -> str:
    """Unit of :func:`off_text`."""
    return "thou" if system is System.US else "µm"


def difference_text(amount: Amount, kind: kinds.Kind, system: System) -> str:
    """``+4.2 ± 0.6 gr``: built less designed, with the error of the built."""
    if amount.difference is None:
        return UNKNOWN
    if kind is LENGTH:
        unit, decimals = ("in", 1) if system is System.US else ("mm", 0)
        number = to_unit(amount.difference, unit, kind)
        text = f"{abs(number):.{decimals}f}"
        sign = "" if float(text) == 0.0 else "+" if number > 0 else MINUS
        text = f"{sign}{text}"
        if amount.error is None:
            return f"{text} {unit}"
        return f"{text} {error_text(amount.error, kind, system)}"
    text = show(amount.difference, kind, system, unit=False, signed=True)
    if amount.error is None:
        return text
    return f"{text} {error_text(amount.error, kind, system, unit=False)}"


def judged(length: Amount, mass: Amount) -> tuple[str, bool]:
    """What a comparison comes to, in words with a symbol, and whether it is beyond error."""
    found = []
    for amount, more, less in ((length, "longer", "shorter"), (mass, "heavier", "lighter")):
        if amount.outside:
            found.append(more if (amount.difference or 0.0) > 0.0 else less)
    if found:
        return f"▲ {', '.join(found)}", True
    if mass.difference is None:
        return ("only in the design", True) if mass.built is None else ("not in the design", True)
    if mass.outside is None and length.outside is None:
        return "not measured", False
    return "✓ within error", False


def _place(place: float, system: System) -> str:
    if system is System.METRIC:
        return show(place, kinds.DISTANCE, system).replace(" ", SPACE)
    return show_eighths(place, system).replace(" ", SPACE)


def suggestion_text(suggestion: Suggestion, aim: Aim, system: System, length: float) -> str:
    """A further measurement in words: ``a diameter at 12 ft 6 in would bring …``."""
    front, rear = (_place(place, system) for place in (suggestion.front, suggestion.rear))
    if suggestion.kind is Kind.DIAMETER:
        place = {0.0: "the fly end", length: "the rear end"}.get(suggestion.front, front)
        what = f"a diameter at {place}"
    elif suggestion.front == 0.0 and suggestion.rear >= length - 1e-6:
        what = "the weight of the whole line"
    elif suggestion.front == 0.0:
        what = f"the weight of the front {rear}, if it is cut off anyway,"
    elif suggestion.rear >= length - 1e-6:
        what = f"the weight from {front} to the rear end, if it is cut off anyway,"
    else:
        what = f"the weight from {front} to {rear}, if it is cut out anyway,"
    if aim is Aim.HEAD_WEIGHT:
        of = "the head’s weight"
        before, after = (
            error_text(each, kinds.WEIGHT, system) for each in (suggestion.before, suggestion.after)
        )
    else:
        of = "the weight per length"
        before, after = (
            f"±{SPACE}{100.0 * CONFIDENT * each:.1f}{SPACE}%"
            for each in (suggestion.before, suggestion.after)
        )
    return f"{what} would bring {of} from {before} to {after}"
