"""Labels on paper: all within its label, no letter too small, figures as the bench has them."""

from __future__ import annotations

import subprocess
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PySide6.QtWidgets import QApplication

from taperlab.files.native import read_bench
from taperlab.gui.paper.export import write_labels
from taperlab.gui.paper.labels.label import lay_out
from taperlab.gui.paper.labels.sheets import POINTS, label_sheets
from taperlab.gui.paper.layout.blocks import LEAST, MM
from taperlab.gui.paper.layout.marks import Box, Shape, Words
from taperlab.gui.paper.layout.said import plain, reader
from taperlab.model.job import Job
from taperlab.shipped import sample
from taperlab.shop.labels.asking import Asked, BadLabels
from taperlab.shop.labels.content import Fact, LabelContent, label_of
from taperlab.trade.label_grids import LabelGrid, Paper, grid_named, label_grids, own_grid
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence
from taperlab.units.show import NO_BREAK
from tests.gui.reading import read_back

SAMPLES = ("scandi", "skagit", "single_hand", "long_belly")
LONG = "A head for the wide pool below the second weir, winter"


@pytest.fixture(autouse=True)
def _fonts(qapp: QApplication) -> None:
    """Letters are measured."""


def content_of(name: str) -> LabelContent:
    bench = read_bench(sample(f"{name}.taperlab"))
    line = bench.current_line
    assert line is not None
    job = Job("j", "Customer 41", "41", bench.rod)
    return label_of(bench, line, job=job, day="25 Nov 2026", by="C. 41")


@pytest.fixture(scope="module")
def contents() -> list[LabelContent]:
    found = [content_of(name) for name in SAMPLES]
    return [*found, replace(found[0], name=LONG), replace(found[1], name="W" * 60)]


def grid(name: str) -> LabelGrid:
    found = grid_named(name)
    assert found is not None
    return found


def within(box: Box, room: Box, by: float = 0.3) -> bool:
    left, top, right, bottom = box
    return (
        left >= room.left - by
        and top >= room.top - by
        and right <= room.right + by
        and bottom <= room.bottom + by
    )


@pytest.mark.parametrize("grid", label_grids(), ids=lambda grid: grid.name)
def test_nothing_leaves_its_label_touches_another_or_is_too_small(
    grid: LabelGrid, contents: list[LabelContent]
) -> None:
    width, height = ((each - 2.0 * grid.inner) * POINTS for each in (grid.width, grid.height))
    for system in System:
        for content in contents:
            made = lay_out(content, width, height, reader(system))
            assert made is not None
            words = [each for each in made.marks if isinstance(each, Words)]
            assert all(within(each.box, Box(0.0, 0.0, width, height)) for each in made.marks)
            assert min(each.letters.points for each in words) >= LEAST
            for one, other in combinations(words, 2):
                a, b = one.box, other.box
                apart = (
                    a.right <= b.left + 0.3
                    or b.right <= a.left + 0.3
                    or a.bottom <= b.top + 0.8
                    or b.bottom <= a.top + 0.8
                )
                assert apart, (one.text, other.text)
            # What there is room for stands there, and nothing else is said to be left out.
            assert not {Fact.WEIGHT, Fact.NAME} & set(made.dropped)
            said = " ".join(each.text for each in words)
            assert plain(content.weight, system) in said.replace(NO_BREAK, " ")


def test_the_least_needed_goes_first_and_more_room_says_no_less() -> None:
    content = content_of("skagit")
    read = reader(System.US)
    before: tuple[Fact, ...] | None = None
    for width, height in ((33, 16), (40, 20), (58, 33), (94, 33), (94, 62)):
        made = lay_out(content, width * MM, height * MM, read)
        assert made is not None
        order = list(Fact)
        assert list(made.dropped) == order[len(order) - len(made.dropped) :]
        if before is not None:
            assert set(made.dropped) <= set(before)
        before = made.dropped
    assert before == ()
    # The ticket of a job is on smaller labels than the day.
    job = replace(content, ticket=Sentence("job 41"), day=Sentence("Customer 12 · 2026-05-04"))
    made = lay_out(job, 58 * MM, 18 * MM, read)
    assert made is not None
    assert Fact.DAY in made.dropped
    assert Fact.TICKET not in made.dropped


