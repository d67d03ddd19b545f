"""Figures of many heads at once, for sweeps and comparisons."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from taperlab.physics import frustum
from taperlab.physics.frustum import Array
from taperlab.physics.sinking import body_sink_rate
from taperlab.physics.water import WaterState


@dataclass(frozen=True, eq=False, slots=True)
class HeadFigures:
    """Figures of n heads, each an array (n,); loops and sleeves are left out.

    mass: [kg]. front_taper_share: mass of the front taper over that of the head. balance: centre
    of mass, from the fly end [m]. sink_rate: of the head as one body, positive sinking [m/s].
    A head of no segments weighs 0; its other figures are nan.
    """

    mass: Array
    front_taper_share: Array
    balance: Array
    sink_rate: Array


def head_figures(
    lengths: ArrayLike,
    front_diameters: ArrayLike,
    rear_diameters: ArrayLike,
    densities: ArrayLike,
    in_head: ArrayLike,
    in_front_taper: ArrayLike,
    state: WaterState,
    *,
    core_diameters: ArrayLike = 0.0,
    core_densities: ArrayLike = 0.0,
) -> HeadFigures:
    """Weight, front-taper share, balance and sink rate of n heads of up to k segments each.

    Rows shorter than k are padded with segments of length 0, their other numbers being finite.

    Parameters
    ----------
    lengths : lengths (n, k) [m]
    front_diameters : diameters at the front (n, k) [m]
    rear_diameters : diameters at the rear (n, k) [m]
    densities : densities, or of the coating if there is a core (n, k) [kg/m^3]
    in_head : 1 for a segment of the head, else 0 (n, k) [1]
    in_front_taper : 1 for a segment of tip or front taper, else 0 (n, k) [1]
    state : density and viscosity of the water
    core_diameters : diameters of the cores, 0 for none (n, k) [m]
    core_densities : densities of the cores (n, k) [kg/m^3]

    Returns
    -------
    the figures of each head (n,)
    """
    size, front, rear, rho, head, taper, core, core_rho = np.broadcast_arrays(
        *(
            np.asarray(a, dtype=float)
            for a in (
                lengths,
                front_diameters,
                rear_diameters,
                densities,
                in_head,
                in_front_taper,
                core_diameters,
                core_densities,
            )
        )
    )
    masses = head * frustum.mass(size, front, rear, rho, core, core_rho)
    moments = head * frustum.first_moment(size, front, rear, rho, core, core_rho)
    starts = np.cumsum(size, axis=-1) - size
    mass = masses.sum(axis=-1)
    some = np.where(mass > 0.0, mass, np.nan)
    return HeadFigures(
        mass=np.asarray(mass),
        front_taper_share=np.asarray((masses * taper).sum(axis=-1) / some),
        balance=np.asarray((moments + starts * masses).sum(axis=-1) / some),
        sink_rate=body_sink_rate(size, front, rear, masses, state, weights=head),
    )
