"""The building of a head in words: the step that is due, what lies on the scale, where to look."""

from __future__ import annotations

from taperlab.model.cut_log import CutEnd
from taperlab.shop.errors import CONFIDENT, WeightError
from taperlab.shop.pieces.as_built import Alarm, OddPiece, Slip
from taperlab.shop.pieces.building import UNWEIGHED, rounded_up
from taperlab.shop.pieces.progress import TAPE, Act, Progress, stopped_ahead
from taperlab.shop.pieces.to_weigh import far_off, how_much
from taperlab.shop.pieces.trimming import Trim, head_target
from taperlab.shop.pieces.tubes import tube_of
from taperlab.shop.pieces.welding import weld_problem
from taperlab.shop.rail import StepWords
from taperlab.units.sentence import (
    NOTHING,
    Length,
    OnTape,
    Sentence,
    Several,
    Value,
    Weight,
)

_FITS = 0.5
"""Of a step of the scale: a reading as near to what was expected is as expected."""


def joint_name(number: int) -> Sentence:
    """What is joined to what, by the number of the joint."""
    if number == 1:
        return Sentence("Joint 1: piece 1 on piece 2")
    return Sentence("Joint {number}: piece {piece} onto that", number=number, piece=number + 1)


def has_loops_to_make(progress: Progress) -> bool:
    """Whether the head gets a loop at either end."""
    return bool(folds(progress))


def folds(progress: Progress) -> list[tuple[CutEnd, float, float]]:
    """The loops that are made: at which end, with what fold [m], adding how much [kg]."""
    head = progress.log.head
    ends = ((CutEnd.FRONT, head.front_loop), (CutEnd.REAR, head.rear_loop))
    return [(end, loop.fold, loop.mass) for end, loop in ends if loop.fold or loop.mass]


def make_loops(progress: Progress) -> Sentence:
    """That they are to be made."""
    if len(folds(progress)) > 1:
        return Sentence("Make both loops")
    return Sentence("Make the loop")


# -- the last reading ------------------------------------------------------------------------------


def reading_words(progress: Progress) -> Sentence:
    """How the last reading lies to what was expected; nothing where none was taken."""
    point = progress.point(len(progress.log.joints) + 1)
    if point is None or point.reading is None or point.after > len(progress.pieces):
        return NOTHING
    off = point.reading - point.mass
    if abs(off) <= _FITS * progress.log.rules.scale:
        return Sentence("As heavy as expected.")
    heavy, values = off > 0.0, {"off": Weight(abs(off))}
    if abs(off) <= point.reach * (1.0 + 1e-9):  # readings and ± stand in steps alike
        if heavy:
            return Sentence("{off} too heavy, within what was expected.", **values)
        return Sentence("{off} too light, within what was expected.", **values)
    if heavy:
        return Sentence("{off} too heavy, and taken as it was read.", **values)
    return Sentence("{off} too light, and taken as it was read.", **values)


def tube_words(progress: Progress) -> Sentence:
    """Whether the welding tube is off, where chance alone may explain as much as it weighs."""
    number = len(progress.log.joints)
    point = progress.point(number + 1)
    if not number or point is None or point.reading is None or point.is_sure:
        return NOTHING
    joint, rules = progress.build.joints[number - 1], progress.log.rules
    tube, unlike = tube_of(rules, joint.overlap)
    near = abs(point.reading - point.mass - tube) <= rules.scale + unlike
    if not joint.is_peeled or not near or tube <= rules.scale:
        return NOTHING
    return Sentence(
        "Is the welding tube off? Still on, it would weigh as much: {tube}.", tube=Weight(tube)
    )


# -- the step that is due --------------------------------------------------------------------------


def words_of(progress: Progress, *, balance: bool = False) -> StepWords:
    """What is said of the step that is due. balance: whether a trim is to keep the balance."""
    due = progress.due
    if due.act in (Act.TRIM, Act.TRIM_REAR):
        other = progress.balanced
        trim = other if balance and other is not None and not other.stop else progress.trim
        assert trim is not None
        return _trim(progress, trim)
    if due.act is Act.ASK and progress.asked is not None:
        return _ask(progress, progress.asked)
    if due.act is Act.ASK and progress.asked_piece is not None:
        return _ask_piece(progress, progress.asked_piece)
    if due.act is Act.JOIN:
        return _join(progress)
    simple = {
        Act.WEIGH_STOCK: _weigh_stock,
        Act.CUT: _cut,
        Act.MAKE_LOOPS: _loops,
        Act.WEIGH_LAST: _weigh_last,
        Act.PUT_ON_BENCH: _put_on_bench,
    }
    return simple.get(due.act, _done)(progress)


