"""Sink-rate classes of two printed charts: an encyclopaedia (cm/s) and a trade chart (in/s).

Common practice: neither chart names an author, and both are undated. What is checked is that the
shipped table holds them as they were printed.
"""

import pytest

from taperlab.model.exact_units import INCH
from taperlab.trade.sink_types import sink_charts

ENCYCLOPAEDIA = {1: (2.5, 5), 2: (3.8, 7.6), 3: (6.3, 10), 4: (8.9, 16.5), 5: (11.4, 17)}
ENCYCLOPAEDIA |= {6: (15, 17.8)}
TRADE_CHART = {1: (1.25, 1.75), 2: (2.5, 3), 3: (3.5, 4), 4: (4.25, 5), 5: (5.25, 6), 6: (6.25, 7)}


@pytest.mark.parametrize(
    ("chart", "printed", "unit"),
    [(0, ENCYCLOPAEDIA, 0.01), (1, TRADE_CHART, INCH)],
    ids=["encyclopaedia", "trade chart"],
)
def test_every_cell(chart, printed, unit):
    shipped = {t.number: (t.slowest / unit, t.fastest / unit) for t in sink_charts()[chart].types}
    assert sorted(shipped) == sorted(printed)
    for number, band in printed.items():
        assert shipped[number] == pytest.approx(band, rel=1e-14)
