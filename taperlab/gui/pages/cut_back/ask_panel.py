"""Weighings that cannot all be right, as a question: both sums to scale, and what can be done."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QLineF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QGridLayout,
    QMenu,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from taperlab.edits import cut_back as edits
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.ask_box import AskBox
from taperlab.gui.kit.signs import hatched_box
from taperlab.gui.kit.speech import say, speaks
from taperlab.gui.kit.theme import pen
from taperlab.gui.kit.widgets import Link, in_column, in_row, label, tool_button
from taperlab.gui.pages.cut_back.flow import CutFlow
from taperlab.model.cut_log import Weighing
from taperlab.shop.cut_back.disagreement import Disagreement
from taperlab.shop.cut_back.weighings import Reading
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, Weight

LEFT, RIGHT = Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignRight
UPRIGHT = Qt.AlignmentFlag.AlignVCenter


@dataclass(frozen=True, slots=True)
class Sums:
    """Two sums that ought to be alike, each of parts: its value and how it is written.

    gap: what they are apart, in words. words: all of it, in words.
    """

    before: tuple[float, str]
    head: tuple[float, str]
    offcut: tuple[float, str]
    gap: str
    words: str


class SumBars(QWidget):
    """The two sums as bars of one scale, one above the other, and the gap between them."""

    def __init__(self, theme: theming.Theme) -> None:
        super().__init__()
        self._theme = theme
        self._sums: Sums | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        theme.changed.connect(self.update)

    def show_sums(self, sums: Sums | None) -> None:
        """Show two sums, or nothing."""
        self._sums = sums
        self.setVisible(sums is not None)
        say(self, sums.words if sums else "")
        self.update()

    @property
    def spoken(self) -> str:
        """The sums, in words."""
        return self._sums.words if self._sums else ""

    def sizeHint(self) -> QSize:
        """Two bars, their names and the gap."""
        row = QFontMetricsF(theming.font(9.0)).height()
        return QSize(360, round(5.0 * row + 34.0))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the bars."""
        if self._sums is None:
            return
        sums, tokens = self._sums, self._theme.tokens
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        row = QFontMetricsF(theming.font(9.0)).height()
        high = row + 8.0
        before, parts = sums.before[0], (sums.head, sums.offcut)
        together = sum(value for value, _ in parts)
        scale = (self.width() - 2.0) / max(before, together)
        top = row + 1.0
        self._name(painter, 1.0, 0.0, row, tr("Before"))
        self._bar(painter, QRectF(1.0, top, before * scale, high), tokens.card, sums.before[1])
        second = top + high + row + 3.0
        x = 1.0
        fills = (tokens.off, tokens.card)
        for (value, text), name, fill in zip(parts, (tr("Head"), tr("Offcut")), fills, strict=True):
            self._name(painter, x, second - row - 1.0, row, name)
            self._bar(painter, QRectF(x, second, value * scale, high), fill, text)
            x += value * scale
        least, most = sorted((1.0 + before * scale, 1.0 + together * scale))
        gap = QRectF(least, second if before > together else top, most - least, high)
        hatched_box(painter, gap, tokens.warn, edge=pen(tokens.warn, 1.2, (3.0, 2.0)))
        self._gap_words(painter, least, most, second + high, row, sums.gap)

    def _gap_words(
        self, painter: QPainter, least: float, most: float, below: float, row: float, text: str
    ) -> None:
        tokens, y = self._theme.tokens, below + 7.0
        painter.setPen(pen(tokens.warn, 1.2))
        painter.drawLine(QLineF(least, y, most, y))
        for x in (least, most):
            painter.drawLine(QLineF(x, y - 4.0, x, y + 4.0))
        painter.setFont(theming.font(9.5, weight=QFont.Weight.DemiBold))
        wide = QFontMetricsF(painter.font()).horizontalAdvance(text)
        left = min(max((least + most - wide) / 2.0, 0.0), self.width() - wide)
        painter.setPen(QColor(tokens.warn))
        painter.drawText(QRectF(left, y + 5.0, wide + 1.0, row + 2.0), LEFT | UPRIGHT, text)

    def _name(self, painter: QPainter, x: float, y: float, row: float, text: str) -> None:
        painter.setFont(theming.font(8.5))
        painter.setPen(QColor(self._theme.tokens.soft))
        painter.drawText(QRectF(x, y, 200.0, row), LEFT | UPRIGHT, text)

    def _bar(self, painter: QPainter, where: QRectF, fill: str, text: str) -> None:
        tokens = self._theme.tokens
        painter.setPen(pen(tokens.edge, 1.2))
        painter.setBrush(QColor(fill))
        painter.drawRect(where)
        painter.setFont(theming.font(9.5, weight=QFont.Weight.DemiBold))
        painter.setPen(QColor(tokens.ink))
        painter.drawText(where.adjusted(4.0, 0.0, -7.0, 0.0), RIGHT | UPRIGHT, text)


speaks(SumBars)


