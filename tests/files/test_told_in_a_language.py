"""What is wrong with a file, a table or a typed text is said in the person's language."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from taperlab.edits.edited import Refused
from taperlab.files import native
from taperlab.files.disk import read_bytes
from taperlab.files.problem import FileProblem
from taperlab.gui.pages.shape.clipboard import read_block
from taperlab.units.kinds import System
from taperlab.units.parse import Unreadable, parse, read_part
from tests.contracts.pseudo import outside, reading_pseudo, words
from tests.kinds import KINDS
from tests.tables import parse_table

HEADING = (
    "part\tlength [ft]\tfront diameter [in]\trear diameter [in]\tdensity [g/cm^3]\tweight [gr]\n"
)
LINE = '"key": "a", "name": "A", "style": "other"'
SEGMENT = (
    '{"part": "tip", "length_m": 1, "front_diameter_m": 0.001, "rear_diameter_m": 0.001,'
    ' "density_kg_m3": 900, "core": {"diameter_m": 0.002, "density_kg_m3": 900}}'
)


@pytest.fixture(autouse=True)
def pseudo(tmp_path: Path) -> Iterator[None]:
    with reading_pseudo(tmp_path):
        yield


def check(said: object) -> None:
    text = str(said)
    assert words(outside(text)) == [], text


def bench(inside: str) -> str:
    return '{"format": "taperlab bench", "version": 1, ' + inside + "}"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "x",
        '{"format": "taperlab bench", ',
        '{"format": "taperlab bench", "x": ' + "9" * 400 + "}",
        '{"format": "taperlab bench", "version": 0}',
        '{"format": "taperlab bench", "version": 9}',
        bench('"lines": 5'),
        bench('"lines": [5]'),
        bench(f'"lines": [{{{LINE}}}]'),
        bench(f'"lines": [{{{LINE}, "segments": [{SEGMENT}]}}]'),
        bench(f'"lines": [{{{LINE}, "segments": [], "joints": [{{"kind": "butt weld"}}]}}]'),
        bench('"lines": [], "water": {"kind": "fresh", "temperature_K": 272, "salinity_kg_kg": 0}'),
        bench(f'"lines": [{{{LINE}, "segments": []}}, {{{LINE}, "segments": []}}]'),
    ],
)
def test_a_damaged_bench(text: str) -> None:
    with pytest.raises(FileProblem) as caught:
        native.loads(text, "7")
    check(caught.value.sentence)


TABLES = [
    "",
    HEADING.replace("part\t", ""),
    HEADING.replace("[ft]", ""),
    HEADING.replace("[ft]", "[gr]"),
    HEADING.replace("weight [gr]", "length [ft]"),
    HEADING + "belly\tseven\t0.06\t0.06\t0.85\t",
    HEADING + "tail\t7\t0.06\t0.06\t0.85\t",
    HEADING + "\t7\t0.06\t0.06\t0.85\t",
    HEADING + "belly\t\t0.06\t0.06\t0.85\t",
    HEADING + "belly\t7\t0.06\t0,06\t0.85\t",
    HEADING + "belly\t7\t0.06\t0.06\t\t",
    HEADING + "belly\t7\t0.06\t0.06\t0.85\t4000",
    HEADING + "belly\t7\t0.06\t0.06\t\t4000",
    HEADING + "belly\t7\t0.06\t0.06\t0.85\t\t\t7",
]


@pytest.mark.parametrize("text", TABLES)
def test_a_table_that_makes_no_line(text: str) -> None:
    with pytest.raises(FileProblem) as caught:
        parse_table(text, "7.7", "7")
    check(caught.value.sentence)


@pytest.mark.parametrize("text", ["", "1\t" * 20 + "1", "1\n" * 3000, HEADING, *TABLES[3:7]])
def test_what_cannot_be_pasted(text: str) -> None:
    with pytest.raises(Refused) as caught:
        read_block(text, 0, System.US)
    check(caught.value.sentence)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    for path in (tmp_path, tmp_path / "7"):
        with pytest.raises(FileProblem) as caught:
            read_bytes(path)
        check(caught.value.sentence)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_what_cannot_be_typed(kind) -> None:
    for text in ("", "seven", "1,234", "1e30", "-1e30", "nan", "7 cubits", "7 km/h"):
        with pytest.raises(Unreadable) as caught:
            parse(text, kind, System.US)
        check(caught.value.sentence)
    assert f"«{kind.noun}»" in str(caught.value.sentence)


def test_a_part_is_typed_in_the_language_or_as_files_have_it() -> None:
    assert read_part("«belly»") is read_part("belly")
    for text in ("", "tail", "f", "«"):
        try:
            read_part(text)
        except Unreadable as problem:
            check(problem.sentence)
