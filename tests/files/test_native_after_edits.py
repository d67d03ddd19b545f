"""Whatever was done to a bench, its file can be read again, and so can its lines as tables."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.edits import bench as bench_edits
from taperlab.edits import cells as cell_edits
from taperlab.edits import lines
from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.edited import Edited, Refused
from taperlab.files import native
from taperlab.files.cells import to_text
from taperlab.files.delimited import line_rows
from taperlab.model.bench import Bench
from taperlab.model.line import Joint, JointKind, Loop, LoopKind, Style, line_of
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Core, Part, Segment
from taperlab.units.columns import Column
from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH, System
from tests.strategies import benches, done_to
from tests.tables import parse_table

BELLY = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0)
CORED = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0, Core(0.0008, 1150.0))


def bench_of(*segments: Segment) -> Bench:
    return Bench((line_of("a", "Alder", segments),))


def check_read_back(bench: Bench, system: System = System.US) -> None:
    assert native.loads(native.dumps(bench), "x") == bench
    for line in bench.lines:
        text = to_text(line_rows(line, system), ",")
        back = parse_table(text, "x.csv", line.name).segments
        assert len(back) == len(line.segments)
        for one, other in zip(line.segments, back, strict=True):
            assert other.part == one.part
            for name in ("length", "front_diameter", "rear_diameter"):
                assert getattr(other, name) == pytest.approx(getattr(one, name), rel=1e-9)


@settings(max_examples=2 * settings().max_examples)
@given(data=st.data(), bench=benches(least_lines=1, least_rows=1))
def test_a_bench_after_several_edits_is_written_and_read_alike(data, bench) -> None:
    for _ in range(data.draw(st.integers(2, 4))):
        edit, arguments, options = data.draw(done_to(bench))
        try:
            bench = edit(bench, *arguments, **options).bench
        except Refused:
            continue
    check_read_back(bench)


def done(edited: Edited) -> Segment:
    check_read_back(edited.bench)
    return edited.bench.lines[0].segments[0]


def test_a_row_of_one_millimetre_is_written_and_read():
    assert done(value_edits.set_length(bench_of(BELLY), "a", 0, 0.001)).length == 0.001
    assert done(row_edits.split_segment(bench_of(BELLY), "a", 0, 0.001)).length == 0.001


def test_a_coating_of_bare_foam_is_written_and_read():
    assert done(value_edits.set_core(bench_of(CORED), "a", 0, 0.0008, 1150.0, 60.0)).density == 60.0
    bare = value_edits.set_density(bench_of(BELLY), "a", 0, 60.0)
    assert done(bare).density == 60.0


NUMBERS = {
    "length": (LENGTH, value_edits.set_length),
    "diameter": (DIAMETER, value_edits.set_front_diameter),
    "density": (DENSITY, value_edits.set_density),
}


@pytest.mark.parametrize("name", NUMBERS)
def test_edits_take_what_lies_within_the_limits_and_nothing_beyond(name: str) -> None:
    kind, edit = NUMBERS[name]
    for value in (kind.lowest, kind.highest):
        done(edit(bench_of(BELLY), "a", 0, value))
    for value in (kind.lowest * 0.999, kind.highest * 1.001):
        with pytest.raises(Refused, match="it must be from"):
            edit(bench_of(BELLY), "a", 0, value)


def test_the_longest_row_is_a_thousand_yards():
    yard = 0.9144
    assert done(value_edits.set_length(bench_of(BELLY), "a", 0, 1000 * yard)).length == 1000 * yard
    with pytest.raises(Refused, match=r"from 0\.0004 in to 3000 ft"):
        value_edits.set_length(bench_of(BELLY), "a", 0, 1001 * yard)
    with pytest.raises(Refused, match=r"from 0\.0004 in to 3000 ft"):
        cell_edits.paste_cells(bench_of(BELLY), "a", 0, {(0, Column.LENGTH): 1001 * yard})
    with pytest.raises(Refused, match=r"from 0\.0004 in to 3000 ft"):
        row_edits.merge(bench_of(*[_long(600 * yard)] * 2), "a", [0, 1])


def _long(length: float) -> Segment:
    return Segment(Part.RUNNING_LINE, length, 0.0008, 0.0008, 900.0)


WRONG_LOOP = Loop(LoopKind.FOLDED, fold=4.0)
WRONG_WINDOW = Rod("r", "Rod", 4.0, windows=(Window(Style.OTHER, 0.03, 1),))
WRONG_CORE = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0, Core(0.0008, 49.0))


@pytest.mark.parametrize(
    ("edit", "arguments"),
    [
        (value_edits.set_joint, ("a", 0, Joint(JointKind.LAPPED_WELD, overlap=4.0))),
        (value_edits.set_joint, ("a", 0, Joint(JointKind.BUTT_WELD, mass=0.01))),
        (row_edits.insert, ("a", 0, WRONG_CORE)),
        (lines.describe_line, ("a", "Alder", Style.OTHER, Loop(), WRONG_LOOP, "")),
        (lines.add_lines_from, (bench_of(WRONG_CORE),)),
        (bench_edits.set_rods, ((Rod("r", "Long", 9.0),), None)),
        (
            bench_edits.set_rods,
            ((WRONG_WINDOW,), None),
        ),
    ],
)
def test_what_no_file_may_hold_no_edit_puts_there(edit, arguments):
    with pytest.raises(Refused, match=r"would be .*; it must be from"):
        edit(bench_of(BELLY, BELLY), *arguments)
