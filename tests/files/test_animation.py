"""Frames as one animated picture, or one by one."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from taperlab.files.animation import ENDINGS, HELD, Frame, write_animation, write_frames
from taperlab.files.problem import FileProblem
from taperlab.shop.steps import finish


def frame(colour: tuple[int, int, int], width: int = 12, height: int = 7) -> Frame:
    return Frame(width, height, bytes(colour) * (width * height))


RED, BLUE = frame((200, 30, 20)), frame((10, 20, 220))


@pytest.mark.parametrize("ending", ENDINGS)
def test_frames_and_how_long_they_are_shown_come_back(ending: str, tmp_path: Path) -> None:
    path = tmp_path / f"film{ending}"
    assert finish(write_animation([RED, BLUE, RED], path, 40)) == 3
    with Image.open(path) as found:
        assert (found.n_frames, found.size) == (3, (12, 7))
        seen, shown = [], []
        for i in range(3):
            found.seek(i)
            seen.append(found.convert("RGB").getpixel((3, 3)))
            shown.append(found.info.get("duration"))
    assert seen == [(200, 30, 20), (10, 20, 220), (200, 30, 20)]
    if ending != ".webp":  # which tells when a frame ends, once it is drawn
        assert shown == [40, 40, HELD]


def test_another_ending_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    with pytest.raises(FileProblem, match=r"must end in \.gif, \.png and \.webp"):
        finish(write_animation([RED], tmp_path / "film.mov", 40))
    assert not list(tmp_path.iterdir())


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(FileProblem):
        finish(write_frames([RED], tmp_path / "none", "film"))


def test_no_frame_is_a_fault_of_the_caller(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="no frame"):
        finish(write_animation([], tmp_path / "film.gif", 40))


@settings(max_examples=20)
@given(st.integers(1, 9), st.integers(1, 9), st.data())
def test_single_frames_are_the_very_pixels(wide: int, high: int, data: st.DataObject) -> None:
    import tempfile

    pixels = data.draw(st.binary(min_size=3 * wide * high, max_size=3 * wide * high))
    with tempfile.TemporaryDirectory() as folder:
        finish(write_frames([Frame(wide, high, pixels)], Path(folder), "a"))
        with Image.open(Path(folder) / "a 001.png") as found:
            assert found.tobytes() == pixels
