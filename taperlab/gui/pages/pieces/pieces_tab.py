"""The tab Pieces: what each piece of a head is cut from, and how well that fits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtGui import QFont
from PySide6.QtWidgets import QComboBox, QSizePolicy, QWidget

from taperlab.gui.kit.open_area import OpenArea
from taperlab.gui.kit.widgets import (
    GAP,
    Card,
    Link,
    Remark,
    in_column,
    in_row,
    label,
    show_only_if,
)
from taperlab.gui.pages.pieces.bars_view import BarRow, BarsView
from taperlab.gui.pages.pieces.built_drawing import BuiltDrawing
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.gui.pages.pieces.on_the_way import OnTheWay
from taperlab.gui.pages.pieces.planned_drawing import drawn_head
from taperlab.gui.table.grid import Grid
from taperlab.gui.table.grid_model import EMPTY, GridCell, GridModel, GridRow, Heading
from taperlab.model.segment import Segment
from taperlab.shop.errors import WeightError
from taperlab.shop.pieces.finished import places
from taperlab.shop.pieces.material import Fit
from taperlab.shop.pieces.outcome import Piece, Place, Short
from taperlab.shop.pieces.welding import weld_problems
from taperlab.shop.pieces.words import (
    cut_words,
    fit_words,
    piece_name,
    scale_words,
    short_piece_name,
    stretch_words,
)
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, OnTape, Sentence, Weight, counted, in_a_row
from taperlab.units.show import show, shown_unit
from taperlab.units.words import capital

NUMBER, PIECE, FROM, CUT, FINISHED, FIT, AS_CUT, IN_HEAD = range(8)


@dataclass(frozen=True, slots=True)
class PieceRow(GridRow):
    """A row, with the rows of the design that it is for, and its piece; or why there is none."""

    place: Place
    piece: Piece | None
    why: Sentence = NOTHING

    @property
    def of(self) -> object:
        """The piece, or where one is lacking."""
        return self.piece or self.place


class PiecesModel(GridModel[PieceRow]):
    """A row for each piece of the head that is looked at; what it is cut from can be typed."""

    def __init__(self, case: PiecesCase) -> None:
        self.case = case
        self.head = 0
        super().__init__(self._headings(case.system))

    def look_at(self, head: int) -> None:
        """Show the pieces of a head, by its number."""
        self.head = head
        self.refresh()

    def refresh(self) -> None:
        """Show what is known now."""
        found, system = self.case.study, self.case.system
        self.set_headings(self._headings(system))
        rows: list[PieceRow] = []
        if found is not None and found.heads:
            self.head = min(self.head, len(found.heads) - 1)
            for i, each in enumerate(found.of_head(self.head)):
                place = each.head, each.row, each.last_row
                rows.append(PieceRow(self._cells(i, each, system), place, each))
            # What can't be cut stands in its place, so that its tie can be changed.
            for place, short in found.lacking(self.head):
                rows.append(PieceRow(self._lacking(place, short), place, None, short.why))
            for place, segment in found.left_out(self.head):
                rows.append(PieceRow(self._left_out(segment), place, None))
            rows.sort(key=lambda each: each.place)
        self.show_rows(rows)

    def _lacking(self, place: Place, short: Short) -> tuple[GridCell, ...]:
        found, read = self.case.study, self.case.place.read
        assert found is not None
        segment = found.heads[place[0]].line.segments[place[1]]
        part, why = read(Sentence("{part}", part=segment.part)), read(short.why)
        return (
            EMPTY,
            GridCell(capital(part)),
            GridCell(
                segment.stock or "–", "strong" if segment.stock else "soft", why, segment.stock
            ),
            GridCell("–", "soft"),
            GridCell("–", "soft"),
            GridCell(tr("No stock"), "warn", why),
            EMPTY,
            EMPTY,
        )

    def _left_out(self, segment: Segment) -> tuple[GridCell, ...]:
        """What is not built stands there too, so that it can be tied."""
        part = self.case.place.read(Sentence("{part}", part=segment.part))
        soft = GridCell("–", "soft")
        why = GridCell(tr("Not cut"), "soft", tr("The head is built without it, unless it is tied"))
        return (EMPTY, GridCell(capital(part), "soft"), soft, soft, soft, why, EMPTY, EMPTY)

    def _headings(self, system: System) -> tuple[Heading, ...]:
        unit = shown_unit(WEIGHT, system)

        def read(text: str, name: str, width: int, tip: str, *, spare: bool = False) -> Heading:
            return Heading(text, name, width, tip, typed=False, spare=spare)

        return (
            Heading("", tr("number"), 30, tr("From the fly end"), typed=False),
            Heading(tr("Piece"), tr("piece"), 96, tr("What it is for"), right=False, typed=False),
            Heading(
                tr("From"),
                tr("from"),
                96,
                tr(
                    "What it is cut from. Type the name or the kind of stock to tie it; cleared, "
                    "it is left to the plan."
                ),
                right=False,
            ),
            read(tr("Cut"), tr("cut length"), 80, tr("With half a lap at each weld, and folds")),
            read(tr("Finished"), tr("finished length"), 80, tr("Its share of the head")),
            Heading(
                tr("Fit"),
                tr("fit"),
                96,
                tr("How near its weight per length is to the design’s"),
                right=False,
                typed=False,
            ),
            read(
                tr("As cut ({unit})").format(unit=unit),
                tr("weight as it is cut"),
                64,
                tr("On the scale before any bevel"),
                spare=True,
            ),
            read(
                tr("Joined ({unit})").format(unit=unit),
                tr("weight in the head"),
                64,
                tr("On the scale once its ends are worked"),
                spare=True,
            ),
        )

    def _cells(self, number: int, piece: Piece, system: System) -> tuple[GridCell, ...]:
        found, read = self.case.study, self.case.place.read
        assert found is not None
        head = found.heads[piece.head]
        tied = head.line.segments[piece.row].stock
        rows = head.line.segments[piece.row : piece.last_row + 1]
        drawn = sum(each.length for each in rows)
        # In one word, so that a narrow window shows the names of stock whole; below it is in full.
        short = Sentence("Good") if piece.fit is Fit.GOOD else Sentence("{fit}", fit=piece.fit)
        fit = capital(read(short))
        if piece.turned:
            fit = read(Sentence("{fit}, turned", fit=fit))
        about = read(fit_words(piece, drawn if piece.steps == 1 else piece.finished))
        poor = piece.fit in (Fit.COMPROMISE, Fit.NONE)

        def tape(length: float) -> str:
            return read(Sentence("{length}", length=OnTape(length)))

        tie = tr("Tied by hand") if tied else tr("Proposed; type another name to tie it")
        return (
            GridCell(str(number + 1), "soft"),
            GridCell(
                capital(read(short_piece_name(piece, head))), tip=read(piece_name(piece, head))
            ),
            GridCell(piece.stock.name, "strong" if tied else "", tie, tied or piece.stock.name),
            GridCell(tape(piece.cut), "strong", read(cut_words(piece))),
            GridCell(tape(piece.finished)),
            GridCell(fit, "warn" if poor else "", about),
            GridCell(
                show(piece.cut_mass, WEIGHT, system, unit=False), tip=read(scale_words(piece))
            ),
            GridCell(show(piece.mass, WEIGHT, system, unit=False), tip=read(scale_words(piece))),
        )

    def adding_cell(self, column: int) -> GridCell:
        """Nothing is added here."""
        return EMPTY

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Tie a piece to stock."""
        return self.case.tie(self.row(row).place, text)

    def delete_rows(self, rows: Sequence[int]) -> None:
        """Delete leaves to the plan what the pieces are cut from."""
        for place in [self.row(each).place for each in rows]:
            self.case.tie(place, "")


