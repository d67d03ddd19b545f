"""The plots: what they draw, what the crosshair reads, what dragging a handle does."""

from __future__ import annotations

import gc
import weakref
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFontMetrics,
    QFontMetricsF,
    QGuiApplication,
    QImage,
    QMouseEvent,
    QWheelEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from taperlab.edits.values import set_front_diameter
from taperlab.files.problem import FileProblem
from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.theme import DARK, LIGHT, Choice, Theme
from taperlab.gui.pages.shape.profile_plots import ProfilePlots
from taperlab.gui.plots.axis import round_below, step_for, tick_text, ticks
from taperlab.gui.plots.grips import Handle, Side
from taperlab.gui.plots.ink import Map
from taperlab.gui.plots.line_plots import (
    OUTLINE,
    RUNNING,
    SINK,
    WEIGHT_ALONG,
    Drawing,
    LinePlots,
)
from taperlab.gui.plots.outline import Piece, place_name
from taperlab.gui.plots.styles import overlay_style, style_at
from taperlab.gui.state.document import Document
from taperlab.gui.state.settings import Settings
from taperlab.gui.state.watch import Watch
from taperlab.model.bench import Bench, View
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style, line_of
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.water import Water
from taperlab.physics import sinking
from taperlab.physics.frustum import linear_density
from taperlab.shop.analyse import analyse_line
from taperlab.units.kinds import DIAMETER, LENGTH, WEIGHT, Kind, System
from taperlab.units.show import show
from tests.gui.workplace import workplace

# The screenless platform says so each time a window is shown.
pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints", extend=True)

NONE = Qt.KeyboardModifier.NoModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier
CTRL = Qt.KeyboardModifier.ControlModifier
ALT = Qt.KeyboardModifier.AltModifier


def piece(
    part: Part, feet: float, front: float, rear: float, density: float = 860.0, **more: object
) -> Segment:
    """A segment in feet and thousandths of an inch."""
    return Segment(part, feet * FOOT, front * INCH / 1000, rear * INCH / 1000, density, **more)


def head(key: str = "head", name: str = "Alder head", extra: float = 0.0) -> Line:
    segments = (
        piece(Part.TIP, 0.5, 40, 40),
        piece(Part.FRONT_TAPER, 10, 40, 92),
        piece(Part.BELLY, 20 + extra, 92, 98),
        piece(Part.REAR_TAPER, 4, 98, 42),
    )
    return line_of(key, name, segments, Style.SCANDI)


ROD = Rod("rod", "Kestrel", 13 * FOOT, windows=(Window(Style.SCANDI, 450 * GRAIN, 560 * GRAIN),))


def bench_of(*lines: Line, over: tuple[str, ...] = ()) -> Bench:
    return Bench(lines=lines, rods=(ROD,), rod="rod", view=View(line=lines[0].key, overlays=over))


Make = Callable[..., ProfilePlots]


def awake_plots(document: Document, settings: Settings, theme: Theme) -> ProfilePlots:
    watch = Watch(document, settings)
    watch.wake()
    plots = ProfilePlots(workplace(document, settings, theme), watch)
    watch.setParent(plots)
    return plots


@pytest.fixture
def make(qtbot: QtBot) -> Iterator[Make]:
    made: list[ProfilePlots] = []
    themes: list[Theme] = []

    def one(bench: Bench, *, choice: Choice = Choice.LIGHT) -> ProfilePlots:
        theme = Theme(choice)
        theme.apply()
        plots = awake_plots(Document(bench), Settings(), theme)
        plots.resize(820, 500)
        plots.show()
        qtbot.waitExposed(plots)
        made.append(plots)
        themes.append(theme)
        return plots

    yield one
    for plots in made:
        plots.close()
        plots.deleteLater()
    for theme in themes:
        theme.disconnect_from_system()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


@pytest.fixture
def plots(make: Make) -> ProfilePlots:
    return make(bench_of(head(), head("uncut", "Alder, uncut", 2.0), over=("uncut",)))


def document_of(plots: ProfilePlots) -> Document:
    return plots.place.document


def settings_of(plots: ProfilePlots) -> Settings:
    return plots.place.settings


def handle_at(plots: ProfilePlots, plot: str, index: int) -> Handle:
    return next(h for h in plots.grips.handles if h.plot == plot and h.index == index)


def point_of(plots: ProfilePlots, handle: Handle) -> QPointF:
    return plots.panels[handle.plot].point(handle.position, handle.value)


class Mouse:
    """A left button that is pressed, moved and let go over the plots."""

    def __init__(self, plots: ProfilePlots) -> None:
        self.plots = plots
        self.viewport = plots.canvas.viewport()
        self.at = QPointF()

    def press(self, at: QPointF, modifiers: Qt.KeyboardModifier = NONE) -> None:
        self.at = at
        QTest.mousePress(self.viewport, Qt.MouseButton.LeftButton, modifiers, at.toPoint())

    def move(
        self, to: QPointF, modifiers: Qt.KeyboardModifier = NONE, *, held: bool = True
    ) -> None:
        self.at = to
        buttons = Qt.MouseButton.LeftButton if held else Qt.MouseButton.NoButton
        event = QMouseEvent(
            QEvent.Type.MouseMove,
            to,
            self.viewport.mapToGlobal(to),
            Qt.MouseButton.NoButton,
            buttons,
            modifiers,
        )
        QApplication.sendEvent(self.viewport, event)

    def drag(self, by: QPointF, modifiers: Qt.KeyboardModifier = NONE, steps: int = 4) -> None:
        start = self.at
        for step in range(1, steps + 1):
            self.move(start + by * (step / steps), modifiers)

    def release(self) -> None:
        QTest.mouseRelease(self.viewport, Qt.MouseButton.LeftButton, NONE, self.at.toPoint())


