"""Where the blade goes, what comes off, and what is left: before and after side by side."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QSlider,
    QVBoxLayout,
    QWidget,
)

from taperlab.gui.kit.figure_texts import place_text, standard_text, weight_text
from taperlab.gui.kit.widgets import Card, caption, label, set_role
from taperlab.gui.pages.cut_back.case import ROUNDING, CutCase
from taperlab.gui.pages.cut_back.fields import TapeEdit
from taperlab.model.cut_log import CutEnd
from taperlab.model.line import Line
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.staging import Why
from taperlab.trade.windows import Place
from taperlab.units.finding import Finding, Level
from taperlab.units.kinds import WEIGHT
from taperlab.units.sentences import in_units
from taperlab.units.show import show, show_eighths

ROWS = ("Head weight", "Head length", "Ratio", "Front taper", "Standard", "Window")
NONE = "–"
PAGE_STEP = 0.3048
"""What a page key moves the slider by [m]."""


class PlanCard(Card):
    """The whole way to the target, or a cut that is tried out by slider, blade or number."""

    def __init__(self, case: CutCase) -> None:
        super().__init__(spacing=6)
        self.case = case
        self.title = caption("")
        self.no_plan = label("", points=11.0, weight=QFont.Weight.Medium, role="bad", wrap=True)
        self.places: list[tuple[QLabel, QLabel]] = []
        self._where = QWidget()
        where = QVBoxLayout(self._where)
        where.setContentsMargins(0, 0, 0, 0)
        where.setSpacing(0)
        for _ in range(2):
            row = QHBoxLayout()
            row.setSpacing(7)
            value = label("", points=17.0, weight=QFont.Weight.DemiBold)
            words = label("", role="soft")
            words.setContentsMargins(0, 0, 0, 4)
            row.addWidget(value)
            row.addWidget(words, 1, Qt.AlignmentFlag.AlignBottom)
            where.addLayout(row)
            self.places.append((value, words))
        self.off = label("", wrap=True)

        self.length = TapeEdit(
            case.settings, name="Length to cut off", optional=True, check=self._too_long
        )
        self.length.set_help("Type any length to see what it leaves. Nothing is cut by typing.")
        self.length.setFixedWidth(112)
        self.length.editingFinished.connect(self._length_typed)
        self.problem = label("", points=8.5, role="bad", wrap=True)
        self.problem.hide()
        self.length.sentence_changed.connect(self._say)
        self.slider = QSlider(Qt.Orientation.Horizontal)
        self.slider.setAccessibleName("Length to cut off")
        self.slider.setToolTip("Slide to see what a longer or shorter cut leaves")
        self.slider.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.slider.setMinimumHeight(24)
        self.slider.valueChanged.connect(self._slid)
        self.back = QPushButton("Back to the target")
        self.back.clicked.connect(case.back_to_target)
        keep = self.back.sizePolicy()
        keep.setRetainSizeWhenHidden(True)
        self.back.setSizePolicy(keep)
        try_row = QHBoxLayout()
        try_row.setSpacing(8)
        self._try_words = label("Off", role="soft")
        self._try_words.setBuddy(self.length)
        try_row.addWidget(self._try_words)
        try_row.addWidget(self.length)
        try_row.addStretch(1)
        try_row.addWidget(self.back)

        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(12)
        self._grid.setVerticalSpacing(3)
        self.heads = [label(text, points=8.0, role="soft") for text in ("Uncut", "Now", "After")]
        for column, head in enumerate(self.heads, start=1):
            self._grid.addWidget(head, 0, column, Qt.AlignmentFlag.AlignRight)
            self._grid.setColumnStretch(column, 1)
        self.cells: dict[tuple[str, int], QLabel] = {}
        for row, name in enumerate(ROWS, start=1):
            self._grid.addWidget(label(name, role="soft"), row, 0)
            for column in range(3):
                weight = QFont.Weight.DemiBold if column == 2 else QFont.Weight.Normal
                cell = label("", weight=weight)
                cell.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
                self._grid.addWidget(cell, row, column + 1)
                self.cells[name, column] = cell
        self.remarks = [label("", points=8.5, wrap=True) for _ in range(4)]

        self.body.addWidget(self.title)
        self.body.addWidget(self.no_plan)
        self.body.addWidget(self._where)
        self.body.addWidget(self.off)
        self.body.addWidget(self.slider)
        self.body.addLayout(try_row)
        self.body.addWidget(self.problem)
        self.body.addSpacing(4)
        self.body.addLayout(self._grid)
        for remark in self.remarks:
            self.body.addWidget(remark)
        self.body.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        case.changed.connect(self.refresh)
        case.tried.connect(self.refresh_trial)
        case.settings.units_changed.connect(self.refresh)

    def commit(self) -> None:
        """A length tried out is no edit: nothing to take over."""

    # -- showing -------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show another cut-back or log."""
        if self.case.job is None or self.case.left is None:
            return
        with QSignalBlocker(self.slider):
            step = self._step
            self.slider.setRange(0, int(self.case.most / step))
            self.slider.setPageStep(max(1, round(PAGE_STEP / step)))
            # At the rear, more comes off as the blade moves toward the fly end, at the left.
            at_rear = self.case.terms.share < 1.0
            self.slider.setInvertedAppearance(at_rear)
            self.slider.setInvertedControls(at_rear)
        words = {CutEnd.REAR: "off the rear", CutEnd.FRONT: "off the front"}
        self._try_words.setText(f"Cut {words.get(self.case.terms.end, 'off both ends')}")
        self._show_column(0, self.case.standing.uncut if self.case.standing else None)
        self._show_column(1, self.case.left)
        logged = bool(self.case.job.steps)
        for name in ROWS:
            self.cells[name, 0].setVisible(logged)
        self.heads[0].setVisible(logged)
        self.refresh_trial()

    def refresh_trial(self) -> None:
        """Show what the cut that is looked at leaves."""
        case = self.case
        plan = case.plan
        trying = case.is_trying
        self.title.setText(self._title())
        self.back.setVisible(trying and isinstance(case.staged, Staged))
        self.no_plan.setVisible(isinstance(plan, NoPlan))
        self._where.setVisible(isinstance(plan, Plan))
        self.off.setVisible(isinstance(plan, Plan))
        if isinstance(plan, Plan):
            self._show_plan(plan)
            cut = plan.cut_length
        else:
            sentence = plan.sentence if plan else ""
            # Nothing more to cut is good news.
            enough = case.stop is not None and case.stop.why in (Why.DONE, Why.TOO_SHORT_TO_CUT)
            done = case.is_done and enough and not trying
            self.no_plan.setText(
                "Nothing more to cut." if done else in_units(sentence, case.settings.system)
            )
            set_role(self.no_plan, "soft" if enough and not trying else "bad")
            self._show_column(2, case.after)
            self._show_remarks([])
            cut = 0.0
        if isinstance(plan, Plan) or not trying:
            with QSignalBlocker(self.slider):
                self.slider.setValue(round(cut / self._step))
            if not self.length.hasFocus() or self.length.value() != cut:
                self.length.set_value(cut if cut > 0.0 else None)
        self._describe_slider(cut)

    @property
    def _step(self) -> float:
        return self.case.job.instruments.tape if self.case.job else 1.0

    def _title(self) -> str:
        case = self.case
        if case.is_trying:
            return "Trying a cut: the target is left alone"
        if isinstance(case.staged, Staged):
            way = f"ll the way to {show(case.staged.target, WEIGHT, case.settings.system)}"
            return f"A{way}" if case.is_weighed else f"By the description alone, a{way}"
        return "The cut"

    def _show_plan(self, plan: Plan) -> None:
        system = self.case.settings.system
        length = plan.before.length
        if plan.front_cut > 0.0 and plan.rear_cut > 0.0:
            texts = [
                (plan.front_cut, "off the front"),
                (plan.rear_cut, f"off the rear, at {show_eighths(plan.rear_blade, system)}"),
            ]
        elif plan.front_cut > 0.0:
            texts = [
                (plan.front_blade, "from the fly end"),
                (length - plan.front_blade, "from the rod end"),
            ]
        else:
            texts = [
                (plan.rear_blade, "from the fly end"),
                (length - plan.rear_blade, "from the rod end"),
            ]
        for (value, words), (number, text) in zip(self.places, texts, strict=True):
            value.setText(show_eighths(number, system))
            value.setAccessibleName(f"Blade at {value.text()} {text}")
            words.setText(text)
        self.off.setText(
            f"{show_eighths(plan.cut_length, system)} and "
            f"{show(plan.cut_mass, WEIGHT, system)} come off."
        )
        self._show_column(2, self.case.after)
        self._show_remarks([*plan.findings, *self._limit_remarks(plan)])

    def _limit_remarks(self, plan: Plan) -> list[Finding]:
        """What a cut that is tried out would break of the limits."""
        if not self.case.is_trying:
            return []
        limits, system = self.case.terms.limits, self.case.settings.system
        found = []
        if plan.after.length < limits.shortest - 1e-9:
            found.append(
                f"Shorter than the shortest head allowed, {show_eighths(limits.shortest, system)}."
            )
        step = plan.after.joint_step
        if step is not None and step > limits.largest_step:
            found.append(
                f"The joint step would be {step:.2f}; the largest allowed is "
                f"{limits.largest_step:.2f}."
            )
        return [Finding(Level.CAUTION, sentence) for sentence in found]

    def _show_column(self, column: int, line: Line | None) -> None:
        texts = self.column_texts(line)
        for name, (text, role) in zip(ROWS, texts, strict=True):
            cell = self.cells[name, column]
            cell.setText(text)
            set_role(cell, role)
            cell.setAccessibleName(f"{name} {self.heads[column].text().lower()}: {text}")

    def column_texts(self, line: Line | None) -> list[tuple[str, str]]:
        """The figures of one state of the head, each with the role that colours it."""
        if line is None:
            return [(NONE, "")] * len(ROWS)
        case, settings = self.case, self.case.settings
        analysis, fit = case.analysis(line), case.fit(line)
        head = analysis.head
        size, _ = standard_text(analysis, case.document.rod, settings)
        place, role = NONE, ""
        if fit and fit.place is not None:
            names = {Place.INSIDE: "inside", Place.BELOW: "too light", Place.ABOVE: "too heavy"}
            place = names[fit.place]
            role = place_text(fit, settings)[1]
        return [
            (weight_text(head.mass, settings), ""),
            (show_eighths(head.length, settings.system), ""),
            (f"{fit.ratio:.2f} ×" if fit else NONE, ""),
            (f"{head.front_taper_mass_share * 100:.0f} %", ""),
            (size, ""),
            (place, role),
        ]

    def _show_remarks(self, findings: list[Finding]) -> None:
        roles = {Level.NOTE: "soft", Level.CAUTION: "warn", Level.STOP: "bad"}
        for i, remark in enumerate(self.remarks):
            remark.setVisible(i < len(findings))
            if i < len(findings):
                finding = findings[i]
                mark = "Caution: " if finding.level is Level.CAUTION else ""
                remark.setText(mark + in_units(finding.sentence, self.case.settings.system))
                set_role(remark, roles[finding.level])

    # -- trying --------------------------------------------------------------------------------

    def _too_long(self, value: float) -> str | None:
        most = self.case.most
        if value <= most + ROUNDING:
            return None
        return f"At most {show_eighths(most, self.case.settings.system)} can come off."

    def _say(self, sentence: str) -> None:
        self.problem.setText(sentence)
        self.problem.setVisible(bool(sentence))

    def _describe_slider(self, cut: float) -> None:
        self.slider.setAccessibleDescription(show_eighths(cut, self.case.settings.system))

    def _slid(self, value: int) -> None:
        self.case.try_cut(value * self._step)

    def _length_typed(self) -> None:
        value = self.length.value()
        plan = self.case.plan
        cut = plan.cut_length if isinstance(plan, Plan) else None
        if value is not None and value != cut:
            self.case.try_cut(value)
