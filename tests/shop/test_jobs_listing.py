"""Jobs as a list shows them, and which of them are found."""

from datetime import date
from pathlib import Path

import pytest

from taperlab.edits import jobs as edits
from taperlab.edits import lines, values
from taperlab.model.bench import Bench
from taperlab.model.exact_units import FOOT, GRAIN
from taperlab.model.job import Job, JobState
from taperlab.model.line import line_of
from taperlab.model.rod import Rod
from taperlab.model.segment import Part, Segment
from taperlab.physics import section
from taperlab.shop.jobs.listing import Wanted, found, jobs_of

BELLY = Segment(Part.BELLY, 23 * FOOT, 0.003, 0.003, 850.0)
RUNNING = Segment(Part.RUNNING_LINE, 20.0, 0.001, 0.001, 900.0)
HEAD = line_of("head", "Alder body", (BELLY, RUNNING))
MAY, JUNE, JULY = (date(2026, month, 4) for month in (5, 6, 7))


def bench() -> Bench:
    """A job that is finished, one in work, one that was asked for about nothing on the bench."""
    made = Bench((HEAD,), (Rod("rod-1", "Thirteen for eights", 13 * FOOT),))
    made = edits.take_in_job(made, "head", "rod-1", "The mill-pool customer", "A-041").bench
    made = edits.begin_job(made, "job-1", MAY).bench
    made = values.set_length(made, "head", 0, 20 * FOOT).bench
    made = edits.finish_job(made, "job-1", JUNE).bench
    made = edits.take_in_job(made, "head", None, "Customer 12", "B-7").bench
    made = edits.begin_job(made, "job-2", JULY).bench
    made = edits.take_in_job(made, None, None, "Küstenlinie").bench
    told = Job("x", "Küstenlinie", note="two tips", cast="turned over early")
    return edits.describe_job(made, "job-3", told).bench


def keys(**wanted: object) -> list[str]:
    return [each.job.key for each in found(jobs_of(bench(), None), Wanted(**wanted))]  # type: ignore[arg-type]


def test_a_job_is_listed_with_what_its_head_weighs_before_and_after() -> None:
    first, second, third = jobs_of(bench(), Path("a.taperlab"))
    whole, cut = (
        section.mass(Segment(Part.BELLY, f * FOOT, 0.003, 0.003, 850.0)) for f in (23, 20)
    )
    assert (first.rod, first.head, first.file) == (
        *("Thirteen for eights", "Alder body"),
        Path("a.taperlab"),
    )
    assert first.before == pytest.approx(whole)
    assert first.after == pytest.approx(cut)
    assert first.weight == first.after
    assert (second.rod, second.after) == ("", None)
    assert second.weight == pytest.approx(cut)
    assert (third.head, third.weight, third.day) == ("", None, None)
    assert (first.day, second.day) == (JUNE, JULY)


def test_a_head_that_is_gone_keeps_the_name_that_it_had() -> None:
    made = lines.rename_line(bench(), "head", "Alder body, cut").bench
    made = edits.take_in_job(made, "head").bench
    made = edits.begin_job(made, "job-4", JULY).bench
    made = lines.rename_line(made, "head", "Alder body, done").bench
    made = edits.finish_job(made, "job-4", JULY).bench
    first, second, _, last = jobs_of(lines.delete_line(made, "head").bench, None)
    # Some were kept after the work, the other only before it.
    assert (first.head, second.head) == ("Alder body", "Alder body")
    assert last.head == "Alder body, done"
    assert first.weight == first.after
    assert second.weight == second.before
    assert second.weight is not None


def test_the_newest_comes_first_and_what_has_no_day_ahead_of_it() -> None:
    assert keys() == ["job-3", "job-2", "job-1"]


@pytest.mark.parametrize(
    ("wanted", "expected"),
    [
        ({"words": "mill"}, ["job-1"]),
        ({"words": "POOL  mill"}, ["job-1"]),
        ({"words": "a-041 alder eights"}, ["job-1"]),
        ({"words": "kustenlinie"}, ["job-3"]),
        ({"words": "early tips"}, ["job-3"]),
        ({"words": "early mill"}, []),
        ({"words": "customer a"}, ["job-1", "job-2"]),
        ({"customer": "customer"}, ["job-2", "job-1"]),
        ({"customer": "alder"}, []),
        ({"rod": "thirteen"}, ["job-1"]),
        ({"state": JobState.ASKED}, ["job-3"]),
        ({"since": JULY}, ["job-2"]),
        ({"until": MAY}, ["job-1"]),
        ({"since": date(2026, 5, 20), "until": date(2026, 5, 21)}, ["job-1"]),
        ({"since": date(2026, 6, 5), "until": date(2026, 7, 3)}, []),
    ],
)
def test_jobs_are_found_by_words_days_and_state(wanted: dict, expected: list[str]) -> None:
    assert keys(**wanted) == expected


def test_a_weight_is_found_as_it_reads() -> None:
    cut = jobs_of(bench(), None)[0].weight
    assert cut is not None
    # Off by less than half of what is shown, 0.1 gr.
    assert keys(lightest=cut + 0.04 * GRAIN, heaviest=cut + 5 * GRAIN) == ["job-2", "job-1"]
    assert keys(lightest=cut - 5 * GRAIN, heaviest=cut - 0.04 * GRAIN) == ["job-2", "job-1"]
    assert keys(lightest=cut + 0.2 * GRAIN) == []
    assert keys(lightest=cut) == keys(heaviest=cut) == ["job-2", "job-1"]
    assert keys(heaviest=cut - 0.2 * GRAIN) == []
