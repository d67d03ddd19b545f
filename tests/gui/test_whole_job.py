"""The main job from end to end: type a head, paste one, mend a cell, drag, take it all back."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtWidgets import QApplication

from taperlab.gui.frame.window import Window
from taperlab.gui.pages.shape.columns import Col
from taperlab.gui.plots.line_plots import OUTLINE
from taperlab.gui.table.editors import CellEdit
from taperlab.model.segment import Part
from tests.gui.hands import (
    CTRL,
    ENTER,
    ESC,
    FOOT,
    GRAIN,
    INCH,
    NOISE,
    TAB,
    at_cell,
    cell,
    choose,
    drag,
    keys,
    settle,
    shape,
    status,
    status_label,
    type_into,
    without_view,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)

HEAD = (
    ("tip", "0.5 ft", ".040", "0.040", "0.86"),
    ("front taper", "10'", "0.040", "92 thou", "0.86"),
    ("belly", "15 ft 6 in", "0.092", "0.098", "0.84"),
    ("rear taper", "4-0", "0.098", "0.042", "0.85"),
)
SIZES = (
    (0.5, 0.040, 0.040, 0.86),
    (10.0, 0.040, 0.092, 0.86),
    (15.5, 0.092, 0.098, 0.84),
    (4.0, 0.098, 0.042, 0.85),
)


def frustum_grains(feet: float, front: float, rear: float, density: float) -> float:
    """Grains of a round taper of length [ft], diameters [in] and density [g/cm^3]: exact."""
    volume = math.pi / 12.0 * feet * FOOT * (front**2 + front * rear + rear**2) * INCH**2
    return volume * density * 1000.0 / GRAIN


def tab_to_the_table(window: Window) -> None:
    window.page_list.setFocus()
    for _ in range(60):
        if shape(window).table.hasFocus():
            return
        keys(TAB)
    pytest.fail("Tab never comes to the table")


def test_a_head_typed_from_nothing_with_keys_alone(window: Window) -> None:
    window.setFocus()
    keys(Qt.Key.Key_N, modifier=CTRL)
    assert window.document.line.segments == ()
    assert shape(window).readouts.weight.text() == "–"
    tab_to_the_table(window)
    for row in HEAD:
        assert shape(window).table.currentIndex().column() == Col.PART
        for text in row:
            keys(text, TAB)
        for _ in range(4):
            keys(TAB)
        if row is not HEAD[-1]:
            keys(TAB)
    found = window.document.line.segments
    assert [one.part for one in found] == [
        Part.TIP,
        Part.FRONT_TAPER,
        Part.BELLY,
        Part.REAR_TAPER,
    ]
    grains = [frustum_grains(*row) for row in SIZES]
    head = window.document.analysis().head
    assert head.mass / GRAIN == pytest.approx(sum(grains), rel=1e-12)
    assert shape(window).readouts.weight.text() == f"{sum(grains):.0f} gr"
    assert [cell(window, i, Col.WEIGHT) for i in range(4)] == [f"{each:.1f}" for each in grains]
    share = (grains[0] + grains[1]) / sum(grains)
    assert shape(window).readouts.figures["front"].value == f"{share * 100:.0f} %"
    assert window.document.rod is None  # whose it is, is for its owner to say
    assert shape(window).readouts.figures["ratio"].value == "–"
    shape(window).rod_card.box.setFocus()
    keys(Qt.Key.Key_Down)
    rod = window.document.rod
    ratio = 30.0 * FOOT / rod.length
    assert shape(window).readouts.figures["ratio"].value == f"{ratio:.2f} ×"


SPREADSHEET = (
    "Part\tLength (ft)\tFront diameter (in)\tRear diameter (in)\tDensity (g/cc)\n"
    + "".join(f"belly\t{2 + i}\t0.0{80 + i}\t0.0{81 + i}\t0.86\n" for i in range(10))
)


def test_ten_rows_pasted_from_a_spreadsheet(window: Window) -> None:
    window.file_menu.new_bench()
    QApplication.clipboard().setText(SPREADSHEET)
    at_cell(window, 0, 0)
    keys(Qt.Key.Key_V, modifier=CTRL)
    found = window.document.line.segments
    assert [one.length for one in found] == pytest.approx([(2 + i) * FOOT for i in range(10)])
    grains = sum(frustum_grains(2 + i, 0.080 + i / 1000, 0.081 + i / 1000, 0.86) for i in range(10))
    assert window.document.analysis().head.mass / GRAIN == pytest.approx(grains, rel=1e-12)
    assert shape(window).readouts.weight.text() == f"{grains:.0f} gr"
    assert window.document.undo_stack.undoText().startswith("Paste")
    window.menus.actions["undo"].trigger()
    assert window.document.line.segments == ()
    # The menu does what the keys do, wherever the focus is.
    shape(window).plots.setFocus()
    window.menus.actions["paste"].trigger()
    assert len(window.document.line.segments) == 10


def test_a_bad_cell_says_why_in_place_and_in_the_status_line_and_loses_nothing(
    window: Window,
) -> None:
    before = window.document.bench
    at_cell(window, 1, Col.LENGTH)
    keys("12 stone", ENTER)
    (editor,) = shape(window).table.findChildren(CellEdit)
    assert editor.text() == "12 stone"
    assert "stone" in str(editor.sentence)
    assert status(window) == str(editor.sentence)
    assert status_label(window).property("role") == "bad"
    assert window.document.bench is before
    keys(ESC)
    assert window.document.bench is before
    assert not window.document.is_dirty


def test_saving_with_a_bad_cell_open_does_not_take_its_text(window: Window, tmp_path) -> None:
    before = window.document.bench
    at_cell(window, 1, Col.LENGTH)
    keys("12 stone")
    assert window.file.save(tmp_path / "bench.taperlab")
    window.commit()
    assert window.document.bench == before
    keys(ESC)


def drag_breakpoint(window: Window, index: int, by: QPointF) -> None:
    plots = shape(window).plots
    handle = next(h for h in plots.grips.handles if h.plot == OUTLINE and h.index == index)
    start = plots.panels[OUTLINE].point(handle.position, handle.value)
    drag(plots.canvas.viewport(), start, by)


def test_a_breakpoint_dragged_on_the_outline_moves_everything_at_once(window: Window) -> None:
    line = window.document.line
    before = shape(window).readouts.weight.text(), cell(window, 1, Col.LENGTH)
    drag_breakpoint(window, 2, QPointF(25.0, 0.0))
    after = window.document.line
    assert after.starts[2] > line.starts[2]
    assert after.length == pytest.approx(line.length, rel=1e-12)
    assert window.document.undo_stack.count() == 1
    now = shape(window).readouts.weight.text(), cell(window, 1, Col.LENGTH)
    assert now != before
    assert shape(window).readouts.weight.text() == (
        f"{window.document.analysis().head.mass / GRAIN:.0f} gr"
    )


def test_everything_can_be_taken_back_and_done_again(
    make: Callable[..., Window],
) -> None:
    window = make()
    first = window.document.bench
    type_into(window, 1, Col.LENGTH, "11 ft")
    type_into(window, 1, Col.WEIGHT, "150")
    drag_breakpoint(window, 1, QPointF(12.0, 6.0))
    QApplication.clipboard().setText("belly\t3\t0.08\t0.08\t0.9\n")
    at_cell(window, 2, 0)
    keys(Qt.Key.Key_V, modifier=CTRL)
    shape(window).table.reverse_line()
    window.rack.duplicate_current()
    window.rack.toggle(window.document.bench.lines[0])
    choose(shape(window).rod_card.box, 2)
    choose(shape(window).header.style_box, 0)
    settle()
    last, steps = window.document.bench, window.document.undo_stack.count()
    assert steps >= 7
    undo, redo = window.menus.actions["undo"], window.menus.actions["redo"]
    window.setFocus()
    for _ in range(steps):
        assert undo.isEnabled()
        assert undo.text().removeprefix("&Undo").strip()
        keys(Qt.Key.Key_Z, modifier=CTRL)
    assert not undo.isEnabled()
    assert without_view(window.document.bench) == without_view(first)
    assert not window.document.is_dirty
    for _ in range(steps):
        redo.trigger()
    assert not redo.isEnabled()
    assert without_view(window.document.bench) == without_view(last)
