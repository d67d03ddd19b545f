"""Starting the window: fonts, theme, last resort, then the bench."""

from __future__ import annotations

import contextlib
import ctypes
import gc
import os
import sys
from pathlib import Path

from taperlab.files.folders import state_folder
from taperlab.files.preferences import Preferences, load_preferences, save_preferences
from taperlab.files.presence import Presence
from taperlab.files.problem import FileProblem
from taperlab.gui.frame.errors import LastResort
from taperlab.gui.frame.window import Window
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.application import make_application
from taperlab.gui.state.settings import Settings


def make_window(
    preferences: Preferences, presence: Presence | None = None, *, keeps: bool = True
) -> Window:
    """A window with its own settings and theme, not yet shown, holding no bench.

    keeps: whether choices are written to the preferences file as soon as one changes.
    """
    settings = Settings(preferences, _keep if keeps else None)
    theme = theming.Theme(preferences.theme)
    theme.prepare()
    window = Window(settings, theme, presence)
    settings.setParent(window)
    theme.setParent(window)
    window.destroyed.connect(theme.disconnect_from_system)
    return window


def _keep(preferences: Preferences) -> None:
    with contextlib.suppress(FileProblem):  # a choice forgotten is no loss worth a message
        save_preferences(preferences)


NO_DISPLAY = """\
taperlab: there is no display to open a window on.
Start it from a desktop session, or have a page drawn into a file instead:
  taperlab picture FILE.taperlab page.png
"""

X11_LIBRARIES = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
"""What Qt needs of the system for a window under X11, and the packages that hold it on Debian."""

NO_LIBRARIES = """\
taperlab: Qt needs system libraries that are not here to open a window under X11.
Install them and start again; on Debian and its kin:
  apt-get install {packages}
"""


def what_is_missing() -> str:
    """What keeps a window from opening on this machine, and what to do; empty if nothing does.

    Qt itself would end the process, without a word of what to do.
    """
    if sys.platform != "linux" or "QT_QPA_PLATFORM" in os.environ:
        return ""
    if "WAYLAND_DISPLAY" in os.environ:
        return ""
    if "DISPLAY" not in os.environ:
        return NO_DISPLAY
    missing = [package for library, package in X11_LIBRARIES.items() if not _loads(library)]
    return NO_LIBRARIES.format(packages=" ".join(missing)) if missing else ""


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def run_window(path: Path | None) -> int:
    """Open the window on a file, or on the demo bench, and run until it is closed."""
    missing = what_is_missing()
    if missing:
        sys.stderr.write(missing)
        return 1
    app = make_application()
    preferences = load_preferences()
    try:
        presence = Presence.enter()
    except FileProblem:
        presence = None  # no state folder: no recovery copies, but the work goes on
    window = make_window(preferences, presence)
    sys.excepthook = LastResort(window.file.keep_copy, state_folder(), window).take
    if path is None:
        window.file_menu.open_demo()
        window.welcome.greet_once()
    elif not window.file_menu.open_path(path):
        window.file_menu.new_bench()
    window.file_menu.offer_left_copies()
    window.show()
    # What stands now stays until the end: a full collection would look through it for 30 ms.
    gc.freeze()
    gc.enable()
    status = app.exec()
    if presence is not None:
        presence.leave()
    return status
