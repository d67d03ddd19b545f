"""How far one nudge moves a value: one mark of a tape, one of a micrometer, and the like."""

from __future__ import annotations

from typing import NamedTuple

from taperlab.units import kinds
from taperlab.units.kinds import Kind, System
from taperlab.units.show import from_unit


class _Steps(NamedTuple):
    """One nudge, and one with Shift, in a unit."""

    unit: str
    fine: float
    coarse: float


_TAPE = (_Steps("in", 0.125, 1.0), _Steps("mm", 5.0, 50.0))

_STEPS: tuple[tuple[Kind, _Steps, _Steps], ...] = (
    (kinds.LENGTH, *_TAPE),
    (kinds.DISTANCE, *_TAPE),
    (kinds.DIAMETER, _Steps("thou", 1.0, 5.0), _Steps("mm", 0.01, 0.1)),
    (kinds.DENSITY, _Steps("g/cm³", 0.005, 0.05), _Steps("g/cm³", 0.005, 0.05)),
    (kinds.WEIGHT, _Steps("gr", 1.0, 10.0), _Steps("g", 0.05, 0.5)),
    (kinds.WEIGHT_PER_LENGTH, _Steps("gr/ft", 0.1, 1.0), _Steps("g/m", 0.02, 0.2)),
    (kinds.SINK_RATE, _Steps("in/s", 0.1, 1.0), _Steps("cm/s", 0.2, 2.0)),
    (kinds.SHARE, _Steps("%", 1.0, 5.0), _Steps("%", 1.0, 5.0)),
    (kinds.RATIO, _Steps("×", 0.01, 0.1), _Steps("×", 0.01, 0.1)),
)
"""US and metric, kind by kind."""


def step_of(kind: Kind, system: System, *, coarse: bool = False) -> float:
    """How far one nudge moves a value of a kind [SI]. Raises KeyError for one without steps."""
    for each, us, metric in _STEPS:
        if each is kind:
            steps = us if system is System.US else metric
            return from_unit(steps.coarse if coarse else steps.fine, steps.unit, kind)
    raise KeyError(kind.label)
