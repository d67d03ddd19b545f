"""Paper lays itself out: nothing outside the page, nothing on top of other words, nothing lost."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterable
from itertools import combinations, pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QMarginsF, QSizeF
from PySide6.QtGui import QImage, QPageLayout, QPageSize
from PySide6.QtWidgets import QApplication

from taperlab.gui.paper.export import write_pdf
from taperlab.gui.paper.layout import blocks as b
from taperlab.gui.paper.layout.drawing import (
    Blade,
    Bracket,
    Drawing,
    Label,
    Numbered,
    Outline,
    Stretch,
    Tone,
)
from taperlab.gui.paper.layout.marks import HAIR, Mark, Shape, Words
from taperlab.gui.paper.layout.outline import drawing_strip
from taperlab.gui.paper.layout.pages import MARGIN_MM, NotPrinted, page_layout, pages_of, printed
from taperlab.gui.paper.layout.said import reader
from taperlab.gui.paper.layout.spread import GAP, apart, spread
from taperlab.units.kinds import System

pytestmark = pytest.mark.usefixtures("qapp")

CLOSE = 0.3
"""Words nearer than this touch nothing that is seen [points]."""


@pytest.fixture(autouse=True, scope="module")
def _fonts(qapp: QApplication) -> None:
    """Letters can be measured before the first example."""


def overlaps(marks: Iterable[Mark]) -> list[tuple[str, str]]:
    found = []
    texts = [each for each in marks if isinstance(each, Words)]
    for one, other in combinations(texts, 2):
        a, z = one.box, other.box
        across = min(a.right, z.right) - max(a.left, z.left)
        upright = min(a.bottom, z.bottom) - max(a.top, z.top)
        if across > CLOSE and upright > CLOSE:
            found.append((one.text, other.text))
    return found


def outside(marks: Iterable[Mark], width: float, height: float) -> list[Mark]:
    def out(mark: Mark) -> bool:
        left, top, right, bottom = mark.box
        # Half of a line's width may lie on the edge.
        return left < -0.6 or top < -0.6 or right > width + 0.6 or bottom > height + 0.6

    return [each for each in marks if out(each)]


words = st.text("abcdefghij MW.,é ", min_size=0, max_size=60)
long_words = st.text("abcMW", min_size=0, max_size=120)
texts = words | long_words | st.just("Some words, and a 13 ft 6 1/2 in length of 479.6 gr.")


@st.composite
def tables(draw: st.DrawFn) -> b.Table:
    count = draw(st.integers(2, 7))
    columns = tuple(
        b.Column(
            draw(words),
            draw(st.sampled_from(list(b.Align))),
            draw(st.sampled_from([b.NOTE, b.TEXT, b.FIGURE])),
            draw(st.booleans()),
        )
        for _ in range(count)
    )
    text = texts | st.builds(b.Cell, texts, st.tuples(texts), words)
    box = st.sampled_from([b.WriteIn(), b.Tick()]) | texts
    some = st.tuples(*([text] * (count - 2)), box, box)
    rows = draw(st.lists(some, min_size=1, max_size=12))
    return b.Table((b.Column("No."), *columns), tuple((f"no{i}", *r) for i, r in enumerate(rows)))


@st.composite
def drawings(draw: st.DrawFn) -> Drawing:
    outlines = []
    for _ in range(draw(st.integers(1, 2))):
        lengths = draw(st.lists(st.floats(0.01, 5.0), min_size=1, max_size=24))
        thick = draw(
            st.lists(st.floats(5e-4, 3e-3), min_size=len(lengths) + 1, max_size=len(lengths) + 1)
        )
        places = [0.0]
        for each in lengths:
            places.append(places[-1] + each)
        stretches = tuple(
            Stretch(x1, x2, d1, d2, draw(st.sampled_from(list(Tone))))
            for (x1, x2), (d1, d2) in zip(pairwise(places), pairwise(thick), strict=True)
        )
        at = st.floats(0.0, places[-1])
        outlines.append(
            Outline(
                stretches,
                draw(words),
                draw(st.floats(0.0, 3.0)),
                stiff=tuple((x - 0.02, x + 0.02) for x in places[1:-1:3]),
                joints=tuple(places[1:-1:2]),
                loops=(draw(st.booleans()), draw(st.booleans())),
                labels=tuple(
                    Label(x, f"joint {i}, {x:.2f} m") for i, x in enumerate(draw(st.lists(at)), 1)
                ),
                numbers=tuple(
                    Numbered(x1, x2, str(i)) for i, (x1, x2) in enumerate(pairwise(places), 1)
                ),
                blades=tuple(Blade(draw(at), str(i)) for i in range(draw(st.integers(0, 2)))),
                brackets=tuple(Bracket(x1, x2, draw(words)) for x1, x2 in pairwise(places[:4])),
            )
        )
    ends = max(each.ends for each in outlines)
    dimensions = (Bracket(0.0, 0.1 * ends, "4 ft 3 in off"), Bracket(0.9 * ends, ends, "1 in off"))
    return Drawing(tuple(outlines), (0.1 * ends,), dimensions, draw(words))


others = st.one_of(
    st.builds(b.HeadBlock, texts, words, texts, words, texts),
    st.builds(b.Heading, texts.filter(str.strip)),
    st.builds(b.Paragraph, texts, words, st.sampled_from([b.NOTE, b.TEXT]), st.booleans()),
    st.builds(
        b.Figures,
        st.lists(st.tuples(words, texts, texts), min_size=1, max_size=7).map(tuple),
        st.integers(2, 4),
    ),
    st.builds(
        b.Form,
        st.lists(st.builds(b.FillIn, texts) | st.builds(b.TickOff, texts), max_size=5).map(tuple),
    ),
    st.builds(b.Signature, st.lists(words, min_size=1, max_size=3).map(tuple)),
    st.just(b.ScaleRule()),
    st.just(b.WriteLines(2)),
    st.just(b.NewPage()),
)


@given(
    st.lists(others, max_size=6),
    tables(),
    st.lists(others, max_size=4),
    st.sampled_from(list(System)),
    st.sampled_from(["letter", "a4"]),
)
def test_every_row_stands_once_within_the_margins_and_on_no_other(
    before: list[b.Block], table: b.Table, after: list[b.Block], system: System, paper: str
) -> None:
    layout = page_layout(system, paper)
    sheet = b.Sheet("A sheet", (*before, table, *after), file="a_bench.taperlab")
    pages = pages_of(sheet, layout, system, "26 Nov 2026 21:40")
    room = printed(layout)
    assert min(room.left(), room.top()) >= 12.0 * b.MM
    seen: list[str] = []
    for page in pages:
        assert outside(page.marks, room.width(), room.height()) == []
        assert overlaps(page.marks) == []
        seen += [each.text for each in page.marks if isinstance(each, Words)]
    for i in range(len(table.rows)):
        assert seen.count(f"no{i}") == 1
    for number in range(1, len(pages) + 1):
        assert seen.count(f"page {number} of {len(pages)}") == 1
    boxes = sum(isinstance(each, b.WriteIn) for row in table.rows for each in row)
    frames = [
        each.box
        for page in pages
        for each in page.marks
        if isinstance(each, Shape) and each.closed and len(each.corners) == 4
    ]
    large = [x for x in frames if x.right - x.left >= 25 * b.MM and x.bottom - x.top >= 8 * b.MM]
    assert len(large) >= boxes


@given(drawings(), st.sampled_from([480.0, 527.0]))
def test_labels_of_a_drawing_touch_neither_each_other_nor_a_line_that_leads_to_another(
    drawing: Drawing, width: float
) -> None:
    strip = drawing_strip(drawing, width, reader(System.US))
    assert strip is not None
    assert outside(strip.marks, width, strip.height) == []
    assert overlaps(strip.marks) == []
    texts = [each.box for each in strip.marks if isinstance(each, Words)]
    lines = [
        each.corners
        for each in strip.marks
        if isinstance(each, Shape) and not each.closed and each.width == HAIR
    ]
    for corners in lines:
        for one, other in pairwise(corners):
            assert not any(_crosses(one, other, box) for box in texts)


def _crosses(
    one: tuple[float, float], other: tuple[float, float], box: tuple[float, float, float, float]
) -> bool:
    """Whether a line comes into a box, its very edge left out: looked at in small steps."""
    left, top, right, bottom = box
    for step in range(41):
        share = step / 40.0
        x, y = (a + share * (z - a) for a, z in zip(one, other, strict=True))
        if left + CLOSE < x < right - CLOSE and top + CLOSE < y < bottom - CLOSE:
            return True
    return False


@given(st.lists(st.tuples(st.floats(0, 500), st.floats(0, 60)), min_size=1, max_size=40))
def test_labels_are_spread_in_as_few_rows_as_hold_them(pairs: list[tuple[float, float]]) -> None:
    anchors, widths = zip(*sorted(pairs), strict=True)
    placed, rows = spread(anchors, widths, 0.0, 500.0)
    assert len(placed) == len(anchors)
    assert (rows == 1) == (sum(widths) + GAP * (len(widths) - 1) <= 500.0 + 1e-6)
    for row in range(rows):
        edges = [
            (p.middle - w / 2.0, p.middle + w / 2.0)
            for p, w in zip(placed, widths, strict=True)
            if p.row == row
        ]
        for (_, right), (left, _) in pairwise(edges):
            assert left - right >= GAP - 1e-6
        assert all(left >= -1e-6 and right <= 500.0 + 1e-6 for left, right in edges)


def test_labels_with_room_stand_at_their_places() -> None:
    assert apart([50.0, 200.0, 300.0], [20.0, 40.0, 30.0], 0.0, 500.0) == [50.0, 200.0, 300.0]
    # Two that want one place stand either side of it, at equal distances.
    assert apart([100.0, 100.0], [20.0, 20.0], 0.0, 500.0) == [90.0, 110.0]


def test_a_heading_stays_with_its_first_row_and_is_repeated() -> None:
    layout = page_layout(System.US)
    table = b.Table((b.Column("Name"),), tuple((f"row {i}",) for i in range(90)))
    blocks = (b.Heading("Part"), table)
    pages = pages_of(b.Sheet("s", blocks), layout, System.US, "")
    assert len(pages) >= 3
    for page in pages:
        shown = [each.text for each in page.marks if isinstance(each, Words)]
        assert shown.count("Name") == 1
    # Wherever the heading falls, it never stands at the foot alone.
    for lines in range(20, 60):
        fill = b.WriteLines(lines)
        pages = pages_of(b.Sheet("s", (fill, *blocks)), layout, System.US, "")
        (at,) = (
            i
            for i, page in enumerate(pages)
            if any(isinstance(each, Words) and each.text == "Part" for each in page.marks)
        )
        shown = [each.text for each in pages[at].marks if isinstance(each, Words)]
        assert "row 0" in shown


def test_a_cell_longer_than_a_page_goes_on_below() -> None:
    long = " ".join(f"word{i}" for i in range(3000))
    table = b.Table((b.Column("A"), b.Column("B")), ((long, "short"),))
    layout = page_layout(System.METRIC)
    room = printed(layout)
    pages = pages_of(b.Sheet("s", (table,)), layout, System.METRIC, "")
    shown = []
    for page in pages:
        assert outside(page.marks, room.width(), room.height()) == []
        shown += [
            word for each in page.marks if isinstance(each, Words) for word in each.text.split()
        ]
    assert [each for each in shown if each.startswith("word")] == long.split()


@pytest.mark.parametrize(
    "block",
    [
        b.HeadBlock("A name that goes on and on, " * 90, figure="479.6 gr"),
        b.Figures((("Length", "37 ft", "a remark without an end, " * 200),)),
        Drawing(tuple(Outline((Stretch(0.0, 9.0, 1e-3, 2e-3),), f"line {i}") for i in range(30))),
    ],
    ids=lambda block: type(block).__name__,
)
def test_what_is_higher_than_a_page_is_drawn_smaller_and_not_cut_off(block: b.Block) -> None:
    layout = page_layout(System.US)
    room = printed(layout)
    pages = pages_of(b.Sheet("s", (block,)), layout, System.US, "")
    assert len(pages) == 1
    assert outside(pages[0].marks, room.width(), room.height()) == []
    assert overlaps(pages[0].marks) == []


def test_the_rule_is_as_long_on_paper_as_it_says(tmp_path: Path) -> None:
    dots = 200
    for system, millimetres in ((System.US, 101.6), (System.METRIC, 100.0)):
        target = tmp_path / "rule.pdf"
        write_pdf(b.Sheet("rule", (b.ScaleRule(),)), target, page_layout(system), system)
        if shutil.which("pdftoppm") is None:
            pytest.skip("nothing here draws PDFs")
        subprocess.run(
            ["pdftoppm", "-r", str(dots), "-png", "-singlefile", target, target.with_suffix("")],
            check=True,
        )
        picture = QImage(str(target.with_suffix(".png")))
        runs = [
            len(run)
            for y in range(round(15.0 / 25.4 * dots), round(20.0 / 25.4 * dots))
            for run in "".join(
                "x" if picture.pixelColor(x, y).lightness() < 160 else " "
                for x in range(picture.width())
            ).split()
        ]
        assert max(runs) / dots * 25.4 == pytest.approx(millimetres, abs=0.2)


def test_a_printer_may_have_other_paper_and_lay_it_across() -> None:
    table = b.Table(
        (b.Column("A"), b.number("Length", points=b.FIGURE), b.Column("reads")),
        tuple((f"no{i}", "13 ft 6 1/2 in", b.WriteIn()) for i in range(30)),
    )
    counts = []
    for way in (QPageLayout.Orientation.Portrait, QPageLayout.Orientation.Landscape):
        small = QPageSize(QPageSize.PageSizeId.A5)
        layout = QPageLayout(small, way, QMarginsF(5, 5, 5, 5), QPageLayout.Unit.Millimeter)
        room = printed(layout)
        assert (room.width() > room.height()) == (way is QPageLayout.Orientation.Landscape)
        pages = pages_of(b.Sheet("s", (table,)), layout, System.US, "")
        for page in pages:
            assert outside(page.marks, room.width(), room.height()) == []
        counts.append(len(pages))
    assert counts[1] > counts[0]


@pytest.mark.parametrize("size", [(50.0, 80.0), (29.0, 90.0), (105.0, 148.0), (300.0, 60.0)])
def test_paper_that_is_too_small_is_refused_at_once(size: tuple[float, float]) -> None:
    """A printer of labels may be chosen: what does not fit must neither hang nor run off it."""
    paper = QPageSize(QSizeF(*size), QPageSize.Unit.Millimeter)
    upright, unit = QPageLayout.Orientation.Portrait, QPageLayout.Unit.Millimeter
    layout = QPageLayout(paper, upright, QMarginsF(2, 2, 2, 2), unit)
    sheet = b.Sheet("s", (b.Paragraph("Words."), b.ScaleRule()), file="spring.taperlab")
    with pytest.raises(NotPrinted, match="too small for a sheet"):
        pages_of(sheet, layout, System.US)


def test_margins_are_wide_enough_for_any_printer() -> None:
    assert MARGIN_MM >= 12.7
