"""The cards beside the work: how many heads, what pieces keep to, what the scale should read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from PySide6.QtWidgets import QCheckBox, QGridLayout, QWidget

from taperlab.gui.kit.kept import Kept
from taperlab.gui.kit.quantity_edit import QuantityEdit
from taperlab.gui.kit.theme import px
from taperlab.gui.kit.widgets import Card, Link, Remark, caption, in_row, label
from taperlab.gui.pages.pieces.case import PiecesCase
from taperlab.gui.table.grid import Grid
from taperlab.gui.table.grid_model import GridCell, GridModel, GridRow, Heading
from taperlab.model.measurement import USUAL
from taperlab.model.pieces import Rules
from taperlab.shop.pieces.spares import spare_needed
from taperlab.shop.pieces.tubes import tube_of
from taperlab.shop.pieces.words import first_to_weigh
from taperlab.units.kinds import LENGTH, RATIO, SHORT_LENGTH, SMALL_WEIGHT, WEIGHT_PER_LENGTH
from taperlab.units.language import later, tr
from taperlab.units.limits import MOST_HEADS
from taperlab.units.sentence import NOTHING, OnTape, Sentence, Weight

TAPE = USUAL.tape
"""A spare is so long to the step of a tape [m]."""

_EMPTY = {"fold": later("as designed"), "largest_step": later("any"), "tube": ""}
"""Rules that may be left empty, and what that means."""


class HeadsModel(GridModel[GridRow]):
    """How many heads of each line are made."""

    def __init__(self, case: PiecesCase) -> None:
        self._case = case
        super().__init__(
            (
                Heading(tr("Line"), tr("line"), 90, "", right=False, typed=False),
                Heading(tr("Heads"), tr("heads"), 48, tr("How many heads of it are made")),
            )
        )
        case.follow(self.refresh)

    def refresh(self) -> None:
        """Show the lines of the bench."""
        lines = self._case.place.document.bench.lines
        counts = [self._case.count(each) for each in lines]
        self.show_rows(
            [
                GridRow((GridCell(each.name), GridCell(str(n), "strong" if n else "soft")))
                for each, n in zip(lines, counts, strict=True)
            ]
        )

    def commit(self, row: int, column: int, text: str) -> Sentence:
        """Take a typed count."""
        clean = text.strip() or "0"
        if not (clean.isascii() and clean.isdigit() and int(clean) <= MOST_HEADS):
            return Sentence(
                "{found} is no number of heads; type 0 to {most}.", found=clean, most=MOST_HEADS
            )
        return self._case.set_count(self._case.place.document.bench.lines[row], int(clean))

    def delete_rows(self, rows: Sequence[int]) -> None:
        """Delete makes none of them."""
        lines = self._case.place.document.bench.lines
        for line in [lines[each] for each in rows]:
            self._case.set_count(line, 0)


class HeadsCard(Card):
    """Which heads are made, and how many."""

    def __init__(self, case: PiecesCase) -> None:
        super().__init__(tr("Heads to make"))
        self.body.setContentsMargins(1, 8, 1, 6)
        name = caption(tr("Heads to make"))
        name.setContentsMargins(13, 0, 0, 0)
        self.table = Grid(
            HeadsModel(case), case.place, tr("Heads to make"), tr("Type how many of each line.")
        )
        self.add(name, self.table)


class RulesCard(Card):
    """What pieces keep to."""

    def __init__(self, case: PiecesCase) -> None:
        super().__init__(tr("What pieces keep to"))
        self._case = case
        self.fields: dict[str, QuantityEdit] = {}
        self._kept: dict[str, Kept] = {}
        self.problem = Remark("bad")
        rows = QWidget()
        grid = QGridLayout(rows)
        grid.setContentsMargins(0, 2, 0, 2)
        grid.setHorizontalSpacing(10)
        grid.setVerticalSpacing(6)
        for i, (name, kind, title, tip) in enumerate(
            (
                (
                    "tolerance",
                    WEIGHT_PER_LENGTH,
                    tr("Off the design by"),
                    tr("How far stock may be off the weight per length of the design anywhere"),
                ),
                ("shortest", LENGTH, tr("Shortest piece"), tr("No step is shorter")),
                ("usable", LENGTH, tr("Usable offcut"), tr("A shorter offcut is worth nothing")),
                (
                    "overlap",
                    SHORT_LENGTH,
                    tr("Lap of a weld"),
                    tr("Of welds that the design does not tell; nought for none"),
                ),
                (
                    "fold",
                    SHORT_LENGTH,
                    tr("Fold of end loops"),
                    tr("Line folded back into each end loop; empty as the design says"),
                ),
                (
                    "spare",
                    SHORT_LENGTH,
                    tr("Spare to trim"),
                    tr("Each piece is cut so much longer at its rod end, to be trimmed to weight"),
                ),
                (
                    "scale",
                    SMALL_WEIGHT,
                    tr("Step of the scale"),
                    tr("What it reads to; how far a reading may be off hangs on it"),
                ),
                (
                    "tube",
                    SMALL_WEIGHT,
                    tr("Welding tube"),
                    tr("What the tube of one weld weighs; empty for an estimate from its lap"),
                ),
                (
                    "largest_step",
                    RATIO,
                    tr("Largest joint step"),
                    tr("Weight per length at a joint, heavier over lighter; empty for any"),
                ),
            )
        ):
            optional = name in _EMPTY
            field = QuantityEdit(kind, case.place.settings, name=title, optional=optional)
            if optional:
                field.setPlaceholderText(tr(_EMPTY[name]) if _EMPTY[name] else "")
            field.set_help(tip)
            field.sentence_changed.connect(self.problem.say)
            field.keep_width(px(92))
            self.fields[name] = field
            self._kept[name] = Kept(field, partial(self._take, name))
            grid.addWidget(label(title), i, 0)
            grid.addWidget(field, i, 1)
        self.weight = QCheckBox(tr("Keep the weight"))
        self.weight.setToolTip(tr("Pieces are cut to the weight of the design; else to its length"))
        self.weight.toggled.connect(lambda on: case.set_rules(keeps_weight=on))
        self.front = QCheckBox(tr("Leave the front taper"))
        self.front.setToolTip(tr("No trim touches tip and front taper while there is more behind"))
        self.front.toggled.connect(lambda on: case.set_rules(keeps_front_taper=on))
        self.tubes = QCheckBox(tr("Tubes stay on"))
        self.tubes.setToolTip(
            tr("The tubes of such welds are not peeled off: they weigh in with what is expected")
        )
        self.tubes.toggled.connect(lambda on: case.set_rules(tubes_stay=on))
        self.advice = Remark("soft")
        self.use = Link(tr("Cut that much longer"), "", self._use_spare)
        self.add(
            caption(tr("What pieces keep to")),
            rows,
            self.weight,
            self.front,
            self.tubes,
            self.problem,
            self.advice,
            in_row(self.use, None),
        )
        case.follow(self.refresh)

    def _take(self, name: str, value: float | None) -> bool:
        if value is None and name not in _EMPTY:
            return False
        none = math.inf if name == "largest_step" else None
        why_not = self._case.set_rules(**{name: none if value is None else value})
        self.problem.say(self._case.place.read(why_not))
        return not why_not

    def refresh(self) -> None:
        """Show what is in force."""
        rules: Rules = self._case.rules
        for name, kept in self._kept.items():
            value = getattr(rules, name)
            kept.show(None if value == math.inf else value)
        about, _ = tube_of(replace(rules, tube=None), rules.overlap)
        about_words = Sentence("estimated")
        if rules.overlap:
            about_words = Sentence("about {mass}", mass=Weight(about))
        self.fields["tube"].setPlaceholderText(self._case.place.read(about_words))
        boxes = (
            (self.weight, rules.keeps_weight),
            (self.front, rules.keeps_front_taper),
            (self.tubes, rules.tubes_stay),
        )
        for box, on in boxes:
            box.blockSignals(True)
            box.setChecked(on)
            box.blockSignals(False)
        self._advise()

    def _advise(self) -> None:
        """Say what spare would mend a head that comes out too light."""
        found = self._case.study
        needed = spare_needed(found) if found is not None else None
        short = needed is not None and needed > self._case.rules.spare + TAPE / 2.0
        said = NOTHING
        if needed is not None and short:
            said = Sentence(
                "Too light is mended out of the spare alone: {spare} for each piece is enough.",
                spare=OnTape(needed),
            )
            if found is not None and first_to_weigh(found)[1] is not None:
                said = Sentence("{said} Less is, once the stock is weighed.", said=said)
        self.advice.say(self._case.place.read(said))
        self.use.setVisible(bool(said))

    def _use_spare(self) -> None:
        found = self._case.study
        needed = spare_needed(found) if found is not None else None
        if needed is not None:
            self._case.set_rules(spare=math.ceil(needed / TAPE - 1e-6) * TAPE)

    def commit(self) -> None:
        """Take over what is being typed."""
        for kept in self._kept.values():
            kept.commit()
