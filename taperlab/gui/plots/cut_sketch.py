"""The drawing of a cut-back: the head as it lies now, and the cuts that are due or tried on it."""

from __future__ import annotations

from taperlab.gui.plots.head_sketch import Sketch, SketchCut
from taperlab.model.cut_log import CutBack, CutEnd
from taperlab.model.line import Line
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.order import EndCut
from taperlab.shop.cut_back.study import Study
from taperlab.shop.cut_back.way import Act, Due
from taperlab.shop.cut_back.words import ENDS
from taperlab.units.kinds import System
from taperlab.units.language import tr
from taperlab.units.sentence import OnTape, Sentence, listed, render

NOWHERE = Sentence("No blade is set.")


def cut_sketch(study: Study, due: Due, system: System) -> tuple[Sketch, Sentence] | None:
    """What is drawn, and what it says; None without a head."""
    rod = study.rod.length if study.rod else None
    if due.act is Act.ASK and study.described is not None and study.job is not None:
        cuts = _cut_already(study.job, system)
        title = tr("Cut so far, on the head as described") if cuts else tr("As it is described")
        return Sketch(study.described.line, cuts, title, rod_length=rod), _said(study, cuts)
    if study.left is None:
        return None
    left = study.left.line
    trial = study.trial.plan if study.trial is not None else None
    if isinstance(trial, Plan):
        cuts = _tried(trial, study, system)
        return (
            Sketch(left, cuts, tr("A cut that is tried"), _stays(study, left, cuts, system), rod),
            _said(study, cuts),
        )
    cuts = _due_cuts(due, system)
    stays = _stays(study, left, cuts, system) if cuts else ""
    return Sketch(left, cuts, tr("As it lies now"), stays, rod), _said(study, cuts)


def _tried(plan: Plan, study: Study, system: System) -> tuple[SketchCut, ...]:
    """The cuts of a plan that is tried; a blade that cuts nothing stands at its end."""
    ends = (
        (CutEnd.REAR, plan.rear_cut, study.terms.cuts_rear),
        (CutEnd.FRONT, plan.front_cut, study.terms.cuts_front),
    )
    return tuple(
        SketchCut(end, length, OnTape(length).text(system), number)
        for number, (end, length, _) in enumerate((each for each in ends if each[2]), start=1)
    )


def plain_sketch(study: Study, due: Due, system: System) -> Sketch | None:
    """The head and the one cut to make now, without a word."""
    if study.left is None:
        return None
    cut = due.cut
    cuts = (_drawn(cut, due.made + 1, True, system),) if cut else ()
    return Sketch(study.left.line, cuts, plain=True)


def _due_cuts(due: Due, system: System) -> tuple[SketchCut, ...]:
    if due.act is not Act.CUT:
        return ()
    return tuple(_drawn(cut, due.made + 1 + i, i == 0, system) for i, cut in enumerate(due.cuts))


def _drawn(cut: EndCut, number: int, is_next: bool, system: System) -> SketchCut:
    return SketchCut(cut.end, cut.mark, cut.how_far.text(system), number, is_next)


def _cut_already(job: CutBack, system: System) -> tuple[SketchCut, ...]:
    off = (
        (CutEnd.REAR, sum(each.rear for each in job.steps)),
        (CutEnd.FRONT, sum(each.front for each in job.steps)),
    )
    return tuple(
        SketchCut(end, length, OnTape(length).text(system), number, is_next=False)
        for number, (end, length) in enumerate((each for each in off if each[1] > 0.0), start=1)
    )


def _stays(study: Study, left: Line, cuts: tuple[SketchCut, ...], system: System) -> str:
    stays = left.length - sum(each.length for each in cuts)
    terms = study.terms
    folds = sum(terms.folds(front=terms.cuts_front, rear=terms.cuts_rear))
    if folds:
        return render(
            Sentence(
                "{length} stays, {folds} of it for loops",
                length=OnTape(stays),
                folds=OnTape(folds),
            ),
            system,
        )
    return render(Sentence("{length} stays", length=OnTape(stays)), system)


def _said(study: Study, cuts: tuple[SketchCut, ...]) -> Sentence:
    """The drawing in words."""
    if not cuts:
        return NOWHERE
    places = [
        Sentence("{length} from {end}", length=each.words, end=ENDS[each.end]) for each in cuts
    ]
    return Sentence("Blade {places}.", places=listed(*places))
