"""Whether there is a display to open a window on: Qt would end the process without a word."""

from __future__ import annotations

import ctypes
import os
import socket
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from taperlab.units.sentence import NOTHING, Sentence

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


def loads(library: str) -> bool:
    """Whether a library of the system is there."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def answers_x11() -> bool:
    """Whether an X server answers at the display that is named."""
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return True  # whether it does cannot be told; the libraries that lack are named elsewhere
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(None, None))
    answered = not xcb.xcb_connection_has_error(connection)
    xcb.xcb_disconnect(connection)
    return answered


def answers_wayland(named: str, environment: Mapping[str, str]) -> bool:
    """Whether a Wayland server answers at the display of this name."""
    path = Path(environment.get("XDG_RUNTIME_DIR", ""), named)
    try:
        with socket.socket(socket.AF_UNIX) as tried:
            tried.connect(str(path))
    except OSError:
        return False
    return True


def what_is_missing(
    environment: Mapping[str, str] = os.environ,
    platform: str = sys.platform,
    *,
    loads: Callable[[str], bool] = loads,
    answers_x11: Callable[[], bool] = answers_x11,
    answers_wayland: Callable[[str, Mapping[str, str]], bool] = answers_wayland,
) -> Sentence:
    """What keeps a window from opening here, and what to do; nothing if nothing does."""
    if platform != "linux" or "QT_QPA_PLATFORM" in environment:
        return NOTHING
    wayland = environment.get("WAYLAND_DISPLAY")
    if wayland and answers_wayland(wayland, environment):
        return NOTHING
    if not environment.get("DISPLAY"):
        return Sentence(
            "there is no display to open a window on: start Taperlab from a desktop session, or "
            "have a page drawn with taperlab picture FILE page.png."
        )
    if not answers_x11():
        return Sentence(
            "the display {name} does not answer: start Taperlab from a desktop session, or have "
            "a page drawn with taperlab picture FILE page.png.",
            name=environment["DISPLAY"],
        )
    missing = [package for library, package in X11_LIBRARIES.items() if not loads(library)]
    if missing:
        return Sentence(
            "a window under X11 needs system libraries that are not here: on Debian and its kin, "
            "apt-get install {packages}.",
            packages=" ".join(missing),
        )
    return NOTHING
