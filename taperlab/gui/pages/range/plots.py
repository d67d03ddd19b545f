"""Weight per length of all members laid over each other, and what each has more than the parent."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QBrush, QColor, QPainterPath, QResizeEvent

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.signs import badge_size
from taperlab.gui.kit.theme import usual
from taperlab.gui.pages.range.case import RangeCase
from taperlab.gui.plots.axis import Axis, Unit
from taperlab.gui.plots.chart import Chart, Legend, Plot, Words
from taperlab.gui.plots.ink import Curve, Ink, Map, Name, Over
from taperlab.gui.plots.line_plots import AXES, WEIGHT_ALONG
from taperlab.gui.plots.marks import Note
from taperlab.gui.plots.stack import PlotStack
from taperlab.shop.range.member import MemberFigures, difference, outline
from taperlab.shop.range.study import RangeStudy
from taperlab.units.kinds import LENGTH, WEIGHT_PER_LENGTH
from taperlab.units.language import later, tr
from taperlab.units.sentence import Sentence, Weight
from taperlab.units.show import show

DIFFERENCE = "difference"
"""Key of the plot below."""

MORE = Axis(
    WEIGHT_PER_LENGTH,
    Unit("gr/ft", later("More or less than the parent, grains per foot"), 0.1),
    Unit("g/m", later("More or less than the parent, grams per metre"), 0.01),
)

LOW = 250
"""Plots lower than this leave out the difference, for usual letters [px]."""

OF_PARENT = (1.0, 3.0)
"""Dash of the parent."""


@dataclass(frozen=True, eq=False)
class Badges(Ink):
    """The letters of curves, each at the rear end of its own and clear of the others.

    ends: where each curve ends [SI]; letters and colours: of each, in the same order. under, ink:
    colours inside a ring, and of a letter.
    """

    ends: tuple[tuple[float, float], ...]
    letters: tuple[str, ...]
    colours: tuple[str, ...]
    under: str
    ink: str

    def over(self, plot: Map) -> Over | None:
        """The letters, and a hairline from one that had to give way to the end it belongs to."""
        names, shapes = [], []
        taken: list[QRectF] = []
        for (x, y), letter, colour in zip(self.ends, self.letters, self.colours, strict=True):
            size = badge_size(letter)
            end = plot.point(x, y)
            where = next(
                each
                for each in _places(end, size.width(), size.height(), plot.rect)
                if not any(each.intersects(other) for other in taken)
            )
            taken.append(where.adjusted(-1.0, -1.0, 1.0, 1.0))
            ring = QPainterPath()
            ring.addRoundedRect(where, size.height() / 2.0, size.height() / 2.0)
            away = where.center() - end
            if abs(away.y()) > size.height() / 2.0 or away.x() > size.width():
                hair = QPainterPath(end)
                hair.lineTo(where.center())
                shapes.append((hair, theming.pen(colour, 1.0), QBrush()))
            shapes.append((ring, theming.pen(colour, 1.6), QBrush(QColor(self.under))))
            names.append(Name(letter, where, self.ink))
        return Over(tuple(names), tuple(shapes))


def _places(end: QPointF, wide: float, high: float, room: QRectF) -> list[QRectF]:
    """Places for a letter from the end of its curve on, the nearest first; never none.

    Ahead of the end it lies on its own curve where that is level, as bellies are: that is nearer
    than above or below, where others run.
    """
    steps = sorted(
        ((i, j) for i in range(-12, 13) for j in range(-24, 5)),
        key=lambda step: (abs(step[0]) * 4.0 + abs(step[1]) * (1.0 if step[1] < 0 else 2.5), step),
    )
    found = []
    for i, j in steps:
        centre = end + QPointF(j * (wide + 3.0) / 2.0, i * (high + 3.0) / 2.0)
        where = QRectF(centre.x() - wide / 2.0, centre.y() - high / 2.0, wide, high)
        if room.adjusted(-8.0, -4.0, 8.0, 4.0).contains(where):
            found.append(where)
    here = QRectF(end.x() - wide / 2.0, end.y() - high / 2.0, wide, high)
    # Beyond all of these there are more letters than there is room: they lie over each other.
    return [*found, here, *(here.translated(0.0, k * 1e4) for k in range(1, 61))]


class RangePlots(PlotStack):
    """The parent dotted, the members in their dashes; the one looked at is drawn stronger."""

    def __init__(self, case: RangeCase) -> None:
        self._case = case
        super().__init__(case.place.theme, case.system)
        self.setAccessibleName(tr("Plots of the range"))
        case.follow(self.refresh)
        case.turned.connect(self.refresh)
        self.refresh()

    def sizeHint(self) -> QSize:
        """Wide."""
        return QSize(720, 320)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the difference out where there is little room."""
        super().resizeEvent(event)
        low = usual(self.height()) < LOW
        if self.chart.plots and low == (len(self.chart.plots) > 1):
            self.refresh()

    def refresh(self) -> None:
        """Show the range as it is known now."""
        self.set_system(self._case.system)
        self.show_chart(self._chart())

    def _chart(self) -> Chart:
        case = self._case
        study = case.study
        if study is None:
            empty = tr(
                "A range is one head graded over weights and rods.\n"
                "Type the weights at the right, and make it."
            )
            return Chart(empty=empty if case.question is None else tr("Working it out…"))
        if study.parent is None or not study.members:
            said = study.why_not or study.refused[0].why
            return Chart(empty=case.place.read(said))
        parent, tokens = study.parent, self.theme.tokens
        end = max(each.length for each in (parent, *study.members))
        x, y = outline(parent)
        own = Curve(x, y, tokens.ink, 1.0, OF_PARENT, parent.line.name)
        said = Sentence("parent, {weight}", weight=Weight(parent.mass))
        note = Note(case.place.read(said), tokens.ink, OF_PARENT)
        curves = self._curves(study)
        above = Plot(WEIGHT_ALONG, AXES[WEIGHT_ALONG], 0.66, (own,), (), curves, note)
        plots: tuple[Plot, ...] = (above,)
        if usual(self.height()) >= LOW:
            plots = (above, Plot(DIFFERENCE, MORE, 0.34, (), (), self._differences(study)))
        legend = [Legend(study.question.range.name, tokens.ink, 1.0, OF_PARENT)]
        for index, each in self._members(study):
            colour, dash = case.style(index)
            legend.append(Legend(each.letter, colour, 1.0, dash))
        return Chart(
            plots,
            end=end,
            stops=tuple(sorted({each.length for each in study.members})),
            legend=tuple(legend),
            read=lambda position: self._words_at(study, position),
            hint=tr("Point at a plot, or use the arrow keys, to read the members there."),
        )

    def _members(self, study: RangeStudy) -> list[tuple[int, MemberFigures]]:
        """Members with their places among all that was asked for."""
        rows = enumerate(study.rows)
        return [(i, each) for i, each in rows if isinstance(each, MemberFigures)]

    def _curves(self, study: RangeStudy) -> tuple[Ink, ...]:
        curves, ends, colours = [], [], []
        for index, each in self._members(study):
            curve = self._curve(index, *outline(each))
            ends.append((float(curve.x[-1]), float(curve.y[-1])))
            colours.append(curve.colour)
            curves.append(curve)
        letters = tuple(each.letter for _, each in self._members(study))
        tokens = self.theme.tokens
        badges = Badges(tuple(ends), letters, tuple(colours), tokens.card, tokens.ink)
        return (*self._looked_at_last(study, curves), badges)

    def _differences(self, study: RangeStudy) -> tuple[Ink, ...]:
        assert study.parent is not None
        curves = [
            self._curve(index, *difference(each, study.parent))
            for index, each in self._members(study)
        ]
        return tuple(self._looked_at_last(study, curves))

    def _curve(self, index: int, x: np.ndarray, y: np.ndarray) -> Curve:
        colour, dash = self._case.style(index)
        width = theming.IN_HAND if index == self._case.index else theming.LAID_OVER
        return Curve(x, y, colour, width, dash)

    def _looked_at_last(self, study: RangeStudy, curves: list[Curve]) -> list[Curve]:
        """The curve of the member that is looked at over the others, on a clear ground."""
        at = [index for index, _ in self._members(study)]
        if self._case.index not in at:
            return curves
        place = at.index(self._case.index)
        strong = replace(curves[place], casing=self.theme.tokens.card)
        return [*curves[:place], *curves[place + 1 :], strong]

    def _words_at(self, study: RangeStudy, position: float) -> Words:
        """What the crosshair reads: the distance, the parent and each member there."""
        system = self._case.system
        assert study.parent is not None

        def there(member: MemberFigures) -> str:
            if position > member.length:
                return ""
            weight = float(np.interp(position, *outline(member)))
            return show(weight, WEIGHT_PER_LENGTH, system, unit=False)

        unit = WEIGHT_PER_LENGTH.shown(system).unit
        found = [show(position, LENGTH, system)]
        if told := there(study.parent):
            found.append(tr("parent {value} {unit}").format(value=told, unit=unit))
        for each in study.members:
            if told := there(each):
                found.append(tr("{name} {value}").format(name=each.letter, value=told))
        return Words(tuple(found))
