"""What speaks for each style, what is ruled out, and what to keep in mind."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QResizeEvent

from taperlab.gui.kit.theme import SMALL, usual
from taperlab.gui.kit.widgets import Card, caption, in_row, label, show_only_if
from taperlab.gui.pages.which_head.case import WhichCase
from taperlab.gui.pages.which_head.points_table import PointsTable
from taperlab.gui.pages.which_head.room_rows import RoomRows
from taperlab.shop.which_head.study import Out
from taperlab.shop.which_head.words import ESTIMATE, POINTS, change_words, out_words
from taperlab.trade.cautions import Topic, caution
from taperlab.units.language import tr
from taperlab.units.words import capital

TWO_COLUMNS = 660
"""Width from which on what would change it is told in two columns, for usual letters [px]."""


class PointsCard(Card):
    """The points question by question, their sum, and which other answer would change it."""

    def __init__(self, case: WhichCase) -> None:
        super().__init__(tr("What speaks for each"), spacing=6)
        self._case = case
        self._said: list[str] = []
        self.table = PointsTable(case)
        self.others = label("", wrap=True)
        self.more = label("", wrap=True)
        for each in (self.others, self.more):
            each.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self._others = in_row((self.others, 1), (self.more, 1), spacing=16)
        signs = tr("A full square speaks for a style, a hollow one against it.")
        self.add(
            label(tr("What speaks for each"), points=10.0, weight=QFont.Weight.DemiBold),
            self.table,
            label(signs, points=SMALL, role="soft", wrap=True),
            4,
            caption(tr("What would change it")),
            self._others,
        )
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show what is counted now."""
        case, read = self._case, self._case.place.read
        show_only_if(
            self, case.found is not None and case.found.is_answered and bool(case.found.left)
        )
        said = [capital(read(change_words(each))) for each in case.others]
        self._said = said or [tr("No other answer to any one question would change it.")]
        self._tell_others()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Use the room."""
        super().resizeEvent(event)
        self._tell_others()

    def _tell_others(self) -> None:
        """In two columns, where there is room for them."""
        said = self._said
        half = len(said)
        if usual(self.width()) >= TWO_COLUMNS and len(said) > 2:
            half = (len(said) + 1) // 2
        self.others.setText("\n".join(said[:half]))
        self.more.setText("\n".join(said[half:]))
        self.more.setVisible(half < len(said))


class RuledOutCard(Card):
    """All styles with the room that they want, and why some are ruled out."""

    def __init__(self, case: WhichCase) -> None:
        super().__init__(tr("What is ruled out"), spacing=6)
        self._case = case
        self.title = label("", points=10.0, weight=QFont.Weight.DemiBold, wrap=True)
        self.rows = RoomRows(case)
        self.why = label("", wrap=True)
        self.add(
            self.title,
            self.rows,
            self.why,
            label(case.place.read(ESTIMATE), points=SMALL, role="soft", wrap=True),
        )
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show what is ruled out now."""
        found, read = self._case.found, self._case.place.read
        show_only_if(self, found is not None)
        if found is None:
            return
        outs = {each.out for each in found.ruled_out}
        if not outs:
            title = tr("Nothing is ruled out")
        elif outs == {Out.ROD}:
            title = tr("Ruled out by the rod")
        elif outs == {Out.ROOM}:
            title = tr("Ruled out by the room behind")
        else:
            title = tr("Ruled out by rod and room")
        self.title.setText(title)
        said = [read(out_words(each, found)) for each in found.ruled_out]
        if found.answers.room is None:
            said.append(tr("Say how much room there is behind you, and it is compared with that."))
        self.why.setText("\n".join(map(capital, said)))
        self.why.setVisible(bool(said))


class MindCard(Card):
    """What the points are, and the caution for the rod."""

    def __init__(self, case: WhichCase) -> None:
        super().__init__(tr("To keep in mind"), spacing=6)
        mind = caution(Topic.OVERLOADED_ROD)
        self.add(
            label(tr(mind.title), points=10.0, weight=QFont.Weight.DemiBold),
            label(f"{tr(mind.text)} {tr(mind.defer)}", wrap=True),
            label(case.place.read(POINTS), points=SMALL, role="soft", wrap=True),
        )
