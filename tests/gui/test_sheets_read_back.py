"""Every sheet as a PDF, read back: nothing is lost, nothing lies outside, typefaces are in it."""

from __future__ import annotations

import re
import shutil
import subprocess
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from taperlab.edits.values import set_length
from taperlab.files.native import read_bench
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.catalogue import PAGES, Entry
from taperlab.gui.paper.build_sheet import build_sheet
from taperlab.gui.paper.export import write_pdf
from taperlab.gui.paper.layout import blocks
from taperlab.gui.paper.layout.blocks import FIGURE, Sheet
from taperlab.gui.paper.layout.marks import Words
from taperlab.gui.paper.layout.pages import page_layout, pages_of
from taperlab.gui.paper.layout.reading import BLANK
from taperlab.gui.paper.layout.said import reader
from taperlab.gui.paper.measurement_sheet import measurement_sheet
from taperlab.gui.paper.pdf import pdf_of
from taperlab.gui.paper.pieces_sheet import pieces_sheet
from taperlab.gui.paper.preview import PreviewDialog
from taperlab.model.line import NO_LOOP, ONE_EXTRUSION
from taperlab.model.pieces import Rules
from taperlab.shipped import sample
from taperlab.shop.measure.study import study
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.freezing import thawed
from taperlab.shop.pieces.study import study_now
from taperlab.units.kinds import System
from taperlab.units.sentence import OnTape, Weight
from taperlab.units.show import NO_BREAK
from tests.gui.hands import GRAIN, INCH, NOISE, click, open_dialog, settle, status
from tests.gui.reading import printed, read_back

pytestmark = [
    pytest.mark.qt_log_ignore(NOISE),
    pytest.mark.skipif(shutil.which("pdftotext") is None, reason="nothing here reads PDFs back"),
]

LEAST = 12.0 / 25.4 * 72.0
"""As wide as margins are at least [points]."""


def tool(*words: str) -> str:
    return subprocess.run(words, capture_output=True, text=True, check=True).stdout


def squeezed(text: str) -> str:
    """A text without what its breaking into lines may change: spaces, and hyphens at an end."""
    return re.sub(r"[\s-]", "", text)


def read_over(sheet: Sheet, target: Path, system: System, paper: str) -> None:
    """Write a sheet, and hold what is in the PDF against what the sheet says."""
    pages = write_pdf(sheet, target, page_layout(system, paper), system)
    # In the order in which it is drawn, which is that of the sheet.
    found = squeezed(tool("pdftotext", "-raw", str(target), "-"))
    for text in printed(sheet, system).splitlines():
        assert squeezed(text) in found or text == BLANK, text
    assert found.count(squeezed(f"page {pages} of {pages}")) == 1
    assert squeezed(f"page 1 of {pages}") in found
    boxes = tool("pdftotext", "-bbox", str(target), "-")
    sizes = {(float(w), float(h)) for w, h in re.findall(r'width="([\d.]+)" height="(.+?)"', boxes)}
    ((width, height),) = sizes
    letter = paper == "letter"
    assert (width, height) == pytest.approx((612, 792) if letter else (595, 842), abs=1.0)
    for box in re.findall(r'xMin="(.+?)" yMin="(.+?)" xMax="(.+?)" yMax="(.+?)"', boxes):
        left, top, right, bottom = map(float, box)
        assert left >= LEAST
        assert top >= LEAST - 3.0  # of a letter's box, not of its ink
        assert right <= width - LEAST
        assert bottom <= height - LEAST
    # Nothing shines through: PDF/A-1b has no such thing, and a printer makes dots of it.
    assert not re.search(rb"/ca 0", target.read_bytes())
    # Name, type, encoding, then whether it is embedded, a part of it, and readable.
    for row in tool("pdffonts", str(target)).splitlines()[2:]:
        assert re.search(r"\byes (yes|no) +yes\b", row), row


