from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.edits import cells as edit
from taperlab.edits.edited import Ends, Moved, Refused
from taperlab.edits.values import set_front_diameter, set_rear_diameter
from taperlab.model.bench import Bench
from taperlab.model.line import Joint, JointKind, Line, line_of
from taperlab.model.segment import Core, Part, Segment
from taperlab.units.columns import Column
from tests.strategies import densities, diameters, lengths, lines_, parts

BELLY = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0)
TAPER = Segment(Part.FRONT_TAPER, 3.0, 0.001, 0.002, 860.0)
CYLINDER = math.pi / 4.0 * 5.0 * 0.002**2
"""Volume of BELLY [m^3]."""


def bench_of(*segments: Segment) -> Bench:
    return Bench((line_of("a", "Alder head", segments),))


def rows(bench: Bench) -> tuple[Segment, ...]:
    return bench.lines[0].segments


table = st.lists(st.tuples(parts, lengths, diameters, diameters, densities), max_size=10)


@given(lines_("a", cores=False), table, st.data())
def test_a_pasted_table_is_what_the_rows_become(line, pasted, data):
    at = data.draw(st.integers(0, len(line.segments)))
    columns = [Column.PART, Column.LENGTH, Column.FRONT_DIAMETER, Column.REAR_DIAMETER]
    columns.append(Column.DENSITY)
    cells = {
        (down, column): value
        for down, values in enumerate(pasted)
        for column, value in zip(columns, values, strict=True)
    }
    if not cells:
        return
    edited = edit.paste_cells(Bench((line,)), "a", at, cells, Ends.STEPPED)
    after = edited.bench.lines[0]
    assert len(after.segments) == max(len(line.segments), at + len(pasted))
    assert edited.segments == tuple(range(at, at + len(pasted)))
    for i, segment in enumerate(after.segments):
        if at <= i < at + len(pasted):
            assert (
                segment.part,
                segment.length,
                segment.front_diameter,
                segment.rear_diameter,
                segment.density,
            ) == pasted[i - at]
        else:
            assert segment is line.segments[i]
    assert after.joints[: len(line.joints)] == line.joints


THICKER = {(0, Column.FRONT_DIAMETER): 0.003}


def test_of_ends_that_may_step_only_the_cells_named_change():
    edited = edit.paste_cells(bench_of(TAPER, BELLY), "a", 1, THICKER, Ends.STEPPED)
    assert rows(edited.bench)[0] is TAPER
    assert rows(edited.bench)[1] == Segment(Part.BELLY, 5.0, 0.003, 0.002, 860.0)
    assert edited.moved == ()


def test_of_ends_that_are_joined_the_one_that_meets_a_pasted_one_follows_and_is_told():
    edited = edit.paste_cells(bench_of(TAPER, BELLY), "a", 1, THICKER)
    assert rows(edited.bench)[0].rear_diameter == 0.003
    assert rows(edited.bench)[1] == Segment(Part.BELLY, 5.0, 0.003, 0.002, 860.0)
    assert edited.moved == (Moved("rear diameter", 0, 0.002, 0.003),)


def test_ends_that_meet_and_are_both_given_become_what_is_given():
    cells = {(0, Column.REAR_DIAMETER): 0.0025, (1, Column.FRONT_DIAMETER): 0.003}
    edited = edit.paste_cells(bench_of(TAPER, BELLY), "a", 0, cells)
    assert rows(edited.bench)[0].rear_diameter == 0.0025
    assert rows(edited.bench)[1].front_diameter == 0.003


def test_nothing_follows_a_row_that_is_added():
    edited = edit.paste_cells(bench_of(TAPER, BELLY), "a", 2, THICKER)
    assert rows(edited.bench)[:2] == (TAPER, BELLY)


@given(lines_("a", cores=False), diameters, st.data())
def test_typing_and_pasting_a_diameter_give_one_shape(line, diameter, data):
    if not line.segments:
        return
    row = data.draw(st.integers(0, len(line.segments) - 1))
    ends = data.draw(st.sampled_from(Ends))
    joined = data.draw(st.booleans())
    if joined:  # drawn diameters hardly ever meet
        first = line.segments[0]
        level = (
            replace(each, front_diameter=first.front_diameter, rear_diameter=first.front_diameter)
            for each in line.segments
        )
        line = replace(line, segments=tuple(level))
    bench = Bench((line,))
    for column, typing in (
        (Column.FRONT_DIAMETER, set_front_diameter),
        (Column.REAR_DIAMETER, set_rear_diameter),
    ):
        typed = typing(bench, "a", row, diameter, ends)
        pasted = edit.paste_cells(bench, "a", row, {(0, column): diameter}, ends)
        assert pasted.bench == typed.bench
        assert pasted.moved == typed.moved


def test_filling_two_columns_at_once_gives_each_its_own_first_value():
    level = Segment(Part.TIP, 1.0, 0.001, 0.0012, 860.0)
    both = [Column.FRONT_DIAMETER, Column.REAR_DIAMETER]
    edited = edit.fill_down(
        bench_of(level, replace(BELLY, front_diameter=0.0012)), "a", [0, 1], both
    )
    assert rows(edited.bench) == (
        level,
        replace(BELLY, front_diameter=0.001, rear_diameter=0.0012),
    )


