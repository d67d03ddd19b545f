"""The stock on the shelf as rows: what stands in the cells, and what typing into them does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from taperlab.edits import stock as edits
from taperlab.edits.edited import Refused, Step, together
from taperlab.files.cells import too_long
from taperlab.files.problem import FileProblem, TableProblem
from taperlab.files.shelf import shelf_of, shelf_rows
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.gui.table.grid_model import EMPTY, GridCell, GridModel, GridRow, Heading
from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.segment import Part
from taperlab.model.stock import Stock
from taperlab.shop.errors import CONFIDENT
from taperlab.shop.pieces.material import per_length
from taperlab.shop.pieces.words import piece_name
from taperlab.units.kinds import COST, DIAMETER, LENGTH, WEIGHT_PER_LENGTH, Kind, System
from taperlab.units.language import tr
from taperlab.units.parse import Unreadable, parse
from taperlab.units.sentence import NOTHING, OnTape, Sentence
from taperlab.units.show import show, show_error, shown_unit
from taperlab.units.words import capital

NAME, KIND, COATING, DRAWN, LEFT, DIAMETERS, LABEL, WEIGHED, PLACE, PRICE, MEANT = range(11)

NEW_LENGTH, NEW_DIAMETER, NEW_DENSITY = 60.0 * FOOT, 0.05 * INCH, 800.0
"""What a new piece of stock is until it is told otherwise, where there is none to be like."""


@dataclass(frozen=True, slots=True)
class StockRow(GridRow):
    """A row, with its stock."""

    stock: Stock

    @property
    def of(self) -> object:
        """The stock, which keeps its place while others come and go; it is told by its key."""
        return self.stock


class ShelfModel(GridModel[StockRow]):
    """A row for each piece of stock; a name typed below adds one."""

    def __init__(self, case: PiecesCase) -> None:
        self.case = case
        super().__init__(self._headings(case.system), adds=True)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show the shelf as it is."""
        system = self.case.system
        self.set_headings(self._headings(system))
        self.show_rows([StockRow(self._cells(each, system), each) for each in self.case.stock])

    def _headings(self, system: System) -> tuple[Heading, ...]:
        per = shown_unit(WEIGHT_PER_LENGTH, system)
        return (
            Heading(tr("Stock"), tr("stock"), 122, tr("What it is called"), right=False),
            Heading(
                tr("Kind"),
                tr("kind"),
                84,
                tr("What may be cut in its place: stock of one kind is alike"),
                right=False,
            ),
            Heading(
                tr("Welds to"),
                tr("coating"),
                64,
                tr("The family of its coating: what it welds to"),
                right=False,
            ),
            Heading(
                tr("To one scale"),
                tr("drawn to one scale"),
                84,
                tr("Length and thickness of what is left; dashed: some was cut off it before"),
                right=False,
                typed=False,
                spare=True,
            ),
            Heading(tr("Left"), tr("left"), 76, tr("How much of it is left")),
            Heading(
                tr("⌀ ({unit})").format(unit=shown_unit(DIAMETER, system)),
                tr("diameter"),
                58,
                tr("How thick it is; a tapered line is told by its segments"),
                spare=True,
            ),
            Heading(
                tr("Label ({unit})").format(unit=per),
                tr("weight per length on its label"),
                62,
                tr("What its label states; believed until a length of it was weighed"),
            ),
            Heading(
                tr("Weighed ({unit})").format(unit=per),
                tr("weight per length as weighed"),
                76,
                tr("What is believed since a length of it was weighed: see below"),
                typed=False,
            ),
            Heading(tr("Where"), tr("where it lies"), 64, tr("Where it lies"), right=False),
            Heading(tr("Cost"), tr("cost"), 46, tr(COST.help), spare=True),
            Heading(
                tr("For piece"),
                tr("pieces it is meant for"),
                62,
                tr("Pieces of the heads to make that the plan cuts from it"),
                right=False,
                typed=False,
                spare=True,
            ),
        )

    def _cells(self, stock: Stock, system: System) -> tuple[GridCell, ...]:
        level = stock.is_level
        believed = per_length(stock)
        weighed = GridCell(tr("not weighed"), "soft")
        if stock.mass_error is not None:
            error = show_error(
                CONFIDENT * stock.mass_error * believed, WEIGHT_PER_LENGTH, system, unit=False
            )
            value = show(believed, WEIGHT_PER_LENGTH, system, unit=False)
            weighed = GridCell(f"{value} {error}")
        label = stock.labelled if stock.labelled is not None else None
        if label is not None:
            labelled = GridCell(show(label, WEIGHT_PER_LENGTH, system, unit=False))
        elif not level:
            labelled = GridCell(tr("tapered"), "soft")
        else:
            told = show(believed, WEIGHT_PER_LENGTH, system, unit=False)
            labelled = GridCell(told, "soft", tr("Of its diameter and density: it has no label"))
        thick = show(stock.front_diameter, DIAMETER, system, unit=False)
        left = self.case.place.read(Sentence("{left}", left=OnTape(stock.whole_length)))
        return (
            GridCell(stock.name, "strong"),
            GridCell(stock.kind),
            GridCell(stock.coating),
            GridCell("", tip=drawn_words(stock, self.case)),
            GridCell(left, edit=show(stock.whole_length, LENGTH, system)),
            GridCell(thick) if level else GridCell(tr("tapered"), "soft"),
            labelled,
            weighed,
            GridCell(stock.place),
            GridCell("" if stock.cost is None else show(stock.cost, COST, system)),
            self._meant(stock),
        )

    def _meant(self, stock: Stock) -> GridCell:
        """The pieces that the plan cuts from it, as the plan numbers them."""
        found, read = self.case.study, self.case.place.read
        cuts = [] if found is None else [each for each in found.plan if each.stock.key == stock.key]
        if found is None or not cuts:
            return EMPTY
        numbers = sorted(cuts[0].pieces)
        pieces = [found.pieces[each] for each in numbers]
        words = [
            read(
                Sentence(
                    "{piece} of {head}",
                    piece=piece_name(each, found.heads[each.head]),
                    head=found.heads[each.head].name,
                )
            )
            for each in pieces
        ]
        text = ", ".join(found.numbered(each) for each in numbers)
        role = "soft" if self.case.is_late else ""
        return GridCell(text, role, "\n".join(map(capital, words)))

    def adding_cell(self, column: int) -> GridCell:
        """What to do in the last row."""
        return GridCell(tr("Add stock…"), "soft") if column == NAME else EMPTY

    def stops(self) -> Sequence[int]:
        """Enter and Tab go through all that can be typed."""
        return [NAME, KIND, COATING, LEFT, DIAMETERS, LABEL, PLACE, PRICE]

    def spoken(self, row: int, column: int) -> str:
        """The drawing is told in words."""
        if column == DRAWN and row < self.count:
            return drawn_words(self.row(row).stock, self.case)
        return super().spoken(row, column)

    # -- typing ----------------------------------------------------------------------------------

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take a typed cell of a row, or the name of one to come."""
        try:
            if row >= self.count:
                return self._add(column, text)
            if text == self.edit_text(row, column):
                return NOTHING
            edit, arguments = self._step(row, column, text)
            return self.case.do(edit, *arguments, initiator=self).refused
        except (Unreadable, Refused) as problem:
            return problem.sentence

    def fill(self, texts: Mapping[tuple[int, int], str]) -> Sentence:
        """Take texts for cells as one step; a name for the row to come adds it."""
        if any(row >= self.count for row, _ in texts):
            return super().fill(texts)
        try:
            steps = [self._step(*place, text) for place, text in texts.items()]
        except (Unreadable, Refused) as problem:
            return Sentence("Nothing was pasted: {problem}", problem=problem.sentence)
        return self.case.do(together, Sentence("Paste"), steps, (), initiator=self).refused

    def _add(self, column: int, text: str) -> Sentence:
        if not text.strip():
            return NOTHING
        if column != NAME:
            return Sentence("Type the name of the stock first, in the first cell.")
        return self.case.do(edits.add_stock, [self._new(text)], initiator=self).refused

    def _new(self, name: str) -> Stock:
        """Level stock of a name, whole, in all else like the last level stock on the shelf."""
        like = next((each for each in reversed(self.case.stock) if each.is_level), None)
        if like is not None:
            return replace(
                like, key="", name=name, mass_error=None, leftover=False, cost=None, note=""
            )
        return Stock(
            part=Part.BELLY,
            length=NEW_LENGTH,
            front_diameter=NEW_DIAMETER,
            rear_diameter=NEW_DIAMETER,
            density=NEW_DENSITY,
            key="",
            name=name,
        )

    def _step(self, row: int, column: int, text: str) -> Step:
        """The edit that a typed cell means. Raises Unreadable and Refused."""
        stock, system = self.row(row).stock, self.case.system
        if column in (NAME, KIND, COATING, PLACE):
            return edits.change_stock, (stock.key, _worded(stock, column, text))
        if column == PRICE:
            cost = parse(text, COST, system) if text.strip() else None
            return edits.change_stock, (stock.key, replace(stock, cost=cost))
        if not stock.is_level or stock.behind:
            raise Refused("A tapered line is cut, or comes as a table: it can’t be typed here.")
        if column == LEFT:
            length = parse(text, LENGTH, system)
            return edits.change_stock, (stock.key, replace(stock, length=length))
        if column == DIAMETERS:
            wide = parse(text, DIAMETER, system)
            believed = per_length(stock)
            new = replace(stock, front_diameter=wide, rear_diameter=wide)
            # What it weighs is better known than how thick it is.
            return edits.change_stock, (stock.key, edits.scaled(new, believed / per_length(new)))
        return edits.change_stock, (stock.key, _labelled(stock, text, WEIGHT_PER_LENGTH, system))

    def delete_rows(self, rows: Sequence[int]) -> None:
        """Take stock off the shelf, as one step."""
        steps: list[Step] = [(edits.delete_stock, (self.row(each).stock.key,)) for each in rows]
        self.case.do(together, Sentence("Delete stock"), steps, ())

    def copied(self, rows: Sequence[int]) -> list[list[str]]:
        """Stock as the table that files have, so that it can be pasted again."""
        return shelf_rows([self.row(each).stock for each in rows], self.case.system)

    def paste(self, text: str) -> Sentence:
        """Add the stock of a table with headings, as a file of one would."""
        if why := too_long(text):
            return why
        try:
            found = shelf_of(text)
        except (TableProblem, FileProblem) as problem:
            return Sentence("Nothing was pasted: {problem}", problem=problem.sentence)
        if not found:
            return Sentence("Nothing was pasted: there is no stock in it.")
        return self.case.do(edits.add_stock, found).refused


def _worded(stock: Stock, column: int, text: str) -> Stock:
    """Stock with other words in a column."""
    words = " ".join(text.split())
    if column == NAME:
        return replace(stock, name=words)
    if column == KIND:
        return replace(stock, kind=words)
    return replace(stock, coating=words) if column == COATING else replace(stock, place=words)


def _labelled(stock: Stock, text: str, kind: Kind, system: System) -> Stock:
    """Stock with another label; what was never weighed is believed to be as its label says."""
    if not text.strip():
        return replace(stock, labelled=None)
    label = parse(text, kind, system)
    new = replace(stock, labelled=label)
    return new if stock.mass_error is not None else edits.scaled(new, label / per_length(stock))


def drawn_words(stock: Stock, case: PiecesCase) -> str:
    """What the drawing of a piece of stock shows."""
    left = OnTape(stock.whole_length)
    shape = Sentence("{left} of level line", left=left)
    if not stock.is_level:
        shape = Sentence("{left} of tapered line, its front at the left", left=left)
    if stock.leftover:
        shape = Sentence("{shape}; some was cut off it before", shape=shape)
    return case.place.read(shape)
