"""The Measure page with keys, mouse and clipboard, as a shop-tech uses it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QPointF, Qt
from PySide6.QtGui import QGuiApplication, QMouseEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QTabBar,
    QWidget,
)
from pytestqt.qtbot import QtBot

from taperlab.edits.measure import add_station, start_measurement
from taperlab.edits.values import set_rear_diameter
from taperlab.files.native import read_bench, write_bench
from taperlab.gui.frame.window import Window
from taperlab.gui.kit.theme import contrast
from taperlab.gui.pages.measure.begin import BeginDialog
from taperlab.gui.pages.measure.details import DetailsDialog, InstrumentsDialog
from taperlab.gui.pages.measure.page import MeasurePage
from taperlab.gui.pages.measure.plots import OFF, MeasurePlots
from taperlab.gui.plots.ink import Area
from taperlab.gui.plots.line_plots import OUTLINE, WEIGHT_ALONG
from taperlab.gui.table.grid import PAD, Grid
from taperlab.model.bench import Bench
from taperlab.model.line import line_of
from taperlab.model.measurement import Measurement
from taperlab.model.segment import Part, Segment
from taperlab.physics.profile import Profile
from taperlab.shipped import sample
from taperlab.units.kinds import System
from tests.contracts.pseudo import UNITS, given, outside, reading_pseudo, words
from tests.gui import hands
from tests.gui.hands import CTRL, ENTER, click, clipped, open_dialog, retype, status, words_on

FOOT, INCH, GRAIN = 0.3048, 0.0254, 64.79891e-6

# A head worked out beforehand: what a person would read off it goes in by keys.
HEAD = line_of(
    "true",
    "True",
    (
        Segment(Part.FRONT_TAPER, 14 * FOOT, 0.040 * INCH, 0.096 * INCH, 860.0),
        Segment(Part.BELLY, 12 * FOOT, 0.096 * INCH, 0.096 * INCH, 860.0),
        Segment(Part.REAR_TAPER, 4 * FOOT, 0.096 * INCH, 0.052 * INCH, 860.0),
    ),
)
PLACES = (0, 1.5, 3, 4.5, 6, 7.5, 9, 10.5, 12, 13.5, 15, 17, 19, 21, 23, 25, 26.5, 27.5, 28.5, 30)


def thickness(feet: float) -> float:
    """Diameter of the head, in inches to half a thousandth."""
    at = np.interp(feet, [0, 14, 26, 30], [0.040, 0.096, 0.096, 0.052])
    return round(float(at) / 0.0005) * 0.0005


def head_weight() -> float:
    """Grains, to half a grain."""
    return round(float(Profile.of(HEAD).total_mass) / GRAIN * 2) / 2


@pytest.fixture
def page(window: Window, qtbot: QtBot) -> MeasurePage:
    window.show_page("measure")
    found = window.pages.page("measure")
    assert isinstance(found, MeasurePage)
    return found


def begin(page: MeasurePage, qtbot: QtBot, *, weight: str = "") -> None:
    """Fill the invitation in by keys and press Start."""
    fields = page.invitation.fields
    fields.name.setFocus()
    qtbot.keyClicks(fields.name, "Ford pool head")
    fields.length.setFocus()
    qtbot.keyClicks(fields.length, "30 ft")
    if weight:
        fields.weight.setFocus()
        qtbot.keyClicks(fields.weight, weight)
    qtbot.mouseClick(page.invitation.button, Qt.MouseButton.LeftButton)


def keys(qtbot: QtBot, text: str) -> None:
    """What a keyboard, or a caliper that types like one, sends: the text, then Enter."""
    target = QApplication.focusWidget()
    assert target is not None
    for character in text:
        qtbot.keyClick(QApplication.focusWidget(), character)
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)


def fitted(page: MeasurePage, qtbot: QtBot) -> None:
    """Wait for the fit of what is measured now."""
    qtbot.waitUntil(lambda: page.desk.is_fresh, timeout=20_000)


def measure_all(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot, weight=f"{head_weight()} gr")
    for feet in PLACES:
        keys(qtbot, f"{feet}")
        keys(qtbot, f"{thickness(feet):.4f}")
    fitted(page, qtbot)


def measurement(page: MeasurePage) -> Measurement:
    found = page.desk.measurement
    assert found is not None
    return found


def choose(page: MeasurePage, text: str) -> None:
    """Choose an entry of the menu beside the current measurement."""
    entries = {entry.text(): entry for entry in page.line_card.more.menu().actions()}
    entries[text].trigger()


@pytest.fixture
def sampled(make: Callable[..., Window], qtbot: QtBot) -> Window:
    """A window on the sample with a measured head, fitted."""
    window = make(demo=False)
    window.file.put_in_hand(read_bench(sample("measured_head.taperlab")), None)
    fitted(window.pages.page("measure"), qtbot)
    return window


# -- beginning --------------------------------------------------------------


def test_nothing_is_built_until_the_page_is_wanted(window: Window) -> None:
    assert not window.findChildren(MeasurePage)
    window.commit()
    assert not window.findChildren(MeasurePage)
    window.show_page("measure")
    assert window.findChildren(MeasurePage)


@pytest.mark.parametrize("plot", [OFF, WEIGHT_ALONG])
def test_the_band_of_what_may_be_has_an_edge_that_is_seen(sampled: Window, plot: str) -> None:
    plots = sampled.pages.current.plots
    panel = plots.panels[plot]
    band = next(ink for ink in panel.plot.under if isinstance(ink, Area))
    image, tokens = plots.canvas.grab().toImage(), plots.theme.tokens
    for edge in (band.upper, band.lower):
        seen = 0
        for share in np.linspace(0.15, 0.85, 15):
            place = float(np.interp(share, (0.0, 1.0), (band.x[0], band.x[-1])))
            x = round(panel.across(place))
            y = round(panel.upright(float(np.interp(place, band.x, edge))))
            found = [image.pixelColor(x, y + off).name() for off in (-1, 0, 1)]
            seen += any(contrast(each, tokens.card) >= 3.0 for each in found)
        assert seen >= 12  # a station, or a rule of the grid, may hide it here or there


def test_an_empty_page_invites_to_start(page: MeasurePage, qtbot: QtBot) -> None:
    assert page.invitation.isVisible()
    assert not page.stations.isVisible()
    begin(page, qtbot)
    assert not page.invitation.isVisible()
    assert page.stations.isVisible()
    assert page.stations.hasFocus()
    found = measurement(page)
    assert (found.name, found.length) == ("Ford pool head", pytest.approx(30 * FOOT))
    assert found.stations == found.sections == ()


def test_a_start_without_a_length_says_so(page: MeasurePage, qtbot: QtBot) -> None:
    qtbot.mouseClick(page.invitation.button, Qt.MouseButton.LeftButton)
    assert page.desk.measurement is None
    assert any("length is missing" in each for each in words_on(page.invitation))
    assert page.invitation.fields.length.bad


def test_a_design_on_the_bench_lends_its_length(
    page: MeasurePage, window: Window, qtbot: QtBot
) -> None:
    design = window.document.line
    page.invitation.fields.design.setCurrentIndex(1)
    qtbot.mouseClick(page.invitation.button, Qt.MouseButton.LeftButton)
    assert measurement(page).line == design.key
    assert measurement(page).length == design.length
    assert page.tabs.isTabVisible(2)


# -- measuring by keyboard --------------------------------------------------------------


def test_twenty_stations_by_keyboard_alone_give_the_weight_and_the_taper(
    page: MeasurePage, qtbot: QtBot
) -> None:
    measure_all(page, qtbot)
    found = measurement(page)
    assert len(found.stations) == 20
    assert [s.distance for s in found.stations] == pytest.approx([f * FOOT for f in PLACES])
    assert [s.readings[0] for s in found.stations] == pytest.approx(
        [thickness(f) * INCH for f in PLACES]
    )
    # The total as it stands on screen, against the head the readings were taken from.
    shown = float(page.weight_card.weight.text().removesuffix(" gr"))
    assert shown == pytest.approx(float(Profile.of(HEAD).total_mass) / GRAIN, abs=0.5)
    assert page.weight_card.error.text().startswith("±")
    breaks = [each.position / FOOT for each in page.plots.breakpoints]
    assert breaks == pytest.approx([14.0, 26.0], abs=0.5)
    parts = [page.fitted.grid.cell(row, 0).text for row in range(page.fitted.grid.count)]
    assert parts == ["Front taper", "Belly", "Rear taper"]


def test_the_fit_of_what_is_typed_first_never_fails_for_want_of_stations(
    page: MeasurePage, qtbot: QtBot
) -> None:
    begin(page, qtbot, weight="400 gr")
    wrong: list[str] = []
    page.place.jobs.failed.connect(wrong.append)
    for feet in (*PLACES[:7], 29):
        keys(qtbot, f"{feet}")
        keys(qtbot, f"{thickness(feet):.4f}")
        fitted(page, qtbot)
    assert wrong == []


def test_the_same_distance_again_is_another_reading_there(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot)
    for text in ("3", "0.052", "6", "0.064", "3", "0.0525"):
        keys(qtbot, text)
    stations = measurement(page).stations
    assert [s.distance for s in stations] == pytest.approx([3 * FOOT, 6 * FOOT])
    assert stations[0].readings == pytest.approx((0.052 * INCH, 0.0525 * INCH))
    assert page.stations.currentIndex().row() == 2
    assert page.stations.currentIndex().column() == 0


def test_further_readings_are_typed_beside_the_first(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot)
    for text in ("3", "0.052"):
        keys(qtbot, text)
    page.stations.go_to(0, 2)
    keys(qtbot, "0.0525 1.31 mm; 0.053")
    assert measurement(page).stations[0].readings == pytest.approx(
        (0.052 * INCH, 0.0525 * INCH, 0.00131, 0.053 * INCH)
    )


def test_a_bad_cell_says_why_in_place_and_keeps_what_was(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot)
    keys(qtbot, "3")
    keys(qtbot, "thick")
    editor = page.stations.open_editor()
    assert editor is not None
    assert editor.bad
    assert "thick" in str(editor.sentence)
    assert editor.text() == "thick"
    assert measurement(page).stations == ()
    (bubble,) = page.stations.findChildren(QLabel, "bubble")
    assert bubble.isVisible()
    qtbot.keyClick(editor, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    keys(qtbot, "0.052")
    assert measurement(page).stations[0].readings == pytest.approx((0.052 * INCH,))


def test_a_refused_reading_is_replaced_by_the_next_one(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot)
    page.stations.setFocus()
    keys(qtbot, "4 ft")
    for refused in ("0.0.52", "52.0.1", "0.052"):
        keys(qtbot, refused)
    assert page.stations.open_editor() is None
    (station,) = measurement(page).stations
    assert station.readings == (pytest.approx(0.052 * INCH),)


def test_a_diameter_typed_first_waits_for_its_distance(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot)
    page.stations.setFocus()
    page.stations.go_to(0, 1)
    keys(qtbot, "0.052")
    assert not measurement(page).stations
    assert [page.stations.grid.cell(0, column).text for column in (0, 1)] == ["Where?", "0.0520"]
    keys(qtbot, "4 ft")
    keys(qtbot, "0.06x")
    editor = page.stations.open_editor()
    assert editor is not None
    assert editor.sentence
    qtbot.keyClick(editor, Qt.Key.Key_Escape)
    keys(qtbot, "0.060")
    keys(qtbot, "6 ft")
    assert [(each.distance, each.readings) for each in measurement(page).stations] == [
        (pytest.approx(feet * FOOT), (pytest.approx(inch * INCH),))
        for feet, inch in ((4, 0.052), (6, 0.060))
    ]


def test_a_corrected_cell_changes_its_station_alone(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot)
    for text in ("3", "0.052", "6", "0.064"):
        keys(qtbot, text)
    page.stations.go_to(0, 1)
    before = measurement(page).stations
    keys(qtbot, "0.053")
    after = measurement(page).stations
    assert after[0].readings == pytest.approx((0.053 * INCH,))
    assert after[1] is before[1]
    assert page.place.document.undo_stack.undoText() == "Change station"


def test_stations_are_deleted_by_key_and_come_back(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot)
    for text in ("3", "0.052", "6", "0.064", "9", "0.076"):
        keys(qtbot, text)
    page.stations.go_to(1, 0)
    qtbot.keyClick(page.stations, Qt.Key.Key_Delete)
    assert [s.distance for s in measurement(page).stations] == pytest.approx([3 * FOOT, 9 * FOOT])
    page.place.document.undo_stack.undo()
    assert len(measurement(page).stations) == 3
    assert page.stations.grid.count == 3


def test_pasted_stations_are_one_step(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot)
    rows = ["distance [ft]\tdiameter"]
    rows[0] = "distance\tdiameter"
    rows += [f"{feet} ft\t{thickness(feet):.4f}\t{thickness(feet) + 0.0005:.4f}" for feet in PLACES]
    QGuiApplication.clipboard().setText("\n".join(rows))
    steps = page.place.document.undo_stack.count()
    qtbot.keyClick(page.stations, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert page.place.document.undo_stack.count() == steps + 1
    stations = measurement(page).stations
    assert len(stations) == 20
    assert all(len(station.readings) == 2 for station in stations)


@pytest.mark.parametrize(
    ("text", "distances", "diameters"),
    [
        # Decimal commas that can be nothing else tell of the one that could group thousands.
        ("1,125\t0,052\n2,5\t0,06\n", (1.125 * FOOT, 2.5 * FOOT), (0.052 * INCH, 0.06 * INCH)),
        ("distance [m]\tdiameter [mm]\n1\t1.5\n2\t1.6\n", (1.0, 2.0), (0.0015, 0.0016)),
    ],
)
def test_pasted_stations_are_read_as_a_file_of_them_is(
    page: MeasurePage,
    qtbot: QtBot,
    text: str,
    distances: tuple[float, ...],
    diameters: tuple[float, ...],
) -> None:
    begin(page, qtbot)
    QGuiApplication.clipboard().setText(text)
    qtbot.keyClick(page.stations, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    stations = measurement(page).stations
    assert [each.distance for each in stations] == pytest.approx(distances)
    assert [each.readings[0] for each in stations] == pytest.approx(diameters)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1,125\t52 thou\n", "could mean 1.125 or 1125"),
        ("distance\tdiameter [mm]\n1\t1.5\n", "found no unit"),
    ],
)
def test_pasted_stations_that_leave_something_open_are_refused(
    page: MeasurePage, window: Window, qtbot: QtBot, text: str, words: str
) -> None:
    begin(page, qtbot)
    QGuiApplication.clipboard().setText(text)
    window.menus.actions["paste"].trigger()
    assert measurement(page).stations == ()
    assert words in status(window)


def test_a_paste_that_can_not_be_read_changes_nothing_and_says_where(
    page: MeasurePage, window: Window, qtbot: QtBot
) -> None:
    begin(page, qtbot)
    QGuiApplication.clipboard().setText("3\t0.052\n6\twide\n")
    window.menus.actions["paste"].trigger()
    assert measurement(page).stations == ()
    assert "Row 2" in status(window)
    assert "wide" in status(window)


def test_the_edit_menu_never_acts_on_a_hidden_table(
    page: MeasurePage, window: Window, qtbot: QtBot
) -> None:
    line = window.document.line
    QGuiApplication.clipboard().setText("12 ft\n")
    for name in ("paste", "cut", "copy", "select_all"):
        window.menus.actions[name].trigger()
    for name in ("delete_rows", "merge_rows", "fill_down", "insert_below"):
        assert not window.menus.actions[name].isEnabled()
        window.menus.actions[name].trigger()
    assert window.document.line is line
    window.show_page("shape")
    assert window.menus.actions["delete_rows"].isEnabled()


def test_offcuts_are_typed_one_after_the_other(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot, weight="400 gr")
    page.sections.setFocus()
    page.sections.go_to(0, 0)
    for text in ("26", "30", "41.5", "0", "2 ft", "7 gr"):
        keys(qtbot, text)
    whole, *others = measurement(page).sections
    assert whole.rear == measurement(page).length
    assert [(s.front / FOOT, s.rear / FOOT, s.mass / GRAIN) for s in others] == [
        pytest.approx((26, 30, 41.5)),
        pytest.approx((0, 2, 7)),
    ]
    page.sections.go_to(1, 2)
    keys(qtbot, "7.5")
    assert measurement(page).sections[2].mass == pytest.approx(7.5 * GRAIN)
    page.sections.go_to(0, 0)
    qtbot.keyClick(page.sections, Qt.Key.Key_Delete)
    assert [s.front for s in measurement(page).sections] == [0.0, 0.0]
    assert page.sections.grid.count == 1


def test_a_section_that_ends_before_it_begins_is_refused_in_place(
    page: MeasurePage, qtbot: QtBot
) -> None:
    begin(page, qtbot)
    page.sections.setFocus()
    page.sections.go_to(0, 0)
    for text in ("26", "20", "41.5"):
        keys(qtbot, text)
    editor = page.sections.open_editor()
    assert editor is not None
    assert "farther from the fly end" in str(editor.sentence)
    assert measurement(page).sections == ()


def test_length_and_weight_can_be_mended_and_emptied(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot, weight="400 gr")
    card = page.line_card
    card.length.setFocus()
    card.length.selectAll()
    keys(qtbot, "31 ft")
    assert measurement(page).length == pytest.approx(31 * FOOT)
    assert measurement(page).sections[0].rear == measurement(page).length
    card.weight.setFocus()
    card.weight.selectAll()
    qtbot.keyClick(card.weight, Qt.Key.Key_Delete)
    qtbot.keyClick(card.weight, Qt.Key.Key_Return)
    assert measurement(page).sections == ()
    page.place.document.undo_stack.undo()
    assert measurement(page).sections[0].mass == pytest.approx(400 * GRAIN)
    assert card.weight.text() == "400.0 gr"


def other_file(folder: Path) -> Path:
    """A file whose one measurement is a short line of 3 m and 30 g."""
    bench = start_measurement(Bench(), None, 3.0, 0.030, "Short line").bench
    bench = replace(bench, view=replace(bench.view, page="shape"))
    write_bench(bench, folder / "short.taperlab")
    return folder / "short.taperlab"


@pytest.mark.parametrize("is_asleep", [False, True])
def test_a_file_opened_keeps_its_own_length_and_weight(
    sampled: Window, tmp_path: Path, is_asleep: bool
) -> None:
    page = sampled.pages.page("measure")
    if is_asleep:
        sampled.show_page("shape")
    path = other_file(tmp_path)
    (before,) = sampled.document.bench.measurements
    assert sampled.file_menu.open_path(path)
    (opened,) = read_bench(path).measurements
    assert opened.key == before.key
    for shown in ("measure", "shape", "measure"):
        sampled.show_page(shown)
        assert sampled.document.bench.measurements == (opened,)
        assert not sampled.document.is_dirty
    assert page.line_card.length.value() == 3.0
    assert page.line_card.weight.value() == 0.030
    assert page.line_card.weight.text() == "463.0 gr"


def test_what_waits_in_a_table_is_of_its_own_line(sampled: Window, tmp_path: Path) -> None:
    page = sampled.pages.page("measure")
    page.stations.setFocus()
    page.stations.go_to(page.stations.grid.count, 0)
    hands.keys("4 ft", ENTER)
    assert page.stations.grid.cell(page.stations.grid.count, 0).text == "4' 0\""
    assert sampled.file_menu.open_path(other_file(tmp_path))
    sampled.show_page("measure")
    assert page.stations.grid.count == 0
    assert page.stations.grid.cell(0, 0).text == "Next…"


def test_half_a_length_is_no_more_typed_once_another_file_is_open(
    sampled: Window, tmp_path: Path
) -> None:
    card = sampled.pages.page("measure").line_card
    retype(card.length, "12 foo")
    assert card.problem.text()
    assert sampled.file_menu.open_path(other_file(tmp_path))
    sampled.show_page("measure")
    assert card.length.value() == 3.0
    assert not card.problem.text()


def test_an_undone_length_stays_undone_on_another_page(
    page: MeasurePage, window: Window, qtbot: QtBot
) -> None:
    begin(page, qtbot, weight="400 gr")
    retype(page.line_card.length, "31 ft", ENTER)
    window.turn_to("shape")
    hands.keys(Qt.Key.Key_Z, modifier=CTRL)
    window.commit()
    window.show_page("measure")
    window.commit()
    assert measurement(page).length == pytest.approx(30 * FOOT)
    assert window.document.undo_stack.canRedo()
    assert page.line_card.length.text() == "30 ft"


def test_undo_after_enter_is_of_the_bench(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot, weight="400 gr")
    card = page.line_card
    retype(card.length, "31 ft", ENTER)
    retype(card.weight, "420 gr", ENTER)
    hands.keys(Qt.Key.Key_Z, modifier=CTRL)
    assert measurement(page).sections[0].mass == pytest.approx(400 * GRAIN)
    assert card.weight.text() == "400.0 gr"
    hands.keys(Qt.Key.Key_Z, modifier=CTRL)
    assert measurement(page).length == pytest.approx(30 * FOOT)
    assert card.length.text() == "30 ft"


def test_a_fit_leaves_what_is_being_typed(page: MeasurePage, qtbot: QtBot) -> None:
    begin(page, qtbot, weight="400 gr")
    for text in ("3", "0.052", "6", "0.064", "9", "0.076", "25", "0.096"):
        keys(qtbot, text)
    retype(page.line_card.length, "31 f")
    with qtbot.waitSignal(page.desk.studied, timeout=20_000):
        pass
    assert page.line_card.length.text() == "31 f"
    hands.keys("t", ENTER)
    assert measurement(page).length == pytest.approx(31 * FOOT)
    retype(page.line_card.weight, "42")
    with qtbot.waitSignal(page.desk.studied, timeout=20_000):
        pass
    assert page.line_card.weight.text() == "42"
    hands.keys("0 gr", ENTER)
    assert measurement(page).sections[0].mass == pytest.approx(420 * GRAIN)


# -- breakpoints, parts, bench --------------------------------------------------------------


def ring(plots: MeasurePlots, number: int) -> QPointF:
    """Where a breakpoint's ring is drawn."""
    found = plots.breakpoints[number]
    return plots.panels[OUTLINE].point(found.position, found.diameter)


