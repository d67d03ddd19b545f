"""What labels say of heads, and where on their sheets they come."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from taperlab.files.native import read_bench
from taperlab.model.bench import Bench
from taperlab.model.job import Job
from taperlab.model.line import line_of
from taperlab.model.rod import Rod
from taperlab.model.segment import Part, Segment
from taperlab.shipped import sample
from taperlab.shop.analyse import analyse_line
from taperlab.shop.labels.asking import MOST_PRINTED, Asked, BadLabels, Slot, slots
from taperlab.shop.labels.content import label_of, line_size, pen_marks
from taperlab.trade.label_grids import label_grids
from taperlab.units.kinds import System
from taperlab.units.sentence import NOTHING, Sentence, Value, render

GRID = next(each for each in label_grids() if each.name == "2 × 4 in")


def said(value: Value, system: System = System.US) -> str:
    return render(Sentence("{value}", value=value), system)


def bench_of(name: str) -> Bench:
    return read_bench(sample(f"{name}.taperlab"))


def test_a_label_says_what_the_bench_says() -> None:
    bench = bench_of("scandi")
    line = bench.current_line
    assert line is not None
    job = Job("j", "Customer 41", "41", bench.rod)
    # One that names no rod is not judged on somebody else's.
    assert not label_of(bench, line, job=replace(job, rod=None)).ratio
    label = label_of(bench, line, job=job, day="25 Nov 2026", by="C. 41")
    head = analyse_line(line, bench.water).head
    assert head is not None
    assert label.name == line.name
    assert said(label.weight) == f"{head.mass / 64.79891e-6:.0f} gr"
    assert said(label.length) == "37 ft"
    assert [said(each) for each in label.ends] == ["2.40 gr/ft", "22.43 gr/ft"]
    assert said(label.sink) == "Scandi, floats"
    assert said(label.ratio) == "rod 13 ft, ratio 2.85"
    assert said(label.window) == "grain window 420 gr to 500 gr"
    assert said(label.ticket) == "job 41"
    assert said(label.day) == "Customer 41 · 25 Nov 2026 · C. 41"
    assert label.size == 7
    assert not label.tips
    assert said(label.length, System.METRIC) == "11.278 m"


def test_a_body_that_wants_a_tip_says_which_there_are() -> None:
    bench = bench_of("skagit")
    line = bench.current_line
    assert line is not None
    label = label_of(bench, line)
    assert said(label.tips) == "tips 10 ft to 12 ft, 115 gr to 174 gr"
    assert said(label.ratio) == "rod 13 ft, with a tip ratio 2.54 to 2.69"
    assert not label.ticket
    assert not label.day


def test_a_tip_is_no_line_of_a_size_and_no_rod_judges_it() -> None:
    bench = bench_of("skagit")
    tip = next(line for line in bench.lines if line.name.startswith("Tip"))
    label = label_of(bench, tip)
    assert said(label.sink).startswith("tip, ")
    assert said(label.length) == "10 ft"
    assert (label.size, label.ratio, label.window, label.tips) == (None, NOTHING, NOTHING, NOTHING)


def test_a_line_without_a_head_is_told_as_a_whole() -> None:
    thin = Segment(Part.RUNNING_LINE, 10.0, 0.001, 0.001, 900.0)
    label = label_of(Bench((line_of("a", "Thin", (thin,)),)), line_of("a", "Thin", (thin,)))
    # Level line by hand: 900 kg/m^3 of a millimetre, ten metres long.
    grains = 900.0 * 3.141592653589793 / 4 * 0.001**2 * 10.0 / 64.79891e-6
    assert said(label.weight) == f"{grains:.0f} gr"
    assert said(label.length, System.METRIC) == "10.000 m"
    assert len(label.line.segments) == 1


def test_running_line_is_left_out_of_the_drawing_and_of_the_ends() -> None:
    bench = bench_of("long_belly")
    line = bench.current_line
    assert line is not None
    label = label_of(bench, line)
    assert len(label.line.segments) < len(line.segments)
    last = label.line.segments[-1]
    rear = 3.141592653589793 / 4 * last.rear_diameter**2 * last.density
    assert said(label.ends[1]) == f"{rear * 0.3048 / 64.79891e-6:.2f} gr/ft"


def test_long_marks_stand_for_five_and_short_ones_for_one() -> None:
    # Common practice among line makers and shops, without a printed source.
    assert pen_marks(4) == (False,) * 4
    assert pen_marks(5) == (True,)
    assert pen_marks(7) == (True, False, False)
    assert pen_marks(12) == (True, True, False, False)
    for size in range(1, 21):
        assert sum(5 if long else 1 for long in pen_marks(size)) == size


def test_the_size_is_the_rods_or_the_standards() -> None:
    bench = bench_of("scandi")
    line = bench.current_line
    assert line is not None
    found = analyse_line(line, bench.water)
    rod = bench.chosen_rod
    assert rod is not None
    assert line_size(found, replace(rod, line_class="#8/9")) == 8
    assert found.two_handed is not None
    assert line_size(found, replace(rod, line_class="")) == found.two_handed.size
    assert found.single_hand is not None
    single = Rod("s", "Small", 2.7, two_handed=False)
    assert line_size(found, single) == found.single_hand.nearest.number


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 10), st.integers(1, 12), st.integers(1, 6))
def test_labels_follow_each_other_from_the_first_that_is_there(
    start: int, count: int, contents: int
) -> None:
    found = slots(Asked(GRID, start, count), contents)
    assert len(found) == count * contents
    assert found[0] == Slot(0, start, 0)
    places = [each.page * GRID.count + each.number for each in found]
    assert places == list(range(start, start + len(found)))
    assert [each.content for each in found] == sorted(each.content for each in found)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (Asked(GRID, 11), "There is no label 11 on this sheet; it has 10."),
        (Asked(GRID, 0), "There is no label 0"),
        (Asked(GRID, count=0), "one label of each at least"),
        (Asked(GRID, count=MOST_PRINTED + 1), "At most 2000 labels"),
    ],
)
def test_what_cannot_be_printed_is_said(asked: Asked, words: str) -> None:
    with pytest.raises(BadLabels) as problem:
        slots(asked, 1)
    assert words in str(problem.value.sentence)
