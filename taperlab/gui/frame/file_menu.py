"""What the File menu does: opening, saving, tables, pictures, and work left behind."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QMessageBox

from taperlab.edits import lines as line_edits
from taperlab.files.native import SUFFIX, read_bench
from taperlab.files.opening import is_native
from taperlab.files.problem import FileProblem
from taperlab.files.reading import read_bytes
from taperlab.files.recovery import LeftCopy
from taperlab.gui.kit.banner import Banner
from taperlab.gui.kit.weak_call import WeakCall
from taperlab.gui.state.bench_file import when
from taperlab.model.bench import Bench
from taperlab.shipped import sample

if TYPE_CHECKING:
    from taperlab.gui.frame.window import Window

DEMO = "scandi.taperlab"


class FileMenu:
    """Opens and saves for a window, asking where something has to be decided."""

    def __init__(self, window: Window) -> None:
        self._window = window

    def open_demo(self) -> None:
        """Put a copy of the demo bench in hand: it has no file, so it can't be overwritten."""
        self._put_sample_in_hand(DEMO)
        self._window.take_keys()

    def open_sample(self, name: str) -> None:
        """Put a copy of a sample bench in hand."""
        if self.may_leave():
            self._put_sample_in_hand(name)
            self._window.bench_arrived("A copy of the sample: save it under a name to keep it")

    def _put_sample_in_hand(self, name: str) -> None:
        try:
            self._window.file.put_in_hand(read_bench(sample(name)), None)
        except FileProblem as problem:
            self._window.show_problem(str(problem.sentence))
            self._window.file.put_in_hand(Bench(), None)

    def new_bench(self) -> None:
        """Put a bench with the starter rods and stock, and one empty line, in hand."""
        from taperlab.trade.starters import starter_rods, starter_stock

        if not self.may_leave():
            return
        bench = Bench(rods=starter_rods(), stock=starter_stock())
        bench = line_edits.add_line(bench, "New line").bench
        self._window.file.put_in_hand(bench, None)
        self._window.bench_arrived("A new bench, with the starter rods and stock")

    def choose_and_open(self) -> None:
        """Ask for a file and open it."""
        name, _ = QFileDialog.getOpenFileName(
            self._window,
            "Open a bench or a line",
            self._where(),
            f"Benches and lines (*{SUFFIX} *.csv *.tsv *.txt);;All files (*)",
        )
        if name:
            self.open_path(Path(name))

    def open_path(self, path: Path) -> bool:
        """Open a bench, or read a line in from a table; the content decides, not the name."""
        try:
            native = is_native(read_bytes(path)) or path.suffix == SUFFIX
        except FileProblem as problem:
            self._window.show_problem(str(problem.sentence))
            self._window.remember(self._window.preferences.without_recent(path))
            return False
        if not native:
            return self.import_path(path)
        if not (self.may_leave() and self._window.file.open(path)):
            return False
        self._window.bench_arrived(f"Opened {path.name}")
        return True

    def _where(self) -> str:
        """The folder to look in first: that of the bench."""
        path = self._window.document.path
        return str(path.parent if path else Path.home())

    def _beside(self, suffix: str) -> str:
        """A file named for the line in hand, in the folder of the bench."""
        line = self._window.document.line
        name = "".join(
            "-" if each in '/\\:*?"<>|' else each for each in (line.name if line else "")
        )
        return str(Path(self._where()) / f"{name.strip(' .') or 'line'}{suffix}")

    def _ending(self, name: str, suffixes: tuple[str, ...]) -> Path | None:
        """The file chosen, with the first of the endings if it has none of them.

        None where nothing was chosen, or a file that has that name by now is to be kept: the
        file dialog asked for the name as it was typed alone.
        """
        if not name or name.lower().endswith(suffixes):
            return Path(name) if name else None
        path = Path(name + suffixes[0])
        buttons = QMessageBox.StandardButton
        if path.exists() and buttons.Yes != QMessageBox.question(
            self._window, "Taperlab", f"{path.name} is there already. Write over it?"
        ):
            return None
        return path

    def choose_and_import(self) -> None:
        """Ask for a table and read a line in from it."""
        name, _ = QFileDialog.getOpenFileName(
            self._window,
            "Read in a line",
            self._where(),
            "Tables (*.csv *.tsv *.txt);;All files (*)",
        )
        if name:
            self.import_path(Path(name))

    def import_path(self, path: Path) -> bool:
        """Read a line in from a table; a preview asks where units or columns need a decision."""
        from taperlab.gui.dialogs.table_import import read_table_file

        return read_table_file(path, self._window)

    def choose_and_export(self) -> None:
        """Ask for a file and write the line in hand to it as a table."""
        from taperlab.files.delimited import write_line

        line = self._window.document.line
        if line is None:
            return
        self._window.commit()
        name, _ = QFileDialog.getSaveFileName(
            self._window, "Write the line as a table", self._beside(".csv"), "Tables (*.csv)"
        )
        path = self._ending(name, (".csv", ".txt"))
        if path is not None:
            try:
                write_line(self._window.document.line, path, self._window.settings.system)
                self._window.say(f"Wrote {path.name}")
            except FileProblem as problem:
                self._window.show_problem(str(problem.sentence))

    def choose_and_export_plots(self) -> None:
        """Ask for a file and write the plots to it as PNG or SVG."""
        name, chosen = QFileDialog.getSaveFileName(
            self._window,
            "Save the plots as a picture",
            self._beside(".png"),
            "PNG picture (*.png);;SVG drawing (*.svg)",
        )
        path = self._ending(name, (".svg", ".png") if "svg" in chosen else (".png", ".svg"))
        if path is None:
            return
        try:
            if path.suffix.lower() == ".svg":
                self._window.shape.plots.export_svg(path)
            else:
                self._window.shape.plots.export_png(path)
            self._window.say(f"Wrote {path.name}")
        except FileProblem as problem:
            self._window.show_problem(str(problem.sentence))

    def save(self) -> bool:
        """Save to the bench's file, asking for one if it has none."""
        self._window.commit()
        if self._window.document.path is None:
            return self.save_as()
        if self._window.file.changed_on_disk():
            answer = self._ask_about_change()
            if answer is not QMessageBox.StandardButton.Save:
                return answer is QMessageBox.StandardButton.SaveAll and self.save_as()
        if self._window.file.save(self._window.document.path):
            self._window.say(f"Saved {self._window.document.path.name}")
            return True
        return False

    def _ask_about_change(self) -> QMessageBox.StandardButton:
        """Save: over what is there; SaveAll stands for another name; Cancel."""
        buttons = QMessageBox.StandardButton
        box = QMessageBox(self._window)
        box.setIcon(QMessageBox.Icon.Warning)
        box.setWindowTitle("Taperlab")
        box.setText(f"{self._window.document.title} has changed on disk since it was opened here.")
        box.setInformativeText("Saving over it loses what was changed there.")
        box.setStandardButtons(buttons.Save | buttons.SaveAll | buttons.Cancel)
        box.button(buttons.Save).setText("Save over it")
        box.button(buttons.SaveAll).setText("Save as…")
        box.setDefaultButton(buttons.SaveAll)
        return buttons(box.exec())

    def save_as(self) -> bool:
        """Ask for a file and save to it."""
        self._window.commit()
        start = str(self._window.document.path or Path.home() / f"bench{SUFFIX}")
        name, _ = QFileDialog.getSaveFileName(
            self._window, "Save the bench", start, f"Benches (*{SUFFIX})"
        )
        path = self._ending(name, (SUFFIX,))
        if path is None:
            return False
        if self._window.file.save(path):
            self._window.say(f"Saved {path.name}")
            return True
        return False

    def may_leave(self) -> bool:
        """Whether the bench in hand may be put away: saved, or given up by its owner."""
        self._window.commit()
        if not self._window.document.is_dirty:
            return True
        box = QMessageBox(self._window)
        box.setIcon(QMessageBox.Icon.Question)
        box.setWindowTitle("Taperlab")
        box.setText(f"Save the changes to {self._window.document.title}?")
        box.setInformativeText("Without saving, they are lost.")
        buttons = QMessageBox.StandardButton
        box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
        box.setDefaultButton(buttons.Save)
        answer = box.exec()
        if answer == buttons.Save:
            return self.save()
        return answer == buttons.Discard

    def offer_left_copies(self) -> list[Banner]:
        """Offer what earlier runs left behind without saving."""
        offered = []
        for left in self._window.file.left_copies()[:3]:
            name = left.original.name if left.original else "a bench that had no file yet"
            offered.append(
                self._window.banners.show_banner(
                    f"Taperlab was ended without saving {name}; its edits were kept at "
                    f"{when(left.saved)}.",
                    [
                        ("Get them back", WeakCall(self._recover, left)),
                        ("Throw them away", left.discard),
                        ("Later", None),
                    ],
                )
            )
        return offered

    def _recover(self, left: LeftCopy) -> None:
        if self.may_leave():
            self._window.file.recover(left)
