"""Where a thousandth costs most: the outline of the head, and below it what each place costs."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFont, QFontMetricsF, QResizeEvent

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import IN_HAND, SMALL, usual
from taperlab.gui.pages.tolerance.case import ToleranceCase
from taperlab.gui.plots.axis import Axis, Unit
from taperlab.gui.plots.chart import Chart, Legend, Plot, Words
from taperlab.gui.plots.ink import Area, Curve, Ink, Map, Name, Over
from taperlab.gui.plots.line_plots import AXES, OUTLINE
from taperlab.gui.plots.outline import outline_of
from taperlab.gui.plots.stack import PlotStack
from taperlab.physics.frustum import Array
from taperlab.shop.tolerance.along import Along, Reach
from taperlab.shop.tolerance.dimensions import What
from taperlab.shop.tolerance.study import ToleranceStudy
from taperlab.shop.tolerance.words import CostOfStep, OneStep, cost_of, place_of
from taperlab.units.kinds import DIAMETER, WEIGHT, WEIGHT_PER_LENGTH
from taperlab.units.language import later, tr
from taperlab.units.sentence import Length, Sentence, WeightPerLength
from taperlab.units.steps import step_of

COST = "cost"
"""Key of the plot of what each place costs."""

AXIS = Axis(
    WEIGHT_PER_LENGTH,
    Unit("gr/ft", later("What 0.001 in of diameter weighs there, grains per foot"), 0.01),
    Unit("g/m", later("What 0.01 mm of diameter weighs there, grams per metre"), 0.001),
    room=1.2,
)

MOST = 24
"""Of more diameters the dearest alone are drawn by themselves; the whole is always drawn."""

LOW = 230
"""Plots lower than this leave out the outline, for usual letters [px]."""


@dataclass(frozen=True, eq=False)
class Costs(Ink):
    """What each diameter costs, written over where it does most; the one looked at first.

    labels: place [m], words, whether it is looked at. inks: of that one, and of the others. x, y:
    the curve that they stand clear of [m], [kg/m].
    """

    labels: tuple[tuple[float, str, bool], ...]
    inks: tuple[str, str]
    x: Array
    y: Array

    def over(self, plot: Map) -> Over | None:
        """The words that find room; the table tells of all."""
        taken: list[QRectF] = []
        names = []
        for position, text, is_chosen in sorted(self.labels, key=lambda each: not each[2]):
            weight = QFont.Weight.DemiBold if is_chosen else QFont.Weight.Normal
            metrics = QFontMetricsF(theming.font(SMALL, weight=weight))
            wide, high = metrics.horizontalAdvance(text) + 8.0, metrics.height()
            left = plot.across(position) - wide / 2.0
            left = min(max(left, plot.rect.left() + 2.0), plot.rect.right() - wide)
            over = np.linspace(plot.position_at(left), plot.position_at(left + wide), 9)
            top = plot.upright(float(np.interp(over, self.x, self.y).max()))
            where = QRectF(left, top - high - 1.0, wide, high)
            if plot.rect.contains(where) and not any(where.intersects(each) for each in taken):
                taken.append(where)
                names.append(Name(text, where, self.inks[0 if is_chosen else 1]))
        return Over(tuple(names))


class TolerancePlots(PlotStack):
    """The head from the side, and what a thousandth costs along it."""

    def __init__(self, case: ToleranceCase) -> None:
        self._case = case
        super().__init__(case.place.theme, case.system)
        self.setAccessibleName(tr("Where a thousandth costs most"))
        case.follow(self.refresh)
        case.chosen_changed.connect(self.refresh)
        self.theme.changed.connect(self.refresh)

    def sizeHint(self) -> QSize:
        """Wide."""
        return QSize(720, 280)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the outline out where there is little room."""
        super().resizeEvent(event)
        has_outline = OUTLINE in {plot.key for plot in self.chart.plots}
        if self.chart.plots and has_outline != (usual(self.height()) >= LOW):
            self.refresh()

    def refresh(self) -> None:
        """Show the head in hand."""
        self.set_system(self._case.system)
        self.show_chart(self._chart())

    def _chart(self) -> Chart:
        case, tokens = self._case, self.theme.tokens
        found, drawn = case.study, case.along
        if found is None or drawn is None:
            return Chart(empty=case.place.read(case.problem))
        plots: tuple[Plot, ...] = (self._costs(found, drawn),)
        if usual(self.height()) >= LOW:
            outline = Plot(OUTLINE, AXES[OUTLINE], 0.36, (outline_of(found.head, tokens),))
            plots = (outline, *plots)
        return Chart(
            plots,
            end=found.head.length,
            stops=found.head.starts,
            legend=(Legend(found.head.name, tokens.accent, IN_HAND),),
            read=lambda position: self._words_at(found, drawn, position),
            hint=tr("Point at a plot, or use the arrow keys, to read what a place costs."),
        )

    def _costs(self, found: ToleranceStudy, drawn: Along) -> Plot:
        tokens, step, chosen = self.theme.tokens, step_of(DIAMETER, self.system), self._case.chosen
        under: list[Ink] = []
        own: list[Ink] = []
        labels = []
        for reach in self._drawn_apart(drawn):
            is_chosen = reach.cause is chosen
            x, y = reach.position, reach.cost * step
            if is_chosen:
                under.append(Area(x, y, colour=tokens.band))
                own.append(Curve(x, y, tokens.accent, IN_HAND))
            else:
                own.insert(0, Curve(x, y, tokens.field, 1.0))
            labels.append(self._label(reach, is_chosen))
        whole = Curve(drawn.position, drawn.cost * step, tokens.ink, 1.0, (4.0, 3.0))
        is_all = chosen is not None and chosen.dimension.what is What.OFFSET
        if is_all:
            under.append(Area(whole.x, whole.y, colour=tokens.band))
            whole = Curve(whole.x, whole.y, tokens.accent, IN_HAND)
        own.insert(0, whole)
        if len(drawn.each) > 1:
            labels.append(self._label_of_all(found, drawn, is_all))
        own.append(Costs(tuple(labels), (tokens.ink, tokens.soft), whole.x, whole.y))
        return Plot(COST, AXIS, 0.64, tuple(under), (), tuple(own))

    def _drawn_apart(self, drawn: Along) -> list[Reach]:
        """The diameters that are drawn by themselves: all, or of very many the dearest."""
        if len(drawn.each) <= MOST:
            return list(drawn.each)
        dearest = sorted(drawn.each, key=lambda each: -abs(each.cause.slopes.mass))[:MOST]
        return [each for each in drawn.each if each in dearest or each.cause is self._case.chosen]

    def _label(self, reach: Reach, is_chosen: bool) -> tuple[float, str, bool]:
        read, found = self._case.place.read, self._case.study
        assert found is not None
        cost = Sentence("{cost}", cost=cost_of(reach.cause))
        if is_chosen:
            cost = Sentence(
                "{place}: {cost}",
                place=place_of(reach.cause.dimension, found.head),
                cost=cost_of(reach.cause),
            )
        return reach.peak, read(cost), is_chosen

    def _label_of_all(
        self, found: ToleranceStudy, drawn: Along, is_chosen: bool
    ) -> tuple[float, str, bool]:
        """What every diameter costs, over the widest stretch between those of one."""
        ends = [0.0, *(reach.peak for reach in drawn.each), found.head.length]
        front, rear = max(pairwise(ends), key=lambda pair: pair[1] - pair[0])
        said = Sentence(
            "every diameter {cost}", cost=CostOfStep(WEIGHT, found.every_diameter, per=DIAMETER)
        )
        return (front + rear) / 2.0, self._case.place.read(said), is_chosen

    def _words_at(self, found: ToleranceStudy, drawn: Along, position: float) -> Words:
        """What the crosshair reads: the place, how thick it is, what a step costs there."""
        read = self._case.place.read
        if position > found.head.length:
            return Words(
                (read(Sentence("{distance} is behind the head", distance=Length(position))),)
            )
        cost = float(np.interp(position, drawn.position, drawn.cost)) * step_of(
            DIAMETER, self.system
        )
        said = Sentence(
            "{step} of diameter here is {cost}",
            step=OneStep(DIAMETER, 1.0),
            cost=WeightPerLength(cost),
        )
        return Words((read(Sentence("{distance}", distance=Length(position))), read(said)))
