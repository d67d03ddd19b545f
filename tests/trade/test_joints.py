import pytest

from taperlab.trade.joints import joint_step


@pytest.mark.parametrize(
    ("front", "rear", "hinges", "abrupt", "word"),
    [
        (1.0, 1.0, False, False, "ordinary"),
        (1.0 + 1e-9, 1.0, False, False, "ordinary"),
        (1.01, 1.0, True, False, "hinge"),
        (0.5, 1.0, False, False, "ordinary"),
        (0.49, 1.0, False, True, "half"),
    ],
)
def test_thresholds(front, rear, hinges, abrupt, word):
    step = joint_step(front, rear)
    assert (step.hinges, step.abrupt) == (hinges, abrupt)
    assert word in step.words


@pytest.mark.parametrize(("front", "rear"), [(0.0, 1.0), (1.0, 0.0), (-1.0, 1.0)])
def test_a_weight_per_length_of_nothing_is_refused(front, rear):
    with pytest.raises(ValueError, match="above zero"):
        joint_step(front, rear)
