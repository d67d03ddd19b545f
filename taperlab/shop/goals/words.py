"""Goals in words: what is wanted, what was reached, what moved, and why some cannot be met."""

from __future__ import annotations

from collections.abc import Mapping

from taperlab.edits.changing import same
from taperlab.model.aim import Cell, Goal, GoalKind
from taperlab.model.line import Line
from taperlab.shop.goals.study import Answer, Change, Outcome
from taperlab.shop.goals.targets import Aimed
from taperlab.shop.goals.unknowns import FAR, Place, cell_value, may_move
from taperlab.shop.goals.why import Alone, AtLimit, Lock, Opened, Why
from taperlab.units.kinds import DENSITY, DIAMETER
from taperlab.units.sentence import (
    NOTHING,
    Apart,
    Density,
    Diameter,
    Distance,
    OnTape,
    Quantity,
    Ratio,
    Sentence,
    Several,
    Share,
    SinkRate,
    Value,
    Weight,
    WeightPerLength,
    any_of,
)


def figure(kind: GoalKind, value: float) -> Quantity | OnTape:
    """A figure of a goal's kind [SI] as it is shown."""
    if kind in (GoalKind.WEIGHT, GoalKind.RUNNING):
        return Weight(value)
    if kind in (GoalKind.LENGTH, GoalKind.BALANCE):
        return OnTape(value)
    return {
        GoalKind.FRONT: Share,
        GoalKind.RATIO: Ratio,
        GoalKind.STEP: Ratio,
        GoalKind.TIP: WeightPerLength,
        GoalKind.THICKEST: WeightPerLength,
        GoalKind.DIAMETER: Diameter,
        GoalKind.SINK: SinkRate,
    }[kind](value)


def range_words(kind: GoalKind, low: float, high: float) -> Sentence:
    """A number, or from what to what: ``540.0 gr``, ``480.0 gr to 500.0 gr``."""
    one, other = figure(kind, low), figure(kind, high)
    alike = Sentence("{value}", value=one)
    if same(low, high):
        return alike
    ranged = Sentence("{low} to {high}", low=one, high=other)
    return Sentence("{range}", range=Apart(one, other, ranged, alike))


def goal_name(goal: Goal, others: Mapping[str, str]) -> Sentence:
    """Which figure a goal is for. others: names of lines by key."""
    name = others.get(goal.line or "", "")
    if goal.kind is GoalKind.RUNNING:
        return Sentence("running weight at {place}", place=Distance(goal.at or 0.0))
    if goal.kind is GoalKind.STEP:
        return Sentence("joint step behind {line}", line=name)
    return Sentence("{figure}", figure=goal.kind)


def wanted_words(aim: Aimed, others: Mapping[str, str]) -> Sentence:
    """What a goal wants: a range, or another line's figure."""
    found = range_words(aim.goal.kind, aim.low, aim.high)
    if aim.goal.matches:
        name = others.get(aim.goal.line or "", "")
        return Sentence("{value}, as {line} has", value=found, line=name)
    return found


def wanted_short(aim: Aimed) -> Sentence:
    """What a goal wants, as a heading says it."""
    return range_words(aim.goal.kind, aim.low, aim.high)


def outcome_words(outcome: Outcome) -> Sentence:
    """What became of a goal: ``met at 480.1 gr, was 479.6 gr``."""
    kind = outcome.aim.goal.kind
    was, now = figure(kind, outcome.was), figure(kind, outcome.reached)
    names: dict[str, Value] = {"now": now, "was": was}
    if outcome.met:
        met = Sentence("met at {now}, was {was}", **names)
        stays = Sentence("met at {now}", **names)
    else:
        met = Sentence("nearest {now}, was {was}", **names)
        stays = Sentence("is {now}", **names)
    return Sentence("{said}", said=Apart(was, now, met, stays))


# -- cells and what moved -----------------------------------------------------------------------


def cell_figure(cell: Cell, value: float) -> Quantity | OnTape:
    """What a cell holds, as it is shown."""
    if cell is Cell.LENGTH:
        return OnTape(value)
    return Density(value) if cell is Cell.DENSITY else Diameter(value)


