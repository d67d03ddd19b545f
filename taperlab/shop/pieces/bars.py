"""What is cut from what: stock as bars, pieces as sizes, and what a plan costs in length of line.

Lengths are whole thousandths of an eighth of an inch, so that a plan can be checked without
rounding. An eighth itself would be too coarse: two halves of a bar of 3 m fit into it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from taperlab.model.exact_units import FOOT, INCH

QUANTUM = INCH / 8000.0
"""The unit of all lengths here [m]: 3 µm."""

SLACK = 50
"""A bar may be cut up to so much beyond its length: a sixth of a millimetre, within any blade."""


def quanta(length: float) -> int:
    """A length [m] in whole units."""
    return round(length / QUANTUM)


def metres(count: float) -> float:
    """So many units in metres [m]."""
    return count * QUANTUM


@dataclass(frozen=True, slots=True)
class Bar:
    """A level piece of stock: its key, its length, and whether it was never cut from."""

    key: str
    length: int
    fresh: bool = True


@dataclass(frozen=True, slots=True)
class Size:
    """Equal pieces: how many, and how long each is cut from each bar; None where it can't be."""

    count: int
    lengths: tuple[int | None, ...]

    @property
    def least(self) -> int:
        """As short as it is cut from any bar; nought where it is cut from none."""
        return min((each for each in self.lengths if each is not None), default=0)


@dataclass(frozen=True, slots=True)
class Worth:
    """What cutting costs, in length of line.

    share: what a foot of a spool that was cut from is worth of one that was not. bother: what each
    such piece of stock costs beside [m]. usable: a shorter one is worth nothing [m]. pick: what
    taking any piece of stock in hand costs, so that of two plans alike the one with fewer is taken.
    """

    share: float = 0.8
    bother: float = 6.0 * INCH
    usable: float = 3.0 * FOOT
    pick: float = INCH / 8.0

    def left(self, length: float) -> float:
        """What so much [units] of a bar that was cut from is worth [units]."""
        if length < quanta(self.usable):
            return 0.0
        return max(0.0, self.share * length - quanta(self.bother))

    def whole(self, bar: Bar) -> float:
        """What a bar is worth as it lies there [units]."""
        return float(bar.length) if bar.fresh else self.left(bar.length)


@dataclass(frozen=True, slots=True)
class Cutting:
    """Sizes to be cut from bars."""

    bars: tuple[Bar, ...]
    sizes: tuple[Size, ...]
    worth: Worth = field(default_factory=Worth)

    def fits(self, bar: int, used: int) -> bool:
        """Whether so much can be cut from a bar."""
        return used <= self.bars[bar].length + SLACK

    def used(self, counts: Sequence[int], bar: int) -> int:
        """What so many of each size take of a bar, which must be able to hold each of them."""
        total = 0
        for size, count in zip(self.sizes, counts, strict=True):
            if count:
                length = size.lengths[bar]
                assert length is not None
                total += count * length
        return total

    def bar_cost(self, bar: int, used: int) -> float:
        """What cutting so much from a bar costs; nought where nothing is cut."""
        if used <= 0:
            return 0.0
        rest = self.bars[bar].length + SLACK - used
        return self.worth.whole(self.bars[bar]) - self.worth.left(rest) + quanta(self.worth.pick)

    @property
    def uncut_cost(self) -> float:
        """What leaving a unit of length uncut costs: more than any way of cutting it."""
        least = min((each.least for each in self.sizes if each.least), default=1)
        dearest = max((self.worth.whole(each) for each in self.bars), default=1.0)
        return 10.0 + 3.0 * (dearest + quanta(self.worth.pick)) / least


@dataclass(frozen=True, slots=True)
class Cuts:
    """A plan: of each bar, how many of each size are cut from it."""

    counts: tuple[tuple[int, ...], ...]

    def uncut(self, cutting: Cutting) -> tuple[int, ...]:
        """How many of each size are not cut."""
        return tuple(
            size.count - sum(bar[k] for bar in self.counts) for k, size in enumerate(cutting.sizes)
        )

    def cost(self, cutting: Cutting) -> float:
        """What it costs [units], what is not cut included; lower is better."""
        cut = sum(cutting.bar_cost(at, cutting.used(bar, at)) for at, bar in enumerate(self.counts))
        left = self.uncut(cutting)
        uncut = sum(n * size.least for n, size in zip(left, cutting.sizes, strict=True))
        return cut + cutting.uncut_cost * uncut

    def is_sound(self, cutting: Cutting) -> bool:
        """Whether every bar holds what is cut from it and no size is cut too often."""
        for at, bar in enumerate(self.counts):
            for k, count in enumerate(bar):
                if count < 0 or (count and cutting.sizes[k].lengths[at] is None):
                    return False
            if not cutting.fits(at, cutting.used(bar, at)):
                return False
        return all(each >= 0 for each in self.uncut(cutting))


def apart(cutting: Cutting) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Bars and sizes that have nothing to do with each other: the numbers of both, group by group.

    A size that may come from two kinds of stock joins them.
    """
    left = set(range(len(cutting.sizes)))
    while left:
        sizes = {min(left)}
        bars: set[int] = set()
        while True:
            more = {
                at
                for at in range(len(cutting.bars))
                if any(cutting.sizes[k].lengths[at] is not None for k in sizes)
            }
            joined = {
                k for k in left if any(cutting.sizes[k].lengths[at] is not None for at in more)
            }
            if more == bars and joined | sizes == sizes:
                break
            bars, sizes = more, sizes | joined
        left -= sizes
        yield tuple(sorted(bars)), tuple(sorted(sizes))


def part_of(cutting: Cutting, bars: Sequence[int], sizes: Sequence[int]) -> Cutting:
    """The problem of some bars and some sizes alone."""
    return Cutting(
        tuple(cutting.bars[at] for at in bars),
        tuple(
            Size(cutting.sizes[k].count, tuple(cutting.sizes[k].lengths[at] for at in bars))
            for k in sizes
        ),
        cutting.worth,
    )
