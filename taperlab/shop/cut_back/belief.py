"""What is known of a real head while it is cut: grams per metre along it, sharper at each weighing.

The described line gives the expected mass per length; the real one differs from it by a share that
changes along the line. That share, cell by cell, and the tape's error at each cut are the unknowns,
on a ladder of sizes (:mod:`taperlab.shop.belief.ladder`). Weighing the head or an offcut measures a
weighted sum of them, and the update is linear least squares with a prior (generalised least
squares; Tarantola, Inverse Problem Theory, 2005, section 3.2).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from taperlab.model.cut_log import CutStep
from taperlab.model.line import NO_LOOP, Line
from taperlab.model.measurement import Instruments
from taperlab.physics import section
from taperlab.physics.frustum import Array
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.physics.trim import SLIVER, scaled_to, trim
from taperlab.shop.belief.ladder import Ladder
from taperlab.shop.belief.prior import (
    LIKELY,
    SINKING,
    SINKING_SPREAD,
    SINKING_STEP_SHARE,
    SPREADS,
    STEP_SHARE,
    correlation,
    reach_of,
)
from taperlab.shop.cut_back.meter import bare_profile, loop_masses
from taperlab.shop.errors import CONFIDENT, rounding_error

CELLS = 64

COMMON = 0.03
"""Standard deviation of the share that a whole line is off by before it is weighed; heads from one
production run are said to differ by 10 to 15 gr (common practice), some 3 %."""

SHAPE = 0.02
"""Standard deviation of the share that described diameters put mass per length off by, place by
place: stated ones are off by 1 % (judgement), and mass goes with their square."""


@dataclass(frozen=True, slots=True)
class Described:
    """How far a line that is described, not measured, may differ from that.

    common: standard deviation of the share all of it is off by; shape: of what its diameters add,
    which changes along the line; spreads: of what its density adds, one for each rung.
    """

    common: float = COMMON
    shape: float = SHAPE
    spreads: tuple[float, ...] = SPREADS

    def ladder(self, profile: Profile, edges: Array) -> Ladder:
        """What is known of the cells between ``edges`` [m] before anything is weighed."""
        middle = (edges[1:] + edges[:-1]) / 2.0
        length = profile.length
        sinks = profile.total_mass > SINKING * float(profile.volume())
        share = SINKING_STEP_SHARE if sinks else STEP_SHARE
        spreads = [each * (SINKING_SPREAD if sinks else 1.0) for each in self.spreads]
        local = correlation(middle, length, profile.segment_at(middle), share)
        apart, along = np.abs(middle[:, np.newaxis] - middle), 2.0 * middle / length - 1.0
        shape = np.exp(-apart / reach_of(length)) + np.outer(along, along)
        return Ladder.of(self.common**2 + self.shape**2 * shape, local, spreads, LIKELY)


AS_DESCRIBED = Described()


@dataclass(frozen=True, eq=False, slots=True)
class Measured:
    """What measuring a line has told of it, loops left out.

    ladder: by what share each of its cells (k,) is heavier than it was taken to be. stretches: what
    lies between two places (n,) [m from the fly end], cell by cell (n, k) [kg], as it was taken to
    be.
    """

    ladder: Ladder
    stretches: Callable[[Array, Array], Array]

    def on(self, edges: Array, masses: Array) -> Ladder:
        """The same of other cells between ``edges`` [m], that are described to be ``masses`` [kg].

        A cell's share is a weighted sum of the shares of the cells that were measured, and what
        the descriptions differ by.
        """
        rows = self.stretches(edges[:-1], edges[1:]) / masses[:, np.newaxis]
        turned = self.ladder.turned(rows)
        return replace(turned, means=turned.means + rows.sum(axis=1) - 1.0)


Start = Described | Measured
"""What a cut-back knows of a line before its own first weighing."""


@dataclass(frozen=True, eq=False, slots=True)
class Belief:
    """A head part-way through a cut-back.

    head: the head as described, uncut, scaled to the first reading if there was one; profile: its
    own, without the loops, whose masses [kg] are old_loops, at the fly end and the rod end. edges:
    (cells + 1,) [m]; edge_masses: described mass up to each [kg], loops and sleeves left out.
    known: shares by which each cell is heavier than described (cells,), then the error of each
    cut's tape [m]. slots: for each tape error whether it lies at the front.
    front, rear: length cut off each end so far [m]. readings: how many weighings are in it, one
    for all those of a measurement that it starts from; is_measured: whether it does.
    """

    head: Line
    profile: Profile
    old_loops: tuple[float, float]
    instruments: Instruments
    edges: Array
    edge_masses: Array
    known: Ladder
    slots: tuple[bool, ...] = ()
    front: float = 0.0
    rear: float = 0.0
    readings: int = 0
    is_measured: bool = False

    @property
    def length(self) -> float:
        """Length of what is left [m], new loops not yet made."""
        return self.profile.length - self.front - self.rear

    def fixed_masses(self, front: Array, rear: Array) -> Array:
        """Mass [kg] of sleeves and old loops still on the head after such cuts in all [m] (n,)."""
        at = self.profile.point_positions
        end = self.profile.length - rear[:, np.newaxis]
        inside = (at > front[:, np.newaxis] + SLIVER) & (at < end - SLIVER)
        old_front, old_rear = self.old_loops
        return np.asarray(
            inside @ self.profile.point_masses
            + np.where(front == 0.0, old_front, 0.0)
            + np.where(rear == 0.0, old_rear, 0.0)
        )

    def fixed_mass(self, front: float, rear: float) -> float:
        """Mass [kg] of sleeves and old loops still on the head after such cuts in all [m]."""
        return float(self.fixed_masses(np.array([front]), np.array([rear]))[0])

    def rows(self, front: Array, rear: Array) -> tuple[Array, Array]:
        """The head's weight after cuts of ``front`` and ``rear`` [m] in all, as a weighted sum.

        Returns the weights (n, cells + tape errors) and the described mass of the cells (n,).
        """
        first = self.profile.running_mass(front, points=False)[:, np.newaxis]
        end = self.profile.length - rear
        last = self.profile.running_mass(end, points=False)[:, np.newaxis]
        cells = np.diff(np.clip(self.edge_masses, first, last), axis=1)
        at_front = self.profile.linear_density(front)
        at_rear = self.profile.linear_density(end)
        tape = [-(at_front if is_front else at_rear) for is_front in self.slots]
        rows = np.column_stack([cells, *tape]) if tape else cells
        return rows, cells.sum(axis=1)

    @property
    def mean(self) -> Array:
        """Each unknown on average over the rungs."""
        return self.known.mean(np.eye(self.known.size))

    def expected(self, front: Array, rear: Array) -> tuple[Array, Array]:
        """Mean [kg] and error [kg] of the head's weight after cuts of so much in all.

        The error is such that 95 in 100 lie within CONFIDENT times it. The next cut's own tape
        error is counted where it goes beyond what is cut already. Shapes (n,). Sleeves and old
        loops are left out of the means.
        """
        rows, described = self.rows(front, rear)
        tape = rounding_error(self.instruments.tape)
        end = self.profile.length - rear
        blade = np.where(front > self.front, self.profile.linear_density(front) ** 2, 0.0)
        blade = blade + np.where(rear > self.rear, self.profile.linear_density(end) ** 2, 0.0)
        half = self.known.half_width(rows, besides=blade * tape**2)
        return described + self.known.mean(rows), half / CONFIDENT

    @property
    def head_weight(self) -> float:
        """What the head should weigh now [kg], as :meth:`head_mass` has it without its error."""
        rows, described = self.rows(np.array([self.front]), np.array([self.rear]))
        mean = float(described[0] + self.known.mean(rows)[0])
        return mean + self.fixed_mass(self.front, self.rear)

    def head_mass(self) -> tuple[float, float]:
        """What the head should weigh now [kg] and its error, as :meth:`expected` has it."""
        means, errors = self.expected(np.array([self.front]), np.array([self.rear]))
        fixed = self.fixed_mass(self.front, self.rear)
        return float(means[0]) + fixed, float(errors[0])

    def weighed_head(self, reading: float | None) -> Belief:
        """The belief after the head as it is now read so much on the scale [kg].

        With None it is foreseen: as sharp as it will be, whatever the scale will read.
        """
        rows, described = self.rows(np.array([self.front]), np.array([self.rear]))
        held = float(described[0]) + self.fixed_mass(self.front, self.rear)
        return self._read(rows[0], held, reading)

    def _read(self, row: Array, described: float, reading: float | None) -> Belief:
        noise = rounding_error(self.instruments.scale)
        if reading is None:
            known = self.known.foreseen(row, noise)
        else:
            known = self.known.observed(row, reading - described, noise)
        return replace(self, known=known, readings=self.readings + 1)

    def cut(self, front: float, rear: float) -> Belief:
        """The belief after so much more was cut off each end [m], and nothing weighed."""
        slots = (True,) * (front > 0.0) + (False,) * (rear > 0.0)
        tape = rounding_error(self.instruments.tape) ** 2
        return replace(
            self,
            known=self.known.grown([tape] * len(slots)) if slots else self.known,
            slots=self.slots + slots,
            front=self.front + front,
            rear=self.rear + rear,
        )

    def offcut_of(self, cut: Belief) -> tuple[Array, float]:
        """What came off up to a later belief, as a weighted sum of its unknowns.

        Returns the weights (cells + tape errors,) and the mass as described [kg].
        """
        before, held = self.rows(np.array([self.front]), np.array([self.rear]))
        now, holds = cut.rows(np.array([cut.front]), np.array([cut.rear]))
        row = np.concatenate([before[0], np.zeros(now.shape[1] - before.shape[1])]) - now[0]
        gone = self.fixed_mass(self.front, self.rear) - self.fixed_mass(cut.front, cut.rear)
        return row, float(held[0] - holds[0]) + gone

    def after(self, step: CutStep) -> Belief:
        """The belief after a cut and whatever was weighed after it."""
        then = self.cut(step.front, step.rear)
        if step.offcut is not None and (step.front or step.rear):
            then = then._read(*self.offcut_of(then), step.offcut)
        return then if step.head is None else then.weighed_head(step.head)

    def foreseen(self, front: float, rear: float) -> Belief:
        """The belief after such a cut [m] with head and offcut weighed, whatever they will read."""
        then = self.cut(front, rear)
        return then._read(*self.offcut_of(then), None).weighed_head(None)

    def line(self) -> Line:
        """What is left as a line: described shape, densities as the weighings have them.

        It weighs what :meth:`head_mass` says: what the weighings put down to the tape rather than
        to the densities is spread over all of it.
        """
        end = self.profile.length - self.rear
        # Only what is left of a segment counts for its density: the rest is in the bin.
        at = self.profile.running_mass(np.clip(self.head.starts, self.front, end), points=False)
        heavier = np.concatenate([[0.0], np.cumsum(np.diff(self.edge_masses) * self.mean[:CELLS])])
        masses, extra = np.diff(at), np.diff(np.interp(at, self.edge_masses, heavier))
        factors = 1.0 + extra / np.where(masses > 0.0, masses, 1.0)
        segments = tuple(
            section.scaled(segment, float(factor))
            for segment, factor in zip(self.head.segments, factors, strict=True)
        )
        left = trim(replace(self.head, segments=segments), self.front, end)
        # A loop just where a cut went through is cut off, as fixed_mass has it.
        left = replace(
            left,
            front_loop=NO_LOOP if self.front > 0.0 else left.front_loop,
            rear_loop=NO_LOOP if self.rear > 0.0 else left.rear_loop,
        )
        return scaled_to(left, self.head_weight) if self.slots else left


def begin(
    line: Line,
    instruments: Instruments,
    first_reading: float | None = None,
    start: Start = AS_DESCRIBED,
) -> Belief:
    """What is known before the first cut.

    ``first_reading``: what the head, loops on, read on the scale [kg]; its densities are scaled
    to it. ``start``: what measuring the line has told of it, or how far it may differ from its
    description. Raises Impossible where the line has no head in one piece.
    """
    head = head_of(line)
    if first_reading is not None:
        head = scaled_to(head, first_reading)
    profile = bare_profile(head)
    edges = np.linspace(0.0, profile.length, CELLS + 1)
    edge_masses = profile.running_mass(edges, points=False)
    measured = isinstance(start, Measured)
    belief = Belief(
        head=head,
        profile=profile,
        old_loops=loop_masses(head, profile),
        instruments=instruments,
        edges=edges,
        edge_masses=edge_masses,
        known=start.on(edges, np.diff(edge_masses))
        if isinstance(start, Measured)
        else start.ladder(profile, edges),
        readings=int(measured),
        is_measured=measured,
    )
    return belief if first_reading is None else belief.weighed_head(first_reading)


def replay(belief: Belief, steps: Sequence[CutStep]) -> tuple[Belief, ...]:
    """The belief before the first step and after each one."""
    out = [belief]
    for step in steps:
        out.append(out[-1].after(step))
    return tuple(out)
