"""All that a page shows of a measurement, worked out in one call from values alone."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.line import Line, Style
from taperlab.model.measurement import Measurement
from taperlab.physics.head import rows_in_one_piece
from taperlab.shop.measure.as_built import CONFIDENT, Row, compare
from taperlab.shop.measure.measure import Measured, measure
from taperlab.shop.measure.next_measurement import Aim, Suggestion, sharpest_next
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.stations import Stations, gather
from taperlab.units.sentence import NOTHING, Sentence

CANDIDATES = 12

WORTH_SAYING = 0.9
"""A further measurement is worth naming if it brings an error below this share of itself."""


@dataclass(frozen=True, eq=False, slots=True)
class Study:
    """A measurement studied.

    stations: what was read, in order, with errors. fit: None, and ``why_not`` a sentence, where
    nothing could be fitted. total, head: mass [kg] and its standard deviation; head is None where
    the whole line is the head. aim, next: which measurements would sharpen what, best first, none
    where nothing is worth it. rows: against the design, empty without one.
    """

    measurement: Measurement
    stations: Stations
    fit: Measured | None
    why_not: Sentence = NOTHING
    total: tuple[float, float] = (0.0, 0.0)
    head: tuple[float, float] | None = None
    head_length: float = 0.0
    aim: Aim = Aim.HEAD_WEIGHT
    next: tuple[Suggestion, ...] = ()
    rows: tuple[Row, ...] = ()


def study(measurement: Measurement, design: Line | None = None) -> Study:
    """Fit a measurement and say what is known, what is not, and how it differs from a design."""
    points, _ = gather(measurement.stations, measurement.length, measurement.instruments)
    fit = measure(measurement, style=design.style if design else Style.OTHER)
    if isinstance(fit, NoFit):
        return Study(measurement, points, None, fit.sentence)
    end = head_end(fit.line)
    part_of_it = 0.0 < end < fit.line.length
    aim, suggestions = worth_measuring(fit, measurement, end)
    return Study(
        measurement,
        points,
        fit,
        total=fit.densities.total,
        head=fit.densities.mass(0.0, end) if part_of_it else None,
        head_length=end,
        aim=aim,
        next=suggestions,
        rows=compare(design, fit.line, fit.densities) if design and design.segments else (),
    )


def head_end(line: Line) -> float:
    """Where the head of a measured line ends [m], as far as it is one piece from the fly end."""
    return line.starts[rows_in_one_piece(line)]


def worth_measuring(
    fit: Measured, measurement: Measurement, end: float
) -> tuple[Aim, tuple[Suggestion, ...]]:
    """What to measure next: for the head's weight first, and for grains per foot once it is known.

    The head's weight counts as known when its error (95 in 100) is within two steps of the scale.
    """
    instruments = measurement.instruments
    for aim in (Aim.HEAD_WEIGHT, Aim.GRAINS_PER_FOOT):
        found = sharpest_next(fit.densities, instruments, aim=aim, head=end, count=CANDIDATES)
        useful = [each for each in found if each.after < WORTH_SAYING * each.before]
        # The best, and the best of the other kind: not everyone will cut a line to weigh a part.
        best = useful[:1]
        useful = best + sorted(useful[1:], key=lambda each: each.kind is best[0].kind)
        known = (
            aim is Aim.HEAD_WEIGHT
            and found
            and (CONFIDENT * found[0].before <= 2.0 * instruments.scale)
        )
        if useful and not known:
            return aim, tuple(useful)
    return Aim.GRAINS_PER_FOOT, ()
