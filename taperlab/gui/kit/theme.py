"""Two palettes, the fonts, and the style sheet made from them."""

from __future__ import annotations

import re
from dataclasses import dataclass

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QFontInfo,
    QGuiApplication,
    QPalette,
    QPen,
)
from PySide6.QtWidgets import QApplication, QWidget

from taperlab.files.preferences import Theme as Choice
from taperlab.model.segment import Part
from taperlab.shipped import resource


@dataclass(frozen=True, slots=True)
class Tokens:
    """Colours of one theme, by what they are for."""

    name: str
    page: str
    card: str
    well: str
    ink: str
    soft: str
    rule: str
    """Of what parts, never of what is to be seen for itself."""
    field: str
    """Of the borders of what can be worked."""
    accent: str
    accent_ink: str
    accent_wash: str
    hover: str
    warn: str
    bad: str
    bad_wash: str
    good: str
    band: str
    crosshair: str
    edge: str
    """Of the outline of a line."""
    off: str
    """What comes off, under its hatch."""
    hatch: str
    ask_wash: str
    """Behind a question."""
    water: str
    """A body of water, from the side or from above."""
    bed: str
    """The bed of a river and its bank."""
    parts: dict[Part, str]
    overlays: tuple[str, ...]
    """Any two differ, from the accent and the ink too, to the colour-blind as well."""


LIGHT = Tokens(
    name="light",
    page="#F1EFE8",
    card="#FBFAF7",
    well="#F1EFE8",
    ink="#1C2B2D",
    soft="#5A6868",
    rule="#DAD6CB",
    field="#7E847D",
    accent="#0E6E6E",
    accent_ink="#FFFFFF",
    accent_wash="#DCEAE7",
    hover="#E9E6DC",
    warn="#8A5A00",
    bad="#A8321F",
    bad_wash="#F8E1DB",
    good="#2F6B3A",
    band="#CFE3DE",
    crosshair="#7F20DF",
    edge="#4A5658",
    off="#E4DFD3",
    hatch="#767D79",
    ask_wash="#F4EBD3",
    water="#EAF1F0",
    bed="#7E7460",
    parts={
        Part.TIP: "#C4AD74",
        Part.FRONT_TAPER: "#8FB4B1",
        Part.BELLY: "#3E6F78",
        Part.REAR_TAPER: "#8C7A99",
        Part.SINK_TIP: "#54616B",
        Part.EXTENSION: "#B98A6A",
        Part.HANDLING_LINE: "#A3AE93",
        Part.RUNNING_LINE: "#C9CBC2",
    },
    overlays=(
        "#BA5B1A",
        "#0046A0",
        "#47466D",
        "#5E8549",
        "#4D1A6D",
        "#4D4A00",
        "#6B4832",
        "#C354A1",
    ),
)

DARK = Tokens(
    name="dark",
    page="#12181A",
    card="#1A2225",
    well="#12181A",
    ink="#E7ECEA",
    soft="#9AA9A8",
    rule="#2F3B3E",
    field="#7A898B",
    accent="#4FB8AE",
    accent_ink="#0B1718",
    accent_wash="#1F3B3B",
    hover="#232D30",
    warn="#E8B65A",
    bad="#F08A74",
    bad_wash="#43241E",
    good="#7CC48A",
    band="#21413F",
    crosshair="#A867E9",
    edge="#B9C4C3",
    off="#293235",
    hatch="#7F8D8E",
    ask_wash="#332C1A",
    water="#17282B",
    bed="#9A8E74",
    parts={
        Part.TIP: "#D9C183",
        Part.FRONT_TAPER: "#7FB5AE",
        Part.BELLY: "#3D7F8C",
        Part.REAR_TAPER: "#A08DB2",
        Part.SINK_TIP: "#8797A3",
        Part.EXTENSION: "#C99873",
        Part.HANDLING_LINE: "#93A37F",
        Part.RUNNING_LINE: "#6E7670",
    },
    overlays=(
        "#D38938",
        "#7692C1",
        "#B8CCE8",
        "#8CE0AA",
        "#B3A1FA",
        "#F1DE6A",
        "#ADA371",
        "#B07B82",
    ),
)

