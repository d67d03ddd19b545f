"""All that a page shows of a measurement, worked out from values alone."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.line import Line, Style
from taperlab.model.measurement import Measurement
from taperlab.physics.head import rows_in_one_piece
from taperlab.shop.measure.as_built import Row, compare
from taperlab.shop.measure.next_measurement import Aim, Prospect, Suggestion
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.parts import as_line
from taperlab.shop.measure.remarks import remarks_on
from taperlab.shop.measure.shape import ShapeFit, shape_steps
from taperlab.shop.measure.stations import Stations, all_of, gather
from taperlab.shop.measure.weights import WeightFit, fit_weights
from taperlab.shop.steps import Steps, finish, part
from taperlab.shop.weighed import weighed
from taperlab.units.finding import Finding
from taperlab.units.sentence import NOTHING, Sentence

WORTH_SAYING = 0.9
"""A further measurement is worth naming if it brings an error below this share of itself."""


@dataclass(frozen=True, eq=False, slots=True)
class Measured:
    """A fitted measurement: its shape, its weights and the line they make."""

    shape: ShapeFit
    weights: WeightFit
    line: Line
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False, slots=True)
class Study:
    """A measurement studied.

    stations: what was read, in order, with errors; once fitted, what is kept of it. fit: None,
    and ``why_not`` a sentence, where nothing could be fitted. total, head: mass [kg] and its
    half-width (95 in 100); head is None where the whole line is the head. next: which measurements
    would sharpen what, best first, none where nothing is worth it. rows: against the design,
    empty without one.
    """

    measurement: Measurement
    stations: Stations
    fit: Measured | None
    why_not: Sentence = NOTHING
    total: tuple[float, float] = (0.0, 0.0)
    head: tuple[float, float] | None = None
    head_length: float = 0.0
    next: tuple[Suggestion, ...] = ()
    rows: tuple[Row, ...] = ()

    @property
    def advice(self) -> tuple[Sentence, ...]:
        """What to measure next, the best first, or why nothing."""
        if self.fit is None:
            return (self.why_not,)
        return tuple(each.sentence for each in self.next) or (
            Sentence(
                "No single measurement would bring the errors down by a tenth: this is what the "
                "instruments can tell."
            ),
        )


def study(measurement: Measurement, design: Line | None = None) -> Study:
    """The answer of :func:`study_steps`."""
    return finish(study_steps(measurement, design))


def study_steps(measurement: Measurement, design: Line | None = None) -> Steps[Study]:
    """Fit a measurement and say what is known, what is not, and how it differs from a design."""
    instruments = measurement.instruments
    places, _ = gather(measurement.stations, measurement.length, instruments)
    style = design.style if design else Style.OTHER
    fit = yield from part(measure_steps(measurement, style), 0.0, 0.9)
    if isinstance(fit, NoFit):
        return Study(measurement, all_of(places, instruments), None, fit.sentence)
    end = head_end(fit.line)
    suggestions = yield from part(_worth_measuring(fit.weights, measurement, end), 0.9, 1.0)
    return Study(
        measurement,
        fit.shape.stations,
        fit,
        total=fit.weights.total,
        head=fit.weights.mass(0.0, end) if 0.0 < end < fit.line.length else None,
        head_length=end,
        next=suggestions,
        rows=compare(design, fit.line, fit.weights) if design and design.segments else (),
    )


def measure_steps(measurement: Measurement, style: Style = Style.OTHER) -> Steps[Measured | NoFit]:
    """Fit shape and densities to what was measured.

    Parts that the user gave are used while they are as many as the fitted segments, else guessed.
    """
    shape = yield from part(shape_steps(measurement), 0.0, 0.95)
    if isinstance(shape, NoFit):
        return shape
    yield 0.95
    weights = fit_weights(shape, measurement)
    if isinstance(weights, NoFit):
        return weights
    given = measurement.parts if len(measurement.parts) == len(weights.densities) else ()
    line = as_line(weights, measurement.key, measurement.name, parts=given, style=style)
    findings = (*shape.findings, *remarks_on(weights, measurement))
    return Measured(shape, weights, _on_scale(line, weights, measurement), findings)


def _on_scale(line: Line, weights: WeightFit, measurement: Measurement) -> Line:
    """The line with what the scale said of its head, where all of that lay there."""
    end, tape = head_end(line), measurement.instruments.tape
    if not any(each.front <= tape and each.rear >= end - tape for each in measurement.sections):
        return line
    _, half = weights.mass(0.0, end) if 0.0 < end < line.length else weights.total
    return weighed(line, half, measurement.instruments.scale)


def head_end(line: Line) -> float:
    """Where the head of a measured line ends [m], as far as it is one piece from the fly end."""
    return line.starts[rows_in_one_piece(line)]


def _worth_measuring(
    fit: WeightFit, measurement: Measurement, end: float
) -> Steps[tuple[Suggestion, ...]]:
    """What to measure next: for the head's weight first, and for grains per foot once it is known.

    The head's weight counts as known when its error (95 in 100) is within two steps of the scale.
    What harms nothing comes first, the best ahead; then what would be cut.
    """
    instruments = measurement.instruments
    yield 0.0
    prospect = Prospect(fit, instruments, end)
    for done, aim in enumerate(Aim):
        yield 0.2 + 0.4 * done
        found = prospect.suggestions(aim)
        if aim is Aim.HEAD_WEIGHT and found[0].before <= 2.0 * instruments.scale:
            continue
        useful = tuple(each for each in found if each.after < WORTH_SAYING * each.before)
        if useful:
            return useful
    return ()
