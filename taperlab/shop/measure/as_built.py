"""As designed against as built: what differs, and whether it is more than measuring error."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.line import Line
from taperlab.physics.frustum import Array
from taperlab.physics.profile import Profile
from taperlab.shop.measure.weights import WeightFit
from taperlab.shop.pairing import pairs_by_part
from taperlab.units.sentence import Sentence, listed


@dataclass(frozen=True, slots=True)
class Amount:
    """One quantity designed and built, in SI, and the half-width (95 in 100) of the built one.

    designed or built is None where the segment exists on one side only.
    """

    designed: float | None
    built: float | None
    error: float | None

    @property
    def difference(self) -> float | None:
        """Built less designed."""
        if self.designed is None or self.built is None:
            return None
        return self.built - self.designed

    @property
    def outside(self) -> float:
        """The difference where it is more than measuring error explains (95 %), else 0."""
        if self.difference is None or self.error is None:
            return 0.0
        return self.difference if abs(self.difference) > self.error else 0.0


@dataclass(frozen=True, slots=True)
class Row:
    """A segment, or the whole line: its part's name, mass [kg] and length [m].

    designed, built: the segment's index in each line, None where it has no match there, or for
    the whole line.
    """

    name: Sentence
    designed: int | None
    built: int | None
    mass: Amount
    length: Amount

    @property
    def is_whole(self) -> bool:
        """Whether this is the whole line."""
        return self.designed is None and self.built is None

    @property
    def differs(self) -> bool:
        """Whether built and designed differ by more than measuring error explains."""
        return self.mass.difference is None or bool(self.length.outside or self.mass.outside)

    @property
    def verdict(self) -> Sentence:
        """What the comparison comes to."""
        if self.mass.built is None:
            return Sentence("only in the design")
        if self.mass.designed is None:
            return Sentence("not in the design")
        found = []
        if self.length.outside:
            longer = self.length.outside > 0.0
            found.append(Sentence("longer") if longer else Sentence("shorter"))
        if self.mass.outside:
            heavier = self.mass.outside > 0.0
            found.append(Sentence("heavier") if heavier else Sentence("lighter"))
        if found:
            return Sentence("▲ {differs}", differs=listed(*found))
        return Sentence("✓ within error")


def compare(designed: Line, built: Line, fit: WeightFit) -> tuple[Row, ...]:
    """A row for each segment in order from the fly end, then one for the whole line.

    Segments are paired one by one where both lines have as many, else by their parts in order.
    ``fit`` is what ``built`` was made from.
    """
    plan = Profile.of(designed)
    masses, mass_errors = fit.masses, fit.mass_halves
    lengths, length_errors = fit.lengths
    rows = []
    for a, b in pairs_by_part(designed.segments, built.segments):
        part = built.segments[b].part if b is not None else designed.segments[a or 0].part
        mass = Amount(_at(plan.segment_masses, a), _at(masses, b), _at(mass_errors, b))
        length = Amount(_at(plan.lengths, a), _at(lengths, b), _at(length_errors, b))
        rows.append(Row(Sentence("{part}", part=part), a, b, mass, length))
    mass = Amount(plan.total_mass, *fit.total)
    length = Amount(plan.length, fit.length, fit.length_half)
    return (*rows, Row(Sentence("whole line"), None, None, mass, length))


def _at(values: Array, row: int | None) -> float | None:
    return None if row is None else float(values[row])
