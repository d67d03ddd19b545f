"""The seven questions, on one card: the rod first, then six answers that the bench keeps."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices, QFont
from PySide6.QtWidgets import QLabel, QWidget

from taperlab.files.problem import FileProblem
from taperlab.files.reasons import own_reasons_file
from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.one_of import OneOf
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.rod_card import RodChoice
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.kit.widgets import Card, Link, Remark, in_column, in_row, label
from taperlab.gui.pages.which_head.case import WhichCase
from taperlab.model.which_head import Breadth, Casting, Stripping, Thrown, Wading
from taperlab.shop.which_head.words import windows_words
from taperlab.trade.reasons import STYLES
from taperlab.units.kinds import ROOM
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence

WIDE = 84
"""Of the field for the room [px]."""


class QuestionsCard(Card):
    """Rod, what is thrown, room behind, water, stripping, casting, wading."""

    def __init__(self, case: WhichCase) -> None:
        super().__init__(tr("Seven questions"), spacing=10)
        self._case = case
        self._hints: list[QLabel] = []
        self.rod = RodChoice(case.place, case.watch)
        self._dialogs = Dialogs(case.place)
        self.rod.edit_rods.connect(self._dialogs.edit_rods)
        self.windows = label("", points=SMALL, role="soft", wrap=True)
        self.thrown = self._words(Thrown, tr("What you throw"), "thrown")
        self.room = QuantityEdit(
            ROOM, case.place.settings, name=tr("Room behind you"), optional=True
        )
        self.room.setPlaceholderText(tr("not said"))
        self.room.keep_width(px(WIDE))
        self._room = Kept(self.room, lambda value: case.answer(room=value))
        self.problem = Remark("bad", points=SMALL)
        self.room.sentence_changed.connect(self.problem.say)
        self.water = self._words(Breadth, tr("The water"), "water")
        self.stripping = self._words(Stripping, tr("Stripping line"), "stripping")
        self.casting = self._words(Casting, tr("How you cast"), "casting")
        self.wading = self._words(Wading, tr("Wading"), "wading")
        self._lay_out()
        case.follow(self.refresh)

    def _words(self, words: type[StrEnum], name: str, question: str) -> OneOf:
        made = OneOf(words, name)

        def answer(word: StrEnum | None) -> None:
            self._case.answer(**{question: word})
            self.refresh()

        made.chosen.connect(answer)
        return made

    def _lay_out(self) -> None:
        room = in_column(in_row(self.room, None), self.problem)
        holder = QWidget()
        holder.setLayout(room)
        asked: tuple[tuple[str, QWidget, str], ...] = (
            (tr("Rod"), self.rod, ""),
            (tr("What you throw"), self.thrown, tr("on most days, not on the best one")),
            (tr("Room behind you"), holder, tr("to the first thing a line would hit")),
            (tr("The water"), self.water, tr("how far the usual cast has to go")),
            (tr("Stripping line"), self.stripping, tr("in the hand, between casts")),
            (tr("How you cast"), self.casting, tr("most of the time")),
            (tr("Wading"), self.wading, tr("deep water lowers your hands by as much")),
        )
        for number, (name, widget, hint) in enumerate(asked, 1):
            title = label(f"{number}", points=SMALL, role="soft")
            title.setFixedWidth(px(12))
            named = label(name, weight=QFont.Weight.Medium)
            below = self.windows
            if hint:
                below = label(hint, points=SMALL, role="soft")
                self._hints.append(below)
                named.setToolTip(hint)
            self.add(in_column(in_row(title, named, None, spacing=4), widget, below, spacing=3))
        kept = label(
            tr("Answers are kept with this bench. The reasons are a table that a shop can edit."),
            points=SMALL,
            role="soft",
            wrap=True,
        )
        self.clear = Link(tr("Clear answers"), tr("Take all six answers back"), self._case.clear)
        self.table = Link(
            tr("Open the table…"),
            tr("Edit the reasons and their points; a copy of ours is begun with"),
            self._open_table,
        )
        self.add(in_column(kept, in_row(self.table, self.clear, None, spacing=12), spacing=3))

    def refresh(self) -> None:
        """Show the answers as the bench has them."""
        case, answers = self._case, self._case.answers
        self.thrown.show_choice(answers.thrown)
        self._room.show(answers.room)
        self.water.show_choice(answers.water)
        self.stripping.show_choice(answers.stripping)
        self.casting.show_choice(answers.casting)
        self.wading.show_choice(answers.wading)
        said = windows_words(case.found.rod, STYLES) if case.found else NOTHING
        self.windows.setText(case.place.read(said))
        self.clear.setEnabled(answers != type(answers)(extra=answers.extra))

    def show_hints(self, shown: bool) -> None:
        """Show what each question means below it, or leave that to the tooltips."""
        for each in self._hints:
            each.setVisible(shown)

    def commit(self) -> None:
        """Take over what is being typed."""
        self._room.commit()

    def _open_table(self) -> None:
        """Hand the shop's own table to whatever edits tables here."""
        host = self._case.place.host
        try:
            where = own_reasons_file()
        except FileProblem as problem:
            host.show_problem(problem.sentence)
            return
        if QDesktopServices.openUrl(QUrl.fromLocalFile(str(where))):
            host.say(Sentence("{file} counts here as soon as it is saved.", file=where))
        else:
            host.show_problem(Sentence("Nothing here opens tables. Yours is {file}.", file=where))
