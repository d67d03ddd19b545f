"""What the edits share: finding, checking, building a segment, sharing what did not change."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from taperlab.edits.edited import Edited, Ends, Moved, Refused
from taperlab.model.bench import Bench, Keyed, keyed
from taperlab.model.line import Line
from taperlab.model.segment import Segment
from taperlab.physics import section
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, Kind
from taperlab.units.limits import LIMITS, MOST_SEGMENTS, outside
from taperlab.units.parse import limits
from taperlab.units.sentence import Diameter, Quantity, Sentence, of_table

Thing = TypeVar("Thing")
KeyedThing = TypeVar("KeyedThing", bound=Keyed)

SHORTEST = 0.005
"""A dragged breakpoint leaves at least this much of the segments beside it [m]."""

SAME = 1e-9
"""Numbers closer than this, relatively, are the same measure."""


def same(one: float, other: float) -> bool:
    """Whether two numbers are the same but for rounding."""
    return math.isclose(one, other, rel_tol=SAME, abs_tol=0.0)


# -- finding ----------------------------------------------------------------------------------


def find(things: Iterable[KeyedThing], key: str, gone: Sentence) -> KeyedThing:
    """The one of the things with this key. Raises Refused, saying ``gone``."""
    if found := keyed(things, key):
        return found
    raise Refused(gone)


def find_line(bench: Bench, key: str) -> Line:
    """The line with this key. Raises Refused."""
    return find(bench.lines, key, Sentence("That line is no longer in the bench."))


def find_segment(line: Line, index: int) -> Segment:
    """The segment in a row. Raises Refused."""
    if not 0 <= index < len(line.segments):
        raise Refused(
            "{line} has no segment {row}; it has {count}.",
            line=line.name,
            row=index + 1,
            count=len(line.segments),
        )
    return line.segments[index]


def find_rows(line: Line, indices: Iterable[int], none: Sentence) -> tuple[int, ...]:
    """Rows in order, each once. Raises Refused if one does not exist or, saying ``none``, none."""
    rows = tuple(sorted(set(indices)))
    if not rows:
        raise Refused(none)
    for row in rows:
        find_segment(line, row)
    return rows


# -- checking ---------------------------------------------------------------------------------


def check_positive(value: float, what: Sentence) -> float:
    """The value, if it is a finite number above zero. Raises Refused.

    For what is worked back to another number, whose limits decide.
    """
    if not (math.isfinite(value) and value > 0.0):
        raise Refused("{what} must be above zero.", what=what)
    return value


def within(value: float, kind: Kind, what: Sentence) -> float:
    """The value [SI], if it lies within the limits of its kind. Raises Refused."""
    if kind.lowest > 0.0:
        check_positive(value, what)
    if not kind.allows(value):
        raise Refused(_beyond(value, kind, what))
    return value


def checked(owner: type, name: str, value: float) -> float:
    """The value [SI], if the model's number of that name can be it. Raises Refused."""
    limited = LIMITS[owner][name]
    if limited.besides is not None and value == limited.besides:
        return value
    if limited.besides == 0.0 and not value > 0.0:
        raise Refused("{what} must be zero or more.", what=of_table(limited.name))
    return within(value, limited.kind, of_table(limited.name))


def _beyond(value: float, kind: Kind, what: Sentence) -> Sentence:
    return Sentence(
        "{what} would be {value}; it must be {limits}.",
        what=what,
        value=Quantity(kind, value),
        limits=limits(kind),
    )


def without_blanks(name: str, none: Sentence) -> str:
    """A name without needless blanks. Raises Refused, saying ``none``, where nothing is left."""
    if found := " ".join(name.split()):
        return found
    raise Refused(none)


def sound(thing: Thing) -> Thing:
    """The thing, if every number in it lies within the limits of its kind. Raises Refused."""
    if found := outside(thing):
        limited, value = found
        raise Refused(_beyond(value, limited.kind, of_table(limited.name)))
    return thing


def check_length(length: float, row: int) -> None:
    """Refuse a length [m] that line can't have."""
    within(length, LENGTH, Sentence("The length of segment {row}", row=row + 1))


def check_diameter(diameter: float, row: int) -> None:
    """Refuse a diameter [m] that line can't have, or that could not be worked back."""
    none = Sentence("No diameter of segment {row} gives that.", row=row + 1)
    _check_found(diameter, DIAMETER, Sentence("A diameter of segment {row}", row=row + 1), none)


def check_density(density: float, row: int, *, coating: bool = False) -> None:
    """Refuse a density [kg/m^3] that material can't have, or that could not be worked back."""
    what = Sentence("The density of segment {row}", row=row + 1)
    none = Sentence("No density of segment {row} gives that.", row=row + 1)
    if coating:
        what = Sentence("The coating density of segment {row}", row=row + 1)
        none = Sentence("No coating density of segment {row} gives that.", row=row + 1)
    _check_found(density, DENSITY, what, none)


def _check_found(value: float, kind: Kind, what: Sentence, none: Sentence) -> None:
    if not math.isfinite(value):
        raise Refused(none)
    if not kind.allows(value):
        raise Refused(_beyond(value, kind, what))


