"""The only place with threads: long work runs beside the window, the newest request wins."""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass, field
from threading import Event
from typing import Any

from PySide6.QtCore import QCoreApplication, QObject, QThreadPool, QTimer, Signal, SignalInstance

from taperlab.units.sentence import Sentence

PROGRESS_AFTER = 600
"""Milliseconds until work is said to take a while; shorter work shows nothing."""

PATIENCE = 0.1
"""Seconds that a step of work waits at most for the window to have nothing to do."""


@dataclass(eq=False)
class _Job:
    """One request: a function of values alone, and who is told the answer."""

    number: int
    lane: str
    work: Callable[..., Any]
    arguments: tuple[Any, ...]
    done: Callable[[Any], object]
    failed: Callable[[Sentence], object] | None
    interim: bool
    stop: Event = field(default_factory=Event)
    may_go_on: Event = field(default_factory=Event)


class Jobs(QObject):
    """Runs work off the thread of the window, one request at a time in each lane.

    Work is a function, or a generator function that yields a share from 0 to 1 and can be stopped
    at each yield. Its arguments are values: never a widget, never the document. A request that
    comes while another of its lane is at work waits, and takes the place of one that waits
    already; the answer of the one at work is dropped, unless it was asked for as ``interim``.

    The window goes first: threads share one interpreter, so a step begins when the window has
    nothing to do, and a key or a repaint that comes then waits for one step at the most.

    busy(lane, bool): work takes longer than a moment, or no longer does. progress(lane, share).
    failed(lane, sentence): work came to grief; nothing was changed.
    """

    busy = Signal(str, bool)
    progress = Signal(str, float)
    failed = Signal(str, object)
    _answered = Signal(int, bool, object)
    _went_on = Signal(int, float)
    _asked = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._pool = QThreadPool(self)
        self._pool.setMaxThreadCount(2)
        self._count = 0
        self._running: dict[str, _Job] = {}
        self._waiting: dict[str, _Job] = {}
        self._shown: set[str] = set()
        self._timers: dict[str, QTimer] = {}
        self._hurry = False
        # Of no interval, it comes when keys, paints and all else that waits is done.
        self._nothing_to_do = QTimer(self)
        self._nothing_to_do.setSingleShot(True)
        self._nothing_to_do.timeout.connect(self._let_go_on)
        # Emitted from other threads, these arrive here through the event loop.
        self._answered.connect(self._take_answer)
        self._went_on.connect(self._take_progress)
        self._asked.connect(self._nothing_to_do.start)

    def run(
        self,
        lane: str,
        work: Callable[..., Any],
        *arguments: Any,
        done: Callable[[Any], object],
        failed: Callable[[Sentence], object] | None = None,
        interim: bool = False,
    ) -> None:
        """Ask for work; ``done`` gets its result unless a newer request of the lane comes first.

        interim: the result is wanted even then, to show while the newer request is at work.
        """
        self._count += 1
        job = _Job(self._count, lane, work, arguments, done, failed, interim)
        if lane in self._running:
            if not self._running[lane].interim:
                self._running[lane].stop.set()
            self._waiting[lane] = job
        else:
            self._start(job)

    def cancel(self, lane: str) -> None:
        """Want no answer in this lane any more."""
        self._waiting.pop(lane, None)
        if lane in self._running:
            self._running[lane].stop.set()
            self._rest(lane)

    def is_busy(self, lane: str | None = None) -> bool:
        """Whether an answer is still to come, in one lane or any."""
        lanes = [lane] if lane is not None else [*self._running]
        return any(
            each in self._waiting
            or (each in self._running and not self._running[each].stop.is_set())
            for each in lanes
        )

    def settle(self) -> None:
        """Wait until all that was asked for is answered: for pictures, never in a window."""
        self._hurry = True
        while self._running:
            self._let_go_on()
            self._pool.waitForDone()
            QCoreApplication.sendPostedEvents(self)
        self._hurry = False

    def stop(self) -> None:
        """Drop all requests and wait for what is at work, before the window goes."""
        self._waiting.clear()
        for job in self._running.values():
            job.stop.set()
        self._let_go_on()
        self._pool.waitForDone()
        QCoreApplication.sendPostedEvents(self)

    # -- in the window's thread ---------------------------------------------------------------

    def _start(self, job: _Job) -> None:
        self._running[job.lane] = job
        timer = self._timers.get(job.lane)
        if timer is None:
            timer = self._timers[job.lane] = QTimer(self)
            timer.setObjectName(job.lane)
            timer.setSingleShot(True)
            timer.setInterval(PROGRESS_AFTER)
            timer.timeout.connect(self._tell_busy)
        if job.lane not in self._shown and not timer.isActive():
            timer.start()
        worker = _Worker(job, self._wait_for_turn, self._answered, self._went_on)
        self._pool.start(worker.run)

    def _let_go_on(self) -> None:
        for job in self._running.values():
            job.may_go_on.set()

    def _tell_busy(self) -> None:
        lane = self.sender().objectName()
        if self.is_busy(lane):
            self._shown.add(lane)
            self.busy.emit(lane, True)

    def _rest(self, lane: str) -> None:
        self._timers[lane].stop()
        if lane in self._shown:
            self._shown.discard(lane)
            self.busy.emit(lane, False)

    def _find(self, number: int) -> _Job | None:
        return next((job for job in self._running.values() if job.number == number), None)

    def _take_answer(self, number: int, well: bool, answer: object) -> None:
        job = self._find(number)
        if job is None:
            return
        del self._running[job.lane]
        newer = self._waiting.pop(job.lane, None)
        if newer is not None:
            self._start(newer)
        else:
            self._rest(job.lane)
        if job.stop.is_set():
            return
        if well:
            job.done(answer)
            return
        sentence = Sentence("That could not be worked out ({why}).", why=str(answer))
        self.failed.emit(job.lane, sentence)
        if job.failed is not None:
            job.failed(sentence)

    def _take_progress(self, number: int, share: float) -> None:
        job = self._find(number)
        if job is not None and not job.stop.is_set():
            self.progress.emit(job.lane, share)

    # -- in the thread of a job ---------------------------------------------------------------

    def _wait_for_turn(self, job: _Job) -> None:
        if self._hurry or job.stop.is_set():
            return
        job.may_go_on.clear()
        self._asked.emit()
        job.may_go_on.wait(PATIENCE)


class _Worker:
    """Does one job on a thread of the pool; it owns no Qt object and touches none but signals."""

    def __init__(
        self,
        job: _Job,
        wait_for_turn: Callable[[_Job], object],
        answered: SignalInstance,
        went_on: SignalInstance,
    ) -> None:
        self._job = job
        self._wait_for_turn = wait_for_turn
        self._answered = answered
        self._went_on = went_on

    def run(self) -> None:
        """Do it, and send the answer."""
        job = self._job
        well, answer = True, None
        try:
            self._wait_for_turn(job)
            if not job.stop.is_set():
                answer = job.work(*job.arguments)
                if isinstance(answer, Generator):
                    answer = self._step_through(answer)
        except Exception as problem:  # noqa: BLE001 - told to the person, whatever it was
            well, answer = False, f"{type(problem).__name__}: {problem}"
        self._answered.emit(job.number, well, answer)

    def _step_through(self, steps: Generator[float, None, Any]) -> Any:
        while not self._job.stop.is_set():
            try:
                share = next(steps)
            except StopIteration as end:
                return end.value
            self._went_on.emit(self._job.number, float(share))
            self._wait_for_turn(self._job)
        steps.close()
        return None
