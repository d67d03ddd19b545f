"""Build a tip: from which stock, for what, and how long it has to be for that."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QFont, QHideEvent, QShowEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QGridLayout,
    QPushButton,
    QRadioButton,
    QSizePolicy,
    QTabBar,
)

from taperlab.edits.tips import add_tip
from taperlab.files.library import load_library
from taperlab.files.problem import FileProblem
from taperlab.gui.kit.choice import Choice
from taperlab.gui.kit.large import LargeFigure
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.widgets import Card, Remark, caption, in_row, label
from taperlab.gui.pages.tips.case import TipsCase
from taperlab.gui.pages.tips.sketch import Sketch, SketchView, scale_of
from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.model.line import NO_LOOP
from taperlab.model.stock import Stock
from taperlab.shop.joints import step_words
from taperlab.shop.rig import Carry
from taperlab.shop.tips.building import (
    LOOP,
    Aim,
    Built,
    Recipe,
    decided_words,
    sought,
    starter_words,
    stock_decides,
    tip_stock,
)
from taperlab.shop.tips.study import Question
from taperlab.shop.tips.words import rig_words
from taperlab.shop.water.words import depth_in_short
from taperlab.trade.cautions import Topic, caution
from taperlab.units.kinds import DEPTH, RATIO, SINK_RATE, WEIGHT
from taperlab.units.language import tr
from taperlab.units.sentence import NOTHING, OnTape, Sentence, ShortLength, Weight
from taperlab.units.words import word

LANE = "build a tip"
KINDS = {Aim.WEIGHT: WEIGHT, Aim.STEP: RATIO, Aim.SINK: SINK_RATE, Aim.DEPTH: DEPTH}
FIRST = {Aim.WEIGHT: 150.0 * GRAIN, Aim.STEP: 0.9, Aim.SINK: 0.15, Aim.DEPTH: 3.0 * FOOT}
"""What is looked for until a person says [SI]."""

LEVEL, STEPPED, TAPERED = range(3)


class BuildCard(Card):
    """Finds the length of a tip of the stock that is chosen. added(str): key of a tip put on."""

    added = Signal(str)

    def __init__(self, case: TipsCase) -> None:
        super().__init__(tr("Build a tip"), spacing=4)
        self._case = case
        self.built: Built | None = None
        self._asked: tuple[object, ...] | None = None
        self._stock: tuple[Stock, ...] = ()
        self._kept: tuple[Stock, ...] = ()
        self.kind = QTabBar()
        self.kind.setAccessibleName(tr("Kind of tip"))
        self.kind.setDrawBase(False)
        self.kind.setExpanding(False)
        for name in (tr("Level"), tr("Stepped"), tr("Tapered")):
            self.kind.addTab(name)
        self.boxes = tuple(Choice() for _ in range(3))
        self._names = tuple(label("", role="soft") for _ in range(3))
        self.aims = {aim: QRadioButton(word(aim)) for aim in Aim}
        self.fields = {
            aim: QuantityEdit(KINDS[aim], case.place.settings, name=word(aim)) for aim in Aim
        }
        self.loops = QCheckBox(tr("Loops at both ends"))
        self.loops.setChecked(True)
        self.source = Remark("soft")
        self.decided = Remark("soft")
        self.sketch = SketchView(case.place.theme)
        self.length = LargeFigure(15.0, least=13.0)
        self.weight = label("", role="soft")
        self.about = label("", role="soft", wrap=True)
        self.caution = Remark("warn")
        self.problem = Remark("bad")
        self.dust = Remark("warn", points=8.5)
        self.button = QPushButton(tr("Put it in the table"))
        self.button.setDefault(True)
        self._lay_out()
        self.kind.currentChanged.connect(self._kind_chosen)
        for box in self.boxes:
            box.currentIndexChanged.connect(self._recipe_chosen)
        self.loops.toggled.connect(self._recipe_chosen)
        self.aims[Aim.WEIGHT].setChecked(True)
        for aim, button in self.aims.items():
            button.toggled.connect(self._aim_chosen)
            self.fields[aim].set_value(FIRST[aim])
            self.fields[aim].value_changed.connect(self._ask)
            self.fields[aim].sentence_changed.connect(self._ask)
        self.button.clicked.connect(self.put)
        case.watch.changed.connect(self.refresh)
        case.follow(self.refresh)
        self.refresh()

    def _lay_out(self) -> None:
        self.add(label(tr("Build a tip"), points=10.0, weight=QFont.Weight.DemiBold), self.kind)
        for name, box in zip(self._names, self.boxes, strict=True):
            box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            self.add(name, box)
        aims = QGridLayout()
        aims.setHorizontalSpacing(8)
        aims.setVerticalSpacing(4)
        self._group = QButtonGroup(self)
        for i, (aim, button) in enumerate(self.aims.items()):
            self._group.addButton(button)
            aims.addWidget(button, i, 0)
            aims.addWidget(self.fields[aim], i, 1)
        aims.setColumnStretch(1, 1)
        found = in_row((self.length, 100), self.weight, None, spacing=8)
        self.add(self.source, self.loops, caption(tr("Find the length for")), aims)
        self.add(self.decided, self.sketch, found)
        self.add(self.about, self.caution, self.problem, 2, self.button, self.dust)

    # -- what is asked -------------------------------------------------------------------------

    @property
    def aim(self) -> Aim:
        """What the length is looked for."""
        return next(aim for aim, button in self.aims.items() if button.isChecked())

    @property
    def recipe(self) -> Recipe | None:
        """The stock that is chosen, nearest the fly first."""
        count = 3 if self.kind.currentIndex() == STEPPED else 1
        at = [box.currentIndex() for box in self.boxes[:count]]
        if any(not 0 <= i < len(self._stock) for i in at):
            return None
        loop = LOOP if self.loops.isChecked() else NO_LOOP
        return Recipe(tuple(self._stock[i] for i in at), loop)

    def refresh(self) -> None:
        """Take over what is on the shelf, and ask again where anything is another."""
        stepped = self.kind.currentIndex() == STEPPED
        level = self.kind.currentIndex() != TAPERED
        stock = tip_stock(self._case.place.document.bench, level=level, kept=self._kept)
        names = [each.name for each in stock]
        if names != [each.name for each in self._stock]:
            for place, box in enumerate(self.boxes):
                before = box.currentText()
                box.blockSignals(True)
                box.clear()
                box.addItems(names)
                usual = min(2, len(names) - 1) if not stepped else min(place, len(names) - 1)
                box.setCurrentIndex(names.index(before) if before in names else usual)
                box.blockSignals(False)
        self._stock = stock
        texts = (tr("Fly end"), tr("Middle"), tr("Joint")) if stepped else (tr("Stock"), "", "")
        for i, (name, box) in enumerate(zip(self._names, self.boxes, strict=True)):
            name.setText(texts[i])
            box.setAccessibleName(texts[i] or tr("Stock"))
            name.setVisible(stepped or i == 0)
            box.setVisible(stepped or i == 0)
        self._show_aims()
        self._ask()

    def _recipe_chosen(self) -> None:
        self._show_aims()
        self._ask()

    def _kind_chosen(self) -> None:
        stepped = self.kind.currentIndex() == STEPPED
        if stepped:  # the lightest at the fly end
            self.refresh()
            for i, box in enumerate(self.boxes):
                box.setCurrentIndex(min(i, box.count() - 1))
        self.refresh()

    def _aim_chosen(self, chosen: bool) -> None:
        if chosen:
            self._show_aims()
            self._ask()

    def _show_aims(self) -> None:
        """Say which figures the stock alone decides; no length is looked for by those."""
        recipe, read = self.recipe, self._case.place.read
        decided = {
            aim: why
            for aim in Aim
            if recipe is not None and (why := stock_decides(recipe, aim)) is not None
        }
        if self.aim in decided:
            self.aims[Aim.WEIGHT].setChecked(True)
        for aim, button in self.aims.items():
            button.setEnabled(aim not in decided)
            button.setToolTip(read(decided.get(aim, NOTHING)))
            self.fields[aim].setEnabled(aim is self.aim)
        self.decided.say(read(decided_words(recipe) if recipe is not None else NOTHING))
        for box in self.boxes:
            box.setToolTip(box.currentText())
        self.source.say(read(starter_words(recipe) if recipe is not None else NOTHING))
        dust = caution(Topic.TUNGSTEN_DUST)
        sheds = recipe is not None and recipe.sheds_metal
        self.dust.say(f"{tr(dust.title)}: {tr(dust.text)}" if sheds else "")
        self.dust.setToolTip(tr(dust.defer))
        folded = Sentence(
            "{length} of each end is folded back and welded, as is common practice; both loops "
            "count in the weight.",
            length=ShortLength(LOOP.fold),
        )
        self.loops.setToolTip(read(folded))

    # -- what is found -------------------------------------------------------------------------

    def _ask(self) -> None:
        if not self.isVisible():
            return
        recipe, question = self.recipe, self._case.question
        wanted = self.fields[self.aim].value()
        fault = self.fields[self.aim].sentence
        if recipe is None or question is None or wanted is None:
            self._asked = None
            self._case.place.jobs.cancel(LANE)
            missing = (
                Sentence("There is no such stock on this bench.") if recipe is None else NOTHING
            )
            self._show_built(missing, fault)
            return
        bare = Question(
            question.head, (), question.rod, question.fishing, question.leader, question.fly
        )
        asked = (recipe, self.aim, wanted, bare)
        if asked != self._asked:
            self._asked = asked
            self._case.place.jobs.run(LANE, sought, *asked, done=self._answered)
        elif self.built is not None:
            self._show_built(self.built)

    def _answered(self, found: Built | Sentence) -> None:
        self._show_built(found)

    def _show_built(self, found: Built | Sentence, fault: str = "") -> None:
        read = self._case.place.read
        self.built = found if isinstance(found, Built) else None
        self.button.setEnabled(self.built is not None)
        study = self._case.study
        if self.built is None:
            said = fault or (read(found) if isinstance(found, Sentence) else "")
            self.problem.say(said)
            self.caution.say("")
            for each in (self.length, self.weight, self.about):
                each.setText("")
            self.sketch.show_sketch(None)
            return
        row = self.built.row
        self.problem.say("")
        self.length.setText(read(Sentence("{length}", length=OnTape(row.length))))
        self.length.setMaximumWidth(self.length.sizeHint().width() + 2)
        self.weight.setText(read(Sentence("{weight}", weight=Weight(row.mass))))
        about = Sentence("{rig}; {depth}", rig=rig_words(row), depth=depth_in_short(row.water))
        self.about.setText(read(about))
        self.caution.say("" if row.carry is Carry.CARRIES else read(step_words(row.joint)))
        for aim, value in (
            (Aim.WEIGHT, row.mass),
            (Aim.STEP, row.joint.step),
            (Aim.SINK, row.fastest),
            (Aim.DEPTH, row.middle),
        ):
            if aim is not self.aim:
                field = self.fields[aim]
                field.blockSignals(True)
                field.set_value(value if value == value else None)
                field.blockSignals(False)
        if study is not None:
            scale = scale_of(study, (row,))
            self.sketch.show_sketch(Sketch(row.analysis.curves, study.head.curves, *scale))

    def put(self) -> None:
        """Put the tip that was found on the bench, and so in the table."""
        if self.built is None:
            return
        before = {line.key for line in self._case.place.document.bench.lines}
        if self._case.place.do(add_tip, self.built.line, initiator=self):
            lines = self._case.place.document.bench.lines
            self.added.emit(next(line.key for line in lines if line.key not in before))

    # -- Qt ------------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Ask for what is missing; what is kept for every bench may be other stock by now."""
        super().showEvent(event)
        self._kept = _kept_stock()
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Want no answer any more."""
        self._asked = None
        self._case.place.jobs.cancel(LANE)
        super().hideEvent(event)


def _kept_stock() -> tuple[Stock, ...]:
    """What is kept for every bench; nothing where that can't be read, which its dialog says."""
    try:
        return load_library().stock
    except FileProblem:
        return ()
