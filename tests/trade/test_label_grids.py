"""Sheets of labels: their sums, and where each label lies."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.trade.label_grids import BadGrid, LabelGrid, Paper, label_grids, own_grid

MM = 0.001


@pytest.mark.parametrize("grid", label_grids(), ids=lambda grid: grid.name)
def test_margins_and_pitches_add_up_to_the_paper(grid: LabelGrid) -> None:
    # Common practice: what is left over right and below is what is free left and above.
    left, top, right, bottom = grid.margins
    assert right == pytest.approx(left, abs=0.12 * MM)
    assert bottom == pytest.approx(top, abs=0.12 * MM)
    assert min(grid.margins) > -1e-9
    assert grid.pitch_x >= grid.width - 1e-9
    assert grid.pitch_y >= grid.height - 1e-9
    assert 1.5 * MM <= grid.inner <= 6.0 * MM


def test_a_sheet_by_hand() -> None:
    grid = next(each for each in label_grids() if each.name == "1 × 2 5/8 in")
    assert (grid.count, grid.paper) == (30, Paper.LETTER)
    across = 3 * Fraction(21, 8) + 2 * Fraction(1, 8) + 2 * Fraction(3, 16)
    assert across == Fraction(17, 2)
    inch = 0.0254
    assert grid.place(1) == pytest.approx((0.1875 * inch, 0.5 * inch))
    assert grid.place(3) == pytest.approx((5.6875 * inch, 0.5 * inch))
    assert grid.place(4) == pytest.approx((0.1875 * inch, 1.5 * inch))
    assert grid.place(30) == pytest.approx((5.6875 * inch, 9.5 * inch))


def test_names_are_told_apart() -> None:
    names = [each.name for each in label_grids()]
    assert len(set(names)) == len(names)
    assert {each.count for each in label_grids()} >= {6, 8, 10, 14, 20, 21, 24, 30, 40, 65, 80}


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(Paper),
    st.floats(5.0, 250.0),
    st.floats(5.0, 300.0),
    st.floats(0.0, 20.0),
    st.floats(0.0, 20.0),
    st.floats(0.0, 40.0),
)
def test_own_sizes_fill_the_paper_or_are_refused(
    paper: Paper, width: float, height: float, gap: float, left: float, top: float
) -> None:
    pitch = (width + gap) * MM, (height + gap) * MM
    try:
        grid = own_grid(paper, width * MM, height * MM, pitch, (left * MM, top * MM), 0.0)
    except BadGrid:
        over = left + width > 1000.0 * paper.size[0] or top + height > 1000.0 * paper.size[1]
        assert over or width * height < 200.0
        return
    _, _, right, bottom = grid.margins
    assert min(right, bottom) > -0.3 * MM
    assert right < pitch[0]
    assert bottom < pitch[1]


def test_labels_as_thin_as_nothing_are_refused() -> None:
    with pytest.raises(BadGrid):
        own_grid(Paper.A4, 0.0001, 0.05, (0.0, 0.05), (0.0, 0.0))


def test_what_does_not_fit_is_said() -> None:
    def said(*asked: object) -> str:
        with pytest.raises(BadGrid) as problem:
            own_grid(Paper.A4, *asked)  # type: ignore[arg-type]
        return str(problem.value.sentence)

    assert "do not fit into steps of" in said(0.05, 0.03, (0.04, 0.03), (0.0, 0.0))
    assert "beyond the paper" in said(0.3, 0.03, (0.3, 0.03), (0.0, 0.0))
    assert "needs a width" in said(0.0, 0.03, (0.1, 0.03), (0.0, 0.0))
    assert "leaves no room" in said(0.05, 0.004, (0.05, 0.1), (0.0, 0.0))
    assert "at most 400" in said(0.006, 0.006, (0.006, 0.006), (0.0, 0.0), 0.001)
