"""What dragging a handle on a breakpoint does, and how far it goes."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from taperlab.edits.breakpoints import (
    drag_breakpoint,
    drag_measured,
    on_tape,
    put_back,
)
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.exact_units import INCH
from taperlab.model.line import line_of
from taperlab.model.measurement import USUAL, Measurement
from taperlab.model.segment import Core, Part, Segment
from taperlab.units.kinds import DIAMETER

TAPER = Segment(Part.FRONT_TAPER, 3.0, 0.001, 0.002, 860.0)
BELLY = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0)
SINKING = Segment(Part.SINK_TIP, 4.0, 0.0015, 0.0015, 2000.0)
BENCH = Bench((line_of("a", "Alder head", (TAPER, BELLY, SINKING)),))


def rows(bench: Bench) -> tuple[Segment, ...]:
    return bench.lines[0].segments


def test_ends_that_touch_alike_move_together() -> None:
    taper, belly, _ = rows(drag_breakpoint(BENCH, "a", 1, 3.5, diameter=0.0018).bench)
    assert taper.length == pytest.approx(3.5)
    assert taper.rear_diameter == belly.front_diameter == 0.0018


@pytest.mark.parametrize("behind", [True, False])
def test_of_two_ends_that_differ_the_one_that_is_meant_moves(behind: bool) -> None:
    _, belly, tip = rows(drag_breakpoint(BENCH, "a", 2, behind=behind, diameter=0.0017).bench)
    assert (belly.rear_diameter, tip.front_diameter) == (
        (0.002, 0.0017) if behind else (0.0017, 0.0015)
    )


def test_weight_per_length_is_worked_back_at_the_density_of_that_end() -> None:
    wanted = 2000.0 * math.pi / 4.0 * 0.0012**2
    _, belly, tip = rows(drag_breakpoint(BENCH, "a", 2, behind=True, linear_density=wanted).bench)
    assert tip.front_diameter == pytest.approx(0.0012, rel=1e-12)
    assert belly.rear_diameter == 0.002
    assert drag_breakpoint(BENCH, "a", 0, linear_density=wanted).bench.lines[0].segments[
        0
    ].front_diameter == pytest.approx(0.0012 * math.sqrt(2000.0 / 860.0), rel=1e-12)


def test_a_drag_goes_no_further_than_cores_and_limits() -> None:
    cored = replace(BELLY, core=Core(0.0009, 1140.0))
    bench = Bench((line_of("a", "Alder head", (TAPER, cored)),))
    for how in ({"diameter": 0.0}, {"linear_density": 0.0}, {"linear_density": -1.0}):
        taper, belly = rows(drag_breakpoint(bench, "a", 1, **how).bench)
        assert taper.rear_diameter == belly.front_diameter == 0.0009
    taper, belly = rows(drag_breakpoint(bench, "a", 1, diameter=9.0).bench)
    assert taper.rear_diameter == DIAMETER.highest
    assert rows(drag_breakpoint(BENCH, "a", 0, diameter=0.0).bench)[0].front_diameter == (
        DIAMETER.lowest
    )


def test_a_drag_of_what_is_not_there_is_refused() -> None:
    for line, index in (("b", 0), ("a", 4), ("a", -1)):
        with pytest.raises(Refused):
            drag_breakpoint(BENCH, line, index, 1.0, diameter=0.001)


def test_a_line_is_put_back_as_it_was() -> None:
    dragged = drag_breakpoint(BENCH, "a", 1, 4.0, diameter=0.0011).bench
    assert put_back(dragged, BENCH.lines[0]).bench == BENCH
    assert put_back(BENCH, BENCH.lines[0]).bench is BENCH


MEASURED = Measurement("m", "Found line", 10.0, instruments=USUAL, breakpoints=(4.0,))


def test_a_measured_breakpoint_goes_to_whole_steps_of_the_tape() -> None:
    bench = Bench(measurements=(MEASURED,))
    (moved,) = drag_measured(bench, "m", 4.0, 5.1234).bench.measurements[0].breakpoints
    assert moved == pytest.approx(5.1234, abs=USUAL.tape / 2)
    assert moved / (INCH / 8) == pytest.approx(round(moved / (INCH / 8)), abs=1e-9)
    (moved,) = drag_measured(bench, "m", 4.0, 99.0).bench.measurements[0].breakpoints
    assert 9.9 < moved < 10.0
    (moved,) = drag_measured(bench, "m", 4.0, -3.0).bench.measurements[0].breakpoints
    assert 0.0 < moved < 0.1


def test_what_is_pointed_at_stays_on_the_line() -> None:
    assert on_tape(MEASURED, 0.0001) == 0.0001
    assert on_tape(MEASURED, 0.5) == pytest.approx(157 * INCH / 8, abs=1e-9)
    assert on_tape(MEASURED, 10.0) == 10.0
    assert math.isnan(on_tape(MEASURED, math.nan))
