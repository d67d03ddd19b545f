"""The head of the job in hand before and after, and how it cast."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from taperlab.gui.kit.text_fields import NoteField
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import NONE, Card, caption, in_column, label
from taperlab.gui.pages.jobs.case import JobsCase
from taperlab.model.bench import Bench
from taperlab.model.job import Job, JobState
from taperlab.shop.jobs.before_after import ROWS, BeforeAfter, before_after
from taperlab.shop.jobs.listing import Listed
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence, Weight


class FiguresCard(Card):
    """Weight, length, ratio and front taper in two columns; how it cast below them."""

    def __init__(self, case: JobsCase) -> None:
        super().__init__(tr("Before and after"), spacing=6)
        self._case = case
        self._shown: object = None
        self._worked_out: tuple[Bench, Job, BeforeAfter] | None = None
        self.table = QWidget()
        grid = QGridLayout(self.table)
        grid.setContentsMargins(0, 0, 0, 2)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(3)
        grid.setColumnStretch(0, 1)
        self._heads = [label(points=SMALL, role="soft") for _ in range(2)]
        side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        for column, head in enumerate(self._heads, start=1):
            grid.addWidget(head, 0, column, side)
        self._names: list[QLabel] = []
        self.cells: list[list[QLabel]] = []
        for row, name in enumerate(ROWS, start=1):
            named = label(case.place.read(name), points=SMALL, wrap=True)
            grid.addWidget(named, row, 0)
            self._names.append(named)
            weights = QFont.Weight.Normal, QFont.Weight.DemiBold
            cells = [label("", weight=weight) for weight in weights]
            for column, cell in enumerate(cells, start=1):
                grid.addWidget(cell, row, column, side)
            self.cells.append(cells)
        self.cast = NoteField(tr("How it cast"), tr("What the customer, or the shop, says of it"))
        self.cast.typed.connect(lambda text: case.describe(cast=text))
        self._cast = QWidget()
        in_column(caption(tr("How it cast")), self.cast, spacing=6, of=self._cast)
        self.add(self.table, self._cast)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show the figures of the job in hand."""
        listed, job, read = self._case.in_hand, self._case.job, self._case.place.read
        if listed is None:
            self.hide()
            self._shown = None
            return
        known = self._known(job) if job is not None else _of_weights(listed)
        names = tr("Before"), tr("After") if known.is_after else tr("Now")
        for head, text in zip(self._heads, names, strict=True):
            head.setText(text)
        for column, figures in enumerate((known.before, known.now)):
            for row, name in enumerate(ROWS):
                text = read(figures[row]) if figures and figures[row] else NONE
                self.cells[row][column].setText(text)
                self.cells[row][column].setAccessibleName(f"{read(name)}, {names[column]}: {text}")
        for row, cells in enumerate(self.cells):
            is_known = any(each and each[row] for each in (known.before, known.now))
            for cell in (self._names[row], *cells):
                cell.setVisible(is_known)
        has_figures = known.before is not None or known.now is not None
        may_be_cast = listed.job.state is not JobState.ASKED or bool(listed.job.cast)
        self.table.setVisible(has_figures)
        self._cast.setVisible(may_be_cast)
        self.setVisible(has_figures or may_be_cast)
        shown = listed.file, listed.job.key
        anew, self._shown = shown != self._shown, shown
        self.cast.show_text(listed.job.cast, anew=anew)
        self.cast.setReadOnly(job is None)

    def _known(self, job: Job) -> BeforeAfter:
        """The figures of a job of this bench, worked out once for each bench."""
        bench = self._case.bench
        last = self._worked_out
        if last is None or last[0] is not bench or last[1] is not job:
            last = self._worked_out = bench, job, before_after(bench, job)
        return last[2]

    def commit(self) -> None:
        """Take over what is being typed."""
        self.cast.commit()


def _of_weights(listed: Listed) -> BeforeAfter:
    """What a list knows of the head of a job in another bench."""

    def column(mass: float | None) -> tuple[Sentence, ...] | None:
        if mass is None:
            return None
        return Sentence("{weight}", weight=Weight(mass)), *(NOTHING,) * (len(ROWS) - 1)

    now = listed.after if listed.after is not None else listed.now
    return BeforeAfter(column(listed.before), column(now), listed.after is not None)
