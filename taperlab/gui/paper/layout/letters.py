"""Letters for paper: how wide a text is, and where it is broken into lines."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import Any

from PySide6.QtGui import QFont, QFontMetricsF, QTextCharFormat, QTextLayout, QTextLine, QTextOption

from taperlab.gui.kit import theme as theming
from taperlab.units.show import NO_BREAK

FINE = 10
"""Letters are measured and drawn so many times as large, and scaled: their widths are then the
same on every device, whatever its resolution."""


@dataclass(frozen=True, slots=True)
class Letters:
    """A size [points] and a weight."""

    points: float
    bold: bool = False

    def width(self, text: str) -> float:
        """How wide a text is on one line."""
        return float(_metrics(self).horizontalAdvance(text)) / FINE

    @property
    def ascent(self) -> float:
        """From the top of a line to its letters' foot."""
        return float(_metrics(self).ascent()) / FINE

    @property
    def height(self) -> float:
        """Of a line."""
        return float(_metrics(self).height()) / FINE

    @property
    def cap(self) -> float:
        """Of a capital."""
        return float(_metrics(self).capHeight()) / FINE

    @property
    def font(self) -> QFont:
        """The typeface, ``FINE`` times as large, for a painter that counts in points over that."""
        return _font(self)


class _Known(threading.local):
    """Typefaces and their measures, of each thread its own: Qt's are not to be shared.

    Sheets of a whole range are written beside the window.
    """

    def __init__(self) -> None:
        self.found: dict[Letters, tuple[QFont, QFontMetricsF]] = {}


_known = _Known()


def _both(letters: Letters) -> tuple[QFont, QFontMetricsF]:
    found = _known.found.get(letters)
    if found is None:
        made = sheet_font(9.0, bold=letters.bold)
        made.setPixelSize(round(letters.points * FINE))
        found = _known.found[letters] = made, QFontMetricsF(made)
    return found


def _font(letters: Letters) -> QFont:
    return _both(letters)[0]


def _metrics(letters: Letters) -> QFontMetricsF:
    return _both(letters)[1]


def sheet_font(points: float, *, bold: bool = False) -> QFont:
    """The typeface for paper, at its own size.

    Figures of equal width, and signs that change with their neighbours, have no text behind them in
    a PDF: Qt finds a glyph's text by the typeface's own table of characters, where they are not.
    """
    made = theming.face(points, weight=QFont.Weight.DemiBold if bold else QFont.Weight.Normal)
    made.unsetFeature(QFont.Tag("tnum"))
    for feature in ("calt", "liga", "dlig"):
        made.setFeature(QFont.Tag(feature), 0)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return made


@dataclass(frozen=True, slots=True)
class Run:
    """Words in letters of one kind, so far from where their line begins."""

    at: float
    text: str
    letters: Letters
    width: float


@dataclass(frozen=True, slots=True)
class TextLine:
    """One line of a text that was broken."""

    runs: tuple[Run, ...]
    width: float


def broken(text: str, letters: Letters, width: float, lead: str = "") -> tuple[TextLine, ...]:
    """A text as lines no wider than this: between words, within one only where it is too long.

    lead: bold words ahead of it.
    """
    whole = f"{lead} {text}" if lead and text else lead or text
    made: list[TextLine] = []
    for paragraph in whole.split("\n"):
        made += _broken(paragraph, letters, width, len(lead) if not made else 0)
    return tuple(made)


def _run(at: float, text: str, letters: Letters) -> Run:
    """A run as it is drawn: what is read back out of a PDF has usual spaces."""
    return Run(at, text.replace(NO_BREAK, " "), letters, letters.width(text))


def _broken(text: str, letters: Letters, width: float, lead: int) -> list[TextLine]:
    wide = letters.width(text)
    if not lead and wide <= width:
        return [TextLine((_run(0.0, text, letters),) if text else (), wide)]
    layout = QTextLayout(text, letters.font)
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    strong = Letters(letters.points, bold=True)
    if lead:
        bold = QTextLayout.FormatRange()
        bold.start, bold.length = 0, lead
        look = QTextCharFormat()
        look.setFont(strong.font)
        bold.format = look
        layout.setFormats([bold])
    found: list[TextLine] = []
    layout.beginLayout()
    while (line := layout.createLine()).isValid():
        line.setLineWidth(max(width, 1.0) * FINE)
        first = line.textStart()
        last = first + line.textLength()
        parts = ((first, min(lead, last), strong), (max(first, lead), last, letters))
        runs = []
        for begin, end, kind in parts:
            words = text[begin:end].rstrip(" ") if end == last else text[begin:end]
            if words.strip():
                at = (_x_of(line, begin) - line.x()) / FINE if begin > first else 0.0
                runs.append(_run(at, words, kind))
        found.append(TextLine(tuple(runs), max((run.at + run.width for run in runs), default=0.0)))
    layout.endLayout()
    return found


def _x_of(line: QTextLine, at: int) -> float:
    """Where a character begins; Qt for Python gives it with the character's number."""
    found: Any = line.cursorToX(at)
    return float(found[0] if isinstance(found, tuple) else found)


def longest_word(text: str, letters: Letters) -> float:
    """How wide a column must be for no word to be parted."""
    return max((letters.width(each) for each in text.replace("\n", " ").split(" ")), default=0.0)
