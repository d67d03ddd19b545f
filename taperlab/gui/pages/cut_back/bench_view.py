"""The step that is due in a cut-back, on the whole screen."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.large_view import LETTERS, LargeView
from taperlab.gui.pages.cut_back.drawing import HeadDrawing
from taperlab.gui.pages.cut_back.flow import CutFlow
from taperlab.gui.pages.cut_back.step_fields import StepFields
from taperlab.gui.plots.cut_sketch import plain_sketch
from taperlab.shop.cut_back.way import Act
from taperlab.shop.cut_back.way_words import bench_words
from taperlab.units.language import tr


class BenchView(LargeView):
    """The step that is due, large. It shares the page's state; Escape leaves it."""

    def __init__(self, flow: CutFlow, parent: QWidget) -> None:
        self.flow = flow
        self._go_on = False
        place = flow.case.place
        self.drawing = HeadDrawing(place.theme, 24.0)
        self.drawing.setAccessibleName(tr("The head as it lies"))
        self.fields = StepFields(flow, points=LETTERS * 1.6, one_by_one=True)
        super().__init__(place, self.drawing, self.fields, parent)
        self.follow(flow, self.fields.problem)

    def refresh(self) -> None:
        """Show the step that is due."""
        flow, study = self.flow, self.flow.study
        if study is None:
            self.reject()
            return
        due = flow.due
        words = bench_words(study, due)
        self.fields.show_step()
        weighs = self.fields.in_turn is not None and due.act is not Act.CUT
        self.fields.setVisible(weighs)
        self.show_words(words, lead_role=words.role if due.act is Act.ASK else "")
        self._show_lead()
        self.verb.setVisible(bool(self.verb.text()))
        sketch = plain_sketch(study, due, flow.case.system)
        self.drawing.show_sketch(sketch, self.lead.text())
        self.back.setEnabled(flow.can_go_back)
        self.next.setEnabled(due.act not in (Act.ASK, Act.STOPPED, Act.FINISHED))
        if self._go_on:
            self.take_keys()

    def go_on(self) -> None:
        """Do the step that is due."""
        if self.flow.due.act is Act.CUT:
            cut = self.flow.due.cut
            if cut is not None:
                self.flow.cut(cut.mark)
            return
        self.fields.go_on()
        self._show_lead()

    def go_back(self) -> None:
        """Go back to the field before, or take the last step back."""
        if self.fields.back():
            self.refresh()
        else:
            self.flow.back()

    def _show_lead(self) -> None:
        """Name the field that is asked for."""
        if self.isVisible() and self.fields.in_turn is self.fields.offcut:
            self.lead.setText(tr("Offcut on the scale"))
            self.verb.setText(tr("all that came off"))

    def take_keys(self) -> None:
        """Put the keys where the work goes on; if that is not known yet, as soon as it is."""
        self._go_on = not self.flow.case.is_settled
        if self._go_on:
            return
        if self.fields.isVisible() and self.fields.take_keys():
            return
        super().take_keys()
