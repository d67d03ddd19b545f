"""The smallest change of a line that meets its goals, or comes nearest to them.

Unknown are logarithms of factors on groups of cells (``unknowns.py``). What is made least is what
the change counts for, plus a hundred squared for each unit that a goal is missed by, its square:
an elastic problem, which has an answer whether or not the goals have one. Each step takes the
goals as straight and solves a bounded least-squares problem (Gauss-Newton); it is halved while
what is to be least would rise above all of the last three steps (L. Grippo, F. Lampariello and
S. Lucidi, SIAM Journal on Numerical Analysis 23, 707-716, 1986: a step along a goal that is not
quite straight rises first, and the next one mends it).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from taperlab.model.aim import Cell
from taperlab.model.line import Line
from taperlab.physics.frustum import Array
from taperlab.physics.slopes import Fittings, Sloped
from taperlab.shop.goals.elastic import elastic_least_squares
from taperlab.shop.goals.targets import Aimed, Row
from taperlab.shop.goals.unknowns import CELL_ROWS, Group, with_cells

FIRM = 100.0
"""What a goal's unit counts for against the cost of a change."""

ORDER_UNIT = 3e-4
"""Share of a diameter by which a taper may run the wrong way, and is as good as level."""

SETTLED_OFF = 0.02
"""A row that is off by less of its unit than this is met as exactly as it can be shown."""

_SOFT, _CHEAP, _LOOKED = 0.3, 1e-4, 4
"""Where one goal gives way: how firm it is, what a change costs, other starts that are tried."""

_MOST_STEPS = 60
_HALVINGS = 12
_MEMORY = 3
_STILL = 1e-7
_SETTLED = 1e-9


@dataclass(frozen=True, slots=True)
class Found:
    """Where a search ended.

    by: logarithm of each group's factor. cost: what the change counts for. off: what each row of
    the goals is outside its range by, in units, signed. merit: what was made least.
    """

    by: Array
    cost: float
    off: Array
    merit: float


