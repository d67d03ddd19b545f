"""The menus and their keys, as one table."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from PySide6.QtCore import SignalInstance
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu, QWidget

from taperlab.edits.edited import Solve
from taperlab.files.preferences import Theme as Colours
from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.frame.file_menu import FileMenu
from taperlab.gui.frame.in_hand import InHand, Needs
from taperlab.gui.frame.memory import Memory
from taperlab.gui.frame.rack import Rack
from taperlab.gui.frame.welcome import Welcome
from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages.catalogue import Entry
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.row_commands import ROW_COMMANDS, RowCommand
from taperlab.units.kinds import System
from taperlab.units.language import later, tr
from taperlab.units.sentence import render

Keys = QKeySequence.StandardKey

SAMPLES = (
    ("scandi.taperlab", later("Scandi head")),
    ("skagit.taperlab", later("Skagit head with tips")),
    ("long_belly.taperlab", later("Long belly with its running line")),
    ("single_hand.taperlab", later("Single-hand line")),
    ("cut_back.taperlab", later("Cut-back half done")),
    ("measured_head.taperlab", later("A customer’s head on the scale")),
)


@dataclass(frozen=True, slots=True)
class Item:
    """One command: its name in the program, its words, what it does, its keys.

    needs: what the page that is shown must have, or the command is greyed.
    """

    name: str
    text: str
    act: Callable[[], object]
    keys: Keys | str = ""
    tip: str = ""
    needs: Needs = Needs.NOTHING


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several things of which one is always chosen."""

    name: str
    text: str
    value: object
    keys: str = ""


@dataclass(frozen=True, slots=True)
class Choices:
    """A submenu of things of which one is always chosen; ``changed``: another is."""

    text: str
    choices: tuple[Choice, ...]
    chosen: Callable[[], object]
    choose: Callable[[Any], object]
    changed: SignalInstance


@dataclass(frozen=True, slots=True)
class Switch:
    """Something that is on or off; ``changed``: it is the other now."""

    name: str
    text: str
    is_on: Callable[[], bool]
    turn: Callable[[bool], object]
    changed: SignalInstance


Row = Item | Choices | Switch | QAction | QMenu | None
"""A row of a menu; None parts groups."""


@dataclass(frozen=True, slots=True)
class Doers:
    """Who does what the menus offer."""

    place: Workplace
    file: FileMenu
    dialogs: Dialogs
    rack: Rack
    hand: InHand
    welcome: Welcome
    turn_to: Callable[[str], object]
    use_system: Callable[[System], object]
    close: Callable[[], object]


def _row_item(name: str, command: RowCommand, hand: InHand) -> Item:
    act = hand.segments(command.act)
    return Item(name, command.text, act, command.keys, command.tip, Needs.SEGMENTS)


