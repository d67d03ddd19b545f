"""A cutting plan on paper: what is cut from what stock, and the sheet to build each head by."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from taperlab.gui.paper.layout.blocks import (
    FIGURE,
    NOTE,
    Block,
    Cell,
    Column,
    Entry,
    FillIn,
    Form,
    HeadBlock,
    Heading,
    NewPage,
    Paragraph,
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
from taperlab.gui.paper.parts import cautions_of, outline_of, signature, today
from taperlab.model.bench import Bench
from taperlab.model.exact_units import GRAIN
from taperlab.model.line import LoopKind
from taperlab.shop.errors import WeightError
from taperlab.shop.pieces.building import Build, Checkpoint
from taperlab.shop.pieces.finished import finished_line, places
from taperlab.shop.pieces.outcome import Piece, PiecesStudy
from taperlab.shop.pieces.remarks import remarks
from taperlab.shop.pieces.welding import weld_problems
from taperlab.shop.pieces.words import (
    gap_words,
    on_scale_words,
    order_words,
    piece_name,
    place_words,
    rule_words,
)
from taperlab.shop.whole import Whole, whole_line
from taperlab.shop.wording import WholeWeight, head_floats, loop_words, window_words
from taperlab.trade.cautions import Topic
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import (
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
    one_after_another,
    render,
)
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
        blocks += [*_plan(found), *cautions_of(TOPICS, warnings)]
    for at in heads:
        blocks += [NewPage(), *_head(found, at, bench)]
        blocks += [*cautions_of(TOPICS, warnings if len(heads) == 1 else ()), ScaleRule()]
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
        Heading(tr("Cut")),
        _cuts(found, at),
    ]
    if build is not None and points:
        blocks += [
            Heading(tr("Join, in this order, and weigh")),
            _joints(points, build, _warned(found, at)),
        ]
        blocks.append(Paragraph(order_words(), points=NOTE))
    return [*blocks, _finish(whole)]


def _top(whole: Whole, bench: Bench, mass: float | None) -> HeadBlock:
    """The head in short. mass: what it comes out at, its loops on [kg], where that is known."""
    head, fit = whole.head, whole.on_rod(bench.chosen_rod, bench)
    under: Sentence = Sentence("{style} · {date}", style=heading(whole.line.style), date=today())
    told: Sentence = Sentence("head, loops on")
    if head is not None:
        share = Number(head.front_taper_mass_share * 100.0)
        about = Sentence(
            "front taper {percent} % · {floats}", percent=share, floats=head_floats(head)
        )
        if fit:
            rod, ratio = RodLength(fit.rod_length), Ratio(fit.ratio)
            about = Sentence("{rod} rod, ratio {ratio} · {rest}", rod=rod, ratio=ratio, rest=about)
        under = Sentence("{about}\n{line}", about=about, line=under)
        mass = head.mass if mass is None else mass
    if fit and fit.window:
        edges = window_words(fit.window.lightest, fit.window.heaviest)
        told = Sentence("{what}\ngrain window {window}", what=told, window=edges)
    figure: Value = "" if mass is None else Weight(mass)
    return HeadBlock(whole.name, tr("Build sheet"), under, figure, told)


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
        Column(tr("Piece")),
        Column(tr("From")),
        number(tr("Cut length"), points=FIGURE, bold=True),
        number(tr("should weigh, before its bevels")),
        Column(tr("weighs")),
        Column(tr("done")),
    )
    rows = tuple(
        (
            str(i),
            Cell(begun(piece_name(each, found.heads[at]))),
            Cell(each.stock.name, below=_where(each)),
            OnTape(each.cut),
            Weight(each.cut_mass),
            WriteIn(),
            Tick(),
        )
        for i, each in enumerate(pieces, 1)
    )
    return Table(columns, rows, below=_about_lengths(pieces))


def _where(piece: Piece) -> tuple[Value, ...]:
    said: list[Value] = [piece.stock.place] if piece.stock.place else []
    if place := place_words(piece):
        said.append(place)
    return tuple(said)


def _about_lengths(pieces: list[Piece]) -> Sentence:
    """What the cut lengths hold beyond what is seen of a piece, and what becomes of it."""
    said = [Sentence("Lengths hold all that laps, folds and stripped ends take.")]
    spares: dict[str, tuple[OnTape, list[str]]] = {}
    for at, each in enumerate(pieces, 1):
        if spare := each.ends[0].spare + each.ends[1].spare:
            spares.setdefault(f"{spare:.6f}", (OnTape(spare), []))[1].append(str(at))
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
        most = SmallWeight(waste)
        said.append(
            Sentence("Weigh before the ends are worked: that takes up to {most} off.", most=most)
        )
    return one_after_another(said)


def _warned(found: PiecesStudy, at: int) -> dict[int, Sentence]:
    """What speaks against a weld, by the number of the joint."""
    return weld_problems(found.heads[at].line, list(found.of_head(at)))


def _joints(points: tuple[Checkpoint, ...], build: Build, warned: dict[int, Sentence]) -> Table:
    """What lies on the scale after each joint, what it should read, and what to do else."""
    columns = (
        Column("", points=FIGURE, bold=True, grow=0.0),
        Column(tr("On the scale")),
        number(tr("should read"), points=FIGURE, bold=True),
        number(tr("joint adds")),
        Column(InSystem(_too_heavy)),
        Column(tr("reads")),
    )
    shown = points[1:] if len(points) > 1 else points
    rows: list[tuple[Entry, ...]] = [
        (
            str(i),
            Cell(on_scale_words(each, build), below=(*_spare(each), *_problem(warned.get(i)))),
            Cell(Weight(each.mass), beside=WeightError(each.reach)),
            Sentence("{adds} {reach}", adds=Weight(each.adds), reach=WeightError(each.adds_reach)),
            InSystem(_rule(each)),
            WriteIn(),
        )
        for i, each in enumerate(shown, 1)
    ]
    below = Sentence(
        "Too light: do not cut. Further off than the ±: first look for a tube still on, a loop not "
        "counted, a piece of other stock. The scale reads to {scale}; let it show nought first.",
        scale=SmallWeight(build.scale),
    )
    return Table(columns, tuple(rows), below=below)


def _spare(point: Checkpoint) -> tuple[Value, ...]:
    if not point.spare:
        return ()
    return (Sentence("{spare} of it for the next lap", spare=SmallWeight(point.spare)),)


def _problem(found: Sentence | None) -> tuple[Value, ...]:
    if found is None:
        return ()
    return (Sentence("Caution: coatings not known to weld, see below"),)


def _too_heavy(system: System) -> str:
    off = WholeWeight(TOO_HEAVY[system])
    return render(Sentence("{off} too heavy: make", off=off), system)


def _rule(point: Checkpoint) -> Callable[[System], str]:
    return lambda system: render(rule_words(point, TOO_HEAVY[system]), system)


def _finish(whole: Whole) -> Together:
    items: list[TickOff | FillIn] = []
    loops = (
        (Sentence("fly end"), whole.line.front_loop),
        (Sentence("rod end"), whole.line.rear_loop),
    )
    for end, loop in loops:
        if loop.kind is not LoopKind.NONE:
            items.append(TickOff(Sentence("{end}: {loop}", end=end, loop=loop_words(loop))))
    items += [FillIn(Sentence("last weight, loops on")), FillIn(Sentence("length"))]
    return Together((Heading(tr("Finish")), Form(tuple(items)), signature(Sentence("made by"))))
