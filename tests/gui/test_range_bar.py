"""The range bar: where its caps, its dot and its open end stand."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from taperlab.files.preferences import Theme as Choice
from taperlab.gui.kit.range_bar import HALF, Range, RangeBar, paint_range
from taperlab.gui.kit.theme import DARK, LIGHT, Theme, Tokens

pytestmark = pytest.mark.usefixtures("qapp")
SHOWN = Range(1.0, 3.0, 2.0)
SCALE = (0.0, 4.0)


@pytest.fixture(params=[LIGHT, DARK], ids=lambda each: each.name)
def tokens(request: pytest.FixtureRequest) -> Tokens:
    return request.param


def drawn(tokens: Tokens, shown: Range, *, upright: bool = False) -> QImage:
    """A bar 400 px long and 20 across: 100 px a unit."""
    size = QSize(20, 400) if upright else QSize(400, 20)
    image = QImage(size, QImage.Format.Format_RGB32)
    image.fill(QColor(tokens.card))
    painter = QPainter(image)
    paint_range(painter, QRectF(image.rect()), shown, SCALE, tokens, upright=upright)
    painter.end()
    return image


def inked(image: QImage, tokens: Tokens, across: int, *, upright: bool = False) -> list[int]:
    """Places along the bar that are of full colour, so far across from its middle [px]."""
    ink = QColor(tokens.ink).name()
    if upright:
        return [399 - y for y in range(400) if image.pixelColor(10 + across, y).name() == ink]
    return [x for x in range(400) if image.pixelColor(x, 10 + across).name() == ink]


@pytest.mark.parametrize("upright", [False, True])
def test_a_cap_stands_at_either_end_and_the_dot_in_the_middle(
    tokens: Tokens, upright: bool
) -> None:
    image = drawn(tokens, SHOWN, upright=upright)
    caps = inked(image, tokens, round(HALF) - 2, upright=upright)
    assert caps
    assert {round(place / 100.0) for place in caps} == {1, 3}
    middle = inked(image, tokens, 0, upright=upright)
    assert {round(place / 100.0) for place in middle} == {1, 2, 3}


def test_an_end_that_is_not_known_has_no_cap(tokens: Tokens) -> None:
    image = drawn(tokens, Range(1.0, math.nan))
    assert {round(x / 100.0) for x in inked(image, tokens, round(HALF) - 2)} == {1}
    empty = drawn(tokens, Range(math.nan, math.nan))
    # The pale bar runs on to the end of the scale.
    assert image.pixelColor(395, 12) != empty.pixelColor(395, 12)
    assert image.pixelColor(50, 12) == empty.pixelColor(50, 12)
    assert not inked(empty, tokens, 0)


def test_what_lies_beyond_the_scale_has_no_cap_there(tokens: Tokens) -> None:
    image = drawn(tokens, Range(2.0, 9.0, 8.0))
    assert {round(x / 100.0) for x in inked(image, tokens, 0)} == {2}


def test_the_widget_says_its_words_and_has_room_for_them(qtbot: QtBot) -> None:
    bar = RangeBar(Theme(Choice.LIGHT), "Depth")
    qtbot.addWidget(bar)
    low = bar.sizeHint().height()
    bar.show_range(Range(1.0, 3.0, 2.0, "1 to 3 ft"), SCALE)
    assert bar.accessibleName() == "Depth: 1 to 3 ft"
    assert bar.sizeHint().height() > low
