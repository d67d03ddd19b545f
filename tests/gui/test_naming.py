"""Names in a drawing are placed where they cover nothing."""

from __future__ import annotations

import itertools

from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QRectF, QSizeF

from taperlab.gui.kit.naming import Naming, around

ROOM = QRectF(0.0, 0.0, 400.0, 200.0)
SIZE = QSizeF(50.0, 12.0)

places = st.builds(QPointF, st.floats(0.0, 400.0), st.floats(0.0, 200.0))


def test_the_nearest_free_place_is_taken_and_kept() -> None:
    naming = Naming(ROOM)
    first = naming.place(SIZE, [QPointF(100.0, 100.0)])
    assert first == QRectF(75.0, 94.0, 50.0, 12.0)
    assert naming.place(SIZE, [QPointF(110.0, 100.0)]) is None
    assert naming.place(SIZE, [QPointF(110.0, 100.0), QPointF(200.0, 100.0)]) is not None


def test_a_long_straight_line_is_not_written_over() -> None:
    naming = Naming(ROOM)
    naming.ink([QPointF(0.0, 100.0), QPointF(400.0, 100.0)])
    assert naming.place(SIZE, [QPointF(200.0, 103.0)]) is None
    assert naming.place(SIZE, [QPointF(200.0, 115.0)]) is not None


@settings(max_examples=30)
@given(st.lists(places, min_size=2, max_size=6), st.lists(places, min_size=1, max_size=8))
def test_what_is_placed_covers_neither_line_nor_name_and_lies_in_the_room(
    line: list[QPointF], wanted: list[QPointF]
) -> None:
    naming = Naming(ROOM)
    naming.ink(line)
    found = [naming.place(SIZE, around(at, SIZE)) for at in wanted]
    rects = [each for each in found if each is not None]
    for i, rect in enumerate(rects):
        assert ROOM.contains(rect)
        assert not any(rect.intersects(each) for each in rects[:i])
        for a, b in itertools.pairwise(line):
            steps = 200
            for k in range(steps + 1):
                at = a + (b - a) * (k / steps)
                inner = rect.adjusted(1.0, 1.0, -1.0, -1.0)
                long = max(abs(b.x() - a.x()), abs(b.y() - a.y())) / steps
                assert long > 5.0 or not inner.contains(at) or _short(rect, a, b)


def _short(rect: QRectF, a: QPointF, b: QPointF) -> bool:
    """Whether what of a line lies in a name is shorter than what is looked for."""
    inside = [at for at in (a + (b - a) * (k / 400.0) for k in range(401)) if rect.contains(at)]
    if not inside:
        return True
    first, last = inside[0], inside[-1]
    return abs(last.x() - first.x()) + abs(last.y() - first.y()) <= 8.0
