"""The figures of a job's head before and after, as the page shows them."""

import math
from dataclasses import replace
from datetime import date

from taperlab.edits import jobs as edits
from taperlab.edits import lines, values
from taperlab.files.native import read_bench
from taperlab.model.bench import Bench, keyed
from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.model.job import Job, JobState
from taperlab.model.line import Line
from taperlab.shipped import sample
from taperlab.shop.analyse import analyse_line
from taperlab.shop.jobs.about import about
from taperlab.shop.jobs.before_after import before_after
from taperlab.shop.jobs.listing import jobs_of

DAY = date(2026, 5, 4)
SCANDI = read_bench(sample("scandi.taperlab"))
"""Its first line is a head of 37 ft, on a rod of 13 ft."""
HEAD = analyse_line(SCANDI.lines[0], SCANDI.water).head
assert HEAD is not None
WEIGHT, SHARE = f"{HEAD.mass / GRAIN:.1f} gr", f"{100 * HEAD.front_taper_mass_share:.0f} %"
NOW = [WEIGHT, "37 ft", f"{37 / 13:.2f} ×", SHARE]


def said(bench: Bench, at: int = 0) -> tuple[list[str] | None, list[str] | None, bool]:
    known = before_after(bench, bench.jobs[at])
    columns = (
        None if each is None else [str(cell) for cell in each] for each in (known.before, known.now)
    )
    return (*columns, known.is_after)


def best(bench: Bench, job: Job) -> Line | None:
    known = about(bench, job).best
    return known.lines[0] if known is not None else None


def test_a_head_is_told_as_it_lies_until_it_is_begun_and_beside_it_from_then_on() -> None:
    bench = edits.take_in_job(SCANDI, "line-1", "rod-mill-pool").bench
    assert said(bench) == (None, NOW, False)
    bench = edits.begin_job(bench, "job-1", DAY).bench
    assert said(bench) == (NOW, NOW, False)
    last = len(bench.lines[0].segments) - 1
    bench = values.set_length(bench, "line-1", last, bench.lines[0].segments[last].length / 2).bench
    before, lighter, _ = said(bench)
    assert before == NOW
    # Half of seven feet of level belly is gone.
    belly = SCANDI.lines[0].segments[last]
    assert belly.front_diameter == belly.rear_diameter
    gone = belly.density * math.pi / 4.0 * belly.front_diameter**2 * 3.5 * FOOT
    assert lighter is not None
    assert lighter[:2] == [f"{(HEAD.mass - gone) / GRAIN:.1f} gr", "33 ft 6 in"]
    bench = edits.finish_job(bench, "job-1", DAY).bench
    # What is done to the line later is not of this job.
    bench = values.set_length(bench, "line-1", last, bench.lines[0].segments[last].length / 2).bench
    assert said(bench) == (NOW, lighter, True)
    # Worked on again, it is told of as it lies there: what was kept then is out of date.
    again = edits.come_to(bench, "job-1", JobState.IN_WORK, DAY).bench
    assert said(again)[1:] != (lighter, True)
    assert not said(again)[2]
    assert best(again, again.jobs[0]) == again.lines[0]
    (listed,) = jobs_of(again, None)
    assert listed.after is None
    assert listed.weight == listed.now


def test_without_a_rod_there_is_no_ratio_and_without_a_head_no_figure() -> None:
    bench = edits.take_in_job(SCANDI, "line-1").bench
    _, now, _ = said(bench)
    assert now == [WEIGHT, "37 ft", "", SHARE]
    bench = edits.take_in_job(lines.add_line(bench, "Empty").bench, "line-3").bench
    assert said(bench, 1) == (None, None, False)
    assert said(edits.take_in_job(bench).bench, 2) == (None, None, False)


def test_what_is_printed_is_the_head_as_it_is_known_best() -> None:
    bench = edits.take_in_job(SCANDI, "line-1", "rod-mill-pool").bench
    assert best(bench, bench.jobs[0]) == bench.lines[0]
    bench = edits.begin_job(bench, "job-1", DAY).bench
    gone = lines.delete_line(bench, "line-1").bench
    assert best(gone, gone.jobs[0]) == SCANDI.lines[0]
    bench = lines.rename_line(bench, "line-1", "Another").bench
    bench = edits.finish_job(bench, "job-1", DAY).bench
    bench = lines.rename_line(bench, "line-1", "A third").bench
    kept = keyed(bench.versions, bench.jobs[0].after)
    assert kept is not None
    assert best(bench, bench.jobs[0]) == kept.line
    assert kept.line.name == "Another"
    assert best(Bench(), replace(Job("job-1"), line="gone")) is None
