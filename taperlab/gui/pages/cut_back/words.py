"""Cuts and weighings in words, on the page and on paper."""

from __future__ import annotations

from taperlab.model.cut_log import CutStep
from taperlab.shop.cut_back.belief import CONFIDENT, Belief
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.show import show, show_eighths


def cut_words(front: float, rear: float, system: System) -> str:
    """What is cut off which end."""
    texts = []
    if front > 0.0:
        texts.append(f"{show_eighths(front, system)} off the front")
    if rear > 0.0:
        texts.append(f"{show_eighths(rear, system)} off the rear")
    return ", ".join(texts) or "no cut"


def log_texts(number: int, step: CutStep, belief: Belief | None, system: System) -> tuple[str, str]:
    """A logged cut in words: what was cut, and what the scale said and is known since."""
    head = f"Cut {number + 1}: {cut_words(step.front, step.rear, system)}"
    if not (step.front or step.rear):
        head = f"Step {number + 1}: weighed again"
    parts = []
    if step.head is not None:
        parts.append(f"head {show(step.head, WEIGHT, system)}")
    if step.offcut is not None:
        parts.append(f"offcut {show(step.offcut, WEIGHT, system)}")
    words = ", ".join(parts) or "not weighed"
    if belief is not None:
        mass, error = belief.head_mass()
        words += (
            f"; taken as {show(mass, WEIGHT, system)} ± {show(CONFIDENT * error, WEIGHT, system)}"
        )
    if step.note:
        words += f". {step.note}"
    return head, words
