"""What is said of pieces: how each is cut, how the head is built, what to do first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from taperlab.model.segment import Part
from taperlab.model.stock import Stock
from taperlab.shop.errors import CONFIDENT, ShareError, WeightError
from taperlab.shop.pieces.as_built import Known
from taperlab.shop.pieces.building import UNWEIGHED, Build, Checkpoint, batches, weakest
from taperlab.shop.pieces.demand import Head
from taperlab.shop.pieces.outcome import Piece, PiecesStudy, Short
from taperlab.shop.pieces.to_weigh import how_much, is_worth_weighing
from taperlab.units.kinds import SMALL_WEIGHT
from taperlab.units.sentence import (
    NOTHING,
    Length,
    OnTape,
    Quantity,
    Sentence,
    Several,
    Share,
    Value,
    Weight,
    WeightPerLength,
)

_NO_DIFFERENCE = 1e-9

SEVERAL = 4
"""More pieces than this are told by the first and the last."""


def piece_name(piece: Piece, head: Head) -> Sentence:
    """What a piece is for: its part, and its number where a taper is made of several."""
    part = head.line.segments[piece.row].part
    if piece.steps == 1:
        return Sentence("{part}", part=part)
    return Sentence(
        "{part}, step {number} of {count}", part=part, number=piece.step + 1, count=piece.steps
    )


def short_piece_name(piece: Piece, head: Head) -> Sentence:
    """The same for a narrow column: ``front taper 1/4``."""
    part = head.line.segments[piece.row].part
    if piece.steps == 1:
        return Sentence("{part}", part=part)
    return Sentence("{part} {number}/{count}", part=part, number=piece.step + 1, count=piece.steps)


def lacking_words(study: PiecesStudy) -> list[Sentence]:
    """What can't be cut, of which head, and why; the same of several heads is told once."""
    told: dict[tuple[str, str, Part], list[Head]] = {}
    short: dict[tuple[str, str, Part], Short] = {}
    for each in study.short:
        for number, row, _ in each.places:
            head = study.heads[number]
            key = each.kind, str(each.why), head.line.segments[row].part
            told.setdefault(key, []).append(head)
            short[key] = each
    said = []
    for key, heads in told.items():
        of = Sentence("{head}", head=heads[0].name)
        if len(heads) > 1:
            of = Sentence("{count} heads", count=len(heads))
        kind, why = short[key].told, short[key].why
        said.append(
            Sentence("{part} of {of}, {kind}: {why}", part=key[2], of=of, kind=kind, why=why)
        )
    return said


def left_out_words(study: PiecesStudy) -> list[Sentence]:
    """What of a design is not built, each once."""
    found: dict[str, Sentence] = {}
    for number, head in enumerate(study.heads):
        for _, segment in study.left_out(number):
            said = Sentence(
                "The {part} of {line} is not cut: the head is built without it, unless it is tied "
                "to a stock.",
                part=segment.part,
                line=head.line.name,
            )
            found.setdefault(str(said), said)
    return list(found.values())


def cut_words(piece: Piece) -> Sentence:
    """Where to cut it, and which way round it is used."""
    values: dict[str, Value] = {
        "length": OnTape(piece.cut),
        "stock": piece.stock.name,
        "place": OnTape(piece.begin),
    }
    if piece.stock.is_level:
        return Sentence("Cut {length} of {stock}.", **values)
    if piece.turned:
        return Sentence(
            "Cut {length} of {stock}, from {place} behind its front, and turn it round.", **values
        )
    return Sentence("Cut {length} of {stock}, from {place} behind its front, as it lies.", **values)


def stretch_words(piece: Piece, number: int) -> Sentence:
    """Which stretch of its stock a piece is, shortly, with its number."""
    values: dict[str, Value] = {"number": number, "length": OnTape(piece.cut)}
    if piece.stock.is_level:
        return Sentence("{number}: {length}", **values)
    return Sentence("{number}: {length} from {place}", **values, place=OnTape(piece.begin))


