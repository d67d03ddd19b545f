"""Photographs of jobs are named from where the bench lies."""

from pathlib import Path

import pytest

from taperlab.files.photographs import found_at, kept_as


def test_what_lies_below_the_bench_moves_with_it(tmp_path: Path) -> None:
    bench, other = tmp_path / "a" / "bench.taperlab", tmp_path / "b" / "bench.taperlab"
    kept = kept_as(tmp_path / "a" / "pictures" / "before.jpg", bench)
    assert kept == "pictures/before.jpg"
    assert found_at(kept, bench) == tmp_path / "a" / "pictures" / "before.jpg"
    assert found_at(kept, other) == tmp_path / "b" / "pictures" / "before.jpg"
    assert kept_as(tmp_path / "a" / "x" / ".." / "one.jpg", bench) == "one.jpg"


def test_what_lies_elsewhere_is_named_in_full(tmp_path: Path) -> None:
    photograph = tmp_path / "elsewhere" / "one.jpg"
    for bench in (tmp_path / "a" / "bench.taperlab", None):
        assert found_at(kept_as(photograph, bench), bench) == photograph


@pytest.mark.parametrize(
    "kept", ["", " ", "a\0b", "../one.jpg", "x/../../one.jpg", "//host/one.jpg", "\\\\host\\a.jpg"]
)
def test_what_leads_astray_is_nowhere(kept: str, tmp_path: Path) -> None:
    assert found_at(kept, tmp_path / "bench.taperlab") is None


def test_a_bench_without_a_file_has_nothing_below_it() -> None:
    assert found_at("before.jpg", None) is None
