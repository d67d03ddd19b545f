"""How a head, or a rig, fits a rod: its ratio, and where it lies in the grain window.

Two rules live here and nowhere else. The window judges the head alone, unless it says that it was
measured on head and tip; the ratio counts what the style's practice counts, which is said. Leader
and fly count in neither.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from taperlab.model.line import Line, Style
from taperlab.model.rod import Measured, Rod, Window
from taperlab.physics.head import has_tip, is_tip
from taperlab.shop.analyse import HeadFigures, LineAnalysis
from taperlab.trade import styles, windows
from taperlab.units.finding import Finding, Level
from taperlab.units.sentence import NOTHING, Sentence


class WithTip(NamedTuple):
    """A tip line that could be looped ahead of a body: the ratio of both together to the rod."""

    name: str
    ratio: float
    reading: styles.RatioReading


class RigParts(NamedTuple):
    """What a rig is made of: its head by itself, and what lies ahead of it and behind it [m]."""

    head: HeadFigures
    ahead: float
    behind: float


@dataclass(frozen=True, slots=True)
class RodFit:
    """How a head fits a rod, as far as the rod is known.

    name: empty where it is not known. rod_length: [m]. counted: length [m] of what the style's
    practice counts. ratio: that over rod length, and its reading in the trade's words; numbers are
    nan, and words nothing, without a head or a length.
    judges_ratio: False for a body alone whose practice counts a tip with it; with_tips: what that
    would come to with the tips that are there.
    window: that for the line's style. judged: what it was measured on; mass: what that weighs here
    [kg]. alone: it judges the head of a rig by itself. place and to_edge ([kg], distance to the
    nearer edge of the window) are None without a head or a window, and for a head alone where the
    window is one of head and tip, unless the head alone is too heavy for it.
    """

    name: str
    rod_length: float
    counted: float
    ratio: float
    reading: styles.RatioReading
    window: Window | None
    judged: Measured
    mass: float | None
    place: windows.Place | None
    to_edge: float | None
    findings: tuple[Finding, ...]
    alone: bool = False
    with_tips: tuple[WithTip, ...] = ()
    judges_ratio: bool = True


def window_alone(line: Line, rod: Rod | None) -> Window | None:
    """The window of a rod that judges a line by itself, in its style.

    None too where that was measured on head and tip, and the line has no tip.
    """
    window = rod.window_for(line.style) if rod else None
    if window is None or window.measured_on is Measured.HEAD or has_tip(line):
        return window
    return None


def place_in(
    window: Window | None, mass: float | None, measured: Measured, *, with_tip: bool
) -> tuple[windows.Place | None, float | None]:
    """Where what weighs ``mass`` [kg] lies in a window, and how far [kg] from its nearer edge.

    measured: what the window was measured on. with_tip: whether a tip was weighed with it. None and
    None where it can't be told.
    """
    if window is None or mass is None:
        return None, None
    place, to_edge = windows.place(mass, window)
    if measured is Measured.HEAD_AND_TIP and not with_tip and place is not windows.Place.ABOVE:
        return None, None  # what a tip adds is not known
    return place, to_edge


def fit_to_rod(
    analysis: LineAnalysis,
    rod: Rod | None = None,
    length: float | None = None,
    window: tuple[float, float] | None = None,
    *,
    parts: RigParts | None = None,
    judged: Measured | None = None,
    lines: Iterable[Line] = (),
) -> RodFit | None:
    """Judge a line's head on a rod, or on as much as is known of one; None if nothing is.

    rod: a whole rod, in place of ``length`` [m]. window: lightest and heaviest head [kg], in
    place of the rod's own. parts: what the line is looped together of, where it is a rig. judged:
    what the window was measured on, in place of what it says itself. lines: those on the bench,
    whose tips could be looped to a body.
    """
    if rod is None and length is None and window is None:
        return None
    line, head = analysis.line, analysis.head
    rod_length = rod.length if rod else length or math.nan
    own = Window(line.style, *window) if window else rod.window_for(line.style) if rod else None
    with_tip = has_tip(line) or bool(parts and parts.ahead)
    counted, reading = _read(analysis, parts, rod_length, with_tip=with_tip)
    ratio = counted / rod_length
    bare = not math.isnan(ratio) and styles.counts_tip(line.style) and not with_tip
    measured = judged or (own.measured_on if own else Measured.HEAD)
    weighed = parts.head if parts and measured is Measured.HEAD else head
    mass = weighed.mass if weighed else None
    place, to_edge = place_in(own, mass, measured, with_tip=with_tip)
    too_heavy = Sentence(
        "Heavier than the rod’s grain window: an overloaded rod can break. "
        "Keep to what the rod’s maker states."
    )
    return RodFit(
        name=rod.name if rod else "",
        rod_length=rod_length,
        counted=counted,
        ratio=ratio,
        reading=reading,
        window=own,
        judged=measured,
        mass=mass,
        place=place,
        to_edge=to_edge,
        findings=(Finding(Level.CAUTION, too_heavy),) if place is windows.Place.ABOVE else (),
        alone=parts is not None and measured is Measured.HEAD,
        with_tips=_with_tips(line.style, counted, rod_length, lines) if bare else (),
        judges_ratio=not bare,
    )


def _read(
    analysis: LineAnalysis, parts: RigParts | None, rod_length: float, *, with_tip: bool
) -> tuple[float, styles.RatioReading]:
    """The length [m] that practice counts, and how it reads that on a rod so long [m]."""
    style, head = analysis.line.style, analysis.head
    if head is None:
        return math.nan, styles.RatioReading(NOTHING, "", NOTHING)
    counts_tip = styles.counts_tip(style)
    counted = head.length - (parts.ahead if parts and not counts_tip else 0.0)
    ratio = counted / rod_length
    if math.isnan(ratio):
        return counted, styles.RatioReading(NOTHING, "", NOTHING)
    if counts_tip and not with_tip:
        reading = styles.body_alone(style)
    elif parts is None and is_tip(analysis.line, analysis.water):
        reading = styles.read_ratio(Style.TIP, ratio)
    else:
        reading = styles.read_ratio(style, ratio)
    if parts and parts.behind:
        longer = Sentence("{parts}, with the extension", parts=reading.counted)
        reading = reading._replace(counted=longer)
    return counted, reading


def _with_tips(
    style: Style, counted: float, rod_length: float, lines: Iterable[Line]
) -> tuple[WithTip, ...]:
    together = [
        (line.name, (counted + line.length) / rod_length)
        for line in lines
        if line.style is Style.TIP and line.segments
    ]
    return tuple(WithTip(*each, styles.read_ratio(style, each[1])) for each in together)
