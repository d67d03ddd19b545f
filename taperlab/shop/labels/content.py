"""What a label says of a head, each fact in words."""

from __future__ import annotations

import contextlib
import math
import re
from dataclasses import dataclass
from enum import StrEnum

from taperlab.model.bench import Bench, keyed
from taperlab.model.job import Job
from taperlab.model.line import Line, Style
from taperlab.model.rig import Rig
from taperlab.model.rod import Rod
from taperlab.physics.head import head_of, head_rows, is_tip
from taperlab.physics.profile import Profile
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.jobs.wording import what_is_amiss
from taperlab.shop.on_rod import RodFit
from taperlab.shop.whole import Assembly, whole_of
from taperlab.shop.wording import WholeWeight, head_sink
from taperlab.units.finding import Impossible
from taperlab.units.language import later
from taperlab.units.sentence import (
    NOTHING,
    Apart,
    OnTape,
    Quantity,
    Ratio,
    RodLength,
    Sentence,
    Value,
    WeightPerLength,
    in_a_row,
)

LONG, SHORT = 5, 1
"""What a long and a short mark of the pen stand for, of a line's size."""


class Fact(StrEnum):
    """What a label can say, from what is needed most to what is needed least."""

    WEIGHT = later("the weight")
    NAME = later("the name")
    ENDS = later("which end is which")
    LENGTH = later("the length")
    TICKET = later("the ticket")
    PER_FOOT = later("the weight per length at both ends")
    SINK = later("style and sink rate")
    RATIO = later("the ratio")
    DAY = later("whose it is, and the date")
    MARKS = later("the pen marks")
    TIPS = later("the tips that fit")
    WINDOW = later("the grain window")
    MARK_WORDS = later("what the pen marks mean")
    DRAWING = later("the drawing")


@dataclass(frozen=True, slots=True)
class LabelContent:
    """A label's facts in words; one that is not there is nothing.

    line: drawn from the side. ends: weight per length at the fly end and at the rod end. size: of
    the line that the pen marks stand for, None without one. ticket: of its job, or else whose that
    is; day: the rest of that, the day, and by whom. amiss: why its figures are out of date.
    """

    name: str
    line: Line
    weight: Value
    length: Value = NOTHING
    ends: tuple[Value, Value] = (NOTHING, NOTHING)
    sink: Value = NOTHING
    ratio: Value = NOTHING
    window: Value = NOTHING
    ticket: Value = NOTHING
    day: Value = NOTHING
    tips: Value = NOTHING
    size: int | None = None
    amiss: Sentence = NOTHING


