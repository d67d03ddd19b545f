"""Photographs of the job in hand: small ones, by reference, opened in the system's own viewer."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QObject, QSize, Qt, QUrl
from PySide6.QtGui import (
    QColor,
    QDesktopServices,
    QIcon,
    QImage,
    QImageReader,
    QKeyEvent,
    QPainter,
    QPixmap,
)
from PySide6.QtWidgets import QFileDialog, QGridLayout, QToolButton, QWidget

from taperlab.files.photographs import ENDINGS, LARGEST, found_at, may_be_one
from taperlab.gui.kit.theme import SMALL, font, pen, px
from taperlab.gui.kit.widgets import Card, Link, Remark, caption, in_row
from taperlab.gui.pages.jobs.case import JobsCase
from taperlab.shop.steps import Steps
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence

LANE = "photographs"

ACROSS = 3
"""Photographs side by side."""

WIDE, HIGH = 62, 48
"""Of a small one, for usual letters [px]."""

SHARP = 2
"""Dots of a small one for each of the window's: what a fine screen shows."""

MOST_PIXELS = 120_000_000
"""Of a photograph that is looked at."""

Small = tuple[str, QImage | None]
"""What a bench names a photograph, and what is seen of it; None where it can't be looked at."""


def read_small(asked: tuple[tuple[str, Path | None], ...], size: QSize) -> Steps[list[Small]]:
    """Photographs as small as they are shown, one after the other."""
    found: list[Small] = []
    for number, (kept, path) in enumerate(asked):
        found.append((kept, _small(path, size) if path is not None else None))
        yield (number + 1) / len(asked)
    return found


def _small(path: Path, size: QSize) -> QImage | None:
    try:
        if not may_be_one(path) or path.stat().st_size > LARGEST:
            return None
    except (OSError, ValueError):
        return None
    reader = QImageReader(str(path))
    # By what is in it: what is called a picture and is a document may name other files.
    if bytes(reader.format().data()).decode("ascii", "replace") not in ENDINGS:
        return None
    reader.setAutoTransform(True)
    whole = reader.size()
    if whole.isValid():
        if whole.width() * whole.height() > MOST_PIXELS:
            return None
        reader.setScaledSize(whole.scaled(size, Qt.AspectRatioMode.KeepAspectRatio))
    image = reader.read()
    if image.isNull():
        return None
    keep, smooth = Qt.AspectRatioMode.KeepAspectRatio, Qt.TransformationMode.SmoothTransformation
    return image if whole.isValid() else image.scaled(size, keep, smooth)


