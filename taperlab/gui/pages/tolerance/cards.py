"""The cards at the right: the ± of one head, builds of a hundred, the two ways out, the rest."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QPushButton, QWidget

from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.widgets import NONE, Card, Figure, Remark, caption, in_row, label
from taperlab.gui.pages.tolerance.bell import Bell
from taperlab.gui.pages.tolerance.case import ToleranceCase
from taperlab.shop.errors import ShareError, WeightError
from taperlab.shop.tolerance.words import (
    LengthError,
    SinkError,
    alike_words,
    apart_words,
    drag_words,
    landing_words,
    left_on_words,
    of_hundred,
    of_weight,
    once_weighed,
    shrink_words,
    summary,
    weighed_words,
)
from taperlab.shop.wording import NO_WINDOW
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Quantity, Sentence

LARGE, UNIT, SECOND = 30.0, 15.0, 17.0
"""Letters of the page's figure, of its unit, and of the figure of builds [points]."""


class TotalCard(Card):
    """The one large figure: what the weight of one head may be off by; and the one sentence."""

    def __init__(self, case: ToleranceCase) -> None:
        super().__init__(tr("Weight of one head"))
        self._case = case
        self.figure = LargeFigure(LARGE)
        self.unit = label("", points=UNIT)
        self.of = label("", role="soft", wrap=True)
        self.sentence = label("", points=9.5, weight=QFont.Weight.DemiBold, wrap=True)
        self.apart = label("", wrap=True)
        self.weighed = label("", role="soft", wrap=True)
        row = in_row((self.figure, 100), self.unit, None, spacing=6)
        row.setAlignment(self.unit, Qt.AlignmentFlag.AlignBottom)
        title = caption(tr("The weight of one head may be off by"))
        self.add(title, row, self.of, 4, self.sentence, 4, self.apart, self.weighed)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show the answer."""
        case, read = self._case, self._case.place.read
        found = case.study
        for each in (self.of, self.sentence, self.apart, self.weighed):
            each.setVisible(found is not None)
        if found is None:
            self.figure.setText(NONE)
            self.unit.setText("")
            return
        off = WeightError(found.spread.one.mass)
        number, _, unit = off.text(case.system).rpartition("\u00a0")
        self.figure.setText(number)
        self.figure.setMaximumWidth(self.figure.sizeHint().width() + 2)
        self.unit.setText(unit)
        self.figure.setAccessibleName(
            tr("The weight of one head may be off by {off}").format(off=off.text(case.system))
        )
        self.of.setText(read(of_weight(found)))
        self.sentence.setText(read(summary(found)))
        self.apart.setText(read(apart_words(found)))
        self.weighed.setText(read(weighed_words(found)))


class BuildsCard(Card):
    """How many of a hundred builds land in the rod's grain window."""

    def __init__(self, case: ToleranceCase) -> None:
        super().__init__(tr("Builds in the grain window"))
        self._case = case
        self.figure = LargeFigure(SECOND)
        self.beside = label("", points=9.5)
        self.bell = Bell(case)
        self.words = Remark("soft")
        row = in_row((self.figure, 100), self.beside, None, spacing=6)
        row.setAlignment(self.beside, Qt.AlignmentFlag.AlignBottom)
        self.add(caption(tr("Builds in the grain window")), row, self.bell, self.words)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show how many."""
        case, read = self._case, self._case.place.read
        landed = case.builds
        self.bell.setVisible(landed is not None)
        if landed is None:
            self.figure.setText(NONE)
            self.beside.setText("")
            chosen = case.place.document.rod is not None
            why = NO_WINDOW if chosen else Sentence("choose a rod to see its grain window")
            self.words.say(read(Sentence("{why}", why=why)))
            return
        self.figure.setText(str(of_hundred(landed.share)))
        self.figure.setMaximumWidth(self.figure.sizeHint().width() + 2)
        self.figure.setAccessibleName(read(landing_words(landed)))
        self.beside.setText(tr("of 100 land"))
        self.words.say(read(alike_words(landed)))


class WaysCard(Card):
    """Closer work, or belly left on and cut back to the scale, with the button that begins it."""

    def __init__(self, case: ToleranceCase) -> None:
        super().__init__(tr("Two ways to be sure"))
        self._case = case
        self.closer = label("", wrap=True)
        self.leave = label("", wrap=True)
        self.button = QPushButton("")
        self.button.setDefault(True)
        self.button.clicked.connect(case.leave_on)
        self.caution = Remark("soft", points=8.5)
        self.add(
            caption(tr("Two ways to be sure")),
            self.closer,
            4,
            self.leave,
            4,
            self.button,
            self.caution,
        )
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Say both."""
        case, read = self._case, self._case.place.read
        found, left, landed = case.study, case.left, case.builds
        if found is None or left is None:
            return
        self.closer.setVisible(landed is not None)
        if landed is not None:
            self.closer.setText(read(shrink_words(landed, found)))
        self.leave.setText(read(left_on_words(left, found)))
        length = Sentence("Leave {length} on, cut back…", length=OnTape(left.length))
        self.button.setText(read(length))
        self.button.setEnabled(left.length > 0.0)
        self.button.setToolTip(
            tr(
                "Put a copy of this line on the bench with its belly so much longer, and begin to "
                "cut it back to the weight of this design. The design stays as it is."
            )
        )
        blade = caution(Topic.BLADE)
        self.caution.say(tr(blade.text))


class FiguresCard(Card):
    """The ± of balance, front-taper share and sink rate; the law of drag apart from them."""

    def __init__(self, case: ToleranceCase) -> None:
        super().__init__(tr("What else may be off"))
        self._case = case
        balance = tr("How far the balance point of one head may be off.")
        share = tr("How far the front taper’s share of the weight may be off.")
        sink = tr(
            "How far the sink rate of one head as one body may be off; near neutral, both ends are "
            "worked out."
        )
        self.balance = Figure(tr("Balance point"), balance)
        self.share = Figure(tr("Front taper"), share)
        self.sink = Figure(tr("Sink rate"), sink)
        self.drag = Remark("soft", points=8.5)
        figures = QWidget()
        grid = QGridLayout(figures)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(10)
        grid.addWidget(self.balance, 0, 0)
        grid.addWidget(self.share, 0, 1)
        grid.addWidget(self.sink, 1, 0, 1, 2)
        self.add(figures, self.drag)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show them, and what is left once the head was weighed."""
        case, read = self._case, self._case.place.read
        found = case.study
        if found is None:
            return
        off, weighed, system = found.spread.one, found.spread.weighed, case.system
        self.balance.show_value(
            LengthError(off.balance).text(system),
            read(once_weighed(LengthError(weighed.balance))),
        )
        self.share.show_value(
            ShareError(off.share).text(system), read(once_weighed(ShareError(weighed.share)))
        )
        self.sink.show_value(
            SinkError(off.sink).text(system), read(once_weighed(SinkError(weighed.sink)))
        )
        self.drag.say(read(drag_words(found)))


def readout(case: ToleranceCase) -> tuple[str, str, str]:
    """The large figure as a row: name, value, remark."""
    name, found = tr("Weight of one head"), case.study
    if found is None:
        return name, NONE, case.place.read(case.problem)
    weight = Quantity(WEIGHT, found.values.mass).text(case.system)
    off = WeightError(found.spread.one.mass).text(case.system)
    return name, f"{weight} {off}", case.place.read(summary(found))
