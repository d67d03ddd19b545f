"""What comes off the next piece, so that what is joined with it weighs what it should.

By what the scale told so far the next piece may be heavy too: it comes off the same spool. So what
is mended is what all together is believed to weigh once it is joined.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from taperlab.edits.builds import joined
from taperlab.model.build import HeadBuild
from taperlab.model.rod import Rod
from taperlab.model.segment import Part
from taperlab.physics.mass_along import MassAlong
from taperlab.shop.pieces.as_built import AsBuilt, Belief
from taperlab.shop.pieces.building import Build, effects, expected
from taperlab.shop.pieces.lying import Lying
from taperlab.shop.pieces.trims import check_trim, keep_balance
from taperlab.trade.styles import counts_tip, read_ratio
from taperlab.units.finding import Impossible
from taperlab.units.sentence import NOTHING, OnTape, Ratio, Sentence

_FRONT = (Part.TIP, Part.FRONT_TAPER, Part.SINK_TIP)
"""What carries the turnover of a head."""


@dataclass(frozen=True, slots=True)
class Trim:
    """What comes off the rod end of a piece, from 0, as it lies there.

    length: in all [m]; spare: what of it was cut on to be trimmed [m]. off: by how much what is
    joined with it would be too heavy with the spare alone off [kg]. head: what the head then comes
    to [kg], balance: where it then balances [m from the fly end]. stop: why it goes too far; doubt:
    what the person is asked before it is done; note: what else is to be known of it.
    """

    index: int
    length: float
    spare: float
    off: float
    head: float
    balance: float
    stop: Sentence = NOTHING
    doubt: Sentence = NOTHING
    note: Sentence = NOTHING

    @property
    def otherwise(self) -> float:
        """What comes off where that goes too far [m]: too light nothing, else what was planned."""
        return self.spare if self.off > 0.0 else 0.0

    @property
    def shorter(self) -> float:
        """How much shorter than planned the piece gets; below nought longer [m]."""
        return self.length - self.spare


@dataclass(frozen=True, eq=False, slots=True)
class Bench:
    """What trims are worked out from: a build, its pieces and what is believed of them."""

    log: HeadBuild
    pieces: tuple[Lying, ...]
    build: Build
    belief: Belief
    found: AsBuilt
    rod: Rod | None = None

    def target(self, after: int) -> float:
        """What so many joined pieces were planned to weigh [kg], no loops on."""
        masses = sum(each.target for each in self.pieces[:after])
        return masses + sum(each.mass for each in self.build.joints[: max(0, after - 1)])

    def off(self, after: int) -> float:
        """By how much so many joined pieces are believed too heavy, as they lie there [kg]."""
        reads = float(expected(self.build, spares=False)[after - 1])
        mean, _ = self.belief.of(effects(self.build)[after - 1])
        return reads + mean - self.target(after)


def head_target(bench: Bench) -> float:
    """What the whole head was planned to weigh [kg], loops on."""
    return bench.target(len(bench.pieces)) + bench.build.front + bench.build.rear


def trim_by_weight(bench: Bench, index: int) -> Trim:
    """What comes off a piece so that all up to it weigh what they should.

    A piece that was trimmed before, after the last joint say, is trimmed on from there.
    """
    piece, spare, already = bench.pieces[index], _spare(bench, index), _already(bench, index)
    off = bench.off(index + 1)
    if bench.log.rules.keeps_front_taper and _is_front(bench, index):
        note = Sentence("Front taper stays as it is: what is off is taken up further back.")
        return _trim(bench, index, spare, spare, off, NOTHING, note)
    wanted = piece.mass - off / bench.found.densities[index]
    length = piece.off_to_weigh(wanted)
    if length is None and 0.0 <= wanted - piece.mass_without(already) <= bench.log.rules.scale:
        # Less is missing than the scale tells: what there is of it stays on.
        length = already
    if length is None:
        if off > 0.0:
            stop = Sentence("That is more than there is of the piece.")
            return _trim(bench, index, spare, spare, off, stop)
        stop = _problem(bench, index, -math.inf, spare)
        return _trim(bench, index, 0.0, spare, off, stop)
    length -= already
    return _trim(bench, index, length, spare, off, _problem(bench, index, length, spare))


def trim_by_balance(bench: Bench, index: int) -> Trim | None:
    """What comes off the last piece so that the head balances where it was to; None where none is.

    The weight is then off by as much more.
    """
    piece = bench.pieces[index]
    if index != len(bench.pieces) - 1 or not index or index < joined(bench.log):
        return None
    target = _balance([(each.planned, each.target) for each in bench.pieces])
    weighs = [
        each.mass * share for each, share in zip(bench.pieces, bench.found.densities, strict=True)
    ]
    now = _balance([(each.share, mass) for each, mass in zip(bench.pieces, weighs, strict=True)])
    density = piece.rear * bench.found.densities[index]
    end = sum(each.finished for each in bench.pieces)
    try:
        # All of it as it lies there, off by so much: what is ahead was trimmed on the way as well.
        longer = keep_balance(density, sum(weighs), now, end, target)
    except Impossible:
        return None
    length = piece.spare - longer
    stop = _problem(bench, index, length, piece.spare)
    if length < 0.0:
        stop = Sentence(
            "the piece would have to be {longer} longer than it is.", longer=OnTape(-length)
        )
    return _trim(bench, index, max(0.0, length), piece.spare, bench.off(index + 1), stop)


def _is_trimmed(bench: Bench, index: int) -> bool:
    return bench.pieces[index].log.trimmed is not None or index < joined(bench.log)


def _already(bench: Bench, index: int) -> float:
    """What is off a piece already [m]."""
    return bench.pieces[index].off if _is_trimmed(bench, index) else 0.0


def _spare(bench: Bench, index: int) -> float:
    """What of a piece is still there to be trimmed [m]."""
    return 0.0 if _is_trimmed(bench, index) else bench.pieces[index].spare


def _trim(
    bench: Bench,
    index: int,
    length: float,
    spare: float,
    off: float,
    stop: Sentence,
    note: Sentence = NOTHING,
) -> Trim:
    """A trim, with what the head comes to, where what lies behind it comes to what it should."""
    piece = bench.pieces[index]
    already = _already(bench, index)
    share = bench.found.densities[index]
    cannot = length + already > piece.longest_trim - 1e-9
    mass = piece.mass if cannot else piece.mass_without(already + length)
    less = (piece.mass - mass) * share
    head = head_target(bench) + off - less
    shares = bench.found.densities
    parts = []
    for at, each in enumerate(bench.pieces):
        along = each.share
        if at == index and not cannot:
            front, rear = (end.added for end in each.ends)
            along = each.along.cut(front, each.along.length - already - length - rear)
        weighs = each.mass * shares[at] if at < index else each.target
        parts.append((along, mass * share if at == index else weighs))
    doubt = NOTHING if stop else _ratio_doubt(bench, length - spare)
    return Trim(index, max(0.0, length), spare, off, head, _balance(parts), stop, doubt, note)


def _balance(parts: Sequence[tuple[MassAlong, float]]) -> float:
    """Where parts balance that lie one behind the other [m], each weighing so much [kg]."""
    start = moment = mass = 0.0
    for along, weighs in parts:
        centre = along.first_moment() / along.mass
        moment += weighs * (start + centre)
        mass += weighs
        start += along.length
    return moment / mass


def _is_front(bench: Bench, index: int) -> bool:
    """Whether a piece is front taper, and something behind it is not."""

    def front(at: int) -> bool:
        return bench.log.head.segments[bench.pieces[at].row].part in _FRONT

    return front(index) and not all(front(at) for at in range(index, len(bench.pieces)))


def _problem(bench: Bench, index: int, length: float, spare: float) -> Sentence:
    """Why so much can't come off a piece [m], or nothing."""
    piece, rules = bench.pieces[index], bench.log.rules
    planned = piece.along.length - _already(bench, index) - spare
    shorter = length - spare
    try:
        check_trim(planned, shorter, spare, rules.shortest)
    except Impossible as impossible:
        return impossible.sentence
    return _step_problem(bench, index, length)


