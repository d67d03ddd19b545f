"""Sentences in grains and feet, said in metres and grams."""

import pytest

from taperlab.units.kinds import System
from taperlab.units.sentences import in_units


# 1 gr is 64.79891 mg, 1 in is 25.4 mm, both exactly.
@pytest.mark.parametrize(
    ("sentence", "metric"),
    [
        ("it weighs 500.0 gr.", "it weighs 32.40 g."),
        ("leaves 36 ft 2 3/8 in of it", "leaves 11.033 m of it"),
        ("less than 6 in is no head", "less than 152 mm is no head"),
        ("shorter than 1/4 in.", "shorter than 6 mm."),
        ("over the 30 ft that", "over the 9.144 m that"),
        ("off by 2 ft 1/8 in", "off by 613 mm"),
        ("the cut of 5 3/8 in leaves", "the cut of 137 mm leaves"),
        ("20.00 gr/ft there", "4.252 g/m there"),
        ("a head in 2 pieces, in a line", "a head in 2 pieces, in a line"),
        ("-3.0 gr", "−0.19 g"),
        ("the diameter 0.0850 in at 2 ft", "the diameter 2.159 mm at 610 mm"),
        ("a step of 1.20 in class M", "a step of 1.20 in class M"),
    ],
)
def test_weights_and_lengths_become_metric(sentence: str, metric: str) -> None:
    assert in_units(sentence, System.METRIC) == metric
    assert in_units(sentence, System.US) == sentence
