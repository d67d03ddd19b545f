"""What differs between a line as it was and as it is: figures, and row by row."""

from __future__ import annotations

import math
from dataclasses import dataclass

from taperlab.model.line import Line, Style
from taperlab.model.segment import Part
from taperlab.physics import section
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.pairing import Pair, pairs_of_one_line

ROUNDING = 1e-9
"""Numbers closer than this, relatively, are one number."""


@dataclass(frozen=True, slots=True)
class WasNow:
    """A number [SI] before and now."""

    was: float
    now: float

    @property
    def differs(self) -> bool:
        """Whether it is another number, but for rounding."""
        return not math.isclose(self.was, self.now, rel_tol=ROUNDING, abs_tol=1e-15)

    @property
    def change(self) -> float:
        """Now less before."""
        return self.now - self.was


@dataclass(frozen=True, slots=True)
class RowChange:
    """One segment before and now; both rows count from 0, and one is None where it stands alone.

    part: what it is for now, or was. Numbers are those that differ: length, diameters [m], density
    [kg/m^3], the mean over the segment; None where they do not. was_part: where that differs.
    """

    was: int | None
    now: int | None
    part: Part
    was_part: Part | None = None
    length: WasNow | None = None
    front_diameter: WasNow | None = None
    rear_diameter: WasNow | None = None
    density: WasNow | None = None

    @property
    def differs(self) -> bool:
        """Whether there is anything to tell."""
        numbers = (self.length, self.front_diameter, self.rear_diameter, self.density)
        return None in (self.was, self.now) or bool(self.was_part) or any(numbers)


@dataclass(frozen=True, slots=True)
class Changes:
    """What became of a line since a version of it.

    of_head: whether mass [kg] and length [m] are those of the head; of the whole line where it has
    none, before or now. front_share: of the front taper in the head's weight; None without a head.
    rows: segments that are new, gone, or differ, from the fly end. style: before and now, where
    that differs. front_loop, rear_loop: whether it differs. joints: rows now behind which the joint
    differs.
    """

    of_head: bool
    mass: WasNow
    length: WasNow
    front_share: WasNow | None
    rows: tuple[RowChange, ...]
    style: tuple[Style, Style] | None
    front_loop: bool
    rear_loop: bool
    joints: tuple[int, ...]

    @property
    def is_none(self) -> bool:
        """Whether the line is as it was."""
        loops = self.front_loop or self.rear_loop
        return not (self.rows or self.style or loops or self.joints)


def changes(was: LineAnalysis, now: LineAnalysis) -> Changes:
    """What differs between a line as it was and as it is."""
    before, after = was.line, now.line
    one, two = was.head, now.head
    if one is not None and two is not None:
        mass, length = WasNow(one.mass, two.mass), WasNow(one.length, two.length)
        share = WasNow(one.front_taper_mass_share, two.front_taper_mass_share)
    else:
        mass, length, share = WasNow(was.mass, now.mass), WasNow(was.length, now.length), None
    pairs = pairs_of_one_line(before.segments, after.segments)
    rows = (_row(before, after, pair) for pair in pairs)
    return Changes(
        share is not None,
        mass,
        length,
        share,
        tuple(each for each in rows if each.differs),
        (before.style, after.style) if before.style is not after.style else None,
        before.front_loop != after.front_loop,
        before.rear_loop != after.rear_loop,
        _joints(before, after, pairs),
    )


def _row(before: Line, after: Line, pair: Pair) -> RowChange:
    a, b = pair
    if a is None or b is None:
        alone = before.segments[a] if a is not None else after.segments[b or 0]
        return RowChange(a, b, alone.part)
    old, new = before.segments[a], after.segments[b]
    numbers = (
        WasNow(old.length, new.length),
        WasNow(old.front_diameter, new.front_diameter),
        WasNow(old.rear_diameter, new.rear_diameter),
        WasNow(section.mean_density(old), section.mean_density(new)),
    )
    was_part = old.part if old.part is not new.part else None
    told = (each if each.differs else None for each in numbers)
    return RowChange(a, b, new.part, was_part, *told)


def _joints(before: Line, after: Line, pairs: list[Pair]) -> tuple[int, ...]:
    """Rows now behind which the joint is another than between the same two segments before."""
    rows = {now: was for was, now in pairs if was is not None and now is not None}
    return tuple(
        now
        for now, was in rows.items()
        if rows.get(now + 1) == was + 1 and before.joints[was] != after.joints[now]
    )
