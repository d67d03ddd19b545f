"""Making a range of a line, and changing what is asked of its members."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from taperlab.edits.cells import Value, paste_cells
from taperlab.edits.changing import find, find_line, sound, without_blanks
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.lines import clean_name, fresh_line_key, fresh_line_name
from taperlab.model.bench import Bench, fresh_key, fresh_name
from taperlab.model.line import Line
from taperlab.model.range import LengthRule, Member, Range, ThicknessRule
from taperlab.physics.head import head_problem
from taperlab.units.columns import Column
from taperlab.units.limits import MOST_MEMBERS
from taperlab.units.sentence import Sentence, counted


def make_range(
    bench: Bench,
    parent: str,
    masses: Sequence[float],
    rods: Sequence[float] = (),
    name: str = "",
    *,
    is_rounded: bool = False,
) -> Edited:
    """Grade a line over weights of its head [kg], for rods of these lengths [m].

    rods: one for each weight, one for all, or none: the rod that the parent is for. is_rounded:
    to what a tape and a micrometer show.
    """
    line = find_line(bench, parent)
    if problem := head_problem(line):
        raise Refused("{line} can’t be graded: {why}", line=line.name, why=problem.sentence)
    key = fresh_key({each.key for each in bench.ranges}, "range")
    taken = {each.name for each in bench.ranges}
    named = fresh_name(taken, " ".join(name.split()) or line.name)
    members = sound(members_of(masses, rods))
    made = Range(key, named, parent, members, is_rounded=is_rounded)
    return Edited(replace(bench, ranges=(*bench.ranges, made)), Sentence("Make range"))


def members_of(masses: Sequence[float], rods: Sequence[float]) -> tuple[Member, ...]:
    """Members that are to weigh so much [kg], for rods of these lengths [m]. Raises Refused."""
    if not masses:
        raise Refused("A range needs a weight at least.")
    if len(masses) > MOST_MEMBERS:
        raise Refused("A range has at most {most} members.", most=MOST_MEMBERS)
    if len(rods) not in (0, 1, len(masses)):
        raise Refused(
            "There are {weights} weights and {rods} rods: give one rod for each weight, one for "
            "all, or none.",
            weights=len(masses),
            rods=len(rods),
        )
    lengths: Sequence[float | None] = rods or [None]
    if len(lengths) == 1:
        lengths = [lengths[0]] * len(masses)
    for value in (*masses, *rods):
        if not 0.0 < value < math.inf:
            raise Refused("Weights and rods of a range must be above zero.")
    return tuple(Member(mass, rod) for mass, rod in zip(masses, lengths, strict=True))


def ask_members(
    bench: Bench, key: str, masses: Sequence[float], rods: Sequence[float] = ()
) -> Edited:
    """Ask a range for other weights [kg] and rods [m].

    A member that was edited by hand stays so where it is asked for again; with as many members as
    before it keeps its place.
    """
    old = _find(bench, key)
    asked = sound(members_of(masses, rods))
    if len(asked) == len(old.members):
        kept = tuple(
            replace(was, mass=new.mass, rod=new.rod)
            for was, new in zip(old.members, asked, strict=True)
        )
    else:
        left = list(old.members)
        kept = tuple(_taken_from(left, new) for new in asked)
    return _with(bench, old, replace(old, members=kept), Sentence("Change weights and rods"))


def _taken_from(left: list[Member], new: Member) -> Member:
    for member in left:
        if (member.mass, member.rod) == (new.mass, new.rod):
            left.remove(member)
            return member
    return new


def change_member(bench: Bench, key: str, index: int, mass: float, rod: float | None) -> Edited:
    """Ask one member for another weight [kg], or for another rod [m], or that of the parent."""
    old = _find(bench, key)
    member = _member(old, index)
    for value in (mass, *(() if rod is None else (rod,))):
        if not 0.0 < value < math.inf:
            raise Refused("Weights and rods of a range must be above zero.")
    new = sound(replace(member, mass=mass, rod=rod))
    return _with(bench, old, _with_member(old, index, new), Sentence("Change member"))


def add_member(bench: Bench, key: str, mass: float, rod: float | None) -> Edited:
    """Ask a range for one weight more [kg], for a rod [m] or that of the parent."""
    old = _find(bench, key)
    if len(old.members) >= MOST_MEMBERS:
        raise Refused("A range has at most {most} members.", most=MOST_MEMBERS)
    (new,) = members_of([mass], [] if rod is None else [rod])
    added = replace(old, members=(*old.members, sound(new)))
    return _with(bench, old, added, Sentence("Add member"))


def remove_members(bench: Bench, key: str, indices: Sequence[int]) -> Edited:
    """Take members out of a range; one at least stays."""
    old = _find(bench, key)
    for index in indices:
        _member(old, index)
    kept = tuple(each for i, each in enumerate(old.members) if i not in indices)
    if not kept:
        raise Refused("A range keeps one member at least: delete the range instead.")
    text = counted("Take member out", "Take {count} members out", len(set(indices)))
    return _with(bench, old, replace(old, members=kept), text)


def set_rules(bench: Bench, key: str, length: LengthRule, thickness: ThicknessRule) -> Edited:
    """Say what lengths and diameters of the members go by."""
    old = _find(bench, key)
    new = replace(old, length=length, thickness=thickness)
    return _with(bench, old, new, Sentence("Change how members follow"))


def set_basis(
    bench: Bench, key: str, rod: float | None, tip: float | None, *, is_rounded: bool
) -> Edited:
    """Say which rod [m] the parent is for, how long a tip counts [m], and whether it is rounded.

    rod None: the one chosen on the bench. tip None: as long as the first tip on the bench.
    """
    old = _find(bench, key)
    if not (rod is None or 0.0 < rod < math.inf) or not (tip is None or 0.0 <= tip < math.inf):
        raise Refused("The rod must be above zero, and the tip zero or more.")
    new = sound(replace(old, rod=rod, tip=tip, is_rounded=is_rounded))
    return _with(bench, old, new, Sentence("Change the range"))


def grade_from(bench: Bench, key: str, parent: str) -> Edited:
    """Grade another line over the same weights and rods."""
    old, line = _find(bench, key), find_line(bench, parent)
    if problem := head_problem(line):
        raise Refused("{line} can’t be graded: {why}", line=line.name, why=problem.sentence)
    return _with(bench, old, replace(old, parent=parent), Sentence("Grade another line"))


def edit_by_hand(bench: Bench, key: str, index: int, own: Line) -> Edited:
    """Make a member what a person wants it to be; from now on it no longer follows the parent."""
    old = _find(bench, key)
    member = _member(old, index)
    if problem := head_problem(own):
        raise Refused("A member must be a head in one piece: {why}", why=problem.sentence)
    new = replace(member, own=sound(own))
    return _with(bench, old, _with_member(old, index, new), Sentence("Edit member by hand"))


def type_by_hand(
    bench: Bench, key: str, index: int, line: Line, cells: Mapping[tuple[int, Column], Value]
) -> Edited:
    """Type into cells of a member as it lies there; from now on it no longer follows the parent.

    cells: as for pasting into a line, from its first segment on; ends that meet stay together.
    """
    alone = Bench((line,), water=bench.water)
    typed = paste_cells(alone, line.key, 0, cells)
    if typed.bench is alone:
        return Edited(bench, typed.text)
    return edit_by_hand(bench, key, index, typed.bench.lines[0])


def follow_again(bench: Bench, key: str, index: int) -> Edited:
    """Let a member follow the parent again; what was edited by hand is dropped."""
    old = _find(bench, key)
    new = replace(_member(old, index), own=None)
    return _with(bench, old, _with_member(old, index, new), Sentence("Follow the parent again"))


def lay_on_bench(bench: Bench, members: Sequence[Line]) -> Edited:
    """Put members on the bench as lines of their own; the current line stays what it was."""
    if not members:
        raise Refused("There is no member to put on the bench.")
    sound(tuple(members))
    after = bench
    for member in members:
        name = fresh_line_name(after, clean_name(member.name))
        line = replace(member, key=fresh_line_key(after), name=name)
        after = replace(after, lines=(*after.lines, line))
    current = bench.current_line
    if current is not None:
        after = replace(after, view=replace(after.view, line=current.key))
    text = counted("Put member on the bench", "Put {count} members on the bench", len(members))
    return Edited(after, text)


def rename_range(bench: Bench, key: str, name: str) -> Edited:
    """Give a range another name."""
    old = _find(bench, key)
    named = without_blanks(name, Sentence("A range needs a name."))
    return _with(bench, old, replace(old, name=named), Sentence("Rename range"))


def delete_range(bench: Bench, key: str) -> Edited:
    """Drop a range; its parent, and members that were put on the bench, stay."""
    old = _find(bench, key)
    kept = tuple(each for each in bench.ranges if each is not old)
    return Edited(replace(bench, ranges=kept), Sentence("Delete range"))


def _find(bench: Bench, key: str) -> Range:
    return find(bench.ranges, key, Sentence("That range is no longer on the bench."))


def _member(found: Range, index: int) -> Member:
    if not 0 <= index < len(found.members):
        raise Refused("That member is no longer in the range.")
    return found.members[index]


def _with_member(found: Range, index: int, new: Member) -> Range:
    members = tuple(new if i == index else each for i, each in enumerate(found.members))
    return replace(found, members=members)


def _with(bench: Bench, old: Range, new: Range, text: Sentence) -> Edited:
    if new == old:
        return Edited(bench, text)
    ranges = tuple(new if each is old else each for each in bench.ranges)
    return Edited(replace(bench, ranges=ranges), text)
