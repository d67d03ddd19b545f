"""The rack: lines, their versions and rigs. One is current; any others can be laid over it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from PySide6.QtCore import QModelIndex, QPoint, Qt, Signal
from PySide6.QtWidgets import QMenu, QWidget

from taperlab.edits import lines as line_edits
from taperlab.edits import rigs as rig_edits
from taperlab.gui.frame.keeping import Keeping
from taperlab.gui.frame.looping import Looping
from taperlab.gui.frame.rack_model import LINE_ROLE, RackModel
from taperlab.gui.frame.rack_view import RackDelegate, RackView
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import with_key
from taperlab.gui.kit.widgets import caption, in_column, in_row, tool_button
from taperlab.gui.state.document import Change, Reason, Shown, Thing
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.model.version import Version
from taperlab.units.language import tr


class Rack(QWidget):
    """Heading, list, and the button that adds a line.

    edit_line(), edit_rig(): the person wants to describe the one that is looked at.
    """

    edit_line = Signal()
    edit_rig = Signal()

    def __init__(self, place: Workplace) -> None:
        super().__init__()
        self._place = place
        self._document = place.document
        self.looping = Looping(place)
        self.keeping = Keeping(place)
        self.view = RackView()
        self.model = RackModel(place, lambda: "; ".join(row.text for row in RackView.mouse_help()))
        self.view.setModel(self.model)
        delegate = RackDelegate(self.model, place.theme, self.view)
        self.view.setItemDelegate(delegate)
        self.view.setToolTip("")
        self.view.toggled.connect(self.toggle)
        self.view.picked.connect(self.pick)
        self.view.clicked.connect(self._clicked)
        self.view.folded.connect(self._fold)
        self.view.menu_asked.connect(self._menu)
        place.theme.changed.connect(self.view.doItemsLayout)
        place.document.changed.connect(self._changed)

        tip = tr("Add an empty line to the bench")
        add = tool_button(tr("Add…"), tr("Add a line"), tip, self.add_line)
        head = in_row((caption(tr("On the bench")), 1), add)
        head.setContentsMargins(8, 0, 0, 0)
        in_column(head, (self.view, 1), spacing=4, of=self)
        self._select_current()

    def pick(self, thing: Thing) -> None:
        """Look at a line by itself, or at a rig, with its head in hand or its line that was.

        A version can't be looked at by itself: it is laid over, or taken off.
        """
        if isinstance(thing, Version):
            self.toggle(thing)
            return
        if isinstance(thing, Line):
            self._document.look(line=thing.key, initiator=self)
            return
        line = self._document.line
        held = line.key if line is not None and line.key in thing.lines else thing.head
        self._document.look(line=held, rig=thing.key, initiator=self)

    def toggle(self, thing: Thing) -> None:
        """Lay a line, a rig or a version over what is looked at, or take it off."""
        if self.model.is_current(thing):
            return
        view, over = self._document.bench.view, "overlays"
        if isinstance(thing, Rig):
            over = "rig_overlays"
        elif isinstance(thing, Version):
            over = "version_overlays"
            self._fold_of(True, thing)  # its row stays
        laid: tuple[str, ...] = getattr(view, over)
        kept = tuple(key for key in laid if key != thing.key)
        after = kept if thing.key in laid else (*laid, thing.key)
        self._document.look(initiator=self, **{over: after})

    def add_line(self) -> None:
        """Add an empty line and make it current."""
        self._place.do(line_edits.add_line, tr("New line"))

    def duplicate_current(self) -> None:
        """Copy what is looked at."""
        if thing := self._document.shown:
            self._duplicate(thing)

    def delete_current(self) -> None:
        """Take the current line off the bench, or the rig apart; undo brings it back."""
        if thing := self._document.shown:
            self._delete(thing)

    def rename_current(self) -> None:
        """Edit the name of what is looked at in place."""
        if thing := self._document.shown:
            self._rename(thing)

    def next_line(self) -> None:
        """Look at the next line or rig; after the last comes the first."""
        self._step(1)

    def previous_line(self) -> None:
        """Look at the line or rig before."""
        self._step(-1)

    def _step(self, step: int) -> None:
        bench, shown = self._document.bench, self._document.shown
        if shown is not None:
            self._place.host.commit()
            things: list[Shown] = [*bench.lines, *bench.rigs]
            self.pick(things[(things.index(shown) + step) % len(things)])

    def _clicked(self, index: QModelIndex) -> None:
        thing = index.data(LINE_ROLE)
        if thing is not None and not isinstance(thing, Version):
            self.pick(thing)

    def _fold_of(self, opened: bool, thing: Thing) -> None:
        self._fold(self.model.index(self.model.row_of(thing)), opened)

    def _fold(self, index: QModelIndex, opened: bool) -> None:
        """Show the versions of a row, or fold them away; the keyboard stays where it is."""
        row, held = self.model.row(index), self.model.row(self.view.currentIndex())
        self.model.open(row, opened)
        for each in (held, self.model.over(row)):
            if each is not None and (at := self.model.row_of(each)) >= 0:
                self.view.setCurrentIndex(self.model.index(at))
                return

    def _changed(self, change: Change) -> None:
        # Where the keyboard is stays, unless something else is looked at.
        before, after = (_shown(bench) for bench in (change.before, change.after))
        if before != after or not self.view.currentIndex().isValid():
            self._select_current()
        if before == after:
            self._show_new(change)

    def _show_new(self, change: Change) -> None:
        """Scroll to what has come onto the bench without being looked at."""
        known = {(type(each), each.key) for each in _things(change.before)}
        new = [each for each in _things(change.after) if (type(each), each.key) not in known]
        if not new or change.reason is Reason.LOAD:
            return
        if isinstance(new[-1], Version):
            self.model.open(new[-1])
        self.view.scrollTo(self.model.index(self.model.row_of(new[-1])))

    def _select_current(self) -> None:
        thing = self._document.shown
        row = self.model.row_of(thing) if thing else -1
        if row >= 0 and self.view.currentIndex().row() != row:
            self.view.setCurrentIndex(self.model.index(row))

    def keep_version(self) -> None:
        """Keep the current line as it is now, under a name."""
        self._place.host.commit()
        if line := self._document.line:
            self.keeping.keep(line)

    def menu_of(self, thing: Thing) -> QMenu:
        """What can be done to a line, a rig or a version, current or not."""
        menu, in_hand = self._new_menu(), self.model.is_current(thing)
        if not isinstance(thing, Version):
            take = menu.addAction(with_key(tr("Make current"), Qt.Key.Key_Return))
            take.triggered.connect(lambda: self.pick(thing))
            take.setEnabled(not in_hand)
        over = menu.addAction(with_key(tr("Lay over the current line"), Qt.Key.Key_Space))
        over.setCheckable(True)
        over.setChecked(self.model.is_overlay(thing) and not in_hand)
        over.setEnabled(not in_hand)
        over.triggered.connect(lambda: self.toggle(thing))
        menu.addSeparator()
        for text, act in self._offers(menu, thing):
            menu.addAction(text).triggered.connect(partial(_do, act, thing))
        return menu

    def _offers(self, menu: QMenu, thing: Thing) -> Iterator[tuple[str, Callable[[Any], object]]]:
        """The rest of its menu: words, and what does it."""
        rename = with_key(tr("Rename"), Qt.Key.Key_F2), self._rename
        if isinstance(thing, Version):
            yield from self.keeping.offers(thing)
            yield rename
            yield tr("Delete"), self.keeping.delete
            return
        is_line = isinstance(thing, Line)
        if isinstance(thing, Line):
            self.looping.fill(menu, thing)
            yield tr("Keep a version…"), self.keeping.keep
            kept = self.model.kept(thing)
            if kept is not None:
                words = tr("Fold its versions away") if kept.is_open else tr("Show its versions")
                yield words, partial(self._fold_of, not kept.is_open)
        words = tr("Name, style and loops…") if is_line else tr("Name, leader and fly…")
        yield words, self._describe
        yield rename
        yield tr("Duplicate"), self._duplicate
        yield tr("Delete") if is_line else tr("Take apart"), self._delete

    def _menu(self, index: QModelIndex, where: QPoint) -> None:
        thing = index.data(LINE_ROLE) if index.isValid() else None
        if thing is not None:
            menu = self.menu_of(thing)
        else:
            menu = self._new_menu()
            menu.addAction(tr("Add a line"), self.add_line)
        menu.popup(where)

    def _new_menu(self) -> QMenu:
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        return menu

    def _describe(self, thing: Shown) -> None:
        self.pick(thing)
        (self.edit_line if isinstance(thing, Line) else self.edit_rig).emit()

    def _rename(self, thing: Thing) -> None:
        index = self.model.index(self.model.row_of(thing))
        self.view.setFocus()
        self.view.setCurrentIndex(index)
        self.view.edit(index)

    def _duplicate(self, thing: Shown) -> None:
        if isinstance(thing, Line):
            self._place.do(line_edits.duplicate_line, thing.key)
        elif self._place.do(rig_edits.duplicate_rig, thing.key):
            self.pick(self._document.bench.rigs[-1])

    def _delete(self, thing: Shown) -> None:
        is_rig = isinstance(thing, Rig)
        self._place.do(rig_edits.delete_rig if is_rig else line_edits.delete_line, thing.key)


def _shown(bench: Bench) -> tuple[str | None, str | None]:
    """The line and the rig that a bench shows, by key."""
    line, rig = bench.current_line, bench.current_rig
    return (line.key if line and not rig else None), (rig.key if rig else None)


def _things(bench: Bench) -> tuple[Thing, ...]:
    return (*bench.lines, *bench.rigs, *bench.versions)


def _do(act: Callable[[Any], object], thing: Thing, *_checked: object) -> None:
    act(thing)
