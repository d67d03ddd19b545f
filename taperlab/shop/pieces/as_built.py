"""What readings on the way tell: which piece is off, what its batch weighs, what was forgotten."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.shop.pieces.building import (
    Build,
    batches,
    causes,
    effects,
    expected,
    loops,
    reading_variance,
)
from taperlab.units.language import later

LOOK, WRONG = 2.0, 3.0
"""Standard deviations beyond which a reading is looked at, and beyond which something is wrong."""

ROUNDED = 1.5
"""Steps of the scale within which a reading is never odd: it, the one before and a piece that was
weighed by itself may each be rounded by half a step."""

LIKELIER = 2.0
"""So many times as likely a tube makes what is asked about though chance may explain it."""

DETERMINED = 0.8
"""What a reading leaves of an error, as a share, above which it told nothing of it."""


@dataclass(frozen=True, slots=True)
class Known:
    """Something that may be off, after the readings. off: by how much, as a share or in SI.

    before, after: standard deviation without and with the readings.
    """

    what: str
    index: int
    off: float
    before: float
    after: float

    @property
    def is_told(self) -> bool:
        """Whether the readings tell anything of it."""
        return self.after <= DETERMINED * self.before

    @property
    def is_odd(self) -> bool:
        """Whether it is further off than scale and tape can be."""
        return abs(self.off) > LOOK * self.before


@dataclass(frozen=True, eq=False, slots=True)
class AsBuilt:
    """A build after its readings.

    known: all that may be off; densities, density_errors: of each piece its mass per length over
    what was believed, and the standard deviation of that, as shares.
    """

    known: tuple[Known, ...]
    densities: tuple[float, ...]
    density_errors: tuple[float, ...]

    def batch(self, index: int) -> Known:
        """What goes back to the stock: the part that a whole batch shares."""
        return next(each for each in self.known if (each.what, each.index) == ("batch", index))


@dataclass(frozen=True, slots=True)
class Read:
    """What the scale read [kg]. joints: by how many pieces were joined (from 1), no loops on.

    own: by the number of the piece (from 0), as it was cut. whole: the finished head, loops on;
    taken: what came off its rod end since the last joint, as it was believed before.
    """

    joints: Mapping[int, float] = field(default_factory=dict)
    own: Mapping[int, float] = field(default_factory=dict)
    whole: float | None = None
    taken: float = 0.0

    def before(self, after: int) -> Read:
        """What was read before so many pieces were joined; all joints for one piece more."""
        return Read({k: mass for k, mass in self.joints.items() if k < after}, self.own)


@dataclass(frozen=True, eq=False, slots=True)
class Belief:
    """What is believed of all that may be off: by how much, and how far that may be wrong.

    In the order of ``causes``, as shares or in SI.
    """

    off: Array
    cover: Array

    def of(self, row: Array) -> tuple[float, float]:
        """What these effects come to, and the standard deviation of that [kg]."""
        return float(row @ self.off), math.sqrt(max(0.0, float(row @ self.cover @ row)))


def own_effects(build: Build, index: int) -> Array:
    """What a unit of each cause moves the weight of one piece by, as it is cut [kg] or [kg/m]."""
    piece, names = build.pieces[index], batches(build)
    row = np.zeros(len(causes(build)))
    for column, cause in enumerate(causes(build)):
        is_its = cause.index == index
        if cause.what == "batch":
            is_its = names[cause.index] == piece.batch
        if is_its and cause.what in ("batch", "piece"):
            row[column] = piece.cut
        elif is_its and cause.what == "cut":
            row[column] = piece.mass / piece.length
    return row


def believed(build: Build, read: Read, *, spares: bool = True) -> Belief:
    """What is believed after these readings.

    theta = P0 H' (H P0 H' + R)^-1 (y - E), P = P0 - K H P0: the readings as they were taken, since
    their differences would share errors.
    """
    cover = np.diag([each.sd**2 for each in causes(build)])
    off = np.zeros(len(cover))
    rows, misses = [], []
    reads, moves = expected(build, spares=spares), effects(build)
    for index, mass in sorted(read.own.items()):
        rows.append(own_effects(build, index))
        misses.append(mass - build.pieces[index].cut)
    for after, mass in sorted(read.joints.items()):
        rows.append(moves[after - 1])
        misses.append(mass - reads[after - 1])
    if read.whole is not None:
        rows.append(moves[-1])
        misses.append(read.whole - reads[-1] - loops(build) + read.taken)
    if rows:
        matrix = np.array(rows)
        inner = matrix @ cover @ matrix.T + reading_variance(build) * np.eye(len(rows))
        gain = np.linalg.solve(inner, matrix @ cover).T
        off = gain @ np.array(misses)
        cover = cover - gain @ matrix @ cover
    return Belief(off, cover)


def as_built(build: Build, read: Read, *, spares: bool = True) -> AsBuilt:
    """What readings tell of everything that may be off."""
    found = believed(build, read, spares=spares)
    after = np.sqrt(np.maximum(np.diag(found.cover), 0.0))
    known = tuple(
        Known(each.what, each.index, float(found.off[i]), each.sd, float(after[i]))
        for i, each in enumerate(causes(build))
    )
    shares, errors = _pieces(build, found.off, found.cover)
    return AsBuilt(known, shares, errors)


def _pieces(build: Build, off: Array, cover: Array) -> tuple[tuple[float, ...], tuple[float, ...]]:
    names = batches(build)
    places = {(each.what, each.index): i for i, each in enumerate(causes(build))}
    shares, errors = [], []
    for at, piece in enumerate(build.pieces):
        b, e = places["batch", names.index(piece.batch)], places["piece", at]
        shares.append(1.0 + float(off[b] + off[e]))
        variance = cover[b, b] + cover[e, e] + 2.0 * cover[b, e]
        errors.append(math.sqrt(max(0.0, float(variance))))
    return tuple(shares), tuple(errors)


class Slip(StrEnum):
    """What may have happened where a reading is off by more than scale and tape explain."""

    LOOP_TUBE = later("what a loop adds is not on")
    LOOP_ON = later("a loop is on already")
    JOINT = later("what a joint adds is not on")
    STILL_ON = later("a tube that is peeled off is still on")
    NEXT = later("the next piece is on the scale too")
    MISSING = later("a piece is not on the scale")
    OTHER_PIECE = later("another piece was taken")
    BEVELLED = later("the next lap is bevelled already")
    UNTRIMMED = later("a piece was not trimmed")


@dataclass(frozen=True, slots=True)
class Alarm:
    """A reading that is off. off: by how much [kg]; z: in standard deviations.

    slips: what explains it within the scale, each with the piece it concerns (from 0), likeliest
    first; to be looked at before anything is trimmed.
    """

    after: int
    off: float
    z: float
    slips: tuple[tuple[Slip, int], ...] = ()

    @property
    def is_odd(self) -> bool:
        """Whether chance hardly explains it."""
        return abs(self.z) > LOOK

    @property
    def is_wrong(self) -> bool:
        """Whether something is surely wrong, and not only to be looked at."""
        return abs(self.z) > WRONG


@dataclass(frozen=True, slots=True)
class Loose:
    """What may lie on the scale that does not belong there, or be missing [kg].

    tube: a welding tube that is peeled off; trims: by the number of the piece (from 0), what was
    trimmed off it. tube_unlike: how far off the weight of the tube may be.
    """

    tube: float | None = None
    trims: Mapping[int, float] = field(default_factory=dict)
    tube_unlike: float = 0.0


def foreseen(build: Build, read: Read, after: int) -> tuple[float, float]:
    """What the scale should read once so many pieces are joined, given what it read before [kg].

    With the standard deviation of the reading. One piece more than there are: the finished head.
    """
    last = len(build.pieces)
    at = min(after, last) - 1
    mean, sd = believed(build, read.before(after)).of(effects(build)[at])
    reads = float(expected(build)[at])
    if after > last:
        reads += loops(build) - read.taken
    return reads + mean, math.hypot(sd, math.sqrt(reading_variance(build)))


def alarm(build: Build, read: Read, after: int, loose: Loose | None = None) -> Alarm | None:
    """Whether the reading after so many pieces is odd, given those before; None where it is not.

    after: one more than there are pieces for the finished head, loops on.
    """
    is_whole = after > len(build.pieces)
    reading = read.whole if is_whole else read.joints.get(after)
    if reading is None:
        return None
    mean, sd = foreseen(build, read, after)
    off = reading - mean
    z = off / sd
    loose = loose or Loose()
    if abs(z) <= LOOK and hides_tube(off, sd, build.scale, loose):
        return Alarm(after, off, z, ((Slip.STILL_ON, min(after, len(build.pieces)) - 1),))
    if abs(z) <= LOOK or abs(off) <= ROUNDED * build.scale:
        return None
    slips = sorted(
        (abs(off - mass), slip.value, slip, at) for slip, at, mass in _slips(build, after, loose)
    )
    # What explains less than half of it is no explanation, however wide the ± is.
    near = min(LOOK * sd, abs(off) / 2.0)
    fitting = tuple((slip, at) for miss, _, slip, at in slips if miss <= near)
    return Alarm(after, off, z, fitting)


def hides_tube(off: float, sd: float, scale: float, loose: Loose) -> bool:
    """Whether a reading that chance may explain tells rather of a tube that is still on.

    off, sd: how far the reading is off, and may be by chance [kg]; scale: its step [kg]. The tube
    explains it to a step of the scale, and makes it ``LIKELIER`` times as likely as chance:
    exp(t (2 e - t) / (2 s^2)), for a tube of t.
    """
    tube = loose.tube
    if tube is None or tube <= scale or abs(off - tube) > scale + loose.tube_unlike:
        return False
    return tube * (2.0 * off - tube) >= 2.0 * sd * sd * math.log(LIKELIER)


@dataclass(frozen=True, slots=True)
class OddPiece:
    """A piece that weighs by itself what it hardly can. index: from 0; off: by how much [kg].

    z: that in standard deviations, given what the other pieces weigh.
    """

    index: int
    off: float
    z: float

    @property
    def is_wrong(self) -> bool:
        """Whether something is surely wrong, and not only to be looked at."""
        return abs(self.z) > WRONG


def odd_pieces(build: Build, own: Mapping[int, float]) -> tuple[OddPiece, ...]:
    """The pieces whose own weights are odd beside those of the others, the oddest first.

    own: what pieces weighed as they were cut, by their number from 0 [kg]. One that is odd is no
    evidence of the others.
    """
    left, found = dict(own), []
    while left:
        judged = [_odd(build, left, index) for index in left]
        oddest = max(judged, key=lambda each: abs(each.z))
        if abs(oddest.z) <= LOOK:
            break
        del left[oddest.index]
        if abs(oddest.off) > ROUNDED * build.scale:
            found.append(oddest)
    return tuple(found)


def _odd(build: Build, own: Mapping[int, float], index: int) -> OddPiece:
    others = Read(own={at: mass for at, mass in own.items() if at != index})
    mean, sd = believed(build, others).of(own_effects(build, index))
    off = own[index] - build.pieces[index].cut - mean
    return OddPiece(index, off, off / math.hypot(sd, math.sqrt(reading_variance(build))))


def _slips(build: Build, after: int, loose: Loose) -> list[tuple[Slip, int, float]]:
    """What could have happened by now, and by how much the reading would be off for it [kg]."""
    found: list[tuple[Slip, int, float]] = []
    last = min(after, len(build.pieces)) - 1
    is_whole = after > len(build.pieces)
    for mass, at in ((build.front, 0), (build.rear, last)):
        if mass and is_whole:
            found.append((Slip.LOOP_TUBE, at, -mass))
        elif mass and (at == 0 or after == len(build.pieces)):
            found.append((Slip.LOOP_ON, at, mass))
    for at, joint in enumerate(build.joints[:last]):
        if joint.mass:
            found.append((Slip.JOINT, at, -joint.mass))
    if loose.tube:
        found.append((Slip.STILL_ON, last, loose.tube))
    if is_whole:
        return found
    for at, mass in loose.trims.items():
        if at in (last, last - 1) and mass:
            found.append((Slip.UNTRIMMED, at, mass))
    if after < len(build.pieces):
        found.append((Slip.NEXT, after, build.pieces[after].mass))
        if build.pieces[last].spare:
            found.append((Slip.BEVELLED, last, -build.pieces[last].spare))
    found.append((Slip.MISSING, last, -build.pieces[last].mass))
    own = build.pieces[last].mass
    for at, other in enumerate(build.pieces):
        if at != last and abs(other.mass - own) > 1e-12:
            found.append((Slip.OTHER_PIECE, at, other.mass - own))
    return found
