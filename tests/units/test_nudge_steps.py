"""How far a nudge goes: marks of a tape, a micrometer and a scale."""

from __future__ import annotations

import pytest

from taperlab.edits.figures import Figure, kind_of
from taperlab.gui.pages.shape.columns import COLUMNS
from taperlab.units import kinds
from taperlab.units.kinds import Kind, System
from taperlab.units.show import show
from taperlab.units.steps import step_of

NUDGED = [c.kind for c in COLUMNS if c.kind] + [kind_of(figure) for figure in Figure]


@pytest.mark.parametrize(
    ("kind", "system", "fine", "coarse"),
    [
        (kinds.LENGTH, System.US, 0.003175, 0.0254),
        (kinds.LENGTH, System.METRIC, 0.005, 0.05),
        (kinds.DIAMETER, System.US, 0.0000254, 0.000127),
        (kinds.DIAMETER, System.METRIC, 0.00001, 0.0001),
        (kinds.WEIGHT, System.US, 64.79891e-6, 647.9891e-6),
        (kinds.SHARE, System.US, 0.01, 0.05),
    ],
)
def test_a_step_is_a_mark(kind: Kind, system: System, fine: float, coarse: float) -> None:
    assert step_of(kind, system) == pytest.approx(fine, rel=1e-12)
    assert step_of(kind, system, coarse=True) == pytest.approx(coarse, rel=1e-12)


@pytest.mark.parametrize("system", System)
@pytest.mark.parametrize("kind", NUDGED, ids=lambda kind: kind.label)
def test_a_step_can_be_seen(kind: Kind, system: System) -> None:
    """A nudge of what is shown shows something else."""
    before, after = kind.example, kind.example + step_of(kind, system)
    assert show(before, kind, system) != show(after, kind, system)
    assert step_of(kind, system) < step_of(kind, system, coarse=True)
