"""The way of a cut-back in words: a line for every step, and the whole of the one that is due."""

from __future__ import annotations

from dataclasses import replace

from taperlab.model.cut_log import CutEnd
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.staging import Stop, Why
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.way import Act, Due
from taperlab.shop.cut_back.words import ENDS, cut_words, give_or_take, loops_to_make
from taperlab.shop.errors import CONFIDENT
from taperlab.shop.rail import Row, State, StepWords
from taperlab.units.finding import Level
from taperlab.units.sentence import (
    NOTHING,
    Diameter,
    OnTape,
    Sentence,
    Weight,
)


def rows_of(study: Study, due: Due) -> tuple[Row, ...]:
    """Every step in the order of work."""
    if study.job is None:
        return ()
    return (*_before(study, due), *_log(study), *_ahead(study, due))


def _before(study: Study, due: Due) -> list[Row]:
    job = study.job
    assert job is not None
    title = Sentence("Weigh the head, loops on")
    if job.first_reading is not None:
        detail = Sentence("{reading}", reading=Weight(job.first_reading))
        is_asked = study.disagreement is not None and study.disagreement.step is None
        state = State.ASKED if is_asked else State.DONE
        rows = [Row(state, title, detail, study.first_doubts, is_first=True)]
    elif study.standing is not None and study.standing.belief.is_measured:
        mass, error = study.standing.beliefs[0].head_mass()
        detail = Sentence("{mass}, as measured", mass=give_or_take(mass, CONFIDENT * error))
        rows = [Row(State.DONE, title, detail, is_first=True)]
    elif due.act is Act.WEIGH_FIRST:
        rows = [Row(State.NOW, title, is_first=True)]
    else:
        rows = [Row(State.DONE, title, Sentence("not weighed"), is_first=True)]
    if due.act is Act.TELL_ENDS:
        rows.append(Row(State.NOW, Sentence("Tell the ends apart")))
    elif due.act is Act.WEIGH_FIRST and not job.ends_told:
        rows.append(Row(State.LATER, Sentence("Tell the ends apart")))
    return rows


def _log(study: Study) -> list[Row]:
    asked = study.disagreement.step if study.disagreement else None
    rows = [
        # A question stands beside the rows, and need not be asked in them too.
        Row(State.ASKED, each.title, each.detail, step=i)
        if i == asked
        else Row(State.DONE, each.title, each.detail, each.doubts, step=i)
        for i, each in enumerate(study.log)
    ]
    if study.waits:
        rows[-1] = replace(rows[-1], detail=Sentence("not weighed yet"))
    return rows


def _ahead(study: Study, due: Due) -> list[Row]:
    """The step that is due, if it is none of those before the first cut, and those after it."""
    if due.act in (Act.ASK, Act.STOPPED):
        title = Sentence("Settle the weighings") if due.act is Act.ASK else Sentence("No cut")
        return [Row(State.NOW, title)]
    rows = []
    stage, number = due.stage or (study.stages[0] if study.stages else None), len(study.log) + 1
    cutting = due.act in (Act.CUT, Act.TELL_ENDS, Act.WEIGH_FIRST)
    if stage is not None and cutting:
        number -= due.made
        state = State.NOW if due.act is Act.CUT else State.LATER
        both = stage.front > 0.0 and stage.rear > 0.0
        end = ENDS[CutEnd.BOTH if both else CutEnd.FRONT if stage.front else CutEnd.REAR]
        title = Sentence("Cut {number}, kept short", number=number)
        if stage.last:
            title = Sentence("Cut {number}, the last", number=number)
        # Of one that was begun only the rest is still to come.
        left = (
            Sentence("{end}", end=ENDS[due.cuts[0].end]) if due.made else Sentence("{end}", end=end)
        )
        rows.append(Row(state, title, left))
    weigh = Sentence("Weigh head and offcut")
    if due.act is Act.WEIGH:
        rows.append(Row(State.NOW, weigh))
    elif cutting:
        rows.append(Row(State.LATER, weigh))
    later = len(study.stages) - (1 if cutting and not due.made else 0)
    if later > 0 and (due.act is Act.WEIGH or cutting):
        rows.append(
            Row(State.LATER, Sentence("Cut again, a smaller one"), Sentence("after weighing"))
        )
    loops = loops_to_make(study.terms)
    if loops:
        state = _state_of(due, Act.MAKE_LOOPS, (Act.WEIGH_LAST, Act.FINISHED))
        rows.append(Row(state, _make_loops(len(loops))))
    last = study.last
    detail = NOTHING
    if last is not None and last.reading is not None:
        detail = Sentence("{reading}", reading=Weight(last.reading))
    state = _state_of(due, Act.WEIGH_LAST, (Act.FINISHED,))
    title = Sentence("Weigh it with its loops on") if loops else Sentence("Weigh it once more")
    rows.append(Row(state, title, detail))
    return rows


