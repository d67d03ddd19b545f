import pytest

from taperlab.model.exact_units import INCH
from taperlab.trade.joints import hinges, step_error


@pytest.mark.parametrize(
    ("front", "rear", "expected"),
    [
        # Weights per length of line, as they are: some grams a metre.
        (0.004, 0.004, False),
        (0.004 * (1.0 + 1e-9), 0.004, False),
        (0.004 * (1.0 + 1e-4), 0.004, False),
        (0.0031, 0.0030, False),
        (0.0032, 0.0030, True),
        (0.0008, 0.0030, False),
    ],
)
def test_a_front_heavier_than_what_carries_it_hinges(front, rear, expected):
    assert hinges(front / rear, step_error(0.060 * INCH, 0.060 * INCH)) is expected


def test_a_caution_begins_where_a_caliper_can_tell() -> None:
    """A thousandth off a diameter of 0.060 in makes 2/60 of its weight per length, either side."""
    error = step_error(0.060 * INCH, 0.060 * INCH)
    assert error == pytest.approx(2.0**0.5 * 2.0 / 60.0)
    assert not hinges(1.0 + 0.99 * error, error)
    assert hinges(1.0 + 1.01 * error, error)
    # Of one density, it is what the squares of diameters that far apart come to.
    thick, thin = 0.060 + 0.001 / 2**0.5, 0.060 - 0.001 / 2**0.5
    assert (thick / thin) ** 2 - 1.0 == pytest.approx(error, rel=0.03)
