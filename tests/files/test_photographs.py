"""Photographs of jobs are named from where the bench lies."""

import sys
from pathlib import Path

import pytest

from taperlab.edits.jobs import rename_photographs
from taperlab.files.photographs import found_at, kept_as, may_be_one, names_from
from taperlab.model.bench import Bench
from taperlab.model.job import Job


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
    "kept",
    [
        *("", " ", "a\0b", "../one.jpg", "x/../../one.jpg", "//host/one.jpg", "\\\\host\\a.jpg"),
        *("..\\one.jpg", "x\\..\\..\\one.jpg", "/\\host\\a.jpg", "\\/host/a.jpg", "C:\\one.jpg"),
    ],
)
def test_what_leads_astray_is_nowhere(kept: str, tmp_path: Path) -> None:
    assert found_at(kept, tmp_path / "bench.taperlab") is None


@pytest.mark.skipif(sys.platform == "win32", reason="there it is a whole path")
def test_a_whole_path_of_another_system_is_nowhere_here(tmp_path: Path) -> None:
    assert found_at("C:/pictures/one.jpg", tmp_path / "bench.taperlab") is None


def test_a_bench_without_a_file_has_nothing_below_it() -> None:
    assert found_at("before.jpg", None) is None


def test_only_a_file_that_is_called_a_picture_may_be_one(tmp_path: Path) -> None:
    for name in ("a.jpg", "b.PNG", "c.exe", "d"):
        (tmp_path / name).write_text("x")
    (tmp_path / "folder.jpg").mkdir()
    found = [each.name for each in sorted(tmp_path.iterdir()) if may_be_one(each)]
    assert found == ["a.jpg", "b.PNG"]
    assert not may_be_one(tmp_path / "gone.jpg")


def test_a_bench_that_is_saved_elsewhere_names_them_from_there(tmp_path: Path) -> None:
    bench = Bench(jobs=(Job("job-1", photographs=("pictures/one.jpg", "two.jpg")),))
    old, new = tmp_path / "a" / "bench.taperlab", tmp_path / "a" / "pictures" / "b.taperlab"
    names = names_from(bench, old, new)
    assert names == {
        "pictures/one.jpg": "one.jpg",
        "two.jpg": (tmp_path / "a" / "two.jpg").as_posix(),
    }
    moved = rename_photographs(bench, names).bench
    for was, now in zip(bench.jobs[0].photographs, moved.jobs[0].photographs, strict=True):
        assert found_at(now, new) == found_at(was, old)
    assert rename_photographs(moved, names_from(moved, new, old)).bench == bench
    assert names_from(bench, old, old.with_name("other.taperlab")) == {}
    assert names_from(bench, None, new) == {}
    # One that has no file yet names them in full, and by its folder once it has.
    whole = Bench(jobs=(Job("job-1", photographs=((tmp_path / "a" / "x.jpg").as_posix(),)),))
    assert list(names_from(whole, None, old).values()) == ["x.jpg"]