def _weigh_stock(progress: Progress) -> StepWords:
    stock = progress.due.stock
    assert stock is not None
    lead = Sentence("Weigh {what} first", what=how_much(stock))
    mass = sum(each.mass for each in progress.pieces if each.stock.key == stock.key)
    more = Sentence(
        "Unweighed, it leaves {error} in this head.",
        error=WeightError(CONFIDENT * UNWEIGHED * mass),
    )
    return StepWords(lead, more=(more,), amiss=far_off(progress.log))


def _cut(progress: Progress) -> StepWords:
    count = len(progress.pieces)
    lead = Sentence("Cut {count} pieces", count=count) if count > 1 else Sentence("Cut the piece")
    more = [Sentence("Square, by the tape; no bevel yet. Number each at its fly end.")]
    more.append(Sentence("A piece that is weighed as it is cut is trimmed to its own weight."))
    if unknown := _of_unweighed_tapers(progress):
        # All of a tapered line can't be weighed once its pieces are off it: they themselves can.
        values: dict[str, Value] = {"pieces": Several(unknown)}
        if len(unknown) == 1:
            said = Sentence(
                "Weigh piece {pieces} here as it is cut: nobody weighed the line that it is of.",
                **values,
            )
        else:
            said = Sentence(
                "Weigh pieces {pieces} here as they are cut: nobody weighed the lines that they "
                "are of.",
                **values,
            )
        more.append(said)
    amiss = tuple(odd_words(progress, each) for each in progress.odd)
    if not amiss and stopped_ahead(progress):
        amiss = (
            Sentence(
                "By what was weighed the pieces come out so far off that no trim mends it: give "
                "this build up before you cut, and plan it anew."
            ),
        )
    return StepWords(lead, more=tuple(more), amiss=(*amiss, *far_off(progress.log)))


def _of_unweighed_tapers(progress: Progress) -> tuple[Value, ...]:
    """The pieces that are off tapered stock which nobody weighed, by their numbers."""
    return tuple(
        str(at)
        for at, each in enumerate(progress.pieces, start=1)
        if not each.stock.is_level and each.stock.mass_error is None and each.log.own is None
    )


def how_joined(progress: Progress, number: int) -> Sentence:
    """How a joint is made, with what is bevelled, stripped or folded for it; from 1."""
    ahead, behind = progress.pieces[number - 1 : number + 1]
    rear, front = ahead.ends[1], behind.ends[0]
    if rear.lap:
        return Sentence("Bevel both ends over {lap}, and lap them by that.", lap=OnTape(rear.lap))
    if rear.strip:
        return Sentence(
            "Strip {ahead} off piece {number} and {behind} off piece {next}: core in core.",
            ahead=OnTape(rear.strip),
            number=number,
            behind=OnTape(front.strip),
            next=number + 1,
        )
    if rear.fold or front.fold:
        return Sentence("Loop to loop: fold {fold} back at each.", fold=OnTape(rear.fold))
    return Sentence("Square end to square end.")


def _join(progress: Progress) -> StepWords:
    number = progress.due.after - 1
    more = []
    weighed = len(progress.log.joints) and progress.log.joints[-1].mass is not None
    if weighed and progress.log.pieces[progress.due.index].trimmed is None:
        more.append(Sentence("The last reading fits: nothing comes off this piece."))
    more.append(how_joined(progress, number))
    if warning := weld_warning(progress, number):
        return StepWords(joint_name(number), more=tuple(more), amiss=(warning,))
    return StepWords(joint_name(number), more=tuple(more))


def weld_warning(progress: Progress, number: int) -> Sentence:
    """That what a joint welds, from 1, is not known to weld; else nothing."""
    ahead, behind = progress.pieces[number - 1 : number + 1]
    return weld_problem(progress.log.head, ahead, behind)


def _trim(progress: Progress, trim: Trim) -> StepWords:
    number = trim.index + 1
    told = reading_words(progress)
    rear = progress.due.act is Act.TRIM_REAR
    if trim.stop:
        lead = Sentence("Stop: {why}", why=trim.stop)
        more = [told] if told else []
        more.append(_otherwise(progress, trim))
        if progress.log.joints:
            more.append(Sentence("Weigh again; or give it up, and plan it anew."))
        else:
            more.append(Sentence("Or give it up, and plan it anew."))
        return StepWords(lead, more=tuple(more), role="warn")
    if rear:
        lead = Sentence("Trim the rod end:")
    elif trim.index and told:
        lead = Sentence("Trim the next piece:")
    else:
        lead = Sentence("Trim piece {number}:", number=number)
    if told:
        lead = Sentence("{told} {lead}", told=told, lead=lead)
    verb = Sentence("off piece {number}, at the", number=number)
    more, tube = [], tube_words(progress)
    if trim.spare:
        more.append(_spare_words(trim, balance=trim is progress.balanced))
    if trim.note:
        more.append(trim.note)
    return StepWords(
        lead,
        CutEnd.REAR,
        OnTape(trim.length),
        verb,
        tuple(more),
        aside=_comes_to(progress, trim),
        amiss=tuple(each for each in (tube, trim.doubt) if each),
    )