def cells_words(line: Line, cells: tuple[Place, ...]) -> Sentence:
    """Cells that are one dimension: ``2 front taper, length``, ``where 2 and 3 meet, ⌀``."""
    rows = sorted({row for row, _ in cells})
    cell = cells[0][1]
    numbers = Several(tuple(row + 1 for row in rows))
    if cell is Cell.DENSITY and len(rows) > 1:
        return Sentence("density of segments {rows}", rows=numbers)
    named = Sentence("{row} {part}", row=rows[0] + 1, part=line.segments[rows[0]].part)
    if cell is Cell.LENGTH:
        if len(rows) > 1:
            return Sentence("lengths of segments {rows}", rows=numbers)
        return Sentence("{segment}, length", segment=named)
    if cell is Cell.DENSITY:
        return Sentence("{segment}, density", segment=named)
    level = [row for row in rows if {(row, Cell.FRONT), (row, Cell.REAR)} <= set(cells)]
    if len(level) == 1:
        row = level[0]
        whole = Sentence("{row} {part}", row=row + 1, part=line.segments[row].part)
        return Sentence("{segment}, ⌀", segment=whole)
    if len(rows) > 1:
        return Sentence("where {rows} meet, ⌀", rows=numbers)
    if cell is Cell.FRONT:
        return Sentence("{segment}, front ⌀", segment=named)
    return Sentence("{segment}, rear ⌀", segment=named)


def change_by(change: Change) -> Quantity | OnTape:
    """By how much a dimension moved, in its own unit, with a sign."""
    cell, by = change.cells[0][1], change.after - change.before
    if cell is Cell.LENGTH:
        return OnTape(by, signed=True)
    return Quantity(DENSITY if cell is Cell.DENSITY else DIAMETER, by, signed=True)


def change_words(line: Line, change: Change) -> Sentence:
    """One thing that moved: which, by how much and to what."""
    return Sentence(
        "{cells}: {by}, to {value}",
        cells=cells_words(line, change.cells),
        by=change_by(change),
        value=cell_figure(change.cells[0][1], change.after),
    )


def may_move_words(line: Line) -> Sentence:
    """What may move of a line's head, and how far, before anything moves."""
    rows = [row for row, each in enumerate(line.segments) if each.part.in_head]
    told: list[Value] = []
    for cell, what in (
        (Cell.LENGTH, Sentence("lengths by {share}", share=Share(FAR[Cell.LENGTH]))),
        (Cell.FRONT, Sentence("diameters by {share}", share=Share(FAR[Cell.FRONT]))),
        (Cell.DENSITY, Sentence("densities by {share}", share=Share(FAR[Cell.DENSITY]))),
    ):
        kinds = (Cell.FRONT, Cell.REAR) if cell is Cell.FRONT else (cell,)
        if any(may_move(line, row, each) for row in rows for each in kinds):
            told.append(what)
    if not told:
        return Sentence("Nothing may move: every column or cell is locked.")
    return Sentence("May move: {things}.", things=Several(tuple(told)))


def locked_words(line: Line) -> Sentence:
    """Which cells of the head are locked by themselves."""
    told: list[Value] = []
    for row, segment in enumerate(line.segments):
        cells = [hold.cell for hold in segment.holds if hold.locked]
        if segment.part.in_head and cells:
            named = Sentence("{row} {part}", row=row + 1, part=segment.part)
            if set(cells) >= {Cell.LENGTH, Cell.FRONT, Cell.REAR}:
                told.append(named)
            else:
                what = Several(tuple(cells))
                told.append(Sentence("{segment} ({cells})", segment=named, cells=what))
    return Sentence("Locked: {cells}.", cells=Several(tuple(told))) if told else NOTHING


# -- why not ------------------------------------------------------------------------------------


