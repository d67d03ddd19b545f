"""How far the weight of a head may be off, built or weighed; it leads to the page Tolerances."""

from __future__ import annotations

from PySide6.QtCore import QTimer

from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.widgets import Link
from taperlab.model.line import Line
from taperlab.units.finding import Impossible
from taperlab.units.language import tr

PAUSE = 150
"""So long nothing may have moved before it is worked out [ms]; a drag does not wait for it."""


class AsBuilt(Link):
    """The ± of the weight; pressed, it opens the page that says what makes it."""

    def __init__(self, place: Workplace) -> None:
        super().__init__(pressed=lambda: place.host.show_page("tolerance"))
        self._place = place
        self._pause = QTimer(self, singleShot=True, interval=PAUSE)
        self._pause.timeout.connect(self._work_out)
        self._told: tuple[str, str] | None = None
        self.hide()

    def refresh(self, *, shown: bool) -> None:
        """Work it out for another line at once, for one that changes when nothing moves any more.

        shown: whether there is a weight it belongs to.
        """
        self._pause.stop()
        line = self._place.document.line
        if line is None or not shown:
            self.hide()
        elif _which(line) == self._told and not self.isHidden():
            self._pause.start(PAUSE)
        else:
            # What another line may be off by never stands beside this one's weight.
            self.setText("±")
            self.setAccessibleName("")
            self._pause.start(0)

    def _work_out(self) -> None:
        # Not before the window is seen: a start has no time for it.
        from taperlab.shop.tolerance.asking import asked_of
        from taperlab.shop.tolerance.study import study
        from taperlab.shop.tolerance.words import as_built, summary
        from taperlab.shop.weighed import as_weighed, on_scale

        document, place = self._place.document, self._place
        if document.line is None:
            self.hide()
            return
        try:
            found = study(asked_of(document.bench, document.line, place.system))
        except Impossible:
            self.hide()
            return
        self._told = _which(document.line)
        weighed = on_scale(document.line)
        said = place.read(as_weighed(weighed) if weighed is not None else as_built(found))
        self.setText(said)
        self.setAccessibleName(tr("Head weight {off}").format(off=said))
        self.setToolTip(
            tr("{summary}\nOpens Tolerances.").format(summary=place.read(summary(found)))
        )
        self.show()


def _which(line: Line) -> tuple[str, str]:
    """A line, told apart from one of another file that has the same key."""
    return line.key, line.name
