"""The Pieces page: shelf, pieces and cutting plan, by keys and mouse, on screen and on paper."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.edits.values import set_joint
from taperlab.files.library import load_library
from taperlab.files.shelf import read_shelf
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.pieces import pieces_tab, shelf_model, shelf_tab
from taperlab.gui.pages.pieces.page import PIECES, PLAN, SHELF, PiecesPage
from taperlab.model.bench import Bench
from taperlab.model.line import ONE_EXTRUSION
from taperlab.model.segment import Part
from taperlab.shop.pieces.material import per_length
from taperlab.units.kinds import System
from taperlab.units.show import NO_BREAK
from tests.cli.test_command_line import no_drawing, no_sheet, no_window
from tests.gui.hands import (
    CTRL,
    ENTER,
    FOOT,
    GRAIN,
    INCH,
    NOISE,
    TAB,
    banners,
    click,
    keys,
    retype,
    settle,
    wait_active,
)
from tests.gui.reading import printed

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def opened(window: Window, bench: Bench | None = None) -> PiecesPage:
    if bench is None:
        window.file_menu.open_sample("pieces.taperlab")
    else:
        window.document.load(bench, None)
    wait_active(window)
    window.show_page("pieces")
    page = window.pages.page("pieces")
    assert isinstance(page, PiecesPage)
    window.jobs.settle()
    return page


@pytest.fixture
def page(window: Window) -> PiecesPage:
    return opened(window)


def turn(page: PiecesPage, tab: int) -> None:
    click(page.tabs, page.tabs.tabRect(tab).center())
    shown = (page.shelf, page.pieces, page.plan)[tab]
    assert shown.isVisible()


def at(page: PiecesPage, row: int, column: int) -> None:
    table = page.shelf.table
    table.setFocus()
    table.go_to(row, column)


def shelf(page: PiecesPage):
    return page.place.document.bench.stock


def cell(model, row: int, column: int) -> str:
    return str(model.index(row, column).data())


def test_the_window_and_the_command_give_one_answer(page, capsys):
    file = str(shipped.sample("pieces.taperlab"))
    screen = Screen(no_window, no_drawing, no_sheet, no_sheet)
    assert run(["pieces", file, "--stock", file, "--json"], screen) == 0
    told = json.loads(capsys.readouterr().out)
    found = page.case.study
    assert found is not None
    for mine, theirs in zip(found.pieces, told["pieces"], strict=True):
        assert mine.stock.name == theirs["stock"]
        assert mine.cut / FOOT == pytest.approx(theirs["cut_length_ft"], rel=1e-9)
        assert mine.cut_mass / GRAIN == pytest.approx(theirs["weigh_before_bevel_gr"], rel=1e-9)
    assert found.proved is told["proved"]
    model = page.pieces.model
    assert [cell(model, i, pieces_tab.FROM) for i in range(model.count)] == [
        each["stock"] for each in told["pieces"]
    ]
    assert [each.stock.name for each in page.plan.bars.rows if each.cuts] == [
        each["stock"] for each in told["plan"]
    ]


# -- Shelf -----------------------------------------------------------------------------------------


def test_stock_is_typed_and_taken_back_by_keys(page):
    turn(page, SHELF)
    model, before = page.shelf.model, shelf(page)
    at(page, model.count, shelf_model.NAME)
    keys("Own spool", ENTER)
    assert shelf(page)[-1].name == "Own spool"
    row = model.count - 1
    at(page, row, shelf_model.KIND)
    keys("floating 10", TAB)
    keys("vinyl", TAB)
    keys("40 ft", TAB)
    keys("0.070", TAB)
    keys("10", TAB)
    keys("Rack C", ENTER)
    made = shelf(page)[-1]
    assert (made.kind, made.coating, made.place) == ("floating 10", "vinyl", "Rack C")
    assert made.whole_length == pytest.approx(40.0 * FOOT)
    # A label is believed until something was weighed: density follows it.
    assert per_length(made) == pytest.approx(10.0 * GRAIN / FOOT, rel=1e-9)
    assert cell(model, row, shelf_model.WEIGHED) == "not weighed"
    at(page, row, shelf_model.LEFT)
    keys("nonsense", ENTER)
    editor = page.shelf.table.open_editor()
    assert editor is not None
    assert "nonsense" in editor.sentence
    keys(Qt.Key.Key_Escape)
    for _ in range(7):
        page.place.document.undo_stack.undo()
    assert shelf(page) == before


def test_what_stock_cost_is_typed_and_what_it_is_meant_for_is_told(page):
    turn(page, SHELF)
    model, table = page.shelf.model, page.shelf.table
    row = next(i for i in range(model.count) if not shelf(page)[i].is_level)
    at(page, row, shelf_model.PRICE)
    keys("12.5", ENTER)
    assert shelf(page)[row].cost == 12.5
    at(page, row, shelf_model.PRICE)
    keys("much", ENTER)
    editor = table.open_editor()
    assert editor is not None
    assert "much" in editor.sentence
    keys(Qt.Key.Key_Escape)
    at(page, row, shelf_model.PRICE)
    keys(Qt.Key.Key_F2)
    keys(Qt.Key.Key_A, modifier=CTRL)
    keys(Qt.Key.Key_Backspace, ENTER)
    assert shelf(page)[row].cost is None
    meant = {shelf(page)[i].key: cell(model, i, shelf_model.MEANT) for i in range(model.count)}
    found = page.case.study
    told = {each.stock.key: {str(i + 1) for i in each.pieces} for each in found.plan}
    assert {key: set(text.split(", ")) for key, text in meant.items() if text} == told


def test_a_diameter_leaves_what_stock_weighs(page):
    turn(page, SHELF)
    weight = per_length(shelf(page)[0])
    at(page, 0, shelf_model.DIAMETERS)
    keys("0.060", ENTER)
    assert shelf(page)[0].front_diameter == pytest.approx(0.060 * 0.0254)
    assert per_length(shelf(page)[0]) == pytest.approx(weight, rel=1e-9)


def test_a_tapered_line_is_not_typed_thinner(page):
    turn(page, SHELF)
    row = next(i for i, each in enumerate(shelf(page)) if not each.is_level)
    before = shelf(page)
    at(page, row, shelf_model.LEFT)
    keys("3 ft", ENTER)
    editor = page.shelf.table.open_editor()
    assert editor is not None
    assert "tapered" in editor.sentence
    keys(Qt.Key.Key_Escape)
    assert shelf(page) == before


def test_ten_feet_on_the_scale_are_believed(page):
    turn(page, SHELF)
    at(page, 0, shelf_model.NAME)
    weigh = page.shelf.weigh
    weigh.mass.setFocus()
    keys("71")
    click(weigh.button)
    made = shelf(page)[0]
    assert per_length(made) == pytest.approx(7.1 * GRAIN / FOOT, rel=1e-9)
    # A half-grain scale, rounded: 0.5 / sqrt(12) gr of 71 gr.
    assert made.mass_error == pytest.approx(0.5 / 12.0**0.5 / 71.0, rel=1e-9)
    assert made.labelled == pytest.approx(7.0 * GRAIN / FOOT, rel=1e-3)
    assert cell(page.shelf.model, 0, shelf_model.WEIGHED).startswith("7.10 ±")
    assert page.shelf.doubt.isHidden()
    # A slip of the hand is asked about before anything is cut by it.
    weigh.mass.setFocus()
    keys("17", ENTER)
    assert "1.70 gr/ft, where 7.00 gr/ft was expected" in page.shelf.doubt.text()
    # The length that is typed is the one that was weighed.
    weigh.length.setFocus()
    weigh.length.selectAll()
    keys("5 ft", ENTER)
    keys("36", ENTER)
    assert per_length(shelf(page)[0]) == pytest.approx(7.2 * GRAIN / FOOT, rel=1e-9)


def test_what_was_typed_for_one_stock_is_not_the_next_ones(page):
    turn(page, SHELF)
    at(page, 0, shelf_model.NAME)
    before = shelf(page)
    page.shelf.weigh.mass.setFocus()
    keys("71")
    at(page, 1, shelf_model.NAME)
    assert page.shelf.weigh.mass.text() == ""
    click(page.shelf.weigh.button)
    assert shelf(page) == before


def test_rows_are_deleted_and_tables_pasted_as_one_step_each(page):
    turn(page, SHELF)
    before = shelf(page)
    at(page, 1, shelf_model.NAME)
    keys(Qt.Key.Key_Delete)
    assert len(shelf(page)) == len(before) - 1
    page.place.document.undo_stack.undo()
    assert shelf(page) == before
    QGuiApplication.clipboard().setText(
        "name\tlength [ft]\tfront diameter [in]\tgrains per foot [gr/ft]\nPasted\t20\t0.06\t8\n"
    )
    at(page, 0, shelf_model.NAME)
    keys(Qt.Key.Key_V, modifier=CTRL)
    assert shelf(page)[-1].name == "Pasted"
    assert len(shelf(page)) == len(before) + 1
    at(page, 0, shelf_model.NAME)
    keys(Qt.Key.Key_X, modifier=CTRL)
    keys(Qt.Key.Key_V, modifier=CTRL)
    was, now = before[0], shelf(page)[-1]
    assert now.name == was.name
    assert now.whole_length == pytest.approx(was.whole_length)
    assert per_length(now) == pytest.approx(shelf_model.per_length(was))


def test_a_table_under_other_headings_says_all_that_is_missing_in_full(page, window):
    """What the line below the page has no room for stands above it, until it was read."""
    turn(page, SHELF)
    window.resize(1024, 700)
    before = shelf(page)
    at(page, 0, shelf_model.NAME)
    QGuiApplication.clipboard().setText("Name;Länge;Durchmesser vorn;Ort\nSpule;30;2,0;Regal\n")
    for _ in range(2):  # a second time it does not stand there twice
        keys(Qt.Key.Key_V, modifier=CTRL)
        (said,) = banners(window)
        assert said.startswith(
            "Problem: Nothing was pasted: row 1: found no column for length and front"
        )
        assert said.endswith("gr/ft in the brackets.")
    assert shelf(page) == before
    # Once it is dismissed the keys are where they were.
    click(next(each for each in window.banners.findChildren(QPushButton) if each.isVisible()))
    assert banners(window) == []
    assert page.shelf.table.hasFocus()
    keys(Qt.Key.Key_V, modifier=CTRL)
    QGuiApplication.clipboard().setText("name;length [m];diameter [mm];label [g/m]\nA;30;2,0;3,0\n")
    keys(Qt.Key.Key_V, modifier=CTRL)
    assert len(shelf(page)) == len(before) + 1
    assert banners(window) == []


def test_the_shelf_goes_to_a_table_and_comes_back(page, tmp_path, monkeypatch):
    turn(page, SHELF)
    file = tmp_path / "shelf.csv"
    page.shelf.write_table(file)
    assert [each.name for each in read_shelf(file)] == [each.name for each in shelf(page)]
    names = [each.name for each in shelf(page)]
    page.shelf.table.selectAll()
    page.shelf.table.clear_cells()
    assert shelf(page) == ()
    assert not page.pieces.empty.isHidden()
    monkeypatch.setattr(shelf_tab.QFileDialog, "getOpenFileName", lambda *_: (str(file), ""))
    page.shelf.load.setFocus()
    keys(ENTER)
    assert [each.name for each in shelf(page)] == names
    assert page.shelf.chosen() == shelf(page)[0]


def test_stock_is_kept_for_every_bench(page):
    turn(page, SHELF)
    at(page, 0, shelf_model.NAME)
    menu = page.shelf.kept.menu()
    menu.aboutToShow.emit()
    keep = next(each for each in menu.actions() if each.text().startswith("Keep this one"))
    keep.trigger()
    assert [each.name for each in load_library().stock] == [shelf(page)[0].name]


# -- Pieces ----------------------------------------------------------------------------------------


def test_a_piece_is_tied_by_hand_and_left_open_again(page, window):
    turn(page, PIECES)
    table = page.pieces.table
    table.setFocus()
    table.go_to(1, pieces_tab.FROM)
    keys("Floating 14", ENTER)
    window.jobs.settle()
    assert page.place.document.line.segments[1].stock == "Floating 14"
    assert page.case.study.pieces[1].stock.name == "Floating 14"
    assert cell(page.pieces.model, 1, pieces_tab.FROM) == "Floating 14"
    table.go_to(1, pieces_tab.FROM)
    keys("No such spool", ENTER)
    editor = table.open_editor()
    assert editor is not None
    assert "No such spool" in editor.sentence
    keys(Qt.Key.Key_Escape)
    table.go_to(1, pieces_tab.FROM)
    keys(Qt.Key.Key_Delete)
    window.jobs.settle()
    assert page.place.document.line.segments[1].stock == ""


def test_a_running_line_stands_there_uncut_until_it_is_tied(page, window):
    bench, line = page.place.document.bench, page.place.document.line
    behind = replace(line.segments[1], part=Part.RUNNING_LINE, length=3.0 * FOOT)
    joints = (*line.joints, ONE_EXTRUSION)
    longer = replace(line, segments=(*line.segments, behind), joints=joints)
    lines = tuple(longer if each is line else each for each in bench.lines)
    before = len(page.case.study.pieces)
    window.document.load(replace(bench, lines=lines), None)
    window.jobs.settle()
    turn(page, PIECES)
    assert len(page.case.study.pieces) == before
    assert page.case.study.builds[0] is not None
    model, table = page.pieces.model, page.pieces.table
    row = model.count - 1
    assert cell(model, row, pieces_tab.FROM - 1) == "Running line"
    assert "Not cut" in [cell(model, row, column) for column in range(8)]
    table.setFocus()
    table.go_to(row, pieces_tab.FROM)
    keys("Floating 14", ENTER)
    window.jobs.settle()
    assert len(page.case.study.pieces) == before + 1
    assert page.case.study.pieces[-1].stock.name == "Floating 14"


def test_a_piece_that_is_clicked_is_told_in_words(page):
    table = page.pieces.table
    where = table.visualRect(table.model().index(0, pieces_tab.CUT)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=where)
    piece = page.case.study.pieces[0]
    said = page.pieces.way.text()
    assert said.startswith("Cut ")
    assert piece.stock.name in said
    assert "shavings" in said
    table.setFocus()
    before = page.pieces.bars.grab().toImage()
    keys(Qt.Key.Key_Down)
    assert page.pieces.way.text() != said
    assert page.pieces.bars.grab().toImage() != before  # another cut is marked


def test_the_head_is_drawn_added_up_and_weighed_on_the_way(page, window):
    tab, found = page.pieces, page.case.study
    pieces = list(found.of_head(0))
    drawn = tab.drawing.pieces
    assert [each.name for each in drawn] == ["1", "2", "3"]
    assert [each.length for each in drawn] == pytest.approx([each.finished for each in pieces])
    assert [each.is_now for each in drawn] == [True, False, False]
    inches = round(sum(each.finished for each in pieces) / FOOT * 96.0) / 8.0
    assert tab.total.text().startswith(f"Head: {int(inches // 12)} ft {int(inches % 12)} ")
    cells = [each.text().replace(NO_BREAK, " ") for each in tab.on_the_way.rows.cells]
    points = found.checkpoints(0)
    assert len(cells) == 3 * (1 + len(points))
    for row, point in enumerate(points, start=1):
        assert cells[3 * row + 1].startswith(f"{point.mass / GRAIN:.1f} ± ")
    total = tab.total.text().replace(NO_BREAK, " ")
    assert total.endswith(cells[-2].replace(" ±", " gr ±"))
    tab.table.setFocus()
    keys(Qt.Key.Key_Down)
    assert [each.is_now for each in tab.drawing.pieces] == [False, True, False]
    # In a narrow window the page scrolls as one, not the work in a strip of it.
    before = window.size()
    window.resize(700, 500)
    settle()
    assert page.body.is_stacked
    assert tab.area.height() >= tab.work.height()
    window.resize(before)
    settle()


def test_the_plan_says_what_is_cut_left_and_not_opened(page):
    turn(page, PLAN)
    said = page.plan.bars.spoken
    for each in page.case.study.plan:
        assert f"{each.stock.name}: " in said
    assert said.count("not opened") == len(shelf(page)) - len(page.case.study.plan)


def test_two_heads_are_planned_and_looked_at_one_by_one(page, window):
    table = page.heads.table
    table.setFocus()
    table.go_to(0, 1)
    keys("2", ENTER)
    window.jobs.settle()
    assert [page.pieces.head.itemText(i) for i in range(2)] == [
        "Spliced head, 32 ft (1)",
        "Spliced head, 32 ft (2)",
    ]
    page.pieces.head.setFocus()
    keys(Qt.Key.Key_Down)
    assert page.pieces.model.head == 1
    shown = page.pieces.model.row(0).piece
    assert shown.head == 1
    table.setFocus()
    table.go_to(0, 1)
    keys("many", ENTER)
    editor = table.open_editor()
    assert editor is not None
    assert "no number of heads" in editor.sentence
    keys(Qt.Key.Key_Escape)


def test_a_head_of_another_design_is_wanted_beside_the_one_in_hand(page, window):
    bench = window.document.bench
    other = replace(window.document.line, key="other", name="Other")
    window.document.load(replace(bench, lines=(*bench.lines, other)), None)
    window.jobs.settle()
    table = page.heads.table
    assert [page.case.count(each) for each in window.document.bench.lines] == [1, 0]
    table.setFocus()
    table.go_to(1, 1)
    keys("2", ENTER)
    assert [page.case.count(each) for each in window.document.bench.lines] == [1, 2]


def test_a_rule_that_is_typed_is_kept_to(page, window):
    page.rules.weight.setFocus()
    keys(Qt.Key.Key_Space)
    window.jobs.settle()
    assert page.case.study.question.rules.keeps_weight is False
    retype(page.rules.fields["overlap"], "2 in", ENTER)
    retype(page.rules.fields["spare"], "3 in", ENTER)
    window.jobs.settle()
    # As long as drawn; for its ends the fold of its loop, half of a lap and the spare. The laps
    # that the line has of its own stay as they are.
    line, first = page.place.document.line, page.case.study.pieces[0]
    own = line.joints[0].overlap
    assert own == pytest.approx(1.5 * INCH)
    assert page.case.study.question.rules.overlap == pytest.approx(2.0 * INCH)
    assert first.finished == pytest.approx(line.segments[0].length)
    more = line.front_loop.fold + own / 2.0 + 3.0 * INCH
    assert first.cut - first.finished == pytest.approx(more)
    # Where it has none they are as long as was typed.
    window.document.apply(set_joint, line.key, 0, ONE_EXTRUSION)
    window.jobs.settle()
    first = page.case.study.pieces[0]
    assert first.cut - first.finished == pytest.approx(more + INCH - own / 2.0)


# -- Cutting plan ----------------------------------------------------------------------------------


def test_cut_it_takes_feet_off_the_shelf_in_one_step(page, window):
    turn(page, PLAN)
    found, before = page.case.study, shelf(page)
    assert page.plan.verdict.text().startswith("Least loss, proved.")
    click(page.plan.cut)
    window.jobs.settle()
    cut = sum(each.cut for each in found.pieces)
    was, now = (sum(each.whole_length for each in some) for some in (before, shelf(page)))
    assert was - now == pytest.approx(cut, abs=1e-6)
    keys_left = {each.key for each in shelf(page)}
    assert {each.stock.key for each in found.plan} <= keys_left
    page.place.document.undo_stack.undo()
    assert shelf(page) == before


def test_a_stopped_plan_keeps_the_best_and_can_be_looked_for_again(page, window):
    turn(page, PLAN)
    page.case.set_count(page.place.document.line, 3)
    page.work_bar.show()  # as it does where the plan takes longer than a moment
    click(page.work_bar.button)
    window.jobs.settle()
    assert page.case.study is not None
    assert len(page.case.study.heads) == 3
    assert page.case.was_stopped
    assert not page.plan.again.isHidden()
    click(page.plan.again)
    window.jobs.settle()
    assert not page.case.was_stopped
    assert page.plan.again.isHidden()
    # Short as it is, that it was stopped is said.
    bench = window.document.bench
    short = tuple(replace(each, length=2.0 * FOOT) for each in bench.stock if each.is_level)
    window.document.load(replace(bench, stock=short), None)
    page.case.stop()
    window.jobs.settle()
    assert page.case.was_stopped
    assert "Stopped." in page.plan.verdict.text()


def test_short_stock_is_named(page, window):
    turn(page, PLAN)
    bench = page.place.document.bench
    short = tuple(replace(each, length=2.0 * FOOT) for each in bench.stock if each.is_level)
    window.document.load(replace(bench, stock=short), None)
    window.jobs.settle()
    assert page.case.study.short
    said = " ".join(each.text() for each in page.remarks.labels if not each.isHidden())
    for each in page.case.study.short:
        assert each.kind in said
    # Where nothing can be cut no card stands there with nothing in it.
    far = tuple(replace(each, length=0.05) for each in bench.stock if each.is_level)
    window.document.load(replace(bench, stock=far), None)
    window.jobs.settle()
    assert not page.case.study.pieces
    assert not page.pieces.bars.isVisibleTo(page.pieces)
    thick = tuple(each for each in bench.stock if each.kind == "floating 14")
    window.document.load(replace(bench, stock=thick), None)
    window.jobs.settle()
    assert page.case.study.pieces
    assert page.plan.verdict.text().startswith("Stock is short:")
    # What lacks stock stands in the table, so that what it is tied to can be typed there.
    turn(page, PIECES)
    drawn = page.pieces.drawing.pieces
    assert [each.name for each in drawn if each.is_on] == ["1"]
    assert [each.name for each in drawn if not each.is_on] == ["", ""]
    assert page.pieces.total.isHidden()
    assert page.pieces.on_the_way.rows.isHidden()
    model, table = page.pieces.model, page.pieces.table
    row = next(i for i in range(model.count) if model.row(i).piece is None)
    table.setFocus()
    table.go_to(row, pieces_tab.FROM)
    keys(thick[0].name, ENTER)
    window.jobs.settle()
    assert page.place.document.line.segments[model.row(row).place[1]].stock == thick[0].name


def test_the_sheet_has_the_cuts_and_the_cautions(page):
    sheet = page.sheet()
    said = printed(sheet)
    for each in page.case.study.pieces:
        assert each.stock.name in said
    assert "Cautions" in said
    assert "instructions" in said
    assert "expected, gr" in said
    assert "Weigh before any trim or bevel" in said


def test_welds_that_do_not_hold_are_named_at_their_joints(page, window):
    page.case.set_rules(overlap=0.0381)
    stock = tuple(
        replace(each, coating="vinyl" if each.is_level else "urethane") for each in shelf(page)
    )
    window.document.load(replace(page.place.document.bench, stock=stock), None)
    window.jobs.settle()
    said = page.pieces.welds.text().splitlines()
    assert [each.split(":")[0] for each in said] == ["Joint 1", "Joint 2"]
    assert all("not known to weld" in each for each in said)
    assert printed(page.sheet()).count("coatings not known to weld") == 2


def test_metric_is_shown_too(page):
    page.place.settings.use_system(System.METRIC)
    assert "(g)" in page.pieces.model.headings[pieces_tab.AS_CUT].text
    number, unit = cell(page.shelf.model, 0, shelf_model.LEFT).split()
    assert (float(number), unit) == (pytest.approx(shelf(page)[0].whole_length, abs=5e-4), "m")
    weight = float(cell(page.pieces.model, 0, pieces_tab.AS_CUT))
    assert weight == pytest.approx(1000.0 * page.case.study.pieces[0].cut_mass, abs=0.006)
