"""Heads that are built: nothing of the stock is lost, and all is done in the order of work."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.edits import builds as edits
from taperlab.edits.edited import Refused
from taperlab.edits.lines import delete_line
from taperlab.edits.pieces import set_rules, want_heads
from taperlab.edits.stock import add_stock, believe_stock, weigh_stock
from taperlab.files import native
from taperlab.model.bench import Bench
from taperlab.model.build import HeadBuild
from taperlab.model.line import line_of
from taperlab.model.pieces import Rules
from taperlab.model.segment import Part, Segment
from taperlab.model.stock import Stock
from taperlab.shop.pieces.asking import question_of
from taperlab.shop.pieces.freezing import cuts_of, frozen, short_heads, short_words
from taperlab.shop.pieces.study import study_now
from tests.looped import FOOT, GRAIN, INCH

LAP = 1.5 * INCH


def level(part: Part, feet: float, diameter: float, stock: str) -> Segment:
    return Segment(part, feet * FOOT, diameter, diameter, 870.0, stock=stock)


def spool(key: str, feet: float, diameter: float) -> Stock:
    whole = Segment(Part.BELLY, feet * FOOT, diameter, diameter, 870.0)
    return replace(Stock.like(whole, key), key=key)


HEAD = line_of(
    "a",
    "Alder",
    (
        level(Part.TIP, 2.0, 0.0012, "thin"),
        level(Part.FRONT_TAPER, 8.0, 0.0016, "middle"),
        level(Part.BELLY, 14.0, 0.0020, "thick"),
        level(Part.REAR_TAPER, 5.0, 0.0016, "middle"),
    ),
)
SHELF = (spool("thin", 30, 0.0012), spool("middle", 60, 0.0016), spool("thick", 60, 0.0020))


def begun(count: int = 1, rules: Rules | None = None, shelf: tuple[Stock, ...] = SHELF) -> Bench:
    """A bench with so many heads begun, and what its shelf is left with."""
    bench = want_heads(Bench((HEAD,), stock=shelf), "a", count).bench
    bench = set_rules(bench, rules or Rules(overlap=LAP, spare=INCH)).bench
    question = question_of(bench)
    assert question is not None
    found = study_now(question)
    return edits.begin_builds(bench, frozen(found), cuts_of(found)).bench


def lying(bench: Bench) -> float:
    """All line on the shelf [m]."""
    return sum(each.whole_length for each in bench.stock)


def held(build: HeadBuild) -> float:
    """All line that was cut for a build [m]."""
    return sum(each.material.whole_length for each in build.pieces)


def test_no_other_stock_gets_the_key_of_a_spool_that_was_used_up() -> None:
    numbered = [replace(each, key=f"stock-{n}") for n, each in enumerate(SHELF, start=1)]
    thick = numbered[2]
    segments = tuple(
        replace(each, stock={one.name: one.key for one in numbered}.get(each.stock, each.stock))
        for each in HEAD.segments
    )
    head = replace(HEAD, segments=segments)
    bench = want_heads(Bench((head,), stock=tuple(numbered)), "a", 1).bench
    bench = set_rules(bench, Rules()).bench
    question = question_of(bench)
    assert question is not None
    found = study_now(question)
    # All of the thick spool, and the middle of the next so that an offcut of it lies by itself.
    cuts = {"stock-3": [(0.0, thick.whole_length)], "stock-2": [(2.0, 10.0)]}
    bench = edits.begin_builds(bench, frozen(found), cuts).bench
    held = {piece.material.key for piece in bench.builds[0].pieces}
    assert "stock-3" in held
    assert "stock-3" not in {each.key for each in bench.stock}
    bench = add_stock(bench, [spool("another", 30, 0.0020)]).bench
    assert not {each.key for each in bench.stock} & {"stock-3"}


def test_a_build_is_what_was_cut_and_stays_it() -> None:
    bench = begun(2)
    assert bench.pieces.wanted == ()
    assert [each.copy for each in bench.builds] == [1, 2]
    assert [each.name for each in bench.builds] == ["Alder", "Alder (2)"]
    assert lying(bench) + sum(map(held, bench.builds)) == pytest.approx(lying(Bench(stock=SHELF)))
    first = bench.builds[0]
    assert [each.material.key for each in first.pieces] == ["thin", "middle", "thick", "middle"]
    # Half a lap at each joint and the spare at each rod end, none at the ends of the head.
    cut = [each.material.whole_length / INCH for each in first.pieces]
    assert cut == pytest.approx([24.75 + 1, 97.5 + 1, 169.5 + 1, 60.75 + 1], abs=0.01)
    assert native.loads(native.dumps(bench), "x") == bench
    gone = delete_line(bench, "a").bench
    assert [each.line for each in gone.builds] == [None, None]
    assert gone.builds[0].head == first.head
    # One of the same design that is begun later has a number of its own.
    more = want_heads(bench, "a", 1).bench
    again = edits.begin_builds(more, (replace(first, key=""),), {"thin": [(0.0, 0.1)]}).bench
    assert [(each.key, each.copy) for each in again.builds][-1] == ("build-3", 3)


def test_what_stock_cost_comes_back_with_what_was_not_cut_of_it() -> None:
    shelf = (replace(SHELF[0], cost=12.0), replace(SHELF[1], cost=60.0), SHELF[2])
    bench = begun(shelf=shelf)
    assert [each.cost for each in bench.stock] != [each.cost for each in shelf]
    back = edits.give_up_build(bench, "build-1").bench
    assert [each.whole_length for each in back.stock] == pytest.approx(
        [each.whole_length for each in shelf]
    )
    assert [each.cost for each in back.stock] == pytest.approx([12.0, 60.0, None])


def test_a_spool_that_has_all_of_its_pieces_again_is_no_leftover() -> None:
    shelf = (replace(SHELF[0], leftover=True), *SHELF[1:])
    bench = begun(2, shelf=shelf)
    assert [each.leftover for each in bench.stock] == [True, True, True]
    bench = native.loads(native.dumps(bench), "x")
    half = edits.give_up_build(bench, "build-1").bench
    assert [each.leftover for each in half.stock] == [True, True, True]
    back = edits.give_up_build(half, "build-2").bench
    assert [each.leftover for each in back.stock] == [True, False, False]
    assert [each.whole_length for each in back.stock] == pytest.approx(
        [each.whole_length for each in shelf]
    )
    # Of a head that was cut, each piece lies there by itself, and the spool is a leftover.
    cut = edits.pieces_are_cut(bench, "build-1").bench
    assert all(each.leftover for each in edits.give_up_build(cut, "build-1").bench.stock)


def test_a_tube_that_weighs_what_was_known_changes_nothing() -> None:
    bench = begun()
    for mass in (None, 2 * GRAIN):
        weighed = edits.weigh_tube(bench, "build-1", mass).bench
        assert edits.weigh_tube(weighed, "build-1", mass).bench is weighed


def test_a_head_that_is_short_begins_nothing() -> None:
    shelf = (spool("thin", 30, 0.0012), spool("middle", 60, 0.0016), spool("thick", 20, 0.0020))
    bench = begun(2, shelf=shelf)
    assert len(bench.builds) == 1
    assert [each.count for each in bench.pieces.wanted] == [1]
    assert lying(bench) + held(bench.builds[0]) == pytest.approx(lying(Bench(stock=shelf)))
    question = question_of(bench)
    assert question is not None
    left = study_now(question)
    assert short_heads(left) == (0,)
    assert str(short_words(left)) == "No head has all its pieces, so nothing is cut."
    with pytest.raises(Refused, match="No head has all its pieces"):
        edits.begin_builds(bench, frozen(left), cuts_of(left))


@settings(max_examples=15, deadline=None)
@given(
    st.integers(1, 3),
    st.floats(15.0, 70.0),
    st.sampled_from([0.0, INCH]),
    st.integers(0, 3),
    st.lists(st.floats(0.0, 0.05), min_size=4, max_size=4),
)
def test_stock_pieces_and_leftovers_add_up(
    count: int, feet: float, spare: float, joints: int, trims: list[float]
) -> None:
    """What is cut is off the shelf; what is given up goes back but for what was joined or cut off.

    By what it weighs as well: what is believed of a batch is believed of its pieces.
    """
    shelf = (*SHELF[:2], spool("thick", feet, 0.0020))
    rules = Rules(overlap=LAP, spare=spare)
    try:
        bench = begun(count, rules, shelf)
    except Refused:
        return
    before = lying(Bench(stock=shelf))
    assert lying(bench) + sum(map(held, bench.builds)) == pytest.approx(before, abs=1e-6)
    build = bench.builds[0]
    bench = edits.pieces_are_cut(bench, build.key).bench
    for index, off in enumerate(trims[: joints + 1 if joints else 2]):
        bench = edits.trim_piece(bench, build.key, index, off).bench
        if index:
            bench = edits.make_joint(bench, build.key, 0.01).bench if joints >= index else bench
    build = bench.builds[0]
    kept = edits.joined(build)
    used = sum(each.material.whole_length for each in build.pieces[:kept])
    gone = sum(each.trimmed or 0.0 for each in build.pieces[kept:])
    after = edits.give_up_build(bench, build.key).bench
    others = sum(map(held, after.builds))
    assert len(after.builds) == len(bench.builds) - 1
    assert lying(after) + others + used + gone == pytest.approx(before, abs=1e-6)


def test_work_is_written_down_in_order() -> None:
    bench = begun()
    key = bench.builds[0].key
    start = bench
    for edit, args in (
        (edits.make_joint, (0.01,)),
        (edits.trim_piece, (0, 0.01)),
        (edits.trim_rear, (0.01,)),
        (edits.make_loops, ()),
        (edits.weigh_finished, (0.02,)),
        (edits.trust_joint, (1,)),
        (edits.weigh_joint, (1, 0.01)),
        (edits.finish_build, (HEAD, "Alder, built", "")),
        (edits.weigh_piece, (4, 0.001)),
        (edits.trust_piece, (0,)),
        (edits.take_back_step, ()),
        (edits.trust_finished, ()),
    ):
        with pytest.raises(Refused):
            edit(bench, key, *args)
    steps = [
        (edits.pieces_are_cut, ()),
        (edits.trim_piece, (0, INCH)),
        (edits.trim_piece, (1, INCH)),
        (edits.make_joint, (0.008,)),
        (edits.trim_piece, (2, 0.5 * INCH)),
        (edits.make_joint, (None,)),
        (edits.trim_piece, (3, 0.0)),
        (edits.make_joint, (0.03,)),
        (edits.trim_rear, (0.25 * INCH,)),
        (edits.make_loops, ()),
        (edits.weigh_finished, (0.03,)),
    ]
    way = [bench]
    for edit, args in steps:
        way.append(edit(way[-1], key, *args).bench)
    for index in (0, 1, 2, 3):
        with pytest.raises(Refused, match="joined already"):
            edits.trim_piece(way[-1], key, index, 0.01)
    for before in reversed(way[:-1]):
        way.append(edits.take_back_step(way[-1], key).bench)
        assert way[-1] == before
    assert way[-1] == start
    done = way[len(steps)]
    finished = edits.finish_build(done, key, HEAD, "Alder", "Built").bench
    assert [each.name for each in finished.lines] == ["Alder", "Alder 2"]
    # Right behind what it was designed as, wherever that lies.
    others = tuple(replace(HEAD, key=key, name=key) for key in ("before", "behind"))
    among = replace(done, lines=(others[0], *done.lines, others[1]))
    names = [line.name for line in edits.finish_build(among, key, HEAD, "Built", "").bench.lines]
    assert names == ["before", "Alder", "Built", "behind"]
    assert finished.builds[0].is_finished
    assert finished.builds[0].built == finished.lines[1].key
    assert native.loads(native.dumps(finished), "x") == finished
    with pytest.raises(Refused, match="lies on the bench"):
        edits.finish_build(finished, key, HEAD, "Alder", "")
    assert edits.give_up_build(finished, key).bench.stock == finished.stock
    assert delete_line(finished, finished.lines[1].key).bench.builds[0].built is None


def test_odd_numbers_are_refused_and_trust_goes_with_a_new_reading() -> None:
    bench = edits.pieces_are_cut(begun(), "build-1").bench
    for off in (-0.01, float("nan"), 9.0):
        with pytest.raises(Refused):
            edits.trim_piece(bench, "build-1", 0, off)
    for mass in (-1.0, 0.0, 99.0):
        for edit, args in ((edits.make_joint, ()), (edits.weigh_piece, (0,))):
            with pytest.raises(Refused):
                edit(bench, "build-1", *args, mass)
    weighed = edits.weigh_piece(bench, "build-1", 0, 0.008).bench
    vouched = edits.trust_piece(weighed, "build-1", 0).bench
    assert vouched.builds[0].pieces[0].sure
    assert native.loads(native.dumps(vouched), "x") == vouched
    assert not edits.weigh_piece(vouched, "build-1", 0, 0.0081).bench.builds[0].pieces[0].sure
    bench = edits.make_joint(bench, "build-1", 0.009).bench
    sure = edits.trust_joint(bench, "build-1", 1).bench
    assert sure.builds[0].joints[0].sure
    again = edits.weigh_joint(sure, "build-1", 1, 0.0091).bench
    assert not again.builds[0].joints[0].sure
    unread = edits.make_joint(bench, "build-1", None).bench
    with pytest.raises(Refused):
        edits.trust_joint(unread, "build-1", 2)


def test_what_a_spool_weighs_holds_for_what_was_cut_off_it() -> None:
    bench = begun()
    spools = {each.key: each for each in bench.stock}
    per_foot = 10.0 * spools["thick"].density * 3.141592653589793 / 4.0 * 0.0020**2 * FOOT
    weighed = weigh_stock(bench, "thick", 10.0 * FOOT, 1.03 * per_foot, 0.5 * GRAIN).bench
    thick = weighed.builds[0].pieces[2]
    assert thick.heavier == pytest.approx(1.03)
    assert thick.material.mass_error == pytest.approx(0.5 * GRAIN / 12**0.5 / (1.03 * per_foot))
    assert thick.material.density == bench.builds[0].pieces[2].material.density
    assert weighed.builds[0].pieces[1] is bench.builds[0].pieces[1]
    # What goes back is believed as the rest of its spool is.
    back = edits.give_up_build(weighed, "build-1").bench
    assert {round(each.density, 6) for each in back.stock if each.front_diameter == 0.0020} == {
        round(870.0 * 1.03, 6)
    }


def test_what_lies_on_the_bench_is_no_longer_believed_anew() -> None:
    bench = edits.pieces_are_cut(begun(2), "build-1").bench
    first = bench.builds[0]
    done = replace(bench, builds=(replace(first, is_finished=True), *bench.builds[1:]))
    later = believe_stock(done, "thick", 1.02, 0.002).bench
    assert later.builds[0] == done.builds[0]
    assert later.builds[1].pieces[2].heavier == pytest.approx(1.02)


def test_a_reading_that_is_put_right_is_that_of_its_joint_and_no_other() -> None:
    bench = edits.pieces_are_cut(begun(), "build-1").bench
    for mass in (0.008, 0.020, 0.030):
        bench = edits.make_joint(bench, "build-1", mass).bench
    for number in (1, 2, 3):
        again = edits.weigh_joint(bench, "build-1", number, 0.025).bench
        sure = edits.trust_joint(bench, "build-1", number).bench
        for at, (was, now, vouched) in enumerate(
            zip(*(each.builds[0].joints for each in (bench, again, sure)), strict=True), start=1
        ):
            assert now.mass == (0.025 if at == number else was.mass)
            assert vouched == replace(was, sure=at == number)


def test_what_a_head_told_counts_once() -> None:
    bench = begun(2)
    for key in ("build-1", "build-2"):
        bench = edits.pieces_are_cut(bench, key).bench
    told = edits.tell_shelf(bench, "build-1", {"thick": (1.02, 0.004), "used up": (0.99, 0.01)})
    first, second = told.bench.builds
    assert first.was_told
    with pytest.raises(Refused, match="already"):
        edits.tell_shelf(told.bench, "build-1", {"thick": (1.02, 0.004)})
    assert first.pieces == bench.builds[0].pieces
    assert second.pieces[2].heavier == pytest.approx(1.02)
    later = believe_stock(told.bench, "thick", 0.99, 0.002).bench
    assert later.builds[0].pieces == first.pieces
    assert later.builds[1].pieces[2].heavier == pytest.approx(1.02 * 0.99)
    with pytest.raises(Refused, match="nothing left"):
        edits.tell_shelf(bench, "build-1", {"used up": (1.02, 0.004)})