def _otherwise(progress: Progress, trim: Trim) -> Sentence:
    """What the head comes to where what goes too far is not done."""
    too_heavy = head_target(progress.bench) + trim.off
    if trim.off > 0.0:
        said = Sentence(
            "Trimmed as it was planned, {off} off, the head comes to {mass}.",
            off=OnTape(trim.otherwise),
            mass=Weight(too_heavy),
        )
    else:
        said = Sentence("With nothing off, the head comes to {mass}.", mass=Weight(trim.head))
    if trim.index + 1 < len(progress.pieces):
        said = Sentence("{said} The pieces behind it may make up for that.", said=said)
    return said


def _spare_words(trim: Trim, *, balance: bool) -> Sentence:
    """What of a trim is the spare that was cut on for it. balance: whether it keeps that."""
    values: dict[str, Value] = {
        "spare": OnTape(trim.spare),
        "rest": OnTape(abs(trim.shorter)),
    }
    if abs(trim.shorter) < TAPE / 2.0:
        return Sentence("That is the spare that was cut on for it.")
    if trim.shorter > 0.0 and balance:
        return Sentence("{spare} of it is the spare, and {rest} is for the balance.", **values)
    if trim.shorter > 0.0:
        return Sentence(
            "{spare} of it is the spare, and {rest} takes off what is too heavy.", **values
        )
    return Sentence("Of the spare of {spare}, {rest} stays on.", **values)


def _comes_to(progress: Progress, trim: Trim) -> Sentence:
    """What the head comes to."""
    values: dict[str, Value] = {"mass": Weight(trim.head), "at": Length(trim.balance)}
    if progress.balanced is not None:
        return Sentence("so that the head comes to {mass} and balances at {at}.", **values)
    return Sentence("so that the head comes to {mass}.", mass=Weight(trim.head))


def both_ways(progress: Progress) -> tuple[Sentence, Sentence] | None:
    """A trim that keeps the weight, and one that keeps the balance; None without a choice.

    Both are told, whichever is done: front heavy, the weight wants the rear shorter, the balance
    longer.
    """
    if progress.trim is None or progress.balanced is None:
        return None
    by, other = progress.trim, progress.balanced
    if by.stop or (abs(by.length - other.length) < TAPE and not other.stop):
        return None
    if other.stop:
        return NOTHING, Sentence("To its balance: {why}", why=other.stop)
    return (
        Sentence(
            "To its weight: {off} off, {mass}, balance at {at}.",
            off=OnTape(by.length),
            mass=Weight(by.head),
            at=Length(by.balance),
        ),
        Sentence(
            "To its balance: {off} off, {mass}, balance at {at}.",
            off=OnTape(other.length),
            mass=Weight(other.head),
            at=Length(other.balance),
        ),
    )


def _ask(progress: Progress, found: Alarm) -> StepWords:
    mass = Weight(abs(found.off))
    if not found.is_odd:
        lead = Sentence("The scale reads {off} more than expected: as much as a tube.", off=mass)
    elif found.off > 0.0:
        lead = Sentence("The scale reads {off} more than it should.", off=mass)
    else:
        lead = Sentence("The scale reads {off} less than it should.", off=mass)
    more = tuple(slip_words(progress, slip, index) for slip, index in found.slips[:3])
    amiss = Sentence("Nothing is trimmed until this is settled.")
    if found.is_wrong and not found.slips:
        amiss = Sentence("Something is wrong. Nothing is trimmed until this is settled.")
    return StepWords(lead, more=more, amiss=(amiss,), role="warn")


def odd_words(progress: Progress, odd: OddPiece) -> Sentence:
    """That a piece weighs by itself what it hardly can, with what was expected."""
    build, log = progress.build, progress.log
    weighs = log.pieces[odd.index].own or 0.0
    values: dict[str, Value] = {
        "number": odd.index + 1,
        "off": Weight(abs(odd.off)),
        "expected": Weight(weighs - odd.off),
        "reach": WeightError(rounded_up(2.0 * abs(odd.off / odd.z), build.scale)),
    }
    if odd.off > 0.0:
        said = Sentence("Piece {number} weighs {off} more than it should", **values)
    else:
        said = Sentence("Piece {number} weighs {off} less than it should", **values)
    return Sentence("{said}, {expected} {reach}.", said=said, **values)


