"""Readings on the way: against drawn builds, stacked least squares, and the order of work."""

from __future__ import annotations

import math
import os
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import norm

from taperlab.model.segment import Part, Segment
from taperlab.physics.frustum import Array
from taperlab.physics.mass_along import MassAlong
from taperlab.shop.pieces.as_built import Loose, Read, Slip, alarm, as_built, odd_pieces
from taperlab.shop.pieces.building import (
    CUT,
    PIECE,
    UNWEIGHED,
    Build,
    Built,
    Meeting,
    batches,
    causes,
    checkpoints,
    effects,
    expected,
    plan_errors,
    reading_variance,
    step_errors,
    total_errors,
    weakest,
)
from taperlab.shop.pieces.trims import (
    check_trim,
    keep_balance,
    shorter_by,
    spare_for,
)
from taperlab.units.finding import Impossible
from tests.looped import FOOT, GRAIN, INCH

PER_FOOT = GRAIN / FOOT
BUILDS = int(os.environ.get("TAPERLAB_BUILDS", "400"))


def piece(name: str, feet: float, density: float, batch: str, error: float | None = None) -> Built:
    per = density * PER_FOOT
    return Built(
        name, per * feet * FOOT, feet * FOOT, per, per, batch, error, 0.75 * INCH * per, 1.0 / per
    )


def head(error: float | None = None, tube: float = 0.0) -> Build:
    """Four pieces, two of them off one spool, lapped by an inch and a half."""
    pieces = (
        piece("front", 9.0, 8.0, "eight", error),
        piece("belly", 11.0, 14.0, "fourteen", error),
        piece("more belly", 7.0, 14.0, "fourteen", error),
        piece("rear", 6.0, 9.0, "nine", error),
    )
    meets = Meeting(tube * GRAIN, 1.5 * INCH)
    return Build(pieces, (meets,) * 3, 0.4 * GRAIN, 0.4 * GRAIN)


def drawn(build: Build, count: int) -> tuple[Array, Array]:
    """What the scale read after each piece in so many builds, and the head's true weight.

    Drawn piece by piece: batches, pieces, cuts, laps and joints as they happen, nothing taken from
    the rows of effects.
    """
    chance = np.random.default_rng(5)
    sd = {(each.what, each.index): each.sd for each in causes(build)}
    names = batches(build)
    reads = np.zeros((count, len(build.pieces)))
    true = np.zeros(count)
    for n in range(count):
        batch = {name: chance.normal(0.0, sd["batch", i]) for i, name in enumerate(names)}
        tube = chance.normal(0.0, sd.get(("tube", 0), 0.0))
        total = 0.0
        for i, each in enumerate(build.pieces):
            off = batch[each.batch] + chance.normal(0.0, PIECE)
            length = each.length + chance.normal(0.0, CUT)
            total += each.mass / each.length * length * (1.0 + off)
            if i:
                joint = build.joints[i - 1]
                if joint.mass:
                    total += joint.mass * (1.0 + tube) + chance.normal(0.0, sd["joint", i - 1])
                lap = chance.normal(0.0, sd["lap", i - 1])
                total -= (build.pieces[i - 1].rear + each.front) / 2.0 * lap
            last = i == len(build.pieces) - 1
            lies = total + (0.0 if last else each.spare)
            reads[n, i] = round(lies / build.scale) * build.scale
        true[n] = total + build.front + build.rear
    return reads, true


def loops_on(build: Build, index: int) -> float:
    """What the loops add to a checkpoint: they are made once all is joined."""
    return build.front + build.rear if index == len(build.pieces) - 1 else 0.0


