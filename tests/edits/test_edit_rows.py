from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from taperlab.edits import rows as edit
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.line import ONE_EXTRUSION, Joint, JointKind, Line, Loop, LoopKind, line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.units.limits import MOST_SEGMENTS
from tests.strategies import lines_, segments_

TIP = Segment(Part.TIP, 0.3, 0.001, 0.001, 860.0)
TAPER = Segment(Part.FRONT_TAPER, 3.0, 0.001, 0.002, 860.0)
BELLY = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0)
RUNNING = Segment(Part.RUNNING_LINE, 20.0, 0.001, 0.001, 900.0)
WELD = Joint(JointKind.LAPPED_WELD, overlap=0.03)
SLEEVE = Joint(JointKind.BUTT_WELD, mass=1e-4)


def bench_of(*segments: Segment, joints: tuple[Joint, ...] | None = None) -> Bench:
    line = line_of("a", "Alder head", segments)
    if joints is not None:
        line = Line("a", "Alder head", segments=segments, joints=joints)
    return Bench((line,))


def only(bench: Bench) -> Line:
    return bench.lines[0]


def per_length(segment: Segment, diameter: float) -> float:
    core = segment.core.diameter**2 if segment.core else 0.0
    inside = segment.core.density * core if segment.core else 0.0
    return math.pi / 4.0 * (segment.density * (diameter**2 - core) + inside)


def mass(line: Line) -> float:
    """Mass of segments and what joints add, folds left out, by the trapezium of squares."""
    total = sum(j.mass + j.loop_ahead.mass + j.loop_behind.mass for j in line.joints)
    for s in line.segments:
        d1, d2 = s.front_diameter, s.rear_diameter
        square = (d1 + d2) ** 2 / 4.0 + (d2 - d1) ** 2 / 12.0
        total += s.length * per_length(s, math.sqrt(square))
    return total


def folded(line: Line, gap: int) -> float:
    """Mass of the line folded into the loops of a joint."""
    joint, ahead, behind = line.joints[gap], line.segments[gap], line.segments[gap + 1]
    return joint.loop_ahead.fold * per_length(
        ahead, ahead.rear_diameter
    ) + joint.loop_behind.fold * per_length(behind, behind.front_diameter)


@st.composite
def rack(draw, *, least: int = 1):
    return Bench((draw(lines_("a", least=least)),))


def some_rows(bench: Bench):
    return st.lists(
        st.integers(0, len(only(bench).segments) - 1), min_size=1, max_size=4, unique=True
    )


# -- split and merge ----------------------------------------------------------------------------


@given(rack(), st.floats(0.001, 0.999), st.data())
def test_split_then_merge_changes_nothing(bench, share, data):
    row = data.draw(st.integers(0, len(only(bench).segments) - 1))
    before = only(bench).segments[row]
    cut = edit.split_segment(bench, "a", row, share * before.length)
    assert cut.segments == (row, row + 1)
    merged = edit.merge(cut.bench, "a", cut.segments)
    after = only(merged.bench)
    assert after.joints == only(bench).joints
    for i, segment in enumerate(after.segments):
        if i != row:
            assert segment is only(bench).segments[i]
    joined = after.segments[row]
    assert joined.length == pytest.approx(before.length, rel=1e-12)
    assert (joined.front_diameter, joined.rear_diameter, joined.density) == (
        before.front_diameter,
        before.rear_diameter,
        before.density,
    )
    assert (joined.part, joined.core, joined.note) == (before.part, before.core, before.note)


def test_a_split_interpolates_and_keeps_core_and_note():
    cored = Segment(Part.BELLY, 4.0, 0.001, 0.003, 900.0, Core(0.0005, 1100.0), "soft")
    front, rear = only(edit.split_segment(bench_of(TIP, cored), "a", 1, 1.0).bench).segments[1:]
    assert front.length == pytest.approx(1.0)
    assert front.rear_diameter == rear.front_diameter == pytest.approx(0.0015)
    assert front.core == rear.core == cored.core
    assert front.note == rear.note == "soft"


@pytest.mark.parametrize(
    ("distance", "says"),
    [
        (-0.1, "between its ends"),
        (99.0, "between its ends"),
        (math.nan, "between its ends"),
        (0.0, "a breakpoint there already"),
        (TAPER.length, "a breakpoint there already"),
    ],
)
def test_a_split_off_the_row_or_at_its_end_is_refused(distance, says):
    with pytest.raises(Refused, match=says):
        edit.split_segment(bench_of(TIP, TAPER, BELLY), "a", 1, distance)


