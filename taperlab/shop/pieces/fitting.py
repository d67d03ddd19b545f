"""A plan at once: longest pieces first, each where it costs least, then moves and swaps.

It takes a millisecond and is never the last word: of given, unequal stock it guarantees nothing
(40, 40 and four of 30 fit into two bars of 100, and longest first leaves a 30 uncut).
"""

from __future__ import annotations

from itertools import combinations

from taperlab.shop.pieces.bars import Cuts, Cutting

_ROUNDS = 40
_GAIN = 1e-6


def fitted(cutting: Cutting) -> Cuts:
    """A plan that no single move or swap of pieces makes better."""
    work = _Work(cutting)
    work.place_longest_first()
    for _ in range(_ROUNDS):
        if not (work.move() | work.swap() | work.empty_bars()):
            break
    return work.cuts()


class _Work:
    """Pieces one by one, each in a bar or in none, with what each bar is cut of."""

    def __init__(self, cutting: Cutting) -> None:
        self.cutting = cutting
        self.size_of = [k for k, size in enumerate(cutting.sizes) for _ in range(size.count)]
        self.size_of.sort(key=lambda k: (-cutting.sizes[k].least, k))
        self.bar_of: list[int | None] = [None] * len(self.size_of)
        self.used = [0] * len(cutting.bars)

    def cuts(self) -> Cuts:
        counts = [[0] * len(self.cutting.sizes) for _ in self.cutting.bars]
        for piece, bar in enumerate(self.bar_of):
            if bar is not None:
                counts[bar][self.size_of[piece]] += 1
        return Cuts(tuple(map(tuple, counts)))

    def _length(self, piece: int, bar: int) -> int | None:
        return self.cutting.sizes[self.size_of[piece]].lengths[bar]

    def _change(self, bar: int, used: int) -> float:
        """What a bar costs more when so much is cut from it; infinite where it can't be."""
        if not self.cutting.fits(bar, used):
            return float("inf")
        return self.cutting.bar_cost(bar, used) - self.cutting.bar_cost(bar, self.used[bar])

    def _put(self, piece: int, bar: int | None) -> None:
        was = self.bar_of[piece]
        if was is not None:
            self.used[was] -= self._length(piece, was) or 0
        self.bar_of[piece] = bar
        if bar is not None:
            self.used[bar] += self._length(piece, bar) or 0

    def _best_bar(self, piece: int, besides: int | None = None) -> tuple[float, int] | None:
        best: tuple[float, int, int] | None = None
        for bar in range(len(self.used)):
            length = self._length(piece, bar)
            if bar == besides or length is None:
                continue
            change = self._change(bar, self.used[bar] + length)
            rest = self.cutting.bars[bar].length - self.used[bar] - length
            if change < float("inf") and (best is None or (change, rest, bar) < best):
                best = change, rest, bar
        return None if best is None else (best[0], best[2])

    def place_longest_first(self) -> None:
        for piece in range(len(self.size_of)):
            if found := self._best_bar(piece):
                self._put(piece, found[1])

    def move(self) -> bool:
        """Move single pieces, and put in what is not cut yet."""
        better = False
        for piece, bar in enumerate(self.bar_of):
            found = self._best_bar(piece, bar)
            if found is None:
                continue
            if bar is None:
                self._put(piece, found[1])
                better = True
                continue
            saved = self._change(bar, self.used[bar] - (self._length(piece, bar) or 0))
            if found[0] + saved < -_GAIN:
                self._put(piece, found[1])
                better = True
        return better

    def swap(self) -> bool:
        """Swap two pieces of different sizes between two bars, or one for one not cut yet."""
        better = False
        for one, other in combinations(range(len(self.size_of)), 2):
            a, b = self.bar_of[one], self.bar_of[other]
            if a == b or self.size_of[one] == self.size_of[other]:
                continue
            if a is None or b is None:
                better |= self._exchange(one, other)
                continue
            into_b, into_a = self._length(one, b), self._length(other, a)
            own_a, own_b = self._length(one, a), self._length(other, b)
            if into_b is None or into_a is None or own_a is None or own_b is None:
                continue
            change = self._change(a, self.used[a] - own_a + into_a)
            if change == float("inf"):
                continue
            if change + self._change(b, self.used[b] - own_b + into_b) < -_GAIN:
                self._put(one, b)
                self._put(other, a)
                better = True
        return better

    def _exchange(self, one: int, other: int) -> bool:
        """Cut a longer piece that is not cut in place of a shorter one that is."""
        out, inside = (one, other) if self.bar_of[one] is None else (other, one)
        bar = self.bar_of[inside]
        sizes = self.cutting.sizes
        if bar is None or sizes[self.size_of[out]].least <= sizes[self.size_of[inside]].least:
            return False
        length, own = self._length(out, bar), self._length(inside, bar)
        if length is None or own is None:
            return False
        if not self.cutting.fits(bar, self.used[bar] - own + length):
            return False
        self._put(inside, None)
        self._put(out, bar)
        return True

    def empty_bars(self) -> bool:
        """Take all pieces of one bar elsewhere, where that is cheaper altogether."""
        better = False
        for bar in range(len(self.used)):
            pieces = [piece for piece, at in enumerate(self.bar_of) if at == bar]
            if not pieces:
                continue
            change = self.cutting.bar_cost(bar, self.used[bar])
            gained = -change
            moved: list[int] = []
            for piece in pieces:
                self._put(piece, None)
            for piece in pieces:
                found = self._best_bar(piece, bar)
                if found is None:
                    break
                gained += found[0]
                self._put(piece, found[1])
                moved.append(piece)
            if len(moved) == len(pieces) and gained < -_GAIN:
                better = True
                continue
            for piece in pieces:
                self._put(piece, None)
            for piece in pieces:
                self._put(piece, bar)
        return better
