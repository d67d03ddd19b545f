"""What the words for a fly stand for, by common practice."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from taperlab.model.exact_units import GRAIN
from taperlab.model.rig import Fly, FlyKind
from taperlab.trade.tables import read_table

OWN_WEIGHT_SHARE = 0.1
"""How far the weight of a fly that was weighed may be off, as a share."""


@dataclass(frozen=True, slots=True)
class FlyOfKind:
    """A fly as a word has it; 8 in 10 such flies weigh between these in water [kg]."""

    fly: Fly
    lightest: float
    heaviest: float


@lru_cache(maxsize=1)
def flies() -> dict[FlyKind, FlyOfKind]:
    """Every word for a fly and what it stands for."""
    found = {}
    for row in read_table("tables", "flies.toml")["fly"]:
        kind = FlyKind(row["kind"])
        fly = Fly(
            row["weight_gr"] * GRAIN, row["mass_gr"] * GRAIN, row["drag_area_cm2"] * 1e-4, kind
        )
        found[kind] = FlyOfKind(fly, row["low_gr"] * GRAIN, row["high_gr"] * GRAIN)
    return found


def weights_of(fly: Fly) -> tuple[float, float]:
    """The weights in water [kg] between which a fly's lies, 8 times in 10."""
    kind = flies().get(fly.kind)
    if kind is not None:
        return kind.lightest, kind.heaviest
    off = OWN_WEIGHT_SHARE * abs(fly.weight)
    return fly.weight - off, fly.weight + off
