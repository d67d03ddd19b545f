"""Stock: put on the shelf, weighed, cut from, put back; segments tied to what they are cut from.

Nothing of a line changes when its stock does: a line holds what it was made of.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from taperlab.edits import rows as row_edits
from taperlab.edits.batches import believing
from taperlab.edits.changing import (
    SAME,
    find,
    find_line,
    find_rows,
    find_segment,
    sound,
    with_line,
    within,
    without_blanks,
)
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench, fresh_key, fresh_name
from taperlab.model.segment import Segment
from taperlab.model.stock import Stock
from taperlab.physics import section
from taperlab.units.kinds import LENGTH, SHARE, WEIGHT
from taperlab.units.limits import MOST_SEGMENTS, MOST_STOCK
from taperlab.units.sentence import Length, Sentence, counted

_OVERCUT = 2e-4
"""A plan may take so much more of a bar than it holds [m], within any blade."""

_STEP_SHARE = 12.0**-0.5
"""Standard deviation of a reading rounded to a step, as a share of the step."""


def keep_as_stock(bench: Bench, line: str, index: int, name: str) -> Edited:
    """Put a material like a segment of a line on the shelf, as long as that segment is."""
    segment = find_segment(find_line(bench, line), index)
    return replace(_added(bench, (Stock.like(segment, name),)), text=Sentence("Keep as stock"))


def put_on_shelf(bench: Bench, material: Stock) -> Edited:
    """Put a material on the shelf of this bench; one that lies there just so already stays."""
    text = Sentence("Put in stock")
    alike = next((each for each in bench.stock if each.name == material.name), None)
    if alike is not None and replace(alike, key=material.key) == material:
        return Edited(bench, text)
    return replace(_added(bench, (material,)), text=text)


def add_stock(bench: Bench, materials: Sequence[Stock]) -> Edited:
    """Put materials, of a table say, on the shelf; each needs a name that is not there yet."""
    if not materials:
        raise Refused("There is no stock to add.")
    return _added(bench, materials)


def change_stock(bench: Bench, key: str, material: Stock) -> Edited:
    """Describe a material otherwise; it keeps its key."""
    old = _find_stock(bench, key)
    name = _clean(bench, material.name, besides=old)
    new = sound(replace(material, key=key, name=name))
    return _with(bench, old, (new,), Sentence("Change stock"))


def delete_stock(bench: Bench, stock: str) -> Edited:
    """Take a material off the shelf; lines that hold some of it keep it."""
    return _with(bench, _find_stock(bench, stock), (), Sentence("Delete stock"))


def weigh_stock(bench: Bench, key: str, length: float, mass: float, step: float) -> Edited:
    """Believe what a length [m] of a material weighed [kg], taken from its front.

    step: of the scale [kg]. Diameters stay as they are and density moves; what the label says is
    kept. The error is that of the scale, rounded to its step, as a share of what was weighed.
    Pieces of heads in work that were cut off it are believed so too.
    """
    old = _find_stock(bench, key)
    within(length, LENGTH, Sentence("The length that was weighed"))
    within(mass, WEIGHT, Sentence("What it weighed"))
    if length > old.whole_length * (1.0 + SAME):
        raise _only(old)
    if not 0.0 < step < mass:
        raise Refused("The scale’s step must be above zero and below what was weighed.")
    before = sum(section.mass(each) for each in old.stretch(0.0, length))
    new = scaled(old, mass / before)
    error = min(1.0, _STEP_SHARE * step / mass)
    done = _with(bench, old, (sound(replace(new, mass_error=error)),), Sentence("Weigh stock"))
    return replace(done, bench=believing(done.bench, key, mass / before, error))


def believe_stock(bench: Bench, key: str, factor: float, error: float) -> Edited:
    """Believe that all of a batch is so many times as heavy per length, within a share.

    Pieces of heads in work that were cut off it are believed so too.
    """
    old = _find_stock(bench, key)
    if not 0.5 <= factor <= 2.0:
        raise Refused("That is no material that was on the label.")
    within(error, SHARE, Sentence("The error of the weight per length"))
    new = scaled(old, factor) if factor != 1.0 else old
    after = sound(replace(new, mass_error=error))
    done = _with(bench, old, (after,), Sentence("Believe what was weighed"))
    return replace(done, bench=believing(done.bench, key, factor, error))


def cut_from_stock(bench: Bench, key: str, begin: float, end: float) -> Edited:
    """Take what lies between two distances from its front [m] off a material.

    What is left ahead of it keeps name and key; what is left behind lies there by itself.
    """
    old = _find_stock(bench, key)
    whole = old.whole_length
    if not (0.0 <= begin < end):
        raise Refused("A cut must begin before it ends.")
    if end > whole * (1.0 + SAME):
        raise _only(old)
    ahead, behind = (rest >= LENGTH.lowest for rest in (begin, whole - end))
    cost = None if old.cost is None else old.cost / whole
    left = []
    for kept, low, high in ((ahead, 0.0, begin), (behind, end, whole)):
        if kept:
            rest = old.remainder(low, high)
            left.append(replace(rest, cost=None if cost is None else cost * (high - low)))
    if len(left) == 2:
        left[1] = _anew(bench, left[1])
    return _with(bench, old, tuple(map(sound, left)), Sentence("Cut from stock"))


def cut_plan(bench: Bench, cuts: Mapping[str, Sequence[tuple[float, float]]]) -> Edited:
    """Take all that a plan cuts off the shelf, and put what is left back, as one step.

    cuts: by the key of the stock, where each begins and ends [m from its front]. Cuts that lie one
    behind the other leave nothing between them; what lies between others lies there by itself.
    """
    text = Sentence("Cut the plan")
    if not any(cuts.values()):
        raise Refused("There is nothing to cut.")
    for key, all_of_it in cuts.items():
        whole = _find_stock(bench, key).whole_length
        # From the rear: so the front of what is left keeps its place, its name and its key.
        for begin, end in reversed(_joined(all_of_it)):
            reach = min(end, whole) if end <= whole + _OVERCUT else end
            bench = cut_from_stock(bench, key, begin, reach).bench
    return Edited(bench, text)


def _joined(cuts: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """The cuts from the front, with those as one between which nothing is left."""
    found: list[tuple[float, float]] = []
    for begin, end in sorted(cuts):
        if found and begin < found[-1][1] - _OVERCUT:
            raise Refused("Two pieces would be cut from one place.")
        if found and begin - found[-1][1] < LENGTH.lowest:
            found[-1] = found[-1][0], max(end, found[-1][1])
        else:
            found.append((max(begin, 0.0), end))
    return found


def insert_from_stock(bench: Bench, line: str, index: int, stock: str, length: float) -> Edited:
    """Put a length [m] of a material into a line before row ``index``, or at its end.

    A tapered material is cut from its front. The shelf stays as it is.
    """
    material = _find_stock(bench, stock)
    within(length, LENGTH, Sentence("The length"))
    whole = material.whole_length
    if length > whole * (1.0 + SAME):
        raise _only(material)
    segments = material.stretch(0.0, min(length, whole)) or (material.piece(length),)
    edited = row_edits.insert_rows(bench, line, index, segments)
    return replace(edited, text=Sentence("Insert from stock"))


def tie_segments(bench: Bench, line: str, indices: Iterable[int], stock: str) -> Edited:
    """Say what segments are to be cut from: the name or the kind of a stock; "" leaves it open."""
    whole = find_line(bench, line)
    rows = find_rows(whole, indices, Sentence("Select one or more segments to cut from stock."))
    tied = " ".join(stock.split())
    segments = tuple(
        replace(each, stock=tied) if row in rows and each.stock != tied else each
        for row, each in enumerate(whole.segments)
    )
    after = replace(whole, segments=segments)
    text = counted("Choose stock", "Choose stock of {count} segments", len(rows))
    return with_line(bench, whole, after, text, rows)


def scaled(material: Stock, factor: float) -> Stock:
    """A material so many times as heavy per length, diameters and core as they are.

    Raises Refused where no coating could make it so.
    """
    first, *behind = (_heavier(each, factor) for each in material.sections)
    return replace(material, density=first.density, core=first.core, behind=tuple(behind))


def _heavier(each: Segment, factor: float) -> Segment:
    if each.core is None:
        return sound(replace(each, density=each.density * factor))
    density = section.density_for_mass(each, factor * section.mass(each))
    if not density > 0.0:
        raise Refused("The core alone is heavier than that.")
    return sound(replace(each, density=density))


def _added(bench: Bench, materials: Iterable[Stock]) -> Edited:
    shelf = list(bench.stock)
    taken = _taken_keys(bench)
    for each in materials:
        name = _clean(replace(bench, stock=tuple(shelf)), each.name)
        key = fresh_key(taken, "stock")
        taken.add(key)
        _check_sections(each)
        shelf.append(sound(replace(each, key=key, name=name)))
    _check_count(shelf)
    text = counted("Add stock", "Add {count} pieces of stock", len(shelf) - len(bench.stock))
    return Edited(replace(bench, stock=tuple(shelf)), text)


def _taken_keys(bench: Bench) -> set[str]:
    """Keys that no new stock gets: pieces are told by that of their spool, used up or not."""
    cut = (piece.material.key for build in bench.builds for piece in build.pieces)
    return {*cut, *(each.key for each in bench.stock)}


def _check_sections(material: Stock) -> None:
    if len(material.sections) > MOST_SEGMENTS:
        raise Refused("Stock has at most {most} segments.", most=MOST_SEGMENTS)


def _check_count(shelf: Sequence[Stock]) -> None:
    if len(shelf) > MOST_STOCK:
        raise Refused("A bench has at most {most} pieces of stock.", most=MOST_STOCK)


def _clean(bench: Bench, name: str, besides: Stock | None = None) -> str:
    clean = without_blanks(name, Sentence("Stock needs a name."))
    if clean in {each.name for each in bench.stock if each is not besides}:
        raise Refused(Sentence("There is stock named {name} already.", name=clean))
    return clean


def _anew(bench: Bench, material: Stock) -> Stock:
    """The material under a key and a name of its own."""
    key = fresh_key(_taken_keys(bench), "stock")
    name = fresh_name({each.name for each in bench.stock}, material.name)
    return replace(material, key=key, name=name)


def _only(material: Stock) -> Refused:
    return Refused(
        Sentence(
            "There is only {length} of {material}.",
            length=Length(material.whole_length),
            material=material.name,
        )
    )


def _with(bench: Bench, old: Stock, new: tuple[Stock, ...], text: Sentence) -> Edited:
    """The bench with a material replaced by what it has become, in its place."""
    if new == (old,):
        return Edited(bench, text)
    shelf: list[Stock] = []
    for each in bench.stock:
        shelf += new if each is old else (each,)
    _check_count(shelf)
    return Edited(replace(bench, stock=tuple(shelf)), text)


def _find_stock(bench: Bench, key: str) -> Stock:
    return find(bench.stock, key, Sentence("That stock is no longer on the bench."))
