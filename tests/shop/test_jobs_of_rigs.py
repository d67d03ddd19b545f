"""A job of a rig: a head and its tip, from intake to hand-over."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest

from taperlab.edits import cut_back, jobs, lines, rigs, values, versions
from taperlab.edits.edited import Refused
from taperlab.files import native
from taperlab.model.bench import Bench, keyed
from taperlab.model.cut_log import CutStep, Target, TargetKind
from taperlab.model.job import JobState
from taperlab.model.line import Style
from taperlab.model.measurement import Instruments
from taperlab.model.rod import Measured, Rod, Window
from taperlab.physics.profile import Profile
from taperlab.physics.trim import join
from taperlab.shop.before_after.study import BeforeAfter, of_job, told
from taperlab.shop.before_after.words import figure_rows, meaning
from taperlab.shop.jobs.about import about
from taperlab.shop.jobs.before_after import before_after
from taperlab.shop.jobs.listing import Wanted, found, jobs_of
from taperlab.shop.jobs.wording import what_is_amiss
from taperlab.shop.labels.content import label_of
from taperlab.shop.steps import finish
from taperlab.units.kinds import System
from taperlab.units.sentence import render
from tests.looped import BODY, FOOT, GRAIN, INCH, TIP

DAY = date(2026, 5, 4)
BOTH = Profile.of(join(TIP, BODY)).total_mass
"""By the join of the two lines itself."""
ROD = Rod("rod-1", "Thirteen", 13 * FOOT, windows=(Window(Style.SKAGIT, 350 * GRAIN, 500 * GRAIN),))


def taken_in() -> Bench:
    bench = rigs.make_rig(Bench((TIP, BODY), (ROD,)), "body", ["tip"], name="Winter rig").bench
    return jobs.take_in_job(bench, None, "rod-1", "Customer 41", "41", "rig-1").bench


def begun() -> Bench:
    return jobs.begin_job(taken_in(), "job-1", DAY).bench


def finished() -> Bench:
    """With a tip that is two feet shorter, which the job was about."""
    bench = values.set_length(begun(), "tip", 0, 8 * FOOT).bench
    return jobs.finish_job(bench, "job-1", DAY).bench


def test_it_is_about_the_head_of_the_rig_and_weighs_what_the_rig_does() -> None:
    bench = taken_in()
    (job,) = bench.jobs
    assert (job.line, job.rig) == ("body", "rig-1")
    (listed,) = jobs_of(bench, None)
    assert (listed.head, listed.is_rig) == ("Winter rig", True)
    assert listed.weight == pytest.approx(BOTH, rel=1e-12)
    # It is found by what the rig is called, and by each line in it.
    for words in ("winter rig", "tip", "body"):
        assert found([listed], Wanted(words=words)) == (listed,)
    with pytest.raises(Refused, match="rig is no longer"):
        jobs.take_in_job(bench, rig="gone")


def test_each_line_of_it_is_kept_before_and_after() -> None:
    bench = finished()
    (job,) = bench.jobs
    names = {each.key: each.of for each in bench.versions}
    assert [names[key] for key in job.rig_before] == ["tip", "body"]
    assert [names[key] for key in job.rig_after] == ["tip", "body"]
    assert (names[job.before or ""], names[job.after or ""]) == ("body", "body")
    known = before_after(bench, job)
    assert known.is_after
    after = Profile.of(join(replace(TIP, segments=bench.line("tip").segments), BODY)).total_mass
    assert known.before is not None
    assert known.now is not None
    us = System.US
    assert render(known.before[0], us) == f"{BOTH / GRAIN:.1f} gr"
    assert render(known.now[0], us) == f"{after / GRAIN:.1f} gr"
    (listed,) = jobs_of(bench, None)
    assert (listed.before, listed.after) == pytest.approx((BOTH, after), rel=1e-12)
    # The ratio counts head and tip, as practice does of such heads; the loops fold none away.
    assert render(known.now[2], us) == f"{28 / 13:.2f} ×"


def test_the_customer_reads_of_the_rig_and_the_window_of_the_head_alone() -> None:
    bench = finished()
    told = of_job(bench, bench.jobs[0])
    assert isinstance(told, BeforeAfter)
    assert (told.name, told.is_rig) == ("Winter rig", True)
    rows = {render(row[0], System.US) for row in figure_rows(told)}
    assert {"Weight of the rig, loops on", "Length of the rig, loop to loop"} <= rows
    said = " ".join(render(each, System.US) for each in meaning(told))
    assert said.startswith("The rig weighs ")
    assert "is 2 ft shorter" in said
    body = Profile.of(BODY).total_mass
    inside = min(body - 350 * GRAIN, 500 * GRAIN - body)
    head = f"Its head, {body / GRAIN:.1f} gr, lies inside the rod’s grain window"
    assert f"{head}, {inside / GRAIN:.1f} gr from" in said
    both = replace(ROD, windows=(replace(ROD.windows[0], measured_on=Measured.HEAD_AND_TIP),))
    told = of_job(replace(bench, rods=(both,)), bench.jobs[0])
    assert isinstance(told, BeforeAfter)
    assert "It lies " in " ".join(render(each, System.US) for each in meaning(told))


def test_its_label_is_that_of_the_rig() -> None:
    bench = finished()
    (job,) = bench.jobs
    best = about(bench, job).best
    assert best is not None
    label = label_of(bench, best, job=job)
    assert label.name == "Winter rig"
    assert [each.name for each in best.lines] == ["Tip", "Body"]
    # The window is that of the head, which weighs less than what the label says large.
    body = f"for its head, {Profile.of(BODY).total_mass / GRAIN:.0f} gr"
    assert body in render(label.window, System.US)
    # As it was finished, whatever the lines are by now.
    later = values.set_length(bench, "tip", 0, 5 * FOOT).bench
    again = about(later, job).best
    assert again is not None
    assert str(label_of(later, again, job=job).weight) == str(label.weight)


def test_it_outlives_its_rig_and_is_told_of_by_the_head_where_a_line_is_not_known() -> None:
    bench = finished()
    apart = rigs.delete_rig(bench, "rig-1").bench
    assert apart.jobs[0].rig is None
    (was,), (now,) = jobs_of(bench, None), jobs_of(apart, None)
    assert (now.before, now.after, now.is_rig) == (was.before, was.after, True)
    # Still in work, the rig is gone: both sides are told of by the head, never one by each.
    loose = rigs.delete_rig(begun(), "rig-1").bench
    (told,) = jobs_of(loose, None)
    body = Profile.of(BODY).total_mass
    assert (told.before, told.now, told.is_rig) == (body, body, False)
    # So too where what was kept of the tip is deleted.
    tip = bench.jobs[0].rig_before[0]
    (told,) = jobs_of(versions.drop_version(bench, tip).bench, None)
    assert (told.before, told.after, told.is_rig) == (body, body, False)
    gone = lines.delete_line(bench, "tip").bench
    assert gone.jobs[0].rig is None
    assert jobs_of(gone, None)[0].after == was.after


def test_a_head_cut_in_its_rig_goes_on_in_a_rig_of_its_own() -> None:
    bench = begun()
    tools = Instruments(0.5 * GRAIN, INCH / 8, 1e-5)
    bench = cut_back.start_cut_back(bench, "body", Target(TargetKind.WEIGHT, 0.02), tools).bench
    key = bench.cut_backs[-1].key
    bench = cut_back.record_cut(bench, key, CutStep(rear=3 * FOOT)).bench
    assert "put the cut head on the bench" in str(what_is_amiss(bench, bench.jobs[0]))
    (row,) = BODY.segments
    uncut = replace(BODY, segments=(replace(row, density=row.density * 1.02),))
    cut = replace(BODY, segments=(replace(row, length=17 * FOOT),))
    bench = cut_back.put_on_bench(bench, key, cut, "Body, cut", uncut=uncut).bench
    (job,) = bench.jobs
    rig = keyed(bench.rigs, job.rig)
    assert rig is not None
    assert rig.lines == ("tip", job.line)
    assert rig.name == "Tip + Body, cut"
    assert keyed(bench.rigs, "rig-1") is not None  # the other stays
    assert not what_is_amiss(bench, job)
    # Before, it weighed what the scale said of the uncut head, with its tip.
    (listed,) = jobs_of(bench, None)
    assert listed.before == pytest.approx(Profile.of(join(TIP, uncut)).total_mass, rel=1e-12)
    assert listed.now == pytest.approx(Profile.of(join(TIP, cut)).total_mass, rel=1e-12)


def test_a_rig_looped_to_another_head_takes_its_job_along() -> None:
    other = replace(BODY, key="other", name="Other body")
    bench = begun()
    bench = replace(bench, lines=(*bench.lines, other))
    bench = rigs.loop_otherwise(bench, "rig-1", "other", ["tip"]).bench
    assert bench.jobs[0].line == "other"
    assert jobs_of(bench, None)[0].is_rig


def test_the_same_again_and_another_choice() -> None:
    bench = finished()
    again = jobs.repeat_job(bench, "job-1").bench.jobs[-1]
    assert (again.rig, again.line, again.rig_before, again.state) == (
        "rig-1",
        "body",
        (),
        JobState.ASKED,
    )
    # About the head alone, it is another thing: what was kept of the rig is not of it.
    alone = jobs.describe_job(bench, "job-1", replace(bench.jobs[0], rig=None)).bench.jobs[0]
    assert (alone.before, alone.after, alone.rig_before, alone.rig_after) == (None, None, (), ())
    bench = replace(bench, jobs=(alone,))
    back = jobs.describe_job(bench, "job-1", replace(alone, rig="rig-1", line=None)).bench.jobs[0]
    assert (back.rig, back.line) == ("rig-1", "body")


def test_a_program_that_knows_no_rigs_of_jobs_reads_a_job_about_the_head() -> None:
    bench = finished()
    told = json.loads(native.dumps(bench))
    older = {key: held for key, held in told["jobs"][0].items() if not key.startswith("rig")}
    assert native.loads(json.dumps({**told, "jobs": [older]}), "x").jobs[0] == replace(
        bench.jobs[0], rig=None, rig_before=(), rig_after=()
    )
    # What it changed of the line, keeping keys that it does not know, makes no rig of a line.
    told["jobs"][0] |= {"line": "tip", "before": None, "after": None}
    (listed,) = jobs_of(native.loads(json.dumps(told), "x"), None)
    assert (listed.head, listed.is_rig) == ("Tip", False)


def test_what_was_done_to_a_tip_is_told_by_the_job_of_its_rig() -> None:
    bench = finished()
    for key in ("tip", "body"):
        now, by_whom = finish(told(bench, bench.line(key), None))
        assert isinstance(now, BeforeAfter)
        assert (now.name, now.is_rig, by_whom) == ("Winter rig", True, bench.jobs[0])


def test_a_tip_that_is_cut_in_its_rig_is_told_of_by_its_own_cut_back() -> None:
    tools = Instruments(0.5 * GRAIN, INCH / 8, 1e-5)
    bench = cut_back.start_cut_back(
        begun(), "tip", Target(TargetKind.LENGTH, 8 * FOOT), tools
    ).bench
    log = bench.cut_backs[-1]
    bench = cut_back.record_cut(bench, log.key, CutStep(front=2 * FOOT)).bench
    (job,) = bench.jobs
    assert what_is_amiss(bench, job)
    now, by_whom = finish(told(bench, None, job))
    assert isinstance(now, BeforeAfter)
    assert (now.name, by_whom) == ("Tip", job)
    assert now.before.length == pytest.approx(10 * FOOT, rel=1e-9)
    assert now.off is not None
    assert now.off.front == pytest.approx(2 * FOOT, rel=1e-9)
