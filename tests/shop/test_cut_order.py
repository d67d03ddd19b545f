"""The cuts in the order of work, and how a tape shows where to mark."""

from __future__ import annotations

import pytest

from taperlab.model.cut_log import CutEnd
from taperlab.model.exact_units import INCH
from taperlab.shop.cut_back.order import in_order, work_words
from taperlab.units.kinds import System
from taperlab.units.sentence import Mark, render


def test_the_rod_end_comes_first_and_each_end_is_measured_from() -> None:
    cuts = in_order(4.0 * INCH, 42.40 * INCH, INCH / 8)
    assert [cut.end for cut in cuts] == [CutEnd.REAR, CutEnd.FRONT]
    assert [str(said) for said in work_words(cuts)] == [
        "First from the rod end: measure 3 ft 6 3/8 in, mark, cut.",
        "Then from the fly end: measure 4 in, mark, cut.",
    ]
    (only,) = in_order(4.0 * INCH, 0.0, INCH / 8)
    assert [str(said) for said in work_words((only,))] == [
        "From the fly end: measure 4 in, mark, cut."
    ]
    assert in_order(0.0, 0.0, INCH / 8) == ()


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize(
    ("length", "step", "said"),
    [
        (42.375 * INCH, INCH / 8, "3 ft 6 3/8 in"),
        (42.1875 * INCH, INCH / 16, "3 ft 6 3/16 in"),
        (42.25 * INCH, INCH / 4, "3 ft 6 1/4 in"),
        (42.3 * INCH, INCH / 10, "42.3 in"),
        (1.077, 0.001, "1077 mm"),
        (1.0775, 0.0005, "1077.5 mm"),
        (12 * INCH, INCH, "1 ft"),
    ],
)
def test_a_mark_is_told_as_the_tape_has_it(
    system: System, length: float, step: float, said: str
) -> None:
    assert Mark(length, step).text(system) == said
    (sentence,) = work_words(in_order(0.0, length, step))
    assert said in render(sentence, system)
