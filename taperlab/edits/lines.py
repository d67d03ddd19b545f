"""Putting lines on a bench, taking them off, naming and ordering them."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from taperlab.edits.changing import find_line, sound, with_line, without_blanks
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.jobs_forget import without_line
from taperlab.edits.rigs import without_rigs
from taperlab.model.bench import Bench, fresh_key, fresh_name
from taperlab.model.build import HeadBuild
from taperlab.model.line import Line, Loop, Style
from taperlab.units.sentence import Sentence, counted


def add_line(bench: Bench, name: str) -> Edited:
    """Put an empty line on the bench and make it current."""
    line = Line(fresh_line_key(bench), fresh_line_name(bench, clean_name(name)))
    return _current(replace(bench, lines=(*bench.lines, line)), line.key, Sentence("Add line"))


def add_begun_line(bench: Bench, line: Line) -> Edited:
    """Put a line that was begun from goals on the bench and make it current."""
    if not line.segments:
        raise Refused("A line without segments can’t be put on the bench.")
    sound((line,))
    key, name = fresh_line_key(bench), fresh_line_name(bench, clean_name(line.name))
    made = replace(forgetting(line, _others_of(line)), key=key, name=name)
    return _current(replace(bench, lines=(*bench.lines, made)), key, Sentence("Add line"))


def duplicate_line(bench: Bench, line: str) -> Edited:
    """Put a copy of a line behind it and make the copy current."""
    whole = find_line(bench, line)
    copy = replace(
        whole, key=fresh_line_key(bench), name=fresh_line_name(bench, f"{whole.name} copy")
    )
    at = bench.lines.index(whole) + 1
    lines = (*bench.lines[:at], copy, *bench.lines[at:])
    return _current(replace(bench, lines=lines), copy.key, Sentence("Duplicate line"))


def _built_without(build: HeadBuild, line: str) -> HeadBuild:
    if line not in (build.line, build.built):
        return build
    return replace(
        build,
        line=None if build.line == line else build.line,
        built=None if build.built == line else build.built,
    )


def delete_line(bench: Bench, line: str) -> Edited:
    """Take a line off the bench; if it was current, the next one (or the last) is.

    Its cut-backs, its ranges and the rigs that hold it go with it, and measurements that were
    compared with it, goals that were of it, jobs about it and heads that are built to it forget it:
    its key may name another line one day. Its versions stay; where there are any, no other line
    gets its key.
    """
    whole = find_line(bench, line)
    at = bench.lines.index(whole)
    lines = (*bench.lines[:at], *bench.lines[at + 1 :])
    view = replace(bench.view, overlays=tuple(key for key in bench.view.overlays if key != line))
    if bench.current_line is whole:
        view = replace(view, line=lines[min(at, len(lines) - 1)].key if lines else None)
    after = replace(
        bench,
        lines=lines,
        view=view,
        cut_backs=tuple(job for job in bench.cut_backs if job.line != line),
        measurements=tuple(
            replace(each, line=None) if each.line == line else each for each in bench.measurements
        ),
        ranges=tuple(each for each in bench.ranges if each.parent != line),
        pieces=bench.pieces.without(line),
        builds=tuple(_built_without(each, line) for each in bench.builds),
    )
    after = without_rigs(after, tuple(rig for rig in bench.rigs if line not in rig.lines))
    after = without_line(after, line)
    after = replace(after, lines=tuple(forgetting(each, {line}) for each in after.lines))
    gone = len(bench.rigs) - len(after.rigs)
    text = Sentence("Delete line")
    if gone:
        text = counted(
            "Delete line and the rig that it is in", "Delete line and {count} rigs", gone
        )
    if len(after.ranges) < len(bench.ranges):
        text = Sentence("{deleted}, and what was graded from it", deleted=text)
    return Edited(after, text, line=view.line)


def rename_line(bench: Bench, line: str, name: str) -> Edited:
    """Give a line another name."""
    whole = find_line(bench, line)
    return with_line(bench, whole, replace(whole, name=clean_name(name)), Sentence("Rename line"))


def set_style(bench: Bench, line: str, style: Style) -> Edited:
    """Say what kind of line it is."""
    whole = find_line(bench, line)
    return with_line(bench, whole, replace(whole, style=style), Sentence("Change style"))


def describe_line(
    bench: Bench,
    line: str,
    name: str,
    style: Style,
    front_loop: Loop,
    rear_loop: Loop,
    note: str,
) -> Edited:
    """Give a line its name, style, loops and note in one step."""
    whole = find_line(bench, line)
    sound((front_loop, rear_loop))
    described = replace(
        whole,
        name=clean_name(name),
        style=style,
        front_loop=front_loop,
        rear_loop=rear_loop,
        note=note,
    )
    return with_line(bench, whole, described, Sentence("Describe line"))


def add_lines_from(bench: Bench, other: Bench) -> Edited:
    """Put copies of another bench's lines on this one and make the first current."""
    if not other.lines:
        raise Refused("There are no lines on that bench.")
    sound(other.lines)
    after, first = bench, ""
    for line in other.lines:
        copy: Line = replace(
            forgetting(line, {each.key for each in other.lines}),
            key=fresh_line_key(after),
            name=fresh_line_name(after, line.name),
        )
        first = first or copy.key
        after = replace(after, lines=(*after.lines, copy))
    return _current(after, first, counted("Add line", "Add {count} lines", len(other.lines)))


def _others_of(line: Line) -> set[str]:
    """The other lines that goals of a line are of."""
    return {each.line for each in line.aim.goals if each.line is not None}


def forgetting(line: Line, others: Collection[str]) -> Line:
    """The line without goals that are of other lines, which are gone or go by other keys."""
    goals = tuple(each for each in line.aim.goals if each.line not in others)
    if len(goals) == len(line.aim.goals):
        return line
    return replace(line, aim=replace(line.aim, goals=goals))


def _current(bench: Bench, key: str, text: Sentence) -> Edited:
    return Edited(replace(bench, view=replace(bench.view, line=key)), text, line=key)


def clean_name(name: str) -> str:
    """A line's name without needless blanks. Raises Refused where nothing is left."""
    return without_blanks(name, Sentence("A line needs a name."))


def fresh_line_key(bench: Bench) -> str:
    """A key that no line of the bench has, and none that was kept as a version and is gone."""
    kept = {version.of for version in bench.versions}
    return fresh_key({line.key for line in bench.lines} | kept, "line")


def fresh_line_name(bench: Bench, name: str) -> str:
    """The name, with a number behind it if a line of the bench has it."""
    return fresh_name({line.name for line in bench.lines}, name)
