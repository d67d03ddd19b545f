"""What is worth a remark about pieces: stock that is short, fits badly, or does not weld."""

from __future__ import annotations

from collections.abc import Iterator

from taperlab.shop.pieces.material import Fit
from taperlab.shop.pieces.outcome import PiecesStudy
from taperlab.shop.pieces.welding import weld_problems
from taperlab.shop.pieces.words import lacking_words, piece_name, weigh_first_words
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import Sentence, WeightPerLength


def remarks(study: PiecesStudy) -> tuple[Finding, ...]:
    """What is worth a remark, each once however many heads it concerns."""
    found: dict[str, Finding] = {}
    for each in (*_short(study), *_unlike(study), *_fits(study), *_unweighed(study)):
        found.setdefault(str(each.sentence), each)
    return tuple(found.values())


def _short(study: PiecesStudy) -> Iterator[Finding]:
    for each in lacking_words(study):
        yield Finding(Level.STOP, each)


def _unlike(study: PiecesStudy) -> Iterator[Finding]:
    """Neighbours that are welded, of coatings of two families."""
    for number, head in enumerate(study.heads):
        for found in weld_problems(head.line, list(study.of_head(number))).values():
            yield Finding(Level.CAUTION, found)


def _fits(study: PiecesStudy) -> Iterator[Finding]:
    for each in study.pieces:
        if each.fit in (Fit.COMPROMISE, Fit.NONE):
            yield Finding(
                Level.CAUTION,
                Sentence(
                    "The {piece} from {stock} is {fit}: {worst} off where it is off most.",
                    piece=piece_name(each, study.heads[each.head]),
                    stock=each.stock.name,
                    fit=each.fit,
                    worst=WeightPerLength(abs(each.worst)),
                ),
            )


def _unweighed(study: PiecesStudy) -> Iterator[Finding]:
    for number in range(len(study.heads)):
        if said := weigh_first_words(study, number):
            yield Finding(Level.NOTE, said)
