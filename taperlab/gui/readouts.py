"""The figures at the right: what decides, large; the rest one glance away."""

from __future__ import annotations

import math

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from taperlab.edits import rods as rod_edits
from taperlab.gui import theme as theming
from taperlab.gui.document import Document
from taperlab.gui.gauge import WindowGauge
from taperlab.gui.plots.styles import overlay_style
from taperlab.gui.settings import Settings
from taperlab.gui.swatch import Swatch
from taperlab.gui.widgets import Card, Elided, Figure, caption, label, set_role
from taperlab.model.finding import Finding, Level
from taperlab.model.line import Style
from taperlab.model.rod import Rod
from taperlab.shop.analyse import HeadFigures, LineAnalysis, RodFit, compare_heads
from taperlab.trade.sink_types import classify
from taperlab.trade.windows import Place
from taperlab.units.kinds import (
    DENSITY,
    LENGTH,
    ROD_LENGTH,
    SINK_RATE,
    TEMPERATURE,
    WEIGHT,
    WEIGHT_PER_LENGTH,
    System,
)
from taperlab.units.show import show

NONE = "–"

MOST_FINDINGS = 6

LONGEST_ROD = 420
"""Pixels that the list of rods may widen to, so that a name is read whole."""

HELP = {
    "weight": "Head weight: every segment that is neither handling nor running line, with the loops"
    " and sleeves on it. Each segment is a frustum: grains = density × π·L/12·(d₁² + d₁d₂ + d₂²).",
    "ratio": "Ratio: head length ÷ rod length. The bands are common practice among casters and"
    " instructors, not a standard.",
    "front": "Front-taper share: weight of the tip and front-taper segments ÷ head weight. The"
    " length share stands below it.",
    "balance": "Balance point: centre of mass of the head, from the fly end. Closed form over each"
    " frustum, loops and sleeves as points.",
    "mean": "Mean weight per length of the head, and at its thickest.",
    "sink": "Sink rate of the head as one body: the speed at which its net weight equals its drag,"
    " level and straight in still water. Drag of a cylinder: Cheng (2013), J. Hydraul. Eng. 139,"
    " 602.",
    "standard": "AFFTA line-weight specifications. Single-hand: the first 30 ft, level tip left"
    " out. Two-handed (2004): weighed over 40, 55, 65 or 80 ft by head length; the standard gives"
    " targets there and no tolerance.",
    "first": "What the single-hand standard weighs: the first 30 ft of line, a level tip and the"
    " loops left out. A shorter head has no such weight.",
    "whole": "The whole line, running line included.",
}


class RodCard(Card):
    """Choose the rod that heads are judged on, and edit it."""

    edit_rods = Signal()

    def __init__(self, document: Document, settings: Settings) -> None:
        super().__init__()
        self._document = document
        self._settings = settings
        self._box = QComboBox()
        self._box.setAccessibleName("Rod")
        self._box.setToolTip("The rod that the ratio and the window are worked out on")
        self._box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._box.activated.connect(self._chosen)
        edit = QToolButton()
        edit.setText("Edit…")
        edit.setAccessibleName("Edit rods")
        edit.setToolTip("Add rods, or change their lengths and windows")
        edit.clicked.connect(self.edit_rods)
        row = QHBoxLayout()
        row.setSpacing(4)
        row.addWidget(self._box, 1)
        row.addWidget(edit)
        self.body.addWidget(caption("Rod"))
        self.body.addLayout(row)
        document.changed.connect(self.refresh)
        settings.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self, _change: object = None) -> None:
        """Show the rods of the bench and the chosen one."""
        rods = self._document.bench.rods
        system = self._settings.system
        names = ["No rod chosen"] + [_rod_text(rod, system) for rod in rods]
        if names != [self._box.itemText(i) for i in range(self._box.count())]:
            self._box.clear()
            self._box.addItems(names)
            popup = self._box.view()
            popup.setMinimumWidth(min(popup.sizeHintForColumn(0) + 24, LONGEST_ROD))
        chosen = self._document.rod
        self._box.setCurrentIndex(rods.index(chosen) + 1 if chosen else 0)

    def _chosen(self, index: int) -> None:
        rods = self._document.bench.rods
        key = rods[index - 1].key if index > 0 else None
        self._document.apply(rod_edits.choose_rod, key, initiator=self)


