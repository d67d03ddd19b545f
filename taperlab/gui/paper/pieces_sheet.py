"""A cutting plan on paper: what is cut from what stock, and the sheet to build each head by."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from taperlab.gui.paper.layout.blocks import (
    FIGURE,
    Block,
    Cell,
    Column,
    Entry,
    Form,
    HeadBlock,
    Heading,
    NewPage,
    ScaleRule,
    Sheet,
    Table,
    Tick,
    TickOff,
    Together,
    WriteIn,
    number,
)
from taperlab.gui.paper.layout.drawing import Drawing, Label, Numbered
from taperlab.gui.paper.layout.said import InSystem, begun
from taperlab.gui.paper.parts import finished_as, outline_of, short_cautions_of, today
from taperlab.model.bench import Bench
from taperlab.model.exact_units import GRAIN
from taperlab.model.line import LoopKind
from taperlab.shop.errors import WeightError
from taperlab.shop.pieces.building import Build, Checkpoint
from taperlab.shop.pieces.finished import finished_line, places
from taperlab.shop.pieces.outcome import Piece, PiecesStudy
from taperlab.shop.pieces.remarks import remarks
from taperlab.shop.pieces.tubes import tube_of
from taperlab.shop.pieces.welding import weld_problems
from taperlab.shop.pieces.words import (
    gap_words,
    on_scale_words,
    piece_name,
    place_words,
    rule_words,
    short_order_words,
)
from taperlab.shop.whole import Whole, whole_line
from taperlab.shop.wording import WholeWeight, head_floats, loop_in_short, window_words
from taperlab.trade.cautions import Topic
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import (
    NOTHING,
    Length,
    Number,
    OnTape,
    Ratio,
    RodLength,
    Sentence,
    Several,
    SmallWeight,
    Unbroken,
    Value,
    Weight,
    any_of,
    in_a_row,
    one_after_another,
    render,
)
from taperlab.units.show import shown_unit
from taperlab.units.words import heading

TOPICS = (Topic.BLADE, Topic.HEAT, Topic.FUMES, Topic.ADHESIVE)

TOO_HEAVY = {System.US: GRAIN, System.METRIC: 1e-4}
"""The surplus that rules are told for [kg]: a grain, or a tenth of a gram."""


def pieces_sheet(found: PiecesStudy, bench: Bench) -> Sheet:
    """The sheets of a cutting plan, with room to tick each cut and to write what was weighed.

    Of several heads what is cut from the stock comes first, and each begins a page.
    """
    warnings = [each.sentence for each in remarks(found)]
    heads = [number for number in range(len(found.heads)) if any(found.of_head(number))]
    blocks: list[Block] = []
    if len(heads) != 1:
        blocks += [*_plan(found), *short_cautions_of(TOPICS, warnings)]
    for at in heads:
        blocks += [NewPage(), *_head(found, at, bench)]
        mind = warnings if len(heads) == 1 else ()
        blocks += [*short_cautions_of(TOPICS, mind), ScaleRule()]
    names = Several(tuple(dict.fromkeys(head.line.name for head in found.heads)))
    title = Sentence("Build sheet: {names}", names=names)
    return Sheet(title, tuple(blocks), subject=tr("Pieces from stock"))


def _plan(found: PiecesStudy) -> list[Block]:
    """What is cut from which stock, for all heads together."""
    names = Several(tuple(dict.fromkeys(head.line.name for head in found.heads)))
    columns = (
        Column(tr("Stock")),
        Column(tr("Cuts, from its front"), bold=True, grow=2.0),
        number(tr("Left")),
        Column(tr("Done")),
    )
    rows = tuple(
        (
            Cell(each.stock.name, below=(each.stock.place,) if each.stock.place else ()),
            Several(tuple(Unbroken(OnTape(length)) for length in each.cuts)),
            OnTape(each.left),
            Tick(),
        )
        for each in found.plan
    )
    under = Sentence("{names} · {date}", names=names, date=today())
    blocks: list[Block] = [HeadBlock(tr("Cut from the stock"), tr("Cutting plan"), under)]
    if rows:
        blocks.append(Table(columns, rows, below=gap_words(found)))
    return blocks


def _head(found: PiecesStudy, at: int, bench: Bench) -> list[Block]:
    """The sheet of one head."""
    line = finished_line(found, at)
    if line is None:
        return []
    whole = whole_line(line, bench.water)
    build = found.builds[at]
    points = found.checkpoints(at)
    blocks: list[Block] = [
        _top(whole, bench, points[-1].mass if points else None),
        _drawing(found, at, whole),
        _cuts(found, at),
    ]
    if build is not None and points:
        tube = _tube(found, build)
        loops = (line.front_loop, line.rear_loop)
        looped = any(each.kind is not LoopKind.NONE or each.fold for each in loops)
        blocks.append(_joints(points, build, _warned(found, at), tube, looped=looped))
    return [*blocks, _finish(whole)]


def _top(whole: Whole, bench: Bench, mass: float | None) -> HeadBlock:
    """The head in short. mass: what it comes out at, its loops on [kg], where that is known."""
    head, fit = whole.head, whole.on_rod(bench.chosen_rod, bench)
    over = Sentence("Build sheet · {style} · {date}", style=heading(whole.line.style), date=today())
    under: Sentence = NOTHING
    told: Sentence = Sentence("head, loops on")
    if head is not None:
        share = Number(head.front_taper_mass_share * 100.0)
        about = Sentence(
            "front taper {percent} % · {floats}", percent=share, floats=head_floats(head)
        )
        if fit:
            rod, ratio = RodLength(fit.rod_length), Ratio(fit.ratio)
            about = Sentence("{rod} rod, ratio {ratio} · {rest}", rod=rod, ratio=ratio, rest=about)
        under = about
        mass = head.mass if mass is None else mass
    if fit and fit.window:
        edges = window_words(fit.window.lightest, fit.window.heaviest)
        told = Sentence("{what} · grain window {window}", what=told, window=edges)
    figure: Value = "" if mass is None else Weight(mass)
    return HeadBlock(whole.name, over, under, figure, told)


def _drawing(found: PiecesStudy, at: int, whole: Whole) -> Drawing:
    """The head with its pieces and joints numbered, as they are below."""
    starts = places(found, at)
    ends = list(pairwise(starts))
    outline = replace(
        outline_of(whole.line),
        numbers=tuple(Numbered(front, rear, str(i)) for i, (front, rear) in enumerate(ends, 1)),
        labels=tuple(
            Label(place, Sentence("joint {number}, {place}", number=i, place=OnTape(place)))
            for i, place in enumerate(starts[1:-1], 1)
        ),
    )
    under = Sentence("{length}, measured from the fly end", length=Length(starts[-1]))
    return Drawing((outline,), under=under)


def _cuts(found: PiecesStudy, at: int) -> Table:
    pieces = list(found.of_head(at))
    columns = (
        Column("", points=FIGURE, bold=True, grow=0.0),
        Column(grow=0.0),
        Column(tr("From")),
        number(tr("Cut length"), points=FIGURE, bold=True, grow=0.0),
        number(InSystem(_should_weigh), grow=0.0),
        Column(tr("weighs")),
        Column(tr("done")),
    )
    rows = tuple(
        (
            str(i),
            Cell(begun(piece_name(each, found.heads[at]))),
            Cell(each.stock.name, below=_where(each)),
            OnTape(each.cut),
            Weight(each.cut_mass, unit=False),
            WriteIn(),
            Tick(),
        )
        for i, each in enumerate(pieces, 1)
    )
    return Table(columns, rows, below=_about_lengths(pieces), title=tr("Cut"))


def _should_weigh(system: System) -> str:
    return render(Sentence("expected, {unit}", unit=shown_unit(WEIGHT, system)), system)


def _should_read(system: System) -> str:
    return render(Sentence("should read, {unit}", unit=shown_unit(WEIGHT, system)), system)


def _where(piece: Piece) -> tuple[Value, ...]:
    said = in_a_row((piece.stock.place, place_words(piece)))
    return (said,) if said else ()


def _about_lengths(pieces: list[Piece]) -> Sentence:
    """What the cut lengths hold beyond what is seen of a piece, and what becomes of it."""
    spares: dict[str, tuple[OnTape, list[str]]] = {}
    for at, each in enumerate(pieces, 1):
        if spare := each.ends[0].spare + each.ends[1].spare:
            spares.setdefault(f"{spare:.6f}", (OnTape(spare), []))[1].append(str(at))
    held: list[Value] = []
    for words, lengths in (
        (Sentence("laps of"), [end.lap for each in pieces for end in each.ends]),
        (Sentence("folds of"), [end.fold for each in pieces for end in each.ends]),
        (Sentence("stripped ends of"), [end.strip for each in pieces for end in each.ends]),
    ):
        if there := sorted({round(length, 6) for length in lengths if length}):
            sizes = Several(tuple(OnTape(length) for length in there))
            held.append(Sentence("{what} {sizes}", what=words, sizes=sizes))
    same = [length for length, numbers in spares.values() if len(numbers) == len(pieces)]
    if same:
        held.append(Sentence("{spare} spare to trim first", spare=same[0]))
        spares.clear()
    said = [Sentence("In it: {held}.", held=Several(tuple(held)))] if held else []
    for length, numbers in spares.values():
        said.append(
            Sentence(
                "Of piece {pieces} {spare} is spare, to be trimmed.",
                spare=length,
                pieces=Several(tuple(numbers)),
            )
        )
    waste = max(each.waste for each in pieces)
    if waste > 0.0:
        most = Weight(waste)
        said.append(Sentence("Weigh before any trim or bevel: up to {most} off.", most=most))
    return one_after_another(said)


def _warned(found: PiecesStudy, at: int) -> dict[int, Sentence]:
    """What speaks against a weld, by the number of the joint."""
    return weld_problems(found.heads[at].line, list(found.of_head(at)))


def _tube(found: PiecesStudy, build: Build) -> Sentence:
    """That a tube may be still on, with what it weighs, where one is peeled off; else nothing."""
    laps = [each.overlap for each in build.joints if each.is_peeled]
    if not laps:
        return NOTHING
    mass, _ = tube_of(found.question.rules, laps[0])
    return Sentence("a tube still on ({mass})", mass=Weight(mass))


def _before_loops(point: Checkpoint, build: Build) -> Checkpoint:
    """The last weighing before the loops are made, while the rod end can still be trimmed."""
    loops, last = build.front + build.rear, build.pieces[-1]
    mass, adds = point.mass - loops, point.adds - loops
    return replace(point, mass=mass, adds=adds, trim=last.per_mass)


def _joints(
    points: tuple[Checkpoint, ...],
    build: Build,
    warned: dict[int, Sentence],
    tube: Sentence,
    *,
    looped: bool,
) -> Table:
    """What lies on the scale after each joint, what it should read, and what to do else."""
    columns = (
        Column("", points=FIGURE, bold=True, grow=0.0),
        Column(),
        number(InSystem(_should_read), points=FIGURE, bold=True),
        number(tr("joint adds")),
        Column(InSystem(_too_heavy)),
        Column(tr("reads")),
    )
    shown = points[1:] if len(points) > 1 else points
    shown = (*shown[:-1], _before_loops(shown[-1], build))
    rows: list[tuple[Entry, ...]] = [
        (
            str(i),
            Cell(
                _on_scale(each, build, looped=looped),
                below=(*_spare(each), *_problem(warned.get(i))),
            ),
            Cell(Weight(each.mass, unit=False), beside=WeightError(each.reach, unit=False)),
            Cell(Weight(each.adds, unit=False), beside=WeightError(each.adds_reach, unit=False)),
            InSystem(_rule(each, build)),
            WriteIn(),
        )
        for i, each in enumerate(shown, 1)
    ]
    looked = [each for each in (tube, Sentence("a piece of other stock")) if each]
    below = Sentence(
        "{order} Too light: do not cut. Further off than the ±: first look for {looked}. The scale "
        "reads to {scale}; let it show nought first.",
        order=short_order_words(),
        looked=any_of(looked),
        scale=SmallWeight(build.scale),
    )
    stay = [each.mass for each in build.joints if each.mass and each.overlap]
    if stay:
        below = Sentence(
            "Tubes stay on, {mass} each, and are in what it should read. {below}",
            mass=Weight(max(stay)),
            below=below,
        )
    return Table(columns, tuple(rows), below=below, title=tr("Join and weigh"))


def _on_scale(point: Checkpoint, build: Build, *, looped: bool) -> Sentence:
    """What lies on the scale, in short: the loops are made last."""
    if point.after < len(build.pieces):
        return on_scale_words(point, build)
    if looped:
        return Sentence("all {count}, no loops", count=point.after)
    return Sentence("all {count}", count=point.after)


def _spare(point: Checkpoint) -> tuple[Value, ...]:
    if not point.spare:
        return ()
    return (Sentence("{spare} of it for the next lap", spare=Weight(point.spare)),)


def _problem(found: Sentence | None) -> tuple[Value, ...]:
    if found is None:
        return ()
    return (Sentence("Caution: coatings not known to weld, see below"),)


def _too_heavy(system: System) -> str:
    off = WholeWeight(TOO_HEAVY[system])
    return render(Sentence("{off} too heavy: make", off=off), system)


def _rule(point: Checkpoint, build: Build) -> Callable[[System], str]:
    is_last = point.after == len(build.pieces)

    def said(system: System) -> str:
        off = TOO_HEAVY[system]
        words = rule_words(point, off)
        if is_last and point.trim is not None:
            words = Sentence("its rod end: {by} shorter", by=OnTape(off * point.trim))
        return render(words, system)

    return said


def _finish(whole: Whole) -> Together:
    items: list[TickOff] = []
    fly, rod = whole.line.front_loop, whole.line.rear_loop
    loops = [(Sentence("fly end"), fly), (Sentence("rod end"), rod)]
    if fly == rod:
        loops = [(Sentence("both ends"), fly)]
    for end, loop in loops:
        if loop.kind is not LoopKind.NONE:
            items.append(TickOff(Sentence("{end}: {loop}", end=end, loop=loop_in_short(loop))))
    loops_made = [Form(tuple(items))] if items else []
    return Together((Heading(tr("Finish")), *loops_made, finished_as(Sentence("loops on"))))
