"""Shelves and pieces drawn for the cutting plan: forty pieces of stock, sixty to cut."""

from __future__ import annotations

import random

from taperlab.shop.pieces.bars import Bar, Cutting, Size

EIGHTH = 1000
"""An eighth of an inch in the units of a plan."""


def cutting_drawn(
    seed: int, *, kinds: int, rounded: bool, pieces: int = 60, stock: int = 40
) -> Cutting:
    """Spools and offcuts in so many kinds; pieces of 2 to 14 ft, in quarters of a foot or any."""
    chance = random.Random(seed)
    bars = []
    for i in range(stock):
        fresh = chance.random() < 0.3
        feet = chance.choice((30, 60, 90, 100)) if fresh else 0
        length = feet * 96 if fresh else chance.randint(2 * 96, 25 * 96)
        bars.append(Bar(str(i), length * EIGHTH, fresh))
    counts: dict[tuple[int, int], int] = {}
    for j in range(pieces):
        long = chance.randint(8, 56) * 24 if rounded else chance.randint(192, 1344)
        counts[j % kinds, long] = counts.get((j % kinds, long), 0) + 1
    sizes = tuple(
        Size(n, tuple(long * EIGHTH if i % kinds == kind else None for i in range(stock)))
        for (kind, long), n in sorted(counts.items())
    )
    return Cutting(tuple(bars), sizes)


def spools_drawn(seed: int, *, rounded: bool) -> Cutting:
    """Forty pieces of stock of one kind, most of them untouched spools; sixty pieces to cut.

    Pieces of 2 to 14 ft: in quarters of a foot, or in eighths of an inch and no two alike.
    """
    chance = random.Random(seed)
    bars = []
    for i in range(40):
        fresh = chance.random() < 0.7
        eighths = chance.choice((30, 60, 90, 100)) * 96 if fresh else chance.randint(192, 25 * 96)
        bars.append(Bar(str(i), eighths * EIGHTH, fresh))
    counts: dict[int, int] = {}
    while sum(counts.values()) < 60:
        long = chance.randint(8, 56) * 24 if rounded else chance.randint(192, 1344)
        if rounded or long not in counts:
            counts[long] = counts.get(long, 0) + 1
    sizes = tuple(Size(n, (long * EIGHTH,) * 40) for long, n in sorted(counts.items()))
    return Cutting(tuple(bars), sizes)
