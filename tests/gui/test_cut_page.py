"""The Cut back page with keys and mouse: a whole cut-back, undone, saved and gone on with."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLabel, QWidget

from taperlab.edits import rows as row_edits
from taperlab.edits.cut_back import record_cut
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.cut_back.page import CutBackPage
from taperlab.gui.pages.cut_back.step_dialog import StepDialog
from taperlab.gui.plots.line_plots import OUTLINE, RUNNING
from taperlab.model.cut_log import CutBack, CutEnd, CutStep, TargetKind
from taperlab.model.line import NO_LOOP, Line
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.shop.cut_back.one_cut import Plan, cut_at
from taperlab.shop.cut_back.terms import terms_of
from taperlab.units.kinds import LENGTH, WEIGHT, System
from taperlab.units.parse import parse
from taperlab.units.show import show
from tests.gui.hands import (
    CTRL,
    ENTER,
    FOOT,
    GRAIN,
    INCH,
    button,
    choose,
    click,
    clipped,
    drag,
    keys,
    open_dialog,
    retype,
    settle,
    settled,
    shape,
    wait_active,
    words_on,
)

pytestmark = [
    pytest.mark.qt_log_ignore("propagateSizeHints", extend=True),
    pytest.mark.qt_log_ignore("This plugin does not support", extend=True),
]

UNCUT = "line-2"
"""The demo bench's head that is too heavy for its rod."""


class RealLine:
    """A head as it really is: heavier than described, and by another share in every segment."""

    def __init__(self, described: Line, factors: tuple[float, ...]) -> None:
        segments = tuple(
            replace(each, density=each.density * factor)
            for each, factor in zip(described.segments, factors, strict=True)
        )
        self.profile = Profile.of(replace(described, segments=segments, rear_loop=NO_LOOP))
        self.whole = Profile.of(replace(described, segments=segments)).total_mass
        self.end = described.length
        self.now = self.whole

    def cut_rear(self, length: float) -> tuple[float, float]:
        """Cut so much off [m]; what a scale that shows half grains says of head and offcut."""
        self.end -= length
        before, self.now = self.now, float(self.profile.running_mass(self.end))
        return reads(self.now), reads(before - self.now)


def reads(mass: float) -> float:
    return round(mass / (0.5 * GRAIN)) * 0.5


def page_of(window: Window) -> CutBackPage:
    page = window.pages.page("cut")
    assert isinstance(page, CutBackPage)
    return page


def job_of(window: Window) -> CutBack:
    (job,) = window.document.bench.cut_backs
    return job


def cutting(window: Window, key: str = UNCUT) -> CutBackPage:
    """Turn to the page, with a line in hand and its cut-back begun."""
    window.document.look(line=key)
    window.show_page("cut")
    page = page_of(window)
    settled(page)
    wait_active(window)
    page.invitation.button.setFocus()
    keys(Qt.Key.Key_Space)
    settled(page)
    assert job_of(window).line == key
    return page


@pytest.fixture
def half_done(make: Callable[..., Window]) -> Window:
    window = make(demo=False)
    window.file_menu.open_sample("cut_back.taperlab")
    wait_active(window)
    settled(page_of(window))
    return window


def undo(window: Window) -> None:
    QTest.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_Z, CTRL)
    settled(page_of(window))


def type_in(page: CutBackPage, *pressed: str | Qt.Key) -> None:
    """Type where the keys are, and wait for what comes of it."""
    keys(*pressed)
    settled(page)


def figure(page: CutBackPage, column: str, row: str) -> str:
    """What the table of the plan says of the head, uncut, now or after the cut."""
    cell = page.plan.states.findChild(QLabel, f"{column} {row}")
    assert isinstance(cell, QLabel)
    return cell.text()


def log_rows(page: CutBackPage) -> list[QWidget]:
    return [row for row in page.steps.log.rows if row.isVisible()]


# -- the whole way -----------------------------------------------------------------------------


