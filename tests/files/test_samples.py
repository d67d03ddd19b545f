"""The sample benches: sound, saved as we would save them, and the same as their CSV twins."""

from pathlib import Path

import pytest

from taperlab import shipped
from taperlab.files.native import dumps, read_bench
from taperlab.files.opening import read_any
from taperlab.files.stations import read_stations
from taperlab.model.line import Style
from taperlab.physics.profile import Profile
from taperlab.shop.analyse import analyse_line
from taperlab.shop.cut_back.staged import Staged, staged_cut
from taperlab.shop.goals.study import answer_of, around_of, solve
from taperlab.shop.measure.study import study
from taperlab.shop.on_rod import fit_to_rod
from taperlab.shop.pieces.asking import Question
from taperlab.shop.pieces.material import Fit
from taperlab.shop.pieces.study import study_now
from taperlab.trade.windows import Place
from tests.tables import read_line

GRAIN, FOOT = 64.79891e-6, 0.3048
NAMES = ["scandi", "skagit", "long_belly", "single_hand"]
WITHOUT_A_TWIN = [
    *(
        "measured_head",
        "cut_back",
        "tips",
        "rigs",
        "range",
        "goals",
        "pieces",
        "jobs",
        "build",
        "which_head",
    ),
]
"""Benches about a measurement, a job, a range or several lines: no table of segments holds them."""
STATIONS = "measured_head_stations.csv"
"""The stations of the measured head, as the command that measures takes them."""


def bench_file(name: str) -> Path:
    return shipped.sample(f"{name}.taperlab")


def test_there_are_no_others() -> None:
    found = {path.name for path in shipped.sample().iterdir()}
    twins = {f"{name}{ending}" for name in NAMES for ending in (".taperlab", ".csv")}
    assert found == twins | {f"{name}.taperlab" for name in WITHOUT_A_TWIN} | {STATIONS}


def test_the_table_of_stations_holds_those_of_the_measured_head() -> None:
    (measured,) = read_bench(bench_file("measured_head")).measurements
    table = read_stations(shipped.sample(STATIONS))
    assert len(table) == len(measured.stations)
    for read, known in zip(table, measured.stations, strict=True):
        assert read.distance == pytest.approx(known.distance)
        assert read.readings == pytest.approx(known.readings)


@pytest.mark.parametrize("name", [*NAMES, *WITHOUT_A_TWIN])
def test_a_sample_is_saved_byte_for_byte_as_it_is(name: str) -> None:
    bench = read_bench(bench_file(name))
    assert dumps(bench).encode() == bench_file(name).read_bytes()
    assert read_any(bench_file(name)) == bench


@pytest.mark.parametrize("name", NAMES)
def test_the_csv_weighs_what_the_bench_does(name: str) -> None:
    line = read_bench(bench_file(name)).current_line
    assert line is not None
    twin = read_line(shipped.sample(f"{name}.csv"))
    assert [segment.part for segment in twin.segments] == [each.part for each in line.segments]
    assert [segment.note for segment in twin.segments] == [each.note for each in line.segments]
    assert Profile.of(twin).segment_masses == pytest.approx(
        Profile.of(line).segment_masses, rel=1e-9
    )


# Head weight [gr] and length [ft] of common practice for such heads, and for the single-hand line
# the standard's line 6: 152 to 168 gr over 30 ft.
@pytest.mark.parametrize(
    ("name", "style", "grains", "feet"),
    [
        ("scandi", Style.SCANDI, (450, 600), (30, 40)),
        ("skagit", Style.SKAGIT, (500, 550), (18, 24)),
        ("long_belly", Style.LONG_BELLY, (700, 780), (60, 75)),
        ("single_hand", Style.SINGLE_HAND, (152, 190), (30, 45)),
    ],
)
def test_a_main_line_is_of_its_style_and_fits_the_chosen_rod(
    name: str, style: Style, grains: tuple[int, int], feet: tuple[int, int]
) -> None:
    bench = read_bench(bench_file(name))
    line, rod = bench.current_line, bench.chosen_rod
    assert line is not None
    assert rod is not None
    assert line.style is style
    assert line.note
    assert bench.note
    analysis = analyse_line(line, bench.water)
    assert analysis.head is not None
    assert grains[0] <= analysis.head.mass / GRAIN <= grains[1]
    assert feet[0] <= analysis.head.length / FOOT <= feet[1]
    assert analysis.head.floats
    assert analysis.findings == ()
    fit = fit_to_rod(analysis, rod)
    assert fit is not None
    assert fit.place is Place.INSIDE


