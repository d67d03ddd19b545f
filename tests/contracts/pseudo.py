"""A language in which every text of the program stands in «quotes», to see which ones escape.

Babel finds the texts where the program marks them, the standard library's gettext looks them up.
``python -m tests.contracts.pseudo taperlab.pot`` writes the template that translators start from.
"""

from __future__ import annotations

import csv
import re
import sys
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from functools import cache
from gettext import NullTranslations
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import write_po

from taperlab.units import language

ROOT = Path(__file__).resolve().parents[2]
TOLD = {
    "BadGrid",
    "BadLabels",
    "BadReasons",
    "BadValue",
    "FileProblem",
    "Impossible",
    "NoMember",
    "NotANumber",
    "NotPrinted",
    "Refusal",
    "Refused",
    "TableProblem",
    "Unreadable",
}
"""Exceptions that are raised with a sentence, or with a text that becomes one."""

KEYWORDS: dict[str, tuple[int, ...] | None] = {
    "Sentence": None,
    "counted": (1, 2),
    "tr": None,
    "trn": (1, 2),
    "later": None,
    **dict.fromkeys(TOLD),
}
"""Whose first arguments are texts; of two, the second is the form for several things."""

TABLE_TEXTS = {
    *("words", "name", "title", "text", "defer", "counted", "source"),
    *("short", "short_defer"),
}
"""Keys of the shipped tables whose texts a person reads."""

OPEN, CLOSE = "«", "»"
"""Marks that the program does not use itself and that its own font has."""

UNITS = frozenset("in ft yd mm cm gr oz lb mg kg thou µm ms cm² cm³ degC degF".split())  # noqa: SIM905
"""Words that stand in no catalogue: units are the same in every language."""


@cache
def template() -> Catalog:
    """All texts of the program; to be read, not to be changed."""
    catalog = Catalog(project="Taperlab", copyright_holder="the Taperlab makers", fuzzy=False)
    found = extract_from_dir(ROOT / "taperlab", keywords=KEYWORDS)
    for file, line, message, comments, context in found:
        catalog.add(
            message, locations=[(f"taperlab/{file}", line)], auto_comments=comments, context=context
        )
    for name, text in table_texts():
        catalog.add(text, locations=[(name, 1)])
    return catalog


def table_texts() -> Iterator[tuple[str, str]]:
    """What a person reads of the shipped tables, and which table it stands in."""
    resources = ROOT / "resources"
    for file in (resources / "cautions.toml", *sorted((resources / "tables").glob("*.toml"))):
        for table in _tables(tomllib.loads(file.read_text(encoding="utf-8"))):
            for key in sorted(TABLE_TEXTS & table.keys()):
                yield file.relative_to(ROOT).as_posix(), table[key]
    for file in sorted((resources / "tables").glob("*.csv")):
        for row in csv.DictReader(file.read_text(encoding="utf-8").splitlines()):
            for key in sorted(TABLE_TEXTS & row.keys()):
                yield file.relative_to(ROOT).as_posix(), row[key]


def _tables(found: Any) -> Iterator[dict[str, Any]]:
    if isinstance(found, dict):
        yield found
    for each in found.values() if isinstance(found, dict) else found:
        if isinstance(each, dict | list):
            yield from _tables(each)


def compiled(folder: Path) -> Path:
    """A folder of catalogues that holds the language ``pseudo``."""
    catalog = Catalog(fuzzy=False)
    for message in template():
        if isinstance(message.id, str):
            if message.id:  # the one without a text holds the catalogue's own head
                catalog.add(message.id, f"{OPEN}{message.id}{CLOSE}")
        else:
            catalog.add(message.id, tuple(f"{OPEN}{each}{CLOSE}" for each in message.id))
    target = folder / "pseudo" / "LC_MESSAGES" / f"{language.DOMAIN}.mo"
    target.parent.mkdir(parents=True)
    with target.open("wb") as out:
        write_mo(out, catalog)
    return folder


@contextmanager
def reading_pseudo(folder: Path) -> Iterator[None]:
    """While this lasts, what is made is made in the language ``pseudo``."""
    language.load(compiled(folder), ["pseudo"])
    try:
        yield
    finally:
        language.use(NullTranslations())


def outside(text: str) -> str:
    """What of a text stands in no brackets."""
    kept, depth = [], 0
    for letter in text:
        if letter == CLOSE:
            depth -= 1
        if depth == 0:
            kept.append(" " if letter in OPEN + CLOSE else letter)
        if letter == OPEN:
            depth += 1
    return "".join(kept)


def words(text: str) -> list[str]:
    """Its words of two letters and more."""
    return re.findall(r"[^\W\d_]{2,}", text)


def given(value: object) -> set[str]:
    """The words that people gave: all texts inside a bench, or anything of the model."""
    if type(value) is str:
        return set(words(value))
    if is_dataclass(value):
        value = [getattr(value, each.name) for each in fields(value)]
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list | tuple):
        return set().union(*map(given, value))
    return set()


if __name__ == "__main__":
    with Path(sys.argv[1]).open("wb") as out:
        write_po(out, template(), width=100)
