"""The end of a cut-back: the window, the last weighing, and what none of them shows."""

from __future__ import annotations

from dataclasses import replace

import pytest

from taperlab.model.cut_log import CutBack, CutEnd, CutStep, Limits, NewLoop, Target, TargetKind
from taperlab.model.exact_units import FOOT, GRAIN, INCH
from taperlab.model.line import Loop, LoopKind, Style, line_of
from taperlab.model.measurement import Instruments
from taperlab.model.rod import Rod, Window
from taperlab.model.segment import Part, Segment
from taperlab.model.water import Water
from taperlab.physics.trim import scaled_to
from taperlab.shop.cut_back.staging import Why
from taperlab.shop.cut_back.study import Study, study_now
from taperlab.shop.cut_back.way import Act
from taperlab.shop.cut_back.way_words import words_of
from taperlab.trade.windows import Place

BARE = line_of(
    "line-1",
    "Bought head",
    (
        Segment(Part.FRONT_TAPER, 14 * FOOT, 0.045 * INCH, 0.095 * INCH, 900.0),
        Segment(Part.BELLY, 22 * FOOT, 0.095 * INCH, 0.095 * INCH, 900.0),
    ),
    Style.SCANDI,
)
FOLDED = Loop(LoopKind.FOLDED, 2.5 * INCH, 0.5 * GRAIN)
HEAD = scaled_to(replace(BARE, front_loop=FOLDED, rear_loop=FOLDED), 553.0 * GRAIN)
TOOLS = Instruments(scale=0.5 * GRAIN, tape=INCH / 8, micrometer=0.0005 * INCH)
LOOP = NewLoop(2.5 * INCH, 1.5 * GRAIN)


def studied(
    *steps: CutStep,
    target: float = 460.0,
    window: tuple[float, float] | None = None,
    end: CutEnd = CutEnd.REAR,
    first: float = 553.0,
    last: float | None = None,
    sure: bool = False,
    limits: Limits | None = None,
) -> Study:
    job = CutBack(
        "job",
        "line-1",
        Target(TargetKind.WEIGHT, target * GRAIN),
        TOOLS,
        end,
        front_loop=LOOP,
        rear_loop=LOOP,
        first_reading=first * GRAIN,
        steps=steps,
        last_reading=None if last is None else last * GRAIN,
        sure_last=sure,
        limits=limits or Limits(),
    )
    windows = () if window is None else (Window(Style.SCANDI, *(w * GRAIN for w in window)),)
    return study_now(HEAD, job, Rod("rod", "Alder", 13 * FOOT, windows=windows), Water())


def worked_through(target: float = 460.0, **asked: object) -> tuple[CutStep, ...]:
    """Cut as the study says until it says to stop, on a head that is as it is described."""
    steps: tuple[CutStep, ...] = ()
    before = 553.0 * GRAIN
    while (found := studied(*steps, target=target, **asked)).stages:  # type: ignore[arg-type]
        due = found.stages[0]
        head = round(due.before_loops / (GRAIN / 2)) * GRAIN / 2
        steps += (CutStep(due.front, due.rear, head, before - head),)
        before = head
    return steps


@pytest.mark.parametrize("end", [CutEnd.REAR, CutEnd.BOTH])
def test_one_head_has_one_weight(end: CutEnd) -> None:
    """Nothing is cut yet, and nothing will be: the head is what the scale read, loops and all."""
    near = studied(target=552.0, end=end)
    assert near.left is not None
    assert near.stop is not None
    assert near.left.mass == pytest.approx(553.0 * GRAIN, abs=0.01 * GRAIN)
    assert near.stop.off == pytest.approx(1.0 * GRAIN, abs=0.01 * GRAIN)
    assert "1.0 gr over the target of 552.0 gr" in str(near.stop.sentence)


@pytest.mark.parametrize("end", list(CutEnd))
def test_a_finished_head_weighs_what_it_is_said_to_be_off(end: CutEnd) -> None:
    found = studied(*worked_through(end=end), end=end)
    assert found.stop is not None
    assert found.finished is not None
    assert found.is_done
    assert found.finished.mass == pytest.approx(460.0 * GRAIN + found.stop.off, abs=1e-3 * GRAIN)


@pytest.mark.parametrize(
    ("window", "place", "words"),
    [
        ((400.0, 450.0), Place.ABOVE, "too heavy for the grain window"),
        ((480.0, 500.0), Place.BELOW, "too light for the grain window"),
    ],
)
def test_a_head_outside_its_window_is_never_done(
    window: tuple[float, float], place: Place, words: str
) -> None:
    found = studied(*worked_through(), window=window)
    assert found.finished is not None
    assert found.finished.fit is not None
    assert found.finished.fit.place is place
    assert not found.is_done
    assert found.stop is not None
    assert found.stop.why is Why.OUTSIDE_WINDOW
    assert words in str(found.stop.sentence)
    assert studied(*worked_through(), window=(455.0, 470.0)).is_done


def test_a_head_below_its_window_is_not_cut_without_a_word() -> None:
    found = studied(window=(560.0, 600.0))
    assert found.stages
    assert "is too light for the grain window, 560.0 to 600.0 gr, already" in str(
        found.findings[0].sentence
    )
    below = studied(window=(480.0, 500.0))
    assert "At 460.0 gr the head will be too light for the grain window" in str(
        below.findings[0].sentence
    )


