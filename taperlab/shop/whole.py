"""What is looked at as one line: a line of the bench, or a rig put together, with its figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.rig import Rig
from taperlab.model.rod import Measured, Rod
from taperlab.model.water import Water
from taperlab.physics.profile import Profile
from taperlab.shop.analyse import HeadFigures, LineAnalysis, analyse_line, findings_of
from taperlab.shop.joints import joint_finding
from taperlab.shop.on_rod import RigParts, RodFit, fit_to_rod
from taperlab.shop.rig import Looped, looped, of_rig, tied
from taperlab.units.finding import Finding, Impossible
from taperlab.units.sentence import Sentence


@dataclass(frozen=True, eq=False, slots=True)
class Whole:
    """A line, or a rig, with the figures of all that is cast together.

    key, name: of the line, or of the rig. looped: how a rig was put together. parts: of a rig, what
    a rod judges.
    """

    key: str
    name: str
    analysis: LineAnalysis
    looped: Looped | None = None
    parts: RigParts | None = None

    @property
    def line(self) -> Line:
        """All of it as one line."""
        return self.analysis.line

    @property
    def head(self) -> HeadFigures | None:
        """What is cast together."""
        return self.analysis.head

    @property
    def in_its_lines(self) -> tuple[Finding, ...]:
        """What is worth a remark, besides the joints of a rig."""
        if self.looped is None:
            return self.analysis.findings
        joints = {rows.stop - 1 for rows in self.looped.rows[:-1]}
        return tuple(each for each in self.analysis.findings if each.segment not in joints)

    @property
    def hinges(self) -> tuple[Finding, ...]:
        """The cautions of a rig where its lines meet."""
        kept = self.in_its_lines
        return tuple(each for each in self.analysis.findings if each not in kept)

    @property
    def joints(self) -> tuple[float, ...]:
        """Where the lines of a rig meet [m]."""
        return tuple(joint.position for joint in self.looped.joints) if self.looped else ()

    def on_rod(
        self,
        rod: Rod | None = None,
        bench: Bench | None = None,
        *,
        length: float | None = None,
        window: tuple[float, float] | None = None,
        judged: Measured | None = None,
    ) -> RodFit | None:
        """How it fits a rod; bench: whose tips could be looped to a body alone."""
        lines = bench.lines if bench else ()
        return fit_to_rod(
            self.analysis, rod, length, window, parts=self.parts, judged=judged, lines=lines
        )

    @property
    def ahead_of_head(self) -> float:
        """What lies ahead of the head of a rig weighs this [kg]."""
        tip = self.looped.tip if self.looped else None
        return Profile.of(tip).total_mass if tip else 0.0

    def row_of(self, row: int) -> tuple[int, int]:
        """Which line of a rig a row of it all is of, and its row there; running line is the head's.

        For a line alone, 0 and the row.
        """
        if self.looped is None:
            return 0, row
        for at, rows in enumerate(self.looped.rows):
            if row in rows:
                return at, row - rows.start
        head, cast = self.looped.head, self.looped.rows
        return head, len(cast[head]) + row - cast[-1].stop

    def member_at(self, position: float) -> int:
        """Which line of a rig lies at a place [m], at a joint the one behind; else 0."""
        spans = self.looped.spans if self.looped else ()
        for at, span in enumerate(spans):
            if position < span.end:
                return at
        return self.looped.head if self.looped else 0


@dataclass(frozen=True, eq=False, slots=True)
class Assembly:
    """A line, or lines looped together, wherever they are kept: from the fly end.

    head: which of them is the head, from 0. Where they are several, each has a head in one piece.
    """

    name: str
    lines: tuple[Line, ...]
    head: int = 0

    @property
    def is_rig(self) -> bool:
        """Whether lines are looped together."""
        return len(self.lines) > 1

    def whole(self, water: Water, *, cast_alone: bool = False) -> Whole:
        """The same with its figures. cast_alone: without running line behind a rig."""
        if not self.is_rig:
            return replace(whole_line(self.lines[0], water), name=self.name)
        at = self.head
        put = looped(self.lines[at], self.lines[:at], self.lines[at + 1 :])
        return whole_rig(replace(put, whole=put.cast) if cast_alone else put, water, name=self.name)


def whole_of(thing: Line | Rig | Assembly, bench: Bench) -> Whole:
    """The figures of a thing of a bench; of a rig that can't be looped, those of its head."""
    if isinstance(thing, Assembly):
        return thing.whole(bench.water)
    if isinstance(thing, Line):
        return whole_line(thing, bench.water)
    return rig_of_bench(thing, bench) or whole_line(bench.line(thing.head), bench.water)


def whole_line(line: Line, water: Water, analysis: LineAnalysis | None = None) -> Whole:
    """A line as it lies on the bench. analysis: of it, where that is known."""
    return Whole(line.key, line.name, analysis or analyse_line(line, water))


def whole_rig(
    looped: Looped,
    water: Water,
    key: str = "",
    name: str = "",
    alone: HeadFigures | None = None,
) -> Whole:
    """Lines looped together. alone: the figures of the head by itself, where they are known."""
    found = analyse_line(looped.whole, water)
    named = name or looped.cast.name
    found = replace(
        found,
        line=replace(found.line, name=named),
        findings=tuple(_findings(looped, found)),
    )
    alone = alone or analyse_line(looped.spans[looped.head].line, water).head
    parts = None
    if alone is not None:
        lengths = [span.end - span.start for span in looped.spans]
        parts = RigParts(alone, sum(lengths[: looped.head]), sum(lengths[looped.head + 1 :]))
    return Whole(key, named, found, looped, parts)


def looped_of(rig: Rig, bench: Bench) -> Looped | None:
    """A rig of a bench put together; None where a line is gone, or has no head in one piece."""
    try:
        return of_rig(tied(rig, bench), bench)
    except Impossible:
        return None


def rig_of_bench(rig: Rig, bench: Bench, alone: HeadFigures | None = None) -> Whole | None:
    """The same with its figures. alone: those of its head by itself, where they are known."""
    looped = looped_of(rig, bench)
    if looped is None:
        return None
    return whole_rig(looped, bench.water, rig.key, rig.name, alone)


def in_hand(bench: Bench) -> Whole | None:
    """What a bench shows: its current rig, or its current line; None without a line."""
    rig, line = bench.current_rig, bench.current_line
    whole = rig_of_bench(rig, bench) if rig is not None else None
    return whole or (whole_line(line, bench.water) if line is not None else None)


def _findings(looped: Looped, found: LineAnalysis) -> Iterator[Finding]:
    """What is worth a remark in each line of a rig, and at its joints, from the fly end."""
    for at, (span, rows) in enumerate(zip(looped.spans, looped.rows, strict=True)):
        for each in findings_of(span.line, found.segments[rows.start : rows.stop]):
            said = Sentence("{line}: {finding}", line=span.line.name, finding=each.sentence)
            row = None if each.segment is None else each.segment + rows.start
            yield replace(each, sentence=said, segment=row)
        if at < len(looped.joints):
            hinge = joint_finding(looped.joints[at], rows.stop - 1)
            if hinge is not None:
                yield hinge
