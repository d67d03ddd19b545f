"""What the scale should read while the head that is looked at is joined, and in which order."""

from __future__ import annotations

from taperlab.gui.kit.label_grid import LabelGrid
from taperlab.gui.kit.widgets import Card, Remark, caption
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.shop.errors import WeightError
from taperlab.shop.pieces.building import Checkpoint
from taperlab.shop.pieces.words import bevel_words, order_words, weighed_words
from taperlab.units.kinds import WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, Weight
from taperlab.units.show import shown_unit


class OnTheWay(Card):
    """A row for each time that the head is laid on the scale: what it should read, what is new."""

    def __init__(self, case: PiecesCase) -> None:
        super().__init__(tr("On the scale on the way"), spacing=6)
        self._case = case
        self.rows = LabelGrid((2, 1, 1))
        self.bevel = Remark("soft")
        self.order = Remark("soft")
        self.add(caption(tr("On the scale on the way")), self.rows, self.bevel, self.order)

    def look_at(self, head: int) -> None:
        """Tell of a head, by its number."""
        found, read = self._case.study, self._case.place.read
        build = found.builds[head] if found is not None and found.heads else None
        points = found.checkpoints(head) if found is not None and build is not None else ()
        self.rows.setVisible(bool(points))
        if not points or found is None or build is None:
            self.bevel.say("")
            self.order.say(tr("Told once the head has all its pieces."))
            return
        unit = shown_unit(WEIGHT, self._case.system)
        texts: list[tuple[str, ...]] = []
        texts.append((tr("Weigh, {unit}").format(unit=unit), tr("expected"), tr("the last adds")))
        for each in points:
            texts.append((read(weighed_words(each, build)), *map(read, _figures(each))))
        self.rows.show_rows(texts)
        self.bevel.say(read(bevel_words(points)))
        self.order.say(read(order_words()))


def _figures(point: Checkpoint) -> tuple[Sentence, Sentence]:
    """What the scale should read, and how much of that is new; of a piece by itself that is all."""
    expected = Sentence(
        "{mass} {reach}", mass=Weight(point.mass, unit=False), reach=WeightError(point.reach)
    )
    if point.after == 1:
        return expected, Sentence("–")
    return expected, Sentence(
        "{mass} {reach}", mass=Weight(point.adds, unit=False), reach=WeightError(point.adds_reach)
    )
