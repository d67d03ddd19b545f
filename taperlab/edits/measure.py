"""Everything a person can do to a measurement of a real line."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from taperlab.edits.changing import (
    Thing,
    check_positive,
    check_segment,
    checked,
    find,
    find_line,
    sound,
    without_blanks,
)
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench, fresh_key, fresh_name, keyed
from taperlab.model.line import NO_LOOP, Line, Loop
from taperlab.model.measurement import USUAL, Material, Measurement, Station, WeighedSection
from taperlab.model.segment import Part
from taperlab.units.limits import MOST_STATIONS
from taperlab.units.sentence import Sentence, counted

SAME_PLACE = 1e-6
"""Distances closer than this are one station [m]."""

Reading = tuple[float, tuple[float, ...]]
"""A distance from the fly end and the diameters read there, all [m]."""


# -- the measurement itself -------------------------------------------------------------------


def start_measurement(
    bench: Bench,
    line: str | None = None,
    length: float | None = None,
    mass: float | None = None,
    name: str = "",
) -> Edited:
    """Begin to measure a real line.

    line: key of the design it was built to, if any; its length is taken where none was measured.
    length: of the whole line [m]. mass: of the whole line [kg], if it was weighed.
    """
    design = find_line(bench, line) if line is not None else None
    if length is None:
        if design is None or not design.segments:
            raise Refused("Measure the whole length first.")
        length = design.length
    name = " ".join(name.split()) or _usual_name(design)
    # The fitted line gets the measurement's key on the bench, so it must be free there too.
    taken = {each.key for each in bench.measurements} | {each.key for each in bench.lines}
    instruments = bench.measurements[-1].instruments if bench.measurements else USUAL
    begun = Measurement(
        fresh_key(taken, "measurement"),
        fresh_name({each.name for each in bench.measurements}, name),
        _length(length),
        instruments,
        line,
        front_loop=design.front_loop if design else NO_LOOP,
        rear_loop=design.rear_loop if design else NO_LOOP,
    )
    if mass is not None:
        begun = replace(begun, sections=(WeighedSection(0.0, begun.length, _mass(mass)),))
    after = replace(bench, measurements=(*bench.measurements, begun))
    return Edited(after, Sentence("Start measurement"))


def delete_measurement(bench: Bench, key: str) -> Edited:
    """Throw a measurement away; a line put on the bench from it stays."""
    gone = find_measurement(bench, key)
    left = tuple(each for each in bench.measurements if each is not gone)
    return Edited(replace(bench, measurements=left), Sentence("Delete measurement"))


def describe_measurement(
    bench: Bench, key: str, name: str, line: str | None, front: Loop, rear: Loop, note: str
) -> Edited:
    """Say what a measurement is called, which loops the line had when it was weighed, and more.

    line: key of the design that the line was built to, if any.
    """
    name = without_blanks(name, Sentence("A measurement needs a name."))
    if line is not None:
        find_line(bench, line)
    sound((front, rear))
    changes = {"name": name, "line": line, "front_loop": front, "rear_loop": rear, "note": note}
    return _changed(bench, key, Sentence("Describe measurement"), **changes)


def set_instruments(
    bench: Bench, key: str, scale: float, tape: float, micrometer: float, scatter: float
) -> Edited:
    """Say how finely scale [kg], tape and micrometer [m] read, and how diameters scatter [m]."""
    before = find_measurement(bench, key).instruments
    for step, what in (
        (scale, Sentence("The scale’s step")),
        (tape, Sentence("The tape’s step")),
        (micrometer, Sentence("The micrometer’s step")),
    ):
        check_positive(step, what)
    if not 0.0 <= scatter < math.inf:
        raise Refused("The scatter of the diameters must be a number of zero or more.")
    instruments = sound(
        replace(before, scale=scale, tape=tape, micrometer=micrometer, scatter=scatter)
    )
    return _changed(bench, key, Sentence("Change instruments"), instruments=instruments)


def set_material(bench: Bench, key: str, material: Material) -> Edited:
    """Say what is known of how alike the line is all along."""
    return _changed(bench, key, Sentence("Change what is known of the material"), material=material)


# -- length and weight of the whole -----------------------------------------------------------


def total_section(measurement: Measurement) -> int | None:
    """Where the weighing of the whole line stands among the sections; None if not weighed."""
    for i, section in enumerate(measurement.sections):
        if section.front == 0.0 and section.rear == measurement.length:
            return i
    return None


def set_total_length(bench: Bench, key: str, length: float) -> Edited:
    """Set the length of the whole line [m]; its weight stays."""
    before = find_measurement(bench, key)
    length = _length(length)
    sections = list(before.sections)
    whole = total_section(before)
    if whole is not None:
        sections[whole] = replace(sections[whole], rear=length)
    return _changed(
        bench, key, Sentence("Change measured length"), length=length, sections=tuple(sections)
    )


def set_total_weight(bench: Bench, key: str, mass: float | None) -> Edited:
    """Set the mass of the whole line [kg]; None if it was not weighed."""
    before = find_measurement(bench, key)
    sections = list(before.sections)
    whole = total_section(before)
    if mass is None:
        if whole is not None:
            del sections[whole]
    elif whole is None:
        sections.insert(0, WeighedSection(0.0, before.length, _mass(mass)))
    else:
        sections[whole] = replace(sections[whole], mass=_mass(mass))
    return _changed(bench, key, Sentence("Change measured weight"), sections=tuple(sections))


# -- stations ---------------------------------------------------------------------------------


def add_station(bench: Bench, key: str, distance: float, diameter: float) -> Edited:
    """Note a diameter at a distance from the fly end [m].

    At a distance that has a station already, it is one more reading of that station.
    """
    before = find_measurement(bench, key)
    stations = _with_readings(before.stations, [(distance, (diameter,))])
    again = len(stations) == len(before.stations)
    text = Sentence("Add reading") if again else Sentence("Add station")
    return _changed(bench, key, text, stations=stations)


def replace_station(
    bench: Bench, key: str, row: int, distance: float, readings: Sequence[float]
) -> Edited:
    """Change where a station lies, or what was read there [m]."""
    before = find_measurement(bench, key)
    station = _station(before, row)
    after = replace(station, distance=_distance(distance), readings=_readings(readings))
    stations = tuple(after if i == row else each for i, each in enumerate(before.stations))
    return _changed(bench, key, Sentence("Change station"), stations=stations)


def delete_stations(bench: Bench, key: str, rows: Iterable[int]) -> Edited:
    """Take stations away."""
    before, gone = find_measurement(bench, key), set(rows)
    none = Sentence("Select one or more stations to delete.")
    kept = _without(before.stations, gone, none, lambda row: _station(before, row))
    text = counted("Delete station", "Delete stations", len(gone))
    return _changed(bench, key, text, stations=kept)


def paste_stations(bench: Bench, key: str, readings: Sequence[Reading]) -> Edited:
    """Add stations from a table in one step; a distance that is there already gains readings."""
    if not readings:
        raise Refused("There are no stations to paste.")
    before = find_measurement(bench, key)
    return _changed(
        bench, key, Sentence("Paste stations"), stations=_with_readings(before.stations, readings)
    )


# -- sections weighed on their own ------------------------------------------------------------


def add_section(
    bench: Bench, key: str, front: float, rear: float, mass: float, span: float = 0.0
) -> Edited:
    """Note what a stretch of line weighs: distances from the fly end [m], mass [kg].

    span: where an end lay on the pan and the rest beside it, how much hung free between [m].
    """
    before = find_measurement(bench, key)
    made = _section(before, front, rear, mass, span)
    return _changed(bench, key, Sentence("Add weighed section"), sections=(*before.sections, made))


def replace_section(
    bench: Bench,
    key: str,
    row: int,
    front: float,
    rear: float,
    mass: float,
    span: float = 0.0,
) -> Edited:
    """Change a weighed section, ``row`` counted among all of them, the whole line included."""
    before = find_measurement(bench, key)
    made = _section(before, front, rear, mass, span, extra=_weighed(before, row).extra)
    sections = tuple(made if i == row else each for i, each in enumerate(before.sections))
    return _changed(bench, key, Sentence("Change weighed section"), sections=sections)


def delete_sections(bench: Bench, key: str, rows: Iterable[int]) -> Edited:
    """Take weighed sections away."""
    before, gone = find_measurement(bench, key), set(rows)
    none = Sentence("Select one or more weighed sections to delete.")
    kept = _without(before.sections, gone, none, lambda row: _weighed(before, row))
    text = counted("Delete weighed section", "Delete weighed sections", len(gone))
    return _changed(bench, key, text, sections=kept)


# -- breakpoints and parts --------------------------------------------------------------------


def fix_breakpoint(bench: Bench, key: str, position: float) -> Edited:
    """Hold a breakpoint at a distance from the fly end [m], whatever the stations say."""
    fixed = move_breakpoint(bench, key, position, position)
    return replace(fixed, text=Sentence("Fix breakpoint"))


def move_breakpoint(bench: Bench, key: str, before: float, position: float) -> Edited:
    """Move a fixed breakpoint from one distance [m] to another; one that was free gets fixed."""
    measurement = find_measurement(bench, key)
    position = _inside(measurement, position)
    others = _apart_from(before, _apart_from(position, measurement.breakpoints))
    places = tuple(sorted((*others, position)))
    return _changed(bench, key, Sentence("Move breakpoint"), breakpoints=places)


def _apart_from(place: float, places: Iterable[float]) -> tuple[float, ...]:
    return tuple(each for each in places if abs(each - place) > SAME_PLACE)


def release_breakpoint(bench: Bench, key: str, position: float) -> Edited:
    """Let the stations place the breakpoint that was fixed at a distance [m]."""
    before = find_measurement(bench, key)
    others = _apart_from(position, before.breakpoints)
    if len(others) == len(before.breakpoints):
        raise Refused("That breakpoint is not fixed; the stations place it.")
    return _changed(bench, key, Sentence("Release breakpoint"), breakpoints=others)


def set_breakpoints(bench: Bench, key: str, positions: Sequence[float]) -> Edited:
    """Fix these breakpoints [m] and no others."""
    before = find_measurement(bench, key)
    inside = sorted({_inside(before, position) for position in positions})
    return _changed(bench, key, Sentence("Move breakpoint"), breakpoints=tuple(inside))


def set_only_fixed(bench: Bench, key: str, only: bool) -> Edited:
    """Take the fixed breakpoints alone, or look for others as well."""
    return _changed(bench, key, Sentence("Search breakpoints"), only_fixed=only)


def set_part(bench: Bench, key: str, row: int, part: Part, shown: Sequence[Part]) -> Edited:
    """Correct the part of a fitted segment; ``shown`` are the parts of all of them now."""
    if not 0 <= row < len(shown):
        raise Refused(
            "The fit has no segment {row}; it has {count}.", row=row + 1, count=len(shown)
        )
    parts = tuple(part if i == row else each for i, each in enumerate(shown))
    return _changed(bench, key, Sentence("Change measured part"), parts=parts)


# -- on the bench -----------------------------------------------------------------------------


def put_on_bench(bench: Bench, key: str, fitted: Line) -> Edited:
    """Put the fitted line on the bench and make it current.

    Once it is there it is replaced, so that the bench follows what was measured since; its name,
    style and note stay as they were given.
    """
    measurement = find_measurement(bench, key)
    for row, segment in enumerate(fitted.segments):
        check_segment(segment, row)
    there = keyed(bench.lines, key)
    if there is None:
        name = fresh_name({line.name for line in bench.lines}, measurement.name)
        line = replace(fitted, key=key, name=name, note=measurement.note)
        after = replace(bench, lines=(*bench.lines, line))
    else:
        given = {name: getattr(there, name) for name in ("key", "name", "style", "note", "extra")}
        line = replace(fitted, **given)
        after = bench.with_line(line) if line != there else bench
    if after.view.line != key:
        after = replace(after, view=replace(after.view, line=key))
    return Edited(after, Sentence("Put measured line on the bench"), line=key)


# -- finding and checking ---------------------------------------------------------------------


def find_measurement(bench: Bench, key: str) -> Measurement:
    """The measurement with this key. Raises Refused."""
    return find(bench.measurements, key, Sentence("That measurement is no longer in the bench."))


def _usual_name(design: Line | None) -> str:
    if design is None:
        return str(Sentence("Customer’s line"))
    return str(Sentence("{design}, as built", design=design.name))


def _changed(bench: Bench, key: str, text: Sentence, **changes: Any) -> Edited:
    before = find_measurement(bench, key)
    after = replace(before, **changes)
    if after == before:
        return Edited(bench, text)
    measurements = tuple(after if each is before else each for each in bench.measurements)
    return Edited(replace(bench, measurements=measurements), text)


_length = partial(checked, Measurement, "length")
_mass = partial(checked, WeighedSection, "mass")
_span = partial(checked, WeighedSection, "span")
_distance = partial(checked, Station, "distance")


def _readings(readings: Sequence[float]) -> tuple[float, ...]:
    if not readings:
        raise Refused("A station needs at least one diameter; delete the station instead.")
    return tuple(checked(Station, "readings", reading) for reading in readings)


def _without(
    things: tuple[Thing, ...], rows: set[int], none: Sentence, check: Callable[[int], object]
) -> tuple[Thing, ...]:
    if not rows:
        raise Refused(none)
    for row in rows:
        check(row)
    return tuple(each for i, each in enumerate(things) if i not in rows)


def _station(measurement: Measurement, row: int) -> Station:
    if not 0 <= row < len(measurement.stations):
        raise Refused(
            counted(
                "There is no station {row}; there is {count}.",
                "There is no station {row}; there are {count}.",
                len(measurement.stations),
                row=row + 1,
            )
        )
    return measurement.stations[row]


def _weighed(measurement: Measurement, row: int) -> WeighedSection:
    if not 0 <= row < len(measurement.sections):
        raise Refused("There is no weighed section {row}.", row=row + 1)
    return measurement.sections[row]


def _with_readings(
    stations: tuple[Station, ...], readings: Sequence[Reading]
) -> tuple[Station, ...]:
    found = list(stations)
    for distance, diameters in readings:
        distance, diameters = _distance(distance), _readings(diameters)
        for i, station in enumerate(found):
            if abs(station.distance - distance) <= SAME_PLACE:
                found[i] = replace(station, readings=station.readings + diameters)
                break
        else:
            found.append(Station(distance, diameters))
    if len(found) > MOST_STATIONS:
        raise Refused(
            "That would be {count} stations; a measurement has at most {most}.",
            count=len(found),
            most=MOST_STATIONS,
        )
    return tuple(found)


def _section(
    measurement: Measurement, front: float, rear: float, mass: float, span: float, **kept: Any
) -> WeighedSection:
    front, rear = _distance(front), _distance(rear)
    if rear - front <= SAME_PLACE:
        raise Refused("A weighed section must end farther from the fly end than it begins.")
    if rear > measurement.length + measurement.instruments.tape:
        raise Refused("A weighed section must end within the measured length.")
    at_an_end = front == 0.0 or rear >= measurement.length - measurement.instruments.tape
    if span > 0.0 and (not at_an_end or rear - front + span > measurement.length):
        raise Refused("Only with an end of the line on the pan can the rest hang free beside it.")
    return WeighedSection(front, rear, _mass(mass), _span(span), **kept)


def _inside(measurement: Measurement, position: float) -> float:
    if not SAME_PLACE < position < measurement.length - SAME_PLACE:
        raise Refused("A breakpoint must lie between the ends of the measured line.")
    return position