def place_words(piece: Piece) -> Sentence:
    """Where on its stock a piece is cut, beside the stock's name; nothing of level stock."""
    if piece.stock.is_level:
        return NOTHING
    place = OnTape(piece.begin)
    if piece.turned:
        return Sentence("{place} behind its front, turned round", place=place)
    return Sentence("{place} behind its front", place=place)


def on_scale_words(point: Checkpoint, build: Build) -> Sentence:
    """What lies on the scale, in short."""
    if point.after == len(build.pieces):
        return Sentence("all {count}, loops on", count=point.after)
    names = [Sentence("{number}", number=number) for number in range(1, point.after + 1)]
    if len(names) == 1:
        return Sentence("piece {number}", number=1)
    if len(names) > SEVERAL:
        return Sentence("pieces 1 to {last}", last=point.after)
    return Sentence("pieces {numbers}", numbers=Several(tuple(names)))


def rule_words(point: Checkpoint, off: float) -> Sentence:
    """What a reading so much too heavy [kg] asks of the next piece, in short."""
    if point.trim is None:
        return Sentence("nothing is left to trim")
    return Sentence(
        "piece {number}: {by} shorter", number=point.after + 1, by=OnTape(off * point.trim)
    )


def fit_words(piece: Piece, drawn: float) -> Sentence:
    """How well it fits. drawn: how long its share is in the design [m]."""
    off = piece.finished - drawn
    longer = NOTHING
    if abs(off) > 0.0015:
        longer = Sentence("; {off} against the drawing", off=OnTape(off, signed=True))
    if abs(piece.worst) < _NO_DIFFERENCE:
        return Sentence("Its weight per length is that of the design{longer}.", longer=longer)
    return Sentence(
        "{fit}: at most {worst} off{longer}.",
        fit=piece.fit,
        worst=WeightPerLength(piece.worst, signed=True),
        longer=longer,
    )


def scale_words(piece: Piece) -> Sentence:
    """What it weighs as it is cut, and after its ends are worked."""
    cut, mass = Weight(piece.cut_mass), Weight(piece.mass)
    if piece.waste < 1e-9:
        return Sentence("It weighs {mass}.", mass=mass)
    return Sentence(
        "It weighs {cut} as it is cut, and {mass} once its ends are worked: {waste} becomes "
        "shavings.",
        cut=cut,
        mass=mass,
        waste=Quantity(SMALL_WEIGHT, piece.waste),
    )


def checkpoint_words(point: Checkpoint, build: Build) -> Sentence:
    """What lies on the scale, and what it should read."""
    said = Sentence(
        "With {count} of {all} pieces on the scale: {mass} {reach}; the last adds {adds} {more}.",
        count=point.after,
        all=len(build.pieces),
        mass=Weight(point.mass),
        reach=WeightError(point.reach),
        adds=Weight(point.adds),
        more=WeightError(point.adds_reach),
    )
    if point.spare:
        said = Sentence(
            "{said} {spare} of it is the end that the next lap needs, not bevelled yet.",
            said=said,
            spare=Quantity(SMALL_WEIGHT, point.spare),
        )
    return said


def lap_words(laps: Iterable[float]) -> Sentence:
    """What the hatched joints of a drawing are; nothing where no weld is lapped. laps: [m]."""
    longest = max(laps, default=0.0)
    if not longest:
        return NOTHING
    return Sentence("lapped weld, {overlap}, stiff", overlap=OnTape(longest))


def weighed_words(point: Checkpoint, build: Build) -> Sentence:
    """What lies on the scale then, in short."""
    if point.after == 1:
        return Sentence("piece 1 by itself")
    joint = point.after - 1
    if point.after == len(build.pieces) and (build.front or build.rear):
        return Sentence("after joint {number}, loops made", number=joint)
    return Sentence("after joint {number}", number=joint)


