"""What goes wrong with a file, said in one sentence."""

from __future__ import annotations

from typing import Self

from taperlab.units.sentence import Sentence, Told


class FileProblem(Told):
    """A file that could not be read or written. ``sentence`` says what, where and why."""


class TableProblem(Told):
    """What is wrong with a table, in a file or on the clipboard: what was found and expected.

    row: its number in the text, 0 until it is told.
    """

    row = 0

    def at(self, row: int, column: str | int | None = None) -> Self:
        """The problem of a row, if that has a number, and of the column of this heading or number.

        It was told in words that go on after a colon.
        """
        if row:
            fault, self.row = self.sentence, row
            if column is None:
                self.sentence = Sentence("row {row}: {fault}", row=row, fault=fault)
            elif isinstance(column, int):
                self.sentence = Sentence(
                    "row {row}, column {column}: {fault}", row=row, column=column, fault=fault
                )
            else:
                self.sentence = Sentence(
                    "row {row}, column “{column}”: {fault}", row=row, column=column, fault=fault
                )
        return self

    def in_file(self, file: str) -> FileProblem:
        """The problem of the file that the table stands in."""
        return FileProblem("{file}, {problem}", file=file, problem=self.sentence)
