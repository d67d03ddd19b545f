"""Which head suits a rod: an answer that is clicked answers within a frame."""

from __future__ import annotations

import itertools

from pytest_benchmark.fixture import BenchmarkFixture

from taperlab.model.casting import LoopBehind
from taperlab.model.rod import Rod
from taperlab.model.which_head import Answers, Breadth, Casting, Thrown
from taperlab.shop.which_head.changes import changes
from taperlab.shop.which_head.study import study
from taperlab.trade.starters import starter_rods

FRAME = 0.016


def test_a_choice_and_what_would_change_it(benchmark: BenchmarkFixture) -> None:
    """Each time on a rod that was never asked about, so that nothing is kept."""
    lengths = itertools.count(4.0, 1e-4)
    answers = Answers(Thrown.LIGHT_TIP, 3.0, Breadth.MIDDLING, None, Casting.TOUCH_AND_GO)

    def asked() -> object:
        found = study(Rod("rod-1", "Rod", next(lengths)), answers, LoopBehind())
        return changes(found, LoopBehind(), rods=starter_rods())

    assert benchmark(asked)
    assert benchmark.stats["min"] < FRAME
