"""A field for one quantity."""

from __future__ import annotations

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import in_row
from taperlab.gui.state.settings import Settings
from taperlab.units import kinds
from taperlab.units.kinds import System
from taperlab.units.sentence import Length, Sentence


@pytest.fixture
def settings() -> Settings:
    return Settings()


def typed(edit: QuantityEdit, text: str) -> None:
    edit.selectAll()
    QTest.keyClicks(edit, text)


def test_it_reads_while_it_is_typed(qtbot: QtBot, settings: Settings) -> None:
    edit = QuantityEdit(kinds.LENGTH, settings)
    qtbot.addWidget(edit)
    values: list[float | None] = []
    edit.value_changed.connect(lambda: values.append(edit.value()))
    typed(edit, "2 m")
    assert edit.value() == pytest.approx(2.0)
    assert values[0] == pytest.approx(2 * 0.3048)
    assert values[-1] == pytest.approx(2.0)
    assert not edit.bad


def test_bad_text_is_red_has_a_sentence_and_no_value(qtbot: QtBot, settings: Settings) -> None:
    edit = QuantityEdit(kinds.LENGTH, settings)
    qtbot.addWidget(edit)
    said: list[str] = []
    edit.sentence_changed.connect(said.append)
    typed(edit, "5 gr")
    assert edit.bad
    assert edit.property("bad") is True
    assert edit.value() is None
    assert "a length" in said[-1]
    assert edit.toolTip() == edit.accessibleDescription() == str(edit.sentence)
    typed(edit, "5 ft")
    assert not edit.bad
    assert said[-1] == ""
    assert edit.toolTip() == kinds.LENGTH.help


def test_the_full_value_is_kept_behind_the_rounded_text(qtbot: QtBot, settings: Settings) -> None:
    edit = QuantityEdit(kinds.DIAMETER, settings)
    qtbot.addWidget(edit)
    edit.set_value(0.00212345678)
    shown = edit.text()
    typed(edit, "1")
    typed(edit, shown)
    settings.use_system(System.METRIC)
    assert edit.text() == "2.123 mm"
    assert edit.value() == pytest.approx(0.00212345678, rel=1e-3)
    edit.set_value(0.00212345678)
    settings.use_system(System.US)
    settings.use_system(System.METRIC)
    assert edit.value() == 0.00212345678


def test_bad_text_is_left_alone_when_units_switch(qtbot: QtBot, settings: Settings) -> None:
    edit = QuantityEdit(kinds.DIAMETER, settings)
    qtbot.addWidget(edit)
    typed(edit, "what")
    settings.use_system(System.METRIC)
    assert edit.text() == "what"


def test_an_empty_field(qtbot: QtBot, settings: Settings) -> None:
    needed = QuantityEdit(kinds.WEIGHT, settings, name="Scale weight")
    spare = QuantityEdit(kinds.WEIGHT, settings, optional=True)
    for edit in (needed, spare):
        qtbot.addWidget(edit)
        assert edit.value() is None
        assert not edit.bad
        assert edit.require() is None
    assert str(needed.sentence) == "Scale weight is missing."
    assert not spare.bad


def test_a_further_check_and_reading_again(qtbot: QtBot, settings: Settings) -> None:
    limit = [1.0]
    edit = QuantityEdit(
        kinds.LENGTH,
        settings,
        check=lambda value: Sentence("Too long.") if value > limit[0] else None,
    )
    qtbot.addWidget(edit)
    typed(edit, "2 m")
    assert str(edit.sentence) == "Too long."
    limit[0] = 3.0
    edit.read_again()
    assert edit.value() == pytest.approx(2.0)
    edit.set_value(4.0)
    assert edit.bad


def test_what_is_wrong_is_said_in_the_person_s_units(qtbot: QtBot, settings: Settings) -> None:
    edit = QuantityEdit(
        kinds.LENGTH,
        settings,
        check=lambda _: Sentence("There are only {length} left.", length=Length(3.048)),
    )
    qtbot.addWidget(edit)
    said: list[str] = []
    edit.sentence_changed.connect(said.append)
    typed(edit, "9")
    assert said[-1] == "There are only 10 ft left."
    settings.use_system(System.METRIC)
    assert said[-1] == edit.sentence == edit.toolTip() == "There are only 3.048 m left."
    assert edit.text() == "9"


def test_what_stands_in_place_of_a_value_is_read_in_full(qtbot: QtBot, settings: Settings) -> None:
    """It may come when the field is on the screen already, and be another later."""
    edit = QuantityEdit(kinds.SMALL_WEIGHT, settings, optional=True)
    edit.keep_width(60)
    holder = QWidget()
    qtbot.addWidget(holder)
    in_row(edit, None, of=holder)
    holder.resize(400, 40)
    holder.show()
    QTest.qWait(0)
    before = edit.width()
    edit.setPlaceholderText("about 0.11 g, an estimate")
    qtbot.waitUntil(lambda: edit.width() > before)
    needs = edit.fontMetrics().horizontalAdvance(edit.placeholderText())
    assert edit.width() > needs
    edit.setPlaceholderText("")
    qtbot.waitUntil(lambda: edit.width() == before)
