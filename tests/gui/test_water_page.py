"""The Water page with keys and mouse: rigs chosen and kept, currents dragged, the bed, undo."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QAccessible, QPainter
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from taperlab.edits import rigs
from taperlab.files.native import read_bench
from taperlab.gui.dialogs.rename import RenameDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.water import desk
from taperlab.gui.pages.water.desk import LANE
from taperlab.gui.pages.water.page import WaterPage
from taperlab.model.bench import Bench
from taperlab.model.rig import FlyKind
from taperlab.model.swing import Swing
from taperlab.shipped import sample
from taperlab.shop.steps import Steps
from tests.gui.hands import (
    ENTER,
    ESC,
    FOOT,
    NOISE,
    button,
    choose,
    click,
    clipped,
    drag,
    keys,
    open_dialog,
    retype,
    settled,
    words_on,
)
from tests.gui.reading import printed

pytestmark = pytest.mark.qt_log_ignore(NOISE)

LEFT, RIGHT, UP = Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Up


def rig_bench() -> Bench:
    return read_bench(sample("rigs.taperlab"))


@pytest.fixture
def show(make: Callable[..., Window]) -> Callable[[Bench], tuple[Window, WaterPage]]:
    def one(bench: Bench) -> tuple[Window, WaterPage]:
        window = make()
        window.file.put_in_hand(bench, None)
        window.show_page("water")
        page = window.pages.page("water")
        assert isinstance(page, WaterPage)
        settled(page)
        return window, page

    return one


Show = Callable[[Bench], tuple[Window, WaterPage]]


def figure(page: WaterPage) -> str:
    settled(page)
    return page.depth_card.figure.text()


def speed(window: Window) -> float:
    return window.document.bench.swing.speed / FOOT


def undo(window: Window) -> None:
    window.document.undo_stack.undo()


def test_another_rig_is_chosen_and_the_rest_are_compared_with_it(show: Show) -> None:
    _, page = show(rig_bench())
    before = figure(page)
    assert before.endswith(" ft")
    assert " to " in before
    choose(page.rig_bar.box, 2)
    settled(page)
    assert page.desk.focus is not None
    assert page.desk.focus.name == "10 ft of 8 on the body"
    assert figure(page) != before
    # The lightest tip of the three: both others fish deeper.
    said = page.compared.rows.spoken
    assert said.startswith("12 ft of 14 on the body: ")
    assert said.count("% deeper.") == 2
    assert page.compared.title.text() == "Depth beside 10 ft of 8 on the body"


def test_the_rig_that_was_chosen_in_the_list_is_the_one_looked_at(show: Show) -> None:
    window, page = show(rig_bench())
    second = window.document.bench.rigs[1]
    window.document.look(rig=second.key)
    settled(page)
    assert page.desk.focus is not None
    assert page.desk.focus.key == second.key
    choose(page.rig_bar.box, 2)
    settled(page)
    assert page.desk.focus.key != second.key, "another can be chosen here"


def test_a_copy_of_a_rig_is_equal_within_five_percent(show: Show) -> None:
    bench = rig_bench()
    first = bench.rigs[0]
    bench = rigs.make_rig(bench, first.head, first.ahead, name="Twin").bench
    _, page = show(bench)
    assert "Twin: equal, within 5 %." in page.compared.rows.spoken
    assert "Inside the shaded strip they fish alike, within 5 %." in words_on(page.compared)


def test_a_leaf_timed_over_a_length_is_the_current(show: Show) -> None:
    window, page = show(rig_bench())
    shallow = page.desk.shown
    retype(page.current.leaf_length, "12 ft", ENTER)
    assert speed(window) == pytest.approx(3.0)  # half of what is needed changes nothing
    retype(page.current.leaf_time, "6", ENTER)
    assert speed(window) == pytest.approx(2.0)
    assert page.current.speed.text() == "2.0 ft/s"
    assert page.current.paces[0].isChecked()
    assert not page.current.paces[1].isChecked()
    settled(page)
    assert shallow is not None
    assert page.desk.shown is not None
    assert page.desk.shown.focus.band.low > shallow.focus.band.low
    undo(window)
    assert speed(window) == pytest.approx(3.0)
    assert page.current.paces[1].isChecked()


def test_a_pace_is_a_current(show: Show) -> None:
    window, page = show(rig_bench())
    click(button(page, "Brisk"))
    assert speed(window) == pytest.approx(5.0)
    click(button(page, "Brisk"))  # pressed again it stays so
    assert speed(window) == pytest.approx(5.0)
    assert page.current.paces[2].isChecked()


def test_curves_that_take_a_while_can_be_stopped_and_worked_out_after_all(
    show: Show, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    """A bar and a Stop, the old curves dotted; stopped they stay, and Work it out goes on."""
    _, page = show(rig_bench())
    work, curves, usual = page.chart_work, page.desk.curves, desk.depths_against_current
    assert not work.isVisible()

    def slow(*arguments: Any) -> Steps[Any]:
        while True:
            yield 0.4

    monkeypatch.setattr(desk, "depths_against_current", slow)
    choose(page.angle.clock, 2)
    qtbot.waitUntil(lambda: work.isVisible() and work.bar.value() == 400, timeout=5000)
    assert page.desk.curves is curves
    assert page.desk.is_chart_old
    old = page.depth_plot.grab().toImage()
    click(work.button)
    assert not page.place.jobs.is_busy("water chart")
    assert page.desk.curves is curves
    assert work.isVisible()
    assert not work.bar.isVisible()
    assert work.button.text() == "Work it out"
    assert page.depth_plot.grab().toImage() == old  # dotted still
    monkeypatch.setattr(desk, "depths_against_current", usual)
    click(work.button)
    settled(page)
    assert not work.isVisible()
    assert page.desk.curves is not curves
    assert not page.desk.is_chart_old


def test_a_dragged_current_paints_the_curves_once(
    show: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While the current moves, curves, settling and the plan stay as they were painted."""
    _, page = show(rig_bench())
    page.grab()
    painted: list[str] = []
    for widget, name in (
        (page.depth_plot, "draw_still"),
        (page.settle_plot, "draw"),
        (page.angle.plan, "draw"),
        (page.depth_plot, "draw"),
        (page.drawing, "draw"),
    ):
        usual = getattr(widget, name)

        def draw(painter: QPainter, usual: Any = usual, what: str = f"{widget}.{name}") -> None:
            painted.append(what)
            usual(painter)

        monkeypatch.setattr(widget, name, draw)
    click(page.depth_plot)
    drag(page.depth_plot, QPointF(120.0, 100.0), QPointF(90.0, 0.0))
    settled(page)
    page.repaint()
    kinds = {each.split(".")[-1] + type_of(each) for each in painted}
    assert kinds == {"drawDepthPlot", "drawWaterDrawing"}


