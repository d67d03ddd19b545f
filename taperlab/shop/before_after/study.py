"""A head before and after: of a job, or of a cut-back; and where the one lies on the other."""

from __future__ import annotations

import contextlib
import math
from collections.abc import Iterator
from dataclasses import dataclass

from taperlab.edits.cut_back import cut_back_of, measured_for
from taperlab.edits.jobs_keep import lines_of
from taperlab.model.bench import Bench, keyed
from taperlab.model.job import Job
from taperlab.model.line import Line, Loop
from taperlab.model.rod import Rod
from taperlab.physics.head import head_of
from taperlab.physics.trim import trim
from taperlab.shop.analyse import analyse_line
from taperlab.shop.cut_back.study import State, Study, study
from taperlab.shop.jobs.about import about
from taperlab.shop.jobs.cut_in_hand import cut_in_hand
from taperlab.shop.on_rod import fit_to_rod
from taperlab.shop.steps import Steps
from taperlab.shop.versions.study import Changes, changes
from taperlab.shop.weighed import scale_of
from taperlab.shop.whole import Assembly
from taperlab.units.finding import Impossible
from taperlab.units.sentence import Sentence

ALIKE = 2e-6
"""Diameters closer than this are one [m]: two steps of the finest micrometer."""

AS_LONG = 5e-4
"""Lengths closer than this are one [m]: half a step of a tape in millimetres."""


@dataclass(frozen=True, slots=True)
class Off:
    """What a blade took off each end, and what new loops took of the length besides [m]."""

    front: float
    rear: float
    front_fold: float = 0.0
    rear_fold: float = 0.0

    @property
    def begins(self) -> float:
        """Where the fly end after lies on the head before [m]."""
        return self.front + self.front_fold

    @property
    def folded(self) -> float:
        """What the loops took [m]."""
        return self.front_fold + self.rear_fold


@dataclass(frozen=True, eq=False, slots=True)
class BeforeAfter:
    """A head, or a rig, before and after. name: of the line, or the rig.

    off: where the head after is what a blade left of the head before. changes: row by row. new:
    whether the loops at the fly end and at the rod end are new. scales: the step of the scale that
    weighed it before and after [kg], where one did. is_rig: whether lines are looped together
    there.
    """

    name: str
    before: State
    after: State
    rod: Rod | None
    off: Off | None
    changes: Changes
    new: tuple[bool, bool]
    scales: tuple[float | None, float | None] = (None, None)
    is_rig: bool = False


Told = tuple[BeforeAfter | Sentence, Job | None]
"""What was done to a head, or why nothing is told; and by which job, if it was one."""


def told(bench: Bench, line: Line | None, job: Job | None) -> Steps[Told]:
    """What a job did; without one, the last begun of a line or its rig, else its cut-back.

    A job whose head is cut and not on the bench yet is told of by its cut-back.
    """
    if job is None and line is not None:
        begun = (each for each in reversed(bench.jobs) if each.before is not None)
        job = next((each for each in begun if line.key in lines_of(bench, each)), None)
    rod = bench.chosen_rod
    if job is None:
        if line is None:
            return Sentence("There is no line to print."), None
        cut = cut_back_of(bench, line)
        if cut is None:
            return Sentence(
                "Nothing was done to {line} yet: begin a job of it, or cut it back.", line=line.name
            ), None
    else:
        cut = cut_in_hand(bench, job)
        if cut is None:
            return of_job(bench, job), job
        # Of a rig it may be the tip that is cut, or what is looped behind.
        line, rod = keyed(bench.lines, cut.line), keyed(bench.rods, job.rod)
    studied = yield from study(line, cut, rod, bench.water, measured_for(bench, line))
    return of_cut_back(studied), job


