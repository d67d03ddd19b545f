"""What a measured line weighs, piece by piece and at every place: shape and weights together."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from taperlab.model.line import Loop
from taperlab.model.measurement import Instruments, Measurement, WeighedSection
from taperlab.physics import frustum
from taperlab.physics.frustum import Array
from taperlab.shop.belief.line import LineBelief
from taperlab.shop.belief.outline import Outline, Shape
from taperlab.shop.errors import CONFIDENT, rounding_error
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.shape import Placed, ShapeFit
from taperlab.units.sentence import OnTape, Sentence

Known = tuple[float, float]
"""A quantity and the half-width within which it lies in 95 of 100 measurements."""

ODD_WEIGHT = 4.0
"""Standard deviations by which a weight may differ from the rest before it is named."""


@dataclass(frozen=True, eq=False, slots=True)
class WeightFit:
    """A measured line: the broken line that was found, and what is believed of its weight.

    masses, densities (m - 1,): of each segment [kg], loops left out, and [kg/m^3], which is its
    mass over the volume of the broken line; mass_halves (m - 1,): half-widths of the masses.
    """

    shape: ShapeFit
    belief: LineBelief
    masses: Array
    mass_halves: Array
    densities: Array

    @property
    def positions(self) -> Array:
        """Distances of the nodes from the fly end [m], (m,), the last at the rear end."""
        return self.shape.positions

    @property
    def diameters(self) -> Array:
        """Diameters of the broken line at the nodes [m], (m,)."""
        return self.shape.diameters

    @property
    def length(self) -> float:
        """Length of the line [m]."""
        return self.shape.length

    @property
    def length_half(self) -> float:
        """Half-width of the length of the whole line [m]."""
        return CONFIDENT * float(self.shape.errors.positions[-1])

    @property
    def loops(self) -> tuple[Loop, Loop]:
        """Those at the fly end and at the rod end."""
        return self.belief.loops

    def mass(self, front: float, rear: float) -> Known:
        """Mass [kg] between two distances [m], loops at the ends included.

        Where weights contradict each other the half-width reaches what they say: which of them is
        right is not known, however fine the scale.
        """
        mass, half = self.belief.weight([WeighedSection(front, rear, 1.0)])
        return float(mass[0]), max(float(half[0]), self._contradicted(front, rear))

    def stands_out(self, section: int) -> bool:
        """Whether a weighed section differs from the rest by more than its own error explains."""
        belief = self.belief
        return bool(abs(belief.residuals[section]) > ODD_WEIGHT * belief.readings.noise[section])

    @property
    def disagrees(self) -> bool:
        """Whether weights contradict each other, so that they cannot all be right."""
        return any(self.stands_out(i) for i in range(len(self.belief.sections)))

    def _contradicted(self, front: float, rear: float) -> float:
        """How far the weights that stand out would move the mass between two distances [kg].

        The most that sections beside each other, all too heavy or all too light, add up to.
        """
        off = [
            (section, float(self.belief.residuals[i]))
            for i, section in enumerate(self.belief.sections)
            if self.stands_out(i) and section.front < rear and section.rear > front
        ]
        most = 0.0
        for sign in (1.0, -1.0):
            up_to: list[tuple[float, float]] = [(0.0, 0.0)]
            for section, residual in sorted(off, key=lambda each: each[0].rear):
                ahead = max(mass for end, mass in up_to if end <= section.front)
                up_to.append((section.rear, max(ahead, 0.0) + sign * residual))
            most = max(most, *(mass for _, mass in up_to))
        return most

    @property
    def total(self) -> Known:
        """Mass of the whole line [kg]."""
        return self.mass(0.0, self.length)

    @property
    def density_halves(self) -> Array:
        """Half-width of each segment's density [kg/m^3], for its mass and for its volume."""
        ends = zip(self.positions[:-1].tolist(), self.positions[1:].tolist(), strict=True)
        volume = np.array([self.belief.outline.volume_error(*each) for each in ends])
        share = np.hypot(self.mass_halves / self.masses, CONFIDENT * volume)
        return np.asarray(self.densities * share)

    @property
    def lengths(self) -> tuple[Array, Array]:
        """Length of each segment [m] and its half-width."""
        lengths, errors = self.shape.with_error(lambda state: state.lengths)
        return lengths, CONFIDENT * errors


def outline_of(shape: ShapeFit, instruments: Instruments) -> Outline:
    """The diameter along the line whose breakpoints these are, from the stations that are kept."""
    kept, inner = shape.stations, shape.positions[1:-1]
    slopes = np.diff(shape.diameters) / np.diff(shape.positions)
    tape = rounding_error(instruments.tape)
    segment = np.searchsorted(inner, kept.distances)
    errors = np.hypot(kept.errors, slopes[segment] * tape)
    if shape.is_scattered:
        errors = errors * math.sqrt(shape.chi_square / shape.freedom)
    held = np.array([each is Placed.FIXED for each in shape.placed], dtype=bool)
    loose = np.array([each is Placed.AT_STATION for each in shape.placed], dtype=bool)
    return Outline(
        Shape(
            shape.length,
            kept.distances,
            kept.diameters,
            errors,
            inner,
            np.where(held, tape, 0.0),
            loose,
        )
    )


def fit_weights(shape: ShapeFit, measurement: Measurement) -> WeightFit | NoFit:
    """What is believed of a line of this shape once the weights are known, or why nothing is."""
    sections, instruments = measurement.sections, measurement.instruments
    if not sections:
        return NoFit(
            Sentence("Weigh the whole line, or a section of it: without a weight no density.")
        )
    for section in sections:
        if section.front >= shape.length or section.rear > shape.length + instruments.tape:
            return NoFit(
                Sentence(
                    "The weighed section to {rear} runs beyond the line’s end at {end}.",
                    rear=OnTape(section.rear),
                    end=OnTape(shape.length),
                )
            )
    outline = outline_of(shape, instruments)
    if np.any(outline.mean(np.linspace(0.0, shape.length, 101)) <= 0.0):
        return NoFit(
            Sentence("The fit runs to a diameter of zero at an end: measure nearer to the ends.")
        )
    belief = LineBelief(
        outline,
        sections,
        instruments,
        loops=(measurement.front_loop, measurement.rear_loop),
        material=measurement.material,
    )
    nodes, thick = shape.positions, shape.diameters
    # Where a segment ends is not known exactly, and what lies there counts for it or for the next.
    places = shape.errors.positions
    ends = belief.described(nodes) * np.where((nodes > 0.0) & (nodes < shape.length), places, 0.0)
    masses, halves = belief.mass(nodes[:-1], nodes[1:], besides=ends[:-1] ** 2 + ends[1:] ** 2)
    densities = masses / frustum.volume(np.diff(nodes), thick[:-1], thick[1:])
    if belief.density <= 0.0 or np.any(densities <= 0.0):
        return NoFit(Sentence("The weights cannot all be right: a density comes out below zero."))
    return WeightFit(shape, belief, masses, halves, densities)
