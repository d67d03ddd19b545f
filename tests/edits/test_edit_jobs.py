"""Jobs of customers on a bench."""

from dataclasses import replace
from datetime import date

import pytest

from taperlab.edits import bench as bench_edits
from taperlab.edits import cut_back, jobs, lines, versions
from taperlab.edits import values as value_edits
from taperlab.edits.edited import Refused
from taperlab.files.native import dumps, loads
from taperlab.model.bench import Bench, keyed
from taperlab.model.cut_log import CutStep, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.job import Job, JobState
from taperlab.model.line import Style, line_of
from taperlab.model.measurement import Instruments
from taperlab.model.rod import Rod
from taperlab.model.segment import Part, Segment
from taperlab.shop.before_after.study import BeforeAfter, of_job, told
from taperlab.shop.jobs.wording import what_is_amiss
from taperlab.shop.labels.content import label_of
from taperlab.shop.steps import finish
from taperlab.units.limits import MOST_JOBS, MOST_PHOTOGRAPHS

HEAD = line_of("head", "Head", (Segment(Part.BELLY, 23 * FOOT, 0.003, 0.003, 850.0),), Style.SKAGIT)
BENCH = Bench((HEAD,), (Rod("rod-1", "Thirteen", 13 * FOOT),))
TOOLS = Instruments(0.5 * GRAIN, INCH / 8, 1e-5)
MONDAY, FRIDAY = date(2026, 5, 4), date(2026, 5, 8)


def taken_in() -> Bench:
    return jobs.take_in_job(BENCH, "head", "rod-1", "  Customer   12 ", "A-041").bench


def test_a_job_goes_its_way_from_asked_for_to_handed_over() -> None:
    bench = taken_in()
    (job,) = bench.jobs
    assert (job.customer, job.ticket, job.state) == ("Customer 12", "A-041", JobState.ASKED)
    assert (job.line, job.rod, job.begun) == ("head", "rod-1", None)
    bench = jobs.begin_job(bench, job.key, MONDAY).bench
    bench = jobs.finish_job(bench, job.key, FRIDAY).bench
    bench = jobs.hand_over_job(bench, job.key).bench
    (job,) = bench.jobs
    assert (job.begun, job.finished, job.state) == (MONDAY, FRIDAY, JobState.HANDED_OVER)


def test_the_line_is_kept_as_it_was_before_and_after() -> None:
    bench = jobs.begin_job(taken_in(), "job-1", MONDAY).bench
    bench = value_edits.set_length(bench, "head", 0, 20 * FOOT).bench
    bench = jobs.finish_job(bench, "job-1", FRIDAY).bench
    (job,), (before, after) = bench.jobs, bench.versions
    assert (job.before, job.after) == (before.key, after.key)
    assert (before.line, before.name, before.date) == (HEAD, "Before", "2026-05-04")
    assert (after.line.length, after.name, after.date) == (20 * FOOT, "After", "2026-05-08")
    # Asked for again and begun again, it keeps what was before.
    again = jobs.come_to(bench, "job-1", JobState.ASKED, FRIDAY).bench
    again = jobs.begin_job(again, "job-1", FRIDAY).bench
    assert again.jobs[0].before == before.key
    assert again.versions == bench.versions
    # About another line, it says nothing of this one.
    other = jobs.describe_job(bench, "job-1", replace(job, line=None)).bench
    assert (other.jobs[0].before, other.jobs[0].after) == (None, None)
    gone = versions.drop_version(bench, before.key).bench
    assert (gone.jobs[0].before, gone.jobs[0].after) == (None, after.key)


def test_a_state_that_is_chosen_does_what_its_button_does() -> None:
    pressed = chosen = taken_in()
    for state, press in (
        (JobState.IN_WORK, lambda bench: jobs.begin_job(bench, "job-1", MONDAY)),
        (JobState.FINISHED, lambda bench: jobs.finish_job(bench, "job-1", FRIDAY)),
        (JobState.HANDED_OVER, lambda bench: jobs.hand_over_job(bench, "job-1")),
    ):
        day = MONDAY if state is JobState.IN_WORK else FRIDAY
        pressed, edited = press(pressed).bench, jobs.come_to(chosen, "job-1", state, day)
        chosen = edited.bench
        assert chosen == pressed
        assert jobs.come_to(chosen, "job-1", state, day).bench is chosen
    assert [each.name for each in chosen.versions] == ["Before", "After"]
    # Handed over at once, it is finished; what it was before the work nobody kept.
    started = jobs.begin_job(taken_in(), "job-1", MONDAY).bench
    (job,) = jobs.come_to(started, "job-1", JobState.HANDED_OVER, FRIDAY).bench.jobs
    assert job == chosen.jobs[0]
    done = jobs.come_to(taken_in(), "job-1", JobState.HANDED_OVER, FRIDAY).bench
    (job,), (after,) = done.jobs, done.versions
    assert (job.before, job.after, job.begun, job.finished) == (None, after.key, None, FRIDAY)
    # Worked on again it is not finished; what was kept stays, and is kept anew in the end.
    again = jobs.come_to(chosen, "job-1", JobState.IN_WORK, FRIDAY).bench
    (job,) = again.jobs
    assert (job.begun, job.finished, job.after) == (MONDAY, None, chosen.jobs[0].after)
    again = value_edits.set_length(again, "head", 0, 20 * FOOT).bench
    again = jobs.come_to(again, "job-1", JobState.FINISHED, FRIDAY).bench
    assert again.versions[-1].line.length == pytest.approx(20 * FOOT)
    assert again.jobs[0].after == again.versions[-1].key
    with pytest.raises(Refused, match="before it is begun"):
        jobs.come_to(started, "job-1", JobState.FINISHED, date(2026, 5, 1))