def drag(plots: MeasurePlots, start: QPointF, end: QPointF, *, let_go: bool = True) -> None:
    view = plots.canvas.viewport()

    def send(kind: QEvent.Type, at: QPointF, held: Qt.MouseButton) -> None:
        button = Qt.MouseButton.LeftButton
        if kind is QEvent.Type.MouseMove:
            button = Qt.MouseButton.NoButton
        event = QMouseEvent(
            kind, at, view.mapToGlobal(at), button, held, Qt.KeyboardModifier.NoModifier
        )
        QApplication.sendEvent(view, event)

    send(QEvent.Type.MouseButtonPress, start, Qt.MouseButton.LeftButton)
    for share in (0.25, 0.5, 0.75, 1.0):
        send(QEvent.Type.MouseMove, start + (end - start) * share, Qt.MouseButton.LeftButton)
    if let_go:
        send(QEvent.Type.MouseButtonRelease, end, Qt.MouseButton.NoButton)


def test_a_dragged_breakpoint_is_held_in_one_step(sampled: Window, qtbot: QtBot) -> None:
    page, plots = sampled.pages.page("measure"), sampled.pages.page("measure").plots
    found = plots.breakpoints[1]
    assert not found.fixed
    steps = sampled.document.undo_stack.count()
    start = ring(plots, 1)
    drag(plots, start, start + QPointF(40.0, 0.0))
    fitted(page, qtbot)
    (held,) = measurement(page).breakpoints
    panel = plots.panels[OUTLINE]
    assert held == pytest.approx(panel.position_at(start.x() + 40.0), abs=INCH / 16 + 1e-9)
    assert held / (INCH / 8) == pytest.approx(round(held / (INCH / 8)))
    assert sampled.document.undo_stack.count() == steps + 1
    assert any(each.fixed and each.position == pytest.approx(held) for each in plots.breakpoints)
    sampled.document.undo_stack.undo()
    fitted(page, qtbot)
    assert measurement(page).breakpoints == ()


