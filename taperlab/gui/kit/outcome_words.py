"""What the status line says after an edit: the step, and which other numbers it moved."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from taperlab.edits.edited import Moved
from taperlab.gui.state.document import Outcome
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, Kind, System
from taperlab.units.language import later, tr
from taperlab.units.sentence import Quantity, Sentence, Several, Share, Value, counted, render
from taperlab.units.words import capital

_MOST = 2
"""Numbers told one by one; the rest are counted."""

_QUANTITIES: dict[str, tuple[Kind, str]] = {
    "length": (LENGTH, later("length")),
    "front diameter": (DIAMETER, later("front diameter")),
    "rear diameter": (DIAMETER, later("rear diameter")),
    "density": (DENSITY, later("density")),
}


def outcome_sentence(outcome: Outcome, system: System) -> Sentence:
    """Why an edit was refused, or its step and what it moved besides the number typed."""
    if outcome.refused or not outcome.moved:
        return outcome.refused or outcome.text
    moved = _moved(outcome.moved, system)
    if outcome.held:
        moved = Sentence("{moved} so that {held}", moved=moved, held=outcome.held)
    return Sentence("{step}. {moved}", step=outcome.text, moved=capital(render(moved, system)))


def _moved(moved: Sequence[Moved], system: System) -> Sentence:
    if alike := _alike(moved):
        return alike
    told = tuple(_one(each, system) for each in moved[:_MOST])
    rest = len(moved) - _MOST
    if rest > 0:
        told += (counted("{count} more number moved", "{count} more numbers moved", rest),)
    return Sentence("{numbers}", numbers=Several(told))


def _alike(moved: Sequence[Moved]) -> Sentence | None:
    """Many numbers of one kind that moved by one factor, in a sentence; None if they are not."""
    if len(moved) <= _MOST:
        return None
    kinds = {_QUANTITIES[each.quantity][0] for each in moved}
    factors = [each.after / each.before for each in moved]
    if len(kinds) > 1 or not math.isclose(min(factors), max(factors), rel_tol=1e-6):
        return None
    rows = sorted({each.segment + 1 for each in moved})
    if rows == list(range(rows[0], rows[-1] + 1)):
        where = Sentence("segments {first} to {last}", first=rows[0], last=rows[-1])
    else:
        where = Sentence("segments {rows}", rows=Several(tuple(rows)))
    told = {
        DIAMETER: Sentence("diameters of {segments} moved by {share}", **_by(where, factors[0])),
        LENGTH: Sentence("lengths of {segments} moved by {share}", **_by(where, factors[0])),
        DENSITY: Sentence("densities of {segments} moved by {share}", **_by(where, factors[0])),
    }
    return told[kinds.pop()]


def _by(where: Sentence, factor: float) -> dict[str, Value]:
    return {"segments": where, "share": Share(factor - 1.0, signed=True)}


def _one(moved: Moved, system: System) -> Sentence:
    kind, noun = _QUANTITIES[moved.quantity]
    quantity, row = tr(noun), moved.segment + 1
    # One unit for both, but for feet and inches, which have none behind them.
    both = kind.shown(system).feet_and_inches
    before, after = Quantity(kind, moved.before), Quantity(kind, moved.after)
    if before.text(system) == after.text(system):
        return Sentence(
            "{quantity} of segment {row} moved by less than is shown", quantity=quantity, row=row
        )
    return Sentence(
        "{quantity} of segment {row} moved from {before} to {after}",
        quantity=quantity,
        row=row,
        before=replace(before, unit=both),
        after=after,
    )
