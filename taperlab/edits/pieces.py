"""What is made of stock: how many heads of which design, and what pieces keep to."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import find_line, sound
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.pieces import Making, Rules, Wanted
from taperlab.physics.lapped import CLEAR
from taperlab.units.limits import MOST_HEADS
from taperlab.units.sentence import Sentence


def want_heads(bench: Bench, line: str, count: int, in_hand: str | None = None) -> Edited:
    """Say how many heads of a design are made of stock; none takes it off the list.

    in_hand: the design of which one is made until somebody says so: it stays one beside another.
    """
    find_line(bench, line)
    text = Sentence("Change how many are made")
    if count <= 0:
        return _with(bench, bench.pieces.without(line), text)
    old = bench.pieces
    if in_hand is not None and in_hand != line and not old.wanted:
        old = replace(old, wanted=(Wanted(find_line(bench, in_hand).key, 1),))
    others = sum(each.count for each in old.wanted if each.line != line)
    if others + count > MOST_HEADS:
        raise Refused("At most {most} heads are made at once.", most=MOST_HEADS)
    was = next((each for each in old.wanted if each.line == line), None)
    new = Wanted(line, count) if was is None else replace(was, count=count)
    wanted = tuple(new if each is was else each for each in old.wanted)
    if was is None:
        wanted = (*wanted, new)
    return _with(bench, replace(old, wanted=wanted), text)


def set_rules(bench: Bench, rules: Rules) -> Edited:
    """Say what pieces keep to."""
    sound(rules)
    if rules.overlap and rules.shortest < CLEAR:
        raise Refused("A piece that is lapped must be an inch long at least.")
    return _with(bench, replace(bench.pieces, rules=rules), Sentence("Change rules of pieces"))


def _with(bench: Bench, making: Making, text: Sentence) -> Edited:
    return Edited(bench if making == bench.pieces else replace(bench, pieces=making), text)
