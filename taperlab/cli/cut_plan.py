"""The plan for one head, as ``taperlab cut`` is asked for it."""

from __future__ import annotations

import argparse
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.cli.asking import (
    Refusal,
    about,
    bench_asked,
    line_named,
    rod_named,
    typed,
    typed_if_given,
    window_typed,
)
from taperlab.cli.rigs import head_asked, is_looped, rig_asked

if TYPE_CHECKING:
    from taperlab.model.bench import Bench
    from taperlab.model.cut_log import CutBack, Target
    from taperlab.model.line import Line
    from taperlab.model.rod import Rod, Window
    from taperlab.shop.cut_back.goal import Goal, NoPlan
    from taperlab.shop.cut_back.one_cut import Figures
    from taperlab.shop.cut_back.staged import Staged
    from taperlab.shop.rig import Looped
    from taperlab.units.kinds import System
    from taperlab.units.sentence import Sentence
WINDOW_PLACES = {"window-low": 0.0, "window-middle": 0.5, "window-high": 1.0}


@dataclass(frozen=True, slots=True)
class Found:
    """A cut-back that was asked for, and what there is to say of it.

    doubt: why it does not go by the line's measurement, though there is one. rig: what the head is
    looped to, once it is cut where a cut was found.
    """

    bench: Bench
    line: Line
    job: CutBack
    rod: Rod | None
    goal: Goal
    before: Figures
    answer: Staged | NoPlan
    weighed: bool
    system: System
    doubt: Sentence | None = None
    rig: Looped | None = None


def planned(
    asked: argparse.Namespace,
    file: Path,
    line_name: str | None,
    to: str | None,
    scale: str | None,
    where: str,
) -> Found:
    """The plan for one head; ``where``: what to name to a person where something is wrong."""
    from taperlab.edits.cut_back import cut_back_of, measured_for, new_cut_back
    from taperlab.edits.edited import Refused
    from taperlab.physics.head import head_of
    from taperlab.physics.profile import Profile
    from taperlab.shop.cut_back.belief import Measured
    from taperlab.shop.cut_back.disagreement import Disagreement
    from taperlab.shop.cut_back.goal import NoPlan, goal_of, window_for
    from taperlab.shop.cut_back.one_cut import Plan, figures_of
    from taperlab.shop.cut_back.staged import Staged, staged_cut
    from taperlab.shop.cut_back.start import known_start, start_doubt
    from taperlab.shop.instruments import usual_instruments
    from taperlab.units.kinds import WEIGHT, System
    from taperlab.units.sentence import counted

    system, place = System(asked.units), Path(where)
    reading = typed_if_given("--scale", scale, WEIGHT, system)
    bench = bench_asked(asked, file)
    rigged = asked.rig is not None
    line = head_asked(asked, bench, file) if rigged else line_named(line_name, bench, file)
    rod = _rod(asked, bench, file, line, system)
    window = _window(asked, line, system)
    target = _target(asked, to, line, rod, system)
    logged = cut_back_of(bench, line)
    if logged is not None and logged.steps:
        begun = counted(
            "{line} has a cut in its log already: go on with it in the window.",
            "{line} has {count} cuts in its log already: go on with it in the window.",
            len(logged.steps),
            line=line.name,
        )
        raise about(place, begun, system)
    try:
        rig = rig_asked(asked, line, bench, file, system) if is_looped(asked) else None
        job = _told(asked, new_cut_back(line, target, usual_instruments(system)), system)
    except Refused as refused:
        raise about(place, refused.sentence, system) from None
    if rig is not None and rig.head:
        # The joint ahead of the head counts as one within it does.
        tip = rig.joints[rig.head - 1].ahead
        job = replace(job, limits=replace(job.limits, tip_linear_density=tip))
    if reading is not None:
        line = _scaled_to_reading(line, reading, place, system, sure=asked.anyway)
    # The stages are for a head that is weighed before the first cut and, for all that is known
    # here, reads what it should.
    head = head_of(line)
    measured = measured_for(bench, line)
    start = known_start(measured, line)
    doubt = start_doubt(measured, line) if reading is None else None
    if reading is not None or not isinstance(start, Measured):
        job = replace(job, first_reading=Profile.of(head).total_mass, sure=asked.anyway)
    if window is None:
        window = window_for(head, rod)
    goal = goal_of(target, head, rod, window)
    if isinstance(goal, NoPlan):
        raise about(place, goal.sentence, system)
    before = figures_of(head, job.limits, rod.length if rod else None)
    answer = staged_cut(line, job, rod, window=window, start=start)
    if isinstance(answer, Disagreement):
        raise about(place, answer.sentence, system)
    if isinstance(answer, Staged) and isinstance(answer.whole, Plan):
        before = answer.whole.before
    if rig is not None and isinstance(answer, Staged) and isinstance(answer.whole, Plan):
        rig = rig_asked(asked, answer.whole.line, bench, file, system)
    weighed = reading is not None or isinstance(start, Measured)
    return Found(bench, line, job, rod, goal, before, answer, weighed, system, doubt, rig)


def _rod(
    asked: argparse.Namespace, bench: Bench, file: Path, line: Line, system: System
) -> Rod | None:
    from taperlab.model.rod import Rod
    from taperlab.units.kinds import ROD_LENGTH

    length = typed_if_given("--rod-length", asked.rod_length, ROD_LENGTH, system)
    if length is not None:
        return Rod("rod", "", length)
    rod = rod_named(asked.rod, bench, file) if asked.rod else bench.chosen_rod
    window = _window(asked, line, system)
    return rod if rod is None or window is None else replace(rod, windows=(window,))


