"""What a measured line's belief has to say: what the weights tell, and what nothing told."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from taperlab.model.measurement import Material, Measurement
from taperlab.shop.errors import CONFIDENT, ShareError
from taperlab.shop.measure.outcome import caution, note
from taperlab.shop.measure.placing import Breakpoint, placed_breakpoints
from taperlab.shop.measure.weights import WeightFit
from taperlab.units.finding import Finding
from taperlab.units.sentence import Diameter, OnTape, Quantity, Sentence, Share, Value, Weight

SURE_OF = 2.0
"""Standard deviations from which a difference of density along a line is named."""

BARE_END = 0.05
"""A share of the line without a station at one end from which it is remarked on."""

TWO_PIECES = 0.5
"""How likely the widest rung must be before two materials are asked about."""


def remarks_on(fit: WeightFit, measurement: Measurement) -> tuple[Finding, ...]:
    """What is worth knowing of the belief, beside what the shape had to say."""
    return (
        *_loose_breakpoints(fit),
        *_odd_weights(fit),
        *_materials(fit, measurement),
        *_joints(fit),
        *_bare_ends(fit),
    )


def _loose_breakpoints(fit: WeightFit) -> Iterator[Finding]:
    for i, each in enumerate(placed_breakpoints(fit.shape)):
        if not each.is_placed:
            yield note(somewhere(each), i)


def somewhere(breakpoint_: Breakpoint) -> Sentence:
    """All that can be said of a breakpoint that the stations do not place."""
    front, rear = map(OnTape, breakpoint_.between)
    return Sentence(
        "The taper changes somewhere between {front} and {rear}.", front=front, rear=rear
    )


def _odd_weights(fit: WeightFit) -> Iterator[Finding]:
    for i, section in enumerate(fit.belief.sections):
        if fit.stands_out(i):
            yield caution(
                Sentence(
                    "The section from {front} to {rear} reads {off} against the rest of the line: "
                    "weigh it again.",
                    front=OnTape(section.front),
                    rear=OnTape(section.rear),
                    off=Weight(float(fit.belief.residuals[i]), signed=True),
                )
            )


def _materials(fit: WeightFit, measurement: Measurement) -> Iterator[Finding]:
    belief = fit.belief
    if measurement.material is Material.EVEN:
        yield note(Sentence("One extrusion, known even: that is your word, not the scale’s."))
    if len(belief.sections) == 1:
        if measurement.material is not Material.EVEN:
            read = belief.read(belief.centres)
            share = np.median(read.linear_density_half / read.linear_density)
            whole = Sentence(
                "Only one weight is known: the line may be {share} heavier or lighter at a place "
                "than its diameter says. Weigh an end to halve this.",
                share=Share(float(share)),
            )
            yield note(whole)
        return
    if _bare(fit) != (False, False):
        return  # an end without diameters may be of any thickness: that is no matter of density
    e = belief.ladder.mean(np.eye(belief.ladder.size))
    if belief.ladder.weights[-1] > TWO_PIECES and measurement.material is Material.NOT_SAID:
        yield caution(_two_pieces(fit, e))
        return
    yield from _lighter(fit)


def _two_pieces(fit: WeightFit, e: np.ndarray) -> Sentence:
    """Where the density seems to change most, between which places, and by how much."""
    belief = fit.belief
    masses = belief.stretches(np.array([0.0]), np.array([fit.length]))[0]
    ahead, heavier = np.cumsum(masses)[:-1], np.cumsum(masses * e)[:-1]
    whole = masses.sum()
    apart = heavier / ahead - (float(masses @ e) - heavier) / (whole - ahead)
    # A step of a share b explains most where b^2 times both parts' masses is largest.
    split = int(np.argmax(apart**2 * ahead * (whole - ahead)))
    cuts = sorted({0.0, fit.length, *(each for s in belief.sections for each in (s.front, s.rear))})
    at = float(belief.edges[split + 1])
    # The weights cannot tell where between the middles of two stretches that were weighed.
    middles = [(a + b) / 2.0 for a, b in pairwise(cuts)]
    front = max((each for each in middles if each <= at), default=0.0)
    rear = min((each for each in middles if each > at), default=fit.length)
    return Sentence(
        "The weights do not fit one material: the density changes by about {share} between {front} "
        "and {rear}. Two pieces? Hold a breakpoint there.",
        share=Share(abs(float(apart[split]))),
        front=OnTape(front),
        rear=OnTape(rear),
    )


def _lighter(fit: WeightFit) -> Iterator[Finding]:
    """Which front part is lighter or heavier for its volume than the rest, if any surely is."""
    belief = fit.belief
    ends = {each for section in belief.sections for each in (section.front, section.rear)}
    inside = sorted(each for each in ends if 0.0 < each < fit.length - 0.003)
    if not inside:
        return
    at = np.array(inside)
    zero, end = np.zeros(len(at)), np.full(len(at), fit.length)
    ahead, behind = belief.stretches(zero, at), belief.stretches(at, end)
    rows = ahead / ahead.sum(axis=1, keepdims=True) - behind / behind.sum(axis=1, keepdims=True)
    mean, half = belief.ladder.mean(rows), belief.ladder.half_width(rows)
    best = int(np.argmax(np.abs(mean) / half))
    if abs(mean[best]) <= SURE_OF / CONFIDENT * half[best]:
        return
    values: dict[str, Value] = {
        "place": OnTape(inside[best]),
        "share": Share(abs(float(mean[best]))),
        "error": ShareError(float(half[best])),
    }
    if mean[best] < 0.0:
        yield note(
            Sentence(
                "The first {place} is {share} {error} lighter for its volume than the rest.",
                **values,
            )
        )
    else:
        yield note(
            Sentence(
                "The first {place} is {share} {error} heavier for its volume than the rest.",
                **values,
            )
        )


def _joints(fit: WeightFit) -> Iterator[Finding]:
    for joint in fit.belief.outline.joints:
        yield note(
            Sentence(
                "Two pieces meet between {front} and {rear}.",
                front=OnTape(joint.front),
                rear=OnTape(joint.rear),
            )
        )


def _bare(fit: WeightFit) -> tuple[bool, bool]:
    """Whether a good part of the line ahead of the stations, or behind them, has none."""
    outline, length = fit.belief.outline, fit.length
    return outline.first > BARE_END * length, length - outline.last > BARE_END * length


def _bare_ends(fit: WeightFit) -> Iterator[Finding]:
    outline, length = fit.belief.outline, fit.length
    at_fly_end, at_rod_end = _bare(fit)
    if at_fly_end:
        low, high = _range(fit, 0.0)
        yield caution(
            Sentence(
                "No diameter ahead of {place}: at the fly end anything from {low} to {high}.",
                place=OnTape(outline.first),
                low=low,
                high=high,
            )
        )
    if at_rod_end:
        low, high = _range(fit, length)
        yield caution(
            Sentence(
                "No diameter beyond {place}: at the rod end anything from {low} to {high}.",
                place=OnTape(outline.last),
                low=low,
                high=high,
            )
        )


def _range(fit: WeightFit, place: float) -> tuple[Quantity, Quantity]:
    """From how thin to how thick the line may be there."""
    at = np.array([place])
    outline = fit.belief.outline
    thick, half = float(outline.mean(at)[0]), CONFIDENT * float(outline.error(at)[0])
    return Diameter(max(thick - half, 0.0), unit=False), Diameter(thick + half)
