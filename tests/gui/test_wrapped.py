"""Texts of several lines: no line ends between a number and its unit."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from PySide6.QtGui import QTextLayout, QTextOption
from PySide6.QtWidgets import QApplication, QLabel

from taperlab.gui.kit.widgets import Remark, label
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, SHORT_LENGTH, WEIGHT_PER_LENGTH, System
from taperlab.units.parse import parse
from taperlab.units.show import show, unbroken

SAID = (
    "The taper changes somewhere between 2 3/4 in and 13 ft 6 1/8 in, where the head has 12.96 "
    "gr/ft and weighs 480.0 gr, ± 0.3 gr; of 0.870 g/cm³ at 10.0 °C it is 4.115 m long, 2.85 × the "
    "rod. 15 % is what 3 rows in a line may differ by."
)
PARTED = (
    r"\d$|\d ft$",
    r"^(in|ft|gr|gr/ft|g/cm³|°C|m|×|%)\b|^\d+/\d+",
)


def lines_of(made: QLabel, width: float) -> list[str]:
    """The lines that a label breaks its text into."""
    text = QLabel.text(made)
    layout = QTextLayout(text, made.font())
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WordWrap)
    layout.setTextOption(option)
    found = []
    layout.beginLayout()
    while (line := layout.createLine()).isValid():
        line.setLineWidth(width)
        found.append(text[line.textStart() : line.textStart() + line.textLength()].strip(" "))
    layout.endLayout()
    return found


@pytest.mark.parametrize("remark", [False, True])
def test_no_line_ends_between_a_number_and_its_unit(qapp: QApplication, remark: bool) -> None:
    made: QLabel = Remark() if remark else label(wrap=True)
    made.setText(SAID)
    assert made.text() == SAID
    for width in range(120, 420, 7):
        lines = lines_of(made, width)
        assert len(lines) > 1
        for line, after in pairwise(lines):
            parted = re.search(PARTED[0], line) and re.search(PARTED[1], after)
            assert not parted, (width, line, after)


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize("kind", [LENGTH, SHORT_LENGTH, DIAMETER, DENSITY, WEIGHT_PER_LENGTH])
def test_what_is_kept_together_is_read_as_ever(kind: object, system: System) -> None:
    shown = show(kind.example, kind, system)
    assert " " not in unbroken(shown)
    assert parse(unbroken(shown), kind, system) == parse(shown, kind, system)


def test_words_are_left_alone() -> None:
    for text in ("Row 2 inside", "3 rows", "in 2 stages", "12 more", "30 may be"):
        assert unbroken(text) == text
