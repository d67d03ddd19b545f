"""A head as it is put together: what the scale should read after each joint, and how far it may be.

The readings are y_k = E_k + H_k theta + error, theta being what may be off: the mass per length of
each batch, shared by all pieces off one spool; that of each piece by itself; each cut; each lap;
what each joint weighs; and a share common to all sleeves of one tube. All are zero on average.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from taperlab.model.exact_units import GRAIN, INCH
from taperlab.physics.frustum import Array
from taperlab.shop.errors import rounding_error

UNWEIGHED = 0.02
"""Standard deviation of a batch that was never weighed, as a share: label or diameters alone."""

PIECE = 0.005
"""Standard deviation of one piece against its batch, as a share. Our estimate."""

CUT = INCH / 16.0 / math.sqrt(3.0)
"""Standard deviation of a cut that may be a sixteenth of an inch off either way [m]."""

LAP = INCH / 8.0 / math.sqrt(3.0)
"""That of an overlap that may be an eighth of an inch off either way [m]."""

JOINT = 0.1 * GRAIN
"""That of what one joint weighs [kg]."""

TUBE = 0.08
"""That of all sleeves of one tube, as a share of what they weigh."""


@dataclass(frozen=True, slots=True)
class Built:
    """A piece in its head. mass: its finished share, fold and all [kg]; length: of all that [m].

    front, rear: mass per length at its ends [kg/m]. batch: the stock that it is cut from, and how
    well that is known, as a share. spare: cut on at its rear until the next lap is bevelled [kg].
    per_mass: how much shorter it is cut for each kilogram too heavy before it [m/kg], at its rear.
    cut: what it weighs as it is cut, before any bevel [kg]; nought where that is not looked at.
    """

    name: str
    mass: float
    length: float
    front: float
    rear: float
    batch: str
    batch_error: float | None = None
    spare: float = 0.0
    per_mass: float = 0.0
    cut: float = 0.0


@dataclass(frozen=True, slots=True)
class Meeting:
    """A joint between two pieces. mass: what it adds [kg]; overlap: of a lap [m]."""

    mass: float = 0.0
    overlap: float = 0.0

    @property
    def is_peeled(self) -> bool:
        """Whether it was welded in a tube that does not stay on."""
        return self.overlap > 0.0 and not self.mass


@dataclass(frozen=True, slots=True)
class Build:
    """Pieces in order of work from the fly end, with the joints between; scale: its step [kg].

    front, rear: what the loops at the ends add beside their fold [kg]. Both are made last.
    """

    pieces: tuple[Built, ...]
    joints: tuple[Meeting, ...]
    front: float = 0.0
    rear: float = 0.0
    scale: float = 0.5 * GRAIN

    def __post_init__(self) -> None:
        if len(self.joints) != max(0, len(self.pieces) - 1):
            raise ValueError("a build needs one joint fewer than it has pieces")


@dataclass(frozen=True, slots=True)
class Cause:
    """One thing that may be off. what: batch, piece, cut, lap, joint or tube; index: which."""

    what: str
    index: int
    sd: float


def batches(build: Build) -> tuple[str, ...]:
    """The stock that pieces are cut from, each once, in the order of work."""
    return tuple(dict.fromkeys(each.batch for each in build.pieces))


def causes(build: Build) -> tuple[Cause, ...]:
    """All that may be off."""
    found = []
    for at, batch in enumerate(batches(build)):
        errors = [each.batch_error for each in build.pieces if each.batch == batch]
        found.append(Cause("batch", at, UNWEIGHED if errors[0] is None else errors[0]))
    found += [Cause("piece", at, PIECE) for at in range(len(build.pieces))]
    found += [Cause("cut", at, CUT) for at in range(len(build.pieces))]
    found += [Cause("lap", at, LAP) for at, each in enumerate(build.joints) if each.overlap]
    found += [Cause("joint", at, JOINT) for at, each in enumerate(build.joints) if each.mass]
    if any(each.mass for each in build.joints):
        found.append(Cause("tube", 0, TUBE))
    return tuple(found)


def expected(build: Build, *, spares: bool = True) -> Array:
    """What the scale should read after each piece is joined [kg], before any loop is made.

    spares: with what is cut on at the rear for a lap that is not bevelled yet. A loop that is not
    made yet is line that lies there, without its tube.
    """
    found, total = [], 0.0
    for at, piece in enumerate(build.pieces):
        total += piece.mass + (build.joints[at - 1].mass if at else 0.0)
        last = at == len(build.pieces) - 1
        found.append(total + (piece.spare if spares and not last else 0.0))
    return np.array(found)


def loops(build: Build) -> float:
    """What the loops at both ends add beside their fold [kg]."""
    return build.front + build.rear


def effects(build: Build) -> Array:
    """Rows H: what a unit of each cause moves each reading by, [kg] or [kg/m]."""
    names, all_causes = batches(build), causes(build)
    rows = np.zeros((len(build.pieces), len(all_causes)))
    for k in range(len(build.pieces)):
        for column, cause in enumerate(all_causes):
            rows[k, column] = _effect(build, names, cause, k)
    return rows


def _effect(build: Build, names: Sequence[str], cause: Cause, k: int) -> float:
    if cause.what == "batch":
        name = names[cause.index]
        return sum(each.mass for each in build.pieces[: k + 1] if each.batch == name)
    if cause.what == "tube":
        return sum(each.mass for each in build.joints[:k])
    if cause.index > (k if cause.what in ("piece", "cut") else k - 1):
        return 0.0
    if cause.what == "joint":
        return 1.0
    piece = build.pieces[cause.index]
    if cause.what == "piece":
        return piece.mass
    if cause.what == "cut":
        return piece.mass / piece.length
    return -(piece.rear + build.pieces[cause.index + 1].front) / 2.0


def reading_variance(build: Build) -> float:
    """Variance of one reading of the scale [kg^2]."""
    return rounding_error(build.scale) ** 2


def plan_errors(build: Build) -> Array:
    """Standard deviation of each reading, with nothing weighed before it [kg]."""
    moves = effects(build) * np.array([each.sd for each in causes(build)])
    return np.asarray(np.sqrt((moves**2).sum(axis=1) + reading_variance(build)))


def step_errors(build: Build) -> Array:
    """Standard deviation of each reading, given all readings before it [kg]."""
    rows, noise = effects(build), reading_variance(build)
    cover = np.diag([each.sd**2 for each in causes(build)])
    found = []
    for row in rows:
        variance = float(row @ cover @ row) + noise
        found.append(math.sqrt(variance))
        gain = cover @ row / variance
        cover = cover - np.outer(gain, row @ cover)
    return np.array(found)


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """What the scale should read once so many pieces are joined, from the fly end.

    No loop is made until all are joined: the last is of the whole head with both of them.

    mass, reach: the reading and its ± [kg], nothing weighed before; adds, adds_reach: what it is
    more than the reading before, and the ± of that; both are twice a standard deviation, rounded up
    to half a step of the scale. spare: how much of the reading is cut on for a lap that is not
    bevelled yet [kg]. trim: how much shorter the next piece is cut for each kilogram too heavy
    [m/kg]; None after the last.
    """

    after: int
    mass: float
    reach: float
    adds: float
    adds_reach: float
    spare: float
    trim: float | None


def checkpoints(build: Build) -> tuple[Checkpoint, ...]:
    """One after each piece; the last with the loops on."""
    reads = expected(build)
    reads[-1] += loops(build)
    plain, given = plan_errors(build), step_errors(build)
    adds = np.diff(np.concatenate(([0.0], reads)))
    found = []
    for at in range(len(build.pieces)):
        last = at == len(build.pieces) - 1
        found.append(
            Checkpoint(
                at + 1,
                float(reads[at]),
                rounded_up(2.0 * float(plain[at]), build.scale),
                float(adds[at]),
                rounded_up(2.0 * float(given[at]), build.scale),
                0.0 if last else build.pieces[at].spare,
                None if last else build.pieces[at + 1].per_mass,
            )
        )
    return tuple(found)


def rounded_up(reach: float, step: float) -> float:
    """A ± rounded up to half a step of the scale [kg]."""
    half = step / 2.0
    return math.ceil(reach / half - 1e-9) * half


def total_errors(build: Build) -> dict[str, float]:
    """Standard deviation of the whole head [kg], by the order of work and by what is weighed.

    What is added after the last weighing is what the head is off by, if all before is mended:
    ``front to rear``, ``rear to front`` and ``thickest last`` with each joint weighed; ``nothing
    weighed``; ``each piece`` cut longer and trimmed to its own weight.
    """
    noise = reading_variance(build)

    def added(at: int) -> float:
        piece = build.pieces[at]
        batch = UNWEIGHED if piece.batch_error is None else piece.batch_error
        own = (batch * piece.mass) ** 2 + (PIECE * piece.mass) ** 2
        own += (piece.mass / piece.length * CUT) ** 2
        joints = build.joints[max(0, at - 1) : at + 1]
        meets = [each for each in joints if each.mass]
        return own + len(meets) * JOINT**2 + noise

    thickest = max(range(len(build.pieces)), key=lambda i: build.pieces[i].mass)
    joints = sum(JOINT**2 for each in build.joints if each.mass)
    trimmed = sum(noise + (piece.mass / piece.length * CUT) ** 2 for piece in build.pieces)
    return {
        "front to rear": math.sqrt(added(len(build.pieces) - 1)),
        "rear to front": math.sqrt(added(0)),
        "thickest last": math.sqrt(added(thickest)),
        "nothing weighed": float(plan_errors(build)[-1]),
        "each piece": math.sqrt(trimmed + joints),
    }


def weakest(build: Build) -> tuple[int, ...]:
    """The batches by how much they leave open of the head's weight, the most first."""
    shares = []
    for at, batch in enumerate(batches(build)):
        mine = [each for each in build.pieces if each.batch == batch]
        error = UNWEIGHED if mine[0].batch_error is None else mine[0].batch_error
        shares.append((-error * sum(each.mass for each in mine), at))
    return tuple(at for _, at in sorted(shares))
