"""How closely a line is made, and leaving some of it on to be cut back to the scale."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import find_line, find_segment, sound, with_line, within
from taperlab.edits.cut_back import start_cut_back
from taperlab.edits.edited import Edited, together
from taperlab.edits.lines import duplicate_line, fresh_line_key, fresh_line_name, rename_line
from taperlab.edits.values import set_length
from taperlab.model.bench import Bench
from taperlab.model.cut_log import Target, TargetKind
from taperlab.model.measurement import Instruments
from taperlab.model.tolerance import Tolerance
from taperlab.units.kinds import SHORT_LENGTH, WEIGHT
from taperlab.units.sentence import Sentence


def set_tolerance(bench: Bench, line: str, tolerance: Tolerance) -> Edited:
    """Say how far each dimension of a line may be off; what is None is as the instruments read."""
    whole = find_line(bench, line)
    after = replace(whole, tolerance=sound(tolerance))
    return with_line(bench, whole, after, Sentence("Change tolerances"))


def leave_on(
    bench: Bench, line: str, row: int, length: float, mass: float, instruments: Instruments
) -> Edited:
    """Put a copy of a line on the bench that is longer in one row [m], and begin to cut it back.

    mass: what its head is cut back to [kg]: what the line's own weighs. The line stays as it is.
    """
    whole = find_line(bench, line)
    before = find_segment(whole, row)
    within(length, SHORT_LENGTH, Sentence("What is left on"))
    within(mass, WEIGHT, Sentence("The weight of the head"))
    key = fresh_line_key(bench)
    name = fresh_line_name(bench, f"{whole.name}, to cut back")
    return together(
        bench,
        Sentence("Leave belly on and cut it back"),
        (
            (duplicate_line, (line,)),
            (rename_line, (key, name)),
            (set_length, (key, row, before.length + length)),
            (start_cut_back, (key, Target(TargetKind.WEIGHT, mass), instruments)),
        ),
        (row,),
    )
