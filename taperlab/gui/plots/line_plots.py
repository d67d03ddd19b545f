"""The plots of a line: its outline, weight per length, running weight and, if wanted, sink rate."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from taperlab.gui.kit.theme import IN_HAND, LAID_OVER, Theme
from taperlab.gui.plots.axis import Axis, Unit
from taperlab.gui.plots.brackets import JOINT_DASH, Stretch
from taperlab.gui.plots.chart import Chart, Legend, Plot, Words
from taperlab.gui.plots.grips import Handle
from taperlab.gui.plots.ink import Area, Band, Curve, Ghost, Ink, Uprights
from taperlab.gui.plots.marks import Note
from taperlab.gui.plots.outline import outline_of
from taperlab.gui.plots.stack import PlotStack
from taperlab.gui.plots.styles import style_at
from taperlab.model.rod import Window
from taperlab.physics.frustum import Array
from taperlab.shop.analyse import Curves, LineAnalysis
from taperlab.shop.reading import Reading, read_line, words, words_beyond
from taperlab.units.kinds import DIAMETER, SINK_RATE, WEIGHT, WEIGHT_PER_LENGTH, System
from taperlab.units.language import later, tr
from taperlab.units.sentence import Number, Sentence, render
from taperlab.units.show import to_unit
from taperlab.units.words import capital

OUTLINE, WEIGHT_ALONG, RUNNING, SINK = "outline", "weight", "running", "sink"
"""Keys of the plots."""

AXES = {
    OUTLINE: Axis(
        DIAMETER,
        Unit("in", later("Diameter, inches"), 0.001, 0.001),
        Unit("mm", later("Diameter, millimetres"), 0.01),
        mirrored=True,
        room=1.16,
    ),
    WEIGHT_ALONG: Axis(
        WEIGHT_PER_LENGTH,
        Unit("gr/ft", later("Weight per length, grains per foot"), 0.1),
        Unit("g/m", later("Weight per length, grams per metre"), 0.01),
    ),
    RUNNING: Axis(
        WEIGHT,
        Unit("gr", later("Running weight from the fly end, grains")),
        Unit("g", later("Running weight from the fly end, grams"), 0.1),
    ),
    SINK: Axis(
        SINK_RATE,
        Unit("in/s", later("Sink rate, inches per second; below zero it rises"), 0.1),
        Unit("cm/s", later("Sink rate, centimetres per second; below zero it rises"), 0.1),
    ),
}
"""What stands upright in each plot; a nudge by key moves one ``fine`` step."""

SHARES = {OUTLINE: 0.28, WEIGHT_ALONG: 0.38, RUNNING: 0.34, SINK: 0.30}
"""Heights of the plots, one to another."""

COLUMNS = (0.0, 0.13, 0.35, 0.49, 0.625, 0.81, 1.0)
"""Where the columns of a reading begin."""

MOST_RODS = 9

GHOST_ROOM = 1.25
"""How much further than the current line its ghost makes room for itself."""


@dataclass(frozen=True, eq=False, slots=True)
class Laid:
    """A line laid over the current one, drawn in the style of its place on the bench."""

    name: str
    analysis: LineAnalysis
    place: int = 0


WINDOW_FOR_HEAD = Sentence("the rod’s grain window for the head")
"""What is said of the window where the head alone is looked at."""


@dataclass(frozen=True, eq=False, slots=True)
class Drawing:
    """What the plots show. rod_length: [m]. A window is drawn on running weight.

    sink: whether the fourth plot is shown. head_only: whether of each line the head alone is.
    ghost: the line as it would be with what is typed. stretches: the lines of a rig, from the fly
    end; window_over: stretch of the rig that the window judges, where that is not all of it, and
    what lies ahead of it weighs [kg]. window_for: what the window judges, in words.
    """

    analysis: LineAnalysis | None = None
    ghost: LineAnalysis | None = None
    laid: tuple[Laid, ...] = ()
    rod_length: float | None = None
    window: Window | None = None
    sink: bool = False
    head_only: bool = False
    stretches: tuple[Stretch, ...] = ()
    window_over: tuple[float, float, float] | None = None
    window_for: Sentence = WINDOW_FOR_HEAD

    @property
    def joints(self) -> tuple[float, ...]:
        """Where the lines of a rig meet [m]."""
        return tuple(each.end for each in self.stretches[:-1])

    def end_of(self, analysis: LineAnalysis) -> float:
        """How far a line is shown [m]."""
        return analysis.head_end if self.head_only else analysis.length


def values(curves: Curves, plot: str) -> Array:
    """The curve of a plot [SI], point by point."""
    return {
        OUTLINE: curves.diameter,
        WEIGHT_ALONG: curves.linear_density,
        RUNNING: curves.running_mass,
        SINK: curves.sink,
    }[plot]


class LinePlots(PlotStack):
    """Draws lines as they are analysed; it knows of no document."""

    def __init__(self, theme: Theme, system: System = System.US) -> None:
        self.drawing = Drawing()
        self._handles: tuple[Handle, ...] = ()
        super().__init__(theme, system)
        self.redraw()
        theme.changed.connect(self.redraw)

    @property
    def reading(self) -> Reading | None:
        """The current line where the crosshair stands."""
        return None if self.position is None else self._reading_at(self.position)

    def draw(self, drawing: Drawing, handles: tuple[Handle, ...] = ()) -> None:
        """Show this; only what differs from what is shown is drawn again."""
        self.drawing, self._handles = drawing, handles
        self.redraw()

    def redraw(self) -> None:
        """Draw all that has changed."""
        self.show_chart(self._chart(), self._handles)

    # -- the chart -----------------------------------------------------------------------------

    def _chart(self) -> Chart:
        drawing, tokens = self.drawing, self.theme.tokens
        analysis = drawing.analysis
        if analysis is None:
            return Chart(empty=tr("There is no line on the bench."))
        if not analysis.segments:
            return Chart(
                empty=tr(
                    "This line has no segments yet.\n"
                    "Add the first one in the table and it is drawn here."
                )
            )
        legend = [Legend(analysis.line.name, tokens.accent, IN_HAND)]
        for each in drawing.laid:
            colour, dash = style_at(each.place, tokens)
            legend.append(Legend(each.name, colour, LAID_OVER, dash))
        keys = (OUTLINE, WEIGHT_ALONG, RUNNING, *((SINK,) if drawing.sink else ()))
        plots = tuple(self._plot(key, analysis) for key in keys)
        rod = drawing.rod_length
        above: tuple[tuple[float, str], ...] = ()
        if rod:
            reach = Chart(plots).reach * (1.0 + 1e-9)
            above = tuple(
                (rod * n, tr("{count}× rod").format(count=n))
                for n in range(1, MOST_RODS + 1)
                if rod * n <= reach
            )
        return Chart(
            plots,
            end=drawing.end_of(analysis),
            stops=tuple(s for s in analysis.line.starts if s <= drawing.end_of(analysis)),
            above=above,
            stretches=drawing.stretches,
            legend=tuple(legend),
            read=self._read_at,
        )

    def _plot(self, key: str, analysis: LineAnalysis) -> Plot:
        tokens, window = self.theme.tokens, self.drawing.window
        curves = self._curves(analysis)
        x, y = curves.position, values(curves, key)
        under: tuple[Ink, ...] = ()
        own: tuple[Ink, ...] = (Curve(x, y, tokens.accent, IN_HAND),)
        note = None
        if key == OUTLINE:
            under = (outline_of(analysis.line, tokens, self.drawing.end_of(analysis)),)
            own = ()
        elif key == WEIGHT_ALONG:
            under = (Area(x, y, colour=tokens.accent_wash),)
        elif key == RUNNING and window:
            under = (self._window(window),)
            note = self._window_note(window)
        if self.drawing.stretches:
            under = (*under, Uprights(self.drawing.joints, tokens.ink, JOINT_DASH))
        own = self._ghost(key, analysis) + own  # what is there stands out where both are one
        shown = [(each, *style_at(each.place, tokens)) for each in self.drawing.laid]
        laid = tuple(
            Curve(
                self._curves(each.analysis).position,
                values(self._curves(each.analysis), key),
                colour,
                LAID_OVER,
                dash,
                name=each.name,
                mirrored=key == OUTLINE,
                casing=tokens.card if key == OUTLINE else "",
            )
            for each, colour, dash in shown
            if each.analysis.segments
        )
        return Plot(key, AXES[key], SHARES[key], under, laid, own, note)

    def _curves(self, analysis: LineAnalysis) -> Curves:
        curves = analysis.curves
        return curves.ahead_of(analysis.head_end) if self.drawing.head_only else curves

    def _ghost(self, key: str, analysis: LineAnalysis) -> tuple[Ink, ...]:
        ghost, tokens = self.drawing.ghost, self.theme.tokens
        if ghost is None or not ghost.segments:
            return ()
        curves = self._curves(ghost)
        x, y = curves.position, values(curves, key)
        there = values(self._curves(analysis), key)
        made = Ghost(
            x,
            y,
            tokens.ink,
            mirrored=key == OUTLINE,
            light=tokens.card,
            furthest=self.drawing.end_of(analysis) * GHOST_ROOM,
            highest=float(abs(there).max()) * GHOST_ROOM,
        )
        return (made,)

    def _window(self, window: Window) -> Ink:
        """The window: all along the plot, or over the stretch that it judges."""
        tokens, over = self.theme.tokens, self.drawing.window_over
        if over is None:
            return Band(window.lightest, window.heaviest, tokens.band, tokens.accent)
        front, rear, ahead = over
        return Area(
            np.array([front, rear]),
            np.full(2, ahead + window.heaviest),
            np.full(2, ahead + window.lightest),
            colour=tokens.band,
            rim=tokens.accent,
            beneath_grid=True,
        )

    def _window_note(self, window: Window) -> Note:
        us = self.system is System.US
        unit, decimals = ("gr", 0) if us else ("g", 1)
        low, high = (
            Number(to_unit(mass, unit, WEIGHT), decimals)
            for mass in (window.lightest, window.heaviest)
        )
        if us:
            short = Sentence("{low} to {high} gr", low=low, high=high)
        else:
            short = Sentence("{low} to {high} g", low=low, high=high)
        whole = Sentence("{window}, {range}", window=self.drawing.window_for, range=short)
        return Note(
            render(whole, self.system),
            self.theme.tokens.band,
            filled=True,
            short=render(short, self.system),
        )

    # -- the crosshair -------------------------------------------------------------------------

    def _reading_at(self, position: float) -> Reading | None:
        analysis = self.drawing.analysis
        return None if analysis is None else read_line(analysis, position)

    def _read_at(self, position: float) -> Words:
        reading = self._reading_at(position)
        said = words_beyond(position) if reading is None else words(reading)
        place, what, *rest = (render(each, self.system) for each in said)
        if reading is None:
            return Words((place, what), COLUMNS)
        name = next((s.name for s in self.drawing.stretches if reading.segment in s.rows), "")
        if name:
            what = tr("{line}: {part}").format(line=name, part=what)
            return Words((place, what, *rest), COLUMNS, self.theme.tokens.parts[reading.part])
        return Words((place, capital(what), *rest), COLUMNS, self.theme.tokens.parts[reading.part])
