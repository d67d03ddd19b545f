"""The pieces that are cut: how long, of what, what each should weigh, and what it weighed."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QWidget

from taperlab.edits.builds import joined
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.kit.widgets import label
from taperlab.gui.pages.pieces.build_flow import BuildFlow
from taperlab.shop.pieces.lying import Lying
from taperlab.units.kinds import WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Sentence, Weight

LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class CutList(QWidget):
    """A row for each piece, whose own weight may be typed while it lies there by itself.

    problem(str): what is wrong.
    """

    problem = Signal(str)

    def __init__(self, flow: BuildFlow) -> None:
        super().__init__()
        self.flow = flow
        self.weights: list[QuantityEdit] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 4, 0, 4)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(4)
        self._shown: tuple[object, ...] = ()

    def show_pieces(self) -> None:
        """Show the pieces of the head that is built."""
        progress = self.flow.progress
        if progress is None:
            return
        # Whatever a row says: its spool may have been weighed since, and a key may be of another.
        told = [
            (each.cut, each.cut_mass, each.stock.name, each.log.begin, each.log.turned)
            for each in progress.pieces
        ]
        shown = (progress.log.key, told, self.flow.case.system)
        if shown != self._shown:
            self._shown = shown
            self._make_rows(progress.pieces)
        on = joined(progress.log)
        for index, (field, piece) in enumerate(zip(self.weights, progress.pieces, strict=True)):
            field.setEnabled(index >= on)
            if field.value() != piece.log.own and not field.hasFocus():
                field.set_value(piece.log.own)

    def _make_rows(self, pieces: tuple[Lying, ...]) -> None:
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.weights = []
        heads = ("", tr("Cut"), tr("From"), tr("Before bevel"), tr("Weighs"))
        for column, text in enumerate(heads):
            right = column in (1, 3)
            self._grid.addWidget(
                label(text, points=SMALL, role="soft"), 0, column, RIGHT if right else LEFT
            )
        self._grid.setColumnStretch(2, 1)
        for row, piece in enumerate(pieces, start=1):
            self._row(row, piece)

    def _row(self, row: int, piece: Lying) -> None:
        read = self.flow.case.place.read
        length = read(Sentence("{length}", length=OnTape(piece.cut)))
        place = piece.stock.name
        if not piece.stock.is_level or piece.log.turned:
            begin = OnTape(piece.log.begin)
            said = Sentence("{stock}, {begin} behind its front", stock=place, begin=begin)
            if piece.log.turned:
                said = Sentence(
                    "{stock}, {begin} behind its front, turned", stock=place, begin=begin
                )
            place = read(said)
        mass = read(Sentence("{mass}", mass=Weight(piece.cut_mass)))
        name = tr("Piece {number} weighs").format(number=row)
        field = QuantityEdit(WEIGHT, self.flow.case.place.settings, name=name, optional=True)
        field.setPlaceholderText("–")
        field.keep_width(px(74))
        field.set_help(tr("As it is cut, before any bevel; it may be left out"))
        field.sentence_changed.connect(self.problem)
        field.editingFinished.connect(partial(self._take, row - 1, field))
        field.returnPressed.connect(partial(self._entered, row - 1))
        self.weights.append(field)
        self._grid.addWidget(label(str(row), role="soft"), row, 0, LEFT)
        cut = label(length, points=11.0, weight=QFont.Weight.DemiBold)
        self._grid.addWidget(cut, row, 1, RIGHT)
        self._grid.addWidget(label(place, wrap=True), row, 2)
        self._grid.addWidget(label(mass, role="soft"), row, 3, RIGHT)
        self._grid.addWidget(field, row, 4)

    def _take(self, index: int, field: QuantityEdit) -> None:
        """Write down what was typed."""
        progress = self.flow.progress
        if progress is None or field.sentence or index >= len(progress.pieces):
            return
        if field.value() != progress.pieces[index].log.own:
            why_not = self.flow.weigh_piece(index, field.value())
            self.problem.emit(self.flow.case.place.read(why_not))

    def _entered(self, index: int) -> None:
        """Enter leads to the next piece; from the last, or one in question, to what is next."""
        is_cut = self.flow.log is not None and self.flow.log.is_cut
        if is_cut:
            self._take(index, self.weights[index])
        if not is_cut and index + 1 < len(self.weights):
            self.weights[index + 1].setFocus(Qt.FocusReason.TabFocusReason)
            self.weights[index + 1].selectAll()
        elif not self.weights[index].sentence:
            self.flow.went_on.emit()

    def take_keys(self, index: int) -> None:
        """Put the keys where a piece is weighed."""
        self.weights[index].setFocus(Qt.FocusReason.TabFocusReason)
        self.weights[index].selectAll()

    def commit(self) -> None:
        """Take over what is being typed."""
        for index, field in enumerate(self.weights):
            if field.hasFocus():
                self._take(index, field)
