"""Building a tip from stock: the length that gives a weight, a joint step, a sink rate or a depth.

A tip is one piece of a material, or pieces of several, equally long, butt-welded, with a loop at
either end. Of level stock only weight and depth go with the length; the stock decides the rest,
which is said.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import partial

from taperlab.model.bench import Bench
from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style
from taperlab.model.segment import Part
from taperlab.model.stock import Stock
from taperlab.physics import section
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.analyse import analyse_line
from taperlab.shop.steps import Steps, finish, uncounted
from taperlab.shop.tips.study import Question, TipRow, row_of
from taperlab.shop.water.words import Rough
from taperlab.trade.starters import starter_stock
from taperlab.units.finding import Impossible
from taperlab.units.kinds import DEPTH
from taperlab.units.language import later
from taperlab.units.sentence import (
    NOTHING,
    Length,
    OnTape,
    Ratio,
    Sentence,
    SinkRate,
    Value,
    Weight,
)

SHORTEST = 0.5 * FOOT
"""No tip shorter than this is looked for [m]."""

LOOP = Loop(LoopKind.FOLDED, 2.5 * INCH)
"""At both ends of a tip: so much of it folded back and welded. Common practice; no source."""

LOADED = 1500.0
"""Coating denser than this is filled with metal powder, mostly tungsten; from memory [kg/m^3]."""

CLOSE = 1e-9
"""Share of the longest length to which a root is found where a step costs nothing."""

CLOSE_DEPTH = 1e-3
"""The same for a depth, of which a step costs a whole study: a fifth of an inch of 15 ft."""

MOST_STEPS = 80


class Aim(StrEnum):
    """What a length is looked for."""

    WEIGHT = later("a weight")
    STEP = later("a joint step")
    SINK = later("a sink rate")
    DEPTH = later("a depth")


@dataclass(frozen=True, slots=True)
class Recipe:
    """Materials of a tip, nearest the fly first; of each an equal length.

    loop: what either end gets.
    """

    stocks: tuple[Stock, ...]
    loop: Loop = LOOP

    def __post_init__(self) -> None:
        if not self.stocks:
            raise ValueError("a tip is made of something")

    @property
    def longest(self) -> float:
        """As long as the shelf allows, with what its loops take [m]; nought where they take all."""
        left = [stock.length for stock in self.stocks]
        left[0] -= self.loop.fold
        left[-1] -= self.loop.fold
        return len(left) * max(0.0, min(left))

    @property
    def is_level(self) -> bool:
        """Whether it is one piece of a level material."""
        return len(self.stocks) == 1 and self.stocks[0].is_level

    @property
    def sheds_metal(self) -> bool:
        """Whether cutting it sheds metal powder."""
        return any(section.mean_density(stock) > LOADED for stock in self.stocks)

    def made(self, length: float, name: str = "") -> Line:
        """A tip of it, so long in all [m], what is folded back into its loops left out."""
        count = len(self.stocks)
        segments = tuple(stock.piece(length / count) for stock in self.stocks)
        joints = (Joint(JointKind.BUTT_WELD),) * (count - 1)
        called = name or self.name(length)
        return Line("tip", called, Style.TIP, segments, joints, self.loop, self.loop)

    def name(self, length: float) -> str:
        """What a tip of it is called in the US system, until a person names it otherwise."""
        feet = f"{length / FOOT:.1f}".rstrip("0").rstrip(".")
        return f"{feet} ft, {' + '.join(stock.name for stock in self.stocks)}"


@dataclass(frozen=True, eq=False, slots=True)
class Built:
    """A tip that was found: the line, its row on the head, and what the stock alone decides."""

    line: Line
    row: TipRow


def tip_stock(bench: Bench, *, level: bool = True, kept: Sequence[Stock] = ()) -> tuple[Stock, ...]:
    """What level or tapered tips are made of; of one name, the first alone.

    First what is on the shelf of the bench, then what is kept for every bench, then starters.
    """
    parts = (Part.SINK_TIP, Part.TIP) if level else (Part.SINK_TIP, Part.TIP, Part.FRONT_TAPER)
    found: dict[str, Stock] = {}
    for stock in (*bench.stock, *kept, *starter_stock()):
        if stock.part in parts and not stock.behind and stock.is_level is level:
            found.setdefault(stock.name, stock)
    return tuple(found.values())


def starter_words(recipe: Recipe) -> Sentence:
    """What starters among its materials are; nothing where all of it is a person's own."""
    starters = {stock.name for stock in starter_stock()}
    if not any(stock.name in starters for stock in recipe.stocks):
        return NOTHING
    return Sentence(
        "To start from: weights per length by common practice. Weigh and measure your own."
    )


def of_length(recipe: Recipe, length: float, question: Question) -> Steps[Built]:
    """The tip that is so long [m]. Raises Impossible where the stock has no such length."""
    if length > recipe.longest * (1.0 + CLOSE):
        raise Impossible(
            "A tip of {stock} is {length} at the most, its loops left out.",
            length=OnTape(recipe.longest),
            stock=" + ".join(stock.name for stock in recipe.stocks),
        )
    line = recipe.made(min(length, recipe.longest))
    row = yield from row_of(question, line)
    return Built(line, row)


