"""What two states of a bench differ in, told in a few words."""

from dataclasses import replace

import pytest

from taperlab.model.bench import Bench, View
from taperlab.model.casting import Throw
from taperlab.model.job import Job
from taperlab.model.line import Line
from taperlab.model.pieces import Making, Wanted
from taperlab.model.range import Member, Range
from taperlab.model.rig import Rig
from taperlab.model.rod import Rod
from taperlab.model.water import Water
from taperlab.shop.comparing import MOST, differences, is_alike
from taperlab.units.sentence import Sentence

ALDER, BIRCH = Line("line-1", "Alder"), Line("line-2", "Birch")
ROD = Rod("rod-1", "Mill pool", 3.96)
BENCH = Bench(lines=(ALDER, BIRCH), rods=(ROD,), rod="rod-1")


def told(one: Bench, other: Bench) -> str:
    found = differences(one, other, Sentence("here"), Sentence("in the file"))
    return "" if found is None else str(found)


def test_what_was_looked_at_last_is_no_difference() -> None:
    looked = replace(BENCH, view=View(line="line-2", page="measure"))
    assert is_alike(BENCH, looked)
    assert told(BENCH, looked) == ""


@pytest.mark.parametrize(
    ("other", "words"),
    [
        (replace(BENCH, lines=(ALDER,)), "line “Birch” only here"),
        (replace(BENCH, lines=(ALDER, BIRCH, Line("l", "Elm"))), "line “Elm” only in the file"),
        (replace(BENCH, lines=(replace(ALDER, note="x"), BIRCH)), "line “Alder” differs"),
        (replace(BENCH, rods=(replace(ROD, length=4.0),)), "rod “Mill pool” differs"),
        (replace(BENCH, rod=None), "another rod is chosen"),
        (replace(BENCH, water=Water(temperature=290.0)), "the water differs"),
        (
            replace(BENCH, note="x", rod=None),
            "another rod is chosen; the note on the bench differs",
        ),
        (replace(BENCH, jobs=(Job("job-1", "A. Reader", "41"),)), "job “41” only in the file"),
        (
            replace(BENCH, pieces=Making((Wanted("line-1", 3),))),
            "what is to be made of stock differs",
        ),
        (replace(BENCH, throw=Throw(speed=20.0)), "how lines are cast and fished differs"),
        (replace(BENCH, lines=(BIRCH, ALDER)), "the order of things differs"),
        (
            replace(BENCH, ranges=(Range("range-1", "Heads", "line-1", (Member(0.03),)),)),
            "range “Heads” only in the file",
        ),
        (
            replace(BENCH, rigs=(Rig("rig-1", "Winter", "line-1", ("line-2",)),)),
            "rig “Winter” only in the file",
        ),
    ],
)
def test_each_difference_is_named(other: Bench, words: str) -> None:
    assert told(BENCH, other) == words
    assert not is_alike(BENCH, other)


def test_many_differences_are_counted() -> None:
    lines = tuple(Line(f"line-{i}", f"No {i}") for i in range(MOST + 4))
    said = told(Bench(lines=lines), Bench())
    assert said.count("only here") == MOST
    assert said.endswith("; 4 more differences")