DASHES: tuple[tuple[float, ...], ...] = (
    (6, 3),
    (2, 2),
    (8, 3, 2, 3),
    (12, 4),
    (4, 2, 1, 2, 1, 2),
    (1, 2),
    (10, 2, 2, 2),
    (5, 5),
)
"""Dash patterns of the overlays, in pen widths, so that colour never stands alone."""

IN_HAND, LAID_OVER = 2.0, 1.0
"""How wide the current line is drawn, and the lines laid over it, wherever they are [px]."""

BODY = 9.0
"""Of usual text where the system asks for no other size [points]."""

SMALL = 8.5
"""No letter is smaller where the body is as usual [points]."""

SYSTEM_SIZES = 6.0, 36.0
"""A system that says it writes smaller or larger than this is not believed [points]."""

PIXELS_AN_INCH = 96.0
"""Of the screen that lengths in pixels are meant for."""

RULED = 3
"""A length in the style sheet up to this is the width of a line [px]."""

ZOOMS = (75, 80, 90, 100, 110, 125, 150, 175, 200)
"""What the View menu zooms through [%]."""

BUILT_UP = 15.0
"""Smallest letters whose fractions are built up [points]."""


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, relative luminance)."""

    def luminance(colour: str) -> float:
        shown = QColor(colour)
        parts = [
            value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4
            for value in (shown.redF(), shown.greenF(), shown.blueF())
        ]
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def ink_on(colour: str) -> str:
    """Near-black or white, whichever reads better on a colour."""
    return max(("#101819", "#FFFFFF"), key=lambda ink: contrast(ink, colour))


def load_fonts() -> None:
    """Make the shipped typeface known to Qt; without it the system's own is used."""
    for file in sorted(resource("fonts").glob("*.otf")):
        QFontDatabase.addApplicationFont(str(file))


def system_points() -> float:
    """How large the system writes [points]."""
    general = QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont)
    least, most = SYSTEM_SIZES
    return min(max(QFontInfo(general).pointSizeF(), least), most)


def letters() -> float:
    """How many times as large as usual the program is written now."""
    return QGuiApplication.font().pointSizeF() / BODY


def px(length: float) -> int:
    """A length that goes with the letters, meant for the usual ones [px]."""
    screen = QGuiApplication.primaryScreen()
    dense = screen.logicalDotsPerInchY() / PIXELS_AN_INCH if screen is not None else 1.0
    return round(length * letters() * dense)


def usual(length: float) -> float:
    """How long this would be for usual letters [px]."""
    return length * 1000.0 / px(1000.0)


def font(points: float = BODY, *, weight: QFont.Weight = QFont.Weight.Normal) -> QFont:
    """The typeface, for the screen; points: the size where letters are as usual."""
    return face(points * letters(), weight=weight)


def face(points: float, *, weight: QFont.Weight = QFont.Weight.Normal) -> QFont:
    """The typeface at just this size, with figures of equal width."""
    made = QFont("Inter")
    made.setPointSizeF(points)
    made.setWeight(weight)
    made.setFeature(QFont.Tag("tnum"), 1)
    made.setStyleHint(QFont.StyleHint.SansSerif)
    return made


def figure_font(points: float, weight: QFont.Weight = QFont.Weight.DemiBold) -> QFont:
    """The typeface for a large figure: 2 1/4 is written with its fraction built up.

    From 15 points up; smaller, a built-up fraction can no longer be read.
    """
    made = font(points, weight=weight)
    made.unsetFeature(QFont.Tag("tnum"))
    if points >= BUILT_UP:
        made.setFeature(QFont.Tag("frac"), 1)
    return made


def pen(colour: str, width: float = 1.0, dash: tuple[float, ...] | None = None) -> QPen:
    """A pen that grows with the screen's density, as widgets do."""
    made = QPen(QColor(colour), width)
    if dash:
        made.setDashPattern(list(dash))
        made.setCapStyle(Qt.PenCapStyle.FlatCap)  # others lengthen dashes, on dense screens alone
    return made


