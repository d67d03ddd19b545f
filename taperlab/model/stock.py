"""Line material on the shelf."""

from __future__ import annotations

from dataclasses import dataclass, field

from taperlab.model.segment import Core, Extras, Part, require_positive


@dataclass(frozen=True, slots=True)
class Stock:
    """A material sold by length: diameters [m], density [kg/m^3], length on the spool [m]."""

    key: str
    name: str
    part: Part
    length: float
    front_diameter: float
    rear_diameter: float
    density: float
    core: Core | None = None
    note: str = ""
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_positive(
            length=self.length,
            front_diameter=self.front_diameter,
            rear_diameter=self.rear_diameter,
            density=self.density,
        )
