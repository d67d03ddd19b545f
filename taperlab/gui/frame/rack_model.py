"""What the rack lists: lines, their versions, and rigs, with what is shown of each."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QAbstractListModel, Qt
from PySide6.QtGui import QPen

from taperlab.edits import lines as line_edits
from taperlab.edits import rigs as rig_edits
from taperlab.edits.edited import Edited
from taperlab.gui.frame.rack_rows import (
    Heading,
    Kept,
    Row,
    fold_of,
    identities,
    rows_of,
    versions_by_line,
)
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.host import Workplace
from taperlab.gui.plots.styles import overlay_style
from taperlab.gui.state.document import Change, Reason, Thing
from taperlab.gui.table.grid_model import NO_INDEX, Index
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.model.version import Version
from taperlab.shop.whole import looped_of
from taperlab.shop.wording import WholeWeight
from taperlab.units.kinds import LENGTH
from taperlab.units.language import tr, trn
from taperlab.units.show import show
from taperlab.units.words import word

LINE_ROLE = Qt.ItemDataRole.UserRole
EDIT = Qt.ItemDataRole.EditRole


def _rename(thing: Thing) -> Callable[..., Edited]:
    """The edit that gives such a thing another name."""
    if isinstance(thing, Version):
        from taperlab.edits.versions import rename_version

        return rename_version
    return rig_edits.rename_rig if isinstance(thing, Rig) else line_edits.rename_line


class RackModel(QAbstractListModel):
    """The lines of the bench with their versions and, below a heading, its rigs.

    One is current, others are laid over. Versions are folded away until they are asked for.

    hint: says what the mouse does to one.
    """

    def __init__(self, place: Workplace, hint: Callable[[], str] = str) -> None:
        super().__init__(place.document)
        self.hint = hint
        self._place = place
        self._document = place.document
        self._opened: frozenset[str] = frozenset()
        self._rows = rows_of(place.document.bench, self._opened)
        place.document.changed.connect(self._changed)
        place.settings.units_changed.connect(self._all_changed)

    def rowCount(self, parent: Index = NO_INDEX) -> int:
        """Lines, versions and rigs that are shown, and headings."""
        return 0 if parent.isValid() else len(self._rows)

    def row_of(self, row: Row) -> int:
        """Where a line, a rig, a version or a heading is, -1 where it is not here."""
        (wanted,), every = identities((row,)), identities(self._rows)
        return every.index(wanted) if wanted in every else -1

    # -- versions ------------------------------------------------------------------------------

    def row(self, index: Index) -> Row | None:
        """What stands in a row, a heading too."""
        return self._rows[index.row()] if index.isValid() else None

    def kept(self, row: Row | None) -> Kept | None:
        """What of versions is under a row; None where there is nothing of the kind."""
        if row is None or isinstance(row, Version | Rig):
            return None
        key = fold_of(row, self._document.bench)
        if key is None:
            return None
        found = versions_by_line(self._document.bench).get(key, [])
        return Kept(len(found), key in self._opened) if found else None

    def over(self, row: Row | None) -> Row | None:
        """What a version stands under: its line, or a heading; of other rows the row itself."""
        if not isinstance(row, Version):
            return row
        lines = self._document.bench.lines
        return next((each for each in lines if each.key == row.of), Heading.GONE)

    def open(self, row: Row | None, opened: bool = True) -> None:
        """Show the versions of a row, or of the line that a version is of, or fold them away."""
        key = fold_of(row, self._document.bench) if row is not None else None
        if key is None or (key in self._opened) == opened:
            return
        self._opened = self._opened | {key} if opened else self._opened - {key}
        self._lay_out()

    def _lay_out(self) -> None:
        self.beginResetModel()
        self._rows = rows_of(self._document.bench, self._opened)
        self.endResetModel()

    def _kept_words(self, row: Row) -> str:
        found = self.kept(row)
        if found is None:
            return ""
        count = trn("{count} version", "{count} versions", found.count).format(count=found.count)
        state = tr("shown") if found.is_open else tr("folded away")
        return f"{count}, {state}"

    # -- what is shown -------------------------------------------------------------------------

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        """Name, figures and tooltip of what is in a row; a heading has its words alone."""
        thing = self.row(index)
        if thing is None or isinstance(thing, Heading):
            return self._of_heading(thing, role) if thing is not None else None
        if role == LINE_ROLE:
            return thing
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.EditRole):
            return thing.name
        if role == Qt.ItemDataRole.ToolTipRole:
            said = (self._about(thing), self.figures(thing), thing.note, *self._since(thing))
            return "\n".join(filter(None, said))
        if role == Qt.ItemDataRole.StatusTipRole:
            return self.hint()
        if role == Qt.ItemDataRole.AccessibleTextRole:
            if self.is_current(thing):
                state = tr("current")
            else:
                state = tr("laid over") if self.is_overlay(thing) else tr("not laid over")
            said = (thing.name, self._kind(thing), self.figures(thing), state)
            return ", ".join(filter(None, (*said, self._kept_words(thing))))
        return None

    def _of_heading(self, heading: Heading, role: int) -> object:
        if role == Qt.ItemDataRole.DisplayRole:
            return tr(heading.value)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return ", ".join(filter(None, (tr(heading.value), self._kept_words(heading))))
        return None

    def _kind(self, thing: Thing) -> str:
        if isinstance(thing, Version):
            return tr("version of {line}").format(line=self._line_of(thing))
        return tr("rig") if isinstance(thing, Rig) else ""

    def _line_of(self, version: Version) -> str:
        """What the line of a version is called: now, or where it is gone as it was."""
        lines = self._document.bench.lines
        return next((each.name for each in lines if each.key == version.of), version.line.name)

    def _since(self, thing: Thing) -> tuple[str, ...]:
        """What became of the line since a version, in words."""
        if not isinstance(thing, Version):
            return ()
        from taperlab.shop.versions.words import told

        found = self._document.changes_since(thing)
        return tuple(map(self._place.read, told(found, thing))) if found else ()

    def _about(self, thing: Thing) -> str:
        """A line with its style, a version with its line; a rig with its lines, fly end first."""
        if isinstance(thing, Version):
            return f"{thing.name}, {self._kind(thing)}"
        if isinstance(thing, Line):
            return f"{thing.name}, {word(thing.style)}"
        names = {line.key: line.name for line in self._document.bench.lines}
        made_of = " + ".join(names.get(key, key) for key in thing.lines)
        return thing.name if thing.name == made_of else f"{thing.name}\n{made_of}"

    def flags(self, index: Index) -> Qt.ItemFlag:
        """Names can be edited in place; a heading can be folded, if anything."""
        row = self.row(index)
        if isinstance(row, Heading):
            usual = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
            return usual if row is Heading.GONE else Qt.ItemFlag.NoItemFlags
        return super().flags(index) | Qt.ItemFlag.ItemIsEditable

    def setData(self, index: Index, value: object, role: int = EDIT) -> bool:
        """Rename a line, a rig or a version."""
        thing = self.row(index)
        if thing is None or isinstance(thing, Heading):
            return False
        return bool(self._place.do(_rename(thing), thing.key, str(value), initiator=self))

    def figures(self, thing: Thing, fits: Callable[[str], bool] = lambda _: True) -> str:
        """Length and weight, as small print; where that does not fit in short, or weight alone.

        Of a version its day and its weight.
        """
        system = self._place.system
        if isinstance(thing, Version):
            was = self._document.as_it_was(thing)
            weight = WholeWeight((was.head or was).mass).text(system)
            return next(filter(fits, (f"{thing.date} · {weight}",)), weight)
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
        if isinstance(thing, Version):
            return thing.key in view.version_overlays
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
        if change.reason is Reason.LOAD:
            self._opened = frozenset()
        before, after = self._rows, rows_of(change.after, self._opened)
        if identities(after) != identities(before):
            self._lay_out()
            return
        self._rows = after
        view_changed = change.before.view != change.after.view
        kept_changed = change.before.versions is not change.after.versions
        other = {
            new.key
            for old, new in zip(before, after, strict=True)
            if isinstance(new, Line) and old is not new
        }
        for row, (old, new) in enumerate(zip(before, after, strict=True)):
            made_anew = isinstance(new, Rig) and not other.isdisjoint(new.lines)
            if old is not new or view_changed or made_anew or kept_changed:
                self.dataChanged.emit(self.index(row), self.index(row))

    def _all_changed(self) -> None:
        if self._rows:
            self.dataChanged.emit(self.index(0), self.index(len(self._rows) - 1))
