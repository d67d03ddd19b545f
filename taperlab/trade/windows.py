"""How a head weight lies in a rod's window."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from taperlab.model.rod import Window


class Place(StrEnum):
    """Where a head weight lies."""

    BELOW = "below the window"
    INSIDE = "inside the window"
    ABOVE = "above the window"


class WindowFit(NamedTuple):
    """Where a head weight lies and how far it is from the nearer edge [kg], never negative."""

    place: Place
    to_edge: float


def place(mass: float, window: Window) -> WindowFit:
    """Place a head mass [kg] in a window; its edges are inside."""
    to_edge = min(abs(mass - window.lightest), abs(mass - window.heaviest))
    slack = 1e-9 * window.heaviest
    if mass < window.lightest - slack:
        return WindowFit(Place.BELOW, to_edge)
    if mass > window.heaviest + slack:
        return WindowFit(Place.ABOVE, to_edge)
    return WindowFit(Place.INSIDE, to_edge)
