"""The cards at the right: what is graded over what, and what members keep of it."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QComboBox,
    QLabel,
    QPushButton,
    QRadioButton,
    QSizePolicy,
    QWidget,
)

from taperlab.edits import ranges as edits
from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.dialogs.rename import RenameDialog
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import (
    Card,
    caption,
    in_column,
    in_row,
    label,
    show_only_if,
    tool_button,
)
from taperlab.gui.pages.range.case import RangeCase
from taperlab.gui.pages.range.several_edit import SeveralEdit
from taperlab.model.line import Line
from taperlab.model.range import LengthRule, Range, ThicknessRule
from taperlab.shop.range.study import RangeStudy
from taperlab.shop.range.words import length_reason, rounded_words, thickness_reason
from taperlab.trade.styles import counts_tip
from taperlab.units.kinds import LENGTH, ROD_LENGTH, WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.several import several_text
from taperlab.units.words import heading


class AskedCard(Card):
    """The parent, the weights and the rods; makes a range where there is none."""

    def __init__(self, case: RangeCase) -> None:
        super().__init__(tr("A range"), spacing=4)
        self._case = case
        self._lines: tuple[Line, ...] = ()
        self._ranges: tuple[Range, ...] = ()
        self.parent_box = _box(tr("A range from"), tr("The line whose head is graded"))
        self.range_box = _box(tr("Range"), tr("The ranges that are kept in this bench"))
        self.weights = SeveralEdit(
            WEIGHT,
            case,
            tr("Weights"),
            tr(
                "Of the heads, loops included: 480 gr, 510 gr, 540 gr or from 420 gr to 570 gr "
                "by 30 gr"
            ),
        )
        self.rods = SeveralEdit(
            ROD_LENGTH,
            case,
            tr("On rods"),
            tr("Lengths of the rods: one for each weight, one for all, or none"),
            optional=True,
        )
        self.own_rod = QuantityEdit(
            ROD_LENGTH, case.place.settings, name=tr("The parent’s rod"), optional=True
        )
        self.own_rod.set_help(tr("The rod that the parent is for; empty: the rod that is chosen"))
        self.tip = QuantityEdit(
            LENGTH, case.place.settings, name=tr("Tip that counts"), optional=True
        )
        self.tip.set_help(
            tr("How long a tip the ratio counts with a body; empty: the first tip on the bench")
        )
        self.new = tool_button(
            tr("New"), tr("New range"), tr("Grade a head over other weights"), self.begin
        )
        self.rename = tool_button(
            tr("Rename…"), tr("Rename range"), tr("Give this range another name"), self._rename
        )
        self.delete = tool_button(
            tr("Delete"), tr("Delete range"), tr("Drop this range; its parent stays"), self._delete
        )
        self.button = QPushButton(tr("Make the range"))
        self.button.setDefault(True)
        self.button.clicked.connect(self._make)
        self._is_new = False
        self._dialogs = Dialogs(case.place)
        self._range_row = QWidget()
        top = in_row((caption(tr("Range")), 1), self.new, self.rename, self.delete, spacing=2)
        in_column(top, self.range_box, spacing=2, of=self._range_row)
        self._tip_row = QWidget()
        in_row((caption(tr("Tip that counts")), 1), self.tip, of=self._tip_row, spacing=6)
        self._lay_out()
        self.parent_box.activated.connect(self._parent_chosen)
        self.range_box.activated.connect(self._range_chosen)
        for field in (self.weights, self.rods):
            field.entered.connect(self._entered)
            field.left.connect(self._commit_if_typed)
        self._kept = (
            Kept(self.own_rod, lambda value: self._set_basis(value, self.tip.value())),
            Kept(self.tip, lambda value: self._set_basis(self.own_rod.value(), value)),
        )
        case.watch.follow(self.refresh)
        case.follow(self.refresh)

    def _lay_out(self) -> None:
        self.add(self._range_row, caption(tr("A range from")), self.parent_box, 2)
        self.add(caption(tr("Weights")), self.weights, self.weights.problem, 2)
        self.edit_rods = tool_button(
            tr("Rods…"),
            tr("Edit rods"),
            tr("Add rods to the bench, or change their lengths and grain windows"),
            self._dialogs.edit_rods,
        )
        on = in_row((caption(tr("On rods")), 1), self.edit_rods, spacing=2)
        self.add(on, self.rods, self.rods.problem, 2)
        for field in (self.own_rod, self.tip):
            field.keep_width(theming.px(104))
        self.add(in_row((caption(tr("The parent’s rod")), 1), self.own_rod, spacing=6))
        self.add(self._tip_row, 2, self.button)

    # -- showing -------------------------------------------------------------------------------

    @property
    def is_new(self) -> bool:
        """Whether a range is to be made, and none is looked at."""
        return self._is_new or self._case.range is None

    def refresh(self) -> None:
        """Show what is asked now."""
        case, found = self._case, self._case.range
        if found is None:
            self._is_new = False
        self._lines, self._ranges = case.heads, case.ranges
        _fill(self.parent_box, [line.name for line in self._lines], tr("No head on the bench"))
        _fill(self.range_box, [each.name for each in self._ranges], "")
        self._range_row.setVisible(bool(self._ranges))
        self.button.setVisible(self.is_new)
        self.button.setEnabled(bool(self._lines))
        self.rename.setEnabled(not self.is_new)
        self.delete.setEnabled(not self.is_new)
        if self.is_new:
            line = self._parent()
            bodies = line is not None and counts_tip(line.style)
            self._tip_row.setVisible(bodies)
            for each in (self.own_rod, self._tip_row):
                each.setEnabled(False)
            self._show_placeholders(None)
            return
        assert found is not None
        self._show_range(found)

    def _show_range(self, found: Range) -> None:
        case, study = self._case, self._case.study
        keys = [line.key for line in self._lines]
        if found.parent in keys:
            self.parent_box.setCurrentIndex(keys.index(found.parent))
        self.range_box.setCurrentIndex([each.key for each in self._ranges].index(found.key))
        self.weights.show_values(tuple(each.mass for each in found.members))
        rods = [each.rod for each in found.members]
        known = study.counts.rod if study is not None else None
        if all(rod is None for rod in rods):
            self.rods.show_values(())
        elif len(set(rods)) == 1:
            self.rods.show_values((rods[0] or 0.0,))
        else:
            lengths = [rod if rod is not None else known for rod in rods]
            self.rods.show_values(tuple(each for each in lengths if each is not None))
        for each, value in zip(self._kept, (found.rod, found.tip), strict=True):
            each.show(value)
        line = case.question.parent if case.question else None
        self._tip_row.setVisible(line is not None and counts_tip(line.style))
        for each_widget in (self.own_rod, self._tip_row):
            each_widget.setEnabled(True)
        self._show_placeholders(study)

    def _show_placeholders(self, study: RangeStudy | None) -> None:
        system = self._case.system
        rod = study.counts.rod if study is not None else None
        if rod is None and self._case.place.document.rod is not None:
            rod = self._case.place.document.rod.length
        text = several_text((rod,), ROD_LENGTH, system) if rod is not None else ""
        self.own_rod.setPlaceholderText(text)
        self.rods.setPlaceholderText(tr("{rod} for all").format(rod=text) if text else "")
        tip = study.counts.tip if study is not None else 0.0
        self.tip.setPlaceholderText(several_text((tip,), LENGTH, system) if tip else "")
        metric = system is System.METRIC
        self.weights.setPlaceholderText(tr("31, 33, 35") if metric else tr("480, 510, 540"))

    def _parent(self) -> Line | None:
        index = self.parent_box.currentIndex()
        return self._lines[index] if 0 <= index < len(self._lines) else None

    # -- what a person does --------------------------------------------------------------------

    def begin(self) -> None:
        """Begin another range: of the current line, with nothing asked yet."""
        self._is_new = True
        for field in (self.weights, self.rods):
            field.show_values(())
            field.clear()
        current = self._case.place.document.line
        if current in self._lines:
            self.parent_box.setCurrentIndex(self._lines.index(current))
        self.refresh()
        self.weights.setFocus()

    def commit(self) -> None:
        """Take over what is being typed."""
        self._commit_if_typed()
        for each in self._kept:
            each.commit()

    def _entered(self) -> None:
        if self.is_new:
            self._make()
        else:
            self._commit_if_typed()

    def _commit_if_typed(self) -> None:
        if self.is_new or not (self.weights.is_typed or self.rods.is_typed):
            return
        masses, rods = self.weights.values(), self.rods.values()
        if masses is None or rods is None:
            return
        if refused := self._case.do(edits.ask_members, masses, rods):
            (self.rods if self.rods.is_typed else self.weights).say(refused)
            return
        self.weights.took(masses)
        self.rods.took(rods)

    def _make(self) -> None:
        parent, masses = self._parent(), self.weights.values()
        rods = self.rods.values()
        if parent is None or masses is None or rods is None:
            self.weights.setFocus()
            return
        self._is_new = False
        if refused := self._case.make(parent, masses, rods):
            self._is_new = bool(self._ranges)
            self.weights.say(refused)
        self.refresh()

    def _rename(self) -> None:
        kept = self._case.range
        if kept is not None:
            title = tr("Rename the range")
            RenameDialog(self._case.place, title, kept.key, kept.name, edits.rename_range).open()

    def _delete(self) -> None:
        self._case.do(edits.delete_range)

    def _parent_chosen(self, index: int) -> None:
        if not self.is_new and 0 <= index < len(self._lines):
            self._case.do(edits.grade_from, self._lines[index].key)
        self.refresh()

    def _range_chosen(self, index: int) -> None:
        self._is_new = False
        self._case.look_at(self._ranges[index].key)
        self.refresh()

    def _set_basis(self, rod: float | None, tip: float | None) -> bool:
        found = self._case.range
        if found is None:
            return False
        place = self._case.place
        return bool(
            place.do(
                edits.set_basis, found.key, rod, tip, is_rounded=found.is_rounded, initiator=self
            )
        )


class RulesCard(Card):
    """The two switches, each choice with what it keeps."""

    def __init__(self, case: RangeCase) -> None:
        super().__init__(tr("What members keep"), spacing=2)
        self._case = case
        self.lengths = {rule: QRadioButton(heading(rule)) for rule in LengthRule}
        self.thicknesses = {rule: QRadioButton(heading(rule)) for rule in ThicknessRule}
        self._reasons = {rule: _reason() for rule in (*LengthRule, *ThicknessRule)}
        self._groups = (QButtonGroup(self), QButtonGroup(self))
        self._add(self._groups[0], tr("Length"), list(self.lengths.items()))
        self._add(self._groups[1], tr("Thickness"), list(self.thicknesses.items()))
        self.rounds = QCheckBox(tr("Rounded to what can be built"))
        self.rounds.setToolTip(
            tr("Lengths to the tape, diameters to the micrometer; the weight is kept")
        )
        self.rounds.clicked.connect(self._rounds_clicked)
        self._to = _reason()
        self.add(4, self.rounds, self._to)
        case.watch.follow(self.refresh)
        case.follow(self.refresh)

    def _add(
        self, group: QButtonGroup, name: str, buttons: Sequence[tuple[StrEnum, QRadioButton]]
    ) -> None:
        self.add(caption(name))
        for rule, button in buttons:
            button.setFont(theming.font(weight=QFont.Weight.Medium))
            group.addButton(button)
            self.add(button, self._reasons[rule])
            button.clicked.connect(self._chosen)

    def refresh(self) -> None:
        """Show which are chosen, and what each keeps."""
        found, study, read = self._case.range, self._case.study, self._case.place.read
        if study is not None and (found is None or study.question.range.key != found.key):
            study = None
        show_only_if(self, found is not None)
        for length, button in self.lengths.items():
            self._say(button, length, read(length_reason(length, study)))
        for thickness, button in self.thicknesses.items():
            self._say(button, thickness, read(thickness_reason(thickness, study)))
        if found is None:
            return
        self.rounds.setChecked(found.is_rounded)
        text = read(rounded_words(study)) if study is not None else ""
        self._to.setText(text)
        self._to.setVisible(bool(text))
        self.rounds.setAccessibleDescription(text)
        self.lengths[found.length].setChecked(True)
        self.thicknesses[found.thickness].setChecked(True)
        for button in self.thicknesses.values():
            button.setEnabled(found.length is not LengthRule.WEIGHT)

    def _say(self, button: QRadioButton, rule: StrEnum, text: str) -> None:
        self._reasons[rule].setText(text)
        button.setAccessibleDescription(text)

    def _rounds_clicked(self, checked: bool) -> None:
        found = self._case.range
        if found is not None:
            self._case.place.do(
                edits.set_basis,
                found.key,
                found.rod,
                found.tip,
                is_rounded=checked,
                initiator=self,
            )

    def _chosen(self) -> None:
        length = next(rule for rule, button in self.lengths.items() if button.isChecked())
        thick = next(rule for rule, button in self.thicknesses.items() if button.isChecked())
        self._case.do(edits.set_rules, length, thick)


def _reason() -> QLabel:
    made = label("", points=8.5, role="soft", wrap=True)
    made.setContentsMargins(22, 0, 0, 3)
    return made


def _box(name: str, tip: str) -> QComboBox:
    made = Choice()
    made.setAccessibleName(name)
    made.setToolTip(tip)
    made.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
    return made


def _fill(box: QComboBox, names: list[str], none: str) -> None:
    """Offer these names, the one chosen kept where it can be."""
    shown = names or ([none] if none else [])
    if shown != [box.itemText(i) for i in range(box.count())]:
        index = box.currentIndex()
        box.clear()
        box.addItems(shown)
        box.setCurrentIndex(min(max(index, 0), len(shown) - 1))
    box.setEnabled(bool(names))
