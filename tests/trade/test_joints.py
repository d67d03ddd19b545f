import pytest

from taperlab.trade.joints import joint_step


@pytest.mark.parametrize(
    ("front", "rear", "hinges"),
    [
        # Weights per length of line, as they are: some grams a metre.
        (0.004, 0.004, False),
        (0.004 * (1.0 + 1e-9), 0.004, False),
        (0.004 * (1.0 + 1e-4), 0.004, True),
        (0.0032, 0.0030, True),
        (0.0008, 0.0030, False),
    ],
)
def test_a_front_heavier_than_what_carries_it_hinges(front, rear, hinges):
    step = joint_step(front, rear)
    assert step.ratio == pytest.approx(front / rear)
    assert step.hinges is hinges


@pytest.mark.parametrize(("front", "rear"), [(0.0, 1.0), (1.0, 0.0), (-1.0, 1.0)])
def test_a_weight_per_length_of_nothing_is_refused(front, rear):
    with pytest.raises(ValueError, match="above zero"):
        joint_step(front, rear)