def quarrel_title(why: Why) -> Sentence:
    """``520.0 gr and 31 ft: not with these locks`` — never that it is impossible, unless proved."""
    wanted = Several(tuple(wanted_short(aim) for aim in why.quarrel))
    if why.locks and any(each.met for each in why.locks):
        return Sentence("{goals}: not with these locks", goals=wanted)
    if why.proved:
        return Sentence("{goals}: out of reach of what may move", goals=wanted)
    return Sentence("{goals}: no way found", goals=wanted)


def nearest_words(answer: Answer) -> Sentence:
    """What is drawn where goals are not met."""
    told = tuple(figure(each.aim.goal.kind, each.reached) for each in answer.outcomes)
    return Sentence("Drawn: the nearest, {figures}.", figures=Several(told))


def alone_words(alone: Alone, quarrel: tuple[Aimed, ...], others: Mapping[str, str]) -> Sentence:
    """What one goal could be if it alone gave way: ``with 31 ft, head weight at most 481.4 gr``."""
    kind, rest = alone.aim.goal.kind, [each for each in quarrel if each is not alone.aim]
    name = goal_name(alone.aim.goal, others)
    if alone.value is None:
        return Sentence("Without a goal for {name} the others are not met either.", name=name)
    value = figure(kind, alone.value)
    most = alone.value < alone.aim.low
    if not rest:
        if most:
            return Sentence("{name} at most {value}", name=name, value=value)
        return Sentence("{name} at least {value}", name=name, value=value)
    kept = Several(tuple(wanted_short(each) for each in rest))
    if most:
        return Sentence("with {kept}, {name} at most {value}", kept=kept, name=name, value=value)
    return Sentence("with {kept}, {name} at least {value}", kept=kept, name=name, value=value)


def lock_words(line: Line, lock: Lock) -> Sentence:
    """A lock that stands in the way: ``4 belly, ⌀ 0.104 in``."""
    if lock.columns:
        return {
            Cell.LENGTH: Sentence("all lengths"),
            Cell.FRONT: Sentence("all diameters"),
            Cell.DENSITY: Sentence("all densities"),
        }[lock.columns[0]]
    row, cell = lock.cells[0]
    value = cell_figure(cell, cell_value(line.segments[row], cell))
    return Sentence("{cells} {value}", cells=cells_words(line, lock.cells), value=value)


def opened_words(opened: Opened, quarrel: tuple[Aimed, ...]) -> Sentence:
    """What opening a lock gives: ``unlocked, 31 ft can weigh 257.0 gr to 604.0 gr``."""
    gives, reach = opened.gives, opened.reach
    if gives is None or reach is None:
        return Sentence("unlocked, it comes nearer")
    ranged = range_words(gives.goal.kind, *reach)
    rest = [each for each in quarrel if each.goal.of != gives.goal.of]
    if not rest:
        return Sentence("unlocked, from {range}", range=ranged)
    kept = Several(tuple(wanted_short(each) for each in rest))
    return Sentence("unlocked, {kept} goes with {range}", kept=kept, range=ranged)


def limit_words(line: Line, limit: AtLimit) -> Sentence:
    """A dimension at the end of what it may be."""
    cells, cell = cells_words(line, limit.cells), limit.cells[0][1]
    value = cell_figure(cell, limit.value)
    if limit.at_most:
        return Sentence("{cells}: at its most, {value}", cells=cells, value=value)
    return Sentence("{cells}: at its least, {value}", cells=cells, value=value)


def why_sentence(line: Line, why: Why, others: Mapping[str, str]) -> Sentence:
    """The whole of it as one sentence, for a terminal."""
    told = [quarrel_title(why)]
    told += [alone_words(each, why.quarrel, others) for each in why.alone]
    ways: list[Value] = [lock_words(line, each.lock) for each in why.locks]
    if ways:
        told.append(Sentence("opening {locks} would help", locks=any_of(ways)))
    elif why.limits:
        told.append(limit_words(line, why.limits[0]))
    return Sentence("{things}", things=Several(tuple(told), "{others}; {last}"))


def names_of(lines: tuple[Line, ...]) -> Mapping[str, str]:
    """Names of lines by key."""
    return {line.key: line.name for line in lines}