def test_a_day_that_was_told_is_not_written_over() -> None:
    bench = jobs.set_days(taken_in(), "job-1", MONDAY, FRIDAY).bench
    bench = jobs.begin_job(bench, "job-1", date(2026, 6, 1)).bench
    bench = jobs.finish_job(bench, "job-1", date(2026, 6, 1)).bench
    assert (bench.jobs[0].begun, bench.jobs[0].finished) == (MONDAY, FRIDAY)
    # Begun by the day that it was finished, where that alone is told.
    late = jobs.set_days(taken_in(), "job-1", None, FRIDAY).bench
    late = jobs.begin_job(late, "job-1", date(2026, 6, 1)).bench
    assert (late.jobs[0].begun, late.jobs[0].finished) == (FRIDAY, FRIDAY)


def test_a_line_that_is_gone_is_put_back_for_the_same_again() -> None:
    bench = jobs.begin_job(taken_in(), "job-1", MONDAY).bench
    bench = lines.delete_line(bench, "head").bench
    bench = jobs.repeat_job(bench, "job-1").bench
    assert bench.jobs[1].line == bench.lines[0].key
    assert bench.lines[0].segments == HEAD.segments


def test_an_empty_line_is_not_kept() -> None:
    bench = lines.add_line(Bench(), "To be designed").bench
    bench = jobs.take_in_job(bench, bench.lines[0].key).bench
    bench = jobs.begin_job(bench, "job-1", MONDAY).bench
    assert (bench.jobs[0].state, bench.jobs[0].before) == (JobState.IN_WORK, None)
    assert bench.versions == ()


def test_no_step_is_taken_before_its_turn_or_twice() -> None:
    bench = taken_in()
    with pytest.raises(Refused, match="Only a job in work can be finished"):
        jobs.finish_job(bench, "job-1", FRIDAY)
    begun = jobs.begin_job(bench, "job-1", FRIDAY).bench
    with pytest.raises(Refused, match="begun already"):
        jobs.begin_job(begun, "job-1", FRIDAY)
    with pytest.raises(Refused, match="before it is begun"):
        jobs.finish_job(begun, "job-1", MONDAY)
    with pytest.raises(Refused, match="Only a finished job"):
        jobs.hand_over_job(begun, "job-1")


def test_days_are_put_right_and_never_the_wrong_way_round() -> None:
    bench = jobs.set_days(taken_in(), "job-1", MONDAY, FRIDAY).bench
    assert (bench.jobs[0].begun, bench.jobs[0].finished) == (MONDAY, FRIDAY)
    with pytest.raises(Refused, match="before it is begun"):
        jobs.set_days(bench, "job-1", FRIDAY, MONDAY)
    for days in ((None, MONDAY), (FRIDAY, None), (MONDAY, MONDAY), (None, None)):
        (job,) = jobs.set_days(bench, "job-1", *days).bench.jobs
        assert (job.begun, job.finished) == days
    with pytest.raises(ValueError, match="before it is begun"):
        Job("job-9", begun=FRIDAY, finished=MONDAY)


def test_what_is_said_of_a_job_keeps_its_key_and_its_days() -> None:
    bench = jobs.begin_job(taken_in(), "job-1", MONDAY).bench
    said = Job("other", "The mill-pool customer", "A-042", None, "head", note="cut to 520 gr")
    (job,) = jobs.describe_job(bench, "job-1", said).bench.jobs
    assert (job.key, job.customer, job.begun, job.rod) == (
        *("job-1", "The mill-pool customer"),
        *(MONDAY, None),
    )
    with pytest.raises(Refused, match="no longer in the bench"):
        jobs.describe_job(bench, "job-1", Job("other", line="gone"))


