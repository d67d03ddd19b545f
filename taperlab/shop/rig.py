"""A rig put together: lines looped into one, with what belongs to which, a leader and a fly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.rig import Fly, FlyKind, Leader, Rig
from taperlab.physics import section
from taperlab.physics.head import head_of
from taperlab.physics.profile import Profile
from taperlab.physics.rigging import Rigging
from taperlab.physics.trim import join, trim
from taperlab.trade.flies import flies
from taperlab.units.finding import Impossible
from taperlab.units.sentence import Sentence


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
    """Where two lines of a rig meet: place [m], mass per length on each side [kg/m]."""

    position: float
    ahead: float
    behind: float

    @property
    def step(self) -> float:
        """Mass per length ahead over that behind; above 1 the rig may hinge there."""
        return self.ahead / self.behind


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
            RigJoint(
                ahead.end,
                section.linear_density(ahead.line.segments[-1], ahead.line.segments[-1].length),
                section.linear_density(behind.line.segments[0], 0.0),
            )
            for ahead, behind in zip(self.spans, self.spans[1:], strict=False)
        )

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
