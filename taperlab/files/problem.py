"""What goes wrong with a file, said in one sentence."""

from __future__ import annotations

from taperlab.units.sentence import Sentence


class FileProblem(Exception):  # noqa: N818 - what a person is told, not a fault of the program
    """A file that could not be read or written. ``sentence`` says what, where and why."""

    def __init__(self, sentence: Sentence) -> None:
        super().__init__(sentence)
        self.sentence = sentence
