"""A job's head before and after: its figures side by side."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.bench import Bench, keyed
from taperlab.model.job import Job
from taperlab.model.rod import Rod
from taperlab.shop.jobs.about import about
from taperlab.shop.whole import Assembly
from taperlab.units.sentence import NOTHING, Number, OnTape, Ratio, Sentence, Weight

ROWS = (
    Sentence("Weight"),
    Sentence("Length"),
    Sentence("Ratio to the rod"),
    Sentence("Front taper"),
)
"""What the rows are called."""

Column = tuple[Sentence, ...]
"""A sentence for each row; nothing where there is no such figure."""


@dataclass(frozen=True, slots=True)
class BeforeAfter:
    """A job's head as it was when the job was begun, and as it is since.

    is_after: the second column is of the head as it was finished, and not as it lies on the bench.
    None: no such head, or one without figures.
    """

    before: Column | None
    now: Column | None
    is_after: bool


def before_after(bench: Bench, job: Job) -> BeforeAfter:
    """The figures of a job's head or rig, on its rod if it names one."""
    found, rod = about(bench, job), keyed(bench.rods, job.rod)
    before, now = (_column(bench, each, rod) for each in (found.before, found.since))
    return BeforeAfter(before, now, found.after is not None)


def _column(bench: Bench, of: Assembly | None, rod: Rod | None) -> Column | None:
    whole = of.whole(bench.water) if of is not None else None
    if whole is None or whole.head is None:
        return None
    head, fit = whole.head, whole.on_rod(rod, bench)
    return (
        Sentence("{weight}", weight=Weight(head.mass)),
        Sentence("{length}", length=OnTape(head.length)),
        Sentence("{ratio} ×", ratio=Ratio(fit.ratio)) if fit and fit.ratio > 0.0 else NOTHING,
        Sentence("{share} %", share=Number(head.front_taper_mass_share * 100.0)),
    )