def type_of(what: str) -> str:
    """The class in how Qt writes a widget."""
    return next(
        kind
        for kind in ("DepthPlot", "SettlePlot", "PlanView", "WaterDrawing")
        if f".{kind}(" in what
    )


def test_a_current_that_cannot_be_is_said_and_changes_nothing(show: Show) -> None:
    window, page = show(rig_bench())
    retype(page.current.speed, "fast", ENTER)
    assert page.current.problem.isVisible()
    assert page.current.problem.text()
    assert speed(window) == pytest.approx(3.0)
    retype(page.current.leaf_time, "0.1", ENTER)  # 100 ft/s
    assert speed(window) == pytest.approx(3.0)
    assert "must be from 0.0 ft/s to 15.0 ft/s" in page.current.problem.text()
    click(button(page, "Brisk"))
    assert not page.current.problem.isVisible()
    assert page.current.speed.text() == "5.0 ft/s"


def test_dragging_the_current_draws_the_line_at_once_and_is_one_step(show: Show) -> None:
    window, page = show(rig_bench())
    plot, steps = page.depth_plot, window.document.undo_stack
    curves = page.desk.curves
    scale = plot.scale()
    start = scale.point(3.0 * FOOT, 0.5 * scale.deep)
    end = scale.point(4.5 * FOOT, 0.5 * scale.deep)
    drag(plot, start, end - start, steps=6)
    # Nothing was waited for: the line is that of the current now, its band is still to come.
    assert speed(window) == pytest.approx(4.5, abs=0.06)
    assert page.desk.line is not None
    assert page.desk.line.fishing == page.desk.fishing
    assert steps.count() == 1
    settled(page)
    assert page.desk.curves is curves  # of all currents: kept
    assert page.desk.shown is not None
    assert page.desk.shown.fishing == page.desk.fishing
    undo(window)
    assert speed(window) == pytest.approx(3.0)
    assert not steps.canUndo()


