"""A hung rig, and one with a floating head, against a lumped-mass program for mooring lines.

MoorDyn 2 (M. Hall and others; BSD 3-Clause licence) steps nodes with mass, stiffness and drag
through time until they rest. It knows no Reynolds number, so both have one drag coefficient. It is
slow and no part of the usual run: it is tried wherever the extra ``mooring`` is installed. The
depths agreed to 0.1, 0.1 and 0.3 %.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from taperlab.model.exact_units import FOOT, INCH
from taperlab.model.rig import Fly
from taperlab.physics.rigging import Cases, Rigging
from taperlab.physics.tight_line import hang
from taperlab.physics.water import WaterState

moordyn = pytest.importorskip("moordyn")

WATER = WaterState(999.1, 1.1375e-3)
SKIN = 0.008
STIFF, STEP, REST = 60.0, 5e-5, 30.0
"""Stiffness [N], time step [s], and how long it is left to come to rest [s]."""

TEXT = """--- LINE TYPES ---
Name Diam MassDen EA BA/-zeta EI Cd Ca CdAx CaAx
(-) (m) (kg/m) (N) (-) (N-m2) (-) (-) (-) (-)
{types}
--- POINTS ---
ID Type X Y Z Mass Volume CdA Ca
(#) (-) (m) (m) (m) (kg) (m3) (m2) (-)
{points}
--- LINES ---
ID LineType AttachA AttachB UnstrLen NumSegs Outputs
(#) (-) (-) (-) (m) (-) (-)
{lines}
--- OPTIONS ---
{step} dtM
{density} WtrDnsty
9.80665 g
200 WtrDpth
0.0 TmaxIC
1 Currents
0 writeLog
--- END ---
"""


def by_moordyn(
    folder: Path,
    lengths: list[float],
    diameters: list[float],
    densities: list[float],
    segments: list[int],
    fly: Fly,
    speed: float,
    guess: float,
) -> float:
    """Depth of the fly [m], once the line has come to rest below a rod tip at the surface."""
    places = np.concatenate(([0.0], np.cumsum(lengths)))
    back = places[-1] - places
    slope = guess / back[0]
    points, types, lines = [], [], []
    for i, left in enumerate(back):
        end = i == len(lengths)
        mass, drag = (fly.weight, fly.drag_area) if i == 0 else (0.0, 0.0)
        x, z = left * math.sqrt(1.0 - slope**2), -left * slope
        points.append(f"{i + 1} {'Fixed' if end else 'Free'} {x} 0 {z} {mass} 0 {drag} 0")
    for i, (length, d, density) in enumerate(zip(lengths, diameters, densities, strict=True)):
        types.append(f"t{i} {d} {density * math.pi / 4 * d * d} {STIFF} -0.5 0 1.0 1.0 {SKIN} 0")
        lines.append(f"{i + 1} t{i} {i + 1} {i + 2} {length} {segments[i]} -")
    file = folder / "rig.txt"
    file.write_text(
        TEXT.format(
            types="\n".join(types),
            points="\n".join(points),
            lines="\n".join(lines),
            step=STEP,
            density=WATER.density,
        )
    )
    current = ["steady", "current", "z ux uy uz", f"-200 {speed} 0 0", f"10 {speed} 0 0"]
    (folder / "current_profile.txt").write_text("\n".join(current) + "\n")
    system = moordyn.Create(str(file))
    moordyn.SetVerbosity(system, moordyn.LEVEL_ERR)
    moordyn.Init(system, [], [])
    time = 0.0
    while time < REST:
        moordyn.Step(system, [], [], time, 0.1)
        time += 0.1
    depth = -float(moordyn.GetLineNodePos(moordyn.GetLine(system, 1), 0)[2])
    moordyn.Close(system)
    return depth


@pytest.mark.slow
@pytest.mark.parametrize("speed", [0.6, 1.0])
def test_a_hung_tip_with_a_fly(tmp_path: Path, speed: float) -> None:
    fly = Fly(1e-3, 1e-3, 1e-4)
    lengths, diameters, densities = [10.0 * FOOT], [0.04 * INCH], [3600.0]
    rig = Rigging.level(lengths, diameters, densities, fly=fly)
    ours = float(hang(rig, Cases(speed, skin=SKIN), WATER, coefficient=1.0).depth[0])
    theirs = by_moordyn(tmp_path, lengths, diameters, densities, [30], fly, speed, 0.9 * ours)
    assert ours == pytest.approx(theirs, rel=0.02)


@pytest.mark.slow
def test_a_tip_with_a_leader_and_a_floating_head(tmp_path: Path) -> None:
    """Its head lies at the surface there as well: a node out of the water loses its buoyancy."""
    fly = Fly(2e-4, 5e-4, 1e-4)
    lengths = [4.0 * FOOT, 10.0 * FOOT, 25.0 * FOOT]
    diameters = [0.02 * INCH, 0.04 * INCH, 0.09 * INCH]
    densities = [1140.0, 3600.0, 870.0]
    rig = Rigging.level(lengths, diameters, densities, fly=fly)
    ours = float(hang(rig, Cases(0.9, skin=SKIN), WATER, coefficient=1.0).depth[0])
    theirs = by_moordyn(tmp_path, lengths, diameters, densities, [8, 24, 50], fly, 0.9, 0.7 * ours)
    assert ours == pytest.approx(theirs, rel=0.02)
