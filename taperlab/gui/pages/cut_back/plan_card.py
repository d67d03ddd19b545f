"""Where the blade goes, what comes off, and what is left: before and after side by side."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QSizePolicy, QSlider, QWidget

from taperlab.gui.kit.findings import LEVEL_ROLES
from taperlab.gui.kit.gauge import PLACE_ROLES
from taperlab.gui.kit.widgets import (
    NONE,
    Card,
    Remark,
    caption,
    in_column,
    in_row,
    label,
    set_role,
)
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.fields import TapeEdit
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.staging import Why
from taperlab.shop.cut_back.study import ROUNDING, State, Study
from taperlab.shop.cut_back.words import ENDS
from taperlab.shop.wording import size_on_rod
from taperlab.trade.windows import Place
from taperlab.units.finding import Level
from taperlab.units.kinds import LENGTH
from taperlab.units.language import later, tr
from taperlab.units.sentence import Number, OnTape, Ratio, Sentence, Weight, render

ROWS = (
    later("Head weight"),
    later("Head length"),
    later("Ratio"),
    later("Front taper"),
    later("Standard"),
    later("Window"),
)
COLUMNS = (later("Uncut"), later("Now"), later("After"))
PLACES = {
    Place.INSIDE: later("inside"),
    Place.BELOW: later("too light"),
    Place.ABOVE: later("too heavy"),
}

PAGE_STEP = 0.3048
"""What a page key moves the slider by [m]."""


class StatesTable(QWidget):
    """The figures of the head uncut, as it is now and after the cut, side by side."""

    def __init__(self, case: CutCase) -> None:
        super().__init__()
        self._case = case
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(3)
        self._heads = [label(tr(text), points=8.0, role="soft") for text in COLUMNS]
        for column, head in enumerate(self._heads, start=1):
            grid.addWidget(head, 0, column, Qt.AlignmentFlag.AlignRight)
            grid.setColumnStretch(column, 1)
        self._cells: list[list[QLabel]] = []
        for row, name in enumerate(ROWS, start=1):
            grid.addWidget(label(tr(name), role="soft"), row, 0)
            cells = []
            for column in range(len(COLUMNS)):
                weight = QFont.Weight.DemiBold if column == 2 else QFont.Weight.Normal
                cell = label("", weight=weight)
                cell.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                cell.setObjectName(f"{COLUMNS[column]} {name}")
                grid.addWidget(cell, row, column + 1)
                cells.append(cell)
            self._cells.append(cells)

    def show_states(self, study: Study) -> None:
        """Show the head uncut, now and after the cut that is shown."""
        for column, state in enumerate((study.uncut, study.left, study.after)):
            self._show_column(column, study, state)
        for each in (self._heads[0], *(cells[0] for cells in self._cells)):
            each.setVisible(bool(study.log))

    def _show_column(self, column: int, study: Study, state: State | None) -> None:
        texts = self._texts(study, state)
        for row, (text, role) in enumerate(texts):
            cell = self._cells[row][column]
            cell.setText(text)
            set_role(cell, role)
            cell.setAccessibleName(f"{tr(ROWS[row])}, {tr(COLUMNS[column])}: {text}")

    def _texts(self, study: Study, state: State | None) -> list[tuple[str, str]]:
        """The figures of one state of the head, each with the role that colours it."""
        if state is None or state.analysis.head is None:
            return [(NONE, "")] * len(ROWS)
        read, fit, head = self._case.place.read, state.fit, state.analysis.head
        size, _ = size_on_rod(state.analysis, study.rod)
        place, role = NONE, ""
        if fit and fit.place is not None:
            place = tr(PLACES[fit.place])
            role = PLACE_ROLES[fit.place]
        share = Number(head.front_taper_mass_share * 100.0)
        return [
            (Weight(head.mass).text(self._case.system), ""),
            (OnTape(head.length).text(self._case.system), ""),
            (read(Sentence("{ratio} ×", ratio=Ratio(fit.ratio))) if fit else NONE, ""),
            (read(Sentence("{share} %", share=share)), ""),
            (read(size), ""),
            (place, role),
        ]


class PlanCard(Card):
    """The whole way to the target, or a cut that is tried out by slider, blade or number."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(spacing=6)
        self.case, self._read = case, case.place.read
        self.title = caption("")
        self.no_plan = label("", points=11.0, weight=QFont.Weight.Medium, role="bad", wrap=True)
        self.places: list[tuple[QLabel, QLabel]] = []
        self._where = self._make_places()
        self.off = label("", wrap=True)
        self._make_trying()
        self.states = StatesTable(case)
        self.remarks = [label("", points=8.5, wrap=True) for _ in range(4)]
        self.add(self.title, self.no_plan, self._where, self.off, self.slider, self._try_row)
        self.add(self.problem, 4, self.states, *self.remarks, None)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        case.follow(self.refresh)
        case.tried.connect(self.refresh_trial)

    def _make_places(self) -> QWidget:
        """Two large figures, and what each is."""
        rows = []
        for _ in range(2):
            value = label("", points=17.0, weight=QFont.Weight.DemiBold)
            words = label("", role="soft")
            words.setContentsMargins(0, 0, 0, 4)
            row = in_row(value, (words, 1), spacing=7)
            row.setAlignment(words, Qt.AlignmentFlag.AlignBottom)
            rows.append(row)
            self.places.append((value, words))
        holder = QWidget()
        in_column(*rows, of=holder)
        return holder

    def _make_trying(self) -> None:
        """The slider and the field that try a cut out."""
        settings, name = self.case.place.settings, tr("Length to cut off")
        self.length = TapeEdit(LENGTH, settings, name=name, optional=True, check=self._too_long)
        self.length.set_help(tr("Type any length to see what it leaves. Nothing is cut by typing."))
        self.length.setFixedWidth(112)
        self.length.editingFinished.connect(self._length_typed)
        self.problem = Remark(points=8.5)
        self.length.sentence_changed.connect(self.problem.say)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setAccessibleName(name)
        self.slider.setToolTip(tr("Slide to see what a longer or shorter cut leaves"))
        self.slider.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.slider.setMinimumHeight(24)
        self.slider.valueChanged.connect(self._slid)
        self.back = QPushButton(tr("Back to the target"))
        self.back.clicked.connect(self.case.back_to_target)
        keep = self.back.sizePolicy()
        keep.setRetainSizeWhenHidden(True)
        self.back.setSizePolicy(keep)
        self._try_words = label("", role="soft")
        self._try_words.setBuddy(self.length)
        self._try_row = in_row(self._try_words, self.length, None, self.back, spacing=8)

    # -- showing -------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show another cut-back or log."""
        study = self.case.study
        if study is None or study.job is None:
            return
        with QSignalBlocker(self.slider):
            step = study.job.instruments.tape
            self.slider.setRange(0, int(study.most / step))
            self.slider.setPageStep(max(1, round(PAGE_STEP / step)))
            # At the rod end, more comes off as the blade moves toward the fly end, at the left.
            self.slider.setInvertedAppearance(study.terms.cuts_rear)
            self.slider.setInvertedControls(study.terms.cuts_rear)
        self._try_words.setText(self._read(Sentence("Off {end}", end=ENDS[study.terms.end])))
        self.refresh_trial()

    def refresh_trial(self) -> None:
        """Show what the cut that is looked at leaves."""
        study = self.case.study
        if study is None or study.job is None:
            return
        plan = study.plan if isinstance(study.plan, Plan) else None
        trying = study.trial is not None
        self.title.setText(self._read(_title(study)))
        self.back.setVisible(trying and isinstance(study.staged, Staged))
        self.no_plan.setVisible(plan is None)
        self._where.setVisible(plan is not None)
        self.off.setVisible(plan is not None)
        if plan is not None:
            self._show_plan(plan)
        else:
            self._show_no_plan(study)
        self.states.show_states(study)
        self._show_remarks(study)
        cut = plan.cut_length if plan else 0.0
        if plan or not trying:
            with QSignalBlocker(self.slider):
                self.slider.setValue(round(cut / study.job.instruments.tape))
            if not self.length.hasFocus() or self.length.value() != cut:
                self.length.set_value(cut if cut > 0.0 else None)
        self.slider.setAccessibleDescription(OnTape(cut).text(self.case.system))

    def _show_no_plan(self, study: Study) -> None:
        stop = study.stop
        # Nothing more to cut is good news.
        enough = stop is not None and stop.why in (Why.DONE, Why.TOO_SHORT_TO_CUT)
        enough = enough and study.trial is None
        if study.is_done and enough:
            self.no_plan.setText(tr("Nothing more to cut."))
        elif study.plan is not None and not isinstance(study.plan, Plan):
            self.no_plan.setText(self._read(study.plan.sentence))
        doubt = "warn" if study.disagreement is not None else "bad"
        set_role(self.no_plan, "soft" if enough else doubt)

    def _show_plan(self, plan: Plan) -> None:
        system = self.case.system
        for (value, words), (number, said) in zip(self.places, _blades(plan), strict=True):
            value.setText(number.text(system))
            words.setText(render(said, system))
            value.setAccessibleName(
                self._read(Sentence("Blade: {place} {end}", place=number, end=said))
            )
        off = Sentence(
            "{cut} and {mass} come off.", cut=OnTape(plan.cut_length), mass=Weight(plan.cut_mass)
        )
        self.off.setText(self._read(off))

    def _show_remarks(self, study: Study) -> None:
        for i, remark in enumerate(self.remarks):
            shown = i < len(study.findings)
            remark.setVisible(shown)
            if shown:
                finding = study.findings[i]
                sentence = finding.sentence
                if finding.level is Level.CAUTION:
                    sentence = Sentence("Caution: {what}", what=sentence)
                remark.setText(self._read(sentence))
                set_role(remark, LEVEL_ROLES[finding.level])

    # -- trying --------------------------------------------------------------------------------

    def _too_long(self, value: float) -> Sentence | None:
        study = self.case.study
        if study is None or value <= study.most + ROUNDING:
            return None
        return Sentence("At most {most} can come off.", most=OnTape(study.most))

    def _slid(self, value: int) -> None:
        study = self.case.study
        if study is not None and study.job is not None:
            self.case.try_cut(value * study.job.instruments.tape)

    def _length_typed(self) -> None:
        value = self.length.value()
        plan = self.case.study.plan if self.case.study else None
        cut = plan.cut_length if isinstance(plan, Plan) else None
        if value is not None and value != cut:
            self.case.try_cut(value)


def _title(study: Study) -> Sentence:
    if study.trial is not None:
        return Sentence("Trying a cut: the target is left alone")
    if not isinstance(study.staged, Staged):
        return Sentence("The cut")
    target = Weight(study.staged.target)
    if study.is_weighed:
        return Sentence("All the way to {target}", target=target)
    return Sentence("By the description alone, all the way to {target}", target=target)


def _blades(plan: Plan) -> tuple[tuple[OnTape, Sentence], tuple[OnTape, Sentence]]:
    """Where the blade goes, told from both ends; or both blades, where both ends are cut."""
    if plan.front_cut > 0.0 and plan.rear_cut > 0.0:
        at = Sentence("off the rod end, at {place}", place=OnTape(plan.rear_blade))
        return (
            (OnTape(plan.front_cut), Sentence("off the fly end")),
            (OnTape(plan.rear_cut), at),
        )
    blade = plan.front_blade if plan.front_cut > 0.0 else plan.rear_blade
    return (
        (OnTape(blade), Sentence("from the fly end")),
        (OnTape(plan.before.length - blade), Sentence("from the rod end")),
    )