class PiecesTab(QWidget):
    """The stock that a head is cut from, and below it its pieces."""

    def __init__(self, case: PiecesCase) -> None:
        super().__init__()
        self.case = case
        self.head = QComboBox()
        self.head.setAccessibleName(tr("Head"))
        self.model = PiecesModel(case)
        self._rows: list[BarRow] = []
        self.drawing = BuiltDrawing(case.place.theme)
        self.drawing.setAccessibleName(tr("The head, piece by piece"))
        self.table = Grid(
            self.model,
            case.place,
            tr("Pieces"),
            tr("From the fly end. What a piece is cut from can be typed; Delete leaves it open."),
        )
        # As high as its rows: all of the tab scrolls.
        self.table.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.bars = BarsView(case, tr("Where the pieces lie on the stock"), hatched=False)
        self.total = label("", weight=QFont.Weight.DemiBold, wrap=True)
        self.way = label("", role="soft", wrap=True)
        self.welds = Remark("warn")
        self.welds.setContentsMargins(13, 0, 13, 2)
        self.problem = Remark("soft")
        self.which = label(tr("Pieces of"))
        self.top = QWidget()
        in_row(self.which, (self.head, 1), spacing=8, of=self.top)
        self.top.setContentsMargins(13, 6, 13, 2)
        drawn = Card(tr("The head, piece by piece"), spacing=2)
        drawn.body.setContentsMargins(8, 8, 8, 6)
        drawn.add(self.top, self.drawing)
        self._cut = cut = Card(tr("Where the pieces lie on the stock"))
        cut.body.setContentsMargins(1, 1, 1, 1)
        self.bars.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        cut.add(self.bars)
        listed = Card(tr("Pieces"))
        listed.body.setContentsMargins(1, 1, 1, 6)
        for each in (self.total, self.way):
            each.setContentsMargins(13, 2, 13, 2)
        listed.add(self.table, self.total, self.way, self.welds)
        self.on_the_way = OnTheWay(case)
        self.work = QWidget()
        in_column(drawn, cut, listed, self.on_the_way, None, spacing=GAP, of=self.work)
        self.area = OpenArea(self.work, tr("Work of the pieces"))
        self.empty = Card(tr("Nothing to show yet"))
        self.to_shelf = Link(tr("Add stock"), tr("Turn to the table of stock"))
        self.empty.add(self.problem, in_row(self.to_shelf, None))
        in_column(self.empty, (self.area, 1), of=self)
        self.head.currentIndexChanged.connect(self._look)
        self.table.selectionModel().currentChanged.connect(lambda *_: self._show_way())
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show what is known now."""
        found = self.case.study
        self.problem.say(self.case.place.read(self.case.problem))
        self.area.setVisible(found is not None)
        self.empty.setVisible(bool(self.case.problem))
        self.top.setVisible(found is not None and len(found.heads) > 1)
        names = [each.name for each in found.heads] if found is not None else []
        if names != [self.head.itemText(i) for i in range(self.head.count())]:
            self.head.blockSignals(True)
            at = max(self.head.currentIndex(), 0)
            self.head.clear()
            self.head.addItems(names)
            self.head.setCurrentIndex(min(at, len(names) - 1))
            self.head.blockSignals(False)
        self._look()

    def _look(self) -> None:
        self.model.look_at(max(self.head.currentIndex(), 0))
        found = self.case.study
        rows: list[BarRow] = []
        if found is not None:
            numbered = list(enumerate(found.of_head(self.model.head), 1))
            for stock in dict.fromkeys(each.stock.key for _, each in numbered):
                mine = [(i, each) for i, each in numbered if each.stock.key == stock]
                cuts = tuple((p.begin, p.begin + p.cut, str(i)) for i, p in mine)
                short = counted("{count} piece", "{count} pieces", len(mine))
                said = in_a_row(stretch_words(piece, number) for number, piece in mine)
                rows.append(BarRow(mine[0][1].stock, cuts, said, short))
        self._rows = rows
        self._show_way()
        self._show_welds()
        self._show_total()
        self.on_the_way.look_at(self.model.head)

    def _show_total(self) -> None:
        """Say what the head comes to with all its pieces; nothing while it lacks one."""
        found = self.case.study
        points = found.checkpoints(self.model.head) if found is not None and found.heads else ()
        said = NOTHING
        if points and found is not None:
            said = Sentence(
                "Head: {length}, {mass} {reach}",
                length=OnTape(places(found, self.model.head)[-1]),
                mass=Weight(points[-1].mass),
                reach=WeightError(points[-1].reach),
            )
        self.total.setText(self.case.place.read(said))
        self.total.setVisible(bool(said))

    def _draw(self, marked: int) -> None:
        """Draw the head with one of its rows marked; −1 for none."""
        found = self.case.study
        if found is not None and found.heads:
            rows = [self.model.row(each) for each in range(self.model.count)]
            places_of = [(each.place, each.piece) for each in rows]
            drawn_head(
                self.drawing, found, self.model.head, places_of, marked, self.case.place.read
            )

    def _show_way(self) -> None:
        """Say how the piece of the current row is cut, and mark it in the drawing."""
        row, read = self.table.currentIndex().row(), self.case.place.read
        number = ""
        said = tr("Choose a piece to be told how it is cut.")
        if 0 <= row < self.model.count:
            piece, said = self.model.row(row).piece, read(self.model.row(row).why)
            if piece is not None:
                said = f"{read(cut_words(piece))} {read(scale_words(piece))}"
                said = f"{said} {capital(self.model.tip(row, FIT))}"
            number = self.model.cell(row, NUMBER).text
        self.way.setText(said)
        self.bars.show_bars(self._rows, number)
        show_only_if(self._cut, bool(self._rows))
        self._draw(row if row < self.model.count else -1)

    def _show_welds(self) -> None:
        """Name each joint that welds coatings of two families."""
        found, read = self.case.study, self.case.place.read
        problems: dict[int, Sentence] = {}
        if found is not None and found.heads:
            head = min(self.model.head, len(found.heads) - 1)
            problems = weld_problems(found.heads[head].line, list(found.of_head(head)))
        said = [
            read(Sentence("Joint {number}: {problem}", number=number, problem=each))
            for number, each in problems.items()
        ]
        self.welds.say("\n".join(said))

    def commit(self) -> None:
        """Take over what is being typed."""
        self.table.commit_open_editor()
