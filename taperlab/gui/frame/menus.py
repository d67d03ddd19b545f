"""The menus and their keys, as one table."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, SignalInstance
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from taperlab.edits.edited import Solve
from taperlab.files.preferences import Theme as Colours
from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.frame.file_menu import FileMenu
from taperlab.gui.frame.on_page import Needs, OnPage
from taperlab.gui.frame.rack import Rack
from taperlab.gui.frame.welcome import Welcome
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import Help, HelpGroup, help_on, native, plain
from taperlab.gui.kit.redo import REDO
from taperlab.gui.pages.catalogue import Entry
from taperlab.gui.pages.page import Page
from taperlab.gui.pages.row_commands import ROW_COMMANDS
from taperlab.units.kinds import System
from taperlab.units.language import later, tr
from taperlab.units.sentence import render

Keys = QKeySequence.StandardKey

SAMPLES = (
    ("scandi.taperlab", later("Scandi head")),
    ("skagit.taperlab", later("Skagit head with tips")),
    ("long_belly.taperlab", later("Long belly with its running line")),
    ("single_hand.taperlab", later("Single-handed line")),
    ("goals.taperlab", later("Heads with goals")),
    ("cut_back.taperlab", later("Cut-back half done")),
    ("measured_head.taperlab", later("A customer’s head on the scale")),
    ("jobs.taperlab", later("Jobs of a spring")),
    ("build.taperlab", later("Head of pieces half built")),
)


PLOT_OFFERS = ("find_weight", "zoom_all", "head_only", "show_sink", "copy_plots", "export_plots")
"""Commands that the menu of the plots ends with."""

FIGURE_OFFERS = ("copy_readouts", "copy_readouts_table", "methods")
"""Commands that the menus of the figures end with."""


@dataclass(frozen=True, slots=True)
class Item:
    """One command: its name in the program, its words, what it does, its keys, and a tip.

    needs: what the page that is shown must have, or the command is greyed.
    """

    name: str
    text: str
    act: Callable[[], object]
    keys: Keys | str | Sequence[QKeySequence] = ""
    tip: str = ""
    needs: Needs = Needs.NOTHING


Rows = Sequence[Item | QAction | QMenu | None]
"""The rows of a menu; None parts groups."""


@dataclass(frozen=True, slots=True)
class Doers:
    """Who does what the menus offer."""

    place: Workplace
    file: FileMenu
    dialogs: Dialogs
    rack: Rack
    shown: OnPage
    welcome: Welcome
    turn_to: Callable[[str], object]
    use_system: Callable[[System], object]
    close: Callable[[], object]


class Menus:
    """The menus of a window. ``actions``: every command, by its name."""

    def __init__(self, window: QMainWindow, do: Doers, pages: Sequence[Entry]) -> None:
        self._window = window
        self._do = do
        self._needs: dict[str, Needs] = {}
        self._page: Page | None = None
        self.actions: dict[str, QAction] = {}
        self._titled: list[QMenu] = []
        here = Item("menu_here", tr("The menu of what has the keys"), do.shown.open_menu, "Menu")
        self._anywhere = [self._command(here)]
        self._anywhere[0].setShortcuts([QKeySequence("Menu"), QKeySequence("Shift+F10")])
        window.addActions(self._anywhere)
        for title, rows in (
            (tr("&File"), self._file()),
            (tr("&Edit"), self._edit()),
            (tr("&Line"), self._line()),
            (tr("&Segment"), self._segment()),
            (tr("&Rod and water"), self._rod_and_water()),
            (tr("&View"), self._view(pages)),
            (tr("&Help"), self._help()),
        ):
            menu = window.menuBar().addMenu(title)
            self._titled.append(menu)
            for row in rows:
                self._add(menu, row)
            if title == tr("&Edit"):
                menu.aboutToShow.connect(do.place.host.commit)
        for changed in (do.place.document.changed, do.place.settings.units_changed):
            changed.connect(self._show_steps)
        do.place.settings.recent_changed.connect(self._fill_recent)
        self._show_steps()
        self._fill_recent()

    # -- the table ------------------------------------------------------------------------------

    def _file(self) -> Rows:
        do, shown = self._do.file, self._do.shown
        self._recent = self._submenu(tr("Open &recent"))
        self._recent.triggered.connect(lambda action: do.open_path(Path(action.data())))
        samples = self._submenu(tr("Open a sa&mple"))
        for name, text in SAMPLES:
            samples.addAction(tr(text)).setData(name)
        samples.triggered.connect(lambda action: do.open_sample(action.data()))
        csv, table = (
            tr("Import a line from a CSV or TSV table"),
            tr("Export the current line as CSV"),
        )
        left = tr("Work that was ended without saving, and what was thrown away of it")
        sheet = tr("Print the sheet of this page: what to build, or the cut-back")
        compare = tr("What is looked at beside all that is laid over it, as a table to print")
        before = tr("Before and a&fter…")
        after = tr("What a job, or a cut-back, did to the current head, for its owner")
        labels = tr("For the bags that heads are kept in, on sheets of labels")
        save_plots, write_line = (
            tr("Export the plots as a p&icture…"),
            tr("E&xport the line…"),
        )
        give = do.choose_and_give_away
        given = tr("The bench without what its jobs and notes say of people, to another file")
        return [
            Item("new", tr("&New bench"), do.new_bench, Keys.New),
            Item("open", tr("&Open…"), do.choose_and_open, Keys.Open),
            self._recent,
            samples,
            None,
            Item("save", tr("&Save"), do.save, Keys.Save),
            Item("save_as", tr("Save &as…"), do.save_as, "Ctrl+Shift+S"),
            Item("left_work", tr("&Unsaved work…"), do.show_left_work, "", left),
            Item("bench_note", tr("No&te on this bench…"), self._do.dialogs.edit_bench_note),
            None,
            Item("import", tr("Import a &line…"), do.choose_and_import, "Ctrl+I", csv),
            Item("export", write_line, do.choose_and_export, "Ctrl+E", table),
            Item("export_plots", save_plots, do.choose_and_export_plots, needs=Needs.PLOTS),
            Item("give_away", tr("Export &without personal data…"), give, "", given),
            None,
            Item("print", tr("&Print…"), shown.print_sheet, Keys.Print, sheet),
            Item("preview", tr("Print pre&view…"), shown.preview_sheet),
            Item("compare", tr("Compar&e on paper…"), shown.compare_on_paper, "", compare),
            Item("before_after", before, shown.preview_before_after, "", after),
            Item("labels", tr("La&bels…"), shown.print_labels, "Ctrl+Shift+P", labels),
            None,
            Item("close", tr("&Close"), self._do.close, "Ctrl+Q"),
        ]

    def _edit(self) -> Rows:
        shown, stack = self._do.shown, self._do.place.document.undo_stack
        table, picture = tr("Copy the readouts as a ta&ble"), tr("Copy the plots as a p&icture")
        select, plots = shown.table(lambda table: table.selectAll()), shown.plots(shown.copy_plots)
        return [
            Item("undo", tr("&Undo"), stack.undo, Keys.Undo),
            Item("redo", tr("&Redo"), stack.redo, REDO),
            None,
            Item("cut", tr("Cu&t"), shown.table(lambda table: table.cut()), Keys.Cut),
            Item("copy", tr("&Copy"), shown.table(lambda table: table.copy()), Keys.Copy),
            self._of_rows("copy_headings"),
            Item("paste", tr("&Paste"), shown.table(lambda table: table.paste()), Keys.Paste),
            Item("select_all", tr("Select &all"), select, Keys.SelectAll),
            self._of_rows("fill_down"),
            None,
            Item(
                "copy_readouts", tr("Copy the r&eadouts"), shown.copy_readouts, needs=Needs.READOUTS
            ),
            Item("copy_readouts_table", table, shown.copy_readouts_table, needs=Needs.READOUTS),
            Item("copy_plots", picture, plots, needs=Needs.PLOTS),
        ]

    def _line(self) -> Rows:
        rack, shown, dialogs = self._do.rack, self._do.shown, self._do.dialogs
        find, where = tr("&Find a weight…"), tr("Where the line weighs so much from the fly end")
        found = shown.plots(shown.find_weight)
        begin = tr("New line from a &goal…")
        begun = tr("Rod, style, weight and length in; a sensible taper out")
        keep, kept = tr("Keep a &version…"), tr("Keep the line as it is now, under a name")
        looping = self._submenu(tr("&Make a rig"))
        looping.aboutToShow.connect(_call(rack.looping.fill_with_all, looping))
        return [
            Item("add_line", tr("&Add a line"), rack.add_line, "Ctrl+Shift+N"),
            Item("begin_line", begin, dialogs.begin_line, "Ctrl+Alt+N", begun),
            Item("duplicate_line", tr("&Duplicate"), rack.duplicate_current),
            Item("rename_line", tr("&Rename"), rack.rename_current),
            Item("describe_line", tr("Name, style and &loops…"), dialogs.describe_line, "Ctrl+L"),
            self._of_rows("reverse_line"),
            Item("keep_version", keep, rack.keep_version, "Ctrl+K", kept),
            looping,
            Item("delete_line", tr("Dele&te"), rack.delete_current),
            None,
            Item("find_weight", find, found, Keys.Find, where, Needs.SEGMENTS),
            Item("next_line", tr("&Next line"), rack.next_line, "Ctrl+PgDown"),
            Item("previous_line", tr("&Previous line"), rack.previous_line, "Ctrl+PgUp"),
        ]

    def _segment(self) -> Rows:
        shown, on_segments = self._do.shown, Needs.SEGMENTS
        stock, keep = tr("Insert from s&tock…"), tr("&Keep as stock…")
        shelf = tr("Keep the material of this segment as stock")
        return [
            self._of_rows("insert_above"),
            self._of_rows("insert_below"),
            self._of_rows("insert_copied"),
            Item("insert_stock", stock, shown.insert_from_stock, needs=on_segments),
            Item("keep_stock", keep, shown.keep_as_stock, "", shelf, on_segments),
            *map(self._of_rows, ("duplicate_rows", "delete_rows", "move_up", "move_down")),
            None,
            *map(self._of_rows, ("split_here", "merge_rows")),
            None,
            *map(
                self._of_rows,
                ("lock_cells", "lock_rows", "lock_columns", "tie_cells", "bound_cell"),
            ),
            None,
            *map(self._of_rows, ("edit_core", "edit_joint")),
        ]

    def _rod_and_water(self) -> Rows:
        dialogs = self._do.dialogs
        return [
            Item("edit_rods", tr("&Rods…"), dialogs.edit_rods, "Ctrl+R"),
            Item("edit_water", tr("&Water…"), dialogs.edit_water, "Ctrl+W"),
        ]

    def _view(self, pages: Sequence[Entry]) -> Rows:
        settings, theme = self._do.place.settings, self._do.place.theme
        rows: list[Item | QAction | QMenu | None] = []
        for number, page in enumerate(pages, 1):
            if number > 1 and page.group != pages[number - 2].group:
                rows.append(None)
            turn = _call(self._do.turn_to, page.key)
            keys = f"Ctrl+{number}" if number < 10 else ""
            rows.append(Item(f"page_{page.key}", tr(page.name), turn, keys, tr(page.tip)))
        bench = Item(
            "bench_view",
            tr("Bench &view"),
            self._do.shown.show_bench_view,
            "F11",
            tr("The step that is due on the whole screen, to be read from two metres"),
            Needs.BENCH_VIEW,
        )
        sink = self._switch(
            "show_sink",
            tr("Show the sin&k-rate plot"),
            lambda: settings.sink_shown,
            settings.show_sink,
            settings.sink_shown_changed,
        )
        head = self._switch(
            "head_only",
            tr("Hea&d only"),
            lambda: settings.head_only,
            settings.show_head_only,
            settings.head_only_changed,
            "Ctrl+Shift+H",
            tr("Leave out of the plots what is behind the head: handling and running line"),
        )
        units = self._choices(
            tr("&Units"),
            (
                ("units_us", tr("Feet, inches, grains"), System.US, "Ctrl+Shift+U"),
                ("units_metric", tr("Metres, millimetres, grams"), System.METRIC, "Ctrl+U"),
            ),
            lambda: settings.system,
            self._do.use_system,
            settings.units_changed,
        )
        weight = self._choices(
            tr("A &typed weight moves"),
            (
                ("solve_density", tr("Density"), Solve.DENSITY, ""),
                ("solve_diameter", tr("Diameter"), Solve.DIAMETER, ""),
            ),
            lambda: settings.solve,
            settings.use_solve,
            settings.solve_changed,
        )
        joined = self._switch(
            "ends_joined",
            tr("Keep ends &joined"),
            lambda: settings.joins_ends,
            settings.join_ends,
            settings.ends_changed,
            "Ctrl+Shift+J",
            tr("Where two segments meet at one diameter, both ends take up another"),
        )
        colours = self._choices(
            tr("T&heme"),
            (
                ("theme_system", tr("As the system"), Colours.SYSTEM, ""),
                ("theme_light", tr("Light"), Colours.LIGHT, ""),
                ("theme_dark", tr("Dark"), Colours.DARK, ""),
            ),
            lambda: theme.choice,
            theme.choose,
            theme.changed,
        )
        show_all = self._do.shown.plots(lambda plots: plots.reset_view())
        tip = tr("See the whole line in the plots; there, the key 0 does so")
        whole = Item("zoom_all", tr("See all o&f it"), show_all, "", tip, Needs.PLOTS)
        larger = tr("Write everything larger, beyond what the system asks for")
        plus = (QKeySequence("Ctrl++"), QKeySequence("Ctrl+="))
        letters = (
            Item("larger", tr("La&rger"), _call(theme.zoom_by, 1), plus, larger),
            Item("smaller", tr("Sma&ller"), _call(theme.zoom_by, -1), "Ctrl+-"),
            Item("usual_size", tr("As lar&ge as the system"), _call(theme.use_zoom, 100), "Ctrl+0"),
        )
        shown = (bench, whole, head, sink)
        return [*rows, None, *shown, None, *letters, None, units, weight, joined, colours]

    def _help(self) -> Rows:
        dialogs, how = self._do.dialogs, tr("&How the figures are worked out")
        keys = tr("Every key, and what the mouse does on the plots of this page")
        return [
            Item("welcome", tr("&Welcome"), self._do.welcome.greet),
            Item("keys", tr("&Keys and mouse"), self._show_keys, Keys.HelpContents, keys),
            Item("methods", how, dialogs.show_methods),
            Item("cautions", tr("&Cautions"), dialogs.show_cautions),
            Item("about", tr("&About Taperlab"), dialogs.show_about),
        ]

    def _of_rows(self, name: str) -> Item:
        command = ROW_COMMANDS[name]
        act, text, tip = self._do.shown.segments(name), tr(command.text), tr(command.tip)
        return Item(name, text, act, command.keys, tip, Needs.SEGMENTS)

    # -- the list of keys -----------------------------------------------------------------------

    def key_help(self) -> list[HelpGroup]:
        """Every key of the page that is shown, and what the mouse does, by where it does so."""
        found = [
            HelpGroup(each.title().replace("&", ""), _help_of(each.actions()))
            for each in self._titled
        ]
        found.append(HelpGroup(tr("Anywhere"), _help_of(self._anywhere)))
        table = self._page.current_table() if self._page is not None else None
        if table is not None:
            found.append(HelpGroup(tr("Keys in the table"), table.key_help))
        plots = self._page.plots if self._page is not None else None
        if plots is not None:
            found += [
                HelpGroup(tr("Keys on the plots"), plots.key_help),
                HelpGroup(tr("The mouse on the plots"), plots.mouse_help),
                HelpGroup(tr("The mouse on a ring of the plots"), plots.ring_help),
            ]
        if self._page is not None:
            found.append(HelpGroup(tr("The large figures"), self._page.figure_help))
            found += self._page.more_help
        found.append(HelpGroup(tr("The list of lines"), self._do.rack.view.help))
        return [each for each in found if each.rows]

    def _show_keys(self) -> None:
        self._do.shown.show_keys(self.key_help())

    # -- what it is made into -------------------------------------------------------------------

    def follow(self, page: Page) -> None:
        """Grey what is of no use on the page that is shown now."""
        self._page = page
        met = {needs: needs.are_met_by(page) for needs in Needs}
        for name, needs in self._needs.items():
            self.actions[name].setEnabled(met[needs])
        page.take_offers(self._offers(PLOT_OFFERS), self._offers(FIGURE_OFFERS))

    def _offers(self, names: Sequence[str]) -> list[QAction]:
        """Those of some commands that are of use on the page that is shown."""
        return [self.actions[name] for name in names if self.actions[name].isEnabled()]

    def _show_steps(self) -> None:
        document, system = self._do.place.document, self._do.place.system
        for name, words, step in (
            ("undo", tr("&Undo {step}"), document.undo_text),
            ("redo", tr("&Redo {step}"), document.redo_text),
        ):
            said, action = render(step, system), self.actions[name]
            action.setText(words.format(step=said.replace("&", "&&")).strip())
            action.setToolTip(words.replace("&", "").format(step=said).strip())
            action.setEnabled(bool(step))
        if self._page is not None:
            self.follow(self._page)  # an edit may have begun or ended what a command is for

    def _fill_recent(self) -> None:
        self._recent.clear()
        for name in self._do.place.settings.preferences.recent_files:
            action = self._recent.addAction(Path(name).name.replace("&", "&&"))
            action.setData(name)
            action.setToolTip(name)
            action.setStatusTip(name)
        self._recent.setEnabled(not self._recent.isEmpty())

    def _submenu(self, title: str) -> QMenu:
        return QMenu(title, self._window.menuBar())

    def _add(self, menu: QMenu, row: Item | QAction | QMenu | None) -> None:
        if row is None:
            menu.addSeparator()
        elif isinstance(row, QMenu):
            menu.addMenu(row)
        else:
            menu.addAction(self._command(row) if isinstance(row, Item) else row)

    def _command(self, item: Item) -> QAction:
        action = self.actions[item.name] = QAction(item.text, self._window)
        if isinstance(item.keys, str):
            action.setShortcut(QKeySequence(item.keys))
        else:
            action.setShortcuts(item.keys)
        action.setIconText(plain(item.text))  # in the list of keys: an undo without its step
        tip, keys = item.tip or plain(item.text), native(action.shortcut())
        action.setToolTip(f"{tip} ({keys})" if keys else tip)
        action.setStatusTip(item.tip)
        action.triggered.connect(_call(item.act))
        if item.needs is not Needs.NOTHING:
            self._needs[item.name] = item.needs
        return action

    def _switch(
        self,
        name: str,
        text: str,
        is_on: Callable[[], bool],
        switch: Callable[[bool], object],
        changed: SignalInstance,
        keys: str = "",
        tip: str = "",
    ) -> QAction:
        """A command that is on or off, for the plots of a line."""
        action = self._command(Item(name, text, lambda: None, keys, tip, Needs.SEGMENTS))
        action.setCheckable(True)
        action.setChecked(is_on())
        action.toggled.connect(switch)
        changed.connect(lambda: action.setChecked(is_on()))
        return action

    def _choices(
        self,
        title: str,
        choices: Sequence[tuple[str, str, object, str]],
        chosen: Callable[[], object],
        choose: Callable[[Any], object],
        changed: SignalInstance,
    ) -> QMenu:
        """A submenu of which one is always chosen: name, text, value and keys of each."""
        menu = self._submenu(title)
        group = QActionGroup(menu)
        made = []
        for name, text, value, keys in choices:
            action = self.actions[name] = menu.addAction(text)
            action.setCheckable(True)
            action.setShortcut(QKeySequence(keys))
            action.triggered.connect(_call(choose, value))
            group.addAction(action)
            made.append((action, value))

        def show() -> None:
            for action, value in made:
                action.setChecked(value is chosen())

        changed.connect(show)
        show()
        return menu


def _help_of(actions: Sequence[QAction]) -> tuple[Help, ...]:
    """Rows for commands that have keys, those of submenus after those of their menu."""
    rows, inner = [], []
    for action in actions:
        submenu = action.menu()
        if isinstance(submenu, QMenu):
            title = submenu.title().replace("&", "")
            named = tr("{menu}: {entry}")
            inner += [
                Help(row.how, named.format(menu=title, entry=row.does))
                for row in _help_of(submenu.actions())
            ]
        else:
            keys = [each for each in action.shortcuts() if not _is_rare(each)]
            rows += [help_on(keys, plain(action.iconText()))] if keys else []
    return *rows, *inner


def _is_rare(keys: QKeySequence) -> bool:
    """Whether few keyboards have it: those for multimedia, and those with more than F12."""
    key = keys[0].key()  # type: ignore[index]  # it can be, though it is not written so
    return bool(key >= Qt.Key.Key_Back or Qt.Key.Key_F13 <= key <= Qt.Key.Key_F35)


def _call(act: Callable[..., object], *arguments: object) -> Callable[..., None]:
    """A call without the "checked" that Qt hands on."""

    def call(*_checked: object) -> None:
        act(*arguments)

    return call
