"""Weight per foot of head and tips with their loops at the joint, and how fast each foot sinks."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFontMetricsF, QResizeEvent

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import IN_HAND, SMALL, usual
from taperlab.gui.pages.tips.case import TipsCase
from taperlab.gui.plots.axis import Axis, Ticks, Unit
from taperlab.gui.plots.chart import Chart, Legend, Plot, Words
from taperlab.gui.plots.ink import Area, Curve, Ink, Map, Name, Over, Uprights
from taperlab.gui.plots.line_plots import AXES, SINK, WEIGHT_ALONG
from taperlab.gui.plots.stack import PlotStack
from taperlab.model.exact_units import FOOT
from taperlab.model.segment import Part
from taperlab.shop.tips.study import TipRow, TipsStudy
from taperlab.units.kinds import LENGTH, SINK_RATE, WEIGHT_PER_LENGTH, System
from taperlab.units.language import later, tr
from taperlab.units.sentence import Length, Sentence, WeightPerLength
from taperlab.units.show import show

BEHIND = 0.26
"""Of the head so much is drawn, as a share of the longest tip."""

OVER = 1.5
"""Width of the curve of a tip [px]."""

LOW = 300
"""Plots lower than this leave out sink rates, for usual letters [px]."""


@dataclass(frozen=True)
class FromJoint(Axis):
    """Distance ahead of the joint, and behind it: rules stand at round distances from there.

    joint: where it lies along the axis [SI].
    """

    joint: float = 0.0

    def ticks(self, low: float, high: float, most: int, system: System) -> Ticks:
        """Round distances from the joint, counted both ways."""
        found = super().ticks(low - self.joint, high - self.joint, most, system)
        return [(at + self.joint, text.lstrip("\u2212")) for at, text in found]


ACROSS = (
    Unit("ft", later("feet ahead of the joint"), 1.0 / 12.0, 1.0),
    Unit("m", later("metres ahead of the joint"), 0.01, 0.1),
)


@dataclass(frozen=True, eq=False)
class CurveNames(Ink):
    """Names of curves, each where it lies over no other curve and no other name, or nowhere.

    curves: what is named; around: what names must keep clear of besides.
    """

    curves: tuple[Curve, ...]
    ink: str
    around: tuple[Curve, ...] = ()

    def over(self, plot: Map) -> Over | None:
        """The names that found a place; the table tells of all of them."""
        metrics = QFontMetricsF(theming.font(SMALL))
        taken: list[QRectF] = []
        names = []
        for curve in self.curves:
            size = QRectF(0.0, 0.0, metrics.horizontalAdvance(curve.name) + 4.0, metrics.height())
            for where in _places(curve, size, plot):
                clear = not any(where.intersects(each) for each in taken)
                if clear and not any(
                    _crosses(each, where, plot) for each in (*self.curves, *self.around)
                ):
                    taken.append(where)
                    names.append(Name(curve.name, where, self.ink))
                    break
        return Over(tuple(names))


def _places(curve: Curve, size: QRectF, plot: Map) -> list[QRectF]:
    """Places above and below a curve, from its front to its rear."""
    low, high = plot.across(curve.across[0]), plot.across(curve.across[1])  # type: ignore[index]
    found = []
    for share in (0.04, 0.2, 0.36, 0.52, 0.68):
        left = low + share * (high - low)
        if left + size.width() > high - 2.0:
            continue
        value = curve.at(plot.position_at(left + size.width() / 2.0))
        if value is None:
            continue
        y = plot.upright(value)
        for top in (y - size.height() - 3.0, y + 3.0):
            where = QRectF(left, top, size.width(), size.height())
            if plot.rect.contains(where):
                found.append(where)
    return found


def _crosses(curve: Curve, where: QRectF, plot: Map) -> bool:
    """Whether a curve comes within a place."""
    points = [plot.point(float(x), float(y)) for x, y in zip(curve.x, curve.y, strict=True)]
    room = where.adjusted(-2.0, -1.0, 2.0, 1.0)
    return any(
        QRectF(one, other).normalized().adjusted(-0.1, -0.1, 0.1, 0.1).intersects(room)
        for one, other in pairwise(points)
    )


class TipsPlots(PlotStack):
    """The head and the tips laid over, with their loops at the joint."""

    def __init__(self, case: TipsCase) -> None:
        self._case = case
        super().__init__(case.place.theme, case.system)
        self.setAccessibleName(tr("Plots of the tips"))
        case.follow(self.refresh)
        case.laid.connect(self.refresh)
        self.refresh()

    def sizeHint(self) -> QSize:
        """Wide."""
        return QSize(720, 300)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave sink rates out where there is little room."""
        super().resizeEvent(event)
        low = usual(self.height()) < LOW
        if low == (SINK in {plot.key for plot in self.chart.plots}):
            self.refresh()

    def refresh(self) -> None:
        """Show the head with the tips that are laid over, or with the deepest."""
        case = self._case
        self.set_system(case.system)
        self.show_chart(self._chart())

    def _chart(self) -> Chart:
        case = self._case
        study = case.study
        if study is None:
            empty = tr(
                "Tips are looped to a head, and there is none on this bench.\n"
                "Design one on the page Shape, or open a sample from the File menu."
            )
            return Chart(empty=empty if case.question is None else tr("Working it out…"))
        rows = case.shown
        joint = max((row.length for row in study.rows), default=6.0 * FOOT)
        end = joint + min(study.head.length, BEHIND * joint)
        across = FromJoint(LENGTH, *ACROSS, joint=joint)
        keys = (WEIGHT_ALONG,) if usual(self.height()) < LOW else (WEIGHT_ALONG, SINK)
        plots = tuple(self._plot(key, study, rows, joint, end) for key in keys)
        legend = [Legend(study.question.head.name, self.theme.tokens.parts[Part.BELLY], IN_HAND)]
        legend += [Legend(row.line.name, *_pen(case.style(row))) for row in rows]
        return Chart(
            plots,
            across=across,
            end=end,
            stops=(joint,),
            legend=tuple(legend),
            read=lambda position: self._words_at(study, rows, joint, position),
            hint=tr("Point at a plot, or use the arrow keys, to read the tips there."),
        )

    def _plot(
        self, key: str, study: TipsStudy, rows: tuple[TipRow, ...], joint: float, end: float
    ) -> Plot:
        tokens, case = self.theme.tokens, self._case
        is_weight = key == WEIGHT_ALONG
        head = study.head.curves
        x, y = joint + head.position, head.linear_density if is_weight else head.sink
        seen = x <= end
        last = float(np.interp(end, x, y))
        x, y = np.append(x[seen], end), np.append(y[seen], last)
        belly = tokens.parts[Part.BELLY]
        behind = Curve(x, y, belly, IN_HAND)
        curves = []
        for row in rows:
            of = row.analysis.curves
            heights = of.linear_density if is_weight else of.sink
            colour, dash = case.style(row)
            front, at = joint - row.length, joint - row.length + of.position
            if is_weight:  # the front of a tip is an edge too
                at, heights = np.append(front, at), np.append(0.0, heights)
            curves.append(Curve(at, heights, colour, OVER, dash, row.line.name))
        under: tuple[Ink, ...] = (Uprights((joint,), tokens.ink),)
        sinks = study.head.segments[0].front_sink > 0.0
        own: tuple[Ink, ...] = (*((behind,) if is_weight or sinks else ()), *curves)
        if is_weight:
            front_of_head = study.head.segments[0].front_linear_density
            level = Curve(
                np.array([0.0, joint]), np.full(2, front_of_head), tokens.soft, 1.0, (1.0, 3.0)
            )
            under = (Area(x, y, colour=tokens.band), level, *under)
            own = (*own, CurveNames(tuple(curves), tokens.ink, (level, behind)))
        return Plot(key, AXES[key], 0.68 if is_weight else 0.32, under, (), own)

    def _words_at(
        self, study: TipsStudy, rows: tuple[TipRow, ...], joint: float, position: float
    ) -> Words:
        """What the crosshair reads: how far from the joint, and each curve there."""
        read, system = self._case.place.read, self._case.system
        off = joint - position
        if off >= 0.0:
            found = [read(Sentence("{distance} ahead of the joint", distance=Length(off)))]
        else:
            found = [read(Sentence("{distance} behind the joint", distance=Length(-off)))]
            curves = study.head.curves
            if -off <= study.head.length:
                there = float(np.interp(-off, curves.position, curves.linear_density))
                head = Sentence(
                    "{head}: {weight}",
                    head=study.question.head.name,
                    weight=WeightPerLength(there),
                )
                found.append(read(head))
        for row in rows:
            at = row.length - off
            if 0.0 <= at <= row.length:
                curves = row.analysis.curves
                weight = float(np.interp(at, curves.position, curves.linear_density))
                sink = float(np.interp(at, curves.position, curves.sink))
                texts = (
                    show(weight, WEIGHT_PER_LENGTH, system),
                    show(sink, SINK_RATE, system),
                )
                found.append(
                    tr("{name}: {value}").format(name=row.line.name, value=", ".join(texts))
                )
        return Words(tuple(found))


def _pen(
    style: tuple[str, tuple[float, ...]],
) -> tuple[str, float, tuple[float, ...]]:
    colour, dash = style
    return colour, OVER, dash
