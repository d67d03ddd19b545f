"""A line: segments in order from the fly end, with what joins and ends them."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum

from taperlab.model.aim import NO_AIM, Aim
from taperlab.model.marked import later
from taperlab.model.segment import Extras, Segment, require_not_negative, require_positive
from taperlab.model.tolerance import AS_READ, Tolerance


class Style(StrEnum):
    """The trade's generic word for a kind of line."""

    SKAGIT = later("Skagit")
    SCANDI = later("Scandi")
    SHORT_BELLY = later("short belly")
    MID_BELLY = later("mid belly")
    LONG_BELLY = later("long belly")
    SINGLE_HAND = later("single-hand")
    SWITCH = later("switch")
    TIP = later("tip")
    OTHER = later("other")


class JointKind(StrEnum):
    """How two neighbouring segments meet."""

    ONE_EXTRUSION = later("one extrusion")
    LAPPED_WELD = later("lapped weld")
    BUTT_WELD = later("butt weld")
    SPLICED_CORE = later("spliced core")
    LOOP_TO_LOOP = later("loop to loop")


class LoopKind(StrEnum):
    """How an end of a line is fitted."""

    NONE = later("no loop")
    FOLDED = later("folded and welded loop")
    BRAIDED = later("braided loop")


@dataclass(frozen=True, slots=True)
class Loop:
    """The fitting at one end of a line.

    fold: [m] of line folded back on itself, beyond the finished length; it weighs fold times the
    mass per length at that end. mass: [kg] of whatever else is added (tube, braid, adhesive).
    """

    kind: LoopKind = LoopKind.NONE
    fold: float = 0.0
    mass: float = 0.0
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "fold", "mass")


NO_LOOP = Loop()


@dataclass(frozen=True, slots=True)
class Joint:
    """What lies between one segment and the next.

    overlap: [m], for a lapped weld. Both ends are bevelled over it, so that together they make
    one full section and the lap itself adds no weight; each piece is cut overlap/2 longer.
    mass: [kg] of whatever the joint adds (sleeve, adhesive), taken at the joint.
    loop_ahead, loop_behind: for loop to loop, those of the piece ahead and of the piece behind;
    each weighs as it would at an end of its own line.
    """

    kind: JointKind = JointKind.ONE_EXTRUSION
    overlap: float = 0.0
    mass: float = 0.0
    loop_ahead: Loop = NO_LOOP
    loop_behind: Loop = NO_LOOP
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "overlap", "mass")
        looped = self.loop_ahead != NO_LOOP or self.loop_behind != NO_LOOP
        if looped and self.kind is not JointKind.LOOP_TO_LOOP:
            raise ValueError(f"a joint with loops must be loop to loop, not {self.kind}")

    @property
    def added_mass(self) -> float:
        """What the joint adds [kg], line folded into its loops left out."""
        return self.mass + self.loop_ahead.mass + self.loop_behind.mass

    def turned(self) -> Joint:
        """The joint of the line turned end for end."""
        return replace(self, loop_ahead=self.loop_behind, loop_behind=self.loop_ahead)


ONE_EXTRUSION = Joint()


@dataclass(frozen=True, slots=True)
class OnScale:
    """What a scale said of a line's head as it lay there, its loops on.

    mass [kg], length [m]: of that head; another since is not what was weighed. plus_minus: 95 in
    100 lie so near [kg]. step: of the scale [kg].
    """

    mass: float
    length: float
    plus_minus: float
    step: float
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(self, "mass", "length")
        require_not_negative(self, "plus_minus", "step")


@dataclass(frozen=True, slots=True)
class Line:
    """Segments in order from the fly end. Positions run from the fly end (0) to the rod.

    key: names the line inside its bench for as long as it lives, through renames and edits.
    joints: one fewer than the segments; joints[i] lies between segments i and i + 1. tolerance: how
    closely it is made. aim: goals for its figures, and what may move for them. weighed: what a
    scale said of its head, before it was changed or not.
    """

    key: str
    name: str
    style: Style = Style.OTHER
    segments: tuple[Segment, ...] = ()
    joints: tuple[Joint, ...] = ()
    front_loop: Loop = NO_LOOP
    rear_loop: Loop = NO_LOOP
    note: str = ""
    tolerance: Tolerance = AS_READ
    extra: Extras = field(default_factory=dict, hash=False)
    aim: Aim = NO_AIM
    weighed: OnScale | None = None

    def __post_init__(self) -> None:
        if len(self.joints) != max(0, len(self.segments) - 1):
            raise ValueError(
                f"a line of {len(self.segments)} segments needs "
                f"{max(0, len(self.segments) - 1)} joints, not {len(self.joints)}"
            )

    @property
    def length(self) -> float:
        """Finished length [m], loops' folds left out."""
        return sum(segment.length for segment in self.segments)

    @property
    def added_mass(self) -> float:
        """What loops and joints add [kg], line folded into loops left out."""
        joints = sum(joint.added_mass for joint in self.joints)
        return self.front_loop.mass + self.rear_loop.mass + joints

    @property
    def starts(self) -> tuple[float, ...]:
        """Distance of each segment's front from the fly end [m], and of the line's rear end."""
        positions = [0.0]
        for segment in self.segments:
            positions.append(positions[-1] + segment.length)
        return tuple(positions)


def line_of(key: str, name: str, segments: tuple[Segment, ...], style: Style = Style.OTHER) -> Line:
    """A line of one extrusion, without loops."""
    return Line(key, name, style, segments, (ONE_EXTRUSION,) * max(0, len(segments) - 1))
