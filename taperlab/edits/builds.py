"""Heads that are built from pieces: begun, one thing after the other written down, finished.

What is done is written down in the order of work: cut, joint after joint from the fly end with what
is trimmed before each, the loops, the last weighing.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from taperlab.edits.changing import SAME, checked, find, sound
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.jobs_follow import about_head
from taperlab.edits.lines import clean_name, fresh_line_key, fresh_line_name
from taperlab.edits.pieces import want_heads
from taperlab.edits.stock import add_stock, believe_stock, cut_plan, scaled
from taperlab.model.bench import Bench, fresh_key, fresh_name, keyed
from taperlab.model.build import BuildPiece, HeadBuild, JointMade
from taperlab.model.line import Line
from taperlab.model.pieces import Rules
from taperlab.model.stock import Stock
from taperlab.units.kinds import LENGTH
from taperlab.units.limits import MOST_BUILDS
from taperlab.units.sentence import Sentence, counted

NOT_CUT = Sentence("The pieces are not cut yet.")
JOINED = Sentence("That piece is joined already.")


def begin_builds(
    bench: Bench, builds: Sequence[HeadBuild], cuts: Mapping[str, Sequence[tuple[float, float]]]
) -> Edited:
    """Take the pieces of whole heads off the shelf and begin to build them, as one step.

    cuts: as ``cut_plan`` takes them. Keys and copies are given here; what was to be made is so many
    fewer now.
    """
    if not builds:
        raise Refused("No head has all its pieces.")
    if len(bench.builds) + len(builds) > MOST_BUILDS:
        raise Refused("A bench has at most {most} builds.", most=MOST_BUILDS)
    begun = list(bench.builds)
    for each in builds:
        sound(each)
        copies = [other.copy for other in begun if other.line == each.line]
        key = fresh_key({other.key for other in begun}, "build")
        pieces = tuple(_of_whole(bench, piece) for piece in each.pieces)
        copy = max(copies, default=0) + 1
        begun.append(replace(each, key=key, copy=copy, pieces=pieces))
        wanted = next((w for w in bench.pieces.wanted if w.line == each.line), None)
        if wanted is not None:
            bench = want_heads(bench, wanted.line, wanted.count - 1).bench
    text = counted("Cut and begin a build", "Cut and begin {count} builds", len(builds))
    # Begun first: no offcut gets the key of a spool that is used up, by which pieces are told.
    return Edited(cut_plan(replace(bench, builds=tuple(begun)), cuts).bench, text)


def _of_whole(bench: Bench, piece: BuildPiece) -> BuildPiece:
    """A piece that is to be cut, with how long its stock is if nothing was cut off that yet."""
    stock = keyed(bench.stock, piece.material.key)
    is_whole = stock is not None and not stock.leftover
    return replace(piece, opened=stock.whole_length if stock is not None and is_whole else None)


def weigh_piece(bench: Bench, key: str, index: int, mass: float | None) -> Edited:
    """Write down what a piece weighs as it was cut [kg], before bevel and trim; None drops it."""
    build = _find(bench, key)
    piece = _waiting(build, index)
    if mass is not None:
        checked(BuildPiece, "own", mass)
    weighed = replace(piece, own=mass, sure=piece.sure and mass == piece.own)
    return _with_piece(bench, build, index, weighed, Sentence("Weigh a piece"))


def trust_piece(bench: Bench, key: str, index: int, *, sure: bool = True) -> Edited:
    """What a piece weighs by itself, counted from 0, is right, however unlikely."""
    build = _find(bench, key)
    piece = _waiting(build, index)
    if piece.own is None:
        raise Refused("There is no such reading in the log.")
    return _with_piece(bench, build, index, replace(piece, sure=sure), Sentence("Trust a reading"))


def pieces_are_cut(bench: Bench, key: str) -> Edited:
    """The pieces are cut."""
    return _changed(bench, _find(bench, key), Sentence("Cut the pieces"), is_cut=True)


def weigh_tube(bench: Bench, key: str, mass: float | None) -> Edited:
    """What the tube of one weld weighs [kg], here and in builds to come; None forgets it."""
    build = _find(bench, key)
    if mass is not None:
        checked(Rules, "tube", mass)
    if build.rules.tubes_stay:
        raise Refused("The tubes of this build stay on: what they weigh is in its plan.")
    text = Sentence("Weigh a tube")
    after = _changed(bench, build, text, rules=replace(build.rules, tube=mass))
    rules = replace(bench.pieces.rules, tube=mass)
    if rules == bench.pieces.rules:
        return after
    making = replace(bench.pieces, rules=rules)
    return replace(after, bench=replace(after.bench, pieces=making))


def trim_piece(bench: Bench, key: str, index: int, length: float) -> Edited:
    """So much came off the rod end of a piece [m], before it is joined; nought leaves it so."""
    build = _find(bench, key)
    piece = _waiting(build, index)
    if not build.is_cut:
        raise Refused(NOT_CUT)
    _check_trim(length, piece.material.whole_length)
    after = replace(piece, trimmed=length)
    return _with_piece(bench, build, index, after, Sentence("Trim a piece"))


def make_joint(bench: Bench, key: str, mass: float | None) -> Edited:
    """The next joint is made; what the scale reads then [kg], None where it was not weighed."""
    build = _find(bench, key)
    if not build.is_cut:
        raise Refused(NOT_CUT)
    if len(build.joints) + 1 >= len(build.pieces):
        raise Refused("All pieces are joined.")
    if mass is not None:
        checked(JointMade, "mass", mass)
    joints = (*build.joints, JointMade(mass))
    return _changed(bench, build, Sentence("Log a joint"), joints=joints)


def weigh_joint(bench: Bench, key: str, number: int, mass: float) -> Edited:
    """What the scale read after a joint, from 1, was something else [kg]."""
    build = _find(bench, key)
    checked(JointMade, "mass", mass)
    return _with_joint(bench, build, number, Sentence("Weigh again"), mass=mass, sure=False)


def trust_joint(bench: Bench, key: str, number: int, *, sure: bool = True) -> Edited:
    """The reading after a joint, from 1, is right, however unlikely."""
    return _with_joint(bench, _find(bench, key), number, Sentence("Trust a reading"), sure=sure)


def trim_rear(bench: Bench, key: str, length: float) -> Edited:
    """So much came off the rod end after the last joint [m]; nought leaves it as it is."""
    build = _find(bench, key)
    _check_joined(build)
    if build.has_loops:
        raise Refused("The loops are on already.")
    _check_trim(length, build.pieces[-1].material.whole_length)
    return _changed(bench, build, Sentence("Trim the rod end"), rear_trimmed=length)


def make_loops(bench: Bench, key: str) -> Edited:
    """The end loops are on."""
    build = _find(bench, key)
    _check_joined(build)
    return _changed(bench, build, Sentence("Make the loops"), has_loops=True)


def weigh_finished(bench: Bench, key: str, mass: float | None) -> Edited:
    """What the finished head weighs [kg], loops on; None drops it."""
    build = _find(bench, key)
    _check_joined(build)
    if mass is not None:
        checked(HeadBuild, "last_reading", mass)
        build_after: dict[str, Any] = {"has_loops": True}
    else:
        build_after = {}
    text = Sentence("Weigh the head")
    return _changed(bench, build, text, last_reading=mass, sure_last=False, **build_after)


def trust_finished(bench: Bench, key: str, *, sure: bool = True) -> Edited:
    """What the finished head weighed is right, however unlikely."""
    build = _find(bench, key)
    if build.last_reading is None:
        raise Refused("There is no such reading in the log.")
    return _changed(bench, build, Sentence("Trust a reading"), sure_last=sure)


def take_back_step(bench: Bench, key: str) -> Edited:
    """Take the last thing that was done out of the log, as if it had not been done."""
    build = _find(bench, key)
    text = Sentence("Take back last step")
    if build.is_finished:
        raise Refused("The built head lies on the bench.")
    if build.last_reading is not None:
        return _changed(bench, build, text, last_reading=None, sure_last=False)
    if build.has_loops:
        return _changed(bench, build, text, has_loops=False)
    if build.rear_trimmed is not None:
        return _changed(bench, build, text, rear_trimmed=None)
    for index in reversed(range(joined(build), len(build.pieces))):
        piece = build.pieces[index]
        if piece.trimmed is not None:
            return _with_piece(bench, build, index, replace(piece, trimmed=None), text)
    if build.joints:
        return _changed(bench, build, text, joints=build.joints[:-1])
    if build.is_cut:
        return _changed(bench, build, text, is_cut=False)
    raise Refused("Nothing was done yet.")


def tell_shelf(bench: Bench, key: str, told: Mapping[str, tuple[float, float]]) -> Edited:
    """Have the shelf, and other heads in work, believe what one head told of its batches.

    told: by the key of the stock how many times as heavy per length it is, and the standard
    deviation of that, as a share. Stock that is used up is passed over.
    """
    build = _find(bench, key)
    if build.was_told:
        raise Refused("The stock was told of this head already.")
    before = bench
    for stock, (factor, error) in told.items():
        if keyed(bench.stock, stock) is not None:
            bench = believe_stock(bench, stock, factor, error).bench
    if bench is before:
        raise Refused("There is nothing left of that stock to tell.")
    # Its own readings told it: they do not count a second time.
    after = replace(build, was_told=True)
    builds = tuple(after if each.key == key else each for each in bench.builds)
    return Edited(replace(bench, builds=builds), Sentence("Tell the stock"))


def finish_build(bench: Bench, key: str, head: Line, name: str, note: str) -> Edited:
    """Put a head on the bench as it was built, beside the line that it was designed as.

    Jobs in work on that line go on with the built head.
    """
    build = _find(bench, key)
    if build.is_finished:
        raise Refused("The built head lies on the bench.")
    _check_joined(build)
    sound(head)
    named = fresh_line_name(bench, clean_name(name))
    fresh = replace(head, key=fresh_line_key(bench), name=named, note=note)
    design = keyed(bench.lines, build.line)
    at = bench.lines.index(design) + 1 if design is not None else len(bench.lines)
    lines = (*bench.lines[:at], fresh, *bench.lines[at:])
    view = replace(bench.view, line=fresh.key)
    after = _changed(
        bench, build, Sentence("Put built head on bench"), is_finished=True, built=fresh.key
    )
    told = replace(after.bench, lines=lines, view=view)
    if design is not None:
        told = about_head(told, design.key, fresh.key)
    return replace(after, bench=told, line=fresh.key)


def give_up_build(bench: Bench, key: str) -> Edited:
    """Stop building a head: pieces that are not joined yet go back on the shelf.

    Those that were not cut yet are on their spool still, where that is level, and a spool that was
    whole before is so again once it has all of them; others lie there by themselves.
    """
    build = _find(bench, key)
    if build.is_finished:
        return delete_build(bench, key)
    names = {each.name for each in bench.stock}
    left = []
    for piece in build.pieces[joined(build) :]:
        rest = leftover(piece)
        if rest is None:
            continue
        spool = keyed(bench.stock, rest.key)
        if not build.is_cut and spool is not None and _is_of(spool, rest):
            length = spool.length + rest.length
            cost = None if spool.cost is None else spool.cost * length / spool.length
            whole = replace(spool, length=length, cost=cost)
            again = math.isclose(whole.whole_length, piece.opened or 0.0, rel_tol=SAME)
            whole = sound(replace(whole, leftover=spool.leftover and not again))
            shelf = tuple(whole if each is spool else each for each in bench.stock)
            bench = replace(bench, stock=shelf)
            continue
        name = fresh_name(names, rest.name)
        names.add(name)
        left.append(replace(rest, name=name))
    if left:
        bench = add_stock(bench, left).bench
    return replace(delete_build(bench, key), text=Sentence("Give up a build"))


def _is_of(spool: Stock, piece: Stock) -> bool:
    """Whether both are one level material, so that they are told by their length alone."""
    same = (spool.front_diameter, spool.core) == (piece.front_diameter, piece.core)
    return spool.is_level and piece.is_level and same


def delete_build(bench: Bench, key: str) -> Edited:
    """Take the log of a build off the bench; a built head stays there."""
    build = _find(bench, key)
    builds = tuple(each for each in bench.builds if each is not build)
    return Edited(replace(bench, builds=builds), Sentence("Delete a build"))


def joined(build: HeadBuild) -> int:
    """How many pieces are joined, from the fly end; none before the first joint."""
    return len(build.joints) + 1 if build.joints else 0


def leftover(piece: BuildPiece) -> Stock | None:
    """What there is of a piece, as stock; None where that is too short to cut."""
    material, off = piece.material, piece.trimmed or 0.0
    whole = material.whole_length
    if whole - off < LENGTH.lowest:
        return None
    # Its own rod end is the front of the stock where it is turned.
    low, high = (off, whole) if piece.turned else (0.0, whole - off)
    rest = scaled(material, piece.heavier) if piece.heavier != 1.0 else material
    return replace(rest.remainder(low, high), cost=None)


# -- finding and changing --------------------------------------------------------------------------


def _find(bench: Bench, key: str) -> HeadBuild:
    return find(bench.builds, key, Sentence("That build is no longer on the bench."))


def _waiting(build: HeadBuild, index: int) -> BuildPiece:
    """A piece that is not joined yet. Raises Refused."""
    if not 0 <= index < len(build.pieces):
        raise Refused("There is no such piece.")
    if index < joined(build) or (build.has_loops and len(build.pieces) == 1):
        raise Refused(JOINED)
    return build.pieces[index]


def _check_joined(build: HeadBuild) -> None:
    if not build.is_joined:
        raise Refused("The pieces are not all joined yet.")


def _check_trim(length: float, whole: float) -> None:
    if not (math.isfinite(length) and length >= 0.0):
        raise Refused("Type what was trimmed off.")
    if length >= whole:
        raise Refused("That is more than there is of the piece.")


def _with_piece(
    bench: Bench, build: HeadBuild, index: int, piece: BuildPiece, text: Sentence
) -> Edited:
    pieces = (*build.pieces[:index], piece, *build.pieces[index + 1 :])
    return _changed(bench, build, text, pieces=pieces)


def _with_joint(
    bench: Bench, build: HeadBuild, number: int, text: Sentence, **changes: Any
) -> Edited:
    if not 1 <= number <= len(build.joints):
        raise Refused("There is no such joint in the log.")
    if changes.get("sure") and build.joints[number - 1].mass is None:
        raise Refused("There is no such reading in the log.")
    made = replace(build.joints[number - 1], **changes)
    joints = (*build.joints[: number - 1], made, *build.joints[number:])
    return _changed(bench, build, text, joints=joints)


def _changed(bench: Bench, build: HeadBuild, text: Sentence, **changes: Any) -> Edited:
    after = replace(build, **changes)
    if after == build:
        return Edited(bench, text)
    builds = tuple(sound(after) if each is build else each for each in bench.builds)
    return Edited(replace(bench, builds=builds), text)
