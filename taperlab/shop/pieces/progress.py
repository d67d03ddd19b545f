"""How far a head is built: what is due, what the scale should read, what it told so far."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from taperlab.edits.builds import joined
from taperlab.model.build import HeadBuild
from taperlab.model.measurement import USUAL
from taperlab.model.rod import Rod
from taperlab.model.stock import Stock
from taperlab.physics import section
from taperlab.shop.errors import CONFIDENT
from taperlab.shop.pieces.as_built import (
    Alarm,
    AsBuilt,
    Loose,
    OddPiece,
    Read,
    alarm,
    as_built,
    believed,
    foreseen,
    odd_pieces,
)
from taperlab.shop.pieces.building import (
    UNWEIGHED,
    Build,
    batches,
    effects,
    expected,
    loops,
    reading_variance,
    rounded_up,
)
from taperlab.shop.pieces.joining import joined_up
from taperlab.shop.pieces.lying import Lying, lying_pieces
from taperlab.shop.pieces.to_weigh import is_worth_weighing
from taperlab.shop.pieces.trimming import Bench, Trim, trim_by_balance, trim_by_weight
from taperlab.shop.pieces.tubes import tube_of

TAPE = USUAL.tape
"""The step of the tape that trims are marked off with [m]."""


class Act(StrEnum):
    """What a person does in one step."""

    WEIGH_STOCK = "weigh stock"
    CUT = "cut the pieces"
    TRIM = "trim a piece"
    JOIN = "join a piece"
    ASK = "settle a reading"
    TRIM_REAR = "trim the rod end"
    MAKE_LOOPS = "make the loops"
    WEIGH_LAST = "weigh the finished head"
    PUT_ON_BENCH = "put the built head on the bench"
    DONE = "done"


@dataclass(frozen=True, slots=True)
class Due:
    """The one step that is due.

    stock: which is weighed; index: of the piece, from 0, that is worked on; after: how many pieces
    are joined once it is done, one more than there are for the finished head.
    """

    act: Act
    stock: Stock | None = None
    index: int = 0
    after: int = 0


@dataclass(frozen=True, slots=True)
class Point:
    """What the scale should read once so many pieces are joined, given all that it read before.

    after: one more than there are pieces for the finished head, loops on. mass, reach: the reading
    and its ± [kg], twice a standard deviation, rounded up to half a step of the scale. adds: what
    is more than before [kg]. reading: what was read. is_sure: whether the person says it is right.
    """

    after: int
    mass: float
    reach: float
    adds: float
    reading: float | None = None
    is_sure: bool = False


@dataclass(frozen=True, eq=False, slots=True)
class Progress:
    """All that is known of a head that is built.

    unweighed: the spools to weigh first that are still there, what leaves most open first. points:
    after each joint, and of the finished head. trim: what comes off next, by weight; balanced: the
    same so that the balance is kept instead. alarms: readings that are odd, by what was joined.
    odd: pieces that are not joined yet and weigh by themselves what they hardly can.
    """

    log: HeadBuild
    bench: Bench
    read: Read
    points: tuple[Point, ...]
    alarms: dict[int, Alarm]
    odd: tuple[OddPiece, ...]
    unweighed: tuple[Stock, ...]
    due: Due
    trim: Trim | None = None
    balanced: Trim | None = None

    @property
    def pieces(self) -> tuple[Lying, ...]:
        """The pieces, from the fly end."""
        return self.bench.pieces

    @property
    def build(self) -> Build:
        """What is built, as the scale sees it."""
        return self.bench.build

    @property
    def found(self) -> AsBuilt:
        """What the readings told."""
        return self.bench.found

    @property
    def asked(self) -> Alarm | None:
        """The reading that is in question."""
        return self.alarms.get(self.due.after) if self.is_asking else None

    @property
    def asked_piece(self) -> OddPiece | None:
        """The piece whose own weight is in question."""
        if not self.is_asking or self.due.after:
            return None
        return next((each for each in self.odd if each.index == self.due.index), None)

    @property
    def is_asking(self) -> bool:
        """Whether nothing is to be done before a question is settled."""
        return self.due.act is Act.ASK

    def point(self, after: int) -> Point | None:
        """What the scale should read, and read, once so many are joined."""
        return next((each for each in self.points if each.after == after), None)


def progress_of(
    log: HeadBuild,
    shelf: Iterable[Stock] = (),
    rod: Rod | None = None,
    *,
    weighs_stock: bool = True,
) -> Progress:
    """How far a head is built. weighs_stock: False where spools are not to be weighed any more."""
    bench, read = _bench(log, rod)
    pieces, build = bench.pieces, bench.build
    alarms = {
        after: found
        for after, sure in _judged(log)
        if not sure and (found := alarm(build, read, after, _loose(log, pieces, build, after)))
    }
    odd = _odd(log, build, read)
    wrong = next((each for each in odd if each.is_wrong), None) if log.is_cut else None
    unweighed = _unweighed(log, shelf)
    trim = None if alarms or wrong else _trim_due(bench)
    if trim is None and not (alarms or wrong) and (left := _left(log)) is not log:
        bench, read = _bench(left, rod)
    due = _due(log, alarms, unweighed if weighs_stock else (), trim)
    if wrong is not None and not alarms and not log.is_finished:
        due = Due(Act.ASK, index=wrong.index)
    points = _points(bench, read, trim)
    is_trim = due.act in (Act.TRIM, Act.TRIM_REAR)
    balanced = trim_by_balance(bench, due.index) if due.act is Act.TRIM else None
    return Progress(
        log, bench, read, points, alarms, odd, unweighed, due, trim if is_trim else None, balanced
    )


def _bench(log: HeadBuild, rod: Rod | None) -> tuple[Bench, Read]:
    pieces = lying_pieces(log)
    build = joined_up(log.head, pieces, log.rules)
    read = _read(log, pieces)
    return Bench(log, pieces, build, believed(build, read), as_built(build, read), rod), read


def stopped_ahead(progress: Progress) -> Trim | None:
    """The first trim that goes too far, by what is believed now, each piece trimmed in its turn."""
    log = progress.log
    for index in range(len(log.pieces)):
        bench, _ = _bench(log, progress.bench.rod)
        trim = trim_by_weight(bench, index)
        if trim.stop:
            return trim
        if log.pieces[index].trimmed is None:
            pieces = list(log.pieces)
            pieces[index] = replace(pieces[index], trimmed=trim.length)
            log = replace(log, pieces=tuple(pieces))
    return None


def _left(log: HeadBuild) -> HeadBuild:
    """The log where nothing comes off the next pieces: what was cut on to be trimmed stays."""
    waits = [
        index
        for index in _next(log)
        if log.is_cut and log.pieces[index].trimmed is None and log.pieces[index].spare
    ]
    if not waits:
        return log
    pieces = list(log.pieces)
    for index in waits:
        pieces[index] = replace(pieces[index], trimmed=0.0)
    return replace(log, pieces=tuple(pieces))


def _read(log: HeadBuild, pieces: tuple[Lying, ...]) -> Read:
    joints = {
        number + 1: made.mass
        for number, made in enumerate(log.joints, start=1)
        if made.mass is not None
    }
    own = {at: each.own for at, each in enumerate(log.pieces) if each.own is not None}
    last, taken = pieces[-1], log.rear_trimmed or 0.0
    if taken:
        taken = last.mass - last.mass_without(min(last.off + taken, last.longest_trim * 0.99))
    return Read(joints, own, log.last_reading, taken)


def _odd(log: HeadBuild, build: Build, read: Read) -> tuple[OddPiece, ...]:
    """Pieces not joined yet whose own weight is odd, and that nobody vouches for."""
    waits = {at for at, each in enumerate(log.pieces) if at >= joined(log) and not each.sure}
    return tuple(each for each in odd_pieces(build, read.own) if each.index in waits)


def _judged(log: HeadBuild) -> list[tuple[int, bool]]:
    """Every reading by how many pieces were joined, and whether the person is sure of it."""
    found = [(number + 1, made.sure) for number, made in enumerate(log.joints, start=1)]
    if log.last_reading is not None:
        found.append((len(log.pieces) + 1, log.sure_last))
    return found


def _loose(log: HeadBuild, pieces: tuple[Lying, ...], build: Build, after: int) -> Loose:
    """What may lie there that does not belong: the tube of the last weld, what was trimmed off."""
    at = min(after, len(pieces)) - 2
    tube, unlike = None, 0.0
    if 0 <= at < len(build.joints) and build.joints[at].is_peeled:
        tube, unlike = tube_of(log.rules, build.joints[at].overlap)
    trims = {
        index: each.mass_without(0.0) - each.mass for index, each in enumerate(pieces) if each.off
    }
    return Loose(tube, trims, unlike)


def _unweighed(log: HeadBuild, shelf: Iterable[Stock]) -> tuple[Stock, ...]:
    """Spools that were never weighed and of which there is enough, the weightiest first.

    One that leaves less open than half a step of the scale is not worth a step of the work, nor is
    one of which so little is left that its label tells as much. All of a tapered line could be
    weighed before its pieces were off it; now they themselves are.
    """
    there = {each.key: each for each in shelf}
    masses: dict[str, float] = {}
    for each in log.pieces:
        if each.material.mass_error is None and each.material.is_level:
            mass = sum(map(section.mass, each.material.sections))
            masses[each.material.key] = masses.get(each.material.key, 0.0) + mass
    least = log.rules.scale / 2.0 / (CONFIDENT * UNWEIGHED)
    masses = {key: mass for key, mass in masses.items() if mass >= least}
    ordered = sorted(masses, key=lambda key: -masses[key])
    return tuple(
        there[key]
        for key in ordered
        if key in there and there[key].mass_error is None and there[key].is_level
        if is_worth_weighing(there[key], log.rules.scale)
    )


def _next(log: HeadBuild) -> list[int]:
    """The pieces that are joined next, from 0: two for the first joint, then one by one."""
    on = joined(log)
    return [0, 1][: len(log.pieces)] if not on else list(range(on, min(on + 1, len(log.pieces))))


def _trim_due(bench: Bench) -> Trim | None:
    """What is to be trimmed now, where anything is."""
    log = bench.log
    if not log.is_cut:
        return None
    least = TAPE / 2.0
    for index in _next(log):
        if log.pieces[index].trimmed is None and not log.has_loops:
            trim = trim_by_weight(bench, index)
            if trim.length >= least or trim.stop:
                return trim
    if log.is_joined and len(log.pieces) > 1 and log.rear_trimmed is None and not log.has_loops:
        trim = trim_by_weight(bench, len(log.pieces) - 1)
        # Too light can't be mended any more, and less than the scale tells is left.
        if trim.off > log.rules.scale and trim.length >= least and log.joints[-1].mass is not None:
            return trim
    return None


def _due(
    log: HeadBuild, alarms: dict[int, Alarm], unweighed: tuple[Stock, ...], trim: Trim | None
) -> Due:
    count = len(log.pieces)
    if log.is_finished:
        return Due(Act.DONE)
    if alarms:
        return Due(Act.ASK, after=min(alarms))
    if not log.is_cut:
        if unweighed:
            return Due(Act.WEIGH_STOCK, unweighed[0])
        return Due(Act.CUT)
    if trim is not None:
        act = Act.TRIM_REAR if trim.index < joined(log) else Act.TRIM
        return Due(act, index=trim.index, after=trim.index + 1)
    if not log.is_joined:
        return Due(Act.JOIN, index=len(log.joints) + 1, after=len(log.joints) + 2)
    if not log.has_loops and (log.head.front_loop.fold or log.head.rear_loop.fold or _adds(log)):
        return Due(Act.MAKE_LOOPS)
    if log.last_reading is None:
        return Due(Act.WEIGH_LAST, after=count + 1)
    return Due(Act.PUT_ON_BENCH)


def _adds(log: HeadBuild) -> bool:
    return bool(log.head.front_loop.mass or log.head.rear_loop.mass)


def _points(bench: Bench, read: Read, trim: Trim | None) -> tuple[Point, ...]:
    """After each joint and at the end: what was foreseen before a reading, what is foreseen now.

    Pieces that are not trimmed yet are taken to be trimmed to what they should come to.
    """
    log, build = bench.log, bench.build
    count, on = len(log.pieces), joined(bench.log)
    rows, reads = effects(build), expected(build)
    noise = math.sqrt(reading_variance(build))
    waits = trim.index + 1 if trim is not None and trim.index >= on else math.inf
    found, before = [], 0.0
    numbers = [*range(2, count + 1), count + 1]
    for after in numbers:
        whole = after > count
        at = min(after, count) - 1
        reading = log.last_reading if whole else read.joints.get(after)
        is_past = after <= on or (whole and log.last_reading is not None)
        if is_past:
            mass, sd = foreseen(build, read, after)
        else:
            mean, spread = bench.belief.of(rows[at])
            sd = math.hypot(spread, noise)
            mass = float(reads[at]) + mean
            if after > max(on + 1, 2) or after >= waits:
                mass = bench.target(min(after, count)) + (
                    0.0 if at == count - 1 else build.pieces[at].spare
                )
            if whole:
                mass = (bench.target(count) if count > on else mass) + loops(build) - read.taken
        sure = log.sure_last if whole else after <= on and log.joints[after - 2].sure
        reach = rounded_up(2.0 * sd, build.scale)
        found.append(Point(after, mass, reach, mass - before, reading, sure))
        before = reading if reading is not None else mass
    return tuple(found)


def batches_told(progress: Progress) -> dict[str, tuple[float, float]]:
    """What the readings told of each batch, only where they told anything.

    By the key of the stock how many times as heavy per length it is, and the standard deviation of
    that as a share.
    """
    names, known = batches(progress.build), progress.found
    return {
        name: (1.0 + told.off, told.after)
        for at, name in enumerate(names)
        if (told := known.batch(at)).is_told
    }