def test_the_same_again_has_no_days_pictures_or_verdict_of_the_job_that_was() -> None:
    said = Job("x", "Customer 12", "A-041", "rod-1", "head", note="floats", cast="well")
    bench = jobs.describe_job(taken_in(), "job-1", said).bench
    bench = jobs.attach_photographs(bench, "job-1", ["before.jpg"]).bench
    bench = jobs.begin_job(bench, "job-1", MONDAY).bench
    old, new = jobs.repeat_job(bench, "job-1").bench.jobs
    assert old == bench.jobs[0]
    assert new == Job("job-2", "Customer 12", "", "rod-1", "head", note="floats")


def test_a_photograph_is_named_once_and_so_many_at_most() -> None:
    bench = jobs.attach_photographs(taken_in(), "job-1", ["before.jpg"]).bench
    assert jobs.attach_photographs(bench, "job-1", ["before.jpg"]).bench is bench
    for path in (" ", "a\0b.jpg"):
        with pytest.raises(Refused, match="needs a path"):
            jobs.attach_photographs(bench, "job-1", [path])
    for number in range(1, MOST_PHOTOGRAPHS):
        bench = jobs.attach_photographs(bench, "job-1", [f"{number}.jpg"]).bench
    with pytest.raises(Refused, match=f"at most {MOST_PHOTOGRAPHS}"):
        jobs.attach_photographs(bench, "job-1", ["one more.jpg"])
    bench = jobs.detach_photograph(bench, "job-1", "before.jpg").bench
    # All of several, or none of them.
    with pytest.raises(Refused, match="room for 1 more"):
        jobs.attach_photographs(bench, "job-1", ["one more.jpg", "two more.jpg"])
    assert "before.jpg" not in bench.jobs[0].photographs


def test_a_job_outlives_its_line_and_its_rod_and_names_neither() -> None:
    bench = lines.delete_line(taken_in(), "head").bench
    other = Rod("rod-2", "Fifteen", 15 * FOOT)
    bench = bench_edits.set_rods(bench, (*BENCH.rods, other), None).bench
    assert bench.jobs[0].rod == "rod-1"
    bench = bench_edits.set_rods(bench, (other,), None).bench
    (job,) = bench.jobs
    assert (job.customer, job.line, job.rod) == ("Customer 12", None, None)


def test_a_record_has_its_limit() -> None:
    full = Bench(jobs=tuple(Job(f"job-{number}") for number in range(MOST_JOBS)))
    with pytest.raises(Refused, match="at most"):
        jobs.take_in_job(full)
    with pytest.raises(Refused, match="at most"):
        jobs.repeat_job(full, "job-7")
    assert len(jobs.drop_job(full, "job-7").bench.jobs) == MOST_JOBS - 1


def test_what_a_file_names_and_has_not_is_in_nobody_s_way() -> None:
    odd = Job("job-1", "Customer 12", "", "no rod", "no line", "no version", "none either")
    bench = Bench((HEAD,), jobs=(odd,))
    (job,) = jobs.describe_job(bench, "job-1", replace(odd, note="floats")).bench.jobs
    assert job == replace(odd, note="floats")
    (_, again) = jobs.repeat_job(bench, "job-1").bench.jobs
    assert (again.line, again.rod) == (None, None)
    (begun,) = jobs.begin_job(bench, "job-1", MONDAY).bench.jobs
    assert (begun.state, begun.before) == (JobState.IN_WORK, None)
    with pytest.raises(Refused, match="rod is no longer"):
        jobs.describe_job(bench, "job-1", replace(odd, rod="another"))


def test_a_cut_that_is_over_warns_no_other_job_of_its_line() -> None:
    """A line that was kept beside its cut head, and another job of it; one from before the cut."""
    bench = jobs.take_in_job(taken_in(), "head", None, "Customer 14").bench
    bench = jobs.finish_job(jobs.begin_job(bench, "job-2", MONDAY).bench, "job-2", MONDAY).bench
    bench = jobs.begin_job(bench, "job-1", MONDAY).bench
    bench = cut_back.start_cut_back(bench, "head", Target(TargetKind.WEIGHT, 0.02), TOOLS).bench
    key = bench.cut_backs[-1].key
    bench = cut_back.record_cut(bench, key, CutStep(rear=3 * FOOT, head=0.02)).bench
    ours, before = bench.jobs
    assert what_is_amiss(bench, ours)
    assert not what_is_amiss(bench, before)
    segments = (Segment(Part.BELLY, 20 * FOOT, 0.003, 0.003, 880.0),)
    cut = line_of("", "", segments, Style.SKAGIT)
    bench = cut_back.put_on_bench(bench, key, cut, "Head, cut").bench
    bench = jobs.finish_job(bench, "job-1", FRIDAY).bench
    for customer in ("Customer 15", "Customer 16"):
        bench = jobs.take_in_job(bench, "head", None, customer).bench
        bench = jobs.begin_job(bench, bench.jobs[-1].key, FRIDAY).bench
        assert not what_is_amiss(bench, bench.jobs[-1])
        found, _ = finish(told(bench, None, bench.jobs[-1]))
        assert isinstance(found, BeforeAfter)
        assert found.changes.is_none
    bench = loads(dumps(bench), "x")
    assert not any(what_is_amiss(bench, each) for each in bench.jobs)
    # Cut on, it is in hand once more.
    bench = cut_back.record_cut(bench, key, CutStep(rear=FOOT)).bench
    assert what_is_amiss(bench, bench.jobs[-1])
    assert not what_is_amiss(bench, bench.jobs[0])


