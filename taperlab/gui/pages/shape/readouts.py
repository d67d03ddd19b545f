"""The figures at the right: what decides, large; the rest one glance away."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QWidget

from taperlab.gui.kit.gauge import PLACE_ROLES, WindowGauge
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.methods import method
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import NONE, Card, Figure, caption, in_column, in_row, label, set_role
from taperlab.gui.pages.shape.figure_menus import FigureMenus
from taperlab.gui.state.watch import Watch
from taperlab.shop.analyse import HeadFigures, LineAnalysis, RodFit
from taperlab.shop.wording import (
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
    "ratio": later("Ratio"),
    "front": later("Front taper"),
    "balance": later("Balance point"),
    "mean": later("Mean"),
    "sink": later("Sink rate"),
    "standard": later("Standard"),
}
"""The figures in their order, each with its name."""


class Readouts(QWidget):
    """Head weight with its gauge, the figures, and the whole line."""

    def __init__(self, place: Workplace, watch: Watch) -> None:
        super().__init__()
        self._place = place
        self.weight = label("", points=30.0, weight=QFont.Weight.DemiBold)
        self.other_weight = label("", points=9.0, role="soft")
        self.other_weight.setContentsMargins(0, 0, 0, 8)
        self.in_window = label("", points=9.0)
        self.gauge = WindowGauge(place.theme)
        self.figures = {key: Figure(tr(name), method(key)) for key, name in _FIGURES.items()}
        self.first_30_ft = label("", points=SMALL, role="soft")
        self.first_30_ft.setToolTip(method("first"))
        self.whole = label("", points=SMALL, role="soft")
        self._below: list[tuple[str, str]] = []
        self.whole.setToolTip(method("whole"))
        in_column(self._weight_card(), self._figures_card(), spacing=12, of=self)
        watch.follow(self.refresh)

    def _weight_card(self) -> Card:
        card = Card()
        card.setToolTip(method("weight"))
        row = in_row(self.weight, (self.other_weight, 1), spacing=8)
        row.setAlignment(self.other_weight, Qt.AlignmentFlag.AlignBottom)
        card.add(caption(tr("Head weight")), row, self.in_window, self.gauge)
        return card

    def _figures_card(self) -> Card:
        card = Card()
        grid = QGridLayout()
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(9)
        for i, figure in enumerate(self.figures.values()):
            grid.addWidget(figure, i // 2, i % 2)
            grid.setColumnStretch(i % 2, 1)
        card.add(grid, self.first_30_ft, self.whole)
        return card

    def menus(self) -> FigureMenus:
        """The menus of the figures."""
        weight = self.weight.parentWidget() or self.weight
        named = {each.name: each for each in self.figures.values()}
        figures = {tr("Head weight"): weight, **named, tr("Whole line"): self.whole}
        return FigureMenus(self, figures, self.as_rows, self._place)

    def refresh(self) -> None:
        """Show the figures of the current line."""
        document = self._place.document
        analysis, fit = document.analysis(), document.rod_fit()
        head = analysis.head if analysis else None
        self._show_weight(head, fit)
        if analysis is None or head is None:
            for figure in self.figures.values():
                figure.show_value(NONE)
        else:
            self._show_ratio(head, fit)
            self._show_figures(analysis, head)
        self._show_below(analysis, head)

    def _show_weight(self, head: HeadFigures | None, fit: RodFit | None) -> None:
        read, system = self._place.read, self._place.system
        window = fit.window if fit else None
        self.gauge.setVisible(head is not None and window is not None)
        if head is None:
            self.weight.setText(NONE)
            self.other_weight.setText("")
            self.in_window.setText(tr("no head yet"))
            set_role(self.in_window, "soft")
            return
        weight = WholeWeight(head.mass).text(system)
        if weight != self.weight.text():
            self.weight.setText(weight)
            self.weight.setAccessibleName(tr("Head weight {weight}").format(weight=weight))
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
        ratio.show_value(f"{fit.ratio:.2f} ×", read(ratio_words(fit)))
        tips = map(read, ratio_with_tips(fit))
        about = (method("ratio"), read(on_rod), *tips, tr(fit.reading.source))
        ratio.set_help("\n".join(about))

    def _show_figures(self, analysis: LineAnalysis, head: HeadFigures) -> None:
        place, figures = self._place, self.figures
        by_length = Number(head.front_taper_length_share * 100)
        figures["front"].show_value(
            f"{head.front_taper_mass_share * 100:.0f} %",
            place.read(Sentence("{share} % of the length", share=by_length)),
        )
        figures["balance"].show_value(
            OnTape(head.balance_point).text(place.system), tr("from the fly end")
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

    def _show_below(self, analysis: LineAnalysis | None, head: HeadFigures | None) -> None:
        first, whole = NOTHING, NOTHING
        if head is not None and head.first_30_ft is not None:
            first = Sentence("{weight}", weight=Weight(head.first_30_ft))
        if analysis and head and abs(analysis.length - head.length) > 1e-9:
            length, weight = OnTape(analysis.length), Weight(analysis.mass)
            whole = Sentence("{length} · {weight}", length=length, weight=weight)
        read = self._place.read
        self._below = [(tr("First 30 ft"), read(first)), (tr("Whole line"), read(whole))]
        for shown, (name, text) in zip((self.first_30_ft, self.whole), self._below, strict=True):
            shown.setVisible(bool(text))
            shown.setText(f"{name} {text}" if text else "")

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
        return rows + [(name, text, "") for name, text in self._below if text]