def of_job(bench: Bench, job: Job) -> BeforeAfter | Sentence:
    """What a job did: its line or rig as it was kept before, and after, or now; or why not told.

    On its own rod, if it names one: that of the bench may be somebody else's.
    """
    found = about(bench, job)
    if found.before is None:
        return Sentence("This job has no line that was kept before the work: begin it first.")
    if found.since is None:
        return Sentence("The line of this job is gone, and it was not kept after the work.")
    rod, before = keyed(bench.rods, job.rod), keyed(bench.versions, job.before)
    was = keyed(bench.lines, before.of) if before is not None else None
    name = was.name if was is not None and not found.is_rig else found.names[0]
    one, two = (_side(each, rod, bench) for each in (found.before, found.since))
    off = off_between(one.line, two.line)
    loops = tuple(
        _is_new(*ends)
        for ends in (
            (one.line.front_loop, two.line.front_loop, off.front if off else 0.0),
            (one.line.rear_loop, two.line.rear_loop, off.rear if off else 0.0),
        )
    )
    told_since = changes(one.analysis, two.analysis)
    new = loops[0], loops[1]
    scales = scale_of(found.before.lines), scale_of(found.since.lines)
    return BeforeAfter(name, one, two, rod, off, told_since, new, scales, found.is_rig)


def of_cut_back(studied: Study) -> BeforeAfter | Sentence:
    """What a cut-back did: the head before the first cut, and as it leaves the bench."""
    place, uncut, finished = studied.standing, studied.uncut, studied.finished
    if studied.disagreement is not None:
        return Sentence(
            "The weighings of this cut-back do not add up: see to that first, on the Cut back page."
        )
    if studied.line is None or studied.job is None or place is None or uncut is None:
        return Sentence("Nothing is cut back here.")
    if finished is None:
        return Sentence("Nothing is cut off yet.")
    belief = place.belief
    front_fold, rear_fold = studied.terms.folds(front=belief.front > 0.0, rear=belief.rear > 0.0)
    off = Off(belief.front, belief.rear, front_fold, rear_fold)
    return BeforeAfter(
        studied.line.name,
        uncut,
        finished,
        studied.rod,
        off,
        changes(uncut.analysis, finished.analysis),
        (front_fold > 0.0, rear_fold > 0.0),
        (scale_of((uncut.line,)), scale_of((finished.line,))),
    )


def off_between(before: Line, after: Line) -> Off | None:
    """What a blade took off each end, where the line after is a stretch of the line before.

    By diameters and lengths; densities may have been scaled to what a scale read.
    """
    for begins in sorted(_places(before, after)):
        if _lies_at(begins, before, after):
            ends = max(0.0, before.length - begins - after.length)
            front, rear = begins, ends
            front_fold = min(front, after.front_loop.fold) if front > AS_LONG else 0.0
            rear_fold = min(rear, after.rear_loop.fold) if rear > AS_LONG else 0.0
            if front + rear <= AS_LONG:
                return None
            return Off(front - front_fold, rear - rear_fold, front_fold, rear_fold)
    return None


def _places(before: Line, after: Line) -> Iterator[float]:
    """Where the fly end after could lie on the line before [m], by breakpoints that meet."""
    spare = before.length - after.length
    yield from (0.0, spare)
    for first in after.starts[1:2] if len(after.segments) > 1 else ():
        for there in before.starts[1:-1]:
            if -AS_LONG <= there - first <= spare + AS_LONG:
                yield there - first


def _lies_at(begins: float, before: Line, after: Line) -> bool:
    first, last = max(0.0, begins), min(before.length, begins + after.length)
    if last - first < after.length - AS_LONG:
        return False
    try:
        stretch = trim(before, first, last)
    except ValueError:
        return False
    return len(stretch.segments) == len(after.segments) and all(
        math.isclose(one.front_diameter, two.front_diameter, abs_tol=ALIKE)
        and math.isclose(one.rear_diameter, two.rear_diameter, abs_tol=ALIKE)
        and math.isclose(one.length, two.length, abs_tol=AS_LONG)
        for one, two in zip(stretch.segments, after.segments, strict=True)
    )


def _side(of: Assembly, rod: Rod | None, bench: Bench) -> State:
    if of.is_rig:
        whole = of.whole(bench.water, cast_alone=True)
        return State(whole.analysis, whole.on_rod(rod))
    (line,) = of.lines
    with contextlib.suppress(Impossible):  # one without a head is told of as a whole
        line = head_of(line)
    analysis = analyse_line(line, bench.water)
    return State(analysis, fit_to_rod(analysis, rod))


def _is_new(before: Loop, after: Loop, cut: float) -> bool:
    there = after.fold > 0.0 or after.mass > 0.0
    return there and (cut > 0.0 or before != after)
