"""Rods, water, loops and stock: what is typed in a dialog is one step, or a sentence."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QDialog, QDialogButtonBox, QPushButton

from taperlab.edits.lines import set_style
from taperlab.gui.dialogs.bench import BenchNoteDialog, WaterDialog
from taperlab.gui.dialogs.find_weight import FindWeightDialog
from taperlab.gui.dialogs.form import FormDialog
from taperlab.gui.dialogs.line import LineDialog
from taperlab.gui.dialogs.rods import RodsDialog, WindowFields
from taperlab.gui.dialogs.stock import KeepStockDialog, StockDialog
from taperlab.gui.dialogs.texts import TextDialog
from taperlab.gui.frame.window import Window
from taperlab.model.line import LoopKind, Style
from taperlab.model.rod import Measured
from taperlab.model.water import WaterKind
from taperlab.trade.cautions import cautions
from taperlab.units.kinds import System
from tests.gui.hands import (
    CTRL,
    ENTER,
    ESC,
    FOOT,
    GRAIN,
    INCH,
    NOISE,
    at_cell,
    button,
    choose,
    click,
    clipped,
    keys,
    open_dialog,
    problem,
    settle,
    shape,
    wait_active,
    words_on,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def retype(field: object, text: str) -> None:
    field.setFocus()
    field.selectAll()
    keys(text)


def press(window: Window, key: Qt.Key) -> None:
    wait_active(window)
    window.setFocus()
    keys(key, modifier=CTRL)


def accept(dialog: QDialog) -> None:
    click(dialog.accept_button)
    settle()


# -- rods ----------------------------------------------------------------------------------------


def rods_dialog(window: Window) -> RodsDialog:
    press(window, Qt.Key.Key_R)
    return open_dialog(window, RodsDialog)


def add_new(dialog: RodsDialog) -> None:
    """Choose New rod from the menu of the Add button."""
    menu = button(dialog, "Add").menu()
    next(each for each in menu.actions() if each.text() == "New rod").trigger()


def windows_of(dialog: RodsDialog) -> list[WindowFields]:
    """The windows of the rod shown, from the top down."""
    shown = [each for each in dialog.findChildren(WindowFields) if each.isVisible()]
    return sorted(shown, key=lambda each: each.y())


def test_the_rod_picker_changes_ratio_and_window_and_is_one_step(window: Window) -> None:
    box = shape(window).rod_card.box
    rods = window.document.bench.rods
    assert box.count() == len(rods) + 1
    other = next(i for i, rod in enumerate(rods) if rod is not window.document.rod)
    choose(box, other + 1)
    assert window.document.rod is rods[other]
    head = window.document.analysis().head
    shown = shape(window).readouts.figures["ratio"].value
    assert shown == f"{head.length / rods[other].length:.2f} ×"
    choose(box, 0)
    assert window.document.rod is None
    assert shape(window).readouts.figures["ratio"].value == "–"
    assert "choose a rod" in shape(window).readouts.in_window.text()
    window.menus.actions["undo"].trigger()
    assert window.document.rod is rods[other]


def test_a_window_added_to_a_rod(window: Window) -> None:
    style = window.document.line.style
    window.document.look()
    dialog = rods_dialog(window)
    add_new(dialog)
    fields = dialog.fields
    retype(fields.name, "Alder, 13 ft, 7/8")
    retype(fields.length, "13")
    click(button(dialog, "Add a grain window"))
    row = windows_of(dialog)[-1]
    row.style_box.setCurrentIndex(list(Style).index(style))
    retype(row.lightest, "400")
    retype(row.heaviest, "30 g")
    retype(row.source, "weighed by the owner")
    row.measured.setFocus()
    keys(Qt.Key.Key_Down)
    steps = window.document.undo_stack.count()
    accept(dialog)
    rod = window.document.rod
    assert rod.name == "Alder, 13 ft, 7/8"
    assert rod.length == pytest.approx(13 * FOOT)
    assert len(rod.windows) == 1
    assert rod.windows[0].lightest == pytest.approx(400 * GRAIN)
    assert rod.windows[0].heaviest == pytest.approx(0.030)
    assert rod.windows[0].source == "weighed by the owner"
    assert rod.windows[0].measured_on is Measured.HEAD_AND_TIP
    assert window.document.undo_stack.count() == steps + 1
    assert shape(window).readouts.gauge.isVisible()
    assert "400 gr" in shape(window).readouts.gauge.accessibleName()
    window.menus.actions["undo"].trigger()
    assert rod not in window.document.bench.rods


@pytest.mark.parametrize(
    ("lightest", "heaviest", "words"),
    [
        ("500", "400", "must not be heavier"),
        ("five", "400", "does not start with a number"),
        ("", "400", "missing"),
        ("13 ft", "400", "a length where a weight is expected"),
    ],
)
def test_a_window_that_cannot_be_is_refused_in_a_sentence(
    window: Window, lightest: str, heaviest: str, words: str
) -> None:
    before = window.document.bench
    dialog = rods_dialog(window)
    click(button(dialog, "Add a grain window"))
    row = windows_of(dialog)[-1]
    assert row.lightest.hasFocus()
    free = [s for s in Style if s not in {each.style for each in window.document.rod.windows}]
    row.style_box.setCurrentIndex(list(Style).index(free[0]))
    if lightest:
        retype(row.lightest, lightest)
    retype(row.heaviest, heaviest)
    accept(dialog)
    assert dialog.isVisible()
    assert words in problem(dialog).text()
    assert problem(dialog).isVisible()
    keys(ESC)
    settle()
    assert window.document.bench is before


def test_two_windows_for_one_style_and_a_rod_without_a_name(window: Window) -> None:
    dialog = rods_dialog(window)
    add_new(dialog)
    for _ in range(2):
        click(button(dialog, "Add a grain window"))
        row = windows_of(dialog)[-1]
        row.style_box.setCurrentIndex(0)
        retype(row.lightest, "300")
        retype(row.heaviest, "400")
    accept(dialog)
    assert "same style" in problem(dialog).text()
    click(windows_of(dialog)[0].remove)
    settle()
    assert len(windows_of(dialog)) == 1
    retype(dialog.fields.name, " ")
    accept(dialog)
    assert "name" in problem(dialog).text()
    # Another rod can't be turned to and hide what is wrong.
    dialog.list.setCurrentRow(0)
    assert dialog.list.currentRow() == len(window.document.bench.rods)
    dialog.reject()


def test_every_rod_removed(window: Window) -> None:
    dialog = rods_dialog(window)
    for _ in window.document.bench.rods:
        click(button(dialog, "Remove"))
    accept(dialog)
    assert window.document.bench.rods == ()
    assert window.document.rod is None
    dialog = rods_dialog(window)
    accept(dialog)
    assert window.document.bench.rods == ()


def test_turning_from_rod_to_rod_keeps_what_was_typed(window: Window) -> None:
    dialog = rods_dialog(window)
    dialog.list.setCurrentRow(0)
    retype(dialog.fields.name, "First")
    dialog.list.setCurrentRow(1)
    retype(dialog.fields.name, "Second")
    dialog.list.setCurrentRow(0)
    assert dialog.fields.name.text() == "First"
    accept(dialog)
    assert [rod.name for rod in window.document.bench.rods[:2]] == ["First", "Second"]


# -- water ---------------------------------------------------------------------------------------


def test_sea_water_slows_sinking_and_is_one_step(window: Window) -> None:
    window.file_menu.open_sample("skagit.taperlab")
    before = window.document.analysis().head.sink
    press(window, Qt.Key.Key_W)
    dialog = open_dialog(window, WaterDialog)
    assert not dialog.salinity.isEnabled()
    dialog.kind.setCurrentIndex(1)
    assert dialog.salinity.isEnabled()
    retype(dialog.temperature, "41")
    retype(dialog.salinity, "33")
    accept(dialog)
    water = window.document.bench.water
    assert water.kind is WaterKind.SEA
    assert water.temperature == pytest.approx(278.15)
    assert water.salinity == pytest.approx(0.033)
    assert window.document.analysis().head.sink < before
    assert any(words.startswith("Sea, 41.0 °F") for words in words_on(shape(window).water))
    assert window.document.undo_stack.count() == 1
    window.menus.actions["undo"].trigger()
    assert window.document.analysis().head.sink == before


@pytest.mark.parametrize(
    ("temperature", "words"), [("150", "warmer"), ("cold", "does not start with a number")]
)
def test_water_that_cannot_be(window: Window, temperature: str, words: str) -> None:
    before = window.document.bench
    window.dialogs.edit_water()
    dialog = open_dialog(window, WaterDialog)
    retype(dialog.temperature, temperature)
    assert words in problem(dialog).text()
    accept(dialog)
    assert dialog.isVisible()
    dialog.reject()
    assert window.document.bench is before


def test_fresh_water_below_freezing_is_ice(window: Window) -> None:
    before = window.document.bench
    window.dialogs.edit_water()
    dialog = open_dialog(window, WaterDialog)
    retype(dialog.temperature, "-1 °C")
    accept(dialog)
    assert dialog.isVisible()
    assert "Fresh water must be from 32.0 °F" in problem(dialog).text()
    dialog.reject()
    assert window.document.bench is before


# -- the line itself -----------------------------------------------------------------------------


def test_a_loop_weighs_what_is_folded_back_and_what_it_adds(window: Window) -> None:
    window.file_menu.new_bench()
    at_cell(window, 0, 1)
    keys("20 ft", ENTER)
    for column, text in ((2, "0.08"), (3, "0.08"), (4, "0.9")):
        at_cell(window, 0, column)
        keys(text, ENTER)
    bare = window.document.analysis().head.mass
    press(window, Qt.Key.Key_L)
    dialog = open_dialog(window, LineDialog)
    assert not dialog.front.fold.isEnabled()
    dialog.front.kind.setCurrentIndex(list(LoopKind).index(LoopKind.FOLDED))
    retype(dialog.front.fold, "2")
    retype(dialog.front.mass, "1.5")
    retype(dialog.name, "Alder 20")
    accept(dialog)
    folded = math.pi / 4.0 * (0.08 * INCH) ** 2 * 900.0 * 2 * INCH
    now = window.document.analysis().head.mass
    assert now - bare == pytest.approx(folded + 1.5 * GRAIN, rel=1e-9)
    assert shape(window).readouts.weight.text() == f"{now / GRAIN:.0f} gr"
    assert shape(window).header.name.text() == "Alder 20"
    steps = window.document.undo_stack.count()
    window.menus.actions["undo"].trigger()
    assert window.document.undo_stack.index() == steps - 1
    assert window.document.line.front_loop.kind is LoopKind.NONE
    assert window.document.line.name == "New line"


def test_a_line_dialog_with_a_bad_field_stays_open(window: Window) -> None:
    before = window.document.bench
    window.dialogs.describe_line()
    dialog = open_dialog(window, LineDialog)
    dialog.rear.kind.setCurrentIndex(list(LoopKind).index(LoopKind.BRAIDED))
    retype(dialog.rear.mass, "2 lb")
    assert "too heavy for a loop" in problem(dialog).text()
    accept(dialog)
    assert dialog.isVisible()
    retype(dialog.rear.mass, "2")
    assert not problem(dialog).isVisible()
    retype(dialog.name, " ")
    accept(dialog)
    assert "needs a name" in problem(dialog).text()
    assert window.document.bench is before
    dialog.reject()


def test_the_style_box_of_the_page(window: Window) -> None:
    box = shape(window).header.style_box
    choose(box, list(Style).index(Style.SKAGIT))
    assert window.document.line.style is Style.SKAGIT
    window.menus.actions["undo"].trigger()
    assert box.currentIndex() == list(Style).index(window.document.line.style)


def test_a_length_from_stock_goes_in_below_the_current_row(window: Window) -> None:
    window.file_menu.new_bench()
    at_cell(window, 0, 1)
    keys("20 ft", ENTER)
    at_cell(window, 0, 0)
    window.menus.actions["insert_stock"].trigger()
    dialog = open_dialog(window, StockDialog)
    stock = window.document.bench.stock[0]
    retype(dialog.length, "2.5 m")
    accept(dialog)
    found = window.document.line.segments
    assert len(found) == 2
    assert found[1].length == 2.5
    assert found[1].density == stock.density
    assert found[1].part is stock.part


def test_more_than_the_spool_holds_is_said(window: Window) -> None:
    window.file_menu.new_bench()
    window.menus.actions["insert_stock"].trigger()
    dialog = open_dialog(window, StockDialog)
    for text in ("0", "-3", "three"):
        retype(dialog.length, text)
        assert problem(dialog).text()
        accept(dialog)
        assert dialog.isVisible()
    dialog.reject()
    assert window.document.line.segments == ()


# -- dialogs that only tell ----------------------------------------------------------------------


@pytest.mark.parametrize("name", ["methods", "cautions", "about"])
def test_help_opens_and_goes(window: Window, name: str) -> None:
    window.menus.actions[name].trigger()
    dialog = open_dialog(window, TextDialog)
    words = " ".join(words_on(dialog))
    if name == "cautions":
        for each in cautions():
            assert each.title in words
    assert len(words) > 100
    keys(ESC)
    settle()
    assert not window.findChildren(TextDialog)


def test_dialogs_read_and_show_the_units_of_the_window(make: Callable[..., Window]) -> None:
    window = make()
    window.use_system(System.METRIC)
    dialog = rods_dialog(window)
    assert dialog.fields.length.text().endswith(" m")
    retype(dialog.fields.length, "4,1")
    accept(dialog)
    assert window.document.rod.length == pytest.approx(4.1)
    assert QApplication.activeModalWidget() is None


def test_a_segment_is_kept_as_stock_and_taken_off_the_shelf(window: Window) -> None:
    before = len(window.document.bench.stock)
    at_cell(window, 3, 0)
    window.menus.actions["keep_stock"].trigger()
    dialog = open_dialog(window, KeepStockDialog)
    dialog.name.setText("Thick belly")
    dialog.try_accept()
    kept = window.document.bench.stock[-1]
    segment = window.document.line.segments[3]
    assert (kept.name, kept.length, kept.density) == (
        "Thick belly",
        segment.length,
        segment.density,
    )
    window.menus.actions["keep_stock"].trigger()
    dialog = open_dialog(window, KeepStockDialog)
    dialog.name.setText("Thick belly")
    dialog.try_accept()
    assert "already" in problem(dialog).text()
    dialog.reject()
    window.menus.actions["insert_stock"].trigger()
    shelf = open_dialog(window, StockDialog)
    shelf.box.setCurrentIndex(shelf.box.count() - 1)
    shelf.remove_button.click()
    assert len(window.document.bench.stock) == before
    assert shelf.box.count() == before
    shelf.reject()


def test_the_bench_takes_a_note(window: Window) -> None:
    window.menus.actions["bench_note"].trigger()
    dialog = open_dialog(window, BenchNoteDialog)
    dialog.note.setPlainText("For the Friday customer")
    dialog.try_accept()
    assert window.document.bench.note == "For the Friday customer"
    window.menus.actions["undo"].trigger()
    assert window.document.bench.note != "For the Friday customer"


def test_enter_means_done_in_every_dialog(window: Window) -> None:
    """A button that adds or removes must not take Enter from the one that finishes."""
    for open_it in (window.dialogs.edit_rods, window.dialogs.describe_line):
        open_it()
        dialog = QApplication.activeModalWidget() or window.findChildren(QDialog)[-1]
        default = [each for each in dialog.findChildren(QPushButton) if each.isDefault()]
        assert default == [dialog.accept_button]
        dialog.reject()
        settle()


@pytest.mark.parametrize(
    ("command", "verb"),
    [
        ("bench_note", ""),
        ("describe_line", ""),
        ("edit_rods", ""),
        ("edit_water", ""),
        ("edit_core", ""),
        ("edit_joint", ""),
        ("find_weight", "Find"),
        ("insert_stock", "Insert"),
        ("keep_stock", "Keep"),
        ("split_here", "Split"),
    ],
)
def test_a_dialog_ends_in_the_platforms_ok_and_cancel_or_in_a_verb(
    window: Window, command: str, verb: str
) -> None:
    window.menus.actions[command].trigger()
    settle()
    (dialog,) = (each for each in window.findChildren(FormDialog) if each.isVisible())
    standard = QDialogButtonBox.StandardButton
    assert dialog.buttons.button(standard.Cancel) is not None
    if verb:
        assert dialog.accept_button.text().replace("&", "") == verb
    else:
        assert dialog.accept_button is dialog.buttons.button(standard.Ok)
        platform = QDialogButtonBox(standard.Ok)
        assert dialog.accept_button.text() == platform.button(standard.Ok).text()
    dialog.reject()


def test_a_chosen_loop_is_offered_what_such_a_loop_usually_takes(window: Window) -> None:
    window.rack.add_line()
    window.dialogs.describe_line()
    dialog = open_dialog(window, LineDialog)
    for end in (dialog.front, dialog.rear):
        choose(end.kind, list(LoopKind).index(LoopKind.FOLDED))
    assert dialog.front.fold.value() == pytest.approx(2.5 * INCH)
    dialog.rear.fold.selectAll()
    dialog.rear.fold.setFocus()
    keys("3 in")
    choose(dialog.rear.kind, dialog.rear.kind.currentIndex())
    assert dialog.rear.fold.value() == pytest.approx(3 * INCH), "what was typed stays"
    dialog.reject()


def test_a_weight_is_found_and_pointed_at(window: Window) -> None:
    window.menus.actions["find_weight"].trigger()
    dialog = open_dialog(window, FindWeightDialog)
    dialog.weight.setFocus()
    keys("200 gr")
    assert "from the fly end, in the front taper" in dialog.answer.text()
    dialog.try_accept()
    reading = shape(window).plots.reading
    assert reading is not None
    assert reading.running_mass == pytest.approx(200 * GRAIN, rel=1e-9)
    window.menus.actions["find_weight"].trigger()
    dialog = open_dialog(window, FindWeightDialog)
    dialog.weight.setFocus()
    keys("2000 gr")
    assert dialog.answer.text() == "The line is lighter than that."
    dialog.reject()


def test_an_answer_of_two_lines_squeezes_nothing(window: Window) -> None:
    window.menus.actions["find_weight"].trigger()
    dialog = open_dialog(window, FindWeightDialog)
    retype(dialog.weight, "200 gr")
    settle()
    assert clipped(dialog) == []
    assert dialog.weight.height() >= dialog.weight.sizeHint().height()
    assert dialog.accept_button.height() >= dialog.accept_button.sizeHint().height()
    assert dialog.rect().contains(dialog.buttons.geometry())
    dialog.reject()


def test_the_list_of_rods_follows_a_name_that_is_typed(window: Window) -> None:
    dialog = rods_dialog(window)
    add_new(dialog)
    retype(dialog.fields.name, "Weir 13-6")
    assert dialog.list.currentItem().text() == "Weir 13-6"
    dialog.reject()


@pytest.mark.parametrize("style", [Style.SCANDI, Style.SWITCH])
def test_a_new_grain_window_is_one_for_the_style_at_hand(window: Window, style: Style) -> None:
    window.document.apply(set_style, window.document.line.key, style)
    dialog = rods_dialog(window)
    add_new(dialog)
    click(button(dialog, "Add a grain window"))
    click(button(dialog, "Add a grain window"))
    first, second = (each.style_box.currentData() for each in windows_of(dialog))
    assert first == style
    assert second != style, "two for one style are refused"
    dialog.reject()


def test_the_fields_of_a_form_are_equally_wide(window: Window) -> None:
    window.menus.actions["insert_stock"].trigger()
    dialog = open_dialog(window, StockDialog)
    dialog.resize(700, dialog.height())
    settle()
    assert dialog.box.width() == dialog.length.width()
    dialog.reject()