def test_a_whole_cut_back_by_keyboard_then_undone(window: Window) -> None:
    line = window.document.bench.line(UNCUT)
    real = RealLine(line, (1.03, 1.045, 1.02, 1.05, 1.01)[: len(line.segments)])
    page = cutting(window)
    now = page.steps.now
    assert page.steps.first.field.hasFocus()
    type_in(page, f"{reads(real.whole):.1f}", ENTER)
    assert job_of(window).first_reading == pytest.approx(reads(real.whole) * GRAIN)
    weighings = 1
    while now.form.isVisible():
        assert now.form.head_reading.hasFocus()
        shown = parse(now.form.rear_cut.text(), LENGTH, System.US)
        head, offcut = real.cut_rear(shown)
        # Never below the target of 460 gr before the last trim, a rounding step left aside.
        if "and the last" not in now.title.text():
            assert head >= 459.5
        keys(f"{head:.1f}", ENTER)
        assert now.form.offcut_reading.hasFocus()
        type_in(page, f"{offcut:.1f}", ENTER)
        weighings += 1
        assert len(job_of(window).steps) == weighings - 1
        assert weighings < 8
    assert weighings >= 3
    # Within the larger of 1 % and 3 gr of the middle of the window, 420 to 500 gr.
    added = job_of(window).rear_loop.mass / GRAIN
    assert real.now / GRAIN + added == pytest.approx(460.0, abs=4.6)
    assert now.large.text().startswith("Done: ")
    assert "the target of 460.0 gr" in now.where.text()
    assert now.finish.button.isVisible()
    for left in range(weighings - 2, -1, -1):
        undo(window)
        assert len(job_of(window).steps) == left
    assert now.form.isVisible()
    undo(window)
    assert job_of(window).first_reading is None
    undo(window)
    assert window.document.bench.cut_backs == ()
    assert page.invitation.isVisible()
    for _ in range(weighings + 1):
        window.document.undo_stack.redo()
    settled(page)
    assert now.finish.button.isVisible()


def test_half_done_saved_opened_again_and_finished(
    half_done: Window, make: Callable[..., Window], tmp_path: Path
) -> None:
    page = page_of(half_done)
    page.steps.now.form.head_reading.setFocus()
    path = tmp_path / "bench.taperlab"
    assert half_done.file.save(path)
    other = make(demo=False)
    assert other.file_menu.open_path(path)
    again = page_of(other)
    assert again.isVisible()
    settled(again)
    assert job_of(other) == job_of(half_done)
    assert again.steps.now.large.text() == page.steps.now.large.text()
    assert len(log_rows(again)) == 2
    wait_active(other)
    again.steps.now.form.head_reading.setFocus()
    type_in(again, "459.5", ENTER, "2", ENTER)
    assert again.steps.now.large.text().startswith("Done: ")


def test_weighings_that_disagree_are_asked_about_and_nothing_goes_on(half_done: Window) -> None:
    page = page_of(half_done)
    page.steps.now.form.head_reading.setFocus()
    type_in(page, "441.5", ENTER, "2", ENTER)
    asked = "Head and offcut make 443.5 gr; the head was 461.5 gr before. Weigh both again."
    assert asked in page.plan.no_plan.text()
    assert page.plan.no_plan.isVisible()
    assert not page.steps.now.isVisible()
    assert not page.steps.now.finish.button.isVisible()
    assert figure(page, "Now", "Head weight") == "–"
    assert "taken as" not in log_rows(page)[2].findChildren(QLabel)[1].text()
    lines = half_done.document.bench.lines
    type_in(page, ENTER, ENTER)
    assert half_done.document.bench.lines is lines
    # The person may say which reading to drop; it stays in the log.
    drop = page.steps.question.drops[0]
    assert drop.text() == "Drop the head's 441.5 gr: then the head weighs 459.5 gr now."
    click(drop)
    settled(page)
    assert job_of(half_done).steps[2].dropped_head == pytest.approx(441.5 * GRAIN)
    assert not page.steps.question.isVisible()
    assert page.steps.now.large.text().startswith("Done: ")
    undo(half_done)
    assert page.steps.question.isVisible()
    undo(half_done)
    assert not page.steps.question.isVisible()
    assert not page.plan.no_plan.isVisible()
    assert page.steps.now.form.isVisible()


