"""What must hold for every edit, and for any sequence of them."""

from __future__ import annotations

import importlib
import inspect
import math
import pkgutil
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import taperlab.edits
from taperlab.edits.edited import Edited, Refused
from taperlab.model.bench import Bench
from taperlab.model.line import Line
from taperlab.model.segment import Segment
from taperlab.physics.profile import Profile
from taperlab.units.kinds import System
from tests.files.test_native_after_edits import check_read_back
from tests.strategies import EDITS, benches, done_to


def names(edit) -> str:
    return f"{edit.__module__.rpartition('.')[2]}.{edit.__name__}"


def test_every_edit_is_drawn_from():
    found = set()
    for module in pkgutil.iter_modules(taperlab.edits.__path__):
        loaded = importlib.import_module(f"taperlab.edits.{module.name}")
        for name, function in inspect.getmembers(loaded, inspect.isfunction):
            gives = inspect.signature(function).return_annotation
            shared = function.__module__.rpartition(".")[2] in ("changing", "edited")
            if not (shared or name.startswith("_")) and gives in ("Edited", Edited):
                found.add(function)
    assert found == set(EDITS)


def mean_density(segment: Segment) -> float:
    """Mass over volume, worked out by itself: cones, not the program's own functions."""
    d1, d2 = segment.front_diameter, segment.rear_diameter
    if segment.core is None:
        return segment.density
    core = segment.core.diameter**2
    whole = (d1 * d1 + d1 * d2 + d2 * d2) / 3.0
    return (segment.density * (whole - core) + segment.core.density * core) / whole


MEASURES = {
    "length": lambda segment: segment.length,
    "front diameter": lambda segment: segment.front_diameter,
    "rear diameter": lambda segment: segment.rear_diameter,
    "density": mean_density,
}


def check_bench(bench: Bench) -> None:
    keys = {line.key for line in bench.lines}
    assert bench.view.line is None or bench.view.line in keys
    assert set(bench.view.overlays) <= keys
    assert all(set(rig.lines) <= keys for rig in bench.rigs)
    assert all(each.parent in keys for each in bench.ranges)
    assert all(each.members for each in bench.ranges)
    rods = {rod.key for rod in bench.rods}
    assert all(job.line is None or job.line in keys for job in bench.jobs)
    assert all(job.rod is None or job.rod in rods for job in bench.jobs)
    kept = {version.key for version in bench.versions} | {None}
    assert all({job.before, job.after, *job.rig_before} <= kept for job in bench.jobs)
    assert {job.rig for job in bench.jobs} <= {None, *(rig.key for rig in bench.rigs)}
    assert {each.line for each in bench.pieces.wanted} <= keys
    assert {each.line for each in bench.builds} <= {*keys, None}
    assert {each.built for each in bench.builds} <= {*keys, None}
    for build in bench.builds:
        assert len(build.joints) < len(build.pieces)
        assert build.is_joined or not (build.has_loops or build.last_reading)
    assert bench.rod is None or bench.rod in rods
    for line in bench.lines:
        assert line.name
        assert len(line.joints) == max(0, len(line.segments) - 1)
        for segment in line.segments:
            sizes = (segment.length, segment.front_diameter, segment.rear_diameter)
            assert all(math.isfinite(value) and value > 0.0 for value in sizes)
            assert 49.0 < segment.density < 25_001.0
            if segment.core:
                assert segment.core.diameter <= min(sizes[1:])
        assert math.isfinite(Profile.of(line).total_mass)


def check_moved(before: Line, edited: Edited) -> None:
    after = edited.bench.line(before.key)
    for moved in edited.moved:
        measure = MEASURES[moved.quantity]
        assert moved.before == pytest.approx(measure(before.segments[moved.segment]), rel=1e-9)
        assert moved.after == pytest.approx(measure(after.segments[moved.segment]), rel=1e-9)
        assert moved.before != moved.after


def forgot_a_line(before: Line, after: Line) -> bool:
    """Whether nothing but goals that were of another line are gone."""
    own = tuple(goal for goal in before.aim.goals if goal in after.aim.goals or not goal.line)
    return after == replace(before, aim=replace(before.aim, goals=own))


def check_edit(bench: Bench, edited: Edited) -> None:
    after = edited.bench
    check_bench(after)
    assert edited.text
    assert str(edited.text)[0].isupper()
    if after == bench:
        assert after is bench
        assert not edited.moved
    old = {line.key: line for line in bench.lines}
    for line in after.lines:
        if line.key != edited.line and line.key in old:
            assert line is old[line.key] or forgot_a_line(old[line.key], line)
    if edited.line is not None:
        count = len(after.line(edited.line).segments)
        assert all(0 <= row < count for row in edited.segments)
    if edited.moved:
        check_moved(old[edited.line], edited)


def attempt(edit, bench: Bench, args, options) -> Edited | None:
    """The edit, or None if it is refused in one clear sentence; anything else is raised."""
    sentence = ""
    try:
        return edit(bench, *args, **options)
    except Refused as refused:
        sentence = str(refused.sentence)
        assert str(refused) == sentence  # noqa: PT017
    assert sentence[0].isupper() or sentence.startswith(tuple(line.name for line in bench.lines))
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert " nan" not in sentence
    return None


@pytest.mark.parametrize("edit", EDITS, ids=names)
@settings(max_examples=settings().max_examples // 3)
@given(data=st.data(), bench=benches(least_lines=1, least_rows=1))
def test_an_edit_is_refused_or_gives_a_sound_bench_that_is_read_as_it_was_written(
    edit, data, bench
):
    _, args, options = data.draw(done_to(bench, edit))
    recorded = repr(bench)
    edited = attempt(edit, bench, args, options)
    if edited:
        check_edit(bench, edited)
        check_read_back(edited.bench, data.draw(st.sampled_from(System)))
    assert repr(bench) == recorded


@settings(max_examples=100, deadline=None)
@given(data=st.data(), bench=benches())
def test_any_sequence_keeps_the_bench_sound_and_its_past_as_it_was(data, bench):
    past = [(bench, repr(bench))]
    for _ in range(data.draw(st.integers(1, 12))):
        edit, args, options = data.draw(done_to(bench))
        edited = attempt(edit, bench, args, options)
        if not edited:
            continue
        check_edit(bench, edited)
        bench = edited.bench
        past.append((bench, repr(bench)))
    for was, recorded in past:
        assert repr(was) == recorded
