"""The table of members: every figure of each, two of which can be typed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QItemSelection, QPointF, QRect, Signal
from PySide6.QtGui import QFontMetrics, QPainter

from taperlab.edits import ranges as edits
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.signs import Sign, badge, paint_sign
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import NONE
from taperlab.gui.pages.range.case import RangeCase
from taperlab.gui.table.grid import PAD, Grid, GridDelegate
from taperlab.gui.table.grid_model import EMPTY, GridCell, GridModel, GridRow, Heading, Index
from taperlab.shop.range.member import MemberFigures
from taperlab.shop.range.study import NotMade
from taperlab.shop.range.words import Standing, carries_words, verdict
from taperlab.units.kinds import (
    DIAMETER,
    LENGTH,
    RATIO,
    ROD_LENGTH,
    SHARE,
    SINK_RATE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    Kind,
    System,
)
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import NOTHING, Ratio, Sentence
from taperlab.units.show import show, shown_unit

LETTER, WEIGHT_AT, ROD_AT, LENGTH_AT = 0, 1, 2, 3
"""Columns: the letter, the two that can be typed, and the one with a pencil."""

SIGN_ROOM = 20
"""Of the sign before a verdict [px]."""

SIGNS = {
    Standing.NONE: (Sign.DASH, "soft"),
    Standing.INSIDE: (Sign.TICK, "good"),
    Standing.EDGE: (Sign.TRIANGLE, "warn"),
    Standing.OUTSIDE: (Sign.DIAMOND, "bad"),
}
"""The sign of a standing, and its colour."""


@dataclass(frozen=True, slots=True)
class MemberRow(GridRow):
    """A row: its cells, its letter, and how it stands in its rod's window."""

    letter: str = ""
    standing: Standing | None = None
    by_hand: bool = False


