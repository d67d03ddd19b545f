"""Chooses window or command line; nothing else."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from taperlab.shop.cut_back.study import Study
    from taperlab.units.kinds import System


def main() -> int:
    """Run Taperlab with the arguments of this process and give its exit status."""
    # Its matrices are small: threads for each take longer to call than the sums do.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from taperlab.cli import Screen, run
    from taperlab.shipped import resource
    from taperlab.units import language

    language.load(resource("languages"))
    screen = Screen(open_window=_open_window, draw=_draw, sheet=_sheet, cut_sheet=_cut_sheet)
    return run(sys.argv[1:], screen)


def _open_window(file: Path | None) -> int:
    # What a start makes all stays: to look for garbage in it takes a tenth of the time.
    gc.disable()
    from taperlab.gui.frame.start import run_window

    return run_window(file)


def _draw(file: Path, target: Path, page: str | None) -> None:
    from taperlab.gui.frame.picture import draw

    draw(file, target, page)


def _sheet(file: Path, target: Path) -> None:
    from taperlab.gui.paper.export import write_sheet

    write_sheet(file, target)


def _cut_sheet(study: Study, target: Path, system: System) -> None:
    from taperlab.gui.paper.export import write_cut_sheet

    write_cut_sheet(study, target, system)


if __name__ == "__main__":
    sys.exit(main())
