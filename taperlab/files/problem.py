"""What goes wrong with a file, said in one sentence."""

from __future__ import annotations

from taperlab.units.sentence import Sentence, Told


class FileProblem(Told):
    """A file that could not be read or written. ``sentence`` says what, where and why."""


class TableProblem(Exception):  # noqa: N818 - what a person is told, not a fault of the program
    """What is wrong with a table, in a file or on the clipboard.

    fault: what was found and what was expected, as a sentence that goes on after a colon.
    row: its number in the text, if any. column: the heading, or the number, of the column, if any.
    """

    def __init__(self, fault: Sentence, row: int = 0, column: str | int | None = None) -> None:
        super().__init__(fault)
        self.fault, self.row, self.column = fault, row, column

    @property
    def sentence(self) -> Sentence:
        """Where and what."""
        if not self.row:
            return self.fault
        row = Sentence("row {row}", row=self.row)
        if self.column is None:
            return Sentence("{row}: {fault}", row=row, fault=self.fault)
        if isinstance(self.column, int):
            where = Sentence("{row}, column {column}", row=row, column=self.column)
        else:
            where = Sentence('{row}, column "{column}"', row=row, column=self.column)
        return Sentence("{where}: {fault}", where=where, fault=self.fault)

    def in_file(self, file: str) -> FileProblem:
        """The problem of the file that the table stands in."""
        return FileProblem("{file}, {problem}", file=file, problem=self.sentence)