@pytest.mark.parametrize("entry", PAGES, ids=lambda entry: entry.key)
def test_the_sheet_of_each_page_on_either_paper(
    window: Window, entry: Entry, tmp_path: Path
) -> None:
    window.file_menu.open_sample(entry.sample)
    window.turn_to(entry.key)
    settle()
    window.jobs.settle()
    settle()
    sheet = window.pages.current.sheet()
    assert isinstance(sheet, Sheet)
    read_over(sheet, tmp_path / "us.pdf", System.US, "letter")
    read_over(sheet, tmp_path / "metric.pdf", System.METRIC, "a4")


def test_the_sheet_to_build_by_has_the_figures_of_the_plan(
    qapp: QApplication, tmp_path: Path
) -> None:
    bench = read_bench(sample("pieces.taperlab"))
    found = study_now(Question(((bench.lines[0], 2),), bench.stock, bench.pieces.rules))
    target = tmp_path / "pieces.pdf"
    sheet = pieces_sheet(found, bench)
    read_over(sheet, target, System.US, "letter")
    words = read_back(target)
    for number, head in enumerate(found.heads):
        assert head.name in words
        for piece in found.of_head(number):
            assert f" {piece.cut_mass / GRAIN:.1f} " in words
            assert piece.stock.name in words
            assert OnTape(piece.cut).text(System.US) in words
        build = found.builds[number]
        assert build is not None
        for point in found.checkpoints(number)[1:]:
            # On the way no loop is made; the finished head is told at the top.
            last = point.after == len(build.pieces)
            mass = point.mass - (build.front + build.rear if last else 0.0)
            assert f" {mass / GRAIN:.1f} " in words
            assert not last or f"{point.mass / GRAIN:.1f} gr" in words
            # Half a last digit goes up: an error is never told smaller than it is.
            told = Decimal(f"{point.reach / GRAIN:.6f}").quantize(Decimal("0.1"), ROUND_HALF_UP)
            assert f"± {told} " in words
    assert words.count("must measure 4 in") == len(found.heads)
    # What is cut from the stock comes first, each head on a page of its own behind it.
    assert words.index("Cut from the stock") < words.index(found.heads[0].name + " ")


def test_the_sheet_to_build_by_says_that_tubes_stay_on_and_loops_come_last(
    qapp: QApplication, tmp_path: Path
) -> None:
    """A fold that the rules ask for is a loop, though the design says nothing of one."""
    bench = read_bench(sample("pieces.taperlab"))
    line = replace(
        bench.lines[0], joints=(ONE_EXTRUSION,) * 2, front_loop=NO_LOOP, rear_loop=NO_LOOP
    )
    rules = Rules(overlap=1.5 * INCH, fold=2.0 * INCH, tube=4.0 * GRAIN, tubes_stay=True)
    for asked, is_said in ((rules, True), (replace(rules, fold=None, tubes_stay=False), False)):
        found = study_now(Question(((line, 1),), bench.stock, asked))
        target = tmp_path / f"{is_said}.pdf"
        read_over(pieces_sheet(found, bench), target, System.US, "letter")
        words = " ".join(read_back(target).split())
        assert ("Tubes stay on, 4.0 gr each" in words) is is_said
        assert ("all 3, no loops" in words) is is_said
        # How much is bevelled and folded stands there as well.
        assert "In it: laps of 1 1/2 in" in words
        assert ("and folds of 2 in." in words) is is_said


@pytest.mark.parametrize(("system", "paper"), [(System.US, "letter"), (System.METRIC, "a4")])
def test_a_head_of_four_pieces_is_built_by_one_page(
    qapp: QApplication, system: System, paper: str
) -> None:
    """All that is cut, joined and weighed, and the cautions, lie beside the scale at once."""
    bench = read_bench(sample("build.taperlab"))
    sheet = pieces_sheet(thawed(bench.builds[0]), bench)
    (page,) = pages_of(sheet, page_layout(system, paper), system)
    words = [each for each in page.marks if isinstance(each, Words)]
    assert min(each.letters.points for each in words) >= blocks.LEAST
    # Cut lengths and what the scale should read are read at arm's length.
    read = reader(system)
    large = {each.text for each in words if each.letters.points >= FIGURE and each.letters.bold}
    found = thawed(bench.builds[0])
    assert {read(OnTape(each.cut)).replace(NO_BREAK, " ") for each in found.pieces} <= large
    assert {read(Weight(each.mass, unit=False)) for each in found.checkpoints(0)[1:-1]} <= large
    line = build_sheet(bench, bench.lines[0])
    assert len(pages_of(line, page_layout(system, paper), system)) == 1


