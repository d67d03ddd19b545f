"""A cut-back edit by edit: what it changes, what it refuses, and what stays."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from taperlab.edits import cut_back, lines
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.cut_log import (
    CutBack,
    CutEnd,
    CutStep,
    Limits,
    NewLoop,
    Target,
    TargetKind,
    Weighing,
)
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style, line_of
from taperlab.model.measurement import Instruments, Measurement
from taperlab.model.segment import Part, Segment

FOOT, INCH, GRAIN = 0.3048, 0.0254, 64.79891e-6
TOOLS = Instruments(0.5 * GRAIN, INCH / 8, 1e-5)
AIM = Target(TargetKind.WEIGHT, 400 * GRAIN)


def head(key: str = "line-1") -> Line:
    belly = Segment(Part.BELLY, 30 * FOOT, 0.002, 0.002, 860.0)
    loop = Loop(LoopKind.FOLDED, 2.5 * INCH, 0.4 * GRAIN)
    made = line_of(key, "Head", (belly,), Style.SCANDI)
    return Line(key, made.name, made.style, made.segments, (), loop, loop)


@pytest.fixture
def bench() -> Bench:
    return cut_back.start_cut_back(Bench((head(),)), "line-1", AIM, TOOLS).bench


def job(bench: Bench) -> CutBack:
    (found,) = bench.cut_backs
    return found


def test_a_start_aims_and_takes_the_loops_that_are_there(bench: Bench) -> None:
    assert job(bench).line == "line-1"
    assert job(bench).target == AIM
    assert job(bench).instruments == TOOLS
    assert job(bench).end is CutEnd.REAR
    assert job(bench).rear_loop == NewLoop(2.5 * INCH, 0.4 * GRAIN)
    with pytest.raises(Refused, match="has a cut-back already"):
        cut_back.start_cut_back(bench, "line-1", AIM, TOOLS)


def test_a_start_leaves_the_backing_loop_behind_the_running_line_alone() -> None:
    running = Segment(Part.RUNNING_LINE, 70 * FOOT, 0.001, 0.001, 860.0)
    backing = Loop(LoopKind.BRAIDED, 4 * INCH, 3.0 * GRAIN)
    joint = Joint(JointKind.BUTT_WELD, mass=0.7 * GRAIN)
    bare = head()
    whole = replace(bare, segments=(*bare.segments, running), joints=(joint,), rear_loop=backing)
    begun = cut_back.start_cut_back(Bench((whole,)), "line-1", AIM, TOOLS).bench
    assert job(begun).front_loop == NewLoop(2.5 * INCH, 0.4 * GRAIN)
    assert job(begun).rear_loop == NewLoop(0.0, 0.7 * GRAIN)


def test_what_has_no_head_cannot_be_begun() -> None:
    running = Segment(Part.RUNNING_LINE, 30 * FOOT, 0.001, 0.001, 860.0)
    empty, wrong = line_of("line-1", "Empty", ()), line_of("line-2", "Running", (running,))
    bench = Bench((empty, wrong))
    for key, why in (("line-1", "no segments"), ("line-2", "no head")):
        with pytest.raises(Refused, match=f"can’t be cut back. This line .*{why}"):
            cut_back.start_cut_back(bench, key, AIM, TOOLS)


def test_each_setting_is_set(bench: Bench) -> None:
    key = job(bench).key
    limits = Limits(20 * FOOT, 1.1, None, True)
    finer = Instruments(0.1 * GRAIN, 0.001, 1e-5)
    for edit, value, name in (
        (cut_back.set_target, Target(TargetKind.RATIO, 2.5), "target"),
        (cut_back.set_limits, limits, "limits"),
        (cut_back.set_instruments, finer, "instruments"),
        (cut_back.set_first_reading, 450 * GRAIN, "first_reading"),
    ):
        edited = edit(bench, key, value)
        assert getattr(job(edited.bench), name) == value
        assert edit(edited.bench, key, value).bench is edited.bench
    both = cut_back.set_end(bench, key, CutEnd.BOTH, 0.25).bench
    assert (job(both).end, job(both).front_share) == (CutEnd.BOTH, 0.25)
    assert job(cut_back.set_end(both, key, CutEnd.FRONT).bench).front_share == 0.25
    looped = cut_back.set_new_loops(bench, key, NewLoop(0.05), NewLoop(0.06, 1e-5)).bench
    assert job(looped).rear_loop == NewLoop(0.06, 1e-5)


@pytest.mark.parametrize("mass", [0.0, -1.0, math.nan, math.inf, 0.5 * GRAIN])
def test_a_weight_that_cannot_be_the_heads_is_refused(bench: Bench, mass: float) -> None:
    with pytest.raises(Refused):
        cut_back.set_first_reading(bench, job(bench).key, mass)


def test_the_log_is_written_put_right_and_taken_back(bench: Bench) -> None:
    key = job(bench).key
    one = CutStep(0.0, FOOT, 430 * GRAIN, 15 * GRAIN)
    two = CutStep(0.0, 2 * INCH, None, 2 * GRAIN)
    bench = cut_back.record_cut(bench, key, one).bench
    bench = cut_back.record_cut(bench, key, two).bench
    assert job(bench).steps == (one, two)
    again = CutStep(0.0, FOOT, 431 * GRAIN, 15 * GRAIN)
    changed = cut_back.change_step(bench, key, 0, again).bench
    assert job(changed).steps == (again, two)
    with pytest.raises(Refused, match="no cut 3"):
        cut_back.change_step(bench, key, 2, again)
    bench = cut_back.remove_last_step(cut_back.remove_last_step(bench, key).bench, key).bench
    assert job(bench).steps == ()
    with pytest.raises(Refused, match="no cut in the log"):
        cut_back.remove_last_step(bench, key)


@pytest.mark.parametrize(
    ("step", "why"),
    [
        (CutStep(), "Type what was cut off"),
        (CutStep(0.0, 0.0, None, 3 * GRAIN), "Type what was cut off"),
        (CutStep(0.0, 0.0, 400 * GRAIN, 3 * GRAIN), "no cut was typed"),
        (CutStep(0.0, 30 * FOOT), "more than is left"),
        (CutStep(15 * FOOT, 15 * FOOT), "more than is left"),
    ],
)
def test_a_step_that_cannot_be_is_refused(bench: Bench, step: CutStep, why: str) -> None:
    with pytest.raises(Refused, match=why):
        cut_back.record_cut(bench, job(bench).key, step)


@pytest.mark.parametrize("cut", [{"front": FOOT}, {"rear": FOOT}])
def test_an_offcut_is_weighed_at_either_end(bench: Bench, cut: dict[str, float]) -> None:
    step = CutStep(**cut, offcut=10 * GRAIN)
    assert job(cut_back.record_cut(bench, job(bench).key, step).bench).steps == (step,)


@pytest.mark.parametrize("share", [0.0, 1.0])
def test_all_may_come_off_one_end_where_both_are_cut(bench: Bench, share: float) -> None:
    edited = cut_back.set_end(bench, job(bench).key, CutEnd.BOTH, share)
    assert job(edited.bench).front_share == share


def test_a_weighing_without_a_cut_is_a_step(bench: Bench) -> None:
    step = CutStep(head=440 * GRAIN)
    assert job(cut_back.record_cut(bench, job(bench).key, step).bench).steps == (step,)


def test_the_cut_head_stands_beside_its_line_or_in_its_place(bench: Bench) -> None:
    key = job(bench).key
    other = head("line-7")
    whole = bench.lines[0]
    bench = lines.add_lines_from(bench, Bench((other,))).bench
    cut = line_of("", "", (Segment(Part.BELLY, 20 * FOOT, 0.002, 0.002, 860.0),), Style.SCANDI)
    beside = cut_back.put_on_bench(bench, key, cut, "Head", "cut").bench
    assert beside.lines[0] is whole
    assert beside.lines[1].segments == cut.segments
    assert beside.lines[1].name != whole.name
    assert beside.lines[2:] == bench.lines[1:]
    assert beside.current_line is beside.lines[1]
    # Its log stays with the line that was cut, and knows that the cut head is there.
    assert beside.cut_backs == (replace(job(bench), on_bench=True),)
    instead = cut_back.put_on_bench(bench, key, cut, "Head, cut", keep=False).bench
    assert instead.lines[1:] == bench.lines[1:]
    assert instead.lines[0].key == whole.key
    assert instead.lines[0].length == pytest.approx(20 * FOOT)
    assert instead.cut_backs == ()
    with pytest.raises(Refused, match="needs a name"):
        cut_back.put_on_bench(bench, key, cut, "  ")


def test_a_deleted_line_takes_its_cut_backs_and_is_forgotten_by_measurements(bench: Bench) -> None:
    measured = Measurement("m", "Measured", 9.0, TOOLS, line="line-1")
    bench = Bench(bench.lines, measurements=(measured,), cut_backs=bench.cut_backs)
    after = lines.delete_line(bench, "line-1").bench
    assert after.cut_backs == ()
    assert after.measurements[0].line is None
    assert cut_back.delete_cut_back(bench, job(bench).key).bench.cut_backs == ()


def test_an_offcut_from_either_end_is_logged_and_one_from_nowhere_is_not(bench: Bench) -> None:
    key = job(bench).key
    both = cut_back.set_end(bench, key, CutEnd.BOTH, 0.0).bench
    assert job(both).front_share == 0.0
    for front, rear in ((1 * FOOT, 0.0), (0.0, 1 * FOOT)):
        step = CutStep(front, rear, 440 * GRAIN, 15 * GRAIN)
        assert job(cut_back.record_cut(bench, key, step).bench).steps == (step,)
    with pytest.raises(Refused, match="no cut was typed"):
        cut_back.record_cut(bench, key, CutStep(0.0, 0.0, 440 * GRAIN, 15 * GRAIN))


@pytest.mark.parametrize(
    ("what", "taken", "dropped"),
    [(Weighing.HEAD, "head", "dropped_head"), (Weighing.OFFCUT, "offcut", "dropped_offcut")],
)
def test_a_reading_is_dropped_and_taken_again(
    bench: Bench, what: Weighing, taken: str, dropped: str
) -> None:
    key = job(bench).key
    step = CutStep(0.0, FOOT, 430 * GRAIN, 15 * GRAIN, sure=True)
    logged = cut_back.record_cut(bench, key, step).bench
    without = cut_back.drop_reading(logged, key, what, 0).bench
    (left,) = job(without).steps
    assert getattr(left, taken) is None
    assert getattr(left, dropped) == getattr(step, taken)
    assert not left.sure
    with pytest.raises(Refused, match="no such reading"):
        cut_back.drop_reading(without, key, what, 0)
    with pytest.raises(Refused, match="no cut 2"):
        cut_back.drop_reading(without, key, what, 1)
    again = cut_back.take_reading_again(without, key, what, 0).bench
    assert job(again).steps == (CutStep(0.0, FOOT, 430 * GRAIN, 15 * GRAIN),)


def test_the_first_reading_is_dropped_and_taken_again(bench: Bench) -> None:
    key = job(bench).key
    weighed = cut_back.set_first_reading(bench, key, 450 * GRAIN).bench
    without = cut_back.drop_reading(weighed, key, Weighing.FIRST).bench
    assert (job(without).first_reading, job(without).dropped_first) == (None, 450 * GRAIN)
    assert cut_back.take_reading_again(without, key, Weighing.FIRST).bench == weighed
    with pytest.raises(Refused, match="no such reading"):
        cut_back.take_reading_again(weighed, key, Weighing.FIRST)


def test_no_reading_is_lost_without_a_word(bench: Bench) -> None:
    """Taken again, one changes places with what came since; dropped twice, the edit says so."""
    key = job(bench).key
    logged = cut_back.record_cut(bench, key, CutStep(0.0, FOOT, 430 * GRAIN)).bench
    without = cut_back.drop_reading(logged, key, Weighing.HEAD, 0).bench
    (left,) = job(without).steps
    weighed = cut_back.change_step(without, key, 0, replace(left, head=431 * GRAIN)).bench
    again = cut_back.take_reading_again(weighed, key, Weighing.HEAD, 0).bench
    assert job(again).steps == (CutStep(0.0, FOOT, 430 * GRAIN, dropped_head=431 * GRAIN),)
    twice = cut_back.drop_reading(weighed, key, Weighing.HEAD, 0)
    assert job(twice.bench).steps == (CutStep(0.0, FOOT, dropped_head=431 * GRAIN),)
    assert "forget the one dropped before" in str(twice.text)


def test_a_weighing_whose_reading_was_dropped_stays_in_the_log(bench: Bench) -> None:
    key = job(bench).key
    logged = cut_back.record_cut(bench, key, CutStep(head=440 * GRAIN)).bench
    (left,) = job(cut_back.drop_reading(logged, key, Weighing.HEAD, 0).bench).steps
    assert left == CutStep(dropped_head=440 * GRAIN)


def test_whoever_was_sure_of_a_reading_was_not_sure_of_another(bench: Bench) -> None:
    key = job(bench).key
    logged = cut_back.record_cut(bench, key, CutStep(0.0, FOOT, 430 * GRAIN)).bench
    sure = cut_back.trust_readings(logged, key, 0).bench
    assert job(sure).steps[0].sure
    noted = replace(job(sure).steps[0], note="cold")
    assert job(cut_back.change_step(sure, key, 0, noted).bench).steps[0].sure
    changes: tuple[dict[str, float], ...] = (
        {"head": 431 * GRAIN},
        {"offcut": 15 * GRAIN},
        {"front": 0.5 * FOOT},
        {"rear": 2 * FOOT},
    )
    for change in changes:
        other = replace(job(sure).steps[0], **change)
        assert not job(cut_back.change_step(sure, key, 0, other).bench).steps[0].sure


def test_only_a_head_that_was_cut_is_weighed_when_it_is_finished(bench: Bench) -> None:
    key = job(bench).key
    with pytest.raises(Refused, match="Nothing was cut yet"):
        cut_back.set_last_reading(bench, key, 400 * GRAIN)
    cut = cut_back.record_cut(bench, key, CutStep(0.0, FOOT, 430 * GRAIN)).bench
    weighed = cut_back.set_last_reading(cut, key, 431 * GRAIN).bench
    assert job(weighed).last_reading == 431 * GRAIN
    assert cut_back.set_last_reading(weighed, key, None).bench == cut
    # The two loops weigh 0.8 gr: nothing would be left for the line between them.
    for read in (cut_back.set_first_reading, cut_back.set_last_reading):
        with pytest.raises(Refused, match="loops and joints alone weigh more"):
            read(cut, key, 0.7 * GRAIN)


def test_whoever_is_sure_of_the_last_reading_is_sure_of_that_one_alone(bench: Bench) -> None:
    key = job(bench).key
    cut = cut_back.record_cut(bench, key, CutStep(0.0, FOOT, 430 * GRAIN)).bench
    with pytest.raises(Refused, match="no such reading"):
        cut_back.trust_last_reading(cut, key)
    weighed = cut_back.set_last_reading(cut, key, 440 * GRAIN).bench
    sure = cut_back.trust_last_reading(weighed, key).bench
    assert job(sure).sure_last
    assert cut_back.trust_last_reading(sure, key, sure=False).bench == weighed
    assert job(cut_back.set_last_reading(sure, key, 440 * GRAIN).bench).sure_last
    assert not job(cut_back.set_last_reading(sure, key, 441 * GRAIN).bench).sure_last
    further = cut_back.record_cut(sure, key, CutStep(0.0, FOOT, 400 * GRAIN)).bench
    assert not job(further).sure_last


def test_the_ends_are_told_apart_once(bench: Bench) -> None:
    key = job(bench).key
    assert not job(bench).ends_told
    told = cut_back.tell_ends(bench, key).bench
    assert job(told).ends_told
    assert cut_back.tell_ends(told, key, told=False).bench == bench
