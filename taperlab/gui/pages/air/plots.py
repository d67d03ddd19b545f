"""How fast the line still to turn over goes, along what has, and where it gives its energy away."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetricsF,
    QPainterPath,
    QPolygonF,
    QResizeEvent,
)

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.naming import Naming, around
from taperlab.gui.kit.signs import hatch
from taperlab.gui.kit.theme import IN_HAND, LAID_OVER, SMALL, usual
from taperlab.gui.pages.air.desk import AirDesk
from taperlab.gui.pages.air.player import Player
from taperlab.gui.plots.axis import Axis, Unit
from taperlab.gui.plots.chart import Chart, Legend, Plot
from taperlab.gui.plots.ink import Area, Curve, Ink, Map, Name, Over, Pad, Span, Uprights
from taperlab.gui.plots.marks import Note
from taperlab.gui.plots.stack import PlotStack
from taperlab.physics.frustum import Array
from taperlab.shop.air.study import AirStudy
from taperlab.shop.air.words import heading_words
from taperlab.units.kinds import LENGTH, LINE_SPEED, WEIGHT_PER_LENGTH
from taperlab.units.language import later, tr

SPEED, ENERGY = "speed", "energy"
"""Keys of the plots."""

MOST_TIMES = 3.0
"""Speeds over so many times that of the cast are off the chart: what they are, nobody knows."""

UNROLLED = Axis(
    LENGTH,
    Unit("ft", later("feet of line turned over, from the rod tip"), 1.0 / 12.0, 1.0),
    Unit("m", later("metres of line turned over, from the rod tip"), 0.01, 0.1),
)
FAST = Axis(
    LINE_SPEED,
    Unit("ft/s", later("Speed of the line still to turn over, feet per second")),
    Unit("m/s", later("Speed of the line still to turn over, metres per second"), 0.1),
)
HEAVY = Axis(
    WEIGHT_PER_LENGTH,
    Unit("gr/ft", later("Where its energy goes, grains per foot"), 0.1),
    Unit("g/m", later("Where its energy goes, grams per metre"), 0.01),
    room=1.1,
)

AIR_DASH = (4.0, 3.0)

LOW = 235
"""Plots lower than this leave out where the energy goes, for usual letters [px]."""


@dataclass(frozen=True, eq=False)
class Speeds(Curve):
    """A curve that is neither drawn nor read above a height [SI]: it leaves the chart there."""

    highest: float = 0.0

    @property
    def upright(self) -> Span | None:
        """Up to where it leaves the chart."""
        known = self.y[self.y <= self.highest]
        return (float(known.min()), float(known.max())) if len(known) else (0.0, self.highest)

    def at(self, position: float) -> float | None:
        """Its height there, where it is on the chart."""
        value = super().at(position)
        return None if value is None or value > self.highest else value


@dataclass(frozen=True, eq=False)
class Hatched(Area):
    """An area that is hatched: told apart by more than its colour."""

    def paint(self, pad: Pad) -> None:
        """Hatch it."""
        with pad.in_pixels() as place:
            points = [place(each.x(), each.y()) for each in self.polygon.toList()]
            path = QPainterPath()
            path.addPolygon(QPolygonF(points))
            pad.painter.save()
            pad.painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
            hatch(pad.painter, path.boundingRect(), self.colour, 6.0)
            pad.painter.restore()


@dataclass(frozen=True, eq=False)
class Moment(Ink):
    """A ring on a curve: where the film stands. place, value: of it [SI]."""

    place: float
    value: float
    colour: str = ""
    inside: str = ""

    def over(self, plot: Map) -> Over | None:
        """The ring."""
        ring = QPainterPath()
        ring.addEllipse(plot.point(self.place, self.value), 4.5, 4.5)
        line, fill = theming.pen(self.colour, 2.0), QBrush(QColor(self.inside))
        return Over(shapes=((ring, line, fill),))


@dataclass(frozen=True, eq=False)
class Names(Ink):
    """Words beside curves, placed by search; one that finds no room is left out.

    words: each with the place [SI] that it is about and its colour. curves: what they must not
    cover, x and y. reach: how far off a word may lie, in heights of it.
    """

    words: tuple[tuple[str, float, float, str], ...]
    curves: tuple[tuple[Array, Array], ...]
    reach: float = 5.0
    _found: dict[tuple[object, ...], Over] = field(default_factory=dict)

    def is_like(self, other: Ink) -> bool:
        """Whether it says the same beside the same curves."""
        return (
            isinstance(other, Names)
            and self.words == other.words
            and len(self.curves) == len(other.curves)
            and all(
                a is b or (len(a) == 2 and np.array_equal(a, b))
                for one, two in zip(self.curves, other.curves, strict=True)
                for a, b in zip(one, two, strict=True)
            )
        )

    def over(self, plot: Map) -> Over | None:
        """The words that find room; looked for anew only where the plot lies otherwise."""
        at = (plot.rect.getRect(), plot.x_range, plot.y_range, theming.letters())
        if at not in self._found:
            self._found.clear()
            self._found[at] = self._place(plot)
        return self._found[at]

    def _place(self, plot: Map) -> Over:
        naming = Naming(plot.rect.adjusted(2.0, 1.0, -2.0, -1.0))
        for x, y in self.curves:
            rect, (left, right), (low, high) = plot.rect, plot.x_range, plot.y_range
            naming.ink_places(
                rect.left() + (x - left) * (rect.width() / (right - left)),
                rect.bottom() - (y - low) * (rect.height() / (high - low)),
            )
        metrics = QFontMetricsF(theming.font(SMALL, weight=QFont.Weight.Medium))
        names = []
        for text, place, value, colour in self.words:
            size = QSizeF(metrics.horizontalAdvance(text) + 4.0, metrics.height())
            at = plot.point(place, min(value, plot.y_range[1]))
            where = naming.place(size, _near(at, size, plot.rect, self.reach))
            if where is not None:
                names.append(Name(text, where, colour))
        return Over(tuple(names))


class AirPlots(PlotStack):
    """The speeds above; below, what the line weighs against what the air takes."""

    def __init__(self, desk: AirDesk, player: Player) -> None:
        self._desk, self._player = desk, player
        self._still = Chart()
        super().__init__(desk.place.theme, desk.system)
        self.setAccessibleName(tr("Speed and energy along the line"))
        desk.follow(self.refresh, lambda: (desk.study,))
        desk.filmed.connect(self.refresh)
        player.changed.connect(self.show_moment)

    def sizeHint(self) -> QSize:
        """Wide."""
        return QSize(720, 300)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the energy out where there is little room."""
        super().resizeEvent(event)
        low = usual(self.height()) < LOW
        if self.chart.plots and low == (len(self.chart.plots) > 1):
            self.refresh()

    def refresh(self) -> None:
        """Show what is looked at now."""
        self.set_system(self._desk.system)
        self._still = self._chart()
        self.show_moment()

    def show_moment(self) -> None:
        """Put the ring where the film stands; nothing else is drawn again."""
        still, found = self._still, self._desk.study
        if found is not None and still.plots:
            first, *others = still.plots
            first = replace(first, own=first.own + tuple(self._moment(found)))
            still = replace(still, plots=(first, *others))
        self.show_chart(still)

    def _chart(self) -> Chart:
        desk, tokens = self._desk, self.theme.tokens
        found = desk.study
        if found is None or found.first.study is None:
            return Chart(empty=desk.place.read(found.first.problem if found else desk.problem))
        plots: tuple[Plot, ...] = (self._speeds(found),)
        if usual(self.height()) >= LOW:
            plots = (*plots, self._energy(found))
        legend = [Legend(found.first.name, tokens.accent, IN_HAND)]
        for each in found.others:
            colour, dash = desk.style(each)
            legend.append(Legend(each.name, colour, LAID_OVER, dash))
        run, rig = found.first.study.run, found.first.study.rig
        ahead = rig.leader.length if rig.leader else 0.0
        ends = {run.length - ahead - span.end for span in rig.spans} | {run.length - ahead}
        stops = {float(run.at[0]), *(at for at in ends if run.at[0] < at < run.at[-1])}
        return Chart(
            plots,
            across=UNROLLED,
            end=float(run.at[-1]),
            stops=tuple(sorted(stops | {float(run.at[-1])})),
            legend=tuple(legend),
            hint=tr("Point at a plot, or use the arrow keys, to read the line there."),
        )

    def _speeds(self, found: AirStudy) -> Plot:
        desk, tokens = self._desk, self.theme.tokens
        most = MOST_TIMES * found.throw.speed
        laid: list[Ink] = []
        words: list[tuple[str, float, float, str]] = []
        curves = []
        own: list[Ink] = []
        for each in found.all:
            if each.study is None:
                continue
            x, y = each.study.run.at, each.study.run.speed * found.throw.speed
            colour, dash = desk.style(each)
            is_first = each is found.first
            width = IN_HAND if is_first else LAID_OVER
            y = np.minimum(y, 1.5 * most)
            curve = Speeds(x, y, colour, width, dash, each.name, highest=most)
            (own if is_first else laid).append(curve)
            curves.append((x, y))
            at = int(np.argmax(np.where(y <= most, x, -1.0)))
            words.append((each.name, float(x[at]), float(y[at]), tokens.ink))
        if len(words) > 1:
            own.append(Names(tuple(words), tuple(curves), 1.1))
        note = Note(desk.place.read(heading_words(found.throw)), tokens.accent)
        return Plot(SPEED, FAST, 0.52, (), tuple(laid), tuple(own), note)

    def _moment(self, found: AirStudy) -> list[Ink]:
        """The ring, where there is a film of what is looked at, up to where its model ends."""
        shot = next(iter(self._desk.shots), None)
        one = found.first.study
        if shot is None or shot.film is None or one is None or shot.key != found.first.key:
            return []
        seconds = self._player.seconds
        if seconds > shot.film.sound_until:
            return []
        run = one.run
        share = min(max(shot.film.travel_at(seconds), 0.0), 1.0)
        place = float(run.at[0] + share * (run.at[-1] - run.at[0]))
        value = run.speed_at(place) * found.throw.speed
        if math.isnan(value) or value > MOST_TIMES * found.throw.speed:
            return []
        return [Moment(place, value, self.theme.tokens.accent, self.theme.tokens.card)]

    def _energy(self, found: AirStudy) -> Plot:
        tokens, one = self.theme.tokens, found.first.study
        assert one is not None
        run = one.run
        x, weighs, drags = run.at, run.weighs, run.drags
        gains = Area(x, np.maximum(weighs, drags), drags, colour=tokens.accent_wash)
        gives = []
        for low, high in one.gives_away:
            there = (x >= low - 1e-9) & (x <= high + 1e-9)
            over = np.maximum(weighs, drags)[there]
            gives.append(Hatched(x[there], over, weighs[there], colour=tokens.warn))
        edges = tuple(low for low, _ in one.gives_away if low > x[0])
        under: tuple[Ink, ...] = (gains, *gives, Uprights(edges, tokens.soft, (2.0, 3.0)))
        middle = int(len(x) * 0.3)
        words = [
            (tr("what it weighs"), float(x[middle]), float(weighs[middle]), tokens.accent),
            (tr("what the air takes"), float(x[middle]), float(drags[middle]), tokens.warn),
        ]
        for low, high in one.gives_away[:1]:
            at = 0.5 * (low + high)
            top = float(np.interp(at, x, np.maximum(weighs, drags)))
            words.append((tr("here it gives it away"), at, top, tokens.warn))
        most = 2.0 * float(weighs.max())
        uprights = tuple((np.array([at, at]), np.array([0.0, most])) for at in edges)
        own: tuple[Ink, ...] = (
            Curve(x, drags, tokens.warn, 1.2, AIR_DASH, tr("the air takes")),
            Curve(x, weighs, tokens.accent, IN_HAND, None, tr("weighs")),
            Names(tuple(words), ((x, weighs), (x, drags), *uprights)),
        )
        return Plot(ENERGY, HEAVY, 0.48, under, (), own)


def _near(at: QPointF, size: QSizeF, room: QRectF, reach: float) -> Iterator[QPointF]:
    """Centres of a word near a place, kept inside a room across."""
    half = size.width() / 2.0 + 3.0
    low, high = room.left() + half, max(room.left() + half, room.right() - half)
    for each in around(at, size, reach):
        yield QPointF(min(max(each.x(), low), high), each.y())
    for shift in range(1, 7 if reach > 2.0 else 1):
        x = min(max(at.x() - shift * size.width() * 0.4, low), high)
        for down in (-1.1, 1.1, -2.2, 2.2):
            yield QPointF(x, at.y() + down * size.height())
