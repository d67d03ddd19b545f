"""Damaged input is read or refused in a sentence: what was found once, and a few hundred fresh."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.fuzz.inputs import READERS, Reader, inputs
from tests.fuzz.run import CORPUS, tried

FRESH = 60
FOUND = sorted(path for path in CORPUS.rglob("*") if path.is_file())


@pytest.mark.parametrize("path", FOUND, ids=lambda path: f"{path.parent.name}-{path.name}")
def test_what_was_found_once(path: Path) -> None:
    reader = next(each for each in READERS if each.name == path.parent.name)
    assert tried(reader, path.read_bytes()) in ("read", "refused")


@pytest.mark.parametrize("reader", READERS, ids=lambda reader: reader.name)
def test_fresh_damage(reader: Reader) -> None:
    became = {tried(reader, inputs(reader, -seed - 1)) for seed in range(FRESH)}
    assert became <= {"read", "refused"}
    assert len(became) == 2 or reader.name in ("cells", "preferences", "recovery")
