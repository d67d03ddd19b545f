"""The plots of the Shape page: they show the line in hand, and dragging edits it."""

from __future__ import annotations

from taperlab.edits.breakpoints import drag_breakpoint, put_back
from taperlab.gui.kit.host import Workplace
from taperlab.gui.plots.drags import Drags
from taperlab.gui.plots.grips import Handle, Side
from taperlab.gui.plots.line_plots import OUTLINE, WEIGHT_ALONG, Drawing, Laid, LinePlots
from taperlab.gui.plots.styles import place_of
from taperlab.gui.state.document import Change
from taperlab.gui.state.watch import Watch
from taperlab.model.line import Line
from taperlab.shop.analyse import LineAnalysis
from taperlab.units.sentence import Diameter, Length, Sentence, WeightPerLength, render

SAME = 1e-9


class ProfilePlots(LinePlots):
    """The line in hand with the lines laid over it, on the chosen rod."""

    def __init__(self, place: Workplace, watch: Watch) -> None:
        self.place = place
        super().__init__(place.theme, place.system)
        self._drags = Drags(
            self.canvas, place, remember=self._line, move=self._move, put_back=self._put_back
        )
        watch.changed.connect(self._changed)
        watch.units_changed.connect(self._units_changed)
        place.settings.sink_shown_changed.connect(self.refresh)
        self.refresh()

    # -- showing -------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the document as it is."""
        document = self.place.document
        analysis, fit = document.analysis(), document.rod_fit()
        laid = [
            Laid(line.name, found, place_of(document, line))
            for line in document.overlays()
            if (found := document.analysis(line.key))
        ]
        self.draw(
            Drawing(
                analysis=analysis,
                laid=tuple(laid),
                rod_length=document.rod.length if document.rod else None,
                window=fit.window if fit else None,
                sink=self.place.settings.sink_shown,
            ),
            handles_of(analysis) if analysis else (),
        )

    def _changed(self, change: Change) -> None:
        before, after = change.before.current_line, change.after.current_line
        other_line = (before and before.key) != (after and after.key)
        if other_line:
            if self.is_dragging:
                self.canvas.let_go()
                self._drags.end()
            self.canvas.choose_handle(None)
            self.point_at(None)
        self.refresh()
        if other_line:
            self.reset_view()

    def _units_changed(self) -> None:
        self.set_system(self.place.system)

    # -- editing -------------------------------------------------------------------------------

    def _line(self) -> Line | None:
        return self.place.document.line

    def _move(self, handle: Handle, position: float | None, value: float | None) -> None:
        line = self.place.document.line
        if line is None or handle.index > len(line.segments):
            return
        outline = handle.plot == OUTLINE
        self.place.do(
            drag_breakpoint,
            line.key,
            handle.index,
            position,
            behind=handle.side is Side.BEHIND,
            **{"diameter" if outline else "linear_density": value},
            merge=self._drags.merge,
            initiator=self,
        )
        now = self.canvas.grips.find(handle.key)
        if now is not None:
            size = Diameter(now.value) if outline else WeightPerLength(now.value)
            words = Sentence("{place} · {size}", place=Length(now.position), size=size)
            self.canvas.show_tag(now, render(words, self.system))

    def _put_back(self, line: Line) -> None:
        self.place.do(put_back, line, merge=self._drags.merge, initiator=self)


def handles_of(analysis: LineAnalysis) -> tuple[Handle, ...]:
    """The handles of a line on both plots, from the fly end. A step in value has one a side."""
    rows, figures = analysis.line.segments, analysis.segments
    starts = analysis.profile.starts.tolist()
    made: list[Handle] = []
    for index in range(len(rows) + 1 if rows else 0):
        ahead, behind = index > 0, index < len(rows)
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
                made.append(Handle(plot, index, Side.BOTH, starts[index], one))
                continue
            for side, value in ((Side.AHEAD, one), (Side.BEHIND, other)):
                if value is not None:
                    made.append(Handle(plot, index, side, starts[index], value))
    return tuple(made)


def _same(one: float, other: float) -> bool:
    return abs(one - other) <= SAME * max(abs(one), abs(other))
