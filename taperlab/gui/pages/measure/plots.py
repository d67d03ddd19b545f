"""Stations on the fitted outline, what is left between them, and the weight per length."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from taperlab.edits import measure as edits
from taperlab.edits.breakpoints import drag_measured, on_tape
from taperlab.gui.kit.key_names import with_key
from taperlab.gui.kit.theme import DASHES, IN_HAND, LAID_OVER
from taperlab.gui.pages.measure.desk import Desk
from taperlab.gui.plots.axis import Axis, Unit
from taperlab.gui.plots.chart import Chart, Legend, Plot, Words
from taperlab.gui.plots.drags import Drags
from taperlab.gui.plots.grips import Handle, Side
from taperlab.gui.plots.ink import Area, Curve, Ink, Points, Uprights
from taperlab.gui.plots.line_plots import AXES, OUTLINE, WEIGHT_ALONG
from taperlab.gui.plots.marks import Note
from taperlab.gui.plots.outline import outline_of
from taperlab.gui.plots.stack import Command, PlotStack
from taperlab.model.exact_units import INCH
from taperlab.physics.frustum import Array
from taperlab.shop.errors import CONFIDENT
from taperlab.shop.measure.drawn import (
    PointsRead,
    breakpoints_of,
    points_read,
    read_fit,
    unmeasured_diameters,
    weight_along,
    words,
)
from taperlab.shop.measure.placing import Breakpoint
from taperlab.shop.measure.remarks import somewhere
from taperlab.shop.measure.study import Study
from taperlab.units.kinds import DIAMETER
from taperlab.units.language import later, tr
from taperlab.units.sentence import Length, Sentence, ShortLength

OFF = "off"
OFF_AXIS = Axis(
    DIAMETER,
    Unit("thou", later("Off the fit, thousandths of an inch")),
    Unit("µm", later("Off the fit, micrometres")),
    mirrored=True,
    signed=True,
    room=1.3,
    least=INCH / 1000.0,
)
SHARES = {OUTLINE: 0.42, OFF: 0.24, WEIGHT_ALONG: 0.34}
"""Heights of the plots, one to another."""

NEAR = 0.02
"""A chosen breakpoint is found again within this share of the line's length."""


