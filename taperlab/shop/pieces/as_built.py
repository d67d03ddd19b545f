"""What readings on the way tell: which piece is off, what its batch weighs, what was forgotten."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.shop.pieces.building import (
    Build,
    batches,
    causes,
    effects,
    expected,
    reading_variance,
)
from taperlab.units.language import later

LOOK, WRONG = 2.0, 3.0
"""Standard deviations beyond which a reading is looked at, and beyond which something is wrong."""

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


def as_built(build: Build, readings: Mapping[int, float], *, spares: bool = True) -> AsBuilt:
    """What is believed after readings [kg], by how many pieces were joined (from 1).

    theta = P0 H' (H P0 H' + R)^-1 (y - E), P = P0 - K H P0: the readings as they were taken, since
    their differences would share errors.
    """
    which = sorted(readings)
    all_causes = causes(build)
    prior = np.array([each.sd for each in all_causes])
    cover = np.diag(prior**2)
    off = np.zeros(len(all_causes))
    if which:
        rows = effects(build)[[each - 1 for each in which]]
        reads = expected(build, spares=spares)
        misses = np.array([readings[each] - reads[each - 1] for each in which])
        inner = rows @ cover @ rows.T + reading_variance(build) * np.eye(len(which))
        gain = np.linalg.solve(inner, rows @ cover).T
        off = gain @ misses
        cover = cover - gain @ rows @ cover
    after = np.sqrt(np.maximum(np.diag(cover), 0.0))
    known = tuple(
        Known(each.what, each.index, float(off[i]), each.sd, float(after[i]))
        for i, each in enumerate(all_causes)
    )
    shares, errors = _pieces(build, off, cover)
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
    JOINT = later("what a joint adds is not on")
    STILL_ON = later("a tube that is peeled off is still on")
    NEXT = later("the next piece is on the scale too")
    MISSING = later("a piece is not on the scale")
    OTHER_PIECE = later("another piece was taken")
    BEVELLED = later("the next lap is bevelled already")


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
    def is_wrong(self) -> bool:
        """Whether something is surely wrong, and not only to be looked at."""
        return abs(self.z) > WRONG


def alarm(
    build: Build, readings: Mapping[int, float], after: int, tube: float | None = None
) -> Alarm | None:
    """Whether the reading after so many pieces is odd, given those before; None where it is not.

    tube: what a welding tube weighs that is peeled off, where one is used [kg].
    """
    rows, noise = effects(build), reading_variance(build)
    earlier = {each: value for each, value in readings.items() if each < after}
    found = as_built(build, earlier)
    row = rows[after - 1]
    cover = _cover(build, earlier)
    expected_now = float(expected(build)[after - 1] + row @ [each.off for each in found.known])
    sd = math.sqrt(float(row @ cover @ row) + noise)
    off = readings[after] - expected_now
    z = off / sd
    if abs(z) <= LOOK:
        return None
    slips = sorted(
        (abs(off - mass), slip.value, slip, at) for slip, at, mass in _slips(build, after, tube)
    )
    fitting = tuple((slip, at) for miss, _, slip, at in slips if miss <= LOOK * sd)
    return Alarm(after, off, z, fitting)


def _cover(build: Build, readings: Mapping[int, float]) -> Array:
    cover = np.diag([each.sd**2 for each in causes(build)])
    rows, noise = effects(build), reading_variance(build)
    for k in sorted(readings):
        row = rows[k - 1]
        gain = cover @ row / (float(row @ cover @ row) + noise)
        cover = cover - np.outer(gain, row @ cover)
    return cover


def _slips(build: Build, after: int, tube: float | None) -> list[tuple[Slip, int, float]]:
    """What could have happened by now, and by how much the reading would be off for it [kg]."""
    found: list[tuple[Slip, int, float]] = []
    last = after - 1
    if build.front:
        found.append((Slip.LOOP_TUBE, 0, -build.front))
    if build.rear and after == len(build.pieces):
        found.append((Slip.LOOP_TUBE, last, -build.rear))
    for at, joint in enumerate(build.joints[:last]):
        if joint.mass:
            found.append((Slip.JOINT, at, -joint.mass))
    if tube:
        found.append((Slip.STILL_ON, last, tube))
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