def _step_problem(bench: Bench, index: int, length: float) -> Sentence:
    """A taper that is cut at its thin end gets thicker there."""
    largest = bench.log.rules.largest_step
    if math.isinf(largest) or index + 1 >= len(bench.pieces):
        return NOTHING
    piece, behind = bench.pieces[index], bench.pieces[index + 1].front

    def step(off: float) -> float:
        rear = piece.rear_without(off)
        return max(rear, behind) / min(rear, behind)

    after = step(_already(bench, index) + length)
    if after <= max(largest, step(piece.spare)) * (1.0 + 1e-9):
        return NOTHING
    return Sentence(
        "That makes the step to the piece behind it {step}; at most {most} was asked for.",
        step=Ratio(after),
        most=Ratio(largest),
    )


def _ratio_doubt(bench: Bench, shorter: float) -> Sentence:
    """Whether a head may get another word on its rod by being so much shorter [m], or longer.

    The words begin at round ratios: a hair may cross one, and it is the person's to say.
    """
    style, rod = bench.log.head.style, bench.rod
    if rod is None or (counts_tip(style) and bench.log.head.segments[0].part is not Part.TIP):
        return NOTHING
    whole = sum(each.finished for each in bench.pieces)
    before, after = (read_ratio(style, each / rod.length) for each in (whole, whole - shorter))
    if before.words == after.words:
        return NOTHING
    return Sentence(
        "With that the head is {after} on {rod}, and no longer {before}. Trim it if that is all "
        "right; else give it up, and plan it anew.",
        after=after.words,
        rod=rod.name,
        before=before.words,
    )
