"""Work that takes longer than a frame: a generator that yields how far it is, and can be left."""

from __future__ import annotations

from collections.abc import Generator
from typing import TypeVar

T = TypeVar("T")

Steps = Generator[float, None, T]
"""Yields the share done, from 0 to 1, and returns the answer."""


def finish(steps: Steps[T]) -> T:
    """The answer of work that is done here and now."""
    while True:
        try:
            next(steps)
        except StopIteration as end:
            answer: T = end.value
            return answer


def part(steps: Steps[T], start: float, end: float) -> Steps[T]:
    """The same work as a part of a longer one: from the share ``start`` to ``end`` of it."""
    while True:
        try:
            share = next(steps)
        except StopIteration as done:
            answer: T = done.value
            return answer
        yield start + (end - start) * share


def uncounted(steps: Steps[T], usual: int) -> Steps[T]:
    """The same work where nobody knows how long it is: half done after ``usual`` steps."""
    done = 0
    while True:
        try:
            next(steps)
        except StopIteration as end:
            answer: T = end.value
            return answer
        done += 1
        yield done / (done + usual)
