"""Tolerances of a line, and leaving belly on to be cut back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from taperlab.edits.cut_back import cut_back_of
from taperlab.edits.edited import Refused
from taperlab.edits.tolerance import leave_on, set_tolerance
from taperlab.files import native
from taperlab.model.bench import Bench
from taperlab.model.cut_log import Target, TargetKind
from taperlab.model.line import line_of
from taperlab.model.measurement import USUAL
from taperlab.model.segment import Part, Segment
from taperlab.model.tolerance import AS_READ, Tolerance

LINE = line_of("line", "Alder", (Segment(Part.BELLY, 8.0, 0.0024, 0.0024, 870.0),))
BENCH = Bench((LINE,))


def test_tolerances_belong_to_the_line_and_its_file():
    typed = Tolerance(length=0.003, diameter=2e-5, piece=3.0)
    after = set_tolerance(BENCH, "line", typed).bench
    assert after.lines[0] == replace(LINE, tolerance=typed)
    assert native.loads(native.dumps(after), "x") == after
    assert set_tolerance(after, "line", typed).bench is after
    assert "tolerance" not in native.dumps(BENCH)
    assert set_tolerance(after, "line", AS_READ).bench == BENCH


def test_tolerances_out_of_all_measure_are_refused():
    with pytest.raises(Refused, match="must be"):
        set_tolerance(BENCH, "line", Tolerance(diameter=1.0))


def test_belly_left_on_is_a_copy_with_its_cut_back_begun():
    edited = leave_on(BENCH, "line", 0, 0.2, 0.030, USUAL)
    design, copy = edited.bench.lines
    assert design is LINE
    assert copy.segments[0].length == pytest.approx(8.2)
    assert copy.name == "Alder, to cut back"
    assert edited.bench.current_line is copy
    assert edited.line == copy.key
    job = cut_back_of(edited.bench, copy)
    assert job is not None
    assert job.target == Target(TargetKind.WEIGHT, 0.030)
    assert job.instruments is USUAL
    again = leave_on(edited.bench, "line", 0, 0.2, 0.030, USUAL)
    assert [each.name for each in again.bench.lines] == [
        "Alder",
        "Alder, to cut back 2",
        "Alder, to cut back",
    ]


def test_nothing_that_is_no_head_is_left_long():
    running = line_of("line", "R", (Segment(Part.RUNNING_LINE, 8.0, 0.001, 0.001, 870.0),))
    with pytest.raises(Refused):
        leave_on(Bench((running,)), "line", 0, 0.2, 0.030, USUAL)
    with pytest.raises(Refused):
        leave_on(BENCH, "line", 3, 0.2, 0.030, USUAL)