def test_the_finished_head_is_weighed_with_its_loop_on() -> None:
    steps = worked_through()
    found = studied(*steps)
    assert found.last is not None
    assert steps[-1].head is not None
    assert found.last.expected == pytest.approx(steps[-1].head + LOOP.mass, abs=0.5 * GRAIN)
    assert "Make the loops, then weigh the head once more with its loops on" in str(
        found.last.sentence
    )
    assert studied(*steps[:-1]).last is None


def test_the_last_weighing_has_the_last_word() -> None:
    steps = worked_through()
    planned = studied(*steps).last
    assert planned is not None
    read = round(2 * (planned.expected / GRAIN + 1.0)) / 2
    found = studied(*steps, last=read)
    assert found.last is not None
    assert not found.last.is_odd
    assert "more than planned" in str(found.last.sentence)
    assert found.finished is not None
    assert found.finished.mass == pytest.approx(read * GRAIN)
    assert found.stop is not None
    assert found.stop.off == pytest.approx((read - 460.0) * GRAIN)
    # A grain more of glue, and the window's edge is passed.
    edge = studied(*steps, last=read, window=(440.0, read - 0.5))
    assert edge.stop is not None
    assert edge.stop.why is Why.OUTSIDE_WINDOW
    assert not edge.is_done


def test_a_last_weighing_that_no_loop_explains_is_a_question() -> None:
    found = studied(*worked_through(), last=480.0)
    assert found.last is not None
    assert found.last.is_odd
    assert found.stop is not None
    assert found.stop.why is Why.WEIGH_FINISHED_AGAIN
    assert "Weigh it again" in str(found.stop.sentence)
    assert not found.is_done
    assert not found.can_finish
    assert studied(*worked_through(), last=461.0).can_finish
    assert found.finished is not None
    assert found.finished.mass == pytest.approx(460.0 * GRAIN, abs=3 * GRAIN)


@pytest.mark.parametrize(
    ("reading", "why", "words"),
    [
        # A hundredth of 460 gr is 4.6 gr: 20 gr over and 30 gr under are neither near enough.
        (480.0, Why.TOO_HEAVY, "20.0 gr over the target of 460.0 gr"),
        (430.0, Why.TOO_LIGHT, "30.0 gr under the target of 460.0 gr"),
        (464.0, Why.DONE, "reads 464.0 gr"),
    ],
)
def test_a_head_is_not_done_where_the_last_weighing_says_otherwise(
    reading: float, why: Why, words: str
) -> None:
    found = studied(*worked_through(), last=reading, sure=True)
    assert found.stop is not None
    assert found.stop.why is why
    assert found.stop.off == pytest.approx((reading - 460.0) * GRAIN)
    assert words in str(found.stop.sentence)
    said = words_of(found, found.due())
    assert found.due().act is Act.FINISHED
    assert (said.role == "good") == (why is Why.DONE)
    assert (str(said.lead) == "Done") == (why is Why.DONE)
    if why is Why.TOO_HEAVY:
        assert not found.is_done


def test_a_last_reading_that_the_loops_alone_pass_stops_no_study() -> None:
    """The old loop and the new one weigh 2 gr: a file may say that the whole head reads 1 gr."""
    found = studied(*worked_through(), last=1.0, sure=True)
    assert found.finished is not None
    assert found.finished.mass == pytest.approx(460.0 * GRAIN, abs=3 * GRAIN)
    assert found.stop is not None
    assert found.stop.why is Why.TOO_LIGHT


def test_what_no_weighing_shows_is_said_in_grains() -> None:
    said = [str(each) for each in studied().cannot_see]
    assert len(said) == 2
    # 0.3 % of 460 gr.
    assert "reads 0.3 % high, the head comes out 1.4 gr lighter" in said[0]
    assert "comes out 1.0 gr heavier" in said[1]


def test_no_stage_goes_into_a_front_taper_that_is_to_stay_whole() -> None:
    """Of 552 gr the 14 ft of taper have 146.2 gr, and a foot of belly has 18.4 gr.

    With its loops the head weighs 156 gr when it is cut 0.42 ft behind the taper, where the fold
    takes 0.21 ft. Should the taper be 6 gr heavier than that, no cut behind it comes to 156 gr.
    """
    keep, cut = Limits(keep_front_taper=True), 20.5 * FOOT
    as_told = studied(
        CutStep(rear=cut, head=174.5 * GRAIN, offcut=378.5 * GRAIN), target=156.0, limits=keep
    )
    assert as_told.stages
    left = 36 * FOOT - cut - sum(stage.rear for stage in as_told.stages)
    assert left - LOOP.fold >= 14 * FOOT
    heavy = CutStep(rear=cut, head=180.5 * GRAIN, offcut=372.5 * GRAIN)
    found = studied(heavy, target=156.0, limits=keep)
    assert not found.stages
    assert found.stop is not None
    assert found.stop.why is Why.LIMIT
    # With its new loop the head would be 182 gr.
    assert found.stop.off == pytest.approx(26.0 * GRAIN, abs=0.5 * GRAIN)
    assert "into the front taper, which is to stay whole" in str(found.stop.sentence)
    assert studied(heavy, target=156.0).stages
