"""The plot kit by itself: a page to come stacks plots of kinds that the kit does not know."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPointF, QRectF, Qt
from PySide6.QtGui import QAccessible, QColor, QFontMetricsF, QImage, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from taperlab.gui.kit.theme import Choice, Theme, font
from taperlab.gui.plots.axis import Axis, Unit
from taperlab.gui.plots.canvas import Drag
from taperlab.gui.plots.chart import Chart, Legend, Plot
from taperlab.gui.plots.grips import Handle, Side
from taperlab.gui.plots.ink import Curve, Ink, Pad, Span
from taperlab.gui.plots.stack import PlotStack
from taperlab.units.kinds import RATIO, WEIGHT, System

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints", extend=True)

# Weight against ratio: neither a distance, nor a plot that the kit was made for.
ACROSS = Axis(WEIGHT, Unit("gr", "grains in the head"), Unit("g", "grams in the head"))
UPRIGHT = Axis(RATIO, Unit("x", "Times the rod"), Unit("x", "Times the rod"))


@dataclass(frozen=True)
class Stairs(Ink):
    """An ink that the kit has never heard of: a step at each of some places."""

    places: tuple[float, ...]
    colour: str = "#C0392B"
    name: str = "stairs"

    @property
    def across(self) -> Span:
        return 0.0, self.places[-1]

    @property
    def upright(self) -> Span:
        return 0.0, float(len(self.places))

    def at(self, position: float) -> float:
        return float(sum(place <= position for place in self.places))

    def paint(self, pad: Pad) -> None:
        for height, place in enumerate(self.places, start=1):
            step = QRectF(place, 0.0, 0.002, float(height))
            pad.painter.fillRect(step, QColor(self.colour))


@pytest.fixture
def stack(qtbot: QtBot) -> Iterator[PlotStack]:
    theme = Theme(Choice.LIGHT)
    theme.apply()
    made = PlotStack(theme, System.METRIC)
    qtbot.addWidget(made)
    made.resize(700, 420)
    made.show()
    qtbot.waitExposed(made)
    yield made
    theme.disconnect_from_system()


def chart() -> Chart:
    x = np.linspace(0.0, 0.04, 50)
    return Chart(
        (
            Plot("steps", UPRIGHT, own=(Stairs((0.01, 0.02, 0.03)),)),
            Plot(
                "curve",
                UPRIGHT,
                own=(Curve(x, 2.0 + 10.0 * x, "#123456", 2.0, name="rising"),),
                laid=(
                    Curve(x, 3.0 - 10.0 * x, "#654321", name="falling"),
                    Curve(x, 1.0 + 0.0 * x, "#0F0F0F", name="level"),
                ),
            ),
        ),
        across=ACROSS,
        legend=(Legend("Made up", "#123456"),),
        stops=(0.01, 0.02, 0.03),
    )


def test_a_stack_of_made_up_plots_is_drawn_and_read(stack: PlotStack) -> None:
    stack.show_chart(chart())
    steps, curve = stack.panels["steps"], stack.panels["curve"]
    assert steps.frame.title == "Times the rod"
    assert steps.rect.bottom() < curve.rect.top()
    image = stack.canvas.grab().toImage()
    inside = QPointF(steps.across(0.021), steps.upright(1.0)).toPoint()
    assert image.pixelColor(inside).name() == "#c0392b"
    stack.setFocus()
    QTest.keyClick(stack, Qt.Key.Key_PageDown)
    QTest.keyClick(stack, Qt.Key.Key_PageDown)
    assert stack.position == pytest.approx(0.02)
    assert stack.strip.words.columns == ("20.00 g", "stairs: 2.00", "rising: 2.20")
    # One step by key is a gram, as the shared axis says.
    QTest.keyClick(stack, Qt.Key.Key_Right)
    assert stack.position == pytest.approx(0.021)
    stack.set_system(System.US)
    assert stack.strip.words.columns[0] == "324.1 gr"


def test_a_plot_may_come_and_go(stack: PlotStack) -> None:
    both = chart()
    stack.show_chart(both)
    tall = stack.panels["curve"].rect.height()
    stack.show_chart(Chart(both.plots[1:], across=ACROSS))
    assert not stack.panels["steps"].view.isVisible()
    assert stack.panels["curve"].rect.height() > 1.8 * tall
    stack.show_chart(Chart(empty="Nothing was measured yet."))
    assert not stack.canvas.isVisible()
    assert stack.empty.isVisible()
    assert stack.empty.text() == "Nothing was measured yet."
    stack.show_chart(both)
    assert stack.panels["steps"].view.isVisible()
    assert not stack.empty.isVisible()


def test_every_line_laid_over_is_read_at_the_crosshair(stack: PlotStack) -> None:
    stack.show_chart(chart())
    panel = stack.panels["curve"]
    view = stack.canvas.viewport()
    at = panel.point(0.02, 1.5)
    none = Qt.MouseButton.NoButton
    move = QMouseEvent(
        QEvent.Type.MouseMove,
        at,
        view.mapToGlobal(at),
        none,
        none,
        Qt.KeyboardModifier.NoModifier,
    )
    QApplication.sendEvent(view, move)
    tag = stack.canvas.pointer.tag
    assert tag.isVisible()
    assert [row.text for row in tag.rows] == ["2.80  falling", "1.00  level"]
    assert [row.colour for row in tag.rows] == ["#654321", "#0F0F0F"]
    assert panel.rect.contains(tag.boundingRect())
    # One that is shorter keeps its place in the box.
    short = replace(chart().plots[1].laid[0], x=np.linspace(0.0, 0.01, 50))
    level = chart().plots[1].laid[1]
    stack.show_chart(replace(chart(), plots=(replace(chart().plots[1], laid=(short, level)),)))
    assert [row.text for row in tag.rows] == ["–  falling", "1.00  level"]
    stack.show_chart(chart())
    # The plot above has nothing laid over: with the keys the box goes there, and is empty.
    stack.setFocus()
    QTest.keyClick(stack, Qt.Key.Key_Up)
    assert not tag.isVisible()
    QTest.keyClick(stack, Qt.Key.Key_Down)
    assert tag.isVisible()
    stack.point_at(None)
    assert not tag.isVisible()


@pytest.mark.parametrize("size", [(470, 300), (700, 420), (1300, 700)])
@pytest.mark.parametrize("count", [5, 14, 60])
def test_of_very_many_lines_laid_over_each_can_be_read(
    stack: PlotStack, size: tuple[int, int], count: int
) -> None:
    stack.resize(*size)
    own = chart().plots[1].own[0]
    many = tuple(
        Curve(own.x, own.y + 0.01 * n, "#123456", name=f"Scandi, rear end cut {n}")
        for n in range(count)
    )
    stack.show_chart(Chart((replace(chart().plots[1], laid=many), chart().plots[0])))
    stack.setFocus()
    tag, pointer = stack.canvas.pointer.tag, stack.canvas.pointer
    read: set[str] = set()
    metrics = QFontMetricsF(font(9.0))
    for key in [Qt.Key.Key_End, Qt.Key.Key_Home, *[Qt.Key.Key_M] * count]:
        QTest.keyClick(stack, key)
        box = tag.boundingRect()
        assert QRectF(stack.canvas.rect()).contains(box)
        # The crosshair is not covered; where a name is shortened, both its ends are seen.
        x = pointer.lines[0].x1()
        assert not box.left() < x < box.right()
        room = box.width() / tag.columns - 16.0 - tag.KEY
        shown = [row for row in tag.rows if row.colour]
        for row in shown:
            seen = metrics.elidedText(row.text, Qt.TextElideMode.ElideMiddle, room + 2.0)
            assert seen.startswith(row.text[:7])
            assert seen.endswith(row.text[-5:])
            assert seen == row.text or size[0] < 500
        read |= {row.text for row in shown}
        hidden = count - len(shown)
        if hidden:
            assert tag.rows[-1].text == f"and {hidden} more: press M"
    values = {f"{2.0 + 0.01 * n:.2f}  Scandi, rear end cut {n}" for n in range(count)}
    assert values <= read
    assert all(f"rear end cut {n}: {2.0 + 0.01 * n:.2f}" in stack.spoken for n in range(count))


def test_a_screen_reader_is_told_all_that_is_read(stack: PlotStack) -> None:
    stack.show_chart(chart())
    spoken = QAccessible.queryAccessibleInterface(stack)
    assert spoken.role() == QAccessible.Role.Chart
    value = spoken.text(QAccessible.Text.Value)
    assert value == "Times the rod; Times the rod; from 0 to 40.00 g"
    stack.point_at(0.02)
    value = spoken.text(QAccessible.Text.Value)
    assert value == "20.00 g, stairs: 2.00, rising: 2.20; falling: 2.80; level: 1.00"
    assert spoken.text(QAccessible.Text.Description).startswith("20.00 g")
    stack.setFocus()
    QTest.keyClick(stack, Qt.Key.Key_Home)
    assert spoken.text(QAccessible.Text.Value).startswith("0.00 g, stairs: 0")
    assert spoken.text(QAccessible.Text.Description).startswith("0.00 g")


def test_what_is_like_what_is_shown_is_not_drawn_again(stack: PlotStack) -> None:
    first = chart()
    stack.show_chart(first)
    panel = stack.panels["curve"]
    laid = panel.laid.inks
    (own,) = panel.own.inks
    again = Curve(own.x, own.y, own.colour, own.width, name=own.name)
    other = Curve(own.x, own.y + 0.1, own.colour, own.width, name=own.name)
    plot = first.plots[1]
    stack.show_chart(Chart((Plot("curve", UPRIGHT, laid=plot.laid, own=(again,)),)))
    assert panel.own.inks[0] is own
    stack.show_chart(Chart((Plot("curve", UPRIGHT, laid=plot.laid, own=(other,)),)))
    assert panel.own.inks[0] is other
    assert panel.laid.inks == laid


def test_handles_are_dragged_on_any_plot(stack: PlotStack) -> None:
    handle = Handle("curve", 0, Side.BOTH, 0.02, 2.2, held=True)
    stack.show_chart(chart(), (handle,))
    told: list[Drag] = []
    stack.canvas.handle_dragged.connect(told.append)
    panel, view = stack.panels["curve"], stack.canvas.viewport()
    start, end = panel.point(0.02, 2.2), panel.point(0.03, 2.0)
    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    for kind, at, button, held in (
        (QEvent.Type.MouseButtonPress, start, left, left),
        (QEvent.Type.MouseMove, end, none, left),
        (QEvent.Type.MouseButtonRelease, end, left, none),
    ):
        event = QMouseEvent(
            kind, at, view.mapToGlobal(at), button, held, Qt.KeyboardModifier.ShiftModifier
        )
        QApplication.sendEvent(view, event)
    (drag,) = told
    assert drag.handle == handle
    assert drag.position == pytest.approx(0.03, abs=2e-4)
    assert drag.value == pytest.approx(2.0, abs=0.05)


def test_a_picture_of_made_up_plots(stack: PlotStack, tmp_path: Path) -> None:
    stack.show_chart(chart())
    stack.point_at(0.02)
    stack.export_png(tmp_path / "plots.png")
    image = QImage(str(tmp_path / "plots.png"))
    assert image.width() == 2 * stack.canvas.width()
    stack.export_svg(tmp_path / "plots.svg")
    svg = (tmp_path / "plots.svg").read_text()
    assert "Made up" in svg
    assert "grams in the head" in svg


def test_an_axis_rounds_what_it_holds() -> None:
    low, high = UPRIGHT.holding(0.0, 2.37, System.US)
    assert low <= 0.0
    assert 2.37 * 1.05 <= high < 3.0
    both = Axis(RATIO, Unit("x", ""), Unit("x", ""), mirrored=True)
    low, high = both.holding(-3.0, 1.0, System.US)
    assert low == -high
    assert high >= 3.0
    assert both.ticks(low, high, 4, System.US)[0][1] == both.ticks(low, high, 4, System.US)[-1][1]


def imports(path: Path) -> set[str]:
    """Modules of the program that a file imports, for types alone included."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{name.name}" for name in node.names)}
    return found


@pytest.mark.parametrize("room", ["plots", "pages/measure"])
def test_no_circles(room: str) -> None:
    import taperlab.gui

    folder = Path(taperlab.gui.__file__).parent / room
    prefix = f"taperlab.gui.{room.replace('/', '.')}."
    left = {
        prefix + path.stem: {each for each in imports(path) if each.startswith(prefix)}
        for path in folder.glob("*.py")
    }
    left = {name: needs & left.keys() for name, needs in left.items()}
    while left:
        free = {name for name, needs in left.items() if not needs & left.keys()}
        assert free, f"these import each other in a circle: {sorted(left)}"
        left = {name: needs for name, needs in left.items() if name not in free}
