"""The plots of the Shape page: they show the current line, and dragging edits it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QMenu

from taperlab.edits.breakpoints import drag_breakpoint, put_back
from taperlab.edits.rows import split_segment
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import Help, with_key
from taperlab.gui.pages.shape.extent import KEY, Extent
from taperlab.gui.plots.brackets import Stretch
from taperlab.gui.plots.drags import Drags
from taperlab.gui.plots.grips import Handle, Side
from taperlab.gui.plots.line_plots import OUTLINE, WEIGHT_ALONG, Drawing, Laid, LinePlots
from taperlab.gui.plots.stack import Command
from taperlab.gui.plots.styles import place_of
from taperlab.gui.state.document import Change
from taperlab.gui.state.preview import Preview
from taperlab.gui.state.watch import Watch
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.rod import Measured
from taperlab.shop.analyse import LineAnalysis
from taperlab.shop.on_rod import RodFit
from taperlab.shop.whole import Whole
from taperlab.units.kinds import LENGTH, WEIGHT
from taperlab.units.language import later, tr
from taperlab.units.sentence import (
    Diameter,
    Length,
    Quantity,
    Sentence,
    Weight,
    WeightPerLength,
    render,
)

SAME = 1e-9

Figure = tuple[str, Quantity]
"""What a figure is of, where that must be said, and the figure."""


class ProfilePlots(LinePlots):
    """The current line, or the rig that it is in, with what is laid over it, on the chosen rod.

    merge_asked(index): the rows ahead of and behind a breakpoint are to become one.
    """

    merge_asked = Signal(int)

    def __init__(self, place: Workplace, watch: Watch) -> None:
        self.place = place
        self._preview: Preview | None = None
        self._begun: tuple[int | None, tuple[Figure, ...]] = (None, ())
        """What was there before the drag, or the row of nudges, that is going on."""
        super().__init__(place.theme, place.system)
        self.extent = Extent(place.settings, self)
        self._drags = Drags(
            self.canvas, place, remember=self._line, move=self._move, put_back=self._put_back
        )
        self.canvas.clicked.connect(self._clicked)
        watch.changed.connect(self._changed)
        self.commands = {
            KEY: Command(later("Show the head only, or the whole line"), self.extent.toggle),
            Qt.Key.Key_Insert: Command(
                later("Add a breakpoint where the crosshair is"), self.split_here
            ),
            Qt.Key.Key_Delete: Command(
                later("Take the chosen breakpoint out: merge the segments that meet there"),
                self.merge_here,
            ),
        }
        watch.units_changed.connect(self._units_changed)
        place.settings.sink_shown_changed.connect(self.refresh)
        place.settings.head_only_changed.connect(self._extent_changed)
        place.theme.changed.connect(self._place_extent)
        self.refresh()

    # -- showing -------------------------------------------------------------------------------

    def follow_typing(self, preview: Preview) -> None:
        """Show what would be, too."""
        self._preview = preview
        preview.changed.connect(self.refresh)

    def refresh(self) -> None:
        """Show the document as it is."""
        document = self.place.document
        whole, fit = document.whole, document.rod_fit()
        analysis = whole.analysis if whole else None
        ghost = self._preview.analysis if self._preview else None
        answers = self._preview is not None and self._preview.is_answer
        if whole and not whole.looped and ghost is not None and answers:
            # An answer to goals is drawn as the line, and the line as it is behind it.
            analysis, ghost = ghost, analysis
        laid = [
            Laid(each.name, each.analysis, place_of(document, thing))
            for thing, each in document.laid_over()
        ]
        drawing = Drawing(
            analysis=analysis,
            ghost=ghost,
            laid=tuple(laid),
            rod_length=document.rod.length if document.rod else None,
            window=fit.window if fit else None,
            sink=self.place.settings.sink_shown,
            head_only=self.place.settings.head_only,
            **(of_rig(whole, document.line, fit) if whole and whole.looped else {}),
        )
        plain = whole is not None and (ghost is None or not answers)
        self.draw(drawing, self._handles_of(whole, drawing) if whole and plain else ())
        lines = [analysis, *(each.analysis for each in laid)]
        self.extent.setVisible(any(each and each.head_end < each.length for each in lines))

    def _handles_of(self, whole: Whole, drawing: Drawing) -> tuple[Handle, ...]:
        """The handles of the line in hand, where it lies in what is drawn."""
        held = next((each for each in drawing.stretches if each.in_hand), None)
        if held is None:
            return handles_of(whole.analysis, drawing.end_of(whole.analysis))
        line = self.place.document.analysis()
        found = handles_of(line, held.end - held.start) if line is not None else ()
        by = held.start
        return tuple(replace(h, position=h.position + by, origin=h.origin + by) for h in found)

    def go_to(self, position: float) -> None:
        """Put the crosshair at a position, behind the head too."""
        analysis = self.drawing.analysis
        if analysis is not None and position > self.drawing.end_of(analysis):
            self.place.settings.show_head_only(False)
        super().go_to(position)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the two buttons beside the title of the axis."""
        super().resizeEvent(event)
        self._place_extent()

    def _place_extent(self) -> None:
        size = self.extent.sizeHint()
        self.extent.resize(size)
        self.extent.move(self.width() - size.width() - 14, self.height() - size.height() - 3)
        self.extent.raise_()

    def _extent_changed(self) -> None:
        self.refresh()
        self.reset_view()

    def _changed(self, change: Change) -> None:
        (line, rig), (line_now, rig_now) = _shown(change.before), _shown(change.after)
        if (line, rig) != (line_now, rig_now):
            if self.is_dragging:
                self.canvas.let_go()
                self._drags.end()
            self.canvas.choose_handle(None)
            self.point_at(None)
        self.refresh()
        if rig != rig_now or (rig_now is None and line != line_now):
            self.reset_view()

    def _units_changed(self) -> None:
        self.set_system(self.place.system)

    # -- the lines of a rig ----------------------------------------------------------------------

    def _line_at(self, position: float) -> str | None:
        """The key of the line of a rig that lies at a place [m]; None where no rig is shown."""
        whole, rig = self.place.document.whole, self.place.document.rig
        return rig.lines[whole.member_at(position)] if whole and rig else None

    def _clicked(self, position: float) -> None:
        key = self._line_at(position)
        if key is not None:
            self._take_in_hand(key)

    def _take_in_hand(self, key: str, _checked: bool = False) -> None:
        """Show the segments of another line of the rig in the table."""
        document = self.place.document
        if document.rig is not None and document.line is not None and document.line.key != key:
            self.place.host.commit()
            document.look(line=key, rig=document.rig.key, initiator=self)

    @property
    def mouse_help(self) -> tuple[Help, ...]:
        """What can be done with the mouse; on a rig a click takes a line in hand."""
        click = Help(tr("Click"), tr("make the line there the current one"))
        return (*((click,) if self.drawing.stretches else ()), *super().mouse_help)

    @property
    def _start(self) -> float:
        """Where the line in hand begins in what is drawn [m]."""
        return next((each.start for each in self.drawing.stretches if each.in_hand), 0.0)

    # -- breakpoints -----------------------------------------------------------------------------

    def _split(self) -> tuple[int, float] | None:
        """The row of the line in hand that is pointed at, and how far from its front [m].

        In whole steps; not at its ends, nor in another line of a rig.
        """
        document, reading = self.place.document, self.reading
        whole, line, rig = document.whole, document.line, document.rig
        if whole is None or line is None or reading is None:
            return None
        member, row = whole.row_of(reading.segment)
        if rig is not None and rig.lines[member] != line.key:
            return None
        step, front = self.chart.across.drag_step(self.system), whole.line.starts[reading.segment]
        distance = round((reading.position - front) / step) * step
        return (row, distance) if 0.0 < distance < line.segments[row].length else None

    def split_here(self) -> None:
        """Add a breakpoint where the crosshair is."""
        found = self._split()
        if found is not None:
            self._split_at(*found, self.canvas.pointer.plot)

    def _split_at(self, row: int, distance: float, plot: str | None) -> None:
        """Add a breakpoint in a row, so far from its front [m], and choose it on a plot."""
        line = self.place.document.line
        if line is not None:
            self.place.do(split_segment, line.key, row, distance, initiator=self)
            shown = plot if plot in {each.plot for each in self.grips.handles} else OUTLINE
            self.canvas.choose_handle((shown, row + 1, Side.BOTH))

    def merge_here(self) -> None:
        """Have the rows that meet at the chosen breakpoint merged."""
        chosen = self.grips.in_hand
        if chosen is not None and self._joins_rows(chosen):
            self.merge_asked.emit(chosen.index)

    def _joins_rows(self, handle: Handle) -> bool:
        line = self.place.document.line
        return line is not None and 0 < handle.index < len(line.segments)

    def fill_menu(self, menu: QMenu) -> None:
        """What can be done to the chosen breakpoint, or to the place pointed at."""
        chosen, found, line = self.grips.in_hand, self._split(), self.place.document.line
        if chosen is not None:
            out = menu.addAction(with_key(tr("Take this breakpoint out"), Qt.Key.Key_Delete))
            out.triggered.connect(self.merge_here)
            out.setEnabled(self._joins_rows(chosen))
        elif found is not None and line is not None:
            place = Length(line.starts[found[0]] + found[1])
            text = self.place.read(Sentence("Add a breakpoint at {place}", place=place))
            # On its way into the menu the mouse leaves the plots, and takes the crosshair along.
            add = partial(self._split_at, *found, self.canvas.pointer.plot)
            menu.addAction(with_key(text, Qt.Key.Key_Insert), add)
        elif self.position is not None and line is not None:
            self._offer_line(menu, self._line_at(self.position))

    def _offer_line(self, menu: QMenu, key: str | None) -> None:
        """Offer to take another line of the rig in hand."""
        document = self.place.document
        if key is None or document.line is None or key == document.line.key:
            return
        take = Sentence("Edit “{line}”", line=document.bench.line(key).name)
        menu.addAction(self.place.read(take)).triggered.connect(partial(self._take_in_hand, key))

    # -- editing -------------------------------------------------------------------------------

    def _line(self) -> Line | None:
        return self.place.document.line

    def _move(self, handle: Handle, position: float | None, value: float | None) -> None:
        line = self.place.document.line
        if line is None or handle.index > len(line.segments):
            return
        analysis = self.place.document.analysis()
        if analysis is not None and self._begun[0] != self._drags.merge:
            self._begun = self._drags.merge, _figures(handle, analysis)
        outline = handle.plot == OUTLINE
        self.place.do(
            drag_breakpoint,
            line.key,
            handle.index,
            None if position is None else position - self._start,
            behind=handle.side is Side.BEHIND,
            **{"diameter" if outline else "linear_density": value},
            joined=self.place.settings.ends,
            merge=self._drags.merge,
            initiator=self,
        )
        now = self.canvas.grips.find(handle.key)
        analysis = self.place.document.analysis()
        if now is not None and analysis is not None:
            self.canvas.show_tag(now, *self._moved(_figures(now, analysis), position, value))

    def _moved(
        self, now: tuple[Figure, ...], position: float | None, value: float | None
    ) -> Iterator[str]:
        """What a drag moves, in words: how much it is now, and by how much that is more."""
        moves = {LENGTH: position, WEIGHT: 0.0}
        for before, (name, figure) in zip(self._begun[1], now, strict=True):
            if moves.get(figure.kind, value) is None:
                continue
            change = replace(figure, value=figure.value - before[1].value, signed=True)
            words = Sentence("{now}, {change}", now=figure, change=change)
            yield f"{tr(name)} {render(words, self.system)}".strip()

    def _put_back(self, line: Line) -> None:
        self.place.do(put_back, line, merge=self._drags.merge, initiator=self)


