"""Which rows the rack has: lines with their versions, rigs, and versions whose line is gone."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from taperlab.gui.state.document import Thing
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.version import Version
from taperlab.units.language import later


class Heading(Enum):
    """What stands over several rows."""

    RIGS = later("Rigs")
    GONE = later("Of lines that are gone")


Row = Thing | Heading


@dataclass(frozen=True, slots=True)
class Kept:
    """How many versions a row has under it, and whether all of them are shown."""

    count: int
    is_open: bool


def rows_of(bench: Bench, opened: Collection[str]) -> tuple[Row, ...]:
    """The rows from the top. opened: keys of lines whose versions are shown, and "" for the gone.

    A version that is laid over is shown in any case, so that it can be taken off.
    """
    return tuple(_rows(bench, opened))


def _rows(bench: Bench, opened: Collection[str]) -> Iterator[Row]:
    versions = versions_by_line(bench)
    over = set(bench.view.version_overlays)

    def shown(key: str) -> Iterator[Version]:
        return (each for each in versions.get(key, ()) if key in opened or each.key in over)

    for line in bench.lines:
        yield line
        yield from shown(line.key)
    if bench.rigs:
        yield Heading.RIGS
        yield from bench.rigs
    if "" in versions:
        yield Heading.GONE
        yield from shown("")


def versions_by_line(bench: Bench) -> dict[str, list[Version]]:
    """Versions in the order of keeping, by the key of their line; "" where that is gone."""
    keys = {line.key for line in bench.lines}
    found: dict[str, list[Version]] = {}
    for version in bench.versions:
        found.setdefault(version.of if version.of in keys else "", []).append(version)
    return found


def fold_of(row: Row, bench: Bench) -> str | None:
    """By what key the versions of a row, or the version itself, are folded away; None for a rig."""
    if isinstance(row, Version):
        return row.of if any(line.key == row.of for line in bench.lines) else ""
    if isinstance(row, Line):
        return row.key
    return "" if row is Heading.GONE else None


def identities(rows: Sequence[Row]) -> list[tuple[type, str]]:
    """What rows are of, whatever became of them."""
    return [(type(each), each.name if isinstance(each, Heading) else each.key) for each in rows]
