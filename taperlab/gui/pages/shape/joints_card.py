"""The joints of a rig: the step at each in words, whether it hinges, what its loops weigh."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QWidget

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import SMALL
from taperlab.gui.kit.widgets import (
    FIGURE,
    Card,
    Elided,
    caption,
    in_column,
    in_row,
    label,
    set_role,
    show_only_if,
)
from taperlab.gui.state.watch import Watch
from taperlab.shop.joints import hinge_words, joint_name, loops_words, step_words
from taperlab.shop.rig import Carry, RigJoint
from taperlab.units.language import tr
from taperlab.units.sentence import Length, Ratio, Sentence

ROLES = {Carry.CARRIES: "good", Carry.UNSURE: "soft", Carry.HINGES: "bad"}
"""The role of what is said of a joint."""


class JointsCard(Card):
    """One block for each joint of the rig; no card for a line alone."""

    def __init__(self, place: Workplace, watch: Watch) -> None:
        super().__init__(tr("Joints"), spacing=8)
        self._place = place
        self.blocks: list[JointBlock] = []
        self.add(caption(tr("Joints")))
        watch.follow(self.refresh)

    def refresh(self) -> None:
        """Show the joints from the fly end."""
        whole = self._place.document.whole
        joints = whole.looped.joints if whole and whole.looped else ()
        while len(self.blocks) > len(joints):
            self.blocks.pop().deleteLater()
        while len(self.blocks) < len(joints):
            self.blocks.append(JointBlock())
            self.body.addWidget(self.blocks[-1])
        for block, joint in zip(self.blocks, joints, strict=True):
            block.show_joint(joint, self._place)
        show_only_if(self, bool(joints))


class JointBlock(QWidget):
    """One joint: which lines, the step, its reading. Texts change, widgets stay."""

    def __init__(self) -> None:
        super().__init__()
        self.name = Elided(points=9.0, weight=QFont.Weight.Medium)
        self.step = label("", points=FIGURE, weight=QFont.Weight.Medium)
        self.where = label("", points=SMALL, role="soft")
        self.verdict = label("", points=9.0, wrap=True)
        self.reading = label("", points=SMALL, role="soft", wrap=True)
        row = in_row(self.step, (self.where, 1), spacing=8)
        row.setAlignment(self.where, Qt.AlignmentFlag.AlignBottom)
        self.where.setContentsMargins(0, 0, 0, 2)
        in_column(self.name, row, self.verdict, self.reading, spacing=1, of=self)

    def show_joint(self, joint: RigJoint, place: Workplace) -> None:
        """Show a joint."""
        read = place.read
        said = {
            self.name: joint_name(joint),
            self.step: Sentence("step {step}", step=Ratio(joint.step)),
            self.where: Sentence("at {place}", place=Length(joint.position)),
            self.verdict: hinge_words(joint),
            self.reading: Sentence(
                "{step} {loops}", step=step_words(joint), loops=loops_words(joint)
            ),
        }
        for widget, sentence in said.items():
            widget.setText(read(sentence))
        set_role(self.verdict, ROLES[joint.carry])
        self.setAccessibleName(" ".join(map(read, said.values())))
