"""Line material on the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

from taperlab.model.segment import RoundSection, Segment, require_not_negative

HAIR = 1e-9
"""Lengths that differ by less are the same [m]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock(RoundSection):
    """A material as it lies on the shelf: a spool, what is left of one, or a whole tapered line.

    ``length`` is what is left of it; of a whole tapered line that of its first section, with
    ``behind``: the sections behind that, which has the same part. kind: what may be cut in its
    place; coating: the family that it welds to; neither is told where it is empty. labelled: mass
    per length that its label states [kg/m]; ``density`` is what is believed. mass_error: standard
    deviation, as a share, of the mass per length of the whole batch; None where it was never
    weighed. leftover: whether some was cut off it before. place: where it lies. cost: of all that
    is left, in whatever money.
    """

    key: str
    name: str
    behind: tuple[Segment, ...] = ()
    kind: str = ""
    coating: str = ""
    labelled: float | None = None
    mass_error: float | None = None
    leftover: bool = False
    place: str = ""
    cost: float | None = None

    def __post_init__(self) -> None:
        # What is inherited is not found by ``super`` in a class with slots.
        RoundSection.__post_init__(self)
        require_not_negative(self, "labelled", "mass_error", "cost")

    @classmethod
    def like(cls, segment: Segment, name: str) -> Stock:
        """A material like a segment, as long as that is; it has no key yet."""
        return cls(**_make_up(segment), note=segment.note, key="", name=name)

    @property
    def sections(self) -> tuple[Segment, ...]:
        """All of it from its front, section by section."""
        return (Segment(**_make_up(self)), *self.behind)

    @property
    def whole_length(self) -> float:
        """What is left of it [m], all sections together."""
        return self.length + sum(each.length for each in self.behind)

    @property
    def is_level(self) -> bool:
        """Whether it is as thick, and as dense, all along."""
        alike = {
            (each.front_diameter, each.rear_diameter, each.density, each.core)
            for each in self.sections
        }
        return len(alike) == 1 and self.front_diameter == self.rear_diameter

    def piece(self, length: float) -> Segment:
        """So much of it [m], cut from its front, for a line; of its first section alone."""
        return Segment(**_make_up(self.cut(0.0, length)), note=self.name)

    def stretch(self, begin: float, end: float) -> tuple[Segment, ...]:
        """What lies between two distances from its front [m], section by section, for a line."""
        found = (replace(each, note=self.name) for each in _between(self.sections, begin, end))
        return tuple(found)

    def remainder(self, begin: float, end: float) -> Stock:
        """The stock with what lies between two distances from its front [m] alone."""
        first, *behind = _between(self.sections, begin, end)
        return replace(self, **_make_up(first), behind=tuple(behind), leftover=True)


def _between(sections: tuple[Segment, ...], begin: float, end: float) -> Iterator[Segment]:
    start = 0.0
    for each in sections:
        low, high = max(0.0, begin - start), min(each.length, end - start)
        if high - low > HAIR:
            yield each.cut(low, high)
        start += each.length


def _make_up(section: RoundSection) -> dict[str, Any]:
    """All of a section but its note and what only its file knows."""
    names = {field.name for field in fields(RoundSection)} - {"note", "extra"}
    return {name: getattr(section, name) for name in names}
