"""Line material on the shelf."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.segment import RoundSection, Segment


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock(RoundSection):
    """A material sold by length, as it lies on the spool; its ``length`` is what is left of it."""

    key: str
    name: str

    @classmethod
    def like(cls, segment: Segment, name: str) -> Stock:
        """A material like a segment, as long as that is; it has no key yet."""
        return cls(
            segment.part,
            segment.length,
            segment.front_diameter,
            segment.rear_diameter,
            segment.density,
            segment.core,
            segment.note,
            key="",
            name=name,
        )

    def piece(self, length: float) -> Segment:
        """So much of it [m], cut from its front, for a line."""
        cut = self.cut(0.0, length)
        return Segment(
            cut.part,
            cut.length,
            cut.front_diameter,
            cut.rear_diameter,
            cut.density,
            cut.core,
            note=self.name,
        )