class MeasurePlots(PlotStack):
    """Draws the current measurement; its breakpoints can be moved, held and let go.

    With the mouse: drag a ring, double-click to fix a breakpoint, right-click for a menu. With
    keys, beside those of every stack: Space holds a breakpoint or lets it go, Insert fixes one
    where the crosshair is, Delete lets go.
    """

    TWICE = later("hold a breakpoint there, or the one that is there")
    free_of_steps = False

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._drawn: tuple[object, ...] = ()
        self._plots: tuple[Plot, ...] = ()
        self._wanted: float | None = None
        super().__init__(desk.place.theme, desk.system)
        self.setAccessibleName(tr("Plots of the measured line"))
        hold = Command(
            later("Hold the chosen breakpoint, or let the stations place it"), self.toggle_hold
        )
        self.commands = {
            Qt.Key.Key_Space: hold,
            Qt.Key.Key_L: hold,
            Qt.Key.Key_Insert: Command(
                later("Fix a breakpoint where the crosshair is"), self.fix_here
            ),
            Qt.Key.Key_Delete: Command(
                later("Let the stations place the chosen breakpoint"), self.let_go
            ),
        }
        self._drags = Drags(
            self.canvas,
            desk.place,
            remember=self._held,
            move=self._move,
            put_back=self._put_back,
            whole=True,
        )
        desk.place.theme.changed.connect(self.refresh)
        desk.follow(self.refresh)

    def sizeHint(self) -> QSize:
        """Wide."""
        return QSize(760, 420)

    # -- what is shown -------------------------------------------------------------------------

    @property
    def breakpoints(self) -> tuple[Breakpoint, ...]:
        """The breakpoints as fitted; fixed ones that wait for a fit included."""
        return breakpoints_of(self._desk.measurement, self._desk.study)

    def refresh(self) -> None:
        """Show the current measurement as far as it is fitted."""
        desk = self._desk
        self.set_system(desk.system)
        measurement, study = desk.measurement, desk.study
        if measurement is None:
            self.show_chart(Chart())
            return
        drawn = (study, desk.design, self.theme.tokens)
        if not self._drawn or any(a is not b for a, b in zip(drawn, self._drawn, strict=True)):
            self._drawn, self._plots = drawn, self._make_plots()
        hint = tr("Drag a ring to move a breakpoint; double-click to fix one.")
        if study is None or study.fit is None:
            hint = desk.place.read(study.why_not) if study is not None else " "
        chart = Chart(
            self._plots,
            end=measurement.length,
            legend=(Legend(measurement.name, self.theme.tokens.accent, IN_HAND),),
            read=self._read_at,
            hint=hint,
        )
        self.show_chart(chart, self._make_handles())

    def _make_plots(self) -> tuple[Plot, ...]:
        study, tokens = self._desk.study, self.theme.tokens
        places = tuple(each.position for each in self.breakpoints)
        nodes = Uprights(places, tokens.soft, (2, 3))
        return self._outline(study), self._off(study, nodes), self._weight(study, nodes)

    def _outline(self, study: Study | None) -> Plot:
        """The fitted line, and the stations on its upper edge with their errors."""
        plot = Plot(OUTLINE, AXES[OUTLINE], SHARES[OUTLINE])
        if study is None:
            return plot
        read, fit = points_read(study), study.fit
        points = self._points(read, read.diameters, CONFIDENT * read.errors)
        if fit is None:
            return replace(plot, laid=(points,))
        tokens = self.theme.tokens
        ranges = [
            Area(each.position, each.upper, each.lower, tokens.band, tokens.field)
            for each in unmeasured_diameters(study)
        ]
        return replace(plot, under=(outline_of(fit.line, tokens), *ranges), laid=(points,))

    def _off(self, study: Study | None, nodes: Ink) -> Plot:
        """How far each station lies off the fit, over what its error explains."""
        plot, tokens = Plot(OFF, OFF_AXIS, SHARES[OFF]), self.theme.tokens
        if study is None or study.fit is None:
            return plot
        read, length = study.fit.shape.stations, study.fit.line.length
        points = points_read(study)
        # The error of the first and last station stands for the ends too.
        x = np.concatenate(([0.0], read.distances, [length]))
        errors = CONFIDENT * np.concatenate((read.errors[:1], read.errors, read.errors[-1:]))
        band = (
            Area(x, errors, -errors, tokens.band, beneath_grid=True),
            Area(x, errors, -errors, rim=tokens.field),  # a rule of the grid may lie on the edge
        )
        note = tr("band: what scatter and steps explain, 95 in 100")
        return replace(
            plot,
            under=(*band, nodes),
            laid=(self._points(points, points.residuals),),
            note=Note(note, tokens.band, filled=True, short=tr("95 in 100")),
        )

    def _weight(self, study: Study | None, nodes: Ink) -> Plot:
        """Weight per length with its error, and that of the design."""
        plot = Plot(WEIGHT_ALONG, AXES[WEIGHT_ALONG], SHARES[WEIGHT_ALONG])
        desk, tokens, dash = self._desk, self.theme.tokens, DASHES[0]
        along = weight_along(study) if study is not None else ()
        if along:
            known, *beyond = along
            bands = [
                Area(each.position, each.upper, each.lower, tokens.band, tokens.field)
                for each in along
            ]
            # Where the stations end the band has a hard edge.
            edges = [each.position[0 if each.position[0] > 0.0 else -1] for each in beyond]
            note = (
                tr("band: ± at 95 in 100; beyond the stations not measured")
                if beyond
                else tr("band: ± at 95 in 100")
            )
            plot = replace(
                plot,
                under=(*bands, Uprights(tuple(map(float, edges)), tokens.soft), nodes),
                own=(Curve(known.position, known.value, tokens.accent, IN_HAND),),
                note=Note(note, tokens.band, filled=True, short=tr("95 in 100")),
            )
        design = desk.place.document.analysis(desk.design.key) if desk.design else None
        if design is None or not design.segments:
            return plot
        x, y, name = design.curves.position, design.curves.linear_density, design.line.name
        note = desk.place.read(Sentence("as designed: {line}", line=name))
        return replace(
            plot,
            laid=(Curve(x, y, tokens.crosshair, LAID_OVER, dash, name),),
            note=Note(note, tokens.crosshair, dash),
        )

    def _points(self, read: PointsRead, y: Array, errors: Array | None = None) -> Points:
        tokens = self.theme.tokens
        return Points(
            read.distances,
            y,
            read.kept,
            errors,
            colour=tokens.ink,
            rim=tokens.card,
            bad=tokens.bad,
        )

    def _make_handles(self) -> tuple[Handle, ...]:
        """A ring for each breakpoint; the chosen one keeps its number wherever it lies now."""
        found = list(self.breakpoints)
        chosen = self.grips.in_hand
        numbers = list(range(len(found)))
        if chosen is not None:
            at = self._wanted if self._wanted is not None else chosen.position
            near = min(range(len(found)), key=lambda i: abs(found[i].position - at), default=None)
            if near is not None and abs(found[near].position - at) < NEAR * self.chart.end:
                other = chosen.index
                if other in numbers:
                    numbers[other] = near
                numbers[near] = other
            elif not self.is_dragging:
                self.grips.chosen = None
        return tuple(
            Handle(
                OUTLINE, number, Side.BOTH, each.position, each.diameter, each.fixed, across=False
            )
            for number, each in zip(numbers, found, strict=True)
        )

    # -- the crosshair -------------------------------------------------------------------------

    def _read_at(self, position: float) -> Words:
        desk = self._desk
        found = read_fit(desk.study, position) if desk.study is not None else None
        if found is None:
            return Words((desk.place.read(Sentence("{place}", place=Length(position))),))
        said = [desk.place.read(each) for each in words(found)]
        chosen = self.grips.in_hand
        if chosen is not None and abs(chosen.position - position) < 1e-3:
            said.append(self._placed(chosen))
        return Words(tuple(said))

    def _placed(self, chosen: Handle) -> str:
        """How a breakpoint came to be where it is."""
        if chosen.held:
            return tr("breakpoint held")
        loose = [each for each in self.breakpoints if not each.is_placed]
        near = [each for each in loose if abs(each.position - chosen.position) < 1e-3]
        if near:
            return self._desk.place.read(Sentence("breakpoint: {where}", where=somewhere(near[0])))
        return tr("breakpoint, from the stations")

    def drag_steps(self) -> str:
        """Those of the tape: nobody can point finer than he can measure."""
        measurement = self._desk.measurement
        step = measurement.instruments.tape if measurement else 0.0
        return self._desk.place.read(Sentence("{step}", step=ShortLength(step)))

    # -- moving a breakpoint -------------------------------------------------------------------

    def _held(self) -> tuple[float, ...] | None:
        measurement = self._desk.measurement
        return measurement.breakpoints if measurement else None

    def _move(self, handle: Handle, position: float | None, _value: float | None) -> None:
        measurement = self._desk.measurement
        if measurement is not None and position is not None:
            self._wanted = on_tape(measurement, position)
            self._desk.apply(drag_measured, handle.position, position, merge=self._drags.merge)
            self._wanted = None

    def _put_back(self, held: tuple[float, ...]) -> None:
        self._desk.apply(edits.set_breakpoints, held, merge=self._drags.merge)

    # -- holding and letting go ----------------------------------------------------------------

    def fix_here(self) -> None:
        """Fix a breakpoint where the crosshair is."""
        measurement, position = self._desk.measurement, self.position
        if measurement is not None and position is not None:
            self._fix(on_tape(measurement, position))

    def toggle_hold(self) -> None:
        """Hold the chosen breakpoint where it is, or let the stations place it."""
        chosen, measurement = self.grips.in_hand, self._desk.measurement
        if chosen is None or measurement is None:
            return
        if chosen.held:
            self.let_go()
        else:
            self._fix(on_tape(measurement, chosen.position))

    def _fix(self, position: float) -> None:
        if self._desk.apply(edits.fix_breakpoint, position):
            there = min(
                self.grips.handles, key=lambda each: abs(each.position - position), default=None
            )
            self.canvas.choose_handle(there.key if there else None)

    def let_go(self) -> None:
        """Let the stations place the chosen breakpoint, if it is held."""
        chosen = self.grips.in_hand
        if chosen is not None and chosen.held:
            self._desk.apply(edits.release_breakpoint, chosen.position)

    def toggle_only(self) -> None:
        """Take the fixed breakpoints alone, or look for others as well."""
        measurement = self._desk.measurement
        if measurement is not None:
            self._desk.apply(edits.set_only_fixed, not measurement.only_fixed)

    def pressed_twice(self, position: float, handle: Handle | None) -> None:
        """Fix a breakpoint there, or hold the one that is there."""
        if handle is not None:
            self.canvas.choose_handle(handle.key)
            self.toggle_hold()
        elif self._desk.study is not None and self._desk.study.fit is not None:
            self.point_at(position)
            self.fix_here()

    def fill_menu(self, menu: QMenu) -> None:
        """What can be done to the chosen breakpoint, or to the place pointed at."""
        measurement, chosen = self._desk.measurement, self.grips.in_hand
        if chosen is not None:
            text = tr("Let the stations place it") if chosen.held else tr("Hold it here")
            menu.addAction(with_key(text, Qt.Key.Key_Space), self.toggle_hold)
        elif self.position is not None and measurement is not None:
            place = Length(on_tape(measurement, self.position))
            text = self._desk.place.read(Sentence("Fix a breakpoint at {place}", place=place))
            menu.addAction(with_key(text, Qt.Key.Key_Insert), self.fix_here)
        if measurement is not None:
            menu.addSeparator()
            only = QAction(tr("Only the fixed breakpoints"), menu)
            only.setCheckable(True)
            only.setChecked(measurement.only_fixed)
            only.triggered.connect(self.toggle_only)
            menu.addAction(only)