def test_a_job_in_work_goes_on_with_the_head_that_was_cut_from_its_line() -> None:
    bench = jobs.begin_job(taken_in(), "job-1", MONDAY).bench
    bench = jobs.take_in_job(bench, "head").bench
    bench = cut_back.start_cut_back(bench, "head", Target(TargetKind.WEIGHT, 0.02), TOOLS).bench
    key = bench.cut_backs[-1].key
    uncut, cut = (
        line_of("", "", (Segment(Part.BELLY, length * FOOT, 0.003, 0.003, 880.0),), Style.SKAGIT)
        for length in (23, 20)
    )
    assert not what_is_amiss(bench, bench.jobs[0])
    bench = cut_back.record_cut(bench, key, CutStep(rear=3 * FOOT)).bench
    assert "before the job is finished" in str(what_is_amiss(bench, bench.jobs[0]))
    # Finished all the same, nothing is kept of the head as it was: that is told until it is mended.
    early = jobs.finish_job(bench, "job-1", MONDAY).bench
    assert early.jobs[0].after is None
    assert "kept as it is after the job" in str(what_is_amiss(early, early.jobs[0]))
    assert label_of(early, HEAD, job=early.jobs[0]).amiss == what_is_amiss(early, early.jobs[0])
    for keep in (True, False):
        late = cut_back.put_on_bench(early, key, cut, "Head", keep=keep, uncut=uncut).bench
        (done, _), (_, before, after) = late.jobs, late.versions
        assert (done.before, before.line.segments) == (before.key, uncut.segments)
        assert (done.line, done.after) == (late.lines[keep].key, after.key)
        assert (after.line.segments, after.date) == (cut.segments, "2026-05-04")
        assert not what_is_amiss(late, done)
    after = cut_back.put_on_bench(bench, key, cut, "Head, cut", uncut=uncut).bench
    ours, asked = after.jobs
    assert not what_is_amiss(after, ours)
    assert (ours.line, asked.line) == (after.lines[1].key, "head")
    # What was kept when it was begun stays; the job tells of the head as the scale had it.
    kept, weighed = after.versions
    assert (kept.line, kept.name) == (HEAD, "Before")
    assert (ours.before, weighed.line.segments) == (weighed.key, uncut.segments)
    said = of_job(after, ours)
    assert isinstance(said, BeforeAfter)
    assert said.name == "Head"
    assert said.off is not None
    assert said.off.front == pytest.approx(0.0)
    assert said.off.rear == pytest.approx(3 * FOOT)
    assert said.after.mass / said.before.mass == pytest.approx(20 / 23)
    # What was kept for others stays: a job of this line that is done, one in work on its copy.
    others = jobs.take_in_job(BENCH, "head").bench
    others = jobs.finish_job(jobs.begin_job(others, "job-1", MONDAY).bench, "job-1", MONDAY).bench
    others = replace(others, cut_backs=bench.cut_backs)
    others = lines.duplicate_line(others, "head").bench
    others = jobs.take_in_job(others, others.lines[1].key).bench
    others = jobs.begin_job(others, others.jobs[-1].key, MONDAY).bench
    after = cut_back.put_on_bench(others, key, cut, "Head, cut", uncut=uncut).bench
    assert [each.before for each in after.jobs] == [each.before for each in others.jobs]
    assert [each.after for each in after.jobs] == [each.after for each in others.jobs]
    # One whose version was deleted since has nothing to be mended.
    dropped = versions.drop_version(bench, kept.key).bench
    after = cut_back.put_on_bench(dropped, key, cut, "Cut", uncut=uncut).bench
    assert keyed(after.versions, after.jobs[0].before) is None
    # A line that is another one since was not weighed as it was kept.
    other = value_edits.set_length(bench, "head", 0, 22 * FOOT).bench
    assert (
        cut_back.put_on_bench(other, key, cut, "Cut", uncut=uncut).bench.jobs[0].before == kept.key
    )
