"""The window: pages at the left, the page in the middle, menus above, a status line below."""

from __future__ import annotations

import json
from pathlib import Path

from PySide6.QtCore import QByteArray, QEvent, QSize, Qt
from PySide6.QtGui import (
    QCloseEvent,
    QDragEnterEvent,
    QDropEvent,
    QKeyEvent,
    QResizeEvent,
    QStatusTipEvent,
)
from PySide6.QtWidgets import QApplication, QMainWindow, QPushButton, QToolButton, QWidget

from taperlab.edits.edited import Solve
from taperlab.files.preferences import Theme as Choice
from taperlab.files.presence import Presence
from taperlab.gui.dialogs.opening import Dialogs
from taperlab.gui.frame.file_menu import FileMenu
from taperlab.gui.frame.menus import Doers, Menus
from taperlab.gui.frame.on_page import OnPage
from taperlab.gui.frame.page_list import PageList
from taperlab.gui.frame.page_stack import PageStack
from taperlab.gui.frame.rack import Rack
from taperlab.gui.frame.status import StatusLine
from taperlab.gui.frame.welcome import Welcome
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.banner import Banner, BannerColumn
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.outcome_words import outcome_sentence
from taperlab.gui.kit.reading_order import use_reading_order
from taperlab.gui.kit.room import EDGES, bring_into_sight
from taperlab.gui.kit.theme import px, usual
from taperlab.gui.kit.widgets import in_column, in_row, scrolling
from taperlab.gui.pages import catalogue
from taperlab.gui.state.bench_file import BenchFile
from taperlab.gui.state.document import Change, Document, Outcome, Reason
from taperlab.gui.state.jobs import Jobs
from taperlab.gui.state.settings import Settings
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

SIDEBARS = ((0, 150), (1100, 192), (1600, 232))
"""From which width of the window on the column at the left is how wide, for usual letters [px]."""

LEAST = QSize(600, 360)
"""A window is no smaller, for usual letters, unless the screen is [px]."""


