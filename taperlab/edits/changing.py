"""What the edits share: limits, finding a row, building a segment, sharing what did not change."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from typing import Any

from taperlab.edits.edited import Edited, Moved, Refused
from taperlab.model.bench import Bench
from taperlab.model.exact_units import INCH
from taperlab.model.line import Line
from taperlab.model.segment import Segment
from taperlab.physics import section
from taperlab.units.sentence import Sentence, verbatim

LONGEST = 1000.0
"""No piece of line is longer [m]."""

THINNEST, THICKEST = 1e-5, 0.05
"""No line is thinner or thicker [m]."""

LIGHTEST, DENSEST = 50.0, 25_000.0
"""No coating is lighter (a bare foam) or denser (pure tungsten is 19 300) [kg/m^3]."""

SHORTEST = 0.005
"""A dragged breakpoint leaves at least this much of the segments beside it [m]."""

SAME = 1e-9
"""Numbers closer than this, relatively, are the same measure."""


def same(one: float, other: float) -> bool:
    """Whether two numbers are the same but for rounding."""
    return math.isclose(one, other, rel_tol=SAME, abs_tol=0.0)


def size(diameter: float) -> str:
    """A diameter [m] in the words of a refusal."""
    return f"{diameter * 1000.0:.3g} mm ({diameter / INCH:.3g} in)"


def g_per_cm3(density: float) -> str:
    """A density [kg/m^3] in the words of a refusal."""
    return f"{density / 1000.0:.3g} g/cm³"


# -- finding ----------------------------------------------------------------------------------


def find_line(bench: Bench, key: str) -> Line:
    """The line with this key. Raises Refused."""
    try:
        return bench.line(key)
    except KeyError:
        raise Refused(Sentence("That line is no longer in the bench.")) from None


def find_segment(line: Line, index: int) -> Segment:
    """The segment in a row. Raises Refused."""
    if not 0 <= index < len(line.segments):
        raise Refused(verbatim(f"{line.name} has no row {index + 1}; it has {len(line.segments)}."))
    return line.segments[index]


def find_rows(line: Line, indices: Iterable[int], doing: str) -> tuple[int, ...]:
    """Rows in order, each once. Raises Refused if there are none or one does not exist."""
    rows = tuple(sorted(set(indices)))
    if not rows:
        raise Refused(verbatim(f"Select one or more rows to {doing}."))
    for row in rows:
        find_segment(line, row)
    return rows


# -- checking ---------------------------------------------------------------------------------


def check_positive(value: float, what: str) -> float:
    """The value, if it is a finite number above zero. Raises Refused."""
    if not (math.isfinite(value) and value > 0.0):
        raise Refused(verbatim(f"{what} must be above zero."))
    return value


def check_length(length: float, row: int) -> float:
    """The length [m], if line can have it. Raises Refused."""
    check_positive(length, f"The length of row {row + 1}")
    if length > LONGEST:
        raise Refused(verbatim(f"The length of row {row + 1} would be over {LONGEST:.0f} m."))
    return length


def check_diameter(diameter: float, row: int) -> float:
    """The diameter [m], if line can have it. Raises Refused."""
    if not math.isfinite(diameter):
        raise Refused(verbatim(f"No diameter of row {row + 1} gives that."))
    if not THINNEST <= diameter <= THICKEST:
        raise Refused(
            verbatim(
                f"Row {row + 1} would be {size(diameter)} thick; "
                f"a diameter must be from {THINNEST * 1000.0:g} to {THICKEST * 1000.0:g} mm."
            )
        )
    return diameter


def check_density(density: float, row: int, *, coating: bool = False) -> float:
    """The density [kg/m^3], if material can have it. Raises Refused."""
    what = "coating density" if coating else "density"
    if not math.isfinite(density):
        raise Refused(verbatim(f"No {what} of row {row + 1} gives that."))
    if not LIGHTEST <= density <= DENSEST:
        raise Refused(
            verbatim(
                f"Row {row + 1} would need a {what} of {g_per_cm3(density)}; "
                f"it must be from {LIGHTEST / 1000.0:g} to {DENSEST / 1000.0:g} g/cm³."
            )
        )
    return density


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
                verbatim(
                    f"The core of row {row + 1} is {size(core.diameter)} thick; "
                    f"the segment can't be {size(diameter)}."
                )
            )
    if "density" in after:
        check_density(after["density"], row, coating=core is not None)
    return replace(segment, **after)


# -- weight -----------------------------------------------------------------------------------


core_of = section.core_of
segment_mass = section.mass
mean_density = section.mean_density


def weighing(segment: Segment, row: int, mass: float) -> Segment:
    """The segment with the density, or coating density, that gives it a mass [kg]."""
    return changed(segment, row, density=section.density_for_mass(segment, mass))


def of_density(segment: Segment, row: int, density: float) -> Segment:
    """The segment with this mean density [kg/m^3]; a core's coating takes up the change."""
    if segment.core is None:
        return changed(segment, row, density=density)
    check_density(density, row)
    if same(density, mean_density(segment)):
        return segment
    return weighing(segment, row, density * section.volume(segment))


# -- giving back ------------------------------------------------------------------------------

MEASURES = {
    "length": lambda segment: segment.length,
    "front diameter": lambda segment: segment.front_diameter,
    "rear diameter": lambda segment: segment.rear_diameter,
    "density": mean_density,
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
    """The bench with a line replaced, or the same bench if the line is as it was."""
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
