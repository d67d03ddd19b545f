"""What of a line is its head, and why it has none."""

from __future__ import annotations

import pytest

from taperlab.model.line import Joint, JointKind, Line, Loop, LoopKind, line_of
from taperlab.model.segment import Part, Segment
from taperlab.physics.head import head_of, head_problem, head_rows, rows_in_one_piece
from taperlab.physics.profile import Profile
from taperlab.units.finding import Impossible, Level

FOOT, GRAIN = 0.3048, 64.79891e-6
FRONT = Segment(Part.FRONT_TAPER, 10 * FOOT, 0.001, 0.002, 870.0)
BELLY = Segment(Part.BELLY, 20 * FOOT, 0.002, 0.002, 880.0)
RUNNING = Segment(Part.RUNNING_LINE, 70 * FOOT, 0.001, 0.001, 900.0)
HANDLING = Segment(Part.HANDLING_LINE, 4 * FOOT, 0.0015, 0.0015, 900.0)


def line(*segments: Segment) -> Line:
    return line_of("k", "n", segments)


def test_everything_but_handling_and_running_line_is_head() -> None:
    outside = {Part.HANDLING_LINE, Part.RUNNING_LINE}
    for part in Part:
        one = line(Segment(part, 1.0, 0.001, 0.001, 900.0))
        assert bool(head_rows(one)) == (part not in outside)
    assert head_rows(line(FRONT, BELLY, HANDLING, RUNNING)) == (0, 1)
    assert head_rows(line(FRONT, BELLY, HANDLING)) == (0, 1)


def test_a_head_in_two_pieces_counts_whole_but_only_its_first_is_one_piece() -> None:
    parted = line(FRONT, RUNNING, BELLY)
    assert head_rows(parted) == (0, 2)
    assert rows_in_one_piece(parted) == 1
    assert rows_in_one_piece(line(RUNNING, BELLY)) == 0
    assert rows_in_one_piece(line(FRONT, BELLY)) == 2


@pytest.mark.parametrize(
    ("segments", "says", "level", "row"),
    [
        ((), "no segments yet", Level.NOTE, None),
        ((RUNNING, HANDLING), "it has no head", Level.NOTE, None),
        ((HANDLING, RUNNING, BELLY), "Segment 1 is handling line ahead", Level.CAUTION, 0),
        ((FRONT, RUNNING, BELLY), "segment 2 between them is running line", Level.CAUTION, 1),
    ],
)
def test_the_reason_is_said_once_and_for_all(
    segments: tuple[Segment, ...], says: str, level: Level, row: int | None
) -> None:
    problem = head_problem(line(*segments))
    assert problem is not None
    assert says in str(problem.sentence)
    assert (problem.level, problem.segment) == (level, row)
    with pytest.raises(Impossible) as refused:
        head_of(line(*segments))
    assert refused.value.sentence == problem.sentence


def test_a_head_at_the_fly_end_has_no_problem() -> None:
    assert head_problem(line(FRONT, BELLY, HANDLING, RUNNING)) is None
    whole = line(FRONT, BELLY)
    assert head_problem(whole) is None
    assert head_of(whole) is whole


def test_the_head_keeps_the_sleeve_that_lies_on_it_and_not_the_backing_loop() -> None:
    sleeve = Joint(JointKind.BUTT_WELD, mass=0.9 * GRAIN)
    backing = Loop(LoopKind.BRAIDED, 0.1, 4 * GRAIN)
    plain = line(FRONT, BELLY, RUNNING)
    whole = Line(
        "k", "n", plain.style, plain.segments, (plain.joints[0], sleeve), rear_loop=backing
    )
    head = head_of(whole)
    assert head.segments == (FRONT, BELLY)
    expected = Profile.of(line(FRONT, BELLY)).total_mass + 0.9 * GRAIN
    assert Profile.of(head).total_mass == pytest.approx(expected, rel=1e-12)
