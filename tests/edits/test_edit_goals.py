"""Goals and locks as edits, and an answer as one step whose text says what moved."""

from __future__ import annotations

import pytest

from taperlab.edits import goals
from taperlab.edits.edited import Refused
from taperlab.edits.lines import delete_line
from taperlab.edits.rows import insert_default, split_segment
from taperlab.model.aim import Cell, Goal, GoalKind
from taperlab.model.bench import Bench
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import line_of
from taperlab.model.segment import Part, Segment
from taperlab.units.kinds import System
from taperlab.units.sentence import render

WEIGHT = Goal(GoalKind.WEIGHT, 500 * GRAIN, 500 * GRAIN)
LINE = line_of(
    "line-1",
    "Alder",
    (
        Segment(Part.FRONT_TAPER, 15 * FOOT, 0.03 * INCH, 0.09 * INCH, 870.0),
        Segment(Part.BELLY, 20 * FOOT, 0.09 * INCH, 0.09 * INCH, 870.0),
    ),
)
OTHER = line_of("line-2", "Birch", (Segment(Part.TIP, 10 * FOOT, 0.04 * INCH, 0.04 * INCH, 1e3),))
BENCH = Bench((LINE, OTHER))


def test_a_goal_takes_the_place_of_one_for_the_same_figure():
    bench = goals.set_goal(BENCH, "line-1", WEIGHT).bench
    lighter = Goal(GoalKind.WEIGHT, 400 * GRAIN, 420 * GRAIN)
    longer = Goal(GoalKind.LENGTH, 36 * FOOT, 36 * FOOT)
    bench = goals.set_goal(bench, "line-1", longer).bench
    bench = goals.set_goal(bench, "line-1", lighter).bench
    assert bench.lines[0].aim.goals == (lighter, longer)
    bench = goals.clear_goals(bench, "line-1", [WEIGHT]).bench
    assert bench.lines[0].aim.goals == (longer,)
    assert goals.clear_goals(bench, "line-1").bench.lines[0].aim.goals == ()


def test_running_weights_at_different_places_are_different_goals():
    bench = BENCH
    for feet in (10, 20):
        goal = Goal(GoalKind.RUNNING, 100 * GRAIN, 100 * GRAIN, at=feet * FOOT)
        bench = goals.set_goal(bench, "line-1", goal).bench
    assert len(bench.lines[0].aim.goals) == 2


def test_a_goal_outside_the_limits_is_refused():
    with pytest.raises(Refused, match="The goal for the head weight"):
        goals.set_goal(BENCH, "line-1", Goal(GoalKind.WEIGHT, 99.0, 99.0))
    with pytest.raises(Refused, match="no longer"):
        goals.set_goal(BENCH, "line-1", Goal(GoalKind.STEP, 1.0, 1.0, line="gone"))
    with pytest.raises(Refused, match="its own"):
        goals.set_goal(BENCH, "line-1", Goal(GoalKind.STEP, 1.0, 1.0, line="line-1"))


def test_a_line_that_is_deleted_takes_the_goals_with_it_that_were_of_it():
    bench = goals.set_goal(BENCH, "line-1", WEIGHT).bench
    bench = goals.set_goal(bench, "line-1", Goal(GoalKind.STEP, 1.0, 1.0, line="line-2")).bench
    bench = delete_line(bench, "line-2").bench
    assert bench.lines[0].aim.goals == (WEIGHT,)


def test_locks_follow_their_rows():
    bench = goals.set_locks(BENCH, "line-1", [(1, Cell.LENGTH)], True).bench
    bench = insert_default(bench, "line-1", 0).bench
    assert bench.lines[0].segments[2].hold(Cell.LENGTH).locked
    bench = split_segment(bench, "line-1", 2, 5 * FOOT).bench
    assert all(each.hold(Cell.LENGTH).locked for each in bench.lines[0].segments[2:])
    bench = goals.set_locks(bench, "line-1", [(2, Cell.LENGTH)], False).bench
    assert not bench.lines[0].segments[2].holds


def test_a_bound_and_a_tie():
    bench = goals.set_bounds(BENCH, "line-1", 0, Cell.LENGTH, 14 * FOOT, None).bench
    assert bench.lines[0].segments[0].hold(Cell.LENGTH).low == 14 * FOOT
    bench = goals.set_tie(bench, "line-1", [(0, Cell.LENGTH), (1, Cell.LENGTH)], True).bench
    ties = {each.hold(Cell.LENGTH).tie for each in bench.lines[0].segments}
    assert ties == {"a"}
    with pytest.raises(Refused, match="Select two or more"):
        goals.set_tie(bench, "line-1", [(0, Cell.LENGTH), (1, Cell.DENSITY)], True)
    with pytest.raises(Refused, match="must not lie above"):
        goals.set_bounds(bench, "line-1", 0, Cell.LENGTH, 5.0, 4.0)


def test_an_answer_says_what_moved_biggest_first_each_in_its_own_unit():
    values = [
        (0, Cell.LENGTH, 14.5 * FOOT),
        (0, Cell.REAR, 0.099 * INCH),
        (1, Cell.FRONT, 0.099 * INCH),
        (1, Cell.REAR, 0.099 * INCH),
        (1, Cell.DENSITY, 869.0),
    ]
    edited = goals.take_answer(BENCH, "line-1", values)
    text = render(edited.text, System.US)
    assert text == (
        "Meet goals: rear diameter of segment 1 +0.009 in, length of segment 1 −6 in and 1 more"
    )
    assert [each.quantity for each in edited.moved][-1] == "density"
    near = goals.take_answer(BENCH, "line-1", values, nearest=True)
    assert render(near.text, System.METRIC).startswith("Come near goals: ")


def test_an_answer_outside_the_limits_is_refused():
    with pytest.raises(Refused, match="The length of segment 1"):
        goals.take_answer(BENCH, "line-1", [(0, Cell.LENGTH, 1e4)])
    with pytest.raises(Refused, match="no segment 9"):
        goals.take_answer(BENCH, "line-1", [(8, Cell.LENGTH, 1.0)])