class AskPanel(QWidget):
    """A question about weighings; nothing else can be done before it is settled.

    change_reading(object): a :class:`Reading` is to be changed.
    """

    change_reading = Signal(object)

    def __init__(self, flow: CutFlow) -> None:
        super().__init__()
        self.flow = flow
        self.box = AskBox()
        self.bars = SumBars(flow.case.place.theme)
        self.again = QPushButton(tr("Weigh it again"))
        self.again.setDefault(True)
        self.again.clicked.connect(self._weigh_again)
        self.leave_out = Link(tr("Leave one reading out…"))
        self.leave_out.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._ways = QMenu(self.leave_out)
        self.leave_out.setMenu(self._ways)
        self.right = tool_button(
            tr("The reading is right"),
            tr("The reading is right"),
            tr("Go on with it, however far it lies"),
            self._trust,
        )
        self.waiting = label(tr("No next cut until this is settled."), role="soft", wrap=True)
        self.readings = QWidget()
        self._grid = QGridLayout(self.readings)
        self._grid.setContentsMargins(0, 4, 0, 0)
        self._grid.setHorizontalSpacing(18)
        self._grid.setVerticalSpacing(4)
        self.changes: list[QToolButton] = []
        self._buttons = buttons = in_row(self.again, self.leave_out, self.right, None, spacing=10)
        in_column(
            self.box,
            8,
            self.bars,
            4,
            self.readings,
            6,
            buttons,
            2,
            self.waiting,
            None,
            spacing=4,
            of=self,
        )

    def use_narrow(self, narrow: bool) -> None:
        """Put the buttons one below the other where there is less room."""
        across, down = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._buttons.setDirection(down if narrow else across)
        for each in (self.again, self.leave_out, self.right):
            self._buttons.setAlignment(each, Qt.AlignmentFlag.AlignLeft)

    def take_keys(self) -> None:
        """Put the keys where the question is settled."""
        self.again.setFocus(Qt.FocusReason.TabFocusReason)

    def show_question(self, asked: Disagreement) -> None:
        """Show a question."""
        read = self.flow.case.place.read
        self.box.ask(read(asked.sentence), read(asked.hint) if asked.hint else "")
        both = asked.head is not None and asked.offcut is not None
        self.again.setText(tr("Weigh both again") if both else tr("Weigh it again"))
        self.right.setVisible(asked.can_trust)
        self._show_bars(asked)
        self._show_readings(asked)
        self._ways.clear()
        for each in asked.readings:
            self._ways.addAction(read(each.drop_words)).triggered.connect(partial(self._drop, each))

    def _show_bars(self, asked: Disagreement) -> None:
        if asked.before is None or asked.head is None or asked.offcut is None:
            self.bars.show_sums(None)
            return
        system = self.flow.case.system

        def part(mass: float) -> tuple[float, str]:
            return mass, Weight(mass, unit=False).text(system)

        gap = Sentence("{gap} apart", gap=Weight(abs(asked.gap)))
        said = Sentence(
            "Before {before}; head {head} and offcut {offcut} make {together}: {gap}.",
            before=Weight(asked.before),
            head=Weight(asked.head),
            offcut=Weight(asked.offcut),
            together=Weight(asked.head + asked.offcut),
            gap=gap,
        )
        read = self.flow.case.place.read
        self.bars.show_sums(
            Sums(part(asked.before), part(asked.head), part(asked.offcut), read(gap), read(said))
        )

    def _show_readings(self, asked: Disagreement) -> None:
        while (item := self._grid.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self.changes = []
        for i, text in enumerate((tr("Expected"), tr("Read"))):
            head = label(text, points=theming.SMALL, role="soft")
            self._grid.addWidget(head, 0, i + 1, Qt.AlignmentFlag.AlignRight)
        self._grid.setColumnStretch(0, 1)
        for row, each in enumerate(asked.readings, start=1):
            self._add_reading(row, each)

    def _add_reading(self, row: int, reading: Reading) -> None:
        system = self.flow.case.system
        name = label(self.flow.case.place.read(reading_name(reading)), wrap=True)
        expected = ""
        if reading.expected is not None:
            expected = Weight(reading.expected).text(system)
        doubt = "? " if reading.fits is False else ""
        read = label(f"{doubt}{Weight(reading.mass).text(system)}", weight=QFont.Weight.DemiBold)
        change = Link(
            tr("Change…"), tr("Put right what was logged"), partial(self._change, reading)
        )
        change.setAccessibleName(f"{change.text()} {name.text()}")
        cells = (label(expected, role="soft"), read, change)
        self._grid.addWidget(name, row, 0)
        for column, cell in enumerate(cells, start=1):
            self._grid.addWidget(cell, row, column, RIGHT | UPRIGHT)
        self.changes.append(change)

    # -- what the person may do ----------------------------------------------------------------

    def _asked(self) -> Disagreement | None:
        study = self.flow.study
        return study.disagreement if study is not None and self.flow.case.is_settled else None

    def _weigh_again(self) -> None:
        asked, job = self._asked(), self.flow.case.job
        if asked is None or job is None:
            return
        if asked.step is None or asked.step == len(job.steps) - 1:
            self.flow.back()
        else:
            self.change_reading.emit(asked.readings[0])

    def _change(self, reading: Reading, *_checked: object) -> None:
        self.change_reading.emit(reading)

    def _drop(self, reading: Reading, *_checked: object) -> None:
        self.flow.case.do(edits.drop_reading, reading.what, reading.step or 0)

    def _trust(self) -> None:
        asked = self._asked()
        if asked is not None:
            self.flow.case.do(edits.trust_readings, asked.step)


def reading_name(reading: Reading) -> Sentence:
    """What was weighed."""
    number = (reading.step or 0) + 1
    if reading.what is Weighing.FIRST:
        return Sentence("Head before the first cut, loops on")
    if reading.what is Weighing.HEAD:
        return Sentence("Head after cut {number}, no new loops", number=number)
    return Sentence("Offcut of cut {number}", number=number)
