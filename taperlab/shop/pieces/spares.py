"""What pieces are cut longer, so that a head that comes out too light can still be mended."""

from __future__ import annotations

from taperlab.shop.pieces.as_built import Read, foreseen
from taperlab.shop.pieces.building import Build
from taperlab.shop.pieces.outcome import PiecesStudy
from taperlab.shop.pieces.trims import spare_for


def spare_needed(study: PiecesStudy) -> float | None:
    """The spare that is enough for every piece of every whole head [m]; None without one."""
    # Heads of one design that are cut off the same spools are one build, and asked once.
    builds = dict.fromkeys(each for each in study.builds if each is not None)
    needed = [found for each in builds if (found := _needed(each))]
    return max(needed, default=None)


def _needed(build: Build) -> float:
    """What the pieces behind each weighing need [m]: by how much that may be off, known as then."""
    needed = 0.0
    for index in range(2, len(build.pieces)):
        # After so many pieces the scale is read, and the next one mends what it says.
        earlier = Read(dict.fromkeys(range(2, index), 0.0))
        _, sd = foreseen(build, earlier, index)
        needed = max(needed, spare_for(sd, build.pieces[index].rear))
    return needed