_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class Window(QMainWindow):
    """One bench in one window: puts the parts together, and is the host of pages and dialogs."""

    def __init__(
        self,
        settings: Settings,
        theme: theming.Theme,
        presence: Presence | None = None,
        *,
        name: str = "window-1",
    ) -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setAcceptDrops(True)
        self._entered: QWidget | None = None
        self.settings = settings
        self.theme = theme
        self.document = Document(parent=self)
        self.jobs = Jobs(self)
        self.file = BenchFile(self.document, presence, name)
        self.status = StatusLine(settings)
        self.banners = BannerColumn()
        self._whole: Banner | None = None  # what the status line had no room for
        self._unkept_banner: Banner | None = None
        self.welcome = Welcome(self.banners, settings)
        self.place = Workplace(self.document, settings, theme, self.jobs, self)
        self.pages = PageStack(self.place, catalogue.PAGES)
        self.page_list = PageList(catalogue.PAGES, theme)
        self.rack = Rack(self.place)
        self.dialogs = Dialogs(self.place)
        self.file_menu = FileMenu(self.place, self.file, self.pages, self.banners)
        doers = Doers(
            self.place,
            self.file_menu,
            self.dialogs,
            self.rack,
            OnPage(self.place, self.pages),
            self.welcome,
            self.turn_to,
            self.use_system,
            self.close,
        )
        self.menus = Menus(self, doers, catalogue.PAGES)
        self._lay_out()
        self._connect()
        self._restore()
        self._show_title()

        if isinstance(app := QApplication.instance(), QApplication):
            app.focusChanged.connect(self._focus_moved)

    def _lay_out(self) -> None:
        self._listed = QWidget()
        in_column(self.page_list, (self.rack, 1), spacing=14, of=self._listed)
        self._left = scrolling(self._listed, tr("Pages and lines"))
        middle = in_column(self.banners, (self.pages, 1), spacing=12)
        whole = QWidget()
        whole.setObjectName("page")
        row = in_row(self._left, middle, spacing=12, of=whole)
        row.setContentsMargins(12, 6, 12, 2)
        row.setStretch(1, 1)
        self.setCentralWidget(whole)
        self.setStatusBar(self.status)

    def _connect(self) -> None:
        self.page_list.asked.connect(self.show_page)
        self.pages.turned.connect(self._turned)
        self.document.changed.connect(self._changed)
        self.document.file_changed.connect(self._show_title)
        self.theme.changed.connect(self._theme_changed)
        self.file.problem.connect(self.show_problem)
        self.file.shared.connect(self._shared)
        self.file.opened.connect(self._opened)
        self.file.unkept.connect(self._unkept)
        self.file_menu.arrived.connect(self._arrived)
        self.rack.edit_line.connect(self.dialogs.describe_line)
        self.rack.edit_rig.connect(self.dialogs.describe_rig)
        self.status.solve_button.clicked.connect(self._other_solve)
        self.status.units_button.clicked.connect(self._other_system)

    # -- what pages and dialogs ask -----------------------------------------------------------

    @property
    def parent_widget(self) -> QWidget:
        """What dialogs belong to."""
        return self

    def say(self, sentence: Sentence) -> None:
        """Show a sentence in the status line for a while."""
        self.status.say(sentence)

    def say_problem(self, sentence: Sentence) -> None:
        """Show in the status line why something was not done; all of it above, if it is long."""
        if not sentence:
            return
        self.status.say(sentence, "bad")
        if self._whole is not None:
            self._whole.dismiss()
        if not self.status.has_room(sentence):
            self._whole = self.show_problem(sentence)
            self._whole.dismissed.connect(self._whole_is_gone)

    def _whole_is_gone(self) -> None:
        self._whole = None

    def show_problem(self, sentence: Sentence) -> Banner:
        """Show a sentence that must not be missed, until it is dismissed."""
        return self.banners.show_banner(self.place.read(sentence), [(tr("OK"), None)], grave=True)

    def tell(self, outcome: Outcome) -> None:
        """Say what became of an edit: the step and what it moved, or why it was refused."""
        sentence = outcome_sentence(outcome, self.settings.system)
        if outcome.refused:
            self.say_problem(sentence)
        elif sentence:
            self.say(sentence)
            if self._whole is not None:
                self._whole.dismiss()  # what was in the way is not any more

    def commit(self) -> None:
        """Take over what is being typed, in the list of lines or on the page that is shown."""
        self.rack.view.commit()
        self.pages.commit()

    def show_page(self, key: str, lines: tuple[str, ...] = ()) -> None:
        """Turn to a page, and have it look at these lines, from the fly end, if it can."""
        self.commit()
        self.document.look(page=key)
        if lines:
            self.pages.current.look_at(lines)

    def open_file(self, path: Path) -> bool:
        """Open a bench, once the one in hand may be left; a large file is still being read."""
        return self.file_menu.open_path(path)

    # -- what is done -------------------------------------------------------------------------

    def turn_to(self, key: str) -> None:
        """Turn to a page, and put the keys where its work is done."""
        self.show_page(key)
        self.pages.take_keys()

    def choose(
        self, line: str | None, page: str | None, system: System | None, choice: Choice | None
    ) -> None:
        """Show this line and page, in these units and colours, where they are named."""
        if system is not None:
            self.use_system(system)
        if choice is not None:
            self.theme.choose(choice)
        if page is not None:
            self.show_page(page)
        if line is not None:
            lines = self.document.bench.lines
            found = next((each for each in lines if line in (each.name, each.key)), None)
            if found is not None:
                self.document.look(line=found.key)
            else:
                self.show_problem(Sentence("This bench has no line “{line}”.", line=line))

    def use_system(self, system: System) -> None:
        """Show and read other units; what is being typed was meant in those before."""
        self.commit()
        self.settings.use_system(system)

    def _other_system(self) -> None:
        self.use_system(next(each for each in System if each is not self.settings.system))

    def _other_solve(self) -> None:
        self.settings.use_solve(next(each for each in Solve if each is not self.settings.solve))

    # -- what is shown ------------------------------------------------------------------------

    def _turned(self, key: str) -> None:
        self.page_list.show_page(key)
        self.menus.follow(self.pages.current)

    def _changed(self, change: Change) -> None:
        if change.reason is Reason.UNDO:
            self.say(Sentence("Undone: {step}", step=change.text))
        elif change.reason is Reason.REDO:
            self.say(Sentence("Redone: {step}", step=change.text))

    def _arrived(self, sentence: Sentence) -> None:
        self.welcome.dismiss()
        self.say(sentence)
        self.pages.take_keys()

    def _theme_changed(self) -> None:
        self._use_room()
        self.settings.remember(theme=self.theme.choice, zoom=self.theme.zoom)

    def _opened(self, path: Path) -> None:
        self.settings.use(self.settings.preferences.with_recent(path))

    def _shared(self, sentence: Sentence) -> None:
        self.banners.show_banner(self.place.read(sentence), [(tr("OK"), None)])

    def _unkept(self, why: Sentence) -> None:
        """Say that work is not kept against a crash, until it is again."""
        if self._unkept_banner is not None:
            self._unkept_banner.dismiss()
        if why:
            self._unkept_banner = self.show_unkept(why)
            self._unkept_banner.dismissed.connect(self._forget_unkept)

    def _forget_unkept(self) -> None:
        self._unkept_banner = None

    def show_unkept(self, why: Sentence) -> Banner:
        """Say that work is not kept against a crash, and why."""
        sentence = Sentence(
            "Unsaved work cannot be kept against a crash now, so save often. {why}", why=why
        )
        return self.show_problem(sentence)

    def _show_title(self) -> None:
        self.setWindowTitle(f"{self.document.title}[*] — Taperlab")
        self.setWindowModified(self.document.is_dirty)
        self.setWindowFilePath(str(self.document.path or ""))

    def _restore(self) -> None:
        room = self.screen().availableSize()
        self.resize(
            min(1280, room.width() - EDGES.width()), min(800, room.height() - EDGES.height())
        )
        kept = self.settings.preferences
        if kept.window_geometry:
            self.restoreGeometry(QByteArray.fromBase64(kept.window_geometry.encode()))
        self.pages.use_layouts(_layouts(kept.window_layout))

    def _use_room(self) -> None:
        """Give the column at the left its width, and let the window be as small as it may."""
        width = usual(self.width())
        wide = px(max(wide for least, wide in SIDEBARS if width >= least))
        # Where pages and lines are higher than the window, the bar that scrolls them has room too.
        bar = self._left.verticalScrollBar().sizeHint().width()
        needs = self._listed.minimumSizeHint().width() + bar
        self._left.setFixedWidth(max(wide, needs))
        screen = self.screen().availableGeometry().size() - EDGES
        self.setMinimumSize(QSize(px(LEAST.width()), px(LEAST.height())).boundedTo(screen))

    # -- Qt -----------------------------------------------------------------------------------

    def focusNextPrevChild(self, forward: bool) -> bool:
        """Go as the eye reads, whatever was added or moved, and scroll to where the key went."""
        use_reading_order(self)
        moved = super().focusNextPrevChild(forward)
        now = self.focusWidget()
        if moved and now is not None:
            bring_into_sight(now)
        return moved

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Press the button that has the keys with Enter, as with Space: Qt alone does not."""
        held = self._entered
        if isinstance(held, QPushButton | QToolButton) and event.key() in _ENTER:
            self._entered = None
            if held.menu() is not None:
                held.showMenu()
            else:
                held.click()
            return
        super().keyPressEvent(event)

    def _focus_moved(self) -> None:
        # An Enter that was meant for a field must not press the button that it leads to.
        self._entered = None

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave a page of a narrow window more room."""
        super().resizeEvent(event)
        self._use_room()

    def setVisible(self, visible: bool) -> None:
        """Put the theme's style sheet on before anything is seen."""
        if visible:
            self.theme.dress(self)
        super().setVisible(visible)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask about unsaved edits; remember the window; let go of the file."""
        if not self.file_menu.may_leave():
            event.ignore()
            return
        self.settings.remember(
            window_geometry=bytes(self.saveGeometry().toBase64().data()).decode("ascii"),
            window_layout=json.dumps(self.pages.layouts()),
        )
        self.file.close()
        self.jobs.stop()
        super().closeEvent(event)

    def event(self, event: QEvent) -> bool:
        """Show in the status line what can be done; learn what an Enter is meant for."""
        if isinstance(event, QStatusTipEvent):
            self.status.hint(event.tip())
            return True
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            # Comes ahead of the key itself, when what has the keys is still what it is meant for.
            is_enter = event.key() in _ENTER and not event.isAutoRepeat()
            self._entered = self.focusWidget() if is_enter else None
        return super().event(event)

    def changeEvent(self, event: QEvent) -> None:
        """Learn of others that took the file meanwhile, and of the system's letters."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self.file.look_for_others()
        elif event.type() == QEvent.Type.ThemeChange:
            self.theme.look_at_system()

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


def _layouts(kept: str) -> dict[str, str]:
    """How the pages were laid out; nothing where that is not known, or kept as it once was."""
    try:
        found = json.loads(kept)
    except ValueError:
        return {}
    pages = found.items() if isinstance(found, dict) else ()
    return {key: value for key, value in pages if isinstance(value, str)}