def curve_pen(colour: str, width: float = 1.0, dash: tuple[float, ...] | None = None) -> QPen:
    """A pen as wide under any view; overlays stay at width 1, which repaints far faster."""
    made = pen(colour, width, dash)
    made.setCosmetic(True)
    return made


class Theme(QObject):
    """The theme in force: colours, and how large all is written.

    Views ask it for tokens and repaint when it changes. choice, zoom [%]: what the person chose;
    to be changed by ``choose`` and ``use_zoom`` alone.
    """

    changed = Signal()

    def __init__(self, choice: Choice = Choice.SYSTEM, zoom: int = 100) -> None:
        super().__init__()
        self.choice = choice
        self.zoom = zoom
        self._system_points = system_points()
        self._wearer: QWidget | None = None
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._system_changed)

    @property
    def tokens(self) -> Tokens:
        """The colours in force."""
        if self.choice is Choice.SYSTEM:
            scheme = QGuiApplication.styleHints().colorScheme()
            return DARK if scheme == Qt.ColorScheme.Dark else LIGHT
        return DARK if self.choice is Choice.DARK else LIGHT

    def choose(self, choice: Choice) -> None:
        """Change the theme at once."""
        if choice is not self.choice:
            self.choice = choice
            self.apply()

    def use_zoom(self, percent: int) -> None:
        """Write everything so much larger than the system writes."""
        if percent != self.zoom:
            self.zoom = percent
            self.apply()

    def zoom_by(self, steps: int) -> None:
        """Write everything so many steps larger, as far as there are steps."""
        at = min(range(len(ZOOMS)), key=lambda each: abs(ZOOMS[each] - self.zoom))
        self.use_zoom(ZOOMS[min(max(0, at + steps), len(ZOOMS) - 1)])

    def look_at_system(self) -> None:
        """Write as large as the system does now."""
        points = system_points()
        if points != self._system_points:
            self._system_points = points
            self.apply()

    def apply(self) -> None:
        """Put the theme in force on: fonts, palette, and the style sheet of the window."""
        before, own = letters(), _own_letters()
        self.prepare()
        if self._wearer is not None:
            self.dress(self._wearer)
        _write_anew(own, letters() / before)
        self.changed.emit()

    def prepare(self) -> None:
        """Give the application fonts and palette, before any widget is made."""
        app = _application()
        body = face(self._system_points * self.zoom / 100.0)
        if app.font() != body:
            app.setFont(body)
        app.setPalette(_palette(self.tokens))

    def dress(self, window: QWidget) -> None:
        """Give a window the style sheet, which is worn by all in it and by its dialogs.

        Not the application: a widget that wears a sheet is styled anew wherever it is put, which
        takes half of the time that a page takes to build. So a page is built bare and dressed once,
        when it is put into the window.
        """
        self._wearer, sheet = window, _for_letters(_style_sheet(self.tokens))
        if window.styleSheet() != sheet:
            window.setStyleSheet(sheet)

    def disconnect_from_system(self) -> None:
        """Let go of the application's style hints, which outlive the window."""
        QGuiApplication.styleHints().colorSchemeChanged.disconnect(self._system_changed)

    def _system_changed(self) -> None:
        if self.choice is Choice.SYSTEM:
            self.apply()


def _own_letters() -> list[tuple[QWidget, QFont]]:
    """Widgets whose letters are not the application's, and those letters."""
    own = Qt.WidgetAttribute.WA_SetFont
    return [(each, each.font()) for each in QApplication.allWidgets() if each.testAttribute(own)]


def _write_anew(own: list[tuple[QWidget, QFont]], times: float) -> None:
    """Let letters grow as the application's did; another style sheet puts back older ones."""
    for widget, letters_ in own:
        letters_.setPointSizeF(letters_.pointSizeF() * times)
        if widget.font() != letters_:
            widget.setFont(letters_)


def _application() -> QApplication:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    return app


