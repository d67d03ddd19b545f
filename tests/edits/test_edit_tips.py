"""Putting a tip that was built on the bench."""

import pytest

from taperlab.edits import tips
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.line import Style, line_of
from tests.looped import BODY, TIP


def test_a_tip_stands_behind_the_lines_and_the_head_stays_in_hand() -> None:
    edited = tips.add_tip(Bench((BODY, TIP)), TIP)
    assert [line.name for line in edited.bench.lines] == ["Body", "Tip", "Tip 2"]
    assert edited.bench.current_line is BODY
    added = edited.bench.lines[-1]
    assert edited.line == added.key != "tip"
    assert added.segments == TIP.segments
    assert str(edited.text) == "Add tip"


def test_on_an_empty_bench_it_is_all_there_is() -> None:
    assert [line.name for line in tips.add_tip(Bench(), TIP).bench.lines] == ["Tip"]


def test_a_tip_of_nothing_is_refused() -> None:
    with pytest.raises(Refused) as refused:
        tips.add_tip(Bench((BODY,)), line_of("tip", "Tip", (), Style.TIP))
    assert "without segments" in str(refused.value.sentence)
