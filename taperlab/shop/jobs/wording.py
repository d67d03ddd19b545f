"""Jobs in words: each fact is worded here, and nowhere else."""

from __future__ import annotations

from taperlab.model.bench import Bench
from taperlab.model.job import Job, JobState
from taperlab.shop.jobs.cut_in_hand import cut_in_hand
from taperlab.shop.jobs.listing import AS_SHOWN, Listed
from taperlab.units.sentence import NOTHING, Sentence, Weight, counted, one_after_another, verbatim


def weights(job: Listed) -> Sentence:
    """What the head weighed before, and weighs now; nothing where that is not known."""
    now = job.after if job.after is not None else job.now
    if job.before is None or now is None or abs(now - job.before) < AS_SHOWN:
        only = job.weight
        return NOTHING if only is None else Sentence("{weight}", weight=Weight(only))
    return Sentence("{before} → {after}", before=Weight(job.before, unit=False), after=Weight(now))


def called(job: Listed) -> Sentence:
    """A job in a word or two: its ticket, else its customer, else its head."""
    name = job.job.ticket or job.job.customer or job.head
    return verbatim(name) if name else Sentence("a job without a name")


def what_is_amiss(bench: Bench, job: Job) -> Sentence:
    """What is to be done on another page before the record of a job is true; nothing else."""
    if cut_in_hand(bench, job) is None:
        return NOTHING
    if job.state is JobState.IN_WORK:
        return Sentence(
            "This head is cut back: put the cut head on the bench, on the Cut back page, before "
            "the job is finished."
        )
    return Sentence(
        "This head is cut back, and stands here as it was before the cut: put the cut head on the "
        "bench, on the Cut back page, and it is kept as it is after the job."
    )


def how_many(jobs: int, benches: int) -> Sentence:
    """How many jobs there are in how many benches."""
    of = counted("{count} bench", "{count} benches", benches)
    return counted("{count} job in {benches}", "{count} jobs in {benches}", jobs, benches=of)


def left_out(benches: int, folders: int) -> Sentence:
    """That benches, and what lies in folders, could not be read; nothing of none."""
    one = counted("{count} bench could not be read", "{count} benches could not be read", benches)
    more = counted(
        "{count} folder could not be looked into",
        "{count} folders could not be looked into",
        folders,
    )
    said = [Sentence("{it}.", it=it) for it, many in ((one, benches), (more, folders)) if many]
    return one_after_another(said)
