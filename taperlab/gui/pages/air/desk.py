"""What the Air page looks at: what is thrown, how, and the films of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from PySide6.QtCore import QObject, Signal

from taperlab.edits import casting as edits
from taperlab.edits.which_head import set_answers
from taperlab.gui.kit.following import follow
from taperlab.gui.kit.host import Workplace
from taperlab.gui.kit.theme import Tokens
from taperlab.gui.plots.styles import overlay_style
from taperlab.gui.state.document import Change, Outcome, Thing
from taperlab.gui.state.watch import Watch
from taperlab.model.casting import Throw
from taperlab.shop.air.study import AirStudy, Thrown, films, room_of, study
from taperlab.shop.air.words import NO_ROD
from taperlab.shop.rig import Looped
from taperlab.shop.turnover.film import Film
from taperlab.units.kinds import System
from taperlab.units.sentence import NOTHING, Sentence

LANE = "air film"


@dataclass(frozen=True, eq=False, slots=True)
class Shot:
    """A film, or why there is none, and what it is of."""

    key: str
    name: str
    rig: Looped
    throw: Throw
    film: Film | None
    problem: Sentence = NOTHING


class AirDesk(QObject):
    """Follows the bench, works figures out at once, has films made, keeps the last.

    study: None where nothing is thrown, and problem says why. shots: the films, the one looked at
    first. changed(): something to be shown is another. filmed(): there are other films.
    """

    changed = Signal()
    filmed = Signal()

    def __init__(self, place: Workplace, watch: Watch, parent: QObject) -> None:
        super().__init__(parent)
        self.place, self.watch = place, watch
        self.study: AirStudy | None = None
        self.problem = NOTHING
        self.shots: tuple[Shot, ...] = ()
        self.is_film_late = False
        self._beside: str | None = None
        self._is_alone = False
        self._asked: tuple[tuple[Thrown, ...], Throw] | None = None
        self._awake = False
        watch.changed.connect(self._bench_changed)
        watch.units_changed.connect(self.changed)
        place.jobs.busy.connect(self._busy)

    # -- what there is -------------------------------------------------------------------------

    @property
    def system(self) -> System:
        """The units shown."""
        return self.place.system

    @property
    def rod_problem(self) -> Sentence:
        """Why no room behind is told, where none is."""
        return NO_ROD if self.place.document.rod is None else NOTHING

    @property
    def beside(self) -> Thrown | None:
        """The one of the others that is filmed too: the one chosen, else the first."""
        others = self.study.others if self.study and not self._is_alone else ()
        can = [each for each in others if each.study is not None]
        return next((each for each in can if each.key == self._beside), can[0] if can else None)

    @property
    def is_film_old(self) -> bool:
        """Whether the films shown are those of before a change."""
        return self.place.jobs.is_busy(LANE)

    @property
    def is_settled(self) -> bool:
        """Whether all that is shown is of the bench as it is now."""
        return not self.place.jobs.is_busy(LANE)

    def style(
        self, each: Thrown, tokens: Tokens | None = None
    ) -> tuple[str, tuple[float, ...] | None]:
        """Colour and dash of what is thrown; tokens: other colours than those in force."""
        tokens, document = tokens or self.place.theme.tokens, self.place.document
        if self.study is not None and each.key == self.study.first.key:
            return tokens.accent, None
        bench = document.bench
        things: list[Thing] = [*bench.lines, *bench.rigs, *bench.versions]
        thing = next((one for one in things if one.key == each.key), None)
        return overlay_style(document, thing, tokens) if thing else (tokens.soft, None)

    def follow(
        self, refresh: Callable[[], None], of: Callable[[], tuple[object, ...]] | None = None
    ) -> None:
        """Call this whenever something to be shown is another; see ``kit.following``."""
        follow(self.changed, self.place, refresh, of)

    # -- changing it ---------------------------------------------------------------------------

    def throw(self, **changes: Any) -> Outcome:
        """Throw everything otherwise, as one undoable step."""
        bench = self.place.document.bench
        return self.place.do(edits.set_throw, replace(bench.throw, **changes), initiator=self)

    def form(self, **changes: Any) -> Outcome:
        """Form the loop behind otherwise, as one undoable step."""
        bench = self.place.document.bench
        return self.place.do(edits.set_behind, replace(bench.behind, **changes), initiator=self)

    def say_room(self, room: float | None) -> Outcome:
        """Say how much room behind there is [m]."""
        answers = replace(self.place.document.bench.answers, room=room)
        return self.place.do(set_answers, answers, initiator=self)

    @property
    def room(self) -> float:
        """The room behind that there is, or a usual one [m]."""
        return room_of(self.place.document.bench)

    def film_beside(self, key: str | None) -> None:
        """Film another of the others too; None for none."""
        self._beside, self._is_alone = key, key is None
        self._ask()
        self.changed.emit()

    # -- keeping up ----------------------------------------------------------------------------

    def wake(self) -> None:
        """Work out what is to be shown."""
        self._awake = True
        self.refresh()

    def sleep(self) -> None:
        """Want no films any more; what came is kept."""
        self._awake = False
        if self.is_film_old:
            self._asked = None
            self.place.jobs.cancel(LANE)

    def refresh(self) -> None:
        """Work out what is looked at now."""
        if not self._awake:
            return
        document = self.place.document
        whole = document.whole
        if whole is None:
            self.study = None
            self.problem = Sentence("Put a line on the bench first, or open a sample.")
        else:
            others = [each for _, each in document.laid_over()]
            found = study(whole, others, document.bench, self.study)
            self.study = found if found.first.rig is not None else None
            self.problem = found.first.problem
        self._ask()
        self.changed.emit()

    def _ask(self) -> None:
        wanted = [self.study.first, self.beside] if self.study else []
        thrown = tuple(each for each in wanted if each is not None and each.rig is not None)
        throw = self.place.document.bench.throw
        if self._asked is not None and _same(thrown, self._asked[0]) and throw == self._asked[1]:
            return
        self._asked = thrown, throw
        if not thrown:
            self.place.jobs.cancel(LANE)
            self._keep(thrown, throw, ())
            return
        rigs = tuple(each.rig for each in thrown)
        self.place.jobs.run(
            LANE, films, rigs, throw, done=lambda found: self._keep(thrown, throw, found)
        )

    def _keep(
        self, thrown: tuple[Thrown, ...], throw: Throw, found: tuple[Film | Sentence, ...]
    ) -> None:
        self.shots = tuple(
            Shot(each.key, each.name, each.rig, throw, one)
            if isinstance(one, Film)
            else Shot(each.key, each.name, each.rig, throw, None, one)
            for each, one in zip(thrown, found, strict=True)
            if each.rig is not None
        )
        self.filmed.emit()
        self.changed.emit()

    def _busy(self, lane: str, is_busy: bool) -> None:
        if lane == LANE:
            self.is_film_late = is_busy
            self.changed.emit()

    def _bench_changed(self, _change: Change) -> None:
        self.refresh()


def _same(one: tuple[Thrown, ...], other: tuple[Thrown, ...]) -> bool:
    """Whether two questions are about the same rigs."""
    return len(one) == len(other) and all(
        a.key == b.key and a.name == b.name and a.rig == b.rig
        for a, b in zip(one, other, strict=True)
    )
