"""The figures at the right: what decides, large; the rest one glance away."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QVBoxLayout, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.figure_texts import (
    NONE,
    other_weight_text,
    place_text,
    sink_text,
    standard_text,
    weight_text,
)
from taperlab.gui.kit.gauge import WindowGauge
from taperlab.gui.kit.methods import method
from taperlab.gui.kit.widgets import Card, Figure, caption, label, set_role
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.shop.analyse import HeadFigures, LineAnalysis, RodFit
from taperlab.trade.styles import belly_names
from taperlab.units.kinds import LENGTH, ROD_LENGTH, WEIGHT_PER_LENGTH
from taperlab.units.sentence import render
from taperlab.units.show import show


class Readouts(QWidget):
    """Head weight with its gauge, the figures, and the whole line."""

    def __init__(self, document: Document, settings: Settings, theme: theming.Theme) -> None:
        super().__init__()
        self._document = document
        self._settings = settings
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)

        main = Card()
        main.setToolTip(method("weight"))
        self._weight_caption = caption("Head weight")
        self.weight = label("", points=30.0, weight=QFont.Weight.DemiBold)
        self._other_weight = label("", points=9.0, role="soft")
        self._place = label("", points=9.0)
        self.gauge = WindowGauge(theme)
        top = QHBoxLayout()
        top.setSpacing(8)
        top.addWidget(self.weight)
        top.addWidget(self._other_weight, 1, Qt.AlignmentFlag.AlignBottom)
        self._other_weight.setContentsMargins(0, 0, 0, 8)
        main.body.addWidget(self._weight_caption)
        main.body.addLayout(top)
        main.body.addWidget(self._place)
        main.body.addWidget(self.gauge)
        column.addWidget(main)

        card = Card()
        grid = QGridLayout()
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(9)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        self.figures = {
            "ratio": Figure("Ratio", method("ratio")),
            "front": Figure("Front taper", method("front")),
            "balance": Figure("Balance point", method("balance")),
            "mean": Figure("Mean", method("mean")),
            "sink": Figure("Sink rate", method("sink")),
            "standard": Figure("Standard", method("standard")),
        }
        for i, figure in enumerate(self.figures.values()):
            figure.setMinimumWidth(106)
            grid.addWidget(figure, i // 2, i % 2)
        card.body.addLayout(grid)
        self.first_30_ft = label("", points=8.0, role="soft")
        self.first_30_ft.setToolTip(method("first"))
        self.whole = label("", points=8.0, role="soft")
        self.whole.setToolTip(method("whole"))
        card.body.addWidget(self.first_30_ft)
        card.body.addWidget(self.whole)
        column.addWidget(card)

        document.changed.connect(self.refresh)
        settings.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self, _change: object = None) -> None:
        """Show the figures of the line in hand."""
        analysis = self._document.analysis()
        fit = self._document.rod_fit()
        if analysis is None or analysis.head is None:
            self._show_nothing()
            return
        self._show_weight(analysis.head, fit)
        self._show_figures(analysis, analysis.head, fit)

    def _show_nothing(self) -> None:
        self.weight.setText(NONE)
        self._other_weight.setText("")
        self._place.setText("no head yet")
        set_role(self._place, "soft")
        self.gauge.hide()
        for figure in self.figures.values():
            figure.show_value(NONE)
        self.whole.setText("")
        self.first_30_ft.setText("")

    def _show_weight(self, head: HeadFigures, fit: RodFit | None) -> None:
        self.weight.setText(weight_text(head.mass, self._settings, whole=True))
        # Grains stay in sight whatever the units, and grams beside grains.
        self._other_weight.setText(other_weight_text(head.mass, self._settings))
        self.weight.setAccessibleName(f"Head weight {self.weight.text()}")
        text, role = place_text(fit, self._settings)
        self._place.setText(text)
        set_role(self._place, role)
        window = fit.window if fit else None
        self.gauge.setVisible(window is not None)
        if window:
            self.gauge.show_window(
                head.mass,
                (window.lightest, window.heaviest),
                (
                    weight_text(window.lightest, self._settings, whole=True),
                    weight_text(window.heaviest, self._settings, whole=True),
                ),
            )

    def _show_figures(self, analysis: LineAnalysis, head: HeadFigures, fit: RodFit | None) -> None:
        system = self._settings.system
        figures = self.figures
        length = show(head.length, LENGTH, system)
        if fit:
            figures["ratio"].show_value(f"{fit.ratio:.2f} ×", render(fit.reading.words, system))
            figures["ratio"].setToolTip(
                f"{method('ratio')}\n{length} on {show(fit.rod_length, ROD_LENGTH, system)}."
                f"\n{fit.reading.source}"
            )
        else:
            figures["ratio"].show_value(NONE, f"{length}, no rod chosen")
        figures["front"].show_value(
            f"{head.front_taper_mass_share * 100:.0f} %",
            f"{head.front_taper_length_share * 100:.0f} % of the length",
        )
        figures["balance"].show_value(show(head.balance_point, LENGTH, system), "from the fly end")
        thickest = show(head.thickest_linear_density, WEIGHT_PER_LENGTH, system, unit=False)
        looped = head.mean_linear_density > head.thickest_linear_density * (1.0 + 1e-9)
        figures["mean"].show_value(
            show(head.mean_linear_density, WEIGHT_PER_LENGTH, system),
            f"with its loops; {thickest} at most without" if looped else f"{thickest} at most",
        )
        figures["sink"].show_value(*sink_text(head, self._settings))
        figures["standard"].setToolTip(
            f"{method('standard')}\n{render(belly_names(head.length).words, system)}."
        )
        figures["standard"].show_value(*standard_text(analysis, self._document.rod, self._settings))
        first = head.first_30_ft
        self.first_30_ft.setVisible(first is not None)
        self.first_30_ft.setText(
            "" if first is None else f"First 30 ft {weight_text(first, self._settings)}"
        )
        whole = (
            f"Whole line {show(analysis.length, LENGTH, system)} · "
            f"{weight_text(analysis.mass, self._settings)}"
        )
        longer = abs(analysis.length - head.length) > 1e-9
        self.whole.setText(whole if longer else "")
        self.whole.setVisible(longer)

    def as_rows(self) -> list[tuple[str, str, str]]:
        """The readouts as rows of name, value and remark, for copying."""
        line = self._document.line
        if line is None:
            return []
        rows = [("Line", line.name, str(line.style))]
        rows.append(("Head weight", self.weight.text(), self._place.text()))
        rows += [(f.name, f.value, f.remark) for f in self.figures.values()]
        for each, name in ((self.first_30_ft, "First 30 ft"), (self.whole, "Whole line")):
            if each.text():
                rows.append((name, each.text().removeprefix(f"{name} "), ""))
        return rows
