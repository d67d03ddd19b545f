"""From a plan to heads that are built: what is cut of whole heads, and what they are made of.

A head that lacks a piece is not begun, and nothing of it is cut.
"""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.build import BuildPiece, HeadBuild
from taperlab.model.stock import Stock
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.demand import Head
from taperlab.shop.pieces.ends import masses_of
from taperlab.shop.pieces.joining import joined_up
from taperlab.shop.pieces.lying import lying_pieces
from taperlab.shop.pieces.material import Fit
from taperlab.shop.pieces.outcome import Piece, PiecesStudy
from taperlab.units.kinds import LENGTH
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


def thawed(log: HeadBuild) -> PiecesStudy:
    """A build as the study of its plan, for the sheet that it is built by.

    Its stock is the stretch that was cut, with as much ahead of it as there was.
    """
    pieces = []
    for each in lying_pieces(replace(log, joints=())):
        masses = masses_of(each.along, *each.ends)
        piece = each.log
        rear = replace(each.ends[1], spare=each.spare)
        pieces.append(
            Piece(
                0,
                piece.row,
                piece.last_row,
                piece.step,
                piece.steps,
                _with_ahead(piece),
                piece.begin,
                piece.turned,
                each.cut,
                each.cut - sum(end.added for end in (each.ends[0], rear)),
                masses.cut,
                each.mass_without(each.spare),
                0.0,
                Fit.GOOD,
                (each.ends[0], rear),
                each.front,
                each.rear,
                each.per_mass,
            )
        )
    stock = tuple({each.stock.key: each.stock for each in pieces}.values())
    build = joined_up(log.head, pieces, log.rules)
    question = Question(((log.head, 1),), stock, log.rules)
    head = Head(log.head, log.copy, max(1, log.copy))
    return PiecesStudy(question, (head,), tuple(pieces), (), (), True, 0.0, (build,), is_begun=True)


def _with_ahead(piece: BuildPiece) -> Stock:
    """What a piece was cut from, up to its rear: it lies as far behind the front as it did."""
    material = piece.material
    if piece.begin < LENGTH.lowest:
        return material
    return replace(
        material,
        length=piece.begin,
        rear_diameter=material.front_diameter,
        behind=material.sections,
    )
