"""The cut-back on paper: the plan, the log of every cut and weighing, the cautions."""

from __future__ import annotations

import html
from datetime import datetime

from PySide6.QtGui import QTextDocument

from taperlab.gui.pages.cut_back.words import cut_words, log_texts
from taperlab.gui.paper.sheet import STYLE, sheet_font
from taperlab.model.bench import Bench
from taperlab.model.cut_log import CutBack, CutEnd
from taperlab.model.line import Line
from taperlab.physics.profile import Profile
from taperlab.shop.cut_back.goal import NoPlan
from taperlab.shop.cut_back.one_cut import Plan
from taperlab.shop.cut_back.staged import Staged, finished_head, staged_cut, standing
from taperlab.shop.cut_back.terms import terms_of
from taperlab.trade.cautions import Topic, cautions
from taperlab.units.kinds import SMALL_WEIGHT, WEIGHT, System
from taperlab.units.sentences import in_units
from taperlab.units.show import show, show_eighths

CUT_TOPICS = (Topic.BLADE, Topic.HEAT, Topic.FUMES, Topic.ADHESIVE)
BLANK = "_____________"


def cut_sheet(bench: Bench, line: Line, job: CutBack, system: System) -> QTextDocument:
    """The sheet of one cut-back, with room to write the weighings that are still to come."""
    staged = staged_cut(line, job, bench.chosen_rod)
    document = QTextDocument()
    document.setDefaultFont(sheet_font(8.5))
    document.setDefaultStyleSheet(STYLE)
    parts = [
        f"<h1>Cut-back: {html.escape(line.name)}</h1>",
        f"<p class='soft'>{datetime.now().astimezone():%d %B %Y}</p>",
        _aim(bench, job, staged, system),
        _log(line, job, system),
        _plan(staged, system),
        _loops(job, system),
    ]
    if job.note:
        parts.append(f"<h2>Note</h2><p>{html.escape(job.note)}</p>")
    shown = [each for each in cautions() if each.topic in CUT_TOPICS]
    parts.append("<h2>Cautions</h2>")
    parts += [
        f"<p><b>{html.escape(each.title)}.</b> {html.escape(each.text)} "
        f"{html.escape(each.defer)}</p>"
        for each in shown
    ]
    document.setHtml("<body>" + "".join(parts) + "</body>")
    return document


def _p(text: str) -> str:
    return f"<p>{html.escape(text)}</p>"


def _aim(bench: Bench, job: CutBack, staged: Staged | NoPlan, system: System) -> str:
    if isinstance(staged, NoPlan):
        return _p(in_units(staged.sentence, system))
    ends = {CutEnd.REAR: "the rear", CutEnd.FRONT: "the front", CutEnd.BOTH: "both ends"}
    rod = bench.chosen_rod
    words = f"Cut to {show(staged.target, WEIGHT, system)} from {ends[job.end]}"
    words += f", for {rod.name}." if rod else "."
    steps = (
        f"The scale reads to {show(job.instruments.scale, SMALL_WEIGHT, system)}, the tape to "
        f"{show_eighths(job.instruments.tape, system)}."
    )
    return f"<p class='figure'>{html.escape(words)}</p>" + _p(steps)


def _table(headings: tuple[str, ...], rows: list[tuple[str, ...]]) -> str:
    head = "".join(
        f"<th align='{'left' if i == 0 else 'right'}'>{html.escape(text)}</th>"
        for i, text in enumerate(headings)
    )
    body = "".join(
        "<tr>"
        + "".join(
            f"<td align='{'left' if i == 0 else 'right'}'>{html.escape(text)}</td>"
            for i, text in enumerate(row)
        )
        + "</tr>"
        for row in rows
    )
    return (
        "<table class='rows' width='100%' cellspacing='0'>"
        f"<thead><tr>{head}</tr></thead>{body}</table>"
    )


def _log(line: Line, job: CutBack, system: System) -> str:
    found = standing(line, job)
    first = (
        f"The head before the first cut: {show(job.first_reading, WEIGHT, system)} on the scale."
        if job.first_reading is not None
        else f"The head before the first cut: {BLANK} on the scale."
    )
    text = "<h2>Log</h2>" + _p(first)
    if isinstance(found, NoPlan) or not job.steps:
        return text
    rows = []
    for i, step in enumerate(job.steps):
        head, detail = log_texts(i, step, found.beliefs[i + 1], system)
        rows.append((head, detail))
    text += _table(("Cut", "On the scale"), rows)
    finished = finished_head(found.belief, terms_of(job))
    if isinstance(finished, Line):
        mass = Profile.of(finished).total_mass
        text += _p(
            f"Now, with its loops made: {show(mass, WEIGHT, system)} at "
            f"{show_eighths(finished.length, system)}, cut from "
            f"{show_eighths(found.uncut.length, system)}."
        )
    return text


def _plan(staged: Staged | NoPlan, system: System) -> str:
    if isinstance(staged, NoPlan):
        return ""
    text = "<h2>Still to cut</h2>"
    plan = staged.plan
    if not staged.stages:
        sentence = staged.stop.sentence if staged.stop else ""
        return text + _p(in_units(sentence, system) or "Nothing.")
    if isinstance(plan, Plan):
        text += _p(
            f"All the way: {cut_words(plan.front_cut, plan.rear_cut, system)}, "
            f"{show(plan.cut_mass, WEIGHT, system)}. In stages, weighing after each:"
        )
    length = plan.before.length if isinstance(plan, Plan) else staged.standing.left.length
    rows = []
    for stage in staged.stages:
        places = []
        if stage.front > 0.0:
            places.append(show_eighths(stage.front, system))
        if stage.rear > 0.0:
            places.append(show_eighths(length - stage.rear, system))
        length -= stage.length
        rows.append(
            (
                cut_words(stage.front, stage.rear, system),
                " and ".join(places),
                f"{show(stage.before_loops, WEIGHT, system)} ± "
                f"{show(stage.plus_minus, WEIGHT, system)}",
                BLANK,
                BLANK,
            )
        )
    headings = ("Cut", "Blade from the fly end", "Should read", "Head read", "Offcut read")
    text += _table(headings, rows)
    if len(rows) > 1:
        text += _p(
            "The later cuts hold if the scale reads what is expected: after each weighing, look "
            "at the plan again."
        )
    text += "".join(_p(in_units(each.sentence, system)) for each in getattr(plan, "findings", ()))
    return text


def _loops(job: CutBack, system: System) -> str:
    terms = terms_of(job)
    rows = []
    for name, loop, is_cut in (
        ("front", terms.front_loop, terms.share > 0.0),
        ("rear", terms.rear_loop, terms.share < 1.0),
    ):
        if is_cut and (loop.fold > 0.0 or loop.mass > 0.0):
            rows.append(
                f"Then make the {name} loop: {show_eighths(loop.fold, system)} folded back, "
                f"{show(loop.mass, SMALL_WEIGHT, system)} added."
            )
    return "".join(_p(row) for row in rows)
