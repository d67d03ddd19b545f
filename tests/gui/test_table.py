"""The segment table, with the keys and the mouse of a person."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, Qt
from PySide6.QtGui import QCursor, QFontMetrics
from PySide6.QtTest import QAbstractItemModelTester, QTest
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLineEdit, QMenu, QWidget
from pytestqt.qtbot import QtBot

from taperlab.edits import bench as bench_edits
from taperlab.edits import lines as line_edits
from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.edited import Moved, Solve
from taperlab.files.preferences import Preferences
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.outcome_words import outcome_sentence
from taperlab.gui.kit.theme import Choice, Theme
from taperlab.gui.pages.row_commands import ROW_COMMANDS
from taperlab.gui.pages.shape.columns import COLUMNS, Col
from taperlab.gui.pages.shape.row_dialogs import RowDialog
from taperlab.gui.pages.shape.segment_table import SegmentTable
from taperlab.gui.state.document import Document, Outcome
from taperlab.gui.state.settings import Settings
from taperlab.gui.state.watch import Watch
from taperlab.gui.table.editors import Bubble, CellEdit, PartMenu
from taperlab.model.bench import Bench
from taperlab.model.line import Joint, JointKind, Loop, LoopKind, line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.water import WaterKind
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence
from tests.gui.hands import CTRL, ENTER, ESC, NOISE, SHIFT, TAB, keys, settle, words_on
from tests.gui.workplace import HeardHost, workplace

pytestmark = pytest.mark.qt_log_ignore(NOISE)

FT, IN, GRAIN = 0.3048, 0.0254, 64.79891e-6

HEAD = (
    Segment(Part.TIP, 0.5 * FT, 0.040 * IN, 0.040 * IN, 860.0),
    Segment(Part.FRONT_TAPER, 10.0 * FT, 0.040 * IN, 0.092 * IN, 860.0),
    Segment(Part.BELLY, 15.0 * FT, 0.092 * IN, 0.098 * IN, 860.0),
    Segment(Part.REAR_TAPER, 4.0 * FT, 0.098 * IN, 0.042 * IN, 860.0),
)


@dataclass
class Bench_:  # noqa: N801 - a bundle for the tests
    document: Document
    settings: Settings
    theme: Theme
    view: SegmentTable
    host: HeardHost

    @property
    def problems(self) -> list[str]:
        return self.host.problems

    @property
    def said(self) -> list[str]:
        return self.host.said

    @property
    def told(self) -> list[str]:
        """What was said of edits that moved other numbers too."""
        system = self.settings.system
        return [str(outcome_sentence(one, system)) for one in self.host.outcomes if one.moved]

    @property
    def segments(self) -> tuple[Segment, ...]:
        return self.document.line.segments

    def at(self, row: int, column: int) -> None:
        # Not setCurrentIndex: that looks at keys that an earlier test may have left pressed.
        model = self.view.selectionModel()
        index = self.view.segments.index(row, column)
        model.setCurrentIndex(index, model.SelectionFlag.ClearAndSelect)

    def where(self) -> tuple[int, int]:
        index = self.view.currentIndex()
        return index.row(), index.column()

    def text(self, row: int, column: int) -> str:
        return str(self.view.segments.index(row, column).data())

    def editor(self) -> CellEdit | None:
        return self.view.open_editor()

    @property
    def bubble(self) -> Bubble:
        return self.view.findChild(Bubble)


@pytest.fixture
def make_table(qtbot: QtBot) -> Iterator[Callable[..., Bench_]]:
    made: list[SegmentTable] = []

    def make(segments: tuple[Segment, ...] | None = HEAD, system: System = System.US) -> Bench_:
        bench = Bench()
        if segments is not None:
            bench = Bench(lines=(line_of("line-1", "Alder scandi", segments),))
        document, theme = Document(bench), Theme(Choice.LIGHT)
        preferred = Settings(Preferences(system=system))
        place, watch = workplace(document, preferred, theme), Watch(document, preferred)
        watch.wake()
        view = SegmentTable(place, watch)
        watch.setParent(view)
        place.host.parent_widget = view
        QAbstractItemModelTester(
            view.segments, QAbstractItemModelTester.FailureReportingMode.Fatal, view
        )
        view.resize(800, 420)
        with qtbot.waitActive(view):
            view.show()
            view.activateWindow()
        view.setFocus()
        made.append(view)
        return Bench_(document, preferred, theme, view, place.host)

    yield make
    for view in made:
        view.place.theme.disconnect_from_system()
        view.close()
        view.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def table(make_table: Callable[..., Bench_]) -> Bench_:
    return make_table()


def paste(table: Bench_, text: str) -> None:
    QApplication.clipboard().setText(text)
    keys(Qt.Key.Key_V, modifier=CTRL)


# -- typing -------------------------------------------------------------------------------------


def test_a_head_is_typed_from_nothing_with_keys_alone(make_table: Callable[..., Bench_]) -> None:
    table = make_table(())
    assert table.text(0, Col.PART) == "Add a segment"
    keys("tip", TAB, "6in", TAB, ".04", TAB, "0.04", TAB, ".86", TAB)
    for _ in range(4):
        keys(TAB)
    keys("level", TAB)
    keys("fr", TAB, "10'", TAB, TAB, "92 thou", TAB, TAB, TAB, TAB, TAB, TAB)
    keys("from the mill", TAB)
    keys("BE", TAB, "15 ft", ENTER)
    keys(ENTER, ENTER)
    found = table.segments
    assert [one.part for one in found[:3]] == [Part.TIP, Part.FRONT_TAPER, Part.BELLY]
    assert found[0].length == pytest.approx(6 * IN)
    assert found[0].density == pytest.approx(860.0)
    assert (found[0].note, found[1].note) == ("level", "from the mill")
    assert found[1].front_diameter == pytest.approx(0.040 * IN)
    assert found[1].rear_diameter == pytest.approx(0.092 * IN)
    assert found[2].length == pytest.approx(15 * FT)
    assert not table.problems


def test_enter_goes_down_shift_enter_up_tab_wraps(table: Bench_) -> None:
    table.at(1, Col.LENGTH)
    keys("9", ENTER)
    assert table.where() == (2, Col.LENGTH)
    keys("14")
    keys(ENTER, modifier=SHIFT)
    assert table.where() == (1, Col.LENGTH)
    assert [one.length for one in table.segments[1:3]] == pytest.approx([9 * FT, 14 * FT])
    table.at(1, Col.NOTE)
    keys(TAB)
    assert table.where() == (2, Col.PART)
    keys(Qt.Key.Key_Backtab, modifier=SHIFT)
    assert table.where() == (1, Col.NOTE)


def test_tab_at_the_very_end_adds_a_row(table: Bench_) -> None:
    table.at(3, Col.NOTE)
    keys(TAB)
    assert len(table.segments) == 5
    assert table.where() == (4, Col.PART)


def test_enter_on_the_last_row_adds_one_and_typing_there_too(table: Bench_) -> None:
    table.at(4, Col.PART)
    keys(ENTER)
    assert len(table.segments) == 5
    assert table.where() == (4, Col.PART)
    table.at(5, Col.LENGTH)
    keys("2 ft", ENTER)
    assert len(table.segments) == 6
    assert table.segments[5].length == pytest.approx(2 * FT)
    assert table.where() == (6, Col.LENGTH)
    table.document.undo_stack.undo()
    assert len(table.segments) == 5


def test_bad_text_turns_the_cell_red_says_why_and_keeps_the_old_value(table: Bench_) -> None:
    before = table.document.bench
    table.at(2, Col.LENGTH)
    keys("12 kg", ENTER)
    editor = table.editor()
    assert editor is not None
    assert editor.bad
    assert editor.text() == "12 kg"
    assert table.bubble.isVisible()
    assert "12 kg" in table.bubble.text()
    assert table.view.viewport().rect().contains(table.bubble.geometry())
    assert table.problems == [table.bubble.text()]
    assert table.document.bench is before
    assert table.where() == (2, Col.LENGTH)
    keys(ESC)
    assert table.editor() is None
    assert not table.bubble.isVisible()
    assert table.text(2, Col.LENGTH) == "15' 0\""


def test_bad_text_can_be_mended(table: Bench_) -> None:
    table.at(2, Col.LENGTH)
    keys("12 x", ENTER, Qt.Key.Key_F2, Qt.Key.Key_Backspace)
    assert not table.editor().bad
    keys("ft", ENTER)
    assert table.editor() is None
    assert table.segments[2].length == pytest.approx(12 * FT)


def test_a_click_elsewhere_waits_until_bad_text_is_mended(table: Bench_, qtbot: QtBot) -> None:
    table.at(2, Col.LENGTH)
    keys("zero", ENTER)
    box = table.view.visualRect(table.view.segments.index(0, Col.NOTE))
    qtbot.mouseClick(table.view.viewport(), Qt.MouseButton.LeftButton, pos=box.center())
    assert table.editor().text() == "zero"
    assert table.where() == (2, Col.LENGTH)
    assert not table.view.commit_open_editor()
    keys(ESC)
    assert table.editor() is None


def test_a_click_elsewhere_takes_good_text(table: Bench_, qtbot: QtBot) -> None:
    table.at(2, Col.LENGTH)
    keys("12")
    box = table.view.visualRect(table.view.segments.index(0, Col.NOTE))
    qtbot.mouseClick(table.view.viewport(), Qt.MouseButton.LeftButton, pos=box.center())
    assert table.segments[2].length == pytest.approx(12 * FT)
    assert table.where() == (0, Col.NOTE)


def test_a_refused_edit_is_said_in_place(table: Bench_) -> None:
    table.at(2, Col.WEIGHT)
    keys("9000", ENTER)
    assert table.editor().bad
    assert "density" in table.problems[-1]
    assert table.segments == HEAD


@pytest.mark.parametrize(
    ("system", "typed", "unit", "other"),
    [(System.US, "9000", " in", "mm"), (System.METRIC, "580", " mm", " in ")],
)
def test_a_refused_edit_speaks_the_person_s_units(
    make_table: Callable[..., Bench_], system: System, typed: str, unit: str, other: str
) -> None:
    table = make_table(HEAD, system)
    table.settings.use_solve(Solve.DIAMETER)
    table.at(2, Col.WEIGHT)
    keys(typed, ENTER)
    assert unit in table.bubble.text()
    assert other not in table.bubble.text()
    assert table.problems == [table.bubble.text()]
    assert table.segments == HEAD


def test_double_click_edits_and_leaving_the_text_alone_keeps_the_full_value(
    make_table: Callable[..., Bench_], qtbot: QtBot
) -> None:
    table = make_table((Segment(Part.BELLY, 3.0123456, 0.00234567, 0.00234567, 861.23456),))
    before = table.document.bench
    for column in range(len(COLUMNS)):
        box = table.view.visualRect(table.view.segments.index(0, column))
        qtbot.mouseClick(table.view.viewport(), Qt.MouseButton.LeftButton, pos=box.center())
        qtbot.mouseDClick(table.view.viewport(), Qt.MouseButton.LeftButton, pos=box.center())
        assert table.editor() is not None
        keys(ENTER)
        assert table.editor() is None
    assert table.document.bench is before


def test_f2_edits_the_text_that_is_there(table: Bench_) -> None:
    table.at(2, Col.NOTE)
    keys("spool", ENTER)
    table.at(2, Col.NOTE)
    keys(Qt.Key.Key_F2, Qt.Key.Key_End, " 4", ENTER)
    assert table.segments[2].note == "spool 4"
    table.at(2, Col.NOTE)
    keys(Qt.Key.Key_Delete)
    assert table.segments[2].note == ""


# -- computed columns ---------------------------------------------------------------------------


def test_a_typed_weight_moves_the_density_and_says_so(table: Bench_) -> None:
    table.at(2, Col.WEIGHT)
    keys("300", ENTER)
    assert table.document.analysis().segments[2].mass == pytest.approx(300 * GRAIN)
    assert table.segments[2].front_diameter == HEAD[2].front_diameter
    assert table.text(2, Col.WEIGHT) == "300.0"
    after = table.segments[2].density / 1000
    assert table.told == [
        f"Change weight. Density of segment 3 moved from 0.860 to {after:.3f} g/cm³ "
        "so that the weight holds"
    ]


def test_a_typed_weight_moves_the_diameter_on_choice(table: Bench_) -> None:
    table.settings.use_solve(Solve.DIAMETER)
    table.at(2, Col.WEIGHT)
    keys("300", ENTER)
    assert table.document.analysis().segments[2].mass == pytest.approx(300 * GRAIN)
    assert table.segments[2].density == HEAD[2].density
    assert table.segments[2].front_diameter > HEAD[2].front_diameter
    moved = table.host.outcomes[0].moved
    assert {one.quantity for one in moved} == {"front diameter", "rear diameter"}


@pytest.mark.parametrize(
    ("column", "read"),
    [
        (Col.FRONT_WEIGHT_PER_LENGTH, lambda figures: figures.front_linear_density),
        (Col.REAR_WEIGHT_PER_LENGTH, lambda figures: figures.rear_linear_density),
    ],
)
@pytest.mark.parametrize("solve", list(Solve))
def test_a_typed_weight_per_length_holds(
    table: Bench_, column: Col, read: Callable[..., float], solve: Solve
) -> None:
    table.settings.use_solve(solve)
    table.at(1, column)
    keys("9 gr/ft", ENTER)
    assert read(table.document.analysis().segments[1]) == pytest.approx(9 * GRAIN / FT)
    assert (table.segments[1].density == HEAD[1].density) is (solve is Solve.DIAMETER)
    assert table.told[0].endswith("so that the weight per length holds")


def test_a_typed_sink_rate_holds_and_a_floating_segment_says_so(table: Bench_) -> None:
    assert table.text(2, Col.SINK_RATE) == "floats"
    assert table.view.segments.edit_text(2, Col.SINK_RATE).startswith("−")
    table.at(2, Col.SINK_RATE)
    keys("3 ips", ENTER)
    assert table.document.analysis().segments[2].sink == pytest.approx(3 * IN, rel=1e-6)
    assert table.text(2, Col.SINK_RATE) == "3.0"


def test_a_diameter_takes_the_touching_end_along_and_says_so(table: Bench_) -> None:
    table.at(1, Col.REAR_DIAMETER)
    keys("95 thou", ENTER)
    assert table.segments[2].front_diameter == pytest.approx(0.095 * IN)
    assert table.told == [
        "Change rear diameter. Front diameter of segment 3 moved from 0.092 to 0.095 in"
    ]
    assert table.text(2, Col.FRONT_DIAMETER) == "0.095"


def test_moved_text_counts_what_it_does_not_tell() -> None:
    moved = tuple(Moved("length", row, 1.0, 2.0 + (row > 1)) for row in range(4))
    text = outcome_sentence(Outcome(Sentence("Shift"), moved=moved), System.METRIC)
    assert str(text) == (
        "Shift. Length of segment 1 moved from 1.000 to 2.000 m, length of segment 2 moved from "
        "1.000 to 2.000 m and 2 more numbers moved"
    )
    assert outcome_sentence(Outcome(Sentence("Shift")), System.US) == Sentence("Shift")
    assert not outcome_sentence(Outcome(), System.US)


def test_what_moved_by_one_factor_is_told_in_one_sentence() -> None:
    def told(*moved: Moved) -> str:
        return str(outcome_sentence(Outcome(Sentence("Shift"), moved=moved), System.US))

    ends = ("front diameter", "rear diameter")
    thicker = [Moved(end, row, 0.002, 0.00213) for row in (1, 2) for end in ends]
    assert told(*thicker) == "Shift. Diameters of segments 2 to 3 moved by +6.5 %"
    apart = (Moved("density", row, 1000.0, 900.0) for row in (0, 1, 3))
    assert told(*apart) == "Shift. Densities of segments 1, 2 and 4 moved by −10.0 %"
    assert told(*thicker[:2]).startswith("Shift. Front diameter of segment 2 moved from")


def test_the_invitation_to_add_a_segment_stays_within_its_frame(
    make_table: Callable[..., Bench_],
) -> None:
    table = make_table(())
    view = table.view
    cell = view.visualRect(view.segments.index(0, Col.PART))
    seen = view.viewport().grab().copy(cell.translated(cell.width(), 0)).toImage()
    colours = {seen.pixel(x, y) for x in range(seen.width()) for y in range(seen.height())}
    assert len(colours) == 1, "what is written there goes on beside the frame"


def test_a_number_cut_off_at_the_edge_is_not_half_a_number(
    make_table: Callable[..., Bench_],
) -> None:
    table = make_table()
    view, column = table.view, Col.REAR_WEIGHT_PER_LENGTH
    view.resize(2000, view.height())
    QCursor.setPos(view.mapToGlobal(view.rect().bottomRight()) + QPoint(50, 50))
    settle()  # no cell lies under the mouse
    numbers = [table.text(row, column) for row in (1, 2)]
    assert numbers[0] != numbers[1]

    def looks() -> int:
        seen = view.viewport().grab().toImage()
        cells = (view.visualRect(view.segments.index(row, column)) for row in (1, 2))
        inside = view.viewport().rect()
        return len({bytes(seen.copy(each & inside).constBits()) for each in cells})

    assert looks() == 2, "with room they are told apart"
    left = view.columnViewportPosition(column)
    half = view.columnWidth(column) // 2  # letters may have another size than usual
    view.resize(view.width() - view.viewport().width() + left + half, view.height())
    settle()
    assert left < view.viewport().width() - 1 < left + view.columnWidth(column)
    assert looks() == 1, "half of each is read as another number"


# -- parts --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "part"),
    [
        ("be", Part.BELLY),
        ("RUN", Part.RUNNING_LINE),
        ("Sink T", Part.SINK_TIP),
        ("r", Part.REAR_TAPER),
    ],
)
def test_a_part_is_completed_from_its_first_letters(table: Bench_, typed: str, part: Part) -> None:
    table.at(0, Col.PART)
    keys(typed, ENTER)
    assert table.segments[0].part is part
    assert table.where() == (1, Col.PART)


def test_completion_does_not_fight_backspace(table: Bench_) -> None:
    table.at(0, Col.PART)
    keys("be")
    assert table.editor().text() == "belly"
    keys(Qt.Key.Key_Backspace)
    assert table.editor().text() == "be"
    keys(Qt.Key.Key_Backspace, Qt.Key.Key_Backspace, "ext", ENTER)
    assert table.segments[0].part is Part.EXTENSION


def test_an_unknown_part_is_refused_in_place(table: Bench_) -> None:
    table.at(0, Col.PART)
    keys("wing", ENTER)
    assert table.editor().bad
    assert "front taper" in table.problems[0]
    assert table.segments is HEAD or table.segments == HEAD


@pytest.mark.parametrize("opening", ["space", "f4", "alt+down"])
def test_the_list_of_parts_opens_by_key(table: Bench_, qtbot: QtBot, opening: str) -> None:
    table.at(0, Col.PART)
    if opening == "space":
        keys(Qt.Key.Key_Space)
    elif opening == "f4":
        keys(Qt.Key.Key_F4)
    else:
        keys(Qt.Key.Key_Down, modifier=Qt.KeyboardModifier.AltModifier)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, PartMenu)
    assert menu.activeAction().text() == "Tip"
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, ENTER)
    assert table.segments[0].part is Part.BELLY
    assert table.editor() is None


# -- following the document ---------------------------------------------------------------------


def test_undo_and_redo_restore_and_select(table: Bench_) -> None:
    table.at(2, Col.WEIGHT)
    keys("300", ENTER)
    table.at(0, Col.PART)
    table.document.undo_stack.undo()
    assert table.segments == HEAD
    assert table.text(2, Col.WEIGHT) == "277.6"
    assert table.where()[0] == 2
    table.at(0, Col.PART)
    table.document.undo_stack.redo()
    assert table.text(2, Col.WEIGHT) == "300.0"
    assert table.where()[0] == 2


def test_an_open_editor_survives_other_changes(table: Bench_) -> None:
    table.at(2, Col.LENGTH)
    keys("12")
    resets: list[int] = []
    table.view.segments.modelReset.connect(lambda: resets.append(1))
    table.document.apply(value_edits.set_weight, "line-1", 2, 0.02)
    table.document.apply(value_edits.set_length, "line-1", 2, 3.0)
    table.document.apply(row_edits.insert_default, "line-1", 0)
    table.document.apply(bench_edits.set_water, WaterKind.FRESH, 290.0, 0.035)
    assert table.editor().text() == "12"
    keys(" ft", ENTER)
    assert table.segments[3].length == pytest.approx(12 * FT)
    assert not resets


def test_only_cells_that_look_different_are_told(table: Bench_) -> None:
    told: list[tuple[int, int, int]] = []
    table.view.segments.dataChanged.connect(
        lambda one, other, roles: told.append((one.row(), one.column(), other.column()))
    )
    table.document.apply(value_edits.set_note, "line-1", 1, "hello")
    assert told == [(1, Col.NOTE, Col.NOTE)]
    told.clear()
    table.document.apply(value_edits.set_length, "line-1", 2, 4.0)
    assert {row for row, _, _ in told} == {2}
    assert (2, Col.LENGTH, Col.LENGTH) in told
    assert not any(first <= Col.DENSITY <= last for _, first, last in told)


def test_units_switch_midway_takes_what_is_being_typed(table: Bench_) -> None:
    table.at(2, Col.LENGTH)
    keys("12")
    table.settings.use_system(System.METRIC)
    assert table.editor() is None
    assert table.segments[2].length == pytest.approx(12 * FT)
    assert table.text(2, Col.LENGTH) == "3.658"
    assert table.view.segments.headerData(1, Qt.Orientation.Horizontal) == "Length (m)"
    keys("4,25", ENTER)
    assert table.segments[2].length == pytest.approx(4.25)
    table.settings.use_system(System.US)
    assert table.text(2, Col.LENGTH) == "13' 11 3/8\""


def test_another_line_in_hand_is_shown(table: Bench_) -> None:
    table.document.apply(line_edits.add_line, "Empty one")
    assert table.document.line.name == "Empty one"
    assert table.view.segments.rowCount() == 1
    table.document.look(line="line-1")
    assert table.view.segments.rowCount() == 5
    assert table.text(2, Col.PART) == "Belly"
    assert table.view.currentIndex().isValid()


def test_a_bench_without_lines_is_no_trouble(make_table: Callable[..., Bench_]) -> None:
    table = make_table(None)
    assert table.view.segments.rowCount() == 0
    for name in ROW_COMMANDS:
        getattr(table.view, name)()
    table.view.cut()
    table.view.copy()
    table.view.paste()
    keys("x", ENTER, TAB, Qt.Key.Key_Delete)
    table.view.grab()


# -- rows ---------------------------------------------------------------------------------------


def test_rows_are_deleted_with_delete_when_whole_rows_are_selected(table: Bench_) -> None:
    table.at(1, Col.WEIGHT)
    keys(Qt.Key.Key_Delete)
    assert len(table.segments) == 4
    assert "can’t be empty" in table.problems[-1]
    keys(Qt.Key.Key_Space, modifier=SHIFT)
    keys(Qt.Key.Key_Delete)
    assert table.segments == (HEAD[0], HEAD[2], HEAD[3])
    assert table.where()[0] == 1
    table.document.undo_stack.undo()
    assert table.segments == HEAD


def test_a_click_on_the_number_selects_the_row(table: Bench_, qtbot: QtBot) -> None:
    header = table.view.verticalHeader()
    y = header.sectionViewportPosition(2) + 10
    qtbot.mouseClick(header.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(10, y))
    assert table.view.selects_whole_rows()
    assert table.view.selected_rows() == [2]


def test_insert_duplicate_move(table: Bench_) -> None:
    table.at(1, Col.LENGTH)
    table.view.insert_above()
    assert len(table.segments) == 5
    assert table.segments[2] is HEAD[1]
    assert table.where() == (1, Col.LENGTH)
    table.view.delete_rows()
    assert table.segments == HEAD
    table.view.insert_below()
    assert table.where() == (2, Col.LENGTH)
    table.document.undo_stack.undo()
    table.view.select_rows([0, 1])
    table.view.duplicate_rows()
    assert table.segments == (*HEAD[:2], *HEAD)
    assert table.view.selected_rows() == [2, 3]
    table.view.move_down()
    assert table.segments == (*HEAD[:2], HEAD[2], *HEAD[:2], HEAD[3])
    assert table.view.selected_rows() == [3, 4]
    table.view.move_up()
    table.document.undo_stack.setIndex(0)
    assert table.segments == HEAD


def accept(dialog: RowDialog | None) -> None:
    assert dialog is not None
    dialog.accept_button.click()


def test_split_and_merge(table: Bench_) -> None:
    table.at(2, Col.PART)
    dialog = table.view.split_here()
    assert dialog.distance.value() == pytest.approx(7.5 * FT)
    assert "7 ft 6 in" in dialog.remark.text()
    dialog.distance.selectAll()
    QTest.keyClicks(dialog.distance, "20 ft")
    assert "15 ft" in " ".join(words_on(dialog))
    accept(dialog)
    assert table.segments == HEAD
    dialog.distance.selectAll()
    QTest.keyClicks(dialog.distance, "5 ft")
    QTest.keyClick(dialog.distance, ENTER)
    assert [one.length for one in table.segments[2:4]] == pytest.approx([5 * FT, 10 * FT])
    assert table.view.selected_rows() == [2, 3]
    assert table.view.merge_rows() is None
    assert len(table.segments) == 4
    assert table.segments[2].length == pytest.approx(15 * FT)


def test_merge_asks_where_the_shape_changes(table: Bench_) -> None:
    before = table.document.analysis().mass
    table.view.select_rows([1, 2])
    dialog = table.view.merge_rows()
    assert table.segments == HEAD
    accept(dialog)
    assert len(table.segments) == 3
    assert table.document.analysis().mass == pytest.approx(before)


def test_reverse(table: Bench_) -> None:
    table.view.reverse_line()
    assert table.text(0, Col.PART) == "Front taper"
    assert table.segments[3].part is Part.TIP
    table.view.reverse_line()
    assert table.segments == HEAD


def test_core_dialog(table: Bench_) -> None:
    table.at(2, Col.DENSITY)
    before = table.document.analysis().segments[2].mass
    dialog = table.view.edit_core()
    dialog.diameter.selectAll()
    QTest.keyClicks(dialog.diameter, "0.2 in")
    assert "thinner end" in " ".join(words_on(dialog))
    dialog.diameter.selectAll()
    QTest.keyClicks(dialog.diameter, "30 thou")
    accept(dialog)
    assert table.segments[2].core == Core(0.030 * IN, 1140.0)
    assert table.document.analysis().segments[2].mass == pytest.approx(before)
    assert "core" in table.view.segments.data(
        table.view.segments.index(2, Col.DENSITY), Qt.ItemDataRole.AccessibleTextRole
    )
    dialog = table.view.edit_core()
    dialog.coating.selectAll()
    QTest.keyClicks(dialog.coating, "2.5")
    assert "Mean density" in dialog.remark.text()
    accept(dialog)
    assert table.segments[2].density == pytest.approx(2500.0)
    dialog = table.view.edit_core()
    dialog.remove_button.click()
    assert table.segments[2].core is None


def test_a_core_that_can_not_be_is_refused_in_its_dialog(table: Bench_) -> None:
    table.at(2, Col.DENSITY)
    dialog = table.view.edit_core()
    for field, text in ((dialog.diameter, "0.09 in"), (dialog.density, "15")):
        field.selectAll()
        QTest.keyClicks(field, text)
    assert "density" in dialog.remark.text()
    accept(dialog)
    assert dialog.isVisible()
    assert table.problems[-1] in words_on(dialog)
    assert table.segments == HEAD
    dialog.reject()


def test_joint_dialog(table: Bench_) -> None:
    table.at(3, Col.PART)
    assert table.view.edit_joint() is None
    assert "last segment" in table.problems[-1]
    table.at(1, Col.PART)
    dialog = table.view.edit_joint()
    assert not dialog.overlap.isEnabled()
    dialog.kind.setCurrentIndex(list(JointKind).index(JointKind.LAPPED_WELD))
    QTest.keyClicks(dialog.overlap, "2 in")
    QTest.keyClicks(dialog.mass, "0.5")
    accept(dialog)
    joint = table.document.line.joints[1]
    assert joint.kind is JointKind.LAPPED_WELD
    assert joint.overlap == pytest.approx(2 * IN)
    assert joint.mass == pytest.approx(0.5 * GRAIN)
    tip = table.view.segments.index(1, Col.PART).data(Qt.ItemDataRole.ToolTipRole)
    assert tip.startswith("To segment 3: lapped weld, overlap 2 in")


def test_the_joint_dialog_keeps_the_loops_of_a_joint_that_stays_loop_to_loop(
    table: Bench_,
) -> None:
    loop = Loop(LoopKind.FOLDED, 2.5 * IN, 0.4 * GRAIN)
    looped = Joint(JointKind.LOOP_TO_LOOP, loop_ahead=loop, loop_behind=loop)
    table.document.apply(value_edits.set_joint, table.document.line.key, 1, looped)
    table.at(1, Col.PART)
    dialog = table.view.edit_joint()
    QTest.keyClicks(dialog.mass, "0.5")
    accept(dialog)
    joint = table.document.line.joints[1]
    assert joint.mass == pytest.approx(0.5 * GRAIN)
    assert (joint.loop_ahead, joint.loop_behind) == (loop, loop)
    dialog = table.view.edit_joint()
    dialog.kind.setCurrentIndex(list(JointKind).index(JointKind.BUTT_WELD))
    accept(dialog)
    assert table.document.line.joints[1] == Joint(JointKind.BUTT_WELD, mass=joint.mass)


def test_cancelled_dialogs_change_nothing_and_go(table: Bench_) -> None:
    table.at(1, Col.PART)
    for open_it in (table.view.split_here, table.view.edit_core, table.view.edit_joint):
        dialog = open_it()
        QTest.keyClick(dialog, ESC)
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert table.segments == HEAD
    assert not table.view.findChildren(RowDialog)


def select(table: Bench_, top: int, left: int, bottom: int, right: int) -> None:
    model = table.view.segments
    table.at(top, left)
    for row in range(top, bottom + 1):
        for column in range(left, right + 1):
            table.view.selectionModel().select(
                model.index(row, column), table.view.selectionModel().SelectionFlag.Select
            )


def test_fill_down(table: Bench_) -> None:
    table.document.apply(value_edits.set_density, "line-1", 0, 900.0)
    select(table, 0, Col.DENSITY, 3, Col.DENSITY)
    table.view.fill_down()
    assert [one.density for one in table.segments] == pytest.approx([900.0] * 4)
    select(table, 0, Col.FRONT_WEIGHT_PER_LENGTH, 3, Col.FRONT_WEIGHT_PER_LENGTH)
    table.view.fill_down()
    fronts = [one.front_linear_density for one in table.document.analysis().segments]
    assert fronts == pytest.approx([fronts[0]] * 4)
    table.document.undo_stack.undo()
    assert [one.density for one in table.segments] == pytest.approx([900.0] * 4)


# -- clipboard ----------------------------------------------------------------------------------

TEN_ROWS = (
    "Part\tLength [ft]\tFront diameter [in]\tRear diameter [in]\tDensity [g/cm^3]\tNote\n"
    + ("".join(f"belly\t{i + 1}\t0.08\t0.08\t0.86\trow {i}\n" for i in range(10)))
)


def test_ten_rows_from_a_spreadsheet_with_headings(make_table: Callable[..., Bench_]) -> None:
    table = make_table(())
    paste(table, TEN_ROWS)
    assert not table.problems
    assert [one.length for one in table.segments] == pytest.approx(
        [(i + 1) * FT for i in range(10)]
    )
    assert {one.note for one in table.segments} == {f"row {i}" for i in range(10)}
    assert table.view.selected_rows() == list(range(10))
    table.document.undo_stack.undo()
    assert table.segments == ()


def test_decimal_commas_without_headings_fill_from_the_current_cell(
    make_table: Callable[..., Bench_],
) -> None:
    table = make_table(HEAD, System.METRIC)
    table.at(2, Col.LENGTH)
    paste(table, "1,234\t2,5\t2,25 mm\t0,861\n2,5\t2,25\t2,25\t0,9\n3\t2,2\t2\t0,9\n")
    assert not table.problems
    assert len(table.segments) == 5
    assert [one.length for one in table.segments[2:]] == pytest.approx([1.234, 2.5, 3.0])
    assert table.segments[2].rear_diameter == pytest.approx(0.00225)
    assert table.segments[2].density == pytest.approx(861.0)
    assert table.segments[1].rear_diameter == pytest.approx(0.0025)  # it met the one pasted


def test_csv_with_weights_and_unknown_columns(make_table: Callable[..., Bench_]) -> None:
    table = make_table(())
    paste(
        table,
        "part,length [ft],front diameter [in],rear diameter [in],weight [gr],colour\n"
        "belly,20,0.09,0.09,300,green\nrunning line,50,0.03,0.03,100,white\n",
    )
    masses = [one.mass for one in table.document.analysis().segments]
    assert masses == pytest.approx([300 * GRAIN, 100 * GRAIN])
    assert "colour" in table.said[-1]


def test_grains_per_foot_over_the_row_makes_the_weight(make_table: Callable[..., Bench_]) -> None:
    table = make_table(())
    paste(
        table,
        "part\tlength [ft]\tfront diameter [in]\trear diameter [in]\tgrains per foot [gr/ft]\n"
        "belly\t20\t0.09\t0.08\t15\n",
    )
    assert not table.problems
    assert table.document.analysis().segments[0].mass == pytest.approx(300 * GRAIN)


def test_one_bad_cell_and_nothing_is_pasted(table: Bench_) -> None:
    before = table.document.bench
    paste(table, TEN_ROWS.replace("\t7\t0.08", "\tseven\t0.08"))
    assert table.document.bench is before
    assert len(table.problems) == 1
    assert "row 8, column “Length [ft]”" in table.problems[0]
    assert "seven" in table.problems[0]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "nothing"),
        ("\t\n\t\n", "nothing"),
        ("1\t2\t3\t4\t5\t6\t7\t8\t9\t10\t11", "11 columns"),
        ("part\tlength [kg]\nbelly\t3", "length [kg]"),
        ("part\tlength [ft]\tlength [ft]\nbelly\t3\t4", "two columns"),
        ("part\tlength [ft]\n", "no rows"),
        ("1\n" * 3000, "3000 rows"),
        ("belly\t10\t5 ft", "front diameter"),
    ],
)
def test_what_cannot_be_pasted_is_said(table: Bench_, text: str, words: str) -> None:
    before = table.document.bench
    table.at(0, Col.PART)
    paste(table, text)
    assert table.document.bench is before
    assert words in table.problems[-1]


def test_copy_gives_shown_numbers_and_comes_back_the_same(table: Bench_) -> None:
    table.view.select_rows([1, 2])
    keys(Qt.Key.Key_C, modifier=CTRL)
    text = QApplication.clipboard().text()
    rows = [line.split("\t") for line in text.splitlines()]
    assert len(rows) == 2
    assert rows[1][Col.WEIGHT] == "277.6"
    assert rows[1][Col.SINK_RATE].startswith("-")
    table.at(4, Col.PART)
    keys(Qt.Key.Key_V, modifier=CTRL)
    assert not table.problems
    assert table.segments[4].length == pytest.approx(10 * FT)
    assert table.segments[5].part is Part.BELLY
    assert table.segments[5].rear_diameter == pytest.approx(0.098 * IN)


@pytest.mark.parametrize("system", list(System))
def test_copy_with_headings_can_be_pasted(
    make_table: Callable[..., Bench_], system: System
) -> None:
    table = make_table(HEAD, system)
    table.view.selectAll()
    table.view.copy_headings()
    heading = QApplication.clipboard().text().splitlines()[0]
    assert heading.startswith("part\tlength [")
    # The other system reads it by the units in the headings.
    table.settings.use_system(System.US if system is System.METRIC else System.METRIC)
    table.at(4, Col.PART)
    keys(Qt.Key.Key_V, modifier=CTRL)
    assert not table.problems
    copies = table.segments[4:]
    assert [one.part for one in copies] == [one.part for one in HEAD]
    assert [one.length for one in copies] == pytest.approx([one.length for one in HEAD], abs=0.002)


def test_cut_takes_whole_rows_only(table: Bench_) -> None:
    table.at(1, Col.WEIGHT)
    keys(Qt.Key.Key_X, modifier=CTRL)
    assert table.segments == HEAD
    assert "whole segment" in table.problems[-1]
    table.view.selectRow(1)
    keys(Qt.Key.Key_X, modifier=CTRL)
    assert table.segments == (HEAD[0], *HEAD[2:])
    assert QApplication.clipboard().text().startswith("Front taper\t")


# -- looks and words ----------------------------------------------------------------------------


def test_screen_readers_hear_full_words(table: Bench_) -> None:
    model = table.view.segments

    def heard(row: int, column: int) -> str:
        return str(model.index(row, column).data(Qt.ItemDataRole.AccessibleTextRole))

    table.document.apply(value_edits.set_length, "line-1", 1, 10.5 * FT)
    assert heard(1, Col.LENGTH) == "Length 10 feet 6 inches"
    assert heard(0, Col.LENGTH) == "Length 6 inches"
    assert heard(2, Col.LENGTH) == "Length 15 feet"
    assert heard(2, Col.WEIGHT) == "Weight 277.6 grains"
    assert heard(2, Col.SINK_RATE).startswith("Sink rate minus ")
    assert heard(2, Col.FRONT_DIAMETER) == "Front diameter 0.092 inches"
    side = Qt.Orientation.Horizontal
    role = Qt.ItemDataRole.AccessibleTextRole
    assert model.headerData(Col.FRONT_WEIGHT_PER_LENGTH, side, role) == (
        "Front weight per length grains per foot"
    )
    assert model.headerData(Col.LENGTH, side, role) == "Length feet and inches"


@pytest.mark.parametrize("system", list(System))
def test_headings_and_numbers_are_never_clipped(
    make_table: Callable[..., Bench_], system: System
) -> None:
    wide = Segment(Part.HANDLING_LINE, 99 * FT + 11.9 * IN, 0.0985 * IN, 0.0985 * IN, 11860.0)
    table = make_table((wide,), system)
    header, view = table.view.horizontalHeader(), table.view
    cells = QFontMetrics(theming.font())
    for i, column in enumerate(COLUMNS[:-1]):
        width = view.columnWidth(i)
        assert header.fontMetrics().horizontalAdvance(column.heading) <= width - 8
        left = 18 if i == Col.PART else 4
        assert cells.horizontalAdvance(table.text(0, i)) + left + 4 <= width, column.heading
    assert sum(column.width for column in COLUMNS[:-1]) <= 690


def test_every_column_has_a_tooltip_and_every_command_a_method(table: Bench_) -> None:
    model = table.view.segments
    for i in range(len(COLUMNS)):
        tip = model.headerData(i, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole)
        assert len(tip) > 30
    menu = table.view.context_menu()
    assert isinstance(menu, QMenu)
    offered = [one.text().partition("\t")[0] for one in menu.actions() if one.text()]
    assert {command.words for command in ROW_COMMANDS.values()} < set(offered)
    assert len(set(offered)) == len(offered)
    menu.deleteLater()


def test_both_themes_and_two_hundred_rows_paint(make_table: Callable[..., Bench_]) -> None:
    table = make_table(HEAD * 50)
    light = table.view.grab().toImage().pixelColor(400, 200)
    table.theme.choose(Choice.DARK)
    dark = table.view.grab().toImage().pixelColor(400, 200)
    table.theme.choose(Choice.LIGHT)
    assert light.lightness() > 200
    assert dark.lightness() < 80


def test_tab_stays_inside_and_control_tab_leaves(qtbot: QtBot, table: Bench_) -> None:
    both, other = QWidget(), QLineEdit()
    row = QHBoxLayout(both)
    row.addWidget(table.view)
    row.addWidget(other)
    qtbot.addWidget(both)
    with qtbot.waitActive(both):
        both.show()
        both.activateWindow()
    table.view.setFocus()
    table.at(0, Col.PART)
    keys(TAB)
    assert QApplication.focusWidget() is table.view
    assert table.where() == (0, Col.LENGTH)
    keys(TAB, modifier=CTRL)
    assert QApplication.focusWidget() is other
    table.view.setParent(None)


# -- any text -----------------------------------------------------------------------------------

TYPED = st.one_of(
    st.text(max_size=20),
    st.from_regex(r"\A[-+]?[0-9]{0,6}[.,]?[0-9]{0,4} ?(ft|in|m|mm|gr|g|%|'|\")?\Z"),
    st.sampled_from(["nan", "inf", "1e999", "-5", "0", "13'6\"", "belly", "\x00", "½", "10**9"]),
)


@settings(
    max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(row=st.integers(0, 4), column=st.integers(0, 9), text=TYPED, solve=st.sampled_from(Solve))
def test_no_text_in_any_cell_crashes_or_loses_the_bench(
    table: Bench_, row: int, column: int, text: str, solve: Solve
) -> None:
    table.settings.use_solve(solve)
    before, steps = table.document.bench, table.document.undo_stack.index()
    model = table.view.segments
    why_not = model.commit(row, column, text)
    if why_not:
        assert table.document.bench is before
        assert str(why_not)
    table.view.viewport().repaint()
    assert model.count == len(table.segments)
    table.document.undo_stack.setIndex(steps)
    assert table.document.bench == before


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    st.lists(st.lists(TYPED, min_size=1, max_size=11), max_size=6),
    st.sampled_from("\t,;"),
    st.integers(0, 4),
    st.integers(0, 9),
)
def test_no_paste_crashes_or_loses_the_bench(
    table: Bench_, cells: list[list[str]], separator: str, row: int, column: int
) -> None:
    text = "\n".join(separator.join(one) for one in cells)
    before, steps = table.document.bench, table.document.undo_stack.index()
    table.at(row, column)
    QApplication.clipboard().setText(text)
    table.view.paste()
    table.document.undo_stack.setIndex(steps)
    assert table.document.bench == before
