"""What is believed of a batch of stock holds for the pieces that were cut off it as well."""

from __future__ import annotations

from dataclasses import replace

from taperlab.edits.changing import sound
from taperlab.model.bench import Bench
from taperlab.model.build import HeadBuild


def believing(bench: Bench, stock: str, factor: float, error: float | None) -> Bench:
    """The bench with all pieces of heads in work that were cut off a stock so many times as heavy.

    error: standard deviation of its mass per length, as a share. What was told the shelf already
    stands on its own readings, and what is finished is no longer believed but lies on the bench.
    """
    builds = tuple(
        each if each.is_finished or each.was_told else _with_batch(each, stock, factor, error)
        for each in bench.builds
    )
    same = all(one is other for one, other in zip(builds, bench.builds, strict=True))
    return bench if same else replace(bench, builds=builds)


def _with_batch(build: HeadBuild, stock: str, factor: float, error: float | None) -> HeadBuild:
    if all(each.material.key != stock for each in build.pieces):
        return build
    after = replace(
        build,
        pieces=tuple(
            replace(
                each,
                heavier=each.heavier * factor,
                material=replace(each.material, mass_error=error),
            )
            if each.material.key == stock
            else each
            for each in build.pieces
        ),
    )
    return sound(after)
