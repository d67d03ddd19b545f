"""What belongs to a bench beside its lines: notes, water, rods, and material on the shelf."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits import rows
from taperlab.edits.changing import (
    SAME,
    find,
    find_line,
    find_segment,
    sound,
    within,
    without_blanks,
)
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench, fresh_key
from taperlab.model.line import Style
from taperlab.model.rod import Measured, Rod, Window
from taperlab.model.stock import Stock
from taperlab.model.water import WARMEST, ZERO_CELSIUS, WaterKind
from taperlab.units.kinds import LENGTH, SALINITY, TEMPERATURE
from taperlab.units.sentence import Length, Sentence, Temperature


def set_note(bench: Bench, note: str) -> Edited:
    """Write the bench's notes."""
    return Edited(
        bench if note == bench.note else replace(bench, note=note), Sentence("Change notes")
    )


def set_water(bench: Bench, kind: WaterKind, temperature: float, salinity: float) -> Edited:
    """Say what the water is: its kind, its temperature [K], its salinity [kg/kg] if it is sea."""
    if kind is WaterKind.FRESH and not ZERO_CELSIUS <= temperature <= WARMEST:
        raise Refused(
            Sentence(
                "Fresh water must be from {coldest} to {warmest}, not {found}.",
                coldest=Temperature(ZERO_CELSIUS),
                warmest=Temperature(WARMEST),
                found=Temperature(temperature),
            )
        )
    within(temperature, TEMPERATURE, Sentence("The temperature of the water"))
    within(salinity, SALINITY, Sentence("The salinity of the water"))
    after = replace(bench.water, kind=kind, temperature=temperature, salinity=salinity)
    return Edited(
        bench if after == bench.water else replace(bench, water=after), Sentence("Change water")
    )


# -- rods -------------------------------------------------------------------------------------


def choose_rod(bench: Bench, rod: str | None) -> Edited:
    """Choose the rod that heads are judged on, or none."""
    if rod is not None:
        find(bench.rods, rod, Sentence("That rod is no longer on the bench."))
    if rod != bench.rod:
        bench = replace(bench, rod=rod)
    return Edited(bench, Sentence("Choose rod"))


def make_window(
    style: Style,
    lightest: float,
    heaviest: float,
    source: str = "",
    measured_on: Measured = Measured.HEAD,
) -> Window:
    """The window [kg] of a rod for a style, who says so, and what was weighed. Raises Refused."""
    if lightest > heaviest:
        raise Refused(
            Sentence("The lightest head of a grain window must not be heavier than its heaviest.")
        )
    return Window(style, lightest, heaviest, source, measured_on)


def check_rod(rod: Rod) -> None:
    """Refuse a rod without a name, or with two windows for one style."""
    if not rod.name:
        raise Refused(Sentence("A rod needs a name."))
    if len({window.style for window in rod.windows}) != len(rod.windows):
        raise Refused(
            Sentence("Two grain windows of this rod are for the same style: keep one of them.")
        )


def set_rods(bench: Bench, rods: tuple[Rod, ...], chosen: str | None) -> Edited:
    """Replace all rods of the bench at once, and choose one of them or none."""
    if len({rod.key for rod in rods}) != len(rods):
        raise Refused(Sentence("Two of the rods have one key."))
    if chosen is not None and chosen not in {rod.key for rod in rods}:
        raise Refused(Sentence("The chosen rod is not among the rods."))
    sound(rods)
    if rods != bench.rods or chosen != bench.rod:
        bench = replace(bench, rods=rods, rod=chosen)
    return Edited(bench, Sentence("Edit rods"))


# -- stock ------------------------------------------------------------------------------------


def keep_as_stock(bench: Bench, line: str, index: int, name: str) -> Edited:
    """Put a material like a segment of a line on the shelf, as long as that segment is."""
    segment = find_segment(find_line(bench, line), index)
    name = without_blanks(name, Sentence("Stock needs a name."))
    if name in {each.name for each in bench.stock}:
        raise _named_already(name)
    key = fresh_key({each.key for each in bench.stock}, "stock")
    material = replace(Stock.like(segment, name), key=key)
    return Edited(replace(bench, stock=(*bench.stock, material)), Sentence("Keep as stock"))


def put_on_shelf(bench: Bench, material: Stock) -> Edited:
    """Put a material that is kept for every bench on the shelf of this one."""
    alike = next((each for each in bench.stock if each.name == material.name), None)
    if alike is not None:
        if replace(alike, key=material.key) == material:
            return Edited(bench, Sentence("Put in stock"))
        raise _named_already(material.name)
    sound((material,))
    key = fresh_key({each.key for each in bench.stock}, "stock")
    shelf = (*bench.stock, replace(material, key=key))
    return Edited(replace(bench, stock=shelf), Sentence("Put in stock"))


def _named_already(name: str) -> Refused:
    return Refused(Sentence("There is stock named {name} already.", name=name))


def delete_stock(bench: Bench, stock: str) -> Edited:
    """Take a material off the shelf; lines that hold some of it keep it."""
    old = _find_stock(bench, stock)
    kept = tuple(each for each in bench.stock if each is not old)
    return Edited(replace(bench, stock=kept), Sentence("Delete stock"))


def insert_from_stock(bench: Bench, line: str, index: int, stock: str, length: float) -> Edited:
    """Put a length [m] of a material into a line before row ``index``, or at its end.

    A tapered material is cut from its front. The shelf stays as it is.
    """
    material = _find_stock(bench, stock)
    within(length, LENGTH, Sentence("The length"))
    if length > material.length * (1.0 + SAME):
        raise Refused(
            Sentence(
                "There is only {length} of {material}.",
                length=Length(material.length),
                material=material.name,
            )
        )
    segment = material.piece(min(length, material.length))
    edited = rows.insert(bench, line, index, segment)
    return replace(edited, text=Sentence("Insert from stock"))


def _find_stock(bench: Bench, key: str) -> Stock:
    return find(bench.stock, key, Sentence("That stock is no longer on the bench."))
