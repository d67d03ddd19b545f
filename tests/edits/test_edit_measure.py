"""Measuring a real line: what each edit keeps, refuses and calls itself."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from taperlab.edits import measure as edits
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.line import Line, Loop, LoopKind, Style, line_of
from taperlab.model.measurement import USUAL, Material, Measurement, Station
from taperlab.model.segment import Part, Segment

BELLY = Segment(Part.BELLY, 8.0, 0.0022, 0.0024, 860.0)
LOOP = Loop(LoopKind.FOLDED, fold=0.06)
DESIGN = replace(line_of("line-1", "Drawn", (BELLY,), Style.SCANDI), rear_loop=LOOP)


def started(*, length: float = 9.0, mass: float | None = 0.03) -> Bench:
    return edits.start_measurement(Bench((DESIGN,)), None, length, mass).bench


def found(bench: Bench) -> Measurement:
    (only,) = bench.measurements
    return only


def test_a_measurement_of_a_design_takes_its_name_length_and_loops() -> None:
    only = found(edits.start_measurement(Bench((DESIGN,)), "line-1").bench)
    assert (only.line, only.length, only.rear_loop) == ("line-1", 8.0, LOOP)
    assert only.name == "Drawn, as built"
    assert only.instruments == USUAL


def test_without_a_design_the_length_must_be_measured() -> None:
    with pytest.raises(Refused, match="length first"):
        edits.start_measurement(Bench((DESIGN,)))


def test_its_key_is_free_among_the_lines_too() -> None:
    taken = Bench((replace(DESIGN, key="measurement-2"),))
    only = found(edits.start_measurement(taken, None, 9.0).bench)
    assert only.key not in {line.key for line in taken.lines}


def test_instruments_are_those_of_the_last_measurement() -> None:
    bench = started()
    bench = edits.set_instruments(bench, found(bench).key, 1e-5, 1e-3, 1e-6, 0.0).bench
    second = edits.start_measurement(bench, None, 9.0).bench.measurements[1]
    assert second.instruments.tape == 1e-3
    assert second.name == "Customer’s line 2"


@pytest.mark.parametrize("scatter", [-1e-6, math.inf, math.nan])
def test_a_scatter_that_is_no_size_is_refused(scatter: float) -> None:
    bench = started()
    with pytest.raises(Refused, match="scatter"):
        edits.set_instruments(bench, found(bench).key, 1e-5, 1e-3, 1e-6, scatter)


def test_the_weight_of_the_whole_goes_with_its_length() -> None:
    bench = started()
    key = found(bench).key
    bench = edits.add_section(bench, key, 0.0, 2.0, 0.004).bench
    bench = edits.set_total_length(bench, key, 9.5).bench
    assert [(s.rear, s.mass) for s in found(bench).sections] == [(9.5, 0.03), (2.0, 0.004)]
    bench = edits.set_total_weight(bench, key, 0.031).bench
    assert found(bench).sections[0].mass == 0.031
    bench = edits.set_total_weight(bench, key, None).bench
    assert [s.rear for s in found(bench).sections] == [2.0]
    assert edits.total_section(found(bench)) is None


def test_a_place_measured_again_is_the_same_station() -> None:
    bench = started()
    key = found(bench).key
    first = edits.add_station(bench, key, 1.5, 0.0020)
    again = edits.add_station(first.bench, key, 1.5, 0.0021)
    assert (str(first.text), str(again.text)) == ("Add station", "Add reading")
    assert found(again.bench).stations == (Station(1.5, (0.0020, 0.0021)),)
    pasted = edits.paste_stations(again.bench, key, [(1.5, (0.0022,)), (3.0, (0.0023, 0.0024))])
    assert [len(s.readings) for s in found(pasted.bench).stations] == [3, 2]


def test_pasting_is_all_or_nothing() -> None:
    bench = started()
    with pytest.raises(Refused, match=r"A diameter would be 196\.8504 in; it must be"):
        edits.paste_stations(bench, found(bench).key, [(1.0, (0.002,)), (2.0, (5.0,))])
    assert found(bench).stations == ()


def test_breakpoints_are_held_in_order_moved_and_let_go() -> None:
    bench = started()
    key = found(bench).key
    for place in (5.0, 2.0, 5.0):
        bench = edits.fix_breakpoint(bench, key, place).bench
    assert found(bench).breakpoints == (2.0, 5.0)
    bench = edits.move_breakpoint(bench, key, 2.0, 6.0).bench
    assert found(bench).breakpoints == (5.0, 6.0)
    bench = edits.release_breakpoint(bench, key, 5.0).bench
    assert found(bench).breakpoints == (6.0,)
    with pytest.raises(Refused, match="not fixed"):
        edits.release_breakpoint(bench, key, 5.0)
    for outside in (0.0, 9.0, -1.0, float("nan")):
        with pytest.raises(Refused, match="between the ends"):
            edits.fix_breakpoint(bench, key, outside)


def test_a_measurement_is_described_all_at_once_or_not_at_all() -> None:
    bench = started()
    key = found(bench).key
    edited = edits.describe_measurement(bench, key, " His  head ", "line-1", Loop(), LOOP, "worn")
    after = found(edited.bench)
    assert (after.name, after.line, after.note) == ("His head", "line-1", "worn")
    assert (after.front_loop, after.rear_loop) == (Loop(), LOOP)
    wrong = Loop(LoopKind.FOLDED, fold=4.0)
    for name, line, loop, says in (
        (" ", None, LOOP, "needs a name"),
        ("His", "gone", LOOP, "no longer in the bench"),
        ("His", None, wrong, "folded back into a loop would be"),
    ):
        with pytest.raises(Refused, match=says):
            edits.describe_measurement(bench, key, name, line, Loop(), loop, "")


def fitted(key: str, *, length: float = 9.0) -> Line:
    return line_of(key, "fit", (replace(BELLY, length=length),))


def test_a_line_put_on_the_bench_is_renewed_and_keeps_what_it_was_given() -> None:
    bench = started()
    key = found(bench).key
    bench = edits.describe_measurement(bench, key, " Drawn ", None, Loop(), LOOP, "").bench
    bench = edits.put_on_bench(bench, key, fitted(key)).bench
    line = bench.line(key)
    assert line.name == "Drawn 2"
    assert bench.current_line is line
    kept = replace(line, name="Mine", style=Style.SKAGIT, note="mended")
    bench = bench.with_line(kept)
    renewed = edits.put_on_bench(bench, key, fitted(key, length=9.2)).bench
    after = renewed.line(key)
    assert (after.name, after.style, after.note) == ("Mine", Style.SKAGIT, "mended")
    assert after.length == 9.2
    assert edits.put_on_bench(renewed, key, fitted(key, length=9.2)).bench is renewed
    assert len(edits.delete_measurement(renewed, key).bench.lines) == 2


def test_a_weighed_section_ends_on_the_line_give_or_take_the_tape() -> None:
    bench = started()
    key, tape = found(bench).key, found(bench).instruments.tape
    reached = edits.add_section(bench, key, 1.0, 9.0 + 0.9 * tape, 0.02).bench
    for beyond in (1.1 * tape, 0.1, 1.0, 10.0, 100.0):
        with pytest.raises(Refused, match="end within the measured length"):
            edits.add_section(bench, key, 1.0, 9.0 + beyond, 0.02)
        with pytest.raises(Refused, match="end within the measured length"):
            edits.replace_section(reached, key, 1, 1.0, 9.0 + beyond, 0.02)


def test_rows_that_are_not_there_are_refused_and_steps_say_how_many() -> None:
    bench = started()
    key = found(bench).key
    for place in (1.0, 2.0, 3.0):
        bench = edits.add_station(bench, key, place, 0.002).bench
    for row in (-1, 3):
        with pytest.raises(Refused, match=f"no station {row + 1}; there are 3"):
            edits.replace_station(bench, key, row, 1.0, (0.002,))
        with pytest.raises(Refused, match=f"no station {row + 1}; there are 3"):
            edits.delete_stations(bench, key, [0, row])
    for row in (-1, 1):
        with pytest.raises(Refused, match=f"no weighed section {row + 1}"):
            edits.replace_section(bench, key, row, 0.0, 1.0, 0.002)
        with pytest.raises(Refused, match=f"no weighed section {row + 1}"):
            edits.delete_sections(bench, key, [row])
    one, two = (edits.delete_stations(bench, key, rows) for rows in ([0], [0, 2]))
    assert (str(one.text), str(two.text)) == ("Delete station", "Delete stations")
    assert [station.distance for station in found(two.bench).stations] == [2.0]
    with pytest.raises(Refused, match="no segment 3; it has 2"):
        edits.set_part(bench, key, 2, Part.TIP, [Part.TIP, Part.BELLY])


def test_what_is_known_of_the_material_is_the_persons_own_word() -> None:
    bench = started()
    key = found(bench).key
    assert found(bench).material is Material.NOT_SAID
    edited = edits.set_material(bench, key, Material.EVEN)
    assert found(edited.bench).material is Material.EVEN
    assert str(edited.text) == "Change what is known of the material"


def test_only_an_end_lies_on_the_pan_with_the_rest_beside_it() -> None:
    bench = started()
    key, span = found(bench).key, 0.4
    bench = edits.add_section(bench, key, 7.0, 9.0, 0.006, span).bench
    assert found(bench).sections[-1].span == span
    bench = edits.replace_section(bench, key, 1, 0.0, 2.0, 0.006, span).bench
    assert (found(bench).sections[1].front, found(bench).sections[1].span) == (0.0, span)
    for front, rear, free in (
        (3.0, 6.0, span),
        (0.0, 8.9, span),
        (0.0, 2.0, -0.1),
        (0.0, 2.0, 4.0),
    ):
        with pytest.raises(Refused):
            edits.add_section(bench, key, front, rear, 0.006, free)
