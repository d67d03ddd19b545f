"""What commands share about rigs: the options that loop lines together, a leader and a fly."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    Refusal,
    about,
    bench_asked,
    line_named,
    not_one_of,
    typed_if_given,
)
from taperlab.units.kinds import System
from taperlab.units.language import tr

if TYPE_CHECKING:
    from taperlab.model.bench import Bench
    from taperlab.model.line import Line
    from taperlab.model.rig import Fly, Leader, Rig
    from taperlab.shop.rig import Looped

_FLIES = ("light", "weighted", "bulky")


def add_rig_options(parser: argparse.ArgumentParser) -> None:
    """Options that loop lines to the head."""
    parser.add_argument(
        "--rig", metavar="NAME", help=tr("a rig of the bench, with all that is looped and tied")
    )
    parser.add_argument(
        "--ahead",
        metavar="LINE",
        action="append",
        default=[],
        help=tr("loop a line ahead of it: one of the bench or a CSV file; nearest the fly first"),
    )
    parser.add_argument(
        "--behind",
        metavar="LINE",
        action="append",
        default=[],
        help=tr("loop a line behind the head, ahead of any running line"),
    )


def add_fly_options(parser: argparse.ArgumentParser) -> None:
    """Options for what is tied to the rig."""
    parser.add_argument("--leader", metavar="LENGTH", help=tr("else none"))
    parser.add_argument("--leader-diameter", metavar="D", help=tr("else 0.012 in"))
    parser.add_argument("--leader-density", metavar="D", help=tr("else 1.14 g/cm³"))
    parser.add_argument("--fly", choices=_FLIES, help=tr("where its numbers are not known"))
    parser.add_argument("--fly-weight", metavar="W", help=tr("in water; else 3 gr"))
    parser.add_argument("--fly-mass", metavar="W", help=tr("in air; else 8 gr"))
    parser.add_argument(
        "--fly-drag", metavar="AREA", help=tr("drag coefficient times area; else 1 cm²")
    )


def rig_asked(
    asked: argparse.Namespace, line: Line, bench: Bench, file: Path, system: System
) -> Looped:
    """The line with what is to be looped to it, leader and fly where those are asked about."""
    from taperlab.shop.rig import looped, tied
    from taperlab.units.finding import Impossible

    ahead, behind = (
        [_line_or_file(asked, option, name, bench, file) for name in names]
        for option, names in (("--ahead", asked.ahead), ("--behind", asked.behind))
    )
    leader, fly = None, None
    rig = _rig_named(asked, bench, file)
    if rig is not None:
        rig = tied(rig, bench)
        ahead = [bench.line(key) for key in rig.ahead]
        behind = [bench.line(rig.behind)] if rig.behind else []
    if "leader" in asked:
        leader, fly = _leader(asked, system), _fly(asked, system)
        if rig is not None:
            leader = leader or rig.leader
            fly = fly if _is_fly_told(asked) else rig.fly
    try:
        return looped(line, ahead, behind, leader, fly)
    except Impossible as problem:
        raise about(file, problem.sentence, system) from None


def rig_name(asked: argparse.Namespace, bench: Bench, file: Path) -> str:
    """The name of the rig that is asked about; nothing where lines are looped on the spot."""
    rig = _rig_named(asked, bench, file)
    return rig.name if rig is not None else ""


def shown(asked: argparse.Namespace, bench: Bench, file: Path) -> Bench:
    """The bench with the line, or the rig, that is asked for as what is looked at.

    Lines looped on the spot are a rig of it for once.
    """
    from taperlab.shop.rig import of_rig
    from taperlab.units.finding import Impossible

    if not is_looped(asked):
        if asked.line is None:
            return bench
        line = line_named(asked.line, bench, file)
        return replace(bench, view=replace(bench.view, line=line.key, rig=None))
    bench, rig = _rig_asked(asked, bench, file)
    try:
        of_rig(rig, bench)
    except Impossible as problem:
        raise about(file, problem.sentence, System(asked.units)) from None
    return replace(bench, view=replace(bench.view, line=rig.head, rig=rig.key))


def _rig_asked(asked: argparse.Namespace, bench: Bench, file: Path) -> tuple[Bench, Rig]:
    """The rig that is asked for, and a bench that has it and all its lines."""
    from taperlab.model.bench import fresh_key
    from taperlab.model.rig import Rig

    rig = _rig_named(asked, bench, file)
    if rig is not None:
        return bench, rig
    if len(asked.behind) > 1:
        raise Refusal("--behind: expected one line behind the head of a rig that is shown")
    head, others = line_named(asked.line, bench, file), []
    options = ["--ahead"] * len(asked.ahead) + ["--behind"] * len(asked.behind)
    for option, name in zip(options, (*asked.ahead, *asked.behind), strict=True):
        other = _line_or_file(asked, option, name, bench, file)
        if other is head or other in others:
            raise Refusal("{option}: a rig can’t hold “{line}” twice", option=option, line=name)
        if other not in bench.lines:
            other = replace(other, key=fresh_key({each.key for each in bench.lines}, "line"))
            bench = replace(bench, lines=(*bench.lines, other))
        others.append(other)
    ahead, behind = others[: len(asked.ahead)], others[len(asked.ahead) :]
    key = fresh_key({each.key for each in bench.rigs}, "rig")
    made = Rig(
        key,
        " + ".join(each.name for each in (*ahead, head, *behind)),
        head.key,
        tuple(each.key for each in ahead),
        next((each.key for each in behind), None),
    )
    return replace(bench, rigs=(*bench.rigs, made)), made


def is_looped(asked: argparse.Namespace) -> bool:
    """Whether any line is to be looped to the head."""
    return bool(asked.ahead or asked.behind or asked.rig)


def head_asked(asked: argparse.Namespace, bench: Bench, file: Path) -> Line:
    """The head that is asked about: that of a rig, or the line that is named, or the current."""
    rig = _rig_named(asked, bench, file)
    return line_named(asked.line, bench, file) if rig is None else bench.line(rig.head)


def _rig_named(asked: argparse.Namespace, bench: Bench, file: Path) -> Rig | None:
    name = asked.rig
    if name is None:
        return None
    if asked.ahead or asked.behind or asked.line is not None:
        raise Refusal("--rig: a rig says what is looped: leave out --line, --ahead and --behind")
    for rig in bench.rigs:
        if name in (rig.name, rig.key):
            if not {*rig.lines} <= {line.key for line in bench.lines}:
                raise Refusal(
                    "{file}: {rig} has a line that is no longer there", file=file, rig=name
                )
            return rig
    raise not_one_of("--rig", name, file, [rig.name for rig in bench.rigs])


def _is_fly_told(asked: argparse.Namespace) -> bool:
    told = (asked.fly, asked.fly_weight, asked.fly_mass, asked.fly_drag)
    return any(each is not None for each in told)


def _line_or_file(
    asked: argparse.Namespace, option: str, name: str, bench: Bench, file: Path
) -> Line:
    """A line of the bench by name or key, or that of a file."""
    for line in bench.lines:
        if name in (line.name, line.key):
            return line
    path = Path(name)
    if path.is_file():
        found = bench_asked(asked, path).current_line
        if found is None:
            raise Refusal("{file} has no lines; expected at least one", file=path)
        return found
    raise not_one_of(option, name, file, [line.name for line in bench.lines])


def _leader(asked: argparse.Namespace, system: System) -> Leader | None:
    from taperlab.model.rig import Leader
    from taperlab.units.kinds import DENSITY, DIAMETER, LENGTH

    length = typed_if_given("--leader", asked.leader, LENGTH, system)
    diameter = typed_if_given("--leader-diameter", asked.leader_diameter, DIAMETER, system)
    density = typed_if_given("--leader-density", asked.leader_density, DENSITY, system)
    if length is None:
        if diameter is not None or density is not None:
            raise Refusal("--leader: expected a length with --leader-diameter or --leader-density")
        return None
    leader = Leader(length)
    return replace(
        leader,
        diameter=leader.diameter if diameter is None else diameter,
        density=leader.density if density is None else density,
    )


def _fly(asked: argparse.Namespace, system: System) -> Fly:
    from taperlab.model.rig import FlyKind
    from taperlab.trade.flies import flies
    from taperlab.units.kinds import DRAG_AREA, FLY_MASS, FLY_WEIGHT

    words = dict(zip(_FLIES, (FlyKind.LIGHT, FlyKind.WEIGHTED, FlyKind.BULKY), strict=True))
    fly = flies()[words.get(asked.fly, FlyKind.USUAL)].fly
    weight = typed_if_given("--fly-weight", asked.fly_weight, FLY_WEIGHT, system)
    mass = typed_if_given("--fly-mass", asked.fly_mass, FLY_MASS, system)
    drag = typed_if_given("--fly-drag", asked.fly_drag, DRAG_AREA, system)
    return replace(
        fly,
        # Only a fly that was weighed is known better than its kind.
        kind=fly.kind if weight is None else FlyKind.OWN,
        weight=fly.weight if weight is None else weight,
        mass=fly.mass if mass is None else mass,
        drag_area=fly.drag_area if drag is None else drag,
    )