def test_escape_calls_a_drag_off(sampled: Window, qtbot: QtBot) -> None:
    page, plots = sampled.pages.page("measure"), sampled.pages.page("measure").plots
    steps = sampled.document.undo_stack.count()
    start = ring(plots, 1)
    drag(plots, start, start + QPointF(40.0, 0.0), let_go=False)
    assert measurement(page).breakpoints
    qtbot.keyClick(plots, Qt.Key.Key_Escape)
    assert measurement(page).breakpoints == ()
    assert sampled.document.undo_stack.count() == steps


def test_keys_choose_move_hold_and_let_go(sampled: Window, qtbot: QtBot) -> None:
    page, plots = sampled.pages.page("measure"), sampled.pages.page("measure").plots
    plots.setFocus()
    qtbot.keyClick(plots, Qt.Key.Key_PageDown)
    qtbot.keyClick(plots, Qt.Key.Key_PageDown)
    chosen = plots.grips.in_hand
    assert chosen is not None
    assert chosen.position == plots.breakpoints[1].position
    qtbot.keyClick(plots, Qt.Key.Key_Space)
    (held,) = measurement(page).breakpoints
    assert held == pytest.approx(chosen.position, abs=INCH / 16 + 1e-9)
    fitted(page, qtbot)
    qtbot.keyClick(plots, Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    fitted(page, qtbot)
    (moved,) = measurement(page).breakpoints
    assert 0.0 < moved - held <= 1.5 * INCH
    assert moved / INCH == pytest.approx(round(moved / INCH))
    qtbot.keyClick(plots, Qt.Key.Key_Delete)
    assert measurement(page).breakpoints == ()
    fitted(page, qtbot)
    assert not any(each.fixed for each in plots.breakpoints)


def test_a_breakpoint_is_added_by_double_click_and_by_key(sampled: Window, qtbot: QtBot) -> None:
    page, plots = sampled.pages.page("measure"), sampled.pages.page("measure").plots
    panel = plots.panels[WEIGHT_ALONG]
    at = QPointF(panel.across(10 * FOOT), panel.rect.center().y()).toPoint()
    qtbot.mouseDClick(plots.canvas.viewport(), Qt.MouseButton.LeftButton, pos=at)
    (first,) = measurement(page).breakpoints
    assert first == pytest.approx(10 * FOOT, abs=0.05 * FOOT)
    fitted(page, qtbot)
    plots.setFocus()
    qtbot.keyClick(plots, Qt.Key.Key_Home)
    for _ in range(3):
        qtbot.keyClick(plots, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(plots, Qt.Key.Key_Insert)
    assert measurement(page).breakpoints[0] == pytest.approx(3 * FOOT)
    texts = [action.text() for action in plots.context_menu().actions()]
    assert any("Let the stations place it" in text for text in texts)
    plots.toggle_only()
    fitted(page, qtbot)
    assert [each.position for each in plots.breakpoints] == pytest.approx([3 * FOOT, first])


def test_a_guessed_part_is_corrected_by_its_first_letters(sampled: Window, qtbot: QtBot) -> None:
    page = sampled.pages.page("measure")
    page.tabs.setCurrentIndex(1)
    page.fitted.setFocus()
    page.fitted.go_to(3, 0)
    keys(qtbot, "ru")
    fitted(page, qtbot)
    assert str(page.fitted.grid.cell(3, 0).text) == "Running line"
    assert measurement(page).parts[3] is Part.RUNNING_LINE
    # What is no head any more is told apart from the whole line.
    assert "head" in page.weight_card.more.text()
    page.fitted.go_to(0, 0)
    keys(qtbot, "sponge")
    editor = page.fitted.open_editor()
    assert editor is not None
    assert "sponge" in str(editor.sentence)


def test_the_fitted_line_goes_on_the_bench_and_is_renewed_there(
    sampled: Window, qtbot: QtBot
) -> None:
    page, button = sampled.pages.page("measure"), sampled.pages.page("measure").weight_card.button
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    line = sampled.document.line
    assert line.name == "Customer’s head"
    assert line.segments == page.desk.study.fit.line.segments
    assert len(sampled.document.bench.lines) == 2
    assert button.text() == "Update it on the bench"
    page.line_card.weight.set_value(440 * GRAIN)
    page.line_card.commit()
    fitted(page, qtbot)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert len(sampled.document.bench.lines) == 2
    profile = Profile.of(sampled.document.line)
    assert float(profile.total_mass) == pytest.approx(440 * GRAIN, abs=GRAIN)
    for _ in range(3):
        sampled.document.undo_stack.undo()
    assert len(sampled.document.bench.lines) == 1


# -- what is shown --------------------------------------------------------------


def test_differences_are_judged_by_word_and_symbol(sampled: Window) -> None:
    grid = sampled.pages.page("measure").compared.grid
    rows = [[grid.cell(r, c).text for c in range(8)] for r in range(grid.count)]
    assert rows[-1][0] == "Whole line"
    # Drawn: 408.4 gr by its own segments; the scale read 434.0 gr.
    assert rows[-1][6].startswith("+25.")
    assert rows[-1][7] == "▲ longer, heavier"
    assert rows[0][7] == "✓ within error"


def test_what_to_measure_next_is_a_plain_sentence(sampled: Window) -> None:
    words = sampled.pages.page("measure").next_card.first.text()
    assert words.endswith(".")
    # What harms nothing comes first: an end on the pan, and how sure that is.
    assert "on the pan, the rest beside it on a level bench" in words
    assert "tried on no real line" in words
    assert "would tell the weight per length to ±" in words
    assert "at a usual place; now it is ±" in words


def test_everything_follows_the_units(sampled: Window, qtbot: QtBot) -> None:
    page = sampled.pages.page("measure")
    mass = page.desk.study.total[0]
    sampled.use_system(System.METRIC)
    assert page.weight_card.weight.text() == f"{mass * 1000:.2f} g"
    assert str(page.stations.grid.cell(3, 0).text) == "0.914 m"
    assert page.stations.grid.headerData(1, Qt.Orientation.Horizontal) == "⌀ (mm)"
    assert page.stations.grid.headerData(3, Qt.Orientation.Horizontal) == "Off (µm)"
    assert page.line_card.length.text() == "11.065 m"
    assert " ft" not in page.next_card.first.text()
    assert "micrometres" in page.plots.panels[OFF].frame.title
    page.stations.setFocus()
    page.stations.go_to(page.stations.grid.count, 0)
    keys(qtbot, "3,81")
    keys(qtbot, "1.30")
    station = measurement(page).stations[-1]
    assert (station.distance, station.readings[0]) == pytest.approx((3.81, 0.0013))


def test_a_station_far_off_its_neighbours_is_marked_and_left_out(
    sampled: Window, qtbot: QtBot
) -> None:
    page = sampled.pages.page("measure")
    page.stations.setFocus()
    page.stations.go_to(10, 1)
    keys(qtbot, "0.085")
    fitted(page, qtbot)
    cell = page.stations.grid.cell(10, 1)
    assert cell.role == "slip"
    assert "left out, read it again" in cell.tip
    assert "left out" in words_on(page.remarks)[0]


def test_the_good_value_typed_at_the_same_place_is_kept_and_the_slip_left_out(
    page: MeasurePage, qtbot: QtBot
) -> None:
    begin(page, qtbot, weight=f"{head_weight()}")
    page.stations.setFocus()
    for feet in range(0, 31, 2):
        keys(qtbot, f"{feet} ft")
        keys(qtbot, "0.069" if feet == 16 else f"{thickness(feet):.4f}")
    fitted(page, qtbot)
    (said,) = [each for each in words_on(page.remarks) if "left out" in each]
    assert "0.069 at 16 ft stands alone among" in said
    keys(qtbot, "16 ft")
    keys(qtbot, f"{thickness(16):.4f}")
    fitted(page, qtbot)
    assert [each.readings for each in measurement(page).stations if len(each.readings) == 2]
    (said,) = [each for each in words_on(page.remarks) if "left out" in each]
    assert "read there too, fits the neighbours" in said
    roles = [page.stations.grid.cell(row, 1).role for row in range(16)]
    assert roles == ["slip" if row == 8 else "" for row in range(16)]
    study = page.desk.study
    assert study is not None
    assert study.fit is not None
    at = np.array([16 * FOOT])
    assert study.fit.shape.state.diameter(at)[0] == pytest.approx(thickness(16) * INCH, abs=2e-5)
    assert len(study.fit.line.segments) == 3


def test_names_are_there_for_screen_readers(sampled: Window, qtbot: QtBot) -> None:
    page = sampled.pages.page("measure")
    for widget in (
        page.plots,
        page.stations,
        page.sections,
        page.fitted,
        page.compared,
        page.tabs,
        page.line_card.box,
        page.line_card.more,
        page.line_card.length,
        page.line_card.weight,
    ):
        assert widget.accessibleName()
    assert "±" in page.weight_card.accessibleName()
    page.plots.setFocus()
    qtbot.keyClick(page.plots, Qt.Key.Key_PageDown)
    assert "breakpoint" in page.plots.spoken


# -- files, undo, several --------------------------------------------------------------


def test_undo_takes_it_all_back_to_the_invitation(page: MeasurePage, qtbot: QtBot) -> None:
    measure_all(page, qtbot)
    stack = page.place.document.undo_stack
    assert stack.count() == 21
    for _ in range(20):
        stack.undo()
    assert measurement(page).stations == ()
    stack.undo()
    assert page.invitation.isVisible()
    for _ in range(21):
        stack.redo()
    fitted(page, qtbot)
    assert len(measurement(page).stations) == 20


def test_a_saved_measurement_is_opened_and_gone_on_with(
    page: MeasurePage,
    window: Window,
    make: Callable[..., Window],
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    measure_all(page, qtbot)
    window.file.save(tmp_path / "measured.taperlab")
    before = page.desk.study.total
    other = make(demo=False)
    assert other.file_menu.open_path(tmp_path / "measured.taperlab")
    again = other.pages.page("measure")
    assert again.isVisible()
    fitted(again, qtbot)
    assert again.desk.study.total == before
    again.stations.setFocus()
    again.stations.go_to(20, 0)
    keys(qtbot, "5 ft")
    keys(qtbot, "0.0600")
    assert len(measurement(again).stations) == 21
    assert len(measurement(page).stations) == 20


def test_a_page_turned_takes_what_is_being_typed(
    page: MeasurePage, window: Window, qtbot: QtBot
) -> None:
    begin(page, qtbot)
    keys(qtbot, "3")
    for character in "0.052":
        qtbot.keyClick(QApplication.focusWidget(), character)
    window.show_page("shape")
    assert len(measurement(page).stations) == 1


def test_another_line_is_measured_beside_the_first(
    page: MeasurePage, window: Window, qtbot: QtBot
) -> None:
    begin(page, qtbot)
    choose(page, "Measure another line…")
    dialog = open_dialog(window, BeginDialog)
    qtbot.keyClicks(dialog.fields.name, "Second head")
    click(dialog.accept_button)
    assert any("missing" in each for each in words_on(dialog))
    qtbot.keyClicks(dialog.fields.length, "28 ft")
    click(dialog.accept_button)
    assert measurement(page).name == "Second head"
    assert [page.line_card.box.itemText(i) for i in range(2)] == ["Ford pool head", "Second head"]
    page.line_card.box.setFocus()
    qtbot.keyClick(page.line_card.box, Qt.Key.Key_Up)
    assert measurement(page).name == "Ford pool head"
    choose(page, "Delete this measurement")
    assert measurement(page).name == "Second head"


def test_instruments_change_the_errors(sampled: Window, qtbot: QtBot) -> None:
    page = sampled.pages.page("measure")
    before = page.desk.study.total[1]
    choose(page, "Instruments…")
    dialog = open_dialog(sampled, InstrumentsDialog)
    dialog.scale.selectAll()
    qtbot.keyClicks(dialog.scale, "5 gr")
    click(dialog.accept_button)
    fitted(page, qtbot)
    assert measurement(page).instruments.scale == pytest.approx(5 * GRAIN)
    assert page.desk.study.total[1] > 3.0 * before
    choose(page, "Instruments…")
    dialog = open_dialog(sampled, InstrumentsDialog)
    dialog.tape.selectAll()
    qtbot.keyClicks(dialog.tape, "0 in")
    click(dialog.accept_button)
    assert any("tape" in each for each in words_on(dialog))
    dialog.reject()


def test_details_are_one_step(sampled: Window, qtbot: QtBot) -> None:
    page = sampled.pages.page("measure")
    choose(page, "Name, design, loops and note…")
    dialog = open_dialog(sampled, DetailsDialog)
    assert dialog.design.width() == dialog.name.width()
    assert clipped(dialog) == []
    dialog.name.setText("Late autumn head")
    dialog.design.setCurrentIndex(0)
    dialog.note.setPlainText("came back")
    steps = sampled.document.undo_stack.count()
    click(dialog.accept_button)
    assert sampled.document.undo_stack.count() == steps + 1
    found = measurement(page)
    assert (found.name, found.line, found.note) == ("Late autumn head", None, "came back")
    assert not page.tabs.isTabVisible(2)


def test_a_design_taken_off_the_bench_is_no_matter(sampled: Window, qtbot: QtBot) -> None:
    from taperlab.edits.lines import delete_line

    page = sampled.pages.page("measure")
    page.tabs.setCurrentIndex(2)
    sampled.document.apply(delete_line, "line-1")
    fitted(page, qtbot)
    assert page.desk.design is None
    assert page.compared.grid.count == 0
    assert page.tabs.currentIndex() == 1


@pytest.mark.parametrize("size", [(1024, 700), (1280, 800)])
@pytest.mark.parametrize("system", list(System))
def test_no_number_in_a_table_is_cut_off(
    sampled: Window, qtbot: QtBot, size: tuple[int, int], system: System
) -> None:
    page = sampled.pages.page("measure")
    sampled.resize(*size)
    sampled.settings.use_system(system)
    fitted(page, qtbot)

    def cut_off() -> list[str]:
        found = []
        for table in page.findChildren(Grid):
            for column, heading in enumerate(table.grid.headings):
                room = table.columnWidth(column) - 2 * PAD
                if not table.isVisible() or table.isColumnHidden(column) or not heading.right:
                    continue
                for row in range(table.grid.count):
                    text = str(table.grid.index(row, column).data())
                    if table.fontMetrics().horizontalAdvance(text) > room:
                        found.append(f"{heading.name}: {text} in {room}")
        return found

    for tab in range(3):
        page.tabs.setCurrentIndex(tab)
        qtbot.waitUntil(lambda: cut_off() == [])
        compared = page.compared
        texts = [str(compared.grid.index(row, 3).data()) for row in range(compared.grid.count)]
        # A difference of lengths reads as all lengths do: feet, inches and eighths.
        assert not any("." in text for text in texts)


def test_a_fit_that_comes_to_grief_is_said_and_the_page_lives(
    page: MeasurePage, window: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    from taperlab.gui.pages.measure import desk

    def broken(*_values: object) -> None:
        raise ArithmeticError("singular matrix")

    begin(page, qtbot, weight="400 gr")
    fitted(page, qtbot)
    monkeypatch.setattr(desk, "study_steps", broken)
    keys(qtbot, "3")
    keys(qtbot, "0.052")
    qtbot.waitUntil(lambda: "singular matrix" in status(window))
    assert len(measurement(page).stations) == 1


def test_a_window_closed_while_a_fit_is_at_work_leaves_nothing(
    make: Callable[..., Window], qtbot: QtBot
) -> None:
    window = make(demo=False)
    bench = read_bench(sample("measured_head.taperlab"))
    many = bench.measurements[0]
    stations = tuple(
        replace(station, distance=station.distance + shift)
        for shift in (0.0, 0.05, 0.1, 0.15)
        for station in many.stations
    )
    window.file.put_in_hand(replace(bench, measurements=(replace(many, stations=stations),)), None)
    assert window.pages.page("measure").desk.measurement is not None
    assert window.jobs.is_busy()
    window.close()
    assert not window.jobs.is_busy()


# -- asleep ---------------------------------------------------------------------------------


def test_a_hidden_page_asks_for_no_fit_and_catches_up_with_one(
    sampled: Window, qtbot: QtBot
) -> None:
    page = sampled.pages.page("measure")
    design = sampled.document.line
    assert measurement(page).line == design.key
    asked: list[None] = []
    page.desk.asked.connect(lambda: asked.append(None))
    sampled.show_page("shape")
    for turn in range(30):
        diameter = (90 + turn % 7) * INCH / 1000
        assert sampled.document.apply(set_rear_diameter, design.key, 0, diameter)
        assert sampled.document.apply(
            add_station, measurement(page).key, (turn + 0.3) * FOOT, diameter
        )
        QApplication.processEvents()
    assert asked == []
    assert not sampled.jobs.is_busy("fit")
    sampled.show_page("measure")
    assert len(asked) == 1
    fitted(page, qtbot)
    assert page.desk.study.measurement is sampled.document.bench.measurements[0]
    assert page.stations.grid.count == len(measurement(page).stations)
    assert len(asked) == 1


def test_another_bench_put_up_meanwhile_is_seen_on_waking(sampled: Window, qtbot: QtBot) -> None:
    page = sampled.pages.page("measure")
    sampled.show_page("shape")
    sampled.file.put_in_hand(read_bench(sample("scandi.taperlab")), None)
    sampled.show_page("measure")
    assert page.desk.measurement is None
    assert page.invitation.isVisible()


# -- words ----------------------------------------------------------------------------------


def shown_texts(page: MeasurePage) -> Iterator[str]:
    """Every text that the page shows, says of itself or reads aloud."""
    for widget in (page, *page.findChildren(QWidget)):
        if isinstance(widget.parentWidget(), QTabBar):
            continue  # the arrows that Qt itself puts there
        yield from (widget.toolTip(), widget.accessibleName(), widget.accessibleDescription())
        for kind, text in ((QLabel, "text"), (QAbstractButton, "text"), (QLineEdit, "text")):
            if isinstance(widget, kind):
                yield getattr(widget, text)()
        if isinstance(widget, QLineEdit):
            yield widget.placeholderText()
        if isinstance(widget, QComboBox):
            yield from (widget.itemText(i) for i in range(widget.count()))
        if isinstance(widget, Grid):
            model, roles = widget.grid, (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole)
            roles = (*roles, Qt.ItemDataRole.AccessibleTextRole)
            for column in range(model.columnCount()):
                for role in roles:
                    yield model.headerData(column, Qt.Orientation.Horizontal, role)
                    for row in range(model.rowCount()):
                        yield model.index(row, column).data(role) or ""
    yield from (page.tabs.tabText(i) + page.tabs.tabToolTip(i) for i in range(page.tabs.count()))
    yield from (entry.text() for entry in page.line_card.more.menu().actions())
    yield from (entry.text().partition("\t")[0] for entry in page.plots.context_menu().actions())
    chart = page.plots.chart
    yield from (*page.plots.strip.words.columns, chart.hint, page.plots.spoken)
    for panel in page.plots.panels.values():
        yield panel.frame.title
        yield panel.frame.note.text if panel.frame.note else ""
        yield from (name.text for name in panel.over.names)


def test_no_text_of_the_page_escapes_translation(
    make: Callable[..., Window], qtbot: QtBot, tmp_path: Path
) -> None:
    with reading_pseudo(tmp_path):
        window = make(demo=False)
        bench = read_bench(sample("measured_head.taperlab"))
        window.file.put_in_hand(bench, None)
        page = window.pages.page("measure")
        fitted(page, qtbot)
        page.plots.setFocus()
        qtbot.keyClick(page.plots, Qt.Key.Key_PageDown)
        texts = set(shown_texts(page))
    known = given(bench) | UNITS
    escaped = {
        text: left
        for text in texts
        if (left := [word for word in words(outside(text)) if word not in known])
    }
    assert escaped == {}
    assert len(texts) > 100


def test_beyond_the_last_station_there_is_a_range_and_no_value(
    page: MeasurePage, qtbot: QtBot
) -> None:
    begin(page, qtbot, weight=f"{head_weight()} gr")
    for feet in PLACES[:-5]:
        keys(qtbot, f"{feet}")
        keys(qtbot, f"{thickness(feet):.4f}")
    fitted(page, qtbot)
    page.plots.point_at(29.5 * FOOT)
    beyond = page.plots.spoken.replace("\u00a0", " ")
    assert "not measured: ⌀ 0." in beyond
    assert "±" not in beyond.split("ahead")[0].split("gr/ft")[0]
    # The rear taper that no station saw lies within what is said.
    low, high = (float(each) for each in beyond.split("⌀ ")[1].split(",")[0].split(" to "))
    assert low < 0.052 < high
    page.plots.point_at(15 * FOOT)
    inside = page.plots.spoken.replace("\u00a0", " ")
    assert "not measured" not in inside
    assert "⌀ 0.09" in inside
    assert "No diameter beyond 23 ft" in " ".join(words_on(page.remarks)).replace("\u00a0", " ")


def test_what_a_person_knows_of_the_material_narrows_what_is_shown(
    page: MeasurePage, qtbot: QtBot
) -> None:
    measure_all(page, qtbot)
    page.plots.point_at(15 * FOOT)

    def shown() -> float:
        return float(page.plots.spoken.split("gr/ft")[0].rsplit("±", 1)[1])

    before = shown()
    assert "Only one weight is known" in " ".join(words_on(page.remarks))
    box = page.line_card.material
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_End)
    fitted(page, qtbot)
    assert measurement(page).material.value == "one extrusion, known even"
    page.plots.point_at(15 * FOOT)
    assert shown() < 0.7 * before
    assert "that is your word" in " ".join(words_on(page.remarks))


def test_an_end_on_the_pan_is_typed_with_what_hung_free(page: MeasurePage, qtbot: QtBot) -> None:
    measure_all(page, qtbot)
    page.sections.setFocus()
    page.sections.go_to(0, 0)
    for text in ("20", "30", "150"):
        keys(qtbot, text)
    page.sections.go_to(0, 3)
    keys(qtbot, "15 in")
    assert measurement(page).sections[1].span == pytest.approx(15 * INCH)
    fitted(page, qtbot)
    page.sections.go_to(0, 3)
    keys(qtbot, "40 ft")
    assert measurement(page).sections[1].span == pytest.approx(15 * INCH)