def _ask_piece(progress: Progress, odd: OddPiece) -> StepWords:
    piece = progress.pieces[odd.index]
    more = (
        Sentence("Was it cut to {length}?", length=OnTape(piece.cut)),
        Sentence("Is it of {stock}, and from the right place on it?", stock=piece.stock.name),
    )
    amiss = Sentence("Nothing is trimmed until this is settled.")
    return StepWords(odd_words(progress, odd), more=more, amiss=(amiss,), role="warn")


def slip_words(progress: Progress, slip: Slip, index: int) -> Sentence:
    """A slip as a question, with what it weighs where that is known."""
    asked = Sentence("Is it that {slip}?", slip=slip)
    if slip is Slip.OTHER_PIECE:
        return Sentence("{asked} Piece {number}, say.", asked=asked, number=index + 1)
    return asked


def _loops(progress: Progress) -> StepWords:
    made = folds(progress)
    lead, end = make_loops(progress), made[0][0] if len(made) == 1 else None
    same = {fold for _, fold, _ in made}
    figure = OnTape(same.pop()) if len(same) == 1 and made[0][1] else None
    verb = Sentence("folded back, each") if len(made) > 1 else Sentence("folded back")
    return StepWords(lead, end, figure, verb if figure else NOTHING)


def _weigh_last(progress: Progress) -> StepWords:
    lead = Sentence("Weigh the finished head")
    more: tuple[Sentence, ...] = ()
    if not progress.log.rear_trimmed and (told := reading_words(progress)):
        more = (Sentence("After the last joint: {told}", told=told),)
    return StepWords(lead, more=more)


def _put_on_bench(progress: Progress) -> StepWords:
    log = progress.log
    assert log.last_reading is not None
    off = log.last_reading - head_target(progress.bench)
    values: dict[str, Value] = {
        "off": Weight(abs(off)),
        "mass": Weight(head_target(progress.bench)),
    }
    if abs(off) <= _FITS * log.rules.scale:
        more = Sentence("That is what it was planned to weigh.")
    elif off > 0.0:
        more = Sentence("It is {off} heavier than planned, {mass}.", **values)
    else:
        more = Sentence("It is {off} lighter than planned, {mass}.", **values)
    return StepWords(
        Sentence("The head is built, and weighs"), figure=Weight(log.last_reading), more=(more,)
    )


def _done(progress: Progress) -> StepWords:
    log = progress.log
    said = Sentence("{head} is built.", head=log.name)
    figure = Weight(log.last_reading) if log.last_reading is not None else None
    return StepWords(
        said, figure=figure, more=(Sentence("It lies on the bench beside its design."),)
    )


def bench_words(
    progress: Progress,
    after: int,
    *,
    again: int | None = None,
    balance: bool = False,
    length: float | None = None,
) -> StepWords:
    """The step that is due in few words, to be read from across the bench.

    length: what the person says is weighed of a spool [m], where it is not the usual.
    """
    due, said = progress.due, words_of(progress, balance=balance)
    if again is not None and after > len(progress.pieces):
        return StepWords(Sentence("Weigh the head"))
    if again is not None or due.act is Act.JOIN:
        return StepWords(Sentence("Joint {number}: weigh", number=after - 1))
    if due.act is Act.WEIGH_STOCK and due.stock is not None:
        return StepWords(Sentence("Weigh {what}", what=how_much(due.stock, length)))
    short = {
        Act.CUT: Sentence("Cut all pieces"),
        Act.ASK: Sentence("Weigh it again"),
        Act.WEIGH_LAST: Sentence("Weigh the head"),
        Act.PUT_ON_BENCH: Sentence("The head is built"),
    }
    if due.act in short:
        role = "warn" if due.act is Act.ASK else "accent"
        verb = Sentence("on the screen of the page") if due.act is Act.ASK else NOTHING
        return StepWords(short[due.act], figure=said.figure, role=role, verb=verb)
    if due.act in (Act.TRIM, Act.TRIM_REAR) and progress.trim is not None:
        if progress.trim.stop:
            return StepWords(Sentence("Stop: look at the page"), role="warn")
        lead = Sentence("Piece {number}, off the", number=progress.trim.index + 1)
        return StepWords(lead, CutEnd.REAR, said.figure)
    return StepWords(said.lead, said.end, said.figure, said.verb)
