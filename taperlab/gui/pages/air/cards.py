"""What is told of what is thrown: speed needed and energy left, the room behind."""

from __future__ import annotations

import math

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize
from PySide6.QtGui import QFont, QPainter
from PySide6.QtWidgets import QSizePolicy

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.painted import CENTRE, LEFT, RIGHT, Painted, write
from taperlab.gui.kit.range_bar import Range, paint_range
from taperlab.gui.kit.theme import SMALL, pen
from taperlab.gui.kit.widgets import (
    Card,
    Remark,
    caption,
    in_row,
    label,
    set_role,
    tool_button,
)
from taperlab.gui.pages.air.desk import AirDesk
from taperlab.shop.air.study import Thrown
from taperlab.shop.air.words import (
    NOT_WET,
    energy_words,
    kick_words,
    row_words,
    thrown_as_words,
    tie_words,
    tied_words,
)
from taperlab.shop.room.words import ESTIMATE, figure_words, longest_words
from taperlab.shop.turnover.study import Verdict
from taperlab.shop.turnover.words import (
    NO_SCORE,
    NOT_COUNTED,
    goes_words,
    look_again_words,
    shot_words,
    time_words,
    verdict_words,
)
from taperlab.shop.turnover.words import figure_words as needed_figure
from taperlab.units.kinds import LINE_SPEED
from taperlab.units.language import tr
from taperlab.units.show import show

LARGE, SECOND = 30.0, 15.0
"""Of the figure of the page, and of a second one [points]."""

_ROLES = {Verdict.YES: "good", Verdict.CLOSE: "warn", Verdict.NO: "bad"}


