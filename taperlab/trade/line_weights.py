"""The published line-weight standard: single-hand and two-handed line numbers.

AFFTA Approved Fly Line Weight Specifications; the tables with their faults and gaps are in
resources/tables/single_hand.toml and two_handed.toml. Grains decide, never the rounded grams.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.trade.tables import read_table
from taperlab.units.finding import Impossible
from taperlab.units.sentence import Sentence

_ROUNDING = 1e-9  # sums of segments miss a round figure by less than this share of it


@dataclass(frozen=True, slots=True)
class SingleHandSize:
    """One row of the single-hand table: masses of the first 30 ft [kg]."""

    number: int
    low: float
    target: float
    high: float


@dataclass(frozen=True, slots=True)
class SingleHandRating:
    """The nearest single-hand size, and how the line stands to its target.

    offset: line minus target [kg]. between: the two sizes that the weight lies between, if it
    lies in neither's limits.
    """

    nearest: SingleHandSize
    offset: float
    between: tuple[int, int] | None

    @property
    def words(self) -> Sentence:
        """The standing in words, without figures that need a unit."""
        if self.between is not None:
            lighter, heavier = self.between
            return Sentence(
                "between lines {lighter} and {heavier}", lighter=lighter, heavier=heavier
            )
        return Sentence("within the limits of line {size}", size=self.nearest.number)


@lru_cache(maxsize=1)
def single_hand_sizes() -> tuple[SingleHandSize, ...]:
    """The single-hand table, lightest first."""
    return tuple(
        SingleHandSize(row["number"], *(grains * GRAIN for grains in row["grains"]))
        for row in read_table("tables", "single_hand.toml")["size"]
    )


def single_hand_size(number: int) -> SingleHandSize:
    """The row of a line number. Raises Impossible if the table has none."""
    for size in single_hand_sizes():
        if size.number == number:
            return size
    sizes = single_hand_sizes()
    raise Impossible(
        "The standard has single-hand lines {first} to {last}, not {number}.",
        first=sizes[0].number,
        last=sizes[-1].number,
        number=number,
    )


def _apart(target: float, mass: float) -> float:
    """Distance [kg] in whole micrograms, so that rounding does not decide a tie."""
    return round(abs(target - mass), 9)


def rate_single_hand(mass_first_30_ft: float | None) -> SingleHandRating | None:
    """Rate the mass of the first 30 ft, level tip left out [kg], on the single-hand table.

    Nearest is the size with the nearest target, the lighter one if two are equally near. None
    where there is no such mass, or it lies below the lightest or above the heaviest limit.
    """
    mass = mass_first_30_ft
    if mass is None or not math.isfinite(mass):
        return None
    sizes = single_hand_sizes()
    slack = _ROUNDING * mass
    if not sizes[0].low - slack <= mass <= sizes[-1].high + slack:
        return None
    nearest = min(sizes, key=lambda size: (_apart(size.target, mass), size.number))
    between = None
    if mass < nearest.low - slack:
        between = (nearest.number - 1, nearest.number)
    elif mass > nearest.high + slack:
        between = (nearest.number, nearest.number + 1)
    return SingleHandRating(nearest, mass - nearest.target, between)


@dataclass(frozen=True, slots=True)
class TwoHandedClass:
    """A column of the two-handed table.

    head_from, head_to, weigh_point: [m]; the heads of the class are longer than head_from (for
    the shortest class: not shorter) and not longer than head_to. targets: mass up to the weigh
    point [kg] by size.
    """

    letter: str
    name: str
    head_from: float
    head_to: float
    weigh_point: float
    targets: dict[int, float]


@dataclass(frozen=True, slots=True)
class TwoHandedRating:
    """The class by head length, the nearest size in it, and how the line stands to its target.

    offset: line minus target [kg]. weighed_over: length from the fly end that was weighed [m]: the
    class's weigh point, or the whole line where it is shorter than that.
    """

    column: TwoHandedClass
    size: int
    offset: float
    weighed_over: float


@lru_cache(maxsize=1)
def two_handed_classes() -> tuple[TwoHandedClass, ...]:
    """The two-handed table, shortest heads first."""
    table = read_table("tables", "two_handed.toml")
    return tuple(
        TwoHandedClass(
            letter=column["letter"],
            name=column["name"],
            head_from=column["head_from_ft"] * FOOT,
            head_to=column.get("head_to_ft", math.inf) * FOOT,
            weigh_point=column["weigh_point_ft"] * FOOT,
            targets={
                size: grains * GRAIN
                for size, grains in zip(table["sizes"], column["grains"], strict=True)
            },
        )
        for column in table["class"]
    )


def two_handed_class(head_length: float) -> TwoHandedClass | None:
    """The class of heads of this length [m]; None below 30 ft, where the standard has none.

    Heads of exactly 50, 60 and 70 ft go to the class of the shorter heads: for its longest class
    the standard says "over 70 ft".
    """
    classes = two_handed_classes()
    if head_length < classes[0].head_from * (1.0 - _ROUNDING):
        return None
    for column in classes:
        if head_length <= column.head_to * (1.0 + _ROUNDING):
            return column
    return None


def rate_two_handed(
    head_length: float,
    running_mass_at: Callable[[float], float],
    line_length: float = math.inf,
) -> TwoHandedRating | None:
    """Rate a line on the two-handed table.

    head_length: [m]. running_mass_at: mass [kg] from the fly end up to a distance [m].
    line_length: length of the whole line, running line included [m]; a line that ends before
    the weigh point is weighed whole.

    Nearest is the size with the nearest target, the lighter one if two are equally near. The
    table gives steps from size to size but no limits, so there is no standing. None for heads
    below 30 ft, and for weights farther beyond the end sizes than half the step next to them.
    """
    column = two_handed_class(head_length)
    if column is None:
        return None
    weighed_over = min(column.weigh_point, line_length)
    mass = running_mass_at(weighed_over)
    sizes = sorted(column.targets)
    targets = [column.targets[size] for size in sizes]
    slack = _ROUNDING * mass
    lightest = targets[0] - (targets[1] - targets[0]) / 2.0
    heaviest = targets[-1] + (targets[-1] - targets[-2]) / 2.0
    if not lightest - slack <= mass <= heaviest + slack:
        return None
    size = min(sizes, key=lambda each: (_apart(column.targets[each], mass), each))
    return TwoHandedRating(column, size, mass - column.targets[size], weighed_over)
