"""Figures of the head now and after the cut that is due, its loops made."""

from __future__ import annotations

from taperlab.shop.cut_back.study import State, Study
from taperlab.shop.cut_back.way import Due
from taperlab.shop.errors import CONFIDENT
from taperlab.shop.on_rod import window_alone
from taperlab.shop.weighed import on_scale
from taperlab.trade import windows
from taperlab.trade.windows import Place
from taperlab.units.sentence import NOTHING, Number, OnTape, Ratio, Sentence, Weight

ROWS = (
    Sentence("Weight, loops made"),
    Sentence("Length"),
    Sentence("Ratio to the rod"),
    Sentence("Front taper"),
    Sentence("In the rod’s grain window"),
)
"""What the rows are called."""

Column = tuple[Sentence, ...]
"""A sentence for every row; nothing where there is no such figure."""

PLACES = {
    Place.INSIDE: Sentence("inside"),
    Place.BELOW: Sentence("too light"),
    Place.ABOVE: Sentence("too heavy"),
}


def as_it_is(study: Study) -> State | None:
    """The head as it is now, its new loops made where it was cut."""
    return study.finished or study.left


def before(study: Study) -> Column | None:
    """The head before the first cut."""
    first = study.standing.beliefs[0] if study.standing else None
    error = first.head_mass()[1] if first is not None and first.readings else None
    return _of(study, study.uncut, error)


def now(study: Study) -> Column | None:
    """The head as it is, or None where it is in question."""
    known = study.standing is not None and study.is_weighed
    error = study.standing.belief.head_mass()[1] if known and study.standing else None
    if study.is_weighed_last and study.finished is not None:
        said = on_scale(study.finished.line)
        error = said.plus_minus / CONFIDENT if said is not None else error
    column = _of(study, as_it_is(study), error)
    if column is None or not study.waits:
        return column
    # Cut, and not on the scale yet: what is foreseen does not stand as if it had been read.
    return (Sentence("{weight} expected", weight=column[0]), *column[1:])


def _of(study: Study, state: State | None, error: float | None) -> Column | None:
    """A head; error: of its weight [kg], None where it was never weighed."""
    if state is None or state.analysis.head is None:
        return None
    fit, head = state.fit, state.analysis.head
    weight = Sentence("{mass} as described", mass=Weight(head.mass))
    if error is not None:
        weight = _within(head.mass, CONFIDENT * error)
    return (
        weight,
        Sentence("{length}", length=OnTape(head.length)),
        Sentence("{ratio} ×", ratio=Ratio(fit.ratio)) if fit else NOTHING,
        Sentence("{share} %", share=Number(head.front_taper_mass_share * 100.0)),
        _place(study, head.mass),
    )


def after_cut(study: Study, due: Due) -> Column | None:
    """The head after the stage that is due."""
    then, stage = study.then, due.stage
    if then is None or stage is None:
        return None
    return (
        _within(stage.expected, stage.plus_minus),
        Sentence("{length}", length=OnTape(then.length)),
        Sentence("{ratio} ×", ratio=Ratio(then.ratio)) if then.ratio else NOTHING,
        Sentence("{share} %", share=Number(then.front_taper_mass_share * 100.0)),
        _place(study, stage.expected),
    )


def _within(mass: float, error: float) -> Sentence:
    """A weight [kg] and how far it may be off, in as little room as may be."""
    return Sentence("{mass} ± {error}", mass=Weight(mass, unit=False), error=Weight(error))


def _place(study: Study, mass: float) -> Sentence:
    state = as_it_is(study)
    window = window_alone(state.line, study.rod) if state else None
    return PLACES[windows.place(mass, window).place] if window else NOTHING
