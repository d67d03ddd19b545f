"""What a study of pieces tells: what is cut from which stock, what is short, how to build."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass

from taperlab.model.segment import Segment
from taperlab.model.stock import Stock
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.building import Build, Checkpoint, checkpoints
from taperlab.shop.pieces.demand import Head
from taperlab.shop.pieces.ends import End
from taperlab.shop.pieces.material import Fit
from taperlab.units.sentence import NOTHING, Sentence


@dataclass(frozen=True, eq=False, slots=True)
class Piece:
    """A piece that is cut. head: its number; row, last_row: its rows in the design (from 0).

    step: its number among the level steps of its row, of ``steps``. begin: where on the stock its
    cut begins [m]; turned: its own front is the end nearer the stock's rear. cut, finished: its
    length as it is cut, and its share of the finished head [m]. cut_mass: before any bevel or
    stripping, mass: what of it ends up in the head, folds included [kg]. worst: how far its mass
    per length is off the design's at most [kg/m]. front, rear: mass per length at its ends [kg/m].
    """

    head: int
    row: int
    last_row: int
    step: int
    steps: int
    stock: Stock
    begin: float
    turned: bool
    cut: float
    finished: float
    cut_mass: float
    mass: float
    worst: float
    fit: Fit
    ends: tuple[End, End]
    front: float
    rear: float
    per_mass: float

    @property
    def waste(self) -> float:
        """What becomes shavings, or stripped coating [kg]."""
        return self.cut_mass - self.mass


@dataclass(frozen=True, slots=True)
class StockCut:
    """What is cut from one piece of stock. pieces: their numbers; left: what remains [m]."""

    stock: Stock
    pieces: tuple[int, ...]
    cuts: tuple[float, ...]
    left: float


Place = tuple[int, int, int]
"""Rows of a design that one piece is for: the number of the head, its first and its last row."""


@dataclass(frozen=True, slots=True)
class Short:
    """What can't be cut. kind: of the stock that is missing; uncut: cut lengths [m]; why.

    places: the rows that get no piece, each with its head, its first and its last row. told: the
    kind as a person is told it.
    """

    kind: str
    uncut: tuple[float, ...]
    why: Sentence
    places: tuple[Place, ...] = ()
    told: Sentence = NOTHING

    @property
    def least(self) -> float:
        """The shortest piece of stock that is of any use [m]."""
        return max(self.uncut, default=0.0)


@dataclass(frozen=True, eq=False, slots=True)
class PiecesStudy:
    """Everything about the pieces. pieces: all that are cut, head by head from the fly end.

    plan: what is cut from each piece of stock that is touched. proved: no plan loses less line;
    gap: else at most so much more than the best possible [m]; cost: what it costs itself, as
    length of line [m]. builds: of each head that is whole
    its build, None for one that lacks a piece. is_begun: whether it is of a head that is built.
    """

    question: Question
    heads: tuple[Head, ...]
    pieces: tuple[Piece, ...]
    plan: tuple[StockCut, ...]
    short: tuple[Short, ...]
    proved: bool
    gap: float
    builds: tuple[Build | None, ...]
    cost: float = 0.0
    is_begun: bool = False

    @property
    def merit(self) -> tuple[float, float, float]:
        """Of two answers to a question the lower is better: what is not cut [m], cost, gap."""
        return sum(sum(each.uncut) for each in self.short), self.cost, self.gap

    def of_head(self, number: int) -> Iterator[Piece]:
        """The pieces of one head, from the fly end."""
        return (each for each in self.pieces if each.head == number)

    def numbered(self, number: int) -> str:
        """What a piece is called by in the plan: its place in its head, and its head if several."""
        head = self.pieces[number].head
        at = number + 1 - bisect_left(self.pieces, head, key=lambda each: each.head)
        return f"{head + 1}.{at}" if len(self.heads) > 1 else str(at)

    def lacking(self, number: int) -> Iterator[tuple[Place, Short]]:
        """The rows of one head that get no piece, or not all their steps, each with why."""
        found = {place: each for each in self.short for place in each.places}
        return ((place, found[place]) for place in sorted(found) if place[0] == number)

    def left_out(self, number: int) -> Iterator[tuple[Place, Segment]]:
        """The rows of one head's design behind it that are not built."""
        head = self.heads[number]
        first = len(head.line.segments)
        return (((number, row, row), each) for row, each in enumerate(head.behind, first))

    def checkpoints(self, number: int) -> tuple[Checkpoint, ...]:
        """What the scale should read on the way; none for a head that lacks a piece."""
        build = self.builds[number]
        return () if build is None else checkpoints(build)
