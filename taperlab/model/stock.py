"""Line material on the shelf."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

from taperlab.model.segment import RoundSection, Segment


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock(RoundSection):
    """A material sold by length, as it lies on the spool; its ``length`` is what is left of it."""

    key: str
    name: str

    @classmethod
    def like(cls, segment: Segment, name: str) -> Stock:
        """A material like a segment, as long as that is; it has no key yet."""
        return cls(**_make_up(segment), note=segment.note, key="", name=name)

    def piece(self, length: float) -> Segment:
        """So much of it [m], cut from its front, for a line."""
        return Segment(**_make_up(self.cut(0.0, length)), note=self.name)


def _make_up(section: RoundSection) -> dict[str, Any]:
    """All of a section but its note and what only its file knows."""
    names = {field.name for field in fields(RoundSection)} - {"note", "extra"}
    return {name: getattr(section, name) for name in names}
