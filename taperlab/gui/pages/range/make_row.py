"""What members are made into: lines on the bench, a printed table, a file, a folder of sheets."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QProgressBar, QPushButton, QWidget

from taperlab.edits.ranges import lay_on_bench
from taperlab.files import range_report
from taperlab.files.cells import to_text
from taperlab.files.disk import write_text
from taperlab.files.names import file_name
from taperlab.files.problem import FileProblem
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import Remark, in_row
from taperlab.gui.pages.range.case import RangeCase
from taperlab.shop.range.study import RangeStudy
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, counted

LANE = "sheets of a range"


class MakeRow(QWidget):
    """The buttons, and how far a folder of sheets has come."""

    def __init__(self, case: RangeCase) -> None:
        super().__init__()
        self._case = case
        self.lay = QPushButton(tr("Put all on the bench"))
        self.lay.setDefault(True)
        self.lay.setToolTip(tr("Every member becomes a line of its own, and follows no longer"))
        self.print_button = _button(tr("Print…"), tr("Print the table of members"))
        self.csv = _button(tr("CSV…"), tr("Save the table of members for a spreadsheet"))
        self.sheets = _button(
            tr("Sheets…"), tr("Write a build sheet for every member into a folder")
        )
        self.bar = QProgressBar()
        self.bar.setRange(0, 1000)
        self.bar.setTextVisible(False)
        self.bar.setFixedHeight(8)
        self.bar.setAccessibleName(tr("Sheets written"))
        self.cancel = _button(tr("Cancel"), tr("Write no more sheets; those written stay"))
        self.busy = QWidget()
        in_row((self.bar, 1), self.cancel, spacing=8, of=self.busy)
        self.bar.setMinimumWidth(px(60))
        self.busy.hide()
        self.said = Remark("soft", points=8.5)
        row = in_row(
            self.lay,
            self.print_button,
            self.csv,
            self.sheets,
            (self.busy, 3),
            (self.said, 3),
            None,
            spacing=6,
            of=self,
        )
        row.setContentsMargins(13, 6, 13, 4)
        self.lay.clicked.connect(self.lay_all)
        self.csv.clicked.connect(self.save_table)
        self.sheets.clicked.connect(self.ask_folder)
        self.cancel.clicked.connect(self.stop)
        case.place.jobs.progress.connect(self._progress)
        case.follow(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Offer what there is to make."""
        study = self._case.study
        has_members = study is not None and bool(study.members)
        self.setVisible(study is not None)
        for button in (self.lay, self.print_button, self.csv):
            button.setEnabled(has_members)
        self.sheets.setEnabled(has_members and not self.is_writing)
        if study is not None:
            one = tr("Put it on the bench")
            self.lay.setText(one if len(study.rows) == 1 else tr("Put all on the bench"))

    @property
    def is_writing(self) -> bool:
        """Whether sheets are being written."""
        return not self.busy.isHidden()

    # -- what a person does --------------------------------------------------------------------

    def lay_all(self) -> None:
        """Put every member on the bench as a line of its own."""
        study = self._case.study_now()
        if study is not None:
            lines = [each.line for each in study.members]
            self._case.place.do(lay_on_bench, lines, initiator=self)

    def save_table(self) -> None:
        """Ask where to, and write the table."""
        study = self._case.study_now()
        if study is None:
            return
        start = str(self._folder() / f"{file_name(study.question.range.name, 'range')}.csv")
        name, _ = QFileDialog.getSaveFileName(
            self._case.place.host.parent_widget, tr("Save the table of members"), start, "*.csv"
        )
        if name:
            self.write_table(Path(name), study)

    def write_table(self, path: Path, study: RangeStudy) -> None:
        """Write the table of members."""
        target = path if path.suffix else path.with_suffix(".csv")
        separator = "\t" if target.suffix.casefold() == ".tsv" else ","
        try:
            write_text(target, to_text(range_report.rows(study, self._case.system), separator))
        except FileProblem as problem:
            self._case.place.host.show_problem(problem.sentence)
            return
        self._case.place.host.say(Sentence("Saved the members as {file}", file=target.name))

    def ask_folder(self) -> None:
        """Ask for a folder, and write the sheets into it."""
        name = QFileDialog.getExistingDirectory(
            self._case.place.host.parent_widget,
            tr("A folder for the sheets of the range"),
            str(self._folder()),
        )
        if name:
            self.write_sheets(Path(name))

    def write_sheets(self, folder: Path) -> None:
        """Write a sheet for every member into a folder, beside the window."""
        from taperlab.gui.paper.preview import paper_for
        from taperlab.gui.paper.range_folder import write_folder

        study, place = self._case.study_now(), self._case.place
        if study is None or self.is_writing:
            return
        self.bar.setValue(0)
        self.busy.show()
        self.said.say("")
        self.refresh()
        place.jobs.run(
            LANE,
            write_folder,
            study,
            place.document.bench,
            folder,
            self._case.system,
            paper_for(place.settings.preferences.paper, place.system),
            done=lambda count: self._ended(
                counted(
                    "{count} sheet in {folder}", "{count} sheets in {folder}", count, folder=folder
                )
            ),
            failed=self._ended,
        )

    def stop(self) -> None:
        """Write no more sheets."""
        self._case.place.jobs.cancel(LANE)
        self._ended(Sentence("Stopped: the sheets written so far stay."))

    def _progress(self, lane: str, share: float) -> None:
        if lane == LANE and self.is_writing:
            self.bar.setValue(round(1000.0 * share))

    def _ended(self, sentence: Sentence) -> None:
        self.busy.hide()
        self.said.say(self._case.place.read(sentence))
        self.refresh()

    def _folder(self) -> Path:
        path = self._case.place.document.path
        return path.parent if path is not None else Path.home()


def _button(text: str, tip: str) -> QPushButton:
    made = QPushButton(text)
    made.setToolTip(tip)
    return made
