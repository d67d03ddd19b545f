"""Typing one of the head's own figures: what may move is chosen, and moves until it reads so.

Each figure of a head, times what it is a share of, is a polynomial of at most second degree in
what moves here: a length, a factor on lengths or densities, or the square of a factor on
diameters. Three sums over the head give the polynomial, and its root is the answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from taperlab.edits.changing import (
    SHORTEST,
    changed,
    find_line,
    find_segment,
    moved_between,
    same,
    with_line,
    within,
)
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.segment import Segment
from taperlab.physics import section
from taperlab.physics.head import HeadSums, head_problem, head_rows, head_sums
from taperlab.physics.profile import Profile
from taperlab.units import kinds
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, Kind
from taperlab.units.language import later
from taperlab.units.sentence import (
    NOTHING,
    OnTape,
    Ratio,
    Sentence,
    Share,
    Value,
    Weight,
    of_table,
)


class Figure(StrEnum):
    """A figure of the head that can be typed."""

    WEIGHT = later("head weight")
    LENGTH = later("head length")
    FRONT = later("front taper")
    BALANCE = later("balance point")
    RATIO = later("ratio")


class Moves(StrEnum):
    """What gives way when a figure is typed."""

    DIAMETERS = later("all diameters")
    LENGTHS = later("all lengths")
    DENSITY = later("all densities")
    LENGTH = later("one length")


@dataclass(frozen=True, slots=True)
class May:
    """What may move, by one factor throughout the head; or the length of one row, from 0."""

    moves: Moves
    row: int = -1

    @property
    def words(self) -> Sentence:
        """As a sentence and a list say it."""
        if self.moves is Moves.LENGTH:
            return Sentence("the length of segment {row}", row=self.row + 1)
        return Sentence("{things}", things=self.moves)


@dataclass(frozen=True, slots=True)
class _Told:
    """How a figure is told: its kind, its text in a sentence, the undo text.

    half: half of what the coarser system shows of it [SI].
    """

    kind: Kind
    say: Callable[[float], Value]
    text: Sentence
    half: float


_TOLD = {
    Figure.WEIGHT: _Told(kinds.WEIGHT, Weight, Sentence("Change head weight"), 5e-6),
    Figure.LENGTH: _Told(kinds.LENGTH, OnTape, Sentence("Change head length"), 0.0015875),
    Figure.FRONT: _Told(kinds.SHARE, Share, Sentence("Change front taper"), 0.0005),
    Figure.BALANCE: _Told(kinds.DISTANCE, OnTape, Sentence("Change balance point"), 0.0015875),
    Figure.RATIO: _Told(kinds.RATIO, Ratio, Sentence("Change ratio"), 0.005),
}


def kind_of(figure: Figure) -> Kind:
    """What kind of value a figure is."""
    return _TOLD[figure].kind


def ways(line: Line) -> tuple[May, ...]:
    """All that may move in a line's head, whatever the figure."""
    whole = (May(Moves.DIAMETERS), May(Moves.LENGTHS), May(Moves.DENSITY))
    return whole + tuple(May(Moves.LENGTH, row) for row in head_rows(line))


def why_not(line: Line, rod_length: float | None, figure: Figure, may: May) -> Sentence:
    """Why a figure can't be typed where this may move; nothing where it can. rod_length: [m]."""
    rows = head_rows(line)
    problem = head_problem(line)
    if problem and not rows:
        return problem.sentence
    if figure is Figure.RATIO and rod_length is None:
        return Sentence("Choose a rod first: the ratio is the head’s length over the rod’s.")
    if may.moves is Moves.LENGTH and may.row not in rows:
        return Sentence("Segment {row} is no part of the head.", row=may.row + 1)
    if figure in (Figure.LENGTH, Figure.RATIO) and may.moves in (Moves.DIAMETERS, Moves.DENSITY):
        return Sentence("No length follows from {things}.", things=may.moves)
    if figure is Figure.BALANCE and may.moves in (Moves.DIAMETERS, Moves.DENSITY):
        return Sentence("{things} alike leave the balance point where it is.", things=_begin(may))
    if figure is Figure.FRONT:
        front = [line.segments[row].part.in_front_taper for row in rows]
        if not any(front):
            return Sentence("The head has no tip and no front taper.")
        if all(front):
            return Sentence("All of the head is tip or front taper.")
        if may.moves is not Moves.LENGTH:
            return Sentence("{things} alike leave the shares as they are.", things=_begin(may))
    return NOTHING


def _begin(may: May) -> Sentence:
    """All of a thing, to begin a sentence."""
    return {
        Moves.DIAMETERS: Sentence("All diameters"),
        Moves.LENGTHS: Sentence("All lengths"),
        Moves.DENSITY: Sentence("All densities"),
    }[may.moves]


