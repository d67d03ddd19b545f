"""What a material on the shelf weighs, and a piece of it."""

from __future__ import annotations

from dataclasses import dataclass

from taperlab.model.stock import Stock
from taperlab.physics import section


@dataclass(frozen=True, slots=True)
class StockFigures:
    """Weight per length at both ends [kg/m]; weight of the piece asked about [kg], if there is."""

    front_linear_density: float
    rear_linear_density: float
    piece_mass: float | None


def stock_figures(stock: Stock, length: float | None) -> StockFigures:
    """Figures of a material, and of a length [m] cut from its front if there is that much."""
    there = length is not None and 0.0 < length <= stock.length
    return StockFigures(
        section.linear_density(stock, 0.0),
        section.linear_density(stock, stock.length),
        section.mass(stock.piece(length)) if there and length is not None else None,
    )