@pytest.mark.parametrize(("error", "tube"), [(None, 0.0), (None, 1.8), (0.002, 1.8)])
def test_checkpoints_against_drawn_builds(error: float | None, tube: float) -> None:
    build = head(error, tube)
    reads, _ = drawn(build, BUILDS)
    sd = plan_errors(build)
    assert reads.mean(axis=0) == pytest.approx(
        expected(build), abs=4.0 * float(sd.max()) / math.sqrt(BUILDS)
    )
    # A standard deviation of n draws is itself off by 1/sqrt(2n).
    assert reads.std(axis=0) == pytest.approx(sd, rel=4.0 / math.sqrt(2.0 * BUILDS))
    for i, point in enumerate(checkpoints(build)):
        mass, reach = point.mass - loops_on(build, i), point.reach
        # Readings stand in steps: one that is off by just the ± lies within it.
        within = float((np.abs(reads[:, i] - mass) <= reach + 1e-9 * build.scale).mean())
        share = lies_within(build, mass, reach, float(sd[i]))
        assert within == pytest.approx(share, abs=4.0 * math.sqrt(share * (1.0 - share) / BUILDS))
        assert share > 0.93  # of 0.954 the steps of the scale may take some


def lies_within(build: Build, mass: float, reach: float, sd: float) -> float:
    """How often a reading in steps of the scale lies within ± reach, of a normal distribution."""
    step = build.scale
    own = math.sqrt(sd**2 - step**2 / 12.0)
    low = math.ceil((mass - reach) / step - 1e-9) - 0.5
    high = math.floor((mass + reach) / step + 1e-9) + 0.5
    return float(norm.cdf(high * step, mass, own) - norm.cdf(low * step, mass, own))


def test_what_a_piece_adds_is_known_better_than_the_sum() -> None:
    build = head()
    sums, given = plan_errors(build), step_errors(build)
    assert given[0] == pytest.approx(sums[0])
    assert all(given[1:] < sums[1:])
    # The batch of the third piece was weighed with the second.
    assert given[2] < 0.5 * UNWEIGHED * build.pieces[2].mass


def test_the_same_batch_adds_up_linearly() -> None:
    two = Build((piece("a", 10, 14, "one"), piece("b", 10, 14, "one")), (Meeting(),))
    apart = Build((piece("a", 10, 14, "one"), piece("b", 10, 14, "other")), (Meeting(),))
    one = 140 * GRAIN * UNWEIGHED
    rest = plan_errors(apart)[1] ** 2 - 2.0 * one**2
    assert plan_errors(two)[1] ** 2 == pytest.approx(4.0 * one**2 + rest, rel=1e-9)


def stacked(build: Build, readings: dict[int, float]) -> tuple[Array, Array]:
    """The same by least squares: readings and what was known before, one under the other."""
    prior = np.array([each.sd for each in causes(build)])
    rows = effects(build)[[each - 1 for each in readings]]
    misses = [readings[each] - expected(build)[each - 1] for each in readings]
    noise = math.sqrt(reading_variance(build))
    left = np.vstack((rows / noise, np.diag(1.0 / prior)))
    right = np.concatenate((np.array(misses) / noise, np.zeros(len(prior))))
    scaled = left * prior
    off, *_ = np.linalg.lstsq(scaled, right, rcond=None)
    cover = np.linalg.inv(scaled.T @ scaled)
    return off * prior, np.sqrt(np.diag(cover)) * prior


@pytest.mark.parametrize("which", [(1, 2, 3, 4), (4,), (1, 3)])
def test_as_built_is_stacked_least_squares(which: tuple[int, ...]) -> None:
    build = head(None, 1.8)
    reads, _ = drawn(build, 1)
    readings = {each: float(reads[0, each - 1]) for each in which}
    found = as_built(build, Read(readings))
    off, sd = stacked(build, readings)
    assert [each.off for each in found.known] == pytest.approx(list(off), rel=1e-6, abs=1e-12)
    assert [each.after for each in found.known] == pytest.approx(list(sd), rel=1e-6)


def test_the_total_alone_tells_little_of_one_piece() -> None:
    build = head()
    reads, _ = drawn(build, 1)
    total = as_built(build, Read({4: float(reads[0, 3])}))
    every = as_built(build, Read({k: float(reads[0, k - 1]) for k in (1, 2, 3, 4)}))
    front = batches(build).index("eight")
    assert not total.batch(front).is_told
    assert every.batch(front).is_told
    assert max(every.density_errors) < min(total.density_errors[0], 0.006)
    assert as_built(build, Read()).densities == (1.0,) * 4


