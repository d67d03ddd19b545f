"""The Shape page as a whole: it sleeps while another is shown, and opens its own dialogs."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QDialog, QToolButton, QWidget

from taperlab.edits import bench as bench_edits
from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.lines import delete_line, rename_line
from taperlab.gui.dialogs.bench import WaterDialog
from taperlab.gui.dialogs.line import LineDialog
from taperlab.gui.dialogs.rods import RodsDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.shape.columns import Col
from taperlab.gui.pages.shape.page import ShapePage
from taperlab.model.line import Style
from taperlab.model.water import WaterKind
from tests.gui.hands import NOISE, click, open_dialog, settle, shape, words_on

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def shown(page: ShapePage) -> list[object]:
    """All that the views of the page say."""
    table = page.table.segments
    cells = [table.cell(row, column) for row in range(table.count) for column in Col]
    figures = [(each.value, each.remark) for each in page.readouts.figures.values()]
    return [
        page.header.name.text(),
        page.readouts.weight.text(),
        figures,
        cells,
        page.plots.accessibleDescription(),
        words_on(page.water),
    ]


def test_edits_cost_nothing_while_another_page_is_shown(window: Window) -> None:
    page, document = shape(window), window.document
    before = shown(page)
    told: list[object] = []
    page.table.segments.dataChanged.connect(lambda *_: told.append(1))
    page.table.segments.updated.connect(told.append)
    window.show_page("measure")
    settle()
    line = document.line
    document.apply(value_edits.set_length, line.key, 1, 3.0)
    document.apply(value_edits.set_weight, line.key, 2, 0.012)
    document.apply(rename_line, line.key, "Alder pool")
    settle()
    assert shown(page)[:4] == before[:4]
    assert not told
    window.show_page("shape")
    settle()
    assert page.header.name.text() == "Alder pool"
    assert page.table.segments.cell(1, Col.LENGTH).text == "9' 10 1/8\""
    assert page.readouts.weight.text() == f"{document.analysis().head.mass / 64.79891e-6:.0f} gr"
    assert told


def test_what_was_missed_is_one_change(window: Window) -> None:
    page, document = shape(window), window.document
    updated: list[object] = []
    page.table.segments.updated.connect(updated.append)
    window.show_page("measure")
    line = document.line
    for length in (3.0, 3.1, 3.2):
        document.apply(value_edits.set_length, line.key, 1, length)
    document.apply(row_edits.insert_default, line.key, 0)
    window.show_page("shape")
    settle()
    assert len(updated) == 1
    assert page.table.segments.count == len(document.line.segments)


def test_another_bench_that_came_meanwhile_is_shown(window: Window) -> None:
    page = shape(window)
    window.show_page("measure")
    window.file_menu.open_sample("single_hand.taperlab")
    window.show_page("shape")
    settle()
    assert page.header.name.text() == window.document.line.name
    assert page.table.segments.count == len(window.document.line.segments)


def test_a_body_alone_is_offered_the_tips_of_the_bench_and_not_judged(window: Window) -> None:
    window.file_menu.open_sample("skagit.taperlab")
    settle()
    ratio = shape(window).readouts.figures["ratio"]
    assert ratio.remark == (
        "body alone; practice counts body and tip: 2.54 with “Tip, 10 ft of 11” or 2.69 with "
        "“Tip, 12 ft of 14”"
    )
    assert "quarters" not in ratio.remark
    short, long = (line for line in window.document.bench.lines if line.style is Style.TIP)
    window.document.apply(rename_line, short.key, "Light tip")
    window.document.apply(delete_line, long.key)
    settle()
    assert ratio.remark.endswith("2.54 with “Light tip”")


def test_the_water_and_the_rod_are_followed(window: Window) -> None:
    page, document = shape(window), window.document
    assert any(text.startswith("Fresh, ") for text in words_on(page.water))
    document.apply(bench_edits.set_water, WaterKind.SEA, 283.15, 0.035)
    settle()
    assert any(text.startswith("Sea, ") for text in words_on(page.water))


@pytest.mark.parametrize(
    ("name", "kind"),
    [("Edit rods", RodsDialog), ("Edit the water", WaterDialog), ("Loops…", LineDialog)],
)
def test_the_buttons_of_the_page_open_their_dialogs(
    window: Window, name: str, kind: type[QDialog]
) -> None:
    click(button_of(shape(window), name))
    open_dialog(window, kind).reject()


def button_of(root: QWidget, name: str) -> QToolButton:
    buttons = root.findChildren(QToolButton)
    return next(each for each in buttons if name in (each.accessibleName(), each.text()))
