"""A head as it is built: what its pieces were when they were cut, and what was done since.

A plan is worked out from the shelf as it lies, and the shelf is another one once the pieces are cut
off it. So what is to be made is held here from the moment that it is begun.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from taperlab.model.line import Line
from taperlab.model.marked import later
from taperlab.model.pieces import Rules
from taperlab.model.segment import Extras, require_not_negative, require_positive
from taperlab.model.stock import Stock


@dataclass(frozen=True, slots=True)
class BuildPiece:
    """One piece of a head that is built.

    row, last_row: the rows of the head that it is for, from 0; step: its number among the level
    steps of its row, of ``steps``. material: the stretch that was cut, as it lay on its stock and
    as it was believed then, under key and name of the stock. begin: where on the stock it began
    [m]. turned: its own front is the end nearer the stock's rear. spare: what it was cut longer at
    its rod end, to be trimmed off [m]. heavier: how many times as heavy per length its batch is
    believed now; its error is the material's. own: what it weighed as it was cut [kg], None if it
    was not weighed. trimmed: what came off its rod end before it was joined [m], None until then.
    sure: the person's word that what it weighed is right, however unlikely. opened: how long the
    stock was that it was cut from, where nothing had been cut off that before [m].
    """

    row: int
    last_row: int
    material: Stock
    step: int = 0
    steps: int = 1
    begin: float = 0.0
    turned: bool = False
    spare: float = 0.0
    heavier: float = 1.0
    own: float | None = None
    trimmed: float | None = None
    sure: bool = False
    opened: float | None = None
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "begin", "spare", "trimmed")
        require_positive(self, "heavier", "own", "opened")
        if not (0 <= self.row <= self.last_row and 0 <= self.step < self.steps):
            raise ValueError(
                later("a piece of a build must be for segments and steps that there are")
            )


@dataclass(frozen=True, slots=True)
class JointMade:
    """A joint that was made.

    mass: what the scale read with all pieces so far on it [kg], the next lap not bevelled yet, no
    loops on; None where it was not weighed. sure: the person's word that it is right, however
    unlikely.
    """

    mass: float | None = None
    sure: bool = False
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "mass")


@dataclass(frozen=True, slots=True)
class HeadBuild:
    """One head that is built from pieces, and the log of it.

    line: key of the design, None once that is gone; copy: which of the heads of it, from 1. head:
    the design as it was when the build was begun, welds and loops as they are made. rules: what its
    pieces keep to. is_cut: whether the pieces were cut. joints: those made, from the fly end.
    rear_trimmed: what came off the rod end after the last joint [m], None until it was looked at.
    has_loops: whether the end loops are on. last_reading: what the finished head weighed [kg];
    sure_last: the person's word on it. was_told: whether the shelf was told what was weighed.
    is_finished: whether the head as built was put on the bench; built: its key there, None before
    that and once it is gone.
    """

    key: str
    line: str | None
    copy: int
    head: Line
    rules: Rules
    pieces: tuple[BuildPiece, ...]
    is_cut: bool = False
    joints: tuple[JointMade, ...] = ()
    rear_trimmed: float | None = None
    has_loops: bool = False
    last_reading: float | None = None
    sure_last: bool = False
    was_told: bool = False
    is_finished: bool = False
    built: str | None = None
    note: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "rear_trimmed")
        require_positive(self, "last_reading")
        if self.copy < 1:
            raise ValueError(later("heads and pieces are counted from 1"))
        if not self.pieces or len(self.joints) >= len(self.pieces):
            raise ValueError(later("a build must have a piece more than it has joints"))
        if max(each.last_row for each in self.pieces) >= len(self.head.segments):
            raise ValueError(
                later("a piece of a build must be for segments and steps that there are")
            )

    @property
    def name(self) -> str:
        """What it is called: by its design, and a number from the second on."""
        return f"{self.head.name} ({self.copy})" if self.copy > 1 else self.head.name

    @property
    def is_joined(self) -> bool:
        """Whether all joints are made."""
        return self.is_cut and len(self.joints) == len(self.pieces) - 1
