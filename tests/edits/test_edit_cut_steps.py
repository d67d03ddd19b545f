"""A cut-back logged one thing at a time, and taken back one thing at a time."""

from __future__ import annotations

import math

import pytest

from taperlab import shipped
from taperlab.edits import cut_back, cut_steps
from taperlab.edits.edited import Refused
from taperlab.files.native import read_bench
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutEnd, CutStep
from taperlab.model.exact_units import FOOT, GRAIN, INCH

BENCH = read_bench(shipped.sample("cut_back.taperlab"))
KEY = BENCH.cut_backs[0].key


def steps(bench: Bench) -> tuple[CutStep, ...]:
    return bench.cut_backs[0].steps


def test_cuts_at_both_ends_without_a_weighing_between_are_one_step() -> None:
    rear = cut_steps.cut_off(BENCH, KEY, CutEnd.REAR, 2 * INCH).bench
    assert steps(rear)[2:] == (CutStep(0.0, 2 * INCH),)
    both = cut_steps.cut_off(rear, KEY, CutEnd.FRONT, INCH).bench
    assert steps(both)[2:] == (CutStep(INCH, 2 * INCH),)
    # A second cut at the same end is another step.
    again = cut_steps.cut_off(both, KEY, CutEnd.REAR, INCH).bench
    assert steps(again)[3:] == (CutStep(0.0, INCH),)
    # And so is one after a weighing.
    weighed = cut_steps.weigh_cut(rear, KEY, 458 * GRAIN, 3 * GRAIN).bench
    assert steps(weighed)[2:] == (CutStep(0.0, 2 * INCH, 458 * GRAIN, 3 * GRAIN),)
    assert steps(cut_steps.cut_off(weighed, KEY, CutEnd.FRONT, INCH).bench)[3:] == (CutStep(INCH),)


def test_a_head_is_weighed_again_without_a_cut() -> None:
    weighed = cut_steps.weigh_cut(BENCH, KEY, 461.5 * GRAIN, None).bench
    assert steps(weighed)[2:] == (CutStep(head=461.5 * GRAIN),)
    with pytest.raises(Refused):
        cut_steps.weigh_cut(BENCH, KEY, None, None)
    for head, offcut in ((math.nan, None), (None, math.nan), (-GRAIN, None), (None, -GRAIN)):
        with pytest.raises(Refused):
            cut_steps.weigh_cut(BENCH, KEY, head, offcut)
    with pytest.raises(Refused):
        cut_steps.weigh_cut(BENCH, KEY, 461.5 * GRAIN, 2 * GRAIN)


SENSELESS = (float("nan"), float("inf"), -float("inf"), -GRAIN, 1e300)
"""What no scale reads."""


@pytest.mark.parametrize("reading", SENSELESS)
def test_what_no_scale_reads_is_refused(reading: float) -> None:
    cut = cut_steps.cut_off(BENCH, KEY, CutEnd.REAR, 2 * INCH).bench
    for bench in (BENCH, cut):
        for head, offcut in ((reading, None), (None, reading), (458 * GRAIN, reading)):
            with pytest.raises(Refused) as refused:
                cut_steps.weigh_cut(bench, KEY, head, offcut)
            what = "head" if head == reading or offcut is None else "offcut"
            assert str(refused.value).startswith(f"The weight of the {what} ")
    for edit in (cut_back.set_first_reading, cut_back.set_last_reading):
        with pytest.raises(Refused):
            edit(BENCH, KEY, reading)


def test_an_offcut_may_be_too_light_for_the_scale_but_a_head_may_not() -> None:
    cut = cut_steps.cut_off(BENCH, KEY, CutEnd.REAR, INCH / 4).bench
    weighed = cut_steps.weigh_cut(cut, KEY, 461.5 * GRAIN, 0.0).bench
    assert steps(weighed)[2:] == (CutStep(0.0, INCH / 4, 461.5 * GRAIN, 0.0),)
    with pytest.raises(Refused):
        cut_steps.weigh_cut(cut, KEY, 0.0, None)


@pytest.mark.parametrize("share", [float("nan"), float("inf"), -0.01, 1.01])
def test_no_share_beyond_the_whole_comes_off_the_fly_end(share: float) -> None:
    with pytest.raises(Refused):
        cut_back.set_end(BENCH, KEY, CutEnd.BOTH, share)


@pytest.mark.parametrize("length", [0.0, -INCH, float("nan"), float("inf"), 1e300])
def test_no_cut_is_no_cut(length: float) -> None:
    with pytest.raises(Refused):
        cut_steps.cut_off(BENCH, KEY, CutEnd.REAR, length)
    with pytest.raises(Refused):
        cut_steps.cut_off(BENCH, KEY, CutEnd.BOTH, FOOT)


def test_everything_that_was_done_is_taken_back_in_turn() -> None:
    start = cut_back.new_cut_back(
        BENCH.lines[0], BENCH.cut_backs[0].target, BENCH.cut_backs[0].instruments, KEY
    )
    from dataclasses import replace

    stands = [replace(BENCH, cut_backs=(start,))]
    for edit, arguments in (
        (cut_back.set_first_reading, (569.5 * GRAIN,)),
        (cut_back.tell_ends, ()),
        (cut_steps.cut_off, (CutEnd.REAR, 4 * FOOT)),
        (cut_steps.cut_off, (CutEnd.FRONT, FOOT)),
        (cut_steps.weigh_cut, (495.0 * GRAIN, 74.5 * GRAIN)),
        (cut_steps.weigh_cut, (495.5 * GRAIN, None)),
        (cut_back.set_last_reading, (496.0 * GRAIN,)),
    ):
        stands.append(edit(stands[-1], KEY, *arguments).bench)
    bench = stands.pop()
    while stands:
        bench = cut_steps.take_back(bench, KEY).bench
        assert bench == stands.pop()
    with pytest.raises(Refused):
        cut_steps.take_back(bench, KEY)
