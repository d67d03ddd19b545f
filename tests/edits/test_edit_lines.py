from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from taperlab.edits import lines as edit
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench, View
from taperlab.model.line import Line, Loop, LoopKind, Style, line_of
from taperlab.model.segment import Part, Segment
from tests.strategies import benches

BELLY = Segment(Part.BELLY, 5.0, 0.002, 0.002, 860.0)
BENCH = Bench(
    tuple(line_of(key, f"Head {key}", (BELLY,)) for key in "abc"),
    view=View("b", overlays=("a", "c")),
)


def keys(bench: Bench) -> list[str]:
    return [line.key for line in bench.lines]


def test_a_new_line_is_in_hand():
    edited = edit.add_line(BENCH, "  Alder\n intermediate ")
    new = edited.bench.current_line
    assert new is not None
    assert new == Line(edited.line, "Alder intermediate")
    assert edited.bench.lines[:3] == BENCH.lines


def test_names_that_are_taken_are_numbered():
    twice = edit.add_line(edit.add_line(Bench(), "New line").bench, "New line").bench
    assert [line.name for line in twice.lines] == ["New line", "New line 2"]
    copies = edit.duplicate_line(edit.duplicate_line(BENCH, "a").bench, "a").bench
    assert [line.name for line in copies.lines] == [
        "Head a",
        "Head a copy 2",
        "Head a copy",
        "Head b",
        "Head c",
    ]


@given(benches(least_lines=1), st.data())
def test_a_duplicate_differs_in_key_and_name_alone(bench, data):
    line = data.draw(st.sampled_from(bench.lines))
    edited = edit.duplicate_line(bench, line.key)
    copy = edited.bench.current_line
    assert copy is not None
    assert copy.key not in keys(bench)
    assert replace(copy, key=line.key, name=line.name) == line
    assert copy.segments is line.segments


@pytest.mark.parametrize(
    ("key", "in_hand", "overlays"),
    [("a", "b", ("c",)), ("b", "c", ("a", "c")), ("c", "b", ("a",))],
)
def test_deleting_a_line_leaves_its_neighbour_in_hand(key, in_hand, overlays):
    after = edit.delete_line(BENCH, key).bench
    assert key not in keys(after)
    assert after.view.line == in_hand
    assert after.view.overlays == overlays


def test_the_last_line_can_be_deleted():
    alone = edit.add_line(Bench(), "Alder").bench
    empty = edit.delete_line(alone, alone.lines[0].key).bench
    assert empty.lines == ()
    assert empty.current_line is None
    last = edit.delete_line(replace(BENCH, view=View("c")), "c").bench
    assert last.view.line == "b"


def test_describing_a_line():
    assert edit.rename_line(BENCH, "a", " Slim  head ").bench.line("a").name == "Slim head"
    assert edit.set_style(BENCH, "a", Style.SKAGIT).bench.line("a").style is Style.SKAGIT
    loop = Loop(LoopKind.FOLDED, fold=0.05)
    edited = edit.describe_line(BENCH, "a", "Slim", Style.TIP, loop, Loop(), "short")
    assert edited.bench.line("a") == Line(
        "a", "Slim", Style.TIP, (BELLY,), front_loop=loop, note="short"
    )
    assert edit.rename_line(BENCH, "a", "Head a").bench is BENCH


@pytest.mark.parametrize("name", ["", "  ", "\n"])
def test_a_line_needs_a_name(name):
    with pytest.raises(Refused, match=r"^A line needs a name\.$"):
        edit.rename_line(BENCH, "a", name)
    with pytest.raises(Refused, match="needs a name"):
        edit.add_line(BENCH, name)


def test_lines_from_another_bench_get_keys_of_their_own():
    edited = edit.add_lines_from(BENCH, BENCH)
    assert str(edited.text) == "Add 3 lines"
    assert edited.bench.lines[:3] == BENCH.lines
    assert len(set(keys(edited.bench))) == 6
    assert [line.segments for line in edited.bench.lines[3:]] == [(BELLY,)] * 3
    assert edited.bench.current_line is edited.bench.lines[3]
    with pytest.raises(Refused, match="no lines on that bench"):
        edit.add_lines_from(BENCH, Bench())
