"""What is worth a remark about pieces: short stock, bad fits and welds, steps, ends alike."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

from taperlab.physics.profile import Profile
from taperlab.shop.pieces.material import Fit
from taperlab.shop.pieces.outcome import PiecesStudy
from taperlab.shop.pieces.welding import weld_problems
from taperlab.shop.pieces.words import all_to_weigh, lacking_words, left_out_words, piece_name
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import Ratio, Sentence, Value, Weight, WeightPerLength

ALIKE = 1.2
"""Ends of a piece whose weights per length differ by less are told apart by a caliper alone."""


@lru_cache(maxsize=1)
def remarks(study: PiecesStudy) -> tuple[Finding, ...]:
    """What is worth a remark, each once however many heads it concerns.

    Of the study that was asked about last it is remembered, whoever looks at it again.
    """
    found: dict[str, Finding] = {}
    about_pieces = (*_fits(study), *_steps(study), *_ends_alike(study))
    for each in (
        *_short(study),
        *_unlike(study),
        *_heavier(study),
        *about_pieces,
        *_left_out(study),
        *_unweighed(study),
    ):
        found.setdefault(str(each.sentence), each)
    return tuple(found.values())


def _short(study: PiecesStudy) -> Iterator[Finding]:
    for each in lacking_words(study):
        yield Finding(Level.STOP, each)


def _left_out(study: PiecesStudy) -> Iterator[Finding]:
    for each in left_out_words(study):
        yield Finding(Level.NOTE, each)


def _unlike(study: PiecesStudy) -> Iterator[Finding]:
    """Neighbours that are welded, of coatings of two families."""
    for number, head in enumerate(study.heads):
        for found in weld_problems(head.line, list(study.of_head(number))).values():
            yield Finding(Level.CAUTION, found)


def _heavier(study: PiecesStudy) -> Iterator[Finding]:
    """Heads that come out heavier than designed by tubes that stay on, by cores and by loops."""
    for number, head in enumerate(study.heads):
        ends = [end for each in study.of_head(number) for end in each.ends]
        cores = sum(each.core * each.strip for each in ends)
        if (more := head.added + cores) > study.question.rules.scale:
            designed = Profile.of(head.line).total_mass - head.added
            yield Finding(
                Level.CAUTION,
                Sentence(
                    "{head} comes to {planned}, where {designed} was designed: tubes that stay on, "
                    "cores in splices and loops add {more}. If that is not meant, design it "
                    "lighter by as much.",
                    head=head.line.name,
                    planned=Weight(designed + more),
                    designed=Weight(designed),
                    more=Weight(more),
                ),
            )


def _fits(study: PiecesStudy) -> Iterator[Finding]:
    for each in study.pieces:
        values: dict[str, Value] = {
            "piece": piece_name(each, study.heads[each.head]),
            "stock": each.stock.name,
            "worst": WeightPerLength(abs(each.worst)),
        }
        if each.fit is Fit.COMPROMISE:
            said = Sentence(
                "The {piece} from {stock} is a compromise: {worst} off where it is off most.",
                **values,
            )
        elif each.fit is Fit.NONE:
            said = Sentence(
                "The {piece} from {stock} does not fit: {worst} off where it is off most.", **values
            )
        else:
            continue
        yield Finding(Level.CAUTION, said)


def _steps(study: PiecesStudy) -> Iterator[Finding]:
    """Joints where the heavier piece outweighs the lighter by more than the rules allow."""
    largest = study.question.rules.largest_step
    for number, head in enumerate(study.heads):
        for ahead, behind in pairwise(study.of_head(number)):
            low, high = sorted((ahead.rear, behind.front))
            if high > largest * low * (1.0 + 1e-6):
                yield Finding(
                    Level.CAUTION,
                    Sentence(
                        "Between the {ahead} and the {behind} the joint step is {step}, beyond "
                        "the {largest} that was asked for.",
                        ahead=piece_name(ahead, head),
                        behind=piece_name(behind, head),
                        step=Ratio(high / low),
                        largest=Ratio(largest),
                    ),
                )


def _ends_alike(study: PiecesStudy) -> Iterator[Finding]:
    """Tapered pieces with an end that could be taken for the other."""
    for each in study.pieces:
        low, high = sorted((each.front, each.rear))
        if not each.stock.is_level and high < ALIKE * low:
            yield Finding(
                Level.NOTE,
                Sentence(
                    "Either end of the {piece} from {stock} could be taken for the other, at "
                    "{front} and {rear}: mark its fly end before it is cut.",
                    piece=piece_name(each, study.heads[each.head]),
                    stock=each.stock.name,
                    front=WeightPerLength(each.front),
                    rear=WeightPerLength(each.rear),
                ),
            )


def _unweighed(study: PiecesStudy) -> Iterator[Finding]:
    if study.is_begun:
        return  # its pieces are weighed as they are cut
    for said, _ in all_to_weigh(study):
        yield Finding(Level.NOTE, said)
