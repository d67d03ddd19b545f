"""Animated pictures, and pictures one by one, of frames that somebody else drew."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from taperlab.files.disk import write_bytes
from taperlab.files.problem import FileProblem
from taperlab.shop.steps import Steps
from taperlab.units.sentence import Several

if TYPE_CHECKING:
    from PIL.Image import Image

ENDINGS = (".gif", ".png", ".webp")
"""Of animated pictures: which kind is written."""

HELD = 1500
"""The last frame is held so long before it begins anew [ms]."""

COLOURS = 128
"""Of a GIF: lines and flat areas need no more."""


@dataclass(frozen=True, slots=True)
class Frame:
    """One picture: red, green and blue of each pixel, row by row from the top."""

    width: int
    height: int
    pixels: bytes


def write_animation(frames: Sequence[Frame], path: Path, milliseconds: int) -> Steps[int]:
    """Write frames as one animated picture that begins anew at its end; how many there are.

    milliseconds: each frame is shown. Raises FileProblem where the ending is none of an animated
    picture or it cannot be written, ValueError without a frame.
    """
    ending = path.suffix.casefold()
    if ending not in ENDINGS:
        raise FileProblem("{file} must end in {endings}.", file=path, endings=Several(ENDINGS))
    if not frames:
        raise ValueError("there is no frame")
    pictures = []
    for i, frame in enumerate(frames):
        picture = _picture(frame)
        # A palette of each frame's own: colours that it lacks take no place in it.
        pictures.append(picture.quantize(COLOURS) if ending == ".gif" else picture)
        yield 0.7 * (i + 1) / len(frames)
    shown = [milliseconds] * (len(pictures) - 1) + [HELD]
    first, *others = pictures
    buffer = io.BytesIO()
    kind = {".gif": "GIF", ".png": "PNG", ".webp": "WEBP"}[ending]
    how = {"lossless": True} if ending == ".webp" else {}
    first.save(buffer, kind, save_all=True, append_images=others, duration=shown, loop=0, **how)
    write_bytes(path, buffer.getvalue())
    return len(frames)


def write_frames(frames: Sequence[Frame], folder: Path, name: str) -> Steps[int]:
    """Write frames into a folder, each as a PNG called by its number; how many there are.

    Raises FileProblem where one cannot be written.
    """
    for i, frame in enumerate(frames):
        buffer = io.BytesIO()
        _picture(frame).save(buffer, "PNG")
        write_bytes(folder / f"{name} {i + 1:03d}.png", buffer.getvalue())
        yield (i + 1) / len(frames)
    return len(frames)


def _picture(frame: Frame) -> Image:
    # Loaded when a film is first exported: nothing else needs it.
    from PIL import Image

    return Image.frombytes("RGB", (frame.width, frame.height), frame.pixels)
