"""Saying how heads are cast."""

from __future__ import annotations

from dataclasses import replace

import pytest

from taperlab.edits.casting import set_behind, set_throw
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.casting import Cast, LoopBehind, Throw


def test_the_loop_behind_is_kept_in_the_bench() -> None:
    wanted = LoopBehind(Cast.SUSTAINED, wading=0.5)
    edited = set_behind(Bench(), wanted)
    assert edited.bench.behind == wanted
    assert set_behind(edited.bench, wanted).bench is edited.bench


def test_one_does_not_wade_over_one_s_hands() -> None:
    with pytest.raises(Refused, match="under water"):
        set_behind(Bench(), LoopBehind(wading=1.6))


def test_the_throw_is_kept_in_the_bench() -> None:
    wanted = Throw(speed=20.0)
    edited = set_throw(Bench(), wanted)
    assert edited.bench.throw == wanted
    assert set_throw(edited.bench, wanted).bench is edited.bench


def test_what_no_line_does_is_refused() -> None:
    with pytest.raises(Refused, match="line speed"):
        set_throw(Bench(), replace(Throw(), speed=500.0))
    with pytest.raises(ValueError, match="45 degrees"):
        replace(Throw(), launch=1.5)
    with pytest.raises(ValueError, match="60 degrees"):
        replace(LoopBehind(), lean=1.5)
