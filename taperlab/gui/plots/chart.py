"""What a stack of plots shows, as a value: a page makes one and hands it to the stack."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from taperlab.gui.plots.axis import DISTANCE, Axis
from taperlab.gui.plots.brackets import Stretch
from taperlab.gui.plots.ink import Ink
from taperlab.gui.plots.marks import Note
from taperlab.units.kinds import System
from taperlab.units.language import later, tr
from taperlab.units.show import show

HINT = later("Point at a plot, or use the arrow keys, to read the line there. F1 lists all keys.")


@dataclass(frozen=True, eq=False, slots=True)
class Plot:
    """One plot of a stack; all its values are in SI.

    key: names it in code. axis: the upright one. share: its height beside the others'. under,
    laid, own: what is drawn, in this order. What is laid over keeps its picture until one of it
    changes, so it may be much; what is current is painted anew with every change.
    """

    key: str
    axis: Axis
    share: float = 1.0
    under: tuple[Ink, ...] = ()
    laid: tuple[Ink, ...] = ()
    own: tuple[Ink, ...] = ()
    note: Note | None = None

    @property
    def inks(self) -> tuple[Ink, ...]:
        """All that is drawn, from the lowest."""
        return self.under + self.laid + self.own


@dataclass(frozen=True, slots=True)
class Words:
    """What is read at the crosshair, column by column.

    shares: where each column begins and the last ends, from 0 to 1; without, one follows the other.
    colour: of a patch before the second column.
    """

    columns: tuple[str, ...] = ()
    shares: tuple[float, ...] = ()
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Legend:
    """One line of the heading of a picture."""

    name: str
    colour: str
    width: float = 1.0
    dash: tuple[float, ...] | None = None


@dataclass(frozen=True, eq=False, slots=True)
class Chart:
    """Plots one below the other that share an axis.

    across: the shared axis. end: how far what is current reaches [SI]; there the End key goes.
    stops: where Page Up and Page Down go, where there are no handles. above: ticks over the first
    plot, with their labels. stretches: the lines of a rig, told below the first plot. legend: heads
    a picture, its title first. read: what the crosshair reads at a place; by default every ink of
    what is current that has a name. hint: what the strip says while nothing is read. empty: what is
    said in place of no plots.
    """

    plots: tuple[Plot, ...] = ()
    across: Axis = DISTANCE
    end: float = 0.0
    stops: tuple[float, ...] = ()
    above: tuple[tuple[float, str], ...] = ()
    stretches: tuple[Stretch, ...] = ()
    legend: tuple[Legend, ...] = ()
    read: Callable[[float], Words] | None = None
    hint: str = ""
    empty: str = ""

    @property
    def reach(self) -> float:
        """How far anything reaches along the shared axis [SI]."""
        spans = [ink.across for plot in self.plots for ink in plot.inks]
        return max((self.end, *(span[1] for span in spans if span))) or 1.0

    @property
    def title(self) -> str:
        """What a picture of it is called."""
        return self.legend[0].name if self.legend else ""

    def told(self, system: System) -> str:
        """What is plotted and how far anything reaches, for those who cannot see it."""
        if not self.plots:
            return self.empty
        plotted = "; ".join(plot.axis.title(system) for plot in self.plots)
        end = show(self.reach, self.across.kind, system)
        said = tr("{plots}; from 0 to {end}").format(plots=plotted, end=end)
        if not self.stretches:
            return said
        names = ", ".join(each.name for each in self.stretches)
        return tr("{plots}; {lines}").format(plots=said, lines=names)

    def words(self, position: float, system: System) -> Words:
        """What the crosshair reads at a place."""
        if self.read is not None:
            return self.read(position)
        found = [show(position, self.across.kind, system)]
        for plot in self.plots:
            for ink, text in readings(plot, plot.under + plot.own, position, system):
                found.append(tr("{name}: {value}").format(name=ink.name, value=text))
        return Words(tuple(found))

    def laid_words(self, position: float, system: System) -> str:
        """What every line laid over reads at a place, one after the other."""
        found: dict[str, list[str]] = {}
        for plot in self.plots:
            for ink, text in readings(plot, plot.laid, position, system):
                found.setdefault(ink.name, []).append(text)
        said = [
            tr("{name}: {value}").format(name=name, value=", ".join(texts))
            for name, texts in found.items()
        ]
        return "; ".join(said)


def readings(
    plot: Plot, inks: tuple[Ink, ...], position: float, system: System
) -> Iterator[tuple[Ink, str]]:
    """The inks that have a name and are met at a place, and what each reads there."""
    for ink in inks:
        value = ink.at(position) if ink.name else None
        if value is not None:
            yield ink, show(value, plot.axis.kind, system)