def test_filling_diameters_takes_the_ends_along_that_meet_them():
    rear = [Column.REAR_DIAMETER]
    tip = Segment(Part.TIP, 1.0, 0.001, 0.001, 860.0)
    bench = bench_of(tip, TAPER, BELLY)
    assert rows(edit.fill_down(bench, "a", [0, 1], rear).bench)[2].front_diameter == 0.001
    stepped = edit.fill_down(bench, "a", [0, 1], rear, Ends.STEPPED).bench
    assert rows(stepped)[2] is BELLY


def test_a_pasted_weight_moves_the_density():
    edited = edit.paste_cells(bench_of(BELLY), "a", 0, {(0, Column.WEIGHT): 1000.0 * CYLINDER})
    assert rows(edited.bench)[0].density == pytest.approx(1000.0, rel=1e-12)


def test_a_density_and_a_weight_of_one_row_are_one_too_many():
    cells = {(0, Column.DENSITY): 1000.0, (0, Column.WEIGHT): 1000.0 * CYLINDER}
    with pytest.raises(Refused, match="Give a density or a weight for segment 1, not both"):
        edit.paste_cells(bench_of(BELLY), "a", 0, cells)


def test_a_new_row_with_one_diameter_is_level():
    edited = edit.paste_cells(bench_of(BELLY), "a", 1, {(0, Column.REAR_DIAMETER): 0.001})
    assert rows(edited.bench)[1] == Segment(Part.BELLY, 1.524, 0.001, 0.001, 860.0)


def test_a_table_pasted_into_an_empty_line_makes_its_rows():
    cells = {(2, Column.LENGTH): 2.0, (0, Column.NOTE): "soft"}
    edited = edit.paste_cells(bench_of(), "a", 0, cells)
    assert [s.length for s in rows(edited.bench)] == [3.048, 1.524, 2.0]
    assert rows(edited.bench)[0].note == "soft"
    assert edited.segments == (0, 2)


def test_pasting_what_is_there_gives_the_same_bench():
    bench = bench_of(BELLY)
    cells = {(0, Column.LENGTH): 5.0, (0, Column.WEIGHT): 860.0 * CYLINDER}
    assert edit.paste_cells(bench, "a", 0, cells).bench is bench


@pytest.mark.parametrize(
    ("row", "cells", "says"),
    [
        (0, {}, "nothing to paste"),
        (3, {(0, Column.LENGTH): 1.0}, "no segment 4 to paste into"),
        (0, {(1, Column.LENGTH): -1.0}, "The length of segment 2 must be above zero"),
        (0, {(0, Column.WEIGHT): math.nan}, "The weight of segment 1 must be above zero"),
    ],
)
def test_what_cannot_be_pasted_is_refused_whole(row, cells, says):
    with pytest.raises(Refused, match=says):
        edit.paste_cells(bench_of(BELLY), "a", row, cells)


@pytest.mark.parametrize(
    ("column", "field"),
    [
        (Column.PART, "part"),
        (Column.LENGTH, "length"),
        (Column.FRONT_DIAMETER, "front_diameter"),
        (Column.REAR_DIAMETER, "rear_diameter"),
        (Column.DENSITY, "density"),
        (Column.NOTE, "note"),
    ],
)
def test_filling_down_copies_the_first_rows_value(column, field):
    first = Segment(Part.TIP, 1.0, 0.0012, 0.0013, 950.0, note="soft")
    edited = edit.fill_down(bench_of(first, TAPER, BELLY), "a", [0, 2], [column], Ends.STEPPED)
    top, middle, bottom = rows(edited.bench)
    assert top is first
    assert middle is TAPER
    assert getattr(bottom, field) == getattr(first, field)
    changed = {
        name
        for name in ("part", "length", "front_diameter", "rear_diameter", "density", "note")
        if getattr(bottom, name) != getattr(BELLY, name)
    }
    assert changed == {field}
    assert str(edited.text) == f"Fill down {column}"


def test_filling_down_a_weight_moves_densities():
    edited = edit.fill_down(bench_of(BELLY, TAPER), "a", [0, 1], [Column.WEIGHT])
    mean_square = (0.001**2 + 0.001 * 0.002 + 0.002**2) / 3.0
    mass = rows(edited.bench)[1].density * math.pi / 4.0 * 3.0 * mean_square
    assert mass == pytest.approx(860.0 * CYLINDER, rel=1e-12)


def test_filling_down_a_density_fills_the_mean_round_a_core():
    cored = Segment(Part.BELLY, 5.0, 0.002, 0.002, 900.0, Core(0.001, 1300.0))
    edited = edit.fill_down(bench_of(cored, BELLY), "a", [0, 1], [Column.DENSITY])
    assert rows(edited.bench)[1].density == pytest.approx(1000.0, rel=1e-12)


def test_joints_stay_when_rows_are_pasted_over():
    weld = Joint(JointKind.LAPPED_WELD, overlap=0.03)
    bench = Bench((Line("a", "Alder head", segments=(TAPER, BELLY), joints=(weld,)),))
    cells = {(down, Column.LENGTH): 1.0 for down in range(3)}
    assert edit.paste_cells(bench, "a", 0, cells).bench.lines[0].joints == (weld, Joint())
