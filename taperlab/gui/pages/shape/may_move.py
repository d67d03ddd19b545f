"""What gives way when a figure of the head is typed: chosen beside the figures, and remembered."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QComboBox, QSizePolicy, QWidget

from taperlab.edits.edited import Step
from taperlab.edits.figures import Figure, May, Moves, set_figure, ways, why_not
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import caption, in_column
from taperlab.model.line import Line
from taperlab.model.segment import Part
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import capital, word

_USUAL = {
    Figure.WEIGHT: Moves.DIAMETERS,
    Figure.LENGTH: Moves.LENGTHS,
    Figure.FRONT: f"{Moves.LENGTH}: {Part.FRONT_TAPER}",
    Figure.BALANCE: f"{Moves.LENGTH}: {Part.BELLY}",
    Figure.RATIO: Moves.LENGTHS,
}
"""What moves until the person chooses: the shape is kept where it can be."""

_GOAL = "goal"
"""Remembered in place of what moves by one factor: as little as possible does, for a goal."""

_TIP = later("What moves when this figure is typed, or nudged")

_ASKS = {
    Figure.WEIGHT: later("Head weight by"),
    Figure.LENGTH: later("Head length by"),
    Figure.FRONT: later("Front taper by"),
    Figure.BALANCE: later("Balance point by"),
    Figure.RATIO: later("Ratio by"),
}


class MayMove(QWidget):
    """The choice for the current figure; one that would move nothing is greyed and says why.

    It is remembered for each figure, one row's length by the part of that row, so that it holds
    for the next line too: there it is the longest row of the part.
    """

    def __init__(self, place: Workplace) -> None:
        super().__init__()
        self._place = place
        self._figure = Figure.WEIGHT
        self._ways: tuple[May, ...] = ()
        self._offered: tuple[Figure, tuple[Part, ...], bool] | None = None
        self.told: Callable[[], bool] = lambda: False
        """Whether the line has goals or locks, so that its figures are goals whatever is chosen."""
        self.asks = caption("")
        self.box = Choice()
        self.box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        adjust = QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        self.box.setSizeAdjustPolicy(adjust)
        self.box.setMinimumContentsLength(6)
        self.box.setToolTip(tr(_TIP))
        self.box.activated.connect(self._chosen)
        self.asks.setBuddy(self.box)
        column = in_column(self.asks, self.box, spacing=3, of=self)
        column.setContentsMargins(0, 0, 0, 6)

    # -- what moves ---------------------------------------------------------------------------

    def way(self, line: Line, figure: Figure) -> May:
        """What moves when a figure of a line is typed: what was chosen, or the first that can."""
        rod = self._place.document.rod
        length = rod.length if rod else None
        wished = _found(line, self._remembered().get(figure, _USUAL[figure]))
        every = [each for each in (wished, *ways(line)) if each is not None]
        able = (each for each in every if not why_not(line, length, figure, each))
        return next(able, every[0])

    def aims(self, figure: Figure) -> bool:
        """Whether a figure that is typed is a goal, for which as little as possible moves."""
        return self.told() or self._remembered().get(figure) == _GOAL

    def step(self, figure: Figure, value: float) -> Step | None:
        """The edit that a typed figure is [SI]."""
        line = self._place.document.line
        if line is None:
            return None
        return set_figure, (line.key, figure, value, self.way(line, figure))

    # -- the choice ---------------------------------------------------------------------------

    def show_figure(self, figure: Figure) -> None:
        """Show what moves for this figure."""
        self._figure = figure
        self.refresh()

    def refresh(self) -> None:
        """Show the choices that the current line has."""
        line, figure, rod = self._place.document.line, self._figure, self._place.document.rod
        parts = tuple(each.part for each in line.segments) if line else ()
        if line is None:
            self._offer(figure, (), [])
            self._offered = None
        elif self._offered != (figure, parts, rod is None):  # all that the choices hang on
            length = rod.length if rod else None
            every = ways(line)
            self._offer(figure, every, [self._item(line, length, each) for each in every])
            self._offered = figure, parts, rod is None
        self.setEnabled(bool(parts))
        self.box.setEnabled(not self.told())
        told = tr("The line has goals or locks: as little as possible moves to meet them all")
        self.box.setToolTip(told if self.told() else tr(_TIP))
        if line is not None and self._ways:
            now = self.way(line, figure)
            at = self._ways.index(now) if now in self._ways else -1
            self.box.setCurrentIndex(len(self._ways) if self.aims(figure) else at)

    def _offer(self, figure: Figure, every: tuple[May, ...], items: list[QStandardItem]) -> None:
        self._ways = every
        self.asks.setText(tr(_ASKS[figure]))
        self.box.setAccessibleName(tr(_ASKS[figure]))
        self.box.clear()
        model = self.box.model()
        assert isinstance(model, QStandardItemModel)
        for each in items:
            model.appendRow(each)
        if items:
            least = QStandardItem(tr("As little as possible: a goal"))
            least.setToolTip(tr("Kept as a goal; whatever is not locked moves to meet it"))
            model.appendRow(least)

    def _item(self, line: Line, rod_length: float | None, may: May) -> QStandardItem:
        """A choice; greyed, and why, where it would move nothing."""
        why = self._place.read(why_not(line, rod_length, self._figure, may))
        item = QStandardItem(self._words(line, may))
        item.setToolTip(why)
        item.setData(why, Qt.ItemDataRole.AccessibleDescriptionRole)
        item.setEnabled(not why)
        return item

    def _words(self, line: Line, may: May) -> str:
        if may.moves is not Moves.LENGTH:
            return capital(word(may.moves))
        part = line.segments[may.row].part
        said = Sentence("Length of segment {row}, {part}", row=may.row + 1, part=part)
        return self._place.read(said)

    def _chosen(self, index: int) -> None:
        line = self._place.document.line
        if line is None:
            return
        if index == len(self._ways):
            self._remember(_GOAL)
            return
        may = self._ways[index]
        told = str(may.moves)
        if may.moves is Moves.LENGTH:
            part = line.segments[may.row].part
            told = (
                f"{may.moves}: {part}" if may == _longest(line, part) else f"{told}: {may.row + 1}"
            )
        self._remember(told)

    def _remember(self, told: str) -> None:
        kept = self._remembered() | {self._figure: told}
        self._place.settings.remember(
            figures_move=tuple(f"{figure} = {what}" for figure, what in kept.items())
        )
        self.refresh()

    def _remembered(self) -> dict[Figure, str]:
        kept = {}
        for each in self._place.settings.preferences.figures_move:
            name, _, what = each.partition(" = ")
            if name in list(Figure):
                kept[Figure(name)] = what
        return kept


def _longest(line: Line, part: str) -> May | None:
    rows = [i for i, each in enumerate(line.segments) if each.part == part]
    if not rows:
        return None
    return May(Moves.LENGTH, max(rows, key=lambda row: line.segments[row].length))


def _found(line: Line, told: str) -> May | None:
    """What was chosen, as this line has it; None where it has no such thing."""
    moves, _, which = told.partition(": ")
    if moves not in list(Moves):
        return None
    if Moves(moves) is not Moves.LENGTH:
        return May(Moves(moves))
    if which.isdigit():
        row = int(which) - 1
        return May(Moves.LENGTH, row) if 0 <= row < len(line.segments) else None
    return _longest(line, which)
