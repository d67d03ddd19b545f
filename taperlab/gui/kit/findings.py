"""A card of findings: what is worth a remark, the gravest first."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from PySide6.QtWidgets import QLabel

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import Card, label, set_role, show_only_if
from taperlab.shop.wording import with_level
from taperlab.units.finding import Finding, Level
from taperlab.units.language import tr
from taperlab.units.words import capital

LEVEL_ROLES = {Level.NOTE: "soft", Level.CAUTION: "warn", Level.STOP: "bad"}
"""The style sheet's role for each level."""


class FindingsCard(Card):
    """Up to ``most`` of the findings that ``find`` finds; no card without any."""

    def __init__(
        self, place: Workplace, find: Callable[[], Iterable[Finding]], *, most: int
    ) -> None:
        super().__init__(tr("Remarks"), spacing=6)
        self._place, self._find, self._most = place, find, most
        self.labels: list[QLabel] = []

    def refresh(self) -> None:
        """Show what is found now, the gravest first."""
        found = sorted(self._find(), key=lambda finding: -finding.level)[: self._most]
        while len(self.labels) < len(found):
            self.labels.append(label(wrap=True))
            self.body.addWidget(self.labels[-1])
        for i, shown in enumerate(self.labels):
            shown.setVisible(i < len(found))
            if i < len(found):
                note = found[i].level is Level.NOTE
                said = found[i].sentence if note else with_level(found[i])
                shown.setText(capital(self._place.read(said)))
                set_role(shown, LEVEL_ROLES[found[i].level])
        # Only now, so that the card is laid out as high as its texts are.
        show_only_if(self, bool(found))
