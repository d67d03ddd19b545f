"""Lines kept as they were, brought back, and put on the bench."""

from dataclasses import replace

import pytest

from taperlab.edits import lines, versions
from taperlab.edits.edited import Refused
from taperlab.model.aim import Aim, Goal, GoalKind
from taperlab.model.bench import Bench, View
from taperlab.model.line import Loop, LoopKind, Style, line_of
from taperlab.model.segment import Part, Segment
from taperlab.model.version import Version

DAY = "2026-03-14"
BELLY = Segment(Part.BELLY, 7.0, 0.002, 0.002, 850.0)
HEAD = line_of("head", "Alder", (BELLY,), Style.SCANDI)
BENCH = Bench((HEAD, line_of("other", "Birch", (BELLY,)), line_of("none", "Empty", ())))


def kept(bench: Bench = BENCH, name: str = "", line: str = "head") -> Bench:
    return versions.keep_version(bench, line, name, DAY).bench


def changed(bench: Bench) -> Bench:
    after = replace(
        HEAD,
        segments=(replace(BELLY, length=6.0),),
        rear_loop=Loop(LoopKind.FOLDED, 0.05),
        style=Style.SKAGIT,
        note="cut",
    )
    return bench.with_line(after)


def test_a_version_is_the_line_as_it_was_on_that_day() -> None:
    bench = changed(kept())
    (version,) = bench.versions
    assert version == Version("version-1", "head", "Version 1", DAY, HEAD)
    assert version.line is HEAD


def test_names_are_numbers_unless_told_and_differ_within_a_line() -> None:
    bench = kept(kept(kept(kept()), "As bought"), "As  bought ")
    assert [each.name for each in bench.versions] == [
        "Version 1",
        "Version 2",
        "As bought",
        "As bought 2",
    ]
    assert versions.usual_name(bench, "head") == "Version 5"
    assert kept(bench, line="other").versions[-1].name == "Version 1"
    with pytest.raises(Refused, match="There is a version “Version 1” already"):
        versions.rename_version(bench, "version-2", "Version 1")
    named = versions.rename_version(bench, "version-2", " Winter  cut").bench
    assert named.versions[1].name == "Winter cut"
    assert versions.rename_version(named, "version-2", "Winter cut").bench is named
    with pytest.raises(Refused, match="needs a name"):
        versions.rename_version(bench, "version-2", " ")


def test_what_cannot_be_kept_is_said() -> None:
    with pytest.raises(Refused, match="Empty has no segments to keep"):
        kept(line="none")
    with pytest.raises(Refused, match="no longer in the bench"):
        kept(line="gone")
    many = tuple(Version(str(n), "head", str(n), DAY, HEAD) for n in range(1000))
    with pytest.raises(Refused, match="at most 1"):
        kept(replace(BENCH, versions=many))


def test_brought_back_it_is_as_it_was_but_for_name_note_and_goals() -> None:
    bench = changed(kept())
    renamed = lines.rename_line(bench, "head", "Alder II").bench
    renamed = replace(renamed, view=View("other"))
    edited = versions.bring_back(renamed, "version-1")
    line = edited.bench.line("head")
    assert line == replace(HEAD, name="Alder II", note="cut")
    assert edited.bench.view.line == "head"
    assert versions.bring_back(edited.bench, "version-1").bench is edited.bench
    assert edited.bench.versions == bench.versions


def test_a_version_outlives_its_line_whose_key_no_other_line_gets() -> None:
    bench = kept(
        lines.add_line(Bench(), "Ash").bench.with_line(replace(HEAD, key="line-1")), line="line-1"
    )
    bench = lines.delete_line(bench, "line-1").bench
    assert len(bench.versions) == 1
    again = lines.add_line(bench, "Elm").bench
    assert again.lines[0].key != "line-1"
    with pytest.raises(Refused, match="put Version 1 on the bench as a line of its own"):
        versions.bring_back(again, "version-1")
    put = versions.put_version_on_bench(again, "version-1").bench
    assert [line.name for line in put.lines] == ["Elm", "Alder, Version 1"]


def test_put_on_the_bench_it_lies_behind_its_line_and_is_current() -> None:
    aim = Aim((Goal(GoalKind.WEIGHT, 0.03, 0.03), Goal(GoalKind.RUNNING, 0.01, 0.01, 2.0, "other")))
    bench = kept(BENCH.with_line(replace(HEAD, aim=aim)))
    put = versions.put_version_on_bench(bench, "version-1").bench
    assert [line.name for line in put.lines] == ["Alder", "Alder, Version 1", "Birch", "Empty"]
    made = put.current_line
    assert made is put.lines[1]
    assert made.aim == aim
    without = lines.delete_line(bench, "other").bench
    assert versions.put_version_on_bench(without, "version-1").bench.lines[1].aim.goals == (
        aim.goals[0],
    )


def test_a_dropped_version_is_laid_over_no_more() -> None:
    bench = kept(kept())
    bench = replace(bench, view=View(version_overlays=("version-1", "version-2")))
    noted = versions.note_version(bench, "version-2", "evenings").bench
    assert noted.versions[1].note == "evenings"
    after = versions.drop_version(noted, "version-1").bench
    assert [each.key for each in after.versions] == ["version-2"]
    assert after.view.version_overlays == ("version-2",)
    with pytest.raises(Refused, match="no longer on the bench"):
        versions.drop_version(after, "version-1")


@pytest.mark.parametrize("day", ["", "14.3.2026", "20260314", "2026-02-30", "2026-W11-6", "soon"])
def test_a_date_is_year_month_and_day(day: str) -> None:
    with pytest.raises(ValueError, match="such as 2026-03-14"):
        Version("v", "head", "As bought", day, HEAD)
