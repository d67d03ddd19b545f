"""What each fitted segment is for, guessed from its shape, and the line it makes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from taperlab.model.exact_units import FOOT
from taperlab.model.line import Line, Style, line_of
from taperlab.model.segment import Part, Segment
from taperlab.physics.frustum import Array
from taperlab.physics.trim import scaled_to
from taperlab.shop.measure.weights import WeightFit

LEVEL = 0.05
"""Ends that differ by less than this share of the thickest diameter count as level."""

BELLY = 0.9
"""A segment whose mean diameter reaches this share of the thickest one belongs to the belly."""

LONGEST_TIP = 4.0 * FOOT
SHORTEST_RUNNING_LINE = 15.0 * FOOT


def guess_parts(positions: Array, diameters: Array) -> tuple[Part, ...]:
    """A part for each segment between nodes (m,) [m]; a guess that the user corrects.

    A long level thin rear end is running line, and thicker level line just ahead of it handling
    line. The thickest stretch is the belly; what rises to it from the fly end is front taper, a
    short level piece at the very front the tip; what falls behind the belly is rear taper.
    """
    lengths = np.diff(positions)
    front, rear = diameters[:-1], diameters[1:]
    mean = (front + rear) / 2.0
    thickest = float(mean.max())
    level = np.abs(rear - front) < LEVEL * thickest
    parts = [Part.BELLY] * len(lengths)
    end = len(lengths)
    if end > 1 and level[-1] and lengths[-1] >= SHORTEST_RUNNING_LINE and mean[-1] < 0.8 * thickest:
        end -= 1
        parts[end] = Part.RUNNING_LINE
        if end > 1 and level[end - 1] and mean[end] * 1.05 < mean[end - 1] < BELLY * thickest:
            end -= 1
            parts[end] = Part.HANDLING_LINE
    head_thickest = float(mean[:end].max())
    thick = [i for i in range(end) if mean[i] >= BELLY * head_thickest]
    # A segment that climbs all the way to the belly is taper even if its mean is nearly as thick.
    flat = [i for i in thick if level[i]] or [max(thick, key=lambda i: mean[i])]
    first, last = flat[0], flat[-1]
    for i in range(first):
        parts[i] = Part.FRONT_TAPER
    if first > 0 and level[0] and lengths[0] <= LONGEST_TIP:
        parts[0] = Part.TIP
    for i in range(last + 1, end):
        parts[i] = Part.REAR_TAPER
    return tuple(parts)


def as_line(
    fit: WeightFit,
    key: str,
    name: str,
    *,
    parts: Sequence[Part] = (),
    style: Style = Style.OTHER,
) -> Line:
    """The measured line as a line of the bench, parts guessed where none are given.

    It weighs what the whole is believed to weigh.

    Raises ValueError if ``parts`` are given but are not one for each segment.
    """
    given = tuple(parts) or guess_parts(fit.positions, fit.diameters)
    segments = tuple(
        Segment(part, float(length), float(front), float(rear), float(density))
        for part, length, front, rear, density in zip(
            given,
            np.diff(fit.positions),
            fit.diameters[:-1],
            fit.diameters[1:],
            fit.densities,
            strict=True,
        )
    )
    front_loop, rear_loop = fit.loops
    line = replace(line_of(key, name, segments, style), front_loop=front_loop, rear_loop=rear_loop)
    return scaled_to(line, fit.total[0])
