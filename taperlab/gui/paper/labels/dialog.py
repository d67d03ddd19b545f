"""Labels: of which heads, on which sheet, from which label on; the sheet beside that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QFileDialog,
    QFormLayout,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QSpinBox,
    QWidget,
)

from taperlab.files.problem import FileProblem
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.announce import announce
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.reading_order import use_reading_order
from taperlab.gui.kit.room import open_as_large
from taperlab.gui.kit.today import today
from taperlab.gui.kit.widgets import in_column, in_row, label, set_role, tool_button
from taperlab.gui.paper.export import write_label_sheets
from taperlab.gui.paper.labels.printing import send_labels
from taperlab.gui.paper.labels.sheets import LabelSheets, label_sheets
from taperlab.gui.paper.labels.view import LabelView
from taperlab.gui.paper.layout.pages import NotPrinted
from taperlab.model.job import Job
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.shop.jobs.about import about
from taperlab.shop.labels.asking import (
    MOST_PRINTED,
    Asked,
    BadLabels,
    LabelChoices,
    grid_of,
    usual_grid,
)
from taperlab.shop.labels.content import LabelContent, label_of
from taperlab.shop.whole import Assembly
from taperlab.trade.label_grids import MOST_LABELS, BadGrid, Paper, label_grids
from taperlab.units.days import show_day
from taperlab.units.kinds import LABEL_SHIFT, LABEL_SIZE, System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

Field = TypeVar("Field", bound=QWidget)

OWN = "own"
STEPS = ("pitch_x", "pitch_y")
OPTIONAL = ("inner", *STEPS)
"""What need not be told."""

MOST_JOBS_SHOWN = 50


@dataclass(frozen=True, slots=True)
class Wanted:
    """What labels are of, in words, and the lines or rigs with the job each was made for."""

    text: str
    things: tuple[tuple[Line | Rig | Assembly, Job | None], ...]


class LabelsDialog(QDialog):
    """Choices at the left, the sheet at the right. job: that is chosen first, if any."""

    def __init__(self, place: Workplace, day: str, job: Job | None = None) -> None:
        super().__init__(place.host.parent_widget)
        self.place, self._day = place, day
        self.setWindowTitle(tr("Labels"))
        self.sheets: LabelSheets | None = None
        self._wanted = _wanted(place, job)
        self._fields: dict[str, QuantityEdit] = {}
        self._own_rows: list[int] = []
        chosen = place.settings.preferences.labels
        self.form = QFormLayout()
        self.what = self._row(tr("Labels of"), _choice([each.text for each in self._wanted]))
        self.grid = self._row(tr("Sheet"), Choice())
        for each in label_grids():
            words = tr("{size}, {count} on {paper}").format(
                size=each.name, count=each.count, paper=_paper_words(each.paper)
            )
            self.grid.addItem(words, each.name)
        self.grid.addItem(tr("A size of your own"), OWN)
        self.paper = self._own(tr("Paper"), Choice())
        for paper in Paper:
            self.paper.addItem(_paper_words(paper), paper)
        for name, text in (
            ("width", tr("Width")),
            ("height", tr("Height")),
            ("pitch_x", tr("Step across")),
            ("pitch_y", tr("Step down")),
            ("left", tr("First from the left")),
            ("top", tr("First from the top")),
        ):
            known = getattr(chosen, name)
            self._own(text, self._quantity(name, text, known, optional=name in STEPS))
        self.start = self._row(tr("First label"), _spin(chosen.start, MOST_LABELS))
        self.count = self._row(tr("How many of each"), _spin(chosen.count, MOST_PRINTED))
        self._row(
            tr("Margin in a label"),
            self._quantity("inner", tr("Margin in a label"), chosen.inner, optional=True),
        )
        for name, text in (("nudge_x", tr("Move right")), ("nudge_y", tr("Move down"))):
            self._row(text, self._quantity(name, text, getattr(chosen, name), shift=True))
        self.by = self._row(tr("Initials"), QLineEdit(chosen.by))
        self.rule = QCheckBox(tr("Scale rule in the margin"))
        self.rule.setChecked(chosen.rule)
        self.test = QCheckBox(tr("Test page, on plain paper"))
        self.test.setToolTip(tr("Outlines and a rule alone, to hold against a sheet of labels"))
        self.form.addRow("", self.rule)
        self.form.addRow("", self.test)
        self.view = LabelView(place.theme)
        self.said = label("", role="soft", wrap=True)
        self.turn_back = tool_button("‹", tr("Page before"), tr("Page before"), self._back)
        self.turn_on = tool_button("›", tr("Next page"), tr("Next page"), self._on)
        self.page_words = label("", role="soft")
        self.print_button = QPushButton(tr("&Print…"))
        self.print_button.setObjectName("accept")
        self.print_button.setDefault(True)
        self.save_button = QPushButton(tr("&Save as PDF…"))
        self.close_button = QPushButton(tr("Close"))
        self._lay_out()
        self._choose(chosen, job)
        self._connect()
        self._grid_changed()

    # -- building ------------------------------------------------------------------------------

    def _row(self, name: str, field: Field) -> Field:
        if isinstance(field, QComboBox):
            field.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        if not field.accessibleName():
            field.setAccessibleName(name)
        self.form.addRow(name, field)
        return field

    def _own(self, name: str, field: Field) -> Field:
        """A row that is shown for a size of one's own alone."""
        self._own_rows.append(self.form.rowCount())
        return self._row(name, field)

    def _quantity(
        self,
        name: str,
        text: str,
        value: float | None,
        *,
        optional: bool = False,
        shift: bool = False,
    ) -> QuantityEdit:
        kind = LABEL_SHIFT if shift else LABEL_SIZE
        field = QuantityEdit(kind, self.place.settings, name=text, optional=optional)
        field.set_value(value)
        if optional:
            words = tr("as large as a label") if name in STEPS else tr("as the sheet has it")
            field.setPlaceholderText(words)
        self._fields[name] = field
        return field

    def _lay_out(self) -> None:
        self.form.setHorizontalSpacing(12)
        self.form.setVerticalSpacing(7)
        self.form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        asked = QWidget()
        asked.setLayout(self.form)
        self.form.setContentsMargins(0, 0, 8, 0)
        scroll = QScrollArea()
        scroll.setWidget(asked)
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QScrollArea.Shape.NoFrame)
        scroll.setAccessibleName(tr("How labels are printed"))
        scroll.setFixedWidth(theming.px(370))  # what is left is the sheet's
        for box in (self.what, self.grid, self.paper):
            # Long names are whole in the list that opens.
            box.setSizeAdjustPolicy(box.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            box.setMinimumContentsLength(12)
        pages = in_row(self.turn_back, self.page_words, self.turn_on, None, spacing=6)
        right = in_column((self.view, 1), pages, spacing=6)
        both = in_row(scroll, spacing=14)
        both.addLayout(right, 1)
        foot = in_row(
            (self.said, 1), self.close_button, self.save_button, self.print_button, spacing=8
        )
        column = in_column(spacing=12, of=self)
        column.addLayout(both, 1)
        column.addLayout(foot)
        column.setContentsMargins(18, 16, 18, 14)
        open_as_large(self, 880, 660)

    def _choose(self, chosen: LabelChoices, job: Job | None) -> None:
        usual = Paper.LETTER if self.place.system is System.US else Paper.A4
        name = OWN if chosen.is_own else chosen.grid or usual_grid(usual).name
        self.grid.setCurrentIndex(max(0, self.grid.findData(name)))
        self.paper.setCurrentIndex(self.paper.findData(chosen.paper))
        for at, each in enumerate(self._wanted):
            if job is not None and each.things[0][1] is job:
                self.what.setCurrentIndex(at)

    def _connect(self) -> None:
        self.grid.currentIndexChanged.connect(self._grid_changed)
        for box in (self.what, self.paper):
            box.currentIndexChanged.connect(self.refresh)
        for spin in (self.start, self.count):
            spin.valueChanged.connect(self.refresh)
        for field in self._fields.values():
            field.value_changed.connect(self.refresh)
            field.sentence_changed.connect(self.refresh)
        self.by.textChanged.connect(self.refresh)
        self.rule.toggled.connect(self.refresh)
        self.test.toggled.connect(self.refresh)
        self.view.pressed.connect(self.start.setValue)
        self.print_button.clicked.connect(self._print)
        self.save_button.clicked.connect(self._ask_file)
        self.close_button.clicked.connect(self.reject)
        QShortcut(QKeySequence("PgDown"), self, self._on)
        QShortcut(QKeySequence("PgUp"), self, self._back)

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Go as the eye reads."""
        use_reading_order(self)
        return super().focusNextPrevChild(forward)

    # -- what is asked -------------------------------------------------------------------------

    @property
    def choices(self) -> LabelChoices:
        """What is chosen now; a size that cannot be read stays as it was."""
        known = self.place.settings.preferences.labels
        sizes: dict[str, Any] = {
            name: field.value()
            for name, field in self._fields.items()
            if name in OPTIONAL or field.value() is not None
        }
        is_own = self.grid.currentData() == OWN
        return replace(
            known,
            grid=known.grid if is_own else str(self.grid.currentData()),
            is_own=is_own,
            paper=Paper(self.paper.currentData()),
            start=self.start.value(),
            count=self.count.value(),
            by=self.by.text(),
            rule=self.rule.isChecked(),
            **sizes,
        )

    def contents(self) -> list[LabelContent]:
        """What stands on the labels."""
        bench, by = self.place.document.bench, self.by.text()
        things = self._wanted[self.what.currentIndex()].things if self._wanted else ()
        return [label_of(bench, thing, job=job, day=self._day, by=by) for thing, job in things]

    def _grid_changed(self) -> None:
        is_own = self.grid.currentData() == OWN
        for row in self._own_rows:
            self.form.setRowVisible(row, is_own)
        self.refresh()

    def refresh(self) -> None:
        """Lay the labels out as they are asked for now, or say why that cannot be."""
        bad = next((each.sentence for each in self._fields.values() if each.sentence), "")
        self.sheets = None
        said = bad
        if not bad:
            chosen = self.choices
            usual = Paper.LETTER if self.place.system is System.US else Paper.A4
            try:
                grid = grid_of(chosen, usual)
                asked = Asked(
                    grid,
                    chosen.start,
                    chosen.count,
                    chosen.nudge_x,
                    chosen.nudge_y,
                    rule=chosen.rule,
                    test=self.test.isChecked(),
                )
                self.sheets = label_sheets(asked, self.contents(), self.place.system)
                said = " ".join(map(self.place.read, self.sheets.remarks))
            except (BadGrid, BadLabels) as problem:
                said = self.place.read(problem.sentence)
        is_bad = self.sheets is None
        set_role(self.said, "bad" if is_bad else "soft")
        self.said.setText(said)
        if self.sheets is not None:
            self.view.show_sheets(self.sheets, min(self.view.page, len(self.sheets.pages) - 1))
        else:
            self.view.fade()
        for button in (self.print_button, self.save_button):
            button.setEnabled(not is_bad)
        self._show_page_words()

    # -- pages ---------------------------------------------------------------------------------

    def _turn(self, by: int) -> None:
        if self.sheets is not None:
            page = min(max(self.view.page + by, 0), len(self.sheets.pages) - 1)
            self.view.show_sheets(self.sheets, page)
            self._show_page_words()

    def _back(self) -> None:
        self._turn(-1)

    def _on(self) -> None:
        self._turn(1)

    def _show_page_words(self) -> None:
        count = len(self.sheets.pages) if self.sheets is not None else 1
        words = tr("page {page} of {pages}").format(page=self.view.page + 1, pages=count)
        self.page_words.setText(words)
        self.turn_back.setEnabled(self.view.page > 0)
        self.turn_on.setEnabled(self.view.page < count - 1)

    # -- where they go -------------------------------------------------------------------------

    def _remember(self) -> None:
        self.place.settings.remember(labels=self.choices)

    def _print(self) -> None:
        if self.sheets is None:
            return
        try:
            sent = send_labels(self, self.sheets)
        except NotPrinted as problem:
            self._tell(problem.sentence, is_bad=True)
            return
        if sent:
            self._remember()
            self._tell(Sentence("Sent the labels to the printer"))

    def _ask_file(self) -> None:
        path = self.place.document.path
        folder = path.parent if path is not None else Path.home()
        start = str(folder / tr("labels.pdf"))
        name, _ = QFileDialog.getSaveFileName(self, tr("Save the labels as PDF"), start, "*.pdf")
        if name:
            self.save(Path(name))

    def save(self, path: Path) -> None:
        """Write the labels as PDF, or say why not."""
        if self.sheets is None:
            return
        target = path if path.suffix else path.with_suffix(".pdf")
        try:
            write_label_sheets(self.sheets, target)
        except FileProblem as problem:
            self._tell(problem.sentence, is_bad=True)
            return
        self._remember()
        self._tell(Sentence("Saved the labels as {file}", file=target.name))

    def _tell(self, said: Sentence, *, is_bad: bool = False) -> None:
        set_role(self.said, "bad" if is_bad else "soft")
        self.said.setText(self.place.read(said))
        announce(self, self.said.text(), at_once=is_bad)


def _wanted(place: Workplace, asked: Job | None) -> list[Wanted]:
    """What labels can be of: what is looked at, with what is laid over it, jobs with a head.

    asked: the job that is looked at, if any; it is among them however old it is.
    """
    document, bench = place.document, place.document.bench
    found: list[Wanted] = []
    shown = document.shown
    if shown is not None:
        found.append(Wanted(shown.name, ((shown, None),)))
        laid = [thing for thing, _ in document.laid_over() if isinstance(thing, Line | Rig)]
        if laid:
            words = tr("{name} and {count} laid over it").format(name=shown.name, count=len(laid))
            found.append(Wanted(words, tuple((each, None) for each in (shown, *laid))))
    shown_jobs = list(reversed(bench.jobs))[:MOST_JOBS_SHOWN]
    if asked is not None and asked not in shown_jobs:
        shown_jobs.append(asked)
    for job in shown_jobs:
        known = about(bench, job).best
        if known is not None:
            named = " · ".join(filter(None, (job.ticket, job.customer, known.name)))
            found.append(Wanted(tr("Job {job}").format(job=named), ((known, job),)))
    return found


def open_labels(place: Workplace, job: Job | None = None) -> None:
    """Open the dialog, if there is a line to put on labels."""
    place.host.commit()
    if job is not None and about(place.document.bench, job).best is None:
        place.host.say_problem(Sentence("This job has no head to put on a label."))
        return
    if job is None and place.document.shown is None:
        place.host.say_problem(Sentence("There is no line to put on labels."))
        return
    dialog = LabelsDialog(place, show_day(today()), job)
    dialog.open()


def _paper_words(paper: Paper) -> str:
    return tr("Letter") if paper is Paper.LETTER else tr("A4")


def _choice(texts: Sequence[str]) -> QComboBox:
    made = Choice()
    made.addItems(list(texts))
    return made


SPIN_MARGIN = 8
"""Beside a number, as in other fields [px]."""


def _spin(value: int, most: int) -> QSpinBox:
    made = QSpinBox()
    made.setRange(1, most)
    made.setValue(value)
    made.lineEdit().setTextMargins(*(theming.px(each) for each in (SPIN_MARGIN, 0, SPIN_MARGIN, 0)))
    made.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    made.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    return made
