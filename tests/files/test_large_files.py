"""What is too large is refused in one sentence with the limit, and without reading all of it."""

from __future__ import annotations

import contextlib
import json
import time
from pathlib import Path

import pytest

from taperlab.edits.edited import Refused
from taperlab.files import native
from taperlab.files.disk import LARGEST, read_bytes
from taperlab.files.heads import MOST_HEADS, read_heads
from taperlab.files.marks import Marks
from taperlab.files.problem import FileProblem
from taperlab.files.stations import read_stations
from taperlab.gui.pages.shape.clipboard import read_block
from taperlab.model.bench import Bench
from taperlab.model.line import line_of
from taperlab.model.segment import Part, Segment
from taperlab.units.kinds import System
from taperlab.units.limits import MOST_SEGMENTS, MOST_STATIONS
from tests.tables import parse_table

HEADING = "part,length [ft],front diameter [in],rear diameter [in],density [g/cm^3]\n"
ROW = "belly,0.1,0.06,0.06,0.85\n"


def test_a_table_of_too_many_rows_is_refused_before_a_cell_is_read(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def no_reading(*_: object) -> float:
        raise AssertionError("a cell was read")

    monkeypatch.setattr(Marks, "read", no_reading)
    with pytest.raises(FileProblem) as caught:
        parse_table(HEADING + ROW * 30_000, "line.csv", "line")
    assert str(caught.value.sentence) == (
        f"line.csv, row {MOST_SEGMENTS + 2}: found 30,000 rows below the heading, expected at most "
        "2,000: a line has no more segments."
    )


def test_a_table_of_as_many_rows_as_a_line_may_have_is_read() -> None:
    line = parse_table(HEADING + ROW * MOST_SEGMENTS, "line.csv", "line")
    assert len(line.segments) == MOST_SEGMENTS


def test_a_row_of_too_many_cells_is_refused() -> None:
    with pytest.raises(FileProblem, match=r"row 2: found 5,000 cells, expected at most 100\."):
        parse_table(HEADING + ",".join("x" * 5000), "line.csv", "line")
    blank = "," * 5000
    line = parse_table(HEADING + ROW.strip() + blank, "line.csv", "line")
    assert len(line.segments) == 1


def test_stations_and_heads_have_limits_too(tmp_path: Path) -> None:
    path = tmp_path / "many.csv"
    path.write_text("distance [ft],diameter [in]\n" + "1,0.06\n" * (MOST_STATIONS + 1))
    with pytest.raises(FileProblem, match="found 2,001 rows below the heading, expected at most"):
        read_stations(path)
    path.write_text("name\n" + "".join(f"head {i}\n" for i in range(MOST_HEADS + 1)))
    with pytest.raises(FileProblem, match="no more are planned at once"):
        read_heads(path)


def test_a_bench_with_a_line_of_too_many_segments_is_refused_before_one_is_read() -> None:
    segment = Segment(Part.BELLY, 0.1, 0.001, 0.001, 800.0)
    document = json.loads(native.dumps(Bench(lines=(line_of("a", "Alder", (segment,)),))))
    (line,) = document["lines"]
    line["segments"] = [{"part": "no such part"}] * (MOST_SEGMENTS + 1)
    with pytest.raises(FileProblem) as caught:
        native.loads(json.dumps(document), "a.taperlab")
    assert str(caught.value.sentence) == (
        "a.taperlab: line 1 (“Alder”): found 2,001 segments, expected at most 2,000."
    )


def seconds_to_read(text: str) -> float:
    """The shortest of three."""
    taken = []
    for _ in range(3):
        start = time.perf_counter()
        with contextlib.suppress(FileProblem):
            native.loads(text, "a.taperlab")
        taken.append(time.perf_counter() - start)
    return min(taken)


def test_the_key_that_stands_twice_is_found_in_one_pass() -> None:
    """Whoever looked at all keys for each of them would take a hundred times as long."""
    keys = [f'"key {i}": {i}' for i in range(8000)]
    whole, twice = (
        native.dumps(Bench()).rstrip().removesuffix("}") + "," + ",".join(each) + "}"
        for each in (keys, [*keys, keys[-1]])
    )
    assert native.loads(whole, "a.taperlab") is not None
    with pytest.raises(FileProblem, match="the key “key 7999” stands twice in one object"):
        native.loads(twice, "a.taperlab")
    assert seconds_to_read(twice) < 20.0 * seconds_to_read(whole)


def test_a_file_beyond_all_measure_is_refused_by_its_size(tmp_path: Path) -> None:
    path = tmp_path / "huge.csv"
    with path.open("wb") as stream:
        stream.truncate(LARGEST + 1)
    with pytest.raises(FileProblem, match=r"larger than any bench or line can be: more than 16 MB"):
        read_bytes(path)


def test_a_table_is_read_without_looking_twice_at_its_numbers(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    read, count = Marks.read, [0]

    def counted(*arguments: object) -> float:
        count[0] += 1
        return read(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr(Marks, "read", counted)
    parse_table(HEADING + ROW * 10, "line.csv", "line")
    assert count[0] == 40


def test_more_than_a_table_on_the_clipboard_is_refused_by_its_length() -> None:
    with pytest.raises(Refused, match=r"holds 1,500,000 characters; a table to paste has at most"):
        read_block("belly\t1\n" * 187_500, 0, System.US)
