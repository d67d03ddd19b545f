"""The figures of a rig: what its head weighs on the rod, and what is cast together."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QGridLayout, QWidget

from taperlab.gui.kit.gauge import PLACE_ROLES, WindowGauge
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.methods import method
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import (
    NONE,
    Card,
    Elided,
    Figure,
    caption,
    in_column,
    in_row,
    label,
    set_role,
)
from taperlab.gui.pages.shape.figure_menus import FigureMenus
from taperlab.gui.pages.shape.joints_card import JointsCard
from taperlab.gui.state.preview import Preview
from taperlab.gui.state.watch import Watch
from taperlab.model.rod import Measured
from taperlab.shop.analyse import HeadFigures, LineAnalysis
from taperlab.shop.joints import tied_words
from taperlab.shop.on_rod import RodFit
from taperlab.shop.whole import Whole
from taperlab.shop.wording import (
    OtherWeight,
    WholeWeight,
    head_sink,
    head_sink_class,
    place_on_rod,
    ratio_words,
    sink_range,
    size_on_rod,
    weighed_by_standard,
)
from taperlab.units.language import later, tr
from taperlab.units.sentence import (
    NOTHING,
    OnTape,
    Ratio,
    RodLength,
    Sentence,
    Share,
    Unbroken,
    Value,
    Weight,
    WeightPerLength,
)
from taperlab.units.words import capital

_FIGURES = {
    "length": later("Length"),
    "ratio": later("Ratio"),
    "front": later("Front taper"),
    "balance": later("Balance point"),
    "mean": later("Mean"),
    "sink": later("Sink rate"),
    "standard": later("Standard"),
    "first": later("First 30 ft"),
}
"""The figures in their order, each with its name."""


class RigReadouts(QWidget):
    """What the rod judges of a rig, large with its gauge; its joints; the figures of all of it."""

    def __init__(self, place: Workplace, watch: Watch, preview: Preview) -> None:
        super().__init__()
        self._place, self._preview = place, preview
        self.judged = caption("")
        self.weight = label("", points=30.0, weight=QFont.Weight.DemiBold)
        self.other_weight = label("", points=9.0, role="soft")
        self.other_weight.setContentsMargins(0, 0, 0, 8)
        self.in_window = label("", points=9.0, wrap=True)
        self.in_window.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self.gauge = WindowGauge(place.theme)
        self.together = label("", points=9.0, role="soft", wrap=True)
        self.joints = JointsCard(place, watch)
        self.name = Elided(points=10.0, weight=QFont.Weight.DemiBold)
        self.figures = {key: Figure(tr(name), method(key)) for key, name in _FIGURES.items()}
        self.whole = label("", points=SMALL, role="soft")
        self.tied = label("", points=SMALL, role="soft", wrap=True)
        cards = (self._weight_card(), self.joints, self._figures_card())
        in_column(*cards, spacing=12, of=self)
        watch.follow(self.refresh)
        preview.changed.connect(self.refresh)

    def _weight_card(self) -> Card:
        card = Card(tr("Weight of the rig"))
        row = in_row(self.weight, (self.other_weight, 1), spacing=8)
        row.setAlignment(self.other_weight, Qt.AlignmentFlag.AlignBottom)
        card.add(self.judged, row, self.in_window, self.gauge, self.together)
        return card

    def _figures_card(self) -> Card:
        card = Card(tr("Figures of the rig"))
        grid = QGridLayout()
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(8)
        for i, figure in enumerate(self.figures.values()):
            grid.addWidget(figure, i // 2, i % 2)
            grid.setColumnStretch(i % 2, 1)
        card.add(self.name, grid, self.whole, self.tied)
        return card

    def menus(self) -> FigureMenus:
        """The menus of the figures."""
        figures: dict[str, QWidget] = {tr("Weight of the rig"): self.together}
        figures |= {each.name: each for each in self.figures.values()}
        return FigureMenus(self, figures, self.as_rows, self._place)

    # -- shown --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the figures of the rig, and what they would be with what is typed."""
        document = self._place.document
        rig, whole = document.rig, document.whole
        head = whole.head if whole else None
        if rig is None or whole is None or whole.parts is None or head is None:
            return
        fit = document.rod_fit()
        self.name.setText(rig.name)
        self._show_weight(whole, head, fit)
        for key, (value, remark) in self._texts(whole, head, fit).items():
            self.figures[key].show_value(value, remark)
        self._show_help(whole, head, fit)
        self._show_all(whole.analysis, head)
        self.tied.setText(self._place.read(tied_words(whole.looped)) if whole.looped else "")
        self._show_would_be(self._preview.whole)

    def _show_weight(self, whole: Whole, head: HeadFigures, fit: RodFit | None) -> None:
        read, system = self._place.read, self._place.system
        both = fit is not None and fit.judged is Measured.HEAD_AND_TIP
        mass = head.mass if both or whole.parts is None else whole.parts.head.mass
        self.judged.setText(_weighed(whole) if both else tr("The head alone weighs"))
        self.weight.setText(WholeWeight(mass).text(system))
        self.other_weight.setText(OtherWeight(mass).text(system))
        self.in_window.setText(read(place_on_rod(fit)))
        set_role(self.in_window, PLACE_ROLES[fit.place] if fit and fit.place else "soft")
        window = fit.window if fit and fit.mass is not None else None
        self.gauge.setVisible(window is not None)
        if window:
            edges = (window.lightest, window.heaviest)
            lightest, heaviest = (WholeWeight(edge).text(system) for edge in edges)
            self.gauge.show_window(mass, edges, (lightest, heaviest))
        said = Sentence(
            "Cast together {weight}, {other}, loops included",
            weight=WholeWeight(head.mass),
            other=OtherWeight(head.mass),
        )
        self.together.setText(read(said))

    def _texts(
        self, whole: Whole, head: HeadFigures, fit: RodFit | None
    ) -> dict[str, tuple[str, str]]:
        """Value and remark of each figure; the remark tells of the head alone where it has one."""
        read, document = self._place.read, self._place.document
        alone = whole.parts.head if whole.parts else head
        ratio = Sentence("{ratio} ×", ratio=Ratio(fit.ratio)) if fit else _only(NONE)
        reading = ratio_words(fit) if fit else Sentence("no rod chosen")
        first = head.first_30_ft
        said: dict[str, tuple[Sentence, Sentence]] = {
            "length": (_only(OnTape(head.length)), _alone(OnTape(alone.length))),
            "ratio": (ratio, reading),
            "front": (
                _only(Share(head.front_taper_mass_share)),
                _alone(Share(alone.front_taper_mass_share)),
            ),
            "balance": (_only(OnTape(head.balance_point)), _alone(OnTape(alone.balance_point))),
            "mean": (
                _only(WeightPerLength(head.mean_linear_density)),
                _alone(WeightPerLength(alone.mean_linear_density, unit=False)),
            ),
            "sink": (head_sink(head), head_sink_class(head)),
            "standard": size_on_rod(whole.analysis, document.rod),
            "first": (
                (_only(NONE), Sentence("not that long"))
                if first is None
                else (_only(Weight(first)), NOTHING)
            ),
        }
        return {key: (read(value), read(remark)) for key, (value, remark) in said.items()}

    def _show_help(self, whole: Whole, head: HeadFigures, fit: RodFit | None) -> None:
        read, figures = self._place.read, self.figures
        if fit is not None:
            on_rod = Sentence(
                "{length} on {rod}.", length=OnTape(fit.counted), rod=RodLength(fit.rod_length)
            )
            about = (method("ratio"), read(on_rod), tr(fit.reading.source))
            figures["ratio"].set_help("\n".join(about))
        figures["sink"].set_help(f"{method('sink')}\n{capital(read(sink_range(head)))}.")
        weighed = read(weighed_by_standard(whole.analysis))
        figures["standard"].set_help("\n".join(filter(None, (method("standard"), weighed))))

    def _show_all(self, analysis: LineAnalysis, head: HeadFigures) -> None:
        """Length and weight with any running line."""
        longer = analysis.length - head.length > 1e-9
        said = Sentence(
            "With running line {length} · {weight}",
            length=OnTape(analysis.length),
            weight=Weight(analysis.mass),
        )
        self.whole.setVisible(longer)
        self.whole.setText(self._place.read(said) if longer else "")

    def _show_would_be(self, then: Whole | None) -> None:
        """Say below a figure what it would be with what is typed, where that reads another way."""
        if then is None or then.head is None or then.looped is None:
            return
        fit = self._preview.fit
        for key, (value, _) in self._texts(then, then.head, fit).items():
            if value != self.figures[key].value:
                self.figures[key].show_meanwhile(tr("then {value}").format(value=value))
        weight = WholeWeight(then.head.mass).text(self._place.system)
        self.together.setText(tr("Cast together it would be {value}").format(value=weight))

    def as_rows(self) -> list[tuple[str, str, str]]:
        """The readouts as rows of name, value and remark, for copying."""
        rig, whole = self._place.document.rig, self._place.document.whole
        if rig is None or whole is None or whole.looped is None or whole.head is None:
            return []
        self.refresh()
        weight = Weight(whole.head.mass).text(self._place.system)
        return [
            (tr("Rig"), rig.name, " + ".join(whole.looped.names)),
            (
                tr("Weight of the rig"),
                weight,
                OtherWeight(whole.head.mass).text(self._place.system),
            ),
            (self.judged.text(), self.weight.text(), self.in_window.text()),
            *((each.name, each.value, each.remark) for each in self.figures.values()),
        ]


def _weighed(whole: Whole) -> str:
    """What is cast together, in words."""
    longer = whole.parts is not None and whole.parts.behind > 0.0
    return tr("Head, tip and extension weigh") if longer else tr("Head and tip weigh")


def _only(value: Value) -> Sentence:
    return Sentence("{value}", value=value)


def _alone(value: Value) -> Sentence:
    return Sentence("head alone {value}", value=Unbroken(value))
