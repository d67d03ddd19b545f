"""What the ruler of a build shows: what was expected, how far that may be off, what was read."""

from __future__ import annotations

from taperlab.gui.kit.ruler import Mark, Ruler
from taperlab.shop.errors import WeightError
from taperlab.shop.pieces.progress import Progress
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, Weight, render
from taperlab.units.show import to_unit


def ruler_of(progress: Progress, after: int, system: System) -> Ruler | None:
    """The reading once so many pieces are joined; None where none is foreseen."""
    point = progress.point(after)
    if point is None:
        return None
    unit = "gr" if system is System.US else "g"

    def at(mass: float) -> float:
        return to_unit(mass, unit, WEIGHT)

    expected = Sentence(
        "expected {mass} {reach}",
        mass=Weight(point.mass, unit=False),
        reach=WeightError(point.reach),
    )
    said, now = expected, None
    if point.reading is not None:
        read = Sentence("read {mass}", mass=Weight(point.reading, unit=False))
        now = Mark(at(point.reading), render(read, system))
        said = Sentence("{expected}, {read}", expected=expected, read=read)
    title = tr("grains") if unit == "gr" else tr("grams")
    band = at(point.mass - point.reach), at(point.mass + point.reach), ""
    words = Sentence("{title}: {said}.", title=title, said=said)
    return Ruler(
        now,
        None,
        Mark(at(point.mass), render(expected, system)),
        band,
        title,
        render(words, system),
    )
