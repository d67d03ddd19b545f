"""What two states of one bench differ in, in a few plain words."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from taperlab.model.bench import Bench, Keyed, View
from taperlab.model.build import HeadBuild
from taperlab.model.cut_log import CutBack
from taperlab.model.job import Job
from taperlab.model.line import Line
from taperlab.model.measurement import Measurement
from taperlab.model.range import Range
from taperlab.model.rig import Rig
from taperlab.model.rod import Rod
from taperlab.model.stock import Stock
from taperlab.model.version import Version
from taperlab.physics.profile import Profile
from taperlab.units.sentence import NOTHING, Length, Sentence, Weight, counted

MOST = 5
"""Differences that are told one by one; the rest are counted."""


def is_alike(one: Bench, other: Bench) -> bool:
    """Whether two benches hold the same work, whatever of it was looked at last."""
    return replace(one, view=View()) == replace(other, view=View())


def differences(bench: Bench, other: Bench, here: Sentence, there: Sentence) -> Sentence | None:
    """What a bench has that another state of it has not, and the other way round.

    here, there: where the two are, such as "in the copy". None where they are alike.
    """
    found = [
        *_of(bench.lines, other.lines, _line, here, there),
        *_of(bench.rods, other.rods, _rod, here, there),
        *_of(bench.stock, other.stock, _material, here, there),
        *_of(bench.measurements, other.measurements, _measurement, here, there),
        *_of(bench.rigs, other.rigs, _rig, here, there),
        *_of(bench.ranges, other.ranges, _range, here, there),
        *_of(bench.versions, other.versions, _version, here, there),
        *_of(bench.cut_backs, other.cut_backs, _cut_back(bench, other), here, there),
        *_of(bench.jobs, other.jobs, _job, here, there),
        *_of(bench.builds, other.builds, _build, here, there),
    ]
    if bench.rod != other.rod:
        found.append(Sentence("another rod is chosen"))
    if bench.water != other.water:
        found.append(Sentence("the water differs"))
    if bench.note != other.note:
        found.append(Sentence("the note on the bench differs"))
    if bench.pieces != other.pieces:
        found.append(Sentence("what is to be made of stock differs"))
    if _cast(bench) != _cast(other):
        found.append(Sentence("how lines are cast and fished differs"))
    if not found:
        return None if is_alike(bench, other) else Sentence("the order of things differs")
    if len(found) > MOST + 1:
        more = len(found) - MOST
        rest = counted("{count} more difference", "{count} more differences", more)
        found = [*found[:MOST], rest]
    said = found[0]
    for each in found[1:]:
        said = Sentence("{difference}; {next}", difference=said, next=each)
    return said


def _of(
    mine: Sequence[Keyed],
    theirs: Sequence[Keyed],
    describe: Callable[..., tuple[Sentence, Sentence]],
    here: Sentence,
    there: Sentence,
) -> list[Sentence]:
    """Differences between things of one kind, by their keys.

    describe: what a thing is called, and how much there is of it.
    """
    by_key = {each.key: each for each in theirs}
    found = []
    for each in mine:
        if each.key not in by_key:
            found.append(Sentence("{thing} only {here}", thing=describe(each)[0], here=here))
    for each in theirs:
        if each.key not in {one.key for one in mine}:
            found.append(Sentence("{thing} only {here}", thing=describe(each)[0], here=there))
    for each in mine:
        twin = by_key.get(each.key, each)
        if twin != each:
            (thing, amount), (_, other) = describe(each), describe(twin)
            if amount == other:
                found.append(Sentence("{thing} differs", thing=thing))
            else:
                found.append(
                    Sentence(
                        "{thing} has {amount} {here}, {other} {there}",
                        thing=thing,
                        amount=amount,
                        here=here,
                        other=other,
                        there=there,
                    )
                )
    return found


def _line(line: Line) -> tuple[Sentence, Sentence]:
    amount = counted(
        "{count} segment ({length}, {weight})",
        "{count} segments ({length}, {weight})",
        len(line.segments),
        length=Length(line.length),
        weight=Weight(Profile.of(line).total_mass),
    )
    return Sentence("line “{name}”", name=line.name), amount


def _rig(rig: Rig) -> tuple[Sentence, Sentence]:
    amount = counted("{count} line", "{count} lines", len(rig.lines))
    return Sentence("rig “{name}”", name=rig.name), amount


def _range(found: Range) -> tuple[Sentence, Sentence]:
    amount = counted("{count} member", "{count} members", len(found.members))
    return Sentence("range “{name}”", name=found.name), amount


def _version(version: Version) -> tuple[Sentence, Sentence]:
    named = Sentence("version “{name}” of “{line}”", name=version.name, line=version.line.name)
    return named, NOTHING


def _job(job: Job) -> tuple[Sentence, Sentence]:
    name = job.ticket or job.customer
    named = Sentence("job “{name}”", name=name) if name else Sentence("a job without a name")
    return named, NOTHING


def _build(build: HeadBuild) -> tuple[Sentence, Sentence]:
    return Sentence("what is built as “{name}”", name=build.name), NOTHING


def _cast(bench: Bench) -> tuple[object, ...]:
    return bench.swing, bench.behind, bench.throw, bench.answers


def _rod(rod: Rod) -> tuple[Sentence, Sentence]:
    amount = counted("{count} grain window", "{count} grain windows", len(rod.windows))
    return Sentence("rod “{name}”", name=rod.name), amount


def _material(stock: Stock) -> tuple[Sentence, Sentence]:
    return Sentence("stock “{name}”", name=stock.name), NOTHING


def _measurement(measurement: Measurement) -> tuple[Sentence, Sentence]:
    count = len(measurement.stations)
    amount = counted("{count} station", "{count} stations", count)
    return Sentence("measurement “{name}”", name=measurement.name), amount


def _cut_back(*benches: Bench) -> Callable[[CutBack], tuple[Sentence, Sentence]]:
    names = {line.key: line.name for bench in benches for line in bench.lines}

    def describe(cut_back: CutBack) -> tuple[Sentence, Sentence]:
        amount = counted("{count} cut", "{count} cuts", len(cut_back.steps))
        name = names.get(cut_back.line, cut_back.line)
        return Sentence("cut-back of “{name}”", name=name), amount

    return describe
