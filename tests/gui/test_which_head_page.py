"""The page Which head with keys and mouse: questions answered, ties, heads laid and picked."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt, QUrl
from PySide6.QtGui import QAccessible, QDesktopServices
from PySide6.QtWidgets import QApplication

from taperlab.files.native import read_bench
from taperlab.files.reasons import reasons_file
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.which_head.answer import AdviceView
from taperlab.gui.pages.which_head.heads_dialog import HeadsDialog
from taperlab.gui.pages.which_head.page import WhichHeadPage
from taperlab.model.aim import GoalKind
from taperlab.model.bench import Bench
from taperlab.model.line import Style
from taperlab.model.which_head import Answers, Breadth, Casting, Stripping, Thrown, Wading
from taperlab.shipped import resource, sample
from taperlab.units.kinds import System
from tests.gui.hands import (
    CTRL,
    ENTER,
    FOOT,
    GRAIN,
    NOISE,
    TAB,
    banners,
    button,
    choose,
    click,
    keys,
    open_dialog,
    retype,
    settle,
    status,
    wait_active,
    words_on,
)
from tests.gui.reading import printed

pytestmark = pytest.mark.qt_log_ignore(NOISE)

RIGHT, DOWN, SPACE, DELETE = (
    Qt.Key.Key_Right,
    Qt.Key.Key_Down,
    Qt.Key.Key_Space,
    Qt.Key.Key_Delete,
)


def own_bench() -> Bench:
    return read_bench(sample("which_head.taperlab"))


def unanswered() -> Bench:
    return replace(own_bench(), answers=Answers())


@pytest.fixture
def show(make: Callable[..., Window]) -> Callable[[Bench], tuple[Window, WhichHeadPage]]:
    def one(bench: Bench) -> tuple[Window, WhichHeadPage]:
        window = make()
        window.file.put_in_hand(bench, None)
        window.show_page("which")
        page = window.pages.page("which")
        assert isinstance(page, WhichHeadPage)
        settle()
        wait_active(window)
        return window, page

    return one


Show = Callable[[Bench], tuple[Window, WhichHeadPage]]


def answer_of(page: WhichHeadPage) -> tuple[str, str]:
    settle()
    return page.answer.figure.text(), page.answer.remark.text()


def views(page: WhichHeadPage) -> list[AdviceView]:
    return [each for each in page.answer.views if each.isVisible()]


def test_all_questions_are_answered_by_keys_alone(show: Show) -> None:
    window, page = show(unanswered())
    assert answer_of(page) == ("Not said yet", "answer a question or two")
    assert not page.points.isVisible()
    assert not page.answer.lay.isVisible()
    page.questions.rod.box.setFocus()
    keys(TAB, TAB)
    keys(SPACE, RIGHT)  # a small fly, then a light tip
    keys(TAB, "12", TAB)
    keys(SPACE, RIGHT)
    keys(TAB, SPACE, RIGHT)
    keys(TAB, SPACE, DOWN)
    keys(TAB, SPACE, RIGHT)
    settle()
    answers = window.document.bench.answers
    assert answers.room == pytest.approx(12.0 * FOOT)
    assert answers == Answers(
        Thrown.LIGHT_TIP,
        answers.room,
        Breadth.MIDDLING,
        Stripping.NO_MATTER,
        Casting.TOUCH_AND_GO,
        Wading.THIGH,
    )
    assert answer_of(page) == ("Scandi", "by 4 points, over Skagit")
    focus = QApplication.focusWidget()
    assert page.questions.wading.isAncestorOf(focus)
    keys(DELETE)
    assert window.document.bench.answers.wading is None
    assert page.questions.wading.choice is None


def test_an_answer_changes_what_suits_and_can_be_undone(show: Show) -> None:
    window, page = show(own_bench())
    assert answer_of(page)[0] == "Scandi"
    click(button(page.questions, "Sustained"))
    assert answer_of(page)[0] == "Skagit"
    assert page.questions.casting.choice is Casting.SUSTAINED
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert answer_of(page)[0] == "Scandi"
    assert page.questions.casting.choice is Casting.TOUCH_AND_GO
    assert button(page.questions, "Touch and go").isChecked()
    assert not button(page.questions, "Sustained").isChecked()
    click(page.questions.clear)
    assert window.document.bench.answers == Answers()
    assert answer_of(page)[0] == "Not said yet"
    keys(Qt.Key.Key_Z, modifier=CTRL)
    assert window.document.bench.answers == own_bench().answers


def test_pressing_the_same_answer_again_is_no_step(show: Show) -> None:
    window, page = show(own_bench())
    before = window.document.undo_stack.index()
    click(button(page.questions, "Touch and go"))
    assert window.document.undo_stack.index() == before
    assert page.questions.casting.choice is Casting.TOUCH_AND_GO


def test_what_would_change_it_is_said_and_comes_true(show: Show) -> None:
    _, page = show(own_bench())
    said = "\n".join(words_on(page.points))
    assert "Thrown, a heavy tip: a tie of Skagit and Scandi." in said
    assert "Casting, learning: Skagit, by a little." in said
    assert "With 7 ft behind you: nothing fits." in said
    click(button(page.questions, "Learning"))
    assert answer_of(page) == ("Skagit", "by a little, over Scandi")
    click(button(page.questions, "Touch and go"))
    retype(page.questions.room, "7", ENTER)
    assert answer_of(page)[0] == "Nothing fits"


def test_a_tie_stands_side_by_side_and_each_can_be_laid(show: Show) -> None:
    window, page = show(own_bench())
    click(button(page.questions, "A heavy tip"))
    assert answer_of(page) == ("Skagit and Scandi", "a tie")
    one, other = views(page)
    assert (one.name.text(), other.name.text()) == ("Skagit", "Scandi")
    assert one.mapTo(page, one.rect().topLeft()).y() == other.mapTo(page, one.rect().topLeft()).y()
    assert not page.answer.lay.isVisible()
    assert (one.tip.value, other.tip.value) == ("10 ft", "none")
    click(one.lay)
    assert window.document.line.style is Style.SKAGIT
    settle()
    assert "a tie" in answer_of(page)


def test_where_nothing_fits_all_styles_stay_with_their_arithmetic(show: Show) -> None:
    _, page = show(own_bench())
    retype(page.questions.room, "3", ENTER)
    assert answer_of(page) == ("Nothing fits", "every style is ruled out by the arithmetic")
    assert views(page) == []
    assert not page.points.isVisible()
    why = page.ruled_out.why.text()
    for style in ("Skagit", "Scandi", "Short belly", "Mid belly"):
        assert f"{style}: its shortest head" in why
    assert "Long belly: from 70 ft on" in why
    assert page.ruled_out.title.text() == "Ruled out by rod and room"
    assert page.ruled_out.rows.spoken.count("ruled out") == 5


def test_points_can_be_counted_and_add_up(show: Show) -> None:
    _, page = show(own_bench())
    said = page.points.table.spoken
    assert "Casting: touch and go: Scandi 2, Skagit −2. Touch and go suits a long front." in said
    assert "Stripping: no matter: Scandi 0, Skagit 0. Speaks for none." in said
    assert said.endswith("Together: Scandi 5, Skagit 1. A lead of 4.")


def test_a_head_is_laid_on_the_bench_with_what_is_advised_as_its_goals(show: Show) -> None:
    window, page = show(own_bench())
    before = len(window.document.bench.lines)
    (view,) = views(page)
    assert (view.length.value, view.weight.value) == ("33 to 39 ft", "420 to 500 gr")
    click(page.answer.lay)
    settle()
    line = window.document.line
    assert len(window.document.bench.lines) == before + 1
    assert line.style is Style.SCANDI
    weight, length = line.aim.goals
    assert (weight.kind, length.kind) == (GoalKind.WEIGHT, GoalKind.LENGTH)
    assert weight.low == pytest.approx(420 * GRAIN)
    assert weight.high == pytest.approx(500 * GRAIN)
    assert page.answer.laid.isVisible()
    assert line.name in page.answer.laid.text()
    click(page.answer.see)
    assert window.document.bench.view.page == "shape"
    window.show_page("which")
    window.document.undo_stack.undo()
    settle()
    assert len(window.document.bench.lines) == before
    assert not page.answer.laid.isVisible()


def test_without_a_window_the_weight_is_asked_of_the_maker_and_nothing_is_laid(show: Show) -> None:
    bench = own_bench()
    rods = tuple(replace(each, windows=()) for each in bench.rods)
    window, page = show(replace(bench, rods=rods))
    (view,) = views(page)
    assert view.weight.value == "ask its maker"
    before = window.document.bench
    click(page.answer.lay)
    settle()
    assert window.document.bench is before
    assert "its weight would be a guess" in status(window)


def test_heads_that_are_there_say_how_they_fit_and_one_is_taken(show: Show) -> None:
    window, page = show(own_bench())
    page.answer.heads.setFocus()
    keys(SPACE)
    dialog = open_dialog(window, HeadsDialog)
    assert isinstance(dialog, HeadsDialog)
    names = [each.line.name for each in dialog.fits]
    assert names[0] == "Scandi head, 37 ft"
    assert "12 ft of 14" not in names, "a tip is no head"
    assert "Scandi: what suits best." in dialog.said.text()
    assert not dialog.caution.isVisible()
    row = names.index("Scandi head, uncut, 41 ft")
    for _ in range(row):
        keys(DOWN)
    assert "above the window" in dialog.said.text()
    assert dialog.caution.isVisible()
    assert "can break the rod" in dialog.caution.text()
    keys(ENTER)
    settle()
    assert window.document.line.name == "Scandi head, uncut, 41 ft"
    assert status(window) == "Scandi head, uncut, 41 ft is the current line."


def test_a_bench_without_heads_says_so(show: Show) -> None:
    bench = own_bench()
    window, page = show(replace(bench, lines=()))
    click(page.answer.heads)
    dialog = open_dialog(window, HeadsDialog)
    assert isinstance(dialog, HeadsDialog)
    assert dialog.said.text() == "No head lies on the bench. Lay one on it first."
    assert not dialog.accept_button.isEnabled()
    dialog.reject()


def test_without_a_rod_for_two_hands_the_answer_says_what_is_missing(show: Show) -> None:
    window, page = show(replace(own_bench(), rod=None))
    assert answer_of(page) == ("No answer", "Choose a rod first.")
    assert not page.answer.heads.isEnabled()
    assert not page.ruled_out.isVisible()
    choose(page.questions.rod.box, 1)
    assert answer_of(page)[0] == "Scandi"
    single = read_bench(sample("single_hand.taperlab"))
    window.file.put_in_hand(single, None)
    window.show_page("which")
    assert answer_of(page)[0] == "No answer"
    assert "is for one hand" in answer_of(page)[1]


def test_a_room_that_cannot_be_read_is_told_below_it_and_the_old_one_counts(show: Show) -> None:
    window, page = show(own_bench())
    retype(page.questions.room, "wide", ENTER)
    settle()
    assert page.questions.problem.isVisible()
    assert window.document.bench.answers.room == pytest.approx(12 * FOOT)
    retype(page.questions.room, "4.5 m", ENTER)
    assert window.document.bench.answers.room == pytest.approx(4.5)
    assert not page.questions.problem.isVisible()
    page.questions.room.selectAll()
    keys(DELETE, ENTER)
    assert window.document.bench.answers.room is None
    settle()
    assert page.ruled_out.title.text() == "Ruled out by the rod"


def edited_table(page: WhichHeadPage, change: Callable[[str], str]) -> Path:
    where = reasons_file()
    where.parent.mkdir(parents=True, exist_ok=True)
    ours = resource("tables", "which_head.csv").read_text(encoding="utf-8")
    where.write_text(change(ours), encoding="utf-8")
    QApplication.sendEvent(page, QEvent(QEvent.Type.WindowActivate))
    settle()
    return where


def test_a_damaged_own_table_is_told_by_row_and_column_and_ours_counts(show: Show) -> None:
    _, page = show(own_bench())
    assert not page.answer.table_problem.isVisible()
    where = edited_table(page, lambda ours: ours.replace("a small fly,-1,", "a small fly,lots,"))
    said = page.answer.table_problem.text()
    assert page.answer.table_problem.isVisible()
    assert f"{where}, row 2, column “Skagit”: found “lots”" in said
    assert said.endswith("the reasons that come with the program count.")
    assert answer_of(page) == ("Scandi", "by 4 points, over Skagit")
    edited_table(page, lambda ours: ours.replace("touch and go,-2,2,", "touch and go,9,-9,"))
    assert not page.answer.table_problem.isVisible()
    assert answer_of(page)[0] == "Skagit"


def test_the_own_table_is_begun_as_a_copy_and_opened(
    show: Show, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, page = show(own_bench())
    opened: list[QUrl] = []

    def open_url(url: QUrl) -> bool:
        opened.append(url)
        return len(opened) == 1

    monkeypatch.setattr(QDesktopServices, "openUrl", open_url)
    click(page.questions.table)
    assert [each.toLocalFile() for each in opened] == [str(reasons_file())]
    assert reasons_file().exists()
    assert "counts here as soon as it is saved" in status(window)
    click(page.questions.table)
    assert any("Nothing here opens tables" in each for each in banners(window))


def test_it_is_printed_with_its_arithmetic_and_the_caution(show: Show) -> None:
    _, page = show(own_bench())
    sheet = page.sheet()
    text = printed(sheet)
    for said in (
        "Which head for Mill pool 13 ft, 7",
        "Scandi\nby 4 points, over Skagit",
        "420 to 500 gr",
        "Short belly: its shortest head, 50 ft, wants",
        "Thrown, a heavy tip: a tie of Skagit and Scandi.",
        "can break the rod",
    ):
        assert said in text


def test_before_an_answer_there_is_nothing_to_print_or_copy(show: Show) -> None:
    _, page = show(unanswered())
    assert str(page.sheet()) == "Answer a question first: there is nothing to print."
    assert not page.has_readouts()
    click(button(page.questions, "A small fly"))
    assert page.has_readouts()
    assert page.current_readouts()[0][0] == "Which head"


def test_in_metres_and_grams(show: Show) -> None:
    window, page = show(own_bench())
    window.use_system(System.METRIC)
    settle()
    (view,) = views(page)
    assert view.length.value == "10.0 to 12.0 m"
    assert view.weight.value == "27.22 to 32.40 g"
    assert "3.5 m behind you" not in page.points.table.spoken
    assert "Room behind: 3.5 m" in page.points.table.spoken


def test_a_screen_reader_hears_one_choice_of_several(show: Show) -> None:
    _, page = show(own_bench())
    told = [QAccessible.queryAccessibleInterface(each) for each in page.questions.casting.buttons]
    assert {each.role() for each in told} == {QAccessible.Role.RadioButton}
    assert [bool(each.state().checked) for each in told] == [False, False, True, False]
    assert told[2].text(QAccessible.Text.Name) == "How you cast: Touch and go"