def _state_of(due: Due, own: Act, after: tuple[Act, ...]) -> State:
    if due.act is own:
        return State.NOW
    return State.DONE if due.act in after else State.LATER


def _make_loops(count: int) -> Sentence:
    return Sentence("Make both loops") if count > 1 else Sentence("Make the loop")


# -- the step that is due ----------------------------------------------------------------------


def words_of(study: Study, due: Due) -> StepWords:
    """What is said of the step that is due."""
    said = {
        Act.WEIGH_FIRST: _weigh_first,
        Act.TELL_ENDS: _tell_ends,
        Act.CUT: _cut,
        Act.WEIGH: _weigh,
        Act.ASK: _ask,
        Act.MAKE_LOOPS: _loops,
        Act.WEIGH_LAST: _weigh_last,
        Act.FINISHED: _finished,
        Act.STOPPED: _stopped,
    }
    return said[due.act](study, due)


def _weigh_first(study: Study, due: Due) -> StepWords:
    more = [Sentence("The head alone, dry, untangled, its loops on.")]
    if study.described is not None:
        more.append(
            Sentence(
                "By its description it weighs {mass}; how it is cut goes by the scale.",
                mass=Weight(study.described.mass),
            )
        )
    amiss = (study.start_doubt,) if study.start_doubt else ()
    return StepWords(Sentence("Weigh the head, loops on"), more=tuple(more), amiss=amiss)


def _tell_ends(study: Study, _due: Due) -> StepWords:
    more = [
        Sentence(
            "Lay the head as it is drawn, fly end at the left. A cut at the wrong end cannot be "
            "undone."
        )
    ]
    if study.left is not None and study.left.line.segments:
        pieces = study.left.line.segments
        more.append(
            Sentence(
                "By its description it is {front} thick at the fly end and {rear} at the rod end.",
                front=Diameter(pieces[0].front_diameter),
                rear=Diameter(pieces[-1].rear_diameter),
            )
        )
    return StepWords(Sentence("Which end is which?"), more=tuple(more), amiss=_against(study))


def _cut(study: Study, due: Due) -> StepWords:
    cut = due.cuts[0]
    lead = Sentence("From the")
    if due.made:
        lead = Sentence("Then, from the")
    elif len(due.cuts) > 1:
        lead = Sentence("First, from the")
    more, aside = [], NOTHING
    if due.head is not None:
        reading = give_or_take(due.head.mass, due.head.plus_minus)
        if len(due.cuts) > 1:
            said = Sentence(
                "After both cuts the scale should read {reading}, no new loops on.", reading=reading
            )
        else:
            said = Sentence(
                "Then the scale should read {reading}, no new loops on.", reading=reading
            )
        more.append(said)
    if due.stage is not None and isinstance(study.staged, Staged):
        aside = Sentence("This cut goes straight to the target.")
        if not due.stage.last:
            aside = Sentence(
                "This cut leaves {margin} above the target, in case the line is lighter there than "
                "it is described.",
                margin=Weight(due.stage.expected - study.staged.target),
            )
    verb = Sentence("Measure, mark, cut.")
    return StepWords(lead, cut.end, cut.how_far, verb, tuple(more), aside, _against(study))


def _against(study: Study) -> tuple[Sentence, ...]:
    """What speaks against a cut of so much."""
    plan = study.staged.plan if isinstance(study.staged, Staged) else None
    found = plan.findings if isinstance(plan, Plan) else ()
    return tuple(each.sentence for each in found if each.level is not Level.NOTE)


def _weigh(study: Study, due: Due) -> StepWords:
    more: list[Sentence] = []
    if due.offcut is None:
        lead = Sentence("Weigh the head once more")
        if study.stop is not None:
            more.append(study.stop.sentence)
    else:
        lead = Sentence("Weigh head and offcut")
        more.append(
            Sentence(
                "The head before anything is added for a new loop; all that came off together."
            )
        )
        if due.head is not None:
            more.append(
                Sentence(
                    "Expected: head {head}, offcut {offcut}.",
                    head=give_or_take(due.head.mass, due.head.plus_minus),
                    offcut=Weight(due.offcut),
                )
            )
    return StepWords(lead, more=tuple(more))


def _ask(study: Study, _due: Due) -> StepWords:
    asked = study.disagreement
    assert asked is not None
    return StepWords(asked.sentence, more=(asked.hint,) if asked.hint else (), role="warn")


