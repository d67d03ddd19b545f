"""The window: pages at the left, the page in the middle, menus above, a status line below."""

from __future__ import annotations

import contextlib
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QByteArray, QEvent, QSize, Qt, QTimer
from PySide6.QtGui import QAction, QCloseEvent, QDragEnterEvent, QDropEvent, QFont, QGuiApplication
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QMainWindow,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from taperlab.edits.edited import Solve
from taperlab.files.preferences import Preferences, save_preferences
from taperlab.files.presence import Presence
from taperlab.files.problem import FileProblem
from taperlab.gui.frame.file_menu import FileMenu
from taperlab.gui.frame.lazy import LazyPage
from taperlab.gui.frame.menus import SEGMENT_ACTIONS, build_menus
from taperlab.gui.frame.open_dialogs import Dialogs
from taperlab.gui.frame.rack import Rack
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.banner import Banner, BannerColumn
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.outcome_words import outcome_sentence
from taperlab.gui.kit.weak_call import WeakCall
from taperlab.gui.kit.widgets import label, set_role
from taperlab.gui.pages.shape.page import ShapePage
from taperlab.gui.state.bench_file import BenchFile
from taperlab.gui.state.document import Document, Outcome, Reason
from taperlab.gui.state.jobs import Jobs
from taperlab.gui.state.settings import Settings
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence, as_sentence, render

SIDEBAR_WIDTH = 196
MESSAGE_TIME = 8000

EDGES = QSize(12, 44)
"""Pixels of a small screen left to the frame and title that the system puts round a window."""

WELCOME = (
    "Welcome. This is a demo bench from a small river workshop. Change any number in the table, or "
    "drag a ring on the plots: everything answers at once, and Ctrl+Z takes it back. Choose your "
    "rod at the right; lay another line over this one by its mark at the left."
)


