"""Menus and shortcuts: one table of actions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu

from taperlab.edits.edited import Solve
from taperlab.files.preferences import Theme as Choice
from taperlab.gui.kit.weak_call import WeakCall
from taperlab.units.kinds import System

if TYPE_CHECKING:
    from taperlab.gui.frame.window import Window

Keys = QKeySequence.StandardKey


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of a menu."""

    name: str
    text: str
    act: Callable[[], object]
    keys: object = None
    tip: str = ""


def build_menus(window: Window) -> dict[str, QAction]:
    """Fill the window's menu bar; the actions by name, for toolbars and tests."""
    made: dict[str, QAction] = {}
    bar = window.menuBar()
    table = window.shape.table
    rack = window.rack

    file = bar.addMenu("&File")
    _add(
        window,
        made,
        file,
        [
            Item("new", "&New bench", window.file_menu.new_bench, Keys.New),
            Item("open", "&Open…", window.file_menu.choose_and_open, Keys.Open),
        ],
    )
    window.recent_menu = file.addMenu("Open &recent")
    samples = file.addMenu("Open a sa&mple")
    for name, text in SAMPLES:
        samples.addAction(text).setData(name)
    samples.triggered.connect(lambda action: window.file_menu.open_sample(action.data()))
    file.addSeparator()
    _add(
        window,
        made,
        file,
        [
            Item("save", "&Save", window.file_menu.save, Keys.Save),
            Item("save_as", "Save &as…", window.file_menu.save_as, QKeySequence("Ctrl+Shift+S")),
            Item("bench_note", "No&te on this bench…", window.dialogs.edit_bench_note),
            None,
            Item(
                "import",
                "Read in a &line…",
                window.file_menu.choose_and_import,
                QKeySequence("Ctrl+I"),
                "Read a line in from a CSV or TSV table",
            ),
            Item(
                "export",
                "&Write the line as a table…",
                window.file_menu.choose_and_export,
                QKeySequence("Ctrl+E"),
                "Write the line in hand as CSV",
            ),
            Item(
                "export_plots",
                "Save the plots as a p&icture…",
                window.file_menu.choose_and_export_plots,
            ),
            None,
            Item("print", "&Print…", window.dialogs.print_sheet, Keys.Print),
            Item("preview", "Print pre&view…", window.dialogs.preview_sheet),
            Item(
                "print_cut",
                "Print the cut-&back…",
                window.dialogs.print_cut_back,
                tip="Print the plan, the log and the cautions of the cut-back of this line",
            ),
            None,
            Item("close", "&Close", window.close, QKeySequence("Ctrl+Q")),
        ],
    )

    edit = bar.addMenu("&Edit")
    edit.aboutToShow.connect(window.commit)
    for name, action in (
        ("undo", window.document.undo_action),
        ("redo", window.document.redo_action),
    ):
        action.setShortcuts(Keys.Undo if name == "undo" else Keys.Redo)
        edit.addAction(action)
        made[name] = action
    edit.addSeparator()
    _add(
        window,
        made,
        edit,
        [
            Item("cut", "Cu&t", lambda: window.to_table("cut"), Keys.Cut),
            Item("copy", "&Copy", lambda: window.to_table("copy"), Keys.Copy),
            Item(
                "copy_headings",
                "Copy with &headings",
                table.copy_with_headings,
                QKeySequence("Ctrl+Shift+C"),
            ),
            Item("paste", "&Paste", lambda: window.to_table("paste"), Keys.Paste),
            Item(
                "select_all",
                "Select &all",
                lambda: window.to_table("select_all"),
                Keys.SelectAll,
            ),
            Item("fill_down", "&Fill down", table.fill_down, QKeySequence("Ctrl+D")),
            None,
            Item("copy_readouts", "Copy the r&eadouts", lambda: window.copy_readouts(table=False)),
            Item(
                "copy_readouts_table",
                "Copy the readouts as a ta&ble",
                lambda: window.copy_readouts(table=True),
            ),
            Item("copy_plots", "Copy the plots as a p&icture", window.shape.plots.copy_picture),
        ],
    )

    line = bar.addMenu("&Line")
    _add(
        window,
        made,
        line,
        [
            Item("add_line", "&Add a line", rack.add_line, QKeySequence("Ctrl+Shift+N")),
            Item("duplicate_line", "&Duplicate", rack.duplicate_current),
            Item("rename_line", "&Rename", rack.rename_current),
            Item(
                "describe_line",
                "Name, style and &loops…",
                window.dialogs.describe_line,
                QKeySequence("Ctrl+L"),
            ),
            Item(
                "reverse_line",
                "Reverse",
                table.reverse_line,
                QKeySequence("Ctrl+Shift+R"),
                "Turn the line end for end",
            ),
            Item("delete_line", "Dele&te", rack.delete_current),
            None,
            Item(
                "find_weight",
                "&Find a weight…",
                window.dialogs.find_weight,
                QKeySequence.StandardKey.Find,
                "Where the line weighs so much from the fly end",
            ),
            Item("next_line", "&Next line", window.next_line, QKeySequence("Ctrl+PgDown")),
            Item(
                "previous_line", "&Previous line", window.previous_line, QKeySequence("Ctrl+PgUp")
            ),
        ],
    )

    segment = bar.addMenu("&Segment")
    _add(
        window,
        made,
        segment,
        [
            Item("insert_above", "Insert &above", table.insert_above, QKeySequence("Ctrl+Shift+I")),
            Item(
                "insert_below",
                "Insert",
                table.insert_below,
                QKeySequence("Ctrl+Return"),
                "Insert a segment below this one",
            ),
            Item("insert_stock", "Insert from s&tock…", window.dialogs.insert_from_stock),
            Item(
                "keep_stock",
                "&Keep as stock…",
                window.dialogs.keep_as_stock,
                None,
                "Put the material of this segment on the shelf",
            ),
            Item("duplicate_rows", "Dup&licate", table.duplicate_rows),
            Item("delete_rows", "&Delete", table.delete_rows, QKeySequence("Ctrl+Backspace")),
            Item("move_up", "Move &up", table.move_up, QKeySequence("Ctrl+Shift+Up")),
            Item("move_down", "Move do&wn", table.move_down, QKeySequence("Ctrl+Shift+Down")),
            None,
            Item(
                "split_here",
                "Split…",
                table.split_here,
                QKeySequence("Ctrl+T"),
                "Split the segment at a distance",
            ),
            Item(
                "merge_rows",
                "Merge",
                table.merge_rows,
                QKeySequence("Ctrl+M"),
                "Make one segment of those selected",
            ),
            None,
            Item("edit_core", "&Core and coating…", table.edit_core),
            Item("edit_joint", "&Joint to the next…", table.edit_joint, QKeySequence("Ctrl+J")),
        ],
    )

    rod = bar.addMenu("&Rod and water")
    _add(
        window,
        made,
        rod,
        [
            Item("edit_rods", "&Rods…", window.dialogs.edit_rods, QKeySequence("Ctrl+R")),
            Item("edit_water", "&Water…", window.dialogs.edit_water, QKeySequence("Ctrl+W")),
        ],
    )

    view = bar.addMenu("&View")
    for i, (key, page) in enumerate(PAGES):
        if key in window.pages:
            _add(
                window,
                made,
                view,
                [
                    Item(
                        f"page_{key}",
                        page,
                        WeakCall(window.turn_to, key),
                        QKeySequence(f"Ctrl+{i + 1}"),
                    )
                ],
            )
    view.addSeparator()
    _add(
        window,
        made,
        view,
        [Item("zoom_all", "Whole &line", window.shape.plots.reset_view, QKeySequence("Ctrl+0"))],
    )
    sink = view.addAction("Show the sin&k-rate plot")
    sink.setCheckable(True)
    sink.setChecked(window.settings.sink_shown)
    sink.toggled.connect(window.settings.show_sink)
    made["show_sink"] = sink
    _choices(
        view.addMenu("&Units"),
        made,
        [
            ("units_us", "Feet, inches, grains", System.US),
            ("units_metric", "Metres, millimetres, grams", System.METRIC),
        ],
        window.settings.system,
        window.use_system,
    )
    made["units_us"].setShortcut(QKeySequence("Ctrl+Shift+U"))
    made["units_metric"].setShortcut(QKeySequence("Ctrl+U"))
    _choices(
        view.addMenu("A &typed weight moves"),
        made,
        [
            ("solve_density", "Density", Solve.DENSITY),
            ("solve_diameter", "Diameter", Solve.DIAMETER),
        ],
        window.settings.solve,
        window.settings.use_solve,
    )
    _choices(
        view.addMenu("T&heme"),
        made,
        [
            ("theme_system", "As the system", Choice.SYSTEM),
            ("theme_light", "Light", Choice.LIGHT),
            ("theme_dark", "Dark", Choice.DARK),
        ],
        window.theme.choice,
        window.use_theme,
    )

    help_menu = bar.addMenu("&Help")
    _add(
        window,
        made,
        help_menu,
        [
            Item("welcome", "&Welcome", lambda: window.welcome(again=True)),
            Item(
                "methods",
                "&How the figures are worked out",
                window.dialogs.show_methods,
                Keys.HelpContents,
            ),
            Item("cautions", "&Cautions", window.dialogs.show_cautions),
            Item("about", "&About Taperlab", window.dialogs.show_about),
        ],
    )
    return made