class NeededRows(Painted):
    """A row for each that is thrown: its line, its name, its band beside the speed it is cast at.

    The energy left stands at the right of each.
    """

    def __init__(self, desk: AirDesk) -> None:
        super().__init__(desk.place.theme, on_card=True)
        self._desk = desk
        self._rows: tuple[Thrown, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(tr("Line speed needed and energy left"))
        desk.follow(self.refresh, lambda: (desk.study,))

    def refresh(self) -> None:
        """Show what is looked at now."""
        found = self._desk.study
        before, self._rows = len(self._rows), found.all if found is not None else ()
        read = self._desk.place.read
        self.say_all(" ".join(f"{read(row_words(each))}." for each in self._rows))
        if len(self._rows) != before:
            self.updateGeometry()

    @property
    def _high(self) -> float:
        return self.row * 2.05

    def draw(self, painter: QPainter) -> None:
        """Draw the rows, and the speed that they are cast at through all of them."""
        found = self._desk.study
        if found is None:
            return
        tokens, row = self.tokens, self.row
        known = [each.study.needed for each in self._rows if each.study is not None]
        bands = [each for each in known if math.isfinite(each.high)]
        yours = found.throw.speed
        low = min([yours, *(each.low for each in bands)])
        high = max([yours, *(each.high for each in bands)])
        spare = 0.08 * (high - low) or 1.0
        low, high = low - spare, high + spare
        left, right = 2.0, self.width() * 0.76

        def across(speed: float) -> float:
            return left + (speed - low) / (high - low) * (right - left)

        read = self._desk.place.read
        bold = theming.font(SMALL, weight=QFont.Weight.Medium)
        for i, each in enumerate(self._rows):
            top = i * self._high
            colour, dash = self._desk.style(each)
            y = round(top + row / 2.0) + 0.5
            painter.setPen(pen(colour, theming.IN_HAND if not i else 1.5, dash))
            painter.drawLine(QPointF(2.0, y), QPointF(24.0, y))
            painter.setFont(bold)
            write(painter, each.name, QRectF(30.0, top, self.width() - 32.0, row), tokens.ink, LEFT)
            painter.setFont(theming.font(SMALL))
            below = QRectF(left, top + row * 1.02, right - left, row * 0.92)
            if each.study is None or math.isinf(each.study.needed.estimate):
                said = read(each.problem) if each.study is None else tr("no speed would do")
                below.setWidth(self.width() - left)
                write(painter, said, below, tokens.soft, LEFT)
                continue
            needed = each.study.needed
            shown = Range(needed.low, needed.high, needed.estimate)
            paint_range(painter, below, shown, (low, high), tokens, colour)
            there = QRectF(right + 4.0, below.top(), self.width() - right - 6.0, below.height())
            write(painter, read(energy_words(each.study)), there, tokens.ink, RIGHT)
        x = across(yours)
        foot = len(self._rows) * self._high
        painter.setPen(pen(tokens.ink, 1.5))
        for i in range(len(self._rows)):
            top = i * self._high + row * 1.02
            painter.drawLine(QLineF(x, top - 1.0, x, top + row * 0.92 + 1.0))
        said = tr("{speed}, yours").format(speed=show(yours, LINE_SPEED, self._desk.system))
        wide = painter.fontMetrics().horizontalAdvance(said) + 4.0
        start = min(max(x - wide / 2.0, 0.0), right - wide)
        write(painter, said, QRectF(start, foot, wide, row), tokens.ink, CENTRE)
        there = QRectF(right - 20.0, foot, self.width() - right + 18.0, row)
        write(painter, tr("left"), there, tokens.soft, RIGHT)

    def sizeHint(self) -> QSize:
        """All the rows."""
        return QSize(theming.px(200), round(len(self._rows) * self._high + self.row * 1.1))

    def minimumSizeHint(self) -> QSize:
        """All the rows."""
        return QSize(theming.px(180), self.sizeHint().height())


class NeededCard(Card):
    """The line speed that is needed, and the energy left at the fly: two readouts, no score."""

    def __init__(self, desk: AirDesk) -> None:
        super().__init__(tr("Line speed needed"), spacing=4)
        self._desk = desk
        self.figure = LargeFigure(LARGE)
        self.verdict = label("", weight=QFont.Weight.Medium, wrap=True)
        self.hangs_on = label("", points=SMALL, role="soft", wrap=True)
        self.rows = NeededRows(desk)
        self.ties = Remark("soft", points=SMALL)
        self.energy = label("", points=SECOND, weight=QFont.Weight.DemiBold)
        self.kicks = Remark("warn")
        self.shot = Remark("soft")
        self.add(
            caption(tr("Line speed needed to turn over")),
            self.figure,
            self.verdict,
            self.hangs_on,
            in_row(caption(tr("Energy left at the fly")), None, self.energy),
            self.kicks,
            self.shot,
            4,
            self.rows,
            self.ties,
        )
        desk.follow(self.refresh, lambda: (desk.study,))

    def refresh(self) -> None:
        """Show what is looked at now."""
        found, read = self._desk.study, self._desk.place.read
        one = found.first.study if found is not None else None
        for each in (self.verdict, self.hangs_on, self.energy):
            each.setVisible(one is not None)
        self.rows.setVisible(found is not None and bool(found.others))
        if found is None or one is None:
            self.figure.setText("–")
            self.ties.say(read(found.first.problem) if found is not None else "")
            self.kicks.say("")
            self.shot.say("")
            return
        self.figure.setText(read(needed_figure(one)))
        self.verdict.setText(read(verdict_words(one)))
        set_role(self.verdict, _ROLES[one.verdict])
        self.hangs_on.setText(read(thrown_as_words(found.throw)))
        self.energy.setText(read(energy_words(one)))
        self.kicks.say(read(kick_words(found)))
        self.shot.say(" ".join(read(each) for each in shot_words(one)))
        said = [
            read(tie_words(each.name, against))
            for each, against in zip(found.others, found.against, strict=True)
            if against is not None
        ]
        self.ties.say("\n".join(said))


class RoomCard(Card):
    """How much room behind the one looked at wants, and how long a head the room takes."""

    def __init__(self, desk: AirDesk) -> None:
        super().__init__(tr("Room behind"), spacing=4)
        self._desk = desk
        self.figure = LargeFigure(SECOND)
        self.below = label("", wrap=True)
        self.turned = label("", wrap=True)
        self.not_it = label("", points=SMALL, role="soft", wrap=True)
        self.add(
            caption(tr("Room behind, an estimate")),
            self.figure,
            self.below,
            self.turned,
            self.not_it,
        )
        desk.follow(self.refresh, lambda: (desk.study,))

    def refresh(self) -> None:
        """Show what is looked at now."""
        found, read = self._desk.study, self._desk.place.read
        behind = found.behind if found is not None else None
        self.figure.setVisible(behind is not None)
        self.turned.setVisible(behind is not None)
        self.not_it.setVisible(behind is not None)
        if found is None or behind is None or found.longest is None:
            self.below.setText(read(self._desk.rod_problem))
            return
        figure, below = figure_words(behind)
        self.figure.setText(read(figure))
        self.below.setText(read(below))
        self.turned.setText(read(longest_words(found.longest)))
        self.not_it.setText(read(ESTIMATE))


class RemarksCard(Card):
    """What is tied to it, where it loses its energy, and what is not in these figures."""

    def __init__(self, desk: AirDesk) -> None:
        super().__init__(tr("To keep in mind"), spacing=6)
        self._desk = desk
        self.said = Remark("soft")
        change = tool_button(
            tr("Other leader or fly"),
            tr("Change leader and fly"),
            tr("Leader and fly are asked for on the page Water"),
            self._go,
        )
        change.setObjectName("link")
        self.add(caption(tr("To keep in mind")), self.said, in_row(change, None))
        desk.follow(self.refresh, lambda: (desk.study,))

    def refresh(self) -> None:
        """Say it."""
        found, read = self._desk.study, self._desk.place.read
        self.setVisible(found is not None)
        if found is None:
            return
        said = []
        one = found.first.study
        if one is not None:
            said += [time_words(one), *goes_words(one)]
            look = look_again_words(one)
            said += [look] if look is not None else []
        if found.first.rig is not None:
            said.append(tied_words(found.first.rig))
        said += [NO_SCORE, NOT_COUNTED, NOT_WET]
        self.said.say("\n\n".join(read(each) for each in said))

    def _go(self) -> None:
        self._desk.place.host.show_page("water")
