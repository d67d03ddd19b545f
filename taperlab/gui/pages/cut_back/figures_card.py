"""The head now and after this cut, side by side; and, folded away, the whole way in one go."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QBoxLayout, QGridLayout, QLabel, QWidget

from taperlab.gui.kit.fold import Fold
from taperlab.gui.kit.tape_edit import TapeEdit
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import NONE, Card, Remark, in_column, in_row, label
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.flow import CutFlow
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.study import ROUNDING, Study
from taperlab.shop.cut_back.way import Act
from taperlab.shop.cut_back.way_figures import ROWS, Column, after_cut, now
from taperlab.shop.cut_back.way_words import all_the_way
from taperlab.shop.cut_back.words import ENDS
from taperlab.units.finding import Level
from taperlab.units.kinds import LENGTH
from taperlab.units.language import later, tr
from taperlab.units.sentence import OnTape, Sentence

COLUMNS = (later("Now"), later("After this cut"))


class FiguresTable(QWidget):
    """The figures of the head now and after the cut that is due."""

    def __init__(self, case: CutCase) -> None:
        super().__init__()
        self._case = case
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(18)
        grid.setVerticalSpacing(3)
        grid.setColumnStretch(0, 1)
        self._heads = [label(tr(text), points=SMALL, role="soft") for text in COLUMNS]
        for column, head in enumerate(self._heads, start=1):
            grid.addWidget(head, 0, column, Qt.AlignmentFlag.AlignRight)
        self._cells: list[list[QLabel]] = []
        for row, name in enumerate(ROWS, start=1):
            grid.addWidget(label(self._case.place.read(name), wrap=True), row, 0)
            cells = []
            for column in range(len(COLUMNS)):
                weight = QFont.Weight.DemiBold if column else QFont.Weight.Normal
                cell = label("", weight=weight)
                cell.setObjectName(f"{COLUMNS[column]}, {name.template}")
                side = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                grid.addWidget(cell, row, column + 1, side)
                cells.append(cell)
            self._cells.append(cells)

    def show_columns(self, now: Column | None, after: Column | None) -> None:
        """Show the head now, and after the cut if one is due."""
        read = self._case.place.read
        for column, figures in enumerate((now, after)):
            for row, name in enumerate(ROWS):
                cell = self._cells[row][column]
                text = read(figures[row]) if figures and figures[row] else NONE
                cell.setText(text)
                cell.setAccessibleName(f"{read(name)}, {tr(COLUMNS[column])}: {text}")
                cell.setVisible(column == 0 or after is not None)
        self._heads[1].setVisible(after is not None)


class FiguresCard(Card):
    """The table, what else is to be said of the cut, and a cut in one go for whoever asks."""

    def __init__(self, flow: CutFlow) -> None:
        super().__init__(tr("Before and after the cut"), spacing=6)
        self.flow = flow
        case = flow.case
        self.table = FiguresTable(case)
        self.remarks = Remark("soft")
        self.whole = label("", wrap=True)
        settings, name = case.place.settings, tr("Length to try")
        self.length = TapeEdit(LENGTH, settings, name=name, optional=True, check=self._too_long)
        self.length.set_help(tr("Type any length to see what it leaves. Nothing is cut by typing."))
        self.length.keep_width(112)
        self.length.editingFinished.connect(self._length_typed)
        self._try_words = label("", role="soft")
        self._try_words.setBuddy(self.length)
        self.problem = Remark("bad", points=8.5)
        self.length.sentence_changed.connect(self.problem.say)
        content = QWidget()
        in_column(
            self.whole,
            in_row(self._try_words, self.length, None, spacing=8),
            self.problem,
            spacing=6,
            of=content,
        )
        self.fold = Fold(tr("If you cut all the way in one go"), content)
        self._beside = QWidget()
        in_column(self.remarks, self.fold, None, spacing=8, of=self._beside)
        self._sides = in_row((self.table, 1), (self._beside, 1), spacing=20)
        self.body.addLayout(self._sides)
        case.tried.connect(self.refresh_trial)

    def use_narrow(self, narrow: bool) -> None:
        """Stand the table over the words where there is less room."""
        beside, below = QBoxLayout.Direction.LeftToRight, QBoxLayout.Direction.TopToBottom
        self._sides.setDirection(below if narrow else beside)

    def show_study(self, study: Study) -> None:
        """Show the head and the cut that is due."""
        due, read = self.flow.due, self.flow.case.place.read
        cutting = due.act in (Act.CUT, Act.TELL_ENDS)
        after = after_cut(study, due) if cutting else None
        self.table.show_columns(now(study), after)
        words = self.flow.words
        notes = [words.aside] if words is not None and words.aside else []
        notes += [each.sentence for each in study.findings if each.level is Level.NOTE]
        self.remarks.say("\n".join(read(each) for each in notes) if cutting else "")
        whole = all_the_way(study) if study.is_weighed else None
        over = due.act in (Act.MAKE_LOOPS, Act.WEIGH_LAST, Act.FINISHED)
        self.fold.setVisible(study.left is not None and study.is_weighed and not over)
        self.whole.setText(read(whole) if whole else "")
        self.whole.setVisible(whole is not None)
        self._try_words.setText(read(Sentence("Try a cut off {end}", end=ENDS[study.terms.end])))
        self.refresh_trial()

    def refresh_trial(self) -> None:
        """Show the length that is tried."""
        study = self.flow.study
        plan = study.trial.plan if study is not None and study.trial is not None else None
        cut = plan.cut_length if isinstance(plan, Plan) else None
        if study is not None and not self.length.hasFocus() and (study.trial is None or cut):
            self.length.set_value(cut)

    def _too_long(self, value: float) -> Sentence | None:
        study = self.flow.study
        if study is None or value <= study.most + ROUNDING:
            return None
        return Sentence("At most {most} can come off.", most=OnTape(study.most))

    def _length_typed(self) -> None:
        value, study = self.length.value(), self.flow.study
        plan = study.trial.plan if study is not None and study.trial is not None else None
        cut = plan.cut_length if isinstance(plan, Plan) else None
        if value is not None and value != cut:
            self.flow.case.try_cut(value)
