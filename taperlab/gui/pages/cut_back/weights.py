"""What the ruler of weight shows of a cut-back, in grains or grams."""

from __future__ import annotations

from taperlab.gui.kit.ruler import Mark, Ruler
from taperlab.shop.cut_back.staged import Staged
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.way import Act, Due
from taperlab.shop.cut_back.way_figures import as_it_is
from taperlab.shop.on_rod import window_alone
from taperlab.shop.wording import window_words
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import Sentence, Weight, listed, render
from taperlab.units.show import to_unit


def ruler_of(study: Study, due: Due, system: System) -> Ruler | None:
    """Now, after this cut, aim and window; None while what the head weighs is in question."""
    state = as_it_is(study)
    if state is None or not isinstance(study.staged, Staged):
        return None
    unit = "gr" if system is System.US else "g"

    def at(mass: float) -> float:
        return to_unit(mass, unit, WEIGHT)

    mass = Weight(state.mass, unit=False)
    now = Sentence("now {mass}", mass=mass)
    if not study.is_weighed:
        now = Sentence("as described {mass}", mass=mass)
    elif study.waits:
        # What is foreseen does not stand as if a scale had read it.
        now = Sentence("expected now {mass}", mass=mass)
    aim = Sentence("aim {mass}", mass=Weight(study.staged.target, unit=False))
    said = [now, aim]
    after = None
    if study.trial is not None and study.trial.after is not None:
        tried = study.trial.after.mass
        words = Sentence("as tried {mass}", mass=Weight(tried, unit=False))
        after = Mark(at(tried), render(words, system))
        said.append(words)
    elif due.stage is not None and due.act in (Act.CUT, Act.TELL_ENDS):
        stage = due.stage
        words = Sentence(
            "after this cut {mass} ± {error}",
            mass=Weight(stage.expected, unit=False),
            error=Weight(stage.plus_minus, unit=False),
        )
        after = Mark(at(stage.expected), render(words, system), at(stage.plus_minus))
        said.append(words)
    window = window_alone(state.line, study.rod)
    band = None
    if window is not None:
        takes = Sentence(
            "the rod’s grain window, {window}",
            window=window_words(window.lightest, window.heaviest),
        )
        band = at(window.lightest), at(window.heaviest), render(takes, system)
        said.append(takes)
    title = (
        tr("weight with loops made, grains")
        if unit == "gr"
        else tr("weight with loops made, grams")
    )
    return Ruler(
        Mark(at(state.mass), render(now, system)),
        after,
        Mark(at(study.staged.target), render(aim, system)),
        band,
        title,
        render(Sentence("{title}: {all}.", title=title, all=listed(*said)), system),
    )
