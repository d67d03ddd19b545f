"""What a core would make of a segment, before it is set."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.edits.values import set_core
from taperlab.model.bench import Bench
from taperlab.physics import section


@dataclass(frozen=True, slots=True)
class CoreFigures:
    """A segment with a core. coating, mean_density: [kg/m^3]. mass: [kg]."""

    coating: float
    mean_density: float
    mass: float


def core_figures(
    bench: Bench, line: str, row: int, diameter: float, density: float, coating: float | None
) -> CoreFigures:
    """Figures of a row with a core of this diameter [m] and density [kg/m^3] in a coating.

    Without a coating density [kg/m^3] the coating keeps the row's weight. Raises Refused as the
    edit itself does.
    """
    edited = set_core(bench, line, row, diameter, density, coating)
    segment = edited.bench.line(line).segments[row]
    return CoreFigures(segment.density, section.mean_density(segment), section.mass(segment))
