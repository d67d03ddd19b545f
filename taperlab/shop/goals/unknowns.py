"""What may move in a line: groups of cells that share a factor, how far, and what that costs.

Unknown is the logarithm of each group's factor. Rows of a head that are one straight taper, since
they were split and nothing was done to either part, count as one row: the search cannot tell them
from it, so a split changes no answer.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from taperlab.edits.changing import same
from taperlab.model.aim import Cell
from taperlab.model.line import JointKind, Line
from taperlab.model.segment import Segment
from taperlab.physics.frustum import Array
from taperlab.physics.head import head_rows
from taperlab.physics.slopes import Sloped
from taperlab.units.limits import CELL_LIMITS

FAR = {Cell.LENGTH: 0.25, Cell.FRONT: 0.20, Cell.REAR: 0.20, Cell.DENSITY: 0.10}
"""How far a cell may go of which nothing else is said, as a share of what it is."""

STEP = {Cell.LENGTH: 0.05, Cell.FRONT: 0.05, Cell.REAR: 0.05, Cell.DENSITY: 0.02}
"""Changes by these shares, throughout the head, are equally large."""

LEAST_SHARE = 0.25
"""Of its length's share, what a diameter's change counts for at least."""

CELL_ROWS = (Cell.LENGTH, Cell.FRONT, Cell.REAR, Cell.DENSITY)
"""The cells in the order of the slopes' tables."""

FIELDS = {
    Cell.LENGTH: "length",
    Cell.FRONT: "front_diameter",
    Cell.REAR: "rear_diameter",
    Cell.DENSITY: "density",
}
"""The field of a segment that a cell is."""

Place = tuple[int, Cell]
"""A row, from 0, and a cell of it."""


def cell_value(segment: Segment, cell: Cell) -> float:
    """What a cell holds [m] or [kg/m^3]; of a row with a core, the density of its coating."""
    value: float = getattr(segment, FIELDS[cell])
    return value


def with_cells(line: Line, values: Iterable[tuple[Place, float]]) -> Line:
    """A line with other numbers [m], [kg/m^3] in some cells; other segments are as they were."""
    changes: dict[int, dict[str, Any]] = {}
    for (row, cell), value in values:
        changes.setdefault(row, {})[FIELDS[cell]] = value
    segments = tuple(
        replace(each, **changes[row]) if row in changes else each
        for row, each in enumerate(line.segments)
    )
    return replace(line, segments=segments)


@dataclass(frozen=True, slots=True)
class Group:
    """Cells that move by one factor.

    low, high: bounds of the logarithm of the factor, which may leave out 0. weight: what a change
    counts for, over the square of :data:`STEP`.
    """

    cells: tuple[Place, ...]
    low: float
    high: float
    weight: float

    @property
    def is_length(self) -> bool:
        """Whether its cells are lengths."""
        return self.cells[0][1] is Cell.LENGTH

    @property
    def is_diameter(self) -> bool:
        """Whether its cells are diameters."""
        return self.cells[0][1] in (Cell.FRONT, Cell.REAR)


@dataclass(frozen=True, slots=True)
class Freed:
    """Locks that are taken as open, to see what they stand in the way of.

    cells: of these places. columns: of these kinds of cell, though the whole column is locked.
    """

    cells: frozenset[Place] = frozenset()
    columns: frozenset[Cell] = frozenset()


NOTHING_FREED = Freed()


def may_move(line: Line, row: int, cell: Cell, freed: Freed = NOTHING_FREED) -> bool:
    """Whether a cell may move: it is the head's, and neither it nor its column is locked."""
    segment = line.segments[row]
    if not segment.part.in_head:
        return False
    if segment.hold(cell).locked and (row, cell) not in freed.cells:
        return False
    return line.aim.frees(cell) or cell in freed.columns


def groups_of(line: Line, freed: Freed = NOTHING_FREED) -> tuple[Group, ...]:
    """What may move of a line, lengths first, then diameters, then densities.

    Diameters that are alike where rows meet, both ends of a level row, and densities that are
    alike, move together; so do cells that a person tied. One that is locked holds all of those.
    """
    rows = head_rows(line)
    weigh = _Weights(line, rows)
    found = []
    for cells in _joined(rows, itertools.chain(_alike(line, rows), _tied(line, rows))):
        if not all(may_move(line, *place, freed) for place in cells):
            continue
        low, high = _bounds(line, cells)
        found.append(Group(cells, low, high, weigh.of(cells)))
    return tuple(found)


