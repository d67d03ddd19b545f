"""The rack: making lines current, laying them over, and the card that compares them."""

from __future__ import annotations

from collections.abc import Callable
from itertools import groupby
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QApplication, QLineEdit, QWidget

from taperlab.files.native import read_bench
from taperlab.files.preferences import Theme
from taperlab.gui.frame.rack import LINE_ROLE
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.swatch import Swatch
from taperlab.gui.plots.line_plots import WEIGHT_ALONG
from taperlab.gui.plots.styles import overlay_style
from taperlab.model.bench import Bench, View
from taperlab.model.line import Line, Style, line_of
from taperlab.model.segment import Part, Segment
from taperlab.shop.wording import WholeWeight
from taperlab.units.kinds import LENGTH, SINK_RATE, WEIGHT, System
from taperlab.units.show import show
from tests.gui.hands import (
    CTRL,
    ENTER,
    FOOT,
    INCH,
    NOISE,
    ask_for_menu,
    click,
    keys,
    settle,
    shape,
    status,
    words_on,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def head(key: str, name: str, belly: float, density: float) -> Line:
    return line_of(
        key,
        name,
        (
            Segment(Part.FRONT_TAPER, 8 * FOOT, 0.04 * INCH, 0.09 * INCH, density),
            Segment(Part.BELLY, belly * FOOT, 0.09 * INCH, 0.09 * INCH, density),
        ),
        Style.SKAGIT,
    )


LINES = (
    head("a", "Weir", 14.0, 1400.0),
    head("b", "Pool", 16.0, 1200.0),
    head("c", "Run", 12.0, 800.0),
)


@pytest.fixture
def racked(make: Callable[..., Window]) -> Window:
    window = make()
    window.file.put_in_hand(Bench(lines=LINES, view=View(line="a")), None)
    settle()
    return window


def row_of(window: Window, name: str) -> QPoint:
    model = window.rack.model
    row = next(i for i in range(model.rowCount()) if model.index(i).data() == name)
    return window.rack.view.visualRect(model.index(row)).center()


def swatch_of(window: Window, name: str) -> QPoint:
    return QPoint(15, row_of(window, name).y())


def test_space_and_a_press_on_the_mark_lay_lines_over(racked: Window) -> None:
    view = racked.rack.view
    view.setFocus()
    keys(Qt.Key.Key_Down, Qt.Key.Key_Space)
    assert racked.document.bench.view.overlays == ("b",)
    assert racked.document.line.key == "a"
    click(view.viewport(), swatch_of(racked, "Run"))
    assert racked.document.bench.view.overlays == ("b", "c")
    assert racked.document.line.key == "a"
    assert [each.name for each in shape(racked).plots.drawing.laid] == ["Pool", "Run"]
    assert not racked.document.is_dirty  # looking is no edit
    view.setFocus()
    keys(Qt.Key.Key_Space)
    click(view.viewport(), swatch_of(racked, "Run"))
    assert racked.document.bench.view.overlays == ()
    assert not shape(racked).plots.drawing.laid


def test_enter_and_a_click_take_a_line_in_hand(racked: Window) -> None:
    view = racked.rack.view
    view.setFocus()
    keys(Qt.Key.Key_Down, Qt.Key.Key_Down, ENTER)
    assert racked.document.line.key == "c"
    click(view.viewport(), row_of(racked, "Pool"))
    assert racked.document.line.key == "b"
    assert shape(racked).header.name.text() == "Pool"
    racked.setFocus()
    keys(Qt.Key.Key_PageDown, modifier=CTRL)
    assert racked.document.line.key == "c"
    keys(Qt.Key.Key_PageDown, modifier=CTRL)
    assert racked.document.line.key == "a"
    keys(Qt.Key.Key_PageUp, modifier=CTRL)
    assert racked.document.line.key == "c"


def test_the_card_tells_what_the_line_in_hand_has_more_of(racked: Window) -> None:
    assert not shape(racked).against.isVisible()
    for name in ("Pool", "Run"):
        click(racked.rack.view.viewport(), swatch_of(racked, name))
    settle()
    card = shape(racked).against
    assert card.isVisible()
    mine = racked.document.analysis("a").head
    laid = racked.document.laid_over()
    assert [whole.name for _, whole in laid] == ["Pool", "Run"]
    for _, whole in laid:
        other = whole.head
        shown, said = card.differences(whole)
        assert said.startswith(f"Against {whole.name}: weight {shown['weight']}, length ")
        assert shown["weight"] == show(mine.mass - other.mass, WEIGHT, System.US, signed=True)
        assert shown["length"] == show(mine.length - other.length, LENGTH, System.US, signed=True)
        assert shown["sink"] == show(mine.sink - other.sink, SINK_RATE, System.US, signed=True)
    seen = words_on(card)
    # 14 ft of belly against 16, and against 12.
    assert seen.count("−2 ft") == 1
    assert seen.count("+2 ft") == 1
    assert {"Pool", "Run"} <= set(seen)


def test_an_edit_of_either_line_moves_the_card(racked: Window) -> None:
    from taperlab.edits.values import set_length

    click(racked.rack.view.viewport(), swatch_of(racked, "Pool"))
    racked.document.apply(set_length, "a", 1, 15 * FOOT)
    settle()
    assert "−1 ft" in words_on(shape(racked).against)
    racked.document.apply(set_length, "b", 1, 15 * FOOT)
    settle()
    assert "−1 ft" not in words_on(shape(racked).against)
    racked.rack.toggle(racked.document.bench.line("b"))
    settle()
    assert not shape(racked).against.isVisible()


def test_lines_laid_over_have_the_same_mark_in_rack_card_and_plots(racked: Window) -> None:
    for name in ("Pool", "Run"):
        click(racked.rack.view.viewport(), swatch_of(racked, name))
    tokens = shape(racked).place.theme.tokens
    styles = {line.key: overlay_style(racked.document, line, tokens) for line in LINES[1:]}
    assert styles["b"][0] != styles["c"][0]
    assert styles["b"][1] != styles["c"][1]
    inks = shape(racked).plots.panels[WEIGHT_ALONG].laid.inks
    laid = [(each.colour, each.dash) for each in inks]
    assert laid == [styles["b"], styles["c"]]
    swatches = shape(racked).against.findChildren(Swatch)
    assert [(each.colour, each.dash) for each in swatches] == laid


@pytest.mark.parametrize("theme", [Theme.LIGHT, Theme.DARK])
@pytest.mark.parametrize("scale", [1, 2])
def test_the_rack_draws_each_line_with_the_pen_of_the_plots(
    racked: Window, theme: Theme, scale: int
) -> None:
    racked.theme.choose(theme)
    for name in ("Pool", "Run"):
        click(racked.rack.view.viewport(), swatch_of(racked, name))
    plots = shape(racked).plots
    panel = plots.panels[WEIGHT_ALONG]
    inks = (*panel.own.inks, *panel.laid.inks)
    for line, ink in zip(LINES, inks, strict=True):
        mark, drawn = racked.rack.model.mark(line, racked.theme.tokens), ink.pen
        assert (mark.color(), mark.widthF()) == (drawn.color(), drawn.widthF())
        assert mark.style() is drawn.style()
        assert mark.dashPattern() == drawn.dashPattern()
    # The dashes on the screen, on the level belly and in the list, are as long.
    racked.document.look(overlays=("b",))
    view, ink = racked.rack.view.viewport(), panel.laid.inks[0]
    listed = drawn_at(view, swatch_of(racked, "Pool"), scale)
    level = panel.point(20 * FOOT, ink.at(20 * FOOT)).toPoint()
    plotted = drawn_at(plots.canvas.viewport(), level, scale)
    seen = dashes(listed, ink.colour), dashes(plotted, ink.colour)
    assert set(seen[0]) == set(seen[1]) == {round(ink.dash[0]) * scale}, seen


def test_figures_that_do_not_fit_are_told_in_short(racked: Window) -> None:
    line, model = LINES[1], racked.rack.model
    mass = WholeWeight(racked.document.analysis(line.key).head.mass).text(System.US)
    assert model.figures(line) == f"24 ft · {mass}"
    assert model.figures(line, lambda text: "ft" not in text) == f"24' 0\" · {mass}"
    assert model.figures(line, lambda text: len(text) < 9) == mass


def drawn_at(widget: QWidget, where: QPoint, scale: int) -> QImage:
    """A stretch of a widget as it is painted on a screen of so many pixels a pixel."""
    made = QImage(widget.size() * scale, QImage.Format.Format_RGB32)
    made.setDevicePixelRatio(scale)
    made.fill(widget.palette().window().color())
    widget.render(made)
    return made.copy((where.x() - 12) * scale, (where.y() - 5) * scale, 24 * scale, 10 * scale)


def dashes(image: QImage, colour: str) -> list[int]:
    """How long the dashes of a level line are, those at the ends left out [px]."""
    wanted, ground = QColor(colour), image.pixelColor(0, 0)

    def far(one: QColor, other: QColor) -> int:
        return sum(abs(a - b) for a, b in zip(one.getRgb(), other.getRgb(), strict=True))

    def inked(y: int) -> list[bool]:
        # A line between two rows of pixels is painted pale in both.
        found = (image.pixelColor(x, y) for x in range(image.width()))
        return [far(one, wanted) < far(one, ground) for one in found]

    row = max(map(inked, range(image.height())), key=sum)
    return [len(list(run)) for on, run in groupby(row) if on][1:-1]


def test_add_rename_duplicate_delete_and_undo(racked: Window) -> None:
    before = racked.document.bench
    racked.menus.actions["add_line"].trigger()
    racked.menus.actions["add_line"].trigger()
    assert [line.name for line in racked.document.bench.lines[3:]] == ["New line", "New line 2"]
    assert racked.document.line.name == "New line 2"
    racked.menus.actions["rename_line"].trigger()
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    editor.selectAll()
    keys("Tailout", ENTER)
    settle()
    assert racked.document.line.name == "Tailout"
    racked.menus.actions["duplicate_line"].trigger()
    assert len(racked.document.bench.lines) == 6
    racked.menus.actions["delete_line"].trigger()
    assert len(racked.document.bench.lines) == 5
    while racked.document.undo_stack.canUndo():
        racked.menus.actions["undo"].trigger()
    assert racked.document.bench.lines == before.lines


def test_a_name_that_is_being_typed_is_taken_before_a_save(racked: Window, tmp_path: Path) -> None:
    path = tmp_path / "bench.taperlab"
    racked.document.saved_as(path)
    racked.menus.actions["rename_line"].trigger()
    QApplication.focusWidget().selectAll()
    keys("Tailout")
    racked.menus.actions["save"].trigger()
    assert read_bench(path).lines[0].name == "Tailout"
    assert racked.document.line.name == "Tailout"
    assert not isinstance(QApplication.focusWidget(), QLineEdit)


def test_a_name_of_nothing_is_refused_in_a_sentence(racked: Window) -> None:
    racked.menus.actions["rename_line"].trigger()
    QApplication.focusWidget().selectAll()
    keys(Qt.Key.Key_Delete, ENTER)
    settle()
    assert racked.document.line.name == "Weir"
    assert "name" in status(racked)


def test_the_context_menu_acts_on_the_line_under_the_pointer(racked: Window) -> None:
    menu = ask_for_menu(racked.rack.view, row_of(racked, "Run"))
    texts = {action.text(): action for action in menu.actions()}
    assert racked.document.line.key == "a"
    texts["Duplicate"].trigger()
    assert len(racked.document.bench.lines) == 4
    assert racked.document.bench.lines[3].segments == LINES[2].segments
    menu.close()


def test_screen_readers_hear_what_each_line_is(racked: Window) -> None:
    click(racked.rack.view.viewport(), swatch_of(racked, "Pool"))
    role = Qt.ItemDataRole.AccessibleTextRole
    said = {
        index.data(LINE_ROLE).name: index.data(role)
        for index in (racked.rack.model.index(i) for i in range(3))
    }
    assert said["Weir"].endswith("current")
    assert said["Pool"].endswith(", laid over")
    assert said["Run"].endswith("not laid over")
    assert "22 ft" in said["Weir"]