def test_an_absurd_first_weight_is_asked_about_until_the_person_is_sure(window: Window) -> None:
    page = cutting(window)
    type_in(page, "1540", ENTER)
    asked = "The head reads 1540.0 gr, but by its description it weighs 553.0 gr. Weigh it again."
    assert page.plan.no_plan.text() == asked
    assert not page.steps.now.isVisible()
    click(page.steps.question.trust)
    settled(page)
    assert job_of(window).sure
    assert page.steps.now.form.isVisible()


# -- beside the window -------------------------------------------------------------------------


def test_what_is_shown_stays_until_the_next_plan_is_there(half_done: Window) -> None:
    page = page_of(half_done)
    large, plan = page.steps.now.large, figure(page, "Now", "Head weight")
    page.steps.now.form.head_reading.setFocus()
    keys("459.5", ENTER, "2", ENTER)
    # The step is logged; the window did not wait for what comes of it.
    assert len(job_of(half_done).steps) == 3
    assert not page.is_settled
    assert large.text() == "1 in off the rod end"
    assert figure(page, "Now", "Head weight") == plan
    assert page.steps.now.form.head_reading.text() == ""
    # Nor can the cut that is still shown be logged once more.
    click(page.steps.now.form.button)
    assert len(job_of(half_done).steps) == 3
    settled(page)
    assert large.text().startswith("Done: ")
    assert figure(page, "Now", "Head weight") != plan


def test_the_window_closes_while_a_plan_is_worked_out(half_done: Window) -> None:
    page = page_of(half_done)
    page.steps.now.form.head_reading.setFocus()
    keys("459.5", ENTER, "2", ENTER)
    assert not page.is_settled
    half_done.document.undo_stack.setClean()
    assert half_done.close()
    settle()


def test_nothing_is_worked_out_for_a_page_that_nobody_sees(half_done: Window) -> None:
    page = page_of(half_done)
    half_done.show_page("shape")
    shown = page.case.study
    half_done.document.apply(row_edits.delete, "line-1", [0])
    settle()
    assert not half_done.jobs.is_busy("cut back")
    assert page.case.study is shown
    half_done.show_page("cut")
    settled(page)
    assert page.case.study is not shown


# -- trying ------------------------------------------------------------------------------------


def shown_plan(page: CutBackPage) -> Plan:
    assert page.case.study is not None
    plan = page.case.study.plan
    assert isinstance(plan, Plan)
    return plan


def check_trial(page: CutBackPage, window: Window) -> None:
    """What is shown is what the pure plan says of that cut."""
    shown, study, rod = shown_plan(page), page.case.study, window.document.rod
    assert study is not None
    assert study.left is not None
    assert rod is not None
    terms = terms_of(job_of(window))
    plan = cut_at(study.left.line, shown.front_cut, shown.rear_cut, terms, rod.length)
    assert isinstance(plan, Plan)
    assert shown.after == plan.after
    assert figure(page, "After", "Head weight") == f"{plan.after.mass / GRAIN:.1f} gr"
    assert figure(page, "After", "Ratio") == f"{plan.after.ratio:.2f} ×"
    own = page.plots.panels[RUNNING].own.inks[0]
    assert own.y[-1] == pytest.approx(plan.after.mass, rel=1e-9)