def _palette(t: Tokens) -> QPalette:
    palette = QPalette()
    role = QPalette.ColorRole
    for which, colour in (
        (role.Window, t.page),
        (role.Base, t.card),
        (role.AlternateBase, t.well),
        (role.Button, t.card),
        (role.WindowText, t.ink),
        (role.Text, t.ink),
        (role.ButtonText, t.ink),
        (role.PlaceholderText, t.soft),
        (role.Highlight, t.accent),
        (role.HighlightedText, t.accent_ink),
        (role.Link, t.accent),
        (role.ToolTipBase, t.card),
        (role.ToolTipText, t.ink),
        (role.Mid, t.rule),
        (role.Accent, t.accent),
    ):
        palette.setColor(which, QColor(colour))
    for which in (role.WindowText, role.Text, role.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, which, QColor(t.soft))
    return palette


def _for_letters(sheet: str) -> str:
    """A style sheet whose lengths go with the letters; rules and rings keep theirs, and all PX."""

    def sized(length: re.Match[str]) -> str:
        pixels = int(length[1])
        return f"{px(pixels) if pixels > RULED else pixels}px"

    return re.sub(r"\b(\d+)px", sized, sheet).replace("PX", "px")


def _style_sheet(t: Tokens) -> str:
    def less(padding: int) -> str:
        """What is left of a padding beside a ring that is wider than the border by one [px]."""
        return f"{px(padding) - 1}PX"

    return f"""
* {{ outline: none; }}
QMainWindow, QDialog, #page {{ background: {t.page}; color: {t.ink}; }}
QToolTip {{ background: {t.card}; color: {t.ink}; border: 1px solid {t.rule}; padding: 6px; }}

#card {{ background: {t.card}; border: 1px solid {t.rule}; border-radius: 8px; }}
#ask {{ background: {t.ask_wash}; border: 2px solid {t.warn}; border-radius: 8px; }}
#rule {{ background: {t.rule}; border: none; }}
#badge {{ background: {t.accent}; color: {t.accent_ink}; border-radius: 5px; padding: 2px 4px; }}
#badge[role="hollow"] {{ background: {t.card}; color: {t.ink}; border: 1px solid {t.ink}; }}
#fold {{ padding: 1px 0; border: 2px solid transparent; }}
#fold:focus {{ padding: 1px 0; border: 2px solid {t.accent}; }}
#bench QPushButton {{ border: 3px solid {t.ink}; border-radius: 14px; min-height: 110px; }}
#bench QPushButton:default {{ border-color: {t.accent}; }}
#bench QPushButton:focus {{ border: 5px solid {t.ink}; }}
#bench QPushButton:disabled {{ border: 2px dashed {t.soft}; background: {t.page};
    color: {t.soft}; }}
QToolButton#link {{ padding: 0 1px 1px; border: 2px solid transparent;
    border-bottom: 1px solid {t.soft}; border-radius: 0; }}
QToolButton#link:hover {{ color: {t.accent}; background: transparent; }}
QToolButton#link:focus {{ padding: 0 1px; border: 2px solid {t.accent}; }}
QLabel {{ background: transparent; color: {t.ink}; }}
QLabel[role="caption"] {{ color: {t.soft}; }}
QLabel[role="soft"] {{ color: {t.soft}; }}
QLabel[role="warn"] {{ color: {t.warn}; }}
QLabel[role="bad"] {{ color: {t.bad}; }}
QLabel[role="good"] {{ color: {t.good}; }}
QLabel[role="accent"] {{ color: {t.accent}; }}

QMenuBar {{ background: {t.page}; color: {t.ink}; padding: 2px 6px; }}
QMenuBar::item {{ padding: 4px 9px; border-radius: 5px; background: transparent; }}
QMenuBar::item:selected {{ background: {t.hover}; }}
QMenu {{ background: {t.card}; color: {t.ink}; border: 1px solid {t.rule}; padding: 5px; }}
QMenu::item {{ padding: 5px 26px 5px 22px; border-radius: 5px; }}
QMenu::item:selected {{ background: {t.accent_wash}; color: {t.ink}; }}
QMenu::item:disabled {{ color: {t.soft}; }}
QMenu::separator {{ height: 1px; background: {t.rule}; margin: 5px 8px; }}
QStatusBar {{ background: {t.page}; color: {t.soft}; }}
QStatusBar::item {{ border: none; }}
QStatusBar QLabel {{ color: {t.soft}; padding: 0 4px; }}

QPushButton {{ background: {t.card}; color: {t.ink}; border: 1px solid {t.field};
    border-radius: 6px; padding: 5px 12px; min-height: 16px; }}
QPushButton:hover {{ background: {t.hover}; }}
QPushButton:focus {{ border: 2px solid {t.accent}; padding: {less(5)} {less(12)}; }}
QPushButton:disabled {{ color: {t.soft}; }}
QPushButton:default {{ background: {t.accent}; color: {t.accent_ink}; border-color: {t.accent}; }}
QPushButton:default:focus {{ border: 2px solid {t.ink}; }}
QPushButton:default:disabled {{ background: {t.card}; color: {t.soft};
  border: 1px dashed {t.field}; }}
QDialogButtonBox, QMessageBox {{ dialogbuttonbox-buttons-have-icons: 0; }}
QToolButton {{ background: transparent; color: {t.ink}; border: 2px solid transparent;
    border-radius: 6px; padding: 2px 6px; }}
QToolButton:hover {{ background: {t.hover}; }}
QToolButton:checked {{ background: {t.accent_wash}; color: {t.ink}; }}
QToolButton:focus {{ border: 2px solid {t.accent}; }}
QPushButton#segment {{ background: {t.card}; border: 1px solid {t.field}; padding: 4px 5px;
    min-height: 16px; }}
QPushButton#segment:hover {{ background: {t.hover}; }}
QPushButton#segment:checked {{ background: {t.accent_wash}; border-bottom: 3px solid {t.accent};
    padding: 4px 5px 2px; }}
QPushButton#segment:focus {{ border: 2px solid {t.accent}; padding: {less(4)} {less(5)}; }}
#extent QToolButton {{ padding: 0 6px; border-radius: 5px; }}
QToolButton:disabled {{ color: {t.soft}; }}
QToolButton::menu-indicator {{ image: none; }}

QLineEdit, QPlainTextEdit, QTextEdit, QSpinBox {{ background: {t.card}; color: {t.ink};
    border: 1px solid {t.field}; border-radius: 6px; padding: 4px 7px;
    selection-background-color: {t.accent}; selection-color: {t.accent_ink}; }}
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QSpinBox:focus {{
    border: 2px solid {t.accent}; padding: {less(4)} {less(7)}; }}
QLineEdit:disabled, QComboBox:disabled {{ background: transparent; color: {t.soft}; }}
QLineEdit:read-only {{ background: transparent; border-color: {t.rule}; }}
QLineEdit[bad="true"], QPlainTextEdit[bad="true"] {{ border: 2px solid {t.bad};
    background: {t.bad_wash}; padding: {less(4)} {less(7)}; }}
QLineEdit#figure {{ padding: 0 {less(7)}; }}
QComboBox {{ background: {t.card}; color: {t.ink}; border: 1px solid {t.field};
    border-radius: 6px; padding: 4px 8px; min-height: 16px; combobox-popup: 0; }}
QComboBox:hover {{ background: {t.hover}; }}
QComboBox QLineEdit, QSpinBox QLineEdit {{ background: transparent; border: none; padding: 0; }}
QSpinBox::up-button, QSpinBox::down-button {{ width: 0; border: none; }} /* the arrow keys do it */
QComboBox:focus {{ border: 2px solid {t.accent}; padding: {less(4)} {less(8)}; }}
QComboBox::drop-down {{ border: none; width: 20px; }}
QComboBox::down-arrow {{ image: url("{_icon_url("chevron", t)}"); width: 10px; height: 10px; }}
QComboBox QAbstractItemView {{ background: {t.card}; color: {t.ink}; border: 1px solid {t.rule};
    selection-background-color: {t.accent_wash}; selection-color: {t.ink}; padding: 4px; }}
QCheckBox, QRadioButton {{ color: {t.ink}; spacing: 7px; border: 2px solid transparent;
    border-radius: 5px; }}
QCheckBox:focus, QRadioButton:focus {{ border: 2px solid {t.accent}; }}
QCheckBox::indicator {{ width: 12px; height: 12px; border: 1px solid {t.field};
    border-radius: 3px; background: {t.card}; }}
QCheckBox::indicator:checked {{ border-color: {t.accent}; background: {t.accent};
    image: url("{_icon_url("check", t)}"); }}

QRadioButton::indicator {{ width: 12px; height: 12px; border: 1px solid {t.field};
    border-radius: 7px; background: {t.card}; }}
QRadioButton::indicator:checked {{ width: 6px; height: 6px; border: 4px solid {t.accent}; }}
QRadioButton:disabled {{ color: {t.soft}; }}

QTableView {{ background: {t.card}; color: {t.ink}; border: none; gridline-color: transparent;
    selection-background-color: {t.accent_wash}; selection-color: {t.ink}; }}
QHeaderView {{ background: {t.card}; border: none; }}
QHeaderView::section {{ background: {t.card}; color: {t.soft}; border: none;
    border-bottom: 1px solid {t.rule}; padding: 5px 8px; font-weight: normal; }}
QTableCornerButton::section {{ background: {t.card}; border: none; }}
QListView {{ background: transparent; color: {t.ink}; border: none; }}
QListView::item {{ padding: 4px 7px; border-radius: 6px; border: 2px solid transparent; }}
QListView::item:focus {{ border: 2px solid {t.accent}; }}
QListView::item:hover {{ background: {t.hover}; }}
QListView::item:selected {{ background: {t.accent_wash}; color: {t.ink}; }}
QScrollArea {{ background: transparent; border: none; }}
#read {{ border: 2px solid transparent; border-radius: 6px; }}
#read:focus {{ border: 2px solid {t.accent}; }}
QScrollArea > QWidget > QWidget {{ background: transparent; }}
QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
QScrollBar:horizontal {{ background: transparent; height: 10px; margin: 0; }}
QScrollBar::handle {{ background: {t.field}; border-radius: 4px; min-height: 24px;
    min-width: 24px; margin: 1px; }}
QScrollBar::handle:hover {{ background: {t.ink}; }}
QScrollBar::handle:disabled {{ background: transparent; }}
QScrollBar::add-line, QScrollBar::sub-line, QScrollBar::add-page, QScrollBar::sub-page {{
    background: none; border: none; width: 0; height: 0; }}
QSplitter::handle {{ background: transparent; }}
QTabBar::tab {{ background: transparent; color: {t.soft}; padding: 4px 10px;
    border: 2px solid transparent; }}
QTabBar::tab:selected {{ color: {t.ink}; border-bottom: 2px solid {t.accent}; }}
QTabBar::tab:selected:focus {{ border: 2px solid {t.accent}; border-radius: 6px; }}
QTabWidget::pane {{ border: none; border-top: 1px solid {t.rule}; }}
QProgressBar {{ background: {t.well}; border: 1px solid {t.field}; border-radius: 5px;
    text-align: center; color: {t.ink}; min-height: 14px; }}
QProgressBar::chunk {{ background: {t.accent}; border-radius: 4px; }}
QProgressBar#thin {{ min-height: 4px; max-height: 4px; border: none; border-radius: 2px; }}
QProgressBar#thin::chunk {{ border-radius: 2px; }}
QSlider::groove:horizontal {{ background: {t.field}; height: 4px; border-radius: 2px; }}
QSlider::handle:horizontal {{ background: {t.accent}; width: 12px; height: 12px;
    margin: -6px 0; border-radius: 8px; border: 2px solid {t.card}; }}
QSlider::handle:horizontal:focus {{ border: 2px solid {t.ink}; }}
"""


def _icon_url(name: str, tokens: Tokens) -> str:
    return resource("icons", f"{name}-{tokens.name}.svg").as_posix()