class Problem:
    """A line, what may move of it, and goals for it."""

    def __init__(
        self, line: Line, groups: Sequence[Group], aims: Sequence[Aimed], *, ordered: bool = True
    ) -> None:
        self.line, self.groups, self.aims = line, tuple(groups), tuple(aims)
        self._columns = Sloped.of(line).columns
        self._fittings = Fittings.of(line)
        count = len(line.segments)
        self.low = np.array([each.low for each in groups], dtype=float)
        self.high = np.array([each.high for each in groups], dtype=float)
        self.scale = np.sqrt(np.array([each.weight for each in groups], dtype=float))
        self._member = np.zeros((4 * count, len(groups)))
        for k, group in enumerate(groups):
            for row, cell in group.cells:
                self._member[CELL_ROWS.index(cell) * count + row, k] = 1.0
        self.rows: tuple[Row, ...] = tuple(row for aim in aims for row in aim.rows)
        self._ordered, self._standing = _order_rows(line, self.groups) if ordered else _NO_ORDER
        if not len(self._ordered):
            self._ordered = np.zeros((0, len(groups)))
        self._bottom = np.array(
            [row.low / row.unit for row in self.rows] + [0.0] * len(self._standing)
        )
        self._top = np.array(
            [row.high / row.unit for row in self.rows] + [math.inf] * len(self._standing)
        )
        self._units = np.array([row.unit for row in self.rows])

    # -- what a change makes ------------------------------------------------------------------

    def columns(self, by: Array) -> Array:
        """The numbers of all rows, as ``Sloped`` takes them; (6, n)."""
        moved = self._columns.copy()
        factors = np.exp(self._member @ by).reshape(4, -1)
        moved[:4] *= factors
        return moved

    def line_at(self, by: Array) -> Line:
        """The line with its cells moved; what does not move stays to the last digit."""
        columns = self.columns(by)
        return with_cells(
            self.line,
            (
                ((row, cell), float(columns[CELL_ROWS.index(cell), row]))
                for k, group in enumerate(self.groups)
                if by[k] != 0.0
                for row, cell in group.cells
            ),
        )

    def values(self, by: Array) -> tuple[Array, Array]:
        """Every row of the goals, and of the order, in units; and their slopes by ``by``."""
        columns = self.columns(by)
        sloped = Sloped(columns, self._fittings)
        count = len(self.rows)
        values = np.empty(count + len(self._standing))
        tables = np.empty((count, 4 * columns.shape[1]))
        for i, row in enumerate(self.rows):
            values[i], table = row.measure(sloped)
            tables[i] = table.ravel()
        by_cell = tables * columns[:4].ravel()
        slopes = np.empty((len(values), len(self.groups)))
        slopes[:count] = (by_cell @ self._member) / self._units[:, np.newaxis]
        values[:count] /= self._units
        values[count:] = self._standing + self._ordered @ by / ORDER_UNIT
        slopes[count:] = self._ordered / ORDER_UNIT
        return values, slopes

    def ends(self) -> tuple[Array, Array]:
        """Between what every row is to lie, in units."""
        return self._bottom, self._top

    def off(self, values: Array) -> Array:
        """What values lie outside their range by, signed."""
        return np.asarray(
            np.minimum(values - self._bottom, 0.0) + np.maximum(values - self._top, 0.0)
        )

    # -- searching ----------------------------------------------------------------------------

    def search(
        self,
        start: Array | None = None,
        firm: Array | float = FIRM,
        cost: float = 1.0,
    ) -> Found:
        """The nearest to the goals, and of all that are as near the smallest change.

        start: where to begin. firm: what a unit of each goal's row counts for. cost: what a change
        counts for, beside what it is.
        """
        count = len(self.rows)
        weigh = np.full(len(self._standing) + count, FIRM)
        weigh[:count] = firm
        scale = self.scale * math.sqrt(cost)
        zero = np.zeros(len(self.groups))
        z = np.clip(zero if start is None else start, self.low, self.high) * scale
        low, high = self.low * scale, self.high * scale
        values, slopes = self.values(z / scale)
        off = self.off(values)
        merit = float(z @ z + (weigh * off) @ (weigh * off))
        best, recent = (merit, z, off), [merit]
        guess = z
        for _ in range(_MOST_STEPS):
            tilted = slopes / scale
            guess = elastic_least_squares(
                tilted, values - tilted @ z, self._bottom, self._top, weigh, low, high, guess
            )
            step = guess - z
            size = float(np.abs(step).max(initial=0.0))
            if size <= _STILL:
                break
            bar = max(recent[-_MEMORY:])
            for _ in range(_HALVINGS):
                tried = z + step
                new_values, new_slopes = self.values(tried / scale)
                new_off = self.off(new_values)
                new_merit = float(tried @ tried + (weigh * new_off) @ (weigh * new_off))
                if new_merit < bar:
                    break
                step = step / 2.0
            else:
                break
            z, values, slopes, off, merit = tried, new_values, new_slopes, new_off, new_merit
            recent.append(merit)
            if merit < best[0]:
                gain, best = best[0] - merit, (merit, z, off)
                if gain <= _SETTLED * merit:
                    break
        merit, z, off = best
        by = np.clip(z / scale, self.low, self.high)
        return Found(by, float(((by * self.scale) ** 2).sum()), off[:count], merit)

    def starts(self) -> list[Array]:
        """Where else to begin: corners of what may move, and what lies between."""
        length = np.array([each.is_length for each in self.groups])
        corners = [
            self.high,
            self.low,
            np.where(length, self.low, self.high),
            np.where(length, self.high, self.low),
        ]
        draw = np.random.default_rng(1)
        between = [self.low + (self.high - self.low) * draw.random(len(length)) for _ in range(4)]
        return [*(0.8 * each for each in corners), *between]

    def met(self, found: Found) -> bool:
        """Whether every row of the goals is as good as met."""
        return bool(np.all(np.abs(found.off) <= 1.0 + 1e-6))

    def best(self, firm: Array | float = FIRM, cost: float = 1.0) -> Found:
        """The nearest from today's line, and from other starts where that misses a goal."""
        found = self.search(None, firm, cost)
        if np.all(np.abs(found.off) <= SETTLED_OFF):
            return found
        for start in self.starts():
            other = self.search(start, firm, cost)
            if other.merit < found.merit * (1.0 - 1e-6):
                found = other
        return found

    def giving(self, gives: Aimed) -> Found | None:
        """The nearest that one goal comes to its range, the others met; None where they are not."""
        owners = [aim for aim in self.aims for _ in aim.rows]
        others = [i for i, aim in enumerate(owners) if aim is not gives]
        firm = np.array([_SOFT if aim is gives else FIRM for aim in owners])
        best: Found | None = None
        for start in (None, *self.starts()[:_LOOKED]):
            found = self.search(start, firm, cost=_CHEAP)
            met = bool(np.all(np.abs(found.off[others]) <= 0.5))
            if met and (best is None or found.merit < best.merit):
                best = found
        return best


_NO_ORDER: tuple[Array, Array] = (np.zeros((0, 0)), np.zeros(0))


def _order_rows(line: Line, groups: tuple[Group, ...]) -> tuple[Array, Array]:
    """For each taper of the head: by ``by``, how far it runs the way it does today, in units.

    Slopes (t, k) and today's values (t,); what may not turn stays at 0 or above.
    """
    owner = {place: k for k, group in enumerate(groups) for place in group.cells}
    found, today = [], []
    for row, segment in enumerate(line.segments):
        front, rear = owner.get((row, Cell.FRONT)), owner.get((row, Cell.REAR))
        if front == rear or segment.front_diameter == segment.rear_diameter:
            continue
        way = math.log(segment.rear_diameter / segment.front_diameter)
        slope = np.zeros(len(groups))
        if front is not None:
            slope[front] -= math.copysign(1.0, way)
        if rear is not None:
            slope[rear] += math.copysign(1.0, way)
        found.append(slope)
        today.append(abs(way) / ORDER_UNIT)
    return np.array(found).reshape(-1, len(groups)), np.array(today)
