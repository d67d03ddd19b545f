"""What the rack lists: the lines of the bench and its rigs, with what is shown of each."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from PySide6.QtCore import QAbstractListModel, Qt
from PySide6.QtGui import QPen

from taperlab.edits import lines as line_edits
from taperlab.edits import rigs as rig_edits
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.plots.styles import overlay_style
from taperlab.gui.state.document import Change
from taperlab.gui.table.grid_model import NO_INDEX, Index
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.shop.whole import looped_of
from taperlab.shop.wording import WholeWeight
from taperlab.units.kinds import LENGTH
from taperlab.units.language import tr
from taperlab.units.show import show
from taperlab.units.words import word

LINE_ROLE = Qt.ItemDataRole.UserRole
EDIT = Qt.ItemDataRole.EditRole

Thing = Line | Rig
"""What can be current, and laid over."""


class RackModel(QAbstractListModel):
    """The lines of the bench and, below a heading, its rigs; the current one, those laid over.

    hint: says what the mouse does to one.
    """

    def __init__(self, place: Workplace, hint: Callable[[], str] = str) -> None:
        super().__init__(place.document)
        self.hint = hint
        self._place = place
        self._document = place.document
        self._things = _things(place.document.bench)
        place.document.changed.connect(self._changed)
        place.settings.units_changed.connect(self._all_changed)

    def rowCount(self, parent: Index = NO_INDEX) -> int:
        """Lines and rigs on the bench, and the heading between them."""
        return 0 if parent.isValid() else len(self._things)

    def row_of(self, thing: Thing) -> int:
        """The row of a line or a rig, -1 where it is not here."""
        found = (
            row
            for row, each in enumerate(self._things)
            if type(each) is type(thing) and each is not None and each.key == thing.key
        )
        return next(found, -1)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Name, figures and tooltip of a line or a rig; the heading has its words alone."""
        if not index.isValid():
            return None
        thing = self._things[index.row()]
        if role == LINE_ROLE:
            return thing
        if thing is None:
            shown = (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole)
            return tr("Rigs") if role in shown else None
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return thing.name
        if role == Qt.ItemDataRole.ToolTipRole:
            note = f"\n{thing.note}" if thing.note else ""
            return f"{self._about(thing)}\n{self.figures(thing)}{note}"
        if role == Qt.ItemDataRole.StatusTipRole:
            return self.hint()
        if role == Qt.ItemDataRole.AccessibleTextRole:
            if self.is_current(thing):
                state = tr("current")
            else:
                state = tr("laid over") if self.is_overlay(thing) else tr("not laid over")
            kind = tr("rig") if isinstance(thing, Rig) else ""
            return ", ".join(filter(None, (thing.name, kind, self.figures(thing), state)))
        return None

    def _about(self, thing: Thing) -> str:
        """A line with its style; a rig with the lines that it is made of, from the fly end."""
        if isinstance(thing, Line):
            return f"{thing.name}, {word(thing.style)}"
        names = {line.key: line.name for line in self._document.bench.lines}
        made_of = " + ".join(names.get(key, key) for key in thing.lines)
        return thing.name if thing.name == made_of else f"{thing.name}\n{made_of}"

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Names can be edited in place; nothing can be done to the heading."""
        if index.isValid() and self._things[index.row()] is None:
            return Qt.ItemFlag.NoItemFlags
        return super().flags(index) | Qt.ItemFlag.ItemIsEditable

    def setData(self, index: Index, value: object, role: int = EDIT) -> bool:
        """Rename a line or a rig."""
        thing = self._things[index.row()]
        if thing is None:
            return False
        edit = rig_edits.rename_rig if isinstance(thing, Rig) else line_edits.rename_line
        return bool(self._place.do(edit, thing.key, str(value), initiator=self))

    def figures(self, thing: Thing, fits: Callable[[str], bool] = lambda _: True) -> str:
        """Length and weight, as small print; where that does not fit in short, or weight alone."""
        system = self._place.system
        if isinstance(thing, Rig):
            looped = looped_of(thing, self._document.bench)  # all else of it is not shown here
            if looped is None:
                return tr("can’t be looped")
            length, mass = looped.cast.length, looped.mass
        else:
            found = self._document.analysis(thing.key)
            if found is None or not thing.segments:
                return tr("empty")
            shown = found.head or found
            length, mass = shown.length, shown.mass
        weight = WholeWeight(mass).text(system)
        told = (f"{show(length, LENGTH, system, unit=unit)} · {weight}" for unit in (True, False))
        return next(filter(fits, told), weight)

    def is_current(self, thing: Thing) -> bool:
        """Whether this is what is looked at."""
        return thing is self._document.shown

    def is_overlay(self, thing: Thing) -> bool:
        """Whether this is laid over what is looked at."""
        view = self._document.bench.view
        return thing.key in (view.rig_overlays if isinstance(thing, Rig) else view.overlays)

    def mark(self, thing: Thing, tokens: theming.Tokens) -> QPen | None:
        """What the plots draw this with; None where they do not show it."""
        if self.is_current(thing):
            return theming.pen(tokens.accent, theming.IN_HAND)
        if not self.is_overlay(thing):
            return None
        colour, dash = overlay_style(self._document, thing, tokens)
        return theming.pen(colour, theming.LAID_OVER, dash)

    def _changed(self, change: Change) -> None:
        before, after = self._things, _things(change.after)
        if _keys(after) != _keys(before):
            self.beginResetModel()
            self._things = after
            self.endResetModel()
            return
        self._things = after
        view_changed = change.before.view != change.after.view
        other = {
            new.key
            for old, new in zip(before, after, strict=True)
            if isinstance(new, Line) and old is not new
        }
        for row, (old, new) in enumerate(zip(before, after, strict=True)):
            made_anew = isinstance(new, Rig) and not other.isdisjoint(new.lines)
            if old is not new or view_changed or made_anew:
                self.dataChanged.emit(self.index(row), self.index(row))

    def _all_changed(self) -> None:
        if self._things:
            self.dataChanged.emit(self.index(0), self.index(len(self._things) - 1))


def _things(bench: Bench) -> tuple[Thing | None, ...]:
    """What stands in the rack, from the top; None is the heading over the rigs."""
    return (*bench.lines, *((None, *bench.rigs) if bench.rigs else ()))


def _keys(things: Iterable[Thing | None]) -> list[tuple[type, str]]:
    return [(type(each), each.key if each else "") for each in things]
