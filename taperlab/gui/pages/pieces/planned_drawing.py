"""A head as its pieces will make it, on the drawing that it is built by."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from taperlab.gui.pages.pieces.built_drawing import BuiltDrawing, DrawnPiece
from taperlab.model.line import Line
from taperlab.shop.pieces.finished import share_of
from taperlab.shop.pieces.outcome import Piece, PiecesStudy, Place
from taperlab.shop.pieces.words import lap_words
from taperlab.units.sentence import Sentence, counted


def drawn_head(
    drawing: BuiltDrawing,
    found: PiecesStudy,
    head: int,
    rows: Sequence[tuple[Place, Piece | None]],
    marked: int,
    read: Callable[[Sentence], str],
) -> None:
    """Draw a head with the piece of one row marked; what no stock makes, as it was designed."""
    line, build = found.heads[head].line, found.builds[head]
    laps = [0.0, *(each.overlap for each in build.joints)] if build is not None else []
    drawn: list[DrawnPiece] = []
    for at, ((_, first, last), piece) in enumerate(rows):
        sections = line.segments[first : last + 1]
        if piece is not None:
            sections = tuple(share_of(piece, found.heads[head]))
        stiff = laps[at] if at < len(laps) else 0.0
        there = piece is not None
        name = str(sum(each.is_on for each in drawn) + 1) if there else ""
        drawn.append(DrawnPiece(sections, stiff, is_on=there, is_now=at == marked, name=name))
    words = counted(
        "{count} piece from the fly end.", "{count} pieces from the fly end.", len(drawn)
    )
    drawing.show_head(drawn, read(words), loops=loops_of(line), lap=read(lap_words(laps)))


def loops_of(line: Line) -> tuple[bool, bool]:
    """Whether there is a loop at the fly end, and at the rod end."""
    fly, rod = (bool(each.fold or each.mass) for each in (line.front_loop, line.rear_loop))
    return fly, rod
