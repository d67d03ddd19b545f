import pytest

from taperlab.trade.joints import hinges


@pytest.mark.parametrize(
    ("front", "rear", "expected"),
    [
        # Weights per length of line, as they are: some grams a metre.
        (0.004, 0.004, False),
        (0.004 * (1.0 + 1e-9), 0.004, False),
        (0.004 * (1.0 + 0.6e-6), 0.004, False),
        (0.004 * (1.0 + 1.4e-6), 0.004, True),
        (0.004 * (1.0 + 1e-4), 0.004, True),
        (0.0032, 0.0030, True),
        (0.0008, 0.0030, False),
    ],
)
def test_a_front_heavier_than_what_carries_it_hinges(front, rear, expected):
    assert hinges(front / rear) is expected