def _rod_text(rod: Rod, system: System) -> str:
    """A rod's name and its length, which many names hold already."""
    length = show(rod.length, ROD_LENGTH, system)
    return rod.name if length in rod.name else f"{rod.name} · {length}"


class Readouts(QWidget):
    """Head weight with its gauge, the figures, the whole line, and what is worth a remark."""

    def __init__(self, document: Document, settings: Settings, theme: theming.Theme) -> None:
        super().__init__()
        self._document = document
        self._settings = settings
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(12)

        main = Card()
        main.setToolTip(HELP["weight"])
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
            "ratio": Figure("Ratio", HELP["ratio"]),
            "front": Figure("Front taper", HELP["front"]),
            "balance": Figure("Balance point", HELP["balance"]),
            "mean": Figure("Mean", HELP["mean"]),
            "sink": Figure("Sink rate", HELP["sink"]),
            "standard": Figure("Standard", HELP["standard"]),
        }
        for i, figure in enumerate(self.figures.values()):
            figure.setMinimumWidth(106)
            grid.addWidget(figure, i // 2, i % 2)
        card.body.addLayout(grid)
        self.first_30_ft = label("", points=8.0, role="soft")
        self.first_30_ft.setToolTip(HELP["first"])
        self.whole = label("", points=8.0, role="soft")
        self.whole.setToolTip(HELP["whole"])
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
            figures["ratio"].show_value(f"{fit.ratio:.2f} ×", fit.reading.words)
            figures["ratio"].setToolTip(
                f"{HELP['ratio']}\n{length} on {show(fit.rod_length, ROD_LENGTH, system)}."
                f"\n{fit.reading.source}"
            )
        else:
            figures["ratio"].show_value(NONE, f"{length}, no rod chosen")
        figures["front"].show_value(
            f"{head.front_taper_mass_share * 100:.0f} %",
            f"{head.front_taper_length_share * 100:.0f} % of the length",
        )
        figures["balance"].show_value(show(head.balance_point, LENGTH, system), "from the fly end")
        figures["mean"].show_value(
            show(head.mean_linear_density, WEIGHT_PER_LENGTH, system),
            f"{show(head.thickest_linear_density, WEIGHT_PER_LENGTH, system, unit=False)} at most",
        )
        figures["sink"].show_value(*sink_text(head, self._settings))
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


def weight_text(mass: float, settings: Settings, *, whole: bool = False) -> str:
    """A weight in the person's unit; whole grains where a scale supports no more."""
    text = show(mass, WEIGHT, settings.system)
    if whole and text.endswith(" gr"):
        return f"{float(text.removesuffix(' gr').replace(' ', '')):.0f} gr"
    return text


def other_weight_text(mass: float, settings: Settings) -> str:
    """The same weight in the other system."""
    from taperlab.units.kinds import System

    other = System.METRIC if settings.system is System.US else System.US
    return show(mass, WEIGHT, other)


def place_text(fit: RodFit | None, settings: Settings) -> tuple[str, str]:
    """Where a head lies in the rod's window, and the role of that remark."""
    if fit is None:
        return "choose a rod to see its window", "soft"
    if fit.window is None or fit.place is None:
        return "the rod has no window for this style", "soft"
    edge = weight_text(abs(fit.to_edge or 0.0), settings, whole=True)
    if fit.place is Place.INSIDE:
        return f"inside the window, {edge} from its edge", "good"
    if fit.place is Place.ABOVE:
        return f"{edge} too heavy for the window", "bad"
    return f"{edge} too light for the window", "warn"


def sink_text(head: HeadFigures, settings: Settings) -> tuple[str, str]:
    """The head's sink rate and the trade's name for it."""
    system = settings.system
    if head.floats:
        share = head.buoyancy_in_hand / head.mass * 100.0
        return "floats", f"buoyancy {share:.0f} % in hand"
    if math.isclose(head.buoyancy_in_hand, 0.0, abs_tol=1e-9):
        return "hovers", "as dense as the water"
    span = f"{show(head.slowest, SINK_RATE, system, unit=False)} to " + show(
        head.fastest, SINK_RATE, system
    )
    if head.slowest < 0.0 < head.fastest:
        return show(head.sink, SINK_RATE, system), f"part of it floats: {span}"
    return show(head.sink, SINK_RATE, system), f"{classify(head.sink)}; {span}"


def standard_text(analysis: LineAnalysis, rod: object, settings: Settings) -> tuple[str, str]:
    """The line's size in the published tables."""
    single = analysis.line.style is Style.SINGLE_HAND or not getattr(rod, "two_handed", True)
    if single:
        rating = analysis.single_hand
        if rating is None:
            head = analysis.head
            short = head is None or head.first_30_ft is None
            return "no size", "shorter than 30 ft" if short else "outside the table"
        return f"size {rating.size}", rating.words
    two = analysis.two_handed
    if two is None:
        return "no class", "heads under 30 ft have none"
    return f"{two.letter} {two.size}", (
        f"{show(two.offset, WEIGHT, settings.system, signed=True)} of its target"
    )


class AgainstCard(Card):
    """What the line in hand has more of than each line laid over it."""

    def __init__(self, document: Document, settings: Settings, theme: theming.Theme) -> None:
        super().__init__(spacing=6)
        self._document = document
        self._settings = settings
        self._theme = theme
        self._blocks: list[_Differences] = []
        self.body.addWidget(caption("This line against"))
        document.changed.connect(self.refresh)
        settings.units_changed.connect(self.refresh)
        theme.changed.connect(self.refresh)
        self.refresh()

    def texts(self) -> list[list[tuple[str, str]]]:
        """The differences as shown: for each overlay its name, then differences and their names.

        Two heads that float have no sink rates worth comparing; their balance points are.
        """
        mine = self._document.analysis()
        rows = []
        system = self._settings.system
        for line in self._document.overlays():
            other = self._document.analysis(line.key)
            difference = compare_heads(mine.head if mine else None, other.head if other else None)
            if difference is None:
                rows.append([(line.name, "")] + [(NONE, "")] * 4)
                continue
            share = f"{difference.front_taper_mass_share * 100:+.0f} %".replace("-", "−")
            both_float = mine.head.floats and other.head.floats
            last = (
                (show(difference.balance_point, LENGTH, system, signed=True), "balance")
                if both_float
                else (show(difference.sink, SINK_RATE, system, signed=True), "sink")
            )
            rows.append(
                [
                    (line.name, ""),
                    (show(difference.mass, WEIGHT, system, signed=True), "weight"),
                    (show(difference.length, LENGTH, system, signed=True), "length"),
                    (share, "front taper"),
                    last,
                ]
            )
        return rows

    def refresh(self, _change: object = None) -> None:
        """Show one block for each overlay."""
        rows = self.texts()
        styles = [overlay_style(self._document, line) for line in self._document.overlays()]
        self.setVisible(bool(rows))
        while len(self._blocks) > len(rows):
            self._blocks.pop().deleteLater()
        while len(self._blocks) < len(rows):
            self._blocks.append(_Differences())
            self.body.addWidget(self._blocks[-1])
        for block, texts, style in zip(self._blocks, rows, styles, strict=True):
            block.show_texts(texts, style)


class _Differences(QWidget):
    """What the line in hand has more of than one other line. Texts change, widgets stay."""

    def __init__(self) -> None:
        super().__init__()
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(2)
        self._swatch = Swatch("black", None)
        self._name = Elided(points=9.0, weight=QFont.Weight.Medium)
        head = QHBoxLayout()
        head.setContentsMargins(0, 2, 0, 0)
        head.setSpacing(7)
        head.addWidget(self._swatch)
        head.addWidget(self._name, 1)
        grid.addLayout(head, 0, 0, 1, 2)
        self._cells: list[tuple[QLabel, QLabel]] = []
        for at in range(4):
            cell = label(points=9.0), label(points=8.0, role="soft")
            pair = QHBoxLayout()
            pair.setSpacing(3)
            pair.addWidget(cell[0])
            pair.addWidget(cell[1], 1)
            # Even columns, whatever stands in them.
            cell[1].setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            grid.addLayout(pair, 1 + at // 2, at % 2)
            grid.setColumnStretch(at % 2, 1)
            self._cells.append(cell)

    def show_texts(
        self, texts: list[tuple[str, str]], style: tuple[str, tuple[float, ...] | None]
    ) -> None:
        """Show a name, then differences and what they are of."""
        self._swatch.show_style(*style)
        self._name.setText(texts[0][0])
        for shown, given in zip(self._cells, texts[1:], strict=True):
            for part, text in zip(shown, given, strict=True):
                if part.text() != text:
                    part.setText(text)
        said = ", ".join(f"{what} {text}" for text, what in texts[1:])
        self.setAccessibleName(f"Against {texts[0][0]}: {said}")


class FindingsCard(Card):
    """What is worth a remark about the line and the rod."""

    def __init__(self, document: Document) -> None:
        super().__init__(spacing=6)
        self._document = document
        self._shown: list[Finding] | None = None
        self._labels: list[QLabel] = []
        document.changed.connect(self.refresh)
        self.refresh()

    def refresh(self, _change: object = None) -> None:
        """Show the findings, the gravest first."""
        analysis, fit = self._document.analysis(), self._document.rod_fit()
        found = list(analysis.findings if analysis else ()) + list(fit.findings if fit else ())
        found.sort(key=lambda finding: -finding.level)
        if found == self._shown:
            return
        self._shown = found
        self.setVisible(bool(found))
        found = found[:MOST_FINDINGS]
        while len(self._labels) < len(found):
            self._labels.append(label(wrap=True))
            self.body.addWidget(self._labels[-1])
        for shown in self._labels[len(found) :]:
            shown.hide()
        for shown, finding in zip(self._labels, found, strict=False):
            mark = {Level.NOTE: "", Level.CAUTION: "Caution: ", Level.STOP: "Stop: "}
            role = {Level.NOTE: "soft", Level.CAUTION: "warn", Level.STOP: "bad"}
            shown.setText(mark[finding.level] + finding.sentence)
            set_role(shown, role[finding.level])
            shown.show()


class WaterCard(Card):
    """The water that sink rates are worked out in."""

    edit_water = Signal()

    def __init__(self, document: Document, settings: Settings) -> None:
        super().__init__()
        self._document = document
        self._settings = settings
        self._text = label("")
        edit = QToolButton()
        edit.setText("Edit…")
        edit.setAccessibleName("Edit the water")
        edit.clicked.connect(self.edit_water)
        row = QHBoxLayout()
        row.addWidget(self._text, 1)
        row.addWidget(edit)
        self.body.addWidget(caption("Water"))
        self.body.addLayout(row)
        document.changed.connect(self.refresh)
        settings.units_changed.connect(self.refresh)
        self.refresh()

    def refresh(self, _change: object = None) -> None:
        """Show the kind and the temperature."""
        water = self._document.bench.water
        kind = "Fresh" if water.kind == "fresh" else "Sea"
        self._text.setText(f"{kind}, {show(water.temperature, TEMPERATURE, self._settings.system)}")
        from taperlab.physics.water import water_state

        state = water_state(water)
        self._text.setToolTip(
            f"Density {show(state.density, DENSITY, self._settings.system)}, viscosity "
            f"{state.viscosity * 1e3:.3f} mPa·s.\nDensity: Tanaka and others (2001), or EOS-80 for "
            "sea water. Viscosity: Sharqawy, Lienhard and Zubair (2010)."
        )
