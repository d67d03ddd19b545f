"""What the File menu does: opening, saving, tables, pictures, and work left behind."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QFileDialog, QMessageBox

from taperlab.edits import lines as line_edits
from taperlab.files.disk import is_one_file
from taperlab.files.folders import home
from taperlab.files.names import file_name
from taperlab.files.native import SUFFIX, read_bench, write_bench
from taperlab.files.opening import Opened, Shelf, reading, reading_table
from taperlab.files.problem import FileProblem
from taperlab.files.recovery import KEPT, LeftCopy
from taperlab.files.standing import Standing, when
from taperlab.gui.frame.page_stack import PageStack
from taperlab.gui.kit.banner import Banner, BannerColumn
from taperlab.gui.kit.host import Workplace
from taperlab.gui.state.bench_file import BenchFile
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.shipped import sample
from taperlab.shop.steps import Steps
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, counted

if TYPE_CHECKING:
    from taperlab.files.table import Layout

DEMO = "scandi.taperlab"


class FileMenu(QObject):
    """Opens and saves, asking where something has to be decided.

    arrived(Sentence): another bench is current, and where it comes from.
    """

    arrived = Signal(object)

    def __init__(
        self,
        place: Workplace,
        file: BenchFile,
        pages: PageStack,
        banners: BannerColumn,
    ) -> None:
        super().__init__(place.host.parent_widget)
        self._place = place
        self._file = file
        self._pages = pages
        self._banners = banners
        self._window = place.host.parent_widget
        self._chosen: tuple[Path, ...] = ()

    def open_demo(self) -> None:
        """Put up a copy of the demo bench: it has no file, so it can't be overwritten."""
        self._put_up_sample(DEMO)
        self._pages.take_keys()

    def open_sample(self, name: str) -> None:
        """Put up a copy of a sample bench."""
        if self.may_leave():
            self._put_up_sample(name)
            self.arrived.emit(Sentence("A copy of the sample: save it under a name to keep it"))

    def _put_up_sample(self, name: str) -> None:
        try:
            self._file.put_in_hand(read_bench(sample(name)), None)
        except FileProblem as problem:
            self._place.host.show_problem(problem.sentence)
            self._file.put_in_hand(Bench(), None)

    def new_bench(self) -> None:
        """Put up a bench with the starter rods and stock, and one empty line."""
        from taperlab.trade.starters import starter_rods, starter_stock

        if not self.may_leave():
            return
        bench = Bench(rods=starter_rods(), stock=starter_stock())
        bench = line_edits.add_line(bench, tr("New line")).bench
        self._file.put_in_hand(bench, None)
        self.arrived.emit(Sentence("A new bench, with the starter rods and stock"))

    def choose_and_open(self) -> None:
        """Ask for a file and open it."""
        kinds = {tr("Benches and lines"): f"*{SUFFIX} *.csv *.tsv *.txt", tr("All files"): "*"}
        path = self._ask_for_file(tr("Open a bench or a line"), kinds)
        if path is not None:
            self.open_path(path)

    def open_path(self, path: Path) -> bool:
        """Open a bench, or read a line in from a table; the content decides, not the name.

        False where it is known at once that this can't be; a large file is still being read.
        """
        return self._read(path, reading(path))

    def _read(self, path: Path, steps: Steps[Opened | Line | Shelf | Layout]) -> bool:
        from taperlab.gui.dialogs.reading import is_small, read_beside

        take = partial(self._take, path)
        return read_beside(steps, is_small(path), path.name, self._place, take)

    def _take(self, path: Path, found: Opened | Line | Shelf | Layout | FileProblem) -> bool:
        """Put in hand, or on the bench, what was read from a file; or say why not."""
        from taperlab.gui.dialogs.table_import import TableImportDialog, put_on_bench

        if isinstance(found, FileProblem):
            self._place.host.show_problem(found.sentence)
            settings = self._place.settings
            if not path.exists():
                settings.use(settings.preferences.without_recent(path))
            return False
        if isinstance(found, Line):
            return put_on_bench(found, self._place)
        if isinstance(found, Shelf):
            return self._put_on_shelf(found)
        if not isinstance(found, Opened):
            TableImportDialog(found, path.name, path.stem, self._place).open()
            return True
        if not self.may_leave():
            return False
        self._file.put_in_hand(found.bench, path, found.digest)
        self.arrived.emit(Sentence("Opened {file}", file=path.name))
        return True

    def _put_on_shelf(self, found: Shelf) -> bool:
        """Add the stock of a table to the bench in hand, and lead to it."""
        from taperlab.edits.stock import add_stock

        outcome = self._place.do(add_stock, found.stock)
        if outcome.refused:
            self._place.host.show_problem(outcome.refused)
            return False
        self._place.host.show_page("pieces")
        return True

    def _where(self) -> str:
        """The folder to look in first: that of the bench, or where a file was last chosen."""
        path = self._place.document.path
        recent = map(Path, self._place.settings.preferences.recent_files)
        folders = [path.parent] if path else [*self._chosen, *(each.parent for each in recent)]
        there = (each for each in folders if each.is_dir())
        return str(next(there, home() or Path.cwd()))

    def _beside(self, suffix: str, thing: Line | Rig | None) -> str:
        """A file named for a line or a rig, in the folder of the bench."""
        name = file_name(thing.name if thing else "", "line")
        return str(Path(self._where()) / f"{name}{suffix}")

    def _ask_for_file(self, title: str, kinds: dict[str, str]) -> Path | None:
        """A file to read; kinds: what is offered, by name."""
        name, _ = QFileDialog.getOpenFileName(self._window, title, self._where(), _filters(kinds))
        return self._took(name) if name else None

    def _took(self, name: str) -> Path:
        """A file that was chosen; the next is looked for beside it."""
        self._chosen = (Path(name).parent,)
        return Path(name)

    def _ask_where(self, title: str, start: str, kinds: dict[str, str]) -> Path | None:
        """A file to write, with the ending of the kind that is chosen if it has none of them.

        None where nothing was chosen, or a file that has that name by now is to be kept: the
        file dialog asked for the name as it was typed alone.
        """
        name, chosen = QFileDialog.getSaveFileName(self._window, title, start, _filters(kinds))
        endings = [each[1:] for pattern in kinds.values() for each in pattern.split()]
        if not name or name.lower().endswith(tuple(endings)):
            return self._took(name) if name else None
        path = self._took(
            name + next((each for each in endings if f"(*{each}" in chosen), endings[0])
        )
        question = Sentence("{file} is there already. Replace it?", file=path.name)
        buttons = QMessageBox.StandardButton
        if path.exists() and buttons.Yes != QMessageBox.question(
            self._window, "Taperlab", self._place.read(question)
        ):
            return None
        return path

    def _write(self, path: Path, write: Callable[[Path], object]) -> bool:
        """Write a file, and say so or why not; whether it was written."""
        try:
            write(path)
        except FileProblem as problem:
            self._place.host.show_problem(problem.sentence)
            return False
        self._place.host.say(Sentence("Exported {file}", file=path.name))
        return True

    def choose_and_import(self) -> None:
        """Ask for a table and read a line in from it."""
        kinds = {tr("Tables"): "*.csv *.tsv *.txt", tr("All files"): "*"}
        path = self._ask_for_file(tr("Import a line"), kinds)
        if path is not None:
            self.import_path(path)

    def import_path(self, path: Path) -> bool:
        """Read a line in from a table; a preview asks where units or columns need a decision."""
        return self._read(path, reading_table(path))

    def choose_and_export(self) -> None:
        """Ask for a file and write the current line to it as a table."""
        from taperlab.files.delimited import write_line

        self._place.host.commit()
        line = self._place.document.line
        if line is None:
            return
        title, kinds = tr("Export the line"), {tr("Tables"): "*.csv *.txt"}
        path = self._ask_where(title, self._beside(".csv", line), kinds)
        if path is not None:
            self._write(path, lambda path: write_line(line, path, self._place.system))

    def choose_and_export_plots(self) -> None:
        """Ask for a file and write the plots of the page that is shown to it as PNG or SVG."""
        plots = self._pages.current.plots
        if plots is None:
            return
        kinds = {tr("PNG picture"): "*.png", tr("SVG drawing"): "*.svg"}
        beside = self._beside(".png", self._place.document.shown)
        path = self._ask_where(tr("Export the plots as a picture"), beside, kinds)
        if path is not None:
            is_svg = path.suffix.lower() == ".svg"
            self._write(path, plots.export_svg if is_svg else plots.export_png)

    def choose_and_give_away(self) -> None:
        """Ask what is left out, and write the bench without it to another file."""
        from taperlab.gui.dialogs.give_away import GiveAwayDialog

        self._place.host.commit()
        GiveAwayDialog(self._place, self._give_away).open()

    def _give_away(self, bench: Bench) -> bool:
        from taperlab.shop.personal import names_somebody

        here = self._place.document.path
        name = tr("to give away")
        # The name of the file may be that of a customer.
        if here is not None and not names_somebody(self._place.document.bench, here.stem):
            name = f"{here.stem} {name}"
        start = str(Path(self._where()) / f"{file_name(name, 'bench')}{SUFFIX}")
        title = tr("Export without personal data")
        path = self._ask_where(title, start, {tr("Benches"): f"*{SUFFIX}"})
        if path is None:
            return False
        if here is not None and is_one_file(path, here):
            self._place.host.show_problem(
                Sentence("{file} is the bench itself: export to another name.", file=path.name)
            )
            return False
        written = self._write(path, lambda path: write_bench(bench, path))
        if written and names_somebody(self._place.document.bench, path.stem):
            self._place.host.show_problem(
                Sentence("{file} names somebody by its own name.", file=path.name)
            )
        return True

    def save(self) -> bool:
        """Save to the bench's file, asking for one if it has none."""
        self._place.host.commit()
        path = self._place.document.path
        if path is None:
            return self.save_as()
        return self._save_to(path)

    def _save_to(self, path: Path) -> bool:
        """Save to a file; photographs of jobs are named from where that lies."""
        document = self._place.document
        if path == document.path or not document.bench.jobs:
            return self._saved_to(path)
        # Loaded with the first job that is saved elsewhere: no start needs them.
        from taperlab.edits.jobs import rename_photographs
        from taperlab.files.photographs import names_from

        names = names_from(document.bench, document.path, path)
        if names:
            document.apply(rename_photographs, names)
        saved = self._saved_to(path)
        if names and not saved:
            document.undo_stack.undo()
        return saved

    def _saved_to(self, path: Path) -> bool:
        saved = self._file.save(path)
        if isinstance(saved, Standing):
            answer = self._ask_about_change(saved)
            if answer is not QMessageBox.StandardButton.Save:
                return answer is QMessageBox.StandardButton.SaveAll and self.save_as()
            saved = self._file.save(path, over=True)
        if saved is not True:
            return False
        self._place.host.say(Sentence("Saved {file}", file=path.name))
        return True

    def _ask_about_change(self, standing: Standing) -> QMessageBox.StandardButton:
        """Save: over what is there; SaveAll stands for another name; Cancel."""
        buttons = QMessageBox.StandardButton
        title = self._place.document.title
        if self._file.is_got_back:
            changed = Sentence(
                "{file} has changed on disk since the edits that you got back were begun.",
                file=title,
            )
        else:
            changed = Sentence("{file} has changed on disk since it was opened here.", file=title)
        detail = [tr("Saving over it loses what was changed there.")]
        if standing.differing:
            what = Sentence("They differ: {what}.", what=standing.differing)
            detail.insert(0, self._place.read(what))
        if standing.file_saved is not None:
            at = Sentence(
                "Another window, program or computer saved it at {time}.",
                time=when(standing.file_saved),
            )
            detail.insert(0, self._place.read(at))
        box = self._box(
            QMessageBox.Icon.Warning,
            changed,
            " ".join(detail),
            buttons.Save | buttons.SaveAll | buttons.Cancel,
        )
        box.button(buttons.Save).setText(tr("Overwrite"))
        box.button(buttons.SaveAll).setText(tr("Save as…"))
        box.setDefaultButton(buttons.SaveAll)
        return buttons(box.exec())

    def save_as(self) -> bool:
        """Ask for a file and save to it."""
        self._place.host.commit()
        start = str(self._place.document.path or Path(self._where(), f"bench{SUFFIX}"))
        path = self._ask_where(tr("Save the bench"), start, {tr("Benches"): f"*{SUFFIX}"})
        return path is not None and self._save_to(path)

    def may_leave(self) -> bool:
        """Whether the current bench may be put away: saved, or given up by its owner."""
        self._place.host.commit()
        if not self._place.document.is_dirty:
            return True
        buttons = QMessageBox.StandardButton
        box = self._box(
            QMessageBox.Icon.Question,
            Sentence("Save the changes to {file}?", file=self._place.document.title),
            tr("Without saving, they are lost."),
            buttons.Save | buttons.Discard | buttons.Cancel,
        )
        box.setDefaultButton(buttons.Save)
        answer = box.exec()
        if answer == buttons.Save:
            return self.save()
        return answer == buttons.Discard

    def _box(
        self,
        icon: QMessageBox.Icon,
        question: Sentence,
        detail: str,
        buttons: QMessageBox.StandardButton,
    ) -> QMessageBox:
        box = QMessageBox(icon, "Taperlab", self._place.read(question), buttons, self._window)
        box.setInformativeText(detail)
        return box

    # -- work left behind -----------------------------------------------------------------------

    def offer_left_copies(self) -> Banner | None:
        """Offer what earlier runs left behind without saving, if there is anything."""
        left = self._file.left_copies()
        if not left:
            return None
        if len(left) == 1:
            return self._offer(left[0])
        sentence = counted(
            "Taperlab was ended without saving {count} bench; its edits were kept.",
            "Taperlab was ended without saving {count} benches; their edits were kept.",
            len(left),
        )
        return self._banners.show_banner(
            self._place.read(sentence),
            [(tr("Show them…"), self.show_left_work), (tr("Later"), None)],
        )

    def _offer(self, left: LeftCopy) -> Banner:
        choices: list[tuple[str, Callable[[], object] | None]] = [
            (tr("Later"), None),
            (tr("Throw them away"), partial(self.throw_away, left)),
        ]
        if left.can_be_read:
            choices.insert(0, (tr("Get them back"), partial(self.get_back, left)))
        return self._banners.show_banner(self._place.read(left.words()), choices)

    def show_left_work(self) -> None:
        """Show all work that was left behind, and what was thrown away of it."""
        from taperlab.gui.dialogs.left_work import LeftWorkDialog

        self._place.host.commit()
        LeftWorkDialog(self._place, self._file, self.get_back, self.throw_away).open()

    def get_back(self, left: LeftCopy) -> bool:
        """Put work that was left behind in hand; False where that was not wanted, or failed."""
        if not (self.may_leave() and self._file.get_back(left)):
            return False
        self.arrived.emit(
            Sentence("Got the edits of {file} back: save them", file=self._place.document.title)
        )
        return True

    def throw_away(self, left: LeftCopy) -> bool:
        """Offer work that was left behind no more; False, and a message, where it can't be."""
        try:
            left.throw_away()
        except FileProblem as problem:
            self._place.host.show_problem(problem.sentence)
            return False
        self._place.host.say(
            counted(
                "Thrown away; for {count} day it can be had under File, Unsaved work",
                "Thrown away; for {count} days it can be had under File, Unsaved work",
                KEPT.days,
            )
        )
        return True


def _filters(kinds: dict[str, str]) -> str:
    """Kinds of file as a file dialog takes them."""
    return ";;".join(f"{name} ({pattern})" for name, pattern in kinds.items())
