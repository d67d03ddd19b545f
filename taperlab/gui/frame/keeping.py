"""Versions of lines: keeping one, bringing it back, putting it on the bench."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from taperlab.gui.kit.host import Workplace
from taperlab.model.bench import keyed
from taperlab.model.line import Line
from taperlab.model.version import Version
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence


class Keeping:
    """Does what menus offer of versions."""

    def __init__(self, place: Workplace) -> None:
        self._place = place

    def keep(self, line: Line) -> None:
        """Ask for a name and keep a line as it is now."""
        from taperlab.gui.dialogs.version import KeepDialog

        KeepDialog(self._place, line).open()

    def offers(self, version: Version) -> Iterator[tuple[str, Callable[[Version], object]]]:
        """What can be done to a version of its own, in words, and what does it."""
        if keyed(self._place.document.bench.lines, version.of) is not None:
            yield tr("Bring back"), self.bring_back
        yield tr("Put on the bench"), self.put_on_bench
        yield tr("Note…"), self.note

    def bring_back(self, version: Version) -> None:
        """Make the line what it was."""
        from taperlab.edits.versions import bring_back

        self._place.host.commit()
        outcome = self._place.do(bring_back, version.key)
        if outcome and not outcome.text:
            self._place.host.say(
                Sentence("The line is as in “{version}” already.", version=version.name)
            )

    def put_on_bench(self, version: Version) -> None:
        """Make a line of its own of it."""
        from taperlab.edits.versions import put_version_on_bench

        self._place.do(put_version_on_bench, version.key)

    def note(self, version: Version) -> None:
        """Write a note on it."""
        from taperlab.gui.dialogs.version import VersionNoteDialog

        VersionNoteDialog(self._place, version).open()

    def delete(self, version: Version) -> None:
        """Delete it; undo brings it back."""
        from taperlab.edits.versions import drop_version

        self._place.do(drop_version, version.key)
