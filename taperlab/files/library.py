"""Rods, materials, loops and joints of one's own, kept for every bench beside the preferences."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from taperlab.files import disk, locks
from taperlab.files.codec import Entry, Record, Where, many
from taperlab.files.folders import config_folder
from taperlab.files.native import parse_json
from taperlab.files.records import JOINT, LOOP, ROD, STOCK
from taperlab.model.line import Joint, Loop
from taperlab.model.rod import Rod
from taperlab.model.segment import Extras
from taperlab.model.stock import Stock
from taperlab.units.language import later

Kept = Rod | Stock | Loop | Joint
"""What can be kept."""


@dataclass(frozen=True, slots=True)
class Library:
    """What a person kept, in the order of keeping; rods and materials each of another name."""

    rods: tuple[Rod, ...] = ()
    stock: tuple[Stock, ...] = ()
    loops: tuple[Loop, ...] = ()
    joints: tuple[Joint, ...] = ()
    extra: Extras = field(default_factory=dict, hash=False)

    def of(self, kind: type[Kept]) -> tuple[Any, ...]:
        """All of a kind."""
        held: tuple[Any, ...] = getattr(self, _SHELVES[kind])
        return held

    def keeping(self, thing: Kept) -> Library:
        """The library with a thing; one of its name makes room for it."""
        if isinstance(thing, Rod | Stock):
            thing = replace(thing, key=thing.name)
        return self._with(type(thing), (*self._without(thing), thing))

    def without(self, thing: Kept) -> Library:
        """The library without a thing, or the one of its name."""
        return self._with(type(thing), self._without(thing))

    def _without(self, thing: Kept) -> tuple[Any, ...]:
        return tuple(each for each in self.of(type(thing)) if _told_by(each) != _told_by(thing))

    def _with(self, kind: type[Kept], things: tuple[Any, ...]) -> Library:
        shelves = {each.name: getattr(self, each.name) for each in fields(self)}
        return Library(**(shelves | {_SHELVES[kind]: things}))


_SHELVES: dict[type[Kept], str] = {
    Rod: "rods",
    Stock: "stock",
    Loop: "loops",
    Joint: "joints",
}
_RECORD = Record(
    later("library"),
    Library,
    (
        Entry("rods", many(ROD), ()),
        Entry("stock", many(STOCK), ()),
        Entry("loops", many(LOOP), ()),
        Entry("joints", many(JOINT), ()),
    ),
)


def _told_by(thing: Kept) -> object:
    """What makes a kept thing the same as another: its name, where it has one."""
    return thing.name if isinstance(thing, Rod | Stock) else thing


def library_file() -> Path:
    """Where the library lies. Raises FileProblem where there is no folder for it."""
    return config_folder() / "library.json"


def load_library(path: Path | None = None) -> Library:
    """What the person kept. Raises FileProblem where that cannot be read; it may be damaged."""
    where = library_file() if path is None else path
    if not where.exists():
        return Library()
    text = disk.read_bytes(where).decode("utf-8", "replace")
    found: Library = _RECORD.read(parse_json(text, str(where)), Where(str(where)))
    return found


def change_library(change: Callable[[Library], Library], path: Path | None = None) -> Library:
    """Change what is kept, as it is now, whatever another window did to it meanwhile.

    Raises FileProblem; nothing is changed then.
    """
    where = library_file() if path is None else path
    disk.make_folder(where.parent, private=True)
    with locks.alone(where.with_suffix(".lock")):
        changed = change(load_library(where))
        text = json.dumps(_RECORD.write(changed), indent=2, ensure_ascii=False)
        disk.write_text(where, text + "\n", private=True)
    return changed
