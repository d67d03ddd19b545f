"""Lines as a bench measures them, drawn anew for each seed, and slips of the hand in a reading.

Nothing here looks at what the program makes of a line: tapers, places of stations and slips are
drawn from what heads and hands are like. Diameters in thousandths of an inch, distances in feet.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.measurement import Station

THOU = 0.001 * INCH
STATIONS = 20
STEP = 0.5
"""What the caliper shows [thou]."""
SCATTER = 0.5
"""What one diameter scatters by at the noise that is set [thou]."""
EIGHTH = 1.0 / 96.0
"""A step of the tape [ft]."""

Array = np.ndarray
Nodes = tuple[list[float], list[float]]
"""Shares of the length, and diameters there."""


@dataclass(frozen=True, eq=False)
class Drawn:
    """A line of known taper and what was read on it.

    nodes [ft], diameters [thou]: the truth, straight in between. places [ft], readings [thou].
    """

    family: str
    nodes: Array
    diameters: Array
    places: Array
    readings: Array

    @property
    def length(self) -> float:
        return float(self.nodes[-1])

    def truth(self, x: Array) -> Array:
        return np.interp(x, self.nodes, self.diameters)

    @property
    def is_resolved(self) -> bool:
        """Whether each piece, welds and the arcs of a hump aside, holds three stations or more."""
        long = np.diff(self.nodes) > 0.04 * self.length
        held = np.histogram(self.places, self.nodes)[0]
        return bool(np.all(held[long] >= 3))

    def stations(self) -> list[Station]:
        return [
            Station(float(x * FOOT), (float(d * THOU),))
            for x, d in zip(self.places, self.readings, strict=True)
        ]

    def read(self, at: int, value: float) -> Drawn:
        """The same with another reading at one of the stations."""
        readings = self.readings.copy()
        readings[at] = value
        return replace(self, readings=readings)


# -- tapers -----------------------------------------------------------------------------------


def _level(rng: np.random.Generator) -> Nodes:
    d = rng.uniform(25, 95)
    return [0.0, 1.0], [d, d]


def _straight(rng: np.random.Generator) -> Nodes:
    return [0.0, 1.0], [rng.uniform(25, 60), rng.uniform(40, 100)]


def _belly(rng: np.random.Generator) -> Nodes:
    front, rear = rng.uniform(0.15, 0.5), rng.uniform(0.08, 0.35)
    belly = rng.uniform(60, 110)
    return [0.0, front, 1.0 - rear, 1.0], [
        rng.uniform(25, 50),
        belly,
        belly,
        rng.uniform(30, 60),
    ]


def _blunt(rng: np.random.Generator) -> Nodes:
    front, rear = rng.uniform(0.1, 0.25), rng.uniform(0.08, 0.2)
    belly = rng.uniform(85, 130)
    return [0.0, front, 1.0 - rear, 1.0], [
        rng.uniform(55, 85),
        belly,
        belly,
        rng.uniform(40, 75),
    ]


def _compound(rng: np.random.Generator) -> Nodes:
    knee, top, rear = rng.uniform(0.15, 0.35), rng.uniform(0.5, 0.75), rng.uniform(0.08, 0.2)
    front, belly = rng.uniform(20, 40), rng.uniform(70, 105)
    middle = front + rng.uniform(0.2, 0.8) * (belly - front)
    return [0.0, knee, top, 1.0 - rear, 1.0], [
        front,
        middle,
        belly,
        belly * rng.uniform(0.9, 1.0),
        rng.uniform(35, 60),
    ]


def _tipped(rng: np.random.Generator) -> Nodes:
    tip, front = rng.uniform(0.06, 0.15), rng.uniform(0.2, 0.4)
    thin, belly = rng.uniform(25, 45), rng.uniform(60, 100)
    return [0.0, tip, tip + front, 1.0], [thin, thin, belly, belly * rng.uniform(0.8, 1.1)]


def _with_running_line(rng: np.random.Generator) -> Nodes:
    front, end, rear = rng.uniform(0.12, 0.3), rng.uniform(0.45, 0.65), rng.uniform(0.08, 0.15)
    belly, running = rng.uniform(60, 100), rng.uniform(28, 42)
    return [0.0, front, end, end + rear, 1.0], [
        rng.uniform(25, 45),
        belly,
        belly,
        running,
        running,
    ]


def _steps(rng: np.random.Generator) -> Nodes:
    """Three level pieces, thicker by steps, welded over a hundredth to a thirtieth of the line."""
    first, second = rng.uniform(0.25, 0.4), rng.uniform(0.6, 0.75)
    a = rng.uniform(25, 45)
    b = a + rng.uniform(6, 20)
    c = b + rng.uniform(6, 20)
    half = rng.uniform(0.005, 0.015)
    return [0.0, first - half, first + half, second - half, second + half, 1.0], [a, a, b, b, c, c]


def _hump(rng: np.random.Generator) -> Nodes:
    at = np.linspace(0.0, 1.0, 81)
    skew = rng.uniform(0.7, 1.4)
    rise = np.sin(np.pi * at**skew) ** rng.choice([1.0, 2.0])
    return at.tolist(), (rng.uniform(30, 50) + rng.uniform(20, 60) * rise).tolist()


def _rear_heavy(rng: np.random.Generator) -> Nodes:
    top, rear = rng.uniform(0.65, 0.85), rng.uniform(0.05, 0.1)
    return [0.0, top, 1.0 - rear, 1.0], [
        rng.uniform(30, 55),
        rng.uniform(80, 125),
        rng.uniform(80, 125),
        rng.uniform(60, 80),
    ]


FAMILIES: dict[str, Callable[[np.random.Generator], Nodes]] = {
    "level": _level,
    "straight": _straight,
    "belly": _belly,
    "blunt": _blunt,
    "compound": _compound,
    "tipped": _tipped,
    "running line": _with_running_line,
    "three steps": _steps,
    "hump": _hump,
    "rear heavy": _rear_heavy,
}


def draw(seed: int, *, noise: float = 1.0) -> Drawn:
    """A line and its stations, the noise so many times what is set.

    Half of the lines are read every so far, half wherever it came handy; each place lies off by
    up to half a step of the tape.
    """
    rng = np.random.default_rng([seed, 77])
    family = list(FAMILIES)[seed % len(FAMILIES)]
    shares, diameters = FAMILIES[family](rng)
    length = float(rng.uniform(12.0, 50.0))
    gaps = np.ones(STATIONS - 1)
    if rng.random() < 0.5:
        gaps = rng.uniform(0.6, 1.4, STATIONS - 1)
    first, last = rng.uniform(0.0, 0.02, 2) * length
    places = first + (length - first - last) * np.concatenate(([0.0], np.cumsum(gaps) / gaps.sum()))
    places = np.round(places / EIGHTH) * EIGHTH
    line = Drawn(family, np.array(shares) * length, np.array(diameters), places, places)
    true = line.truth(places + rng.uniform(-0.5, 0.5, STATIONS) * EIGHTH)
    return replace(line, readings=_rounded(true + rng.normal(0.0, noise * SCATTER, STATIONS)))


def another_reading(line: Drawn, where: float, seed: int, *, noise: float = 1.0) -> float:
    """One more honest reading [thou] at a place [ft]."""
    rng = np.random.default_rng([seed, 78])
    true = line.truth(np.array([where + rng.uniform(-0.5, 0.5) * EIGHTH]))
    return float(_rounded(true + rng.normal(0.0, noise * SCATTER, 1))[0])


def _rounded(thou: Array) -> Array:
    return np.maximum(np.round(thou / STEP), 1.0) * STEP


# -- slips ------------------------------------------------------------------------------------


def _wrong_tens(rng: np.random.Generator, line: Drawn, at: int) -> float | None:
    """Half of them one ten off, half any other digit."""
    good = float(line.readings[at])
    tens = int(good // 10.0) % 10
    digits = [tens - 1, tens + 1] if rng.random() < 0.5 else list(range(10))
    others = [each for each in digits if each != tens and 0 <= each <= 9]
    bad = good + 10.0 * (int(rng.choice(others)) - tens)
    return bad if bad >= 5.0 else None


def _wrong_point(rng: np.random.Generator, line: Drawn, at: int) -> float | None:
    return float(line.readings[at]) * float(rng.choice([0.1, 10.0]))


def _swapped(_rng: np.random.Generator, line: Drawn, at: int) -> float | None:
    """Tens and ones change places; in a tenth of an inch and more, the last two digits too."""
    good = float(line.readings[at])
    tens, ones = int(good // 10.0) % 10, int(good) % 10
    bad = good + 9.0 * (ones - tens)
    return bad if tens != ones and bad >= 5.0 else None


def _wrong_ones(rng: np.random.Generator, line: Drawn, at: int) -> float | None:
    """Off by 2 to 9 thousandths, either way, in the last whole digit."""
    return float(line.readings[at]) + float(rng.choice([-1, 1]) * rng.integers(2, 10))


def _neighbours(rng: np.random.Generator, line: Drawn, at: int) -> float | None:
    """What was read beside it; no slip where that differs by less than two thousandths."""
    beside = [i for i in (at - 1, at + 1) if 0 <= i < len(line.readings)]
    bad = float(line.readings[int(rng.choice(beside))])
    return bad if abs(bad - line.readings[at]) >= 2.0 else None


SLIPS: dict[str, Callable[[np.random.Generator, Drawn, int], float | None]] = {
    "wrong tens": _wrong_tens,
    "decimal point": _wrong_point,
    "swapped digits": _swapped,
    "wrong ones": _wrong_ones,
    "neighbour's value": _neighbours,
}


def slip(line: Drawn, kind: str, seed: int) -> tuple[Drawn, int] | None:
    """The line with one slip at any of its stations, and where; None where none came about."""
    rng = np.random.default_rng([seed, 79])
    for _ in range(12):
        at = int(rng.integers(len(line.places)))
        bad = SLIPS[kind](rng, line, at)
        if bad is not None:
            return line.read(at, bad), at
    return None