def test_escape_puts_a_dragged_current_back(show: Show) -> None:
    window, page = show(rig_bench())
    plot, scale = page.depth_plot, page.depth_plot.scale()
    plot.setFocus()
    where = scale.point(2.0 * FOOT, 0.3 * scale.deep).toPoint()
    QTest.mousePress(plot, Qt.MouseButton.LeftButton, pos=where)
    assert speed(window) == pytest.approx(2.0, abs=0.06)
    keys(ESC)
    QTest.mouseRelease(plot, Qt.MouseButton.LeftButton, pos=where)
    assert speed(window) == pytest.approx(3.0)
    assert not window.document.undo_stack.canUndo()


def test_arrow_keys_move_the_current_and_a_held_key_is_one_step(show: Show) -> None:
    window, page = show(rig_bench())
    plot = page.depth_plot
    plot.setFocus()
    for _ in range(4):
        QTest.keyPress(plot, RIGHT)
    QTest.keyRelease(plot, RIGHT)
    assert speed(window) == pytest.approx(3.4)
    assert window.document.undo_stack.count() == 1
    QTest.keyClick(plot, LEFT, Qt.KeyboardModifier.ShiftModifier)
    assert speed(window) == pytest.approx(2.9)
    undo(window)
    undo(window)
    assert speed(window) == pytest.approx(3.0)


def test_a_degree_a_key_on_the_plan_view(show: Show) -> None:
    window, page = show(rig_bench())
    page.angle.plan.setFocus()
    keys(UP, UP, UP)
    assert math.degrees(window.document.bench.swing.angle) == pytest.approx(3.0)
    assert page.angle.plan.spoken == "The line hangs 3° across the stream."
    assert page.angle.clock.currentText() == "3°"
    keys(Qt.Key.Key_End)
    assert math.degrees(window.document.bench.swing.angle) == pytest.approx(60.0)
    keys(UP)
    assert math.degrees(window.document.bench.swing.angle) == pytest.approx(60.0)
    choose(page.angle.clock, 3)
    assert math.degrees(window.document.bench.swing.angle) == pytest.approx(30.0)
    settled(page)
    assert page.depth_card.aside.text().endswith(" straight below")


def test_the_ring_is_dragged(show: Show) -> None:
    window, page = show(rig_bench())
    plan = page.angle.plan
    start, end = plan.ring_at(0.0), plan.ring_at(math.radians(45.0))
    drag(plan, start, QPointF(end - start), steps=5)
    assert math.degrees(window.document.bench.swing.angle) == pytest.approx(45.0, abs=1.5)
    assert window.document.undo_stack.count() == 1


