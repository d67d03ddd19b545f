"""Work beside the window: the newest request wins, and nothing is left behind."""

from __future__ import annotations

from collections.abc import Iterator
from threading import Event

import pytest
from pytestqt.qtbot import QtBot

from taperlab.gui.state import jobs as jobs_module
from taperlab.gui.state.jobs import Jobs
from taperlab.units.sentence import Sentence

LONGEST = 20.0
"""Seconds until a test gives up on an event that never comes."""


@pytest.fixture
def jobs(qapp: object) -> Iterator[Jobs]:
    made = Jobs()
    yield made
    made.stop()
    assert not made.is_busy()


class Gate:
    """Work that waits until it is let through, so that tests need no clock."""

    def __init__(self) -> None:
        self.entered = Event()
        self.opened = Event()

    def work(self, answer: object) -> object:
        self.entered.set()
        assert self.opened.wait(LONGEST)
        return answer


def add(one: int, other: int) -> int:
    return one + other


def fail() -> None:
    raise ZeroDivisionError("no such luck")


def test_an_answer_comes(jobs: Jobs, qtbot: QtBot) -> None:
    got: list[int] = []
    jobs.run("sum", add, 2, 3, done=got.append)
    assert jobs.is_busy("sum")
    qtbot.waitUntil(lambda: got == [5])
    assert not jobs.is_busy()


def test_the_newest_of_a_lane_wins_and_those_between_are_never_begun(
    jobs: Jobs, qtbot: QtBot
) -> None:
    gate, got, begun = Gate(), [], []
    jobs.run("fit", gate.work, "first", done=got.append)
    assert gate.entered.wait(LONGEST)
    jobs.run("fit", begun.append, "second", done=got.append)
    jobs.run("fit", add, 1, 2, done=got.append)
    gate.opened.set()
    qtbot.waitUntil(lambda: got == [3])
    assert begun == []


def test_an_interim_answer_is_shown_while_the_newer_is_at_work(jobs: Jobs, qtbot: QtBot) -> None:
    gate, later, got = Gate(), Gate(), []
    jobs.run("fit", gate.work, "first", done=got.append, interim=True)
    jobs.run("fit", later.work, "second", done=got.append, interim=True)
    gate.opened.set()
    qtbot.waitUntil(lambda: got == ["first"])
    later.opened.set()
    qtbot.waitUntil(lambda: got == ["first", "second"])


def test_lanes_do_not_wait_for_one_another(jobs: Jobs, qtbot: QtBot) -> None:
    gate, got = Gate(), []
    jobs.run("slow", gate.work, "slow", done=got.append)
    jobs.run("quick", add, 1, 1, done=got.append)
    qtbot.waitUntil(lambda: got == [2])
    gate.opened.set()
    qtbot.waitUntil(lambda: got == [2, "slow"])


def test_a_cancelled_request_gives_no_answer(jobs: Jobs, qtbot: QtBot) -> None:
    gate, got = Gate(), []
    jobs.run("fit", gate.work, "late", done=got.append)
    assert gate.entered.wait(LONGEST)
    jobs.cancel("fit")
    assert not jobs.is_busy("fit")
    gate.opened.set()
    jobs.settle()
    assert got == []


def test_a_generator_tells_how_far_it_is_and_stops_when_a_newer_comes(
    jobs: Jobs, qtbot: QtBot
) -> None:
    at_half, closed = Event(), Event()

    def steps() -> Iterator[float]:
        try:
            yield 0.5
            at_half.set()
            while True:
                yield 0.6
        finally:
            closed.set()

    shares: list[float] = []
    got: list[object] = []
    jobs.progress.connect(lambda _lane, share: shares.append(share))
    jobs.run("fit", steps, done=got.append)
    assert at_half.wait(LONGEST)
    qtbot.waitUntil(lambda: 0.5 in shares)
    jobs.run("fit", add, 4, 4, done=got.append)
    qtbot.waitUntil(lambda: got == [8])
    assert closed.is_set()


def test_a_generator_gives_its_result(jobs: Jobs, qtbot: QtBot) -> None:
    def steps() -> Iterator[float]:
        yield 0.5
        return "whole"

    got: list[object] = []
    jobs.run("fit", steps, done=got.append)
    qtbot.waitUntil(lambda: got == ["whole"])


def test_an_error_is_told_in_a_sentence_and_the_lane_goes_on(jobs: Jobs, qtbot: QtBot) -> None:
    told: list[tuple[str, Sentence]] = []
    sentences: list[Sentence] = []
    got: list[int] = []
    jobs.failed.connect(lambda lane, sentence: told.append((lane, sentence)))
    jobs.run("fit", fail, done=got.append, failed=sentences.append)
    qtbot.waitUntil(lambda: bool(told))
    assert told[0][0] == "fit"
    assert "no such luck" in str(told[0][1])
    assert sentences == [told[0][1]]
    jobs.run("fit", add, 1, 1, done=got.append)
    qtbot.waitUntil(lambda: got == [2])


def test_only_long_work_is_said_to_be_busy(
    jobs: Jobs, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[tuple[str, bool]] = []
    jobs.busy.connect(lambda lane, busy: told.append((lane, busy)))
    got: list[object] = []
    jobs.run("short", add, 1, 1, done=got.append)
    qtbot.waitUntil(lambda: got == [2])
    assert told == []
    monkeypatch.setattr(jobs_module, "PROGRESS_AFTER", 1)
    gate = Gate()
    jobs.run("long", gate.work, "long", done=got.append)
    qtbot.waitUntil(lambda: told == [("long", True)])
    gate.opened.set()
    qtbot.waitUntil(lambda: told == [("long", True), ("long", False)])


def test_stopping_waits_for_what_is_at_work_and_drops_the_rest(qapp: object) -> None:
    jobs = Jobs()
    gate, got = Gate(), []
    jobs.run("fit", gate.work, "late", done=got.append)
    assert gate.entered.wait(LONGEST)
    jobs.run("fit", add, 1, 1, done=got.append)
    gate.opened.set()
    jobs.stop()
    assert got == []
    assert not jobs.is_busy()


def test_a_step_of_work_begins_when_the_window_has_nothing_to_do(jobs: Jobs, qtbot: QtBot) -> None:
    # Both share one interpreter: a step at work would keep a key or a repaint waiting.
    begun = Event()
    jobs.run("fit", begun.set, done=lambda _: None)
    assert not begun.wait(jobs_module.PATIENCE / 3.0)  # this thread is at work itself
    qtbot.waitUntil(begun.is_set)