def alike_places(line: Line) -> tuple[tuple[Place, ...], ...]:
    """The cells of a line's head, those that are one dimension together; lengths first."""
    rows = head_rows(line)
    return _joined(rows, _alike(line, rows))


def _joined(
    rows: tuple[int, ...], pairs: Iterable[tuple[Place, Place]]
) -> tuple[tuple[Place, ...], ...]:
    """All cells of some rows, those that a chain of pairs joins together."""
    joined: dict[Place, Place] = {}

    def root(place: Place) -> Place:
        while joined.get(place, place) != place:
            place = joined[place]
        return place

    for one, other in pairs:
        joined.setdefault(one, one)
        joined.setdefault(other, other)
        joined[root(other)] = root(one)
    places = [(row, cell) for cell in CELL_ROWS for row in rows]
    together: dict[Place, list[Place]] = {}
    for place in sorted(places, key=lambda each: (_order(each[1]), each[0], each[1] is Cell.REAR)):
        together.setdefault(root(place), []).append(place)
    return tuple(map(tuple, together.values()))


def _order(cell: Cell) -> int:
    return {Cell.LENGTH: 0, Cell.DENSITY: 2}.get(cell, 1)


def _alike(line: Line, rows: tuple[int, ...]) -> Iterable[tuple[Place, Place]]:
    """Cells that are one dimension of the line as it is."""
    for row in rows:
        each = line.segments[row]
        if same(each.front_diameter, each.rear_diameter):
            yield (row, Cell.FRONT), (row, Cell.REAR)
    for ahead, behind in itertools.pairwise(rows):
        one, other = line.segments[ahead], line.segments[behind]
        if behind == ahead + 1 and same(one.rear_diameter, other.front_diameter):
            yield (ahead, Cell.REAR), (behind, Cell.FRONT)
    batches: dict[float, int] = {}
    for row in rows:
        density = float(f"{line.segments[row].density:.9g}")
        first = batches.setdefault(density, row)
        if first != row:
            yield (first, Cell.DENSITY), (row, Cell.DENSITY)


def _tied(line: Line, rows: tuple[int, ...]) -> Iterable[tuple[Place, Place]]:
    """Cells that a person tied."""
    first: dict[tuple[int, str], Place] = {}
    for row in rows:
        for hold in line.segments[row].holds:
            if hold.tie:
                place = (row, hold.cell)
                head = first.setdefault((_order(hold.cell), hold.tie), place)
                if head != place:
                    yield head, place


def _bounds(line: Line, cells: Iterable[Place]) -> tuple[float, float]:
    """How far the logarithm of a group's factor may go.

    What line cannot be is never passed, and what a person set only where that leaves no room.
    """
    low, high, set_low, set_high = -math.inf, math.inf, -math.inf, math.inf
    own_low, own_high = -math.inf, math.inf
    for row, cell in cells:
        segment = line.segments[row]
        value, hold, kind = cell_value(segment, cell), segment.hold(cell), CELL_LIMITS[cell].kind
        lowest = kind.lowest
        if segment.core and cell in (Cell.FRONT, Cell.REAR):
            lowest = max(lowest, segment.core.diameter * (1.0 + 1e-9))
        low = max(low, min(0.0, math.log(lowest / value)))
        high = min(high, math.log(kind.highest / value))
        own_low = max(own_low, math.log(1.0 - FAR[cell]))
        own_high = min(own_high, math.log(1.0 + FAR[cell]))
        if hold.low is not None and hold.low > 0.0:
            set_low = max(set_low, math.log(hold.low / value))
        if hold.high is not None and hold.high > 0.0:
            set_high = min(set_high, math.log(hold.high / value))
    # A bound that a person set stands in place of ours; one below today's value pulls ours along.
    bottom = set_low if set_low > -math.inf else min(own_low, set_high)
    top = set_high if set_high < math.inf else max(own_high, set_low)
    bottom, top = min(max(bottom, low), high), min(max(top, low), high)
    return bottom, max(bottom, top)