def turn_wheel(plots: ProfilePlots, at: QPointF, turn: int) -> None:
    view = plots.canvas.viewport()
    event = QWheelEvent(
        at,
        view.mapToGlobal(at),
        QPoint(),
        QPoint(0, turn),
        Qt.MouseButton.NoButton,
        NONE,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view, event)


# -- what is drawn -----------------------------------------------------------------------------


def test_the_line_in_hand_is_drawn_as_analysed(plots: ProfilePlots) -> None:
    curves = document_of(plots).analysis().curves
    expected = {WEIGHT_ALONG: curves.linear_density, RUNNING: curves.running_mass}
    for plot, values in expected.items():
        (curve,) = plots.panels[plot].own.inks
        np.testing.assert_allclose(curve.x, curves.position, rtol=1e-12)
        np.testing.assert_allclose(curve.y, values, rtol=1e-12)
        assert [p.y() for p in curve.polygons[0]] == pytest.approx(list(curve.y))
    (outline,) = plots.panels[OUTLINE].under.inks
    assert [piece.part for piece in outline.pieces] == [s.part for s in head().segments]


def test_overlays_are_drawn_as_analysed_and_keep_their_style(plots: ProfilePlots) -> None:
    document = document_of(plots)
    curves = document.analysis("uncut").curves
    (weight,) = plots.panels[WEIGHT_ALONG].laid.inks
    np.testing.assert_allclose(weight.y, curves.linear_density, rtol=1e-12)
    (edges,) = plots.panels[OUTLINE].laid.inks
    for polygon, side in zip(edges.polygons, (1.0, -1.0), strict=True):
        assert [p.y() for p in polygon] == pytest.approx(list(side * curves.diameter))
    line = document.bench.line("uncut")
    colour, dash = overlay_style(document, line, LIGHT)
    assert (weight.colour, weight.width, weight.dash) == (colour, 1.0, dash)
    assert QColor(weight.colour).alpha() == 255
    document.look(overlays=())
    assert plots.panels[WEIGHT_ALONG].laid.inks == ()
    assert overlay_style(document, line, LIGHT) == (colour, dash)


def test_sixty_lines_have_sixty_styles() -> None:
    assert len({style_at(place, LIGHT) for place in range(60)}) == 60


def test_an_edit_redraws_the_line_in_hand_alone(plots: ProfilePlots) -> None:
    panel = plots.panels[WEIGHT_ALONG]
    own, laid = panel.own.inks[0], panel.laid.inks[0]
    document_of(plots).apply(set_front_diameter, "head", 3, 97 * INCH / 1000)
    assert panel.own.inks[0] is not own
    assert panel.laid.inks[0] is laid


def test_window_band_and_its_words(plots: ProfilePlots) -> None:
    (band,) = plots.panels[RUNNING].ground.inks
    assert (band.low, band.high) == pytest.approx((450 * GRAIN, 560 * GRAIN))
    assert "450 to 560 gr" in plots.panels[RUNNING].frame.note.text
    settings_of(plots).use_system(System.METRIC)
    assert "29.2 to 36.3 g" in plots.panels[RUNNING].frame.note.text


def test_every_plot_holds_all_that_is_laid_over(plots: ProfilePlots) -> None:
    for plot in (OUTLINE, WEIGHT_ALONG, RUNNING):
        panel = plots.panels[plot]
        for ink in panel.inks:
            if ink.across:
                assert panel.x_range[0] <= ink.across[0] <= ink.across[1] <= panel.x_range[1]
            assert panel.y_range[0] <= ink.upright[0] <= ink.upright[1] <= panel.y_range[1]


def test_rod_marks_stand_in_a_strip_above_the_outline(plots: ProfilePlots) -> None:
    assert [text for _, text in plots.canvas.stage.above.marks] == ["1× rod", "2× rod"]
    panel = plots.panels[OUTLINE]
    above = plots.canvas.stage.above
    assert above.marks[1][0] == pytest.approx(panel.across(2 * ROD.length))
    assert plots.canvas.stage.above.boundingRect().bottom() <= panel.rect.top()
    assert (
        plots.panels[OUTLINE].frame.caption.bottom()
        <= plots.canvas.stage.above.boundingRect().top()
    )


def test_parts_are_named_where_the_name_fits(plots: ProfilePlots) -> None:
    names = [name.text for name in plots.panels[OUTLINE].over.names]
    assert names == ["Front taper", "Belly", "Rear taper"]
    rects = [name.where for name in plots.panels[OUTLINE].over.names]
    for one, other in pairwise(rects):
        assert one.right() < other.left()
    for name in plots.panels[OUTLINE].over.names:
        assert plots.panels[OUTLINE].rect.contains(name.where)
        assert name.colour in ("#101819", "#FFFFFF")


