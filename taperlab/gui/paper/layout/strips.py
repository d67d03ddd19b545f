"""How strips, which are never parted, become pages."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from taperlab.gui.paper.layout.marks import Mark

ROUNDING = 1e-6
"""What adds up to no more than this too much still fits [points]."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A band across the page; its marks are counted from its left top.

    gap: room above it, left out at the top of a page. keeps: it stays with what follows. again:
    what is repeated ahead of it where it comes first on a page. new_page: it comes first on one.
    """

    height: float
    marks: tuple[Mark, ...] = ()
    gap: float = 0.0
    keeps: bool = False
    again: tuple[Strip, ...] = ()
    new_page: bool = False


def keeping(strips: Iterable[Strip]) -> list[Strip]:
    """Strips that stand together, the last of them as it is."""
    made = list(strips)
    return [*(replace(each, keeps=True) for each in made[:-1]), *made[-1:]]


def fitted(strip: Strip, height: float) -> Strip:
    """A strip that is no higher than a page; one that were is drawn smaller, as a last resort."""
    if strip.height <= height:
        return strip
    share = height / strip.height
    return replace(strip, height=height, marks=tuple(each.smaller(share) for each in strip.marks))


def paged(strips: Sequence[Strip], height: float) -> list[list[Mark]]:
    """The marks of each page, counted from its left top; at least one page.

    height: of a page. What belongs together and is higher than a page is parted between strips.
    """
    strips = [fitted(each, height) for each in strips]
    pages: list[list[Mark]] = [[]]
    at = 0.0

    def turn() -> None:
        nonlocal at
        pages.append([])
        at = 0.0

    def put(strip: Strip) -> None:
        nonlocal at
        top = at + (strip.gap if at > 0.0 else 0.0)
        pages[-1] += [mark.moved(0.0, top) for mark in strip.marks]
        at = top + strip.height

    for group in _groups(strips):
        if group[0].new_page and at > 0.0:
            turn()
        needed = sum(each.gap + each.height for each in group)
        if at == 0.0:
            needed -= group[0].gap
        if at > 0.0 and at + needed > height + ROUNDING:
            turn()
            for each in group[0].again:
                put(each)
        for each in group:
            if at > 0.0 and at + each.gap + each.height > height + ROUNDING:
                turn()
                for repeated in each.again:
                    put(repeated)
            put(each)
    return pages


def _groups(strips: Sequence[Strip]) -> list[list[Strip]]:
    made: list[list[Strip]] = []
    begun = False
    for each in strips:
        if begun and not each.new_page:
            made[-1].append(each)
        else:
            made.append([each])
        begun = each.keeps
    return made
