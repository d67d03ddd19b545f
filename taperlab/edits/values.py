"""Typing a number, a word or a fitting of one segment. Rows count from 0 at the fly end."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from typing import Any

from taperlab.edits.changing import (
    FRONT,
    REAR,
    changed,
    check_positive,
    find_line,
    find_segment,
    followers,
    of_density,
    same,
    sound,
    weighing,
    with_line,
    with_segments,
    within,
)
from taperlab.edits.edited import Edited, Ends, Refused, Solve
from taperlab.edits.rows import is_as_put_in, new_segment
from taperlab.model.bench import Bench
from taperlab.model.line import Joint, Line
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics import section
from taperlab.physics.sinking import density_for_sink_rate
from taperlab.physics.water import water_state
from taperlab.units.kinds import DENSITY, DIAMETER, SINK_RATE
from taperlab.units.sentence import NOTHING, Sentence


def set_part(bench: Bench, line: str, index: int, part: Part) -> Edited:
    """Say what a segment is for. A sink tip that was only just put in becomes one that sinks."""
    whole = find_line(bench, line)
    segment, text = find_segment(whole, index), Sentence("Change part")
    if part is not Part.SINK_TIP or segment.part is part or not is_as_put_in(whole, index):
        return _typed(bench, line, index, text, part=part)
    after = new_segment(whole, index, part)
    if not (index and whole.segments[index - 1].part is part):
        text = Sentence("Change part: a sink tip starts as tungsten stock, by common practice")
    return _with(bench, whole, index, after, text, ends=Ends.STEPPED)


def set_note(bench: Bench, line: str, index: int, note: str) -> Edited:
    """Write a note beside a segment."""
    return _typed(bench, line, index, Sentence("Change note"), note=note)


def set_length(bench: Bench, line: str, index: int, length: float) -> Edited:
    """Give a segment another length [m]; its diameters stay, its weight follows."""
    return _typed(bench, line, index, Sentence("Change length"), length=length)


def set_front_diameter(
    bench: Bench, line: str, index: int, diameter: float, ends: Ends = Ends.JOINED
) -> Edited:
    """Give a segment another diameter [m] at its front.

    Here and below, ``ends`` says whether the end that meets an end follows, if it was as thick.
    """
    text = Sentence("Change front diameter")
    return _typed(bench, line, index, text, ends, front_diameter=diameter)


def set_rear_diameter(
    bench: Bench, line: str, index: int, diameter: float, ends: Ends = Ends.JOINED
) -> Edited:
    """Give a segment another diameter [m] at its rear."""
    text = Sentence("Change rear diameter")
    return _typed(bench, line, index, text, ends, rear_diameter=diameter)


def set_density(bench: Bench, line: str, index: int, density: float) -> Edited:
    """Give a segment another mean density [kg/m^3]; round a core, the coating takes it up."""
    whole = find_line(bench, line)
    after = of_density(find_segment(whole, index), index, density)
    return _with(bench, whole, index, after, Sentence("Change density"), typed=["density"])


def set_weight(
    bench: Bench,
    line: str,
    index: int,
    mass: float,
    solve: Solve = Solve.DENSITY,
    ends: Ends = Ends.JOINED,
) -> Edited:
    """Make a segment weigh ``mass`` [kg], joints and loops left out.

    By density, or by diameter: both ends grow or shrink by the same factor, a core stays.
    """
    whole = find_line(bench, line)
    segment = find_segment(whole, index)
    check_positive(mass, Sentence("The weight of segment {row}", row=index + 1))
    if same(mass, section.mass(segment)):
        after = segment
    elif solve == Solve.DENSITY:
        after = weighing(segment, index, mass)
    else:
        factor = float(section.taper_of(segment).scale_for_mass(mass))
        after = changed(
            segment,
            index,
            front_diameter=segment.front_diameter * factor,
            rear_diameter=segment.rear_diameter * factor,
        )
    held = Sentence("the weight holds")
    return _with(bench, whole, index, after, Sentence("Change weight"), ends=ends, held=held)


def set_front_linear_density(
    bench: Bench,
    line: str,
    index: int,
    linear_density: float,
    solve: Solve = Solve.DENSITY,
    ends: Ends = Ends.JOINED,
) -> Edited:
    """Give the front end of a segment a mass per length [kg/m].

    By density the whole segment changes. By diameter this end does, and the rear with it where
    the segment is level: level line is named by its weight per length.
    """
    text = Sentence("Change front weight per length")
    return _set_linear_density(bench, line, index, linear_density, solve, ends, FRONT, text)


def set_rear_linear_density(
    bench: Bench,
    line: str,
    index: int,
    linear_density: float,
    solve: Solve = Solve.DENSITY,
    ends: Ends = Ends.JOINED,
) -> Edited:
    """Give the rear end of a segment a mass per length [kg/m].

    By density the whole segment changes; by diameter only this end does, which makes a taper.
    """
    text = Sentence("Change rear weight per length")
    return _set_linear_density(bench, line, index, linear_density, solve, ends, REAR, text)


def set_sink_rate(bench: Bench, line: str, index: int, rate: float) -> Edited:
    """Make a segment, settling alone as one body, sink at ``rate`` [m/s]; negative rises.

    It settles in the water of the bench.
    """
    whole = find_line(bench, line)
    segment = find_segment(whole, index)
    within(rate, SINK_RATE, Sentence("The sink rate of segment {row}", row=index + 1))
    try:
        density = density_for_sink_rate(rate, section.taper_of(segment), water_state(bench.water))
    except ValueError:
        raise Refused(
            "Nothing is light enough for segment {row} to rise that fast.", row=index + 1
        ) from None
    after = of_density(segment, index, float(density))
    held = Sentence("the sink rate holds")
    return _with(bench, whole, index, after, Sentence("Change sink rate"), held=held)


def set_core(
    bench: Bench,
    line: str,
    index: int,
    diameter: float,
    density: float,
    coating_density: float | None = None,
) -> Edited:
    """Say that a segment has a core of this diameter [m] and density [kg/m^3].

    Without a coating density [kg/m^3] the coating gets the one that keeps the segment's weight.
    """
    whole = find_line(bench, line)
    segment = find_segment(whole, index)
    within(diameter, DIAMETER, Sentence("The core diameter of segment {row}", row=index + 1))
    within(density, DENSITY, Sentence("The core density of segment {row}", row=index + 1))
    core = (
        replace(segment.core, diameter=diameter, density=density)
        if segment.core
        else Core(diameter, density)
    )
    if coating_density is not None:
        after = changed(segment, index, core=core, density=coating_density)
    elif core == segment.core:
        after = segment
    else:
        after = weighing(changed(segment, index, core=core), index, section.mass(segment))
    return _with(bench, whole, index, after, Sentence("Change core"))


def remove_core(bench: Bench, line: str, index: int) -> Edited:
    """Make a segment one material again, of the same weight."""
    whole = find_line(bench, line)
    segment = find_segment(whole, index)
    after = segment
    if segment.core:
        after = changed(segment, index, core=None, density=section.mean_density(segment))
    return _with(bench, whole, index, after, Sentence("Remove core"))


def set_joint(bench: Bench, line: str, index: int, joint: Joint) -> Edited:
    """Say how segments ``index`` and ``index + 1`` meet."""
    whole = find_line(bench, line)
    if not 0 <= index < len(whole.joints):
        raise Refused("{line} has no joint behind segment {row}.", line=whole.name, row=index + 1)
    joints = (*whole.joints[:index], sound(joint), *whole.joints[index + 1 :])
    return with_line(
        bench, whole, replace(whole, joints=joints), Sentence("Change joint"), (index,)
    )


def _set_linear_density(
    bench: Bench,
    line: str,
    index: int,
    linear_density: float,
    solve: Solve,
    ends: Ends,
    side: str,
    text: Sentence,
) -> Edited:
    whole = find_line(bench, line)
    segment = find_segment(whole, index)
    check_positive(
        linear_density, Sentence("The weight per length of segment {row}", row=index + 1)
    )
    taper, diameter = section.taper_of(segment), getattr(segment, side)
    if solve == Solve.DENSITY:
        changes = ["density"]
        found = taper.density_for_linear_density(linear_density, diameter)
    else:
        level = side == FRONT and same(segment.front_diameter, segment.rear_diameter)
        changes = [FRONT, REAR] if level else [side]
        found = taper.diameter_for_linear_density(linear_density)
    unchanged = same(float(found), getattr(segment, changes[0]))
    after = (
        segment if unchanged else changed(segment, index, **dict.fromkeys(changes, float(found)))
    )
    held = Sentence("the weight per length holds")
    return _with(bench, whole, index, after, text, ends=ends, held=held)


def _typed(
    bench: Bench,
    line: str,
    index: int,
    text: Sentence,
    ends: Ends = Ends.JOINED,
    **changes: Any,
) -> Edited:
    whole = find_line(bench, line)
    after = changed(find_segment(whole, index), index, **changes)
    typed = [name.replace("_", " ") for name in changes]
    return _with(bench, whole, index, after, text, ends=ends, typed=typed)


def _with(
    bench: Bench,
    whole: Line,
    index: int,
    after: Segment,
    text: Sentence,
    *,
    ends: Ends = Ends.JOINED,
    typed: Collection[str] = (),
    held: Sentence = NOTHING,
) -> Edited:
    """The bench with a segment replaced; the ends that meet its own follow."""
    changes = {index: after}
    given = {(index, side): getattr(after, side) for side in (FRONT, REAR)}
    for (row, side), diameter in followers(whole, given, ends).items():
        changes[row] = changed(whole.segments[row], row, **{side: diameter})
    places = [(name, index) for name in typed]
    edited = with_segments(bench, whole, changes, text, typed=places, rows=(index,))
    return replace(edited, held=held)