def test_the_demo_bench_tells_its_story() -> None:
    bench = read_bench(bench_file("scandi"))
    cut, uncut = (analyse_line(line, bench.water).head for line in bench.lines)
    assert cut is not None
    assert uncut is not None
    assert bench.view.line == bench.lines[0].key
    assert bench.view.overlays == (bench.lines[1].key,)
    assert cut.front_taper_mass_share > 0.6
    # The head is the front of the uncut one.
    profile = Profile.of(bench.lines[1])
    front = float(profile.running_mass(cut.length, points=False))
    assert float(Profile.of(bench.lines[0]).segment_masses.sum()) == pytest.approx(front)
    rod = bench.chosen_rod
    assert rod is not None
    fit = fit_to_rod(analyse_line(bench.lines[1], bench.water), rod)
    assert fit is not None
    assert fit.place is Place.ABOVE


def test_the_sinking_tips_weigh_what_their_names_say() -> None:
    bench = read_bench(bench_file("skagit"))
    tips = [line for line in bench.lines if line.style is Style.TIP]
    assert [line.name for line in tips] == ["Tip, 10 ft of 11", "Tip, 12 ft of 14"]
    weights = [float(Profile.of(line).segment_masses.sum()) / GRAIN for line in tips]
    assert weights == pytest.approx([10 * 11, 12 * 14], abs=0.05)


def test_the_single_hand_line_is_a_six() -> None:
    bench = read_bench(bench_file("single_hand"))
    rating = analyse_line(bench.lines[0], bench.water).single_hand
    assert rating is not None
    assert rating.nearest.number == 6
    assert rating.between is None


def test_the_measured_head_came_out_heavier_than_drawn() -> None:
    bench = read_bench(bench_file("measured_head"))
    (measurement,) = bench.measurements
    design = bench.line("line-1")
    assert measurement.line == design.key
    assert 18 <= len(measurement.stations) <= 24
    assert any(len(station.readings) > 1 for station in measurement.stations)
    found = study(measurement, design)
    assert found.fit is not None
    mass, error = found.total
    # The scale read 434.0 gr in steps of half a grain.
    assert mass / GRAIN == pytest.approx(434.0, abs=0.5)
    assert 0.0 < error / GRAIN < 0.5
    assert [segment.part for segment in found.fit.line.segments] == [
        segment.part for segment in design.segments
    ]
    whole = found.rows[-1]
    assert whole.mass.outside
    assert whole.mass.difference is not None
    assert whole.mass.difference > 0.0


def test_the_cut_back_is_half_done() -> None:
    bench = read_bench(bench_file("cut_back"))
    (job,) = bench.cut_backs
    line, rod = bench.line(job.line), bench.chosen_rod
    assert rod is not None
    assert bench.view.page == "cut"
    fit = fit_to_rod(analyse_line(line, bench.water), rod)
    assert fit is not None
    assert fit.place is Place.ABOVE
    assert job.first_reading is not None
    assert len(job.steps) == 2
    before = job.first_reading
    for step in job.steps:
        assert step.head is not None
        assert step.offcut is not None
        # Three readings, each rounded to half a grain.
        assert step.head + step.offcut == pytest.approx(before, abs=0.75 * GRAIN)
        before = step.head
    staged = staged_cut(line, job, rod)
    assert isinstance(staged, Staged)
    assert staged.findings == ()
    assert staged.stages
    assert staged.stages[-1].last


def test_of_the_heads_with_goals_one_meets_them_and_one_does_not() -> None:
    bench = read_bench(bench_file("goals"))
    met, missed = (answer_of(line, line, around_of(bench)) for line in bench.lines)
    assert met.met
    assert len(met.outcomes) == 3
    assert not missed.met
    # With its locks there is no way, and the belly's lock is in it.
    assert not solve(bench.lines[1], around_of(bench)).met


def test_the_head_of_pieces_comes_from_the_stock_beside_it() -> None:
    bench = read_bench(bench_file("pieces"))
    found = study_now(Question(((bench.lines[0], 1),), bench.stock))
    assert found.short == ()
    assert found.proved
    assert {each.stock.name for each in found.pieces} == {"Old salmon line", "Floating 14, offcut"}
    assert all(each.fit in (Fit.GOOD, Fit.CLOSE) for each in found.pieces)
    head = analyse_line(bench.lines[0], bench.water).head
    assert head is not None
    (last,) = found.checkpoints(0)[-1:]
    # Each piece has the weight of its segment; what is folded and lapped beyond it is stock as it
    # lies, and not the design: less than a half-grain scale tells.
    assert last.mass == pytest.approx(head.mass, abs=0.25 * GRAIN)
    twice = study_now(Question(((bench.lines[0], 2),), bench.stock))
    assert twice.short == ()
