"""Lines of known truth, drawn at random, and what a bench would have measured on them.

A family says what kind of line and what is measured; everything else about it (lengths,
diameters, where a step lies, how long a wave is and where it begins, the noise) is drawn anew for
every seed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.measurement import USUAL, Measurement, Station, WeighedSection

THOU = 0.001 * INCH
FINE = 8001

Draw = np.random.Generator
Array = np.ndarray


@dataclass(frozen=True)
class Truth:
    """A line on a fine grid: places [m], diameters [m], densities [kg/m^3]."""

    x: Array
    diameter: Array
    density: Array

    @property
    def length(self) -> float:
        return float(self.x[-1])

    @property
    def linear_density(self) -> Array:
        return np.pi / 4.0 * self.density * self.diameter**2

    @property
    def running(self) -> Array:
        mu = self.linear_density
        steps = np.diff(self.x) * (mu[1:] + mu[:-1]) / 2.0
        return np.concatenate([[0.0], np.cumsum(steps)])

    def mass(self, front: float, rear: float) -> float:
        ends = np.interp([front, rear], self.x, self.running)
        return float(ends[1] - ends[0])

    def times(self, factor: Array) -> Truth:
        return replace(self, density=self.density * factor)


def line_of(feet: Array, thou: Array, density: float = 900.0) -> Truth:
    x = np.linspace(0.0, feet[-1], FINE)
    d = np.interp(x, feet, thou) * THOU
    return Truth(x * FOOT, d, np.full(FINE, density))


# -- shapes -----------------------------------------------------------------------------------


def head(rng: Draw) -> Truth:
    """Front taper, belly, rear taper."""
    parts = rng.uniform([7.0, 10.0, 3.0], [14.0, 18.0, 7.0])
    tip, belly, end = rng.uniform([32.0, 60.0, 35.0], [45.0, 95.0, 50.0])
    feet = np.concatenate([[0.0], np.cumsum(parts)])
    return line_of(feet, np.array([tip, belly, belly, end]), rng.uniform(800.0, 980.0))


def straight(rng: Draw) -> Truth:
    """One straight taper."""
    ends = rng.uniform([32.0, 60.0], [45.0, 95.0])
    return line_of(np.array([0.0, rng.uniform(25.0, 38.0)]), ends, rng.uniform(800.0, 980.0))


def level(rng: Draw) -> Truth:
    thick = rng.uniform(35.0, 95.0)
    return line_of(np.array([0.0, rng.uniform(20.0, 40.0)]), np.array([thick, thick]))


def hump(rng: Draw) -> Truth:
    """Smoothly thicker in the middle, straight nowhere."""
    length, thin, rise = rng.uniform([24.0, 35.0, 20.0], [38.0, 45.0, 45.0])
    middle, width = rng.uniform([0.35, 0.22], [0.65, 0.4])
    feet = np.linspace(0.0, length, 400)
    return line_of(feet, thin + rise * np.exp(-(((feet / length - middle) / width) ** 2)))


def tipped(rng: Draw) -> Truth:
    """A head with a short level tip."""
    parts = rng.uniform([0.5, 7.0, 10.0, 3.0], [2.0, 13.0, 18.0, 7.0])
    tip, belly, end = rng.uniform([32.0, 60.0, 35.0], [45.0, 95.0, 50.0])
    feet = np.concatenate([[0.0], np.cumsum(parts)])
    return line_of(feet, np.array([tip, tip, belly, belly, end]), rng.uniform(800.0, 980.0))


def long_one(rng: Draw) -> Truth:
    """72 ft: a long belly and some running line."""
    front, belly, rear = rng.uniform([10.0, 20.0, 8.0], [18.0, 28.0, 14.0])
    tip, thick, end = rng.uniform([34.0, 65.0, 32.0], [45.0, 90.0, 40.0])
    feet = np.array([0.0, front, front + belly, front + belly + rear, 72.0])
    return line_of(feet, np.array([tip, thick, thick, end, end]))


def sinking_tip(rng: Draw) -> Truth:
    """Three pieces, each straight, of three densities, each denser than the one behind it."""
    parts = rng.uniform(2.5, 6.0, 3)
    at = np.concatenate([[0.0], np.cumsum(parts)])
    thick = np.sort(rng.uniform(28.0, 48.0, 4))
    truth = line_of(at, thick)
    densities = np.sort(rng.uniform([1250.0, 1600.0, 2100.0], [1550.0, 2000.0, 2800.0]))[::-1]
    which = np.clip(np.searchsorted(at * FOOT, truth.x, "right") - 1, 0, 2)
    return replace(truth, density=densities[which])


# -- how density changes along them -----------------------------------------------------------


def same(_rng: Draw, truth: Truth) -> Truth:
    return truth


def step(size: float) -> Callable[[Draw, Truth], Truth]:
    def made(rng: Draw, truth: Truth) -> Truth:
        at = rng.uniform(0.1, 0.9) * truth.length
        up = 1.0 + size * rng.choice([-1.0, 1.0])
        return truth.times(np.where(truth.x > at, up, 1.0))

    return made


def wave(size: float, *, least: float, most: float) -> Callable[[Draw, Truth], Truth]:
    """Wavelengths from ``least`` to ``most`` line lengths, all phases."""

    def made(rng: Draw, truth: Truth) -> Truth:
        length, phase = rng.uniform(least, most) * truth.length, rng.uniform(0.0, 2.0 * np.pi)
        return truth.times(1.0 + size * np.sin(2.0 * np.pi * truth.x / length + phase))

    return made


def drift(size: float) -> Callable[[Draw, Truth], Truth]:
    def made(rng: Draw, truth: Truth) -> Truth:
        end = size * rng.choice([-1.0, 1.0])
        return truth.times(1.0 + end * (2.0 * truth.x / truth.length - 1.0))

    return made


# -- what is measured -------------------------------------------------------------------------

Cuts = Callable[[Draw, Truth], list[tuple[float, float]]]


def nothing_more(_rng: Draw, _truth: Truth) -> list[tuple[float, float]]:
    return []


def offcut(rng: Draw, truth: Truth) -> list[tuple[float, float]]:
    """A piece off either end."""
    long = rng.uniform(0.1, 0.25) * truth.length
    return [(0.0, long) if rng.random() < 0.5 else (truth.length - long, truth.length)]


def three_sections(rng: Draw, truth: Truth) -> list[tuple[float, float]]:
    """All of it in three pieces."""
    at = truth.length * rng.uniform([0.25, 0.58], [0.42, 0.75])
    return [(0.0, at[0]), (at[0], at[1]), (at[1], truth.length)]


@dataclass(frozen=True)
class Family:
    """A kind of line, and how it is measured.

    count: stations; scatter: of diameters, as a share of them, 0 for what the bench is set to;
    short: how far ahead of the rod end the last station lies [ft].
    """

    name: str
    shape: Callable[[Draw], Truth] = head
    change: Callable[[Draw, Truth], Truth] = same
    cuts: Cuts = nothing_more
    count: int = 20
    scatter: float = 0.0
    short: float = 0.0

    def drawn(self, seed: int) -> tuple[Truth, Measurement]:
        """A line and what was measured on it."""
        rng = np.random.default_rng([seed, *self.name.encode()])
        truth = self.change(rng, self.shape(rng))
        return truth, self.measured(rng, truth)

    def measured(self, rng: Draw, truth: Truth) -> Measurement:
        tape, length = USUAL.tape, truth.length
        end = length - self.short * FOOT
        marked = np.linspace(0.0, end, self.count)
        marked[1:-1] += rng.uniform(-0.15, 0.15, self.count - 2) * end / (self.count - 1)
        marked = np.minimum(np.round(marked / tape) * tape, length)
        at = np.clip(marked + rng.uniform(-0.5, 0.5, self.count) * tape, 0.0, length)
        thick = np.interp(at, truth.x, truth.diameter)
        noise = self.scatter * thick if self.scatter else USUAL.scatter
        read = np.round((thick + rng.normal(0.0, 1.0, self.count) * noise) / USUAL.micrometer)
        stations = tuple(
            Station(float(x), (float(d * USUAL.micrometer),))
            for x, d in zip(marked, read, strict=True)
        )
        sections = [WeighedSection(0.0, length, weighed(truth.mass(0.0, length)))]
        for front, rear in self.cuts(rng, truth):
            ends = np.array([front, rear])
            inside = (ends > 0.0) & (ends < length)
            ends = np.where(inside, np.round(ends / tape) * tape, ends)
            real = ends + inside * rng.uniform(-0.5, 0.5, 2) * tape
            sections.append(WeighedSection(*map(float, ends), weighed(truth.mass(*real))))
        return Measurement(
            "m", self.name, length, USUAL, stations=stations, sections=tuple(sections)
        )


def weighed(mass: float) -> float:
    return round(mass / USUAL.scale) * USUAL.scale


FAMILIES = (
    Family("constant density"),
    Family("constant density, three sections", cuts=three_sections),
    Family("hidden step of 2 %", straight, step(0.02)),
    Family("hidden step of 6 %", straight, step(0.06)),
    Family("hidden step of 6 % in a head", head, step(0.06)),
    Family("hidden step of 6 %, an offcut", straight, step(0.06), offcut),
    Family("wave of 2 %", head, wave(0.02, least=0.15, most=1.5)),
    Family("wave of 2 %, three sections", head, wave(0.02, least=0.15, most=1.5), three_sections),
    Family("drift to 5 % at either end", head, drift(0.05)),
    Family("three-step tip of three densities, an offcut", sinking_tip, same, offcut),
    Family("smooth hump", hump),
    Family("no taper", level),
    Family("72 ft with 12 stations", long_one, count=12),
    Family("scatter of 2 %", head, scatter=0.02),
    Family("short level tip", tipped),
    Family("last station 5 ft short", head, short=5.0),
    Family("hidden step of 25 %, an offcut", straight, step(0.25), offcut),
    Family("hidden step of 25 %, three sections", straight, step(0.25), three_sections),
    Family("long wave of 4 %, an offcut", head, wave(0.04, least=0.67, most=2.0), offcut),
    Family(
        "long wave of 4 %, three sections", head, wave(0.04, least=0.67, most=2.0), three_sections
    ),
)
"""What must be covered."""

HOPELESS = (
    Family("hidden step of 25 %, total alone", straight, step(0.25)),
    Family("wave of 4 %, total alone", head, wave(0.04, least=0.15, most=1.5)),
    Family(
        "wave of 4 % shorter than the sections, three sections",
        head,
        wave(0.04, least=0.15, most=0.67),
        three_sections,
    ),
)
"""What no weights can tell; measured, not promised. Of a wave shorter than twice the sections that
are weighed their weights show next to nothing (it is the sampling theorem)."""
