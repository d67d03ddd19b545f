"""Lines looped together into rigs, and how rigs are fished."""

import pytest

from taperlab.edits import lines, rigs
from taperlab.edits.edited import Refused
from taperlab.model.bench import Bench
from taperlab.model.exact_units import FOOT
from taperlab.model.line import Style, line_of
from taperlab.model.rig import Leader
from taperlab.model.segment import Part, Segment
from taperlab.model.swing import Swing

HEAD = line_of("head", "Head", (Segment(Part.BELLY, 23 * FOOT, 0.003, 0.003, 850.0),), Style.SKAGIT)
TIP = line_of("tip", "Tip", (Segment(Part.SINK_TIP, 12 * FOOT, 0.001, 0.001, 3400.0),), Style.TIP)
RUNNING = line_of("run", "Thin", (Segment(Part.RUNNING_LINE, 30.0, 0.001, 0.001, 900.0),))
BENCH = Bench((HEAD, TIP, RUNNING, line_of("none", "Empty", ())))


def said(*asked: object) -> str:
    with pytest.raises(Refused) as refused:
        rigs.make_rig(BENCH, *asked)  # type: ignore[arg-type]
    return str(refused.value.sentence)


def test_a_rig_is_named_after_its_lines_and_twice_made_has_two_names() -> None:
    bench = rigs.make_rig(BENCH, "head", ["tip"]).bench
    bench = rigs.make_rig(bench, "head", ["tip"]).bench
    assert [rig.name for rig in bench.rigs] == ["Tip + Head", "Tip + Head 2"]
    assert [rig.key for rig in bench.rigs] == ["rig-1", "rig-2"]
    assert bench.rigs[0].lines == ("tip", "head")


def test_what_cannot_be_looped_is_said() -> None:
    assert said("head", []) == "A rig needs a line to loop to its head."
    assert said("head", ["head"]) == "A rig can’t hold the same line twice."
    assert said("gone", ["tip"]) == "That line is no longer in the bench."
    assert said("run", ["tip"]).startswith("Thin can’t be looped: ")
    assert said("head", ["none"]).startswith("Empty can’t be looped: ")


def test_lines_and_what_is_tied_can_be_changed_and_the_name_stays() -> None:
    bench = rigs.make_rig(BENCH, "head", ["tip"], name="Low water").bench
    leader = Leader(4 * FOOT)
    bench = rigs.describe_rig(bench, "rig-1", "Low water", leader, None, "evenings").bench
    other = line_of("tip-2", "Other tip", TIP.segments)
    bench = Bench((*bench.lines, other), rigs=bench.rigs)
    (rig,) = rigs.loop_otherwise(bench, "rig-1", "head", ["tip-2", "tip"]).bench.rigs
    assert (rig.name, rig.leader, rig.note) == ("Low water", leader, "evenings")
    assert rig.lines == ("tip-2", "tip", "head")


def test_a_rig_goes_with_a_line_of_it_and_its_lines_stay_without_it() -> None:
    bench = rigs.make_rig(BENCH, "head", ["tip"]).bench
    gone = lines.delete_line(bench, "tip")
    assert not gone.bench.rigs
    assert str(gone.text) == "Delete line and the rig that it is in"
    assert rigs.delete_rig(bench, "rig-1").bench.lines == bench.lines


def test_a_swing_is_kept_within_its_limits() -> None:
    swing = Swing(1.2, 0.5, bed=2.0, slackens=True, drift=3.0)
    assert rigs.set_swing(BENCH, swing).bench.swing == swing
    with pytest.raises(Refused, match="The current"):
        rigs.set_swing(BENCH, Swing(50.0))
    with pytest.raises(ValueError, match="needs the depth of the bed"):
        Swing(slackens=True)
