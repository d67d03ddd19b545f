"""How closely a line is made, where a person has said so."""

from __future__ import annotations

from dataclasses import dataclass, field

from taperlab.model.segment import Extras, require_not_negative, require_positive


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far each dimension of a line may be off either way; None: as the instruments read.

    Each is a ±, twice a standard deviation. length: of the length of each segment [m]. diameter: of
    each diameter by itself [m]. offset: of all diameters the same way, as a micrometer reads that
    does not close on zero [m]. density: of what one batch of material weighs for its volume
    [kg/m^3]. piece: length [m] of the piece that the density was weighed on, its diameter read
    with the same micrometer; None where the density is known from elsewhere.
    """

    length: float | None = None
    diameter: float | None = None
    offset: float | None = None
    density: float | None = None
    piece: float | None = None
    extra: Extras = field(default_factory=dict, hash=False)

    def __post_init__(self) -> None:
        require_not_negative(self, "length", "diameter", "offset", "density")
        if self.piece is not None:
            require_positive(self, "piece")


AS_READ = Tolerance()
"""As the instruments read."""
