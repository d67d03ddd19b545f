"""Small widgets that every page is made of."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum

from PySide6.QtCore import QSize, Qt, SignalInstance
from PySide6.QtGui import QFont, QIcon, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractSlider,
    QBoxLayout,
    QComboBox,
    QDialogButtonBox,
    QFrame,
    QLabel,
    QLayout,
    QScrollArea,
    QScrollBar,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from taperlab.gui.kit import theme
from taperlab.units.language import tr
from taperlab.units.show import unbroken
from taperlab.units.words import heading

GAP = 12
"""Between the cards of a page [px]."""

NONE = "–"
"""Where there is no figure."""


def set_role(widget: QWidget, role: str) -> None:
    """Give a label one of the style sheet's roles (caption, soft, warn, bad, good, accent)."""
    if widget.property("role") != role:
        widget.setProperty("role", role)
        widget.style().unpolish(widget)
        widget.style().polish(widget)


Item = QWidget | tuple[QWidget, int] | QLayout | int | None
"""What is laid out: a widget, one with its share of the room, a layout, a gap [px], or with None
the room that is left."""


def fill(box: QBoxLayout, *items: Item) -> None:
    """Put items into a layout, in order."""
    for item in items:
        if isinstance(item, QWidget):
            box.addWidget(item)
        elif isinstance(item, tuple):
            box.addWidget(*item)
        elif isinstance(item, QLayout):
            box.addLayout(item)
        elif item is None:
            box.addStretch(1)
        else:
            box.addSpacing(item)


def in_row(*items: Item, spacing: int = -1, of: QWidget | None = None) -> QBoxLayout:
    """Items side by side, without a margin; ``of``: the widget that they are laid out in.

    spacing: between them [px]; the style's own by default.
    """
    return _laid(QBoxLayout.Direction.LeftToRight, items, spacing, of)


def in_column(*items: Item, spacing: int = 0, of: QWidget | None = None) -> QBoxLayout:
    """Items one below the other, without a margin; otherwise as :func:`in_row`."""
    return _laid(QBoxLayout.Direction.TopToBottom, items, spacing, of)


def _laid(
    direction: QBoxLayout.Direction, items: tuple[Item, ...], spacing: int, of: QWidget | None
) -> QBoxLayout:
    made = QBoxLayout(direction, of)
    made.setContentsMargins(0, 0, 0, 0)
    made.setSpacing(spacing)
    fill(made, *items)
    return made


def tool_button(
    text: str, name: str, tip: str, pressed: Callable[..., object] | SignalInstance | None = None
) -> QToolButton:
    """A small button: its text, its name read aloud, its tooltip, and what pressing it does."""
    made = QToolButton()
    made.setText(text)
    made.setAccessibleName(name)
    made.setToolTip(tip)
    if pressed is not None:
        made.clicked.connect(pressed)
    return made


class Link(QToolButton):
    """A button that looks like a word which leads on: no wider than its text, underlined.

    tip: its tooltip; pressed: what pressing it does; name: what is read aloud, else the text.
    """

    def __init__(
        self,
        text: str = "",
        tip: str = "",
        pressed: Callable[..., object] | SignalInstance | None = None,
        name: str = "",
    ) -> None:
        super().__init__()
        self.setObjectName("link")
        self.setText(text)
        self.setToolTip(tip)
        self.setAccessibleName(name)
        if pressed is not None:
            self.clicked.connect(pressed)

    def sizeHint(self) -> QSize:
        """The text and its frame; Qt would leave air at both sides, which is underlined too."""
        hint = super().sizeHint()
        if self.menu() is not None:
            return hint  # its arrow wants the air
        return QSize(self.fontMetrics().horizontalAdvance(self.text()) + 8, hint.height())

    def minimumSizeHint(self) -> QSize:
        """All of the text."""
        return self.sizeHint()


def choice(words: type[StrEnum], now: StrEnum, name: str = "") -> QComboBox:
    """A list to choose one word of a vocabulary from; its data are the words. Read aloud: name."""
    made = QComboBox()
    for each in words:
        made.addItem(heading(each), each)
    made.setCurrentIndex(list(words).index(now))
    made.setAccessibleName(name)
    return made


class Wrapped(QLabel):
    """A label of as many lines as it needs, none of which parts a number from its unit."""

    def __init__(self, text: str = "") -> None:
        super().__init__()
        self._whole = ""
        self.setWordWrap(True)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setText(text)

    def setText(self, text: str) -> None:
        """Show a text."""
        self._whole = text
        super().setText(unbroken(text))

    def text(self) -> str:
        """The text as it was given."""
        return self._whole


def label(
    text: str = "",
    *,
    points: float = 9.0,
    weight: QFont.Weight = QFont.Weight.Normal,
    role: str = "",
    wrap: bool = False,
) -> QLabel:
    """A label in the program's typeface."""
    made = Wrapped(text) if wrap else QLabel(text)
    made.setFont(theme.font(points, weight=weight))
    made.setTextFormat(Qt.TextFormat.PlainText)
    if role:
        made.setProperty("role", role)
    return made


class Remark(Wrapped):
    """Words that are there at times only: without any it takes no room."""

    def __init__(self, role: str = "bad", *, points: float = 9.0) -> None:
        super().__init__()
        self.setFont(theme.font(points))
        self.setProperty("role", role)
        self.hide()

    def say(self, text: str) -> None:
        """Show a text, or nothing."""
        self.setText(text)
        self.setVisible(bool(text))


def without_pictures(box: QDialogButtonBox) -> None:
    """Take the pictures off the buttons of a dialog.

    Some desktops ask for them, and the style sheet reaches a box only once it lies in its dialog.
    """
    for button in box.buttons():
        button.setIcon(QIcon())


