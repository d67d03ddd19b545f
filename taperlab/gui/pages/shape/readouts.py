"""The figures at the right: what decides, large; the rest one glance away."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QWidget

from taperlab.edits import figures as typed
from taperlab.edits.figures import kind_of
from taperlab.gui.kit.gauge import PLACE_ROLES, WindowGauge
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.methods import method
from taperlab.gui.kit.nudges import Nudged, Nudges
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.typed_figure import TypedFigure, Typing
from taperlab.gui.kit.widgets import (
    FIGURE,
    NONE,
    Card,
    Figure,
    Remark,
    caption,
    in_column,
    in_row,
    label,
    set_role,
    show_only_if,
)
from taperlab.gui.pages.shape.as_built import AsBuilt
from taperlab.gui.pages.shape.figure_menus import FigureMenus
from taperlab.gui.pages.shape.goals_case import GoalsCase
from taperlab.gui.pages.shape.may_move import MayMove
from taperlab.gui.state.preview import Preview
from taperlab.gui.state.watch import Watch
from taperlab.model.aim import Goal, GoalKind
from taperlab.shop.analyse import HeadFigures, LineAnalysis
from taperlab.shop.on_rod import RodFit
from taperlab.shop.wording import (
    OtherLength,
    OtherWeight,
    WholeWeight,
    head_sink,
    head_sink_class,
    place_on_rod,
    ratio_with_tips,
    ratio_words,
    sink_range,
    size_on_rod,
    weighed_by_standard,
)
from taperlab.units.kinds import WEIGHT_PER_LENGTH
from taperlab.units.language import later, tr
from taperlab.units.sentence import (
    NOTHING,
    Number,
    OnTape,
    RodLength,
    Sentence,
    Weight,
    WeightPerLength,
)
from taperlab.units.show import show
from taperlab.units.words import capital, heading

_FIGURES = {
    "length": later("Head length"),
    "ratio": later("Ratio"),
    "front": later("Front taper"),
    "balance": later("Balance point"),
    "mean": later("Mean"),
    "sink": later("Sink rate"),
    "standard": later("Standard"),
    "first": later("First 30 ft"),
}
"""The figures in their order, each with its name."""

_TYPED = {
    "length": typed.Figure.LENGTH,
    "ratio": typed.Figure.RATIO,
    "front": typed.Figure.FRONT,
    "balance": typed.Figure.BALANCE,
}
"""Those of them that can be typed; and the head weight can."""

_KEYS = {figure: key for key, figure in _TYPED.items()}


class Readouts(QWidget):
    """Head weight with its gauge, the figures, and the whole line."""

    def __init__(self, place: Workplace, watch: Watch, preview: Preview, goals: GoalsCase) -> None:
        super().__init__()
        self._place, self._preview, self._goals = place, preview, goals
        self._line: str | None = None
        self._whole = ""
        self.may_move = MayMove(place)
        self.may_move.told = lambda: goals.is_told
        self.problem = Remark(points=SMALL)
        self.typed: dict[typed.Figure, TypedFigure] = {}
        weight = QFont.Weight.DemiBold
        self.weight = self._typed(typed.Figure.WEIGHT, tr("Head weight"), 30.0, weight)
        self.other_weight = label("", points=9.0, role="soft")
        self.other_weight.setContentsMargins(0, 0, 0, 8)
        self.in_window = label("", points=9.0, wrap=True)
        self.in_window.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self.gauge = WindowGauge(place.theme)
        self.as_built = AsBuilt(place)
        self.figures = {
            key: Figure(
                tr(name),
                method(key),
                value=self._typed(_TYPED[key], tr(name), FIGURE) if key in _TYPED else None,
            )
            for key, name in _FIGURES.items()
        }
        self.whole = label("", points=SMALL, role="soft")
        self.whole.setToolTip(method("whole"))
        in_column(self._weight_card(), self._figures_card(), spacing=12, of=self)
        watch.follow(self.refresh)
        preview.changed.connect(self.refresh)
        goals.changed.connect(self.refresh)

    # -- what is typed ------------------------------------------------------------------------

    def _typed(
        self,
        figure: typed.Figure,
        name: str,
        points: float,
        weight: QFont.Weight = QFont.Weight.Medium,
    ) -> TypedFigure:
        nudges = Nudges(self._place, partial(self._nudged, figure), self)
        take, suppose = partial(self._take, figure), partial(self._suppose, figure)
        typing = Typing(
            take,
            suppose,
            nudges,
            take_span=partial(self._take_goal, figure),
            suppose_span=partial(self._suppose_goal, figure),
            ended=partial(self._ended, figure),
            asked=partial(self._asked, figure),
        )
        made = TypedFigure(name, kind_of(figure), self._place, typing, points=points, weight=weight)
        made.focused.connect(partial(self.may_move.show_figure, figure))
        made.problem.connect(self.problem.say)
        self.typed[figure] = made
        return made

    def _take_goal(self, figure: typed.Figure, low: float, high: float) -> Sentence:
        return self._goals.take_goal(Goal(GoalKind(str(figure)), low, high))

    def _suppose_goal(self, figure: typed.Figure, low: float, high: float) -> None:
        goal = Goal(GoalKind(str(figure)), low, high)
        self._preview.ask(lambda: self._goals.supposed(goal), answer=True)

    def _ended(self, figure: typed.Figure) -> None:
        if self.may_move.aims(figure):
            self._goals.settle()

    def _asked(self, figure: typed.Figure) -> tuple[float, float, str] | None:
        """The range that is a figure's goal, and how it is written; None where it is a number."""
        goal = self._goals.goal_for(figure)
        if goal is None:
            return None
        from taperlab.shop.goals.words import range_words

        text = self._place.read(range_words(goal.kind, goal.low, goal.high))
        return goal.low, goal.high, text

    def _take(self, figure: typed.Figure, value: float) -> Sentence:
        if self.may_move.aims(figure):
            return self._take_goal(figure, value, value)
        step = self.may_move.step(figure, value)
        if step is None:
            return NOTHING
        edit, arguments = step
        return self._place.do(edit, *arguments, initiator=self).refused

    def _suppose(self, figure: typed.Figure, value: float | None) -> None:
        if self.typed[figure].field is None:
            if self._goals.proposal is None:
                self._preview.drop()
        elif value is not None and self.may_move.aims(figure):
            self._suppose_goal(figure, value, value)
        else:
            self._preview.ask(lambda: None if value is None else self.may_move.step(figure, value))

    def _nudged(self, figure: typed.Figure) -> Nudged | None:
        value, line = self.typed[figure].value, self._place.document.line
        if value is None or line is None:
            return None
        if self.may_move.aims(figure):
            return self._nudged_goal(figure, line.key, value)
        way = self.may_move.way(line, figure)
        return Nudged(
            value, kind_of(figure), lambda to: (typed.set_figure, (line.key, figure, to, way))
        )

    def _nudged_goal(self, figure: typed.Figure, line: str, value: float) -> Nudged:
        """A goal is nudged: the line follows as closely as it can, rounded once that is over."""
        kind, kept = GoalKind(str(figure)), self._goals.goal_for(figure)
        wide = (kept.high - kept.low) / 2.0 if kept else 0.0
        start = (kept.high + kept.low) / 2.0 if kept else value

        from taperlab.shop.goals.meet import come_near, meet

        def goal(to: float) -> Goal:
            return Goal(kind, to - wide, to + wide)

        return Nudged(
            start,
            kind_of(figure),
            lambda to: (come_near, (line, goal(to))),
            lambda to: (meet, (line, goal(to), self._goals.tools)),
        )

    def commit(self) -> None:
        """Take over what is being typed; what can't be used stays as it is."""
        for each in self.typed.values():
            each.commit()

    # -- laid out -----------------------------------------------------------------------------

    def _weight_card(self) -> Card:
        card = Card(tr("Head weight"))
        card.setToolTip(method("weight"))
        row = in_row(self.weight, (self.other_weight, 1), spacing=8)
        row.setAlignment(self.other_weight, Qt.AlignmentFlag.AlignBottom)
        card.add(caption(tr("Head weight")), row, self.in_window, self.gauge, self.as_built)
        card.body.setAlignment(self.as_built, Qt.AlignmentFlag.AlignLeft)
        return card

    def _figures_card(self) -> Card:
        card = Card(tr("Figures of the head"))
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(8)
        for i, figure in enumerate(self.figures.values()):
            grid.addWidget(figure, i // 2, i % 2)
            grid.setColumnStretch(i % 2, 1)
        card.add(self.may_move, self.problem, grid, self.whole)
        return card

    def menus(self) -> FigureMenus:
        """The menus of the figures."""
        weight = self.weight.parentWidget() or self.weight
        named = {each.name: each for each in self.figures.values()}
        figures = {tr("Head weight"): weight, **named, tr("Whole line"): self.whole}
        return FigureMenus(self, figures, self.as_rows, self._place)

    # -- shown --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the figures of the current line, and what they would be with what is typed."""
        document = self._place.document
        show_only_if(self, document.rig is None)
        if document.rig is not None:
            return  # a rig has readouts of its own
        key = document.line.key if document.line else None
        if key != self._line:
            self._line = key
            for each in self.typed.values():
                each.close_field()
        self.may_move.refresh()
        analysis, fit = document.analysis(), document.rod_fit()
        head = analysis.head if analysis else None
        for which, large in self.typed.items():
            large.hold(_value(which, head, fit))
            large.mark_goal(self._goals.goal_for(which) is not None)
        self._show_weight(head, fit)
        if analysis is None or head is None:
            for figure in self.figures.values():
                figure.show_value(NONE)
        else:
            self._show_ratio(head, fit)
            self._show_figures(analysis, head)
        self._show_whole(analysis, head)
        self._show_would_be()
        self.as_built.refresh(shown=head is not None and self._preview.analysis is None)

    def _show_would_be(self) -> None:
        """Say below a figure what it would be, where that reads another way."""
        analysis, fit = self._preview.analysis, self._preview.fit
        head = analysis.head if analysis else None
        if head is None:
            return
        for figure, large in self.typed.items():
            value = _value(figure, head, fit)
            text = "" if value is None else self._text(figure, value)
            if not text or text == large.text():
                continue
            if figure is typed.Figure.WEIGHT:
                self.in_window.setMinimumHeight(self.in_window.height())  # nothing jumps
                self.in_window.setText(tr("would be {value}").format(value=text))
                set_role(self.in_window, "accent")
            else:
                said = tr("then {value}").format(value=text)
                self.figures[_KEYS[figure]].show_meanwhile(said)

    def _text(self, figure: typed.Figure, value: float) -> str:
        """A figure as it is shown large."""
        system = self._place.system
        if figure is typed.Figure.WEIGHT:
            return WholeWeight(value).text(system)
        if figure is typed.Figure.FRONT:
            return f"{value * 100:.0f} %"
        if figure is typed.Figure.RATIO:
            return f"{value:.2f} ×"
        return OnTape(value).text(system)

    def _show_weight(self, head: HeadFigures | None, fit: RodFit | None) -> None:
        read, system = self._place.read, self._place.system
        window = fit.window if fit else None
        self.in_window.setMinimumHeight(0)
        self.gauge.setVisible(head is not None and window is not None)
        if head is None:
            self.weight.setText(NONE)
            self.other_weight.setText("")
            self.in_window.setText(tr("no head yet"))
            set_role(self.in_window, "soft")
            return
        self.weight.setText(self._text(typed.Figure.WEIGHT, head.mass))
        # Grains stay in sight whatever the units, and grams beside grains.
        self.other_weight.setText(OtherWeight(head.mass).text(system))
        self.in_window.setText(read(place_on_rod(fit)))
        set_role(self.in_window, PLACE_ROLES[fit.place] if fit and fit.place else "soft")
        if window:
            edges = (window.lightest, window.heaviest)
            lightest, heaviest = (WholeWeight(edge).text(system) for edge in edges)
            self.gauge.show_window(head.mass, edges, (lightest, heaviest))

    def _show_ratio(self, head: HeadFigures, fit: RodFit | None) -> None:
        ratio, read = self.figures["ratio"], self._place.read
        if fit is None:
            remark = Sentence("{length}, no rod chosen", length=OnTape(head.length))
            ratio.show_value(NONE, read(remark))
            return
        on_rod = Sentence(
            "{length} on {rod}.", length=OnTape(head.length), rod=RodLength(fit.rod_length)
        )
        ratio.show_value(self._text(typed.Figure.RATIO, fit.ratio), read(ratio_words(fit)))
        tips = map(read, ratio_with_tips(fit))
        about = (method("ratio"), read(on_rod), *tips, tr(fit.reading.source))
        ratio.set_help("\n".join(about))

    def _show_figures(self, analysis: LineAnalysis, head: HeadFigures) -> None:
        place, figures = self._place, self.figures
        by_length = Number(head.front_taper_length_share * 100)
        figures["length"].show_value(
            self._text(typed.Figure.LENGTH, head.length),
            OtherLength(head.length).text(place.system),
        )
        figures["front"].show_value(
            self._text(typed.Figure.FRONT, head.front_taper_mass_share),
            place.read(Sentence("{share} % of the length", share=by_length)),
        )
        figures["balance"].show_value(
            self._text(typed.Figure.BALANCE, head.balance_point), tr("from the fly end")
        )
        thickest = WeightPerLength(head.thickest_linear_density, unit=False)
        remark = Sentence("{weight} at most", weight=thickest)
        if head.mean_linear_density > head.thickest_linear_density * (1.0 + 1e-9):
            remark = Sentence("with its loops; {weight} at most without", weight=thickest)
        figures["mean"].show_value(
            show(head.mean_linear_density, WEIGHT_PER_LENGTH, place.system), place.read(remark)
        )
        figures["sink"].show_value(place.read(head_sink(head)), place.read(head_sink_class(head)))
        figures["sink"].set_help(f"{method('sink')}\n{capital(place.read(sink_range(head)))}.")
        weighed = place.read(weighed_by_standard(analysis))
        figures["standard"].set_help("\n".join(filter(None, (method("standard"), weighed))))
        size, standing = size_on_rod(analysis, place.document.rod)
        figures["standard"].show_value(place.read(size), place.read(standing))

        first = "" if head.first_30_ft is None else Weight(head.first_30_ft).text(place.system)
        figures["first"].show_value(first or NONE, "" if first else tr("not that long"))

    def _show_whole(self, analysis: LineAnalysis | None, head: HeadFigures | None) -> None:
        whole = NOTHING
        if analysis and head and abs(analysis.length - head.length) > 1e-9:
            length, weight = OnTape(analysis.length), Weight(analysis.mass)
            whole = Sentence("{length} · {weight}", length=length, weight=weight)
        self._whole = self._place.read(whole)
        self.whole.setVisible(bool(self._whole))
        self.whole.setText(f"{tr('Whole line')} {self._whole}" if self._whole else "")

    def as_rows(self) -> list[tuple[str, str, str]]:
        """The readouts as rows of name, value and remark, for copying."""
        line = self._place.document.line
        if line is None:
            return []
        self.refresh()
        rows = [
            (tr("Line"), line.name, heading(line.style)),
            (tr("Head weight"), self.weight.text(), self.in_window.text()),
        ]
        rows += [(figure.name, figure.value, figure.remark) for figure in self.figures.values()]
        return rows + ([(tr("Whole line"), self._whole, "")] if self._whole else [])


def _value(figure: typed.Figure, head: HeadFigures | None, fit: RodFit | None) -> float | None:
    """What is typed over [SI]; None where there is no such figure."""
    if head is None:
        return None
    if figure is typed.Figure.RATIO:
        return fit.ratio if fit else None
    return {
        typed.Figure.WEIGHT: head.mass,
        typed.Figure.LENGTH: head.length,
        typed.Figure.FRONT: head.front_taper_mass_share,
        typed.Figure.BALANCE: head.balance_point,
    }[figure]
