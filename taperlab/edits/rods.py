"""The rods of a bench, and which of them heads are judged on."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench, fresh_key
from taperlab.model.rod import Rod


def add_rod(bench: Bench, rod: Rod) -> Edited:
    """Put a rod on the bench and choose it; it gets another key if its own is taken."""
    taken = {each.key for each in bench.rods}
    if rod.key in taken or not rod.key:
        rod = replace(rod, key=fresh_key(taken, "rod"))
    return Edited(replace(bench, rods=(*bench.rods, rod), rod=rod.key), "Add rod")


def replace_rod(bench: Bench, rod: Rod) -> Edited:
    """Put another rod in place of the one with its key."""
    old = _find(bench, rod.key)
    if rod != old:
        rods = tuple(rod if each is old else each for each in bench.rods)
        bench = replace(bench, rods=rods)
    return Edited(bench, "Change rod")


def delete_rod(bench: Bench, rod: str) -> Edited:
    """Take a rod off the bench; if it was chosen, the next one (or the last) is."""
    old = _find(bench, rod)
    at = bench.rods.index(old)
    rods = (*bench.rods[:at], *bench.rods[at + 1 :])
    chosen = bench.rod
    if chosen == rod:
        chosen = rods[min(at, len(rods) - 1)].key if rods else None
    return Edited(replace(bench, rods=rods, rod=chosen), "Delete rod")


def choose_rod(bench: Bench, rod: str | None) -> Edited:
    """Choose the rod that heads are judged on, or none."""
    if rod is not None:
        _find(bench, rod)
    if rod != bench.rod:
        bench = replace(bench, rod=rod)
    return Edited(bench, "Choose rod")


def set_rods(bench: Bench, rods: tuple[Rod, ...], chosen: str | None) -> Edited:
    """Replace all rods of the bench at once, and choose one of them or none."""
    if len({rod.key for rod in rods}) != len(rods):
        raise Refused("Two of the rods have one key.")
    if chosen is not None and chosen not in {rod.key for rod in rods}:
        raise Refused("The chosen rod is not among the rods.")
    if rods != bench.rods or chosen != bench.rod:
        bench = replace(bench, rods=rods, rod=chosen)
    return Edited(bench, "Edit rods")


def _find(bench: Bench, key: str) -> Rod:
    for rod in bench.rods:
        if rod.key == key:
            return rod
    raise Refused("That rod is no longer on the bench.")
