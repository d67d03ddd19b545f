"""What is made of stock: how many heads of which design, what pieces keep to, what was weighed."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import find_line, sound
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.pieces import Making, Rules, Wanted, Weighed
from taperlab.physics.lapped import CLEAR
from taperlab.units.limits import MOST_HEADS
from taperlab.units.sentence import Sentence


def want_heads(bench: Bench, line: str, count: int) -> Edited:
    """Say how many heads of a design are made of stock; none takes it off the list.

    What was read of heads that are no longer made goes with them.
    """
    find_line(bench, line)
    text = Sentence("Change how many are made")
    if count <= 0:
        return _with(bench, bench.pieces.without(line), text)
    old = bench.pieces
    others = sum(each.count for each in old.wanted if each.line != line)
    if others + count > MOST_HEADS:
        raise Refused("At most {most} heads are made at once.", most=MOST_HEADS)
    was = next((each for each in old.wanted if each.line == line), None)
    new = Wanted(line, count) if was is None else replace(was, count=count)
    wanted = tuple(new if each is was else each for each in old.wanted)
    if was is None:
        wanted = (*wanted, new)
    kept = tuple(each for each in old.readings if each.line != line or each.copy <= count)
    return _with(bench, replace(old, wanted=wanted, readings=kept), text)


def set_rules(bench: Bench, rules: Rules) -> Edited:
    """Say what pieces keep to."""
    sound(rules)
    if rules.overlap and rules.shortest < CLEAR:
        raise Refused("A piece that is lapped must be an inch long at least.")
    return _with(bench, replace(bench.pieces, rules=rules), Sentence("Change rules of pieces"))


def read_scale(bench: Bench, line: str, copy: int, after: int, mass: float | None) -> Edited:
    """Write down what the scale read [kg] after so many pieces of a head; None drops a reading."""
    old = bench.pieces
    wanted = next((each for each in old.wanted if each.line == line), None)
    if wanted is None or not 1 <= copy <= wanted.count:
        raise Refused("That head is not among those that are made.")
    if after < 1:
        raise Refused("Pieces are counted from 1.")
    kept = [
        each for each in old.readings if (each.line, each.copy, each.after) != (line, copy, after)
    ]
    if mass is not None:
        if not mass > 0.0:
            raise Refused("A reading must be above zero.")
        was = next((each for each in old.readings if each not in kept), None)
        new = Weighed(line, copy, after, mass) if was is None else replace(was, mass=mass)
        kept.append(sound(new))
    kept.sort(key=lambda each: (each.line, each.copy, each.after))
    return _with(bench, replace(old, readings=tuple(kept)), Sentence("Write down a reading"))


def forget_readings(bench: Bench, line: str, copy: int) -> Edited:
    """Drop all readings of one head: it is built anew."""
    old = bench.pieces
    kept = tuple(each for each in old.readings if (each.line, each.copy) != (line, copy))
    return _with(bench, replace(old, readings=kept), Sentence("Drop readings"))


def _with(bench: Bench, making: Making, text: Sentence) -> Edited:
    return Edited(bench if making == bench.pieces else replace(bench, pieces=making), text)
