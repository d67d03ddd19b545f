"""A rig in the window: made in two clicks, looked at, edited through its lines, laid over."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu

from taperlab.cli import run
from taperlab.cli.asking import Screen
from taperlab.edits.bench import set_rods
from taperlab.edits.rigs import make_rig, set_swing
from taperlab.edits.values import set_part
from taperlab.files.native import read_bench
from taperlab.gui.dialogs.rig import RigDialog
from taperlab.gui.frame.rack_model import LINE_ROLE
from taperlab.gui.frame.window import Window
from taperlab.gui.plots.grips import Side
from taperlab.gui.plots.line_plots import OUTLINE, RUNNING
from taperlab.model.bench import Bench
from taperlab.model.line import JointKind
from taperlab.model.rig import FlyKind, Rig
from taperlab.model.rod import Measured
from taperlab.model.segment import Part
from taperlab.shipped import sample
from taperlab.trade.flies import flies
from tests.gui.hands import (
    ENTER,
    FOOT,
    GRAIN,
    NOISE,
    ask_for_menu,
    click,
    drag,
    keys,
    settle,
    shape,
    status,
    type_into,
    wait_active,
    words_on,
)
from tests.gui.reading import printed

pytestmark = pytest.mark.qt_log_ignore(NOISE)

BODY, HEAVY, LIGHT = "Skagit body, 23 ft", "Tip, 12 ft of 14", "Tip, 10 ft of 8"
RIG = "12 ft of 14 on the body"


def rig_bench() -> Bench:
    return read_bench(sample("rigs.taperlab"))


@pytest.fixture
def rigged(make: Callable[..., Window]) -> Window:
    window = make()
    window.file.put_in_hand(rig_bench(), sample("rigs.taperlab"))
    window.document.look(page="shape")
    settle()
    return window


@pytest.fixture
def on_rig(rigged: Window) -> Window:
    click(rigged.rack.view.viewport(), row_of(rigged, RIG))
    settle()
    return rigged


def row_of(window: Window, name: str) -> QPoint:
    model, view = window.rack.model, window.rack.view
    row = next(i for i in range(model.rowCount()) if model.index(i).data() == name)
    view.scrollTo(model.index(row))
    return view.visualRect(model.index(row)).center()


def choose(menu: QMenu, text: str) -> None:
    """Press a row of a menu with the mouse."""
    action = next(each for each in menu.actions() if each.text() == text)
    QTest.mouseClick(menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(action).center())
    settle()


def weight(window: Window) -> float:
    """What is cast together [gr]."""
    whole = window.document.whole
    assert whole is not None
    assert whole.head is not None
    return whole.head.mass / GRAIN


def test_a_rig_is_made_in_two_clicks_and_undone(rigged: Window) -> None:
    rigs = rigged.document.bench.rigs
    menu = ask_for_menu(rigged.rack.view, row_of(rigged, LIGHT))
    choose(menu, f"Loop “{LIGHT}” ahead of “{BODY}”")
    made = rigged.document.rig
    assert made is not None
    assert made not in rigs
    assert made.name == f"{LIGHT} + {BODY}"
    assert made.lines == ("line-4", "line-1")
    assert shape(rigged).rig_readouts.isVisible()
    assert not shape(rigged).readouts.isVisible()
    assert rigged.rack.view.currentIndex().data(LINE_ROLE) is made
    assert rigged.document.undo_text.__str__() == "Make rig"
    rigged.menus.actions["undo"].trigger()
    settle()
    assert rigged.document.rig is None
    assert rigged.document.bench.rigs == rigs
    assert shape(rigged).readouts.isVisible()


def test_a_rig_that_is_kept_without_being_looked_at_is_in_sight(rigged: Window) -> None:
    bench, view = rigged.document.bench, rigged.rack.view
    more = [replace(bench.lines[0], key=f"more-{i}", name=f"Body {i}") for i in range(30)]
    rigged.file.put_in_hand(replace(bench, lines=(*bench.lines, *more)), None)
    settle()
    view.scrollToTop()
    rigged.document.apply(make_rig, "more-1", ("line-4",))
    settle()
    made = rigged.document.bench.rigs[-1]
    where = view.visualRect(rigged.rack.model.index(rigged.rack.model.row_of(made)))
    assert view.viewport().rect().contains(where)
    assert rigged.document.rig is None


def test_a_chain_is_made_of_pieces_one_after_the_other(on_rig: Window) -> None:
    menu = ask_for_menu(on_rig.rack.view, row_of(on_rig, LIGHT))
    choose(menu, f"Loop “{LIGHT}” ahead of “{RIG}”")
    rig = on_rig.document.rig
    assert rig is not None
    assert (rig.name, rig.lines) == (RIG, ("line-4", "line-3", "line-1"))
    assert len(shape(on_rig).rig_readouts.joints.blocks) == 2
    menu = ask_for_menu(on_rig.rack.view, row_of(on_rig, HEAVY))
    choose(menu, f"Take it off “{RIG}”")
    rig = on_rig.document.rig
    assert rig is not None
    assert rig.lines == ("line-4", "line-1")


def test_a_tip_looked_at_is_looped_ahead_of_a_head_and_what_cannot_be_is_said(
    rigged: Window,
) -> None:
    click(rigged.rack.view.viewport(), row_of(rigged, LIGHT))
    rigged.menus.actions["add_line"].trigger()
    click(rigged.rack.view.viewport(), row_of(rigged, LIGHT))
    menu = ask_for_menu(rigged.rack.view, row_of(rigged, BODY))
    assert f"Loop “{LIGHT}” ahead of “{BODY}”" in [each.text() for each in menu.actions()]
    menu.close()
    menu = ask_for_menu(rigged.rack.view, row_of(rigged, "New line"))
    choose(menu, f"Loop “{LIGHT}” ahead of “New line”")
    assert rigged.document.rig is None
    assert status(rigged).startswith("New line can’t be looped: ")


def test_the_menu_of_lines_loops_too(rigged: Window) -> None:
    looping = next(
        action.menu()
        for action in rigged.menuBar().actions()[2].menu().actions()
        if isinstance(action.menu(), QMenu)
    )
    looping.aboutToShow.emit()
    texts = {action.text(): action for action in looping.actions()}
    assert len(texts) == 6
    texts[f"Loop “{HEAVY}” behind “{BODY}”"].trigger()
    assert rigged.document.rig is not None
    assert rigged.document.rig.behind == "line-3"


def test_the_rack_steps_through_lines_and_then_rigs(rigged: Window) -> None:
    seen = []
    for _ in range(8):
        thing = rigged.document.shown
        assert thing is not None
        seen.append(thing.name)
        rigged.menus.actions["next_line"].trigger()
    bench = rigged.document.bench
    assert seen[:7] == [each.name for each in (*bench.lines, *bench.rigs)]
    assert seen[7] == seen[0]


def test_a_rig_is_renamed_by_f2_and_taken_apart_by_its_menu(on_rig: Window) -> None:
    on_rig.rack.view.setFocus()
    keys(Qt.Key.Key_F2)
    settle()
    keys(Qt.Key.Key_A, modifier=Qt.KeyboardModifier.ControlModifier)
    keys("Deep", ENTER)
    settle()
    assert on_rig.document.rig is not None
    assert on_rig.document.rig.name == "Deep"
    assert "Deep" in words_on(shape(on_rig).rig_readouts)
    menu = ask_for_menu(on_rig.rack.view, row_of(on_rig, "Deep"))
    choose(menu, "Duplicate")
    assert on_rig.document.rig.name == "Deep copy"
    menu = ask_for_menu(on_rig.rack.view, row_of(on_rig, "Deep copy"))
    choose(menu, "Take apart")
    assert on_rig.document.rig is None
    assert on_rig.document.bench.rigs[0].name == "Deep"
    assert len(on_rig.document.bench.lines) == 4


def test_an_edit_of_a_line_shows_in_the_rig_and_undo_takes_it_back(on_rig: Window) -> None:
    before = weight(on_rig)
    box = shape(on_rig).header.member
    assert [box.itemText(i) for i in range(box.count())] == [HEAVY, BODY]
    box.setFocus()
    keys(Qt.Key.Key_Up)
    settle()
    assert on_rig.document.line is not None
    assert on_rig.document.line.name == HEAVY
    assert on_rig.document.rig is not None
    type_into(on_rig, 0, 1, "10 ft")
    settle()
    # Two feet of 14 gr/ft.
    assert before - weight(on_rig) == pytest.approx(28.0, abs=0.05)
    assert on_rig.document.whole is not None
    assert on_rig.document.whole.joints == pytest.approx((10 * FOOT,))
    texts = words_on(shape(on_rig).rig_readouts)
    assert "33 ft" in texts
    on_rig.menus.actions["undo"].trigger()
    settle()
    assert weight(on_rig) == pytest.approx(before)
    assert on_rig.document.rig is not None


def test_a_click_on_a_stretch_takes_its_line_in_hand_and_a_drag_edits_it(on_rig: Window) -> None:
    plots = shape(on_rig).plots
    wait_active(on_rig)
    panel = plots.panels[RUNNING]
    where = panel.point(5 * FOOT, 0.0) - QPointF(0.0, 30.0)
    click(plots.canvas.viewport(), plots.canvas.mapFromScene(where))
    settle()
    assert on_rig.document.line is not None
    assert on_rig.document.line.name == HEAVY
    strong = [each.text for each in plots.canvas.stage.brackets.brackets if each.strong]
    assert strong == [HEAVY]
    before = on_rig.document.line.length
    handle = plots.grips.find((OUTLINE, 1, Side.BOTH)) or plots.grips.find((OUTLINE, 1, Side.AHEAD))
    assert handle is not None
    point = QPointF(plots.canvas.mapFromScene(plots.grips.point_of(handle)))
    drag(plots.canvas.viewport(), point, QPointF(-40.0, 0.0))
    settle()
    assert on_rig.document.line.length < before - FOOT
    assert on_rig.document.whole is not None
    assert on_rig.document.whole.joints == pytest.approx((on_rig.document.line.length,))
    on_rig.menus.actions["undo"].trigger()
    assert on_rig.document.line.length == pytest.approx(before)


def test_handles_of_a_head_behind_a_tip_move_its_breakpoints(on_rig: Window) -> None:
    plots = shape(on_rig).plots
    handle = plots.grips.find((OUTLINE, 1, Side.BOTH))
    assert handle is not None
    assert handle.position == pytest.approx(15.5 * FOOT)
    point = QPointF(plots.canvas.mapFromScene(plots.grips.point_of(handle)))
    drag(plots.canvas.viewport(), point, QPointF(30.0, 0.0))
    settle()
    assert on_rig.document.line is not None
    moved = plots.grips.find((OUTLINE, 1, Side.BOTH))
    assert moved is not None
    assert moved.position > handle.position
    first = on_rig.document.line.segments[0].length
    assert first == pytest.approx(moved.position - 12 * FOOT, abs=1e-9)


def test_a_breakpoint_is_added_to_the_line_in_hand_alone(on_rig: Window) -> None:
    plots = shape(on_rig).plots
    plots.setFocus()
    plots.go_to(20 * FOOT)
    keys(Qt.Key.Key_Insert)
    settle()
    assert on_rig.document.line is not None
    assert len(on_rig.document.line.segments) == 4
    assert on_rig.document.line.starts[2] == pytest.approx(8 * FOOT)
    plots.go_to(5 * FOOT)
    keys(Qt.Key.Key_Insert)
    settle()
    assert len(on_rig.document.line.segments) == 4
    assert len(on_rig.document.bench.line("line-3").segments) == 1


def test_the_crosshair_says_which_line_and_the_plots_name_their_stretches(on_rig: Window) -> None:
    plots = shape(on_rig).plots
    plots.go_to(5 * FOOT)
    assert plots.canvas.pointer.words.columns[1] == f"{HEAVY}: sink tip"
    assert [each.text for each in plots.canvas.stage.brackets.brackets] == [HEAVY, BODY]
    assert plots.spoken.startswith("5 ft")
    outline = plots.panels[OUTLINE].plot.under[0]
    assert getattr(outline, "looped") == pytest.approx((12 * FOOT,))  # noqa: B009
    assert on_rig.document.whole is not None
    kinds = [joint.kind for joint in on_rig.document.whole.line.joints]
    assert kinds[0] is JointKind.LOOP_TO_LOOP


def test_a_rig_is_laid_over_as_a_line_is(rigged: Window) -> None:
    at = row_of(rigged, RIG)
    click(rigged.rack.view.viewport(), QPoint(15, at.y()))
    settle()
    page = shape(rigged)
    (laid,) = rigged.document.laid_over()
    assert isinstance(laid[0], Rig)
    assert [ink.name for ink in page.plots.panels[RUNNING].plot.laid] == [RIG]
    assert page.against.isVisible()
    assert rigged.document.whole is not None
    rig, body = laid[1].head, rigged.document.whole.head
    assert rig is not None
    assert body is not None
    shown, _ = page.against.differences(laid[1])
    assert shown["weight"].startswith(f"−{(rig.mass - body.mass) / GRAIN:.1f}")
    click(rigged.rack.view.viewport(), QPoint(15, at.y()))
    assert not rigged.document.laid_over()


def test_a_weight_is_found_along_the_rig(on_rig: Window) -> None:
    from taperlab.gui.dialogs.find_weight import FindWeightDialog

    on_rig.menus.actions["find_weight"].trigger()
    settle()
    dialog = on_rig.findChild(FindWeightDialog)
    assert dialog is not None
    keys("300")
    settle()
    assert "in the belly" in dialog.answer.text()
    assert f"That is in “{BODY}”." in dialog.answer.text()
    keys(ENTER)
    settle()
    whole = on_rig.document.whole
    assert whole is not None
    at = shape(on_rig).plots.position
    assert at == pytest.approx(float(whole.analysis.profile.position_of(300 * GRAIN)))


def test_window_and_command_line_tell_the_same(
    on_rig: Window, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["report", str(sample("rigs.taperlab")), "--rig", RIG, "--json"]
    asked += ["--temperature", "5 degC"]
    assert run(asked, Screen(_no, _no, _no, _no)) == 0
    told = json.loads(capsys.readouterr().out)
    whole, fit = on_rig.document.whole, on_rig.document.rod_fit()
    assert whole is not None
    assert whole.head is not None
    assert fit is not None
    assert told["line"]["name"] == whole.name == RIG
    head = told["head"]
    assert head["weight_gr"] == pytest.approx(whole.head.mass / GRAIN)
    assert head["length_ft"] == pytest.approx(whole.head.length / FOOT)
    assert head["balance_point_ft"] == pytest.approx(whole.head.balance_point / FOOT)
    assert told["rod"]["ratio"] == pytest.approx(fit.ratio)
    assert told["rod"]["judged_gr"] == pytest.approx((fit.mass or 0.0) / GRAIN)
    shown = shape(on_rig).rig_readouts
    assert shown.weight.text() == f"{told['rod']['judged_gr']:.0f} gr"
    rows = {name: value for name, value, _ in shape(on_rig).current_readouts()}
    assert rows["Weight of the rig"] == f"{head['weight_gr']:.1f} gr"
    assert rows["Ratio"] == f"{told['rod']['ratio']:.2f} ×"
    (joint,) = told["joints"]
    (block,) = shown.joints.blocks
    assert block.step.text() == f"step {joint['step']:.2f}"
    loops = f"{joint['loops_gr']:.2f}".rstrip("0")
    assert f"Both loops weigh {loops} gr." in block.reading.text()


def _no(*_arguments: object) -> int:
    raise AssertionError("no window was asked for")


def test_a_window_of_head_and_tip_judges_both(on_rig: Window) -> None:
    shown = shape(on_rig).rig_readouts
    assert (shown.judged.text(), shown.weight.text()) == ("The head alone weighs", "529 gr")
    assert shown.in_window.text().startswith("inside the grain window")
    assert shape(on_rig).plots.drawing.window_over is not None
    rod = on_rig.document.rod
    assert rod is not None
    windows = tuple(replace(each, measured_on=Measured.HEAD_AND_TIP) for each in rod.windows)
    rods = tuple(
        replace(each, windows=windows) if each is rod else each
        for each in on_rig.document.bench.rods
    )
    on_rig.document.apply(set_rods, rods, rod.key)
    settle()
    assert (shown.judged.text(), shown.weight.text()) == ("Head and tip weigh", "703 gr")
    assert shown.in_window.text() == "143 gr too heavy for the grain window"
    assert shape(on_rig).plots.drawing.window_over is None
    assert any("can break" in text for text in words_on(shape(on_rig).findings))
    click(on_rig.rack.view.viewport(), row_of(on_rig, BODY))
    settle()
    alone = shape(on_rig).readouts.in_window.text()
    assert alone == "the grain window is for head and tip: loop a tip to it"


def test_the_sheet_of_the_page_is_that_of_the_rig(on_rig: Window) -> None:
    sheet = on_rig.pages.current.sheet()
    assert printed(sheet).startswith(f"Build sheet\n{RIG}")


def test_a_rig_is_given_its_own_leader_and_fly(on_rig: Window) -> None:
    menu = ask_for_menu(on_rig.rack.view, row_of(on_rig, RIG))
    choose(menu, "Name, leader and fly…")
    dialog = on_rig.findChild(RigDialog)
    assert dialog is not None
    before = weight(on_rig)
    dialog.leader.setFocus()
    keys("6 ft")
    dialog.fly.setFocus()
    keys(Qt.Key.Key_Down, Qt.Key.Key_Down)
    dialog.name.setFocus()
    dialog.name.selectAll()
    keys("Evening", ENTER)
    settle()
    rig = on_rig.document.rig
    assert rig is not None
    assert rig.name == "Evening"
    assert rig.leader is not None
    assert rig.leader.length == pytest.approx(6 * FOOT)
    assert rig.fly == flies()[FlyKind.LIGHT].fly
    assert weight(on_rig) == before
    tied = shape(on_rig).rig_readouts.tied.text()
    assert tied.startswith("In front: a leader of 6 ft, a light fly.")
    on_rig.menus.actions["undo"].trigger()
    settle()
    assert "4 ft" in shape(on_rig).rig_readouts.tied.text()


def test_what_all_rigs_are_fished_with_is_told_anew_where_that_changes(on_rig: Window) -> None:
    swing = on_rig.document.bench.swing
    on_rig.document.apply(set_swing, replace(swing, leader=None))
    settle()
    told = shape(on_rig).rig_readouts.tied.text()
    assert told == "In front: a usual fly, which counts in none of these figures."


def test_a_rig_whose_lines_cannot_be_looped_any_more_is_said_and_its_line_shown(
    on_rig: Window,
) -> None:
    on_rig.document.apply(set_part, "line-3", 0, Part.RUNNING_LINE)
    settle()
    assert on_rig.document.rig is None
    assert shape(on_rig).readouts.isVisible()
    rig = on_rig.document.bench.rigs[0]
    assert on_rig.rack.model.figures(rig) == "can’t be looped"
    on_rig.menus.actions["undo"].trigger()
    settle()
    assert on_rig.document.rig is not None


def test_a_rig_is_shown_again_from_its_file(on_rig: Window, tmp_path: Path) -> None:
    target = tmp_path / "kept.taperlab"
    assert on_rig.file.save(target) is True
    bench = read_bench(target)
    assert bench.current_rig is not None
    assert bench.current_rig.name == RIG