def elided(painter: QPainter, text: str, room: int) -> str:
    """As much of a text as has room [px], and dots where that is not all."""
    return painter.fontMetrics().elidedText(text, Qt.TextElideMode.ElideRight, room)


class Elided(QLabel):
    """A label for a name of any length: it takes the room there is, and ends in dots."""

    def __init__(self, *, points: float, weight: QFont.Weight = QFont.Weight.Normal) -> None:
        super().__init__()
        self.setFont(theme.font(points, weight=weight))
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def setText(self, text: str) -> None:
        """Show a name; all of it is in the tooltip."""
        if text != self.text():
            super().setText(text)
            self.setToolTip(text)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw as much as fits."""
        painter = QPainter(self)
        painter.setPen(self.palette().windowText().color())
        room = self.contentsRect()
        shown = elided(painter, self.text(), room.width())
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, shown)


def show_only_if(widget: QWidget, wanted: bool) -> None:
    """Show or hide a widget; one that lies nowhere yet is seen as soon as it is put somewhere.

    Shown before that, it would flash as a window of its own.
    """
    if wanted and widget.parentWidget() is None:
        widget.setAttribute(Qt.WidgetAttribute.WA_WState_ExplicitShowHide, on=False)
    else:
        widget.setVisible(wanted)


def caption(text: str) -> QLabel:
    """The small name above a figure or a group."""
    return label(text, points=theme.SMALL, role="caption")


class Card(QFrame):
    """A quiet panel: the only box there is. name: what screen readers call it."""

    def __init__(self, name: str, *, margin: int = 14, spacing: int = 4) -> None:
        super().__init__()
        self.setAccessibleName(name)
        self.setObjectName("card")
        self.body = QVBoxLayout(self)
        self.body.setContentsMargins(margin, margin - 4, margin, margin - 4)
        self.body.setSpacing(spacing)

    def add(self, *items: Item) -> None:
        """Put items into the card, one below the other."""
        fill(self.body, *items)


FIGURE = 13.0
"""Letters of a figure [points]."""


class Figure(QWidget):
    """One number: its name, its value large, a remark below.

    value: what shows the value, in place of a label. Where that can be typed over, a click on its
    name or remark leads to it.
    """

    def __init__(
        self, name: str, help_text: str, *, points: float = FIGURE, value: QLabel | None = None
    ) -> None:
        super().__init__()
        self.name = name
        self._value = value or label(NONE, points=points, weight=QFont.Weight.Medium)
        self._remark = label("", points=theme.SMALL, role="soft", wrap=True)
        self._remark.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self._help = help_text
        in_column(caption(name), self._value, self._remark, None, spacing=1, of=self)
        self.setToolTip(help_text)

    def show_value(self, value: str, remark: str = "", role: str = "") -> None:
        """Show a value and a remark; role colours the remark."""
        if (self.value, self.remark) != (value, remark):
            self._value.setText(value)
            self._remark.setText(remark)
            said = tr("{name}: {value}, {remark}") if remark else tr("{name}: {value}")
            self.setAccessibleName(said.format(name=self.name, value=value, remark=remark))
        set_role(self._remark, role or "soft")

        self._remark.setMinimumHeight(0)

    def show_meanwhile(self, remark: str) -> None:
        """Show another remark for a while, in no less room than that one has."""
        room = self._remark.height()
        self.show_value(self.value, remark, "accent")
        self._remark.setMinimumHeight(room)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """What is typed next is typed over the value, where it can be."""
        if self._value.focusPolicy() & Qt.FocusPolicy.ClickFocus:
            self._value.setFocus(Qt.FocusReason.MouseFocusReason)
        super().mousePressEvent(event)

    def set_help(self, text: str) -> None:
        """Say in the tooltip how the value is worked out."""
        if text != self._help:
            self._help = text
            self.setToolTip(text)

    @property
    def value(self) -> str:
        """The value as shown."""
        return self._value.text()

    @property
    def remark(self) -> str:
        """The remark as shown."""
        return self._remark.text()


def scrolling(content: QWidget, name: str) -> QScrollArea:
    """What scrolls up and down where it has too little room, and is no stop of the Tab key.

    name: what screen readers call it.
    """
    scroll = QScrollArea()
    scroll.setAccessibleName(name)
    fill_area(scroll, content)
    return scroll


def fill_area(scroll: QScrollArea, content: QWidget) -> None:
    """Let an area scroll what it holds up and down, and be no stop of the Tab key."""
    scroll.setWidgetResizable(True)
    scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    scroll.setWidget(content)
    scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)


class SteadyBar(QScrollBar):
    """A bar that is off where there is nothing to scroll; the style then draws nothing of it."""

    def sliderChange(self, change: QAbstractSlider.SliderChange) -> None:
        """Be on or off by what there is to scroll."""
        super().sliderChange(change)
        if change == QAbstractSlider.SliderChange.SliderRangeChange:
            self.setEnabled(self.maximum() > self.minimum())


def keep_room_for_bar(scroll: QScrollArea, *, keep: bool) -> None:
    """Leave room for the bar that scrolls up and down, so that nothing moves as it comes and goes.

    keep: False where the area lies open, and its page scrolls.
    """
    if not isinstance(scroll.verticalScrollBar(), SteadyBar):
        scroll.setVerticalScrollBar(SteadyBar(Qt.Orientation.Vertical))
    policies = Qt.ScrollBarPolicy
    policy = policies.ScrollBarAlwaysOn if keep else policies.ScrollBarAsNeeded
    if scroll.verticalScrollBarPolicy() != policy:
        scroll.setVerticalScrollBarPolicy(policy)
