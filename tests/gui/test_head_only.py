"""Head only, or the whole line: a choice on the distance axis of the plots."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from taperlab.files.preferences import load_preferences
from taperlab.gui.dialogs.find_weight import FindWeightDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.shape.profile_plots import ProfilePlots
from taperlab.gui.plots.line_plots import OUTLINE, RUNNING, WEIGHT_ALONG
from taperlab.model.bench import Bench, View
from taperlab.model.line import Line, line_of
from taperlab.model.segment import Part, Segment
from tests.gui.hands import ENTER, FOOT, INCH, NOISE, click, keys, open_dialog, shape

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def long_line(key: str, head: float, running: float) -> Line:
    segments = [
        Segment(Part.FRONT_TAPER, 10 * FOOT, 0.04 * INCH, 0.09 * INCH, 900.0),
        Segment(Part.BELLY, (head - 10) * FOOT, 0.09 * INCH, 0.09 * INCH, 900.0),
    ]
    if running:
        segments.append(
            Segment(Part.RUNNING_LINE, running * FOOT, 0.035 * INCH, 0.035 * INCH, 900.0)
        )
    return line_of(key, f"Line {key}", segments)


@pytest.fixture
def window(make: Callable[..., Window]) -> Window:
    made = make()
    lines = long_line("a", 36, 90), long_line("b", 40, 80), long_line("c", 30, 0)
    made.file.put_in_hand(Bench(lines=lines, view=View(line="a", overlays=("b",))), None)
    return made


def plots_of(window: Window) -> ProfilePlots:
    return shape(window).plots


def seen(window: Window) -> float:
    """Where what is seen of the axis ends [ft]."""
    return plots_of(window).panels[WEIGHT_ALONG].x_range[1] / FOOT


def test_a_button_beside_the_axis_shows_the_head_only_and_the_whole_again(window: Window) -> None:
    extent = plots_of(window).extent
    assert extent.isVisible()
    assert seen(window) >= 126
    click(extent.head_only)
    # As far as the longer of the two heads, with a little room.
    assert 40 <= seen(window) < 43
    panels = plots_of(window).panels
    for plot in (WEIGHT_ALONG, RUNNING):
        own, laid = panels[plot].own.inks[0], panels[plot].laid.inks[0]
        assert own.x[-1] == pytest.approx(36 * FOOT)
        assert laid.x[-1] == pytest.approx(40 * FOOT)
    # The curve ends as heavy as the belly, not as light as what is behind it.
    curve = panels[WEIGHT_ALONG].own.inks[0]
    assert curve.y[-1] == pytest.approx(curve.y[-2])
    assert [each.part for each in panels[OUTLINE].under.inks[0].pieces] == [
        Part.FRONT_TAPER,
        Part.BELLY,
    ]
    assert extent.head_only.isChecked()
    assert not extent.whole_line.isChecked()
    click(extent.whole_line)
    assert seen(window) >= 126


def test_handles_and_keys_keep_to_the_head(window: Window) -> None:
    plots = plots_of(window)
    plots.setFocus()
    QTest.keyClick(plots, Qt.Key.Key_H)
    assert {each.index for each in plots.grips.handles} == {0, 1, 2}
    for _ in range(6):
        QTest.keyClick(plots, Qt.Key.Key_PageDown)
    assert plots.position == pytest.approx(36 * FOOT)
    QTest.keyClick(plots, Qt.Key.Key_Home)
    QTest.keyClick(plots, Qt.Key.Key_End)
    assert plots.position == pytest.approx(36 * FOOT)
    QTest.keyClick(plots, Qt.Key.Key_H)
    QTest.keyClick(plots, Qt.Key.Key_End)
    assert plots.position == pytest.approx(126 * FOOT)


def test_menu_button_and_key_are_one_choice_and_it_is_remembered(
    window: Window, make: Callable[..., Window]
) -> None:
    action, plots = window.menus.actions["head_only"], plots_of(window)
    action.trigger()
    assert plots.extent.head_only.isChecked()
    assert load_preferences().head_only
    plots.setFocus()
    QTest.keyClick(plots, Qt.Key.Key_H)
    assert not action.isChecked()
    assert not load_preferences().head_only
    action.trigger()
    again = make(load_preferences())
    again.file.put_in_hand(window.document.bench, None)
    assert 40 <= seen(again) < 43


def test_nothing_is_offered_where_there_is_nothing_behind_the_heads(window: Window) -> None:
    window.document.look(line="c", overlays=())
    assert not plots_of(window).extent.isVisible()
    window.document.look(overlays=("b",))
    assert plots_of(window).extent.isVisible()


def test_a_weight_found_behind_the_head_is_shown(window: Window) -> None:
    window.settings.show_head_only(True)
    window.menus.actions["find_weight"].trigger()
    dialog = open_dialog(window, FindWeightDialog)
    mass = window.document.analysis().mass
    keys(f"{mass * 1e3 - 1.0:.3f} g", ENTER)
    assert not dialog.isVisible()
    assert not window.settings.head_only
    assert 36 * FOOT < plots_of(window).position < 126 * FOOT
    assert plots_of(window).canvas.pointer.isVisible()


def test_the_end_of_the_head_can_be_dragged_beyond_what_is_seen(window: Window) -> None:
    window.settings.show_head_only(True)
    plots = plots_of(window)
    plots.setFocus()
    for _ in range(3):
        QTest.keyClick(plots, Qt.Key.Key_PageDown)
    assert plots.grips.in_hand.position == pytest.approx(36 * FOOT)
    for _ in range(80):
        QTest.keyClick(plots, Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    head = window.document.analysis().head.length
    assert head > 40 * FOOT
    assert seen(window) >= head / FOOT
    assert window.document.line.length == pytest.approx(126 * FOOT)