def _window(asked: argparse.Namespace, line: Line, system: System) -> Window | None:
    from taperlab.model.rod import Window

    if asked.window is None:
        return None
    return Window(line.style, *window_typed(asked.window, system))


def _target(
    asked: argparse.Namespace, to: str | None, line: Line, rod: Rod | None, system: System
) -> Target:
    from taperlab.model.cut_log import Target, TargetKind
    from taperlab.units.kinds import LENGTH, RATIO, WEIGHT

    if to is None:
        length = typed_if_given("--to-length", asked.to_length, LENGTH, system)
        ratio = typed_if_given("--to-ratio", asked.to_ratio, RATIO, system)
        if length is not None:
            return Target(TargetKind.LENGTH, length)
        if ratio is not None:
            return Target(TargetKind.RATIO, ratio)
        raise Refusal("expected one of --to, --to-length and --to-ratio; see --help")
    words = to.casefold().split()
    if to.strip().casefold() in WINDOW_PLACES:
        return Target(TargetKind.WINDOW, WINDOW_PLACES[to.strip().casefold()])
    if words[:1] == ["line"]:
        return _size(to, words[1:], line, rod)
    return Target(TargetKind.WEIGHT, typed("--to", to, WEIGHT, system))


def _size(to: str, words: list[str], line: Line, rod: Rod | None) -> Target:
    """A size of the standards: ``8``, ``8 single-hand``, ``8 two-handed`` or ``8 M``."""
    from taperlab.edits.cut_back import head_to_cut
    from taperlab.edits.edited import Refused
    from taperlab.model.cut_log import Target, TargetKind
    from taperlab.model.line import Style
    from taperlab.trade.line_weights import two_handed_class, two_handed_classes

    letters = {each.letter.casefold(): each.letter for each in two_handed_classes()}
    number, which = words[:1], words[1] if len(words) == 2 else ""
    known = ("", "single-hand", "two-handed", *letters)
    if len(words) > 2 or not number or not number[0].isdigit() or which not in known:
        raise Refusal(
            '--to: found “{text}”, expected such as "line 8", "line 8 single-hand", "line 8 '
            'two-handed" or "line 8 {letter}"',
            text=to,
            letter=next(iter(letters.values())),
        )
    size = float(number[0])
    if size == 0.0:
        raise Refusal("--to: there is no line 0")
    if which in letters:
        return Target(TargetKind.TWO_HANDED_SIZE, size, letters[which])
    if not which:
        one_hand = line.style is Style.SINGLE_HAND or (rod is not None and not rod.two_handed)
        if line.style is Style.OTHER and rod is None:
            try:
                one_hand = two_handed_class(head_to_cut(line).length) is None
            except Refused:
                one_hand = True
        which = "single-hand" if one_hand else "two-handed"
    kind = TargetKind.SINGLE_HAND_SIZE if which == "single-hand" else TargetKind.TWO_HANDED_SIZE
    return Target(kind, size)


def _told(asked: argparse.Namespace, job: CutBack, system: System) -> CutBack:
    """The cut-back with ends, loops and limits as asked."""
    from taperlab.model.cut_log import CutEnd, Limits
    from taperlab.units.kinds import LENGTH, RATIO, SHARE, SHORT_LENGTH, SMALL_WEIGHT

    share = typed_if_given("--share-rear", asked.share_rear, SHARE, system)
    if share is not None:
        if asked.end != "both":
            raise Refusal("--share-rear: expected only with --from both")
        job = replace(job, front_share=1.0 - share)
    fold = typed_if_given("--loop-fold", asked.loop_fold, SHORT_LENGTH, system)
    mass = typed_if_given("--loop-weight", asked.loop_weight, SMALL_WEIGHT, system)
    front, rear = (
        replace(
            loop,
            fold=loop.fold if fold is None else fold,
            mass=loop.mass if mass is None else mass,
        )
        for loop in (job.front_loop, job.rear_loop)
    )
    shortest = typed_if_given("--shortest", asked.shortest, LENGTH, system)
    step = typed_if_given("--most-step", asked.most_step, RATIO, system)
    limits = Limits(shortest=shortest or 0.0, keep_front_taper=asked.keep_front_taper)
    if step is not None:
        limits = replace(limits, largest_step=step)
    return replace(job, end=CutEnd(asked.end), front_loop=front, rear_loop=rear, limits=limits)


def _scaled_to_reading(
    line: Line, reading: float, file: Path, system: System, *, sure: bool
) -> Line:
    """The line as heavy as the scale says that it is, all of it."""
    from taperlab.physics.profile import Profile
    from taperlab.physics.trim import scaled_to
    from taperlab.shop.cut_back.disagreement import ODD
    from taperlab.units.finding import Impossible
    from taperlab.units.sentence import Weight

    try:
        scaled = scaled_to(line, reading)
    except Impossible as error:
        raise Refusal(
            "{file}: --scale: {line} can’t weigh {reading}. {why}",
            file=file,
            line=line.name,
            reading=Weight(reading),
            why=error.sentence,
            units=system,
        ) from None
    described = Profile.of(line).total_mass
    if abs(reading / described - 1.0) > ODD and not sure:
        raise Refusal(
            "{file}: --scale: found {reading}, but by its description {line} weighs {described}; "
            "weigh it again, or say --anyway if that is right",
            file=file,
            reading=Weight(reading),
            line=line.name,
            described=Weight(described),
            units=system,
        )
    return scaled