def set_figure(bench: Bench, line: str, figure: Figure, value: float, may: May) -> Edited:
    """Give the head a figure [kg], [m], or 0 to 1 for a share, by what may move.

    Loops and joints count as in the readouts. What lies behind the head stays as it is, also
    where it was as thick as the head's end. The ratio is that on the chosen rod.
    """
    told, whole = _TOLD[figure], find_line(bench, line)
    rod_length = bench.chosen_rod.length if bench.chosen_rod else None
    within(value, told.kind, _capital(figure))
    after = line_with(whole, rod_length, figure, value, may)
    rows = (may.row,) if may.moves is Moves.LENGTH else ()
    edited = with_line(bench, whole, after, told.text, rows)
    biggest = sorted(
        moved_between(whole, after, ()), key=lambda each: -abs(each.after - each.before)
    )
    return replace(edited, moved=tuple(biggest))


def line_with(line: Line, rod_length: float | None, figure: Figure, value: float, may: May) -> Line:
    """The line whose head has a figure, by what may move; as :func:`set_figure`.

    Raises Refused, saying the nearest that can be had so, and what limits it.
    """
    changes = _solved(line, rod_length, figure, value, may)
    return _changed_line(line, changes) if changes else line


def _the(figure: Figure) -> Sentence:
    return {
        Figure.WEIGHT: Sentence("the head weight"),
        Figure.LENGTH: Sentence("the head length"),
        Figure.FRONT: Sentence("the front taper"),
        Figure.BALANCE: Sentence("the balance point"),
        Figure.RATIO: Sentence("the ratio"),
    }[figure]


def _capital(figure: Figure) -> Sentence:
    return {
        Figure.WEIGHT: Sentence("The head weight"),
        Figure.LENGTH: Sentence("The head length"),
        Figure.FRONT: Sentence("The front taper"),
        Figure.BALANCE: Sentence("The balance point"),
        Figure.RATIO: Sentence("The ratio"),
    }[figure]


# -- what moves -------------------------------------------------------------------------------


def _moved(line: Line, may: May, by: float) -> dict[int, Segment]:
    """The rows of a head with what may move multiplied; diameters by the root of it.

    Not looked at for limits, which :func:`_room` tells.
    """
    if may.moves is Moves.LENGTH:
        segment = line.segments[may.row]
        return {may.row: replace(segment, length=segment.length * by)}
    made = {}
    for row in head_rows(line):
        each = line.segments[row]
        if may.moves is Moves.DIAMETERS:
            thinnest = each.core.diameter if each.core else 0.0
            factor = math.sqrt(by)
            made[row] = replace(
                each,
                front_diameter=max(each.front_diameter * factor, thinnest),
                rear_diameter=max(each.rear_diameter * factor, thinnest),
            )
        elif may.moves is Moves.LENGTHS:
            made[row] = replace(each, length=each.length * by)
        else:
            made[row] = section.scaled(each, by)
    return made


@dataclass(frozen=True, slots=True)
class _Bound:
    """How far something may be multiplied, and what it is then."""

    by: float
    why: Sentence


def _room(line: Line, may: May) -> tuple[_Bound, _Bound]:
    """How little and how much what may move can be multiplied with, and what limits it."""
    lows, highs = [], []
    for row in (may.row,) if may.moves is Moves.LENGTH else head_rows(line):
        each, core = line.segments[row], line.segments[row].core

        def limit(kind: Kind, value: float, lowest: float, row: int = row) -> None:
            below, above = (
                Sentence("segment {row} {beyond}", row=row + 1, beyond=of_table(one.beyond))
                for one in (kind.low, kind.high)
            )
            square = 2.0 if may.moves is Moves.DIAMETERS else 1.0
            lows.append(_Bound(min(1.0, lowest / value) ** square, below))
            highs.append(_Bound(max(1.0, kind.highest / value) ** square, above))

        if may.moves is Moves.DIAMETERS:
            for end in (each.front_diameter, each.rear_diameter):
                limit(DIAMETER, end, DIAMETER.lowest)
            if core:
                thinner = Sentence("segment {row} is thinner than its core", row=row + 1)
                thinnest = core.diameter / min(each.front_diameter, each.rear_diameter)
                lows.append(_Bound(thinnest**2, thinner))
        elif may.moves is Moves.DENSITY:
            for density in (each.density, core.density if core else each.density):
                limit(DENSITY, density, DENSITY.lowest)
        else:
            limit(LENGTH, each.length, SHORTEST)
    return max(lows, key=lambda one: one.by), min(highs, key=lambda one: one.by)


# -- solving ----------------------------------------------------------------------------------

_Coefficients = tuple[float, float, float]
"""Of a polynomial: constant, first, second degree."""


def _changed_line(line: Line, changes: dict[int, Segment]) -> Line:
    rows = tuple(changes.get(row, each) for row, each in enumerate(line.segments))
    return replace(line, segments=rows)


def _sums(line: Line, changes: dict[int, Segment]) -> HeadSums:
    moved = _changed_line(line, changes)
    sums = head_sums(moved, Profile.of(moved))
    assert sums is not None
    return sums