def test_posteriors_cover_the_truth() -> None:
    """Of drawn batches 95 in 100 lie within two standard deviations of what is believed."""
    build = head()
    chance = np.random.default_rng(11)
    inside = count = 0
    sds = np.array([each.sd for each in causes(build)])
    for _ in range(max(100, BUILDS // 4)):
        theta = chance.normal(0.0, 1.0, len(sds)) * sds
        noise = chance.normal(0.0, math.sqrt(reading_variance(build)), 4)
        reads = expected(build) + effects(build) @ theta + noise
        found = as_built(build, Read({k + 1: float(reads[k]) for k in range(4)}))
        for known, true in zip(found.known, theta, strict=True):
            inside += abs(known.off - true) <= 2.0 * known.after
            count += 1
    assert inside / count == pytest.approx(0.954, abs=0.03)


def built_in_order(order: str, count: int) -> float:
    """Standard deviation of heads that are weighed after each joint, each trim at the next piece.

    The last piece of the order is cut as planned, all before it mended: what is left is its own.
    """
    build = head()
    chance = np.random.default_rng(9)
    at = {"front to rear": 3, "rear to front": 0, "thickest last": 1}[order]
    last = build.pieces[at]
    off = []
    for _ in range(count):
        others = sum(each.mass for i, each in enumerate(build.pieces) if i != at)
        batch, own = chance.normal(0.0, UNWEIGHED), chance.normal(0.0, PIECE)
        # The others weigh what the scale says, but for its rounding.
        there = others + chance.uniform(-0.5, 0.5) * build.scale
        length = last.length + chance.normal(0.0, CUT)
        off.append(there + last.mass / last.length * length * (1.0 + batch + own))
    return float(np.std(off))


@pytest.mark.parametrize("order", ["front to rear", "rear to front", "thickest last"])
def test_the_order_against_drawn_builds(order: str) -> None:
    said = total_errors(head())[order]
    assert said == pytest.approx(built_in_order(order, BUILDS), rel=4.0 / math.sqrt(2 * BUILDS))


def test_the_rule_of_the_order() -> None:
    said = total_errors(head())
    assert said["front to rear"] < said["rear to front"] < said["thickest last"]
    assert said["thickest last"] < said["nothing weighed"]
    assert said["each piece"] < said["front to rear"]
    _, true = drawn(head(), BUILDS)
    assert said["nothing weighed"] == pytest.approx(
        float(true.std()), rel=4.0 / math.sqrt(2.0 * BUILDS)
    )
    assert batches(head())[weakest(head())[0]] == "fourteen"


def test_a_forgotten_tube_and_a_wrong_piece_are_asked_about_first() -> None:
    build = head(0.002, 4.0)
    reads = {k: float(v) for k, v in enumerate(expected(build), 1)}
    assert alarm(build, Read(reads), 2) is None
    without = alarm(build, Read(reads | {2: reads[2] - 4.0 * GRAIN}), 2)
    assert without is not None
    assert without.slips[0] == (Slip.JOINT, 0)
    twice = alarm(build, Read(reads | {2: reads[2] + build.pieces[2].mass}), 2)
    assert twice is not None
    assert twice.is_wrong
    assert twice.slips[0] == (Slip.NEXT, 2)
    swapped = build.pieces[3].mass - build.pieces[0].mass
    wrong = alarm(build, Read(reads | {1: reads[1] + swapped}), 1)
    assert wrong is not None
    assert (Slip.OTHER_PIECE, 3) in wrong.slips
    on = alarm(
        head(0.002),
        Read({1: float(expected(head(0.002))[0]) + 4.0 * GRAIN}),
        1,
        Loose(4.0 * GRAIN),
    )
    assert on is not None
    assert on.slips[0] == (Slip.STILL_ON, 0)


def weighed(build: Build) -> Build:
    """With pieces that weigh, as they are cut, what ends up in the head."""
    return replace(build, pieces=tuple(replace(each, cut=each.mass) for each in build.pieces))


def test_a_reading_as_near_as_the_scale_can_round_is_never_odd() -> None:
    """Two pieces weighed by themselves and then both together: each rounded by half a grain.

    True weights x and y are read as x + e and y + f, and together as x + y + g, with e, f, g up to
    a quarter of a grain either way: they may differ by three quarters of a grain.
    """
    build = weighed(head(0.002))
    first, second = build.pieces[0], build.pieces[1]
    quarter = 0.25 * GRAIN
    own = {0: first.cut - quarter, 1: second.cut - quarter}
    plain = float(expected(build)[1])
    assert alarm(build, Read({2: plain + quarter}, own), 2) is None
    assert alarm(build, Read({2: plain + 8.0 * quarter}, own), 2) is not None


def test_a_piece_that_weighs_what_it_hardly_can_is_named_and_no_evidence_of_the_others() -> None:
    """A digit that slipped; the batch was weighed, or another piece of it tells."""
    build = weighed(head(0.002))
    own = {at: each.cut for at, each in enumerate(build.pieces)}
    assert odd_pieces(build, own) == ()
    heavy = own | {2: own[2] + 10.0 * GRAIN}
    (odd,) = odd_pieces(build, heavy)
    assert (odd.index, odd.is_wrong) == (2, True)
    assert odd.off == pytest.approx(10.0 * GRAIN, rel=0.05)
    # A whole batch that is heavier than its label is no slip of the scale.
    unweighed = replace(
        build, pieces=tuple(replace(each, batch="one", batch_error=None) for each in build.pieces)
    )
    assert odd_pieces(unweighed, {at: 1.03 * mass for at, mass in own.items()}) == ()
    slipped = {at: 1.03 * mass for at, mass in own.items()} | {1: 0.8 * own[1]}
    assert [each.index for each in odd_pieces(unweighed, slipped)] == [1]


@pytest.mark.parametrize(
    ("times", "odd", "wrong"), [(1.9, 0, 0), (2.1, 1, 0), (2.9, 1, 0), (3.1, 1, 1)]
)
def test_a_piece_is_odd_from_two_deviations_on_and_wrong_from_three(
    times: float, odd: int, wrong: int
) -> None:
    """Alone on the scale, what it may be off by adds up by hand: spool, piece, cut, rounding."""
    build = weighed(head(0.004))
    piece = build.pieces[2]
    sd = math.sqrt(
        (0.004 * piece.cut) ** 2
        + (PIECE * piece.cut) ** 2
        + (piece.mass / piece.length * CUT) ** 2
        + (0.5 * GRAIN) ** 2 / 12.0
    )
    found = odd_pieces(build, {2: piece.cut + times * sd})
    assert len(found) == odd
    assert sum(each.is_wrong for each in found) == wrong


def test_trims() -> None:
    taper = MassAlong.of((Segment(Part.BELLY, 6 * FOOT, 0.08 * INCH, 0.05 * INCH, 870.0),))
    by = shorter_by(taper, 2.0 * GRAIN)
    assert taper.cut(taper.length - by, taper.length).mass == pytest.approx(2.0 * GRAIN)
    level = 14.0 * PER_FOOT
    assert spare_for(2.3 * GRAIN, level) == pytest.approx(2.5 * 2.3 / 14.0 * FOOT)
    assert spare_for(0.0, level) == INCH


def test_balance_and_weight_ask_for_opposite_trims() -> None:
    density, end, at = 9.0 * PER_FOOT, 33.0 * FOOT, 16.0 * FOOT
    longer = keep_balance(density, 2.0 * GRAIN, 4.0 * FOOT, end, at)
    moment = 2.0 * GRAIN * (4.0 - 16.0) * FOOT
    moment += density * longer * (end - at) + density * longer**2 / 2.0
    assert moment == pytest.approx(0.0, abs=1e-12)
    assert longer > 0.0 > -2.0 * GRAIN / density
    with pytest.raises(Impossible):
        keep_balance(density, 2.0, 40.0 * FOOT, end, at)


def test_trims_that_go_too_far_say_so() -> None:
    check_trim(3.0, 0.1, 0.05, 0.15)
    for length, trim, says in ((3.0, -0.1, "spare"), (0.2, 0.1, "less than"), (3.0, 0.5, "tenth")):
        with pytest.raises(Impossible, match=says):
            check_trim(length, trim, 0.05, 0.15)
