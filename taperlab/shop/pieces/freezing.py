"""From a plan to heads that are built: what is cut of whole heads, and what they are made of.

A head that lacks a piece is not begun, and nothing of it is cut.
"""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.build import BuildPiece, HeadBuild
from taperlab.shop.pieces.outcome import Piece, PiecesStudy
from taperlab.units.sentence import NOTHING, Sentence, Several


def whole_heads(study: PiecesStudy) -> tuple[int, ...]:
    """The numbers of the heads that have all their pieces."""
    return tuple(number for number, build in enumerate(study.builds) if build is not None)


def short_heads(study: PiecesStudy) -> tuple[int, ...]:
    """The numbers of the heads that lack a piece."""
    return tuple(number for number, build in enumerate(study.builds) if build is None)


def cuts_of(study: PiecesStudy) -> dict[str, list[tuple[float, float]]]:
    """What is cut for whole heads: by the key of the stock, from where to where on it [m]."""
    whole = set(whole_heads(study))
    cuts: dict[str, list[tuple[float, float]]] = {}
    for each in study.pieces:
        if each.head in whole:
            cuts.setdefault(each.stock.key, []).append((each.begin, each.begin + each.cut))
    return cuts


def frozen(study: PiecesStudy) -> tuple[HeadBuild, ...]:
    """The builds of all whole heads, as they are begun; an edit gives them their keys."""
    found = []
    for number in whole_heads(study):
        head = study.heads[number]
        pieces = tuple(_frozen(each) for each in study.of_head(number))
        line = head.line
        found.append(HeadBuild("", line.key, head.copy, line, study.question.rules, pieces))
    return tuple(found)


def _frozen(piece: Piece) -> BuildPiece:
    begin, end = piece.begin, piece.begin + piece.cut
    return BuildPiece(
        piece.row,
        piece.last_row,
        replace(piece.stock.remainder(begin, end), cost=None),
        piece.step,
        piece.steps,
        begin,
        piece.turned,
        piece.ends[1].spare,
    )


def short_words(study: PiecesStudy) -> Sentence:
    """Which heads are left out because they lack a piece; nothing where none is."""
    short = short_heads(study)
    if not short:
        return NOTHING
    names = Several(tuple(Sentence("{head}", head=study.heads[each].name) for each in short))
    if not whole_heads(study):
        return Sentence("No head has all its pieces, so nothing is cut.")
    return Sentence("Short of stock, and not cut: {heads}.", heads=names)