def test_flies_by_word_and_by_number(show: Show) -> None:
    window, page = show(rig_bench())
    light = figure(page)
    assert not page.tied.weight.isVisible()
    choose(page.tied.kind, list(FlyKind).index(FlyKind.WEIGHTED))
    assert window.document.bench.swing.fly is not None
    assert figure(page) != light
    choose(page.tied.kind, list(FlyKind).index(FlyKind.OWN))
    assert page.tied.weight.isVisible()
    assert page.tied.weight.text() == "9.0 gr"
    retype(page.tied.weight, "20 gr", ENTER)
    fly = window.document.bench.swing.fly
    assert fly.kind is FlyKind.OWN
    assert fly.weight == pytest.approx(20 * 64.79891e-6)


def test_leader_and_drift(show: Show) -> None:
    window, page = show(rig_bench())
    retype(page.tied.leader, ENTER, Qt.Key.Key_Backspace, ENTER)
    assert window.document.bench.swing.leader is None
    assert not page.tied.thickness.isEnabled()
    retype(page.tied.leader, "6 ft", ENTER)
    retype(page.tied.thickness, "0.015 in", ENTER)
    leader = window.document.bench.swing.leader
    assert leader is not None
    assert leader.length == pytest.approx(6 * FOOT)
    assert leader.diameter == pytest.approx(0.015 * 0.0254)
    assert not any("free drift" in each for each in words_on(page.remarks))
    retype(page.river.drift, "4", ENTER)
    settled(page)
    assert any("After 4 s of free drift" in each for each in words_on(page.remarks))


def test_on_a_shallow_bed_it_lies_on_the_bottom_and_no_figure_is_given(show: Show) -> None:
    window, page = show(rig_bench())
    hung = figure(page)
    retype(page.river.bed, "2 ft", ENTER)
    assert figure(page) == "On the bottom"
    assert "The rig lies on the bottom: there is no figure." in page.drawing.spoken
    assert "12 ft of 14 on the body: on the bottom." in page.depth_plot.spoken
    assert "is on the bed in 3 s" in page.settle_plot.spoken
    undo(window)
    assert figure(page) == hung
    retype(page.river.bed, Qt.Key.Key_Backspace, ENTER)
    assert window.document.bench.swing.bed is None
    assert not page.river.slackens.isEnabled()


def test_a_current_that_slackens_needs_its_bed(show: Show) -> None:
    bench = rig_bench()
    window, page = show(replace(bench, rigs=bench.rigs[:1]))
    before = page.desk.shown
    click(page.river.slackens)
    assert window.document.bench.swing.slackens
    settled(page)
    assert before is not None
    assert page.desk.shown is not None
    assert page.desk.shown.focus.depth > before.focus.depth
    retype(page.river.bed, Qt.Key.Key_Backspace, ENTER)
    swing = window.document.bench.swing
    assert swing.bed is None
    assert not swing.slackens


def test_what_is_looped_on_the_spot_is_kept_renamed_and_taken_apart(show: Show) -> None:
    window, page = show(replace(rig_bench(), rigs=()))
    bar = page.rig_bar
    names = [bar.box.itemText(i) for i in range(bar.box.count())]
    assert names[0] == "Tip, 10 ft of 11 + Skagit body, 23 ft (on the spot)"
    assert names[-1] == "Skagit body, 23 ft (on the spot)"
    assert len(names) == 4
    assert bar.keep.isVisible()
    assert not bar.apart.isVisible()
    click(bar.keep)
    (rig,) = window.document.bench.rigs
    assert rig.ahead == ("line-2",)
    assert rig.head == "line-1"
    assert page.desk.focus is not None
    assert page.desk.focus.key == rig.key
    assert bar.apart.isVisible()
    assert not bar.keep.isVisible()
    click(bar.rename)
    dialog = open_dialog(window, RenameDialog)
    assert isinstance(dialog, RenameDialog)
    retype(dialog.name, "Tail-out", ENTER)
    assert [each.name for each in window.document.bench.rigs] == ["Tail-out"]
    click(bar.apart)
    assert window.document.bench.rigs == ()
    undo(window)
    undo(window)
    assert [each.name for each in window.document.bench.rigs] == [rig.name]
    undo(window)
    assert window.document.bench.rigs == ()
    settled(page)


