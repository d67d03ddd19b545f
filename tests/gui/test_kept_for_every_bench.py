"""Own rods, materials, loops and joints: kept in one dialog, used on another bench."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu

from taperlab.files.library import library_file, load_library
from taperlab.gui.dialogs.kept import KeptButton
from taperlab.gui.dialogs.line import LineDialog
from taperlab.gui.dialogs.rods import RodsDialog
from taperlab.gui.dialogs.stock import StockDialog
from taperlab.gui.frame.window import Window
from taperlab.gui.pages.shape.row_dialogs import JointDialog
from taperlab.model.line import JointKind, LoopKind
from tests.gui.hands import (
    GRAIN,
    INCH,
    NOISE,
    at_cell,
    click,
    open_dialog,
    problem,
    retype,
    settle,
    status,
)

pytestmark = pytest.mark.qt_log_ignore(NOISE)


def pick(own: KeptButton, *texts: str) -> None:
    """Open the menu of a button and click through it."""
    menu = own.menu()
    menu.popup(QPoint(0, 0))
    for text in texts:
        assert isinstance(menu, QMenu)
        action = next(each for each in menu.actions() if each.text() == text)
        assert action.isEnabled()
        below = action.menu()
        if below is not None:
            below.popup(QPoint(0, 0))
        else:
            QTest.mouseClick(
                menu, Qt.MouseButton.LeftButton, pos=menu.actionGeometry(action).center()
            )
        menu = below
    settle()


def offered(own: KeptButton) -> list[str]:
    own.menu().popup(QPoint(0, 0))
    found = [each.text() for each in own.menu().actions()]
    own.menu().hide()
    return found


def dialog(window: Window, action: str, kind: type) -> object:
    window.menus.actions[action].trigger()
    return open_dialog(window, kind)


def test_a_rod_kept_on_one_bench_is_chosen_on_another(make: Callable[..., Window]) -> None:
    first = make()
    rods = dialog(first, "edit_rods", RodsDialog)
    assert offered(rods.own)[0] == "Nothing is kept yet"
    retype(rods.fields.name, "Alder & Birch")
    pick(rods.own, "Keep this one for every bench")
    assert status(first) == "Kept for every bench: Alder & Birch"
    rods.reject()  # what is kept is no part of this bench
    settle()
    second = make()
    rods = dialog(second, "edit_rods", RodsDialog)
    pick(rods.own, "Alder && Birch")
    assert rods.fields.name.text() == "Alder & Birch"
    click(rods.accept_button)
    settle()
    assert second.document.rod.name == "Alder & Birch"
    second.menus.actions["undo"].trigger()
    assert "Alder & Birch" not in [rod.name for rod in second.document.bench.rods]
    rods = dialog(second, "edit_rods", RodsDialog)
    pick(rods.own, "Keep no longer", "Alder && Birch")
    assert offered(rods.own)[0] == "Nothing is kept yet"


def test_a_rod_that_cannot_be_is_not_kept(window: Window) -> None:
    rods = dialog(window, "edit_rods", RodsDialog)
    rods.fields.name.clear()
    pick(rods.own, "Keep this one for every bench")
    assert problem(rods).text() == "A rod needs a name."
    assert load_library().rods == ()


def test_a_material_kept_goes_on_another_shelf_as_a_step_of_its_own(
    make: Callable[..., Window],
) -> None:
    first = make()
    at_cell(first, 0, 1)
    stock = dialog(first, "insert_stock", StockDialog)
    name = stock.box.currentText()
    pick(stock.own, "Keep this one for every bench")
    stock.reject()
    settle()
    second = make()
    second.file_menu.new_bench()
    second.document.apply(lambda bench: _bare(bench))
    at_cell(second, 0, 1)
    stock = dialog(second, "insert_stock", StockDialog)
    assert stock.box.count() == 0
    pick(stock.own, name.replace("&", "&&"))
    assert stock.box.currentText() == name
    click(stock.accept_button)
    settle()
    assert second.document.line.segments[-1].note == name
    second.menus.actions["undo"].trigger()
    assert [each.name for each in second.document.bench.stock] == [name]
    second.menus.actions["undo"].trigger()
    assert second.document.bench.stock == ()


def _bare(bench: object) -> object:
    """An edit: a bench with an empty shelf."""
    from dataclasses import replace

    from taperlab.edits.edited import Edited
    from taperlab.units.sentence import Sentence

    return Edited(replace(bench, stock=()), Sentence("Delete stock"))


def test_a_loop_kept_at_one_end_is_had_at_the_other(window: Window) -> None:
    line = dialog(window, "describe_line", LineDialog)
    line.front.kind.setCurrentIndex(line.front.kind.findData(LoopKind.BRAIDED))
    line.front.fold.set_value(0.0)
    retype(line.front.mass, "2.5")
    pick(line.front.own, "Keep this one for every bench")
    pick(line.rear.own, "Braided loop, adds 2.5 gr")
    click(line.accept_button)
    settle()
    rear = window.document.line.rear_loop
    assert rear.kind is LoopKind.BRAIDED
    assert rear.mass == pytest.approx(2.5 * GRAIN)


def test_no_loop_is_nothing_to_keep(window: Window) -> None:
    line = dialog(window, "describe_line", LineDialog)
    line.front.kind.setCurrentIndex(line.front.kind.findData(LoopKind.NONE))
    pick(line.front.own, "Keep this one for every bench")
    assert problem(line).text() == "There is nothing to keep."


def test_a_joint_kept_at_one_row_is_had_at_another(window: Window) -> None:
    at_cell(window, 0, 1)
    joint = dialog(window, "edit_joint", JointDialog)
    joint.kind.setCurrentIndex(joint.kind.findData(JointKind.LAPPED_WELD))
    retype(joint.overlap, "1.5 in")
    pick(joint.own, "Keep this one for every bench")
    joint.reject()
    settle()
    at_cell(window, 1, 1)
    joint = dialog(window, "edit_joint", JointDialog)
    (name,) = (each for each in offered(joint.own) if each.startswith("Lapped weld, overlap"))
    pick(joint.own, name)
    click(joint.accept_button)
    settle()
    assert window.document.line.joints[1].kind is JointKind.LAPPED_WELD
    assert window.document.line.joints[1].overlap == pytest.approx(1.5 * INCH)


def test_a_library_that_cannot_be_read_is_said_and_stays(window: Window) -> None:
    library_file().parent.mkdir(parents=True, exist_ok=True)
    library_file().write_text("{", encoding="utf-8")
    rods = dialog(window, "edit_rods", RodsDialog)
    assert offered(rods.own) == []
    assert "library.json is damaged" in problem(rods).text()
    assert library_file().read_text(encoding="utf-8") == "{"