@given(rack(least=2), st.data())
def test_a_merge_that_keeps_the_weight_does(bench, data):
    count = len(only(bench).segments)
    first = data.draw(st.integers(0, count - 2))
    last = data.draw(st.integers(first + 1, count - 1))
    try:
        edited = edit.merge(bench, "a", range(first, last + 1), keep_weight=True)
    except Refused:
        assume(False)
    line, merged = only(bench), only(edited.bench)
    assert len(merged.segments) == count - (last - first)
    loops = sum(folded(line, gap) for gap in range(first, last))
    assert mass(merged) == pytest.approx(mass(line) + loops, rel=1e-9)
    assert merged.length == pytest.approx(line.length, rel=1e-12)
    assert merged.segments[first].front_diameter == line.segments[first].front_diameter
    assert merged.segments[first].rear_diameter == line.segments[last].rear_diameter


@pytest.mark.parametrize(
    ("bench", "rows", "says"),
    [
        (bench_of(TAPER, BELLY), [0, 1], "not one straight taper"),
        (bench_of(TIP, RUNNING), [0, 1], "Head and running line"),
        (bench_of(BELLY, Segment(Part.BELLY, 1.0, 0.002, 0.002, 1e3)), [0, 1], "one density"),
        (bench_of(BELLY, BELLY, joints=(WELD,)), [0, 1], r"a joint between them \(lapped weld\)"),
        (bench_of(BELLY, BELLY), [1], "two or more segments that touch"),
        (bench_of(BELLY, BELLY, BELLY), [0, 2], "two or more segments that touch"),
        (bench_of(BELLY), [], "Select one or more segments to merge"),
    ],
)
def test_what_is_not_one_piece_is_not_merged_exactly(bench, rows, says):
    with pytest.raises(Refused, match=says):
        edit.merge(bench, "a", rows)


def test_a_merge_that_changes_the_shape_says_so():
    edited = edit.merge(bench_of(TAPER, BELLY), "a", [0, 1], keep_weight=True)
    assert str(edited.text) == "Merge 2 segments, keeping the weight"
    assert only(edited.bench).segments[0].part is Part.BELLY
    exact = edit.merge(bench_of(BELLY, BELLY), "a", [0, 1], keep_weight=True)
    assert str(exact.text) == "Merge 2 segments"
    assert only(exact.bench).segments[0].density == 860.0


# -- reverse and move ---------------------------------------------------------------------------


@given(rack(least=0))
def test_reversing_twice_changes_nothing(bench):
    once = edit.reverse(bench, "a").bench
    assert edit.reverse(once, "a").bench == bench
    assert mass(only(once)) == pytest.approx(mass(only(bench)), rel=1e-12)


def test_reversing_turns_diameters_joints_loops_and_tapers():
    line = Line(
        "a",
        "Alder head",
        segments=(TIP, TAPER, BELLY),
        joints=(WELD, SLEEVE),
        front_loop=Loop(LoopKind.BRAIDED, mass=1e-4),
    )
    turned = only(edit.reverse(Bench((line,)), "a").bench)
    assert [s.part for s in turned.segments] == [Part.BELLY, Part.REAR_TAPER, Part.TIP]
    assert turned.segments[0] is BELLY
    assert (turned.segments[1].front_diameter, turned.segments[1].rear_diameter) == (0.002, 0.001)
    assert turned.joints == (SLEEVE, WELD)
    assert turned.rear_loop == line.front_loop
    assert turned.front_loop == line.rear_loop


@given(rack(), st.data())
def test_moving_rows_keeps_every_row_and_joint_and_the_weight(bench, data):
    line = only(bench)
    rows = data.draw(some_rows(bench))
    to = data.draw(st.integers(0, len(line.segments)))
    edited = edit.move(bench, "a", rows, to)
    moved = only(edited.bench)
    assert sorted(map(id, moved.segments)) == sorted(map(id, line.segments))
    assert sorted(map(repr, moved.joints)) == sorted(map(repr, line.joints))
    assert mass(moved) == pytest.approx(mass(line), rel=1e-12)
    assert [moved.segments[i] for i in edited.segments] == [line.segments[i] for i in sorted(rows)]


def test_moving_rows_takes_the_joint_between_them_along():
    bench = bench_of(TIP, TAPER, BELLY, RUNNING, joints=(WELD, SLEEVE, Joint()))
    edited = edit.move(bench, "a", [0, 1], 3)
    line = only(edited.bench)
    assert line.segments == (BELLY, TIP, TAPER, RUNNING)
    assert line.joints == (SLEEVE, WELD, Joint())
    assert edited.segments == (1, 2)
    assert edit.move(bench, "a", [0, 1], 1).bench is bench


# -- insert, delete, duplicate ------------------------------------------------------------------


