"""What is made of stock: heads wanted, and rules."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from taperlab.edits.edited import Refused
from taperlab.edits.lines import delete_line
from taperlab.edits.pieces import set_rules, want_heads
from taperlab.files import native
from taperlab.model.bench import Bench
from taperlab.model.line import line_of
from taperlab.model.pieces import Rules, Wanted
from taperlab.model.segment import Part, Segment
from taperlab.model.stock import Stock
from taperlab.shop.pieces.asking import question_of
from taperlab.shop.pieces.study import study_now
from tests.looped import FOOT

BELLY = Segment(Part.BELLY, 10.0 * FOOT, 0.002, 0.002, 870.0)
SPOOL = Stock.like(BELLY, "Spool")
BENCH = Bench(
    (line_of("a", "Alder", (BELLY,)), line_of("b", "Bend", ())),
    stock=(replace(SPOOL, key="s", length=60.0 * FOOT),),
)


def test_heads_are_wanted_and_not_any_more() -> None:
    twice = want_heads(BENCH, "a", 2).bench
    assert twice.pieces.wanted == (Wanted("a", 2),)
    assert want_heads(twice, "a", 2).bench is twice
    assert want_heads(twice, "a", 0).bench == BENCH
    assert want_heads(BENCH, "b", 0).bench is BENCH
    with pytest.raises(Refused, match="At most 200 heads"):
        want_heads(twice, "b", 199)
    with pytest.raises(Refused):
        want_heads(BENCH, "gone", 1)
    assert delete_line(twice, "a").bench.pieces == BENCH.pieces


def test_the_one_that_is_in_hand_stays_wanted_beside_the_first_that_is_typed() -> None:
    """What stood in the table before somebody said anything is not taken off it unasked."""
    both = want_heads(BENCH, "b", 2, "a").bench
    assert {each.line: each.count for each in both.pieces.wanted} == {"a": 1, "b": 2}
    assert want_heads(BENCH, "a", 2, "a").bench.pieces.wanted == (Wanted("a", 2),)
    # Once somebody said so, what is in hand is not wanted by itself.
    assert want_heads(want_heads(BENCH, "b", 2).bench, "b", 3, "a").bench.pieces.wanted == (
        Wanted("b", 3),
    )


def test_what_a_bench_asks_is_answered() -> None:
    assert question_of(BENCH) is None
    bench = want_heads(want_heads(BENCH, "a", 2).bench, "b", 1).bench
    question = question_of(bench)
    assert question is not None
    assert [line.key for line, _ in question.heads] == ["a"]
    assert len(study_now(question).pieces) == 2


def test_readings_of_an_older_file_are_kept_in_it() -> None:
    """Written down before a build held its own, they stay in the file as they are."""
    bench = want_heads(BENCH, "a", 2).bench
    written = json.loads(native.dumps(bench))
    old = [{"line": "a", "copy": 2, "after": 1, "mass_kg": 0.0065}]
    written["pieces"]["readings"] = old
    again = native.loads(json.dumps(written), "x")
    after = want_heads(again, "a", 1).bench
    assert json.loads(native.dumps(after))["pieces"]["readings"] == old


def test_rules_are_kept_in_the_file() -> None:
    rules = Rules(overlap=0.04, fold=0.06, keeps_weight=False, largest_step=1.3)
    after = set_rules(BENCH, rules).bench
    assert after.pieces.rules == rules
    assert native.loads(native.dumps(after), "x") == after
    assert set_rules(after, rules).bench is after
    assert '"pieces"' not in native.dumps(BENCH)
    with pytest.raises(Refused):
        set_rules(BENCH, Rules(tolerance=1.0))
    with pytest.raises(ValueError, match="1 or more"):
        Rules(largest_step=0.9)