def test_the_blade_is_dragged(half_done: Window) -> None:
    page = page_of(half_done)
    before = shown_plan(page)
    bench = half_done.document.bench
    panel = page.plots.panels[OUTLINE]
    start = QPointF(panel.across(before.rear_blade), panel.rect.center().y())
    feet = panel.across(3 * FOOT) - panel.across(0.0)
    drag(page.plots.canvas.viewport(), start, QPointF(-feet, 0.0))
    assert shown_plan(page).rear_blade == pytest.approx(before.rear_blade - 3 * FOOT, abs=2 * INCH)
    check_trial(page, half_done)
    assert page.plan.back.isVisible()
    # Nothing was changed by trying; the stages are those of the target.
    assert half_done.document.bench is bench
    assert page.is_settled
    assert page.steps.now.large.text() == "1 in off the rod end"
    click(page.plan.back)
    assert shown_plan(page) == before
    assert not page.plan.back.isVisible()


def test_the_slider_moves_by_keys_and_the_length_is_typed(half_done: Window) -> None:
    page = page_of(half_done)
    page.plan.slider.setFocus()
    on_slider = round(shown_plan(page).cut_length / (INCH / 8))
    # The blade goes where the key points: toward the fly end more comes off.
    keys(Qt.Key.Key_Left)
    assert shown_plan(page).cut_length == pytest.approx((on_slider + 1) * INCH / 8, rel=1e-9)
    check_trial(page, half_done)
    retype(page.plan.length, "2 ft 3 5/8 in", ENTER)
    assert shown_plan(page).cut_length == pytest.approx(27.625 * INCH)
    check_trial(page, half_done)
    assert page.plan.places[1][0].text() == "2 ft 3 5/8 in"
    # Longer than the head: refused, and nothing moves.
    tried = shown_plan(page)
    retype(page.plan.length, "60 ft", ENTER)
    assert page.plan.problem.text() == "At most 36 ft 5 5/8 in can come off."
    assert shown_plan(page) is tried
    # The slider's end leaves what may be called a head: six inches.
    page.plan.slider.setFocus()
    keys(Qt.Key.Key_End)
    assert 6 * INCH <= shown_plan(page).after.length <= 6.2 * INCH
    keys(Qt.Key.Key_Home)
    assert shown_plan(page).cut_length == 0.0


def test_both_ends_have_a_blade_each(half_done: Window) -> None:
    page = page_of(half_done)
    choose(page.end.end, 2)
    assert job_of(half_done).end is CutEnd.BOTH
    retype(page.end.share, "25 %", ENTER)
    settled(page)
    assert job_of(half_done).front_share == pytest.approx(0.25)
    plan = shown_plan(page)
    # The last cut is told to the tape's step at either end.
    assert plan.front_cut == pytest.approx(plan.rear_cut / 3, abs=INCH / 8)
    assert plan.front_cut / (INCH / 8) == pytest.approx(round(plan.front_cut / (INCH / 8)))
    panel = page.plots.panels[OUTLINE]
    start = QPointF(panel.across(plan.front_blade), panel.rect.center().y())
    drag(page.plots.canvas.viewport(), start, QPointF(panel.across(FOOT) - panel.across(0.0), 0.0))
    tried = shown_plan(page)
    assert tried.front_cut == pytest.approx(plan.front_cut + FOOT, abs=2 * INCH)
    assert tried.rear_cut == pytest.approx(3 * tried.front_cut)
    check_trial(page, half_done)


# -- targets and limits ------------------------------------------------------------------------


def aim(page: CutBackPage, index: int) -> None:
    """Choose from the list of targets."""
    choose(page.target.kind, index)
    settled(page)


