"""A bench that is given away names nobody."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from datetime import date
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.edits import jobs as edits
from taperlab.edits.versions import keep_version
from taperlab.files import native
from taperlab.files.native import read_bench
from taperlab.model.bench import Bench
from taperlab.model.job import Job, JobState
from taperlab.model.line import Line
from taperlab.model.rod import Rod, Window
from taperlab.shipped import sample
from taperlab.shop.personal import Notes, leaving_out, names_somebody, without_personal_data
from tests.strategies import benches

SECRET = st.text("§", min_size=1, max_size=3)
"""What no other text of a drawn bench is made of: whatever is left of it in the file is seen."""


def with_secrets(thing: Any, draw: st.DrawFn) -> Any:
    """A bench whose every note, and every word of its jobs, is a secret."""
    if isinstance(thing, tuple):
        return tuple(with_secrets(each, draw) for each in thing)
    if not is_dataclass(thing):
        return thing
    changes: dict[str, Any] = {}
    for each in fields(thing):
        held = getattr(thing, each.name)
        if each.name == "note" or (isinstance(thing, Window) and each.name == "source"):
            changes[each.name] = draw(SECRET)
        elif each.name == "extra" and isinstance(thing, Bench | Line | Rod):
            changes["extra"] = {"later": [draw(SECRET)]} if draw(st.booleans()) else {}
        elif each.name != "extra" and not isinstance(thing, Job):
            changes[each.name] = with_secrets(held, draw)
    if isinstance(thing, Job):
        changes |= {name: draw(SECRET) for name in ("customer", "ticket", "note", "cast")}
        changes["photographs"] = (f"{draw(SECRET)}.jpg",)
        changes["extra"] = {"later §": {"phone": draw(SECRET)}}
    return replace(thing, **changes)


def without_marks(thing: Any) -> Any:
    """A drawn bench without the secret letter anywhere."""
    if isinstance(thing, str):
        return type(thing)(thing.replace("§", "s"))
    if isinstance(thing, tuple):
        return tuple(map(without_marks, thing))
    if is_dataclass(thing):
        changes = {
            each.name: without_marks(held)
            for each in fields(thing)
            if isinstance(held := getattr(thing, each.name), str | tuple) or is_dataclass(held)
        }
        return replace(thing, **changes)
    return thing


@settings(max_examples=20, deadline=None)
@given(data=st.data(), bench=benches(least_lines=1, least_rows=1))
def test_nothing_that_was_said_of_people_is_in_the_file(data: st.DataObject, bench: Bench) -> None:
    secret = with_secrets(without_marks(bench), data.draw)
    text = native.dumps(without_personal_data(secret).bench)
    assert "§" not in text
    assert "\\u00a7" not in text
    again = native.loads(text, "x")
    assert [each.key for each in again.jobs] == [each.key for each in bench.jobs]


def test_what_the_work_needs_stays() -> None:
    bench = read_bench(sample("jobs.taperlab"))
    after = without_personal_data(bench, list(Notes)).bench
    assert replace(after, jobs=()) == replace(bench, jobs=())
    for was, now in zip(bench.jobs, after.jobs, strict=True):
        assert now == Job(
            *(was.key, "", "", was.rod, was.line, was.before, was.after),
            begun=was.begun,
            finished=was.finished,
            state=was.state,
        )


def test_notes_go_by_what_they_are_on() -> None:
    bench = read_bench(sample("jobs.taperlab"))
    bench = keep_version(bench, "line-3", "As agreed", "2026-05-04", "by telephone").bench
    noted = Line("line-9", "Noted", note="for somebody", segments=bench.lines[0].segments[:1])
    noted = replace(noted, segments=(replace(noted.segments[0], note="a batch"),))
    bench = replace(bench, lines=(*bench.lines, noted))
    for kept in Notes:
        after = without_personal_data(bench, [kept]).bench
        assert (after.note == bench.note) == (kept is Notes.BENCH)
        assert (after.lines[-1] == noted) == (kept is Notes.LINES)
        assert (after.rods == bench.rods) == (kept is Notes.RODS)
        assert (after.versions[-1].note != "") == (kept is Notes.VERSIONS)
        assert (after.versions[-1].line.note != "") == (
            kept is Notes.VERSIONS and bench.versions[-1].line.note != ""
        )


def test_it_is_told_what_was_left_out_and_what_is_named_all_the_same() -> None:
    bench = read_bench(sample("jobs.taperlab"))
    found = without_personal_data(bench, [Notes.RODS])
    said = [str(each) for each in found.said]
    assert said[0].startswith("Left out of 4 jobs: customer, ticket")
    assert "Notes that stay: rods, and who says their grain windows." in said
    still = [str(each) for each in found.still]
    assert "“A-038” is still named: “Scandi head of A-038”." in still
    assert len(still) == len(set(still))
    nobody = Bench(jobs=(Job("job-1", state=JobState.FINISHED, finished=date(2026, 5, 4)),))
    assert without_personal_data(nobody).bench is nobody
    assert without_personal_data(nobody).said == ()


def test_nothing_is_named_where_nothing_names_anybody() -> None:
    bench = read_bench(sample("scandi.taperlab"))
    bench = edits.take_in_job(bench, None, None, "Customer 12", "Z-9").bench
    assert without_personal_data(bench).still == ()


def test_a_name_is_found_wherever_it_stands_and_a_word_of_it_where_it_is_nobody_elses() -> None:
    bench = read_bench(sample("scandi.taperlab"))
    for customer in ("Quill Harrowgate", "Quill & Daughters", "Customer 41", "木下渡", "Ó Fen"):
        bench = edits.take_in_job(bench, None, None, customer).bench
    named = (
        "Head of QUILL  Harrowgate",
        "Harrowgate’s winter head",
        "Quill pond",
        "customer, spare",
        "木下渡の頭",
        "o fenland",
        "Harrow gate",
    )
    rods = tuple(Rod(f"rod-{at}", text, 4.0) for at, text in enumerate(named))
    still = [str(each) for each in without_personal_data(replace(bench, rods=rods)).still]
    assert still == [
        "“Quill Harrowgate” is still named: “Head of QUILL  Harrowgate”.",
        "A word of “Harrowgate’s winter head” may mean “Quill Harrowgate”.",
        "A word of “customer, spare” may mean “Customer 41”.",
        "“木下渡” is still named: “木下渡の頭”.",
        "“Ó Fen” is still named: “o fenland”.",
    ]
    assert names_somebody(bench, "Harrowgate, spring")
    assert not names_somebody(bench, "Spring")


def test_a_large_bench_is_gone_through_in_short_steps() -> None:
    bench = read_bench(sample("scandi.taperlab"))
    line = bench.lines[0]
    lines = tuple(replace(line, key=f"l{at}", name=f"Head {at}") for at in range(300))
    jobs = tuple(Job(f"j{at}", f"Somebody {at}", f"T-{at:04}") for at in range(1000))
    shares = list(leaving_out(replace(bench, lines=lines, jobs=jobs), list(Notes)))
    assert len(shares) > 300 + 1000 / 32
    assert shares == sorted(shares)
    assert 0.0 <= shares[0] <= shares[-1] <= 1.0
