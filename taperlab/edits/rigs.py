"""Looping lines of a bench together into rigs, and saying how rigs are fished."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from taperlab.edits.changing import find, find_line, sound, without_blanks
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.jobs_follow import about_other_head
from taperlab.edits.jobs_forget import with_rigs_alone
from taperlab.model.bench import Bench, fresh_key, fresh_name
from taperlab.model.line import Line
from taperlab.model.rig import Fly, Leader, Rig
from taperlab.model.swing import Swing
from taperlab.physics.head import head_problem
from taperlab.units.sentence import Sentence


def make_rig(
    bench: Bench, head: str, ahead: Sequence[str], behind: str | None = None, name: str = ""
) -> Edited:
    """Loop lines to a head, ``ahead`` nearest the fly first; named after them unless told."""
    lines = _lines(bench, (*ahead, head, *((behind,) if behind else ())))
    key = fresh_key({each.key for each in bench.rigs}, "rig")
    usual = " + ".join(line.name for line in lines)
    taken = {each.name for each in bench.rigs}
    named = fresh_name(taken, " ".join(name.split()) or usual)
    rig = Rig(key, named, head, tuple(ahead), behind)
    return Edited(replace(bench, rigs=(*bench.rigs, rig)), Sentence("Make rig"))


def duplicate_rig(bench: Bench, rig: str) -> Edited:
    """Put a copy of a rig behind the others, of the same lines."""
    old = _find(bench, rig)
    key = fresh_key({each.key for each in bench.rigs}, "rig")
    name = fresh_name({each.name for each in bench.rigs}, f"{old.name} copy")
    rigs = (*bench.rigs, replace(old, key=key, name=name))
    return Edited(replace(bench, rigs=rigs), Sentence("Duplicate rig"))


def loop_otherwise(
    bench: Bench, rig: str, head: str, ahead: Sequence[str], behind: str | None = None
) -> Edited:
    """Loop other lines together in a rig; it keeps its name, its leader and its fly."""
    old = _find(bench, rig)
    _lines(bench, (*ahead, head, *((behind,) if behind else ())))
    new = replace(old, head=head, ahead=tuple(ahead), behind=behind)
    after = about_other_head(bench, rig, head)
    return _with(after, old, new, Sentence("Loop otherwise"))


def describe_rig(
    bench: Bench, rig: str, name: str, leader: Leader | None, fly: Fly | None, note: str
) -> Edited:
    """Give a rig its name, what is tied to it, and a note. None: as rigs are fished here."""
    old = _find(bench, rig)
    sound((leader, fly))
    name = without_blanks(name, Sentence("A rig needs a name."))
    new = replace(old, name=name, leader=leader, fly=fly, note=note)
    return _with(bench, old, new, Sentence("Describe rig"))


def rename_rig(bench: Bench, rig: str, name: str) -> Edited:
    """Give a rig another name."""
    old = _find(bench, rig)
    named = without_blanks(name, Sentence("A rig needs a name."))
    return _with(bench, old, replace(old, name=named), Sentence("Rename rig"))


def delete_rig(bench: Bench, rig: str) -> Edited:
    """Take a rig apart; its lines stay on the bench."""
    old = _find(bench, rig)
    kept = tuple(each for each in bench.rigs if each is not old)
    return Edited(without_rigs(bench, kept), Sentence("Take rig apart"))


def without_rigs(bench: Bench, kept: tuple[Rig, ...]) -> Bench:
    """The bench with these of its rigs alone: those that are gone are not looked at either."""
    keys, view = {each.key for each in kept}, bench.view
    over = tuple(key for key in view.rig_overlays if key in keys)
    shown = view.rig if view.rig in keys else None
    bench = with_rigs_alone(bench, keys)
    return replace(bench, rigs=kept, view=replace(view, rig=shown, rig_overlays=over))


def set_swing(bench: Bench, swing: Swing) -> Edited:
    """Say how rigs are fished where their depths are told."""
    sound(swing)
    after = bench if swing == bench.swing else replace(bench, swing=swing)
    return Edited(after, Sentence("Change how it is fished"))


def _lines(bench: Bench, keys: Sequence[str]) -> list[Line]:
    """Lines of the bench, if they can be looped together as they are. Raises Refused."""
    if len(set(keys)) < len(keys):
        raise Refused("A rig can’t hold the same line twice.")
    if len(keys) < 2:
        raise Refused("A rig needs a line to loop to its head.")
    lines = [find_line(bench, key) for key in keys]
    for line in lines:
        if problem := head_problem(line):
            raise Refused("{line} can’t be looped: {why}", line=line.name, why=problem.sentence)
    return lines


def _find(bench: Bench, key: str) -> Rig:
    return find(bench.rigs, key, Sentence("That rig is no longer on the bench."))


def _with(bench: Bench, old: Rig, new: Rig, text: Sentence) -> Edited:
    if new == old:
        return Edited(bench, text)
    rigs = tuple(new if each is old else each for each in bench.rigs)
    return Edited(replace(bench, rigs=rigs), text)
