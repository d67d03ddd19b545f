"""What can be fished of a bench: its rigs, and its current line with a tip looped on the spot."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.bench import Bench
from taperlab.model.rig import Rig
from taperlab.physics.head import is_tip
from taperlab.shop.rig import Looped, of_rig, tied
from taperlab.units.finding import Impossible
from taperlab.units.sentence import NOTHING, Sentence

MOST = 8
"""So many are laid over each other at the most."""


@dataclass(frozen=True, eq=False, slots=True)
class Choice:
    """Lines fished as one. rig: their keys and name; kept: it is one of the bench's rigs.

    looped: put together, with the leader and the fly that it is fished with.
    """

    rig: Rig
    kept: bool
    looped: Looped

    @property
    def key(self) -> str:
        """What stays the same while its lines change."""
        return self.rig.key

    @property
    def name(self) -> str:
        """What it is called."""
        return self.rig.name


def choices(bench: Bench) -> tuple[tuple[Choice, ...], Sentence]:
    """What can be fished, the bench's rigs first; and what cannot, with the reason."""
    found, why = [], NOTHING
    for rig, kept in [(each, True) for each in bench.rigs] + [
        (each, False) for each in _on_the_spot(bench)
    ]:
        try:
            found.append(Choice(rig, kept, of_rig(tied(rig, bench), bench)))
        except Impossible as problem:
            why = why or problem.sentence
    if not bench.lines:
        why = Sentence("Put a line on the bench first, or open a sample from the menu.")
    return tuple(found), why


def compared(every: tuple[Choice, ...], focus: Choice) -> tuple[Choice, ...]:
    """The one looked at, then what it is compared with: the rigs, or what is looped if none is."""
    rigs = tuple(each for each in every if each.kept) or every
    others = tuple(each for each in rigs if each is not focus)
    return (focus, *others)[:MOST]


def _on_the_spot(bench: Bench) -> list[Rig]:
    line = bench.current_line
    if line is None:
        return []
    known = {rig.lines for rig in bench.rigs}
    tips = []
    if not is_tip(line, bench.water):
        tips = [each for each in bench.lines if is_tip(each, bench.water)]
    made = [
        Rig(f"{tip.key} on {line.key}", f"{tip.name} + {line.name}", line.key, (tip.key,))
        for tip in tips
        if (tip.key, line.key) not in known
    ]
    return [*made, Rig(f"{line.key} alone", line.name, line.key)]