@pytest.mark.parametrize(("width", "name"), [(200.0, "Front taper"), (60.0, "Front"), (20.0, "")])
def test_a_narrow_segment_gets_a_short_name_or_none(
    qapp: QApplication, width: float, name: str
) -> None:
    theming.load_fonts()
    metrics = QFontMetricsF(theming.font(8.0))
    plot = Map()
    plot.rect, plot.x_range, plot.y_range = QRectF(0, 0, 400, 100), (0.0, 400.0), (-50.0, 50.0)
    found, where = place_name(Piece(0.0, width, 30.0, 30.0, Part.FRONT_TAPER), metrics, plot)
    assert found == name
    if found:
        assert where.left() >= 0.0
        assert where.right() <= width


def test_theme_switch_changes_every_pen_at_once(plots: ProfilePlots) -> None:
    panel = plots.panels[WEIGHT_ALONG]
    assert panel.own.inks[0].colour.upper() == LIGHT.accent.upper()
    background = plots.canvas.backgroundBrush().color().name().upper()
    assert background == LIGHT.card.upper()
    plots.theme.choose(Choice.DARK)
    assert panel.own.inks[0].colour.upper() == DARK.accent.upper()
    assert panel.laid.inks[0].colour.upper() == DARK.overlays[1].upper()
    assert plots.canvas.backgroundBrush().color().name().upper() == DARK.card.upper()
    image = plots.canvas.grab().toImage()
    assert image.pixelColor(2, 2).name().upper() == DARK.card.upper()
    plots.theme.choose(Choice.LIGHT)


def test_sink_plot_is_shown_on_request(plots: ProfilePlots) -> None:
    assert SINK not in plots.panels
    settings_of(plots).show_sink(True)
    panel = plots.panels[SINK]
    assert panel.view.isVisible()
    assert panel.rect.bottom() < plots.canvas.height()
    curves = document_of(plots).analysis().curves
    np.testing.assert_allclose(panel.own.inks[0].y, curves.sink, rtol=1e-12)
    assert panel.y_range[0] <= panel.own.inks[0].y.min()


def test_loops_and_joints_are_marked(make: Make) -> None:
    line = replace(
        head(),
        joints=(Joint(), Joint(JointKind.LAPPED_WELD, 0.05), Joint()),
        front_loop=Loop(LoopKind.FOLDED, 0.05),
        rear_loop=Loop(LoopKind.BRAIDED, mass=1e-4),
    )
    plots = make(bench_of(line))
    (over,) = plots.panels[OUTLINE].over.shown
    joint, front, rear = (path.boundingRect() for path, _, _ in over.shapes)
    panel = plots.panels[OUTLINE]
    assert joint.center().x() == pytest.approx(panel.across(10.5 * FOOT), abs=0.1)
    assert front.right() == pytest.approx(panel.across(0.0), abs=0.1)
    assert rear.left() == pytest.approx(panel.across(line.length), abs=0.1)
    assert [len(line.dashPattern()) > 0 for _, line, _ in over.shapes[1:]] == [False, True]


def test_a_low_outline_still_says_its_scale(make: Make) -> None:
    plots = make(bench_of(head()))
    settings_of(plots).use_system(System.METRIC)
    settings_of(plots).show_sink(True)
    plots.resize(600, 330)
    assert any(place > 0.0 for place, _ in plots.panels[OUTLINE].y_ticks)


def test_closed_plots_let_go_of_the_document(qtbot: QtBot) -> None:
    theme, document = Theme(Choice.LIGHT), Document(bench_of(head()))
    plots = awake_plots(document, Settings(), theme)
    kept = weakref.ref(plots)
    plots.show()
    plots.close()
    plots.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    del plots
    gc.collect()
    assert kept() is None
    document.apply(set_front_diameter, "head", 3, 97 * INCH / 1000)
    theme.choose(Choice.DARK)
    theme.disconnect_from_system()


# -- empty, one, many --------------------------------------------------------------------------


def test_an_empty_line_says_what_to_do(make: Make) -> None:
    plots = make(bench_of(line_of("new", "New", ())))
    assert plots.empty.isVisible()
    assert not plots.canvas.isVisible()
    QTest.keyClick(plots, Qt.Key.Key_Right)
    assert plots.reading is None
    segment = piece(Part.BELLY, 20, 90, 90)
    document = document_of(plots)
    document.load(document.bench.with_line(line_of("new", "New", (segment,))), None)
    assert plots.canvas.isVisible()
    assert not plots.empty.isVisible()
    assert len(plots.panels[WEIGHT_ALONG].own.inks) == 1


def test_no_line_at_all(make: Make) -> None:
    plots = make(Bench())
    assert plots.empty.isVisible()
    assert plots.grips.handles == ()


def test_one_segment(make: Make) -> None:
    plots = make(bench_of(line_of("one", "One", (piece(Part.BELLY, 30, 90, 90),), Style.SCANDI)))
    assert {(h.plot, h.index) for h in plots.grips.handles} == {
        (plot, index) for plot in (OUTLINE, WEIGHT_ALONG) for index in (0, 1)
    }
    assert len(plots.canvas.grips.points) == 4