def of_rig(whole: Whole, line: Line | None, fit: RodFit | None) -> dict[str, Any]:
    """What is drawn of a rig besides: its lines, the one in hand, what the window judges."""
    looped = whole.looped
    if looped is None:
        return {}
    held = line.key if line is not None else None
    stretches = tuple(
        Stretch(span.line.name, span.start, span.end, rows, span.line.key == held)
        for span, rows in zip(looped.spans, looped.rows, strict=True)
    )
    head = looped.spans[looped.head]
    over, said = None, Sentence("the rod’s grain window for head and tip")
    if fit is not None and fit.judged is Measured.HEAD:
        over = (head.start, head.end, whole.ahead_of_head)
        said = Sentence("the rod’s grain window for the head alone, counted from its fly end")
    return {"stretches": stretches, "window_over": over, "window_for": said}


def _shown(bench: Bench) -> tuple[str | None, str | None]:
    """The line in hand and the rig that are looked at, by key."""
    line, rig = bench.current_line, bench.current_rig
    return (line.key if line else None), (rig.key if rig else None)


def _figures(handle: Handle, analysis: LineAnalysis) -> tuple[Figure, ...]:
    """What there is to say of a handle: its place, its size there, and what the head weighs."""
    rows, index, head = analysis.line.segments, handle.index, analysis.head
    behind = index == 0 or (handle.side is Side.BEHIND and index < len(rows))
    thick = rows[index].front_diameter if behind else rows[index - 1].rear_diameter
    per_length = [("", WeightPerLength(handle.value))] if handle.plot == WEIGHT_ALONG else []
    weighs = (later("Head"), Weight(head.mass)) if head else (later("Line"), Weight(analysis.mass))
    return ("", Length(handle.position)), *per_length, ("", Diameter(thick)), weighs


