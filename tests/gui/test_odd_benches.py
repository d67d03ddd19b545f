"""Benches that nobody means to make: no lines, one segment, two hundred, names without end."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from taperlab.edits.values import set_length
from taperlab.gui.frame.rack import LINE_ROLE
from taperlab.gui.frame.window import Window
from taperlab.gui.pages import catalogue
from taperlab.gui.pages.shape.columns import Col
from taperlab.model.bench import Bench, View
from taperlab.model.line import Line, Loop, LoopKind, Style, line_of
from taperlab.model.rod import Rod
from taperlab.model.segment import Part, Segment
from taperlab.model.version import Version
from taperlab.units.kinds import System
from tests.gui.hands import ENTER, FOOT, NOISE, at_cell, cell, keys, settle, shape, without_view
from tests.strategies import benches, done_to

pytestmark = pytest.mark.qt_log_ignore(NOISE)

LONG = "A name that somebody went on typing because nothing stopped him, " * 6
PIECE = Segment(Part.BELLY, 0.3, 0.0021, 0.0022, 860.0)


def show(window: Window, bench: Bench) -> None:
    window.file.put_in_hand(bench, None)
    settle()
    assert not window.grab().isNull()


def everything(window: Window) -> None:
    """Look at the bench in every way there is."""
    for system in (System.METRIC, System.US):
        window.use_system(system)
        settle()
    window.settings.show_sink(True)
    for key in (each.key for each in catalogue.PAGES):
        window.show_page(key)
        settle()
        window.grab()
    window.show_page("shape")
    window.settings.show_sink(False)
    shape(window).plots.reset_view()
    shape(window).readouts.as_rows()
    settle()


def test_a_bench_of_nothing(window: Window) -> None:
    show(window, Bench())
    everything(window)
    assert window.document.line is None
    assert shape(window).header.name.text() == "No line on the bench"
    assert shape(window).readouts.weight.text() == "–"
    assert shape(window).table.segments.rowCount() == 0
    window.menus.actions["add_line"].trigger()
    assert window.document.line.name == "New line"
    at_cell(window, 0, Col.LENGTH)
    keys("3 m", ENTER)
    assert window.document.line.segments[0].length == 3.0


def test_every_line_deleted_and_brought_back(window: Window) -> None:
    before = window.document.bench
    for _ in before.lines:
        window.menus.actions["delete_line"].trigger()
        settle()
    assert window.document.bench.lines == ()
    everything(window)
    for _ in before.lines:
        window.menus.actions["undo"].trigger()
    assert without_view(window.document.bench) == without_view(before)
    assert shape(window).readouts.weight.text().endswith(" gr")


def test_a_line_of_one_segment(window: Window) -> None:
    show(window, Bench(lines=(line_of("a", "One", (PIECE,)),)))
    everything(window)
    assert cell(window, 0, Col.PART) == "Belly"
    at_cell(window, 0, Col.LENGTH)
    keys("20 ft", ENTER)
    assert window.document.line.length == pytest.approx(20 * FOOT)
    shape(window).table.reverse_line()
    shape(window).table.selectAll()
    shape(window).table.delete_rows()
    settle()
    assert window.document.line.segments == ()
    everything(window)
    assert shape(window).readouts.weight.text() == "–"
    window.menus.actions["undo"].trigger()
    assert len(window.document.line.segments) == 1


def test_a_line_that_has_no_head(window: Window) -> None:
    running = replace(PIECE, part=Part.RUNNING_LINE, length=30.0)
    show(window, Bench(lines=(line_of("a", "Running", (running,)),)))
    everything(window)
    assert shape(window).readouts.weight.text() == "–"
    assert shape(window).readouts.in_window.text() == "no head yet"


def test_two_hundred_segments(window: Window) -> None:
    line = line_of("a", "Two hundred", (PIECE,) * 200, Style.LONG_BELLY)
    show(window, Bench(lines=(line, replace(line, key="b", name="Other")), view=View("a", ("b",))))
    everything(window)
    assert shape(window).table.segments.count == 200
    at_cell(window, 199, Col.LENGTH)
    keys("2 ft", ENTER)
    assert window.document.line.segments[199].length == pytest.approx(2 * FOOT)
    assert window.document.apply(set_length, "a", 0, 0.5)
    settle()
    assert window.grab().size() == window.size()
    shape(window).table.selectAll()
    shape(window).table.copy()
    assert len(QApplication.clipboard().text().splitlines()) == 200


def test_names_without_end(window: Window) -> None:
    line = replace(line_of("a", LONG, (replace(PIECE, note=LONG),)), note=LONG)
    other = line_of("b", LONG + "2", (PIECE, PIECE))
    rod = Rod("rod", LONG, 4.0)
    width = window.width()
    show(window, Bench((line, other), (rod,), rod="rod", note=LONG, view=View("a", ("b",))))
    everything(window)
    window.resize(960, 600)
    settle()
    assert window.width() == 960 <= width
    assert window.minimumSizeHint().width() <= 960
    assert not window.grab().isNull()
    for open_ in (window.dialogs.edit_rods, window.dialogs.describe_line):
        open_()
        dialog = QApplication.activeModalWidget()
        settle()
        assert dialog.width() < 1300
        dialog.reject()
        settle()


@pytest.mark.parametrize("name", ["<b>bold</b>", "a & b", "\u202eright to left", "名前", "🎣" * 9])
def test_names_are_shown_as_they_are(window: Window, name: str) -> None:
    show(window, Bench((line_of("a", name, (PIECE,)),), (Rod("rod", name, 4.0),), rod="rod"))
    assert shape(window).header.name.text() == name
    assert shape(window).header.name.textFormat() == Qt.TextFormat.PlainText
    assert shape(window).rod_card.box.itemText(1).startswith(name)
    everything(window)


def test_extreme_but_lawful_sizes(window: Window) -> None:
    rows = (
        Segment(Part.TIP, 0.00254, 0.0001, 0.0127, 20000.0),
        Segment(Part.BELLY, 152.4, 0.0127, 0.00005, 100.0),
        Segment(Part.RUNNING_LINE, 152.4, 0.00005, 0.00005, 100.0),
    )
    show(window, Bench((line_of("a", "Odd", rows),)))
    everything(window)


def drawn_view(draw: Callable[..., Any], bench: Bench) -> dict[str, Any]:
    keys_ = [line.key for line in bench.lines]
    if not keys_:
        return {}
    rigs = [rig.key for rig in bench.rigs]
    return {
        "line": draw(st.sampled_from(keys_)),
        "overlays": tuple(draw(st.lists(st.sampled_from(keys_), max_size=3, unique=True))),
        "rig": draw(st.sampled_from([None, *rigs])),
        "rig_overlays": tuple(rig for rig in rigs if draw(st.booleans())),
        "version_overlays": tuple(each.key for each in bench.versions if draw(st.booleans())),
    }


@pytest.fixture
def blank(make: Callable[..., Window]) -> Window:
    return make(demo=False)


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data())
def test_any_sequence_of_things_done_can_be_taken_back(blank: Window, data: st.DataObject) -> None:
    window = blank
    document = window.document
    first = data.draw(benches())
    window.file.put_in_hand(first, None)
    for _ in range(data.draw(st.integers(1, 12))):
        what = data.draw(st.sampled_from(["edit"] * 6 + ["undo", "redo", "look", "units", "page"]))
        if what == "edit":
            edit, args, options = data.draw(done_to(document.bench))
            document.apply(edit, *args, **options)
        elif what == "undo":
            document.undo_stack.undo()
        elif what == "redo":
            document.undo_stack.redo()
        elif what == "look":
            document.look(**drawn_view(data.draw, document.bench))
        elif what == "units":
            window.use_system(data.draw(st.sampled_from(System)))
        else:
            window.show_page(data.draw(st.sampled_from([each.key for each in catalogue.PAGES])))
        settle()
        same_on_screen(window)
    window.show_page("shape")
    same_on_screen(window)
    last = document.bench
    redone = document.undo_stack.index()
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert without_view(document.bench) == without_view(first)
    same_on_screen(window)
    while document.undo_stack.index() < redone:
        document.undo_stack.redo()
    assert without_view(document.bench) == without_view(last)
    document.undo_stack.setClean()


def same_on_screen(window: Window) -> None:
    """What rack, table and header show is the bench, and nothing that was.

    A page that is hidden may show what was: it catches up when it is turned to.
    """
    line: Line | None = window.document.line
    rack = window.rack.model
    listed = [rack.index(i).data(LINE_ROLE) for i in range(rack.rowCount())]
    bench = window.document.bench
    kept = [each for each in listed if isinstance(each, Version)]
    assert all(each in bench.versions for each in kept)
    laid = {each.key for each in bench.versions} & set(bench.view.version_overlays)
    assert laid <= {each.key for each in kept}
    others = [each for each in listed if each is not None and each not in kept]
    assert others == [*bench.lines, *bench.rigs]
    if window.pages.key != "shape":
        return
    model = shape(window).table.segments
    assert model.count == (len(line.segments) if line else 0)
    for row in range(model.count):
        assert model.row(row).segment == line.segments[row]
        assert cell(window, row, Col.NOTE) == line.segments[row].note
    assert shape(window).header.name.text() == (line.name if line else "No line on the bench")
    rig, drawn = window.document.rig, shape(window).plots.drawing
    if rig is None:
        assert (drawn.analysis.line if drawn.analysis else None) == line
        return
    members = [window.document.bench.line(key) for key in rig.lines]
    assert [each.name for each in drawn.stretches] == [each.name for each in members]
    assert shape(window).rig_readouts.name.text() == rig.name
    box = shape(window).header.member
    assert [box.itemText(i) for i in range(box.count())] == [each.name for each in members]
    assert box.currentData() == (line.key if line else None)


def test_a_mean_over_the_thickest_is_laid_to_the_loops(window: Window) -> None:
    mean = shape(window).readouts.figures["mean"]
    level = replace(PIECE, length=3.0, rear_diameter=PIECE.front_diameter)
    line = line_of("level", "Level", [level])
    show(window, Bench(lines=(line,)))
    assert mean.remark.endswith("at most")  # not a rounding error's loops
    loop = Loop(LoopKind.BRAIDED, mass=1e-4)
    show(window, Bench(lines=(replace(line, front_loop=loop),)))
    assert mean.remark.startswith("with its loops")