def find(recipe: Recipe, aim: Aim, wanted: float, question: Question) -> Steps[Built]:
    """The tip whose weight [kg], joint step, fastest sink rate [m/s] or depth [m] is as wanted.

    Depth is the middle of its band. Raises Impossible where no length gives it, and says what there
    is.
    """
    if recipe.longest < SHORTEST:
        raise _too_short(recipe)
    if aim is Aim.DEPTH:
        length = yield from uncounted(_length_for_depth(recipe, wanted, question), 10)
    else:
        length = _root(_figure(recipe, aim, question), recipe, aim, wanted, CLOSE)
    return (yield from of_length(recipe, length, question))


def sought(recipe: Recipe, aim: Aim, wanted: float, question: Question) -> Steps[Built | Sentence]:
    """The same, or in a sentence why there is no such length."""
    try:
        return (yield from find(recipe, aim, wanted, question))
    except Impossible as problem:
        return problem.sentence


def find_now(recipe: Recipe, aim: Aim, wanted: float, question: Question) -> Built:
    """The same, done here and now."""
    return finish(find(recipe, aim, wanted, question))


def stock_decides(recipe: Recipe, aim: Aim) -> Sentence | None:
    """Why no length changes this, if none does."""
    if aim is Aim.SINK and recipe.is_level:
        return Sentence("Level tips of one stock sink alike at any length.")
    if aim is Aim.STEP and recipe.stocks[-1].is_level:
        return Sentence("Set by the stock, at any length.")
    return None


def decided_words(recipe: Recipe) -> Sentence:
    """What no length of this changes, in one sentence; nothing where every figure does."""
    if stock_decides(recipe, Aim.SINK) is not None:
        return Sentence(
            "The stock decides joint step and sink rate. Level tips of one stock sink alike at any "
            "length, and the longer fishes deeper."
        )
    if stock_decides(recipe, Aim.STEP) is not None:
        return Sentence("The stock at the joint decides the step, at any length.")
    return NOTHING


def _figure(recipe: Recipe, aim: Aim, question: Question) -> Callable[[float], float]:
    """What a tip so long [m] has of what is aimed at; cheap."""
    if aim is Aim.WEIGHT:
        return lambda length: Profile.of(recipe.made(length)).total_mass
    head = head_of(question.head)
    if aim is Aim.STEP:
        behind = section.linear_density(head.segments[0], 0.0)

        def step(length: float) -> float:
            last = recipe.made(length).segments[-1]
            return section.linear_density(last, last.length) / behind

        return step
    water = question.fishing.water
    return lambda length: float(analyse_line(recipe.made(length), water).curves.sink.max())


def _too_short(recipe: Recipe) -> Impossible:
    return Impossible(
        "{stock} is too short for a tip of {length} with its loops.",
        stock=" + ".join(stock.name for stock in recipe.stocks),
        length=Length(SHORTEST),
    )


_SAID: dict[Aim, Callable[[float], Value]] = {
    Aim.WEIGHT: Weight,
    Aim.STEP: Ratio,
    Aim.SINK: SinkRate,
    Aim.DEPTH: partial(Rough, DEPTH),
}


def _out_of_reach(recipe: Recipe, aim: Aim, low: float, high: float) -> Impossible:
    """No length of it gives what is wanted: what there is instead."""
    said = _SAID[aim]
    why = stock_decides(recipe, aim)
    if why is not None:
        return Impossible("This stock gives {there} at any length.", there=said(high))
    return Impossible(
        "{short} to {long} of this stock give {low} to {high}.",
        short=Length(SHORTEST),
        long=Length(recipe.longest),
        low=said(min(low, high)),
        high=said(max(low, high)),
    )


def _root(
    figure: Callable[[float], float], recipe: Recipe, aim: Aim, wanted: float, close: float
) -> float:
    """The length [m] at which a figure is as wanted, by bisection. Raises Impossible."""
    walk = _bisect(_at_once(figure), recipe, aim, wanted, close)
    return finish(walk)


def _at_once(figure: Callable[[float], float]) -> Callable[[float], Steps[float]]:
    def steps(length: float) -> Steps[float]:
        yield from ()
        return figure(length)

    return steps


def _bisect(
    figure: Callable[[float], Steps[float]],
    recipe: Recipe,
    aim: Aim,
    wanted: float,
    close: float,
) -> Steps[float]:
    """The length at which ``figure`` is as wanted; it rises or falls with the length throughout."""
    short, long = SHORTEST, recipe.longest
    low = yield from figure(short)
    high = yield from figure(long)
    level = stock_decides(recipe, aim) is not None
    if level or not min(low, high) <= wanted <= max(low, high):
        raise _out_of_reach(recipe, aim, low, high)
    rises = high > low
    for _ in range(MOST_STEPS):
        if long - short <= close * recipe.longest:
            break
        middle = 0.5 * (short + long)
        there = yield from figure(middle)
        if (there < wanted) is rises:
            short = middle
        else:
            long = middle
        yield 0.0
    return 0.5 * (short + long)


def _length_for_depth(recipe: Recipe, wanted: float, question: Question) -> Steps[float]:
    def depth(length: float) -> Steps[float]:
        row = yield from row_of(question, recipe.made(length))
        # On the bottom is deeper than any depth that is asked for.
        return math.inf if math.isnan(row.middle) else row.middle

    return (yield from _bisect(depth, recipe, Aim.DEPTH, wanted, CLOSE_DEPTH))
