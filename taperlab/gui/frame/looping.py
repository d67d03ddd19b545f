"""Looping lines of the bench together, in two clicks: a menu, and what stands in it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtWidgets import QMenu

from taperlab.edits import rigs as edits
from taperlab.gui.kit.host import Workplace
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.physics.head import is_tip
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

Offer = tuple[Sentence, Callable[[], object]]
"""What can be looped, in words, and what does it."""


class Looping:
    """Loops lines to what is looked at, and looks at what that makes."""

    def __init__(self, place: Workplace) -> None:
        self._place = place

    def fill(self, menu: QMenu, line: Line) -> None:
        """Put into a menu what a line can be looped to, and a rule below it."""
        offers = self.offers(line)
        for sentence, act in offers:
            menu.addAction(self._place.read(sentence)).triggered.connect(partial(_call, act))
        if offers:
            menu.addSeparator()

    def fill_with_all(self, menu: QMenu) -> None:
        """Put into a menu all that can be looped to what is looked at."""
        menu.clear()
        for line in self._place.document.bench.lines:
            for sentence, act in self.offers(line):
                menu.addAction(self._place.read(sentence)).triggered.connect(partial(_call, act))
        if menu.isEmpty():
            menu.addAction(tr("There is no other line on the bench.")).setEnabled(False)

    def offers(self, line: Line) -> list[Offer]:
        """How a line can be looped to what is looked at, or taken off it."""
        shown = self._place.document.shown
        if isinstance(shown, Rig):
            return self._to_rig(line, shown)
        if shown is None or shown is line:
            return []
        water = self._place.document.bench.water
        if is_tip(shown, water) and not is_tip(line, water):
            return [(_ahead(shown, line), partial(self._make, line.key, (shown.key,)))]
        return [
            (_ahead(line, shown), partial(self._make, shown.key, (line.key,))),
            (_behind(line, shown), partial(self._make, shown.key, (), line.key)),
        ]

    def _to_rig(self, line: Line, rig: Rig) -> list[Offer]:
        loop = partial(self._loop, rig)
        if line.key not in rig.lines:
            ahead = partial(loop, (line.key, *rig.ahead), rig.behind)
            found: list[Offer] = [(_ahead(line, rig), ahead)]
            if rig.behind is None:
                found.append((_behind(line, rig), partial(loop, rig.ahead, line.key)))
            return found
        if line.key == rig.head or len(rig.lines) < 3:
            return []
        kept = tuple(key for key in rig.ahead if key != line.key)
        behind = None if rig.behind == line.key else rig.behind
        return [(Sentence("Take it off “{rig}”", rig=rig.name), partial(loop, kept, behind))]

    def _make(self, head: str, ahead: tuple[str, ...], behind: str | None = None) -> None:
        self._do(head, edits.make_rig, head, ahead, behind)

    def _loop(self, rig: Rig, ahead: tuple[str, ...], behind: str | None) -> None:
        self._do(rig.head, edits.loop_otherwise, rig.key, rig.head, ahead, behind, rig=rig.key)

    def _do(self, head: str, edit: Callable[..., Any], *arguments: Any, rig: str = "") -> None:
        """Do it, and look at the rig, its head in hand."""
        document = self._place.document
        if self._place.do(edit, *arguments):
            document.look(line=head, rig=rig or document.bench.rigs[-1].key)


def _ahead(line: Line, of: Line | Rig) -> Sentence:
    return Sentence("Loop “{line}” ahead of “{other}”", line=line.name, other=of.name)


def _behind(line: Line, of: Line | Rig) -> Sentence:
    return Sentence("Loop “{line}” behind “{other}”", line=line.name, other=of.name)


def _call(act: Callable[[], object], *_checked: object) -> None:
    act()
