"""The Tolerances page: what a thousandth costs, by keys and mouse, on screen and on paper."""

from __future__ import annotations

import json

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from taperlab import shipped
from taperlab.cli import Screen, run
from taperlab.edits.cut_back import cut_back_of
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.tolerance.page import TolerancePage
from taperlab.gui.pages.tolerance.plots import COST
from taperlab.gui.pages.tolerance.table import SHOWN
from taperlab.gui.plots.ink import Area
from taperlab.model.cut_log import Target, TargetKind
from taperlab.model.tolerance import AS_READ
from taperlab.shop.tolerance.columns import COLUMNS
from taperlab.shop.tolerance.dimensions import What
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence
from tests.cli.test_command_line import no_drawing, no_sheet, no_window
from tests.gui.hands import (
    CTRL,
    ENTER,
    FOOT,
    GRAIN,
    INCH,
    NOISE,
    click,
    keys,
    type_into,
    wait_active,
)
from tests.gui.reading import printed

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def opened(window: Window, sample: str = "scandi.taperlab") -> TolerancePage:
    window.file_menu.open_sample(sample)
    wait_active(window)
    window.show_page("tolerance")
    page = window.pages.page("tolerance")
    assert isinstance(page, TolerancePage)
    return page


@pytest.fixture
def page(window: Window) -> TolerancePage:
    return opened(window)


def place(key: str) -> int:
    return next(i for i, each in enumerate(SHOWN) if each.key == key)


def press_row(page: TolerancePage, row: int) -> None:
    table = page.table
    where = table.visualRect(table.causes.index(row, 0)).center()
    QTest.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=where)


def test_the_window_and_the_command_give_one_answer(page, capsys):
    file = str(shipped.sample("scandi.taperlab"))
    screen = Screen(no_window, no_drawing, no_sheet, no_sheet)
    assert run(["tolerance", file, "--json"], screen) == 0
    told = json.loads(capsys.readouterr().out)
    found = page.case.study
    assert found is not None
    assert told["weight_pm_gr"] == pytest.approx(found.spread.one.mass / GRAIN, rel=1e-9)
    assert told["in_window"] == page.case.builds.share
    assert [row["what"] for row in told["rows"]] == [
        str(page.table.causes.index(i, 0).data()) for i in range(len(told["rows"]))
    ]
    assert told["remarks"][0] == page.total.sentence.text()


def test_the_sentence_says_what_to_measure_first(page):
    said = page.total.sentence.text()
    assert said.startswith("0.001 in on the belly is 5.")
    assert said.endswith("measure those first; the tape hardly matters.")


def test_a_typed_tolerance_is_kept_with_the_line_and_taken_back(page, window):
    before = page.case.study.spread.one.mass
    field = page.closeness.fields["diameter"]
    assert field.placeholderText() == "0.00104 in"
    field.setFocus()
    keys("0.003 in", ENTER)
    line = window.document.line
    assert line.tolerance.diameter == pytest.approx(0.003 * INCH)
    assert page.case.study.spread.one.mass > 1.5 * before
    assert page.closeness.clear.isVisible()
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert window.document.line.tolerance == AS_READ
    assert page.case.study.spread.one.mass == before


def test_what_cannot_be_read_is_said_and_changes_nothing(page, window):
    field = page.closeness.fields["length"]
    field.setFocus()
    keys("two thumbs", ENTER)
    assert field.sentence
    assert page.closeness.problem.text() == field.sentence
    assert window.document.line.tolerance == AS_READ


def test_every_typed_tolerance_is_taken_away_at_once(page, window):
    for name, text in (("length", "1 in"), ("offset", "0.002 in"), ("piece", "10 ft")):
        page.closeness.fields[name].setFocus()
        keys(text, ENTER)
    assert window.document.line.tolerance.piece == pytest.approx(10.0 * FOOT)
    click(page.closeness.clear)
    assert window.document.line.tolerance == AS_READ
    assert page.closeness.fields["piece"].text() == ""


def test_instruments_are_those_of_measure(window):
    page = opened(window, "measured_head.taperlab")
    tools = window.document.bench.measurements[-1].instruments
    assert page.case.study.asked.instruments == tools
    page.closeness.measure.click()
    assert window.pages.current is window.pages.page("measure")


