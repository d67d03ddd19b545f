"""Typing a figure of the head: it is what was typed, by what may move, or there is a reason."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from taperlab.edits.edited import Refused
from taperlab.edits.figures import Figure, May, Moves, kind_of, set_figure, ways, why_not
from taperlab.gui.state.document import Document
from taperlab.model.bench import Bench
from taperlab.model.line import Line, Loop, LoopKind, line_of
from taperlab.model.rod import Rod
from taperlab.model.segment import Core, Part, Segment
from taperlab.model.water import Water
from taperlab.shop.analyse import analyse_line
from tests.strategies import lines_

FT, IN, GRAIN = 0.3048, 0.0254, 64.79891e-6

HEAD = (
    Segment(Part.TIP, 1.0 * FT, 0.034 * IN, 0.034 * IN, 870.0),
    Segment(Part.FRONT_TAPER, 17.0 * FT, 0.034 * IN, 0.076 * IN, 870.0),
    Segment(Part.BELLY, 19.0 * FT, 0.104 * IN, 0.104 * IN, 870.0),
    Segment(Part.RUNNING_LINE, 60.0 * FT, 0.030 * IN, 0.030 * IN, 900.0),
)
ROD = Rod("rod-1", "Mill pool", 13.0 * FT)
ALL, LENGTHS, DENSITY = May(Moves.DIAMETERS), May(Moves.LENGTHS), May(Moves.DENSITY)


def bench_of(line: Line) -> Bench:
    return Bench(lines=(line,), rods=(ROD,), rod=ROD.key)


HEAD_BENCH = bench_of(line_of("line-1", "Alder", HEAD))


def figure_of(line: Line, figure: Figure) -> float:
    """A figure as the readouts have it."""
    head = analyse_line(line, Water()).head
    return {
        Figure.WEIGHT: head.mass,
        Figure.LENGTH: head.length,
        Figure.FRONT: head.front_taper_mass_share,
        Figure.BALANCE: head.balance_point,
        Figure.RATIO: head.length / ROD.length,
    }[figure]


def sentence_of(bench: Bench, figure: Figure, value: float, may: May) -> str:
    with pytest.raises(Refused) as refused:
        set_figure(bench, "line-1", figure, value, may)
    return str(refused.value.sentence)


# -- whatever the line --------------------------------------------------------------------------

typed = st.floats(0.6, 1.6)


@st.composite
def heads(draw: st.DrawFn) -> Line:
    line = draw(lines_(least=1, most=5))
    rows = [replace(line.segments[0], part=draw(st.sampled_from([Part.BELLY, Part.FRONT_TAPER])))]
    rows += line.segments[1:]
    # About as heavy as lines are: what is lighter or heavier can't be typed.
    by = draw(st.floats(0.005, 0.1)) / figure_of(replace(line, segments=tuple(rows)), Figure.WEIGHT)
    by = min(by, 500.0 / line.length)  # nor is any longer
    rows = [replace(each, length=each.length * by) for each in rows]
    made = replace(line, segments=tuple(rows))
    assume(figure_of(made, Figure.WEIGHT) > 1e-4)
    return made


@settings(max_examples=60)
@given(data=st.data(), line=heads())
def test_a_figure_reads_as_typed_or_says_why_not(data: st.DataObject, line: Line) -> None:
    figure = data.draw(st.sampled_from(Figure))
    may = data.draw(
        st.sampled_from([w for w in ways(line) if not why_not(line, 4.0, figure, w)] or [ALL])
    )
    bench = bench_of(line)
    wanted = figure_of(line, figure) * data.draw(typed)
    document = Document(bench)
    outcome = document.apply(set_figure, line.key, figure, wanted, may)
    if outcome.refused:
        assert str(outcome.refused).endswith(".")
        assert document.bench is bench
        return
    after = document.bench.line(line.key)
    assert figure_of(after, figure) == pytest.approx(wanted, rel=1e-9)
    untouched = set(range(len(line.segments)))
    untouched -= {may.row} if may.moves is Moves.LENGTH else set()
    for row, (was, now) in enumerate(zip(line.segments, after.segments, strict=True)):
        if may.moves is Moves.LENGTH:
            assert now == (replace(was, length=now.length) if row == may.row else was)
        elif not was.part.in_head:
            assert now == was
    if document.undo_stack.count():
        document.undo_stack.undo()
    assert document.bench.lines == bench.lines


@settings(max_examples=60)
@given(data=st.data(), line=heads())
def test_its_own_value_changes_nothing(data: st.DataObject, line: Line) -> None:
    figure = data.draw(st.sampled_from(Figure))
    may = data.draw(
        st.sampled_from([w for w in ways(line) if not why_not(line, 4.0, figure, w)] or [ALL])
    )
    bench = bench_of(line)
    assume(not why_not(line, 4.0, figure, may))
    assume(kind_of(figure).allows(figure_of(line, figure)))
    assert set_figure(bench, line.key, figure, figure_of(line, figure), may).bench is bench


@settings(max_examples=60)
@given(data=st.data(), line=heads())
def test_the_nearest_that_is_told_can_be_typed(data: st.DataObject, line: Line) -> None:
    """What a refusal names is itself no further away, and can be had."""
    figure = data.draw(st.sampled_from(Figure))
    possible = [w for w in ways(line) if not why_not(line, 4.0, figure, w)]
    assume(possible)
    may = data.draw(st.sampled_from(possible))
    now = figure_of(line, figure)
    assume(kind_of(figure).allows(now))
    wanted = now * data.draw(st.sampled_from([0.01, 0.2, 5.0, 50.0]))
    bench = bench_of(line)
    try:
        set_figure(bench, line.key, figure, wanted, may)
    except Refused as refused:
        value = dict(refused.sentence.values).get("value")
        assume(value is not None and "way" in dict(refused.sentence.values))
        assert min(now, wanted) - 1e-12 <= value.value <= max(now, wanted) + 1e-12
        found = set_figure(bench, line.key, figure, value.value, may).bench.line(line.key)
        assert figure_of(found, figure) == pytest.approx(value.value, rel=1e-9)


# -- by hand ------------------------------------------------------------------------------------


def test_a_weight_by_all_diameters_is_the_root_of_the_ratio() -> None:
    before = HEAD_BENCH.line("line-1")
    wanted = 1.21 * figure_of(before, Figure.WEIGHT)
    edited = set_figure(HEAD_BENCH, "line-1", Figure.WEIGHT, wanted, ALL)
    for was, now in zip(before.segments[:3], edited.bench.line("line-1").segments, strict=False):
        assert now.front_diameter == pytest.approx(1.1 * was.front_diameter, rel=1e-12)
        assert now.rear_diameter == pytest.approx(1.1 * was.rear_diameter, rel=1e-12)
        assert now.length == was.length
    assert edited.bench.line("line-1").segments[3] is before.segments[3]
    changes = [abs(each.after - each.before) for each in edited.moved]
    assert changes == sorted(changes, reverse=True)
    assert edited.moved[0].segment == 2
    assert str(edited.text) == "Change head weight"


def test_loops_and_cores_count() -> None:
    braided = Loop(LoopKind.BRAIDED, 0.08, 6e-5)
    cored = replace(HEAD[2], core=Core(0.03 * IN, 1140.0))
    line = replace(
        line_of("line-1", "Alder", (HEAD[0], HEAD[1], cored)),
        front_loop=braided,
        rear_loop=braided,
    )
    for may in (ALL, LENGTHS, DENSITY, May(Moves.LENGTH, 2)):
        edited = set_figure(bench_of(line), "line-1", Figure.WEIGHT, 520.0 * GRAIN, may)
        assert figure_of(edited.bench.line("line-1"), Figure.WEIGHT) == pytest.approx(520.0 * GRAIN)
    lengthened = set_figure(bench_of(line), "line-1", Figure.FRONT, 0.3, May(Moves.LENGTH, 1))
    assert figure_of(lengthened.bench.line("line-1"), Figure.FRONT) == pytest.approx(0.3)


def test_a_balance_point_that_two_lengths_give_is_had_by_the_nearer() -> None:
    """A heavy tip: lengthening it first draws the balance point to the fly, then away."""
    line = line_of(
        "line-1",
        "Sinker",
        (
            Segment(Part.SINK_TIP, 2.0 * FT, 0.12 * IN, 0.12 * IN, 3000.0),
            Segment(Part.BELLY, 30.0 * FT, 0.05 * IN, 0.05 * IN, 900.0),
        ),
    )
    may, now = May(Moves.LENGTH, 0), figure_of(line, Figure.BALANCE)
    shorter = set_figure(bench_of(line), "line-1", Figure.BALANCE, now * 1.05, may)
    assert shorter.bench.line("line-1").segments[0].length < 2.0 * FT
    refused = sentence_of(bench_of(line), Figure.BALANCE, 0.5 * FT, may)
    assert refused.startswith("By the length of segment 1, the balance point can be ")
    assert refused.endswith(" at least.")


@pytest.mark.parametrize("may", [ALL, DENSITY])
def test_what_moves_no_length_says_so(may: May) -> None:
    refused = sentence_of(HEAD_BENCH, Figure.LENGTH, 30.0 * FT, may)
    assert refused == f"No length follows from {may.moves}."
    assert why_not(HEAD_BENCH.lines[0], ROD.length, Figure.RATIO, may)


@pytest.mark.parametrize("may", [ALL, LENGTHS, DENSITY])
def test_no_factor_on_everything_moves_a_share(may: May) -> None:
    assert sentence_of(HEAD_BENCH, Figure.FRONT, 0.5, may).endswith(
        "alike leave the shares as they are."
    )
    assert not why_not(HEAD_BENCH.lines[0], None, Figure.FRONT, May(Moves.LENGTH, 1))


def test_a_limit_is_named_with_the_nearest_value() -> None:
    refused = sentence_of(HEAD_BENCH, Figure.LENGTH, 10.0 * FT, May(Moves.LENGTH, 2))
    assert refused == (
        "By the length of segment 3, the head length can be 18 ft 1/4 in at least: "
        "below it, segment 3 is too short to cut."
    )
    core = line_of("line-1", "Alder", (replace(HEAD[2], core=Core(0.1 * IN, 1100.0)),))
    refused = sentence_of(bench_of(core), Figure.WEIGHT, 100.0 * GRAIN, ALL)
    assert refused.endswith(" at least: below it, segment 1 is thinner than its core.")


def test_a_ratio_wants_a_rod() -> None:
    bench = replace(HEAD_BENCH, rod=None)
    assert sentence_of(bench, Figure.RATIO, 2.5, LENGTHS).startswith("Choose a rod first")


def test_a_head_without_a_front_taper_has_no_share_to_type() -> None:
    bench = bench_of(line_of("line-1", "Level", (HEAD[2],)))
    refused = sentence_of(bench, Figure.FRONT, 0.5, May(Moves.LENGTH, 0))
    assert refused == "The head has no tip and no front taper."
