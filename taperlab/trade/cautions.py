"""Short cautions for the jobs that can hurt someone."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache

from taperlab.trade.tables import read_table


class Topic(StrEnum):
    """What a caution is about."""

    BLADE = "blade"
    HEAT = "heat"
    FUMES = "fumes"
    ADHESIVE = "adhesive"
    SOLVENT = "solvent"
    LEAD = "lead"
    TUNGSTEN_DUST = "tungsten dust"
    OVERLOADED_ROD = "overloaded rod"
    HOOK = "hook"


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: a title, what to mind, and whose word goes before ours; looked up when shown.

    short: what to mind, in fewer words; empty where there is no shorter form.
    """

    topic: Topic
    title: str
    text: str
    defer: str
    short: str = ""


@lru_cache(maxsize=1)
def cautions() -> tuple[Caution, ...]:
    """All cautions, in the order of the work: cutting, welding, fishing."""
    return tuple(
        Caution(Topic(row["topic"]), row["title"], row["text"], row["defer"], row.get("short", ""))
        for row in read_table("cautions.toml")["caution"]
    )


def short_defer() -> str:
    """Whose word goes before ours, for all cautions in their short form; looked up when shown."""
    return str(read_table("cautions.toml")["short_defer"])


def caution(topic: Topic) -> Caution:
    """The caution on a topic."""
    return next(each for each in cautions() if each.topic is topic)
