"""A head before and after a job or a cut-back: what came off, the figures, and the words."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.edits import cut_back, jobs, values
from taperlab.files.native import dumps, loads, read_bench
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutBack, CutStep, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.job import JobState
from taperlab.model.line import Line, Loop, LoopKind, Style, line_of
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Part, Segment
from taperlab.physics.profile import Profile
from taperlab.physics.trim import trim
from taperlab.shipped import sample
from taperlab.shop.before_after.study import BeforeAfter, of_cut_back, of_job, off_between, told
from taperlab.shop.before_after.words import after_care, figure_rows, meaning, small_print
from taperlab.shop.cut_back.study import study_now
from taperlab.shop.cut_back.way_figures import now
from taperlab.shop.cut_back.weighings import reading_noise
from taperlab.shop.jobs.before_after import before_after as job_figures
from taperlab.shop.steps import finish
from taperlab.shop.weighed import as_weighed, on_scale
from taperlab.units.kinds import System
from taperlab.units.sentence import Sentence, render

DAY = date(2026, 3, 14)


def row(part: Part, feet: float, front: float, rear: float) -> Segment:
    return Segment(part, feet * FOOT, front * INCH, rear * INCH, 900.0)


HEAD = line_of(
    "a",
    "Alder",
    (
        row(Part.TIP, 1, 0.034, 0.034),
        row(Part.FRONT_TAPER, 20, 0.034, 0.1),
        row(Part.BELLY, 18, 0.1, 0.1),
        row(Part.REAR_TAPER, 4, 0.1, 0.07),
    ),
    Style.SCANDI,
)
MASS = Profile.of(HEAD).total_mass
ROD = Rod("r", "Mill pool", 13 * FOOT, windows=(Window(Style.SCANDI, 0.7 * MASS, 0.9 * MASS),))


def cut(front: float, rear: float, loop: Loop | None = None) -> Line:
    left = trim(HEAD, front, HEAD.length - rear)
    if loop is None:
        return left
    return replace(left, front_loop=loop, rear_loop=loop)


def job_bench(after: Line) -> Bench:
    bench = jobs.take_in_job(Bench((HEAD,), (ROD,), rod="r"), "a", "r", "Customer 41", "41").bench
    bench = jobs.begin_job(bench, "job-1", DAY).bench
    bench = bench.with_line(replace(after, key="a", name="Alder"))
    return jobs.finish_job(bench, "job-1", DAY).bench


def of(bench: Bench) -> BeforeAfter:
    found = of_job(bench, bench.jobs[0])
    assert isinstance(found, BeforeAfter)
    return found


def said(sentences: tuple[Sentence, ...], system: System = System.US) -> list[str]:
    return [render(each, system) for each in sentences]


def test_a_cut_at_both_ends_is_found_with_what_loops_took() -> None:
    fold = 2.5 * INCH
    found = of(job_bench(cut(3 * FOOT, 5 * FOOT, Loop(LoopKind.FOLDED, fold))))
    assert found.off is not None
    assert found.off.front == pytest.approx(3 * FOOT - fold)
    assert found.off.rear == pytest.approx(5 * FOOT - fold)
    assert found.off.begins == pytest.approx(3 * FOOT)
    assert found.new == (True, True)
    assert said(after_care(found)) == [
        "The loops at both ends are new.",
        "Folding took 5 in of the length.",
        "Look at the loops before each day out.",
        "The thin end, with the open tag, goes to the fly.",
    ]


@pytest.mark.parametrize(
    ("front", "rear", "new"), [(3.0, 0.0, "fly end"), (0.0, 5.0, "rod end"), (0.0, 0.0, "")]
)
def test_the_loop_of_an_end_that_was_not_cut_is_not_new(
    front: float, rear: float, new: str
) -> None:
    loop = Loop(LoopKind.FOLDED, 2.5 * INCH)
    looped = replace(HEAD, front_loop=loop, rear_loop=loop)
    left = replace(cut(front * FOOT, rear * FOOT), front_loop=loop, rear_loop=loop)
    bench = jobs.take_in_job(Bench((looped,), (ROD,), rod="r"), "a", "r").bench
    bench = jobs.begin_job(bench, "job-1", DAY).bench
    bench = bench.with_line(replace(left, key="a", name="Alder"))
    found = of(jobs.finish_job(bench, "job-1", DAY).bench)
    assert found.new == (front > 0.0, rear > 0.0)
    told = [each for each in said(after_care(found)) if " new" in each]
    assert told == ([f"The loop at the {new} is new."] if new else [])


def test_what_came_off_the_front_of_a_cone_is_found() -> None:
    """One segment: no breakpoint of it tells where the rest lies."""
    cone = line_of("a", "Cone", (row(Part.BELLY, 20, 0.05, 0.09),))
    for front, rear in ((4.0, 0.0), (0.0, 3.0)):
        off = off_between(cone, trim(cone, front * FOOT, (20.0 - rear) * FOOT))
        assert off is not None
        assert (off.front, off.rear) == pytest.approx((front * FOOT, rear * FOOT))


@settings(max_examples=25, deadline=None)
@given(st.floats(0.0, 6.0), st.floats(0.0, 6.0), st.floats(0.9, 1.1))
def test_any_cut_is_found_whatever_the_scale_made_of_its_densities(
    front: float, rear: float, factor: float
) -> None:
    left = cut(front, rear)
    scaled = replace(
        left,
        segments=tuple(replace(each, density=each.density * factor) for each in left.segments),
    )
    off = off_between(HEAD, scaled)
    if front + rear < 0.001:
        assert off is None or off.front + off.rear < 0.002
        return
    assert off is not None
    assert off.front == pytest.approx(front, abs=6e-4)
    assert off.rear == pytest.approx(rear, abs=6e-4)


def test_another_taper_is_no_cut() -> None:
    other = replace(
        HEAD, segments=(*HEAD.segments[:2], row(Part.BELLY, 10, 0.1, 0.09)), joints=HEAD.joints[:2]
    )
    assert off_between(HEAD, other) is None
    found = of(job_bench(other))
    assert found.off is None
    assert len(found.changes.rows) == 2


def test_the_figures_add_up_and_the_words_repeat_them() -> None:
    found = of(job_bench(cut(0.0, 8 * FOOT)))
    names, before, after, change = zip(*figure_rows(found), strict=True)
    assert said(names) == [
        "Weight of the head, loops on",
        "Length of the head, loop to loop",
        "Ratio to the rod",
        "Share of weight in tip and front taper",
        "Your rod’s grain window",
    ]
    mass = Profile.of(cut(0.0, 8 * FOOT)).total_mass
    text = [[each.text(System.US) for each in side[:3]] for side in (before, after, change)]
    assert text[0] == [f"{MASS / GRAIN:.1f} gr", "43 ft", "3.31"]
    assert text[1] == [f"{mass / GRAIN:.1f} gr", "35 ft", "2.69"]
    assert text[2] == [f"−{(MASS - mass) / GRAIN:.1f} gr", "−8 ft", "−0.62"]
    assert said((before[4], after[4])) == [f"{0.1 * MASS / GRAIN:.1f} gr above", "inside"]
    told = said(meaning(found))
    assert told[0] == (f"The head weighs {(MASS - mass) / GRAIN:.1f} gr less, and is 8 ft shorter.")
    assert "inside the rod’s grain window" in told[-1]
    # Cut too far, by hand: a fifth of a window's lower edge of seven tenths.
    light = replace(HEAD, segments=tuple(replace(s, density=504.0) for s in HEAD.segments))
    short = said(meaning(of(job_bench(light))))
    by = (0.7 - 0.56) * MASS / GRAIN
    assert short[-1] == f"It lies {by:.1f} gr below the rod’s grain window."
    assert " m shorter" in said(meaning(found), System.METRIC)[0]
    assert "worked out" in said((small_print(found),))[0]


def test_what_cannot_be_told_is_said() -> None:
    bench = jobs.take_in_job(Bench((HEAD,), (ROD,)), "a").bench
    assert "begin it first" in str(of_job(bench, bench.jobs[0]))
    begun = jobs.begin_job(bench, "job-1", DAY).bench
    now = of_job(begun, begun.jobs[0])
    assert isinstance(now, BeforeAfter)
    assert now.changes.is_none
    assert now.off is None
    assert said(meaning(now))[0] == ("The head weighs as much as before, and is as long as before.")
    study = study_now(HEAD, None, ROD, bench.water)
    assert str(of_cut_back(study)) == "Nothing is cut back here."


def test_a_cut_back_tells_what_its_log_says() -> None:
    bench = read_bench(sample("cut_back.taperlab"))
    job = bench.cut_backs[0]
    line = bench.line(job.line)
    study = study_now(line, job, bench.chosen_rod, bench.water)
    found = of_cut_back(study)
    assert isinstance(found, BeforeAfter)
    assert found.off is not None
    assert found.off.front == pytest.approx(sum(step.front for step in job.steps))
    assert found.off.rear == pytest.approx(sum(step.rear for step in job.steps))
    assert found.scales == (job.instruments.scale, job.instruments.scale)
    assert study.finished is not None
    assert found.after.mass == pytest.approx(study.finished.mass)
    # Put on the bench, the same is found from the two lines alone.
    assert study.uncut is not None
    again = off_between(study.uncut.line, study.finished.line)
    assert again is not None
    assert again.front == pytest.approx(found.off.front, abs=1e-6)
    assert again.rear == pytest.approx(found.off.rear, abs=1e-6)


def test_the_scale_is_told_wherever_a_head_that_lay_on_it_is() -> None:
    bench = read_bench(sample("cut_back.taperlab"))
    (log,) = bench.cut_backs
    bench = jobs.take_in_job(bench, log.line, None, "Customer 41").bench
    bench = jobs.begin_job(bench, "job-1", DAY).bench

    def finished(log: CutBack) -> tuple[Bench, BeforeAfter]:
        """Put on the bench and finished, and read back from a file; and what its log says."""
        study = study_now(bench.line(log.line), log, None, bench.water)
        by_log = of_cut_back(study)
        assert isinstance(by_log, BeforeAfter)
        assert study.finished is not None
        assert study.uncut is not None
        uncut = study.uncut.line
        done = cut_back.put_on_bench(bench, log.key, study.finished.line, "Cut", uncut=uncut).bench
        done = jobs.finish_job(done, "job-1", DAY).bench
        return loads(dumps(done), "x"), by_log

    done, by_log = finished(log)
    by_job = of_job(done, done.jobs[0])
    assert isinstance(by_job, BeforeAfter)
    assert "from a scale that reads to 0.5 gr" in said((small_print(by_log),))[0]
    assert small_print(by_job) == small_print(by_log)
    # What a scale said is of the head that lay there: not of one that is drawn anew.
    head = done.line(done.jobs[0].line or "")
    assert on_scale(head) is not None
    other = values.set_length(done, head.key, 0, head.segments[0].length / 2.0).bench
    assert on_scale(other.line(head.key)) is None
    since = of_job(other, replace(other.jobs[0], state=JobState.IN_WORK))
    assert isinstance(since, BeforeAfter)
    assert "after, worked out" in said((small_print(since),))[0]
    # With its new loop on the scale reads to 0.5 gr: half of that, and how it is handled.
    last = by_log.after.mass
    there = replace(log, target=Target(TargetKind.WEIGHT, last), last_reading=last)
    weighed = study_now(bench.line(log.line), there, None, bench.water)
    assert weighed.finished is not None
    lay = on_scale(weighed.finished.line)
    assert lay is not None
    assert lay.plus_minus == pytest.approx(1.96 * reading_noise(log.instruments))
    (mass, *_) = now(weighed) or ()
    (on_page, beside) = said((mass, as_weighed(lay)))
    assert on_page.split()[-2:] == beside.split()[1:3] == ["0.4", "gr"]
    # Never weighed, nothing tells a scale.
    bare = tuple(replace(each, head=None, offcut=None) for each in log.steps)
    done, by_log = finished(replace(log, first_reading=None, steps=bare))
    by_job = of_job(done, done.jobs[0])
    assert isinstance(by_job, BeforeAfter)
    assert "worked out with both" in said((small_print(by_log),))[0]
    assert small_print(by_job) == small_print(by_log)


@pytest.mark.parametrize(
    ("front", "said_of_it"),
    [
        (0.06, "The thin end, with the open tag, goes to the fly."),
        (0.09, "The end with the open tag goes to the fly."),
        (0.11, "The end with the open tag goes to the fly."),
    ],
)
def test_the_end_that_goes_to_the_fly_is_called_thin_only_where_it_is(
    front: float, said_of_it: str
) -> None:
    line = line_of("a", "Alder", (row(Part.BELLY, 20, front, 0.09),))
    bench = jobs.take_in_job(Bench((line,)), "a").bench
    assert said(after_care(of(jobs.begin_job(bench, "job-1", DAY).bench)))[-1] == said_of_it


@pytest.mark.parametrize(("front", "rear", "end"), [(0.5, 0.0, "fly end"), (0.0, 0.5, "rod end")])
def test_a_cut_back_makes_a_new_loop_where_it_cut(front: float, rear: float, end: str) -> None:
    bench = read_bench(sample("cut_back.taperlab"))
    job = replace(bench.cut_backs[0], steps=(CutStep(front, rear),))
    found = of_cut_back(study_now(bench.line(job.line), job, bench.chosen_rod, bench.water))
    assert isinstance(found, BeforeAfter)
    assert said(after_care(found))[0] == f"The loop at the {end} is new."


def test_a_job_finished_without_its_cut_head_is_told_of_by_the_cut_back() -> None:
    bench = read_bench(sample("cut_back.taperlab"))
    (log,) = bench.cut_backs
    bench = jobs.take_in_job(bench, log.line, bench.rods[0].key, "Customer 41").bench
    bench = jobs.begin_job(bench, bench.jobs[0].key, DAY).bench
    by_log = of_cut_back(study_now(bench.line(log.line), log, bench.rods[0], bench.water))
    assert isinstance(by_log, BeforeAfter)
    assert by_log.after.mass < by_log.before.mass - 50 * GRAIN
    for each in (bench, jobs.finish_job(bench, bench.jobs[0].key, DAY).bench):
        (job,) = each.jobs
        found, by_whom = finish(told(each, None, job))
        assert isinstance(found, BeforeAfter)
        assert by_whom is job
        assert (found.before.mass, found.after.mass) == (by_log.before.mass, by_log.after.mass)
    # Weighings that contradict each other are a question: no page is made of them.
    first, *others = log.steps
    torn = replace(log, steps=(replace(first, head=first.head - 60 * GRAIN, sure=False), *others))
    bench = replace(bench, cut_backs=(torn,))
    found, _ = finish(told(bench, None, bench.jobs[0]))
    assert isinstance(found, Sentence)
    assert "do not add up" in str(found)


def test_the_page_of_jobs_tells_the_ratio_that_the_customer_reads() -> None:
    bench = read_bench(sample("jobs.taperlab"))
    done = [each for each in bench.jobs if each.before and each.kept_after]
    assert done
    for job in done:
        found = of_job(bench, job)
        assert isinstance(found, BeforeAfter)
        (row,) = (row for row in figure_rows(found) if str(row[0]) == "Ratio to the rod")
        shown = job_figures(bench, job)
        assert shown.before is not None
        assert shown.now is not None
        columns = [str(column[2]).removesuffix(" ×") for column in (shown.before, shown.now)]
        assert [each.text(System.US) for each in row[1:3]] == columns
