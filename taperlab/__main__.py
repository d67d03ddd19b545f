"""Chooses window or command line; nothing else."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from taperlab.cli import Looks, Screen
    from taperlab.model.bench import Bench
    from taperlab.shop.cut_back.study import Study
    from taperlab.shop.labels.asking import Asked
    from taperlab.shop.labels.content import LabelContent
    from taperlab.units.kinds import System
    from taperlab.units.sentence import Sentence


def main() -> int:
    """Run Taperlab with the arguments of this process and give its exit status."""
    # Its matrices are small: threads for each take longer to call than the sums do.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from taperlab.cli import run
    from taperlab.shipped import resource
    from taperlab.units import language

    language.load(resource("languages"))
    return run(sys.argv[1:], screen())


def screen() -> Screen:
    """What the command line needs of Qt, each loaded when it is asked for."""
    from taperlab.cli import Screen

    return Screen(_open_window, _draw, _sheet, _cut_sheet, _pages, _labels)


def _open_window(file: Path | None, looks: Looks) -> int:
    # What a start makes all stays: to look for garbage in it takes a tenth of the time.
    gc.disable()
    import taperlab.gui.frame.before_qt  # noqa: F401
    from taperlab.files.preferences import Theme
    from taperlab.gui.frame.start import run_window

    return run_window(
        file,
        line=looks.line,
        page=looks.page,
        system=looks.units,
        theme=Theme(looks.theme) if looks.theme else None,
    )


def _draw(bench: Bench, source: Path, target: Path, looks: Looks) -> None:
    from taperlab.files.preferences import Theme
    from taperlab.gui.frame.picture import draw_bench
    from taperlab.units.kinds import System

    draw_bench(
        bench,
        source,
        target,
        looks.page,
        theme=Theme(looks.theme or Theme.LIGHT),
        scale=looks.scale,
        system=looks.units or System.US,
    )


def _sheet(bench: Bench, source: Path, target: Path, looks: Looks) -> None:
    from taperlab.gui.paper.export import write_sheet_of
    from taperlab.units.kinds import System

    write_sheet_of(bench, source, target, looks.units or System.US, looks.paper)


def _cut_sheet(study: Study, target: Path, system: System, looks: Looks) -> None:
    from taperlab.gui.paper.export import write_cut_sheet

    write_cut_sheet(study, target, system, looks.paper)


def _labels(
    asked: Asked, contents: Sequence[LabelContent], target: Path, system: System
) -> Sequence[Sentence]:
    from taperlab.gui.paper.export import write_labels

    return write_labels(asked, contents, target, system)


def _pages() -> tuple[str, ...]:
    from taperlab.gui.pages.catalogue import PAGES

    return tuple(entry.key for entry in PAGES)


if __name__ == "__main__":
    sys.exit(main())
