"""Where the keys go is seen on every control, in both themes."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QMenuBar, QScrollArea, QWidget

from taperlab.files.native import read_bench
from taperlab.files.preferences import Preferences, Theme
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.room import bring_into_sight
from taperlab.gui.pages import catalogue
from taperlab.shipped import sample
from tests.gui.hands import NOISE, settle, wait_active

pytestmark = pytest.mark.qt_log_ignore(NOISE)

AROUND = 4
LEAST, RATIO = 2 * (2 * 14 + 2 * 14), 3.0
"""Pixels of a ring two wide round the smallest control; its contrast (WCAG 2.2, 1.4.11)."""


def luminance(pixels: np.ndarray) -> np.ndarray:
    """Relative luminance (WCAG 2.2) of bytes in the order blue, green, red."""
    share = pixels[..., 2::-1].astype(float) / 255.0
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    return linear @ np.array([0.2126, 0.7152, 0.0722])


def seen(window: QWidget, box: QRect) -> np.ndarray:
    image = window.grab(box).toImage().convertToFormat(QImage.Format.Format_RGB32)
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1, 4)
    return rows[:, : image.width()].copy()


def controls(window: Window) -> list[QWidget]:
    """What the Tab key stops at."""
    found = []
    for each in window.findChildren(QWidget):
        stop = each.focusPolicy() & Qt.FocusPolicy.TabFocus and each.focusProxy() is None
        inner = isinstance(each, (QMenuBar, QScrollArea)) or each.objectName().startswith("qt_")
        if stop and not inner and each.isVisible() and each.isEnabled():
            found.append(each)
    return found


def faint(window: QWidget, every: list[QWidget]) -> list[tuple[str, str, int]]:
    """Those of some controls on which hardly anything that stands out tells the focus."""
    QApplication.setCursorFlashTime(0)  # the text cursor is no ring
    found = []
    for each in every:
        bring_into_sight(each)
        window.setFocus()
        settle()
        box = each.rect().adjusted(-AROUND, -AROUND, AROUND, AROUND)
        box = QRect(each.mapTo(window, box.topLeft()), box.size()).intersected(window.rect())
        without = seen(window, box)
        each.setFocus(Qt.FocusReason.TabFocusReason)
        settle()
        here = QRect(each.mapTo(window, QPoint()), each.size())
        assert here.isValid()
        focused = seen(window, box)
        ground = luminance(without[:2]).mean()  # what surrounds it
        new = luminance(focused)
        apart = (np.maximum(new, ground) + 0.05) / (np.minimum(new, ground) + 0.05)
        moved = np.abs(focused.astype(int) - without.astype(int)).sum(axis=-1) > 60
        if (moved & (apart >= RATIO)).sum() < LEAST:
            found.append((type(each).__name__, each.accessibleName(), int(moved.sum())))
    return found


@pytest.mark.parametrize(
    ("page", "theme"),
    [
        *((entry.key, Theme.LIGHT) for entry in catalogue.PAGES),
        *((key, Theme.DARK) for key in ("shape", "pieces", "cut", "jobs")),
    ],
)
def test_a_ring_that_stands_out_shows_where_the_keys_go(
    make: Callable[..., Window], page: str, theme: Theme
) -> None:
    window = make(Preferences(theme=theme, welcome_seen=True), demo=False)
    entry = next(each for each in catalogue.PAGES if each.key == page)
    window.file.put_in_hand(read_bench(sample(entry.sample)), None)
    window.show_page(page)
    window.resize(1280, 800)
    window.jobs.settle()
    settle()
    wait_active(window)
    every = controls(window)
    assert len(every) > 8
    assert faint(window, every) == []