def test_every_kind_of_target(window: Window) -> None:
    page = cutting(window)
    type_in(page, "560", ENTER)
    rod = window.document.rod
    assert rod is not None
    own = rod.window_for(window.document.bench.line(UNCUT).style)
    assert own is not None
    for index, goal in (
        (1, own.lightest),
        (3, own.heaviest),
        (2, (own.lightest + own.heaviest) / 2),
    ):
        aim(page, index)
        assert shown_plan(page).after.mass == pytest.approx(goal)
    aim(page, 0)
    retype(page.target.weight, "31.1 g", ENTER)
    settled(page)
    assert shown_plan(page).after.mass == pytest.approx(0.0311)
    aim(page, 6)
    retype(page.target.length, "36'6\"", ENTER)
    settled(page)
    assert shown_plan(page).after.length == pytest.approx(36.5 * FOOT)
    aim(page, 7)
    retype(page.target.ratio, "2.5", ENTER)
    settled(page)
    assert shown_plan(page).after.length == pytest.approx(2.5 * rod.length)
    # AFFTA two-handed class H, weighed over 40 ft: line 8 has 510 gr, line 9 570 gr.
    aim(page, 5)
    assert page.target.number.isVisible()
    choose(page.target.number, page.target.number.findText("8"))
    assert job_of(window).target.kind is TargetKind.TWO_HANDED_SIZE
    assert job_of(window).target.value == 8
    # Single-hand line 12: 380 gr over the first 30 ft, the level tip left out.
    aim(page, 4)
    choose(page.target.single, page.target.single.findText("12"))
    assert job_of(window).target.value == 12
    settled(page)


def test_a_limit_stops_the_cut_and_says_which(half_done: Window) -> None:
    page = page_of(half_done)
    page.limits.shortest.setFocus()
    type_in(page, "38 ft", ENTER)
    assert "the shortest head allowed is 38 ft" in page.plan.no_plan.text()
    assert page.plan.no_plan.isVisible()
    assert not page.steps.now.form.isVisible()
    assert page.limits.shortest.accessibleDescription() == "This limit stops the cut."
    undo(half_done)
    assert not page.plan.no_plan.isVisible()
    choose(page.end.end, 1)
    page.limits.whole.setFocus()
    type_in(page, Qt.Key.Key_Space)
    assert "the front taper, which is to stay whole" in page.plan.no_plan.text()


def test_a_cut_tried_out_says_which_limit_it_would_break(half_done: Window) -> None:
    page = page_of(half_done)
    page.limits.shortest.setFocus()
    type_in(page, "36 ft", ENTER)
    said = page.plan.remarks[0].text()
    retype(page.plan.length, "5 ft", ENTER)
    assert page.plan.no_plan.isHidden()
    shown = [each.text() for each in page.plan.remarks if each.isVisible()]
    assert any("the shortest head allowed is 36 ft" in each for each in shown)
    click(page.plan.back)
    assert page.plan.remarks[0].text() == said


def test_a_target_that_no_cut_reaches(half_done: Window) -> None:
    page = page_of(half_done)
    aim(page, 0)
    retype(page.target.weight, "900", ENTER)
    settled(page)
    assert page.plan.no_plan.text().startswith("Cutting only takes away")
    half_done.use_system(System.METRIC)
    assert " g, less than the 58.32 g asked for" in page.plan.no_plan.text()
    # Any cut can still be tried.
    page.plan.slider.setFocus()
    keys(Qt.Key.Key_PageDown)
    assert shown_plan(page).cut_length > 0.0


def test_no_rod_is_asked_for_where_one_is_needed(half_done: Window) -> None:
    page = page_of(half_done)
    rods = page.rod_card.findChild(QComboBox)
    assert isinstance(rods, QComboBox)
    choose(rods, 0)
    settled(page)
    assert page.plan.no_plan.text() == "Choose a rod: that target needs one."


# -- the log -----------------------------------------------------------------------------------


def test_a_slip_on_the_scale_is_not_taken(half_done: Window) -> None:
    page = page_of(half_done)
    form = page.steps.now.form
    form.head_reading.setFocus()
    keys("4595", ENTER)
    assert form.head_reading.hasFocus()
    assert form.problem.text().startswith("“4595” is heavier than any fly line") or (
        form.problem.text().startswith("More than before the cut")
    )
    retype(form.head_reading, "45.9")
    assert "is expected" in form.problem.text()
    click(form.button)
    assert len(job_of(half_done).steps) == 2
    retype(form.head_reading, "459.5", ENTER)
    assert not form.problem.isVisible()
    click(form.button)
    assert job_of(half_done).steps[2].offcut is None