def test_two_hundred_segments_show_handles_only_near_the_pointer(make: Make) -> None:
    sizes = np.linspace(40, 95, 201)
    segments = tuple(piece(Part.BELLY, 0.2, front, rear) for front, rear in pairwise(sizes))
    plots = make(bench_of(line_of("many", "Many", segments)))
    assert plots.canvas.grips.points == []
    handle = handle_at(plots, OUTLINE, 100)
    mouse = Mouse(plots)
    mouse.move(point_of(plots, handle), held=False)
    assert plots.canvas.grips.large is not None
    assert len(plots.canvas.grips.points) <= 1


def test_a_line_of_no_great_length_and_a_very_long_one(make: Make) -> None:
    for feet in (0.05, 400.0):
        plots = make(bench_of(line_of("odd", "Odd", (piece(Part.TIP, feet, 40, 40),))))
        panel = plots.panels[OUTLINE]
        assert panel.x_range[1] >= feet * FOOT
        assert len(panel.x_ticks) >= 2
        plots.grab()


# -- the crosshair -----------------------------------------------------------------------------


def test_crosshair_reads_the_physics(plots: ProfilePlots) -> None:
    plots.point_at(5.5 * FOOT)
    reading = plots.reading
    diameter = (40 + 52 * 5.0 / 10.0) * INCH / 1000
    assert reading.part is Part.FRONT_TAPER
    assert reading.diameter == pytest.approx(diameter, rel=1e-12)
    per_length = float(linear_density(diameter, 860.0))
    assert reading.linear_density == pytest.approx(per_length, rel=1e-12)
    # Two frustums: the level tip and half of the taper.
    first = np.pi / 4 * (40 * INCH / 1000) ** 2 * 0.5 * FOOT * 860.0
    a, b = 40 * INCH / 1000, diameter
    second = np.pi / 12 * 5.0 * FOOT * (a * a + a * b + b * b) * 860.0
    assert reading.running_mass == pytest.approx(first + second, rel=1e-12)
    state = document_of(plots).analysis().state
    assert reading.sink == pytest.approx(
        float(sinking.sink_rate(diameter, per_length, state)), rel=1e-12
    )
    assert plots.strip.words.columns[0] == "5 ft 6 in"
    assert "0.066 in" in plots.strip.words.columns[2]
    assert plots.accessibleDescription().startswith("5 ft 6 in, Front taper")


def test_crosshair_follows_the_mouse_and_leaves_with_it(plots: ProfilePlots) -> None:
    panel = plots.panels[RUNNING]
    Mouse(plots).move(panel.point(20 * FOOT, 100 * GRAIN), held=False)
    assert plots.canvas.pointer.isVisible()
    assert plots.reading.position == pytest.approx(20 * FOOT, abs=0.03)
    # One line a plot at least, a dot on each curve of both lines in each plot.
    assert len(plots.canvas.pointer.lines) >= 3
    assert len(plots.canvas.pointer.dots) == 6
    QApplication.sendEvent(plots.canvas, QEvent(QEvent.Type.Leave))
    assert not plots.canvas.pointer.isVisible()
    assert plots.reading is None


def test_dots_lie_on_the_curves(plots: ProfilePlots) -> None:
    plots.point_at(10.5 * FOOT)
    panel = plots.panels[WEIGHT_ALONG]
    own = panel.upright(plots.reading.linear_density)
    assert any(dot.where.y() == pytest.approx(own, abs=0.01) for dot in plots.canvas.pointer.dots)


def test_crosshair_leaves_the_names_free(plots: ProfilePlots) -> None:
    name = next(n for n in plots.panels[OUTLINE].over.names if n.text == "Belly").where
    panel = plots.panels[OUTLINE]
    plots.point_at(panel.position_at(name.center().x()))
    inside = [
        line
        for line in plots.canvas.pointer.lines
        if line.y1() < name.bottom() and line.y2() > name.top() and line.y1() >= panel.rect.top()
    ]
    assert inside == []


def test_keys_move_the_crosshair(plots: ProfilePlots) -> None:
    plots.setFocus()
    QTest.keyClick(plots, Qt.Key.Key_Home)
    assert plots.reading.position == 0.0
    QTest.keyClick(plots, Qt.Key.Key_Right)
    assert plots.reading.position == pytest.approx(INCH)
    QTest.keyClick(plots, Qt.Key.Key_Right, SHIFT)
    assert plots.reading.position == pytest.approx(FOOT)
    QTest.keyClick(plots, Qt.Key.Key_Left)
    assert plots.reading.position == pytest.approx(11 * INCH)
    QTest.keyClick(plots, Qt.Key.Key_End)
    assert plots.reading.position == pytest.approx(34.5 * FOOT)
    QTest.keyClick(plots, Qt.Key.Key_PageUp)
    assert plots.reading.position == pytest.approx(30.5 * FOOT)
    QTest.keyClick(plots, Qt.Key.Key_Escape)
    assert plots.reading is None
    assert not plots.canvas.pointer.isVisible()