def handles_of(analysis: LineAnalysis, end: float = math.inf) -> tuple[Handle, ...]:
    """The handles of a line on both plots, from the fly end as far as is shown [m].

    A step in value has one a side.
    """
    rows, figures = analysis.line.segments, analysis.segments
    starts = analysis.profile.starts.tolist()
    made: list[Handle] = []
    for index in range(len(rows) + 1 if rows else 0):
        if starts[index] > end + SAME:
            break
        ahead, behind = index > 0, index < len(rows)
        # The row ahead comes to a whole step, as the table shows it; the fly end stays.
        handle = partial(Handle, along=ahead, origin=starts[index - 1] if ahead else 0.0)
        ends = {
            OUTLINE: (
                rows[index - 1].rear_diameter if ahead else None,
                rows[index].front_diameter if behind else None,
            ),
            WEIGHT_ALONG: (
                figures[index - 1].rear_linear_density if ahead else None,
                figures[index].front_linear_density if behind else None,
            ),
        }
        for plot, (one, other) in ends.items():
            if one is not None and other is not None and _same(one, other):
                made.append(handle(plot, index, Side.BOTH, starts[index], one))
                continue
            for side, value in ((Side.AHEAD, one), (Side.BEHIND, other)):
                if value is not None and (side is Side.AHEAD or starts[index] < end - SAME):
                    made.append(handle(plot, index, side, starts[index], value))
    return tuple(made)


def _same(one: float, other: float) -> bool:
    return abs(one - other) <= SAME * max(abs(one), abs(other))
