"""Numbers with their errors, in the person's own units."""

from __future__ import annotations

from taperlab.shop.measure.as_built import Amount
from taperlab.units import kinds
from taperlab.units.kinds import DIAMETER, LENGTH, System
from taperlab.units.show import MINUS, UNKNOWN, from_unit, show, show_error, to_unit


def error_text(error: float, kind: kinds.Kind, system: System, *, unit: bool = True) -> str:
    """``± 0.3 gr``: a half-width [SI] (95 in 100), never rounded down to nothing."""
    return show_error(error, kind, system, unit=unit)


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
    number = residual / from_unit(1.0, off_unit(system), DIAMETER)
    return _signed(number, 1 if system is System.US else 0)


def off_unit(system: System) -> str:
    """Unit of :func:`off_text`."""
    return "thou" if system is System.US else "µm"


def difference_text(amount: Amount, kind: kinds.Kind, system: System) -> str:
    """``+4.2 ± 0.6 gr``: built less designed, with the error of the built."""
    if amount.difference is None:
        return UNKNOWN
    long = kind is LENGTH
    if long and system is System.METRIC:
        text = f"{_signed(to_unit(amount.difference, 'mm', kind), 0)} mm"
    else:
        text = show(amount.difference, kind, system, unit=long, signed=True)
    if amount.error is None:
        return text
    return f"{text} {error_text(amount.error, kind, system, unit=long)}"


def _signed(number: float, decimals: int) -> str:
    """A number with its sign, + included; nothing has none."""
    text = f"{abs(number):.{decimals}f}"
    return text if float(text) == 0.0 else f"{'+' if number > 0 else MINUS}{text}"
