"""Weights and lengths as sentences say them."""

import pytest

from taperlab.model.exact_units import GRAIN, INCH
from taperlab.shop.words import feet, grains, thousandths
from taperlab.units.show import show_eighths


@pytest.mark.parametrize(
    ("inches", "said"),
    [
        (0.0, "0 in"),
        (0.06, "0 in"),
        (0.125, "1/8 in"),
        (5.5, "5 1/2 in"),
        (11.99, "1 ft"),
        (120.125, "10 ft 1/8 in"),
        (162.75, "13 ft 6 3/4 in"),
        (-14.0, "-1 ft 2 in"),
        (-0.01, "0 in"),
    ],
)
def test_lengths_in_feet_and_eighths(inches: float, said: str) -> None:
    assert feet(inches * INCH) == said


def test_sentences_and_readouts_say_a_length_alike() -> None:
    for eighths in range(8 * 12 * 3):
        length = eighths * INCH / 8.0
        assert feet(length) == show_eighths(length)


def test_weights_and_diameters() -> None:
    assert grains(480.04 * GRAIN) == "480.0 gr"
    assert thousandths(0.0371 * INCH) == "0.0371 in"
