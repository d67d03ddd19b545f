"""What is asked of a bench: the line in hand, and the instruments of the page Measure."""

from __future__ import annotations

from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.measurement import Instruments
from taperlab.model.rod import Window
from taperlab.shop.instruments import usual_instruments
from taperlab.shop.on_rod import window_alone
from taperlab.shop.tolerance.study import Asked
from taperlab.units.kinds import System


def instruments_on(bench: Bench, line: Line, system: System) -> Instruments:
    """Those that a line was measured with, else those measured with last, else usual ones.

    They are set once, on the page Measure. A line was measured where a measurement was put on the
    bench as that line, or was compared with it.
    """
    for each in reversed(bench.measurements):
        if line.key in (each.key, each.line):
            return each.instruments
    if bench.measurements:
        return bench.measurements[-1].instruments
    return usual_instruments(system)


def asked_of(bench: Bench, line: Line, system: System) -> Asked:
    """What is asked of a line on a bench."""
    return Asked(line, instruments_on(bench, line, system), bench.water)


def window_of(bench: Bench, line: Line) -> Window | None:
    """The window of the chosen rod that judges a line by itself, if there is one."""
    return window_alone(line, bench.chosen_rod)
