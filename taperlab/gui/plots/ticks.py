"""Round numbers for an axis."""

from __future__ import annotations

import math

MINUS = "−"


def step_for(span: float, most: int) -> float:
    """The smallest of 1, 2 or 5 times a power of ten that parts a span into at most ``most``."""
    if not (span > 0.0 and math.isfinite(span)):
        return 1.0
    rough = span / max(1, most)
    power = 10.0 ** math.floor(math.log10(rough))
    for factor in (1.0, 2.0, 5.0):
        if factor * power >= rough * (1.0 - 1e-9):
            return factor * power
    return 10.0 * power


def round_below(value: float) -> float:
    """The largest of 1, 2 or 5 times a power of ten that is not above a value."""
    power = 10.0 ** math.floor(math.log10(value) + 1e-9)
    return max(factor * power for factor in (1.0, 2.0, 5.0) if factor * power <= value * 1.000001)


def ticks(low: float, high: float, most: int) -> list[float]:
    """Round numbers from low to high, about ``most`` of them, zero included if it lies between."""
    if not (high > low and math.isfinite(high - low)):
        return []
    step = step_for(high - low, most)
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [number * step for number in range(first, last + 1)]


def even_ticks(high: float, most: int) -> tuple[float, list[float]]:
    """A step, and marks at the same distances on both sides of zero, up to ``high``."""
    step = min(step_for(high, most), round_below(high))
    count = int(high / step + 1e-9)
    return step, [number * step for number in range(-count, count + 1)]


def tick_text(value: float, step: float) -> str:
    """A number with as many decimals as its step needs and a true minus sign."""
    decimals = max(0, -math.floor(math.log10(step) + 1e-9)) if step > 0.0 else 0
    text = f"{abs(value):.{decimals}f}"
    return f"{MINUS}{text}" if value < 0.0 and float(text) != 0.0 else text