class PhotographsCard(Card):
    """Small photographs in rows. Enter opens one, Delete lets the job no longer name it."""

    def __init__(self, case: JobsCase) -> None:
        super().__init__(tr("Photographs"), spacing=6)
        self._case = case
        self._asked: tuple[tuple[str, Path | None], ...] | None = None
        self._images: dict[str, QImage | None] = {}
        self.attach = Link(
            tr("Attach…"),
            tr("Name photographs of this job; the files stay where they are"),
            self.choose,
            tr("Attach photographs"),
        )
        self.buttons: list[QToolButton] = []
        rows = QWidget()
        self._grid = QGridLayout(rows)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(4)
        self._grid.setColumnStretch(ACROSS, 1)
        self.missing = Remark("soft", points=8.5)
        self.add(in_row((caption(tr("Photographs")), 1), self.attach), rows, self.missing)
        case.place.theme.changed.connect(self._draw)
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show those of the job in hand; what is not read yet comes a moment later."""
        listed, job = self._case.in_hand, self._case.job
        self.setVisible(listed is not None and (job is not None or bool(listed.job.photographs)))
        self.attach.setVisible(job is not None)
        if listed is None:
            self._asked = None
            return
        # Of the bench in hand, as it is saved by now.
        file = listed.file if job is None else self._case.place.document.path
        asked = tuple((kept, found_at(kept, file)) for kept in listed.job.photographs)
        if asked == self._asked:
            return
        self._asked, self._images = asked, {}
        self._show()
        if asked:
            size = QSize(SHARP * px(WIDE), SHARP * px(HIGH))
            self._case.place.jobs.run(LANE, read_small, asked, size, done=self._take)

    def look_again(self) -> None:
        """Look whether files have come or gone."""
        self._asked = None
        self.refresh()

    def _take(self, small: list[Small]) -> None:
        if self._asked is not None and [kept for kept, _ in small] == [k for k, _ in self._asked]:
            self._images = dict(small)
            self._show()

    # -- showing -------------------------------------------------------------------------------

    def _show(self) -> None:
        asked = self._asked or ()
        while len(self.buttons) > len(asked):
            button = self.buttons.pop()
            self._grid.removeWidget(button)
            button.deleteLater()
        while len(self.buttons) < len(asked):
            button = QToolButton()
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
            button.clicked.connect(self._pressed)
            button.installEventFilter(self)
            at = len(self.buttons)
            self._grid.addWidget(button, at // ACROSS, at % ACROSS)
            self.buttons.append(button)
        gone = [kept for kept, image in self._images.items() if image is None]
        for button, (kept, path) in zip(self.buttons, asked, strict=True):
            name = Path(kept).name
            if kept in gone:
                text = tr("{name}: not there, or no picture").format(name=name)
            else:
                text = tr("Open {name}; Delete takes it off this job").format(name=name)
            button.setAccessibleName(text)
            button.setToolTip(f"{text}\n{path or kept}")
            button.setProperty("photograph", kept)
        said = ""
        if gone:
            names = ", ".join(Path(each).name for each in gone)
            words = Sentence("Not there, or no picture that can be shown: {names}.", names=names)
            said = self._case.place.read(words)
        self.missing.say(said)
        self._draw()

    def _draw(self) -> None:
        size = QSize(px(WIDE), px(HIGH))
        for button, (kept, _) in zip(self.buttons, self._asked or (), strict=True):
            button.setIconSize(size)
            image = self._images.get(kept)
            is_missing = kept in self._images and image is None
            button.setIcon(QIcon(self._pixmap(image, Path(kept).name, is_missing, size)))

    def _pixmap(self, image: QImage | None, name: str, is_missing: bool, size: QSize) -> QPixmap:
        """A small photograph in its frame; of one that is not there, a dashed frame."""
        tokens = self._case.place.theme.tokens
        made = QPixmap(size * SHARP)
        made.setDevicePixelRatio(SHARP)
        made.fill(Qt.GlobalColor.transparent)
        painter = QPainter(made)
        frame = made.rect().size() / SHARP
        if image is not None:
            seen = image.size().scaled(frame, Qt.AspectRatioMode.KeepAspectRatio)
            left, top = (frame.width() - seen.width()) // 2, (frame.height() - seen.height()) // 2
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            target = made.rect()
            target.setRect(left, top, seen.width(), seen.height())
            painter.drawImage(target, image)
        else:
            painter.setPen(pen(tokens.field, 1.0, (4.0, 3.0) if is_missing else None))
            painter.drawRect(0, 0, frame.width() - 1, frame.height() - 1)
            painter.setPen(QColor(tokens.soft))
            painter.setFont(font(SMALL))
            room = made.rect()
            room.setRect(3, 0, frame.width() - 6, frame.height())
            text = painter.fontMetrics().elidedText(
                name, Qt.TextElideMode.ElideMiddle, room.width()
            )
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)
        painter.end()
        return made

    # -- what a person does ----------------------------------------------------------------------

    def _pressed(self) -> None:
        self.open(self.sender().property("photograph"))

    def open(self, kept: str) -> None:
        """Open a photograph in the system's own viewer, if it is one."""
        path = dict(self._asked or ()).get(kept)
        name = Path(kept).name
        if path is None or not may_be_one(path):
            self._case.place.host.say_problem(
                Sentence("{file} is not there, or no picture.", file=name)
            )
        elif not QDesktopServices.openUrl(QUrl.fromLocalFile(str(path))):
            self._case.place.host.say_problem(
                Sentence("There is no program here that shows {file}.", file=name)
            )

    def choose(self) -> None:
        """Ask for photographs and let the job name them."""
        path = self._case.place.document.path
        kinds = " ".join(f"*.{each}" for each in ENDINGS)
        names, _ = QFileDialog.getOpenFileNames(
            self._case.place.host.parent_widget,
            tr("Photographs of the job"),
            str(path.parent) if path is not None else "",
            tr("Pictures") + f" ({kinds})",
        )
        self._case.attach([Path(name) for name in names])

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Delete lets the job no longer name the photograph that has the keys."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() is QEvent.Type.KeyPress
            and event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)
            and self._case.job is not None
        ):
            self._case.detach(watched.property("photograph"))
            return True
        return super().eventFilter(watched, event)
