from __future__ import annotations

import pytest

from taperlab.edits import rows as row_edits
from taperlab.edits import values as value_edits
from taperlab.edits.edited import Refused, together
from taperlab.model.bench import Bench
from taperlab.model.line import line_of

BENCH = Bench((line_of("a", "Alder head", ()),))


def test_edits_done_together_are_one_edit():
    steps = [(row_edits.insert_default, ("a", 0)), (value_edits.set_length, ("a", 0, 2.0))]
    edited = together(BENCH, "Insert row", steps, (0,))
    assert (edited.text, edited.line, edited.segments) == ("Insert row", "a", (0,))
    assert edited.bench.lines[0].segments[0].length == 2.0


def test_one_edit_refused_is_all_refused():
    steps = [(row_edits.insert_default, ("a", 0)), (value_edits.set_length, ("a", 0, -2.0))]
    with pytest.raises(Refused, match="The length of segment 1"):
        together(BENCH, "Insert row", steps, (0,))


def test_edits_that_cancel_out_change_nothing():
    steps = [(row_edits.insert_default, ("a", 0)), (row_edits.delete, ("a", [0]))]
    assert together(BENCH, "Nothing", steps, ()).bench is BENCH