def menu_table(
    do: Doers, recent: QMenu, samples: QMenu, undo: tuple[QAction, QAction], pages: Sequence[Entry]
) -> tuple[tuple[str, tuple[Row, ...]], ...]:
    """All menus: title and rows."""
    settings, theme, hand = do.place.settings, do.place.theme, do.hand
    rows = {name: _row_item(name, command, hand) for name, command in ROW_COMMANDS.items()}
    on_segments, on_plots = Needs.SEGMENTS, Needs.PLOTS
    return (
        (
            later("&File"),
            (
                Item("new", later("&New bench"), do.file.new_bench, Keys.New),
                Item("open", later("&Open…"), do.file.choose_and_open, Keys.Open),
                recent,
                samples,
                None,
                Item("save", later("&Save"), do.file.save, Keys.Save),
                Item("save_as", later("Save &as…"), do.file.save_as, "Ctrl+Shift+S"),
                Item("bench_note", later("No&te on this bench…"), do.dialogs.edit_bench_note),
                None,
                Item(
                    "import",
                    later("Read in a &line…"),
                    do.file.choose_and_import,
                    "Ctrl+I",
                    later("Read a line in from a CSV or TSV table"),
                ),
                Item(
                    "export",
                    later("&Write the line as a table…"),
                    do.file.choose_and_export,
                    "Ctrl+E",
                    later("Write the line in hand as CSV"),
                ),
                Item(
                    "export_plots",
                    later("Save the plots as a p&icture…"),
                    do.file.choose_and_export_plots,
                    needs=on_plots,
                ),
                None,
                Item(
                    "print",
                    later("&Print…"),
                    hand.print_sheet,
                    Keys.Print,
                    later("Print the sheet of this page: what to build, or the cut-back"),
                ),
                Item("preview", later("Print pre&view…"), hand.preview_sheet),
                None,
                Item("close", later("&Close"), do.close, "Ctrl+Q"),
            ),
        ),
        (
            later("&Edit"),
            (
                *undo,
                None,
                Item("cut", later("Cu&t"), hand.cut, Keys.Cut),
                Item("copy", later("&Copy"), hand.copy, Keys.Copy),
                rows["copy_headings"],
                Item("paste", later("&Paste"), hand.paste, Keys.Paste),
                Item("select_all", later("Select &all"), hand.select_all, Keys.SelectAll),
                rows["fill_down"],
                None,
                Item(
                    "copy_readouts",
                    later("Copy the r&eadouts"),
                    hand.copy_readouts,
                    needs=Needs.READOUTS,
                ),
                Item(
                    "copy_readouts_table",
                    later("Copy the readouts as a ta&ble"),
                    hand.copy_readouts_table,
                    needs=Needs.READOUTS,
                ),
                Item(
                    "copy_plots",
                    later("Copy the plots as a p&icture"),
                    hand.copy_plots,
                    needs=on_plots,
                ),
            ),
        ),
        (
            later("&Line"),
            (
                Item("add_line", later("&Add a line"), do.rack.add_line, "Ctrl+Shift+N"),
                Item("duplicate_line", later("&Duplicate"), do.rack.duplicate_current),
                Item("rename_line", later("&Rename"), do.rack.rename_current),
                Item(
                    "describe_line",
                    later("Name, style and &loops…"),
                    do.dialogs.describe_line,
                    "Ctrl+L",
                ),
                rows["reverse_line"],
                Item("delete_line", later("Dele&te"), do.rack.delete_current),
                None,
                Item(
                    "find_weight",
                    later("&Find a weight…"),
                    hand.find_weight,
                    Keys.Find,
                    later("Where the line weighs so much from the fly end"),
                    on_segments,
                ),
                Item("next_line", later("&Next line"), do.rack.next_line, "Ctrl+PgDown"),
                Item("previous_line", later("&Previous line"), do.rack.previous_line, "Ctrl+PgUp"),
            ),
        ),
        (
            later("&Segment"),
            (
                rows["insert_above"],
                rows["insert_below"],
                Item(
                    "insert_stock",
                    later("Insert from s&tock…"),
                    hand.insert_from_stock,
                    needs=on_segments,
                ),
                Item(
                    "keep_stock",
                    later("&Keep as stock…"),
                    hand.keep_as_stock,
                    "",
                    later("Put the material of this segment on the shelf"),
                    on_segments,
                ),
                rows["duplicate_rows"],
                rows["delete_rows"],
                rows["move_up"],
                rows["move_down"],
                None,
                rows["split_here"],
                rows["merge_rows"],
                None,
                rows["edit_core"],
                rows["edit_joint"],
            ),
        ),
        (
            later("&Rod and water"),
            (
                Item("edit_rods", later("&Rods…"), do.dialogs.edit_rods, "Ctrl+R"),
                Item("edit_water", later("&Water…"), do.dialogs.edit_water, "Ctrl+W"),
            ),
        ),
        (
            later("&View"),
            (
                *_page_rows(pages, do.turn_to),
                None,
                Item(
                    "zoom_all",
                    later("Whole &line"),
                    hand.show_whole_line,
                    "Ctrl+0",
                    needs=on_plots,
                ),
                Switch(
                    "show_sink",
                    later("Show the sin&k-rate plot"),
                    lambda: settings.sink_shown,
                    settings.show_sink,
                    settings.sink_shown_changed,
                ),
                Choices(
                    later("&Units"),
                    (
                        Choice(
                            "units_us", later("Feet, inches, grains"), System.US, "Ctrl+Shift+U"
                        ),
                        Choice(
                            "units_metric",
                            later("Metres, millimetres, grams"),
                            System.METRIC,
                            "Ctrl+U",
                        ),
                    ),
                    lambda: settings.system,
                    do.use_system,
                    settings.units_changed,
                ),
                Choices(
                    later("A &typed weight moves"),
                    (
                        Choice("solve_density", later("Density"), Solve.DENSITY),
                        Choice("solve_diameter", later("Diameter"), Solve.DIAMETER),
                    ),
                    lambda: settings.solve,
                    settings.use_solve,
                    settings.solve_changed,
                ),
                Choices(
                    later("T&heme"),
                    (
                        Choice("theme_system", later("As the system"), Colours.SYSTEM),
                        Choice("theme_light", later("Light"), Colours.LIGHT),
                        Choice("theme_dark", later("Dark"), Colours.DARK),
                    ),
                    lambda: theme.choice,
                    theme.choose,
                    theme.changed,
                ),
            ),
        ),
        (
            later("&Help"),
            (
                Item("welcome", later("&Welcome"), do.welcome.greet),
                Item(
                    "methods",
                    later("&How the figures are worked out"),
                    do.dialogs.show_methods,
                    Keys.HelpContents,
                ),
                Item("cautions", later("&Cautions"), do.dialogs.show_cautions),
                Item("about", later("&About Taperlab"), do.dialogs.show_about),
            ),
        ),
    )


