"""Parts of the Cut back page by themselves: the sketch of a head, the ruler, large figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QImage, QPainter
from pytestqt.qtbot import QtBot

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.ruler import Mark, Ruler, kept_apart, ticks
from taperlab.gui.kit.theme import DARK, LIGHT, Tokens
from taperlab.gui.plots.head_sketch import Sketch, SketchCut, SketchPainter
from taperlab.model.cut_log import CutEnd
from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.line import Style, line_of
from taperlab.model.segment import Part, Segment

pytestmark = pytest.mark.usefixtures("qapp")

HEAD = line_of(
    "head",
    "Alder head",
    (
        Segment(Part.FRONT_TAPER, 20 * FOOT, 0.04 * INCH, 0.09 * INCH, 860.0),
        Segment(Part.BELLY, 20 * FOOT, 0.09 * INCH, 0.09 * INCH, 860.0),
    ),
    Style.SCANDI,
)
ROOM = QRectF(0.0, 0.0, 800.0, 200.0)


@pytest.fixture(params=[LIGHT, DARK], ids=lambda each: each.name)
def tokens(request: pytest.FixtureRequest) -> Tokens:
    return request.param


def drawn(sketch: Sketch, tokens: Tokens) -> tuple[QImage, SketchPainter]:
    image = QImage(QSize(800, 200), QImage.Format.Format_RGB32)
    image.fill(QColor(tokens.card))
    painter = QPainter(image)
    made = SketchPainter(sketch, ROOM, tokens)
    made.paint(painter)
    painter.end()
    return image, made


def test_what_comes_off_is_hatched_and_the_rest_keeps_its_tint(tokens: Tokens) -> None:
    sketch = Sketch(HEAD, (SketchCut(CutEnd.REAR, 10 * FOOT, "10 ft"),))
    image, made = drawn(sketch, tokens)
    # Behind the blade nothing of the belly's own colour is left; before it all is.
    belly, off = QColor(tokens.parts[Part.BELLY]), QColor(tokens.off)
    y = round(made.map.upright(0.0) + 20.0)
    kept = [image.pixelColor(round(made.map.across(x * FOOT)), y) for x in (22.0, 28.0)]
    gone = {
        image.pixelColor(round(made.map.across(x / 8.0 * FOOT)), y).name()
        for x in range(31 * 8, 39 * 8)
    }
    assert all(each == belly for each in kept)
    assert belly.name() not in gone
    assert off.name() in gone
    assert QColor(tokens.accent) in (
        image.pixelColor(round(made.map.across(30 * FOOT)) + dx, y) for dx in (-1, 0, 1)
    )


def test_the_fly_end_is_at_the_left_and_hollow(tokens: Tokens) -> None:
    image, _ = drawn(Sketch(HEAD), tokens)
    ink = QColor(tokens.ink)
    y = 200 - 8
    left = sum(image.pixelColor(x, y) == ink for x in range(120))
    right = sum(image.pixelColor(x, y) == ink for x in range(680, 800))
    assert right > 2 * left


def test_each_blade_is_measured_from_its_own_end() -> None:
    cuts = (
        SketchCut(CutEnd.REAR, 5 * FOOT, "5 ft"),
        SketchCut(CutEnd.FRONT, 3 * FOOT, "3 ft", 2, False),
    )
    sketch = Sketch(HEAD, cuts)
    assert sketch.blade(CutEnd.FRONT) == pytest.approx(3 * FOOT)
    assert sketch.blade(CutEnd.REAR) == pytest.approx(35 * FOOT)


# -- the ruler ---------------------------------------------------------------------------------


@given(
    st.lists(st.tuples(st.floats(0.0, 600.0), st.floats(5.0, 90.0)), min_size=1, max_size=5),
)
def test_labels_never_lie_over_each_other(labels: list[tuple[float, float]]) -> None:
    labels = sorted(labels)
    widths = [wide for _, wide in labels]
    lefts = kept_apart([at for at, _ in labels], widths, 0.0, 600.0, 8.0)
    for i in range(len(lefts) - 1):
        assert lefts[i] + widths[i] + 8.0 <= lefts[i + 1] + 1e-6
    assert lefts[0] >= 0.0
    assert lefts[-1] + widths[-1] <= 600.0 + 1e-6


@given(st.floats(1.0, 500.0), st.floats(0.5, 400.0))
def test_ticks_are_few_round_and_inside(low: float, length: float) -> None:
    found = ticks(low, low + length, 7)
    assert len(found) <= 8
    assert all(low - 1e-6 <= each <= low + length + 1e-6 for each in found)


def test_the_ruler_reaches_all_that_it_shows() -> None:
    after = Mark(465.5, "after", 3.5)
    ruler = Ruler(Mark(564.5, "now"), after, Mark(460.0, "aim"), (420.0, 500.0, "window"), "", "")
    low, high = ruler.span()
    assert low < 420.0
    assert high > 564.5


# -- large figures -----------------------------------------------------------------------------


def test_the_ruler_reaches_both_ends_of_what_may_be() -> None:
    for at in (400.0, 500.0):
        sure = Mark(450.0, "now")
        low, high = Ruler(sure, Mark(at, "after", 20.0), None, None, "", "").span()
        assert low < at - 20.0
        assert at + 20.0 < high


def test_fractions_are_built_up_where_they_can_be_read() -> None:
    def wide(points: float, text: str) -> float:
        return QFontMetricsF(theming.figure_font(points)).horizontalAdvance(text)

    # Built up, 1/4 takes less room than its three signs in a row; small it is three signs.
    for points, built in ((54.0, True), (15.0, True), (12.0, False)):
        plain = theming.figure_font(points)
        plain.unsetFeature(QFont.Tag("frac"))
        in_a_row = QFontMetricsF(plain).horizontalAdvance("1/4")
        assert (wide(points, "1/4") < 0.95 * in_a_row) is built


def test_a_large_figure_shrinks_rather_than_lose_a_digit(qtbot: QtBot) -> None:
    figure = LargeFigure(54.0)
    qtbot.addWidget(figure)
    figure.show()
    figure.setText("13 ft 10 5/8 in")
    for width in (800, 400, 250):
        figure.resize(width, 90)
        assert QFontMetricsF(figure.font()).horizontalAdvance(figure.text()) <= width
        assert figure.font().pointSizeF() <= 54.0
    assert figure.font().pointSizeF() >= 15.0