def test_a_chosen_diameter_is_marked_in_the_drawing(page):
    def marked() -> Area:
        plot = next(each for each in page.plots.chart.plots if each.key == COST)
        return next(ink for ink in plot.under if isinstance(ink, Area))

    rows = page.case.study.causes
    belly = marked()
    assert belly.x[-1] == pytest.approx(37.0 * FOOT)
    tip = next(i for i, each in enumerate(rows) if each.dimension.rows == (0, 1))
    press_row(page, tip)
    assert page.case.chosen is rows[tip]
    assert marked().x[0] == 0.0
    assert marked().x[-1] < 20.0 * FOOT
    # With the keys, up to what moves all diameters, which is marked from end to end.
    while page.case.chosen.dimension.what is not What.OFFSET:
        keys(Qt.Key.Key_Up)
    assert (marked().x[0], marked().x[-1]) == (0.0, pytest.approx(37.0 * FOOT))


def test_the_table_goes_to_a_spreadsheet(page):
    page.table.setFocus()
    keys(Qt.Key.Key_C, modifier=CTRL)
    first, *others = QApplication.clipboard().text().splitlines()
    heads = first.split("\t")
    assert heads == [each.heading(System.US) for each in COLUMNS]
    assert len(others) == len(page.case.study.causes)
    weights = [float(row.split("\t")[heads.index("Weight ± [gr]")]) for row in others]
    assert weights == sorted(weights, reverse=True)
    QApplication.clipboard().clear()
    click(page.copy_button)
    assert QApplication.clipboard().text().splitlines()[0] == first


def test_belly_left_on_begins_a_cut_back_of_a_copy(page, window):
    design = window.document.line
    mass, left = page.case.study.values.mass, page.case.left
    count = len(window.document.bench.lines)
    click(page.ways.button)
    assert window.pages.current is window.pages.page("cut")
    copy = window.document.line
    assert len(window.document.bench.lines) == count + 1
    assert copy.name == f"{design.name}, to cut back"
    assert copy.segments[left.row].length == pytest.approx(
        design.segments[left.row].length + left.length
    )
    assert cut_back_of(window.document.bench, copy).target == Target(TargetKind.WEIGHT, mass)
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert len(window.document.bench.lines) == count
    assert window.document.bench.cut_backs == ()


def test_a_window_that_few_builds_land_in_says_how_much_closer(window):
    page = opened(window, "long_belly.taperlab")
    assert page.builds.figure.text() == "91"
    assert page.ways.closer.text().startswith("Work closer: for 95 of 100")
    assert "97" in page.builds.words.text()
    assert "91" in page.builds.bell.spoken


def test_without_a_rod_no_builds_are_told(page):
    box = page.rod_card.box
    box.setFocus()
    box.setCurrentIndex(0)
    box.activated.emit(0)
    assert page.case.builds is None
    assert page.builds.figure.text() == "–"
    assert page.builds.words.text() == "choose a rod to see its grain window"
    assert not page.builds.bell.isVisible()


def test_an_edit_on_shape_is_caught_up_with(page, window):
    before = page.case.study
    window.show_page("shape")
    type_into(window, 3, 1, "9 ft")
    window.show_page("tolerance")
    assert page.case.study is not before
    assert page.case.study.head.segments[3].length == pytest.approx(9.0 * FOOT)


def test_a_bench_without_a_head_says_so_and_shows_no_figures(page, window):
    window.file_menu.new_bench()
    window.show_page("tolerance")
    assert page.case.study is None
    assert page.plots.chart.empty
    assert page.total.figure.text() == "–"
    assert not page.ways.isVisible()
    assert not page.copy_button.isEnabled()
    assert isinstance(page.sheet(), Sentence)


def test_metric(page, window):
    window.settings.use_system(System.METRIC)
    assert page.total.unit.text() == "g"
    assert page.total.sentence.text().startswith("0.01 mm on the belly is 0.14 g")
    assert "[g]" in page.table.causes.headerData(place("weight"), Qt.Orientation.Horizontal)


def test_what_is_printed(page):
    sheet = page.sheet()
    text = printed(sheet)
    assert page.total.sentence.text() in text
    assert "Diameter, belly" in text
    assert "Of 100 builds" in text
    assert "Overload" in text or "overload" in text


def test_the_crosshair_reads_what_a_place_costs(page):
    page.plots.setFocus()
    page.plots.point_at(33.0 * FOOT)
    assert "0.001 in of diameter here is 0.43 gr/ft" in page.plots.spoken


def test_a_narrow_table_says_what_it_leaves_out(page, window):
    window.resize(1024, 700)
    QApplication.processEvents()
    assert page.table.isColumnHidden(place("off"))
    assert "left out" in page.key.text()
    window.resize(1600, 900)
    QApplication.processEvents()
    assert not page.table.isColumnHidden(place("off"))
    assert "left out" not in page.key.text()


def test_readout_is_the_weight_with_its_error(page):
    ((name, value, remark),) = page.current_readouts()
    assert (name, value) == ("Weight of one head", "479.6 gr ±\u00a010.6\u00a0gr")
    assert remark == page.total.sentence.text()
