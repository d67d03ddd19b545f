"""Handles on the breakpoints: where they lie and what dragging one asks for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from taperlab.gui.plots.scales import Plot
from taperlab.model.segment import Segment
from taperlab.physics.solve import diameter_for_linear_density
from taperlab.shop.analyse import LineAnalysis
from taperlab.units.kinds import DIAMETER

SAME = 1e-9


class Side(Enum):
    """Which segment's end a handle lies on: ahead of the breakpoint, behind it, or both."""

    AHEAD = "ahead"
    BEHIND = "behind"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class Handle:
    """A handle on breakpoint ``index`` (0 is the fly end, n the rod end).

    position: [m]. value: diameter [m] or weight per length [kg/m], by plot.
    """

    plot: Plot
    index: int
    side: Side
    position: float
    value: float

    @property
    def key(self) -> tuple[Plot, int, Side]:
        """What stays the same while the handle moves."""
        return self.plot, self.index, self.side


def _same(one: float, other: float) -> bool:
    return abs(one - other) <= SAME * max(abs(one), abs(other))


def handles_of(analysis: LineAnalysis) -> tuple[Handle, ...]:
    """The handles of a line on both plots, from the fly end. A step in value has one a side."""
    profile, figures = analysis.profile, analysis.segments
    count = len(figures)
    starts = profile.starts.tolist()
    front, rear = profile.front_diameters.tolist(), profile.rear_diameters.tolist()
    made: list[Handle] = []
    for index in range(count + 1 if count else 0):
        ends = {
            Plot.OUTLINE: (
                rear[index - 1] if index else None,
                front[index] if index < count else None,
            ),
            Plot.WEIGHT: (
                figures[index - 1].rear_linear_density if index else None,
                figures[index].front_linear_density if index < count else None,
            ),
        }
        for plot, (ahead, behind) in ends.items():
            if ahead is not None and behind is not None and _same(ahead, behind):
                made.append(Handle(plot, index, Side.BOTH, starts[index], ahead))
                continue
            if ahead is not None:
                made.append(Handle(plot, index, Side.AHEAD, starts[index], ahead))
            if behind is not None:
                made.append(Handle(plot, index, Side.BEHIND, starts[index], behind))
    return tuple(made)


def dragged_diameters(
    segments: tuple[Segment, ...], handle: Handle, value: float
) -> dict[str, float]:
    """Diameters ahead of and behind a breakpoint, for a handle dragged to ``value`` [SI].

    Both touching ends move if they were equal, else the one that the handle lies on.
    """
    ahead = segments[handle.index - 1] if handle.index else None
    behind = segments[handle.index] if handle.index < len(segments) else None
    chosen = behind if handle.side is Side.BEHIND or ahead is None else ahead
    assert chosen is not None
    diameter = value
    if handle.plot is Plot.WEIGHT:
        core = (chosen.core.diameter, chosen.core.density) if chosen.core else (0.0, 0.0)
        diameter = float(diameter_for_linear_density(max(value, 0.0), chosen.density, *core))
    joined = (
        ahead is not None
        and behind is not None
        and _same(ahead.rear_diameter, behind.front_diameter)
    )
    moved = {"diameter_ahead": ahead, "diameter_behind": behind}
    if not joined:
        moved = {name: segment for name, segment in moved.items() if segment is chosen}
    thinnest = max(
        [DIAMETER.lowest]
        + [segment.core.diameter for segment in moved.values() if segment and segment.core]
    )
    if not diameter >= thinnest:  # nan too: lighter than the core alone
        diameter = thinnest
    return {name: min(diameter, DIAMETER.highest) for name, segment in moved.items() if segment}