def test_a_logged_cut_is_put_right_and_taken_back(half_done: Window) -> None:
    page = page_of(half_done)
    click(page.steps.log.rows[1].change)
    dialog = open_dialog(half_done, StepDialog)
    retype(dialog.head, "462 gr")
    dialog.note.setText("read twice")
    click(dialog.accept_button)
    settled(page)
    assert job_of(half_done).steps[1].head == pytest.approx(462 * GRAIN)
    assert "read twice" in page.steps.log.rows[1].detail.text()
    wait_active(half_done)
    undo(half_done)
    assert job_of(half_done).steps[1].head == pytest.approx(461.5 * GRAIN)
    click(page.steps.log.rows[1].change)
    click(button(open_dialog(half_done, StepDialog), "Take it out of the log"))
    assert len(job_of(half_done).steps) == 1
    settled(page)
    assert len(log_rows(page)) == 1


def test_a_log_that_cannot_be_true_is_said_so_and_can_be_put_right(half_done: Window) -> None:
    page = page_of(half_done)
    key, wrong = job_of(half_done).key, CutStep(0.0, 2 * INCH, 60 * GRAIN, 400 * GRAIN)
    half_done.document.apply(record_cut, key, wrong)
    settled(page)
    # Either the scale's word is doubted, or the plan says that it cannot all be right.
    doubts = page.steps.log.rows[2].detail.text() + page.plan.no_plan.text()
    assert "weigh it again" in doubts or "cannot all be right" in doubts
    retype(page.plan.length, "1 ft", ENTER)
    assert page.steps.log.rows[2].change.isVisible()
    half_done.menus.actions["undo"].trigger()
    settled(page)
    assert page.steps.now.form.isVisible()


def test_a_head_shorter_than_its_log_is_said_so(half_done: Window) -> None:
    page = page_of(half_done)
    half_done.document.apply(row_edits.delete, "line-1", [1, 2, 3])
    settled(page)
    assert page.plan.no_plan.isVisible()
    assert page.plan.no_plan.text()
    retype(page.plan.length, "1 ft", ENTER)
    half_done.document.apply(row_edits.delete, "line-1", [0, 1])
    settled(page)
    assert page.invitation.title.text() == "Nothing to cut back here"


@pytest.mark.parametrize("in_place", [False, True])
def test_the_cut_head_goes_on_the_bench(half_done: Window, in_place: bool) -> None:
    page = page_of(half_done)
    whole = half_done.document.bench.lines[0]
    page.steps.now.form.head_reading.setFocus()
    type_in(page, "459.5", ENTER, "2", ENTER)
    finish = page.steps.now.finish
    assert finish.button.hasFocus()
    finish.in_place.setChecked(in_place)
    keys(Qt.Key.Key_Space)
    bench = half_done.document.bench
    assert len(bench.lines) == (1 if in_place else 2)
    assert len(bench.cut_backs) == (0 if in_place else 1)
    made = half_done.document.line
    assert made is not None
    assert made.style is whole.style
    # 459.5 gr on the scale, and 0.6 gr that the loop adds; 2 1/2 in of it folded back.
    assert Profile.of(head_of(made)).total_mass == pytest.approx(460.1 * GRAIN, abs=0.3 * GRAIN)
    assert made.length == pytest.approx(whole.length - (48 + 21.875 + 1 + 2.5) * INCH, abs=1e-6)
    assert made.rear_loop.fold == pytest.approx(2.5 * INCH, rel=0.02)
    assert "in 3 cuts" in made.note
    if not in_place:
        assert bench.lines[0] is whole
    # The Shape page shows the new line.
    assert shape(half_done).isVisible()
    half_done.menus.actions["undo"].trigger()
    assert half_done.document.bench.lines == (whole,)
    assert len(job_of(half_done).steps) == 3


