"""What is left of a longer line stands where it was cut; two blades move one at a time."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from taperlab.gui.kit.theme import Choice, Theme
from taperlab.gui.plots.line_plots import OUTLINE, WEIGHT_ALONG, Drawing, Laid, LinePlots
from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.line import Style, line_of
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.physics.trim import trim
from taperlab.shop.analyse import analyse_line

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints", extend=True)

WHOLE = line_of(
    "head",
    "Alder head",
    (
        Segment(Part.FRONT_TAPER, 10 * FOOT, 0.04 * INCH, 0.09 * INCH, 860.0),
        Segment(Part.BELLY, 20 * FOOT, 0.09 * INCH, 0.09 * INCH, 860.0),
    ),
    Style.SCANDI,
)


@pytest.fixture
def stack(qtbot: QtBot) -> Iterator[LinePlots]:
    theme = Theme(Choice.LIGHT)
    theme.apply()
    made = LinePlots(theme)
    qtbot.addWidget(made)
    made.resize(800, 460)
    made.show()
    qtbot.waitExposed(made)
    left = trim(WHOLE, 4 * FOOT, 27 * FOOT)
    shadow = Laid("before", analyse_line(WHOLE, Water()))
    made.draw(Drawing(analyse_line(left, Water()), start=4 * FOOT, shadow=shadow))
    yield made
    theme.disconnect_from_system()


def mouse(stack: LinePlots, kind: QEvent.Type, point: QPointF) -> None:
    view = stack.canvas.viewport()
    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    buttons = none if kind is QEvent.Type.MouseButtonRelease else left
    button = none if kind is QEvent.Type.MouseMove else left
    at = QPointF(stack.canvas.mapFromScene(point))
    QApplication.sendEvent(
        view,
        QMouseEvent(
            kind, at, view.mapToGlobal(at), button, buttons, Qt.KeyboardModifier.NoModifier
        ),
    )


def test_what_is_left_lies_where_it_was(stack: LinePlots) -> None:
    panel = stack.panels[WEIGHT_ALONG]
    own = panel.own.inks[0]
    before = panel.laid.inks[0]
    assert own.x[0] == pytest.approx(4 * FOOT)
    assert own.x[-1] == pytest.approx(27 * FOOT)
    inside = (before.x >= 4 * FOOT) & (before.x <= 27 * FOOT)
    assert np.interp(before.x[inside], own.x, own.y) == pytest.approx(before.y[inside], rel=0.01)
    stack.point_at(10 * FOOT)
    assert stack.reading is not None
    assert stack.reading.position == pytest.approx(10 * FOOT)
    # Just behind the front taper the belly begins, 0.09 in thick.
    assert stack.reading.diameter == pytest.approx(0.09 * INCH)
    stack.point_at(2 * FOOT)
    assert stack.reading is None


def test_each_blade_is_held_and_stops_at_the_other(stack: LinePlots) -> None:
    moved: list[tuple[int, float]] = []
    stack.canvas.blade_moved.connect(lambda at: moved.append((stack.canvas.blades.held, at / FOOT)))
    stack.canvas.blades.put((4 * FOOT, 27 * FOOT))
    panel = stack.panels[OUTLINE]
    middle = panel.rect.center().y()

    def drag(start: float, end: float) -> None:
        mouse(stack, QEvent.Type.MouseButtonPress, QPointF(panel.across(start * FOOT), middle))
        for share in (0.5, 1.0):
            x = panel.across((start + (end - start) * share) * FOOT)
            mouse(stack, QEvent.Type.MouseMove, QPointF(x, middle))
        mouse(stack, QEvent.Type.MouseButtonRelease, QPointF(panel.across(end * FOOT), middle))

    drag(27.0, 25.0)
    assert moved[-1] == (1, pytest.approx(25.0, abs=0.1))
    drag(4.0, 6.0)
    assert moved[-1] == (0, pytest.approx(6.0, abs=0.1))
    drag(6.0, 29.0)
    assert moved[-1] == (0, pytest.approx(25.0, abs=0.1))
    # The rear one goes to the end of the uncut line, beyond what is left.
    stack.canvas.blades.put((4 * FOOT, 25 * FOOT))
    drag(25.0, 30.5)
    assert moved[-1] == (1, pytest.approx(30.0))
