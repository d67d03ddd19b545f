"""Weighings that cannot all be right are asked about, and nothing more is said until they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from taperlab.edits.cut_back import (
    drop_reading,
    set_first_reading,
    take_reading_again,
    trust_readings,
)
from taperlab.files import native
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutBack, CutStep, NewLoop, Target, TargetKind, Weighing
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Line, Style, line_of
from taperlab.model.measurement import Instruments, Measurement, Station, WeighedSection
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.physics.profile import Profile
from taperlab.physics.trim import scaled_to
from taperlab.shop.cut_back.belief import begin
from taperlab.shop.cut_back.disagreement import Disagreement, disagreement_in
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.study import Study, study_now
from taperlab.shop.cut_back.weighings import shift_of, sums
from taperlab.shop.measure.study import study

HEAD = line_of(
    "line-1",
    "Bought head",
    (
        Segment(Part.FRONT_TAPER, 14 * FOOT, 0.045 * INCH, 0.095 * INCH, 900.0),
        Segment(Part.BELLY, 22 * FOOT, 0.095 * INCH, 0.095 * INCH, 900.0),
    ),
    Style.SCANDI,
)
HEAD = scaled_to(HEAD, 560.0 * GRAIN)
TOOLS = Instruments(scale=0.5 * GRAIN, tape=INCH / 8, micrometer=0.0005 * INCH)


def cut_for(offcut: float) -> float:
    """Length off the rod end [m] of which so many grains are expected, the head being 564.5 gr."""
    profile = Profile.of(scaled_to(HEAD, 564.5 * GRAIN))
    left = float(np.interp(564.5 * GRAIN - offcut * GRAIN, *along(profile)))
    return round((profile.length - left) / (INCH / 8)) * INCH / 8


def along(profile: Profile) -> tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    x = np.linspace(0.0, profile.length, 20001)
    return profile.running_mass(x), x


def job(*steps: CutStep, first: float | None = 564.5, **changes: Any) -> CutBack:
    aim = Target(TargetKind.WEIGHT, 440.0 * GRAIN)
    plain = CutBack(
        "job",
        "line-1",
        aim,
        TOOLS,
        rear_loop=NewLoop(2.5 * INCH, GRAIN),
        first_reading=None if first is None else first * GRAIN,
        steps=steps,
    )
    return replace(plain, **changes)


def studied(what: CutBack, line: Line = HEAD) -> Study:
    return study_now(line, what, None, Water())


def read(head: float | None, offcut: float | None, rear: float | None = None) -> CutStep:
    length = cut_for(offcut if offcut is not None else 100.5) if rear is None else rear
    return CutStep(
        rear=length,
        head=None if head is None else head * GRAIN,
        offcut=None if offcut is None else offcut * GRAIN,
    )


CONTRADICTED = job(read(446.0, 100.5))


def test_what_does_not_add_up_is_asked_and_nothing_is_concluded() -> None:
    found = studied(CONTRADICTED)
    asked = found.disagreement
    assert asked is not None
    assert str(asked.sentence) == (
        "Head and offcut make 546.5 gr; the head was 564.5 gr before. Weigh both again."
    )
    assert asked.step == 0
    assert asked.together == pytest.approx(546.5 * GRAIN)
    assert asked.gap == pytest.approx(-18.0 * GRAIN)
    # No step on, no verdict, no figure of a head whose weight is in question.
    assert not found.stages
    assert found.stop is None
    assert found.plan is asked
    assert (found.finished, found.left, found.standing) == (None, None, None)
    assert not found.is_done
    assert not found.is_weighed
    (step,) = found.log
    assert str(step.detail) == "head 446.0 gr, offcut 100.5 gr"
    assert step.doubts[0] == asked.sentence
    with pytest.raises(ValueError, match="nothing was cut"):
        _ = found.story


def test_what_is_known_tells_which_reading_to_look_at_first() -> None:
    asked = studied(CONTRADICTED).disagreement
    assert asked is not None
    head, offcut, before = asked.readings
    assert [each.what for each in asked.readings] == [
        Weighing.HEAD,
        Weighing.OFFCUT,
        Weighing.FIRST,
    ]
    # The cut was chosen so that 100.5 gr are expected to come off.
    assert offcut.fits
    assert head.fits is not True
    assert "weigh the head first" in str(asked.hint)
    assert head.without == pytest.approx(464.0 * GRAIN)
    assert offcut.without == pytest.approx(446.0 * GRAIN)
    assert before.without == pytest.approx(446.0 * GRAIN)
    assert "then the head weighs 464.0 gr now" in str(head.drop_words)
    assert len(asked.ways) == 4


def bench_with(what: CutBack) -> Bench:
    return Bench((HEAD,), cut_backs=(what,))


def test_the_person_says_which_reading_to_drop_and_it_stays_in_the_log() -> None:
    bench = drop_reading(bench_with(CONTRADICTED), "job", Weighing.HEAD, 0).bench
    (kept,) = bench.cut_backs
    assert kept.steps[0].head is None
    assert kept.steps[0].dropped_head == pytest.approx(446.0 * GRAIN)
    found = studied(kept)
    assert found.disagreement is None
    assert isinstance(found.staged, Staged)
    assert found.left is not None
    assert found.left.mass == pytest.approx(464.0 * GRAIN, abs=0.5 * GRAIN)
    assert "head 446.0 gr, dropped" in str(found.log[0].detail)
    assert native.loads(native.dumps(bench), "x") == bench
    again = take_reading_again(bench, "job", Weighing.HEAD, 0).bench
    assert again == bench_with(CONTRADICTED)


def test_a_reading_that_is_put_right_settles_it() -> None:
    assert studied(job(read(464.0, 100.5))).disagreement is None


def test_a_file_from_before_readings_could_be_dropped_is_read() -> None:
    text = native.dumps(bench_with(job(read(464.0, 100.5))))
    assert "dropped" not in text
    assert "sure" not in text
    assert "last_reading" not in text


@pytest.mark.parametrize("first", [1540.0, 54.0])
def test_an_absurd_first_weight_is_asked_about_unless_the_person_is_sure(first: float) -> None:
    found = studied(job(first=first))
    asked = found.disagreement
    assert asked is not None
    said = f"The head reads {first:.1f} gr, but by its description it weighs 560.0 gr."
    assert str(asked.sentence) == f"{said} Weigh it again."
    assert asked.can_trust
    assert not found.stages
    assert found.first_doubts == (asked.sentence,)
    sure = trust_readings(bench_with(job(first=first)), "job").bench
    assert studied(sure.cut_backs[0]).disagreement is None
    # Another reading is another question.
    again = set_first_reading(sure, "job", 2 * first * GRAIN).bench
    assert not again.cut_backs[0].sure


def test_a_head_that_no_other_weighing_is_beside_must_be_what_the_cut_explains() -> None:
    found = studied(job(read(400.0, None)))
    asked = found.disagreement
    assert asked is not None
    assert "The head reads 400.0 gr; after a cut of" in str(asked.sentence)
    assert asked.can_trust
    trusted = trust_readings(bench_with(found.job or CONTRADICTED), "job", 0).bench
    assert studied(trusted.cut_backs[0]).disagreement is None
    assert studied(job(read(463.0, None))).disagreement is None


def test_an_offcut_that_no_other_weighing_is_beside_must_be_what_the_cut_explains() -> None:
    asked = studied(job(read(None, 160.0, rear=cut_for(100.5)))).disagreement
    assert asked is not None
    assert "The offcut reads 160.0 gr" in str(asked.sentence)
    assert studied(job(read(None, 101.5, rear=cut_for(100.5)))).disagreement is None


@pytest.mark.parametrize("offcut", [300.0, 85.0, 10.0])
def test_an_offcut_beside_a_head_is_held_to_the_cut_if_nothing_was_weighed_before(
    offcut: float,
) -> None:
    """100.5 gr are expected off such a length of a head of 564.5 gr: 464 is left."""
    what = job(read(464.0, offcut, rear=cut_for(100.5)), first=None)
    asked = studied(what).disagreement
    assert asked is not None
    assert f"The offcut reads {offcut:.1f} gr" in str(asked.sentence)
    assert "Weigh both again" in str(asked.sentence)
    assert [each.what for each in asked.readings] == [Weighing.HEAD, Weighing.OFFCUT]
    assert [each.fits for each in asked.readings] == [True, False]
    assert asked.readings[1].without == pytest.approx(464.0 * GRAIN)
    assert asked.can_trust
    trusted = trust_readings(bench_with(what), "job", 0).bench
    assert studied(trusted.cut_backs[0]).disagreement is None
    assert studied(job(read(464.0, 100.5), first=None)).disagreement is None


def test_a_head_that_the_cut_cannot_explain_is_asked_about_beside_its_offcut_too() -> None:
    asked = studied(job(read(300.0, 100.5), first=None)).disagreement
    assert asked is not None
    assert "The head reads 300.0 gr; after a cut of" in str(asked.sentence)
    assert "Weigh both again" in str(asked.sentence)


def test_what_is_left_once_the_first_reading_is_dropped_is_looked_at_too() -> None:
    slipped = job(read(464.0, 300.0, rear=cut_for(100.5)))
    dropped = drop_reading(bench_with(slipped), "job", Weighing.FIRST).bench
    asked = studied(dropped.cut_backs[0]).disagreement
    assert asked is not None
    assert "The offcut reads 300.0 gr" in str(asked.sentence)


# -- a head that was measured, and is not weighed again before it is cut -------------------------


def measured() -> tuple[Line, Measurement]:
    """The head, measured to 560 gr in all at 25 places, and the line that is found so."""
    profile = Profile.of(HEAD)
    places = np.linspace(0.0, profile.length, 25)
    stations = tuple(
        Station(float(x), (float(d),))
        for x, d in zip(places, profile.diameter(places), strict=True)
    )
    whole = WeighedSection(0.0, profile.length, 560.0 * GRAIN)
    told = Measurement(
        "line-1", "Line", profile.length, TOOLS, stations=stations, sections=(whole,)
    )
    fit = study(told).fit
    assert fit is not None
    return fit.line, told


@pytest.mark.parametrize("offcut", [250.0, 5.0])
def test_head_and_offcut_must_make_what_the_head_was_measured_to_weigh(offcut: float) -> None:
    line, told = measured()
    rear = float(np.interp(480 * GRAIN, *along(Profile.of(line))))
    right = CutStep(rear=Profile.of(line).length - rear, head=480 * GRAIN, offcut=80 * GRAIN)

    def ask(step: CutStep) -> Disagreement | None:
        return study_now(line, job(step, first=None), None, Water(), told).disagreement

    assert ask(right) is None
    asked = ask(replace(right, offcut=offcut * GRAIN))
    assert asked is not None
    together = 480.0 + offcut
    assert str(asked.sentence) == (
        f"Head and offcut make {together:.1f} gr; when the head was measured it weighed 560.0 gr. "
        "Weigh both again."
    )
    assert asked.gap == pytest.approx((together - 560.0) * GRAIN, abs=0.01 * GRAIN)
    # No weighing of the log says what was there before: there is none to drop.
    assert [each.what for each in asked.readings] == [Weighing.HEAD, Weighing.OFFCUT]
    assert asked.can_trust
    assert ask(replace(right, offcut=offcut * GRAIN, sure=True)) is None


def test_a_head_weighed_twice_must_weigh_the_same() -> None:
    twice = job(read(464.0, 100.5), CutStep(head=447.0 * GRAIN))
    asked = studied(twice).disagreement
    assert asked is not None
    assert asked.step == 1
    assert "it was 464.0 gr before, and nothing was cut between" in str(asked.sentence)
    assert [(each.what, each.step) for each in asked.readings] == [
        (Weighing.HEAD, 1),
        (Weighing.HEAD, 0),
    ]
    assert studied(job(read(464.0, 100.5), CutStep(head=463.5 * GRAIN))).disagreement is None


def test_an_offcut_stands_in_for_a_head_that_was_not_weighed() -> None:
    """The head then weighs what was there less what came off, and the next sum is held to it."""
    skipped = read(None, 60.0)
    # By hand: 564.5 less 60 is 504.5, and less 17.5 again is 487.
    good = CutStep(rear=10 * INCH, head=487.0 * GRAIN, offcut=17.5 * GRAIN)
    bad = replace(good, head=470.0 * GRAIN)
    assert studied(job(skipped, good)).disagreement is None
    asked = studied(job(skipped, bad)).disagreement
    assert asked is not None
    assert asked.step == 1
    assert asked.before == pytest.approx(504.5 * GRAIN)
    # 504.5 gr was never read: what can be dropped is what the scale said.
    assert [(each.what, each.step) for each in asked.readings] == [
        (Weighing.HEAD, 1),
        (Weighing.OFFCUT, 1),
        (Weighing.FIRST, None),
        (Weighing.OFFCUT, 0),
    ]
    read_as = [each.mass / GRAIN for each in asked.readings]
    assert read_as == pytest.approx([470.0, 17.5, 564.5, 60.0])
    left = [(each.without or 0.0) / GRAIN for each in asked.readings]
    assert left == pytest.approx([564.5 - 60.0 - 17.5, 470.0, 470.0, 470.0])
    assert str(asked.readings[2].drop_words).startswith("Drop the 564.5 gr from before")
    assert str(asked.readings[3].drop_words).startswith("Drop the offcut’s 60.0 gr from cut 1")


@pytest.mark.parametrize("which", range(4))
def test_each_reading_in_question_can_be_dropped_and_settles_it(which: int) -> None:
    """The slip is then in that one: the others agree with each other and with the cut."""
    first, skipped, head, offcut = 564.5, 60.0, 487.0, 17.5
    # Too small to be seen in one reading alone, too large for the sum of four.
    slip = 2.8
    if which == 0:
        head -= slip
    elif which == 1:
        offcut += slip
    elif which == 2:
        first += slip
    else:
        skipped += slip
    second = cut_for(77.5) - cut_for(60.0)
    what = job(
        read(None, skipped, rear=cut_for(60.0)), read(head, offcut, rear=second), first=first
    )
    asked = studied(what).disagreement
    assert asked is not None
    assert asked.step == 1
    assert len(asked.readings) == 4
    reading = asked.readings[which]
    dropped = drop_reading(bench_with(what), "job", reading.what, reading.step or 0).bench
    settled = studied(dropped.cut_backs[0])
    assert settled.disagreement is None
    assert settled.left is not None
    assert settled.left.mass == pytest.approx(487.0 * GRAIN, abs=0.5 * GRAIN)
    assert reading.without == pytest.approx(487.0 * GRAIN)


# -- a head weighed while nothing is cut ---------------------------------------------------------


def test_a_weighing_with_nothing_cut_is_asked_about_as_the_first_one_is() -> None:
    what = job(CutStep(head=1540.0 * GRAIN), first=None)
    asked = studied(what).disagreement
    assert asked is not None
    assert str(asked.sentence) == (
        "The head reads 1540.0 gr, but by its description it weighs 560.0 gr. Weigh it again."
    )
    assert asked.step == 0
    assert [(each.what, each.step) for each in asked.readings] == [(Weighing.HEAD, 0)]
    assert asked.can_trust
    trusted = trust_readings(bench_with(what), "job", 0).bench
    assert studied(trusted.cut_backs[0]).disagreement is None
    dropped = drop_reading(bench_with(what), "job", Weighing.HEAD, 0).bench
    assert studied(dropped.cut_backs[0]).disagreement is None
    assert studied(job(CutStep(head=565.0 * GRAIN), first=None)).disagreement is None


def test_a_measured_head_weighed_with_nothing_cut_must_weigh_what_it_did() -> None:
    line, told = measured()

    def ask(head: float) -> Disagreement | None:
        what = job(CutStep(head=head * GRAIN), first=None)
        return study_now(line, what, None, Water(), told).disagreement

    assert ask(560.5) is None
    asked = ask(540.0)
    assert asked is not None
    assert str(asked.sentence) == (
        "The head reads 540.0 gr, but when it was measured it weighed 560.0 gr. Weigh it again."
    )


def test_a_weighing_after_a_cut_that_was_not_weighed_must_be_what_that_cut_explains() -> None:
    cut = CutStep(rear=cut_for(100.5))
    asked = studied(job(cut, CutStep(head=564.0 * GRAIN), first=None)).disagreement
    assert asked is not None
    assert asked.step == 1
    assert "after what was cut before it should be about" in str(asked.sentence)
    assert studied(job(cut, CutStep(head=464.0 * GRAIN), first=None)).disagreement is None


@pytest.mark.parametrize(("head", "way"), [(465.0, "more"), (463.0, "less")])
def test_a_doubt_where_nothing_was_cut_speaks_of_no_cut(head: float, way: str) -> None:
    found = studied(job(read(464.0, 100.5), CutStep(head=head * GRAIN)))
    assert found.disagreement is None
    (doubt,) = found.log[1].doubts
    assert "In step 2 the head reads" in str(doubt)
    assert f"{way} than expected, and nothing was cut: weigh it once more." in str(doubt)


# -- limits, by hand -----------------------------------------------------------------------------
#
# A scale in steps of 0.5 gr rounds with a standard deviation of 0.5 / sqrt(12), whose square is
# 0.020833; handling adds 0.15**2 = 0.0225: one reading has a variance of 0.043333 gr2. The scale's
# own zero has 0.5**2 = 0.25. Four standard deviations are one too many.


def asks(what: CutBack, measured: tuple[float, float] | None = None) -> bool:
    """Whether a log is asked about, of a head described to weigh 560 gr."""
    beliefs = [begin(HEAD, TOOLS)] * (len(what.steps) + 1)
    if measured is not None:
        measured = (measured[0] * GRAIN, measured[1] * GRAIN)
    return disagreement_in(560.0 * GRAIN, what, beliefs, measured) is not None


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_how_far_readings_may_be_apart(side: float) -> None:
    def edge(logged: Callable[[float], CutBack], inside: float, outside: float) -> None:
        assert not asks(logged(side * inside))
        assert asks(logged(side * outside))

    # Three readings and the zero: 4 sqrt(3 x 0.043333 + 0.25) = 4 sqrt(0.38) = 2.466.
    edge(lambda off: job(read(464.0 + off, 100.5)), 2.46, 2.47)
    # One reading more: 4 sqrt(4 x 0.043333 + 0.25) = 4 sqrt(0.42333) = 2.603. 60 gr come off first.
    skipped = replace(read(None, 60.0), sure=True)
    edge(lambda off: job(skipped, read(487.0 + off, 17.5)), 2.60, 2.61)
    # The same head twice: 4 sqrt(2 x 0.043333) = 4 sqrt(0.086667) = 1.178.
    edge(lambda off: job(CutStep(head=(564.5 + off) * GRAIN)), 1.17, 1.18)
    # By the description, 30 %: 168 gr of 560.
    edge(lambda off: job(first=560.0 + off), 167.9, 168.1)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_how_far_readings_may_be_from_a_measurement(side: float) -> None:
    """The head was measured to weigh 560 gr with a standard deviation of 0.3 gr."""

    def edge(logged: Callable[[float], CutBack], inside: float, outside: float) -> None:
        assert not asks(logged(side * inside), (560.0, 0.3))
        assert asks(logged(side * outside), (560.0, 0.3))

    # One reading: 4 sqrt(0.09 + 0.043333 + 0.25) = 4 sqrt(0.38333) = 2.477.
    edge(lambda off: job(first=560.0 + off), 2.47, 2.48)
    edge(lambda off: job(CutStep(head=(560.0 + off) * GRAIN), first=None), 2.47, 2.48)


def test_a_sum_that_was_off_lets_the_next_one_be_off_as_much() -> None:
    """The first was 1 gr too much, as a zero of some 0.66 gr makes it.

    Its own variance is 0.13, the zero's 0.25: the zero is at 1 x 0.25 / 0.38 = 0.6579 with a
    variance of 0.13 x 0.25 / 0.38 = 0.08553. The next sum may be off from that by
    4 sqrt(0.13 + 0.08553) = 1.857: from -1.199 to 2.515.
    """

    def log(off: float) -> CutBack:
        return job(read(505.5, 60.0), read(488.0 + off, 17.5))

    assert [asks(log(off)) for off in (-1.21, -1.19, 2.51, 2.52)] == [True, False, False, True]


@pytest.mark.parametrize(
    ("skips", "inside", "outside"),
    # Half a step of 0.5 gr for each reading: three make 0.75 gr, four 1 gr.
    [(False, 0.74, 0.76), (True, 0.99, 1.01)],
)
def test_a_sum_is_doubted_beyond_what_its_readings_are_rounded_by(
    skips: bool, inside: float, outside: float
) -> None:
    def doubted(off: float) -> bool:
        steps = [read(464.0 + off, 100.5)]
        if skips:
            second = cut_for(100.5) - cut_for(60.0)
            steps = [read(None, 60.0), read(464.0 + off, 40.5, rear=second)]
        said = [str(each) for each in studied(job(*steps)).log[-1].doubts]
        return any("head and offcut together" in each for each in said)

    assert not doubted(inside)
    assert doubted(outside)


# -- a scale that is off by the same each time -------------------------------------------------


def shifted(by: float, count: int) -> CutBack:
    """A log in which head and offcut together read so much more than before, each time."""
    before, steps = 564.5, []
    for offcut in (60.0, 30.0, 12.0)[:count]:
        head = before + by - offcut
        steps.append(read(head, offcut))
        before = head
    return job(*steps)


@pytest.mark.parametrize("by", [1.0, -1.0])
def test_a_shift_that_comes_back_is_named_and_stops_nothing(by: float) -> None:
    found = studied(shifted(by, 3))
    assert found.disagreement is None
    assert isinstance(found.staged, Staged)
    assert found.shift is not None
    assert found.shift.gap == pytest.approx(by * GRAIN)
    assert found.shift.count == 3
    way = "more" if by > 0.0 else "less"
    said = f"Head and offcut together read 1.0 gr {way} than before each time."
    assert said in str(found.shift.sentence)
    assert not any("weigh both again" in str(each) for step in found.log for each in step.doubts)
    assert studied(shifted(by, 1)).shift is None


def test_a_scale_that_only_rounds_is_seldom_accused() -> None:
    """Half grains, heads of any weight, three cuts: sums are off by rounding alone."""
    rng = np.random.default_rng()
    accused = asked = 0
    for _ in range(400):
        masses = rng.uniform(500, 600) - np.cumsum([0.0, *rng.uniform(10, 40, 3)])
        rounded = np.round(masses * 2) / 2
        offcuts = np.round(-np.diff(masses) * 2) / 2
        steps = [
            read(head, offcut, rear=FOOT) for head, offcut in zip(rounded[1:], offcuts, strict=True)
        ]
        what = job(*steps, first=float(rounded[0]))
        accused += shift_of(sums(what), TOOLS) is not None
        belief = begin(HEAD, TOOLS, float(rounded[0]) * GRAIN)
        described = float(rounded[0]) * GRAIN
        asked += disagreement_in(described, what, [belief] * 4) is not None
    assert accused <= 12
    assert asked == 0