@pytest.mark.parametrize("width", [470, 520, 820])
def test_no_number_at_the_crosshair_is_cut_off(make: Make, width: int) -> None:
    plots = make(bench_of(head()))
    plots.resize(width, 400)
    plots.point_at(27 * FOOT + 11.375 * INCH)
    columns, metrics = plots.strip.words.columns, QFontMetrics(theming.font(9.0))
    places = plots.strip.places(columns, metrics)
    for number, (text, (x, room)) in enumerate(zip(columns, places, strict=True)):
        assert x + room <= width
        if number != 1:
            assert metrics.horizontalAdvance(text) <= room + 1


def test_where_an_overlay_is_longer_the_strip_says_so(plots: ProfilePlots) -> None:
    plots.point_at(36 * FOOT)
    assert plots.reading is None
    assert plots.strip.words.columns == ("36 ft", "beyond the line")


# -- dragging ----------------------------------------------------------------------------------


def test_dragging_on_the_outline_is_one_undo_step(plots: ProfilePlots) -> None:
    document = document_of(plots)
    before = document.bench
    panel = plots.panels[OUTLINE]
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
    target = panel.point(14 * FOOT, 80 * INCH / 1000) - mouse.at
    mouse.drag(target, SHIFT)
    assert plots.is_dragging
    assert plots.canvas.tag.isVisible()
    assert "in" in plots.canvas.tag.rows[0].text
    mouse.release()
    line = document.line
    # A pixel is about 0.05 ft and 3 thousandths here.
    assert line.starts[2] == pytest.approx(14 * FOOT, abs=0.1 * FOOT)
    assert line.segments[1].rear_diameter == pytest.approx(80 * INCH / 1000, abs=4e-3 * INCH)
    assert line.segments[2].front_diameter == line.segments[1].rear_diameter
    assert line.length == pytest.approx(before.line("head").length, rel=1e-12)
    assert document.undo_stack.count() == 1
    assert not plots.canvas.tag.isVisible()
    document.undo_stack.undo()
    assert document.bench.lines == before.lines


def test_dragging_on_weight_per_foot_finds_the_diameter(plots: ProfilePlots) -> None:
    document = document_of(plots)
    panel = plots.panels[WEIGHT_ALONG]
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, WEIGHT_ALONG, 2)))
    mouse.drag(QPointF(0.0, 25.0))
    wanted = handle_at(plots, WEIGHT_ALONG, 2).value
    mouse.release()
    taper, belly = document.line.segments[1:3]
    assert float(linear_density(taper.rear_diameter, 860.0)) == pytest.approx(wanted, rel=1e-9)
    assert belly.front_diameter == taper.rear_diameter
    assert taper.rear_diameter < 92 * INCH / 1000
    assert document.line.starts[2] == pytest.approx(10.5 * FOOT, rel=1e-12)
    assert wanted == pytest.approx(panel.value_at(mouse.at.y()), rel=0.03)


@pytest.mark.parametrize("across", [False, True])
def test_a_drag_keeps_to_the_way_it_sets_out_on(plots: ProfilePlots, across: bool) -> None:
    def turned(x: float, y: float) -> QPointF:
        return QPointF(y, x) if across else QPointF(x, y)

    before = document_of(plots).line
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
    start = mouse.at
    mouse.move(start + turned(5.0, 2.0))
    # However far it strays later.
    mouse.move(start + turned(8.0, 30.0))
    mouse.release()
    line = document_of(plots).line
    assert (line.starts[2] == before.starts[2]) is across
    same = line.segments[1].rear_diameter == before.segments[1].rear_diameter
    assert same is not across


def test_shift_frees_a_drag_until_it_is_let_go(plots: ProfilePlots) -> None:
    before = document_of(plots).line
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
    start = mouse.at
    mouse.move(start + QPointF(20.0, 0.0))
    mouse.move(start + QPointF(20.0, 14.0), SHIFT)
    # Shift may come up before the button does.
    mouse.move(start + QPointF(20.0, 15.0))
    mouse.release()
    line = document_of(plots).line
    assert line.starts[2] > before.starts[2] + 0.2
    assert line.segments[1].rear_diameter < before.segments[1].rear_diameter
    # The next drag is locked again.
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
    mouse.drag(QPointF(20.0, 9.0))
    mouse.release()
    thick = line.segments[1].rear_diameter
    assert document_of(plots).line.segments[1].rear_diameter == thick


def is_whole(value: float, step: float) -> bool:
    return value / step == pytest.approx(round(value / step), abs=1e-6)


@pytest.mark.parametrize("system", System)
def test_a_drag_goes_in_whole_steps_unless_ctrl_is_held(
    plots: ProfilePlots, system: System
) -> None:
    settings_of(plots).use_system(system)
    along, across = {System.US: (INCH / 8, INCH / 1000), System.METRIC: (0.001, 1e-5)}[system]
    for modifier, whole in ((SHIFT, True), (SHIFT | CTRL, False)):
        mouse = Mouse(plots)
        mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
        mouse.drag(QPointF(43.3, 9.3), modifier)
        mouse.release()
        taper = document_of(plots).line.segments[1]
        assert is_whole(taper.length, along) is whole
        assert is_whole(taper.rear_diameter, across) is whole
        document_of(plots).undo_stack.undo()
    mouse.press(point_of(plots, handle_at(plots, WEIGHT_ALONG, 2)))
    mouse.drag(QPointF(1.3, 19.3))
    mouse.release()
    per_length = document_of(plots).analysis().segments[1].rear_linear_density
    unit = {System.US: 0.1 * GRAIN / FOOT, System.METRIC: 1e-5}[system]
    assert is_whole(per_length, unit)


