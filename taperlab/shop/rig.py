"""A rig put together: lines looped into one, with what belongs to which, a leader and a fly."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.rig import Fly, FlyKind, Leader, Rig
from taperlab.physics import section
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.physics.rigging import Rigging
from taperlab.physics.trim import join, trim
from taperlab.trade.flies import flies
from taperlab.trade.joints import HINGE_OVER, hinges, step_error
from taperlab.units.finding import Impossible
from taperlab.units.language import later
from taperlab.units.sentence import Sentence


class Carry(StrEnum):
    """Whether a head carries a tip."""

    CARRIES = later("carries")
    UNSURE = later("too close to tell")
    HINGES = later("hinges")


@dataclass(frozen=True, slots=True)
class Span:
    """What of a rig is one of its lines: from ``start`` to ``end`` [m from the line's fly end].

    line: as it lies in the rig, running line left out.
    """

    line: Line
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class RigJoint:
    """Where two lines of a rig meet: place [m], mass per length on each side [kg/m].

    error: relative error of the step that a caliper leaves. loops: what both loops weigh [kg],
    line folded into them included. lines: names of the line ahead and of the line behind.
    """

    position: float
    ahead: float
    behind: float
    error: float = 0.0
    loops: float = 0.0
    lines: tuple[str, str] = ("", "")

    @property
    def step(self) -> float:
        """Mass per length ahead over that behind; above 1 the rig may hinge there."""
        return self.ahead / self.behind

    @property
    def carry(self) -> Carry:
        """Whether what lies behind carries it; a step within a caliper's error is not judged."""
        if hinges(self.step, self.error):
            return Carry.HINGES
        return Carry.UNSURE if self.step > HINGE_OVER else Carry.CARRIES


@dataclass(frozen=True, slots=True)
class Looped:
    """Lines looped together.

    whole: everything, running line included. cast: what is cast together, without it. spans: of
    its lines, from the fly end. head: which of them is the head, from 0.
    """

    whole: Line
    cast: Line
    spans: tuple[Span, ...]
    head: int
    leader: Leader | None = None
    fly: Fly | None = None

    @property
    def names(self) -> tuple[str, ...]:
        """Names of its lines, from the fly end."""
        return tuple(span.line.name for span in self.spans)

    @property
    def mass(self) -> float:
        """What is cast together weighs this [kg], loops on and no leader."""
        return Profile.of(self.cast).total_mass

    @property
    def joints(self) -> tuple[RigJoint, ...]:
        """Where its lines meet, from the fly end."""
        return tuple(
            _joint(ahead, behind) for ahead, behind in zip(self.spans, self.spans[1:], strict=False)
        )

    @property
    def rows(self) -> tuple[range, ...]:
        """Rows of ``whole`` that each of its lines has there, running line left out."""
        counts = itertools.accumulate((len(span.line.segments) for span in self.spans), initial=0)
        return tuple(range(*each) for each in itertools.pairwise(counts))

    @property
    def tip(self) -> Line | None:
        """The lines ahead of the head, looped together; None where there are none."""
        if not self.head:
            return None
        first, *others = (span.line for span in self.spans[: self.head])
        return looped(first, behind=others).cast

    def rigging(self) -> Rigging:
        """As the water feels it."""
        return Rigging.of(self.cast, self.leader, self.fly)


def looped(
    line: Line,
    ahead: Sequence[Line] = (),
    behind: Sequence[Line] = (),
    leader: Leader | None = None,
    fly: Fly | None = None,
) -> Looped:
    """The head of a line with others looped to it, ``ahead`` nearest the fly first.

    What is behind lies between the head and any running line. Without others it is the line itself.
    Raises Impossible where one of them has no head in one piece.
    """
    heads = [_head_of(each) for each in (*ahead, line, *behind)]
    spans, place = [], 0.0
    for head in heads:
        spans.append(Span(head, place, place + head.length))
        place += head.length
    cast = heads[-1]
    for head in reversed(heads[:-1]):
        cast = join(head, cast)
    name = " + ".join(head.name for head in heads)
    cast = _as_the_head(cast, line, name)
    count = len(heads[len(ahead)].segments)
    if len(heads) == 1:
        whole = line
    elif count == len(line.segments):
        whole = cast
    else:
        running = trim(line, line.starts[count], line.starts[-1])
        whole = _as_the_head(join(cast, running), line, name)
    return Looped(whole, cast, tuple(spans), len(ahead), leader, fly)


def of_rig(rig: Rig, bench: Bench) -> Looped:
    """A rig of a bench. Raises Impossible where a line is gone, or has no head in one piece."""
    lines = {line.key: line for line in bench.lines}
    if any(key not in lines for key in rig.lines):
        raise Impossible("{rig} has a line that is no longer on the bench.", rig=rig.name)
    behind = [lines[rig.behind]] if rig.behind else []
    return looped(lines[rig.head], [lines[key] for key in rig.ahead], behind, rig.leader, rig.fly)


def tied(rig: Rig, bench: Bench) -> Rig:
    """The rig with the leader and the fly that rigs of the bench are fished with, if it has none.

    Where the bench does not say either, the fly is a usual one.
    """
    return replace(
        rig,
        leader=rig.leader or bench.swing.leader,
        fly=rig.fly or bench.swing.fly or flies()[FlyKind.USUAL].fly,
    )


def _joint(ahead: Span, behind: Span) -> RigJoint:
    rear, front = ahead.line.segments[-1], behind.line.segments[0]
    densities = section.linear_density(rear, rear.length), section.linear_density(front, 0.0)
    both = zip((ahead.line.rear_loop, behind.line.front_loop), densities, strict=True)
    return RigJoint(
        ahead.end,
        *densities,
        error=step_error(rear.rear_diameter, front.front_diameter),
        loops=sum(loop.mass + loop.fold * density for loop, density in both),
        lines=(ahead.line.name, behind.line.name),
    )


def _as_the_head(joined: Line, head: Line, name: str) -> Line:
    """What was joined, known as the head is: by its key, style and note."""
    return replace(
        joined, key=head.key, name=name, style=head.style, note=head.note, extra=head.extra
    )


def _head_of(line: Line) -> Line:
    try:
        return head_of(line)
    except Impossible as problem:
        raise Impossible(Sentence("{line}: {why}", line=line.name, why=problem.sentence)) from None