class _Weights:
    """What a change of a group counts for, from its share in the head's length and weight."""

    def __init__(self, line: Line, rows: tuple[int, ...]) -> None:
        sloped = Sloped.of(line)
        self._length = float(sum(line.segments[row].length for row in rows))
        self._mass = float(sloped.plain_masses[list(rows)].sum())
        self._share = sloped.plain_mass_slopes * sloped.columns[:4] / self._mass
        self._segments = line.segments
        self._masses = sloped.plain_masses

    def of(self, cells: tuple[Place, ...]) -> float:
        cell = cells[0][1]
        if cell is Cell.LENGTH:
            share = sum(self._segments[row].length for row, _ in cells) / self._length
        elif cell is Cell.DENSITY:
            share = float(sum(self._masses[row] for row, _ in cells)) / self._mass
        else:
            grows = sum(float(self._share[CELL_ROWS.index(end), row]) for row, end in cells)
            beside = sum(self._segments[row].length for row, _ in cells) / 2.0 / self._length
            share = max(grows / 2.0, LEAST_SHARE * beside)
        return float(max(share, 1e-6)) / STEP[cell] ** 2


# -- rows that are one row ----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Gathered:
    """A line whose rows of one straight taper are one row, and how to part them again.

    parts: for each row of ``line``, the rows of the line that was given, and each one's share in
    the length, from the front on.
    """

    line: Line
    parts: tuple[tuple[tuple[int, float], ...], ...]

    def freed(self, freed: Freed) -> Freed:
        """Locks taken as open, told in rows of the gathered line."""
        at = {row: i for i, parts in enumerate(self.parts) for row, _ in parts}
        return replace(freed, cells=frozenset((at[row], cell) for row, cell in freed.cells))

    def parted(self, found: Line, given: Line) -> Line:
        """The rows as they were given, as thick and long as they are in ``found``."""
        rows = list(given.segments)
        for segment, parts in zip(found.segments, self.parts, strict=True):
            place, behind = 0.0, segment.front_diameter
            for row, share in parts:
                place += share
                last = row == parts[-1][0]
                front = behind
                behind = (
                    segment.rear_diameter
                    if last
                    else segment.front_diameter
                    + (segment.rear_diameter - segment.front_diameter) * place
                )
                rows[row] = replace(
                    rows[row],
                    length=segment.length * share,
                    front_diameter=front,
                    rear_diameter=behind,
                    density=segment.density,
                )
        return replace(given, segments=tuple(rows))


def gathered(line: Line) -> Gathered:
    """A line with each straight taper of its head as one row."""
    runs: list[list[int]] = []
    for row in range(len(line.segments)):
        if runs and _is_one(line, runs[-1], row):
            runs[-1].append(row)
        else:
            runs.append([row])
    if len(runs) == len(line.segments):
        return Gathered(line, tuple(((row, 1.0),) for row in range(len(runs))))
    segments, parts = [], []
    for run in runs:
        length = sum(line.segments[row].length for row in run)
        rear = line.segments[run[-1]].rear_diameter
        segments.append(replace(line.segments[run[0]], length=length, rear_diameter=rear))
        parts.append(tuple((row, line.segments[row].length / length) for row in run))
    joints = tuple(line.joints[run[-1]] for run in runs[:-1])
    return Gathered(replace(line, segments=tuple(segments), joints=joints), tuple(parts))


def _is_one(line: Line, run: list[int], row: int) -> bool:
    """Whether a row goes on where the run ahead of it ends, as if it had been cut from it."""
    first, ahead, behind = line.segments[run[0]], line.segments[run[-1]], line.segments[row]
    joint = line.joints[row - 1]
    plain = joint.kind is JointKind.ONE_EXTRUSION and not joint.mass
    alike = (
        ahead.part is behind.part
        and ahead.part.in_head
        and same(ahead.density, behind.density)
        and ahead.core == behind.core
        and not (first.holds or behind.holds)
    )
    if not (plain and alike and same(ahead.rear_diameter, behind.front_diameter)):
        return False
    ran = sum(line.segments[each].length for each in run)
    level = same(first.front_diameter, ahead.rear_diameter)
    if level or same(behind.front_diameter, behind.rear_diameter):
        return level and same(behind.front_diameter, behind.rear_diameter)
    straight = first.front_diameter + (behind.rear_diameter - first.front_diameter) * ran / (
        ran + behind.length
    )
    return bool(abs(straight - ahead.rear_diameter) <= 1e-7 * ahead.rear_diameter)


def values(line: Line) -> Array:
    """Lengths, diameters and densities of a line's rows; (4, n)."""
    return np.array(
        [[cell_value(each, cell) for each in line.segments] for cell in CELL_ROWS], dtype=float
    )