def test_a_measurement_is_printed_with_what_was_read_and_found(
    qapp: QApplication, tmp_path: Path
) -> None:
    bench = read_bench(sample("measured_head.taperlab"))
    measured = bench.measurements[0]
    design = next((each for each in bench.lines if each.key == measured.line), None)
    found = study(measured, design)
    target = tmp_path / "measured.pdf"
    read_over(measurement_sheet(found), target, System.US, "letter")
    words = read_back(target)
    total, half = found.total
    assert f"{total / GRAIN:.1f} gr" in words
    assert f"± {half / GRAIN:.1f} gr" in words
    for mass, error in zip(found.fit.weights.masses, found.fit.weights.mass_halves, strict=True):
        assert f"{mass / GRAIN:.1f} gr" in words
        assert f"± {error / GRAIN:.1f} gr" in words
    for section in measured.sections:
        assert f"{section.mass / GRAIN:.1f} gr" in words
    # A reading that no line through the others would explain is named as left out.
    stations = list(measured.stations)
    slip = stations[8]
    stations[8] = replace(slip, readings=(1.5 * slip.readings[0],))
    said = printed(measurement_sheet(study(replace(measured, stations=tuple(stations)), design)))
    assert ", left out" in said
    assert "stands alone among" in said
    # What cannot be fitted says why, and what was read is printed all the same.
    few = printed(measurement_sheet(study(replace(measured, stations=(), sections=()))))
    assert "Measure at least one diameter on the line." in few
    assert "Nothing was weighed." in few


def test_what_is_laid_over_is_compared_on_paper(window: Window, tmp_path: Path) -> None:
    window.document.look(overlays=(), rig_overlays=(), version_overlays=())
    window.menus.actions["compare"].trigger()
    assert status(window).startswith("Lay a line, a rig or a version over it")
    window.file_menu.open_sample("range.taperlab")
    document = window.document
    first = document.line
    window.menus.actions["duplicate_line"].trigger()
    document.apply(set_length, document.line.key, 1, 2.0 * document.line.segments[1].length)
    document.look(overlays=(first.key,))
    window.menus.actions["compare"].trigger()
    dialog = open_dialog(window, PreviewDialog)
    assert isinstance(dialog, PreviewDialog)
    target = tmp_path / "compared.pdf"
    dialog.save(target)
    words = read_back(target)
    mine = document.whole.head
    assert f"{mine.mass / GRAIN:.1f} gr" in words
    ((_, whole),) = document.laid_over()
    assert whole.name in words
    assert f"{whole.head.mass / GRAIN:.1f} gr" in words
    off = (mine.mass - whole.head.mass) / GRAIN
    assert abs(off) > 1.0
    assert f"{off:+.1f} gr".replace("-", "−") in words
    click(dialog.close_button)


def test_a_pdf_tells_what_it_is(qapp: QApplication) -> None:
    sheet = Sheet("A name & more", (), subject="Build sheet", author="Customer 41")
    content, pages = pdf_of(sheet, page_layout(System.US), System.US)
    assert pages == 1
    for part in (
        b'<dc:title><rdf:Alt><rdf:li xml:lang="x-default">A name &amp; more<',
        b'x-default">Build sheet<',
        b"<dc:language><rdf:Bag><rdf:li>en<",
        b"<rdf:li>Customer 41<",
        b"<pdfaid:part>1</pdfaid:part><pdfaid:conformance>B<",
        b"/OutputIntents",
        b"/Author",
    ):
        assert part in content, part
