"""A head as it was built: its pieces as they lie there, as heavy as scale and tape say."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from taperlab.edits.edited import Refused
from taperlab.edits.stock import scaled
from taperlab.model.line import ONE_EXTRUSION, Joint, Line
from taperlab.model.segment import Segment
from taperlab.model.stock import Stock
from taperlab.shop.errors import CONFIDENT
from taperlab.shop.pieces.as_built import DETERMINED
from taperlab.shop.pieces.building import PIECE, UNWEIGHED, causes, effects
from taperlab.shop.pieces.joining import joint_between, lying_from_front, part_at
from taperlab.shop.pieces.progress import Progress
from taperlab.shop.weighed import weighed

_MOST = 5.0
"""No batch is so many times as heavy as it was believed: readings that say so are wrong."""


@dataclass(frozen=True, slots=True)
class Compared:
    """A piece as it was designed, and as it was built [kg].

    error: standard deviation of what it weighs [kg]; is_told: whether what was weighed tells it.
    """

    number: int
    designed: float
    built: float
    error: float
    is_told: bool


def heavier(progress: Progress, at: int) -> float:
    """How many times as heavy as its batch was believed a piece is, from 0.

    All that readings say of it: batch, piece, cut and lap; what they say of a joint is the joint’s.
    """
    return 1.0 + _more(progress, at, of_joint=False) / progress.pieces[at].mass


def _more(progress: Progress, at: int, *, of_joint: bool) -> float:
    """What readings say a piece weighs more than was believed, or the joint ahead of it [kg]."""
    build = progress.build
    rows = effects(build)
    row = rows[at] - (rows[at - 1] if at else 0.0)
    mine = [(cause.what in ("joint", "tube")) is of_joint for cause in causes(build)]
    return progress.bench.belief.of(np.where(mine, row, 0.0))[0]


def line_as_built(progress: Progress) -> Line:
    """The head as a line: lengths as they were cut, diameters as they are, densities as told."""
    segments: list[Segment] = []
    joints: list[Joint] = []
    for at in range(len(progress.pieces)):
        mine = segments_of(progress, at)
        if not mine:
            continue
        if segments:
            ahead, piece = progress.pieces[at - 1 : at + 1]
            joint = joint_between(progress.log.head, ahead, piece, progress.log.rules)
            more = _more(progress, at, of_joint=True)
            joints.append(replace(joint, mass=max(0.0, joint.mass + more)))
        joints += [ONE_EXTRUSION] * (len(mine) - 1)
        segments += mine
    made = replace(progress.log.head, segments=tuple(segments), joints=tuple(joints), note="")
    if progress.log.last_reading is None:
        return made
    _, error = progress.bench.belief.of(effects(progress.build)[-1])
    return weighed(made, CONFIDENT * error, progress.build.scale)


def compared(progress: Progress) -> tuple[Compared, ...]:
    """Each piece as it was designed and as it was built, from the fly end."""
    found, rows = progress.found, []
    for at, piece in enumerate(progress.pieces):
        prior = UNWEIGHED if piece.stock.mass_error is None else piece.stock.mass_error
        before = (prior**2 + PIECE**2) ** 0.5
        after = found.density_errors[at]
        rows.append(
            Compared(
                at + 1,
                piece.target,
                _mass_now(progress, at) * heavier(progress, at),
                after * piece.mass,
                after <= DETERMINED * before,
            )
        )
    return tuple(rows)


def _mass_now(progress: Progress, at: int) -> float:
    """What a piece weighs by its batch, all trims off [kg]."""
    return progress.pieces[at].mass_without(_off(progress, at))


def _off(progress: Progress, at: int) -> float:
    """What is off the rod end of a piece by now [m]."""
    piece = progress.pieces[at]
    rear = progress.log.rear_trimmed or 0.0
    if at < len(progress.pieces) - 1 or not rear:
        return piece.off
    return min(piece.off + rear, piece.longest_trim * 0.99)


def segments_of(progress: Progress, at: int) -> list[Segment]:
    """The share of the head that a piece is, from 0, section by section from its own front."""
    piece = progress.pieces[at]
    material = _believed(piece.log.material, piece.log.heavier * heavier(progress, at))
    whole = material.whole_length
    begin = piece.ends[0].added
    end = whole - _off(progress, at) - piece.ends[1].added
    if piece.log.turned:
        begin, end = whole - end, whole - begin
    cut = lying_from_front(material.stretch(begin, end), turned=piece.log.turned)
    found, at_front, whole = [], 0.0, sum(each.length for each in cut)
    for each in cut:
        share = (at_front + each.length / 2.0) / whole
        part = part_at(progress.log.head, piece.log.row, piece.log.last_row, share)
        found.append(replace(each, part=part))
        at_front += each.length
    return found


def _believed(material: Stock, heavy: float) -> Stock:
    """A material so many times as heavy, as far as any material can be."""
    try:
        return scaled(material, min(max(heavy, 1.0 / _MOST), _MOST))
    except Refused:
        return material