class MemberModel(GridModel[MemberRow]):
    """The members in order; the last row adds another weight."""

    def __init__(self, case: RangeCase) -> None:
        self._case = case
        super().__init__(_headings(case.system), adds=True)
        case.follow(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the members as they are known now."""
        self.set_headings(_headings(self._case.system))
        study = self._case.study
        self.show_rows([self._row(row) for row in study.rows] if study is not None else [])

    def _row(self, row: MemberFigures | NotMade) -> MemberRow:
        system, read = self._case.system, self._case.place.read
        if isinstance(row, NotMade):
            said = read(row.why)
            cells = [
                GridCell(row.letter),
                GridCell(show(row.asked.mass, WEIGHT, system, unit=False), "warn"),
                _cell(row.rod, ROD_LENGTH, system),
                *(GridCell(NONE, "soft", said) for _ in range(len(self.headings) - 4)),
                GridCell(tr("can’t be made"), "warn", said),
            ]
            return MemberRow(tuple(cells), row.letter, Standing.OUTSIDE)
        told = verdict(row)
        tip = read(carries_words(row))
        if row.by_hand:
            tip = tr("Edited by hand: it no longer follows the parent.") + f"\n{tip}"
        cells = [
            GridCell(row.letter, tip=tip),
            GridCell(show(row.mass, WEIGHT, system, unit=False), "strong", tip),
            _cell(row.rod, ROD_LENGTH, system),
            GridCell(
                show(row.length, LENGTH, system, unit=False),
                "strong" if row.by_hand else "",
                tip if row.by_hand else "",
            ),
            *(
                _cell(value, kind, system)
                for value, kind in (
                    (row.ratio, RATIO),
                    (row.front_mass_share, SHARE),
                    (row.balance_point, LENGTH),
                    (row.thickest, DIAMETER),
                    (row.tip_linear_density, WEIGHT_PER_LENGTH),
                    (row.thickest_linear_density, WEIGHT_PER_LENGTH),
                    (row.sink, SINK_RATE),
                    (row.coat.thickness if row.coat else None, DIAMETER),
                )
            ),
            self._step(row),
            GridCell(read(told.words), _ROLES[told.standing], read(told.words)),
        ]
        return MemberRow(tuple(cells), row.letter, told.standing, row.by_hand)

    def _step(self, row: MemberFigures) -> GridCell:
        """The largest joint step to a tip of the bench; all of them in the tooltip."""
        if not row.steps:
            return GridCell(NONE, "soft", tr("There is no tip on the bench."))
        largest = max(row.steps, key=lambda each: each.step)
        told = "\n".join(
            self._case.place.read(
                Sentence("{tip}: step {step}", tip=each.tip.name, step=Ratio(each.step))
            )
            for each in row.steps
        )
        text = show(largest.step, RATIO, self._case.system, unit=False)
        return GridCell(text, "warn" if largest.hinges else "", told)

    def spoken(self, row: int, column: int) -> str:
        """As any cell; the letter of a member that was edited by hand says so."""
        said = super().spoken(row, column)
        if column == LETTER and row < self.count and self.row(row).by_hand:
            return tr("{said}, edited by hand").format(said=said)
        return said

    # -- typing --------------------------------------------------------------------------------

    def adding_cell(self, column: int) -> GridCell:
        """What to do."""
        return GridCell(tr("Add…"), "soft") if column == WEIGHT_AT else EMPTY

    def stops(self) -> Sequence[int]:
        """Enter goes down the weights: rods are typed on purpose."""
        return (WEIGHT_AT, ROD_AT)

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take a typed weight or rod."""
        found, system = self._case.range, self._case.system
        if found is None:
            return Sentence("Make a range first.")
        if text == self.edit_text(row, column) or (row >= self.count and not text.strip()):
            return NOTHING
        try:
            if row >= self.count:
                return self._add(parse(text, WEIGHT, system))
            member = found.members[row]
            mass, rod = member.mass, member.rod
            if column == WEIGHT_AT:
                mass = parse(text, WEIGHT, system)
            else:
                rod = parse(text, ROD_LENGTH, system) if text.strip() else None
        except Unreadable as problem:
            return problem.sentence
        return self._case.do(edits.change_member, row, mass, rod)

    def _add(self, mass: float) -> Sentence:
        found = self._case.range
        assert found is not None
        return self._case.do(edits.add_member, mass, found.members[-1].rod)

    def edit_text(self, row: int, column: int) -> str:
        """The weight that was asked for, which may differ a little from what is built."""
        found = self._case.range
        if column == WEIGHT_AT and found is not None and row < min(self.count, len(found.members)):
            return show(found.members[row].mass, WEIGHT, self._case.system, unit=False)
        return super().edit_text(row, column)

    def delete_rows(self, rows: Sequence[int]) -> None:
        """Take members out."""
        self._case.do(edits.remove_members, rows)

    def fill(self, texts: Mapping[tuple[int, int], str]) -> Sentence:
        """Take texts for cells that are there, one after the other."""
        for (row, column), text in texts.items():
            if why_not := self.commit(row, column, text):
                return why_not
        return NOTHING


_ROLES = {Standing.NONE: "soft", Standing.INSIDE: "", Standing.EDGE: "", Standing.OUTSIDE: "warn"}


def _cell(value: float | None, kind: Kind, system: System) -> GridCell:
    if value is None or math.isnan(value):
        return GridCell(NONE, "soft")
    return GridCell(show(value, kind, system, unit=False))


def _headings(system: System) -> tuple[Heading, ...]:
    def named(text: str, kind: Kind) -> str:
        unit = "" if kind.shown(system).feet_and_inches else shown_unit(kind, system)
        return tr("{heading} ({unit})").format(heading=text, unit=unit) if unit else text

    counts = tr("Length of what practice counts over that of the rod.")
    step = tr(
        "Weight per length of a tip of the bench over that of the member’s front; the largest "
        "of them. Above 1 the rig may hinge."
    )
    along, share = tr(WEIGHT_PER_LENGTH.help), tr("Share of tip and front taper in the weight.")
    coat = tr("Thinnest coat over a core; none without a core.")
    thickest = tr("thickest diameter")
    columns: tuple[tuple[str, str, int, str, bool], ...] = (
        (named(tr("Length"), LENGTH), tr("length of the head"), 88, tr(LENGTH.help), False),
        (tr("Ratio"), tr("ratio"), 46, counts, False),
        (named(tr("Front"), SHARE), tr("front taper, share of weight"), 58, share, True),
        (named(tr("Balance"), LENGTH), tr("balance point"), 74, tr("From the fly end."), True),
        (named(tr("Thickest"), DIAMETER), thickest, 70, tr(DIAMETER.help), True),
        (
            named(tr("Tip"), WEIGHT_PER_LENGTH),
            tr("weight per length at the fly end"),
            68,
            along,
            True,
        ),
        (
            named(tr("Thickest"), WEIGHT_PER_LENGTH),
            tr("weight per length where it is thickest"),
            90,
            along,
            True,
        ),
        (named(tr("Sinks"), SINK_RATE), tr("sink rate"), 68, tr(SINK_RATE.help), True),
        (named(tr("Coat"), DIAMETER), tr("thinnest coat over a core"), 58, coat, True),
        (tr("Step"), tr("largest joint step to a tip of the bench"), 44, step, True),
    )
    return (
        Heading("", tr("member"), 58, tr("Its letter, dash and colour."), right=False, typed=False),
        Heading(named(tr("Weight"), WEIGHT), tr("weight of the head"), 70, tr(WEIGHT.help)),
        Heading(named(tr("Rod"), ROD_LENGTH), tr("rod length"), 58, tr(ROD_LENGTH.help)),
        *(
            Heading(text, name, width, help_text, typed=False, spare=spare)
            for text, name, width, help_text, spare in columns
        ),
        Heading(
            tr("Rod’s grain window"),
            tr("grain window of its rod"),
            156,
            tr("Of the rod on the bench that is so long; on what it was measured on."),
            right=False,
            typed=False,
        ),
    )


class MemberDelegate(GridDelegate):
    """Paints the letter of a member with its dash, and the sign of its verdict."""

    case: RangeCase

    def paint_sign(self, painter: QPainter, rect: QRect, index: Index) -> QRect:
        """The badge in the first column, the sign before the text of the last."""
        grid = self._grid
        row = grid.row(index.row()) if index.row() < grid.count else None
        if not isinstance(row, MemberRow):
            return rect
        tokens = self._place.theme.tokens
        if index.column() == LETTER:
            colour, dash = self.case.style(index.row())
            middle = QPointF(rect.center().x(), rect.center().y() + 0.5)
            painter.setPen(theming.pen(colour, theming.IN_HAND, dash))
            half = px(26)
            painter.drawLine(middle - QPointF(half, 0.0), middle + QPointF(half, 0.0))
            badge(painter, middle, row.letter, colour, tokens.card, tokens.ink)
            return QRect()
        if index.column() == LENGTH_AT and row.by_hand:
            at = QPointF(rect.left() + px(7), rect.center().y() + 0.5)
            paint_sign(painter, at, Sign.PENCIL, tokens.ink)
        if index.column() == len(grid.headings) - 1 and row.standing is not None:
            sign, role = SIGNS[row.standing]
            colour = {
                "soft": tokens.soft,
                "good": tokens.good,
                "warn": tokens.warn,
                "bad": tokens.bad,
            }[role]
            at = QPointF(rect.left() + px(SIGN_ROOM) / 2.0 + 3.0, rect.center().y() + 0.5)
            paint_sign(painter, at, sign, colour)
            return rect.adjusted(px(SIGN_ROOM) - 2, 0, 0, 0)
        return rect


class MemberTable(Grid):
    """The table of members. The row of the current cell is the member that is looked at.

    left_out: names of the columns that had no room. fitted(): they are others.
    """

    fitted = Signal()

    def __init__(self, case: RangeCase) -> None:
        self._case = case
        self.left_out: tuple[str, ...] = ()
        super().__init__(
            MemberModel(case),
            case.place,
            tr("Members of the range"),
            tr("Weights and rods can be typed; Delete takes a member out."),
            MemberDelegate,
        )
        assert isinstance(self._delegate, MemberDelegate)
        self._delegate.case = case
        case.turned.connect(self._show_turned)

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Look at the member of the row."""
        super().currentChanged(current, previous)
        if 0 <= current.row() < self.grid.count:
            self._case.turn_to(current.row())

    def selectionChanged(self, selected: QItemSelection, deselected: QItemSelection) -> None:
        """Paint the rows anew."""
        super().selectionChanged(selected, deselected)
        self.viewport().update()

    def _needed(self, column: int) -> int:
        """Width at which nothing of a column is cut off, a verdict neither [px]."""
        needed = super()._needed(column)
        if column != len(self.grid.headings) - 1:
            return needed
        metrics = QFontMetrics(theming.font())
        texts = [self.grid.cell(row, column).text for row in range(self.grid.count)]
        widest = max((metrics.horizontalAdvance(text) for text in texts), default=0)
        return max(needed, widest + px(SIGN_ROOM) + 2 * PAD)

    def _spread(self) -> None:
        """Give columns their widths, and tell which had no room."""
        super()._spread()
        names = tuple(
            heading.text for i, heading in enumerate(self.grid.headings) if self.isColumnHidden(i)
        )
        if names != self.left_out:
            self.left_out = names
            self.fitted.emit()

    def _show_turned(self) -> None:
        row = self.currentIndex().row()
        if row != self._case.index and self._case.index < self.grid.count:
            self.go_to(self._case.index, max(self.currentIndex().column(), WEIGHT_AT))