def _parts(sums: HeadSums, figure: Figure, rod_length: float | None) -> tuple[float, float]:
    """What a figure is, over what: their quotient is the figure."""
    if figure is Figure.WEIGHT:
        return sums.mass, 1.0
    if figure is Figure.LENGTH:
        return sums.length, 1.0
    if figure is Figure.RATIO:
        return sums.length, rod_length or math.nan
    return (sums.front_mass if figure is Figure.FRONT else sums.moment), sums.mass


def _solved(
    line: Line, rod_length: float | None, figure: Figure, wanted: float, may: May
) -> dict[int, Segment]:
    """The rows that change, so that the figure is what is wanted. Raises Refused."""
    if may.moves is Moves.LENGTH:
        find_segment(line, may.row)
    if why := why_not(line, rod_length, figure, may):
        raise Refused(why)

    def parts(by: float) -> tuple[float, float]:
        return _parts(_sums(line, _moved(line, may, by)), figure, rod_length)

    now = parts(1.0)
    if same(now[0] / now[1], wanted):
        return {}
    known = (now, parts(2.0), parts(3.0))
    above, below = (_through(*(each[i] for each in known)) for i in (0, 1))
    aim: _Coefficients = (
        above[0] - wanted * below[0],
        above[1] - wanted * below[1],
        above[2] - wanted * below[2],
    )
    low, high = _room(line, may)
    found = [each for each in _roots(aim) if low.by <= each <= high.by]
    if not found:
        raise Refused(_nearest(figure, may, wanted, above, below, (low, high)))
    by = min(found, key=lambda each: abs(math.log(each)))
    for _ in range(3):  # what the coefficients lost in rounding
        top, bottom = parts(by)
        slope = aim[1] + 2.0 * aim[2] * by
        if same(top / bottom, wanted) and math.isclose(top / bottom, wanted, rel_tol=1e-13):
            break
        step = by - (top - wanted * bottom) / slope if slope else by
        by = min(max(step, low.by), high.by)
    changes = _moved(line, may, by)
    return {
        row: changed(
            line.segments[row],
            row,
            length=each.length,
            front_diameter=each.front_diameter,
            rear_diameter=each.rear_diameter,
            density=each.density,
            core=each.core,
        )
        for row, each in changes.items()
    }


def _through(one: float, two: float, three: float) -> _Coefficients:
    """The polynomial of second degree that has these values at 1, 2 and 3."""
    second = (three - 2.0 * two + one) / 2.0
    if abs(second) <= 1e-12 * max(abs(one), abs(two), abs(three)):
        second = 0.0
    first = two - one - 3.0 * second
    return one - first - second, first, second


def _roots(of: _Coefficients) -> list[float]:
    """Where a polynomial is zero, above zero itself."""
    constant, first, second = of
    if second == 0.0:
        found = [-constant / first] if first else []
    else:
        under = first * first - 4.0 * second * constant
        if under < 0.0:
            return []
        # Citardauq: without cancellation where one root is far from the other.
        half = -(first + math.copysign(math.sqrt(under), first)) / 2.0
        found = [half / second, *([constant / half] if half else [])]
    return [each for each in found if each > 0.0]


def _at(of: _Coefficients, by: float) -> float:
    return of[0] + by * (of[1] + by * of[2])


def _nearest(
    figure: Figure,
    may: May,
    wanted: float,
    above: _Coefficients,
    below: _Coefficients,
    room: tuple[_Bound, _Bound],
) -> Sentence:
    """What the figure can be at most, or at least, and what limits it there."""
    low, high = room
    # Where the quotient turns: its derivative's numerator is zero; ``below`` is of first degree.
    turns = _roots(
        (
            above[1] * below[0] - above[0] * below[1],
            2.0 * above[2] * below[0],
            above[2] * below[1],
        )
    )
    ends = (low, high, *(_Bound(each, NOTHING) for each in turns if low.by < each < high.by))

    def reached(end: _Bound) -> float:
        return _at(above, end.by) / _at(below, end.by)

    end = min(ends, key=lambda one: abs(reached(one) - wanted))
    told, value, now = _TOLD[figure], reached(end), _at(above, 1.0) / _at(below, 1.0)
    # What is told must be reached too once it is typed, so it is rounded inward.
    inward = min(told.half, abs(now - value))
    said = told.say(value + math.copysign(inward, now - value))
    names: dict[str, Value] = {"way": may.words, "what": _the(figure), "value": said}
    if wanted > value:
        if end.why:
            return Sentence(
                "By {way}, {what} can be {value} at most: beyond it, {limit}.",
                **names,
                limit=end.why,
            )
        return Sentence("By {way}, {what} can be {value} at most.", **names)
    if end.why:
        return Sentence(
            "By {way}, {what} can be {value} at least: below it, {limit}.", **names, limit=end.why
        )
    return Sentence("By {way}, {what} can be {value} at least.", **names)