def check_segment(segment: Segment, row: int) -> Segment:
    """The segment, if line can be like it. Raises Refused."""
    check_length(segment.length, row)
    check_diameter(segment.front_diameter, row)
    check_diameter(segment.rear_diameter, row)
    check_density(segment.density, row, coating=segment.core is not None)
    return sound(segment)


def changed(segment: Segment, row: int, **changes: Any) -> Segment:
    """The segment with fields replaced, or itself if they are as before. Raises Refused."""
    after = {name: value for name, value in changes.items() if getattr(segment, name) != value}
    if not after:
        return segment
    core = after.get("core", segment.core)
    if "length" in after:
        check_length(after["length"], row)
    for end in ("front_diameter", "rear_diameter"):
        if end in after:
            check_diameter(after[end], row)
        diameter = after.get(end, getattr(segment, end))
        if core and core.diameter > diameter:
            raise Refused(
                "The core of segment {row} is {core} thick; the segment can’t be {diameter}.",
                row=row + 1,
                core=Diameter(core.diameter),
                diameter=Diameter(diameter),
            )
    if "density" in after:
        check_density(after["density"], row, coating=core is not None)
    if "core" in after:
        sound(core)
    return replace(segment, **after)


# -- ends that meet ---------------------------------------------------------------------------

FRONT, REAR = "front_diameter", "rear_diameter"

End = tuple[int, str]
"""An end of a segment: its row, and ``FRONT`` or ``REAR``."""


def partner(line: Line, end: End, ends: Ends) -> End | None:
    """The end of a neighbour that moves with an end: it meets it, and is as thick.

    One rule for whatever gives an end another diameter: typing, paste, fill, a drag.
    """
    row, side = end
    other = (row + 1, FRONT) if side == REAR else (row - 1, REAR)
    if ends is Ends.STEPPED or not 0 <= other[0] < len(line.segments):
        return None
    meets, own = (getattr(line.segments[at], name) for at, name in (other, end))
    return other if same(meets, own) else None


def followers(line: Line, given: Mapping[End, float], ends: Ends) -> dict[End, float]:
    """The ends of neighbours that take up a given diameter [m]; one that is given itself stays."""
    found = {}
    for end, diameter in given.items():
        other = partner(line, end, ends)
        row, side = end
        if other and other not in given and diameter != getattr(line.segments[row], side):
            found[other] = diameter
    return found


# -- weight -----------------------------------------------------------------------------------


def weighing(segment: Segment, row: int, mass: float) -> Segment:
    """The segment with the density, or coating density, that gives it a mass [kg]."""
    return changed(segment, row, density=section.density_for_mass(segment, mass))


def of_density(segment: Segment, row: int, density: float) -> Segment:
    """The segment with this mean density [kg/m^3]; a core's coating takes up the change."""
    if segment.core is None:
        return changed(segment, row, density=density)
    check_density(density, row)
    if same(density, section.mean_density(segment)):
        return segment
    return weighing(segment, row, density * section.volume(segment))


# -- giving back ------------------------------------------------------------------------------

MEASURES = {
    "length": lambda segment: segment.length,
    "front diameter": lambda segment: segment.front_diameter,
    "rear diameter": lambda segment: segment.rear_diameter,
    "density": section.mean_density,
}


def moved_between(before: Line, after: Line, typed: Collection[tuple[str, int]]) -> list[Moved]:
    """Numbers that differ between two lines of as many rows, but for those typed."""
    found = []
    for row, (old, new) in enumerate(zip(before.segments, after.segments, strict=True)):
        if old is new:
            continue
        for quantity, measure in MEASURES.items():
            was, now = measure(old), measure(new)
            rounding = quantity == "density" and math.isclose(was, now, rel_tol=1e-12)
            if was != now and not rounding and (quantity, row) not in typed:
                found.append(Moved(quantity, row, was, now))
    return found


def with_line(
    bench: Bench, before: Line, after: Line, text: Sentence, rows: tuple[int, ...] = ()
) -> Edited:
    """The bench with a line replaced, or the same bench if the line is as it was.

    Raises Refused for more segments than a file may hold.
    """
    if len(after.segments) > MOST_SEGMENTS:
        raise Refused(
            "{line} would have {count} segments; a line has at most {most}.",
            line=before.name,
            count=len(after.segments),
            most=MOST_SEGMENTS,
        )
    if after != before:
        bench = bench.with_line(after)
    return Edited(bench, text, line=before.key, segments=rows)


def with_segments(
    bench: Bench,
    line: Line,
    changes: Mapping[int, Segment],
    text: Sentence,
    *,
    typed: Collection[tuple[str, int]] = (),
    rows: tuple[int, ...],
) -> Edited:
    """The bench with some segments of a line replaced, and what moved besides what was typed."""
    after = replace(
        line,
        segments=tuple(
            changes[row] if changes.get(row, old) != old else old
            for row, old in enumerate(line.segments)
        ),
    )
    edited = with_line(bench, line, after, text, rows)
    if edited.bench is bench:
        return edited
    return replace(edited, moved=tuple(moved_between(line, after, typed)))