def test_a_copy_of_rows_has_the_joints_between_them():
    bench = bench_of(TIP, TAPER, BELLY, RUNNING, joints=(SLEEVE, WELD, SLEEVE))
    twice = only(edit.duplicate(bench, "a", [1, 2]).bench)
    assert twice.segments == (TIP, TAPER, BELLY, TAPER, BELLY, RUNNING)
    assert twice.joints[:2] == (SLEEVE, WELD)
    assert twice.joints[3:] == (WELD, SLEEVE)
    apart = only(edit.duplicate(bench, "a", [0, 2]).bench)
    assert apart.joints[3] == ONE_EXTRUSION


@given(rack(least=0), segments_(), st.data())
def test_deleting_what_was_inserted_changes_nothing(bench, segment, data):
    at = data.draw(st.integers(0, len(only(bench).segments)))
    edited = edit.insert(bench, "a", at, segment)
    assert only(edited.bench).segments[at] is segment
    assert edited.segments == (at,)
    assert edit.delete(edited.bench, "a", [at]).bench == bench


@given(rack(), st.data())
def test_deleting_duplicates_changes_nothing(bench, data):
    line = only(bench)
    rows = data.draw(some_rows(bench))
    edited = edit.duplicate(bench, "a", rows)
    copies = [only(edited.bench).segments[i] for i in edited.segments]
    assert copies == [line.segments[i] for i in sorted(rows)]
    assert only(edit.delete(edited.bench, "a", edited.segments).bench).segments == line.segments


@given(rack(), st.data())
def test_deleting_leaves_the_other_rows(bench, data):
    line = only(bench)
    rows = data.draw(some_rows(bench))
    kept = only(edit.delete(bench, "a", rows).bench).segments
    expected = [s for i, s in enumerate(line.segments) if i not in rows]
    assert len(kept) == len(expected)
    assert all(one is other for one, other in zip(kept, expected, strict=True))


def test_rows_that_come_to_touch_keep_a_made_joint():
    bench = bench_of(TIP, TAPER, BELLY, joints=(Joint(), WELD))
    assert only(edit.delete(bench, "a", [1]).bench).joints == (WELD,)
    assert only(edit.delete(bench, "a", [0]).bench).joints == (WELD,)
    assert only(edit.delete(bench, "a", [0, 1, 2]).bench).joints == ()


def test_an_empty_line_starts_with_ten_feet_of_belly():
    line = only(edit.insert_default(bench_of(), "a", 0).bench)
    assert line.segments == (Segment(Part.BELLY, 3.048, 0.001524, 0.001524, 860.0),)


def test_a_new_row_takes_up_the_diameters_beside_it():
    bench = bench_of(TAPER, RUNNING)
    between = only(edit.insert_default(bench, "a", 1).bench).segments[1]
    assert between == Segment(Part.BELLY, 1.524, 0.002, 0.001, 860.0)
    first = only(edit.insert_default(bench, "a", 0).bench).segments[0]
    assert first == Segment(Part.BELLY, 1.524, 0.001, 0.001, 860.0)
    last = only(edit.insert_default(bench, "a", 2).bench).segments[2]
    assert last == Segment(Part.RUNNING_LINE, 1.524, 0.001, 0.001, 900.0)


def test_a_new_row_thinner_than_its_neighbours_core_gets_the_mean_density():
    cored = Segment(Part.BELLY, 2.0, 0.002, 0.002, 900.0, Core(0.0015, 1300.0))
    new = only(edit.insert_default(bench_of(cored, RUNNING), "a", 1).bench).segments[1]
    assert new.core is None
    assert new.density == pytest.approx(900.0 + 400.0 * (1.5 / 2.0) ** 2)


@pytest.mark.parametrize(
    ("function", "args", "says"),
    [
        (edit.delete, ([],), "Select one or more segments to delete."),
        (edit.duplicate, ([4],), "no segment 5"),
        (edit.insert, (9, BELLY), "no place 10"),
        (edit.move, ([0], 5), "no place 6"),
        (
            edit.insert,
            (0, Segment(Part.BELLY, 1.0, 0.2, 0.2, 900.0)),
            "A diameter of segment 1 would be 7.874 in",
        ),
    ],
)
def test_rows_that_cannot_be_are_refused(function, args, says):
    with pytest.raises(Refused, match=says):
        function(bench_of(TIP, TAPER), "a", *args)


def test_no_edit_makes_a_line_that_a_file_may_not_hold() -> None:
    many = line_of("a", "Alder", (Segment(Part.BELLY, 0.1, 0.002, 0.002, 800.0),) * MOST_SEGMENTS)
    bench = Bench((many,))
    with pytest.raises(Refused, match="Alder would have 2001 segments; a line has at most 2000"):
        edit.insert_default(bench, "a", 3)