def _page_rows(pages: Sequence[Entry], turn_to: Callable[[str], object]) -> list[Row]:
    """The pages, groups apart; the first nine have keys."""
    rows: list[Row] = []
    group = pages[0].group
    for number, page in enumerate(pages, 1):
        if page.group != group:
            rows.append(None)
        group = page.group
        keys = f"Ctrl+{number}" if number < 10 else ""
        rows.append(Item(f"page_{page.key}", page.name, partial(turn_to, page.key), keys, page.tip))
    return rows


class Menus:
    """The menus of a window. ``actions``: every command, by its name."""

    def __init__(
        self,
        window: QMainWindow,
        do: Doers,
        memory: Memory,
        pages: Sequence[Entry],
    ) -> None:
        self._window = window
        self._place = do.place
        self.actions: dict[str, QAction] = {}
        self._needs: dict[str, Needs] = {}
        self._undo, self._redo = QAction(window), QAction(window)
        self._undo.setShortcuts(Keys.Undo)
        self._redo.setShortcuts(Keys.Redo)
        self._undo.triggered.connect(do.place.document.undo_stack.undo)
        self._redo.triggered.connect(do.place.document.undo_stack.redo)
        self.actions |= {"undo": self._undo, "redo": self._redo}
        do.place.document.changed.connect(self._show_steps)
        do.place.settings.units_changed.connect(self._show_steps)
        self._show_steps()

        bar = window.menuBar()
        recent, samples = RecentMenu(bar, memory, do.file.open_path), _samples(bar, do.file)
        table = menu_table(do, recent, samples, (self._undo, self._redo), pages)
        for title, rows in table:
            menu = bar.addMenu(tr(title))
            for row in rows:
                self._add(menu, row)
            if self._undo in menu.actions():
                menu.aboutToShow.connect(do.place.host.commit)

    def follow(self, page: Page) -> None:
        """Grey what is of no use on the page that is shown now."""
        met = {needs: needs.are_met_by(page) for needs in Needs}
        for name, needs in self._needs.items():
            self.actions[name].setEnabled(met[needs])

    def _show_steps(self) -> None:
        document, system = self._place.document, self._place.system
        for action, words, step in (
            (self._undo, tr("&Undo {step}"), document.undo_text),
            (self._redo, tr("&Redo {step}"), document.redo_text),
        ):
            said = render(step, system)
            action.setText(words.format(step=said.replace("&", "&&")).strip())
            action.setToolTip(words.replace("&", "").format(step=said).strip())
            action.setEnabled(bool(step))

    def _add(self, menu: QMenu, row: Row) -> None:
        if row is None:
            menu.addSeparator()
        elif isinstance(row, QAction):
            menu.addAction(row)
        elif isinstance(row, QMenu):
            menu.addMenu(row)
        elif isinstance(row, Item):
            menu.addAction(self._command(row))
        elif isinstance(row, Switch):
            self._switch(menu, row)
        else:
            self._choices(menu.addMenu(tr(row.text)), row)

    def _command(self, item: Item) -> QAction:
        action = QAction(tr(item.text), self._window)
        if isinstance(item.keys, Keys):
            action.setShortcuts(item.keys)
        elif item.keys:
            action.setShortcut(QKeySequence(item.keys))
        tip = tr(item.tip) or tr(item.text).replace("&", "")
        keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        action.setToolTip(f"{tip} ({keys})" if keys else tip)
        action.triggered.connect(_call(item.act))
        self.actions[item.name] = action
        if item.needs is not Needs.NOTHING:
            self._needs[item.name] = item.needs
        return action

    def _switch(self, menu: QMenu, switch: Switch) -> None:
        action = menu.addAction(tr(switch.text))
        action.setCheckable(True)
        action.setChecked(switch.is_on())
        action.toggled.connect(switch.turn)
        switch.changed.connect(lambda: action.setChecked(switch.is_on()))
        self.actions[switch.name] = action

    def _choices(self, menu: QMenu, choices: Choices) -> None:
        group = QActionGroup(menu)
        made: list[tuple[QAction, object]] = []
        for choice in choices.choices:
            action = menu.addAction(tr(choice.text))
            action.setCheckable(True)
            if choice.keys:
                action.setShortcut(QKeySequence(choice.keys))
            action.triggered.connect(_call(choices.choose, choice.value))
            group.addAction(action)
            made.append((action, choice.value))
            self.actions[choice.name] = action

        def show() -> None:
            for action, value in made:
                action.setChecked(value is choices.chosen())

        choices.changed.connect(show)
        show()


class RecentMenu(QMenu):
    """The files opened lately, newest first."""

    def __init__(
        self, parent: QWidget, memory: Memory, open_path: Callable[[Path], object]
    ) -> None:
        super().__init__(tr("Open &recent"), parent)
        self._memory = memory
        self._open = open_path
        memory.recent_changed.connect(self._fill)
        self.triggered.connect(self._chosen)
        self._fill()

    def _fill(self) -> None:
        self.clear()
        for name in self._memory.preferences.recent_files:
            action = self.addAction(Path(name).name.replace("&", "&&"))
            action.setData(name)
            action.setToolTip(name)
            action.setStatusTip(name)
        self.setEnabled(not self.isEmpty())

    def _chosen(self, action: QAction) -> None:
        self._open(Path(action.data()))


def _samples(parent: QWidget, file: FileMenu) -> QMenu:
    menu = QMenu(tr("Open a sa&mple"), parent)
    for name, text in SAMPLES:
        menu.addAction(tr(text)).triggered.connect(_call(file.open_sample, name))
    return menu


def _call(act: Callable[..., object], *arguments: object) -> Callable[..., None]:
    """A call without the "checked" that Qt hands on."""

    def call(*_checked: object) -> None:
        act(*arguments)

    return call