def test_still_water_and_a_floating_line(show: Show) -> None:
    bench = replace(rig_bench(), swing=Swing(speed=0.0))
    window, page = show(bench)
    assert figure(page) == "35 ft"
    assert page.drawing.spoken.startswith("Hanging in still water.")
    assert not page.depth_card.aside.isVisible()
    page.depth_plot.setFocus()
    keys(RIGHT)
    assert speed(window) == pytest.approx(0.1)
    settled(page)


def test_without_lines_it_says_what_is_missing(show: Show) -> None:
    _, page = show(Bench())
    assert "Put a line on the bench first, or open a sample from the menu." in words_on(page)


def test_while_another_page_is_shown_nothing_is_worked_out(show: Show) -> None:
    window, page = show(rig_bench())
    window.show_page("shape")
    asked = page.desk.together
    window.document.apply(rigs.set_swing, replace(window.document.bench.swing, speed=1.0))
    assert not window.jobs.is_busy()
    assert page.desk.together is asked
    window.show_page("water")
    settled(page)
    assert page.desk.shown is not None
    assert page.desk.shown.fishing.speed == 1.0


def test_the_drawings_are_charts_that_read_aloud(show: Show) -> None:
    _, page = show(rig_bench())
    for each in (page.drawing, page.depth_plot, page.settle_plot, page.angle.plan):
        heard = QAccessible.queryAccessibleInterface(each)
        assert heard.role() == QAccessible.Role.Chart
        assert heard.text(QAccessible.Text.Name)
        assert heard.text(QAccessible.Text.Value) == each.spoken != ""
    assert "slopes 13°" in page.drawing.spoken


@pytest.mark.parametrize("size", [(1024, 700), (1280, 800), (1920, 1080)])
def test_nothing_is_clipped(show: Show, size: tuple[int, int]) -> None:
    window, page = show(rig_bench())
    window.resize(*size)
    settled(page)
    assert clipped(page) == []


def test_the_sheet_tells_figure_causes_and_what_is_not_counted(show: Show) -> None:
    _, page = show(rig_bench())
    sheet = page.sheet()
    text = printed(sheet)
    assert page.depth_card.figure.text() in text
    for each in (
        "Straight below you, in a current of 3.0 ft/s.",
        "What makes it so wide",
        "Leader: 4 ft, 0.012 in thick.",
        "Not counted: belly and mends",
        "the rules of the water come first",
    ):
        assert each in text


def test_where_the_figure_does_not_hold_it_is_said_beside_it(show: Show) -> None:
    # So slow a current lets the whole rig sink, to its rod end.
    _, page = show(replace(rig_bench(), swing=Swing(speed=0.3 * FOOT)))
    assert page.depth_card.caveats.text().startswith("The whole rig is under, to its rod end")
    assert "The whole rig is under" not in page.remarks.said.text()
    retype(page.current.speed, "3", ENTER)
    settled(page)
    assert not page.depth_card.caveats.isVisible()


def test_where_the_current_slackens_the_line_follows_at_once_too(show: Show) -> None:
    bench = rig_bench()
    swing = replace(bench.swing, slackens=True)
    window, page = show(replace(bench, rigs=bench.rigs[:1], swing=swing))
    page.depth_plot.setFocus()
    keys(RIGHT)
    assert speed(window) == pytest.approx(3.1)
    assert page.desk.line is not None
    assert page.desk.line.fishing == page.desk.fishing


def test_the_first_depth_is_waited_for_without_talk_of_one_before(window: Window) -> None:
    window.file.put_in_hand(rig_bench(), None)
    window.show_page("water")
    page = window.pages.page("water")
    assert isinstance(page, WaterPage)
    assert page.desk.shown is None
    page.place.jobs.busy.emit(LANE, True)  # as where it takes its time
    assert page.desk.is_depth_late
    assert page.depth_card.title.text() == "The fly swims about"
    settled(page)
    assert page.desk.shown is not None