def test_weights_are_large_and_names_are_told_when_cut_short() -> None:
    made = lay_out(content_of("scandi"), 94.0 * MM, 45.0 * MM, reader(System.US))
    assert made is not None
    words = [each for each in made.marks if isinstance(each, Words)]
    sizes = {each.text.replace(NO_BREAK, " "): each.letters.points for each in words}
    assert sizes["480 gr"] == 20.0
    assert sizes["Scandi head, 37 ft"] == 11.0
    tight = replace(content_of("scandi"), name="W" * 60)
    found = label_sheets(Asked(grid("38.1 x 21.2 mm")), [tight], System.US)
    assert any("is cut short" in str(each) for each in found.remarks)
    # What there is room for stands below it all the same.
    short = lay_out(tight, 62.0 * MM, 22.0 * MM, reader(System.US))
    assert short is not None
    assert short.shortened
    assert Fact.LENGTH not in short.dropped
    tiny = own_grid(Paper.A4, 0.012, 0.012, (0.012, 0.016), (0.0, 0.0), 0.001)
    with pytest.raises(BadLabels, match="no room for a name and a weight"):
        label_sheets(Asked(tiny), [tight], System.US)


@pytest.mark.parametrize(
    ("name", "system"), [("2 x 4 in", System.US), ("63.5 x 38.1 mm", System.METRIC)]
)
def test_the_pdf_holds_the_figures_each_within_its_label(
    tmp_path: Path, name: str, system: System
) -> None:
    target, chosen = tmp_path / "labels.pdf", grid(name)
    asked = Asked(chosen, start=3, count=2, nudge_x=0.001)
    contents = [content_of("scandi"), content_of("skagit")]
    write_labels(asked, contents, target, system)
    words = read_back(target)
    for content in contents:
        assert words.count(plain(content.weight, system)) >= 2
    assert content_of("scandi").name in words
    data = target.read_bytes()
    assert b"/FontFile2" in data
    assert b"/Subtype /Image" not in data  # all of it is lines and letters
    # Each word lies within a label's inner room, but for the rule in the margin.
    said = subprocess.run(
        ["pdftotext", "-bbox", str(target), "-"], capture_output=True, text=True, check=True
    )
    tree = ElementTree.fromstring(said.stdout)
    place = "{http://www.w3.org/1999/xhtml}"
    page = tree.find(f".//{place}page")
    assert page is not None
    width, height = (each * POINTS for each in chosen.paper.size)
    assert float(page.attrib["width"]) == pytest.approx(width, abs=1.0)
    assert float(page.attrib["height"]) == pytest.approx(height, abs=1.0)
    rooms = []
    for number in range(3, 7):
        left, top = (each * POINTS for each in chosen.place(number))
        inner, shift = chosen.inner * POINTS, asked.nudge_x * POINTS
        right, bottom = left + chosen.width * POINTS, top + chosen.height * POINTS
        rooms.append(Box(left + inner + shift, top, right - inner + shift, bottom))
    counted = 0
    for each in page.iter(f"{place}word"):
        box = Box(*(float(each.attrib[key]) for key in ("xMin", "yMin", "xMax", "yMax")))
        if box.bottom <= chosen.top * POINTS:
            continue  # the rule
        counted += 1
        assert any(within(box, room, 0.6) for room in rooms), each.text
    assert counted > 40


def test_a_test_page_has_outlines_numbers_and_the_rule_and_margins_say_when_there_is_none() -> None:
    edge = label_sheets(Asked(grid("70 x 37 mm")), [content_of("scandi")], System.METRIC)
    assert any("test page" in str(each) for each in edge.remarks)
    (page,) = label_sheets(Asked(grid("70 x 37 mm"), test=True), [], System.METRIC).pages
    said = [each.text for each in page.marks if isinstance(each, Words)]
    assert [str(n) for n in range(1, 25)] == said[:24]
    told = [each.replace(NO_BREAK, " ") for each in said]
    assert "must measure 100 mm: if not, print at 100 %" in told
    paper = Box(0.0, 0.0, *(each * POINTS for each in Paper.A4.size))
    assert all(within(each.box, paper) for each in page.marks)
    with_rule = label_sheets(Asked(grid("2 x 4 in")), [content_of("scandi")], System.US)
    assert not with_rule.remarks
    rule = [each for each in with_rule.pages[0].marks if each.box.bottom < 0.5 * 72.0]
    # Measured from the outer edges of its first and last lines, as on every other sheet.
    lines = [each.box for each in rule if isinstance(each, Shape)]
    upright = [each for each in lines if each.right - each.left < 1.0]
    across = max(each.right for each in upright) - min(each.left for each in upright)
    assert across == pytest.approx(4.0 * 72.0, abs=0.01)


def test_labels_go_on_to_the_next_sheet() -> None:
    found = label_sheets(Asked(grid("2 x 4 in"), 9, 5), [content_of("scandi")], System.US)
    assert [page.used for page in found.pages] == [8, 0]
    weight = plain(content_of("scandi").weight, System.US)
    counts = [
        sum(
            isinstance(each, Words) and each.text.replace(NO_BREAK, " ") == weight
            for each in page.marks
        )
        for page in found.pages
    ]
    # Ten on a sheet: the last two of the first, and three of the next.
    assert counts == [2, 3]
