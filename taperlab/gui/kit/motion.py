"""Whether the person's system asks for less motion. Qt does not tell, so each system is asked."""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any

ANSWER_WITHIN = 150
"""The desktop is waited for no longer [ms]."""

_CLIENT_AREA_ANIMATION = 0x1042
"""SPI_GETCLIENTAREAANIMATION of the Windows API."""


def less_motion(
    platform: str = sys.platform, ask: dict[str, Callable[[], bool]] | None = None
) -> bool:
    """Whether what moves is to stand still: as the system says, no where it says nothing.

    platform: as Python names it. ask: what tells, by platform; those of the systems by default.
    """
    asked = (ask or _ASK).get(platform)
    try:
        return asked is not None and asked()
    except (OSError, AttributeError, ValueError):
        return False


def _windows() -> bool:
    import ctypes

    moves = ctypes.c_int(1)
    library = ctypes.windll  # type: ignore[attr-defined,unused-ignore]
    told = library.user32.SystemParametersInfoW(_CLIENT_AREA_ANIMATION, 0, ctypes.byref(moves), 0)
    return bool(told) and not moves.value


def _macos() -> bool:
    from PySide6.QtCore import QSettings

    kept = QSettings("com.apple.universalaccess", "")
    return str(kept.value("reduceMotion", "0")) in ("1", "true")


def _freedesktop() -> bool:
    from PySide6.QtGui import QGuiApplication

    if QGuiApplication.platformName() not in ("xcb", "wayland"):
        return False
    from PySide6.QtDBus import QDBusConnection, QDBusMessage

    bus = QDBusConnection.sessionBus()
    if not bus.isConnected():
        return False
    call = QDBusMessage.createMethodCall(
        "org.freedesktop.portal.Desktop",
        "/org/freedesktop/portal/desktop",
        "org.freedesktop.portal.Settings",
        "Read",
    )
    call.setArguments(["org.gnome.desktop.interface", "enable-animations"])
    from PySide6.QtDBus import QDBus

    answer = bus.call(call, QDBus.CallMode.Block, ANSWER_WITHIN)
    values = answer.arguments()
    moves: Any = values[0] if values else None
    while hasattr(moves, "variant"):
        moves = moves.variant()
    return moves is False


_ASK: dict[str, Callable[[], bool]] = {
    "win32": _windows,
    "darwin": _macos,
    "linux": _freedesktop,
}