SAMPLES = (
    ("scandi.taperlab", "Scandi head"),
    ("skagit.taperlab", "Skagit head with tips"),
    ("long_belly.taperlab", "Long belly with its running line"),
    ("single_hand.taperlab", "Single-hand line"),
    ("cut_back.taperlab", "Cut-back half done"),
    ("measured_head.taperlab", "A customer’s head on the scale"),
)

SEGMENT_ACTIONS = (
    "copy_headings",
    "fill_down",
    "reverse_line",
    "insert_above",
    "insert_below",
    "insert_stock",
    "keep_stock",
    "duplicate_rows",
    "delete_rows",
    "move_up",
    "move_down",
    "split_here",
    "merge_rows",
    "edit_core",
    "edit_joint",
    "find_weight",
    "zoom_all",
)
"""What acts on the table and plots of the Shape page, and is of no use elsewhere."""

PAGES = (("shape", "&Shape"), ("measure", "&Measure"), ("cut", "&Cut back"))


def _add(window: Window, made: dict[str, QAction], menu: QMenu, items: list[Item | None]) -> None:
    for item in items:
        if item is None:
            menu.addSeparator()
            continue
        action = QAction(item.text, window)
        if item.keys is not None:
            action.setShortcuts(item.keys) if isinstance(item.keys, Keys) else action.setShortcut(
                item.keys
            )
        tip = item.tip or item.text.replace("&", "")
        keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
        action.setToolTip(f"{tip} ({keys})" if keys else tip)
        action.triggered.connect(item.act)
        menu.addAction(action)
        made[item.name] = action


def _choices(
    menu: QMenu,
    made: dict[str, QAction],
    choices: list[tuple[str, str, object]],
    current: object,
    act: Callable[[object], object],
) -> None:
    # By name: Qt gives back plain text for a value that is text of a kind of its own.
    values = {name: value for name, _, value in choices}
    group = QActionGroup(menu)
    for name, text, value in choices:
        action = menu.addAction(text)
        action.setCheckable(True)
        action.setChecked(value is current)
        action.setData(name)
        group.addAction(action)
        made[name] = action
    group.triggered.connect(lambda action: act(values[action.data()]))
