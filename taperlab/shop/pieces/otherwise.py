"""What else is cut where a plan leaves pieces uncut: short is said when nothing else would do.

A plan first looks for what is nearest to the design: the level stock nearest to a level piece, the
fewest steps of a taper. Where that runs out, what is further off but within the tolerance is cut,
other steps are made, or a tapered line that is left gives a stretch.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field, replace

from taperlab.shop.pieces.allotting import Allotted, Nearest
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.demand import Need
from taperlab.shop.pieces.level import LevelPiece, all_bars, as_level
from taperlab.shop.pieces.material import Fit, Material, fit_of
from taperlab.shop.steps import Steps


@dataclass(slots=True)
class Otherwise:
    """What was tried so far. taken: stretches of tapered stock, which grow.

    unlike: for each head the stock that does not weld to what it has already, thought of last. What
    was found for a piece holds for all that are alike.
    """

    needs: Sequence[Need]
    materials: Sequence[Material]
    question: Question
    taken: list[Allotted]
    nearest: Nearest
    unlike: Sequence[frozenset[int]]
    _gone: dict[int, frozenset[int]] = field(default_factory=dict)
    """Of a need: stock that its steps ran short of."""
    _first: dict[int, list[LevelPiece]] = field(default_factory=dict)
    """Of a need: the steps that were thought of first, told where no others do either."""
    _steps: dict[Hashable, list[LevelPiece] | None] = field(default_factory=dict)

    def steps(self, number: int, without: frozenset[int] = frozenset()) -> list[LevelPiece] | None:
        """The level pieces in place of a need, without some stock; None where none do."""
        need = self.needs[number]
        unlike = self.unlike[need.head]
        asked = need.likeness, without, unlike
        if asked not in self._steps:
            found = None
            if unlike:
                found = as_level(need, self.materials, self.question, without | unlike)
            if found is None:
                found = as_level(need, self.materials, self.question, without)
            self._steps[asked] = found
        found = self._steps[asked]
        if found is None:
            return None
        # Stock of one kind may be of two coatings.
        return [
            replace(
                each, need=need, bars=tuple(b for b in each.bars if b not in unlike) or each.bars
            )
            for each in found
        ]

    def stretch(self, number: int) -> Allotted | None:
        """The best stretch of tapered stock that is left for a need, where one fits at all."""
        best = self.nearest(self.needs[number], self.taken)
        if best is None or fit_of(best.stretch.share_off) is Fit.NONE:
            return None
        return replace(best, need=number)

    def levels(
        self, levels: Sequence[LevelPiece], uncut: Sequence[int], stop: Callable[[], bool]
    ) -> Steps[list[LevelPiece] | None]:
        """The level pieces to plan with instead, those numbered being uncut; None where none are.

        Stretches that are found on the way go to what is taken. None as well where it is stopped.
        """
        number_of = {id(need): number for number, need in enumerate(self.needs)}
        lacking = {number_of[id(levels[each].need)] for each in uncut}
        instead: dict[int, list[LevelPiece]] = {}
        for done, number in enumerate(sorted(lacking)):
            yield done / len(lacking)
            if stop():
                return None
            need = self.needs[number]
            if not need.is_level:
                mine = [each for each in levels if each.need is need]
                self._first.setdefault(number, mine)
            found = self._instead(number, [levels[at] for at in uncut if levels[at].need is need])
            if found is not None:
                instead[number] = found
        if not instead:
            instead = self._beside(levels, uncut, number_of)
        if not instead:
            return None
        kept = [each for each in levels if number_of[id(each.need)] not in instead]
        # The first heads are served first, whatever else was thought of for which.
        return sorted(
            kept + [each for number in instead for each in instead[number]],
            key=lambda each: (number_of[id(each.need)], each.step),
        )

    def _instead(self, number: int, uncut: Sequence[LevelPiece]) -> list[LevelPiece] | None:
        """The level pieces of a need in place of those so far, none for a stretch of a taper."""
        stretch = self.stretch(number)
        if stretch is not None and fit_of(stretch.stretch.share_off) is Fit.GOOD:
            self.taken.append(stretch)
            return []
        need = self.needs[number]
        found = self._wider(uncut[0]) if need.is_level else self._other_steps(number, uncut)
        if found is None and stretch is not None:
            self.taken.append(stretch)
            return []
        return found

    def _wider(self, piece: LevelPiece) -> list[LevelPiece] | None:
        """A level piece with all stock within the tolerance; None where it has that already."""
        bars = all_bars(piece.need, self.materials, self.question.rules.tolerance)
        return None if bars == piece.bars else [replace(piece, bars=bars)]

    def _other_steps(self, number: int, uncut: Sequence[LevelPiece]) -> list[LevelPiece] | None:
        before = self._gone.get(number, frozenset())
        gone = before.union(*(each.bars for each in uncut))
        self._gone[number] = gone
        if gone == before:
            return None
        found = self.steps(number, gone)
        return found or (self._first[number] if before else None)

    def _beside(
        self, levels: Sequence[LevelPiece], uncut: Sequence[int], number_of: dict[int, int]
    ) -> dict[int, list[LevelPiece]]:
        """Level pieces that lie on what is lacking, and may be cut from something else too."""
        wanted = {at for each in uncut for at in levels[each].bars}
        found = {}
        for each in levels:
            if each.need.is_level and wanted & set(each.bars) and (wider := self._wider(each)):
                found[number_of[id(each.need)]] = wider
        return found