class Window(QMainWindow):
    """One bench in one window."""

    def __init__(
        self,
        settings: Settings,
        theme: theming.Theme,
        preferences: Preferences,
        presence: Presence | None = None,
        *,
        name: str = "window-1",
    ) -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setAcceptDrops(True)
        self.setMinimumSize(960, 600)
        self.settings = settings
        self.theme = theme
        self.preferences = preferences
        self.document = Document(parent=self)
        self.jobs = Jobs(self)
        self.file = BenchFile(self.document, presence, name)
        self.file_menu = FileMenu(self)
        self.dialogs = Dialogs(self)

        self.rack = Rack(self.document, settings, theme)
        self.pages: dict[str, QWidget] = {}
        self._page_list = QListWidget()
        self._page_list.setObjectName("pages")
        self._page_list.setAccessibleName("Pages")
        self._page_list.setFont(theming.font(9.5, weight=QFont.Weight.Medium))
        self._page_list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._page_list.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._stack = QStackedWidget()
        self.banners = BannerColumn()
        self._welcome: Banner | None = None
        self._lay_out()

        self.place = Workplace(self.document, settings, theme, self.jobs, self)
        self.shape = ShapePage(self.place)
        self.add_page("shape", "Shape", "Design a head, and see it on a rod", self.shape)
        self.measure = LazyPage(self._make_measure)
        self.add_page(
            "measure", "Measure", "Find out what a real line is, and how sure that is", self.measure
        )

        self.cut_back = LazyPage(self._make_cut_back)
        self.add_page("cut", "Cut back", "Cut a head back to weight, in stages", self.cut_back)

        self._status = label("", role="soft")
        self._solve_button = self._status_button("What gives way when a weight is typed")
        self._units_button = self._status_button("Units shown, and taken for bare numbers")
        self._solve_button.clicked.connect(self._other_solve)
        self._units_button.clicked.connect(self._other_system)
        self.statusBar().addWidget(self._status, 1)
        self.statusBar().addPermanentWidget(self._solve_button)
        self.statusBar().addPermanentWidget(self._units_button)
        self.statusBar().setSizeGripEnabled(False)
        self._quiet = QTimer(self)
        self._quiet.setSingleShot(True)
        self._quiet.setInterval(MESSAGE_TIME)
        self._quiet.timeout.connect(self._show_resting_status)

        self.actions_by_name: dict[str, QAction] = build_menus(self)
        self.shape.header.add_actions(
            [
                self.actions_by_name[each]
                for each in ("insert_below", "split_here", "merge_rows", "reverse_line")
            ]
        )
        self._connect()
        self._restore_window()
        self._show_title()
        self._show_resting_status()
        self._fill_recent()

    # -- layout -------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        left = QWidget()
        left.setFixedWidth(SIDEBAR_WIDTH)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(14)
        column.addWidget(self._page_list)
        column.addWidget(self.rack, 1)
        middle = QVBoxLayout()
        middle.setSpacing(12)
        middle.addWidget(self.banners)
        middle.addWidget(self._stack, 1)
        whole = QWidget()
        whole.setObjectName("page")
        row = QHBoxLayout(whole)
        row.setContentsMargins(12, 6, 12, 2)
        row.setSpacing(12)
        row.addWidget(left)
        row.addLayout(middle, 1)
        self.setCentralWidget(whole)

    def add_page(self, key: str, name: str, tip: str, page: QWidget) -> None:
        """Add a page to the list at the left."""
        self.pages[key] = page
        self._stack.addWidget(page)
        item = QListWidgetItem(name)
        item.setToolTip(tip)
        item.setData(Qt.ItemDataRole.UserRole, key)
        self._page_list.addItem(item)
        height = self._page_list.sizeHintForRow(0) * self._page_list.count() + 4
        self._page_list.setFixedHeight(height)
        if len(self.pages) == 1:
            self._page_list.setCurrentRow(0)

    def _make_measure(self) -> QWidget:
        from taperlab.gui.pages.measure.page import MeasurePage

        page = MeasurePage(self.place)
        page.problem.connect(self.say_problem)
        return page

    def _make_cut_back(self) -> QWidget:
        from taperlab.gui.pages.cut_back.page import CutBackPage

        page = CutBackPage(self.place)
        page.rod_card.edit_rods.connect(self.dialogs.edit_rods)
        page.print_asked.connect(self.dialogs.preview_cut_back)
        page.head_on_bench.connect(self._show_shape)
        return page

    def _show_shape(self) -> None:
        self.show_page("shape")

    def show_page(self, key: str) -> None:
        """Turn to a page."""
        self.commit()
        self.document.look(page=key)

    def turn_to(self, key: str) -> None:
        """Turn to a page, and put the keys where its work is done."""
        self.show_page(key)
        self.take_keys()

    def take_keys(self) -> None:
        """Put the keys where the work of the page that is shown is done."""
        page = self._stack.currentWidget()
        find = getattr(page, "table_in_hand", None)
        target = find() if find is not None else None
        if target is None or not target.isVisibleTo(page):
            target = page.nextInFocusChain()
            while target is not page and not (
                page.isAncestorOf(target)
                and target.isVisibleTo(page)
                and target.isEnabled()
                and target.focusPolicy() & Qt.FocusPolicy.TabFocus
            ):
                target = target.nextInFocusChain()
        target.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def bench_arrived(self, sentence: str) -> None:
        """Another bench is in hand: say which, and go to it."""
        if self._welcome is not None:
            self._welcome.dismiss()
        self.say(sentence)
        self.take_keys()

    def _connect(self) -> None:
        self._page_list.currentItemChanged.connect(self._page_chosen)
        self.document.changed.connect(self._changed)
        self.document.tried.connect(self.tell)
        self.document.file_changed.connect(self._show_title)
        self.file.problem.connect(self.show_problem)
        self.file.shared.connect(self._shared)
        self.file.opened.connect(self._opened)
        self.shape.table.problem.connect(self.say_problem)
        self.shape.table.said.connect(self.say)
        self.shape.header.describe.connect(self.dialogs.describe_line)
        self.shape.rod_card.edit_rods.connect(self.dialogs.edit_rods)
        self.shape.water.edit_water.connect(self.dialogs.edit_water)
        self.rack.edit_line.connect(self.dialogs.describe_line)
        self.settings.units_changed.connect(self._show_resting_status)
        self.settings.solve_changed.connect(self._show_resting_status)
        self.settings.solve_changed.connect(self.remember_choices)
        self.settings.sink_shown_changed.connect(self.remember_choices)

    def _status_button(self, tip: str) -> QToolButton:
        button = QToolButton()
        button.setToolTip(f"{tip}; press for the other")
        button.setAccessibleName(tip)
        button.setFont(theming.font(8.5))
        return button

    def _other_solve(self) -> None:
        other = next(each for each in Solve if each is not self.settings.solve)
        self.actions_by_name[f"solve_{other}"].trigger()

    def _other_system(self) -> None:
        other = next(each for each in System if each is not self.settings.system)
        self.actions_by_name[f"units_{other}"].trigger()

    # -- saying things --------------------------------------------------------------------------

    @property
    def parent_widget(self) -> QWidget:
        """What dialogs belong to."""
        return self

    def say(self, sentence: Sentence | str) -> None:
        """Show a sentence in the status line for a while."""
        self._show_status(sentence, "")

    def say_problem(self, sentence: Sentence | str) -> None:
        """Show in the status line why something was not done."""
        if sentence:
            self._show_status(sentence, "bad")

    def show_problem(self, sentence: Sentence | str) -> None:
        """Show a sentence that must not be missed, until it is dismissed."""
        text = render(as_sentence(sentence), self.settings.system)
        self.banners.show_banner(text, [("All right", None)], grave=True)

    def tell(self, outcome: Outcome) -> None:
        """Say what became of an edit: the step and what it moved, or why it was refused."""
        sentence = outcome_sentence(outcome, self.settings.system)
        if outcome.refused:
            self.say_problem(sentence)
        elif sentence:
            self.say(sentence)

    def _show_status(self, sentence: Sentence | str, role: str) -> None:
        self._status.setText(render(as_sentence(sentence), self.settings.system))
        set_role(self._status, role or "soft")
        self._quiet.start()

    def _show_resting_status(self) -> None:
        units = {"us": "Feet, inches, grains", "metric": "Metres, millimetres, grams"}
        self._units_button.setText(units[self.settings.system])
        self._solve_button.setText(f"A typed weight moves {self.settings.solve}")
        if not self._quiet.isActive():
            self._status.setText("")
            set_role(self._status, "soft")

    # -- the document ---------------------------------------------------------------------------

    def copy_readouts(self, *, table: bool) -> None:
        """Copy the readouts as text, or as a table for a spreadsheet."""
        rows = self.shape.readouts.as_rows()
        if table:
            text = "\n".join("\t".join(row) for row in rows)
        else:
            text = "\n".join(
                f"{name}: {value}" + (f" ({remark})" if remark else "")
                for name, value, remark in rows
            )
        QGuiApplication.clipboard().setText(text)
        self.say("Copied the readouts")

    def to_table(self, method: str) -> None:
        """Do one of the Edit menu's actions on the table of the page that is shown."""
        find = getattr(self._stack.currentWidget(), "table_in_hand", None)
        act = getattr(find() if find is not None else None, method, None)
        if act is not None:
            act()

    def commit(self) -> None:
        """Take over whatever is being typed on any page."""
        for page in self.pages.values():
            page.commit()

    # -- what the menus do -----------------------------------------------------------------------

    def next_line(self) -> None:
        """Take the next line of the rack in hand."""
        self._step_line(1)

    def previous_line(self) -> None:
        """Take the line before in hand."""
        self._step_line(-1)

    def _step_line(self, step: int) -> None:
        lines, line = self.document.bench.lines, self.document.line
        if line:
            self.commit()
            self.document.look(line=lines[(lines.index(line) + step) % len(lines)].key)

    def use_system(self, system: object) -> None:
        """Show and read the other units, and remember it."""
        self.commit()
        self.settings.use_system(system)
        self.remember_choices()

    def use_theme(self, choice: object) -> None:
        """Change the theme, and remember it."""
        self.theme.choose(choice)
        self.remember_choices()

    # -- first start and recovery ---------------------------------------------------------------

    def welcome(self, *, again: bool = False) -> Banner | None:
        """Show the short welcome, once unless asked for again."""
        if self.preferences.welcome_seen and not again:
            return None
        if self._welcome is None:
            self._welcome = self.banners.show_banner(WELCOME, [("Got it", self._welcome_seen)])
            self._welcome.dismissed.connect(self._welcome_gone)
        return self._welcome

    def _welcome_gone(self) -> None:
        self._welcome = None

    def _welcome_seen(self) -> None:
        self.remember(replace(self.preferences, welcome_seen=True))

    def _shared(self, sentence: str) -> None:
        self.banners.show_banner(sentence, [("All right", None)])

    # -- Qt -------------------------------------------------------------------------------------

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask about unsaved edits; remember the window; let go of the file."""
        if not self.file_menu.may_leave():
            event.ignore()
            return
        self.remember(
            replace(
                self.preferences,
                window_geometry=bytes(self.saveGeometry().toBase64()).decode("ascii"),
                window_layout=bytes(self.shape.splitter.saveState().toBase64()).decode("ascii"),
            )
        )
        self.file.close()
        self.jobs.stop()
        super().closeEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Whoever comes back to this window learns of others that took its file meanwhile."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self.file.look_for_others()

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """Take files."""
        if any(url.isLocalFile() for url in event.mimeData().urls()):
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the files dropped: a bench, or lines from tables."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        event.acceptProposedAction()
        for path in paths:
            self.file_menu.open_path(path)

    def _page_chosen(self, item: QListWidgetItem | None) -> None:
        if item:
            self.show_page(item.data(Qt.ItemDataRole.UserRole))

    def _changed(self, change: object) -> None:
        key = self.document.bench.view.page
        key = key if key in self.pages else next(iter(self.pages))
        page = self.pages[key]
        if self._stack.currentWidget() is not page:
            self._stack.setCurrentWidget(page)
        row = list(self.pages).index(key)
        if self._page_list.currentRow() != row:
            self._page_list.setCurrentRow(row)
        for name in SEGMENT_ACTIONS:
            self.actions_by_name[name].setEnabled(key == "shape")
        if change.reason is Reason.UNDO:
            self.say(Sentence("Undid: {step}", step=change.text))
        elif change.reason is Reason.REDO:
            self.say(Sentence("Did again: {step}", step=change.text))

    def _show_title(self) -> None:
        self.setWindowTitle(f"{self.document.title}[*] — Taperlab")
        self.setWindowModified(self.document.is_dirty)
        self.setWindowFilePath(str(self.document.path or ""))

    def _opened(self, path: Path) -> None:
        self.remember(self.preferences.with_recent(path))

    def remember(self, preferences: Preferences) -> None:
        """Keep a person's choices, those made in this window among them."""
        self.preferences = replace(
            preferences,
            system=self.settings.system,
            solve=self.settings.solve,
            sink_shown=self.settings.sink_shown,
            theme=self.theme.choice,
        )
        with contextlib.suppress(FileProblem):  # a choice forgotten is no loss worth a message
            save_preferences(self.preferences)
        self._fill_recent()

    def remember_choices(self) -> None:
        """Remember units, theme and the like."""
        self.remember(self.preferences)

    def _fill_recent(self) -> None:
        menu = getattr(self, "recent_menu", None)
        if menu is None:
            return
        menu.clear()
        for name in self.preferences.recent_files:
            path = Path(name)
            action = menu.addAction(path.name, WeakCall(self.file_menu.open_path, path))
            action.setToolTip(name)
            action.setStatusTip(name)
        menu.setEnabled(bool(self.preferences.recent_files))

    def _restore_window(self) -> None:
        room = self.screen().availableSize()
        self.resize(
            min(1280, room.width() - EDGES.width()), min(800, room.height() - EDGES.height())
        )
        if self.preferences.window_geometry:
            self.restoreGeometry(QByteArray.fromBase64(self.preferences.window_geometry.encode()))
        if self.preferences.window_layout:
            self.shape.splitter.restoreState(
                QByteArray.fromBase64(self.preferences.window_layout.encode())
            )
