"""The ± below the head weight: of the line shown, away while something is typed, a way on."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from taperlab.edits import builds as edits
from taperlab.edits.values import set_rear_diameter
from taperlab.files.native import read_bench
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.shape.page import ShapePage
from taperlab.model.bench import Bench
from taperlab.model.pieces import Rules
from taperlab.physics.profile import Profile
from taperlab.shipped import sample
from taperlab.shop.pieces.as_made import line_as_built
from taperlab.shop.pieces.progress import progress_of
from taperlab.shop.tolerance.asking import asked_of
from taperlab.shop.tolerance.study import study
from taperlab.units.kinds import System
from tests.edits.test_edit_builds import begun
from tests.gui.hands import NOISE, settle

pytestmark = pytest.mark.qt_log_ignore(NOISE)


@pytest.fixture
def window(make: Callable[..., Window]) -> Window:
    made = make()
    made.file.put_in_hand(read_bench(sample("scandi.taperlab")), None)
    made.document.look(page="shape")
    settle()
    return made


def page_of(window: Window) -> ShapePage:
    page = window.pages.page("shape")
    assert isinstance(page, ShapePage)
    return page


def off(bench: Bench) -> str:
    line = bench.current_line
    assert line is not None
    mass = study(asked_of(bench, line, System.US)).spread.one.mass
    return f"±\N{NO-BREAK SPACE}{mass / 64.79891e-6:.1f}\N{NO-BREAK SPACE}gr as built"


def test_it_follows_the_line_and_the_page_tolerances_says_the_same(
    window: Window, qtbot: QtBot
) -> None:
    button = page_of(window).readouts.as_built
    before = off(window.document.bench)
    assert button.text() == before
    line = window.document.line
    assert line is not None
    assert window.document.apply(set_rear_diameter, line.key, 2, 0.0035)
    after = off(window.document.bench)
    assert after != before
    qtbot.waitUntil(lambda: button.text() == after)
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    settle()
    assert window.document.bench.view.page == "tolerance"


def test_a_head_that_lay_on_the_scale_is_off_by_what_the_scale_is(window: Window) -> None:
    bench = edits.pieces_are_cut(begun(1, Rules()), "build-1").bench
    for _ in range(3):
        bench = edits.make_joint(bench, "build-1", None).bench
    log = bench.builds[0]
    mass = Profile.of(line_as_built(progress_of(log))).total_mass
    bench = edits.weigh_finished(bench, "build-1", mass).bench
    line = line_as_built(progress_of(bench.builds[0]))
    bench = edits.finish_build(bench, "build-1", line, "Alder, built", "").bench
    window.file.put_in_hand(bench, None)
    window.document.look(page="shape")
    settle()
    button = page_of(window).readouts.as_built
    # 0.5 gr / sqrt(12), 95 in 100.
    assert button.text() == "±\N{NO-BREAK SPACE}0.3\N{NO-BREAK SPACE}gr as weighed"
    # Its design never lay there.
    window.document.look(line="a")
    settle()
    assert button.text().endswith("as built")


def test_a_line_without_a_head_has_none(window: Window) -> None:
    window.file.put_in_hand(Bench(), None)
    settle()
    assert page_of(window).readouts.as_built.isHidden()


def test_that_of_another_line_never_stands_beside_the_weight(window: Window) -> None:
    button = page_of(window).readouts.as_built
    bench = read_bench(sample("jobs.taperlab"))
    for line in bench.lines:
        window.file.put_in_hand(bench, None)
        window.document.look(line=line.key, page="shape")
        # Before anything was worked out, and after a second refresh that waits for nothing new.
        assert "as built" not in button.text() or button.text() == off(window.document.bench)
        page_of(window).readouts.refresh()
        settle()
        assert button.text() == off(window.document.bench)
