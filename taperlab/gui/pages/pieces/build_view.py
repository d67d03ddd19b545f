"""The step that is due in a build, on the whole screen."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.large_view import LETTERS, LargeView
from taperlab.gui.pages.pieces.build_fields import BuildFields
from taperlab.gui.pages.pieces.build_flow import BuildFlow
from taperlab.gui.pages.pieces.build_tab import drawn_pieces
from taperlab.gui.pages.pieces.built_drawing import BuiltDrawing
from taperlab.shop.pieces.build_words import bench_words
from taperlab.shop.pieces.progress import Act
from taperlab.units.language import tr


class BuildView(LargeView):
    """The step that is due, large. It shares the tab's state; Escape leaves it."""

    def __init__(self, flow: BuildFlow, parent: QWidget) -> None:
        self.flow = flow
        place = flow.case.place
        self.drawing = BuiltDrawing(place.theme, 24.0, plain=True)
        self.drawing.setAccessibleName(tr("The head as it is built"))
        self.fields = BuildFields(flow, points=LETTERS * 1.6, large=True)
        super().__init__(place, self.drawing, self.fields, parent)
        self.follow(flow, self.fields.problem)

    def refresh(self) -> None:
        """Show the step that is due."""
        flow, progress = self.flow, self.flow.progress
        if progress is None or progress.due.act is Act.DONE:
            self.reject()
            return
        words = bench_words(
            progress,
            flow.after,
            again=flow.again,
            balance=flow.keeps_balance,
            length=flow.typed("length"),
        )
        self.fields.show_step()
        self.fields.setVisible(flow.act in (Act.WEIGH_STOCK, Act.JOIN, Act.WEIGH_LAST))
        self.show_words(words, lead_role=words.role if words.role == "warn" else "")
        pieces, _ = drawn_pieces(progress)
        self.drawing.show_head(pieces, self.lead.text())
        self.back.setEnabled(flow.can_go_back)
        stopped = flow.trim is not None and bool(flow.trim.stop)
        self.next.setEnabled(flow.act not in (Act.ASK, Act.PUT_ON_BENCH) and not stopped)

    def go_on(self) -> None:
        """Do the step that is due."""
        self.fields.go_on()

    def go_back(self) -> None:
        """Take the last step back."""
        self.flow.back()

    def take_keys(self) -> None:
        """Put the keys where the work goes on."""
        if self.fields.isVisible() and self.fields.take_keys():
            return
        super().take_keys()
