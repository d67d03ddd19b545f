"""The build sheet on paper: pages, figures, cautions."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from taperlab.files.native import read_bench, write_bench
from taperlab.files.problem import FileProblem
from taperlab.gui.frame.window import Window
from taperlab.gui.paper.build_sheet import build_sheet
from taperlab.gui.paper.export import write_sheet, write_sheet_of
from taperlab.gui.paper.layout.pages import page_layout, pages_of
from taperlab.gui.paper.parts import FOR_BUILDING
from taperlab.model.bench import Bench
from taperlab.model.line import ONE_EXTRUSION, Line, line_of
from taperlab.model.segment import Part, Segment
from taperlab.shipped import sample
from taperlab.shop.analyse import analyse_line
from taperlab.shop.whole import rig_of_bench
from taperlab.trade.cautions import cautions, short_defer
from taperlab.units.kinds import System
from tests.gui.hands import GRAIN, NOISE, status
from tests.gui.reading import printed, read_back

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def page_count(bench: Bench, line: Line, system: System = System.US) -> int:
    return len(pages_of(build_sheet(bench, line), page_layout(system), system))


def long_line(count: int) -> Line:
    rows = tuple(
        Segment(Part.BELLY, 0.1, 0.0018, 0.0018, 800.0, note=f"piece {i}") for i in range(count)
    )
    return line_of("line-1", "Two hundred pieces", rows)


def test_a_short_line_takes_a_page_or_two_and_a_long_one_several(qapp: QApplication) -> None:
    bench = read_bench(sample("scandi.taperlab"))
    assert bench.current_line is not None
    assert 1 <= page_count(bench, bench.current_line) <= 2
    line = long_line(200)
    assert page_count(Bench(lines=(line,)), line, System.METRIC) >= 4


def test_lines_without_head_or_segments_print_too(qapp: QApplication) -> None:
    empty = line_of("line-1", "Nothing <yet> & no more", ())
    running = line_of("line-2", "Running", (Segment(Part.RUNNING_LINE, 30.0, 8e-4, 8e-4, 900.0),))
    for line in (empty, running):
        assert line.name in printed(build_sheet(Bench(lines=(line,)), line))
        assert page_count(Bench(lines=(line,)), line) == 1


@pytest.mark.parametrize("system", list(System))
def test_the_pdf_holds_weight_segments_and_cautions(
    qapp: QApplication, tmp_path: Path, system: System
) -> None:
    source, target = sample("skagit.taperlab"), tmp_path / "sheet.pdf"
    bench = read_bench(source)
    pages = write_sheet(source, target, system)
    words = read_back(target)
    head = analyse_line(bench.current_line, bench.water).head
    # Both units stand there, whichever is asked for.
    assert f"{head.mass / GRAIN:.1f} gr" in words
    assert f"{head.mass * 1000.0:.2f} g" in words
    assert bench.current_line.name in words
    for segment in bench.current_line.segments:
        assert str(segment.part).capitalize() in words
    shown = [each for each in cautions() if each.topic in FOR_BUILDING]
    assert len(shown) >= 3
    for each in shown:
        assert each.title in words
        assert each.short in words
    assert short_defer() in words
    assert "skagit.taperlab" in words
    assert f"page {pages} of {pages}" in words
    length = "4 in" if system is System.US else "100 mm"
    assert f"must measure {length}: if not, print at 100 %" in words
    assert "FLY END" in words
    assert "ROD END" in words


def test_the_pdf_of_a_rig_names_its_lines_and_reads_its_joints(
    qapp: QApplication, tmp_path: Path
) -> None:
    target = tmp_path / "rig.pdf"
    bench = read_bench(sample("rigs.taperlab"))
    rig = bench.rigs[0]
    bench = replace(bench, view=replace(bench.view, line=rig.head, rig=rig.key))
    assert write_sheet_of(bench, Path("rigs.taperlab"), target, System.US) >= 1
    words = read_back(target)
    whole = rig_of_bench(rig, bench)
    assert whole is not None
    assert whole.head is not None
    assert words.startswith(f"Build sheet {rig.name}")
    assert f"{whole.head.mass / GRAIN:.1f} gr" in words
    assert f"head alone {whole.parts.head.mass / GRAIN:.1f} gr" in words
    for key in rig.lines:
        assert bench.line(key).name in words
    (joint,) = whole.looped.joints
    assert f"Step {joint.step:.2f}." in words
    assert "A step down: 14.00 gr/ft ahead of the joint, 19.11 gr/ft behind it." in words
    assert "Both loops weigh" in words
    assert "ratio 2.69" in words
    assert "a leader of 4 ft" in words
    said = printed(build_sheet(bench, rig))
    assert "body and tip, to 13 ft of rod" in said
    assert "(the head alone)" in said


def test_a_sheet_of_a_rig_warns_where_it_hinges(qapp: QApplication) -> None:
    bench = read_bench(sample("rigs.taperlab"))
    rig = bench.rigs[0]
    (tip,) = (bench.line(key) for key in rig.ahead)
    thick = replace(tip.segments[0], rear_diameter=0.003, front_diameter=0.003)
    bench = bench.with_line(replace(tip, segments=(thick,)))
    assert "the rig may hinge there" in printed(build_sheet(bench, rig))
    running = Segment(Part.RUNNING_LINE, 20.0, 9e-4, 9e-4, 880.0)
    head = bench.line(rig.head)
    longer = replace(head, segments=(*head.segments, running), joints=(*head.joints, ONE_EXTRUSION))
    assert "Running line" in printed(build_sheet(bench.with_line(longer), rig), System.METRIC)


def test_a_sheet_that_cannot_be_written_says_why(qapp: QApplication, tmp_path: Path) -> None:
    source = sample("scandi.taperlab")
    with pytest.raises(FileProblem, match=r"must end in \.pdf"):
        write_sheet(source, tmp_path / "sheet.txt")
    with pytest.raises(FileProblem, match="no such folder"):
        write_sheet(source, tmp_path / "no such folder" / "sheet.pdf")
    empty = tmp_path / "empty.taperlab"
    write_bench(Bench(), empty)
    with pytest.raises(FileProblem, match="holds no line"):
        write_sheet(empty, tmp_path / "sheet.pdf")
    assert list(tmp_path.glob("*.pdf")) == []


def test_without_a_line_there_is_nothing_to_print(make: Callable[..., Window]) -> None:
    window = make(demo=False)
    window.file.put_in_hand(Bench(), None)
    for name in ("print", "preview"):
        window.menus.actions[name].trigger()
        assert status(window) == "There is no line to print."