def bevel_words(points: Sequence[Checkpoint]) -> Sentence:
    """What readings hold that the head will not; nothing where they hold no such thing."""
    most = max((each.spare for each in points), default=0.0)
    if not most:
        return NOTHING
    return Sentence(
        "Weigh before the next end is bevelled: readings hold up to {most} of what that takes off.",
        most=Quantity(SMALL_WEIGHT, most),
    )


def order_words() -> Sentence:
    """In which order a head is built, and why."""
    return Sentence(
        "Join from the fly end to the rod end and weigh after each joint: the fly end and its "
        "turnover stay as they were designed, and the last trim falls to the rear, whose length "
        "matters least."
    )


def short_order_words() -> Sentence:
    """The same in few words, for paper."""
    return Sentence(
        "From the fly end to the rod end: the last trim falls where length matters least."
    )


def all_to_weigh(study: PiecesStudy) -> tuple[tuple[Sentence, Stock], ...]:
    """Spools to weigh before the plan is cut, each once, and why; what leaves most open first."""
    most: dict[str, tuple[Stock, float]] = {}
    for number in range(len(study.heads)):
        if found := _unweighed(study, number):
            stock, reach = found
            if stock.key not in most or reach > most[stock.key][1]:
                most[stock.key] = found
    ordered = sorted(most.values(), key=lambda each: -each[1])
    return tuple((_weigh_words(*each), each[0]) for each in ordered)


def first_to_weigh(study: PiecesStudy) -> tuple[Sentence, Stock | None]:
    """The spool to weigh before the plan is cut, and why; nothing where all are weighed."""
    return next(iter(all_to_weigh(study)), (NOTHING, None))


def weigh_first_words(study: PiecesStudy, number: int) -> Sentence:
    """Which stock of a head to weigh before anything else; nothing where all are weighed."""
    found = _unweighed(study, number)
    return NOTHING if found is None else _weigh_words(*found)


def _weigh_words(stock: Stock, reach: float) -> Sentence:
    return Sentence(
        "Weigh {what} first: unweighed, it leaves {error} in a head.",
        what=how_much(stock),
        error=WeightError(reach),
    )


def _unweighed(study: PiecesStudy, number: int) -> tuple[Stock, float] | None:
    """The stock that leaves most open of a head's weight, of those that were never weighed.

    With how far it may be off [kg]. What leaves less open than half a step of the scale is not
    worth a step of the work.
    """
    build, scale = study.builds[number], study.question.rules.scale
    if build is None:
        return None
    names = batches(build)
    for at in weakest(build):
        mine = [each for each in study.of_head(number) if each.stock.key == names[at]]
        stock, open_ = mine[0].stock, CONFIDENT * UNWEIGHED * sum(each.mass for each in mine)
        if stock.mass_error is None and open_ >= scale / 2.0 and is_worth_weighing(stock, scale):
            return stock, open_
    return None


def stock_told_words(stock: Stock, batch: Known) -> Sentence:
    """What readings tell of a batch: by how much it is heavier, or lighter, than believed."""
    error = ShareError(CONFIDENT * batch.after)
    if not batch.is_told:
        return Sentence("What was weighed does not tell {stock} apart.", stock=stock.name)
    if abs(batch.off) <= CONFIDENT * batch.after:
        return Sentence("{stock} is as it was believed, {error}.", stock=stock.name, error=error)
    values: dict[str, Value] = {"stock": stock.name, "off": Share(abs(batch.off)), "error": error}
    if batch.off > 0.0:
        return Sentence("{stock} is {off} heavier per length than believed, {error}.", **values)
    return Sentence("{stock} is {off} lighter per length than believed, {error}.", **values)


def gap_words(study: PiecesStudy) -> Sentence:
    """Whether the plan is the best there is."""
    if study.proved:
        return Sentence("No other plan loses less line.")
    return Sentence("At most {gap} of line above the best plan possible.", gap=Length(study.gap))
