"""How often the truth lies within what is stated, family by family.

``python -m tests.coverage.table`` prints it; ``--seeds``, ``--family`` and ``--processes`` say how
much of it.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

import numpy as np

from taperlab.shop.belief.line import LineBelief
from taperlab.shop.measure.outcome import NoFit
from taperlab.shop.measure.shape import shape_steps
from taperlab.shop.measure.weights import outline_of
from taperlab.shop.steps import finish
from tests.coverage.families import FAMILIES, HOPELESS, Family

PLACES = 25
BY_NAME = {family.name: family for family in (*FAMILIES, *HOPELESS)}


@dataclass(frozen=True)
class Found:
    """What came of one family.

    covered (seeds, quantities, places): whether the truth lay within; width (seeds,): median
    half-width of grains per foot over the line, as a share; refused: seeds that gave no answer.
    """

    family: Family
    covered: np.ndarray
    width: np.ndarray
    refused: tuple[int, ...]

    @property
    def average(self) -> np.ndarray:
        """Share covered of each quantity."""
        return self.covered.mean(axis=(0, 2))

    @property
    def worst(self) -> np.ndarray:
        """Share covered of each quantity where that is least along the line."""
        return self.covered.mean(axis=0).min(axis=1)


def one(name: str, seed: int) -> tuple[np.ndarray, float] | None:
    """Whether each quantity is covered at each place, and the median width."""
    truth, measurement = BY_NAME[name].drawn(seed)
    shape = finish(shape_steps(measurement))
    if isinstance(shape, NoFit):
        return None
    belief = LineBelief(
        outline_of(shape, measurement.instruments),
        measurement.sections,
        measurement.instruments,
        loops=(measurement.front_loop, measurement.rear_loop),
        material=measurement.material,
    )
    x = (np.arange(PLACES) + 0.5) / PLACES * truth.length
    read = belief.read(x)
    pairs = (
        (truth.diameter, read.diameter, read.diameter_half),
        (truth.linear_density, read.linear_density, read.linear_density_half),
        (truth.running, read.running, read.running_half),
    )
    covered = [np.abs(np.interp(x, truth.x, t) - mean) <= half for t, mean, half in pairs]
    width = float(np.median(read.linear_density_half / read.linear_density))
    return np.array(covered), width


def run(family: Family, seeds: Sequence[int], processes: int | None = None) -> Found:
    """Try a family with these seeds."""
    if processes == 1:
        answers = [one(family.name, seed) for seed in seeds]
    else:
        with ProcessPoolExecutor(processes) as pool:
            answers = list(pool.map(partial(one, family.name), seeds, chunksize=5))
    good = [each for each in answers if each is not None]
    return Found(
        family,
        np.array([covered for covered, _ in good]),
        np.array([width for _, width in good]),
        tuple(seed for seed, each in zip(seeds, answers, strict=True) if each is None),
    )


def line(found: Found) -> str:
    """A line of the table: for each quantity the share covered on average and at worst."""
    parts = [
        f"{100.0 * average:5.1f} {100.0 * worst:5.1f}"
        for average, worst in zip(found.average, found.worst, strict=True)
    ]
    width = f"±{100.0 * np.median(found.width):5.2f} %"
    return f"{found.family.name:54} {'   '.join(parts)}   {width}   {len(found.refused)} refused"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=300)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--family", default="", help="those whose name contains this")
    parser.add_argument("--processes", type=int, default=os.cpu_count())
    asked = parser.parse_args()
    print(f"{'':54} {'diameter':11}   {'per foot':11}   {'running':11}   width of per foot")
    for family in (*FAMILIES, *HOPELESS):
        if asked.family in family.name:
            seeds = range(asked.first, asked.first + asked.seeds)
            print(line(run(family, seeds, asked.processes)), flush=True)


if __name__ == "__main__":
    main()