def test_new_loops_are_like_the_old_and_can_be_typed(window: Window) -> None:
    page = cutting(window)
    line = window.document.bench.line(UNCUT)
    assert job_of(window).rear_loop.fold == line.rear_loop.fold
    retype(page.end.rear_fold, "3 1/4 in", ENTER)
    retype(page.end.rear_mass, "0.8", ENTER)
    made = job_of(window).rear_loop
    assert made.fold == pytest.approx(3.25 * INCH)
    assert made.mass == pytest.approx(0.8 * GRAIN)


# -- words, units, room ------------------------------------------------------------------------


def test_the_other_units_at_once(half_done: Window) -> None:
    page = page_of(half_done)
    half_done.use_system(System.METRIC)
    words = " ".join(words_on(page))
    assert " gr" not in words.replace(" gray", "")
    assert " ft" not in words.replace("13 ft", "").replace("43 ft", "")
    assert figure(page, "After", "Head weight") == "29.81 g"
    assert page.steps.now.large.text() == "25 mm off the rod end"
    half_done.use_system(System.US)
    # One cut is left, so plan and stage are the same cut and promise the same weight.
    assert page.case.study is not None
    stage = page.case.study.stages[0]
    assert stage.last
    assert shown_plan(page).rear_cut == pytest.approx(stage.rear, abs=1e-9)
    assert figure(page, "After", "Head weight") == show(stage.expected, WEIGHT, System.US)


def test_what_is_typed_is_taken_over_before_a_save(half_done: Window) -> None:
    page = page_of(half_done)
    page.limits.shortest.setFocus()
    keys("30 ft")
    half_done.commit()
    assert job_of(half_done).limits.shortest == pytest.approx(30 * FOOT)
    retype(page.instruments.scale, "nonsense")
    half_done.commit()
    assert job_of(half_done).instruments.scale == pytest.approx(0.5 * GRAIN)
    assert page.instruments.problem.isVisible()


def test_an_invitation_where_nothing_is_cut(window: Window) -> None:
    window.show_page("cut")
    page = page_of(window)
    settled(page)
    assert "479.6\u00a0gr" in page.invitation.words.text()
    assert not page.target.isVisible()
    window.file_menu.new_bench()
    window.show_page("cut")
    settled(page)
    assert page.invitation.title.text() == "Nothing to cut back here"
    assert not page.invitation.button.isVisible()


def test_a_deleted_cut_back_comes_back_by_undo(half_done: Window) -> None:
    page = page_of(half_done)
    click(page.job_card.delete_button)
    settled(page)
    assert page.invitation.isVisible()
    half_done.menus.actions["undo"].trigger()
    settled(page)
    assert len(job_of(half_done).steps) == 2
    assert page.steps.now.form.isVisible()


@pytest.mark.parametrize("size", [(1280, 800), (960, 600)])
@pytest.mark.parametrize("system", list(System))
def test_no_words_are_cut_off(half_done: Window, size: tuple[int, int], system: System) -> None:
    half_done.resize(*size)
    half_done.use_system(system)
    page = page_of(half_done)
    for end in (0, 2):
        choose(page.end.end, end)
        settled(page)
        for _ in range(3):
            settle()
        assert clipped(page) == []
        work = page.work_scroll
        assert work.widget().width() <= work.viewport().width()
    retype(page.plan.length, "1.234 m", ENTER)
    settle()
    assert clipped(page) == []


def test_whatever_takes_the_focus_has_a_name(half_done: Window) -> None:
    page = page_of(half_done)
    for each in page.findChildren(QWidget):
        takes = each.focusPolicy() & Qt.FocusPolicy.TabFocus
        if takes and each.isVisible() and each.focusProxy() is None:
            text = each.text() if isinstance(each, QAbstractButton) else ""
            assert each.accessibleName() or text, each
