"""Jobs of customers: as text to read, and for scripts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from taperlab.files.job_index import JobList
from taperlab.files.report import aligned, figure
from taperlab.shop.jobs.listing import Listed
from taperlab.shop.jobs.wording import weights
from taperlab.units.days import show_day
from taperlab.units.kinds import WEIGHT, System
from taperlab.units.language import tr
from taperlab.units.sentence import render
from taperlab.units.words import word

SCHEMA = 1


def as_json(jobs: Sequence[Listed], of: JobList) -> dict[str, Any]:
    """For scripts; unknown is None. Names, units and meaning never change; more may be added.

    jobs: those that were found, newest first. Days are year, month and day.
    """
    return {
        "schema": SCHEMA,
        "jobs": [_job(each) for each in jobs],
        "benches": of.benches,
        "skipped": [{"file": str(each.file), "why": str(each.why)} for each in of.skipped],
        "cut_short": of.is_cut_short,
    }


def _job(each: Listed) -> dict[str, Any]:
    job = each.job
    return {
        "file": str(each.file),
        "key": job.key,
        "customer": job.customer,
        "ticket": job.ticket,
        "rod": each.rod,
        "head": each.head,
        "is_rig": each.is_rig,
        "state": str(job.state),
        "begun": show_day(job.begun) or None,
        "finished": show_day(job.finished) or None,
        "before_gr": figure(each.before, "gr", WEIGHT),
        "after_gr": figure(each.after, "gr", WEIGHT),
        "weight_gr": figure(each.weight, "gr", WEIGHT),
        "note": job.note,
        "cast": job.cast,
        "photographs": list(job.photographs),
    }


def as_text(jobs: Sequence[Listed], system: System) -> str:
    """For reading, ending in a line break."""
    if not jobs:
        return tr("No such job.") + "\n"
    heads = (
        *(tr("Date"), tr("Customer"), tr("Ticket"), tr("Rod"), tr("Head")),
        *(tr("Weight"), tr("State"), tr("File")),
    )
    rows = [
        (
            show_day(each.day) or "–",
            *map(_on_one_line, (each.job.customer, each.job.ticket, each.rod, each.head)),
            render(weights(each), system) or "–",
            word(each.job.state),
            str(each.file),
        )
        for each in jobs
    ]
    return aligned([heads, *rows], right_from=len(heads)) + "\n"


def _on_one_line(text: str) -> str:
    return " ".join(text.split()) or "–"
