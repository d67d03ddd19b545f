"""The Tips page: tips typed by hand, looped to a head, told apart, laid over, copied, kept."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QItemSelectionModel, QPoint, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from taperlab.files.library import change_library
from taperlab.files.native import read_bench
from taperlab.gui.frame.window import Window
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.pages.tips.build_card import STEPPED
from taperlab.gui.pages.tips.columns import COLUMNS, DEPTHS, MARK, NAME, column
from taperlab.gui.pages.tips.delegate import PAD
from taperlab.gui.pages.tips.page import TipsPage
from taperlab.gui.pages.tips.table import TipsTable
from taperlab.gui.plots.line_plots import SINK, WEIGHT_ALONG
from taperlab.model.line import Style
from taperlab.model.segment import Part
from taperlab.shipped import sample
from taperlab.shop.tips.building import Aim
from taperlab.shop.tips.words import Tone
from taperlab.shop.water.words import depth_in_short
from taperlab.trade.starters import starter_stock
from taperlab.units.kinds import System
from tests.gui.hands import (
    CTRL,
    ENTER,
    ESC,
    FOOT,
    GRAIN,
    INCH,
    NOISE,
    TAB,
    choose,
    click,
    keys,
    retype,
    settled,
    shape,
    status,
    without_view,
)
from tests.gui.reading import printed

pytestmark = pytest.mark.qt_log_ignore(NOISE)

HEAD = (("belly", "23 ft", ".09", ".09", "0.87"),)
"""16.8 grains a foot."""
HEAVY = (("sink tip", "10 ft", ".036", ".036", "9.0"),)
"""27.8 grains a foot."""
STEPS = (("sink tip", "6 ft", ".03", ".03", "4.0"), ("sink tip", "6 ft", ".032", ".032", "5.5"))
"""8.6 grains a foot, and 13.4 at the joint."""
SHORT = (("sink tip", "6 ft", ".03", ".03", "4.0"),)


def tips_page(window: Window) -> TipsPage:
    window.show_page("tips")
    page = window.pages.page("tips")
    assert isinstance(page, TipsPage)
    settled(page.case)
    return page


@pytest.fixture
def page(window: Window) -> TipsPage:
    window.file_menu.open_sample("tips.taperlab")
    return tips_page(window)


def type_line(window: Window, style: Style, rows: tuple[tuple[str, ...], ...]) -> str:
    """A new line typed into the table of the Shape page, and its style chosen; its key."""
    window.show_page("shape")
    keys(Qt.Key.Key_N, modifier=CTRL | Qt.KeyboardModifier.ShiftModifier)
    shape(window).table.setFocus()
    for row in rows:
        for text in row:
            keys(text, TAB)
        for _ in range(4 if row is rows[-1] else 5):
            keys(TAB)
    choose(shape(window).header.style_box, list(Style).index(style))
    line = window.document.line
    assert line is not None
    assert len(line.segments) == len(rows)
    return line.key


def names(table: TipsTable) -> list[str]:
    return [row.line.name for row in table.tips.rows]


def shown(table: TipsTable) -> set[str]:
    return {COLUMNS[i].key for i in range(len(COLUMNS)) if not table.isColumnHidden(i)}


def press(table: TipsTable, row: int, modifier: Qt.KeyboardModifier) -> None:
    where = table.visualRect(table.tips.index(row, column(NAME))).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, modifier, where)


def press_heading(table: TipsTable, key: str) -> None:
    header = table.horizontalHeader()
    x = header.sectionViewportPosition(column(key)) + header.sectionSize(column(key)) // 2
    where = QPoint(x, header.height() // 2)
    QTest.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=where)


def test_three_tips_typed_by_hand_are_told_apart_laid_over_copied_and_kept(window: Window) -> None:
    window.file_menu.new_bench()
    head = type_line(window, Style.SKAGIT, HEAD)
    heavy, steps, short = (type_line(window, Style.TIP, rows) for rows in (HEAVY, STEPS, SHORT))
    page = tips_page(window)
    table, study = page.table, page.case.study
    assert study is not None
    # The tip in hand is no head: the first line that is one is.
    assert study.question.head.key == head
    assert [row.line.key for row in table.tips.rows] == [heavy, steps, short]
    tones = [found.tone for found in table.tips.verdicts]
    assert tones == [Tone.FAULT, Tone.PLAIN, Tone.PLAIN]
    assert "The deepest that does not hinge." in table.tips.verdict_text(1)
    assert page.deepest.name.text() == window.document.bench.line(steps).name
    # Two of them laid over, one by the mouse and one by keys.
    press(table, 0, Qt.KeyboardModifier.NoModifier)
    table.setFocus()
    keys(Qt.Key.Key_Down, modifier=CTRL)
    keys(Qt.Key.Key_Space)
    assert window.document.bench.view.overlays == (heavy, steps)
    drawn = {ink.name for ink in page.plots.chart.plots[0].own if ink.name}
    assert drawn == {window.document.bench.line(key).name for key in (heavy, steps)}
    # What is selected goes to a spreadsheet, headings and units first.
    keys(Qt.Key.Key_C, modifier=CTRL)
    first, *others = QApplication.clipboard().text().splitlines()
    assert first.split("\t")[:3] == ["Tip", "Length [ft]", "Weight [gr]"]
    assert [line.split("\t")[0] for line in others] == names(table)[:2]
    # The current one is kept as a rig, and taken back.
    before = window.document.bench
    page.rig_button.click()
    (rig,) = window.document.bench.rigs
    assert (rig.head, rig.ahead) == (head, (steps,))
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert window.document.bench.rigs == ()
    assert without_view(window.document.bench) == without_view(before)
    # Undo goes on through the work on the Shape page, and the page follows.
    for _ in range(20):
        if short not in {line.key for line in window.document.bench.lines}:
            break
        keys(Qt.Key.Key_Z, modifier=CTRL)
    settled(page.case)
    assert [row.line.key for row in table.tips.rows] == [heavy, steps]


def test_the_sample_is_told_from_the_deepest_down(page: TipsPage) -> None:
    table, study = page.table, page.case.study
    assert study is not None
    depths = [row.middle for row in table.tips.rows]
    assert depths == sorted(depths, reverse=True)
    assert page.title.text() == "Tips on Skagit head, 23 ft"
    assert study.best is not None
    words = page.place.read(depth_in_short(study.best.water))
    assert f"{page.deepest.figure.text()} {page.deepest.unit.text()}" == words
    at = names(table).index("10 ft of 17")
    assert table.tips.verdicts[at].tone is Tone.FAULT
    assert table.tips.verdict_text(at) == "Hinges: 17.00 gr/ft ahead of 15.77."


def test_a_heading_sorts_and_so_does_a_key(page: TipsPage) -> None:
    table = page.table
    press_heading(table, "weight")
    weights = [row.mass for row in table.tips.rows]
    assert weights == sorted(weights, reverse=True)
    press_heading(table, "weight")
    assert [row.mass for row in table.tips.rows] == sorted(weights)
    table.setFocus()
    table.setCurrentIndex(table.tips.index(0, column(NAME)))
    keys(Qt.Key.Key_F6)
    assert names(table) == sorted(names(table), key=str.casefold)
    press_heading(table, "drawn")  # sorts by nothing
    assert table.tips.sorted_by == column(NAME)


def go_to(table: TipsTable, name: str, key: str) -> None:
    table.setFocus()
    place = table.tips.index(names(table).index(name), column(key))
    table.selectionModel().setCurrentIndex(place, QItemSelectionModel.SelectionFlag.NoUpdate)


def test_a_name_is_typed_over_and_a_length_and_both_are_undone(
    window: Window, page: TipsPage
) -> None:
    table, document = page.table, page.place.document
    laid = document.bench.view.overlays
    go_to(table, "10 ft of 17", NAME)
    keys("Heavy ten", TAB)
    settled(page.case)
    assert "Heavy ten" in names(table)
    # Tab went on to the length, and what is laid over stayed so.
    assert table.currentIndex().column() == column("length")
    assert document.bench.view.overlays == laid
    before = page.case.study.row(table.current_row().line.key)
    keys("9 ft", ENTER)
    settled(page.case)
    after = page.case.study.row(before.line.key)
    assert after.length == pytest.approx(9 * FOOT)
    assert after.mass < before.mass
    assert after.middle < before.middle
    go_to(table, "Stepped 8 to 14", "length")
    keys("9 ft", ENTER)
    assert table.open_editor().sentence.startswith("Stepped 8 to 14 is of 3 pieces")
    assert "Shape" in status(window)
    keys(ESC)
    assert table.open_editor() is None
    for _ in range(2):
        keys(Qt.Key.Key_Z, modifier=CTRL)
    settled(page.case)
    assert "10 ft of 17" in names(table)
    assert document.bench.view.overlays == laid


def test_a_tip_is_taken_off_by_its_key_and_a_copied_name_is_pasted(page: TipsPage) -> None:
    table, document = page.table, page.place.document
    go_to(table, "10 ft of 8", NAME)
    QApplication.clipboard().setText("Light ten\n")
    keys(Qt.Key.Key_V, modifier=CTRL)
    settled(page.case)
    assert "Light ten" in names(table)
    QApplication.clipboard().setText("one\ttwo")
    keys(Qt.Key.Key_V, modifier=CTRL)
    assert "Light ten" in names(table)
    go_to(table, "Light ten", "rear")
    keys(Qt.Key.Key_Delete)
    settled(page.case)
    assert "Light ten" not in names(table)
    document.undo_stack.undo()
    document.undo_stack.undo()
    settled(page.case)
    assert "10 ft of 8" in names(table)


def test_its_keys_are_listed_and_edit_copy_copies_it(window: Window, page: TipsPage) -> None:
    (group,) = [each for each in window.menus.key_help() if each.title == "Keys in the table"]
    told = " ".join(row.does for row in group.rows)
    assert "Lay the tip over the plot" in told
    assert "Sort by the column" in told
    assert "parts" not in told
    page.plots.setFocus()
    QApplication.clipboard().clear()
    window.menus.actions["copy"].trigger()
    assert QApplication.clipboard().text().startswith("Tip\tLength [ft]")


def test_the_chosen_tip_is_seen_in_the_water_by_one_click(window: Window, page: TipsPage) -> None:
    choose(page.head.box, 1)
    settled(page.case)
    press(page.table, names(page.table).index("12 ft of 11"), Qt.KeyboardModifier.NoModifier)
    click(page.water_button)
    water = window.pages.current
    settled(water)
    assert water.desk.focus.name == "12 ft of 11 + Short belly, 34 ft"
    assert water.desk.focus.rig.lines == (page.table.current_row().line.key, "line-2")
    # Back on Tips, the angle that was chosen there is told, and leads there again.
    choose(water.angle.clock, 2)
    tips = tips_page(window)
    assert "° across the stream" in tips.swing.words.text()
    tips.swing.fold.open()
    click(tips.swing.elsewhere)
    assert window.pages.current is water


def test_another_head_is_chosen_and_all_is_told_of_it(page: TipsPage) -> None:
    before = {row.line.key: row.joint.step for row in page.case.study.rows}
    choose(page.head.box, 1)
    settled(page.case)
    assert page.title.text() == "Tips on Short belly, 34 ft"
    assert page.place.document.line.name == "Short belly, 34 ft"
    # Its front is thinner, so every step is larger.
    assert all(row.joint.step > before[row.line.key] for row in page.case.study.rows)


def test_another_current_is_typed_and_undone(page: TipsPage) -> None:
    before = page.case.study.best.middle
    page.swing.fold.open()
    retype(page.swing.speed, "5 ft/s", ENTER)
    settled(page.case)
    assert page.place.document.bench.swing.speed == pytest.approx(5 * FOOT)
    assert page.case.study.best.middle < before
    assert page.swing.words.text().startswith("at 5.0 ft/s, straight below")
    page.place.document.undo_stack.undo()
    settled(page.case)
    assert page.case.study.best.middle == pytest.approx(before)
    retype(page.swing.speed, "fast", ENTER)
    assert page.swing.problem.text()
    assert page.place.document.bench.swing.speed == pytest.approx(3 * FOOT)


def built(page: TipsPage) -> None:
    for _ in range(5000):
        QApplication.processEvents()
        if not page.place.jobs.is_busy():
            break
        QTest.qWait(1)
    QApplication.processEvents()


def test_a_level_tip_is_built_for_a_weight_and_put_in_the_table(page: TipsPage) -> None:
    build, document = page.build, page.place.document
    retype(build.fields[Aim.WEIGHT], "140 gr", ENTER)
    built(page)
    assert build.length.text() == "9 ft 7 in"  # of 14 grains a foot, and 5 in in its loops
    click(build.loops)
    built(page)
    assert build.length.text() == "10 ft"
    click(build.loops)
    built(page)
    assert not build.aims[Aim.STEP].isEnabled()
    assert not build.aims[Aim.SINK].isEnabled()
    assert "sink alike at any length" in build.decided.text()
    before, rows = document.bench, len(page.table.tips.rows)
    build.button.click()
    settled(page.case)
    added = document.bench.lines[-1]
    assert len(page.table.tips.rows) == rows + 1
    assert added.key in document.bench.view.overlays
    assert added.length == pytest.approx(9.5833 * FOOT, rel=1e-3)
    assert added.front_loop.fold == added.rear_loop.fold == pytest.approx(2.5 * INCH)
    assert document.line is before.current_line
    document.undo_stack.undo()
    settled(page.case)
    assert len(page.table.tips.rows) == rows


def test_a_tip_is_built_for_a_depth_and_what_cannot_be_is_said(page: TipsPage) -> None:
    build = page.build
    build.aims[Aim.DEPTH].click()
    retype(build.fields[Aim.DEPTH], "2 ft", ENTER)
    built(page)
    assert build.built is not None
    assert build.built.row.middle == pytest.approx(2 * FOOT, abs=0.01 * FOOT)
    retype(build.fields[Aim.DEPTH], "60 ft", ENTER)
    built(page)
    assert build.problem.text().startswith("6 in to 29 ft 7 in of this stock give")
    assert not build.button.isEnabled()
    retype(build.fields[Aim.DEPTH], "deep", ENTER)
    assert "deep" in build.problem.text()


def test_a_stepped_tip_is_built_from_three_materials(page: TipsPage) -> None:
    build = page.build
    build.kind.setCurrentIndex(STEPPED)
    retype(build.fields[Aim.WEIGHT], "132 gr", ENTER)
    built(page)
    assert [box.currentText()[-8:] for box in build.boxes] == [" 8 gr/ft", "11 gr/ft", "14 gr/ft"]
    # 22 grains a foot in both loops, 11 in the tip.
    assert build.length.text() == "11 ft 7 in"
    assert build.built.row.mass / GRAIN == pytest.approx(132.0, abs=0.01)
    assert build.aims[Aim.SINK].isEnabled()


def test_stock_kept_for_every_bench_is_built_from(page: TipsPage) -> None:
    stock = page.place.document.bench.stock
    own = replace((stock or starter_stock())[0], key="own", name="Kept at home", part=Part.SINK_TIP)
    own = replace(own, front_diameter=own.rear_diameter)
    change_library(lambda library: library.keeping(own))
    page.hide()
    page.show()
    box = page.build.boxes[0]
    assert box.findText("Kept at home") >= 0
    choose(box, box.findText("Kept at home"))
    assert not page.build.source.text()
    choose(box, box.findText("Tungsten level tip, 14 gr/ft"))
    assert "common practice" in page.build.source.text()
    assert page.build.dust.text().startswith("Tungsten dust: ")
    choose(box, box.findText("Intermediate level tip"))
    assert not page.build.dust.text()


def test_a_page_out_of_sight_works_nothing_out(window: Window, page: TipsPage) -> None:
    study = page.case.study
    window.show_page("shape")
    page.place.document.look(line="line-2")
    QApplication.processEvents()
    assert not page.place.jobs.is_busy("tips")
    assert page.case.study is study
    window.show_page("tips")
    settled(page.case)
    assert page.case.study.question.head.key == "line-2"


def test_small_windows_leave_columns_and_the_plot_of_sink_rates_out(
    window: Window, page: TipsPage
) -> None:
    spare = {"front", "rig", "ratio"}
    window.resize(1280, 800)
    QApplication.processEvents()
    assert spare <= shown(page.table)
    assert {plot.key for plot in page.plots.chart.plots} == {WEIGHT_ALONG, SINK}
    window.resize(1024, 700)
    QApplication.processEvents()
    assert not spare & shown(page.table)
    assert {DEPTHS, "step", "sinks", "rear"} <= shown(page.table)
    assert {plot.key for plot in page.plots.chart.plots} == {WEIGHT_ALONG}


def test_a_bench_without_tips_or_without_a_head_says_what_is_missing(window: Window) -> None:
    page = tips_page(window)
    assert "There is no tip on this bench yet." in page.deepest.name.text()
    assert "Build one" in page.empty.text()
    assert not page.rig_button.isEnabled()
    window.file_menu.new_bench()
    page = tips_page(window)
    assert page.plots.empty.text().startswith("Tips are looped to a head")
    assert str(page.sheet()) == "There is no head on the bench that tips could be looped to."


def test_metric_units_are_shown_at_once(page: TipsPage) -> None:
    page.place.settings.use_system(System.METRIC)
    at = page.table.tips.index(0, column("length"))
    assert at.data() == f"{page.table.tips.rows[0].length:.3f}"
    assert page.deepest.unit.text() == "m"
    assert page.table.tips.heading_text(column(DEPTHS)) == "Depth, m"


def test_a_sheet_is_printed_of_all_tips(page: TipsPage) -> None:
    text = printed(page.sheet())
    for row in page.case.study.rows:
        assert row.line.name in text
    assert "Hinges: 17.00 gr/ft ahead of 15.77." in text
    assert "Not counted" in text
    assert "tungsten powder" in text
    assert "the rules of the water come first" in text


def test_the_crosshair_reads_every_tip_from_the_joint(page: TipsPage) -> None:
    page.plots.go_to(page.plots.chart.stops[0] - 2 * FOOT)
    assert page.plots.spoken.startswith("2 ft ahead of the joint")
    assert "10 ft of 17: 17.00 gr/ft" in page.plots.spoken


def test_the_copy_is_said(window: Window, page: TipsPage) -> None:
    page.copy_button.click()
    assert status(window) == "Copied the table of tips"


def test_a_tip_of_which_only_length_and_weight_are_known(page: TipsPage) -> None:
    card = page.weighed
    card.fold.open()
    retype(card.length, "10 ft", TAB)
    retype(card.weight, "110 gr", TAB)
    assert card.words.text().startswith("It may sink ")
    assert not card.button.isEnabled()
    retype(card.diameter, "thin", TAB)
    assert card.problem.text()
    retype(card.diameter, "0.030 in", TAB)
    assert not card.words.isVisible()
    card.button.click()
    settled(page.case)
    added = page.place.document.bench.lines[-1]
    assert added.name == "10 ft, 110.0 gr"
    row = page.case.study.row(added.key)
    assert row.mass / GRAIN == pytest.approx(110.0)
    assert row in page.case.chosen


@pytest.mark.parametrize("system", System)
def test_every_heading_has_room_in_a_small_window(window: Window, system: System) -> None:
    window.settings.use_system(system)
    window.file.put_in_hand(read_bench(sample("tips.taperlab")), sample("tips.taperlab"))
    window.resize(1024, 700)
    page = tips_page(window)
    QApplication.processEvents()
    header = page.table.horizontalHeader()
    metrics = QFontMetrics(theming.font(SMALL))
    for place, shown in enumerate(COLUMNS):
        if header.isSectionHidden(place) or shown.key in (MARK, DEPTHS):
            continue
        room = header.sectionSize(place) - 2 * px(PAD)
        for text in (page.table.tips.heading_text(place), shown.unit(system)):
            assert metrics.horizontalAdvance(text) <= room, (shown.key, text, room)
