"""The bench: everything in one file."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from itertools import chain, count
from typing import TypeVar

from taperlab.model.build import HeadBuild
from taperlab.model.casting import LoopBehind, Throw
from taperlab.model.cut_log import CutBack
from taperlab.model.job import Job
from taperlab.model.line import Line
from taperlab.model.marked import later
from taperlab.model.measurement import Measurement
from taperlab.model.pieces import Making
from taperlab.model.range import Range
from taperlab.model.rig import Rig
from taperlab.model.rod import Rod
from taperlab.model.segment import Extras
from taperlab.model.stock import Stock
from taperlab.model.swing import Swing
from taperlab.model.version import Version
from taperlab.model.water import Water
from taperlab.model.which_head import Answers

Keyed = Line | Rod | Stock | Measurement | CutBack | Rig | Range | Version | Job | HeadBuild
"""What a bench knows by a key."""

Thing = TypeVar("Thing", bound=Keyed)


@dataclass(frozen=True, slots=True)
class View:
    """What the window was showing: saved with the bench, never an undo step of its own.

    line: key of the current line. rig: of the rig that it is looked at in, if any. overlays,
    rig_overlays, version_overlays: keys of lines, of rigs and of versions, laid over.
    """

    line: str | None = None
    overlays: tuple[str, ...] = ()
    page: str = "shape"
    rig: str | None = None
    rig_overlays: tuple[str, ...] = ()
    version_overlays: tuple[str, ...] = ()
    extra: Extras = field(default_factory=dict, hash=False)


@dataclass(frozen=True, slots=True)
class Bench:
    """Lines, rods, stock, water and notes; what was measured, and cut back.

    ``rod`` is the key of the chosen rod. ``rigs``: lines looped together; ``swing``: how they are
    fished where their depths are told; ``behind``, ``throw``: how they are cast;
    ``answers``: what was said of rod and water to choose a head by. ``ranges``: heads
    graded from a line of the bench. ``versions``: its lines as they were, in the order of keeping.
    ``jobs``: what customers asked for. ``pieces``: what is to be made of stock; ``builds``: heads
    whose pieces were cut, with what was done since.
    """

    lines: tuple[Line, ...] = ()
    rods: tuple[Rod, ...] = ()
    stock: tuple[Stock, ...] = ()
    water: Water = field(default_factory=Water)
    rod: str | None = None
    note: str = ""
    view: View = field(default_factory=View)
    measurements: tuple[Measurement, ...] = ()
    cut_backs: tuple[CutBack, ...] = ()
    rigs: tuple[Rig, ...] = ()
    swing: Swing = field(default_factory=Swing)
    ranges: tuple[Range, ...] = ()
    behind: LoopBehind = field(default_factory=LoopBehind)
    throw: Throw = field(default_factory=Throw)
    answers: Answers = field(default_factory=Answers)
    pieces: Making = field(default_factory=Making)
    versions: tuple[Version, ...] = ()
    jobs: tuple[Job, ...] = ()
    builds: tuple[HeadBuild, ...] = ()
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        keyed_things: tuple[tuple[str, Collection[Keyed]], ...] = (
            (later("two lines of a bench share a key"), self.lines),
            (later("two rods of a bench share a key"), self.rods),
            (later("two pieces of stock of a bench share a key"), self.stock),
            (later("two measurements of a bench share a key"), self.measurements),
            (later("two cut-backs of a bench share a key"), self.cut_backs),
            (later("two rigs of a bench share a key"), self.rigs),
            (later("two ranges of a bench share a key"), self.ranges),
            (later("two versions of a bench share a key"), self.versions),
            (later("two jobs of a bench share a key"), self.jobs),
            (later("two builds of a bench share a key"), self.builds),
        )
        for fault, things in keyed_things:
            if len({each.key for each in things}) != len(things):
                raise ValueError(fault)

    def line(self, key: str) -> Line:
        """The line with this key. Raises KeyError."""
        if found := keyed(self.lines, key):
            return found
        raise KeyError(key)

    @property
    def current_line(self) -> Line | None:
        """The current line: the one last shown, else the first."""
        return keyed(self.lines, self.view.line) or next(iter(self.lines), None)

    @property
    def current_rig(self) -> Rig | None:
        """The rig that the current line is looked at in; None where it is looked at alone."""
        rig, line = keyed(self.rigs, self.view.rig), self.current_line
        return rig if rig is not None and line is not None and line.key in rig.lines else None

    @property
    def chosen_rod(self) -> Rod | None:
        """The rod that heads are judged on, if one is chosen."""
        return keyed(self.rods, self.rod)

    def with_line(self, line: Line) -> Bench:
        """The bench with the line of the same key replaced. Raises KeyError."""
        self.line(line.key)
        return replace(
            self, lines=tuple(line if each.key == line.key else each for each in self.lines)
        )


def keyed(things: Iterable[Thing], key: str | None) -> Thing | None:
    """The one of the things with this key, if there is one."""
    return next((each for each in things if each.key == key), None)


def fresh_key(taken: Collection[str], stem: str) -> str:
    """A key not yet taken: ``stem-1``, ``stem-2`` and so on. Same input, same key."""
    return _free(taken, (f"{stem}-{number}" for number in count(len(taken) + 1)))


def fresh_name(taken: Collection[str], name: str) -> str:
    """The name, with a number behind it if it is taken: ``Alder``, ``Alder 2`` and so on."""
    return _free(taken, chain([name], (f"{name} {number}" for number in count(2))))


def _free(taken: Collection[str], candidates: Iterable[str]) -> str:
    return next(each for each in candidates if each not in taken)
