"""Programs, in whole numbers and in any, solved by a solver that others keep.

It is loaded when first asked. Effort is counted in the solver's own looks at its limits and not in
seconds, so that the same question has the same answer twice, on any computer that is not so slow
that ``_PATIENCE`` ends it; it works in a thread of its own that can be told to stop.
"""

from __future__ import annotations

import contextlib
import math
import os
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from taperlab.physics.frustum import Array
from taperlab.shop.steps import Steps

_PATIENCE = 60.0
"""Seconds after which any single question ends, on however slow a computer."""

_LOOK = 0.004
"""Seconds between two looks at a solver that works."""


@dataclass(slots=True)
class Program:
    """Minimise costs . x with rows of low <= a . x <= high; filled column by column, row by row."""

    costs: list[float] = field(default_factory=list)
    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[float, float, list[tuple[int, float]]]] = field(default_factory=list)

    def column(self, cost: float, lower: float, upper: float, *, whole: bool) -> int:
        """One more number to be found; gives its place."""
        self.costs.append(cost)
        self.lower.append(lower)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.costs) - 1

    def row(self, low: float, high: float, terms: Sequence[tuple[int, float]]) -> None:
        """One more condition."""
        self.rows.append((low, high, [each for each in terms if each[1]]))


@dataclass(frozen=True, slots=True)
class Solved:
    """values: the best that was found, None where nothing was. bound: no answer costs less.

    proved: nothing is better, or, without values, there is nothing.
    """

    values: tuple[float, ...] | None
    bound: float
    proved: bool


def never() -> bool:
    """Do not stop."""
    return False


def solve(
    program: Program,
    effort: int,
    start: Sequence[float] | None = None,
    stop: Callable[[], bool] = never,
) -> Steps[Solved]:
    """The best values; yields the share of the effort while the solver works.

    effort: how often the solver may look at its limits. start: values that are allowed, to begin
    with. stop: whether to end with the best so far.
    """
    if not program.costs:
        return Solved((), 0.0, True)
    work = _Work(program, effort, start)
    thread = threading.Thread(target=work.run, daemon=True)
    thread.start()
    try:
        while thread.is_alive():
            thread.join(_LOOK)
            if thread.is_alive():
                yield min(1.0, work.looks / effort)
                work.is_stopped = work.is_stopped or stop()
    finally:
        work.is_stopped = True
        thread.join()
    if work.fault is not None:
        raise work.fault
    assert work.answer is not None
    return work.answer


class _Work:
    """One question and the solver that works on it, in another thread."""

    def __init__(self, program: Program, effort: int, start: Sequence[float] | None) -> None:
        self.program, self.effort, self.start = program, effort, start
        self.looks, self.is_stopped = 0, False
        self.answer: Solved | None = None
        self.fault: BaseException | None = None

    def run(self) -> None:
        """Solve it; what goes wrong is raised where the answer is asked for."""
        try:
            with _without_output():
                self.answer = self._solved()
        except BaseException as fault:  # noqa: BLE001 - carried over to the other thread
            self.fault = fault

    def _look(self, event: Any) -> None:
        self.looks += 1
        if self.is_stopped or self.looks > self.effort:
            event.data_in.user_interrupt = True

    def _solved(self) -> Solved:
        import highspy

        solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
        for option, value in (
            ("output_flag", False),
            ("threads", 1),
            ("mip_rel_gap", 0.0),
            ("mip_abs_gap", 1e-6),
            ("time_limit", _PATIENCE),
            ("random_seed", 1),
            # It is given a good answer to begin with and is asked for the bound: its own search for
            # answers, and for likenesses that we take out ourselves, looks at no limit for seconds.
            ("mip_heuristic_effort", 0.0),
            ("mip_detect_symmetry", False),
        ):
            solver.setOptionValue(option, value)
        solver.passModel(_model(highspy, self.program))
        if self.start is not None:
            begun = highspy.HighsSolution()
            begun.col_value = list(self.start)
            solver.setSolution(begun)
        solver.cbMipInterrupt += self._look
        solver.run()
        info, status = solver.getInfo(), solver.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return Solved(None, math.inf, True)
        proved = status == highspy.HighsModelStatus.kOptimal
        found = info.primal_solution_status == highspy.kSolutionStatusFeasible
        values = tuple(solver.getSolution().col_value) if found else None
        bound = info.objective_function_value if proved else info.mip_dual_bound
        return Solved(values, float(bound), proved)


class Growing:
    """Minimise costs . x, x in any numbers from nought on; columns are added as they come.

    Each row is low <= a . x <= high. It goes on from where it ended last, and answers within
    milliseconds.
    """

    def __init__(self, rows: Sequence[tuple[float, float]]) -> None:
        import highspy

        self._highspy: Any = highspy
        with _without_output():
            self._solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
        for option, value in (("output_flag", False), ("threads", 1), ("random_seed", 1)):
            self._solver.setOptionValue(option, value)
        nothing = np.array([], dtype=np.int32), np.array([])
        for low, high in rows:
            self._solver.addRow(low, high, 0, *nothing)

    def column(self, cost: float, terms: Sequence[tuple[int, float]]) -> None:
        """One more number to be found; terms: what of it stands in which row."""
        places = np.array([row for row, _ in terms], dtype=np.int32)
        values = np.array([value for _, value in terms], dtype=float)
        self._solver.addCol(cost, 0.0, math.inf, len(terms), places, values)

    def keep_row(self, row: int, low: float, high: float) -> None:
        """What a row must lie between from now on."""
        self._solver.changeRowBounds(row, low, high)

    def keep_column(self, column: int, most: float) -> None:
        """What a number may be at most from now on."""
        self._solver.changeColBounds(column, 0.0, most)

    def answer(self) -> tuple[Array, Array] | None:
        """The numbers, and what a unit of each row costs; None where nothing meets the rows."""
        with _without_output():
            self._solver.run()
        if self._solver.getModelStatus() != self._highspy.HighsModelStatus.kOptimal:
            return None
        found = self._solver.getSolution()
        return np.array(found.col_value), np.array(found.row_dual)


def _model(highspy: Any, program: Program) -> Any:
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(program.costs), len(program.rows)
    model.col_cost_ = np.array(program.costs)
    model.col_lower_, model.col_upper_ = np.array(program.lower), np.array(program.upper)
    model.row_lower_ = np.array([low for low, _, _ in program.rows])
    model.row_upper_ = np.array([high for _, high, _ in program.rows])
    lengths = [len(terms) for _, _, terms in program.rows]
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.concatenate(([0], np.cumsum(lengths)))
    flat = [each for _, _, terms in program.rows for each in terms]
    model.a_matrix_.index_ = np.array([at for at, _ in flat], dtype=np.int32)
    model.a_matrix_.value_ = np.array([value for _, value in flat])
    kinds = highspy.HighsVarType
    model.integrality_ = [kinds.kInteger if each else kinds.kContinuous for each in program.whole]
    return model


@contextlib.contextmanager
def _without_output() -> Iterator[None]:
    """Keep what the solver writes past Python off the standard output, which may be JSON."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sys.stdout.flush()
    try:
        kept = os.dup(1)
    except OSError:
        # A window without a console has no standard output.
        yield
        return
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 1)
        os.close(nowhere)
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
