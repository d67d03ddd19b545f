"""Keeping lines as they are under a name, and bringing back what was kept."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import find, find_line, with_line, without_blanks
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.jobs_forget import without_version
from taperlab.edits.lines import clean_name, forgetting, fresh_line_key, fresh_line_name
from taperlab.model.bench import Bench, fresh_key, fresh_name, keyed
from taperlab.model.version import Version
from taperlab.units.limits import MOST_VERSIONS
from taperlab.units.sentence import Sentence


def keep_version(bench: Bench, line: str, name: str, date: str, note: str = "") -> Edited:
    """Keep a line as it is now. date: of today, such as 2026-03-14.

    Without a name it is called by its number, such as Version 3; a name that another version of
    the line has gets a number behind it.
    """
    whole = find_line(bench, line)
    if not whole.segments:
        raise Refused("{line} has no segments to keep.", line=whole.name)
    if len(bench.versions) >= MOST_VERSIONS:
        raise Refused(
            "A bench keeps at most {most} versions; delete some first.", most=MOST_VERSIONS
        )
    taken = _names(bench, line)
    named = fresh_name(taken, " ".join(name.split()) or usual_name(bench, line))
    key = fresh_key({each.key for each in bench.versions}, "version")
    kept = Version(key, line, named, date, whole, note)
    text = Sentence("Keep {version} of {line}", version=named, line=whole.name)
    return Edited(replace(bench, versions=(*bench.versions, kept)), text)


def usual_name(bench: Bench, line: str, word: str = "Version") -> str:
    """What the next version of a line is called unless it is named: the word and its number."""
    taken = _names(bench, line)
    numbers = range(len(taken) + 1, 2 * len(taken) + 2)
    return next(each for each in (f"{word} {n}" for n in numbers) if each not in taken)


def rename_version(bench: Bench, version: str, name: str) -> Edited:
    """Give a version another name, which no other version of its line has."""
    old = find_version(bench, version)
    named = without_blanks(name, Sentence("A version needs a name."))
    if named != old.name and named in _names(bench, old.of):
        raise Refused("There is a version “{name}” already.", name=named)
    return _with(bench, old, replace(old, name=named), Sentence("Rename version"))


def note_version(bench: Bench, version: str, note: str) -> Edited:
    """Write a note on a version."""
    old = find_version(bench, version)
    return _with(bench, old, replace(old, note=note), Sentence("Change the note on a version"))


def drop_version(bench: Bench, version: str) -> Edited:
    """Delete a version; it is laid over no more, and jobs forget it."""
    old = find_version(bench, version)
    kept = tuple(each for each in bench.versions if each is not old)
    over = tuple(key for key in bench.view.version_overlays if key != version)
    view = replace(bench.view, version_overlays=over)
    text = Sentence("Delete {version}", version=old.name)
    after = without_version(replace(bench, versions=kept, view=view), version)
    return Edited(after, text)


def bring_back(bench: Bench, version: str) -> Edited:
    """Make a line what a version of it is: its style, segments, joints and loops.

    Its name, its note, its goals and how closely it is made stay. Raises Refused where it is gone.
    """
    old = find_version(bench, version)
    line, was = keyed(bench.lines, old.of), old.line
    if line is None:
        raise Refused(
            "The line that {version} is of is no longer on the bench; put {version} on the bench "
            "as a line of its own.",
            version=old.name,
        )
    after = replace(
        line,
        style=was.style,
        segments=was.segments,
        joints=was.joints,
        front_loop=was.front_loop,
        rear_loop=was.rear_loop,
    )
    edited = with_line(bench, line, after, Sentence("Bring back {version}", version=old.name))
    if edited.bench is bench:
        return edited
    view = replace(edited.bench.view, line=line.key)
    return replace(edited, bench=replace(edited.bench, view=view))


def put_version_on_bench(bench: Bench, version: str) -> Edited:
    """Put a version on the bench as a line of its own, behind its line, and make it current."""
    old = find_version(bench, version)
    key = fresh_line_key(bench)
    name = fresh_line_name(bench, clean_name(f"{old.line.name}, {old.name}"))
    kept = {each.key for each in bench.lines}
    goals = {each.line for each in old.line.aim.goals if each.line is not None}
    made = replace(forgetting(old.line, goals - kept), key=key, name=name)
    of = keyed(bench.lines, old.of)
    at = bench.lines.index(of) + 1 if of is not None else len(bench.lines)
    lines = (*bench.lines[:at], made, *bench.lines[at:])
    after = replace(bench, lines=lines, view=replace(bench.view, line=key, rig=None))
    text = Sentence("Put {version} on the bench", version=old.name)
    return Edited(after, text, line=key)


def find_version(bench: Bench, key: str) -> Version:
    """The version with this key. Raises Refused."""
    return find(bench.versions, key, Sentence("That version is no longer on the bench."))


def _names(bench: Bench, line: str) -> set[str]:
    return {each.name for each in bench.versions if each.of == line}


def _with(bench: Bench, old: Version, new: Version, text: Sentence) -> Edited:
    if new == old:
        return Edited(bench, text)
    versions = tuple(new if each is old else each for each in bench.versions)
    return Edited(replace(bench, versions=versions), text)