def test_a_row_ahead_of_odd_lengths_still_comes_to_a_whole_length(make: Make) -> None:
    odd = replace(head().segments[0], length=0.1511)
    plots = make(bench_of(line_of("odd", "Odd", (odd, *head().segments[1:]))))
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
    mouse.drag(QPointF(30.0, 0.0))
    mouse.release()
    assert is_whole(document_of(plots).line.segments[1].length, INCH / 8)


def test_a_tag_tells_what_a_drag_moves_and_what_the_head_weighs(plots: ProfilePlots) -> None:
    document = document_of(plots)
    before = document.analysis()
    panel, mouse = plots.panels[OUTLINE], Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
    start = mouse.at
    mouse.drag(QPointF(panel.across(16.5 * FOOT) - panel.across(10.5 * FOOT), 0.0))
    tag = plots.canvas.tag
    assert tag.isVisible()
    place, weighs = (row.text for row in tag.rows)
    moved = document.line.starts[2] - before.line.starts[2]
    assert place == f"{us(document.line.starts[2], LENGTH)}, {us(moved, LENGTH, signed=True)}"
    assert "ft" in place
    more = document.analysis().head.mass - before.head.mass
    # The thick end of the taper comes later, so the head gets lighter.
    assert more < -10 * GRAIN
    mass = us(document.analysis().head.mass, WEIGHT)
    assert weighs == f"Head {mass}, {us(more, WEIGHT, signed=True)}"
    mouse.move(start + QPointF(mouse.at.x() - start.x(), 5.0), SHIFT)
    assert len(tag.rows) == 3
    thick = document.line.segments[1].rear_diameter
    change = us(thick - before.line.segments[1].rear_diameter, DIAMETER, signed=True)
    assert tag.rows[1].text == f"{us(thick, DIAMETER)}, {change}"
    mouse.release()
    assert not tag.isVisible()
    # Across, on weight per length: that, and the diameter that it takes.
    mouse.press(point_of(plots, handle_at(plots, WEIGHT_ALONG, 2)))
    mouse.drag(QPointF(0.0, 20.0))
    assert [row.text.split(",")[0].split()[-1] for row in tag.rows] == ["gr/ft", "in", "gr"]
    mouse.release()


def test_the_tag_of_a_line_without_a_head_tells_what_the_line_weighs(make: Make) -> None:
    running = (piece(Part.RUNNING_LINE, 60, 34, 34),)
    plots = make(bench_of(line_of("running", "Running", running)))
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 1)))
    mouse.drag(QPointF(-30.0, 0.0))
    assert plots.canvas.tag.rows[-1].text.startswith("Line ")
    mouse.release()


def us(value: float, kind: Kind, *, signed: bool = False) -> str:
    return show(value, kind, System.US, signed=signed)


def test_escape_puts_the_line_back_and_leaves_no_step(plots: ProfilePlots) -> None:
    document = document_of(plots)
    before = document.line
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
    mouse.drag(QPointF(50.0, 10.0))
    assert document.line != before
    QTest.keyClick(plots, Qt.Key.Key_Escape)
    assert document.line == before
    assert document.undo_stack.count() == 0
    assert not document.is_dirty
    mouse.drag(QPointF(30.0, 0.0))
    mouse.release()
    assert document.line == before


def test_a_click_changes_nothing(plots: ProfilePlots) -> None:
    document = document_of(plots)
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)) + QPointF(4.0, 3.0))
    mouse.release()
    assert document.undo_stack.count() == 0
    assert plots.grips.in_hand.index == 2


def test_a_breakpoint_stops_at_its_neighbours(plots: ProfilePlots) -> None:
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
    mouse.drag(QPointF(-600.0, 0.0))
    mouse.release()
    segments = document_of(plots).line.segments
    assert all(segment.length >= 0.005 - 1e-12 for segment in segments)


def test_the_rod_end_lengthens_and_the_fly_end_stays(plots: ProfilePlots) -> None:
    document = document_of(plots)
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 4)))
    mouse.drag(QPointF(30.0, 0.0))
    mouse.release()
    assert document.line.length > 35 * FOOT
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 0)))
    # It goes one way only, however a hand sets out.
    mouse.drag(QPointF(12.0, 8.0))
    mouse.release()
    assert document.line.starts[0] == 0.0
    assert document.line.segments[0].length == pytest.approx(0.5 * FOOT)
    assert document.line.segments[0].front_diameter < 40 * INCH / 1000


def test_a_step_in_diameter_has_a_handle_a_side(make: Make) -> None:
    segments = (piece(Part.SINK_TIP, 12, 50, 50, 2000.0), piece(Part.BELLY, 20, 90, 90))
    plots = make(bench_of(line_of("step", "Step", segments)))
    pair = [h for h in plots.grips.handles if h.plot == OUTLINE and h.index == 1]
    assert [h.side for h in pair] == [Side.AHEAD, Side.BEHIND]
    mouse = Mouse(plots)
    mouse.press(point_of(plots, pair[0]))
    mouse.drag(QPointF(0.0, -6.0))
    mouse.release()
    tip, belly = document_of(plots).line.segments
    assert tip.rear_diameter > 50 * INCH / 1000
    assert belly.front_diameter == 90 * INCH / 1000


