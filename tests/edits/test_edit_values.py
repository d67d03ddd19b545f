from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from taperlab.edits import values as edit
from taperlab.edits.changing import same
from taperlab.edits.edited import Moved, Refused, Solve
from taperlab.model.bench import Bench
from taperlab.model.line import Joint, JointKind, Line, line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.physics.sinking import body_sink_rate
from taperlab.physics.water import water_state
from tests.strategies import (
    densities,
    diameters,
    linear_densities,
    lines_,
    masses,
    rates,
)


def bench_of(*segments: Segment) -> Bench:
    return Bench((line_of("a", "Alder head", segments),))


def rows(bench: Bench) -> tuple[Segment, ...]:
    return bench.lines[0].segments


def mass(s: Segment) -> float:
    """Three sections, Simpson's rule: exact for a quadratic, and not the program's own formula."""
    ends = [linear_density(s, share) for share in (0.0, 0.5, 1.0)]
    return s.length * (ends[0] + 4.0 * ends[1] + ends[2]) / 6.0


def linear_density(s: Segment, share: float) -> float:
    d = s.front_diameter + (s.rear_diameter - s.front_diameter) * share
    core = s.core.diameter if s.core else 0.0
    inside = s.core.density * core**2 if s.core else 0.0
    return math.pi / 4.0 * (s.density * (d**2 - core**2) + inside)


def attempt(function, *args, **options):
    try:
        return function(*args, **options)
    except Refused:
        assume(False)


@st.composite
def placed(draw):
    line = draw(lines_("a", least=1))
    return Bench((line,)), draw(st.integers(0, len(line.segments) - 1))


TAPER = Segment(Part.FRONT_TAPER, 3.0, 0.001, 0.002, 860.0)
BELLY = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0)
RUNNING = Segment(Part.RUNNING_LINE, 20.0, 0.001, 0.001, 900.0)


@given(placed(), masses, st.sampled_from(Solve))
def test_a_typed_weight_is_the_weight(place, target, solve):
    bench, i = place
    edited = attempt(edit.set_weight, bench, "a", i, target, solve)
    assert mass(rows(edited.bench)[i]) == pytest.approx(target, rel=2e-9)


@given(placed(), linear_densities, st.sampled_from(Solve), st.booleans())
def test_a_typed_weight_per_length_is_that_of_its_end(place, target, solve, front):
    bench, i = place
    function = edit.set_front_linear_density if front else edit.set_rear_linear_density
    edited = attempt(function, bench, "a", i, target, solve)
    before, after = rows(bench)[i], rows(edited.bench)[i]
    assert linear_density(after, 0.0 if front else 1.0) == pytest.approx(target, rel=4e-9)
    if solve is Solve.DIAMETER:
        near, far = edit.FRONT, edit.REAR
        if not front:
            near, far = far, near
        level = front and same(before.front_diameter, before.rear_diameter)
        assert getattr(after, far) == getattr(after if level else before, near if level else far)
        assert after.density == before.density
    else:
        assert (after.front_diameter, after.rear_diameter) == (
            before.front_diameter,
            before.rear_diameter,
        )


@given(placed(), densities)
def test_a_typed_density_is_the_mean_density(place, target):
    bench, i = place
    after = rows(attempt(edit.set_density, bench, "a", i, target).bench)[i]
    d1, d2 = after.front_diameter, after.rear_diameter
    volume = math.pi * after.length * (d1 * d1 + d1 * d2 + d2 * d2) / 12.0
    assert mass(after) / volume == pytest.approx(target, rel=2e-9)
    assert after.core == rows(bench)[i].core


@settings(deadline=None)
@given(placed(), rates)
def test_a_typed_sink_rate_is_that_of_the_segment_alone(place, target):
    bench, i = place
    assume(abs(target) > 1e-4)
    after = rows(attempt(edit.set_sink_rate, bench, "a", i, target).bench)[i]
    state = water_state(bench.water)
    found = body_sink_rate(
        [after.length], [after.front_diameter], [after.rear_diameter], [mass(after)], state
    )
    assert float(found) == pytest.approx(target, rel=1e-4, abs=1e-6)


@given(placed(), diameters)
def test_putting_in_a_core_and_taking_it_out_keeps_the_weight(place, core):
    bench, i = place
    before = mass(rows(bench)[i])
    cored = attempt(edit.set_core, bench, "a", i, core, 1100.0).bench
    assert rows(cored)[i].core == Core(core, 1100.0)
    assert mass(rows(cored)[i]) == pytest.approx(before, rel=1e-9)
    plain = attempt(edit.remove_core, cored, "a", i).bench
    assert rows(plain)[i].core is None
    assert mass(rows(plain)[i]) == pytest.approx(before, rel=1e-9)


@given(placed(), diameters)
def test_a_joined_diameter_keeps_a_line_continuous(place, diameter):
    bench, i = place
    edited = attempt(edit.set_front_diameter, bench, "a", i, diameter)
    before, after = rows(bench), rows(edited.bench)
    assert after[i].front_diameter == diameter
    for gap in range(len(before) - 1):
        if before[gap].rear_diameter == before[gap + 1].front_diameter:
            assert after[gap].rear_diameter == after[gap + 1].front_diameter
    for row in range(len(before)):
        if row not in (i - 1, i):
            assert after[row] is before[row]


