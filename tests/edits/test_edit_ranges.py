"""Making ranges and changing what is asked of their members."""

from __future__ import annotations

from dataclasses import replace

import pytest

from taperlab.edits import ranges
from taperlab.edits.edited import Refused
from taperlab.edits.lines import delete_line
from taperlab.model.bench import Bench
from taperlab.model.line import line_of
from taperlab.model.range import LengthRule, Member, ThicknessRule
from taperlab.model.segment import Part, Segment
from taperlab.units.columns import Column
from tests.looped import BODY, TIP


def made(*masses: float, rods: tuple[float, ...] = ()) -> Bench:
    return ranges.make_range(Bench((BODY, TIP)), "body", masses or (0.02, 0.03), rods).bench


def members(bench: Bench) -> tuple[Member, ...]:
    return bench.ranges[0].members


def test_a_range_is_named_after_its_parent_and_takes_rods_for_each_for_all_or_none() -> None:
    bench = made()
    assert bench.ranges[0].name == "Body"
    assert members(bench) == (Member(0.02), Member(0.03))
    assert members(made(rods=(4.0,))) == (Member(0.02, 4.0), Member(0.03, 4.0))
    assert members(made(rods=(4.0, 4.3))) == (Member(0.02, 4.0), Member(0.03, 4.3))
    again = ranges.make_range(bench, "body", [0.02]).bench
    assert [each.name for each in again.ranges] == ["Body", "Body 2"]
    assert len({each.key for each in again.ranges}) == 2


@pytest.mark.parametrize(
    ("masses", "rods", "why"),
    [
        ([], [], "needs a weight"),
        ([0.02, 0.03], [4.0, 4.1, 4.2], "2 weights and 3 rods"),
        ([0.02] * 61, [], "at most 60"),
        ([0.0], [], "above zero"),
        ([0.02], [float("nan")], "above zero"),
        ([float("inf")], [], "above zero"),
        ([50.0], [], "must be from"),
        ([0.02], [90.0], "must be from"),
    ],
)
def test_what_is_no_range_is_refused(masses: list[float], rods: list[float], why: str) -> None:
    with pytest.raises(Refused, match=why):
        ranges.make_range(Bench((BODY,)), "body", masses, rods)


def test_a_member_edited_by_hand_keeps_its_own_line_until_it_follows_again() -> None:
    bench = ranges.edit_by_hand(made(), "range-1", 1, replace(BODY, name="Mine")).bench
    assert members(bench)[1].own is not None
    asked = ranges.change_member(bench, "range-1", 1, 0.031, 4.0).bench
    assert members(asked)[1].own == members(bench)[1].own
    assert members(asked)[1].rod == 4.0
    rules = ranges.set_rules(asked, "range-1", LengthRule.SAME, ThicknessRule.SHAPE).bench
    assert members(rules)[1].own is not None
    back = ranges.follow_again(rules, "range-1", 1).bench
    assert members(back)[1] == Member(0.031, 4.0)
    nothing = ranges.follow_again(back, "range-1", 1)
    assert nothing.bench is back


def test_cells_are_typed_into_a_member_as_into_a_line_and_ends_that_meet_stay_together() -> None:
    bench = made()
    rear = Segment(Part.REAR_TAPER, 1.0, 0.00254, 0.002, 870.0)
    line = line_of("member-B", "Body B", (*BODY.segments, rear))
    cells = {(0, Column.REAR_DIAMETER): 0.0026, (1, Column.LENGTH): 1.5}
    edited = ranges.type_by_hand(bench, "range-1", 1, line, cells)
    own = members(edited.bench)[1].own
    assert own is not None
    first, second = own.segments
    assert first.rear_diameter == second.front_diameter == 0.0026
    assert second.length == 1.5
    same = ranges.type_by_hand(bench, "range-1", 1, line, {(1, Column.LENGTH): 1.0})
    assert same.bench is bench
    with pytest.raises(Refused, match="length of segment 1"):
        ranges.type_by_hand(bench, "range-1", 1, line, {(0, Column.LENGTH): 1e6})


def test_asking_for_other_weights_keeps_what_is_asked_for_again() -> None:
    bench = ranges.edit_by_hand(made(0.02, 0.03, 0.04), "range-1", 1, BODY).bench
    fewer = ranges.ask_members(bench, "range-1", [0.03, 0.04]).bench
    assert [each.own is not None for each in members(fewer)] == [True, False]
    moved = ranges.ask_members(bench, "range-1", [0.02, 0.031, 0.04], [4.0]).bench
    assert [each.own is not None for each in members(moved)] == [False, True, False]
    assert [each.rod for each in members(moved)] == [4.0] * 3
    gone = ranges.ask_members(bench, "range-1", [0.05]).bench
    assert members(gone) == (Member(0.05),)
    assert ranges.ask_members(bench, "range-1", [0.02, 0.03, 0.04]).bench is bench


def test_members_are_laid_on_the_bench_and_the_current_line_stays() -> None:
    bench = made()
    both = [replace(BODY, key="member-A", name="Body A"), replace(BODY, key="b", name="Body")]
    laid = ranges.lay_on_bench(bench, both)
    assert [line.name for line in laid.bench.lines] == ["Body", "Tip", "Body A", "Body 2"]
    assert laid.bench.current_line == BODY
    assert str(laid.text) == "Put 2 members on the bench"
    with pytest.raises(Refused, match="no member"):
        ranges.lay_on_bench(bench, [])


def test_members_are_taken_out_but_for_the_last() -> None:
    bench = ranges.remove_members(made(0.02, 0.03, 0.04), "range-1", [0, 2]).bench
    assert members(bench) == (Member(0.03),)
    with pytest.raises(Refused, match="delete the range"):
        ranges.remove_members(bench, "range-1", [0])


def test_a_range_goes_with_its_parent_and_not_with_another_line() -> None:
    bench = made()
    assert delete_line(bench, "tip").bench.ranges == bench.ranges
    gone = delete_line(bench, "body")
    assert gone.bench.ranges == ()
    assert str(gone.text) == "Delete line, and what was graded from it"


def test_another_parent_another_name_and_away() -> None:
    bench = ranges.grade_from(made(), "range-1", "tip").bench
    assert bench.ranges[0].parent == "tip"
    named = ranges.rename_range(bench, "range-1", "  Winter   heads ").bench
    assert named.ranges[0].name == "Winter heads"
    with pytest.raises(Refused, match="needs a name"):
        ranges.rename_range(bench, "range-1", "  ")
    assert ranges.delete_range(named, "range-1").bench.ranges == ()
    with pytest.raises(Refused, match="no longer on the bench"):
        ranges.delete_range(named, "range-7")
