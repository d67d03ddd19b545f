"""The steps of a head that is built, a line for each: done or in question, now, to come."""

from __future__ import annotations

from taperlab.shop.errors import CONFIDENT, WeightPerLengthError
from taperlab.shop.pieces.build_words import has_loops_to_make, joint_name, make_loops
from taperlab.shop.pieces.progress import Act, Progress
from taperlab.shop.pieces.to_weigh import how_much
from taperlab.shop.rail import Row, State
from taperlab.units.sentence import NOTHING, OnTape, Sentence, Several, Weight, WeightPerLength


def rows_of(progress: Progress) -> tuple[Row, ...]:
    """Every step in the order of work."""
    return (
        *_spools(progress),
        _cutting(progress),
        *_joints(progress),
        *_finishing(progress),
    )


def _spools(progress: Progress) -> list[Row]:
    """The spools that are weighed first, those that were among them."""
    log, due, rows = progress.log, progress.due, []
    seen = set()
    waiting = {each.key: each for each in progress.unweighed}
    for piece in progress.pieces:
        stock = piece.stock
        if stock.key in seen:
            continue
        seen.add(stock.key)
        if stock.mass_error is not None:
            title = Sentence("Weigh {stock}", stock=stock.name)
            density = piece.front
            said = Sentence(
                "{weight} {error}",
                weight=WeightPerLength(density),
                error=WeightPerLengthError(CONFIDENT * stock.mass_error * density),
            )
            rows.append(Row(State.DONE, title, said if stock.is_level else NOTHING))
        elif stock.key in waiting and not log.is_cut and due.act is Act.WEIGH_STOCK:
            now = due.stock is not None and due.stock.key == stock.key
            title = Sentence("Weigh {what}", what=how_much(waiting[stock.key]))
            rows.append(Row(State.NOW if now else State.LATER, title))
    return rows


def _cutting(progress: Progress) -> Row:
    log, count = progress.log, len(progress.pieces)
    title = Sentence("Cut {count} pieces", count=count) if count > 1 else Sentence("Cut the piece")
    weighed = sum(each.own is not None for each in log.pieces)
    detail = NOTHING
    if weighed:
        detail = Sentence("{count} of {all} weighed", count=weighed, all=count)
    state = State.DONE if log.is_cut else State.LATER
    if progress.due.act is Act.CUT:
        state = State.NOW
    if progress.asked_piece is not None:
        state = State.ASKED
    return Row(state, title, detail)


def _joints(progress: Progress) -> list[Row]:
    log, due, rows = progress.log, progress.due, []
    for number in range(1, len(log.pieces)):
        after = number + 1
        is_made = number <= len(log.joints)
        may_change = is_made and not log.is_finished
        title = joint_name(number)
        details = []
        state = State.DONE if is_made else State.LATER
        if is_made:
            if due.act is Act.ASK and due.after == after:
                state = State.ASKED
            reading = log.joints[number - 1].mass
            if reading is None:
                details.append(Sentence("not weighed"))
            else:
                details.append(Sentence("read {mass}", mass=Weight(reading)))
        elif due.act in (Act.TRIM, Act.JOIN) and number == len(log.joints) + 1:
            state = State.NOW
        elif number > 1:
            title = Sentence("Trim piece {piece}, then joint {number}", piece=after, number=number)
        if is_made or state is State.NOW:
            for index in (0, 1) if number == 1 else (number,):
                off = log.pieces[index].trimmed
                if off:
                    details.append(
                        Sentence("{off} off piece {piece}", piece=index + 1, off=OnTape(off))
                    )
        rows.append(Row(state, title, _listed(details), step=number - 1 if may_change else None))
    return rows


def _finishing(progress: Progress) -> list[Row]:
    log, due, rows = progress.log, progress.due, []
    if log.rear_trimmed or due.act is Act.TRIM_REAR:
        state = State.NOW if due.act is Act.TRIM_REAR else State.DONE
        off = Sentence("{off}", off=OnTape(log.rear_trimmed)) if log.rear_trimmed else NOTHING
        rows.append(Row(state, Sentence("Trim the rod end"), off))
    if has_loops_to_make(progress):
        state = State.DONE if log.has_loops else State.LATER
        state = State.NOW if due.act is Act.MAKE_LOOPS else state
        rows.append(Row(state, make_loops(progress)))
    state = State.DONE if log.last_reading is not None or log.is_finished else State.LATER
    if due.act is Act.WEIGH_LAST:
        state = State.NOW
    elif due.act is Act.ASK and due.after > len(log.pieces):
        state = State.ASKED
    detail = NOTHING
    if log.last_reading is not None:
        detail = Sentence("read {mass}", mass=Weight(log.last_reading))
    elif log.is_finished:
        detail = Sentence("not weighed")
    rows.append(Row(state, Sentence("Weigh the finished head"), detail))
    state = State.DONE if log.is_finished else State.LATER
    state = State.NOW if due.act is Act.PUT_ON_BENCH else state
    rows.append(Row(state, Sentence("Put it on the bench")))
    return rows


def _listed(details: list[Sentence]) -> Sentence:
    if not details:
        return NOTHING
    if len(details) == 1:
        return details[0]
    return Sentence("{details}", details=Several(tuple(details)))
