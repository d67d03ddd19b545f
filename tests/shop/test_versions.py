"""What differs between a version of a line and the line now, in figures and in words."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.edits.rows import delete, insert, split_segment
from taperlab.model.bench import Bench
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, Style, line_of
from taperlab.model.segment import Part, Segment
from taperlab.model.version import Version
from taperlab.model.water import Water
from taperlab.shop.analyse import analyse_line
from taperlab.shop.pairing import pairs_of_one_line
from taperlab.shop.versions.study import Changes, changes
from taperlab.shop.versions.words import MOST, name_of, told
from taperlab.units.kinds import System
from taperlab.units.sentence import render
from tests.strategies import lines_, segments_

WATER = Water()


def row(part: Part, feet: float, front: float, rear: float) -> Segment:
    return Segment(part, feet * FOOT, front * INCH, rear * INCH, 900.0)


TAPER = row(Part.FRONT_TAPER, 8, 0.04, 0.09)
BELLY = row(Part.BELLY, 16, 0.09, 0.09)
REAR = row(Part.REAR_TAPER, 4, 0.09, 0.06)
HEAD = line_of("a", "Alder", (TAPER, BELLY, REAR), Style.SCANDI)
VERSION = Version("v", "a", "As bought", "2026-03-14", HEAD)


def since(now: Line, was: Line = HEAD) -> Changes:
    return changes(analyse_line(was, WATER), analyse_line(now, WATER))


def said(now: Line, system: System = System.US, was: Line = HEAD) -> list[str]:
    return [render(each, system) for each in told(since(now, was), VERSION)]


def without_note(rows: tuple[Segment, ...]) -> Line:
    return line_of("a", "Alder", rows, Style.SCANDI)


def test_what_is_as_it_was_is_said_to_be() -> None:
    noted = without_note((replace(TAPER, note="wet"), BELLY, REAR))
    assert said(noted) == ["The line is as in “As bought”."]
    assert since(noted).is_none


def test_a_shorter_belly_is_told_by_weight_length_share_and_row() -> None:
    shorter = without_note((TAPER, replace(BELLY, length=15 * FOOT), REAR))
    found = since(shorter)
    # A foot of level line of 0.09 in and 900 kg/m^3, from its volume by itself.
    foot = 900.0 * 3.141592653589793 / 4 * (0.09 * INCH) ** 2 * FOOT
    assert found.mass.change == pytest.approx(-foot, rel=1e-9)
    assert found.length.change == pytest.approx(-FOOT, rel=1e-12)
    first, *rows = said(shorter)
    assert first.startswith(
        f"The head now, against “As bought”: {foot / GRAIN:.1f} gr lighter, 1 ft shorter, "
    )
    assert "front taper" in first
    assert "(was " in first
    assert rows == ["Segment 2, belly: length 15 ft (was 16 ft)."]
    assert said(shorter, System.METRIC)[1] == "Segment 2, belly: length 4.572 m (was 4.877 m)."


def test_rows_that_are_new_or_gone_are_named_by_where_they_are_or_were() -> None:
    tip = row(Part.TIP, 1, 0.04, 0.04)
    assert said(without_note((tip, TAPER, BELLY, REAR)))[1:] == ["Segment 1, tip, is new."]
    assert said(without_note((TAPER, BELLY, REAR, tip)))[1:] == ["Segment 4, tip, is new."]
    assert said(without_note((TAPER, BELLY)))[1:] == ["What was segment 3, rear taper, is gone."]
    # Of several alike in part, the one that went is named.
    three = without_note((TAPER, BELLY, replace(BELLY, length=1.0), REAR))
    (gone,) = since(without_note((TAPER, BELLY, REAR)), three).rows
    assert (gone.was, gone.now) == (2, None)


def test_ends_density_part_loops_joints_and_style_are_told() -> None:
    now = Line(
        "a",
        "Alder",
        Style.SKAGIT,
        (
            replace(TAPER, part=Part.TIP, rear_diameter=0.1 * INCH),
            replace(BELLY, front_diameter=0.1 * INCH, density=950.0),
            REAR,
        ),
        (HEAD.joints[0], Joint(JointKind.BUTT_WELD)),
        rear_loop=Loop(LoopKind.FOLDED, 0.05),
    )
    assert said(now)[1:] == [
        "Segment 1, tip: was front taper, rear diameter 0.100 in (was 0.090 in).",
        "Segment 2, belly: front diameter 0.100 in (was 0.090 in), "
        "density 0.950 g/cm³ (was 0.900 g/cm³).",
        "The joint behind segment 2 is another.",
        "The loop at the rod end is another.",
        "Style: Skagit (was Scandi).",
    ]


@pytest.mark.parametrize(("name", "end"), [("front_loop", "fly end"), ("rear_loop", "rod end")])
def test_another_loop_alone_is_a_change(name: str, end: str) -> None:
    looped = replace(HEAD, **{name: Loop(LoopKind.FOLDED, 0.05)})
    assert not since(looped).is_none
    assert said(looped)[1:] == [f"The loop at the {end} is another."]


def test_without_a_head_the_whole_line_is_compared() -> None:
    running = line_of("a", "Thin", (Segment(Part.RUNNING_LINE, 10.0, 0.001, 0.001, 900.0),))
    found = since(HEAD, running)
    assert not found.of_head
    assert found.front_share is None
    assert said(HEAD, was=running)[0].startswith("The line now, against “As bought”: ")


def test_many_changes_are_counted() -> None:
    rows = tuple(replace(BELLY, length=1.0 + n) for n in range(12))
    now = tuple(replace(each, density=950.0) for each in rows)
    found = said(without_note(now), was=without_note(rows))
    assert len(found) == 1 + MOST + 1
    assert found[-1] == "And 6 more changes."


def test_a_version_of_another_line_says_whose_it_is() -> None:
    bench = Bench((replace(HEAD, name="Alder II"),), versions=(VERSION,))
    assert name_of(VERSION, bench, "a") == "As bought"
    assert name_of(VERSION, bench, "b") == "As bought (Alder II)"
    assert name_of(VERSION, Bench(), "b") == "As bought (Alder)"


@settings(max_examples=20, deadline=None)
@given(before=lines_(least=1), after=lines_(least=1))
def test_what_is_told_adds_up_and_is_mirrored(before: Line, after: Line) -> None:
    there, back = since(after, before), since(before, after)
    assert there.mass.change == -back.mass.change
    assert there.length.change == -back.length.change
    assert there.is_none == back.is_none
    new = sum(each.was is None for each in there.rows)
    gone = sum(each.now is None for each in there.rows)
    assert len(before.segments) + new - gone == len(after.segments)
    lengths = [each.length.change for each in there.rows if each.length is not None]
    lengths += [after.segments[each.now].length for each in there.rows if each.was is None]
    lengths += [-before.segments[each.was].length for each in there.rows if each.now is None]
    assert sum(lengths) == pytest.approx(after.length - before.length, abs=1e-6)


def test_a_row_between_others_that_are_all_alike_is_one_change() -> None:
    alike = Segment(Part.BELLY, 1.0, 0.002, 0.002, 900.0)
    other = replace(alike, density=1000.0)
    pairs = pairs_of_one_line([alike] * 3, [alike, other, alike, alike])
    assert pairs == [(0, 0), (None, 1), (1, 2), (2, 3)]
    fewer = pairs_of_one_line([alike, other, alike, alike], [alike] * 3)
    assert fewer == [(0, 0), (1, None), (2, 1), (3, 2)]


@settings(max_examples=20, deadline=None)
@given(data=st.data(), line=lines_(least=1))
def test_rows_put_in_taken_out_or_split_are_found(data: st.DataObject, line: Line) -> None:
    bench, count = Bench((line,)), len(line.segments)
    at = data.draw(st.integers(0, count - 1))
    more = insert(bench, line.key, at, data.draw(segments_())).bench.lines[0].segments
    assert sum(a is None for a, _ in pairs_of_one_line(line.segments, more)) == 1
    halves = split_segment(bench, line.key, at, line.segments[at].length / 2).bench.lines[0]
    assert sum(a is None for a, _ in pairs_of_one_line(line.segments, halves.segments)) == 1
    fewer = delete(bench, line.key, [at]).bench.lines[0].segments
    assert sum(b is None for _, b in pairs_of_one_line(line.segments, fewer)) == 1
