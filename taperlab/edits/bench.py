"""What belongs to a bench beside its lines and its stock: notes, water, rods."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import (
    find,
    sound,
    within,
)
from taperlab.edits.edited import Edited, Refused
from taperlab.edits.jobs_forget import with_rods_alone
from taperlab.model.bench import Bench
from taperlab.model.line import Style
from taperlab.model.rod import Measured, Rod, Window
from taperlab.model.water import WARMEST, ZERO_CELSIUS, WaterKind
from taperlab.units.kinds import SALINITY, TEMPERATURE
from taperlab.units.sentence import Sentence, Temperature


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
    """Replace all rods of the bench at once, and choose one of them or none.

    Jobs forget a rod that goes: its key may name another one day.
    """
    keys = {rod.key for rod in rods}
    if len(keys) != len(rods):
        raise Refused(Sentence("Two of the rods have one key."))
    if chosen is not None and chosen not in keys:
        raise Refused(Sentence("The chosen rod is not among the rods."))
    sound(rods)
    if rods != bench.rods or chosen != bench.rod:
        bench = with_rods_alone(replace(bench, rods=rods, rod=chosen), keys)
    return Edited(bench, Sentence("Edit rods"))
