"""A menu of what is kept for every bench: rods, materials, loops or joints of one's own."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtWidgets import QMenu, QPushButton

from taperlab.edits.edited import Refused
from taperlab.files.library import Kept, Library, change_library, load_library
from taperlab.files.problem import FileProblem
from taperlab.gui.kit.host import Workplace
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence
from taperlab.units.words import capital


class KeptButton(QPushButton):
    """Uses what is kept, keeps what a dialog holds, and keeps it no longer.

    kind: of what is kept. call: what a thing is called. current: what the dialog holds, None where
    there is nothing; may raise Refused. use: takes a kept thing over. problem: shows what is wrong.
    text: what the button says where there is little room.
    """

    def __init__(
        self,
        place: Workplace,
        kind: type[Kept],
        call: Callable[[Any], Sentence],
        current: Callable[[], Kept | None],
        use: Callable[[Any], object],
        problem: Callable[[str], object],
        *,
        text: str = "",
    ) -> None:
        super().__init__(text or tr("For every bench"))
        self._place, self._kind, self._call = place, kind, call
        self._current, self._use, self._problem = current, use, problem
        self.setToolTip(tr("What you keep for every bench"))
        self.setAutoDefault(False)
        menu = QMenu(self)
        menu.aboutToShow.connect(self._fill)
        self.setMenu(menu)

    def _fill(self) -> None:
        menu = self.menu()
        menu.clear()
        kept = self._kept()
        if kept is None:
            return
        for each in kept:
            menu.addAction(self._name(each)).triggered.connect(partial(self._take, each))
        if not kept:
            menu.addAction(tr("Nothing is kept yet")).setEnabled(False)
        menu.addSeparator()
        menu.addAction(tr("Keep this one for every bench")).triggered.connect(self._keep)
        forget = menu.addMenu(tr("Keep no longer"))
        forget.setEnabled(bool(kept))
        for each in kept:
            forget.addAction(self._name(each)).triggered.connect(partial(self._forget, each))

    def _name(self, thing: Kept) -> str:
        return capital(self._place.read(self._call(thing))).replace("&", "&&")

    def _kept(self) -> tuple[Kept, ...] | None:
        """What is kept of this kind; None, and a sentence, where it cannot be read."""
        try:
            return load_library().of(self._kind)
        except FileProblem as problem:
            self._problem(self._place.read(problem.sentence))
            return None

    def _take(self, thing: Kept, *_checked: object) -> None:
        self._use(thing)

    def _keep(self) -> None:
        try:
            thing = self._current()
        except Refused as problem:
            self._problem(self._place.read(problem.sentence))
            return
        if thing is None:
            self._problem(tr("There is nothing to keep."))
            return
        said = Sentence("Kept for every bench: {thing}", thing=self._call(thing))
        self._change(lambda library: library.keeping(thing), said)

    def _forget(self, thing: Kept, *_checked: object) -> None:
        said = Sentence("Kept no longer: {thing}", thing=self._call(thing))
        self._change(lambda library: library.without(thing), said)

    def _change(self, change: Callable[[Library], Library], said: Sentence) -> None:
        try:
            change_library(change)
        except FileProblem as problem:
            self._problem(self._place.read(problem.sentence))
            return
        self._problem("")
        self._place.host.say(said)
