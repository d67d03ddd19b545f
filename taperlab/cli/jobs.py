"""``taperlab jobs``: the jobs of customers in a bench, or in all benches below a folder."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from taperlab.cli.asking import Parser, Refusal, Screen, add_units, print_json, remark, typed
from taperlab.model.job import JobState
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import render

_STATES = {each.replace(" ", "-"): each for each in JobState}
"""The states as they are typed, without blanks."""


def parser_of(screen: Screen) -> Parser:
    """What the command takes."""
    parser = Parser(
        "taperlab jobs",
        description=tr(
            "Find jobs of customers, in a bench or in all benches below a folder. What was read "
            "of a folder is kept in a file of your own, to be quicker the next time."
        ),
    )
    parser.add_argument(
        "place", nargs="?", metavar="FOLDER|FILE", type=Path, help=tr("where the benches are")
    )
    parser.add_argument(
        "--words", metavar="WORDS", default="", help=tr("found anywhere in a job, its notes too")
    )
    parser.add_argument(
        "--customer", metavar="WORDS", default="", help=tr("found in what the customer is called")
    )
    parser.add_argument(
        "--rod", metavar="WORDS", default="", help=tr("found in the name of the rod")
    )
    parser.add_argument(
        "--weight", nargs=2, metavar=("LOW", "HIGH"), help=tr("of the head, such as 450gr 530gr")
    )
    parser.add_argument(
        "--since", metavar="DATE", help=tr("in work on that day or later, such as 2026-05-31")
    )
    parser.add_argument("--until", metavar="DATE", help=tr("in work on that day or before"))
    parser.add_argument("--state", choices=list(_STATES), help=tr("how far it has come"))
    parser.add_argument(
        "--forget", action="store_true", help=tr("remove the file that is kept, and end")
    )
    add_units(parser)
    parser.add_argument("--json", action="store_true", help=tr("for scripts; its units are fixed"))
    return parser


def run(arguments: list[str], screen: Screen) -> int:
    """Do what the arguments ask and give the exit status."""
    asked = parser_of(screen).parse_args(arguments)
    from taperlab.files import jobs_report
    from taperlab.files.job_index import forget_index, jobs_below, jobs_of_file
    from taperlab.shop.jobs.listing import Wanted, found
    from taperlab.shop.steps import finish

    system = System(asked.units)
    low, high = None, None
    if asked.weight is not None:
        low, high = (typed("--weight", text, WEIGHT, system) for text in asked.weight)
        if low > high:
            raise Refusal("--weight: found the heavier first, expected the lighter first")
    since, until = _day("--since", asked.since, 0), _day("--until", asked.until, 1)
    if since and until and until < since:
        raise Refusal("--until: found a day ahead of --since, expected that day or a later one")
    wanted = Wanted(
        asked.words,
        asked.customer,
        asked.rod,
        low,
        high,
        since,
        until,
        _STATES[asked.state] if asked.state else None,
    )
    if asked.forget:
        forget_index()
    if asked.place is None:
        if asked.forget:
            return 0
        raise Refusal("expected a folder of benches, or a bench; see taperlab jobs --help")
    place: Path = asked.place
    of = finish(jobs_below(place)) if place.is_dir() else jobs_of_file(place)
    jobs = found(of.jobs, wanted)
    if asked.json:
        print_json(jobs_report.as_json(jobs, of))
        return 0
    print(jobs_report.as_text(jobs, system), end="")
    for each in of.skipped:
        remark(tr("left out: {why}").format(why=render(each.why, system).rstrip(".")))
    if of.is_cut_short:
        remark(tr("there are more benches than were looked at"))
    return 0


def _day(option: str, text: str | None, end: int) -> date | None:
    """The day of an option; of a month or a year its first, or its last. Raises Refusal."""
    if text is None:
        return None
    from taperlab.units.days import parse_days
    from taperlab.units.parse import Unreadable

    try:
        return parse_days(text)[end]
    except Unreadable as problem:
        raise Refusal("{option}: {problem}", option=option, problem=problem.sentence) from None
