"""Starting the window: fonts, theme, last resort, then the bench."""

from __future__ import annotations

import contextlib
import gc
import sys
from pathlib import Path

from PySide6.QtCore import QTimer

from taperlab.files.folders import log_folder
from taperlab.files.preferences import Preferences, Theme, change_preferences, load_preferences
from taperlab.files.presence import Presence
from taperlab.files.problem import FileProblem
from taperlab.gui.frame.display import what_is_missing
from taperlab.gui.frame.ending import EndOnSignal, status_of
from taperlab.gui.frame.errors import LastResort
from taperlab.gui.frame.window import Window
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.application import Application, make_application
from taperlab.gui.state.settings import Settings
from taperlab.units.kinds import System


def make_window(
    preferences: Preferences, presence: Presence | None = None, *, keeps: bool = True
) -> Window:
    """A window with its own settings and theme, not yet shown, holding no bench.

    keeps: whether choices are written to the preferences file as soon as one changes.
    """
    settings = Settings(preferences, _keep if keeps else None)
    theme = theming.Theme(preferences.theme, preferences.zoom)
    theme.prepare()
    window = Window(settings, theme, presence)
    settings.setParent(window)
    theme.setParent(window)
    window.destroyed.connect(theme.disconnect_from_system)
    return window


def _keep(before: Preferences, after: Preferences) -> None:
    with contextlib.suppress(FileProblem):  # a choice forgotten is no loss worth a message
        change_preferences(before, after)


SWEEP_AFTER = 3000
"""Milliseconds after the start until leftovers of ended runs are swept: nobody waits for it."""


def run_window(
    path: Path | None,
    *,
    line: str | None = None,
    page: str | None = None,
    system: System | None = None,
    theme: Theme | None = None,
) -> int:
    """Open the window on a file, or on the demo bench, and run until it is closed.

    line, page: what to show of it, by name or key. system, theme: chosen from now on.
    Raises FileProblem where there is no display to open it on.
    """
    if missing := what_is_missing():
        raise FileProblem(missing)
    app = make_application()
    preferences = load_preferences()
    presence, hindrance = None, None
    try:
        presence = Presence.enter()
    except FileProblem as problem:
        hindrance = problem.sentence  # no recovery copies, but the work goes on
    window = make_window(preferences, presence)
    sys.excepthook = LastResort(window.file.keep_copy, log_folder(), window).take
    if path is None:
        window.file_menu.open_demo()
        window.welcome.greet_once()
    elif not window.file_menu.open_path(path):
        window.file_menu.new_bench()
    window.choose(line, page, system, theme)
    if isinstance(app, Application):
        app.hear(window.file_menu.open_path)
    if hindrance is not None:
        window.show_unkept(hindrance)
    window.file_menu.offer_left_copies()
    window.show()
    # What stands now stays until the end: a full collection would look through it for 30 ms.
    gc.freeze()
    gc.enable()

    def end(number: int) -> None:
        window.commit()
        window.file.leave_behind()
        window.jobs.stop()
        app.exit(status_of(number))

    signals = EndOnSignal(end, app)  # the window is gone once it is closed
    QTimer.singleShot(SWEEP_AFTER, window.file.sweep)
    status = app.exec()
    signals.stop()
    if isinstance(app, Application):
        app.hear(None)
    if presence is not None:
        presence.leave()
    return status