def _loops(study: Study, _due: Due) -> StepWords:
    terms, said = study.terms, loops_to_make(study.terms)
    folds = {
        loop.fold
        for is_cut, loop in (
            (terms.cuts_front, terms.front_loop),
            (terms.cuts_rear, terms.rear_loop),
        )
        if is_cut and (loop.fold or loop.mass)
    }
    fold = folds.pop() if len(folds) == 1 else None
    end = None
    if len(said) == 1:
        end = CutEnd.FRONT if terms.cuts_front and terms.front_loop.fold else CutEnd.REAR
        lead = Sentence("Make the loop at the")
    else:
        lead = Sentence("Make both loops")
    more = list(said)
    amiss: list[Sentence] = []
    if study.stop is not None:
        fine = ending(study.stop)[1] == "good"
        (more if fine else amiss).insert(0, study.stop.sentence)
    verb = Sentence("folded back") if len(said) == 1 else Sentence("folded back, each")
    return StepWords(
        lead,
        end,
        OnTape(fold) if fold else None,
        verb if fold else NOTHING,
        tuple(more),
        amiss=tuple(amiss),
    )


def _weigh_last(study: Study, _due: Due) -> StepWords:
    last = study.last
    lead = Sentence("Weigh it with its loops on")
    if last is None:
        return StepWords(lead)
    if not last.loops:
        lead = Sentence("Weigh it once more")
    if last.reading is not None:
        return StepWords(lead, amiss=(last.sentence,))
    should = give_or_take(last.expected, last.plus_minus)
    return StepWords(
        lead,
        more=(Sentence("It should read {weight}. The scale has the last word.", weight=should),),
    )


ENDINGS = {
    Why.DONE: (Sentence("Done"), "good"),
    Why.TOO_SHORT_TO_CUT: (Sentence("Done"), "good"),
    Why.LOOP_TAKES_MORE: (Sentence("As near as it gets"), "warn"),
    Why.TOO_LIGHT: (Sentence("Lighter than the target"), "bad"),
    Why.TOO_HEAVY: (Sentence("Heavier than the target"), "warn"),
    Why.TOO_SHORT: (Sentence("Shorter than asked for"), "bad"),
    Why.OUTSIDE_WINDOW: (Sentence("Outside the grain window"), "warn"),
    Why.LIMIT: (Sentence("A limit is reached"), "warn"),
    Why.WEIGH_FINISHED_AGAIN: (Sentence("Weigh it again"), "warn"),
    Why.NOT_WEIGHED: (Sentence("Weigh the head first"), "accent"),
    Why.SCALE_TOO_COARSE: (Sentence("Weigh it again"), "warn"),
}
"""How a stop is announced, and the role that colours it."""


def ending(stop: Stop | None) -> tuple[Sentence, str]:
    """How a stop is announced, and its role: green only where nothing is amiss."""
    return ENDINGS[stop.why] if stop else (Sentence("No cut"), "warn")


def _finished(study: Study, _due: Due) -> StepWords:
    lead, role = ending(study.stop)
    more = [study.stop.sentence] if study.stop else []
    made = study.finished
    if made is None:
        return StepWords(lead, more=tuple(more), role=role)
    more.append(Sentence("{length} long, its loops made.", length=OnTape(made.line.length)))
    return StepWords(lead, figure=Weight(made.mass), more=tuple(more), role=role)


def _stopped(study: Study, _due: Due) -> StepWords:
    if study.stop is not None:
        lead, role = ending(study.stop)
        if study.stop.why is Why.DONE:
            lead, role = Sentence("Nothing to cut"), "good"
        return StepWords(lead, more=(study.stop.sentence,), role=role)
    if isinstance(study.staged, Staged) or study.staged is None:
        return StepWords(Sentence("No cut"))
    return StepWords(Sentence("No cut"), more=(study.staged.sentence,), role="bad")


def all_the_way(study: Study) -> Sentence | None:
    """What a cut in one go would take, for whoever asks; None where there is none."""
    plan = study.staged.plan if isinstance(study.staged, Staged) else None
    if not isinstance(plan, Plan):
        return None
    return Sentence(
        "{cut}; {mass} would come off and leave {left} at {length}. It goes by what is known now: "
        "in stages a mistake is found before it is too late.",
        cut=cut_words(plan.front_cut, plan.rear_cut),
        mass=Weight(plan.cut_mass),
        left=Weight(plan.after.mass),
        length=OnTape(plan.after.length),
    )


def bench_words(study: Study, due: Due) -> StepWords:
    """The same in as few words as can be read from two metres."""
    said = words_of(study, due)
    short = {
        Act.WEIGH_FIRST: (Sentence("Head on the scale"), Sentence("loops on, dry")),
        Act.TELL_ENDS: (Sentence("Fly end at the left"), Sentence("does it lie like this?")),
        Act.WEIGH: (Sentence("Head on the scale"), Sentence("no new loops")),
        Act.ASK: (Sentence("The weighings disagree"), Sentence("go back and weigh again")),
        Act.WEIGH_LAST: (Sentence("Head on the scale"), Sentence("new loops on")),
    }
    if due.act in short:
        lead, verb = short[due.act]
        return StepWords(lead, verb=verb, role=said.role)
    if due.act is Act.CUT:
        return replace(said, verb=Sentence("measure, mark, cut"), more=())
    return replace(said, more=())
