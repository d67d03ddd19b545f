"""A job's head before and after: its figures side by side."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.bench import Bench, keyed
from taperlab.model.job import Job
from taperlab.model.line import Line
from taperlab.model.rod import Rod
from taperlab.shop.analyse import analyse_line
from taperlab.shop.on_rod import fit_to_rod
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
    """The figures of a job's head, on its rod if it names one."""
    before, after = (_kept(bench, key) for key in (job.before, job.kept_after))
    line, rod = keyed(bench.lines, job.line), keyed(bench.rods, job.rod)
    now = after or line
    return BeforeAfter(
        _column(bench, before, rod) if before is not None else None,
        _column(bench, now, rod) if now is not None else None,
        after is not None,
    )


def head_to_print(bench: Bench, job: Job) -> Line | None:
    """The line that a job is about as it is best known: finished, on the bench, or as it came."""
    kept = _kept(bench, job.kept_after), keyed(bench.lines, job.line), _kept(bench, job.before)
    return next((each for each in kept if each is not None), None)


def _kept(bench: Bench, key: str | None) -> Line | None:
    version = keyed(bench.versions, key)
    return version.line if version is not None else None


def _column(bench: Bench, line: Line, rod: Rod | None) -> Column | None:
    analysis = analyse_line(line, bench.water)
    head = analysis.head
    if head is None:
        return None
    fit = fit_to_rod(analysis, rod, lines=bench.lines)
    return (
        Sentence("{weight}", weight=Weight(head.mass)),
        Sentence("{length}", length=OnTape(head.length)),
        Sentence("{ratio} ×", ratio=Ratio(fit.ratio)) if fit and fit.ratio > 0.0 else NOTHING,
        Sentence("{share} %", share=Number(head.front_taper_mass_share * 100.0)),
    )