def test_a_core_bounds_the_drag(make: Make) -> None:
    core = Core(30 * INCH / 1000, 1140.0)
    segments = (piece(Part.BELLY, 20, 60, 60, 860.0, core=core),)
    plots = make(bench_of(line_of("core", "Core", segments)))
    document = document_of(plots)
    for plot in (OUTLINE, WEIGHT_ALONG):
        mouse = Mouse(plots)
        mouse.press(point_of(plots, handle_at(plots, plot, 1)))
        panel = plots.panels[plot]
        mouse.move(mouse.at + QPointF(0.0, 5.0))
        mouse.move(QPointF(mouse.at.x(), panel.upright(1e-9)))
        mouse.release()
        assert document.line.segments[0].rear_diameter == pytest.approx(core.diameter)
        document.undo_stack.undo()
    assert plots.place.host.problems == []


def test_axes_hold_still_while_a_handle_comes_down(plots: ProfilePlots) -> None:
    document_of(plots).look(overlays=())
    panel = plots.panels[WEIGHT_ALONG]
    before = panel.y_range
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, WEIGHT_ALONG, 3)))
    mouse.drag(QPointF(0.0, 60.0))
    assert panel.y_range == before
    mouse.release()
    # The other tall point is still there, so bring that one down too.
    before = panel.y_range
    mouse.press(point_of(plots, handle_at(plots, WEIGHT_ALONG, 2)))
    mouse.drag(QPointF(0.0, 60.0))
    assert panel.y_range == before
    mouse.release()
    assert panel.y_range[1] < before[1]


def test_axes_grow_while_a_handle_goes_up(plots: ProfilePlots) -> None:
    panel = plots.panels[WEIGHT_ALONG]
    before = panel.y_range
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, WEIGHT_ALONG, 2)))
    mouse.drag(QPointF(0.0, -60.0))
    assert panel.y_range[1] > before[1]
    assert panel.own.inks[0].y.max() <= panel.y_range[1]
    mouse.release()


def test_another_line_in_hand_ends_a_drag(plots: ProfilePlots) -> None:
    document = document_of(plots)
    mouse = Mouse(plots)
    mouse.press(point_of(plots, handle_at(plots, OUTLINE, 2)))
    mouse.drag(QPointF(20.0, 0.0))
    uncut = document.bench.line("uncut")
    document.look(line="uncut")
    mouse.drag(QPointF(40.0, 0.0))
    mouse.release()
    assert document.bench.line("uncut") is uncut
    assert document.undo_stack.count() == 1


# -- handles by key ----------------------------------------------------------------------------


def test_keys_choose_and_nudge_a_handle(plots: ProfilePlots) -> None:
    document = document_of(plots)
    plots.setFocus()
    for _ in range(3):
        QTest.keyClick(plots, Qt.Key.Key_PageDown)
    assert plots.grips.in_hand.index == 2
    QTest.keyPress(plots, Qt.Key.Key_Right, ALT)
    QTest.keyPress(plots, Qt.Key.Key_Right, ALT)
    QTest.keyRelease(plots, Qt.Key.Key_Right, ALT)
    assert document.line.starts[2] == pytest.approx(10.5 * FOOT + 2 * INCH)
    assert document.undo_stack.count() == 1
    QTest.keyClick(plots, Qt.Key.Key_Up, ALT)
    assert document.line.segments[1].rear_diameter == pytest.approx(93 * INCH / 1000)
    assert document.line.segments[2].front_diameter == pytest.approx(93 * INCH / 1000)
    assert document.undo_stack.count() == 2
    QTest.keyClick(plots, Qt.Key.Key_Space)
    assert plots.grips.in_hand.plot == WEIGHT_ALONG
    before = plots.grips.in_hand.value
    QTest.keyClick(plots, Qt.Key.Key_Down, ALT)
    assert plots.grips.in_hand.value == pytest.approx(before - 0.1 * GRAIN / FOOT, rel=1e-9)
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert document.line == head()


# -- zoom --------------------------------------------------------------------------------------


def test_wheel_zooms_round_the_pointer_and_double_click_shows_all(plots: ProfilePlots) -> None:
    panel = plots.panels[WEIGHT_ALONG]
    whole = panel.x_range
    at = panel.point(20 * FOOT, 0.0)
    turn_wheel(plots, at, 360)
    assert panel.x_range[1] - panel.x_range[0] < whole[1] - whole[0]
    assert panel.across(20 * FOOT) == pytest.approx(at.x(), abs=0.5)
    assert plots.panels[RUNNING].x_range == panel.x_range
    before = panel.x_range
    mouse = Mouse(plots)
    empty = panel.point(18 * FOOT, 3 * GRAIN / FOOT)
    mouse.press(empty)
    mouse.drag(QPointF(-50.0, 0.0))
    mouse.release()
    assert panel.x_range[0] > before[0]
    assert document_of(plots).undo_stack.count() == 0
    turn_wheel(plots, at, -4000)
    assert panel.x_range == pytest.approx(whole)
    plots.canvas.zoom(0.3, 10 * FOOT)
    QTest.mouseDClick(plots.canvas.viewport(), Qt.MouseButton.LeftButton, NONE, empty.toPoint())
    assert panel.x_range == pytest.approx(whole)