def test_a_neighbour_follows_a_diameter_that_it_shared_and_says_so():
    bench = bench_of(TAPER, BELLY, RUNNING)
    edited = edit.set_front_diameter(bench, "a", 1, 0.0025)
    assert edited.moved == (Moved("rear diameter", 0, 0.002, 0.0025),)
    assert rows(edited.bench)[2] is RUNNING
    apart = edit.set_rear_diameter(bench, "a", 1, 0.0025)
    assert apart.moved == ()
    assert rows(apart.bench)[2] is RUNNING
    ahead = edit.set_front_diameter(bench, "a", 2, 0.0015)
    assert ahead.moved == ()
    assert rows(ahead.bench)[1] is BELLY


def test_a_typed_weight_says_which_number_moved():
    bench = bench_of(TAPER, BELLY, RUNNING)
    by_density = edit.set_weight(bench, "a", 1, 2.0 * mass(BELLY))
    assert [(m.quantity, m.segment) for m in by_density.moved] == [("density", 1)]
    assert by_density.moved[0].after == pytest.approx(1720.0, rel=1e-12)
    by_diameter = edit.set_weight(bench, "a", 1, 4.0 * mass(BELLY), Solve.DIAMETER)
    assert {(m.quantity, m.segment) for m in by_diameter.moved} == {
        ("rear diameter", 0),
        ("front diameter", 1),
        ("rear diameter", 1),
    }
    assert rows(by_diameter.bench)[1].front_diameter == pytest.approx(0.004, rel=1e-12)


def test_a_length_moves_nothing_else():
    edited = edit.set_length(bench_of(TAPER, BELLY), "a", 1, 6.0)
    assert edited.moved == ()
    assert edited.segments == (1,)
    assert rows(edited.bench)[1].length == 6.0
    assert str(edited.text) == "Change length"


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (edit.set_length, (0, 3.0)),
        (edit.set_part, (0, Part.FRONT_TAPER)),
        (edit.set_note, (1, "")),
        (edit.set_density, (0, 860.0)),
        (edit.set_front_diameter, (1, 0.002)),
        (edit.remove_core, (1,)),
        (edit.set_weight, (1, mass(BELLY))),
        (edit.set_weight, (1, mass(BELLY), Solve.DIAMETER)),
        (edit.set_rear_linear_density, (0, linear_density(TAPER, 1.0))),
        (edit.set_joint, (0, Joint())),
    ],
)
def test_typing_what_is_there_gives_the_same_bench(function, args):
    bench = bench_of(TAPER, BELLY)
    assert function(bench, "a", *args).bench is bench


def test_joints_are_set_where_they_are():
    bench = bench_of(TAPER, BELLY, RUNNING)
    weld = Joint(JointKind.LAPPED_WELD, overlap=0.03)
    line = edit.set_joint(bench, "a", 1, weld).bench.lines[0]
    assert line.joints == (Joint(), weld)


CORED = Segment(Part.TIP, 2.0, 0.001, 0.001, 1200.0, Core(0.0006, 1100.0))
WIRED = Segment(Part.SINK_TIP, 2.0, 0.001, 0.001, 1200.0, Core(0.0006, 7800.0))


@pytest.mark.parametrize(
    ("function", "args", "says"),
    [
        (edit.set_weight, (0, 10.0), "The density of segment 1 would be"),
        (edit.set_weight, (0, 1e-9), "it must be from 0.050 g/cm³ to 25.000 g/cm³."),
        (edit.set_weight, (0, 0.0), "The weight of segment 1 must be above zero."),
        (edit.set_weight, (0, math.nan), "The weight of segment 1 must be above zero."),
        (edit.set_weight, (0, 1000.0, Solve.DIAMETER), "A diameter of segment 1 would be"),
        (edit.set_weight, (1, 1e-4), "The coating density of segment 2 would be"),
        (edit.set_weight, (1, 1e-9, Solve.DIAMETER), "The core of segment 2 is 0.0236 in thick"),
        (edit.set_weight, (2, 1e-9, Solve.DIAMETER), "No diameter of segment 3 gives that."),
        (edit.set_density, (0, 30_000.0), "would be 30.000 g/cm³; it must be"),
        (edit.set_length, (0, -1.0), "The length of segment 1 must be above zero."),
        (edit.set_front_diameter, (0, math.inf), "No diameter of segment 1 gives that."),
        (edit.set_front_diameter, (1, 0.0005), "The core of segment 2 is 0.0236 in thick"),
        (edit.set_core, (0, 0.0015, 1100.0), "The core of segment 1 is 0.0591 in thick"),
        (edit.set_sink_rate, (0, -1.0), "Nothing is light enough"),
        (edit.set_joint, (5, Joint()), "Alder head has no joint behind segment 6."),
        (edit.set_note, (9, "x"), "Alder head has no segment 10; it has 3."),
        (edit.set_front_linear_density, (0, math.inf), "must be above zero"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(function, args, says):
    with pytest.raises(Refused) as refused:
        function(bench_of(TAPER, CORED, WIRED), "a", *args)
    assert says in str(refused.value.sentence)


def test_a_line_that_is_gone_is_refused():
    with pytest.raises(Refused, match="no longer in the bench"):
        edit.set_length(Bench(), "a", 0, 1.0)


def test_a_core_that_fills_the_segment_leaves_no_coating_to_change():
    full = Segment(Part.TIP, 2.0, 0.001, 0.001, 1200.0, Core(0.001, 1100.0))
    with pytest.raises(Refused, match="No coating density of segment 1 gives that"):
        edit.set_weight(bench_of(full), "a", 0, 0.01)


def test_other_lines_are_left_alone():
    other = Line("b", "Other", segments=(BELLY,))
    bench = Bench((line_of("a", "Alder head", (TAPER,)), other))
    assert edit.set_length(bench, "a", 0, 4.0).bench.lines[1] is other
