"""The rows of the table of tips, in the order that a person chose, and what is typed into them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from taperlab.edits.lines import rename_line
from taperlab.edits.values import set_length
from taperlab.gui.kit.range_bar import Range
from taperlab.gui.pages.tips.case import TipsCase
from taperlab.gui.pages.tips.columns import COLUMNS, DEPTHS, DRAWN, MARK, NAME, SPOKEN, column
from taperlab.gui.pages.tips.depth_scale import DepthScale
from taperlab.gui.pages.tips.sketch import Sketch, scale_of
from taperlab.gui.table.grid_model import GridCell, GridModel, GridRow, Heading
from taperlab.gui.table.spoken import in_full_words
from taperlab.shop.joints import step_words
from taperlab.shop.tips.study import TipRow
from taperlab.shop.tips.words import Verdict, verdict
from taperlab.shop.water.words import depth_in_short
from taperlab.units.kinds import LENGTH, System
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import NOTHING, Sentence


@dataclass(frozen=True, slots=True)
class TipGridRow(GridRow):
    """One tip in the table, and what is said of it."""

    tip: TipRow
    verdict: Verdict

    @property
    def of(self) -> object:
        """Its line."""
        return self.tip.line


class TipsModel(GridModel[TipGridRow]):
    """The tips of the study, sorted. Names can be typed, and the length of a tip of one piece.

    scale: of the depths of all of them.
    """

    def __init__(self, case: TipsCase) -> None:
        super().__init__(_headings(case.system), parent=case)
        self.case = case
        self.sorted_by = column(DEPTHS)
        self.descends = True
        self.scale = DepthScale()

    @property
    def rows(self) -> tuple[TipRow, ...]:
        """The tips, as they stand."""
        return tuple(row.tip for row in self._shown)

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """What is said of each."""
        return tuple(row.verdict for row in self._shown)

    def show_study(self) -> None:
        """Show the rows of the study, sorted."""
        study, system = self.case.study, self.case.system
        rows = list(study.rows) if study is not None else []
        sorts = COLUMNS[self.sorted_by].sorts
        assert sorts is not None
        rows.sort(key=lambda row: _in_order(sorts(row)), reverse=self.descends)
        self.scale = DepthScale.of(rows, system)
        self.set_headings(_headings(system))
        self.show_rows([self._row_of(row) for row in rows])

    def _row_of(self, row: TipRow) -> TipGridRow:
        study = self.case.study
        assert study is not None
        said = verdict(row, study)
        read = self.case.place.read
        notes = "\n".join(filter(None, (read(said.words), row.line.note)))
        step = read(step_words(row.joint))
        cells = tuple(
            GridCell(each.says(row, self.case.system), tip=step if each.key == "step" else notes)
            for each in COLUMNS
        )
        return TipGridRow(cells, row, said)

    def verdict_text(self, row: int) -> str:
        """The verdict on a tip, in the person's units."""
        return self.case.place.read(self.row(row).verdict.words)

    def range_of(self, row: int) -> Range:
        """The depth of a tip as a bar."""
        tip = self.row(row).tip
        band = tip.water.band
        words = self.case.place.read(depth_in_short(tip.water))
        return Range(band.low, band.high, tip.middle, words)

    def sketch(self, row: int) -> Sketch:
        """A tip with the front of the head behind it, on the scale of all of them."""
        study = self.case.study
        assert study is not None
        return Sketch(self.row(row).tip.analysis.curves, study.head.curves, *scale_of(study))

    def heading_text(self, place: int) -> str:
        """What stands above a column; that of the depth with its unit, above its scale."""
        shown = COLUMNS[place]
        if shown.key != DEPTHS:
            return tr(shown.name)
        unit = shown.unit(self.case.system)
        return tr("{name}, {unit}").format(name=tr(shown.name), unit=unit)

    def spoken(self, row: int, place: int) -> str:
        """What a screen reader says of a cell."""
        tip, shown, system = self.row(row).tip, COLUMNS[place], self.case.system
        if shown.key == NAME:
            return f"{tip.line.name}. {self.verdict_text(row)}"
        if shown.key in (MARK, DRAWN):
            laid = tip in self.case.chosen
            told = tr("{tip}, laid over") if laid else tr("{tip}, not laid over")
            return told.format(tip=tip.line.name)
        said = self.cell(row, place).text
        value = shown.sorts(tip) if shown.sorts is not None else ""
        if shown.key in SPOKEN and shown.kind is not None and isinstance(value, float):
            said = in_full_words(value, shown.kind, system)
        elif shown.key != DEPTHS:
            said = f"{said} {shown.unit(system)}"
        return f"{tip.line.name}, {tr(shown.name)}: {said}"

    # -- typing ---------------------------------------------------------------------------------

    def commit(self, row: int, place: int, text: str) -> Sentence:
        """Take a typed name or length; gives back what is wrong with it, or nothing."""
        if not 0 <= row < self.count or text == self.edit_text(row, place):
            return NOTHING
        line, document = self.row(row).tip.line, self.case.place.document
        if COLUMNS[place].key == NAME:
            outcome = document.apply(rename_line, line.key, text, initiator=self)
        elif len(line.segments) != 1:
            return Sentence(
                "{tip} is of {count} pieces: type their lengths on the page Shape.",
                tip=line.name,
                count=str(len(line.segments)),
            )
        else:
            try:
                length = parse(text, LENGTH, self.case.system)
            except Unreadable as problem:
                return problem.sentence
            outcome = document.apply(set_length, line.key, 0, length, initiator=self)
        if outcome:  # why it was refused is said by whoever asked
            self.case.place.host.tell(outcome)
        return outcome.refused


def _headings(system: System) -> tuple[Heading, ...]:
    return tuple(
        Heading(
            each.title(system),
            each.title(system),
            each.width,
            tr(each.help),
            right=each.key not in (MARK, DRAWN, NAME, DEPTHS),
            typed=each.typed,
            spare=each.spare,
        )
        for each in COLUMNS
    )


def _in_order(value: float | str) -> tuple[bool, float, str]:
    if isinstance(value, str):
        return False, 0.0, value
    return math.isnan(value), 0.0 if math.isnan(value) else value, ""