def test_zoom_stays_on_the_lines(plots: ProfilePlots) -> None:
    panel = plots.panels[OUTLINE]
    whole = panel.x_range
    for position in (0.0, 37 * FOOT):
        plots.canvas.zoom(0.2, position)
        assert whole[0] - 1e-9 <= panel.x_range[0] < panel.x_range[1] <= whole[1] + 1e-9
        plots.reset_view()


# -- for other pages ---------------------------------------------------------------------------


def test_a_stack_needs_no_document(qtbot: QtBot) -> None:
    theme = Theme(Choice.LIGHT)
    stack = LinePlots(theme, System.METRIC)
    qtbot.addWidget(stack)
    stack.resize(700, 420)
    stack.show()
    stack.draw(Drawing(analyse_line(head(), Water()), rod_length=4.0))
    stack.point_at(1.0)
    assert stack.reading.position == 1.0
    assert stack.strip.words.columns[0] == "1.000 m"
    QTest.keyClick(stack, Qt.Key.Key_PageDown)
    assert stack.reading.position == pytest.approx(10.5 * FOOT)
    theme.disconnect_from_system()


# -- pictures ----------------------------------------------------------------------------------


def test_png_holds_the_plots_at_twice_the_size(plots: ProfilePlots, tmp_path: Path) -> None:
    plots.point_at(10 * FOOT)
    path = tmp_path / "plots.png"
    plots.export_png(path, scale=2)
    image = QImage(str(path))
    assert image.width() == 2 * plots.canvas.width()
    assert image.height() > 2 * plots.canvas.height()
    colours = {
        image.pixelColor(x, y).name().upper()
        for x in range(0, image.width(), 5)
        for y in range(0, image.height(), 5)
    }
    assert {LIGHT.card.upper(), LIGHT.parts[Part.BELLY].upper(), LIGHT.band.upper()} <= colours
    assert LIGHT.crosshair.upper() not in colours
    assert plots.canvas.pointer.isVisible()


@pytest.mark.parametrize("scale", [1, 2, 3])
def test_lines_are_as_wide_in_a_larger_picture(
    plots: ProfilePlots, tmp_path: Path, scale: int
) -> None:
    path = tmp_path / "plots.png"
    plots.export_png(path, scale=scale)
    image = QImage(str(path))
    # The level tip's weight per foot: an upright cut through a level line of two pixels.
    panel = plots.panels[WEIGHT_ALONG]
    tip = panel.point(0.25 * FOOT, document_of(plots).analysis().segments[0].front_linear_density)
    heading = image.height() / scale - plots.canvas.height() - 10.0
    x, middle = round(tip.x() * scale), round((tip.y() + heading) * scale)
    dark = [
        y
        for y in range(middle - 6 * scale, middle + 6 * scale)
        if image.pixelColor(x, y).lightness() < 110
    ]
    assert 2 * scale - 1 <= len(dark) <= 2 * scale + 1


def test_svg_is_well_formed_and_has_its_words_as_text(plots: ProfilePlots, tmp_path: Path) -> None:
    path = tmp_path / "plots.svg"
    plots.export_svg(path)
    root = ET.parse(path).getroot()
    texts = {"".join(each.itertext()).strip() for each in root.iter() if each.tag.endswith("text")}
    assert {
        "Alder head",
        "Alder, uncut",
        "Belly",
        "1× rod",
        "feet from the fly end",
        "Weight per length, grains per foot",
    } <= texts
    assert not any(each.tag.endswith("image") for each in root.iter())
    assert any(each.tag.endswith("polyline") for each in root.iter())


def test_a_picture_that_cannot_be_written_says_why(plots: ProfilePlots, tmp_path: Path) -> None:
    with pytest.raises(FileProblem):
        plots.export_png(tmp_path / "nowhere" / "plots.png")


def test_copied_picture_is_on_the_clipboard(plots: ProfilePlots) -> None:
    plots.copy_picture()
    assert QGuiApplication.clipboard().image().width() == 2 * plots.canvas.width()
    QGuiApplication.clipboard().clear()


# -- round numbers -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("span", "most", "step"), [(37.0, 8, 5.0), (600.0, 4, 200.0), (0.9, 5, 0.2), (1.0, 1, 1.0)]
)
def test_steps_are_round(span: float, most: int, step: float) -> None:
    assert step_for(span, most) == pytest.approx(step)


@pytest.mark.parametrize(
    ("value", "below"), [(2.8, 2.0), (9.99, 5.0), (1.0, 1.0), (0.06, 0.05), (130.0, 100.0)]
)
def test_a_round_number_below(value: float, below: float) -> None:
    assert round_below(value) == pytest.approx(below)


def test_ticks_and_their_text() -> None:
    assert ticks(-3.0, 10.0, 5) == pytest.approx([0.0, 5.0, 10.0])
    assert ticks(1.0, 1.0, 5) == []
    assert tick_text(-2.5, 0.5) == "−2.5"
    assert tick_text(-0.0, 1.0) == "0"
    assert tick_text(200.0, 100.0) == "200"
