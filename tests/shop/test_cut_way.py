"""The way of a cut-back: one step is due at a time, in an order that cannot be got wrong."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from taperlab import shipped
from taperlab.edits import cut_back as edits
from taperlab.edits import cut_steps
from taperlab.files.native import read_bench
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutEnd, Target, TargetKind
from taperlab.model.exact_units import GRAIN, INCH
from taperlab.shop.cut_back.study import Study, study_now
from taperlab.shop.cut_back.way import Act
from taperlab.shop.cut_back.way_figures import ROWS, after_cut, now
from taperlab.shop.cut_back.way_words import bench_words, ending, rows_of, words_of
from taperlab.shop.rail import State
from taperlab.units.kinds import System
from taperlab.units.sentence import render

BENCH = read_bench(shipped.sample("cut_back.taperlab"))
KEY = BENCH.cut_backs[0].key


def fresh(**changes: Any) -> Bench:
    job = replace(BENCH.cut_backs[0], steps=(), first_reading=None, **changes)
    return replace(BENCH, cut_backs=(job,))


def studied(bench: Bench) -> Study:
    return study_now(bench.lines[0], bench.cut_backs[0], bench.chosen_rod, bench.water)


def weighed(**changes: Any) -> Bench:
    bench = edits.set_first_reading(fresh(**changes), KEY, 564.5 * GRAIN).bench
    return edits.tell_ends(bench, KEY).bench


def made(bench: Bench) -> Bench:
    """The cut that is due, made as told."""
    cut = studied(bench).due().cut
    assert cut is not None
    return cut_steps.cut_off(bench, KEY, cut.end, cut.mark).bench


def read(bench: Bench) -> Bench:
    """Head and offcut on a scale of half grains, as expected."""
    due = studied(bench).due()
    assert due.head is not None
    shown = due.head.mass, due.offcut or 0.0
    head, offcut = (round(each / GRAIN * 2) / 2 * GRAIN for each in shown)
    return cut_steps.weigh_cut(bench, KEY, head, offcut if due.offcut else None).bench


def test_the_order_of_a_whole_cut_back() -> None:
    bench, acts = fresh(end=CutEnd.BOTH), []
    for _ in range(20):
        study = studied(bench)
        act = study.due().act
        acts.append(act)
        # One step is due, and one row says so.
        states = [each.state for each in rows_of(study, study.due())]
        assert states.count(State.NOW) == (0 if act is Act.FINISHED else 1)
        assert states == sorted(states, key=[State.DONE, State.NOW, State.LATER].index)
        if act is Act.WEIGH_FIRST:
            bench = edits.set_first_reading(bench, KEY, 564.5 * GRAIN).bench
        elif act is Act.TELL_ENDS:
            bench = edits.tell_ends(bench, KEY).bench
        elif act is Act.CUT:
            bench = made(bench)
        elif act is Act.WEIGH:
            bench = read(bench)
        elif act is Act.MAKE_LOOPS:
            assert study.last is not None
            bench = edits.set_last_reading(bench, KEY, study.last.expected).bench
        else:
            break
    assert acts[:6] == [
        Act.WEIGH_FIRST,
        Act.TELL_ENDS,
        Act.CUT,
        Act.CUT,
        Act.WEIGH,
        Act.CUT,
    ]
    assert acts[-2:] == [Act.MAKE_LOOPS, Act.FINISHED]


def test_a_stage_that_was_begun_is_ended_as_it_was_planned() -> None:
    bench = weighed(end=CutEnd.BOTH, front_share=0.35)
    first, second = studied(bench).due().cuts
    assert (first.end, second.end) == (CutEnd.REAR, CutEnd.FRONT)
    begun = made(bench)
    due = studied(begun).due()
    assert due.act is Act.CUT
    assert due.made == 1
    (left,) = due.cuts
    assert (left.end, left.mark) == (CutEnd.FRONT, pytest.approx(second.mark))
    # What is promised does not change half-way through.
    before = studied(bench).due().head
    assert due.head is not None
    assert before is not None
    assert due.head.mass == pytest.approx(before.mass)


@pytest.mark.parametrize("off", [-2 * INCH, INCH])
def test_after_a_cut_that_went_elsewhere_the_scale_is_asked_first(off: float) -> None:
    bench = weighed(end=CutEnd.BOTH)
    cut = studied(bench).due().cuts[0]
    begun = cut_steps.cut_off(bench, KEY, cut.end, cut.mark + off).bench
    due = studied(begun).due()
    assert due.act is Act.WEIGH
    assert due.cuts == ()


def test_nothing_is_cut_on_weighings_that_disagree() -> None:
    bench = made(weighed())
    due = studied(bench).due()
    assert due.head is not None
    wrong = cut_steps.weigh_cut(bench, KEY, due.head.mass - 18 * GRAIN, due.offcut).bench
    study = studied(wrong)
    assert study.due().act is Act.ASK
    assert study.due().cuts == ()
    assert now(study) is None
    assert words_of(study, study.due()).figure is None


def test_a_weighing_may_be_left_out() -> None:
    bench = made(weighed())
    study = studied(bench)
    assert study.due().act is Act.WEIGH
    # Then it is not known well enough to cut on: the head alone is asked for.
    assert study.due().offcut is not None
    assert study.due(unweighed=True).offcut is None
    unweighed = studied(fresh())
    assert unweighed.due().act is Act.WEIGH_FIRST


def test_good_is_said_of_nothing_that_is_amiss() -> None:
    # A target that is above the rod's window, 420 to 500 gr.
    aim = Target(TargetKind.WEIGHT, 540 * GRAIN)
    bench = weighed(target=aim)
    for _ in range(8):
        study = studied(bench)
        due = study.due()
        if due.act not in (Act.CUT, Act.WEIGH):
            break
        bench = made(bench) if due.act is Act.CUT else read(bench)
    assert study.stop is not None
    assert ending(study.stop)[1] != "good"
    words = words_of(study, study.due())
    assert any("too heavy" in render(each, System.US) for each in words.amiss)
    column = now(study)
    assert column is not None
    (in_window,) = (said for row, said in zip(ROWS, column, strict=True) if "window" in str(row))
    assert render(in_window, System.US) == "too heavy"


def test_after_this_cut_is_what_the_stage_promises() -> None:
    study = studied(weighed())
    due = study.due()
    column = after_cut(study, due)
    assert column is not None
    assert due.stage is not None
    assert render(column[0], System.US).startswith(f"{due.stage.expected / GRAIN:.1f} ±")
    # 43 ft, less the cut and what the new loop takes.
    left = study.left
    assert left is not None
    fold = study.terms.rear_loop.fold
    assert study.then is not None
    assert study.then.length == pytest.approx(left.line.length - due.stage.length - fold)


def test_the_bench_says_it_in_few_words() -> None:
    for bench in (fresh(), weighed(), made(weighed()), BENCH):
        study = studied(bench)
        words = bench_words(study, study.due())
        assert words.more == ()
        assert len(render(words.lead, System.US)) <= 24
        assert len(render(words.verb, System.US)) <= 24
