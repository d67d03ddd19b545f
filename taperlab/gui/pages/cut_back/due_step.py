"""The step that is due: the next cut with its form, or why there is none, and what to do then."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QCheckBox, QPushButton, QWidget

from taperlab.edits import cut_back as edits
from taperlab.gui.kit.widgets import in_column, label, set_role
from taperlab.gui.pages.cut_back.case import CutCase
from taperlab.gui.pages.cut_back.log_form import LogForm
from taperlab.shop.cut_back.order import work_words
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.staging import Stage, Stop, Why
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.words import cuts, give_or_take
from taperlab.trade.cautions import Topic, caution
from taperlab.units.language import later, tr
from taperlab.units.sentence import OnTape, Sentence, Weight, render

STOPS = {
    Why.DONE: (later("Done"), "good"),
    Why.TOO_SHORT_TO_CUT: (later("Done"), "good"),
    Why.LOOP_TAKES_MORE: (later("Nothing more to cut"), "warn"),
    Why.OUTSIDE_WINDOW: (later("Outside the window"), "warn"),
    Why.WEIGH_FINISHED_AGAIN: (later("Weigh the finished head again"), "warn"),
    Why.TOO_LIGHT: (later("Too light"), "bad"),
    Why.NOT_WEIGHED: (later("Weigh the head first"), "accent"),
    Why.SCALE_TOO_COARSE: (later("Weigh again"), "warn"),
    Why.LIMIT: (later("A limit is reached"), "warn"),
}
"""How a stop is announced, and the role that colours it."""

WITH_WEIGHT = (
    Why.DONE,
    Why.TOO_SHORT_TO_CUT,
    Why.LOOP_TAKES_MORE,
    Why.OUTSIDE_WINDOW,
    Why.TOO_LIGHT,
    Why.SCALE_TOO_COARSE,
)
"""Stops that are announced with the weight that the head has come to."""


class DueStep(QWidget):
    """What is to be done now."""

    def __init__(self, case: CutCase) -> None:
        super().__init__()
        self.case, self._read = case, case.place.read
        self.title = label("", weight=QFont.Weight.Medium)
        self.large = label("", points=17.0, weight=QFont.Weight.DemiBold, role="accent", wrap=True)
        self.where = label("", wrap=True)
        self.expect = label("", role="soft", wrap=True)
        self.form = LogForm(case)
        self.finish = Finish(case)
        self.caution = label("", points=8.5, role="warn", wrap=True)
        blade = caution(Topic.BLADE)
        self.caution.setText(f"{tr(blade.title)}: {tr(blade.text)}")
        self.caution.setToolTip(tr(blade.defer))
        words = (self.title, self.large, self.where, self.expect)
        column = in_column(*words, self.form, self.finish, self.caution, spacing=3, of=self)
        column.setContentsMargins(0, 0, 0, 10)

    def show_study(self, study: Study) -> None:
        """Show the cut that is due, or why there is none."""
        stage = study.stages[0] if study.stages else None
        stop = study.stop
        can_log = stage is not None or (stop is not None and stop.why is Why.SCALE_TOO_COARSE)
        self.form.setVisible(can_log)
        self.form.show_stage(study, stage)
        self.finish.setVisible(study.can_finish and not can_log)
        self.caution.setVisible(stage is not None)
        self.title.setVisible(stage is not None)
        if stage is not None and isinstance(study.staged, Staged):
            self._show_stage(study, study.staged, stage)
        elif stop is not None and isinstance(study.staged, Staged):
            self._show_stop(study, study.staged, stop)

    def _show_stage(self, study: Study, staged: Staged, stage: Stage) -> None:
        number, after = len(study.log) + 1, len(study.stages) - 1
        title = Sentence("Cut {number}, and the last", number=number)
        if after:
            title = Sentence(
                "Cut {number}, about {count} more after it", number=number, count=after
            )
        self.title.setText(self._read(title))
        self.large.setText("\n".join(self._read(each) for each in cuts(stage.front, stage.rear)))
        set_role(self.large, "accent")
        self.where.setText(" ".join(self._read(each) for each in work_words(study.work)))
        reading = Sentence(
            "Then the scale should read {reading}.",
            reading=give_or_take(stage.before_loops, stage.plus_minus),
        )
        self.expect.setText(
            self._read(
                Sentence("{reading} It goes straight to the target.", reading=reading)
                if stage.last
                else Sentence(
                    "{reading} That leaves {margin} above the target, in case the line is lighter "
                    "here than it is described.",
                    reading=reading,
                    margin=Weight(stage.expected - staged.target),
                )
            )
        )
        self.expect.show()

    def _show_stop(self, study: Study, staged: Staged, stop: Stop) -> None:
        title, role = STOPS[stop.why]
        if stop.why is Why.DONE and not study.log:
            title = later("Nothing to cut")
        text = tr(title)
        if stop.why in WITH_WEIGHT:
            weight = Weight(staged.target + stop.off).text(self.case.system)
            text = f"{text}: {weight}"
        self.large.setText(text)
        set_role(self.large, role)
        self.where.setText(self._read(stop.sentence))
        self.expect.setVisible(study.finished is not None and not self.form.isVisibleTo(self))
        if study.finished is not None:
            length = OnTape(study.finished.line.length)
            self.expect.setText(
                self._read(Sentence("{length} long with its loops made.", length=length))
            )


class Finish(QWidget):
    """Puts the cut head on the bench, as a line of its own or in place of the old one."""

    def __init__(self, case: CutCase) -> None:
        super().__init__()
        self.case = case
        self.button = QPushButton(tr("Put the cut head on the bench"))
        self.button.setDefault(True)
        self.button.clicked.connect(self.put_on_bench)
        self.in_place = QCheckBox(tr("in place of the line it was cut from, log and all"))
        self.in_place.setToolTip(
            tr("Otherwise the head becomes a line of its own, and the line and its log stay")
        )
        column = in_column(self.button, self.in_place, spacing=3, of=self)
        column.setAlignment(self.button, Qt.AlignmentFlag.AlignLeft)

    def put_on_bench(self) -> None:
        """Put the cut head on the bench, and turn to where it is shown."""
        study = self.case.study
        if study is None or study.finished is None or study.line is None:
            return
        if not self.case.is_settled:
            return  # another answer is on its way
        keep = not self.in_place.isChecked()
        cut = Sentence("{line}, cut", line=study.line.name)
        name = self.case.place.read(cut) if keep else study.line.name
        note = render(study.story, self.case.system)
        if self.case.do(edits.put_on_bench, study.finished.line, name, note, keep=keep):
            self.case.place.host.show_page("shape")