def pen_marks(size: int) -> tuple[bool, ...]:
    """The marks for a line of a size, from the rod end: long ones, which are true, then short."""
    return (True,) * (size // LONG) + (False,) * (size % LONG // SHORT)


def marks_words(size: int) -> Sentence:
    """What the marks mean."""
    return Sentence(
        "pen marks at the rod end: long {long}, short {short}; line {size}",
        long=LONG,
        short=SHORT,
        size=size,
    )


def label_of(
    bench: Bench,
    thing: Line | Rig | Assembly,
    *,
    job: Job | None = None,
    day: str = "",
    by: str = "",
) -> LabelContent:
    """The label of a line or a rig of a bench.

    job: that it was made for, on whose rod it is judged, if it names one; without a job, on the
    chosen rod. day, by: as they are to be read.
    """
    rod = keyed(bench.rods, job.rod) if job else bench.chosen_rod
    whole = whole_of(thing, bench)
    analysis, head = whole.analysis, whole.head
    # A tip is no line of a size, and no rod judges it by itself.
    alone = is_tip(analysis.line, bench.water)
    fit = None if alone else whole.on_rod(rod, bench)
    found = head or analysis
    rows = head_rows(analysis.line) or range(len(analysis.segments))
    ends: tuple[Value, Value] = (NOTHING, NOTHING)
    if rows:
        ends = (
            WeightPerLength(analysis.segments[rows[0]].front_linear_density),
            WeightPerLength(analysis.segments[rows[-1]].rear_linear_density),
        )
    drawn = analysis.line
    with contextlib.suppress(Impossible):  # one without a head is drawn as it is
        drawn = head_of(drawn)
    return LabelContent(
        whole.name,
        drawn,
        WholeWeight(found.mass),
        OnTape(found.length),
        ends,
        _sink(analysis),
        _ratio(fit),
        _window(fit),
        *_ticket(job, day, by),
        _tips(fit, bench),
        None if alone else line_size(analysis, rod),
        what_is_amiss(bench, job) if job else NOTHING,
    )


def line_size(analysis: LineAnalysis, rod: Rod | None) -> int | None:
    """The size of line that pen marks stand for: the rod's, or by the published standard."""
    found = re.match(r"\D*(\d{1,2})\b", rod.line_class) if rod else None
    if found:
        return int(found[1])
    two_handed, single = analysis.two_handed, analysis.single_hand
    if two_handed is not None and (rod is None or rod.two_handed or single is None):
        return two_handed.size
    return single.nearest.number if single is not None else None


def _sink(analysis: LineAnalysis) -> Sentence:
    style = analysis.line.style
    if analysis.head is None:
        return Sentence("{style}", style=style)
    return Sentence("{style}, {sink}", style=style, sink=head_sink(analysis.head))


def _ratio(fit: RodFit | None) -> Sentence:
    if fit is None or math.isnan(fit.rod_length):
        return NOTHING
    rod = Sentence("rod {length}", length=RodLength(fit.rod_length))
    if math.isnan(fit.ratio):
        return rod
    if not fit.judges_ratio and fit.with_tips:
        ratios = sorted(each.ratio for each in fit.with_tips)
        low, high = Ratio(ratios[0]), Ratio(ratios[-1])
        return Sentence("{rod}, with a tip ratio {ratio}", rod=rod, ratio=_span(low, high))
    return Sentence("{rod}, ratio {ratio}", rod=rod, ratio=Ratio(fit.ratio))


def _window(fit: RodFit | None) -> Sentence:
    if fit is None or fit.window is None:
        return NOTHING
    low, high = (WholeWeight(each) for each in (fit.window.lightest, fit.window.heaviest))
    window = Sentence("grain window {window}", window=_span(low, high))
    if not fit.alone or fit.mass is None:
        return window
    # Beside the weight of a rig: what most windows judge is the head by itself.
    return Sentence("{window} for its head, {weight}", window=window, weight=WholeWeight(fit.mass))


def _tips(fit: RodFit | None, bench: Bench) -> Sentence:
    """From the lightest to the heaviest tip of the bench, for a body that wants one."""
    if fit is None or not fit.with_tips:
        return NOTHING
    names = {each.name for each in fit.with_tips}
    tips = [line for line in bench.lines if line.style is Style.TIP and line.name in names]
    masses = [Profile.of(line).total_mass for line in tips]
    lengths = [line.length for line in tips]
    return Sentence(
        "tips {lengths}, {weights}",
        lengths=_span(OnTape(min(lengths)), OnTape(max(lengths))),
        weights=_span(WholeWeight(min(masses)), WholeWeight(max(masses))),
    )


def _span(low: Quantity | OnTape, high: Quantity | OnTape) -> Apart:
    return Apart(low, high, Sentence("{low} to {high}", low=low, high=high), _one(low))


def _one(value: Value) -> Sentence:
    return Sentence("{value}", value=value)


def _ticket(job: Job | None, day: str, by: str) -> tuple[Value, Value]:
    """What tells the bags of two jobs apart, and what else is known of one."""
    customer = job.customer if job else ""
    if job is not None and job.ticket:
        return Sentence("job {ticket}", ticket=job.ticket), in_a_row((customer, day, by))
    return customer, in_a_row((day, by))
