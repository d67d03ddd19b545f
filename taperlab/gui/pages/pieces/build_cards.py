"""The cards beside a build: which head, what to look at first, as built beside as designed."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QPushButton, QWidget

from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.label_grid import LabelGrid
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.theme import SMALL, px
from taperlab.gui.kit.widgets import Card, Remark, caption, in_row, label, tool_button
from taperlab.gui.pages.pieces.build_flow import BuildFlow
from taperlab.shop.pieces.as_made import compared
from taperlab.shop.pieces.building import batches
from taperlab.shop.pieces.progress import batches_told
from taperlab.shop.pieces.scale_words import look_first
from taperlab.shop.pieces.tubes import tube_of
from taperlab.shop.pieces.words import stock_told_words
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import SMALL_WEIGHT, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, Sentence, Several, Weight
from taperlab.units.show import show, shown_unit

RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
TOPICS = (Topic.BLADE, Topic.HEAT, Topic.FUMES)


class BuildingCard(Card):
    """Which head is built, and what can be done with the build as a whole."""

    def __init__(self, flow: BuildFlow) -> None:
        super().__init__(tr("Building"))
        self._flow = flow
        self.name = label("", points=11.0, weight=QFont.Weight.DemiBold, wrap=True)
        self.which = label("", role="soft", wrap=True)
        tip = tr("One step on the screen, to be read from two metres")
        self.bench_button = tool_button(tr("Bench view"), tr("Bench view"), tip)
        tip = tr("Forget this build and its log; a built head stays on the bench")
        self.delete_button = tool_button(tr("Delete"), tr("Delete the build"), tip)
        tip = tr("Stop building it: pieces that are not joined go back in stock")
        self.give_up = tool_button(tr("Give up"), tr("Give up the build"), tip, flow.give_up)
        self.buttons = QWidget()
        in_row(self.bench_button, self.give_up, self.delete_button, None, of=self.buttons)
        self.add(caption(tr("Building")), self.name, self.which, self.buttons)
        flow.changed.connect(self.refresh)

    def refresh(self) -> None:
        """Show the head."""
        log, builds = self._flow.log, self._flow.builds
        if log is None:
            return
        self.name.setText(log.name)
        waiting = sum(not each.is_finished for each in builds)
        said = Sentence(
            "{number} of {all} begun; {waiting} in work",
            number=builds.index(log) + 1,
            all=len(builds),
            waiting=waiting,
        )
        self.which.setText(self._flow.case.place.read(said) if len(builds) > 1 else "")
        self.which.setVisible(len(builds) > 1)
        self.bench_button.setVisible(not log.is_finished)
        self.give_up.setVisible(not log.is_finished)
        self.delete_button.setVisible(log.is_finished)


class LookFirstCard(Card):
    """What to look at before anything is trimmed, with what each weighs."""

    def __init__(self, flow: BuildFlow) -> None:
        super().__init__(tr("If the scale is far off, look first"))
        self._flow = flow
        self.words = label("", wrap=True)
        name = tr("One tube weighs")
        self.tube = QuantityEdit(SMALL_WEIGHT, flow.case.place.settings, name=name, optional=True)
        self.tube.set_help(tr("What the tube of one weld reads on your scale, as it is peeled off"))
        self.tube.keep_width(px(104))
        self.problem = Remark("bad")
        self._kept = Kept(self.tube, self._take)
        self._of = ""
        self._row = QWidget()
        in_row(label(name), None, self.tube, of=self._row)
        self.tube.sentence_changed.connect(self.problem.say)
        self.add(
            caption(tr("If the scale is far off, look first")), self.words, self._row, self.problem
        )
        flow.changed.connect(self.refresh)

    def _take(self, mass: float | None) -> bool:
        why_not = self._flow.weigh_tube(mass)
        self.problem.say(self._flow.case.place.read(why_not))
        return not why_not

    def refresh(self) -> None:
        """Show what may be."""
        progress, read = self._flow.progress, self._flow.case.place.read
        if progress is None:
            return
        self.words.setText("\n".join(read(each) for each in look_first(progress)))
        rules, log = progress.log.rules, progress.log
        laps = [each.overlap for each in progress.build.joints if each.is_peeled]
        self._row.setVisible(bool(laps) and not log.is_finished)
        if laps:
            about, _ = tube_of(replace(rules, tube=None), laps[0])
            said = Sentence("about {mass}", mass=Weight(about))
            self.tube.setPlaceholderText(read(said))
        self._kept.show(rules.tube, anew=log.key != self._of)
        self._of = log.key

    def commit(self) -> None:
        """Take over what is being typed."""
        self._kept.commit()


class AsBuiltCard(Card):
    """Each piece as it was designed and as it was built, and what the stock is told of it."""

    def __init__(self, flow: BuildFlow) -> None:
        super().__init__(tr("As built beside as designed"), spacing=6)
        self._flow = flow
        self.rows = LabelGrid((1, 0, 0), between=14, apart=2)
        self.untold = Remark("soft")
        self.stock = Remark("")
        self.tell = QPushButton(tr("Tell the stock"))
        self.tell.setToolTip(tr("Have the stock believe what was weighed, only where that tells"))
        self.tell.clicked.connect(flow.tell_stock)
        self.add(
            caption(tr("As built beside as designed")),
            self.rows,
            self.untold,
            self.stock,
            in_row(self.tell, None),
        )
        flow.changed.connect(self.refresh)

    def refresh(self) -> None:
        """Show what is known now."""
        progress, case = self._flow.progress, self._flow.case
        if progress is None:
            return
        read = case.place.read
        rows, asked = compared(progress), progress.is_asking
        unit = shown_unit(WEIGHT, case.system)
        texts = [
            ("", tr("designed, {unit}").format(unit=unit), tr("built, {unit}").format(unit=unit))
        ]
        for each in rows:
            name = read(Sentence("Piece {number}", number=each.number))
            designed, built = (
                show(mass, WEIGHT, case.system, unit=False) for mass in (each.designed, each.built)
            )
            texts.append((name, designed, built if each.is_told and not asked else "–"))
        self.rows.show_rows(texts)
        if asked:
            self.untold.say(tr("Told once the reading in question is settled."))
            self.stock.say("")
            self.tell.hide()
            return
        left = [str(each.number) for each in rows if not each.is_told]
        said = NOTHING
        if len(left) == len(rows):
            said = Sentence("Nothing was weighed yet that tells a piece.")
        elif left:
            said = Sentence(
                "Piece {pieces}: not told by what was weighed.", pieces=Several(tuple(left))
            )
        self.untold.say(read(said))
        self._show_stock()

    def _show_stock(self) -> None:
        """What the stock would be told; only where something was."""
        progress, case = self._flow.progress, self._flow.case
        assert progress is not None
        told = batches_told(progress)
        names = batches(progress.build)
        there = {each.key for each in case.stock}
        said = []
        for at, key in enumerate(names):
            if key in told:
                stock = next(each.stock for each in progress.pieces if each.stock.key == key)
                said.append(case.place.read(stock_told_words(stock, progress.found.batch(at))))
        can = progress.log.is_joined and any(key in there for key in told)
        self.stock.say("\n".join(said) if can else "")
        if progress.log.was_told:
            self.stock.say(tr("The stock was told."))
        self.tell.setVisible(can and not progress.log.was_told)


class CautionsCard(Card):
    """Blade, heat and fumes, shortly."""

    def __init__(self) -> None:
        super().__init__(tr("Blade and heat"))
        self.add(caption(tr("Blade and heat")))
        for topic in TOPICS:
            found = caution(topic)
            words = label(
                f"{tr(found.title)}: {tr(found.text)}", points=SMALL, role="warn", wrap=True
            )
            words.setToolTip(tr(found.defer))
            self.add(words)
