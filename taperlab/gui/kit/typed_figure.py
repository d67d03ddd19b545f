"""A figure that is typed where it is shown, nudged by key, and scrubbed with the mouse."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, QPointF, QRect, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QColor,
    QEnterEvent,
    QFocusEvent,
    QFont,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QLabel, QWidget

from taperlab.gui.kit import theme as theming
from taperlab.gui.kit.announce import announce
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.key_names import Help, help_on
from taperlab.gui.kit.nudges import Nudges, nudge_help
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.range_edit import RangeEdit
from taperlab.gui.kit.speech import speaks, value_changed
from taperlab.gui.kit.widgets import Card
from taperlab.units.kinds import Kind
from taperlab.units.language import later, tr
from taperlab.units.sentence import NOTHING, Sentence

PIXELS_A_STEP = 5.0
"""How far the mouse goes for one step of a scrub."""

LETTERS = 22.0
"""The largest letters of a field, where letters are as usual [points]."""

SLACK = 4.0
"""A press that moves less than this is no scrub [px]."""

HOW = later(
    "Double-click, or press Enter, to type another. Drag sideways, or press Alt and Up or Down, to "
    "nudge it; with Shift by more."
)

IN_FIELD = later(
    "Enter takes what is typed, Esc leaves what was there. Alt and Up or Down take it and nudge "
    "it; with Shift by more."
)

_OPENS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_F2)


def figure_help() -> tuple[Help, ...]:
    """What keys and mouse do to a figure that can be typed."""
    return (
        help_on(_OPENS, tr("Type another")),
        Help(tr("Double-click"), tr("Type another")),
        *nudge_help(),
        Help(tr("Drag sideways"), tr("Nudge the number, with Shift by more")),
    )


@dataclass(frozen=True, slots=True)
class Typing:
    """What becomes of a figure that is typed.

    take: does it; gives back why not, or nothing. suppose: told what is typed so far [SI], or
    None for nothing that can be read. nudges: what moves it step by step. take_span, suppose_span:
    the same for a range; without the first a range is no answer. ended: a scrub, or a run of keys,
    is over. asked: the range that is wanted and how it is written, to be typed over; None for the
    figure itself.
    """

    take: Callable[[float], Sentence]
    suppose: Callable[[float | None], None]
    nudges: Nudges
    take_span: Callable[[float, float], Sentence] | None = None
    suppose_span: Callable[[float, float], None] | None = None
    ended: Callable[[], None] | None = None
    asked: Callable[[], tuple[float, float, str] | None] | None = None


class TypedFigure(QLabel):
    """A large figure over which a field opens: double click, Enter, F2, or a digit.

    focused(): it has the focus now. problem(str): why what was typed can't be used, empty once it
    can or is gone. A figure that is not there (:meth:`hold` None) can't be typed.
    """

    focused = Signal()
    problem = Signal(str)

    def __init__(
        self,
        name: str,
        kind: Kind,
        place: Workplace,
        typing: Typing,
        *,
        points: float,
        weight: QFont.Weight = QFont.Weight.Medium,
    ) -> None:
        super().__init__()
        self._name, self._kind, self._place, self._typing = name, kind, place, typing
        self._value: float | None = None
        self._field: QuantityEdit | None = None
        self._refused: tuple[float, Sentence] | None = None
        self._is_goal = False
        self._press: QPointF | None = None
        """Where the mouse was pressed, as long as it is."""
        self._scrubbed: int | None = None
        self.setFont(theming.font(points, weight=weight))
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setToolTip(tr(HOW))
        self.setAccessibleName(name)

    # -- the figure ---------------------------------------------------------------------------

    @property
    def field(self) -> QuantityEdit | None:
        """The field that is open over it, if one is."""
        return self._field

    @property
    def value(self) -> float | None:
        """The value that it stands for [SI], or None."""
        return self._value

    def hold(self, value: float | None) -> None:
        """Stand for a value [SI]; None where there is none to type over."""
        self._value = value
        there = value is not None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if there else Qt.FocusPolicy.NoFocus)
        self.setCursor(Qt.CursorShape.IBeamCursor if there else Qt.CursorShape.ArrowCursor)
        self.setAccessibleDescription(tr(HOW) if there else "")

    def mark_goal(self, is_goal: bool) -> None:
        """Show, by a line below it, whether the figure is a goal."""
        if is_goal != self._is_goal:
            self._is_goal = is_goal
            self.update()

    def setText(self, text: str) -> None:
        """Show a text."""
        if text != self.text():
            super().setText(text)
            value_changed(self)

    @property
    def spoken(self) -> str:
        """The figure, as it is read aloud."""
        return self.text()

    # -- the field ----------------------------------------------------------------------------

    def open_field(self, typed: str = "") -> None:
        """Open the field, with the figure in it, or with what was typed to open it."""
        if self._value is None or self._field is not None:
            return
        self._typing.nudges.end()
        self._refused = None
        kind_of_field = QuantityEdit if self._typing.take_span is None else RangeEdit
        field = kind_of_field(
            self._kind, self._place.settings, self._ground(), name=self._name, check=self._check
        )
        self._field = field
        field.setObjectName("figure")
        field.set_help(tr(IN_FIELD))
        field.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        largest = LETTERS * theming.letters()
        field.setFont(theming.face(min(self.font().pointSizeF(), largest)))
        field.set_value(self._value)
        asked = self._typing.asked() if self._typing.asked is not None else None
        if asked is not None and isinstance(field, RangeEdit):
            field.set_span(*asked)
        field.textEdited.connect(self._typed)
        field.textChanged.connect(self._lie_over)
        field.installEventFilter(self)
        self._follow(True)
        self._lie_over()
        field.show()
        field.raise_()
        field.setFocus()
        if typed:
            field.clear()
            field.insert(typed)
            field.textEdited.emit(field.text())
        else:
            field.selectAll()

    def commit(self) -> bool:
        """Take what is typed, where a field is open. False if it can't be used: it stays open."""
        field = self._field
        if field is None:
            return True
        if field.isModified():
            value = field.require()
            if value is not None and (why_not := self._take(field, value)):
                self._refused = (value, why_not)
                field.read_again()
            if field.sentence:
                self.problem.emit(field.sentence)
                return False
        self.close_field()
        return True

    def close_field(self) -> None:
        """Close the field; what was typed and not taken is forgotten."""
        field, self._field = self._field, None
        if field is None:
            return
        field.removeEventFilter(self)
        self._follow(False)
        if field.hasFocus():
            self.setFocus()
        field.hide()
        field.deleteLater()
        self._typing.suppose(None)
        self.problem.emit("")

    def _take(self, field: QuantityEdit, value: float) -> Sentence:
        span = field.span if isinstance(field, RangeEdit) else None
        if span is not None and self._typing.take_span is not None:
            return self._typing.take_span(*span)
        return self._typing.take(value)

    def _check(self, value: float) -> Sentence:
        refused = self._refused
        return refused[1] if refused is not None and refused[0] == value else NOTHING

    def _typed(self) -> None:
        field = self._field
        if field is not None:
            field.setModified(True)
            self.problem.emit("")
            span = field.span if isinstance(field, RangeEdit) else None
            if span is not None and self._typing.suppose_span is not None:
                self._typing.suppose_span(*span)
            else:
                self._typing.suppose(field.value())

    def _lie_over(self) -> None:
        """Lie over the figure, its text where the figure's is."""
        field = self._field
        if field is None:
            return
        ground = self._ground()
        box = QRect(self.mapTo(ground, self.rect().topLeft()), self.size())
        left, high = box.left() - 9, box.height() + 6
        text = round(self.fontMetrics().horizontalAdvance(self.text()))
        wide = max(field.minimumSizeHint().width() + 12, text + 20)
        wide = min(wide, ground.width() - left - 4)
        field.setGeometry(QRect(left, box.center().y() - high // 2, wide, high))

    def _follow(self, follow: bool) -> None:
        """Hear, or no longer hear, that what the figure lies in is moved."""
        above = self.parentWidget()
        while above is not None and above is not self._ground().parentWidget():
            (above.installEventFilter if follow else above.removeEventFilter)(self)
            above = above.parentWidget()

    def _ground(self) -> QWidget:
        """What the field lies in: the card, since it is larger than the figure."""
        found: QWidget = self
        while not isinstance(found, Card) and (above := found.parentWidget()) is not None:
            found = above
        return found

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter takes what is typed, Esc forgets it, and so does going elsewhere take it.

        The Tab key goes on from the figure, since the field is gone then.
        """
        field = self._field
        if watched is not field or field is None:
            if event.type() in (QEvent.Type.Move, QEvent.Type.Resize):
                self._lie_over()
            return False
        if event.type() is QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Escape:
                event.accept()
                return True
        elif event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Escape:
                self.close_field()
                return True
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self.commit()
                return True
            if self._typing.nudges.is_nudge(event):
                if self.commit():
                    self.keyPressEvent(event)
                return True
            if event.key() in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
                if self.commit():
                    self.focusNextPrevChild(event.key() == Qt.Key.Key_Tab)
                return True
        elif event.type() is QEvent.Type.FocusOut and isinstance(event, QFocusEvent):
            away = (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason)
            if event.reason() not in away:
                self.commit()
        return False

    # -- keys ---------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open the field, or nudge."""
        if self._press is not None and event.key() == Qt.Key.Key_Escape:
            self._let_go(put_back=True)
        elif event.key() in _OPENS and not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            self.open_field()
        elif self._typing.nudges.take_key(event):
            self.focused.emit()
            announce(self, tr("{name}: {value}").format(name=self._name, value=self.text()))
        elif event.text().isdigit() or event.text() in (".", ","):
            self.open_field(event.text())
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A run of nudges ends with Alt."""
        self._typing.nudges.take_key(event)
        if event.key() == Qt.Key.Key_Alt:
            self._tell_end()
        super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Say so."""
        super().focusInEvent(event)
        self.focused.emit()
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """A run of nudges ends."""
        super().focusOutEvent(event)
        self._typing.nudges.end()
        self.update()

    # -- the mouse ----------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Begin what may become a scrub."""
        if event.button() is Qt.MouseButton.LeftButton and self._value is not None:
            self._press, self._scrubbed = event.position(), None

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Scrub: every so many pixels are a step."""
        if self._press is None or not event.buttons() & Qt.MouseButton.LeftButton:
            return
        along = event.position().x() - self._press.x()
        if self._scrubbed is None:
            if abs(along) < SLACK:
                return
            self._scrubbed = 0
            self._typing.nudges.end()
            self.setCursor(Qt.CursorShape.SizeHorCursor)
        steps = int(along / PIXELS_A_STEP)
        coarse = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if steps != self._scrubbed:
            self._typing.nudges.nudge(steps - self._scrubbed, coarse=coarse)
            self._scrubbed = steps

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let go."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._let_go()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open the field."""
        if event.button() is Qt.MouseButton.LeftButton:
            self._let_go()
            self.open_field()

    def _let_go(self, *, put_back: bool = False) -> None:
        scrubbed, self._press, self._scrubbed = self._scrubbed, None, None
        if scrubbed is None:
            return
        self.hold(self._value)
        if put_back:
            self._typing.nudges.put_back()
        self._typing.nudges.end()
        self._tell_end()

    def _tell_end(self) -> None:
        if self._typing.ended is not None:
            self._typing.ended()

    # -- looks --------------------------------------------------------------------------------

    def enterEvent(self, event: QEnterEvent) -> None:
        """Show that it can be typed."""
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """Show it plain."""
        super().leaveEvent(event)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the figure; a line below it where the pointer is, and a strong one for the keys."""
        super().paintEvent(event)
        if self._value is None or self._field is not None:
            return
        tokens = self._place.theme.tokens
        if not (self.hasFocus() or self.underMouse() or self._is_goal):
            return
        painter = QPainter(self)
        high = 3 if self.hasFocus() else 2 if self._is_goal else 1
        strong = self.hasFocus() or self._is_goal
        colour = QColor(tokens.accent if strong else tokens.soft)
        wide = min(self.width(), self.fontMetrics().horizontalAdvance(self.text()))
        painter.fillRect(QRect(0, self.height() - high, wide, high), colour)


speaks(TypedFigure, QAccessible.Role.SpinBox)
