"""Exports the film: its frames are drawn here, one a turn, and written beside the window."""

from __future__ import annotations

from collections.abc import Callable, Generator
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QFileDialog, QMenu, QWidget

from taperlab.files.animation import ENDINGS, Frame, write_animation, write_frames
from taperlab.files.names import file_name
from taperlab.files.problem import FileProblem
from taperlab.gui.kit.host import Workplace
from taperlab.gui.pages.air.drawing import AirDrawing
from taperlab.gui.pages.air.player import Player
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence, counted

LANE = "air export"

PER_SECOND = 25
"""Pictures a second, at the speed that the film is played at."""

MOST = 150
"""Of a longer film fewer pictures a second are made."""

STILL = 1000
"""How long a still is shown [ms]."""

DRAWN = 0.5
"""The share of the work that drawing is."""


class FilmExport(QObject):
    """Draws and writes the film of the page, once at a time.

    share: how far it is, from 0 to 1, nothing while it does nothing. changed(): that is another.
    """

    changed = Signal()

    def __init__(self, place: Workplace, drawing: AirDrawing, player: Player) -> None:
        super().__init__(drawing)
        self._place, self._drawing, self._player = place, drawing, player
        self.share: float | None = None
        self._frames: list[Frame] = []
        self._times: tuple[float, ...] = ()
        self._write: Callable[[list[Frame]], None] = lambda _frames: None
        self._turn = QTimer(self)
        self._turn.setInterval(0)
        self._turn.timeout.connect(self._draw_one)
        place.jobs.progress.connect(self._progress)

    @property
    def is_working(self) -> bool:
        """Whether a film is being exported."""
        return self.share is not None

    def offer(self, parent: QWidget) -> QMenu:
        """The two ways to export it."""
        menu = QMenu(parent)
        menu.addAction(tr("Animated picture…"), self.ask_picture)
        menu.addAction(tr("Frames in a folder…"), self.ask_folder)
        return menu

    def ask_picture(self) -> None:
        """Ask for a file, and write the film to it."""
        kinds = {".gif": tr("GIF picture"), ".png": tr("PNG picture"), ".webp": tr("WebP picture")}
        start = str(self._folder() / f"{self._name()}.gif")
        named, chosen = QFileDialog.getSaveFileName(
            self._place.host.parent_widget,
            tr("Export the film as an animated picture"),
            start,
            ";;".join(f"{kinds[ending]} (*{ending})" for ending in ENDINGS),
        )
        if not named:
            return
        path = Path(named)
        if not path.suffix:
            path = path.with_suffix(next((each for each in ENDINGS if each in chosen), ".gif"))
        self.write_picture(path)

    def ask_folder(self) -> None:
        """Ask for a folder, and write the frames into it."""
        named = QFileDialog.getExistingDirectory(
            self._place.host.parent_widget, tr("A folder for the frames"), str(self._folder())
        )
        if named:
            self.write_frames(Path(named))

    def write_picture(self, path: Path) -> None:
        """Write the film as an animated picture."""
        step = self._begin()
        said = Sentence("Exported {file}", file=path.name)
        self._write = lambda frames: self._run(
            said, _told, write_animation, tuple(frames), path, step
        )

    def write_frames(self, folder: Path) -> None:
        """Write the film's frames into a folder."""
        self._begin()
        name = self._name()
        said = counted(
            "{count} frame in {folder}",
            "{count} frames in {folder}",
            len(self._times),
            folder=folder,
        )
        self._write = lambda frames: self._run(
            said, _told, write_frames, tuple(frames), folder, name
        )

    def stop(self) -> None:
        """Export no more; a picture that is not whole is not written."""
        self._turn.stop()
        self._place.jobs.cancel(LANE)
        self._end(Sentence("Stopped: the film was not exported."))

    # -- how it goes ---------------------------------------------------------------------------

    def _begin(self) -> int:
        """Draw from now on; how long a frame is shown [ms]."""
        player = self._player
        player.pause()
        if self._drawing.is_still:
            self._times, step = player.stills, STILL
        else:
            long = player.length / player.rate
            count = max(2, min(MOST, round(long * PER_SECOND)))
            self._times = tuple(player.length * i / (count - 1) for i in range(count))
            step = max(20, round(1000.0 * long / (count - 1)))
        self._frames = []
        self.share = 0.0
        self._turn.start()
        self.changed.emit()
        return step

    def _draw_one(self) -> None:
        if len(self._frames) < len(self._times):
            self._frames.append(_frame(self._drawing.picture(self._times[len(self._frames)])))
            self.share = DRAWN * len(self._frames) / len(self._times)
            self.changed.emit()
            return
        self._turn.stop()
        self._write(self._frames)
        self._frames = []

    def _run(self, said: Sentence, work: Callable[..., Any], *arguments: Any) -> None:
        self._place.jobs.run(
            LANE,
            work,
            *arguments,
            done=lambda problem: self._end(said, problem),
            failed=self._end,
        )

    def _progress(self, lane: str, share: float) -> None:
        if lane == LANE:
            self.share = DRAWN + (1.0 - DRAWN) * share
            self.changed.emit()

    def _end(self, said: Sentence, problem: Sentence = NOTHING) -> None:
        self.share = None
        self.changed.emit()
        if problem:
            self._place.host.show_problem(problem)
        else:
            self._place.host.say(said)

    def _name(self) -> str:
        shown = self._place.document.shown
        return file_name(shown.name if shown is not None else "", "film")

    def _folder(self) -> Path:
        path = self._place.document.path
        return path.parent if path is not None else Path.home()


def _told(
    work: Callable[..., Generator[float, None, int]], *arguments: Any
) -> Generator[float, None, Sentence]:
    """The work, and in the end what was wrong with the file, if anything was."""
    try:
        yield from work(*arguments)
    except FileProblem as problem:
        return problem.sentence
    return NOTHING


def _frame(image: QImage) -> Frame:
    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    width, height, per_line = plain.width(), plain.height(), plain.bytesPerLine()
    whole = bytes(plain.constBits())
    rows = (whole[y * per_line : y * per_line + 3 * width] for y in range(height))
    return Frame(width, height, b"".join(rows))
